"""The formula as a whole: yields, losses, what a product carries into another recipe. Worked out by hand."""

from fractions import Fraction

import pytest

from benchproof.compiler.compile import Compiler
from benchproof.compiler.request import Request
from tests.compiler.bench import (
    batch_of,
    compile_text,
    kitchen_of,
    line,
    only,
    rules,
    weights,
)

LEAFS = """\
ingredient leafs
  density:   0.25 g/ml
  usable:    80 %
  contains:  nothing

ingredient plums
  also:      plum
  piece:     50 g, 44 g usable
  contains:  nothing

ingredient sage
  sprig:     1.5 g
  loaf:      400 g, 380 g usable
"""


def grams(amount: str, label: str = "leafs", *more: str) -> Fraction | None:
    """What one amount of one food weighs as it goes in."""
    return line(batch_of(f"recipe T\n\ningredients\n  {label}: {amount}\n", LEAFS, *more), label).weight


def bought(amount: str, label: str = "leafs") -> Fraction | None:
    compiled = compile_text(f"recipe T\n\ningredients\n  {label}: {amount}\n", LEAFS)
    (item,) = compiled.formula.items()
    return item.bought


# ---------------------------------------------------------------- yields


def test_solved_from_the_yield_when_nothing_has_a_weight() -> None:
    batch = batch_of(
        "recipe T\n  makes: 10 rolls of 85 g\n  base: strong flour\n\ningredients\n  strong flour: 100 %\n"
        "  water: 68 %\n  fine salt: 2 %\n"
    )
    assert weights(batch) == {"strong flour": 500, "water": 340, "fine salt": 10}


def test_never_solved_from_the_yield_when_something_has_a_weight() -> None:
    batch = batch_of(
        "recipe T\n  makes: 10 rolls of 85 g\n  base: strong flour\n\ningredients\n  strong flour: 100 g\n"
        "  water: 68 %\n  fine salt: 2 %\n"
    )
    assert weights(batch) == {"strong flour": 100, "water": 68, "fine salt": 2}


def test_losses_compound() -> None:
    batch = batch_of(
        "recipe T\n  makes: 1000 g baked\n  loses: 3 % in the bowl, 11 % in the bake\n  base: strong flour\n\n"
        "ingredients\n  strong flour: 600 g\n  water: 400 g\n"
    )
    assert batch.makes.finished == Fraction("863.3")  # 13.67 % of it has gone
    assert 1 - batch.makes.finished / batch.makes.formula == Fraction("0.1367")


@pytest.mark.parametrize(
    ("makes", "flour"),
    [
        # 100 + 50 %. Scaled: only the bowl has taken its share. Baked, cooked: both have.
        ("10 rolls of 60 g", Fraction(600) / Fraction("0.97") / Fraction("1.5")),
        ("600 g", Fraction(600) / Fraction("0.97") / Fraction("1.5")),
        ("10 rolls of 60 g baked", Fraction(600) / Fraction("0.97") / Fraction("0.89") / Fraction("1.5")),
        ("10 rolls of 60 g cooked", Fraction(600) / Fraction("0.97") / Fraction("0.89") / Fraction("1.5")),
        ("600 g baked", Fraction(600) / Fraction("0.97") / Fraction("0.89") / Fraction("1.5")),
    ],
)
def test_the_weight_a_piece_is_scaled_or_baked(makes: str, flour: Fraction) -> None:
    batch = batch_of(
        f"recipe T\n  makes: {makes}\n  loses: 3 % in the bowl, 11 % in the bake\n  base: strong flour\n\n"
        "ingredients\n  strong flour: 100 %\n  water: 50 %\n"
    )
    assert line(batch, "strong flour").weight == flour


def test_a_gain_is_the_opposite_of_a_loss_and_both_may_stand() -> None:
    batch = batch_of(
        "recipe T\n  makes: 720 g cooked\n  gains: 140 % in the pot\n\ningredients\n  white rice: 1 part\n"
    )
    assert line(batch, "white rice").weight == 300
    batch = batch_of(
        "recipe T\n  loses: 10 % in the pan\n  gains: 50 % in the pot\n\ningredients\n  white rice: 100 g\n"
    )
    assert batch.makes.finished == 135
    assert {(one.percent.low, one.gain) for one in batch.makes.losses} == {(10, False), (50, True)}


def test_a_loss_is_water_and_no_more_water_goes_than_there_is() -> None:
    text = (
        "recipe T\n  loses: {loss} % in the pan\n\ningredients\n  water: 80 g\n  rock sugar: 20 g\n\n"
        "ingredient rock sugar\n  water: 1 %\n  sugar: 99 %\n"
    )
    carried = compile_text(text.format(loss=30)).formula
    assert carried.carries("sugar") == Fraction("19.8")
    assert carried.carries("water") == Fraction("50.2")
    assert compile_text(text.format(loss=95)).formula.carries("water") == 0


# ---------------------------------------------------------------- a recipe as an ingredient

