"""A single mistake planted in a clean recipe is found, by a rule that is about it, on its own line."""

import random
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import get_args

import pytest

from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.rule import Family
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source
from tests.recipes.seeded.__main__ import table
from tests.recipes.seeded.corpus import ON, Bench, Site, Where, corpus, new_findings
from tests.recipes.seeded.operators import OPERATORS, RIGHT, SORTS, Slip, misspelt, operators_for, written
from tests.recipes.seeded.plant import COUNT, Run, draw, is_right, plant, run
from tests.recipes.seeded.situations import KINDS, undetectable

RIGHTLY_FOUND = 0.97
"""The share of detectable slips that a right rule finds in the right place. What there is today, rounded down: to be
raised to 0.97 as rules come, never lowered."""


@lru_cache(maxsize=1)
def benches() -> tuple[Bench, ...]:
    return corpus()


@lru_cache(maxsize=1)
def sites() -> tuple[Site, ...]:
    return tuple(site for bench in benches() for site in bench.sites)


@lru_cache(maxsize=1)
def all_planted() -> Run:
    return run(benches=benches())


def test_planted_slips_are_found_by_a_rule_about_them() -> None:
    result = all_planted()
    assert len(result.outcomes) == COUNT
    assert result.share >= RIGHTLY_FOUND, table(result)


def test_every_kind_of_situation_has_its_reason() -> None:
    assert {kind for _, kind in all_planted().undetectable} <= set(KINDS)


def test_most_slips_could_be_known() -> None:
    """A draw in which the judge lets most slips go would prove little."""
    assert all_planted().undetectable.total() < COUNT


def test_what_may_find_a_slip_is_a_rule_or_a_family_that_there_is() -> None:
    known = {*RULES, *get_args(Family)}
    assert {name: words - known for name, words in RIGHT.items() if words - known} == {}
    assert set(RIGHT) == set(OPERATORS)


def test_a_draw_is_the_same_every_time() -> None:
    one, two = (
        [(site.sort, site.source.name, site.start) for site, _, _ in draw(sites(), 7)[:200]] for _ in range(2)
    )
    assert one == two
    assert one != [(site.sort, site.source.name, site.start) for site, _, _ in draw(sites(), 8)[:200]]


def test_a_run_is_the_same_every_time() -> None:
    few = benches()[:12]
    one, two = (
        [
            (outcome.place, outcome.slip.operator, outcome.slip.now)
            for outcome in run(3, 10, benches=few).outcomes
        ]
        for _ in range(2)
    )
    assert one == two


# ---------------------------------------------------------------- each operator


def first(name: str, *, seed: int = 1, among: tuple[Site, ...] | None = None) -> Slip:
    """The first slip of an operator that some site of the corpus takes, in an order of its own."""
    order = [site for site in among or sites() if (site.sort, site.what) in SORTS[name]]
    random.Random(seed).shuffle(order)
    for site in order:
        slip = OPERATORS[name](site, random.Random(seed))
        if slip is not None:
            return slip
    pytest.skip(f"nowhere in the clean recipes for: {name}")


MOVES_LINES = frozenset({"steps swapped", "line in the wrong part"})


@pytest.mark.parametrize("name", sorted(OPERATORS))
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_an_operator_changes_one_thing(name: str, seed: int) -> None:
    slip = first(name, seed=seed)
    clean, planted = slip.site.source.text, slip.text
    assert planted != clean
    assert (OPERATORS[name](slip.site, random.Random(seed)) or slip).text == planted
    if name in MOVES_LINES:
        assert sorted(clean.split()) == sorted(planted.split())
        return
    old, new = clean.splitlines(), planted.splitlines()
    head = next(
        (at for at, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), min(len(old), len(new))
    )
    tail = 0
    while tail < min(len(old), len(new)) - head and old[-1 - tail] == new[-1 - tail]:
        tail += 1
    assert len(old) - head - tail <= 1
    assert len(new) - head - tail <= 1


@pytest.mark.parametrize("name", sorted(OPERATORS))
def test_an_operator_says_what_slip_it_is(name: str) -> None:
    assert (OPERATORS[name].__doc__ or "").strip().endswith(".")


@pytest.mark.parametrize("name", sorted(OPERATORS))
def test_a_slip_names_its_line(name: str) -> None:
    slip = first(name)
    lines = slip.text.splitlines()
    assert slip.lines
    assert all(1 <= where.line <= len(lines) for where in slip.lines if where.file == slip.site.source.name)
    if slip.now and slip.site.what == "number" and "-" not in slip.now and "[" not in slip.now:
        assert slip.now.split()[0] in lines[slip.line - 1]


