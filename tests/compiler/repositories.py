"""Real repositories for tests, apart from whatever git this machine or its user is set up with."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

needs_git = pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")

ENVIRONMENT = {
    "PATH": os.environ.get("PATH", ""),
    "LC_ALL": "C",
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_AUTHOR_NAME": "Cook",
    "GIT_AUTHOR_EMAIL": "cook@example.invalid",
    "GIT_COMMITTER_NAME": "Cook",
    "GIT_COMMITTER_EMAIL": "cook@example.invalid",
}


class Repo:
    """A repository in a folder: files are written and committed, nothing else."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(exist_ok=True)
        self.git("init", "--quiet", "--initial-branch=main")

    def git(self, *arguments: str, **more: str) -> str:
        line = ["git", "--no-pager", "-c", f"core.hooksPath={os.devnull}", *arguments]
        run = subprocess.run(
            line, cwd=self.folder, env=ENVIRONMENT | more, check=True, capture_output=True, text=True
        )
        return run.stdout

    def write(self, **files: str | None) -> None:
        """Files by their names, `__` for a folder and `.bench` understood; None takes one away."""
        for name, text in files.items():
            path = self.folder / f"{name.replace('__', '/')}.bench"
            if text is None:
                path.unlink()
            else:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text, encoding="utf-8")

    def commit(self, subject: str, date: str = "2026-11-01", **files: str | None) -> None:
        self.write(**files)
        self.git("add", "--all")
        when = f"{date}T10:00:00+0000"
        self.git(
            "commit",
            "--quiet",
            "--allow-empty",
            "--message",
            subject,
            GIT_AUTHOR_DATE=when,
            GIT_COMMITTER_DATE=when,
        )

    def sign(self) -> None:
        """Give the last commit a signature: of no worth, but git would have it looked at."""
        head, _, message = self.git("cat-file", "commit", "HEAD").partition("\n\n")
        begin, end = "-----BEGIN PGP SIGNATURE-----", "-----END PGP SIGNATURE-----"
        signed = self.folder / ".git" / "signed"
        signed.write_text(f"{head}\ngpgsig {begin}\n \n {end}\n\n{message}", encoding="utf-8")
        commit = self.git("hash-object", "-t", "commit", "-w", str(signed)).strip()
        self.git("update-ref", "HEAD", commit)


KITCHEN = """\
kitchen Saltmarsh
  currency: NZD
  food law: Australia and New Zealand
  room: 21 C
  friction: 2 C by hand, 11 C in the mixer
"""

PRICES = """\
prices at Lantern Street Grocer on 2026-10-01
  strong flour: 3.00 for 1.5 kg
  fine salt: 1.00 for 1 kg
  instant yeast: 4.60 for 8 x 7 g
  water: free
"""

LOAF = """\
recipe Pier loaf
  makes: 2 loaves of 400 g
  loses: 12 % in the bake
  base: strong flour
  style: lean hearth bread

ingredients
  strong flour: 500 g
  water: 68 %
  fine salt: 2 %
  instant yeast: 1 %

equipment
  baking tray

step Mix
  Stir [the strong flour], [the fine salt] and [the instant yeast] together, add [the water] and knead, [10 min].

step Rise
  Leave [60-90 min hands-off].

step Bake
  Bake at [220 C oven], [30-35 min hands-off].
"""
