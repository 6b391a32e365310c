"""The table of the rules of writing: whole, in plain words, and the very rules that reading can find."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchproof.compiler.command import cli
from benchproof.compiler.parser import read
from benchproof.compiler.rule import Rule
from benchproof.compiler.rulebook import writing
from benchproof.compiler.source import Source
from tests.compiler.test_rules import in_source

COMPILER = Path(__file__).resolve().parents[3] / "compiler"
READERS = (
    "block_text.py",
    "blocks.py",
    "dates.py",
    "facts.py",
    "headings.py",
    "lark_tree.py",
    "parser.py",
    "parser_messages.py",
    "values.py",
)


def test_they_are_the_rules_that_reading_a_text_can_find() -> None:
    found = set()
    for name in READERS:
        raised, unclear = in_source((COMPILER / name).read_text(encoding="utf-8"), name)
        assert unclear == []
        found.update(rule for one in raised for rule in one.names)
    assert found == {rule.name for rule in writing.RULES}


@pytest.mark.parametrize("rule", writing.RULES, ids=lambda rule: rule.name)
def test_none_can_be_silenced_and_each_is_one_sentence_a_question(rule: Rule) -> None:
    assert not rule.safety, "what is not read cannot be waived anyway"
    for text in (rule.meaning, rule.why, rule.mend):
        assert ". " not in text, text


@pytest.mark.parametrize("rule", writing.RULES, ids=lambda rule: rule.name)
def test_reading_alone_finds_the_mistake_of_its_example(rule: Rule) -> None:
    assert rule.example is not None
    found = [one.rule for one in read(Source(rule.example.bad))[1]]
    assert found
    assert set(found) == {rule.name}
    assert [one.rule for one in read(Source(rule.example.good))[1]] == []


@pytest.mark.parametrize("rule", writing.RULES, ids=lambda rule: rule.name)
def test_a_safe_mend_comes_to_what_the_example_says_is_right(rule: Rule) -> None:
    """The edit an editor offers and the example must not teach two ways of writing it."""
    assert rule.example is not None
    (finding,) = read(Source(rule.example.bad))[1]
    if finding.edit is not None:
        text, span = rule.example.bad, finding.edit.span
        assert text[: span.first] + finding.edit.text + text[span.last :] == rule.example.good


def test_a_slip_of_the_pen_can_be_explained() -> None:
    _, (finding,) = read(Source("recipe Tide bread\n  serves: 2,5\n"))
    assert finding.rule == "decimal-comma"
    told = CliRunner().invoke(cli, ["explain", finding.rule])
    assert told.exit_code == 0
    for text in ("decimal-comma", "Why it matters:", "What to do:"):
        assert re.search(rf"\b{text}", told.output)
