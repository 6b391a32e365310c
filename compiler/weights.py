"""Every ingredient line as a weight, at the size the recipe is written in.

Weights come from what is written: grams, a volume through the food's density, a count through its piece
weight, a percentage of the base, a multiple of another line. Only when no line has a weight is the size
solved from the yield.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import Extent
from benchproof.compiler.display import percent
from benchproof.compiler.findings import Also, Finding
from benchproof.compiler.food import Food
from benchproof.compiler.formula import Formula, FormulaPart, Item, LossOrGain, made_weight, same_word
from benchproof.compiler.kitchen import Kitchen, Recipe
from benchproof.compiler.preferments import DrawnOut
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.suggest import nearest
from benchproof.compiler.syntax import (
    Block,
    Count,
    Counted,
    Detail,
    Entry,
    IngredientsHeading,
    Losses,
    Makes,
    Measured,
    Name,
    Names,
    Parts,
    Percentage,
    TimesOf,
    ToTaste,
    name_key,
)

_BEFORE_SCALING: Final = frozenset({"bowl", "bench", "mixer", "mixing", "kneading", "scaling", "trough"})
"""A loss in one of these happens before the pieces are weighed off; any other after."""

_DEEPEST: Final = 50
"""How many recipes may stand inside one another, and lines hang on one another."""

_PLAIN_PIECES: Final = frozenset({"piece", "pieces"})


class Formulas:
    """The formulas of a kitchen's recipes, each worked out once, those it uses first."""

    def __init__(self, kitchen: Kitchen) -> None:
        self.kitchen = kitchen
        self._done: dict[str, Formula] = {}
        self._open: list[Recipe] = []

    @property
    def too_deep(self) -> bool:
        """Whether the recipe being worked out is deeper inside others than any kitchen needs."""
        return len(self._open) > _DEEPEST

    def of(self, recipe: Recipe) -> Formula:
        formula = self._done.get(recipe.name.key)
        if formula is None:
            self._open.append(recipe)
            try:
                formula = _Resolver(self, recipe).resolve()
            finally:
                self._open.pop()
            self._done[recipe.name.key] = formula
        return formula

    def loop(self, recipe: Recipe) -> list[Recipe]:
        """The recipes from `recipe` down to the one being worked out, when that would go round."""
        keys = [one.name.key for one in self._open]
        return self._open[keys.index(recipe.name.key) :] if recipe.name.key in keys else []


@dataclass(frozen=True, slots=True)
class _Linear:
    """`fixed + free * size`: a weight before the size of the batch is known."""

    fixed: Fraction
    free: Fraction

    def times(self, factor: Fraction) -> _Linear:
        return _Linear(self.fixed * factor, self.free * factor)

    def plus(self, other: _Linear) -> _Linear:
        return _Linear(self.fixed + other.fixed, self.free + other.free)


_SIZE: Final = _Linear(Fraction(0), Fraction(1))


