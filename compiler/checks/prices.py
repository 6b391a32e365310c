"""Prices: missing, old, slipped, out of proportion, in two currencies.

A price is held against the same thing's other prices first; where it stands alone, against what such a food costs
beside the others in the lists (`_BESIDE_FLOUR`).
"""

from __future__ import annotations

import itertools
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from statistics import median_low
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.checks.price_levels import Proportion
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import (
    NO_CURRENCY,
    UnknownCurrency,
    currency_digits,
    money_with_code,
    number,
    percent,
    rounded,
)
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.formula import Item
from benchproof.compiler.kitchen import Kitchen, Priced
from benchproof.compiler.money import age_in_days, choose, pack_size
from benchproof.compiler.rules import find
from benchproof.compiler.suggest import distance, slips_allowed
from benchproof.compiler.syntax import Block, Entry, Name, Price, PricesHeading, Words

_APART: Final = Fraction(5)
"""How many times dearer or cheaper than its fellows a price must be before a slip is asked about."""

_JUMP: Final = Fraction(2)
"""How many times dearer or cheaper than the last time one shop's price is worth a word: our own choice."""

_LEAP: Final = Fraction(3)
"""How many times, before it is worth a second look."""

_OTHER_PACK: Final = Fraction(4)
"""How many times as large a pack may be as another and still be priced like it: a sack is cheaper by weight."""

_OWN_FOOD: Final = Fraction(50)
"""How far out of proportion a food that only this kitchen knows may be: its kind is all there is to judge it by, and a
dried weed is a vegetable at twenty times the price."""

_CARRIES: Final = Fraction(80)
_TRACE: Final = Fraction(2)
"""Per hundred of the cost and of the weight: a trace that carries the cost."""

_INSTEAD_APART: Final = Fraction(20)
"""How many times dearer or cheaper than what it replaces a batch may be."""

_FAR_AHEAD: Final = 366
"""Days after which a price of the future is not one written down beforehand, but a slip in the year."""

_PRECIOUS: Final = re.compile(
    r"saffron|vanilla|truffle|gold leaf|silver leaf|caviar|roe\b|cardamom|matcha|porcini|morel"
)
"""What is worth more than its weight."""

