"""Source text, and where things stand in it.

Everything the compiler says points back at the cook's own text. A *Span* is the only position the rest of
the program carries; lines and columns are worked out at the edge, when a person or an editor asks.
"""

from __future__ import annotations

import hashlib
from bisect import bisect_right
from dataclasses import dataclass
from pathlib import Path


class Source:
    """One text, and the table of its lines.

    `text` has its line ends normalised to a line feed and no byte-order mark; `newline` keeps what the file
    used, for whoever writes it back. Offsets count code points of `text`.
    """

    def __init__(self, text: str, name: str = "text", *, path: Path | None = None) -> None:
        self.newline = "\r\n" if "\r\n" in text else "\r" if "\r" in text else "\n"
        self.text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
        self.name = name
        self.path = path
        starts = [0]
        at = self.text.find("\n")
        while at >= 0:
            starts.append(at + 1)
            at = self.text.find("\n", at + 1)
        self._starts = starts

    @classmethod
    def read(cls, path: Path, name: str | None = None) -> Source:
        """Read a UTF-8 file.

        Raises OSError when it cannot be read, UnicodeDecodeError when it is not UTF-8.
        """
        return cls(path.read_bytes().decode("utf-8"), name or str(path), path=path)

    def position(self, offset: int) -> tuple[int, int]:
        """Line and column of an offset, both from 1, the column in code points."""
        row = bisect_right(self._starts, offset) - 1
        return row + 1, offset - self._starts[row] + 1

    def line(self, number: int) -> str:
        """The text of a line, counted from 1, without its line end."""
        start = self._starts[number - 1]
        end = self._starts[number] - 1 if number < len(self._starts) else len(self.text)
        return self.text[start:end]

    @property
    def line_count(self) -> int:
        return len(self._starts)

    @property
    def digest(self) -> str:
        """The first eight hexadecimal digits of the text's SHA-256: enough to tell two prints apart."""
        return hashlib.sha256(self.text.encode("utf-8")).hexdigest()[:8]

    def __repr__(self) -> str:
        return f"Source({self.name!r})"


class Place:
    """Where a block stands: its source, and the offset in it of the block's first character.

    The spans inside a block count from its place, so a block whose text has not changed keeps its tree when
    the lines above it grow: only its place moves.
    """

    __slots__ = ("offset", "source")

    def __init__(self, source: Source, offset: int = 0) -> None:
        self.source = source
        self.offset = offset


@dataclass(frozen=True, slots=True, eq=False)
class Span:
    """A stretch of text: `start` and `end` (one past the last) in code points from the block's place."""

    place: Place
    start: int
    end: int

    @property
    def source(self) -> Source:
        return self.place.source

    @property
    def first(self) -> int:
        """Offset of the first character in the whole text."""
        return self.place.offset + self.start

    @property
    def last(self) -> int:
        """Offset one past the last character in the whole text."""
        return self.place.offset + self.end

    @property
    def text(self) -> str:
        return self.place.source.text[self.first : self.last]

    @property
    def line(self) -> int:
        return self.place.source.position(self.first)[0]

    def to(self, other: Span) -> Span:
        """The span from the start of this one to the end of `other`, in the same block."""
        return Span(self.place, self.start, other.end)

    def part(self, start: int, end: int) -> Span:
        """A stretch inside this span, counted from its start."""
        return Span(self.place, self.start + start, self.start + end)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Span):
            return NotImplemented
        return (self.source, self.first, self.last) == (other.source, other.first, other.last)

    def __hash__(self) -> int:
        return hash((self.first, self.last))

    def __repr__(self) -> str:
        line, column = self.source.position(self.first)
        return f"<{self.source.name}:{line}:{column} {self.text[:40]!r}>"
