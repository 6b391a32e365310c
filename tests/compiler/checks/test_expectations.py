"""The recipe's own tests: every figure they know, each bound, and both ends of a range."""
# ruff: noqa: E501 - recipes on one line

import pytest

from tests.compiler.checks.checking import checked, only, told

PRICES = (
    "kitchen Here\n  currency:  NZD\n\nprices at Shop on 2026-11-01\n  strong flour:   2.00 for 1 kg\n  water:          free\n"
    "  fine salt:      1.00 for 1 kg\n  instant yeast:  10.00 for 100 g\n\n"
)
LOAF = (
    "recipe Rolls\n  makes:   10 rolls\n  serves:  5\n  base:    strong flour\n\ningredients\n  strong flour:   500 g\n"
    "  water:          60 %\n  fine salt:      2 %\n  instant yeast:  1 %\n\nstep Mix\n  Knead [the strong flour], "
    "[the water], [the fine salt] and [the instant yeast], [10 min].\n  Leave [1-2 h hands-off].\n\nexpect\n"
)
# 1.00 flour + 0.01 salt + 0.50 yeast = 1.51; ten rolls, five portions; 815 g; 70 to 130 min.


@pytest.mark.parametrize(
    ("line", "holds"),
    [
        ("cost: 1.51", True),
        ("cost: under 1.52", True),
        ("cost: under 1.51", False),
        ("cost: at most 1.51", True),
        ("cost each: under 0.16", True),
        ("cost each: under 0.15", False),
        ("cost a portion: 0.30-0.31", True),
        ("cost a portion: over 0.31", False),
        ("total time: under 130 min", False),
        ("total time: at most 130 min", True),
        ("total time: at most 2 h 10 min", True),
        ("total time: over 70 min", False),
        ("total time: at least 70 min", True),
        ("total time: 70-130 min", True),
        ("total time: 80-130 min", False),
        ("hands-on time: 10 min", True),
        ("hands-on time: under 10 min", False),
        ("weight each: 81.5 g", True),
        ("weight each: 80-83 g", True),
        ("weight each: over 82 g", False),
        ("hydration: 60 %", True),
        ("hydration: 61 %", False),
        ("Hydration: 59-61 %", True),
        ("salt: 1.9-2 %", True),
        ("yeast: 0.9-0.95 %", False),
        ("fine salt: at most 2 %", True),
        ("strong flour: 100 %", True),
        ("sugar: at most 1 %", True),
    ],
)
def test_each_figure_against_each_bound(line: str, holds: bool) -> None:
    found = told(PRICES + LOAF + f"  {line}\n")
    assert found == ([] if holds else ["expect-not-met"])


def test_a_missing_price_is_not_told_twice() -> None:
    text = PRICES.replace("  instant yeast:  10.00 for 100 g\n", "") + LOAF + "  cost: under 1\n"
    assert told(text) == ["price-missing"]


def test_without_any_price_a_cost_is_not_quietly_met() -> None:
    """A kitchen with no price at all: a test of the cost tests nothing, and that should be said."""
    assert told(LOAF + "  cost: under 1\n") != []


def test_the_message_gives_both_the_figure_and_the_bound() -> None:
    found = only("expect-not-met", PRICES + LOAF + "  cost each: under 0.10\n")
    assert "0.151" in found.message
    assert "under 0.10" in found.message


@pytest.mark.parametrize(
    "line", ["hydraton: 60 %", "cost per piece: under 2", "time: under 90 min", "kneading: under 3 min"]
)
def test_what_is_no_figure_is_refused(line: str) -> None:
    assert told(PRICES + LOAF + f"  {line}\n") == ["expect-unknown"]


def test_a_wrong_kind_is_told_in_its_own_words() -> None:
    for line, wanted in (
        ("cost: under 5 g", "money"),
        ("total time: under 5 g", "time"),
        ("weight each: under 5 min", "weight"),
    ):
        found = checked(PRICES + LOAF + f"  {line}\n")
        assert [one.rule for one in found] == ["expect-not-met"]
        assert wanted in found[0].help
