"""Watching one recipe: its kitchen is read again when a file changes, and the last text that was good is kept.

Here are files and compiling, no page and no server. Only `.bench` files of the kitchen are read, by the rules of
`kitchen.open_kitchen`: no hidden folder, no linked folder, no other kitchen below.

An editor may save by writing in place, by writing beside and renaming, or by deleting first. So a text is taken
when no file has changed while it was read, and a file that is gone gets a moment to come back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from threading import Condition, Event, Lock
from typing import Final, TypeAlias

from benchproof.compiler.batch import Batch
from benchproof.compiler.checks import judged
from benchproof.compiler.compile import Compiled, Compiler, equipment_of
from benchproof.compiler.day import Day
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import KITCHEN_FILE, Kitchen, NotText, Recipe, bench_files, kitchen_root
from benchproof.compiler.look import Asking, Look, State, Trouble
from benchproof.compiler.parser import read
from benchproof.compiler.plan_day import CannotPlan, DayRequest, plan_day
from benchproof.compiler.request import Request, RequestError, times_of
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import File

_SECOND: Final = 1000
STEP: Final = 12
"""ms without a further change before a change is looked at."""
DEBOUNCE: Final = 80
"""ms at most: a file that changes without end is looked at all the same."""
LOOK_ANYWAY: Final = 2 * _SECOND
"""ms after which we look without being told: some drives tell nothing, and a full queue loses what it held."""
COME_BACK: Final = 150
"""ms for a file that is gone to come back."""
_TRIES: Final = 5
"""How often a kitchen is read again because a file changed meanwhile."""

_MOST_DAYS: Final = 8
"""For so many days what was found is kept."""
_YEARS: Final = range(1900, 2200)

_Checked: TypeAlias = tuple[Compiled, tuple[Finding, ...]]

Stamp: TypeAlias = tuple[int, int, int]
"""When a file was changed (ns), how long it is (bytes), and which file it is: a rename gives another."""


# ---------------------------------------------------------------- what is watched


@dataclass(frozen=True)
class Survey:
    """The files of a kitchen with their stamps, and the folders they may stand in."""

    files: dict[Path, Stamp | None]
    folders: frozenset[Path]


def survey(start: Path) -> Survey:
    """Which files the kitchen of `start`, a file or folder, is read from at this moment.

    A file that cannot be looked at has no stamp. Raises nothing: a folder that is gone is left out.
    """
    root = kitchen_root(start)
    if root is None and not start.is_dir():
        return Survey({start: _stamp(start)} if start.exists() else {}, frozenset(_there(start.parent)))
    files: dict[Path, Stamp | None] = {}
    folders: set[Path] = set()
    for folder in _folders(root or start):
        folders.add(folder)
        files.update((path, _stamp(path)) for path in _listed(folder) if path.suffix == ".bench")
    return Survey(files, frozenset(folders))


def _there(folder: Path) -> Iterator[Path]:
    if folder.is_dir():
        yield folder


def _folders(folder: Path) -> Iterator[Path]:
    """The folders that `kitchen.bench_files` looks into."""
    yield folder
    for path in _listed(folder):
        ours = path.is_dir() and not path.name.startswith(".") and not path.is_symlink()
        if ours and not (path / KITCHEN_FILE).is_file():
            yield from _folders(path)


def _listed(folder: Path) -> list[Path]:
    try:
        return list(folder.iterdir())
    except OSError:
        return []  # gone, or not ours to read: opening the kitchen says which


def _stamp(path: Path) -> Stamp | None:
    try:
        seen = path.stat()
    except OSError:
        return None
    return seen.st_mtime_ns, seen.st_size, seen.st_ino


class _Shelf:
    """The files of a kitchen as they were last read: one whose bytes are the same is not read again.

    Whole files, and nothing moved in them (as `block_cache` does), for two readings are in use: this one, and the
    last that was good.
    """

    def __init__(self) -> None:
        self._sources: dict[Path, tuple[bytes, Source]] = {}
        self._trees: dict[Source, tuple[File, tuple[Finding, ...]]] = {}

    def open(self, start: Path) -> Kitchen:
        """What `open_kitchen` opens, and it raises what that raises."""
        root = kitchen_root(start)
        if root is None and start.is_file():
            root, paths = start.parent, [start]
        else:
            root = root or start
            paths = list(bench_files(root))
        self._sources = {path: self._source(path, path.relative_to(root).as_posix()) for path in paths}
        sources = [source for _, source in self._sources.values()]
        self._trees = {source: self._trees[source] for source in sources if source in self._trees}
        return Kitchen(sources, root, self._read)

    def _source(self, path: Path, name: str) -> tuple[bytes, Source]:
        data = path.read_bytes()
        last = self._sources.get(path)
        if last is not None and last[0] == data and last[1].name == name:
            return last
        try:
            return data, Source(data.decode("utf-8"), name, path=path)
        except UnicodeDecodeError as error:
            raise NotText(path, error) from error

    def _read(self, source: Source) -> tuple[File, tuple[Finding, ...]]:
        if source not in self._trees:
            self._trees[source] = read(source)
        return self._trees[source]


# ---------------------------------------------------------------- what comes of it


@dataclass(frozen=True)
class _Text:
    """A kitchen as it was read, the recipe in it, where it was found, and what checking it for a day gave."""

    kitchen: Kitchen
    compiler: Compiler
    recipe: Recipe | None
    checked: dict[str, _Checked] = field(default_factory=dict)


class Watch:
    """One recipe, looked at again and again. Safe to use from several threads.

    `start` is the recipe's file, or a folder with `name` the recipe in it; with a file, `name` says which of its
    recipes is meant and may be None where it holds one. `today` gives the day where nothing else does.
    """

    def __init__(self, start: Path, name: str | None, today: Callable[[], str]) -> None:
        self._start = start.resolve()
        self._name = name
        self._shown = name or start.stem
        self._file = start.name if name is None else ""
        self._today = today
        self._shelf = _Shelf()
        self._survey: Survey | None = None
        self._text: _Text | None = None
        self._good: _Text | None = None
        self._missing: Trouble | None = None
        self._number = 0
        self._compiling = Lock()
        self._changed = Condition()
        self._closed = False
        self.refresh()

    # ------------------------------------------------------------ reading again

    @property
    def number(self) -> int:
        """How often the kitchen has been read."""
        return self._number

    @property
    def folders(self) -> frozenset[Path]:
        """Where a change would have to happen."""
        return self._survey.folders if self._survey is not None else frozenset()

    def refresh(self, pause: Callable[[float], object] | None = None) -> bool:
        """Look at the files, and read them again if one has changed. Says whether one had.

        `pause` waits so many seconds, for a file that is gone; without it nothing is waited for.
        """
        with self._compiling:
            seen = survey(self._start)
            if seen == self._survey:
                return False
            if pause is not None and self._went(seen):
                pause(COME_BACK / _SECOND)
                seen = survey(self._start)
                if seen == self._survey:
                    return False
            text, missing = self._read()
            for _ in range(_TRIES):
                before, seen = seen, survey(self._start)
                if before == seen:
                    break
                text, missing = self._read()
            self._survey, self._text, self._missing = seen, text, missing
            if text is not None:
                self._keep_good(text)
        with self._changed:
            self._number += 1
            self._changed.notify_all()
        return True

    def _went(self, seen: Survey) -> bool:
        return self._survey is not None and bool(self._survey.files.keys() - seen.files.keys())

    def _read(self) -> tuple[_Text | None, Trouble | None]:
        try:
            kitchen = self._shelf.open(self._start)
        except NotText as error:
            return None, Trouble(f"{error}.", "Save it again as UTF-8.")
        except OSError as error:
            if not self._start.exists():
                return None, self._gone()
            where = error.filename or self._start
            return None, Trouble(f"{where} cannot be read: {error.strerror or error}.")
        except Exception as error:  # noqa: BLE001 - a fault of ours must not end the watching: the page tells it
            return None, _our_fault(error)
        recipe = self._find(kitchen)
        text = _Text(kitchen, Compiler(kitchen), recipe)
        if recipe is not None:
            self._shown, self._file = recipe.name.text, recipe.source.name
            return text, None
        if self._start.suffix == ".bench" and not self._start.is_file():
            return text, self._gone()
        return text, self._not_found(kitchen)

    def _find(self, kitchen: Kitchen) -> Recipe | None:
        """By its file where that holds one recipe, else by its name, wherever it stands now."""
        own = kitchen.own_recipes()
        here = [one for one in own if one.source.path == self._start]
        if len(here) == 1 and self._name is None:
            return here[0]
        found = kitchen.recipe(self._name or self._shown)
        if found is not None:
            return found
        # It may have been given another name where it stood.
        there = here or [one for one in own if one.source.name == self._file]
        return there[0] if len(there) == 1 else None

    def _gone(self) -> Trouble:
        return Trouble(
            f"{self._start.name} is gone.",
            "When it is back under that name, this page goes on. Was it renamed? Then start again with the new name.",
        )

    def _not_found(self, kitchen: Kitchen) -> Trouble:
        here = [f"“{one.name.text}”" for one in kitchen.own_recipes() if one.source.path == self._start]
        if len(here) > 1 and self._name is None:
            return Trouble(
                f"{self._start.name} holds {len(here)} recipes: {', '.join(here)}.",
                "Start again with the name of one of them.",
            )
        if self._start.is_file() and self._name is None:
            return Trouble(
                f"{self._start.name} holds no recipe that can be read.",
                "A recipe begins with a line `recipe NAME`.",
            )
        return Trouble(
            f"No recipe here is called “{self._shown}” any more.",
            "Give it that name again, or start again with the new one.",
        )

    def _keep_good(self, text: _Text) -> None:
        if text.recipe is None:
            return
        try:
            compiled, findings = self._checked(text, text.recipe, self._day(text, None))
        except Exception as error:  # noqa: BLE001 - as above
            self._missing = _our_fault(error)
            return
        if compiled.batch is not None and not _grave(findings):
            self._good = text

    # ------------------------------------------------------------ looking

    def look(self, asking: Asking) -> Look:
        """The recipe as it stands, for what is asked."""
        with self._compiling:
            return self._look(asking)

    def _look(self, asking: Asking) -> Look:
        request, refused = Request(), None
        try:
            request = request_of(asking)
        except RequestError as error:
            refused = _refusal(error)
        text, missing = self._text, self._missing
        state: State = "none"
        compiled: Compiled | None = None
        findings: tuple[Finding, ...] = ()
        if text is not None and missing is None and text.recipe is not None:
            compiled, findings = self._checked(text, text.recipe, self._day(text, request.on))
            state = "none" if compiled.batch is None else "mistaken" if _grave(findings) else "good"
        elif text is not None:
            findings = self._of_files(text)
        shown = text
        if state == "none" and self._good is not None:
            shown, state = self._good, "last"
        batch: Batch | None = None
        day: Day | None = None
        no_day: Trouble | None = None
        if state != "none" and shown is not None and shown.recipe is not None:
            request = replace(request, on=self._day(shown, request.on))
            try:
                batch = shown.compiler.compile(shown.recipe, request).batch
            except RequestError as error:
                refused = _refusal(error)
                batch = shown.compiler.compile(shown.recipe, Request(on=request.on)).batch
            assert batch is not None, "a text without a batch is not shown"
            day, no_day = _day_of(shown.kitchen, batch)
        return Look(
            number=self._number,
            recipe=self._shown,
            file=self._file,
            asking=asking,
            refused=refused,
            missing=missing,
            state=state,
            findings=findings,
            batch=batch,
            day=day,
            no_day=no_day,
        )

    def _day(self, text: _Text, asked: str | None) -> str:
        return asked or text.kitchen.settings.costed_on or self._today()

    def _checked(self, text: _Text, recipe: Recipe, on: str) -> _Checked:
        """The recipe as written, and what there is to say of it, of its file and of the house rules."""
        if on in text.checked:
            return text.checked[on]
        written = text.compiler.compile(recipe, Request(on=on))
        found = judged(written, text.kitchen, self._of_files(text))
        if len(text.checked) >= _MOST_DAYS:
            text.checked.clear()
        text.checked[on] = written, tuple(found)
        return text.checked[on]

    def _of_files(self, text: _Text) -> tuple[Finding, ...]:
        """What reading found in the recipe's file and in the kitchen's own."""
        files = (self._file, KITCHEN_FILE)
        return tuple(one for one in text.kitchen.findings if one.span.source.name in files)

    # ------------------------------------------------------------ waiting

    def wait(self, after: int, seconds: float) -> int:
        """Wait until the number is another than `after`, or `seconds` are over, or all is closed. The number then."""
        with self._changed:
            self._changed.wait_for(lambda: self._closed or self._number != after, seconds)
            return self._number

    @property
    def closed(self) -> bool:
        return self._closed

    def close(self) -> None:
        """Let go whoever waits."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def run(self, stop: Event) -> None:
        """Read again whenever a file changes, until `stop` is set."""
        from watchfiles import watch  # late: only this command pays for it

        while not stop.is_set():
            folders = self.folders
            if not folders:
                stop.wait(1)
                self.refresh(stop.wait)
                continue
            try:
                changes = watch(
                    *folders,
                    watch_filter=None,  # the stamps say what matters, and a folder's name says nothing
                    debounce=DEBOUNCE,
                    step=STEP,
                    stop_event=stop,
                    rust_timeout=LOOK_ANYWAY,
                    yield_on_timeout=True,
                    raise_interrupt=False,
                    recursive=False,  # a folder of another kitchen, or one that a link leads to, is not ours
                )
                with closing(changes):
                    for _ in changes:
                        self.refresh(stop.wait)
                        if self.folders != folders:
                            break
            except (OSError, RuntimeError):
                # A folder went just now, or this machine has no watches left: then we look once a second.
                stop.wait(1)
                self.refresh(stop.wait)


