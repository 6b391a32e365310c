"""Temperatures that no oven, pan, oil, fridge, dough, sugar or custard has, and those of the other scale."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler.batch import ChangeRun, DrawRun, DurationRun, Extent, TemperatureRun
from benchproof.compiler.checks.clauses import (
    OVENS,
    STONE,
    Line,
    drawn_in,
    items_before,
    lines_of,
    share_of,
    times_of,
    words_of,
)
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import Degrees, both_temperatures, duration
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.formula import Item
from benchproof.compiler.heat import HIGHEST, LOWEST, Event, boiling_point
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.method import StepMethod
from benchproof.compiler.ratios import HYDRATING, YEASTS
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import ChangeFact, TemperatureFact
from benchproof.compiler.verbs import verbs_in

Celsius = Fraction


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    first: Degrees = compiled.batch.asked.temperatures if compiled.batch else "C"
    altitude = kitchen.settings.altitude
    boils = Fraction(100)
    if altitude is not None and LOWEST <= altitude <= HIGHEST:
        boils = boiling_point(altitude)
    words = words_of(compiled)
    preheated: list[_Preheat] = []
    for step in compiled.method.steps:
        items = items_before(compiled.method, step)
        for line in lines_of(step):
            for index, event in enumerate(line.events):
                if isinstance(event.run, ChangeRun):
                    yield from _change(line, event, event.run, first)
                if not isinstance(event.run, TemperatureRun) or not isinstance(event.piece, TemperatureFact):
                    continue
                seen = _Seen(
                    compiled, step, line, index, event, event.run, event.piece, items, words, first, boils
                )
                found = list(_first(seen))
                yield from found
            yield from _two_ovens(line, first)
        yield from _preheat(step, preheated, first)
        yield from _bake_without(compiled, step)


# ---------------------------------------------------------------- one temperature


@dataclass(frozen=True, slots=True)
class _Seen:
    """A temperature and all around it."""

    compiled: Compiled
    step: StepMethod
    line: Line
    index: int
    event: Event
    run: TemperatureRun
    fact: TemperatureFact
    items: list[Item]
    words: str
    first: Degrees
    boils: Celsius

    @property
    def span(self) -> Span:
        return self.fact.span

    @property
    def low(self) -> Celsius:
        return self.run.temperature.low

    @property
    def high(self) -> Celsius:
        return self.run.temperature.high

    @property
    def unit(self) -> Degrees:
        return "F" if self.fact.temperature.low[0].unit.endswith("F") else "C"

    @property
    def shown(self) -> str:
        return both_temperatures(self.low, self.high, self.unit)

    @property
    def sentence(self) -> str:
        return self.line.said(self.event)

    @property
    def before(self) -> str:
        """The words between the fact before it, or the sentence's beginning, and it."""
        at = self.line.starts[self.index]
        start, _ = self.line.sentence(at)
        return self.line.text[start:at]

    @property
    def since_a_time(self) -> str:
        """As `before`, but not from before a time."""
        at = self.line.starts[self.index]
        start, _ = self.line.sentence(at)
        times = [
            begin + 1
            for event, begin in zip(self.line.events, self.line.starts, strict=True)
            if start <= begin < at and isinstance(event.run, DurationRun)
        ]
        return self.line.text[max([start, *times]) : at]

    def other(self) -> Extent:
        """The same figures in the other scale, in Celsius."""
        low, high = (_figure(value, self.unit) for value in (self.low, self.high))
        if self.unit == "C":
            return Extent((low - 32) * 5 / 9, (high - 32) * 5 / 9)
        return Extent(low, high)

    def guess(self, low: Celsius, high: Celsius) -> str:
        """What was meant, where another scale or a moved point brings it between two bounds."""
        other = self.other()
        scale: Degrees = "F" if self.unit == "C" else "C"
        told = []
        if low <= other.low and other.high <= high:
            told.append(f"{_plain(other, scale)} is {_plain(other, self.unit)}: was that meant?")
        for factor in (Fraction(10), Fraction(1, 10)):
            moved = self.moved(factor)
            if low <= moved.low and moved.high <= high:
                told.append(f"Is the point in the wrong place: {_plain(moved, self.unit)}?")
        return " ".join(told)

    def moved(self, factor: Fraction) -> Extent:
        """The figure as written, ten times or a tenth of it, in Celsius."""
        figures = [_figure(value, self.unit) * factor for value in (self.low, self.high)]
        if self.unit == "F":
            figures = [(value - 32) * 5 / 9 for value in figures]
        return Extent(*figures)

    def told(self, low: Celsius, high: Celsius, otherwise: str) -> str:
        return self.guess(low, high) or otherwise


def _figure(celsius: Celsius, unit: Degrees) -> Fraction:
    return celsius if unit == "C" else celsius * 9 / 5 + 32


def _plain(extent: Extent, unit: Degrees) -> str:
    """`177 C`, `350 F`: as it is typed."""
    low, high = (round(_figure(value, unit)) for value in (extent.low, extent.high))
    return f"{low} {unit}" if low == high else f"{low}-{high} {unit}"


def _first(seen: _Seen) -> Iterator[Finding]:
    """The first thing that is wrong with a temperature: one slip is one finding."""
    for judge in _JUDGES:
        found = judge(seen)
        if found is not None:
            yield found
            return


# ---------------------------------------------------------------- ranges

