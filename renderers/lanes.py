"""Time drawn from left to right, as SVG: the strip at the foot of a card, and the timeline of a day.

It must survive a photocopier: work is black, what goes by itself is open, what gets hot is hatched, and what the
length of the day hangs on has a heavy line under it. A long stretch in which nothing begins or ends is cut short, with
two strokes across it, so that the busy hours have room.

The drawing has no script and asks for nothing from outside. Lengths are in units of its own: about a point on the
smallest paper, a pixel on a phone. The same data give the same text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from markupsafe import Markup, escape

Look: TypeAlias = Literal["solid", "open", "hatched"]

TYPE: Final = Fraction(21, 2)
"""The size of its type, in its units."""
_DIGIT: Final = TYPE * 11 / 20
"""How wide a figure is, at most, in the types that may stand in for ours."""
_ROW: Final = Fraction(33, 2)
_BAR: Final = Fraction(12)
_THINNEST: Final = Fraction(2)
"""A minute in a two-day plan must still be seen."""
_HEADING: Final = Fraction(15)
_BETWEEN: Final = Fraction(4)
_AXIS: Final = Fraction(13)
_TICK_APART: Final = Fraction(40)

MINUTE: Final = 60
HOUR: Final = 3600
DAY: Final = 86400

# What XML has no sign for.
_NO_XML: Final = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_STEPS: Final = tuple(
    [n * MINUTE for n in (1, 2, 5, 10, 15, 30)]
    + [n * HOUR for n in (1, 2, 3, 6, 12)]
    + [n * DAY for n in (1, 2, 7, 14, 28, 56, 112)]
)

# A stretch is cut where it is at least so long, and takes more than so much of the whole.
_CUT_FROM: Final = Fraction(2 * HOUR)
_CUT_SHARE: Final = Fraction(1, 5)
_CUT_WIDTH: Final = Fraction(1, 10)
"""Of the whole width, for each stretch that is cut short."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A bar, from `start` to `end` in seconds."""

    start: Fraction
    end: Fraction
    look: Look
    critical: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """Pieces that follow each other, under one label: a step."""

    label: str
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Band:
    """A lane under a heading (none where it is empty), in as many rows as keep its items apart."""

    heading: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Tick:
    """A time on the axis: what stands under it, and under that, where a day begins, its date."""

    at: Fraction
    text: str
    date: str = ""


def units(value: Fraction) -> str:
    """A length to a hundredth: `12.5`."""
    hundredths = round(value * 100)
    whole, part = divmod(abs(hundredths), 100)
    text = f"{whole}.{part:02}".rstrip("0").rstrip(".")
    return f"-{text}" if hundredths < 0 else text


# ---------------------------------------------------------------- the axis


