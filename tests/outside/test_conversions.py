"""Every size in `grammar/units.txt` against its published figure, and against two foreign units libraries.

`data/kitchen_measures.csv` names the source of each figure, and whether it was read (`seen`) or remembered
(`memory`). Figures that a source calls exact must be equal to ours as fractions. Figures that a source
rounded must be equal to ours to the digits it prints. The libraries compute in binary floating point, so they
get a relative 1e-12, and temperatures 1e-9 of a degree.
"""

import csv
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path

import pytest

from benchproof.compiler.quantities import BASES, REGIONAL, SYSTEMS, UNITS, UnknownMeasure, convert, size

TABLE = Path(__file__).parent / "data" / "kitchen_measures.csv"
with TABLE.open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))

FLOAT = Fraction(1, 10**12)


def published(system, measure):
    rows = [row for row in ROWS if (row["system"], row["measure"]) == (system, measure)]
    assert len(rows) == 1, f"{len(rows)} rows for {system}, {measure}"
    (row,) = rows
    assert row["source"], "a figure without a source"
    assert row["seen"] in ("seen", "memory")
    return row


# Our system and unit; the row's system and measure. Exact, or exact by convention.
EXACT = [
    ("US", "gallon", "US customary", "gallon"),
    ("US", "quart", "US customary", "quart (liquid)"),
    ("US", "pint", "US customary", "pint (liquid)"),
    ("US", "cup", "US customary", "cup"),
    ("US", "fl_oz", "US customary", "fluid ounce"),
    ("US", "tbsp", "US customary", "tablespoon"),
    ("US", "tsp", "US customary", "teaspoon"),
    ("UK", "gallon", "UK imperial", "gallon"),
    ("UK", "quart", "UK imperial", "quart"),
    ("UK", "pint", "UK imperial", "pint"),
    ("UK", "fl_oz", "UK imperial", "fluid ounce"),
    ("UK", "cup", "UK imperial", "cup (half pint)"),
    ("UK", "tbsp", "Metric (NZ/UK/US label/CA)", "tablespoon"),
    ("UK", "tbsp", "GNU units", "brtablespoon"),
    ("UK", "cup", "GNU units", "brcup"),
    ("metric", "tbsp", "Metric (NZ/UK/US label/CA)", "tablespoon"),
    ("metric", "cup", "Metric (AU/NZ/CA)", "metric cup"),
    ("metric", "cup", "GNU units", "metriccup"),
    ("metric", "tsp", "Metric (AU)", "teaspoon"),
    ("Australian", "tsp", "Metric (AU)", "teaspoon"),
    ("Australian", "tbsp", "Metric (AU)", "tablespoon"),
    ("Australian", "tbsp", "GNU units", "australiatablespoon"),
    ("Australian", "cup", "Metric (AU/NZ/CA)", "metric cup"),
    ("US", "lb", "Mass", "pound (avoirdupois)"),
    ("US", "oz", "Mass", "ounce (avoirdupois)"),
]
IN_OURS = {"mL": "ml", "g": "g"}


@pytest.mark.parametrize(("system", "unit", "their_system", "measure"), EXACT)
def test_exact_figures_are_equal(system, unit, their_system, measure):
    row = published(their_system, measure)
    assert row["exactness"].startswith(("exact", "convention"))
    assert convert(Fraction(1), unit, IN_OURS[row["unit"]], system) == Fraction(row["value"])


# Rounded by their publisher: equal to the digits printed. SP 811 has seven, from memory; SP 430 two or three.
ROUNDED = [
    ("US", "cup", "SP 811 factor", "cup (U.S.)"),
    ("US", "fl_oz", "SP 811 factor", "fluid ounce (U.S.)"),
    ("US", "gallon", "SP 811 factor", "gallon (U.S.)"),
    ("US", "pint", "SP 811 factor", "pint (U.S. liquid)"),
    ("US", "quart", "SP 811 factor", "quart (U.S. liquid)"),
    ("US", "tbsp", "SP 811 factor", "tablespoon"),
    ("US", "tsp", "SP 811 factor", "teaspoon"),
    ("US", "oz", "SP 811 factor", "ounce (avoirdupois)"),
    ("US", "lb", "SP 811 factor", "pound (avoirdupois)"),
    ("UK", "gallon", "SP 811 factor", "gallon [Canadian and U.K. (Imperial)]"),
    ("UK", "fl_oz", "SP 811 factor", "ounce [Canadian and U.K. fluid (Imperial)]"),
    ("US", "tsp", "NIST SP 430 table", "teaspoonful"),
    ("US", "tbsp", "NIST SP 430 table", "tablespoonful"),
    ("US", "fl_oz", "NIST SP 430 table", "fluid ounce"),
    ("US", "cup", "NIST SP 430 table", "cupful"),
    ("US", "pint", "NIST SP 430 table", "liquid pint"),
    ("US", "quart", "NIST SP 430 table", "liquid quart"),
    ("US", "lb", "NIST metric kitchen (approximate)", "pound"),
    ("US", "oz", "NIST metric kitchen (approximate)", "ounce"),
]
THEIR_UNIT = {"mL": Fraction(1), "g": Fraction(1), "m3": Fraction(10**6), "kg": Fraction(1000)}


