"""Batches solved backwards: by yield, base, tin, cupboard, money and whole pieces, and forwards again."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler.batch import Batch
from benchproof.compiler.request import RequestError
from tests.compiler.bench import DEMO, batch_of, compile_text, demo, demo_batch, line, rules, values

F = Fraction

ROUNDS = """\
kitchen K
  currency: NZD

recipe Rounds
  makes:  12 rounds of 60 g
  serves: 4
  base:   strong flour

ingredients
  strong flour:   300 g
  water:          135 %
  fine salt:        2 %
  caster sugar:     3 %
  neutral oil:     10 g, for the pan

prices at S on 2026-11-01
  strong flour:   2.00 for 1 kg
  water:          free
  fine salt:      1.00 for 1 kg
  caster sugar:   4.00 for 1 kg
  neutral oil:    5.00 for 1 kg
"""
"""300 flour, 405 water, 6 salt, 9 sugar: 720 g; costs 0.60 + 0.006 + 0.036 + 0.05 = 0.692."""

TART = """\
kitchen K
  currency: NZD

recipe Tart
  makes:  1 tart
  serves: 8
  tin:    20 cm round, 4 cm deep

ingredients
  plain flour:   200 g
  eggs:            3
  whole milk:    250 ml
  butter:        100 g
  00 flour:       50 g
  onions:        100 g
  7-up syrup:     10 g
  plain flour:    20 g, for the bench

ingredient eggs
  piece:     60 g, 50 g usable

ingredient whole milk
  density:   1.03 g/ml

ingredient onions
  usable:    80 %
  piece:     125 g

prices at S on 2026-11-01
  plain flour:   2.00 for 1 kg
  eggs:          6.00 for 12
  whole milk:    2.00 for 1 l
  butter:       10.00 for 1 kg
  00 flour:      4.00 for 1 kg
  onions:        3.00 for 1 kg
  7-up syrup:    free
"""
"""As bought: 220 plain flour, 180 eggs, 257.5 milk, 100 butter, 50 of 00, 125 onions, 10 syrup.

