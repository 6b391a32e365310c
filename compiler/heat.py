"""Heat: how warm the water must be for a dough, how much of it must be ice, and where water boils.

Degrees are Celsius, weights g, specific heats kJ for 1 kg and 1 degree. Everything but the boiling point is
rational, so it is worked out exactly and rounded once, in `waters`, to a hundredth. The boiling point needs a
power and a logarithm: those are decimal, so that every machine gives the same figure.

Two ways to a water temperature stand side by side. The *bench rule* is the trade's: quick, made for doughs, and
its constants hide what the bowl and the room take away. The *heat balance* weighs everything by its specific
heat, and knows of no bowl and no room.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Final, TypeAlias

from benchproof.compiler.batch import (
    ChangeRun,
    DrawRun,
    DurationRun,
    Extent,
    Run,
    TemperatureRun,
    TextRun,
    WaterFor,
)
from benchproof.compiler.display import both_temperatures, listed
from benchproof.compiler.formula import Formula, FormulaPart, Item
from benchproof.compiler.kitchen import Settings
from benchproof.compiler.method import Drawn, Method, StepMethod
from benchproof.compiler.ratios import HYDRATING
from benchproof.compiler.syntax import Entry, Fact, ProseLine, Text

Celsius: TypeAlias = Fraction
"""A temperature in degrees Celsius, or a difference of two."""

NOUGHT: Final = Fraction(0)

# ---------------------------------------------------------------- the bench rule


def bench_rule(target: Celsius, known: Sequence[Celsius], friction: Celsius) -> Celsius:
    """The water temperature by the bench rule: `factors x target - known - friction`, exact.

    `known` are the temperatures of flour and room, and of the preferment where there is one; the water itself is
    the last factor, so two known make three factors and three make four. `friction` is the rule's own friction
    factor: a difference, so one given in Fahrenheit is turned into Celsius without the 32. The rule is the same in
    either scale: every factor brings its 32, and the sum takes it away again.

    For doughs only. In a batter, of 100 % hydration or more, water outweighs a third of the whole by far.

    Source: San Francisco Baking Institute, Artisan I handout (2009), as quoted by a baker: 3 factors, 4 with a
    preferment.
    """
    return (len(known) + 1) * target - sum(known, NOUGHT) - friction


def rise_of(friction: Celsius) -> Celsius:
    """The rise in the dough that a friction factor stands for: a third of it.

    The rule says that three times the dough is flour, room, water and friction together. With flour, room and
    water all at one temperature the dough is warmer than that by friction / 3. So a factor of 11 C (20 F) is a
    rise of 3.7 C, not of 11 C. Source: algebra on the bench rule; a kitchen measures its factor with three factors.
    """
    return friction / 3


# ---------------------------------------------------------------- the heat balance

WATER_HEAT: Final = Fraction("4.18")
"""Liquid water from 10 to 60 C, within 0.4 %. Source: IAPWS-IF97 (4.1954 at 10 C, 4.1786 at 40 C)."""

FLOUR_HEAT: Final = Fraction("1.84")
"""Flour of 12-13.5 % water: the middle of 1.80-1.88, measured. Source: Geankoplis, *Transport Processes and
Separation Process Principles*, Appendix A.4-1. (Choi and Okos by composition: 1.94.)"""

SUGAR_HEAT: Final = Fraction("1.24")
"""Crystalline sucrose at 25 C, from memory. Composition overstates dry sugar by 28 %."""

SALT_HEAT: Final = Fraction("0.864")
"""Sodium chloride at 25 C. Source: *CRC Handbook*, from memory. Composition overstates it by 31 %."""

_MEASURED: Final = {"flour": FLOUR_HEAT, "sugar": SUGAR_HEAT, "salt": SALT_HEAT}
"""Dry foods, whose measured figure goes before the equations."""

_WITHOUT_COMPOSITION: Final = {
    "milk": Fraction("3.85"),
    "egg": Fraction("3.18"),
    "oil": Fraction("2.01"),
    "starch": FLOUR_HEAT,
}
"""Kinds nobody stated the water of. Source: Geankoplis, Appendix A.4-1 (whole milk, fresh eggs, olive oil;
a starch is taken for a flour). Its egg is 15 % below composition, and is what the water in an egg has alone: so
the equations go first where the water is known."""

_OF_PROTEIN: Final = frozenset({"egg", "meat", "poultry", "fish", "shellfish", "cheese"})
"""Kinds whose rest, beside what is stated of them, is protein; of all others carbohydrate."""

_UNKNOWN_SHARE: Final = Fraction(1, 20)
"""Up to a twentieth of a dough may be food nobody knows the composition of: it is then taken for dry, like
flour, which moves the water by a few tenths of a degree at most. Our own choice."""


def choi_okos(
    water: Fraction,
    fat: Fraction,
    protein: Fraction,
    carbohydrate: Fraction,
    *,
    ash: Fraction = NOUGHT,
    at: Celsius = Fraction(20),
) -> Fraction:
    """The specific heat of a food from its composition, in shares of one that come to one, exact.

    Source: Choi and Okos (1986), *Effects of temperature and composition on the thermal properties of foods*;
    coefficients as two lecture documents transcribe them (fat 1.4373; another print has 1.4733, which is less than
    0.1 % here). For water from 0 to 150 C, at which `at` must lie. Dry sugar and pure salt come out 28 and 31 %
    too high.
    """
    parts = (
        (water, ("4176.2", "-0.0909", "0.0054731")),
        (protein, ("2008.2", "1.2089", "-0.0013129")),
        (fat, ("1984.2", "1.4373", "-0.0048008")),
        (carbohydrate, ("1548.8", "1.9625", "-0.0059399")),
        (ash, ("1092.6", "1.8896", "-0.0036817")),
    )
    return sum(
        (share * (Fraction(a) + Fraction(b) * at + Fraction(c) * at**2) / 1000 for share, (a, b, c) in parts),
        NOUGHT,
    )


@dataclass(frozen=True, slots=True)
class Portion:
    """Something that goes into a dough: g of it, its specific heat and its temperature."""

    weight: Fraction
    specific_heat: Fraction
    temperature: Celsius


def heat_balance(
    others: Sequence[Portion],
    water: Fraction,
    target: Celsius,
    rise: Celsius = NOUGHT,
    water_heat: Fraction = WATER_HEAT,
) -> Celsius:
    """The temperature at which `water` g bring a dough to `target`, exact.

    All the heat stays in: the sum of `weight x specific heat x (temperature - (target - rise))` over everything,
    water too, is nought. `rise` is what the mixing itself adds to the dough (see `rise_of`). No bowl and no room.

    Raises ValueError when there is no water to warm. Source: conservation of energy.
    """
    if water <= 0:
        raise ValueError("a heat balance needs some water")
    mixed = target - rise
    owed = sum((one.weight * one.specific_heat * (mixed - one.temperature) for one in others), NOUGHT)
    return mixed + owed / (water * water_heat)


# ---------------------------------------------------------------- ice

FUSION: Final = Fraction("334.6")
"""kJ that melt 1 kg of ice. Source: a baking technologist's article (2025); a trade magazine (2023) has 144 BTU
for a pound, 334.9; *CRC Handbook*, from memory, 333.55."""


def ice_instead(water: Fraction, tap: Celsius, wanted: Celsius) -> Fraction:
    """g of the `water` g that go in as ice, *instead* of as much water, exact.

    `tap` is how cold the rest of it is; `wanted` how cold all of it should be, and may lie below nought: what the
    ice takes up in the dough is the same. Nought when the tap is cold enough. More than `water` when even all of it
    as ice would not do.

    `ice = water x (tap - wanted) / (tap + fusion / specific heat of water)`, ice at 0 C. Source: heat balance with
    the ice replacing water; a bakery supplier's ice table prints the same in Fahrenheit, with 112 (144 - 32).
    """
    if wanted >= tap:
        return NOUGHT
    return water * (tap - wanted) / (tap + FUSION / WATER_HEAT)


# ---------------------------------------------------------------- boiling

LOWEST: Final = Fraction(-500)
HIGHEST: Final = Fraction(11000)
"""m between which the standard atmosphere's lowest layer reaches."""


