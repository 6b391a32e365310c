"""The tree: what one block of Bench text says, before any name is looked up.

The parser makes these nodes and nothing else does. Each carries its span. Numbers are exact (`Fraction`),
units are the canonical spellings of `quantities.UNITS`, names are kept as written (`Name.text`) beside the
form that is compared (`Name.key`). Nothing here knows a larder, a kitchen or a recipe.

A node that stands for something the text did not get right does not exist: the parser reports a Finding and
leaves the line out (`Block.lines` holds an `Unread` in its place).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal, TypeAlias

from benchproof.compiler.source import Place, Span

Dimension: TypeAlias = Literal["mass", "volume", "time", "length", "temperature", "energy"]

_APOSTROPHES = str.maketrans({"’": "'", "‘": "'", "ʼ": "'", "‐": "-", "‑": "-"})


@lru_cache(maxsize=65536)
def name_key(text: str) -> str:
    """The form in which names are compared.

    NFC, case folded, runs of blanks (no-break ones too) made one, a leading `the` dropped, curly and straight
    apostrophes and hyphens alike. No plural is guessed: `also:` does that.
    """
    folded = unicodedata.normalize("NFC", text).translate(_APOSTROPHES).casefold()
    folded = unicodedata.normalize("NFC", re.sub(r"\s+", " ", folded).strip())
    return folded.removeprefix("the ") if len(folded) > 4 else folded


@dataclass(frozen=True, slots=True)
class Name:
    """A name, or any raw words that only later turn out to be one."""

    text: str
    span: Span

    @property
    def key(self) -> str:
        return name_key(self.text)


# ---------------------------------------------------------------- numbers with units


@dataclass(frozen=True, slots=True)
class Numeric:
    """A bare number or a range of them: `3`, `145`, `15-20`. `low == high` for a single one."""

    low: Fraction
    high: Fraction
    span: Span

    @property
    def is_range(self) -> bool:
        return self.low != self.high


@dataclass(frozen=True, slots=True)
class Term:
    """A number and its unit: one piece of `1 lb 4 oz`. `system` is the word before it in `1 US cup`."""

    number: Fraction
    unit: str
    system: str | None = None


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measured amount or a range of them: `280 g`, `1 lb 4 oz`, `20-25 min`, `36-40 C`.

    `low` and `high` are equal for a single amount. Every term of both has the same dimension.
    """

    dimension: Dimension
    low: tuple[Term, ...]
    high: tuple[Term, ...]
    span: Span

    @property
    def is_range(self) -> bool:
        return self.low != self.high


# ---------------------------------------------------------------- values of entries


@dataclass(frozen=True, slots=True)
class Measured:
    """`280 g`, `2 tsp`, `840 g as bought`, `6 g and to taste`."""

    quantity: Quantity
    span: Span
    as_bought: bool = False
    and_to_taste: bool = False


@dataclass(frozen=True, slots=True)
class Counted:
    """`3`, `1 lemon`, `3 cloves`, `2 tins`. `noun` is None for a bare number."""

    number: Numeric
    noun: Name | None
    span: Span
    as_bought: bool = False


@dataclass(frozen=True, slots=True)
class Percentage:
    """`145 %` of the base, or `150 % of rice`."""

    number: Numeric
    of: Name | None
    span: Span


@dataclass(frozen=True, slots=True)
class TimesOf:
    """`2 times the rice`."""

    number: Numeric
    of: Name
    span: Span


@dataclass(frozen=True, slots=True)
class Parts:
    """`3 parts`: a formula by parts."""

    number: Numeric
    span: Span


@dataclass(frozen=True, slots=True)
class ToTaste:
    """`to taste`."""

    span: Span


Amount: TypeAlias = Measured | Counted | Percentage | TimesOf | Parts | ToTaste
"""What may stand after an ingredient's colon."""


@dataclass(frozen=True, slots=True)
class Makes:
    """`12 rounds of 58 g`, `12 rounds of 55 g baked`, `2 loaves`, `900 g`, `900 g baked`, `12`.

    Either `count` (with `noun`, maybe `each`) or `total` is given. `after_losses` is true for `baked` and
    `cooked`.
    """

    count: Numeric | None
    noun: Name | None
    each: Quantity | None
    total: Quantity | None
    after_losses: bool
    span: Span


