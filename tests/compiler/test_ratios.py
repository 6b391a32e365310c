"""Ratios: flour, hydration, water, salt, yeast, sugar, fat. The figures were worked out by hand."""

from fractions import Fraction

import pytest

from benchproof.compiler.batch import Extent, Ratio
from tests.compiler.bench import DEMO, batch_of, compile_text, demo_batch, line

FACTS = """\
ingredient white flour
  kind:  flour
  water: 14 %
  fat:   1 %
  sugar: 0 %
  salt:  0 %

ingredient brown flour
  kind:  flour
  water: 14 %

ingredient creamy milk
  kind:  milk
  water: 88 %
  fat:   4 %
  sugar: 5 %
  salt:  0.1 %
  milk solids: 8 %

ingredient salty butter
  kind:  fat
  water: 16 %
  fat:   80 %
  sugar: 0 %
  salt:  2 %

ingredient leaven
  kind:       starter
  hydration:  100 %
  fat:        0 %
  salt:       0 %
  sugar:      0 %

ingredient sea salt
  kind:  salt
  water: 0 %
  fat:   0 %
  sugar: 0 %
  salt:  100 %
"""


def ratios(lines: str, head: str = "  base: flour\n", *more: str, tail: str = "") -> dict[str, Ratio]:
    batch = batch_of(f"recipe T\n{head}\ningredients\n{lines}{tail}", FACTS, *more)
    return {one.name: one for one in batch.ratios}


def value(found: dict[str, Ratio], name: str) -> Fraction | None:
    return found[name].value if name in found else None


def test_hydration_counts_liquids_as_poured_and_water_all_the_water_there_is() -> None:
    found = ratios("  white flour: 500 g\n  water: 200 g\n  creamy milk: 100 g\n  salty butter: 50 g\n")
    assert value(found, "hydration") == 60  # 300 of 500
    assert (
        value(found, "water in all") == Fraction(200 + 88 + 8) / 5
    )  # the flour's own moisture never counted
    assert found["hydration"].basis == "flour"


@pytest.mark.parametrize("kind", ["liquid", "milk", "plant milk"])
def test_kinds_that_count_in_hydration(kind: str) -> None:
    found = ratios(
        "  white flour: 100 g\n  stuff: 50 g\n", "  base: flour\n", f"ingredient stuff\n  kind: {kind}\n"
    )
    assert value(found, "hydration") == 50


@pytest.mark.parametrize(
    "kind", ["egg", "cream", "yoghurt", "puree", "syrup", "oil", "vinegar", "fat", "fruit", "starch"]
)
def test_kinds_that_do_not(kind: str) -> None:
    found = ratios(
        "  white flour: 100 g\n  stuff: 50 g\n",
        "  base: flour\n",
        f"ingredient stuff\n  kind: {kind}\n  water: 50 %\n",
    )
    assert value(found, "hydration") is None
    assert value(found, "water in all") == 25


@pytest.mark.parametrize(
    "food",
    [
        "water",
        "whole milk",
        "buttermilk",
        "orange juice",
        "vegetable stock",
        "beer",
        "white wine",
        "oat milk",
    ],
)
def test_the_larder_s_liquids_count(food: str) -> None:
    assert value(ratios(f"  white flour: 100 g\n  {food}: 50 g\n"), "hydration") == 50


@pytest.mark.parametrize(
    "food", ["eggs", "double cream", "plain yoghurt", "honey", "olive oil", "cider vinegar"]
)
def test_the_larder_s_other_wet_foods_do_not(food: str) -> None:
    assert value(ratios(f"  white flour: 100 g\n  {food}: 50 g\n"), "hydration") is None


def test_a_starter_is_flour_and_water() -> None:
    # 200 g at 100 %: 100 g of flour, 100 g of water.
    found = ratios("  white flour: 400 g\n  water: 250 g\n  leaven: 200 g\n", "  base: white flour\n")
    assert value(found, "hydration") == 70
    assert "water in all" not in found  # both are printed only where they differ
    stiff = ratios(
        "  white flour: 400 g\n  water: 250 g\n  stiff leaven: 150 g\n",
        "  base: white flour\n",
        "ingredient stiff leaven\n  kind: starter\n  hydration: 50 %\n",
    )
    # 150 g at 50 %: 100 g of flour, 50 g of water.
    assert value(stiff, "hydration") == 60


def test_every_flour_is_flour_whatever_the_base_is() -> None:
    found = ratios("  white flour: 300 g\n  brown flour: 100 g\n  water: 200 g\n", "  base: white flour\n")
    assert value(found, "hydration") == 50
    assert found["hydration"].basis == "flour"


