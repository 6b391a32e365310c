"""Amounts that no such dish has: slipped decimals and swapped units, with a style or without.

A dish is held against what dishes usually have (`usual_shares`): as a dough, batter or cake, as a share of the
whole, by the portion, by the piece. Where it lies outside, each line is tried ten times and a tenth of itself, in
the next unit up and down: the line with which everything would be usual is the one that is asked about. It is a
question, never an error: a cook may mean it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from benchproof.compiler import usual_shares as usual
from benchproof.compiler.batch import Extent
from benchproof.compiler.checks import ratios as ratio_checks
from benchproof.compiler.checks import yields as yield_checks
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import count, number, percent, weight
from benchproof.compiler.findings import Also, Finding
from benchproof.compiler.formula import Formula, FormulaPart, Item, same_word
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.ratios import HYDRATING, YEASTS, flour_in, poured_in
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import (
    Counted,
    Measured,
    Parts,
    Percentage,
    Quantity,
    Term,
    TimesOf,
    ToTaste,
    name_key,
)
from benchproof.compiler.usual_shares import FormulaClass

_TEN: Final = Fraction(10)
_THOUSAND: Final = Fraction(1000)
_NOUGHT: Final = Fraction(0)
_NEVER: Final = Fraction(1000)
"""How far outside a range is that nothing of the food reaches."""

_CLASS_FAR: Final = Fraction(2)
"""Times beyond every class of dough, batter or cake: outside the widest of them by that much."""
_CLASS_NEAR: Final = Fraction(13, 10)
"""What the amount that is asked about has to reach: all but inside a class."""
_NAMED_FAR: Final = Fraction(5, 2)
"""The same for the classes that the title names; a title may be fanciful."""
_NAMED_NEAR: Final = Fraction(8, 5)
_FAR: Final = Fraction(3)
"""Times beyond its range of what no one slip explains, and is asked about all the same."""

_OTHER_KINDS: Final = frozenset(
    {
        "meat",
        "poultry",
        "fish",
        "shellfish",
        "vegetable",
        "puree",
        "pulse",
        "pasta",
        "fruit",
        "prepared",
        "condiment",
    }
)
"""What makes a list with flour in it something else than dough, batter or cake, from a third of it on."""
_DRY_FOODS: Final = frozenset(
    {"ground almonds", "rolled oats", "oats", "desiccated coconut", "polenta", "almonds"}
)
"""What stands in for flour beside it."""
_SOFT: Final = frozenset({"cream", "yoghurt", "cheese", "puree", "fruit"})
_FRESH: Final = frozenset({"egg", "milk", "flour", "nut", "seed", "grain", "starch", "plant milk", "liquid"})
"""Kinds whose fat and sugar no class counts."""


# ---------------------------------------------------------------- the dish


@dataclass(frozen=True)
class _Breach:
    """One way in which the dish is unusual: how many times beyond the range, and in words."""

    key: tuple[str, object]
    times: Fraction
    words: str
    lines: tuple[int, ...] = ()


@dataclass(frozen=True)
class _Facts:
    """What the tables say of a line's food, looked up once."""

    share: Extent | None
    floor: Fraction | None
    portion: Fraction | None
    titled: bool


@dataclass(frozen=True)
class _Dish:
    """A formula's lines and their weights, which may be tried otherwise."""

    formula: Formula
    items: tuple[Item, ...]
    parts: tuple[FormulaPart, ...]
    weights: tuple[Fraction, ...]
    serves: Fraction | None
    pieces: Fraction | None
    hands_off: Fraction
    words: frozenset[str]
    facts: tuple[_Facts, ...]
    measures: str

    def inside(self) -> Iterator[tuple[int, Item, Fraction]]:
        for index, item in enumerate(self.items):
            if item.inside:
                yield index, item, self.weights[index]

    @property
    def total(self) -> Fraction:
        return sum((weight for _, _, weight in self.inside()), _NOUGHT)

    def with_line(self, index: int, times: Fraction) -> _Dish:
        """The dish with one line so many times itself, and what hangs on it."""
        weights = list(self.weights)
        item = self.items[index]
        scaled = {index}
        weights[index] *= times
        mates = [other for other, one in enumerate(self.items) if one.part == item.part and other != index]
        if item.is_base:
            old = sum((self.weights[one] for one in [*mates, index] if self.items[one].is_base), _NOUGHT)
            new = sum((weights[one] for one in [*mates, index] if self.items[one].is_base), _NOUGHT)
            for one in mates:
                value = self.items[one].entry.value
                if isinstance(value, Percentage) and value.of is None and not self.items[one].is_base and old:
                    weights[one] *= new / old
                    scaled.add(one)
        for one in mates:
            value = self.items[one].entry.value
            if not isinstance(value, Percentage | TimesOf) or value.of is None or one in scaled:
                continue
            if any(value.of.key in self.items[other].keys for other in scaled):
                weights[one] *= times
        if self.sized:
            before, after = self.total, replace(self, weights=tuple(weights)).total
            weights = [one * before / after for one in weights] if after else weights
        return replace(self, weights=tuple(weights))

    @property
    def sized(self) -> bool:
        """Whether the size follows from the yield: no line has an amount of its own."""
        return not any(
            item.inside and isinstance(item.entry.value, Measured | Counted) for item in self.items
        )

    def named(self, words: Iterable[str]) -> bool:
        return not self.words.isdisjoint(words)


def _singular(words: str) -> frozenset[str]:
    """The words of a title, each in every form it may be the plural of."""
    found: set[str] = set()
    for word in re.findall(r"[\w']+", name_key(words)):
        found.add(word)
        for end, instead in (("ies", "y"), ("ves", "f"), ("es", ""), ("s", "")):
            if word.endswith(end) and len(word) - len(end) > 1:
                found.add(word[: -len(end)] + instead)
    return frozenset(found)


def _facts(item: Item, words: frozenset[str]) -> _Facts:
    keys = item.keys
    share = next((usual.SHARE_BY_FOOD[key] for key in keys if key in usual.SHARE_BY_FOOD), None)
    floor = next((usual.FLOOR_BY_FOOD[key] for key in keys if key in usual.FLOOR_BY_FOOD), None)
    return _Facts(
        share if share is not None else usual.SHARE_BY_KIND.get(item.kind or ""),
        floor if floor is not None else usual.FLOOR_BY_KIND.get(item.kind or ""),
        next((usual.PORTION_BY_FOOD[key] for key in keys if key in usual.PORTION_BY_FOOD), None),
        _in_title(item, words),
    )


