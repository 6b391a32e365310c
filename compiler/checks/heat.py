"""Heat: water that harms yeast, water hotter than it boils, and dough temperatures out of the tap's reach."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from benchproof.compiler.batch import (
    ChangeRun,
    DrawRun,
    DurationRun,
    Extent,
    TemperatureRun,
    TextRun,
    WaterFor,
)
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import Degrees, both_temperatures, weight
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.formula import Item
from benchproof.compiler.heat import (
    ASSUMED_ROOM,
    FLOUR_HEAT,
    HIGHEST,
    HOT_PLACES,
    LOWEST,
    WATER_HEAT,
    Event,
    boiling_point,
    events,
    lead_up,
    specific_heat_of,
    waters,
)
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.method import Drawn, Method, StepMethod
from benchproof.compiler.ratios import HYDRATING, YEASTS
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import Entry, ProseLine, TemperatureFact, Text

USUAL: Final = (Fraction(35), Fraction(390, 9))
"""35 C to 110 F (43.3 C): where active dry yeast is usually woken. Bakery practice, consumer pages; another
page gives 105 to 115 F."""

BEGINS_TO_DIE: Final = Fraction(440, 9)
"""120 F: yeast begins to die. Bakery practice, consumer pages."""

INTO_A_DRY_MIX: Final = Fraction(490, 9)
"""130 F: the most for a liquid poured onto yeast mixed with flour. Bakery practice, a consumer page."""

DEAD: Final = Fraction(60)
"""140 F: killed (Gisslen, *Professional Baking*, from memory; other pages give 132 to 138 F)."""

_RISING: Final = Fraction(30 * 60)
"""s of standing after which a dough has begun to rise, and is not being mixed any more: our own choice."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    first: Degrees = compiled.batch.asked.temperatures if compiled.batch else "C"
    yield from _yeast(compiled, kitchen, first)
    yield from _boiling(compiled, kitchen, first)
    yield from _tap(compiled, kitchen, first)


# ---------------------------------------------------------------- yeast


@dataclass(slots=True)
class _Liquid:
    """A liquid in the bowl: how hot it was last said to be, where that is written, and in which step."""

    item: Item
    weight: Fraction | None
    top: Extent | None = None
    written: Span | None = None
    step: StepMethod | None = None


@dataclass(slots=True)
class _Bowl:
    """What has come together so far, in the order of the prose."""

    liquids: list[_Liquid] = field(default_factory=list)
    others: list[tuple[Item, Fraction | None]] = field(default_factory=list)
    yeast: Item | None = None
    rising: Fraction = Fraction(0)
    """s the yeast has been left to stand; or for ever, once it has been cooked."""
    flour_at: tuple[int, int] | None = None
    """The step and line in which flour first went in."""

    @property
    def hot(self) -> list[_Liquid]:
        return [one for one in self.liquids if one.top is not None]

    def cool(self) -> None:
        for one in self.liquids:
            one.top = None

    def set(self, top: Extent, written: Span, step: StepMethod, *, only_down: bool = False) -> None:
        for one in self.liquids:
            if only_down and (one.top is None or one.top.high <= top.high):
                continue
            one.top, one.written, one.step = top, written, step


def _yeast(compiled: Compiled, kitchen: Kitchen, first: Degrees) -> Iterator[Finding]:
    if not any(_living(drawn) for step in compiled.method.steps for drawn in step.draws):
        return
    room = kitchen.settings.room if kitchen.settings.room is not None else ASSUMED_ROOM
    for step in compiled.method.steps:
        bowl = _Bowl()
        for before in lead_up(compiled.method, step):
            _Walk(bowl, before, compiled.method, room, first).through()
        seen: set[Span] = set()
        for one in _Walk(bowl, step, compiled.method, room, first).findings():
            if one.span not in seen:
                seen.add(one.span)
                yield one


def _living(drawn: Drawn) -> Item | None:
    """The yeast that a draw brings, by itself or inside a part."""
    if drawn.item is not None:
        return drawn.item if drawn.item.kind in YEASTS else None
    items = drawn.part.items if drawn.part is not None else ()
    return next((item for item in items if item.kind in YEASTS), None)


