"""The notebook pays back: trials beside what was worked out, and the kitchen's own figures from three on."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler.compile import Compiler
from benchproof.compiler.heat import bench_rule
from benchproof.compiler.notebook import Notebook, Own, read_trials
from benchproof.compiler.past import notebook_of
from benchproof.compiler.request import Request
from tests.compiler.bench import DAY, errors, kitchen_of
from tests.compiler.repositories import KITCHEN, LOAF

DOUGH = LOAF.replace("knead, [10 min]", "knead, [10 min], for a dough of [25 C dough]")


def trial(day: int, *lines: str) -> str:
    return "".join([f"\ntrial 2026-11-{day:02}\n", *(f"  {line}\n" for line in lines)])


def book(*trials: str, recipe: str = DOUGH, kitchen: str = KITCHEN) -> Notebook:
    here = kitchen_of(recipe + "".join(trials), kitchen)
    compiler = Compiler(here)
    found = notebook_of(compiler, here.own_recipes()[0], DAY)
    assert found is not None
    return found


def own(found: Notebook, what: str) -> Own:
    return next(one for one in found.own if one.what == what)


# 500 g of flour at 68 + 2 + 1 %: 855 g of dough, 752.4 g of it left after 12 % in the bake.


def test_a_trial_is_held_against_as_much_as_it_made() -> None:
    found = book(
        trial(2, "made: 1 loaf", "weighed: 380 g baked"), trial(1, "made: 4 loaves", "weighed: 1700 g")
    )

    first, second = found.held
    assert (first.trial.date, first.times, first.weight) == ("2026-11-01", 2, 1710)
    assert (second.times, second.weight) == (Fraction(1, 2), Fraction("376.2"))
    assert first.loss is None  # weighed as dough
    assert second.loss == 100 - Fraction(380 * 100 * 2, 855)


def test_a_trial_that_does_not_say_how_many_is_not_guessed() -> None:
    (held,) = book(trial(1, "weighed: 700 g baked", "took: 3 h")).held

    assert (held.times, held.weight, held.loss, held.elapsed) == (None, None, None, None)


def test_trials_that_measured_nothing_are_counted() -> None:
    found = book(trial(1, "result: good"), trial(2, "took: 3 h", "made: 2 loaves"))

    assert (found.silent, len(found.held)) == (1, 1)
    assert found.held[0].elapsed is not None


def test_how_long_the_plan_is_for_what_was_made() -> None:
    loads = DOUGH.replace("Bake at [220 C oven],", "Bake [2 at a time] at [220 C oven],")

    one, two = book(
        trial(1, "made: 2 loaves", "took: 3 h"), trial(2, "made: 4 loaves", "took: 3 h"), recipe=loads
    ).held

    assert one.elapsed is not None
    assert two.elapsed is not None
    assert two.elapsed.high - one.elapsed.high == 35 * 60


def test_nothing_is_offered_before_the_third_trial() -> None:
    lines = ("made: 2 loaves", "weighed: 740 g baked", "water: 30 C", "dough: 25 C", "took: 3 h")

    assert book(trial(1, *lines), trial(2, *lines)).own == ()
    assert {one.what for one in book(trial(1, *lines), trial(2, *lines), trial(3, *lines)).own} == {
        "loss",
        "friction",
        "time",
    }


def test_the_bake_loss_of_this_kitchen() -> None:
    weights = (740, 720, 760, 738, 300)  # the last was not all weighed: it lost two thirds
    found = own(
        book(*(trial(n, "made: 2 loaves", f"weighed: {w} g baked") for n, w in enumerate(weights, 1))), "loss"
    )

    def lost(grams: int) -> Fraction:
        return 100 - Fraction(grams * 100, 855)

    assert (found.trials, found.left_out) == (4, 1)
    assert found.median == (lost(740) + lost(738)) / 2
    assert (found.low, found.high) == (lost(760), lost(720))
    assert found.line == "loses: 13.6 % in the bake"
    assert found.stated is not None
    assert found.stated.low == 12


def test_losses_before_scaling_stay_as_they_are_written() -> None:
    bowl = DOUGH.replace("loses: 12 %", "loses: 1.5 % in the bowl, 12 %")
    trials = [trial(n, "made: 2 loaves", "weighed: 740 g baked") for n in (1, 2, 3)]

    found = own(book(*trials, recipe=bowl), "loss")

    assert found.median == 100 - Fraction(740 * 100) / (855 * Fraction("0.985"))
    assert found.line == "loses: 1.5 % in the bowl, 12.1 % in the bake"


def test_a_gain_is_a_gain() -> None:
    rice = "recipe Rice\n  serves: 4\n  gains: 140 % in the pot\n\ningredients\n  white rice: 300 g\n"
    trials = [trial(n, "made: 4", f"weighed: {w} g cooked") for n, w in ((1, 750), (2, 765), (3, 780))]

    found = own(book(*trials, recipe=rice), "loss")

    assert (found.median, found.line) == (155, "gains: 155 % in the pot")


def test_what_is_written_already_is_not_offered_again() -> None:
    trials = [trial(n, "made: 2 loaves", "weighed: 752.4 g baked") for n in (1, 2, 3)]

    assert own(book(*trials), "loss").line == ""


@settings(max_examples=25)
@given(
    st.lists(
        st.tuples(st.integers(10, 40), st.integers(18, 30)),
        min_size=3,
        max_size=6,
    )
)
def test_friction_is_the_bench_rule_turned_round(readings: list[tuple[int, int]]) -> None:
    found = book(
        *(trial(n, f"water: {water} C", f"dough: {dough} C") for n, (water, dough) in enumerate(readings, 1))
    )

    for held, (water, dough) in zip(found.held, readings, strict=True):
        assert held.friction is not None
        assert bench_rule(Fraction(dough), [Fraction(21), Fraction(21)], held.friction) == water


def test_with_a_preferment_there_are_four_factors() -> None:
    sponge = DOUGH.replace(
        "equipment",
        "preferment Sponge, 20 % of the flour\n  water: 60 %\n  instant yeast: 0.4 %\n\nequipment",
    ).replace("Stir [the strong flour]", "Stir [the Sponge], [the strong flour]")

    (held,) = book(trial(1, "water: 30 C", "dough: 25 C"), recipe=sponge).held

    assert held.friction is not None
    assert bench_rule(Fraction(25), [Fraction(21)] * 3, held.friction) == 30


def test_the_friction_line_changes_the_way_it_was_mixed_and_no_other() -> None:
    trials = [trial(n, "water: 28 C", f"dough: {d} C") for n, d in ((1, 25), (2, 25), (3, 26))]

    by_hand = own(book(*trials), "friction")
    mixer = own(book(*trials, recipe=DOUGH.replace("and knead", "and knead in the mixer")), "friction")

    assert (by_hand.median, by_hand.low, by_hand.high) == (5, 5, 8)
    assert by_hand.line == "friction: 5 C by hand, 11 C in the mixer"
    assert mixer.line == "friction: 2 C by hand, 5 C in the mixer"


def test_a_friction_that_cannot_be_is_left_out() -> None:
    readings = ((28, 25), (28, 25), (28, 25), (70, 20))
    trials = [trial(n, f"water: {w} C", f"dough: {d} C") for n, (w, d) in enumerate(readings, 1)]

    found = own(book(*trials), "friction")

    assert (found.trials, found.left_out) == (3, 1)


def test_fahrenheit() -> None:
    (held,) = book(trial(1, "water: 86 F", "dough: 77 F")).held

    assert held.friction == 75 - 42 - 30


def test_times_of_whole_batches_only() -> None:
    trials = [
        trial(1, "made: 2 loaves", "took: 150 min"),
        trial(2, "took: 160 min"),
        trial(3, "made: 1 loaf", "took: 60 min"),
        trial(4, "made: 2 loaves", "took: 171 min"),
    ]

    found = own(book(*trials), "time")

    assert (found.trials, found.median, found.low, found.high) == (3, 9600, 9000, 171 * 60)
    assert found.line == "total time: at most 2 h 55 min"
    assert found.stated is not None


def test_the_lines_can_be_pasted() -> None:
    """Put where they say they go, they are read without an error, and do what they promise."""
    lines = ("made: 2 loaves", "weighed: 740 g baked", "water: 28 C", "dough: 25 C", "took: 2 h 40 min")
    found = book(*(trial(n, *lines) for n in (1, 2, 3)))
    friction, loss, time = (own(found, what).line for what in ("friction", "loss", "time"))

    kitchen = KITCHEN.replace("friction: 2 C by hand, 11 C in the mixer", friction)
    recipe = DOUGH.replace("loses: 12 % in the bake", loss) + f"\nexpect\n  {time}\n"
    here = kitchen_of(recipe, kitchen)
    compiled = Compiler(here).compile(here.own_recipes()[0], Request(on=DAY))

    assert errors(compiled) == []
    assert here.findings == []
    assert compiled.batch is not None
    (water,) = compiled.batch.waters
    assert water.by_rule is not None
    assert (water.friction, water.by_rule.low) == (
        5,
        28,
    )  # the water the trials took gives the dough they had


@pytest.mark.parametrize("text", ["made: many", "weighed: 3", "water: warm", "took: ages", "dough: 25 g"])
def test_what_could_not_be_read_is_not_there(text: str) -> None:
    here = kitchen_of(LOAF + trial(1, text))

    (one,) = read_trials(here.own_recipes()[0].trials, "metric")

    assert (one.weighed, one.water, one.dough, one.took, one.made) == (None,) * 5
