"""Loose numbers: amounts in a step's prose outside brackets."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from benchproof.compiler.compile import Compiled
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.quantities import UNITS, nearest_units
from benchproof.compiler.rules import find
from benchproof.compiler.syntax import Text

_ALSO_WORDS = frozenset({"m", "s", "in", "l"})
"""Units that are words, or the beginning of one, too often: `2 in each pan`."""


@cache
def _loose() -> re.Pattern[str]:
    units = sorted((unit for unit in UNITS if unit not in _ALSO_WORDS), key=len, reverse=True)
    words = [*units, "mins", "hrs", "degrees", "%", "litres", "l"]
    number = r"(?:\d+(?:[.,]\d+)?(?:\s*/\s*\d+)?(?:\s?[½⅓⅔¼¾⅕⅛⅜⅝⅞])?|[½⅓⅔¼¾⅕⅛⅜⅝⅞])"
    return re.compile(
        rf"(?<![\w.])({number}(?:\s*[-–−]\s*{number}|\s+to\s+{number})?)[ \u00a0]?"
        rf"({'|'.join(map(re.escape, words))})(?![\w])"
    )


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    for step in compiled.recipe.steps:
        for line in step.prose():
            for piece in line.pieces:
                if not isinstance(piece, Text):
                    continue
                for match in _loose().finditer(piece.span.text):
                    span = piece.span.part(match.start(), match.end())
                    yield find(
                        "loose-number",
                        span,
                        f"“{span.text}” stands outside brackets: it will not scale, convert or be checked.",
                        _mend(match.group(1), match.group(2)),
                    )


def _mend(number: str, unit: str) -> str:
    unit = unit if unit in UNITS else next(iter(nearest_units(unit)), unit)
    dimension = UNITS[unit].dimension if unit in UNITS else None
    if dimension in ("mass", "volume"):
        return f"If it is taken from the list, write `[{number} {unit} of the …]`."
    if unit in ("degrees", "%"):
        return "Put it in brackets with what it is of."
    return f"Write `[{number} {unit}]`."
