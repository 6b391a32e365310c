"""Text to blocks at the left margin, and blocks to lines.

Nothing is understood here but the shape: which lines head a block, which lie in it, where comments begin. A
mistake in one block then cannot hide one in the next, and a block whose text has not changed need not be read
again. Every step is linear in the length of the text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from benchproof.compiler.labels import VOCABULARY
from benchproof.compiler.source import Place, Source, Span
from benchproof.compiler.suggest import distance
from benchproof.compiler.syntax import BlockKind, name_key

_SPECIAL_BLANKS: Final = (
    "\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000"
)
_TO_BLANK: Final = dict.fromkeys(map(ord, "\t" + _SPECIAL_BLANKS), " ")
SPECIAL_BLANK: Final = re.compile(f"[{_SPECIAL_BLANKS}]")
"""A blank that is neither a space nor a tab: read as a space, and said so."""

_TOKEN: Final = re.compile(r"\[\[|\]\]|\[|\]|#")
_COLON: Final = re.compile(r":(?= |$)")
_CONFLICT: Final = re.compile(r"(?:<{7}|>{7}|\|{7})(?: |$)|={7}$")

HEADING_WORDS: Final[dict[str, BlockKind]] = {kind: kind for kind in VOCABULARY}


def blank_out(text: str) -> str:
    """The same text with every kind of blank made a space; offsets stay what they were."""
    return text.translate(_TO_BLANK)


@dataclass(frozen=True, slots=True)
class RawLine:
    """A line's content, without indentation, comment and trailing blanks: offsets from the block's place."""

    start: int
    end: int
    indent: int
    """How many blanks stand before it; 0 is the margin."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """What a merge left behind, from its first marker to its last: offsets from the block's place."""

    start: int
    end: int


@dataclass(slots=True)
class RawBlock:
    """A heading line and what stands under it.

    `kind` is None where the heading's word is none that we know, or where lines stand before any heading
    (`heading` is None then). `word` is the first word of the heading as written. `text` is the block's whole
    text: equal text means an equal tree.
    """

    place: Place
    kind: BlockKind | None
    heading: RawLine | None
    word: tuple[int, int] | None = None
    lines: list[RawLine] = field(default_factory=list)
    comments: list[tuple[int, int]] = field(default_factory=list)
    conflicts: list[Conflict] = field(default_factory=list)
    length: int = 0

    @property
    def text(self) -> str:
        return self.place.source.text[self.place.offset : self.place.offset + self.length]

    def span(self, start: int, end: int) -> Span:
        return Span(self.place, start, end)


def comment_start(line: str) -> int:
    """Where the comment of a line begins, or -1. `line` has only spaces for blanks.

    A `#` opens one at the line's start or after a blank, when a blank, another `#` or the line's end follows;
    never inside a bracket that is closed.
    """
    if "#" not in line:
        return -1
    closes = True
    at = 0
    while match := _TOKEN.search(line, at):
        at = match.end()
        token = match.group()
        if token == "[" and closes:
            close = line.find("]", at)
            if close < 0:
                closes = False  # nothing after this is closed either
            else:
                at = close + 1
        elif token == "#":
            begin = match.start()
            if (begin == 0 or line[begin - 1] == " ") and line[at : at + 1] in ("", " ", "#"):
                return begin
            while line[at : at + 1] == "#":  # `a##` holds no comment, and is passed once
                at += 1
    return -1


def colon_at(line: str) -> int:
    """Where the label's colon stands (the first followed by a blank or the end), or -1."""
    match = _COLON.search(line)
    return match.start() if match else -1


def heading_word(word: str) -> BlockKind | None:
    """The block a heading's first word opens, whatever its case."""
    return HEADING_WORDS.get(word.removesuffix(":").casefold())


def near_heading(word: str) -> BlockKind | None:
    """The block that a misspelt heading word surely means: one slip away from just one of them."""
    bare = word.removesuffix(":")
    if not 3 < len(bare) < 16 or not bare.islower():
        return None
    found = [kind for kind in HEADING_WORDS.values() if distance(bare, kind, 1) == 1]
    return found[0] if len(found) == 1 else None


