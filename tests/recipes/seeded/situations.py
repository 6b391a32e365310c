"""Which planted slips nobody could know from the page: by the situation alone, never by what a rule says.

A slip is *detectable* when the page contradicts itself (the yield, a test of the recipe's own, a style, a second
mention) or when the figure leaves what such a thing takes in any kitchen. The ranges here are wide on purpose, and are
all common practice, no source: a figure inside them may be odd, but no careful second reader could say it is wrong.
They are not the ranges of any rule. A range says nothing where the clean figure lies outside it already.

The compiler's arithmetic (weights, costs, times) is used; its findings are not.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import Batch, Extent
from benchproof.compiler.compile import Compiled
from benchproof.compiler.formula import made_weight
from benchproof.compiler.kitchen import Priced, larder
from benchproof.compiler.money import pack_size
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import (
    Bound,
    ChangeFact,
    Draw,
    DurationFact,
    Entry,
    Fact,
    IngredientsHeading,
    Name,
    Numeric,
    Percentage,
    ProseLine,
    Quantity,
    StepHeading,
    TemperatureFact,
    Text,
    TurnsFact,
    name_key,
)
from tests.recipes.seeded.corpus import Site, State, number_of
from tests.recipes.seeded.operators import YEASTS, Slip, drawn_by, kinds_drawn, users

KINDS: Final[Mapping[str, str]] = {
    "amount within custom": "no yield, style, base, portion or test contradicts it; some dish has as much of it",
    "outside the formula": "an amount for the pan, the bench or the pot: nothing else on the page hangs on it",
    "the whole is sized by it": "every other amount follows it, and no yield weight, test or portion contradicts it",
    "pieces nobody weighs": "`makes` or `serves` counts pieces that nothing weighs, tests or counts again",
    "loss within custom": "the loss is one that such a dish may have, and no yield weight contradicts it",
    "price with no other": "no second price is three times off, nor all like foods six times; no test breaks",
    "price not in use": "another price of it stays in use, or no recipe uses it at all",
    "one currency for all": "all the prices a recipe uses are in it, so nothing is mixed",
    "no limit on age": "the kitchen does not say when a price is too old, or a newer one is in use",
    "time within custom": "such a step may take so long, and no test of the recipe's own breaks",
    "time not needed": "the sentence has another time or a sign to go by, or needs none",
    "temperature within custom": "such a thing may be as hot, and nothing on the page says otherwise",
    "length within custom": "such a piece, tin or tool may have that size",
    "the rest makes up for it": "a step takes more or less of a line, and another takes the rest of it",
    "test still holds": "a looser test of the recipe's own: it is still true",
    "keeps within custom": "such a food may keep so long",
    "fact within custom": "the larder's foods of that kind differ by as much",
    "setting within custom": "a kitchen may be so",
    "nothing refers to it": "a step's own name that no other step names",
    "not taken by name": "no step takes that line by name, so nothing is missed",
    "drawn by any list": "the part has no steps of its own: any step may take its lines",
    "a notebook entry": "what a trial wrote down is not compared with anything on the page",
}


def undetectable(slip: Slip, before: State, after: State) -> str | None:
    """The kind of situation in which nobody could know, or None when a careful reader could."""
    return _JUDGES[slip.operator](slip, before, after)


# ---------------------------------------------------------------- what the page says beside it


def _pair(slip: Slip, before: State, after: State) -> tuple[Compiled, Compiled] | None:
    """The recipe compiled before and after; None when it cannot be compiled any more, which speaks for itself."""
    if slip.site.recipe is None:
        return None
    key = slip.site.recipe.name.key
    old, new = before.compiled.get(key), after.compiled.get(key)
    if old is None or new is None or old.batch is None or new.batch is None:
        return None
    return old, new


def _yield_off(one: Compiled) -> bool:
    """Whether weights and yield differ by more than half a gram a piece, as the language promises they do not."""
    formula = one.formula
    made = made_weight(formula.makes, "metric")  # a weight is the same in every kitchen
    if made is None or formula.makes is None:
        return False
    weight = formula.finished if formula.makes.after_losses else formula.scaled
    pieces = formula.makes.count.low if formula.makes.count and formula.makes.count.low else Fraction(1)
    return abs(weight - made) > max(pieces / 2, made / 1000)


def _broken(batch: Batch, one: Compiled) -> set[str]:
    """The recipe's own tests that do not hold, and the ratios outside their style."""
    broken = {ratio.name for ratio in batch.ratios if ratio.verdict in ("below", "above")}
    for block in one.recipe.expect:
        for entry in block.entries():
            value = _figure(batch, entry.label.key)
            if value is not None and isinstance(entry.value, Bound) and not _holds(entry.value, value):
                broken.add(entry.label.key)
    return broken


def _figure(batch: Batch, label: str) -> Extent | None:
    """A printed figure that `expect` can name, as a range: money, seconds or grams."""
    cost, times = batch.cost, batch.times
    made = batch.makes
    each = made.finished / made.count if made.count else None
    known = {
        "cost": cost.total if cost.complete else None,
        "cost each": cost.each if cost.complete else None,
        "cost a portion": cost.portion if cost.complete else None,
        "weight each": each,
    }
    if label in known:
        value = known[label]
        return Extent(value, value) if value is not None else None
    if label == "total time":
        return times.elapsed
    return times.hands_on if label == "hands-on time" else None