_SPREAD: Final[dict[str | None, int]] = {
    "oven": 70,
    "fan oven": 70,
    "pan": 80,
    "oil": 30,
    "core": 20,
    "dough": 10,
    "room": 15,
    "fridge": 8,
    "freezer": 15,
    None: 25,
}
"""C between the two ends of a range, beyond which one of them has slipped: our own choice."""


def _range(seen: _Seen) -> Finding | None:
    spread = seen.high - seen.low
    if spread <= _SPREAD.get(seen.run.place, 40):
        return None
    return find(
        "temperature-range-too-wide",
        seen.span,
        f"From one end of {seen.shown} to the other is too far to be one temperature.",
        "Has a figure slipped at one end? Write the range that is meant, or one figure.",
    )


# ---------------------------------------------------------------- ovens

OVEN: Final = (Fraction(50), Fraction(300))
"""C that a kitchen oven keeps. Common practice, no source; gas mark 9 is 246 C (GNU units 2.22)."""

_BREAD_OVEN: Final = Fraction(520)
"""C up to which a wood-fired or pizza oven goes. Common practice, no source."""

_WARM_ONLY: Final = re.compile(
    r"\b(?:prove|proof|proving|rise|rising|dry|drying|dehydrate|keep|ferment|yoghurt|yogurt|light on|incubate|"
    r"culture)\b",
    re.IGNORECASE,
)


def _oven(seen: _Seen) -> Finding | None:
    if seen.run.place not in OVENS:
        return None
    low, high = seen.low, seen.high
    if high < OVEN[0]:
        if low >= 20 and _WARM_ONLY.search(seen.sentence):
            return None
        return find(
            "oven-out-of-range",
            seen.span,
            f"No oven cooks at {seen.shown}.",
            seen.told(Fraction(120), Fraction(260), f"An oven keeps {both_temperatures(*OVEN, seen.first)}."),
        )
    if low > _BREAD_OVEN:
        return find(
            "oven-out-of-range",
            seen.span,
            f"No kitchen oven reaches {seen.shown}.",
            seen.told(Fraction(120), Fraction(290), f"An oven keeps {both_temperatures(*OVEN, seen.first)}."),
            severity=Severity.ERROR if low > 700 else None,
        )
    if low > OVEN[1] and not STONE.search(seen.words):
        return find(
            "oven-out-of-range",
            seen.span,
            f"{seen.shown} is hotter than a kitchen oven goes; only a pizza or a wood-fired oven does that.",
            seen.told(
                Fraction(100),
                Fraction(290),
                "Write the oven's own figure; if it is a pizza oven, say so in the step.",
            ),
        )
    return _too_cool_to_bake(seen)


_SLOW: Final = re.compile(
    r"\b(?:to dry|dry (?:them|it|out)|drying|dried|dehydrate|meringues?|pavlovas?|low and slow|slow\w*|warm|keep|"
    r"confit|pulled|overnight|"
    r"brisket|jerky|candied|granola|macarons?|macaroons?|pasteuri[sz]e\w*|sterili[sz]e\w*|rewarm|reheat\w*|custards?|"
    r"cheesecakes?|crisps?|crackers?|sous vide|wobbl\w*|trembl\w*|quiver\w*|barely|just set|hold|resting|plates)\b",
    re.IGNORECASE,
)


def _too_cool_to_bake(seen: _Seen) -> Finding | None:
    """An oven below 125 C in which a bake is done in less than 70 minutes; and any bake below 80 C."""
    named = f"{seen.compiled.recipe.name.text} {seen.step.name.text} {seen.sentence}"
    if seen.high >= 127 or _SLOW.search(named):
        return None
    if seen.high >= 95 and any(
        isinstance(event.run, TemperatureRun)
        and event.run.place == "core"
        and event.run.temperature.high <= 85
        for event in seen.line.events
    ):
        return None  # a custard or a roast that is watched by its middle
    longest = _longest_after(seen)
    heats = any(one.verb.name in ("warm", "preheat") for one in verbs_in(seen.before))
    if longest is None and not heats:
        return None
    if longest is not None and longest > 70 * 60 and seen.high >= 85:
        return None
    if heats and seen.high >= 95:
        return None  # judged where it is baked in
    return find(
        "oven-too-cool",
        seen.span,
        f"{seen.shown} hardly cooks anything"
        + (
            f" in {duration(longest)}."
            if longest is not None and not heats
            else ", and nothing speaks of drying."
        ),
        seen.told(
            Fraction(140), Fraction(250), "Look at the figure and at its scale again, or say that it is slow."
        ),
    )


def _longest_after(seen: _Seen) -> Fraction | None:
    """The longest time of the step that the oven is on for, from this temperature on."""
    longest: Fraction | None = None
    for one in times_of(seen.step):
        here = one.oven == seen.run.temperature and one.line.number >= seen.line.number
        if here and (one.does("bake", "roast") or not one.verbs):
            longest = max(longest or Fraction(0), one.run.duration.high)
    return longest


@dataclass(frozen=True, slots=True)
class _Preheat:
    step: int
    temperature: Extent
    span: Span
    place: str | None


_TURNED: Final = re.compile(
    r"\b(?:turn\w*|lower\w*|reduc\w*|raise\w*|down|up|drop\w*|increase\w*|then|hotter|cooler|falling|fall)\b",
    re.I,
)
_APART: Final = Fraction(35)
"""C between the oven as heated and as baked in, beyond which something has to be said of turning it. Our choice: an
oven is heated a little hotter than it is used, and a fan oven is set about 20 C lower."""


