"""What the catalogue is made from: each example judged, and the lines of it that tell its story."""

from dataclasses import replace

import pytest

from benchproof.compiler.catalogue import Row, Shown, catalogue, judged, rows, shown
from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example
from benchproof.compiler.rules import RULES
from benchproof.compiler.syntax import name_key
from tests.compiler.checks.checking import checked

CATALOGUE = catalogue()
RICE = "recipe Rice\n  serves:  3\n\ningredients\n  white rice:  200 g\n  water:       300 g\n"


def told(example: Example, rule: str) -> list[tuple[str, str]]:
    found = [one for one in judged(example.bad) if one.rule == rule]
    assert found
    return [(row.mark, row.text) for row in rows(example, found)]


def test_it_holds_every_rule_in_order() -> None:
    assert [one.rule for one in CATALOGUE] == list(RULES.values())


@pytest.mark.parametrize("one", CATALOGUE, ids=lambda one: one.rule.name)
def test_what_it_shows_is_what_the_check_says(one: Shown) -> None:
    if one.rule.example is None:
        assert (one.found, one.rows) == ((), ())
        return
    said = [finding for finding in checked(one.rule.example.bad) if finding.rule == one.rule.name]
    assert [(finding.message, finding.help) for finding in one.found] == [
        (finding.message, finding.help) for finding in said
    ]
    assert one.found
    assert max(finding.severity for finding in one.found) >= min(one.rule.severity, Severity.WARNING)


@pytest.mark.parametrize("one", [one for one in CATALOGUE if one.rows], ids=lambda one: one.rule.name)
def test_putting_the_right_lines_for_the_wrong_ones_mends_it(one: Shown) -> None:
    """So whoever copies what is shown has mended the text, whatever else was left out."""
    assert one.rule.example is not None
    bad = one.rule.example.bad.splitlines()
    wrong = [row for row in one.rows if row.mark == "wrong"]
    right = [row for row in one.rows if row.mark == "right"]
    assert wrong or right
    for row in one.rows:
        assert row.mark == "right" or bad[row.number - 1] == row.text
    last = (wrong or right)[-1].number
    mended = [*bad[: last - len(wrong)], *(row.text for row in right), *bad[last:]]
    assert "\n".join(mended) + "\n" == one.rule.example.good


@pytest.mark.parametrize("one", [one for one in CATALOGUE if one.rows], ids=lambda one: one.rule.name)
def test_a_line_that_a_finding_points_at_is_shown(one: Shown) -> None:
    shown_lines = {row.number for row in one.rows if row.mark != "right"}
    assert {finding.span.line for finding in one.found} <= shown_lines


def test_a_wrong_line_stands_under_its_heading_with_the_right_one_below() -> None:
    example = Example(RICE, "300 g", "300 ml")
    assert [(row.mark, row.text) for row in rows(example, [])] == [
        ("same", "ingredients"),
        ("same", "  white rice:  200 g"),
        ("wrong", "  water:       300 g"),
        ("right", "  water:       300 ml"),
    ]


def test_a_missing_line_stands_where_it_belongs() -> None:
    example = Example(RICE, "  water:", "  fine salt:     2 g\n  water:")
    assert rows(example, []) == (
        Row(4, "ingredients", "same"),
        Row(5, "  white rice:  200 g", "same"),
        Row(5, "  fine salt:     2 g", "right"),
    )


def test_a_line_too_much_has_no_right_one() -> None:
    example = Example(RICE, "  serves:  3\n", "")
    assert rows(example, []) == (Row(1, "recipe Rice", "same"), Row(2, "  serves:  3", "wrong"))


def test_both_places_of_a_clash_are_shown() -> None:
    example = Example("recipe Rice\n  serves:  3\n  serves:  4\n", "  serves:  4\n", "")
    assert told(example, "label-twice") == [
        ("same", "recipe Rice"),
        ("same", "  serves:  3"),
        ("wrong", "  serves:  4"),
    ]


def test_a_line_at_the_margin_stands_under_the_heading_it_belongs_to() -> None:
    example = Example("recipe Rice\nserves:  3\n", "\nserves", "\n  serves")
    assert told(example, "not-indented")[0] == ("same", "recipe Rice")


def test_the_kitchens_own_day_comes_first() -> None:
    text = (
        "kitchen Saltmarsh\n  currency:               NZD\n  prices go stale after:  90 days\n"
        "  costed on:              2026-03-01\n\n"
        "prices at Quay Mill on 2026-02-02\n  carrot:  2.40 for 1 kg\n\n"
        "recipe Carrots\n  serves:  4\n\ningredients\n  carrot:  600 g\n"
    )
    assert "price-stale" not in {one.rule for one in judged(text)}
    late = text.replace("  costed on:              2026-03-01\n", "")
    assert "price-stale" in {one.rule for one in judged(late)}


def test_a_rule_without_an_example_is_shown_bare() -> None:
    rule = replace(RULES["decimal-comma"], example=None)
    assert shown(rule) == Shown(rule)


def test_names_are_found_as_they_are_typed() -> None:
    """`explain` looks a rule up by its name: none may differ from how names are compared."""
    assert [name for name in RULES if name_key(name) != name] == []
