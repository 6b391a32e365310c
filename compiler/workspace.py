"""What an editor has open, laid over the files of the kitchens they belong to.

Nothing is written here, and nothing asks how the editor talks. A text is known by its *key*: what the editor calls
it. Positions are offsets in a Source, stretches are Spans.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from benchproof.compiler import plugins
from benchproof.compiler.block_cache import BlockCache
from benchproof.compiler.checks import check_recipe, levels, names, prices, sorted_findings, unused
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import KITCHEN_FILE, Kitchen, Recipe
from benchproof.compiler.request import Request
from benchproof.compiler.source import Place, Source, Span
from benchproof.compiler.syntax import Block

LONGEST_TEXT: Final = 300_000
"""Characters of a text that is read as it is typed: some eight thousand lines, far more than anyone cooks from."""

LONGEST_RECIPE: Final = 400
"""Lines of a recipe that is worked out as it is typed, and `MOST_STEPS` steps: laying out the time of many takes long.

A longer one is read, and `benchproof check` looks at it.
"""
MOST_STEPS: Final = 60

MOST_FILES: Final = 5000
"""Files of one kitchen, and `MOST_ENTRIES` names looked at for them: a folder may be anything."""
MOST_ENTRIES: Final = 50_000

_SHARED: Final = frozenset({"kitchen", "prices", "ingredient", "cupboard"})
"""Blocks that the checks of the whole kitchen's prices look at."""


@dataclass(frozen=True, slots=True)
class Open:
    """A text open in the editor. `path` is None where it is no file; `version` is the editor's."""

    key: str
    path: Path | None
    version: int
    source: Source

    @property
    def too_long(self) -> bool:
        return len(self.source.text) > LONGEST_TEXT


@dataclass(frozen=True, slots=True)
class _OnDisk:
    stamp: tuple[int, int]
    source: Source | None
    """None where it cannot be read."""


