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
    """Up to five times: a small packet, an end of line. In one shop it is worth a word."""
    text = prices(("2026-10-01", "3.20 for 1 kg"), ("2026-11-01", other))
    assert told(text) == ["price-jumped"]
    assert told(text.replace("Shop on 2026-11", "Quay on 2026-11")) == []


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


# ---------------------------------------------------------------- one shop, two days


@pytest.mark.parametrize(
    ("new", "severity"),
    [
        ("6.40 for 1 kg", None),  # twice is not more than twice
        ("6.50 for 1 kg", Severity.HINT),
        ("9.60 for 1 kg", Severity.HINT),
        ("9.70 for 1 kg", Severity.WARNING),
        ("1.60 for 1 kg", None),
        ("1.50 for 1 kg", Severity.HINT),
        ("1.00 for 1 kg", Severity.WARNING),
        ("6.50 for 1 kg, special", None),
        ("20.00 for 20 kg", None),  # a sack
        ("12.00 for 1.5 kg", Severity.HINT),
    ],
)
def test_a_jump_in_one_shop(new: str, severity: Severity | None) -> None:
    text = prices(("2026-10-01", "3.20 for 1 kg"), ("2026-11-01", new))
    found = [one for one in checked(text) if one.rule == "price-jumped"]
    assert [one.severity for one in found] == ([severity] if severity else [])
    assert told(text.replace("Shop on 2026-11", "Quay on 2026-11")) == []


def test_a_jump_is_told_at_each_step_of_the_way() -> None:
    text = prices(
        ("2026-09-01", "3.20 for 1 kg"), ("2026-10-01", "8.00 for 1 kg"), ("2026-11-01", "3.20 for 1 kg")
    )
    assert told(text) == ["price-jumped", "price-jumped"]


def test_the_same_money_for_another_pack_is_asked_as_that() -> None:
    found = only("price-jumped", prices(("2026-10-01", "3.20 for 1 kg"), ("2026-11-01", "3.20 for 400 g")))
    assert found.help == "Is the pack still 1 kg?"


# ---------------------------------------------------------------- units


@pytest.mark.parametrize(
    ("wrong", "help"),
    [
        ("3.20 for 1 g", "The likely pack is 1 kg."),
        ("1.60 for 500 kg", "The likely pack is 500 g."),
        ("3.20 for 2 x 500 kg", "The likely pack is 2 x 500 g."),
    ],
)
def test_a_pack_in_the_wrong_unit(wrong: str, help: str) -> None:
    found = only("pack-unit-unlikely", prices(("2026-10-01", "3.20 for 1 kg"), ("2026-11-01", wrong)))
    assert (found.span.text, found.help, found.severity) == (wrong, help, Severity.ERROR)


@pytest.mark.parametrize(
    ("wrong", "right"), [("5.20 for 1 oz", "5.20 for 1 lb"), ("0.33 for 1 lb", "0.33 for 1 oz")]
)
def test_an_ounce_for_a_pound_may_be_a_slipped_point_too(wrong: str, right: str) -> None:
    """Sixteen times is nearer ten than nothing: it is told, as one or the other."""
    text = prices(("2026-10-01", "5.20 for 1 lb"), ("2026-11-01", wrong))
    assert told(text) == ["price-slipped"]
    assert told(text.replace(wrong, right)) == []


# ---------------------------------------------------------------- in proportion

SHELF = (
    "prices at Quay on 2026-11-02\n  plain flour:   2.50 for 1.5 kg\n  rolled oats:   2.90 for 750 g\n"
    "  caster sugar:  3.90 for 1 kg\n  fine salt:     1.40 for 500 g\n  butter:        6.10 for 500 g\n"
    "  whole milk:    2.85 for 1 l\n"
)