_POURED: Final = frozenset(
    {
        "flour",
        "starch",
        "liquid",
        "milk",
        "plant milk",
        "cream",
        "oil",
        "vinegar",
        "sugar",
        "syrup",
        "salt",
        "raising agent",
        "grain",
        "pulse",
        "milk powder",
        "cocoa",
        "puree",
        "seed",
    }
)
"""Kinds that come by weight or by volume, never by the piece."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    batch = compiled.batch
    if batch is None:
        return
    yield from _lines(compiled, kitchen, batch.asked.on)
    yield from _instead(compiled, kitchen, batch.asked.on)
    yield from _mixed(compiled, kitchen, batch.asked.on)
    yield from _ahead(kitchen, batch.asked.on)
    yield from _trace(compiled, kitchen, batch.asked.on)


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


def _nearly_priced(name: Name, kitchen: Kitchen) -> Priced | None:
    """A price of something that nobody knows, whose name is a slip or two from this one."""
    allowed = min(slips_allowed(name.key), 2)
    for key, lines in kitchen.prices.items():
        if lines and distance(key, name.key, allowed) <= allowed and kitchen.food(lines[0].item) is None:
            return lines[0]
    return None


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
            also = tuple(Also(line.span, f"this one is of {line.date}") for line in candidates[:1])
            strange = None if candidates else _nearly_priced(name, kitchen)
            if strange is not None:
                also = (Also(strange.item.span, "is this its price, with the name misspelt?"),)
            yield find(
                "price-missing",
                name.span,
                f"{name.text} has no price{later}: the cost leaves it out.",
                f"Add it to a price list (`{name.text}: 2.50 for 500 g`), or write `{name.text}: free`.",
                also=also,
            )
            continue
        if name.text in unknown and used.price.pack is not None and not _counted_food(used, kitchen):
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
    yield from _instead_apart(compiled, kitchen, on)


def _instead_apart(compiled: Compiled, kitchen: Kitchen, on: str) -> Iterator[Finding]:
    """A batch that costs many times what it replaces, or next to nothing of it."""
    assert compiled.batch is not None
    cost = compiled.batch.cost
    entry = compiled.recipe.block.entry("instead of")
    for own in cost.shops_own:
        share = own.share
        if entry is None or not share or 100 / _INSTEAD_APART <= share <= 100 * _INSTEAD_APART:
            continue
        line = choose(
            kitchen.priced([Name(own.item, entry.value.span).key]), None, on, kitchen.settings.measures
        )
        if line is None or line in _asked_about(kitchen):
            continue
        each = own.each is not None and cost.each is not None
        ours, theirs = (cost.each, own.each) if each else (cost.per_100_g, own.per_100_g)
        if ours is None or theirs is None:
            continue
        what = "each" if each else "for 100 g"
        yield find(
            "instead-far-apart",
            entry.value.span,
            f"{own.item} costs {_money(theirs, line)} {what}, and this recipe {_money(ours, line)}: "
            f"{_times(ours, theirs)}.",
            "Check the price and the pack of the one, and how many the other makes.",
            also=(Also(line.span, "what the shop asks"),),
        )


def _money(amount: Fraction, line: Priced) -> str:
    return money_with_code(amount, line.currency or NO_CURRENCY)


def _ahead(kitchen: Kitchen, on: str) -> Iterator[Finding]:
    """Price lists of a day that has not come, where no missing price tells of it already."""
    ahead = [
        (block, block.heading)
        for block in kitchen.blocks
        if isinstance(block.heading, PricesHeading) and block.heading.date.text > on
    ]
    used = _used(kitchen) if ahead else frozenset()
    for block, heading in ahead:
        lines = [line for group in kitchen.prices.values() for line in group if _within(line, block)]
        if any(_keys(line, kitchen) & used and not _older(line, kitchen, on) for line in lines):
            continue
        days = -age_in_days(heading.date.text, on)
        yield find(
            "prices-dated-ahead",
            heading.date.span,
            f"These prices are of {heading.date.text}, and it is {on}: none of them is used.",
            "Correct the date if it has slipped; else nothing: they are used from that day on.",
            severity=Severity.WARNING if days > _FAR_AHEAD else None,
        )


def _used(kitchen: Kitchen) -> frozenset[str]:
    """Every name of every food in the kitchen's recipes."""
    found: set[str] = set()
    for recipe in kitchen.own_recipes():
        for block in recipe.ingredients:
            for entry in block.entries():
                food = kitchen.food(entry.label)
                found |= {entry.label.key, *(food.keys if food else ())}
    return frozenset(found)


def _within(line: Priced, block: Block) -> bool:
    span = block.span
    return line.span.source is span.source and span.first <= line.span.first < span.last


def _keys(line: Priced, kitchen: Kitchen) -> frozenset[str]:
    food = kitchen.food(line.item)
    return (food.keys if food else frozenset()) | {line.item.key}


def _older(line: Priced, kitchen: Kitchen, on: str) -> bool:
    return any(other.date <= on for other in kitchen.priced(sorted(_keys(line, kitchen))))


def _trace(compiled: Compiled, kitchen: Kitchen, on: str) -> Iterator[Finding]:
    """A pinch of something that costs more than all the rest."""
    assert compiled.batch is not None
    cost = compiled.batch.cost
    paid = [line for line in cost.lines if line.cost and line.weight]
    whole = sum((line.weight for line in paid if line.weight), Fraction(0))
    if len(paid) < _ENOUGH_LINES or not cost.complete:
        return
    for line in paid:
        if line.share is None or line.share <= _CARRIES or not line.weight or line.price is None:
            continue
        if line.weight * 100 >= _TRACE * whole or _PRECIOUS.search(line.item.casefold()):
            continue
        item = next(one for one in compiled.formula.items() if one.name.text == line.item)
        used = choose(_candidates(item, kitchen), item.food, on, kitchen.settings.measures)
        if used is None or used in _asked_about(kitchen):
            continue
        yield find(
            "cost-in-a-trace",
            used.price.span,
            f"{line.item} is {percent(line.weight * 100 / whole)} of the weight of {compiled.recipe.name.text} "
            f"and {percent(rounded(line.share, 0))} of its cost, at {used.price.span.text}.",
            "Look at the price and the pack again.",
            also=(Also(item.entry.span, "how much of it goes in"),),
        )


_ENOUGH_LINES: Final = 4
"""How many lines must cost something before one of them can be said to carry the rest."""


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
    """Each price against the others of the same thing, offers left aside; alone, against the other foods."""
    yield from (finding for _, finding in _doubtful(kitchen))
    yield from _lists(kitchen)
    yield from _currencies(kitchen)


