"""Water temperatures, ice and boiling: the theory, and what a recipe's method makes of it.

Published worked examples are in `tests/outside/test_heat_examples.py`.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchproof.compiler.batch import Extent, WaterFor
from benchproof.compiler.heat import (
    FLOUR_HEAT,
    FUSION,
    HIGHEST,
    LOWEST,
    SALT_HEAT,
    SUGAR_HEAT,
    WATER_HEAT,
    Portion,
    bench_rule,
    boiling_point,
    choi_okos,
    events,
    heat_balance,
    ice_instead,
    lead_up,
    rise_of,
    specific_heat_of,
    waters,
)
from tests.compiler.bench import DEMO, compile_text, demo, demo_kitchen, kitchen_of

ONE = Fraction(1)
degrees = st.fractions(min_value=-10, max_value=60, max_denominator=100)
grams = st.fractions(min_value=1, max_value=5000, max_denominator=10)
heats = st.fractions(min_value=Fraction(1, 2), max_value=Fraction(43, 10), max_denominator=100)
portions = st.lists(st.builds(Portion, grams, heats, degrees), max_size=5)


# ---------------------------------------------------------------- the bench rule


def test_three_factors_and_four() -> None:
    assert bench_rule(Fraction(24), [Fraction(20), Fraction(20)], Fraction(10)) == 22
    assert bench_rule(Fraction(24), [Fraction(20), Fraction(20), Fraction(18)], Fraction(10)) == 28


@given(degrees, degrees, degrees, degrees)
def test_the_rule_is_the_same_in_either_scale(
    target: Fraction, flour: Fraction, room: Fraction, friction: Fraction
) -> None:
    """The 32 of each factor goes away with the factors' own; friction, a difference, has none."""

    def f(value: Fraction) -> Fraction:
        return value * 9 / 5 + 32

    water = bench_rule(target, [flour, room], friction)
    assert bench_rule(f(target), [f(flour), f(room)], friction * 9 / 5) == f(water)


@given(degrees, st.fractions(min_value=0, max_value=20, max_denominator=10))
def test_a_friction_factor_is_three_times_the_rise(all_at: Fraction, friction: Fraction) -> None:
    """With flour, room and water at one temperature, by the rule's own algebra."""
    dough = all_at + rise_of(friction)
    assert bench_rule(dough, [all_at, all_at], friction) == all_at


# ---------------------------------------------------------------- the heat balance


@given(portions, grams, degrees, heats, st.fractions(min_value=0, max_value=20, max_denominator=10))
def test_no_heat_is_lost_or_made(
    others: list[Portion], water: Fraction, target: Fraction, heat: Fraction, rise: Fraction
) -> None:
    warmth = heat_balance(others, water, target, rise, heat)
    everything = [*others, Portion(water, heat, warmth)]
    capacity = sum(one.weight * one.specific_heat for one in everything)
    mixed = sum(one.weight * one.specific_heat * one.temperature for one in everything) / capacity
    assert mixed + rise == target


def test_what_is_at_the_target_already_asks_for_nothing_else() -> None:
    flour = [Portion(Fraction(500), FLOUR_HEAT, Fraction(24))]
    assert heat_balance(flour, Fraction(325), Fraction(24)) == 24


def test_water_alone_is_at_the_target_less_the_rise() -> None:
    assert heat_balance([], Fraction(100), Fraction(24), Fraction(3)) == 21


@pytest.mark.parametrize("water", [Fraction(0), Fraction(-1)])
def test_no_water_no_balance(water: Fraction) -> None:
    with pytest.raises(ValueError, match="some water"):
        heat_balance([], water, Fraction(24))


@given(degrees, st.fractions(min_value=0, max_value=10, max_denominator=10), grams)
def test_rule_and_balance_meet_where_theory_says(flour: Fraction, rise: Fraction, weight: Fraction) -> None:
    """100 % hydration, equal specific heats, room as the flour: when target less flour is the rise, exactly."""
    target = flour + rise
    by_balance = heat_balance([Portion(weight, ONE, flour)], weight, target, rise, water_heat=ONE)
    assert bench_rule(target, [flour, flour], 3 * rise) == by_balance == flour


