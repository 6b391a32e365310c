"""The slips of a cook's pen, each a small function from a site to a `Slip`.

They were written before any rule was tuned to them, and are not to be tuned to the rules. What may rightly find each
stands in `RIGHT`, as data.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.syntax import (
    Block,
    Draw,
    DurationFact,
    IngredientsHeading,
    PricesHeading,
    StepHeading,
    TemperatureFact,
    name_key,
)
from tests.recipes.seeded.corpus import Site, Where, number_of

_AMOUNTS: Final = frozenset({"formula", "yield", "ratios", "tests", "measures"})
_TIMES: Final = frozenset({"time", "tests"})
_HEAT: Final = frozenset({"heat", "harm"})
_NAMES: Final = frozenset({"names", "method"})
_PRICES: Final = frozenset({"prices", "tests"})

RIGHT: Final[Mapping[str, frozenset[str]]] = {
    # The families of rules, or single rules by name, that are about each slip. To be extended as rules come.
    "amount ten times": _AMOUNTS | {"method", "prices"},
    "percent ten times": _AMOUNTS | {"prices"},
    "yield ten times": _AMOUNTS,
    "loss ten times": _AMOUNTS | {"loss-of-all"},
    "price ten times": _PRICES,
    "pack ten times": _PRICES,
    "time ten times": _TIMES | {"method", "heat", "harm"},
    "temperature ten times": _HEAT,
    "count ten times": _AMOUNTS | {"method", "time"},
    "draw ten times": frozenset({"method", "ratios", "measures"}),
    "length ten times": frozenset({"measures", "yield", "method"}),
    "fact ten times": frozenset({"formula", "measures", "heat", "share-over-whole"}),
    "setting ten times": frozenset({"heat", "weighing", "prices", "measures", "scale-step"}),
    "range end slipped": _AMOUNTS | _TIMES | _HEAT | {"method", "range-backwards"},
    "digits swapped": _AMOUNTS | _TIMES | _HEAT | _PRICES | {"method", "range-backwards"},
    "unit swapped": _AMOUNTS
    | _TIMES
    | _HEAT
    | _PRICES
    | {"method", "wrong-kind-of-unit", "scale-step", "units-order"},
    "bound broken": frozenset({"tests", "ratios", "range-backwards"}),
    "keeps too long": frozenset({"time", "harm"}),
    "draw dropped": frozenset({"method"}),
    "draw doubled": frozenset({"method"}),
    "misspelt in the list": _NAMES | {"formula", "price-missing"},
    "misspelt in the step": _NAMES,
    "line deleted": _NAMES | {"formula", "yield", "ratios"},
    "line doubled": _NAMES | {"label-twice", "formula", "yield", "ratios"},
    "line in the wrong part": _NAMES | {"formula", "ratios", "label-twice"},
    "step named misspelt": _NAMES,
    "step renamed": _NAMES,
    "steps swapped": _NAMES,
    "part misspelt": _NAMES | {"formula"},
    "base misspelt": _NAMES | {"formula"},
    "style misspelt": _NAMES | {"ratios"},
    "instead misspelt": _NAMES | {"prices"},
    "expected figure misspelt": _NAMES | {"tests"},
    "price name misspelt": _NAMES | {"prices"},
    "fact word misspelt": _NAMES | {"food law"},
    "price aged": frozenset({"prices"}),
    "price deleted": frozenset({"prices"}),
    "currency changed": frozenset({"prices", "currency-code"}),
    "liquid heated": _HEAT,
    "core lowered": _HEAT | {"food law"},
    "oven by the other scale": _HEAT,
    "hands-off dropped": _TIMES,
    "time deleted": _TIMES,
    "cooling slowed": _HEAT | {"time", "food law"},
}


@dataclass(frozen=True, eq=False)
class Slip:
    """A mistake planted: `was` is now `now`. `text` is the whole planted text of the site's source.

    `lines` are the places (in the planted text) where a finding is about it. `old` and `new` are the figures, where it
    is a figure.
    """

    site: Site
    operator: str
    was: str
    now: str
    text: str
    line: int
    lines: frozenset[Where]
    old: Fraction | None = None
    new: Fraction | None = None
    note: str = ""
    """For the judge: which of its ways a slip took."""


Operator = Callable[[Site, random.Random], Slip | None]
OPERATORS: dict[str, Operator] = {}
SORTS: dict[str, frozenset[tuple[str, str]]] = {}
"""Which sites (sort, what) each operator may be tried on."""


def _operator(name: str, what: str, *sorts: str) -> Callable[[Operator], Operator]:
    def declare(function: Operator) -> Operator:
        assert name in RIGHT, name
        OPERATORS[name] = function
        SORTS[name] = frozenset((sort, what) for sort in sorts)
        return function

    return declare


def operators_for(site: Site) -> list[str]:
    return [name for name, sorts in SORTS.items() if (site.sort, site.what) in sorts]


# ---------------------------------------------------------------- the means


Edit = tuple[int, int, str]


def edited(text: str, edits: Iterable[Edit]) -> str:
    for start, end, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[end:]
    return text


def _moved(offset: int, edits: Iterable[Edit]) -> int:
    """Where an offset of the clean text stands in the planted one."""
    return offset + sum(len(new) - (end - start) for start, end, new in edits if end <= offset)


def _slip(
    site: Site,
    operator: str,
    edits: list[Edit],
    was: str,
    now: str,
    *,
    at: Iterable[int] | None = None,
    elsewhere: Iterable[Where] = (),
    old: Fraction | None = None,
    new: Fraction | None = None,
    note: str = "",
) -> Slip | None:
    """Put the edits into the text. `at` are the offsets (clean text) whose lines a right finding may stand on."""
    text = edited(site.source.text, edits)
    if text == site.source.text:
        return None
    places = [site.start] if at is None else list(at)
    line_of = [text.count("\n", 0, min(_moved(place, edits), len(text))) + 1 for place in places]
    lines = frozenset({*(Where(site.source.name, line) for line in line_of), *elsewhere})
    return Slip(site, operator, was, now, text, line_of[0], lines, old, new, note)


def written(value: Fraction) -> str | None:
    """A value as a cook writes it in decimals; None when it has no end."""
    for places in range(5):
        scaled = value * 10**places
        if scaled.denominator == 1:
            digits = str(int(scaled)).rjust(places + 1, "0")
            return digits if not places else f"{digits[:-places]}.{digits[-places:]}"
    return None


_WHOLE: Final = frozenset({"duration", "turns", "temperature", "reheats", "change temperature"})
_SPOONS: Final = frozenset({"tsp", "tbsp", "cup", "cups", "pint", "pints"})
_TENTHS: Final = frozenset({"%", "part", "parts", "times"})


def _tenfold(site: Site, rng: random.Random) -> tuple[str, Fraction] | None:
    """Ten times, or a tenth: a tenth only where a cook would write it so, not 0.1 min, 0.1 cup or 1.2 eggs.

    Of a fraction what is lost is the blank (1 1/2 becomes 11/2) or what stands under the line (3/4 becomes 3).
    """
    if "/" in site.text:
        now = site.text.replace(" ", "") if " " in site.text else site.text.partition("/")[0]
        return (now, number_of(now)) if number_of(now) != site.value else None
    whole = site.sort in _WHOLE or site.unit in _SPOONS or not (site.dimension or site.unit in _TENTHS)
    for factor in rng.sample([Fraction(10), Fraction(1, 10)], 2):
        value = site.value * factor
        if factor < 1 and whole and "." not in site.text and value.denominator != 1:
            continue
        text = written(value)
        if text is not None and value != site.value:
            return text, value
    return None


def _digits(site: Site, operator: str, rng: random.Random) -> Slip | None:
    """The point one place off. Of a range both ends, as when the unit was thought to be another."""
    if site.partner is not None and not site.first:
        return None
    slipped = _tenfold(site, rng)
    if slipped is None:
        return None
    now, new = slipped
    edits: list[Edit] = [(site.start, site.end, now)]
    was = site.text
    if site.partner is not None:
        start, end = site.partner
        other = written(number_of(site.source.text[start:end]) * new / site.value) if site.value else None
        if other is None:
            return None
        was, now = f"{was}-{site.source.text[start:end]}", f"{now}-{other}"
        edits.append((start, end, other))
    return _slip(
        site,
        operator,
        edits,
        f"{was} {site.unit}".strip(),
        f"{now} {site.unit}".strip(),
        old=site.value,
        new=new,
    )


def misspelt(name: str, rng: random.Random) -> str | None:
    """A name with one slip of the pen in it, or two: a letter lost, doubled, turned round or struck beside."""
    words = list(re.finditer(r"[A-Za-z]{4,}", name))
    if not words:
        return None
    for _ in range(2 if rng.random() < 0.25 else 1):
        words = list(re.finditer(r"[A-Za-z]{4,}", name))
        if not words:
            break  # the first slip left no word long enough for a second
        word = rng.choice(words)
        at = rng.randrange(word.start() + 1, word.end() - 1)
        way = rng.choice(["lost", "doubled", "turned", "beside"])
        if way == "turned" and name[at] != name[at + 1]:
            name = name[:at] + name[at + 1] + name[at] + name[at + 2 :]
        elif way == "beside":
            name = name[:at] + _BESIDE.get(name[at].lower(), "e") + name[at + 1 :]
        elif way == "doubled":
            name = name[:at] + name[at] + name[at:]
        else:
            name = name[:at] + name[at + 1 :]
    return name


_BESIDE: Final = dict(zip("qwertyuiopasdfghjklzxcvbnm", "wertyuiopqsdfghjklaxcvbnmz", strict=True))
"""The key to the right of each, on a usual keyboard."""


def _misspell(site: Site, operator: str, rng: random.Random, at: Iterable[int] | None = None) -> Slip | None:
    for _ in range(5):
        now = misspelt(site.text, rng)
        if now is None:
            return None
        if name_key(now) != name_key(site.text):
            return _slip(site, operator, [(site.start, site.end, now)], site.text, now, at=at)
    return None


def line_of(site: Site, offset: int) -> Edit:
    """The whole line that an offset stands on, with its line end, as something to take away."""
    text = site.source.text
    start = text.rfind("\n", 0, offset) + 1
    end = text.find("\n", offset)
    return start, len(text) if end < 0 else end + 1, ""


def drawn_by(site: Site) -> list[Draw]:
    """The draws in the recipe's steps that name the list line of a site, by any name of its food."""
    if site.recipe is None or site.entry is None:
        return []
    key = site.entry.label.key
    food = site.bench.state.kitchen.food(site.entry.label)
    keys = {key, *(food.keys if food else ())}
    return [draw for draw in draws(site.recipe.steps) if any(_names(draw, one) for one in keys)]


