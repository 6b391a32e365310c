"""Where food stands and for how long, told by the facts and the words of the prose."""

from fractions import Fraction

import pytest

from benchproof.compiler.batch import ChangeRun, Extent
from benchproof.compiler.standing import Walk, clauses, place_of, too_slow, walk
from tests.compiler.bench import compile_text


def walked(listed: str, *steps: str, room: int | None = None) -> Walk:
    compiled = compile_text(f"recipe T\n\ningredients\n{listed}\n" + "\n".join(steps))
    assert compiled.batch is not None, compiled.findings
    return walk(compiled.formula, compiled.method, Fraction(room) if room is not None else None)


def place(prose: str, before: str = "room") -> str:
    compiled = compile_text(
        f"recipe T\n\ningredients\n  white rice: 100 g\n\nstep A\n  {prose} [the white rice]\n"
    )
    first = next(iter(clauses(compiled.method.steps[0])))
    return place_of(first, before)[0]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("prose", "where"),
    [
        ("Leave on the bench", "room"),
        ("Leave on the bench while the oven heats to [200 C oven]", "room"),
        ("Leave at [22 C room]", "room"),
        ("Leave at [4 C fridge]", "cold"),
        ("Leave at [5 C fridge]", "cold"),
        ("Leave at [6 C fridge]", "between"),
        ("Leave at [40 C fridge]", "cold"),
        ("Freeze at [-18 C freezer]", "cold"),
        ("Chill while the oven comes to [200 C oven]", "cold"),
        ("Stand over iced water", "cold"),
        ("Cool it", "room"),
        ("Take it out of the fridge and wait", "room"),
        ("Roast at [180 C oven]", "hot"),
        ("Roast straight from the fridge at [180 C oven]", "hot"),
        ("Simmer", "hot"),
        ("Hold at [65 C oven]", "hot"),
        ("Hold at [50 C oven]", "between"),
        ("Bake at [18 C oven]", "hot"),
        ("Keep warm", "between"),
        ("Keep hot", "hot"),
        ("Off the heat, lid on", "room"),
        ("Warm to [38 C]", "between"),
        ("Heat to [80 C]", "hot"),
        ("Fry to [58 C core]", "hot"),
    ],
)
def test_where_a_clause_is(prose: str, where: str) -> None:
    assert place(prose) == where


@pytest.mark.parametrize("before", ["room", "cold", "hot"])
def test_a_clause_that_says_nothing_is_where_it_was(before: str) -> None:
    assert place("Stir in", before) == before


def test_a_line_is_cut_where_it_goes_somewhere_else() -> None:
    compiled = compile_text(
        "recipe T\n\ningredients\n  white rice: 100 g\n\nstep A\n"
        "  Boil [the white rice], cool [1 h hands-off], then into the fridge, [4 h hands-off]. Serve.\n"
    )
    said = [clause.words.strip(" ,") for clause in clauses(compiled.method.steps[0])]
    assert said == ["Boil  []", "cool  []", "into the fridge,  []", "Serve"]


MEAT = "  beef mince: 400 g\n"


def test_the_times_of_several_steps_add_up() -> None:
    found = walked(
        MEAT,
        "step A\n  Fry [the beef mince], [9 min]. Leave [50 min hands-off].\n",
        "step B\n  Stir. Leave [40-70 min hands-off].\n",
    )
    assert [stay.total for stay in found.stays] == [50 * 60, 120 * 60]


def test_cooking_begins_the_count_anew_and_the_fridge_stops_it() -> None:
    found = walked(
        MEAT,
        "step A\n  Leave [the beef mince] on the bench, [40 min hands-off].\n",
        "step B\n  Fry [9 min]. Chill [9 h hands-off].\n",
        "step C\n  Leave on the bench, [30 min hands-off].\n",
    )
    assert [stay.total for stay in found.stays] == [40 * 60, 30 * 60]
    assert [stay.cooked for stay in found.stays] == [False, True]


def test_an_oven_that_heats_beside_it_cooks_nothing() -> None:
    found = walked(
        MEAT,
        "step A\n  Chop [the beef mince], [5 min].\n",
        "step Oven, during A\n  Heat to [200 C oven], [20 min hands-off].\n",
        "step B\n  Leave on the bench, [40 min hands-off].\n",
    )
    assert [stay.cooked for stay in found.stays] == [False]
    assert not found.heated_after((0, 0), itself=False)


def test_a_syrup_boiled_beside_the_eggs_does_not_cook_them() -> None:
    found = walked(
        "  eggs: 100 g\n  coffee: 100 g\n",
        "step A\n  Beat [the eggs], [3 min].\n",
        "step B\n  Boil [the coffee], [3 min].\n",
    )
    assert not found.heated_after((0, 0), itself=True)
    assert found.heated_after((0, 1), itself=True)
    assert found.heated_after((0, 0), itself=False)


