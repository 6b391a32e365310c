"""net(): what of a method takes whose time, what may not wait, and what is in use meanwhile."""

from fractions import Fraction

import pytest

from benchproof.compiler.activities import (
    MOST_LOADS,
    OIL_HEATS,
    OVEN_HEATS,
    PAN_HEATS,
    Net,
    Task,
    net,
    tool_key,
)
from benchproof.compiler.batch import Batch, ChangeRun, DurationRun, Extent, LoadRun, TurnsRun
from tests.compiler.bench import DEMO, batch_of, demo_batch
from tests.compiler.days import (
    MINUTE,
    at_least,
    draw,
    heat,
    loads,
    minutes,
    recipe,
    said,
    step,
    tool,
    turns,
    wait,
    work,
)


def tasks(*steps: tuple[object, ...], **more: object) -> list[Task]:
    return net([recipe("A", *steps, **more)]).tasks  # type: ignore[arg-type]


def shape(found: list[Task]) -> list[tuple[str, int]]:
    return [(task.doing, int(task.length / MINUTE)) for task in found if not task.attends]


def links(whole: Net) -> list[tuple[int, int, bool]]:
    return [(link.before, link.after, link.tight) for link in whole.links]


# ---------------------------------------------------------------- what takes whose time


def test_hands_on_is_the_cooks_and_hands_off_goes_by_itself() -> None:
    assert shape(tasks((said("Mix "), work(5), said(", leave "), wait(20)))) == [("work", 5), ("wait", 20)]


def test_the_long_end_counts() -> None:
    (task,) = tasks((said("Chop "), work(5, 8)))
    assert (task.duration, task.length) == (minutes(5, 8), 8 * MINUTE)


def test_words_go_to_the_time_that_ends_them() -> None:
    found = tasks((said("Mix it "), work(5), said(". Then leave it for "), wait(20), said(" in peace.")))
    assert [task.text for task in found if task.text] == ["Mix it.", "Then leave it in peace."]


def test_a_step_without_a_time_is_a_moment_and_is_known() -> None:
    whole = net([recipe("A", (said("Serve at once."),))])
    assert [(task.doing, task.length, task.text) for task in whole.tasks] == [("work", 0, "Serve at once.")]
    assert whole.untimed == [0]


def test_a_limit_takes_no_time() -> None:
    limit = DurationRun("", minutes(60), True, "up to")
    assert shape(tasks((said("Keep for "), limit, said(" then chop "), work(5)))) == [("work", 5)]


@pytest.mark.parametrize(("within", "many"), [(True, 1), (False, 2)])
def test_cooling_takes_time_unless_it_is_a_limit(within: bool, many: int) -> None:
    warm, cold = Extent(Fraction(60), Fraction(60)), Extent(Fraction(21), Fraction(21))
    cooling = ChangeRun("60 C to 21 C", warm, cold, minutes(120), within)
    assert len(shape(tasks((said("Chop "), work(5), said(". Cool "), cooling)))) == many


def test_turns_are_waits_with_a_moment_after_each() -> None:
    assert shape(tasks((said("Fold "), turns(3, 30)))) == [("wait", 30), ("work", 0)] * 3


def test_turns_that_may_be_fewer_may_take_no_time() -> None:
    fold = TurnsRun("", Extent(Fraction(2), Fraction(3)), minutes(30))
    waits = [task for task in tasks((said("Fold "), fold)) if task.doing == "wait"]
    assert [task.duration.low for task in waits] == [30 * MINUTE, 30 * MINUTE, 0]


def test_very_many_turns_are_one_long_wait() -> None:
    assert shape(tasks((said("Fold "), turns(MOST_LOADS + 1, 10)))) == [("wait", 250)]


def test_loads_come_one_after_another() -> None:
    found = tasks((said("Fry "), loads(3), work(2), said(" turn "), work(1)))
    assert [task.load for task in found] == [(1, 3), (1, 3), (2, 3), (2, 3), (3, 3), (3, 3)]


