"""Every form of fact, and the brackets around them."""

from fractions import Fraction

import pytest

from benchproof.compiler.parser import read
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import (
    ChangeFact,
    Draw,
    DurationFact,
    LoadFact,
    MeasureFact,
    Numbered,
    Numeric,
    Percentage,
    ProseLine,
    Quantity,
    Share,
    TemperatureFact,
    Text,
    TurnsFact,
    Unread,
)
from tests.compiler.reading import ends, fact, only_line, rules, terms


@pytest.mark.parametrize(
    ("written", "kind", "number", "name"),
    [
        ("the water", "all-left", None, "the water"),
        ("fine salt", "all-left", None, "fine salt"),
        ("half the caster sugar", "fraction", Fraction(1, 2), "caster sugar"),
        ("half of the sugar", "fraction", Fraction(1, 2), "sugar"),
        ("a third of the butter", "fraction", Fraction(1, 3), "butter"),
        ("two thirds of butter", "fraction", Fraction(2, 3), "butter"),
        ("three quarters of the milk", "fraction", Fraction(3, 4), "milk"),
        ("25 % of the water", "fraction", Fraction(1, 4), "water"),
        ("1/2 of the sugar", "fraction", Fraction(1, 2), "sugar"),
        ("½ of the sugar", "fraction", Fraction(1, 2), "sugar"),
        ("2 of the eggs", "count", Fraction(2), "eggs"),
        ("the rest of the milk", "rest", None, "milk"),
        ("rest of milk", "rest", None, "milk"),
        ("all the water", "all", None, "water"),
        ("all of the water", "all", None, "water"),
        ("all but 2 of the eggs", "all-but", Fraction(2), "eggs"),
        ("half and half", "all-left", None, "half and half"),
        ("half the half and half", "fraction", Fraction(1, 2), "half and half"),
        ("half cream", "all-left", None, "half cream"),
        ("all spice", "all-left", None, "all spice"),
        ("the 00 flour", "all-left", None, "the 00 flour"),
        ("2 of the 00 flour", "count", Fraction(2), "00 flour"),
        ("the 70 % chocolate", "all-left", None, "the 70 % chocolate"),
        ("the fine salt for the topping", "all-left", None, "the fine salt for the topping"),
        ("the yolks of the eggs", "all-left", None, "the yolks of the eggs"),
        ("coffee: cold", "all-left", None, "coffee: cold"),
    ],
)
def test_draws(written: str, kind: str, number: Fraction | None, name: str) -> None:
    draw = fact(written)
    assert isinstance(draw, Draw)
    assert (draw.share.kind, draw.share.number, draw.name.text, draw.name.span.text) == (
        kind,
        number,
        name,
        name,
    )


def test_draws_of_an_amount() -> None:
    draw, but = fact("40 g of the butter"), fact("all but 20 g of the water")
    assert isinstance(draw, Draw)
    assert draw.share == Share("quantity", quantity=draw.share.quantity)
    assert terms(draw.share.quantity) == [(Fraction(40), "g")]
    assert isinstance(but, Draw)
    assert (but.share.kind, terms(but.share.quantity)) == ("all-but", [(Fraction(20), "g")])


@pytest.mark.parametrize(
    ("written", "words", "kind"),
    [
        ("00 flour", "flour", Numeric),
        ("2 eggs", "eggs", Numeric),
        ("12 rounds", "rounds", Numeric),
        ("5-spice powder", "-spice powder", Numeric),
        ("70 % chocolate", "chocolate", Percentage),
        ("40 g butter", "butter", Quantity),
    ],
)
def test_a_number_without_of_waits_for_the_names(written: str, words: str, kind: type) -> None:
    numbered = fact(written)
    assert isinstance(numbered, Numbered)
    assert (numbered.raw.text, numbered.words.text) == (written, words)
    assert isinstance(numbered.number, kind)