def _asked_about(kitchen: Kitchen) -> list[Priced]:
    """The lines that have a finding of their own."""
    return [line for line, _ in _doubtful(kitchen)]


def _doubtful(kitchen: Kitchen) -> list[tuple[Priced, Finding]]:
    """Lines that cannot be right, or are unlike others, each with its one finding."""
    found: list[tuple[Priced, Finding]] = []
    groups: dict[int, list[tuple[Priced, Fraction]]] = defaultdict(list)
    numbers: dict[str, int] = {}
    proportion = Proportion(kitchen)
    for lines in kitchen.prices.values():
        for line in lines:
            finding = _nought(line) or _counted_food(line, kitchen)
            if finding is not None:
                found.append((line, finding))
                continue
            rate = _rate(line, kitchen)
            if rate is None or line.special:
                continue
            food = kitchen.food(line.item)
            key = min(food.keys) if food else line.item.key
            groups[numbers.setdefault(f"{key} {line.currency} {rate[1]}", len(numbers))].append(
                (line, rate[0])
            )
    for group in groups.values():
        told = [*_outliers(group, proportion, kitchen)] or [*_jumps(group)]
        for line, finding in told:
            if line not in [one for one, _ in found]:
                found.append((line, finding))
        if not told:
            found += _unlike_others(group, kitchen, proportion)
    return found


def _outliers(
    group: list[tuple[Priced, Fraction]], proportion: Proportion, kitchen: Kitchen
) -> Iterator[tuple[Priced, Finding]]:
    """Prices far from the middle one; of two alone, the one that is out of proportion, else the newer."""
    newest = max(group, key=lambda pair: (pair[0].date, pair[0].span.first))[0]
    if len(group) == 2:
        off = [(_apart(away), line) for line, _ in group if (away := proportion.of(line)) is not None]
        if len(off) == 2 and max(off[0][0], off[1][0]) > _JUMP * min(off[0][0], off[1][0]):
            newest = max(off, key=lambda pair: pair[0])[1]
    for line, rate in group:
        others = [(other, value) for other, value in group if other is not line]
        if not others or (len(others) == 1 and line is not newest):
            continue
        middle = others[0][1] if len(others) == 1 else median_low(sorted(value for _, value in group))
        finding = _slipped(line, rate, middle, others, kitchen)
        if finding is not None:
            yield line, finding


def _apart(times: Fraction) -> Fraction:
    """How many times dearer or cheaper, whichever it is."""
    return max(times, 1 / times)


def _jumps(group: list[tuple[Priced, Fraction]]) -> Iterator[tuple[Priced, Finding]]:
    """One shop's price, twice or half of what it was the last time."""
    for shop in dict.fromkeys(line.shop for line, _ in group):
        dated = sorted((pair for pair in group if pair[0].shop == shop), key=lambda pair: pair[0].date)
        for (before, was), (line, rate) in itertools.pairwise(dated):
            apart = _apart(rate / was)
            if before.date == line.date or apart <= _JUMP:
                continue
            packs = _apart(_pack(line, rate) / _pack(before, was))
            if packs > _OTHER_PACK and apart <= _APART:
                continue
            yield line, _jumped(line, before, rate, was, apart, packs)


def _pack(line: Priced, rate: Fraction) -> Fraction:
    """The size of a pack, in whatever its rate counts."""
    assert line.price.money is not None
    return line.price.money / rate


def _jumped(
    line: Priced, before: Priced, rate: Fraction, was: Fraction, apart: Fraction, packs: Fraction
) -> Finding:
    assert line.price.money is not None
    assert before.price.money is not None
    assert before.price.pack is not None
    same_money = _apart(line.price.money / before.price.money) <= Fraction(3, 2) and packs > _JUMP
    return find(
        "price-jumped",
        line.price.span,
        f"{line.item.text} at {line.price.span.text} is about {_times(rate, was, 'it was')} in the same shop on "
        f"{before.date} ({before.price.span.text}).",
        f"Is the pack still {before.price.pack.span.text}?"
        if same_money
        else "Look at the shelf tag again; if it is right, nothing need be done.",
        also=(Also(before.span, f"{before.shop}, {before.date}"),),
        severity=Severity.WARNING if apart > _LEAP else None,
    )


# ---------------------------------------------------------------- a line by itself


