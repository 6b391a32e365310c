"""What a rule is, and every rule's declaration: its name in words, how much it matters, and why.

A Finding is made through `find`, which takes its severity from here, so that no finding exists that
`benchproof explain` cannot explain.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from benchproof.compiler.findings import Also, Edit, Finding, Severity
from benchproof.compiler.source import Span
from benchproof.compiler.writing_rules import WRITING_RULES

Family: TypeAlias = Literal[
    "writing",
    "names",
    "formula",
    "ratios",
    "method",
    "heat",
    "yield",
    "weighing",
    "prices",
    "food law",
    "tests",
]


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing that is looked for.

    `meaning` says what it is, `why` why it matters, `mend` what to do. `safety` rules cannot be turned off,
    only waived with a reason that the card prints. `source` is where its threshold comes from, if it has one.
    """

    name: str
    family: Family
    severity: Severity
    meaning: str
    why: str
    mend: str
    source: str = ""
    safety: bool = False


RULES: dict[str, Rule] = {}


def _declare(
    name: str,
    family: Family,
    severity: Severity,
    meaning: str,
    why: str,
    mend: str,
    source: str = "",
    *,
    safety: bool = False,
) -> None:
    assert name not in RULES, name
    RULES[name] = Rule(name, family, severity, meaning, why, mend, source, safety)


def find(
    rule: str,
    span: Span,
    message: str,
    help: str = "",
    *,
    also: tuple[Also, ...] = (),
    edit: Edit | None = None,
    severity: Severity | None = None,
) -> Finding:
    """A finding of a declared rule. `severity` only where the rule itself is milder or harder by case.

    Raises KeyError for a rule nobody declared: a fault of ours, not of the text.
    """
    return Finding(rule, severity or RULES[rule].severity, span, _sentence(message), _typed(help), also, edit)


def _sentence(text: str) -> str:
    """A message begins with a capital, whatever name it begins with."""
    return _typed(text[:1].upper() + text[1:])


def _typed(text: str) -> str:
    """With plain blanks: what a message shows may be copied into the text, which takes no other."""
    return text.translate(_PLAIN_BLANKS)


_PLAIN_BLANKS = str.maketrans(dict.fromkeys("\u00a0\u2009\u202f", " "))


_H, _W, _E = Severity.HINT, Severity.WARNING, Severity.ERROR

_declare(
    "defined-twice",
    "names",
    _E,
    "A kitchen, recipe, ingredient or style is given twice under one name.",
    "Which of the two is meant would depend on the order of the files.",
    "Give one of them another name, or take one away.",
)
_declare(
    "no-recipe-above",
    "names",
    _E,
    "A block that belongs to a recipe stands under none.",
    "Ingredients, steps, trials and the like belong to the recipe above them in the same file.",
    "Put it below its `recipe NAME` heading.",
)
_declare(
    "unknown-ingredient",
    "names",
    _H,
    "Nobody has stated any fact about an ingredient.",
    "Its allergens, water and weight by volume are unknown, and are shown as not stated; if its name is only "
    "misspelt, its price and facts are missed.",
    "Correct the name, or add an `ingredient` block for it.",
)
_declare(
    "unknown-style",
    "names",
    _E,
    "`style` names no style of the kitchen or the larder.",
    "The ratios would go unchecked without a word.",
    "Use a known style, or add a `style` block.",
)
_declare(
    "unknown-price-item",
    "names",
    _H,
    "A price list has an item that looks like a misspelt ingredient.",
    "The price would never be used.",
    "Correct the name.",
)
_declare(
    "unknown-kind",
    "names",
    _E,
    "`kind` holds a word that is no kind of food known here.",
    "The kind decides which ratios an ingredient counts in and which cautions apply.",
    "Use one of the kinds in the manual.",
)
_declare(
    "unknown-step",
    "names",
    _E,
    "`after` or `during` names no step above.",
    "The plan of the day would be wrong.",
    "Use the name of a step that stands above.",
)
_declare(
    "unknown-part",
    "names",
    _E,
    "A step is for a part that has no list of ingredients.",
    "The step would draw from the wrong list.",
    "Name a part, or add its `ingredients for the PART`.",
)
_declare(
    "unknown-rule",
    "names",
    _E,
    "`waive` or `checks` names no rule.",
    "Nothing would be waived.",
    "Use the rule's name as the finding prints it.",
)
_declare(
    "waiver-unused",
    "names",
    _W,
    "A `waive` line hides nothing any more.",
    "An old waiver would hide the next mistake of its sort.",
    "Take the line out.",
)
_declare(
    "cannot-be-silenced",
    "names",
    _E,
    "`checks` turns off or plays down a rule about safety.",
    "Such a rule can only be waived in a recipe, with a reason that the card prints.",
    "Take the line out, or write `waive: RULE because REASON` in the recipe it is about.",
)
_declare(
    "not-used-yet",
    "names",
    _H,
    "A label or block is understood, but this version does not compute with it.",
    "Nothing that is written is silently ignored.",
    "Nothing: it will be used by a later version.",
)
_declare(
    "unknown-language",
    "names",
    _E,
    "The kitchen asks for a version of the language this compiler does not have.",
    "A newer language may mean something else by the same words.",
    "Update the compiler, or write `language: 1`.",
)
_declare(
    "unknown-currency",
    "prices",
    _E,
    "A currency is not one of ISO 4217's codes.",
    "How many decimals a price has depends on its currency.",
    "Write the three letters of the code.",
    "ISO 4217",
)

