"""Temperatures: each threshold from both sides, in either scale, and what is offered in its place."""

from fractions import Fraction

import pytest

from benchproof.compiler.checks.temperatures import (
    CHOCOLATE,
    CURDLES,
    DOUGH,
    OIL,
    OVEN,
    PAN,
    ROOM,
    SMOKE,
    STAGES,
)
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.rulebook import heat
from tests.compiler.checks.checking import checked, told

RULES = {rule.name for rule in heat.RULES} - {
    "yeast-too-hot",
    "yeast-warmer-than-usual",
    "hotter-than-boiling",
    "tap-cannot-reach",
    "specific-heat-not-read",
}
ERROR, WARNING, HINT = Severity.ERROR, Severity.WARNING, Severity.HINT


def cake(*lines: str, name: str = "Plain cake", more: str = "") -> str:
    """A plain cake, and what its last step says."""
    return (
        f"recipe {name}\n  serves:  8\n\ningredients\n  plain flour:    200 g\n  butter:         150 g\n"
        "  caster sugar:   150 g\n  eggs:             3\n  baking powder:    6 g\n"
        f"{more}\nstep Mix\n  Beat [the butter] with [the caster sugar], [5 min], then [the eggs], [3 min]. "
        "Fold in [the plain flour] and [the baking powder], [2 min].\n\nstep Last\n"
        + "".join(f"  {line}\n" for line in lines)
    )


def bread(*lines: str) -> str:
    return (
        "recipe Loaf\n  makes:  1 loaf\n\ningredients\n  strong flour:   500 g\n  water:          340 g\n"
        "  fine salt:       10 g\n  instant yeast:    6 g\n\nstep Mix\n  Knead [the strong flour], [the water], "
        "[the fine salt] and [the instant yeast], [8 min].\n\nstep Last\n"
        + "".join(f"  {line}\n" for line in lines)
    )


def of_heat(text: str) -> list[Finding]:
    return [one for one in checked(text) if one.rule in RULES]


def judged(text: str) -> list[tuple[str, Severity]]:
    return [(one.rule, one.severity) for one in of_heat(text)]


def test_bounds_are_bounds() -> None:
    for low, high in (OVEN, PAN, OIL, ROOM, DOUGH):
        assert low < high
    assert all(low < high for _, low, high in STAGES)
    assert all(100 < degrees < 270 for _, degrees in SMOKE)
    assert CHOCOLATE < CURDLES


@pytest.mark.parametrize(
    ("heat", "found"),
    [
        ("180 C oven", []),
        ("350 F oven", []),
        ("127 C oven", []),
        ("126 C oven", [("oven-too-cool", WARNING)]),
        ("50 C oven", [("oven-too-cool", WARNING)]),
        ("49 C oven", [("oven-out-of-range", WARNING)]),
        ("18 C fan oven", [("oven-out-of-range", WARNING)]),
        ("300 C oven", []),
        ("301 C oven", [("oven-out-of-range", WARNING)]),
        ("350 C oven", [("oven-out-of-range", WARNING)]),
        ("700 C oven", [("oven-out-of-range", WARNING)]),
        ("701 C oven", [("oven-out-of-range", ERROR)]),
        ("180 F oven", [("oven-too-cool", WARNING)]),
        ("180-250 C oven", []),
        ("180-251 C oven", [("temperature-range-too-wide", WARNING)]),
    ],
)
def test_ovens(heat: str, found: list[tuple[str, Severity]]) -> None:
    assert judged(cake(f"Bake at [{heat}], [30 min hands-off].")) == found


@pytest.mark.parametrize(
    ("heat", "found"),
    [("450 C oven", []), ("520 C oven", []), ("521 C oven", [("oven-out-of-range", WARNING)])],
)
def test_a_pizza_oven_is_hotter(heat: str, found: list[tuple[str, Severity]]) -> None:
    assert judged(bread(f"Bake as a pizza at [{heat}], [90 s hands-off].")) == found


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Dry it at [80 C oven], [60 min hands-off].", []),
        ("Bake slowly at [80 C oven], [60 min hands-off].", []),
        ("Bake at [110 C oven], [70 min hands-off].", [("oven-too-cool", WARNING)]),
        ("Bake at [110 C oven], [71 min hands-off].", []),
        ("Bake at [110 C oven], [40 min hands-off], to [72 C core].", []),
        ("Prove in the oven at [30 C oven], [60 min hands-off].", []),
    ],
)
def test_a_slow_oven_says_so(line: str, found: list[tuple[str, Severity]]) -> None:
    assert [one for one in judged(cake(line)) if one[0].startswith("oven")] == found


