"""A kitchen as it was, at a commit; a recipe's two sides to compare, its history and its notebook.

What was read once is kept by what is in it, and what was compiled once by all the kitchen held: two hundred commits
mostly change one file.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final

from benchproof.compiler.batch import Batch
from benchproof.compiler.blocks import cut
from benchproof.compiler.comparison import Passage, Plainly, Side
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.git import Commit, GitError, Repository, Stored, bench_files, short
from benchproof.compiler.history import History, Moment, State, Tried, in_order, moment
from benchproof.compiler.kitchen import KITCHEN_FILE, Kitchen, Recipe, kitchen_root, open_kitchen
from benchproof.compiler.notebook import Notebook, notebook, read_trials
from benchproof.compiler.parser import read
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import SHARED_KINDS, Block, DatedHeading, File, name_key

AT_ONCE: Final = 500
"""Files asked of git in one go, so that what it says stays below its limit for all but the largest recipes."""


class _Read:
    """Texts read once: by their name and what is in them."""

    def __init__(self) -> None:
        self._sources: dict[tuple[str, str], Source | None] = {}
        self._read: dict[Source, tuple[File, tuple[Finding, ...]]] = {}

    def source(self, name: str, blob: str, data: bytes) -> Source | None:
        """None where it is not text in UTF-8."""
        if (name, blob) not in self._sources:
            try:
                self._sources[name, blob] = Source(data.decode("utf-8"), name)
            except UnicodeDecodeError:
                self._sources[name, blob] = None
        return self._sources[name, blob]

    def read(self, source: Source) -> tuple[File, tuple[Finding, ...]]:
        if source not in self._read:
            self._read[source] = read(source)
        return self._read[source]


@dataclass(frozen=True, slots=True, eq=False)
class Then:
    """A file in its kitchen at a commit. `source` is None where the file is not text in UTF-8."""

    kitchen: Kitchen
    compiler: Compiler
    source: Source | None


class Past:
    """The kitchens of a repository, commit by commit. Every method raises GitError."""

    def __init__(self, repository: Repository) -> None:
        self.repository = repository
        self._reader = _Read()
        self._contents: dict[str, bytes] = {}
        self._kitchens: dict[tuple[tuple[str, str], ...], tuple[Kitchen, Compiler]] = {}
        self._files: dict[tuple[str, str], tuple[str, list[Stored]]] = {}

    def load(self, wanted: Iterable[tuple[str, str]]) -> None:
        """Ask for the kitchens of these (commit, path) together: one question to git instead of one for each."""
        missing: dict[str, None] = {}
        for commit, path in wanted:
            for one in self._inside(commit, path)[1]:
                if one.blob not in self._contents:
                    missing[one.blob] = None
        blobs = list(missing)
        for first in range(0, len(blobs), AT_ONCE):
            self._contents |= self.repository.contents(blobs[first : first + AT_ONCE])

    def at(self, commit: str, path: str) -> Then | None:
        """A file, by its path from the repository's top, in its kitchen as a commit holds them; None where the commit
        has no such file."""
        self.load([(commit, path)])
        root, inside = self._inside(commit, path)
        if not any(one.path == path for one in inside):
            return None
        key = tuple((one.path, one.blob) for one in inside)
        sources: dict[str, Source] = {}
        for one in inside:
            name = PurePosixPath(one.path).relative_to(root).as_posix()
            source = self._reader.source(name, one.blob, self._contents[one.blob])
            if source is not None:
                sources[one.path] = source
        if key not in self._kitchens:
            kitchen = Kitchen(sources.values(), reader=self._reader.read)
            self._kitchens[key] = kitchen, _Once(kitchen)
        return Then(*self._kitchens[key], sources.get(path))

    def _inside(self, commit: str, path: str) -> tuple[str, list[Stored]]:
        if (commit, path) not in self._files:
            self._files[commit, path] = bench_files(self.repository.files(commit), path, KITCHEN_FILE)
        return self._files[commit, path]


class _Once(Compiler):
    """Compiles a recipe for a request once."""

    def __init__(self, kitchen: Kitchen) -> None:
        super().__init__(kitchen)
        self._made: dict[tuple[Recipe, Request], Compiled] = {}

    def compile(self, recipe: Recipe, request: Request) -> Compiled:
        if (recipe, request) not in self._made:
            self._made[recipe, request] = super().compile(recipe, request)
        return self._made[recipe, request]


# ---------------------------------------------------------------- two sides of a recipe


@dataclass(frozen=True, slots=True, eq=False)
class _Version:
    """A recipe of a file: its names, and the side it makes."""

    keys: frozenset[str]
    side: Side


def sides_of_files(old: Path, new: Path, on: str) -> list[tuple[Side, Side]]:
    """The recipes of two files, each file in its own kitchen and without the other, paired for comparing.

    `on` is the day to cost them on where the kitchen names none. Raises OSError and NotText as `open_kitchen` does.
    """
    return _paired(_of_file(old, new, str(old), on), _of_file(new, old, str(new), on), str(old), str(new))


def sides_of_revisions(path: Path, old: str, new: str | None, on: str) -> list[tuple[Side, Side]]:
    """The recipes of one file at two revisions; with `new` None, as the file is now. The file is followed through
    its names. Raises GitError, and OSError and NotText as `open_kitchen` does."""
    repository = Repository(path)
    past = Past(repository)
    here = repository.path_of(path)
    first = repository.commit(old)
    last = repository.commit(new) if new is not None else None
    if last is not None:
        then_path = _path_at(repository, here, last)
        now = _of_commit(past, last, then_path, on)
        new_words = f"{then_path} at {short(last)}"
    else:
        now = _of_file(path, path, here, on)
        new_words = here
    old_path = _path_at(repository, here, first)
    was = _of_commit(past, first, old_path, on)
    return _paired(was, now, f"{old_path} at {short(first)}", new_words)


def _path_at(repository: Repository, path: str, commit: str) -> str:
    """Where a file lay at a commit, if it has another name since."""
    since = repository.commits(path, since=commit)
    return since[-1].before if since else path


def _of_file(path: Path, other: Path, words: str, on: str) -> list[_Version]:
    kitchen = open_kitchen(path)
    path, other = path.resolve(), other.resolve()
    mine = [one for one in kitchen.sources if one.path == path]
    # Not called `.bench`, it is none of the kitchen's files: it is read in the kitchen all the same.
    source = mine[0] if mine else Source.read(path, path.name)
    # First, so that no other copy of the recipe in the kitchen takes its name.
    others = [one for one in kitchen.sources if one is not source and one.path != other]
    kitchen = Kitchen([source, *others], kitchen.root)
    return _versions(kitchen, Compiler(kitchen), source, words, on)


def _of_commit(past: Past, commit: str, path: str, on: str) -> list[_Version]:
    then = past.at(commit, path)
    if then is None:
        return []
    if then.source is None:
        raise GitError(f"{path} at {short(commit)} is not plain text in UTF-8.")
    return _versions(then.kitchen, then.compiler, then.source, f"{path} at {short(commit)}", on)


def _versions(kitchen: Kitchen, compiler: Compiler, source: Source, words: str, on: str) -> list[_Version]:
    passages = outline(source)
    found: list[_Version] = []
    for name, text in _by_recipe(passages):
        recipe = next(
            (one for one in kitchen.own_recipes() if one.source is source and one.name.key == name_key(name)),
            None,
        )
        batch: Batch | None = None
        why = _why_not(kitchen, source, ())
        if recipe is not None:
            batch, why = _batch(kitchen, compiler, recipe, on)
        keys = recipe.keys if recipe is not None else frozenset({name_key(name)})
        found.append(_Version(keys, Side(words, batch, text, why)))
    return found


def _batch(kitchen: Kitchen, compiler: Compiler, recipe: Recipe, on: str) -> tuple[Batch | None, str]:
    """A recipe as written, and why there is nothing of it."""
    compiled = compiler.compile(recipe, Request(on=kitchen.settings.costed_on or on))
    if compiled.batch is not None:
        return compiled.batch, ""
    return None, _why_not(kitchen, recipe.source, compiled.findings)


def _why_not(kitchen: Kitchen, source: Source, found: Iterable[Finding]) -> str:
    """The first mistake in a text."""
    spoilt = [
        one
        for one in (*kitchen.findings, *found)
        if one.severity is Severity.ERROR and one.span.source is source
    ]
    first = min(spoilt, key=lambda one: one.span.first, default=None)
    return f"Line {first.span.line}: {first.message}" if first is not None else "It is not read as a recipe."


def _paired(
    old: list[_Version], new: list[_Version], old_words: str, new_words: str
) -> list[tuple[Side, Side]]:
    """Each recipe with its other version: by name; one alone on either side is the same, whatever it is called."""
    missing_old = Side(old_words, None, None, "There is no such recipe in it.")
    missing_new = Side(new_words, None, None, "There is no such recipe in it.")
    if not old and not new:
        return [(missing_old, missing_new)]
    if len(old) == len(new) == 1:
        return [(old[0].side, new[0].side)]
    left = list(old)
    pairs: list[tuple[Side, Side]] = []
    for one in new:
        same = next((other for other in left if other.keys & one.keys), None)
        if same is not None:
            left.remove(same)
        pairs.append((same.side if same is not None else missing_old, one.side))
    return [*pairs, *((one.side, missing_new) for one in left)]


# ---------------------------------------------------------------- a text by its headings


def outline(source: Source) -> tuple[Passage, ...]:
    """A text's headings and the lines under them, comments and layout apart."""
    found: list[Passage] = []
    for raw in cut(source):
        lines = tuple(" ".join(raw.text[line.start : line.end].split()) for line in raw.lines)
        heading = raw.text[raw.heading.start : raw.heading.end] if raw.heading is not None else ""
        if heading or lines:
            found.append(Passage(" ".join(heading.split()), lines))
    return tuple(found)


