"""The formula: whether every line can be weighed, and adds up."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

_FIFTY_TWO_DEEP: Final = (
    # That the recipes in between are not ready follows from the last: not what this shows.
    "checks\n  recipe-not-ready:  hint\n"
    + "".join(
        f"\nrecipe Dough {number}\n  makes:  10 g\n\ningredients\n  Dough {number + 1}:  10 g\n"
        for number in range(1, 52)
    )
    + "\nrecipe Dough 52\n  makes:  10 g\n\ningredients\n  rye flour:  10 g\n"
)

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="impossible-fact",
        family="formula",
        severity=Severity.ERROR,
        meaning="A fact stated of an ingredient cannot be so.",
        why="Every weight and cost that uses it would be wrong.",
        mend="Look at the figure again.",
        example=Example(
            text="""\
ingredient celeriac
  usable:    0 %
  contains:  celery
""",
            wrong="0 %",
            right="75 %",
        ),
    ),
    Rule(
        name="starter-unknown",
        family="formula",
        severity=Severity.WARNING,
        meaning="A starter's water is not stated.",
        why="How much of it is flour and how much water is not known, so neither is the hydration.",
        mend="Add `hydration: 100 %` (water over flour) to its `ingredient` block.",
        example=Example(
            text="""\
ingredient Bob the starter
  kind:      starter
  contains:  wheat

recipe Loaf
  makes:  1 loaf
  base:   strong flour

ingredients
  strong flour:     500 g
  water:            60 %
  fine salt:        2 %
  Bob the starter:  20 %
""",
            wrong="  kind:      starter\n",
            right="""\
  kind:      starter
  hydration: 100 %
""",
        ),
    ),
    Rule(
        name="recipe-too-deep",
        family="formula",
        severity=Severity.ERROR,
        meaning="Recipes go into recipes more than fifty deep.",
        why="No kitchen is built so; it is likelier a slip.",
        mend="Name the ingredients themselves.",
        example=Example(
            text=_FIFTY_TWO_DEEP,
            wrong="  Dough 52:",
            right="  rye flour:",
        ),
    ),
    Rule(
        name="cannot-be-weighed",
        family="formula",
        severity=Severity.ERROR,
        meaning="An amount cannot be turned into a weight.",
        why="A volume needs a density and a count needs a piece weight; nothing is guessed.",
        mend="Write grams, or state the fact once in an `ingredient` block.",
        example=Example(
            text="""\
ingredient dried dulse
  kind:      vegetable
  contains:  nothing

recipe Supper rice
  serves:  3

ingredients
  white rice:   200 g
  water:        300 g
  dried dulse:  2 tbsp
