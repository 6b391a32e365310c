"""plan_day(): what must hold of every plan, the clock, and what the cook is told."""

import json
import os
import subprocess
import sys
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler import display
from benchproof.compiler.activities import net
from benchproof.compiler.batch import Batch, Equipment, Extent, Run
from benchproof.compiler.compile import Compiler
from benchproof.compiler.day import Day
from benchproof.compiler.kitchen import open_kitchen
from benchproof.compiler.plan_day import CannotPlan, DayRequest, at_warmth, elapsed, plan_day
from benchproof.compiler.request import Request
from tests.compiler import days
from tests.compiler.bench import DEMO, batch_of, demo_batch
from tests.compiler.days import (
    at_least,
    draw,
    heat,
    loads,
    minutes,
    notes,
    recipe,
    said,
    step,
    tool,
    turns,
    wait,
    work,
)

ROOT = Path(__file__).resolve().parents[2]
CLEAN = ROOT / "tests" / "recipes" / "clean"

# ---------------------------------------------------------------- recipes for a day


def loaf(name: str = "Loaf", degrees: int = 230, *, oven: bool = True) -> Batch:
    """Mixed, proved (it does not wait), baked."""
    bake: tuple[Run, ...] = (
        (said("Bake "), heat(degrees), said(" for "), wait(30, 40)) if oven else (work(5),)
    )
    return recipe(name, (said("Mix "), work(10)), (said("Prove "), wait(50, 60)), bake)


def stew(name: str = "Stew") -> Batch:
    return recipe(
        name, (said("Chop "), work(15)), (said("Simmer "), wait(90), said(" then season "), work(2))
    )


def cakes(name: str = "Cakes") -> Batch:
    return recipe(
        name,
        (said("Beat in the bowl "), work(5)),
        (
            said("Set the pan over "),
            heat(180, "pan"),
            said(" and cook "),
            loads(3),
            work(4),
            said(" turn "),
            work(2),
        ),
        tools=(tool("mixing bowl"), tool("frying pan")),
    )


def check(day: Day, *batches: Batch, **asked: object) -> Day:
    request = DayRequest(**{"on": days.DAY, **asked})  # type: ignore[arg-type]
    assert days.faults(batches, request, day) == []
    return day


def planned(*batches: Batch, **asked: object) -> Day:
    """A plan in which nothing is wrong."""
    return check(days.plan(*batches, **asked), *batches, **asked)


# ---------------------------------------------------------------- properties

RUNS = st.sampled_from(
    (
        (said("Mix "), work(5)),
        (said("Knead in the mixer "), work(8, 10)),
        (said("Shape "), work(0)),
        (said("Leave "), wait(20)),
        (said("Prove "), wait(40, 60)),
        (said("Soak "), at_least(120)),
        (said("Bake "), heat(200), said(" for "), wait(20, 25)),
        (said("Bake "), heat(160), said(" for "), wait(45)),
        (said("Fry "), heat(180, "pan"), said(" "), loads(3), work(3)),
        (said("Fry "), heat(175, "oil"), said(" "), wait(6, 8)),
        (said("Bake "), heat(220), said(" "), loads(2), wait(12)),
        (said("Fold "), turns(3, 30)),
        (said("Stir in the bowl "),),
        (said("Cool on a rack "), wait(60)),
    )
)
TOOLS = (tool("mixer", 1, holds=1000), tool("bowl", 1, "pan"))


@st.composite
def batches(sketch: st.DrawFn, name: str = "A") -> Batch:
    count = sketch(st.integers(1, 4))
    steps = []
    for number in range(1, count + 1):
        after = (sketch(st.integers(1, number - 1)),) if number > 1 and sketch(st.integers(0, 3)) else ()
        during = None
        if number > 1 and not after and sketch(st.booleans()):
            during = sketch(st.integers(1, number - 1))
        steps.append(step(number, *sketch(RUNS), after=after, during=during))
    return recipe(name, *steps, tools=TOOLS)


def several() -> st.SearchStrategy[list[Batch]]:
    return st.integers(1, 3).flatmap(
        lambda many: st.tuples(*(batches(name) for name in "ABC"[:many])).map(list)
    )


