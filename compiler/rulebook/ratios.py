"""Ratios and slipped decimals: amounts that no such food has."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="ratio-outside-style",
        family="ratios",
        severity=Severity.WARNING,
        meaning="A ratio lies outside the usual range of its style.",
        why="It may be meant; more often an amount is wrong.",
        mend="Check the amounts; if it is meant, use another style or waive this with a reason.",
        source="the style's own source",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf
  base:   strong flour
  style:  lean hearth bread

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      3.4 %
  instant yeast:  0.6 %
""",
            wrong="3.4 %",
            right="2 %",
        ),
    ),
    Rule(
        name="slipped-decimal",
        family="ratios",
        severity=Severity.ERROR,
        meaning=(
            "A ratio lies far outside its range, and ten times or a tenth of one amount would put it inside."
        ),
        why="A decimal point one place off spoils the batch: ten times the salt cannot be eaten.",
        mend="Write the likely amount that the message names.",
        source=(
            "the style's own source; for salt without a style, 0.5 to 3.5 % of flour (common practice, no "
            "source)"
        ),
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf
  base:   strong flour
  style:  lean hearth bread

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      20 %
  instant yeast:  0.6 %
""",
            wrong="20 %",
            right="2 %",
        ),
    ),
    Rule(
        name="unlikely-amount",
        family="ratios",
        severity=Severity.WARNING,
        meaning=(
            "An amount is such as no dish of this sort has, and a decimal place or another unit would make it usual."
        ),
        why="A slip of the pen by ten or by a unit spoils the batch and is easily read over.",
        mend="Write the amount that the message asks about; if yours is meant, waive this with the reason.",
        source=(
            "wide ranges by kind of dough, by share of the whole and by the portion: the styles of the larder "
            "widened by half, else common practice, no source"
        ),
        example=Example(
            text="""\
recipe Plain cake
  makes:  1 cake

ingredients
  butter:         450 g
  caster sugar:   50 g
  eggs:           9
  plain flour:    500 g
  fine salt:        3 g

step Mix
  Beat [the butter] with [the caster sugar]; beat in [the eggs]; fold in [the plain flour] and [the fine salt].

step Bake
  Bake at [180 C oven], [50 min hands-off].
""",
            wrong="caster sugar:   50 g",
            right="caster sugar:   500 g",
        ),
    ),
    Rule(
        name="unlikely-preferment",
        family="ratios",
        severity=Severity.WARNING,
        meaning=(
            "A preferment takes more or less of the flour than any does, is wetter or drier, or has more seed than "
            "flour."
        ),
        why="Its flour and water come out of the dough: a slip here makes the whole dough another.",
        mend="Correct the share or the amount; if it is meant, waive this with the reason.",
        source=(
            "10 to 50 % of the flour, 50 to 125 % of water (Hamelman, *Bread*; Suas, *Advanced Bread and Pastry*, from "
            "memory), widened to 2 to 70 % and 40 to 200 %"
        ),
        example=Example(
            text="""\
recipe Sponge loaf
  makes:  1 loaf
  base:   strong flour

ingredients
  strong flour:   500 g
  water:           68 %
  fine salt:        2 %
  instant yeast:  0.6 %

preferment Poolish, 30 % of the flour
  water:          10 %
  instant yeast:  0.2 %

step Sponge
  Leave the sponge to rise, [12 h hands-off].

step Mix
  Knead [the Poolish], [the strong flour], [the water], [the fine salt] and [the instant yeast], [10 min].
""",
            wrong="water:          10 %",
            right="water:          100 %",
        ),
    ),
)
