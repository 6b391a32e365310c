"""How long it takes to plan a day:    python -m tests.benchmarks.day

The floor is the same net laid out one task after another, which is what any plan must cost at the least: reading the
batches and making the Day is in both. Processor time, the middle of several runs; nothing here is asserted.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from unittest import mock

from benchproof.compiler import plan_day as module
from benchproof.compiler.batch import Batch
from benchproof.compiler.plan_day import DayRequest, plan_day
from benchproof.compiler.planning import Lag, Plan, Problem
from tests.compiler.bench import DEMO, demo_batch

RUNS = 7
ON = "2026-11-20"

SIX = ("lighthouse-loaf", "church-hall-scones", "slack-water-buns", "rhubarb-compote", "sea-wall-frittata")
DAYS: dict[str, tuple[str, ...]] = {
    "1 recipe": ("lighthouse-loaf",),
    "3 recipes": ("harbour-griddle-rounds", "rhubarb-compote", "lighthouse-loaf"),
    "6 recipes": (*SIX, "pilot-boat-pikelets"),
    "6 recipes, hard": ("breakwater-flatbreads", "regatta-day-bake", *SIX[:1], *SIX[2:]),
    "12 recipes": DEMO[:12],
    f"{len(DEMO)} recipes": DEMO,
}


def one_after_another(problem: Problem) -> Plan:
    """All jobs in a row, in an order that what must come before allows."""
    waits = [0] * len(problem.lengths)
    after: list[list[Lag]] = [[] for _ in problem.lengths]
    for lag in problem.lags:
        waits[lag.after] += 1
        after[lag.before].append(lag)
    ready = [job for job, many in enumerate(waits) if not many]
    starts = [0] * len(problem.lengths)
    now = 0
    for job in ready:
        starts[job] = now
        now += problem.lengths[job]
        for lag in after[job]:
            waits[lag.after] -= 1
            if not waits[lag.after]:
                ready.append(lag.after)
    return Plan(tuple(starts), now, False, 0, (), ())


def took(work: Callable[[], object]) -> float:
    """ms of processor time, the middle of several runs."""
    times = []
    for _ in range(RUNS):
        began = time.process_time()
        work()
        times.append((time.process_time() - began) * 1000)
    return statistics.median(times)


def row(words: str, batches: list[Batch], request: DayRequest) -> str:
    day = plan_day(batches, request)
    steps = len({(one.recipe, one.step) for one in day.activities})
    ours = took(lambda: plan_day(batches, request))
    with mock.patch.object(module, "solve", one_after_another):
        floor = took(lambda: plan_day(batches, request))
    proven = "shortest" if day.proven else "not proven"
    return f"{words:18} {steps:5} {len(day.activities):10} {ours:9.1f} {floor:9.1f} {ours / floor:6.1f}  {proven}"


def main() -> None:
    out = sys.stdout
    out.write(
        f"{'what':18} {'steps':>5} {'activities':>10} {'ours, ms':>9} {'floor, ms':>9} {'ratio':>6}  plan\n"
    )
    for words, names in DAYS.items():
        batches = [demo_batch(name) for name in names]
        out.write(row(words, batches, DayRequest(on=ON, ready_at="18:00")) + "\n")


if __name__ == "__main__":
    main()
