"""Ratios against their usual range, and the slipped decimal that explains one outside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Final

from benchproof.compiler.batch import Extent, Ratio
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import count, listed, number, percent, ratio_range, weight
from benchproof.compiler.findings import Also, Finding
from benchproof.compiler.formula import Formula, Item
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.ratios import (
    OPEN,
    Basis,
    Ratios,
    basis_of,
    bounds_of,
    flour_in,
    flour_weight,
    poured_in,
    verdict,
)
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import Bound, Entry, Measured, Parts, Percentage, Term

_FAR: Final = Fraction(5, 2)
"""How many times beyond the end of its range a ratio is far outside."""

_SALT_OF_FLOUR: Final = Extent(Fraction(1, 2), Fraction(7, 2))
"""Per hundred of flour, for a recipe without a style: common practice, no source."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    formula, batch = compiled.formula, compiled.batch
    basis = basis_of(formula, compiled.style)
    yield from _preferments(formula)
    if batch is None:
        return
    if basis is None:
        yield from _salt_of_a_list(formula)
        return
    bounds = {name: (who, entry) for name, who, entry in bounds_of(formula, compiled.style)}
    of_base = _base_slip(formula, basis, batch.ratios, bounds)
    if of_base is not None:
        yield of_base
        return
    for ratio in batch.ratios:
        if ratio.verdict in ("below", "above") and ratio.usual is not None:
            who, entry = bounds[ratio.name]
            assert isinstance(entry.value, Bound)
            slip = _slip(formula, basis, ratio, ratio.usual, entry.value)
            if slip is not None:
                yield _slipped(slip, ratio, ratio.usual, who, entry.span)
            elif who != "expect":
                yield from _outside(formula, basis, ratio, ratio.usual, who, entry)
        elif ratio.name == "salt" and ratio.usual is None and _is_dough(formula, basis):
            slip = _slip(formula, basis, ratio, _SALT_OF_FLOUR, None)
            if slip is not None:
                yield _slipped(slip, ratio, _SALT_OF_FLOUR, "the usual range", None)


_PREFERMENTED: Final = Extent(Fraction(2), Fraction(70))
"""Per hundred of all the flour that a preferment takes: 10 to 50 % in the larder's styles (Hamelman, *Bread*; Suas,
*Advanced Bread and Pastry*, from memory), widened."""
_PREFERMENT_WET: Final = Extent(Fraction(40), Fraction(200))
"""Per hundred of its own flour: a stiff levain or biga 50 to 60 %, a poolish 100 %, a liquid levain 125 % (from
memory, as above), widened."""


def _preferments(formula: Formula) -> Iterator[Finding]:
    """A preferment too big, too small, too wet or too dry, or with more seed than flour."""
    if not formula.sound:
        return
    all_flour = flour_weight(formula)
    for part in formula.parts:
        if part.role != "preferment" or part.name is None:
            continue
        inside = [item for item in part.items if item.weight is not None and not item.lent]
        flour = sum((flour_in(item) or Fraction(0) for item in inside), Fraction(0))
        wet = sum((poured_in(item) or Fraction(0) for item in inside), Fraction(0))
        if not flour or not all_flour:
            continue
        share, hydration = flour * 100 / all_flour, wet * 100 / flour
        seed = sum((item.weight or Fraction(0) for item in part.items if item.lent), Fraction(0))
        heading = part.block.heading
        liquids = [item for item in inside if poured_in(item)]
        if seed > flour:
            lent = next(item for item in part.items if item.lent)
            yield _odd_preferment(
                lent.entry.value.span,
                f"{lent.entry.value.span.text} of seed is more than the {weight(flour, Fraction(1))} of flour in "
                f"{part.name.text}: the culture outweighs what it is to raise",
            )
        elif not _PREFERMENTED.low <= share <= _PREFERMENTED.high and heading is not None:
            yield _odd_preferment(
                heading.span,
                f"{part.name.text} takes {percent(share)} of all the flour; {_range(_PREFERMENTED)} is usual",
            )
        elif liquids and not _PREFERMENT_WET.low <= hydration <= _PREFERMENT_WET.high:
            yield _odd_preferment(
                max(liquids, key=lambda item: item.weight or Fraction(0)).entry.value.span,
                f"{part.name.text} has {percent(hydration)} of liquid to its flour; {_range(_PREFERMENT_WET)} is "
                "usual",
            )


def _odd_preferment(span: Span, words: str) -> Finding:
    return find(
        "unlikely-preferment",
        span,
        f"{words}.",
        "Is a decimal point out of place? If it is meant, write `waive: unlikely-preferment because …` with the "
        "reason.",
    )


