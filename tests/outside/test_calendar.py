"""Our calendar, read by libraries that others wrote, whatever a cook calls a thing."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from benchproof.compiler.day import Day
from benchproof.renderers.day import words
from benchproof.renderers.day.calendar import day_ical
from benchproof.renderers.terminal import harmless
from tests.renderers.day import samples

pytestmark = pytest.mark.outside

STAMP = date(2026, 11, 25)
DAYS = ["supper", "night"]

names = st.one_of(
    st.text(min_size=1, max_size=40),
    st.text(alphabet=",;:\\\"\r\n\tnN ^'é🥖", min_size=1, max_size=40),
    st.sampled_from(
        ["a" * 500, "🥖" * 60, "é" * 74, "Crème, brûlée; “½”\nEND:VEVENT", "\\\\n", "BEGIN:VALARM"]
    ),
)


def shown(text: str) -> str:
    """What cannot command a screen; and `\\N`, which icalendar would take for a line end, with another stroke."""
    return harmless(text).replace("\\N", "∖N")


def expected(day: Day) -> dict[str, int]:
    """How often each summary is due."""
    found: dict[str, int] = {}
    for row in words.rows(day):
        if row.calls:
            name = shown(words.what(day, row))
            if len(day.recipes) > 1:
                name += f" ({shown(day.recipes[row.activity.recipe].name)})"
            found[name] = found.get(name, 0) + 1
    return found


def counted(summaries: list[str]) -> dict[str, int]:
    return {one: summaries.count(one) for one in summaries}


def assert_well_formed(data: bytes) -> None:
    """RFC 5545, 3.1: lines end in CRLF, are no longer than 75 octets, and hold no control but a tab."""
    lines = data.split(b"\r\n")
    assert lines[-1] == b""
    assert all(len(line) <= 75 for line in lines)
    assert not any(byte < 0x20 and byte != 0x09 for line in lines for byte in line)


@pytest.mark.parametrize("name", DAYS)
def test_icalendar_reads_back_every_event(name: str) -> None:
    day = samples.ALL[name]()
    events = Calendar.from_ical(day_ical(day, STAMP, alarms=True)).walk("VEVENT")
    assert counted([str(event["summary"]) for event in events]) == expected(day)
    for event in events:
        assert event.decoded("dtend") > event.decoded("dtstart")
        assert event.decoded("dtstamp") == datetime(2026, 11, 25, tzinfo=UTC)
        assert len(event.walk("VALARM")) == 1
    assert len({str(event["uid"]) for event in events}) == len(events)


@pytest.mark.parametrize("name", DAYS)
def test_vobject_reads_back_every_event_and_finds_nothing_missing(name: str) -> None:
    vobject = pytest.importorskip("vobject")
    day = samples.ALL[name]()
    calendar = vobject.readOne(day_ical(day, STAMP, alarms=True).decode())
    assert counted([event.summary.value for event in calendar.vevent_list]) == expected(day)
    assert calendar.validate(raiseException=True)


def test_the_times_are_the_day_s_own() -> None:
    day = samples.night()
    events = Calendar.from_ical(day_ical(day, STAMP)).walk("VEVENT")
    first = min(event.decoded("dtstart") for event in events)
    assert first == datetime.fromisoformat(day.begins or "")
    assert first.tzinfo is not None
    floating = Calendar.from_ical(day_ical(samples.supper(), STAMP)).walk("VEVENT")
    assert all(event.decoded("dtstart").tzinfo is None for event in floating)


@settings(max_examples=50)
@given(names, names)
def test_a_name_of_any_sort_comes_back_as_it_was_and_adds_nothing(name: str, text: str) -> None:
    day = samples.renamed(samples.supper(), name, text)
    data = day_ical(day, STAMP)
    assert_well_formed(data)
    calendar = Calendar.from_ical(data)
    events = calendar.walk("VEVENT")
    assert counted([str(event["summary"]) for event in events]) == expected(day)
    assert [one.name for one in calendar.walk()] == ["VCALENDAR", *(["VEVENT"] * len(events))]


@settings(max_examples=50)
@given(names)
def test_vobject_agrees_on_names_of_any_sort(name: str) -> None:
    vobject = pytest.importorskip("vobject")
    day = samples.renamed(samples.supper(), name)
    calendar = vobject.readOne(day_ical(day, STAMP).decode())
    assert counted([event.summary.value for event in calendar.vevent_list]) == expected(day)