def test_what_comes_before_the_loads_is_done_once() -> None:
    assert shape(tasks((said("Oil the pan "), work(1), said(" fry "), loads(2), work(3)))) == [
        ("work", 1),
        ("work", 3),
        ("work", 3),
    ]


@pytest.mark.parametrize("many", [MOST_LOADS + 1, 200])
def test_very_many_loads_are_one_long_piece_of_work(many: int) -> None:
    assert shape(tasks((said("Fry "), loads(many), work(2)))) == [("work", 2 * many)]


def test_loads_that_cannot_be_told_are_one() -> None:
    unknown = LoadRun("4 at a time", Extent(Fraction(4), Fraction(4)), None)
    assert shape(tasks((said("Fry "), unknown, work(2)))) == [("work", 2)]


# ---------------------------------------------------------------- what may not wait


def tight(*steps: tuple[object, ...]) -> list[bool]:
    return [link.tight for link in net([recipe("A", *steps)]).links]  # type: ignore[arg-type]


def test_a_range_is_a_deadline_and_a_single_time_is_none() -> None:
    assert tight((said("Simmer "), wait(20, 30), said(" stir "), work(1))) == [True]
    assert tight((said("Leave "), wait(30), said(" stir "), work(1))) == [False]


def test_at_least_may_stand_longer() -> None:
    assert tight((said("Soak "), at_least(60), said(" drain "), work(1))) == [False]


def test_what_is_on_the_heat_does_not_wait() -> None:
    (first, *_) = tasks((said("Bake "), heat(200), said(" for "), wait(30), said(" brush "), work(1)))
    assert first.deadline


def test_what_is_put_to_rise_begins_when_the_work_ends() -> None:
    assert tight((said("Shape "), work(5), said(" and prove "), wait(60)))[0]


def test_work_may_be_broken_off() -> None:
    assert tight((said("Chop "), work(5), said(" fry "), work(5))) == [False]


def test_a_time_that_ends_a_step_has_a_moment_of_the_cooks() -> None:
    whole = net([recipe("A", (said("Bake "), heat(200), wait(30)), (said("Eat "), work(5)))])
    (moment,) = [at for at, task in enumerate(whole.tasks) if task.attends]
    assert (whole.tasks[moment].doing, whole.tasks[moment].length) == ("work", 0)
    assert (0, moment, True) in links(whole), "somebody takes it out in time"
    assert (moment, whole.tasks.index(next(t for t in whole.tasks if t.step == 2)), False) in links(whole)


def test_during_is_begun_with() -> None:
    whole = net([recipe("A", step(1, said("Simmer "), wait(60)), step(2, said("Chop "), work(5), during=1))])
    (begun,) = [link for link in whole.links if link.begun]
    assert [whole.tasks[at].step for at in (begun.before, begun.after)] == [1, 2]


YEAST = """
recipe Rolls
  makes: 2 rolls, 80 g each

ingredients
  strong flour: 100 g
  water: 60 g
  instant yeast: 1 g

step Mix
  Stir [the strong flour], [the water] and [the instant yeast] together, [5 min].

step Prove
  Leave at [24 C room], [60 min hands-off].

step Bake
  Bake at [220 C oven], [15 min hands-off].

step Cool
  Cool on a rack, [30 min hands-off].
"""


def test_dough_rises_from_the_yeast_to_the_oven() -> None:
    found = net([batch_of(YEAST)]).tasks
    assert [task.name for task in found if task.rises] == ["Prove"]
    (prove,) = [task for task in found if task.rises]
    assert prove.deadline, "dough does not wait, single time or not"
    assert prove.warmth == Extent(Fraction(24), Fraction(24))


def test_without_yeast_nothing_rises() -> None:
    assert not any(
        task.rises for task in net([batch_of(YEAST.replace("instant yeast", "baking powder"))]).tasks
    )


# ---------------------------------------------------------------- places


