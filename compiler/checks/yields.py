"""The yield: what goes in, less the losses, against what `makes` says."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import Extent
from benchproof.compiler.checks.explained import factors, how
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import count, percent, ratio_range, volume, weight
from benchproof.compiler.findings import Also, Finding
from benchproof.compiler.formula import Formula, Item, made_weight
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.ratios import flour_weight
from benchproof.compiler.rules import find
from benchproof.compiler.syntax import Counted, Entry, Losses, Measured, Percentage, Size

_HALF_A_GRAM: Final = Fraction(1, 2)


_BEFORE_SCALING: Final = Extent(Fraction(0), Fraction(6))
"""Per hundred that stays on bowl, bench and mixer: 1 to 3 % is usual (common practice, no source)."""
_BREAD_BAKE: Final = Extent(Fraction(4), Fraction(28))
"""Per hundred that dough and batter lose in the oven: published figures run from 9.8 to 20 %, a thin crisp biscuit
loses more (trade lessons and handbooks, two of three read in reproductions; widened)."""
_OVEN: Final = Extent(Fraction(2), Fraction(65))
"""The same for what is roasted: meat 20 to 40 %, tomatoes dried in the oven more (common practice, no source)."""
_POT: Final = Extent(Fraction(2), Fraction(80))
"""What boils away in pan or pot; a stock or a jam is boiled down by half and more (common practice, no source)."""
_GAINS: Final = Extent(Fraction(15), Fraction(300))
"""What rice (120 to 200 %), beans (100 to 150 %) and pasta (80 to 130 %) drink: common practice, no source."""

_BATTER: Final = Extent(Fraction(2, 5), Fraction(11, 10))
"""g/ml of what goes into a tin, from a whisked sponge to a dense dough (common practice, no source)."""
_TIN_FAR: Final = Fraction(5, 2)
"""Times beyond half full of the lightest, or brim full of the heaviest, from which a tin is asked about."""
_NO_DEPTH: Final = (Fraction(20), Fraction(100))
"""mm that a tin may be deep when nothing says how deep."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    yield from _sum(compiled, kitchen)
    yield from _losses(compiled.formula)
    if compiled.formula.sound and compiled.formula.weight:
        yield from _none_lost(compiled.formula)
        yield from tin(compiled.formula, kitchen)


