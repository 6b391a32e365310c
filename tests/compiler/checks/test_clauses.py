"""Which words a time belongs to, how hot the oven is by then, and what is in the bowl."""

from fractions import Fraction

from benchproof.compiler.checks.clauses import (
    drawn_in,
    items_before,
    lines_of,
    share_of,
    times_of,
)
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source

HEAD = """recipe Barley bread
  makes:  1 loaf

ingredients
  strong flour:   500 g
  water:          340 g
  fine salt:       10 g
  instant yeast:    6 g

"""
MIX = (
    "step Mix\n  Knead [the strong flour], [the water], [the fine salt] and [the instant yeast], [8 min].\n\n"
)


def compiled(text: str) -> Compiled:
    kitchen = Kitchen([Source(text, "a.bench")])
    return Compiler(kitchen).compile(kitchen.own_recipes()[0], Request(on="2026-11-20"))


def told(step: str) -> list[tuple[str, list[str], bool]]:
    whole = compiled(f"{HEAD}{MIX}step Last\n  {step}\n")
    return [
        (one.run.text, [verb.name for verb in one.verbs], one.fresh)
        for one in times_of(whole.method.steps[1])
    ]


def test_the_last_sentence_with_something_to_do() -> None:
    assert told("Shape it, [3 min]. Turn out and cool on a rack, [1 h hands-off].") == [
        ("3 min", ["shape"], True),
        ("1 h hands-off", ["cool"], True),
    ]


def test_what_carries_on_takes_over() -> None:
    assert told("Bake at [230 C oven], [10 min hands-off], then at [200 C oven], [20 min hands-off].") == [
        ("10 min hands-off", ["bake"], True),
        ("20 min hands-off", ["bake"], False),
    ]


def test_unknown_words_take_over_nothing() -> None:
    assert told("Chill [30 min hands-off], then lay it out, [1 min].")[1] == ("1 min", [], False)


def test_a_line_that_goes_on_below() -> None:
    assert told("Bake it in a hot pot,\n  [40 min hands-off].") == [("40 min hands-off", ["bake"], False)]
    assert told("Bake it in a hot pot.\n  [40 min hands-off].") == [("40 min hands-off", [], False)]


def test_the_oven_holds_until_the_next() -> None:
    step = compiled(
        f"{HEAD}{MIX}step Bake\n  Bake at [230 C oven], [10 min hands-off].\n  Turn to [200 C oven], "
        "[20 min hands-off]. Leave [5 min hands-off].\n"
    ).method.steps[1]
    heats = [one.oven.low if one.oven else None for one in times_of(step)]
    assert heats == [230, 200, 200]


def test_loads_hold_to_the_end_of_their_line() -> None:
    step = compiled(
        f"{HEAD}{MIX}step Bake\n  Bake [1 at a time]: [10 min], turn, [5 min].\n  Leave [5 min hands-off].\n"
    ).method.steps[1]
    assert [one.load is not None for one in times_of(step)] == [True, True, False]


def test_the_sentence_of_a_fact() -> None:
    line = lines_of(
        compiled(f"{HEAD}{MIX}step Bake\n  Shape it. Bake at [230 C oven]. Cool.\n").method.steps[1]
    )[0]
    assert line.said(line.events[1]) == " Bake at ◊."
    assert line.text == "Shape it. Bake at ◊. Cool."


def test_what_has_gone_in() -> None:
    whole = compiled(f"{HEAD}{MIX}step Bake\n  Bake [40 min hands-off].\n")
    items = items_before(whole.method, whole.method.steps[1])
    assert [item.name.text for item in items] == ["strong flour", "water", "fine salt", "instant yeast"]
    assert share_of(items, "flour") == Fraction(500, 856)
    assert share_of([], "flour") == 0
    assert len(drawn_in(lines_of(whole.method.steps[0])[0])) == 4
    assert drawn_in(lines_of(whole.method.steps[1])[0]) == []