def _salt_of_a_list(formula: Formula) -> Iterator[Finding]:
    """Salt in a dough that is a list of weights, without a base or a style: only a slip is looked for."""
    basis = Basis("flour", flour_weight(formula))
    if basis.weight and _is_dough(formula, basis):
        value = Ratios(formula, basis).value("salt")
        if value:
            ratio = Ratio("salt", value, basis.name, None, None, None)
            slip = _slip(formula, basis, ratio, _SALT_OF_FLOUR, None)
            if slip is not None:
                yield _slipped(slip, ratio, _SALT_OF_FLOUR, "the usual range", None)


def slipped(compiled: Compiled, name: str) -> bool:
    """Whether a ratio's bound is missed by a slipped decimal, which has a finding of its own."""
    basis = basis_of(compiled.formula, compiled.style)
    if compiled.batch is None or basis is None:
        return False
    bounds = {one: entry for one, _, entry in bounds_of(compiled.formula, compiled.style)}
    ratio = next((one for one in compiled.batch.ratios if one.name == name), None)
    if ratio is None or ratio.usual is None or name not in bounds:
        return False
    bound = bounds[name].value
    assert isinstance(bound, Bound)
    return _slip(compiled.formula, basis, ratio, ratio.usual, bound) is not None


def _is_dough(formula: Formula, basis: Basis) -> bool:
    """Whether flour is what the salt is for: a third of the whole or more."""
    return basis.name == "flour" and basis.weight * 3 >= formula.weight


def _contributors(formula: Formula, basis: Basis, ratio: Ratio) -> list[Item]:
    """The lines that move a ratio, those that move it most first."""
    values = Ratios(formula, basis)
    whole = values.value(ratio.name)
    moved: list[tuple[Fraction, Item]] = []
    for item in values.items:
        without = Ratios(formula, basis)
        without.items = [one for one in values.items if one is not item]
        value = without.value(ratio.name) or Fraction(0)
        if whole is not None and value != whole and not item.is_base:
            moved.append((abs(whole - value), item))
    moved.sort(key=lambda pair: -pair[0])
    return [item for _, item in moved]


def _slip(
    formula: Formula, basis: Basis, ratio: Ratio, usual: Extent, bound: Bound | None
) -> tuple[Item, Fraction] | None:
    """The one line that, ten times or a tenth of itself, puts the ratio inside.

    Asked only of a ratio far outside: a little too much sugar is no slipped decimal.
    """
    far_above = usual.high < OPEN and ratio.value >= _FAR * usual.high
    far_below = usual.low > 0 and ratio.value * _FAR <= usual.low
    if not (far_above or far_below):
        return None
    for item in _contributors(formula, basis, ratio):
        for factor in (Fraction(1, 10), Fraction(10)):
            values = Ratios(formula, basis)
            values.items = [_times(one, factor) if one is item else one for one in values.items]
            value = values.value(ratio.name)
            if value is not None and value > 0 and verdict(value, bound, usual) == "inside":
                return item, factor
    return None


def _base_slip(
    formula: Formula, basis: Basis, found: tuple[Ratio, ...], bounds: dict[str, tuple[str, Entry]]
) -> Finding | None:
    """Two ratios or more far outside on one side, and all inside with one line of the basis ten times or a tenth."""
    outside = [ratio for ratio in found if ratio.verdict in ("below", "above") and ratio.usual is not None]
    sides = {ratio.verdict for ratio in outside if _is_far(ratio)}
    if len(sides) != 1 or sum(1 for ratio in outside if _is_far(ratio)) < 2:
        return None
    factor = Fraction(1, 10) if sides == {"below"} else Fraction(10)
    values = Ratios(formula, basis)
    for item in values.items:
        flour = basis.name == "flour" and item.kind == "flour"
        if (
            not item.weight
            or not isinstance(item.entry.value, Measured | Parts)
            or not (item.is_base or flour)
        ):
            continue
        other = Basis(basis.name, basis.weight + item.weight * (factor - 1))
        tried = Ratios(formula, other)
        tried.items = [_times(one, factor) if one is item else one for one in values.items]
        inside = True
        for ratio in found:
            value = tried.value(ratio.name)
            bound = bounds[ratio.name][1].value if ratio.name in bounds else None
            if ratio.usual is None or value is None or not isinstance(bound, Bound):
                continue
            inside = inside and verdict(value, bound, ratio.usual) == "inside"
        if inside:
            worst = max(outside, key=lambda one: len(one.name))
            return find(
                "slipped-decimal",
                item.entry.value.span,
                f"{item.name.text} at {item.entry.value.span.text} puts {listed([one.name for one in outside])} far "
                f"{worst.verdict} the usual, all at once. {'A tenth of' if factor < 1 else 'Ten times'} it would put "
                "them all inside.",
                f"The likely amount is {_likely(item, factor)}.",
                also=(Also(bounds[worst.name][1].span, "a range it is held against"),),
            )
    return None


