"""Units and conversions: exact, closed, and with pint behind one door."""

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler import quantities
from benchproof.compiler.quantities import (
    BASES,
    REGIONAL,
    SYSTEMS,
    UNITS,
    MeasureError,
    UnknownMeasure,
    UnlikeMeasures,
    base,
    celsius,
    celsius_difference,
    convert,
    extent,
    fahrenheit,
    nearest_units,
    size,
)
from benchproof.compiler.source import Place, Source, Span
from benchproof.compiler.syntax import Quantity, Term

NAMES = sorted({unit.name for unit in UNITS.values()})
DIMENSIONS = {unit.name: unit.dimension for unit in UNITS.values()}


def quantity(dimension, low, high):
    return Quantity(dimension, tuple(low), tuple(high), Span(Place(Source("")), 0, 0))


def has_size(unit, system):
    return unit not in {"pint", "quart", "gallon", "fl_oz"} or system in ("US", "UK")


# ---------------------------------------------------------------- properties

numbers = st.fractions(min_value=-1000, max_value=10**9, max_denominator=10**6)
pairs = st.sampled_from([(a, b) for a in NAMES for b in NAMES if DIMENSIONS[a] == DIMENSIONS[b]])


@settings(deadline=None)
@given(numbers, pairs, st.sampled_from(["US", "UK"]))
def test_there_and_back_is_identity_and_exact(value, pair, system):
    there = convert(value, *pair, system)
    assert type(there) is Fraction
    assert convert(there, *reversed(pair), system) == value


@settings(deadline=None)
@given(numbers, numbers, st.sampled_from([name for name in NAMES if DIMENSIONS[name] != "temperature"]))
def test_a_sum_of_terms_is_the_sum_of_their_sizes(one, other, unit):
    terms = [Term(one, unit, "US"), Term(other, unit, "US")]
    assert base(terms) == (one + other) * size(unit, "US")


@settings(deadline=None)
@given(numbers, numbers, st.sampled_from(["C", "F"]))
def test_a_difference_of_temperatures_is_the_difference_of_the_absolute_ones(one, other, unit):
    rise = celsius_difference(Term(one - other, unit))
    assert rise == celsius(Term(one, unit)) - celsius(Term(other, unit))


# ---------------------------------------------------------------- the table


@pytest.mark.parametrize("spelling", UNITS)
@pytest.mark.parametrize("system", SYSTEMS)
def test_every_spelling_walks(spelling, system):
    unit = UNITS[spelling]
    assert unit.dimension in BASES
    if not has_size(unit.name, system):
        with pytest.raises(UnknownMeasure):
            size(unit.name, system)
        return
    one = convert(Fraction(1), unit.name, BASES[unit.dimension], system)
    assert type(one) is Fraction
    assert one > 0 or unit.dimension == "temperature"


def test_every_spelling_in_use_is_there():
    written = """
        mg g gram grams kg kilogram kilograms oz ounce ounces lb lbs pound pounds
        ml cl dl l L litre litres tsp teaspoon teaspoons tbsp tablespoon tablespoons
        cup cups pint pints quart quarts gallon gallons
        s sec second seconds min minute minutes h hour hours day days week weeks month months
        mm cm m inch inches in ft C °C F °F kWh MJ
    """
    assert set(UNITS) == {*written.split(), "fl oz"}


def test_case_is_part_of_a_spelling():
    assert not {"G", "Kg", "ML", "Cup", "c", "f", "H", "Min"} & set(UNITS)


def test_the_table_cannot_be_changed():
    with pytest.raises(TypeError):
        UNITS["stone"] = UNITS["lb"]


SIZES = {
    "metric": {"tsp": "5", "tbsp": "15", "cup": "250"},
    "Australian": {"tsp": "5", "tbsp": "20", "cup": "250"},
    "US": {
        "tsp": "4.92892159375",
        "tbsp": "14.78676478125",
        "cup": "236.5882365",
        "pint": "473.176473",
        "quart": "946.352946",
        "gallon": "3785.411784",
        "fl_oz": "29.5735295625",
    },
    "UK": {
        "tsp": "5",
        "tbsp": "15",
        "cup": "284.130625",
        "pint": "568.26125",
        "quart": "1136.5225",
        "gallon": "4546.09",
        "fl_oz": "28.4130625",
    },
}


@pytest.mark.parametrize("system", SYSTEMS)
def test_regional_sizes_as_the_docstring_states_them(system):
    assert {unit: size(unit, system) for unit in REGIONAL if has_size(unit, system)} == {
        unit: Fraction(ml) for unit, ml in SIZES[system].items()
    }


def test_times_as_stated():
    assert [size(unit) for unit in ("s", "min", "h", "day", "week", "month")] == [
        1,
        60,
        3600,
        86400,
        7 * 86400,
        30 * 86400,
    ]


