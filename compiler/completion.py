"""What could be written next, where the cursor stands: by the line's own text, for it is seldom whole yet."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from benchproof.compiler.blocks import RawBlock, blank_out, colon_at, comment_start, cut
from benchproof.compiler.food import KINDS
from benchproof.compiler.food_law import ALLERGENS, LAW_NAMES
from benchproof.compiler.kitchen import Kitchen, Recipe
from benchproof.compiler.labels import EXAMPLE_HEADINGS, LEVELS, VOCABULARY, Label, ValueRule
from benchproof.compiler.naming import part_names, step_names
from benchproof.compiler.quantities import SYSTEMS, UNITS
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import Dimension, name_key
from benchproof.compiler.workspace import Room

SuggestionKind: TypeAlias = Literal["heading", "label", "name", "unit", "word", "rule", "phrase"]

_USUAL: Final[dict[Dimension, tuple[str, ...]]] = {
    "mass": ("g", "kg", "oz", "lb"),
    "volume": ("ml", "l", "tsp", "tbsp", "cups"),
    "time": ("min", "h", "s", "days", "weeks", "months"),
    "length": ("cm", "mm", "m", "inch"),
    "temperature": ("C", "F"),
    "energy": ("kWh", "MJ"),
}
"""The spellings offered; all others are read too."""

_MEASURED: Final[dict[ValueRule, tuple[Dimension, ...]]] = {
    "amount": ("mass", "volume"),
    "bound": ("mass", "time"),
    "density": ("mass",),
    "duration": ("time",),
    "held": ("mass", "volume"),
    "keeps": ("time",),
    "length": ("length",),
    "makes": ("mass",),
    "price": ("mass", "volume"),
    "quantity": ("mass", "volume"),
    "reheats": ("temperature",),
    "scales": ("mass",),
    "tariff": ("energy",),
    "temperature": ("temperature",),
    "temperatures": ("temperature",),
    "tin": ("length",),
    "wage": ("time",),
    "weight": ("mass",),
}
_SHARES: Final[frozenset[ValueRule]] = frozenset({"amount", "bound", "percent", "loses", "gains"})
"""Values that may be a percentage."""

_FACT_WORDS: Final = {
    "time": ("hands-off",),
    "temperature": ("oven", "fan oven", "pan", "oil", "core", "dough", "room", "fridge", "freezer"),
}
FIGURES: Final = (
    "hydration",
    "water in all",
    "salt",
    "salt in all",
    "yeast",
    "sugar",
    "sugar in all",
    "fat",
    "fat in all",
    "milk solids",
    "prefermented flour",
    "inoculation",
    "cost",
    "cost each",
    "cost a portion",
    "total time",
    "hands-on time",
    "weight each",
)
"""What `expect` may name; a style names ratios, which come first."""
_RATIOS: Final = 12

_PORTIONS: Final = ("the rest of the ", "half the ", "all of the ", "a third of the ", "a quarter of the ")

_NUMBER_AND: Final = re.compile(
    r"(?:^|[\s\[,(])[0-9½⅓⅔¼¾][0-9.,/½⅓⅔¼¾–-]*(?: to [0-9.]+)? ?(?P<unit>[^\W\d]*)$"
)
_NUMBER_UNIT_WORD: Final = re.compile(
    r"[0-9½⅓⅔¼¾] ?(?P<unit>°?[^\W\d]+) (?P<word>[^\W\d]*(?:[ -][^\W\d]*)?)$"
)
_OF_THE: Final = re.compile(r"^(?:.*\b(?:of|half|third|quarter)\b(?: the)? |the )(?P<name>.*)$")
_CLAUSE: Final = re.compile(r",\s+(?P<word>after|during|for)\s+(?:the\s+)?(?P<rest>[^,]*(?:,[^,]*)*)$")


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A way to go on: `text` in the place of what stands from `start` to `end`; `detail` says what it is."""

    label: str
    text: str
    start: int
    end: int
    kind: SuggestionKind
    detail: str = ""


@dataclass(frozen=True, slots=True)
class _Here:
    """Where the cursor stands: the room and recipe it is in, and the line before it, every blank a space."""

    room: Room
    raw: RawBlock | None
    recipe: Recipe | None
    before: str
    offset: int

    @property
    def kitchen(self) -> Kitchen:
        return self.room.kitchen

    def words(
        self, words: Iterable[str], typed: str, kind: SuggestionKind, detail: str = "", after: str = ""
    ) -> Iterator[Suggestion]:
        """Each word once, in the place of what was typed of it."""
        for word in dict.fromkeys(words):
            yield Suggestion(word, word + after, self.offset - len(typed), self.offset, kind, detail)


