"""The clean recipes, and every number, unit and name in them that a slip of the pen could hit.

A *site* is one such token: where it stands, of what sort it is, and what surrounds it. Sites come from the tree, so
comments and free text have none.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any
from unittest.mock import patch

from benchproof.compiler import checks
from benchproof.compiler import kitchen as kitchen_module
from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen, Recipe, open_kitchen
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source, Span
from benchproof.compiler.syntax import (
    Block,
    ChangeFact,
    Counted,
    Draw,
    DurationFact,
    Entry,
    Fact,
    IngredientsHeading,
    Keeps,
    LoadFact,
    Losses,
    Makes,
    MeasureFact,
    Name,
    NamedHeading,
    Names,
    Numbered,
    Percentage,
    PrefermentHeading,
    Price,
    PricesHeading,
    StepHeading,
    TemperatureFact,
    Text,
    TurnsFact,
    Words,
    name_key,
)

ROOT = Path(__file__).parents[3]
CLEAN = ROOT / "tests" / "recipes" / "clean"
DEMO = ROOT / "recipes"
ON = "2026-11-20"
"""The day that kitchens without a `costed on` are judged on."""


@dataclass(frozen=True, slots=True)
class Where:
    """A line of a kitchen: the source's name in it, and the line's number from 1."""

    file: str
    line: int


@dataclass(frozen=True, eq=False)
class State:
    """A kitchen checked: all its findings, and each recipe compiled."""

    kitchen: Kitchen
    findings: list[Finding]
    compiled: dict[str, Compiled]
    found: dict[str, list[Finding]] = field(default_factory=dict)
    """What the checks of one recipe found, by its key."""


def check_whole(
    kitchen: Kitchen, on: str, before: State | None = None, changed: Source | None = None
) -> State:
    """Check a kitchen with the compiler's own `check_kitchen`.

    With `before`, a recipe that stands in another file than `changed` and uses no recipe of it is not compiled and
    checked again: its blocks are the very same. Only for files that hold nothing but recipes.
    """
    touched = _touched(kitchen, changed) if before is not None and changed is not None else None
    compiled: dict[str, Compiled] = {}
    found: dict[str, list[Finding]] = {}

    def keep(key: str) -> bool:
        return touched is not None and key not in touched and before is not None and key in before.found

    class Remembering(Compiler):
        def compile(self, recipe: Recipe, request: Request) -> Compiled:
            key = recipe.name.key
            if key not in compiled:
                compiled[key] = (
                    before.compiled[key] if keep(key) and before else super().compile(recipe, request)
                )
            return compiled[key]

    real = checks.check_recipe

    def check_recipe(one: Compiled, *rest: Any) -> list[Finding]:
        key = one.recipe.name.key
        found[key] = before.found[key] if keep(key) and before else list(real(one, *rest))
        return list(found[key])

    with patch.object(checks, "check_recipe", check_recipe):
        findings = check_kitchen(kitchen, Remembering(kitchen), kitchen.settings.costed_on or on)
    return State(kitchen, findings, compiled, found)


def _touched(kitchen: Kitchen, changed: Source) -> frozenset[str]:
    """The recipes of the changed file, and those that use them, by however many ways."""
    recipes = kitchen.own_recipes()
    touched = {recipe.name.key for recipe in recipes if recipe.source is changed}
    while True:
        names = {key for recipe in recipes if recipe.name.key in touched for key in recipe.keys}
        more = {
            recipe.name.key
            for recipe in recipes
            for block in recipe.ingredients
            for entry in block.entries()
            if entry.label.key in names
        } - touched
        if not more:
            return frozenset(touched)
        touched |= more


class Bench:
    """One clean kitchen: a folder or a lone file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        kitchen = open_kitchen(path)
        self.sources = kitchen.sources
        self.root = kitchen.root
        self.label = path.relative_to(ROOT).as_posix() if path.is_relative_to(ROOT) else path.name
        self._files = {
            id(source): (source, kitchen_module.read(source)) for source in self.sources
        }  # the source is held too, or its id could be given to another

    def shown(self, file: str) -> str:
        """A source's name as a path from the repository's root."""
        return file if self.path.is_file() and file == self.label else self._shown(file)

    def _shown(self, file: str) -> str:
        return (
            f"{self.path.relative_to(ROOT).parent.as_posix()}/{file}"
            if self.path.is_file()
            else (f"{self.label}/{file}")
        )

    def _kitchen(self, sources: Iterable[Source]) -> Kitchen:
        real: Callable[[Source], Any] = kitchen_module.read

        def read(source: Source) -> Any:
            return self._files[id(source)][1] if id(source) in self._files else real(source)

        with patch.object(kitchen_module, "read", read):
            return Kitchen(sources, self.root)

    @cached_property
    def state(self) -> State:
        return check_whole(self._kitchen(self.sources), ON)

    def planted(self, number: int, text: str, *, quick: bool = True) -> State:
        """The kitchen with another text in the place of source `number`."""
        changed = Source(text, self.sources[number].name, path=self.sources[number].path)
        sources = [*self.sources[:number], changed, *self.sources[number + 1 :]]
        kitchen = self._kitchen(sources)
        lone = all(
            block.kind not in ("kitchen", "prices", "ingredient", "style", "checks")
            for block in (*self.blocks_of(number), *(b for b in kitchen.blocks if b.place.source is changed))
        )
        same = {recipe.name.key for recipe in kitchen.own_recipes()} == set(self.state.compiled)
        if quick and lone and same:
            return check_whole(kitchen, ON, self.state, changed)
        return check_whole(kitchen, ON)

    def blocks_of(self, number: int) -> list[Block]:
        source = self.sources[number]
        return [block for block in self.state.kitchen.blocks if block.place.source is source]

    @cached_property
    def sites(self) -> tuple[Site, ...]:
        return tuple(_sites(self))


