"""Prices: missing, old, slipped, in two currencies."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from fractions import Fraction
from statistics import median_low
from typing import Final

from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import UnknownCurrency, currency_digits, number, rounded
from benchproof.compiler.findings import Also, Finding
from benchproof.compiler.formula import Item
from benchproof.compiler.kitchen import Kitchen, Priced
from benchproof.compiler.money import age_in_days, choose, pack_size
from benchproof.compiler.rules import find
from benchproof.compiler.syntax import Name, PricesHeading, Words

_APART: Final = Fraction(5)
"""How many times dearer or cheaper than its fellows a price must be before a slip is asked about."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    batch = compiled.batch
    if batch is None:
        return
    yield from _lines(compiled, kitchen, batch.asked.on)
    yield from _instead(compiled, kitchen, batch.asked.on)
    yield from _mixed(compiled, kitchen, batch.asked.on)


def _bought(compiled: Compiled) -> Iterator[Item]:
    """Each food once, those of recipes used as ingredients left to their own recipe."""
    seen: set[str] = set()
    for item in compiled.formula.items():
        if item.product is None and item.name.key not in seen:
            seen.add(item.name.key)
            yield item


def _candidates(item: Item, kitchen: Kitchen) -> list[Priced]:
    own = kitchen.priced([item.name.key])
    return own or (kitchen.priced(sorted(item.food.keys)) if item.food else [])


def _lines(compiled: Compiled, kitchen: Kitchen, on: str) -> Iterator[Finding]:
    if not kitchen.prices or compiled.batch is None:
        return
    unknown = {line.item for line in compiled.batch.cost.lines if line.note == "no price"}
    for item in _bought(compiled):
        candidates = _candidates(item, kitchen)
        used = choose(candidates, item.food, on, kitchen.settings.measures)
        name = item.name
        if used is None:
            if item.to_taste and item.weight is None:
                continue
            later = f" before or on {on}" if candidates else ""
            yield find(
                "price-missing",
                name.span,
                f"{name.text} has no price{later}: the cost leaves it out.",
                f"Add it to a price list (`{name.text}: 2.50 for 500 g`), or write `{name.text}: free`.",
                also=tuple(Also(line.span, f"this one is of {line.date}") for line in candidates[:1]),
            )
            continue
        if name.text in unknown and used.price.pack is not None:
            yield find(
                "price-without-size",
                name.span,
                f"{name.text} is bought as {used.price.pack.span.text} and used as "
                f"{item.entry.value.span.text}: nobody has said how the two compare.",
                f"Add to `ingredient {name.text}` a `piece` or a `density`, or write the pack by weight.",
                also=(Also(used.span, "the price"),),
            )
        limit = kitchen.settings.stale_after
        age = age_in_days(used.date, on)
        if limit is not None and age > limit and used.price.money is not None:
            yield find(
                "price-stale",
                name.span,
                f"The price of {name.text} is {age} days old; this kitchen doubts prices after {limit} days.",
                "Look at the shelf again and add a new price list.",
                also=(Also(used.span, f"the price, of {used.date}"),),
            )


def _instead(compiled: Compiled, kitchen: Kitchen, on: str) -> Iterator[Finding]:
    for entry in compiled.recipe.block.entries():
        if entry.label.key != "instead of" or not isinstance(entry.value, Words):
            continue
        name = Name(entry.value.text, entry.value.span)
        if choose(kitchen.priced([name.key]), None, on, kitchen.settings.measures) is None:
            yield find(
                "no-price-for-instead",
                entry.value.span,
                f"No price list has “{entry.value.text}”, so there is nothing to compare with.",
                f"Add it to a price list, in the form `{entry.value.text}: 4.40 for 6 of 55 g`.",
            )


def _mixed(compiled: Compiled, kitchen: Kitchen, on: str) -> Iterator[Finding]:
    used = [
        (item, line)
        for item in _bought(compiled)
        if (line := choose(_candidates(item, kitchen), item.food, on, kitchen.settings.measures))
        and line.price.money is not None
    ]
    home = kitchen.settings.currency or next((line.currency for _, line in used), None)
    for item, line in used:
        if line.currency != home:
            yield find(
                "currencies-mixed",
                item.name.span,
                f"The price of {item.name.text} is in {line.currency or 'no currency'}, the others are in {home}.",
                f"Write its price in {home}; no exchange rate is known here.",
                also=(Also(line.span, "the price"),),
            )


