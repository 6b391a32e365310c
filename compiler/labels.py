"""The vocabulary: every label of every block, what its value looks like, and what it means.

The parser reads values by this table, the messages quote it, and the manual and the editor's completion are made
from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal, TypeAlias, get_args

from benchproof.compiler.syntax import BlockKind

ValueRule: TypeAlias = Literal[
    "amount",  # Measured, Counted, Percentage, TimesOf, Parts or ToTaste
    "bound",  # Bound
    "contains",  # Names; `instead` becomes a detail
    "count",  # Count
    "currency",  # Words: three capital letters
    "date",  # Date
    "density",  # Density
    "duration",  # Measure of a time
    "gains",  # Losses
    "held",  # Count, or Measure of what it holds
    "keeps",  # Keeps
    "length",  # Measure of a length
    "level",  # Words: off, hint, warning or error
    "loses",  # Losses
    "makes",  # Makes
    "names",  # Names
    "percent",  # Percentage of itself
    "photo",  # Words (the file), details (the words for it)
    "price",  # Price
    "quantity",  # Measure of a weight or a volume
    "reheats",  # Measure of a temperature, or Words
    "scales",  # Scales
    "system",  # Words: one of quantities.SYSTEMS
    "tariff",  # Rate for energy
    "temperature",  # Measure of a temperature
    "temperatures",  # Measures of a temperature
    "tin",  # Size
    "wage",  # Rate for time
    "waive",  # Waiver
    "week",  # Words (the recipe), details (how much of it)
    "weight",  # Measure of a weight
    "words",  # Words
    "yes no",  # YesNo
]
VALUE_RULES: Final[tuple[str, ...]] = get_args(ValueRule)


@dataclass(frozen=True, slots=True)
class Label:
    """One label: `value` names the rule its value is read by; `computed` is whether this version uses it.

    `meaning` completes the sentence "`name` is ..."; `example` is a whole entry. `repeats`: it may stand more
    than once in its block. An open label's `name` says what a cook puts there (`an ingredient`).
    """

    name: str
    value: ValueRule
    computed: bool
    meaning: str
    example: str
    repeats: bool = False


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The labels of one kind of block, and what an unlisted label means, where one may stand."""

    labels: tuple[Label, ...] = ()
    open: Label | None = None
    prose: bool = False
    """Lines that are no entry are prose."""

    def find(self, key: str) -> Label | None:
        """The label with this key (`Name.key`); the open one is not among them."""
        return next((label for label in self.labels if label.name.casefold() == key), None)

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(label.name for label in self.labels)


def _kitchen() -> Iterable[Label]:
    yield Label("language", "count", True, "the version of the language the files are in", "language: 1")
    yield Label(
        "currency", "currency", True, "what prices are in, by its three ISO 4217 letters", "currency: NZD"
    )
    yield Label(
        "food law",
        "words",
        True,
        "whose allergen list and temperatures the checks quote",
        "food law: Australia and New Zealand",
    )
    yield Label("measures", "system", True, "whose cup and spoon the recipes mean", "measures: metric")
    yield Label(
        "scales",
        "scales",
        True,
        "what the kitchen's scales can show, from the smallest step to the most they carry",
        "scales: 0.1 g to 500 g, 1 g to 5 kg",
    )
    yield Label("room", "temperature", True, "how warm the kitchen is", "room: 21 C")
    yield Label(
        "time zone",
        "words",
        True,
        "where the kitchen's clock is, so that a plan counts the hours of a clock change",
        "time zone: Pacific/Auckland",
    )
    yield Label(
        "costed on",
        "date",
        True,
        "the day the costs are for; absent, the day of asking",
        "costed on: 2026-11-20",
    )
    yield Label(
        "prices go stale after",
        "duration",
        True,
        "how old a price may be before it is doubted",
        "prices go stale after: 90 days",
    )
    yield Label(
        "flour", "temperature", True, "how warm the flour is, where it is not as the room", "flour: 19 C"
    )
    yield Label("tap water", "temperature", True, "what the cold and the hot tap give", "tap water: 8-55 C")
    yield Label(
        "friction",
        "temperatures",
        True,
        "how much the mixing warms a dough",
        "friction: 2 C by hand, 11 C in the mixer",
    )
    yield Label("electricity", "tariff", False, "what electricity costs", "electricity: 0.32 for 1 kWh")
    yield Label("gas", "tariff", False, "what gas costs", "gas: 0.12 for 1 kWh")
    yield Label("labour", "wage", False, "what an hour of work costs", "labour: 28 for 1 h")
    yield Label("altitude", "length", True, "how high the kitchen stands", "altitude: 120 m")
    yield Label(
        "shops",
        "names",
        False,
        "the shops in the order they are preferred",
        "shops: Lantern Street Grocer, Quay Mill",
    )
    yield Label(
        "page address",
        "words",
        False,
        "where the printed pages point to",
        "page address: https://saltmarsh.example/",
    )


