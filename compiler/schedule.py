"""How long the whole takes: the steps laid out in time for one cook.

Hands-on work never overlaps; hands-off work runs by itself. Whatever can begin first begins first, in the
order of the method. It is a plan that can be kept, not proven the shortest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from benchproof.compiler.batch import Extent, Stretch


@dataclass(frozen=True, slots=True)
class Piece:
    """An unbroken piece of work or waiting in a step, in seconds, every load counted."""

    duration: Extent
    hands_off: bool


@dataclass(frozen=True, slots=True)
class Task:
    """A step as the plan sees it. `after` and `during` are numbers of other tasks, all smaller."""

    number: int
    after: tuple[int, ...]
    during: int | None
    pieces: tuple[Piece, ...]


def lay_out(tasks: Sequence[Task], end: Callable[[Extent], Fraction]) -> tuple[Stretch, ...]:
    """The plan with one end of every range: `end` picks it."""
    done: dict[int, Fraction] = {}
    begun: dict[int, Fraction] = {}
    at: dict[int, tuple[int, Fraction]] = {}
    cook = Fraction(0)
    plan: list[Stretch] = []
    waiting = list(tasks)
    while waiting:
        best: tuple[Fraction, int] | None = None
        for index, task in enumerate(waiting):
            ready = _ready(task, done, begun)
            if ready is None:
                continue
            position, free = at.get(task.number, (0, ready))
            if position < len(task.pieces) and not task.pieces[position].hands_off:
                free = max(free, cook)
            if best is None or free < best[0]:
                best = (free, index)
        assert best is not None, "a step waits only for steps above it"
        start, index = best
        task = waiting[index]
        begun.setdefault(task.number, start)
        position, _ = at.get(task.number, (0, start))
        if position >= len(task.pieces):
            done[task.number] = start
            waiting.pop(index)
            continue
        piece = task.pieces[position]
        stop = start + end(piece.duration)
        plan.append(Stretch(task.number, start, stop, piece.hands_off))
        if not piece.hands_off:
            cook = stop
        at[task.number] = (position + 1, stop)
    return tuple(plan)


def _ready(task: Task, done: dict[int, Fraction], begun: dict[int, Fraction]) -> Fraction | None:
    """When a task may begin, once all it waits for is laid out; None before that."""
    times = [Fraction(0)]
    for number in task.after:
        if number not in done:
            return None
        times.append(done[number])
    if task.during is not None:
        if task.during not in begun:
            return None
        times.append(begun[task.during])
    return max(times)


def span_of(plan: Sequence[Stretch]) -> Fraction:
    """Seconds from the beginning to the end of a plan."""
    return max((stretch.end for stretch in plan), default=Fraction(0))


def elapsed(tasks: Sequence[Task]) -> tuple[Extent, tuple[Stretch, ...]]:
    """How long it all takes, and the plan with the long end of every range."""
    short = span_of(lay_out(tasks, lambda extent: extent.low))
    plan = lay_out(tasks, lambda extent: extent.high)
    long = span_of(plan)
    return Extent(min(short, long), long), plan