@given(degrees, degrees, st.fractions(min_value=0, max_value=10, max_denominator=10), grams)
def test_elsewhere_they_part_by_the_heat_the_room_takes(
    target: Fraction, flour: Fraction, rise: Fraction, weight: Fraction
) -> None:
    """The rule lies above the balance by what the target is above the room, less the rise."""
    by_balance = heat_balance([Portion(weight, ONE, flour)], weight, target, rise, water_heat=ONE)
    assert bench_rule(target, [flour, flour], 3 * rise) - by_balance == target - flour - rise


def test_they_part_with_hydration_and_real_specific_heats() -> None:
    """At 65 %, 20 C flour and room, 26 C dough, no friction: 38 C by the rule, 30 C by the balance."""
    flour = [Portion(Fraction(1000), FLOUR_HEAT, Fraction(20))]
    balance = heat_balance(flour, Fraction(650), Fraction(26))
    assert bench_rule(Fraction(26), [Fraction(20), Fraction(20)], Fraction(0)) == 38
    assert balance == 26 + 6 * 1000 * FLOUR_HEAT / (650 * WATER_HEAT)
    assert 30 < balance < 31


# ---------------------------------------------------------------- ice


def test_ice_for_water_that_must_be_freezing() -> None:
    assert ice_instead(Fraction(1000), Fraction(20), Fraction(0)) == 20000 / (20 + FUSION / WATER_HEAT)


@given(grams, st.fractions(min_value=1, max_value=30), st.fractions(min_value=-40, max_value=29))
def test_ice_takes_up_what_colder_water_would(water: Fraction, tap: Fraction, wanted: Fraction) -> None:
    """Melted and warmed to the dough, ice and tap water take up what all the water at `wanted` would have."""
    ice = ice_instead(water, tap, wanted)
    if wanted >= tap:
        assert ice == 0
        return
    dough = Fraction(25)
    with_ice = (water - ice) * WATER_HEAT * (dough - tap) + ice * (FUSION + WATER_HEAT * dough)
    assert with_ice == water * WATER_HEAT * (dough - wanted)


def test_no_ice_when_the_tap_is_cold_enough() -> None:
    assert ice_instead(Fraction(1000), Fraction(8), Fraction(8)) == 0
    assert ice_instead(Fraction(1000), Fraction(8), Fraction(30)) == 0


# ---------------------------------------------------------------- boiling


def test_water_boils_at_a_hundred_by_the_sea() -> None:
    assert boiling_point(Fraction(0)) == 100


@given(st.fractions(min_value=LOWEST, max_value=HIGHEST - 100, max_denominator=10))
def test_higher_up_it_boils_sooner(altitude: Fraction) -> None:
    low, high = boiling_point(altitude), boiling_point(altitude + 100)
    assert Fraction(25, 100) < low - high < Fraction(45, 100)
    assert low * 100 == int(low * 100)


@pytest.mark.parametrize("altitude", [LOWEST - 1, HIGHEST + 1])
def test_no_boiling_point_outside_the_lowest_layer(altitude: Fraction) -> None:
    with pytest.raises(ValueError, match="11000"):
        boiling_point(altitude)


# ---------------------------------------------------------------- specific heats of what is listed


def heat_of(line: str, more: str = "") -> Fraction | None:
    formula = compile_text(f"recipe T\n  serves: 1\n\ningredients\n  {line}\n", more).formula
    (item,) = formula.items()
    return specific_heat_of(item)


@pytest.mark.parametrize(
    ("line", "heat"),
    [
        ("strong flour: 100 g", FLOUR_HEAT),
        ("caster sugar: 100 g", SUGAR_HEAT),
        ("fine salt: 100 g", SALT_HEAT),
        ("water: 100 g", WATER_HEAT),
    ],
)
def test_measured_figures_go_first(line: str, heat: Fraction) -> None:
    assert heat_of(line) == heat


@pytest.mark.parametrize(
    ("line", "low", "high"),
    [
        ("whole milk: 100 g", "3.80", "3.95"),
        ("eggs: 100 g", "3.55", "3.70"),
        ("butter: 100 g", "2.25", "2.40"),
        ("olive oil: 100 g", "1.95", "2.05"),
    ],
)
def test_by_composition_near_the_published_figures(line: str, low: str, high: str) -> None:
    """Geankoplis A.4-1, or Choi-Okos on USDA SR28: milk 3.85 / 3.89, egg 3.65, butter 2.30 / 2.34, oil 2.01."""
    heat = heat_of(line)
    assert heat is not None
    assert Fraction(low) <= heat <= Fraction(high)