def _recipe() -> Iterable[Label]:
    yield Label("also", "names", True, "other names of the recipe", "also: griddle rounds")
    yield Label("makes", "makes", True, "what one batch gives", "makes: 12 rounds of 58 g")
    yield Label("serves", "count", True, "how many it feeds", "serves: 4")
    yield Label("base", "names", True, "the ingredients that together are 100 %", "base: strong flour")
    yield Label(
        "style", "words", True, "the class of product it is judged by", "style: yeasted griddle batter"
    )
    yield Label(
        "loses",
        "loses",
        True,
        "the weight lost on the way, all of it water",
        "loses: 3 % in the bowl, 11 % in the bake",
    )
    yield Label("gains", "gains", True, "the weight of water taken up on the way", "gains: 140 % in the pot")
    yield Label(
        "instead of",
        "words",
        True,
        "the bought thing it replaces, by its name on a price list",
        "instead of: packet griddle rounds",
    )
    yield Label(
        "keeps", "keeps", True, "how long it keeps, and how", "keeps: 2 days in a tin, 2 months frozen"
    )
    yield Label("reheats", "reheats", True, "how it is warmed again", "reheats: to 75 C core, once")
    yield Label("tags", "names", True, "words to find it by", "tags: breakfast, griddle")
    yield Label("summary", "words", True, "what it is, in a line", "summary: Soft rounds from the griddle.")
    yield Label("by", "words", True, "who wrote it", "by: the Saltmarsh kitchen")
    yield Label("date", "date", True, "the day it was written", "date: 2026-11-02")
    yield Label(
        "may contain", "contains", True, "allergens that traces of may be in it", "may contain: sesame"
    )
    yield Label("tin", "tin", True, "the tin it is baked in", "tin: 23 cm round, 5 cm deep")
    yield Label(
        "photo",
        "photo",
        False,
        "a picture, and the words for it",
        "photo: rounds.jpg, twelve rounds on a rack",
        repeats=True,
    )
    yield Label(
        "adapted from",
        "words",
        False,
        "where it comes from",
        "adapted from: a handwritten card",
        repeats=True,
    )
    yield Label(
        "waive",
        "waive",
        True,
        "a check that does not apply, and why",
        "waive: ratio-outside-style because the topping is salted",
        repeats=True,
    )


def _ingredient() -> Iterable[Label]:
    yield Label("also", "names", True, "other names of the ingredient", "also: bread flour, bakers flour")
    yield Label("kind", "words", True, "what sort of food it is", "kind: flour")
    yield Label("water", "percent", True, "how much of it is water", "water: 12 %")
    yield Label("fat", "percent", True, "how much of it is fat", "fat: 3.5 %")
    yield Label("sugar", "percent", True, "how much of it is sugar", "sugar: 4.8 %")
    yield Label("salt", "percent", True, "how much of it is salt", "salt: 1.5 %")
    yield Label(
        "milk solids", "percent", True, "how much of it is dry milk without its fat", "milk solids: 8.8 %"
    )
    yield Label("density", "density", True, "how much a volume of it weighs", "density: 0.58 g/ml")
    yield Label(
        "piece",
        "quantity",
        True,
        "what one piece weighs as bought; a detail says how much of it is usable",
        "piece: 56.7 g, 50 g usable",
    )
    yield Label("usable", "percent", True, "how much is left when it is trimmed", "usable: 85 %")
    yield Label(
        "contains",
        "contains",
        True,
        "the allergens in it; `nothing` when there are none, and unsaid is unknown",
        "contains: wheat",
    )
    yield Label("spoils", "yes no", True, "whether it has to be kept cold", "spoils: yes")
    yield Label("eaten raw", "yes no", True, "whether it is safe to eat as it is bought", "eaten raw: no")
    yield Label(
        "hydration", "percent", True, "a starter's water, as a share of its flour", "hydration: 100 %"
    )
    yield Label("flour", "percent", True, "how much of a starter is flour", "flour: 50 %")
    yield Label(
        "source", "words", True, "where its figures come from", "source: common practice", repeats=True
    )
    yield Label(
        "keeps opened", "keeps", False, "how long it keeps once opened", "keeps opened: 5 days in the fridge"
    )
    yield Label(
        "specific heat",
        "words",
        True,
        "how much heat it takes to warm it",
        "specific heat: 3.9 kJ for 1 kg and 1 C",
    )
    yield Label(
        "footprint",
        "words",
        False,
        "what growing and bringing it costs the world",
        "footprint: 1.2 kg for 1 kg",
    )