def check_kitchen(kitchen: Kitchen) -> Iterator[Finding]:
    """Each price against the others of the same thing, offers left aside."""
    groups: dict[int, list[tuple[Priced, Fraction]]] = defaultdict(list)
    numbers: dict[str, int] = {}
    for lines in kitchen.prices.values():
        for line in lines:
            found = _rate(line, kitchen)
            if found is None or line.special:
                continue
            food = kitchen.food(line.item)
            key = min(food.keys) if food else line.item.key
            groups[numbers.setdefault(f"{key} {line.currency} {found[1]}", len(numbers))].append(
                (line, found[0])
            )
    for group in groups.values():
        yield from _outliers(group)
    yield from _currencies(kitchen)


def _outliers(group: list[tuple[Priced, Fraction]]) -> Iterator[Finding]:
    """Prices far from the middle one; of two alone, the newer is asked about."""
    newest = max(group, key=lambda pair: (pair[0].date, pair[0].span.first))[0]
    for line, rate in group:
        others = [(other, value) for other, value in group if other is not line]
        if not others or (len(others) == 1 and line is not newest):
            continue
        middle = others[0][1] if len(others) == 1 else median_low(sorted(value for _, value in group))
        finding = _slipped(line, rate, middle, others)
        if finding is not None:
            yield finding


def _currencies(kitchen: Kitchen) -> Iterator[Finding]:
    for block in kitchen.blocks:
        entry = block.entry("currency") if block.kind == "kitchen" else None
        if entry is not None:
            yield from _currency(Name(entry.value.span.text, entry.value.span))
        if isinstance(block.heading, PricesHeading) and block.heading.currency is not None:
            yield from _currency(block.heading.currency)


def _currency(code: Name) -> Iterator[Finding]:
    try:
        currency_digits(code.text)
    except UnknownCurrency as error:
        message, _, mend = str(error).partition(". ")
        yield find(
            "unknown-currency", code.span, f"{message.rstrip('.')}.", mend or "Write one that shops take."
        )


def _rate(line: Priced, kitchen: Kitchen) -> tuple[Fraction, str] | None:
    """Money for a gram, a millilitre or a piece, and which of them."""
    if not line.price.money:
        return None
    size = pack_size(line, kitchen.food(line.item), kitchen.settings.measures)
    for amount, of in ((size.weight, "g"), (size.volume, "ml"), (size.count, "piece")):
        if amount:
            return line.price.money / amount, of
    return None


def _slipped(
    line: Priced, rate: Fraction, middle: Fraction, others: list[tuple[Priced, Fraction]]
) -> Finding | None:
    if line.price.money is None or middle / _APART <= rate <= middle * _APART:
        return None
    likely = next(
        (
            line.price.money * factor
            for factor in (Fraction(1, 10), Fraction(10), Fraction(1, 100), Fraction(100))
            if middle / 2 <= rate * factor <= middle * 2
        ),
        None,
    )
    if likely is None:
        return None
    other = min(others, key=lambda pair: abs(pair[1] - middle))[0]
    assert other.price.money is not None
    assert other.price.pack is not None
    digits = currency_digits(line.currency) if line.currency else 2
    return find(
        "price-slipped",
        line.price.span,
        f"{line.item.text} at {line.price.span.text} is about {_times(rate, middle)} elsewhere "
        f"({number(other.price.money, digits)} for {other.price.pack.span.text}).",
        f"The likely price is {number(rounded(likely, digits), digits)}.",
        also=(Also(other.span, f"{other.shop}, {other.date}"),),
    )


def _times(rate: Fraction, middle: Fraction) -> str:
    if rate > middle:
        return f"{round(rate / middle)} times what it costs"
    parts = round(middle / rate)
    return f"{'a tenth' if parts == 10 else 'a hundredth' if parts == 100 else f'1/{parts}'} of what it costs"
