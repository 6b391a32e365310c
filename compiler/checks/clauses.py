"""A step's prose as a cook hears it: which words each time and each temperature belong to."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler.batch import DrawRun, DurationRun, Extent, LoadRun, TemperatureRun, TextRun
from benchproof.compiler.compile import Compiled
from benchproof.compiler.formula import Item
from benchproof.compiler.heat import Event, events, lead_up
from benchproof.compiler.method import Method, StepMethod
from benchproof.compiler.verbs import MARK, Verb, carries_on, sentences, verbs_in

OVENS: Final = frozenset({"oven", "fan oven"})

STONE: Final = re.compile(
    r"\b(?:pizza\w*|pizze|flat ?breads?|pitt?as?|naans?|tandoor\w*|lavash|wood|stone|embers|deck oven|kiln|focaccia)\b",
    re.IGNORECASE,
)
"""Words of an oven that goes hotter than a kitchen's."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of prose: its text with a mark for every fact, and where in that text each event begins."""

    step: StepMethod
    number: int
    events: tuple[Event, ...]
    text: str
    starts: tuple[int, ...]

    def sentence(self, at: int) -> tuple[int, int]:
        """The sentence that holds a place of the text."""
        for start, end in sentences(self.text):
            if start <= at < end:
                return start, end
        return 0, len(self.text)

    def said(self, event: Event) -> str:
        """The sentence that a fact stands in."""
        start, end = self.sentence(self.starts[self.events.index(event)])
        return self.text[start:end]


@dataclass(frozen=True, slots=True)
class Timed:
    """A time and what is done in it.

    `words` are those since the time before it; `verbs` what they tell the cook to do, taken over from before where
    they only carry on. `oven` is how hot the oven was last said to be in the step, `load` the load it is for.
    """

    line: Line
    event: Event
    run: DurationRun
    words: str
    sentence: str
    verbs: tuple[Verb, ...]
    fresh: bool
    oven: Extent | None
    load: LoadRun | None

    def does(self, *names: str) -> bool:
        return any(verb.name in names for verb in self.verbs)


def words_of(compiled: Compiled) -> str:
    """All that a recipe says of itself and of its steps."""
    words = [compiled.recipe.name.text]
    for step in compiled.method.steps:
        words.append(step.name.text)
        words += [line.text for line in lines_of(step)]
    for tag in compiled.recipe.block.entries():
        if tag.label.key in ("tags", "summary", "also", "style"):
            words.append(tag.value.span.text)
    return " ".join(words)


def lines_of(step: StepMethod) -> list[Line]:
    found: list[Line] = []
    gathered: list[Event] = []
    for event in events(step):
        if gathered and event.line != gathered[0].line:
            found.append(_line(step, gathered))
            gathered = []
        gathered.append(event)
    if gathered:
        found.append(_line(step, gathered))
    return found


def _line(step: StepMethod, gathered: list[Event]) -> Line:
    text = ""
    starts: list[int] = []
    for event in gathered:
        starts.append(len(text))
        text += event.run.text if isinstance(event.run, TextRun) else MARK
    return Line(step, gathered[0].line, tuple(gathered), text, tuple(starts))


def times_of(step: StepMethod) -> Iterator[Timed]:
    """The times of a step, each with what is done in it."""
    verbs: tuple[Verb, ...] = ()
    oven: Extent | None = None
    ended = True
    for line in lines_of(step):
        load: LoadRun | None = None
        since = 0
        if ended:
            verbs = ()
        for event, start in zip(line.events, line.starts, strict=True):
            match event.run:
                case TemperatureRun() if event.run.place in OVENS:
                    oven = event.run.temperature
                case LoadRun():
                    load = event.run
                case DurationRun():
                    words = line.text[since:start]
                    new = _last_told(words)
                    if new:
                        verbs = new
                    elif not (carries_on(words) and (since or not ended)):
                        verbs = ()
                    sentence = line.text[slice(*line.sentence(start))]
                    yield Timed(line, event, event.run, words, sentence, verbs, bool(new), oven, load)
                    since = start + 1
                case _:
                    pass
        rest = line.text[since:]
        if new := _last_told(rest):
            verbs = new
        elif rest.strip(" .,;") and not carries_on(rest):
            verbs = ()
        ended = line.text.rstrip().endswith((".", "!", "?", MARK))


def _last_told(words: str) -> tuple[Verb, ...]:
    """What the last sentence with something to do in it tells the cook."""
    for start, end in reversed(sentences(words)):
        if told := verbs_in(words[start:end]):
            return tuple(dict.fromkeys(one.verb for one in told))
    return ()


def items_before(method: Method, step: StepMethod) -> list[Item]:
    """What has gone into the food by the end of a step, what its parts were made of included."""
    found: list[Item] = []
    for one in (*lead_up(method, step), step):
        for drawn in one.draws:
            if drawn.item is not None:
                found += _all(drawn.item)
            elif drawn.part is not None:
                for item in drawn.part.items:
                    found += _all(item)
    return found


def _all(item: Item) -> list[Item]:
    """An ingredient, or what the recipe it comes from is made of."""
    if item.product is None:
        return [item]
    return [inner for one in item.product.items() for inner in _all(one)]


def drawn_in(line: Line) -> list[Item]:
    """What a line takes, parts included."""
    found: list[Item] = []
    for event in line.events:
        if isinstance(event.run, DrawRun) and event.drawn is not None:
            if event.drawn.item is not None:
                found += _all(event.drawn.item)
            elif event.drawn.part is not None:
                found += [inner for item in event.drawn.part.items for inner in _all(item)]
    return found


def share_of(items: list[Item], *kinds: str) -> Fraction:
    """The share by weight of some kinds in what is weighed of a list; nought of nothing."""
    whole = sum((item.weight for item in items if item.weight), Fraction(0))
    part = sum((item.weight for item in items if item.weight and item.kind in kinds), Fraction(0))
    return part / whole if whole else Fraction(0)
