"""The books: everything in the list is used once, and nothing that is not there."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="not-in-the-list",
        family="method",
        severity=Severity.ERROR,
        meaning="The method draws what no list of the recipe has.",
        why="Its weight and cost are missing, or its name is misspelt.",
        mend="Correct the name, add it to the list, or take the brackets away.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].
  Scatter with [the parsley].
""",
            wrong="  water:       300 g\n",
            right="""\
  water:       300 g
  parsley:       5 g
""",
        ),
    ),
    Rule(
        name="number-needs-of",
        family="method",
        severity=Severity.ERROR,
        meaning="A number stands before an ingredient's name without `of`.",
        why="`[00 flour]` is a name and `[2 eggs]` an amount: only `of` tells them apart for certain.",
        mend="Write `[2 of the eggs]`.",
        example=Example(
            text="""\
recipe Scrambled eggs
  serves:  2

ingredients
  eggs:    4
  butter:  40 g

step Scramble
  Beat [2 eggs] and [the eggs] that are left; melt [the butter], and cook to [75 C core], [5 min].
""",
            wrong="[2 eggs]",
            right="[2 of the eggs]",
        ),
    ),
    Rule(
        name="left-over-ingredient",
        family="method",
        severity=Severity.WARNING,
        meaning="The method does not use up an ingredient.",
        why="Something was forgotten in a step, or the list has too much.",
        mend="Draw the rest where it goes in.",
        example=Example(
            text="""\
recipe Scrambled eggs
  serves:  2

ingredients
  eggs:    4
  butter:  40 g

step Scramble
  Beat [the eggs]; melt [half the butter], and cook to [75 C core], [5 min].
""",
            wrong="[half the butter]",
            right="[the butter]",
        ),
    ),
    Rule(
        name="overdrawn-ingredient",
        family="method",
        severity=Severity.ERROR,
        meaning="The method takes more of an ingredient than the list has.",
        why="The list, the cost and the method no longer agree.",
        mend="Write `[the rest of the …]`, or change the amounts.",
        example=Example(
            text="""\
recipe Scrambled eggs
  serves:  2

ingredients
  eggs:    4
  butter:  40 g

step Scramble
  Beat [the eggs]; melt [30 g of the butter], and cook to [75 C core], [5 min].
  Finish with [20 g of the butter].
""",
            wrong="[20 g of the butter]",
            right="[10 g of the butter]",
        ),
    ),
    Rule(
        name="drawn-before-made",
        family="method",
        severity=Severity.ERROR,
        meaning="A step takes a part that its own steps have not made yet.",
        why="The order of the method is wrong.",
        mend="Put the steps that make it first.",
        example=Example(
            text="""\
recipe Crumbed tomatoes
  serves:  3

ingredients
  tomatoes:  500 g

ingredients for the topping
  breadcrumbs:  20 g
  butter:       20 g

step Serve
  Scatter [the tomatoes] with [the topping].

step Fry, for the topping
  Fry [the breadcrumbs] in [the butter], [3 min].
""",
            wrong="""\
step Serve
  Scatter [the tomatoes] with [the topping].

step Fry, for the topping
  Fry [the breadcrumbs] in [the butter], [3 min].
""",
            right="""\
step Fry, for the topping
  Fry [the breadcrumbs] in [the butter], [3 min].

step Serve
  Scatter [the tomatoes] with [the topping].
""",
        ),
    ),
    Rule(
        name="drawn-when-gone",
        family="method",
        severity=Severity.ERROR,
        meaning="A step takes an ingredient that earlier steps have used up.",
        why="Either an earlier step takes too much, or this one only mentions it.",
        mend="Take less before, or take the brackets away.",
        example=Example(
            text="""\
recipe Scrambled eggs
  serves:  2

ingredients
  eggs:    4
  butter:  40 g

step Scramble
  Beat [the eggs]; melt [the butter], and cook to [75 C core], [5 min].

step Serve
  Finish with [the rest of the butter].
""",
            wrong="melt [the butter]",
            right="melt [half the butter]",
        ),
    ),
    Rule(
        name="which-part",
        family="method",
        severity=Severity.ERROR,
        meaning="A draw could be from more than one part's list.",
        why="The wrong part would come out short.",
        mend="Say which: `[the fine salt for the topping]`.",
        example=Example(
            text="""\
recipe Two-salt rice
  serves:  3

ingredients for the bowl
  white rice:  200 g
  water:       300 g
  fine salt:     2 g

ingredients for the onions
  onions:     100 g
  fine salt:    1 g

step Boil
  Simmer [the white rice] in [the water] with [the fine salt], [15 min hands-off].
  Top with [the onions] in [the fine salt for the onions].
""",
            wrong="[the fine salt],",
            right="[the fine salt for the bowl],",
        ),
    ),
    Rule(
        name="loose-number",
        family="method",
        severity=Severity.WARNING,
        meaning="A number with a unit stands in a step outside brackets.",
        why="It will not scale, convert or be checked.",
        mend="Put it in brackets.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off]; serve at 60 C.
""",
            wrong="60 C",
            right="[60 C]",
        ),
    ),
    Rule(
        name="named-before-drawn",
        family="method",
        severity=Severity.HINT,
        meaning="A step names an ingredient in plain words before any step has drawn it.",
        why="Whoever works from the card has not weighed it yet, and the books take it out further down.",
        mend="Draw it where it goes in; elsewhere name it without brackets.",
        source="common practice, no source",
        example=Example(
            text="""\
recipe Crumbed rice
  serves:  3

ingredients
  white rice:   200 g
  water:        300 g
  breadcrumbs:   20 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].
  Toast the breadcrumbs in a dry pan, [4 min].