# ---------------------------------------------------------------- sums and ranges


def test_a_compound_is_summed():
    assert base([Term(Fraction(1), "lb"), Term(Fraction(4), "oz")]) == Fraction("566.9904625")
    assert base([Term(Fraction(1), "h"), Term(Fraction(30), "min")]) == 5400


def test_the_terms_own_system_goes_before_the_kitchens():
    assert base([Term(Fraction(1), "cup", "US")], "metric") == Fraction("236.5882365")
    assert base([Term(Fraction(1), "cup")], "UK") == Fraction("284.130625")
    assert base([Term(Fraction(1), "tbsp")], "Australian") == 20


def test_a_range_has_two_ends():
    assert extent(quantity("time", [Term(Fraction(20), "min")], [Term(Fraction(1), "h")])) == (1200, 3600)
    cup = [Term(Fraction(1), "cup")]
    assert extent(quantity("volume", cup, cup), "US") == (Fraction("236.5882365"), Fraction("236.5882365"))


def test_a_range_of_temperatures_is_absolute():
    assert extent(quantity("temperature", [Term(Fraction(32), "F")], [Term(Fraction(212), "F")])) == (0, 100)


def test_a_system_changes_nothing_where_there_is_one_size():
    assert size("ml", "US") == size("ml", "UK") == 1
    assert size("lb", "UK") == size("lb", "US") == Fraction("453.59237")


# ---------------------------------------------------------------- refusals


@pytest.mark.parametrize("unit", ["pint", "quart", "gallon", "fl_oz"])
@pytest.mark.parametrize("system", ["metric", "Australian"])
def test_a_metric_pint_is_refused_with_what_to_write(unit, system):
    with pytest.raises(UnknownMeasure) as refused:
        base([Term(Fraction(1), unit)], system)
    shown = unit.replace("_", " ")
    assert f"“US {shown}”" in str(refused.value)
    assert f"“UK {shown}”" in str(refused.value)


def test_the_sizes_in_that_refusal_are_right():
    with pytest.raises(UnknownMeasure, match=r"US fl oz” \(29\.6 ml\) or “UK fl oz” \(28\.4 ml\)"):
        size("fl_oz")


def test_an_unknown_system_is_refused():
    with pytest.raises(UnknownMeasure, match="metric, US, UK or Australian"):
        base([Term(Fraction(1), "cup", "Canadian")])


def test_an_unknown_unit_is_refused_with_a_question():
    with pytest.raises(UnknownMeasure, match="Did you mean tbsp"):
        convert(Fraction(1), "tbs", "ml")


def test_weight_and_volume_never_meet_without_a_density():
    with pytest.raises(UnlikeMeasures, match="density"):
        convert(Fraction(1), "cup", "g")
    with pytest.raises(UnlikeMeasures, match="density"):
        base([Term(Fraction(1), "g"), Term(Fraction(1), "ml")])


def test_only_like_converts_to_like():
    for one in NAMES:
        for other in NAMES:
            if DIMENSIONS[one] != DIMENSIONS[other]:
                with pytest.raises(UnlikeMeasures):
                    convert(Fraction(1), one, other, "US")


def test_no_terms_is_a_fault_of_ours_not_a_nothing():
    with pytest.raises(ValueError, match="no terms"):
        base([])


# ---------------------------------------------------------------- traps of pint, each by name