def request_of(asking: Asking) -> Request:
    """What was typed, as a Request. Raises RequestError where it is none."""
    makes, times, on = (" ".join(text.split()) for text in (asking.makes, asking.times, asking.on))
    if makes and times:
        raise RequestError("Both fields say how much to make.", "Fill in one of the two.")
    return Request(
        makes=makes or None, times=times_of(times) if times else None, on=_date(on) if on else None
    )


def _date(text: str) -> str:
    try:
        asked = date.fromisoformat(text)
    except ValueError as error:
        raise RequestError(f"“{text}” is not a date.", "Write it year first: `2026-11-20`.") from error
    if asked.year not in _YEARS:
        raise RequestError(f"{text} is too far away.", "Ask for a day on which somebody may cook this.")
    return asked.isoformat()


def _refusal(error: RequestError) -> Trouble:
    """In the words of a form: its fields have no dashes before their names."""
    message = str(error).replace("--", "")
    return Trouble(message[:1].upper() + message[1:], error.help.replace("--", ""))


def _our_fault(error: Exception) -> Trouble:
    return Trouble(
        f"Benchproof has a fault of its own ({type(error).__name__}: {error}).",
        "Please report it with the file and this line.",
    )


def _grave(findings: tuple[Finding, ...]) -> bool:
    return any(one.severity is Severity.ERROR for one in findings)


def _day_of(kitchen: Kitchen, batch: Batch) -> tuple[Day | None, Trouble | None]:
    settings = kitchen.settings
    try:
        return (
            plan_day(
                [batch],
                DayRequest(
                    on=batch.asked.on,
                    zone=settings.zone,
                    stock=equipment_of(kitchen.equipment),
                    room=settings.room,
                    kitchen=settings.name,
                ),
            ),
            None,
        )
    except CannotPlan as error:
        return None, Trouble(str(error), error.help)
