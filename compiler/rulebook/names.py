"""Names: what is called what, once, and known."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="defined-twice",
        family="names",
        severity=Severity.ERROR,
        meaning="A kitchen, recipe, ingredient or style is given twice under one name.",
        why="Which of the two is meant would depend on the order of the files.",
        mend="Give one of them another name, or take one away.",
        example=Example(
            text="""\
ingredient sea purslane
  contains:  nothing

ingredient Sea Purslane
  contains:  nothing
""",
            wrong="ingredient Sea Purslane",
            right="ingredient sea fennel",
        ),
    ),
    Rule(
        name="no-recipe-above",
        family="names",
        severity=Severity.ERROR,
        meaning="A block that belongs to a recipe stands under none.",
        why="Ingredients, steps, trials and the like belong to the recipe above them in the same file.",
        mend="Put it below its `recipe NAME` heading.",
        example=Example(
            text="""\
ingredients
  white rice:  200 g
  water:       300 g
""",
            wrong="ingredients",
            right="""\
recipe Rice
  serves:  3

ingredients""",
        ),
    ),
    Rule(
        name="unknown-ingredient",
        family="names",
        severity=Severity.HINT,
        meaning="Nobody has stated any fact about an ingredient.",
        why=(
            "Its allergens, water and weight by volume are unknown, and are shown as not stated; if its name "
            "is only misspelt, its price and facts are missed."
        ),
        mend="Correct the name, or add an `ingredient` block for it.",
        example=Example(
            text="""\
recipe Purslane rice
  serves:  3

ingredients
  white rice:    200 g
  water:         300 g
  sea purslane:   20 g
""",
            wrong="  sea purslane:   20 g\n",
            right="""\
  sea purslane:   20 g

ingredient sea purslane
  contains:  nothing
""",
        ),
    ),
    Rule(
        name="unknown-style",
        family="names",
        severity=Severity.ERROR,
        meaning="`style` names no style of the kitchen or the larder.",
        why="The ratios would go unchecked without a word.",
        mend="Use a known style, or add a `style` block.",
        example=Example(
            text="""\
recipe Loaf
  makes:  1 loaf
  base:   strong flour
  style:  lean heart bread

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %
""",
            wrong="lean heart bread",
            right="lean hearth bread",
        ),
    ),
    Rule(
        name="unknown-price-item",
        family="names",
        severity=Severity.HINT,
        meaning="A price list has an item that looks like a misspelt ingredient.",
        why="The price would never be used.",
        mend="Correct the name.",
        example=Example(
            text="""\
prices at Lantern Street Grocer on 2026-11-03
  caster suger:  3.90 for 1 kg
""",
            wrong="suger",
            right="sugar",
        ),
    ),
    Rule(
        name="unknown-kind",
        family="names",
        severity=Severity.ERROR,
        meaning="`kind` holds a word that is no kind of food known here.",
        why="The kind decides which ratios an ingredient counts in and which cautions apply.",
        mend="Use one of the kinds in the manual.",
        example=Example(
            text="""\
ingredient dried karengo
  kind:      seaweed
  contains:  nothing
