"""Every threshold about safety against the row of the published table it comes from, in the row's own unit.

`data/food_safety.csv` names the text each row comes from, and whether it was read (`seen`) or recalled (`memory`).
"""

import csv
import re
from fractions import Fraction
from pathlib import Path

import pytest

from benchproof.compiler import food_safety
from benchproof.compiler.food_safety import Published
from benchproof.compiler.rulebook.harm import RULES

pytestmark = pytest.mark.outside

with (Path(__file__).parent / "data" / "food_safety.csv").open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))

FIGURES = {name: value for name, value in vars(food_safety).items() if isinstance(value, Published)}


def row(topic: str, item: str, scope: str | None = None) -> dict[str, str]:
    found = [
        one for one in ROWS if one["topic"] == topic and one["item"] == item and scope in (None, one["scope"])
    ]
    assert len(found) == 1, (topic, item)
    return found[0]


def number(text: str) -> Fraction:
    match = re.match(r"-?\d+(?:\.\d+)?", text)
    assert match is not None, text
    return Fraction(match[0])


def test_there_are_figures_and_each_is_a_row() -> None:
    assert len(FIGURES) > 20
    for name, figure in FIGURES.items():
        assert row(figure.topic, figure.item, figure.scope), name


# What a row gives as `value` and `unit`; the others hold theirs in the item.
@pytest.mark.parametrize("name", [name for name in FIGURES if name not in ("HEAT", "DISCARD")])
def test_a_figure_is_the_rows_in_its_own_unit(name: str) -> None:
    figure = FIGURES[name]
    found = row(figure.topic, figure.item, figure.scope)
    assert number(found["value"]) == figure.value
    assert found["unit"].split()[0] == {"F": "degF", "C": "degC", "h": "h", "min": "min"}[figure.unit]


def test_the_figures_that_stand_in_words() -> None:
    assert "ambient above 90 F" in row("danger zone", "perishable food out, ambient above 90 F")["item"]
    assert food_safety.HEAT.value == 90
    discard = row("2-hour/4-hour rule", "total time 5-60 C 4 h or more")
    assert discard["value"] == "discard"
    assert "treat 4 h as discard" in discard["note"]
    assert food_safety.DISCARD.value == 4
    zone = row("danger zone", "consumer danger zone")["value"]
    assert zone == "-".join(str(end.value) for end in food_safety.ZONE) == "40-140"
    limits = row("danger zone", "temperature control limits")
    assert limits["value"] == " and ".join(str(end.value) for end in food_safety.STANDARD_ZONE)


@pytest.mark.parametrize("name", FIGURES)
def test_what_was_not_read_is_called_from_memory(name: str) -> None:
    figure = FIGURES[name]
    found = row(figure.topic, figure.item, figure.scope)
    assert figure.seen is (found["seen"] == "seen")
    assert ("from memory" in figure.named) is not figure.seen


@pytest.mark.parametrize("name", FIGURES)
def test_a_figure_names_the_rows_source(name: str) -> None:
    figure = FIGURES[name]
    words = re.findall(r"[A-Z][A-Za-z]+|\d+\.\d+", row(figure.topic, figure.item, figure.scope)["source"])
    assert any(word in figure.source for word in words), (figure.source, words)


def test_the_rest_and_the_ham_are_notes_of_their_rows() -> None:
    for figure in (food_safety.WHOLE_CUTS, food_safety.PORK):
        note = row(figure.topic, figure.item)["note"]
        assert f"rest {food_safety.REST} min" in note
    note = row(food_safety.HAM_REHEATED.topic, food_safety.HAM_REHEATED.item)["note"]
    assert f"{food_safety.HAM_FROM_A_PLANT} F if packed" in note


def test_degrees_celsius_agree_with_the_rows_note_to_a_tenth() -> None:
    """The note of each row gives its Celsius, rounded: 73.9 degC."""
    checked = 0
    for name, figure in FIGURES.items():
        found = re.match(r"(\d+\.\d) degC", row(figure.topic, figure.item, figure.scope)["note"])
        if figure.unit == "F" and found and figure.topic == "minimum internal temperature":
            assert abs(figure.celsius - Fraction(found[1])) <= Fraction(1, 20), name
            checked += 1
    assert checked >= 10


def test_a_page_that_is_wrong_is_not_copied() -> None:
    """One extension page prints 165 F for minced meat: the row says so, and that it is wrong."""
    wrong = row("conflict", "ground meats printed as 165 F")
    assert "do not copy" in wrong["note"]
    assert food_safety.MINCED_MEAT.value != number(wrong["value"])


def test_the_low_acid_line_is_the_rows() -> None:
    assert row("out of scope", "low-acid canning boundary")["value"] == "pH 4.6"
    assert Fraction(46, 10) == food_safety.LOW_ACID


def test_rules_without_a_figure_name_the_rows_source() -> None:
    assert (
        row("raw flour", "untreated flour may carry E. coli and Salmonella")["source"]
        == food_safety.RAW_FLOUR
    )
    assert row("raw egg", "raw or lightly cooked egg")["source"] == food_safety.RAW_EGG
    advice = row("raw flour", "home heat treatment of flour")
    assert advice["value"] == "not recommended"
    assert advice["source"] == food_safety.FLOUR_AT_HOME
    assert row("rice and starch", "cooked rice, pasta")["source"] == food_safety.RICE
    assert row("foil", "acidic or salty food in uncoated aluminium")["source"] in food_safety.FOIL


def test_every_rule_of_the_family_names_a_source_but_the_ones_without_a_threshold() -> None:
    bare = {rule.name for rule in RULES if not rule.source}
    assert bare == {"allergens-not-stated", "food-law-not-named"}
