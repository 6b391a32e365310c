"""What changed, in words: text, Markdown, JSON; one case a golden file."""

import json
import re

import jsonschema
import pytest

from benchproof.compiler.comparison import Comparison, Comparisons, Passage, Side, schema
from benchproof.compiler.ratio_diff import compare
from benchproof.renderers.comparison import NOTHING, Form, comparison
from tests.compiler.repositories import KITCHEN, LOAF, PRICES
from tests.compiler.test_ratio_diff import changed, side
from tests.renderers.batches import matches_golden


def show(*found: Comparison, as_: Form = "text", width: int | None = None, colour: bool = False) -> str:
    return comparison(Comparisons(found), as_, width=width, colour=colour)


FILLED = LOAF.replace(
    "equipment",
    "ingredients for the filling\n  caster sugar: 100 g\n  butter: 50 g, softened\n\n"
    "preferment Sponge, 20 % of the flour\n  water: 60 %\n\nequipment",
).replace(
    "Stir [the strong flour]", "Stir [the Sponge], [the caster sugar], [the butter], [the strong flour]"
)


FORMS: tuple[Form, ...] = ("text", "markdown", "json")


def everything() -> Comparison:
    """A change of every kind but those of size."""
    new = FILLED
    for was, now in (
        ("68 %", "73 %"),
        ("  fine salt: 2 %\n", "  table salt: 2 %\n"),
        ("[the fine salt]", "[the table salt]"),
        ("instant yeast: 1 %\n", "instant yeast: 1 %\n  honey: 20 g\n  whole milk: 30 g\n"),
        ("50 g, softened", "50 g, melted"),
        ("20 % of the flour", "30 % of the flour"),
        ("2 loaves of 400 g", "2 loaves of 410 g"),
        ("12 % in", "13 % in"),
        ("lean hearth bread", "country bread"),
        ("baking tray", "baking tray, or a stone"),
        ("step Rise\n  Leave [60-90 min hands-off]", "step Rise\n  Cover it and leave [2 h hands-off]"),
        ("step Bake", "step Rest, after Rise\n  Leave [20 min hands-off].\n\nstep Bake"),
        ("[220 C oven]", "[230 C oven]"),
    ):
        assert was in new, was
        new = new.replace(was, now)
    return compare(
        side(FILLED), side(new, KITCHEN, PRICES.replace("3.00 for", "3.60 for") + "  honey: 9.00 for 500 g\n")
    )


def one_sided() -> Comparison:
    return compare(Side("loaf.bench at 1a2b3c4d", None, None, "There is no such recipe in it."), side(LOAF))


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("comparison-everything.txt", show(everything())),
        ("comparison-everything-narrow.txt", show(everything(), width=60)),
        ("comparison-everything.md", show(everything(), as_="markdown")),
        ("comparison-twice.txt", show(changed(("500 g", "1000 g"), ("2 loaves", "4 loaves")))),
        ("comparison-nothing.txt", show(changed(), changed(("1 %", "1.0 %")))),
        ("comparison-not-compiled.txt", show(changed(("68 %", "6,8 %"), ("knead", "knead well")))),
        ("comparison-new.txt", show(one_sided())),
        ("comparison-water.json", show(changed(("68 %", "70 %")), as_="json")),
    ],
)
def test_a_comparison_reads_as_its_golden_file(name: str, text: str) -> None:
    assert matches_golden(name, text)


def test_both_words_and_colour_say_the_same() -> None:
    coloured = show(everything(), colour=True)

    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == show(everything())


def test_the_json_keeps_to_the_schema() -> None:
    for one in (everything(), one_sided(), changed()):
        jsonschema.validate(json.loads(show(one, as_="json")), schema())


def test_the_way_back_is_told_too() -> None:
    text = show(compare(side(FILLED), side(LOAF)))

    assert "Sponge, a preferment: gone" in text
    assert "caster sugar (filling): gone, was 100 g" in text
    assert "contains milk no more, by what is stated; it came with butter" in text


def test_nothing_is_never_silence() -> None:
    assert NOTHING in show(changed())


def test_hostile_text_commands_neither_terminal_nor_page() -> None:
    nasty = LOAF.replace("baking tray", "tray \x1b[31m</b>![x](http://evil.example) @team")
    turned = Side("loaf\u202e.bench", None, (Passage("recipe A\u202e", ("a: \x1b]0;b\x07",)),), "\x07 no")

    for found in (compare(side(LOAF), side(nasty)), compare(side(LOAF), turned)):
        for form in FORMS:
            assert not {"\x1b", "\u202e", "\x07"} & set(show(found, as_=form))
    page = show(compare(side(LOAF), side(nasty)), as_="markdown")
    assert "![x](" not in page
    assert "</b>" not in page
    assert " @team" not in page


def test_an_incomplete_cost_says_so() -> None:
    text = show(compare(side(LOAF), side(LOAF, KITCHEN, PRICES.replace("  fine salt: 1.00 for 1 kg\n", ""))))

    assert "without every price" in text
    assert "a price is missing now" in text


def test_two_currencies_are_both_named() -> None:
    euros = PRICES.replace("2026-10-01", "2026-10-01 in EUR")

    text = show(compare(side(LOAF), side(LOAF, KITCHEN.replace("NZD", "EUR"), euros)))

    assert re.search(r"NZD 1\.\d\d → EUR 1\.\d\d", text)
