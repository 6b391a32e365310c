"""Yeast and heat: 49 °C begins to harm it, 60 °C kills it, in either scale. Boiling, and what the tap cannot do."""

from fractions import Fraction

import pytest

from benchproof.compiler.checks.heat import BEGINS_TO_DIE, DEAD, USUAL
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.heat import ice_instead
from tests.compiler.checks import checking
from tests.compiler.checks.checking import checked, loaf, only, rice

OTHERS = {
    "wait-without-time",
    "time-slipped",
    "heat-unlike-words",
    "room-out-of-range",
    "hands-off-handwork",
}
"""What these short texts earn of the checks of times and of other heats, which have tests of their own."""


def told(*texts: str) -> list[str]:
    return [rule for rule in checking.told(*texts) if rule not in OTHERS]


LOAF = (
    "recipe Loaf\n  makes:  1 loaf\n  base:   strong flour\n\ningredients\n"
    "  strong flour:   500 g\n  water:          68 %\n"
)


def dough(wake: str) -> str:
    return (
        f"{LOAF}  fine salt:      2 %\n  instant yeast:  0.6 %\n\nstep Wake\n  {wake}\n\n"
        "step Mix\n  Knead with [the strong flour] "
        "and [the fine salt], [10 min].\n"
    )


WATER = "Whisk [the instant yeast] into [the water] at [{}], [1 min]."


def test_the_thresholds_are_those_of_the_trade() -> None:
    """120 F and 140 F, exactly."""
    assert (BEGINS_TO_DIE - Fraction(0)) * 9 / 5 + 32 == 120
    assert DEAD * 9 / 5 + 32 == 140


@pytest.mark.parametrize(
    ("heat", "severity"),
    [
        ("20 C", None),
        ("43 C", None),
        ("110 F", None),
        ("35-43 C", None),
        ("49 C", Severity.WARNING),
        ("121 F", Severity.WARNING),
        ("50 C", Severity.WARNING),
        ("40-50 C", Severity.WARNING),
        ("59.9 C", Severity.WARNING),
        ("139 F", Severity.WARNING),
        ("60 C", Severity.ERROR),
        ("140 F", Severity.ERROR),
        ("55-60 C", Severity.ERROR),
        ("100 C", Severity.ERROR),
        ("212 F", Severity.ERROR),
    ],
)
def test_harmed_and_killed(heat: str, severity: Severity | None) -> None:
    found = [one for one in checked(dough(WATER.format(heat))) if one.rule != "yeast-warmer-than-usual"]
    assert [(one.rule, one.severity) for one in found] == ([("yeast-too-hot", severity)] if severity else [])
    for one in found:
        assert one.span.text.strip("[]") == heat
        assert ("kills" in one.message) is (severity is Severity.ERROR)
        assert "Wake" in one.message


def test_the_order_of_the_words_does_not_matter() -> None:
    assert told(dough("Heat [the water] to [65 C] and whisk in [the instant yeast], [1 min].")) == [
        "yeast-too-hot"
    ]


@pytest.mark.parametrize(
    "wake",
    [
        "Whisk [the instant yeast] into [the water], [1 min], with the oven at [230 C oven].",
        "Whisk [the instant yeast] into [the water] and keep it at [52 C room], [5 min hands-off].",
        "Boil [the water] at [100 C], and let it cool [100 C to 40 C in 30 min].\n\nstep Yeast\n"
        "  Stir in [the instant yeast].",
    ],
)
def test_heat_that_does_not_meet_the_yeast_is_let_alone(wake: str) -> None:
    assert told(dough(wake)) == []


def test_into_flour_hotter_water_is_a_known_method() -> None:
    text = (
        dough("Rest.")
        .replace("  Rest.\n", "  Rest, [1 min].\n")
        .replace(
            "Knead with [the strong flour]",
            "Stir [the instant yeast] into [the strong flour], pour in [the water] at [54 C]",
        )
    )
    assert told(text) == []


def into_flour(heat: str) -> str:
    return (
        dough("Rest, [1 min].")
        .replace("step Wake\n  Rest, [1 min].\n\n", "")
        .replace(
            "Knead with [the strong flour]",
            f"Stir [the instant yeast] into [the strong flour], pour in [the water] at [{heat}]",
        )
    )


@pytest.mark.parametrize(
    ("heat", "severity"),
    [
        ("130 F", None),
        ("55 C", Severity.WARNING),
        ("59.9 C", Severity.WARNING),
        ("60 C", Severity.ERROR),
        ("95 C", Severity.ERROR),
    ],
)
def test_into_a_dry_mix_up_to_54_degrees(heat: str, severity: Severity | None) -> None:
    found = checked(into_flour(heat))
    assert [(one.rule, one.severity) for one in found] == ([("yeast-too-hot", severity)] if severity else [])


