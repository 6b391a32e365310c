"""Times: waits without a length, long waits at the cook's hands, times that no such work takes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import (
    Batch,
    ChangeRun,
    DurationRun,
    Extent,
    LoadRun,
    Run,
    TemperatureRun,
    TextRun,
    TurnsRun,
)
from benchproof.compiler.checks.clauses import (
    OVENS,
    STONE,
    Line,
    Timed,
    drawn_in,
    items_before,
    lines_of,
    share_of,
    times_of,
    words_of,
)
from benchproof.compiler.compile import Compiled
from benchproof.compiler.display import count, duration
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.formula import Item
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.method import Method, StepMethod
from benchproof.compiler.plan_day import elapsed
from benchproof.compiler.ratios import YEASTS, flour_weight
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import DurationFact, Entry, Measure, ProseLine, Text
from benchproof.compiler.verbs import (
    RUN_TOGETHER,
    breaks_off,
    by_machine,
    is_overnight,
    is_short,
    is_tended,
    is_unmeasured,
    verbs_in,
)

_MIN: Final = Fraction(60)
_HOUR: Final = Fraction(3600)
_DAY: Final = Fraction(86400)


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    equipment = _equipment(compiled)
    for step in compiled.method.steps:
        timed = list(times_of(step))
        widths = _Widths(compiled, step, timed)
        for one in timed:
            found = list(_too_wide(one)) or list(widths.judge(one)) or list(_written(one, step))
            yield from found
            if not found:
                yield from _whose_hands(one, equipment)
        yield from _cooked_through(compiled, step, timed)
        yield from _without_time(step)
        for line in lines_of(step):
            yield from _loads(compiled, line)
            yield from _turns(line)
            yield from _turns_written(line)
    yield from _trials(compiled, kitchen)


# ---------------------------------------------------------------- a wait without a length

_SHOULD_HAVE: Final = frozenset(
    {
        "bake",
        "roast",
        "prove",
        "rest",
        "chill",
        "freeze",
        "soak",
        "marinate",
        "cool",
        "leave",
        "simmer",
        "stew",
    }
    | {"braise", "steam", "poach", "boil", "churn"}
)
_BY_SIGHT: Final = re.compile(r"\b(?:until|till|when|while)\b", re.IGNORECASE)


_LOOSE: Final = re.compile(
    r"[0-9½¼¾]\s*(?:s|sec|seconds?|min|minutes?|h|hours?|days?)\b"
    r"|\b(?:an?|one|two|three|half an?) (?:hour|minute|day)s?\b",
    re.IGNORECASE,
)
"""A time outside brackets: that it should stand in them is told by another rule."""


def _without_time(step: StepMethod) -> Iterator[Finding]:
    """Waits that nobody can plan for, and sentences that break off where a time was."""
    lines = lines_of(step)
    untimed = not any(_is_time(event.run) for line in lines for event in line.events)
    told = False
    for index, line in enumerate(lines):
        for start, end in _full_stops(line.text):
            sentence = line.text[start:end]
            inside = [
                event
                for event, at in zip(line.events, line.starts, strict=True)
                if start <= at < end and not isinstance(event.run, TextRun)
            ]
            said = [one for one in verbs_in(sentence) if one.verb.name in _SHOULD_HAVE]
            at = breaks_off(sentence)
            if at is not None:
                yield find(
                    "wait-without-time",
                    _span(line, start + at),
                    f"A sentence of “{step.name.text}” breaks off here, as if a time had been taken out of it.",
                    "Write what is missing: the time in brackets, such as `[20 min hands-off]`.",
                )
                told = True
                continue
            if not said or any(_is_time(event.run) for event in inside):
                continue
            if is_unmeasured(sentence) or _LOOSE.search(line.text) or _time_follows(lines, index, end):
                continue
            overnight = is_overnight(sentence)
            core = any(
                isinstance(event.run, TemperatureRun) and event.run.place == "core" for event in inside
            )
            by_sight = (core or bool(_BY_SIGHT.search(sentence))) and not overnight
            if untimed and told:
                continue
            told = True
            verb = said[-1]
            how = "overnight" if overnight else "how long"
            yield find(
                "wait-without-time",
                _span(line, start + verb.at),
                f"“{_phrase(sentence, verb.at)}” in “{step.name.text}” says {how}, but no time that can be planned."
                if overnight
                else f"“{_phrase(sentence, verb.at)}” in “{step.name.text}” does not say how long it takes.",
                "Write `[8-12 h hands-off]` beside it."
                if overnight
                else "Write a time, if only a rough one: `[20-30 min hands-off]`.",
                severity=Severity.WARNING if untimed or not by_sight else Severity.HINT,
            )


def _full_stops(text: str) -> list[tuple[int, int]]:
    """Sentences of a line by their full stops alone: after a semicolon the time may still come."""
    found = []
    start = 0
    for stop in re.finditer(r"[.!?]+(?=\s|$)", text):
        found.append((start, stop.end()))
        start = stop.end()
    if text[start:].strip():
        found.append((start, len(text)))
    return found


def _time_follows(lines: list[Line], index: int, end: int) -> bool:
    """Whether the rest of the line, or the next, begins with a time, or the line simply goes on below."""
    line = lines[index]
    for event, at in zip(line.events, line.starts, strict=True):
        if at >= end and _is_time(event.run):
            return True
    if index + 1 < len(lines):
        return any(_is_time(event.run) for event in lines[index + 1].events)
    return False


def _is_time(run: object) -> bool:
    return isinstance(run, DurationRun | ChangeRun | TurnsRun)


def _phrase(sentence: str, at: int) -> str:
    words = re.split(r"[◊,.;]", sentence[at:], maxsplit=1)[0].split()[:5]
    while len(words) > 1 and words[-1] in (
        "at",
        "for",
        "in",
        "to",
        "with",
        "and",
        "into",
        "on",
        "until",
        "a",
        "the",
    ):
        words.pop()
    return " ".join(words)


def _span(line: Line, at: int) -> Span:
    """The place in the file of a place in a line's text."""
    for event, start in reversed(list(zip(line.events, line.starts, strict=True))):
        if start <= at:
            if isinstance(event.piece, Text):
                span = event.piece.span
                inside = min(at - start, max(len(span.text) - 1, 0))
                word = re.match(r"\w+", span.text[inside:])
                return span.part(inside, inside + (word.end() if word else 1))
            return event.piece.span
    return line.step.name.span