_declare(
    "impossible-fact",
    "formula",
    _E,
    "A fact stated of an ingredient cannot be so.",
    "Every weight and cost that uses it would be wrong.",
    "Look at the figure again.",
)
_declare(
    "starter-unknown",
    "formula",
    _W,
    "A starter's water is not stated.",
    "How much of it is flour and how much water is not known, so neither is the hydration.",
    "Add `hydration: 100 %` (water over flour) to its `ingredient` block.",
)
_declare(
    "makes-nothing",
    "yield",
    _E,
    "`makes` or `serves` says nought.",
    "A batch of nothing cannot be scaled or shared out.",
    "Write how many or how much one batch gives, or leave the line out.",
)
_declare(
    "recipe-too-deep",
    "formula",
    _E,
    "Recipes go into recipes more than fifty deep.",
    "No kitchen is built so; it is likelier a slip.",
    "Name the ingredients themselves.",
)
_declare(
    "cannot-be-weighed",
    "formula",
    _E,
    "An amount cannot be turned into a weight.",
    "A volume needs a density and a count needs a piece weight; nothing is guessed.",
    "Write grams, or state the fact once in an `ingredient` block.",
)
_declare(
    "percent-without-base",
    "formula",
    _E,
    "A percentage stands in a list without a base.",
    "Per cent of what decides every weight.",
    "Add `base:` to the recipe, or say of what: `70 % of water`.",
)
_declare(
    "base-not-listed",
    "formula",
    _E,
    "`base` names what the list does not have.",
    "Every percentage hangs on it.",
    "Name an ingredient of the list, or `flour`.",
)
_declare(
    "base-not-weighed",
    "formula",
    _E,
    "The base has neither a weight nor a percentage.",
    "Every percentage hangs on it.",
    "Write its weight, or `100 %`.",
)
_declare(
    "base-not-100",
    "formula",
    _E,
    "The percentages of the base do not come to 100 %.",
    "Several flours are 100 % together; that is what baker's percentages are of.",
    "Make them add up, or give one of them a weight.",
)
_declare(
    "share-of-itself",
    "formula",
    _E,
    "Two lines are shares of each other.",
    "Neither has a weight to begin with.",
    "Give one of them a weight.",
)
_declare(
    "cannot-be-sized",
    "formula",
    _E,
    "Nothing says how big the batch is.",
    "Percentages and parts alone have no size.",
    "Give one line a weight, or `makes` a weight.",
)
_declare(
    "preferment-takes-too-much",
    "formula",
    _E,
    "A preferment or soaker takes more of something than the formula has.",
    "It is drawn out of the main list: what goes into it is part of the whole.",
    "Take less, or have more in the main list.",
)
_declare(
    "preferment-flour-differs",
    "formula",
    _E,
    "The flour listed in a preferment is not the share its heading says.",
    "One of the two is wrong, and the final dough hangs on it.",
    "Write the flours as percentages that make 100 %, or leave them out.",
)
_declare(
    "nothing-to-draw-from",
    "formula",
    _E,
    "A preferment or soaker stands in a recipe without a main list.",
    "It is drawn out of the main list by subtraction.",
    "Write the whole formula under `ingredients`.",
)
_declare(
    "recipe-in-itself",
    "formula",
    _E,
    "A recipe goes into itself, straight or by way of others.",
    "It would have no weight and no cost.",
    "Break the loop that the message prints.",
)
_declare(
    "recipe-not-ready",
    "formula",
    _E,
    "A recipe used as an ingredient has a mistake in it.",
    "Its weight and cost carry into this one.",
    "Mend that recipe first.",
)
_declare(
    "yield-does-not-add-up",
    "yield",
    _E,
    "What goes in, less the losses, is not what `makes` says.",
    "Either an amount or the yield is wrong, and every batch size hangs on it.",
    "Correct whichever of the two is wrong; the message gives both readings.",
    "half a gram a piece, or half a division of the kitchen's scale where that is more",
)
_declare(
    "pieces-differ",
    "yield",
    _E,
    "The method counts other pieces than `makes`.",
    "One of the two was changed and the other forgotten.",
    "Make them agree, or write `[the pieces]`.",
)
_declare(
    "load-of-unknown",
    "yield",
    _W,
    "Pieces are cooked so many at a time, but nothing says how many there are.",
    "The time it takes cannot be worked out.",
    "Say it in `makes` or `serves`.",
)

