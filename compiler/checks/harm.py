"""What can hurt: core temperatures, raw flour and egg, beans, how long it keeps, and what nobody checks here.

How long food stands and how fast it cools is in `danger_range`. All of it is usual guidance, and says so.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import DurationRun, TemperatureRun
from benchproof.compiler.checks import danger_range
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import Degrees, both_temperatures, listed
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.food_law import ALL_LISTS, AUSTRALIA_NEW_ZEALAND, EU, US
from benchproof.compiler.food_safety import (
    FRIDGE_DAYS,
    HARD_BOIL,
    LEFTOVERS,
    REST,
    Peril,
    Published,
    least,
    strictest,
)
from benchproof.compiler.formula import Formula, Item
from benchproof.compiler.kitchen import Kitchen, Recipe
from benchproof.compiler.outside import PROCESSES, Process, is_keeping_oil, said
from benchproof.compiler.perils import (
    deep,
    dish_spoils,
    is_bean_to_boil,
    is_egg,
    is_fish,
    is_flesh,
    is_flour,
    is_ham,
    is_minced,
    is_poisonous_bean,
    is_poultry,
    is_raw_flesh,
    known_safe,
    pasteurised,
    within,
)
from benchproof.compiler.ratios import YEASTS
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.standing import Clause, Held, Walk, text_of, walk
from benchproof.compiler.syntax import Keep, Keeps, Measure, NamedHeading, name_key

_CAUTION: Final = "This is usual guidance; local food law comes first."


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    first: Degrees = compiled.batch.asked.temperatures if compiled.batch else "C"
    american = kitchen.settings.law is US
    walked = walk(compiled.formula, compiled.method, kitchen.settings.room)
    standing = list(danger_range.check(walked, american=american, first=first))
    yield from standing
    yield from _cores(compiled, walked, kitchen, first)
    yield from _no_core(compiled, walked, kitchen, first)
    low = any(one.rule == "low-and-long" for one in standing)
    yield from _raw(compiled, walked, kitchen, warmed=low)
    yield from _beans(compiled, walked)
    yield from _reheats(compiled, first)
    yield from _keeps(compiled)
    yield from _outside(compiled)
    yield from _allergens(compiled, kitchen)


# ---------------------------------------------------------------- the middle of the food


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What the middle of something in the pot must reach."""

    index: int
    item: Item
    peril: Peril
    what: str


_WORDS: Final[dict[Peril, str]] = {
    "poultry": "poultry",
    "mince": "minced meat",
    "whole cuts": "whole cuts of meat",
    "eggs": "egg dishes",
    "fish": "fish",
    "ham": "ham that is warmed again",
    "leftovers": "left-overs and casseroles",
    "stuffed": "stuffed food",
}
_STUFFED: Final = re.compile(r"\b(?:stuffing|stuffed)\b", re.I)


def _peril_of(item: Item, *, stuffed: bool) -> Peril | None:
    if is_raw_flesh(item) and stuffed:
        return "stuffed"
    if not is_raw_flesh(item):
        return None
    if is_poultry(item):
        return "poultry"
    if is_minced(item):
        return "mince"
    return "fish" if is_fish(item) else "whole cuts"


def _wanted(pot: tuple[Held, ...], of: str | None, *, stuffed: bool) -> Iterator[_Wanted]:
    """What is in the pot that can hurt, or of it what the fact names."""
    named = [held for held in pot if of is not None and _is_called(held.item, of)]
    whole = sum((held.grams for held in pot), Fraction(0))
    for held in named or pot:
        for item in within(held.item):
            peril = _peril_of(item, stuffed=stuffed)
            if peril is not None:
                yield _Wanted(id(held.item), item, peril, _WORDS[peril])
        if is_ham(held.item) and (named or held.grams * 2 >= whole):
            yield _Wanted(id(held.item), held.item, "ham", _WORDS["ham"])
    parts: dict[int, list[Held]] = {}
    for held in named or pot:
        parts.setdefault(held.item.part, []).append(held)
    for part in parts.values():
        if _set_by_egg(part):
            egg = next(held.item for held in part if is_egg(held.item))
            yield _Wanted(id(egg), egg, "eggs", _WORDS["eggs"])


