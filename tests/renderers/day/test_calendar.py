"""A day as a calendar: what is in it, and that the same day made again takes the place of the old one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from fractions import Fraction

import pytest

from benchproof.compiler.day import Day
from benchproof.renderers.day.calendar import day_ical
from benchproof.renderers.press import PageError
from tests.renderers.day import samples

STAMP = date(2026, 11, 25)


def unfolded(day: Day, *, alarms: bool = False) -> list[str]:
    return day_ical(day, STAMP, alarms=alarms).decode().replace("\r\n ", "").split("\r\n")


def uids(day: Day) -> list[str]:
    return [line for line in unfolded(day) if line.startswith("UID:")]


def test_without_a_clock_a_cook_is_told_what_to_ask() -> None:
    with pytest.raises(PageError, match="--ready-at 18:30"):
        day_ical(samples.rounds(), STAMP)


def test_times_float_where_no_zone_is_known_and_are_utc_where_one_is() -> None:
    floating = unfolded(samples.supper())
    assert "DTSTART:20261128T164000" in floating
    assert not any(line.endswith("Z") for line in floating if line.startswith("DTSTART"))
    # 20:40 in New Zealand's winter time is 08:40; after the change, 06:50 is 17:50 of the day before.
    fixed = unfolded(samples.night())
    assert "DTSTART:20260926T084000Z" in fixed
    assert "DTSTART:20260926T175000Z" in fixed


def test_work_has_its_length_and_a_moment_five_minutes_that_are_free() -> None:
    text = "\n".join(unfolded(samples.supper()))
    joint = next(event for event in text.split("BEGIN:VEVENT") if "SUMMARY:Joint" in event)
    assert "DTSTART:20261128T162800\nDTEND:20261128T164000" in joint
    assert "TRANSP:OPAQUE" in joint
    out = next(event for event in text.split("BEGIN:VEVENT") if "out of the oven" in event)
    assert "DTSTART:20261128T172500\nDTEND:20261128T173000" in out
    assert "TRANSP:TRANSPARENT" in out


def test_what_goes_by_itself_is_no_event_but_its_end_is() -> None:
    summaries = [line for line in unfolded(samples.supper()) if line.startswith("SUMMARY:")]
    assert "SUMMARY:Simmer\\, off the heat (Low tide bean stew)" in summaries
    assert not any("Rest" in line for line in summaries)


def test_the_same_day_an_hour_later_keeps_its_uids() -> None:
    day = samples.supper()

    def later(one: object) -> str:
        return (datetime.fromisoformat(str(one)) + timedelta(hours=1)).isoformat()

    moved = replace(
        day,
        activities=tuple(
            replace(one, clock=later(one.clock), clock_end=later(one.clock_end)) for one in day.activities
        ),
        ready=later(day.ready),
    )
    assert uids(moved) == uids(day)
    assert day_ical(moved, STAMP) != day_ical(day, STAMP)


def test_another_day_another_kitchen_and_another_recipe_are_other_events() -> None:
    day = samples.supper()
    others = [
        replace(day, kitchen="The other kitchen"),
        replace(day, ready="2026-11-29T18:15:00"),
        replace(day, recipes=tuple(replace(one, name=one.name + "!") for one in day.recipes)),
    ]
    for other in others:
        assert not set(uids(other)) & set(uids(day))


def test_the_same_recipe_twice_has_no_uid_twice() -> None:
    day = samples.supper()
    twice = replace(day, recipes=(day.recipes[0],) * 3)
    assert len(uids(twice)) == len(set(uids(twice)))


def test_alarms_only_where_asked_for() -> None:
    assert "BEGIN:VALARM" not in unfolded(samples.supper())
    assert unfolded(samples.supper(), alarms=True).count("BEGIN:VALARM") == len(uids(samples.supper()))


def test_the_stamp_is_the_day_asked_for_and_the_bytes_are_the_same_again() -> None:
    stamps = {line for line in unfolded(samples.night()) if line.startswith("DTSTAMP")}
    assert stamps == {"DTSTAMP:20261125T000000Z"}
    assert day_ical(samples.night(), STAMP) == day_ical(samples.night(), STAMP)


def test_a_day_in_which_nothing_calls_is_a_calendar_without_events() -> None:
    day = replace(samples.supper(), activities=(), length=Fraction(0))
    assert unfolded(day)[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]
    assert uids(day) == []
