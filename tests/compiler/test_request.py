"""The request: what is asked over what the recipe says."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchproof.compiler.request import Request, RequestError, times_of
from tests.compiler.bench import DEMO, batch_of, compile_text, demo, demo_batch, line

ROUNDS = """\
recipe Rounds
  makes: 12 rounds of 58 g
  loses: 1 % in the bowl
  base: strong flour

ingredients
  strong flour: 280 g
  water: 150 %
"""
# 700 g go in, 693 g are scaled: not quite the 696 g that `makes` says. Half a gram a round is let pass.


def factor(text: str, **request: Any) -> Fraction:
    return batch_of(text, **request).asked.times


def head(makes: str, rest: str = "") -> str:
    return f"recipe T\n  makes: {makes}\n{rest}\ningredients\n  plain flour: 500 g\n"


@pytest.mark.parametrize(
    ("written", "asked", "times"),
    [
        ("12 rounds", "24 rounds", Fraction(2)),
        ("12 rounds", "18 rounds", Fraction(3, 2)),
        ("12 rounds", "7", Fraction(7, 12)),
        ("12", "36", Fraction(3)),
        ("12 rounds of 40 g", "24 rounds", Fraction(2)),
        ("500 g", "1.5 kg", Fraction(3)),
        ("500 g", "1 lb", Fraction("453.59237") / 500),
        ("12 rounds of 40 g", "960 g", Fraction(2)),  # 480 g is what `makes` says
    ],
)
def test_what_is_asked_over_what_makes_says(written: str, asked: str, times: Fraction) -> None:
    assert factor(head(written), makes=asked) == times


@pytest.mark.parametrize("asked", ["12 rounds of 58 g", "12 rounds", "696 g"])
def test_asking_for_what_is_written_changes_nothing(asked: str) -> None:
    assert factor(ROUNDS, makes=asked) == 1


def test_pieces_of_another_weight() -> None:
    assert factor(ROUNDS, makes="12 rounds of 29 g") == Fraction(1, 2)
    assert factor(ROUNDS, makes="6 rounds of 116 g") == 1


@pytest.mark.parametrize("stem", DEMO)
def test_asking_a_demo_recipe_for_what_it_makes_changes_nothing(stem: str) -> None:
    makes = demo(stem).formula.makes
    if makes is None:
        assert demo_batch(stem, makes=f"{demo_batch(stem).serves} portions").asked.times == 1
    else:
        assert demo_batch(stem, makes=makes.span.text).asked.times == 1


def test_baked_weight_where_scaled_weight_is_written_goes_by_the_losses() -> None:
    text = head("500 g", "  loses: 20 % in the bake\n")
    assert factor(text, makes="800 g baked") == 2  # 500 g bake down to 400 g
    assert factor(text, makes="1 kg") == 2
    baked = head("400 g baked", "  loses: 20 % in the bake\n")
    assert factor(baked, makes="800 g baked") == 2
    assert factor(baked, makes="1 kg") == 2  # before the bake


@pytest.mark.parametrize(
    ("written", "asked"),
    [("1 tart", "2 tarts"), ("2 loaves", "4 loaves"), ("2 tarts", "4 tart"), ("12 Rounds", "24 rounds")],
)
def test_one_piece_and_several_are_the_same_word(written: str, asked: str) -> None:
    assert factor(head(written), makes=asked) == 2


def test_one_of_several() -> None:
    assert factor(head("2 loaves"), makes="1 loaf") == Fraction(1, 2)
    assert factor(head("12 rounds"), makes="1 round") == Fraction(1, 12)


def test_a_volume_of_a_volume() -> None:
    assert factor("recipe T\n  makes: 1 l\n\ningredients\n  water: 1 l\n", makes="2500 ml") == Fraction(5, 2)


@pytest.mark.parametrize("asked", ["8 portions", "8 servings"])
@pytest.mark.parametrize("makes", ["", "  makes: 900 g\n", "  makes: 12 rolls\n"])
def test_portions_are_what_it_serves(asked: str, makes: str) -> None:
    assert factor(f"recipe T\n{makes}  serves: 4\n\ningredients\n  rice: 300 g\n", makes=asked) == 2


def test_one_portion() -> None:
    assert factor("recipe T\n  serves: 4\n\ningredients\n  rice: 300 g\n", makes="1 portion") == Fraction(
        1, 4
    )


def test_by_the_base() -> None:
    batch = batch_of(ROUNDS, base="730 g")
    assert batch.asked.times == Fraction(730, 280)
    assert line(batch, "strong flour").weight == 730
    assert line(batch, "water").weight == 1095
    assert batch.makes.count == Fraction(12 * 730, 280)


def test_the_words_of_a_request() -> None:
    assert Request().words() == "as written"
    assert Request(times=Fraction(1)).words() == "as written"
    assert Request(times=Fraction(2)).words() == "2 times"
    assert Request(makes="24 rounds").words() == "24 rounds"
    assert "730 g" in Request(base="730 g").words()


@pytest.mark.parametrize(
    ("text", "times"),
    [
        ("2", Fraction(2)),
        ("1.5", Fraction(3, 2)),
        ("1/2", Fraction(1, 2)),
        ("½", Fraction(1, 2)),
        (" 1 1/2 ", Fraction(3, 2)),
    ],
)
def test_times(text: str, times: Fraction) -> None:
    assert times_of(text) == times


@pytest.mark.parametrize("text", ["0", "-1", "", "two", "1,5", "1e3", "nan", "inf", "2x", "1/0", "99999999"])
def test_what_is_no_number_of_times(text: str) -> None:
    with pytest.raises(RequestError) as caught:
        times_of(text)
    assert caught.value.help


@pytest.mark.parametrize(
    ("text", "request_", "words"),
    [
        (ROUNDS, {"makes": "24 rounds", "base": "500 g"}, ["--makes", "--base"]),
        (ROUNDS, {"makes": "24 rounds", "times": Fraction(2)}, ["--makes", "--times"]),
        (ROUNDS, {"makes": "24 buns"}, ["rounds", "buns"]),
        (ROUNDS, {"makes": "lots"}, ["--makes", "lots"]),
        (ROUNDS, {"makes": "24,5 rounds"}, ["--makes"]),
        (ROUNDS, {"makes": "0 rounds"}, []),
        (ROUNDS, {"makes": "20-24 rounds"}, ["--makes"]),
        (ROUNDS, {"makes": "24 rounds\n  base: water"}, []),
        (ROUNDS, {"base": "2 cups"}, ["--base", "weight"]),
        (ROUNDS, {"base": "three"}, ["--base"]),
        (ROUNDS, {"base": "0 g"}, []),
        (ROUNDS, {"base": "9999999 kg"}, []),
        ("recipe T\n\ningredients\n  rice: 1 g\n", {"makes": "3 bowls"}, ["does not say how many"]),
        ("recipe T\n\ningredients\n  rice: 1 g\n", {"base": "3 g"}, ["no base"]),
        ("recipe T\n\ningredients\n  rice: to taste\n", {"makes": "3 g"}, ["no weight"]),
        (head("500 g"), {"makes": "1 l"}, ["1 l"]),
    ],
)
def test_what_cannot_be_met_says_why(text: str, request_: dict[str, Any], words: list[str]) -> None:
    with pytest.raises(RequestError) as caught:
        compile_text(text, **request_)
    for word in words:
        assert word in str(caught.value)
    assert "Traceback" not in str(caught.value)


@given(st.integers(1, 999), st.integers(1, 999))
def test_pieces_asked_are_pieces_made(written: int, asked: int) -> None:
    text = f"recipe T\n  makes: {written} buns\n\ningredients\n  plain flour: 100 g\n"
    batch = batch_of(text, makes=f"{asked} buns")
    assert batch.makes.count == asked
    assert line(batch, "plain flour").weight == Fraction(100 * asked, written)


@pytest.mark.parametrize("stem", DEMO)
def test_the_day_and_the_degrees_asked_for_are_kept(stem: str) -> None:
    batch = demo_batch(stem, on="2026-12-01", temperatures="F")
    assert (batch.asked.on, batch.asked.temperatures) == ("2026-12-01", "F")
    assert demo_batch(stem).asked.on == "2026-11-20"  # the kitchen's own
    # How it is shown changes nothing of what it is.
    assert batch.parts == demo_batch(stem).parts


def test_a_recipe_that_makes_nothing_cannot_be_asked_for_more() -> None:
    compiled = compile_text("recipe T\n  makes: 0 g\n\ningredients\n  rice: 1 g\n", makes="5 g")
    assert [one.rule for one in compiled.findings] == ["makes-nothing"]
    assert compiled.batch is None
