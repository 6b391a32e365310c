"""Putting right what can be put right unseen: every edit that findings carry, applied and held to its promise.

The promise: mending twice is the same as mending once; comments and line ends stay; a recipe that had a Batch has
one still, and it differs only where the mended line had not been read before; nothing new is found at warning or
above. An edit that would break it is left alone, and said. What stands in a recipe that could not be weighed before
was never looked for: what comes to light there is told, and is no breach. Nothing is written here: see `files`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from benchproof.compiler.blocks import cut
from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.findings import Edit, Finding, Severity
from benchproof.compiler.food import names_of
from benchproof.compiler.kitchen import Kitchen, Recipe
from benchproof.compiler.plain_json import bare
from benchproof.compiler.request import Request
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source, Span
from benchproof.compiler.syntax import Block, NamedHeading

ROUNDS: Final = 20
"""A line shows one slip at a time. Whoever makes more in one line than this is not helped unseen."""

_WITHOUT: Final = frozenset({"where", "revision"})
"""What of a Batch says only where in which text it came from."""

_TOUCHES: Final[dict[str, frozenset[str]]] = {
    "prices": frozenset({"cost"}),
    "style": frozenset({"style", "ratios"}),
}
"""Shared blocks, and what of a Batch may change with them."""


@dataclass(frozen=True, slots=True)
class MendedFile:
    """A file as it was read, its mended text, and the findings whose edits were made, in the order they were."""

    source: Source
    text: str
    applied: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class LeftAlone:
    """A finding whose edit was not made, and why: a whole sentence."""

    finding: Finding
    reason: str


@dataclass(frozen=True, slots=True)
class Mended:
    """What mending a kitchen gave. `files` are those that changed; spans of later rounds are of the text between.

    `revealed` is what is found now, at warning or above, in recipes that could not be weighed before.
    """

    files: tuple[MendedFile, ...]
    left: tuple[LeftAlone, ...]
    revealed: tuple[Finding, ...]


def mend(kitchen: Kitchen, on: str, only: Collection[str] | None = None) -> Mended:
    """Apply every edit that keeps the promise. `on` is the day to judge on, `only` the names of the files to mend."""
    start = _State(kitchen.sources, kitchen, on)
    state, seen = start, {start.texts}
    made: list[Finding] = []
    left: list[LeftAlone] = []
    for _ in range(ROUNDS):
        tried = _Round(state, only)
        tried.run()
        left = tried.left
        if not tried.made:
            break
        made += tried.made
        state = tried.state
        if state.texts in seen:
            return _never_ends(made)
        seen.add(state.texts)
    else:
        return _never_ends(made)
    known = {_key(one) for one in start.loud}
    return Mended(
        tuple(
            MendedFile(old, new.text, tuple(one for one in made if one.span.source.name == old.name))
            for old, new in zip(start.sources, state.sources, strict=True)
            if old.text != new.text
        ),
        tuple(dict.fromkeys(left)),
        tuple(one for one in state.loud if _key(one) not in known),
    )


def _never_ends(made: Iterable[Finding]) -> Mended:
    reason = "One mend here brings on the next without end."
    return Mended((), tuple(LeftAlone(one, reason) for one in dict.fromkeys(made)), ())


# ---------------------------------------------------------------- a kitchen at one moment


_Key = tuple[str, str, int]


def _key(finding: Finding) -> _Key:
    """What makes a finding the same before and after: no mend moves a line."""
    return finding.rule, finding.span.source.name, finding.span.line


class _Remembering(Compiler):
    """Compiles each recipe once: for its findings, and for what comes of it."""

    def __init__(self, kitchen: Kitchen) -> None:
        super().__init__(kitchen)
        self._compiled: dict[tuple[Recipe, Request], Compiled] = {}

    def compile(self, recipe: Recipe, request: Request) -> Compiled:
        if (recipe, request) not in self._compiled:
            self._compiled[recipe, request] = super().compile(recipe, request)
        return self._compiled[recipe, request]


class _State:
    """A kitchen's texts, with all that is found in them and comes of them."""

    def __init__(self, sources: Iterable[Source], kitchen: Kitchen, on: str) -> None:
        self.sources = tuple(sources)
        self.kitchen = kitchen
        self.on = on
        self.compiler = _Remembering(kitchen)

    def with_texts(self, texts: Mapping[str, str]) -> _State:
        sources = [
            Source(texts[one.name], one.name, path=one.path) if one.name in texts else one
            for one in self.sources
        ]
        return _State(sources, Kitchen(sources, self.kitchen.root), self.on)

    @property
    def texts(self) -> tuple[str, ...]:
        return tuple(source.text for source in self.sources)

    @cached_property
    def findings(self) -> list[Finding]:
        return check_kitchen(self.kitchen, self.compiler, self.on)

    @property
    def loud(self) -> Iterator[Finding]:
        return (one for one in self.findings if one.severity >= Severity.WARNING)

    @cached_property
    def batches(self) -> dict[tuple[str, str], dict[str, Any] | None]:
        """Each recipe's Batch as plain data, by its file and name; None where there is none."""
        found: dict[tuple[str, str], dict[str, Any] | None] = {}
        for recipe in self.kitchen.own_recipes():
            batch = self.compiler.compile(recipe, Request(on=self.on)).batch
            found[_name(recipe)] = bare(batch, _WITHOUT) if batch is not None else None
        return found

    @cached_property
    def comments(self) -> list[str]:
        return [
            source.text[raw.place.offset + a : raw.place.offset + b]
            for source in self.sources
            for raw in cut(source)
            for a, b in sorted(raw.comments)
        ]

    def block_at(self, file: str, line: int) -> Block | None:
        for block in self.kitchen.blocks:
            source = block.place.source
            if source.name == file and block.span.line <= line <= source.position(block.span.last)[0]:
                return block
        return None

    def recipe_of(self, block: Block) -> Recipe | None:
        return next(
            (one for one in self.kitchen.own_recipes() if any(block is its for its in one.blocks)), None
        )

    def touched(self, lines: Iterable[tuple[str, int]]) -> dict[tuple[str, str], frozenset[str] | None]:
        """The recipes whose Batch may change with these lines, and which fields of it: None is all of them."""
        keys: set[str] = set()
        found: dict[tuple[str, str], frozenset[str] | None] = {}
        for file, line in lines:
            block = self.block_at(file, line)
            if block is None:
                continue
            owner = self.recipe_of(block)
            if owner is not None:
                keys |= owner.keys
            elif block.kind == "ingredient" and isinstance(block.heading, NamedHeading):
                keys |= {block.heading.name.key, *(name.key for name in names_of(block, "also"))}
            elif block.kind in _TOUCHES:
                for recipe in self.kitchen.own_recipes():
                    found[_name(recipe)] = _TOUCHES[block.kind] | (found.get(_name(recipe)) or frozenset())
            elif block.kind == "kitchen":
                found |= dict.fromkeys(map(_name, self.kitchen.own_recipes()), None)
        found |= dict.fromkeys(map(_name, self._using(keys)), None)
        return found

    def _using(self, keys: set[str]) -> list[Recipe]:
        """The recipes of these names, and those that take anything of them, straight or by way of others."""
        using: list[Recipe] = []
        waiting = list(self.kitchen.own_recipes())
        while True:
            more = [one for one in waiting if keys & (one.keys | _listed(one))]
            if not more:
                return using
            using += more
            waiting = [one for one in waiting if one not in more]
            keys = keys.union(*(one.keys for one in more))


