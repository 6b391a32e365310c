"""Every place where something is named, and what is meant there: for whoever asks where a name comes from, where
else it stands, and to have it changed everywhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Final, Literal, TypeAlias

from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Edit
from benchproof.compiler.kitchen import Kitchen, Recipe
from benchproof.compiler.parser import read
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source, Span
from benchproof.compiler.syntax import (
    Block,
    Draw,
    Entry,
    IngredientsHeading,
    Name,
    NamedHeading,
    Names,
    Numbered,
    Percentage,
    PrefermentHeading,
    ProseLine,
    StepHeading,
    TemperatureFact,
    Text,
    TimesOf,
    Words,
    name_key,
)

Kind: TypeAlias = Literal["food", "recipe", "style", "step", "part"]

_LISTS: Final = frozenset({"ingredients", "preferment", "soaker"})
_INNER: Final = re.compile(r"(?:the )?(?:yolks?|whites?|zest|juice) of (?:the )?", re.IGNORECASE)
_JOINT: Final = re.compile(r"\s*,\s*and\s+|\s*,\s*|\s+and\s+")


@dataclass(frozen=True, slots=True)
class Thing:
    """What a name means. `key` is one of its names' keys; `owner` the recipe's that a step or part belongs to."""

    kind: Kind
    key: str
    owner: str = ""


@dataclass(frozen=True, slots=True)
class Mention:
    """A place where a thing is named. `role` tells what the name does there.

    `defines` it (its own heading), `other name` (`also`), `lists` it (a line of ingredients), or only `uses` it.
    """

    span: Span
    thing: Thing
    role: Literal["defines", "other name", "lists", "uses"] = "uses"


class Namer:
    """Finds the mentions of one kitchen."""

    def __init__(self, kitchen: Kitchen) -> None:
        self.kitchen = kitchen
        self._owners: dict[int, Recipe] = {}
        self._tables: dict[int, dict[str, Thing]] = {}
        for recipe in kitchen.own_recipes():
            for block in recipe.blocks:
                self._owners[id(block)] = recipe

    # ------------------------------------------------------------ asking

    def all(self) -> Iterator[Mention]:
        """Every mention, in the order of the files."""
        for block in self.kitchen.blocks:
            yield from self.inside(block)

    def at(self, block: Block, offset: int) -> Mention | None:
        """What is named at an offset of a block's text."""
        found = [one for one in self.inside(block) if one.span.first <= offset <= one.span.last]
        return min(found, key=lambda one: one.span.end - one.span.start, default=None)

    def places(self, thing: Thing, *, defining: bool = True) -> list[Mention]:
        """Where a thing is named, its own heading too where that is asked for."""
        return [one for one in self.all() if one.thing == thing and (defining or one.role != "defines")]

    def origin(self, mention: Mention) -> list[Span]:
        """Where a name comes from: a draw from its line of the list, a line from the food or recipe it is."""
        thing = mention.thing
        if mention.role == "uses" and thing.kind in ("food", "recipe"):
            recipe = self._recipe_around(mention.span)
            lines = [] if recipe is None else self._lines(recipe, thing)
            if lines:
                return lines
        found = [one.span for one in self.places(thing) if one.role == "defines"]
        if not found and thing.kind == "food":
            food = self.kitchen.larder.food(thing.key)
            found = [_first_line(food.span)] if food is not None and food.span is not None else []
        if not found and thing.kind == "style":
            style = self.kitchen.larder.style(thing.key)
            found = [_first_line(style.span)] if style is not None else []
        return found

    def _recipe_around(self, span: Span) -> Recipe | None:
        for block in self.kitchen.blocks:
            if block.place is span.place:
                return self._owners.get(id(block))
        return None

    def _lines(self, recipe: Recipe, thing: Thing) -> list[Span]:
        return [
            mention.span
            for block in (*recipe.ingredients, *recipe.preferments, *recipe.soakers)
            for mention in self.inside(block)
            if mention.role == "lists" and mention.thing == thing
        ]

    # ------------------------------------------------------------ what a name means

    def food(self, key: str, recipe: Recipe | None = None) -> Thing:
        """The food or the recipe's product of that name, as a line of ingredients means it."""
        return _meant(self.kitchen, key, recipe)

    def _style(self, text: str) -> Thing:
        style = self.kitchen.style(text)
        return Thing("style", min(style.keys) if style is not None else name_key(text))

    def table(self, recipe: Recipe) -> dict[str, Thing]:
        """What a step of this recipe may draw, by every key it answers to."""
        table = self._tables.get(id(recipe))
        if table is None:
            table = {}
            for block in (*recipe.ingredients, *recipe.preferments, *recipe.soakers):
                part = _part_name(block)
                if part is not None:
                    table.setdefault(part.key, Thing("part", part.key, recipe.name.key))
                for entry in block.entries():
                    thing = self.food(entry.label.key, recipe)
                    table[entry.label.key] = thing
                    for key in self._keys(thing):
                        table.setdefault(key, thing)
            self._tables[id(recipe)] = table
        return table

    def _keys(self, thing: Thing) -> frozenset[str]:
        if thing.kind == "recipe":
            return self.kitchen.recipes[thing.key].keys
        food = self.kitchen.foods.get(thing.key) or self.kitchen.larder.food(thing.key)
        return food.keys if food is not None else frozenset({thing.key})

    # ------------------------------------------------------------ the mentions of a block

    def inside(self, block: Block) -> Iterator[Mention]:
        recipe = self._owners.get(id(block))
        yield from self._heading(block, recipe)
        for line in block.lines:
            if isinstance(line, Entry):
                yield from self._entry(block, line, recipe)
            elif isinstance(line, ProseLine) and recipe is not None:
                yield from self._prose(line, recipe)

    def _heading(self, block: Block, recipe: Recipe | None) -> Iterator[Mention]:
        heading = block.heading
        if isinstance(heading, NamedHeading):
            if block.kind == "ingredient":
                yield Mention(heading.name.span, self._own_food(heading.name), "defines")
            elif block.kind == "style":
                yield Mention(heading.name.span, self._style(heading.name.text), "defines")
            elif block.kind == "recipe":
                yield Mention(heading.name.span, Thing("recipe", heading.name.key), "defines")
        if recipe is None:
            return
        owner = recipe.name.key
        part = _part_name(block)
        if part is not None:
            yield Mention(part.span, Thing("part", part.key, owner), "defines")
        if isinstance(heading, PrefermentHeading) and heading.of.key in self.table(recipe):
            yield Mention(heading.of.span, self.table(recipe)[heading.of.key])
        if isinstance(heading, StepHeading):
            yield Mention(heading.name.span, Thing("step", heading.name.key, owner), "defines")
            if heading.part is not None:
                yield Mention(heading.part.span, Thing("part", heading.part.key, owner))
            if heading.during is not None:
                yield Mention(heading.during.span, Thing("step", heading.during.key, owner))
            if heading.after is not None:
                for name in _steps_in(heading.after, step_names(recipe)):
                    yield Mention(name.span, Thing("step", name.key, owner))

    def _own_food(self, name: Name) -> Thing:
        food = self.kitchen.food(name)
        return Thing("food", min(food.keys) if food is not None else name.key)

    def _entry(self, block: Block, entry: Entry, recipe: Recipe | None) -> Iterator[Mention]:
        label, value = entry.label, entry.value
        if block.kind in _LISTS and recipe is not None and label.key != "seed":
            yield Mention(label.span, self.food(label.key, recipe), "lists")
        elif block.kind in ("prices", "cupboard"):
            yield Mention(label.span, self.food(label.key))
        if isinstance(value, TimesOf | Percentage) and value.of is not None and recipe is not None:
            yield from self._named(value.of, recipe)
        elif isinstance(value, Names) and label.key == "base" and recipe is not None:
            for name in value.names:
                yield from self._named(name, recipe)
        elif isinstance(value, Names) and label.key == "also" and isinstance(block.heading, NamedHeading):
            whose = block.heading.name
            if block.kind == "ingredient":
                thing = self._own_food(whose)
            elif block.kind == "style":
                thing = self._style(whose.text)
            else:
                thing = Thing("recipe", whose.key)
            for name in value.names:
                yield Mention(name.span, thing, "other name")
        elif isinstance(value, Words) and block.kind == "recipe":
            if label.key == "style":
                yield Mention(value.span, self._style(value.text))
            elif label.key == "instead of":
                yield Mention(value.span, self.food(name_key(value.text)))
        elif (
            isinstance(value, Words) and block.kind == "week" and name_key(value.text) in self.kitchen.recipes
        ):
            product = self.kitchen.recipes[name_key(value.text)]
            yield Mention(value.span, Thing("recipe", product.name.key))

    def _prose(self, line: ProseLine, recipe: Recipe) -> Iterator[Mention]:
        for piece in line.pieces:
            if isinstance(piece, Text):
                continue
            if isinstance(piece, Draw):
                yield from self._named(piece.name, recipe)
            elif isinstance(piece, Numbered):
                yield from self._named(piece.raw, recipe)
            elif isinstance(piece, TemperatureFact) and piece.of is not None:
                yield from self._named(piece.of, recipe)

    def _named(self, name: Name, recipe: Recipe) -> Iterator[Mention]:
        """The thing that a phrase names, and the very words of it: `eggs` of `the yolks of the eggs`."""
        table = self.table(recipe)
        for start, end in _cuts(name.text):
            thing = table.get(name_key(name.text[start:end]))
            if thing is not None:
                start += len(name.text[start:end]) - len(_bare(name.text[start:end]))
                yield Mention(name.span.part(start, end), thing)
                for_part = re.match(r" for (?:the )?", name.text[end:])
                if for_part is not None:
                    rest = name.text[end + for_part.end() :]
                    part = table.get(name_key(rest))
                    if part is not None and part.kind == "part":
                        yield Mention(name.span.part(end + for_part.end(), len(name.text)), part)
                return


