"""A kitchen's files in the one layout, each held against what it said before."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any, Final

from benchproof.compiler.compile import Compiler
from benchproof.compiler.formatter import formatted, same_meaning
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.parser import read
from benchproof.compiler.plain_json import bare
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source

_SPELLING: Final = frozenset({"where", "revision", "written", "text", "words", "pack", "reheats"})
"""What of a Batch shows how, and where, the cook wrote it."""


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A file, its text in the one layout, and whether that still says the same: else it is not to be used."""

    source: Source
    text: str
    keeps: bool

    @property
    def changed(self) -> bool:
        return self.text != self.source.text


def lay_out(kitchen: Kitchen, on: str, only: Collection[str] | None = None) -> list[LaidOut]:
    """The files of these names (all, when none are named) in the one layout. `on` is a day to compile for."""
    found: list[LaidOut] = []
    for source in kitchen.sources:
        if only is not None and source.name not in only:
            continue
        text = formatted(source)
        after = Source(text, source.name, path=source.path)
        keeps = text == source.text or (
            same_meaning(read(source)[0].blocks, read(after)[0].blocks) and formatted(after) == text
        )
        found.append(LaidOut(source, text, keeps))
    texts = {one.source.name: one.text for one in found if one.changed and one.keeps}
    if texts and not _same_batches(kitchen, texts, on):
        return [
            LaidOut(
                one.source, one.text, one.keeps and _same_batches(kitchen, {one.source.name: one.text}, on)
            )
            for one in found
        ]
    return found


def _same_batches(kitchen: Kitchen, texts: dict[str, str], on: str) -> bool:
    sources = [
        Source(texts[one.name], one.name, path=one.path) if one.name in texts else one
        for one in kitchen.sources
    ]
    return list(_batches(kitchen, on)) == list(_batches(Kitchen(sources, kitchen.root), on))


def _batches(kitchen: Kitchen, on: str) -> Iterator[Any]:
    compiler = Compiler(kitchen)
    for recipe in kitchen.own_recipes():
        yield recipe.name.key, bare(compiler.compile(recipe, Request(on=on)).batch, _SPELLING)


def only_lines(source: Source, text: str, first: int, last: int) -> str:
    """`text`, a layout of `source` line by line, taken for these lines alone (counted from 1, both ends in it)."""
    old, new = source.text.split("\n"), text.split("\n")
    return "\n".join(
        laid if first <= number <= last else kept
        for number, (kept, laid) in enumerate(zip(old, new + [""] * (len(old) - len(new)), strict=False), 1)
    )
