"""Reading a text again after a change: blocks whose text is the same keep their trees and findings.

Their places are moved to where they stand now (see `source.Place`), so whatever still holds spans of an earlier
reading of the same text sees them move too. One reading of a text is in use at a time.
"""

from __future__ import annotations

from typing import TypeAlias

from benchproof.compiler.blocks import RawBlock, RawLine, cut
from benchproof.compiler.findings import Finding
from benchproof.compiler.parser import read_block
from benchproof.compiler.source import Place, Source
from benchproof.compiler.syntax import Block, BlockKind, File

_Key: TypeAlias = tuple[BlockKind | None, RawLine | None, str]
_Read: TypeAlias = tuple[Place, Block | None, tuple[Finding, ...]]


class BlockCache:
    """Reads texts, each known by its source's name, and keeps what it read of the last one of that name.

    `read_anew` counts the blocks that had to be read, since the start.
    """

    def __init__(self) -> None:
        self._files: dict[str, tuple[Source, tuple[File, tuple[Finding, ...]]]] = {}
        self._blocks: dict[str, dict[_Key, list[_Read]]] = {}
        self.read_anew = 0

    def read(self, source: Source) -> tuple[File, tuple[Finding, ...]]:
        """A text's tree and findings, as `parser.read` gives them. Raises nothing."""
        last = self._files.get(source.name)
        if last is not None and last[0] is source:
            return last[1]
        old = self._blocks.get(source.name, {})
        kept: dict[_Key, list[_Read]] = {}
        blocks: list[Block] = []
        findings: list[Finding] = []
        for raw in cut(source):
            key = (raw.kind, raw.heading, raw.text)
            read = self._again(old[key].pop(0), raw) if old.get(key) else self._anew(raw)
            kept.setdefault(key, []).append(read)
            if read[1] is not None:
                blocks.append(read[1])
            findings.extend(read[2])
        answer = File(tuple(blocks), Place(source)), tuple(findings)
        self._files[source.name] = source, answer
        self._blocks[source.name] = kept
        return answer

    def forget(self, names: set[str]) -> None:
        """Drop what is kept of the texts of these names."""
        for name in names:
            self._files.pop(name, None)
            self._blocks.pop(name, None)

    @property
    def names(self) -> set[str]:
        """The names of the texts that something is kept of."""
        return set(self._files)

    @staticmethod
    def _again(read: _Read, raw: RawBlock) -> _Read:
        place = read[0]
        place.source, place.offset = raw.place.source, raw.place.offset
        return read

    def _anew(self, raw: RawBlock) -> _Read:
        self.read_anew += 1
        block, findings = read_block(raw)
        return raw.place, block, findings