ASKED = st.sampled_from(
    ({}, {"start_at": "07:00"}, {"ready_at": "18:00"}, {"ready_at": "18:00", "start_at": "17:00"})
)


@settings(max_examples=120, deadline=None)
@given(several(), ASKED, st.integers(1, 2))
def test_every_plan_can_be_kept(made: list[Batch], asked: dict[str, str], cooks: int) -> None:
    planned(*made, cooks=cooks, **asked)


WINDOWS = st.sampled_from(
    (
        ("06:00-22:00",),
        ("06:00-07:30", "17:00-22:00"),
        ("22:00-06:00",),
        ("07:00-09:00", "12:00-13:00", "17:00-21:00"),
        ("00:00-24:00",),
    )
)


@settings(max_examples=60, deadline=None)
@given(several(), st.sampled_from(({}, {"start_at": "07:00"}, {"ready_at": "18:00"})), WINDOWS)
def test_every_plan_keeps_to_the_hours_the_cook_is_free(
    made: list[Batch], asked: dict[str, str], between: tuple[str, ...]
) -> None:
    planned(*made, between=between, **asked)


@settings(max_examples=40, deadline=None)
@given(several(), st.integers(0, 23), st.sampled_from(("start_at", "ready_at")))
def test_another_time_moves_the_whole_plan(made: list[Batch], hours: int, which: str) -> None:
    one = days.plan(*made, **{which: "2026-11-20 00:00"})
    other = days.plan(*made, **{which: f"2026-11-20 {hours:02}:00"})
    assert [replace(a, clock=None, clock_end=None) for a in one.activities] == [
        replace(a, clock=None, clock_end=None) for a in other.activities
    ]
    for before, after in zip(one.activities, other.activities, strict=True):
        assert before.clock is not None
        assert after.clock is not None
        moved = datetime.fromisoformat(after.clock) - datetime.fromisoformat(before.clock)
        assert moved == timedelta(hours=hours)


@settings(max_examples=60, deadline=None)
@given(batches())
def test_ranges_nest(made: Batch) -> None:
    """The short ends of all ranges never take longer than the long ends."""
    took, stretches = elapsed(made)
    assert Fraction(0) <= took.low <= took.high
    assert took.high == max((one.end for one in stretches), default=Fraction(0))


@settings(max_examples=60, deadline=None)
@given(batches())
def test_a_second_cook_never_makes_it_longer(made: Batch) -> None:
    one, two = days.plan(made), days.plan(made, cooks=2)
    if one.proven and two.proven:
        assert two.length <= one.length


@settings(max_examples=50, deadline=None)
@given(several())
def test_each_may_begin_at_its_earliest_and_at_its_latest(made: list[Batch]) -> None:
    """With all at their earliest, and with all at their latest, the plan is one too, and no longer."""
    day = days.plan(*made, start_at="07:00")
    request = DayRequest(on=days.DAY, start_at="07:00")
    for end in ("earliest", "latest"):
        moved = tuple(
            replace(one, start=getattr(one, end), end=getattr(one, end) + one.end - one.start, clock=None)
            for one in day.activities
        )
        wrong = [
            fault
            for fault in days.faults(made, request, replace(day, activities=moved))
            if "begins " in fault
            or "at once" in fault  # order, deadlines and things; cooks are given out anew
        ]
        assert wrong == []
        assert max(one.end for one in moved) <= day.length


# ---------------------------------------------------------------- the kitchen's own recipes


@pytest.mark.parametrize("asked", [{"start_at": "07:00"}, {"ready_at": "18:00"}], ids=["from", "until"])
@pytest.mark.parametrize("cooks", [1, 2])
def test_any_two_recipes_of_the_kitchen(asked: dict[str, str], cooks: int) -> None:
    every = list(combinations(DEMO, 2))
    for one, other in every[cooks::7]:
        planned(demo_batch(one), demo_batch(other), cooks=cooks, **asked)


@pytest.mark.parametrize("asked", [{"start_at": "03:00"}, {"ready_at": "20:00"}], ids=["from", "until"])
def test_six_recipes_of_the_kitchen(asked: dict[str, str]) -> None:
    names = (
        "lighthouse-loaf",
        "church-hall-scones",
        "slack-water-buns",
        "rhubarb-compote",
        "sea-wall-frittata",
    )
    day = planned(*(demo_batch(name) for name in (*names, "pilot-boat-pikelets")), **asked)
    assert notes(day, "past-its-time") == []
    assert len({(one.recipe, one.step) for one in day.activities}) >= 30