def _is_called(item: Item, of: str) -> bool:
    asked = set(name_key(of).split())
    return any(asked <= set(key.split()) for one in (item, *within(item)) for key in one.keys)


def _set_by_egg(pot: Iterable[Held]) -> bool:
    """Whether egg sets or binds it: a twenty-fifth of the whole or more, and no dough, batter or cake."""
    held = list(pot)
    whole = sum((one.grams for one in held), Fraction(0))
    egg = sum((one.grams for one in held if is_egg(one.item) and not pasteurised(one.item)), Fraction(0))
    flour = sum((one.grams for one in held if is_flour(one.item)), Fraction(0))
    return bool(egg) and egg * 25 >= whole and (flour * 5 < whole or egg > flour)


def _is_stuffed(compiled: Compiled) -> bool:
    """Whether something is stuffed, by the recipe's name, a part or a step."""
    recipe = compiled.recipe
    words = [recipe.name.text, *(part.name.text for part in compiled.formula.parts if part.name)]
    words += [text_of(step) for step in compiled.method.steps]
    return any(_STUFFED.search(word) for word in words)


def _cores(compiled: Compiled, walked: Walk, kitchen: Kitchen, first: Degrees) -> Iterator[Finding]:
    american = kitchen.settings.law is US
    stuffed = _is_stuffed(compiled)
    reached: set[int] = set()
    for number, (clause, _, pot) in enumerate(walked.pots):
        for event in clause.events:
            run = event.run
            if not isinstance(run, TemperatureRun) or run.place != "core":
                continue
            everything = list(_wanted(pot, run.of, stuffed=stuffed))
            wanted = [one for one in everything if one.index not in reached]
            if not wanted:
                wanted = list(_again(clause, run, everything, pot))
            if not wanted:
                continue
            worst = max(wanted, key=lambda one: least(one.peril, american=american).celsius)
            figure = least(worst.peril, american=american)
            low = run.temperature.low
            if low >= figure.celsius:
                reached |= {one.index for one in wanted}
                yield from _strictest(event.piece.span, run, worst, figure, first)
                if any(one.peril == "whole cuts" for one in wanted):
                    yield from _not_rested(event.piece.span, run, walked, number, worst.item)
            else:
                yield _too_cool(event.piece.span, run, worst, figure, kitchen, first)


_AGAIN: Final = re.compile(
    r"\b(?:re-?heat\w*|heat (?:it |them )?through|warm (?:it |them )?(?:again|through))\b", re.I
)


def _again(
    clause: Clause, run: TemperatureRun, everything: list[_Wanted], pot: tuple[Held, ...]
) -> Iterator[_Wanted]:
    """What was done before and is heated again, as a left-over or in a dish put together of several parts."""
    together = run.of is None and len({held.item.part for held in pot}) > 1
    if everything and (together or clause.says(_AGAIN)):
        one = everything[0]
        yield _Wanted(one.index, one.item, "leftovers", _WORDS["leftovers"])


def _fahrenheit(celsius: Fraction) -> Fraction:
    return celsius * 9 / 5 + 32


def _plain(celsius: Fraction, first: Degrees) -> str:
    """A least temperature as it can be written: `74 C`, never below it."""
    value = _fahrenheit(celsius) if first == "F" else celsius
    return f"{math.ceil(value)} {first}"


_WELL_BELOW: Final = Fraction(10)
"""F below the least from which there is no doubt that it is too little: our own choice."""


