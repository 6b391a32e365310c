"""Worked examples of dough temperatures, ice and boiling, computed again, and two foreign programs of physics.

`data/formula_examples.csv` and `data/thermal.csv` name the text of each figure, and whether it was read (`seen`), is
arithmetic on figures that were (`derived`), or is remembered (`memory`). The exact value is asserted, and beside it how
far the print is from it. Where the print itself is wrong, a test says so and why ours differs.
"""

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from benchproof.compiler.batch import WaterFor
from benchproof.compiler.heat import (
    FLOUR_HEAT,
    FUSION,
    WATER_HEAT,
    Portion,
    bench_rule,
    boiling_point,
    choi_okos,
    heat_balance,
    ice_instead,
    waters,
)
from tests.compiler.bench import compile_text, kitchen_of

pytestmark = pytest.mark.outside

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


EXAMPLES = rows("formula_examples.csv")
THERMAL = rows("thermal.csv")


def text(example: str, quantity: str) -> str:
    of = [row for row in EXAMPLES if row["example"].split()[0] == example]
    found = [row for row in of if row["quantity"] == quantity]
    found = found or [row for row in of if row["quantity"].startswith(quantity)]
    assert len(found) == 1, f"{len(found)} rows of {example} {quantity!r}"
    assert found[0]["source"], "a figure without a source"
    assert found[0]["seen"] in ("seen", "derived")
    return found[0]["value"]


def figure(example: str, quantity: str) -> Fraction:
    return Fraction(text(example, quantity))


def celsius(fahrenheit: Fraction) -> Fraction:
    return (fahrenheit - 32) * 5 / 9


def difference(fahrenheit: Fraction) -> Fraction:
    return fahrenheit * 5 / 9


def asked(kitchen: str, step: str, more: str = "") -> WaterFor:
    """The water for a plain dough of 65 % hydration, in a kitchen of these lines."""
    texts = (
        f"kitchen Far\n{kitchen}",
        "recipe Loaf\n  makes: 1 loaf\n  base: strong flour\n\ningredients\n  strong flour: 1000 g\n"
        f"  water: 65 %\n\n{more}step Mix\n{step}",
    )
    compiled = compile_text(texts[1], texts[0])
    (water,) = waters(kitchen_of(*texts).settings, compiled.formula, compiled.method, Fraction(1))
    return water


def shown_in_fahrenheit(water: Fraction) -> int:
    return round(water * 9 / 5 + 32)


# ---------------------------------------------------------------- the bench rule


def test_e06_three_factors() -> None:
    target, flour, room = (
        celsius(figure("E06", name)) for name in ("desired dough temperature", "flour", "room")
    )
    friction = difference(figure("E06", "friction factor"))
    printed = figure("E06", "water temperature")
    assert bench_rule(target, [flour, room], friction) == celsius(printed)
    assert (
        figure("E06", "base temperature")
        - sum((figure("E06", n) for n in ("flour", "room")), Fraction(0))
        - figure("E06", "friction factor")
        == printed
        == 87
    )


def test_e06_from_a_kitchen_that_thinks_in_fahrenheit() -> None:
    # Its friction is a difference: 8 F is 4.4 C, not minus 13 C.
    water = asked(
        f"  room: {text('E06', 'room')} F\n  flour: {text('E06', 'flour')} F\n"
        f"  friction: {text('E06', 'friction factor')} F by hand\n",
        f"  Mix [the strong flour] and [the water] to [{text('E06', 'desired')} F dough], [5 min].\n",
    )
    assert water.by_rule is not None
    assert water.by_rule.low == water.by_rule.high == Fraction("30.56")
    assert shown_in_fahrenheit(water.by_rule.low) == figure("E06", "water temperature")


def test_e07_friction_by_the_minute() -> None:
    friction = figure("E07", "mix time") * figure("E07", "friction per minute")
    found = bench_rule(
        celsius(figure("E07", "desired dough temperature")),
        [celsius(figure("E07", "flour")), celsius(figure("E07", "room"))],
        difference(friction),
    )
    assert found == celsius(figure("E07", "water temperature")) == celsius(Fraction(88))


def test_e08_four_factors() -> None:
    known = [celsius(figure("E08", name)) for name in ("flour", "room", "preferment")]
    target, friction = (
        celsius(figure("E08", "desired dough temperature")),
        difference(figure("E08", "friction factor")),
    )
    assert (
        bench_rule(target, known, friction)
        == celsius(figure("E08", "water temperature"))
        == celsius(Fraction(92))
    )


