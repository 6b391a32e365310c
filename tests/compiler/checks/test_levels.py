"""Waivers and a kitchen's own levels: what they hide, what they cannot, and what is said of them."""
# ruff: noqa: E501 - recipes on one line

import pytest

from benchproof.compiler.batch_json import batch_json
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.request import Request
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source
from tests.compiler.checks.checking import checked, loaf, only, rice, told

LOOSE = "  Wait 5 min.\n"
SAFETY = sorted(name for name, rule in RULES.items() if rule.safety)
WRITING = sorted(name for name, rule in RULES.items() if rule.family == "writing")
GUARDS = {"cannot-be-silenced", "unknown-rule", "waiver-unused"}
"""Rules that watch the levels themselves."""
OTHERS = sorted(
    name
    for name, rule in RULES.items()
    if not rule.safety and rule.family != "writing" and name not in GUARDS
)


def waived(rule: str) -> str:
    return f"  waive:   {rule} because the reason is a good one\n"


def checks(rule: str, level: str) -> str:
    return f"checks\n  {rule}:  {level}\n\n"


def test_a_waiver_hides_its_rule_in_its_recipe() -> None:
    assert told(rice(LOOSE)) == ["loose-number"]
    assert told(rice(LOOSE, head=waived("loose-number"))) == []


def test_it_hides_every_finding_of_the_rule_there() -> None:
    assert told(rice(LOOSE + "  And 7 min.\n", head=waived("loose-number"))) == []


def test_it_hides_nothing_of_another_rule() -> None:
    found = told(rice(LOOSE + "  Add [the parsley].\n", head=waived("loose-number")))
    assert found == ["not-in-the-list"]


def test_it_hides_nothing_in_another_recipe() -> None:
    other = rice(LOOSE).replace("recipe Rice", "recipe Other rice")
    assert told(rice(head=waived("loose-number")) + "\n" + other) == ["waiver-unused", "loose-number"]


def test_it_hides_nothing_in_another_file() -> None:
    other = rice(LOOSE).replace("recipe Rice", "recipe Other rice")
    assert sorted(told(rice(head=waived("loose-number")), other)) == ["loose-number", "waiver-unused"]


def test_a_rule_by_another_name_is_asked_about() -> None:
    found = only("unknown-rule", rice(head=waived("loose-numbers")))
    assert found.span.text == "loose-numbers"
    assert "loose-number" in found.help


def test_capitals_do_not_matter() -> None:
    assert told(rice(LOOSE, head=waived("Loose-Number"))) == []


def test_an_error_can_be_waived_too_with_a_reason() -> None:
    assert told(loaf(salt="20 %")) == ["slipped-decimal"]
    assert told(loaf(salt="20 %", head=waived("slipped-decimal"))) == []


def test_what_cannot_be_read_cannot_be_waived() -> None:
    text = rice(head=waived("decimal-comma")).replace("200 g", "2,5 g")
    assert "decimal-comma" in told(text)


@pytest.mark.parametrize("rule", ["unknown-allergen"])
def test_a_safety_rule_is_waived_with_a_reason_that_reaches_the_batch(rule: str) -> None:
    text = loaf(head="  may contain:  sawdust\n" + waived(rule))
    assert told(text) == []
    kitchen = Kitchen([Source(text, "a.bench")])
    batch = Compiler(kitchen).compile(kitchen.own_recipes()[0], Request(on="2026-11-20")).batch
    assert batch is not None
    assert [(one.rule, one.reason, one.safety) for one in batch.waived] == [
        (rule, "the reason is a good one", True)
    ]
    assert "the reason is a good one" in batch_json(batch)


# ---------------------------------------------------------------- levels


@pytest.mark.parametrize(
    ("level", "severity"), [("hint", Severity.HINT), ("warning", Severity.WARNING), ("error", Severity.ERROR)]
)
def test_a_kitchen_sets_its_own_level(level: str, severity: Severity) -> None:
    assert only("loose-number", checks("loose-number", level) + rice(LOOSE)).severity is severity


def test_off_is_off() -> None:
    assert told(checks("loose-number", "off") + rice(LOOSE)) == []


@pytest.mark.parametrize("rule", OTHERS)
@pytest.mark.parametrize("level", ["off", "hint", "warning", "error"])
def test_every_other_rule_takes_every_level(rule: str, level: str) -> None:
    assert told(checks(rule, level)) == []


@pytest.mark.parametrize(
    ("rule", "level"),
    [
        (rule, level)
        for rule in SAFETY
        for level in ("off", "hint", "warning", "error")
        if level == "off" or Severity[level.upper()] < RULES[rule].severity
    ],
)
def test_safety_rules_are_not_silenced_nor_played_down(rule: str, level: str) -> None:
    assert "safety" in only("cannot-be-silenced", checks(rule, level)).message


@pytest.mark.parametrize("level", ["off", "hint", "warning"])
def test_the_finding_itself_keeps_its_level(level: str) -> None:
    found = checked(checks("unknown-allergen", level) + loaf(head="  may contain:  sawdust\n"))
    assert [(one.rule, one.severity) for one in found] == [
        ("cannot-be-silenced", Severity.ERROR),
        ("unknown-allergen", Severity.ERROR),
    ]


@pytest.mark.parametrize("level", ["off", "hint", "warning"])
def test_a_rule_of_writing_is_not_silenced(level: str) -> None:
    found = told(checks("decimal-comma", level) + rice().replace("200 g", "2,5 g"))
    assert "cannot-be-silenced" in found
    assert "decimal-comma" in found


@pytest.mark.parametrize("rule", [*SAFETY, "decimal-comma"])
def test_as_loud_as_it_is_may_be_written_down(rule: str) -> None:
    level = RULES[rule].severity.word
    assert told(checks(rule, level)) == []


@pytest.mark.parametrize("rule", ["cannot-be-silenced", "unknown-rule"])
def test_the_guard_is_not_silenced_itself(rule: str) -> None:
    """Nobody may be left in the belief that a safety rule is off, or a misspelt one."""
    text = f"checks\n  {rule}:  off\n  unknown-allergen:  off\n  loose-nmber:  off\n"
    assert rule in told(text)


def test_there_is_more_than_one_safety_rule() -> None:
    assert {"unknown-allergen", "unknown-food-law"} <= set(SAFETY)
    assert len(WRITING) > 50


def test_a_level_does_not_play_down_an_error_of_the_case() -> None:
    """`yeast-too-hot` warns, and is an error where the yeast is killed: `warning` should not lower that."""
    hot = loaf().replace(
        "Knead everything: [the strong flour], [the water], [the fine salt] and [the instant yeast], [10 min].",
        "Whisk [the instant yeast] into [the water] at [65 C].\n\nstep Knead\n  Knead with [the strong flour] and [the fine salt].",
    )
    assert only("yeast-too-hot", checks("yeast-too-hot", "warning") + hot).severity is Severity.ERROR
