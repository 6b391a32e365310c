"""For tests of the day: batches put together by hand, an oracle, and what must hold of every plan."""

import datetime
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from zoneinfo import ZoneInfo

from benchproof.compiler.activities import Net, Task, net
from benchproof.compiler.batch import (
    Batch,
    DrawRun,
    DurationRun,
    Equipment,
    Extent,
    LoadRun,
    Run,
    Step,
    TemperatureRun,
    TextRun,
    TurnsRun,
    Where,
)
from benchproof.compiler.day import Activity, Day, Note
from benchproof.compiler.plan_day import DayRequest, plan_day
from benchproof.compiler.planning import Lag, Problem
from tests.compiler.bench import batch_of

DAY = "2026-11-20"
MINUTE = Fraction(60)
HOUR = Fraction(3600)
NOWHERE = Where("day.bench", 1, 1, 1, 1)
NOTHING = Extent(Fraction(0), Fraction(0))

# ---------------------------------------------------------------- a recipe put together by hand


_PLAIN = """
recipe Plain
  makes: 1 loaf, 100 g each

ingredients
  plain flour: 100 g

step Mix
  Stir [the plain flour].
"""


@lru_cache(maxsize=1)
def _plain() -> Batch:
    return batch_of(_PLAIN)


def minutes(low: float | Fraction, high: float | Fraction | None = None) -> Extent:
    first = Fraction(low) * 60
    return Extent(first, first if high is None else Fraction(high) * 60)


def said(text: str) -> TextRun:
    return TextRun(text)


def work(low: float | Fraction, high: float | Fraction | None = None) -> DurationRun:
    return DurationRun("", minutes(low, high), False, None)


def wait(low: float | Fraction, high: float | Fraction | None = None) -> DurationRun:
    return DurationRun("", minutes(low, high), True, None)


def at_least(low: float) -> DurationRun:
    return DurationRun("", minutes(low), True, "at least")


def heat(degrees: int, place: str | None = "oven") -> TemperatureRun:
    return TemperatureRun(f"{degrees} C", Extent(Fraction(degrees), Fraction(degrees)), place, None)


def turns(times: int, every: float) -> TurnsRun:
    return TurnsRun("", Extent(Fraction(times), Fraction(times)), minutes(every))


def loads(many: int) -> LoadRun:
    return LoadRun("1 at a time", Extent(Fraction(1), Fraction(1)), Extent(Fraction(many), Fraction(many)))


def draw(name: str, weight: int) -> DrawRun:
    return DrawRun(name, name, Fraction(weight), None, None, None, None, True, (0, 0))


def recipe(name: str, *steps: tuple[Run, ...] | Step, tools: Sequence[Equipment] = ()) -> Batch:
    """A batch of steps, each after the one above it unless it is a whole Step."""
    made = [
        one if isinstance(one, Step) else step(number, *one, after=(number - 1,) if number > 1 else ())
        for number, one in enumerate(steps, 1)
    ]
    return replace(_plain(), recipe=name, steps=tuple(made), equipment=tuple(tools))


def step(number: int, *runs: Run, after: tuple[int, ...] = (), during: int | None = None) -> Step:
    return Step(number, f"Step {number}", None, after, during, (runs,), NOTHING, NOTHING, NOWHERE)


def tool(
    name: str, count: int | None = None, instead: str | None = None, holds: int | None = None
) -> Equipment:
    return Equipment(
        name,
        Fraction(count) if count is not None else None,
        instead,
        Fraction(holds) if holds is not None else None,
    )


def plan(*batches: Batch, **asked: object) -> Day:
    return plan_day(batches, DayRequest(**{"on": DAY, **asked}))  # type: ignore[arg-type]


def notes(day: Day, kind: str) -> list[Note]:
    return [note for note in day.notes if note.kind == kind]


def doing(day: Day, what: str, recipe: int = 0) -> list[Activity]:
    return [one for one in day.activities if one.doing == what and one.recipe == recipe]


# ---------------------------------------------------------------- an oracle for small problems


def shortest(problem: Problem, most: int) -> int | None:
    """The shortest a problem can be done in, by trying every beginning of every job; None when not within `most`."""
    size = len(problem.lengths)
    lags: list[list[Lag]] = [[] for _ in range(size)]
    for lag in (*problem.lags, *problem.deadlines):
        lags[max(lag.before, lag.after)].append(lag)
    known = [
        replace(problem, uses=tuple(use for use in problem.uses if max(use.first, use.last) <= job))
        for job in range(size)
    ]

    def place(job: int, starts: list[int], length: int) -> bool:
        if job and not alone(known[job - 1], starts):
            return False
        if job == size:
            return True
        for start in range(length - problem.lengths[job] + 1):
            starts[job] = start
            if (
                free(problem, job, start)
                and all(starts[lag.after] >= starts[lag.before] + lag.wait for lag in lags[job])
                and place(job + 1, starts, length)
            ):
                return True
        return False

    return next((length for length in range(most + 1) if place(0, [0] * size, length)), None)