def test_the_yeast_itself_may_be_what_is_hot() -> None:
    assert told(dough("Warm [the water], with [the instant yeast] at [62 C], [2 min].")) == ["yeast-too-hot"]


def test_the_mend_names_a_warmth_that_is_silent() -> None:
    found = only("yeast-too-hot", dough(WATER.format("65 C")))
    assert "35–43" in found.help.replace("\u2009", " ")
    assert told(dough(WATER.format("35-43 C"))) == []


def test_a_kitchen_in_fahrenheit_is_told_in_fahrenheit() -> None:
    text = "kitchen Far\n  measures:  US\n\n" + dough(WATER.format("130 F"))
    assert "130" in only("yeast-too-hot", text).message.partition("(")[0]


# ---------------------------------------------------------------- warmer than usual


@pytest.mark.parametrize("heat", ["44 C", "45 C", "46-48 C", "48.8 C", "111 F", "120 F"])
def test_warmer_than_usual_is_a_hint(heat: str) -> None:
    found = only("yeast-warmer-than-usual", dough(WATER.format(heat)))
    assert found.severity is Severity.HINT
    assert found.span.text.strip("[]") == heat


def test_the_usual_range_is_that_of_the_trade() -> None:
    """35 C, to 110 F exactly."""
    assert (USUAL[0], USUAL[1] * 9 / 5 + 32) == (35, 110)


# ---------------------------------------------------------------- one step and the next


def scald(heat: str, between: str = "", add: str = "Whisk in [the instant yeast], [1 min].") -> str:
    """Milk heated in one step, and yeast added to it in another."""
    return (
        "recipe Loaf\n  makes:  1 loaf\n  base:   strong flour\n\ningredients\n  strong flour:   500 g\n"
        "  whole milk:     68 %\n  butter:         10 %\n  fine salt:      2 %\n  instant yeast:  0.6 %\n\n"
        f"step Scald\n  Heat [the whole milk] to [{heat}]{between}\n\nstep Wake\n  {add}\n\n"
        "step Mix\n  Knead with [the strong flour], [the butter] and [the fine salt], [10 min].\n"
    )


@pytest.mark.parametrize(
    ("heat", "severity"),
    [
        ("38 C", None),
        ("46 C", None),
        ("50 C", Severity.WARNING),
        ("62 C", Severity.ERROR),
        ("85 C", Severity.ERROR),
    ],
)
def test_milk_heated_in_the_step_before(heat: str, severity: Severity | None) -> None:
    found = checked(scald(heat, "."))
    assert [(one.rule, one.severity) for one in found] == ([("yeast-too-hot", severity)] if severity else [])
    for one in found:
        assert one.span.text == "[the instant yeast]"
        assert [also.span.text.strip("[]") for also in one.also] == [heat]
        assert "Scald" in one.message


@pytest.mark.parametrize(
    "between",
    [
        ", then let it cool to [38 C].",
        ", [85 C to 38 C in 30 min].",
        ". Leave [30 min hands-off].",
        ".\n  Leave to cool.",
        ".\n  Let it stand until lukewarm.",
        ".\n  Put it in the fridge, [5 C fridge].",
        ".\n\nstep Cool\n  Leave until it is at [40 C].",
        ".\n\nstep Cool\n  Leave [30 min hands-off].",
        ".\n\nstep Cool\n  Stir it now and then, [85 C to 38 C within 1 h].",
        ".\n\nstep Cool\n  Stir it over cold water.",
    ],
)
def test_something_that_cools_stands_between(between: str) -> None:
    assert told(scald("85 C", between)) == []


def test_one_step_that_heats_and_cools() -> None:
    text = scald(
        "85 C", ", let it cool to [38 C] and whisk in [the instant yeast], [1 min].", "Wait, [1 min]."
    )
    assert told(text) == []


@pytest.mark.parametrize(
    "add", ["Whisk in [the instant yeast] once it is lukewarm.", "When cool, add [the instant yeast]."]
)
def test_the_words_may_say_that_it_is_cool(add: str) -> None:
    assert told(scald("85 C", ".", add)) == []


@pytest.mark.parametrize(
    "hold",
    [" for [10 min hands-off].", ", [10 min hands-off].", " and hold it there for [10 min hands-off]."],
)
def test_a_heat_that_is_held_is_not_a_rest(hold: str) -> None:
    assert told(scald("85 C", hold)) == ["yeast-too-hot"]


