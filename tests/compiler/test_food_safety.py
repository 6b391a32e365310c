"""The published figures as data: exact in their own unit, and the strictest where no law says."""

from fractions import Fraction

import pytest

from benchproof.compiler import food_safety
from benchproof.compiler.food_safety import Published, least, strictest


def figure(value: int, unit: str, *, seen: bool = True) -> Published:
    return Published(Fraction(value), unit, "t", "i", "s", "A page", seen)  # type: ignore[arg-type]


def test_fahrenheit_is_turned_exactly() -> None:
    assert figure(212, "F").celsius == 100
    assert figure(165, "F").celsius == Fraction(665, 9)
    assert figure(-40, "F").celsius == figure(-40, "C").celsius == -40


def test_times_are_seconds() -> None:
    assert figure(2, "h").seconds == 7200
    assert figure(20, "min").seconds == 1200


@pytest.mark.parametrize("unit", ["h", "min"])
def test_a_time_is_no_temperature(unit: str) -> None:
    with pytest.raises(ValueError, match="no temperature"):
        _ = figure(2, unit).celsius


@pytest.mark.parametrize("unit", ["F", "C"])
def test_a_temperature_is_no_time(unit: str) -> None:
    with pytest.raises(ValueError, match="no time"):
        _ = figure(2, unit).seconds


def test_a_recalled_source_says_so() -> None:
    assert figure(1, "h").named == "A page"
    assert figure(1, "h", seen=False).named == "A page, from memory"


def test_seventy_four_is_enough_for_poultry_and_seventy_three_point_eight_is_not() -> None:
    wanted = least("poultry", american=False).celsius
    assert 74 >= wanted > Fraction(738, 10)


@pytest.mark.parametrize(
    ("peril", "joined", "american"),
    [
        ("poultry", 165, 165),
        ("mince", 160, 155),
        ("eggs", 160, 155),
        ("whole cuts", 145, 145),
        ("fish", 145, 145),
        ("ham", 165, 165),
        ("leftovers", 165, 165),
        ("stuffed", 165, 165),
    ],
)
def test_the_strictest_holds_but_under_the_law_of_the_united_states(
    peril: food_safety.Peril, joined: int, american: int
) -> None:
    assert least(peril, american=False) == strictest(peril)
    assert least(peril, american=False).value == joined
    assert least(peril, american=True).value == american
    assert least(peril, american=True).celsius <= strictest(peril).celsius
