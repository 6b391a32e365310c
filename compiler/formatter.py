"""One layout for Bench text: what stands where, never what it says.

Labels and values in columns, units and dashes in their usual spelling, two spaces of indentation. Comments and blank
lines stay where they are; what could not be read stays as it is, to the last blank. Every line that is respelt is
read again, and kept as it was if it would then say something else.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any, Final

from benchproof.compiler.blocks import RawBlock, RawLine, blank_out, cut
from benchproof.compiler.parser import read_block
from benchproof.compiler.quantities import UNITS
from benchproof.compiler.source import Source, Span
from benchproof.compiler.syntax import Block, Entry, Line, Name, ProseLine, Text, Unread, Words

INDENT: Final = "  "

LONGEST_LABEL: Final = 20
"""A longer label pushes no column."""

LONGEST_LINE: Final = 48
"""A longer line pushes no comment."""

_LISTS: Final = frozenset({"ingredients", "preferment", "soaker", "prices", "cupboard"})
"""Blocks whose values begin with a number that is set to the right of its column."""

_SPELT: Final = {
    "gram": "g", "grams": "g", "kilogram": "kg", "kilograms": "kg", "ounce": "oz", "ounces": "oz", "lbs": "lb",
    "pound": "lb", "pounds": "lb", "L": "l", "litre": "l", "litres": "l", "teaspoon": "tsp", "teaspoons": "tsp",
    "tablespoon": "tbsp", "tablespoons": "tbsp", "sec": "s", "second": "s", "seconds": "s", "minute": "min",
    "minutes": "min", "hour": "h", "hours": "h", "inches": "inch", "°C": "C", "°F": "F",
}  # fmt: skip
"""Spellings that are read, and the usual one. Words that people read as words (`cups`, `days`) stay."""

_NUMBER: Final = r"(?:\d+(?:\.\d+)?(?: ?[½⅓⅔¼¾⅕⅛⅜⅝⅞])?|[½⅓⅔¼¾⅕⅛⅜⅝⅞])"
_DASH: Final = re.compile(rf"({_NUMBER}) ?[-–−—] ?(?={_NUMBER})")
_TO: Final = re.compile(rf"({_NUMBER}) to (?={_NUMBER})")
_PERCENT: Final = re.compile(r"(?<=\d) ?%")
_COMMA: Final = re.compile(r" *,(?!\d) *(?=\S)|(?<!\d) *, *(?=\S)")
_LEADING: Final = re.compile(r"(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?= |,|$)")


@cache
def _units() -> re.Pattern[str]:
    spellings = "|".join(re.escape(one) for one in sorted(UNITS, key=len, reverse=True))
    return re.compile(rf"(?<=[\d½⅓⅔¼¾⅕⅛⅜⅝⅞]) ?({spellings})(?![\w°])")


def formatted(source: Source) -> str:
    """The text in the one layout, with line feeds and a line end at its end."""
    rows = [_Row(line) for line in source.text.split("\n")]
    for raw in cut(source):
        _Layout(source, raw, rows).write()
    text = "\n".join(row.text for row in rows)
    return text.rstrip("\n") + "\n" if text.strip() else ""


@dataclass(slots=True)
class _Row:
    """One physical line as it will be written."""

    text: str


@dataclass(slots=True)
class _Cells:
    """A line to be set in columns."""

    row: int
    label: str | None
    value: str
    comment: str | None


class _Layout:
    def __init__(self, source: Source, raw: RawBlock, rows: list[_Row]) -> None:
        self.source = source
        self.raw = raw
        self.rows = rows
        self.block, _ = read_block(raw)
        self.comments = {self._row(start): raw.text[start:end] for start, end in raw.comments}

    def _row(self, offset: int) -> int:
        return self.source.position(self.raw.place.offset + offset)[0] - 1

    def write(self) -> None:
        """Write the block's lines anew, but for what was not understood."""
        block = self.block
        if block is None or block.heading is None or self.raw.conflicts:
            return
        if any(
            isinstance(line, Unread) and not raw.indent
            for line, raw in zip(block.lines, self.raw.lines, strict=True)
        ):
            return  # what stands at the margin may become a heading when its neighbours are indented
        cells = list(self._cells(block))
        alone = {*self.comments} - {self._row(line.start) for line in self.raw.lines}
        assert self.raw.heading is not None
        head = self._row(self.raw.heading.start)
        for row in alone - {head}:
            margin = not self.rows[row].text[:1].isspace()
            self.rows[row].text = ("" if margin else INDENT) + self.comments[row]
        heading = _one_blank(self.raw.text[self.raw.heading.start : self.raw.heading.end])
        self.rows[head].text = heading + (f"  {self.comments[head]}" if head in self.comments else "")
        self._set(block, cells)

    def _cells(self, block: Block) -> Iterator[_Cells]:
        for line, raw in zip(block.lines, self.raw.lines, strict=True):
            row = self._row(raw.start)
            comment = self.comments.get(row)
            if isinstance(line, Entry):
                label, value = self._entry(line, raw)
                yield _Cells(row, label, value, comment)
            elif isinstance(line, ProseLine):
                yield _Cells(row, None, self._prose(line, raw), comment)

    # ------------------------------------------------------------ one line

    def _entry(self, entry: Entry, raw: RawLine) -> tuple[str, str]:
        label = _one_blank(entry.label.span.text)
        value = self.raw.text[entry.value.span.start : raw.end]
        if isinstance(entry.value, Words):
            return label, value.strip()
        respelt = _respelt(value)
        if self._same(entry, f"{label}: {respelt}"):
            return label, respelt
        return label, value.strip()

    def _prose(self, line: ProseLine, raw: RawLine) -> str:
        text = self.raw.text[raw.start : raw.end]
        pieces: list[str] = []
        at = raw.start
        for piece in line.pieces:
            if isinstance(piece, Text):
                continue
            pieces.append(self.raw.text[at : piece.span.start])
            pieces.append(f"[{_respelt(piece.span.text.strip('[]'))}]")
            at = piece.span.end
        pieces.append(self.raw.text[at : raw.end])
        respelt = "".join(pieces)
        return respelt if respelt != text and self._same(line, respelt) else text

    def _same(self, line: Line, text: str) -> bool:
        """Whether a line still says the same when it is written like this."""
        assert self.raw.heading is not None
        heading = self.raw.text[self.raw.heading.start : self.raw.heading.end]
        raws = cut(Source(f"{heading}\n{INDENT}{text}\n"))
        if len(raws) != 1:
            return False
        block, findings = read_block(raws[0])
        return (
            block is not None
            and len(block.lines) == 1
            and not [one for one in findings if one.span.start >= len(heading)]
            and meaning(block.lines[0]) == meaning(line)
        )

    # ------------------------------------------------------------ columns

    def _set(self, block: Block, cells: Sequence[_Cells]) -> None:
        entries = [one for one in cells if one.label is not None]
        labels = [len(one.label or "") for one in entries]
        column = (
            max((length for length in labels if length <= LONGEST_LABEL), default=max(labels, default=0)) + 3
        )
        numbers = [_LEADING.match(one.value) for one in entries]
        right = max((match.end() for match in numbers if match), default=0) if block.kind in _LISTS else 0
        lines: list[tuple[_Cells, str]] = []
        for one in cells:
            if one.label is None:
                lines.append((one, f"{INDENT}{one.value}"))
                continue
            number = _LEADING.match(one.value)
            push = right - number.end() if number and right else 0
            label = f"{one.label}:"
            gap = max(column - len(label), 1) if len(one.label) <= LONGEST_LABEL else 1
            lines.append((one, f"{INDENT}{label}{' ' * (gap + push)}{one.value}".rstrip()))
        commented = [len(text) for one, text in lines if one.comment is not None and one.label is not None]
        at = max((length for length in commented if length <= LONGEST_LINE), default=0) + 2
        for one, text in lines:
            if one.comment is None:
                self.rows[one.row].text = text
            else:
                pad = max(at - len(text), 2) if one.label is not None else 2
                self.rows[one.row].text = f"{text}{' ' * pad}{one.comment}"