def _too_cool(
    span: Span, run: TemperatureRun, worst: _Wanted, figure: Published, kitchen: Kitchen, first: Degrees
) -> Finding:
    surely = (
        worst.peril in ("poultry", "mince", "stuffed")
        and _fahrenheit(run.temperature.low) <= _fahrenheit(figure.celsius) - _WELL_BELOW
    )
    shown = both_temperatures(figure.celsius, figure.celsius, first, minimum=True)
    law = (
        " The kitchen names no food law, so the strictest figure of all holds."
        if kitchen.settings.law.union
        else ""
    )
    of = f" of {run.of}" if run.of else ""
    return find(
        "core-too-cool",
        span,
        f"“{run.text}” is below {shown}, the least that is published for {worst.what} ({worst.item.name.text}).{law}",
        f"Write `[{_plain(figure.celsius, first)} core{of}]` or more. {_CAUTION}",
        severity=Severity.ERROR if surely else None,
    )


def _strictest(
    span: Span, run: TemperatureRun, worst: _Wanted, figure: Published, first: Degrees
) -> Iterator[Finding]:
    """Under a law that asks less than others do, the stricter figure is told as well."""
    most = strictest(worst.peril)
    if run.temperature.low >= most.celsius or figure.celsius >= most.celsius:
        return
    yield find(
        "core-too-cool",
        span,
        f"“{run.text}” is enough for {worst.what} by the Food Code, where it is held there; the chart for households "
        f"asks for {both_temperatures(most.celsius, most.celsius, first, minimum=True)}.",
        f"Keep it there for the time the Code gives, or write the higher figure. {_CAUTION}",
        severity=Severity.HINT,
    )


_RESTED: Final = re.compile(r"\b(?:rest|rests|rested|resting|stand|stands)\b", re.I)


def _not_rested(span: Span, run: TemperatureRun, walked: Walk, number: int, item: Item) -> Iterator[Finding]:
    """Whole cuts rest 3 min after 145 F; from the chart's 160 F on nothing more is asked."""
    if run.temperature.low >= strictest("mince").celsius:
        return
    for clause, _, _ in walked.pots[number:]:
        if clause.says(_RESTED):
            return
        after = clause is not walked.pots[number][0]
        if after and any(
            isinstance(event.run, DurationRun) and event.run.duration.low >= REST * 60
            for event in clause.events
        ):
            return
    yield find(
        "meat-not-rested",
        span,
        f"{item.name.text}: “{run.text}”, and no rest is written after it.",
        f"Write `Rest [3 min hands-off]` or longer: the published least for whole cuts counts on it. {_CAUTION}",
    )


_BOILS: Final = re.compile(r"\b(?:boil|boils|boiling|simmer\w*|stew\w*|brais\w+|poach\w*|pressure)\b", re.I)
_BOILED: Final = Fraction(20 * 60)
"""s of boiling or simmering after which pieces are plainly cooked through: our own choice."""


def _no_core(compiled: Compiled, walked: Walk, kitchen: Kitchen, first: Degrees) -> Iterator[Finding]:
    """Poultry, mince or something stuffed, heated, without a core temperature or a long boil."""
    american = kitchen.settings.law is US
    stuffed = _is_stuffed(compiled)
    told: set[str] = set()
    for index, order in walked.drawn.items():
        item = compiled.formula.parts[index[0]].items[index[1]]
        peril = _peril_of(item, stuffed=stuffed)
        if peril not in ("poultry", "mince", "stuffed") or item.name.key in told:
            continue
        if not walked.heated_after(index, itself=False) or _plainly_cooked(walked, order):
            continue
        told.add(item.name.key)
        figure = least(peril, american=american).celsius
        yield find(
            "core-not-named",
            item.entry.span,
            f"No step says how hot the middle of the {item.name.text} gets.",
            f"Write `[{_plain(figure, first)} core]` where it is done. {_CAUTION}",
        )


def _plainly_cooked(walked: Walk, order: int) -> bool:
    boiled = Fraction(0)
    for clause, at, _ in walked.pots:
        if at < order:
            continue
        if any(run.place == "core" for run in clause.temperatures):
            return True
        if clause.says(_BOILS):
            boiled += sum(
                (event.run.duration.low for event in clause.events if isinstance(event.run, DurationRun)),
                Fraction(0),
            )
    return boiled >= _BOILED


