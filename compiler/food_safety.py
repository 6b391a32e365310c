"""What is published about keeping food from doing harm: temperatures, times and who says so.

Plain data. A figure stands in its source's own unit, exact, and is turned into another only where it is compared or
shown. These are the usual figures, not the law of any place: local food law and qualified people come first.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeAlias

Unit: TypeAlias = Literal["F", "C", "h", "min"]


@dataclass(frozen=True, slots=True)
class Published:
    """One figure, as its source prints it.

    value   in `unit`: degrees Fahrenheit or Celsius, hours, minutes
    topic   with `item`, which row of the published table it is
    scope   for whom it is meant
    seen    whether the source was read; false where the figure is from memory
    """

    value: Fraction
    unit: Unit
    topic: str
    item: str
    scope: str
    source: str
    seen: bool

    @property
    def celsius(self) -> Fraction:
        """Degrees Celsius, exact. Raises ValueError for a figure that is no temperature."""
        if self.unit == "C":
            return self.value
        if self.unit == "F":
            return (self.value - 32) * 5 / 9
        raise ValueError(f"{self.value} {self.unit} is no temperature")

    @property
    def seconds(self) -> Fraction:
        """Seconds. Raises ValueError for a figure that is no time."""
        if self.unit == "h":
            return self.value * 3600
        if self.unit == "min":
            return self.value * 60
        raise ValueError(f"{self.value} {self.unit} is no time")

    @property
    def named(self) -> str:
        """The source, with a word where it was not read."""
        return self.source if self.seen else f"{self.source}, from memory"


CHART_NAME: Final = "Safe Minimum Internal Temperature Chart (USDA FSIS / FoodSafety.gov), 2019"
CODE_NAME: Final = "FDA Food Code (US FDA), 2022"
_ZONE_NAME: Final = "Danger Zone (USDA FSIS)"
_STANDARD_NAME: Final = "FSANZ Standard 3.2.2"
_CORE: Final = "minimum internal temperature"
_CONSUMER: Final = "US consumer"
_SERVICE: Final = "US retail/food service"


def _core(fahrenheit: int, item: str) -> Published:
    return Published(Fraction(fahrenheit), "F", _CORE, item, _CONSUMER, CHART_NAME, True)


def _code(fahrenheit: int, item: str, section: str, *, seen: bool) -> Published:
    return Published(Fraction(fahrenheit), "F", _CORE, item, _SERVICE, f"{CODE_NAME}, {section}", seen)


# ---------------------------------------------------------------- the middle of the food

POULTRY: Final = _core(165, "all poultry incl. stuffing")
MINCED_POULTRY: Final = _core(165, "ground turkey, chicken")
MINCED_MEAT: Final = _core(160, "ground beef, pork, veal, lamb")
WHOLE_CUTS: Final = _core(145, "beef, veal, lamb steaks, roasts, chops")
PORK: Final = _core(145, "fresh pork and fresh ham")
HAM_REHEATED: Final = _core(165, "precooked ham, reheat")
EGG_DISHES: Final = _core(160, "egg dishes (quiche, frittata, custard)")
LEFTOVERS: Final = _core(165, "leftovers and casseroles")
FISH: Final = _core(145, "fin fish")

CODE_EGGS: Final = _code(145, "raw shell eggs for immediate service", "3-401.11(A)(1), 15 s", seen=True)
CODE_MINCED: Final = _code(155, "ground meat, injected meat, pooled eggs", "3-401.11(A)(2), 17 s", seen=False)
CODE_POULTRY: Final = _code(165, "poultry, stuffed foods", "3-401.11(A)(3), under 1 s", seen=False)

REST: Final = Fraction(3)
"""min that whole cuts rest after 145 F: a note of the same chart, at each of its rows for them."""

HAM_FROM_A_PLANT: Final = Fraction(140)
"""F for a precooked ham packed in an inspected plant: a note of the same chart."""

Peril: TypeAlias = Literal["poultry", "mince", "whole cuts", "eggs", "fish", "ham", "leftovers", "stuffed"]

_CONSUMERS: Final[dict[Peril, Published]] = {
    "poultry": POULTRY,
    "mince": MINCED_MEAT,
    "whole cuts": WHOLE_CUTS,
    "eggs": EGG_DISHES,
    "fish": FISH,
    "ham": HAM_REHEATED,
    "leftovers": LEFTOVERS,
    "stuffed": CODE_POULTRY,
}
_FOOD_SERVICE: Final[dict[Peril, Published]] = {
    "poultry": CODE_POULTRY,
    "mince": CODE_MINCED,
    "eggs": CODE_MINCED,
}


def strictest(peril: Peril) -> Published:
    """The highest figure that is published for it."""
    figures = [table[peril] for table in (_CONSUMERS, _FOOD_SERVICE) if peril in table]
    return max(figures, key=lambda one: one.celsius)


def least(peril: Peril, *, american: bool) -> Published:
    """The least for the middle of a food. `american`: the kitchen's food law is that of the United States.

    Such a kitchen is held to the Food Code, and to the chart for households where no figure of the Code is known
    here. No table of another law is known here: for all others the strictest holds.
    """
    if american and peril in _FOOD_SERVICE:
        return _FOOD_SERVICE[peril]
    return strictest(peril)


# ---------------------------------------------------------------- neither cold nor hot

COLD: Final = Published(
    Fraction(41), "F", "holding", "cold holding", _SERVICE, f"{CODE_NAME}, 3-501.16(A)(2)", True
)
HOT: Final = Published(
    Fraction(135), "F", "holding", "hot holding", _SERVICE, f"{CODE_NAME}, 3-501.16(A)(1)", True
)
ZONE: Final = (
    Published(Fraction(40), "F", "danger zone", "consumer danger zone", _CONSUMER, _ZONE_NAME, True),
    Published(Fraction(140), "F", "danger zone", "consumer danger zone", _CONSUMER, _ZONE_NAME, True),
)
STANDARD_ZONE: Final = (
    Published(
        Fraction(5),
        "C",
        "danger zone",
        "temperature control limits",
        "Australia",
        f"{_STANDARD_NAME}, clauses 6-8",
        True,
    ),
    Published(
        Fraction(60),
        "C",
        "danger zone",
        "temperature control limits",
        "Australia",
        f"{_STANDARD_NAME}, clauses 6-8",
        True,
    ),
)
"""5 to 60 C, where what spoils is neither cold nor hot. We reckon with these ends: the consumer zone's lower end is a
little stricter (4.4 C), and its upper end is the same 60 C."""

OUT: Final = Published(
    Fraction(2), "h", "danger zone", "perishable food out of refrigeration", _CONSUMER, _ZONE_NAME, True
)
OUT_IN_THE_HEAT: Final = Published(
    Fraction(1), "h", "danger zone", "perishable food out, ambient above 90 F", _CONSUMER, _ZONE_NAME, True
)
HEAT: Final = Published(
    Fraction(90), "F", "danger zone", "perishable food out, ambient above 90 F", _CONSUMER, _ZONE_NAME, True
)
DISCARD: Final = Published(
    Fraction(4),
    "h",
    "2-hour/4-hour rule",
    "total time 5-60 C 4 h or more",
    "Australia",
    "2-hour / 4-hour rule (FSANZ)",
    True,
)

# ---------------------------------------------------------------- cooling

STAGE_ONE: Final = Published(
    Fraction(2), "h", "cooling", "60 C to 21 C", "Australia", f"{_STANDARD_NAME}, clause 7(3)", False
)
STAGE_TWO: Final = Published(
    Fraction(4), "h", "cooling", "21 C to 5 C", "Australia", f"{_STANDARD_NAME}, clause 7(3)", False
)
CODE_STAGE_ONE: Final = Published(
    Fraction(2),
    "h",
    "cooling",
    "stage 1: 57 C (135 F) to 21 C (70 F)",
    _SERVICE,
    f"{CODE_NAME}, 3-501.14(A)(1)",
    True,
)
CODE_BOTH: Final = Published(
    Fraction(6),
    "h",
    "cooling",
    "stage 1 + 2: 57 C (135 F) to 5 C (41 F) or less",
    _SERVICE,
    f"{CODE_NAME}, 3-501.14(A)(2)",
    True,
)
CODE_FROM_THE_ROOM: Final = Published(
    Fraction(4),
    "h",
    "cooling",
    "from ambient ingredients to 5 C (41 F)",
    _SERVICE,
    f"{CODE_NAME}, 3-501.14(B)",
    True,
)

STAGES: Final = (Fraction(21), Fraction(5))
"""C at the end of either stage: 21 C is 69.8 F where the Code says 70 F, 5 C is the Code's 41 F."""

