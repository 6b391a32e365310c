"""The set-up commands in `.setup`, with a Python that only pretends: their questions, refusals and reports.

That they really install is seen by `.ci/run`, which runs both on every change.
"""

import os
import re
import shutil
import subprocess
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TOOLS = ("sh", "cat", "chmod", "cp", "dirname", "env", "grep", "head", "id", "mkdir", "mktemp", "rm", "sed")

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the set-up commands are shell scripts")

PYTHON = r"""#!/bin/sh
# Answers as Python would to what the set-up asks; the test says by files in $STATE what is wrong with it.
case "$*" in
    --version) echo "Python 3.12.1" ;;
    *version_info?\<*) ;;
    *"import venv, ensurepip"*) [ ! -e "$STATE/no-venv" ] ;;
    *python%d.%d-venv*) echo python3.12-venv ;;
    "-m venv --clear "*)
        mkdir -p "$4/bin"
        echo "command = /usr/bin/python3 -m venv $4" >"$4/pyvenv.cfg"
        cp "$0" "$4/bin/python"
        cp "$STATE/benchproof" "$4/bin/benchproof" ;;
    "-m pip --version") ;;
    "-m pip install "*)
        echo "$*" >>"$STATE/pip"
        [ ! -e "$STATE/no-index" ] || { echo "ERROR: no such index" >&2; exit 1; } ;;
    *"import weasyprint"*)
        [ ! -e "$STATE/no-pango" ] || { printf 'Traceback\nOSError: no libpango\n' >&2; exit 1; } ;;
    "-P -m pytest"*) echo "$*" >"$STATE/pytest"; exit 3 ;;
    *) echo "unexpected: $*" >&2; exit 99 ;;
esac
"""

BENCHPROOF = r"""#!/bin/sh
# Only the files of the recipe it is given; anything else is a wrong call.
[ -e "$2" ] || { echo "no file $2" >&2; exit 2; }
case "$1 $3 $4" in
    "card --out "*) cat "$STATE/card" >"$4" ;;
    "cost  ") echo "a table to read" ;;
    "cost --as csv") cat "$STATE/csv" ;;
    *) echo "unexpected: $*" >&2; exit 99 ;;
esac
"""


