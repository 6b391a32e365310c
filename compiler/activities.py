"""A Batch's method as a net: what is done, what goes by itself, what must follow what, and what is in use.

A hands-off time is a deadline for what follows it where it is a range, a turn, or on the heat: dough and toast do not
wait for the cook. A single time off the heat, and `at least`, may stand longer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from benchproof.compiler import display
from benchproof.compiler.batch import (
    Batch,
    ChangeRun,
    DrawRun,
    DurationRun,
    Equipment,
    Extent,
    LoadRun,
    MeasureRun,
    Run,
    Step,
    TemperatureRun,
    TextRun,
    TurnsRun,
)
from benchproof.compiler.day import Doing
from benchproof.compiler.syntax import name_key

OVEN_HEATS: Final = Fraction(15 * 60)
"""s for an oven to be hot, or to change its temperature: common practice, no source."""
PAN_HEATS: Final = Fraction(5 * 60)
"""s for a pan or griddle on the hob: common practice, no source."""
OIL_HEATS: Final = Fraction(10 * 60)
"""s for a pan of oil to fry in: common practice, no source."""

MOST_LOADS: Final = 24
"""Loads and turns up to so many are planned one by one; more are one long piece of work."""

_BOILS: Final = Fraction(100)
"""C at which water boils, at sea level."""

_OVENS: Final = frozenset({"oven", "fan oven"})
_HOBS: Final = frozenset({"pan", "oil"})
_COLD: Final = frozenset({"fridge", "freezer", "room"})
_HEATING: Final = re.compile(r"\b(?:pre-?heat|heat|get)\b", re.I)
_OUT: Final = re.compile(
    r"\b(?:cool|rack|out of the oven|out of the pan|take (?:it|them) (?:out|off)|remove|turn out|off the heat|rest|"
    r"stand|chill|fridge|unmould|lift (?:it|them) out|knock|freeze|drain|let|leave(?! (?:it |them )?in the oven))\b",
    re.I,
)
_VESSEL: Final = re.compile(
    r"\b(?:bowl|pot|pan|griddle|tin|tins|dish|tray|trays|casserole|basin|jug|crock|wok|skillet|kettle|cooker|steamer)\b"
)
_DIGIT: Final = re.compile(r"\d")
_TIN: Final = re.compile(r"\b(?:tin|tins|dish|dishes|tray|trays|sheet|casserole|ramekins|moulds?)\b")
_SENTENCE: Final = re.compile(r"(?<=[.;!?])\s+")


@dataclass(slots=True)
class Task:
    """An activity before it has a time. `deadline` tells whether what follows may not wait past its long end."""

    recipe: int
    step: int
    name: str
    doing: Doing
    text: str
    duration: Extent
    load: tuple[int, int] | None = None
    place: str | None = None
    temperature: Extent | None = None
    deadline: bool = False
    may_stand: bool = False
    """`at least`: it may stand longer, whatever it is."""
    added: bool = False
    attends: bool = False
    """A moment at the end of what goes by itself: off the heat, out of the oven."""
    rises: bool = False
    tools: list[str] = field(default_factory=list)
    warmth: Extent | None = None
    """How warm the room is said to be in which it stands."""
    goes: tuple[str, Fraction, Fraction] | None = None
    """A tool that holds less than there is, how much there is, and how much it holds: g."""

    @property
    def length(self) -> Fraction:
        return self.duration.high


@dataclass(frozen=True, slots=True)
class Link:
    """`after` begins when `before` has ended (or, with `begun`, has begun). `tight`: and no later than that."""

    before: int
    after: int
    tight: bool = False
    begun: bool = False


@dataclass(frozen=True, slots=True)
class Held:
    """A thing in use from the beginning of one task to the end of another; an oven at `state`."""

    thing: str
    first: int
    last: int
    state: str | None = None


@dataclass(slots=True)
class Net:
    """All that is to be done in a day, and what lies between."""

    tasks: list[Task] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    held: list[Held] = field(default_factory=list)
    stock: dict[str, int] = field(default_factory=dict)
    instead: dict[tuple[int, str], str] = field(default_factory=dict)
    """For a recipe's tool, the one that will do instead."""
    untimed: list[int] = field(default_factory=list)
    """Tasks of steps that give no time."""


