"""Writing files: whole or not at all, and a cook's own text only where nobody else has changed it meanwhile."""

from __future__ import annotations

import os
import re
import stat
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import Final

from benchproof.compiler.source import Source

_LINE_END: Final = re.compile(r"\r\n|\r|\n")


class NotWritten(Exception):
    """A file that was left as it is. Its text says why, for a cook."""


def replace_file(path: Path, data: bytes, *, unless: bytes | None = None) -> None:
    """Write a file whole or not at all: beside it first, then in its place. Its permissions are kept.

    With `unless`, only where the file still holds exactly that: else NotWritten. Raises OSError when it cannot be
    written. `path` is no link: resolve it first.
    """
    mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else 0o666 & ~_umask()
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(mode)
        if unless is not None and path.read_bytes() != unless:
            raise NotWritten(f"{path} was changed by somebody else meanwhile.")
        Path(name).replace(path)
    except BaseException:
        with suppress(OSError):
            Path(name).unlink()
        raise


def rewrite(source: Source, text: str, root: Path) -> None:
    """Put `text` in the place of a file's text as it was read.

    The file's byte-order mark, each line's own end, its permissions and a link that leads to it are kept. Raises
    NotWritten where it lies outside `root` or is no plain file, where it no longer holds what was read, or where it
    cannot be read or written.
    """
    if source.path is None:
        raise NotWritten(f"{source.name} is no file.")
    try:
        path = source.path.resolve(strict=True)
        if not path.is_relative_to(root.resolve()):
            raise NotWritten(f"{source.path} leads out of the kitchen's folder, to {path}.")
        if not path.is_file():
            raise NotWritten(f"{path} is no plain file.")
        if not os.access(path, os.W_OK):
            raise NotWritten(f"{path} may not be written.")
        now = path.read_bytes()
        if not _holds(now, source.text):
            raise NotWritten(f"{path} was changed by somebody else since it was read.")
        data = with_ends_of(now.decode("utf-8"), text).encode("utf-8")
        if not _holds(
            data, text
        ):  # a return at the end of one line, and only a feed at the end of an empty next one
            raise NotWritten(f"{path} ends its lines in more than one way: save it again with one.")
        replace_file(path, data, unless=now)
    except OSError as error:
        raise NotWritten(f"{source.path} cannot be written: {error.strerror or error}.") from error


def _holds(data: bytes, text: str) -> bool:
    try:
        return Source(data.decode("utf-8")).text == text
    except UnicodeDecodeError:
        return False


def with_ends_of(raw: str, text: str) -> str:
    """`text`, whose lines end in line feeds, with the byte-order mark and the line ends of the file's own `raw`.

    Where it has more lines than the file, those end as the file's first line does.
    """
    ends = _LINE_END.findall(raw)
    usual = ends[0] if ends else "\n"
    lines = text.split("\n")
    ends = (ends + [usual] * len(lines))[: len(lines) - 1]
    mark = "\ufeff" if raw.startswith("\ufeff") else ""
    return mark + "".join(line + end for line, end in zip(lines, [*ends, ""], strict=True))


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