class Axis:
    """Seconds to units. `cuts` are the stretches that are drawn shorter than they are."""

    def __init__(self, moments: Iterable[Fraction], width: Fraction) -> None:
        known = sorted({Fraction(0), *moments})
        self.length = known[-1]
        self.width = width
        gaps = [(known[i], known[i + 1]) for i in range(len(known) - 1)]
        cuts = [
            (start, end)
            for start, end in gaps
            if end - start >= _CUT_FROM and (end - start) > self.length * _CUT_SHARE
        ]
        kept = self.length - sum((end - start for start, end in cuts), Fraction(0))
        # The whole day may be one wait: then there is nothing to make room for.
        self.cuts = tuple(cuts) if kept > 0 else ()
        each = width * _CUT_WIDTH
        left = width - each * len(self.cuts)
        self.scale = (left / kept if self.cuts else width / self.length) if self.length else Fraction(0)
        """Units a second, where nothing is cut."""
        self._each = each

    def at(self, seconds: Fraction) -> Fraction:
        place = seconds * self.scale
        for start, end in self.cuts:
            if seconds <= start:
                break
            inside = min(seconds, end) - start
            place += inside * (self._each / (end - start) - self.scale)
        return place

    def sections(self) -> list[tuple[Fraction, Fraction]]:
        """The stretches that are drawn at full length."""
        edges = [Fraction(0), *(edge for cut in self.cuts for edge in cut), self.length]
        return [(edges[i], edges[i + 1]) for i in range(0, len(edges), 2)]

    def step(self) -> int:
        """Seconds between two ticks that stand far enough apart to be read."""
        for step in _STEPS:
            if step * self.scale >= _TICK_APART:
                return step
        return _STEPS[-1] * max(
            1, -(-int(_TICK_APART / self.scale) // _STEPS[-1])
        )  # a year's cure has ticks too


def ticks_from_the_start(axis: Axis) -> tuple[list[Tick], str]:
    """Where no clock is: counted from the beginning, in the unit that is returned with them."""
    step = axis.step()
    unit = "min" if axis.length <= 3 * HOUR else "h" if step < DAY else "days"

    def words(seconds: Fraction) -> str:
        whole = int(seconds)
        if unit == "min":
            return str(whole // MINUTE)
        if unit == "days":
            return str(whole // DAY)
        if step % HOUR == 0 and whole % HOUR == 0:
            return str(whole // HOUR)
        return f"{whole // HOUR}:{whole % HOUR // MINUTE:02}"

    return [Tick(at, words(at)) for at in tick_places(axis, step, Fraction(0))], unit


def tick_places(axis: Axis, step: int, first: Fraction) -> list[Fraction]:
    """Every `step` seconds from `first` on where the axis is whole, and at least once in each stretch of it."""
    found: list[Fraction] = []
    for start, end in axis.sections():
        number = -((first - start) // step)
        place = first + number * step
        here = []
        while place <= end:
            here.append(place)
            place += step
        here = here or [start]
        found += [
            place for place in here if not found or axis.at(place) - axis.at(found[-1]) >= _TICK_APART * 3 / 4
        ]
    return found


# ---------------------------------------------------------------- rows


@dataclass(frozen=True, slots=True)
class Bar:
    left: Fraction
    width: Fraction
    piece: Piece


@dataclass(frozen=True, slots=True)
class Label:
    """`inside` which of the bars it stands, else beside them; `over` them where there is no room at all."""

    left: Fraction
    text: str
    inside: Bar | None
    over: bool = False

    @property
    def width(self) -> Fraction:
        return label_width(self.text)


def label_width(text: str) -> Fraction:
    return _DIGIT * len(text) + 3


@dataclass(frozen=True, slots=True)
class Row:
    bars: tuple[Bar, ...]
    labels: tuple[Label, ...]


def rows(items: Sequence[Item], axis: Axis) -> tuple[Row, ...]:
    """The items in as few rows as show each without one over another."""
    free: list[Fraction] = []
    bars: list[list[Bar]] = []
    labels: list[list[Label]] = []
    for item in sorted(items, key=lambda item: min(piece.start for piece in item.pieces)):
        drawn = _bars(item, axis)
        left, right = drawn[0].left, drawn[-1].left + drawn[-1].width
        label = _label(item.label, drawn, axis)
        if label.inside is None and not label.over:
            left, right = min(left, label.left - 1), max(right, label.left + label.width - 1)
        at = next((i for i, end in enumerate(free) if end <= left), len(free))
        if at == len(free):
            free.append(Fraction(0))
            bars.append([])
            labels.append([])
        free[at] = right
        bars[at] += drawn
        labels[at].append(label)
    return tuple(Row(tuple(bar), tuple(label)) for bar, label in zip(bars, labels, strict=True))


def _label(text: str, drawn: Sequence[Bar], axis: Axis) -> Label:
    """In a bar that has room; else after the last, before the first, between two; else over the first of them."""
    needs = label_width(text)
    for bar in drawn:
        if bar.width >= needs:
            return Label(bar.left + 2, text, bar)
    ends = [bar.left + bar.width for bar in drawn]
    if ends[-1] + needs <= axis.width:
        return Label(ends[-1] + 1, text, None)
    if drawn[0].left >= needs:
        return Label(drawn[0].left - needs + 1, text, None)
    for end, following in zip(ends, drawn[1:], strict=False):
        if following.left - end >= needs:
            return Label(end + 1, text, None)
    return Label(drawn[0].left + 2, text, None, over=True)


def _bars(item: Item, axis: Axis) -> list[Bar]:
    pieces = sorted(item.pieces, key=lambda piece: (piece.start, piece.end))
    starts = [axis.at(piece.start) for piece in pieces]
    widths = [max(axis.at(piece.end) - start, _THINNEST) for piece, start in zip(pieces, starts, strict=True)]
    for i in range(1, len(starts)):  # a widened sliver pushes what follows it, and covers nothing
        starts[i] = max(starts[i], min(starts[i - 1] + widths[i - 1], axis.width - widths[i]))
        widths[i] = max(axis.at(pieces[i].end) - starts[i], _THINNEST)
    # A sliver at the very end would stand outside the drawing.
    starts = [min(start, axis.width - width) for start, width in zip(starts, widths, strict=True)]
    return [Bar(*bar) for bar in zip(starts, widths, pieces, strict=True)]


def apart(label: str, pieces: Iterable[Piece]) -> list[Item]:
    """The pieces as one item, or as several where some go on at the same time."""
    chains: list[list[Piece]] = []
    for piece in sorted(pieces, key=lambda piece: (piece.start, piece.end)):
        chain = next((chain for chain in chains if chain[-1].end <= piece.start), None)
        if chain is None:
            chains.append([piece])
        else:
            chain.append(piece)
    return [Item(label, tuple(chain)) for chain in chains]


# ---------------------------------------------------------------- the drawing


def drawing(
    bands: Sequence[Band],
    axis: Axis,
    ticks: Sequence[Tick],
    *,
    title: str,
    description: str,
    name: str,
    unit: str = "",
) -> Markup:
    """The bands over the axis. `name` keeps the ids of two drawings on one page apart.

    `title` and `description` are what a screen reader says; the page around it holds the same as a table.
    """
    out: list[str] = []
    y = Fraction(0)
    places: list[tuple[Fraction, Row]] = []
    headings: list[tuple[Fraction, str]] = []
    for number, band in enumerate(bands):
        if number:
            y += _BETWEEN
        if band.heading:
            headings.append((y + TYPE, band.heading))
            y += _HEADING
        for row in rows(band.items, axis):
            places.append((y, row))
            y += _ROW
    floor = y + 1
    # Hair lines first, so that every bar lies over them.
    long = len(places) > 4 or len(bands) > 1
    for tick in ticks:
        x = axis.at(tick.at)
        if long:
            out.append(
                _line(x, Fraction(0), x, floor, 'stroke="#999" stroke-width="0.4" stroke-dasharray="1 2"')
            )
        out.append(_line(x, floor, x, floor + 4, 'stroke="#000" stroke-width="0.7"'))
    for baseline, words in headings:
        # On white: a hair line through a name makes it hard to read.
        out.append(_white(Fraction(0), baseline - TYPE, _words_width(words), TYPE + 3))
        out.append(_text(Fraction(0), baseline, _fitting(words, axis.width), weight=600))
    for top, row in places:
        out += _row(row, top)
        out += [_cut(axis, cut, top) for cut in axis.cuts if _crosses(row, cut)]
    out.append(_line(Fraction(0), floor, axis.width, floor, 'stroke="#000" stroke-width="0.7"'))
    out += [_cut(axis, cut, floor - _BAR * 5 / 24, short=True) for cut in axis.cuts]
    dated = Fraction(0)
    for number, tick in enumerate(ticks):
        last = number == len(ticks) - 1
        words = tick.text + (f" {unit}" if last and unit else "")
        out.append(_tick_text(axis, tick.at, floor + 2 + TYPE, words))
        if tick.date:  # a date that would stand on the one before it moves on
            x = min(max(axis.at(tick.at), dated), max(axis.width - _words_width(tick.date), dated))
            out.append(_text(x, floor + 3 + 2 * TYPE, tick.date, weight=600))
            dated = x + _words_width(tick.date)
    height = floor + _AXIS + (TYPE + 1 if dated else 0) + 1
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="lanes" role="img" viewBox="-1 0 {units(axis.width + 2)}'
        f' {units(height)}" aria-labelledby="{name}-title {name}-description" font-family="Bench card, Source Sans 3,'
        f' sans-serif" font-size="{units(TYPE)}" fill="#000"><title id="{name}-title">{_xml(title)}</title>'
        f'<desc id="{name}-description">{_xml(description)}</desc>'
    )
    return Markup(head + "".join(out) + "</svg>")  # what a cook wrote has been escaped


def _row(row: Row, top: Fraction) -> Iterable[str]:
    for bar in row.bars:
        piece = bar.piece
        if piece.look == "solid":  # and a hair of white, where one piece of work follows another
            yield (
                f'<rect x="{units(bar.left)}" y="{units(top)}" width="{units(bar.width - Fraction(1, 2))}"'
                f' height="{units(_BAR)}"/>'
            )
        else:
            width, height = max(bar.width - Fraction(4, 5), _THINNEST - 1), _BAR - Fraction(4, 5)
            yield (
                f'<rect x="{units(bar.left + Fraction(2, 5))}" y="{units(top + Fraction(2, 5))}"'
                f' width="{units(width)}" height="{units(height)}" fill="#fff" stroke="#000" stroke-width="0.8"/>'
            )
        if piece.look == "hatched":
            yield _hatched(bar.left, top, bar.width)
        if piece.critical:
            y = top + _BAR + Fraction(9, 5)  # a white line between, for a bar may be as black
            yield _line(bar.left, y, bar.left + bar.width, y, 'stroke="#000" stroke-width="1.8"')
    for label in row.labels:
        look = label.inside.piece.look if label.inside is not None else "open"
        if look == "hatched" or label.over:
            yield _white(label.left - 1, top + 1, label.width - 1, _BAR - 2)
        yield _text(
            label.left,
            top + _BAR - Fraction(5, 2),
            label.text,
            weight=700,
            fill="#fff" if look == "solid" else "",
        )


def _hatched(left: Fraction, top: Fraction, width: Fraction) -> str:
    """Strokes from the lower left to the upper right, cut off at the sides; drawn out, as not every printer of SVG
    knows how to fill with a pattern."""
    height, apart = _BAR - 1, Fraction(3)
    strokes = []
    at = apart
    while at < width + height:
        low, high = max(at - height, Fraction(0)), min(at, width)
        strokes.append(
            f"M{units(left + low)} {units(top + at - low)}L{units(left + high)} {units(top + at - high)}"
        )
        at += apart
    return f'<path d="{"".join(strokes)}" stroke="#000" stroke-width="0.7" fill="none"/>'


def _crosses(row: Row, cut: tuple[Fraction, Fraction]) -> bool:
    return any(bar.piece.start <= cut[0] and bar.piece.end >= cut[1] for bar in row.bars)


def _cut(axis: Axis, cut: tuple[Fraction, Fraction], top: Fraction, *, short: bool = False) -> str:
    """Two strokes across, and nothing between them."""
    x = axis.at((cut[0] + cut[1]) / 2)
    height = _BAR * 5 / 12 if short else _ROW - 3
    lean = Fraction(2) if short else Fraction(3)
    low = height + 1
    edge = [(x - 3 - lean / 2, top + low), (x - 3 + lean / 2, top - 1)]
    other = [(x + 3 + lean / 2, top - 1), (x + 3 - lean / 2, top + low)]
    path = "L".join(f"{units(px)} {units(py)}" for px, py in (*edge, *other))
    return (
        f'<path d="M{path}Z" fill="#fff"/>'
        + _line(*edge[0], *edge[1], 'stroke="#000" stroke-width="0.8"')
        + _line(*other[0], *other[1], 'stroke="#000" stroke-width="0.8"')
    )


def _line(x: Fraction, y: Fraction, to_x: Fraction, to_y: Fraction, look: str) -> str:
    return f'<path d="M{units(x)} {units(y)}L{units(to_x)} {units(to_y)}" {look} fill="none"/>'


def _white(x: Fraction, y: Fraction, width: Fraction, height: Fraction) -> str:
    return (
        f'<rect x="{units(x)}" y="{units(y)}" width="{units(width)}" height="{units(height)}" fill="#fff"/>'
    )


def _text(
    x: Fraction, y: Fraction, words: str, *, weight: int = 400, anchor: str = "", fill: str = ""
) -> str:
    more = (f' text-anchor="{anchor}"' if anchor else "") + (f' fill="{fill}"' if fill else "")
    return f'<text x="{units(x)}" y="{units(y)}" font-weight="{weight}"{more}>{_xml(words)}</text>'


def _xml(words: str) -> str:
    return str(escape(_NO_XML.sub("\ufffd", words)))


def _tick_text(axis: Axis, at: Fraction, y: Fraction, words: str) -> str:
    """Under its tick; at either edge, on the side where there is room."""
    x = axis.at(at)
    half = _words_width(words) / 2
    if x < half:
        return _text(x, y, words)
    if x + half > axis.width:
        return _text(axis.width, y, words, anchor="end")
    return _text(x, y, words, anchor="middle")


def _words_width(words: str) -> Fraction:
    return _DIGIT * len(words)


def _fitting(words: str, width: Fraction) -> str:
    most = int(width / _DIGIT)
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"
