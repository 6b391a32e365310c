"""What every text renderer needs: names that cannot command a terminal, plain colours, tables by `rich`.

A recipe's text comes from anywhere. A control character in it could move the cursor, set the title of a
window or turn the reading direction round; so each is shown as a visible sign instead.
"""

from __future__ import annotations

import io
import json
import re
import textwrap
from collections.abc import Sequence
from typing import Final, Literal

from rich.box import Box
from rich.console import Console
from rich.table import Table
from rich.text import Text

# C0 and C1 controls, what turns or hides text without showing (soft hyphen, zero-width space, direction
# marks, byte-order mark, tags), line separators that are not a line feed, and halves of surrogate pairs.
# Joiners (U+200C, U+200D) stay: they are part of how words and signs are written.
_HARMFUL: Final = re.compile(
    "[\x00-\x1f\x7f-\x9f\u00ad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]"
)

Colour = Literal["red", "yellow", "cyan", "green", "bold", "faint"]
_CODES: Final[dict[Colour, str]] = {
    "red": "1;31",
    "yellow": "33",
    "cyan": "36",
    "green": "32",
    "bold": "1",
    "faint": "2",
}

# One rule of dashes under the head and one above the foot; nothing at the sides.
_RULES: Final = Box("    \n    \n -- \n    \n -- \n -- \n    \n    \n", ascii=True)


_TAIL: Final = re.compile(r"(?: |\x1b\[[0-9;]*m)+$")


def _sign(found: re.Match[str]) -> str:
    code = ord(found.group())
    if code < 0x20:
        return chr(0x2400 + code)  # the control pictures: ESC becomes one visible sign
    return "\u2421" if code == 0x7F else "\ufffd"


def harmless(text: str) -> str:
    """`text` on one line, each control or hidden character replaced by one visible sign one cell wide.

    Tabs and line ends become single blanks.
    """
    return _HARMFUL.sub(_sign, re.sub(r"\r\n|[\t\n\r\x0b\x0c\x85\u2028\u2029]", " ", text))


def even_spaces(text: str) -> str:
    """Thin and no-break blanks as plain ones: a terminal has one blank, and people search with it."""
    return text.translate({0x2009: " ", 0x202F: " ", 0x00A0: " "})


def harmless_in_place(text: str) -> str:
    """As `harmless`, but every character keeps its place (one for one), tabs too: for marking columns."""
    return _HARMFUL.sub(lambda found: "\t" if found.group() == "\t" else _sign(found), text)


def painted(text: str, colour: Colour, on: bool) -> str:
    """`text` between plain ANSI colour codes, or as it is when `on` is false."""
    return f"\x1b[{_CODES[colour]}m{text}\x1b[0m" if on else text


def folded(text: str, width: int | None, indent: int = 0, hang: int = 2) -> list[str]:
    """Prose as lines of at most `width`, later lines `hang` further in; one line where `width` is None.

    Amounts stay whole: their blanks are not plain ones until the lines are cut. Words are never broken, so a
    long one may stand out.
    """
    text = harmless(text)
    if width is None:
        return [even_spaces(" " * indent + text)]
    lines = textwrap.wrap(
        text,
        max(width, indent + hang + 20),
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + hang),
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [even_spaces(line) for line in lines]


def json_text(value: object) -> str:
    """JSON that a person can read and a terminal can show: UTF-8, harmful characters as `\\u` escapes."""

    def escape(found: re.Match[str]) -> str:
        units = found.group().encode("utf-16-be", "surrogatepass")
        return "".join(f"\\u{units[at]:02x}{units[at + 1]:02x}" for at in range(0, len(units), 2))

    text = json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False)
    # dumps has escaped everything below U+0020 inside strings; the line feeds left are its own layout.
    return "\n".join(_HARMFUL.sub(escape, line) for line in text.split("\n")) + "\n"


def cell(text: str, style: str = "") -> Text:
    """A table cell whose text is never read as markup."""
    return Text(even_spaces(harmless(text)), style=style)


def table(
    heads: Sequence[str],
    right: Sequence[bool],
    rows: Sequence[Sequence[str]],
    foot: Sequence[Sequence[str]] = (),
    *,
    width: int | None,
    colour: bool,
) -> str:
    """A table as text, one line feed at the end; columns marked in `right` end flush right.

    `width` None lays it out as wide as it needs to be, for a pipe: no cell is ever wrapped. A head of empty
    strings is left out. `foot` rows stand below a rule.
    """
    grid = Table(
        box=_RULES,
        show_header=any(heads),
        show_edge=False,
        pad_edge=False,
        padding=(0, 2, 0, 0),
        header_style="bold" if colour else "",
    )
    for head, flush in zip(heads, right, strict=True):
        # Figures are never broken over two lines; words may be, where a width is given.
        grid.add_column(
            cell(head), justify="right" if flush else "left", no_wrap=flush or width is None, overflow="fold"
        )
    for number, row in enumerate(rows):
        grid.add_row(*(cell(text) for text in row), end_section=bool(foot) and number == len(rows) - 1)
    for row in foot:
        grid.add_row(*(cell(text, "bold" if colour else "") for text in row))
    stream = io.StringIO()
    console = Console(
        file=stream,
        width=width if width is not None else 100_000,
        force_terminal=colour,
        color_system="standard" if colour else None,
        no_color=not colour,
        markup=False,
        emoji=False,
        highlight=False,
        legacy_windows=False,
        _environ={},  # the same text whatever COLUMNS, NO_COLOR and the like say
    )
    console.print(grid, soft_wrap=width is None)
    return "".join(_TAIL.sub(_bare, line) + "\n" for line in stream.getvalue().splitlines())


def _bare(tail: re.Match[str]) -> str:
    """The end of a line without its blanks; where colours were switched there, they are switched off."""
    return "\x1b[0m" if "\x1b" in tail.group() else ""