def _preheat(step: StepMethod, heated: list[_Preheat], first: Degrees) -> Iterator[Finding]:
    """An oven heated to one temperature, and baked in at another without a word of turning it."""
    for line in lines_of(step):
        for event, start in zip(line.events, line.starts, strict=True):
            run = event.run
            if not isinstance(run, TemperatureRun) or run.place not in OVENS:
                continue
            sentence_start, _ = line.sentence(start)
            verbs = {one.verb.name for one in verbs_in(line.text[sentence_start:start])}
            if verbs & {"warm", "preheat"}:
                heated.append(_Preheat(step.number, run.temperature, event.piece.span, run.place))
            elif verbs & {"bake", "roast"} and heated:
                before = heated[-1]
                apart = max(
                    run.temperature.low - before.temperature.high,
                    before.temperature.low - run.temperature.high,
                )
                names = {str(one) for one in (run.place, before.place)}
                allowed = _APART + (20 if len(names) > 1 else 0)
                told = _TURNED.search(line.text[:start])
                if apart > allowed and not told and before.step != step.number:
                    asked = both_temperatures(run.temperature.low, run.temperature.high, first)
                    was = both_temperatures(before.temperature.low, before.temperature.high, first)
                    here, there = event.piece.span, before.span
                    # Point at the one that is the less likely.
                    if _is_usual(run.temperature) and not _is_usual(before.temperature):
                        here, there = there, here
                    yield find(
                        "oven-unlike-preheat",
                        here,
                        f"The oven is heated to {was}, and then baked in at {asked}.",
                        "Make the two agree, or write `turn it down to` or `turn it up to` before the second.",
                        also=(Also(there, "the other one"),),
                    )
                heated.clear()  # what is baked after this may want another oven


def _is_usual(heat: Extent) -> bool:
    low, high = _USUAL["oven"]
    return low <= heat.low and heat.high <= high


def _two_ovens(line: Line, first: Degrees) -> Iterator[Finding]:
    """Two heats of the oven side by side, with no time and no word between them."""
    last: tuple[Event, int] | None = None
    for event, start in zip(line.events, line.starts, strict=True):
        if isinstance(event.run, DurationRun):
            last = None
        if not isinstance(event.run, TemperatureRun) or event.run.place not in OVENS:
            continue
        if last is not None:
            one, at = last
            between = line.text[at + 1 : start]
            assert isinstance(one.run, TemperatureRun)
            same_place = one.run.place == event.run.place
            if not _TURNED.search(between) and len(between) <= 12 and same_place:
                yield find(
                    "two-ovens-at-once",
                    event.piece.span,
                    f"Two heats of the oven stand side by side: {_both(one.run, first)} and {_both(event.run, first)}.",
                    "One is enough: the card prints both scales. Write `then` and a time if it is turned.",
                    also=(Also(one.piece.span, "the other"),),
                )
        last = (event, start)


def _both(run: TemperatureRun, first: Degrees) -> str:
    return both_temperatures(run.temperature.low, run.temperature.high, first)


_ELSEWHERE: Final = re.compile(
    r"\b(?:pan|coals?|embers|griddle|fire|barbecue|skillet|pot|gas|mark|degrees?|hot|moderate|[0-9]+ ?[CF])\b|°",
    re.IGNORECASE,
)
"""Where else it is baked, or the heat in other words: what is outside brackets is told by another rule."""


def _bake_without(compiled: Compiled, step: StepMethod) -> Iterator[Finding]:
    """A bake whose oven nobody has said the heat of, in this step or above."""
    known = any(
        isinstance(run, TemperatureRun) and run.place in OVENS
        for above in compiled.method.steps
        if above.number <= step.number
        for line in above.lines
        for run in line
    )
    if known:
        return
    for one in times_of(step):
        if one.fresh and one.verbs and one.verbs[-1].name in ("bake", "roast") and "oven" not in one.sentence:
            if _ELSEWHERE.search(f"{step.name.text} {one.line.text}"):
                continue
            yield find(
                "bake-without-oven",
                one.event.piece.span,
                f"“{step.name.text}” bakes {duration(one.run.duration.low, one.run.duration.high)}, but no oven "
                "temperature is given here or above.",
                "Write it before the time: `[180 C oven]`.",
            )
            return


# ---------------------------------------------------------------- pans and oil

PAN: Final = (Fraction(60), Fraction(300))
"""C of a pan or griddle. Common practice, no source."""

_HOT_PAN: Final = re.compile(
    r"\b(?:fry|sear|griddle|pancakes?|pikelets?|crisp|toast|sizzl\w+|crêpes?|crepes?|blini|drop scones|"
    r"flat ?breads?|dry pan)\b",
    re.I,
)
_WET_PAN: Final = re.compile(
    r"\b(?:poach|simmer|melt|boil\w*|trembl\w*|tremble|custard|syrup|milk|cream|broth|stock|water|sauce|eggs?|fudge)\b",
    re.I,
)


def _pan(seen: _Seen) -> Finding | None:
    if seen.run.place != "pan":
        return None
    if seen.high < PAN[0] or seen.low > PAN[1]:
        return find(
            "pan-out-of-range",
            seen.span,
            f"A pan at {seen.shown} is {'hotter' if seen.low > PAN[1] else 'cooler'} than any that is cooked in.",
            seen.told(
                Fraction(80), Fraction(260), f"A pan is cooked in at {both_temperatures(*PAN, seen.first)}."
            ),
            severity=Severity.ERROR if seen.low > 700 else None,
        )
    named = f"{seen.compiled.recipe.name.text} {seen.step.name.text} {seen.sentence}"
    if seen.high < 110 and _HOT_PAN.search(named) and not _WET_PAN.search(named):
        return find(
            "pan-out-of-range",
            seen.span,
            f"Nothing fries or browns in a pan at {seen.shown}.",
            seen.told(Fraction(130), Fraction(250), "A frying pan is at 150 to 230 C."),
        )
    return None


