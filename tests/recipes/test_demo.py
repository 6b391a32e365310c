"""The demo kitchen is clean, on any day and from any folder; the broken one has exactly the mistakes it names."""

import datetime
import html
import os
import re
import shutil
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchproof.compiler import command
from benchproof.compiler.batch import Batch
from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import Kitchen, Recipe, open_kitchen
from benchproof.compiler.lark_tree import number_of
from benchproof.compiler.ratios import bounds_of
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import Measured, Percentage
from benchproof.renderers.card import card_html

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "recipes"
BROKEN = DEMO / "broken"
KITCHEN = open_kitchen(DEMO)
COMPILER = Compiler(KITCHEN)
RECIPES = KITCHEN.own_recipes()
MISTAKES = sorted(path for path in BROKEN.glob("*.bench") if path.stem not in ("kitchen", "prices"))
FAKETIME = Path("/usr/lib/x86_64-linux-gnu/faketime/libfaketime.so.1")


def name_of(recipe: Recipe) -> str:
    return recipe.name.text


def batch(recipe: Recipe, **asked: object) -> Batch:
    made = COMPILER.compile(recipe, Request(on=KITCHEN.settings.costed_on, **asked)).batch  # type: ignore[arg-type]
    assert made is not None
    return made


def run(*words: str, cwd: Path, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "benchproof.compiler.command", *words],
        cwd=cwd,
        env={**os.environ, **(env or {})},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


# ---------------------------------------------------------------- the whole kitchen


@pytest.mark.parametrize(
    ("cwd", "path"),
    [
        (ROOT, "recipes"),
        (DEMO, "."),
        (DEMO, ""),
        (DEMO / "prices", ".."),
        (BROKEN, ".."),
        (Path("/"), str(DEMO)),
    ],
)
def test_the_demo_kitchen_is_clean_from_anywhere(cwd: Path, path: str) -> None:
    done = run("check", *([path] if path else []), cwd=cwd)
    assert (done.stdout, done.stderr, done.returncode) == ("", "", 0)


def test_it_is_clean_with_warnings_counted_too() -> None:
    done = run("check", "--strict", "recipes", cwd=ROOT)
    assert (done.stdout, done.stderr, done.returncode) == ("", "", 0)


def test_each_file_alone_is_clean() -> None:
    for path in sorted(DEMO.rglob("*.bench")):
        if BROKEN not in path.parents:
            done = CliRunner().invoke(command.cli, ["check", "--strict", str(path)])
            assert (done.output, done.exit_code) == ("", 0), path.name


def test_it_is_clean_400_days_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """The kitchen says on which day it is costed, so that time alone breaks nothing."""
    later = (datetime.date.today() + datetime.timedelta(days=400)).isoformat()  # noqa: DTZ011 - only moved on
    monkeypatch.setattr(command, "_this_day", lambda: later)
    done = CliRunner().invoke(command.cli, ["check", "--strict", str(DEMO)])
    assert (done.output, done.exit_code) == ("", 0)


