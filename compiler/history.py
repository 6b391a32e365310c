"""What became of a recipe: a line for each commit that touched it, its trials between them. Plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from benchproof.compiler.batch import Batch, Extent, Yield

VERSION: Final = 1

State: TypeAlias = Literal["compiled", "not compiled", "no recipe", "gone"]
"""What became of it at a commit: `no recipe` where its file held none of its names, `gone` where there was no file."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A recipe as written after a commit; `commit` None for what is not committed.

    `file` is its path from the repository's top, `renamed_from` what it was until then. Ratios are per hundred of
    flour, or of what the recipe bases them on; `elapsed` is in seconds. What the recipe does not have, or nobody
    knows, is None. `cost_complete` is false where a price was missing. `note` says why it does not compile.
    """

    date: str
    commit: str | None
    subject: str
    file: str
    renamed_from: str | None
    makes: Yield | None
    hydration: Fraction | None
    salt: Fraction | None
    yeast: Fraction | None
    yeast_word: str | None
    cost: Fraction | None
    cost_each: Fraction | None
    cost_complete: bool
    currency: str | None
    elapsed: Extent | None
    state: State
    note: str
    kind: Literal["commit"] = "commit"


@dataclass(frozen=True, slots=True)
class Tried:
    """A trial, in the notebook's own words."""

    date: str
    made: str | None
    weighed: str | None
    took: str | None
    changed: str | None
    result: str | None
    kind: Literal["trial"] = "trial"


@dataclass(frozen=True, slots=True)
class History:
    """The oldest first; trials stand after the commits of their day."""

    recipe: str
    file: str
    moments: tuple[Moment | Tried, ...]
    version: int = VERSION


def moment(
    date: str,
    commit: str | None,
    subject: str,
    file: str,
    renamed_from: str | None,
    batch: Batch | None,
    state: State,
    note: str,
) -> Moment:
    """A commit's line from what the recipe came to then; `state` and `note` say how it came to nothing."""
    if batch is None:
        return Moment(
            date,
            commit,
            subject,
            file,
            renamed_from,
            *(None, None, None, None, None, None, None),
            False,
            None,
            None,
            state,
            note,
        )
    ratios = {one.name: one for one in batch.ratios}
    value = {name: ratios[name].value if name in ratios else None for name in ("hydration", "salt", "yeast")}
    timed = batch.steps and batch.times.untimed < len(batch.steps)
    known = any(line.cost for line in batch.cost.lines)
    return Moment(
        date,
        commit,
        subject,
        file,
        renamed_from,
        batch.makes,
        value["hydration"],
        value["salt"],
        value["yeast"],
        ratios["yeast"].word if "yeast" in ratios else None,
        batch.cost.total if known else None,
        batch.cost.each if known else None,
        batch.cost.complete,
        batch.cost.currency,
        batch.times.elapsed if timed else None,
        state,
        note,
    )


def in_order(moments: Sequence[Moment], trials: Sequence[Tried]) -> tuple[Moment | Tried, ...]:
    """Commits in the order they were made, whatever their dates; each trial before the first commit of a later day."""
    waiting = sorted(trials, key=lambda one: one.date)
    found: list[Moment | Tried] = []
    for one in moments:
        while waiting and waiting[0].date < one.date:
            found.append(waiting.pop(0))
        found.append(one)
    return (*found, *waiting)