def test_e08_from_a_recipe_with_a_preferment() -> None:
    water = asked(
        f"  room: {text('E08', 'room')} F\n  flour: {text('E08', 'flour')} F\n  friction: 8 F by hand\n",
        f"  Mix [the Poolish] at [{text('E08', 'preferment')} F], [the strong flour] and [the water] to "
        f"[{text('E08', 'desired')} F dough], [5 min].\n",
        "preferment Poolish, 20 % of the flour\n  water: 100 %\n\n"
        "step Poolish, for the Poolish\n  Mix [the strong flour] and [the water], [3 min].\n\n",
    )
    assert water.by_rule is not None
    assert shown_in_fahrenheit(water.by_rule.low) == figure("E08", "water temperature")
    assert water.water == 450  # the final dough's own


def test_e09_in_celsius() -> None:
    figures = {name: figure("E09", name) for name in ("desired", "room", "flour", "friction", "water temp")}
    found = bench_rule(figures["desired"], [figures["flour"], figures["room"]], figures["friction"])
    assert found == figures["water temp"] == 22


def test_e09_the_writer_took_the_factor_for_a_rise() -> None:
    # 4.77, printed as 5: equal specific heats, and the whole friction *factor* of 10 as a rise of the dough. By the
    # rule's own algebra a factor of 10 is a rise of 3.3, and then the balance is within 4 degrees of the rule's 22.
    flour = [Portion(Fraction(100), Fraction(1), figure("E09", "flour"))]
    factor, target = figure("E09", "friction"), figure("E09", "desired")
    theirs = heat_balance(flour, Fraction(65), target, factor, water_heat=Fraction(1))
    assert theirs == ((24 - 10) * Fraction("1.65") - 20) / Fraction("0.65")
    assert round(theirs) == figure("E09", "naive mass balance")
    ours = heat_balance(flour, Fraction(65), target, factor / 3, water_heat=Fraction(1))
    assert abs(ours - theirs) > 16
    assert abs(ours - figure("E09", "water temp")) < 4


# ---------------------------------------------------------------- the heat balance


def test_e10_the_balance_with_specific_heats() -> None:
    flour = [Portion(figure("E10", "flour"), Fraction("1.943"), Fraction(20))]
    found = heat_balance(flour, figure("E10", "water"), figure("E10", "target"), water_heat=Fraction("4.18"))
    assert found == (
        24 * (1000 * Fraction("1.943") + 650 * Fraction("4.18")) - 20 * 1000 * Fraction("1.943")
    ) / (650 * Fraction("4.18"))
    assert round(found, 2) == figure("E10", "water temperature")


def test_e10_from_a_kitchen_whose_flour_says_its_specific_heat() -> None:
    water = asked(
        "  room: 20 C\n\ningredient strong flour\n  kind: flour\n  specific heat: 1.943 kJ for 1 kg and 1 C\n",
        "  Mix [the strong flour] and [the water] to [24 C dough], [5 min].\n",
    )
    assert water.by_balance is not None
    assert water.by_rule is not None
    assert water.by_balance.low == figure("E10", "water temperature")
    assert water.by_rule.low == figure("E10", "3-factor rule") == 32
    assert "the mixing" in " ".join(water.assumed)


# ---------------------------------------------------------------- ice

ICE = [row for row in EXAMPLES if row["example"].startswith("E11") and row["quantity"].startswith("per lb")]


@pytest.mark.parametrize("row", ICE, ids=lambda row: row["quantity"])
def test_e11_the_trade_table(row: dict[str, str]) -> None:
    words = row["quantity"].replace(",", "").split()
    tap, wanted = (celsius(Fraction(words[words.index(word) + 1])) for word in ("tap", "wanted"))
    ours = ice_instead(Fraction(1), tap, wanted)
    assert ours == (tap - wanted) / (tap + FUSION / WATER_HEAT)
    printed = Fraction(row["value"])
    assert abs(ours - printed) <= printed * Fraction(15, 1000)
    # Its own rule, with 144 BTU a pound and 32 F: the same to 0.1 %.
    tap_f, wanted_f = (Fraction(words[words.index(word) + 1]) for word in ("tap", "wanted"))
    rule = (tap_f - wanted_f) / (tap_f + 112)
    assert abs(ours - rule) <= rule / 1000


def test_e12_the_printed_ice_is_wrong() -> None:
    # The article says that 4.4 kg of the 40 kg of water go in as ice. That much ice *added* to all 40 kg cools it to
    # 10 C, and then there are 44.4 kg of water in the dough. Replacing, as it says, takes 4.0 kg.
    water, tap, wanted = (figure("E12", name) for name in ("water", "tap", "wanted"))
    printed = figure("E12", "printed ice")
    ours = ice_instead(water, tap, wanted)
    assert ours == 400 / (20 + Fraction("334.6") / Fraction("4.18"))
    assert round(ours, 2) == figure("E12", "ice by heat balance") == 4
    added = water * (tap - wanted) / (wanted + FUSION / WATER_HEAT)
    assert abs(added - figure("E12", "ice if added")) < Fraction(1, 100)
    assert abs(added - printed) < Fraction(5, 100)

    def mixed(ice: Fraction) -> Fraction:
        """What 40 kg, `ice` of it ice at 0 C, come to."""
        return ((water - ice) * WATER_HEAT * tap - ice * FUSION) / (water * WATER_HEAT)

    assert mixed(ours) == wanted
    assert mixed(printed) < wanted - Fraction(9, 10)