BREAD = """\
kitchen Test
  currency:  GBP
  costed on: 2026-11-20
  prices go stale after: 90 days

prices at Corner Shop on 2026-11-01
  strong flour:   1.20 for 1.5 kg
  fine salt:      0.65 for 750 g

recipe Loaf
  makes:   2 loaves of 431 g
  base:    strong flour
  style:   lean hearth bread
  keeps:   3 days in a bag

ingredients
  strong flour:   500 g
  water:           70 %
  fine salt:        2 %
  instant yeast:  0.4 %

step Mix
  Stir [the instant yeast] into [the water] at [36-40 C]. Knead in [the strong flour] and [the fine salt], [8-10 min].
  Leave [60-75 min hands-off].

step Heat the oven, during Mix
  Heat to [230 C oven], [20 min hands-off].

step Bake, after Mix and Heat the oven
  Cut into [2 loaves] and bake at [230 C oven], [35-40 min hands-off], to [96 C core].
  Cool [60 C to 21 C within 2 h].

expect
  salt:  1.8-2.2 %
"""


@pytest.fixture
def bread(tmp_path: Path) -> Bench:
    path = tmp_path / "loaf.bench"
    path.write_text(BREAD, encoding="utf-8")
    return Bench(path)


def slips(bench: Bench, name: str, text: str, *, seed: int = 0) -> list[Slip]:
    found = [
        OPERATORS[name](site, random.Random(seed))
        for site in bench.sites
        if (site.sort, site.what) in SORTS[name] and site.text == text
    ]
    return [slip for slip in found if slip is not None]


@pytest.mark.parametrize(
    ("name", "text", "was", "now"),
    [
        (
            "amount ten times",
            "500",
            "strong flour:   500 g",
            ("strong flour:   5000 g", "strong flour:   50 g"),
        ),
        (
            "percent ten times",
            "0.4",
            "instant yeast:  0.4 %",
            ("instant yeast:  4 %", "instant yeast:  0.04 %"),
        ),
        ("yield ten times", "2", "makes:   2 loaves", ("makes:   20 loaves",)),
        ("price ten times", "0.65", "0.65 for 750 g", ("6.50 for 750 g", "0.06 for 750 g")),
        ("pack ten times", "750", "0.65 for 750 g", ("0.65 for 7500 g", "0.65 for 75 g")),
        ("time ten times", "8", "[8-10 min]", ("[80-100 min]",)),
        ("range end slipped", "10", "[8-10 min]", ("[8-100 min]", "[8-1 min]")),
        ("digits swapped", "35", "[35-40 min hands-off]", ("[53-40 min hands-off]",)),
        ("keeps too long", "3", "3 days in a bag", ("30 days in a bag",)),
        ("liquid heated", "36", "[36-40 C]", ("[70 C]",)),
        ("core lowered", "96", "[96 C core]", ("[81 C core]",)),
        ("oven by the other scale", "230", "[230 C oven]", ("[445 C oven]",)),
        ("hands-off dropped", "60", "[60-75 min hands-off]", ("[60-75 min]",)),
        ("time deleted", "35", ", [35-40 min hands-off], to", (", to",)),
        ("cooling slowed", "2", "within 2 h", ("within 20 h",)),
        ("price aged", "2026-11-01", "on 2026-11-01", ("on 2023-11-01",)),
        (
            "draw dropped",
            "the fine salt",
            "[the strong flour] and [the fine salt],",
            ("[the strong flour],",),
        ),
        ("line deleted", "water", "  water:           70 %\n", ("",)),
        ("line doubled", "water", "  water:           70 %\n", ("  water:           70 %\n" * 2,)),
    ],
)
def test_what_an_operator_writes(bread: Bench, name: str, text: str, was: str, now: tuple[str, ...]) -> None:
    made = slips(bread, name, text)
    assert made
    assert BREAD.count(was) >= 1
    assert made[0].text in {BREAD.replace(was, one, 1) for one in now}


def test_units_change_places_with_what_goes_with_them(bread: Bench) -> None:
    made = {
        (slip.site.sort, slip.was, slip.now)
        for text in ("g", "kg", "h", "C")
        for slip in slips(bread, "unit swapped", text)
    }
    assert ("amount", "g", "kg") in made
    assert ("pack", "kg", "g") in made
    assert ("temperature", "C", "F") in made
    assert ("change time", "h", "min") in made


def test_steps_are_swapped_whole(bread: Bench) -> None:
    made = slips(bread, "steps swapped", "Heat the oven")
    assert made
    assert made[0].text.index("step Bake") < made[0].text.index("step Heat the oven")


@pytest.mark.parametrize("value", ["280", "2", "0.2", "14.5", "0.05", "1000"])
def test_a_figure_is_written_as_a_cook_does(value: str) -> None:
    assert written(Fraction(value)) == value
    assert written(Fraction(1, 3)) is None


def test_a_misspelt_name_is_near_and_other() -> None:
    for seed in range(200):
        now = misspelt("strong flour", random.Random(seed))
        assert now is not None
        assert abs(len(now) - len("strong flour")) <= 2
        assert now[0] == "s"
    assert misspelt("egg", random.Random(1)) is None


# ---------------------------------------------------------------- the judge


