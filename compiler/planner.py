"""Lays jobs out in time so that the whole is as short as it can be, and says whether it could be shorter.

Chains of jobs are laid out first, in several orders; where the best of these is as short as the bound, it is the
answer. Else an exact search goes on from there. It looks at no more than `MOST_NODES` cases: within them a plan is
proven the shortest, past them it is the best that was found.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Final

from benchproof.compiler.chains import chains, lay_out
from benchproof.compiler.order_search import Search
from benchproof.compiler.planning import Lag, NoPlan, Plan, Problem

USUAL_SIZE: Final = 60
"""Jobs up to which all cases may be looked at; of a larger day fewer, so that the time it takes stays bounded."""

MOST_NODES: Final = 1500
"""How many cases are looked at before the best plan so far is taken."""

MOST_PAIRS: Final = 12
"""How many pairs of recipes are looked at by themselves for a better bound."""

FEW_NODES: Final = 60
"""How many are looked at to see whether some deadlines more can be kept."""


def solve(problem: Problem, *, most_nodes: int | None = None) -> Plan:
    """The shortest plan found that keeps as many deadlines as could be kept. Raises NoPlan when there is none."""
    if most_nodes is None:
        size = max(len(problem.lengths), USUAL_SIZE)
        most_nodes = max(MOST_NODES * USUAL_SIZE**2 // size**2, 10)
    search = Search(problem, problem.deadlines)
    if search.unhindered is not None:
        return search.unhindered
    found, kept = chains(problem)
    all_kept = len(kept) == len(problem.deadlines)
    hard = problem if all_kept else replace(problem, deadlines=kept)
    if not all_kept:
        search = Search(hard, hard.deadlines)
    quick = lay_out(hard, found, search.floor) if search.floor is not None else None
    if quick is not None and not search.allows(quick):
        quick = None
    if search.floor is not None and quick is not None:
        length = max((start + own for start, own in zip(quick, hard.lengths, strict=True)), default=0)
        if search.floor < length:
            search.floor = max(search.floor, _two_by_two(hard, search, length))
    one_way_down = 0 if quick is not None else 4 * len(problem.lengths)  # a case for each clash
    plan = search.run(max(most_nodes, one_way_down), quick)
    if plan is not None:
        return plan if all_kept else replace(plan, proven=False)
    return _keep_what_can_be(hard, most_nodes)


def _two_by_two(problem: Problem, search: Search, enough: int) -> int:
    """What no plan can be shorter than, since no two of its separate parts can be laid out in less by themselves."""
    parts = _parts(problem)
    needs = (
        [max(search.first[job] + search.tail[job] for job in part) for part in parts] if search.first else []
    )
    bound = 0
    pairs = sorted(
        itertools.combinations(range(len(needs)), 2), key=lambda two: (-needs[two[0]] - needs[two[1]], two)
    )
    for one, other in pairs[:MOST_PAIRS]:
        small = _only(problem, sorted((*parts[one], *parts[other])))
        plan = Search(small, small.deadlines).run(FEW_NODES, None)
        if plan is not None:
            bound = max(bound, plan.bound)
        if bound >= enough:
            break
    return bound


def _parts(problem: Problem) -> list[list[int]]:
    """The jobs that hang together by what lies between them: in a day, the recipes."""
    part = list(range(len(problem.lengths)))

    def root(job: int) -> int:
        while part[job] != job:
            part[job] = part[part[job]]
            job = part[job]
        return job

    for lag in (*problem.lags, *problem.deadlines):
        part[root(lag.after)] = root(lag.before)
    found: dict[int, list[int]] = {}
    for job in range(len(part)):
        found.setdefault(root(job), []).append(job)
    return list(found.values())


def _only(problem: Problem, jobs: list[int]) -> Problem:
    """The problem without the other jobs."""
    new = {job: at for at, job in enumerate(jobs)}

    def turn(lags: tuple[Lag, ...]) -> tuple[Lag, ...]:
        return tuple(Lag(new[lag.before], new[lag.after], lag.wait) for lag in lags if lag.before in new)

    return Problem(
        lengths=tuple(problem.lengths[job] for job in jobs),
        lags=turn(problem.lags),
        deadlines=turn(problem.deadlines),
        uses=tuple(
            replace(use, first=new[use.first], last=new[use.last])
            for use in problem.uses
            if use.first in new and use.last in new
        ),
        capacity=problem.capacity,
        free={new[job]: free for job, free in problem.free.items() if job in new},
    )


def _keep_what_can_be(problem: Problem, most_nodes: int) -> Plan:
    """Let deadlines go: those that are missed by most when none is kept first, half of what is in doubt at a time."""
    plan = Search(problem, ()).run(max(most_nodes, 6 * len(problem.lengths)), None)
    if plan is None:
        raise NoPlan

    def late(lag: Lag) -> int:
        return plan.starts[lag.before] + lag.wait - plan.starts[lag.after]

    kept: list[Lag] = []
    best = plan
    doubtful = [sorted(problem.deadlines, key=lambda lag: (late(lag) > 0, late(lag), lag.after))]
    while doubtful:
        some = doubtful.pop()
        tried = Search(problem, (*kept, *some)).run(FEW_NODES, None)
        if tried is not None:
            kept += some
            best = tried
        elif len(some) > 1:
            doubtful += [some[len(some) // 2 :], some[: len(some) // 2]]
    final = Search(problem, tuple(kept)).run(most_nodes, best.starts)
    return replace(final or best, proven=False)
