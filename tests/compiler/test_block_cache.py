"""Reading again: the same as reading anew, and only what has changed is read."""

import random
from dataclasses import fields, is_dataclass
from typing import Any

import pytest

from benchproof.compiler.block_cache import BlockCache
from benchproof.compiler.parser import read
from benchproof.compiler.source import Source, Span
from tests.compiler.bench import demo_texts

TEXT = """recipe Rounds
  makes: 12 rounds

ingredients
  flour: 280 g
  water: 145 %

equipment
  bowl

equipment
  bowl

step Mix
  Stir [the flour] into [the water], [3 min].
"""


def plain(node: Any) -> Any:
    """A tree as plain data, its spans as where they are and what they hold."""
    if isinstance(node, Span):
        return node.first, node.last, node.text
    if isinstance(node, tuple):
        return tuple(plain(one) for one in node)
    if is_dataclass(node):
        return type(node).__name__, *(
            plain(getattr(node, one.name)) for one in fields(node) if one.name != "place"
        )
    return node


def same(cache: BlockCache, text: str) -> None:
    source = Source(text, "a.bench")
    again, anew = cache.read(source), read(source)
    assert plain(again[0].blocks) == plain(anew[0].blocks)
    assert plain(again[1]) == plain(anew[1])


@pytest.mark.parametrize(
    ("after", "anew"),
    [
        (TEXT, 0),
        ("\n\n" + TEXT, 0),
        ("# a note\n" + TEXT, 1),  # a comment above the first block is in it
        (TEXT.replace("280 g", "290 g"), 1),
        (TEXT.replace("280 g", "290 g\n  salt: 2 %"), 1),
        (TEXT.replace("equipment\n  bowl\n\n", "", 1), 0),  # one of two alike went: the other stays, moved
        (TEXT + "\nequipment\n  bowl\n", 2),  # the last block has a blank line more now
        (TEXT.replace("ingredients", "ingrdients"), 1),
        ("", 0),
    ],
)
def test_only_what_has_changed_is_read(after: str, anew: int) -> None:
    cache = BlockCache()
    same(cache, TEXT)
    before = cache.read_anew
    same(cache, after)
    assert cache.read_anew - before == anew


def test_the_same_source_is_not_even_cut_again() -> None:
    cache, source = BlockCache(), Source(TEXT, "a.bench")
    assert cache.read(source) is cache.read(source)


def test_spans_move_with_their_block() -> None:
    cache = BlockCache()
    step = cache.read(Source(TEXT, "a.bench"))[0].blocks[-1]
    moved = cache.read(Source(TEXT.replace("12 rounds", "12 rounds\n  serves: 4"), "a.bench"))[0].blocks[-1]
    assert moved is step
    assert step.span.text.startswith("step Mix")
    assert step.span.line == TEXT.splitlines().index("step Mix") + 2


def test_what_is_forgotten_is_read_anew() -> None:
    cache = BlockCache()
    cache.read(Source(TEXT, "a.bench"))
    assert cache.names == {"a.bench"}
    cache.forget({"a.bench", "b.bench"})
    before = cache.read_anew
    cache.read(Source(TEXT, "a.bench"))
    assert cache.read_anew - before == 5


def test_wild_typing_reads_as_it_would_at_once() -> None:
    chance = random.Random(7)
    text = demo_texts()["harbour-griddle-rounds.bench"]
    cache = BlockCache()
    for _ in range(120):
        at = chance.randrange(len(text))
        piece = chance.choice(
            ["", "\n", "[", "]", "#", ": ", "step X\n  ", "½", "\t", "🥖", "<<<<<<< a\n", "12 g"]
        )
        text = text[:at] + piece + text[at + chance.randrange(6) :]
        same(cache, text)
