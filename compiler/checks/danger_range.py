"""The danger range: what spoils and stands neither cold nor hot, cooling that is too slow, thawing in the warm."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from benchproof.compiler.batch import ChangeRun, DurationRun, TemperatureRun
from benchproof.compiler.display import Degrees, both_temperatures, duration
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.food_safety import (
    DISCARD,
    HEAT,
    OUT,
    OUT_IN_THE_HEAT,
    SECOND_STAGE,
    STAGE_ONE,
    STAGE_TWO,
    STAGES,
    STANDARD_ZONE,
    least,
)
from benchproof.compiler.formula import Item
from benchproof.compiler.perils import dryness, is_fish, is_minced, is_poultry, is_raw_flesh
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.standing import (
    THAWS,
    WARM_FRIDGE,
    Held,
    Stay,
    Walk,
    is_rising,
    prose_spans,
    too_slow,
)

_BATTER: Final = DISCARD.seconds
"""s that a raw batter of egg or milk may stand before it is cooked: our own choice, the limit for anything out."""

_LOW: Final = Fraction(30)
"""C from which warmth is meant to cook: our own choice."""
_LONG: Final = Fraction(30 * 60)
"""s from which low warmth is a way of cooking, and not a warm plate: our own choice."""


def check(walked: Walk, *, american: bool, first: Degrees) -> Iterator[Finding]:
    """What stands, thaws or cools too long. `american` where the kitchen's food law is the United States'."""
    low = list(_low_and_long(walked, first))
    thawed = list(_thawed(walked))
    yield from low
    yield from thawed
    taken = {one.span for one in (*low, *thawed)}
    taken |= {also.span for one in (*low, *thawed) for also in one.also}
    yield from _stood(walked, taken, first)
    yield from _cooling(walked, american=american, first=first)


# ---------------------------------------------------------------- standing


def _limit(stay: Stay, walked: Walk) -> Fraction:
    """s that it may stand in all."""
    if stay.temperature is not None and stay.temperature > HEAT.celsius and stay.place == "room":
        return OUT_IN_THE_HEAT.seconds
    if stay.batter and any(one.order > stay.order for one in walked.heatings):
        return _BATTER
    return OUT.seconds


def _stood(walked: Walk, taken: set[Span], first: Degrees) -> Iterator[Finding]:
    seen: set[Span] = set()
    for stay in walked.stays:
        limit, discard = _limit(stay, walked), DISCARD.seconds
        before = stay.total - stay.spent
        crossed = before <= limit < stay.total or before < discard <= stay.total
        if not crossed or stay.total <= limit or stay.span in seen or stay.span in taken:
            continue
        seen.add(stay.span)
        yield _too_long(stay, limit, first)


def _too_long(stay: Stay, limit: Fraction, first: Degrees) -> Finding:
    food = f"{'cooked ' if stay.cooked and stay.worst.kind in _COOKED else ''}{stay.worst.name.text}"
    where = {
        "room": "out of the fridge",
        "between": "neither cold nor hot",
    }.get(stay.place, "out of the fridge")
    if stay.temperature is not None:
        where = f"at {both_temperatures(stay.temperature, stay.temperature, first)}"
    total = duration(stay.total)
    summed = f", {total} in all" if stay.total > stay.spent else ""
    discard = stay.total >= DISCARD.seconds
    fridge = stay.place == "between" and stay.temperature is not None and stay.temperature <= WARM_FRIDGE
    most = duration(limit)
    why = (
        f"after {duration(DISCARD.seconds)} it is usually thrown away"
        if discard
        else f"{most} is the usual limit"
    )
    low, high = STANDARD_ZONE[0].celsius, STANDARD_ZONE[1].celsius
    return find(
        "stood-too-long",
        stay.span,
        f"“{stay.text}” leaves {food} {where}{summed}; {why}.",
        f"Write where it is kept cold or hot (`[4 C fridge]`), or stand it for less than {most}: between "
        f"{both_temperatures(low, high, first)} harmful bacteria grow. This is usual guidance; local food law comes "
        "first.",
        severity=Severity.ERROR if discard and not fridge else Severity.WARNING,
    )


_COOKED: Final = frozenset({"grain", "pasta", "pulse", "vegetable"})
"""Kinds of which it is their having been cooked that makes them spoil."""


# ---------------------------------------------------------------- low and long


def least_for(item: Item) -> Fraction:
    """The least for the middle of some flesh under any law known here, in C."""
    if is_poultry(item):
        return least("poultry", american=True).celsius
    if is_minced(item):
        return least("mince", american=True).celsius
    return least("fish" if is_fish(item) else "whole cuts", american=True).celsius


def _low_and_long(walked: Walk, first: Degrees) -> Iterator[Finding]:
    """Flesh held for long at a heat below the least for its middle: no time at that heat is checked here."""
    for clause, order, pot in walked.pots:
        flesh = _heavy_raw(pot)
        held = [
            (event.piece.span, event.run)
            for event in clause.events
            if isinstance(event.run, DurationRun) and event.run.hands_off and event.run.duration.high >= _LONG
        ]
        warm = [
            (event.piece.span, event.run)
            for event in clause.events
            if isinstance(event.run, TemperatureRun)
            and event.run.place in (None, "oven", "fan oven", "pan", "oil")
            and event.run.temperature.low >= _LOW
        ]
        if not (flesh and held and warm):
            continue
        worst = max(flesh, key=least_for)
        wanted = least_for(worst)
        span, heat = min(warm, key=lambda one: one[1].temperature.low)
        if heat.temperature.low >= wanted or _hotter_later(walked, order, wanted):
            continue
        yield find(
            "low-and-long",
            span,
            f"“{heat.text}” for “{held[0][1].text}” is cooler than the least that is published for the middle of the "
            f"{worst.name.text}, {both_temperatures(wanted, wanted, first, minimum=True)}. Cooking low and long is "
            "outside what this checks.",
            "Write a heat and a core temperature above that, or use a tested table of times from a qualified person.",
            also=(Also(held[0][0], "for so long"),),
        )


def _heavy_raw(pot: tuple[Held, ...]) -> list[Item]:
    """The flesh in a pot that is a tenth of it or more."""
    total = sum((one.grams for one in pot), Fraction(0))
    return [one.item for one in pot if is_raw_flesh(one.item) and not one.cooked and one.grams * 10 >= total]


def _hotter_later(walked: Walk, order: int, wanted: Fraction) -> bool:
    return any(
        run.place == "core" and run.temperature.low >= wanted
        for clause, at, _ in walked.pots
        if at >= order
        for run in clause.temperatures
    )


# ---------------------------------------------------------------- thawing


def _thawed(walked: Walk) -> Iterator[Finding]:
    """What spoils, thawed out of the cold for longer than it may stand there."""
    for stay in walked.stays:
        if not stay.thaws or stay.total <= OUT.seconds:
            continue
        spans = [stay.span, *prose_spans(stay.step, THAWS)]
        yield find(
            "thawed-in-the-warm",
            stay.span,
            f"“{stay.text}” out of the fridge thaws {stay.worst.name.text}: the outside is warm long before "
            "the middle has thawed.",
            "Write that it thaws in the fridge: `[4 C fridge]`. This is usual guidance; local food law comes first.",
            also=(Also(spans[1], "thawed here"),) if len(spans) > 1 and spans[1] != stay.span else (),
        )


# ---------------------------------------------------------------- cooling


def _cooling(walked: Walk, *, american: bool, first: Degrees) -> Iterator[Finding]:
    above = Fraction(0)
    said: Span | None = None
    for clause, _, pot in walked.pots:
        for event in clause.events:
            run = event.run
            if not isinstance(run, ChangeRun):
                continue
            most = too_slow(run, before=above, together=american)
            second = run.start.high <= SECOND_STAGE
            total = above + run.duration.high
            both = second and above and most is None and total > STAGE_ONE.seconds + STAGE_TWO.seconds
            if (most is not None or both) and not is_rising(pot):
                yield _cools(run, event.piece.span, pot, total if both else None, said, first)
            if not second:
                above, said = (run.duration.high if most is None else Fraction(0)), event.piece.span


def _cools(
    run: ChangeRun,
    span: Span,
    pot: tuple[Held, ...],
    total: Fraction | None,
    said: Span | None,
    first: Degrees,
) -> Finding:
    dry = bool(pot) and dryness([(one.item, one.grams) for one in pot], cooked=True)
    top, middle, end = (both_temperatures(one, one, first) for one in (STANDARD_ZONE[1].celsius, *STAGES))
    stages = f"{top} to {middle} within 2 h, and to {end} within 4 h more"
    long = f"“{run.text}” is slower than the two usual stages: {stages}."
    if total is not None:
        long = f"“{run.text}” makes {duration(total)} in all; the two usual stages are {stages}."
    return find(
        "cooled-too-slowly",
        span,
        long,
        "Write a time within them, and how it is reached: shallow boxes, small pots, a cold bath. This is usual "
        "guidance; local food law comes first.",
        also=(Also(said, "the first stage"),) if total is not None and said is not None else (),
        severity=Severity.HINT if dry else None,
    )