def _holds(bound: Bound, value: Extent) -> bool:
    stated = bound.value
    if isinstance(stated, Quantity):
        low, high = quantities.base(stated.low), quantities.base(stated.high)
    elif isinstance(stated, Numeric):
        low, high = stated.low, stated.high
    else:
        return True
    if bound.word == "under":
        return value.high < high
    if bound.word == "at most":
        return value.high <= high
    if bound.word == "over":
        return value.low > low
    if bound.word == "at least":
        return value.low >= low
    return low <= value.low and value.high <= high


def contradicted(pair: tuple[Compiled, Compiled]) -> bool:
    """Whether the page contradicts itself now and did not before."""
    old, new = pair
    assert old.batch is not None
    assert new.batch is not None
    if _yield_off(new) and not _yield_off(old):
        return True
    return bool(_broken(new.batch, new) - _broken(old.batch, old))


def any_contradicted(before: State, after: State) -> bool:
    for key, old in before.compiled.items():
        new = after.compiled.get(key)
        if new is None or (old.batch is not None and new.batch is None):
            return True
        if old.batch is not None and new is not old and contradicted((old, new)):
            return True
    return False


def _outside(low: int | Fraction, high: int | Fraction, old: Fraction, new: Fraction) -> bool:
    """Whether a figure has left a range that it was in."""
    return low <= old <= high and not low <= new <= high


# ---------------------------------------------------------------- amounts

_SHARES: Final[Mapping[str, tuple[Fraction, Fraction]]] = {
    kind: (Fraction(low), Fraction(high))
    for kind, (low, high) in {
        "salt": ("0.15", "3"),
        "instant yeast": ("0.02", "2.5"),
        "active dry yeast": ("0.02", "3"),
        "fresh yeast": ("0.05", "6"),
        "raising agent": ("0.05", "4"),
        "spice": ("0.01", "5"),
        "herb": ("0.01", "25"),
        "starch": ("0.2", "30"),
        "vinegar": ("0", "50"),
        "condiment": ("0", "50"),
        "cocoa": ("0.5", "25"),
        "fat": ("0.05", "60"),
        "oil": ("0.05", "85"),
        "sugar": ("0.05", "70"),
        "syrup": ("0.05", "75"),
        "flour": ("0.05", "90"),
    }.items()
}
"""Per hundred of all that goes into a dish, by kind."""

_ANY_SHARE: Final = (Fraction(1, 10), Fraction(100))
"""Any other kind may be all of it; a gram of it in a kilogram is no ingredient."""

_PORTIONS: Final[Mapping[str, tuple[int, int]]] = {
    "salt": (0, 8), "spice": (0, 12), "fat": (0, 90), "oil": (0, 90), "sugar": (0, 150), "syrup": (0, 150),
    "flour": (0, 250), "meat": (20, 500), "poultry": (30, 600), "fish": (20, 400), "shellfish": (10, 900),
    "cheese": (0, 200), "egg": (0, 300), "grain": (0, 200), "pasta": (0, 250), "pulse": (0, 350), "nut": (0, 150),
    "chocolate": (0, 150), "cocoa": (0, 40), "vegetable": (0, 600), "fruit": (0, 600), "cream": (0, 250),
    "condiment": (0, 120), "vinegar": (0, 80), "herb": (0, 40), "starch": (0, 60), "liquid": (0, 900),
}  # fmt: skip
"""g a person, where the recipe says how many it serves."""


def _amount(slip: Slip, before: State, after: State) -> str | None:
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair):
        return None
    old, new = pair
    assert old.batch is not None
    assert new.batch is not None
    at = slip.site.entry.span.first if slip.site.entry else -1
    offset = {item.entry.span.first: item for item in old.formula.items()}
    item = offset.get(at)
    pieces = [(a, b) for a, b in zip(old.formula.items(), new.formula.items(), strict=False)]
    if item is not None and item.purpose is not None:
        return _purpose(slip, pair)
    whole, whole_new = old.formula.weight, new.formula.weight
    for a, b in pieces:
        if not (a.inside and b.inside and a.weight and b.weight) or not a.kind:
            continue
        if _outside(*_SHARES.get(a.kind, _ANY_SHARE), a.weight * 100 / whole, b.weight * 100 / whole_new):
            return None
        if a.kind not in _PORTIONS or not old.formula.serves or not new.formula.serves:
            continue
        if _outside(*_PORTIONS[a.kind], a.weight / old.formula.serves, b.weight / new.formula.serves):
            return None
    if _portion_off(pair):
        return None
    if slip.site.block.kind == "preferment" and _preferment_off(slip, before):
        return None
    return "the whole is sized by it" if item is not None and item.is_base else "amount within custom"


_PREFERMENTS: Final[Mapping[str, tuple[Fraction, Fraction]]] = {
    kind: (Fraction(low), Fraction(high))
    for kind, (low, high) in {
        "liquid": ("35", "250"),
        "milk": ("35", "250"),
        "instant yeast": ("0.01", "5"),
        "active dry yeast": ("0.01", "7"),
        "fresh yeast": ("0.03", "15"),
        "salt": ("0.1", "3"),
        "starter": ("1", "100"),
    }.items()
}
"""Per hundred of the flour that a preferment takes; it takes 2 to 100 % of a flour."""


def _preferment_off(slip: Slip, before: State) -> bool:
    if slip.old is None or slip.new is None:
        return False
    if slip.site.sort == "preferment share":
        return _outside(2, 100, slip.old, slip.new)
    food = before.kitchen.food(slip.site.entry.label) if slip.site.entry else None
    if slip.site.sort != "percent" or food is None or food.kind not in _PREFERMENTS:
        return False
    return _outside(*_PREFERMENTS[food.kind], slip.old, slip.new)


