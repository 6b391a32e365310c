"""Preferments and soakers: drawn out of the main formula by subtraction; what is left is the final dough."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Final, Protocol

from benchproof.compiler.display import percent
from benchproof.compiler.display import weight as shown
from benchproof.compiler.findings import Also, Finding
from benchproof.compiler.food import INNER_WORDS
from benchproof.compiler.formula import FormulaPart, Item
from benchproof.compiler.kitchen import Recipe
from benchproof.compiler.rules import find
from benchproof.compiler.suggest import nearest
from benchproof.compiler.syntax import (
    Block,
    Entry,
    Name,
    NamedHeading,
    Percentage,
    PrefermentHeading,
    name_key,
)

_HALF_A_GRAM: Final = Fraction(1, 2)


class Lines(Protocol):
    """Who works single lines out: `weights`."""

    recipe: Recipe
    sound: bool

    def fail(self, finding: Finding) -> None: ...

    def item(self, part: int, entry: Entry) -> Item: ...

    def weigh(self, item: Item, weight: Fraction, *, as_bought: bool = False) -> Item: ...

    def shares(self, draft: FormulaPart, base: Fraction) -> list[Fraction | None]:
        """The weight of each line of a list whose 100 % is `base` g; None where it has none."""
        ...


class DrawnOut:
    """Preferments and soakers, taken out of the main formula by subtraction; what is left is the final dough."""

    def __init__(self, resolver: Lines, parts: list[FormulaPart]) -> None:
        self.resolver = resolver
        self.lists = parts
        self.main = next((part for part in parts if part.role == "main"), None)
        self.left: list[Fraction | None] = [item.weight for item in self.main.items] if self.main else []

    def parts(self) -> list[FormulaPart]:
        recipe = self.resolver.recipe
        if self.main is None:
            block = (*recipe.preferments, *recipe.soakers)[0]
            self.resolver.fail(
                find(
                    "nothing-to-draw-from",
                    block.heading.span if block.heading else block.span,
                    f"This `{block.kind}` is drawn out of the main list of ingredients, and there is none.",
                    "Write the whole formula under `ingredients`, what goes into it included.",
                )
            )
            return self.lists
        self._names()
        parts = list(self.lists)
        for block in recipe.preferments:
            if isinstance(block.heading, PrefermentHeading):
                parts.append(self._preferment(len(parts), block, block.heading))
        for block in recipe.soakers:
            if isinstance(block.heading, NamedHeading):
                parts.append(self._soaker(len(parts), block, block.heading.name))
        return [*parts, self._final(len(parts))] if self.resolver.sound else parts

    def _names(self) -> None:
        """What is drawn out is later drawn by name: no two of a name, and none like an ingredient."""
        assert self.main is not None
        taken = {part.name.key: part.name.span for part in self.lists if part.name}
        taken |= {item.name.key: item.name.span for item in self.main.items}
        for name in self.drawn_out:
            if name.key in taken:
                self.resolver.fail(
                    find(
                        "defined-twice",
                        name.span,
                        f"“{name.text}” is the name of something else in this recipe already.",
                        "Give it another name: the method draws it by name.",
                        also=(Also(taken[name.key], "the other one stands here"),),
                    )
                )
            taken[name.key] = name.span

    @property
    def drawn_out(self) -> list[Name]:
        """The names of all that is drawn out."""
        recipe = self.resolver.recipe
        headings = [block.heading for block in (*recipe.preferments, *recipe.soakers)]
        return [one.name for one in headings if isinstance(one, PrefermentHeading | NamedHeading)]

    def _preferment(self, index: int, block: Block, heading: PrefermentHeading) -> FormulaPart:
        flours = self._flours(heading.of)
        share = heading.share.low
        if not share:
            self.resolver.fail(
                find(
                    "preferment-flour-differs",
                    heading.share.span,
                    f"{heading.name.text} takes none of {heading.of.text}.",
                    "Write how much it takes: `25 % of the flour`.",
                )
            )
        taken = sum((item.weight for item in flours if item.weight), Fraction(0)) * share / 100
        draft = FormulaPart(
            heading.name,
            "preferment",
            block,
            tuple(self.resolver.item(index, entry) for entry in block.entries()),
            (heading.of.text.removeprefix("the "),),
            taken,
            share,
        )
        written = [item.weight for item in draft.items if any(self._same(item, flour) for flour in flours)]
        if written and all(written) and abs(sum(filter(None, written)) - taken) <= _HALF_A_GRAM:
            taken = sum(filter(None, written), Fraction(0))  # in grams, and the share worked out from them
            draft = replace(draft, base_weight=taken)
        items = self._weighed(draft, taken)
        own = [item for item in items if any(self._same(item, flour) for flour in flours)]
        if own:
            self._all_the_flour(heading, own, taken)
        elif taken:
            items = [*self._implied(index, flours, share), *items]
        for item in items:
            if not item.lent:
                self._take(heading.name.text, item)
        return replace(draft, items=tuple(items))

    def _flours(self, of: Name) -> list[Item]:
        """The lines of the main list that a preferment's share is of."""
        assert self.main is not None
        inside = [item for item in self.main.items if item.inside]
        found = [item for item in inside if of.key in item.keys]
        if not found and of.key == "flour":
            found = [item for item in inside if item.kind == "flour"]
        if not found:
            near = nearest(of.text.removeprefix("the "), [item.name.text for item in inside])
            self.resolver.fail(
                find(
                    "not-in-the-list",
                    of.span,
                    f"“{of.text}” is not in the main list, so nothing can be drawn out of it.",
                    f"Did you mean “{near[0]}”?"
                    if near
                    else "Write `of the flour`, or name a line of the list.",
                )
            )
        return found

    @staticmethod
    def _same(item: Item, other: Item) -> bool:
        return item.name.key == other.name.key or bool(item.keys & other.keys)

    def _weighed(self, draft: FormulaPart, taken: Fraction) -> list[Item]:
        """The lines of a preferment, its percentages being of the flour it takes."""
        weights = self.resolver.shares(draft, taken)
        items = []
        for item, weight in zip(draft.items, weights, strict=True):
            if item.weight is None and weight is not None:
                item = self.resolver.weigh(item, weight)
            items.append(replace(item, lent=True) if item.name.key == "seed" else item)
        return items

    def _all_the_flour(self, heading: PrefermentHeading, own: list[Item], taken: Fraction) -> None:
        comes_to = sum((item.weight for item in own if item.weight), Fraction(0))
        if comes_to == taken:
            return
        self.resolver.fail(
            find(
                "preferment-flour-differs",
                own[0].entry.span,
                f"{heading.name.text} takes {percent(heading.share.low)} of {heading.of.text}, which is "
                f"{shown(taken)}; its own lines of it come to {shown(comes_to)}.",
                "Write them as percentages that make 100 % (`strong flour: 100 %`), or leave them out.",
                also=(Also(heading.share.span, "what it takes"),),
            )
        )

    def _implied(self, index: int, flours: list[Item], share: Fraction) -> list[Item]:
        """A preferment that lists no flour takes its share of each."""
        return [
            replace(flour.share(flour.weight * share / 100), part=index, is_base=False)
            for flour in flours
            if flour.weight
        ]

    def _soaker(self, index: int, block: Block, name: Name) -> FormulaPart:
        assert self.main is not None
        items = []
        for entry in block.entries():
            item = self.resolver.item(index, entry)
            line = self._line(item)
            own = isinstance(entry.value, Percentage) and entry.value.of is None
            if item.weight is None and line is not None and own and isinstance(entry.value, Percentage):
                whole = self.main.items[line].weight
                if whole is not None:
                    item = self.resolver.weigh(item, whole * entry.value.number.low / 100)
            items.append(item)
        draft = FormulaPart(name, "soaker", block, tuple(items))
        weighed = self._weighed(draft, Fraction(0))
        for item in weighed:
            self._take(name.text, item)
        return replace(draft, items=tuple(weighed))

    def _line(self, item: Item) -> int | None:
        """The line of the main list that an item is drawn out of."""
        assert self.main is not None
        lines = [(number, one) for number, one in enumerate(self.main.items) if one.purpose is None]
        exact = [number for number, one in lines if one.name.key == item.name.key]
        alike = [number for number, one in lines if self._same(item, one)]
        return next(iter(exact or alike), None)

    def _take(self, who: str, item: Item) -> None:
        """Take an item off the main list; what the list has not is an error that says how much is missing."""
        assert self.main is not None
        line = self._line(item)
        if line is None and item.name.key in {one.key for one in self.drawn_out}:
            self.resolver.fail(
                find(
                    "not-in-the-list",
                    item.name.span,
                    f"{who} takes {item.name.text}, but one preferment cannot go into another yet.",
                    "Write what both take in one of them, or keep the first as a starter with an `ingredient` block.",
                )
            )
            return
        if line is None:
            names = [one.name.text for one in self.main.items]
            near = nearest(item.name.text, names)
            self.resolver.fail(
                find(
                    "not-in-the-list",
                    item.name.span,
                    f"{who} takes {item.name.text}, which the main list does not have.",
                    f"Did you mean “{near[0]}”?"
                    if near
                    else "Write it in `ingredients` too: the list holds the whole formula.",
                )
            )
            return
        left = self.left[line]
        inner = item.noun is not None and name_key(item.noun) in INNER_WORDS
        if item.weight is None or left is None or inner:
            self.resolver.fail(
                find(
                    "cannot-be-weighed",
                    item.entry.value.span,
                    f"{who} takes {item.name.text}, but how much cannot be told.",
                    "Write its weight or its percentage, here and in the main list.",
                )
            )
            return
        if item.weight > left:
            self.resolver.fail(
                find(
                    "preferment-takes-too-much",
                    item.entry.span,
                    f"{who} takes {shown(item.weight)} of {item.name.text}, but the formula has only "
                    f"{shown(left)} {'left ' if left != self.main.items[line].weight else ''}for it: "
                    f"{shown(item.weight - left)} are missing.",
                    "Take less here, or have more in `ingredients`.",
                    also=(Also(self.main.items[line].entry.span, "the line of the main list"),),
                )
            )
            return
        self.left[line] = left - item.weight

    def _final(self, index: int) -> FormulaPart:
        assert self.main is not None
        items = []
        for item, left in zip(self.main.items, self.left, strict=True):
            if item.weight is None or left is None or left == item.weight:
                items.append(replace(item, part=index))
            elif left:
                items.append(replace(item.share(left), part=index))
        return replace(self.main, role="final", items=tuple(items))
