"""A kitchen's own checks: loaded from what is installed, told when they fail, and never in the way."""

import re
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import EntryPoint
from pathlib import Path

import pytest

from benchproof.compiler import checks, plugins
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.plugins import GROUP, check, check_kitchen, own_checks
from benchproof.compiler.request import Request
from benchproof.compiler.rules import RULES, find
from benchproof.compiler.source import Place, Source, Span
from benchproof.renderers.findings_report import findings_text
from tests.compiler.checks.checking import ON, checked

PAGE = Path(__file__).resolve().parents[2] / "grammar" / "own-checks.md"
RICE = "recipe Rice\n  serves:  3\n\ningredients\n  white rice:  200 g\n  water:       300 g\n"


@pytest.fixture(autouse=True)
def as_before(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Nothing is installed, and afterwards no rule or module of a test is left."""
    rules, modules = dict(RULES), set(sys.modules)
    monkeypatch.delenv("BENCHPROOF_TRACEBACK", raising=False)
    monkeypatch.setattr(plugins, "entry_points", lambda group: ())
    loaded = plugins._loaded
    loaded.cache_clear()
    yield
    loaded.cache_clear()
    RULES.clear()
    RULES.update(rules)
    for name in set(sys.modules) - modules:
        if name.startswith(("saltmarsh", "mine")):
            del sys.modules[name]


def compiled(text: str = RICE) -> tuple[Compiled, Kitchen]:
    kitchen = Kitchen([Source(text, "a.bench")])
    return Compiler(kitchen).compile(kitchen.own_recipes()[0], Request(on=ON)), kitchen


def install(
    monkeypatch: pytest.MonkeyPatch,
    folder: Path,
    code: str,
    *points: str,
    module: str = "mine",
    package: str = "mine",
) -> None:
    """A real distribution as an installer leaves it: a module, and a `.dist-info` that names its checks."""
    (folder / f"{module}.py").write_text(code, encoding="utf-8")
    info = folder / f"{module}-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(
        f"Metadata-Version: 2.1\nName: {package}\nVersion: 1.0\n", encoding="utf-8"
    )
    (info / "entry_points.txt").write_text("\n".join([f"[{GROUP}]", *points]) + "\n", encoding="utf-8")
    monkeypatch.syspath_prepend(str(folder))


@pytest.fixture
def real(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is truly installed is looked for."""
    from importlib.metadata import entry_points

    monkeypatch.setattr(plugins, "entry_points", entry_points)


RULE = (
    "from benchproof.compiler.findings import Severity\n"
    "from benchproof.compiler.rule import Rule\n"
    "from benchproof.compiler.rules import declare, find\n"
    "def rule(name):\n"
    "    declare(Rule(name, 'house', Severity.HINT, 'It is odd.', 'It should not be.', 'Mend it.'))\n"
)


def faults() -> list[str]:
    """What loading what is installed says."""
    return [one.message for one in check_kitchen(compiled()[1])]


# ---------------------------------------------------------------- the page


def blocks(language: str) -> list[str]:
    return re.findall(
        rf"^```{language}\n(.*?)^```$", PAGE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL
    )


@pytest.mark.usefixtures("real")
def test_the_pages_example_says_what_the_page_says(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (toml,), (code,), (text,), (printed,) = map(blocks, ("toml", "python", "bench", "text"))
    project = tomllib.loads(toml)
    points = [f"{name} = {value}" for name, value in project["project"]["entry-points"][GROUP].items()]
    (module,) = project["tool"]["setuptools"]["py-modules"]
    package = project["project"]["name"]
    install(monkeypatch, tmp_path, code, *points, module=module, package=package)
    assert [(own.name, own.package) for own in own_checks()] == [("rye", package), ("tags", package)]
    recipe, kitchen = compiled(text)
    kitchen.sources[0].name = "rye.bench"
    found = sorted(check(recipe, kitchen), key=lambda one: one.place)
    assert findings_text(found, colour=False) == printed
    assert faults() == []
    for rule in ("too-much-rye", "no-tags"):
        example = RULES[rule].example
        assert example is not None
        assert example.text.count(example.wrong) == 1
        assert rule in {one.rule for one in check(*compiled(example.bad))}
        assert rule not in {one.rule for one in check(*compiled(example.good))}


# ---------------------------------------------------------------- loading


@pytest.mark.usefixtures("real")
def test_a_check_is_loaded_once_and_in_the_order_of_names(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    code = (
        RULE + "rule('odd-rice')\ndef a(compiled, kitchen): return ()\ndef b(compiled, kitchen): return []\n"
    )
    install(monkeypatch, tmp_path, code, "zander = mine:a", "aubergine = mine:b")
    assert [own.name for own in own_checks()] == ["aubergine", "zander"]
    assert own_checks() is own_checks()
    assert RULES["odd-rice"].family == "house"
    assert list(check(*compiled())) == []


@pytest.mark.usefixtures("real")
def test_without_any_nothing_is_run() -> None:
    assert own_checks() == ()
    assert faults() == []


@pytest.mark.usefixtures("real")
@pytest.mark.parametrize(
    ("code", "point", "told"),
    [
        ("", "odd = nowhere_at_all:check", "No module named 'nowhere_at_all' (ModuleNotFoundError)"),
        ("", "odd = mine:check", "has no attribute 'check' (AttributeError)"),
        ("check = 3", "odd = mine:check", "`mine:check` is no function (TypeError)"),
        ("class check: pass", "odd = mine:check", "`mine:check` is no function (TypeError)"),
        ("def check(:", "odd = mine:check", "(SyntaxError)"),
        ("raise SystemExit(3)", "odd = mine:check", "3 (SystemExit)"),
        ("1 / 0", "odd = mine:check", "division by zero (ZeroDivisionError)"),
        (RULE + "rule('price-stale')", "odd = mine:check", "a rule called price-stale is there already"),
    ],
)
def test_one_that_cannot_be_loaded_is_told(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, code: str, point: str, told: str
) -> None:
    good = "def good(compiled, kitchen): return ()\n"
    (tmp_path / "mine_good.py").write_text(good, encoding="utf-8")
    install(monkeypatch, tmp_path, code, point, "well = mine_good:good")
    (message,) = faults()
    assert message.startswith("The kitchen's own check “odd” did not do its work: it could not be loaded: ")
    assert told in message
    assert message.endswith(").")
    assert [own.name for own in own_checks()] == ["well"], "the others are run"


@pytest.mark.usefixtures("real")
def test_of_one_that_cannot_be_loaded_no_rule_stays(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    install(monkeypatch, tmp_path, RULE + "rule('odd-rice')\nrule('odd-rice')\n", "odd = mine:check")
    before = dict(RULES)
    assert len(faults()) == 1
    assert before == RULES


@pytest.mark.usefixtures("real")
def test_whoever_writes_one_sees_its_faults_whole(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    install(monkeypatch, tmp_path, "1 / 0", "odd = mine:check")
    monkeypatch.setenv("BENCHPROOF_TRACEBACK", "1")
    with pytest.raises(ZeroDivisionError):
        own_checks()


def test_what_stands_twice_on_the_path_is_run_once(monkeypatch: pytest.MonkeyPatch) -> None:
    point = EntryPoint("odd", "tests.compiler.checks.checking:told", GROUP)
    monkeypatch.setattr(plugins, "entry_points", lambda group: (point, point))
    assert [(own.name, own.package) for own in own_checks()] == [("odd", "")]


# ---------------------------------------------------------------- what one says


def failing(monkeypatch: pytest.MonkeyPatch, function: object, text: str = RICE) -> list[Finding]:
    """What is found where this is the one own check."""
    own = plugins.OwnCheck("odd", "saltmarsh-checks", function)  # type: ignore[arg-type]
    monkeypatch.setattr(plugins, "own_checks", lambda: (own,))
    return list(check(*compiled(text)))


def test_one_that_stops_is_told_at_the_recipe(monkeypatch: pytest.MonkeyPatch) -> None:
    def stops(recipe: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
        yield find("price-stale", recipe.recipe.name.span, "Old.", "Look again.")
        raise KeyError("rye")

    first, second = failing(monkeypatch, stops)
    assert (first.rule, second.rule) == ("price-stale", "own-check-failed")
    assert second.severity is Severity.WARNING
    assert second.span.text == "Rice"
    assert second.message == (
        "The kitchen's own check “odd” did not do its work: it stopped in “Rice”: 'rye' (KeyError)."
    )
    assert second.help == (
        "Install saltmarsh-checks in a version that works, or take it out; all other checks were made."
    )
    monkeypatch.setenv("BENCHPROOF_TRACEBACK", "1")
    with pytest.raises(KeyError):
        list(check(*compiled()))


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (lambda recipe: ["salt!"], "it gave something that is no finding: 'salt!'."),
        (lambda recipe: [None], "it gave something that is no finding: None."),
        (lambda recipe: ["x" * 900], "…."),
        (lambda recipe: None, "it stopped in “Rice”: 'NoneType' object is not iterable (TypeError)."),
        (lambda recipe: sys.exit(1), "it stopped in “Rice”: 1 (SystemExit)."),
        (
            lambda recipe: [Finding("odd-rice", Severity.HINT, recipe.recipe.name.span, "Odd.")],
            "it found “odd-rice”, a rule that nobody has declared.",
        ),
        (
            lambda recipe: [find("price-stale", Span(Place(Source("recipe Rice\n")), 0, 1), "Old.")],
            "it found price-stale in a text that is not of this kitchen.",
        ),
    ],
)
def test_what_is_no_finding_is_told(monkeypatch: pytest.MonkeyPatch, given: object, told: str) -> None:
    (found,) = failing(monkeypatch, lambda recipe, kitchen: given(recipe))  # type: ignore[operator]
    assert found.rule == "own-check-failed"
    assert found.message.endswith(told)
    assert len(found.message) < 300


@pytest.mark.usefixtures("real")
def test_what_it_finds_is_waived_and_levelled_like_all_else(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    code = RULE + (
        "rule('odd-rice')\n"
        "def check(compiled, kitchen):\n"
        "    yield find('odd-rice', compiled.recipe.name.span, 'Odd.', 'Mend it.')\n"
    )
    install(monkeypatch, tmp_path, code, "odd = mine:check")
    monkeypatch.setattr(checks, "CHECKS", (*checks.CHECKS, check))
    waived = RICE.replace("  serves:  3", "  serves:  3\n  waive:  odd-rice because it is ours")
    assert [(one.rule, one.severity.word) for one in checked(RICE)] == [("odd-rice", "hint")]
    assert [one.rule for one in checked(waived)] == []
    assert [one.severity.word for one in checked("checks\n  odd-rice:  error\n\n" + RICE)] == ["error"]
    assert [one.rule for one in checked("checks\n  odd-rice:  off\n\n" + RICE)] == []


def test_it_is_told_at_the_kitchens_name_or_at_the_beginning(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plugins, "_loaded", lambda: ((), (("odd", "saltmarsh-checks", "it is odd"),)))
    for text, where in [
        (RICE + "\nkitchen Saltmarsh\n  currency:  NZD\n", "kitchen Saltmarsh"),
        (RICE, "recipe Rice"),
        ("", ""),
        ("# nothing", "# nothing"),
    ]:
        (found,) = check_kitchen(Kitchen([Source(text, "a.bench")]))
        assert found.span.text == where
        assert found.message == "The kitchen's own check “odd” did not do its work: it is odd."
    assert list(check_kitchen(Kitchen([]))) == []
