"""Prices: missing, old, slipped."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="unknown-currency",
        family="prices",
        severity=Severity.ERROR,
        meaning="A currency is not one of ISO 4217's codes.",
        why="How many decimals a price has depends on its currency.",
        mend="Write the three letters of the code.",
        source="ISO 4217",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-06 in ZZZ
  brown rice:  3.20 for 1 kg
""",
            wrong="ZZZ",
            right="NZD",
        ),
    ),
    Rule(
        name="price-missing",
        family="prices",
        severity=Severity.WARNING,
        meaning="An ingredient has no price that could be used.",
        why="The cost would be too low by what it costs.",
        mend="Add it to a price list, or `NAME: free`.",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  water:  free

recipe Soaked couscous
  serves:  2

ingredients
  couscous:  150 g
  water:     190 g
""",
            wrong="  water:  free\n",
            right="""\
  water:  free
  couscous:  2.50 for 500 g
""",
        ),
    ),
    Rule(
        name="price-without-size",
        family="prices",
        severity=Severity.WARNING,
        meaning="A price cannot be compared with how the ingredient is measured.",
        why=(
            "The pack counts pieces and the recipe weighs, or the other way round, and no piece weight is "
            "known."
        ),
        mend="Give the ingredient a `piece` or a `density`, or write the pack by weight.",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  rosehip leather:  3.50 for 4
  water:            free

ingredient rosehip leather
  kind:      fruit
  contains:  nothing

recipe Leather tea
  serves:  2

ingredients
  rosehip leather:   30 g
  water:            400 g
""",
            wrong="3.50 for 4",
            right="3.50 for 120 g",
        ),
    ),
    Rule(
        name="price-stale",
        family="prices",
        severity=Severity.WARNING,
        meaning="A price in use is older than the kitchen allows.",
        why="A cost told to others should be today's.",
        mend="Look at the shelf again and add a dated price list.",
        example=Example(
            text="""\
kitchen Doubtful
  prices go stale after: 90 days

prices at Quay Market on 2026-08-21
  quinoa:  6.50 for 500 g
  water:   free

recipe Boiled quinoa
  serves:  2

ingredients
  quinoa:  150 g
  water:   300 g
""",
            wrong="2026-08-21",
            right="2026-11-02",
        ),
    ),
    Rule(
        name="price-slipped",
        family="prices",
        severity=Severity.ERROR,
        meaning="A price is about ten times, or a tenth, of what the same thing costs elsewhere in the lists.",
        why="A slipped decimal point in a price is easily told to thousands.",
        mend="Write the likely price that the message names.",
        example=Example(
            text="""\
prices at Quay Market on 2026-09-14
  split peas:  3.10 for 500 g

prices at Lantern Street Grocer on 2026-11-02
  split peas:  32.00 for 500 g
""",
            wrong="32.00",
            right="3.20",
        ),
    ),
    Rule(
        name="currencies-mixed",
        family="prices",
        severity=Severity.ERROR,
        meaning="A recipe's prices are in more than one currency.",
        why="Adding them would give a number of nothing.",
        mend="Price everything in the kitchen's own currency.",
        source="ISO 4217",
        example=Example(
            text="""\
kitchen Abroad
  currency:  NZD

prices at Harbour Duty Free on 2026-10-20 in EUR
  pine nuts:  5.90 for 100 g

prices at Quay Market on 2026-10-20
  white rice:  3.20 for 1 kg
  water:       free

recipe Pine nut rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g
  pine nuts:    30 g
""",
            wrong="on 2026-10-20 in EUR",
            right="on 2026-10-20",
        ),
    ),
    Rule(
        name="no-price-for-instead",
        family="prices",
        severity=Severity.WARNING,
        meaning="`instead of` names something that no price list has.",
        why="The comparison with the shop would be missing.",
        mend="Add it to a price list.",
        example=Example(
            text="""\
prices at Quay Market on 2026-10-20
  white rice:  3.20 for 1 kg
  water:       free

recipe Rice
  serves:      3
  instead of:  packet rice

ingredients
  white rice:  200 g
  water:       300 g
""",
            wrong="  water:       free\n",
            right="""\
  water:       free
  packet rice: 4.40 for 500 g
""",
        ),
    ),
    Rule(
        name="price-jumped",
        family="prices",
        severity=Severity.HINT,
        meaning="A shop's price of a thing is more than twice, or less than half, of what it was there before.",
        why="It may be true; it may as well be another pack, another thing, or two digits turned round.",
        mend="Look at the shelf tag again; if the price is right, nothing need be done.",
        source="common practice, no source",
        example=Example(
            text="""\
prices at Quay Market on 2026-09-14
  split peas:  3.10 for 500 g

prices at Quay Market on 2026-11-02
  split peas:  12.40 for 500 g
""",
            wrong="12.40",
            right="3.40",
        ),
    ),
    Rule(
        name="pack-unit-unlikely",
        family="prices",
        severity=Severity.WARNING,
        meaning="A price would be in proportion if its pack were in another unit: kilograms for grams, say.",
        why="Every cost that uses it is a thousand times too high or too low.",
        mend="Write the unit that stands on the pack.",
        source="what foods cost beside one another: from memory",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  plain flour:   2.50 for 1.5 g
  rolled oats:   2.90 for 750 g
  caster sugar:  3.90 for 1 kg
  fine salt:     1.40 for 500 g
  white rice:    3.20 for 1 kg
  butter:        6.10 for 500 g
  whole milk:    2.85 for 1 l
""",
            wrong="1.5 g",
            right="1.5 kg",
        ),
    ),
    Rule(
        name="price-out-of-proportion",
        family="prices",
        severity=Severity.WARNING,
        meaning="A price that nothing else tells is many times what such a food costs beside the others in the lists.",
        why="A slipped decimal point in the only price of a thing is seen nowhere else.",
        mend="Look at the price and the pack again; if both are right, another shop's price for it will bear it out.",
        source="what foods cost beside one another: from memory",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  plain flour:   2.50 for 1.5 kg
  rolled oats:   2.90 for 750 g
  caster sugar:  39.00 for 1 kg
  fine salt:     1.40 for 500 g
  white rice:    3.20 for 1 kg
  butter:        6.10 for 500 g
  whole milk:    2.85 for 1 l
""",
            wrong="39.00",
            right="3.90",
        ),
    ),
    Rule(
        name="price-of-nought",
        family="prices",
        severity=Severity.WARNING,
        meaning="A price is 0, which is how nobody writes that a thing is free.",
        why="A price that was never filled in would make every cost too low without a word.",
        mend="Write the price, or `NAME: free`.",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  split peas:  0.00 for 500 g
""",
            wrong="0.00",
            right="3.10",
        ),
    ),
    Rule(
        name="pack-cannot-be-counted",
        family="prices",
        severity=Severity.WARNING,
        meaning="A food that is weighed or poured is priced by the piece.",
        why="How much the pack holds is not said, so nothing that uses it can be costed.",
        mend="Write what the pack holds, with a unit.",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  plain flour:  2.50 for 2
""",
            wrong="for 2",
            right="for 2 kg",
        ),
    ),
    Rule(
        name="priced-twice",
        family="prices",
        severity=Severity.WARNING,
        meaning="One list has the same pack of the same thing twice.",
        why="If the two prices differ, one of them is wrong, or is of something else.",
        mend="Take one out, or write what sets them apart.",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  split peas:  3.10 for 500 g
  split peas:  3.90 for 500 g
""",
            wrong="  split peas:  3.90 for 500 g\n",
            right="",
        ),
    ),
    Rule(
        name="prices-dated-ahead",
        family="prices",
        severity=Severity.HINT,
        meaning="A price list is of a day that has not come yet.",
        why="Not one of its prices is used, though they look like the newest.",
        mend="Correct the date; or leave it, if the prices begin on that day.",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  white rice:  3.20 for 1 kg
  water:       free

prices at Quay Market on 2028-11-18
  white rice:  3.30 for 1 kg

recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g
""",
            wrong="2028-11-18",
            right="2026-11-18",
        ),
    ),
    Rule(
        name="cost-in-a-trace",
        family="prices",
        severity=Severity.WARNING,
        meaning="An ingredient that is a trace of the weight carries most of the cost.",
        why="Outside saffron, vanilla and their like that is a price slipped by a place or two.",
        mend="Look at the price and the pack again.",
        source="common practice, no source",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  plain flour:    2.50 for 1.5 kg
  whole milk:     2.85 for 1 l
  butter:         6.10 for 500 g
  caster sugar:   3.90 for 1 kg
  baking powder:  320.00 for 300 g

recipe Pikelets
  makes:  16 pikelets

ingredients
  plain flour:    250 g
  whole milk:     320 g
  butter:          30 g
  caster sugar:    40 g
  baking powder:   10 g
""",
            wrong="320.00",
            right="3.20",
        ),
    ),
    Rule(
        name="instead-far-apart",
        family="prices",
        severity=Severity.WARNING,
        meaning="A recipe costs many times what it replaces, or next to nothing of it.",
        why="One of the two is then most likely counted or priced wrong.",
        mend="Check the price and pack of the one, and the yield of the other.",
        source="common practice, no source",
        example=Example(
            text="""\
prices at Quay Market on 2026-11-02
  white rice:      3.20 for 1 kg
  water:           free
  microwave rice:  260.00 for 250 g

recipe Rice
  serves:      3
  instead of:  microwave rice

ingredients
  white rice:  200 g
  water:       300 g
""",
            wrong="260.00",
            right="2.60",
        ),
    ),
)
