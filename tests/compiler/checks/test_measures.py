"""Cups, spoons, and facts about foods: just inside is let alone, just outside is asked about."""

import pytest

from benchproof.compiler.findings import Severity
from tests.compiler.checks.checking import checked


def rules(text: str) -> list[tuple[str, Severity]]:
    ours = ("which-cup", "which-tablespoon", "powder-by-the-cup", "unlikely-fact")
    return [(one.rule, one.severity) for one in checked(text) if one.rule in ours]


def rice(head: str, rice: str = "1 cup", salt: str = "2 g") -> str:
    return (
        f"{head}recipe Rice\n  serves:  2\n\ningredients\n  white rice:  {rice}\n  water:       300 ml\n"
        f"  fine salt:   {salt}\n\nstep Boil\n  Simmer [the white rice] in [the water] with [the fine salt], "
        "[15 min hands-off].\n"
    )


@pytest.mark.parametrize(
    ("head", "severity"),
    [
        ("", Severity.HINT),
        ("kitchen A\n  currency:  NZD\n\n", Severity.HINT),
        ("kitchen A\n  currency:  USD\n\n", Severity.WARNING),
        ("kitchen A\n  food law:  United States\n\n", Severity.WARNING),
    ],
)
def test_a_cup_of_nobodys(head: str, severity: Severity) -> None:
    assert rules(rice(head)) == [("which-cup", severity)]


@pytest.mark.parametrize(
    "text",
    [
        rice("kitchen A\n  measures:  US\n\n"),
        rice("", rice="1 metric cup"),
        rice("", rice="180 g"),
        rice("", rice="12 tbsp"),
    ],
)
def test_a_cup_that_is_somebodys(text: str) -> None:
    assert rules(text) == []


@pytest.mark.parametrize(("salt", "found"), [("1 tbsp", False), ("2 tbsp", True), ("3 tsp", False)])
def test_tablespoons_of_salt(salt: str, found: bool) -> None:
    assert [rule for rule, _ in rules(rice("", rice="180 g", salt=salt))] == ["which-tablespoon"] * found


def cakes(block: str) -> str:
    return (
        f"{block}\nrecipe Flat cakes\n  makes:  6 cakes\n\ningredients\n  plain flour:  250 g\n  eggs:         60 g\n"
        "  garlic:       5 g\n  water:        100 g\n  fine salt:      4 g\n\nstep Mix\n  Knead [the plain flour], "
        "[the eggs], [the garlic], [the water] and [the fine salt], [5 min].\n"
    )


@pytest.mark.parametrize(
    ("fact", "found"),
    [
        ("ingredient plain flour\n  density:  0.6 g/ml", False),
        ("ingredient plain flour\n  density:  2.4 g/ml", False),
        ("ingredient plain flour\n  density:  2.6 g/ml", True),
        ("ingredient plain flour\n  density:  0.12 g/ml", False),
        ("ingredient plain flour\n  density:  0.09 g/ml", True),
        ("ingredient plain flour\n  water:  20 %", False),
        ("ingredient plain flour\n  water:  41 %", False),
        ("ingredient plain flour\n  water:  43 %", True),
        ("ingredient plain flour\n  water:  1.2 %", True),
        ("ingredient eggs\n  piece:  40 g", False),
        ("ingredient eggs\n  piece:  280 g", False),
        ("ingredient eggs\n  piece:  290 g", True),
        ("ingredient eggs\n  piece:  5.6 g", True),
        ("ingredient garlic\n  clove:  6 g", False),
        ("ingredient garlic\n  clove:  60 g", True),
        ("ingredient garlic\n  usable:  85 %", False),
        ("ingredient garlic\n  usable:  8.5 %", True),
    ],
)
def test_facts_far_from_the_larders(fact: str, found: bool) -> None:
    assert rules(cakes(fact + "\n")) == [("unlikely-fact", Severity.WARNING)] * found


@pytest.mark.parametrize(
    ("hydration", "found"), [("50 %", False), ("125 %", False), ("200 %", False), ("12.5 %", True)]
)
def test_a_starters_water(hydration: str, found: bool) -> None:
    text = cakes(f"ingredient our starter\n  kind:  starter\n  hydration:  {hydration}\n  contains:  wheat\n")
    text = text.replace("  water:        100 g", "  our starter:  100 g").replace(
        "[the water]", "[the our starter]"
    )
    assert [rule for rule, _ in rules(text)] == ["unlikely-fact"] * found


def test_a_powder_by_the_cup_is_told_once_and_names_the_grams() -> None:
    text = (
        "kitchen A\n  measures:  metric\n  scales:  1 g to 5 kg\n\nrecipe Scones\n  makes:  9 scones\n\ningredients\n"
        "  plain flour:    2 cups\n  icing sugar:    1/4 cup\n  baking powder:  3 tsp\n  butter:         60 g\n"
        "  whole milk:     180 g\n\nstep Mix\n  Mix [the plain flour], [the icing sugar], [the baking powder], "
        "[the butter] and [the whole milk].\n\nstep Bake\n  Bake at [220 C oven], [12 min hands-off].\n"
    )
    found = [one for one in checked(text) if one.rule == "powder-by-the-cup"]
    assert [one.span.text for one in found] == ["2 cups"]
    assert "264 g" in found[0].message
    assert "icing sugar" in found[0].help
    assert rules(text.replace("  scales:  1 g to 5 kg\n", "")) == []