def _nought(line: Priced) -> Finding | None:
    if line.price.money is None or line.price.money:
        return None
    return find(
        "price-of-nought",
        line.price.span,
        f"{line.item.text} costs {line.price.span.text}: it goes into every cost as nothing.",
        f"Write what it costs; or `{line.item.text}: free`, if it is.",
    )


def _counted_food(line: Priced, kitchen: Kitchen) -> Finding | None:
    """`strong flour: 3.30 for 2`."""
    food, pack = kitchen.food(line.item), line.price.pack
    if pack is None or pack.each is not None or food is None or food.piece or food.kind not in _POURED:
        return None
    return find(
        "pack-cannot-be-counted",
        line.price.span,
        f"{line.item.text} is priced for {pack.span.text} of them, and nobody counts {food.kind}.",
        f"Write what the pack holds, with a unit, in the form `{line.item.text}: 3.30 for 1.5 kg`.",
    )


def _lists(kitchen: Kitchen) -> Iterator[Finding]:
    """The same pack twice in one list."""
    for block in kitchen.blocks:
        if not isinstance(block.heading, PricesHeading):
            continue
        seen: dict[str, list[tuple[Entry, Price]]] = defaultdict(list)
        for entry in block.entries():
            price = entry.value
            if not isinstance(price, Price):
                continue
            food = kitchen.food(entry.label)
            before = seen[min(food.keys) if food else entry.label.key]
            twin = next(((one, other) for one, other in before if _same_pack(price, other)), None)
            before.append((entry, price))
            if twin is None or entry.details or twin[0].details:
                continue
            same = price.money == twin[1].money
            yield find(
                "priced-twice",
                entry.span,
                f"{entry.label.text} stands twice in this list"
                + (
                    "."
                    if same
                    else f", at {twin[1].span.text} and at {price.span.text}: the cheaper is used."
                ),
                "Take one of the two out.",
                also=(Also(twin[0].span, "the other one"),),
                severity=Severity.HINT if same else None,
            )


def _same_pack(one: Price, other: Price) -> bool:
    if one.pack is None or other.pack is None:
        return one.pack is other.pack
    return (one.pack.count, _low(one)) == (other.pack.count, _low(other))


def _low(price: Price) -> Fraction | None:
    assert price.pack is not None
    return quantities.base(price.pack.each.low) if price.pack.each is not None else None


# ---------------------------------------------------------------- against other foods


def _unlike_others(
    group: list[tuple[Priced, Fraction]], kitchen: Kitchen, proportion: Proportion
) -> Iterator[tuple[Priced, Finding]]:
    """A price that stands alone, or whose fellows are of the same shop and the same mistake, far out of proportion."""
    if len({line.shop for line, _ in group}) > 1:
        return  # two shops agree about it
    for line, _ in group[-1:]:
        away = proportion.of(line)
        food = kitchen.food(line.item)
        own = food is not None and kitchen.larder.food(line.item.key) is None
        if away is None or (own and _PRECIOUS.search(line.item.key)):
            continue
        if _apart(away) <= (_OWN_FOOD if own else _APART):
            continue
        yield line, _out_of_proportion(line, away, kitchen)


@dataclass(frozen=True, slots=True)
class _Slip:
    """What may have been meant: `dearer` times what is written, in words; `unit` where the unit is what slipped."""

    dearer: Fraction
    words: str
    unit: bool = False


def _out_of_proportion(line: Priced, away: Fraction, kitchen: Kitchen) -> Finding:
    slip = min(_slips(line, kitchen), key=lambda one: _apart(away * one.dearer), default=None)
    if slip is not None and _apart(away * slip.dearer) > _LEAP:
        slip = None
    times = round(_apart(away))
    message = (
        f"{line.item.text} at {line.price.span.text}: that is about {times} times as {'dear' if away > 1 else 'cheap'} "
        "as the other prices here lead one to expect."
    )
    if slip is not None and slip.unit:
        return find("pack-unit-unlikely", line.price.span, message, f"Is the pack {slip.words}?")
    return find(
        "price-out-of-proportion",
        line.price.span,
        message,
        f"Is `{slip.words}` meant? If not, add another shop's price for it: it is then held against that."
        if slip is not None
        else "Look at the price and the pack again. If both are right, add another shop's price for it.",
    )


