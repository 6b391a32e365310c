"""What a batch gives: yield, pieces, losses."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="makes-nothing",
        family="yield",
        severity=Severity.ERROR,
        meaning="`makes` or `serves` says nought.",
        why="A batch of nothing cannot be scaled or shared out.",
        mend="Write how many or how much one batch gives, or leave the line out.",
        example=Example(
            text="""\
recipe Rice
  makes:  0 bowls

ingredients
  white rice:  200 g
  water:       300 g
""",
            wrong="0 bowls",
            right="3 bowls",
        ),
    ),
    Rule(
        name="yield-does-not-add-up",
        family="yield",
        severity=Severity.ERROR,
        meaning="What goes in, less the losses, is not what `makes` says.",
        why="Either an amount or the yield is wrong, and every batch size hangs on it.",
        mend="Correct whichever of the two is wrong; the message gives both readings.",
        source="half a gram a piece, or half a division of the kitchen's scale where that is more",
        example=Example(
            text="""\
recipe Loaf
  makes:  2 loaves of 450 g
  base:   strong flour

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %
""",
            wrong="450 g",
            right="426.5 g",
        ),
    ),
    Rule(
        name="pieces-differ",
        family="yield",
        severity=Severity.ERROR,
        meaning="The method counts other pieces than `makes`.",
        why="One of the two was changed and the other forgotten.",
        mend="Make them agree, or write `[the pieces]`.",
        example=Example(
            text="""\
recipe Flatbreads
  makes:  8 flatbreads

ingredients
  plain flour:  300 g
  water:        160 g
  fine salt:      5 g

step Dough
  Knead [the plain flour], [the water] and [the fine salt], [8 min], and cut into [6 pieces].
""",
            wrong="6 pieces",
            right="8 pieces",
        ),
    ),
    Rule(
        name="load-of-unknown",
        family="yield",
        severity=Severity.WARNING,
        meaning="Pieces are cooked so many at a time, but nothing says how many there are.",
        why="The time it takes cannot be worked out.",
        mend="Say it in `makes` or `serves`.",
        example=Example(
            text="""\
recipe Flatbreads
  makes:  465 g

ingredients
  plain flour:  300 g
  water:        160 g
  fine salt:      5 g

step Dough
  Knead [the plain flour], [the water] and [the fine salt], [8 min], and cook [4 at a time], [2 min].
""",
            wrong="makes:  465 g",
            right="makes:  8 flatbreads",
        ),
    ),
    Rule(
        name="unlikely-portion",
        family="yield",
        severity=Severity.WARNING,
        meaning="The amounts, shared out over `serves` or `makes`, give portions or pieces that nobody serves.",
        why="Either the number or an amount has slipped, and every batch size and every price a portion hangs on it.",
        mend="Write the number that the message asks about, or correct the amounts.",
        source="wide ranges by what is served and by what a piece is called (common practice, no source)",
        example=Example(
            text="""\
recipe Bean stew
  serves:  40

ingredients
  tinned white beans:  480 g
  tinned tomatoes:     400 g
  onions:              200 g
  olive oil:           30 g
  smoked paprika:      4 g
  fine salt:             6 g

step Cook
  Simmer [the tinned white beans], [the tinned tomatoes], [the onions], [the olive oil],
  [the smoked paprika] and [the fine salt], [30 min hands-off].
""",
            wrong="serves:  40",
            right="serves:  4",
        ),
    ),
    Rule(
        name="unlikely-loss",
        family="yield",
        severity=Severity.WARNING,
        meaning="A loss or gain is far from what such work loses or gains.",
        why="Every weight that is worked out from the yield is wrong by as much.",
        mend="Correct the figure; if you have weighed it so, waive this with the reason.",
        source=(
            "bake loss of 9.8 to 20 % in published lessons, widened to 4 to 28 %; the others common practice, no source"
        ),
        example=Example(
            text="""\
recipe Rolls
  makes:  10 rolls
  loses:  1 % in the bake

ingredients
  strong flour:   500 g
  water:          320 g
  fine salt:        9 g
  instant yeast:    5 g

step Dough
  Knead [the strong flour], [the water], [the fine salt] and [the instant yeast], [10 min].
""",
            wrong="1 % in the bake",
            right="11 % in the bake",
        ),
    ),
    Rule(
        name="no-loss-stated",
        family="yield",
        severity=Severity.HINT,
        meaning="`makes` gives a baked weight, and nothing is said to be lost on the way.",
        why="A dough leaves a tenth and more of its weight in the oven; without it the pieces come out light.",
        mend="Weigh before and after once, and state `loses`.",
        source="bake loss of 9.8 to 20 % in published lessons",
        example=Example(
            text="""\
recipe Rolls
  makes:  10 rolls of 83.4 g baked

ingredients
  strong flour:   500 g
  water:          320 g
  fine salt:        9 g
  instant yeast:    5 g

step Dough
  Knead [the strong flour], [the water], [the fine salt] and [the instant yeast], [10 min].
""",
            wrong="10 rolls of 83.4 g baked",
            right="10 rolls of 83.4 g",
        ),
    ),
    Rule(
        name="tin-does-not-fit",
        family="yield",
        severity=Severity.WARNING,
        meaning="The tin is far too small or too large for what goes into it.",
        why="Batter runs over, or bakes to a biscuit; more often the tin's size or an amount has slipped.",
        mend="Correct the size or the amounts, or say in `makes` how many tins there are.",
        source=(
            "batter and dough of 0.4 to 1.1 g/ml, half to brim full, asked about from 2.5 times beyond (common "
            "practice, no source)"
        ),
        example=Example(
            text="""\
recipe Sponge
  makes:  1 cake
  tin:    200 cm round, 7 cm deep

ingredients
  eggs:          200 g
  caster sugar:  120 g
  plain flour:   120 g

step Whisk
  Whisk [the eggs] with [the caster sugar]; fold in [the plain flour].
""",
            wrong="200 cm round",
            right="20 cm round",
        ),
    ),
)
