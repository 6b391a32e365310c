"""Prices: old to the day, slipped among two, three and five, missing, and in two currencies."""
# ruff: noqa: E501 - recipes on one line

import datetime

import pytest

from benchproof.compiler.findings import Severity
from tests.compiler.checks.checking import checked, only, told

RICE = (
    "recipe Boiled rice\n  serves:  2\n\ningredients\n  white rice:  200 g\n  water:       300 g\n\n"
    "step Boil\n  Simmer [the white rice] in [the water], [15 min hands-off].\n"
)
FREE = "prices at Pump on 2026-01-01\n  water:  free\n"


def prices(*lines: tuple[str, str]) -> str:
    """Price lists for white rice: a date and a price for a pack, each."""
    return FREE + "".join(f"\nprices at Shop on {day}\n  white rice:  {price}\n" for day, price in lines)


def doubts(days: int) -> str:
    return f"kitchen Doubtful\n  currency:  NZD\n  prices go stale after: {days} days\n\n"


@pytest.mark.parametrize(("age", "stale"), [(0, False), (89, False), (90, False), (91, True), (400, True)])
def test_stale_is_after_the_day_not_on_it(age: int, stale: bool) -> None:
    on = datetime.date(2026, 11, 20)
    bought = (on - datetime.timedelta(days=age)).isoformat()
    free = FREE.replace("2026-01-01", bought)
    text = doubts(90) + free + f"\nprices at Shop on {bought}\n  white rice:  3.20 for 1 kg\n\n" + RICE
    found = checked(text, on=on.isoformat())
    priced = [one for one in found if one.rule == "price-stale" and one.span.text == "white rice"]
    assert bool(priced) is stale
    for one in priced:
        assert f"{age} days old" in one.message
        assert bought in one.also[0].note


def test_what_is_free_does_not_go_stale() -> None:
    """Tap water that was free last year is free."""
    text = doubts(90) + FREE + "\nprices at Shop on 2026-11-19\n  white rice:  3.20 for 1 kg\n\n" + RICE
    assert told(text) == []


def test_without_a_limit_no_price_is_old() -> None:
    assert told(prices(("1999-01-01", "3.20 for 1 kg")) + "\n" + RICE) == []


def test_a_price_of_tomorrow_is_not_used_and_not_old() -> None:
    found = only("price-missing", prices(("2026-11-21", "3.20 for 1 kg")) + "\n" + RICE, on="2026-11-20")
    assert "before or on 2026-11-20" in found.message
    assert told(prices(("2026-11-20", "3.20 for 1 kg")) + "\n" + RICE, on="2026-11-20") == []


def test_the_newest_of_two_is_the_one_whose_age_counts() -> None:
    text = doubts(90) + prices(("2026-01-10", "3.00 for 1 kg"), ("2026-11-10", "3.20 for 1 kg")) + "\n" + RICE
    assert "white rice" not in [one.span.text for one in checked(text)]


# ---------------------------------------------------------------- slips

USUAL = ["3.20 for 1 kg", "1.60 for 500 g", "3.50 for 1 kg", "2.90 for 1 kg"]


@pytest.mark.parametrize("others", [1, 2, 4])
@pytest.mark.parametrize(
    ("wrong", "likely"), [("32.00 for 1 kg", "3.20"), ("0.32 for 1 kg", "3.20"), ("320 for 1 kg", "3.20")]
)
def test_a_slip_among_two_three_and_five(others: int, wrong: str, likely: str) -> None:
    lists = [(f"2026-10-0{at + 1}", price) for at, price in enumerate(USUAL[:others])]
    found = only("price-slipped", prices(*lists, ("2026-11-02", wrong)))
    assert found.span.text == wrong
    assert found.help == f"The likely price is {likely}."
    assert found.severity is Severity.ERROR