OIL: Final = (Fraction(150), Fraction(200))
"""C for deep frying. `food_safety.csv`, hot oil: 175-190 C, frying practice, from memory; wider here by what chips
and doughnuts are first fried at."""

SMOKE: Final[tuple[tuple[str, int], ...]] = (
    ("extra virgin olive", 190),
    ("olive", 200),
    ("ghee", 240),
    ("butter", 150),
    ("lard", 190),
    ("dripping", 200),
    ("coconut", 175),
    ("sesame", 175),
    ("walnut", 160),
    ("flaxseed", 107),
    ("linseed oil", 107),
    ("peanut", 230),
    ("groundnut", 230),
    ("sunflower", 225),
    ("rapeseed", 205),
    ("canola", 205),
    ("corn oil", 230),
    ("vegetable", 205),
    ("soy", 230),
    ("rice bran", 230),
    ("avocado oil", 250),
    ("neutral", 205),
)
"""C at which a fat begins to smoke, refined where it does not say otherwise. From memory; published tables differ by
20 C and more, so a fat is only doubted 10 C above."""

_FIRE: Final = Fraction(270)
"""C above which every cooking oil smokes, and is on its way to catching fire. From memory."""

_GENTLE: Final = re.compile(
    r"\b(?:confit|slow\w*|gentl[ey]|poach\w*|infuse\w*|first|blanch\w*|twice|low|soften|warm|garlic|until just)\b",
    re.I,
)


def _oil(seen: _Seen) -> Finding | None:
    if seen.run.place != "oil":
        return None
    low, high = seen.low, seen.high
    if low > _FIRE:
        return find(
            "oil-out-of-range",
            seen.span,
            f"Oil at {seen.shown} smokes and is close to catching fire: every cooking oil does.",
            seen.told(OIL[0], OIL[1], "Deep frying is done at 160 to 190 C."),
            severity=Severity.ERROR,
        )
    fat, smokes = _fat(seen)
    if low > OIL[1] or (smokes is not None and low > smokes + 10):
        about = (
            f"{fat} smokes from about {both_temperatures(Fraction(smokes), Fraction(smokes), seen.first)}"
            if smokes
            else ""
        )
        return find(
            "oil-out-of-range",
            seen.span,
            f"Oil at {seen.shown} is hotter than deep frying needs" + (f": {about}." if about else "."),
            seen.told(OIL[0], OIL[1], "Deep frying is done at 160 to 190 C."),
        )
    said = " ".join((seen.step.name.text, *(line.text for line in lines_of(seen.step))))
    chips = any("potato" in item.name.key for item in seen.items) and high >= 120
    if high < OIL[0] and not chips and not _GENTLE.search(said):
        return find(
            "oil-out-of-range",
            seen.span,
            f"In oil at {seen.shown} food soaks up fat before it browns.",
            seen.told(OIL[0], OIL[1], "Deep frying is done at 160 to 190 C."),
            severity=Severity.HINT if high >= 140 else None,
        )
    return None


def _fat(seen: _Seen) -> tuple[str, int | None]:
    """The frying fat that is in the pan by then, and where it smokes."""
    for item in reversed(seen.items):
        if item.kind in ("oil", "fat", "butter") or "oil" in item.name.key.split():
            for words, smokes in SMOKE:
                if words in item.name.key:
                    return item.name.text, smokes
    return "", None


# ---------------------------------------------------------------- cold places, rooms, doughs


def _cold(seen: _Seen) -> Finding | None:
    low, high = seen.low, seen.high
    if seen.run.place == "freezer":
        if high < 0 and low >= -45:
            return None
        minus = seen.unit == "C" and 10 <= low <= 40
        return find(
            "cold-place-out-of-range",
            seen.span,
            f"A freezer at {seen.shown} "
            + ("does not freeze." if high >= 0 else "is colder than any in a kitchen."),
            f"Has the minus gone: `[-{seen.run.text}]`?"
            if minus
            else "A freezer is at -18 C (0 F) or a little colder.",
        )
    if seen.run.place != "fridge":
        return None
    if low >= -1 and high <= 5 and not 0 < high < 1:
        return None
    dough = any(item.kind in YEASTS or item.kind == "starter" for item in seen.items)
    retards = dough and low >= -1 and high <= 14
    if 0 < high < 1:
        return find(
            "cold-place-out-of-range",
            seen.span,
            f"A fridge at {seen.shown} is all but freezing.",
            seen.told(Fraction(1), Fraction(6), "A fridge is at 1 to 5 C (34 to 41 F)."),
        )
    if low < -1 or high > 8:
        return find(
            "cold-place-out-of-range",
            seen.span,
            f"A fridge at {seen.shown} is {'below freezing' if low < -1 else 'too warm to keep food'}.",
            seen.told(Fraction(1), Fraction(6), "A fridge is at 1 to 5 C (34 to 41 F)."),
            severity=Severity.HINT if retards else None,
        )
    return find(
        "cold-place-out-of-range",
        seen.span,
        f"A fridge at {seen.shown} is warmer than 5 C, where most foods begin to spoil.",
        "Set it to 5 C (41 F) or colder.",
        severity=Severity.HINT,
    )