def test_a_place_holds_until_it_comes_off_the_heat() -> None:
    found = tasks((said("Bake at "), heat(200), said(" for "), wait(30), said(". Cool on a rack "), wait(60)))
    assert [task.place for task in found if not task.added and not task.attends] == ["oven", None]


def test_a_place_that_is_said_after_the_time_holds_too() -> None:
    found = tasks((said("Bake "), wait(30), said(" at "), heat(200)))
    assert found[0].place == "oven"


@pytest.mark.parametrize("place", ["core", "dough", "room", "fridge", None])
def test_a_temperature_that_is_no_heat_is_no_place(place: str | None) -> None:
    found = tasks((said("Leave at "), heat(5, place), said(" for "), wait(30, 60)))
    assert found[0].place is None


@pytest.mark.parametrize(
    ("place", "length"), [("oven", OVEN_HEATS), ("fan oven", OVEN_HEATS), ("oil", OIL_HEATS)]
)
def test_heating_is_put_in_before_what_needs_it(place: str, length: Fraction) -> None:
    whole = net([recipe("A", (said("Cook at "), heat(180, place), said(" for "), wait(10)))])
    (heating,) = [at for at, task in enumerate(whole.tasks) if task.added]
    assert (whole.tasks[heating].doing, whole.tasks[heating].length) == ("heat", length)
    assert (heating, 0, True) in links(whole)


def test_a_pan_is_heated_before_hands_on_frying() -> None:
    found = tasks((said("Fry at "), heat(180, "pan"), said(" for "), work(5)))
    assert [task.length for task in found if task.added] == [PAN_HEATS]


def test_what_the_method_heats_is_not_heated_again() -> None:
    found = tasks(
        (said("Heat the oven to "), heat(200), wait(20)),
        (said("Bake at "), heat(200), said(" for "), wait(30)),
    )
    assert [(task.doing, task.added) for task in found if task.place == "oven"] == [
        ("heat", False),
        ("wait", False),
    ]


def test_another_temperature_is_another_heating() -> None:
    whole = net(
        [recipe("A", (said("Bake at "), heat(200), wait(30)), (said("Dry at "), heat(100), wait(60)))]
    )
    ovens = [held for held in whole.held if held.thing == "oven"]
    assert len({held.state for held in ovens}) == 2
    assert sum(task.added for task in whole.tasks) == 2


def test_what_is_done_to_a_bake_at_the_end_is_done_outside_the_oven() -> None:
    brush = (said("Bake at "), heat(200), said(" for "), wait(30), said(". Brush while hot, "), work(2))
    assert [task.place for task in tasks(brush) if not task.added] == ["oven", None]
    back = (*brush, said(". Bake on for "), wait(10))
    assert [task.place for task in tasks(back) if task.doing == "work" and not task.attends] == ["oven"]


def test_somebody_is_there_to_take_it_out_and_to_turn_it_down() -> None:
    bake = (
        said("Bake at "),
        heat(240),
        said(", "),
        wait(15),
        said(". Turn down to "),
        heat(210),
        said(", "),
        wait(25),
    )
    found = tasks((*bake, said(". Cool on a rack "), wait(60)))
    assert [task.attends for task in found if not task.added] == [False, True, False, True, False]


def test_a_pan_of_water_is_not_heated_empty() -> None:
    boil = (said("Boil hard at "), heat(100, "pan"), said(" for "), work(10))
    assert not any(task.added for task in tasks(boil))


def test_turned_down_it_stays_in_the_oven() -> None:
    bake = (
        said("Bake at "),
        heat(240),
        said(" for "),
        wait(15),
        said(". Turn down to "),
        heat(210),
        said(", "),
        wait(25),
    )
    (oven,) = [held for held in net([recipe("A", bake)]).held if held.thing == "oven"]
    assert oven.state is not None
    assert ", then " in oven.state