def _meant(kitchen: Kitchen, key: str, recipe: Recipe | None) -> Thing:
    product = kitchen.recipes.get(key)
    food = kitchen.foods.get(key) or kitchen.larder.food(key)
    if product is not None and not (product is recipe and food is not None):
        return Thing("recipe", product.name.key)
    return Thing("food", min(food.keys) if food is not None else key)


def _bare(text: str) -> str:
    """Without a leading `the`, unless there is nothing else."""
    found = re.match(r"the\s+(?=\S)", text, re.IGNORECASE)
    return text[found.end() :] if found else text


def _cuts(text: str) -> Iterator[tuple[int, int]]:
    """The stretches of a phrase that may be a name, the longest first, as a draw is read."""
    ends = [len(text), *(found.start() for found in re.finditer(r" for ", text))]
    inner = _INNER.match(text)
    for start in (0, inner.end()) if inner else (0,):
        for end in ends:
            if end > start:
                yield start, end


def _part_name(block: Block) -> Name | None:
    heading = block.heading
    if isinstance(heading, IngredientsHeading):
        return heading.part
    if isinstance(heading, PrefermentHeading):
        return heading.name
    if block.kind == "soaker" and isinstance(heading, NamedHeading):
        return heading.name
    return None


def step_names(recipe: Recipe) -> list[Name]:
    return [block.heading.name for block in recipe.steps if isinstance(block.heading, StepHeading)]