@pytest.mark.parametrize(
    ("price", "rule", "help"),
    [
        ("white rice:  3.20 for 1 kg", None, ""),
        ("white rice:  14.00 for 1 kg", None, ""),  # dear, but it might be
        ("white rice:  32.00 for 1 kg", "price-out-of-proportion", "Is `3.20 for 1 kg` meant?"),
        ("white rice:  0.32 for 1 kg", "price-out-of-proportion", "Is `3.20 for 1 kg` meant?"),
        ("white rice:  320 for 1 kg", "price-out-of-proportion", "Is `3.20 for 1 kg` meant?"),
        ("white rice:  3.20 for 1 g", "pack-unit-unlikely", "Is the pack 1 kg?"),
        ("beef stock:  2.60 for 1 ml", "pack-unit-unlikely", "Is the pack 1 l?"),
        ("parsley:     2.00 for 40 kg", "pack-unit-unlikely", "Is the pack 40 g?"),
        ("eggs:        7.20 for 12", None, ""),
        ("eggs:        7.20 for 1", "price-out-of-proportion", "Is `7.20 for 12` meant?"),
        ("white rice:  3.20 for 100 kg, special", None, ""),  # an offer may be anything
        ("vanilla extract:  6.90 for 50 ml", None, ""),
        ("vanilla extract:  69.00 for 50 ml", "price-out-of-proportion", "Is `6.90 for 50 ml` meant?"),
        ("water:       0.01 for 1 l", None, ""),
        ("rhubarb leather:  99.00 for 1 kg", None, ""),  # nobody knows what it is
        ("white rice:  free", None, ""),
    ],
)
def test_a_price_that_stands_alone(price: str, rule: str | None, help: str) -> None:
    text = f"{SHELF}  {price}\n"
    found = [one for one in checked(text) if one.severity > Severity.HINT]
    assert [one.rule for one in found] == ([rule] if rule else [])
    for one in found:
        assert one.span.text == price.partition(":")[2].strip()
        assert one.help.startswith(help)


def test_without_enough_others_nothing_is_in_proportion() -> None:
    few = "\n".join(SHELF.splitlines()[:-1]) + "\n"
    assert told(f"{few}  white rice:  32.00 for 1 kg\n") == []
    assert told(f"{SHELF}  white rice:  32.00 for 1 kg\n") == ["price-out-of-proportion"]


@pytest.mark.parametrize(
    ("price", "told_of"),
    [("4.00 for 40 g", []), ("4.00 for 4 kg", []), ("4.00 for 400 kg", ["pack-unit-unlikely"])],
)
def test_a_food_of_the_kitchen_s_own_may_be_dear_for_its_kind(price: str, told_of: list[str]) -> None:
    """Dried, it is still a vegetable: only a unit's slip is beyond doubt."""
    own = "ingredient dried dulse\n  kind:      vegetable\n  contains:  nothing\n\n"
    assert told(f"{own}{SHELF}  dried dulse:  {price}\n") == told_of


def test_other_currencies_lend_no_proportion() -> None:
    text = f"{SHELF}\nprices at Far on 2026-11-02 in JPY\n  white rice:  320 for 1 kg\n"
    assert told(text) == []


def test_two_shops_that_agree_are_believed() -> None:
    text = (
        f"{SHELF}  rye flour:  30.00 for 1 kg\n\nprices at Far on 2026-11-03\n  rye flour:  28.00 for 1 kg\n"
    )
    assert told(text) == []


def test_of_two_the_one_out_of_proportion_is_asked_about() -> None:
    old = "prices at Quay on 2026-09-02\n  white rice:  32.00 for 1 kg\n\n"
    assert only("price-slipped", f"{old}{SHELF}  white rice:  3.20 for 1 kg\n").span.text == "32.00 for 1 kg"
    old = old.replace("32.00", "3.20")
    assert only("price-slipped", f"{old}{SHELF}  white rice:  32.00 for 1 kg\n").span.text == "32.00 for 1 kg"


def test_what_the_shop_sells_ready_is_held_against_the_rest() -> None:
    recipe = RICE.replace("serves:  2", "serves:  2\n  instead of:  shop rice")
    shelf = f"{SHELF}  white rice:  3.20 for 1 kg\n  water:  free\n  shop rice:  PRICE\n\n"
    assert told(shelf.replace("PRICE", "2.60 for 250 g") + recipe) == []
    assert told(shelf.replace("PRICE", "26.00 for 250 g") + recipe) == ["price-out-of-proportion"]
    assert told(shelf.replace("PRICE", "2.60 for 250 kg") + recipe) == ["pack-unit-unlikely"]


# ---------------------------------------------------------------- a line by itself


@pytest.mark.parametrize("price", ["0 for 1 kg", "0.00 for 1 kg"])
def test_a_price_of_nought_is_not_free(price: str) -> None:
    assert only("price-of-nought", prices(("2026-11-01", price))).help.endswith(
        "`white rice: free`, if it is."
    )


@pytest.mark.parametrize(
    ("line", "wrong"),
    [
        ("plain flour:  2.50 for 2", True),
        ("whole milk:   2.50 for 2", True),
        ("olive oil:    9.50 for 1", True),
        ("plain flour:  2.50 for 2 x 1 kg", False),
        ("plain flour:  2.50 for 2 of 750 g", False),
        ("eggs:         7.20 for 12", False),
        ("cheddar:      7.20 for 1", False),  # a whole one, perhaps
        ("rice cakes:   7.20 for 12", False),
    ],
)
def test_what_is_weighed_is_not_counted(line: str, wrong: bool) -> None:
    assert told(f"prices at Quay on 2026-11-02\n  {line}\n") == (["pack-cannot-be-counted"] if wrong else [])