def test_salt_and_sugar_and_fat_two_ways() -> None:
    lines = (
        "  white flour: 500 g\n  sea salt: 9 g\n  caster sugar: 25 g\n"
        "  clear honey: 15 g\n  salty butter: 50 g\n  creamy milk: 100 g\n"
    )
    more = (
        "ingredient caster sugar\n  sugar: 100 %\n  water: 0 %\n  fat: 0 %\n  salt: 0 %\n",
        "ingredient clear honey\n  kind: syrup\n  sugar: 80 %\n  water: 20 %\n  fat: 0 %\n  salt: 0 %\n",
    )
    head = "  base: flour\n"
    tail = "\nexpect\n  salt in all: 0-100 %\n  sugar in all: 0-100 %\n  fat in all: 0-100 %\n  milk solids: 0-100 %\n"
    found = ratios(lines, head, *more, tail=tail)
    # What is added, as poured; then what everything carries.
    assert value(found, "salt") == Fraction(9, 5)
    assert value(found, "salt in all") == (9 + 1 + Fraction(1, 10)) / 5
    assert value(found, "sugar") == 8
    assert value(found, "sugar in all") == Fraction(25 + 12 + 5) / 5
    assert value(found, "fat") == 10
    assert value(found, "fat in all") == Fraction(40 + 4 + 5) / 5
    assert value(found, "milk solids") == Fraction(8, 5)


@pytest.mark.parametrize(
    ("yeast", "instant", "word"),
    [
        ("instant yeast", Fraction(6), "instant"),
        ("active dry yeast", Fraction(9, 2), "active dry"),
        ("fresh yeast", Fraction(2), "fresh"),
    ],
)
def test_yeast_is_compared_as_instant_and_told_by_its_type(yeast: str, instant: Fraction, word: str) -> None:
    found = ratios(f"  white flour: 100 g\n  {yeast}: 6 g\n")
    assert (value(found, "yeast"), found["yeast"].word) == (instant, word)


def test_what_has_a_purpose_is_in_no_ratio_and_a_part_is_not_the_main_formula() -> None:
    found = ratios(
        "  white flour: 100 g\n  water: 60 g\n"
        "  white flour: 50 g, for the bench\n  creamy milk: 20 g, for the glaze\n\n"
        "ingredients for the filling\n  water: 500 g\n  sea salt: 9 g\n"
    )
    assert value(found, "hydration") == 60
    assert value(found, "salt") is None


def test_a_fact_that_nobody_stated_makes_a_ratio_unknown_and_not_small() -> None:
    found = ratios("  white flour: 100 g\n  water: 50 g\n  moonberries: 50 g\n")
    assert value(found, "hydration") == 50
    assert "water in all" not in found


def test_ratios_are_judged_only_where_something_asks() -> None:
    assert ratios("  white flour: 100 g\n  water: 50 g\n", "") == {}
    assert set(ratios("  white flour: 100 g\n  water: 50 g\n")) >= {"hydration"}
    assert ratios("  white flour: 100 g\n  water: 50 g\n", "", tail="\nexpect\n  hydration: 50 %\n")


def test_without_flour_it_is_the_base_and_without_a_base_the_total() -> None:
    found = ratios("  rice: 200 g\n  water: 150 %\n", "  base: rice\n")
    assert (found["hydration"].value, found["hydration"].basis) == (150, "rice")
    found = ratios("  rice: 100 g\n  water: 300 g\n", "", tail="\nexpect\n  hydration: 70-80 %\n")
    assert (found["hydration"].value, found["hydration"].basis) == (75, "total")


STYLE = """\
style loose loaf
  basis:      flour
  hydration:  60-70 %
  salt:       1.8-2.2 %
"""


@pytest.mark.parametrize(
    ("water", "verdict"), [(59, "below"), (60, "inside"), (65, "inside"), (70, "inside"), (71, "above")]
)
def test_a_style_s_ends_are_inside(water: int, verdict: str) -> None:
    found = ratios(
        f"  white flour: 100 g\n  water: {water} g\n", "  base: flour\n  style: loose loaf\n", STYLE
    )
    one = found["hydration"]
    assert (one.usual, one.usual_from, one.verdict) == (
        Extent(Fraction(60), Fraction(70)),
        "loose loaf",
        verdict,
    )


def test_salt_that_is_not_there_at_all_is_below_its_range() -> None:
    found = ratios("  white flour: 100 g\n  water: 65 g\n", "  base: flour\n  style: loose loaf\n", STYLE)
    assert (found["salt"].value, found["salt"].verdict) == (0, "below")


