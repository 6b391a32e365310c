"""The notebook as a table, with the lines to paste."""

import json

from benchproof.renderers.trials_table import trials_table
from tests.compiler.test_notebook import DOUGH, KITCHEN, book, trial
from tests.renderers.batches import matches_golden

LINES = [
    trial(
        day,
        "made: 2 loaves",
        f"weighed: {weighed} g baked",
        f"water: {water} C",
        f"dough: {dough} C",
        f"took: {took} min",
        "result: fine",
    )
    for day, weighed, water, dough, took in (
        (1, 740, 28, 25, 150),
        (5, 730, 27, 25, 162),
        (9, 745, 29, 26, 155),
    )
]


def test_three_trials_read_as_their_golden_file() -> None:
    assert matches_golden("trials-loaf.txt", trials_table(book(*LINES, trial(12, "result: pale")), "text"))


def test_in_fahrenheit_a_rise_has_no_thirty_two_in_it() -> None:
    text = trials_table(book(*LINES, kitchen=KITCHEN + "  measures: US\n"), "text")

    assert matches_golden("trials-loaf-fahrenheit.txt", text)
    assert "10.8 °F in the middle" in text  # 6 C


def test_one_trial_offers_nothing_yet() -> None:
    text = trials_table(book(LINES[0]), "text")

    assert "From 3 trials on" in text
    assert "To go by it" not in text


def test_what_nobody_measured_has_no_column() -> None:
    text = trials_table(book(trial(1, "made: 2 loaves", "took: 2 h")), "text")

    assert text.splitlines()[2].split() == ["trial", "made", "took", "planned"]


def test_no_trials_at_all() -> None:
    assert "No trial has measured anything yet" in trials_table(book(), "text")


def test_a_figure_that_is_written_already() -> None:
    trials = [trial(n, "made: 2 loaves", "weighed: 752.4 g baked") for n in (1, 2, 3)]

    assert "That is what is written already." in trials_table(book(*trials), "text")


def test_json_holds_the_lines_and_the_exact_figures() -> None:
    data = json.loads(trials_table(book(*LINES, recipe=DOUGH), "json"))

    assert [one["what"] for one in data["own"]] == ["loss", "friction", "time"]
    assert data["held"][0]["weight"]["exact"] == "3762/5"


def test_width_is_kept_by_the_prose() -> None:
    text = trials_table(book(*LINES), "text", width=70)
    prose = text.split("own loss, from")[1]

    assert all(len(line) <= 70 for line in prose.splitlines())
