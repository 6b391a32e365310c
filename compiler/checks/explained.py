"""The line that explains a broken test: with its point or unit moved, or two digits turned round, the test would hold.

Only asked when a test does not hold. It is a list of where to look first, not a verdict: at most four places, the
likeliest first.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, TypeAlias

from benchproof.compiler.batch import Batch, CostLine, DurationRun, Extent, LoadRun, Run, TurnsRun
from benchproof.compiler.compile import Compiled, equipment_of
from benchproof.compiler.findings import Also
from benchproof.compiler.formula import Item
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.plan_day import elapsed
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import (
    DurationFact,
    Fact,
    Measured,
    Percentage,
    ProseLine,
    TurnsFact,
    name_key,
)
from benchproof.compiler.verbs import verbs_in

Holds: TypeAlias = Callable[[Extent], bool]

_PLACES: Final = 4
_TENS: Final = ((Fraction(1, 10), "a tenth of it"), (Fraction(10), "ten times it"))
_TIMES_MORE: Final = (Fraction(1, 60), Fraction(60))
_UNITS: Final = {
    "kg": (Fraction(1, 1000),),
    "l": (Fraction(1, 1000),),
    "g": (Fraction(1000),),
    "ml": (Fraction(1000),),
    "tbsp": (Fraction(1, 3),),
    "tsp": (Fraction(3),),
    "lb": (Fraction(1, 16),),
    "oz": (Fraction(16),),
    "cup": (Fraction(1, 16),),
}
"""How many times itself an amount is in the unit that it is mistaken for."""


def lines(compiled: Compiled, kitchen: Kitchen, figure: str, value: Extent, holds: Holds) -> tuple[Also, ...]:
    """Where to look first when `figure` has come to `value`, and the test `holds` only of another."""
    batch = compiled.batch
    assert batch is not None
    if figure in ("total time", "hands-on time"):
        found = _times(compiled, kitchen, batch, figure, value, holds)
    elif figure.startswith("cost"):
        found = _costs(compiled, kitchen, batch, figure, value, holds)
    else:
        found = _yields(compiled, figure, value, holds)
    places: dict[tuple[str, int], Also] = {}
    for also in found:
        places.setdefault((also.span.source.name, also.span.first), also)
    return tuple(places.values())[:_PLACES]


# ---------------------------------------------------------------- times


@dataclass(frozen=True, slots=True)
class _Slip:
    """A time as it may have been meant: `words` says how it comes of what is written."""

    step: int
    line: int
    place: int
    run: Run
    span: Span
    words: str
    saved: Extent
    hands_off: bool
    rank: tuple[int, Fraction]


def _times(
    compiled: Compiled, kitchen: Kitchen, batch: Batch, figure: str, value: Extent, holds: Holds
) -> Iterator[Also]:
    """Times whose tenth, tenfold, other unit or swapped digits makes the sum hold."""
    stock = equipment_of(kitchen.equipment)
    slips = sorted(_slips(compiled), key=lambda slip: slip.rank)
    for slip in slips:
        low, high = value.low - slip.saved.low, value.high - slip.saved.high
        if figure == "hands-on time":
            if not slip.hands_off and holds(Extent(low, high)):
                yield Also(slip.span, slip.words)
        elif _within_reach(value, slip.saved, holds) and holds(elapsed(_with(batch, slip), stock)[0]):
            yield Also(slip.span, slip.words)


def _within_reach(value: Extent, saved: Extent, holds: Holds) -> bool:
    """Whether so much less, or more, could make it hold at all: work side by side can only save less."""
    return holds(Extent(value.low - saved.low, value.high - saved.high)) or any(
        holds(Extent(value.low - part, value.high - part * saved.high / saved.low))
        for part in (saved.low * eighth / 8 for eighth in range(1, 8))
        if saved.low
    )


def _with(batch: Batch, slip: _Slip) -> Batch:
    """The batch with one time otherwise."""
    steps = list(batch.steps)
    step = steps[slip.step]
    told = [list(runs) for runs in step.lines]
    told[slip.line][slip.place] = slip.run
    steps[slip.step] = replace(step, lines=tuple(tuple(runs) for runs in told))
    return replace(batch, steps=tuple(steps))


def _slips(compiled: Compiled) -> Iterator[_Slip]:
    for at, step in enumerate(compiled.method.steps):
        for row, (line, runs) in enumerate(zip(step.block.prose(), step.lines, strict=True)):
            loads = Extent(Fraction(1), Fraction(1))
            for place, (piece, run) in enumerate(zip(line.pieces, runs, strict=True)):
                if isinstance(run, LoadRun) and run.loads is not None:
                    loads = run.loads
                if isinstance(run, DurationRun) and isinstance(piece, DurationFact):
                    if run.limit == "up to":
                        continue
                    for other, words in _otherwise(run.duration, piece.span.text):
                        saved = Extent(
                            (run.duration.low - other.low) * loads.low,
                            (run.duration.high - other.high) * loads.high,
                        )
                        rank = _rank(line, piece, run)
                        yield _Slip(
                            at,
                            row,
                            place,
                            replace(run, duration=other),
                            piece.span,
                            words,
                            saved,
                            run.hands_off,
                            rank,
                        )
                elif isinstance(run, TurnsRun) and isinstance(piece, TurnsFact) and run.every is not None:
                    every, spent = run.every, run.times.low * run.every.low
                    for factor, words in _TENS:
                        saved = Extent(spent * (1 - factor), spent * (1 - factor))
                        fewer = replace(run, every=Extent(every.low * factor, every.high * factor))
                        yield _Slip(at, row, place, fewer, piece.span, words, saved, True, (0, Fraction(0)))


def _otherwise(duration: Extent, text: str) -> Iterator[tuple[Extent, str]]:
    """What may have been meant by a time, and in what words."""
    for factor, words in _TENS:
        yield Extent(duration.low * factor, duration.high * factor), f"{words} would make it hold"
    for factor in _TIMES_MORE:
        yield Extent(duration.low * factor, duration.high * factor), "in another unit it would make it hold"
    numbers = re.findall(r"\d+", text)
    unit = _unit_of(duration, numbers)
    if unit is None:
        return
    swapped = [_swapped(number) for number in numbers[:2]]
    ends = [Fraction(number) * unit for number in numbers[:2]]
    for at, number in enumerate(swapped):
        if number is not None:
            new = [*ends[:at], Fraction(number) * unit, *ends[at + 1 :]]
            if new[0] <= new[-1]:
                yield Extent(new[0], new[-1]), f"with {number} for {numbers[at]} it would hold"


def _unit_of(duration: Extent, numbers: list[str]) -> Fraction | None:
    """Seconds in the unit a plain time is written in; None where it is not so plain."""
    if not 1 <= len(numbers) <= 2 or not Fraction(numbers[0]):
        return None
    unit = duration.low / Fraction(numbers[0])
    return unit if duration.high == unit * Fraction(numbers[-1]) else None


def _swapped(number: str) -> str | None:
    """Two neighbouring digits the other way round: 52 for 25."""
    for at in range(len(number) - 1):
        if number[at] != number[at + 1] and not (at == 0 and number[1] == "0"):
            return number[:at] + number[at + 1] + number[at] + number[at + 2 :]
    return None


def _rank(line: ProseLine, piece: Fact, run: DurationRun) -> tuple[int, Fraction]:
    """Work that is long for its verb first: the share of the longest that the verb is usually given, less it."""
    before = ""
    for one in line.pieces:
        if one is piece:
            break
        before = "" if isinstance(one, DurationFact) else before + one.span.text
    said = verbs_in(before)
    longest = max((one.verb.high for one in said), default=30 * 60)
    return 0 if not run.hands_off else 1, -run.duration.high / longest


# ---------------------------------------------------------------- money


def _costs(
    compiled: Compiled, kitchen: Kitchen, batch: Batch, figure: str, value: Extent, holds: Holds
) -> Iterator[Also]:
    """The yield, the base, then the price and the line of what costs most, where one slip would make it hold."""
    total = batch.cost.total
    if not total:
        return
    if figure != "cost":
        yield from _yields(compiled, figure, value, holds)
    yield from _bases(compiled, value, holds)
    dear = sorted((line for line in batch.cost.lines if line.cost), key=lambda line: -(line.cost or 0))
    for line in dear[:6]:
        cost = line.cost or Fraction(0)

        def would(factor: Fraction, cost: Fraction = cost) -> bool:
            other = (total - cost + cost * factor) / total
            return holds(Extent(value.low * other, value.high * other))

        if line.price is not None:
            span = _price_span(kitchen, line)
            tries = [*_TENS, *((Fraction(new), words) for new, words in _money_swapped(line.price.money))]
            tries += [
                (Fraction(1, 1000), "by the kilogram or the litre it"),
                (Fraction(1000), "by the gram it"),
            ]
            good = next((words for factor, words in tries if would(factor)), None)
            if span is not None and good is not None:
                yield Also(span, f"the price of {line.item}: {good} would make it hold")
        for item in _items(compiled, line):
            factor = next((one for one in factors(item) if would(one)), None)
            if factor is not None:
                yield Also(item.entry.span, f"{item.name.text}: {how(factor)} would make it hold")


def _money_swapped(money: Fraction) -> Iterator[tuple[Fraction, str]]:
    """Two digits of a price turned round, as factors."""
    text = f"{int(money * 100):03d}"
    for at in range(len(text) - 1):
        if text[at] != text[at + 1]:
            new = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
            if int(new):
                yield Fraction(int(new), int(text)), "two digits turned round"


def _price_span(kitchen: Kitchen, line: CostLine) -> Span | None:
    assert line.price is not None
    where = line.price.where
    for priced in kitchen.priced([name_key(line.price.item)]):
        if priced.span.source.name == where.file and priced.span.line == where.line:
            return priced.span
    return None


def _items(compiled: Compiled, line: CostLine) -> list[Item]:
    return [item for item in compiled.formula.items() if item.name.text == line.item and item.weight]


def factors(item: Item) -> list[Fraction]:
    """How many times itself an amount may have been meant."""
    value = item.entry.value
    found = [factor for factor, _ in _TENS]
    if isinstance(value, Measured) and len(value.quantity.low) == 1:
        found += _UNITS.get(value.quantity.low[0].unit, ())
    if isinstance(value, Measured | Percentage):
        number = re.match(r"\d+", value.span.text)
        other = _swapped(number[0]) if number else None
        if number and other and int(number[0]):
            found.append(Fraction(int(other), int(number[0])))
    return found


def how(factor: Fraction) -> str:
    """Such a factor in words."""
    return next((words for one, words in _TENS if one == factor), "another unit, or its digits turned round,")


def _bases(compiled: Compiled, value: Extent, holds: Holds) -> Iterator[Also]:
    """The line that all others are percentages of."""
    items = list(compiled.formula.items())
    if not any(isinstance(item.entry.value, Percentage) for item in items) or _near(value, holds):
        return
    for item in items:
        if item.is_base and isinstance(item.entry.value, Measured):
            for factor, words in _TENS:
                if holds(Extent(value.low * factor, value.high * factor)):
                    yield Also(item.entry.span, f"everything is sized by it: {words} would make it hold")
                    return


# ---------------------------------------------------------------- the yield


def _near(value: Extent, holds: Holds) -> bool:
    """Whether it is so little off that nothing that sizes the whole can have slipped."""
    return any(
        holds(Extent(value.low * factor, value.high * factor)) for factor in (Fraction(1, 3), Fraction(3))
    )


def _yields(compiled: Compiled, figure: str, value: Extent, holds: Holds) -> Iterator[Also]:
    """How many it makes or serves, and what each is to weigh."""
    formula = compiled.formula
    tries = [factor for factor, _ in _TENS] + [Fraction(1, 1000), Fraction(1000)]
    if _near(value, holds):
        return
    if not any(holds(Extent(value.low * factor, value.high * factor)) for factor in tries):
        return
    serves = formula.recipe.block.entry("serves")
    if figure == "cost a portion" and serves is not None:
        yield Also(serves.value.span, "ten times as many, or a tenth, would make it hold")
    elif formula.makes is not None:
        yield Also(formula.makes.span, "with another number or unit here it would hold")