def _portion_off(pair: tuple[Compiled, Compiled]) -> bool:
    """Whether a portion or a piece has left what anybody eats or shapes: 40 g to 1.5 kg, 3 g to 3 kg."""
    old, new = pair[0].formula, pair[1].formula
    if old.serves and new.serves and _outside(40, 1500, old.finished / old.serves, new.finished / new.serves):
        return True
    return bool(old.each and new.each and _outside(3, 3000, old.each, new.each))


_POTS: Final = re.compile(r"\b(soak|pot|boil|blanch|fry|bath|steam|poach|brine|rins)")


def _purpose(slip: Slip, pair: tuple[Compiled, Compiled]) -> str | None:
    """For the pan up to a third of the dish, for the pot or the fryer between a fiftieth of it and twenty times it."""
    old, new = pair[0].formula, pair[1].formula
    for a, b in zip(old.items(), new.items(), strict=False):
        if a.purpose is None or not a.weight or not b.weight or a.weight == b.weight:
            continue
        least, most = (Fraction(1, 50), 20) if _POTS.search(a.purpose) else (0, Fraction(1, 3))
        if _outside(least, most, a.weight / old.weight, b.weight / new.weight):
            return None
    return "outside the formula"


def _yield(slip: Slip, before: State, after: State) -> str | None:
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair) or _portion_off(pair):
        return None
    if slip.site.sort == "makes count" and any(
        site.sort == "pieces" and site.value == slip.site.value for site in _siblings(slip.site)
    ):
        return None  # the method counts them again
    if slip.site.sort in ("makes count", "serves"):
        loads = [site.value for site in _siblings(slip.site) if site.sort == "load"]
        if loads and slip.new is not None and slip.new < min(loads):
            return None
    found = _amount(slip, before, after)
    if found is None:
        return None
    return "the whole is sized by it" if slip.site.sort == "makes weight" else "pieces nobody weighs"


def _siblings(site: Site) -> Iterator[Site]:
    return (one for one in site.bench.sites if one.recipe is site.recipe and one is not site)


_LOSSES: Final[Mapping[str, tuple[int, int]]] = {
    "bake": (3, 30),
    "oven": (3, 50),
    "pot": (1, 80),
    "pan": (1, 80),
}


def _loss(slip: Slip, before: State, after: State) -> str | None:
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair) or _portion_off(pair):
        return None
    assert slip.old is not None
    assert slip.new is not None
    line = slip.site.source.text[slip.site.end :].partition(",")[0].partition("\n")[0]
    low, high = next((range_ for word, range_ in _LOSSES.items() if word in line), (0, 12))
    if slip.site.sort == "gain":
        low, high = 20, 300
    return None if _outside(low, high, slip.old, slip.new) else "loss within custom"


# ---------------------------------------------------------------- prices


def _per(priced: Priced, state: State) -> tuple[str, Fraction] | None:
    """Money for a kilogram, a litre or a piece."""
    if priced.price.money is None:
        return None
    size = pack_size(priced, state.kitchen.food(priced.item), state.kitchen.settings.measures)
    if size.weight:
        return "kg", priced.price.money * 1000 / size.weight
    if size.volume:
        return "kg", priced.price.money * 1000 / size.volume
    return ("piece", priced.price.money / size.count) if size.count else None


def _price(slip: Slip, before: State, after: State) -> str | None:
    """A second price of it twice off, or every like food six times off, or no shop asks so much or so little."""
    if any_contradicted(before, after):
        return None
    entry = slip.site.entry
    assert entry is not None
    key = entry.label.key
    new = next(
        (
            line
            for line in after.kitchen.priced([key])
            if line.span.line == slip.line and line.span.source.name == slip.site.source.name
        ),
        None,
    )
    old = next(
        (
            line
            for line in before.kitchen.priced([key])
            if line.span.first == entry.span.first and line.span.source is slip.site.source
        ),
        None,
    )
    if new is None or old is None:
        return None
    now, was = _per(new, after), _per(old, before)
    if now is None or was is None or now[0] != was[0]:
        return None
    if was[0] == "kg" and _outside(Fraction(1, 10), 1500, was[1], now[1]):
        return None
    if was[0] == "piece" and _outside(Fraction(1, 100), 100, was[1], now[1]):
        return None
    food = before.kitchen.food(entry.label)
    keys = food.keys if food else frozenset({key})
    others = [line for line in before.kitchen.priced(keys) if line.span != old.span]
    for line in others:
        other = _per(line, before)
        if other and other[0] == now[0] and _off(now[1], other[1]) > 3 >= _off(was[1], other[1]):
            return None
    if others:
        return "price with no other"  # there is one, and it is no further off than prices are
    like = [
        found[1]
        for lines in before.kitchen.prices.values()
        for line in lines
        if line.span != old.span
        and food is not None
        and food.kind is not None
        and (other_food := before.kitchen.food(line.item)) is not None
        and other_food.kind == food.kind
        and (found := _per(line, before)) is not None
        and found[0] == now[0]
    ]
    if like and min(_off(now[1], one) for one in like) > 6 >= min(_off(was[1], one) for one in like):
        return None
    for compiled in before.compiled.values():
        batch = compiled.batch
        for own in batch.cost.shops_own if batch else ():
            if name_key(own.item) == key and own.share:
                share = own.share * was[1] / now[1]
                if _outside(5, 200, own.share, share):
                    return (
                        None  # the shop asks less than half of what the ingredients cost, or twenty times it
                    )
    return "price with no other"


