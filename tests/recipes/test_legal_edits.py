"""A sensible edit of a clean recipe raises no warning and no error."""

import random
from fractions import Fraction
from functools import lru_cache

import pytest

from benchproof.compiler.findings import Finding
from tests.recipes.seeded.corpus import corpus
from tests.recipes.seeded.legal import COUNT, EDITS, LegalEdit, alarms, edits, figure, near

KNOWN: dict[str, str] = {}
"""Edits that are cried over all the same: `kind of edit @ file:line`, each with why."""


@lru_cache(maxsize=1)
def made() -> list[tuple[LegalEdit, list[Finding]]]:
    return list(edits(benches=corpus()))


def test_nothing_cries_wolf() -> None:
    cried = {
        alarm.key: [(one.rule, one.severity.word, one.message) for one in alarm.found]
        for alarm in alarms(made())
    }
    assert {key: found for key, found in cried.items() if key not in KNOWN} == {}


def test_no_excuse_outlives_its_alarm() -> None:
    assert set(KNOWN) <= {alarm.key for alarm in alarms(made())}


def test_there_are_enough_edits_of_every_kind() -> None:
    assert len(made()) == COUNT
    names = [edit.name for edit, _ in made()]
    assert {name for name in EDITS if names.count(name) < 3} == set()


def test_every_edit_changes_the_text() -> None:
    assert [edit.place for edit, _ in made() if edit.text == edit.site.source.text] == []


def test_the_same_edits_are_made_every_time() -> None:
    few = corpus()[:8]
    one, two = ([(edit.place, edit.name, edit.what) for edit, _ in edits(4, 12, few)] for _ in range(2))
    assert one == two


@pytest.mark.parametrize("name", sorted(EDITS))
def test_an_edit_says_what_it_is(name: str) -> None:
    assert (EDITS[name].__doc__ or "").strip().endswith(".")


@pytest.mark.parametrize(("value", "text"), [("3/2", "1.5"), ("1/3", "1/3"), ("4/3", "1 1/3"), ("12", "12")])
def test_a_figure_is_written_as_a_cook_does(value: str, text: str) -> None:
    assert figure(Fraction(value)) == text
    assert figure(Fraction(1, 7)) is None


def test_a_small_change_stays_small() -> None:
    rng = random.Random(1)
    for _ in range(200):
        value = Fraction(rng.randint(1, 2000), rng.choice([1, 2, 10]))
        share = Fraction(rng.choice([-20, -8, 8, 20]), 100)
        close = near(value, share)
        assert close is None or 0 < abs(close / value - 1) <= abs(share)