SECOND_STAGE: Final = Fraction(70 - 32) * 5 / 9
"""C from which a cooling is in its second stage: the Code's 70 F, 21.1 C."""

# ---------------------------------------------------------------- rules without a figure

RAW_FLOUR: Final = "Raw Flour and Dough (CDC)"
FLOUR_AT_HOME: Final = "FDA consumer advice on flour"
RAW_EGG: Final = "Raw Flour and Dough (CDC)"
RICE: Final = "FSANZ potentially hazardous foods list"
FOIL: Final = "BfR Annual Report 2014 (German Federal Institute for Risk Assessment), p. 35"
LOW_ACID: Final = Fraction(46, 10)
"""pH above which a shut jar needs more than boiling water: 21 CFR 114.3 Acidified foods (US FDA), from memory."""
CANNING: Final = "USDA Complete Guide to Home Canning (AIB 539), from memory"
HONEY: Final = "CDC botulism prevention, from memory"

# ---------------------------------------------------------------- how long it keeps, from memory

FRIDGE_DAYS: Final = Fraction(4)
"""Days that cooked food keeps cold: 3 to 4, Cold Food Storage Chart (FoodSafety.gov), from memory."""
FRIDGE_CHART: Final = "Cold Food Storage Chart (FoodSafety.gov), from memory"
HARD_BOIL: Final = Fraction(10 * 60)
"""s of hard boiling that make dried beans safe: 10 min, common food-safety advice, from memory."""
BEANS: Final = "common food-safety advice, from memory"
THAWING: Final = "safe thawing in the fridge, in cold water or in a microwave (USDA FSIS), from memory"