@pytest.mark.skipif(not FAKETIME.exists(), reason="libfaketime is not installed")
def test_it_is_clean_400_days_on_by_the_systems_clock() -> None:
    env = {
        "LD_PRELOAD": str(FAKETIME),
        "FAKETIME": "@2028-03-01 12:00:00",
        "FAKETIME_DONT_FAKE_MONOTONIC": "1",
    }
    seen = subprocess.run(
        [sys.executable, "-c", "import datetime; print(datetime.date.today())"],
        env={**os.environ, **env},
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()
    assert seen == "2028-03-01"  # the clock is indeed moved, whatever it showed before
    done = run("check", "--strict", "recipes", cwd=ROOT, env=env)
    assert (done.stdout, done.stderr, done.returncode) == ("", "", 0)


def test_asked_of_a_day_far_on_its_prices_are_old() -> None:
    """The other side of it: the check does look at prices."""
    done = CliRunner().invoke(command.cli, ["check", "--strict", "--on", "2028-01-01", str(DEMO)])
    assert done.exit_code == 1
    assert "price-stale" in done.stdout


# ---------------------------------------------------------------- the broken kitchen


def test_there_is_a_mistake_of_many_sorts() -> None:
    assert len(MISTAKES) >= 40


@pytest.fixture(scope="module")
def broken() -> list[Finding]:
    kitchen = open_kitchen(BROKEN)
    return check_kitchen(kitchen, Compiler(kitchen), "2026-11-20")


@pytest.mark.parametrize("path", MISTAKES, ids=lambda path: path.stem)
def test_each_broken_file_has_exactly_the_mistake_it_is_named_after(
    path: Path, broken: list[Finding]
) -> None:
    assert [one.rule for one in broken if one.span.source.name == path.name] == [path.stem]


def test_nothing_else_is_wrong_with_the_broken_kitchen(broken: list[Finding]) -> None:
    assert sorted(one.span.source.name for one in broken) == [path.name for path in MISTAKES]


@pytest.mark.parametrize("path", MISTAKES[::9], ids=lambda path: path.stem)
def test_checking_one_file_tells_of_that_file_alone(path: Path) -> None:
    done = CliRunner().invoke(command.cli, ["check", str(path)])
    heads = re.findall(
        r"^(?:\S+/)?([\w.-]+\.bench):\d+:\d+: (error|warning|hint): ([\w-]+)$", done.stdout, re.MULTILINE
    )
    assert [(file, rule) for file, _, rule in heads] == [(path.name, path.stem)]
    assert done.exit_code == (1 if heads[0][1] == "error" else 0)


@pytest.mark.parametrize("name", ["kitchen.bench", "prices.bench"])
def test_what_the_broken_files_share_is_right(name: str) -> None:
    done = CliRunner().invoke(command.cli, ["check", "--strict", str(BROKEN / name)])
    assert (done.output, done.exit_code) == ("", 0)


# ---------------------------------------------------------------- each recipe


def test_the_demo_has_its_recipes() -> None:
    assert len(RECIPES) >= 18


@pytest.mark.parametrize("recipe", RECIPES, ids=name_of)
def test_the_lines_of_the_cost_are_the_total(recipe: Recipe) -> None:
    cost = batch(recipe).cost
    assert cost.complete
    assert sum((line.cost for line in cost.lines if line.cost is not None), Fraction(0)) == cost.total
    assert sum((line.share for line in cost.lines if line.share is not None), Fraction(0)) == (
        100 if cost.total else 0
    )


@pytest.mark.parametrize("recipe", RECIPES, ids=name_of)
def test_its_card_is_drawn(recipe: Recipe) -> None:
    made = batch(recipe)
    page = card_html([made], paper="A5")
    assert page.startswith("<!DOCTYPE html>") or page.lstrip().lower().startswith("<!doctype html>")
    page = html.unescape(page)
    assert made.recipe in page
    assert not re.search(r"\bNone\b(?! of)|Fraction\(|\{\{", re.sub(r"<[^>]*>", " ", page))
    for step in made.steps:
        assert step.name in page


@pytest.mark.parametrize("recipe", RECIPES, ids=name_of)
def test_three_times_the_yield_is_three_times_every_weight(recipe: Recipe) -> None:
    once = batch(recipe)
    if once.makes.count is not None:
        asked = f"{once.makes.count * 3} {once.makes.noun or ''}".strip()
    elif once.makes.total is not None:
        asked = f"{once.makes.total * 3} g" + (" cooked" if once.makes.after_losses else "")
    elif once.serves is not None:
        asked = f"{once.serves * 3} portions"
    else:
        pytest.fail("a demo recipe says neither what it makes nor how many it serves")
    thrice = batch(recipe, makes=asked)
    assert thrice.asked.times == 3
    weights = [(line.name, line.weight) for part in once.parts for line in part.lines]
    assert [(line.name, line.weight) for part in thrice.parts for line in part.lines] == [
        (name, weight * 3 if weight is not None else None) for name, weight in weights
    ]
    assert any(weight for _, weight in weights)
    assert thrice.cost.total == once.cost.total * 3
    assert [one.value for one in thrice.ratios] == [one.value for one in once.ratios]


# ---------------------------------------------------------------- a slip of the pen


def salted() -> list[Recipe]:
    """Recipes whose salt has a range of its style, or of their own `expect`, and stands in the main list."""
    found = []
    for recipe in RECIPES:
        compiled = COMPILER.compile(recipe, Request(on=KITCHEN.settings.costed_on))
        bounded = {name for name, _, _ in bounds_of(compiled.formula, compiled.style)}
        main = compiled.formula.main
        if "salt" in bounded and main and any(item.kind == "salt" and item.inside for item in main.items):
            found.append(recipe)
    return found


SALTED = salted()


def test_there_are_salted_recipes() -> None:
    assert len(SALTED) >= 6


def slipped(recipe: Recipe, factor: Fraction) -> tuple[str, str]:
    """The text of the recipe's file with its salt's decimal point one place off, and the amount as it was."""
    main = COMPILER.formulas.of(recipe).main
    assert main is not None
    item = next(one for one in main.items if one.kind == "salt" and one.inside)
    value = item.entry.value
    if isinstance(value, Percentage):
        number = value.number.low
    elif isinstance(value, Measured):
        number = value.quantity.low[0].number
    else:
        number = item.entry.value.number.low  # type: ignore[union-attr]
    span, text = value.span, recipe.source.text
    new = number * factor
    written = re.sub(r"^(\d+(?:\.\d+)?(?: \d+)?(?:/\d+)?|[½¼¾])", f"{float(new):g}", span.text)
    assert written != span.text
    return text[: span.first] + written + text[span.last :], span.text


def amount(text: str) -> tuple[Fraction | None, str]:
    """`1/2 tsp` and `½ tsp` are one amount."""
    number, _, unit = re.sub("[\u2009\u202f\u00a0]", " ", text).rpartition(" ")
    return number_of(number), unit


@pytest.mark.parametrize("factor", [Fraction(10), Fraction(1, 10)], ids=["ten-times", "a-tenth"])
@pytest.mark.parametrize("recipe", SALTED, ids=name_of)
def test_a_slipped_point_in_the_salt_is_an_error_that_names_the_likely_value(
    recipe: Recipe, factor: Fraction
) -> None:
    text, was = slipped(recipe, factor)
    low = min(
        entry.value.value.number.low
        if getattr(entry.value, "word", None) not in ("under", "at most")
        else Fraction(0)
        for name, _, entry in bounds_of(
            COMPILER.formulas.of(recipe), COMPILER.compile(recipe, Request(on="2026-11-20")).style
        )
        if name == "salt"
    )
    kitchen = Kitchen([Source(text, one.name) if one is recipe.source else one for one in KITCHEN.sources])
    found = [
        one
        for one in check_kitchen(kitchen, Compiler(kitchen), "2026-11-20")
        if one.rule == "slipped-decimal" and one.span.source.name == recipe.source.name
    ]
    if factor < 1 and low == 0:
        assert found == []  # a range from nought has nothing below it
        return
    assert [one.severity for one in found] == [Severity.ERROR]
    likely = found[0].help.removeprefix("The likely amount is ").removesuffix(".")
    assert amount(likely) == amount(was)


def test_checking_leaves_the_kitchen_as_it_was(tmp_path: Path) -> None:
    copy = tmp_path / "kitchen"
    shutil.copytree(DEMO, copy)
    before = {path: path.read_bytes() for path in sorted(copy.rglob("*")) if path.is_file()}
    run("check", ".", cwd=copy)
    assert {path: path.read_bytes() for path in sorted(copy.rglob("*")) if path.is_file()} == before