# ---------------------------------------------------------------- tools


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("9 cm rings", "rings"),
        ("griddle or wide pan with a lid", "griddle"),
        ("baking tray, lined", "baking tray"),
        ("mixing bowl", "mixing bowl"),
        ("2 l jug", "jug"),
        ("frying pan that can go in the oven", "frying pan"),
    ],
)
def test_a_tool_has_a_short_name(name: str, key: str) -> None:
    assert tool_key(name) == key


def test_a_vessel_is_in_use_to_the_end_of_its_step_and_other_tools_while_named() -> None:
    runs = (said("Whisk it in the bowl "), work(2), said(". Leave "), wait(10), said(". Stir "), work(1))
    whole = net([recipe("A", runs, tools=(tool("bowl"), tool("whisk")))])
    assert {held.thing: (held.first, held.last) for held in whole.held} == {
        "tool:bowl": (0, 2),
        "tool:whisk": (0, 0),
    }


def test_a_tin_that_is_filled_goes_into_the_oven_with_the_next_step() -> None:
    steps = (
        (said("Set them on the tray "), wait(60)),
        (said("Bake at "), heat(200), said(" for "), wait(20)),
    )
    whole = net([recipe("A", *steps, tools=(tool("baking tray"),))])
    (tray,) = [held for held in whole.held if held.thing == "tool:baking tray"]
    assert [whole.tasks[at].step for at in (tray.first, tray.last)] == [1, 2]
    assert whole.tasks[tray.last].tools == ["baking tray"]


def test_a_tin_that_is_named_again_is_in_use_where_it_is_named() -> None:
    steps = (
        (said("Butter the tin "), work(2)),
        (said("Bake at "), heat(200), said(" for "), wait(20)),
        (said("Wash the tin "), work(2)),
    )
    whole = net([recipe("A", *steps, tools=(tool("loaf tin"),))])
    tins = [held for held in whole.held if held.thing == "tool:loaf tin"]
    assert [[whole.tasks[at].step for at in (held.first, held.last)] for held in tins] == [[1, 1], [3, 3]]


def test_the_most_of_a_tool_that_anybody_has_is_there() -> None:
    made: list[Batch] = [
        recipe("A", (said("Mix in the bowl "), work(1)), tools=(tool("bowl", 2),)),
        recipe("B", (said("Mix in the bowl "), work(1)), tools=(tool("bowl"),)),
    ]
    assert net(made).stock["bowl"] == 2
    assert net(made, (tool("bowl", 5),)).stock["bowl"] == 5


def test_what_will_do_instead() -> None:
    made = recipe(
        "A",
        (said("Mix in the mixer "), work(1)),
        tools=(tool("mixer", instead="bowl"), tool("griddle or pan")),
    )
    assert net([made]).instead == {(0, "mixer"): "bowl", (0, "griddle"): "pan"}


@pytest.mark.parametrize(("weight", "minutes_"), [(900, 10), (1000, 10), (1001, 20), (2500, 30)])
def test_a_tool_that_holds_less_is_filled_again(weight: int, minutes_: int) -> None:
    found = tasks(
        (draw("flour", weight), said(" knead in the mixer "), work(10)), tools=(tool("mixer", holds=1000),)
    )
    assert found[0].length == minutes_ * MINUTE


# ---------------------------------------------------------------- the kitchen's own recipes


@pytest.mark.parametrize("name", DEMO)
def test_every_time_of_a_recipe_is_in_its_net(name: str) -> None:
    """Nothing that a step takes is lost or counted twice."""
    batch = demo_batch(name)
    found = net([batch]).tasks
    for one in batch.steps:
        mine = [task for task in found if task.step == one.number and not task.added]
        on = sum((task.length for task in mine if task.doing == "work"), Fraction(0))
        off = sum((task.length for task in mine if task.doing != "work"), Fraction(0))
        assert (on, off) == (one.hands_on.high, one.hands_off.high), one.name


@pytest.mark.parametrize("name", DEMO)
def test_links_only_go_on(name: str) -> None:
    whole = net([demo_batch(name)])
    for link in whole.links:
        assert whole.tasks[link.before].step <= whole.tasks[link.after].step
        assert link.before != link.after
