"""Where names stand, where they come from, and their being changed everywhere."""

import pytest

from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.naming import CannotRename, Mention, Namer, renamed
from benchproof.compiler.source import Source
from tests.compiler.bench import DAY, kitchen_of

KITCHEN = """kitchen Saltmarsh
  currency: NZD

ingredient dune flour
  also: marram flour
  kind: flour
  water: 12 %
  contains: wheat

ingredient strong flour
  also: gale flour

style flat rounds
  hydration: 50-90 %

prices at Quay Market on 2026-11-02
  dune flour: 3.30 for 1.5 kg
  bought rounds: 4 for 6
  eggs: 7.20 for 12

cupboard on 2026-11-02
  dune flour: 2 kg
"""
ROUNDS = """recipe Rounds
  makes: 4 rounds
  base: dune flour
  style: flat rounds
  instead of: bought rounds

ingredients
  dune flour: 280 g
  water: 70 % of dune flour
  eggs: 2

ingredients for the glaze
  dune flour: 10 g
  milk: 2 times the dune flour

preferment Sponge, 25 % of the dune flour
  dune flour: 100 %
  water: 100 %

step Wake
  Stir [half the dune flour] into [the water] and [the yolks of the eggs].

step Rest and wait, after Wake
  Wait [5 min].

step Glaze, for the glaze, after Wake and Rest and wait
  Brush with [the marram flour for the glaze], [the milk] and [the whites of the eggs].

step Bake, after the Glaze, during Wake
  Bake with [the Sponge], [75 C core of the eggs].
"""
TRIFLE = """recipe Trifle

ingredients
  Rounds: 100 g
  marram flour: 5 g
  strong flour: 20 g

step All
  Layer [the rounds] with [the marram flour] and [the strong flour].
"""


LINES = ["text2.bench:8", "text2.bench:13", "text2.bench:17"]
"""Where the lists of Rounds name the dune flour."""


@pytest.fixture
def kitchen() -> Kitchen:
    return kitchen_of(KITCHEN, ROUNDS, TRIFLE)


def at(kitchen: Kitchen, words: str, *, file: int = 2, into: int = 0) -> Mention:
    """The mention at the first place of some words in a file, `into` characters into them."""
    source = kitchen.sources[file - 1]
    offset = source.text.index(words) + into
    block = [one for one in kitchen.blocks if one.place.source is source and one.span.first <= offset][-1]
    found = Namer(kitchen).at(block, offset)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("words", "into", "span", "lines"),
    [
        ("half the dune", 10, "dune flour", LINES),  # a draw, from its lines
        ("dune flour: 280", 3, "dune flour", ["text1.bench:4"]),  # a line, from the food's own block
        ("yolks of the eggs", 14, "eggs", ["text2.bench:10"]),
        ("core of the eggs", 14, "eggs", ["text2.bench:10"]),
        ("marram flour for the glaze", 3, "marram flour", LINES),
        ("flour for the glaze]", 16, "glaze", ["text2.bench:12"]),
        ("base: dune", 8, "dune flour", LINES),
        ("70 % of dune", 9, "dune flour", LINES),
        ("times the dune", 12, "dune flour", LINES),
        ("of the dune flour\n", 8, "dune flour", LINES),
        ("style: flat", 9, "flat rounds", ["text1.bench:13"]),
        ("after Wake and", 7, "Wake", ["text2.bench:20"]),
        ("and Rest and wait", 9, "Rest and wait", ["text2.bench:23"]),
        ("after the Glaze", 11, "Glaze", ["text2.bench:26"]),
        ("during Wake", 8, "Wake", ["text2.bench:20"]),
        ("for the glaze, after", 9, "glaze", ["text2.bench:12"]),
        ("[the Sponge]", 6, "Sponge", ["text2.bench:16"]),
        ("eggs: 2", 1, "eggs", ["larder"]),
    ],
)
def test_a_name_comes_from_somewhere(
    kitchen: Kitchen, words: str, into: int, span: str, lines: list[str]
) -> None:
    mention = at(kitchen, words, into=into)
    assert mention.span.text == span
    origin = Namer(kitchen).origin(mention)
    found = [
        "larder" if one.source.name.startswith("larder/") else f"{one.source.name}:{one.line}"
        for one in origin
    ]
    assert found == lines