def _dish(compiled: Compiled, measures: str) -> _Dish:
    formula = compiled.formula
    items = tuple(formula.items())
    makes = formula.makes
    pieces = makes.count.low if makes is not None and makes.count is not None else None
    waits = (
        sum((step.hands_off.high for step in compiled.batch.steps), _NOUGHT) if compiled.batch else _NOUGHT
    )
    words = _singular(formula.recipe.name.text)
    return _Dish(
        formula,
        items,
        formula.listed,
        tuple(item.weight or _NOUGHT for item in items),
        formula.serves,
        pieces,
        waits,
        words,
        tuple(_facts(item, words) for item in items),
        measures,
    )


# ---------------------------------------------------------------- the check


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    if not compiled.formula.sound or not any(item.weight for item in compiled.formula.items()):
        return
    dish = _dish(compiled, kitchen.settings.measures)
    told = [*ratio_checks.check(compiled, kitchen), *yield_checks.check(compiled, kitchen)]
    if any(one.rule == "yield-does-not-add-up" and one.also for one in told):
        return  # the line that explains it is told
    lines = {(one.span.source.name, one.span.line) for one in told}
    sums = any(one.rule == "yield-does-not-add-up" for one in told)
    slipped = any(one.rule == "slipped-decimal" for one in told)
    for finding in _questions(dish, _skipped(compiled, sums, slipped)):
        if (finding.span.source.name, finding.span.line) not in lines:
            yield finding


def _skipped(compiled: Compiled, sums: bool, slipped: bool) -> frozenset[str]:
    """What is not asked: what has a finding of its own, and what the recipe waives by its own style."""
    skipped = set()
    if sums:
        skipped |= {"piece"}
    if slipped:
        skipped |= {"class", "salt", "title", "portion", "salt of flour", "yeast of flour"}
    if compiled.batch is not None and any(ratio.verdict is not None for ratio in compiled.batch.ratios):
        skipped |= {f"{ratio.name} of flour" for ratio in compiled.batch.ratios if ratio.verdict is not None}
    return frozenset(skipped)


def _questions(dish: _Dish, skipped: frozenset[str]) -> Iterator[Finding]:
    found = {
        one.key: one for one in breaches(dish, near=False) if one.key[0] not in skipped and one.times > 1
    }
    if not found:
        return
    before = {one.key for one in breaches(dish, near=True)}
    doughs = _doughs(dish)
    best: list[_Try] = []
    for trial in _tries(dish):
        after = {one.key for one in breaches(trial.dish, near=True) if one.key[0] not in skipped}
        if after - before - {("written big", trial.index)} or not doughs <= _doughs(trial.dish):
            continue
        mended = [found[key] for key in found if key not in after]
        if mended:
            best.append(replace(trial, mended=tuple(mended)))
    if best:
        best.sort(key=_Try.rank)
        first = best[0]
        others = [one for one in best[1:] if len(one.mended) == len(first.mended) and one.span != first.span]
        yield first.finding(others[:1])
        done = {one.key for one in first.mended}
        found = {key: one for key, one in found.items() if key not in done}
        if first.wide:
            return
    worst = sorted(found.values(), key=lambda one: -one.times)
    for breach in worst[:1]:
        if breach.times >= _FAR and not best and breach.key[0] != "class":
            yield _unexplained(dish, breach)


def _doughs(dish: _Dish) -> frozenset[int]:
    """Which lists are a dough, batter or cake: with next to no flour they are none, and nothing is said of them."""
    return frozenset(at for at, part in enumerate(dish.parts) if _profile(dish, part) is not None)


@dataclass(frozen=True)
class _Try:
    """The dish with one amount otherwise."""

    dish: _Dish
    span: Span
    name: str
    written: str
    likely: str
    times: Fraction
    index: int | None
    what: str
    alone: bool = False
    mended: tuple[_Breach, ...] = ()

    @property
    def wide(self) -> bool:
        return self.index is None

    def rank(self) -> tuple[int, int, int, int, int]:
        """What mends most comes first, then a unit that stands alone, then what the breaches are of."""
        steps = 0 if self.times in (_TEN, 1 / _TEN) else 1 if self.times in (_THOUSAND, 1 / _THOUSAND) else 2
        guilty = sum(1 for one in self.mended if self.index is not None and self.index in one.lines)
        if self.index is None:
            of_one = len({one.lines for one in self.mended}) == 1
            guilty = len(self.mended) + 1 if self._few() else 0 if of_one else len(self.mended)
        alone = 0 if self.times == 1 / _THOUSAND and self.alone else 1
        odd = 0 if _odd(self.written) else 1
        return (
            -len(self.mended),
            alone,
            -guilty,
            steps * 2 + odd,
            self.index if self.index is not None else -1,
        )

    def _few(self) -> bool:
        """Whether the portions or pieces are too small all told, which a number that is too big explains best."""
        return self.times < 1 and any(one.key in (("portion", 0), ("piece", 0)) for one in self.mended)

    def finding(self, others: Sequence[_Try]) -> Finding:
        worst = max(self.mended, key=lambda one: (self.index in one.lines, one.times))
        also = tuple(Also(one.span, f"or this one is wrong: {one.likely}?") for one in others)
        makes = self.dish.formula.makes
        if makes is not None and self.dish.sized and any(one.key[0] == "piece" for one in self.mended):
            also = (*also, Also(makes.span, "everything is sized by what it makes: is its unit right?"))
        if self.what in ("serves", "makes"):
            return find(
                "unlikely-portion",
                self.span,
                f"`{self.what}: {self.written}` does not go with the amounts: {worst.words}.",
                f"Is {self.likely} meant? If {self.written} is right, look at the amounts again, or write "
                "`waive: unlikely-portion because …` with the reason.",
                also=also,
            )
        return find(
            "unlikely-amount",
            self.span,
            f"{self.name} at {self.written}: {worst.words}.{self._like()}",
            f"Is {self.likely} meant? If {self.written} is right, write `waive: unlikely-amount because …` with "
            "the reason.",
            also=also,
        )

    def _like(self) -> str:
        lists = [one for one in self.mended if one.key[0] == "class"]
        if not lists or self.index is None:
            return ""
        part = self.dish.parts[self.dish.items[self.index].part] if len(self.dish.parts) > 1 else None
        for one in self.dish.parts if part is None else (part,):
            nearest = _nearest_class(self.dish, one)
            if nearest is not None:
                return f" With {self.likely} it would be like {nearest.name}."
        return ""