@pytest.mark.parametrize(
    ("written", "low", "high", "hands_off", "limit"),
    [
        ("20 min", [(20, "min")], [(20, "min")], False, None),
        ("20-25 min hands-off", [(20, "min")], [(25, "min")], True, None),
        ("20 min hands-on", [(20, "min")], [(20, "min")], False, None),
        ("1 h 30 min", [(1, "h"), (30, "min")], [(1, "h"), (30, "min")], False, None),
        ("1 h 30 min to 2 h", [(1, "h"), (30, "min")], [(2, "h")], False, None),
        ("at least 12 h hands-off", [(12, "h")], [(12, "h")], True, "at least"),
        ("up  to 4 h", [(4, "h")], [(4, "h")], False, "up to"),
        ("3 weeks hands-off", [(3, "week")], [(3, "week")], True, None),
        ("30 seconds", [(30, "s")], [(30, "s")], False, None),
    ],
)
def test_durations(
    written: str, low: list[tuple[int, str]], high: list[tuple[int, str]], hands_off: bool, limit: str | None
) -> None:
    duration = fact(written)
    assert isinstance(duration, DurationFact)
    assert (terms(duration.duration), terms(duration.duration, "high")) == (low, high)
    assert (duration.hands_off, duration.limit) == (hands_off, limit)


@pytest.mark.parametrize(
    ("written", "place", "of"),
    [
        ("38 C", None, None),
        ("38 °C", None, None),
        ("100F", None, None),
        ("36-40 C", None, None),
        ("200 C oven", "oven", None),
        ("180 C fan oven", "fan oven", None),
        ("180 C fan", "fan oven", None),
        ("oven at 240 C", "oven", None),
        ("fan oven at 220 C", "fan oven", None),
        ("74 C core", "core", None),
        ("75 C core of the beef mince", "core", "beef mince"),
        ("-18 C freezer", "freezer", None),
    ],
)
def test_temperatures(written: str, place: str | None, of: str | None) -> None:
    temperature = fact(written)
    assert isinstance(temperature, TemperatureFact)
    assert (temperature.place, temperature.of.text if temperature.of else None) == (place, of)


def test_changes_turns_loads_and_measures() -> None:
    change, limit = fact("60 C to 21 C in 2 h"), fact("60 C to 5 C within 6 h")
    assert isinstance(change, ChangeFact)
    assert (terms(change.start), terms(change.end), change.within) == ([(60, "C")], [(21, "C")], False)
    assert isinstance(limit, ChangeFact)
    assert limit.within
    turns = fact("3 times, every 30 min")
    assert isinstance(turns, TurnsFact)
    assert terms(turns.every) == [(30, "min")]
    assert isinstance(fact("3 times every 30 min"), TurnsFact)
    load = fact("4 at a time")
    assert isinstance(load, LoadFact)
    assert ends(load.number) == (4, 4)
    kinds = {}
    for written in ("2 cm", "20 x 30 cm", "8 pieces", "1 piece", "the pieces", "each piece", "18 g each"):
        measure = fact(written)
        assert isinstance(measure, MeasureFact)
        kinds[written] = (measure.kind, len(measure.lengths))
    assert kinds == {
        "2 cm": ("length", 1),
        "20 x 30 cm": ("length", 2),
        "8 pieces": ("pieces", 0),
        "1 piece": ("pieces", 0),
        "the pieces": ("the-pieces", 0),
        "each piece": ("each-piece", 0),
        "18 g each": ("each", 0),
    }


def test_doubled_brackets_are_text() -> None:
    line = only_line("step Mix\n  See [[the water]] and [the salt] no\n")
    assert isinstance(line, ProseLine)
    first, draw, last = line.pieces
    assert isinstance(first, Text)
    assert first.text == "See [the water] and "
    assert first.span.text == "See [[the water]] and "
    assert isinstance(draw, Draw)
    assert isinstance(last, Text)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("Add [the water", ["bracket-open"]),
        ("Add the water]", ["bracket-stray"]),
        ("Add [the water]] now", ["bracket-stray"]),
        ("Add [the [cold] water]", ["bracket-nested"]),
        ("Add [the [cold] water] for [5]", ["bracket-nested", "bare-number"]),
        ("Add [5], [6] and [7]", ["bare-number"] * 3),
        ("] " * 50, ["bracket-stray"] * 5),
    ],
)
def test_brackets_that_are_wrong(line: str, expected: list[str]) -> None:
    assert rules(f"step Mix\n  {line}\n") == expected


def test_one_bad_fact_costs_its_line_alone() -> None:
    file, _ = read(Source("step Mix\n  Add [5] now.\n  Add [the water].\n"))
    assert [type(line) for line in file.blocks[0].lines] == [Unread, ProseLine]
