"""Where food stands, and for how long: a walk through the method with what has come together so far.

Each line of a step is cut into clauses, and each clause is somewhere: cold, hot, at the warmth of the room, or at a
temperature between hot and cold that is written there. It is told by its facts first, then by its words, and where
neither says, it is where it was before.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from benchproof.compiler.batch import ChangeRun, DrawRun, DurationRun, TemperatureRun, TextRun, TurnsRun
from benchproof.compiler.food_safety import (
    CODE_BOTH,
    COLD,
    SECOND_STAGE,
    STAGE_ONE,
    STAGE_TWO,
    STAGES,
    STANDARD_ZONE,
)
from benchproof.compiler.formula import Formula, Item
from benchproof.compiler.heat import Event, events, lead_up
from benchproof.compiler.method import Drawn, Method, StepMethod
from benchproof.compiler.perils import dryness, is_flesh, is_flour, is_raw_flesh, spoils
from benchproof.compiler.ratios import YEASTS
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import Text

Place: TypeAlias = Literal["cold", "room", "hot", "between"]

HOT: Final = STANDARD_ZONE[1].celsius
"""C from which food is held hot: 60 C (FSANZ Standard 3.2.2); the Food Code's 135 F is a little lower."""

WARM_FRIDGE: Final = Fraction(8)
"""C up to which a cold place is still a fridge, though too warm a one: our own choice."""

OVERNIGHT: Final = Fraction(8 * 3600)
"""s that `overnight` is taken for where no time is written: our own choice."""


@dataclass(frozen=True, slots=True)
class Clause:
    """A piece of a line that says one thing: its facts, and its words as written."""

    step: StepMethod
    line: int
    events: tuple[Event, ...]
    words: str
    texts: tuple[Span, ...]

    @property
    def temperatures(self) -> Iterator[TemperatureRun]:
        return (event.run for event in self.events if isinstance(event.run, TemperatureRun))

    @property
    def draws(self) -> Iterator[Drawn]:
        return (event.drawn for event in self.events if event.drawn is not None)

    def says(self, pattern: re.Pattern[str]) -> bool:
        return pattern.search(self.words) is not None


_BREAK: Final = re.compile(
    r"[.;!?](?:\s|$)|,?\s*\b(?:then|before|afterwards)\b|,\s+and\s+(?=into\b)"
    r"|(?:\band|,)\s+(?=(?:put|move|keep|hold|chill|refrigerate|freeze|set|drain|serve|leave|rest|cool|stand|simmer"
    r"|bake|boil|roast|fry|grill|cook|marinate|store|transfer|return|toast|eat)\b)",
    re.I,
)


def clauses(step: StepMethod) -> Iterator[Clause]:
    """The clauses of a step's prose, in order."""
    held: list[Event] = []
    words: list[str] = []
    texts: list[Span] = []
    line = -1

    def cut() -> Iterator[Clause]:
        if held or any(word.strip() for word in words):
            yield Clause(step, line, tuple(held), "".join(words), tuple(texts))
        held.clear()
        words.clear()
        texts.clear()

    for event in events(step):
        if event.line != line:
            yield from cut()
            line = event.line
        if not isinstance(event.run, TextRun):
            held.append(event)
            words.append(" [] ")
            continue
        start = 0
        for found in _BREAK.finditer(event.run.text):
            words.append(event.run.text[start : found.start()])
            texts.append(event.piece.span)
            yield from cut()
            start = found.end()
        words.append(event.run.text[start:])
        if event.run.text[start:].strip():
            texts.append(event.piece.span)
    yield from cut()


