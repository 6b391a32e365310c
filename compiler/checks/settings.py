"""The kitchen's own settings: a room, taps, scales and a height above the sea that no kitchen has."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.display import Degrees, both_temperatures, number, weight
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import Block, Measure, Measures, Scales

ROOM: Final = (Fraction(5), Fraction(45))
FLOUR: Final = (Fraction(-5), Fraction(45))
COLD_TAP: Final = (Fraction(0), Fraction(40))
HOT_TAP: Final = (Fraction(25), Fraction(90))
"""C of a kitchen, its flour and its taps: common practice, no source."""
FRICTION: Final = (Fraction(0), Fraction(25))
"""C that mixing warms a dough by, as the bench rule counts it: common practice, no source."""
ALTITUDE: Final = (Fraction(-450), Fraction(5000))
"""m: from the lowest shore on earth to above the highest towns; from memory."""
STALE: Final = (5, 730)
"""Days that prices are good for: our own choice."""
CAPACITY: Final = (Fraction(20), Fraction(100_000))
DIVISION: Final = (Fraction(1, 1000), Fraction(50))
STEPS: Final = (Fraction(100), Fraction(60_000))
"""g a kitchen's scale carries, g it shows, and how many of its steps it carries: common practice, no source."""


def check_kitchen(kitchen: Kitchen) -> Iterator[Finding]:
    block = next((one for one in kitchen.blocks if one.kind == "kitchen"), None)
    if block is None:
        return
    first: Degrees = "F" if kitchen.settings.measures == "US" else "C"
    yield from _temperatures(block, first)
    yield from _friction(block)
    yield from _scales(block)
    yield from _numbers(block)


def _unlikely(span: Span, message: str, usual: str) -> Finding:
    return find(
        "unlikely-setting",
        span,
        message,
        f"Is a point, a nought or the unit out of place? {usual} is usual.",
    )


def _temperatures(block: Block, first: Degrees) -> Iterator[Finding]:
    for label, usual in (("room", ROOM), ("flour", FLOUR)):
        entry = block.entry(label)
        if entry is None or not isinstance(entry.value, Measure):
            continue
        low, high = quantities.extent(entry.value.quantity)
        if not usual[0] <= low <= high <= usual[1]:
            what = "A kitchen" if label == "room" else "Flour in a kitchen"
            yield _unlikely(
                entry.value.span,
                f"{what} at {both_temperatures(low, high, first)} is no place to work in.",
                both_temperatures(*usual, first),
            )
    entry = block.entry("tap water")
    if entry is None or not isinstance(entry.value, Measure):
        return
    cold, hot = quantities.extent(entry.value.quantity)
    if not COLD_TAP[0] <= cold <= COLD_TAP[1] or not HOT_TAP[0] <= hot <= HOT_TAP[1]:
        yield _unlikely(
            entry.value.span,
            f"No taps run from {both_temperatures(cold, hot, first)}.",
            f"{both_temperatures(Fraction(5), Fraction(60), first)}, from the coldest to the hottest,",
        )


def _friction(block: Block) -> Iterator[Finding]:
    entry = block.entry("friction")
    if entry is None or not isinstance(entry.value, Measures):
        return
    for one in entry.value.measures:
        rise = quantities.celsius_difference(one.quantity.low[0])
        if not FRICTION[0] <= rise <= FRICTION[1]:
            yield _unlikely(
                one.span,
                f"Mixing {one.words} does not warm a dough by {number(rise, 0)} degrees C.",
                "2 C by hand and 11 C in a mixer",
            )


def _scales(block: Block) -> Iterator[Finding]:
    entry = block.entry("scales")
    if entry is None or not isinstance(entry.value, Scales):
        return
    for scale in entry.value.scales:
        step, most = quantities.base(scale.division.low), quantities.base(scale.capacity.low)
        told = ""
        if not CAPACITY[0] <= most <= CAPACITY[1]:
            told = f"No kitchen scale carries only {weight(most, None)}"
            if most > CAPACITY[1]:
                told = f"A scale that carries {weight(most, None)} weighs lorries' loads, not ingredients"
        elif not DIVISION[0] <= step <= DIVISION[1]:
            told = f"A scale with steps of {weight(step, None)} weighs no ingredients"
        elif step and not STEPS[0] <= most / step <= STEPS[1]:
            told = f"No scale carries {number(most / step, 0)} times its own step"
        if told:
            yield _unlikely(scale.span, f"{told}.", "`0.1 g to 500 g`, `1 g to 5 kg`")


def _numbers(block: Block) -> Iterator[Finding]:
    entry = block.entry("altitude")
    if entry is not None and isinstance(entry.value, Measure):
        height = quantities.base(entry.value.quantity.low) / 1000
        if not ALTITUDE[0] <= height <= ALTITUDE[1]:
            yield _unlikely(
                entry.value.span, f"No kitchen stands {number(height, 0)} m above the sea.", "0 to 2500 m"
            )
    entry = block.entry("prices go stale after")
    if entry is not None and isinstance(entry.value, Measure):
        days = quantities.base(entry.value.quantity.low) / 86400
        if not STALE[0] <= days <= STALE[1]:
            yield _unlikely(
                entry.value.span,
                f"Prices that are good for {number(days, 1).removesuffix('.0')} days are "
                + ("always too old." if days < STALE[0] else "never found too old."),
                "30 to 180 days",
            )
