"""Recipes as people write them, with nothing wrong in them: the checks must have nothing to say.

Sweet and savoury; metric, US, UK and Australian measures; with and without a base, a style, a kitchen and prices.
"""

import html
from fractions import Fraction
from pathlib import Path

import pytest

from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Severity
from benchproof.compiler.kitchen import open_kitchen
from benchproof.compiler.request import Request
from benchproof.renderers.batch_text import batch_text
from benchproof.renderers.card import card_html
from benchproof.renderers.cost_table import cost_table
from benchproof.renderers.findings_report import findings_text

HERE = Path(__file__).parent / "clean"
LONE = sorted(HERE.glob("*.bench"))
FOLDERS = sorted(path.parent for path in HERE.glob("*/kitchen.bench"))
ON = "2026-11-20"

FALSE_ALARMS: dict[str, str] = {}
"""Clean recipes that are warned of all the same, each with why."""


def places() -> list[object]:
    return [
        pytest.param(
            path,
            id=path.stem,
            marks=[pytest.mark.xfail(strict=True, reason=FALSE_ALARMS[path.stem])]
            if path.stem in FALSE_ALARMS
            else [],
        )
        for path in [*LONE, *FOLDERS]
    ]


@pytest.mark.parametrize("path", places())
def test_nothing_is_wrong_with_it(path: Path) -> None:
    kitchen = open_kitchen(path)
    found = check_kitchen(kitchen, Compiler(kitchen), kitchen.settings.costed_on or ON)
    loud = [one for one in found if one.severity >= Severity.WARNING]
    assert findings_text(loud, colour=False) == ""


@pytest.mark.parametrize("path", [*LONE, *FOLDERS], ids=lambda path: path.stem)
@pytest.mark.parametrize("times", ["as written", "three"])
def test_it_is_made_costed_and_printed(path: Path, times: str) -> None:
    kitchen = open_kitchen(path)
    compiler = Compiler(kitchen)
    recipes = kitchen.own_recipes()
    assert recipes
    for recipe in recipes:
        request = Request(
            times=Fraction(3) if times == "three" else None, on=kitchen.settings.costed_on or ON
        )
        batch = compiler.compile(recipe, request).batch
        assert batch is not None
        assert recipe.name.text in batch_text(batch)
        assert cost_table([batch], "text")
        assert recipe.name.text in html.unescape(card_html([batch], paper="A5"))


def test_there_are_enough_of_them_and_of_every_sort() -> None:
    kitchens = [open_kitchen(path) for path in [*LONE, *FOLDERS]]
    recipes = [recipe for kitchen in kitchens for recipe in kitchen.own_recipes()]
    assert len(recipes) >= 15
    assert {kitchen.settings.measures for kitchen in kitchens} == {"metric", "US", "UK", "Australian"}
    assert {bool(recipe.block.entry("base")) for recipe in recipes} == {True, False}
    assert {bool(recipe.block.entry("style")) for recipe in recipes} == {True, False}
    assert {bool(kitchen.prices) for kitchen in kitchens} == {True, False}
