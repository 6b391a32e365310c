"""Where the marks stand: the day along the foot of the card, and a ratio on its usual range.

Positions are per hundred of the width, as CSS writes them. Nothing here is a figure that anybody reads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler import display
from benchproof.compiler.batch import Extent, Stretch

_MINUTE: Final = 60
_HOUR: Final = 3600
_DAY: Final = 86400
_STEPS: Final = tuple(
    [n * _MINUTE for n in (1, 2, 5, 10, 15, 30)]
    + [n * _HOUR for n in (1, 2, 3, 6, 12)]
    + [n * _DAY for n in (1, 2, 7, 14, 28, 56, 112)]
)
_MOST_TICKS: Final = 9

_LABEL: Final = Fraction(9, 2)
"""The width that a step's number needs, per hundred of the narrowest paper's strip."""
_GAP: Final = Fraction(1, 2)
_THINNEST: Final = Fraction(3, 5)
"""A minute in a two-day plan must still be seen."""


def css(value: Fraction) -> str:
    """A position or width to a hundredth, as CSS reads it: `12.5`."""
    hundredths = round(value * 100)
    whole, part = divmod(abs(hundredths), 100)
    text = f"{whole}.{part:02}".rstrip("0").rstrip(".")
    return f"-{text}" if hundredths < 0 else text


@dataclass(frozen=True, slots=True)
class Bar:
    left: str
    width: str
    hands_off: bool
    label: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """A step's number that has no room in its bars. `left` is where its box, `_LABEL` wide, begins."""

    left: str
    text: str
    before: bool


@dataclass(frozen=True, slots=True)
class Lane:
    bars: tuple[Bar, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True, slots=True)
class Tick:
    left: str
    text: str
    last: bool


@dataclass(frozen=True, slots=True)
class Strip:
    lanes: tuple[Lane, ...]
    ticks: tuple[Tick, ...]
    unit: str


def day_strip(plan: Sequence[Stretch]) -> Strip | None:
    """The plan in as few lanes as show it without one step over another. None when nothing has a time."""
    timed = [stretch for stretch in plan if stretch.end > stretch.start]
    if not timed:
        return None
    length = max(stretch.end for stretch in timed)

    def at(seconds: Fraction) -> Fraction:
        return seconds * 100 / length

    by_step: dict[int, list[Stretch]] = {}
    for stretch in timed:
        by_step.setdefault(stretch.step, []).append(stretch)
    free: list[Fraction] = []
    bars: list[list[Bar]] = []
    labels: list[list[Label]] = []
    for step, stretches in sorted(by_step.items(), key=lambda item: (min(s.start for s in item[1]), item[0])):
        stretches.sort(key=lambda stretch: stretch.start)
        starts = [at(stretch.start) for stretch in stretches]
        widths = [
            max(at(stretch.end) - start, _THINNEST) for stretch, start in zip(stretches, starts, strict=True)
        ]
        for i in range(1, len(starts)):  # a widened sliver pushes what follows it, and covers nothing
            starts[i] = max(starts[i], min(starts[i - 1] + widths[i - 1], 100 - widths[i]))
            widths[i] = max(at(stretches[i].end) - starts[i], _THINNEST)
        # A sliver at the very end would stand outside the strip.
        starts = [min(start, 100 - width) for start, width in zip(starts, widths, strict=True)]
        left, right = starts[0], starts[-1] + widths[-1]
        roomy = next((i for i, width in enumerate(widths) if width >= _LABEL), None)
        label: Label | None = None
        if roomy is None and right + _LABEL <= 100:
            label = Label(css(right), str(step), False)
            right += _LABEL
        elif roomy is None:
            left -= _LABEL
            label = Label(css(left), str(step), True)
        lane = next((i for i, end in enumerate(free) if end <= left), len(free))
        if lane == len(free):
            free.append(Fraction(0))
            bars.append([])
            labels.append([])
        free[lane] = right + _GAP if label is None else right
        bars[lane] += [
            Bar(css(start), css(width), stretch.hands_off, str(step) if i == roomy else "")
            for i, (stretch, start, width) in enumerate(zip(stretches, starts, widths, strict=True))
        ]
        if label is not None:
            labels[lane].append(label)
    lanes = tuple(Lane(tuple(bar), tuple(label)) for bar, label in zip(bars, labels, strict=True))
    return Strip(lanes, *_ticks(length))


def _ticks(length: Fraction) -> tuple[tuple[Tick, ...], str]:
    longest = _STEPS[-1] * max(1, -int(-length // (_STEPS[-1] * _MOST_TICKS)))  # a year's cure has ticks too
    step = next((step for step in _STEPS if length / step <= _MOST_TICKS), longest)
    unit: str
    if length <= 3 * _HOUR:
        unit = "min"
    elif step < _DAY:
        unit = "h"
    else:
        unit = "days"
    ticks = []
    for i in range(int(length // step) + 1):
        seconds = Fraction(i * step)
        left = seconds * 100 / length
        if unit == "min":
            text = str(int(seconds // _MINUTE))
        elif unit == "days":
            text = str(int(seconds // _DAY))
        elif step % _HOUR == 0:
            text = str(int(seconds // _HOUR))
        else:
            text = display.clock(seconds)
        ticks.append(Tick(css(left), text, left > 95))
    return tuple(ticks), unit


def place_on_range(value: Fraction, usual: Extent) -> str:
    """Where a value inside its usual range stands on it."""
    if usual.low == usual.high:
        return "50"
    return css(min(max((value - usual.low) * 100 / (usual.high - usual.low), Fraction(0)), Fraction(100)))
