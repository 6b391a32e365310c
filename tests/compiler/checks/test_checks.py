"""The checks as a whole: one pass over a kitchen, in the order of its text."""

from __future__ import annotations

from benchproof.compiler.checks import CHECKS, check_kitchen, check_recipe
from benchproof.compiler.compile import Compiler
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source

ON = "2026-11-20"
FIRST = """\
recipe Rice
  makes:  2 bowls of 300 g
  gains:  140 % in the pot

ingredients
  white rice:  200 g
  peper:       to taste

step Boil
  Boil [the white rice], 12 min.
"""
SECOND = """\
recipe Toast
ingredients
  bread:  2,5 g
"""


def kitchen() -> Kitchen:
    return Kitchen([Source(FIRST, "a.bench"), Source(SECOND, "b.bench")])


def test_findings_come_in_the_order_of_the_files_and_of_the_lines() -> None:
    found = check_kitchen(here := kitchen(), Compiler(here), ON)
    places = [(one.span.source.name, one.span.first) for one in found]
    assert [name for name, _ in places] == sorted(name for name, _ in places)
    for name in ("a.bench", "b.bench"):
        lines = [at for where, at in places if where == name]
        assert lines
        assert lines == sorted(lines)


def test_every_family_has_its_say_and_nothing_is_said_twice() -> None:
    found = check_kitchen(here := kitchen(), Compiler(here), ON)
    rules = [one.rule for one in found]
    assert {"yield-does-not-add-up", "loose-number", "left-over-ingredient", "decimal-comma"} <= set(rules)
    assert len(found) == len(set(found))


def test_a_mistake_in_one_recipe_does_not_hide_those_of_another() -> None:
    here = kitchen()
    compiler = Compiler(here)
    toast = here.recipe("toast")
    rice = here.recipe("rice")
    assert toast is not None
    assert rice is not None
    assert compiler.compile(toast, Request(on=ON)).batch is None
    assert check_recipe(compiler.compile(rice, Request(on=ON)), here)


def test_a_check_is_a_plain_function_of_what_was_compiled_and_its_kitchen() -> None:
    here = kitchen()
    rice = here.recipe("rice")
    assert rice is not None
    compiled = Compiler(here).compile(rice, Request(on=ON))
    each = [finding for check in CHECKS for finding in check(compiled, here)]
    assert each == check_recipe(compiled, here)[len(compiled.findings) :]
