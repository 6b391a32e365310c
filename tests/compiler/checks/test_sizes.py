"""Lengths, tins and the weight of pieces: just inside, just outside."""

import pytest

from benchproof.compiler.findings import Finding
from tests.compiler.checks.checking import checked


def carrots(*, cut: str = "[3 cm]", tin: str = "", tool: str = "", amount: str = "600 g") -> list[Finding]:
    head = f"  tin: {tin}\n" if tin else ""
    tools = f"equipment\n  {tool}\n\n" if tool else ""
    return checked(
        f"recipe Roast carrots\n  serves: 4\n{head}\ningredients\n  carrots: {amount}\n  olive oil: 20 g\n\n{tools}"
        f"step Roast\n  Cut [the carrots] into sticks of {cut}, and toss in [the olive oil], [6 min].\n"
        "  Roast at [200 C oven], [35-40 min hands-off].\n"
    )


def has(rule: str, found: list[Finding]) -> bool:
    return any(one.rule == rule for one in found)


@pytest.mark.parametrize(
    ("cut", "odd"),
    [("[0.5 mm]", False), ("[0.4 mm]", True), ("[60 cm]", False), ("[61 cm]", True), ("[20 x 70 cm]", True)],
)
def test_a_cut(cut: str, odd: bool) -> None:
    assert has("unlikely-length", carrots(cut=cut)) is odd


def test_a_chunk_is_smaller_than_a_roll() -> None:
    assert has("unlikely-length", carrots(cut="[21 cm] in chunks"))
    assert not has("unlikely-length", carrots(cut="[20 cm] in chunks"))


@pytest.mark.parametrize(
    ("tin", "odd"),
    [
        ("23 cm round, 4 cm deep", False),
        ("61 cm round, 4 cm deep", True),
        ("1.9 cm round, 4 cm deep", True),
        ("23 cm round, 0.9 cm deep", True),
        ("23 cm round, 21 cm deep", True),
    ],
)
def test_a_tin(tin: str, odd: bool) -> None:
    found = carrots(tin=tin)
    assert (has("unlikely-length", found) or has("tin-does-not-fit", found)) is odd


@pytest.mark.parametrize(
    ("tool", "odd"), [("dish, about 25 x 35 cm", False), ("dish, about 25 x 350 cm", True)]
)
def test_a_tool(tool: str, odd: bool) -> None:
    assert has("unlikely-length", carrots(tool=tool)) is odd


@pytest.mark.parametrize(
    ("amount", "odd"),
    [("2 1/2 lb", False), ("21/2 lb", True), ("3/2 lb", False), ("11/2 cups", True), ("1/12 lb", False)],
)
def test_a_fraction_run_together(amount: str, odd: bool) -> None:
    assert has("fraction-run-together", carrots(amount=amount)) is odd


@pytest.mark.parametrize(
    ("each", "odd"), [("62 g", False), ("180 g", False), ("200 g", True), ("11 g", False), ("6 g", True)]
)
def test_what_each_weighs(each: str, odd: bool) -> None:
    found = checked(
        "recipe Flat cakes\n  makes: 10 cakes\n\ningredients\n  plain flour: 400 g\n  water: 220 g\n\n"
        f"step Shape\n  Mix [the plain flour] and [the water], [4 min]. Divide into balls, [{each} each], [5 min].\n"
    )
    assert has("each-unlike-yield", found) is odd