def test_trap_pint_is_not_imported_before_it_is_needed():
    code = (
        "import sys; from benchproof.compiler import quantities as q; q.nearest_units('tbs');"
        "assert 'pint' not in sys.modules; q.size('g'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_trap_pints_parser_never_sees_source_text():
    for text in ("1 1/2 cup", "1½ cup", "pinch", "pat", "2 g", "g g", "nan", "cup**2", "kcup", "", "*"):
        with pytest.raises(UnknownMeasure):
            convert(Fraction(1), text, "ml")


def test_trap_no_prefix_goes_on_any_unit():
    registry = quantities._registry()
    for word in ("pinch", "kcup", "pkt", "mas", "kilog", "millig", "milliUS_cup"):
        assert word not in registry


def test_trap_pints_own_definitions_are_not_loaded():
    registry = quantities._registry()
    for word in ("meter", "tesla", "parsec", "coulomb", "degC"):
        assert word not in registry


def test_trap_a_unit_defined_twice_is_refused_not_logged():
    registry = quantities._registry()
    with pytest.raises(Exception, match="Cannot redefine"):
        registry.define("US_cup = 250 * ml")


def test_trap_thirds_are_exact():
    assert convert(Fraction(1, 3), "cup", "ml", "US") == Fraction(157725491, 2000000)
    assert celsius(Term(Fraction(350), "F")) == Fraction(530, 3)


@pytest.mark.parametrize("inexact", [0.1, float("nan"), "1", None])
def test_trap_one_float_would_make_all_floats(inexact):
    with pytest.raises(TypeError, match="exact fractions"):
        convert(inexact, "g", "kg")
    with pytest.raises(TypeError, match="exact fractions"):
        base([Term(inexact, "g")])
    with pytest.raises(TypeError, match="exact fractions"):
        celsius_difference(Term(inexact, "F"))


def test_trap_every_size_is_a_fraction():
    table = quantities._sizes()
    assert {type(number) for number in (*table.size.values(), *table.zero.values())} == {Fraction}


def test_trap_a_rise_is_not_a_temperature():
    assert celsius_difference(Term(Fraction(9), "F")) == 5
    assert celsius(Term(Fraction(9), "F")) == Fraction(-115, 9)


def test_trap_temperatures_are_never_added():
    for terms in ([Term(Fraction(180), "C")], [Term(Fraction(180), "C"), Term(Fraction(5), "C")]):
        with pytest.raises(UnlikeMeasures, match="not added"):
            base(terms)
    two = [Term(Fraction(180), "C"), Term(Fraction(5), "C")]
    with pytest.raises(UnlikeMeasures, match="not added"):
        extent(quantity("temperature", two, two))


def test_trap_the_two_scales_meet_where_they_should():
    assert fahrenheit(Fraction(-40)) == -40
    assert (fahrenheit(Fraction(0)), fahrenheit(Fraction(100))) == (32, 212)


def test_trap_no_registry_is_kept_so_none_is_shared(monkeypatch):
    made = []
    real = quantities._registry
    monkeypatch.setattr(quantities, "_table", None)
    monkeypatch.setattr(quantities, "_registry", lambda: made.append(1) or real())
    with ThreadPoolExecutor(8) as pool:
        answers = set(pool.map(lambda _: size("cup", "US"), range(64)))
    assert answers == {Fraction("236.5882365")}
    assert made == [1]


def test_trap_no_disk_cache(tmp_path):
    code = "from benchproof.compiler.quantities import size; size('g')"
    environment = os.environ | {
        "HOME": str(tmp_path),
        "XDG_CACHE_HOME": str(tmp_path),
        "TMPDIR": str(tmp_path),
    }
    subprocess.run([sys.executable, "-B", "-c", code], check=True, env=environment, cwd=tmp_path)
    assert list(tmp_path.iterdir()) == []


# ---------------------------------------------------------------- did you mean


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("tbs", "tbsp"),
        ("Tbsp", "tbsp"),
        ("T", "tbsp"),
        ("t", "tsp"),
        ("tblsp.", "tbsp"),
        ("tbsp.", "tbsp"),
        ("gr", "g"),
        ("gms", "g"),
        ("G", "g"),
        ("Kg", "kg"),
        ("KG", "kg"),
        ("kilos", "kg"),
        ("lbs.", "lbs"),
        ("ML", "ml"),
        ("cc", "ml"),
        ("liter", "l"),
        ("Cups", "cups"),
        ("c", "C"),
        ("floz", "fl oz"),
        ("fl.oz.", "fl oz"),
        ("Fluid  ounces", "fl oz"),
        ("hrs", "h"),
        ("mins", "min"),
        ("Min", "min"),
        ("minuts", "minute"),
        ("degrees", "C"),
        ("degrees F", "F"),
        ("°c", "°C"),
        ("f", "F"),
        ("gallom", "gallon"),
        ("tabelspoons", "tablespoons"),
        ("kwh", "kWh"),
        ("KWH", "kWh"),
        ("feet", "ft"),
    ],
)
def test_what_a_cook_may_have_meant(written, meant):
    assert nearest_units(written)[0] == meant


@pytest.mark.parametrize(
    "word", ["", "  ", "pinch", "dash", "smidgen", "handful", "cloves", "tins", "rounds", "stick"]
)
def test_what_has_no_size_is_not_mistaken_for_a_unit(word):
    assert nearest_units(word) == []


@settings(deadline=None)
@given(st.text(max_size=20))
def test_every_offer_is_an_accepted_spelling(word):
    assert set(nearest_units(word)) <= set(UNITS)


@pytest.mark.parametrize("written", [*quantities._MEANT, *quantities._MEANT_AS_WRITTEN])
def test_no_miswriting_on_the_list_is_itself_accepted(written):
    assert written not in UNITS
    assert nearest_units(written)


def test_messages_are_for_cooks():
    for attempt in (
        lambda: size("pint"),
        lambda: size("dollop"),
        lambda: convert(Fraction(1), "g", "ml"),
        lambda: base([Term(Fraction(1), "C")]),
    ):
        with pytest.raises(MeasureError) as refused:
            attempt()
        message = str(refused.value)
        assert message.endswith((".", "?"))
        assert not any(word in message for word in ("Dimension", "Fraction", "None", "fl_oz"))