# ---------------------------------------------------------------- ranges

_FAR_APART: Final = 4
_TOO_FAR_APART: Final = 6


def _too_wide(one: Timed) -> Iterator[Finding]:
    """A range of which one end has slipped. Hours in the fridge may be many or few, and seconds go by."""
    low, high = one.run.duration.low, one.run.duration.high
    if not low or low == high or high / low <= _FAR_APART or high < 2 * _MIN:
        return
    if low >= _HOUR and high <= 3 * _DAY and (high / low <= 8 or (high / low <= 24 and _is_cold(one))):
        return
    surely = high / low > _TOO_FAR_APART
    yield find(
        "time-range-too-wide",
        one.event.piece.span,
        f"{duration(low)} to {duration(high)} is too wide to plan with: the long end is {count(high / low)} times the "
        "short one.",
        f"Has a figure slipped? Write the usual range, such as `{_likely_range(low, high)}`.",
        severity=Severity.WARNING if surely else Severity.HINT,
    )


def _is_cold(one: Timed) -> bool:
    return "fridge" in one.sentence or any(
        isinstance(event.run, TemperatureRun) and event.run.place in ("fridge", "freezer")
        for event in one.line.events
    )


def _likely_range(low: Fraction, high: Fraction) -> str:
    """The range with its long end a tenth, or its short end ten times as long: whichever is in whole minutes."""
    if low <= high / 10 and (high / 10 % _MIN == 0 or high < 10 * _MIN):
        return duration(low, high / 10)
    if low * 10 <= high:
        return duration(low * 10, high)
    return duration(low, 2 * low)


# ---------------------------------------------------------------- what a verb takes


@dataclass(frozen=True, slots=True)
class _Width:
    """The shortest and longest that some work takes, and how it is called."""

    low: Fraction
    high: Fraction
    what: str


_PIZZA: Final = re.compile(
    r"\b(?:pizza|pizzas|pizzette|flat ?breads?|pitt?as?|naans?|tandoor|lavash|focaccia|crackers?|crisps?|wafers?|"
    r"matzoh?|tortillas?|poppadoms?|papadums?|schiacciata|tuiles?|nachos?)\b",
    re.IGNORECASE,
)
_STOCK: Final = re.compile(r"\b(?:stock|bones?|broth|confit|jus|ham|tripe|tongue|oxtail)\b", re.IGNORECASE)
_THICK: Final = re.compile(
    r"\b(?:porridge|congee|pudding|jam|jelly|marmalade|chutney|butter)\b", re.IGNORECASE
)
_FOAMS: Final = re.compile(r"\b(?:foam|foams|foamy|froth|frothy|cap|head)\b", re.IGNORECASE)
_CAKE_RACK: Final = re.compile(r"\b(?:rack|tin|tins|tray)\b", re.IGNORECASE)
_MEATS: Final = ("meat", "poultry", "fish", "shellfish")