def test_what_was_meant_is_offered_in_both_scales() -> None:
    (found,) = of_heat(cake("Bake at [350 C oven], [30 min hands-off]."))
    assert "350 F is 177 C" in found.help
    (found,) = of_heat(cake("Bake at [180 F oven], [30 min hands-off]."))
    assert "180 C is 356 F" in found.help
    (found,) = of_heat(cake("Bake at [1800 C oven], [30 min hands-off]."))
    assert "180 C" in found.help
    (found,) = of_heat(cake("Bake at [35 F oven], [30 min hands-off]."))
    assert "350 F" in found.help


@pytest.mark.parametrize(
    ("first", "last", "found"),
    [
        ("180 C oven", "215 C oven", False),
        ("180 C oven", "216 C oven", True),
        ("180 C oven", "145 C oven", False),
        ("180 C oven", "144 C oven", True),
        ("200 C oven", "150 C fan oven", False),
        ("210 C oven", "150 C fan oven", True),
    ],
)
def test_the_oven_is_used_as_it_was_heated(first: str, last: str, found: bool) -> None:
    text = cake(
        f"Heat to [{first}], [15 min hands-off].", "", f"step Bake\n  Bake at [{last}], [40 min hands-off]."
    )
    text = text.replace("  \n", "\n").replace("  step Bake", "step Bake")
    assert judged(text) == ([("oven-unlike-preheat", WARNING)] if found else [])
    turned = text.replace("  Bake at", "  Turn the oven and bake at")
    assert judged(turned) == []


def test_an_oven_twice_and_none() -> None:
    assert judged(cake("Bake at [180 C oven] / [356 F oven], [30 min hands-off].")) == [
        ("two-ovens-at-once", HINT)
    ]
    assert (
        judged(cake("Bake at [180 C oven], [30 min hands-off], then at [160 C oven], [9 min hands-off]."))
        == []
    )
    assert judged(cake("Bake [30 min hands-off].")) == [("bake-without-oven", HINT)]
    assert judged(cake("Bake in a covered pan, [30 min hands-off].")) == []


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Cook at [60 C pan], [5 min].", []),
        ("Cook at [59 C pan], [5 min].", [("pan-out-of-range", WARNING)]),
        ("Cook at [300 C pan], [5 min].", []),
        ("Cook at [301 C pan], [5 min].", [("pan-out-of-range", WARNING)]),
        ("Cook at [1700 C pan], [5 min].", [("pan-out-of-range", ERROR)]),
        ("Fry at [110 C pan], [5 min].", []),
        ("Fry at [109 C pan], [5 min].", [("pan-out-of-range", WARNING)]),
        ("Poach at [80 C pan], [5 min].", []),
    ],
)
def test_pans(line: str, found: list[tuple[str, Severity]]) -> None:
    assert judged(cake(line)) == found


def fritters(heat: str, oil: str = "sunflower oil", more: str = "") -> str:
    return (
        f"recipe Parsnip straws\n  serves:  4\n\ningredients\n  parsnips:  600 g\n  {oil}:  1 l, for frying\n\n"
        f"step Fry\n  Heat [the {oil}] to [{heat}], [10 min]. {more}\n  Fry [the parsnips], [4 min].\n"
    )


@pytest.mark.parametrize(
    ("heat", "oil", "found"),
    [
        ("150 C oil", "sunflower oil", []),
        ("149 C oil", "sunflower oil", [("oil-out-of-range", HINT)]),
        ("140 C oil", "sunflower oil", [("oil-out-of-range", HINT)]),
        ("139 C oil", "sunflower oil", [("oil-out-of-range", WARNING)]),
        ("200 C oil", "sunflower oil", []),
        ("201 C oil", "sunflower oil", [("oil-out-of-range", WARNING)]),
        ("270 C oil", "sunflower oil", [("oil-out-of-range", WARNING)]),
        ("271 C oil", "sunflower oil", [("oil-out-of-range", ERROR)]),
        ("350 F oil", "sunflower oil", []),
        ("200 C oil", "extra virgin olive oil", []),
        ("185 C oil", "coconut oil", []),
        ("186 C oil", "coconut oil", [("oil-out-of-range", WARNING)]),
    ],
)
def test_oil(heat: str, oil: str, found: list[tuple[str, Severity]]) -> None:
    assert judged(fritters(heat, oil)) == found


