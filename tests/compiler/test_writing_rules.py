"""The table of the rules of writing: whole, in plain words, and the very rules that reading can find."""

import ast
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchproof.compiler import writing_rules
from benchproof.compiler.command import cli
from benchproof.compiler.findings import Severity
from benchproof.compiler.parser import read
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source
from benchproof.compiler.writing_rules import WRITING_RULES, WritingRule
from tests.compiler.test_rules import in_source

COMPILER = Path(__file__).resolve().parents[2] / "compiler"
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
    assert found == {rule.name for rule in WRITING_RULES}


def test_no_name_stands_twice() -> None:
    names = [rule.name for rule in WRITING_RULES]
    assert sorted(set(names)) == sorted(names)


@pytest.mark.parametrize("row", WRITING_RULES, ids=lambda row: row.name)
def test_each_is_declared_as_it_stands_here(row: WritingRule) -> None:
    rule = RULES[row.name]
    assert (rule.family, rule.severity) == ("writing", Severity[row.level.upper()])
    assert (rule.meaning, rule.why, rule.mend) == (row.meaning, row.why, row.mend)
    assert not rule.safety, "what is not read cannot be waived anyway"


@pytest.mark.parametrize("row", WRITING_RULES, ids=lambda row: row.name)
def test_each_is_one_sentence_a_question(row: WritingRule) -> None:
    for text in (row.meaning, row.why, row.mend):
        assert ". " not in text, text


def test_no_other_rule_is_of_the_family() -> None:
    family = {name for name, rule in RULES.items() if rule.family == "writing"}
    assert family == {row.name for row in WRITING_RULES}


def test_the_table_imports_nothing_of_ours() -> None:
    """It stands below everything, so that the rules can be declared without a circle."""
    tree = ast.parse(Path(writing_rules.__file__).read_text(encoding="utf-8"))
    modules = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert modules == {"__future__", "typing"}


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_can_be_explained(rule: str) -> None:
    told = CliRunner().invoke(cli, ["explain", rule])
    assert (told.exit_code, told.output.split("  ")[0]) == (0, rule)


def test_a_slip_of_the_pen_can_be_explained() -> None:
    _, (finding,) = read(Source("recipe Tide bread\n  serves: 2,5\n"))
    assert finding.rule == "decimal-comma"
    told = CliRunner().invoke(cli, ["explain", finding.rule])
    assert told.exit_code == 0
    assert "decimal-comma  (error, about writing)" in told.output
    assert "Why it matters:" in told.output