def test_the_whole_kitchen_in_one_day() -> None:
    day = planned(*(demo_batch(name) for name in DEMO), ready_at="20:00", cooks=2)
    assert {one.recipe for one in day.activities} == set(range(len(DEMO)))


@pytest.mark.parametrize("name", DEMO)
def test_a_recipe_alone_is_proven_the_shortest(name: str) -> None:
    batch = demo_batch(name)
    day = planned(batch)
    assert day.proven
    assert notes(day, "past-its-time") == []
    assert day.length == batch.times.elapsed.high


@pytest.mark.parametrize(
    "folder", sorted(path.parent for path in CLEAN.glob("*/kitchen.bench")), ids=lambda path: path.name
)
def test_every_clean_recipe_can_be_planned(folder: Path) -> None:
    kitchen = open_kitchen(folder)
    compiler = Compiler(kitchen)
    for found in kitchen.own_recipes():
        batch = compiler.compile(found, Request(on=days.DAY)).batch
        assert batch is not None
        for asked in ({"start_at": "07:00"}, {"ready_at": "18:00"}):
            day = planned(batch, **asked)
            assert day.proven
            assert day.length == batch.times.elapsed.high


PRINT = """
import json, sys
from tests.compiler.bench import demo_batch
from tests.compiler import days
made = [demo_batch(name) for name in sys.argv[1:]]
found = [days.plan(*made, ready_at="18:00", cooks=cooks) for cooks in (1, 2)]
print(json.dumps([repr(day) for day in found]))
"""


def test_the_same_whatever_order_sets_come_in() -> None:
    names = ("lighthouse-loaf", "slack-water-buns", "harbour-griddle-rounds", "regatta-day-bake")
    printed = {
        subprocess.run(
            [sys.executable, "-c", PRINT, *names],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "77")
    }
    assert len(printed) == 1
    assert len(json.loads(printed.pop())) == 2


# ---------------------------------------------------------------- what is asked


def test_one_recipe_begins_at_once_and_several_are_ready_together() -> None:
    assert [one.start for one in planned(loaf(), start_at="07:00").recipes] == [0]
    day = planned(loaf(), stew(), ready_at="18:00")
    assert {one.ready for one in day.recipes} == {day.length}
    assert day.ready == "2026-11-20T18:00:00"


def test_without_a_time_of_day_there_is_no_clock() -> None:
    day = planned(loaf())
    assert day.begins is None
    assert all(one.clock is None for one in day.activities)


def test_two_cooks_work_at_once() -> None:
    made = [recipe(name, (said("Chop "), work(20))) for name in ("A", "B")]
    assert planned(*made).length == 40 * 60
    two = planned(*made, cooks=2)
    assert two.length == 20 * 60
    assert {one.cook for one in two.activities} == {1, 2}


def test_no_cook_is_no_day() -> None:
    with pytest.raises(CannotPlan, match="at least one cook") as raised:
        days.plan(loaf(), cooks=0)
    assert "--cooks 1" in raised.value.help


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"ready_at": "noonish"}, "--ready-at noonish is no time of day"),
        ({"ready_at": "25:00"}, "--ready-at 25:00 is no time of day"),
        ({"start_at": "2026-02-30 08:00"}, "is no time of day"),
        ({"between": ("morning",)}, "--between morning is no stretch of a day"),
        ({"between": ("06:00-26:00",)}, "is no stretch of a day"),
        ({"ready_at": "08:00", "zone": "Pacific/Saltmarsh"}, "is no time zone known here"),
        ({"ready_at": "08:00", "zone": "../etc"}, "is no time zone known here"),
        ({"ready_at": "2026-09-27 02:30", "zone": "Pacific/Auckland"}, "does not exist"),
        ({"start_at": "2026-03-29 01:30", "zone": "Europe/London"}, "does not exist"),
    ],
)
def test_what_cannot_be_asked_is_said_with_what_to_ask(asked: dict[str, object], says: str) -> None:
    with pytest.raises(CannotPlan, match=says) as raised:
        days.plan(loaf(), **asked)
    assert raised.value.help