class _Resolver:
    """Works one recipe's lines out to weights."""

    def __init__(self, formulas: Formulas, recipe: Recipe) -> None:
        self.formulas = formulas
        self.kitchen = formulas.kitchen
        self.recipe = recipe
        self.findings: list[Finding] = []
        self.sound = recipe.whole

    def resolve(self) -> Formula:
        makes_entry = self.recipe.block.entry("makes")
        makes = makes_entry.value if makes_entry and isinstance(makes_entry.value, Makes) else None
        losses = _losses(self.recipe.block)
        self._something(makes)
        drafts = [self._draft(index, block) for index, block in enumerate(self._blocks())]
        parts = self._size([self._linear(draft) for draft in drafts], makes, losses)
        if self.sound and (self.recipe.preferments or self.recipe.soakers):
            parts = DrawnOut(self, parts).parts()
        return Formula(
            self.recipe,
            tuple(parts),
            makes,
            losses,
            _serves(self.recipe.block),
            self.sound,
            tuple(self.findings),
        )

    def _something(self, makes: Makes | None) -> None:
        """A yield of nought is refused: nothing could be scaled to it or shared out."""
        noughts = []
        if makes is not None:
            given = [makes.count.low] if makes.count else []
            given += [term.number for one in (makes.each, makes.total) if one for term in one.low]
            noughts += [makes.span] if not all(given) else []
        serves = self.recipe.block.entry("serves")
        if serves is not None and _serves(self.recipe.block) == 0:
            noughts.append(serves.value.span)
        for span in noughts:
            self.fail(
                find(
                    "makes-nothing",
                    span,
                    f"A batch of “{span.text}” would be nothing.",
                    "Write what one batch gives, or leave it out.",
                )
            )

    def _blocks(self) -> list[Block]:
        return [block for block in self.recipe.ingredients if block.heading is not None]

    def fail(self, finding: Finding) -> None:
        """A finding that leaves the recipe without weights."""
        self.findings.append(finding)
        self.sound = False

    # ------------------------------------------------------------ lines

    def _draft(self, index: int, block: Block) -> FormulaPart:
        heading = block.heading
        name = heading.part if isinstance(heading, IngredientsHeading) else None
        items = [self.item(index, entry) for entry in block.entries()]
        return FormulaPart(name, "part" if name else "main", block, tuple(items))

    def shares(self, draft: FormulaPart, base: Fraction) -> list[Fraction | None]:
        """The weight of each line of a list whose 100 % is `base` g; None where it has none."""
        weights = _PartWeights(self, draft, [], base=_Linear(base, Fraction(0))).all()
        return [None if weight is None or weight.free else weight.fixed for weight in weights]

    def item(self, part: int, entry: Entry) -> Item:
        """A line as it is written; shares have no weight yet."""
        purposes = [detail for detail in entry.details if _is_purpose(detail)]
        notes = [detail.text for detail in entry.details if not _is_purpose(detail)]
        value = entry.value
        product = self._product(entry.label)
        item = Item(
            entry=entry,
            name=entry.label,
            part=part,
            food=None if product else self.kitchen.food(entry.label),
            product=product,
            weight=None,
            bought=None,
            count=None,
            noun=None,
            volume=None,
            purpose=purposes[0].text if purposes else None,
            note=", ".join(notes) or None,
            to_taste=isinstance(value, ToTaste) or (isinstance(value, Measured) and value.and_to_taste),
        )
        if isinstance(value, Measured):
            return self._measured(item, value)
        if isinstance(value, Counted):
            return self._counted(item, value)
        return item

    def _product(self, name: Name) -> Formula | None:
        recipe = self.kitchen.recipe(name.text)
        if recipe is None or (recipe is self.recipe and self.kitchen.food(name) is not None):
            return None  # a recipe may be named after its main ingredient
        loop = self.formulas.loop(recipe)
        if loop:
            path = " → ".join([*(one.name.text for one in loop), recipe.name.text])
            self.fail(
                find(
                    "recipe-in-itself",
                    name.span,
                    f"“{name.text}” goes into itself: {path}.",
                    "Take one of these lines out, or name an ingredient instead of a recipe.",
                )
            )
            return None
        if self.formulas.too_deep:
            self.fail(
                find(
                    "recipe-too-deep",
                    name.span,
                    f"“{name.text}” stands more than {_DEEPEST} recipes deep.",
                    "Name the ingredients themselves.",
                )
            )
            return None
        formula = self.formulas.of(recipe)
        if not formula.sound:
            self.sound = False
            self.findings.append(
                find(
                    "recipe-not-ready",
                    name.span,
                    f"The recipe “{recipe.name.text}” has a mistake in it, so its weight and cost are "
                    "not known here.",
                    "Mend that recipe first.",
                    also=(Also(recipe.name.span, "that recipe stands here"),),
                )
            )
        return formula

    def _measured(self, item: Item, value: Measured) -> Item:
        quantity = value.quantity
        try:
            amount = quantities.base(quantity.low, self.kitchen.settings.measures)
        except quantities.MeasureError as error:
            self.fail(find("cannot-be-weighed", quantity.span, str(error)))
            return item
        if quantity.dimension == "mass":
            return self.weigh(item, amount, as_bought=value.as_bought)
        density = item.food.density if item.food else None
        if density is None:
            self.fail(
                find(
                    "cannot-be-weighed",
                    quantity.span,
                    f"{quantity.span.text} of {item.name.text} cannot be turned into a weight: nobody has "
                    "said how heavy it is.",
                    f"Weigh it and write grams, or say it once for the kitchen: `ingredient "
                    f"{item.name.text}` with a line such as `density: 0.9 g/ml`.",
                )
            )
            return replace(item, volume=amount)
        return self.weigh(replace(item, volume=amount), amount * density, as_bought=value.as_bought)

    def weigh(self, item: Item, weight: Fraction, *, as_bought: bool = False) -> Item:
        """A line with its weight, as it goes in or as bought, and the other of the two with it."""
        trim = item.food.trim if item.food else Fraction(1)
        if as_bought:
            return replace(item, weight=weight * trim, bought=weight)
        return replace(item, weight=weight, bought=weight / trim)

    def _counted(self, item: Item, value: Counted) -> Item:
        number = value.number.low
        noun = value.noun.text if value.noun else None
        item = replace(item, count=number, noun=noun)
        if item.product is not None:
            each = item.product.each
            if each is None or (noun and not self._product_noun(item.product, value)):
                self.fail(self._no_piece(item, value, "that recipe does not say how many it makes"))
                return item
            return replace(item, weight=number * each, bought=number * each)
        food = item.food
        if value.noun is not None and name_key(value.noun.text) not in _PLAIN_PIECES:
            word = _piece_word(value.noun.key, food)
            if word is not None and food is not None:
                bought, usable = food.word(word)
                return replace(item, weight=number * usable, bought=number * bought)
            if not _names_itself(value.noun.key, item):
                self.fail(self._unknown_word(item, value.noun))
                return item
        if food is None or food.piece is None:
            self.fail(self._no_piece(item, value, "nobody has said how heavy one is"))
            return item
        usable = food.piece_usable if food.piece_usable is not None else food.piece * food.trim
        return replace(item, weight=number * usable, bought=number * food.piece)

    @staticmethod
    def _product_noun(product: Formula, value: Counted) -> bool:
        made = product.makes.noun if product.makes else None
        return made is not None and value.noun is not None and same_word(made.key, value.noun.key)

    @staticmethod
    def _no_piece(item: Item, value: Counted, reason: str) -> Finding:
        return find(
            "cannot-be-weighed",
            value.span,
            f"{value.span.text} of {item.name.text} cannot be turned into a weight: {reason}.",
            f"Write a weight, or say it once for the kitchen: `ingredient {item.name.text}` with a line "
            "such as `piece: 80 g`.",
        )

    @staticmethod
    def _unknown_word(item: Item, noun: Name) -> Finding:
        known = list(item.food.words) if item.food else []
        near = [*nearest(noun.text, known), *quantities.nearest_units(noun.text)]
        return find(
            "unknown-unit",
            noun.span,
            f"“{noun.text}” is neither a unit nor a piece of {item.name.text} that anybody has weighed.",
            (f"Did you mean {' or '.join(f'“{word}”' for word in near[:3])}? " if near else "")
            + f"Or say it once for the kitchen: `ingredient {item.name.text}` with a line "
            f"`{noun.text}: 5 g`.",
        )

    # ------------------------------------------------------------ sizes

    def _linear(self, draft: FormulaPart) -> tuple[FormulaPart, list[_Linear | None]]:
        """Each line's weight, before the size is known; None where it has none."""
        base_items, base_names = self._base(draft)
        weights = _PartWeights(self, draft, base_items).all()
        items = tuple(replace(item, is_base=any(item is one for one in base_items)) for item in draft.items)
        return replace(draft, items=items, base=base_names), weights

    def _base(self, draft: FormulaPart) -> tuple[list[Item], tuple[str, ...]]:
        entry = self.recipe.block.entry("base")
        if entry is None or not isinstance(entry.value, Names):
            return [], ()
        shares = [item.entry.value for item in draft.items]
        if draft.role != "main" and not any(isinstance(one, Percentage) and one.of is None for one in shares):
            return [], ()
        items: list[Item] = []
        names: list[str] = []
        for name in entry.value.names:
            found = [item for item in draft.items if item.purpose is None and name.key in item.keys]
            if not found and name.key == "flour":
                found = [item for item in draft.items if item.purpose is None and item.kind == "flour"]
            if found:
                names.append(name.text)
                items.extend(item for item in found if not any(item is one for one in items))
            elif draft.role == "main":
                listed = [item.name.text for item in draft.items]
                near = nearest(name.text, listed)
                self.fail(
                    find(
                        "base-not-listed",
                        name.span,
                        f"The base “{name.text}” is not in the list of ingredients.",
                        f"Did you mean “{near[0]}”?"
                        if near
                        else "Name an ingredient of the list, or `flour` for all of them.",
                    )
                )
        return items, tuple(names)

    def _size(
        self,
        drafts: list[tuple[FormulaPart, list[_Linear | None]]],
        makes: Makes | None,
        losses: tuple[LossOrGain, ...],
    ) -> list[FormulaPart]:
        inside = [
            weight
            for draft, weights in drafts
            for item, weight in zip(draft.items, weights, strict=True)
            if weight is not None and item.purpose is None
        ]
        free = sum((weight.free for weight in inside), Fraction(0))
        size = Fraction(0)
        if free:
            fixed = sum((weight.fixed for weight in inside), Fraction(0))
            target = self._target(makes, losses)
            if target is None:
                self.fail(self._cannot_size())
            elif target <= fixed:
                self.fail(
                    find(
                        "cannot-be-sized",
                        self._makes_span(),
                        "The lines with a weight already come to more than the recipe makes, which "
                        "leaves nothing for the others.",
                        "Ask for more in `makes`, or write the others as weights.",
                        also=_outweighs(drafts, target),
                    )
                )
            else:
                size = (target - fixed) / free
        return [self._sized(draft, weights, size) for draft, weights in drafts]

    def _sized(self, draft: FormulaPart, weights: list[_Linear | None], size: Fraction) -> FormulaPart:
        items = []
        for item, linear in zip(draft.items, weights, strict=True):
            if item.weight is None and linear is not None:
                item = self.weigh(item, linear.fixed + linear.free * size)
            items.append(item)
            if item.weight is None and self.sound and not isinstance(item.entry.value, ToTaste):
                self.fail(
                    find(
                        "cannot-be-weighed",
                        item.entry.value.span,
                        f"{item.name.text} cannot be turned into a weight: nothing it is reckoned from has one.",
                        "Write its weight.",
                    )
                )
        base = [item.weight for item in items if item.is_base]
        known = [weight for weight in base if weight is not None]
        return replace(
            draft,
            items=tuple(items),
            base_weight=sum(known, Fraction(0)) if known and len(known) == len(base) else None,
        )

    def _target(self, makes: Makes | None, losses: tuple[LossOrGain, ...]) -> Fraction | None:
        """g that must go in, for the yield to come out."""
        weight = made_weight(makes, self.kitchen.settings.measures)
        if weight is None or makes is None:
            return None
        for loss in losses:
            if makes.after_losses or loss.before_scaling:
                weight /= loss.factor
        return weight

    def _makes_span(self) -> Span:
        entry = self.recipe.block.entry("makes")
        return entry.span if entry else self.recipe.name.span

    def _cannot_size(self) -> Finding:
        return find(
            "cannot-be-sized",
            self._makes_span(),
            "No ingredient has a weight, and nothing says how much the whole should weigh.",
            "Give the base a weight (`strong flour: 500 g`), or say what it makes with a weight "
            "(`makes: 12 rounds of 60 g`, `makes: 400 g`).",
        )


