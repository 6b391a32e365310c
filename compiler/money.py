"""The money: which price is used, and what each line, piece and batch costs.

*Cost* is always the cost of what is used, at the price of the pack it came from; whole packs are another
question. The price used is the newest one not dated after the day of asking; between shops of the same day,
the cheaper. What the trim takes off is paid for. Exact throughout.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from benchproof.compiler import quantities
from benchproof.compiler.batch import Cost, CostLine, PriceUsed, ShopsOwn, Where
from benchproof.compiler.display import NO_CURRENCY
from benchproof.compiler.food import INNER_WORDS, Food
from benchproof.compiler.formula import Formula, Item, same_word
from benchproof.compiler.kitchen import Kitchen, Priced
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import Name, Words, name_key


def where(span: Span) -> Where:
    """A span as file, line and column."""
    line, column = span.source.position(span.first)
    end_line, end_column = span.source.position(span.last)
    return Where(span.source.name, line, column, end_line, end_column)


@dataclass(frozen=True, slots=True)
class PackSize:
    """What a price buys: g, ml or pieces, each None where it cannot be told."""

    weight: Fraction | None
    volume: Fraction | None
    count: Fraction | None


def pack_size(line: Priced, food: Food | None, measures: str) -> PackSize:
    """A pack in every way it can be told: pieces through the piece weight, volumes through the density."""
    pack = line.price.pack
    if pack is None:
        return PackSize(None, None, None)
    count = pack.count
    if pack.each is None:
        assert count is not None
        piece = food.piece if food else None
        return PackSize(count * piece if piece else None, None, count)
    amount = quantities.base(pack.each.low, measures) * (count if count is not None else 1)
    if pack.each.dimension == "volume":
        density = food.density if food else None
        return PackSize(amount * density if density else None, amount, count)
    return PackSize(amount, None, count)


def choose(lines: Iterable[Priced], food: Food | None, on: str, measures: str) -> Priced | None:
    """The newest price not dated after `on`; of several that day the cheapest by weight, then as written."""
    past = [line for line in lines if line.date <= on]
    if not past:
        return None
    newest = max(line.date for line in past)
    today = [line for line in past if line.date == newest]
    return min(today, key=lambda line: _dearness(line, food, measures))


def _dearness(line: Priced, food: Food | None, measures: str) -> tuple[int, Fraction]:
    """For finding the cheapest: free first, then by the gram, the millilitre or the piece."""
    if line.price.money is None:
        return 0, Fraction(0)
    size = pack_size(line, food, measures)
    for rank, amount in enumerate((size.weight, size.volume, size.count), 1):
        if amount:
            return rank, line.price.money / amount
    return 4, line.price.money


def age_in_days(of: str, on: str) -> int:
    return (date.fromisoformat(on) - date.fromisoformat(of)).days


class Costs:
    """Costs of a kitchen's formulas on one day."""

    def __init__(self, kitchen: Kitchen, on: str) -> None:
        self.kitchen = kitchen
        self.on = on
        self.measures = kitchen.settings.measures
        self.currency = kitchen.settings.currency or _only_currency(kitchen) or NO_CURRENCY
        self._totals: dict[str, tuple[Fraction, bool]] = {}

    def price_of(self, name: Name, food: Food | None) -> Priced | None:
        """The price used for a name; what the list calls it goes before the food's other names."""
        own = choose(self.kitchen.priced([name.key]), food, self.on, self.measures)
        if own is not None or food is None:
            return own
        return choose(self.kitchen.priced(sorted(food.keys)), food, self.on, self.measures)

    def used(self, line: Priced, food: Food | None) -> PriceUsed:
        size = pack_size(line, food, self.measures)
        age = age_in_days(line.date, self.on)
        limit = self.kitchen.settings.stale_after
        return PriceUsed(
            line.item.text,
            line.shop,
            line.date,
            line.price.money or Fraction(0),
            line.currency or NO_CURRENCY,
            line.price.pack.span.text if line.price.pack else "free",
            size.weight,
            size.count,
            line.special,
            age,
            limit is not None and age > limit and line.price.money is not None,
            where(line.span),
        )

    def cost(self, formula: Formula, factor: Fraction, pieces: Fraction | None = None) -> Cost:
        """What a batch `factor` times the written one costs, line by line; `pieces` times as many pieces."""
        drafts: dict[str, list[Item]] = {}
        for part in formula.parts:
            if part.role in ("main", "part"):
                for item in part.items:
                    drafts.setdefault(min(item.keys), []).append(item)
        lines = [self._line(items, factor) for items in drafts.values()]
        known = [line.cost for line in lines if line.cost is not None]
        total = sum(known, Fraction(0))
        shared = tuple(
            CostLine(
                line.item,
                line.weight,
                line.count,
                line.noun,
                line.price,
                line.cost,
                line.cost * 100 / total if line.cost is not None and total else None,
                line.note,
            )
            for line in lines
        )
        complete = all(line.cost is not None for line in lines) and all(
            self.total(item.product)[1] for item in formula.items() if item.product is not None
        )
        makes = formula.makes
        count = makes.count.low * (pieces or factor) if makes and makes.count else None
        finished = formula.finished * factor
        each = total / count if count else None
        per_100_g = total * 100 / finished if finished else None
        return Cost(
            self.currency,
            shared,
            total,
            complete,
            each,
            makes.noun.text if count and makes and makes.noun else None,
            total / (formula.serves * factor) if formula.serves else None,
            per_100_g,
            tuple(
                replace(own, share=_share_of(own, each, per_100_g) if complete else None)
                for own in self._shops_own(formula)
            ),
        )

    def total(self, formula: Formula) -> tuple[Fraction, bool]:
        """What a recipe costs at its own size, and whether every line of it has a price."""
        key = formula.recipe.name.key
        if key not in self._totals:
            cost = self.cost(formula, Fraction(1))
            self._totals[key] = (cost.total, cost.complete)
        return self._totals[key]

    def _line(self, items: list[Item], factor: Fraction) -> CostLine:
        """Lines of one food, added together."""
        first = items[0]
        weights = [item.bought * factor for item in items if item.bought is not None]
        counts = [item.count * factor for item in items if item.count is not None]
        counted = len(counts) == len(items) and len({item.noun for item in items}) == 1
        price = None if first.product else self.price_of(first.name, first.food)
        used = self.used(price, first.food) if price else None
        costs: list[Fraction] = []
        note = ""
        for item in items:
            cost, reason = self._item(item, price)
            if cost is None:
                return CostLine(
                    first.name.text,
                    sum(weights, Fraction(0)) if weights else None,
                    sum(counts, Fraction(0)) if counted else None,
                    first.noun if counted else None,
                    used,
                    None,
                    None,
                    reason,
                )
            costs.append(cost * factor)
            note = note or reason
        return CostLine(
            first.name.text,
            sum(weights, Fraction(0)) if weights else None,
            sum(counts, Fraction(0)) if counted else None,
            first.noun if counted else None,
            used,
            sum(costs, Fraction(0)),
            None,
            note,
        )

    def _item(self, item: Item, price: Priced | None) -> tuple[Fraction | None, str]:
        """What one line costs at the recipe's own size, and a note; None when it cannot be told."""
        if item.weight is None and item.to_taste:
            return Fraction(0), "to taste"
        if item.product is not None:
            total, complete = self.total(item.product)
            finished = item.product.finished
            if item.weight is None or not finished or not complete:
                return None, "no price"
            return total * item.weight / finished, "from its recipe"
        if (
            price is not None
            and price.price.money is not None
            and price.currency not in (None, self.currency)
        ):
            return None, "other currency"
        if price is None:
            return None, "no price"
        if price.price.money is None:
            return Fraction(0), "free"
        size = pack_size(price, item.food, self.measures)
        amount = self._packs(item, size)
        if amount is None:
            return None, "no price"
        return price.price.money * amount, ""

    @staticmethod
    def _packs(item: Item, size: PackSize) -> Fraction | None:
        """How many packs a line uses up: by pieces, by volume or by weight, whichever both sides have."""
        plain = item.count is not None and not (
            item.noun and item.food and any(same_word(word, name_key(item.noun)) for word in item.food.words)
        )
        inner = item.noun is not None and name_key(item.noun) in INNER_WORDS
        if (plain or inner) and item.count is not None and size.count and (inner or size.weight is None):
            return item.count / size.count
        if plain and size.count and item.food is not None and item.food.piece:
            return item.bought / (item.food.piece * size.count) if item.bought is not None else None
        if item.bought is not None and size.weight:
            return item.bought / size.weight
        if item.volume is not None and size.volume:
            return item.volume / size.volume
        return None

    def _shops_own(self, formula: Formula) -> Iterable[ShopsOwn]:
        for entry in formula.recipe.block.entries():
            if entry.label.key != "instead of" or not isinstance(entry.value, Words):
                continue
            name = Name(entry.value.text, entry.value.span)
            price = self.price_of(name, None)
            if price is None or price.price.money is None:
                continue
            size = pack_size(price, None, self.measures)
            yield ShopsOwn(
                name.text,
                self.used(price, None),
                price.price.money / size.count if size.count else None,
                price.price.money * 100 / size.weight if size.weight else None,
            )


def _share_of(own: ShopsOwn, each: Fraction | None, per_100_g: Fraction | None) -> Fraction | None:
    """The cost per hundred of the shop's price, piece against piece or else weight against weight."""
    for ours, theirs in ((each, own.each), (per_100_g, own.per_100_g)):
        if ours is not None and theirs:
            return ours * 100 / theirs
    return None


def _only_currency(kitchen: Kitchen) -> str | None:
    """The currency of all the price lists, when they have one."""
    found = {line.currency for lines in kitchen.prices.values() for line in lines if line.currency}
    return found.pop() if len(found) == 1 else None
