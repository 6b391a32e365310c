"""Time: how long things take, and whether anybody could be waiting for that."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

_PRACTICE: Final = "common practice, no source"

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="wait-without-time",
        family="time",
        severity=Severity.WARNING,
        meaning="Something is left, rested, baked or boiled, and no time is given for it.",
        why="Nobody can plan the day, and the total time comes out too short.",
        mend="Write a time, if only a rough one, beside the sign that it is done: `[20-30 min hands-off]`.",
        source="our own choice: a time is looked for in the same sentence, the rest of its line and the next line",
        example=Example(
            text="""recipe Rock cakes
  makes:  12 cakes

ingredients
  plain flour:    225 g
  baking powder:    8 g
  butter:         110 g
  caster sugar:    90 g
  eggs:             1
  currants:       100 g

step Mix
  Rub [the butter] into [the plain flour] and [the baking powder], [5 min].
  Stir in [the caster sugar], [the currants] and [the eggs], [2 min].

step Bake
  Drop [12 cakes] on a tray.
  Bake at [190 C oven].
""",
            wrong="[190 C oven]",
            right="[190 C oven], [15-18 min hands-off]",
        ),
    ),
    Rule(
        name="hands-off-missing",
        family="time",
        severity=Severity.WARNING,
        meaning="A long wait is written as work at the cook's hands.",
        why="A time without `hands-off` keeps the cook busy: nothing can be done beside it, and the day grows longer.",
        mend="Write `[45 min hands-off]`, or say what the cook does in it: stirring, turning, basting.",
        source=f"{_PRACTICE}: 15 min for what plainly goes on by itself, 20 min for a pot",
        example=Example(
            text="""recipe Barley bread
  makes:  1 loaf

ingredients
  barley flour:   200 g
  strong flour:   300 g
  water:          340 g
  fine salt:       10 g
  instant yeast:    6 g

step Mix
  Knead [the barley flour], [the strong flour], [the water], [the fine salt] and [the instant yeast], [8 min].
  Cover and prove [60 min hands-off].

step Bake
  Bake at [220 C oven], [40 min].
""",
            wrong="[40 min]",
            right="[40 min hands-off]",
        ),
    ),
    Rule(
        name="hands-off-handwork",
        family="time",
        severity=Severity.HINT,
        meaning="Kneading, chopping, folding or shaping is said to go on by itself.",
        why="The plan of the day puts other work beside it, and one cook has two hands.",
        mend="Take `hands-off` out, or name the machine that does it: `in the mixer`.",
        source=_PRACTICE,
        example=Example(
            text="""recipe Barley bread
  makes:  1 loaf

ingredients
  barley flour:   200 g
  strong flour:   300 g
  water:          340 g
  fine salt:       10 g
  instant yeast:    6 g

step Mix
  Stir [the barley flour], [the strong flour], [the fine salt] and [the instant yeast] into [the water], [2 min].
  Knead until smooth, [10 min hands-off].
""",
            wrong="[10 min hands-off]",
            right="[10 min]",
        ),
    ),
    Rule(
        name="time-range-too-wide",
        family="time",
        severity=Severity.WARNING,
        meaning="The two ends of a time lie so far apart that one of them must have slipped.",
        why="Every sum of times carries the range on, and the card says `6 to 70 min`.",
        mend="Write the range that is usual, `6-7 min`, and the sign that it is done.",
        source="our own choice: the long end more than six times the short one, a hint from four times",
        example=Example(
            text="""recipe Plum sauce
  serves:  4

ingredients
  plums:         500 g
  caster sugar:   80 g

step Stew
  Stew [the plums] with [the caster sugar] on a low heat, stirring now and then, [20-250 min hands-off].
""",
            wrong="[20-250 min hands-off]",
            right="[20-25 min hands-off]",
        ),
    ),
    Rule(
        name="time-slipped",
        family="time",
        severity=Severity.WARNING,
        meaning="A time is far shorter or far longer than what is done in it ever takes.",
        why="A point or a unit has slipped: it is raw or burnt before anybody wonders.",
        mend="Write the usual time; if this one is meant, say why in the step.",
        source=f"{_PRACTICE}: the widths of `verbs`, and in the oven by how hot it is",
        example=Example(
            text="""recipe Barley bread
  makes:  1 loaf

ingredients
  barley flour:   200 g
  strong flour:   300 g
  water:          340 g
  fine salt:       10 g
  instant yeast:    6 g

