"""What foods cost beside one another: the table, and how much a flour is in a kitchen's own lists."""

from fractions import Fraction

import pytest

from benchproof.compiler.checks.price_levels import _TENTHS_BY_FOOD, ENOUGH, Proportion, level_of
from benchproof.compiler.food import KINDS
from benchproof.compiler.kitchen import Kitchen, larder
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import name_key


def kitchen(*lines: str, heading: str = "prices at Quay on 2026-11-02") -> Kitchen:
    return Kitchen([Source(f"{heading}\n" + "".join(f"  {line}\n" for line in lines), "a.bench")])


SIX = ("plain flour: 1.20 for 1 kg", "rolled oats: 2.00 for 1 kg", "caster sugar: 1.50 for 1 kg",
       "fine salt: 0.90 for 1 kg", "butter: 5.50 for 1 kg", "dried pasta: 2.50 for 1 kg")  # fmt: skip


def away(held: Kitchen, item: str) -> Fraction | None:
    return Proportion(held).of(held.prices[item][0])


@pytest.mark.parametrize("name", sorted(_TENTHS_BY_FOOD))
def test_each_food_of_the_table_is_in_the_larder(name: str) -> None:
    food = larder().food(name_key(name))
    assert food is not None
    assert food.name == name


def test_each_kind_has_a_level_but_what_is_only_made_at_home() -> None:
    foods = [larder().food(name_key(name)) for name in larder().food_names]
    without = {food.kind for food in foods if food is not None and level_of(food) is None}
    assert without <= {"liquid", "starter"}  # water is nothing's measure
    assert set(KINDS) >= without


def test_a_shelf_in_proportion_is_one_flour_all_over() -> None:
    assert away(kitchen(*SIX, "white rice: 2.00 for 1 kg"), "white rice") == 1
    assert away(kitchen(*SIX, "white rice: 20.00 for 1 kg"), "white rice") == 10
    assert away(kitchen(*SIX, "white rice: 1.00 for 5 kg"), "white rice") == Fraction(1, 10)


def test_a_food_is_no_measure_of_itself_and_enough_others_are_needed() -> None:
    assert ENOUGH == 6
    held = kitchen(*SIX)
    assert away(held, "butter") is None  # five others
    dated = kitchen(*SIX, "white rice: 20.00 for 1 kg", "rice: 2.00 for 1 kg")
    assert away(dated, "white rice") == 10


def test_the_newest_price_of_a_food_is_its_measure_and_offers_are_none() -> None:
    old = "prices at Quay on 2026-10-01\n" + "".join(f"  {line.replace(': ', ': 9')}\n" for line in SIX)
    new = "prices at Quay on 2026-11-02\n" + "".join(
        f"  {line}\n" for line in (*SIX, "white rice: 2.00 for 1 kg")
    )
    held = Kitchen([Source(old, "a.bench"), Source(new, "b.bench")])
    assert away(held, "white rice") == 1
    offers = kitchen(*(f"{line}, special" for line in SIX), "white rice: 2.00 for 1 kg")
    assert away(offers, "white rice") is None


@pytest.mark.parametrize("line", ["water: 0.01 for 1 l", "rhubarb leather: 2.00 for 1 kg", "eggs: free"])
def test_what_has_no_level_has_no_proportion(line: str) -> None:
    assert away(kitchen(*SIX, line), line.partition(":")[0]) is None
