"""The door to lark: its parsers are built once, and numbers and amounts are taken from the tree exactly."""

import threading
from fractions import Fraction

import pytest

from benchproof.compiler import lark_tree
from benchproof.compiler.block_text import BlockText
from benchproof.compiler.lark_tree import fact_form, grammar_text, number_of, parse, starts, try_parse
from benchproof.compiler.parser import read
from benchproof.compiler.parser_messages import Refused
from benchproof.compiler.source import Place, Source
from benchproof.compiler.syntax import (
    DurationFact,
    Measured,
    TemperatureFact,
)
from tests.compiler.reading import KITCHEN, amount, fact, rules, terms

# ---------------------------------------------------------------- the parsers


def test_parsers_are_built_once_and_shared_by_threads() -> None:
    lark_tree._build.cache_clear()
    results: list[int] = []

    def work() -> None:
        results.append(len(read(Source(KITCHEN))[0].blocks))

    threads = [threading.Thread(target=work) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert results == [13] * 8
    assert lark_tree._build.cache_info().misses == 3


def test_nothing_is_built_before_it_is_needed() -> None:
    lark_tree._build.cache_clear()
    read(Source("recipe Tide buns\n  by: us\n"))
    assert lark_tree._build.cache_info().misses == 0


def written(text: str) -> BlockText:
    return BlockText(Place(Source(text)), text)


def test_every_start_rule_is_of_one_parser() -> None:
    rules = [rule for group in starts().values() for rule in group]
    assert len(set(rules)) == len(rules)
    assert all(f"\n{rule}:" in grammar_text() for rule in rules)


def test_a_node_knows_where_it_stands() -> None:
    block = written("  loses: 3 % in  the bowl , 11 %")
    node = parse(block, "v_loses", 9, len(block.text), "loses")
    first, second = node.nodes("loss")
    assert (first.text, first.start, first.span.text) == ("3 % in  the bowl", 9, "3 % in  the bowl")
    assert (first.place_words(), second.place_words()) == ("in  the bowl", "")


def test_what_the_grammar_does_not_take() -> None:
    block = written("loses: a lot")
    assert try_parse(block, "v_loses", 7, 12) is None
    with pytest.raises(Refused) as refused:
        parse(block, "v_loses", 7, 12, "loses")
    assert refused.value.slip.start == 7


@pytest.mark.parametrize(
    ("text", "form"),
    [("20 min", "duration"), ("the water", "draw"), ("each piece", "each_piece"), ("20 min,", "")],
)
def test_the_form_of_a_fact(text: str, form: str) -> None:
    assert fact_form(text) == form


# ---------------------------------------------------------------- numbers


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("3", Fraction(3)),
        ("0.1", Fraction(1, 10)),
        ("1/2", Fraction(1, 2)),
        ("1 1/2", Fraction(3, 2)),
        ("½", Fraction(1, 2)),
        ("1½", Fraction(3, 2)),
        ("1 ½", Fraction(3, 2)),
        ("⅓", Fraction(1, 3)),
        ("2⅚", Fraction(17, 6)),
        ("007", Fraction(7)),
        ("999999999.999999999", Fraction(999999999999999999, 10**9)),
        ("1/0", None),
        ("1 0/0", None),
    ],
)
def test_numbers_are_exact(written: str, value: Fraction | None) -> None:
    assert number_of(written) == value


@pytest.mark.parametrize("ch", "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒")
def test_every_fraction_sign_is_read_as_an_amount(ch: str) -> None:
    measured = amount(f"1{ch} tsp")
    assert isinstance(measured, Measured)
    ((number, _),) = terms(measured.quantity)
    assert 1 < number < 2
    assert number.denominator <= 10


def test_the_sign_is_a_token_of_its_own() -> None:
    temperature = fact("-20 to -18 C")
    assert isinstance(temperature, TemperatureFact)
    assert terms(temperature.temperature) == [(Fraction(-20), "C")]
    assert terms(temperature.temperature, "high") == [(Fraction(-18), "C")]
    duration = fact("5-10 min")
    assert isinstance(duration, DurationFact)
    assert terms(duration.duration, "high") == [(Fraction(10), "min")]


@pytest.mark.parametrize("written", ["15-20 min", "15–20 min", "15 to 20 min", "15 - 20 min", "15−20 min"])
def test_a_range_is_written_in_these_ways(written: str) -> None:
    found = fact(written)
    assert isinstance(found, DurationFact)
    assert found.duration.is_range


def test_ten_digits_are_refused_nine_are_not() -> None:
    assert rules("ingredients\n  flour: 123456789 g\n") == []
    assert rules("ingredients\n  flour: 1234567890 g\n") == ["number-too-long"]


# ---------------------------------------------------------------- amounts


def test_a_blank_before_the_unit_may_be_missing() -> None:
    measured = amount("280g")
    assert isinstance(measured, Measured)
    assert terms(measured.quantity) == [(Fraction(280), "g")]


def test_compounds_descend_within_one_system() -> None:
    measured = amount("1 lb 4 oz")
    assert isinstance(measured, Measured)
    assert terms(measured.quantity) == [(Fraction(1), "lb"), (Fraction(4), "oz")]
    assert rules("ingredients\n  flour: 4 oz 1 lb\n") == ["units-order"]
    assert rules("ingredients\n  flour: 1 kg 4 oz\n") == ["units-mixed"]


def test_a_cup_may_name_its_system() -> None:
    measured = amount("1 1/2 US cups")
    assert isinstance(measured, Measured)
    assert measured.quantity.low[0].system == "US"
    assert terms(measured.quantity) == [(Fraction(3, 2), "cup")]