# ---------------------------------------------------------------- eaten raw

_DOUGH: Final = re.compile(
    r"\b(?:dough|pastry|crust|levain|starter|sponge|poolish|biga|batter|mix|bases?|pasta|noodles?|roux|shells?|cases?)\b",
    re.I,
)
_EATEN: Final = re.compile(
    r"\b(?:edible|raw|no[- ]bake|unbaked|truffles?|bites|ice cream|mousse|fudge|spoon|bowl)\b", re.I
)
_HEAT_TREATED: Final = re.compile(
    r"\bheat[- ]treat\w*|\b(?:toast|bake|microwave|heat|roast)\w* the (?:raw )?flour\b[^.]*"
    r"\b(?:safe|germs|bacteria|kill\w*)",
    re.I,
)


def _used_elsewhere(recipe: Recipe, kitchen: Kitchen) -> bool:
    """Whether another recipe of the kitchen takes what this one makes: it may be cooked there."""
    return any(
        entry.label.key in recipe.keys
        for other in kitchen.own_recipes()
        if other is not recipe
        for block in other.ingredients
        for entry in block.entries()
    )


def _raw(compiled: Compiled, walked: Walk, kitchen: Kitchen, *, warmed: bool) -> Iterator[Finding]:
    """What is eaten raw; flesh that is warmed too little, cured or smoked has a finding already."""
    if not compiled.method.steps or _used_elsewhere(compiled.recipe, kitchen):
        return
    cured = any(
        list(one.found(compiled.formula, compiled.method))
        for one in PROCESSES
        if one.name in ("curing-outside", "smoking-outside")
    )
    if not warmed and not cured:
        yield from _served_raw(compiled, walked)
    yield from _flour_at_home(compiled)
    yield from _uncooked(compiled, walked)


def _lines(compiled: Compiled, walked: Walk) -> Iterator[tuple[tuple[int, int], Item]]:
    for index in walked.drawn:
        yield index, compiled.formula.parts[index[0]].items[index[1]]


def _served_raw(compiled: Compiled, walked: Walk) -> Iterator[Finding]:
    for index, item in _lines(compiled, walked):
        if not is_raw_flesh(item) or walked.heated_after(index, itself=False):
            continue
        poultry = is_poultry(item)
        yield find(
            "served-raw",
            item.entry.span,
            f"{item.name.text}: no step cooks this after taking it.",
            f"Write how it is cooked, with its core temperature. If it is meant to be raw, that is outside what this "
            f"checks: ask a qualified person, and write `waive: served-raw because …`. {_CAUTION}",
            severity=Severity.ERROR if poultry else None,
        )


def _flour_at_home(compiled: Compiled) -> Iterator[Finding]:
    for span, words in said(compiled.recipe, _HEAT_TREATED):
        yield find(
            "flour-heated-at-home",
            span,
            f"“{words}”: nobody has shown that heating flour at home makes it safe to eat raw, and food authorities "
            "advise against it.",
            "Buy flour that is sold as heat-treated or ready to eat, or bake the whole. " + _CAUTION,
        )