def part_names(recipe: Recipe) -> list[Name]:
    """The parts, preferments and soakers of a recipe."""
    blocks = (*recipe.ingredients, *recipe.preferments, *recipe.soakers)
    return [name for block in blocks if (name := _part_name(block)) is not None]


def _steps_in(phrase: Name, steps: list[Name]) -> Iterator[Name]:
    """The names in `A, B and C`; a step's own name may hold `and`."""
    text, known, at = phrase.text, {step.key for step in steps}, 0
    while at < len(text):
        joints = [(found.start(), found.end()) for found in _JOINT.finditer(text, at)]
        ends = [*joints, (len(text), len(text))]
        end, after = next((one for one in reversed(ends) if name_key(text[at : one[0]]) in known), ends[0])
        start = at + len(text[at:end]) - len(_bare(text[at:end]))
        if end > start:
            yield Name(text[start:end], phrase.span.part(start, end))
        at = max(after, at + 1)


def _first_line(span: Span) -> Span:
    return span.part(0, len(span.text.split("\n", 1)[0]))


# ---------------------------------------------------------------- another name


class CannotRename(ValueError):
    """Why a name is not changed: whole sentences for the cook."""


def renamed(kitchen: Kitchen, mention: Mention, new: str, on: str) -> list[Edit]:
    """The edits that give an ingredient another name everywhere in the kitchen. `on` is a day to compile for.

    What is renamed is the name as it is spelt there: other names of the same food (`also`) stay what they are.
    After it every recipe comes to the same Batch but for the name; that is tried out before anything is changed.
    Raises CannotRename.
    """
    if mention.thing.kind != "food":
        raise CannotRename("Only ingredients are renamed here. This is the name of something else.")
    old = mention.span.text
    new = " ".join(new.split())
    _can_be_a_name(new)
    if new == old:
        return []
    old_key, new_key = name_key(old), name_key(new)
    namer = Namer(kitchen)
    food = kitchen.foods.get(new_key) or kitchen.larder.food(new_key)
    its_own = new_key != old_key and food is not None and min(food.keys) == mention.thing.key
    if new_key != old_key and not its_own:
        _is_free(kitchen, namer, new)
    places = [
        one
        for one in namer.all()
        if one.thing == mention.thing
        and name_key(one.span.text) == old_key
        # Where it has the new name too, its own block may stay: only what calls it by the old one changes.
        and not (its_own and one.role in ("defines", "other name"))
    ]
    edits = [Edit(one.span, new) for one in places]
    _same_but_for_the_name(kitchen, edits, mention.thing, (old, new), on)
    return edits


