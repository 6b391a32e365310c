"""The tree's nodes: how names are compared, and what a block answers."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchproof.compiler.parser import read
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import SHARED_KINDS, Entry, Numeric, ProseLine, Unread, name_key


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Strong Flour", "strong flour"),
        ("the strong flour", "strong flour"),
        ("The  strong \t flour ", "strong flour"),
        ("strong\u00a0flour", "strong flour"),
        ("baker’s flour", "baker's flour"),
        ("half‐and‑half", "half-and-half"),
        ("CRÈME", "crème"),
        (unicodedata.normalize("NFD", "crème fraîche"), "crème fraîche"),
        ("Maß", "mass"),
    ],
)
def test_names_that_are_the_same(one: str, other: str) -> None:
    assert name_key(one) == name_key(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("egg", "eggs"),  # no plural is guessed
        ("almond milk", "milk"),
        ("00 flour", "flour"),
        ("creme", "crème"),
        ("thyme", "yme"),
        ("half-and-half", "half and half"),
        ("flour", "flour the"),
    ],
)
def test_names_that_are_not(one: str, other: str) -> None:
    assert name_key(one) != name_key(other)


def test_a_name_that_is_only_the_stays_a_name() -> None:
    assert name_key("the") == "the"
    assert name_key("the the") == "the"  # a band, perhaps: the article goes, the name stays


@given(st.text(max_size=30))
def test_a_key_is_the_same_whatever_the_case_and_the_blanks(text: str) -> None:
    key = name_key(text)
    assert name_key(text.replace(" ", "  ")) == key
    assert name_key(f"  {text} ") == key
    assert name_key(unicodedata.normalize("NFD", text)) == key


def test_a_block_answers_by_label_first_come() -> None:
    text = "recipe T\n  makes: 4 rounds\n  Makes: 5 rounds\n  serves: 2,2\n"
    file, _ = read(Source(text))
    block = file.blocks[0]
    found = block.entry("makes")
    assert found is not None
    assert found.span.text == "makes: 4 rounds"
    assert block.entry("serves") is None  # it could not be read
    assert any(isinstance(line, Unread) for line in block.lines)
    assert list(block.prose()) == []


def test_prose_and_entries_are_told_apart() -> None:
    file, findings = read(Source("recipe T\n\nstep A\n  Stir [2 min].\n"))
    assert not findings
    assert [type(line) for line in file.blocks[1].lines] == [ProseLine]
    assert not any(isinstance(line, Entry) for line in file.blocks[1].lines)


def test_a_range_is_one_with_two_ends() -> None:
    file, _ = read(Source("style s\n  salt: 1-2 %\n  sugar: 2 %\n"))
    numbers = [entry.value.value.number for entry in file.blocks[0].entries()]
    assert [number.is_range for number in numbers if isinstance(number, Numeric)] == [True, False]


def test_what_belongs_to_the_kitchen_and_what_to_a_recipe() -> None:
    assert {
        "kitchen", "recipe", "prices", "ingredient", "style", "cupboard", "week", "checks",
    } == SHARED_KINDS  # fmt: skip
