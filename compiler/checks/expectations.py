"""The recipe's own tests: each line of `expect` against the recipe as written."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import Batch, Extent
from benchproof.compiler.checks import explained
from benchproof.compiler.checks.ratios import basis_words, slipped
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import duration, money_with_code, percent, weight
from benchproof.compiler.findings import Edit, Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.ratios import RATIO_NAMES, Ratios, basis_of, verdict
from benchproof.compiler.rules import find
from benchproof.compiler.suggest import nearest, sure_slip
from benchproof.compiler.syntax import Bound, Entry, Numeric, Percentage, Quantity


@dataclass(frozen=True, slots=True)
class _Figure:
    """A printed figure: how to get it from a Batch, and how it is shown. `dimension` None is money."""

    value: Callable[[Batch], Extent | Fraction | None]
    dimension: str | None


_FIGURES: Final[dict[str, _Figure]] = {
    "cost": _Figure(lambda batch: batch.cost.total, None),
    "cost each": _Figure(lambda batch: batch.cost.each, None),
    "cost a portion": _Figure(lambda batch: batch.cost.portion, None),
    "total time": _Figure(lambda batch: batch.times.elapsed, "time"),
    "hands-on time": _Figure(lambda batch: batch.times.hands_on, "time"),
    "weight each": _Figure(
        lambda batch: batch.makes.finished / batch.makes.count if batch.makes.count else None, "mass"
    ),
}
_RATIOS: Final = (
    "hydration",
    "water in all",
    "prefermented flour",
    "inoculation",
    "salt",
    "salt in all",
    "yeast",
    "sugar",
    "sugar in all",
    "fat",
    "fat in all",
    "milk solids",
)


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    for block in compiled.recipe.expect:
        for entry in block.entries():
            finding = _check(compiled, kitchen, entry)
            if finding is not None:
                yield finding


def _check(compiled: Compiled, kitchen: Kitchen, entry: Entry) -> Finding | None:
    bound, batch = entry.value, compiled.batch
    if not isinstance(bound, Bound) or batch is None:
        return None
    if isinstance(bound.value, Percentage):
        return _ratio(compiled, entry, bound)
    figure = _FIGURES.get(entry.label.key)
    if figure is None:
        return _unknown(entry)
    low_high = _extent(bound.value, figure.dimension, kitchen.settings.measures)
    if low_high is None:
        return _wrong_kind(entry, figure)
    if figure.dimension is None and not batch.cost.complete:
        return None if kitchen.prices else _no_prices(entry)  # a missing price has a finding of its own
    value = figure.value(batch)
    if value is None:
        return find(
            "expect-not-met",
            entry.span,
            f"{entry.label.text} is not known: the recipe does not say how many it makes or serves.",
            "Say it in `makes` or `serves`.",
        )
    extent = value if isinstance(value, Extent) else Extent(value, value)
    wanted = _open(bound, low_high)

    def holds(one: Extent) -> bool:
        return {verdict(end, bound, wanted) for end in (one.low, one.high)} == {"inside"}

    if holds(extent):
        return None
    also = explained.lines(compiled, kitchen, entry.label.key, extent, holds)
    return find(
        "expect-not-met",
        entry.span,
        f"{entry.label.text} is {_shown(extent, figure.dimension, batch)}, but this expects "
        f"{bound.span.text}.",
        "Correct the recipe, or the expectation."
        + (" If a figure has slipped, look first at what is named beside this." if also else ""),
        also=also,
    )


def _no_prices(entry: Entry) -> Finding:
    return find(
        "expect-not-met",
        entry.span,
        f"{entry.label.text} is not known: this kitchen has no price list.",
        "Add a block `prices at SHOP on DATE`, or take this line out.",
    )


def _ratio(compiled: Compiled, entry: Entry, bound: Bound) -> Finding | None:
    basis = basis_of(compiled.formula, compiled.style)
    assert isinstance(bound.value, Percentage)
    if basis is None:
        return None
    value = Ratios(compiled.formula, basis).value(entry.label.key)
    if value is None:
        if entry.label.key in _RATIOS:
            return find(
                "expect-not-met",
                entry.span,
                f"{entry.label.text} is not known: an ingredient's share of it has not been stated.",
                "State it in the ingredient's block, or take this line out.",
            )
        return _unknown(entry)
    number = bound.value.number
    if verdict(value, bound, _open(bound, Extent(number.low, number.high))) == "inside":
        return None
    if slipped(compiled, RATIO_NAMES.get(entry.label.key, entry.label.key)):
        return None
    return find(
        "expect-not-met",
        entry.span,
        f"{entry.label.text} is {percent(value)} of {basis_words(basis.name)}, but this expects {bound.span.text}.",
        "Correct the recipe, or the expectation.",
    )


def _open(bound: Bound, extent: Extent) -> Extent:
    if bound.word in ("under", "at most"):
        return Extent(Fraction(0), extent.high)
    if bound.word in ("over", "at least"):
        return Extent(extent.low, Fraction(10**12))
    return extent


def _extent(value: Numeric | Quantity | Percentage, dimension: str | None, measures: str) -> Extent | None:
    if dimension is None:
        return Extent(value.low, value.high) if isinstance(value, Numeric) else None
    if isinstance(value, Quantity) and value.dimension == dimension:
        return Extent(*quantities.extent(value, measures))
    return None


def _wrong_kind(entry: Entry, figure: _Figure) -> Finding:
    wanted = {None: "an amount of money (`under 0.15`)", "time": "a time (`under 90 min`)"}.get(
        figure.dimension, "a weight (`at least 55 g`)"
    )
    return find(
        "expect-not-met",
        entry.value.span,
        f"{entry.label.text} cannot be compared with {entry.value.span.text}.",
        f"Write {wanted}.",
    )


def _unknown(entry: Entry) -> Finding:
    known = [*_FIGURES, *_RATIOS]
    near = nearest(entry.label.text, known)
    sure = sure_slip(entry.label.text, known)
    return find(
        "expect-unknown",
        entry.label.span,
        f"“{entry.label.text}” is no figure of this recipe.",
        f"Did you mean “{near[0]}”?"
        if near
        else f"Known are: {', '.join(known)}, and any ingredient of the main list as a percentage.",
        edit=Edit(entry.label.span, sure) if sure else None,
    )


def _shown(extent: Extent, dimension: str | None, batch: Batch) -> str:
    if dimension == "time":
        return duration(extent.low, extent.high)
    if dimension == "mass":
        return weight(extent.low, Fraction(1, 10))
    return money_with_code(extent.low, batch.cost.currency, 3)