DEEP = """\
recipe Tart
  makes: 2 tarts of 300 g

ingredients
  pastry cream:  400 g
  shortcrust:      2 discs

recipe Pastry cream
  makes:  8 cups of 120 g cooked
  loses:  20 % in the pan

ingredients
  infused milk:  1000 g
  eggs:           150 g
  caster sugar:    50 g

recipe Infused milk
  makes:  1 kg

ingredients
  whole milk:  990 g
  almonds:      10 g

recipe Shortcrust
  makes: 6 discs of 100 g

ingredients
  plain flour:  400 g
  butter:       200 g
"""
DEEP_PRICES = """\
prices at S on 2026-11-01
  whole milk:    2.00 for 1 kg
  almonds:      20.00 for 1 kg
  eggs:          8.00 for 1 kg
  caster sugar:  4.00 for 1 kg
  plain flour:   2.00 for 1 kg
  butter:       12.00 for 1 kg

ingredient eggs
  usable: 100 %
  piece: 50 g, 50 g usable

kitchen K
  currency: NZD
"""


def test_recipes_in_recipes_bring_cost_allergens_and_composition_by_weight_used() -> None:
    batch = batch_of(DEEP, DEEP_PRICES)
    # Infused milk, 1 kg: 1.98 + 0.20. Cream: 2.18 + 1.20 + 0.20 = 3.58 for 960 g once cooked.
    # Shortcrust: 0.80 + 2.40 = 3.20 for 600 g; two discs are 200 g.
    cream, crust = Fraction("3.58") * 400 / 960, Fraction("3.20") * 200 / 600
    assert [one.cost for one in batch.cost.lines] == [cream, crust]
    assert batch.cost.total == cream + crust
    assert batch.cost.complete
    assert batch.cost.each == (cream + crust) / 2
    assert [(one.name, one.foods) for one in batch.allergens.contains] == [
        ("almond", ("almonds",)),
        ("egg", ("eggs",)),
        ("milk", ("whole milk", "butter")),
        ("wheat (gluten)", ("plain flour",)),
    ]
    assert weights(batch) == {"pastry cream": 400, "shortcrust": 200}
    assert line(batch, "pastry cream").recipe == "Pastry cream"
    # Fat, by the larder: milk 3.25 %, almonds and eggs their own; carried through two recipes undiluted.
    formula = compile_text(DEEP, DEEP_PRICES).formula
    kitchen = kitchen_of(DEEP, DEEP_PRICES)
    fats = {
        name: kitchen.larder.food(name).fat
        for name in ("whole milk", "almonds", "eggs", "caster sugar", "plain flour", "butter")
    }
    cream_fat = (
        fats["whole milk"] * 990 + fats["almonds"] * 10 + fats["eggs"] * 150 + fats["caster sugar"] * 50
    )
    crust_fat = fats["plain flour"] * 400 + fats["butter"] * 200
    assert formula.carries("fat") == cream_fat * 400 / 960 + crust_fat * 200 / 600


def test_the_water_boiled_off_a_recipe_does_not_come_along() -> None:
    batch = compile_text(
        "recipe A\n\ningredients\n  B: 50 g\n\nrecipe B\n  loses: 50 % in the pan\n\ningredients\n"
        "  water: 80 g\n  clear honey: 20 g\n\ningredient clear honey\n  water: 0 %\n"
    )
    # 100 g boiled down to 50 g: 30 g of water are left, and the whole of it is used.
    assert batch.formula.carries("water") == 30


def test_a_recipe_in_itself_names_the_loop() -> None:
    text = (
        "recipe A\n\ningredients\n  B: 1 g\n\nrecipe B\n\ningredients\n  C: 1 g\n\n"
        "recipe C\n\ningredients\n  A: 1 g\n"
    )
    kitchen = kitchen_of(text)
    compiler = Compiler(kitchen)
    found = [
        finding
        for recipe in kitchen.own_recipes()
        for finding in compiler.compile(recipe, Request(on="2026-11-20")).findings
        if finding.rule == "recipe-in-itself"
    ]
    assert found
    assert "A → B → C → A" in found[0].message
    assert "A" in found[0].span.text
    assert all(compile_text(text, recipe=name).batch is None for name in "ABC")


def test_a_recipe_that_names_itself_is_a_loop_of_one() -> None:
    finding = only(compile_text("recipe Sponge\n\ningredients\n  sponge: 10 g\n  water: 5 g\n"))
    assert finding.rule == "recipe-in-itself"
    assert "Sponge → Sponge" in finding.message


def test_a_mistake_in_a_recipe_below_is_said_above() -> None:
    compiled = compile_text(
        "recipe A\n\ningredients\n  B: 10 g\n\nrecipe B\n\ningredients\n  water: 10 %\n", recipe="A"
    )
    assert rules(compiled) == ["recipe-not-ready"]
    assert compiled.batch is None
    assert compiled.findings[0].also[0].span.text == "B"


def test_a_recipe_by_the_piece_needs_to_say_how_many_it_makes() -> None:
    compiled = compile_text("recipe A\n\ningredients\n  B: 2\n\nrecipe B\n\ningredients\n  water: 10 g\n")
    assert rules(compiled) == ["cannot-be-weighed"]