class _Widths:
    """Judges the times of one step by their verbs, and by what is in the pot and how hot the oven is."""

    def __init__(self, compiled: Compiled, step: StepMethod, timed: list[Timed]) -> None:
        self.compiled = compiled
        self.step = step
        self.items = items_before(compiled.method, step)
        self.timed = timed
        self.words = " ".join(
            (
                compiled.recipe.name.text,
                step.name.text,
                step.part.text if step.part else "",
                *(line.text for line in lines_of(step)),
            )
        )
        bakes = [one for one in timed if _bakes(one)]
        self.baked = sum((one.run.duration.high for one in bakes), Fraction(0))
        self.longest = max(bakes, key=lambda one: one.run.duration.high, default=None)

    def judge(self, one: Timed) -> Iterator[Finding]:
        width = self.width(one)
        if width is None:
            return
        if (odd := _oddly_written(one)) is not None:
            yield odd
            return
        low, high = one.run.duration.low, one.run.duration.high
        if one.run.limit == "at least":
            high = low
        if one.run.limit == "up to":
            return
        short = high < width.low and (not is_short(one.sentence) or high < Fraction(20) <= width.low)
        long = low > width.high
        if not short and not long:
            return
        shown = duration(low, one.run.duration.high)
        likely = _likely(low, one.run.duration.high, width, long=long)
        yield find(
            "time-slipped",
            one.event.piece.span,
            f"{shown} is a {'long' if long else 'short'} time {width.what} in “{self.step.name.text}”: "
            + (
                f"more than {duration(width.high)} is rare."
                if long
                else f"less than {duration(width.low)} is rare."
            ),
            f"Did you mean {likely}? If it is meant, write `waive: time-slipped because …` with the reason."
            if likely
            else "Look at the figure and at its unit again.",
        )

    # ------------------------------------------------------------ widths

    def width(self, one: Timed) -> _Width | None:
        if _bakes(one):
            return self._oven(one)
        if one.does("warm", "preheat", "bring to the boil") and any(place in OVENS for place in _places(one)):
            hot = one.oven is not None and one.oven.high > 300
            return _Width(
                Fraction(0) if is_short(one.words) else 4 * _MIN,
                (4 if hot else 2) * _HOUR,
                "to heat an oven",
            )
        verbs = [verb for verb in one.verbs if verb.sort != "works"] if one.run.hands_off else list(one.verbs)
        if not verbs:
            if one.run.hands_off and self._has_yeast() and not any(place in OVENS for place in _places(one)):
                return self._dough(one)
            if one.run.hands_off:
                cooking = re.search(r"\b(?:lid|low heat|turn low|flame|meat|tender)\b", one.sentence)
                return _Width(Fraction(0), _DAY if cooking else 366 * _DAY, "to leave anything")
            # With other work in the step's words it may be long; words nobody knows are a turn, a shake, a spoonful.
            most = Fraction(5, 2) * _HOUR if one.verbs else 55 * _MIN
            return _Width(Fraction(4), most, "for one piece of work")
        low = Fraction(max(verb.low for verb in verbs)) if one.fresh else Fraction(0)
        high = Fraction(max(verb.high for verb in verbs))
        what = f"to {max(verbs, key=lambda verb: verb.low).name}"
        special = self._special(one)
        if special is not None:
            low, high = max(low, special.low), min(high, special.high)
            what = special.what
        if one.load is not None and not one.run.hands_off:
            high = min(high, 25 * _MIN)
        elif not one.run.hands_off:
            high = min(high, Fraction(5, 2) * _HOUR)
            if {verb.name for verb in verbs} <= {"warm", "melt", "add", "bring to the boil"}:
                high = min(high, 35 * _MIN)
        return _Width(low, high, what)

    def _special(self, one: Timed) -> _Width | None:
        none = Fraction(0)
        if one.does("knead") and {verb.name for verb in one.verbs} <= {"knead", "stir", "mix", "add", "fold"}:
            return _Width(none, 40 * _MIN, "to knead")
        if one.does("stir") and re.search(r"\bstir\b[^.;]*\btogether\b", one.words, re.I):
            return _Width(none, 15 * _MIN, "to stir things together")
        if {verb.name for verb in one.verbs} == {"add"} and re.match(r"\W*stir in\b", one.words, re.I):
            return _Width(none, 18 * _MIN, "to stir something in")
        if is_overnight(one.words) and one.run.hands_off:
            return _Width(5 * _HOUR, 36 * _HOUR, "to leave it overnight")
        if one.does("leave", "prove", "rest") and self._has_yeast():
            return self._dough(one)
        if one.does("rest", "leave") and self._just_cooked(one) and not self._is_in_fridge(one):
            return _Width(none, 15 * _HOUR if one.does("leave") else 2 * _HOUR, "to rest what is cooked")
        wet = {"egg", "milk", "cream", "flour"}
        if one.does("leave") and not self._is_in_fridge(one) and any(item.kind in wet for item in self.items):
            starter = any(item.kind == "starter" for item in self.items)
            return _Width(none, (36 if starter else 16) * _HOUR, "to leave this out of the fridge")
        if one.does("rest") and not self._is_in_fridge(one):
            return _Width(none, 12 * _HOUR, "to rest it out of the fridge")
        if one.does("cool") and _CAKE_RACK.search(one.words) and re.search(r"\brack\b", one.words):
            return _Width(5 * _MIN, 24 * _HOUR, "to cool on a rack")
        if one.does("bring to the boil") and re.search(r"\bsimmer\b", one.words) and one.run.hands_off:
            return self._pot(one)
        if one.does("bring to the boil"):
            return _Width(none, 60 * _MIN, "to come to the boil")
        if one.does("boil", "simmer", "poach", "stew", "steam", "reduce"):
            return self._pot(one)
        return None

    def _has_yeast(self) -> bool:
        return any(item.kind in YEASTS for item in self.items)

    def _dough(self, one: Timed) -> _Width:
        none = Fraction(0)
        flour = any(item.kind == "flour" for item in self.items)
        if _FOAMS.search(one.sentence) and (not flour or one.run.duration.high < _HOUR):
            return _Width(_MIN, 45 * _MIN, "for yeast to wake")
        low = 10 * _MIN if one.does("prove") else none
        if self._is_in_fridge(one):
            return _Width(low, 7 * _DAY, "for a dough in the fridge")
        part = self.step.part.text if self.step.part else ""
        preferment = any(
            role.role in ("preferment", "soaker") and role.name is not None and role.name.text == part
            for role in self.compiled.formula.parts
        )
        if not preferment and self._yeast() >= Fraction(8, 10):
            return _Width(low, 6 * _HOUR, "to leave a dough with this much yeast out of the fridge")
        return _Width(low, 26 * _HOUR, "to leave a dough out of the fridge")

    def _yeast(self) -> Fraction:
        """% of the flour, as instant yeast."""
        flour = flour_weight(self.compiled.formula)
        yeast = sum(
            (
                item.weight * YEASTS[item.kind][0]
                for item in self.compiled.formula.items()
                if item.kind is not None and item.kind in YEASTS and item.weight
            ),
            Fraction(0),
        )
        return yeast * 100 / flour if flour else Fraction(0)

    def _is_in_fridge(self, one: Timed) -> bool:
        return _is_cold(one) or bool(
            re.search(r"\b(?:fridge|cold|cool|cellar|ice|refrigerator)\b", one.sentence, re.I)
        )

    def _just_cooked(self, one: Timed) -> bool:
        before = self.timed[: self.timed.index(one)]
        return any(_bakes(other) or other.does("grill", "fry", "simmer", "boil", "steam") for other in before)

    def _pot(self, one: Timed) -> _Width | None:
        none = Fraction(0)
        drawn = drawn_in(one.line) or self.items
        kinds = {item.kind for item in drawn}
        all_kinds = {item.kind for item in self.items}
        if _STOCK.search(self.words):
            return _Width(none, 24 * _HOUR, "to simmer a stock")
        if _THICK.search(self.words) or one.does("steam"):
            return None
        if all_kinds & {*_MEATS, "pulse", None}:
            high = 10 * _HOUR
        elif kinds & {"grain", "pasta"} and one.does("boil", "simmer"):
            high = Fraction(5, 3) * _HOUR
        elif any("potato" in item.name.key for item in drawn):
            high = Fraction(3, 2) * _HOUR
        else:
            high = 4 * _HOUR
        return _Width(none, high, "to boil or simmer this")

    def _oven(self, one: Timed) -> _Width:
        none = Fraction(0)
        heat = one.oven or _oven_before(self.compiled.method, self.step)
        hot = heat.high if heat is not None else Fraction(180)
        if not 50 <= hot <= 520 or (hot > 300 and not STONE.search(words_of(self.compiled))):
            hot = Fraction(180)  # the heat is what is wrong, and is told
        meat = any(item.kind in _MEATS for item in self.items)
        roast = one.does("roast") or meat
        if hot >= 250:
            low, total = Fraction(30), Fraction(40)
        elif _PIZZA.search(self.words) or is_short(one.sentence):
            low, total = Fraction(60), 2 * _MIN
        else:
            low, total = 3 * _MIN, 5 * _MIN
            if self._loaf():
                total = 12 * _MIN
        if hot >= 400:
            high = 6 * _MIN
        elif hot >= 350:
            high = 30 * _MIN
        elif hot >= 250:
            high = (3 if roast else 1) * _HOUR
        elif hot >= 195:
            high = 4 * _HOUR if roast else 105 * _MIN
        elif hot >= 168:
            high = (6 if roast else Fraction(5, 2)) * _HOUR
        elif hot >= 125:
            high = (12 if roast else 6) * _HOUR
        else:
            high = 24 * _HOUR
        if hot >= 160 and self._small() and not roast:
            high = min(high, 65 * _MIN)
        if one is self.longest and self.baked < total:
            low = total
        if is_short(one.words) or (len(self.timed) > 1 and one.load is not None and hot >= 250):
            low = min(low, Fraction(20))
        return _Width(
            low if self.baked < 5 * _MIN or one is self.longest or low <= 3 * _MIN else none, high, "to bake"
        )

    def _each(self) -> Fraction | None:
        formula = self.compiled.formula
        return formula.each if formula.sound else None

    def _small(self) -> bool:
        """Whether it is small pieces of something with flour in it."""
        each = self._each()
        return each is not None and each <= 120 and share_of(self.items, "flour") >= Fraction(1, 5)

    def _loaf(self) -> bool:
        each = self._each()
        return (
            each is not None
            and each >= 300
            and share_of(self.items, "flour") >= Fraction(2, 5)
            and (self._has_yeast() or any(item.kind == "starter" for item in self.items))
        )


