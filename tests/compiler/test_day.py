"""The Day: plain data that is never changed and is the same for the same plan."""

from dataclasses import FrozenInstanceError, fields, is_dataclass
from fractions import Fraction
from typing import Any, get_args

import pytest

from benchproof.compiler import day as module
from benchproof.compiler.day import Day, NoteKind
from tests.compiler import days
from tests.compiler.bench import demo_batch, values

CLASSES = [one for one in vars(module).values() if is_dataclass(one) and one.__module__ == module.__name__]


def sample() -> Day:
    return days.plan(
        demo_batch("lighthouse-loaf"), demo_batch("ferry-milk-rolls"), ready_at="12:00", room=Fraction(18)
    )


@pytest.mark.parametrize("kind", CLASSES, ids=lambda kind: kind.__name__)
def test_nothing_of_it_can_be_changed(kind: Any) -> None:
    blank = object.__new__(kind)
    with pytest.raises(FrozenInstanceError):
        setattr(blank, fields(kind)[0].name, None)


def test_there_is_no_float_in_it() -> None:
    found = list(values(sample()))
    assert found
    assert not any(isinstance(value, float) for value in found)


def test_its_times_are_exact() -> None:
    day = sample()
    for one in day.activities:
        assert isinstance(one.start, Fraction)
        assert isinstance(one.end, Fraction)
    assert all(isinstance(one.likely.low, Fraction) for one in day.estimates)


def test_numbers_count_from_one_in_the_order_of_time() -> None:
    day = sample()
    assert [one.number for one in day.activities] == list(range(1, len(day.activities) + 1))
    assert [one.start for one in day.activities] == sorted(one.start for one in day.activities)


def test_what_points_at_activities_points_at_some() -> None:
    day = sample()
    numbers = {one.number for one in day.activities}
    pointed = [
        *(number for note in day.notes for number in note.activities),
        *(number for thing in day.things for number in thing.activities),
        *(estimate.activity for estimate in day.estimates),
    ]
    assert pointed
    assert set(pointed) <= numbers
    assert all(one.recipe in range(len(day.recipes)) for one in day.activities)


def test_every_note_is_of_a_kind_that_is_declared() -> None:
    assert {note.kind for note in sample().notes} <= set(get_args(NoteKind))
