"""The only door to git: what a folder's history holds, read and never written.

git is started by its list of arguments and no shell, with a clean environment: no configuration but the repository's
own, and of that nothing that starts another program (hooks, pagers, filters, signature checks, helpers, fetching). What
is asked for by name goes after `--`. Each run has a time limit and a limit to what it may say. Whatever goes wrong is a
GitError, in a sentence.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from threading import Timer
from typing import Final

SECONDS: Final = 30
"""How long one run of git may take: our own choice."""

MOST_SAID: Final = 64 * 2**20
"""Bytes that one run may say: our own choice."""

LARGEST_FILE: Final = 2**20
"""Bytes of the largest file that is read out of a history: no recipe is nearly as long. Our own choice."""

MOST_COMMITS: Final = 1000

_SETTINGS: Final = (
    f"core.hooksPath={os.devnull}",
    f"core.attributesFile={os.devnull}",
    "core.fsmonitor=false",
    "core.pager=cat",
    "core.sshCommand=false",
    "core.alternateRefsCommand=false",
    "core.askPass=",
    "credential.helper=",
    "diff.external=",
    "log.showSignature=false",
    "protocol.allow=never",
)
"""What a repository's own configuration may not say: each of these names a program, or fetches."""

_COMMIT: Final = re.compile(rb"([0-9a-f]{40,64}) (\d{4}-\d{2}-\d{2}) (.*)", re.DOTALL)


class GitError(Exception):
    """What git could not do, for a cook; `help` says what to do instead."""

    def __init__(self, message: str, help: str = "") -> None:
        super().__init__(message)
        self.help = help


@dataclass(frozen=True, slots=True)
class Stored:
    """A file as a commit holds it: its path from the repository's top, and the id of what is in it."""

    path: str
    blob: str


@dataclass(frozen=True, slots=True)
class Commit:
    """A commit that touched a file.

    `date` is the author's day (ISO 8601), `path` where the file lies after it, `before` where it lay until then.
    `blob` is None where the commit took the file away.
    """

    id: str
    date: str
    subject: str
    path: str
    before: str
    blob: str | None

    @property
    def short(self) -> str:
        return short(self.id)


def short(commit: str) -> str:
    """As much of a commit's id as people quote: eight digits tell millions apart."""
    return commit[:8]


class Repository:
    """The repository that a file or folder lies in. Every method raises GitError."""

    def __init__(self, path: Path) -> None:
        here = path if path.is_dir() else path.parent
        top = _run(here, ["rev-parse", "--show-toplevel"]).decode("utf-8", "surrogateescape")
        self.root = Path(top.removesuffix("\n")).resolve()

    def path_of(self, path: Path) -> str:
        """A file's path from the top, as git names it."""
        path = path.resolve()
        if not path.is_relative_to(self.root):
            raise GitError(f"{path} does not lie in the repository at {self.root}.")
        return path.relative_to(self.root).as_posix()

    def commit(self, revision: str) -> str:
        """The id of the commit that a revision (`HEAD~3`, a branch, a short hash) names."""
        if not revision.strip() or revision.startswith("-") or not revision.isprintable():
            raise _no_such(revision)
        try:
            said = _run(self.root, ["rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}"])
        except GitError as error:
            if str(error) == _SAID_NOTHING:
                raise _no_such(revision) from error
            raise
        return said.decode("ascii", "replace").strip()

    def files(self, commit: str) -> list[Stored]:
        """The plain files of a commit that are not too large. Links and repositories inside it are left out."""
        said = _run(self.root, ["ls-tree", "-r", "-z", "--long", "--full-tree", commit])
        found: list[Stored] = []
        for record in said.split(b"\0"):
            head, _, name = record.partition(b"\t")
            fields = head.split()
            if len(fields) != 4 or fields[0] not in (b"100644", b"100755"):
                continue
            if fields[3].isdigit() and int(fields[3]) <= LARGEST_FILE:
                found.append(Stored(name.decode("utf-8", "surrogateescape"), fields[2].decode("ascii")))
        return found

    def contents(self, blobs: Iterable[str]) -> dict[str, bytes]:
        """What is in these blobs, by their ids, asked for in one go."""
        wanted = list(dict.fromkeys(blobs))
        if not wanted:
            return {}
        asked = "".join(f"{blob}\n" for blob in wanted).encode("ascii")
        said = _run(self.root, ["cat-file", "--batch"], asked)
        found: dict[str, bytes] = {}
        at = 0
        for blob in wanted:
            end = said.find(b"\n", at)
            fields = said[at:end].split()
            if end < 0 or len(fields) != 3 or fields[1] != b"blob":
                raise GitError(
                    f"The repository at {self.root} does not hold all of its history.",
                    "Fetch the whole of it: it may be a shallow or a partial copy.",
                )
            size = int(fields[2])
            found[blob] = said[end + 1 : end + 1 + size]
            at = end + 1 + size + 1
        return found

    def commits(self, path: str, upto: str = "HEAD", since: str | None = None) -> list[Commit]:
        """The commits that touched a file, the newest first, through every name it had. At most MOST_COMMITS.

        With `since`, an id, only those after it. Merges that only join are left out.
        """
        reach = upto if since is None else f"{since}..{upto}"
        said = _run(
            self.root,
            [
                "log",
                f"--max-count={MOST_COMMITS}",
                "--follow",
                "-z",
                "--raw",
                "--no-abbrev",
                "--no-color",
                "--no-notes",
                "--no-mailmap",
                "--no-decorate",
                "--no-show-signature",
                "--no-ext-diff",
                "--no-textconv",
                "--encoding=UTF-8",
                "--format=%H %as %s",
                reach,
                "--",
                path,
            ],
        )
        return list(_commits(said))


