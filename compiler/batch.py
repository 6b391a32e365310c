"""The Batch: one recipe resolved for one request. What every renderer and every other program reads.

Plain, immutable data. Weights are grams, volumes millilitres, times seconds, lengths millimetres,
temperatures degrees Celsius, money units of `currency`, percentages per hundred (`145` is 145 %), all exact
`Fraction`. Nothing here is rounded and nothing here is text for show, except what the cook wrote: `display`
turns values into text, at the edge.

`None` means *not known* or *not asked*, never nought.

The JSON of a Batch (`batch_json`) is a public interface: change `VERSION` when a field changes its meaning
or goes; adding one does not.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

VERSION = 1


@dataclass(frozen=True, slots=True)
class Extent:
    """A range, both ends in it. A single value has `low == high`."""

    low: Fraction
    high: Fraction

    def __add__(self, other: Extent) -> Extent:
        return Extent(self.low + other.low, self.high + other.high)

    def times(self, factor: Fraction) -> Extent:
        return Extent(self.low * factor, self.high * factor)


@dataclass(frozen=True, slots=True)
class Where:
    """The text a value came from: file, and line and column counted from 1, the end one past the last."""

    file: str
    line: int
    column: int
    end_line: int
    end_column: int


# ---------------------------------------------------------------- what was asked


@dataclass(frozen=True, slots=True)
class Asked:
    """The request. `words` says it as the cook would (`as written`, `36 rounds`, `2 times`).

    `limited_by` names what ran out first when it was asked what the cupboard allows.
    """

    times: Fraction
    words: str
    on: str
    measures: str
    temperatures: Literal["C", "F"]
    currency: str
    limited_by: str | None = None


@dataclass(frozen=True, slots=True)
class Yield:
    """What the batch makes.

    `count` pieces called `noun` (either may be unknown), `each` g a piece and `total` g in all as the recipe
    says it, `after_losses` when that is the finished weight. `formula` is the weight of the ingredients that
    go in, `finished` what is left of it after all losses and gains: both computed.
    """

    count: Fraction | None
    noun: str | None
    each: Fraction | None
    total: Fraction | None
    after_losses: bool
    formula: Fraction
    finished: Fraction
    losses: tuple[Loss, ...]
    where: Where | None


@dataclass(frozen=True, slots=True)
class Loss:
    """`percent` of what is there goes (`gain` False) or comes (`gain` True): `11 % in the bake`."""

    percent: Extent
    words: str
    gain: bool


# ---------------------------------------------------------------- the formula


@dataclass(frozen=True, slots=True)
class Line:
    """One ingredient line.

    name       as the recipe writes it
    food       the name of the ingredient or recipe it is; equal to `name` when nobody has stated facts
    recipe     the recipe whose product it is, or None
    kind       the food's kind (`flour`, `milk`), None when nobody stated one
    weight     g; None when it is `to taste` or cannot be worked out
    percent    of its part's base; None without a base, and for lines outside the formula
    count      pieces, with `noun`, where it is measured by count
    volume     ml, where the recipe measures it by volume
    written    the amount as the recipe writes it (`2 tsp`, `145 %`, `to taste`)
    division   g; the step of the scale it is weighed on; None when the kitchen names no scale
    purpose    `for the pan`: outside the ratios and the yield, in the cost and the allergens
    to_taste   true for `to taste` and `and to taste`
    note       what else the line says after a comma (`softened`)
    bought     g as bought, where the line says `as bought`: what to weigh before it is trimmed
    lent       a preferment's seed: culture that is given back, outside weights, ratios and cost
    """

    name: str
    food: str
    recipe: str | None
    kind: str | None
    weight: Fraction | None
    percent: Fraction | None
    count: Fraction | None
    noun: str | None
    volume: Fraction | None
    written: str
    division: Fraction | None
    purpose: str | None
    to_taste: bool
    is_base: bool
    where: Where
    note: str | None = None
    lent: bool = False
    bought: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """A list of ingredients: the main formula (`name` None), a filling, a glaze, a preferment, a soaker.

    `base` names what is 100 % (empty when nothing is); `weight` is the sum of the lines inside the formula.

    Preferments and soakers are drawn out of the main formula. Where there are any, `main` is the overall
    formula, each of them has a part of its own, and a part with the role `final` holds the final dough: what is
    left of each line, and the preferments and soakers that go in. Steps then draw from those, not from `main`.
    `share` is per hundred of the flour that a preferment takes.
    """

    name: str | None
    role: Literal["main", "part", "preferment", "soaker", "final"]
    base: tuple[str, ...]
    base_weight: Fraction | None
    lines: tuple[Line, ...]
    weight: Fraction
    share: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Ratio:
    """A ratio of the main formula.

    `name` is `hydration`, `water in all`, `salt`, `yeast`, `sugar`, `fat`, ...; `value` is per hundred of
    `basis` (`flour`, the base's name, `total`). `usual` is the range it is held against, from `usual_from`
    (a style's name, or `expect`); `verdict` is None when nothing asks for it. `word` tells a yeast's type.
    """

    name: str
    value: Fraction
    basis: str
    usual: Extent | None
    usual_from: str | None
    verdict: Literal["inside", "below", "above"] | None
    word: str | None = None


# ---------------------------------------------------------------- the method


@dataclass(frozen=True, slots=True)
class TextRun:
    """Prose between facts, as written."""

    text: str
    run: Literal["text"] = "text"


@dataclass(frozen=True, slots=True)
class DrawRun:
    """Something taken from the formula: `text` as written (`half the caster sugar`), and how much that is.

    `whole` is true when it takes all there is of the line at once. `line` is the index (part, line) of what
    is drawn in `Batch.parts`, None for a part or preferment drawn by name.
    """

    text: str
    name: str
    weight: Fraction | None
    count: Fraction | None
    noun: str | None
    volume: Fraction | None
    division: Fraction | None
    whole: bool
    line: tuple[int, int] | None
    run: Literal["draw"] = "draw"


@dataclass(frozen=True, slots=True)
class DurationRun:
    text: str
    duration: Extent
    hands_off: bool
    limit: Literal["at least", "up to"] | None
    run: Literal["duration"] = "duration"


@dataclass(frozen=True, slots=True)
class TurnsRun:
    """`3 times, every 30 min`."""

    text: str
    times: Extent
    every: Extent | None
    run: Literal["turns"] = "turns"


@dataclass(frozen=True, slots=True)
class TemperatureRun:
    """`place` is `oven`, `fan oven`, `pan`, `oil`, `core`, `dough`, `room`, `fridge`, `freezer` or None.

    `of` names whose core it is. `minimum` is true where a lower reading would not be safe: never show it
    rounded down.
    """

    text: str
    temperature: Extent
    place: str | None
    of: str | None
    minimum: bool = False
    run: Literal["temperature"] = "temperature"


@dataclass(frozen=True, slots=True)
class ChangeRun:
    """`60 C to 21 C in 2 h`; a limit when `within`."""

    text: str
    start: Extent
    end: Extent
    duration: Extent
    within: bool
    run: Literal["change"] = "change"


@dataclass(frozen=True, slots=True)
class LoadRun:
    """`4 at a time`, and how many `loads` this batch takes, if that can be told."""

    text: str
    at_a_time: Extent
    loads: Extent | None
    run: Literal["load"] = "load"


@dataclass(frozen=True, slots=True)
class MeasureRun:
    """`2 cm` (`lengths`), `8 pieces` (`count`), `18 g each` (`weight`), `the pieces`, `each piece`."""

    text: str
    lengths: tuple[Extent, ...]
    count: Fraction | None
    noun: str | None
    weight: Extent | None
    run: Literal["measure"] = "measure"


Run: TypeAlias = (
    TextRun | DrawRun | DurationRun | TurnsRun | TemperatureRun | ChangeRun | LoadRun | MeasureRun
)


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the method. `lines` are its prose lines, each a run of text and facts.

    `after` and `during` are step numbers, counted from 1.
    """

    number: int
    name: str
    part: str | None
    after: tuple[int, ...]
    during: int | None
    lines: tuple[tuple[Run, ...], ...]
    hands_on: Extent
    hands_off: Extent
    where: Where


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of the day plan: one step's work from `start` to `end` seconds after the beginning.

    `heats` is true where only an oven or a pan gets hot.
    """

    step: int
    start: Fraction
    end: Fraction
    hands_off: bool
    heats: bool = False


@dataclass(frozen=True, slots=True)
class Times:
    """How long it takes, one cook, every load: `hands_on` and `elapsed` in seconds.

    `plan` lays the steps out with the long end of every range, heating included; steps without a duration take no
    time in it, and `untimed` counts them.
    """

    hands_on: Extent
    hands_off: Extent
    elapsed: Extent
    plan: tuple[Stretch, ...]
    untimed: int


@dataclass(frozen=True, slots=True)
class WaterFor:
    """How warm the water must be for the dough temperature a step asks for. Degrees Celsius, g.

    `liquid` names what is poured: water, or the milk that stands in for it.

    `by_rule` is the bench rule (for doughs), `by_balance` the heat balance by masses and specific heats; None
    where a rule does not apply or a fact is missing. Below nought, or below what the tap gives, `ice` g of the
    `water` g go in as ice. `friction` is the factor of the bench rule, a difference of temperatures, of which the
    dough's own rise is a third. `assumed` says what nobody stated.
    """

    step: int
    target: Extent
    liquid: str
    water: Fraction
    by_rule: Extent | None
    by_balance: Extent | None
    ice: Extent | None
    room: Fraction
    flour: Fraction
    friction: Fraction
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Equipment:
    """A line of `equipment`. `count` where it says how many; `holds` g where it says so by weight."""

    name: str
    count: Fraction | None
    instead: str | None
    holds: Fraction | None = None


# ---------------------------------------------------------------- the money


@dataclass(frozen=True, slots=True)
class PriceUsed:
    """The price a line was costed with. `pack` is as written (`8 x 7 g`), `money` what one pack costs.

    `pack_weight` g or `pack_count` pieces: whichever the cost was worked out from. `age` in days on the day
    of asking; `stale` when the kitchen says that is too old.
    """

    item: str
    shop: str
    date: str
    money: Fraction
    currency: str
    pack: str
    pack_weight: Fraction | None
    pack_count: Fraction | None
    special: bool
    age: int
    stale: bool
    where: Where


@dataclass(frozen=True, slots=True)
class CostLine:
    """What one ingredient costs in this batch.

    Lines of the same food are added together; `weight` is as bought, what the trim takes off included.
    `cost` is None when no price can be used (`note` says why);
    `note` is one of '', 'free', 'to taste', 'no price', 'other currency', 'from its recipe'.
    `share` is per hundred of the total.
    """

    item: str
    weight: Fraction | None
    count: Fraction | None
    noun: str | None
    price: PriceUsed | None
    cost: Fraction | None
    share: Fraction | None
    note: str


@dataclass(frozen=True, slots=True)
class ShopsOwn:
    """What the shop asks for the same thing: `instead of`.

    `share` is what this batch's cost is per hundred of the shop's price, by the piece where both count pieces,
    else by weight (the trade's food-cost percentage, were the shop's price the menu's). None where the cost is
    not complete.
    """

    item: str
    price: PriceUsed
    each: Fraction | None
    per_100_g: Fraction | None
    share: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Cost:
    """`total` sums the lines whose cost is known; `complete` is false when one is missing.

    `each` per piece, `portion` per serving, `per_100_g` per finished weight.
    """

    currency: str
    lines: tuple[CostLine, ...]
    total: Fraction
    complete: bool
    each: Fraction | None
    noun: str | None
    portion: Fraction | None
    per_100_g: Fraction | None
    shops_own: tuple[ShopsOwn, ...]


# ---------------------------------------------------------------- who may not eat it, and what can hurt


@dataclass(frozen=True, slots=True)
class Allergen:
    """An allergen in the law's words, and the lines of the recipe it comes with."""

    name: str
    foods: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Allergens:
    """`law` names the list used; `union` is true when the kitchen names none and all lists are joined.
    `not_stated` holds the foods of which nobody has said what they contain: never to be shown as none."""

    law: str
    union: bool
    contains: tuple[Allergen, ...]
    may_contain: tuple[str, ...]
    not_stated: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """Something that can hurt. `step` is the step it belongs beside, None for the whole recipe."""

    name: str
    text: str
    step: int | None
    source: str


@dataclass(frozen=True, slots=True)
class Keeps:
    """How long it keeps: `words` is the whole of it as written, `2 days in a tin`."""

    duration: Extent
    words: str


@dataclass(frozen=True, slots=True)
class Waived:
    """A check the recipe waives, with its reason; printed when it is one about safety."""

    rule: str
    reason: str
    safety: bool


# ---------------------------------------------------------------- the whole


@dataclass(frozen=True, slots=True)
class Batch:
    """One recipe, resolved. `revision` is a short hash of the text it was compiled from."""

    recipe: str
    kitchen: str | None
    file: str
    revision: str
    dated: str | None
    summary: str | None
    by: str | None
    tags: tuple[str, ...]
    asked: Asked
    makes: Yield
    serves: Fraction | None
    style: str | None
    equipment: tuple[Equipment, ...]
    parts: tuple[Part, ...]
    ratios: tuple[Ratio, ...]
    steps: tuple[Step, ...]
    times: Times
    cost: Cost
    allergens: Allergens
    cautions: tuple[Caution, ...]
    waived: tuple[Waived, ...]
    keeps: tuple[Keeps, ...]
    reheats: str | None
    waters: tuple[WaterFor, ...] = ()
    version: int = VERSION
