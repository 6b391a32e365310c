"""Sizes: lengths that no piece, cut or tin has, and pieces of a weight that does not go with what goes in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import MeasureRun
from benchproof.compiler.checks import yields
from benchproof.compiler.checks.clauses import lines_of
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import number, weight
from benchproof.compiler.findings import Also, Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import MeasureFact, Size
from benchproof.compiler.verbs import RUN_TOGETHER

CUT: Final = (Fraction(1, 2), Fraction(600))
"""mm of what is cut, rolled or shaped: pasta is rolled to 1 mm, a baguette to 55 cm. Common practice, no source."""
TIN: Final = (Fraction(20), Fraction(600))
"""mm across a tin: from a petit four's to a full oven tray. Common practice, no source."""
DEPTH: Final = (Fraction(10), Fraction(200))
"""mm a tin is deep: from a tray's rim to an angel cake's tin. Common practice, no source."""
LUMP: Final = Fraction(200)
"""mm of a chunk, a cube or a slice, at the most."""
TOOL: Final = Fraction(1000)
"""mm of a pan, a dish or a tray. Common practice, no source."""
_LUMPS: Final = re.compile(
    r"\b(?:chunks?|dice|diced|cubes?|slices?|pieces? of|thick|strips?)\b", re.IGNORECASE
)
_TOOL: Final = re.compile(r"(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>mm|cm|inch|inches|in)\b")
_STRETCHED: Final = re.compile(
    r"\b(?:strudel|filo|phyllo|noodles?|string|twine|cloth|paper|film|foil)\b", re.IGNORECASE
)
_PORTIONED: Final = re.compile(
    r"\b(?:divide|scale|share|cut|ladle|drop|scoop|portion|shape|fill|form|weigh|ball|roll)\w*\b",
    re.IGNORECASE,
)
_FAR: Final = 3
"""Times apart from which a piece is not of the weight that goes in, whatever is lost on the way."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    formula = compiled.formula
    if not (formula.sound and formula.weight and any(yields.tin(formula, kitchen))):
        yield from _tin(compiled)  # else that it does not fit is told
    yield from _tools(compiled)
    yield from _run_together(compiled)
    for step in compiled.method.steps:
        for line in lines_of(step):
            for event in line.events:
                run, piece = event.run, event.piece
                if not isinstance(run, MeasureRun) or not isinstance(piece, MeasureFact):
                    continue
                for length in run.lengths:
                    odd = not CUT[0] <= length.low <= length.high <= CUT[1]
                    lumps = length.low > LUMP and _LUMPS.search(line.said(event)) is not None
                    if (odd or lumps) and not _STRETCHED.search(f"{step.name.text} {line.text}"):
                        yield _length(
                            piece.span, "Nothing in a kitchen is cut or rolled to", length.high, CUT
                        )
                        break
                if piece.kind == "each" and piece.quantity is not None:
                    yield from _each(compiled, piece, line.said(event))


def _tin(compiled: Compiled) -> Iterator[Finding]:
    entry = compiled.recipe.block.entry("tin")
    if entry is None or not isinstance(entry.value, Size):
        return
    for term in entry.value.lengths:
        across = quantities.base((term,))
        if not TIN[0] <= across <= TIN[1]:
            yield _length(entry.value.span, "No tin that goes into an oven measures", across, TIN)
            return
    if entry.value.depth is not None:
        low, high = quantities.extent(entry.value.depth)
        if not DEPTH[0] <= low <= high <= DEPTH[1]:
            yield _length(entry.value.span, "No tin that goes into an oven is as deep as", high, DEPTH)


def _run_together(compiled: Compiled) -> Iterator[Finding]:
    """`21/2 lb`: read as ten and a half, and hardly meant so."""
    for item in compiled.formula.items():
        found = RUN_TOGETHER.search(item.entry.value.span.text)
        if found is not None:
            yield find(
                "fraction-run-together",
                item.entry.value.span,
                f"“{found[0]}” is read as {number(Fraction(found[0]), 1)}: a fraction of more than one whole.",
                f"Was `{found['whole']} {found['part']}/{found['under']}` meant, with a blank between?",
            )


def _tools(compiled: Compiled) -> Iterator[Finding]:
    """Dishes and pans in the list of equipment that go into no oven."""
    for block in compiled.recipe.equipment:
        for line in block.lines:
            for found in _TOOL.finditer(line.span.text):
                unit = "inch" if found["unit"].startswith("in") else found["unit"]
                length = Fraction(found["number"]) * _MM[unit]
                if length > TOOL:
                    span = line.span.part(found.start(), found.end())
                    yield _length(span, "No pan or dish in a kitchen measures", length, (Fraction(100), TOOL))


_MM: Final = {"mm": Fraction(1), "cm": Fraction(10), "inch": Fraction(254, 10)}


def _length(span: Span, words: str, length: Fraction, usual: tuple[Fraction, Fraction]) -> Finding:
    return find(
        "unlikely-length",
        span,
        f"{words} {_shown(length)}.",
        f"Is a nought, a point or the unit out of place? From {_shown(usual[0])} to {_shown(usual[1])} is usual.",
    )


def _shown(length: Fraction) -> str:
    """In mm below 2 cm, else in cm, without needless decimals."""
    value, unit = (length, "mm") if length < 20 else (length / 10, "cm")
    text = number(value, 1)
    return f"{text.removesuffix('.0')} {unit}"


def _each(compiled: Compiled, fact: MeasureFact, sentence: str) -> Iterator[Finding]:
    """What each piece is said to weigh, beside what there is for it."""
    formula = compiled.formula
    assert fact.quantity is not None
    if fact.quantity.dimension != "mass" or not formula.sound or not formula.weight:
        return
    low, high = quantities.extent(fact.quantity)
    pieces = formula.makes.count.low if formula.makes and formula.makes.count else formula.serves
    whole = sum((item.weight for item in formula.items() if item.weight), Fraction(0))
    share = whole / pieces if pieces else whole
    drawn = "[" in sentence or "◊" in sentence[: sentence.find("◊") + 1]
    big = low > share * _FAR
    small = bool(pieces) and drawn and high * 2 * _FAR < formula.weight / (pieces or 1)
    if not big and not (small and _PORTIONED.search(sentence)):
        return
    said = f"there are only {weight(whole, None)} of everything"
    if pieces:
        said = f"what goes in comes to {weight(share, Fraction(1, 10))} for each of {number(pieces, 0)}"
    span = formula.makes.span if formula.makes else None
    yield find(
        "each-unlike-yield",
        fact.span,
        f"“{fact.span.text.strip('[]')}”, but {said}.",
        f"Is a nought or the unit out of place? `[{weight(share, Fraction(1))} each]` would use it all up.",
        also=(Also(span, "what it makes"),) if span is not None else (),
    )