@dataclass
class Machine:
    """The project, a PATH with nothing but a few tools, and the state its pretenders read."""

    project: Path
    tools: Path
    state: Path
    scratch: Path

    def python(self, name: str = "python3", text: str = PYTHON) -> None:
        program = self.tools / name
        program.write_text(text, encoding="utf-8")
        program.chmod(0o755)

    def says(self, fault: str) -> None:
        (self.state / fault).touch()

    def run(self, command: str, *arguments: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [self.tools / "sh", self.project / ".setup" / command, *arguments],
            cwd=cwd or self.state,
            env={"PATH": str(self.tools), "STATE": str(self.state), "TMPDIR": str(self.scratch)},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    """A machine without apt-get, sudo or Python; every path has a blank in it."""
    made = Machine(*(tmp_path / name for name in ("the project", "the tools", "the state", "the scratch")))
    for folder in (made.project, made.tools, made.state, made.scratch):
        folder.mkdir()
    for name in TOOLS:
        found = shutil.which(name)
        assert found, f"this test needs {name}"
        (made.tools / name).symlink_to(found)
    shutil.copytree(ROOT / ".setup", made.project / ".setup")
    for part in ("LICENSE", "README.md", "pyproject.toml"):
        shutil.copy(ROOT / part, made.project)
    for part in ("grammar", "compiler", "renderers"):
        (made.project / part).mkdir()
    shutil.copytree(ROOT / "recipes", made.project / "recipes")
    made.state.joinpath("benchproof").write_text(BENCHPROOF, encoding="utf-8")
    made.state.joinpath("benchproof").chmod(0o755)
    made.state.joinpath("card").write_text("%PDF-1.7", encoding="utf-8")
    made.state.joinpath("csv").write_text("item,cost\n", encoding="utf-8")
    return made


def test_first_card_from_nothing_and_again(machine: Machine) -> None:
    machine.python()
    first = machine.run("first-card")
    assert (first.returncode, first.stderr) == (0, "")
    assert "Making a virtual environment in .venv with Python 3.12.1" in first.stdout
    assert "a table to read" in first.stdout
    out = machine.project / "out"
    assert sorted(path.suffix for path in out.iterdir()) == [".csv", ".pdf"]
    for path in out.iterdir():
        assert str(path) in first.stdout
    assert f'. "{machine.project}/.venv/bin/activate"' in first.stdout

    again = machine.run("first-card", cwd=Path("/"))
    assert (again.returncode, again.stderr) == (0, "")
    assert "Using the virtual environment in .venv" in again.stdout
    assert list(machine.scratch.iterdir()) == []
    assert len((machine.state / "pip").read_text(encoding="utf-8").splitlines()) == 2


def test_a_moved_environment_is_made_anew(machine: Machine) -> None:
    machine.python()
    machine.run("first-card")
    machine.project = machine.project.rename(machine.project.with_name("moved away"))
    moved = machine.run("first-card")
    assert moved.returncode == 0
    assert "Making a virtual environment" in moved.stdout


@pytest.mark.parametrize("command", ["first-card", "test"])
def test_no_python(machine: Machine, command: str) -> None:
    run = machine.run(command)
    assert run.returncode == 1
    assert "needs Python 3.11 or newer" in run.stderr
    assert "no Python at all" in run.stderr
    assert not (machine.project / ".venv").exists()


def test_an_old_python_is_named_and_passed_over(machine: Machine) -> None:
    machine.python("python3", '#!/bin/sh\n[ "$1" = --version ] && echo "Python 3.9.2" && exit\nexit 1\n')
    run = machine.run("first-card")
    assert run.returncode == 1
    assert "python3 (Python 3.9.2)" in run.stderr
    machine.python("python3.12")
    assert machine.run("first-card").returncode == 0


def test_no_venv_module_and_nobody_to_install_it(machine: Machine) -> None:
    machine.python()
    machine.says("no-venv")
    run = machine.run("first-card")
    assert run.returncode == 1
    assert "sudo apt-get install python3.12-venv" in run.stderr


def test_no_pango_and_nobody_to_install_it(machine: Machine) -> None:
    machine.python()
    machine.says("no-pango")
    run = machine.run("first-card")
    assert run.returncode == 1
    assert "OSError: no libpango" in run.stderr
    assert "sudo apt-get install libpango-1.0-0" in run.stderr
    assert "Traceback" not in run.stderr


def test_pip_fails(machine: Machine) -> None:
    machine.python()
    machine.says("no-index")
    run = machine.run("first-card")
    assert run.returncode == 1
    assert "ERROR: no such index" in run.stderr
    assert "pip could not install Benchproof" in run.stderr
    assert list(machine.scratch.iterdir()) == []


@pytest.mark.parametrize("broken", ["card", "csv"])
def test_an_empty_result_is_no_result(machine: Machine, broken: str) -> None:
    machine.python()
    (machine.state / broken).write_text("", encoding="utf-8")
    run = machine.run("first-card")
    assert run.returncode == 1
    assert "This did not work" in run.stderr
    assert "The bench card:" not in run.stdout


def test_a_failing_command_stops_it(machine: Machine) -> None:
    machine.python()
    (machine.state / "card").unlink()
    run = machine.run("first-card")
    assert run.returncode == 1
    assert "no card was printed" in run.stderr


def test_the_test_command_hands_on_what_pytest_says(machine: Machine) -> None:
    machine.python()
    run = machine.run("test", "-k", "two words")
    assert run.returncode == 3
    assert (machine.state / "pytest").read_text(encoding="utf-8") == "-P -m pytest -k two words\n"
    assert "[test]" in (machine.state / "pip").read_text(encoding="utf-8")
    assert (machine.project / ".venv-test").exists()
    assert not (machine.project / ".venv").exists()


@pytest.mark.parametrize("command", ["first-card", "test"])
def test_readme_gives_the_command(command: str) -> None:
    assert f"sh .setup/{command}" in (ROOT / "README.md").read_text(encoding="utf-8")
    assert os.access(ROOT / ".setup" / command, os.X_OK)


def test_the_demo_recipe_is_there() -> None:
    script = (ROOT / ".setup" / "first-card").read_text(encoding="utf-8")
    found = re.search(r"^recipe=(\S+)$", script, re.MULTILINE)
    assert found
    assert (ROOT / "recipes" / f"{found[1]}.bench").exists()


def test_the_hook_calls_a_command_that_is_installed() -> None:
    hook = (ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")
    entry = re.search(r"^  entry: (\S+) check$", hook, re.MULTILINE)
    assert entry
    scripts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["scripts"]
    assert entry[1] in scripts
    assert shutil.which(entry[1], path=str(Path(sys.executable).parent))
