"""The ratios of a formula, and the ranges they are held against.

Each ratio has two readings. The plain one (`salt`, `sugar`, `fat`) is what is *added*: the weight, as poured,
of ingredients of that kind in the main formula. The other (`salt in all`, `water in all`) is what the
ingredients *carry*, by their stated facts. Flour is every ingredient of kind flour, and a starter's flour;
the flour's own moisture is never water.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from benchproof.compiler.batch import Extent, Ratio
from benchproof.compiler.formula import Carried, Formula, Item
from benchproof.compiler.kitchen import Style
from benchproof.compiler.syntax import Bound, Entry, Numeric, Percentage, name_key

HYDRATING: Final = frozenset({"liquid", "milk", "plant milk"})
"""Kinds that count in hydration, as poured: water, milk, buttermilk, plant milks, juice, stock, beer, wine."""

_FATS: Final = frozenset({"fat", "oil"})
_SUGARS: Final = frozenset({"sugar", "syrup"})

OPEN: Final = Fraction(10**9)
"""From here on the end of a range is open (`at least 70 %`)."""

YEASTS: Final[dict[str, tuple[Fraction, str]]] = {
    "instant yeast": (Fraction(1), "instant"),
    "active dry yeast": (Fraction(3, 4), "active dry"),
    "fresh yeast": (Fraction(1, 3), "fresh"),
}
"""What a gram of each yeast is as instant. Source: Hamelman, *Bread*, and Gisslen, *Professional Baking*,
ingredient chapters (instant 33 to 40 % of fresh, from memory); active dry at three quarters is common
practice, no source."""

_CARRIED: Final[dict[str, Carried]] = {
    "water in all": "water",
    "salt in all": "salt",
    "sugar in all": "sugar",
    "fat in all": "fat",
    "milk solids": "milk_solids",
}
RATIO_NAMES: Final = {"water": "water in all", "milk solids in all": "milk solids"}
"""Two names for one ratio."""
_PRINTED: Final = (
    "hydration",
    "water in all",
    "prefermented flour",
    "inoculation",
    "salt",
    "yeast",
    "sugar",
    "fat",
)


def flour_in(item: Item) -> Fraction | None:
    """g of flour in a line: all of a flour, a starter's share, what a raw product was made with.

    None for a starter whose water nobody stated.
    """
    if item.weight is None:
        return Fraction(0)
    if item.product is not None:
        return _of_product(item, item.product, flour_in)
    if item.kind == "starter" and item.food is not None:
        if item.food.flour is not None:
            return item.weight * item.food.flour
        return None if item.food.hydration is None else item.weight / (1 + item.food.hydration)
    return item.weight if item.kind == "flour" else Fraction(0)


def poured_in(item: Item) -> Fraction | None:
    """g of added liquid in a line, as poured; a starter's water is what is not its flour. None as above."""
    if item.weight is None:
        return Fraction(0)
    if item.product is not None:
        return _of_product(item, item.product, poured_in)
    if item.kind == "starter":
        flour = flour_in(item)
        return None if flour is None else item.weight - flour
    return item.weight if item.kind in HYDRATING else Fraction(0)


def _of_product(item: Item, product: Formula, part: Callable[[Item], Fraction | None]) -> Fraction | None:
    """What a raw product brings of flour or liquid; a cooked one brings neither."""
    if not product.raw or not product.finished or item.weight is None:
        return Fraction(0)
    found = _sum(part(one) for one in product.items() if one.inside)
    return None if found is None else found * item.weight / product.finished


def _sum(values: Iterable[Fraction | None]) -> Fraction | None:
    """The sum, None when one of them is not known."""
    total = Fraction(0)
    for value in values:
        if value is None:
            return None
        total += value
    return total


@dataclass(frozen=True)
class Basis:
    """What a ratio is of: its name as printed, and g of it in the formula."""

    name: str
    weight: Fraction


class Ratios:
    """Every ratio of the main formula, by name, per hundred of a basis."""

    def __init__(self, formula: Formula, basis: Basis) -> None:
        main = formula.main
        self.items = [item for item in main.items if item.inside] if main else []
        self.preferments = [part for part in formula.parts if part.role == "preferment"]
        final = next((part for part in formula.parts if part.role == "final"), main)
        self.final = final.items if final else ()
        self.basis = basis

    def value(self, name: str) -> Fraction | None:
        """A ratio by name; None when the name is none, or a fact it needs is not stated."""
        name = RATIO_NAMES.get(name, name)
        weight = self._weight(name)
        return weight * 100 / self.basis.weight if weight is not None else None

    def _weight(self, name: str) -> Fraction | None:
        if name == "hydration":
            return _sum(poured_in(item) for item in self.items)
        if name == "yeast":
            return self._added(YEASTS, lambda kind: YEASTS[kind][0])
        if name == "fat":
            return self._added(_FATS)
        if name == "sugar":
            return self._added(_SUGARS)
        if name in _CARRIED:
            return self._carried(_CARRIED[name])
        if name == "inoculation":
            return self._added({"starter"})
        if name == "prefermented flour":
            inside = [item for part in self.preferments for item in part.items if not item.lent]
            starters = [item for item in self.final if item.kind == "starter" and item.inside]
            return _sum(map(flour_in, [*starters, *inside]))
        named = [item for item in self.items if item.kind == name or name in item.keys]
        if named or name in _KNOWN_KINDS:
            return sum((item.weight for item in named if item.weight), Fraction(0))
        return None

    def _added(self, kinds: Container[str], worth: Callable[[str], Fraction] | None = None) -> Fraction:
        """g added of some kinds, each gram worth so much."""
        return sum(
            (
                item.weight * (worth(item.kind) if worth else 1)
                for item in self.items
                if item.kind is not None and item.kind in kinds and item.weight
            ),
            Fraction(0),
        )

    def _carried(self, what: Carried) -> Fraction | None:
        def carried(item: Item) -> Fraction | None:
            if what == "water" and item.kind == "flour":
                return Fraction(0)
            if what == "water" and item.kind == "starter":
                return poured_in(item)
            if what == "milk_solids" and item.product is None and item.food is not None:
                return item.carries(what) or Fraction(0)  # unstated for all but milk products
            return item.carries(what)

        return _sum(carried(item) for item in self.items)

    def yeast_word(self) -> str | None:
        words = {YEASTS[item.kind][1] for item in self.items if item.kind in YEASTS}
        return words.pop() if len(words) == 1 else None