def test_begun_too_late_says_by_how_much() -> None:
    day = planned(recipe("Roast", (said("Chop "), work(90))), start_at="17:00", ready_at="18:00")
    (note,) = notes(day, "cannot-be-ready")
    assert note.by == 30 * 60
    assert "18:00" in note.text
    assert display.duration(Fraction(1800)) in note.text


def test_time_enough_says_nothing() -> None:
    day = planned(recipe("Roast", (said("Chop "), work(60))), start_at="17:00", ready_at="18:00")
    assert notes(day, "cannot-be-ready") == []


# ---------------------------------------------------------------- when the cook is free


def at(day: Day, doing: str = "work") -> list[str]:
    return [one.clock[11:16] for one in day.activities if one.doing == doing and one.clock]


def test_work_waits_for_the_cook_to_be_free() -> None:
    made = recipe("A", (said("Chop "), work(20)), (said("Fry "), work(20)))
    day = planned(made, start_at="06:00", between=("06:00-06:30", "18:00-22:00"))
    assert at(day) == ["06:00", "18:00"]


def test_dough_is_begun_so_that_somebody_is_there_when_it_is_ready() -> None:
    day = planned(loaf(oven=False), start_at="06:00", between=("06:00-07:00", "08:30-10:00"))
    assert notes(day, "past-its-time") == []
    assert at(day) == ["08:30", "09:40", "09:40"], "it is looked at when it is ready, and then baked"


def test_a_night_goes_on_to_the_morning() -> None:
    made = recipe("A", (said("Chop "), work(60)), (said("Fry "), work(120)), (said("Pot "), work(240)))
    day = planned(made, ready_at="2026-11-21 06:00", between=("22:00-06:00",))
    assert day.begins == "2026-11-20T23:00:00"


def test_windows_that_touch_are_one() -> None:
    made = recipe("A", (said("Chop "), work(60)))
    day = planned(made, start_at="06:30", between=("06:00-07:00", "07:00-08:00"))
    assert at(day) == ["06:30"]


def test_a_window_too_short_is_said_for_a_cook() -> None:
    with pytest.raises(CannotPlan, match="no time at which all of it can be done") as raised:
        days.plan(recipe("A", (said("Chop "), work(60))), between=("06:00-06:30",), start_at="06:00")
    assert "--between" in raised.value.help


def test_dough_due_when_nobody_is_free_stands_past_its_time_and_says_so() -> None:
    # nobody is ever free at both ends of a proof of five hours
    made = recipe("A", (said("Mix "), work(10)), (said("Prove "), wait(200, 300)), (said("Bake "), work(5)))
    day = planned(made, start_at="06:00", between=("06:00-07:00",))
    (note,) = notes(day, "past-its-time")
    assert note.by is not None
    assert note.by > 0
    late = next(one for one in day.activities if one.late)
    assert late.late == note.by
    assert not day.proven


def test_more_work_than_days_that_seem_to_be_needed() -> None:
    """Ten minutes a day: every piece has a day of its own."""
    made = recipe("A", *((said("Chop "), work(8)) for _ in range(9)))
    day = planned(made, start_at="06:00", between=("06:00-06:10",))
    assert day.activities[-1].clock == "2026-11-28T06:00:00"


def test_months_between_two_pieces_of_work() -> None:
    made = recipe(
        "Cheese", (said("Salt "), work(30)), (said("Leave "), wait(60 * 24 * 90)), (said("Wash "), work(30))
    )
    day = planned(made, start_at="06:00", between=("06:00-07:00",))
    assert day.activities[-1].clock == "2027-02-18T06:30:00"


def test_slack_within_the_hours_the_cook_is_free() -> None:
    made = recipe(
        "A",
        step(1, said("Chop "), work(20)),
        step(2, said("Simmer "), wait(180)),
        step(3, said("Join "), work(10), after=(1, 2)),
    )
    day = planned(made, start_at="06:00", between=("06:00-08:00", "08:30-12:00"))
    chop = day.activities[0]
    assert (chop.earliest, chop.latest) == (0, 160 * 60)
    assert not chop.critical