def _one_blank(text: str) -> str:
    return re.sub(r" {2,}", " ", blank_out(text)).strip()


def _respelt(text: str) -> str:
    """A value or a fact with its units, dashes and commas in their usual spelling."""
    text = _one_blank(text)
    text = _DASH.sub(r"\1-", text)
    text = _TO.sub(r"\1-", text)
    text = _PERCENT.sub(" %", text)
    text = _units().sub(lambda match: f" {_SPELT.get(match[1], match[1])}", text)
    return _COMMA.sub(", ", text)


def meaning(node: Any) -> Any:
    """What a part of the tree says, whatever its spelling: equal for two texts that say the same."""
    if isinstance(node, Span):
        return None
    if isinstance(node, (Name, Text)):
        return (type(node).__name__, _one_blank(node.text))
    if isinstance(node, tuple):
        return tuple(meaning(one) for one in node)
    if is_dataclass(node) and not isinstance(node, type):
        return (
            type(node).__name__,
            *(meaning(getattr(node, field.name)) for field in fields(node) if field.name != "raw"),
        )
    return node


def same_meaning(one: Iterable[Block], other: Iterable[Block]) -> bool:
    """Whether two texts' blocks say the same, line by line; comments must be there too."""
    return [_block_meaning(block) for block in one] == [_block_meaning(block) for block in other]


def _block_meaning(block: Block) -> Any:
    return (
        block.kind,
        meaning(block.heading),
        tuple(line.span.text if isinstance(line, Unread) else meaning(line) for line in block.lines),
        tuple(comment.text for comment in block.comments),
    )
