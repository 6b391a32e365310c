"""Dates: year, month, day, and what to say of one written in another order."""

from __future__ import annotations

import datetime
import re
from typing import Final

from benchproof.compiler.block_text import BlockText
from benchproof.compiler.lark_tree import Token
from benchproof.compiler.parser_messages import Slip, refuse
from benchproof.compiler.syntax import Date

_MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def read_date(block: BlockText, token: Token) -> Date:
    """The day of a date's token. Raises `Refused` for a day that no calendar has."""
    text = str(token)
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        raise refuse(
            "no-such-date",
            token.start,
            token.end,
            f"There is no day `{text}`.",
            "Write year, month and day: `2026-11-02`.",
        ) from None
    return Date(text, block.span(token.start, token.end))


def date_slip(text: str, a: int) -> Slip | None:
    """A date that is not written year first, with the mend where it can be read in one way only."""
    if re.search(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?![0-9])", text):
        return None
    mended = None
    if found := re.search(r"(?<![0-9])([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?![0-9])", text):
        mended = f"{found.group(1)}-{int(found.group(2)):02}-{int(found.group(3)):02}"
    elif found := re.search(
        r"(?<![0-9])([0-9]{1,2})(?:st|nd|rd|th)? +([A-Za-z]{3,9})\.?,? +([0-9]{4})(?![0-9])", text
    ):
        month = found.group(2)[:3].lower()
        if month in _MONTHS:
            mended = f"{found.group(3)}-{_MONTHS.index(month) + 1:02}-{int(found.group(1)):02}"
    elif found := re.search(r"(?<![0-9])[0-9]{1,2}[-/.][0-9]{1,2}[-/.][0-9]{2,4}(?![0-9])", text):
        pass
    if not found:
        return None
    return Slip(
        "date-form",
        a + found.start(),
        a + found.end(),
        f"`{found.group()}` is not how a date is written here: year, month, day.",
        f"Write `{mended}`." if mended else "Write it as `2026-11-02`.",
        mended,
    )