def _commits(said: bytes) -> Iterator[Commit]:
    """Reads `log -z --raw`: a record for each commit, then one for each file it touched, and the file's names."""
    records = iter(said.split(b"\0"))
    head: re.Match[bytes] | None = None
    for record in records:
        raw = record.lstrip(b"\n")
        if not raw.startswith(b":"):
            head = _COMMIT.match(raw)
            continue
        fields = raw.split()
        before = after = _path(next(records, b""))
        if fields[4][:1] in (b"R", b"C"):
            after = _path(next(records, b""))
        if head is not None:
            gone = fields[4] == b"D"
            yield Commit(
                head[1].decode("ascii"),
                head[2].decode("ascii"),
                _text(head[3]),
                after,
                before,
                None if gone else fields[3].decode("ascii"),
            )


def _path(raw: bytes) -> str:
    return raw.decode("utf-8", "surrogateescape")


def _text(raw: bytes) -> str:
    return raw.decode("utf-8", "replace").strip()


def bench_files(files: Iterable[Stored], path: str, kitchen_file: str) -> tuple[str, list[Stored]]:
    """The folder of a file's kitchen, and the kitchen's `.bench` files, as `kitchen.bench_files` finds them on disk.

    The kitchen is the nearest folder at or above the file with a kitchen file; without one, the lone file.
    """
    by_path = {one.path: one for one in files if one.path.endswith(".bench") or one.path == path}
    roots = {PurePosixPath(name).parent for name in by_path if PurePosixPath(name).name == kitchen_file}
    here = PurePosixPath(path)
    root = next((folder for folder in here.parents if folder in roots), None)
    if root is None:
        return str(here.parent), [by_path[path]] if path in by_path else []
    inside = []
    for name, one in by_path.items():
        place = PurePosixPath(name)
        folders = [folder for folder in place.parents if folder != root and folder.is_relative_to(root)]
        hidden = any(folder.name.startswith(".") for folder in folders)
        if place.is_relative_to(root) and not hidden and not any(folder in roots for folder in folders):
            inside.append(one)
    return str(root), sorted(inside, key=lambda one: PurePosixPath(one.path).parts)


# ---------------------------------------------------------------- running it

_SAID_NOTHING: Final = "git said no, and nothing more."


def _no_such(revision: str) -> GitError:
    shown = "".join(letter if letter.isprintable() else "?" for letter in revision)
    return GitError(
        f"There is no revision “{shown}” here.",
        "Name a commit as git does: `HEAD~3`, a branch, a tag, the beginning of a hash.",
    )


def _environment() -> dict[str, str]:
    """What git is told: none of the caller's GIT_ settings, no configuration but the repository's, no questions."""
    kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT", "TEMP", "TMP") if name in os.environ}
    return kept | {
        "LC_ALL": "C",
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_ATTR_NOSYSTEM": "1",
        "GIT_ALLOW_PROTOCOL": "none",
        "GIT_NO_LAZY_FETCH": "1",
        "GIT_NO_REPLACE_OBJECTS": "1",
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_PAGER": "cat",
        "GIT_TERMINAL_PROMPT": "0",
    }


def _run(here: Path, arguments: list[str], asked: bytes = b"") -> bytes:
    """What git says to these arguments. Raises GitError."""
    program = shutil.which("git")
    if program is None or not Path(program).is_absolute():
        raise GitError("git is not installed, or not on the path.", "Install it, or compare two files.")
    settings = [piece for setting in _SETTINGS for piece in ("-c", setting)]
    line = [program, "--no-pager", "--literal-pathspecs", *settings, *arguments]
    with tempfile.TemporaryFile() as into, tempfile.TemporaryFile() as complaints:
        into.write(asked)
        into.seek(0)
        try:
            process = subprocess.Popen(
                line, cwd=here, env=_environment(), stdin=into, stdout=subprocess.PIPE, stderr=complaints
            )
        except OSError as error:
            raise GitError(f"git could not be started: {error.strerror or error}.") from error
        late = Timer(SECONDS, process.kill)
        late.start()
        try:
            assert process.stdout is not None
            said = process.stdout.read(MOST_SAID + 1)
            if len(said) > MOST_SAID:
                raise GitError("This repository holds more than we read at once.", "Compare two files.")
            status = process.wait()
        finally:
            in_time = late.is_alive()
            late.cancel()
            process.kill()
            process.communicate()
        complaints.seek(0)
        complaint = complaints.read(4000).decode("utf-8", "replace")
    if not in_time:
        raise GitError(f"git took longer than {SECONDS} s, and was stopped.")
    if status != 0:
        raise _complained(here, complaint)
    return said


def _complained(here: Path, complaint: str) -> GitError:
    """git's complaint as a sentence."""
    if "not a git repository" in complaint or "must be run in a work tree" in complaint:
        return GitError(f"{here} does not lie in a git repository.", "Compare two files instead.")
    if "dubious ownership" in complaint:
        return GitError(
            f"{here} belongs to another user, and git does not read the history there.",
            "Ask its owner, or copy the repository with `git clone`.",
        )
    if "does not have any commits yet" in complaint or "revision 'HEAD'" in complaint:
        return GitError("Nothing has been committed here yet.", "Commit the recipe first.")
    lines = [line.strip() for line in complaint.splitlines() if line.strip()]
    if not lines:
        return GitError(_SAID_NOTHING)
    return GitError(f"git says: {lines[0].removeprefix('fatal: ')}.".replace("..", "."))