def _names(draw: Draw, key: str) -> bool:
    drawn = draw.name.key
    return drawn == key or drawn.startswith(f"{key} for ") or drawn.endswith((f" of the {key}", f" of {key}"))


def draws(steps: Iterable[Block]) -> list[Draw]:
    return [
        piece for step in steps for line in step.prose() for piece in line.pieces if isinstance(piece, Draw)
    ]


def listed(site: Site) -> list[int]:
    """Where the list lines stand that a draw could name: offsets."""
    if site.recipe is None:
        return []
    drawn = site.fact
    assert isinstance(drawn, Draw)
    kitchen = site.bench.state.kitchen
    found: list[int] = []
    for block in (*site.recipe.ingredients, *site.recipe.preferments, *site.recipe.soakers):
        for entry in block.entries():
            food = kitchen.food(entry.label)
            if any(_names(drawn, key) for key in {entry.label.key, *(food.keys if food else ())}):
                found.append(entry.span.first)
    return found


# ---------------------------------------------------------------- a digit


@_operator("amount ten times", "number", "amount")
def amount_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """The point of an amount is one place off: 10 g of salt become 100 g, or 1 g."""
    return _digits(site, "amount ten times", rng)


@_operator("percent ten times", "number", "percent", "preferment share")
def percent_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """The point of a baker's percentage is one place off: 2 % becomes 20 %, or 0.2 %."""
    return _digits(site, "percent ten times", rng)


