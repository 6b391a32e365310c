"""Chains of jobs that follow each other without a pause, and a quick way to lay them out.

What may not wait forms a chain that moves as one. The chains are placed one after another, each as early as it fits
between those that are there already; in which order is tried in several ways. That gives a good plan, often one that
cannot be shorter, before anything is searched.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from benchproof.compiler.planning import Lag, Problem, Use

WAYS: Final = 12
"""How many orders are tried."""

_MOST_SHIFTS: Final = 40
"""How often a chain is taken out and put in later, so that what must come before it has room."""

_FOR_GOOD: Final = 1 << 62

_MOST_MOVES: Final = 400
"""How often one chain is moved on before it is given up for now."""


@dataclass(slots=True)
class Chain:
    """Jobs and how long after the chain's beginning each begins."""

    jobs: dict[int, int]


def chains(problem: Problem) -> tuple[list[Chain], tuple[Lag, ...]]:
    """The chains, and the deadlines that they keep.

    A deadline that would bring two jobs of one chain into each other's way, or that contradicts those before it, is
    let go: those that come first count for more.
    """
    length = problem.lengths
    least = {(lag.before, lag.after): lag.wait for lag in problem.lags}
    chain_of = [Chain({job: 0}) for job in range(len(length))]
    kept: list[Lag] = []
    for deadline in problem.deadlines:
        later, earlier = deadline.before, deadline.after
        offset = -deadline.wait
        if least.get((earlier, later)) != offset:
            kept.append(deadline)  # there is room between: the search keeps it, no chain is made of it
            continue
        one, other = chain_of[earlier], chain_of[later]
        if one is other:
            if other.jobs[later] - one.jobs[earlier] == offset:
                kept.append(deadline)
            continue
        shift = one.jobs[earlier] + offset - other.jobs[later]
        jobs = {**one.jobs, **{job: at + shift for job, at in other.jobs.items()}}
        first = min(jobs.values())
        joined = Chain({job: at - first for job, at in jobs.items()})
        if _fits_itself(problem, joined):
            kept.append(deadline)
            for job in joined.jobs:
                chain_of[job] = joined
    found = list({id(chain): chain for chain in chain_of}.values())
    return found, tuple(kept)


def _fits_itself(problem: Problem, chain: Chain) -> bool:
    placed = _Placed(problem)
    for use in problem.uses:
        if use.first in chain.jobs and use.last in chain.jobs:
            begins = chain.jobs[use.first]
            ends = chain.jobs[use.last] + problem.lengths[use.last]
            if placed.clash(use, begins, ends) is not None:
                return False
            placed.put(use, begins, ends)
    return all(
        chain.jobs[lag.after] >= chain.jobs[lag.before] + lag.wait
        for lag in problem.lags
        if lag.before in chain.jobs and lag.after in chain.jobs
    )


class _Placed:
    """What is in use when, so far."""

    def __init__(self, problem: Problem) -> None:
        self.capacity = problem.capacity
        self.spans: dict[str, list[tuple[int, int, Use]]] = {}

    def put(self, use: Use, begins: int, ends: int) -> None:
        spans = self.spans.setdefault(use.thing, [])
        spans[:] = [span for span in spans if span[2] is not use]
        spans.append((begins, ends, use))

    def clash(self, use: Use, begins: int, ends: int) -> int | None:
        """When the way is free again for a use that there is no room for; None where there is room."""
        inside = [
            span
            for span in self.spans.get(use.thing, ())
            if span[0] <= ends
            and begins <= span[1]
            and span[2] is not use
            and _meet(span[0], span[1], begins, ends)
            and (use.state is None or span[2].state != use.state)
        ]
        capacity = self.capacity.get(use.thing, 1)
        if len(inside) < capacity:
            return None
        points = sorted({begins, *(max(span[0], begins) for span in inside)})
        for point in points:
            there = [span for span in inside if span[0] <= point < span[1]]
            moments = [span for span in inside if span[0] == point == span[1]]
            if moments:  # whoever is there at a moment is in the midst of nothing else
                midst = [span for span in there if span[0] < point]
                if _many(midst) + 1 >= capacity:
                    return point
            if _many(there) >= capacity:
                return min(span[1] for span in there)
        return None


def _many(spans: Sequence[tuple[int, int, Use]]) -> int:
    """How many at once: those in one state are one."""
    states = {span[2].state for span in spans if span[2].state is not None}
    return sum(span[2].state is None for span in spans) + len(states)


def _meet(first: int, last: int, begins: int, ends: int) -> bool:
    """Whether two stretches are in each other's way; a moment only inside another."""
    if first == last:
        return begins < first < ends
    if begins == ends:
        return first < begins < last
    return first < ends and begins < last