@dataclass(frozen=True, eq=False)
class Site:
    """One number, unit or name of a clean text.

    `start` and `end` are offsets in the whole text of source `number`. `sort` says what it is: `amount`, `duration`,
    `list name`, ... (the table in `operators` lists them); `what` is `number`, `unit` or `name`. `partner` is the other
    end of a range; `unit` the unit a number stands before.
    """

    bench: Bench
    number: int
    sort: str
    what: str
    start: int
    end: int
    block: Block
    recipe: Recipe | None = None
    entry: Entry | None = None
    fact: Fact | None = None
    unit: str = ""
    partner: tuple[int, int] | None = None
    first: bool = True
    """Whether it is the lower end of its range, or no range."""

    @property
    def text(self) -> str:
        return self.source.text[self.start : self.end]

    @property
    def source(self) -> Source:
        return self.bench.sources[self.number]

    @property
    def line(self) -> int:
        return self.source.position(self.start)[0]

    @property
    def value(self) -> Fraction:
        """The number itself; of a unit, the number before it."""
        if self.what == "unit" and self.partner is not None:
            return number_of(self.source.text[slice(*self.partner)])
        return number_of(self.text)

    @property
    def dimension(self) -> str:
        return dimension_of(self.unit)


_UNITS = {
    "mass": ("g", "kg", "oz", "lb", "mg"),
    "volume": ("ml", "l", "cl", "dl", "tsp", "tbsp", "cup", "cups", "pint", "pints"),
    "time": ("s", "min", "h", "day", "days", "week", "weeks", "month", "months"),
    "temperature": ("C", "F", "°C", "°F"),
    "length": ("mm", "cm", "m", "inch", "inches"),
}


def dimension_of(unit: str) -> str:
    return next((dimension for dimension, units in _UNITS.items() if unit in units), "")


_FRACTIONS = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
}
NUMBER = re.compile(r"(?<![\w./])(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?|[½¼¾⅓⅔])(?![\w/]|\.\d)")
_UNIT = re.compile(r"\s*(°?[A-Za-z]+|%)")


def number_of(text: str) -> Fraction:
    return sum((_FRACTIONS.get(word) or Fraction(word) for word in text.split()), Fraction(0))


@dataclass(frozen=True, slots=True)
class Token:
    """A number in a stretch of text, with its unit and the other end of its range; offsets in the whole text."""

    start: int
    end: int
    unit: str
    unit_at: tuple[int, int] | None
    partner: tuple[int, int] | None
    first: bool


def tokens(span: Span) -> list[Token]:
    """The numbers of a span, in order. The unit of a range stands after its second number and is both ends'."""
    text = span.text
    found = list(NUMBER.finditer(text))
    read: list[Token] = []
    for at, match in enumerate(found):
        after = found[at + 1] if at + 1 < len(found) else None
        before = found[at - 1] if at else None
        low = after is not None and re.fullmatch(r"\s*(?:-|–|to)\s*", text[match.end() : after.start()])
        high = before is not None and re.fullmatch(r"\s*(?:-|–|to)\s*", text[before.end() : match.start()])
        holder = after if low and after else match
        unit = _UNIT.match(text, holder.end())
        word = unit[1] if unit else ""
        other = after if low else before if high else None
        read.append(
            Token(
                span.first + match.start(),
                span.first + match.end(),
                word,
                (span.first + unit.start(1), span.first + unit.end(1)) if unit and not low else None,
                (span.first + other.start(), span.first + other.end()) if other else None,
                not high,
            )
        )
    return read


# ---------------------------------------------------------------- sites