@_operator("yield ten times", "number", "makes count", "makes weight", "serves")
def yield_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many or too few in what it makes: 12 rounds become 120."""
    return _digits(site, "yield ten times", rng)


@_operator("loss ten times", "number", "loss", "gain")
def loss_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """The point of a loss or gain is one place off: 1.2 % becomes 12 %."""
    return _digits(site, "loss ten times", rng)


@_operator("price ten times", "number", "price")
def price_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """The point of a price is one place off when the shelf tag is copied: 3.30 becomes 33.00."""
    for factor in rng.sample([Fraction(10), Fraction(1, 10)], 2):
        value = site.value * factor
        cents = value * 100
        if cents.denominator == 1 or factor < 1:
            now = f"{int(cents) // 100}.{int(cents) % 100:02d}" if "." in site.text else written(value)
            if now is not None and number_of(now) not in (0, site.value):
                return _slip(
                    site,
                    "price ten times",
                    [(site.start, site.end, now)],
                    site.text,
                    now,
                    old=site.value,
                    new=number_of(now),
                )
    return None


@_operator("pack ten times", "number", "pack")
def pack_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many or too few in what a price buys: 500 g become 50 g."""
    return _digits(site, "pack ten times", rng)


@_operator("time ten times", "number", "duration", "turns")
def time_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many or too few in a time: 20-25 min become 200-250 min."""
    return _digits(site, "time ten times", rng)


@_operator("temperature ten times", "number", "temperature", "reheats", "change temperature")
def temperature_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many or too few in a temperature: 200 C becomes 20 C."""
    return _digits(site, "temperature ten times", rng)