def _name(recipe: Recipe) -> tuple[str, str]:
    return recipe.source.name, recipe.name.key


def _listed(recipe: Recipe) -> set[str]:
    blocks = (*recipe.ingredients, *recipe.preferments, *recipe.soakers)
    return {entry.label.key for block in blocks for entry in block.entries()}


# ---------------------------------------------------------------- one round


class _Broken(Exception):
    """The promise would be broken. The text is the reason."""


class _Round:
    """All edits of one moment that do not overlap, made together; where that breaks the promise, those that keep it."""

    def __init__(self, state: _State, only: Collection[str] | None) -> None:
        self.base = self.state = state
        self.made: list[Finding] = []
        self.left: list[LeftAlone] = []
        self.names = {source.name for source in state.sources if only is None or source.name in only}

    def run(self) -> None:
        wanted = [one for one in self.base.findings if one.edit is not None]
        apart = list(_apart(self._ours(wanted)))
        if apart:
            self._settle(apart, [])

    def _ours(self, findings: Iterable[Finding]) -> Iterator[Finding]:
        """Those whose edit is in a file that may be mended, and moves no line."""
        for finding in findings:
            edit = finding.edit
            if edit is None or edit.span.source.name not in self.names:
                continue
            if edit.text.count("\n") == edit.span.text.count("\n"):
                yield finding
            else:
                self.left.append(LeftAlone(finding, "It would move the lines below it."))

    def _settle(self, group: list[Finding], good: list[Finding]) -> list[Finding]:
        """Those of `group` that can be made beside the `good` ones; of the others the reason is kept."""
        try:
            self.state, self.made = self._attempt([*good, *group])
        except _Broken as reason:
            if len(group) == 1:
                self.left.append(LeftAlone(group[0], str(reason)))
                return good
            half = len(group) // 2
            return self._settle(group[half:], self._settle(group[:half], good))
        return [*good, *group]

    def _attempt(self, findings: list[Finding]) -> tuple[_State, list[Finding]]:
        """Make these edits, then those of what shows on the mended lines only now. Raises _Broken."""
        before = {_key(one) for one in self.base.findings}
        lines = set(_lines(findings))
        state, made = _edited(self.base, findings), list(findings)
        for _ in range(ROUNDS):
            # A line shows one slip at a time: the next may be new, or the same again.
            old = before - {_key(one) for one in made}
            shown = [one for one in state.findings if _key(one)[1:] in lines and _key(one) not in old]
            more = list(_apart(self._ours(shown)))
            if not more:
                break
            lines |= set(_lines(more))
            state = _edited(state, more)
            made += more
        _hold(self.base, state, made)
        return state, made


