"""A day on the back of an envelope."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from rich.cells import cell_len

from benchproof.renderers.day.text import day_text
from tests.renderers.day import samples

GOLDEN = Path(__file__).with_name("golden")


@pytest.mark.parametrize("name", samples.ALL)
def test_a_day_reads_as_its_golden_file(name: str) -> None:
    """WRITE_GOLDEN=1 renews them: then read the difference as a cook would."""
    path = GOLDEN / f"{name}.txt"
    text = day_text(samples.ALL[name]())
    if os.environ.get("WRITE_GOLDEN"):
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", samples.ALL)
@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_width_is_kept(name: str, width: int) -> None:
    lines = day_text(samples.ALL[name](), width=width).splitlines()
    assert [line for line in lines if cell_len(line) > width] == []


@pytest.mark.parametrize("name", samples.ALL)
def test_colour_only_adds(name: str) -> None:
    day = samples.ALL[name]()
    coloured = day_text(day, colour=True)
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == day_text(day)


def test_where_there_is_little_room_the_recipes_go_by_letters_that_are_told() -> None:
    text = day_text(samples.supper(), width=80)
    assert "A is Lamplighter's chicken; B is Jetty crumble; C is Low tide bean stew." in text
    assert re.search(r"^17:10 +Crumble +6 min +B", text, re.M)


def test_a_name_cannot_command_the_terminal() -> None:
    text = day_text(samples.renamed(samples.supper(), "\x1b]0;mine\x07\u202etrap", "\x1b[2Jgone\r\n"))
    assert not re.search(r"[\x00-\x09\x0b-\x1f\u202e]", text)


def test_a_day_of_nothing_is_said_to_be_one() -> None:
    day = samples.rounds()
    empty = replace(day, recipes=(), activities=(), notes=(), length=Fraction(0), hands_on=Fraction(0))
    assert "Nothing to do" in day_text(empty)