def _outweighs(drafts: list[tuple[FormulaPart, list[_Linear | None]]], target: Fraction) -> tuple[Also, ...]:
    """The line that alone weighs more than all that is made."""
    lines = [
        (linear.fixed, item)
        for draft, weights in drafts
        for item, linear in zip(draft.items, weights, strict=True)
        if linear is not None and item.purpose is None and linear.fixed >= target
    ]
    if not lines:
        return ()
    _, item = max(lines, key=lambda one: one[0])
    return (Also(item.entry.span, f"{item.name.text} alone weighs more than what is made"),)


class _PartWeights:
    """The weights of one list's lines, before the size of the batch is known."""

    def __init__(
        self, resolver: _Resolver, draft: FormulaPart, base_items: list[Item], base: _Linear | None = None
    ) -> None:
        self.resolver = resolver
        self.draft = draft
        self.base_items = base_items
        self.base = base
        self.done: dict[int, _Linear | None] = {}

    def all(self) -> list[_Linear | None]:
        if self.base_items:
            self.base = self._base()
            self.done.clear()  # what hung on the base had none yet
        return [self.weigh(index, ()) for index in range(len(self.draft.items))]

    def weigh(self, index: int, trail: tuple[int, ...]) -> _Linear | None:
        """A line's weight. `trail` holds the lines that wait for it, so that a loop ends."""
        if index not in self.done:
            self.done[index] = self._weigh(index, trail)
        return self.done[index]

    def _weigh(self, index: int, trail: tuple[int, ...]) -> _Linear | None:
        item = self.draft.items[index]
        value = item.entry.value
        if item.weight is not None:
            return _Linear(item.weight, Fraction(0))
        if isinstance(value, Parts):
            return _SIZE.times(value.number.low)
        if isinstance(value, TimesOf):
            return self._other(index, value.of, value.number.low, trail)
        if isinstance(value, Percentage) and value.of is not None:
            return self._other(index, value.of, value.number.low / 100, trail)
        if isinstance(value, Percentage):
            if self.base is not None:
                return self.base.times(value.number.low / 100)
            if not self.base_items:
                self._no_base(item, value)
        return None

    def _other(self, index: int, target: Name, factor: Fraction, trail: tuple[int, ...]) -> _Linear | None:
        """A share of another line of the list."""
        items = self.draft.items
        found = next(
            (
                number
                for number, item in enumerate(items)
                if number != index and target.key in item.keys and item.purpose is None
            ),
            None,
        )
        if found is None:
            near = nearest(target.text, [item.name.text for item in items])
            self.resolver.fail(
                find(
                    "not-in-the-list",
                    target.span,
                    f"This is a share of “{target.text}”, which this list does not have.",
                    f"Did you mean “{near[0]}”?" if near else "Name another line of the same list.",
                )
            )
            return None
        if found in trail or len(trail) > _DEEPEST:
            self.resolver.fail(
                find(
                    "share-of-itself",
                    target.span,
                    f"“{items[index].name.text}” is a share of “{target.text}”, which is a share of it in turn.",
                    "Give one of the two a weight.",
                )
            )
            return None
        other = self.weigh(found, (*trail, index))
        return other.times(factor) if other else None

    def _base(self) -> _Linear | None:
        """The weight that is 100 %: its lines may have weights, shares of the base, or both."""
        shares = Fraction(0)
        rest = _Linear(Fraction(0), Fraction(0))
        known = False
        for index, item in enumerate(self.draft.items):
            if not any(item is one for one in self.base_items):
                continue
            value = item.entry.value
            if isinstance(value, Percentage) and value.of is None:
                shares += value.number.low / 100
                continue
            weight = self.weigh(index, ())
            if weight is not None:
                rest, known = rest.plus(weight), True
        if known and shares < 1:
            return rest.times(1 / (1 - shares))
        if not known and shares == 1:
            return _SIZE
        if self.resolver.sound:
            self._no_size(shares, known)
        return None

    def _no_size(self, shares: Fraction, known: bool) -> None:
        names = " and ".join(item.name.text for item in self.base_items)
        span = self.base_items[-1].entry.span
        if not known and not shares:
            self.resolver.fail(
                find(
                    "base-not-weighed",
                    span,
                    f"The base, {names}, has neither a weight nor a percentage.",
                    "Write its weight, or `100 %` if the size follows from what the recipe makes.",
                )
            )
            return
        if known:
            message = (
                f"{names} together are 100 %, but the percentages alone come to {percent(shares * 100)}: nothing "
                "is left for the line that has a weight."
            )
        else:
            message = f"What is 100 % here, {names}, adds up to {percent(shares * 100)}."
        self.resolver.fail(
            find(
                "base-not-100",
                span,
                message,
                "Make the percentages of the base come to 100 %, or give one of its lines a weight.",
                also=tuple(Also(item.entry.span, "part of the base too") for item in self.base_items[:-1]),
            )
        )

    def _no_base(self, item: Item, value: Percentage) -> None:
        told = ("percent-without-base", "base-not-listed")
        if any(finding.rule in told for finding in self.resolver.findings):
            return
        weighed = [
            one.name.text for one in self.draft.items if one.weight is not None and one.purpose is None
        ]
        name = weighed[0] if weighed else "strong flour"
        if self.draft.role == "main":
            help = f"Say below `recipe` which ingredient is 100 %: `base: {name}`."
        else:
            help = f"Say of what: `{value.span.text} of {name}`."
        self.resolver.fail(
            find(
                "percent-without-base",
                value.span,
                f"{item.name.text} is {value.span.text}, but nothing says of what.",
                help,
            )
        )


def _is_purpose(detail: Detail) -> bool:
    return name_key(detail.text).startswith("for ")


def _losses(block: Block) -> tuple[LossOrGain, ...]:
    found = []
    for entry in block.entries():
        if entry.label.key in ("loses", "gains") and isinstance(entry.value, Losses):
            for loss in entry.value.losses:
                words = frozenset(loss.words.casefold().split())
                found.append(
                    LossOrGain(
                        Extent(loss.percent.low, loss.percent.high),
                        loss.words,
                        entry.label.key == "gains",
                        bool(words & _BEFORE_SCALING),
                    )
                )
    return tuple(found)


def _serves(block: Block) -> Fraction | None:
    entry = block.entry("serves")
    return entry.value.number.low if entry and isinstance(entry.value, Count) else None


def _piece_word(noun: str, food: Food | None) -> str | None:
    if food is None:
        return None
    return next((word for word in food.words if same_word(word, noun)), None)


def _names_itself(noun: str, item: Item) -> bool:
    """`1 lemon` of lemons, `2 onions` of red onions: the noun is a word of the name, or the name."""
    return any(
        same_word(noun, key) or any(same_word(noun, word) for word in key.split()) for key in item.keys
    )
