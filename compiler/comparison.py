"""A Comparison: what changed between two versions of a recipe. Plain data, as `ratio_diff` finds it.

Exact values in the units of the Batch. The JSON of Comparisons is a public interface (`comparison.schema.json` is its
schema): change `VERSION` when a field changes its meaning or goes; adding one does not.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final, Literal, TypeAlias

from benchproof.compiler.batch import (
    Batch,
    ChangeRun,
    DrawRun,
    DurationRun,
    Extent,
    LoadRun,
    MeasureRun,
    PriceUsed,
    TemperatureRun,
    TurnsRun,
    Yield,
)
from benchproof.compiler.plain_json import plain_json, schema_of

VERSION: Final = 1

FactKind: TypeAlias = Literal["draw", "duration", "turns", "temperature", "change", "load", "measure"]
FactRun: TypeAlias = DrawRun | DurationRun | TurnsRun | TemperatureRun | ChangeRun | LoadRun | MeasureRun

# ---------------------------------------------------------------- what is compared


@dataclass(frozen=True, slots=True)
class Passage:
    """A heading and the lines under it, as written, without comments and with single blanks."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """One version of a recipe.

    what     which version, in words: `loaf.bench`, `recipes/loaf.bench at 1a2b3c4d`
    batch    what came of it as written; None where it does not compile, or is not there
    text     its own text; None where the recipe is not there
    why_not  a sentence that says why there is no Batch; empty where there is one
    """

    what: str
    batch: Batch | None
    text: tuple[Passage, ...] | None
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Plainly:
    """A file for a line-by-line comparison: its recipes, and all it says that no Batch shows, as written."""

    recipes: tuple[Side, ...]
    rest: tuple[Passage, ...]


# ---------------------------------------------------------------- what changed


@dataclass(frozen=True, slots=True)
class Seen:
    """A side as it was compared: `name` of the recipe, None where it is not there."""

    what: str
    name: str | None
    compiled: bool
    why_not: str


@dataclass(frozen=True, slots=True)
class TextChange:
    """Something told by its words: `what` it is, how it read and reads; None where it was or is not there."""

    what: str
    old: str | None
    new: str | None


@dataclass(frozen=True, slots=True)
class RatioChange:
    """A ratio, per hundred of a basis. `old_verdict` and `new_verdict` hold it against the usual range."""

    name: str
    old: Fraction | None
    new: Fraction | None
    old_basis: str | None
    new_basis: str | None
    old_verdict: Literal["inside", "below", "above"] | None
    new_verdict: Literal["inside", "below", "above"] | None


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of a line: g, per hundred of the base, pieces, ml; `written` as the recipe has it."""

    weight: Fraction | None
    percent: Fraction | None
    count: Fraction | None
    noun: str | None
    volume: Fraction | None
    written: str
    to_taste: bool


@dataclass(frozen=True, slots=True)
class IngredientChange:
    """A line that was added, went, was renamed, moved to another part, or whose amount changed on its own.

    `renamed` is the same food by another name, `replaced` another in the same amount; `old_food` and `new_food` are the
    names of the foods (or recipes) they are. `note` is what the line says beside its amount (`softened`).
    `part` and `new_part` name the lists it stands in, None the main one; `purpose` is `for the pan`.
    """

    kind: Literal["added", "gone", "renamed", "replaced", "moved", "amount", "note"]
    part: str | None
    new_part: str | None
    name: str
    new_name: str
    purpose: str | None
    old_food: str | None
    new_food: str | None
    old: Amount | None
    new: Amount | None
    old_note: str | None
    new_note: str | None


@dataclass(frozen=True, slots=True)
class PartChange:
    """A filling, preferment or soaker that was added or went; one that is `times` as large as the rest asks for
    (`size`); or a preferment that takes another `share` of the flour, per hundred."""

    kind: Literal["added", "gone", "size", "share", "base"]
    name: str | None
    role: str
    times: Fraction | None
    old: Fraction | None
    new: Fraction | None
    old_base: tuple[str, ...]
    new_base: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class YieldChange:
    """What is made of it. `as_asked` is true where only the count grew, and by as much as the batch."""

    old: Yield
    new: Yield
    as_asked: bool


@dataclass(frozen=True, slots=True)
class FactChange:
    """A time, temperature, draw or measure of a step: old, new, or None where it was added or went."""

    kind: FactKind
    old: FactRun | None
    new: FactRun | None


