"""A Look: one recipe as it stands at this moment, with all that a page about it needs. Plain data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from benchproof.compiler.batch import Batch
from benchproof.compiler.day import Day
from benchproof.compiler.findings import Finding, Severity

State: TypeAlias = Literal["good", "mistaken", "last", "none"]


@dataclass(frozen=True, slots=True)
class Asking:
    """How much, and for what day, as somebody typed it; empty where nothing was. Nothing in it has been checked."""

    makes: str = ""
    times: str = ""
    on: str = ""


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why something is not there. The message is for a cook; `help` says what to do, and may be empty."""

    message: str
    help: str = ""


@dataclass(frozen=True, slots=True)
class Look:
    """One look at a recipe.

    number      goes up each time a file of the kitchen changes
    recipe      its name, and `file`, where it stands in the kitchen
    asking      what was asked, as typed; `refused` says why it was not met (then the batch is as written)
    missing     why the text could not be read at all
    state       `good`: the batch is of this text, and nothing grave was found; `mistaken`: it is of this text, and
                there are findings at error level; `last`: this text has no batch, and the one here is of the last
                text that was good; `none`: there is no batch
    findings    of this text, whatever the batch is of
    day         the batch laid out in time; `no_day` says why there is none
    """

    number: int
    recipe: str
    file: str
    asking: Asking
    refused: Trouble | None
    missing: Trouble | None
    state: State
    findings: tuple[Finding, ...]
    batch: Batch | None
    day: Day | None
    no_day: Trouble | None

    def count(self, severity: Severity) -> int:
        """How many findings there are of a severity."""
        return sum(finding.severity is severity for finding in self.findings)