def _by_recipe(passages: Sequence[Passage]) -> list[tuple[str, tuple[Passage, ...]]]:
    """The passages of each recipe of a text, by the name in its heading."""
    found: list[tuple[str, list[Passage]]] = []
    inside = False
    for one in passages:
        word, _, rest = one.heading.partition(" ")
        if word == "recipe":
            found.append((rest, [one]))
            inside = True
        elif word in SHARED_KINDS:
            inside = False
        elif inside:
            found[-1][1].append(one)
    return [(name, tuple(texts)) for name, texts in found]


# ---------------------------------------------------------------- a file line by line

_SHOWN: Final = frozenset({"ingredients", "preferment", "soaker", "equipment", "step"})
"""Blocks of a recipe that its Batch shows the whole of, comments apart."""

_SHOWN_LABELS: Final = frozenset({"makes", "serves", "loses", "gains", "base", "style", "keeps", "reheats"})

_MOST_FOLDERS: Final = 2000

_GIT_PREFIX: Final = re.compile(r"[A-Za-z0-9]{6}_(?=.)")
"""What older gits put before the name of a file they write out for a moment."""


def plainly(path: Path, here: Path, on: str) -> Plainly:
    """A file for `git diff` to show line by line. git hands over an older version as a file of the same name somewhere
    else, so its kitchen is looked for below `here`, the top of the work tree where git starts us: the kitchen as it is
    now, for both versions, so that only what this file says makes a difference.

    Raises OSError when it cannot be read and UnicodeDecodeError when it is not UTF-8.
    """
    source = Source.read(path, path.name)
    root = kitchen_root(path.resolve()) or _kitchen_of(path.name, here)
    others: tuple[Source, ...] = ()
    if root is not None:
        try:
            others = open_kitchen(root).sources
        except (OSError, ValueError):
            others = ()  # a kitchen that cannot be read is none; `check` says why
    resolved = path.resolve()
    kitchen = Kitchen([source, *(one for one in others if one.path != resolved)], root)
    versions = _versions(kitchen, Compiler(kitchen), source, path.name, on)
    compiled = {_heading(one.side) for one in versions if one.side.batch is not None}
    return Plainly(tuple(one.side for one in versions), tuple(_rest(source, compiled)))


