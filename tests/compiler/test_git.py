"""git: read, never written; nothing of a stranger's repository is run; its errors are sentences."""

import os
import subprocess
from pathlib import Path
from typing import Any

import pytest

from benchproof.compiler import git
from benchproof.compiler.git import GitError, Repository, Stored, bench_files
from tests.compiler.repositories import KITCHEN, LOAF, Repo, needs_git

pytestmark = needs_git


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    return Repo(tmp_path / "kitchen")


def test_a_commits_files_and_what_is_in_them(repo: Repo) -> None:
    repo.commit("One", kitchen=KITCHEN, breads__loaf=LOAF)
    (repo.folder / "link.bench").symlink_to("kitchen.bench")
    repo.commit("A link")

    there = Repository(repo.folder / "breads" / "loaf.bench")
    files = there.files(there.commit("HEAD"))

    assert [one.path for one in files] == ["breads/loaf.bench", "kitchen.bench"]  # and no link
    contents = there.contents(one.blob for one in files)
    assert [contents[one.blob].decode() for one in files] == [LOAF, KITCHEN]
    assert there.path_of(repo.folder / "breads" / "loaf.bench") == "breads/loaf.bench"


def test_commits_follow_a_file_through_its_names(repo: Repo) -> None:
    repo.commit("First", "2026-11-01", loaf=LOAF)
    repo.commit("Not this one", "2026-11-02", kitchen=KITCHEN)
    repo.commit("Wetter\n\nAnd a body.", "2026-11-03", loaf=LOAF.replace("68 %", "70 %"))
    repo.git("mv", "loaf.bench", "pier é loaf.bench")
    repo.commit("Another name", "2026-11-04")

    found = Repository(repo.folder).commits("pier é loaf.bench")

    assert [(one.date, one.subject, one.path, one.before) for one in found] == [
        ("2026-11-04", "Another name", "pier é loaf.bench", "loaf.bench"),
        ("2026-11-03", "Wetter", "loaf.bench", "loaf.bench"),
        ("2026-11-01", "First", "loaf.bench", "loaf.bench"),
    ]
    assert found[0].id.startswith(found[0].short)
    assert Repository(repo.folder).commits("pier é loaf.bench", since=found[1].id) == found[:1]


def test_a_name_that_looks_like_an_option_or_a_pattern_is_a_name(repo: Repo) -> None:
    repo.write(**{"--output=x": LOAF})
    (repo.folder / "*.bench").write_text(KITCHEN)
    repo.commit("Odd names")

    there = Repository(repo.folder)

    assert [one.path for one in there.commits("--output=x.bench")] == ["--output=x.bench"]
    assert [one.path for one in there.commits("*.bench")] == ["*.bench"]
    assert not (repo.folder / "x").exists()


@pytest.mark.parametrize(
    "revision", ["nowhere", "HEAD~9", "--all", "-x", "", " ", "HEAD\nHEAD", "main..main"]
)
def test_a_revision_that_is_none_is_said(repo: Repo, revision: str) -> None:
    repo.commit("One", loaf=LOAF)

    with pytest.raises(GitError) as caught:
        Repository(repo.folder).commit(revision)

    assert "no revision" in str(caught.value) or "git says" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_no_repository_and_no_commits_are_said(repo: Repo, tmp_path: Path) -> None:
    outside = tmp_path / "elsewhere"
    outside.mkdir()
    with pytest.raises(GitError, match="does not lie in a git repository"):
        Repository(outside)
    with pytest.raises(GitError, match="Nothing has been committed"):
        Repository(repo.folder).commits("loaf.bench")
    with pytest.raises(GitError, match="does not lie in the repository"):
        Repository(repo.folder).path_of(outside / "loaf.bench")


def test_no_git_installed_is_said(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(repo.folder))

    with pytest.raises(GitError, match="git is not installed"):
        Repository(repo.folder)


def test_nothing_that_the_repository_configures_is_run(repo: Repo, tmp_path: Path) -> None:
    """A stranger's repository names programs wherever git would start one: none of them may run."""
    ran = tmp_path / "ran"
    trap = tmp_path / "trap"
    trap.write_text(f"#!/bin/sh\necho ran >> '{ran}'\ncat\n")
    trap.chmod(0o755)
    repo.commit("One", kitchen=KITCHEN, loaf=LOAF)
    repo.commit("Two", loaf=LOAF.replace("68 %", "70 %"))
    repo.sign()
    for name in (
        "core.fsmonitor",
        "core.pager",
        "pager.log",
        "core.sshCommand",
        "core.alternateRefsCommand",
        "core.editor",
        "diff.external",
        "diff.bench.command",
        "diff.bench.textconv",
        "filter.bench.clean",
        "filter.bench.smudge",
        "gpg.program",
        "credential.helper",
        "alias.log",
        "alias.rev-parse",
    ):
        repo.git("config", name, f"!{trap}" if name.startswith("alias") else str(trap))
    repo.git("config", "log.showSignature", "true")
    (repo.folder / ".gitattributes").write_text("*.bench diff=bench filter=bench\n")
    hooks = tmp_path / "hooks"
    hooks.mkdir()
    for hook in ("post-index-change", "reference-transaction", "pre-commit"):
        (hooks / hook).write_text(trap.read_text())
        (hooks / hook).chmod(0o755)
    repo.git("config", "core.hooksPath", str(hooks))
    # The traps do spring where git is not held back:
    for command in (["git", "diff", "HEAD~1"], ["git", "log"]):
        subprocess.run(command, cwd=repo.folder, capture_output=True, check=False)
        assert ran.exists()
        ran.unlink()

    there = Repository(repo.folder)
    files = there.files(there.commit("HEAD~1"))
    there.contents(one.blob for one in files)

    assert len(there.commits("loaf.bench")) == 2
    assert not ran.exists()