def last_digit(figure):
    """The size of one in the last digit printed: 2.365882E-04 -> 1e-10."""
    mantissa, _, exponent = figure.partition("E")
    places = len(mantissa.partition(".")[2])
    return Fraction(10) ** (int(exponent or 0) - places)


def test_the_last_digit():
    assert last_digit("2.365882E-04") == Fraction(1, 10**10)
    assert last_digit("4.9") == Fraction(1, 10)
    assert last_digit("454") == 1


@pytest.mark.parametrize(("system", "unit", "their_system", "measure"), ROUNDED)
def test_rounded_figures_are_equal_to_the_digits_printed(system, unit, their_system, measure):
    row = published(their_system, measure)
    scale = THEIR_UNIT[row["unit"]]
    digit = (
        10 if (their_system, measure) == ("NIST SP 430 table", "fluid ounce") else last_digit(row["value"])
    )
    assert abs(size(unit, system) - Fraction(row["value"]) * scale) <= digit * scale / 2


def test_a_kilowatt_hour():
    row = published("Energy", "kilowatt hour")
    assert convert(Fraction(1), "kWh", "MJ") == Fraction(row["value"])


def test_fahrenheit_by_the_published_formula():
    assert published("Temperature", "F to C")["value"] == "(F-32)*5/9"
    for degrees in (-40, 0, 32, 41, 98, 145, 165, 212, 350, 500):
        assert convert(Fraction(degrees), "F", "C") == (Fraction(degrees) - 32) * 5 / 9


@pytest.mark.parametrize("mark", range(1, 10))
def test_fahrenheit_against_the_gas_mark_table(mark):
    row = published("Temperature", f"gas mark {mark}")  # 275 F and 25 F a mark, printed in tenths of a C
    assert abs(convert(Fraction(250 + 25 * mark), "F", "C") - Fraction(row["value"])) <= Fraction(1, 20)


def test_the_fda_label_spoons_and_cup_are_not_ours():
    """They are for labels only. Whoever makes them a system must mean to."""
    for unit, ours in (("cup", Fraction(250)), ("tbsp", Fraction(15)), ("tsp", Fraction(5))):
        assert size(unit, "metric") == ours
    assert Fraction(published("US FDA nutrition labelling", "cup")["value"]) == 240


def test_every_regional_size_has_a_published_figure():
    compared = {(system, unit) for system, unit, *_ in EXACT}
    # No source was read for the metric teaspoon of the UK: common practice. GNU units has it, below.
    unsourced = {("UK", "tsp")}
    ours = set()
    for system in SYSTEMS:
        for unit in REGIONAL:
            try:
                size(unit, system)
            except UnknownMeasure:
                continue
            ours.add((system, unit))
    assert ours - compared == unsourced


# ---------------------------------------------------------------- independent libraries

GNU = {
    ("metric", "cup"): "metriccup",
    ("Australian", "tsp"): "australiateaspoon",
    ("Australian", "tbsp"): "australiatablespoon",
    ("US", "tsp"): "teaspoon",
    ("US", "tbsp"): "tablespoon",
    ("US", "cup"): "cup",
    ("US", "fl_oz"): "usfloz",
    ("US", "pint"): "uspint",
    ("US", "quart"): "usquart",
    ("US", "gallon"): "usgallon",
    ("UK", "tsp"): "brteaspoon",
    ("UK", "tbsp"): "brtablespoon",
    ("UK", "cup"): "brcup",
    ("UK", "fl_oz"): "brfloz",
    ("UK", "pint"): "brpint",
    ("UK", "quart"): "brquart",
    ("UK", "gallon"): "brgallon",
    ("metric", "mg"): "milligram",
    ("metric", "kg"): "kilogram",
    ("metric", "oz"): "ounce",
    ("metric", "lb"): "pound",
    ("metric", "cl"): "centiliter",
    ("metric", "dl"): "deciliter",
    ("metric", "l"): "liter",
    ("metric", "min"): "minute",
    ("metric", "h"): "hour",
    ("metric", "day"): "day",
    ("metric", "week"): "week",
    ("metric", "cm"): "centimeter",
    ("metric", "m"): "meter",
    ("metric", "inch"): "inch",
    ("metric", "ft"): "foot",
    ("metric", "MJ"): "megajoule",
    ("metric", "F"): "degF",
}
GNU_BASE = {
    "g": "gram",
    "ml": "milliliter",
    "s": "second",
    "mm": "millimeter",
    "C": "degC",
    "kWh": "kilowatt hour",
}