# ---------------------------------------------------------------- clocks that change

CHANGES = [
    # zone, the night, hours on the clock for ten that pass from 20:00, which way
    ("Pacific/Auckland", "2026-09-26", "07:00", "forward"),
    ("Pacific/Auckland", "2027-04-03", "05:00", "back"),
    ("Europe/London", "2026-03-28", "07:00", "forward"),
    ("Europe/London", "2026-10-24", "05:00", "back"),
    ("Europe/London", "2026-06-10", "06:00", None),
]


@pytest.mark.parametrize(("zone", "on", "ends", "which"), CHANGES)
def test_hours_pass_whatever_the_clock_does(zone: str, on: str, ends: str, which: str | None) -> None:
    made = recipe("Levain", (said("Leave "), wait(600)), (said("Mix "), work(0)))
    day = planned(made, start_at=f"{on} 20:00", zone=zone)
    assert day.length == 10 * 3600
    assert day.ready is not None
    assert day.ready[11:16] == ends
    told = notes(day, "clocks-change")
    assert [note.by for note in told] == ([Fraction(3600)] if which else [])
    assert all(which is not None and which in note.text for note in told)


def test_ready_after_the_change_begins_by_the_old_clock() -> None:
    made = recipe("Levain", (said("Mix "), work(30)), (said("Leave "), wait(570)))
    day = planned(made, ready_at="2026-09-27 08:00", zone="Pacific/Auckland")
    assert day.begins == "2026-09-26T21:00:00+12:00"
    assert day.ready == "2026-09-27T08:00:00+13:00"


@pytest.mark.parametrize(
    ("on", "begins"),
    [
        ("2026-09-26", "2026-09-27T22:00:00+13:00"),  # a night of four and a half hours: the next one
        ("2027-04-03", "2027-04-03T22:00:00+13:00"),
    ],
)
def test_a_night_is_an_hour_shorter_or_longer(on: str, begins: str) -> None:
    made = recipe("A", (said("Pot "), work(60 * 5)))
    day = planned(made, start_at=f"{on} 22:00", zone="Pacific/Auckland", between=("22:00-03:30",))
    assert day.begins == begins


# ---------------------------------------------------------------- ovens, rings and bowls


def test_one_oven_has_one_temperature() -> None:
    made = [
        recipe(name, (said("Bake "), heat(degrees), wait(30))) for name, degrees in (("A", 200), ("B", 150))
    ]
    day = planned(*made)
    assert day.length == (15 + 30 + 15 + 30) * 60
    assert [one.added for one in day.activities if one.doing == "heat"] == [True, True]


def test_dishes_at_one_temperature_share_the_oven_and_say_so() -> None:
    made = [recipe(name, (said("Bake "), heat(200), wait(30))) for name in "AB"]
    day = planned(*made)
    assert day.length == 45 * 60
    assert len([one for one in day.activities if one.doing == "heat"]) == 1, "it is hot already"
    (note,) = notes(day, "oven-shared")
    assert note.by == 30 * 60


def test_two_ovens_have_two_temperatures() -> None:
    made = [
        recipe(name, (said("Bake "), heat(degrees), wait(30))) for name, degrees in (("A", 200), ("B", 150))
    ]
    day = planned(*made, stock=(tool("oven", 2),))
    assert day.length == 45 * 60
    assert notes(day, "assumed") == []


def test_what_is_not_stated_of_the_kitchen_is_said_to_be_assumed() -> None:
    made = [recipe(name, (said("Bake "), heat(200), wait(30))) for name in "AB"]
    (note,) = notes(planned(*made), "assumed")
    assert "One oven" in note.text


def test_no_more_pans_than_rings() -> None:
    made = [recipe(str(number), (said("Boil "), heat(100, "pan"), wait(30))) for number in range(5)]
    four = planned(*made, cooks=5)
    five = planned(*made, cooks=5, stock=(tool("hob rings", 5),))
    assert four.length > five.length


def test_a_bowl_is_used_by_one_at_a_time_and_two_bowls_by_two() -> None:
    steps = ((said("Whip in the mixing bowl "), work(5)),)
    one = [recipe(name, *steps, tools=(tool("mixing bowl"),)) for name in "AB"]
    assert planned(*one, cooks=2).length == 10 * 60
    assert planned(*one, cooks=2, stock=(tool("mixing bowl", 2),)).length == 5 * 60


