"""Every rule's example: a text with that one mistake, and its mend, judged as `benchproof check` would."""

import pytest

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Rule
from benchproof.compiler.rules import RULES
from tests.compiler.checks.checking import checked

SHOWN = [rule for rule in RULES.values() if rule.example is not None]
LONGEST = 40  # lines
LONGER = {"recipe-too-deep": "only a chain of fifty recipes is too deep"}


def loud(text: str) -> list[tuple[str, str]]:
    """What is found at warning or above."""
    return [(one.rule, one.message) for one in checked(text) if one.severity > Severity.HINT]


@pytest.mark.parametrize("rule", SHOWN, ids=lambda rule: rule.name)
def test_the_mistake_stands_in_it_once(rule: Rule) -> None:
    example = rule.example
    assert example is not None
    assert example.text.count(example.wrong) == 1
    assert example.wrong != example.right
    assert example.text.endswith("\n")
    assert example.text.count("\n") <= LONGEST or rule.name in LONGER


@pytest.mark.parametrize("rule", SHOWN, ids=lambda rule: rule.name)
def test_the_bad_text_has_this_mistake_and_no_other(rule: Rule) -> None:
    assert rule.example is not None
    assert rule.name in {one.rule for one in checked(rule.example.bad)}
    assert [one for one in loud(rule.example.bad) if one[0] != rule.name] == []


@pytest.mark.parametrize("rule", SHOWN, ids=lambda rule: rule.name)
def test_the_good_text_has_none(rule: Rule) -> None:
    assert rule.example is not None
    assert rule.name not in {one.rule for one in checked(rule.example.good)}
    assert loud(rule.example.good) == []


def test_every_rule_has_an_example() -> None:
    """Or says why no text can show it."""
    assert [rule.name for rule in RULES.values() if rule.example is None and not rule.unshown] == []
