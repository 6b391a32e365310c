"""Plant slips in the clean recipes, one at a time, and judge what the checks make of each."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from benchproof.compiler.findings import Finding
from benchproof.compiler.rules import RULES
from tests.recipes.seeded.corpus import Bench, Site, Where, corpus, new_findings
from tests.recipes.seeded.operators import OPERATORS, RIGHT, Slip, operators_for
from tests.recipes.seeded.situations import undetectable

SEED = 2026
COUNT = 300


@dataclass(frozen=True)
class Outcome:
    """What became of one slip. `found` are the new findings; `right` is one of them that is about the slip."""

    slip: Slip
    found: tuple[Finding, ...]
    right: Finding | None

    @property
    def place(self) -> str:
        return f"{self.slip.site.bench.shown(self.slip.site.source.name)}:{self.slip.line}"


@dataclass
class Run:
    """All outcomes of a draw, and how many slips nobody could know, by operator and kind of situation."""

    outcomes: list[Outcome] = field(default_factory=list)
    undetectable: Counter[tuple[str, str]] = field(default_factory=Counter)
    examples: dict[str, list[str]] = field(default_factory=dict)

    @property
    def share(self) -> float:
        """How many of the planted slips were found by a right rule in the right place."""
        return sum(one.right is not None for one in self.outcomes) / len(self.outcomes)


def places(finding: Finding) -> set[Where]:
    """The lines a finding points at: where its span begins, and where each of its `also` spans does."""
    return {
        Where(span.source.name, span.line) for span in (finding.span, *(one.span for one in finding.also))
    }


def is_right(slip: Slip, finding: Finding) -> bool:
    """Whether a new finding is about the slip: its rule may be, and it points at the slip's line."""
    allowed = RIGHT[slip.operator]
    rule = RULES.get(finding.rule)
    named = finding.rule in allowed or (rule is not None and rule.family in allowed)
    return named and bool(places(finding) & slip.lines)


def plant(slip: Slip) -> tuple[str | None, Outcome]:
    """Check a slip's kitchen: the situation nobody could know it in, and what was found."""
    bench = slip.site.bench
    after = bench.planted(slip.site.number, slip.text)
    kind = undetectable(slip, bench.state, after)
    found = tuple(new_findings(bench.state.findings, after.findings))
    right = next((one for one in found if is_right(slip, one)), None)
    return kind, Outcome(slip, found, right)


def draw(sites: Sequence[Site], seed: int) -> list[tuple[Site, list[str], random.Random]]:
    """Every site once, in an order that only the seed and the texts decide, with a die of its own."""
    order = list(sites)
    random.Random(seed).shuffle(order)
    return [(site, operators_for(site), random.Random(f"{seed} {at}")) for at, site in enumerate(order)]


def run(
    seed: int = SEED,
    count: int = COUNT,
    *,
    each: bool = False,
    only: str | None = None,
    benches: Sequence[Bench] | None = None,
) -> Run:
    """Plant `count` detectable slips, drawn evenly over all sites.

    At each site the operator is one that can work there and has been planted least often so far. With `each`, `count`
    slips of every operator are planted, as far as there are sites; `only` names the one operator to plant.
    """
    result = Run()
    planted: Counter[str] = Counter()
    tried: Counter[str] = Counter()
    sites = [site for bench in benches or corpus() for site in bench.sites]
    for site, names, rng in draw(sites, seed):
        names = [name for name in names if only in (None, name) and not (each and planted[name] >= count)]
        rng.shuffle(names)
        for name in sorted(names, key=lambda one: tried[one]):
            slip = OPERATORS[name](site, rng)
            if slip is None:
                continue
            tried[name] += 1
            kind, outcome = plant(slip)
            if kind is None:
                planted[name] += 1
                result.outcomes.append(outcome)
            else:
                result.undetectable[name, kind] += 1
                result.examples.setdefault(kind, []).append(
                    f"{outcome.place}: {slip.operator}: {slip.was!r} -> {slip.now!r}"
                )
            break
        if not each and len(result.outcomes) >= count:
            break
        if each and (
            tried.total() > 60 * count * len(OPERATORS) or all(planted[name] >= count for name in OPERATORS)
        ):
            break
    return result
