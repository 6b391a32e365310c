"""The kitchen's own settings: just inside, just outside."""

import pytest

from tests.compiler.checks.checking import rice, told

RULE = "unlikely-setting"


@pytest.mark.parametrize(
    ("line", "odd"),
    [
        ("room: 5 C", False),
        ("room: 4.9 C", True),
        ("room: 45 C", False),
        ("room: 46 C", True),
        ("room: 21 F", True),
        ("flour: -5 C", False),
        ("flour: -6 C", True),
        ("tap water: 8-55 C", False),
        ("tap water: 8-91 C", True),
        ("tap water: 41-55 C", True),
        ("tap water: 8-24 C", True),
        ("friction: 25 C in the mixer", False),
        ("friction: 26 C in the mixer", True),
        ("altitude: 5000 m", False),
        ("altitude: 5001 m", True),
        ("prices go stale after: 5 days", False),
        ("prices go stale after: 4 days", True),
        ("prices go stale after: 730 days", False),
        ("prices go stale after: 731 days", True),
        ("scales: 0.1 g to 500 g", False),
        ("scales: 0.1 g to 500 kg", True),
        ("scales: 1 g to 19 g", True),
        ("scales: 1 kg to 100 kg", True),
        ("scales: 10 g to 990 g", True),
        ("scales: 10 g to 1 kg", False),
        ("scales: 0.01 g to 600 g", False),
        ("scales: 0.01 g to 601 g", True),
    ],
)
def test_what_no_kitchen_has(line: str, odd: bool) -> None:
    found = told(f"kitchen Saltmarsh\n  {line}\n\n" + rice())
    assert (RULE in found) is odd


def test_without_a_kitchen_block_nothing_is_said() -> None:
    assert RULE not in told(rice())