@pytest.mark.parametrize(
    ("bound", "verdict"),
    [
        ("under 65 %", "above"), ("under 65.1 %", "inside"), ("at most 65 %", "inside"), ("at most 64.9 %", "above"),
        ("over 65 %", "below"), ("over 64.9 %", "inside"), ("at least 65 %", "inside"), ("at least 65.1 %", "below"),
        ("65 %", "inside"), ("64 %", "above"), ("60-70 %", "inside"),
    ],
)  # fmt: skip
def test_what_expect_says_goes_before_the_style(bound: str, verdict: str) -> None:
    found = ratios(
        "  white flour: 100 g\n  water: 65 g\n",
        "  base: flour\n  style: loose loaf\n",
        STYLE,
        tail=f"\nexpect\n  hydration: {bound}\n",
    )
    assert (found["hydration"].usual_from, found["hydration"].verdict) == ("expect", verdict)
    assert found["salt"].usual_from == "loose loaf"


def test_a_style_may_bound_a_single_ingredient_or_a_kind() -> None:
    style = "style thing\n  basis: flour\n  butter: 40-60 %\n  egg: 10-20 %\n"
    found = ratios("  white flour: 200 g\n  butter: 100 g\n  eggs: 30 g\n", "  style: thing\n", style)
    assert (found["butter"].value, found["butter"].verdict) == (50, "inside")
    assert (found["egg"].value, found["egg"].verdict) == (15, "inside")


def test_a_style_on_the_total_and_on_a_kind() -> None:
    found = ratios(
        "  olive oil: 300 g\n  cider vinegar: 100 g\n",
        "  style: s\n",
        "style s\n  basis: total\n  oil: 60-80 %\n",
    )
    assert (found["oil"].value, found["oil"].basis) == (75, "total")
    found = ratios(
        "  creamy milk: 400 g\n  eggs: 200 g\n", "  style: s\n", "style s\n  basis: milk\n  egg: 35-60 %\n"
    )
    assert (found["egg"].value, found["egg"].basis) == (50, "milk")


def test_an_enriched_dough() -> None:
    # E21 of the published examples: 100 flour, 50 egg, 50 butter, 10 milk; USDA SR28 waters 76.15, 17.94, 88.13.
    found = ratios("  plain flour: 1000 g\n  eggs: 500 g\n  butter: 500 g\n  whole milk: 100 g\n")
    assert value(found, "water in all") == Fraction("55.858")
    assert value(found, "hydration") == 10


@pytest.mark.parametrize("stem", DEMO)
def test_no_demo_recipe_is_outside_what_it_asks_for(stem: str) -> None:
    for one in demo_batch(stem).ratios:
        assert one.verdict in (None, "inside"), one


def test_demo_ratios_by_hand() -> None:
    rounds = {one.name: one.value for one in demo_batch("harbour-griddle-rounds").ratios}
    assert rounds["hydration"] == 145
    assert (rounds["salt"], rounds["yeast"], rounds["sugar"]) == (2, Fraction("1.2"), 3)
    loaf = {one.name: one.value for one in demo_batch("lighthouse-loaf").ratios}
    assert (loaf["hydration"], loaf["salt"], loaf["yeast"]) == (70, 2, Fraction("0.6"))
    custard = {one.name: one.value for one in demo_batch("moonrise-custards").ratios}
    assert (custard["sugar"], custard["egg"]) == (10, 40)
    scones = demo_batch("church-hall-scones")
    flour = line(scones, "plain flour").weight
    assert flour == 265
    ratio = {one.name: one.value for one in scones.ratios}
    assert ratio["hydration"] == Fraction(3, 4) * 250 * Fraction("1.031") * 100 / flour  # metric cups of milk


def test_a_waiver_changes_no_ratio() -> None:
    text = "recipe T\n  base: flour\n{}\ningredients\n  plain flour: 100 g\n  water: 65 g\n"
    plain = compile_text(text.format("")).batch
    waived = compile_text(text.format("  waive: ratio-outside-style because it is so\n")).batch
    assert plain is not None
    assert waived is not None
    assert plain.ratios == waived.ratios


def test_a_starter_of_unknown_hydration_makes_hydration_unknown() -> None:
    found = ratios(
        "  white flour: 400 g\n  water: 200 g\n  mother: 100 g\n",
        "  base: white flour\n",
        "ingredient mother\n  kind: starter\n",
    )
    assert "hydration" not in found
