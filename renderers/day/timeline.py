"""A Day drawn: a lane a recipe, one for the oven, and one for each thing that several want."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta, tzinfo
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo

from markupsafe import Markup

from benchproof.compiler import display
from benchproof.compiler.day import Activity, Day
from benchproof.renderers.day import words
from benchproof.renderers.lanes import (
    DAY,
    Axis,
    Band,
    Item,
    Look,
    Piece,
    Tick,
    apart,
    drawing,
    tick_places,
    ticks_from_the_start,
)
from benchproof.renderers.terminal import harmless

PHONE: Final = 360
"""Units of width: one is about a CSS pixel on a phone, and a point on A5."""
_LOOKS: Final[dict[str, Look]] = {"work": "solid", "wait": "open", "heat": "hatched"}


def timeline_svg(day: Day, width: int = PHONE) -> str:
    """The day from left to right, as SVG that stands by itself. The numbers on the bars are those of the steps.

    `width` is in the units of `lanes`. A day in which nothing takes any time is an axis alone.
    """
    return str(timeline(day, width)) + "\n"


def timeline(day: Day, width: int) -> Markup:
    axis = _axis(day, width)
    ticks: list[Tick] = []
    unit = ""
    if axis.length and day.begins is None:
        ticks, unit = ticks_from_the_start(axis)
    elif axis.length:
        ticks = _clock_ticks(day, axis)
    return drawing(
        list(_bands(day)),
        axis,
        ticks,
        title=harmless(f"Timeline: {words.title(day)}"),
        description=harmless(f"{words.when(day)} {words.totals(day)} {words.decides(day)}".strip()),
        name="timeline",
        unit=unit,
    )


def cut_short(day: Day) -> bool:
    """Whether some of it is drawn shorter than it is."""
    return bool(_axis(day, PHONE).cuts)


def _axis(day: Day, width: int) -> Axis:
    return Axis(
        [day.length, *(moment for one in day.activities for moment in (one.start, one.end))], Fraction(width)
    )


def _bands(day: Day) -> Iterable[Band]:
    for number, recipe in enumerate(day.recipes):
        mine = [one for one in day.activities if one.recipe == number]
        name = harmless(f"{words.letter(day, number)} {recipe.name}".strip())
        yield Band(name if len(day.recipes) > 1 else "", tuple(_items(day, mine, short=True)))
    for thing in day.things:
        if words.shared(day, thing):
            mine = [one for one in day.activities if one.number in thing.activities]
            many = f", {display.count(Fraction(thing.capacity))} at once" if thing.capacity > 1 else ""
            yield Band(harmless(thing.thing[:1].upper() + thing.thing[1:] + many), tuple(_items(day, mine)))


def _items(day: Day, activities: Iterable[Activity], *, short: bool = False) -> Iterable[Item]:
    """In a recipe's own lane its steps go by number alone."""
    steps: dict[tuple[int, int], list[Piece]] = {}
    for one in activities:
        if words.worth_a_line(day, one):
            piece = Piece(one.start, one.end, _LOOKS[one.doing], one.critical)
            steps.setdefault((one.recipe, one.step), []).append(piece)
    for (recipe, step), pieces in steps.items():
        yield from apart(str(step) if short else f"{words.letter(day, recipe)}{step}", pieces)


# ---------------------------------------------------------------- the clock


def _clock_ticks(day: Day, axis: Axis) -> list[Tick]:
    """Whole hours of the clock on the wall; under the first of each day, its date."""
    assert day.begins is not None
    begins = datetime.fromisoformat(day.begins)
    zone = ZoneInfo(day.zone) if day.zone is not None and begins.tzinfo is not None else None
    step = axis.step()
    midnight = begins.replace(hour=0, minute=0, second=0)
    into = Fraction(int((begins - midnight).total_seconds()))
    first = -into if step < DAY else Fraction(DAY) - into
    ticks = []
    shown = ""
    for at in tick_places(axis, step, first % step if step < DAY else first):
        clock = _on_the_wall(begins, at, zone).isoformat(timespec="seconds")
        date = words.date_words(clock)
        short = f"{words.weekday(clock)[:3]} {date.split()[-1]}"
        ticks.append(
            Tick(
                at,
                words.time_words(at, clock),
                short if date != shown and (shown or words.several_dates(day)) else "",
            )
        )
        shown = date
    return ticks


def _on_the_wall(begins: datetime, seconds: Fraction, zone: tzinfo | None) -> datetime:
    passed = timedelta(seconds=int(seconds))
    if zone is None:
        return begins + passed
    return (begins.astimezone(UTC) + passed).astimezone(zone)