ROOM: Final = (Fraction(5), Fraction(45))
"""C of a room, a larder or a proving cabinet. Common practice, no source."""


def _room(seen: _Seen) -> Finding | None:
    if seen.run.place != "room" or (seen.low >= ROOM[0] and seen.high <= ROOM[1]):
        return None
    return find(
        "room-out-of-range",
        seen.span,
        f"No room or proving cabinet is at {seen.shown}.",
        seen.told(Fraction(15), Fraction(38), "A warm room is at 20 to 26 C (68 to 79 F)."),
    )


DOUGH: Final = (Fraction(15), Fraction(35))
"""C of a dough with yeast in it; from 32 C it is only remarked on. `food_safety.csv`: dough is run at 75-80 F,
bakery practice (consumer pages); the width is our own choice."""


def _dough(seen: _Seen) -> Finding | None:
    if seen.run.place != "dough":
        return None
    low, high = seen.low, seen.high
    living = any(item.kind in YEASTS or item.kind == "starter" for item in seen.items)
    if living:
        if low >= DOUGH[0] and high <= 32:
            return None
        mild = low >= 10 and high <= 38
        return find(
            "dough-out-of-range",
            seen.span,
            f"A dough with yeast in it is hardly meant to be at {seen.shown}: "
            + (
                "it would not rise today."
                if low < DOUGH[0]
                else "it ferments too fast, and from 49 C its yeast dies."
            ),
            seen.told(Fraction(20), Fraction(32), "Doughs are mixed to 22 to 28 C (72 to 82 F)."),
            severity=Severity.HINT if mild else None,
        )
    if low >= -5 and high <= 90:
        return None
    return find(
        "dough-out-of-range",
        seen.span,
        f"No dough is at {seen.shown}.",
        seen.told(Fraction(5), Fraction(60), "Look at the figure and at its scale again."),
    )


# ---------------------------------------------------------------- yeast that stays asleep

_WAKES: Final = re.compile(
    r"\b(?:foam\w*|froth\w*|cap|head|activate|wake|waken|bloom|bubbl\w+|dissolve|prove the yeast)\b", re.I
)
AWAKE_FROM: Final = Fraction(15)
"""C below which yeast is hardly woken. `food_safety.csv`: dormant near 1-4 C (34 and 40 F, consumer pages), woken at
38-43 C; between them our own choice."""


def _yeast_cold(seen: _Seen) -> Finding | None:
    if seen.run.place is not None or seen.high >= AWAKE_FROM:
        return None
    drawn = [event.drawn.item for event in seen.line.events if event.drawn is not None and event.drawn.item]
    yeast = next((item for item in drawn if item.kind in YEASTS), None)
    liquid = _last_item(seen)
    if yeast is None or liquid is None or liquid.kind not in HYDRATING:
        return None
    if any(item.kind == "flour" for item in drawn):
        return None
    index = seen.line.number
    around = " ".join(line.text for line in lines_of(seen.step) if index <= line.number <= index + 1)
    if yeast.kind == "instant yeast" and not _WAKES.search(around + " " + seen.step.name.text):
        return None
    return find(
        "yeast-too-cold",
        seen.span,
        f"{liquid.name.text} at {seen.shown} leaves the {yeast.name.text} asleep: below 15 C it hardly wakes.",
        seen.told(Fraction(30), Fraction(46), "Yeast is woken at 35-43 C (95-110 F)."),
    )


def _last_item(seen: _Seen) -> Item | None:
    """What was drawn last before it in its line."""
    for event in reversed(seen.line.events[: seen.index]):
        if isinstance(event.run, DrawRun):
            return event.drawn.item if event.drawn is not None else None
    return None


# ---------------------------------------------------------------- sugar

STAGES: Final[tuple[tuple[str, int, int], ...]] = (
    ("thread", 106, 112),
    ("soft ball", 112, 116),
    ("firm ball", 118, 121),
    ("hard ball", 121, 130),
    ("soft crack", 132, 143),
    ("hard crack", 146, 154),
    ("caramel", 160, 182),
)
"""C of a boiling syrup's stages at sea level. Soft ball 112-116, hard crack 149-154 and caramel 160-180:
`food_safety.csv`, hot sugar, confectionery practice, from memory; the others from memory too."""

_LEEWAY: Final = Fraction(2)
_STAGE: Final = re.compile(
    r"\b(?:(?P<thread>thread(?= stage)|long thread)|(?P<ball>(?:soft|firm|hard)[- ]ball)"
    r"|(?P<crack>(?:soft|hard)[- ]crack)|(?P<caramel>caramel|amber))\b",
    re.I,
)
_CARAMEL_MEANT: Final = re.compile(r"\b(?:to|until|till|into)\b[^.;]*\b(?:caramel|amber)\b", re.I)


