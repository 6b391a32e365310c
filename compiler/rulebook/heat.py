"""Heat: what is too hot or too cold for what is meant."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="yeast-too-hot",
        family="heat",
        severity=Severity.WARNING,
        meaning="Yeast meets a liquid that is hot enough to harm it.",
        why="Above about 49 °C yeast begins to die, and by 60 °C it is dead: the dough never rises.",
        mend="Let the liquid cool to 35-43 °C first, or mix instant yeast into the flour.",
        source=(
            "bakery practice: begins to die at 120 F, dead at 135-140 F (consumer pages; Gisslen's 140 "
            "F from memory)"
        ),
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

step Wake
  Whisk [the instant yeast] into [the water] at [50 C], [1 min].

step Mix
  Knead with [the strong flour] and [the fine salt], [10 min].
""",
            wrong="[50 C]",
            right="[40 C]",
        ),
    ),
    Rule(
        name="yeast-warmer-than-usual",
        family="heat",
        severity=Severity.HINT,
        meaning=(
            "Yeast is woken in a liquid warmer than the usual range, though not yet warm enough to harm it."
        ),
        why=(
            "35-43 °C is usual. Up to about 49 °C the yeast lives, but nothing is won, and a thermometer a "
            "few degrees out then kills it."
        ),
        mend="Let the liquid cool to 35-43 °C.",
        source="bakery practice: 100-110 F (consumer pages; another gives 105-115 F)",
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

step Wake
  Whisk [the instant yeast] into [the water] at [47 C], [1 min].

step Mix
  Knead with [the strong flour] and [the fine salt], [10 min].
""",
            wrong="[47 C]",
            right="[40 C]",
        ),
    ),
    Rule(
        name="hotter-than-boiling",
        family="heat",
        severity=Severity.WARNING,
        meaning="A liquid, or the middle of a food, is to be hotter than water boils where the kitchen stands.",
        why="It boils away, or dries out, and never gets there: at 1600 m water boils at 95 °C.",
        mend="Write the temperature it can reach; if the oven or the oil is meant, say so: `180 C oven`.",
        source="US Standard Atmosphere 1976 and Antoine's constants for water, both from memory",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Heat [the water] to [120 C] and simmer [the white rice] in it, [15 min hands-off].
""",
            wrong="[120 C]",
            right="[100 C]",
        ),
    ),
    Rule(
        name="tap-cannot-reach",
        family="heat",
        severity=Severity.HINT,
        meaning="A dough temperature needs water colder or hotter than the kitchen's taps give.",
        why="The dough comes out warmer or colder than planned, and its times with it.",
        mend="Put in the ice that the finding works out, chill the flour, or warm part of the water.",
        source="the kitchen's `tap water`; without it freezing and boiling",
        example=Example(
            text="""\
kitchen Hot
  room:       30 C
  flour:      30 C
  tap water:  20-45 C

recipe Loaf
  makes:  1 loaf
  base:   strong flour

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %

step Mix
  Knead [the strong flour], [the water], [the fine salt] and [the instant yeast] to [18 C dough], [10 min].
""",
            wrong="[18 C dough]",
            right="[27 C dough]",
        ),
    ),
    Rule(
        name="specific-heat-not-read",
        family="heat",
        severity=Severity.WARNING,
        meaning="A `specific heat` is not written as one, or is none that a food has.",
        why="The water temperatures would be worked out without it, and nobody would know.",
        mend="Write how many kJ warm 1 kg of it by 1 C: `3.9 kJ for 1 kg and 1 C`.",
        source="between dry salt (0.86 kJ) and water (4.18 to 4.22 kJ)",
        example=Example(
            text="""\
ingredient quince paste
  specific heat:  warm
  contains:       nothing
""",
            wrong="warm",
            right="2.6 kJ for 1 kg and 1 C",
        ),
    ),
    Rule(
        name="oven-out-of-range",
        family="heat",
        severity=Severity.WARNING,
        meaning="An oven is to be colder than any oven cooks, or hotter than a kitchen's gets.",
        why="A figure of the other scale, or a point that has slipped, burns the food or leaves it raw.",
        mend="Write the oven's own figure and scale: `180 C oven` or `350 F oven`; of a pizza oven say that it is one.",
        source="common practice, no source: 50-300 °C; gas mark 9 is 246 °C (GNU units 2.22)",
        example=Example(
            text="""\
recipe Oat biscuits
  makes:  20 biscuits

ingredients
  rolled oats:   200 g
  plain flour:   100 g
  butter:        120 g
  golden syrup:   60 g

step Mix
  Melt [the butter] with [the golden syrup], [3 min]. Stir in [the rolled oats] and [the plain flour], [2 min].

step Bake
  Bake [20 biscuits] at [350 C oven], [12-14 min hands-off].
""",
            wrong="[350 C oven]",
            right="[350 F oven]",
        ),
    ),
    Rule(
        name="oven-too-cool",
        family="heat",
        severity=Severity.WARNING,
        meaning="An oven is too cool for what is baked in it in so short a time.",
        why="In less than about 125 °C food dries for hours; 180 °F is 82 °C, and a cake stays batter in it.",
        mend="Look at the figure and its scale again. If it is slow on purpose, say so: drying, meringue, slow.",
        source="common practice, no source: below 127 °C (260 °F) for no more than 70 min",
        example=Example(
            text="""\
recipe Oat biscuits
  makes:  20 biscuits

ingredients
  rolled oats:   200 g
  plain flour:   100 g
  butter:        120 g
  golden syrup:   60 g

step Mix
  Melt [the butter] with [the golden syrup], [3 min]. Stir in [the rolled oats] and [the plain flour], [2 min].

step Bake
  Bake [20 biscuits] at [180 F oven], [12-14 min hands-off].
""",
            wrong="[180 F oven]",
            right="[180 C oven]",
        ),
    ),
    Rule(
        name="oven-unlike-preheat",
        family="heat",
        severity=Severity.WARNING,
        meaning="The oven is heated to one temperature, and baked in at quite another without a word of turning it.",
        why="One of the two figures has slipped, and whoever follows the first step finds the wrong oven in the last.",
        mend="Make the two agree, or write that it is turned up or down.",
        source="our own choice: more than 35 °C apart, 55 °C between a fan oven and one without",
        example=Example(
            text="""\
recipe Oat biscuits
  makes:  20 biscuits

ingredients
  rolled oats:   200 g
  plain flour:   100 g
  butter:        120 g
  golden syrup:   60 g

step Oven
  Heat to [180 C oven], [15 min hands-off].

step Mix, during Oven
  Melt [the butter] with [the golden syrup], [3 min]. Stir in [the rolled oats] and [the plain flour], [2 min].

step Bake, after Oven and Mix
  Bake [20 biscuits] at [230 C oven], [12-14 min hands-off].
""",
            wrong="[230 C oven]",
            right="[180 C oven]",
        ),
    ),
    Rule(
        name="two-ovens-at-once",
        family="heat",
        severity=Severity.HINT,
        meaning="Two heats of the oven stand side by side, with no time between them.",
        why="Written in both scales they may come to differ, and the card shows both scales anyway.",
        mend="Leave one out; if the oven is turned, write `then` and how long it stays at each.",
        source="our own choice",
        example=Example(
            text="""\
recipe Oat biscuits
  makes:  20 biscuits

ingredients
  rolled oats:   200 g
  plain flour:   100 g
  butter:        120 g
  golden syrup:   60 g

step Mix
  Melt [the butter] with [the golden syrup], [3 min]. Stir in [the rolled oats] and [the plain flour], [2 min].

step Bake
  Bake [20 biscuits] at [180 C oven] ([350 F oven]), [12-14 min hands-off].
""",
            wrong=" ([350 F oven])",
            right="",
        ),
    ),
    Rule(
        name="bake-without-oven",
        family="heat",
        severity=Severity.HINT,
        meaning="Something is baked or roasted for a time, and no oven temperature is given anywhere above it.",
        why="The time says nothing without the heat.",
        mend="Write the heat before the time: `[180 C oven]`.",
        source="our own choice",
        example=Example(
            text="""\
recipe Oat biscuits
  makes:  20 biscuits

ingredients
  rolled oats:   200 g
  plain flour:   100 g
  butter:        120 g
  golden syrup:   60 g

step Mix
  Melt [the butter] with [the golden syrup], [3 min]. Stir in [the rolled oats] and [the plain flour], [2 min].

step Bake
  Shape [20 biscuits], [8 min]. Bake [12-14 min hands-off].
""",
            wrong="Bake [12",
            right="Bake at [180 C oven], [12",
        ),
    ),
    Rule(
        name="pan-out-of-range",
        family="heat",
        severity=Severity.WARNING,
        meaning="A pan is hotter or cooler than any that is cooked in, or too cool to fry.",
        why="A figure has slipped or is of the other scale: 350 °F is 177 °C.",
        mend="Write the pan's own figure and its scale: `180 C pan`.",
        source="common practice, no source: 60-300 °C, and from 110 °C for frying and browning",
        example=Example(
            text="""\
recipe Lace pancakes
  makes:  8 pancakes

ingredients
  plain flour:  100 g
  eggs:           2
  whole milk:   250 ml
  butter:        10 g, for the pan

step Batter
  Whisk [the eggs] into [the plain flour], then [the whole milk], [3 min].

step Fry
  Wipe the pan with [the butter] and heat to [350 C pan], [3 min].
  Fry [1 at a time]: [1 min], turn, [30 s].
""",
            wrong="[350 C pan]",
            right="[175 C pan]",
        ),
    ),
    Rule(
        name="oil-out-of-range",
        family="heat",
        severity=Severity.WARNING,
        meaning="Oil for frying is cooler than fries, hotter than is needed, or hotter than the oil bears.",
        why="In cool oil food soaks up fat; past its smoke point oil turns bitter, and soon after that it burns.",
        mend="Write 160-190 °C (320-375 °F), and an oil that bears it.",
        source=(
            "frying practice, from memory: 150-200 °C, above 270 °C an error; the table of smoke points, from memory, "
            "with 10 °C to spare"
        ),
        example=Example(
            text="""\
recipe Potato straws
  serves:  4

ingredients
  potatoes:       600 g
  sunflower oil:    1 l, for frying
  fine salt:        6 g

step Cut
  Cut [the potatoes] into straws of [4 mm], [8 min], and dry them well, [2 min].

step Fry
  Heat [the sunflower oil] to [350 C oil], [10 min]. Stay beside it.
  Fry the straws until golden, [4 min], and salt them with [the fine salt].
""",
            wrong="[350 C oil]",
            right="[350 F oil]",
        ),
    ),
    Rule(
        name="cold-place-out-of-range",
        family="heat",
        severity=Severity.WARNING,
        meaning="A fridge is not cold, or a freezer does not freeze.",
        why="Above 5 °C most foods begin to spoil, and ice cream does not set at +18 °C: the minus is soon lost.",
        mend="Write `4 C fridge` and `-18 C freezer`.",
        source=(
            "FDA Food Code 3-501.16 and FSANZ Standard 3.2.2: 5 °C (41 °F) at most; warned of above 8 °C, our own "
            "choice. Freezer: common practice, no source"
        ),
        example=Example(
            text="""\
recipe Lemon ice
  serves:  4

ingredients
  water:         400 g
  caster sugar:  120 g
  lemon juice:   100 g

step Freeze
  Stir [the caster sugar] into [the water] and [the lemon juice], [2 min].
  Freeze at [18 C freezer], [4 h hands-off].
""",
            wrong="[18 C freezer]",
            right="[-18 C freezer]",
        ),
    ),
    Rule(
        name="room-out-of-range",
        family="heat",
        severity=Severity.WARNING,
        meaning="A room is to be colder or warmer than any that food is left in.",
        why="The figure is of the other scale, or has slipped, and with it how long the dough takes.",
        mend="Write the room's own temperature: `22 C room` or `72 F room`.",
        source="common practice, no source: 5-45 °C, a proving cabinet included",
        example=Example(
            text="""\
recipe Barley bread
  makes:  1 loaf

ingredients
  barley flour:   200 g
  strong flour:   300 g
  water:          340 g
  fine salt:       10 g
  instant yeast:    6 g

step Mix
  Knead [the barley flour], [the strong flour], [the water], [the fine salt] and [the instant yeast], [8 min].
  Cover and prove at [72 C room], [60 min hands-off].
""",
            wrong="[72 C room]",
            right="[72 F room]",
        ),
    ),
    Rule(
        name="dough-out-of-range",
        family="heat",
        severity=Severity.WARNING,
        meaning="A dough is to come out colder or warmer than its yeast, or any dough, can be.",
        why="Below 15 °C a dough hardly rises; above 35 °C it ferments too fast, and from 49 °C its yeast dies.",
        mend="Write 22-28 °C (72-82 °F) for a dough with yeast.",
        source="bakery practice (consumer pages): doughs are run at 75-80 °F; 15-35 °C is our own choice",
        example=Example(
            text="""\
recipe Barley bread
  makes:  1 loaf

ingredients
  barley flour:   200 g
  strong flour:   300 g
  water:          340 g
  fine salt:       10 g
  instant yeast:    6 g

step Mix
  Knead [the barley flour], [the strong flour], [the fine salt] and [the instant yeast], [8 min], with [the water].
  Rest at [62 C dough], [60 min hands-off].
""",
            wrong="[62 C dough]",
            right="[26 C dough]",
        ),
    ),
    Rule(
        name="yeast-too-cold",
        family="heat",
        severity=Severity.WARNING,
        meaning="Yeast is to be woken in a liquid that is too cold for it.",
        why="Below about 15 °C it stays asleep, and no foam ever tells whether it lives.",
        mend="Warm the liquid to 35-43 °C (95-110 °F), or mix instant yeast into the flour.",
        source="bakery practice (consumer pages): dormant near 34-40 °F, woken at 100-110 °F; between them our choice",
        example=Example(
            text="""\
recipe Barley bread
  makes:  1 loaf

ingredients
  barley flour:       200 g
  strong flour:       300 g
  water:              340 g
  fine salt:           10 g
  active dry yeast:     7 g

step Wake
  Stir [the active dry yeast] into [the water] at [38 F], [1 min]. Leave [10 min hands-off] until it foams.

step Mix
  Knead in [the barley flour], [the strong flour] and [the fine salt], [8 min].
""",
            wrong="[38 F]",
            right="[38 C]",
        ),
    ),
    Rule(
        name="sugar-stage-differs",
        family="heat",
        severity=Severity.WARNING,
        meaning="A stage of boiled sugar is named beside a temperature that is another's.",
        why="Five degrees are the difference between fudge and toffee.",
        mend="Write the temperature of the stage that is meant, or the other stage.",
        source=(
            "confectionery practice, from memory: soft ball 112-116 °C, firm ball 118-121, hard ball 121-130, soft "
            "crack 132-143, hard crack 146-154, caramel 160-182; 2 °C to spare, less what water boils lower up a hill"
        ),
        example=Example(
            text="""\
recipe Barley drops
  serves:  8

ingredients
  granulated sugar:  250 g
  water:             100 g

step Boil
  Boil [the granulated sugar] and [the water] to the hard crack stage, [105 C], [12 min].
""",
            wrong="[105 C]",
            right="[150 C]",
        ),
    ),
    Rule(
        name="custard-curdles",
        family="heat",
        severity=Severity.WARNING,
        meaning="An egg custard without starch is taken to where it curdles, or not to where it thickens.",
        why="Egg sets between about 78 and 84 °C and turns to grains above; with starch in it, it may boil.",
        mend="Write 82-84 °C (180-183 °F), or thicken it with a little starch.",
        source="common practice, no source: 70 °C and 85 °C",
        example=Example(
            text="""\
recipe Pouring custard
  serves:  4

ingredients
  whole milk:    400 g
  caster sugar:   50 g
  egg yolks:      80 g

step Cook
  Heat [the whole milk], [4 min]. Whisk [the egg yolks] with [the caster sugar], pour the milk on, [2 min].
  Stir over a low heat until it coats the spoon, [93 C pan], [8 min].
""",
            wrong="[93 C pan]",
            right="[83 C pan]",
        ),
    ),
    Rule(
        name="chocolate-too-hot",
        family="heat",
        severity=Severity.WARNING,
        meaning="Chocolate is to be melted or held hotter than it bears.",
        why="Above 55 °C it thickens, turns grainy and scorches, milk and white chocolate sooner.",
        mend="Melt dark chocolate to 45-50 °C, milk and white to 40-45 °C.",
        source="common practice, no source",
        example=Example(
            text="""\
recipe Chocolate discs
  makes:  200 g

ingredients
  dark chocolate:  200 g

step Melt
  Melt [the dark chocolate] to [115 C], stirring, [6 min], and drop it in discs.
""",
            wrong="[115 C]",
            right="[115 F]",
        ),
    ),
    Rule(
        name="core-of-a-bake",
        family="heat",
        severity=Severity.WARNING,
        meaning="A bread or a cake is to be taken out while its middle is still raw.",
        why="Starch has set by about 85-90 °C; below that the crumb is dough, and raw flour may carry bacteria.",
        mend="Write 88-99 °C (190-210 °F) for bread, 93-99 °C for cake.",
        source="common practice, no source: a hint below 85 °C, a warning below 80 °C; of any food below 35 °C",
        example=Example(
            text="""\
recipe Barley bread
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
  Bake at [220 C oven], [40 min hands-off], to [69 C core].
""",
            wrong="[69 C core]",
            right="[96 C core]",
        ),
    ),
    Rule(
        name="temperature-range-too-wide",
        family="heat",
        severity=Severity.WARNING,
        meaning="The two ends of a temperature lie so far apart that one of them must have slipped.",
        why="Whoever aims at one end spoils what the other was meant for.",
        mend="Write the range that is meant, `36-40 C`, or one figure.",
        source="our own choice: 25 °C for food, 20 for a core, 70 for an oven, and so on by the place",
        example=Example(
            text="""\
recipe Warm milk and honey
  serves:  2

ingredients
  whole milk:  400 g
  honey:        20 g

step Warm
  Warm [the whole milk] to [6-65 C], [5 min], and stir in [the honey].
""",
            wrong="[6-65 C]",
            right="[60-65 C]",
        ),
    ),
    Rule(
        name="heat-unlike-words",
        family="heat",
        severity=Severity.WARNING,
        meaning="A temperature says something else than the words before it, or is hotter than food gets.",
        why="`Warm to 6 C` and `very cold at 20 C` each have a figure that has slipped, or a word too many.",
        mend="Correct the figure or its scale, or the word.",
        source="our own choice: warm is above 22 °C, cold below 25 °C, and nothing that is eaten gets to 250 °C",
        example=Example(
            text="""\
recipe Warm milk and honey
  serves:  2

ingredients
  whole milk:  400 g
  honey:        20 g

step Warm
  Warm [the whole milk] to [6 C], [5 min], and stir in [the honey].
""",
            wrong="[6 C]",
            right="[60 C]",
        ),
    ),
    Rule(
        name="change-unlike-words",
        family="heat",
        severity=Severity.WARNING,
        meaning="A cooling that warms, or that begins or ends where no food is.",
        why="The two figures stand the wrong way round, or one of them has slipped.",
        mend="Write the warmer temperature first: `60 C to 21 C within 2 h`.",
        source="our own choice: no food cools from above 125 °C",
        example=Example(
            text="""\
recipe Barley broth
  serves:  4

ingredients
  pearl barley:  120 g
  water:           1 l

step Simmer
  Simmer [the pearl barley] in [the water], [40 min hands-off].
  Cool what is left [21 C to 60 C within 2 h].
""",
            wrong="[21 C to 60 C within 2 h]",
            right="[60 C to 21 C within 2 h]",
        ),
    ),
    Rule(
        name="scale-unlike-the-rest",
        family="heat",
        severity=Severity.WARNING,
        meaning="One temperature is in the other scale than all the others, and would be a usual one in theirs.",
        why="`190 F` typed for `190 C` is 88 °C.",
        mend="Write the scale that is meant; where it is meant so, turn the figure into the recipe's own scale.",
        source="our own choice: doubted only where it is unusual as written, and usual in the other scale",
        example=Example(
            text="""\
recipe Hot-water crust
  serves:  6

ingredients
  plain flour:  400 g
  lard:         100 g
  water:        150 g

step Melt
  Melt [the lard] in [the water] at [90 C], [4 min].

step Mix, after Melt
  Stir into [the plain flour] and knead, [3 min]. Roll while it is at [45 F], [5 min].

step Bake, after Mix
  Bake at [190 C oven], [40 min hands-off].
""",
            wrong="[45 F]",
            right="[45 C]",
        ),
    ),
)