def boiling_point(altitude: Fraction) -> Celsius:
    """Where water boils, `altitude` m above the sea, in weather that is neither high nor low. To a hundredth.

    Pressure `101.325 x (1 - 2.25577e-5 h) ^ 5.25588` kPa. Source: US Standard Atmosphere 1976, from memory; a program
    of the standard gives the same to 0.01 kPa. Temperature `1730.63 / (8.07131 - log10 P) - 233.426`, P in mmHg.
    Source: Antoine's constants for water from 1 to 100 C, from memory; IAPWS-IF97 gives the same to 0.1 C up to
    4600 m. A change in the weather moves it by about half a degree either way.

    Raises ValueError outside -500 to 11000 m.
    """
    if not LOWEST <= altitude <= HIGHEST:
        raise ValueError("the standard atmosphere is known from -500 to 11000 m")
    with localcontext(prec=28):
        height = Decimal(altitude.numerator) / Decimal(altitude.denominator)
        pressure = Decimal("101.325") * (1 - Decimal("2.25577e-5") * height) ** Decimal("5.25588")
        mercury = pressure * 760 / Decimal("101.325")
        boils = Decimal("1730.63") / (Decimal("8.07131") - mercury.log10()) - Decimal("233.426")
    return _hundredth(Fraction(boils))


