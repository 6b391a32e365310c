"""plan_day(): Batches and what was asked in, a Day out: the net of activities, laid out in time, with clock times."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from benchproof.compiler import display
from benchproof.compiler.activities import Held, Net, Task, net
from benchproof.compiler.batch import Batch, Equipment, Extent, Stretch
from benchproof.compiler.day import Activity, Busy, Day, DayRecipe, Estimate, Gap, Note
from benchproof.compiler.planner import solve
from benchproof.compiler.planning import Lag, NoPlan, Plan, Problem, Use

STAYS_HOT: Final = Fraction(30 * 60)
"""s an oven is kept on between two uses at one temperature rather than heated again: our own choice."""

MOST_DAYS: Final = 800
"""How many days of free times are looked at."""

FASTER: Final = (Fraction(107, 100), Fraction(109, 100))
"""How much faster a dough rises for each degree C: 7 to 9 %, that is twice as fast in 8 to 10 C. Common practice,
no source."""
FASTER_SOURCE: Final = "a dough rises 7 to 9 % faster for each degree C: common practice, no source"

_RINGS: Final = 4
_COOK: Final = "cook"
_OVEN: Final = "oven"
_HOB: Final = "hob"
_TOOL: Final = "tool:"
_OVEN_WORDS: Final = ("oven", "ovens")
_HOB_WORDS: Final = ("hob", "hob rings", "burners", "cooking rings")
_PLACES: Final = {_OVEN: ("oven", "fan oven"), _HOB: ("pan", "oil")}
_HEATED: Final = {"oven": "oven", "fan oven": "oven", "pan": "pan", "oil": "oil"}
_NO_TIME: Final = datetime.timedelta()


@dataclass(frozen=True, slots=True)
class DayRequest:
    """What is asked of a day.

    on        the day it is about, ISO 8601; `zone`, an IANA name, where clock changes count
    cooks     how many there are
    start_at  when they begin, and `ready_at`, when all is to be ready: `07:30`, or `2026-11-27 07:30`
    between   when the cooks are free, each day: `06:00-07:30`
    stock     what the kitchen has; `room` how warm it is, in C
    """

    on: str
    cooks: int = 1
    start_at: str | None = None
    ready_at: str | None = None
    between: tuple[str, ...] = ()
    zone: str | None = None
    stock: tuple[Equipment, ...] = ()
    room: Fraction | None = None
    kitchen: str | None = None


class CannotPlan(ValueError):
    """What was asked cannot be planned. The message is for the cook; `help` says what to ask instead."""

    def __init__(self, message: str, help: str) -> None:
        super().__init__(message)
        self.help = help


def plan_day(batches: Sequence[Batch], request: DayRequest) -> Day:
    """Lay the batches out in time.

    With a time to be ready, or several recipes, everything is as late as it can be; else as early.

    Raises CannotPlan when a time is not one, or when some work is longer than any time the cooks are free.
    """
    return _Planner(batches, request).plan()


def elapsed(batch: Batch, stock: Sequence[Equipment] = ()) -> tuple[Extent, tuple[Stretch, ...]]:
    """How long one batch takes one cook who begins at once, and the plan with the long end of every range."""
    planner = _Planner([batch], DayRequest(on=batch.asked.on, stock=tuple(stock)))
    whole = net([batch], stock)
    laid = planner.lay(whole, {}, slack=False)
    plan = tuple(
        Stretch(task.step, laid.starts[at], laid.end(at), task.doing != "work", task.doing == "heat")
        for at in laid.shown
        if not (task := laid.net.tasks[at]).attends
    )
    long = max((one.end for one in plan), default=Fraction(0))
    for task in whole.tasks:
        task.duration = Extent(task.duration.low, task.duration.low)
    quick = planner.lay(whole, {}, slack=False)
    short = max((quick.end(at) for at in quick.shown), default=Fraction(0))
    return Extent(min(short, long), long), plan


@dataclass(slots=True)
class _Laid:
    """A plan in seconds from its own beginning. `offset` is from the clock's anchor to there."""

    net: Net
    plan: Plan
    starts: list[Fraction]
    bounds: list[tuple[int, int, int]]
    """What must lie between two beginnings at least, in ticks: the net's own, the deadlines kept, the orders found."""
    scale: int
    """Ticks in a second, so that every length is a whole number of them."""
    swapped: dict[tuple[int, str], str]
    shown: list[int] = field(default_factory=list)
    """Tasks in the order of their beginnings, without heating what is hot already."""
    numbers: dict[int, int] = field(default_factory=dict)
    offset: Fraction = Fraction(0)
    earliest: list[Fraction] = field(default_factory=list)
    latest: list[Fraction] = field(default_factory=list)

    free: list[tuple[int, int]] = field(default_factory=list)
    """When the cooks are free, in ticks from the plan's beginning; empty where they always are."""

    def end(self, at: int) -> Fraction:
        return self.starts[at] + self.net.tasks[at].length

    def in_free(self, at: int, start: int, *, later: bool) -> int:
        """The nearest beginning, in ticks, no earlier (or no later) than `start` at which the cooks are free for it."""
        if not self.free or self.net.tasks[at].doing != "work":
            return start
        length = int(self.net.tasks[at].length * self.scale)
        if later:
            return next((max(a, start) for a, b in self.free if max(a, start) + length <= b), start)
        return next(
            (min(b - length, start) for a, b in reversed(self.free) if min(b - length, start) >= a), start
        )


