"""What a kitchen's scales can tell of a weight, and how a cook weighs what they cannot.

A scale shows multiples of its division, so what lies on it may be half a division more or less than it shows.
That half, over the weight that is wanted, is the *error* here: it does not depend on whether the weight happens
to fall on a step. Exact throughout: weights, divisions and capacities are g, shares are fractions of one.

`Scales` is as in the kitchen's settings: (division, capacity), finest first, all above nought.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import Final, TypeAlias

from benchproof.compiler.display import to_multiple

Scales: TypeAlias = Sequence[tuple[Fraction, Fraction]]

TRUE: Final = Fraction(1, 20)
"""The largest error with which a weight is truly weighed: ten divisions or more. Common practice, no source."""

ROUGH: Final = Fraction(1, 5)
"""Above this error a weight is hardly weighed at all. Common practice, no source."""

_DILUTED: Final = Fraction(1, 10)
"""The largest error that a dilution may leave, and never more than half of the direct one: with less gained it
is not worth the trouble. Common practice, no source."""

JUG: Final = Fraction(1000)
"""g; the most of a solution that is made up: a litre jug. Common practice, no source."""

_SOLUTE_STEPS: Final = (10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100)
_PORTION_STEPS: Final = (*range(10, 50), *range(50, 100, 5), *range(100, 201, 10))
"""Divisions of a scale that a dilution is made from: round amounts, none below ten divisions."""

_SLACK: Final = Fraction(3, 2)
"""How much more solution is made up, at most, for the sake of water that falls on the scale's steps."""


def finest(weight: Fraction, scales: Scales) -> tuple[Fraction, Fraction] | None:
    """The finest scale that carries a weight in g; None when none does."""
    return next((scale for scale in scales if weight <= scale[1]), None)


def error(weight: Fraction, division: Fraction) -> Fraction:
    """Half a division over the weight, both g: the share of it that weighing once may be out by.

    Raises ValueError unless the weight is above 0.
    """
    if weight <= 0:
        raise ValueError(f"a weight of {weight} g has no error")
    return division / 2 / weight


def true(weight: Fraction, scales: Scales) -> bool:
    """Whether a weight above 0 g can be weighed at once with an error of at most `TRUE`."""
    scale = finest(weight, scales)
    return scale is not None and error(weight, scale[0]) <= TRUE


def division_needed(weight: Fraction) -> Fraction:
    """The coarsest division in g with which a weight above 0 is truly weighed: 1, 2 or 5 times a power of ten.

    Scales are made in those steps (OIML R 76, from memory). Raises ValueError unless the weight is above 0.
    """
    if weight <= 0:
        raise ValueError(f"no scale is needed for {weight} g")
    most = weight * 2 * TRUE
    power = Fraction(1)
    while power > most:
        power /= 10
    while power * 10 <= most:
        power *= 10
    return next(power * digit for digit in (5, 2, 1) if power * digit <= most)


def goes(weight: Fraction, capacity: Fraction) -> int:
    """How often a scale of a capacity in g must be filled for a weight in g: 1 or more."""
    return max(ceil(weight / capacity), 1)


def in_goes(weight: Fraction, scales: Scales) -> tuple[tuple[Fraction, Fraction], int] | None:
    """A scale too weak for a weight at once, on which it is truly weighed in several goes, and how many.

    Every go adds half a division. The fewest goes win. None when no scale serves.
    """
    found = [
        (scale, goes(weight, scale[1]))
        for scale in scales
        if scale[1] < weight and error(weight, scale[0] * goes(weight, scale[1])) <= TRUE
    ]
    return min(found, key=lambda pair: pair[1], default=None)


def smallest_multiple(weight: Fraction, scales: Scales) -> int | None:
    """The smallest whole number, 1 or more, of times a weight above 0 g at which it is truly weighed at once.

    A greater weight may need a stronger and coarser scale; that is reckoned with. None when no multiple will do.
    """
    least = 1  # from here on the weight is beyond every finer scale
    found: list[int] = []
    for division, capacity in scales:
        times = max(least, ceil(division / (2 * TRUE) / weight))
        if times * weight <= capacity:
            found.append(times)
        least = max(least, floor(capacity / weight) + 1)
    return min(found, default=None)