def _heading(side: Side) -> str:
    return side.text[0].heading if side.text else ""


def _kitchen_of(name: str, here: Path) -> Path | None:
    """The folder of the one kitchen below `here` that has a file of this name, else of the only kitchen there is."""
    names = {name, _GIT_PREFIX.sub("", name, count=1)}
    kitchens: set[Path] = set()
    having: set[Path] = set()
    for number, (folder, inside, files) in enumerate(os.walk(here)):
        inside[:] = sorted(one for one in inside if not one.startswith("."))
        if number > _MOST_FOLDERS:
            break
        if KITCHEN_FILE in files:
            kitchens.add(Path(folder).resolve())
        root = kitchen_root(Path(folder).resolve()) if names & set(files) else None
        if root is not None:
            having.add(root)
    found = having or kitchens
    return next(iter(found)) if len(found) == 1 else None


def _rest(source: Source, compiled: set[str]) -> Iterator[Passage]:
    """What a file says beside what its recipes came to: other blocks, other entries, comments."""
    inside = False
    for raw in cut(source):
        text = raw.text
        heading = " ".join(text[raw.heading.start : raw.heading.end].split()) if raw.heading else ""
        word = heading.partition(" ")[0]
        if word in SHARED_KINDS:
            inside = word == "recipe" and heading in compiled
        elif word == "recipe" or not inside:
            inside = False
        said = [(line.start, " ".join(text[line.start : line.end].split())) for line in raw.lines]
        if inside and word == "recipe":
            said = [one for one in said if name_key(one[1].partition(":")[0]) not in _SHOWN_LABELS]
        elif inside and word in _SHOWN:
            said = []
        elif word != "recipe" and not inside and word not in SHARED_KINDS and heading:
            said = []  # a recipe that does not compile is told as written
        elif word == "recipe":
            said = []
        said += [(a, " ".join(text[a:b].split())) for a, b in raw.comments]
        lines = tuple(line for _, line in sorted(said) if line)
        if lines:
            yield Passage(heading, lines)