def _sugar(seen: _Seen) -> Finding | None:
    """A stage of sugar named in the sentence, and a temperature that is another's."""
    if seen.run.place not in (None, "pan", "core") or not any(
        item.kind in ("sugar", "syrup") for item in seen.items
    ):
        return None
    named = list(_STAGE.finditer(seen.sentence))
    if len(named) != 1 or (named[0]["caramel"] and not _CARAMEL_MEANT.search(seen.sentence)):
        return None
    later = [
        item for line in lines_of(seen.step) if line.number > seen.line.number for item in drawn_in(line)
    ]
    if named[0]["caramel"] and any(
        item.kind in ("cream", "milk", "fat") and item not in later for item in seen.items
    ):
        return None  # a caramel with cream in it is cooked to 118 C or so
    name = re.sub(r"[- ]", " ", named[0][0].casefold()).replace("amber", "caramel").replace("long ", "")
    low, high = next((low, high) for stage, low, high in STAGES if stage == name)
    lost = 100 - seen.boils
    if low - lost - _LEEWAY <= seen.high and seen.low <= high + _LEEWAY:
        return None
    really = next(
        (stage for stage, a, b in STAGES if a - _LEEWAY <= seen.low and seen.high <= b + _LEEWAY), None
    )
    span = both_temperatures(Fraction(low), Fraction(high), seen.first)
    return find(
        "sugar-stage-differs",
        seen.span,
        f"{seen.shown} is not the {name} stage, which is at {span}"
        + (f"; it is {'the ' + really + ' stage' if really != 'caramel' else 'caramel'}." if really else "."),
        seen.told(
            Fraction(low) - _LEEWAY,
            Fraction(high) + _LEEWAY,
            "Write the stage that is meant, or its temperature.",
        ),
    )


# ---------------------------------------------------------------- custard, chocolate, cores

CURDLES: Final = Fraction(85)
"""C above which egg without starch curdles. Common practice, no source; a custard is done at 82-84 C."""

_THICKENS: Final = re.compile(
    r"\b(?:thicken\w*|coats? (?:the|a) (?:back of (?:the|a) )?spoon|nappe|custard|anglaise)\b", re.I
)


def _custard(seen: _Seen) -> Finding | None:
    if seen.run.place not in (None, "pan", "core") or not _THICKENS.search(seen.sentence):
        return None
    if any(place in OVENS for place in _places(seen.line)) or re.search(
        r"\b(?:boil\w*|bake\w*)\b", seen.sentence, re.I
    ):
        return None
    item = _last_item(seen)
    egg = any(one.kind == "egg" or "yolk" in one.name.key for one in seen.items)
    starch = any(one.kind in ("flour", "starch") or "flour" in one.name.key for one in seen.items)
    if not egg or starch or (item is not None and item.kind in HYDRATING and seen.run.place is None):
        return None
    if CURDLES < seen.high <= 100:
        return find(
            "custard-curdles",
            seen.span,
            f"Egg without starch curdles above 85 °C (185 °F), and this takes it to {seen.shown}.",
            "Write 82-84 C, or thicken it with a little starch and boil it.",
        )
    if seen.high < 70:
        return find(
            "custard-curdles",
            seen.span,
            f"An egg custard does not thicken at {seen.shown}.",
            seen.told(Fraction(78), CURDLES, "It does at 82-84 C (180-183 F)."),
        )
    return None


CHOCOLATE: Final = Fraction(55)
"""C above which chocolate thickens and scorches. Common practice, no source."""


def _chocolate(seen: _Seen) -> Finding | None:
    item = _last_item(seen)
    if seen.run.place is not None or item is None or item.kind != "chocolate":
        return None
    if seen.low <= CHOCOLATE:
        return None
    between = seen.before.rsplit("◊", 1)[-1]
    if re.search(r"\b(?:milk|cream|water|syrup|oven|until)\b", between):
        return None
    return find(
        "chocolate-too-hot",
        seen.span,
        f"{item.name.text} at {seen.shown} scorches: chocolate is melted below 55 °C (131 °F).",
        seen.told(Fraction(27), CHOCOLATE, "Melt dark chocolate to 45-50 C, milk and white to 40-45 C."),
    )


_FLESH: Final = frozenset({"meat", "poultry", "fish", "shellfish", "egg", None})


_CAKES: Final = re.compile(
    r"\b(?:cakes?|loaf|loaves|breads?|muffins?|sponges?|buns?|scones?)\b", re.IGNORECASE
)
"""What is a bake by its title, however little flour is in it."""


def _core(seen: _Seen) -> Finding | None:
    """The middle of a bread or a cake. Meat, poultry, fish and eggs are judged for safety elsewhere."""
    if seen.run.place != "core":
        return None
    if seen.high < 35:
        return find(
            "core-of-a-bake",
            seen.span,
            f"Nothing is cooked with {seen.shown} in the middle: that is no warmer than a hand.",
            seen.told(Fraction(60), Fraction(100), "Write the temperature at which it is done."),
        )
    if seen.run.of is not None:
        return None
    step_items = seen.items
    if any(item.kind in ("meat", "poultry", "fish", "shellfish") for item in step_items):
        return None
    flour = share_of(step_items, "flour")
    yeast = any(item.kind in YEASTS or item.kind == "starter" for item in step_items)
    bread = yeast and flour >= Fraction(3, 10)
    least = Fraction(1, 10) if _CAKES.search(seen.compiled.recipe.name.text) else Fraction(1, 5)
    cake = not yeast and flour >= least and bool(re.search(r"\bbak", seen.words, re.I))
    high = seen.high
    if not (bread or cake) or high >= 85:
        return None
    if cake and re.search(
        r"\b(?:cheesecake|custard|quiche|tart|fondant|brownies?|molten|filling)\b", seen.words, re.I
    ):
        return None
    return find(
        "core-of-a-bake",
        seen.span,
        f"A {'bread' if bread else 'cake'} with {seen.shown} in the middle is still raw dough or batter."
        if high < 80
        else f"{seen.shown} in the middle is low for a {'bread' if bread else 'cake'}.",
        seen.told(Fraction(85), Fraction(100), "Bread is done at 88-99 C (190-210 F), cake at 93-99 C."),
        severity=Severity.HINT if high >= 80 else None,
    )