@_operator("count ten times", "number", "load", "pieces", "each")
def count_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many or too few in a count of the method: cut into 120 pieces, 620 g each."""
    return _digits(site, "count ten times", rng)


@_operator("draw ten times", "number", "draw amount")
def draw_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many or too few in what a step takes of a line: 500 g of the stock become 5000 g."""
    return _digits(site, "draw ten times", rng)


@_operator("length ten times", "number", "length", "tin", "equipment", "trial")
def length_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many or too few in a length, a tin or a tool: a round of 200 cm."""
    return _digits(site, "length ten times", rng)


@_operator("fact ten times", "number", "ingredient fact")
def fact_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """The point of a stated fact is one place off when the table is copied: 17 % water becomes 1.7 %."""
    return _digits(site, "fact ten times", rng)


@_operator("setting ten times", "number", "setting")
def setting_ten_times(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many or too few in the kitchen's own figures: the room has 210 C."""
    return _digits(site, "setting ten times", rng)


@_operator("range end slipped", "number", "duration", "temperature", "expect", "percent", "style bound")
def range_end_slipped(site: Site, rng: random.Random) -> Slip | None:
    """One end of a range has a nought too many or too few: 20-25 min become 20-250 min."""
    if site.partner is None:
        return None
    slipped = _tenfold(site, rng)
    if slipped is None:
        return None
    now, new = slipped
    return _slip(
        site,
        "range end slipped",
        [(site.start, site.end, now)],
        site.text,
        now,
        old=site.value,
        new=new,
        note="one end",
    )


@_operator(
    "digits swapped",
    "number",
    "amount",
    "percent",
    "makes count",
    "makes weight",
    "price",
    "pack",
    "duration",
    "temperature",
)
def digits_swapped(site: Site, rng: random.Random) -> Slip | None:
    """Two digits change places in the typing, by which the figure changes by half or more: 145 % become 415 %."""
    text = site.text
    ways: list[tuple[str, Fraction]] = []
    for at in range(len(text) - 1):
        if text[at].isdigit() and text[at + 1].isdigit() and text[at] != text[at + 1]:
            now = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
            if now[0] == "0" and not now.startswith("0."):
                continue
            value = number_of(now)
            if value and site.value and max(value / site.value, site.value / value) >= Fraction(3, 2):
                ways.append((now, value))
    if not ways:
        return None
    now, value = rng.choice(ways)
    return _slip(
        site,
        "digits swapped",
        [(site.start, site.end, now)],
        text,
        now,
        old=site.value,
        new=value,
        note="one end" if site.partner else "",
    )


# ---------------------------------------------------------------- a unit

_SWAPS: Final[Mapping[str, tuple[str, ...]]] = {
    "g": ("kg",), "kg": ("g",), "ml": ("l",), "l": ("ml",), "tsp": ("tbsp",), "tbsp": ("tsp",), "oz": ("lb",),
    "lb": ("oz",), "cup": ("tbsp",), "cups": ("tbsp",), "min": ("h", "s"), "h": ("min",), "s": ("min",), "C": ("F",),
    "F": ("C",), "°C": ("°F",), "°F": ("°C",), "cm": ("mm",), "mm": ("cm",), "days": ("weeks",), "day": ("week",),
    "weeks": ("months",), "week": ("month",),
}  # fmt: skip


