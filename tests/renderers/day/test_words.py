"""The lines of a day and the sentences below them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from benchproof.compiler.day import Activity, Day
from benchproof.renderers.day import words
from benchproof.renderers.terminal import even_spaces
from tests.renderers.day import samples


def lines(day: Day) -> list[tuple[str, str, bool]]:
    return [(row.time, even_spaces(words.what(day, row)), row.calls) for row in words.rows(day)]


def test_the_cook_is_called_for_what_does_not_begin_by_itself() -> None:
    calls = {(time, what) for time, what, calls in lines(samples.rounds()) if calls}
    assert ("0:00", "Wake the yeast") in calls, "nothing before it has the cook there"
    assert ("0:33", "Cook, heat the pan to 170 °C") in calls
    assert not {("0:13", "Batter"), ("0:55", "Cool")} & calls, "they follow the work of their own hands"


def test_the_end_of_an_oven_time_is_a_line_and_so_is_what_is_turned_down() -> None:
    found = lines(samples.night())
    assert ("07:30", "Bake, load 1 of 2", True) in found, "the oven is turned down: it stays in"
    assert ("07:50", "Bake, load 1 of 2, out of the oven", True) in found
    assert ("07:30", "Bake, load 1 of 2, out of the oven", True) not in found


def test_a_moment_that_only_attends_is_not_said_twice() -> None:
    assert [line for line in lines(samples.supper()) if line[0] == "17:25"] == [
        ("17:25", "Roast, out of the oven", True),
        ("17:25", "Bake, heat the oven to 180 °C", True),
        ("17:25", "Rest", False),
    ]


def test_a_moment_without_a_time_is_kept_and_said_to_have_none() -> None:
    day = samples.supper()
    row = words.rows(day)[-1]
    assert (words.what(day, row), words.how_long(day, row)) == ("Serve", "not timed")


def test_every_activity_has_a_line_but_for_those_that_only_attend() -> None:
    for make in samples.ALL.values():
        day = make()
        numbers = {row.activity.number for row in words.rows(day) if row.kind != "end"}
        assert numbers == {one.number for one in day.activities if not one.attends}
        times = [row.at for row in words.rows(day)]
        assert times == sorted(times)


@pytest.mark.parametrize(
    ("clock", "time", "date"),
    [
        ("2026-11-28T07:10:29", "07:10", "Saturday 2026-11-28"),
        ("2026-11-28T07:10:30", "07:11", "Saturday 2026-11-28"),
        ("2026-11-28T23:59:40+13:00", "00:00", "Sunday 2026-11-29"),
    ],
)
def test_a_time_is_rounded_to_the_minute_once(clock: str, time: str, date: str) -> None:
    assert words.time_words(Fraction(0), clock) == time
    assert words.date_words(clock) == date


def test_another_day_is_named_beside_the_time() -> None:
    seen = "2026-11-28T22:00:00"
    assert words.time_words(Fraction(0), "2026-11-29T06:00:00", seen) == "Sunday 06:00"
    assert words.time_words(Fraction(0), "2026-11-28T23:00:00", seen) == "23:00"
    assert words.time_words(Fraction(93_600), None, None) == "26:00"


def test_what_can_wait_and_what_can_be_done_sooner() -> None:
    day = samples.supper()
    said = {
        row.activity.name: even_spaces(words.can_wait(row) or words.sooner(row))
        for row in words.rows(day)
        if row.kind != "end"
    }
    assert said["Soften"] == "can wait up to 5 min"
    assert said["Fruit"] == "or up to 45 min earlier"
    assert said["Bake"] == ""
    late = replace(day.activities[1], earliest=day.activities[1].start - 5 * 3600)
    assert words.sooner(words.Row("work", late.start, late.clock, late, True)) == "or earlier"


def only(day: Day, *kept: int) -> Day:
    return replace(day, activities=tuple(replace(one, critical=one.number in kept) for one in day.activities))


def test_one_thing_that_decides_is_said_in_the_singular() -> None:
    day = samples.rounds()
    assert words.decides(only(day, 4)) == "The rest in “Batter” decides the time."
    assert words.decides(only(day)) == ""
    assert even_spaces(words.decides(only(day, 4, 7))) == (
        "The rest in “Batter” (25 min) and the work in “Cook” (7 min) decide the time."
    )


def oven_at(*spans: tuple[int, int]) -> Day:
    day = samples.supper()
    bake: Activity = day.activities[2]
    used = tuple(
        replace(
            bake,
            number=100 + number,
            start=Fraction(start * 60),
            end=Fraction(end * 60),
            clock=None,
            clock_end=None,
        )
        for number, (start, end) in enumerate(spans)
    )
    thing = replace(day.things[0], activities=tuple(one.number for one in used))
    every = (*day.activities, *used)
    things = (samples.with_gaps(thing, every, lambda seconds: None),)
    return replace(day, activities=every, things=things, begins=None, ready=None)


@pytest.mark.parametrize(
    ("spans", "said"),
    [
        (((30, 60),), "free until 0:30 and from 1:00 on"),
        (((0, 60), (65, 115)), "in use all the time"),
        (((0, 60), (80, 115)), "free from 1:00 to 1:20"),
        (((0, 90), (10, 30), (50, 60)), "free from 1:30 on"),
    ],
)
def test_when_the_oven_is_free(spans: tuple[tuple[int, int], ...], said: str) -> None:
    assert list(words.free(oven_at(*spans))) == [f"The oven is {said}."]


def test_what_one_recipe_alone_uses_is_no_news_but_for_the_oven() -> None:
    day = samples.supper()
    pan = replace(day.things[0], thing="wide pan", activities=(4, 5))
    assert list(words.free(replace(day, things=(pan,)))) == []
    shared = replace(pan, activities=(4, 6))
    assert len(list(words.free(replace(day, things=(shared,))))) == 1


def test_how_good_the_plan_is_is_always_one_line() -> None:
    day = samples.rounds()
    assert words.proven(replace(day, proven=True)) == "Proven: no plan can be shorter."
    assert "no plan can be shorter than 1 h 10 min" in even_spaces(words.proven(day))
    assert "another plan may let less stand past its time" in words.proven(replace(day, bound=day.length))


def test_what_goes_wrong_comes_first_and_says_take_care() -> None:
    notes = words.notes(samples.night())
    assert {note.kind for note in notes[:3]} == words.GRAVE
    assert all(
        words.note_words(note).startswith("Take care: ") == (note.kind in words.GRAVE) for note in notes
    )
    assert [note.kind for note in notes[3:]] == [kind for kind in samples.NOTES if kind not in words.GRAVE]


def test_temperatures_are_in_the_scale_asked_for() -> None:
    day = replace(samples.night(), temperatures="F")
    assert ("06:50", "Heat the oven to 446 °F", True) in lines(day)
    assert "written as 7–8 h for 70 °F; at 64 °F" in even_spaces(next(iter(words.estimates(day))))


def test_recipes_past_the_alphabet_have_letters_too() -> None:
    day = samples.supper()
    many = replace(day, recipes=day.recipes * 10)
    assert [words.letter(many, at) for at in (0, 25, 26, 29)] == ["A", "Z", "A1", "D1"]
    assert words.letter(samples.rounds(), 0) == ""


def test_long_words_are_cut_between_words() -> None:
    day = samples.rounds()
    row = next(row for row in words.rows(day) if row.activity.number == 4)
    assert words.in_short(day, row) == "cover loosely and leave until it is all…"
