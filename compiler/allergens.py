"""Who may not eat it: what the ingredients contain, in the words of the kitchen's food law."""

from __future__ import annotations

from benchproof.compiler.batch import Allergen, Allergens
from benchproof.compiler.findings import Finding
from benchproof.compiler.food import unknown_allergen
from benchproof.compiler.food_law import ALLERGENS, allergen_word
from benchproof.compiler.formula import Formula, Item
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.syntax import Name, Names, name_key


def _stated(item: Item) -> dict[str, None] | None:
    """The words an ingredient line brings, None when nobody has stated them."""
    if item.food is None or item.food.contains is None:
        return None
    return dict.fromkeys(item.food.contains)


def _collect(
    formula: Formula, found: dict[str, dict[str, None]], missing: dict[str, None], may: dict[str, None]
) -> None:
    """Every line counts, purposes and `to taste` too; a recipe used as an ingredient brings its own."""
    for name in may_contain(formula):
        may[allergen_word(name.text) or name.text] = None
    for item in formula.items():
        if item.product is not None:
            _collect(item.product, found, missing, may)
            continue
        words = _stated(item)
        if words is None:
            missing[item.name.text] = None
            continue
        for word in words:
            found.setdefault(word, {})[item.name.text] = None


def may_contain(formula: Formula) -> tuple[Name, ...]:
    return tuple(
        name
        for entry in formula.recipe.block.entries()
        if entry.label.key == "may contain" and isinstance(entry.value, Names)
        for name in entry.value.names
        if name.key != "nothing"
    )


def allergens(kitchen: Kitchen, formula: Formula) -> Allergens:
    """The allergens of a recipe. A word the law does not list is left out; one nobody's list knows is kept."""
    law = kitchen.settings.law
    found: dict[str, dict[str, None]] = {}
    missing: dict[str, None] = {}
    may: dict[str, None] = {}
    _collect(formula, found, missing, may)
    declared: dict[str, dict[str, None]] = {}
    for word, foods in found.items():
        name = law.declared.get(word, None if name_key(word) in ALLERGENS else word)
        if name is not None:
            declared.setdefault(name, {}).update(foods)
    perhaps = {law.declared.get(word, None if name_key(word) in ALLERGENS else word): None for word in may}
    return Allergens(
        law.name,
        law.union,
        tuple(Allergen(name, tuple(foods)) for name, foods in sorted(declared.items())),
        tuple(name for name in perhaps if name is not None and name not in declared),
        tuple(missing),
    )


def unknown_words(formula: Formula) -> list[Finding]:
    """`may contain` words that no law's list has."""
    return [
        unknown_allergen(name.text, name.span)
        for name in may_contain(formula)
        if allergen_word(name.text) is None
    ]