_MONDAY: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_PURPOSE: Final = "how much of it goes in; a detail that begins with `for` keeps it out of the ratios"

VOCABULARY: Final[Mapping[BlockKind, Vocabulary]] = MappingProxyType(
    {
        "kitchen": Vocabulary(tuple(_kitchen())),
        "recipe": Vocabulary(tuple(_recipe())),
        "ingredients": Vocabulary(
            open=Label("an ingredient", "amount", True, _PURPOSE, "strong flour: 280 g")
        ),
        "preferment": Vocabulary(
            (Label("seed", "amount", True, "culture that is lent to it and given back", "seed: 20 g"),),
            open=Label(
                "an ingredient",
                "amount",
                True,
                "how much of it, of the flour the preferment takes",
                "water: 100 %",
            ),
        ),
        "soaker": Vocabulary(
            open=Label(
                "an ingredient", "amount", True, "how much of the formula's is soaked", "rye flour: 20 g"
            )
        ),
        "equipment": Vocabulary(
            open=Label(
                "a tool",
                "held",
                True,
                "how many of it, or what it holds",
                "9 cm rings: 4, or folded strips of foil",
                True,
            ),
            prose=True,
        ),
        "step": Vocabulary(prose=True),
        "expect": Vocabulary(
            open=Label(
                "a figure",
                "bound",
                True,
                "what a printed ratio, cost, time or yield must keep to",
                "hydration: 140-150 %",
                True,
            )
        ),
        "trial": Vocabulary(
            (
                Label("made", "count", True, "how many came out", "made: 4 rounds"),
                Label("weighed", "weight", True, "what they weighed together", "weighed: 208 g baked"),
                Label("water", "temperature", True, "how warm the water was", "water: 31 C"),
                Label("dough", "temperature", True, "how warm the dough was when mixed", "dough: 25 C"),
                Label("took", "duration", True, "how long it took", "took: 55 min"),
                Label(
                    "changed",
                    "words",
                    True,
                    "what was done otherwise",
                    "changed: lid on from the start",
                    True,
                ),
                Label("result", "words", True, "how it came out", "result: tops set first", True),
                Label(
                    "next", "words", True, "what to try next", "next: a minute less on the first side", True
                ),
            ),
            prose=True,
        ),
        "prices": Vocabulary(
            open=Label(
                "a thing on the shelf",
                "price",
                True,
                "what it costs, and for how much of it",
                "strong flour: 3.30 for 1.5 kg",
                True,
            )
        ),
        "ingredient": Vocabulary(
            tuple(_ingredient()),
            open=Label("a part or a pack of it", "quantity", True, "what one of them weighs", "clove: 5 g"),
        ),
        "style": Vocabulary(
            (
                Label("also", "names", True, "other names of the style", "also: griddle batter"),
                Label("basis", "words", True, "what its ratios are shares of", "basis: flour"),
                Label("source", "words", True, "where its bounds come from", "source: common practice", True),
            ),
            open=Label(
                "a ratio",
                "bound",
                True,
                "where it usually lies in this class of product",
                "salt: 1.5-2.2 %",
                True,
            ),
        ),
        "cupboard": Vocabulary(
            open=Label(
                "a thing in the cupboard", "amount", False, "how much of it is there", "oat flakes: 750 g"
            )
        ),
        "week": Vocabulary(
            tuple(
                Label(
                    day,
                    "week",
                    False,
                    f"what is made on {day}",
                    f"{day}: Harbour griddle rounds, 24 rounds",
                    True,
                )
                for day in _MONDAY
            )
        ),
        "checks": Vocabulary(
            open=Label(
                "a check",
                "level",
                True,
                "whether it is `off`, a `hint`, a `warning` or an `error`",
                "price-stale: hint",
            )
        ),
    }
)
"""For every kind of block, its labels. One that is neither listed nor open is an unknown label."""

EXAMPLE_HEADINGS: Final[Mapping[BlockKind, str]] = MappingProxyType(
    {
        "kitchen": "kitchen Saltmarsh",
        "recipe": "recipe Harbour griddle rounds",
        "ingredients": "ingredients for the topping",
        "preferment": "preferment Overnight sponge, 25 % of the flour",
        "soaker": "soaker Scalded rye",
        "equipment": "equipment",
        "step": "step Batter, after Wake the yeast and Dry side",
        "expect": "expect",
        "trial": "trial 2026-11-09",
        "prices": "prices at Lantern Street Grocer on 2026-11-02",
        "ingredient": "ingredient strong flour",
        "style": "style yeasted griddle batter",
        "cupboard": "cupboard on 2026-11-02",
        "week": "week of 2026-11-02",
        "checks": "checks",
    }
)
"""A heading of each kind, as it is written."""

LEVELS: Final = ("off", "hint", "warning", "error")
