"""Where the marks stand: the day along the foot of the card, and a ratio on its usual range.

Nothing here is a figure that anybody reads.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from markupsafe import Markup

from benchproof.compiler.batch import Extent, Stretch
from benchproof.renderers.lanes import Axis, Band, Look, Piece, apart, drawing, ticks_from_the_start, units


def day_strip(plan: Sequence[Stretch], width: int) -> Markup | None:
    """The plan in as few rows as show it without one step over another. None when nothing has a time.

    `width` is in the units of `lanes`, whose figures are about ten high.
    """
    timed = [stretch for stretch in plan if stretch.end > stretch.start]
    if not timed:
        return None
    by_step: dict[int, list[Piece]] = {}
    for stretch in timed:
        look: Look = "open" if stretch.hands_off else "solid"
        by_step.setdefault(stretch.step, []).append(Piece(stretch.start, stretch.end, look))
    items = [item for step, pieces in sorted(by_step.items()) for item in apart(str(step), pieces)]
    axis = Axis((moment for stretch in timed for moment in (stretch.start, stretch.end)), Fraction(width))
    ticks, unit = ticks_from_the_start(axis)
    return drawing(
        [Band("", tuple(items))],
        axis,
        ticks,
        title="The steps in time",
        description="The number of each step on a bar: black is work, open is what goes by itself.",
        name="strip",
        unit=unit,
    )


def place_on_range(value: Fraction, usual: Extent) -> str:
    """Where a value inside its usual range stands on it."""
    if usual.low == usual.high:
        return "50"
    return units(min(max((value - usual.low) * 100 / (usual.high - usual.low), Fraction(0)), Fraction(100)))