def _places(line: Line) -> list[str | None]:
    return [event.run.place for event in line.events if isinstance(event.run, TemperatureRun)]


# ---------------------------------------------------------------- what the words say of it

_WARMS: Final = re.compile(r"\b(?:warm|heat|scald|hot)\b(?![^.;◊]*\bcool)", re.I)
_MELTED: Final = re.compile(r"\bmelt(?:ed)?\b", re.I)
_VERY_COLD: Final = re.compile(
    r"\b(?:(?:very |ice[- ]|fridge[- ])?cold|iced|chilled|ice)\b[\s,]*(?:at|to)?\s*$", re.I
)


def _words_differ(seen: _Seen) -> Finding | None:
    """`Warm the milk to [6 C]`, `very cold at [20 C]`, `melted, at [5 C]`, and food hotter than food gets."""
    if seen.run.place is not None:
        return None
    before, high, low = seen.before, seen.high, seen.low
    near = re.split(r";|\bthen\b", seen.since_a_time)[-1]
    warms = any(one.verb.name == "warm" for one in verbs_in(near)) or re.search(r"\bwarmed\b[^◊]*$", near)
    item = _last_item(seen)
    if "." in seen.span.text and 0 < low < 10:
        return find(
            "heat-unlike-words",
            seen.span,
            f"Nobody measures {seen.shown} so finely.",
            seen.told(Fraction(20), Fraction(100), "Is the point in the wrong place?"),
        )
    if high < 0 and item is not None and item.kind in HYDRATING:
        return find(
            "heat-unlike-words",
            seen.span,
            f"{item.name.text} at {seen.shown} is ice.",
            seen.told(Fraction(2), Fraction(60), "Write how cold it is, above freezing."),
        )
    if high < 22 and warms and not re.search(r"\b(?:cool|room|chill|thaw)\w*\b", near, re.I):
        return find(
            "heat-unlike-words",
            seen.span,
            f"“Warm” or “heat” stands before {seen.shown}, which is no warmer than a room.",
            seen.told(Fraction(28), Fraction(100), "Write the temperature it is warmed to."),
        )
    if low > 25 and _VERY_COLD.search(before):
        return find(
            "heat-unlike-words",
            seen.span,
            f"“Cold” stands before {seen.shown}, which is not cold.",
            seen.told(Fraction(-5), Fraction(15), "Write how cold it is."),
        )
    fat = item is not None and item.kind in ("fat", "chocolate")
    if item is not None and fat and high < 25 and _MELTED.search(before.rsplit("◊", 1)[-1]):
        return find(
            "heat-unlike-words",
            seen.span,
            f"{item.name.text} is not melted at {seen.shown}.",
            seen.told(Fraction(28), Fraction(60), "Butter is melted from about 32 C (90 F)."),
        )
    if low > 250:
        return find(
            "heat-unlike-words",
            seen.span,
            f"Nothing that is eaten gets to {seen.shown}.",
            seen.told(Fraction(20), Fraction(190), "If it is the heat of the oven, say so: `[200 C oven]`."),
        )
    if item is not None and item.kind in _WET and low > seen.boils + 5:
        sweet = any(one.kind in ("sugar", "syrup") for one in seen.items)
        fat = any(one.kind in ("oil", "fat", "butter") for one in seen.items)
        if not sweet and not fat:
            return find(
                "heat-unlike-words",
                seen.span,
                f"{item.name.text} at {seen.shown}: what is moist gets no hotter than water boils.",
                seen.told(Fraction(20), Fraction(100), "If it is the heat of the oven or the pan, say so."),
            )
    return None


_WET: Final = frozenset({"egg", "cream", "yoghurt", "cheese", "fruit", "vegetable", "puree", "starter"})


# ---------------------------------------------------------------- the other scale

_USUAL: Final[dict[str | None, tuple[int, int]]] = {
    "oven": (135, 260),
    "fan oven": (120, 250),
    "pan": (115, 250),
    "oil": (150, 195),
    "core": (50, 100),
    "dough": (18, 32),
    "room": (16, 35),
    "fridge": (1, 6),
    "freezer": (-30, -12),
    None: (18, 122),
}
"""C that are usual in a place: outside them a figure is only doubted where all others are in the other scale."""


def _scale(seen: _Seen) -> Finding | None:
    """The one figure in F among all the others in C, where it would be a usual one in C; or the other way round."""
    units = [
        "F" if piece.temperature.low[0].unit.endswith("F") else "C"
        for step in seen.compiled.method.steps
        for line in lines_of(step)
        for event in line.events
        if isinstance(piece := event.piece, TemperatureFact)
    ]
    if len(units) < 2 or units.count(seen.unit) != 1:
        return None
    low, high = _USUAL.get(seen.run.place, (0, 0))
    if re.search(r"\b(?:cold|ice|iced|chill\w*)\b", seen.sentence, re.I):
        return None
    other = seen.other()
    if (low <= seen.low and seen.high <= high) or not (low <= other.low and other.high <= high):
        return None
    scale: Degrees = "F" if seen.unit == "C" else "C"
    return find(
        "scale-unlike-the-rest",
        seen.span,
        f"{seen.shown}, while every other temperature of this recipe is in {scale}.",
        f"Was {_plain(other, scale)} meant, which is {_plain(other, seen.unit)}?",
    )


# ---------------------------------------------------------------- a change


