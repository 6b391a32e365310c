"""Cups and spoons: measures that are not the same everywhere, or weigh something else each time."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="which-cup",
        family="measures",
        severity=Severity.HINT,
        meaning="An amount is in cups, and neither it nor the kitchen says whose cup.",
        why="A cup is 237 ml in one country, 250 in the next and 284 in an old book: up to a fifth more of everything.",
        mend="State `measures` in the `kitchen` block, or name the cup in the amount (`1 US cup`), or write grams.",
        source="the cups in `grammar/units.txt`, each with its source",
        example=Example(
            text="""\
kitchen Mussel Row
  currency:  USD

recipe Rice for two
  serves:  2

ingredients
  white rice:  1 cup
  water:       300 ml
  fine salt:     2 g

step Boil
  Simmer [the white rice] in [the water] with [the fine salt], [15 min hands-off].
""",
            wrong="1 cup",
            right="180 g",
        ),
    ),
    Rule(
        name="which-tablespoon",
        family="measures",
        severity=Severity.HINT,
        meaning="Something strong is measured in tablespoons, and nothing says whose tablespoon.",
        why="A tablespoon is 15 ml, in Australia 20 ml: a third more salt or yeast can be tasted.",
        mend="State `measures` in the `kitchen` block, or write grams.",
        source="the spoons in `grammar/units.txt`, each with its source",
        example=Example(
            text="""\
recipe Potatoes for the crowd
  serves:  8

ingredients
  potatoes:   2.5 kg
  fine salt:  2 tbsp

step Rub
  Rub [the fine salt] into [the potatoes].
""",
            wrong="2 tbsp",
            right="36.6 g",
        ),
    ),
    Rule(
        name="powder-by-the-cup",
        family="measures",
        severity=Severity.HINT,
        meaning="A powder is measured by the cup in a kitchen that has scales.",
        why="How it is filled in changes its weight by a fifth and more: sifted, spooned or scooped.",
        mend="Weigh it once and write the grams.",
        source=(
            "a US cup of flour is 113 g sifted to 142 g scooped (USDA SR28 household measures and others, read in "
            "reproductions)"
        ),
        example=Example(
            text="""\
kitchen Mussel Row
  measures:  metric
  scales:    1 g to 5 kg

recipe Drop scones
  makes:  9 scones

ingredients
  plain flour:     2 cups
  baking powder:   3 tsp
  butter:          60 g
  whole milk:      180 g

step Mix
  Mix [the plain flour], [the baking powder], [the butter] and [the whole milk].
""",
            wrong="2 cups",
            right="265 g",
        ),
    ),
    Rule(
        name="unlikely-fact",
        family="measures",
        severity=Severity.WARNING,
        meaning="An `ingredient` block states a weight or a share that no such food has.",
        why="Every recipe that measures it by spoon, piece or water turns out wrong by as much.",
        mend="Look at the figure again, or take the line out and let the larder answer.",
        source=(
            "a density of 0.1 to 2.5 g/ml, five times the built-in larder's own figure, 30 points of water (common "
            "practice, no source; the larder's figures name theirs)"
        ),
        example=Example(
            text="""\
ingredient plain flour
  density:  5.5 g/ml

recipe Flat cakes
  makes:  6 cakes

ingredients
  plain flour:  250 g
  water:        150 g
  fine salt:      4 g

step Mix
  Knead [the plain flour], [the water] and [the fine salt], [5 min].
""",
            wrong="5.5 g/ml",
            right="0.55 g/ml",
        ),
    ),
    Rule(
        name="unlikely-length",
        family="measures",
        severity=Severity.WARNING,
        meaning="A cut, a piece or a tin has a size that none in a kitchen has.",
        why="A nought too many, or mm for cm, sends the cook looking for a tin that there is not.",
        mend="Correct the figure or its unit.",
        source=(
            "cuts from half a millimetre to 60 cm, tins from 2 to 60 cm across and 1 to 20 cm deep: common practice, "
            "no source"
        ),
        example=Example(
            text="""\
recipe Roast carrots
  serves:  4

ingredients
  carrots:    600 g
  olive oil:   20 g
  fine salt:    4 g

step Roast
  Cut [the carrots] into pieces of [300 cm], toss in [the olive oil] and [the fine salt], [6 min].
  Roast at [200 C oven], [35-40 min hands-off].
""",
            wrong="[300 cm]",
            right="[3 cm]",
        ),
    ),
    Rule(
        name="fraction-run-together",
        family="measures",
        severity=Severity.WARNING,
        meaning="An amount is a fraction of more than one whole, such as `21/2`.",
        why="It is read as ten and a half; where the blank has gone, two and a half were meant.",
        mend="Write a whole number, a blank and the fraction: `2 1/2 lb`.",
        example=Example(
            text="""\
recipe Stewed apples
  serves:  6

ingredients
  apples:  31/2 lb

step Stew
  Core [the apples] and stew them under a lid on a low heat, [25 min hands-off].
""",
            wrong="31/2 lb",
            right="3 1/2 lb",
        ),
    ),
    Rule(
        name="each-unlike-yield",
        family="measures",
        severity=Severity.WARNING,
        meaning="A step gives each piece a weight that does not go with what there is for it.",
        why="The pieces come out fewer, or more, or smaller than the recipe says.",
        mend="Correct the weight, or what the recipe makes.",
        source="three times too much, or six times too little: our own choice",
        example=Example(
            text="""\
recipe Barley flat cakes
  makes:  10 cakes

ingredients
  barley flour:  400 g
  water:         220 g
  fine salt:       7 g

step Shape
  Mix [the barley flour], [the water] and [the fine salt], [4 min]. Divide into balls, [62 kg each], [5 min].
""",
            wrong="[62 kg each]",
            right="[62 g each]",
        ),
    ),
    Rule(
        name="unlikely-setting",
        family="measures",
        severity=Severity.WARNING,
        meaning="The kitchen block has a room, a tap, a scale or a height that no kitchen has.",
        why="Every recipe of the kitchen is worked out with it.",
        mend="Correct the figure or its unit.",
        source="common practice, no source",
        example=Example(
            text="""\
kitchen Saltmarsh
  room:  2.1 C

recipe Soaked oats
  serves:  2

ingredients
  rolled oats:  100 g
  water:        250 g

step Soak
  Stir [the rolled oats] into [the water], [1 min], and leave [30 min hands-off].
""",
            wrong="2.1 C",
            right="21 C",
        ),
    ),
)