def _places(one: Timed) -> list[str | None]:
    """The places of the temperatures among a time's own words."""
    at = one.line.starts[one.line.events.index(one.event)]
    return [
        event.run.place
        for event, start in zip(one.line.events, one.line.starts, strict=True)
        if at - len(one.words) <= start < at and isinstance(event.run, TemperatureRun)
    ]


def _bakes(one: Timed) -> bool:
    """Whether something is in the oven: `Bake at ◊`, or `In the oven at ◊` without a word of heating it."""
    if one.does("bake", "roast"):
        return True
    if not one.run.hands_off or not any(place in OVENS for place in _places(one)):
        return False
    others = {verb.name for verb in one.verbs if verb.sort != "works"}
    return not others and not re.search(r"\b(?:heat|bring|light|set|come|comes|get)\b", one.words, re.I)


def _oven_before(method: Method, step: StepMethod) -> Extent | None:
    """The oven as the last step above that names it left it."""
    found: Extent | None = None
    for above in method.steps:
        if above.number >= step.number:
            break
        for line in above.lines:
            for run in line:
                if isinstance(run, TemperatureRun) and run.place in OVENS:
                    found = run.temperature
    return found


def _likely(low: Fraction, high: Fraction, width: _Width, *, long: bool) -> str:
    """What a slip of the point or the unit would make of it."""
    factors = [Fraction(1, 10), Fraction(1, 60)] if long else [Fraction(10), Fraction(60)]
    found = [
        duration(low * factor, high * factor)
        for factor in factors
        if width.low <= high * factor and low * factor <= width.high and high * factor >= 1
    ]
    return " or ".join(dict.fromkeys(found))