def _off(one: Fraction, other: Fraction) -> Fraction:
    """How many times one price is the other, whichever is more."""
    return max(one / other, other / one) if one and other else Fraction(10**6)


def _in_use(priced: Priced, state: State) -> bool:
    """Whether a recipe is costed with this price, or compared with it."""
    for compiled in state.compiled.values():
        if compiled.batch is None:
            continue
        cost = compiled.batch.cost
        used = [line.price for line in cost.lines] + [own.price for own in cost.shops_own]
        if any(
            price and price.where.file == priced.span.source.name and price.where.line == priced.span.line
            for price in used
        ):
            return True
    return False


def _priced_lines(slip: Slip, state: State) -> list[Priced]:
    """The price lines of the site's own block."""
    entries = {entry.span.first for entry in slip.site.block.entries()}
    return [
        line
        for lines in state.kitchen.prices.values()
        for line in lines
        if line.span.source is slip.site.source and line.span.first in entries
    ]


def _price_gone(slip: Slip, before: State, after: State) -> str | None:
    """Missed where a recipe uses it and nothing else prices it."""
    entry = slip.site.entry
    assert entry is not None
    food = before.kitchen.food(entry.label)
    keys = food.keys if food else frozenset({entry.label.key})
    others = [
        line
        for line in before.kitchen.priced(keys)
        if line.span.first != entry.span.first or line.span.source is not slip.site.source
    ]
    return "price not in use" if others or not users(slip.site) else None


def _price_named(slip: Slip, before: State, after: State) -> str | None:
    """A misspelt item is seen: its own right name stands on the page, or in the larder."""
    entry = slip.site.entry
    assert entry is not None
    known = before.kitchen.food(entry.label) is not None or len(before.kitchen.priced([entry.label.key])) > 1
    return None if known or users(slip.site) else "price not in use"


def _aged(slip: Slip, before: State, after: State) -> str | None:
    stale = before.kitchen.settings.stale_after
    if stale is None:
        return "no limit on age"
    for line in _priced_lines(slip, before):
        food = before.kitchen.food(line.item)
        same = before.kitchen.priced(food.keys if food else [line.item.key])
        if line.price.money is not None and _in_use(line, before) and len(same) == 1:
            return None
    return "no limit on age"


def _currency(slip: Slip, before: State, after: State) -> str | None:
    if slip.site.sort == "currency":
        return (
            None  # two letters turned round make no currency, or one that the lists would have to agree with
        )
    for compiled in after.compiled.values():
        cost = compiled.batch.cost if compiled.batch else None
        notes = {line.note for line in cost.lines} if cost else set()
        used = (
            {line.price.currency for line in cost.lines if line.price and line.price.money} if cost else set()
        )
        if "other currency" in notes or len(used) > 1 or (cost and used - {cost.currency}):
            return None
    return "one currency for all"


# ---------------------------------------------------------------- times

_HANDS: Final = (
    # What stands before a time, and the minutes it may take: the first word found decides.
    (r"heat\w*\s+(?:\w+\s+){0,3}to\b|preheat|heat the oven", 1, 90),
    (r"freez|frozen|in the fridge|chill|overnight|\bfridge", 5, 7 * 1440),
    (r"soak|marinat|ferment|brine|cure|steep|strain|drain|hang", 1, 4 * 1440),
    (r"rise|prove|proof|double|levain|sponge|grown|bulk", 5, 2 * 1440),
    (r"bake|roast", 3, 240),
    (r"simmer|stew|braise|slow|poach", 1, 600),
    (r"boil|steam", 1, 240),
    (r"fry|brown|soften|sear|griddle|saut|toast|melt|cook|sweat|turn|flip", Fraction(1, 6), 90),
    (r"knead", 1, 30),
    (r"mix|fold|whisk|beat|stir|cream|blend|shake|whip|rub", Fraction(1, 6), 30),
    (
        r"chop|cut|slice|peel|grate|shape|roll|divide|pat|press|fill|spread|brush|dice|trim|mash|form|ball",
        Fraction(1, 6),
        90,
    ),
    (r"cool|leave|rest|stand|set|wait|settle|cover", 1, 2 * 1440),
)


def _said(site: Site) -> str:
    """The prose before a fact on its line, back to the last time told; what follows where nothing stands there."""
    line = _prose_line(site)
    if line is None:
        return ""
    before, after, seen = "", "", False
    for piece in line.pieces:
        if piece is site.fact:
            seen = True
        elif isinstance(piece, Text):
            before, after = (before, after + piece.text) if seen else (before + piece.text, after)
        elif isinstance(piece, DurationFact | TurnsFact):
            if seen:
                break
            before = ""
    words = before if re.search(r"[a-z]{3}", before.casefold()) else after
    return words.casefold()


def _prose_line(site: Site) -> ProseLine | None:
    return next(
        (line for line in site.block.prose() if any(piece is site.fact for piece in line.pieces)), None
    )


def _minutes(text: str) -> Fraction | None:
    found = re.search(r"([\d./ ]*\d)\s*(s|min|h|days?|weeks?|months?)\b", text)
    return None if found is None else number_of(found[1].strip()) * _MINUTES[found[2].rstrip("s") or "s"]


_MINUTES: Final = {"s": Fraction(1, 60), "min": Fraction(1), "h": Fraction(60), "day": Fraction(1440),
                   "week": Fraction(10080), "month": Fraction(43200)}  # fmt: skip


def _span_now(slip: Slip, span: Span) -> str:
    """A fact's text as planted: it stands on the same line, and only its own letters changed."""
    text = slip.site.source.text
    return slip.text[span.first : span.last + len(slip.text) - len(text)]


