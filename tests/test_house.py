"""The house itself: its rooms, what is installed of it, and which room may know which.

import-linter holds the layers (see pyproject.toml); this holds what it cannot see.
"""

import ast
import subprocess
import sys
import tomllib
from importlib import resources
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
ROOMS = ("grammar", "compiler", "renderers")
MODULES = [path.relative_to(ROOT) for room in ROOMS for path in sorted((ROOT / room).rglob("*.py"))]
DATA = [
    path.relative_to(ROOT)
    for room in ROOMS
    for path in sorted((ROOT / room).rglob("*"))
    if path.is_file() and path.suffix not in {".py", ".pyc"}
]

NOT_IN_THE_LAYERS: dict[str, str] = {}
"""Modules of the compiler that stand outside the layers, each with the reason."""

NO_TEST_FILE = {
    "compiler/findings.py": "only declares data; every check's test reads it",
}
"""Modules without a test file of their own, each with the reason."""

TABLES = Path("compiler/rulebook")
"""Tables, one a family: the tests of this folder hold every row to the same, so that no table needs its own."""

FLOATS = {
    "compiler/plain_json.py": "a rounded `about` beside each exact value, for readers without fractions",
}
"""Modules of the compiler that may use floating point, each with the reason."""

ONLY_DOOR = {
    "pint": "compiler/quantities.py",
    "weasyprint": "renderers/press.py",
    "icalendar": "renderers/day/calendar.py",
    "lark": "compiler/lark_tree.py",
    "pygls": "compiler/language_server.py",
    "lsprotocol": "compiler/language_server.py",
    "watchfiles": "compiler/watch.py",
}
"""Libraries that one module or room uses for all; another version of one is then one module's work."""


def dotted(path: Path) -> str:
    """`compiler/checks/__init__.py` as `benchproof.compiler.checks`."""
    return ".".join(("benchproof", *path.with_suffix("").parts)).removesuffix(".__init__")


def tree(path: Path) -> ast.Module:
    """A file's syntax tree, read as the oldest Python we promise would."""
    return ast.parse((ROOT / path).read_bytes(), str(path), feature_version=(3, 11))


def imports(path: Path) -> set[str]:
    """Every module that a file imports, wherever in it; for `from a import b` both `a` and `a.b`."""
    found: set[str] = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: write imports in full"
            assert node.module is not None
            found.add(node.module)
            found.update(f"{node.module}.{alias.name}" for alias in node.names)
    return found


def within(names: set[str], package: str) -> set[str]:
    return {name for name in names if name == package or name.startswith(package + ".")}


# ---------------------------------------------------------------- the rooms


def test_the_top_level_says_what_there_is() -> None:
    made_by_builds = {"out", "build", "dist", "__pycache__", "benchproof.egg-info"}
    names = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert names - made_by_builds == {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "pyproject.toml",
        "grammar",
        "compiler",
        "renderers",
        "tests",
        "recipes",
    }


def test_every_package_on_disk_is_declared() -> None:
    on_disk = {dotted(path) for path in MODULES if path.name == "__init__.py"}
    assert on_disk == set(PROJECT["tool"]["setuptools"]["packages"])
    for path in MODULES:
        assert (ROOT / path).with_name("__init__.py").exists(), f"{path} is in no package"


@pytest.mark.parametrize("path", MODULES, ids=str)
def test_every_module_has_a_test_file(path: Path) -> None:
    if path.name == "__init__.py" and all(
        isinstance(node, ast.Expr | ast.Import | ast.ImportFrom | ast.Assign) for node in tree(path).body
    ):
        return  # a docstring, and names handed on: no code of its own
    room = path.parts[0]
    if path.parent == TABLES:
        assert list((ROOT / "tests" / TABLES).glob("test_*.py"))
        return
    # A package's own module is tested under the package's name.
    stem = path.parent.name if path.name == "__init__.py" else path.stem
    tested = sorted((ROOT / "tests" / room).rglob(f"test_{stem}*.py"))
    if path.as_posix() in NO_TEST_FILE:
        assert not tested, f"{path} has a test file now: take it out of NO_TEST_FILE"
    else:
        assert tested, f"no tests/{room}/**/test_{stem}*.py for {path}"


@pytest.mark.parametrize(
    "excuses", [NOT_IN_THE_LAYERS, NO_TEST_FILE, FLOATS], ids=["layers", "tests", "floats"]
)
def test_no_excuse_outlives_its_module(excuses: dict[str, str]) -> None:
    assert [path for path, reason in excuses.items() if not reason or not (ROOT / path).exists()] == []