_LIFTED: Final = re.compile(
    r"\b(?:off|from|away from) the (?:heat|hob|flame|oven|pan|pot|broth|hot water)\b"
    r"|\b(?:take|lift|turn|draw)\w* (?:it |them )?(?:out|off)\b|\btake\b[^.;]*\bout of the oven\b"
    r"|\bout of the (?:oven|water|broth|pan|pot|hot water|fryer)\b",
    re.I,
)
_OUT_OF_THE_COLD: Final = re.compile(r"\b(?:out of|from) the (?:fridge|freezer|cold(?: room)?)\b", re.I)
_COLD: Final = re.compile(
    r"\b(?:fridge|refrigerat\w+|chill(?:ed|ing|er)?|freez(?:e|er|ing)|cold room|cool room|walk-in|cool box"
    r"|(?:in|on|over|of) ice|iced? (?:water|bath)|ice-?bath|cold (?:bath|running water)|cold water|snow)\b",
    re.I,
)
_OUT: Final = re.compile(
    r"\b(?:bench|counter|worktop|work surface|work top|kitchen table|window ?sill|room temperature|room warmth"
    r"|room heat|at room|in the room|warm (?:place|spot|corner|room)|airing cupboard|in the sun|ambient"
    r"|unrefrigerated|buffet|sideboard)\b|\bon the (?:side|table)\b",
    re.I,
)
_WARM: Final = re.compile(
    r"\b(?:keep|keeps|kept|hold|held|stay|leave|left) (?:it |them |everything |the \w+ )?warm\b|\bkeep[- ]warm\b"
    r"|\bwarming drawer\b",
    re.I,
)
_COOLS: Final = re.compile(r"\b(?:cool|cools|cooling|cool down|thaw\w*|defrost\w*)\b|\buntil cold\b", re.I)
_HEATS: Final = re.compile(
    r"\b(?:boil|boils|boiling|simmer\w*|bake|bakes|baking|roasting|fry|fries|frying|grill|grills|grilling|steam"
    r"|steams|steaming|poach|poaches|poaching|braise|braising|stewing|cook|cooks|cooking|heat|heats|heating|oven"
    r"|griddle|flame|hob|barbecue|bubbl\w+|sear|brown|char|saut\w+|sweat|soften|reheat\w*|microwave\w*"
    r"|slow[- ]cook\w*|pressure[- ]cook\w*|toasting|sizzl\w+|scald|blanch|wilt|embers|rolling|toast)\b"
    r"|(?<!the )\b(?:roast|stew|braise)\b",
    re.I,
)
_STANDS: Final = re.compile(
    r"\b(?:leave|left|stand|stands|standing|set aside|prove|proves|rise|rises|wait|waits|marinat\w+|soak|soaks|steep"
    r"|infuse|hang|dry|settle|ferment\w*|ripen|resting|sit|sits|cover)\b|(?<!the )\brests?\b",
    re.I,
)
_PREHEAT: Final = re.compile(
    r"^\W*(?:pre-?heat|heat|light|fire|turn)\b|\boven\b[^.;]*\b(?:heats|comes|is coming|reaches)\b", re.I
)
_HELD_HOT: Final = re.compile(r"\b(?:hold|keep|held|kept) (?:it |them )?hot\b", re.I)
_OVERNIGHT: Final = re.compile(r"\bover-?night\b|\ball night\b", re.I)
THAWS: Final = re.compile(r"\b(?:thaw|thaws|thawing|defrost|defrosts|defrosting|unfreeze)\b", re.I)


def place_of(clause: Clause, before: Place) -> tuple[Place, Fraction | None]:
    """Where a clause is, and the temperature that says so, where one does."""
    text = _OUT_OF_THE_COLD.sub(" ", clause.words)
    out = text != clause.words
    words = _LIFTED.sub(" ", text)
    lifted = words != text
    facts = list(clause.temperatures)
    for run in facts:
        if run.place in ("fridge", "freezer"):
            low = run.temperature.low
            between = (
                STANDARD_ZONE[0].celsius < low <= WARM_FRIDGE
            )  # above that it is no fridge, and is told so
            return ("between" if between else "cold"), low
    if clause.says(_OUT) or any(run.place == "room" for run in facts):
        room = next((run.temperature.high for run in facts if run.place == "room"), None)
        return "room", room
    change = next((event.run for event in clause.events if isinstance(event.run, ChangeRun)), None)
    if _COLD.search(words):
        return "cold", None
    if change is not None:
        return ("cold" if change.end.low <= COLD.celsius else "room"), None
    hot = [run for run in facts if run.place in ("oven", "fan oven", "pan", "oil", "core")]
    plain = [run for run in facts if run.place is None]
    if hot:
        top = max(run.temperature.high for run in hot)
        core = any(run.place == "core" and run.temperature.high >= _COOKING for run in hot)
        slipped = top < _COOKING and not any(run.place == "core" for run in hot)
        return ("hot" if core or slipped or top >= HOT else "between"), top
    for run in plain:
        low = run.temperature.low
        if low <= STANDARD_ZONE[0].celsius:
            return "cold", low
        return ("hot" if run.temperature.high >= HOT else "between"), run.temperature.high
    if _HELD_HOT.search(words):
        return "hot", None
    if _WARM.search(words):
        return "between", None
    if _COOLS.search(words):
        return "room", None
    if _HEATS.search(words):
        return "hot", None
    if lifted or out or _STANDS.search(words):
        return ("room" if before != "cold" or out or _LEFT.search(words) else before), None
    return before, None