@pytest.mark.parametrize(
    ("words", "cooked"), [("Fold in [the eggs]", False), ("Whisk [the eggs] into the hot soup", True)]
)
def test_what_lingers_from_the_step_before_cooks_no_egg_unless_it_is_said_to_be_hot(
    words: str, cooked: bool
) -> None:
    found = walked(
        "  eggs: 100 g\n  water: 100 g\n",
        "step A\n  Boil [the water], [3 min].\n",
        f"step B\n  {words}, [3 min].\n",
    )
    assert found.heated_after((0, 0), itself=True) is cooked
    assert found.heated_after((0, 0), itself=False)


def test_what_fries_in_oil_is_cooked_with_it() -> None:
    found = walked(
        "  eggs: 100 g\n  neutral oil: 10 g\n",
        "step A\n  Beat [the eggs], [3 min].\n",
        "step B\n  Fry in [the neutral oil], [3 min].\n",
    )
    assert found.heated_after((0, 0), itself=True)


@pytest.mark.parametrize(
    ("listed", "draws"),
    [
        (
            "  strong flour: 500 g\n  eggs: 100 g\n  instant yeast: 5 g\n",
            "[the strong flour], [the eggs], [the instant yeast]",
        ),
        ("  brown lentils: 300 g\n  water: 600 g\n", "[the brown lentils], [the water]"),
        ("  double cream: 450 g\n  buttermilk: 50 g\n", "[the double cream], [the buttermilk]"),
        ("  egg whites: 100 g\n  caster sugar: 200 g\n", "[the egg whites], [the caster sugar]"),
        ("  apples: 100 g\n", "[the apples]"),
    ],
)
def test_doughs_dry_food_and_cultures_do_not_count(listed: str, draws: str) -> None:
    assert (
        walked(listed, f"step A\n  Mix {draws}, [3 min]. Leave on the bench, [9 h hands-off].\n").stays == []
    )


def test_overnight_without_a_time_is_eight_hours() -> None:
    (stay,) = walked(MEAT, "step A\n  Leave [the beef mince] on the bench overnight.\n").stays
    assert stay.spent == 8 * 3600
    assert stay.span.text == "overnight"


def test_the_words_for_overnight_do_not_add_to_a_time_that_is_written() -> None:
    (stay,) = walked(
        MEAT, "step A\n  Leave [the beef mince] on the bench overnight, [6 h hands-off].\n"
    ).stays
    assert stay.spent == 6 * 3600


def test_a_range_counts_with_its_far_end_and_at_least_with_its_near_one() -> None:
    (one,) = walked(MEAT, "step A\n  Leave [the beef mince] on the bench, [1-3 h hands-off].\n").stays
    (other,) = walked(
        MEAT, "step A\n  Leave [the beef mince] on the bench, [at least 1 h hands-off].\n"
    ).stays
    assert (one.spent, other.spent) == (3 * 3600, 3600)


def test_a_part_brings_its_age_along() -> None:
    found = walked(
        "  rolled oats: 200 g\n\ningredients for the cream\n  double cream: 300 g\n  egg yolks: 60 g\n",
        "step Cream, for the cream\n  Cook [the double cream] and [the egg yolks], [5 min].\n"
        "  Leave [70 min hands-off].\n",
        "step Fill\n  Spread [the cream] over [the rolled oats], [3 min]. Leave [60 min hands-off].\n",
    )
    assert [stay.total for stay in found.stays] == [70 * 60, 130 * 60]


def test_the_warmth_of_the_kitchen_is_known_where_it_is_stated() -> None:
    (stay,) = walked(MEAT, "step A\n  Leave [the beef mince] on the bench, [1 h hands-off].\n", room=33).stays
    assert stay.temperature == 33


# 60 C to 21 C in 2 h, 21 C to 5 C in 4 h more: FSANZ Standard 3.2.2, from memory; FDA Food Code 3-501.14, seen.
@pytest.mark.parametrize(
    ("start", "end", "hours", "most"),
    [
        (60, 21, 2, None),
        (60, 21, Fraction(201, 100), 2),
        (90, 30, 3, 2),
        (60, 5, 6, None),
        (60, 5, Fraction(601, 100), 6),
        (21, 5, 4, None),
        (21, 5, 5, 4),
        (Fraction(190, 9), 5, 5, 4),
        (5, 2, 9, None),
        (5, 60, 9, None),
    ],
)
def test_the_two_stages(start: Fraction, end: Fraction, hours: Fraction, most: int | None) -> None:
    assert too_slow(change(start, end, hours)) == most


def change(start: Fraction, end: Fraction, hours: Fraction) -> ChangeRun:
    def at(value: Fraction) -> Extent:
        return Extent(Fraction(value), Fraction(value))

    return ChangeRun("", at(start), at(end), at(hours * 3600), False)


def test_by_the_food_code_a_quick_first_stage_leaves_more_for_the_second() -> None:
    slow = change(Fraction(21), Fraction(5), Fraction(5))
    assert too_slow(slow, before=Fraction(3600), together=True) is None
    assert too_slow(slow, before=Fraction(2 * 3600), together=True) == 4
    assert too_slow(slow, before=Fraction(3600)) == 4
