"""The danger range at its edges: hours out of the fridge, two stages of cooling, thawing, low and long."""

from collections.abc import Iterable

import pytest

from benchproof.compiler.findings import Finding, Severity
from tests.compiler.checks.checking import checked

RULES = {"stood-too-long", "low-and-long", "thawed-in-the-warm", "cooled-too-slowly"}


def found(listed: str, steps: str, *, head: str = "", kitchen: str = "") -> list[Finding]:
    text = f"{kitchen}recipe T\n  serves: 4\n{head}\ningredients\n{listed}\n{steps}"
    return [one for one in checked(text) if one.rule in RULES]


def loud(findings: Iterable[Finding]) -> list[tuple[str, Severity]]:
    return [(one.rule, one.severity) for one in findings]


COOKED = "step A\n  Fry [the beef mince], [15 min], to [75 C core].\n  {}\n"
MINCE = "  beef mince: 400 g\n"


# Two hours out of refrigeration: Danger Zone (USDA FSIS), seen. Four hours in all: 2-hour / 4-hour rule (FSANZ), seen.
@pytest.mark.parametrize(
    ("time", "severity"),
    [
        ("2 h", None),
        ("121 min", Severity.WARNING),
        ("239 min", Severity.WARNING),
        ("4 h", Severity.ERROR),
        ("1-3 h", Severity.WARNING),
        ("20 h", Severity.ERROR),
    ],
)
def test_hours_on_the_bench(time: str, severity: Severity | None) -> None:
    told = loud(found(MINCE, COOKED.format(f"Leave on the bench, [{time} hands-off].")))
    assert told == ([("stood-too-long", severity)] if severity else [])


@pytest.mark.parametrize(
    ("room", "time", "told"),
    [("32 C", "90 min", False), ("34 C", "90 min", True), ("34 C", "1 h", False), ("91 F", "61 min", True)],
)
def test_one_hour_above_ninety_fahrenheit(room: str, time: str, told: bool) -> None:
    """Danger Zone (USDA FSIS): 1 h above 90 F, which is 32.2 C."""
    assert bool(found(MINCE, COOKED.format(f"Leave at [{room} room], [{time} hands-off]."))) is told


def test_a_hot_kitchen_counts_without_being_said_in_the_step() -> None:
    kitchen = "kitchen Hot\n  room: 35 C\n  food law: New Zealand\n\n"
    assert found(MINCE, COOKED.format("Leave on the bench, [90 min hands-off]."), kitchen=kitchen)
    assert not found(MINCE, COOKED.format("Leave on the bench, [90 min hands-off]."))


def test_hours_of_several_steps_are_added_and_told_where_they_pass() -> None:
    steps = (
        COOKED.format("Leave on the bench, [90 min hands-off].") + "\nstep B\n  Leave [90 min hands-off].\n"
    )
    (one,) = found(MINCE, steps)
    assert one.span.line == 12
    assert "3 h in all" in one.message


def test_what_passes_both_limits_is_told_at_each() -> None:
    steps = COOKED.format("Leave on the bench, [3 h hands-off].") + "\nstep B\n  Leave [2 h hands-off].\n"
    assert [one.severity for one in found(MINCE, steps)] == [Severity.WARNING, Severity.ERROR]


def test_up_to_is_a_limit_and_counts() -> None:
    assert found(MINCE, COOKED.format("Keep on the buffet, [up to 3 h]."))
    assert not found(MINCE, COOKED.format("Keep on the buffet, [up to 2 h]."))


def test_the_cooks_own_work_does_not_count() -> None:
    assert not found(MINCE, COOKED.format("Set out on the bench, [3 h hands-on]."))


@pytest.mark.parametrize("words", ["Leave at [4 C fridge]", "Chill", "Hold hot at [65 C oven]", "Simmer"])
def test_cold_and_hot_hours_do_not_count(words: str) -> None:
    assert not found(MINCE, COOKED.format(f"{words}, [9 h hands-off]."))


def test_a_fridge_a_little_too_warm_is_no_error() -> None:
    """Cold holding: 41 F, 5 C, FDA Food Code 3-501.16, seen."""
    assert loud(found(MINCE, COOKED.format("Leave at [7 C fridge], [9 h hands-off]."))) == [
        ("stood-too-long", Severity.WARNING)
    ]
    assert not found(MINCE, COOKED.format("Leave at [5 C fridge], [9 h hands-off]."))


@pytest.mark.parametrize(("time", "told"), [("3 h", False), ("5 h", True)])
def test_a_raw_batter_that_is_fried_later_has_four_hours(time: str, told: bool) -> None:
    listed = "  plain flour: 120 g\n  whole milk: 250 g\n  eggs: 2\n"
    steps = (
        f"step A\n  Whisk [the plain flour], [the whole milk] and [the eggs], [3 min]. Leave [{time} hands-off].\n\n"
        "step B\n  Fry [6 min].\n"
    )
    assert bool(found(listed, steps)) is told


