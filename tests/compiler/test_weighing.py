"""What scales can tell, and the way round them: the arithmetic, against figures worked out by hand."""

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from benchproof.compiler.display import to_multiple
from benchproof.compiler.weighing import (
    JUG,
    TRUE,
    Dilution,
    dilution,
    dilution_error,
    division_needed,
    error,
    finest,
    goes,
    in_goes,
    smallest_multiple,
    true,
)

F = Fraction
ONE_GRAM = ((F(1), F(5000)),)
TWO = ((F("0.1"), F(500)), (F(1), F(5000)))

weights = st.fractions(min_value=F("0.01"), max_value=8000, max_denominator=1000)
small = st.fractions(min_value=F("0.05"), max_value=12, max_denominator=1000)
DIVISIONS = [F("0.01"), F("0.1"), F("0.2"), F("0.5"), F(1), F(2), F(5)]


@st.composite
def kitchens(draw: st.DrawFn) -> tuple[tuple[Fraction, Fraction], ...]:
    """One to three scales, the finer before the coarser; a finer one may be the stronger."""
    steps = sorted(draw(st.sets(st.sampled_from(DIVISIONS), min_size=1, max_size=3)))
    return tuple((step, step * draw(st.sampled_from([50, 1000, 2000, 5000, 30000]))) for step in steps)


# ---------------------------------------------------------------- one weight on one scale


@pytest.mark.parametrize(
    ("weight", "division", "share"),
    [
        ("0.6", "1", F(5, 6)),
        ("1", "1", F(1, 2)),
        ("10", "1", F(1, 20)),
        ("6", "0.1", F(1, 120)),
        ("20", "5", F(1, 8)),
    ],
)
def test_the_error_is_half_a_division_over_the_weight(weight: str, division: str, share: Fraction) -> None:
    assert error(F(weight), F(division)) == share


@pytest.mark.parametrize("weight", [0, -1])
def test_nothing_has_no_error(weight: int) -> None:
    with pytest.raises(ValueError, match="no error"):
        error(F(weight), F(1))
    with pytest.raises(ValueError, match="no scale"):
        division_needed(F(weight))


@pytest.mark.parametrize(
    ("weight", "step"), [("1", "0.1"), ("500", "0.1"), ("500.01", "1"), ("5000", "1"), ("5001", None)]
)
def test_the_finest_scale_that_carries_it(weight: str, step: str | None) -> None:
    scale = finest(F(weight), TWO)
    assert (scale and scale[0]) == (step and F(step))


@pytest.mark.parametrize(
    ("weight", "division"),
    [
        ("0.6", "0.05"),
        ("0.5", "0.05"),
        ("0.499", "0.02"),
        ("1", "0.1"),
        ("0.99", "0.05"),
        ("2", "0.2"),
        ("6", "0.5"),
        ("10", "1"),
        ("9.9", "0.5"),
        ("4999", "200"),
        ("0.003", "0.0002"),
    ],
)
def test_the_division_needed_is_one_that_scales_are_made_in(weight: str, division: str) -> None:
    assert division_needed(F(weight)) == F(division)


@given(weights)
def test_the_division_needed_is_enough_and_the_next_coarser_is_not(weight: Fraction) -> None:
    needed = division_needed(weight)
    assert error(weight, needed) <= TRUE
    coarser = needed * (F(5, 2) if str(float(needed)).strip("0.")[0] == "2" else 2)
    assert error(weight, coarser) > TRUE


# ---------------------------------------------------------------- more at once, or in several goes


@pytest.mark.parametrize(
    ("weight", "times"), [("5000", 1), ("5000.1", 2), ("10000", 2), ("12345", 3), ("1", 1)]
)
def test_goes(weight: str, times: int) -> None:
    assert goes(F(weight), F(5000)) == times


def test_several_goes_on_the_finer_scale() -> None:
    """30 g on a 5 g scale is out by a twelfth; in two goes on the little one by a three-thousandth."""
    scales = ((F("0.01"), F(20)), (F(5), F(10000)))
    assert in_goes(F(30), scales) == (scales[0], 2)