def _ends(text: str) -> tuple[Fraction, Fraction, str] | None:
    """Both ends of the first range in a text, and its unit."""
    found = re.search(
        r"((?<![\d \w])-?\d[\d./]*|(?<= )-?\d[\d./]*|\d[\d./]*)(?:\s*(?:-|–|to)\s*(\d[\d./]*))?\s*(°?[A-Za-z]+|%)?",
        text,
    )
    if found is None:
        return None
    low = number_of(found[1])
    return low, number_of(found[2]) if found[2] else low, found[3] or ""


def _time(slip: Slip, before: State, after: State) -> str | None:
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair):
        return None
    fact = slip.site.fact
    if isinstance(fact, TurnsFact):
        return _turns(slip)
    assert isinstance(fact, DurationFact)
    now, was = _ends(_span_now(slip, fact.span)), _ends(fact.span.text)
    if now is None or was is None or now[2] not in _times() or was[2] not in _times():
        return None
    low, high = (end * _MINUTES[_times()[now[2]]] for end in now[:2])
    clean = tuple(end * _MINUTES[_times()[was[2]]] for end in was[:2])
    if low > high or (low and high / low > 4 >= clean[1] / max(clean[0], Fraction(1, 60))):
        return None
    most = 10**6 if fact.hands_off else 120  # nobody stands over a thing for more than two hours
    for said in (_said(slip.site), _heading_name(slip.site).casefold()):
        for pattern, shortest, longest in _HANDS:
            if re.search(pattern, said):
                off = any(
                    _outside(shortest, min(longest, most), was_end, now_end)
                    for was_end, now_end in zip(clean, (low, high), strict=True)
                )
                return None if off else "time within custom"
    return None if _outside(Fraction(1, 6), min(most, 4320), clean[1], high) else "time within custom"


def _times() -> dict[str, str]:
    return {"s": "s", "min": "min", "h": "h", "day": "day", "days": "day", "week": "week", "weeks": "week",
            "month": "month", "months": "month"}  # fmt: skip


def _turns(slip: Slip) -> str | None:
    """Folded two to eight times, every five minutes to two hours."""
    assert isinstance(slip.site.fact, TurnsFact)
    if slip.site.dimension != "time":
        return (
            None
            if slip.new is not None and _outside(1, 8, slip.old or Fraction(1), slip.new)
            else "time within custom"
        )
    text = _span_now(slip, slip.site.fact.span)
    now = _minutes(text)
    return "time within custom" if now is not None and 5 <= now <= 120 else None


def _heading_name(site: Site) -> str:
    heading = site.block.heading
    return heading.name.text if isinstance(heading, StepHeading) else ""


_TIMED: Final = re.compile(
    r"\b(bake|roast|simmer|boil|prove|rise|stew|steam|fry|soak|chill|leave|rest(?! of))"
)
_END: Final = re.compile(r"until|core|\btill\b|when|\bto (?:an?|the) (?:[\w-]+ )*(?:boil|simmer)")


def _time_deleted(slip: Slip, before: State, after: State) -> str | None:
    """Missed where a sentence bakes, boils or waits, has no other time, and says of no sign or core when it is done."""
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair):
        return None
    text = slip.site.source.text
    line = _prose_line(slip.site)
    assert line is not None
    start = max(text.rfind(". ", line.span.first, slip.site.start) + 1, line.span.first)
    end = text.find(". ", slip.site.end, line.span.last)
    end = line.span.last if end < 0 else end
    others = [
        piece
        for piece in line.pieces
        if isinstance(piece, DurationFact | TurnsFact)
        and piece is not slip.site.fact
        and start <= piece.span.first < end
    ]
    said = text[start:end].casefold()
    return None if not others and _TIMED.search(said) and not _END.search(said) else "time not needed"


def _hands(slip: Slip, before: State, after: State) -> str | None:
    """Somebody may stand and stir a pan for an hour or two; nobody stands before an oven or a rising dough."""
    pair = _pair(slip, before, after)
    fact = slip.site.fact
    if pair is None or contradicted(pair) or not isinstance(fact, DurationFact):
        return None
    pan = re.search(r"simmer|stew|cook|stir|caramel|brais|soften|boil", _said(slip.site))
    return "time within custom" if pan and quantities.extent(fact.duration)[0] <= 7200 else None


def _never(slip: Slip, before: State, after: State) -> str | None:
    """A slip that the page itself always shows."""
    return None


# ---------------------------------------------------------------- temperatures

_PLACES: Final[Mapping[str, tuple[int, int]]] = {
    "oven": (50, 300), "fan oven": (50, 280), "pan": (60, 320), "oil": (120, 210), "core": (45, 102),
    "dough": (15, 35), "room": (10, 40), "fridge": (0, 8), "freezer": (-30, -10), "": (0, 180),
}  # fmt: skip
"""Degrees Celsius, by the place a temperature is of; without one it is that of something drawn."""

_BAKED: Final = frozenset({"flour", "grain"})
_BEASTS: Final = frozenset({"meat", "poultry", "egg", "fish", "shellfish"})


def _celsius(value: Fraction, unit: str) -> Fraction:
    return (value - 32) * Fraction(5, 9) if "F" in unit else value