def test_gentle_oil_says_so() -> None:
    assert judged(fritters("110 C oil", more="Keep it low, for a confit.")) == []
    assert judged(fritters("130 C oil").replace("parsnips", "potatoes")) == []


@pytest.mark.parametrize(
    ("place", "found"),
    [
        ("5 C fridge", []),
        ("41 F fridge", []),
        ("0 C fridge", []),
        ("-1 C fridge", []),
        ("-2 C fridge", [("cold-place-out-of-range", WARNING)]),
        ("0.4 C fridge", [("cold-place-out-of-range", WARNING)]),
        ("6 C fridge", [("cold-place-out-of-range", HINT)]),
        ("8 C fridge", [("cold-place-out-of-range", HINT)]),
        ("9 C fridge", [("cold-place-out-of-range", WARNING)]),
        ("-18 C freezer", []),
        ("-45 C freezer", []),
        ("-46 C freezer", [("cold-place-out-of-range", WARNING)]),
        ("-1 C freezer", []),
        ("0 C freezer", [("cold-place-out-of-range", WARNING)]),
        ("18 C freezer", [("cold-place-out-of-range", WARNING)]),
        ("5 C room", []),
        ("4 C room", [("room-out-of-range", WARNING)]),
        ("45 C room", []),
        ("46 C room", [("room-out-of-range", WARNING)]),
        ("72 F room", []),
        ("90 C dough", []),
        ("91 C dough", [("dough-out-of-range", WARNING)]),
        ("-6 C dough", [("dough-out-of-range", WARNING)]),
    ],
)
def test_places(place: str, found: list[tuple[str, Severity]]) -> None:
    assert judged(cake(f"Leave at [{place}], [60 min hands-off].")) == found


def test_a_lost_minus_is_offered() -> None:
    (found,) = of_heat(cake("Freeze at [18 C freezer], [60 min hands-off]."))
    assert "[-18 C freezer]" in found.help


def test_a_dough_is_retarded_in_a_warmer_fridge() -> None:
    assert judged(bread("Leave at [12 C fridge], [10 h hands-off].")) == [("cold-place-out-of-range", HINT)]
    assert judged(bread("Leave at [15 C fridge], [10 h hands-off].")) == [
        ("cold-place-out-of-range", WARNING)
    ]


@pytest.mark.parametrize(
    ("dough", "severity"),
    [
        ("15 C", None),
        ("32 C", None),
        ("33 C", HINT),
        ("38 C", HINT),
        ("39 C", WARNING),
        ("14 C", HINT),
        ("9 C", WARNING),
    ],
)
def test_doughs_with_yeast(dough: str, severity: Severity | None) -> None:
    found = judged(bread(f"Work it to a [{dough} dough], [5 min]."))
    assert found == ([("dough-out-of-range", severity)] if severity else [])


def waking(water: str, yeast: str = "active dry yeast", then: str = "Leave [10 min hands-off].") -> str:
    return (
        f"recipe Loaf\n  makes:  1 loaf\n\ningredients\n  strong flour:  500 g\n  water:  340 g\n  fine salt:  10 g\n"
        f"  {yeast}:  7 g\n\nstep Bowl\n  Stir [the {yeast}] into [the water] at [{water}], [1 min]. {then}\n\n"
        "step Mix\n  Knead in [the strong flour] and [the fine salt], [8 min].\n"
    )


def test_yeast_is_woken_warm() -> None:
    assert judged(waking("15 C")) == []
    assert judged(waking("14 C")) == [("yeast-too-cold", WARNING)]
    assert judged(waking("14 C", "instant yeast")) == []
    assert judged(waking("14 C", "instant yeast", "Wait [10 min hands-off].")) == []
    assert judged(waking("14 C", "instant yeast", "Leave [10 min hands-off] until it foams.")) == [
        ("yeast-too-cold", WARNING)
    ]


def sugar(words: str, heat: str, head: str = "", more: str = "") -> str:
    return (
        f"{head}recipe Drops\n  serves:  8\n\ningredients\n  granulated sugar:  250 g\n  water:  100 g\n{more}\n"
        f"step Boil\n  Boil [the granulated sugar] and [the water] {words}, [{heat}], [12 min].\n"
    )


