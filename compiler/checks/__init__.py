"""The checks: what a second pair of eyes would find, run over a whole kitchen.

A check is a plain function `(Compiled, Kitchen) -> Iterable[Finding]`. Some need only names, some a Batch; a
recipe with a mistake in it has no Batch, and its other checks still run. `CHECKS` lists them in order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final, TypeAlias

from benchproof.compiler.checks import (
    expectations,
    heat,
    levels,
    names,
    prices,
    prose,
    ratios,
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
    yields.check,
    weighing.check,
    ratios.check,
    expectations.check,
    prose.check,
    heat.check,
    prices.check,
    unused.check,
)


def check_recipe(compiled: Compiled, kitchen: Kitchen) -> list[Finding]:
    """What compiling a recipe and every check of it found, before waivers and levels."""
    found = list(compiled.findings)
    for check in CHECKS:
        found += check(compiled, kitchen)
    return found


def check_kitchen(kitchen: Kitchen, compiler: Compiler, on: str) -> list[Finding]:
    """Every finding of a kitchen, in the order of its files, waivers and levels applied."""
    found = [*kitchen.findings, *names.check_kitchen(kitchen), *prices.check_kitchen(kitchen)]
    found += unused.check_kitchen(kitchen)
    for recipe in kitchen.own_recipes():
        found += check_recipe(compiler.compile(recipe, Request(on=on)), kitchen)
    return sorted_findings(levels.apply(kitchen, list(dict.fromkeys(found))), kitchen)


def sorted_findings(findings: Iterable[Finding], kitchen: Kitchen) -> list[Finding]:
    """In the order of the kitchen's files, and of the places in them."""
    order = {source.name: number for number, source in enumerate(kitchen.sources)}
    return sorted(findings, key=lambda one: (order.get(one.span.source.name, -1), *one.place[1:], one.rule))
