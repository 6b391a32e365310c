"""A Finding: one thing to tell the cook, where, and how to mend it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from benchproof.compiler.source import Span


class Severity(IntEnum):
    """How much it matters. Errors fail a check; warnings fail a strict one; hints never do."""

    HINT = 1
    WARNING = 2
    ERROR = 3

    @property
    def word(self) -> str:
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Edit:
    """A safe change to the text that mends a finding: put `text` in the place of `span`."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True)
class Also:
    """A second place that a finding points at: the other of two clashing lines."""

    span: Span
    note: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to tell the cook.

    `rule` is its name in words (`salt-ten-times`); `message` says what was read and what is wrong, in one or
    two sentences; `help` says what to write or do instead. `edit` is there only when the mend is safe.
    """

    rule: str
    severity: Severity
    span: Span
    message: str
    help: str = ""
    also: tuple[Also, ...] = ()
    edit: Edit | None = None

    @property
    def place(self) -> tuple[str, int, int]:
        """For sorting: file name, then where in it."""
        return self.span.source.name, self.span.first, self.span.last
