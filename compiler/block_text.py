"""The text of one block while it is read: its stretches as spans and names, and what there is to say about it."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from typing import Final

from benchproof.compiler.blocks import blank_out
from benchproof.compiler.findings import Also, Edit, Finding
from benchproof.compiler.parser_messages import Refused, Slip, refuse
from benchproof.compiler.source import Place, Span
from benchproof.compiler.syntax import Name

_LONGEST: Final = 1000
"""What is read as one heading, value or fact. A line of prose may be as long as it likes."""
_COMMA: Final = re.compile(r",(?!(?<=[0-9],)[0-9])")


class BlockText:
    """A block's text as it is written (`text`) and with every blank a space (`clean`), and its findings so far.

    All positions count characters from the block's place.
    """

    def __init__(self, place: Place, text: str) -> None:
        self.place = place
        self.text = text
        self.clean = blank_out(text)
        self.findings: list[Finding] = []

    def span(self, start: int, end: int) -> Span:
        return Span(self.place, start, end)

    def name(self, start: int, end: int) -> Name:
        start, end = self.trim(start, end)
        return Name(self.text[start:end], self.span(start, end))

    def trim(self, start: int, end: int) -> tuple[int, int]:
        """The stretch without the blanks at its ends; empty at `start` when there is nothing else."""
        piece = self.clean[start:end].rstrip(" ")
        last = start + len(piece)
        return (last - len(piece.lstrip(" ")), last) if piece else (start, start)

    def cut_commas(self, a: int, b: int) -> list[tuple[int, int]]:
        """The stretches between the commas, without their blanks; a comma inside a number cuts nothing."""
        cuts = [a - 1, *(a + found.start() for found in _COMMA.finditer(self.clean[a:b])), b]
        return [self.trim(one + 1, other) for one, other in itertools.pairwise(cuts)]

    def say(self, slip: Slip, also: tuple[tuple[int, int, str], ...] = ()) -> None:
        edit = None
        if slip.mend is not None:
            first = slip.start if slip.mend_start is None else slip.mend_start
            last = slip.end if slip.mend_end is None else slip.mend_end
            edit = Edit(self.span(first, last), slip.mend)
        self.findings.append(
            Finding(
                slip.rule,
                slip.severity,
                self.span(slip.start, slip.end),
                slip.message,
                slip.help,
                tuple(Also(self.span(a, b), note) for a, b, note in also),
                edit,
            )
        )

    def say_refused(self, refused: Refused) -> None:
        self.say(refused.slip, refused.also)

    def not_too_long(self, a: int, b: int) -> None:
        if b - a > _LONGEST:
            raise refuse(
                "too-long",
                a,
                a + 20,
                f"This is {b - a} characters long; at most {_LONGEST} are read as one heading, value or fact.",
                "Write it shorter, or in several lines.",
            )


def moved(slip: Slip, by: int) -> Slip:
    """The same slip, found in a piece of text that begins `by` characters further on."""
    return replace(
        slip,
        start=slip.start + by,
        end=slip.end + by,
        mend_start=None if slip.mend_start is None else slip.mend_start + by,
        mend_end=None if slip.mend_end is None else slip.mend_end + by,
    )
