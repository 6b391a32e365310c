"""The versions of the language, and how text of an older one is written anew for the next.

A change of what is written ships as a `Version` whose `rewrite` turns the blocks of the version before it into its own.
There is one version so far: the machinery is here so that the first change need not invent it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from benchproof.compiler.blocks import RawBlock, colon_at, cut
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import name_key


@dataclass(frozen=True, slots=True)
class Change:
    """Put `text` in the place of what stands from `start` to `end`, in code points from the block's beginning."""

    start: int
    end: int
    text: str


Rewrite: TypeAlias = Callable[[RawBlock], Iterable[Change]]


@dataclass(frozen=True, slots=True)
class Version:
    """A version of the language. `rewrite` makes its text of that of the version before; None for the first."""

    number: int
    rewrite: Rewrite | None = None


VERSIONS: Final[tuple[Version, ...]] = (Version(1),)
"""All there are, the newest last."""

NEWEST: Final = VERSIONS[-1].number


def upgraded(source: Source, written_in: int, versions: Sequence[Version] = VERSIONS) -> str:
    """The text of a file written in an older version, as the newest of `versions` writes it.

    What no rewrite speaks of stays as it is, comments and blanks too; the kitchen's `language` line tells the new
    number. Raises ValueError where `written_in` is none of the versions.
    """
    numbers = [version.number for version in versions]
    if written_in not in numbers:
        raise ValueError(f"there is no version {written_in} of the language")
    for version in versions[numbers.index(written_in) + 1 :]:
        assert version.rewrite is not None, "only the first version is made of nothing"
        source = Source(_rewritten(source, version.rewrite), source.name, path=source.path)
    if written_in != numbers[-1]:
        source = Source(_rewritten(source, _numbered(numbers[-1])), source.name, path=source.path)
    return source.text


def _rewritten(source: Source, rewrite: Rewrite) -> str:
    text = source.text
    for raw in reversed(cut(source)):
        offset = raw.place.offset
        for change in sorted(rewrite(raw), key=lambda one: one.start, reverse=True):
            text = text[: offset + change.start] + change.text + text[offset + change.end :]
    return text


def _numbered(number: int) -> Rewrite:
    """The `language` line of the kitchen block, with its new number."""

    def rewrite(raw: RawBlock) -> Iterable[Change]:
        if raw.kind != "kitchen" or raw.heading is None:
            return
        for line in raw.lines:
            said = raw.text[line.start : line.end]
            colon = colon_at(said)
            if colon >= 0 and name_key(said[:colon]) == "language":
                blanks = len(said) - len(said[colon + 1 :].lstrip())
                yield Change(line.start + blanks, line.end, str(number))
                return
        end = raw.text.find("\n", raw.heading.end)
        end = len(raw.text) if end < 0 else end
        yield Change(end, end, f"\n  language: {number}")

    return rewrite


def relabelled(kind: str, old: str, new: str) -> Rewrite:
    """The rewrite for the commonest change: a label of one sort of block has another name."""

    def rewrite(raw: RawBlock) -> Iterable[Change]:
        if raw.kind != kind:
            return
        for line in raw.lines:
            said = raw.text[line.start : line.end]
            colon = colon_at(said)
            if colon >= 0 and name_key(said[:colon]) == name_key(old):
                yield Change(line.start, line.start + len(said[:colon].rstrip()), new)

    return rewrite