def test_another_tool_stands_in_where_the_first_is_taken() -> None:
    steps = ((said("Whip in the mixing bowl "), work(5)),)
    made = [recipe(name, *steps, tools=(tool("mixing bowl", None, "stock pot"),)) for name in "AB"]
    day = planned(*made, cooks=2)
    assert day.length == 5 * 60
    (note,) = notes(day, "stands-in")
    assert note.text.startswith("Stock pot stands in for mixing bowl in ")
    assert sorted(one.tools for one in day.activities) == [("mixing bowl",), ("stock pot",)]


def test_the_first_tool_is_kept_where_it_is_not_taken() -> None:
    made = recipe(
        "A", (said("Whip in the mixing bowl "), work(5)), tools=(tool("mixing bowl", None, "stock pot"),)
    )
    assert notes(planned(made), "stands-in") == []


def test_a_mixer_too_small_is_filled_several_times() -> None:
    made = recipe(
        "A", (draw("flour", 2500), said("Knead in the mixer "), work(10)), tools=(tool("mixer", holds=1000),)
    )
    day = planned(made)
    assert day.length == 30 * 60
    (note,) = notes(day, "in-several-goes")
    assert "3 goes" in note.text


def test_a_mixer_large_enough_is_filled_once() -> None:
    made = recipe(
        "A", (draw("flour", 900), said("Knead in the mixer "), work(10)), tools=(tool("mixer", holds=1000),)
    )
    assert planned(made).length == 10 * 60


# ---------------------------------------------------------------- heating


def test_heating_is_put_in_and_said() -> None:
    day = planned(recipe("A", (said("Mix "), work(10)), (said("Bake "), heat(200), wait(30))))
    (heating,) = days.doing(day, "heat")
    assert (heating.added, heating.end, heating.duration) == (True, 15 * 60, minutes(15))
    (note,) = notes(day, "added")
    assert note.activities == (heating.number,)
    assert "common practice, no source" in note.text


def test_heating_that_the_method_has_is_not_put_in_again() -> None:
    made = recipe("A", (said("Heat the oven to "), heat(200), wait(20)), (said("Bake "), heat(200), wait(30)))
    day = planned(made)
    assert [one.added for one in days.doing(day, "heat")] == [False]
    assert notes(day, "added") == []


def test_heating_is_put_as_late_as_the_bake_allows() -> None:
    made = recipe(
        "A",
        step(1, said("Mix "), work(60)),
        step(2, said("Heat the oven to "), heat(200), wait(20)),
        step(3, said("Bake "), heat(200), wait(30), after=(1, 2)),
    )
    (heating,) = days.doing(planned(made), "heat")
    assert heating.start == 40 * 60


def test_heating_late_with_lengths_that_are_no_whole_seconds() -> None:
    made = recipe(
        "A",
        step(1, said("Mix "), work(Fraction(200, 3) / 60)),
        step(2, said("Heat the oven to "), heat(200), wait(1)),
        step(3, said("Bake "), heat(200), wait(30), after=(1, 2)),
    )
    (heating,) = days.doing(planned(made), "heat")
    assert heating.end == Fraction(200, 3)


# ---------------------------------------------------------------- dough, and what stands


def test_two_proofs_for_one_oven_at_once_are_put_one_after_another() -> None:
    day = planned(loaf("A", 230), loaf("B", 180))
    assert notes(day, "past-its-time") == []
    proofs = [one for one in day.activities if one.doing == "wait" and one.duration.low == 50 * 60]
    assert proofs[0].end != proofs[1].end


def test_two_waits_of_one_step_that_one_cook_cannot_both_end_says_which_stands() -> None:
    made = recipe(
        "A",
        step(1, said("Mix "), work(10)),
        step(2, said("Prove "), wait(20, 30), after=(1,)),
        step(3, said("Shape "), work(10), after=(2,)),
        step(4, said("Simmer "), wait(20, 30), said(" then stir "), work(10), during=2),
    )
    planned(made)