def _odd(written: str) -> bool:
    """Whether an amount is written finer than its size asks for: `1.5 g`, `0.4 tins`."""
    return bool(re.search(r"\d\.\d", written))


def _tries(dish: _Dish) -> Iterator[_Try]:
    """Every amount a decimal place or a unit over."""
    for index, item in enumerate(dish.items):
        if not item.weight or item.lent or isinstance(item.entry.value, ToTaste):
            continue
        for times, likely in _slips(item):
            span = item.entry.value.span
            yield _Try(
                dish.with_line(index, times),
                span,
                item.name.text,
                span.text,
                likely,
                times,
                index,
                "line",
                _stands_alone(dish, item),
            )
    serves = dish.formula.recipe.block.entry("serves")
    makes = dish.formula.makes
    for times in (1 / _TEN, _TEN):
        if serves is not None and dish.serves:
            many = dish.serves * times
            yield _Try(
                replace(dish, serves=many),
                serves.value.span,
                "serves",
                serves.value.span.text,
                count(many),
                times,
                None,
                "serves",
            )
        if (
            makes is not None
            and makes.count is not None
            and dish.pieces
            and (makes.each is None or dish.pieces < 1)
        ):
            many = dish.pieces * times
            noun = makes.noun.text if makes.noun else None
            yield _Try(
                replace(dish, pieces=many),
                makes.span,
                "makes",
                makes.span.text,
                count(many, noun) if noun else count(many),
                times,
                None,
                "makes",
            )


def _stands_alone(dish: _Dish, item: Item) -> bool:
    """Whether a line is in kg or l where most others are in g or ml."""
    units = [
        one.entry.value.quantity.low[0].unit for one in dish.items if isinstance(one.entry.value, Measured)
    ]
    own = item.entry.value.quantity.low[0].unit if isinstance(item.entry.value, Measured) else ""
    small = {"kg": "g", "l": "ml"}.get(own, "")
    return bool(small) and units.count(small) > units.count(own)


_NEXT_UNIT: Final = {
    "g": ("kg", _THOUSAND),
    "kg": ("g", 1 / _THOUSAND),
    "ml": ("l", _THOUSAND),
    "l": ("ml", 1 / _THOUSAND),
    "tsp": ("tbsp", Fraction(3)),
    "tbsp": ("tsp", Fraction(1, 3)),
}
"""What a unit is taken for. A tablespoon is three teaspoons, four in Australia."""


def _slips(item: Item) -> Iterator[tuple[Fraction, str]]:
    """What may have been meant: how many times what is written, and how that is written."""
    value = item.entry.value
    for times in (1 / _TEN, _TEN):
        yield times, likely_amount(item, times)
    if isinstance(value, Measured) and len(value.quantity.low) == 1:
        term: Term = value.quantity.low[0]
        if term.unit in _NEXT_UNIT:
            unit, times = _NEXT_UNIT[term.unit]
            figures = re.split(r"[^\d./ ]", value.quantity.span.text)[0].strip()
            yield times, f"{figures} {unit}"


def likely_amount(item: Item, times: Fraction) -> str:
    """The amount so many times over, as the line writes it."""
    value = item.entry.value
    if isinstance(value, Percentage):
        of = f" of {value.of.text}" if value.of is not None else ""
        return percent(value.number.low * times) + of
    if isinstance(value, Parts):
        return f"{_decimal(value.number.low * times)} parts"
    if isinstance(value, TimesOf):
        return f"{_decimal(value.number.low * times)} times {value.of.text}"
    if isinstance(value, Counted):
        return count(value.number.low * times, value.noun.text if value.noun else None)
    if isinstance(value, Measured) and len(value.quantity.low) == 1:
        return _one_term(value.quantity, times)
    assert item.weight is not None
    return weight(item.weight * times, Fraction(1, 10))


def _one_term(quantity: Quantity, times: Fraction) -> str:
    term = quantity.low[0]
    amount = term.number * times
    spoons = quantity.dimension == "volume" and term.unit not in ("ml", "l", "cl", "dl")
    shown = count(amount) if spoons else _decimal(amount)
    system = f"{term.system} " if term.system else ""
    return f"{shown} {system}{term.unit.replace('_', ' ')}"


def _decimal(value: Fraction) -> str:
    text = number(value, 3)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _unexplained(dish: _Dish, breach: _Breach) -> Finding:
    lines = [index for index in breach.lines if dish.items[index].weight]
    if not lines:
        entry = dish.formula.recipe.block.entry("serves") or dish.formula.recipe.block.entry("makes")
        span = entry.value.span if entry else dish.formula.recipe.name.span
        return find(
            "unlikely-portion",
            span,
            f"This does not go with the amounts: {breach.words}.",
            "Look at the amounts and at this figure again, or write `waive: unlikely-portion because …` with "
            "the reason.",
        )
    item = dish.items[max(lines, key=lambda one: dish.weights[one])]
    span = item.entry.value.span
    makes = dish.formula.makes
    also: tuple[Also, ...] = ()
    if makes is not None and dish.sized:
        also = (Also(makes.span, "everything is sized by what it makes: is its unit right?"),)
    return find(
        "unlikely-amount",
        span,
        f"{item.name.text} at {span.text}: {breach.words}.",
        f"Look at the amounts again. If {span.text} is right, write `waive: unlikely-amount because …` with the "
        "reason.",
        also=also,
    )


# ---------------------------------------------------------------- what is unusual


def _times_beyond(value: Fraction, extent: Extent) -> Fraction:
    """How many times a value lies beyond a range; 1 or less is inside."""
    if value > extent.high:
        return value / extent.high if extent.high else _NEVER
    if value < extent.low:
        return extent.low / value if value else _NEVER
    return Fraction(1)


def breaches(dish: _Dish, *, near: bool) -> Iterator[_Breach]:
    """Everything about the dish that is unusual. `near` holds it closer, for an amount that is to be offered."""
    yield from _whole(dish)
    yield from _shares(dish)
    yield from _salt(dish)
    yield from _title(dish)
    yield from _floors(dish)
    yield from _writing(dish)
    yield from _portions(dish)
    yield from _pieces(dish)
    yield from _purposes(dish)
    for part in dish.parts:
        yield from _flour_list(dish, part, near)
        yield from _sweet_list(dish, part)
        yield from _cooked_in(dish, part)


