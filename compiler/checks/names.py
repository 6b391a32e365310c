"""Names: ingredients nobody knows, styles that are not there, prices of nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchproof.compiler.compile import Compiled
from benchproof.compiler.findings import Edit, Finding, Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.ratios import flour_in
from benchproof.compiler.rules import find
from benchproof.compiler.suggest import nearest, sure_slip
from benchproof.compiler.syntax import Count, Name, NamedHeading, Words
from benchproof.compiler.versions import NEWEST


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    yield from _ingredients(compiled, kitchen)
    yield from _style(compiled, kitchen)
    yield from _starters(compiled)


def _ingredients(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    for item in compiled.formula.items():
        if item.food is not None or item.product is not None:
            continue
        name = item.name
        if kitchen.recipe(name.text) is not None:
            continue  # a loop, or a recipe with a mistake: it has a finding of its own
        known = [*kitchen.food_names(), *(recipe.name.text for recipe in kitchen.own_recipes())]
        near = nearest(name.text, known)
        message = f"Nobody has stated anything about “{name.text}”: its allergens are shown as not stated."
        if near:
            yield find(
                "unknown-ingredient",
                name.span,
                message,
                f"Did you mean “{near[0]}”? If not, add `ingredient {name.text}` to the kitchen.",
                severity=Severity.WARNING,
            )
        else:
            yield find(
                "unknown-ingredient",
                name.span,
                message,
                f"Add `ingredient {name.text}` to the kitchen, with what it contains.",
            )


def _starters(compiled: Compiled) -> Iterator[Finding]:
    for item in compiled.formula.items():
        if item.kind == "starter" and flour_in(item) is None:
            yield find(
                "starter-unknown",
                item.name.span,
                f"Nobody has said how much water is in {item.name.text}, so the hydration is not known.",
                f"Add to `ingredient {item.name.text}` a line `hydration: 100 %` (its water over its flour).",
            )


def _style(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    entry = compiled.recipe.block.entry("style")
    if entry is None or not isinstance(entry.value, Words) or compiled.style is not None:
        return
    near = nearest(entry.value.text, kitchen.style_names())
    sure = sure_slip(entry.value.text, kitchen.style_names())
    yield find(
        "unknown-style",
        entry.value.span,
        f"No style is called “{entry.value.text}”.",
        f"Did you mean “{near[0]}”?" if near else f"Add `style {entry.value.text}` to the kitchen.",
        edit=Edit(entry.value.span, sure) if sure else None,
    )


def check_kitchen(kitchen: Kitchen) -> Iterator[Finding]:
    yield from _price_items(kitchen)
    for block in kitchen.blocks:
        if block.kind == "kitchen" and isinstance(block.heading, NamedHeading):
            entry = block.entry("language")
            if entry is not None and isinstance(entry.value, Count) and entry.value.number.low != NEWEST:
                yield find(
                    "unknown-language",
                    entry.value.span,
                    f"This compiler reads version {NEWEST} of the language, not {entry.value.span.text}.",
                    f"Update the compiler, or write `language: {NEWEST}`.",
                )


def _price_items(kitchen: Kitchen) -> Iterator[Finding]:
    """Items that look like a misspelt ingredient."""
    replaced = {
        entry.value.span.text
        for recipe in kitchen.own_recipes()
        for entry in recipe.block.entries()
        if entry.label.key == "instead of"
    }
    wanted = {Name(text, recipe.name.span).key for text in replaced for recipe in kitchen.own_recipes()[:1]}
    listed = {
        entry.label.key
        for recipe in kitchen.own_recipes()
        for block in recipe.ingredients
        for entry in block.entries()
    }
    for lines in kitchen.prices.values():
        item = lines[0].item
        if item.key in wanted or item.key in listed or kitchen.food(item) or kitchen.recipe(item.text):
            continue
        near = nearest(item.text, [*kitchen.food_names(), *replaced])
        if near:
            yield find(
                "unknown-price-item",
                item.span,
                f"“{item.text}” is no ingredient of this kitchen.",
                f"Did you mean “{near[0]}”?",
            )