@_operator(
    "unit swapped",
    "unit",
    "amount",
    "pack",
    "duration",
    "temperature",
    "makes weight",
    "draw amount",
    "each",
    "turns",
    "change time",
    "change temperature",
    "length",
    "tin",
    "keeps",
    "setting",
    "ingredient fact",
)
def unit_swapped(site: Site, rng: random.Random) -> Slip | None:
    """The wrong one of two units that go together: kg for g, tbsp for tsp, h for min, F for C."""
    others = _SWAPS.get(site.text, ())
    if not others:
        return None
    now = rng.choice(others)
    return _slip(
        site, "unit swapped", [(site.start, site.end, now)], site.text, now, note=f"{site.text}>{now}"
    )


# ---------------------------------------------------------------- a bound, keeping


@_operator("bound broken", "number", "expect", "style bound")
def bound_broken(site: Site, rng: random.Random) -> Slip | None:
    """The recipe's own test is copied with the point one place off, both ends of a range alike."""
    return _digits(site, "bound broken", rng)


@_operator("keeps too long", "number", "keeps")
def keeps_too_long(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many in how long it keeps: 3 days in the fridge become 30."""
    now = written(site.value * 10)
    assert now is not None
    return _slip(
        site,
        "keeps too long",
        [(site.start, site.end, now)],
        site.text,
        now,
        old=site.value,
        new=site.value * 10,
    )


# ---------------------------------------------------------------- the method


@_operator("draw dropped", "name", "draw name")
def draw_dropped(site: Site, rng: random.Random) -> Slip | None:
    """The step is rewritten, and one of the things that went in is left out of it."""
    assert isinstance(site.fact, Draw)
    text = site.source.text
    start, end = text.rfind("[", 0, site.start), text.find("]", site.end) + 1
    before = re.search(r"(?:,? and|,|;)? ?$", text[:start])
    cut = before.start() if before and before.group().strip() else start
    return _slip(site, "draw dropped", [(cut, end, "")], text[cut:end], "", at=[cut, *listed(site)])


@_operator("draw doubled", "name", "draw name")
def draw_doubled(site: Site, rng: random.Random) -> Slip | None:
    """A later step takes a thing once more that is in already, with brackets as if it were new."""
    fact, recipe = site.fact, site.recipe
    assert isinstance(fact, Draw)
    if recipe is None or fact.share.kind not in ("all-left", "all", "rest"):
        return None
    later = recipe.steps[recipe.steps.index(site.block) + 1 :]
    ends = [lines[-1].span.last for step in later if (lines := list(step.prose()))]
    if not ends:
        return None
    end = rng.choice(ends)
    text = site.source.text
    bracket = text[text.rfind("[", 0, site.start) : text.find("]", site.end) + 1]
    bracket = f"[the {fact.name.text.removeprefix('the ')}]" if fact.share.kind == "rest" else bracket
    added = f" Add {bracket}."
    return _slip(site, "draw doubled", [(end, end, added)], "", added.strip(), at=[end - 1, *listed(site)])


@_operator("misspelt in the step", "name", "draw name")
def misspelt_in_the_step(site: Site, rng: random.Random) -> Slip | None:
    """An ingredient's name is misspelt where a step takes it, and right in the list."""
    return _misspell(site, "misspelt in the step", rng)


@_operator("step named misspelt", "name", "after name")
def step_named_misspelt(site: Site, rng: random.Random) -> Slip | None:
    """`after` or `during` names a step with a slip of the pen in it."""
    return _misspell(site, "step named misspelt", rng)


@_operator("step renamed", "name", "step name")
def step_renamed(site: Site, rng: random.Random) -> Slip | None:
    """A step's heading is changed by a letter or two, and the steps that wait for it still name the old one."""
    recipe = site.recipe
    waiting = [
        step.heading.span.first
        for step in (recipe.steps if recipe else ())
        if isinstance(step.heading, StepHeading)
        and any(
            clause is not None and name_key(site.text) in clause.key
            for clause in (step.heading.after, step.heading.during)
        )
    ]
    return _misspell(site, "step renamed", rng, [site.start, *waiting])


@_operator("steps swapped", "name", "after name")
def steps_swapped(site: Site, rng: random.Random) -> Slip | None:
    """Two steps change places when the method is put in order, though the second waits for the first."""
    recipe = site.recipe
    if recipe is None:
        return None
    first = next(
        (
            step
            for step in recipe.steps
            if isinstance(step.heading, StepHeading) and step.heading.name.key == name_key(site.text)
        ),
        None,
    )
    if first is None or first.span.first > site.block.span.first:
        return None
    text = site.source.text

    def stretch(block: Block) -> tuple[int, int]:
        return block.span.first, block.span.first + len(text[block.span.first : block.span.last].rstrip())

    (a, b), (c, d) = stretch(first), stretch(site.block)
    planted = text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:]
    start = text.count("\n", 0, a) + 1
    end = text.count("\n", 0, d) + 1
    lines = frozenset(Where(site.source.name, line) for line in range(start, end + 1))
    return Slip(
        site,
        "steps swapped",
        f"{site.text} … {_heading(site.block)}",
        "the other way round",
        planted,
        start,
        lines,
    )