@dataclass(frozen=True, slots=True)
class StepChange:
    """A step that was added, went, or is otherwise than it was.

    `old_number` and `new_number` count from 1; `moved` where its place among the others changed; `reworded` where
    its words did, its facts apart. `waits` names what it waited for and waits for, where that changed.
    """

    kind: Literal["added", "gone", "changed"]
    old_number: int | None
    new_number: int | None
    old_name: str | None
    new_name: str | None
    moved: bool
    reworded: bool
    old_waits: tuple[str, ...] | None
    new_waits: tuple[str, ...] | None
    facts: tuple[FactChange, ...]


@dataclass(frozen=True, slots=True)
class TimeChange:
    """`hands-on` or `from start to end`, in seconds; None where no step says how long it takes."""

    what: Literal["hands-on", "from start to end"]
    old: Extent | None
    new: Extent | None


@dataclass(frozen=True, slots=True)
class PriceChange:
    """Another price for the same thing; None where there was or is none that can be used."""

    item: str
    old: PriceUsed | None
    new: PriceUsed | None


@dataclass(frozen=True, slots=True)
class CostChange:
    """What the batch and each piece cost. `old_complete` is false where a cost was missing.

    Where both are complete and in one currency, the batch's difference is `by_size` (it is larger), `by_amounts`
    (more or less of something, or something else) and `by_prices`, together; else these are None.
    """

    old_currency: str
    new_currency: str
    old_total: Fraction
    new_total: Fraction
    old_each: Fraction | None
    new_each: Fraction | None
    old_complete: bool
    new_complete: bool
    by_size: Fraction | None
    by_amounts: Fraction | None
    by_prices: Fraction | None
    prices: tuple[PriceChange, ...]


@dataclass(frozen=True, slots=True)
class AllergenChange:
    """An allergen that it has now (`gained`) or has no more (`lost`).

    `state` says in which of the lists: contained, a trace, or a food of which nobody has said what it contains.
    """

    kind: Literal["gained", "lost"]
    state: Literal["contains", "may contain", "not stated"]
    name: str
    foods: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CautionChange:
    """A caution gained, lost, or said otherwise; `waived` is a safety check the recipe sets aside with a reason."""

    kind: Literal["gained", "lost", "changed"]
    name: str
    waived: bool
    old: str | None
    new: str | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """What changed between two versions.

    `by` says what was compared: two Batches, two texts (where a side does not compile), or nothing, where the recipe
    is on one side only. `size` is how many times as large the batch is, 1 where it is not. `same_text` is true where
    not even the words differ.
    """

    by: Literal["batches", "texts", "nothing"]
    old: Seen
    new: Seen
    same_text: bool
    size: Fraction
    ratios: tuple[RatioChange, ...] = ()
    ingredients: tuple[IngredientChange, ...] = ()
    parts: tuple[PartChange, ...] = ()
    makes: YieldChange | None = None
    losses: tuple[TextChange, ...] = ()
    steps: tuple[StepChange, ...] = ()
    times: tuple[TimeChange, ...] = ()
    cost: CostChange | None = None
    allergens: tuple[AllergenChange, ...] = ()
    cautions: tuple[CautionChange, ...] = ()
    equipment: tuple[TextChange, ...] = ()
    said: tuple[TextChange, ...] = ()
    texts: tuple[TextChange, ...] = ()
    version: int = VERSION

    @property
    def empty(self) -> bool:
        """Whether nothing that a baker would notice changed."""
        return (
            self.by != "nothing"
            and self.size == 1
            and self.makes is None
            and self.cost is None
            and not (self.ratios or self.ingredients or self.parts or self.losses or self.steps or self.times)
            and not (self.allergens or self.cautions or self.equipment or self.said or self.texts)
        )


@dataclass(frozen=True, slots=True)
class Comparisons:
    """What changed in the recipes of two files, or of one file at two revisions."""

    recipes: tuple[Comparison, ...]
    version: int = VERSION


def comparison_json(comparisons: Comparisons) -> str:
    return plain_json(comparisons)


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of Comparisons."""
    return schema_of(Comparisons, VERSION)


def schema_json() -> str:
    return json.dumps(schema(), ensure_ascii=False, indent=2) + "\n"