Costs 0.44 + 1.50 + 0.50 + 1.00 + 0.20 + 0.375 + 0 = 4.015.
"""


def times(text: str, **asked: Any) -> Fraction:
    return batch_of(text, **asked).asked.times


def refused(text: str, **asked: Any) -> RequestError:
    with pytest.raises(RequestError) as caught:
        compile_text(text, **asked)
    return caught.value


def cost(batch: Batch) -> Fraction:
    return batch.cost.total


# ---------------------------------------------------------------- forwards after backwards


def plain(value: Fraction) -> str:
    """A number as a cook types it: exactly, or not at all."""
    power = 0
    while (value * 10**power).denominator != 1:
        power += 1
        assert power < 7, f"{value} cannot be typed exactly"
    whole = int(value * 10**power)
    return f"{whole // 10**power}.{whole % 10**power:0{power}}" if power else str(whole)


FORMS: dict[str, Any] = {
    "times": lambda batch: {"times": batch.asked.times},
    "pieces": lambda batch: {"makes": f"{plain(batch.makes.count)} rounds"},
    "pieces of a weight": lambda batch: {"makes": f"{plain(batch.makes.count)} rounds of 60 g"},
    "weight": lambda batch: {"makes": f"{plain(batch.makes.formula)} g"},
    "kilograms": lambda batch: {"makes": f"{plain(batch.makes.formula / 1000)} kg"},
    "portions": lambda batch: {"makes": f"{plain(batch.serves)} portions"},
    "base": lambda batch: {"base": f"{plain(line(batch, 'strong flour').weight or F(0))} g"},
    "cupboard": lambda batch: {
        "have": (f"strong flour {plain(line(batch, 'strong flour').weight or F(0))} g",)
    },
    "cupboard, a purpose": lambda batch: {
        "have": (f"neutral oil {plain(line(batch, 'neutral oil').weight or F(0))} g",)
    },
    "cupboard, all of it": lambda batch: {
        "have": tuple(f"{one.name} {plain(one.weight or F(0))} g" for one in batch.parts[0].lines)
    },
    "money": lambda batch: {"spend": batch.cost.total},
}


@pytest.mark.parametrize("factor", [F(1), F(2), F(1, 2), F(5, 4), F(37, 8), F(1, 10)], ids=str)
@pytest.mark.parametrize("form", FORMS)
def test_what_a_batch_says_of_itself_leads_back_to_it(form: str, factor: Fraction) -> None:
    begun = batch_of(ROUNDS, times=factor)
    again = batch_of(ROUNDS, **FORMS[form](begun))
    assert again.asked.times == factor
    assert (again.parts, again.makes, again.cost, again.steps) == (
        begun.parts,
        begun.makes,
        begun.cost,
        begun.steps,
    )


@pytest.mark.parametrize(
    "tin", ["20 x 20 cm, 4 cm deep", "30 x 10 cm", "18 cm round, 5 cm deep", "9 inch round"]
)
def test_from_one_tin_to_another_and_back(tin: str) -> None:
    there = times(TART, tin=tin)
    back = TART.replace("20 cm round, 4 cm deep", tin)
    assert there * times(back, tin="20 cm round, 4 cm deep") == 1
    assert times(back, tin=tin) == 1


@pytest.mark.parametrize("stem", DEMO)
def test_each_demo_recipe_is_led_back_by_its_money(stem: str) -> None:
    once = demo_batch(stem)
    if not cost(once):
        assert refused_demo(stem, spend=F(1))
    else:
        assert demo_batch(stem, spend=cost(once) * 3).asked.times == 3


def refused_demo(stem: str, **asked: Any) -> RequestError:
    with pytest.raises(RequestError) as caught:
        demo_batch(stem, **asked)
    return caught.value


def cupboards() -> list[tuple[str, str, Fraction]]:
    """A demo recipe, a food that stands in it once and by weight, and g of it as bought."""
    found = []
    for stem in DEMO:
        items = list(demo(stem).formula.items())
        for item in items:
            alone = sum(1 for one in items if one.keys & item.keys) == 1
            typed = item.bought is not None and (item.bought * 1000).denominator == 1
            if alone and typed and item.bought and item.count is None and item.product is None:
                found.append((stem, item.name.text, item.bought))
    return found


CUPBOARDS = cupboards()


def test_there_are_cupboards_enough() -> None:
    assert len(CUPBOARDS) >= 80
    assert len({stem for stem, _, _ in CUPBOARDS}) >= 15


@pytest.mark.parametrize("stem", sorted({stem for stem, _, _ in CUPBOARDS}))
def test_twice_of_each_thing_bought_is_enough_for_two_batches(stem: str) -> None:
    for name, bought in [(name, bought) for at, name, bought in CUPBOARDS if at == stem]:
        asked = demo_batch(stem, have=(f"{name} {plain(bought * 2)} g",)).asked
        assert (asked.times, asked.limited_by) == (2, name)


# ---------------------------------------------------------------- the tin


def test_by_area_where_a_depth_is_not_given() -> None:
    # (25 / 20) squared.
    assert times(TART, tin="25 cm round") == F(25, 16)
    shallow = TART.replace("20 cm round, 4 cm deep", "20 cm round")
    assert times(shallow, tin="25 cm round, 9 cm deep") == F(25, 16)


def test_by_volume_where_both_have_a_depth() -> None:
    # (25 / 20) squared, times 8 / 4.
    assert times(TART, tin="25 cm round, 8 cm deep") == F(25, 8)
    assert times(TART, tin="20 cm round, 2 cm deep") == F(1, 2)


def test_from_round_to_square() -> None:
    # 400 over pi x 100, with pi = 355/113: 452/355, 1.2732...; right to seven digits.
    square = times(TART, tin="20 x 20 cm")
    assert square == F(452, 355)
    assert abs(square - F("1.273239545")) < F(1, 10**6)  # 4/pi, from memory
    # A round tin is 78.5 % of the square it stands in.
    assert abs(times(TART.replace("20 cm round", "20 x 20 cm"), tin="20 cm round") - F("0.7853982")) < F(
        1, 10**6
    )


def test_a_loaf_tin() -> None:
    # 23 x 13 = 299 over pi/4 x 400 = 100 x 355/113.
    assert times(TART, tin="23 x 13 cm") == F(299) / (100 * F(355, 113))
    assert times(TART, tin="13 x 23 cm") == times(TART, tin="23 x 13 cm")
    assert times(TART, tin="23 x 13 cm, 7 cm deep") == times(TART, tin="23 x 13 cm") * F(7, 4)


def test_two_units_of_one_length() -> None:
    assert times(TART, tin="200 mm round") == 1
    assert times(TART, tin="10 inch round") == (F("25.4") / 20) ** 2


def test_a_larger_tart_is_still_one_tart() -> None:
    batch = batch_of(TART, tin="25 cm round")
    assert batch.makes.count == 1
    assert batch.cost.each == cost(batch) == F("4.015") * F(25, 16)
    assert line(batch, "butter").weight == F("156.25")
    assert batch.serves == F(25, 2)  # but it feeds more


@pytest.mark.parametrize(
    "asked",
    [
        "",
        "round",
        "20",
        "20 g",
        "-5 cm round",
        "20-22 cm round",
        "0 cm round",
        "20 cm round, 0 cm deep",
        "23 x 13 x 7 cm",
    ],
)
def test_what_is_no_tin_is_refused_with_a_mend(asked: str) -> None:
    error = refused(TART, tin=asked)
    assert str(error)
    assert error.help


def test_a_recipe_without_a_tin_says_how_to_mend_it() -> None:
    assert "tin:" in refused(ROUNDS, tin="20 cm round").help


def test_a_square_tin_in_a_cook_s_words() -> None:
    assert times(TART, tin="20 cm square") == F(452, 355)
    assert times(TART.replace("20 cm round", "20 cm square"), tin="30 cm square, 4 cm deep") == F(9, 4)


def test_a_square_tin_with_its_unit_twice() -> None:
    assert times(TART, tin="20 cm x 20 cm") == F(452, 355)


# ---------------------------------------------------------------- the cupboard


@pytest.mark.parametrize(
    ("have", "factor", "limited_by"),
    [
        # The bench flour counts: 220 g are used in all.
        ("plain flour 110 g", F(1, 2), "plain flour"),
        ("eggs 6", F(2), "eggs"),
        ("egg 1", F(1, 3), "eggs"),
        # By weight an egg is as bought, shell and all: 3 x 60.
        ("eggs 360 g", F(2), "eggs"),
        ("whole milk 1 l", F(4), "whole milk"),
        ("whole milk 515 g", F(2), "whole milk"),
        ("butter 1 1/2 kg", F(15), "butter"),
        ("butter ½ kg", F(5), "butter"),
        ("butter 1 lb", F("453.59237") / 100, "butter"),
        # As bought: 100 g of onions at 80 % are 125 g, which is one onion.
        ("onions 250 g", F(2), "onions"),
        ("onions 250 g as bought", F(2), "onions"),
        ("onions 3", F(3), "onions"),
        # A name that begins with a digit.
        ("00 flour 100 g", F(2), "00 flour"),
        ("7-up syrup 15 g", F(3, 2), "7-up syrup"),
        ("  butter   50   g ", F(1, 2), "butter"),
        ("BUTTER 50 g", F(1, 2), "butter"),
        ("butter: 50 g", F(1, 2), "butter"),
    ],
)
def test_what_one_thing_is_enough_for(have: str, factor: Fraction, limited_by: str) -> None:
    batch = batch_of(TART, have=(have,))
    assert (batch.asked.times, batch.asked.limited_by) == (factor, limited_by)


@pytest.mark.parametrize(
    ("have", "factor", "limited_by"),
    [
        (("plain flour 1 kg", "eggs 3", "butter 50 g"), F(1, 2), "butter"),
        (("butter 50 g", "eggs 1", "plain flour 1 kg"), F(1, 3), "eggs"),
        (("00 flour 500 g", "onions 300 g", "whole milk 2 l"), F(12, 5), "onions"),
    ],
)
def test_the_one_that_runs_out_first_is_named(
    have: tuple[str, ...], factor: Fraction, limited_by: str
) -> None:
    batch = batch_of(TART, have=have)
    assert (batch.asked.times, batch.asked.limited_by) == (factor, limited_by)


def test_nothing_in_the_cupboard_is_exceeded_and_one_thing_is_used_up() -> None:
    have = {"plain flour": F(700), "butter": F(310), "00 flour": F(190)}
    batch = batch_of(TART, have=tuple(f"{name} {amount} g" for name, amount in have.items()))
    used = {
        name: sum((one.weight or F(0) for one in batch.parts[0].lines if one.name == name), F(0))
        for name in have
    }
    assert all(used[name] <= have[name] for name in have)
    assert batch.asked.limited_by is not None
    assert used[batch.asked.limited_by] == have[batch.asked.limited_by]


def test_only_a_cupboard_limits() -> None:
    assert batch_of(TART, times=F(2)).asked.limited_by is None
    assert batch_of(TART, spend=F(5)).asked.limited_by is None


@pytest.mark.parametrize(
    ("have", "says", "helps"),
    [
        ("butter", "no amount", "--have '"),
        ("500 g butter", "amount first", "--have '"),
        ("", "no amount", "--have '"),
        ("buter 50 g", "no buter", "“butter”"),
        ("saffron 1 g", "no saffron", "ingredient of the recipe"),
        ("butter 40-60 g", "range", "one number"),
        ("butter 50 %", "cannot be compared", "weight"),
        ("butter 2", "cannot be compared", "weight"),
        ("7-up syrup 20 ml", "cannot be compared", "weight"),
        ("butter 50 gr", "gr", ""),
        ("butter 0 g", "0 times", "more than nothing"),
    ],
)
def test_what_cannot_be_compared_says_why(have: str, says: str, helps: str) -> None:
    error = refused(TART, have=(have,))
    assert says in str(error)
    assert helps in error.help


def test_one_food_given_twice_is_added_up() -> None:
    assert times(TART, have=("butter 50 g", "butter 100 g")) == F(3, 2)
    batch = batch_of(TART, have=("butter 50 g", "eggs 4", "butter 100 g"))
    assert (batch.asked.times, batch.asked.limited_by) == (F(4, 3), "eggs")


# ---------------------------------------------------------------- the money


@pytest.mark.parametrize("spend", [F(5), F("4.015"), F("0.01"), F(1, 3), F(12345)], ids=str)
def test_what_is_spent_is_what_it_costs_exactly(spend: Fraction) -> None:
    batch = batch_of(TART, spend=spend)
    assert cost(batch) == spend
    assert batch.asked.times == spend / F("4.015")
    assert sum((one.cost for one in batch.cost.lines if one.cost is not None), F(0)) == spend


def test_a_recipe_of_unknown_cost_cannot_be_bought_for_a_sum() -> None:
    error = refused(TART.replace("  butter:       10.00 for 1 kg\n", ""), spend=F(5))
    assert "no price" in str(error)
    assert error.help


def test_a_recipe_that_costs_nothing_cannot_be_bought_for_a_sum() -> None:
    free = "recipe Ice\n\ningredients\n  water: 100 g\n\nprices at S on 2026-11-01\n  water: free\n"
    assert refused(free, spend=F(5)).help


# ---------------------------------------------------------------- whole pieces


@pytest.mark.parametrize(
    ("asked", "eggs"),
    [
        ({}, 3),
        ({"times": F(1, 2)}, 2),  # 1.5: the half goes up
        ({"times": F(2, 5)}, 1),  # 1.2
        ({"times": F(1, 100)}, 1),  # one at least
        ({"times": F(4)}, 12),
        ({"makes": "10 portions"}, 4),  # 3.75
        ({"tin": "25 cm round"}, 5),  # 4.6875
    ],
)
def test_the_batch_comes_out_in_whole_eggs(asked: dict[str, Any], eggs: int) -> None:
    batch = batch_of(TART, whole="eggs", **asked)
    assert line(batch, "eggs").count == eggs
    assert batch.asked.times == F(eggs, 3)
    assert line(batch, "butter").weight == F(100 * eggs, 3)  # all the rest goes with them


def test_whole_pieces_of_what_is_weighed() -> None:
    # 100 g of onions at 80 % are 125 g as bought: one onion already.
    assert times(TART, whole="onions") == 1
    assert times(TART, whole="onions", times=F(9, 4)) == 2


@pytest.mark.parametrize(
    ("whole", "says", "helps"),
    [("butter", "not counted", "piece"), ("egs", "no egs", "“eggs”"), ("saffron", "no saffron", "pieces")],
)
def test_what_has_no_pieces_cannot_be_whole(whole: str, says: str, helps: str) -> None:
    error = refused(TART, whole=whole)
    assert says in str(error)
    assert helps in error.help


def test_whole_pieces_never_take_more_than_the_cupboard_has() -> None:
    # 150 g of butter is enough for 4.5 eggs: four.
    batch = batch_of(TART, have=("butter 150 g",), whole="eggs")
    assert line(batch, "eggs").count == 4
    assert (line(batch, "butter").weight or F(0)) <= 150
    assert refused(TART, have=("butter 30 g",), whole="eggs").help  # enough for 0.9 of one


def test_whole_pieces_never_cost_more_than_is_spent() -> None:
    # 5.00 of 4.015 is 3.74 eggs: three.
    batch = batch_of(TART, spend=F(5), whole="eggs")
    assert line(batch, "eggs").count == 3
    assert cost(batch) <= 5
    assert refused(TART, spend=F(1), whole="eggs").help


# ---------------------------------------------------------------- one way at a time


@pytest.mark.parametrize(
    ("asked", "named"),
    [
        ({"makes": "2 tarts", "times": F(2)}, ("--makes", "--times")),
        ({"have": ("butter 50 g",), "spend": F(5)}, ("--have", "--spend")),
        ({"tin": "25 cm round", "base": "300 g"}, ("--base", "--tin")),
    ],
)
def test_two_sizes_at_once_are_refused(asked: dict[str, Any], named: tuple[str, str]) -> None:
    error = refused(TART, **asked)
    assert all(name in str(error) for name in named)
    assert error.help


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"tin": "25 x 10 cm"}, "25 x 10 cm"),
        ({"have": ("butter 50 g", "eggs 3", "onions 2")}, "butter 50 g, eggs 3 and onions 2"),
        ({"spend": F(5)}, "5.00"),
        ({"whole": "eggs"}, "whole eggs"),
        ({"times": F(2), "whole": "eggs"}, "2 times"),
    ],
)
def test_the_batch_says_what_was_asked(asked: dict[str, Any], words: str) -> None:
    assert words in batch_of(TART, **asked).asked.words


@pytest.mark.parametrize("asked", [{"times": F(10**7)}, {"spend": F(10**8)}, {"have": ("butter 900000 kg",)}])
def test_more_than_a_million_times_is_refused(asked: dict[str, Any]) -> None:
    assert "million" in refused(TART, **asked).help


# ---------------------------------------------------------------- whatever the formula


share = st.integers(1, 60)


@st.composite
def formulas(draw: st.DrawFn) -> tuple[str, bool]:
    """A dough with two preferments and a soaker, and whether the list has enough for them: reckoned here by itself."""
    strong, rye = draw(st.integers(100, 900)), draw(st.integers(50, 400))
    water, salt, yeast, seeds = (
        draw(st.integers(50, 100)),
        draw(st.integers(1, 3)),
        draw(st.integers(1, 3)),
        draw(share),
    )
    first, first_water = draw(share), draw(st.integers(40, 125))
    second, second_water = draw(share), draw(st.integers(40, 125))
    second_yeast = draw(st.integers(1, 5))
    soaked, soak_water = draw(st.integers(1, 100)), draw(st.integers(1, 60))
    flour = strong + rye
    text = (
        f"recipe T\n  base: flour\n\ningredients\n  strong flour: {strong} g\n  rye flour: {rye} g\n"
        f"  water: {water} %\n  fine salt: {salt} %\n  instant yeast: {yeast} %\n  linseed: {seeds} %\n\n"
        f"preferment One, {first} % of the flour\n  water: {first_water} %\n\n"
        f"preferment Two, {second} % of the strong flour\n  water: {second_water} %\n"
        f"  instant yeast: {second_yeast} %\n\n"
        f"soaker Soak\n  linseed: {soaked} %\n  water: {soak_water} %\n"
    )
    takes_water = (
        F(flour * first * first_water, 10**4)
        + F(strong * second * second_water, 10**4)
        + F(flour * water * soak_water, 10**4)
    )
    enough = (
        takes_water <= F(flour * water, 100)
        and first + second <= 100
        and F(strong * second * second_yeast, 10**4) <= F(flour * yeast, 100)
    )
    return text, enough


@settings(max_examples=60, deadline=None)
@given(formulas())
def test_preferments_and_final_dough_are_the_overall_formula(made: tuple[str, bool]) -> None:
    text, enough = made
    compiled = compile_text(text)
    if not enough:
        assert set(rules(compiled)) == {"preferment-takes-too-much"}
        assert compiled.batch is None
        return
    assert rules(compiled) == []
    batch = compiled.batch
    assert batch is not None
    overall = {one.name: one.weight for one in batch.parts[0].lines}
    drawn_out = [part for part in batch.parts if part.role in ("preferment", "soaker")]
    (final,) = (part for part in batch.parts if part.role == "final")
    assert [part.name for part in drawn_out] == ["One", "Two", "Soak"]
    for name, weight in overall.items():
        found = [one.weight for part in (*drawn_out, final) for one in part.lines if one.name == name]
        assert sum((one for one in found if one is not None), F(0)) == weight
        assert all(one is None or one > 0 for one in found)
    inside = {one.name: one.weight for one in final.lines}
    assert {part.name: part.weight for part in drawn_out} == {
        part.name: inside[part.name or ""] for part in drawn_out
    }
    assert (
        final.weight == batch.parts[0].weight == batch.makes.formula == sum(w for w in inside.values() if w)
    )
    assert not any(isinstance(value, float) for value in values(batch))


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from(["two-tides-loaf", "slack-water-buns", "marram-ginger-cake", "harbour-griddle-rounds"]),
    st.fractions(F(1, 50), F(50), max_denominator=60),
    st.fractions(F(1, 50), F(50), max_denominator=60),
)
def test_scaling_is_linear(stem: str, one: Fraction, other: Fraction) -> None:
    def weights(factor: Fraction) -> list[Fraction | None]:
        return [at.weight for part in demo_batch(stem, times=factor).parts for at in part.lines]

    apart = zip(weights(one), weights(other), strict=True)
    assert weights(one + other) == [a + b if a is not None and b is not None else None for a, b in apart]
    assert cost(demo_batch(stem, times=one)) + cost(demo_batch(stem, times=other)) == cost(
        demo_batch(stem, times=one + other)
    )


@settings(max_examples=20, deadline=None)
@given(
    st.sampled_from(["two-tides-loaf", "slack-water-buns", "marram-ginger-cake", "ferry-milk-rolls"]),
    st.fractions(F(1, 50), F(50), max_denominator=60),
    st.sampled_from(["C", "F"]),
)
def test_percentages_and_ratios_do_not_move_with_size_or_degrees(
    stem: str, factor: Fraction, degrees: str
) -> None:
    written, asked = demo_batch(stem), demo_batch(stem, times=factor, temperatures=degrees)
    assert [at.percent for part in asked.parts for at in part.lines] == [
        at.percent for part in written.parts for at in part.lines
    ]
    assert asked.ratios == written.ratios
    assert asked.allergens == written.allergens
    assert (asked.cost.portion, asked.cost.per_100_g) == (written.cost.portion, written.cost.per_100_g)


@pytest.mark.parametrize("stem", DEMO)
def test_the_parts_of_each_demo_recipe_are_what_goes_in(stem: str) -> None:
    batch = demo_batch(stem, times=F(7, 3))
    listed = [part for part in batch.parts if part.role in ("main", "part")]
    assert sum((part.weight for part in listed), F(0)) == batch.makes.formula
    for part in batch.parts:
        inside = [
            one.weight
            for one in part.lines
            if one.purpose is None and not one.lent and one.weight is not None
        ]
        assert sum(inside, F(0)) == part.weight
    assert not any(isinstance(value, float) for value in values(batch))


@pytest.mark.parametrize(
    "asked",
    [
        {"times": F(1, 3)},
        {"tin": "23 cm round, 7 cm deep"},
        {"have": ("eggs 5", "plain flour 1 lb")},
        {"spend": F("7.77")},
        {"whole": "eggs", "times": F(1, 7)},
        {"makes": "11 portions"},
    ],
    ids=str,
)
def test_there_is_no_float_however_it_is_asked(asked: dict[str, Any]) -> None:
    found = list(values(batch_of(TART, **asked)))
    assert any(isinstance(value, Fraction) for value in found)
    assert not any(isinstance(value, float) for value in found)