def _sum(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
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
    slip = _slip(formula, said, comes_to, pieces, kitchen)
    if slip is None:
        also = _or_else(formula, said, comes_to, pieces, kitchen)
        yield find("yield-does-not-add-up", makes.span, message, help, also=also)
        return
    item, times = slip
    written = item.entry.value.span
    yield find(
        "yield-does-not-add-up",
        written,
        f"{message} {'Ten times' if times > 1 else 'A tenth of'} the {written.text} of {item.name.text} would make "
        "it add up.",
        f"Is a decimal point out of place here? {help}",
        also=(Also(makes.span, "what the recipe says it makes"),),
    )


def _slip(
    formula: Formula, said: Fraction, comes_to: Fraction, pieces: Fraction, kitchen: Kitchen
) -> tuple[Item, Fraction] | None:
    """The one line that, ten times or a tenth of itself, makes it add up; None where the base or several would."""
    found = []
    for item in formula.items():
        if not item.inside or not item.weight or item.is_base:
            continue
        if not isinstance(item.entry.value, Measured | Counted | Percentage):
            continue
        for times in (Fraction(1, 10), Fraction(10)):
            other = comes_to * (formula.weight + item.weight * (times - 1)) / formula.weight
            if abs(other - said) <= pieces * max(_HALF_A_GRAM, _half_division(kitchen, other / pieces)):
                found.append((item, times))
    return found[0] if len(found) == 1 else None


def _or_else(
    formula: Formula, said: Fraction, comes_to: Fraction, pieces: Fraction, kitchen: Kitchen
) -> tuple[Also, ...]:
    """Lines that in another unit, or with two digits turned round, make it add up; a base with all its percentages."""
    found: list[Also] = []
    items = [item for item in formula.items() if item.inside and item.weight]
    for item in items:
        base = sum(
            (one.weight or Fraction(0) for one in items if one.part == item.part and one.is_base), Fraction(0)
        )
        hangs = [
            one
            for one in items
            if item.is_base
            and one.part == item.part
            and not one.is_base
            and isinstance(one.entry.value, Percentage)
        ]
        for times in factors(item):
            assert item.weight
            more = item.weight * (times - 1)
            more += (
                sum((one.weight or Fraction(0) for one in hangs), Fraction(0)) * more / base if hangs else 0
            )
            other = comes_to * (formula.weight + more) / formula.weight
            near = pieces * max(_HALF_A_GRAM, _half_division(kitchen, other / pieces))
            if abs(other - said) <= max(near, said / 50 if item.is_base else near):
                found.append(Also(item.entry.span, f"{item.name.text}: {how(times)} would make it add up"))
                break
    return tuple(found[:2])


# ---------------------------------------------------------------- losses


def _losses(formula: Formula) -> Iterator[Finding]:
    """Losses and gains that no such work has."""
    for entry in formula.recipe.block.entries():
        if entry.label.key not in ("loses", "gains") or not isinstance(entry.value, Losses):
            continue
        for loss in entry.value.losses:
            usual = _usual_loss(formula, entry, loss.words)
            middle = (loss.percent.low + loss.percent.high) / 2
            if usual is None or (usual.low <= middle <= usual.high):
                continue
            yield find(
                "unlikely-loss",
                loss.span,
                f"{percent(middle)} {loss.words} is {'more' if middle > usual.high else 'less'} than is usual: "
                f"{ratio_range(usual.low, usual.high)}.",
                "Is a decimal point out of place? If you have weighed it so, write `waive: unlikely-loss because …` "
                "with the reason.",
            )


def _usual_loss(formula: Formula, entry: Entry, words: str) -> Extent | None:
    if entry.label.key == "gains":
        return _GAINS
    said = frozenset(re.findall(r"\w+", words.casefold()))
    if said & {"bowl", "bench", "mixer", "mixing", "kneading", "scaling", "trough"}:
        return _BEFORE_SCALING
    if said & {"bake", "oven", "baking"}:
        weighs = formula.weight
        return _BREAD_BAKE if weighs and flour_weight(formula) * 4 >= weighs else _OVEN
    if said & {"pot", "pan", "boil", "simmer", "reduction", "cooking"}:
        return _POT
    return None


def _none_lost(formula: Formula) -> Iterator[Finding]:
    """A finished weight is given, something is baked, and nothing is lost."""
    makes = formula.makes
    if (
        makes is None
        or not makes.after_losses
        or formula.losses
        or not flour_weight(formula) * 3 > formula.weight
    ):
        return
    yield find(
        "no-loss-stated",
        makes.span,
        f"`makes` gives the weight baked, {weight(formula.finished, None)}, and nothing is said to be lost on the way.",
        "Weigh what goes in and what comes out once, and write it: `loses: 11 % in the bake`.",
    )


# ---------------------------------------------------------------- the tin


def tin(formula: Formula, kitchen: Kitchen) -> Iterator[Finding]:
    """A tin far too small or too large for what goes into it."""
    entry = formula.recipe.block.entry("tin")
    if entry is None or not isinstance(entry.value, Size):
        return
    held = _volumes(entry.value)
    if held is None:
        return
    small, large = held
    batter = formula.main.weight if formula.main is not None else formula.weight
    weights = [formula.weight, batter]
    if formula.makes is not None and formula.makes.count is not None and formula.makes.count.low > 1:
        weights += [one / formula.makes.count.low for one in weights]  # a tin each, or one for all
    if min(weights) > large * _BATTER.high * _TIN_FAR:
        side, words = "small", "more than it holds, brim full"
    elif max(weights) < small * _BATTER.low / 2 / _TIN_FAR:
        side, words = "large", "far too little to half fill it"
    else:
        return
    yield find(
        "tin-does-not-fit",
        entry.value.span,
        f"This tin looks too {side}: it holds {_holds(small, large)}, and {weight(batter, None)} goes in, {words}.",
        "Look at the tin's size and at the amounts again. If several tins are meant, say how many in `makes`.",
    )


def _holds(small: Fraction, large: Fraction) -> str:
    if small == large:
        return volume(small)
    return f"{volume(small)} to {volume(large)}, by how deep it is,"


def _volumes(size: Size) -> tuple[Fraction, Fraction] | None:
    """ml that a tin holds, at the least and at the most."""
    lengths = [quantities.base((term,)) for term in size.lengths]
    if size.round and len(lengths) == 1:
        area = lengths[0] ** 2 * Fraction(355, 452)  # a quarter of pi, to seven figures
    elif len(lengths) in (1, 2):
        area = lengths[0] * lengths[-1]
    else:
        return None
    if size.depth is not None:
        low, high = quantities.extent(size.depth)
        return area * low / 1000, area * high / 1000
    return area * _NO_DEPTH[0] / 1000, area * _NO_DEPTH[1] / 1000


def _half_division(kitchen: Kitchen, each: Fraction) -> Fraction:
    scales = kitchen.settings.scales
    division = next((step for step, most in scales if each <= most), scales[-1][0] if scales else Fraction(0))
    return division / 2