@dataclass(frozen=True, slots=True)
class Dilution:
    """`solute` g stirred into `water` g, and `portion` g of that weighed in: it holds `wanted` g exactly.

    Solute and portion fall on the steps of their scales; the water need not, and is set to the nearest step.
    `error` is the share of `wanted` that the portion may be out by at worst, with half a division at each of
    the three weighings and the water so rounded.
    """

    wanted: Fraction
    solute: Fraction
    water: Fraction
    portion: Fraction
    error: Fraction

    @property
    def made(self) -> Fraction:
        """g of solution made up."""
        return self.solute + self.water

    @property
    def water_in(self) -> Fraction:
        """g of water that the portion brings, to be taken off the recipe's own."""
        return self.portion - self.wanted

    @property
    def left(self) -> Fraction:
        """g of solution left over."""
        return self.made - self.portion

    @property
    def solute_left(self) -> Fraction:
        """g of the solute in what is left over."""
        return self.solute - self.wanted


def dilution_error(
    wanted: Fraction, solute: Fraction, water: Fraction, portion: Fraction, scales: Scales
) -> Fraction:
    """The share of `wanted` by which a dilution may miss it at worst; all weights g and above 0.

    The water is what lies nearest on its scale. Raises ValueError for a weight that no scale carries.
    """
    divisions = []
    for weight in (solute, water, portion):
        scale = finest(weight, scales)
        if scale is None:
            raise ValueError(f"no scale carries {weight} g")
        divisions.append(scale[0])
    more, wetter, off = (division / 2 for division in divisions)
    water = to_multiple(water, divisions[1])
    most = (portion + off) * (solute + more) / (solute + more + max(water - wetter, Fraction(0)))
    least = (portion - off) * (solute - more) / (solute - more + water + wetter)
    return max(most - wanted, wanted - least) / wanted


def dilution(
    wanted: Fraction,
    scales: Scales,
    *,
    water_per_gram: Fraction,
    water_at_most: Fraction,
    made_at_most: Fraction = JUG,
) -> Dilution | None:
    """A way to weigh `wanted` g, which a scale cannot tell, as a part of a solution; None when there is none.

    `wanted` is above 0. `water_per_gram` is the least g of water for a gram to dissolve in, `water_at_most` the g
    of water that the portion may bring, `made_at_most` the g of solution that may be made up. Every amount is
    truly weighed, and the error left is at most a tenth and at most half the direct one. Of the round amounts
    that do, those that make up least are taken; half as much again where the water then falls on a step.
    """
    scale = finest(wanted, scales)
    if scale is None:
        return None
    allowed = min(_DILUTED, error(wanted, scale[0]) / 2)
    most = wanted * (1 + allowed)
    found: list[Dilution] = []
    least = made_at_most
    portions = [
        (portion, off)
        for portion, off in _round_amounts(_PORTION_STEPS, scales)
        if wanted < portion <= wanted + water_at_most and off <= portion * allowed
    ]
    for solute, more in _round_amounts(_SOLUTE_STEPS, scales):
        if solute < wanted:
            continue
        for portion, off in portions:
            made = solute * portion / wanted
            water = made - solute
            if made > min(made_at_most, least * _SLACK) or water < solute * water_per_gram:
                continue
            if (portion + off) * (solute + more) > most * (made + more):
                continue  # too far out whatever the water does: told cheaply, since most end here
            if not true(water, scales):
                continue
            left = dilution_error(wanted, solute, water, portion, scales)
            if left <= allowed:
                found.append(Dilution(wanted, solute, water, portion, left))
                least = min(least, made)
    near = [one for one in found if one.made <= least * _SLACK]
    return min(near, key=lambda one: (not _on_a_step(one.water, scales), one.made, one.solute), default=None)


def _round_amounts(steps: Sequence[int], scales: Scales) -> list[tuple[Fraction, Fraction]]:
    """Round multiples of each scale's division that this scale is the one to weigh, with half a division."""
    return [
        (scale[0] * step, scale[0] / 2)
        for scale in scales
        for step in steps
        if finest(scale[0] * step, scales) == scale
    ]


def _on_a_step(weight: Fraction, scales: Scales) -> bool:
    scale = finest(weight, scales)
    return scale is not None and (weight / scale[0]).denominator == 1