@pytest.mark.parametrize(("stage", "low", "high"), STAGES)
def test_every_stage_from_both_sides(stage: str, low: int, high: int) -> None:
    words = f"to the {stage} stage" if stage != "caramel" else "until it is a caramel"
    assert judged(sugar(words, f"{low} C")) == []
    assert judged(sugar(words, f"{high} C")) == []
    assert judged(sugar(words, f"{low - 2} C")) == []
    assert judged(sugar(words, f"{low - 3} C")) == [("sugar-stage-differs", WARNING)]
    assert judged(sugar(words, f"{high + 3} C")) == [("sugar-stage-differs", WARNING)]


def test_up_a_hill_sugar_boils_cooler() -> None:
    hill = "kitchen High\n  altitude:  1800 m\n\n"
    assert judged(sugar("to the soft ball stage", "106 C")) == [("sugar-stage-differs", WARNING)]
    assert judged(sugar("to the soft ball stage", "106 C", hill)) == []
    assert judged(sugar("to the soft ball stage", "103 C", hill)) == [("sugar-stage-differs", WARNING)]


def test_a_caramel_with_cream_is_cooked_cooler() -> None:
    text = sugar("with [the double cream] to a caramel", "118 C", more="  double cream:  100 g\n")
    assert judged(text) == []


def test_cream_that_goes_in_later_is_not_in_the_caramel_yet() -> None:
    text = (
        sugar("to a caramel", "118 C", more="  double cream:  100 g\n")
        + "  Add [the double cream], [2 min].\n"
    )
    assert judged(text) == [("sugar-stage-differs", WARNING)]


def custard(line: str, more: str = "") -> str:
    starch = " with [the cornflour]" if more else ""
    return (
        "recipe Pouring sauce\n  serves:  4\n\ningredients\n  whole milk:  400 g\n  caster sugar:  50 g\n"
        f"  egg yolks:  80 g\n{more}\nstep Cook\n  Heat [the whole milk], [4 min]. Whisk [the egg yolks] and "
        f"[the caster sugar]{starch}, pour the milk on, [2 min].\n  {line}\n"
    )


@pytest.mark.parametrize(
    ("heat", "found"), [("85 C pan", False), ("86 C pan", True), ("70 C pan", False), ("69 C pan", True)]
)
def test_custards(heat: str, found: bool) -> None:
    line = f"Stir until it coats the spoon, [{heat}], [8 min]."
    assert judged(custard(line)) == ([("custard-curdles", WARNING)] if found else [])
    assert judged(custard(line, "  cornflour:  20 g\n")) == []


def test_what_does_not_thicken_is_no_custard() -> None:
    assert judged(custard("Stir, [92 C pan], [8 min].")) == []


def test_chocolate() -> None:
    text = "recipe Discs\n  serves:  4\n\ningredients\n  dark chocolate:  200 g\n\nstep Melt\n"
    assert judged(text + "  Melt [the dark chocolate] to [55 C], [6 min].\n") == []
    assert judged(text + "  Melt [the dark chocolate] to [56 C], [6 min].\n") == [
        ("chocolate-too-hot", WARNING)
    ]


@pytest.mark.parametrize(
    ("core", "severity"),
    [("96 C", None), ("85 C", None), ("84 C", HINT), ("80 C", HINT), ("79 C", WARNING), ("34 C", WARNING)],
)
def test_the_middle_of_a_bake(core: str, severity: Severity | None) -> None:
    found = [("core-of-a-bake", severity)] if severity else []
    assert judged(bread(f"Bake at [220 C oven], [40 min hands-off], to [{core} core].")) == found
    assert judged(cake(f"Bake at [180 C oven], [40 min hands-off], to [{core} core].")) == found


def test_the_middle_of_a_custard_tart_is_not_a_cakes() -> None:
    assert judged(cake("Bake at [180 C oven], [40 min hands-off], to [72 C core].", name="Almond tart")) == []