def _uncooked(compiled: Compiled, walked: Walk) -> Iterator[Finding]:
    items = list(_lines(compiled, walked))
    eggs = [
        (index, item)
        for index, item in items
        if is_egg(item) and not pasteurised(item) and not walked.heated_after(index, itself=True)
    ]
    flour = [
        (index, item)
        for index, item in items
        if is_flour(item)
        and item.purpose is None
        and not item.lent
        and not known_safe(item)
        and not walked.heated_after(index, itself=True)
    ]
    both = eggs + flour
    if not both:
        return
    _, item = both[0]
    what = listed(dict.fromkeys(one.name.text for _, one in both))
    title = " ".join([compiled.recipe.name.text, *_told(compiled.recipe)])
    whole = compiled.formula.weight
    grist = sum((one.weight for _, one in flour if one.weight), Fraction(0))
    doughy = (
        bool(flour)
        and _EATEN.search(title) is None
        and (
            _DOUGH.search(title) is not None
            or grist * 5 >= whole * 2
            or any(item.kind in (*YEASTS, "starter") for _, item in items)
        )
    )
    if doughy and not any(compiled.recipe.block.entry(label) for label in ("keeps", "reheats")):
        return  # a dough that is baked elsewhere: nothing says that it is ready to eat
    yield find(
        "flour-or-egg-eaten-raw",
        item.entry.span,
        f"{what}: no step cooks this after taking it, and {_raw_what(bool(eggs), bool(flour))} can carry harmful "
        "bacteria.",
        _raw_help(bool(eggs), bool(flour), doughy=doughy),
    )


def _told(recipe: Recipe) -> list[str]:
    return [
        entry.value.span.text
        for entry in recipe.block.entries()
        if entry.label.key in ("summary", "tags", "also")
    ]


def _raw_what(eggs: bool, flour: bool) -> str:
    return listed([*(["raw egg"] if eggs else []), *(["raw flour"] if flour else [])])


def _raw_help(eggs: bool, flour: bool, *, doughy: bool) -> str:
    if doughy:
        return f"Write the step that bakes or boils it. {_CAUTION}"
    ways = []
    if eggs:
        ways.append("use pasteurised egg (its `ingredient` block says `eaten raw: yes`)")
    if flour:
        ways.append("use flour that is sold as ready to eat")
    return f"Cook it, or {listed(ways)}. {_CAUTION}"


# ---------------------------------------------------------------- beans

_HARD: Final = re.compile(r"\b(?:boil|boils|boiling|rolling|pressure|bubbling)\b", re.I)
_SIMMER: Final = re.compile(r"\b(?:simmer\w*|slow)\b", re.I)
_SOAKED: Final = re.compile(r"\bsoak\w*|\bcover\b", re.I)
_THROWN: Final = re.compile(
    r"\b(?:drain\w*|rins\w+|throw\w*|discard\w*|pour\w* off|tip\w* (?:off|away)|fresh water)\b", re.I
)
_LONG_SOAK: Final = Fraction(5 * 3600)
"""s of soaking that are usual at the least: 5 h, common food-safety advice, from memory."""


def _beans(compiled: Compiled, walked: Walk) -> Iterator[Finding]:
    for index, item in _lines(compiled, walked):
        if not is_bean_to_boil(item):
            continue
        order = walked.drawn[index]
        boiled: list[tuple[Fraction, Span]] = []
        soaked = thrown = False
        for clause, _, _ in walked.pots:
            if clause.step.number < _step_of(walked, order):
                continue
            times = [event for event in clause.events if isinstance(event.run, DurationRun)]
            if _boils_hard(clause):
                boiled += [
                    (event.run.duration.low, event.piece.span)
                    for event in times
                    if isinstance(event.run, DurationRun)
                ]
            elif any(
                isinstance(event.run, DurationRun) and event.run.duration.low >= _LONG_SOAK for event in times
            ):
                soaked = True
            soaked = soaked or clause.says(_SOAKED)
            thrown = thrown or clause.says(_THROWN)
        longest = max(boiled, default=None, key=lambda one: one[0])
        if longest is None or longest[0] < HARD_BOIL:
            yield _not_boiled(item, longest)
        elif not (soaked and thrown):
            yield find(
                "beans-not-soaked",
                item.entry.span,
                f"Nothing says that the {item.name.text} are soaked and the water is thrown away."
                if not soaked
                else f"Nothing says that the water the {item.name.text} soaked in is thrown away.",
                "Write both steps: soak them in the fridge, drain and rinse, then boil hard in fresh water. "
                + _CAUTION,
            )