class _Planner:
    def __init__(self, batches: Sequence[Batch], request: DayRequest) -> None:
        if request.cooks < 1:
            raise CannotPlan("A day needs at least one cook.", "Write `--cooks 1` or more.")
        self.batches = batches
        self.request = request
        self.zone = _zone(request.zone)
        self.ready = self._moment(request.ready_at, "--ready-at")
        self.begin = self._moment(request.start_at, "--start-at")
        self.windows = [_window(text) for text in request.between]
        if self.windows and self.begin is None and self.ready is None:
            self.begin = datetime.datetime.combine(_day(request.on), datetime.time(), self.zone)
        self.backwards = self.ready is not None or (self.begin is None and len(batches) > 1)
        self.anchor = self.ready if self.backwards else self.begin

    # ------------------------------------------------------------ the clock

    def _moment(self, text: str | None, option: str) -> datetime.datetime | None:
        if text is None:
            return None
        match = re.fullmatch(r"(?:(\d{4}-\d{2}-\d{2})[ T])?(\d{1,2}):(\d{2})", text.strip())
        try:
            if match is None:
                raise ValueError
            date = datetime.date.fromisoformat(match[1] or self.request.on)
            time = datetime.time(int(match[2]), int(match[3]))
        except ValueError:
            raise CannotPlan(
                f"{option} {text} is no time of day.",
                f"Write `{option} 08:00`, or with a date `{option} '{self.request.on} 08:00'`.",
            ) from None
        moment = datetime.datetime.combine(date, time, self.zone)
        if moment.tzinfo is not None:
            there = moment.astimezone(datetime.UTC).astimezone(moment.tzinfo)
            if there.replace(tzinfo=None) != moment.replace(tzinfo=None):
                raise CannotPlan(
                    f"{option} {text} does not exist: the clocks go forward over it that night.",
                    f"Write a time before or after it, such as {there:%H:%M}.",
                )
        return moment

    def _seconds(self, moment: datetime.datetime) -> Fraction:
        """Seconds that pass from the anchor to a moment, clock changes counted."""
        assert self.anchor is not None
        if self.anchor.tzinfo is None:
            return Fraction(int((moment - self.anchor).total_seconds()))
        utc = datetime.UTC
        return Fraction(int((moment.astimezone(utc) - self.anchor.astimezone(utc)).total_seconds()))

    def _clock(self, laid: _Laid, seconds: Fraction) -> datetime.datetime | None:
        """The time on the clock so many seconds into the plan."""
        if self.anchor is None:
            return None
        passed = datetime.timedelta(seconds=round(laid.offset + seconds))
        if self.anchor.tzinfo is None:
            return self.anchor + passed
        return (self.anchor.astimezone(datetime.UTC) + passed).astimezone(self.anchor.tzinfo)

    def _shown(self, laid: _Laid, seconds: Fraction) -> str | None:
        moment = self._clock(laid, seconds)
        return moment.isoformat(timespec="seconds") if moment is not None else None

    def _free(self, tasks: Sequence[Task]) -> list[tuple[Fraction, Fraction]]:
        """When the cooks are free, in seconds from the anchor, in the order of time.

        There are days enough even if each piece of work must wait for one of its own.
        """
        if not self.windows or self.anchor is None:
            return []
        length = sum((task.length for task in tasks), Fraction(0))
        days = min(MOST_DAYS, int(length // 86400) + 3 + sum(task.doing == "work" for task in tasks))
        numbers = range(-days, 2) if self.backwards else range(-1, days)
        found = []
        for number in numbers:
            date = self.anchor.date() + datetime.timedelta(days=number)
            for begins, ends in self.windows:
                start = datetime.datetime.combine(date, begins, self.zone)
                over = datetime.timedelta(days=1 if ends <= begins else 0)
                end = datetime.datetime.combine(date + over, ends, self.zone)
                found.append((self._seconds(start), self._seconds(end)))
        return _joined(sorted(found))

    # ------------------------------------------------------------ laying out

    def plan(self) -> Day:
        whole = net(self.batches, self.request.stock)
        best = self.lay(whole, {})
        for swapped in self._swaps(whole):
            other = self.lay(whole, swapped)
            if (-len(other.plan.kept), other.plan.length) < (-len(best.plan.kept), best.plan.length):
                best = other
        return self._day(best)

    def _swaps(self, whole: Net) -> Iterator[dict[tuple[int, str], str]]:
        """For each tool that more than one recipe wants, one of them taking what will do instead."""
        wanted: dict[str, set[int]] = {}
        for held in whole.held:
            if held.thing.startswith(_TOOL):
                wanted.setdefault(held.thing.removeprefix(_TOOL), set()).add(whole.tasks[held.first].recipe)
        for (recipe, tool), other in whole.instead.items():
            users = wanted.get(tool, set())
            if recipe in users and len(users) > whole.stock.get(tool, 1):
                yield {(recipe, tool): other}

    def lay(self, whole: Net, swapped: dict[tuple[int, str], str], *, slack: bool = True) -> _Laid:
        tasks = whole.tasks
        scale = math.lcm(*(task.length.denominator for task in tasks), 1)
        lengths = tuple(int(task.length * scale) for task in tasks)
        problem = Problem(
            lengths=lengths,
            lags=tuple(Lag(a.before, a.after, 0 if a.begun else lengths[a.before]) for a in whole.links),
            deadlines=tuple(Lag(a.after, a.before, -lengths[a.before]) for a in whole.links if a.tight),
            uses=(
                *(Use(_COOK, at, at) for at, task in enumerate(tasks) if task.doing == "work"),
                *(
                    Use(self._thing(whole, one, swapped), one.first, one.last, one.state)
                    for one in whole.held
                ),
            ),
            capacity=self._capacity(whole),
        )
        free = self._free(tasks)
        if self.backwards:
            problem = problem.mirrored()
            free = [(-end, -start) for start, end in reversed(free)]
        windows = tuple((math.ceil(start * scale), math.floor(end * scale)) for start, end in free)
        if windows:
            workers = [use.first for use in problem.uses if use.thing == _COOK]
            problem = replace(problem, free=dict.fromkeys(workers, windows))
        try:
            plan = solve(problem)
        except NoPlan:
            raise CannotPlan(
                "There is no time at which all of it can be done while the cooks are free.",
                "Give them longer with `--between`, or more often: it may be given several times.",
            ) from None
        starts = [Fraction(start, scale) for start in plan.starts]
        bounds = list(self._bounds(problem, plan))
        if self.backwards:
            starts = [-start - task.length for start, task in zip(starts, tasks, strict=True)]
        laid = _Laid(whole, plan, starts, bounds, scale, swapped)
        self._heat_late(laid)
        laid.offset = min(laid.starts, default=Fraction(0))
        laid.starts = [start - laid.offset for start in laid.starts]
        if windows:
            turned = [(-end, -start) for start, end in reversed(windows)] if self.backwards else list(windows)
            offset = int(laid.offset * scale)
            laid.free = [(start - offset, end - offset) for start, end in turned]
        if slack:
            self._slack(laid)
        self._order(laid)
        return laid

    def _bounds(self, problem: Problem, plan: Plan) -> Iterator[tuple[int, int, int]]:
        """Every lag that held in the plan, with time running forwards again."""
        for lag in (*problem.lags, *plan.kept, *plan.orders):
            if self.backwards:
                wait = lag.wait + problem.lengths[lag.after] - problem.lengths[lag.before]
                yield lag.after, lag.before, wait
            else:
                yield lag.before, lag.after, lag.wait

    def _thing(self, whole: Net, held: Held, swapped: dict[tuple[int, str], str]) -> str:
        tool = held.thing.removeprefix(_TOOL)
        other = swapped.get((whole.tasks[held.first].recipe, tool))
        return f"{_TOOL}{other}" if other is not None and held.thing != tool else held.thing

    def _capacity(self, whole: Net) -> dict[str, int]:
        stock = whole.stock
        return {
            **{f"{_TOOL}{tool}": many for tool, many in stock.items()},
            _COOK: self.request.cooks,
            _OVEN: next((stock[word] for word in _OVEN_WORDS if word in stock), 1),
            _HOB: next((stock[word] for word in _HOB_WORDS if word in stock), _RINGS),
        }

    def _heat_late(self, laid: _Laid) -> None:
        """What only gets hot is put as late as what follows allows."""
        for at, task in enumerate(laid.net.tasks):
            if task.doing == "heat":
                room = [
                    laid.starts[after] - Fraction(wait, laid.scale)
                    for before, after, wait in laid.bounds
                    if before == at
                ]
                laid.starts[at] = max(laid.starts[at], min(room, default=laid.starts[at]))

    def _slack(self, laid: _Laid) -> None:
        """The earliest and the latest each could begin in a day of this length, with the orders of this plan."""
        tasks = laid.net.tasks
        laid.earliest, laid.latest = list(laid.starts), list(laid.starts)
        lengths = [int(task.length * laid.scale) for task in tasks]
        whole = max((int(laid.end(at) * laid.scale) for at in range(len(tasks))), default=0)
        earliest = [0] * len(tasks)
        latest = [whole - length for length in lengths]
        for _ in range(len(tasks) + 1):
            moved = False
            for at in range(len(tasks)):
                first, last = (
                    laid.in_free(at, earliest[at], later=True),
                    laid.in_free(at, latest[at], later=False),
                )
                moved = moved or (first, last) != (earliest[at], latest[at])
                earliest[at], latest[at] = first, last
            for before, after, wait in laid.bounds:
                if earliest[before] + wait > earliest[after]:
                    earliest[after], moved = earliest[before] + wait, True
                if latest[after] - wait < latest[before]:
                    latest[before], moved = latest[after] - wait, True
            if not moved:
                break
        for at, start in enumerate(laid.starts):
            laid.earliest[at] = min(Fraction(earliest[at], laid.scale), start)
            laid.latest[at] = max(Fraction(latest[at], laid.scale), start)

    def _order(self, laid: _Laid) -> None:
        tasks = laid.net.tasks
        order = sorted(
            range(len(tasks)),
            # a moment comes before what begins then: out of the oven, then the next thing
            key=lambda at: (laid.starts[at], tasks[at].length > 0, tasks[at].doing != "heat", at),
        )
        laid.shown = [at for at in order if not (tasks[at].added and self._hot_already(laid, at))]
        laid.numbers = {at: number for number, at in enumerate(laid.shown, 1)}

    def _hot_already(self, laid: _Laid, heating: int) -> bool:
        """Whether the oven is still hot from another dish at the same temperature."""
        mine = next(one for one in laid.net.held if one.first == heating or one.last == heating)
        if mine.thing != _OVEN or mine.state is None:
            return False
        needed = laid.end(heating)
        for other in laid.net.held:
            if other is mine or other.thing != _OVEN or other.state is None:
                continue
            same = other.state.rpartition(", then ")[2] == mine.state.partition(", then ")[0]
            before = (laid.starts[other.first], other.first) < (laid.starts[heating], heating)
            if same and before and laid.end(other.last) + STAYS_HOT >= needed:
                return True
        return False

    # ------------------------------------------------------------ the day

    def _day(self, laid: _Laid) -> Day:
        tasks = laid.net.tasks
        cooks = self._cooks(laid)
        activities = tuple(self._activity(laid, at, cooks.get(at)) for at in laid.shown)
        length = max((one.end for one in activities), default=Fraction(0))
        plan = laid.plan
        short = Fraction(plan.length - plan.bound, laid.scale)
        return Day(
            kitchen=self.request.kitchen,
            on=self.request.on,
            zone=self.request.zone,
            cooks=self.request.cooks,
            recipes=tuple(self._recipes(laid)),
            activities=activities,
            things=tuple(self._things(laid)),
            notes=tuple(self._notes(laid, length)),
            estimates=tuple(self._estimates(laid)),
            length=length,
            hands_on=sum((task.length for task in tasks if task.doing == "work"), Fraction(0)),
            proven=plan.proven,
            bound=length - short,
            begins=self._shown(laid, Fraction(0)),
            ready=self._shown(laid, length),
            best="shorter" if not self.windows else "later" if self.backwards else "sooner",
            temperatures=self.batches[0].asked.temperatures if self.batches else "C",
        )

    def _cooks(self, laid: _Laid) -> dict[int, int]:
        """Which cook does what: whoever has been free longest."""
        free = [(Fraction(0), number) for number in range(1, self.request.cooks + 1)]
        found: dict[int, int] = {}
        for at in laid.shown:
            if laid.net.tasks[at].doing == "work":
                able = [one for one in free if one[0] <= laid.starts[at]] or free
                mine = min(able)
                free.remove(mine)
                free.append((laid.end(at), mine[1]))
                found[at] = mine[1]
        return found

    def _follower(self, laid: _Laid, at: int) -> int | None:
        """What must follow a task without waiting; what is hot may."""
        if laid.net.tasks[at].doing == "heat":
            return None
        return next((link.after for link in laid.net.links if link.tight and link.before == at), None)

    def _activity(self, laid: _Laid, at: int, cook: int | None) -> Activity:
        task = laid.net.tasks[at]
        start, end = laid.starts[at], laid.end(at)
        follower = self._follower(laid, at)
        late = laid.starts[follower] - end if follower is not None else Fraction(0)
        return Activity(
            number=laid.numbers[at],
            recipe=task.recipe,
            step=task.step,
            name=task.name,
            doing=task.doing,
            text=task.text,
            added=task.added,
            load=task.load,
            duration=task.duration,
            start=start,
            end=end,
            earliest=laid.earliest[at],
            latest=laid.latest[at],
            clock=self._shown(laid, start),
            clock_end=self._shown(laid, end),
            cook=cook,
            place=task.place,
            temperature=task.temperature,
            tools=tuple(laid.swapped.get((task.recipe, tool), tool) for tool in task.tools),
            deadline=end if follower is not None else None,
            late=max(late, Fraction(0)),
            critical=laid.earliest[at] == laid.latest[at],
            attends=task.attends,
        )

    def _recipes(self, laid: _Laid) -> Iterator[DayRecipe]:
        for number, batch in enumerate(self.batches):
            mine = [at for at, task in enumerate(laid.net.tasks) if task.recipe == number]
            start = min((laid.starts[at] for at in mine), default=Fraction(0))
            ready = max((laid.end(at) for at in mine), default=Fraction(0))
            yield DayRecipe(
                batch.recipe,
                batch.asked.words,
                start,
                ready,
                self._shown(laid, start),
                self._shown(laid, ready),
                batch.revision,
            )

    def _things(self, laid: _Laid) -> Iterator[Busy]:
        capacity = self._capacity(laid.net)
        users: dict[str, set[int]] = {}
        for held in laid.net.held:
            thing = self._thing(laid.net, held, laid.swapped)
            for at in range(len(laid.net.tasks)):
                task = laid.net.tasks[at]
                tool = thing.startswith(_TOOL) and held.thing.removeprefix(_TOOL) in task.tools
                place = task.place in _PLACES.get(thing, ())
                mine = task.recipe == laid.net.tasks[held.first].recipe
                if at in laid.numbers and mine and (tool or place):
                    users.setdefault(thing, set()).add(laid.numbers[at])
        stated = {word for word in laid.net.stock if self.request.stock}
        for thing, numbers in users.items():
            words = _OVEN_WORDS if thing == _OVEN else _HOB_WORDS if thing == _HOB else ()
            assumed = bool(words) and not stated & set(words)
            yield Busy(
                thing.removeprefix(_TOOL),
                capacity.get(thing, 1),
                tuple(sorted(numbers)),
                assumed,
                tuple(self._gaps(laid, thing)),
            )

    def _gaps(self, laid: _Laid, thing: str) -> Iterator[Gap]:
        """When nothing is in a thing; an oven that was heated and waits for its dish is not free."""
        spans = sorted(
            (laid.starts[held.first], laid.end(held.last))
            for held in laid.net.held
            if self._thing(laid.net, held, laid.swapped) == thing and self._shown_of(laid, held)
        )
        length = max((laid.end(at) for at in laid.shown), default=Fraction(0))
        since = Fraction(0)
        for start, end in [*spans, (length, length)]:
            if start > since:
                yield Gap(since, start, self._shown(laid, since), self._shown(laid, start))
            since = max(since, end)

    def _shown_of(self, laid: _Laid, held: Held) -> bool:
        """Whether any of a use is in the plan: heating what is hot already is not."""
        return any(at in laid.numbers for at in (held.first, held.last))

    # ------------------------------------------------------------ what the cook must know

    def _notes(self, laid: _Laid, length: Fraction) -> Iterator[Note]:
        yield from self._cannot(laid)
        yield from self._late(laid)
        yield from self._rising(laid)
        yield from self._shared(laid)
        for (recipe, tool), other in laid.swapped.items():
            users = tuple(
                laid.numbers[at]
                for at in laid.shown
                if laid.net.tasks[at].recipe == recipe and tool in laid.net.tasks[at].tools
            )
            yield Note(
                "stands-in", f"{_capital(other)} stands in for {tool} in “{self._name(recipe)}”.", users
            )
        for at in laid.shown:
            goes = laid.net.tasks[at].goes
            if goes is not None:
                tool, there, holds = goes
                yield Note(
                    "in-several-goes",
                    f"The {tool} holds {display.weight(holds)} and there is {display.weight(there)}: "
                    f"{math.ceil(there / holds)} goes, and the time is counted for each.",
                    (laid.numbers[at],),
                )
        if laid.net.untimed:
            numbers = tuple(laid.numbers[at] for at in laid.net.untimed if at in laid.numbers)
            names = display.listed(
                f"“{name}”" for name in dict.fromkeys(laid.net.tasks[at].name for at in laid.net.untimed)
            )
            yield Note("untimed", f"No time is given for {names}: none is counted.", numbers)
        yield from self._put_in(laid)
        begin, end = self._clock(laid, Fraction(0)), self._clock(laid, length)
        if begin is not None and end is not None and begin.utcoffset() != end.utcoffset():
            before, after = begin.utcoffset() or _NO_TIME, end.utcoffset() or _NO_TIME
            which = "forward" if after > before else "back"
            by = Fraction(int(abs(after - before).total_seconds()))
            yield Note("clocks-change", f"The clocks go {which} {display.duration(by)} in between.", (), by)

    def _cannot(self, laid: _Laid) -> Iterator[Note]:
        if self.begin is None or self.ready is None:
            return
        short = self._seconds(self.begin) - laid.offset
        if short > 0:
            yield Note(
                "cannot-be-ready",
                f"It cannot be ready by {self.ready:%H:%M} when it is begun at {self.begin:%H:%M}: it takes "
                f"{display.duration(short)} longer.",
                (),
                short,
            )

    def _late(self, laid: _Laid) -> Iterator[Note]:
        for at in laid.shown:
            task = laid.net.tasks[at]
            follower = self._follower(laid, at)
            if follower is None:
                continue
            late = laid.starts[follower] - laid.end(at)
            if late > 0:
                next_one = laid.net.tasks[follower]
                rises = task.rises or next_one.rises
                what = "goes on rising" if rises else "waits"
                yield Note(
                    "past-its-time",
                    f"“{task.name}” in “{self._name(task.recipe)}” {what} {display.duration(late)} past its time, "
                    f"until “{next_one.name}” can begin.",
                    (laid.numbers[at], laid.numbers[follower]),
                    late,
                )

    def _rising(self, laid: _Laid) -> Iterator[Note]:
        firsts: dict[tuple[int, int], list[int]] = {}
        for at in laid.shown:
            task = laid.net.tasks[at]
            if task.rises and task.load is not None and task.place is not None:
                mine = firsts.setdefault((task.recipe, task.step), [])
                if all(laid.net.tasks[other].load != task.load for other in mine):
                    mine.append(at)
        for loads in firsts.values():
            by = laid.starts[loads[-1]] - laid.starts[loads[0]]
            if by > 0:
                yield Note(
                    "goes-on-rising",
                    f"What is not yet in goes on rising: the last of {len(loads)} loads {display.duration(by)} longer "
                    f"than the first in “{laid.net.tasks[loads[0]].name}”.",
                    tuple(laid.numbers[at] for at in loads),
                    by,
                )

    def _shared(self, laid: _Laid) -> Iterator[Note]:
        ovens = [one for one in laid.net.held if one.thing == _OVEN]
        for number, one in enumerate(ovens):
            for other in ovens[number + 1 :]:
                recipes = (laid.net.tasks[one.first].recipe, laid.net.tasks[other.first].recipe)
                begins = max(self._in(laid, one), self._in(laid, other))
                ends = min(laid.end(one.last), laid.end(other.last))
                if one.state == other.state and recipes[0] != recipes[1] and begins < ends:
                    yield Note(
                        "oven-shared",
                        f"“{self._name(recipes[0])}” and “{self._name(recipes[1])}” are in the oven together for "
                        f"{display.duration(ends - begins)}: see that there is room.",
                        (laid.numbers[one.last], laid.numbers[other.last]),
                        ends - begins,
                    )

    def _in(self, laid: _Laid, held: Held) -> Fraction:
        """When the food goes in, the heating done."""
        first = laid.net.tasks[held.first]
        return laid.end(held.first) if first.doing == "heat" else laid.starts[held.first]

    def _put_in(self, laid: _Laid) -> Iterator[Note]:
        added = [at for at in laid.shown if laid.net.tasks[at].added]
        if added:
            times = display.listed(
                dict.fromkeys(
                    f"{display.duration(laid.net.tasks[at].length)} for the {_HEATED[laid.net.tasks[at].place or '']}"
                    for at in added
                )
            )
            yield Note(
                "added",
                f"Heating is put in where the method does not say it: {times} (common practice, no source).",
                tuple(laid.numbers[at] for at in added),
            )
        things = [one for one in self._things(laid) if one.assumed and len(one.activities) > 1]
        if things and len(self.batches) > 1:
            words = display.listed(
                "one oven" if one.thing == _OVEN else f"{_RINGS} rings on the hob" for one in things
            )
            yield Note(
                "assumed",
                f"{_capital(words)} assumed: an `equipment` block below the kitchen's says what there is.",
            )

    def _estimates(self, laid: _Laid) -> Iterator[Estimate]:
        room = self.request.room
        for at in laid.shown:
            task = laid.net.tasks[at]
            if room is None or not task.rises or task.warmth is None or task.load is not None:
                continue
            written = (task.warmth.low + task.warmth.high) / 2
            if task.warmth.low <= room <= task.warmth.high or abs(room - written) < 1:
                continue
            yield Estimate(
                laid.numbers[at],
                task.duration,
                written,
                room,
                at_warmth(task.duration, room - written),
                FASTER_SOURCE,
            )

    def _name(self, recipe: int) -> str:
        return self.batches[recipe].recipe


def at_warmth(rise: Extent, warmer: Fraction) -> Extent:
    """How long a rise may take where it is so many C warmer (or, below nought, colder) than it was written for.

    An estimate: 7 to 9 % faster for each degree, see `FASTER`; whole degrees.
    """
    degrees = round(abs(warmer))
    least, most = FASTER[0] ** degrees, FASTER[1] ** degrees
    if warmer >= 0:
        return Extent(rise.low / most, rise.high / least)
    return Extent(rise.low * least, rise.high * most)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _zone(name: str | None) -> ZoneInfo | None:
    if name is None:
        return None
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        raise CannotPlan(
            f"“{name}” is no time zone known here.", "Write one as the IANA list has it: `Pacific/Auckland`."
        ) from None


def _day(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def _window(text: str) -> tuple[datetime.time, datetime.time]:
    match = re.fullmatch(r"(\d{1,2}):(\d{2})\s*[-–]\s*(\d{1,2}):(\d{2})", text.strip())
    try:
        if match is None:
            raise ValueError
        begins = datetime.time(int(match[1]), int(match[2]))
        midnight = (match[3], match[4]) == ("24", "00")
        ends = datetime.time() if midnight else datetime.time(int(match[3]), int(match[4]))
    except ValueError:
        raise CannotPlan(
            f"--between {text} is no stretch of a day.", "Write it as `--between 06:00-07:30`."
        ) from None
    return begins, ends


def _joined(stretches: list[tuple[Fraction, Fraction]]) -> list[tuple[Fraction, Fraction]]:
    """Stretches in order, those that touch made one."""
    found: list[tuple[Fraction, Fraction]] = []
    for start, end in stretches:
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        elif end > start:
            found.append((start, end))
    return found