def _inside(drawn: Drawn) -> Iterator[tuple[Item, Fraction]]:
    """What a preferment, soaker or part that is drawn by name is made of."""
    part, weight = drawn.part, drawn.weight
    if part is not None and weight is not None and part.weight:
        for item in part.items:
            if item.inside and item.weight:
                yield item, item.weight * weight / part.weight


@dataclass(frozen=True, slots=True)
class _Meeting:
    """A liquid that meets yeast, how hot it was then, and where that is written."""

    liquid: _Liquid
    top: Extent
    written: Span
    step: StepMethod
    met: Span


class _Walk:
    """Goes through a step's prose with what earlier steps have put into the bowl."""

    def __init__(self, bowl: _Bowl, step: StepMethod, method: Method, room: Fraction, first: Degrees) -> None:
        self.bowl = bowl
        self.step = step
        self.method = method
        self.room = room
        self.first: Degrees = first
        self.last: Item | None = None
        self.liquid: _Liquid | None = None
        self.waiting: list[_Meeting] = []
        """Where yeast and a hot liquid meet in this line, until it is clear that the liquid is so hot."""
        self.line = -1
        self.after_heat = ""

    def through(self) -> None:
        """Put the step's draws into the bowl; what it finds is told when the step itself is judged."""
        for _ in self.findings():
            pass

    def findings(self) -> Iterator[Finding]:
        for event in events(self.step):
            if event.line != self.line:
                yield from self._settle()
                self.line = event.line
                self.after_heat = "."
            yield from self._event(event)
        yield from self._settle()

    def _event(self, event: Event) -> Iterator[Finding]:
        match event.run:
            case TextRun():
                self._text(event.run.text)
            case DrawRun():
                self._draw(event)
            case TemperatureRun():
                yield from self._temperature(event, event.run)
            case ChangeRun():
                self.bowl.set(event.run.end, event.piece.span, self.step)
            case DurationRun() if event.run.hands_off:
                if not _HOLDS.fullmatch(self.after_heat):
                    self.bowl.cool()
                if self.bowl.yeast is not None:
                    self.bowl.rising += event.run.duration.low
            case _:
                pass

    def _text(self, text: str) -> None:
        self.after_heat += text
        if self.waiting and _ONCE_COOL.search(text):
            self.waiting.clear()
        if _COOLS.search(text):
            self.bowl.cool()

    def _draw(self, event: Event) -> None:
        self.last = self.liquid = None
        self.after_heat += "."
        drawn = event.drawn
        if drawn is None or (drawn.item is not None and drawn.item.purpose is not None):
            return
        item, bowl = drawn.item, self.bowl
        self.last = item
        if (yeast := _living(drawn)) is not None:
            bowl.yeast = yeast
            self._meet(bowl.hot, event.piece.span)
        if item is None:
            hot = self._part(drawn)
            if bowl.yeast is not None and bowl.rising < _RISING:
                self._meet(hot, event.piece.span)
            return
        if item.kind in HYDRATING:
            self.liquid = _Liquid(item, drawn.weight)
            bowl.liquids.append(self.liquid)
            return
        bowl.others.append((item, drawn.weight))
        if item.kind == "flour" and bowl.flour_at is None:
            bowl.flour_at = (self.step.number, self.line)

    def _part(self, drawn: Drawn) -> list[_Liquid]:
        """A preferment, soaker or part by its name comes in as its own steps left it. Its liquids that are hot."""
        name = drawn.part.name if drawn.part is not None else None
        steps = [
            step
            for step in self.method.steps
            if step.number < self.step.number and step.part is not None and name and step.part.key == name.key
        ]
        if not steps:
            self.bowl.others += _inside(drawn)
            return []
        part = _Bowl()
        for step in steps:
            _Walk(part, step, self.method, self.room, self.first).through()
        share = drawn.share if drawn.share is not None else Fraction(1)
        for liquid in part.liquids:
            liquid.weight = liquid.weight * share if liquid.weight is not None else None
        self.bowl.liquids += part.liquids
        self.bowl.others += [
            (item, grams * share if grams is not None else None) for item, grams in part.others
        ]
        return part.hot

    def _temperature(self, event: Event, run: TemperatureRun) -> Iterator[Finding]:
        written = event.piece.span
        self.after_heat = ""
        if run.place in HOT_PLACES and self.bowl.yeast is not None:
            self.bowl.rising = _RISING  # from here on it is meant to die
        elif run.place in ("fridge", "freezer", "room", "dough"):
            self.bowl.cool()
        if run.place is not None:
            return
        if self.liquid is not None:
            self.waiting = [one for one in self.waiting if one.liquid is not self.liquid]
            self.liquid.top, self.liquid.written, self.liquid.step = run.temperature, written, self.step
        elif self.last is not None and self.last.kind in YEASTS:
            self.waiting.clear()
            self.bowl.set(run.temperature, written, self.step)
            yield from self._itself(self.last, run.temperature, written)
            return
        else:
            alone = len(self.bowl.liquids) == 1 and self.last is None
            self.bowl.set(run.temperature, written, self.step, only_down=not alone)
        if self.bowl.yeast is not None and self.liquid is not None and self.bowl.rising < _RISING:
            self._meet([self.liquid], written)

    # ------------------------------------------------------------ judging

    def _settle(self) -> Iterator[Finding]:
        """Judge what has come together by the end of a line."""
        waiting, self.waiting = self.waiting, []
        yeast = self.bowl.yeast
        for one in waiting:
            if yeast is None:
                continue
            if one.step is self.step:
                yield from self._here(one, yeast)
            else:
                yield from self._from_before(one, yeast)

    def _meet(self, liquids: Iterable[_Liquid], met: Span) -> None:
        """Keep how hot the liquids are now: what is said after the yeast went in comes too late for it."""
        self.waiting += [
            _Meeting(one, one.top, one.written, one.step, met)
            for one in liquids
            if one.top is not None and one.written is not None and one.step is not None
        ]

    def _itself(self, yeast: Item, top: Extent, written: Span) -> Iterator[Finding]:
        rule, severity = self._judge(top.high)
        if severity is not None and rule == "yeast-too-hot":
            yield find(
                "yeast-too-hot",
                written,
                f"{_capital(yeast.name.text)} at {self._shown(top)} is {_done_to(severity)} in “{self._name}”.",
                f"Keep it at {self._usual()}.",
                severity=severity,
            )

    def _here(self, one: _Meeting, yeast: Item) -> Iterator[Finding]:
        item, top, written = one.liquid.item, one.top, one.written
        rule, severity = self._judge(top.high)
        if severity is None:
            return
        if rule == "yeast-too-hot":
            yield find(
                "yeast-too-hot",
                written,
                f"{_capital(item.name.text)} at {self._shown(top)} "
                f"{'kills' if severity is Severity.ERROR else 'harms'} the {yeast.name.text} that meets it in "
                f"“{self._name}”.",
                f"Let it cool to {self._usual()} first.",
                severity=severity,
            )
        else:
            yield find(
                "yeast-warmer-than-usual",
                written,
                f"{_capital(item.name.text)} at {self._shown(top)} is warmer than the {yeast.name.text} needs in "
                f"“{self._name}”.",
                f"Let it cool to {self._usual()}: it lives until about "
                f"{both_temperatures(BEGINS_TO_DIE, BEGINS_TO_DIE, self.first)}, but a few degrees more kill it.",
            )

    def _from_before(self, one: _Meeting, yeast: Item) -> Iterator[Finding]:
        """A liquid that an earlier step heated: what else has gone in since has cooled it."""
        top = one.top
        mixed = self._mixture(one)
        if mixed is None:
            return
        rule, severity = self._judge(min(mixed, top.high))
        if severity is None or rule != "yeast-too-hot":
            return
        still = ""
        if mixed < top.high - 1:
            still = f" With what else is in the bowl it is still about {self._shown(Extent(mixed, mixed))}."
        yield find(
            "yeast-too-hot",
            one.met,
            f"{_capital(one.liquid.item.name.text)} was heated to {self._shown(top)} in “{one.step.name.text}”, "
            f"and nothing says that it cools before the {yeast.name.text} goes in.{still} "
            f"That {'kills' if severity is Severity.ERROR else 'harms'} the yeast.",
            "Write how it cools before the yeast goes in: "
            f"`let it cool to [{'95-110 F' if self.first == 'F' else '35-43 C'}]`.",
            also=(Also(one.written, "heated here"),),
            severity=severity,
        )

    def _mixture(self, hot: _Meeting) -> Fraction | None:
        """How warm it all is together, cold things at the warmth of the room; None where a weight is missing."""
        heat = capacity = Fraction(0)
        for one in self.bowl.liquids:
            if one.weight is None:
                return None
            top = hot.top if one is hot.liquid else one.top
            share = one.weight * (specific_heat_of(one.item) or WATER_HEAT)
            heat += share * (top.high if top is not None else self.room)
            capacity += share
        for item, grams in self.bowl.others:
            if grams is None:
                continue  # to taste: a pinch
            share = grams * (specific_heat_of(item) or FLOUR_HEAT)
            heat += share * self.room
            capacity += share
        return heat / capacity if capacity else None

    def _judge(self, top: Fraction) -> tuple[str, Severity | None]:
        """Into a dry mix hotter liquid may go: flour is in already, or goes in with the same line."""
        flour = self.bowl.flour_at
        dry = flour is not None and flour <= (self.step.number, self.line)
        if top >= DEAD:
            return "yeast-too-hot", Severity.ERROR
        if top > (INTO_A_DRY_MIX if dry else BEGINS_TO_DIE):
            return "yeast-too-hot", Severity.WARNING
        if top > USUAL[1] and not dry:
            return "yeast-warmer-than-usual", Severity.HINT
        return "", None

    # ------------------------------------------------------------ words

    @property
    def _name(self) -> str:
        return self.step.name.text

    def _shown(self, top: Extent) -> str:
        return both_temperatures(top.low, top.high, self.first)

    def _usual(self) -> str:
        return both_temperatures(USUAL[0], Fraction(43), self.first)