def test_a_price_comes_from_the_food_and_a_recipe_from_its_heading(kitchen: Kitchen) -> None:
    namer = Namer(kitchen)
    assert [one.line for one in namer.origin(at(kitchen, "dune flour: 3.30", file=1))] == [4]
    assert [repr(one) for one in namer.origin(at(kitchen, "Rounds: 100", file=3))] == [
        "<text2.bench:1:8 'Rounds'>"
    ]


def test_references_are_all_over_the_kitchen_by_every_name(kitchen: Kitchen) -> None:
    mention = at(kitchen, "dune flour: 280")
    namer = Namer(kitchen)
    places = [f"{one.span.source.name[4]}:{one.span.line}" for one in namer.places(mention.thing)]
    expected = [
        "1:4",
        "1:5",
        "1:17",
        "1:22",
        "2:3",
        "2:8",
        "2:9",
        "2:13",
        "2:14",
        "2:16",
        "2:17",
        "2:21",
        "2:27",
    ]
    assert places == [*expected, "3:5", "3:9"]
    assert len(namer.places(mention.thing, defining=False)) == len(places) - 1


def after(kitchen: Kitchen, mention: Mention, new: str) -> Kitchen:
    texts = {source.name: source.text for source in kitchen.sources}
    for edit in sorted(renamed(kitchen, mention, new, DAY), key=lambda one: one.span.first, reverse=True):
        name = edit.span.source.name
        texts[name] = texts[name][: edit.span.first] + edit.text + texts[name][edit.span.last :]
    return Kitchen([Source(text, name) for name, text in texts.items()])


def test_an_ingredient_is_renamed_everywhere_but_for_its_other_names(kitchen: Kitchen) -> None:
    new = after(kitchen, at(kitchen, "half the dune", into=10), "shore flour 🌾")
    for was, now in zip(kitchen.sources, new.sources, strict=True):
        assert now.text == was.text.replace("dune flour", "shore flour 🌾")
    assert "also: marram flour" in new.sources[0].text


def test_another_spelling_of_the_same_name_is_renamed_with_it() -> None:
    kitchen = kitchen_of(KITCHEN, ROUNDS.replace("[half the dune flour]", "[half the Dune  Flour]"))
    assert (
        "dune" not in after(kitchen, at(kitchen, "dune flour: 280"), "shore flour").sources[1].text.casefold()
    )


def test_a_larder_food_is_called_by_an_other_name_that_its_own_block_gives(kitchen: Kitchen) -> None:
    new = after(kitchen, at(kitchen, "strong flour: 20", file=3), "gale flour")
    assert new.sources[0].text == kitchen.sources[0].text
    assert new.sources[2].text == kitchen.sources[2].text.replace("strong flour", "gale flour")


def test_the_same_name_changes_nothing(kitchen: Kitchen) -> None:
    assert renamed(kitchen, at(kitchen, "dune flour: 280"), " dune  flour ", DAY) == []


@pytest.mark.parametrize(
    ("new", "words"),
    [
        ("eggs", "another food in the built-in larder"),
        ("trifle", "already (text3.bench, line 1)"),
        ("bought rounds", "already"),
        ("glaze", "already"),
        ("", "cannot be the name"),
        ("a, b", "cannot be the name"),
        ("half the oats", "cannot be the name"),
        ("20 min", "cannot be the name"),
        ("[x]", "cannot be the name"),
        ("flour: 3 g", "cannot be the name"),
        ("flour # new", "cannot be the name"),
        ("flour\n  water: 5 g", "cannot be the name"),
        ("x" * 1200, "cannot be the name"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(kitchen: Kitchen, new: str, words: str) -> None:
    with pytest.raises(CannotRename) as refused:
        renamed(kitchen, at(kitchen, "dune flour: 280"), new, DAY)
    assert words in str(refused.value)
    assert str(refused.value).endswith(".")


def test_a_name_that_the_larders_facts_hang_on_is_refused(kitchen: Kitchen) -> None:
    with pytest.raises(CannotRename, match="would not come to the same"):
        renamed(kitchen, at(kitchen, "strong flour: 20", file=3), "storm flour", DAY)


def test_only_ingredients_are_renamed(kitchen: Kitchen) -> None:
    with pytest.raises(CannotRename, match="Only ingredients"):
        renamed(kitchen, at(kitchen, "after Wake", into=7), "Rise", DAY)