@dataclass(frozen=True, slots=True)
class Loss:
    """`1 % in the bowl`: `words` is `in the bowl`."""

    percent: Numeric
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class Losses:
    """The value of `loses` and `gains`."""

    losses: tuple[Loss, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Keep:
    """`2 days in a tin`."""

    duration: Quantity
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class Keeps:
    keeps: tuple[Keep, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Pack:
    """What a price buys: `1.5 kg`, `8 x 7 g`, `12`, `6 of 55 g`.

    `count` alone for pieces; `each` alone for one measured pack; both for so many of so much.
    """

    count: Fraction | None
    each: Quantity | None
    span: Span


@dataclass(frozen=True, slots=True)
class Price:
    """`3.30 for 1.5 kg`. `money` is None for `free`, and then so is `pack`."""

    money: Fraction | None
    pack: Pack | None
    span: Span


@dataclass(frozen=True, slots=True)
class Scale:
    """`0.1 g to 500 g`: the smallest division shown, and the most it carries."""

    division: Quantity
    capacity: Quantity
    span: Span


@dataclass(frozen=True, slots=True)
class Scales:
    scales: tuple[Scale, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Density:
    """`0.58 g/ml`, or `120 g/cup`: a mass and the volume it fills."""

    mass: Quantity
    volume: Quantity
    span: Span


BoundWord: TypeAlias = Literal["under", "over", "at least", "at most"]


@dataclass(frozen=True, slots=True)
class Bound:
    """`140-150 %`, `under 0.15`, `at most 90 min`, `0.7-3.5 %`: the values of `expect` and of styles."""

    word: BoundWord | None
    value: Percentage | Numeric | Quantity
    span: Span


@dataclass(frozen=True, slots=True)
class Size:
    """A tin: `23 cm round, 5 cm deep` or `23 x 13 cm, 7 cm deep`. `lengths` are in the unit given."""

    lengths: tuple[Term, ...]
    round: bool
    depth: Quantity | None
    span: Span


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity with or without words: `21 C`, `38 C in the bowl`, `208 g baked`, `55 min`, `90 days`.

    `after_losses` is true for `baked` and `cooked`.
    """

    quantity: Quantity
    words: str
    span: Span
    after_losses: bool = False


@dataclass(frozen=True, slots=True)
class Measures:
    """Several quantities with words: `2 C by hand, 11 C in the mixer`."""

    measures: tuple[Measure, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Rate:
    """`0.32 for 1 kWh`, `28 for 1 h`: money for an amount of energy, gas or work."""

    money: Fraction
    amount: Quantity
    span: Span


@dataclass(frozen=True, slots=True)
class Count:
    """A number with or without words: `4 rounds`, `6`."""

    number: Numeric
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class Date:
    """An ISO 8601 calendar date that exists."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Waiver:
    """`waive: RULE because REASON`."""

    rule: Name
    reason: str
    span: Span


@dataclass(frozen=True, slots=True)
class Words:
    """Free text."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Names:
    """A list cut at commas: `tags`, `base`, `also`, `contains`, `shops`."""

    names: tuple[Name, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class YesNo:
    yes: bool
    span: Span


Value: TypeAlias = (
    Measured
    | Counted
    | Percentage
    | TimesOf
    | Parts
    | ToTaste
    | Makes
    | Losses
    | Keeps
    | Price
    | Scales
    | Density
    | Bound
    | Size
    | Measure
    | Measures
    | Rate
    | Count
    | Date
    | Waiver
    | Words
    | Names
    | YesNo
)

# ---------------------------------------------------------------- facts in prose


@dataclass(frozen=True, slots=True)
class Share:
    """How much of a thing a draw takes.

    kind        number                  example
    all-left    -                       `[the water]`: all that is left
    all         -                       `[all of the water]`: the whole line
    rest        -                       `[the rest of the milk]`
    fraction    of the whole line       `[half the sugar]`, `[25 % of the water]`
    count       pieces                  `[2 of the eggs]`
    quantity    -, see `quantity`       `[40 g of the butter]`
    all-but     -, `quantity` or number `[all but 20 g of the water]`, `[all but 2 of the eggs]`
    """

    kind: Literal["all-left", "all", "rest", "fraction", "count", "quantity", "all-but"]
    number: Fraction | None = None
    quantity: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Draw:
    """`[half the caster sugar]`. `name` is everything after the share: `yolks of the eggs`, `fine salt for
    the topping` and `strong flour for the bench` are cut once names are known."""

    share: Share
    name: Name
    span: Span


@dataclass(frozen=True, slots=True)
class DurationFact:
    """`[20-25 min hands-off]`, `[at least 12 h hands-off]`, `[up to 4 h]`. Hands-on unless it says not."""

    duration: Quantity
    hands_off: bool
    limit: Literal["at least", "up to"] | None
    span: Span


@dataclass(frozen=True, slots=True)
class TurnsFact:
    """`[3 times, every 30 min]`: `every` may be absent."""

    times: Numeric
    every: Quantity | None
    span: Span


OvenPlace: TypeAlias = Literal["oven", "fan oven", "pan", "oil", "core", "dough", "room", "fridge", "freezer"]


@dataclass(frozen=True, slots=True)
class TemperatureFact:
    """`[38 C]`, `[200 C oven]`, `[180 C fan oven]`, `[oven at 240 C]`, `[75 C core of the beef mince]`."""

    temperature: Quantity
    place: OvenPlace | None
    of: Name | None
    span: Span


@dataclass(frozen=True, slots=True)
class ChangeFact:
    """`[60 C to 21 C in 2 h]` takes its time; with `within` it is a limit."""

    start: Quantity
    end: Quantity
    duration: Quantity
    within: bool
    span: Span


@dataclass(frozen=True, slots=True)
class LoadFact:
    """`[4 at a time]`."""

    number: Numeric
    span: Span


@dataclass(frozen=True, slots=True)
class MeasureFact:
    """`[2 cm]`, `[20 x 30 cm]`, `[8 pieces]`, `[the pieces]`, `[each piece]`, `[18 g each]`.

    kind `length`: `lengths`; `pieces`: `number`; `the-pieces`, `each-piece`: neither; `each`: `quantity`.
    """

    kind: Literal["length", "pieces", "the-pieces", "each-piece", "each"]
    span: Span
    lengths: tuple[Quantity, ...] = ()
    number: Numeric | None = None
    quantity: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Numbered:
    """A number, then words, and no `of`: `[00 flour]`, `[12 rounds]`, `[2 eggs]`, `[70 % chocolate]`,
    `[40 g butter]`. Which it is depends on the names; `raw` is the whole text, `words` what follows the
    number (with its unit)."""

    raw: Name
    number: Numeric | Quantity | Percentage
    words: Name
    span: Span


Fact: TypeAlias = (
    Draw | DurationFact | TurnsFact | TemperatureFact | ChangeFact | LoadFact | MeasureFact | Numbered
)


@dataclass(frozen=True, slots=True)
class Text:
    """Prose between facts, as written, with `[[` and `]]` already made single."""

    text: str
    span: Span


# ---------------------------------------------------------------- lines


@dataclass(frozen=True, slots=True)
class Detail:
    """What a comma adds after a value: `for the pan`, `special`, `or folded strips of foil`."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Entry:
    """`label: value, detail`. `label.key` is compared; `span` covers label to last detail, no comment."""

    label: Name
    value: Value
    details: tuple[Detail, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class ProseLine:
    """One line of a step or a trial, or a plain line of `equipment`: text and facts in order."""

    pieces: tuple[Text | Fact, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Comment:
    """A comment, alone on its line or after something. `text` begins with its `#`."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Unread:
    """A line that could not be read; a Finding says why."""

    span: Span


Line: TypeAlias = Entry | ProseLine | Unread

# ---------------------------------------------------------------- headings


@dataclass(frozen=True, slots=True)
class NamedHeading:
    """`kitchen NAME`, `recipe NAME`, `ingredient NAME`, `style NAME`, `soaker NAME`: Block.kind tells."""

    name: Name
    span: Span


@dataclass(frozen=True, slots=True)
class PlainHeading:
    """`equipment`, `expect`, `checks`."""

    span: Span


@dataclass(frozen=True, slots=True)
class IngredientsHeading:
    """`ingredients`, `ingredients for the PART`."""

    part: Name | None
    span: Span


@dataclass(frozen=True, slots=True)
class PrefermentHeading:
    """`preferment NAME, 25 % of the flour`."""

    name: Name
    share: Numeric
    of: Name
    span: Span


@dataclass(frozen=True, slots=True)
class StepHeading:
    """`step NAME[, for [the] PART][, after A, B and C][, during D]`. `after` is the raw list of names."""

    name: Name
    part: Name | None
    after: Name | None
    during: Name | None
    span: Span


@dataclass(frozen=True, slots=True)
class DatedHeading:
    """`trial DATE`, `cupboard on DATE`, `week of DATE`."""

    date: Date
    span: Span


@dataclass(frozen=True, slots=True)
class PricesHeading:
    """`prices at SHOP on DATE[ in CURRENCY]`."""

    shop: Name
    date: Date
    currency: Name | None
    span: Span


Heading: TypeAlias = (
    NamedHeading
    | PlainHeading
    | IngredientsHeading
    | PrefermentHeading
    | StepHeading
    | DatedHeading
    | PricesHeading
)

BlockKind: TypeAlias = Literal[
    "kitchen",
    "recipe",
    "ingredients",
    "preferment",
    "soaker",
    "equipment",
    "step",
    "expect",
    "trial",
    "prices",
    "ingredient",
    "style",
    "cupboard",
    "week",
    "checks",
]

SHARED_KINDS: frozenset[str] = frozenset(
    {"kitchen", "recipe", "prices", "ingredient", "style", "cupboard", "week", "checks"}
)
"""Blocks that belong to the whole kitchen. All others belong to the recipe above them."""


@dataclass(frozen=True, slots=True)
class Block:
    """One heading with its body. `heading` is None when the heading itself could not be read."""

    kind: BlockKind
    heading: Heading | None
    lines: tuple[Line, ...]
    comments: tuple[Comment, ...]
    place: Place
    span: Span

    def entries(self) -> Iterator[Entry]:
        return (line for line in self.lines if isinstance(line, Entry))

    def prose(self) -> Iterator[ProseLine]:
        return (line for line in self.lines if isinstance(line, ProseLine))

    def entry(self, label: str) -> Entry | None:
        """The first entry with that label, by its compared form."""
        return next((entry for entry in self.entries() if entry.label.key == label), None)


@dataclass(frozen=True, slots=True)
class File:
    """A text cut into blocks, in order."""

    blocks: tuple[Block, ...]
    place: Place
