"""Every form of heading."""

from benchproof.compiler.syntax import (
    DatedHeading,
    IngredientsHeading,
    NamedHeading,
    PrefermentHeading,
    PricesHeading,
    StepHeading,
)
from tests.compiler.reading import clean


def test_headings() -> None:
    text = """kitchen The Harbour
recipe Fish, chips
ingredients
ingredients for the topping
preferment Overnight sponge, 25 % of the flour
soaker Rye
step Shape and bake, for the topping, after A, B and C, during D
trial 2026-11-09
prices at Shop on the corner on 2026-11-02 in EUR
cupboard on 2026-11-02
week of 2026-11-02
"""
    headings = [block.heading for block in clean(text).blocks]
    kitchen, recipe, bare, topping, sponge, soaker, step, trial, prices, cupboard, week = headings
    assert isinstance(kitchen, NamedHeading)
    assert isinstance(recipe, NamedHeading)
    assert recipe.name.text == "Fish, chips"
    assert isinstance(bare, IngredientsHeading)
    assert bare.part is None
    assert isinstance(topping, IngredientsHeading)
    assert topping.part is not None
    assert topping.part.text == "topping"
    assert isinstance(sponge, PrefermentHeading)
    assert (sponge.name.text, sponge.share.low, sponge.of.text) == ("Overnight sponge", 25, "flour")
    assert isinstance(soaker, NamedHeading)
    assert isinstance(step, StepHeading)
    clauses = [name.text if name else None for name in (step.name, step.part, step.after, step.during)]
    assert clauses == ["Shape and bake", "topping", "A, B and C", "D"]
    assert isinstance(prices, PricesHeading)
    assert prices.currency is not None
    assert (prices.shop.text, prices.date.text, prices.currency.text) == (
        "Shop on the corner",
        "2026-11-02",
        "EUR",
    )
    assert all(isinstance(dated, DatedHeading) for dated in (trial, cupboard, week))


def test_a_missing_comma_gives_a_name() -> None:
    heading = clean("step Bake after Shape\n").blocks[0].heading
    assert isinstance(heading, StepHeading)
    assert (heading.name.text, heading.after) == ("Bake after Shape", None)


def test_clauses_stand_in_any_order() -> None:
    heading = clean("step Bake, during D, for topping\n").blocks[0].heading
    assert isinstance(heading, StepHeading)
    assert heading.during is not None
    assert heading.part is not None