_KNOWN_KINDS: Final = frozenset({"salt", "egg", "butter"})


def flour_weight(formula: Formula) -> Fraction:
    """g of flour in the main formula, a starter's share included where it is known."""
    main = formula.main
    if main is None:
        return Fraction(0)
    return sum((flour_in(item) or Fraction(0) for item in main.items if item.inside), Fraction(0))


def basis_of(formula: Formula, style: Style | None) -> Basis | None:
    """What the ratios are of: what the style says, else flour, else the base, else the total.

    None when nothing asks for ratios: neither a base, a style nor an `expect` block is there.
    """
    main = formula.main
    if main is None or not main.weight:
        return None
    asked = style is not None or bool(main.base) or bool(formula.recipe.expect)
    if not asked:
        return None
    if style is not None and style.basis is not None and style.basis not in ("flour", "total"):
        weight = sum(
            (
                item.weight
                for item in main.items
                if item.inside and item.weight and style_names(style.basis, item)
            ),
            Fraction(0),
        )
        if weight:
            return Basis(style.basis, weight)
    flour = flour_weight(formula)
    if flour and (style is None or style.basis != "total"):
        return Basis("flour", flour)
    if main.base_weight and (style is None or style.basis != "total"):
        return Basis(" and ".join(main.base), main.base_weight)
    return Basis("total", main.weight)


def style_names(basis: str, item: Item) -> bool:
    key = name_key(basis)
    return key in item.keys or item.kind == basis


def bound_extent(entry: Entry) -> Extent | None:
    """A bound as a range per hundred; an open end is as far as it can go.

    Yeast is compared as instant: a bound for another (`4-8 %, fresh`) is turned into that.
    """
    bound = entry.value
    if not isinstance(bound, Bound) or not isinstance(bound.value, Percentage | Numeric):
        return None
    as_instant = next(
        (
            factor
            for factor, word in YEASTS.values()
            if entry.label.key == "yeast" and any(name_key(detail.text) == word for detail in entry.details)
        ),
        Fraction(1),
    )
    extent = _ends(bound, bound.value)
    return extent if extent.high >= OPEN else extent.times(as_instant)


def _ends(bound: Bound, value: Percentage | Numeric) -> Extent:
    number = value.number if isinstance(value, Percentage) else value
    if bound.word in ("under", "at most"):
        return Extent(Fraction(0), number.high)
    if bound.word in ("over", "at least"):
        return Extent(number.low, OPEN)
    return Extent(number.low, number.high)


def verdict(value: Fraction, bound: Bound | None, extent: Extent) -> Literal["inside", "below", "above"]:
    """Where a value lies; `under` and `over` do not include their own figure."""
    word = bound.word if bound else None
    if value < extent.low or (word == "over" and value == extent.low):
        return "below"
    if value > extent.high or (word == "under" and value == extent.high):
        return "above"
    return "inside"


def bounds_of(formula: Formula, style: Style | None) -> Iterator[tuple[str, str, Entry]]:
    """Every bound on a ratio: its name, who sets it, the entry. `expect` stands before the style's own."""
    seen: set[str] = set()
    for block in formula.recipe.expect:
        for entry in block.entries():
            if isinstance(entry.value, Bound) and isinstance(entry.value.value, Percentage):
                name = RATIO_NAMES.get(entry.label.key, entry.label.key)
                seen.add(name)
                yield name, "expect", entry
    for entry in style.bounds if style else ():
        name = RATIO_NAMES.get(entry.label.key, entry.label.key)
        if name not in seen:
            yield name, style.name if style else "", entry


def ratios(formula: Formula, style: Style | None) -> tuple[Ratio, ...]:
    """The ratios to print, those with a bound first in the order of the usual ones."""
    basis = basis_of(formula, style)
    if basis is None:
        return ()
    values = Ratios(formula, basis)
    bounded = {name: (source, entry) for name, source, entry in bounds_of(formula, style)}
    names = [*_PRINTED, *(name for name in bounded if name not in _PRINTED)]
    found: list[Ratio] = []
    for name in names:
        value = values.value(name)
        if value is None or (name not in bounded and not value):
            continue
        if name == "yeast" and not value and values.value("inoculation"):
            continue  # a starter raises it
        if name == "water in all" and name not in bounded and value == values.value("hydration"):
            continue
        usual: Extent | None = None
        source: str | None = None
        where: Literal["inside", "below", "above"] | None = None
        if name in bounded:
            source, entry = bounded[name]
            assert isinstance(entry.value, Bound)
            usual = bound_extent(entry)
            if usual is not None:
                where = verdict(value, entry.value, usual)
        found.append(
            Ratio(
                name,
                value,
                basis.name,
                usual,
                source if usual else None,
                where,
                values.yeast_word() if name == "yeast" else None,
            )
        )
    return tuple(found)
