"""Times: each threshold from both sides, and the words that make a long or a short time right."""

import pytest

from benchproof.compiler.findings import Finding, Severity
from tests.compiler.checks.checking import checked, told

TIMES = {
    "wait-without-time",
    "hands-off-missing",
    "hands-off-handwork",
    "time-range-too-wide",
    "time-slipped",
    "load-does-not-divide",
    "load-over-whole",
    "turns-over-rest",
    "took-unlike-plan",
}


def loaf(*lines: str, yeast: str = "6 g", makes: str = "1 loaf", head: str = "", more: str = "") -> str:
    """A barley loaf, and what its last step says."""
    return (
        f"{head}recipe Barley bread\n  makes:  {makes}\n\ningredients\n  strong flour:   500 g\n"
        f"  water:          340 g\n  fine salt:       10 g\n  instant yeast:  {yeast}\n\nstep Mix\n"
        "  Mix [the strong flour], [the water], [the fine salt] and [the instant yeast], [8 min].\n\nstep Last\n"
        + "".join(f"  {line}\n" for line in lines)
        + more
    )


def of_time(text: str) -> list[Finding]:
    return [one for one in checked(text) if one.rule in TIMES]


def judged(text: str) -> list[tuple[str, Severity]]:
    return [(one.rule, one.severity) for one in of_time(text)]


SLIPPED = [("time-slipped", Severity.WARNING)]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Knead it, [2 min].", False),
        ("Knead it, [1 min].", True),
        ("Knead it briefly, [1 min].", False),
        ("Knead it, [40 min].", False),
        ("Knead it, [41 min].", True),
        ("Whisk it, [28 min].", False),
        ("Whisk it, [29 min].", True),
        ("Fold it, [15 min].", False),
        ("Fold it, [16 min].", True),
        ("Prove [10 min hands-off].", False),
        ("Prove [9 min hands-off].", True),
        ("Prove [6 h hands-off].", False),
        ("Prove [7 h hands-off].", True),
        ("Prove in the fridge, [24 h hands-off].", False),
        ("Chill [5 min hands-off].", False),
        ("Chill [4 min hands-off].", True),
        ("Toast it, [28 min].", False),
        ("Toast it, [29 min].", True),
        ("Heat to [220 C oven], [4 min hands-off].", False),
        ("Heat to [220 C oven], [3 min hands-off].", True),
        ("Heat to [220 C oven], [2 h hands-off].", False),
        ("Heat to [220 C oven], [3 h hands-off].", True),
        ("Bake at [220 C oven], [12 min hands-off].", False),
        ("Bake at [220 C oven], [11 min hands-off].", True),
        ("Bake at [220 C oven], [105 min hands-off].", False),
        ("Bake at [220 C oven], [106 min hands-off].", True),
        ("Bake at [180 C oven], [150 min hands-off].", False),
        ("Bake at [180 C oven], [151 min hands-off].", True),
        ("Bake at [150 C oven], [6 h hands-off].", False),
        ("Bake at [150 C oven], [7 h hands-off].", True),
        ("Bake at [220 C oven], [2 min hands-off], then at [180 C oven], [30 min hands-off].", True),
        ("Bake at [220 C oven], [3 min hands-off], then at [180 C oven], [30 min hands-off].", False),
        ("Shake it, [55 min].", False),
        ("Shake it, [56 min].", True),
        ("Shape it, [2 h].", False),
        ("Shape it, [3 h].", True),
        ("Keep [up to 3 h].", False),
        ("Leave overnight, [8-12 h hands-off], in the fridge.", False),
        ("Leave overnight in the fridge, [4 h hands-off].", True),
    ],
)
def test_what_a_verb_takes(line: str, found: bool) -> None:
    assert judged(loaf(line)) == (SLIPPED if found else [])


@pytest.mark.parametrize(
    ("written", "found"),
    [
        ("8 min", False),
        ("7.5 min", False),
        ("7.2 min", True),
        ("0.5 min", True),
        ("30 s", False),
        ("0.5 h", False),
        ("0.25 h", False),
        ("0.7 h", True),
        ("1 1/2 min", False),
    ],
)
def test_what_nobody_reads_off_a_clock(written: str, found: bool) -> None:
    assert judged(loaf(f"Stir it, [{written}].")) == (SLIPPED if found else [])


@pytest.mark.parametrize(
    ("written", "severity"),
    [
        ("5-20 min hands-off", None),
        ("5-21 min hands-off", Severity.HINT),
        ("5-30 min hands-off", Severity.HINT),
        ("5-31 min hands-off", Severity.WARNING),
        ("10-90 s hands-off", None),
    ],
)
def test_how_far_apart_the_ends_may_be(written: str, severity: Severity | None) -> None:
    found = [
        one for one in judged(loaf(f"Lay it out on the table, [{written}].")) if one[0] != "time-slipped"
    ]
    assert found == ([("time-range-too-wide", severity)] if severity else [])