def net(batches: Sequence[Batch], stock: Sequence[Equipment] = ()) -> Net:
    """The net of several batches made by the same people in the same kitchen. `stock` is what that kitchen has."""
    whole = Net()
    for one in stock:
        key = tool_key(one.name)
        whole.stock[key] = max(whole.stock.get(key, 0), int(one.count or 1))
    for at, batch in enumerate(batches):
        _Batch(whole, at, batch).add()
    return whole


def tool_key(name: str) -> str:
    """What a tool is called for short: `9 cm rings` and `griddle or wide pan with a lid` are `rings` and `griddle`."""
    short = re.split(r",|\b(?:with|of|or|for|lined|that|which|to|in)\b|\(", name)[0]
    words = [
        word for word in name_key(short).split() if not re.fullmatch(r"[\d./x-]+|cm|mm|l|litre|inch", word)
    ]
    return " ".join(words)


@dataclass(frozen=True, slots=True)
class _Tool:
    key: str
    words: tuple[str, ...]
    holds: Fraction | None

    def named_in(self, text: str) -> bool:
        return bool(self.words) and all(re.search(rf"\b{re.escape(word)}", text) for word in self.words)


class _Batch:
    def __init__(self, whole: Net, at: int, batch: Batch) -> None:
        self.net = whole
        self.at = at
        self.batch = batch
        self.first: dict[int, int] = {}
        self.last: dict[int, int] = {}
        self.tools = list(self._tools())
        self.living = any(_lives(line.kind) for part in batch.parts for line in part.lines)
        self.risen: set[int] = set()

    def _tools(self) -> Iterator[_Tool]:
        for one in self.batch.equipment:
            key = tool_key(one.name)
            if not key or key in ("oven", "hob", "scale", "scales", "thermometer"):
                continue
            words = tuple(key.split())
            self.net.stock.setdefault(key, 1)
            if one.count:
                self.net.stock[key] = max(self.net.stock[key], int(one.count))
            yield _Tool(key, words[-1:], one.holds)
            others = one.instead or next(iter(re.split(r"\bor\b", one.name)[1:]), "")
            if other := tool_key(others):
                self.net.instead[self.at, key] = other
                self.net.stock.setdefault(other, 1)

    # ------------------------------------------------------------ steps

    def add(self) -> None:
        waited_for: set[int] = set()
        for step in self.batch.steps:
            begins = len(self.net.tasks)
            self.first[step.number], self.last[step.number] = begins, self._step(step)
            first = self.net.tasks[begins]
            stands = first.doing == "wait" and first.place is None and len(step.after) == 1
            for number in step.after:
                last = self.net.tasks[self.last[number]]
                goes_on = stands and last.doing == "work"  # what is put to rest rests from then on
                tight = (last.deadline or goes_on) and number not in waited_for and first.doing != "heat"
                if first.doing != "heat":  # what gets hot takes no dough on
                    waited_for.add(number)
                self.net.links.append(Link(self.last[number], begins, tight))
            if step.during is not None:
                self.net.links.append(Link(self.first[step.during], begins, begun=True))
        self._into_the_oven()
        self._ovens()

    def _step(self, step: Step) -> int:
        """Add a step's tasks. The last of them, which those that come after wait for."""
        begins = len(self.net.tasks)
        for task in self._tasks(step):
            before = self.net.tasks[-1] if len(self.net.tasks) > begins else None
            if before is not None and before.deadline and before.place is not None and task.doing == "wait":
                self.net.tasks.append(_moment(before))  # taken out, or turned down
            self.net.tasks.append(task)
        if len(self.net.tasks) == begins:
            self.net.untimed.append(begins)
            words = " ".join("".join(self._said(run) for run in line) for line in step.lines).strip()
            self.net.tasks.append(
                Task(self.at, step.number, step.name, "work", words, Extent(Fraction(0), Fraction(0)))
            )
        if self.living:
            self._rises(step, begins)
        for at in range(begins + 1, len(self.net.tasks)):
            before, task = self.net.tasks[at - 1], self.net.tasks[at]
            on_the_heat = before.place is not None and before.load == task.load
            runs_on = before.deadline or on_the_heat or (before.doing == "work" and task.doing == "wait")
            self.net.links.append(Link(at - 1, at, runs_on))
        self._attend(step)
        last = len(self.net.tasks) - 1
        self._hold(step, begins)
        return last

    def _attend(self, step: Step) -> None:
        """A time that ends a step ends with a moment of the cook's. Then it may stand; only dough goes on rising."""
        last = self.net.tasks[-1]
        if not last.deadline or (last.rises and last.place is None):
            return
        self.net.tasks.append(_moment(last))
        self.net.links.append(Link(len(self.net.tasks) - 2, len(self.net.tasks) - 1, tight=True))

    def _rises(self, step: Step, begins: int) -> None:
        """From the step that takes the yeast on, what stands off the heat goes on rising."""
        yeast = any(self._brings_life(run) for line in step.lines for run in line if isinstance(run, DrawRun))
        before = set(step.after) if step.during is None else {step.during, *step.after}
        if not yeast and not before & self.risen:
            return
        cooked = False
        for task in self.net.tasks[begins:]:
            if task.place is not None and task.doing != "heat":
                cooked = True
            if cooked:
                task.rises = task.load is not None  # what is not yet in goes on rising
                continue
            task.rises = task.doing == "wait"
            task.deadline = task.deadline or (task.rises and not task.may_stand)
        if not cooked:
            self.risen.add(step.number)

    def _brings_life(self, run: DrawRun) -> bool:
        """Whether a draw brings yeast, a starter, or a preferment that was made of one."""
        if run.line is None:
            return any(part.name == run.name and part.role == "preferment" for part in self.batch.parts)
        part, line = run.line
        return _lives(self.batch.parts[part].lines[line].kind)

    # ------------------------------------------------------------ what is in a step

    def _tasks(self, step: Step) -> Iterator[Task]:
        """A step's tasks in the order of its prose. A heat holds until another place, or until it comes off it."""
        heat: TemperatureRun | None = None
        warmth: Extent | None = None
        weight = Fraction(0)
        made: list[Task] = []
        said = ""
        for line in step.lines:
            group: list[Task] = []
            loads = loaded = 0
            for sentence in _sentences(line):
                here = 0
                heat = heat or _said_after(sentence)
                for run in sentence:
                    match run:
                        case TextRun() if _OUT.search(run.text):
                            heat = None
                        case TemperatureRun() if run.place in _OVENS or run.place in _HOBS:
                            heat = run
                        case TemperatureRun() if run.place in _COLD:
                            heat, warmth = None, run.temperature if run.place == "room" else None
                        case ChangeRun():
                            heat = None
                        case DrawRun() if run.weight is not None:
                            weight += run.weight
                        case LoadRun() if run.loads is not None:
                            loads, loaded = int(run.loads.high), len(group)
                        case _:
                            pass
                    turning = isinstance(run, TurnsRun)
                    for task in self._timed(run, step):
                        if heat is not None:
                            task.place, task.temperature = heat.place, heat.temperature
                        if not turning:
                            task.text, said = _tidy(said), ""
                        elif task.doing == "work":
                            task.text = _tidy(said)
                        task.warmth = warmth
                        self._mark(task, _words(sentence), weight)
                        group.append(task)
                        here += 1
                    said = "" if turning else said + self._said(run)
                if here:
                    group[-1].text, said = _tidy(f"{group[-1].text} {said}"), ""
                else:
                    said += " "
            made += [*group[:loaded], *_loads(group[loaded:], loads)] if loads > 1 else group
        if made and said.strip():
            made[-1].text = _tidy(f"{made[-1].text} {said}")
        _take_out(made)
        yield from made

    def _said(self, run: Run) -> str:
        return _said(run, self.batch.asked.temperatures)

    def _timed(self, run: Run, step: Step) -> Iterator[Task]:
        """The task that a fact of the prose is, if it takes any time."""

        def task(doing: Doing, duration: Extent, *, deadline: bool = False, may_stand: bool = False) -> Task:
            return Task(
                self.at, step.number, step.name, doing, "", duration, deadline=deadline, may_stand=may_stand
            )

        match run:
            case DurationRun() if run.limit != "up to":
                ranged = run.duration.low != run.duration.high
                yield task(
                    "wait" if run.hands_off else "work",
                    run.duration,
                    deadline=run.hands_off and ranged and run.limit is None,
                    may_stand=run.limit == "at least",
                )
            case TurnsRun() if run.every is not None:
                if run.times.high > MOST_LOADS:
                    low, high = run.times.low * run.every.low, run.times.high * run.every.high
                    yield task("wait", Extent(low, high))
                    return
                for number in range(int(run.times.high)):
                    surely = number < run.times.low
                    yield task(
                        "wait", run.every if surely else Extent(Fraction(0), run.every.high), deadline=True
                    )
                    yield task("work", Extent(Fraction(0), Fraction(0)))
            case ChangeRun() if not run.within:
                yield task("wait", run.duration)
            case _:
                pass

    def _mark(self, task: Task, words: str, weight: Fraction) -> None:
        if task.doing == "wait" and task.place is not None:
            task.deadline = True  # what is on the heat burns
            if _HEATING.search(words) and self._only_heats(task):
                task.doing, task.deadline = "heat", False
        lowered = words.casefold()
        for tool in self.tools:
            if tool.named_in(lowered):
                task.tools.append(tool.key)
                if tool.holds is not None and weight > tool.holds and task.doing == "work":
                    goes = -(-weight // tool.holds)
                    task.duration = task.duration.times(Fraction(goes))
                    task.goes = (tool.key, weight, tool.holds)

    def _only_heats(self, task: Task) -> bool:
        """Whether a step draws nothing, so that what gets hot is the oven or the pan and not food."""
        step = self.batch.steps[task.step - 1]
        return not any(isinstance(run, DrawRun) for line in step.lines for run in line)

    # ------------------------------------------------------------ what is in use

    def _hold(self, step: Step, begins: int) -> None:
        tasks = self.net.tasks
        here = range(begins, len(tasks))
        for tool in self.tools:
            users = [at for at in here if tool.key in tasks[at].tools]
            if users:
                last = here[-1] if _VESSEL.search(tool.key) else users[-1]
                self.net.held.append(Held(f"tool:{tool.key}", users[0], last))
        hob = [at for at in here if tasks[at].place in _HOBS]
        if hob:
            self._heat_first(hob[0])
            self.net.held.append(Held("hob", hob[0], hob[-1]))

    def _into_the_oven(self) -> None:
        """A tin that is filled in one step and named in no other goes into the oven with the step that follows it."""
        tasks = self.net.tasks
        for number, held in enumerate(self.net.held):
            key = held.thing.removeprefix("tool:")
            alike = [
                one for one in self.net.held if one.thing == held.thing and tasks[one.first].recipe == self.at
            ]
            if alike != [held] or key == held.thing or not _TIN.search(key):
                continue
            for step in self.batch.steps:
                if tasks[held.last].step not in step.after:
                    continue
                mine = range(self.first[step.number], self.last[step.number] + 1)
                baked = [at for at in mine if tasks[at].place in _OVENS and tasks[at].doing == "wait"]
                if baked and not any(_TIN.search(tool) for at in mine for tool in tasks[at].tools):
                    self.net.held[number] = replace(held, last=baked[-1])
                    for at in baked:
                        tasks[at].tools.append(key)
                    break

    def _heat_first(self, task: int) -> None:
        """A pan or oil that is to be hot is heated before, unless the method says so itself."""
        one = self.net.tasks[task]
        if one.place is None or one.doing == "heat":
            return
        if one.doing == "wait" and (one.place == "pan" or _HEATING.search(one.text)):
            return
        if one.place == "pan" and one.temperature is not None and one.temperature.high <= _BOILS:
            return  # it gets hot with the water in it
        if any(
            other.doing == "heat" and other.place == one.place and other.recipe == self.at
            for other in self.net.tasks
        ):
            return
        heating = self._heating(task, OIL_HEATS if one.place == "oil" else PAN_HEATS)
        self.net.held.append(Held("hob", heating, heating))

    def _heating(self, task: int, length: Fraction) -> int:
        """Put in that the place of a task gets hot just before it."""
        one = self.net.tasks[task]
        self.net.tasks.append(
            Task(
                one.recipe,
                one.step,
                one.name,
                "heat",
                "",
                Extent(length, length),
                place=one.place,
                temperature=one.temperature,
                added=True,
            )
        )
        heating = len(self.net.tasks) - 1
        self.net.links.append(Link(heating, task, tight=True))
        return heating

    def _ovens(self) -> None:
        """One use of the oven for each run of tasks at one temperature, with its heating where the method has it."""
        tasks = self.net.tasks
        mine = [at for at, task in enumerate(tasks) if task.recipe == self.at and task.place in _OVENS]
        runs: list[list[int]] = []
        for at in mine:
            last = tasks[runs[-1][-1]] if runs else None
            if last is not None and (
                last.step == tasks[at].step or (last.doing == "heat" and _state(last) == _state(tasks[at]))
            ):
                runs[-1].append(at)
            else:
                runs.append([at])
        for run in runs:
            states = list(dict.fromkeys(_state(tasks[at]) for at in run))
            heated = tasks[run[0]].doing == "heat"
            first = run[0] if heated else self._heating(run[0], OVEN_HEATS)
            self.net.held.append(Held("oven", first, run[-1], ", then ".join(states)))


def _take_out(made: list[Task]) -> None:
    """Hands-on work that ends a bake is done on what has come out: the oven is free."""
    for at in reversed(range(1, len(made))):
        task, before = made[at], made[at - 1]
        after = made[at + 1] if at + 1 < len(made) else None
        goes_back = after is not None and after.load == task.load and after.place is not None
        baked = any(
            one.doing == "wait" and one.place == task.place for one in made[:at] if one.load == task.load
        )
        if (
            task.doing == "work"
            and task.place in _OVENS
            and baked
            and before.load == task.load
            and not goes_back
        ):
            task.place = task.temperature = None


def _moment(task: Task) -> Task:
    """The moment at which somebody must be there at the end of a task."""
    nothing = Extent(Fraction(0), Fraction(0))
    return Task(task.recipe, task.step, task.name, "work", "", nothing, load=task.load, attends=True)


def _state(task: Task) -> str:
    assert task.temperature is not None
    return f"{task.place} {task.temperature.low}-{task.temperature.high}"


def _loads(group: list[Task], loads: int) -> Iterator[Task]:
    """The tasks of a line again for every load; as one long task each where they are too many."""
    if loads > MOST_LOADS:
        for task in group:
            yield replace(task, duration=task.duration.times(Fraction(loads)))
        return
    for number in range(1, loads + 1):
        for task in group:
            yield replace(task, load=(number, loads), tools=list(task.tools))


def _lives(kind: str | None) -> bool:
    return kind is not None and ("yeast" in kind or kind in ("starter", "preferment"))


# ---------------------------------------------------------------- words


def _sentences(line: Sequence[Run]) -> Iterator[list[Run]]:
    sentence: list[Run] = []
    for run in line:
        if not isinstance(run, TextRun):
            sentence.append(run)
            continue
        pieces = _SENTENCE.split(run.text)
        for number, piece in enumerate(pieces):
            if number and sentence:
                yield sentence
                sentence = []
            if piece:
                sentence.append(TextRun(piece))
    if sentence:
        yield sentence


def _timed(run: Run) -> bool:
    """Whether a fact takes time; one that only sets a limit is told with the words."""
    return isinstance(run, (TurnsRun, ChangeRun)) or (isinstance(run, DurationRun) and run.limit != "up to")


def _said_after(sentence: Sequence[Run]) -> TemperatureRun | None:
    """The heat of a sentence that gives its time first: `Bake [30 min hands-off] at [200 C oven]`."""
    timed = False
    for run in sentence:
        timed = timed or _timed(run)
        if isinstance(run, TemperatureRun) and (run.place in _OVENS or run.place in _HOBS):
            return run if timed else None
    return None


def _tidy(text: str) -> str:
    """Prose whose times were taken out, without what they leave behind."""
    text = re.sub(r"\s+", " ", text)
    text = re.sub(r"\s*\b(?:for|in)\s*(?=[.,;:]|$)", "", text)
    text = re.sub(r"\s+(?=[.,;:])", "", text)
    text = re.sub(r"[,;:]+(?=[.,;:])", "", text)
    return text.strip(" ,;:")


def _words(runs: Sequence[Run]) -> str:
    """Prose as it is written, for its words."""
    return "".join("" if _timed(run) else run.text for run in runs)


def _said(run: Run, first: display.Degrees) -> str:
    """A run as a plan shows it: this batch's amounts, both scales' one; times stand in a column of their own."""
    match run:
        case DrawRun() if _DIGIT.search(run.text) and run.weight is not None:
            return f"{display.weight(run.weight, run.division)} of the {run.name.removeprefix('the ')}"
        case TemperatureRun():
            shown = display.temperature(run.temperature.low, run.temperature.high, first, minimum=run.minimum)
            of = f" of the {run.of.removeprefix('the ')}" if run.of else ""
            return f"{shown} {run.place}{of}" if run.place else shown
        case ChangeRun():
            low, high = (display.temperature(one.low, one.high, first) for one in (run.start, run.end))
            taken = display.duration(run.duration.low, run.duration.high)
            return f"{low} to {high} {'within' if run.within else 'in'} {taken}"
        case MeasureRun() if (
            run.count is not None and run.noun is not None and not run.text.startswith(("the", "each"))
        ):
            return display.count(run.count, run.noun)
        case _:
            return "" if _timed(run) else run.text