# ---------------------------------------------------------------- a recipe's history


def history_of(kitchen: Kitchen, recipe: Recipe, today: str) -> History:
    """What became of a recipe, commit by commit, and its trials between them. Raises GitError.

    Each commit is costed on the day its own kitchen names, else on its date; `today` is for what is not committed.
    """
    path = recipe.source.path
    assert path is not None, "a recipe of a kitchen on disk has a path"
    repository = Repository(path)
    past = Past(repository)
    here = repository.path_of(path)
    commits = repository.commits(here)
    past.load((one.id, one.path) for one in commits if one.blob is not None)
    keys = recipe.keys
    moments: list[Moment] = []
    for one in commits:  # from the newest back, since a recipe's former names are found on the way
        found, keys = _moment(past, one, keys)
        moments.append(found)
    moments.reverse()
    committed = past.at(repository.commit("HEAD"), here)
    if committed is None or committed.source is None or committed.source.text != recipe.source.text:
        batch, why = _batch(kitchen, Compiler(kitchen), recipe, today)
        state: State = "compiled" if batch is not None else "not compiled"
        moments.append(moment(today, None, "", here, None, batch, state, why))
    tried = [
        _tried(block, block.heading.date.text)
        for block in recipe.trials
        if isinstance(block.heading, DatedHeading)
    ]
    return History(recipe.name.text, here, in_order(moments, tried))


def _moment(past: Past, commit: Commit, keys: frozenset[str]) -> tuple[Moment, frozenset[str]]:
    """A commit's line, and the names the recipe answered to until then."""
    renamed = commit.before if commit.before != commit.path else None
    batch: Batch | None = None
    state: State = "gone"
    note = ""
    then = past.at(commit.id, commit.path) if commit.blob is not None else None
    if then is not None and then.source is None:
        state, note = "not compiled", "It is not plain text in UTF-8."
    elif then is not None:
        inside = [one for one in then.kitchen.own_recipes() if one.source is then.source]
        recipe = next((one for one in inside if one.keys & keys), inside[0] if len(inside) == 1 else None)
        state = "no recipe"
        if recipe is not None:
            keys = recipe.keys
            batch, note = _batch(then.kitchen, then.compiler, recipe, commit.date)
            state = "compiled" if batch is not None else "not compiled"
    found = moment(commit.date, commit.short, commit.subject, commit.path, renamed, batch, state, note)
    return found, keys


def _tried(block: Block, date: str) -> Tried:
    def said(label: str) -> str | None:
        entry = block.entry(label)
        return " ".join(entry.value.span.text.split()) if entry is not None else None

    return Tried(date, said("made"), said("weighed"), said("took"), said("changed"), said("result"))


# ---------------------------------------------------------------- a recipe's notebook


def notebook_of(compiler: Compiler, recipe: Recipe, on: str) -> Notebook | None:
    """A recipe's trials held against it; None where it does not compile. `on` is the day of asking."""
    compiled = compiler.compile(recipe, Request(on=on))
    if compiled.batch is None:
        return None
    settings = compiler.kitchen.settings
    return notebook(
        compiled.batch,
        compiled.formula.scaled,
        [loss.before_scaling for loss in compiled.formula.losses],
        settings.friction,
        read_trials(recipe.trials, settings.measures),
        lambda times: compiler.compile(recipe, Request(times=times, on=on)).batch,
    )