def lay_out(problem: Problem, found: Sequence[Chain], enough: int) -> tuple[int, ...] | None:
    """The beginnings of all jobs in the best of several ways, or None when none of them fits everything in.

    The shortest is best, then the one in which all jobs are earliest. Once one is no longer than `enough`, a few
    more are looked at for the second.
    """
    tails = _tails(problem)
    best: tuple[int, int, tuple[int, ...]] | None = None
    for way, order in enumerate(_orders(problem, found, tails)):
        if way >= WAYS or (best is not None and best[0] <= enough and way >= WAYS // 2):
            break
        starts = _Layout(problem, found).lay(order)
        if starts is None:
            continue
        ends = [start + length for start, length in zip(starts, problem.lengths, strict=True)]
        measure = (max(ends, default=0), sum(starts))
        if best is None or measure < best[:2]:
            best = (*measure, tuple(starts))
    return best[2] if best is not None else None


def _tails(problem: Problem) -> list[int]:
    """What must still come after each job's beginning, by the least times alone."""
    tails = list(problem.lengths)
    for _ in problem.lengths:
        moved = False
        for lag in problem.lags:
            if lag.wait + tails[lag.after] > tails[lag.before]:
                tails[lag.before], moved = lag.wait + tails[lag.after], True
        if not moved:
            break
    return tails


def _orders(problem: Problem, found: Sequence[Chain], tails: list[int]) -> Iterator[list[int]]:
    """Orders to place the chains in: what has most to follow first, then shaken a little, always the same way."""
    most = [max(tails[job] + at for job, at in chain.jobs.items()) for chain in found]
    yield sorted(range(len(found)), key=lambda at: (-most[at], min(found[at].jobs)))
    yield sorted(range(len(found)), key=lambda at: min(found[at].jobs))
    shake = random.Random(len(found))  # the same every time: a plan must not depend on the day it is made
    while True:
        keys = [value * shake.randint(60, 140) for value in most]
        yield sorted(range(len(found)), key=lambda at: (-keys[at], min(found[at].jobs)))


class _Layout:
    def __init__(self, problem: Problem, found: Sequence[Chain]) -> None:
        self.problem = problem
        self.chains = found
        self.chain_of = {job: at for at, chain in enumerate(found) for job in chain.jobs}
        self.starts: list[int | None] = [None] * len(problem.lengths)
        self.least: dict[int, int] = {}
        self.placed = _Placed(problem)
        self.before: dict[int, list[Lag]] = {}
        self.after: dict[int, list[Lag]] = {}
        for lag in (*problem.lags, *problem.deadlines):
            self.before.setdefault(lag.after, []).append(lag)
            self.after.setdefault(lag.before, []).append(lag)
        self.uses: dict[int, list[Use]] = {}
        for use in problem.uses:
            self.uses.setdefault(use.first, []).append(use)
            if use.last != use.first:
                self.uses.setdefault(use.last, []).append(use)

    def lay(self, order: list[int]) -> list[int] | None:
        waiting = list(order)
        shifts = 0
        while waiting:
            failed: list[int] = []
            for at in waiting:
                if not self._ready(self.chains[at]):
                    continue
                if self._place(at):
                    waiting.remove(at)
                    break
                failed.append(at)
            else:
                stuck = next(filter(None, map(self._in_the_way, failed)), None)
                if stuck is None or shifts >= _MOST_SHIFTS:
                    return None
                shifts += 1
                again = {*waiting, *self._shift(*stuck)}
                waiting = [one for one in order if one in again]
        return [start if start is not None else 0 for start in self.starts]

    def _in_the_way(self, at: int) -> tuple[int, int] | None:
        """The chain that is too early for another to come before it, and how much later it must begin."""
        chain = self.chains[at]
        earliest, _ = self._window(chain)
        start = self._settle(chain, earliest, None)
        if start is None:
            return self._taken(chain, earliest)
        for job, offset in chain.jobs.items():
            for lag in self.after.get(job, ()):
                there = self.starts[lag.after]
                if there is not None and there < start + offset + lag.wait:
                    return self.chain_of[lag.after], start + offset + lag.wait - there
        return None

    def _taken(self, chain: Chain, start: int) -> tuple[int, int] | None:
        """The chain that began to use what somebody else has before this one can give it back."""
        for job in chain.jobs:
            for use in self.uses.get(job, ()):
                began = self.starts[use.first]
                span = self._span(chain, use, start) if use.first not in chain.jobs else None
                clear = self.placed.clash(use, *span) if span is not None else None
                if clear is not None and began is not None and began < clear < _FOR_GOOD // 2:
                    return self.chain_of[use.first], clear - began
        return None

    def _shift(self, at: int, by: int) -> set[int]:
        """Take a chain out, and all that come after it, and let it begin so much later. What was taken out."""
        first = next(iter(self.chains[at].jobs))
        start = self.starts[first]
        assert start is not None
        self.least[at] = start - self.chains[at].jobs[first] + by
        taken: set[int] = set()
        queue = [at]
        while queue:
            one = queue.pop()
            if one in taken:
                continue
            taken.add(one)
            for job in self.chains[one].jobs:
                queue += [
                    self.chain_of[lag.after]
                    for lag in self.after.get(job, ())
                    if self.starts[lag.after] is not None and lag.wait >= 0
                ]
        for one in taken:
            for job in self.chains[one].jobs:
                self.starts[job] = None
        self.placed = _Placed(self.problem)
        for use in self.problem.uses:
            self._keep(use)
        return taken

    def _ready(self, chain: Chain) -> bool:
        """Whether all that must come before is there, but what lies inside the chain's own pauses."""
        for job in chain.jobs:
            for lag in self.before.get(job, ()):
                if lag.wait >= 0 and lag.before not in chain.jobs and self.starts[lag.before] is None:
                    return self._sandwiched(chain, lag.before)
        return True

    def _sandwiched(self, chain: Chain, job: int) -> bool:
        """Whether another job itself waits for this chain: then neither can be first, and this one goes."""
        seen = set()
        queue = [job]
        while queue:
            one = queue.pop()
            for lag in self.before.get(one, ()):
                if lag.before in chain.jobs:
                    return True
                if lag.before not in seen and lag.wait >= 0:
                    seen.add(lag.before)
                    queue.append(lag.before)
        return False

    def _place(self, at: int) -> bool:
        chain = self.chains[at]
        earliest, latest = self._window(chain)
        start = self._settle(chain, max(earliest, self.least.get(at, 0)), latest)
        if start is None:
            return False
        self._put(chain, start)
        return True

    def _window(self, chain: Chain) -> tuple[int, int | None]:
        """Between when and when a chain may begin, by what is there already."""
        earliest, latest = 0, None
        for job, at in chain.jobs.items():
            for lag in self.before.get(job, ()):
                start = self.starts[lag.before]
                if start is not None:
                    earliest = max(earliest, start + lag.wait - at)
            for lag in self.after.get(job, ()):
                start = self.starts[lag.after]
                if start is not None:
                    limit = start - lag.wait - at
                    latest = limit if latest is None else min(latest, limit)
        return earliest, latest

    def _settle(self, chain: Chain, start: int, latest: int | None) -> int | None:
        """The first beginning from `start` to `latest` at which there is room for all of it."""
        for _ in range(_MOST_MOVES):
            if latest is not None and start > latest:
                return None
            later = self._moved(chain, start)
            if later is None:
                return start
            if not start < later < _FOR_GOOD // 2:
                return None
            start = later
        return None

    def _moved(self, chain: Chain, start: int) -> int | None:
        """Where the chain may begin at the earliest when not at `start`; None when it may."""
        later: int | None = None
        for job, at in chain.jobs.items():
            begins = start + at
            free = self.problem.free.get(job)
            if free is not None:
                settled = next(
                    (max(a, begins) for a, b in free if max(a, begins) + self.problem.lengths[job] <= b), None
                )
                if settled is None:
                    return start  # never: given up
                if settled > begins:
                    later = max(later or 0, settled - at)
            for use in self.uses.get(job, ()):
                span = self._span(chain, use, start)
                if span is None or (use.first != use.last and job != use.last and use.last in chain.jobs):
                    continue
                clear = self.placed.clash(use, *span)
                if clear is not None:
                    own = chain.jobs.get(use.first)
                    if own is None:
                        return start  # it began elsewhere, and somebody else has it since
                    later = max(later or 0, clear - own)
        return later

    def _span(self, chain: Chain, use: Use, start: int) -> tuple[int, int] | None:
        """From when to when a use would be, as far as is known: until it is given back, it is kept."""
        first = start + chain.jobs[use.first] if use.first in chain.jobs else self.starts[use.first]
        if first is None:
            return None
        if use.last in chain.jobs:
            return first, start + chain.jobs[use.last] + self.problem.lengths[use.last]
        last = self.starts[use.last]
        if last is not None:
            return first, last + self.problem.lengths[use.last]
        return first, first + self.problem.lengths[use.first]

    def _put(self, chain: Chain, start: int) -> None:
        for job, at in chain.jobs.items():
            self.starts[job] = start + at
        done: set[int] = set()
        for job in chain.jobs:
            for use in self.uses.get(job, ()):
                if id(use) not in done:
                    done.add(id(use))
                    self._keep(use)

    def _keep(self, use: Use) -> None:
        """Note a use; one that is not given back yet is kept for good, so that nobody gets in between."""
        first, last = self.starts[use.first], self.starts[use.last]
        if first is not None:
            ends = last + self.problem.lengths[use.last] if last is not None else _FOR_GOOD
            self.placed.put(use, first, ends)