_COOKING: Final = Fraction(40)
"""C from which a core temperature is one of cooking; whether it is enough is asked elsewhere. Below it no oven or pan
is meant: `[18 C oven]` is a slip that has a finding of its own."""

_LEFT: Final = re.compile(r"\b(?:leave|left|stand|rest)\b", re.I)
"""Said of food that was cold, it is out of the cold again, unless the fridge is spoken of."""


@dataclass(frozen=True, slots=True)
class Held:
    """Some of an ingredient in the bowl: `age` is the s it stood neither cold nor hot, since it was last cooked."""

    item: Item
    grams: Fraction
    cooked: bool = False
    age: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Stay:
    """A stretch in which something that spoils stood neither cold nor hot.

    `worst` is the food that spoils, the heaviest; `spent` the s of this stretch, `total` with what came before it.
    `cooked` tells whether it had been cooked by then; `batter` whether it is raw, and no flesh; `temperature` is C,
    None where none is known; `text` how long it is, as written; `order` the number of its clause.
    """

    step: StepMethod
    span: Span
    place: Place
    temperature: Fraction | None
    worst: Item
    cooked: bool
    spent: Fraction
    total: Fraction
    text: str
    thaws: bool
    batter: bool
    order: int


@dataclass(frozen=True, slots=True)
class Heating:
    """A clause that cooks. `only` are the draws that it cooks alone: a syrup boiled beside the eggs.

    `lingering` where nothing in its step is hot, and only what came before it was; `drawn` are its step's draws
    up to it.
    """

    step: int
    order: int
    only: frozenset[tuple[int, int]] | None
    lingering: bool
    drawn: frozenset[tuple[int, int]]


@dataclass(slots=True)
class Walk:
    """The whole method gone through once."""

    stays: list[Stay] = field(default_factory=list)
    heatings: list[Heating] = field(default_factory=list)
    drawn: dict[tuple[int, int], int] = field(default_factory=dict)
    """In the order of clauses: where a line was last drawn."""
    pots: list[tuple[Clause, int, tuple[Held, ...]]] = field(default_factory=list)
    """What was together in each clause."""
    places: list[tuple[Clause, Place]] = field(default_factory=list)

    def heated_after(self, index: tuple[int, int], *, itself: bool) -> bool:
        """Whether something is cooked from when a line was last drawn.

        `itself`: not what is boiled beside it, and not what only lingers from the step before.
        """
        order = self.drawn.get(index)
        return order is None or any(
            heating.order >= order
            and (
                not itself
                or (
                    (heating.only is None or index in heating.only)
                    and not (heating.lingering and index in heating.drawn)
                )
            )
            for heating in self.heatings
        )


_THIN: Final = frozenset(
    {"liquid", "milk", "plant milk", "cream", "sugar", "syrup", "chocolate", "fat", "oil", "salt"}
)


def walk(formula: Formula, method: Method, room: Fraction | None = None) -> Walk:
    """Go through the method. `room` is how warm the kitchen is, where that is stated."""
    return _Walker(formula, method, room).walk()