def _heading(block: Block) -> str:
    return block.heading.span.text if block.heading else ""


@_operator("part misspelt", "name", "part name", "list part name", "preferment name")
def part_misspelt(site: Site, rng: random.Random) -> Slip | None:
    """A part is misspelt where it is named: in its own heading, all the others name what is not there."""
    return _misspell(
        site, "part misspelt", rng, [site.start, *(_naming(site) if site.sort != "part name" else ())]
    )


def _naming(site: Site) -> list[int]:
    """Where the other places stand that name a part: step headings and draws."""
    key = name_key(site.text)
    return [
        other.start
        for other in site.bench.sites
        if other.recipe is site.recipe
        and other.sort in ("part name", "draw name")
        and name_key(other.text).endswith(key)
    ]


# ---------------------------------------------------------------- the list


@_operator("misspelt in the list", "name", "list name")
def misspelt_in_the_list(site: Site, rng: random.Random) -> Slip | None:
    """An ingredient's name is misspelt in the list, and right in the steps."""
    return None if site.text == "seed" else _misspell(site, "misspelt in the list", rng)


@_operator("line deleted", "name", "list name")
def line_deleted(site: Site, rng: random.Random) -> Slip | None:
    """A line of the list is lost in the copying; the steps still take it."""
    edit = line_of(site, site.start)
    heads = [block.span.first for block in (site.block, *([site.recipe.block] if site.recipe else []))]
    drawn = [draw.span.first for draw in drawn_by(site)]
    was = site.source.text[edit[0] : edit[1]].strip()
    return _slip(site, "line deleted", [edit], was, "", at=[*drawn, *heads])


@_operator("line doubled", "name", "list name")
def line_doubled(site: Site, rng: random.Random) -> Slip | None:
    """A line of the list is copied twice."""
    start, end, _ = line_of(site, site.start)
    line = site.source.text[start:end].rstrip("\n") + "\n"
    lead = "" if site.source.text[end - 1 : end] == "\n" else "\n"
    slip = _slip(site, "line doubled", [(end, end, lead + line)], "", line.strip(), at=[site.start])
    assert slip is not None
    return replace(slip, lines=slip.lines | {Where(site.source.name, site.line + 1)})


@_operator("line in the wrong part", "name", "list name")
def line_in_the_wrong_part(site: Site, rng: random.Random) -> Slip | None:
    """A line of one list slips under the heading of another: the filling's butter into the dough."""
    recipe = site.recipe
    if recipe is None or not isinstance(site.block.heading, IngredientsHeading):
        return None
    others = [block for block in recipe.ingredients if block is not site.block and list(block.entries())]
    if not others or len(list(site.block.entries())) < 2:
        return None
    start, end, _ = line_of(site, site.start)
    line = site.source.text[start:end].rstrip("\n") + "\n"
    last = list(rng.choice(others).entries())[-1]
    at = line_of(site, last.span.first)[1]
    drawn = [draw.span.first for draw in drawn_by(site)]
    slip = _slip(
        site,
        "line in the wrong part",
        [(start, end, ""), (at, at, line)],
        f"{line.strip()} under {_heading(site.block)}",
        f"under {_heading(next(b for b in others if last in b.lines))}",
        at=[last.span.first, *drawn],
    )
    if slip is None:
        return None
    return replace(slip, line=slip.line + 1, lines=slip.lines | {Where(site.source.name, slip.line + 1)})


@_operator("base misspelt", "name", "base name")
def base_misspelt(site: Site, rng: random.Random) -> Slip | None:
    """The base is misspelt, and right in the list."""
    return _misspell(site, "base misspelt", rng)