_NEEDS: Final[tuple[tuple[Callable[[Item], bool], Fraction, str], ...]] = (
    (lambda item: item.kind == "grain" and "rice" in item.name.key.split(), 8 * _MIN, "rice"),
    (lambda item: item.kind == "vegetable" and "potatoes" in item.name.key.split(), 5 * _MIN, "potatoes"),
)
_GROUND: Final = re.compile(
    r"\b(?:tinned|canned|cooked|flour|puffed|ground|noodles?|paper|mashed|flakes)\b", re.I
)


def _cooked_through(compiled: Compiled, step: StepMethod, timed: list[Timed]) -> Iterator[Finding]:
    """Foods that are not done in the time from their draw to the end of the method."""
    boils = [one for one in timed if one.does("boil", "simmer") and one.run.hands_off]
    if not boils:
        return
    drawn = {
        drawn.item.name.key: drawn.item
        for line in lines_of(step)
        for event in line.events
        if (drawn := event.drawn) is not None and drawn.item is not None
    }
    later = sum(
        (
            piece.duration.high
            for one in compiled.method.steps
            if one.number > step.number
            for piece in one.pieces
        ),
        Fraction(0),
    )
    whole = sum((piece.duration.high for piece in step.pieces), later)
    for item in drawn.values():
        for applies, least, what in _NEEDS:
            if applies(item) and not _GROUND.search(item.name.key) and whole < least:
                one = boils[0]
                yield find(
                    "time-slipped",
                    one.event.piece.span,
                    f"{duration(one.run.duration.low, one.run.duration.high)} is a short time for {item.name.text}: "
                    f"{what} need at least {duration(least)}.",
                    f"Did you mean {duration(one.run.duration.low * 10, one.run.duration.high * 10)}?",
                )
                return