_COOLS: Final = re.compile(
    r"\b(cool|cools|cooled|cold|chill|chilled|luke-?warm|tepid|(?:blood|hand)[- ]warm)\b", re.I
)
_ONCE_COOL: Final = re.compile(
    r"\b(once|when|until|after|as soon as)\b[^.]*\b(cool|cooled|cold|luke-?warm|tepid)\b", re.I
)
_HOLDS: Final = re.compile(r"[\s,]*(and )?(hold|keep|held|kept)?( it)?( there)?[\s,]*(for )?[\s,]*", re.I)
"""Between a temperature and a time, for the heat to be held over that time; else it is a rest, in which it cools."""


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _done_to(severity: Severity) -> str:
    return "killed" if severity is Severity.ERROR else "harmed"


# ---------------------------------------------------------------- boiling

_SAME: Final = Fraction(1, 2)
_LOOSELY_SAME: Final = Fraction(2)
"""`100 C` is what everybody writes for boiling: within 2 degrees of where it does, nobody is told. Our choice."""

_SWEET: Final = frozenset({"sugar", "syrup"})


def _boiling(compiled: Compiled, kitchen: Kitchen, first: Degrees) -> Iterator[Finding]:
    altitude = kitchen.settings.altitude
    if altitude is not None and not LOWEST <= altitude <= HIGHEST:
        return  # nobody cooks there, and the formula says nothing of it
    boils = boiling_point(altitude or Fraction(0))
    if _under_pressure(compiled):
        return
    for step in compiled.method.steps:
        before = (drawn for one in lead_up(compiled.method, step) for drawn in one.draws)
        sweet = any(drawn.item is not None and drawn.item.kind in _SWEET for drawn in before)
        last: Item | None = None
        for event in events(step):
            run = event.run
            if isinstance(run, DrawRun):
                last = event.drawn.item if event.drawn is not None else None
                sweet = sweet or (last is not None and last.kind in _SWEET)
            if not isinstance(run, TemperatureRun) or not isinstance(event.piece, TemperatureFact):
                continue
            low = run.temperature.low
            if low <= boils + (_LOOSELY_SAME if low <= 100 else _SAME):
                continue
            wet = run.place is None and last is not None and last.kind in HYDRATING and not sweet
            if wet or run.place == "core":
                yield _too_hot(event.piece.span, run, last if wet else None, boils, altitude, first)