@pytest.mark.parametrize(
    ("line", "wide"),
    [
        ("Leave in the fridge, [1-24 h hands-off].", False),
        ("Leave in the fridge, [1-25 h hands-off].", True),
        ("Leave on the bench, [1-8 h hands-off].", False),
        ("Leave on the bench, [1-9 h hands-off].", True),
    ],
)
def test_hours_in_the_fridge_may_be_many(line: str, wide: bool) -> None:
    assert ("time-range-too-wide" in {rule for rule, _ in judged(loaf(line))}) is wide


@pytest.mark.parametrize(
    ("line", "severity"),
    [
        ("Rest [5 min].", None),
        ("Rest [6 min].", Severity.HINT),
        ("Rest [14 min].", Severity.HINT),
        ("Rest [15 min].", Severity.WARNING),
        ("Bake at [220 C oven], turning it twice, [40 min].", None),
        ("Bake at [220 C oven], [40 min].", Severity.WARNING),
        ("Heat to [220 C oven], [20 min].", Severity.WARNING),
        ("In the oven at [220 C oven], [40 min hands-off].", None),
        ("Boil it, [19 min].", None),
        ("Boil it, [20 min].", Severity.WARNING),
        ("Boil it, stirring all the while, [20 min].", None),
    ],
)
def test_whose_hands_a_wait_is_at(line: str, severity: Severity | None) -> None:
    assert judged(loaf(line)) == ([("hands-off-missing", severity)] if severity else [])


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Knead [10 min hands-off].", True),
        ("Knead in the mixer, [10 min hands-off].", False),
        ("Slice it, [10 min hands-off].", True),
        ("Slice it and leave it, [10 min hands-off].", False),
    ],
)
def test_work_that_does_not_do_itself(line: str, found: bool) -> None:
    assert judged(loaf(line)) == ([("hands-off-handwork", Severity.HINT)] if found else [])


def test_a_mixer_may_stand_in_the_equipment() -> None:
    text = loaf("Knead [10 min hands-off].").replace("step Mix", "equipment\n  stand mixer\n\nstep Mix")
    assert judged(text) == []


@pytest.mark.parametrize(
    ("lines", "severity"),
    [
        (("Prove.",), Severity.WARNING),
        (("Prove until it has doubled.",), Severity.WARNING),
        (("Prove until it has doubled.", "Shape it, [5 min].", "Flour it."), None),
        (("Shape it, [5 min].", "Dust it.", "Prove until it has doubled."), Severity.HINT),
        (("Shape it, [5 min].", "Dust it.", "Prove."), Severity.WARNING),
        (("Shape it, [5 min].", "Dust it.", "Bake at [220 C oven]."), Severity.WARNING),
        (("Shape it, [5 min].", "Dust it.", "Bake at [220 C oven] to [96 C core]."), Severity.HINT),
        (("Let it cool a little.",), None),
        (("Chill overnight.",), Severity.WARNING),
        (("Shape it, [5 min].", "Cool it [60 C to 21 C within 2 h]."), None),
    ],
)
def test_a_wait_says_how_long(lines: tuple[str, ...], severity: Severity | None) -> None:
    found = [one for one in judged(loaf(*lines)) if one[0] == "wait-without-time"]
    assert found == ([("wait-without-time", severity)] if severity else [])


def test_it_is_told_at_the_verb() -> None:
    text = loaf("Slash it. Bake at [220 C oven].")
    found = of_time(text)
    assert [one.span.text for one in found] == ["Bake"]


def test_the_time_that_is_likely_is_offered() -> None:
    (found,) = of_time(loaf("Knead it, [100 min]."))
    assert "10 min" in found.help
    (found,) = of_time(loaf("Knead it, [8 h]."))
    assert "8 min" in found.help
    (found,) = of_time(loaf("Bake at [220 C oven], [4 min hands-off]."))
    assert "40 min" in found.help


@pytest.mark.parametrize(
    ("load", "found"),
    [
        ("4", []),
        ("5", [("load-does-not-divide", Severity.HINT)]),
        ("7", []),
        ("8", [("load-does-not-divide", Severity.HINT)]),
        ("12", []),
        ("13", [("load-over-whole", Severity.WARNING)]),
        ("4-5", []),
    ],
)
def test_loads(load: str, found: list[tuple[str, Severity]]) -> None:
    text = loaf(f"Bake [{load} at a time] at [220 C oven]: [15 min hands-off].", makes="12 rolls")
    assert judged(text) == found