def _temperature(slip: Slip, before: State, after: State) -> str | None:
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair):
        return None
    site, fact = slip.site, slip.site.fact
    span = fact.temperature.span if isinstance(fact, TemperatureFact) else _span_of(site)
    now, was = _ends(_span_now(slip, span)), _ends(span.text)
    if now is None or was is None:
        return None
    unit_now = now[2] or was[2]
    old = [_celsius(end, was[2] or site.unit) for end in was[:2]]
    new = [_celsius(end, unit_now or site.unit) for end in now[:2]]
    if now[0] > now[1]:
        return None
    if site.sort == "reheats":
        return None if _outside(60, 100, old[0], new[0]) else "temperature within custom"
    if isinstance(fact, ChangeFact):
        return _change(slip, fact)
    assert isinstance(fact, TemperatureFact)
    place = fact.place or ""
    low, high = _PLACES[place]
    if place in ("oven", "fan oven") and re.search(
        r"bake|roast|heat", _said(site) + _heading_name(site).casefold()
    ):
        low = 130 if _short_bake(site) else 90
    if place == "":
        low, high = _of_liquid(site)
    if _outside(low, high, old[0], new[0]) or _outside(low, high, old[1], new[1]):
        return None
    if new[1] - new[0] > 40 >= old[1] - old[0]:
        return None
    if place in ("oven", "fan oven") and _told_twice(site, fact):
        return None
    if site.what == "unit" and _lone_scale(site):
        return None
    return "temperature within custom"


def _change(slip: Slip, fact: ChangeFact) -> str | None:
    """Two scales in one fact, warming for cooling, an end that the next change does not begin with, or no such cold."""
    span = fact.span
    found = re.findall(r"(-?\d[\d.]*) ?°?([CF])\b", _span_now(slip, span))
    if len(found) != 2 or found[0][1] != found[1][1]:
        return None
    start, end = (_celsius(Fraction(number), unit) for number, unit in found)
    clean = quantities.extent(fact.start)[0], quantities.extent(fact.end)[0]
    if (start > end) != (clean[0] > clean[1]) or not (-30 <= end <= 100 and -30 <= start <= 100):
        return None
    for other in _facts(slip.site):
        if isinstance(other, ChangeFact) and other is not fact:
            first, last = quantities.extent(other.start)[0], quantities.extent(other.end)[0]
            if (first == clean[1] and end != first) or (last == clean[0] and start != last):
                return None
    return "temperature within custom"


def _short_bake(site: Site) -> bool:
    """Whether the next time on the line is three quarters of an hour or less: nothing bakes so fast below 130 C."""
    line = _prose_line(site)
    pieces = line.pieces if line else ()
    at = next((at for at, piece in enumerate(pieces) if piece is site.fact), 0)
    times = [piece for piece in pieces[at:] if isinstance(piece, DurationFact)]
    return bool(times) and quantities.extent(times[0].duration)[1] <= 2700


def _span_of(site: Site) -> Span:
    if site.entry is not None:
        return site.entry.value.span
    assert site.fact is not None
    return site.fact.span


def _of_liquid(site: Site) -> tuple[int, int]:
    """What is drawn beside yeast is never colder than 1 C nor hotter than 55 C; anything else may be syrup."""
    kinds = kinds_drawn(site)
    if any("yeast" in kind for kind in kinds):
        return 1, 55
    return 0, 180


def _lone_scale(site: Site) -> bool:
    """Whether every other temperature of the recipe is in the scale that this one was in: now it stands alone."""
    others = {
        other.temperature.high[-1].unit
        for other in _facts(site)
        if isinstance(other, TemperatureFact) and other is not site.fact
    }
    return len(others) == 1 and others == {site.text.removeprefix("°")}


def _told_twice(site: Site, fact: TemperatureFact) -> bool:
    """Whether another step tells the very same temperature of the very same oven: then they differ now."""
    return any(
        isinstance(other, TemperatureFact)
        and other is not fact
        and other.place == fact.place
        and quantities.extent(other.temperature) == quantities.extent(fact.temperature)
        for other in _facts(site)
    )


def _facts(site: Site) -> Iterator[Fact]:
    for step in site.recipe.steps if site.recipe else ():
        for line in step.prose():
            for piece in line.pieces:
                if not isinstance(piece, Text):
                    yield piece


def _core(slip: Slip, before: State, after: State) -> str | None:
    """Under 65 C for food of meat, egg or fish, or kept and warmed again; under 85 C for bread."""
    recipe = slip.site.recipe
    assert recipe is not None
    assert slip.old is not None
    assert slip.new is not None
    old, new = _celsius(slip.old, slip.site.unit), _celsius(slip.new, slip.site.unit)
    compiled = before.compiled[recipe.name.key]
    kinds = {item.kind for item in compiled.formula.items() if item.inside}
    least = (
        85
        if old >= 85 and "flour" in kinds
        else 65
        if kinds & _BEASTS or recipe.block.entry("reheats")
        else 45
    )
    return None if _outside(least, 102, old, new) else "temperature within custom"


def _oven_scale(slip: Slip, before: State, after: State) -> str | None:
    """Hotter than 300 C is no kitchen oven, cooler than 90 C bakes nothing; and it may be told twice."""
    return _temperature(slip, before, after)


# ---------------------------------------------------------------- counts, lengths, facts


def _count(slip: Slip, before: State, after: State) -> str | None:
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair):
        return None
    made = pair[0].formula.makes
    pieces = made.count.low if made and made.count else pair[0].formula.serves
    if slip.site.sort == "pieces" and made and made.count:
        return None  # `makes` counts them too
    if slip.site.sort == "load" and pieces:
        return None if slip.new is not None and slip.new > pieces else "pieces nobody weighs"
    if slip.site.sort == "each" and pieces:
        return None  # so many of that weight are another weight than goes in
    return "pieces nobody weighs"


