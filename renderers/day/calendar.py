"""A Day as iCalendar (RFC 5545), for the calendar in a pocket.

An event for each thing the cook does, from its beginning to its end, and one for each moment that calls: the oven to
be lit, what goes in, what comes out. A moment is put down as five minutes, so that a calendar shows it, and as time
that is free.

Times are in UTC where the kitchen's time zone is known, so that they are right wherever the calendar is and whatever
its tables of zones say; else they float: half past six is half past six where the calendar is.

Each event's UID comes of the kitchen, the day it is all to be ready, the recipe, the step and which piece of it: not
of its time. So the plan of the same day, made again, takes the place of the old one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from hashlib import sha256
from typing import Final

from icalendar import Alarm, Calendar, Event

from benchproof.compiler.day import Day
from benchproof.renderers.day import words
from benchproof.renderers.press import PageError
from benchproof.renderers.terminal import harmless

PRODUCT: Final = "-//Benchproof//Day plan//EN"
_MOMENT: Final = timedelta(minutes=5)


def day_ical(day: Day, stamp: date, *, alarms: bool = False) -> bytes:
    """The plan as a calendar file, UTF-8. `stamp` is the day it was asked for; with `alarms`, each event rings.

    Raises `PageError` for a plan without a clock.
    """
    if day.begins is None or day.ready is None:
        raise PageError(
            "A calendar needs times of day, and this plan counts from its beginning."
            " Ask for `--ready-at 18:30` or `--start-at 09:00`."
        )
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    stamped = datetime.combine(stamp, time(), UTC)
    for event in _events(day):
        event.add("dtstamp", stamped)
        if alarms:
            alarm = Alarm()
            alarm.add("action", "DISPLAY")
            alarm.add("description", str(event["summary"]))
            alarm.add("trigger", timedelta())
            event.add_component(alarm)
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _events(day: Day) -> Iterator[Event]:
    seen: Counter[tuple[object, ...]] = Counter()
    names: Counter[str] = Counter()
    which = []
    for recipe in day.recipes:  # the same recipe twice is two
        which.append(names[recipe.name])
        names[recipe.name] += 1
    assert day.ready is not None
    anchor = words.moment(day.ready).date().isoformat()
    several = len(day.recipes) > 1
    for row in sorted(words.rows(day), key=lambda row: (row.activity.number, row.kind)):
        if not row.calls or row.clock is None:
            continue
        one = row.activity
        recipe = day.recipes[one.recipe]
        piece = (recipe.name, which[one.recipe], one.step, one.load, row.kind)
        identity = repr((day.kitchen, anchor, *piece, seen[piece]))
        seen[piece] += 1
        event = Event()
        event.add("uid", f"{sha256(identity.encode('utf-8', 'surrogatepass')).hexdigest()[:32]}@benchproof")
        name = _shown(words.what(day, row))
        event.add("summary", f"{name} ({_shown(recipe.name)})" if several else name)
        event.add("description", "\n".join(_description(day, row)))
        begin = _time(row.clock)
        event.add("dtstart", begin)
        works = row.kind == "work" and one.end > one.start and one.clock_end is not None
        event.add("dtend", _time(one.clock_end) if works and one.clock_end is not None else begin + _MOMENT)
        event.add("transp", "OPAQUE" if works else "TRANSPARENT")
        if day.kitchen:
            event.add("location", _shown(day.kitchen))
        yield event


def _description(day: Day, row: words.Row) -> Iterator[str]:
    one = row.activity
    yield _shown(f"{day.recipes[one.recipe].name}, step {one.step}: {one.name}")
    if row.kind in ("work", "wait") and words.said(one):
        yield _shown(f"{words.said(one)}.")
    if length := words.how_long(day, row):
        yield length
    for more in (words.can_wait(row), words.sooner(row), words.too_long(row)):
        if more:
            yield more
    if one.cook is not None and day.cooks > 1:
        yield f"cook {one.cook}"


def _shown(text: str) -> str:
    """Without what could command a screen. icalendar takes a written `\\N` for the end of a line: it gets another
    stroke, that looks the same."""
    return harmless(text).replace("\\N", "\u2216N")


def _time(clock: str) -> datetime:
    moment = datetime.fromisoformat(clock)
    return moment if moment.tzinfo is None else moment.astimezone(UTC)
