"""Writing files: whole or not at all, and only what nobody else has changed."""

import os
from pathlib import Path

import pytest

from benchproof.compiler import files
from benchproof.compiler.files import NotWritten, replace_file, rewrite, with_ends_of
from benchproof.compiler.source import Source


@pytest.fixture
def rice(tmp_path: Path) -> Path:
    path = tmp_path / "rice.bench"
    path.write_bytes(b"recipe Rice\r\n  serves:3\n")
    return path


def test_a_text_is_put_in_its_place(rice: Path) -> None:
    rice.chmod(0o640)
    rewrite(Source.read(rice), "recipe Rice\n  serves: 3\n", rice.parent)
    assert rice.read_bytes() == b"recipe Rice\r\n  serves: 3\n"
    assert rice.stat().st_mode & 0o777 == 0o640
    assert [path.name for path in rice.parent.iterdir()] == ["rice.bench"], "nothing else is left"


def test_a_mark_and_a_missing_last_line_end_are_kept(rice: Path) -> None:
    rice.write_bytes("\ufeffrecipe Rice\r  serves:3".encode())
    rewrite(Source.read(rice), "recipe Rice\n  serves: 3", rice.parent)
    assert rice.read_bytes() == "\ufeffrecipe Rice\r  serves: 3".encode()


@pytest.mark.parametrize("other", [b"recipe Rice\n  serves: 4\n", b"\xff\xfe", b""])
def test_what_somebody_else_changed_is_left(rice: Path, other: bytes) -> None:
    source = Source.read(rice)
    rice.write_bytes(other)
    with pytest.raises(NotWritten, match=r"was changed by somebody else since it was read\.$"):
        rewrite(source, "recipe Rice\n", rice.parent)
    assert rice.read_bytes() == other


def test_what_is_changed_while_it_is_written_is_left(rice: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = Source.read(rice)

    def late(handle: int) -> None:
        rice.write_bytes(b"mine")

    monkeypatch.setattr(files.os, "fsync", late)
    with pytest.raises(NotWritten, match="meanwhile"):
        rewrite(source, "recipe Rice\n", rice.parent)
    assert rice.read_bytes() == b"mine"
    assert [path.name for path in rice.parent.iterdir()] == ["rice.bench"]


def test_line_ends_that_would_run_together_are_said(rice: Path) -> None:
    rice.write_bytes(b"recipe Rice\rno\n  serves: 3\n")
    with pytest.raises(NotWritten, match="more than one way"):
        rewrite(Source.read(rice), "recipe Rice\n\n  serves: 3\n", rice.parent)


def test_a_link_stays_a_link(rice: Path) -> None:
    link = rice.with_name("link.bench")
    link.symlink_to(rice.name)
    rewrite(Source.read(link), "recipe Rice\n  serves: 3\n", rice.parent)
    assert link.is_symlink()
    assert rice.read_bytes() == b"recipe Rice\r\n  serves: 3\n"


def test_nothing_outside_the_kitchen_is_written(rice: Path, tmp_path: Path) -> None:
    kitchen = tmp_path / "kitchen"
    kitchen.mkdir()
    link = kitchen / "rice.bench"
    link.symlink_to(rice)
    with pytest.raises(NotWritten, match="leads out of the kitchen's folder"):
        rewrite(Source.read(link), "recipe Rice\n", kitchen)
    assert rice.read_bytes() == b"recipe Rice\r\n  serves:3\n"


def test_what_is_gone_or_no_file_is_said(rice: Path) -> None:
    source = Source.read(rice)
    rice.unlink()
    with pytest.raises(NotWritten, match="cannot be written"):
        rewrite(source, "recipe Rice\n", rice.parent)
    rice.mkdir()
    with pytest.raises(NotWritten, match="no plain file"):
        rewrite(source, "recipe Rice\n", rice.parent)
    with pytest.raises(NotWritten, match="is no file"):
        rewrite(Source("recipe Rice\n"), "", rice.parent)


def test_what_may_not_be_written_is_left(rice: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked of the system, for a folder may be written where a file may not."""
    monkeypatch.setattr(files.os, "access", lambda path, mode: False)
    with pytest.raises(NotWritten, match="may not be written"):
        rewrite(Source.read(rice), "recipe Rice\n", rice.parent)


def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    old = os.umask(0o027)
    try:
        replace_file(tmp_path / "new", b"1")
    finally:
        os.umask(old)
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o640


def test_a_write_that_fails_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    with pytest.raises(OSError, match=r".+"):
        replace_file(tmp_path / "folder", b"1")
    assert [path.name for path in tmp_path.iterdir()] == ["folder"]


def test_further_lines_end_as_the_first_does() -> None:
    assert with_ends_of("a\r\nb", "a\nb\nc\n") == "a\r\nb\r\nc\r\n"
    assert with_ends_of("", "a\n") == "a\n"
    assert with_ends_of("a\nb\r", "a") == "a"