def gnu(have, want):
    asked = subprocess.run(
        ["units", "--terse", "--digits", "17", have, want],
        capture_output=True,
        text=True,
        check=True,
        env={"PATH": "/usr/bin:/bin:/usr/local/bin", "LC_ALL": "C"},
    )
    return Fraction(asked.stdout.strip())


def gnu_is_here():
    # Other systems have another program of that name, without the spoons.
    if shutil.which("units") is None:
        return False
    return "GNU Units" in subprocess.run(["units", "--version"], capture_output=True, text=True).stdout


needs_gnu = pytest.mark.skipif(
    not gnu_is_here(), reason="GNU units is not installed here (apt-get install units)"
)


def near(ours, theirs):
    return abs(ours - theirs) <= FLOAT * abs(ours)


def base_of(unit):
    return BASES[next(known.dimension for known in UNITS.values() if known.name == unit)]


@needs_gnu
@pytest.mark.parametrize(("ours", "theirs"), GNU.items())
def test_gnu_units_agrees(ours, theirs):
    system, unit = ours
    assert near(size(unit, system), gnu(theirs, GNU_BASE[base_of(unit)]))


@needs_gnu
@pytest.mark.parametrize("degrees", [-40, 0, 5, 60, 74, 100, 180, 240])
def test_gnu_units_agrees_on_temperatures(degrees):
    theirs = gnu(f"tempC({degrees})", "tempF")
    assert abs(convert(Fraction(degrees), "C", "F") - theirs) <= Fraction(1, 10**9)


PINT = {
    ("US", "tsp"): "teaspoon",
    ("US", "tbsp"): "tablespoon",
    ("US", "cup"): "cup",
    ("US", "fl_oz"): "fluid_ounce",
    ("US", "pint"): "pint",
    ("US", "quart"): "quart",
    ("US", "gallon"): "gallon",
    ("UK", "fl_oz"): "imperial_fluid_ounce",
    ("UK", "cup"): "imperial_cup",
    ("UK", "pint"): "imperial_pint",
    ("UK", "quart"): "imperial_quart",
    ("UK", "gallon"): "imperial_gallon",
    ("metric", "mg"): "milligram",
    ("metric", "kg"): "kilogram",
    ("metric", "oz"): "ounce",
    ("metric", "lb"): "pound",
    ("metric", "cl"): "centiliter",
    ("metric", "dl"): "deciliter",
    ("metric", "l"): "liter",
    ("metric", "min"): "minute",
    ("metric", "h"): "hour",
    ("metric", "day"): "day",
    ("metric", "week"): "week",
    ("metric", "cm"): "centimeter",
    ("metric", "m"): "meter",
    ("metric", "inch"): "inch",
    ("metric", "ft"): "foot",
    ("metric", "MJ"): "megajoule",
    ("metric", "F"): "delta_degF",
}
PINT_BASE = {
    "g": "gram",
    "ml": "milliliter",
    "s": "second",
    "mm": "millimeter",
    "C": "delta_degC",
    "kWh": "kilowatt_hour",
}


@pytest.fixture(scope="module")
def default_registry():
    """pint with its *own* definitions, which are not ours and were not used to make ours."""
    from pint import UnitRegistry

    return UnitRegistry()


@pytest.mark.parametrize(("ours", "theirs"), PINT.items())
def test_pints_own_definitions_agree(default_registry, ours, theirs):
    system, unit = ours
    found = default_registry.Quantity(1, theirs).to(PINT_BASE[base_of(unit)]).magnitude
    assert near(size(unit, system), Fraction(found))


@pytest.mark.parametrize("degrees", [-40, 0, 5, 60, 74, 100, 180, 240])
def test_pints_own_definitions_agree_on_temperatures(default_registry, degrees):
    found = default_registry.Quantity(degrees, "degC").to("degF").magnitude
    assert abs(convert(Fraction(degrees), "C", "F") - Fraction(found)) <= Fraction(1, 10**9)


def test_every_unit_is_compared_with_a_library():
    bases = set(BASES.values())
    compared = {unit for _, unit in GNU} | {unit for _, unit in PINT} | bases
    # A month of 30 days is our own convention: libraries take a twelfth of a year.
    assert {unit.name for unit in UNITS.values()} - compared == {"month"}