MILK = "recipe Milk\n  serves:  2\n\ningredients\n  whole milk:  400 g\n\nstep Warm\n  "


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Warm [the whole milk] to [22 C], [5 min].", False),
        ("Warm [the whole milk] to [21 C], [5 min].", True),
        ("Pour in [the whole milk], cold, at [25 C], [5 min].", False),
        ("Pour in [the whole milk], cold at [26 C], [5 min].", True),
        ("Pour in [the whole milk], warmed, and cool it to [20 C], [5 min].", False),
        ("Pour in [the whole milk] at [4 C], [5 min].", False),
        ("Pour in [the whole milk] at [3.5 C], [5 min].", True),
        ("Pour in [the whole milk] at [37.8 C], [5 min].", False),
        ("Pour in [the whole milk] at [-1 C], [5 min].", True),
        ("Warm [the whole milk] to [30-55 C], [5 min].", False),
    ],
)
def test_words_and_figures(line: str, found: bool) -> None:
    assert judged(MILK + line + "\n") == ([("heat-unlike-words", WARNING)] if found else [])


def test_a_range_of_a_drink() -> None:
    assert judged(MILK + "Warm [the whole milk] to [30-56 C], [5 min].\n") == [
        ("temperature-range-too-wide", WARNING)
    ]


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ("60 C to 21 C within 2 h", False),
        ("21 C to 60 C within 2 h", True),
        ("125 C to 21 C within 2 h", False),
        ("126 C to 21 C within 2 h", True),
        ("60 C to 210 C within 2 h", True),
        ("15 C to 6 C within 2 h", True),
        ("16 C to 6 C within 2 h", False),
        ("15 C to 5 C within 2 h", False),
    ],
)
def test_changes(change: str, found: bool) -> None:
    text = cake(f"Cool it [{change}].")
    assert judged(text) == ([("change-unlike-words", WARNING)] if found else [])


def test_one_scale_among_the_others() -> None:
    baked = "Bake at [180 C oven], [40 min hands-off], to [96 C core]."
    assert judged(cake("Fold in what was kept at [40 F], [2 min].", baked)) == [
        ("scale-unlike-the-rest", WARNING)
    ]
    assert judged(cake("Fold in what was kept at [104 F], [2 min].", baked)) == []
    assert judged(cake("Fold in what was kept cold at [40 F], [2 min].", baked)) == []
    assert judged(cake("Fold in what was kept at [40 F], [2 min].")) == []


def test_one_slip_is_one_finding() -> None:
    assert len(of_heat(cake("Bake at [1800-2900 F oven], [30 min hands-off]."))) == 1


def test_a_message_tells_the_kitchens_own_scale_too() -> None:
    text = "kitchen Porch\n  measures:  US\n\n" + cake("Leave at [120 F room], [30 min hands-off].")
    (found,) = of_heat(text)
    assert "120 °F (49 °C)" in found.message.replace("\u2009", " ").replace("\u202f", " ")


def test_figures_are_exact() -> None:
    """180 F is 82 2/9 C, not 82."""
    assert (Fraction(180) - 32) * 5 / 9 == Fraction(740, 9)
    assert judged(cake("Bake at [260 F oven], [30 min hands-off].")) == [("oven-too-cool", WARNING)]
    assert judged(cake("Bake at [261 F oven], [30 min hands-off].")) == []


@pytest.mark.parametrize(
    ("change", "odd"),
    [
        ("[60 C to 21 C within 2 h]", False),
        ("[60 C to 70 F within 2 h]", True),
        ("[60 C to 21 C within 12 min]", False),
        ("[60 C to 21 C within 10 min]", True),
        ("[21 C to 5 C within 8 min]", False),
        ("[21 C to 5 C within 7 min]", True),
        ("[21 C to -3 C within 2 h]", True),
        ("[60 C to 21 C within 2 h], then [21 C to 50 C within 1 h]", True),
        ("[60 C to 21 C within 2 h], then warm it again [21 C to 50 C within 1 h]", False),
        ("[60 C to 21 C within 2 h], then [30 C to 5 C within 2 h]", True),
        ("[60 C to 21 C within 2 h], then [27 C to 5 C within 2 h]", False),
    ],
)
def test_a_change_that_food_makes(change: str, odd: bool) -> None:
    text = (
        "recipe Barley broth\n  serves: 4\n\ningredients\n  pearl barley: 120 g\n  water: 1 l\n\n"
        "step Simmer\n  Simmer [the pearl barley] in [the water], [40 min hands-off].\n"
        f"  Cool what is left {change}.\n"
    )
    assert ("change-unlike-words" in told(text)) is odd