_declare(
    "ratio-outside-style",
    "ratios",
    _W,
    "A ratio lies outside the usual range of its style.",
    "It may be meant; more often an amount is wrong.",
    "Check the amounts; if it is meant, use another style or waive this with a reason.",
    "the style's own source",
)
_declare(
    "slipped-decimal",
    "ratios",
    _E,
    "A ratio lies far outside its range, and ten times or a tenth of one amount would put it inside.",
    "A decimal point one place off spoils the batch: ten times the salt cannot be eaten.",
    "Write the likely amount that the message names.",
    "the style's own source; for salt without a style, 0.5 to 3.5 % of flour (common practice, no source)",
)
_declare(
    "expect-not-met",
    "tests",
    _E,
    "A line of the `expect` block does not hold.",
    "The recipe's own test fails: something has drifted.",
    "Correct the recipe, or the expectation.",
)
_declare(
    "expect-unknown",
    "tests",
    _E,
    "A line of the `expect` block names nothing that is computed.",
    "The test would never fail.",
    "Use one of the names the message lists.",
)

_declare(
    "not-in-the-list",
    "method",
    _E,
    "The method draws what no list of the recipe has.",
    "Its weight and cost are missing, or its name is misspelt.",
    "Correct the name, add it to the list, or take the brackets away.",
)
_declare(
    "number-needs-of",
    "method",
    _E,
    "A number stands before an ingredient's name without `of`.",
    "`[00 flour]` is a name and `[2 eggs]` an amount: only `of` tells them apart for certain.",
    "Write `[2 of the eggs]`.",
)
_declare(
    "left-over-ingredient",
    "method",
    _W,
    "The method does not use up an ingredient.",
    "Something was forgotten in a step, or the list has too much.",
    "Draw the rest where it goes in.",
)
_declare(
    "overdrawn-ingredient",
    "method",
    _E,
    "The method takes more of an ingredient than the list has.",
    "The list, the cost and the method no longer agree.",
    "Write `[the rest of the …]`, or change the amounts.",
)
_declare(
    "drawn-before-made",
    "method",
    _E,
    "A step takes a part that its own steps have not made yet.",
    "The order of the method is wrong.",
    "Put the steps that make it first.",
)
_declare(
    "drawn-when-gone",
    "method",
    _E,
    "A step takes an ingredient that earlier steps have used up.",
    "Either an earlier step takes too much, or this one only mentions it.",
    "Take less before, or take the brackets away.",
)
_declare(
    "which-part",
    "method",
    _E,
    "A draw could be from more than one part's list.",
    "The wrong part would come out short.",
    "Say which: `[the fine salt for the topping]`.",
)
_declare(
    "loose-number",
    "method",
    _W,
    "A number with a unit stands in a step outside brackets.",
    "It will not scale, convert or be checked.",
    "Put it in brackets.",
)
_declare(
    "yeast-too-hot",
    "heat",
    _W,
    "Yeast meets a liquid that is hot enough to harm it.",
    "Above about 49 °C yeast begins to die, and by 60 °C it is dead: the dough never rises.",
    "Let the liquid cool to 35-43 °C first, or mix instant yeast into the flour.",
    "bakery practice: begins to die at 120 F, dead at 135-140 F (stored consumer pages; Gisslen's 140 F from memory)",
)
_declare(
    "yeast-warmer-than-usual",
    "heat",
    _H,
    "Yeast is woken in a liquid warmer than the usual range, though not yet warm enough to harm it.",
    "35-43 °C is usual. Up to about 49 °C the yeast lives, but nothing is won, and a thermometer a few degrees "
    "out then kills it.",
    "Let the liquid cool to 35-43 °C.",
    "bakery practice: 100-110 F (stored consumer pages; another gives 105-115 F)",
)
_declare(
    "hotter-than-boiling",
    "heat",
    _W,
    "A liquid, or the middle of a food, is to be hotter than water boils where the kitchen stands.",
    "It boils away, or dries out, and never gets there: at 1600 m water boils at 95 °C.",
    "Write the temperature it can reach; if the oven or the oil is meant, say so: `180 C oven`.",
    "US Standard Atmosphere 1976 and Antoine's constants for water, both from memory",
)
_declare(
    "tap-cannot-reach",
    "heat",
    _H,
    "A dough temperature needs water colder or hotter than the kitchen's taps give.",
    "The dough comes out warmer or colder than planned, and its times with it.",
    "Put in the ice that the finding works out, chill the flour, or warm part of the water.",
    "the kitchen's `tap water`; without it freezing and boiling",
)
_declare(
    "specific-heat-not-read",
    "heat",
    _W,
    "A `specific heat` is not written as one, or is none that a food has.",
    "The water temperatures would be worked out without it, and nobody would know.",
    "Write how many kJ warm 1 kg of it by 1 C: `3.9 kJ for 1 kg and 1 C`.",
    "between dry salt (0.86 kJ) and water (4.18 to 4.22 kJ)",
)