_PARTS: Final = {"min": (2,), "h": (2, 4), "day": (2,), "week": (2,), "s": (1,)}
"""What a unit of time is divided into by cooks: half minutes, quarters of an hour, half days."""


def _oddly_written(one: Timed) -> Finding | None:
    """`0.6 min`, `2.2 min`: what nobody reads off a clock, and a point too many leaves behind."""
    fact = one.event.piece
    if not isinstance(fact, DurationFact) or "." not in fact.span.text:
        return None
    for term in (*fact.duration.low, *fact.duration.high):
        parts = _PARTS.get(term.unit)
        if parts is None:
            continue
        whole = any((term.number * part).denominator == 1 for part in parts)
        if whole and not (term.unit in ("min", "s") and term.number < 1):
            continue
        seconds = one.run.duration
        return find(
            "time-slipped",
            fact.span,
            f"“{one.run.text}” is {duration(seconds.low, seconds.high)}: nobody reads that off a clock.",
            f"Is the point in the wrong place? Ten times as long is {duration(seconds.low * 10, seconds.high * 10)}.",
        )
    return None


_QUICK: Final = re.compile(
    r"\b(?:puff\w*|dip\w*|pulse\w*|pulsing|blitz\w*|whizz?|slash\w*|plunge\w*|flash\w*|sear\w*|torch\w*|"
    r"microwave\w*|blanch\w*|spray\w*|spritz\w*|mist|steam|shake|swirl|flip|turn\w*|dunk\w*|count|wok|toast\w*)\b",
    re.IGNORECASE,
)
"""What may be done in less than twenty seconds."""
_BY_ITSELF: Final = re.compile(
    r"\b(?:microwave\w*|mixer|machine|processor|blender|blitz\w*|pulse\w*|timer|shot|espresso)\b",
    re.IGNORECASE,
)
"""What goes on by itself for seconds."""
_LEAST_SECONDS: Final = Fraction(20)
_LEAST_SEAR: Final = Fraction(5)
_MOST_MINUTES: Final = (Fraction(150), Fraction(300))
"""Minutes from which hours are usual, and from which nobody writes minutes. Common practice, no source."""
_MOST_HOURS: Final = Fraction(73)
_MOST_HANDS: Final = 75 * _MIN
"""That one piece of work is stood over without a word of stirring or feeding: our own choice."""


def _written(one: Timed, step: StepMethod) -> Iterator[Finding]:
    """A time in a unit that nobody writes so long or so short a time in, or one fraction run into another."""
    fact = one.event.piece
    if not isinstance(fact, DurationFact) or one.run.limit == "up to":
        return
    text, low, high = fact.span.text, one.run.duration.low, one.run.duration.high
    units = {term.unit for term in (*fact.duration.low, *fact.duration.high)}
    words = f"{step.name.text} {one.sentence}"
    told = mend = ""
    severity: Severity | None = None
    if (run_in := RUN_TOGETHER.search(text)) is not None:
        whole, part, under = run_in["whole"], run_in["part"], run_in["under"]
        told = f"“{run_in[0]}” is read as {run_in[0]}, which is {duration(low, high)} here."
        mend = f"Was `{whole} {part}/{under}` meant, with a blank after the {whole}?"
    elif units == {"s"} and one.run.hands_off and not _BY_ITSELF.search(words):
        told = f"{duration(low, high)} is no time to leave anything by itself in “{step.name.text}”."
    elif units == {"s"} and high < (_LEAST_SEAR if one.load or _QUICK.search(one.words) else _LEAST_SECONDS):
        told = f"{duration(low, high)} is shorter than any work in “{step.name.text}” takes."
    elif units == {"min"} and low > _MOST_MINUTES[0] * 60:
        told = f"{one.run.text.removesuffix(' hands-off')} is {duration(low, high)}, and hours are usual for so long."
        mend = f"Is there a nought too many? Else write it in hours: `{duration(low, high)}`."
        severity = Severity.WARNING if low >= _MOST_MINUTES[1] * 60 else Severity.HINT
    elif units == {"h"} and low >= _MOST_HOURS * 3600:
        told = f"{one.run.text.removesuffix(' hands-off')} is {count(low / _DAY)} days or more."
        mend = "Is there a nought too many? Else write it in days."
        severity = Severity.HINT
    elif units == {"min"} and not one.run.hands_off and low >= _MOST_HANDS and not is_tended(one.sentence):
        told = f"{duration(low, high)} is long to stand over one piece of work in “{step.name.text}”."
        mend = "Is there a nought too many? If nobody stands there, write `hands-off` beside it."
        severity = Severity.HINT
    if not told:
        return
    if units == {"s"} and not mend:
        minutes = text.strip("[]").replace(" s", " min", 1)
        mend = f"Was `[{minutes}]` meant?"
    yield find("time-slipped", fact.span, told, mend, severity=severity)


