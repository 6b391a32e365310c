"""What every text renderer leans on: harmless names, folding, tables."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchproof.renderers.terminal import (
    cell,
    even_spaces,
    folded,
    harmless,
    harmless_in_place,
    json_text,
    painted,
    table,
)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("fine salt", "fine salt"),
        ("salt\x1b[2J", "salt␛[2J"),
        ("salt\x7f", "salt␡"),
        ("two\nlines\tand\r\na tab", "two lines and a tab"),
        ("turned \u202eround", "turned \ufffdround"),
        ("soft\u00adhyphen", "soft\ufffdhyphen"),
        ("half a pair \ud800", "half a pair \ufffd"),
        ("joined \u0915\u094d\u200d\u0937", "joined \u0915\u094d\u200d\u0937"),
    ],
)
def test_a_name_cannot_command_a_terminal(text: str, shown: str) -> None:
    assert harmless(text) == shown


@given(st.text(max_size=40))
def test_harmless_text_is_one_line_without_controls_and_stays_so(text: str) -> None:
    shown = harmless(text)
    assert all(
        character.isprintable() or character in " \u00a0\u200c\u200d\u202f\u2009" or ord(character) > 0xA0
        for character in shown
    )
    assert len(shown.splitlines()) <= 1
    assert harmless(shown) == shown


@given(st.text(max_size=40))
def test_in_place_keeps_every_column(text: str) -> None:
    shown = harmless_in_place(text)
    assert len(shown) == len(text)
    assert [i for i, c in enumerate(shown) if c == "\t"] == [i for i, c in enumerate(text) if c == "\t"]
    assert "\x1b" not in shown


def test_colour_is_added_and_no_more() -> None:
    assert painted("low", "red", False) == "low"
    assert painted("low", "red", True) == "\x1b[1;31mlow\x1b[0m"


def test_amounts_are_never_cut_by_a_line_end() -> None:
    lines = folded("Whisk in 376\u2009g of water and leave it for 1\u2009h\u00a030\u2009min", 24, indent=2)
    assert lines == ["  Whisk in 376 g of", "    water and leave it", "    for 1 h 30 min"]


def test_without_a_width_nothing_is_folded() -> None:
    assert folded("word " * 60, None, indent=2) == ["  " + "word " * 60]


def test_blanks_of_every_kind_become_plain_ones() -> None:
    assert even_spaces("280\u2009g\u00a0\u202f%") == "280 g  %"


def test_a_table_lines_up_and_leaves_no_blanks_at_the_end() -> None:
    text = table(
        ["item", "cost"],
        [False, True],
        [["flour", "0.56"], ["[red]salt[/red]", "12.00"]],
        [["in all", "12.56"]],
        width=None,
        colour=False,
    )
    assert text.splitlines() == [
        "item               cost",
        "-----------------------",
        "flour              0.56",
        "[red]salt[/red]   12.00",
        "-----------------------",
        "in all            12.56",
    ]
    assert text.endswith("\n")


def test_a_cell_is_never_markup() -> None:
    assert cell("[bold]salt\x1b").plain == "[bold]salt␛"


def test_json_is_read_back_as_it_was_and_cannot_command_a_terminal() -> None:
    value = {"name": "salt\x9b2J \u202e \U000e0041", "½": ["a\nb"]}
    text = json_text(value)
    assert json.loads(text) == value
    assert not set("\x9b\u202e\U000e0041") & set(text)
    assert "½" in text
    assert "\\u202e" in text


def test_json_has_no_numbers_that_are_none() -> None:
    with pytest.raises(ValueError, match="JSON"):
        json_text(float("nan"))
