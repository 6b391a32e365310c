"""The yield: what goes in, less the losses, against what `makes` says."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import count, weight
from benchproof.compiler.findings import Finding
from benchproof.compiler.formula import made_weight
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.rules import find
from benchproof.compiler.syntax import Measured

_HALF_A_GRAM: Final = Fraction(1, 2)


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    formula = compiled.formula
    makes = formula.makes
    said = made_weight(makes, kitchen.settings.measures)
    if makes is None or said is None or not formula.sound or not formula.weight:
        return
    if not any(
        isinstance(item.entry.value, Measured) or item.count for item in formula.items() if item.inside
    ):
        return  # solved from the yield: it agrees by construction
    comes_to = formula.finished if makes.after_losses else formula.scaled
    pieces = makes.count.low if makes.count and makes.each is not None else Fraction(1)
    each = comes_to / pieces
    if abs(comes_to - said) <= pieces * max(_HALF_A_GRAM, _half_division(kitchen, each)):
        return
    when = "after all losses" if makes.after_losses else "when it is weighed off"
    losses = "" if comes_to == formula.weight else f" ({weight(formula.weight, None)} go in)"
    if makes.each is not None and makes.count is not None:
        noun = makes.noun.text if makes.noun else "pieces"
        message = (
            f"The recipe says {count(pieces)} {noun} of {weight(said / pieces, Fraction(1, 10))}"
            + (f", which is {weight(said, None)}" if pieces != 1 else "")
            + f"; its ingredients come to {weight(comes_to, None)} {when}{losses}."
        )
        whole = Fraction(round(comes_to * pieces / said))
        fits = whole not in (0, pieces) and abs(comes_to - whole * said / pieces) <= whole
        help = (
            f"Either each weighs {weight(each, Fraction(1, 10))}, "
            + (f"or there are {count(whole)} of them, " if fits else "")
            + "or an amount or a loss is wrong."
        )
    else:
        message = (
            f"The recipe says it makes {weight(said, None)}; its ingredients come to "
            f"{weight(comes_to, None)} {when}{losses}."
        )
        help = f"Write `makes: {weight(comes_to, None)}`, or correct an amount or a loss."
    yield find("yield-does-not-add-up", makes.span, message, help)


def _half_division(kitchen: Kitchen, each: Fraction) -> Fraction:
    scales = kitchen.settings.scales
    division = next((step for step, most in scales if each <= most), scales[-1][0] if scales else Fraction(0))
    return division / 2