# ---------------------------------------------------------------- whose hands

_LONG: Final = 15 * _MIN
_POT_LONG: Final = 20 * _MIN
_NOTICED: Final = 5 * _MIN
_STRONG: Final = frozenset(
    {
        "prove",
        "rest",
        "chill",
        "freeze",
        "soak",
        "marinate",
        "cool",
        "leave",
        "bake",
        "roast",
        "churn",
        "preheat",
    }
)
_POTS: Final = frozenset({"simmer", "boil", "steam", "stew", "poach"})
_HANDS: Final = frozenset(
    {"knead", "fold", "sift", "rub in", "chop", "shape", "whisk", "grind", "brush or scatter", "toss"}
)


def _whose_hands(one: Timed, equipment: str) -> Iterator[Finding]:
    if not one.verbs and not _bakes(one):
        return
    last = one.verbs[-1] if one.verbs else None
    if one.run.hands_off:
        yield from _handwork(one, equipment)
        return
    if one.run.limit == "up to" or is_tended(one.sentence):
        return
    name = last.name if last is not None else "bake"
    if name in ("warm", "preheat", "bring to the boil") and any(place in OVENS for place in _places(one)):
        name = "preheat"
    strong, pot = name in _STRONG or _bakes(one), name in _POTS
    low = one.run.duration.low
    if not ((strong and low > _NOTICED) or (pot and low >= _POT_LONG)):
        return
    if one.load is not None and low < _LONG:
        return
    yield find(
        "hands-off-missing",
        one.event.piece.span,
        f"{duration(low, one.run.duration.high)} to {name} holds up the cook from beginning to end: it does not say "
        "`hands-off`.",
        f"Write `[{one.run.text.removesuffix(' hands-on')} hands-off]`, or say what the cook does in it.",
        severity=Severity.WARNING if low >= _LONG else Severity.HINT,
    )


def _handwork(one: Timed, equipment: str) -> Iterator[Finding]:
    """Work that nobody does while away, unless a machine does it."""
    waits = any(verb.sort != "works" for verb in one.verbs)
    last = one.verbs[-1] if one.verbs else None
    if waits or last is None or last.name not in _HANDS or not one.fresh:
        return
    said = " ".join(line.text for line in lines_of(one.line.step))
    if by_machine(said) or by_machine(equipment) or _bakes(one):
        return
    if last.name in ("brush or scatter", "toss") and one.run.duration.low > 3 * _MIN:
        return  # `Scatter it over, lid on again, [5 min hands-off]`
    yield find(
        "hands-off-handwork",
        one.event.piece.span,
        f"“{_phrase(one.words, max(at.at for at in verbs_in(one.words)))}” is work for hands, and this says that it "
        "goes on by itself.",
        f"Write `[{one.run.text.removesuffix(' hands-off')}]`, or name the machine that does it.",
    )


# ---------------------------------------------------------------- loads and turns