def kind_of(bench: Bench, name: str, text: str) -> str | None:
    slip = slips(bench, name, text)[0]
    return undetectable(slip, bench.state, bench.planted(slip.site.number, slip.text))


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("percent ten times", "2"),
        ("percent ten times", "70"),
        ("amount ten times", "500"),
        ("yield ten times", "431"),
        ("time ten times", "8"),
        ("temperature ten times", "230"),
        ("core lowered", "96"),
        ("oven by the other scale", "230"),
        ("keeps too long", "3"),
        ("cooling slowed", "2"),
        ("price deleted", "fine salt"),
        ("price aged", "2026-11-01"),
    ],
)
def test_a_reader_could_know(bread: Bench, name: str, text: str) -> None:
    assert kind_of(bread, name, text) is None


@pytest.mark.parametrize(
    ("clean", "other", "name", "text", "kind"),
    [
        (BREAD, BREAD, "step renamed", "Bake", "nothing refers to it"),
        ("  prices go stale after: 90 days\n", "", "price aged", "2026-11-01", "no limit on age"),
        ("of 431 g\n  base:    strong flour\n  style:   lean hearth bread", "", "yield ten times", "2", None),
        (
            "  fine salt:        2 %\n",
            "  fine salt:        2 %\n  water:  300 g, for the bench\n",
            "amount ten times",
            "300",
            "outside the formula",
        ),
        ("[8-10 min]", "[12 min]", "digits swapped", "12", "time within custom"),
    ],
)
def test_nobody_could_know(
    tmp_path: Path, clean: str, other: str, name: str, text: str, kind: str | None
) -> None:
    path = tmp_path / "loaf.bench"
    path.write_text(BREAD.replace(clean, other), encoding="utf-8")
    assert kind_of(Bench(path), name, text) == kind


# ---------------------------------------------------------------- comparing, and the short way round


def found(text: str) -> list[Finding]:
    kitchen = Kitchen([Source(text, "loaf.bench")])
    return check_kitchen(kitchen, Compiler(kitchen), ON)


def test_what_was_found_before_is_not_new_on_another_line() -> None:
    wrong = BREAD.replace("lean hearth bread", "lean harth bread")
    assert new_findings(found(wrong), found("# a comment\n\n" + wrong)) == []


def test_a_harder_or_a_second_finding_is_new() -> None:
    wrong = BREAD.replace("[the water]", "[the watr]")
    assert {one.rule for one in new_findings(found(BREAD), found(wrong))} >= {"not-in-the-list"}
    twice = wrong.replace("[the fine salt]", "[the fin salt]")
    assert {one.rule for one in new_findings(found(wrong), found(twice))} >= {"not-in-the-list"}


def test_a_right_finding_is_of_the_right_rule_and_on_the_line(bread: Bench) -> None:
    slip = slips(bread, "misspelt in the step", "the water")[0]
    kind, outcome = plant(slip)
    assert kind is None
    assert outcome.right is not None
    assert outcome.right.rule == "not-in-the-list"
    assert outcome.right.severity >= Severity.HINT
    elsewhere = Slip(**{**vars(slip), "lines": frozenset({Where("loaf.bench", 1)})})
    assert not any(is_right(elsewhere, one) for one in outcome.found)
    other = Slip(**{**vars(slip), "operator": "cooling slowed"})
    assert not any(is_right(other, one) for one in outcome.found)


def test_checking_only_what_an_edit_touches_finds_the_same() -> None:
    demo = benches()[-1]
    assert len(demo.sources) > 10
    tried = 0
    for site, names, rng in draw(demo.sites, 5):
        if site.recipe is None or not names:
            continue
        slip = OPERATORS[names[0]](site, rng)
        if slip is None:
            continue
        quick = demo.planted(site.number, slip.text).findings
        whole = demo.planted(site.number, slip.text, quick=False).findings
        told = [
            [(one.rule, one.severity, one.place, one.message) for one in found] for found in (quick, whole)
        ]
        assert told[0] == told[1]
        tried += 1
        if tried == 6:
            break
    assert tried == 6


def test_a_recipe_used_by_another_is_checked_with_it() -> None:
    """The crumble takes the compote: what is wrong with the one may show in the other."""
    demo = benches()[-1]
    number = next(at for at, source in enumerate(demo.sources) if source.name == "rhubarb-compote.bench")
    text = demo.sources[number].text.replace("rhubarb:       600 g", "rhubarb:       600 kg", 1)
    assert text != demo.sources[number].text
    quick, whole = demo.planted(number, text), demo.planted(number, text, quick=False)
    assert [(one.rule, one.place) for one in quick.findings] == [
        (one.rule, one.place) for one in whole.findings
    ]


def test_every_number_unit_and_name_is_a_site_of_some_operator() -> None:
    without = {(site.sort, site.what) for site in sites() if not operators_for(site)}
    assert without <= {("equipment", "unit"), ("expect", "unit"), ("trial", "unit")}
