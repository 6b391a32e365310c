"""A recipe's history as a table."""

import json
from dataclasses import replace
from fractions import Fraction

from benchproof.compiler.batch import Extent
from benchproof.compiler.history import History, Moment, Tried, moment
from benchproof.renderers.history_table import history_table
from tests.renderers.batches import matches_golden, rounds


def at(date: str, subject: str, **more: object) -> Moment:
    one = moment(date, "1a2b3c4d", subject, "recipes/griddle-rounds.bench", None, rounds(), "compiled", "")
    return replace(one, **more)  # type: ignore[arg-type]


def griddle() -> History:
    return History(
        "Harbour griddle rounds",
        "recipes/griddle-rounds.bench",
        (
            at("2026-10-01", "The first of it"),
            moment("2026-10-02", "2b3c4d5e", "A slip", "old.bench", None, None, "not compiled", "Line 3: …"),
            at(
                "2026-10-03",
                "Wetter, and with a subject that goes on and on until nobody reads it any more, or does",
            ),
            Tried(
                "2026-10-04", "4 rounds", "208 g baked", "55 min", "lid on from the start", "tops set first"
            ),
            at(
                "2026-10-05",
                "Another name",
                renamed_from="old.bench",
                hydration=Fraction(140),
                cost_complete=False,
            ),
            moment("2026-11-20", None, "", "recipes/griddle-rounds.bench", None, rounds(), "compiled", ""),
        ),
    )


def test_a_history_reads_as_its_golden_file() -> None:
    assert matches_golden("history-rounds.txt", history_table(griddle(), "text"))


def test_subjects_are_cut_to_the_terminal() -> None:
    text = history_table(griddle(), "text", width=130)

    assert matches_golden("history-rounds-narrow.txt", text)
    assert max(len(line) for line in text.splitlines()) <= 130


def test_columns_that_say_nothing_are_left_out() -> None:
    bare = at(
        "2026-10-01", "x", hydration=None, salt=None, yeast=None, cost=None, cost_each=None, elapsed=None
    )

    text = history_table(History("A", "a.bench", (bare,)), "text")

    assert text.splitlines()[2].split() == ["date", "commit", "what", "makes"]


def test_json_keeps_what_is_exact() -> None:
    one = at("2026-10-01", "x\x1b[31m", cost_each=Fraction(1, 3), elapsed=Extent(Fraction(60), Fraction(90)))

    text = history_table(History("A", "a.bench", (one,)), "json")

    data = json.loads(text)
    assert data["moments"][0]["cost_each"]["exact"] == "1/3"
    assert "\x1b" not in text


def test_a_recipe_with_no_commits() -> None:
    assert "No commit has touched it yet." in history_table(History("A", "a.bench", ()), "text")


def test_a_hostile_subject_cannot_command_a_terminal() -> None:
    text = history_table(History("A", "a.bench", (at("2026-10-01", "x\x1b]0;evil\x07\ny"),)), "text")

    assert "\x1b" not in text
    assert "\x07" not in text
