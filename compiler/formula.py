"""A formula: what the recipe's lists come to, line by line, at the size the recipe is written in.

Data, and what follows from it: weights inside the formula, what is left after losses, what a product carries.
`weights` works the lines out. Exact throughout.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal, TypeAlias

from benchproof.compiler import quantities
from benchproof.compiler.batch import Extent
from benchproof.compiler.findings import Finding
from benchproof.compiler.food import Food
from benchproof.compiler.kitchen import Recipe
from benchproof.compiler.syntax import (
    Block,
    Entry,
    Makes,
    Name,
)

Carried: TypeAlias = Literal["water", "fat", "sugar", "salt", "milk_solids"]


@dataclass(frozen=True, slots=True)
class Item:
    """One ingredient line, at the recipe's own size.

    `weight` is g as it goes in, `bought` g as bought, `count` pieces, `volume` ml; None where it is not so
    measured or cannot be known. `product` is the formula of the recipe whose product it is.
    """

    entry: Entry
    name: Name
    part: int
    food: Food | None
    product: Formula | None
    weight: Fraction | None
    bought: Fraction | None
    count: Fraction | None
    noun: str | None
    volume: Fraction | None
    purpose: str | None
    note: str | None
    to_taste: bool
    is_base: bool = False
    lent: bool = False

    @property
    def inside(self) -> bool:
        """Whether it counts in the ratios and the yield."""
        return self.purpose is None and self.weight is not None and not self.lent

    def share(self, weight: Fraction) -> Item:
        """The same line with another weight, and the count and volume that go with it."""
        assert self.weight
        part = weight / self.weight

        def of(amount: Fraction | None) -> Fraction | None:
            return amount * part if amount is not None else None

        return replace(
            self, weight=weight, bought=of(self.bought), count=of(self.count), volume=of(self.volume)
        )

    @property
    def keys(self) -> frozenset[str]:
        """Every name it answers to."""
        if self.product is not None:
            return self.product.recipe.keys | {self.name.key}
        return (self.food.keys if self.food else frozenset()) | {self.name.key}

    @property
    def kind(self) -> str | None:
        return "prepared" if self.product is not None else self.food.kind if self.food else None

    def carries(self, what: Carried) -> Fraction | None:
        """g of water, fat, sugar, salt or milk solids in the line; None when nobody stated it."""
        if self.weight is None:
            return None
        if self.product is not None:
            inside = self.product.carries(what)
            finished = self.product.finished
            return inside * self.weight / finished if inside is not None and finished else None
        share = getattr(self.food, what) if self.food else None
        return None if share is None else self.weight * share


@dataclass(frozen=True, slots=True)
class FormulaPart:
    """A list of ingredients and what is 100 % in it; roles and `share` as in `batch.Part`."""

    name: Name | None
    role: Literal["main", "part", "preferment", "soaker", "final"]
    block: Block
    items: tuple[Item, ...]
    base: tuple[str, ...] = ()
    base_weight: Fraction | None = None
    share: Fraction | None = None

    @property
    def weight(self) -> Fraction:
        return sum((item.weight for item in self.items if item.inside and item.weight), Fraction(0))


@dataclass(frozen=True, slots=True)
class LossOrGain:
    percent: Extent
    words: str
    gain: bool
    before_scaling: bool

    @property
    def factor(self) -> Fraction:
        """What a gram becomes, at the middle of the range."""
        share = (self.percent.low + self.percent.high) / 200
        return 1 + share if self.gain else 1 - share


@dataclass(frozen=True)
class Formula:
    """A recipe's formula at its own size. `sound` is false when a line could not be weighed."""

    recipe: Recipe
    parts: tuple[FormulaPart, ...]
    makes: Makes | None
    losses: tuple[LossOrGain, ...]
    serves: Fraction | None
    sound: bool
    findings: tuple[Finding, ...]
    _carried: dict[str, Fraction | None] = field(default_factory=dict, repr=False, compare=False)

    @property
    def listed(self) -> tuple[FormulaPart, ...]:
        """The lists of ingredients: what is drawn out of them is not counted again."""
        return tuple(part for part in self.parts if part.role in ("main", "part"))

    @property
    def drawable(self) -> tuple[int, ...]:
        """Which parts the method draws from: with preferments or soakers, the final dough, not the whole."""
        final = any(part.role == "final" for part in self.parts)
        return tuple(number for number, part in enumerate(self.parts) if not (final and part.role == "main"))

    def items(self) -> Iterator[Item]:
        """Every line of the lists of ingredients."""
        for part in self.listed:
            yield from part.items

    @property
    def main(self) -> FormulaPart | None:
        return next((part for part in self.parts if part.role == "main"), None)

    @property
    def weight(self) -> Fraction:
        """g of all that goes in, outside purposes left out."""
        return sum((part.weight for part in self.listed), Fraction(0))

    @property
    def scaled(self) -> Fraction:
        """g at the moment the pieces are weighed off."""
        return self._after(loss for loss in self.losses if loss.before_scaling)

    @property
    def finished(self) -> Fraction:
        """g after all losses and gains."""
        return self._after(self.losses)

    def _after(self, losses: Iterable[LossOrGain]) -> Fraction:
        weight = self.weight
        for loss in losses:
            weight *= loss.factor
        return weight

    @property
    def each(self) -> Fraction | None:
        """g of a finished piece, worked out from the formula."""
        count = self.makes.count if self.makes else None
        return self.finished / count.low if count is not None and count.low else None

    @property
    def raw(self) -> bool:
        """Whether nothing was lost or gained in cooking: its flour is still flour, its water still poured."""
        return self.finished == self.scaled

    def carries(self, what: Carried) -> Fraction | None:
        """g of it in the whole product; losses and gains are water, the flour's own moisture is not.

        None when a line's is not stated.
        """
        if what not in self._carried:
            total: Fraction | None = Fraction(0)
            for item in self.items():
                if not item.inside or total is None or (what == "water" and item.kind == "flour"):
                    continue
                carried = item.carries(what)
                total = None if carried is None else total + carried
            if what == "water" and total is not None:
                total = max(total + self.finished - self.weight, Fraction(0))
            self._carried[what] = total
        return self._carried[what]


def made_weight(makes: Makes | None, measures: str) -> Fraction | None:
    """g of the whole yield as the recipe says it; None when it gives no weight."""
    if makes is None:
        return None
    if makes.total is not None:
        return quantities.base(makes.total.low, measures) if makes.total.dimension == "mass" else None
    if makes.each is None or makes.count is None or makes.each.dimension != "mass":
        return None
    return makes.count.low * quantities.base(makes.each.low, measures)


def same_word(one: str, other: str) -> bool:
    """One word, singular or plural: for the words beside a number, never for names."""
    return bool(_forms(one) & _forms(other))


def _forms(word: str) -> frozenset[str]:
    """A word and what it may be the plural of: cloves, loaves, tomatoes, berries."""
    endings = (("s", ""), ("es", ""), ("ves", "f"), ("ves", "fe"), ("ies", "y"))
    forms = {word[: -len(end)] + instead for end, instead in endings if word.endswith(end)}
    return frozenset({word, *(form for form in forms if len(form) > 1)})