class _Walker:
    def __init__(self, formula: Formula, method: Method, room: Fraction | None) -> None:
        self.formula = formula
        self.method = method
        self.room = room
        self.found = Walk()
        self.ends: dict[int, tuple[dict[tuple[int, int], Held], Place]] = {}
        self.order = 0

    def walk(self) -> Walk:
        for step in self.method.steps:
            self._step(step)
        return self.found

    def _step(self, step: StepMethod) -> None:
        pot: dict[tuple[int, int], Held] = {}
        place: Place = "room"
        for before in lead_up(self.method, step):
            if before.number in self.ends:
                held, place = self.ends[before.number]
                pot.update(held)
        # A step beside another that takes nothing (an oven heating) is not about the food in the bowl.
        aside = step.during is not None and not step.draws
        beginning = dict(pot)
        here: set[tuple[int, int]] = set()
        for clause in clauses(step):
            self.order += 1
            for drawn in clause.draws:
                self._draw(drawn, step, pot)
            here |= {drawn.index for drawn in clause.draws if drawn.index is not None}
            place = self._clause(clause, pot, place, frozenset(here), aside=aside)
        self.ends[step.number] = (beginning if aside else pot, place)

    def _draw(self, drawn: Drawn, step: StepMethod, pot: dict[tuple[int, int], Held]) -> None:
        if drawn.item is not None and drawn.index is not None:
            grams = drawn.weight or Fraction(0)
            old = pot.get(drawn.index)
            if old is not None and not old.cooked:
                grams += old.grams
            pot[drawn.index] = Held(drawn.item, grams, age=old.age if old else Fraction(0))
            self.found.drawn[drawn.index] = self.order
            return
        part = drawn.part
        if part is None:
            return
        number = next((at for at, one in enumerate(self.formula.parts) if one is part), None)
        made: dict[tuple[int, int], Held] = {}
        for before in self.method.steps:
            if before.number >= step.number or before.number not in self.ends:
                continue
            if before.part is not None and part.name is not None and before.part.key == part.name.key:
                made.update(self.ends[before.number][0])
        for at, item in enumerate(part.items):
            if number is not None and item.weight and (number, at) not in made:
                made[number, at] = Held(item, item.weight)
                self.found.drawn[number, at] = self.order
        pot.update(made)

    def _clause(
        self,
        clause: Clause,
        pot: dict[tuple[int, int], Held],
        before: Place,
        here: frozenset[tuple[int, int]],
        *,
        aside: bool,
    ) -> Place:
        place, temperature = place_of(clause, before)
        oven = any(run.place in ("oven", "fan oven") for run in clause.temperatures)
        if (
            place == "hot"
            and (oven or clause.says(_OVEN))
            and clause.says(_PREHEAT)
            and not any(clause.draws)
        ):
            return before
        self.found.pots.append((clause, self.order, tuple(pot.values())))
        self.found.places.append((clause, place))
        if place == "hot":
            self._cook(clause, pot, here)
        elif place in ("room", "between") and not aside:
            self._stand(clause, pot, place, temperature)
        return place

    def _cook(
        self, clause: Clause, pot: dict[tuple[int, int], Held], here: frozenset[tuple[int, int]]
    ) -> None:
        own = [drawn.index for drawn in clause.draws if drawn.index is not None]
        kinds = {drawn.item.kind for drawn in clause.draws if drawn.item is not None}
        placed = any(run.place in ("oven", "fan oven", "oil", "core") for run in clause.temperatures)
        greasy = kinds <= {"fat", "oil", "salt"}  # what something else is fried in
        only = frozenset(own) if own and kinds <= _THIN and not greasy and not placed else None
        told = place_of(clause, "room")[0] == "hot" or clause.says(_STILL_HOT)
        told = told or any(
            one.step == clause.step.number and not one.lingering for one in self.found.heatings
        )
        self.found.heatings.append(Heating(clause.step.number, self.order, only, not told, here))
        for index, held in pot.items():
            if only is None or index in only:
                pot[index] = replace(held, cooked=True, age=Fraction(0))

    def _stand(
        self,
        clause: Clause,
        pot: dict[tuple[int, int], Held],
        place: Place,
        temperature: Fraction | None,
    ) -> None:
        for span, seconds, text in _waits(clause):
            for index, held in pot.items():
                pot[index] = replace(held, age=held.age + seconds)
            worst = _worst(pot.values())
            if worst is None:
                continue
            warmth = temperature if temperature is not None else self.room if place == "room" else None
            self.found.stays.append(
                Stay(
                    clause.step,
                    span,
                    place,
                    warmth,
                    worst.item,
                    worst.cooked,
                    seconds,
                    worst.age,
                    text,
                    clause.says(THAWS),
                    not worst.cooked and not is_flesh(worst.item),
                    self.order,
                )
            )


_STILL_HOT: Final = re.compile(r"\b(?:hot|soup|broth|stew|pan|wok|pot|sauce|custard|flame|steaming)\b", re.I)
"""Said of what is still hot: an egg stirred into a soup is cooked by it."""

_OVEN: Final = re.compile(r"\boven\b", re.I)


def _waits(clause: Clause) -> Iterator[tuple[Span, Fraction, str]]:
    """The times in a clause over which food stands by itself, in s, the far end of a range."""
    timed = False
    for event in clause.events:
        run = event.run
        if isinstance(run, DurationRun) and (run.hands_off or run.limit == "up to"):
            timed = True
            long = run.duration.low if run.limit == "at least" else run.duration.high
            yield event.piece.span, long, run.text
        elif isinstance(run, TurnsRun) and run.every is not None:
            timed = True
            yield event.piece.span, run.times.high * run.every.high, run.text
        elif isinstance(run, DurationRun | ChangeRun):
            timed = True
    if timed:
        return
    for span in clause.texts:
        if found := _OVERNIGHT.search(span.text):
            if _OVERNIGHT.search(clause.words):
                yield span.part(found.start(), found.end()), OVERNIGHT, found[0]
            return