def _key_in(item: Item, table: Iterable[str]) -> str | None:
    """The name by which a table has it: its own, or one it goes by."""
    return next((key for key in table if key in item.keys), None)


def _whole(dish: _Dish) -> Iterator[_Breach]:
    """One line that is nearly all, and fractions of a piece that nobody counts out."""
    lines = [(index, item, one) for index, item, one in dish.inside() if one]
    total = dish.total
    if len(lines) >= usual.NEARLY_ALL_OF and total:
        for index, _item, one in lines:
            share = one * 100 / total
            if share > usual.NEARLY_ALL:
                yield _Breach(
                    ("all", index),
                    (100 - usual.NEARLY_ALL) / max(100 - share, Fraction(1, 1000)),
                    f"that is {percent(share)} of all {count(Fraction(len(lines)))} lines together",
                    (index,),
                )
    for index, item in enumerate(dish.items):
        value = item.entry.value
        if isinstance(value, Counted) and item.weight:
            pieces = value.number.low * dish.weights[index] / item.weight
            if pieces < 1 and pieces not in _PARTS_OF_A_PIECE:
                yield _Breach(
                    ("part of a piece", index),
                    Fraction(2),
                    "nobody counts out such a part of one",
                    (index,),
                )


_PARTS_OF_A_PIECE: Final = frozenset(
    {Fraction(1, 2), Fraction(1, 4), Fraction(3, 4), Fraction(1, 3), Fraction(2, 3), Fraction(1, 8)}
)


def _is_strong(dish: _Dish) -> bool:
    """Whether it is a sauce, a paste, a pickle by its title, and no dish of meat, fish, grain or pulses in one."""
    meal = any(item.kind in usual.MEAL_KINDS and one * 8 > dish.total for _, item, one in dish.inside())
    return dish.named(usual.CONCENTRATES) and not meal


def _shares(dish: _Dish) -> Iterator[_Breach]:
    """Strong foods as a share of all that goes in."""
    total = dish.total
    if not total or _is_strong(dish):
        return
    plain = sum(
        (one for _, item, one in dish.inside() if item.kind not in ("spice", "herb", "salt", "sugar")),
        _NOUGHT,
    )
    if not plain:
        return  # a mix of spices, or sugar with cinnamon
    for index, item, one in dish.inside():
        extent = dish.facts[index].share
        if extent is None or (item.kind == "herb" and dish.facts[index].titled):
            continue
        share = one * 100 / total
        times = _times_beyond(share, extent)
        if times > 1:
            yield _Breach(
                ("share", index),
                times,
                f"that is {percent(share)} of all that goes in, and {percent(extent.high)} is much",
                (index,),
            )


_CURED: Final = frozenset(
    {"brine", "cure", "cured", "pickle", "pickled", "preserved", "kimchi", "sauerkraut", "gravlax", "crust"}
)


def _salt(dish: _Dish) -> Iterator[_Breach]:
    """Salt added, of the whole dish."""
    total = dish.total
    lines = [(index, one) for index, item, one in dish.inside() if item.kind == "salt"]
    if not total or not lines or dish.named(_CURED) or dish.named(("seasoning", "rub", "salt", "mix")):
        return
    share = sum((one for _, one in lines), _NOUGHT) * 100 / total
    sweet = sum((one for _, item, one in dish.inside() if item.kind in ("sugar", "syrup", "fruit")), _NOUGHT)
    savoury = sweet * 20 < total and any(
        item.kind in usual.MEAL_KINDS | {"vegetable"} for _, item, _one in dish.inside()
    )
    salty = any(
        item.kind in usual.SALTY or _key_in(item, usual.SALTY_FOODS) is not None or "stock" in item.name.key
        for item in dish.items
    )
    tasted = any(item.kind == "salt" and item.to_taste for item in dish.items)
    low = usual.SALT_OF_DISH.low if savoury and not salty and not tasted else _NOUGHT
    times = _times_beyond(share, Extent(low, usual.SALT_OF_DISH.high))
    if times > 1:
        most = max(lines, key=lambda line: line[1])
        much = "is much" if share > low else "is little"
        edge = usual.SALT_OF_DISH.high if share > low else low
        yield _Breach(
            ("salt", 0),
            times,
            f"salt comes to {percent(share)} of all that goes in, and {percent(edge)} {much}",
            (_crowded(dish) if share < low else ()) or (most[0],),
        )


_GENERIC: Final = frozenset({"fruit", "vegetables", "meat", "fish", "beans", "mix", "nuts", "sauce", "cream"})
"""Last words of names that a title says of several foods together."""


def _in_title(item: Item, words: frozenset[str]) -> bool:
    """Whether the title names it: `mushroom` for mushrooms, `plum` for plums."""
    for key in item.keys:
        last = key.split()[-1]
        if len(last) > 2 and last not in _GENERIC and any(same_word(last, word) for word in words):
            return True
    return False


def _title(dish: _Dish) -> Iterator[_Breach]:
    """What the title names is a good part of the dish."""
    total = dish.total
    if not total:
        return
    named: dict[str, list[int]] = {}
    for index, item, _one in dish.inside():
        by_title = dish.facts[index].titled and item.kind in usual.TITLE_KINDS
        if by_title and _key_in(item, usual.NOT_BY_TITLE) is None:
            named.setdefault(item.kind or "", []).append(index)
    for kind, lines in named.items():
        share = sum((dish.weights[one] for one in lines), _NOUGHT) * 100 / total
        if share < usual.TITLE_SHARE:
            yield _Breach(
                ("title", kind),
                usual.TITLE_SHARE / share if share else _NEVER,
                f"the dish is named after it, and it is {percent(share)} of what goes in",
                _crowded(dish) or tuple(lines),
            )


def _crowded(dish: _Dish) -> tuple[int, ...]:
    """The one line that makes all others look small, if there is one: more than half of the dish, not in its name."""
    total = dish.total
    for index, item, one in dish.inside():
        if one * 2 > total and not dish.facts[index].titled and item.kind not in ("poultry", "meat", "fish"):
            return (index,)
    return ()