def test_what_the_kitchen_states_goes_before_everything() -> None:
    stated = "ingredient strong flour\n  kind: flour\n  specific heat: 1.943 kJ for 1 kg and 1 C\n"
    assert heat_of("strong flour: 100 g", stated) == Fraction("1.943")


def test_nothing_known_is_not_guessed() -> None:
    assert heat_of("moon dust: 100 g") is None


def test_a_kind_without_its_water_has_the_figure_of_its_kind() -> None:
    assert heat_of("quail milk: 100 g", "ingredient quail milk\n  kind: milk\n") == Fraction("3.85")


@given(*[st.fractions(min_value=0, max_value=1, max_denominator=50)] * 2)
def test_composition_lies_between_its_parts(one: Fraction, other: Fraction) -> None:
    water, fat = one, (1 - one) * other
    heat = choi_okos(water, fat, Fraction(0), 1 - water - fat)
    assert choi_okos(Fraction(0), Fraction(0), Fraction(0), ONE) <= heat <= choi_okos(ONE, *[Fraction(0)] * 3)


# ---------------------------------------------------------------- a recipe's waters

KITCHEN = "kitchen Far\n  room: 21 C\n  flour: 19 C\n  tap water: 8-55 C\n  friction: 2 C by hand, 11 C in the mixer\n"
LIST = (
    "recipe Loaf\n  makes: 1 loaf\n  base: strong flour\n\ningredients\n  strong flour: 1000 g\n  water: 65 %\n"
    "  fine salt: 2 %\n\n"
)
MIX = "step Mix\n  Mix [the strong flour], [the water] and [the fine salt] to [25 C dough], [5 min].\n"


def asked(text: str, kitchen: str = KITCHEN, *, factor: Fraction = ONE) -> tuple[WaterFor, ...]:
    compiled = compile_text(text, kitchen)
    assert [one.message for one in compiled.findings] == []
    return waters(kitchen_of(text, kitchen).settings, compiled.formula, compiled.method, factor)


def water_of(text: str, kitchen: str = KITCHEN, *, factor: Fraction = ONE) -> WaterFor:
    (water,) = asked(text, kitchen, factor=factor)
    return water


def single(extent: Extent | None) -> Fraction:
    assert extent is not None
    assert extent.low == extent.high
    return extent.low


def test_a_plain_dough_by_hand() -> None:
    water = water_of(LIST + MIX)
    assert water.step == 1
    assert water.target == Extent(Fraction(25), Fraction(25))
    assert water.water == 650
    assert (water.room, water.flour, water.friction) == (21, 19, 2)
    assert single(water.by_rule) == 75 - 21 - 19 - 2
    others = [
        Portion(Fraction(1000), FLOUR_HEAT, Fraction(19)),
        Portion(Fraction(20), SALT_HEAT, Fraction(21)),
    ]
    exact = heat_balance(others, Fraction(650), Fraction(25), Fraction(2, 3))
    assert single(water.by_balance) == Fraction(round(exact * 100), 100)
    assert water.ice is None
    assert water.assumed == ()


def test_every_figure_is_of_a_hundredth() -> None:
    water = water_of(LIST + MIX.replace("25 C", "77-79 F"), factor=Fraction(1, 3))
    assert water.by_rule is not None
    assert water.by_balance is not None
    for one in (
        water.water,
        water.by_rule.low,
        water.by_rule.high,
        water.by_balance.low,
        water.by_balance.high,
    ):
        assert one * 100 == int(one * 100)


def test_a_range_is_answered_by_a_range() -> None:
    water = water_of(LIST + MIX.replace("25 C", "24-26 C"))
    assert water.by_rule == Extent(Fraction(30), Fraction(36))
    assert water.by_balance is not None
    assert water.by_balance.low < water.by_balance.high


def test_a_bigger_batch_has_more_water_as_warm() -> None:
    one, three = water_of(LIST + MIX), water_of(LIST + MIX, factor=Fraction(3))
    assert three.water == 3 * one.water
    assert (three.by_rule, three.by_balance) == (one.by_rule, one.by_balance)


