"""What could be written next. `|` is where the cursor stands."""

from pathlib import Path

import pytest

from benchproof.compiler.checks import expectations
from benchproof.compiler.completion import FIGURES, Suggestion, suggestions
from benchproof.compiler.workspace import Workspace
from tests.compiler.bench import DAY

KITCHEN = """kitchen Saltmarsh
  currency: NZD

prices at Lantern Street Grocer on 2026-11-02
  packet rounds: 4 for 6
  dune flour: 3.30 for 1.5 kg

ingredient dune flour
  kind: flour

"""
ROUNDS = """recipe Rounds
  makes: 4 rounds

ingredients
  dune flour: 280 g
  water: 145 %

ingredients for the glaze
  milk: 20 g

step Wake
  Stir [the dune flour].

step Rest, after Wake
  Wait.

"""


def asked(text: str) -> tuple[str, list[Suggestion]]:
    """The text before the cursor, and what is offered there."""
    before, after = text.split("|")
    workspace = Workspace(lambda: DAY)
    document = workspace.put("a", Path("/nowhere/a.bench"), before + after, 1)
    room = workspace.room("a")
    assert room is not None
    return before, suggestions(room, document.source, len(before))


def offered(text: str) -> list[str]:
    return [one.label for one in asked(text)[1]]


def line_after(text: str, label: str) -> str:
    """The cursor's line after a suggestion is taken."""
    before, found = asked(text)
    one = next(one for one in found if one.label == label)
    assert one.end == len(before)
    return (before[: one.start] + one.text).rsplit("\n", 1)[-1]