def _loads(compiled: Compiled, line: Line) -> Iterator[Finding]:
    makes = compiled.formula.makes
    whole = makes.count.low if makes is not None and makes.count is not None else None
    if whole is None or makes is None:
        return
    noun = makes.noun.text if makes.noun is not None else "pieces"
    for event in line.events:
        run = event.run
        if not isinstance(run, LoadRun):
            continue
        at = run.at_a_time.low
        if at > whole:
            yield find(
                "load-over-whole",
                event.piece.span,
                f"{count(at)} at a time, but the recipe makes only {count(whole)} {noun}.",
                f"Write at most `[{count(whole)} at a time]`, or leave it out if all are done at once.",
                also=(Also(makes.span, "what it makes"),),
            )
        elif run.at_a_time.low == run.at_a_time.high and whole.denominator == 1:
            last = whole % at
            if last and 2 * last <= at:
                loads = Fraction(-(-whole // at))
                even = Fraction(-(-whole // loads))
                yield find(
                    "load-does-not-divide",
                    event.piece.span,
                    f"{count(whole)} {noun}, {count(at)} at a time: the last load is only {count(last)}.",
                    f"`[{count(even)} at a time]` takes {count(loads)} loads too, more alike."
                    if even != at
                    else "Keep it, or make as many as the loads hold.",
                )


_ALONG: Final = re.compile(r"\b(?:folding|turning|stirring|shaking|stretching|with|during)\b", re.IGNORECASE)


def _turns(line: Line) -> Iterator[Finding]:
    """Turns in the sentence of a rest that is over before the last of them."""
    rest: tuple[Fraction, int] | None = None
    for index, (event, start) in enumerate(zip(line.events, line.starts, strict=True)):
        run = event.run
        if isinstance(run, DurationRun):
            rest = (run.duration.high, index) if run.hands_off else None
        if not isinstance(run, TurnsRun) or run.every is None or rest is None:
            continue
        length, at = rest
        between = line.text[line.starts[at] + 1 : start]
        if line.sentence(line.starts[at]) != line.sentence(start) or not _ALONG.search(between):
            continue
        taken = run.times.low * run.every.low
        if taken > length:
            yield find(
                "turns-over-rest",
                event.piece.span,
                f"{count(run.times.low)} turns, one every {duration(run.every.low)}, take {duration(taken)}, but the "
                f"rest they stand in is over after {duration(length)}.",
                f"Write a rest of at least `[{duration(taken)} hands-off]`, or fewer turns.",
                also=(Also(line.events[at].piece.span, "the rest"),),
            )


_MOST_TURNS: Final = 10
_TURNS_APART: Final = (5 * _MIN, 2 * _HOUR)
"""How far apart a dough is folded or a roast basted: common practice, no source."""
_FED: Final = re.compile(r"\b(?:feed\w*|refresh\w*|build\w*|burp\w*|skim\w*|top\w* up)\b", re.IGNORECASE)
"""What is done again only after half a day or a day."""
_OFTEN: Final = re.compile(
    r"\b(?:stir\w*|churn\w*|shak\w+|whisk\w*|past\w+|spoon\w*|microwave\w*)\b", re.IGNORECASE
)


def _turns_written(line: Line) -> Iterator[Finding]:
    """So many turns, or so far apart, as nobody gives a dough or a roast."""
    for event, start in zip(line.events, line.starts, strict=True):
        run = event.run
        if not isinstance(run, TurnsRun):
            continue
        sentence = line.text[slice(*line.sentence(start))]
        apart = run.every
        often, words = run.times.low > _MOST_TURNS, ""
        if often and (apart is None or apart.low >= _TURNS_APART[0]):
            words = f"{count(run.times.low)} times is more than anybody does that"
            if apart is not None:
                words += f", and takes {duration(run.times.low * apart.low)}"
        elif apart is not None and apart.high < _TURNS_APART[0] and not _OFTEN.search(sentence):
            words = f"every {duration(apart.low)} is as good as all the time"
        elif apart is not None and apart.low > _TURNS_APART[1] and not _FED.search(sentence):
            words = f"every {duration(apart.low)} is too far apart to help"
        if words:
            yield find(
                "unlikely-turns",
                event.piece.span,
                f"“{run.text}”: {words}.",
                "A dough is folded 2 to 6 times, 15 to 60 min apart. Is there a nought too many or too few?",
            )


# ---------------------------------------------------------------- what the trials took

_UNLIKE: Final = 3


def _trials(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    """What a trial took, beside what the steps come to."""
    batch = compiled.batch
    if batch is None or not batch.times.plan or batch.times.untimed > len(batch.steps) // 3:
        return
    planned = batch.times.elapsed
    for block in compiled.recipe.trials:
        for entry in block.entries():
            value = entry.value
            if entry.label.key != "took" or not isinstance(value, Measure):
                continue
            if value.quantity.dimension != "time":
                continue
            low, high = quantities.extent(value.quantity, kitchen.settings.measures)
            work = _until_it_is_done(batch)
            if high * _UNLIKE < work.low or low > planned.high * _UNLIKE:
                yield find(
                    "took-unlike-plan",
                    entry.value.span,
                    f"The trial took {duration(low, high)}, but the steps come to "
                    f"{duration(min(work.low, planned.low), planned.high)}.",
                    "Look for a time in the steps that has slipped, or one that is missing.",
                )


_NOT_WAITED_FOR: Final = 3 * _HOUR


def _until_it_is_done(batch: Batch) -> Extent:
    """How long the work takes: without cooling what is kept, and without waits of hours, which nobody counts."""
    steps = []
    for step in batch.steps:
        cools = any(isinstance(run, ChangeRun) for line in step.lines for run in line)
        lines = tuple(tuple(run for run in line if not _not_waited_for(run)) for line in step.lines)
        steps.append(replace(step, lines=() if cools else lines))
    return elapsed(replace(batch, steps=tuple(steps)))[0]


def _not_waited_for(run: Run) -> bool:
    return isinstance(run, DurationRun) and run.hands_off and run.duration.high >= _NOT_WAITED_FOR


def _equipment(compiled: Compiled) -> str:
    words: list[str] = []
    for block in compiled.recipe.equipment:
        for line in block.lines:
            if isinstance(line, ProseLine):
                words += [piece.text for piece in line.pieces if isinstance(piece, Text)]
            elif isinstance(line, Entry):
                words.append(line.label.text)
    return " | ".join(words)