def _sites(bench: Bench) -> Iterator[Site]:
    owner: dict[int, Recipe] = {
        id(block): recipe for recipe in bench.state.kitchen.own_recipes() for block in recipe.blocks
    }
    for number in range(len(bench.sources)):
        for block in bench.blocks_of(number):
            maker = _Maker(bench, number, block, owner.get(id(block)))
            yield from maker.sites()


@dataclass(frozen=True)
class _Maker:
    bench: Bench
    number: int
    block: Block
    recipe: Recipe | None

    def name(self, sort: str, span: Span, **more: Any) -> Site:
        return Site(
            self.bench, self.number, sort, "name", span.first, span.last, self.block, self.recipe, **more
        )

    def numbers(self, sort: str, span: Span, **more: Any) -> Iterator[Site]:
        for token in tokens(span):
            yield Site(
                self.bench,
                self.number,
                sort,
                "number",
                token.start,
                token.end,
                self.block,
                self.recipe,
                unit=token.unit,
                partner=token.partner,
                first=token.first,
                **more,
            )
            if token.unit_at and dimension_of(token.unit):
                yield Site(
                    self.bench,
                    self.number,
                    sort,
                    "unit",
                    *token.unit_at,
                    self.block,
                    self.recipe,
                    unit=token.unit,
                    partner=(token.start, token.end),
                    **more,
                )

    def sites(self) -> Iterator[Site]:
        yield from self.heading()
        for entry in self.block.entries():
            yield from self.entry(entry)
        if self.block.kind == "step":
            for line in self.block.prose():
                for piece in line.pieces:
                    if not isinstance(piece, Text):
                        yield from self.fact(piece)
        elif self.block.kind == "equipment":
            for line in self.block.prose():
                yield from self.numbers("equipment", line.span)

    def heading(self) -> Iterator[Site]:
        heading = self.block.heading
        if isinstance(heading, StepHeading):
            yield self.name("step name", heading.name.span)
            if heading.part is not None:
                yield self.name("part name", heading.part.span)
            for clause in (heading.after, heading.during):
                if clause is not None:
                    for span in self.steps_named(clause):
                        yield self.name("after name", span)
        elif isinstance(heading, PrefermentHeading):
            yield self.name("preferment name", heading.name.span)
            yield from self.numbers("preferment share", heading.share.span)
        elif isinstance(heading, IngredientsHeading) and heading.part is not None:
            yield self.name("list part name", heading.part.span)
        elif isinstance(heading, PricesHeading):
            yield self.name("price date", heading.date.span)
            yield self.name("price heading", heading.span)
        elif isinstance(heading, NamedHeading) and self.block.kind == "style":
            yield self.name("style block name", heading.name.span)

    def steps_named(self, clause: Name) -> Iterator[Span]:
        """The step names in a clause `A, B and C`: an `and` may be part of a name."""
        known = sorted(
            (block.heading.name.text for block in self.recipe.steps if isinstance(block.heading, StepHeading))
            if self.recipe
            else (),
            key=len,
            reverse=True,
        )
        at = 0
        while at < len(clause.text):
            rest = clause.text[at:]
            hit = next((name for name in known if name_key(rest).startswith(name_key(name))), None)
            if hit is not None and rest[: len(hit)].casefold() == hit.casefold():
                yield clause.span.part(at, at + len(hit))
                at += len(hit)
            else:
                at += 1

    def entry(self, entry: Entry) -> Iterator[Site]:
        kind, value, label = self.block.kind, entry.value, entry.label.key
        more = {"entry": entry}
        if kind in ("ingredients", "preferment", "soaker"):
            yield self.name("list name", entry.label.span, **more)
            if isinstance(value, Percentage):
                yield from self.numbers("percent", value.number.span, **more)
            elif isinstance(value, Counted):
                yield from self.numbers("amount", value.number.span, **more)
            else:
                yield from self.numbers("amount", value.span, **more)
        elif kind == "recipe":
            yield from self.recipe_entry(entry)
        elif kind == "expect":
            yield self.name("expect name", entry.label.span, **more)
            yield from self.numbers("expect", value.span, **more)
        elif kind == "prices":
            yield self.name("price name", entry.label.span, **more)
            if isinstance(value, Price) and value.pack is not None:
                money = next(iter(tokens(value.span)))
                yield Site(
                    self.bench, self.number, "price", "number", money.start, money.end, self.block, **more
                )
                yield from self.numbers("pack", value.pack.span, **more)
        elif kind == "ingredient":
            if label in ("kind", "contains"):
                spans = [one.span for one in value.names] if isinstance(value, Names) else [value.span]
                for span in spans:
                    yield self.name("fact word", span, **more)
            elif label not in ("source", "also", "spoils", "eaten raw"):
                yield from self.numbers(
                    "ingredient fact", Span(value.span.place, value.span.start, entry.span.end), **more
                )
        elif kind == "style":
            if label not in ("source", "basis", "also"):
                yield self.name("style bound name", entry.label.span, **more)
                yield from self.numbers("style bound", value.span, **more)
        elif kind == "kitchen":
            if label == "currency":
                yield self.name("currency", value.span, **more)
            elif label not in ("language", "costed on", "page address", "shops"):
                yield from self.numbers("setting", value.span, **more)
        elif kind == "equipment":
            yield from self.numbers("equipment", entry.label.span, **more)
            yield from self.numbers("equipment", value.span, **more)
        elif kind == "trial":
            yield from self.numbers("trial", value.span, **more)

    def recipe_entry(self, entry: Entry) -> Iterator[Site]:
        value, label = entry.value, entry.label.key
        more = {"entry": entry}
        if isinstance(value, Makes):
            if value.count is not None:
                yield from self.numbers("makes count", value.count.span, **more)
            weight = value.each or value.total
            if weight is not None:
                yield from self.numbers("makes weight", weight.span, **more)
        elif label == "serves":
            yield from self.numbers("serves", value.span, **more)
        elif label == "base" and isinstance(value, Names):
            for name in value.names:
                yield self.name("base name", name.span, **more)
        elif label == "style":
            yield self.name("style name", value.span, **more)
        elif label == "instead of":
            yield self.name("instead name", value.span, **more)
        elif label == "may contain" and isinstance(value, Names):
            for name in value.names:
                yield self.name("fact word", name.span, **more)
        elif isinstance(value, Losses):
            for loss in value.losses:
                yield from self.numbers("gain" if label == "gains" else "loss", loss.percent.span, **more)
        elif isinstance(value, Keeps):
            for keep in value.keeps:
                yield from self.numbers("keeps", keep.span, **more)
        elif label == "reheats" and isinstance(value, Words):
            yield from self.numbers("reheats", value.span, **more)
        elif label == "tin":
            yield from self.numbers("tin", value.span, **more)

    def fact(self, fact: Fact) -> Iterator[Site]:
        more = {"fact": fact}
        if isinstance(fact, Draw):
            yield self.name("draw name", fact.name.span, **more)
            if fact.share.kind not in ("all-left", "all", "rest"):
                stretch = Span(fact.span.place, fact.span.start, fact.name.span.start)
                yield from self.numbers("draw amount", stretch, **more)
        elif isinstance(fact, DurationFact):
            yield from self.numbers("duration", fact.span, **more)
        elif isinstance(fact, TurnsFact):
            yield from self.numbers("turns", fact.span, **more)
        elif isinstance(fact, TemperatureFact):
            yield from self.numbers("temperature", fact.temperature.span, **more)
        elif isinstance(fact, ChangeFact):
            yield from self.numbers("change time", fact.duration.span, **more)
            yield from self.numbers("change temperature", fact.start.span, **more)
            yield from self.numbers("change temperature", fact.end.span, **more)
        elif isinstance(fact, LoadFact):
            yield from self.numbers("load", fact.number.span, **more)
        elif isinstance(fact, MeasureFact | Numbered):
            sort = "pieces"
            if isinstance(fact, MeasureFact) and fact.kind != "pieces":
                sort = "length" if fact.kind == "length" else "each"
            yield from self.numbers(sort, fact.span, **more)