@pytest.mark.parametrize(
    ("mixing", "equipment", "friction"),
    [
        ("Mix", "", 2),
        ("Mix in the mixer", "", 11),
        ("Mix", "equipment\n  stand mixer with a dough hook\n\n", 11),
        ("Mix", "equipment\n  mixer: 1\n\n", 11),
        ("Mix by hand", "equipment\n  stand mixer\n\n", 2),
        ("Mix", "equipment\n  mixing bowl\n\n", 2),
    ],
)
def test_by_hand_or_in_the_mixer(mixing: str, equipment: str, friction: int) -> None:
    water = water_of(LIST + equipment + MIX.replace("Mix [", f"{mixing} ["))
    assert water.friction == friction
    assert single(water.by_rule) == 35 - friction


def test_the_only_friction_there_is_is_used() -> None:
    kitchen = KITCHEN.replace("2 C by hand, ", "")
    assert water_of(LIST + MIX, kitchen).friction == 11


def test_no_friction_that_fits_is_said() -> None:
    kitchen = KITCHEN.replace(
        "2 C by hand, 11 C in the mixer", "9 C in the small mixer, 11 C in the big mixer"
    )
    water = water_of(LIST + MIX, kitchen)
    assert water.friction == 9
    assert "in the small mixer" in water.assumed[0]


def test_friction_in_fahrenheit_is_a_difference() -> None:
    kitchen = KITCHEN.replace("2 C by hand, 11 C in the mixer", "9 F by hand")
    assert water_of(LIST + MIX, kitchen).friction == 5


def test_a_kitchen_that_says_nothing() -> None:
    water = water_of(LIST + MIX, "kitchen Far\n  measures: metric\n")
    assert (water.room, water.flour, water.friction) == (20, 20, 0)
    assert len(water.assumed) == 2
    assert "room" in water.assumed[0]
    assert "mixing" in water.assumed[1]


def test_flour_is_as_warm_as_the_room_unless_it_is_said() -> None:
    assert water_of(LIST + MIX, KITCHEN.replace("  flour: 19 C\n", "")).flour == 21


def test_only_what_is_in_the_bowl_by_then_counts() -> None:
    late = LIST + (
        "step Mix\n  Mix [the strong flour] and [all but 50 g of the water] to [25 C dough], [5 min].\n"
        "  Squeeze in [the fine salt] and [the rest of the water], [5 min].\n"
    )
    assert water_of(late).water == 600


def test_water_from_an_earlier_step_counts() -> None:
    two = LIST + (
        "step Flour\n  Put [the strong flour] in a bowl with [600 g of the water], [1 min].\n\n"
        "step Mix\n  Knead in [the fine salt] and [the rest of the water] to [25 C dough], [5 min].\n"
    )
    assert water_of(two).water == 650


def test_water_that_has_stood_for_hours_is_as_the_room() -> None:
    stood = LIST + (
        "step Soak\n  Mix [the strong flour] with [600 g of the water], [1 min]. Leave [8 h hands-off].\n\n"
        "step Mix\n  Knead in [the fine salt] and [the rest of the water] to [22 C dough], [5 min].\n"
    )
    water = water_of(stood)
    assert water.water == 50
    others = [
        Portion(Fraction(1000), FLOUR_HEAT, Fraction(21)),
        Portion(Fraction(600), WATER_HEAT, Fraction(21)),
        Portion(Fraction(20), SALT_HEAT, Fraction(21)),
    ]
    exact = heat_balance(others, Fraction(50), Fraction(22), Fraction(2, 3))
    assert single(water.by_balance) == Fraction(round(exact * 100), 100)


def test_water_an_earlier_step_has_warmed_is_as_it_says() -> None:
    woken = LIST + (
        "step Wake\n  Put [100 g of the water] at [38 C] in a jug, [1 min].\n\n"
        "step Mix\n  Add [the strong flour], [the fine salt] and [the rest of the water], to [25 C dough], [5 min].\n"
    )
    water = water_of(woken)
    assert water.water == 550
    others = [
        Portion(Fraction(100), WATER_HEAT, Fraction(38)),
        Portion(Fraction(1000), FLOUR_HEAT, Fraction(19)),
        Portion(Fraction(20), SALT_HEAT, Fraction(21)),
    ]
    exact = heat_balance(others, Fraction(550), Fraction(25), Fraction(2, 3))
    assert single(water.by_balance) == Fraction(round(exact * 100), 100)


