"""Weights that the kitchen's scales cannot tell, or cannot carry, and how to weigh them all the same."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import ceil
from typing import Final

from benchproof.compiler.batch import Batch, Line, Part
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import count, percent, rounded, volume, weight
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.ratios import YEASTS
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import name_key
from benchproof.compiler.weighing import (
    ROUGH,
    TRUE,
    Dilution,
    Scales,
    dilution,
    division_needed,
    error,
    finest,
    goes,
    in_goes,
    smallest_multiple,
    true,
)

_WATER_PER_GRAM: Final[dict[str, Fraction]] = {
    "salt": Fraction(4),
    "sugar": Fraction(1),
    **dict.fromkeys(YEASTS, Fraction(5)),
}
"""g of water a gram is stirred into at the least, by kind. Water at 20 °C dissolves 0.36 g of salt and 2 g of
sugar a gram (from memory): these stay well below. Yeast does not dissolve, it only needs enough to spread in:
common practice, no source."""

_UNEVEN: Final = frozenset({"herb", "spice"})
"""Kinds that differ more from plant to plant than a hint's error: only a warning is worth a word. Common
practice, no source."""

_MOST_TIMES: Final = 100
"""A batch that many times the size is no mend."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    scales, batch = kitchen.settings.scales, compiled.batch
    if batch is None or not scales:
        return
    places = {
        (span.source.name, *span.source.position(span.first)): entry.value.span
        for block in compiled.recipe.blocks
        for entry in block.entries()
        for span in [entry.span]
    }
    for part, line in _weighed(batch):
        span = places.get((line.where.file, line.where.line, line.where.column))
        if span is None or line.weight is None:
            continue
        scale = finest(line.weight, scales)
        if scale is None:
            yield _too_heavy(line, line.weight, max(capacity for _, capacity in scales), span)
        elif error(line.weight, scale[0]) > (ROUGH if line.kind in _UNEVEN else TRUE):
            yield _too_coarse(batch, part, line, line.weight, scale[0], kitchen, span)


def _weighed(batch: Batch) -> Iterator[tuple[Part, Line]]:
    """The lines that are put on a scale: not what is counted, spooned, tasted or for a purpose."""
    final = any(part.role == "final" for part in batch.parts)
    for part in batch.parts:
        if part.role == "main" and final:
            continue  # what goes into the bowl is the final dough and what was drawn out of it
        for line in part.lines:
            measured = line.count is not None or line.volume is not None or line.to_taste
            if line.weight and not measured and line.purpose is None:
                yield part, line


def _too_heavy(line: Line, wanted: Fraction, capacity: Fraction, span: Span) -> Finding:
    times = goes(wanted, capacity)
    shown, most = weight(wanted, line.division), weight(capacity, line.division)
    return find(
        "too-heavy-for-the-scale",
        span,
        f"{f'Just over {most}' if shown == most else shown} of {line.name} is more than a scale here carries: "
        f"the strongest takes {most}.",
        f"Weigh it in {times} goes of {weight(wanted / times, line.division)}, or in more: the bowl counts too.",
    )


def _too_coarse(
    batch: Batch, part: Part, line: Line, wanted: Fraction, division: Fraction, kitchen: Kitchen, span: Span
) -> Finding:
    out = error(wanted, division)
    mends = list(_mends(batch, part, line, wanted, kitchen))
    return find(
        "scale-too-coarse",
        span,
        f"{_fine(wanted)} of {line.name} goes on a scale with steps of {_division(division)}: half a step "
        f"is {_share(out)} of what is wanted.",
        " ".join([f"{mends[0]}.", *(f"Or {mend[0].lower()}{mend[1:]}." for mend in mends[1:])]),
        severity=Severity.WARNING if out > ROUGH else Severity.HINT,
    )