def _is_far(ratio: Ratio) -> bool:
    if ratio.usual is None:
        return False
    above = ratio.usual.high < OPEN and ratio.value >= _FAR * ratio.usual.high
    return above or (ratio.usual.low > 0 and ratio.value * _FAR <= ratio.usual.low)


def _times(item: Item, factor: Fraction) -> Item:
    return replace(item, weight=item.weight * factor) if item.weight is not None else item


def _slipped(
    slip: tuple[Item, Fraction], ratio: Ratio, usual: Extent, who: str, bound: Span | None
) -> Finding:
    item, factor = slip
    written = item.entry.value.span
    high = ratio.value > usual.high
    likely = _likely(item, factor)
    where = f"the usual {_range(usual)}" if who == "the usual range" else f"the {_range(usual)} of {_of(who)}"
    return find(
        "slipped-decimal",
        written,
        f"{item.name.text} at {written.text} makes {ratio.name} {percent(ratio.value)} of "
        f"{basis_words(ratio.basis)}, far {'above' if high else 'below'} {where}. "
        f"{'A tenth of' if factor < 1 else 'Ten times'} it would be inside.",
        f"The likely amount is {likely}.",
        also=(Also(bound, "the range it is held against"),) if bound else (),
    )


def _likely(item: Item, factor: Fraction) -> str:
    """The amount, a decimal place over, as the line writes it."""
    value = item.entry.value
    if isinstance(value, Percentage):
        return percent(value.number.low * factor)
    if isinstance(value, Parts):
        return f"{_decimal(value.number.low * factor)} parts"
    if isinstance(value, Measured) and len(value.quantity.low) == 1:
        term: Term = value.quantity.low[0]
        amount = term.number * factor
        shown = count(amount) if value.quantity.dimension == "volume" else _decimal(amount)
        return f"{shown} {term.unit.replace('_', ' ')}"
    assert item.weight is not None
    return weight(item.weight * factor, Fraction(1, 10))


def _decimal(value: Fraction) -> str:
    """Up to three decimals, without noughts at the end."""
    text = number(value, 3)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _of(who: str) -> str:
    return "the `expect` block" if who == "expect" else f"the style “{who}”"


def _range(usual: Extent) -> str:
    if usual.high >= OPEN:
        return f"{percent(usual.low)} or more"
    return ratio_range(usual.low, usual.high)


def _misplaced(formula: Formula, basis: Basis, ratio: Ratio, usual: Extent, bound: Bound) -> tuple[Also, ...]:
    """The line of another list that would put a ratio inside, or the line of this list without which it would be."""
    values = Ratios(formula, basis)

    def inside(items: list[Item], weight: Fraction) -> bool:
        tried = Ratios(formula, Basis(basis.name, weight))
        tried.items = items
        value = tried.value(ratio.name) if weight > 0 else None
        return value is not None and verdict(value, bound, usual) == "inside"

    def counts(item: Item) -> bool:
        return basis.name == "total" or (basis.name == "flour" and item.kind == "flour")

    if len(formula.listed) < 2:
        return ()
    for item in formula.items():
        if item.inside and item.weight and all(item is not one for one in values.items):
            more = basis.weight + (item.weight if counts(item) else 0)
            if inside([*values.items, item], more):
                return (
                    Also(
                        item.entry.span,
                        f"{item.name.text} stands in another list: with it, it would be inside",
                    ),
                )
    for item in values.items:
        others = [one for one in values.items if one is not item]
        if item.weight and basis.name == "total" and inside(others, basis.weight - item.weight):
            return (Also(item.entry.span, f"without {item.name.text} in this list it would be inside"),)
    return ()


def _outside(
    formula: Formula, basis_of_all: Basis, ratio: Ratio, usual: Extent, who: str, entry: Entry
) -> Iterator[Finding]:
    bound = entry.span
    assert isinstance(entry.value, Bound)
    side = "below" if ratio.verdict == "below" else "above"
    basis = basis_words(ratio.basis)
    items = [
        item
        for item in _contributors(formula, Basis(ratio.basis, Fraction(1)), ratio)
        if item.weight is not None
    ]
    style = formula.recipe.block.entry("style")
    span = items[0].entry.value.span if items else style.value.span if style else formula.recipe.name.span
    yield find(
        "ratio-outside-style",
        span,
        f"{ratio.name.capitalize()} is {percent(ratio.value)} of {basis}, {side} the {_range(usual)} of "
        f"{_of(who)}.",
        "Check the amounts. If it is meant, choose another style, or write `waive: ratio-outside-style because "
        "…` with the reason.",
        also=(
            Also(bound, "the range it is held against"),
            *_misplaced(formula, basis_of_all, ratio, usual, entry.value),
        ),
    )


def basis_words(basis: str) -> str:
    return "the total" if basis == "total" else basis