def test_goes_add_up_their_errors() -> None:
    """Eleven goes of half a gram each are worse than the weight allows: 5.5 of 105 g is above 5 %."""
    assert in_goes(F(105), ((F(1), F(10)), (F(50), F(10000)))) is None
    assert in_goes(F(100), ((F(1), F(10)), (F(50), F(10000)))) == ((F(1), F(10)), 10)


def test_what_is_carried_at_once_needs_no_goes() -> None:
    assert in_goes(F("0.6"), TWO) is None


@pytest.mark.parametrize(
    ("weight", "scales", "times"),
    [
        ("0.6", ONE_GRAM, 17),
        ("5", ONE_GRAM, 2),
        ("10", ONE_GRAM, 1),
        ("9.99", ONE_GRAM, 2),
        ("0.3", TWO, 4),
        # Beyond the fine scale's 20 g the next one shows 10 g steps and needs 100.
        ("0.6", ((F(1), F(5)), (F(2), F(1000))), 34),
        ("6", ((F(1), F(11)), (F(10), F(1000))), 17),
        ("6", ((F(1), F(9)),), None),
        ("6000", ONE_GRAM, None),
    ],
)
def test_the_smallest_multiple(
    weight: str, scales: tuple[tuple[Fraction, Fraction], ...], times: int | None
) -> None:
    assert smallest_multiple(F(weight), scales) == times


@given(small, kitchens())
def test_no_smaller_multiple_would_do(
    weight: Fraction, scales: tuple[tuple[Fraction, Fraction], ...]
) -> None:
    times = smallest_multiple(weight, scales)
    if times is None:
        assert not any(true(weight * n, scales) for n in range(1, 300))
    else:
        assert true(weight * times, scales)
        assert not any(true(weight * n, scales) for n in range(max(1, times - 300), times))


# ---------------------------------------------------------------- a measured dilution


def salt_like(
    wanted: Fraction, scales: tuple[tuple[Fraction, Fraction], ...], **more: Fraction
) -> Dilution | None:
    return dilution(wanted, scales, **{"water_per_gram": F(4), "water_at_most": F(340), **more})


def test_three_fifths_of_a_gram_on_a_gram_scale() -> None:
    """10 g in 190 g, of which 12 g hold 0.6 g. At worst 12.5 g of 10.5 in 200: 0.65625, which is 9.375 % more."""
    assert salt_like(F("0.6"), ONE_GRAM) == Dilution(F("0.6"), F(10), F(190), F(12), F(3, 32))
    found = salt_like(F("0.6"), ONE_GRAM)
    assert found is not None
    assert (found.made, found.water_in, found.left, found.solute_left) == (200, F("11.4"), 188, F("9.4"))


@pytest.mark.parametrize(
    ("solute", "water", "portion", "share"),
    [
        # (6.5 x 10.5 / 100 - 0.6) / 0.6
        ("10", "90", "6", F("0.1375")),
        ("10", "190", "12", F(3, 32)),
        # 90.4 g is set to 90, as the scale shows: most 6.5 x 10.5 / 100
        ("10", "90.4", "6", F("0.1375")),
    ],
)
def test_the_error_left_is_the_worst_of_three_weighings(
    solute: str, water: str, portion: str, share: Fraction
) -> None:
    assert dilution_error(F("0.6"), F(solute), F(water), F(portion), ONE_GRAM) == share


def test_a_dilution_that_no_scale_carries_has_no_error() -> None:
    with pytest.raises(ValueError, match="no scale carries"):
        dilution_error(F("0.6"), F(10), F(6000), F(360), ONE_GRAM)


@pytest.mark.parametrize(
    ("water", "found"), [("11.4", True), ("11.3", True), ("9.4", True), ("9.3", False), ("0", False)]
)
def test_the_recipes_own_water_must_be_enough(water: str, found: bool) -> None:
    """The least portion is 10 g, which brings 9.4 g of water."""
    assert (salt_like(F("0.6"), ONE_GRAM, water_at_most=F(water)) is not None) is found


def test_no_more_is_made_up_than_a_jug_holds() -> None:
    assert salt_like(F("0.05"), ONE_GRAM) is None
    assert salt_like(F("0.6"), ONE_GRAM, made_at_most=F(150)) is None


