"""Every rule with what it really says of its example: data for the catalogue and for `benchproof explain`.

Nothing here is written by hand. An example is judged as `benchproof check` judges a kitchen, so what the catalogue
shows is what a cook will see.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.rule import Example, Rule
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source

JUDGED_ON: Final = "2026-11-20"
"""The day the examples are judged on, where their kitchen does not say: their prices are fresh or stale by it."""

FILE: Final = "example.bench"
_NOWHERE: Final = -1

Mark: TypeAlias = Literal["same", "wrong", "right"]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of an example. `number` counts in the bad text from 1; a right line has that of the one it follows."""

    number: int
    text: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Shown:
    """A rule, what is found of it in its example, and the lines of the example that this is about.

    found  the findings of this rule; others, which are hints at most, are left out
    rows   the wrong lines, then the right ones in their place, and among them the lines that a finding points at and
           the heading of each block; empty where the rule has no example
    """

    rule: Rule
    found: tuple[Finding, ...] = ()
    rows: tuple[Row, ...] = ()


def catalogue(rules: Iterable[Rule] = RULES.values()) -> tuple[Shown, ...]:
    """Each rule with its example judged, in the order given. Takes some hundredths of a second a rule."""
    return tuple(shown(rule) for rule in rules)


def shown(rule: Rule) -> Shown:
    """One rule with its example judged."""
    if rule.example is None:
        return Shown(rule)
    found = tuple(one for one in judged(rule.example.bad) if one.rule == rule.name)
    return Shown(rule, found, rows(rule.example, found))


def judged(text: str) -> list[Finding]:
    """What `benchproof check` finds in a kitchen of this one text."""
    kitchen = Kitchen([Source(text, FILE)])
    return check_kitchen(kitchen, Compiler(kitchen), kitchen.settings.costed_on or JUDGED_ON)


def rows(example: Example, found: Sequence[Finding]) -> tuple[Row, ...]:
    """The lines that tell the example's story, in the order of the text."""
    bad, good = (text.removesuffix("\n").split("\n") for text in (example.bad, example.good))
    first = _alike(bad, good)
    last = _alike(bad[first:][::-1], good[first:][::-1])
    wrong = range(first, len(bad) - last)
    places = (span for one in found for span in (one.span, *(also.span for also in one.also)))
    kept = {span.line - 1 for span in places if span.source.name == FILE}  # not one in the larder
    if not wrong:  # something is missing: the line before it shows where
        kept.add(max(0, first - 1))
    kept |= {_heading(bad, at) for at in {*kept, first}} | {_heading(good, first)}
    around = {*kept, *wrong}  # a single line left out would take as much room as the ellipsis for it
    kept |= {at for at in range(len(bad)) if {at - 1, at + 1} <= around}
    same = [Row(at + 1, bad[at], "same") for at in sorted(kept - {*wrong, _NOWHERE})]
    changed = [Row(at + 1, bad[at], "wrong") for at in wrong]
    changed += [Row(wrong.stop, line, "right") for line in good[first : len(good) - last]]
    before = [row for row in same if row.number <= first]
    return (*before, *changed, *same[len(before) :])


def _alike(one: Sequence[str], other: Sequence[str]) -> int:
    """How many lines from the start two texts have in common."""
    pairs = zip(one, other, strict=False)
    return next((at for at, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))


def _heading(lines: Sequence[str], at: int) -> int:
    """Where the heading stands of the block that an indented line is in, else _NOWHERE."""
    if at >= len(lines) or not lines[at][:1].isspace():
        return _NOWHERE
    above = (number for number in range(at - 1, -1, -1) if lines[number][:1].strip(" \t#"))
    return next(above, _NOWHERE)