def _too_hot(
    span: Span,
    run: TemperatureRun,
    item: Item | None,
    boils: Fraction,
    altitude: Fraction | None,
    first: Degrees,
) -> Finding:
    asked = both_temperatures(run.temperature.low, run.temperature.high, first)
    top = both_temperatures(boils, boils, first)
    there = f", {round(altitude)} m up," if altitude else ""
    if item is None:
        return find(
            "hotter-than-boiling",
            span,
            f"The middle is to reach {asked}, but water boils at {top}{there} and nothing moist gets hotter.",
            f"Write less than {top}, and say how it looks or sounds when it is done.",
        )
    return find(
        "hotter-than-boiling",
        span,
        f"{_capital(item.name.text)} at {asked}: here{there} water boils at {top} and gets no hotter in an open pan.",
        f"Write `[{round(boils)} C]` or “until it boils”; if it is the heat of the oven, the pan or the oil, say so: "
        f"`[{run.text} oven]`.",
    )


_PRESSURE: Final = re.compile(r"\bpressure (?:cooker|pan|pot)\b", re.I)


def _under_pressure(compiled: Compiled) -> bool:
    """Whether a pressure pan is spoken of: there water boils hotter."""
    recipe = compiled.recipe
    for block in (*recipe.equipment, *recipe.steps):
        for line in block.lines:
            if isinstance(line, ProseLine):
                if any(isinstance(piece, Text) and _PRESSURE.search(piece.text) for piece in line.pieces):
                    return True
            elif isinstance(line, Entry) and _PRESSURE.search(line.label.text):
                return True
    return False