def _draw(slip: Slip, before: State, after: State) -> str | None:
    """More than the line has is seen."""
    fact = slip.site.fact
    pair = _pair(slip, before, after)
    if pair is None or not isinstance(fact, Draw):
        return None
    item = next((one for one in pair[0].formula.items() if fact.name.key in one.keys), None)
    if item is None or not item.weight:
        return None
    share = fact.share
    now = _ends(_span_now(slip, fact.span))
    if now is None:
        return None
    try:
        unit = {"g": 1, "kg": 1000, "ml": 1, "l": 1000}.get(now[2])
        amount = now[0] * unit if unit else None
    except ValueError:
        amount = None
    if amount is not None and amount > item.weight:
        return None
    if share.kind == "fraction" and now[0] > 100:
        return None
    return "the rest makes up for it"


def _length(slip: Slip, before: State, after: State) -> str | None:
    """A piece between half a millimetre and 70 cm, a tin between 5 and 60 cm; tools are free."""
    site = slip.site
    if site.sort == "trial":
        return "a notebook entry"
    pair = _pair(slip, before, after)
    if pair is not None and contradicted(pair):
        return None
    value, old = (slip.new or site.value), (slip.old or site.value)
    unit = slip.now if site.what == "unit" else site.unit
    sizes = {
        "mm": Fraction(1),
        "cm": Fraction(10),
        "m": Fraction(1000),
        "inch": Fraction("25.4"),
        "inches": Fraction("25.4"),
    }
    if unit not in sizes or (site.unit not in sizes):
        return (
            "length within custom"
            if site.sort == "equipment"
            else (
                "length within custom"
                if site.sort == "tin" and site.unit not in sizes and site.unit != "x"
                else None
            )
        )
    low, high = (20, 700) if site.sort == "tin" else (Fraction(1, 2), 700)
    if site.sort == "equipment":
        low, high = 5, 1000
    return (
        None if _outside(low, high, old * sizes[site.unit], value * sizes[unit]) else "length within custom"
    )


def _fact(slip: Slip, before: State, after: State) -> str | None:
    """A share above a hundred, or four times off every food of its kind in the larder."""
    entry = slip.site.entry
    assert entry is not None
    if slip.site.what == "unit":
        return None
    assert slip.old is not None
    assert slip.new is not None
    if isinstance(entry.value, Percentage) and slip.new > 100:
        return None
    heading = slip.site.block.heading
    name = getattr(heading, "name", None)
    food = before.kitchen.food(name) if isinstance(name, Name) else None
    field = entry.label.key.replace(" ", "_")
    figures = [
        value
        for one in map(larder().food, map(name_key, larder().food_names))
        if one is not None
        and food is not None
        and one.kind == food.kind
        and one.kind is not None
        and (value := getattr(one, field, None)) is not None
        and isinstance(value, Fraction)
        and value
    ]
    factor = slip.new / slip.old
    mine = getattr(food, field, None) if food else None
    if not isinstance(mine, Fraction) or not mine or not figures:
        return "fact within custom"
    now = mine * factor
    outside = _outside(min(figures) / 4, max(figures) * 4, mine, now)
    return None if outside else "fact within custom"


def _setting(slip: Slip, before: State, after: State) -> str | None:
    """A room of 5 to 45 C, taps of 0 to 90 C, friction up to 25 C, a height up to 4500 m, prices good for 5 days to
    two years; scales that show between a milligram and 50 g, and carry between 20 g and 100 kg.
    """
    if any_contradicted(before, after):
        return None
    old, new = before.kitchen.settings, after.kitchen.settings
    for low, high, was, now in (
        (5, 45, old.room, new.room),
        (-5, 45, old.flour, new.flour),
        (0, 4500, old.altitude, new.altitude),
        (5, 730, old.stale_after, new.stale_after),
        *((0, 90, one, other) for one, other in zip(old.tap_water or (), new.tap_water or (), strict=False)),
        *((0, 25, one[1], other[1]) for one, other in zip(old.friction, new.friction, strict=False)),
    ):
        if (was is None) != (now is None):
            return None
        if was is not None and now is not None and _outside(low, high, Fraction(was), Fraction(now)):
            return None
    if len(old.scales) != len(new.scales) or (new.tap_water and new.tap_water[0] > new.tap_water[1]):
        return None
    if any(not (Fraction(1, 1000) <= step <= 50 and 20 <= most <= 100_000) for step, most in new.scales):
        return None
    return "setting within custom"


_LASTING: Final = frozenset({"vinegar", "condiment", "syrup", "dried fruit"})
_SPOILING: Final = frozenset(
    {"meat", "poultry", "egg", "fish", "shellfish", "milk", "cream", "pulse", "grain", "vegetable"}
)


def _keeps(slip: Slip, before: State, after: State) -> str | None:
    """Frozen a year and a half; in the fridge ten days, or three weeks where nothing in it spoils fast; bread ten days
    and other baking six weeks; with vinegar, syrup or dried fruit three months; in a jar a year.
    """
    site = slip.site
    line = site.source.text[site.start :].partition(",")[0].partition("\n")[0]
    unit = slip.now if site.what == "unit" else site.unit
    days = {
        "h": Fraction(1, 24),
        "day": Fraction(1),
        "days": Fraction(1),
        "week": Fraction(7),
        "weeks": Fraction(7),
        "month": Fraction(30),
        "months": Fraction(30),
    }
    if unit not in days:
        return None
    compiled = before.compiled.get(site.recipe.name.key) if site.recipe else None
    kinds = {item.kind for item in compiled.formula.items()} if compiled else set()
    if re.search(r"frozen|freez", line):
        most = 540
    elif re.search(r"jar|bottle|cupboard|sealed", line):
        most = 400
    elif kinds & _LASTING and not kinds & (_BEASTS - {"egg"}):
        most = 90
    elif "fridge" in line:
        most = 10 if kinds & _SPOILING else 21
    else:
        most = 10 if kinds & YEASTS else 42
    return "keeps within custom" if (slip.new or site.value) * days[unit] <= most else None