def test_an_ingredient_may_say_its_own_temperature() -> None:
    cold = LIST + (
        "step Mix\n  Mix [the strong flour] at [5 C], [the water] and [the fine salt] to [25 C dough], [5 min].\n"
    )
    by_balance, plain = single(water_of(cold).by_balance), single(water_of(LIST + MIX).by_balance)
    assert by_balance - plain == pytest.approx(float(14 * 1000 * FLOUR_HEAT / (650 * WATER_HEAT)), abs=0.01)


def test_another_part_is_not_in_the_dough() -> None:
    text = (
        LIST
        + (
            "ingredients for the filling\n  whole milk: 500 g\n\n"
            "step Filling, for the filling\n  Bring [the whole milk] to [80 C], [5 min].\n\n" + MIX
        )
        + "\nstep Fill\n  Spread with [the filling], [5 min].\n"
    )
    assert water_of(text) == WaterFor(**{**_fields(water_of(LIST + MIX)), "step": 2})


def _fields(water: WaterFor) -> dict[str, object]:
    return {name: getattr(water, name) for name in WaterFor.__slots__}


BATTER = LIST.replace("65 %", "100 %") + MIX


def test_a_batter_has_the_balance_alone() -> None:
    water = water_of(BATTER)
    assert water.by_rule is None
    assert water.by_balance is not None
    assert water_of(BATTER.replace("100 %", "99.9 %")).by_rule is not None


def test_a_preferment_is_the_fourth_factor() -> None:
    sponge = LIST + (
        "preferment Sponge, 25 % of the flour\n  water: 60 %\n\n"
        "step Sponge, for the Sponge\n  Mix [the strong flour] and [the water], [3 min]. Leave [12 h hands-off].\n\n"
        "step Mix\n  Mix [the Sponge], [the strong flour], [the water] and [the fine salt] to [25 C dough], [5 min].\n"
    )
    water = water_of(sponge)
    assert single(water.by_rule) == 100 - 21 - 19 - 21 - 2
    assert water.water == 500
    assert "Sponge" in water.assumed[0]
    others = [
        Portion(Fraction(250), FLOUR_HEAT, Fraction(21)),
        Portion(Fraction(150), WATER_HEAT, Fraction(21)),
        Portion(Fraction(750), FLOUR_HEAT, Fraction(19)),
        Portion(Fraction(20), SALT_HEAT, Fraction(21)),
    ]
    exact = heat_balance(others, Fraction(500), Fraction(25), Fraction(2, 3))
    assert single(water.by_balance) == Fraction(round(exact * 100), 100)


def test_a_preferment_may_say_how_warm_it_is() -> None:
    sponge = LIST + (
        "preferment Sponge, 25 % of the flour\n  water: 60 %\n\n"
        "step Sponge, for the Sponge\n  Mix [the strong flour] and [the water], [3 min].\n\n"
        "step Mix\n  Mix [the Sponge] at [24 C], [the strong flour], [the water] and [the fine salt] to "
        "[25 C dough], [5 min].\n"
    )
    water = water_of(sponge)
    assert single(water.by_rule) == 100 - 21 - 19 - 24 - 2
    assert water.assumed == ()


def test_a_starter_is_the_fourth_factor_too() -> None:
    starter = (
        "recipe Loaf\n  makes: 1 loaf\n  base: strong flour\n\ningredients\n  strong flour: 1000 g\n  water: 65 %\n"
        "  old starter: 200 g\n\nstep Mix\n  Mix [the strong flour], [the water] and [the old starter] to "
        "[25 C dough], [5 min].\n"
    )
    food = "\ningredient old starter\n  kind: starter\n  hydration: 100 %\n  water: 56 %\n"
    water = water_of(starter, KITCHEN + food)
    assert single(water.by_rule) == 100 - 21 - 19 - 21 - 2


def test_what_may_come_from_the_fridge_is_said() -> None:
    rich = LIST.replace("  fine salt: 2 %\n", "  fine salt: 2 %\n  eggs: 100 g\n") + MIX.replace(
        "and [the fine salt]", "[the eggs] and [the fine salt]"
    )
    assert any("eggs" in one and "21" in one for one in water_of(rich).assumed)


