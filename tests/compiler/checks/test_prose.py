"""Loose numbers: what is one, what only looks like one, and where the caret stands."""

import pytest

from tests.compiler.checks.checking import checked, only, rice, told


@pytest.mark.parametrize(
    "loose",
    [
        "5 min",
        "5 minutes",
        "5 mins",
        "1 minute",
        "2 hrs",
        "2 hours",
        "30 seconds",
        "180C",
        "180 C",
        "180 °C",
        "350 F",
        "350°F",
        "180 degrees",
        "½ cup",
        "1 ½ cups",
        "1½ cups",
        "1/2 cup",
        "2 tsp",
        "3 tablespoons",
        "25 %",
        "25%",
        "200 g",
        "200g",
        "1.5 kg",
        "250 ml",
        "2 litres",
        "2.5 cm",
        "10 mm",
        "5-7 min",
        "5–7 min",
        "5 to 7 min",
        "8 oz",
        "1 lb",
    ],
)
def test_a_number_with_a_unit_is_loose(loose: str) -> None:
    found = only("loose-number", rice(f"  And then {loose}, and serve.\n"))
    assert found.span.text == loose
    assert found.help


@pytest.mark.parametrize(
    "prose",
    [
        "Put 2 in each pan.",
        "Put 2 in the pan and 3 in the oven.",
        "Shake 3 times.",
        "Turn it after 2 or 3 bubbles.",
        "Count to 10 and stir.",
        "Use ring 2 and gas mark 4.",
        "See page 7.",
        "Serve at 6 with 2 others.",
        "It was 1998 and nobody minded.",
        "Sieve the 00 flour and the E500.",
        "Use a no. 5 tin, or the 2nd of them.",
        "Cover with half of the lid.",
        "Use 1 pan for 2 people.",
        "Add 3 more if 3 minuscule ones stay.",
        "Take 2 cloves, 3 stalks and 12 grapes.",
        "Leave it 2 m from the wall.",
        "Heat it on 9 of 10.",
        "Wait for 2 songs.",
        "Route 66 Gravy.",
        "Fold 1/2 of it over.",
    ],
)
def test_other_numbers_are_let_alone(prose: str) -> None:
    assert [one.span.text for one in checked(rice(f"  {prose}\n")) if one.rule == "loose-number"] == []


@pytest.mark.parametrize("prose", ["Leave [5 min hands-off].", "Keep it at [70 C].", "Cut it [2 cm] thick."])
def test_in_brackets_it_is_a_fact(prose: str) -> None:
    assert told(rice(f"  {prose}\n")) == []


def test_literal_brackets_and_comments_are_no_hiding_place() -> None:
    assert told(rice("  # Grandmother said 40 minutes.\n")) == []
    assert told(rice("  And [[5 min]] more.\n")) == ["loose-number"]


@pytest.mark.parametrize("loose", ["5 min", "180 C", "2 cm", "2 hours"])
def test_the_mend_mends(loose: str) -> None:
    """What the help offers in backticks, put in its place, is silent."""
    found = only("loose-number", rice(f"  And then {loose}, and serve.\n"))
    mend = found.help.split("`")[1]
    assert told(rice(f"  And then {mend}, and serve.\n")) == []


@pytest.mark.parametrize("loose", ["180 degrees", "25 %"])
def test_the_mend_of_a_slangy_unit_mends(loose: str) -> None:
    found = only("loose-number", rice(f"  And then {loose}, and serve.\n"))
    for mend in found.help.split("`")[1::2]:
        assert told(rice(f"  And then {mend}, and serve.\n")) == [], mend


@pytest.mark.parametrize("loose", ["5 mins", "2 hrs"])
def test_the_mend_of_a_misspelt_unit_mends(loose: str) -> None:
    mend = only("loose-number", rice(f"  And then {loose}, and serve.\n")).help.split("`")[1]
    assert told(rice(f"  And then {mend}, and serve.\n")) == [], mend


def test_each_is_told_once_in_the_order_of_the_line() -> None:
    found = checked(rice("  Wait 5 min, then 7 min at 180 C.\n"))
    assert [one.span.text for one in found] == ["5 min", "7 min", "180 C"]