_FASTEST: Final = Fraction(7, 2)
"""C a minute that no food in a kitchen loses: a pan of custard stirred over ice loses 2 to 3. Our own choice."""
_FASTEST_COLD: Final = Fraction(2)
"""The same where it ends as cold as a fridge: the colder it is, the slower it goes."""
_GAP: Final = Fraction(6)
"""C between the end of one change and the beginning of the next, beyond which one of the two has slipped."""
_FREEZES: Final = re.compile(r"\b(?:freez\w*|frozen|churn\w*|ice[- ]cream|sorbet\w*|granita)\b", re.I)
_WARMED: Final = re.compile(r"\b(?:warm\w*|heat\w*|reheat\w*|thaw\w*|defrost\w*|temper\w*|boil\w*)\b", re.I)


def _change(line: Line, event: Event, run: ChangeRun, first: Degrees) -> Iterator[Finding]:
    """The first thing that is wrong with a change of temperature."""
    at = line.starts[line.events.index(event)]
    start, end = line.sentence(at)
    before = line.text[start:at]
    verbs = {one.verb.name for one in verbs_in(before)}
    cools = bool(verbs & {"cool", "chill", "freeze"}) or (
        "warm" not in verbs
        and re.search(r"\b(?:into|in) (?:the fridge|iced? water|a cold bath)\b", before) is not None
    )
    earlier = _change_before(line, event)
    if earlier is not None and _WARMED.search(line.text[line.starts[line.events.index(earlier)] : at]):
        cools = False
    words = _change_words(run, cools, line.text[start:end], earlier, _scales(event), first)
    if words is not None:
        told, mend = words
        also = (Also(earlier.piece.span, "the change before it"),) if earlier is not None else ()
        yield find("change-unlike-words", event.piece.span, told, mend, also=also)


def _scales(event: Event) -> tuple[str, str]:
    piece = event.piece
    assert isinstance(piece, ChangeFact)
    return piece.start.low[0].unit[-1], piece.end.low[0].unit[-1]


def _change_before(line: Line, event: Event) -> Event | None:
    """The change that stands before one in its sentence."""
    start, _ = line.sentence(line.starts[line.events.index(event)])
    found: Event | None = None
    for one, at in zip(line.events, line.starts, strict=True):
        if one is event:
            return found
        if isinstance(one.run, ChangeRun) and at >= start:
            found = one
    return found


def _change_words(
    run: ChangeRun,
    cools: bool,
    sentence: str,
    earlier: Event | None,
    scales: tuple[str, str],
    first: Degrees,
) -> tuple[str, str] | None:
    """What is wrong with a change, and what to write; None where nothing is."""
    begins, ends = run.start, run.end
    shown = f"{both_temperatures(begins.low, begins.high, first)} to {both_temperatures(ends.low, ends.high, first)}"
    if begins.low > 125 or ends.high > 125:
        return (
            f"Food does not go from {shown}.",
            "Look at both figures and at their scale: cooked food cools from 60 C to 21 C, then to 5 C.",
        )
    if scales[0] != scales[1]:
        return (
            f"“{run.text}” begins in {scales[0]} and ends in {scales[1]}: that is {shown}.",
            "Write both in one scale: `60 C to 21 C` is `140 F to 70 F`.",
        )
    if cools and ends.low >= begins.high:
        return (
            f"This is said to cool, but goes from {shown}.",
            "Write the warmer temperature first: `60 C to 21 C in 2 h`.",
        )
    if cools and begins.high <= 15 and begins.high - ends.low < 10 and ends.low >= 0:
        return (
            f"{shown} is hardly a cooling: it is cold to begin with.",
            "Write where it starts: `60 C to 5 C within 6 h`.",
        )
    if ends.high < -2 <= begins.low and not _FREEZES.search(sentence):
        return (
            f"“{run.text}” ends frozen, at {both_temperatures(ends.low, ends.high, first)}, and nothing speaks of "
            "freezing.",
            "A fridge cools to 5 C (41 F). If it is frozen, say so in the sentence.",
        )
    if earlier is not None and isinstance(earlier.run, ChangeRun):
        was = earlier.run
        turns = (was.start.low > was.end.high) != (begins.low > ends.high)
        if turns and not _WARMED.search(sentence):
            return (
                f"The change before it goes from {both_temperatures(was.start.low, was.start.high, first)} to "
                f"{both_temperatures(was.end.low, was.end.high, first)}; this one turns back, from {shown}.",
                "Look at all four figures, or say that it is warmed again.",
            )
        if max(was.end.low - begins.high, begins.low - was.end.high) > _GAP:
            return (
                f"This begins at {both_temperatures(begins.low, begins.high, first)}, and the change before it ends "
                f"at {both_temperatures(was.end.low, was.end.high, first)}.",
                "Let the second begin where the first ends: `60 C to 21 C in 2 h`, then `21 C to 5 C in 4 h`.",
            )
    drop, seconds = begins.low - ends.high, run.duration.high
    fastest = _FASTEST_COLD if ends.high <= 8 else _FASTEST
    if drop >= 10 and drop * 60 > fastest * seconds:
        return (
            f"{shown} in {duration(seconds)} is faster than any food cools, even in ice.",
            f"Is {duration(seconds * 60)} meant? Food law asks for 60 °C to 21 °C within 2 h."
            if seconds < 15 * 60
            else "Look at the time and at both figures again.",
        )
    return None


_JUDGES: Final = (
    _range,
    _oven,
    _pan,
    _oil,
    _cold,
    _room,
    _dough,
    _yeast_cold,
    _sugar,
    _custard,
    _chocolate,
    _core,
    _words_differ,
    _scale,
)