@pytest.mark.parametrize(
    ("text", "label", "line"),
    [
        ("|", "recipe", "recipe "),
        ("rec|", "recipe", "recipe "),
        (ROUNDS + "exp|", "expect", "expect"),
        (ROUNDS + "step Bake, |", "after ", "step Bake, after "),
        (ROUNDS + "step Bake, du|", "during ", "step Bake, during "),
        (ROUNDS + "step Bake, after |", "Wake", "step Bake, after Wake"),
        (ROUNDS + "step Bake, after Wake and Re|", "Rest", "step Bake, after Wake and Rest"),
        (ROUNDS + "step Bake, after Wake, Re|", "Rest", "step Bake, after Wake, Rest"),
        (ROUNDS + "step Bake, during W|", "Wake", "step Bake, during Wake"),
        (ROUNDS + "step Bake, for the gl|", "glaze", "step Bake, for the glaze"),
        (
            ROUNDS + "preferment Sponge, 25 % of the du|",
            "dune flour",
            "preferment Sponge, 25 % of the dune flour",
        ),
        (KITCHEN + "prices at La|", "Lantern Street Grocer", "prices at Lantern Street Grocer on "),
        ("ingredient str|", "strong flour", "ingredient strong flour"),
        ("recipe A\n  |", "makes", "  makes: "),
        ("recipe A\n  ba|", "base", "  base: "),
        ("recipe A\n  style: |", "pizza", "  style: pizza"),
        ("recipe A\n  style: ye|", "yeasted griddle batter", "  style: yeasted griddle batter"),
        ("recipe A\n  waive: yeast|", "yeast-too-hot", "  waive: yeast-too-hot because "),
        (
            ROUNDS.replace("4 rounds", "4 rounds\n  base: dune flour, w|"),
            "water",
            "  base: dune flour, water",
        ),
        (KITCHEN + "recipe A\n  instead of: p|", "packet rounds", "  instead of: packet rounds"),
        ("recipe A\n\ningredients\n  str|", "strong flour", "  strong flour: "),
        (KITCHEN + "recipe A\n\ningredients\n  |", "dune flour", "  dune flour: "),
        (ROUNDS + "recipe A\n\ningredients\n  R|", "Rounds", "  Rounds: "),
        ("recipe A\n\ningredients\n  strong flour: 28|", "g", "  strong flour: 28 g"),
        ("recipe A\n\ningredients\n  strong flour: 28 |", "kg", "  strong flour: 28 kg"),
        ("recipe A\n\ningredients\n  strong flour: 28 k|", "kg", "  strong flour: 28 kg"),
        ("recipe A\n\ningredients\n  strong flour: 1½ c|", "cups", "  strong flour: 1½ cups"),
        ("recipe A\n\ningredients\n  strong flour: |", "to taste", "  strong flour: to taste"),
        ("recipe A\n\ningredients\n  strong flour: 2|", "%", "  strong flour: 2 %"),
        (KITCHEN + "prices at X on 2026-11-02\n  pa|", "packet rounds", "  packet rounds: "),
        ("recipe A\n\nexpect\n  h|", "hydration", "  hydration: "),
        ("checks\n  price|", "price-stale", "  price-stale: "),
        ("checks\n  price-stale: |", "hint", "  price-stale: hint"),
        ("ingredient z\n  contains: wheat, m|", "milk", "  contains: wheat, milk"),
        ("ingredient z\n  kind: fl|", "flour", "  kind: flour"),
        ("ingredient z\n  eaten raw: |", "no", "  eaten raw: no"),
        ("kitchen K\n  measures: |", "metric", "  measures: metric"),
        ("kitchen K\n  food law: |", "Australia and New Zealand", "  food law: Australia and New Zealand"),
        ("kitchen K\n  room: 21|", "C", "  room: 21 C"),
        (ROUNDS + "week of 2026-11-02\n  Monday: R|", "Rounds", "  Monday: Rounds"),
        (ROUNDS + "step Bake\n  Stir [|", "dune flour", "  Stir [dune flour"),
        (ROUNDS + "step Bake\n  Stir [|", "the rest of the ", "  Stir [the rest of the "),
        (ROUNDS + "step Bake\n  Stir [ha|", "half the ", "  Stir [half the "),
        (ROUNDS + "step Bake\n  Stir [the |", "glaze", "  Stir [the glaze"),
        (
            ROUNDS + "step Bake\n  Stir [the rest of the du|",
            "dune flour",
            "  Stir [the rest of the dune flour",
        ),
        (ROUNDS + "step Bake\n  Stir [40 g of the |", "water", "  Stir [40 g of the water"),
        (
            ROUNDS + "step Bake\n  Stir [the water] and [half the m|",
            "milk",
            "  Stir [the water] and [half the milk",
        ),
        (ROUNDS + "step Bake\n  Wait [20|", "min", "  Wait [20 min"),
        (ROUNDS + "step Bake\n  Wait [20-25 m|", "min", "  Wait [20-25 min"),
        (ROUNDS + "step Bake\n  Wait [20 min |", "hands-off", "  Wait [20 min hands-off"),
        (ROUNDS + "step Bake\n  Bake at [200 C f|", "fan oven", "  Bake at [200 C fan oven"),
        (ROUNDS + "step Bake\n  Cook [4 |", "at a time", "  Cook [4 at a time"),
        (ROUNDS + "step Bake\n  🥐 Wait ½ [20|]", "min", "  🥐 Wait ½ [20 min"),
    ],
)
def test_it_goes_on(text: str, label: str, line: str) -> None:
    assert line_after(text, label) == line


@pytest.mark.parametrize(
    "text",
    [
        "recipe A\n  # ma|",
        "recipe A  # x |",
        "recipe A\n  summary: |",
        ROUNDS + "step Bake\n  Stir the |",
        ROUNDS + "step Bake\n  Stir [the water] and |",
        ROUNDS + "step Bake\n  Stir [[the |",
        "recipe A\n  waive: yeast-too-hot because it |",
        "nonsense A\n  x|",
    ],
)
def test_nothing_is_offered_in_free_text(text: str) -> None:
    assert offered(text) == []


def test_what_is_there_already_is_not_offered_again() -> None:
    assert "makes" not in offered("recipe A\n  makes: 4\n  |")
    assert "waive" in offered("recipe A\n  waive: yeast-too-hot because no\n  |")
    assert "strong flour" not in offered("recipe A\n\ningredients\n  strong flour: 1 g\n  |")


def test_a_step_is_not_after_itself() -> None:
    assert "Rest" not in offered(ROUNDS.replace("after Wake", "after |"))


def test_nothing_is_there_twice() -> None:
    for text in (
        "recipe A\n\ningredients\n  |",
        KITCHEN + "prices at X on 2026-11-02\n  |",
        ROUNDS + "step B\n  [|",
    ):
        names = offered(text)
        assert len(names) == len(set(names))


def test_the_figures_are_those_that_expect_knows() -> None:
    assert {*FIGURES} == {*expectations._FIGURES, *expectations._RATIOS}