step Mix
  Knead [the barley flour], [the strong flour], [the water], [the fine salt] and [the instant yeast], [80 min].
  Cover and prove [60 min hands-off].
""",
            wrong="[80 min]",
            right="[8 min]",
        ),
    ),
    Rule(
        name="load-does-not-divide",
        family="time",
        severity=Severity.HINT,
        meaning="The pieces do not divide into the loads, and the last load is half empty or more.",
        why="It costs a whole load's time, and a nearly empty pan or oven cooks faster.",
        mend="Write a load that divides, or that leaves the loads more alike.",
        source="arithmetic",
        example=Example(
            text="""recipe Rock cakes
  makes:  12 cakes

ingredients
  plain flour:    225 g
  baking powder:    8 g
  butter:         110 g
  caster sugar:    90 g
  eggs:             1
  currants:       100 g

step Mix
  Rub [the butter] into [the plain flour] and [the baking powder], [5 min].
  Stir in [the caster sugar], [the currants] and [the eggs], [2 min].

step Bake
  Bake [5 at a time] at [190 C oven], [15-18 min hands-off].
""",
            wrong="[5 at a time]",
            right="[4 at a time]",
        ),
    ),
    Rule(
        name="load-over-whole",
        family="time",
        severity=Severity.WARNING,
        meaning="A load is larger than all there is.",
        why="One of the two figures is wrong: the yield, or how many go in at a time.",
        mend="Write a load that the batch can fill, or leave it out.",
        source="arithmetic",
        example=Example(
            text="""recipe Rock cakes
  makes:  12 cakes

ingredients
  plain flour:    225 g
  baking powder:    8 g
  butter:         110 g
  caster sugar:    90 g
  eggs:             1
  currants:       100 g

step Mix
  Rub [the butter] into [the plain flour] and [the baking powder], [5 min].
  Stir in [the caster sugar], [the currants] and [the eggs], [2 min].

step Bake
  Bake [40 at a time] at [190 C oven], [15-18 min hands-off].
""",
            wrong="[40 at a time]",
            right="[4 at a time]",
        ),
    ),
    Rule(
        name="turns-over-rest",
        family="time",
        severity=Severity.WARNING,
        meaning="The folds or turns in a rest take longer than the rest itself.",
        why="The last of them would come after the dough has been shaped.",
        mend="Make the rest longer, or the turns fewer or closer together.",
        source="arithmetic",
        example=Example(
            text="""recipe Barley bread
  makes:  1 loaf

ingredients
  barley flour:   200 g
  strong flour:   300 g
  water:          340 g
  fine salt:       10 g
  instant yeast:    3 g

step Mix
  Mix [the barley flour], [the strong flour], [the water], [the fine salt] and [the instant yeast], [5 min].
  Prove [90 min hands-off], folding [4 times, every 30 min].
""",
            wrong="[90 min hands-off]",
            right="[2 h hands-off]",
        ),
    ),
    Rule(
        name="unlikely-turns",
        family="time",
        severity=Severity.WARNING,
        meaning="Something is folded or turned more often, or further apart, than anybody does.",
        why="A nought too many in `3 times` or `every 30 min` takes the cook through the night.",
        mend="Correct the figure.",
        source="2 to 6 folds, 15 to 60 minutes apart: common practice, no source",
        example=Example(
            text="""recipe Barley bread
  makes:  1 loaf

ingredients
  barley flour:   200 g
  strong flour:   300 g
  water:          340 g
  fine salt:       10 g
  instant yeast:    3 g

step Mix
  Mix [the barley flour], [the strong flour], [the water], [the fine salt] and [the instant yeast], [5 min].
  Fold in the bowl [30 times, every 20 min].
""",
            wrong="[30 times, every 20 min]",
            right="[3 times, every 20 min]",
        ),
    ),
    Rule(
        name="took-unlike-plan",
        family="time",
        severity=Severity.WARNING,
        meaning="A trial took less than a third, or more than three times, of what the steps come to.",
        why="A time in the steps has slipped, or one of them is missing.",
        mend="Correct the time in the steps, or the trial's.",
        source="our own choice",
        example=Example(
            text="""recipe Plum sauce
  serves:  4

ingredients
  plums:         500 g
  caster sugar:   80 g

step Stew
  Stone [the plums], [5 min]. Stew them with [the caster sugar] on a low heat, [25 min hands-off].

trial 2026-11-09
  took:    4 h
  result:  thick enough for a spoon to stand in
""",
            wrong="took:    4 h",
            right="took:    40 min",
        ),
    ),
)
