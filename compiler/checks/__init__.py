"""The checks: what a second pair of eyes would find, run over a whole kitchen.

A check is a plain function `(Compiled, Kitchen) -> Iterable[Finding]`. Some need only names, some a Batch; a
recipe with a mistake in it has no Batch, and its other checks still run. `CHECKS` lists them in order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final, TypeAlias

from benchproof.compiler import plugins
from benchproof.compiler.checks import (
    amounts,
    books,
    expectations,
    harm,
    heat,
    levels,
    measures,
    names,
    notebook,
    prices,
    prose,
    ratios,
    settings,
    sizes,
    temperatures,
    times,
    unused,
    weighing,
    yields,
)
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.request import Request

Check: TypeAlias = Callable[[Compiled, Kitchen], Iterable[Finding]]

CHECKS: Final[tuple[Check, ...]] = (
    names.check,
    books.check,
    yields.check,
    weighing.check,
    ratios.check,
    amounts.check,
    measures.check,
    sizes.check,
    expectations.check,
    prose.check,
    times.check,
    heat.check,
    temperatures.check,
    harm.check,
    prices.check,
    notebook.check,
    unused.check,
    plugins.check,
)


def check_recipe(compiled: Compiled, kitchen: Kitchen) -> list[Finding]:
    """What compiling a recipe and every check of it found, before waivers and levels."""
    found = list(compiled.findings)
    for check in CHECKS:
        found += check(compiled, kitchen)
    return found


def judged(compiled: Compiled, kitchen: Kitchen, more: Iterable[Finding]) -> list[Finding]:
    """What there is to say of one recipe, and `more` of the files it hangs on, its waivers and the levels applied."""
    found = list(dict.fromkeys([*more, *check_recipe(compiled, kitchen)]))
    return sorted_findings(levels.apply(kitchen, found, only=compiled.recipe), kitchen)


def check_kitchen(
    kitchen: Kitchen, compiler: Compiler, on: str, done: Callable[[int, int], None] | None = None
) -> list[Finding]:
    """Every finding of a kitchen, in the order of its files, waivers and levels applied.

    `done` is told, after each recipe, how many of how many are checked.
    """
    found = [*kitchen.findings, *names.check_kitchen(kitchen), *prices.check_kitchen(kitchen)]
    found += settings.check_kitchen(kitchen)
    found += unused.check_kitchen(kitchen)
    found += plugins.check_kitchen(kitchen)
    recipes = kitchen.own_recipes()
    for number, recipe in enumerate(recipes, 1):
        found += check_recipe(compiler.compile(recipe, Request(on=on)), kitchen)
        if done is not None:
            done(number, len(recipes))
    return sorted_findings(levels.apply(kitchen, list(dict.fromkeys(found))), kitchen)


def sorted_findings(findings: Iterable[Finding], kitchen: Kitchen) -> list[Finding]:
    """In the order of the kitchen's files, and of the places in them."""
    order = {source.name: number for number, source in enumerate(kitchen.sources)}
    return sorted(findings, key=lambda one: (order.get(one.span.source.name, -1), *one.place[1:], one.rule))
