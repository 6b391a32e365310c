"""What is understood but not computed is said in a hint, never an error."""

import pytest

from benchproof.compiler.findings import Severity
from tests.compiler.checks.checking import checked, rice


def test_it_is_a_hint() -> None:
    found = checked(rice(head="  adapted from:  a card in the drawer\n"))
    assert [(one.rule, one.severity, one.span.text) for one in found] == [
        ("not-used-yet", Severity.HINT, "adapted from")
    ]


@pytest.mark.parametrize(
    "block", ["cupboard on 2026-11-02\n  white rice:  1.2 kg\n", "week of 2026-11-02\n  Monday: Rice\n"]
)
def test_a_whole_block_is_told_once(block: str) -> None:
    found = checked(rice() + "\n" + block)
    assert [(one.rule, one.severity) for one in found] == [("not-used-yet", Severity.HINT)]


def test_a_trial_is_read_by_the_checks() -> None:
    found = checked(rice() + "\ntrial 2026-11-09\n  made:    1 pot\n  result:  a little wet\n")
    assert [(one.rule, one.message) for one in found] == []
