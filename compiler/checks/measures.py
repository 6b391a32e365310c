"""Cups and spoons that are not the same everywhere, and facts about a food that no such food has."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from benchproof.compiler import food_law, quantities
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import listed, number, percent, weight
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.food import Food
from benchproof.compiler.formula import Item
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.ratios import YEASTS
from benchproof.compiler.rules import find
from benchproof.compiler.syntax import Block, Density, Entry, Measured, Percentage, Term, name_key

DENSITIES: Final = (Fraction(1, 10), Fraction(5, 2))
"""g/ml of anything a kitchen spoons out: dried herbs are lightest, flaky salt and syrups heaviest (USDA SR28
household measures run from 0.1 to 1.5)."""
APART: Final = 5
"""Times apart from the larder that two figures of one food are not both right."""
LEAST_USABLE: Final = Fraction(3, 10)
"""The least that trimming leaves of most foods; SR28's refuse figures stay below 60 % but for shellfish."""
HYDRATIONS: Final = (Fraction(1, 2), Fraction(2))
"""Stiff to liquid levain is 50 to 125 % (Hamelman, *Bread*; Suas, *Advanced Bread and Pastry*, from memory)."""
WATER_APART: Final = Fraction(3, 10)
"""How far two tables of one food may be apart in water; between USDA SR28 and IFCT 2017 like foods differ by 8."""

_POWDERS: Final = frozenset({"flour", "starch", "cocoa", "milk powder"})
_POWDER_FOODS: Final = frozenset(
    {"icing sugar", "ground almonds", "parmesan", "cheddar", "desiccated coconut"}
)
_STRONG: Final = frozenset({"salt", "raising agent", "spice", *YEASTS})
_THEIR_CUPS: Final = {"USD": "US"}
_THEIR_LAWS: Final = {food_law.US.name: "US"}
"""Kitchens whose cup is another than the metric one, by their money and their food law."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    yield from _facts(compiled, kitchen)
    stated = any(block.kind == "kitchen" and block.entry("measures") for block in kitchen.blocks)
    if not stated:
        yield from _whose(compiled, kitchen)
    yield from _by_the_cup(compiled, kitchen)


# ---------------------------------------------------------------- cups and spoons


def _regional(item: Item, units: Iterable[str]) -> Term | None:
    """The cup or spoon an amount is in, where it does not say whose."""
    value = item.entry.value
    if not isinstance(value, Measured):
        return None
    return next((term for term in value.quantity.low if term.unit in units and term.system is None), None)


def _whose(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    """A cup, or tablespoons of something strong, where nothing says which country's: one word a recipe."""
    settings = kitchen.settings
    elsewhere = _THEIR_CUPS.get(settings.currency or "") or _THEIR_LAWS.get(settings.law.name)
    for item in compiled.formula.items():
        term = _regional(item, ("cup",))
        if term is None:
            continue
        sizes = sorted({quantities.size("cup", system) for system in quantities.SYSTEMS})
        message = (
            f"A cup is {_ml(sizes[0])} in the United States, 250 ml in metric kitchens and {_ml(sizes[-1])} in an old "
            "British book; nothing here says which, so it is read as 250 ml."
        )
        if elsewhere is not None:
            theirs = quantities.size("cup", elsewhere)
            message = (
                f"Nothing says whose cup this is, so it is read as 250 ml; this kitchen is one where a cup is "
                f"{_ml(theirs)} ({elsewhere})."
            )
        yield find(
            "which-cup",
            item.entry.value.span,
            message,
            "Say it once in the `kitchen` block (`measures: metric`, `US`, `UK` or `Australian`), in the amount "
            "(`1 US cup`), or write grams.",
            severity=Severity.WARNING if elsewhere is not None else Severity.HINT,
        )
        break
    for item in compiled.formula.items():
        term = _regional(item, ("tbsp",))
        if term is not None and term.number > 1 and item.kind in _STRONG:
            yield find(
                "which-tablespoon",
                item.entry.value.span,
                f"A tablespoon is 15 ml, and 20 ml in Australia: {item.name.text} would be a third more there.",
                "Say which in the `kitchen` block (`measures: metric` or `Australian`), or write grams.",
            )
            return


def _ml(size: Fraction) -> str:
    return f"{number(size, 0)} ml"