def suggestions(room: Room, source: Source, offset: int) -> list[Suggestion]:
    """What could be written at an offset of a text. Nothing inside a comment, nor in free text."""
    start = source.text.rfind("\n", 0, offset) + 1
    before = blank_out(source.text[start:offset])
    if comment_start(before) >= 0:
        return []
    raws = cut(source)
    raw = next((one for one in reversed(raws) if one.place.offset < start), None)
    line_starts_block = next(
        (
            one
            for one in raws
            if one.heading is not None
            and one.place.offset + one.heading.start == start
            and one.kind is not None
        ),
        None,
    )
    at_margin = not before[:1].isspace()
    if at_margin:
        recipe = _recipe_above(room, source, start)
        return list(_margin(_Here(room, line_starts_block or raw, recipe, before, offset)))
    if raw is None or raw.kind is None:
        return []
    here = _Here(room, raw, _recipe_above(room, source, offset), before, offset)
    return list(_inside(here))


def _recipe_above(room: Room, source: Source, offset: int) -> Recipe | None:
    """The recipe that the block at an offset belongs to, or would belong to when it is whole."""
    found = None
    for recipe in room.recipes_in(source):
        if recipe.block.span.first <= offset:
            found = recipe
    return found


# ---------------------------------------------------------------- headings


def _margin(here: _Here) -> Iterator[Suggestion]:
    word, blank, rest = here.before.partition(" ")
    if not blank:
        for kind, example in EXAMPLE_HEADINGS.items():
            plain = example == kind
            text = kind if plain else f"{kind} "
            yield Suggestion(
                kind, text, here.offset - len(here.before), here.offset, "heading", f"as in: {example}"
            )
        return
    clause = _CLAUSE.search(here.before)
    if word == "step" and clause is not None and here.recipe is not None:
        if clause["word"] == "for":
            names = [name.text for name in part_names(here.recipe)]
            yield from here.words(names, clause["rest"], "name", "part of this recipe")
            return
        own = name_key(here.before[5:].split(",", 1)[0])
        above = [name.text for name in step_names(here.recipe) if name.key != own]
        typed = (
            re.split(r", and |, | and ", clause["rest"])[-1] if clause["word"] == "after" else clause["rest"]
        )
        yield from here.words(above, typed, "name", "step of this recipe")
    elif word == "step" and re.search(r",\s+[a-z]*$", here.before):
        typed = re.split(r",\s+", here.before)[-1]
        yield from here.words(("after ", "during ", "for the "), typed, "phrase")
    elif word == "preferment" and " of " in rest and here.recipe is not None:
        typed = re.split(r" of (?:the )?", rest)[-1]
        yield from here.words(("flour", *_listed(here.recipe)), typed, "name", "ingredient of this recipe")
    elif word == "prices" and rest.startswith("at ") and " on " not in rest:
        shops = [line.shop for lines in here.kitchen.prices.values() for line in lines]
        yield from here.words(shops, rest[3:], "name", "a shop of another list", " on ")
    elif word in ("ingredient", "style"):
        names = here.kitchen.larder.food_names if word == "ingredient" else here.kitchen.larder.style_names
        yield from here.words(names, rest, "name", "in the built-in larder")


# ---------------------------------------------------------------- lines


def _inside(here: _Here) -> Iterator[Suggestion]:
    assert here.raw is not None
    assert here.raw.kind is not None
    kind, text = here.raw.kind, here.before.lstrip(" ")
    if kind == "step" or (kind == "trial" and "[" in text):
        yield from _prose(here, text)
        return
    colon = colon_at(text)
    vocabulary = VOCABULARY[kind]
    if colon >= 0:
        label = vocabulary.find(name_key(text[:colon])) or vocabulary.open
        if label is not None:
            yield from _value(here, label, text[colon + 1 :].lstrip(" "))
        return
    yield from _labels(here, text)


def _labels(here: _Here, typed: str) -> Iterator[Suggestion]:
    assert here.raw is not None
    kind = here.raw.kind
    assert kind is not None
    vocabulary, there = VOCABULARY[kind], _labels_there(here.raw)
    for label in vocabulary.labels:
        if label.repeats or label.name not in there:
            start = here.offset - len(typed)
            yield Suggestion(label.name, f"{label.name}: ", start, here.offset, "label", f"{label.meaning}")
    kitchen = here.kitchen
    if kind in ("ingredients", "preferment", "soaker"):
        if kind != "ingredients" and here.recipe is not None:
            yield from here.words(_listed(here.recipe), typed, "name", "ingredient of this recipe", ": ")
        foods = [name for name in kitchen.food_names() if name_key(name) not in there]
        yield from here.words(foods, typed, "name", "known food", ": ")
        recipes = [one.name.text for one in kitchen.own_recipes() if one is not here.recipe]
        yield from here.words(recipes, typed, "name", "recipe of this kitchen", ": ")
    elif kind in ("prices", "cupboard"):
        listed = [entry for one in kitchen.own_recipes() for entry in _listed(one)]
        priced = [lines[0].item.text for lines in kitchen.prices.values()]
        instead = [
            entry.value.span.text
            for one in kitchen.own_recipes()
            if (entry := one.block.entry("instead of")) is not None
        ]
        names = [
            one for one in (*priced, *listed, *instead, *kitchen.food_names()) if name_key(one) not in there
        ]
        yield from here.words(names, typed, "name", "bought before, or an ingredient", ": ")
    elif kind in ("expect", "style"):
        figures = FIGURES if kind == "expect" else FIGURES[:_RATIOS]
        yield from here.words(
            (one for one in figures if one not in there), typed, "name", "a printed figure", ": "
        )
    elif kind == "checks":
        for name, rule in RULES.items():
            if name not in there:
                yield from here.words([name], typed, "rule", rule.meaning, ": ")