LOAVES = """
recipe Loaves
  makes: 3 loaves, 270 g each

ingredients
  strong flour: 500 g
  water: 300 g
  fine salt: 10 g
  instant yeast: 5 g

step Mix
  Stir [the strong flour], [the water], [the fine salt] and [the instant yeast] together, [10 min].

step Prove
  Leave [50-60 min hands-off].

step Bake
  Bake [1 at a time] at [220 C oven], [15 min hands-off].
"""


def test_loads_that_wait_say_how_long_they_go_on_rising() -> None:
    day = planned(batch_of(LOAVES))
    (note,) = notes(day, "goes-on-rising")
    assert note.by == 30 * 60
    assert len(note.activities) == 3


def test_loads_that_do_not_rise_say_nothing() -> None:
    assert notes(planned(batch_of(LOAVES.replace("instant yeast", "baking powder"))), "goes-on-rising") == []


def test_at_least_may_stand() -> None:
    made = recipe("A", (said("Soak "), at_least(60)), (said("Cook "), work(10)))
    day = planned(made, stew(), ready_at="18:00")
    assert notes(day, "past-its-time") == []
    assert days.doing(day, "wait")[0].deadline is None


def test_untimed_steps_are_said_and_take_no_time() -> None:
    day = planned(recipe("A", (said("Serve at once."),), (said("Chop "), work(5))))
    (note,) = notes(day, "untimed")
    assert "Step 1" in note.text
    assert day.length == 300


def test_a_recipe_without_any_time_is_a_plan_of_moments() -> None:
    day = planned(recipe("A", (said("Mix."),), (said("Eat."),)))
    assert (day.length, len(day.activities), day.proven) == (0, 2, True)


def test_nothing_to_do() -> None:
    day = planned(recipe("A"))
    assert (day.length, day.activities) == (0, ())


def test_two_hundred_loads() -> None:
    day = planned(recipe("A", (said("Fry "), heat(180, "pan"), loads(200), work(2))))
    assert day.hands_on == 400 * 60
    assert len(day.activities) < 10


def test_seconds() -> None:
    day = planned(recipe("A", (said("Blanch "), wait(Fraction(1, 2)), said(" drain "), work(Fraction(1, 4)))))
    assert day.length == 45


# ---------------------------------------------------------------- rising in another warmth


def test_a_rise_in_another_warmth_is_a_range_and_exact() -> None:
    found = at_warmth(Extent(Fraction(3600), Fraction(5400)), Fraction(2))
    assert found == Extent(Fraction(3600) / Fraction(109, 100) ** 2, Fraction(5400) / Fraction(107, 100) ** 2)


@given(st.integers(600, 40000), st.integers(0, 20000), st.integers(-15, 15))
def test_warmer_is_never_slower(low: int, more: int, degrees: int) -> None:
    rise = Extent(Fraction(low), Fraction(low + more))
    found = at_warmth(rise, Fraction(degrees))
    assert found.low <= found.high
    assert (found.high <= rise.high) if degrees >= 0 else (found.low >= rise.low)
    warmer = at_warmth(rise, Fraction(degrees + 1))
    assert warmer.low <= found.low
    assert warmer.high <= found.high


def test_an_estimate_stands_beside_what_is_written() -> None:
    batch = demo_batch("ferry-milk-rolls")
    day = planned(batch, room=Fraction(18))
    assert day.length == planned(batch).length, "a guess is never put in the place of what is written"
    (estimate,) = day.estimates
    written = day.activities[estimate.activity - 1].duration
    assert estimate.written == written
    assert written.low < estimate.likely.low
    assert written.high < estimate.likely.high
    assert "no source" in estimate.source


@pytest.mark.parametrize("room", [None, Fraction(22), Fraction(24), Fraction(26)])
def test_no_estimate_where_the_room_is_as_warm_as_it_says(room: Fraction | None) -> None:
    assert planned(demo_batch("ferry-milk-rolls"), room=room).estimates == ()


def test_stock_is_what_the_kitchen_has() -> None:
    whole = net([loaf()], (Equipment("oven", Fraction(2), None),))
    assert whole.stock["oven"] == 2
    assert plan_day([loaf()], DayRequest(on=days.DAY)).things[0].capacity == 1