def corpus() -> tuple[Bench, ...]:
    """Every clean kitchen: the lone files and folders of `clean`, and the demo kitchen."""
    folders = sorted(path.parent for path in CLEAN.rglob("kitchen.bench"))
    lone = [
        path
        for path in sorted(CLEAN.rglob("*.bench"))
        if not any(path.is_relative_to(folder) for folder in folders)
    ]
    return tuple(Bench(path) for path in (*lone, *folders, DEMO))


# ---------------------------------------------------------------- comparing findings


def _family(finding: Finding) -> tuple[str, int, str, str]:
    """What makes two findings one and the same, whatever line they stand on: figures left out."""
    return (
        finding.rule,
        int(finding.severity),
        finding.span.source.name,
        re.sub(r"\d+(?:[.,/]\d+)*", "#", finding.message),
    )


def new_findings(before: Iterable[Finding], after: Iterable[Finding]) -> list[Finding]:
    """The findings of `after` that `before` had none of: by rule, severity, file and message without its figures.

    Where `after` has more of one such family than `before`, those whose whole message is not there before are the
    new ones.
    """
    old = list(before)
    spare = Counter(_family(one) for one in old)
    exact = Counter((*_family(one), one.message) for one in old)
    later: list[Finding] = []
    for one in after:
        key = (*_family(one), one.message)
        if exact[key]:
            exact[key] -= 1
            spare[_family(one)] -= 1
        else:
            later.append(one)
    new: list[Finding] = []
    for one in later:
        if spare[_family(one)] > 0:
            spare[_family(one)] -= 1
        else:
            new.append(one)
    return new