@pytest.mark.parametrize(
    "add",
    [
        "Whisk in [the instant yeast], cover and cool.",
        "Whisk in [the instant yeast], [85 C to 30 C in 40 min].",
        "Whisk in [the instant yeast] and leave [20 min hands-off].",
    ],
)
def test_cooling_after_the_yeast_is_in_comes_too_late(add: str) -> None:
    assert told(scald("85 C", ".", add)) == ["yeast-too-hot"]


def test_a_liquid_drawn_last_may_be_said_to_have_cooled() -> None:
    wake = "Pour onto [the instant yeast] [the water], heated to [85 C] and cooled to [38 C], [1 min]."
    assert told(dough(wake)) == []


def test_heat_without_a_draw_is_that_of_the_only_liquid() -> None:
    between = ".\n\nstep Heat\n  Bring it to [85 C], [4 min]."
    assert told(scald("20 C", between)) == ["yeast-too-hot"]


def test_a_little_that_was_hot_is_cooled_by_the_rest() -> None:
    text = (
        LOAF
        + "  fine salt:      2 %\n  instant yeast:  0.6 %\n\nstep Scald\n  Whisk [25 g of the strong flour] into "
        "[{} of the water] at [{}], [2 min].\n\nstep Mix\n  Knead with [the rest of the water], "
        "[the rest of the strong flour], [the fine salt] and [the instant yeast], [10 min].\n"
    )
    assert told(text.format("100 g", "65 C")) == []
    assert told(text.format("330 g", "98 C")) == ["yeast-too-hot"]


def test_the_filling_is_another_pot() -> None:
    text = (
        "recipe Buns\n  makes:  12 buns\n  base:   strong flour\n\ningredients\n"
        "  strong flour:   500 g\n  water:          60 %\n"
        "  instant yeast:  0.6 %\n\ningredients for the filling\n  whole milk:  200 g\n  cornflour:    20 g\n\n"
        "step Filling, for the filling\n  Whisk [the cornflour] into [the whole milk] at [85 C], [5 min].\n\n"
        "step Dough\n  Knead [the strong flour], [the water] and [the instant yeast], [10 min].\n\n"
        "step Fill\n  Spread with [the filling], [5 min].\n"
    )
    assert told(text) == []


SOAKED = (
    "recipe Loaf\n  makes:  1 loaf\n  base:   flour\n\ningredients\n  strong flour:   200 g\n  rye flour:      200 g\n"
    "  water:          80 %\n  instant yeast:  0.6 %\n\nsoaker Scald\n  rye flour:  200 g\n  water:      300 g\n\n"
    "step Scald, for the Scald\n  Stir [the rye flour] into [the water] at [98 C], [2 min].{}\n\n"
    "step Mix\n  Stir [the instant yeast] into [the Scald] with [the water] and [the strong flour], [5 min].\n"
)


def test_a_scalded_soaker_is_hot_until_it_has_stood() -> None:
    found = only("yeast-too-hot", SOAKED.format(""))
    assert "Scald" in found.message
    assert told(SOAKED.format(" Leave [4 h hands-off].")) == []


def test_hot_water_on_a_dough_with_yeast_in_it() -> None:
    text = (
        LOAF
        + "  instant yeast:  0.6 %\n\nstep Dry\n  Stir [the instant yeast] into [the strong flour], [1 min].\n\n"
        "step Wet\n  {}Pour in [the water] at [80 C] and knead, [10 min].\n"
    )
    assert told(text.format("")) == ["yeast-too-hot"]
    # Once it is being cooked, the yeast is meant to die.
    assert told(text.format("Set the pan on [170 C pan], [1 min]. ")) == []


def test_water_for_something_else_never_meets_it() -> None:
    text = dough(WATER.format("38 C")).replace(
        "  instant yeast", "  water:          500 g, for the tray\n  instant yeast", 1
    )
    text += "\nstep Bake\n  Pour [the water for the tray] at [98 C] into a tray, [1 min].\n"
    assert told(text) == []


# ---------------------------------------------------------------- boiling


def boil(heat: str, *, kitchen: str = "", sugar: str = "", tool: str = "pan") -> list[str]:
    sweet = "  caster sugar:  300 g\n" if sugar else ""
    return told(
        f"kitchen Far\n  measures:  metric\n{kitchen}",
        f"recipe Rice\n  serves:  3\n\ningredients\n  white rice:  200 g\n  water:       300 g\n{sweet}\n"
        f"equipment\n  {tool}\n\nstep Boil\n  "
        f"{sugar}Bring [the water] to [{heat}] and add [the white rice], [15 min hands-off].\n",
    )