def _can_be_a_name(new: str) -> None:
    """Raises CannotRename where a list or a draw could not hold it."""
    refused = CannotRename(
        f"“{new}” cannot be the name of an ingredient: in a list or in a step it would be read as something else. "
        "Use words without commas, colons and brackets, not beginning with an amount."
    )
    text = f"recipe R\n\ningredients\n  {new}: 1 g\n\nstep S\n  Mix [{new}].\n\ningredient {new}\n  kind: flour\n"
    file, findings = read(Source(text))
    if findings or [block.kind for block in file.blocks] != ["recipe", "ingredients", "step", "ingredient"]:
        raise refused
    _, listed, step, own = file.blocks
    entry = next(listed.entries(), None)
    drawn = [piece for line in step.prose() for piece in line.pieces if isinstance(piece, Draw | Numbered)]
    names = [
        entry.label.text if entry is not None else "",
        own.heading.name.text if isinstance(own.heading, NamedHeading) else "",
        *(one.name.text if isinstance(one, Draw) else one.raw.text for one in drawn),
    ]
    if len(drawn) != 1 or {name_key(one) for one in names} != {name_key(new)}:
        raise refused
    if isinstance(drawn[0], Draw) and drawn[0].share.kind != "all-left":
        raise refused


def _is_free(kitchen: Kitchen, namer: Namer, new: str) -> None:
    """Raises CannotRename where something else has the name already."""
    key = name_key(new)
    if key not in kitchen.foods and kitchen.larder.food(key) is not None:
        raise CannotRename(f"“{new}” is another food in the built-in larder. Choose another name.")
    taken = next((one.span for one in namer.all() if name_key(one.span.text) == key), None)
    if taken is not None:
        place = f"{taken.source.name}, line {taken.line}"
        raise CannotRename(
            f"“{new}” is the name of something in this kitchen already ({place}). Choose another."
        )


def _same_but_for_the_name(
    kitchen: Kitchen, edits: Iterable[Edit], thing: Thing, names: tuple[str, str], on: str
) -> None:
    """Raises CannotRename where any recipe would come to something else than before."""
    texts: dict[str, str] = {source.name: source.text for source in kitchen.sources}
    for edit in sorted(edits, key=lambda one: one.span.first, reverse=True):
        name = edit.span.source.name
        texts[name] = texts[name][: edit.span.first] + edit.text + texts[name][edit.span.last :]
    after = Kitchen(
        [Source(texts[source.name], source.name, path=source.path) for source in kitchen.sources],
        kitchen.root,
    )
    if len(after.findings) != len(kitchen.findings):
        raise CannotRename(f"With “{names[1]}” a line would be read as something else. Choose another name.")
    one, other = Compiler(kitchen), Compiler(after)
    for recipe, twin in zip(kitchen.own_recipes(), after.own_recipes(), strict=True):
        if not _touched(kitchen, recipe, thing, set()):
            continue
        was = one.compile(recipe, Request(on=on)).batch
        now = other.compile(twin, Request(on=on)).batch
        if _but_for(was, names) != _but_for(now, names):
            raise CannotRename(
                f"“{recipe.name.text}” would not come to the same with “{names[1]}”: what the built-in larder knows of "
                f"“{names[0]}” goes by that name. Write `ingredient {names[0]}` with a line `also: {names[1]}` in the "
                "kitchen first."
            )


def _touched(kitchen: Kitchen, recipe: Recipe, thing: Thing, seen: set[str]) -> bool:
    """Whether a recipe, or one that goes into it, lists the thing."""
    seen.add(recipe.name.key)
    for block in (*recipe.ingredients, *recipe.preferments, *recipe.soakers):
        for entry in block.entries():
            meant = _meant(kitchen, entry.label.key, recipe)
            if meant == thing:
                return True
            if meant.kind == "recipe" and meant.key not in seen:
                inner = kitchen.recipes.get(meant.key)
                if inner is not None and _touched(kitchen, inner, thing, seen):
                    return True
    return False


def _but_for(value: Any, names: tuple[str, str]) -> Any:
    """A Batch as plain data, without where it stands in the text, and with either name made one."""
    if is_dataclass(value) and not isinstance(value, type):
        return {
            one.name: _but_for(getattr(value, one.name), names)
            for one in fields(value)
            if one.name not in ("where", "revision")
        }
    if isinstance(value, tuple):
        return tuple(_but_for(one, names) for one in value)
    if isinstance(value, str):
        text = " ".join(value.split()).casefold()
        for name in sorted((name.casefold() for name in names), key=len, reverse=True):
            text = text.replace(name, "\0")
        return text
    return value