def holds(problem: Problem, starts: Sequence[int], deadlines: Sequence[Lag]) -> bool:
    """Whether these beginnings are a plan."""
    return (
        all(starts[lag.after] >= starts[lag.before] + lag.wait for lag in (*problem.lags, *deadlines))
        and all(free(problem, job, start) for job, start in enumerate(starts))
        and alone(problem, starts)
    )


def free(problem: Problem, job: int, start: int) -> bool:
    stretches = problem.free.get(job)
    end = start + problem.lengths[job]
    return stretches is None or any(first <= start and end <= last for first, last in stretches)


def alone(problem: Problem, starts: Sequence[int]) -> bool:
    """Whether no thing is used by more than it has room for, at any moment and between any two."""
    for thing in {use.thing for use in problem.uses}:
        room = problem.capacity.get(thing, 1)
        spans = [
            (starts[use.first], starts[use.last] + problem.lengths[use.last], use.state)
            for use in problem.uses
            if use.thing == thing
        ]
        if not _room(spans, room):
            return False
    return True


def _room(spans: Sequence[tuple[int | Fraction, int | Fraction, str | None]], room: int) -> bool:
    ends = {moment for begins, ends, _ in spans for moment in (begins, ends)}
    order = sorted(ends)
    between = [Fraction(one + other) / 2 for one, other in pairwise(order)]
    for moment in (*order, *between):
        midst = [state for begins, ends, state in spans if begins < moment < ends]
        many = sum(state is None for state in midst) + len({state for state in midst if state is not None})
        there = [state for begins, ends, state in spans if begins == moment == ends]
        needs = any(state is None or state not in midst for state in there)
        if many + needs > room:
            return False
    return True


# ---------------------------------------------------------------- what must hold of every plan


def faults(batches: Sequence[Batch], asked: DayRequest, day: Day) -> list[str]:
    """Everything that is wrong with a plan, worked out from the plan alone and what was to be done."""
    whole = net(batches, asked.stock)
    placed = _placed(day, whole)
    return [
        *_all_there(whole, placed),
        *_in_order(day, whole, placed),
        *_cooks(asked, day),
        *_things(asked, day, whole, placed),
        *_lengths(day, whole, placed),
        *_clocks(asked, day),
    ]


def _alike(one: Task | Activity) -> tuple[object, ...]:
    return (
        one.recipe,
        one.step,
        one.doing,
        one.added,
        one.load,
        one.text,
        one.duration,
        one.attends,
        one.place,
    )


def _placed(day: Day, whole: Net) -> list[Activity | None]:
    """For each task its activity; those that are alike follow each other."""
    pool: dict[tuple[object, ...], list[Activity]] = defaultdict(list)
    for one in sorted(day.activities, key=lambda one: (one.start, one.number)):
        pool[_alike(one)].append(one)
    found = [pool[_alike(task)].pop(0) if pool[_alike(task)] else None for task in whole.tasks]
    assert not any(pool.values()), "an activity that is no task"
    return found


def _all_there(whole: Net, placed: list[Activity | None]) -> Iterator[str]:
    for task, one in zip(whole.tasks, placed, strict=True):
        if one is None and not task.added:
            yield f"{task.name} is not in the plan"
        if one is not None and one.end - one.start != task.duration.high:
            yield f"{task.name} is not as long as its long end"


def _in_order(day: Day, whole: Net, placed: list[Activity | None]) -> Iterator[str]:
    told = {(note.activities[0], note.by) for note in day.notes if note.kind == "past-its-time"}
    for link in whole.links:
        one, other = placed[link.before], placed[link.after]
        if one is None or other is None:
            continue
        if other.start < (one.start if link.begun else one.end):
            yield f"{other.number} begins before {one.number} allows"
        gap = other.start - one.end
        if link.tight and gap > 0 and one.doing != "heat" and (one.number, gap) not in told:
            yield f"{other.number} begins {gap} s past the time of {one.number}, and nothing says so"


def _cooks(asked: DayRequest, day: Day) -> Iterator[str]:
    spans: dict[int, list[tuple[Fraction, Fraction, None]]] = defaultdict(list)
    for one in day.activities:
        if (one.doing == "work") != (one.cook is not None):
            yield f"{one.number} is {one.doing} with cook {one.cook}"
        if one.cook is not None:
            spans[one.cook].append((one.start, one.end, None))
    if not set(spans) <= set(range(1, asked.cooks + 1)):
        yield "more cooks than there are"
    for cook, busy in spans.items():
        if not _room(busy, 1):
            yield f"cook {cook} is in two places"