def _apart(findings: Iterable[Finding]) -> Iterator[Finding]:
    """Those whose edits do not overlap: the first in each file wins, the others wait for the next round."""
    ends: dict[str, int] = {}
    edits = [(one.edit, one) for one in findings if one.edit is not None]
    for edit, finding in sorted(edits, key=lambda pair: (pair[0].span.first, pair[0].span.last)):
        span = edit.span
        if span.first > ends.get(span.source.name, -1):
            ends[span.source.name] = span.last
            yield finding


def _lines(findings: Iterable[Finding]) -> Iterator[tuple[str, int]]:
    for finding in findings:
        if finding.edit is not None:
            yield from _lines_of(finding.edit.span)


def _lines_of(span: Span) -> Iterator[tuple[str, int]]:
    last = span.source.position(span.last)[0]
    return ((span.source.name, line) for line in range(span.line, last + 1))


def _edited(state: _State, findings: Iterable[Finding]) -> _State:
    """The texts with these edits made, each file's from its end backwards."""
    texts = {source.name: source.text for source in state.sources}
    edits: list[Edit] = [one.edit for one in findings if one.edit is not None]
    for edit in sorted(edits, key=lambda one: one.span.first, reverse=True):
        name, text = edit.span.source.name, texts[edit.span.source.name]
        texts[name] = text[: edit.span.first] + edit.text + text[edit.span.last :]
    return state.with_texts(texts)


# ---------------------------------------------------------------- the promise


def _hold(before: _State, after: _State, made: list[Finding]) -> None:
    """Raises _Broken where the promise is not kept between two moments, with these findings mended."""
    if before.comments != after.comments:
        raise _Broken("It would change a comment.")
    _nothing_new(before, after, _changes(before, after))
    allowed = after.touched(_key(one)[1:] for one in made if not _was_read(before, after, one))
    for key, batch in before.batches.items():
        if batch is None:
            continue
        new = after.batches.get(key)
        if new is None:
            raise _Broken(f"“{batch['recipe']}” could not be weighed any more.")
        may = allowed.get(key, frozenset())
        if may is not None and {field for field in batch if batch[field] != new[field]} - may:
            raise _Broken(f"It would change what is worked out for “{batch['recipe']}”.")


def _was_read(before: _State, after: _State, finding: Finding) -> bool:
    """Whether its line was understood though it was not well written: then it must be read the same ever after."""
    if RULES[finding.rule].family != "writing":
        return False
    block = after.block_at(*_key(finding)[1:])
    owner = after.recipe_of(block) if block is not None else None
    return owner is not None and before.batches.get(_name(owner)) is not None


def _alike(one: str, other: str) -> int:
    """How many characters two texts begin alike with."""
    return next(
        (at for at, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other))
    )


def _changes(before: _State, after: _State) -> dict[tuple[str, int], tuple[int, int]]:
    """The lines that differ, and from which column to which: what stands between their alike beginning and end."""
    found: dict[tuple[str, int], tuple[int, int]] = {}
    for old, new in zip(before.sources, after.sources, strict=True):
        lines = zip(old.text.split("\n"), new.text.split("\n"), strict=True)
        for number, (was, now) in enumerate(lines, 1):
            if was != now:
                first = _alike(was, now)
                last = len(now) - _alike(was[first:][::-1], now[first:][::-1])
                found[new.name, number] = first, last
    return found


def _nothing_new(before: _State, after: _State, changes: Mapping[tuple[str, int], tuple[int, int]]) -> None:
    """Raises _Broken for what is loud now and was not, unless it was only never looked for."""
    known = {_key(one) for one in before.loud}
    for finding in after.loud:
        if _key(finding) in known:
            continue
        block = after.block_at(*_key(finding)[1:])
        owner = after.recipe_of(block) if block is not None else None
        hidden = owner is not None and before.batches.get(_name(owner)) is None
        if not hidden or _is_about(finding, changes) or RULES[finding.rule].family == "writing":
            raise _Broken(f"It would bring on {finding.rule}: {finding.message}")


def _is_about(finding: Finding, changes: Mapping[tuple[str, int], tuple[int, int]]) -> bool:
    """Whether it points at what was changed. What points at a whole line from its label on, does not for that."""
    first, last = changes.get(_key(finding)[1:], (0, 0))
    span = finding.span
    line = span.source.line(span.line)
    column = span.source.position(span.first)[1] - 1
    whole = column == len(line) - len(line.lstrip()) < first
    return not whole and column < last and first < column + span.last - span.first
