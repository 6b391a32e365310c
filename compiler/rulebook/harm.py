"""What can hurt: food cooked too little, cooled too slowly, kept too long or eaten raw.

Every one is about safety: it cannot be turned off, only waived with a reason that the card prints. They are the usual
guidance and no law; local food law and qualified people come first.
"""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

_CHART: Final = "Safe Minimum Internal Temperature Chart (USDA FSIS / FoodSafety.gov), 2019"
_ZONE: Final = "Danger Zone (USDA FSIS); the 2-hour / 4-hour rule (FSANZ)"

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="core-too-cool",
        family="harm",
        severity=Severity.WARNING,
        meaning="The middle of some meat, poultry, fish or egg is to reach less than the least published for it.",
        why="What makes people ill in it is killed by heat, and at the figure that is written it may not be.",
        mend="Write the published temperature or more; the kitchen's food law comes first where it asks for more.",
        source=(
            f"{_CHART}: poultry and left-overs 165 F, minced meat and egg dishes 160 F, whole cuts and fish 145 F; for "
            "a kitchen under the law of the United States the FDA Food Code 3-401.11, in part from memory"
        ),
        safety=True,
        example=Example(
            text="""\
recipe Quay chicken
  serves:  4

ingredients
  chicken thighs:  800 g
  olive oil:        20 g
  fine salt:         6 g

step Roast
  Rub [the chicken thighs] with [the olive oil] and [the fine salt], [4 min].
  Roast at [200 C oven], [40-45 min hands-off], to [70 C core of the chicken thighs].
""",
            wrong="70 C core",
            right="75 C core",
        ),
    ),
    Rule(
        name="meat-not-rested",
        family="harm",
        severity=Severity.HINT,
        meaning="A whole cut is cooked to the least that is published, and nothing says that it rests.",
        why="The 63 °C (145 °F) of the chart count on a rest of 3 min, in which the heat goes on working.",
        mend="Write a rest of at least 3 min after the core temperature, or a core of 72 °C (160 °F).",
        source=_CHART,
        safety=True,
        example=Example(
            text="""\
recipe Quay pork
  serves:  4

ingredients
  pork shoulder:  900 g
  fine salt:        8 g

step Roast
  Rub [the pork shoulder] with [the fine salt], [3 min].
  Roast at [180 C oven], [80-90 min hands-off], to [65 C core of the pork shoulder], and carve, [5 min hands-on].
""",
            wrong="and carve, [5 min hands-on]",
            right="rest [10 min hands-off], and carve, [5 min hands-on]",
        ),
    ),
    Rule(
        name="core-not-named",
        family="harm",
        severity=Severity.HINT,
        meaning="Poultry, minced meat or something stuffed is cooked, and no step says how hot its middle gets.",
        why="Time in an oven or a pan says little about the middle: a thicker piece needs longer.",
        mend="Name a core temperature where it is done, such as `[75 C core of the chicken thighs]`.",
        source=_CHART,
        safety=True,
        example=Example(
            text="""\
recipe Quay chicken
  serves:  4

ingredients
  chicken thighs:  800 g
  fine salt:         6 g

step Roast
  Rub [the chicken thighs] with [the fine salt], [4 min].
  Roast at [200 C oven], [40-45 min hands-off].
""",
            wrong="[40-45 min hands-off].",
            right="[40-45 min hands-off], to [75 C core].",
        ),
    ),
    Rule(
        name="reheated-too-cool",
        family="harm",
        severity=Severity.WARNING,
        meaning="`reheats` says a temperature below the least that is published for left-overs.",
        why="What has grown in it since it was cooked is killed only if it gets hot right through.",
        mend="Write `reheats: to 75 C core, once`, or 165 F.",
        source=f"{_CHART}: left-overs and casseroles 165 F",
        safety=True,
        example=Example(
            text="""\
recipe Quay stew
  serves:   4
  keeps:    2 days in the fridge
  reheats:  to 60 C core, once

ingredients
  stewing beef:  600 g
  beef stock:    500 g

step Stew
  Simmer [the stewing beef] in [the beef stock], [2 h hands-off].
""",
            wrong="to 60 C core",
            right="to 75 C core",
        ),
    ),
    Rule(
        name="reheated-how-often",
        family="harm",
        severity=Severity.HINT,
        meaning="`reheats` does not say that it is once.",
        why="Each warming takes the food through the range in which bacteria grow, and leaves less margin.",
        mend="Add `, once` to the line, and throw away what is over after that.",
        source="common food-safety advice, from memory",
        safety=True,
        example=Example(
            text="""\
recipe Quay stew
  serves:   4
  keeps:    2 days in the fridge
  reheats:  to 75 C core

ingredients
  stewing beef:  600 g
  beef stock:    500 g

step Stew
  Simmer [the stewing beef] in [the beef stock], [2 h hands-off].
""",
            wrong="to 75 C core",
            right="to 75 C core, once",
        ),
    ),
    Rule(
        name="stood-too-long",
        family="harm",
        severity=Severity.WARNING,
        meaning="What spoils stands neither cold nor hot for longer than 2 h, all its steps counted.",
        why=(
            "Between 5 and 60 °C (41 and 140 °F) harmful bacteria can double every 20 min, and some leave a poison "
            "that no reheating takes away."
        ),
        mend="Write where it is kept cold or hot, such as `[4 C fridge]`, or a shorter time; after 4 h it is waste.",
        source=f"{_ZONE}: 2 h, 1 h above 90 F, 4 h in all; doughs that rise, dry food and cultures are left out",
        safety=True,
        example=Example(
            text="""\
recipe Quay rice salad
  serves:  4

ingredients
  white rice:  300 g
  water:       600 g
  red peppers: 150 g

step Rice
  Boil [the white rice] in [the water], [14 min hands-off], and drain, [1 min].
  Leave to cool on the bench, [3 h hands-off].

step Salad
  Stir in [the red peppers], diced, [3 min].
""",
            wrong="Leave to cool on the bench, [3 h hands-off].",
            right="Leave to cool on the bench, [1 h hands-off].",
        ),
    ),
    Rule(
        name="low-and-long",
        family="harm",
        severity=Severity.WARNING,
        meaning="Meat, poultry or fish is held for long below the least published for its middle.",
        why=(
            "It can be made safe that way, by tables of time for each heat and thickness; without them it is a warm "
            "bath for bacteria."
        ),
        mend="Write a heat and a core temperature above the published least, or use a tested table of times.",
        source=_CHART,
        safety=True,
        example=Example(
            text="""\
recipe Quay lamb
  serves:  4

ingredients
  lamb shoulder:  900 g
  fine salt:        8 g

step Bath
  Rub [the lamb shoulder] with [the fine salt], seal in a bag, [5 min].
  Hold in the water bath at [54 C], [6 h hands-off].
""",
            wrong="at [54 C], [6 h hands-off]",
            right="at [70 C], [6 h hands-off], to [68 C core], and rest [5 min hands-off]",
        ),
    ),
    Rule(
        name="thawed-in-the-warm",
        family="harm",
        severity=Severity.WARNING,
        meaning="What spoils is thawed out of the fridge for longer than it may stand there.",
        why="Its outside is as warm as the room for hours before its middle has thawed.",
        mend="Thaw it in the fridge, or in cold water that is changed every half hour and cook it at once.",
        source=f"{_ZONE}; safe thawing (USDA FSIS), from memory",
        safety=True,
        example=Example(
            text="""\
recipe Quay chicken
  serves:  4

ingredients
  chicken thighs:  800 g, frozen
  fine salt:         6 g

step Thaw
  Thaw [the chicken thighs] on the bench, [8 h hands-off].

step Roast
  Salt with [the fine salt] and roast at [200 C oven], [40-45 min hands-off], to [75 C core].
""",
            wrong="on the bench, [8 h hands-off]",
            right="at [4 C fridge], [24 h hands-off]",
        ),
    ),
    Rule(
        name="cooled-too-slowly",
        family="harm",
        severity=Severity.WARNING,
        meaning="A cooling is written slower than the two usual stages.",
        why="Spores live through cooking and grow as it cools: 60 °C to 21 °C within 2 h, to 5 °C within 4 h more.",
        mend="Write times within the two stages, and cool it in shallow boxes, small pots or a cold bath.",
        source="FDA Food Code 3-501.14, seen in state adoptions; FSANZ Standard 3.2.2 clause 7(3), from memory",
        safety=True,
        example=Example(
            text="""\
recipe Quay stock
  makes:  1.5 l

ingredients
  beef stock:  1.5 kg

step Cool
  Bring [the beef stock] to the boil, [8 min].
  Cool [60 C to 21 C in 5 h], then in the fridge [21 C to 5 C in 4 h].
""",
            wrong="[60 C to 21 C in 5 h]",
            right="[60 C to 21 C in 2 h]",
        ),
    ),
    Rule(
        name="keeps-too-long",
        family="harm",
        severity=Severity.WARNING,
        meaning="`keeps` says longer than such food usually keeps.",
        why="In the fridge bacteria grow slowly and go on growing, and mould comes to bread and fruit.",
        mend="Look at the figure again; 3 to 4 days in the fridge is usual for cooked food, and the rest is frozen.",
        source=(
            "3 to 4 days in the fridge: Cold Food Storage Chart (FoodSafety.gov), from memory; for bread, cakes, fruit "
            "and syrups common practice, no source"
        ),
        safety=True,
        example=Example(
            text="""\
recipe Quay stew
  serves:   4
  keeps:    20 days in the fridge
  reheats:  to 75 C core, once

ingredients
  stewing beef:  600 g
  beef stock:    500 g

step Stew
  Simmer [the stewing beef] in [the beef stock], [2 h hands-off].
""",
            wrong="20 days",
            right="2 days",
        ),
    ),
    Rule(
        name="kept-out-of-the-cold",
        family="harm",
        severity=Severity.WARNING,
        meaning="Something that spoils is kept, and not in the fridge or the freezer.",
        why="Custard, cream, cooked rice, meat and fish are a bed for bacteria within hours at the warmth of a room.",
        mend="Write how long it keeps in the fridge: `keeps: 2 days in the fridge`.",
        source=_ZONE,
        safety=True,
        example=Example(
            text="""\
recipe Quay custard tart
  serves:  6
  keeps:   3 days in a tin

ingredients
  plain flour:  180 g
  butter:        90 g
  water:         40 g

ingredients for the filling
  whole milk:    400 g
  eggs:            4
  caster sugar:   50 g

step Case
  Rub [the butter] into [the plain flour], bind with [the water], roll and line the tin, [15 min].

step Filling, for the filling
  Whisk [the whole milk], [the eggs] and [the caster sugar], [3 min].

step Bake
  Pour in [the filling] and bake at [160 C oven], [40 min hands-off], to [80 C core].
""",
            wrong="3 days in a tin",
            right="3 days in the fridge",
        ),
    ),
    Rule(
        name="flour-or-egg-eaten-raw",
        family="harm",
        severity=Severity.WARNING,
        meaning="Flour or egg goes in, and no step after that cooks it.",
        why="Raw flour can carry E. coli and Salmonella, raw egg Salmonella; neither milling nor bleaching kills them.",
        mend="Cook it, use pasteurised egg, or use flour that is sold as ready to eat.",
        source="Raw Flour and Dough (CDC)",
        safety=True,
        example=Example(
            text="""\
recipe Quay nog
  serves:  4

ingredients
  eggs:          4
  whole milk:    400 g
  caster sugar:   60 g

step Whisk
  Whisk [the eggs] and [the caster sugar] to a foam, [4 min], and stir in [the whole milk]. Serve cold.
""",
            wrong="Serve cold.",
            right="Heat, stirring, to [72 C core], [6 min].",
        ),
    ),
    Rule(
        name="flour-heated-at-home",
        family="harm",
        severity=Severity.WARNING,
        meaning="Flour is to be made safe to eat raw by heating it at home.",
        why="Dry heat kills bacteria badly, and nobody has shown a home method that does it.",
        mend="Buy flour that is sold as heat-treated or ready to eat, or bake what it goes into.",
        source="FDA consumer advice on flour, by a second-hand report",
        safety=True,
        example=Example(
            text="""\
recipe Quay biscuit bites
  serves:  8

ingredients
  plain flour:   150 g
  butter:        100 g
  caster sugar:   80 g

step Flour
  Heat-treat [the plain flour] on a tray, [180 C oven], [8 min hands-off].

step Beat
  Beat [the butter] and [the caster sugar], [3 min], stir in the flour and roll into balls, [6 min].
""",
            wrong="Heat-treat [the plain flour] on a tray, [180 C oven], [8 min hands-off].",
            right="Buy [the plain flour] ready to eat, and colour it on a tray, [180 C oven], [8 min hands-off].",
        ),
    ),
    Rule(
        name="served-raw",
        family="harm",
        severity=Severity.WARNING,
        meaning="Raw meat, poultry or fish goes in, and no step after that cooks it.",
        why="Raw flesh can carry bacteria and parasites. Acid, salt and alcohol do not do what heat does.",
        mend="Write how it is cooked. If it is meant raw, ask a qualified person and waive this with the reason.",
        source=_CHART,
        safety=True,
        example=Example(
            text="""\
recipe Quay salmon
  serves:  2

ingredients
  salmon:      250 g
  lime juice:   60 g

step Dress
  Cut [the salmon] small and turn it in [the lime juice], [5 min].
""",
            wrong="turn it in [the lime juice], [5 min].",
            right="turn it in [the lime juice], [5 min]. Grill [4 min], to [63 C core].",
        ),
    ),
    Rule(
        name="beans-not-boiled",
        family="harm",
        severity=Severity.WARNING,
        meaning="Dried kidney beans or their kin are cooked without 10 min of hard boiling.",
        why="They hold a poison that only a real boil destroys; a slow cooker or a gentle simmer makes it stronger.",
        mend="Soak them, throw the water away, and boil them hard in fresh water for at least 10 min.",
        source="common food-safety advice, from memory",
        safety=True,
        example=Example(
            text="""\
recipe Quay beans
  serves:  4

ingredients
  dried haricot beans:  300 g
  water:                  1 l, for the soak
  water:                  1 l

step Soak
  Leave [the dried haricot beans] in [the water for the soak], in the fridge, [10 h hands-off]. Drain and rinse.

step Cook
  Simmer them in [the water] until soft, [90 min hands-off].
""",
            wrong="Simmer them in [the water]",
            right="Boil them hard in [the water], [10 min], and simmer",
        ),
    ),
    Rule(
        name="beans-not-soaked",
        family="harm",
        severity=Severity.HINT,
        meaning="Dried beans are boiled, but nothing says that they are soaked and the water is thrown away.",
        why="A soak of 5 h or more takes part of the poison out, and the boil reaches the middle sooner.",
        mend="Write the soak, in the fridge, and that the water is thrown away.",
        source="common food-safety advice, from memory",
        safety=True,
        example=Example(
            text="""\
recipe Quay beans
  serves:  4

ingredients
  dried haricot beans:  300 g
  water:                1.5 l

step Cook
  Boil [the dried haricot beans] hard in [the water], [15 min], and simmer, [90 min hands-off].
""",
            wrong="  Boil [the dried haricot beans] hard in [the water], [15 min]",
            right=(
                "  Soak [the dried haricot beans] in the fridge, [10 h hands-off], and drain. "
                "Boil hard in [the water], [15 min]"
            ),
        ),
    ),
    Rule(
        name="garlic-or-herbs-in-oil",
        family="harm",
        severity=Severity.WARNING,
        meaning="Garlic, fresh herbs or chillies are kept under oil for longer than a few days, or out of the fridge.",
        why="Under oil there is no air, and the poison of botulism can form without a sign to be seen or smelt.",
        mend="Keep it in the fridge and use it within 4 days, or freeze it.",
        source="USDA Complete Guide to Home Canning (AIB 539), from memory",
        safety=True,
        example=Example(
            text="""\
recipe Quay garlic oil
  makes:  300 g
  keeps:  2 weeks in the fridge

ingredients
  garlic:     15 g
  olive oil: 285 g

step Warm
  Warm [the garlic] in [the olive oil], [90 C pan], [10 min].
""",
            wrong="2 weeks in the fridge",
            right="3 days in the fridge",
        ),
    ),
    Rule(
        name="outside-what-is-checked",
        family="harm",
        severity=Severity.WARNING,
        meaning="The recipe preserves, cures, ferments, smokes or feeds an infant, and nothing here can judge that.",
        why="Whether it is safe hangs on acid, salt, water and pressure that are not worked out here.",
        mend="Use a tested recipe and ask a qualified person; waive this with that reason.",
        source="USDA Complete Guide to Home Canning (AIB 539), from memory",
        safety=True,
        example=Example(
            text="""\
recipe Quay cabbage
  makes:  1 kg

ingredients
  cabbage:    980 g
  fine salt:   20 g

step Salt
  Rub [the cabbage], shredded, with [the fine salt], [10 min], and press it down under a weight.

step Wait
  Leave to ferment at [20 C room], [10 days hands-off].
""",
            wrong="Leave to ferment at [20 C room], [10 days hands-off].",
            right="Leave [1 h hands-off], squeeze it out and eat it.",
        ),
    ),
    Rule(
        name="honey-for-infants",
        family="harm",
        severity=Severity.ERROR,
        meaning="Honey goes into food that is said to be for an infant.",
        why="Honey can carry the germs of botulism, which a child under 12 months cannot fight.",
        mend="Leave the honey out.",
        source="CDC botulism prevention, from memory",
        safety=True,
        example=Example(
            text="""\
recipe Quay porridge for the baby
  serves:  2

ingredients
  rolled oats:  40 g
  whole milk:  250 g
  honey:        10 g

step Cook
  Simmer [the rolled oats] in [the whole milk], [6 min], and stir in [the honey].
""",
            wrong="recipe Quay porridge for the baby",
            right="recipe Quay porridge",
        ),
    ),
    Rule(
        name="allergens-not-stated",
        family="harm",
        severity=Severity.HINT,
        meaning="An `ingredient` block does not state which allergens are in it.",
        why="It may hold any allergen: unknown is shown as not stated, and is never taken for none.",
        mend="Read its label and write `contains`, in an `ingredient` block of its name.",
        safety=True,
        example=Example(
            text="""\
kitchen Quay
  food law:  New Zealand

recipe Quay toast
  serves:  1

ingredients
  quay bacon:  120 g
  neutral oil:   5 g

step Fry
  Fry [the quay bacon] in [the neutral oil], [5 min].

ingredient quay bacon
  kind:    meat
  spoils:  yes
""",
            wrong="  spoils:  yes\n",
            right="  spoils:  yes\n  contains:  nothing\n",
        ),
    ),
    Rule(
        name="food-law-not-named",
        family="harm",
        severity=Severity.HINT,
        meaning="A kitchen names no food law, and a recipe of it holds what the laws judge differently.",
        why="All lists of allergens are joined and the strictest temperatures hold; your law may want other words.",
        mend="Write `food law` in the `kitchen` block.",
        safety=True,
        example=Example(
            text="""\
kitchen Quay
  room:  20 C

recipe Quay chops
  serves:  2

ingredients
  pork shoulder:  400 g

step Fry
  Fry [the pork shoulder], [12 min], to [72 C core].
""",
            wrong="  room:  20 C\n",
            right="  room:  20 C\n  food law:  New Zealand\n",
        ),
    ),
)