def test_a_pack_without_a_size_is_told_once() -> None:
    text = prices(("2026-11-01", "3.20 for 2")) + "\n" + RICE
    assert told(text) == ["pack-cannot-be-counted"]


@pytest.mark.parametrize(
    ("second", "severity"),
    [
        ("split peas:  3.10 for 500 g", Severity.HINT),
        ("split peas:  3.90 for 500 g", Severity.WARNING),
        ("Split peas:  3.90 for 0.5 kg", Severity.WARNING),
        ("split peas:  5.90 for 1 kg", None),
        ("split peas:  2.90 for 500 g, special", None),
        ("split peas:  free", None),
        ("green lentils:  3.90 for 500 g", None),
    ],
)
def test_the_same_pack_twice_in_a_list(second: str, severity: Severity | None) -> None:
    text = f"prices at Quay on 2026-11-02\n  split peas:  3.10 for 500 g\n  {second}\n"
    found = [one.severity for one in checked(text) if one.rule == "priced-twice"]
    assert found == ([severity] if severity else [])


# ---------------------------------------------------------------- days to come


@pytest.mark.parametrize(
    ("day", "severity"),
    [
        ("2026-11-20", None),
        ("2026-11-21", Severity.HINT),
        ("2027-11-21", Severity.HINT),
        ("2027-11-22", Severity.WARNING),
    ],
)
def test_a_list_of_a_day_to_come(day: str, severity: Severity | None) -> None:
    text = prices(("2026-11-01", "3.20 for 1 kg"), (day, "3.30 for 1 kg")) + "\n" + RICE
    found = [one for one in checked(text, on="2026-11-20") if one.rule == "prices-dated-ahead"]
    assert [one.severity for one in found] == ([severity] if severity else [])
    assert all(one.span.text == day for one in found)


def test_a_list_to_come_is_told_once_for_all_recipes() -> None:
    text = prices(("2026-11-01", "3.20 for 1 kg"), ("2026-11-25", "3.30 for 1 kg")) + "\n" + RICE
    assert told(text + "\n" + RICE.replace("Boiled rice", "More rice")) == ["prices-dated-ahead"]


# ---------------------------------------------------------------- what carries the cost

DEAR = (
    "prices at Quay on 2026-11-02\n  white rice:  3.20 for 1 kg\n  water:  free\n  onions:  2.40 for 1 kg\n"
    "  butter:  6.10 for 500 g\n  SPICE:  PRICE for 50 g\n\n"
    "recipe Spiced rice\n  serves:  4\n\ningredients\n  white rice:  300 g\n  water:  600 g\n  onions:  100 g\n"
    "  butter:  20 g\n  SPICE:  AMOUNT g\n"
)


@pytest.mark.parametrize(
    ("spice", "price", "amount", "told"),
    [
        ("black pepper", "3.50", "4", 0),
        ("black pepper", "350.00", "4", 1),
        ("black pepper", "350.00", "9", 0),  # 2.1 % of what is paid for
        ("black pepper", "60.00", "4", 0),  # 79 % of the cost
        ("saffron threads", "350.00", "4", 0),
    ],
)
def test_a_trace_that_carries_the_cost(spice: str, price: str, amount: str, told: int) -> None:
    text = DEAR.replace("SPICE", spice).replace("PRICE", price).replace("AMOUNT", amount)
    found = [one for one in checked(text) if one.rule == "cost-in-a-trace"]
    assert len(found) == told
    for one in found:
        assert one.span.text == f"{price} for 50 g"
        assert one.also[0].span.text == f"{spice}:  {amount} g"


@pytest.mark.parametrize(
    ("price", "far"), [("0.01", True), ("0.10", False), ("12.00", False), ("13.00", True), ("80.00", True)]
)
def test_what_it_replaces_may_cost_a_good_deal_more_or_less(price: str, far: bool) -> None:
    """Two bowls of rice cost 0.64: 0.128 for 100 g."""
    recipe = RICE.replace("serves:  2", "serves:  2\n  instead of:  shop rice")
    text = (
        prices(("2026-11-01", "3.20 for 1 kg"))
        + f"\nprices at Far on 2026-11-01\n  shop rice:  {price} for 500 g\n\n"
    )
    assert told(text + recipe) == (["instead-far-apart"] if far else [])