def _step_of(walked: Walk, order: int) -> int:
    return next((clause.step.number for clause, at, _ in walked.pots if at >= order), 1)


def _boils_hard(clause: Clause) -> bool:
    if clause.says(_SIMMER):
        return False
    if clause.says(_HARD):
        return not any(run.place is None and run.temperature.high < 95 for run in clause.temperatures)
    return any(run.place in ("pan", None) and run.temperature.high >= 98 for run in clause.temperatures)


def _not_boiled(item: Item, longest: tuple[Fraction, Span] | None) -> Finding:
    if longest is None:
        span, read = item.entry.span, f"No step boils the {item.name.text} hard."
    else:
        span, read = longest[1], f"“{longest[1].text.strip('[]')}” is too short for {item.name.text}."
    return find(
        "beans-not-boiled",
        span,
        f"{read} Kidney beans and their kin are poisonous until they have boiled hard for 10 min, and worse when they "
        "are cooked slowly below that.",
        f"Write `Boil hard, [10 min]`, in fresh water after the soak. {_CAUTION}",
        also=(Also(item.entry.span, "these beans"),) if longest is not None else (),
        severity=Severity.ERROR if is_poisonous_bean(item) else None,
    )


# ---------------------------------------------------------------- kept and warmed again


def _reheats(compiled: Compiled, first: Degrees) -> Iterator[Finding]:
    entry = compiled.recipe.block.entry("reheats")
    if entry is None or not any(dish_spoils(compiled.formula)):
        return
    whole = " ".join([entry.value.span.text, *(detail.text for detail in entry.details)])
    if isinstance(entry.value, Measure) and entry.value.quantity.dimension == "temperature":
        low = quantities.extent(entry.value.quantity)[0]
        oven = re.search(r"\b(?:oven|pan|grill|hob)\b", entry.value.words)
        if low < LEFTOVERS.celsius and not oven:
            shown = both_temperatures(LEFTOVERS.celsius, LEFTOVERS.celsius, first, minimum=True)
            yield find(
                "reheated-too-cool",
                entry.value.span,
                f"“{entry.value.span.text}” is below {shown}, the least that is published for left-overs.",
                f"Write `reheats: to {'165 F' if first == 'F' else '75 C'} core, once`. {_CAUTION}",
            )
            return
    if not re.search(r"\b(?:once|only one time)\b", whole, re.I):
        yield find(
            "reheated-how-often",
            entry.value.span,
            f"“{whole}” does not say how often it may be warmed again.",
            f"Add `, once`: each time it passes through the warmth in which bacteria grow. {_CAUTION}",
        )


_COLD: Final = re.compile(r"\b(?:fridge|refrigerat\w*|cold|chill\w*|chiller|ice)\b", re.I)
_FROZEN: Final = re.compile(r"froz|freez", re.I)
_DAY: Final = Fraction(86400)
_OILY: Final = Fraction(7)
"""Days for a mayonnaise in the fridge, mostly oil: common practice, no source."""
_CULTURED: Final = Fraction(14)
"""Days in the fridge for milk or cream that a culture has soured: common practice, no source."""
_GARDEN: Final = Fraction(5)
"""Days in the fridge for vegetables and pulses without meat, fish, egg or milk: common practice, no source."""
_BREAD: Final = Fraction(7)
_BAKED: Final = Fraction(60)
_DAIRY: Final = Fraction(30)
_FRUIT: Final = Fraction(14)
_SWEET: Final = Fraction(90)
_FREEZER: Final = Fraction(365)
"""Days after which a plain loaf, a cake or biscuit, a sweet sauce with milk, cooked fruit, a syrup or dressing, and
anything frozen is past its best or unsafe: common practice, no source."""