# ---------------------------------------------------------------- what is installed


@pytest.mark.parametrize("path", DATA, ids=str)
def test_data_is_installed(path: Path) -> None:
    """Whatever a room keeps beside its modules must reach the reader who has only the installed package."""
    if path.suffix == ".md" and path.parts[0] != "grammar" and "fonts" not in path.parts:
        return  # a page for developers; the manual and the fonts' licence are for everyone
    if path.suffix == ".png":
        return  # the README's picture
    installed = resources.files(f"benchproof.{path.parts[0]}").joinpath(*path.parts[1:])
    assert installed.is_file(), f"{path} is missing: see package-data in pyproject.toml"
    assert installed.read_bytes() == (ROOT / path).read_bytes()


@pytest.mark.parametrize("path", MODULES, ids=str)
def test_the_installed_module_is_this_one(path: Path) -> None:
    """An old copy in the environment would make every other test meaningless."""
    installed = resources.files(f"benchproof.{path.parts[0]}").joinpath(*path.parts[1:])
    assert installed.read_bytes() == (ROOT / path).read_bytes()


def test_every_data_pattern_finds_something() -> None:
    for package, patterns in PROJECT["tool"]["setuptools"]["package-data"].items():
        folder = ROOT.joinpath(*package.split(".")[1:])
        for pattern in patterns:
            assert list(folder.glob(pattern)), f"package-data of {package}: nothing is called {pattern}"


@pytest.mark.parametrize(
    ("room", "pattern"),
    [
        ("grammar", "*.lark"),
        ("grammar", "units.txt"),
        ("compiler", "*.json"),
        ("compiler/larder", "*.bench"),
        ("renderers/card", "*.html"),
        ("renderers/card", "*.css"),
        ("renderers/card", "fonts/*.woff2"),
        ("renderers/card", "fonts/OFL*"),
        ("renderers/day", "*.html"),
        ("renderers/day", "*.css"),
    ],
)
def test_what_every_command_relies_on_is_there(room: str, pattern: str) -> None:
    assert list((ROOT / room).glob(pattern))


# ---------------------------------------------------------------- who may know whom


@pytest.mark.parametrize("path", MODULES, ids=str)
def test_only_the_command_knows_the_renderers(path: Path) -> None:
    if path.parts[0] == "renderers" or path == Path("compiler/command.py"):
        return
    assert within(imports(path), "benchproof.renderers") == set()


@pytest.mark.parametrize("library", ONLY_DOOR)
def test_one_door_to_each_library(library: str) -> None:
    users = {path.as_posix() for path in MODULES if within(imports(path), library)}
    assert users, f"nobody uses {library}"
    assert {user for user in users if not user.startswith(ONLY_DOOR[library])} == set()


def test_every_module_of_the_compiler_has_its_layer() -> None:
    contract = next(c for c in PROJECT["tool"]["importlinter"]["contracts"] if c["id"] == "layers")
    layers = {name.strip(" ()") for layer in contract["layers"] for name in layer.split("|")}
    modules = {dotted(path) for path in MODULES}
    assert layers <= modules, "the layers name modules that do not exist"
    placed = layers | {dotted(Path(path)) for path in NOT_IN_THE_LAYERS}
    outside = {
        name
        for name in within(modules, "benchproof.compiler") - {"benchproof.compiler"}
        if not any(within({name}, layer) for layer in placed)
    }
    # The larder is data: its package holds no code to put in a layer.
    assert outside - {"benchproof.compiler.larder"} == set()


@pytest.mark.parametrize("path", [p for p in MODULES if p.parts[0] == "compiler"], ids=str)
def test_amounts_are_exact(path: Path) -> None:
    if path.as_posix() in FLOATS:
        return
    found = [
        f"line {node.lineno}"
        for node in ast.walk(tree(path))
        if (isinstance(node, ast.Constant) and isinstance(node.value, float))
        or (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "float")
    ]
    assert found == [], "floating point in the compiler: use Fraction"


def test_the_command_starts_without_its_heavy_libraries() -> None:
    """Setting type takes most of a second to load, units a third: only the commands that need them pay."""
    heavy = ("weasyprint", "pint", "jinja2", "jsonschema", "icalendar", "pygls", "watchfiles")
    script = f"import sys, benchproof.compiler.command; print([m for m in {heavy!r} if m in sys.modules])"
    run = subprocess.run([sys.executable, "-P", "-c", script], capture_output=True, text=True, check=False)
    assert (run.returncode, run.stdout.strip(), run.stderr) == (0, "[]", "")