def _mends(batch: Batch, part: Part, line: Line, wanted: Fraction, kitchen: Kitchen) -> Iterator[str]:
    scales = kitchen.settings.scales
    several = in_goes(wanted, scales)
    if several is not None:
        (division, _), times = several
        yield f"Weigh it in {times} goes on the scale with steps of {_division(division)}"
    times_more = smallest_multiple(wanted, scales)
    if times_more is not None and times_more <= _MOST_TIMES:
        yield (
            f"Make {times_more} times as much, {_made(batch, times_more)}: then it is {_fine(wanted * times_more)}"
        )
    yield f"Use a scale with steps of {_division(division_needed(wanted))} or finer"
    water = _water(part, kitchen)
    if water is not None and line.kind in _WATER_PER_GRAM:
        assert water.weight is not None
        found = dilution(
            wanted, scales, water_per_gram=_WATER_PER_GRAM[line.kind], water_at_most=water.weight
        )
        if found is not None and _leaves_enough(water, found, scales):
            yield _diluted(line, water, found, scales)


def _made(batch: Batch, times: int) -> str:
    """What so many times the batch makes; no plural is guessed, so one piece is told by weight."""
    made = batch.makes
    if made.count is not None and made.count != 1:
        return count(made.count * times, made.noun or "pieces")
    return weight(made.finished * times)


def _water(part: Part, kitchen: Kitchen) -> Line | None:
    """The most water that stands in a part as a line of its own: nothing else in it, no purpose."""
    found: list[Line] = []
    for line in part.lines:
        if line.kind == "liquid" and line.purpose is None and line.weight and line.recipe is None:
            key = name_key(line.food)
            food = kitchen.foods.get(key) or kitchen.larder.food(key)
            if food is not None and food.water == 1:
                found.append(line)
    return max(found, key=lambda line: line.weight or Fraction(0), default=None)


def _leaves_enough(water: Line, found: Dilution, scales: Scales) -> bool:
    """Whether what is left of the recipe's water can still be measured as it was."""
    assert water.weight is not None
    rest = water.weight - found.water_in
    return rest > 0 and (water.volume is not None or true(rest, scales))


def _diluted(line: Line, water: Line, found: Dilution, scales: Scales) -> str:
    solute, into, portion = (_on_scale(one, scales) for one in (found.solute, found.water, found.portion))
    if line.kind in YEASTS:
        how = (
            f"Stir {solute} of {line.name} into {into} of water at hand heat, and at once, before it "
            f"settles, weigh {portion} of that in"
        )
    else:
        how = f"Dissolve {solute} of {line.name} in {into} of water and weigh {portion} of that in"
    return (
        f"{how}, {_less_water(water, found, scales)}: this comes within {_share_at_most(found.error)}, and "
        f"leaves {_fine(found.left)} to throw away, {_fine(found.solute_left)} of it {line.name}"
    )


def _less_water(water: Line, found: Dilution, scales: Scales) -> str:
    assert water.weight is not None
    if water.volume is not None:
        less = volume(water.volume * found.water_in / water.weight)
        return f"with {less} less of the {water.name}"
    before = _on_scale(water.weight, scales)
    after = _on_scale(water.weight - found.water_in, scales)
    if before == after:
        return f"with the {water.name} as it is"
    return f"with {after} of the {water.name} instead of {before}"


# ---------------------------------------------------------------- figures


def _on_scale(grams: Fraction, scales: Scales) -> str:
    scale = finest(grams, scales)
    return weight(grams, scale[0] if scale else scales[-1][0])


def _fine(grams: Fraction) -> str:
    """A weight to three figures or so, whatever the scale can show; no finer than a milligram."""
    return weight(grams, max(division_needed(grams) / 10, Fraction(1, 1000)))


def _division(grams: Fraction) -> str:
    """The step of a scale, in full."""
    return weight(grams, Fraction(1, 1000))


def _share(share: Fraction) -> str:
    return percent(rounded(share * 100, 0 if share >= Fraction(1, 10) else 1))


def _share_at_most(share: Fraction) -> str:
    """Rounded up: what is promised holds."""
    return percent(Fraction(ceil(share * 1000), 10))