def _floors(dish: _Dish) -> Iterator[_Breach]:
    """Lines so small that nobody would write them down."""
    total = dish.total
    if total < usual.FLOOR_FROM:
        return
    for index, item in enumerate(dish.items):
        if not item.weight or item.lent or (item.purpose or "").startswith("for its"):
            continue
        floor = dish.facts[index].floor
        one = dish.weights[index]
        if floor is not None and one < floor:
            yield _Breach(
                ("floor", index),
                floor / one,
                f"in a dish of {weight(total, Fraction(1))} that is next to nothing",
                (index, *_bases(dish, item)),
            )


def _bases(dish: _Dish, item: Item) -> tuple[int, ...]:
    """The lines that a percentage is of."""
    if not isinstance(item.entry.value, Percentage) or item.entry.value.of is not None:
        return ()
    return tuple(at for at, one in enumerate(dish.items) if one.part == item.part and one.is_base)


_SPOONS: Final = ("tsp", "tbsp", "cup")
_WHOLE_GRAMS: Final = frozenset(
    {"flour", "milk", "cream", "egg", "fat", "oil", "sugar", "syrup", "vegetable", "meat", "poultry", "fish"}
    | {"cheese", "fruit", "dried fruit", "nut", "liquid", "grain", "pasta", "pulse", "yoghurt", "chocolate"}
)
"""Kinds that are weighed in whole grams, in a recipe where all the others are."""


def _writing(dish: _Dish) -> Iterator[_Breach]:
    """Amounts as nobody writes them: a tenth of a spoon, ten teaspoons, 0.12 kg beside 800 g, 1.5 g of butter."""
    plain = [
        term
        for item in dish.items
        if isinstance(item.entry.value, Measured) and len(item.entry.value.quantity.low) == 1
        for term in item.entry.value.quantity.low
    ]
    grams = sum(1 for term in plain if term.unit in ("g", "ml") and term.number >= 100)
    bulk = [
        item
        for item in dish.items
        if isinstance(item.entry.value, Measured)
        and item.entry.value.quantity.low[0].unit == "g"
        and item.kind in _WHOLE_GRAMS
    ]
    broken = [item for item in bulk if item.entry.value.quantity.low[0].number.denominator != 1]  # type: ignore[union-attr]
    for index, item in enumerate(dish.items):
        value = item.entry.value
        if not isinstance(value, Measured) or len(value.quantity.low) != 1 or not item.weight:
            continue
        term = value.quantity.low[0]
        number = term.number * dish.weights[index] / item.weight
        system = term.system or dish.measures
        most = usual.MOST_SPOONS.get(term.unit)
        if term.unit == "tbsp" and system == "US":
            most = usual.MOST_US_TABLESPOONS
        words, sort, times = "", "written", Fraction(3, 2)
        if term.unit in _SPOONS and number < 1 and (number * 24).denominator != 1 and not _third(number):
            words, times = "no spoon or cup measures that", _FAR
        elif most is not None and number > most:
            words = "nobody counts out so many"
        elif term.unit in ("kg", "l") and number < usual.BIG_UNIT_LEAST and grams:
            words, sort = "other lines here are in g or ml, and so little would be too", "written big"
        elif broken == [item] and len(bulk) > 3 and term.number < 20 and number.denominator != 1:
            words = "every other such line is in whole grams"
        if words:
            yield _Breach((sort, index), times, words, (index,))


def _third(number: Fraction) -> bool:
    """0.33, 0.67, 0.13: a third or an eighth as a decimal."""
    return any(abs(number - Fraction(one, 24)) <= Fraction(1, 150) for one in range(1, 24))


# ---------------------------------------------------------------- portions and pieces


def _people(dish: _Dish) -> Fraction | None:
    if dish.serves:
        return dish.serves
    makes = dish.formula.makes
    if makes is not None and makes.noun is not None and makes.noun.key in usual.PORTION_WORDS:
        return dish.pieces
    return None


def _portions(dish: _Dish) -> Iterator[_Breach]:
    """What each person is served, in all and of each group of foods."""
    people = _people(dish)
    total = dish.total
    if people is None or not people or not total:
        return
    if dish.serves is not None and dish.serves < 1:
        yield _Breach(("people", 0), Fraction(5), f"{_decimal(dish.serves)} of a person are served")
    kinds = {item.kind for _, item, one in dish.inside() if one * 8 > total}
    greens = sum((one for _, item, one in dish.inside() if item.kind in ("vegetable", "puree")), _NOUGHT)
    if dish.named(usual.SAUCE_WORDS):
        extent = usual.SAUCE_PORTION
    elif kinds & usual.MEAL_KINDS:
        extent = usual.MEAL_PORTION
    else:
        extent = usual.SIDE_PORTION if greens * 3 > total else usual.PORTION_IN_ALL
    finished = dish.formula.finished / dish.formula.weight if dish.formula.weight else Fraction(1)
    portion = total * finished / people
    times = _times_beyond(portion, extent)
    if times > 1:
        biggest = max(dish.inside(), key=lambda line: line[2])[0]
        yield _Breach(
            ("portion", 0),
            times,
            f"a portion comes to {weight(portion, None)}, and {weight(_edge(portion, extent), None)} is "
            f"{'much' if portion > extent.high else 'little'}",
            (biggest,),
        )
    served = [
        (index, item, dish.weights[index])
        for index, item in enumerate(dish.items)
        if item.weight and (item.inside or "table" in (item.purpose or ""))
    ]
    for group in usual.PORTIONS:
        lines = [(index, one) for index, item, one in served if item.kind in group.kinds]
        if not lines:
            continue
        each = sum((one for _, one in lines), _NOUGHT) / people
        extent = Extent(_least(dish, group, [index for index, _ in lines]), group.usual.high)
        times = _times_beyond(each, extent)
        if times > 1:
            most = max(lines, key=lambda line: line[1])[0]
            yield _Breach(
                ("portion of", group.name),
                times,
                f"that makes {weight(each, Fraction(1, 10))} of {group.name} a portion, and "
                f"{weight(_edge(each, extent), None)} is {'much' if each > extent.high else 'little'}",
                (most,),
            )
    for index, item, one in served:
        high = dish.facts[index].portion
        if high is None or _is_strong(dish):
            continue
        by_title = dish.facts[index].titled and _key_in(item, usual.NOT_BY_TITLE) is None
        high *= 3 if by_title else 1
        if one > high * people:
            yield _Breach(
                ("portion of one", index),
                one / (high * people),
                f"that makes {weight(one / people, Fraction(1, 10))} of {item.name.text} a portion, and "
                f"{weight(high, None)} is much",
                (index,),
            )