def _worst(pot: Iterable[Held]) -> Held | None:
    """What spoils in it, the oldest and then the heaviest; None where nothing does, or a dough is rising."""
    held = [one for one in pot if one.item.purpose is None or is_raw_flesh(one.item)]
    total = sum((one.grams for one in held), Fraction(0))
    if not total:
        return None
    raw_flesh = [one for one in held if not one.cooked and is_raw_flesh(one.item) and one.grams * 20 >= total]
    if raw_flesh and not is_rising(held):
        return max(raw_flesh, key=lambda one: (one.age, one.grams))
    if is_rising(held) or _is_cultured(held):
        return None
    parts: dict[int, list[Held]] = {}
    for one in held:
        parts.setdefault(one.item.part, []).append(one)
    risky: list[Held] = []
    for part in parts.values():
        wet = [one for one in part if spoils(one.item, cooked=one.cooked)]
        weight = sum((one.grams for one in part), Fraction(0))
        spoiling = sum((one.grams for one in wet), Fraction(0))
        cooked = any(one.cooked for one in part)
        if not wet or spoiling * 20 < weight:
            continue
        if cooked and dryness([(one.item, one.grams) for one in part], cooked=True):
            continue
        if not cooked and sum((one.grams for one in part if is_dry(one.item)), Fraction(0)) >= spoiling:
            continue
        risky += wet
    risky = [one for one in risky if one.grams * 20 >= total]
    return max(risky, key=lambda one: (one.age, one.grams), default=None)


_CULTURES: Final = re.compile(r"\b(?:buttermilk|kefir|culture|rennet|yogh?urt)\b")


def _is_cultured(held: list[Held]) -> bool:
    """Whether milk or cream is being soured on purpose by a culture that goes in raw."""
    if any(one.item.kind == "starter" for one in held):
        return True
    souring = any(
        not one.cooked and (one.item.kind == "yoghurt" or _CULTURES.search(one.item.name.key)) for one in held
    )
    spoiling = [one.item for one in held if spoils(one.item, cooked=one.cooked)]
    return souring and all(item.kind in ("milk", "cream", "plant milk") for item in spoiling)


def is_dry(item: Item) -> bool:
    """Whether it binds the water of what it is mixed with."""
    return is_flour(item) or item.kind in ("sugar", "syrup", "chocolate")


def is_rising(pot: Sequence[Held]) -> bool:
    """Whether a dough or a batter with yeast or a starter is rising: what grows in it is meant to."""
    if not any(one.item.kind in (*YEASTS, "starter") for one in pot):
        return False
    total = sum((one.grams for one in pot if not one.cooked), Fraction(0))
    flour = sum((one.grams for one in pot if is_flour(one.item) and not one.cooked), Fraction(0))
    return bool(total) and flour * 5 >= total


def text_of(step: StepMethod) -> str:
    """All the words of a step, its name and what it draws included."""
    lines = (
        "".join(run.text if isinstance(run, TextRun | DrawRun) else f"[{run.text}]" for run in line)
        for line in step.lines
    )
    return "\n".join([step.name.text, *lines])


def prose_spans(step: StepMethod, pattern: re.Pattern[str]) -> Iterator[Span]:
    """Where a pattern stands in a step's words, as close as the text allows."""
    for prose in step.block.prose():
        for piece in prose.pieces:
            if isinstance(piece, Text) and (found := pattern.search(piece.text)):
                text = piece.span.text
                start = text.find(found[0])
                yield piece.span.part(start, start + len(found[0])) if start >= 0 else piece.span


# ---------------------------------------------------------------- cooling

_HOUR: Final = Fraction(3600)


def too_slow(run: ChangeRun, *, before: Fraction = Fraction(0), together: bool = False) -> Fraction | None:
    """The most h that a change may take, where it takes more; None where it is quick enough or no cooling.

    60 C to 21 C within 2 h, and to 5 C within 4 h more. `before` is the s that the stage above 21 C took; with
    `together` only the sum of 6 h counts for the second stage, as in the Food Code.
    """
    start, end = run.start.high, run.end.low
    if end >= start or start <= STAGES[1]:
        return None
    seconds = run.duration.high
    first, second = STAGE_ONE.seconds, STAGE_TWO.seconds
    if start <= SECOND_STAGE:
        most = CODE_BOTH.seconds - before if together and before else second
    elif end >= STAGES[0]:
        most = first
    else:
        most = first + second
    return most / _HOUR if seconds > most else None