def _hundredth(value: Fraction) -> Fraction:
    return Fraction(round(value * 100), 100)


# ---------------------------------------------------------------- the specific heat of what a recipe lists


def specific_heat_of(item: Item) -> Fraction | None:
    """kJ for 1 kg and 1 C of an ingredient; None when nobody stated enough.

    What the kitchen states goes first; then the measured figures for flour, sugar and salt; then composition;
    then a measured figure for the kind.
    """
    if item.food is not None and item.food.specific_heat is not None:
        return item.food.specific_heat
    kind = item.kind
    if kind in _MEASURED:
        return _MEASURED[kind]
    if not item.weight:
        return None
    water, fat = item.carries("water"), item.carries("fat")
    if water is None:
        return _WITHOUT_COMPOSITION.get(kind) if kind else None
    weight = item.weight
    wet = water / weight
    if wet >= Fraction(99, 100):
        return WATER_HEAT
    greasy = min((fat or NOUGHT) / weight, 1 - wet)
    salt = min((item.carries("salt") or NOUGHT) / weight, 1 - wet - greasy)
    rest = 1 - wet - greasy - salt
    protein = rest if kind in _OF_PROTEIN else NOUGHT
    return choi_okos(wet, greasy, protein, rest - protein) + salt * SALT_HEAT


# ---------------------------------------------------------------- walking through the method


def lead_up(method: Method, step: StepMethod) -> tuple[StepMethod, ...]:
    """The steps for the same part that a step waits for, and those they wait for, in order."""
    by_number = {one.number: one for one in method.steps}
    found: set[int] = set()
    todo = list(_waits_for(step, by_number))
    while todo:
        number = todo.pop()
        if number in by_number and number not in found:
            found.add(number)
            todo += _waits_for(by_number[number], by_number)
    key = step.part.key if step.part else None
    same = [by_number[number] for number in sorted(found)]
    return tuple(one for one in same if (one.part.key if one.part else None) == key)


def _waits_for(step: StepMethod, by_number: dict[int, StepMethod]) -> tuple[int, ...]:
    """`during D` starts no earlier than D: what D waits for is done by then."""
    during = by_number.get(step.during) if step.during is not None else None
    return (*step.after, *(during.after if during else ()))


@dataclass(frozen=True, slots=True)
class Event:
    """A run of a step's prose: the line it stands in, the text it is of, and what was drawn by a draw that worked."""

    line: int
    run: Run
    piece: Text | Fact
    drawn: Drawn | None


def events(step: StepMethod) -> Iterator[Event]:
    """The runs of a step in order, each draw with what it took."""
    left = list(step.draws)
    for number, (prose, line) in enumerate(zip(step.block.prose(), step.lines, strict=True)):
        for piece, run in zip(prose.pieces, line, strict=True):
            drawn = None
            if isinstance(run, DrawRun) and left and _same_draw(run, left[0]):
                drawn = left.pop(0)
            yield Event(number, run, piece, drawn)


def _same_draw(run: DrawRun, drawn: Drawn) -> bool:
    if run.line is not None or drawn.index is not None:
        return run.line == drawn.index
    part = drawn.part
    return (
        part is not None
        and part.name is not None
        and part.name.text.casefold() == (run.name.removeprefix("the ").casefold())
    )


# ---------------------------------------------------------------- the waters of a recipe