def _least(dish: _Dish, group: usual.Portion, lines: Sequence[int]) -> Fraction:
    """The low end of a portion, where the dish is made for that food."""
    foods = [dish.items[index] for index in lines]
    if "meat" in group.kinds:
        if any(_key_in(item, usual.GARNISH_MEATS) for item in foods):
            return _NOUGHT
        named = dish.named(usual.MEAT_WORDS) or any(dish.facts[index].titled for index in lines)
        return usual.MEAT_DISH if named else group.usual.low
    if "grain" in group.kinds:
        return usual.GRAIN_DISH if all(_key_in(item, usual.BOILED_GRAIN) for item in foods) else _NOUGHT
    return group.usual.low


def _edge(value: Fraction, extent: Extent) -> Fraction:
    return extent.high if value > extent.high else extent.low


def _pieces(dish: _Dish) -> Iterator[_Breach]:
    """What a piece weighs, by what it is called."""
    makes = dish.formula.makes
    if makes is None or makes.count is None or not dish.pieces or not dish.total:
        return
    noun = makes.noun.key.split()[-1] if makes.noun is not None else ""
    if makes.noun is not None and any(word in usual.PIECES for word in _singular(makes.noun.key)):
        extent = next(usual.PIECES[word] for word in _singular(makes.noun.key) if word in usual.PIECES)
    elif _singular(noun) & usual.WHOLE_OR_SMALL:
        extent = usual.WHOLE if dish.pieces <= usual.FEW else usual.SMALL
    else:
        extent = usual.ANY_PIECE
    if dish.pieces < 1 and dish.pieces not in _PARTS_OF_A_PIECE:
        yield _Breach(("piece", 1), Fraction(5), f"{_decimal(dish.pieces)} of one is made")
    finished = dish.formula.finished / dish.formula.weight if dish.formula.weight else Fraction(1)
    each = dish.total * finished / dish.pieces
    times = _times_beyond(each, extent)
    if times > 1:
        yield _Breach(
            ("piece", 0),
            times,
            f"each comes to {weight(each, Fraction(1, 10))}, and {weight(_edge(each, extent), None)} is "
            f"{'much' if each > extent.high else 'little'}",
            (max(dish.inside(), key=lambda line: line[2])[0],),
        )


# ---------------------------------------------------------------- outside the formula

_GREASED: Final = re.compile(
    r"\b(pan|pans|tin|tins|tray|trays|griddle|rings?|moulds?|mold|dish|dishes|bowl|tins|oven|board|paper|hands)\b"
)
_DUSTED: Final = re.compile(
    r"\b(bench|board|dusting|rolling|peel|baskets?|tops?|glaze|wash|coating|trays|tin)\b"
)


def _purposes(dish: _Dish) -> Iterator[_Breach]:
    """Lines that are for a purpose: the pot's water and its salt, what greases, dusts and is put on the table."""
    total = dish.total
    for index, item in enumerate(dish.items):
        one = dish.weights[index]
        if item.purpose is None or not item.weight:
            continue
        purpose = name_key(item.purpose).removeprefix("for ")
        if re.search(r"\b(pot|boiling|soak|soaking|poaching)\b", purpose):
            yield from _pot(dish, index, item, one)
        elif "fry" in purpose and item.kind in ("oil", "fat"):
            deep = "deep" in purpose
            extent = usual.DEEP_FRYING if deep else usual.FRYING
            yield from _held(("frying", index), one, extent, index, "for frying")
        elif _GREASED.search(purpose) and item.kind in ("oil", "fat"):
            most = max(usual.GREASE_FREE, total * usual.GREASE_OF_DISH / 100) if total else usual.GREASE.high
            high = min(most, max(usual.GREASE.high, total * 3 / 100))
            yield from _held(("grease", index), one, Extent(usual.GREASE.low, high), index, f"for {purpose}")
        elif _DUSTED.search(purpose):
            most = max(usual.GREASE_FREE, total * usual.BENCH_OF_DISH / 100)
            yield from _held(("dusting", index), one, Extent(_NOUGHT, most), index, f"for {purpose}")
        elif re.search(r"\b(zest|juice)\b", purpose) and item.kind == "fruit" and total:
            most = max(usual.ZEST_FREE, total * usual.ZEST_OF_DISH / 100)
            yield from _held(("zest", index), one, Extent(_NOUGHT, most), index, f"for {purpose}")
        elif "table" in purpose and (people := _people(dish)):
            extent = usual.TABLE_PORTION
            yield from _held(("table", index), one / people, extent, index, "a portion")


def _held(
    key: tuple[str, object], value: Fraction, extent: Extent, index: int, words: str
) -> Iterator[_Breach]:
    times = _times_beyond(value, extent)
    if times > 1:
        much = "much" if value > extent.high else "little"
        yield _Breach(
            key,
            times,
            f"{weight(value, Fraction(1, 10))} is {much} {words}",
            (index,),
        )


def _pot(dish: _Dish, index: int, item: Item, one: Fraction) -> Iterator[_Breach]:
    if "water" in item.keys:
        lines = [
            other
            for other, mate in enumerate(dish.items)
            if mate.purpose is None and mate.weight and mate.kind in ("grain", "pasta", "pulse")
        ]
        lines = lines or [at for at, mate in enumerate(dish.items) if mate.inside and mate.kind == "flour"]
        dry = sum((dish.weights[other] for other in lines), _NOUGHT)
        if dry and "poach" not in (item.purpose or ""):
            times_dry = one / dry
            extent = (
                Extent(Fraction(3, 2), Fraction(15)) if "soak" in (item.purpose or "") else usual.POT_WATER
            )
            times = _times_beyond(times_dry, extent)
            if times > 1:
                yield _Breach(
                    ("pot", index),
                    times,
                    f"that is {_decimal(Fraction(round(times_dry * 10), 10))} times the weight of what goes into it",
                    (index, *lines),
                )
        else:
            yield from _held(("pot", index), one, Extent(Fraction(300), Fraction(20000)), index, "for a pot")
    elif item.kind == "salt":
        water = sum(
            (
                dish.weights[other]
                for other, mate in enumerate(dish.items)
                if mate.purpose == item.purpose and mate.kind == "liquid"
            ),
            _NOUGHT,
        )
        if water:
            share = one * 100 / water
            times = _times_beyond(share, usual.POT_SALT)
            if times > 1:
                pot = [at for at, mate in enumerate(dish.items) if mate.purpose == item.purpose]
                yield _Breach(
                    ("pot salt", index), times, f"that is {percent(share)} of the pot's water", tuple(pot)
                )