@_operator("style misspelt", "name", "style name", "style block name")
def style_misspelt(site: Site, rng: random.Random) -> Slip | None:
    """The style is misspelt."""
    return _misspell(site, "style misspelt", rng)


@_operator("instead misspelt", "name", "instead name")
def instead_misspelt(site: Site, rng: random.Random) -> Slip | None:
    """The bought thing it is compared with is misspelt."""
    return _misspell(site, "instead misspelt", rng)


@_operator("expected figure misspelt", "name", "expect name", "style bound name")
def expected_figure_misspelt(site: Site, rng: random.Random) -> Slip | None:
    """A figure that the recipe tests is misspelt."""
    return _misspell(site, "expected figure misspelt", rng)


@_operator("fact word misspelt", "name", "fact word")
def fact_word_misspelt(site: Site, rng: random.Random) -> Slip | None:
    """An allergen or a kind of food is misspelt in an ingredient block."""
    return _misspell(site, "fact word misspelt", rng)


# ---------------------------------------------------------------- prices


@_operator("price name misspelt", "name", "price name")
def price_name_misspelt(site: Site, rng: random.Random) -> Slip | None:
    """An item is misspelt on a price list."""
    return _misspell(site, "price name misspelt", rng)


def users(site: Site) -> list[tuple[str, Where, str]]:
    """The lines of recipes that a price line's item prices: the recipe's key, where, and the name there."""
    assert site.entry is not None
    kitchen = site.bench.state.kitchen
    item = site.entry.label.key
    found: list[tuple[str, Where, str]] = []
    for recipe in kitchen.own_recipes():
        for block in (recipe.block, *recipe.ingredients):
            for entry in block.entries():
                food = kitchen.food(entry.label) if block is not recipe.block else None
                keys = {entry.label.key, *(food.keys if food else ())}
                bought = (
                    block is recipe.block
                    and entry.label.key == "instead of"
                    and name_key(entry.value.span.text) == item
                )
                if bought or (block is not recipe.block and item in keys):
                    where = Where(recipe.source.name, entry.span.line)
                    found.append((recipe.name.key, where, entry.label.text))
    return found


@_operator("price deleted", "name", "price name")
def price_deleted(site: Site, rng: random.Random) -> Slip | None:
    """A line of a price list is lost in the copying."""
    edit = line_of(site, site.start)
    was = site.source.text[edit[0] : edit[1]].strip()
    shift = Where(site.source.name, 0)
    elsewhere = [
        where if where.file != shift.file or where.line < site.line else Where(where.file, where.line - 1)
        for _, where, _ in users(site)
    ]
    return _slip(site, "price deleted", [edit], was, "", at=[site.block.span.first], elsewhere=elsewhere)


@_operator("price aged", "name", "price date")
def price_aged(site: Site, rng: random.Random) -> Slip | None:
    """The date of a price list is three years too old: last time's heading copied, or never renewed."""
    day = date.fromisoformat(site.text)
    now = (
        day.replace(year=day.year - 3).isoformat()
        if (day.month, day.day) != (2, 29)
        else f"{day.year - 3}-02-28"
    )
    lines = [site.start, *(entry.span.first for entry in site.block.entries())]
    return _slip(site, "price aged", [(site.start, site.end, now)], site.text, now, at=lines)


@_operator("currency changed", "name", "price heading", "currency")
def currency_changed(site: Site, rng: random.Random) -> Slip | None:
    """A price list is said to be in another currency; or the kitchen's has two letters turned round."""
    if site.sort == "currency":
        now = site.text[0] + site.text[2] + site.text[1]
        return _slip(site, "currency changed", [(site.start, site.end, now)], site.text, now)
    heading = site.block.heading
    assert isinstance(heading, PricesHeading)
    own = heading.currency.text if heading.currency else site.bench.state.kitchen.settings.currency
    other = rng.choice([code for code in ("EUR", "USD", "AUD") if code != own])
    if heading.currency is not None:
        edit = (heading.currency.span.first, heading.currency.span.last, other)
    else:
        edit = (heading.span.last, heading.span.last, f" in {other}")
    lines = [site.start, *(entry.span.first for entry in site.block.entries())]
    return _slip(site, "currency changed", [edit], own or "", other, at=lines)