ASSUMED_ROOM: Final = Fraction(20)
_STANDS_LONG: Final = Fraction(2 * 3600)
"""s of standing after which what was mixed has the room's warmth: our own choice."""

HOT_PLACES: Final = frozenset({"oven", "fan oven", "pan", "oil", "core"})


@dataclass(slots=True)
class _In:
    """Something that is in the dough so far. `stated` is the temperature the prose gives it."""

    item: Item | None
    part: FormulaPart | None
    weight: Fraction
    here: bool
    stated: Celsius | None = None
    apart: bool = False
    """A liquid that was heated or left to stand before: it cannot be tempered any more."""

    @property
    def liquid(self) -> bool:
        return self.item is not None and self.item.kind in HYDRATING


@dataclass(slots=True)
class _Dough:
    """What has gone into a dough by the time its temperature is asked for."""

    contents: list[_In] = field(default_factory=list)
    known: bool = True
    """False once something went in whose weight is not known."""

    def draw(self, drawn: Drawn | None, *, here: bool) -> _In | None:
        if drawn is None:
            self.known = False
            return None
        item = drawn.item
        if item is not None and item.purpose is not None:
            return None
        if drawn.weight is None:
            self.known = self.known and item is not None and item.to_taste
            return None
        one = _In(item, drawn.part, drawn.weight, here)
        self.contents.append(one)
        return one


def waters(settings: Settings, formula: Formula, method: Method, factor: Fraction) -> tuple[WaterFor, ...]:
    """One answer for each step that asks for a dough temperature and has water to reach it with.

    The water is every liquid and milk drawn so far for the same part, save what an earlier step has heated or left
    to stand. Temperatures and grams are rounded to a hundredth, here and only here. The bench rule is for doughs;
    the balance is left out where more than a twentieth of the dough is of unknown composition. Ice is reckoned from
    the bench rule where there is one, else from the balance, and replaces plain water only.
    """
    found: list[WaterFor] = []
    for step in method.steps:
        target = next((run.temperature for run in _temperatures(step) if run.place == "dough"), None)
        if target is None:
            continue
        before = lead_up(method, step)
        dough = _so_far(step, before)
        fresh = any(one.liquid and one.here for one in dough.contents)
        asked_before = any(run.place == "dough" for one in before for run in _temperatures(one))
        if dough.known and (fresh or not asked_before):
            answer = _Answer(settings, formula, step, dough).work_out(target, factor)
            if answer is not None:
                found.append(answer)
    return tuple(found)


def _temperatures(step: StepMethod) -> Iterator[TemperatureRun]:
    return (run for line in step.lines for run in line if isinstance(run, TemperatureRun))


def _so_far(step: StepMethod, before: Sequence[StepMethod]) -> _Dough:
    dough = _Dough()
    for one in (*before, step):
        if _add(dough, one, here=one is step):
            break
    return dough


def _add(dough: _Dough, step: StepMethod, *, here: bool) -> bool:
    """Put a step's draws into the dough. True when the dough temperature it asks for was reached."""
    last: _In | None = None
    for event in events(step):
        run = event.run
        match run:
            case DrawRun():
                last = dough.draw(event.drawn, here=here)
            case TemperatureRun() if run.place == "dough":
                if here:
                    return True
            case TemperatureRun() if run.place is None and last is not None:
                last.stated = _middle(run.temperature)
                last.apart = not here
            case TemperatureRun() if run.place == "fridge" or run.place in HOT_PLACES:
                for one in dough.contents:
                    one.stated = _middle(run.temperature) if run.place == "fridge" else None
                    one.apart = True
            case ChangeRun():
                for one in dough.contents:
                    one.stated, one.apart = _middle(run.end), True
            case DurationRun() if run.hands_off and run.duration.low >= _STANDS_LONG:
                for one in dough.contents:
                    one.apart = True
            case _:
                pass
    return False


def _middle(extent: Extent) -> Fraction:
    return (extent.low + extent.high) / 2