# ---------------------------------------------------------------- doughs, batters and cakes


@dataclass(frozen=True)
class _Profile:
    """What a list with flour in it is made of, per hundred of what stands for flour."""

    dry: Fraction
    wet: Fraction
    egg: Fraction
    fat: Fraction
    sugar: Fraction
    salt: Fraction
    yeast: Fraction
    powder: Fraction
    soda: Fraction
    starter: bool
    lines: tuple[int, ...]


def _profile(dish: _Dish, part: FormulaPart) -> _Profile | None:
    """None for a list that is no dough, batter or cake."""
    at = dish.parts.index(part)
    own = [(index, item, one) for index, item, one in dish.inside() if item.part == at]
    total = sum((one for _, _, one in own), _NOUGHT)
    flour = dry = wet = egg = fat = sugar = salt = yeast = powder = soda = other = _NOUGHT
    for _index, item, one in own:
        scale = one / item.weight if item.weight else _NOUGHT
        kind, food = item.kind, item.food
        if kind in ("flour", "starter") or (item.product is not None and (flour_in(item) or 0)):
            flour += (flour_in(item) or _NOUGHT) * scale
            wet += (poured_in(item) or _NOUGHT) * scale
        elif kind in ("starch", "cocoa") or _key_in(item, _DRY_FOODS):
            dry += one
        elif kind in HYDRATING:
            wet += one
        elif kind == "egg":
            egg += one
        elif kind in ("fat", "oil"):
            fat += one
        elif kind in ("sugar", "syrup"):
            sugar += one
        elif kind == "salt":
            salt += one
        elif kind in YEASTS:
            yeast += one * YEASTS[kind][0]
        elif "baking powder" in item.keys:
            powder += one
        elif "baking soda" in item.keys:
            soda += one
        elif kind in _OTHER_KINDS or kind is None:
            other += one
        if food is not None and kind in _SOFT and food.water is not None:
            wet += one * food.water
        if food is not None and kind not in _FRESH and kind not in ("fat", "oil") and food.fat is not None:
            fat += one * food.fat
        if food is not None and kind in ("chocolate", "prepared") and food.sugar is not None:
            sugar += one * food.sugar
    dry += flour
    if not flour or other * 3 > total:
        return None
    words = _singular(part.name.text) if part.name is not None else frozenset()
    if part.name is not None and flour * 8 < total and not words & _MADE_WITH_FLOUR and wet < 4 * dry:
        return None
    if flour * 100 < total:
        return None

    def of(value: Fraction) -> Fraction:
        return value * 100 / dry

    return _Profile(
        dry,
        of(wet),
        of(egg),
        of(fat),
        of(sugar),
        of(salt),
        of(yeast),
        of(powder),
        of(soda),
        any(item.kind == "starter" or item.product is not None for _, item, _one in own)
        or any(one.role == "preferment" for one in dish.formula.parts),
        tuple(index for index, _, _ in own),
    )


_MADE_WITH_FLOUR: Final = frozenset(word for one in usual.CLASSES for word in one.words)


def _class_distance(profile: _Profile, one: FormulaClass) -> Fraction:
    """How many times the furthest ratio lies beyond the class; 3 % of anything is in every class.

    A food that is not there at all was left out on purpose: cakes are made without egg, muffins without sugar. Only
    a dough without any liquid is none.
    """
    raised = bool(profile.yeast) or profile.starter
    if one.name in (usual.NOT_YEASTED if raised else usual.YEASTED):
        return _NEVER
    furthest = Fraction(1)
    for value, extent in (
        (profile.wet or Fraction(1, 10), one.wet),
        (profile.egg, one.egg),
        (profile.fat, one.fat),
        (profile.sugar, one.sugar),
    ):
        if value:
            top = max(extent.high, Fraction(3))
            furthest = max(furthest, _times_beyond(value, Extent(extent.low, top)))
    return furthest


def _named_classes(dish: _Dish, part: FormulaPart) -> list[FormulaClass]:
    words = _singular(part.name.text) if part.name is not None else dish.words
    style = dish.formula.recipe.block.entry("style")
    if part.name is None and style is not None:
        words = words | _singular(style.value.span.text)
    return [one for one in usual.CLASSES if one.words & words]


def _furthest_named(dish: _Dish, part: FormulaPart, profile: _Profile) -> Fraction | None:
    """How far it lies beyond the classes that the title names; None where it names none that it could be."""
    named = [_class_distance(profile, one) for one in _named_classes(dish, part)]
    return min((one for one in named if one < _NEVER), default=None)


def _nearest_class(dish: _Dish, part: FormulaPart) -> FormulaClass | None:
    profile = _profile(dish, part)
    if profile is None:
        return None
    named = _named_classes(dish, part) or list(usual.CLASSES)
    return min(named, key=lambda one: _class_distance(profile, one))


def _flour_list(dish: _Dish, part: FormulaPart, near: bool) -> Iterator[_Breach]:
    profile = _profile(dish, part)
    if profile is None or len(profile.lines) < 3:
        return
    label = part.name.key if part.name is not None else ""
    distance = min(_class_distance(profile, one) for one in usual.CLASSES)
    named = _furthest_named(dish, part, profile)
    times = distance / (_CLASS_NEAR if near else _CLASS_FAR)
    if named is not None:
        times = max(times, named / (_NAMED_NEAR if near else _NAMED_FAR))
    if times > 1:
        yield _Breach(
            ("class", label),
            times,
            f"no dough, batter or cake is made so, with {_ratio_words(profile)} to 100 of flour",
            profile.lines,
        )
    thick = profile.wet > usual.CLASSES[-2].wet.low
    if thick:
        return
    least_yeast = usual.YEAST_OF_FLOUR.low
    if dish.hands_off and dish.hands_off < usual.LONG_RISE and not profile.starter:
        least_yeast = usual.QUICK_YEAST_OF_FLOUR
    for what, value, extent in (
        ("salt", profile.salt, usual.SALT_OF_FLOUR),
        ("yeast", profile.yeast, Extent(least_yeast, usual.YEAST_OF_FLOUR.high)),
        ("baking powder", profile.powder, usual.BAKING_POWDER_OF_FLOUR),
        ("baking soda", profile.soda, usual.BAKING_SODA_OF_FLOUR),
    ):
        beyond = _times_beyond(value, extent) if value else Fraction(1)
        if beyond > 1:
            guilty = [
                index
                for index in profile.lines
                if dish.items[index].kind == what
                or what in dish.items[index].keys
                or (what == "yeast" and dish.items[index].kind in YEASTS)
            ]
            yield _Breach(
                (f"{what} of flour", label),
                beyond,
                f"{what} comes to {percent(value)} of the flour"
                + (" (as instant yeast)" if what == "yeast" else "")
                + f", and {percent(_edge(value, extent))} is {'much' if value > extent.high else 'little'}",
                (*guilty, *(one for one in profile.lines if dish.items[one].kind == "flour")),
            )