def test_a_partial_copy_fetches_nothing(repo: Repo, tmp_path: Path) -> None:
    ran, trap = tmp_path / "ran", tmp_path / "trap"
    trap.write_text(f"#!/bin/sh\necho ran >> '{ran}'\n")
    trap.chmod(0o755)
    repo.commit("One", loaf=LOAF)
    there = Repository(repo.folder)
    (stored,) = there.files(there.commit("HEAD"))
    repo.git("config", "core.repositoryFormatVersion", "1")
    repo.git("config", "extensions.partialClone", "origin")
    repo.git("config", "remote.origin.promisor", "true")
    repo.git("config", "remote.origin.url", f"ext::{trap}")
    repo.git("config", "protocol.ext.allow", "always")
    (repo.folder / ".git" / "objects" / stored.blob[:2] / stored.blob[2:]).unlink()

    subprocess.run(["git", "cat-file", "-p", stored.blob], cwd=repo.folder, capture_output=True, check=False)
    assert ran.exists()  # the trap springs where git is not held back
    ran.unlink()

    with pytest.raises(GitError):
        there.contents([stored.blob])
    assert not ran.exists()


def test_the_callers_own_git_settings_are_not_heard(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    """As git's own diff driver we are started with GIT_DIR and the like set to its own ends."""
    repo.commit("One", loaf=LOAF)
    monkeypatch.setenv("GIT_DIR", "/nowhere")
    monkeypatch.setenv("GIT_EXTERNAL_DIFF", "/nowhere")

    assert len(Repository(repo.folder).commits("loaf.bench")) == 1


def test_too_long_and_too_much_are_said(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    repo.commit("One", loaf=LOAF)
    there = Repository(repo.folder)
    (stored,) = there.files(there.commit("HEAD"))

    monkeypatch.setattr(git, "MOST_SAID", 100)
    with pytest.raises(GitError, match="more than we read at once"):
        there.contents([stored.blob])
    monkeypatch.setattr(git, "LARGEST_FILE", 100)
    monkeypatch.setattr(git, "MOST_SAID", 10_000)
    assert there.files(there.commit("HEAD")) == []


def test_a_git_that_hangs_is_stopped(repo: Repo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    slow = tmp_path / "bin" / "git"
    slow.parent.mkdir()
    slow.write_text("#!/bin/sh\nexec sleep 60\n")
    slow.chmod(0o755)
    monkeypatch.setenv("PATH", f"{slow.parent}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setattr(git, "SECONDS", 0.2)

    with pytest.raises(GitError, match="took longer than"):
        Repository(repo.folder)


def test_git_is_started_with_a_list_and_no_shell(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    repo.commit("One", loaf=LOAF)
    started: list[tuple[list[str], dict[str, Any]]] = []
    real = subprocess.Popen

    def popen(line: list[str], **more: Any) -> Any:
        started.append((line, more))
        return real(line, **more)

    monkeypatch.setattr(subprocess, "Popen", popen)
    Repository(repo.folder).commits("loaf.bench")

    for line, more in started:
        assert isinstance(line, list)
        assert not more.get("shell")
        assert "--no-pager" in line
        assert set(more["env"]) <= {"PATH", "SYSTEMROOT", "TEMP", "TMP", "LC_ALL"} | {
            name for name in more["env"] if name.startswith("GIT_")
        }
    assert started[-1][0][-2:] == ["--", "loaf.bench"]


@pytest.mark.parametrize(
    ("paths", "path", "root", "inside"),
    [
        (["a.bench", "b.bench"], "a.bench", ".", ["a.bench"]),
        (
            ["kitchen.bench", "a.bench", "p/x.bench"],
            "p/x.bench",
            ".",
            ["a.bench", "kitchen.bench", "p/x.bench"],
        ),
        (
            ["kitchen.bench", "a.bench", "k/kitchen.bench", "k/b.bench"],
            "a.bench",
            ".",
            ["a.bench", "kitchen.bench"],
        ),
        (
            ["kitchen.bench", "k/kitchen.bench", "k/b.bench"],
            "k/b.bench",
            "k",
            ["k/b.bench", "k/kitchen.bench"],
        ),
        (["kitchen.bench", ".old/b.bench", "a.bench", "a.txt"], "a.bench", ".", ["a.bench", "kitchen.bench"]),
    ],
)
def test_a_kitchens_files_are_those_found_on_disk(
    paths: list[str], path: str, root: str, inside: list[str]
) -> None:
    found, files = bench_files([Stored(one, "") for one in paths], path, "kitchen.bench")

    assert (found, [one.path for one in files]) == (root, inside)
