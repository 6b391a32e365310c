"""The notebook: trials held against what was worked out, and what they found out and nobody did.

How long a trial took is held against the plan in `times`.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import Extent
from benchproof.compiler.checks.heat import INTO_A_DRY_MIX
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import Degrees, both_temperatures, count, weight
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.formula import Formula, same_word
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.ratios import YEASTS
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import (
    Block,
    Count,
    Date,
    DatedHeading,
    Entry,
    Measure,
    Measured,
    ProseLine,
    Quantity,
    TemperatureFact,
    name_key,
)

_TWICE: Final = Fraction(2)
"""How many times heavier or lighter than was worked out: our own choice."""

_SIX_TIMES: Final = Fraction(6)
"""The same for a trial that does not say how many it made: half, double and quarter batches are common."""

_WATER: Final = (Fraction(0), Fraction(100))
_DOUGH: Final = (Fraction(5), Fraction(40))
"""Degrees Celsius. A dough colder than a fridge or warmer than a fever was not mixed: common practice, no source."""

_DOUGH_APART: Final = Fraction(8)
"""Degrees Celsius between the dough a step asks for and the one a trial had: our own choice."""


@dataclass(frozen=True, slots=True)
class _Trial:
    block: Block
    date: Date

    def entry(self, label: str) -> Entry | None:
        return self.block.entry(label)

    def quantity(self, label: str) -> tuple[Quantity, Span] | None:
        """What an entry measures, and where."""
        entry = self.entry(label)
        if entry is None or not isinstance(entry.value, Measure | Measured):
            return None
        return entry.value.quantity, entry.value.span


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    trials = [
        _Trial(block, block.heading.date)
        for block in compiled.recipe.trials
        if isinstance(block.heading, DatedHeading)
    ]
    yield from _dates(trials, compiled, kitchen)
    for trial in trials:
        yield from _saying(trial)
        yield from _counted(trial, compiled.formula)
        yield from _weighed(trial, compiled.formula, kitchen)
        yield from _temperatures(trial, compiled)
    yield from _next(trials, compiled)


# ---------------------------------------------------------------- when, and what it says


def _dates(trials: list[_Trial], compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    on = compiled.batch.asked.on if compiled.batch is not None and not kitchen.settings.costed_on else None
    for trial in trials:
        if on is not None and trial.date.text > on:
            yield find(
                "trial-dated-ahead",
                trial.date.span,
                f"This trial is of {trial.date.text}, and it is {on}.",
                "Write the day on which it was made.",
            )
    dates = [trial.date.text for trial in trials]
    if dates in (sorted(dates), sorted(dates, reverse=True)):
        return
    for before, trial in itertools.pairwise(trials):
        if trial.date.text < before.date.text:
            yield find(
                "trials-out-of-order",
                trial.date.span,
                f"This trial of {trial.date.text} stands below one of {before.date.text}, and others stand the "
                "other way round.",
                "Keep them in the order of their days, the newest first or last.",
                also=(Also(before.date.span, "the one above it"),),
            )


def _saying(trial: _Trial) -> Iterator[Finding]:
    if not trial.block.lines:
        yield find(
            "trial-empty",
            trial.date.span,
            f"This trial says nothing but its day, {trial.date.text}.",
            "Write what came of it, `result: …`, and what to try, `next: …`; or take it out.",
        )
        return
    changed = trial.entry("changed")
    prose = any(isinstance(line, ProseLine) for line in trial.block.lines)
    if changed is not None and trial.entry("result") is None and not prose:
        yield find(
            "trial-without-result",
            changed.span,
            "This trial says what was changed, and not what came of it.",
            "Write it in a line `result: …`, if only in three words.",
        )


def _next(trials: list[_Trial], compiled: Compiled) -> Iterator[Finding]:
    """What was to be tried next: taken up by a later trial, or by a recipe written since."""
    written = compiled.recipe.block.entry("date")
    since = written.value.text if written is not None and isinstance(written.value, Date) else ""
    newest = max((trial.date.text for trial in trials), default="")
    for trial in trials:
        entry = trial.entry("next")
        if entry is None or trial.date.text < newest or trial.date.text < since:
            continue
        yield find(
            "next-not-taken-up",
            entry.value.span,
            f"“{_short(entry.value.span.text)}” was to be tried next, on {trial.date.text}; no trial since has.",
            "Try it, and write the trial down; or change the recipe and its `date`; or take the line out.",
        )


def _short(text: str) -> str:
    return text if len(text) <= _LETTERS else f"{text[: _LETTERS - 1].rstrip()}…"


_LETTERS: Final = 60


# ---------------------------------------------------------------- what it measured


def _counted(trial: _Trial, formula: Formula) -> Iterator[Finding]:
    made, makes = trial.entry("made"), formula.makes
    if made is None or makes is None or not isinstance(made.value, Count):
        return
    if makes.noun is None or makes.count is None:
        return
    words = name_key(made.value.words).split()
    ours = makes.noun.key.split()
    if not words or not ours or any(same_word(one, other) for one in words for other in ours):
        return
    yield find(
        "trial-counts-others",
        made.value.span,
        f"This trial made {made.value.span.text}, and the recipe makes {makes.span.text}.",
        f"Count what the recipe counts, in the form `made: {count(makes.count.low)} {makes.noun.text}`.",
        also=(Also(makes.span, "what it makes"),),
    )


def _weighed(trial: _Trial, formula: Formula, kitchen: Kitchen) -> Iterator[Finding]:
    weighed, made = trial.entry("weighed"), trial.entry("made")
    if weighed is None or not isinstance(weighed.value, Measure | Measured) or not formula.sound:
        return
    whole = formula.finished if getattr(weighed.value, "after_losses", False) else formula.scaled
    if not whole or weighed.value.quantity.dimension != "mass":
        return
    makes = formula.makes
    all_of_it = makes.count.low if makes is not None and makes.count is not None else formula.serves
    pieces = made.value.number.low if made is not None and isinstance(made.value, Count) else None
    known = pieces is not None and all_of_it
    expected = whole * pieces / all_of_it if known and pieces and all_of_it else whole
    grams = quantities.base(weighed.value.quantity.low, kitchen.settings.measures)
    far = _TWICE if known else _SIX_TIMES
    if not grams or not expected or expected / far <= grams <= expected * far:
        return
    yield find(
        "trial-weight-far-off",
        weighed.value.span,
        f"This trial weighed {weighed.value.span.text}; by the recipe "
        + (f"{made.value.span.text} would weigh" if known and made is not None else "a batch would weigh")
        + f" {weight(expected, Fraction(1))}.",
        "Look at the weight and the number again; if both are right, an amount or a loss of the recipe is not.",
        also=(Also(made.value.span, "how many were made"),) if known and made is not None else (),
    )


def _temperatures(trial: _Trial, compiled: Compiled) -> Iterator[Finding]:
    first: Degrees = compiled.batch.asked.temperatures if compiled.batch is not None else "C"
    yeast = any(item.kind in YEASTS or item.kind == "starter" for item in compiled.formula.items())
    water = trial.quantity("water")
    if water is not None:
        heat = Extent(*quantities.extent(water[0]))
        low, high = _WATER
        if not low <= heat.low <= heat.high <= high:
            yield _unlikely(water[1], "water", f"water is {both_temperatures(low, high, first)}")
        elif yeast and heat.low > INTO_A_DRY_MIX:
            most = both_temperatures(INTO_A_DRY_MIX, INTO_A_DRY_MIX, first, maximum=True)
            yield _unlikely(water[1], "water", f"yeast does not live through more than {most}")
    dough = trial.quantity("dough")
    if dough is None:
        return
    heat = Extent(*quantities.extent(dough[0]))
    low, high = _DOUGH
    if not low <= heat.low <= heat.high <= high:
        yield _unlikely(dough[1], "a dough", f"doughs are mixed at {both_temperatures(low, high, first)}")
        return
    wanted = _dough_wanted(compiled)
    if wanted is not None:
        asked = Extent(*quantities.extent(wanted.temperature))
        if heat.high < asked.low - _DOUGH_APART or heat.low > asked.high + _DOUGH_APART:
            yield find(
                "trial-temperature-unlikely",
                dough[1],
                f"The dough of this trial had {dough[1].text}, and the method asks for {wanted.temperature.span.text}.",
                "Look at the figure again; if it is right, the water was too warm or too cold.",
                also=(Also(wanted.span, "what the method asks for"),),
                severity=Severity.HINT,
            )


def _unlikely(span: Span, what: str, why: str) -> Finding:
    return find(
        "trial-temperature-unlikely",
        span,
        f"{what} of {span.text} cannot be: {why}.",
        "Look at the figure and its unit again.",
    )


def _dough_wanted(compiled: Compiled) -> TemperatureFact | None:
    """The one dough temperature that the method asks for."""
    facts = [
        piece
        for step in compiled.recipe.steps
        for line in step.prose()
        for piece in line.pieces
        if isinstance(piece, TemperatureFact) and piece.place == "dough"
    ]
    return facts[0] if len(facts) == 1 else None