def _ratio_words(profile: _Profile) -> str:
    parts = [
        (profile.wet, "liquid"),
        (profile.egg, "egg"),
        (profile.fat, "fat"),
        (profile.sugar, "sugar"),
    ]
    words = [f"{_decimal(Fraction(round(value)))} of {name}" for value, name in parts if value >= 1]
    if not words:
        return "nothing"
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


# ---------------------------------------------------------------- without flour


def _of_kinds(dish: _Dish, lines: Sequence[int], kinds: Iterable[str]) -> Fraction:
    wanted = frozenset(kinds)
    return sum((dish.weights[one] for one in lines if dish.items[one].kind in wanted), _NOUGHT)


def _sweet_list(dish: _Dish, part: FormulaPart) -> Iterator[_Breach]:
    """Custards, syrups, stewed fruit, egg dishes and mash: two or three foods that go together."""
    at = dish.parts.index(part)
    lines = [index for index, item, one in dish.inside() if item.part == at and one]
    total = sum((dish.weights[one] for one in lines), _NOUGHT)
    if not total or any(dish.items[one].kind == "flour" for one in lines):
        return
    label = part.name.key if part.name is not None else ""
    dairy = _of_kinds(dish, lines, ("milk", "cream", "plant milk"))
    egg = _of_kinds(dish, lines, ("egg",))
    sugar = _of_kinds(dish, lines, ("sugar", "syrup"))
    starch = _of_kinds(dish, lines, ("starch",))
    fruit = _of_kinds(dish, lines, ("fruit",))
    water = _of_kinds(dish, lines, ("liquid",))
    potato = sum((dish.weights[one] for one in lines if "potatoes" in dish.items[one].keys), _NOUGHT)
    fat = _of_kinds(dish, lines, ("fat", "oil"))
    savoury = _of_kinds(dish, lines, _OTHER_KINDS - {"fruit", "condiment"})

    def held(what: str, value: Fraction, base: Fraction, extent: Extent, of: str) -> Iterator[_Breach]:
        share = value * 100 / base
        times = _times_beyond(share, extent)
        if times > 1:
            yield _Breach(
                (what, label),
                times,
                f"that makes {percent(share)} of {of}, and {percent(_edge(share, extent))} is "
                f"{'much' if share > extent.high else 'little'}",
                tuple(lines),
            )

    if dairy and egg and sugar and not savoury and not fruit and not water:
        yield from held("custard egg", egg, dairy, usual.CUSTARD_EGG, "the milk and cream in egg")
        yield from held("custard sugar", sugar, dairy, usual.CUSTARD_SUGAR, "the milk and cream in sugar")
        if starch:
            yield from held(
                "custard starch", starch, dairy, usual.CUSTARD_STARCH, "the milk and cream in starch"
            )
    if sugar and water and (sugar + water) * 10 >= total * 9:
        yield from held("syrup", water, sugar, usual.SYRUP_WATER, "the sugar in water")
    if sugar and fruit and (sugar + fruit + water + starch) * 10 >= total * 9:
        yield from held("fruit sugar", sugar, fruit, usual.FRUIT_SUGAR, "the fruit in sugar")
    if egg and not sugar and egg * 3 > total:
        if dairy:
            yield from held("egg milk", dairy, egg, Extent(_NOUGHT, usual.EGGS_MILK), "the egg in milk")
        if fat:
            yield from held("egg fat", fat, egg, Extent(_NOUGHT, usual.EGGS_FAT), "the egg in fat")
    if potato * 2 > total and fat:
        yield from held("mash", fat, potato, Extent(_NOUGHT, usual.MASH_FAT), "the potatoes in fat")


def _cooked_in(dish: _Dish, part: FormulaPart) -> Iterator[_Breach]:
    """Grain and dry pulses with the liquid they are cooked in, where that is in the list."""
    at = dish.parts.index(part)
    lines = [index for index, item, one in dish.inside() if item.part == at and one]
    dry = [
        one
        for one in lines
        if dish.items[one].kind == "grain"
        or (dish.items[one].kind == "pulse" and "tinned" not in dish.items[one].name.key)
    ]
    wet = [one for one in lines if dish.items[one].kind in HYDRATING]
    grain = sum((dish.weights[one] for one in dry), _NOUGHT)
    total = sum((dish.weights[one] for one in lines), _NOUGHT)
    if not grain or not wet or grain * 20 < total:
        return
    if any(item.purpose and re.search(r"\b(pot|soak|boiling)\b", item.purpose) for item in dish.items):
        return  # it is soft already, or poured off
    soup = sum((dish.weights[one] for one in wet), _NOUGHT)
    soup += sum((dish.weights[one] for one in lines if "tinned tomatoes" in dish.items[one].keys), _NOUGHT)
    times_dry = soup / grain
    boiled = grain * 5 >= total and all(_key_in(dish.items[one], usual.BOILED_GRAIN) for one in dry)
    low = usual.GRAIN_LIQUID.low if boiled and not dish.named(usual.CONCENTRATES) else _NOUGHT
    times = _times_beyond(times_dry, Extent(low, usual.GRAIN_LIQUID.high))
    if times > 1:
        yield _Breach(
            ("cooked in", part.name.key if part.name is not None else ""),
            times,
            f"that makes {_decimal(Fraction(round(times_dry * 10), 10))} times as much liquid as there is to soak "
            "it up",
            (*dry, *wet),
        )