def _labels_there(raw: RawBlock) -> set[str]:
    text = blank_out(raw.text)
    found = set()
    for line in raw.lines:
        content = text[line.start : line.end]
        colon = colon_at(content)
        if colon > 0:
            found.add(name_key(content[:colon]))
    return found


def _listed(recipe: Recipe) -> list[str]:
    """The ingredients of a recipe by the names its lists give them."""
    return list(dict.fromkeys(entry.label.text for block in recipe.ingredients for entry in block.entries()))


def _value(here: _Here, label: Label, typed: str) -> Iterator[Suggestion]:
    kitchen = here.kitchen
    last = re.split(r",\s*", typed)[-1]
    if label.name == "style" and here.raw is not None and here.raw.kind == "recipe":
        yield from here.words(kitchen.style_names(), typed, "name", "style")
    elif label.name == "base" and here.recipe is not None:
        yield from here.words(("flour", *_listed(here.recipe)), last, "name", "ingredient of this recipe")
    elif label.value == "waive":
        if " because " not in f" {typed} ":
            for name, rule in RULES.items():
                if rule.family != "writing":
                    yield from here.words([name], typed, "rule", rule.meaning, " because ")
    elif label.value == "level":
        yield from here.words(LEVELS, typed, "word")
    elif label.value == "yes no":
        yield from here.words(("yes", "no"), typed, "word")
    elif label.value == "system":
        yield from here.words(SYSTEMS, typed, "word")
    elif label.value == "contains":
        words = ("nothing", *ALLERGENS.values()) if label.name == "contains" else ALLERGENS.values()
        yield from here.words(words, last, "word", "allergen")
    elif label.name == "kind":
        yield from here.words(KINDS, typed, "word", "kind of food")
    elif label.name == "food law":
        yield from here.words(LAW_NAMES, typed, "word", "food law")
    elif label.name == "instead of":
        priced = [lines[0].item.text for lines in kitchen.prices.values()]
        yield from here.words(priced, typed, "name", "on a price list")
    elif label.value == "week":
        if "," not in typed:
            yield from here.words([one.name.text for one in kitchen.own_recipes()], typed, "name", "recipe")
    elif label.value == "amount" and not typed:
        yield from here.words(("to taste",), typed, "phrase")
    if label.value in _MEASURED or label.value in _SHARES:
        yield from _units(here, typed, _MEASURED.get(label.value, ()), share=label.value in _SHARES)


def _units(
    here: _Here, typed: str, dimensions: Iterable[Dimension], *, share: bool = False
) -> Iterator[Suggestion]:
    number = _NUMBER_AND.search(typed)
    if number is None:
        return
    unit = number["unit"]
    blank = "" if typed[: len(typed) - len(unit)].endswith(" ") else " "
    words = [word for dimension in dimensions for word in _USUAL[dimension]] + (["%"] if share else [])
    for word in words:
        yield Suggestion(word, blank + word, here.offset - len(unit), here.offset, "unit")


# ---------------------------------------------------------------- facts


def _prose(here: _Here, text: str) -> Iterator[Suggestion]:
    opened = text.rfind("[")
    if opened < 0 or "]" in text[opened:] or text[:opened].endswith("["):
        return
    typed = text[opened + 1 :].lstrip(" ")
    number = _NUMBER_UNIT_WORD.search(typed)
    if number is not None and number["unit"] in UNITS:
        words = _FACT_WORDS.get(UNITS[number["unit"]].dimension, ())
        yield from here.words(words, number["word"], "word")
        if UNITS[number["unit"]].dimension in ("mass", "volume"):
            yield from here.words(("of the ",), number["word"], "phrase")
        if not number["word"].startswith("of "):
            return
    if _NUMBER_AND.search(typed):
        yield from _units(here, typed, ("time", "temperature", "mass", "volume", "length"), share=True)
        if re.fullmatch(r"[0-9]+ [a-z ]*", typed):
            yield from here.words(("at a time", "of the ", "times, every "), typed.split(" ", 1)[1], "phrase")
        return
    if here.recipe is None:
        return
    after = _OF_THE.match(typed)
    name = after["name"] if after is not None else typed
    names = [*_listed(here.recipe), *(part.text for part in part_names(here.recipe))]
    yield from here.words(names, name, "name", "of this recipe")
    if after is None or (typed.startswith("the ") and " of " not in typed):
        yield from here.words(_PORTIONS, typed, "phrase")
    if not typed:
        yield from here.words(("the pieces", "each piece"), typed, "phrase")
