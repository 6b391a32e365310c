"""Suggestions for misspelt words."""

import pytest

from benchproof.compiler.suggest import cut_short, did_you_mean, distance, few, nearest, one_of, sure_slip


@pytest.mark.parametrize(
    ("one", "other", "slips"),
    [
        ("flour", "flour", 0),
        ("mkaes", "makes", 1),
        ("flor", "flour", 1),
        ("flouur", "flour", 1),
        ("fluor", "flour", 1),
        ("salt", "malt", 1),
        ("ab", "cd", 2),
    ],
)
def test_slips_are_counted_exchanged_letters_as_one(one: str, other: str, slips: int) -> None:
    assert distance(one, other, 3) == slips
    assert distance(other, one, 3) == slips


def test_counting_stops_at_the_limit() -> None:
    assert distance("a" * 50, "b" * 50, 2) == 3


def test_the_likeliest_stands_first() -> None:
    assert nearest("mkaes", ["makes", "base", "serves"]) == ["makes"]
    assert nearest("caster suger", ["salt", "caster sugar", "castor sugar"]) == [
        "caster sugar",
        "castor sugar",
    ]


def test_case_and_apostrophes_do_not_count() -> None:
    assert nearest("BAKER’S FLOUR", ["baker's flour"]) == ["baker's flour"]


def test_a_shared_word_is_a_question_too() -> None:
    assert nearest("sugar", ["strong flour", "caster sugar"]) == ["caster sugar"]
    assert nearest("almond milk", ["milk"]) == ["milk"]


def test_short_words_need_to_be_close() -> None:
    assert nearest("oz", ["g", "kg", "lb"]) == []
    assert nearest("water", ["date", "waive"]) == []


def test_at_most_so_many() -> None:
    assert len(nearest("flour", [f"flour {n}" for n in range(9)])) == 3
    assert len(nearest("flour", [f"flour {n}" for n in range(9)], limit=2)) == 2


def test_hostile_words_cost_nothing() -> None:
    assert nearest("a" * 1_000_000, ["a" * 59]) == []
    assert nearest("", ["a"]) == []


def test_words_for_a_sentence() -> None:
    assert one_of([]) == ""
    assert one_of(["a"]) == "`a`"
    assert one_of(["a", "b", "c"]) == "`a`, `b` or `c`"
    assert did_you_mean("servs", ["serves"]) == "Did you mean `serves`?"
    assert did_you_mean("xyzzy", ["serves"]) == ""


def test_few_names_are_named_and_none_at_length() -> None:
    assert few([]) == ""
    assert few(["a", "b"]) == "a, b"
    assert few("abcdefgh") == "a, b, c, d, e, f, g, h"
    assert few("abcdefghijklmnopqrst") == "a, b, c, d, e, f, g, h and 12 more"
    assert few(["x" * 40]) == "x" * 40
    assert few(["x" * 41]) == "x" * 39 + "…"
    assert cut_short("word " * 30) == "word word word word word word word word…"


@pytest.mark.parametrize(
    ("word", "candidates", "sure"),
    [
        ("hydratoin", ["hydration", "salt"], "hydration"),
        ("lean heart bread", ["lean hearth bread"], "lean hearth bread"),
        ("Mxi", ["Mix", "Bake"], "Mix"),
        ("malt", ["salt"], None),  # another food
        ("Rise 2", ["Rise 1"], None),  # another step
        ("Bake", ["Bake blind"], None),  # perhaps
        ("toping", ["topping", "toppings"], None),  # either
        ("bakes", ["makes"], None),
        ("tottl tme", ["total time"], None),  # too many slips
        ("", ["makes"], None),
    ],
)
def test_what_may_be_put_right_unseen(word: str, candidates: list[str], sure: str | None) -> None:
    assert sure_slip(word, candidates) == sure