# ---------------------------------------------------------------- specific heats


def thermal(group: str, item: str) -> dict[str, str]:
    (row,) = [row for row in THERMAL if (row["group"], row["item"]) == (group, item)]
    assert row["source"]
    return row


@pytest.mark.parametrize(
    ("item", "composition"),
    [  # USDA SR28: water, fat, protein, carbohydrate, ash, in g of 100 g
        ("wheat flour, white", "11.92 0.98 10.33 76.31 0.47"),
        ("milk, whole", "88.13 3.25 3.15 4.80 0.67"),
        ("egg, whole", "76.15 9.51 12.56 0.72 1.06"),
        ("olive oil", "0 100 0 0 0"),
    ],
)
def test_choi_and_okos_by_composition(item: str, composition: str) -> None:
    water, fat, protein, carbohydrate, ash = (Fraction(share) / 100 for share in composition.split())
    ours = choi_okos(water, fat, protein, carbohydrate, ash=ash)
    printed = Fraction(thermal("computed cp", item)["value"])
    assert abs(ours - printed) <= Fraction(5, 1000)


def test_measured_figures_we_use() -> None:
    low, high = (Fraction(end) for end in thermal("measured cp", "flour")["value"].split("-"))
    assert (low + high) / 2 == FLOUR_HEAT
    for degrees in (10, 20, 30, 40, 60):
        row = thermal("water cp", f"liquid water at {degrees} C")
        assert abs(Fraction(row["value"]) / WATER_HEAT - 1) < Fraction(4, 1000)
    fusions = [
        Fraction(row["value"])
        for row in THERMAL
        if row["item"] == "ice, fusion (trade)" and "kJ" in row["unit"]
    ]
    assert fusions == [FUSION]


def test_the_equations_overstate_dry_sugar_and_salt_as_the_table_says() -> None:
    """Which is why the measured figures go first."""
    sugar = choi_okos(Fraction(0), Fraction(0), Fraction(0), Fraction(1))
    salt = choi_okos(Fraction(0), Fraction(0), Fraction(0), Fraction(0), ash=Fraction(1))
    assert Fraction(125, 100) < sugar / Fraction("1.24") < Fraction(130, 100)
    assert Fraction(128, 100) < salt / Fraction("0.864") < Fraction(132, 100)


# ---------------------------------------------------------------- boiling

TABLE = [row for row in THERMAL if row["group"] == "boiling" and row["item"].endswith(" ft")]


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row["item"])
def test_boiling_against_the_printed_table(row: dict[str, str]) -> None:
    assert row["seen"] == "seen"
    height = Fraction(row["item"].removesuffix(" ft")) * Fraction(3048, 10000)
    ours = boiling_point(height) * 9 / 5 + 32
    # The table rounds to whole degrees C and goes by 0.91 F for 500 ft: half a degree F off at the top of it.
    assert abs(ours - Fraction(row["value"])) <= Fraction(55, 100)


def test_the_rule_of_thumb_is_two_degrees_low_at_15000_feet() -> None:
    ours = boiling_point(Fraction(4572)) * 9 / 5 + 32
    assert 2 < ours - (212 - 15000 // 500) < Fraction(27, 10)


@pytest.mark.parametrize("metres", [0, 120, 500, 1000, 1524, 2500, 3500, 4572])
def test_boiling_against_iapws_and_the_standard_atmosphere(metres: int) -> None:
    fluids = pytest.importorskip("fluids", reason="the package fluids is not installed")
    iapws = pytest.importorskip("iapws", reason="the package iapws is not installed")
    pressure = fluids.ATMOSPHERE_1976(metres).P / 1e6
    boils = iapws.IAPWS97(P=pressure, x=0).T - 273.15
    assert abs(float(boiling_point(Fraction(metres))) - boils) < 0.1


@pytest.mark.parametrize("degrees", [10, 20, 30, 40, 60])
def test_water_against_iapws(degrees: int) -> None:
    iapws = pytest.importorskip("iapws", reason="the package iapws is not installed")
    theirs = iapws.IAPWS97(P=0.101325, T=273.15 + degrees).cp
    assert abs(theirs / float(WATER_HEAT) - 1) < 0.004
