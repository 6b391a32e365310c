"""What is outside what can be checked here: preserving, curing, fermenting, smoking, food for infants.

Told by words of the recipe's name, tags, summary, steps and equipment. Bread dough ferments and is not meant.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler.batch import DurationRun, TurnsRun
from benchproof.compiler.formula import Formula, Item
from benchproof.compiler.kitchen import Recipe
from benchproof.compiler.method import Method
from benchproof.compiler.perils import is_flesh, is_flour, words
from benchproof.compiler.source import Span
from benchproof.compiler.standing import clauses
from benchproof.compiler.syntax import Entry, ProseLine, StepHeading, Text

_DAY: Final = Fraction(86400)


def said(recipe: Recipe, pattern: re.Pattern[str]) -> Iterator[tuple[Span, str]]:
    """Where a pattern stands in the words of a recipe: its name, summary, tags, steps and equipment."""
    yield from _in(recipe.name.text, recipe.name.span, pattern)
    for entry in recipe.block.entries():
        if entry.label.key in ("summary", "tags", "also"):
            yield from _in(entry.value.span.text, entry.value.span, pattern)
    for block in (*recipe.equipment, *recipe.steps):
        if isinstance(block.heading, StepHeading):
            yield from _in(block.heading.name.text, block.heading.name.span, pattern)
        for line in block.lines:
            if isinstance(line, Entry):
                yield from _in(line.label.text, line.label.span, pattern)
            elif isinstance(line, ProseLine):
                for piece in line.pieces:
                    if isinstance(piece, Text):
                        yield from _in(piece.span.text, piece.span, pattern)


def _in(text: str, span: Span, pattern: re.Pattern[str]) -> Iterator[tuple[Span, str]]:
    for found in pattern.finditer(text):
        yield span.part(found.start(), found.end()), found[0]


@dataclass(frozen=True, slots=True)
class Process:
    """A way of making food that this does not check.

    `what` names it in a sentence; `help` says where to turn; `mild` where it is usual at home and only told.
    `told` finds where it stands.
    """

    name: str
    what: str
    help: str
    caution: str
    source: str
    told: Callable[[Formula, Method], Iterator[Span]]
    mild: bool = False

    def found(self, formula: Formula, method: Method) -> Iterator[Span]:
        return self.told(formula, method)


def _by(
    pattern: str, *, unless: Callable[[Formula], bool] | None = None
) -> Callable[[Formula, Method], Iterator[Span]]:
    regex = re.compile(pattern, re.I)

    def told(formula: Formula, method: Method) -> Iterator[Span]:
        if unless is None or not unless(formula):
            yield from (span for span, _ in said(formula.recipe, regex))

    return told


def _doughy(formula: Formula) -> bool:
    """Whether it is a dough or a batter: grains and pulses that are ground and soured are, too."""
    whole = formula.weight
    grist = sum(
        (
            item.weight
            for item in formula.items()
            if item.inside and item.weight and (is_flour(item) or item.kind in ("grain", "pulse", "starter"))
        ),
        Fraction(0),
    )
    return bool(whole) and grist * 5 >= whole


def _curing(formula: Formula, method: Method) -> Iterator[Span]:
    """Curing by its words, or flesh that lies in salt or brine for more than two days."""
    yield from _CURES(formula, method)
    if not any(is_flesh(item) for item in formula.items()):
        return
    for step in method.steps:
        for clause in clauses(step):
            if not re.search(r"\b(?:brin\w+|salt\w*|cur\w+)\b", clause.words + step.name.text, re.I):
                continue
            for event in clause.events:
                if isinstance(event.run, DurationRun) and event.run.duration.high > 2 * _DAY:
                    yield event.piece.span


_CURES: Final = _by(
    r"\b(?:to )?cure (?:the|it|them|in|for|at|under)\b|\bcuring\b|\b(?:saltpetre|saltpeter|nitrites?|nitrates?"
    r"|prague powder|pink curing salt)\b|\bdry-?cure\b"
    r"|\b(?:biltong|jerky|bresaola|salami|gravla(?:x|ks))\b"
)
_FERMENTS: Final = _by(
    r"\b(?:lacto-?)?ferment(?:s|ed|ing|ation)?\b|\b(?:sauerkraut|kombucha|kvass|tempeh|scoby|ginger bug|water kefir)\b",
    unless=_doughy,
)


def _fermenting(formula: Formula, method: Method) -> Iterator[Span]:
    """Fermenting by its words, or salted vegetables left for days out of the fridge."""
    if any(
        re.search(r"\b(?:fermented|kimchi|sauerkraut|kombucha|tempeh)\b", key)
        for item in formula.items()
        for key in item.keys
    ):
        return
    yield from _FERMENTS(formula, method)
    if _doughy(formula) or not any(item.kind == "vegetable" for item in formula.items()):
        return
    if is_keeping_oil(formula) is not None:
        return  # that is another danger, with a process of its own
    if any(item.kind == "vinegar" for item in formula.items()) or any(
        is_flesh(item) for item in formula.items()
    ):
        return
    for step in method.steps:
        for clause in clauses(step):
            cold = re.search(r"fridge|freez|cold|chill", clause.words, re.I) or any(
                run.place in ("fridge", "freezer") for run in clause.temperatures
            )
            for event in clause.events:
                run = event.run
                long = isinstance(run, DurationRun) and run.hands_off and run.duration.high >= 2 * _DAY
                turned = (
                    isinstance(run, TurnsRun)
                    and run.every is not None
                    and run.every.high * run.times.high >= 2 * _DAY
                )
                if (long or turned) and not cold:
                    yield event.piece.span


def _oil(formula: Formula, method: Method) -> Iterator[Span]:
    """Garlic or herbs left in oil for a day or more, where nothing says the fridge."""
    if is_keeping_oil(formula) is None:
        return
    for step in method.steps:
        for clause in clauses(step):
            cold = re.search(r"fridge|freez|cold|chill", clause.words, re.I) or any(
                run.place in ("fridge", "freezer") for run in clause.temperatures
            )
            for event in clause.events:
                if isinstance(event.run, DurationRun) and event.run.duration.high >= _DAY and not cold:
                    yield event.piece.span


def is_keeping_oil(formula: Formula) -> Item | None:
    """The garlic or fresh herb in something that is two fifths oil and has next to no acid; None where it has none."""
    for part in formula.listed:
        items = [item for item in part.items if item.inside and item.weight]
        whole = sum((item.weight for item in items if item.weight), Fraction(0))
        oil = sum((item.weight for item in items if item.kind == "oil" and item.weight), Fraction(0))
        sour = sum(
            (
                item.weight
                for item in items
                if item.weight and (item.kind == "vinegar" or {"lemon", "lime", "lemons"} & words(item))
            ),
            Fraction(0),
        )
        if not whole or oil * 5 < whole * 2 or sour * 8 >= whole:
            continue
        for item in items:
            name = words(item)
            fresh = item.kind == "herb" and "dried" not in name and "bay" not in name
            if fresh or ("garlic" in name and item.kind in ("vegetable", None)) or "chillies" in name:
                return item
    return None


_TESTED: Final = "Use a tested recipe from a food-safety authority."
_CANS: Final = "USDA Complete Guide to Home Canning (AIB 539), from memory"

PROCESSES: Final = (
    Process(
        "canning-outside",
        "canning and bottling",
        _TESTED,
        "Canning is outside what this checks: no time or pressure here is a safe one. Above pH 4.6 only a pressure "
        "canner and a tested recipe will do.",
        f"21 CFR 114.3 Acidified foods (US FDA), from memory; {_CANS}",
        _by(
            r"\b(?:pressure|water[- ]bath|steam) cann?(?:er|ing)\b|\bcanner\b|\bhome[- ]cann?(?:ed|ing)\b|\bcanning\b"
            r"|\bprocess(?:ed)? (?:the )?(?:\w+ )?jars\b|\bjars? in (?:a |the )?(?:boiling )?water bath\b"
        ),
    ),
    Process(
        "jars-outside",
        "keeping food in shut jars",
        _TESTED,
        "Keeping food in shut jars is outside what this checks. Use a tested recipe, and throw away what smells, leaks "
        "or bulges.",
        _CANS,
        _by(
            r"\bsterili[sz](?:e|es|ed|ing) (?:\w+ ){0,2}(?:jars?|bottles?)\b"
            r"|\b(?:jars?|bottles?) (?:is |are )?sterili[sz]ed\b"
        ),
        mild=True,
    ),
    Process(
        "curing-outside",
        "curing",
        "Weigh salt and nitrite by a tested recipe only, and ask a qualified person.",
        "Curing is outside what this checks. Salt, nitrite and time must come from a tested recipe.",
        _CANS,
        _curing,
    ),
    Process(
        "fermenting-outside",
        "fermenting",
        _TESTED,
        "Fermenting is outside what this checks. Salt, acid and warmth must come from a tested recipe.",
        _CANS,
        _fermenting,
    ),
    Process(
        "smoking-outside",
        "smoking",
        "Write the core temperature as for any other cooking, and follow a tested recipe.",
        "Smoking is outside what this checks. Cold smoke cooks nothing.",
        "common food-safety advice, from memory",
        _by(
            r"\b(?:cold|hot)[- ]smok(?:e|es|ing)\b|\bsmoker\b|\b(?:smokehouse|smoke box)\b"
            r"|\bsmoke (?:the|it|them) (?:for|over|at|until)\b"
        ),
    ),
    Process(
        "oil-outside",
        "garlic or herbs left in oil",
        "Keep it in the fridge and use it within 4 days, or freeze it.",
        "Garlic, herbs and vegetables in oil can grow the poison of botulism: keep them in the fridge, 4 days at most.",
        _CANS,
        _oil,
    ),
    Process(
        "infants-outside",
        "food for infants",
        "Ask a qualified person about salt, sugar, honey, texture and allergens.",
        "Food for infants is outside what this checks. No honey under 12 months, no added salt, nothing to choke on.",
        "CDC botulism prevention, from memory; the rest is common advice, no source",
        _by(
            r"\b(?:infants?|babies|toddlers?|weaning)\b"
            r"|\bbaby(?:'s|’s)? (?:food|pur[eé]e|rice|porridge|cereal|biscuits?|meals?)\b"
            r"|\bfor (?:a|the|your|my) baby\b|\bfirst foods?\b"
        ),
        mild=True,
    ),
)