def _keeps(compiled: Compiled) -> Iterator[Finding]:
    entry = compiled.recipe.block.entry("keeps")
    if entry is None or not isinstance(entry.value, Keeps):
        return
    oily = is_keeping_oil(compiled.formula)
    spoiling = any(dish_spoils(compiled.formula))
    for keep in entry.value.keeps:
        days = quantities.extent(keep.duration)[1] / _DAY
        if oily is not None and not _FROZEN.search(keep.words):
            found = _garlic(keep, days, oily)
            if found is not None:
                yield found
                continue
        if _FROZEN.search(keep.words):
            if days > _FREEZER:
                yield _too_long(keep, "a year in the freezer", "anything frozen")
        elif spoiling:
            yield from _spoiling(keep, days, compiled.formula)
        else:
            most = _most(compiled.formula, cold=bool(_COLD.search(keep.words)))
            if most is not None and days > most[0]:
                yield _too_long(keep, f"{most[0]} days", most[1])


def _spoiling(keep: Keep, days: Fraction, formula: Formula) -> Iterator[Finding]:
    if not keep.words.strip():
        most = FRIDGE_DAYS
        if days > most:
            yield _too_long(keep, "3 to 4 days in the fridge", "cooked food that spoils")
        return
    if not _COLD.search(keep.words):
        yield find(
            "kept-out-of-the-cold",
            keep.span,
            f"“{keep.span.text}”: what is in this spoils, and that is not in the fridge.",
            f"Write how long it keeps there: `2 days in the fridge`. {_CAUTION}",
        )
        return
    most, what = _fridge_days(formula)
    if days > most:
        yield _too_long(keep, f"{'3 to ' if most == FRIDGE_DAYS else ''}{most} days in the fridge", what)


def _fridge_days(formula: Formula) -> tuple[Fraction, str]:
    items = [item for item in deep(formula) if item.purpose is None]
    rich = [item for item in items if is_flesh(item) or is_egg(item) or item.kind in ("milk", "cream")]
    if not rich and not any(item.kind in ("grain", "pasta") for item in items):
        return _GARDEN, "cooked vegetables and pulses"
    if any(item.kind == "yoghurt" for item in items) and not any(
        is_flesh(item) or is_egg(item) for item in rich
    ):
        return _CULTURED, "something that a culture has soured"
    whole = formula.weight
    oil = sum(
        (item.weight for item in formula.items() if item.kind == "oil" and item.inside and item.weight),
        Fraction(0),
    )
    if whole and oil * 2 >= whole and not any(is_flesh(item) for item in rich):
        return _OILY, "a mayonnaise"
    return FRIDGE_DAYS, "cooked food that spoils"


def _most(formula: Formula, *, cold: bool) -> tuple[Fraction, str] | None:
    """How many days something that does not spoil at once usually keeps, and what it is."""
    items = [item for item in formula.items() if item.inside and item.weight]
    whole = sum((item.weight for item in items if item.weight), Fraction(0))
    if not whole:
        return None

    def share(*kinds: str) -> Fraction:
        return sum((item.weight for item in items if item.kind in kinds and item.weight), Fraction(0)) / whole

    flour = sum((item.weight for item in items if is_flour(item) and item.weight), Fraction(0)) / whole
    sweet = share("sugar", "syrup")
    if flour * 5 >= 1:
        living = any(item.kind in (*YEASTS, "starter") for item in items)
        if living and share("dried fruit") * 5 < 1:
            return _BREAD, "a bread"
        if share("dried fruit") * 5 < 1:
            return _BAKED, "a cake or biscuit"
        return None
    if share("milk", "cream", "egg", "cheese") * 10 >= 1:
        return _DAIRY, "something with milk or egg in it"
    if share("fruit", "vegetable", "puree", "herb") * 4 >= 1 and sweet * 5 < 2 and share("vinegar") * 8 < 1:
        return _FRUIT, "cooked fruit or vegetables"
    if share("liquid", "oil", "vinegar", "plant milk") * 4 >= 1:
        return _SWEET, "a syrup or a dressing"
    return None


def _too_long(keep: Keep, usual: str, what: str) -> Finding:
    return find(
        "keeps-too-long",
        keep.span,
        f"“{keep.span.text}” is longer than is usual for {what}: {usual}.",
        f"Look at the figure again, or freeze what is over. {_CAUTION}",
    )