def test_a_load_of_nobody_knows_what_is_not_judged() -> None:
    text = loaf("Bake [40 at a time] at [220 C oven]: [15 min hands-off].")
    assert judged(text.replace("makes:  1 loaf", "serves:  4")) == []


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Prove [2 h hands-off], folding [4 times, every 30 min].", False),
        ("Prove [119 min hands-off], folding [4 times, every 30 min].", True),
        ("Fold [4 times, every 30 min]. Prove [60 min hands-off].", False),
        ("Prove [60 min hands-off]. Fold [4 times, every 30 min].", False),
    ],
)
def test_turns_fit_into_their_rest(line: str, found: bool) -> None:
    assert judged(loaf(line)) == ([("turns-over-rest", Severity.WARNING)] if found else [])


@pytest.mark.parametrize(
    ("took", "found"),
    [("30 min", False), ("15 min", True), ("170 min", False), ("4 h", True), ("60 min", False)],
)
def test_what_a_trial_took(took: str, found: bool) -> None:
    text = loaf(
        "Bake at [220 C oven], [50 min hands-off].",
        more=f"\ntrial 2026-11-09\n  took:    {took}\n  result:  good\n",
    )
    assert judged(text) == ([("took-unlike-plan", Severity.WARNING)] if found else [])


RICE = (
    "recipe Rice\n  serves:  4\n\ningredients\n  white rice:  250 g\n  water:  375 g\n\nstep Boil\n"
    "  Simmer [the white rice] in [the water], [{} hands-off].\n{}"
)


@pytest.mark.parametrize(
    ("time", "more", "found"),
    [
        ("8 min", "", False),
        ("7 min", "", True),
        ("7 min", "  Lid on, off the heat, [10 min hands-off].\n", False),
        ("100 min", "", False),
        ("101 min", "", True),
    ],
)
def test_rice_takes_its_time(time: str, more: str, found: bool) -> None:
    assert judged(RICE.format(time, more)) == (SLIPPED if found else [])


def test_a_stock_may_simmer_for_a_day() -> None:
    text = RICE.format("20 h", "")
    assert judged(text) == SLIPPED
    assert judged(text.replace("recipe Rice", "recipe Rice and bones, a stock")) == []


PAN = (
    "recipe Pancakes\n  makes:  8 pancakes\n\ningredients\n  plain flour:  200 g\n  eggs:  2\n  whole milk:  400 ml\n"
    "  butter:  20 g\n\nstep Cook\n  Whisk [the eggs], [the whole milk] and [the plain flour], [3 min].\n"
    "  Fry [1 at a time] in [the butter]: [{}], turn, [30 s].\n"
)


@pytest.mark.parametrize(
    ("time", "found"), [("25 min", False), ("26 min", True), ("5 s", False), ("3 s", True)]
)
def test_one_load_in_a_pan(time: str, found: bool) -> None:
    assert judged(PAN.format(time)) == (SLIPPED if found else [])


def test_a_recipe_that_cannot_be_weighed_is_judged_all_the_same() -> None:
    text = loaf("Knead it, [100 min].").replace("500 g", "2 handfuls")
    assert "time-slipped" in {one.rule for one in checked(text)}


def _bread(fold: str) -> list[str]:
    return told(
        "recipe Plain bread\n  makes: 1 loaf\n\ningredients\n  strong flour: 500 g\n  water: 340 g\n  fine salt: 10 g\n"
        "  instant yeast: 3 g\n\nstep Mix\n  Mix [the strong flour], [the water], [the fine salt] and "
        f"[the instant yeast], [5 min].\n  {fold}\n"
    )


@pytest.mark.parametrize(
    ("fold", "odd"),
    [
        ("Fold it [10 times, every 5 min].", False),
        ("Fold it [11 times, every 20 min].", True),
        ("Fold it [3 times, every 4 min].", True),
        ("Stir it [3 times, every 4 min].", False),
        ("Fold it [3 times, every 2 h].", False),
        ("Fold it [3 times, every 3 h].", True),
        ("Feed it [3 times, every 12 h].", False),
    ],
)
def test_turns_that_nobody_gives(fold: str, odd: bool) -> None:
    assert ("unlikely-turns" in _bread(fold)) is odd


@pytest.mark.parametrize(
    ("said", "odd"),
    [
        ("Leave it [50 s hands-off].", True),
        ("Blitz it in the machine, [50 s hands-off].", False),
        ("Shape it, [19 s].", True),
        ("Shape it, [20 s].", False),
        ("Leave it [150 min hands-off].", False),
        ("Leave it [151 min hands-off].", True),
        ("Cover it, [11/2 h hands-off].", True),
        ("Cover it, [1 1/2 h hands-off].", False),
        ("Leave it at [4 C fridge], [80 h hands-off].", True),
        ("Leave it at [4 C fridge], [72 h hands-off].", False),
    ],
)
def test_a_time_as_nobody_writes_it(said: str, odd: bool) -> None:
    assert ("time-slipped" in _bread(said)) is odd