# ---------------------------------------------------------------- heat and time

YEASTS: Final = frozenset({"instant yeast", "active dry yeast", "fresh yeast"})


def kinds_drawn(site: Site, block: Block | None = None) -> set[str]:
    """The kinds of food that a step draws by name."""
    kitchen = site.bench.state.kitchen
    found = set()
    for draw in draws([block or site.block]):
        food = kitchen.food(draw.name)
        if food is not None and food.kind:
            found.add(food.kind)
    return found


def _whole_range(site: Site, new: Fraction, operator: str, now: str) -> Slip | None:
    """Both ends of a temperature, and its unit, written as one figure."""
    fact = site.fact
    assert isinstance(fact, TemperatureFact)
    span = fact.temperature.span
    return _slip(site, operator, [(span.first, span.last, now)], span.text, now, old=site.value, new=new)


@_operator("liquid heated", "number", "temperature")
def liquid_heated(site: Site, rng: random.Random) -> Slip | None:
    """The liquid that the yeast goes into is to be hot, not warm: 70 C for 37 C."""
    fact = site.fact
    if not isinstance(fact, TemperatureFact) or fact.place is not None or not site.first:
        return None
    if not kinds_drawn(site) & YEASTS:
        return None
    now, new = ("70 C", Fraction(70)) if "C" in site.unit else ("158 F", Fraction(158))
    return _whole_range(site, new, "liquid heated", now)


@_operator("core lowered", "number", "temperature")
def core_lowered(site: Site, rng: random.Random) -> Slip | None:
    """The core temperature is 15 C too low: 60 C for 75 C."""
    fact = site.fact
    if not isinstance(fact, TemperatureFact) or fact.place != "core" or not site.first:
        return None
    new = site.value - (15 if "C" in site.unit else 27)
    return _whole_range(site, new, "core lowered", f"{written(new)} {site.unit}")


@_operator("oven by the other scale", "number", "temperature")
def oven_by_the_other_scale(site: Site, rng: random.Random) -> Slip | None:
    """The oven's figure is that of the other scale: 400 C, where 400 F was meant."""
    fact = site.fact
    if not isinstance(fact, TemperatureFact) or fact.place not in ("oven", "fan oven") or not site.first:
        return None
    other = quantities.fahrenheit(site.value) if "C" in site.unit else (site.value - 32) * Fraction(5, 9)
    new = Fraction(round(other / 5) * 5)
    return _whole_range(site, new, "oven by the other scale", f"{written(new)} {site.unit}")


@_operator("hands-off dropped", "number", "duration")
def hands_off_dropped(site: Site, rng: random.Random) -> Slip | None:
    """`hands-off` is left out of a long wait: three quarters of an hour or more."""
    fact = site.fact
    if not isinstance(fact, DurationFact) or not fact.hands_off or not site.first:
        return None
    if quantities.extent(fact.duration)[0] < 45 * 60:
        return None
    text = fact.span.text
    at = text.find("hands-off")
    if at < 0:
        return None
    cut = len(text[:at].rstrip())
    edit = (fact.span.first + cut, fact.span.first + at + len("hands-off"), "")
    return _slip(site, "hands-off dropped", [edit], text, text[:cut] + text[at + len("hands-off") :])


@_operator("time deleted", "number", "duration")
def time_deleted(site: Site, rng: random.Random) -> Slip | None:
    """A time is lost when the step is rewritten."""
    fact = site.fact
    assert isinstance(fact, DurationFact)
    if not site.first:
        return None
    text = site.source.text
    start, end = text.rfind("[", 0, site.start), text.find("]", site.end) + 1
    before = re.search(r"(?:,? (?:for|and)|,|;|:)? ?$", text[:start])
    cut = before.start() if before else start
    heading = site.block.heading.span.first if site.block.heading else site.block.span.first
    return _slip(site, "time deleted", [(cut, end, "")], text[cut:end], "", at=[cut, heading])


@_operator("cooling slowed", "number", "change time")
def cooling_slowed(site: Site, rng: random.Random) -> Slip | None:
    """A nought too many in how long food may take to cool: in 20 h."""
    now = written(site.value * 10)
    assert now is not None
    return _slip(
        site,
        "cooling slowed",
        [(site.start, site.end, now)],
        site.text,
        now,
        old=site.value,
        new=site.value * 10,
    )