class _Answer:
    """One dough, worked out."""

    def __init__(self, settings: Settings, formula: Formula, step: StepMethod, dough: _Dough) -> None:
        self.settings = settings
        self.formula = formula
        self.step = step
        self.assumed: list[str] = []
        self.water = [one for one in dough.contents if one.liquid and not (one.apart and not one.here)]
        self.others = [one for one in dough.contents if not any(one is w for w in self.water)]

    def work_out(self, target: Extent, factor: Fraction) -> WaterFor | None:
        grams = sum((one.weight for one in self.water), NOUGHT)
        if not grams:
            return None
        room = self._room()
        flour = self.settings.flour if self.settings.flour is not None else room
        friction = self._friction()
        known = [flour, room, *self._preferment(room)]
        by_rule = None
        if self._is_dough():
            by_rule = _each(target, lambda wanted: bench_rule(wanted, known, friction))
        by_balance = self._balance(target, room, flour, rise_of(friction))
        wanted = by_rule or by_balance
        return WaterFor(
            step=self.step.number,
            target=target,
            liquid=listed(list(dict.fromkeys(_name(one) for one in self.water))),
            water=_hundredth(grams * factor),
            by_rule=by_rule,
            by_balance=by_balance,
            ice=self._ice(wanted, room, factor) if wanted else None,
            room=room,
            flour=flour,
            friction=friction,
            assumed=tuple(self.assumed),
        )

    # ------------------------------------------------------------ what the kitchen says

    def _room(self) -> Celsius:
        if self.settings.room is not None:
            return self.settings.room
        self.assumed.append(f"the room is taken to be {_shown(ASSUMED_ROOM)}, since the kitchen does not say")
        return ASSUMED_ROOM

    def _friction(self) -> Celsius:
        """The friction factor for the way it is mixed."""
        ways = self.settings.friction
        if not ways:
            self.assumed.append(
                "nothing is counted for the warmth of the mixing, since the kitchen does not say"
            )
            return NOUGHT
        if len(ways) == 1:
            return ways[0][1]
        by_machine = self._by_machine()
        for words, rise in ways:
            if bool(_MACHINE.search(words)) is by_machine:
                return rise
        self.assumed.append(
            f"the mixing is taken to be {ways[0][0]}, since the kitchen gives no other that fits"
        )
        return ways[0][1]

    def _by_machine(self) -> bool:
        """What the step says goes before what stands in the kitchen."""
        prose = " ".join(run.text for line in self.step.lines for run in line if isinstance(run, TextRun))
        if _MACHINE.search(prose):
            return True
        if _BY_HAND.search(prose):
            return False
        return bool(_MACHINE.search(_equipment(self.formula)))

    def _preferment(self, room: Celsius) -> list[Celsius]:
        """The temperature of the preferment or starter, where one is in it: the fourth factor."""
        found = [one for one in self.others if self._is_preferment(one)]
        if not found:
            return []
        heaviest = max(found, key=lambda one: one.weight)
        if heaviest.stated is not None:
            return [heaviest.stated]
        self.assumed.append(f"the {_name(heaviest)} is taken to be as warm as the room, {_shown(room)}")
        return [room]

    def _is_preferment(self, one: _In) -> bool:
        if one.part is not None:
            return one.part.role == "preferment"
        item = one.item
        return item is not None and (
            item.kind == "starter" or self.formula.parts[item.part].role == "preferment"
        )

    # ------------------------------------------------------------ what the dough is

    def _is_dough(self) -> bool:
        """Whether its added liquids weigh less than its flour."""
        flour = liquid = NOUGHT
        for one in (*self.water, *self.others):
            for item, weight in self._items(one):
                food = item.food
                if item.kind == "starter" and food is not None:
                    share = food.flour
                    if share is None and food.hydration is not None:
                        share = 1 / (1 + food.hydration)
                    flour += weight * (share or NOUGHT)
                    liquid += weight * (1 - share) if share is not None else NOUGHT
                elif item.kind == "flour":
                    flour += weight
                elif item.kind in HYDRATING:
                    liquid += weight
        return liquid < flour

    def _items(self, one: _In) -> Iterator[tuple[Item, Fraction]]:
        """What a draw is made of: itself, or the lines of the preferment, soaker or part it names, by share."""
        part = one.part
        if one.item is not None:
            yield one.item, one.weight
        elif part is not None and part.weight:
            for item in part.items:
                if item.inside and item.weight:
                    yield item, item.weight * one.weight / part.weight

    def _balance(self, target: Extent, room: Celsius, flour: Celsius, rise: Celsius) -> Extent | None:
        portions: list[Portion] = []
        unknown: list[tuple[Item, Fraction, Celsius]] = []
        total = NOUGHT
        for one in self.others:
            for item, weight in self._items(one):
                total += weight
                warmth = one.stated
                if warmth is None:
                    dry = item is one.item and item.kind == "flour" and not one.apart
                    warmth = flour if dry else room
                heat = specific_heat_of(item)
                if heat is None:
                    unknown.append((item, weight, warmth))
                else:
                    portions.append(Portion(weight, heat, warmth))
        capacity = NOUGHT
        for one in self.water:
            heat = specific_heat_of(one.item) if one.item is not None else None
            total += one.weight
            capacity += one.weight * (heat if heat is not None else WATER_HEAT)
        lost = sum((weight for _, weight, _ in unknown), NOUGHT)
        if lost > total * _UNKNOWN_SHARE:
            return None
        portions += [Portion(weight, FLOUR_HEAT, warmth) for _, weight, warmth in unknown]
        self._say_chilled(room)
        if unknown:
            names = listed([item.name.text for item, _, _ in unknown])
            self.assumed.append(f"{names}: taken to warm up like flour, since nobody has said what is in it")
        grams = sum((one.weight for one in self.water), NOUGHT)
        return _each(
            target, lambda wanted: heat_balance(portions, grams, wanted, rise, water_heat=capacity / grams)
        )

    def _say_chilled(self, room: Celsius) -> None:
        """What may well come from the fridge, and was taken to be as warm as the room."""
        names = [
            _name(one)
            for one in self.others
            if one.stated is None
            and one.item is not None
            and one.item.food is not None
            and one.item.food.spoils
            and not self._is_preferment(one)
        ]
        if names:
            verb = "is" if len(names) == 1 and not names[0].endswith("s") else "are"
            self.assumed.append(f"the {listed(names)} {verb} taken to be as warm as the room, {_shown(room)}")

    # ------------------------------------------------------------ ice

    def _ice(self, wanted: Extent, room: Celsius, factor: Fraction) -> Extent | None:
        """Below nought, or below the cold tap. None where none is needed, or there is no plain water to replace."""
        tap = self.settings.tap_water[0] if self.settings.tap_water is not None else None
        if wanted.low >= (tap if tap is not None else NOUGHT):
            return None
        plain = sum((one.weight for one in self.water if _is_plain(one)), NOUGHT)
        if not plain:
            return None
        if tap is None:
            tap = room
            self.assumed.append(
                f"the rest of the water is taken to be as warm as the room, {_shown(room)}, since the kitchen does "
                "not say how cold its tap runs"
            )
        heat = sum(
            (one.weight * (specific_heat_of(one.item) or WATER_HEAT) for one in self.water if one.item),
            NOUGHT,
        )
        grams = heat / WATER_HEAT
        needed = [ice_instead(grams, tap, one) for one in (wanted.high, wanted.low)]
        if needed[1] > plain:
            self.assumed.append(
                "even with all of the water as ice, the dough comes out warmer than asked for"
            )
        low, high = (_hundredth(min(one, plain) * factor) for one in needed)
        return Extent(low, high)


_MACHINE: Final = re.compile(r"\b(mixer|mixers|machine|food processor|dough hook)\b", re.IGNORECASE)
_BY_HAND: Final = re.compile(r"\bby hand\b", re.IGNORECASE)


def _is_plain(one: _In) -> bool:
    return one.item is not None and one.item.kind == "liquid" and specific_heat_of(one.item) == WATER_HEAT


def _each(target: Extent, work_out: Callable[[Celsius], Celsius]) -> Extent:
    return Extent(_hundredth(work_out(target.low)), _hundredth(work_out(target.high)))


def _equipment(formula: Formula) -> str:
    words: list[str] = []
    for block in formula.recipe.equipment:
        for line in block.lines:
            if isinstance(line, ProseLine):
                words += [piece.text for piece in line.pieces if isinstance(piece, Text)]
            elif isinstance(line, Entry):
                words.append(line.label.text)
    return " | ".join(words)


def _name(one: _In) -> str:
    name = one.part.name if one.part is not None else one.item.name if one.item is not None else None
    assert name is not None
    return name.text.removeprefix("the ")


def _shown(celsius: Celsius) -> str:
    return both_temperatures(celsius, celsius, "C")