def _bound(slip: Slip, before: State, after: State) -> str | None:
    """A broken test is seen, and so is a range that runs backwards or is ten times as wide as any."""
    entry = slip.site.entry
    assert isinstance(entry, Entry)
    if slip.site.block.kind == "style":
        return None if any_contradicted(before, after) else "test still holds"
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair):
        return None
    now = _ends(_span_now(slip, entry.value.span))
    return None if now is not None and now[0] > now[1] else "test still holds"


# ---------------------------------------------------------------- names


def _renamed_step(slip: Slip, before: State, after: State) -> str | None:
    return "nothing refers to it" if len(slip.lines) == 1 and not _referred(slip) else None


def _referred(slip: Slip) -> bool:
    recipe = slip.site.recipe
    key = name_key(slip.site.text)
    return any(
        site.sort == "after name" and name_key(site.text) == key and site.recipe is recipe
        for site in slip.site.bench.sites
    )


def _part_name(slip: Slip, before: State, after: State) -> str | None:
    """A part's name is seen to be misspelt where the page names the part again."""
    key = name_key(slip.site.text)
    again = any(
        site.what == "name"
        and site.sort in ("part name", "list part name", "preferment name", "draw name")
        and key in name_key(site.text)
        for site in _siblings(slip.site)
    )
    return None if again else "nothing refers to it"


def _line_gone(slip: Slip, before: State, after: State) -> str | None:
    if drawn_by(slip.site):
        return None
    pair = _pair(slip, before, after)
    return None if pair is None or contradicted(pair) else "not taken by name"


def _listed_name(slip: Slip, before: State, after: State) -> str | None:
    """A misspelt name is seen where a step takes the right one, or where the larder knows the right one."""
    entry = slip.site.entry
    assert entry is not None
    known = before.kitchen.food(entry.label) is not None
    return None if known or drawn_by(slip.site) else "not taken by name"


def _wrong_part(slip: Slip, before: State, after: State) -> str | None:
    """Seen where the step that takes the line works for a part, or the line's new part has steps of its own."""
    pair = _pair(slip, before, after)
    if pair is None or contradicted(pair):
        return None
    recipe = slip.site.recipe
    assert recipe is not None
    parts = {
        step.heading.part.key
        for step in recipe.steps
        if isinstance(step.heading, StepHeading) and step.heading.part
    }
    own = slip.site.block.heading
    old = own.part.key if isinstance(own, IngredientsHeading) and own.part else ""
    target = re.search(r"ingredients for (?:the )?(.*)$", slip.now)
    new = name_key(target[1]) if target else ""
    return None if {old, new} & parts else "drawn by any list"


_JUDGES: Final = {
    "amount ten times": _amount,
    "percent ten times": _amount,
    "yield ten times": _yield,
    "loss ten times": _loss,
    "price ten times": _price,
    "pack ten times": _price,
    "time ten times": _time,
    "temperature ten times": _temperature,
    "count ten times": _count,
    "draw ten times": _draw,
    "length ten times": _length,
    "fact ten times": _fact,
    "setting ten times": _setting,
    "bound broken": _bound,
    "keeps too long": _keeps,
    "draw dropped": _never,
    "draw doubled": _never,
    "misspelt in the list": _listed_name,
    "misspelt in the step": _never,
    "line deleted": _line_gone,
    "line doubled": _never,
    "line in the wrong part": _wrong_part,
    "step named misspelt": _never,
    "step renamed": _renamed_step,
    "steps swapped": _never,
    "part misspelt": _part_name,
    "base misspelt": _never,
    "style misspelt": _never,
    "instead misspelt": _never,
    "expected figure misspelt": _never,
    "price name misspelt": _price_named,
    "fact word misspelt": _never,
    "price aged": _aged,
    "price deleted": _price_gone,
    "currency changed": _currency,
    "liquid heated": _never,
    "core lowered": _core,
    "oven by the other scale": _oven_scale,
    "hands-off dropped": _hands,
    "time deleted": _time_deleted,
    "cooling slowed": _never,
}


def _by_sort(slip: Slip, before: State, after: State) -> str | None:
    """Operators that work on any figure are judged as a slip of that sort of figure."""
    sort = slip.site.sort
    judge = {
        "amount": _amount,
        "percent": _amount,
        "preferment share": _amount,
        "makes count": _yield,
        "makes weight": _yield,
        "price": _price,
        "pack": _price,
        "duration": _time,
        "turns": _time,
        "temperature": _temperature,
        "change temperature": _temperature,
        "change time": _change_unit,
        "draw amount": _draw,
        "each": _count,
        "length": _length,
        "tin": _length,
        "keeps": _keeps,
        "setting": _setting,
        "ingredient fact": _fact,
        "expect": _bound,
        "style bound": _bound,
    }[sort]
    return judge(slip, before, after)


def _change_unit(slip: Slip, before: State, after: State) -> str | None:
    """Two hours written as two minutes or seconds: no food cools so fast; as two days it spoils."""
    return None


for _name in ("range end slipped", "digits swapped", "unit swapped"):
    _JUDGES[_name] = _by_sort