@pytest.mark.parametrize(("weight", "known"), [("50 g", True), ("500 g", False)])
def test_unknown_food(weight: str, known: bool) -> None:
    odd = LIST.replace("  fine salt: 2 %\n", f"  fine salt: 2 %\n  moon dust: {weight}\n") + MIX.replace(
        "and [the fine salt]", "[the moon dust] and [the fine salt]"
    )
    water = water_of(odd)
    assert (water.by_balance is not None) is known
    assert any("moon dust" in one for one in water.assumed) is known
    assert water.by_rule is not None


def test_ice_when_it_is_hot() -> None:
    hot = KITCHEN.replace("room: 21 C", "room: 30 C").replace("flour: 19 C", "flour: 29 C")
    water = water_of(LIST + "equipment\n  mixer\n\n" + MIX.replace("25 C", "24 C"), hot)
    wanted = 72 - 30 - 29 - 11
    assert single(water.by_rule) == wanted == 2
    assert single(water.ice) == Fraction(
        round(ice_instead(Fraction(650), Fraction(8), Fraction(2)) * 100), 100
    )


def test_below_freezing_with_no_tap_said_the_room_is_taken() -> None:
    hot = "kitchen Far\n  room: 32 C\n  friction: 11 C in the mixer\n"
    water = water_of(LIST + MIX.replace("25 C", "24 C"), hot)
    assert single(water.by_rule) == -3
    assert single(water.ice) == Fraction(
        round(ice_instead(Fraction(650), Fraction(32), Fraction(-3)) * 100), 100
    )
    assert any("tap" in one for one in water.assumed)


def test_no_more_ice_than_water_and_it_is_said() -> None:
    hot = "kitchen Far\n  room: 45 C\n  tap water: 30-60 C\n  friction: 20 C by hand\n"
    water = water_of(LIST + MIX.replace("25 C", "8 C"), hot)
    assert single(water.ice) == water.water
    assert any("as ice" in one for one in water.assumed)


def test_milk_is_not_replaced_by_ice() -> None:
    hot = KITCHEN.replace("room: 21 C", "room: 40 C")
    text = (
        (LIST + MIX).replace("  water: 65 %", "  whole milk: 65 %").replace("[the water]", "[the whole milk]")
    )
    water = water_of(text.replace("25 C", "20 C"), hot)
    assert single(water.by_rule) == 60 - 40 - 19 - 2
    assert water.ice is None


@pytest.mark.parametrize(
    "text",
    [
        LIST + MIX.replace(" to [25 C dough]", ""),
        LIST.replace("  water: 65 %\n", "") + MIX.replace("[the water] and ", "and "),
        LIST + MIX.replace("25 C dough", "25 C room"),
    ],
    ids=["nothing asked", "no water", "another place"],
)
def test_nothing_to_answer(text: str) -> None:
    assert asked(text) == ()


def test_a_dough_kept_warm_later_is_not_asked_again() -> None:
    kept = LIST + MIX + "\nstep Rise\n  Leave at [25 C dough], [2 h hands-off].\n"
    assert [one.step for one in asked(kept)] == [1]


def test_a_pure_function() -> None:
    assert water_of(LIST + MIX) == water_of(LIST + MIX)


@pytest.mark.parametrize("stem", DEMO)
def test_the_demo_recipes(stem: str) -> None:
    """Where a dough temperature is asked for, and only there, is there an answer."""
    compiled = demo(stem)
    found = waters(demo_kitchen().settings, compiled.formula, compiled.method, ONE)
    wanted = [step.number for step in compiled.method.steps if " dough]" in step.block.span.text]
    assert [one.step for one in found] == wanted


# ---------------------------------------------------------------- the walk through the method


def test_each_draw_is_matched_with_what_it_took() -> None:
    for stem in DEMO:
        for step in demo(stem).method.steps:
            taken = [event.drawn for event in events(step) if event.drawn is not None]
            assert taken == list(step.draws)


def test_lead_up_follows_after_and_leaves_other_parts_out() -> None:
    text = (
        "recipe T\n  serves: 1\n\ningredients\n  water: 100 g\n\ningredients for the top\n  butter: 10 g\n\n"
        "step A\n  Pour [50 g of the water].\n\nstep Top, for the top, during A\n  Melt [the butter].\n\n"
        "step B, after A\n  Pour [the rest of the water].\n\nstep C, after B and Top\n  Add [the top].\n"
    )
    method = compile_text(text).method
    assert [one.name.text for one in lead_up(method, method.steps[3])] == ["A", "B"]
    assert lead_up(method, method.steps[1]) == ()