step Serve
  Scatter with [the breadcrumbs].
""",
            wrong="""\
  Toast the breadcrumbs in a dry pan, [4 min].

step Serve
  Scatter with [the breadcrumbs].
""",
            right="""\
  Toast [the breadcrumbs] in a dry pan, [4 min].

step Serve
  Scatter with the breadcrumbs.
""",
        ),
    ),
    Rule(
        name="step-empty",
        family="method",
        severity=Severity.HINT,
        meaning="A step has a heading and nothing below it.",
        why="It was meant to say something, or was left behind.",
        mend="Write what is done, or take the step out.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Rinse

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].
""",
            wrong="step Rinse\n\n",
            right="",
        ),
    ),
    Rule(
        name="told-twice",
        family="method",
        severity=Severity.HINT,
        meaning="A line stands twice in a step, or two steps say the same word for word.",
        why="A line that was copied twice is done twice, and its time counted twice.",
        mend="Take one of the two out; if it is done twice, say so in words.",
        source="common practice, no source",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].
  Take it off the heat, put a cloth under the lid, and let it stand, [5 min hands-off].
  Take it off the heat, put a cloth under the lid, and let it stand, [5 min hands-off].
  Fork it through.
""",
            wrong="""\
and let it stand, [5 min hands-off].
  Take it off the heat, put a cloth under the lid, and let it stand, [5 min hands-off].
""",
            right="""\
and let it stand, [5 min hands-off].
""",
        ),
    ),
    Rule(
        name="no-method",
        family="method",
        severity=Severity.HINT,
        meaning="A recipe has a list and no step, where all other recipes of the kitchen have steps.",
        why="The method was forgotten, or stands under another recipe.",
        mend="Write its steps, or leave it if the list is all there is.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].

recipe Couscous
  serves:  2

ingredients
  couscous:  150 g
  water:     190 g
""",
            wrong="""\
  couscous:  150 g
  water:     190 g
""",
            right="""\
  couscous:  150 g
  water:     190 g

step Soak
  Pour [the water] over [the couscous]; leave [10 min hands-off].
""",
        ),
    ),
    Rule(
        name="said-twice",
        family="method",
        severity=Severity.HINT,
        meaning="A fact in brackets is followed by the same in other units, in plain words.",
        why="The second is worked out where it is wanted; written by hand it goes stale, or is wrong from the start.",
        mend="Take the second out.",
        source="within 6 C, a tenth of a weight or volume, a fifth of a length: our own choice, both being rounded",
        example=Example(
            text="""\
recipe Baked rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Bake
  Pour [the water], boiling, over [the white rice], cover tightly and bake at [180 C oven] (425 F), [30 min hands-off].
""",
            wrong=" (425 F)",
            right="",
        ),
    ),
    Rule(
        name="taken-from-another-list",
        family="method",
        severity=Severity.WARNING,
        meaning="A step that works for one list takes a line that stands in another.",
        why="A line that slipped under the wrong heading gives both parts another weight, and the ratios are wrong.",
        mend="Move the line to the list it belongs to, or say in the step's heading what it works for.",
        example=Example(
            text="""\
recipe Rice with sauce
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g
  soy sauce:    30 g

ingredients for the sauce
  honey:        20 g
  rice vinegar: 10 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].

step Stir, for the sauce, during Boil
  Stir [the soy sauce], [the honey] and [the rice vinegar] together, [1 min].

step Serve, after Boil and Stir
  Pour [the sauce] over.
""",
            wrong="""\
  soy sauce:    30 g

ingredients for the sauce
""",
            right="""\

ingredients for the sauce
  soy sauce:    30 g
""",
        ),
    ),
    Rule(
        name="rest-of-all",
        family="method",
        severity=Severity.WARNING,
        meaning="A step takes the rest of a line of which nothing has been taken.",
        why="The step that took the first of it was lost, or stands further down.",
        mend="Take the first of it in a step above, or take it whole here.",
        example=Example(
            text="""\
recipe Crumbed tomatoes
  serves:  3

ingredients
  tomatoes:     400 g
  olive oil:     30 g
  breadcrumbs:   80 g
  fine salt:      3 g

step Roast
  Scatter [the breadcrumbs] and [the fine salt] over [the tomatoes], [3 min]. Drizzle with [the rest of the olive oil].
  Roast at [200 C oven], [25-30 min hands-off].
""",
            wrong="[the rest of the olive oil]",
            right="[the olive oil]",
        ),
    ),
    Rule(
        name="gas-mark",
        family="method",
        severity=Severity.HINT,
        meaning="An oven's heat is given by the mark on a gas dial.",
        why="It is not read, so it will not convert, and no check knows how hot the oven is.",
        mend="Write the temperature in brackets.",
        source="the marks' temperatures as cookers print them: from memory",
        example=Example(
            text="""\
recipe Baked rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Bake
  Pour [the water], boiling, over [the white rice], cover tightly and bake at gas mark 4, [30 min hands-off].
""",
            wrong="gas mark 4",
            right="[180 C oven]",
        ),
    ),
    Rule(
        name="loose-money",
        family="method",
        severity=Severity.HINT,
        meaning="A step names a sum of money.",
        why="What a price list says is worked out anew each day; what the prose says stays as it was.",
        mend="Put the price on a price list, or take it out.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off]. Sell it at £2.50 a bowl.
""",
            wrong=" Sell it at £2.50 a bowl.",
            right="",
        ),
    ),
)