@pytest.mark.parametrize(
    ("heat", "kitchen", "rules"),
    [
        ("100 C", "", []),
        ("212 F", "", []),
        ("95 C", "", []),
        ("101 C", "", ["hotter-than-boiling"]),
        ("98-105 C", "", []),
        ("100 C", "  altitude: 120 m\n", []),
        ("100 C", "  altitude: 500 m\n", []),
        ("100 C", "  altitude: 1000 m\n", ["hotter-than-boiling"]),
        ("96 C", "  altitude: 1000 m\n", []),
        ("95 C", "  altitude: 12000 ft\n", ["hotter-than-boiling"]),
        ("110 C", "  altitude: 40000 m\n", ["unlikely-setting"]),
    ],
)
def test_water_cannot_be_boiled_so_hot(heat: str, kitchen: str, rules: list[str]) -> None:
    assert boil(heat, kitchen=kitchen) == rules


def test_a_syrup_gets_hotter() -> None:
    assert boil("118 C", sugar="Tip in [the caster sugar]. ") == []


def test_a_pressure_pan_gets_hotter() -> None:
    assert boil("115 C", tool="pressure cooker") == []


def test_a_place_is_another_matter() -> None:
    assert boil("180 C oven") == []
    assert boil("180 C") == ["hotter-than-boiling"]


@pytest.mark.parametrize(
    ("heat", "altitude", "rules"),
    [
        ("96 C core", "", []),
        ("96 C core", "  altitude: 1600 m\n", []),
        ("98 C core", "  altitude: 2000 m\n", ["hotter-than-boiling"]),
    ],
)
def test_the_middle_gets_no_hotter_than_boiling(heat: str, altitude: str, rules: list[str]) -> None:
    found = told(f"kitchen Far\n  measures:  metric\n{altitude}", rice(f"  Bake to [{heat}].\n"))
    assert found == rules


# ---------------------------------------------------------------- the tap


def mixed(target: str, kitchen: str) -> list[Finding]:
    text = loaf().replace("[10 min]", f"to [{target} dough], [10 min]")
    return checked(f"kitchen Far\n  measures:  metric\n{kitchen}", text)


COLD = "  room: {} C\n  tap water: 8-55 C\n  friction: 11 C in the mixer\n"


@pytest.mark.parametrize(
    ("target", "room", "rules"),
    [
        ("25 C", 21, []),
        ("24 C", 26, []),
        ("24 C", 27, ["tap-cannot-reach"]),  # 7 C
        ("24-26 C", 27, []),  # 13 C at the warm end
        ("30 C", 12, []),  # 55 C
        ("30 C", 11, ["tap-cannot-reach"]),
    ],
)
def test_colder_or_hotter_than_the_tap(target: str, room: int, rules: list[str]) -> None:
    found = mixed(target, COLD.format(room))
    assert [one.rule for one in found] == rules
    for one in found:
        assert one.severity is Severity.HINT
        assert one.span.text == f"[{target} dough]"


def test_it_says_how_much_ice() -> None:
    (found,) = mixed("24 C", COLD.format(30))
    ice = ice_instead(Fraction(340), Fraction(8), Fraction(1))
    assert f"{round(ice)} g of ice" in found.help
    assert "340 g" in found.help


def test_without_a_tap_only_ice_and_steam_are_out_of_reach() -> None:
    assert mixed("24 C", "  room: 27 C\n  friction: 11 C in the mixer\n") == []
    assert [one.rule for one in mixed("24 C", "  room: 31 C\n  friction: 11 C in the mixer\n")] == [
        "tap-cannot-reach"
    ]


def test_hot_water_that_would_harm_the_yeast_is_not_advised() -> None:
    (found,) = mixed("30 C", COLD.format(9))
    assert "yeast" in found.help


# ---------------------------------------------------------------- specific heats


@pytest.mark.parametrize(
    ("written", "rules"),
    [
        ("3.9 kJ for 1 kg and 1 C", []),
        ("3.9 kJ for 1 kg and 1 °C", []),
        ("0.5 kJ for 1 kg and 1 C", []),
        ("0.4 kJ for 1 kg and 1 C", ["specific-heat-not-read"]),
        ("39 kJ for 1 kg and 1 C", ["specific-heat-not-read"]),
        ("3.9", ["specific-heat-not-read"]),
        ("high", ["specific-heat-not-read"]),
    ],
)
def test_a_specific_heat(written: str, rules: list[str]) -> None:
    assert told(f"ingredient strong flour\n  kind: flour\n  specific heat: {written}\n") == rules