""",
            wrong="seaweed",
            right="vegetable",
        ),
    ),
    Rule(
        name="unknown-step",
        family="names",
        severity=Severity.ERROR,
        meaning="`after` or `during` names no step above.",
        why="The plan of the day would be wrong.",
        mend="Use the name of a step that stands above.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].

step Rest, after Lunch
  Leave it covered, [10 min hands-off].
""",
            wrong="after Lunch",
            right="after Boil",
        ),
    ),
    Rule(
        name="unknown-part",
        family="names",
        severity=Severity.ERROR,
        meaning="A step is for a part that has no list of ingredients.",
        why="The step would draw from the wrong list.",
        mend="Name a part, or add its `ingredients for the PART`.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil, for the topping
  Simmer [the white rice] in [the water], [15 min hands-off].
""",
            wrong="step Boil, for the topping",
            right="step Boil",
        ),
    ),
    Rule(
        name="unknown-rule",
        family="names",
        severity=Severity.ERROR,
        meaning="`waive` or `checks` names no rule.",
        why="Nothing would be waived.",
        mend="Use the rule's name as the finding prints it.",
        example=Example(
            text="""\
checks
  prices-stail:  error
""",
            wrong="prices-stail",
            right="price-stale",
        ),
    ),
    Rule(
        name="waiver-unused",
        family="names",
        severity=Severity.WARNING,
        meaning="A `waive` line hides nothing any more.",
        why="An old waiver would hide the next mistake of its sort.",
        mend="Take the line out.",
        example=Example(
            text="""\
recipe Rice
  serves:  3
  waive:   price-stale because the rice was a gift

ingredients
  white rice:  200 g
  water:       300 g
""",
            wrong="  waive:   price-stale because the rice was a gift\n",
            right="",
        ),
    ),
    Rule(
        name="cannot-be-silenced",
        family="names",
        severity=Severity.ERROR,
        meaning="`checks` turns off or plays down a rule about safety.",
        why="Such a rule can only be waived in a recipe, with a reason that the card prints.",
        mend="Take the line out, or write `waive: RULE because REASON` in the recipe it is about.",
        example=Example(
            text="""\
checks
  unknown-allergen:  off
  price-stale:       error
""",
            wrong="  unknown-allergen:  off\n",
            right="",
        ),
    ),
    Rule(
        name="not-used-yet",
        family="names",
        severity=Severity.HINT,
        meaning="A label or block is understood, but this version does not compute with it.",
        why="Nothing that is written is silently ignored.",
        mend="Nothing: it will be used by a later version.",
        example=Example(
            text="""\
kitchen Saltmarsh
  scales:  0.1 g to 5 kg
  labour:  28 for 1 h
""",
            wrong="  labour:  28 for 1 h\n",
            right="",
        ),
    ),
    Rule(
        name="unknown-language",
        family="names",
        severity=Severity.ERROR,
        meaning="The kitchen asks for a version of the language this compiler does not have.",
        why="A newer language may mean something else by the same words.",
        mend="Update the compiler, or write `language: 1`.",
        example=Example(
            text="""\
kitchen Tomorrow
  language:  2
""",
            wrong="2",
            right="1",
        ),
    ),
    Rule(
        name="unknown-time-zone",
        family="names",
        severity=Severity.ERROR,
        meaning="`time zone` names none of the world's time zones.",
        why="A plan over the night of a clock change would be an hour out.",
        mend="Write the name that the IANA list has, with its region: `Pacific/Auckland`.",
        source="IANA Time Zone Database",
        example=Example(
            text="kitchen Saltmarsh\n  time zone: Auckland\n",
            wrong="time zone: Auckland",
            right="time zone: Pacific/Auckland",
        ),
    ),
    Rule(
        name="names-alike",
        family="names",
        severity=Severity.WARNING,
        meaning="Two ingredients of a recipe have names a slip of the pen apart, one of which nobody knows.",
        why="They are most likely one food, whose price, facts and amount would be told apart by a letter.",
        mend="Write one name for one food, or say what the other is.",
        source="common practice, no source",
        example=Example(
            text="""\
recipe Purslane rice
  serves:  3

ingredients
  white rice:        200 g
  water:             300 g
  samphire tips:      20 g

ingredients for the top
  samphyre tips:      10 g
""",
            wrong="samphyre",
            right="samphire",
        ),
    ),
    Rule(
        name="two-names-of-a-food",
        family="names",
        severity=Severity.HINT,
        meaning="One list has the same food under two names.",
        why="Each step draws one of the two lines only, and a line that was copied twice is easily missed.",
        mend="Add the two up under one name, or say what one of them is for.",
        example=Example(
            text="""\
recipe Sugar syrup
  makes:  300 g

ingredients
  water:         100 g
  caster sugar:  100 g
  castor sugar:  100 g
""",
            wrong="  castor sugar:  100 g\n",
            right="  demerara sugar:  100 g\n",
        ),
    ),
    Rule(
        name="own-check-failed",
        family="names",
        severity=Severity.WARNING,
        meaning="A check of the kitchen's own, installed beside this program, could not do its work.",
        why="What it looks for may be there and nobody says so.",
        mend="Install it again in a version that works, or take it out.",
        unshown="It is about what is installed, not about what is written.",
    ),
)