_declare(
    "scale-too-coarse",
    "weighing",
    _W,
    "A weight is so small that half a step of the scale it goes on is more than 5 % of it.",
    "What the scale shows may be half a step out, either way: 0.6 g on a scale with steps of 1 g is a guess. "
    "Up to 20 % this is a hint, and for herbs and spices nothing: they differ by more than that themselves.",
    "Make more at once, use a finer scale, or weigh a part of a solution. The finding works the amounts out.",
    "common practice, no source",
)
_declare(
    "too-heavy-for-the-scale",
    "weighing",
    _H,
    "A weight is more than any scale of the kitchen carries.",
    "It has to be weighed in several goes, and a go is easily forgotten or done twice.",
    "Weigh it in as many goes as the finding says and tick them off, or add the stronger scale to `scales`.",
)

_declare(
    "price-missing",
    "prices",
    _W,
    "An ingredient has no price that could be used.",
    "The cost would be too low by what it costs.",
    "Add it to a price list, or `NAME: free`.",
)
_declare(
    "price-without-size",
    "prices",
    _W,
    "A price cannot be compared with how the ingredient is measured.",
    "The pack counts pieces and the recipe weighs, or the other way round, and no piece weight is known.",
    "Give the ingredient a `piece` or a `density`, or write the pack by weight.",
)
_declare(
    "price-stale",
    "prices",
    _W,
    "A price in use is older than the kitchen allows.",
    "A cost told to others should be today's.",
    "Look at the shelf again and add a dated price list.",
)
_declare(
    "price-slipped",
    "prices",
    _E,
    "A price is about ten times, or a tenth, of what the same thing costs elsewhere in the lists.",
    "A slipped decimal point in a price is easily told to thousands.",
    "Write the likely price that the message names.",
)
_declare(
    "currencies-mixed",
    "prices",
    _E,
    "A recipe's prices are in more than one currency.",
    "Adding them would give a number of nothing.",
    "Price everything in the kitchen's own currency.",
    "ISO 4217",
)
_declare(
    "no-price-for-instead",
    "prices",
    _W,
    "`instead of` names something that no price list has.",
    "The comparison with the shop would be missing.",
    "Add it to a price list.",
)

_declare(
    "unknown-allergen",
    "food law",
    _E,
    "`contains` or `may contain` holds a word that no food law's list knows.",
    "A misspelt allergen would not be printed in the law's words.",
    "Use the word of the list.",
    "Regulation (EU) 1169/2011 Annex II; FALCPA and FASTER Act (US); FSANZ Standard 1.2.3 Schedule 9",
    safety=True,
)
_declare(
    "unknown-food-law",
    "food law",
    _E,
    "`food law` names a law whose list is not known here.",
    "Which allergens must be named depends on it.",
    "Name one of the known ones, or none: then all lists are joined.",
    safety=True,
)
for _row in WRITING_RULES:
    _declare(_row.name, "writing", Severity[_row.level.upper()], _row.meaning, _row.why, _row.mend)
