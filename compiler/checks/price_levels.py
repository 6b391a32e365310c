"""What foods cost beside one another, for a price that stands alone.

By weight, in *flours*: how many times as dear as plain bread flour. How much money a flour is, is learned from the
kitchen's own lists, as the middle of what all their lines say; so neither currency, year nor wholesale matters. All
levels are from memory, common practice, no source: good to two or three times, which is enough to see a slipped point.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler.food import Food
from benchproof.compiler.kitchen import Kitchen, Priced
from benchproof.compiler.money import pack_size

_TENTHS_BY_KIND: Final = {
    "flour": 12,
    "starch": 30,
    "liquid": 20,
    "milk": 10,
    "plant milk": 18,
    "cream": 40,
    "yoghurt": 30,
    "cheese": 65,
    "egg": 40,
    "fat": 55,
    "oil": 30,
    "sugar": 15,
    "syrup": 55,
    "salt": 9,
    "instant yeast": 200,
    "active dry yeast": 250,
    "fresh yeast": 40,
    "raising agent": 50,
    "fruit": 25,
    "dried fruit": 60,
    "vegetable": 20,
    "puree": 25,
    "pulse": 25,
    "grain": 20,
    "pasta": 25,
    "nut": 110,
    "seed": 60,
    "nut butter": 60,
    "meat": 80,
    "poultry": 60,
    "fish": 110,
    "shellfish": 120,
    "herb": 250,
    "spice": 250,
    "chocolate": 90,
    "cocoa": 100,
    "vinegar": 25,
    "condiment": 70,
    "milk powder": 80,
    "prepared": 45,
}
_TENTHS_BY_FOOD: Final = {
    # flours and grains dearer than their kind
    "rice flour": 25,
    "buckwheat flour": 25,
    "chickpea flour": 25,
    "wholemeal rye flour": 18,
    "quinoa": 60,
    "arborio rice": 30,
    "basmati rice": 25,
    # fats, dairy
    "olive oil": 70,
    "extra virgin olive oil": 80,
    "sesame oil": 140,
    "coconut oil": 80,
    "ghee": 90,
    "lard": 40,
    "parmesan": 140,
    "evaporated milk": 25,
    "condensed milk": 35,
    # vegetables and fruit far from their kind
    "potatoes": 10,
    "onions": 11,
    "carrots": 9,
    "garlic": 80,
    "ginger": 60,
    "mushrooms": 55,
    "spring onions": 60,
    "fresh chillies": 90,
    "red peppers": 35,
    "spinach": 60,
    "bean sprouts": 35,
    "avocados": 50,
    "lemons": 30,
    "limes": 45,
    "strawberries": 70,
    "raspberries": 120,
    "blueberries": 100,
    "tomato puree": 50,
    # liquids
    "water": 0,
    "beef stock": 18,
    "vegetable stock": 18,
    "chicken stock": 18,
    "red wine": 45,
    "white wine": 45,
    "lemon juice": 35,
    "lime juice": 60,
    "coconut milk": 35,
    "coffee": 8,
    "black tea": 4,
    # by the small packet
    "baking soda": 18,
    "cream of tartar": 200,
    "sesame seeds": 110,
    "flaky salt": 90,
    "vanilla extract": 800,
    "gelatine": 250,
    "stock cubes": 120,
    "stock powder": 120,
    "nutmeg": 500,
    "ground cloves": 450,
    "whole cloves": 450,
    "ground cardamom": 700,
    "cardamom pods": 600,
    "bay leaves": 1800,
    "thyme": 450,
    "chives": 450,
    "rosemary": 450,
    "sage": 450,
    "dried oregano": 450,
    "dried thyme": 450,
    "dried basil": 450,
    "dried rosemary": 450,
    "dried sage": 450,
    "dried parsley": 450,
    "dried mixed herbs": 450,
    "pine nuts": 250,
    "pistachios": 220,
    "macadamias": 220,
    "tofu": 45,
    "anchovies": 250,
    "maple syrup": 130,
}
_BOUGHT_READY: Final = Fraction(6)
"""A bought thing that a recipe replaces: a loaf, a quiche, a packet of rolls."""

ENOUGH: Final = 6
"""How many other foods must be priced before one is said to be out of proportion to them: our own choice."""


@dataclass(frozen=True, slots=True)
class Tag:
    """A price line, and what it says a flour costs: money for a gram, over its level."""

    line: Priced
    food: str
    flour: Fraction


class Proportion:
    """What a flour costs in each currency, by all lines but those of the food that is asked about."""

    def __init__(self, kitchen: Kitchen) -> None:
        ready = frozenset(
            entry.value.span.text.casefold()
            for recipe in kitchen.own_recipes()
            if (entry := recipe.block.entry("instead of")) is not None
        )
        self._tags: dict[int, Tag] = {}
        self._newest: dict[str | None, dict[str, Tag]] = {}
        self._sorted: dict[str | None, list[Fraction]] = {}
        for lines in kitchen.prices.values():
            for line in lines:
                tag = _tag(line, kitchen, ready)
                if tag is not None:
                    self._tags[id(line)] = tag
                    self._keep(tag)

    def _keep(self, tag: Tag) -> None:
        """The newest price of a food that is no offer, in its currency."""
        foods = self._newest.setdefault(tag.line.currency, {})
        held = foods.get(tag.food)
        if not tag.line.special and (held is None or tag.line.date > held.line.date):
            foods[tag.food] = tag

    def of(self, line: Priced) -> Fraction | None:
        """How many times dearer than in proportion a price is; None where too little is known to say."""
        own = self._tags.get(id(line))
        if own is None:
            return None
        every = self._in_order(line.currency)
        held = self._newest[line.currency].get(own.food)
        left_out = bisect_left(every, held.flour) if held is not None else len(every)
        others = len(every) - (1 if held is not None else 0)
        if others < ENOUGH:
            return None
        middle = (others - 1) // 2  # the lower of two, as long as the food's own price is left out
        return own.flour / every[middle if middle < left_out else middle + 1]

    def _in_order(self, currency: str | None) -> list[Fraction]:
        """The levels of all foods in a currency, the lowest first: sorted once."""
        if currency not in self._sorted:
            self._sorted[currency] = sorted(tag.flour for tag in self._newest[currency].values())
        return self._sorted[currency]


def _tag(line: Priced, kitchen: Kitchen, ready: Iterable[str]) -> Tag | None:
    food = kitchen.food(line.item)
    level = level_of(food) if food is not None else _BOUGHT_READY if line.item.key in ready else None
    weight = pack_size(line, food, kitchen.settings.measures).weight
    if not level or not weight or not line.price.money:
        return None
    return Tag(line, food.name if food else line.item.key, line.price.money / weight / level)


def level_of(food: Food) -> Fraction | None:
    """How many times as dear as bread flour a food is, by weight; None where nobody could say."""
    names = sorted(food.keys & _BY_KEY.keys())
    tenths = _BY_KEY[names[0]] if names else _TENTHS_BY_KIND.get(food.kind or "")
    return Fraction(tenths, 10) if tenths else None


_BY_KEY: Final = {name.casefold(): tenths for name, tenths in _TENTHS_BY_FOOD.items()}
