"""compile(): a recipe and a request in, a Batch out."""

from fractions import Fraction

import pytest

from benchproof.compiler.batch import Equipment, Extent, Keeps, Loss, Waived
from benchproof.compiler.compile import Compiler
from benchproof.compiler.request import Request
from tests.compiler.bench import DEMO, batch_of, compile_text, demo, demo_batch, demo_kitchen, kitchen_of

WHOLE = """\
recipe Harbour buns
  also:        quay buns
  summary:     Soft, round, and gone by noon
  makes:       8 buns of 50 g baked
  serves:      4
  loses:       2 % in the bowl, 11 % in the bake
  base:        strong flour
  keeps:       2 days in a tin, 2 months frozen
  reheats:     to 75 C core, once
  tags:        bread, quick
  by:          a cook, in haste
  date:        2026-11-09
  waive:       ratio-outside-style because the sea is rough

ingredients
  strong flour:  300 g
  water:         160 g

equipment
  baking tray
  9 cm rings: 4, or folded strips of foil
  pan of 3 litres, or two small ones

step Mix
  [the strong flour] [the water] [5 min]
"""


def test_what_the_recipe_says_of_itself() -> None:
    batch = batch_of(WHOLE)
    assert (batch.recipe, batch.file, batch.kitchen) == ("Harbour buns", "text1.bench", None)
    assert batch.summary == "Soft, round, and gone by noon"
    assert batch.by == "a cook, in haste"
    assert batch.dated == "2026-11-09"
    assert batch.tags == ("bread", "quick")
    assert batch.serves == 4
    assert batch.reheats == "to 75 C core, once"
    assert batch.keeps == (
        Keeps(Extent(Fraction(2 * 86400), Fraction(2 * 86400)), "2 days in a tin"),
        Keeps(Extent(*[batch.keeps[1].duration.low] * 2), "2 months frozen"),
    )
    assert batch.waived == (Waived("ratio-outside-style", "the sea is rough", False),)
    assert batch.equipment == (
        Equipment("baking tray", None, None),
        Equipment("9 cm rings", Fraction(4), "folded strips of foil"),
        Equipment("pan of 3 litres", None, "two small ones"),
    )


def test_the_yield_is_what_is_said_and_what_is_computed() -> None:
    made = batch_of(WHOLE, times=Fraction(2)).makes
    assert (made.count, made.noun, made.each, made.total, made.after_losses) == (16, "buns", 50, None, True)
    assert made.formula == 920
    assert made.finished == 920 * Fraction("0.98") * Fraction("0.89")
    assert made.losses == (
        Loss(Extent(Fraction(2), Fraction(2)), "in the bowl", False),
        Loss(Extent(Fraction(11), Fraction(11)), "in the bake", False),
    )


@pytest.mark.parametrize(
    ("scales", "weight", "division"),
    [
        ("0.1 g to 500 g, 1 g to 5 kg", "500 g", Fraction(1, 10)),
        ("0.1 g to 500 g, 1 g to 5 kg", "500.1 g", Fraction(1)),
        ("1 g to 5 kg, 0.1 g to 500 g", "20 g", Fraction(1, 10)),  # the finest that carries it
        ("0.1 g to 500 g, 1 g to 5 kg", "6 kg", Fraction(1)),  # none carries it: the strongest
        ("1/8 oz to 4 lb", "20 g", Fraction("453.59237") / 128),
    ],
)
def test_the_scale_a_line_is_weighed_on(scales: str, weight: str, division: Fraction) -> None:
    batch = batch_of(f"kitchen K\n  scales: {scales}\n\nrecipe T\n\ningredients\n  rice: {weight}\n")
    assert batch.parts[0].lines[0].division == division


def test_the_scale_follows_the_batch_and_no_scale_is_none() -> None:
    text = "kitchen K\n  scales: 0.1 g to 500 g, 1 g to 5 kg\n\nrecipe T\n\ningredients\n  rice: 400 g\n"
    assert batch_of(text, times=Fraction(2)).parts[0].lines[0].division == 1
    assert batch_of("recipe T\n\ningredients\n  rice: 4 g\n").parts[0].lines[0].division is None