def _by_the_cup(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    """A powder by the cup: one word a recipe, for the heaviest."""
    found = [
        item
        for item in compiled.formula.items()
        if isinstance(item.entry.value, Measured)
        and any(term.unit == "cup" for term in item.entry.value.quantity.low)
        and item.weight
        and (item.kind in _POWDERS or not _POWDER_FOODS.isdisjoint(item.keys))
    ]
    if not found or not kitchen.settings.scales:
        return
    item = max(found, key=lambda one: one.weight or Fraction(0))
    others = [one.name.text for one in found if one is not item]
    yield find(
        "powder-by-the-cup",
        item.entry.value.span,
        f"A cup of {item.name.text} weighs a fifth more scooped than spooned in; {item.entry.value.span.text} is "
        f"taken as {weight(item.weight or Fraction(0), Fraction(1))} here.",
        f"Write the grams you mean, for there are scales here{_and_others(others)}.",
    )


def _and_others(others: list[str]) -> str:
    return f"; the same goes for {listed(others[:3])}" if others else ""


# ---------------------------------------------------------------- facts of a food


def _facts(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    blocks = {block.span: block for block in kitchen.blocks if block.kind == "ingredient"}
    seen: set[int] = set()
    for item in compiled.formula.items():
        food = item.food
        if food is None or food.span is None or food.span not in blocks or id(food) in seen:
            continue
        seen.add(id(food))
        yield from facts_of(food, blocks[food.span], kitchen.larder.food(name_key(food.name)))


def facts_of(food: Food, block: Block, larder: Food | None) -> Iterator[Finding]:
    """What an `ingredient` block states that no such food has, or that is far from the built-in larder's."""
    density = block.entry("density")
    if density is not None and isinstance(density.value, Density) and food.density is not None:
        if not DENSITIES[0] <= food.density <= DENSITIES[1]:
            shown = f"{number(food.density, 2)} g/ml"
            yield _unlikely(density, f"{food.name} would weigh {shown}, and nothing eaten does")
        elif larder is not None and larder.density and _far(food.density, larder.density):
            yield _unlikely(
                density,
                f"{food.name} would weigh {number(food.density, 2)} g/ml; the larder has {number(larder.density, 2)}",
            )
    piece = block.entry("piece")
    known_piece = larder.piece if larder is not None else None
    if piece is not None and food.piece and known_piece and _far(food.piece, known_piece):
        yield _unlikely(
            piece,
            f"one of {food.name} would weigh {weight(food.piece, Fraction(1, 10))}; the larder has "
            f"{weight(known_piece, Fraction(1, 10))}",
        )
    for word, (bought, _) in food.words.items():
        entry = block.entry(word)
        known = larder.words.get(word) if larder is not None else None
        if entry is not None and known is not None and _far(bought, known[0]):
            yield _unlikely(
                entry,
                f"a {word} of {food.name} would weigh {weight(bought, Fraction(1, 10))}; the larder has "
                f"{weight(known[0], Fraction(1, 10))}",
            )
    usable = block.entry("usable")
    left, known_left = food.usable, larder.usable if larder is not None else None
    agreed = left is not None and known_left is not None and not _far(left, known_left, 2)
    if usable is not None and left is not None and left < LEAST_USABLE and not agreed:
        yield _unlikely(usable, f"of {food.name} only {percent(left * 100)} would be left once it is trimmed")
    hydration = block.entry("hydration")
    wet = food.hydration
    if hydration is not None and wet is not None and not HYDRATIONS[0] <= wet <= HYDRATIONS[1]:
        yield _unlikely(
            hydration,
            f"{food.name} would hold {percent(wet * 100)} of water to its flour; a stiff starter holds 50 %, a "
            "liquid one 100 to 125 %",
        )
    for label in ("water", "fat", "sugar"):
        entry = block.entry(label)
        own, known_share = getattr(food, label), getattr(larder, label) if larder is not None else None
        if entry is not None and isinstance(entry.value, Percentage) and own is not None and known_share:
            apart = abs(own - known_share)
            if apart > WATER_APART or (apart > Fraction(2, 25) and _far(own, known_share)):
                yield _unlikely(
                    entry,
                    f"{food.name} would be {percent(own * 100)} {label}; the larder has {percent(known_share * 100)}",
                )


def _far(one: Fraction, other: Fraction, times: int = APART) -> bool:
    return one >= other * times or other >= one * times


def _unlikely(entry: Entry, words: str) -> Finding:
    return find(
        "unlikely-fact",
        entry.value.span,
        f"With `{entry.label.text}: {entry.value.span.text}`, {words}.",
        "Look at the figure again: is a decimal point or a unit out of place? If it is right, write `unlikely-fact: "
        "off` in a `checks` block.",
    )