class Room:
    """One kitchen as the editor sees it: its files, with the open texts in their place.

    `root` is None for a text that stands alone. `problems` says which files could not be read, and why.
    """

    def __init__(self, root: Path | None, today: Callable[[], str]) -> None:
        self.root = root
        self.today = today
        self.open: dict[str, Open] = {}
        self.problems: dict[str, str] = {}
        self.cache = BlockCache()
        self._disk: dict[Path, _OnDisk] = {}
        self._kitchen: Kitchen | None = None
        self._compiler: Compiler | None = None
        self._compiled: dict[Recipe, Compiled] = {}
        if root is not None:
            self.refresh()

    # ------------------------------------------------------------ its texts

    def put(self, document: Open) -> None:
        """Take a text, new or changed."""
        self.open[document.key] = document
        self._changed()

    def drop(self, key: str) -> None:
        """Let go of a text the editor closed: what is on disk counts again."""
        if self.open.pop(key, None) is not None:
            self._changed()

    def refresh(self) -> bool:
        """Look at the folder again. True where anything in it is not as it was."""
        if self.root is None:
            return False
        found: dict[Path, _OnDisk] = {}
        self.problems.pop(str(self.root), None)
        for number, path in enumerate(_bench_files(self.root)):
            if number >= MOST_FILES:
                self.problems[str(self.root)] = (
                    f"{self.root} holds more than {MOST_FILES} recipe files; the rest are not looked at."
                )
                break
            found[path] = self._look(path)
        before = {path: one.stamp for path, one in self._disk.items()}
        if before == {path: one.stamp for path, one in found.items()}:
            return False
        for path in set(self._disk) - set(found):
            self.problems.pop(str(path), None)
        self._disk = found
        self._changed()
        return True

    def _look(self, path: Path) -> _OnDisk:
        """A file as it is now, read again only where its time or its size has changed."""
        assert self.root is not None
        stamp = (0, -1)
        try:
            status = path.stat()
            stamp = (status.st_mtime_ns, status.st_size)
            last = self._disk.get(path)
            if last is not None and last.stamp == stamp:
                return last
            if status.st_size > 4 * LONGEST_TEXT:
                raise ValueError("is too long to be read while you type")
            source = Source.read(path, path.relative_to(self.root).as_posix())
            if len(source.text) > LONGEST_TEXT:
                raise ValueError("is too long to be read while you type")
        except UnicodeDecodeError:
            self.problems[str(path)] = f"{path} is not plain text in UTF-8."
        except OSError as error:
            self.problems[str(path)] = f"{path} cannot be read: {error.strerror or error}."
        except ValueError as error:
            self.problems[str(path)] = f"{path} {error}."
        else:
            self.problems.pop(str(path), None)
            return _OnDisk(stamp, source)
        return _OnDisk(stamp, None)

    def _changed(self) -> None:
        self._kitchen = self._compiler = None
        self._compiled = {}

    def sources(self) -> list[Source]:
        """Every text of the kitchen that can be read, in the order of its files; open ones as they are typed."""
        if self.root is None:
            return [one.source for one in self.open.values() if not one.too_long]
        texts: dict[Path, Source] = {}
        for path, on_disk in self._disk.items():
            if on_disk.source is not None:
                texts[path] = on_disk.source
        for one in self.open.values():
            if one.path is not None:
                texts.pop(one.path, None)
                if not one.too_long:
                    texts[one.path] = one.source
        return [texts[path] for path in sorted(texts)]

    # ------------------------------------------------------------ what they come to

    @property
    def kitchen(self) -> Kitchen:
        if self._kitchen is None:
            sources = self.sources()
            self.cache.forget(self.cache.names - {source.name for source in sources})
            self._kitchen = Kitchen(sources, self.root, self.cache.read)
        return self._kitchen

    @property
    def on(self) -> str:
        """The day it is costed for."""
        return self.kitchen.settings.costed_on or self.today()

    @property
    def compiler(self) -> Compiler:
        if self._compiler is None:
            self._compiler = Compiler(self.kitchen)
        return self._compiler

    def compiled(self, recipe: Recipe) -> Compiled:
        """A recipe of this kitchen as it is written, worked out once for a moment's texts."""
        if recipe not in self._compiled:
            self._compiled[recipe] = self.compiler.compile(recipe, Request(on=self.on))
        return self._compiled[recipe]

    def blocks(self, source: Source) -> list[Block]:
        """The blocks of one of its texts."""
        return list(self.cache.read(source)[0].blocks) if source in self.kitchen.sources else []

    def recipes_in(self, source: Source) -> list[Recipe]:
        return [one for one in self.kitchen.own_recipes() if one.source is source]

    def recipe_at(self, source: Source, offset: int) -> Recipe | None:
        """The recipe whose block an offset stands in."""
        block = self.block_at(source, offset)
        return self.recipe_of(block) if block is not None else None

    def recipe_of(self, block: Block) -> Recipe | None:
        source = block.place.source
        return next((one for one in self.recipes_in(source) if any(block is its for its in one.blocks)), None)

    def block_at(self, source: Source, offset: int) -> Block | None:
        """The block that an offset stands in: the last one that begins at or before it."""
        found = None
        for block in self.blocks(source):
            if block.span.first > offset:
                break
            found = block
        return found

    # ------------------------------------------------------------ what is found

    def reading(self, document: Open) -> list[Finding]:
        """What reading the text itself has found, at the kitchen's levels."""
        if document.too_long:
            return [_too_long(document)]
        kitchen = self.kitchen
        found = list(self.cache.read(document.source)[1])
        said = {(one.rule, one.span.first, one.span.last, one.message) for one in found}
        return [
            one
            for one in sorted_findings(levels.apply(kitchen, found), kitchen)
            if (one.rule, one.span.first, one.span.last, one.message) in said
        ]

    def looking(self, document: Open) -> Generator[None, None, list[Finding]]:
        """Everything that is found in a text, as `benchproof check` finds it; rests after every recipe.

        The texts must not change between two rests.
        """
        if document.too_long:
            return [_too_long(document)]
        kitchen, source = self.kitchen, document.source
        found = list(kitchen.findings)
        notes: list[Finding] = []
        yield
        for recipe in self.recipes_in(source):
            if too_long(recipe):
                notes.append(_too_long_a_recipe(recipe))
                continue
            compiled = self.compiled(recipe)
            yield
            found += check_recipe(compiled, kitchen)
            yield
        found += names.check_kitchen(kitchen)
        found += unused.check_kitchen(kitchen)
        found += plugins.check_kitchen(kitchen)
        if any(block.kind in _SHARED for block in self.blocks(source)):
            yield
            found += prices.check_kitchen(kitchen)
        kept = levels.apply(kitchen, list(dict.fromkeys(found)))
        return [*notes, *(one for one in sorted_findings(kept, kitchen) if one.span.source is source)]

    def findings(self, document: Open) -> list[Finding]:
        """Everything that is found in a text, at once."""
        looking = self.looking(document)
        while True:
            try:
                next(looking)
            except StopIteration as done:
                found: list[Finding] = done.value
                return found