""",
            wrong="2 tbsp",
            right="8 g",
        ),
    ),
    Rule(
        name="percent-without-base",
        family="formula",
        severity=Severity.ERROR,
        meaning="A percentage stands in a list without a base.",
        why="Per cent of what decides every weight.",
        mend="Add `base:` to the recipe, or say of what: `70 % of water`.",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %
""",
            wrong="  makes:  1 loaf\n",
            right="""\
  makes:  1 loaf
  base:   strong flour
""",
        ),
    ),
    Rule(
        name="base-not-listed",
        family="formula",
        severity=Severity.ERROR,
        meaning="`base` names what the list does not have.",
        why="Every percentage hangs on it.",
        mend="Name an ingredient of the list, or `flour`.",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf
  base:   wholemeal flour

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %
""",
            wrong="wholemeal flour",
            right="flour",
        ),
    ),
    Rule(
        name="base-not-weighed",
        family="formula",
        severity=Severity.ERROR,
        meaning="The base has neither a weight nor a percentage.",
        why="Every percentage hangs on it.",
        mend="Write its weight, or `100 %`.",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf
  base:   strong flour

ingredients
  strong flour:   to taste
  water:          68 %
  fine salt:      10 g
  instant yeast:   3 g
""",
            wrong="to taste",
            right="500 g",
        ),
    ),
    Rule(
        name="base-not-100",
        family="formula",
        severity=Severity.ERROR,
        meaning="The percentages of the base do not come to 100 %.",
        why="Several flours are 100 % together; that is what baker's percentages are of.",
        mend="Make them add up, or give one of them a weight.",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf of 850 g
  base:   strong flour, plain flour

ingredients
  strong flour:     60 %
  plain flour:      30 %
  water:            68 %
  fine salt:         2 %
  instant yeast:   0.6 %
""",
            wrong="30 %",
            right="40 %",
        ),
    ),
    Rule(
        name="share-of-itself",
        family="formula",
        severity=Severity.ERROR,
        meaning="Two lines are shares of each other.",
        why="Neither has a weight to begin with.",
        mend="Give one of them a weight.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  70 % of water
  water:       150 % of white rice
""",
            wrong="70 % of water",
            right="200 g",
        ),
    ),
    Rule(
        name="cannot-be-sized",
        family="formula",
        severity=Severity.ERROR,
        meaning="Nothing says how big the batch is.",
        why="Percentages and parts alone have no size.",
        mend="Give one line a weight, or `makes` a weight.",
        example=Example(
            text="""\
recipe Dressing
  serves:  4

ingredients
  neutral oil:    3 parts
  white vinegar:  1 part
""",
            wrong="serves:  4",
            right="makes:  4 portions of 30 g",
        ),
    ),
    Rule(
        name="preferment-takes-too-much",
        family="formula",
        severity=Severity.ERROR,
        meaning="A preferment or soaker takes more of something than the formula has.",
        why="It is drawn out of the main list: what goes into it is part of the whole.",
        mend="Take less, or have more in the main list.",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf
  base:   strong flour

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %

preferment Poolish, 70 % of the flour
  water:          100 %
  instant yeast:  0.1 %
""",
            wrong="70 % of the flour",
            right="25 % of the flour",
        ),
    ),
    Rule(
        name="preferment-flour-differs",
        family="formula",
        severity=Severity.ERROR,
        meaning="The flour listed in a preferment is not the share its heading says.",
        why="One of the two is wrong, and the final dough hangs on it.",
        mend="Write the flours as percentages that make 100 %, or leave them out.",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf
  base:   strong flour

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %

preferment Poolish, 25 % of the flour
  strong flour:    80 %
  water:          100 %
  instant yeast:  0.1 %
""",
            wrong="80 %",
            right="100 %",
        ),
    ),
    Rule(
        name="nothing-to-draw-from",
        family="formula",
        severity=Severity.ERROR,
        meaning="A preferment or soaker stands in a recipe without a main list.",
        why="It is drawn out of the main list by subtraction.",
        mend="Write the whole formula under `ingredients`.",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf

preferment Poolish, 25 % of the flour
  water:          100 %
  instant yeast:  0.1 %
""",
            wrong="  makes:  1 loaf\n",
            right="""\
  makes:  1 loaf
  base:   strong flour

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %
""",
        ),
    ),
    Rule(
        name="recipe-in-itself",
        family="formula",
        severity=Severity.ERROR,
        meaning="A recipe goes into itself, straight or by way of others.",
        why="It would have no weight and no cost.",
        mend="Break the loop that the message prints.",
        example=Example(
            text="""\
recipe Endless soup
  serves:  4

ingredients
  red lentils:   200 g
  water:           1 l
  Endless soup:  100 g
""",
            wrong="Endless soup:",
            right="onions:      ",
        ),
    ),
    Rule(
        name="recipe-not-ready",
        family="formula",
        severity=Severity.ERROR,
        meaning="A recipe used as an ingredient has a mistake in it.",
        why="Its weight and cost carry into this one.",
        mend="Mend that recipe first.",
        example=Example(
            text="""\
checks
  cannot-be-weighed:  hint

ingredient kamokamo
  kind:      vegetable
  contains:  nothing

recipe Kamokamo mash
  makes:  500 g

ingredients
  kamokamo:  2
  butter:    20 g

recipe Mash on toast
  serves:  2

ingredients
  Kamokamo mash:  200 g
  butter:          10 g
""",
            wrong="  kamokamo:  2\n",
            right="  kamokamo:  480 g\n",
        ),
    ),
)