def _is_heading(line: str, current: RawBlock | None, leads: bool) -> tuple[bool, BlockKind | None]:
    """Whether a line at the margin opens a block, and of which kind. `leads`: an indented line follows."""
    above = VOCABULARY[current.kind] if current is not None and current.kind is not None else None
    word = line.split(" ", 1)[0]
    colon = colon_at(line)
    known = colon >= 0 and above is not None and above.find(name_key(line[:colon])) is not None
    if known and not (colon == len(line) - 1 and leads):
        return False, None  # an entry of the block above that lost its indentation
    kind = heading_word(word)
    if kind is not None and (word.islower() or leads or above is None or not above.prose):
        return True, kind
    entry = 0 <= colon < len(line) - 1
    if not entry and (near := near_heading(word)):
        return True, near
    prose = line.endswith((".", "!", "?")) or "[" in line
    return current is None or (leads and not entry and not prose), None


@dataclass(frozen=True, slots=True)
class _Content:
    """One line that is not blank: offsets in the whole text. `start == end` where only a comment stands."""

    start: int
    end: int
    indent: int
    comment: tuple[int, int] | None


def _contents(clean: str) -> Iterator[_Content]:
    at = 0
    while at <= len(clean):
        stop = clean.find("\n", at)
        if stop < 0:
            stop = len(clean)
        line = clean[at:stop]
        hash_at = comment_start(line)
        body = (line if hash_at < 0 else line[:hash_at]).rstrip(" ")
        indent = len(body) - len(body.lstrip(" "))
        if hash_at >= 0:
            comment = (at + hash_at, at + len(line.rstrip(" ")))
            yield _Content(at + indent, at + len(body), indent, comment)
        elif body:
            yield _Content(at + indent, at + len(body), indent, None)
        at = stop + 1


def _conflicts(clean: str, lines: list[_Content]) -> dict[int, int]:
    """Merge markers: number of the first line of each conflict, to that of its last."""
    found: dict[int, int] = {}
    opened = -1
    for number, line in enumerate(lines):
        if line.indent or not _CONFLICT.match(clean[line.start : line.end]):
            continue
        if clean.startswith("<", line.start) and opened < 0:
            opened = number
            found[number] = number
        elif clean.startswith(">", line.start) and opened >= 0:
            for inner in [key for key in range(opened + 1, number) if key in found]:
                del found[inner]
            found[opened] = number
            opened = -1
        else:
            found[number] = number
    return found


def cut(source: Source) -> list[RawBlock]:
    """Cut a text into its blocks. Whatever is not blank ends up in exactly one of them.

    A comment at the margin ends no block; those before the first heading belong to the first block.
    """
    clean = blank_out(source.text)
    lines = list(_contents(clean))
    conflicts = _conflicts(clean, lines)
    blocks: list[RawBlock] = []
    early: list[tuple[int, int]] = []  # comments before the first block
    skip_to = -1

    def opened(kind: BlockKind | None, line: _Content | None) -> RawBlock:
        # The first block begins where the text does, so that comments above it are inside it.
        offset = line.start if line is not None and (blocks or not early) else 0
        block = RawBlock(Place(source, offset), kind, None)
        if line is not None:
            start, end = line.start - offset, line.end - offset
            block.heading = RawLine(start, end, 0)
            block.word = (start, start + len(clean[line.start : line.end].split(" ", 1)[0]))
        block.comments.extend((a - offset, b - offset) for a, b in early)
        early.clear()
        blocks.append(block)
        return block

    for number, line in enumerate(lines):
        if number <= skip_to:
            continue
        current = blocks[-1] if blocks else None
        if number in conflicts:
            skip_to = conflicts[number]
            block = current or opened(None, None)
            base = block.place.offset
            block.conflicts.append(Conflict(line.start - base, lines[skip_to].end - base))
            continue
        if line.start < line.end:
            content = clean[line.start : line.end]
            heads, kind = False, None
            if not line.indent:
                ahead = next(
                    (other for other in lines[number + 1 : number + 9] if other.start < other.end), None
                )
                leads = ahead is not None and ahead.indent > 0
                heads, kind = _is_heading(content, current, leads)
            if heads:
                current = opened(kind, line)
            else:
                current = current or opened(None, None)
                base = current.place.offset
                current.lines.append(RawLine(line.start - base, line.end - base, line.indent))
        if line.comment is not None:
            if current is None:
                early.append(line.comment)
            else:
                base = current.place.offset
                current.comments.append((line.comment[0] - base, line.comment[1] - base))
    for number, block in enumerate(blocks):
        end = blocks[number + 1].place.offset if number + 1 < len(blocks) else len(clean)
        block.length = end - block.place.offset
    return blocks
