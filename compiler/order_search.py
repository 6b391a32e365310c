"""An exact search for the shortest plan.

It looks at where the earliest starts put too many in one place, and tries each order of two of them: depth first, the
most promising first. What cannot be shorter than the best so far is passed over.
"""

from __future__ import annotations

import bisect
import heapq
from collections import deque
from collections.abc import Iterator, Sequence

from benchproof.compiler.planning import Lag, Plan, Problem, Use


class Search:
    def __init__(self, problem: Problem, deadlines: Sequence[Lag]) -> None:
        self.problem = problem
        self.deadlines = tuple(deadlines)
        self.length = problem.lengths
        self.size = len(self.length)
        self.next: list[list[tuple[int, int]]] = [[] for _ in range(self.size)]
        for lag in (*problem.lags, *self.deadlines):
            self.next[lag.before].append((lag.after, lag.wait))
        self.by_thing: dict[str, list[Use]] = {}
        for use in problem.uses:
            self.by_thing.setdefault(use.thing, []).append(use)
        self.tail = self._tails()
        self.most_raises = self.size * (self.size + 40) + 400
        self.first = self._first()
        self.floor = self._one_at_a_time(self.first) if self.first is not None else None
        """What no plan can be shorter than; None when there is no plan."""

    def _tails(self) -> list[int]:
        """What is to come from each job's beginning to the end of all."""
        tail = list(self.length)
        raises = 0
        changed = True
        while changed and raises <= self.size:
            changed = False
            raises += 1
            for job, others in enumerate(self.next):
                most = max((wait + tail[after] for after, wait in others), default=0)
                if most > tail[job]:
                    tail[job], changed = most, True
        return tail

    @property
    def unhindered(self) -> Plan | None:
        """The plan where nobody is in anybody's way; None where somebody is."""
        if self.first is None or self._clash(self.first) is not None:
            return None
        return self._plan((self._bound(self.first), self.first), True)

    def allows(self, starts: Sequence[int]) -> bool:
        """Whether it is a plan: all that must lie between does, and nobody is in anybody's way."""
        return (
            all(
                starts[after] >= starts[job] + wait
                for job, others in enumerate(self.next)
                for after, wait in others
            )
            and all(self._free_from(job, start) == start for job, start in enumerate(starts))
            and self._clash(starts) is None
        )

    # ------------------------------------------------------------ the earliest starts

    def _raise(
        self, starts: list[int], queue: Sequence[int], limit: int | None = None, moved: int | None = None
    ) -> bool:
        """Put later what must be later.

        False when it never settles, for then nothing can meet it, or when the whole would be no shorter than `limit`.
        `moved` is the only job of the queue when all else had settled.
        """
        raises = 0
        line = deque(queue)
        waiting = set(line)
        free = self.problem.free
        tail = self.tail
        while line:
            job = line.popleft()
            waiting.discard(job)
            start = starts[job]
            for after, wait in self.next[job]:
                least = start + wait
                if least <= starts[after]:
                    continue
                if after == moved and not free:
                    return False  # it waits for itself
                if after in free:
                    settled = self._free_from(after, least)
                    if settled is None:
                        return False
                    least = settled
                if limit is not None and least + tail[after] >= limit:
                    return False
                starts[after] = least
                raises += 1
                if raises > self.most_raises:
                    return False
                if after not in waiting:
                    waiting.add(after)
                    line.append(after)
        return True

    def _free_from(self, job: int, start: int) -> int | None:
        """The first time from `start` on at which the job can be done; None when there is none."""
        free = self.problem.free.get(job)
        if free is None:
            return start
        first = bisect.bisect_left(free, start + self.length[job], key=lambda stretch: stretch[1])
        for begins, ends in free[first:]:
            if max(begins, start) + self.length[job] <= ends:
                return max(begins, start)
        return None

    def _first(self) -> list[int] | None:
        starts = [0] * self.size
        for job in range(self.size):
            settled = self._free_from(job, 0)
            if settled is None:
                return None
            starts[job] = settled
        return starts if self._raise(starts, list(range(self.size))) else None

    # ------------------------------------------------------------ who is in whose way

    def _clash(self, starts: Sequence[int]) -> list[Use] | None:
        """The earliest place where too many use one thing: as few of them as are too many."""
        best: tuple[int, list[Use]] | None = None
        for thing, uses in self.by_thing.items():
            capacity = self.problem.capacity.get(thing, 1)
            if len(uses) <= capacity:
                continue
            spans = sorted(
                (
                    (starts[use.first], starts[use.last] + self.length[use.last], at)
                    for at, use in enumerate(uses)
                ),
            )
            active: list[tuple[int, int, int]] = []
            for span in spans:
                begins, _ends, at = span
                if best is not None and begins >= best[0]:
                    break
                active = [other for other in active if other[1] > begins]
                crowd = [
                    uses[other[2]] for other in active if self._meet(uses[other[2]], other, uses[at], span)
                ]
                states: dict[str, Use] = {}
                alone: list[Use] = []
                for use in (uses[at], *crowd):
                    if use.state is None:
                        alone.append(use)
                    else:
                        states.setdefault(use.state, use)
                together = [*alone, *states.values()]
                if len(together) > capacity:
                    best = (begins, together[: capacity + 1])
                    break
                active.append(span)
        return best[1] if best is not None else None

    def _meet(self, one: Use, first: tuple[int, int, int], other: Use, second: tuple[int, int, int]) -> bool:
        """Whether two uses are in each other's way; `first` begins no later. A moment is so only inside another."""
        if one.state is not None and one.state == other.state:
            return False
        if second[0] == second[1]:
            return first[0] < second[0] < first[1]
        return second[0] < first[1]

    def _order(self, one: Use, other: Use) -> Lag:
        """`other` after `one`."""
        return Lag(one.last, other.first, self.length[one.last])

    def _orders(self, starts: Sequence[int]) -> Iterator[Lag]:
        """Who waits for whom at each thing in a plan."""
        for uses in self.by_thing.values():
            for one in uses:
                ends = starts[one.last] + self.length[one.last]
                for other in uses:
                    if (
                        one is not other
                        and (one.state is None or one.state != other.state)
                        and ends <= starts[other.first]
                    ):
                        yield self._order(one, other)

    # ------------------------------------------------------------ the search

    def _bound(self, starts: list[int]) -> int:
        return max((start + tail for start, tail in zip(starts, self.tail, strict=True)), default=0)

    def _one_at_a_time(self, starts: list[int]) -> int:
        """What the uses of each thing that takes one at a time need, could they be broken off (Jackson's bound)."""
        bound = self._bound(starts)
        for thing, uses in self.by_thing.items():
            if self.problem.capacity.get(thing, 1) != 1:
                continue
            longest: dict[str, tuple[int, int, int]] = {}
            alone: list[tuple[int, int, int]] = []
            for use in uses:
                rest = self.tail[use.last] - self.length[use.last]
                one = (starts[use.first], self._span(use), rest)
                if use.state is None:
                    alone.append(one)
                elif use.state not in longest or one[1] > longest[use.state][1]:
                    longest[use.state] = one  # others in this state may share its time
            bound = max(bound, _jackson([one for one in (*alone, *longest.values()) if one[1]]))
        return bound

    def _span(self, use: Use) -> int:
        """How long a use takes at least: the longest way from its first job to the end of its last."""
        if use.first == use.last:
            return self.length[use.last]
        far = {use.first: 0}
        queue = [use.first]
        for job in queue:  # grows as it goes
            if len(queue) > self.most_raises:
                break
            for after, wait in self.next[job]:
                if wait >= 0 and far[job] + wait > far.get(after, -1):
                    far[after] = far[job] + wait
                    queue.append(after)
        return far.get(use.last, 0) + self.length[use.last]

    def run(self, most_nodes: int, known: Sequence[int] | None) -> Plan | None:
        """The shortest plan, looking at no more than `most_nodes` cases; `known` is a plan to do better than."""
        first, floor = self.first, self.floor
        if first is None or floor is None:
            return None
        best: tuple[int, list[int]] | None = None
        if known is not None:
            length = max((start + own for start, own in zip(known, self.length, strict=True)), default=0)
            best = (length, list(known))
            if length <= floor:
                return self._plan(best, True)
        nodes = 0
        stack: list[Iterator[tuple[list[int], Lag]]] = []
        added: list[Lag] = []
        exhausted = True
        starts: list[int] | None = first
        while True:
            if starts is not None:
                nodes += 1
                clash = self._clash(starts)
                if clash is None:
                    length = self._bound(starts)
                    if best is None or length < best[0]:
                        best = (length, starts)
                        if length <= floor:
                            break
                    starts = None
                else:
                    stack.append(iter(self._children(starts, clash, best[0] if best else None)))
            if nodes >= most_nodes:
                exhausted = False
                break
            starts = None
            while stack:
                if len(added) == len(stack):  # the last child of this level is done with
                    lag = added.pop()
                    self.next[lag.before].pop()
                child = next(stack[-1], None)
                if child is None:
                    stack.pop()
                    continue
                if best is not None and self._bound(child[0]) >= best[0]:
                    continue
                starts, lag = child
                added.append(lag)
                self.next[lag.before].append((lag.after, lag.wait))
                break
            if starts is None:
                break
        for lag in reversed(added):
            self.next[lag.before].remove((lag.after, lag.wait))
        if best is None:
            return None
        return self._plan(best, exhausted or best[0] <= floor)

    def _plan(self, best: tuple[int, Sequence[int]], proven: bool) -> Plan:
        length, starts = best
        bound = length if proven or self.floor is None else self.floor
        return Plan(tuple(starts), length, proven, bound, tuple(self._orders(starts)), self.deadlines)

    def _children(
        self, starts: list[int], clash: list[Use], limit: int | None
    ) -> list[tuple[list[int], Lag]]:
        """Every order of two of those that clash, the most promising first."""
        found: list[tuple[int, int, int, list[int], Lag]] = []
        for one in clash:
            for other in clash:
                if one is other or (one.state is not None and one.state == other.state):
                    continue
                lag = self._order(one, other)
                later = starts.copy()
                settled = self._free_from(lag.after, max(later[lag.after], later[lag.before] + lag.wait))
                if settled is None:
                    continue
                later[lag.after] = settled
                self.next[lag.before].append((lag.after, lag.wait))
                holds = self._raise(later, [lag.after], limit, lag.after)
                self.next[lag.before].pop()
                if not holds:
                    continue
                bound = self._bound(later)
                if limit is None or bound < limit:
                    found.append((bound, sum(later), len(found), later, lag))
        found.sort(key=lambda one: one[:3])
        return [(later, lag) for _, _, _, later, lag in found]


def _jackson(uses: list[tuple[int, int, int]]) -> int:
    """When all is done at the earliest: uses by when they may begin, how long they take, and what follows them."""
    uses = sorted(uses)
    left = [length for _, length, _ in uses]
    ready: list[tuple[int, int]] = []
    now = bound = at = 0
    while at < len(uses) or ready:
        if not ready:
            now = max(now, uses[at][0])
        while at < len(uses) and uses[at][0] <= now:
            heapq.heappush(ready, (-uses[at][2], at))
            at += 1
        rest, one = ready[0]
        until = now + left[one]
        if at < len(uses):
            until = min(until, uses[at][0])
        left[one] -= until - now
        now = until
        if not left[one]:
            heapq.heappop(ready)
            bound = max(bound, now - rest)
    return bound