class Workspace:
    """All that is open, by kitchens. `folders` are those the editor has open; `today` tells the day of asking."""

    def __init__(self, today: Callable[[], str], folders: Iterable[Path] = ()) -> None:
        self.today = today
        self.folders = [folder.resolve() for folder in folders]
        self.rooms: dict[Path | str, Room] = {}
        self._room_of: dict[str, Room] = {}

    def put(self, key: str, path: Path | None, text: str, version: int) -> Open:
        """A text the editor has opened or changed."""
        path = _resolved(path) if path is not None else None
        room = self._room_of.get(key)
        if room is None:
            root = self._root(path) if path is not None else None
            room = self.rooms.get(root or key)
            if room is None:
                room = self.rooms[root or key] = Room(root, self.today)
            self._room_of[key] = room
        name = key
        if path is not None:
            name = path.relative_to(room.root).as_posix() if room.root is not None else path.name
        document = Open(key, path, version, Source(text, name, path=path))
        new = key not in room.open
        room.put(document)
        if new and path is not None and path.name == KITCHEN_FILE:
            self._regroup()
        return document

    def drop(self, key: str) -> None:
        """A text the editor has closed. A kitchen with no text open is let go."""
        room = self._room_of.pop(key, None)
        if room is None:
            return
        room.drop(key)
        if not room.open:
            self.rooms = {name: one for name, one in self.rooms.items() if one is not room}

    def room(self, key: str) -> Room | None:
        return self._room_of.get(key)

    def document(self, key: str) -> Open | None:
        room = self._room_of.get(key)
        return room.open.get(key) if room is not None else None

    def refresh(self) -> list[Room]:
        """Look at the folders again; those kitchens in which anything is not as it was."""
        before = set(self.rooms.values())
        self._regroup()
        return [room for room in self.rooms.values() if room.refresh() or room not in before]

    def _regroup(self) -> None:
        """A kitchen file may have come or gone: put every open text where it belongs now."""
        for key, room in list(self._room_of.items()):
            document = room.open.get(key)
            if document is None or document.path is None:
                continue
            if self._root(document.path) != room.root:
                self.drop(key)
                text = document.source.text.replace("\n", document.source.newline)
                self.put(key, document.path, text, document.version)

    def _root(self, path: Path) -> Path | None:
        """The folder of the kitchen that a file belongs to; None for one that stands alone.

        As for the command: the nearest folder with a kitchen file (one that is only open counts), else the folder
        that the editor has open, else none.
        """
        if path.suffix != ".bench":
            return None
        unsaved = {
            document.path.parent
            for room in self.rooms.values()
            for document in room.open.values()
            if document.path is not None and document.path.name == KITCHEN_FILE
        }
        for folder in path.parents:
            if folder in unsaved or path == folder / KITCHEN_FILE or _is_file(folder / KITCHEN_FILE):
                return folder
        return next((folder for folder in self.folders if path.is_relative_to(folder)), None)


def _resolved(path: Path) -> Path:
    try:
        return path.resolve()
    except OSError:
        return path.absolute()


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:
        return False


def _bench_files(root: Path) -> Iterator[Path]:
    """The `.bench` files of a kitchen, as `kitchen.bench_files` finds them, but never for long and never failing."""
    waiting, looked = [root], 0
    while waiting:
        folder = waiting.pop()
        try:
            with os.scandir(folder) as entries:
                for entry in entries:
                    looked += 1
                    if looked > MOST_ENTRIES:
                        return
                    path = folder / entry.name
                    if entry.is_dir(follow_symlinks=False):
                        if not entry.name.startswith(".") and not _is_file(path / KITCHEN_FILE):
                            waiting.append(path)
                    elif path.suffix == ".bench" and _is_file(path):
                        yield path
        except OSError:
            continue  # a folder that is gone, or not ours to read, holds no recipe for us


def _too_long(document: Open) -> Finding:
    source = document.source
    return Finding(
        "too-long",
        Severity.WARNING,
        Span(Place(source), 0, min(len(source.line(1)), 200)),
        f"This text has {len(source.text)} characters; at most {LONGEST_TEXT} are read while you type, so nothing is "
        "said about it here.",
        "Cut it into several files, or ask `benchproof check`.",
    )


def too_long(recipe: Recipe) -> bool:
    """Whether a recipe is not worked out while it is typed."""
    return len(recipe.steps) > MOST_STEPS or _lines(recipe) > LONGEST_RECIPE


def _lines(recipe: Recipe) -> int:
    return sum(len(block.lines) + 1 for block in recipe.blocks)


def _too_long_a_recipe(recipe: Recipe) -> Finding:
    return Finding(
        "too-long",
        Severity.WARNING,
        recipe.name.span,
        f"This recipe has {len(recipe.steps)} steps and {_lines(recipe)} lines; at most {MOST_STEPS} and "
        f"{LONGEST_RECIPE} are checked while you type.",
        "Cut it into several recipes, or ask `benchproof check`.",
    )