# ---------------------------------------------------------------- the tap


def _tap(compiled: Compiled, kitchen: Kitchen, first: Degrees) -> Iterator[Finding]:
    """A dough temperature that no water from the tap reaches, at either end of what is asked."""
    batch = compiled.batch
    if batch is None:
        return
    settings = kitchen.settings
    cold, hot = settings.tap_water or (Fraction(0), Fraction(100))
    for water in waters(settings, compiled.formula, compiled.method, batch.asked.times):
        wanted = water.by_rule or water.by_balance
        span = _dough_span(compiled.method.steps[water.step - 1])
        if wanted is None or span is None:
            continue
        if wanted.high < cold:
            yield _too_cold(water, wanted, span, settings.tap_water, first)
        elif wanted.low > hot:
            yield _too_warm(water, wanted, span, settings.tap_water, first)


def _dough_span(step: StepMethod) -> Span | None:
    for event in events(step):
        if isinstance(event.run, TemperatureRun) and event.run.place == "dough":
            return event.piece.span
    return None


def _needs(water: WaterFor, wanted: Extent, first: Degrees) -> str:
    return (
        f"A dough of {both_temperatures(water.target.low, water.target.high, first)} needs its water at "
        f"{both_temperatures(wanted.low, wanted.high, first)}"
    )


def _too_cold(
    water: WaterFor, wanted: Extent, span: Span, tap: tuple[Fraction, Fraction] | None, first: Degrees
) -> Finding:
    bound = f"the cold tap gives {both_temperatures(tap[0], tap[0], first)}" if tap else "that is ice"
    if water.ice is None:
        help = "Chill the liquid and the flour first, or let the dough come out warmer."
    elif water.ice.low >= water.water:
        help = "Even with all of the water as ice it comes out warmer: chill the flour too."
    else:
        help = f"Put in {_grams(water.ice)} of ice in place of as much of the {weight(water.water)} of water."
    return find("tap-cannot-reach", span, f"{_needs(water, wanted, first)}, but {bound}.", help)


def _too_warm(
    water: WaterFor, wanted: Extent, span: Span, tap: tuple[Fraction, Fraction] | None, first: Degrees
) -> Finding:
    bound = (
        f"the hot tap gives {both_temperatures(tap[1], tap[1], first)}" if tap else "water boils before that"
    )
    help = "Heat part of the water on the hob."
    if wanted.low > BEGINS_TO_DIE:
        help = "Warm the flour or the room instead: water so hot harms yeast."
    return find("tap-cannot-reach", span, f"{_needs(water, wanted, first)}, but {bound}.", help)


def _grams(extent: Extent) -> str:
    low, high = weight(extent.low), weight(extent.high)
    return low if low == high else f"{low} to {high}"
