"""What is understood but not yet computed: said in a hint, never silently ignored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from benchproof.compiler.compile import Compiled
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.labels import VOCABULARY
from benchproof.compiler.rules import find
from benchproof.compiler.syntax import Block

WHOLE_BLOCKS: Final = frozenset({"cupboard", "week"})


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    for block in compiled.recipe.blocks:
        yield from _block(block)


def check_kitchen(kitchen: Kitchen) -> Iterator[Finding]:
    for block in kitchen.blocks:
        if block.kind in ("kitchen", "ingredient", "style", "cupboard", "week", "prices"):
            yield from _block(block)


def _block(block: Block) -> Iterator[Finding]:
    if block.kind in WHOLE_BLOCKS:
        span = block.heading.span if block.heading else block.span
        message = f"This `{block.kind}` block is understood, but this version does not compute with it yet"
        yield find("not-used-yet", span, f"{message}.", "Leave it in: nothing is lost.")
        return
    for entry in block.entries():
        label = VOCABULARY[block.kind].find(entry.label.key)
        if label is not None and not label.computed:
            yield find(
                "not-used-yet",
                entry.label.span,
                f"`{entry.label.text}` is understood, but this version does not compute with it yet.",
                "Leave it in: nothing is lost.",
            )