def _garlic(keep: Keep, days: Fraction, item: Item) -> Finding | None:
    cold = _COLD.search(keep.words)
    if cold and days <= FRIDGE_DAYS:
        return None
    return find(
        "garlic-or-herbs-in-oil",
        keep.span,
        f"“{keep.span.text}”: {item.name.text} under oil has no air, and the poison of botulism can form in it unseen.",
        f"Keep it in the fridge and use it within {FRIDGE_DAYS} days, or freeze it. {_CAUTION}",
        severity=Severity.ERROR if not cold else None if days > _OILY else Severity.HINT,
    )


# ---------------------------------------------------------------- outside what this checks


def _outside(compiled: Compiled) -> Iterator[Finding]:
    for process in PROCESSES:
        spans = list(process.found(compiled.formula, compiled.method))
        if spans:
            yield _is_outside(process, spans)
    infants = next((one for one in PROCESSES if one.name == "infants-outside"), None)
    if infants is None or not list(infants.found(compiled.formula, compiled.method)):
        return
    for item in compiled.formula.items():
        if any("honey" in re.split(r"[\s-]+", key) for one in within(item) for key in one.keys):
            yield find(
                "honey-for-infants",
                item.entry.span,
                f"{item.name.text} in food for an infant: honey can carry the germs of botulism.",
                f"Leave it out for children under 12 months. {_CAUTION}",
            )


def _is_outside(process: Process, spans: list[Span]) -> Finding:
    return find(
        "outside-what-is-checked",
        spans[0],
        f"“{spans[0].text.strip()}”: {process.what} is outside what this checks, and nothing here says that it is "
        "safe.",
        f"{process.help} Local food law and qualified people come first.",
        severity=Severity.HINT if process.mild else None,
    )


# ---------------------------------------------------------------- allergens and the law


def _allergens(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    """What the kitchen's own `ingredient` blocks leave out; what the larder does not state the card shows so."""
    missing = [
        item
        for item in deep(compiled.formula)
        if item.food is not None
        and item.food.contains is None
        and item.food.span is not None
        and item.food.span.source in kitchen.sources
        and item.entry.span.source is compiled.recipe.source
    ]
    once = list({one.name.key: one for one in missing}.values())
    if once:
        item = once[0]
        yield find(
            "allergens-not-stated",
            item.entry.span,
            f"Nobody has stated what allergens are in {listed([one.name.text for one in once])}. The card shows that "
            "as not stated, never as free of them.",
            f"Read the label and write it: `ingredient {item.name.text}` with a line such as `contains: wheat, milk`, "
            "or `contains: nothing`.",
            also=tuple(Also(one.entry.span, "nor of this") for one in once[1:]),
        )
    yield from _no_law(compiled, kitchen)


_LISTS: Final = (EU, US, AUSTRALIA_NEW_ZEALAND)


def _no_law(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    """Told once in a kitchen, where a recipe needs a law: for an allergen that not every list has, or raw flesh."""
    if kitchen.settings.law is not ALL_LISTS:
        return
    block = next((block for block in kitchen.blocks if block.kind == "kitchen"), None)
    if block is None or not isinstance(block.heading, NamedHeading) or block.entry("food law") is not None:
        return
    if not compiled.method.steps:
        return
    carried = {word for item in deep(compiled.formula) if item.food for word in item.food.contains or ()}
    differs = any(0 < sum(word in law.declared for law in _LISTS) < len(_LISTS) for word in carried)
    heated = any(is_raw_flesh(item) for item in deep(compiled.formula))
    if differs or heated:
        yield find(
            "food-law-not-named",
            block.heading.name.span,
            "This kitchen names no food law: every list of allergens is joined, and the strictest temperatures hold.",
            "Write which law it is under: `food law: Australia and New Zealand`, `European Union` or `United States`.",
        )