@pytest.mark.parametrize("at", [0, 1, 2])
def test_the_odd_one_of_three_is_found_wherever_it_stands(at: int) -> None:
    told_prices = ["3.20 for 1 kg", "3.40 for 1 kg"]
    told_prices.insert(at, "33.00 for 1 kg")
    lists = [(f"2026-10-0{number + 1}", price) for number, price in enumerate(told_prices)]
    assert only("price-slipped", prices(*lists)).span.text == "33.00 for 1 kg"


def test_of_two_alone_the_newer_is_asked_about() -> None:
    assert only(
        "price-slipped", prices(("2026-10-01", "32.00 for 1 kg"), ("2026-11-01", "3.20 for 1 kg"))
    ).span.text == ("3.20 for 1 kg")


@pytest.mark.parametrize("other", ["15.00 for 1 kg", "0.70 for 1 kg", "3.20 for 250 g"])
def test_dear_or_cheap_is_no_slip(other: str) -> None:
    """Up to five times: a small packet, an end of line."""
    assert told(prices(("2026-10-01", "3.20 for 1 kg"), ("2026-11-01", other))) == []


def test_a_pack_ten_times_too_small_is_a_slip_too() -> None:
    found = only("price-slipped", prices(("2026-10-01", "3.20 for 1 kg"), ("2026-11-01", "3.20 for 100 g")))
    assert found.help == "The likely price is 0.32."


def test_an_offer_is_neither_a_slip_nor_a_measure_for_others() -> None:
    assert told(prices(("2026-10-01", "3.20 for 1 kg"), ("2026-11-01", "0.32 for 1 kg, special"))) == []


def test_prices_in_two_currencies_are_not_compared() -> None:
    text = (
        prices(("2026-10-01", "3.20 for 1 kg"))
        + "\nprices at Far on 2026-11-01 in JPY\n  white rice:  320 for 1 kg\n"
    )
    assert told(text) == []


def test_names_of_one_food_are_one_thing() -> None:
    """`rice` is white rice: its prices are compared."""
    text = (
        prices(("2026-10-01", "3.20 for 1 kg")) + "\nprices at Far on 2026-11-01\n  rice:  32.00 for 1 kg\n"
    )
    assert told(text) == ["price-slipped"]


def test_two_on_one_day_are_asked_about_once() -> None:
    text = (
        FREE
        + "\nprices at Shop on 2026-11-01\n  white rice:  3.20 for 1 kg\n\nprices at Quay on 2026-11-01\n  white rice:  32 for 1 kg\n"
    )
    assert told(text) == ["price-slipped"]


def test_a_likely_price_in_a_currency_without_coins() -> None:
    text = (
        "prices at Far on 2026-10-01 in JPY\n  white rice:  400 for 1 kg\n\n"
        "prices at Far on 2026-11-01 in JPY\n  white rice:  4100 for 1 kg\n"
    )
    assert only("price-slipped", text).help == "The likely price is 410."


# ---------------------------------------------------------------- missing, currencies


def test_no_price_list_means_no_word_about_prices() -> None:
    assert told(RICE) == []


def test_each_food_is_missed_once() -> None:
    text = (
        FREE
        + "\n"
        + RICE.replace("  water:  ", "  white rice:  10 g, for the pan\n  water:  ").replace(
            "[the water]", "[the water] and [the white rice for the pan]"
        )
    )
    assert told(text) == ["price-missing"]


def test_to_taste_needs_no_price() -> None:
    text = (
        prices(("2026-11-01", "3.20 for 1 kg"))
        + "\n"
        + RICE.replace("300 g\n", "300 g\n  black pepper:  to taste\n").replace(
            "[the water]", "[the water] with [the black pepper]"
        )
    )
    assert told(text) == []


def test_one_line_in_another_currency_is_said_once() -> None:
    text = (
        "kitchen Here\n  currency:  NZD\n\n"
        "prices at Far on 2026-11-01 in EUR\n  white rice:  3.20 for 1 kg\n\n" + FREE + "\n" + RICE
    )
    found = only("currencies-mixed", text)
    assert found.span.text == "white rice"
    assert "EUR" in found.message
    assert "NZD" in found.message