def _things(asked: DayRequest, day: Day, whole: Net, placed: list[Activity | None]) -> Iterator[str]:
    spans: dict[str, list[tuple[Fraction, Fraction, str | None]]] = defaultdict(list)
    stands_in = {note.text for note in day.notes if note.kind == "stands-in"}
    for held in whole.held:
        thing = held.thing
        mine = whole.tasks[held.first].recipe
        key = thing.removeprefix("tool:")
        other = whole.instead.get((mine, key))
        if thing != key and other is not None:
            words = f"{other[:1].upper()}{other[1:]} stands in for {key} in “{day.recipes[mine].name}”."
            thing = f"tool:{other}" if words in stands_in else thing
        first, last = placed[held.first], placed[held.last]
        if last is None:
            continue
        begins = first.start if first is not None else _heats_for(whole, placed, held.first)
        if begins < last.end:  # a tool needed for a moment is in nobody's way
            spans[thing].append((begins, last.end, held.state))
    for thing, used in spans.items():
        room = {"oven": whole.stock.get("oven", 1), "hob": whole.stock.get("hob rings", 4)}.get(
            thing, whole.stock.get(thing.removeprefix("tool:"), 1)
        )
        if not _room(used, room):
            yield f"{thing} is used by more than {room} at once"


def _heats_for(whole: Net, placed: list[Activity | None], heating: int) -> Fraction:
    after = placed[next(link.after for link in whole.links if link.before == heating)]
    assert after is not None
    return after.start


def _lengths(day: Day, whole: Net, placed: list[Activity | None]) -> Iterator[str]:
    if day.length != max((one.end for one in day.activities), default=0):
        yield "the length is not that of the plan"
    if day.activities and min(one.start for one in day.activities) != 0:
        yield "the plan does not begin at its beginning"
    if all(one is not None for one in placed) and day.length < critical(whole):
        yield "shorter than its critical path"
    if day.bound > day.length or (day.proven and day.bound != day.length):
        yield "the bound does not fit the length"
    for one in day.activities:
        if not one.earliest <= one.start <= one.latest:
            yield f"{one.number} does not begin between its earliest and its latest"
        if one.critical != (one.earliest == one.latest):
            yield f"{one.number} is critical and could be moved"


def critical(whole: Net) -> Fraction:
    """The longest way through what must follow what."""
    starts = [Fraction(0)] * len(whole.tasks)
    for _ in whole.tasks:
        for link in whole.links:
            own = Fraction(0) if link.begun else whole.tasks[link.before].length
            starts[link.after] = max(starts[link.after], starts[link.before] + own)
    return max(
        (start + task.length for start, task in zip(starts, whole.tasks, strict=True)), default=Fraction(0)
    )


def _clocks(asked: DayRequest, day: Day) -> Iterator[str]:
    """Clock times are as far apart as the seconds say, and work lies in the hours that were asked for."""
    zone = ZoneInfo(asked.zone) if asked.zone else None
    for one in day.activities:
        if one.clock is None or one.clock_end is None:
            continue
        begins, ends = (datetime.datetime.fromisoformat(clock) for clock in (one.clock, one.clock_end))
        if abs((ends - begins).total_seconds() - float(one.end - one.start)) > 1:
            yield f"{one.number} takes another time on the clock"
        if asked.between and one.doing == "work" and not within(begins, ends, asked.between, zone):
            yield f"{one.number} is done when nobody is free"


def within(
    begins: datetime.datetime, ends: datetime.datetime, windows: Sequence[str], zone: ZoneInfo | None
) -> bool:
    """Whether somebody is free from one moment to another."""
    found: list[tuple[datetime.datetime, datetime.datetime]] = []
    for number in range(-1, (ends.date() - begins.date()).days + 2):
        date = begins.date() + datetime.timedelta(days=number)
        for window in windows:
            first, last = (
                datetime.time.fromisoformat(text.replace("24:", "00:")) for text in window.split("-")
            )
            over = datetime.timedelta(days=1 if last <= first else 0)
            one = datetime.datetime.combine(date, first, zone)
            other = datetime.datetime.combine(date + over, last, zone)
            if zone is not None:
                one, other = one.astimezone(datetime.UTC), other.astimezone(datetime.UTC)
            found.append((one, other))
    joined: list[tuple[datetime.datetime, datetime.datetime]] = []
    for one, other in sorted(found):
        if joined and one <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], other))
        else:
            joined.append((one, other))
    return any(one <= begins and ends <= other for one, other in joined)
