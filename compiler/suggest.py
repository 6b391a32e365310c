"""What a misspelt word may have been meant to be."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from benchproof.compiler.syntax import name_key

_LONGEST = (
    60  # nobody misspells a longer name than this by a letter or two, and hostile text should cost nothing
)


def distance(one: str, other: str, limit: int) -> int:
    """How many slips of the pen lie between two words: a letter left out, added, wrong, or two exchanged.

    Counts no further than `limit + 1`.
    """
    if abs(len(one) - len(other)) > limit:
        return limit + 1
    before: list[int] = []
    last = list(range(len(other) + 1))
    for row, a in enumerate(one, 1):
        now = [row] + [0] * len(other)
        for column, b in enumerate(other, 1):
            cost = min(last[column] + 1, now[column - 1] + 1, last[column - 1] + (a != b))
            if row > 1 and column > 1 and a == other[column - 2] and one[row - 2] == b:
                cost = min(cost, before[column - 2] + 1)
            now[column] = cost
        if min(now) > limit:
            return limit + 1
        before, last = last, now
    return min(last[-1], limit + 1)


def slips_allowed(word: str) -> int:
    """How many slips a word of this length may hold and still be recognised: 1 in a short one, at most 3."""
    return 0 if len(word) < 3 else 1 if len(word) < 6 else 2 if len(word) < 10 else 3


def nearest(word: str, candidates: Iterable[str], limit: int = 3) -> list[str]:
    """The candidates that `word` may have been meant to be, likeliest first, at most `limit` of them.

    Case, a leading `the`, blanks, apostrophes and hyphens are compared as names are. First those a slip or two
    away, then those that share all their words with it (`sugar`, `caster sugar`). Ties keep the alphabet's
    order, so the answer never depends on the order of asking.
    """
    key = name_key(word[: _LONGEST + 1])
    if not key or len(key) > _LONGEST:
        return []
    allowed = slips_allowed(key)
    words = set(key.split())
    found: list[tuple[int, str]] = []
    for candidate in dict.fromkeys(candidates):
        other = name_key(candidate)
        if len(other) > _LONGEST:
            continue
        slips = distance(key, other, allowed)
        if slips <= allowed and slips < len(other):
            found.append((slips, candidate))
        elif words and (words < set(other.split()) or set(other.split()) < words):
            found.append((10 + abs(len(words) - len(other.split())), candidate))
    return [candidate for _, candidate in sorted(found)[:limit]]


def sure_slip(word: str, candidates: Iterable[str]) -> str | None:
    """The one candidate that `word` can only be a slip of the pen for, so that it may be put right unseen.

    Nothing else is near it; one slip lies between them, in a word of five letters or more (or two letters of a
    shorter one are exchanged), which begins alike and holds the same digits: `Rise 2` is no slip for `Rise 1`, nor
    malt for salt.
    """
    near = nearest(word, candidates)
    if len(near) != 1:
        return None
    key, other = name_key(word), name_key(near[0])
    alike = key[0] == other[0] and [c for c in key if c.isdigit()] == [c for c in other if c.isdigit()]
    told = len(key) > 4 or sorted(key) == sorted(other)
    return near[0] if told and alike and distance(key, other, 1) == 1 else None


def one_of(words: Iterable[str], joint: str = "or") -> str:
    """Words for a sentence: `a`, `a or b`, `a, b or c`, each in backquotes."""
    quoted = [f"`{word}`" for word in words]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} {joint} {quoted[-1]}"


_FEW: Final = 8
_SHORT: Final = 40


def cut_short(name: str) -> str:
    """A name as a message can hold it: at most 40 letters."""
    return name if len(name) <= _SHORT else f"{name[: _SHORT - 1].rstrip()}…"


def few(names: Iterable[str]) -> str:
    """Names for a sentence: the first eight of them, none longer than 40 letters, `and 12 more`."""
    every = list(names)
    shown = ", ".join(cut_short(name) for name in every[:_FEW])
    return f"{shown} and {len(every) - _FEW} more" if len(every) > _FEW else shown


def did_you_mean(word: str, candidates: Iterable[str]) -> str:
    """`Did you mean ...?`, or nothing when no candidate is near."""
    found = nearest(word, candidates)
    return f"Did you mean {one_of(found)}?" if found else ""
