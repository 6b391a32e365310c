"""What the checks of temperatures hold a recipe against, beside the published figures they name.

Figures are copied from the reference rows named beside each; `seen` was read in its source, `memory` recalled.
"""

from fractions import Fraction

import pytest

from benchproof.compiler.checks.temperatures import AWAKE_FROM, DOUGH, OIL, OVEN, STAGES
from tests.compiler.checks.checking import told

pytestmark = pytest.mark.outside


def celsius(fahrenheit: int) -> Fraction:
    return Fraction(fahrenheit - 32) * 5 / 9


GAS_MARKS = {1: 275, 2: 300, 3: 325, 4: 350, 5: 375, 6: 400, 7: 425, 8: 450, 9: 475}
"""F. GNU units 2.22, definitions.units, gasmark table (seen: installed and queried)."""


@pytest.mark.parametrize("mark", GAS_MARKS)
def test_every_gas_mark_is_an_oven(mark: int) -> None:
    assert OVEN[0] < celsius(GAS_MARKS[mark]) < OVEN[1]


@pytest.mark.parametrize("mark", GAS_MARKS)
def test_no_gas_mark_in_the_other_scale_passes_from_mark_3_up(mark: int) -> None:
    """350 read as C is beyond the oven from mark 3 up; below that it is the oven's hottest, and nobody can tell."""
    assert (GAS_MARKS[mark] > OVEN[1]) is (mark >= 3)


def test_the_oil_is_that_of_the_trade() -> None:
    """Deep frying 175-190 C: frying practice, from memory."""
    assert OIL[0] <= 175
    assert OIL[1] >= 190


@pytest.mark.parametrize(
    ("stage", "low", "high"),
    [("soft ball", 112, 116), ("hard crack", 149, 154), ("caramel", 160, 180)],
)
def test_sugar_stages(stage: str, low: int, high: int) -> None:
    """Confectionery practice, from memory. Ours may be wider, never narrower."""
    ours = {name: (a, b) for name, a, b in STAGES}
    assert ours[stage][0] <= low
    assert ours[stage][1] >= high


def test_stages_follow_each_other() -> None:
    assert sorted(STAGES, key=lambda stage: stage[1]) == list(STAGES)


def test_yeast_is_asleep_where_it_is_dormant_and_awake_where_it_is_woken() -> None:
    """Dormant near 34 and 40 F, most gas near 86-95 F, woken at 100-110 F: bakery practice (seen, stored pages)."""
    assert celsius(40) < AWAKE_FROM < celsius(86)
    assert celsius(100) > AWAKE_FROM


def test_a_dough_is_run_inside_our_bounds() -> None:
    """75-80 F: bakery practice (seen, stored pages)."""
    assert DOUGH[0] < celsius(75) < celsius(80) < DOUGH[1]


@pytest.mark.parametrize(("fridge", "loud"), [("41 F", False), ("5 C", False), ("42 F", True), ("6 C", True)])
def test_a_fridge_as_the_codes_have_it(fridge: str, loud: bool) -> None:
    """41 F at most: FDA Food Code 3-501.16(A)(2) (seen, a state's adoption); 5 C: FSANZ Standard 3.2.2 (seen)."""
    text = (
        "recipe Milk\n  serves:  2\n\ningredients\n  whole milk:  400 g\n\nstep Chill\n"
        f"  Chill [the whole milk] at [{fridge} fridge], [1 h hands-off].\n"
    )
    assert ("cold-place-out-of-range" in told(text)) is loud