def test_a_recipe_with_a_mistake_has_no_batch_and_says_everything() -> None:
    compiled = compile_text(
        "recipe T\n  makes: 10 rounds\n\ningredients\n  water: 10 %\n  garlic: 2 glugs\n\n"
        "step A, after B\n  [the watr], [12 pieces]\n"
    )
    assert compiled.batch is None
    assert {one.rule for one in compiled.findings} >= {
        "percent-without-base", "unknown-unit", "unknown-step", "not-in-the-list", "pieces-differ",
    }  # fmt: skip


def test_a_line_that_could_not_be_read_costs_the_batch() -> None:
    assert compile_text("recipe T\n\ningredients\n  water: 2,2 g\n  rice: 1 g\n").batch is None


def test_one_recipe_s_mistake_leaves_the_others_alone() -> None:
    kitchen = kitchen_of(
        "recipe A\n\ningredients\n  water: 10 %\n", "recipe B\n\ningredients\n  water: 10 g\n"
    )
    compiler = Compiler(kitchen)
    batches = [compiler.compile(one, Request(on="2026-11-20")).batch for one in kitchen.own_recipes()]
    assert [batch is None for batch in batches] == [True, False]


def test_asking_twice_and_in_any_order_gives_the_same() -> None:
    kitchen = demo_kitchen()
    there = Compiler(kitchen)
    back = Compiler(kitchen)
    recipes = kitchen.own_recipes()
    one = {recipe.name.text: there.compile(recipe, Request()).batch for recipe in recipes}
    other = {recipe.name.text: back.compile(recipe, Request()).batch for recipe in reversed(recipes)}
    assert one == other


def test_the_order_of_the_files_changes_nothing_of_a_batch() -> None:
    parts = [
        "recipe A\n  makes: 4 rounds\n\ningredients\n  B: 10 g\n",
        "recipe B\n\ningredients\n  eggs: 2\n",
        "ingredient eggs\n  piece: 60 g, 50 g usable\n",
    ]
    forward = kitchen_of(*parts)
    backward = kitchen_of(*reversed(parts))
    batches = []
    for kitchen in (forward, backward):
        recipe = kitchen.recipe("A")
        assert recipe is not None
        batch = Compiler(kitchen).compile(recipe, Request(on="2026-11-20")).batch
        assert batch is not None
        batches.append((batch.parts[0].weight, batch.allergens, batch.cost.total))
    assert batches[0] == batches[1]


@pytest.mark.parametrize("stem", DEMO)
def test_every_demo_recipe_compiles_without_a_finding(stem: str) -> None:
    compiled = demo(stem)
    assert compiled.findings == ()
    batch = demo_batch(stem)
    assert batch.kitchen == "Saltmarsh"
    assert len(batch.steps) == len(compiled.recipe.steps)
    assert (batch.style is None) == (compiled.recipe.block.entry("style") is None)


def test_the_revision_is_of_the_text() -> None:
    text = "recipe T\n\ningredients\n  rice: 1 g\n"
    assert batch_of(text).revision == batch_of(text).revision
    assert batch_of(text).revision != batch_of(text + "# a note\n").revision


def test_a_deep_chain_of_recipes() -> None:
    text = "".join(f"recipe R{n}\n\ningredients\n  R{n + 1}: 10 g\n\n" for n in range(250))
    compiled = compile_text(f"{text}recipe R250\n\ningredients\n  rice: 1 g\n")
    assert compiled.findings  # too deep to follow, and said so
    shallow = "".join(f"recipe R{n}\n\ningredients\n  R{n + 1}: 10 g\n\n" for n in range(12))
    assert batch_of(f"{shallow}recipe R12\n\ningredients\n  rice: 1 g\n").makes.formula == 10
