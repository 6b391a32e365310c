"""Trials: when they were, what they say, and what they measured against what was worked out."""

import pytest

from benchproof.compiler.findings import Severity
from benchproof.compiler.rules import RULES
from tests.compiler.checks.checking import checked, told

BUNS = (
    "recipe Tide buns\n  makes:  8 buns of 80 g\n  loses:  10 % in the oven\n  base:   strong flour\n"
    "  date:   2026-11-02\n\n"
    "ingredients\n  strong flour:   381 g\n  water:          248 g\n  fine salt:        8 g\n  instant yeast:    3 g\n"
    "\n"
    "step Mix\n  Stir [the strong flour], [the water], [the fine salt] and [the instant yeast] to a [25 C dough]; "
    "knead, [10 min].\n"
)


def trial(*lines: str, day: str = "2026-11-09") -> str:
    return f"\ntrial {day}\n" + "".join(f"  {line}\n" for line in lines)


def of(rule: str, *trials: str, head: str = "", on: str | None = None) -> list[str]:
    return [one.span.text for one in checked(head + BUNS + "".join(trials), on=on) if one.rule == rule]


def test_the_buns_are_in_order() -> None:
    found = told(BUNS + trial("made: 8 buns", "weighed: 576 g baked", "result: good"))
    assert [rule for rule in found if RULES[rule].family == "notebook"] == []


# ---------------------------------------------------------------- when


@pytest.mark.parametrize(
    ("day", "ahead"), [("2026-11-20", False), ("2026-11-21", True), ("2025-01-01", False)]
)
def test_a_trial_of_a_day_to_come(day: str, ahead: bool) -> None:
    assert of("trial-dated-ahead", trial("result: good", day=day)) == ([day] if ahead else [])


def test_a_kitchen_that_costs_on_an_earlier_day_may_have_later_trials() -> None:
    head = "kitchen Still\n  costed on: 2026-11-05\n\n"
    assert of("trial-dated-ahead", trial("result: good", day="2026-11-09"), head=head) == []


@pytest.mark.parametrize(
    ("days", "told"),
    [
        ("123", 0),
        ("321", 0),
        ("113", 0),
        ("132", 1),
        ("213", 1),
        ("1324", 1),
    ],
)
def test_trials_in_order_either_way(days: str, told: int) -> None:
    trials = [trial("result: good", day=f"2026-11-0{day}") for day in days]
    assert len(of("trials-out-of-order", *trials)) == told


# ---------------------------------------------------------------- what it says


def test_a_trial_of_nothing() -> None:
    assert of("trial-empty", trial()) == ["2026-11-09"]
    assert of("trial-empty", trial("It rained.")) == []
    assert of("trial-empty", trial("made: 8 buns")) == []


def test_a_change_without_a_result() -> None:
    assert of("trial-without-result", trial("changed: lid on")) == ["changed: lid on"]
    assert of("trial-without-result", trial("changed: lid on", "result: soft")) == []
    assert of("trial-without-result", trial("changed: lid on", "Softer, and nobody minded.")) == []
    assert of("trial-without-result", trial("result: soft")) == []


NEXT = trial("result: pale", "next: two minutes more")


def test_what_was_to_be_tried_next() -> None:
    assert of("next-not-taken-up", NEXT) == ["two minutes more"]
    assert of("next-not-taken-up", NEXT, trial("result: good", day="2026-11-10")) == []
    assert of("next-not-taken-up", trial("result: good", day="2026-11-10"), NEXT) == []  # the newest first
    assert of("next-not-taken-up", trial("result: good", day="2026-11-08"), NEXT) == ["two minutes more"]


@pytest.mark.parametrize(("date", "told"), [("2026-11-08", 1), ("2026-11-09", 1), ("2026-11-10", 0)])
def test_a_recipe_written_since_has_taken_it_up(date: str, told: int) -> None:
    text = (BUNS + NEXT).replace("2026-11-02", date)
    assert len([one for one in checked(text) if one.rule == "next-not-taken-up"]) == told


def test_a_long_next_is_cut() -> None:
    finding = next(
        one
        for one in checked(BUNS + trial("next: " + "a minute more, " * 20))
        if one.rule == "next-not-taken-up"
    )
    assert len(finding.message) < 150


# ---------------------------------------------------------------- what it measured


@pytest.mark.parametrize(
    ("made", "told"),
    [("8 buns", 0), ("1 bun", 0), ("8", 0), ("8 small buns", 0), ("2 loaves", 1), ("8 rolls", 1)],
)
def test_a_trial_counts_what_the_recipe_counts(made: str, told: int) -> None:
    assert len(of("trial-counts-others", trial(f"made: {made}", "result: good"))) == told


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (["made: 8 buns", "weighed: 576 g baked"], 0),  # 640 g less a tenth
        (["made: 8 buns", "weighed: 1152 g baked"], 0),
        (["made: 8 buns", "weighed: 1153 g baked"], 1),
        (["made: 8 buns", "weighed: 288 g baked"], 0),
        (["made: 8 buns", "weighed: 287 g baked"], 1),
        (["made: 8 buns", "weighed: 1280 g"], 0),  # unbaked
        (["made: 8 buns", "weighed: 1281 g"], 1),
        (["made: 4 buns", "weighed: 288 g baked"], 0),
        (["made: 4 buns", "weighed: 640 g baked"], 1),
        (["weighed: 288 g baked"], 0),  # half a batch, it seems
        (["weighed: 57.6 g baked"], 1),
        (["weighed: 5.76 kg baked"], 1),
    ],
)
def test_what_a_trial_weighed(lines: list[str], told: int) -> None:
    assert len(of("trial-weight-far-off", trial(*lines, "result: good"))) == told


@pytest.mark.parametrize(
    ("line", "severity"),
    [
        ("water: 31 C", None),
        ("water: 54 C", None),
        ("water: 55 C", Severity.WARNING),  # 130 F is 54.4 C
        ("water: 131 F", Severity.WARNING),
        ("water: 101 C", Severity.WARNING),
        ("dough: 25 C", None),
        ("dough: 17 C", None),  # asked: 25 C
        ("dough: 33 C", None),
        ("dough: 16 C", Severity.HINT),
        ("dough: 34 C", Severity.HINT),
        ("dough: 4 C", Severity.WARNING),
        ("dough: 41 C", Severity.WARNING),
        ("dough: 250 C", Severity.WARNING),
        ("dough: 77 F", None),
    ],
)
def test_what_a_thermometer_said(line: str, severity: Severity | None) -> None:
    text = BUNS + trial(line, "result: good")
    found = [one.severity for one in checked(text) if one.rule == "trial-temperature-unlikely"]
    assert found == ([severity] if severity else [])


def test_without_yeast_water_may_boil() -> None:
    rice = (
        "recipe Rice\n  serves: 3\n\ningredients\n  white rice: 200 g\n  water: 300 g\n"
        + trial("water: 100 C", "result: good")
    )  # fmt: skip
    assert "trial-temperature-unlikely" not in told(rice)
    assert "trial-temperature-unlikely" in told(rice.replace("100 C", "180 C"))