def test_nothing_is_offered_where_no_scale_carries_it() -> None:
    assert salt_like(F(6000), ONE_GRAM) is None
    assert salt_like(F(6), ((F(1), F(5)),)) is None


def test_what_dissolves_badly_is_given_more_water() -> None:
    found = salt_like(F(6), ONE_GRAM)
    thin = salt_like(F(6), ONE_GRAM, water_per_gram=F(9))
    assert found is not None
    assert found.water >= 4 * found.solute
    assert thin is None or thin.water >= 9 * thin.solute


dilutions = given(
    small, kitchens(), st.sampled_from([F(1), F(4), F(5)]), st.sampled_from([F(20), F(340), F(3000)])
)


@dilutions
@settings(deadline=None, max_examples=25)
def test_a_dilution_holds_what_is_wanted(
    wanted: Fraction, scales: tuple[tuple[Fraction, Fraction], ...], thin: Fraction, water: Fraction
) -> None:
    """Exactly; every amount truly weighed, the solid ones on a step; within its bounds; worth the trouble."""
    found = dilution(wanted, scales, water_per_gram=thin, water_at_most=water)
    assume(found is not None)
    assert found is not None
    assert found.portion * found.solute / found.made == wanted
    assert found.water_in + found.wanted == found.portion
    assert found.left * found.solute / found.made == found.solute_left >= 0
    assert all(true(amount, scales) for amount in (found.solute, found.water, found.portion))
    for amount in (found.solute, found.portion):
        scale = finest(amount, scales)
        assert scale is not None
        assert (amount / scale[0]).denominator == 1
    assert found.water >= thin * found.solute
    assert 0 < found.water_in <= water
    assert found.made <= JUG


@dilutions
@settings(deadline=None, max_examples=25)
def test_the_error_left_is_never_above_the_direct_one(
    wanted: Fraction, scales: tuple[tuple[Fraction, Fraction], ...], thin: Fraction, water: Fraction
) -> None:
    found = dilution(wanted, scales, water_per_gram=thin, water_at_most=water)
    assume(found is not None)
    scale = finest(wanted, scales)
    assert found is not None
    assert scale is not None
    assert found.error <= error(wanted, scale[0]) / 2
    assert found.error <= F(1, 10)


@dilutions
@settings(deadline=None, max_examples=25)
def test_no_weighing_within_half_a_division_strays_further(
    wanted: Fraction, scales: tuple[tuple[Fraction, Fraction], ...], thin: Fraction, water: Fraction
) -> None:
    """Every corner of what may lie on the three scales, tried one by one."""
    found = dilution(wanted, scales, water_per_gram=thin, water_at_most=water)
    assume(found is not None)
    assert found is not None
    ends = []
    for amount in (found.solute, found.water, found.portion):
        scale = finest(amount, scales)
        assert scale is not None
        shown = to_multiple(amount, scale[0])
        ends.append((shown - scale[0] / 2, shown, shown + scale[0] / 2))
    strays = [
        abs(portion * solute / (solute + into) - wanted) / wanted
        for solute in ends[0]
        for into in ends[1]
        for portion in ends[2]
    ]
    assert max(strays) == found.error


@given(small, kitchens(), st.sampled_from([F(1, 10), F(1, 3), F(2), F(10)]))
@settings(deadline=None, max_examples=25)
def test_all_of_it_scales(
    wanted: Fraction, scales: tuple[tuple[Fraction, Fraction], ...], by: Fraction
) -> None:
    """A kitchen whose weights and scales are all so many times another's does as the other does."""
    larger = tuple((step * by, most * by) for step, most in scales)
    assert error(wanted * by, scales[0][0] * by) == error(wanted, scales[0][0])
    assert smallest_multiple(wanted * by, larger) == smallest_multiple(wanted, scales)
    one = dilution(wanted, scales, water_per_gram=F(4), water_at_most=F(300))
    other = dilution(
        wanted * by, larger, water_per_gram=F(4), water_at_most=F(300) * by, made_at_most=JUG * by
    )
    if one is None:
        assert other is None
    else:
        assert other == Dilution(
            one.wanted * by, one.solute * by, one.water * by, one.portion * by, one.error
        )