@pytest.mark.parametrize(
    ("listed", "draws"),
    [
        ("  white rice: 300 g\n  water: 500 g\n", "[the white rice] in [the water]"),
        ("  dried pasta: 400 g\n  water: 2 l, for the pot\n", "[the dried pasta] in [the water]"),
        ("  potatoes: 800 g\n", "[the potatoes]"),
        ("  tinned chickpeas: 400 g\n", "[the tinned chickpeas]"),
        ("  prawns: 400 g\n", "[the prawns]"),
        ("  beef stock: 1 kg\n", "[the beef stock]"),
        ("  whole milk: 500 g\n  egg yolks: 80 g\n", "[the whole milk] with [the egg yolks]"),
        ("  quay moa: 400 g\n\ningredient quay moa\n  kind: poultry\n  contains: nothing\n\n", ""),
    ],
)
def test_every_sort_of_food_that_spoils(listed: str, draws: str) -> None:
    if not draws:
        head, _, block = listed.partition("\n\n")
        boil = "step A\n  Boil [the quay moa], [30 min], to [80 C core]. Leave on the bench, [3 h hands-off].\n\n"
        steps = f"{boil}{block}"
        assert found(head + "\n", steps)
        return
    assert found(
        listed, f"step A\n  Boil {draws}, [20 min hands-off]. Leave on the bench, [3 h hands-off].\n"
    )


def test_a_food_of_no_stated_kind_is_taken_at_its_name() -> None:
    listed = "  heath rice: 300 g\n"
    steps = (
        "step A\n  Boil [the heath rice], [20 min hands-off]. Leave on the bench, [3 h hands-off].\n\n"
        "ingredient heath rice\n  contains: nothing\n"
    )
    assert found(listed, steps)


# ---------------------------------------------------------------- cooling


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ("[60 C to 21 C in 2 h], then [21 C to 5 C in 4 h]", 0),
        ("[60 C to 21 C in 3 h], then [21 C to 5 C in 4 h]", 1),
        ("[60 C to 21 C in 2 h], then [21 C to 5 C in 5 h]", 1),
        ("[60 C to 21 C in 20 h], then [21 C to 5 C in 40 h]", 2),
        ("[60 C to 5 C within 6 h]", 0),
        ("[60 C to 5 C within 7 h]", 1),
        ("[60 C to 21 C in 1-3 h]", 1),
        ("[140 F to 70 F in 2 h], then [70 F to 41 F in 4 h]", 0),
    ],
)
def test_the_two_stages(facts: str, told: int) -> None:
    assert (
        loud(found(MINCE, COOKED.format(f"Cool {facts}.")))
        == [("cooled-too-slowly", Severity.WARNING)] * told
    )


def test_under_the_food_code_the_two_stages_come_to_six_hours() -> None:
    kitchen = "kitchen Boardwalk\n  food law: United States\n\n"
    cool = COOKED.format("Cool [60 C to 21 C in 1 h], then [21 C to 5 C in 5 h].")
    assert not found(MINCE, cool, kitchen=kitchen)
    assert found(MINCE, cool)
    assert found(MINCE, cool.replace("in 5 h", "in 6 h"), kitchen=kitchen)


def test_a_syrup_that_cools_slowly_is_only_told() -> None:
    steps = "step A\n  Boil [the caster sugar] and [the water], [9 min]. Cool [60 C to 21 C in 9 h].\n"
    assert loud(found("  caster sugar: 400 g\n  water: 300 g\n", steps)) == [
        ("cooled-too-slowly", Severity.HINT)
    ]


def test_a_dough_may_cool_as_slowly_as_it_likes() -> None:
    listed = "  strong flour: 500 g\n  water: 340 g\n  instant yeast: 2 g\n"
    steps = (
        "step A\n  Mix [the strong flour], [the water] and [the instant yeast], [9 min].\n"
        "  Leave [24 C to 5 C in 9 h].\n\n"
        "step B\n  Bake at [230 C oven], [35 min hands-off].\n"
    )
    assert not found(listed, steps)


# ---------------------------------------------------------------- low and long, thawing


@pytest.mark.parametrize(
    ("food", "heat", "told"),
    [
        ("chicken thighs", "73 C", True),
        ("chicken thighs", "74 C", False),
        ("lamb shoulder", "62 C", True),
        ("lamb shoulder", "63 C", False),
        ("salmon", "52 C", True),
    ],
)
def test_a_bath_below_the_least_for_the_middle(food: str, heat: str, told: bool) -> None:
    """165 F is 73.9 C, 145 F is 62.8 C: chart of USDA FSIS, 2019, seen."""
    steps = f"step A\n  Hold [the {food}] in the water bath at [{heat}], [3 h hands-off].\n"
    findings = found(f"  {food}: 800 g\n", steps)
    assert loud(findings) == ([("low-and-long", Severity.WARNING)] if told else [])


def test_a_bath_before_a_roast_with_a_core_temperature_is_not_told() -> None:
    steps = (
        "step A\n  Hold [the chicken thighs] in the water bath at [60 C], [3 h hands-off].\n\n"
        "step B\n  Roast at [220 C oven], [20 min hands-off], to [75 C core].\n"
    )
    assert not found("  chicken thighs: 800 g\n", steps)


def test_food_that_is_cooked_and_held_too_cool_stands_too_long() -> None:
    assert loud(found(MINCE, COOKED.format("Hold at [50 C oven], [3 h hands-off]."))) == [
        ("stood-too-long", Severity.WARNING)
    ]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("Thaw [the beef mince] on the bench, [8 h hands-off].", True),
        ("Defrost [the beef mince] overnight at room temperature.", True),
        ("Thaw [the beef mince] in the fridge overnight.", False),
        ("Thaw [the beef mince] in cold water, [3 h hands-off].", False),
        ("Thaw [the beef mince] on the bench, [30 min hands-off].", False),
    ],
)
def test_thawing(words: str, told: bool) -> None:
    steps = f"step A\n  {words}\n\nstep B\n  Fry [15 min], to [75 C core].\n"
    assert loud(found(MINCE, steps)) == ([("thawed-in-the-warm", Severity.WARNING)] if told else [])