def _slips(line: Priced, kitchen: Kitchen) -> Iterator[_Slip]:
    """What a price line may have meant, the likeliest first."""
    money, pack = line.price.money, line.price.pack
    if not money or pack is None:
        return
    digits = currency_digits(line.currency) if line.currency else 2
    for factor in (Fraction(1, 10), Fraction(10), Fraction(1, 100), Fraction(100)):
        likely = number(rounded(money * factor, digits), digits)
        yield _Slip(factor, f"{likely} for {pack.span.text}")
    if pack.count is not None and pack.each is None:
        for count in (6, 10, 12):
            yield _Slip(pack.count / count, f"{number(money, digits)} for {count}")
    yield from _other_units(line, kitchen)


def _other_units(line: Priced, kitchen: Kitchen) -> Iterator[_Slip]:
    """The same pack in the units it is most often mistaken for."""
    pack, measures = line.price.pack, kitchen.settings.measures
    if pack is None or pack.each is None or len(pack.each.low) != 1:
        return
    term = pack.each.low[0]
    now = quantities.base(pack.each.low, measures)
    for unit in _MISTAKEN.get(term.unit, ()):
        then = quantities.base((replace(term, unit=unit),), measures)
        amount = pack.span.text.rstrip("abcdefghijklmnopqrstuvwxyzL_ ")
        yield _Slip(now / then, f"{amount} {unit.replace('_', ' ')}", unit=True)


_MISTAKEN: Final = {
    "g": ("kg",),
    "kg": ("g",),
    "mg": ("g",),
    "ml": ("l",),
    "l": ("ml",),
    "oz": ("lb",),
    "lb": ("oz",),
}


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
    line: Priced, rate: Fraction, middle: Fraction, others: list[tuple[Priced, Fraction]], kitchen: Kitchen
) -> Finding | None:
    if line.price.money is None or middle / _APART <= rate <= middle * _APART:
        return None
    other = min(others, key=lambda pair: abs(pair[1] - middle))[0]
    assert other.price.money is not None
    assert other.price.pack is not None
    digits = currency_digits(line.currency) if line.currency else 2
    message = (
        f"{line.item.text} at {line.price.span.text} is about {_times(rate, middle)} elsewhere "
        f"({number(other.price.money, digits)} for {other.price.pack.span.text})."
    )
    also = (Also(other.span, f"{other.shop}, {other.date}"),)
    unit = min(_other_units(line, kitchen), key=lambda one: _apart(rate * one.dearer / middle), default=None)
    if (
        unit is not None
        and _apart(rate * unit.dearer / middle) <= _JUMP
        and not any(middle / 2 <= rate * factor <= middle * 2 for factor in _TENS)
    ):
        return find(
            "pack-unit-unlikely",
            line.price.span,
            message,
            f"The likely pack is {unit.words}.",
            also=also,
            severity=Severity.ERROR,
        )
    likely = next(
        (line.price.money * factor for factor in _TENS if middle / 2 <= rate * factor <= middle * 2), None
    )
    if likely is None:
        return find(
            "price-jumped",
            line.price.span,
            message,
            "Look at the price and the pack again.",
            also=also,
            severity=Severity.WARNING,
        )
    return find(
        "price-slipped",
        line.price.span,
        message,
        f"The likely price is {number(rounded(likely, digits), digits)}.{_dozen(line, other)}",
        also=also,
    )


_TENS: Final = (Fraction(1, 10), Fraction(10), Fraction(1, 100), Fraction(100))


def _dozen(line: Priced, other: Priced) -> str:
    """`7.20 for 1`, where they cost about that by the dozen."""
    pack, fellow = line.price.pack, other.price.pack
    if pack is None or fellow is None or pack.each is not None or fellow.each is not None:
        return ""
    if line.price.money is None or not other.price.money or pack.count == fellow.count:
        return ""
    if _apart(line.price.money / other.price.money) > _JUMP:
        return ""
    return f" Or is the pack {fellow.span.text}?"


def _times(rate: Fraction, middle: Fraction, what: str = "it costs") -> str:
    if rate > middle:
        return f"{round(rate / middle)} times what {what}"
    parts = round(middle / rate)
    parts = 1000 if 900 <= parts <= 1100 else parts
    share = {
        2: "half",
        3: "a third",
        4: "a quarter",
        10: "a tenth",
        100: "a hundredth",
        1000: "a thousandth",
    }.get(parts, f"1/{parts}")
    return f"{share} of what {what}"
