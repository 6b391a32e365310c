"""The yield: half a gram a piece is forgiven, and not a hair more."""

import pytest

from tests.compiler.checks.checking import only, told


def balls(makes: str, water: str = "300 g", *, kitchen: str = "", loses: str = "") -> str:
    return (
        f"{kitchen}recipe Balls\n  makes:  {makes}\n{loses}\ningredients\n  white rice:  200 g\n  water:  {water}\n\n"
        "step Boil\n  Simmer [the white rice] in [the water], [15 min hands-off].\n"
    )


@pytest.mark.parametrize("water", ["295 g", "305 g", "295.01 g", "304.99 g", "300 g"])
def test_half_a_gram_a_piece_is_forgiven(water: str) -> None:
    assert told(balls("10 balls of 50 g", water)) == []


@pytest.mark.parametrize("water", ["294.99 g", "305.01 g", "294 g"])
def test_a_hair_more_is_not(water: str) -> None:
    assert told(balls("10 balls of 50 g", water)) == ["yield-does-not-add-up"]


@pytest.mark.parametrize(
    ("water", "right"), [("299.5 g", True), ("300.5 g", True), ("299.49 g", False), ("300.51 g", False)]
)
def test_half_a_gram_in_all_where_nothing_is_counted(water: str, right: bool) -> None:
    assert told(balls("500 g", water)) == ([] if right else ["yield-does-not-add-up"])


@pytest.mark.parametrize(
    ("water", "right"), [("325 g", True), ("275 g", True), ("325.1 g", False), ("274.9 g", False)]
)
def test_a_coarse_scale_forgives_half_its_division(water: str, right: bool) -> None:
    kitchen = "kitchen Coarse\n  scales:  5 g to 5 kg\n\n"
    assert told(balls("10 balls of 50 g", water, kitchen=kitchen)) == (
        [] if right else ["yield-does-not-add-up"]
    )


def test_losses_compound_and_are_named_in_the_message() -> None:
    loses = "  loses:  3 % in the bowl, 11 % in the bake\n"
    # 500 g less 3 %, less 11 % of what is left, is 431.65 g.
    assert told(balls("10 balls of 43.165 g baked", loses=loses)) == []
    assert told(balls("10 balls of 48.5 g", loses=loses)) == []
    message = only("yield-does-not-add-up", balls("10 balls of 50 g baked", loses=loses)).message
    assert "432" in message
    assert "500" in message


def test_a_gain_counts_too() -> None:
    text = balls("700 g cooked").replace("  makes:", "  gains:  40 % in the pot\n  makes:")
    assert told(text) == []


def test_what_is_for_a_purpose_is_not_in_the_yield() -> None:
    text = (
        balls("10 balls of 50 g")
        .replace("water:  300 g", "water:  300 g\n  neutral oil:  40 g, for the pan")
        .replace("[the water]", "[the water] and [the neutral oil]")
    )
    assert told(text) == []


def test_both_readings_are_given() -> None:
    found = only("yield-does-not-add-up", balls("10 balls of 60 g"))
    assert "600" in found.message
    assert "500" in found.message
    assert "50" in found.help


def test_a_yield_solved_from_shares_agrees() -> None:
    assert (
        told(
            "recipe Dressing\n  makes:  317 g\n\ningredients\n  neutral oil:  3 parts\n  white vinegar:  1 part\n\n"
            "step Shake\n  Shake [the neutral oil] and [the white vinegar].\n"
        )
        == []
    )


def test_no_trailing_nought_that_nobody_wrote() -> None:
    assert "60.0" not in only("yield-does-not-add-up", balls("10 balls of 60 g")).message


def test_one_loaf_is_not_halved_away() -> None:
    """`there are 0.6 of them` is no mend for one loaf."""
    assert "0." not in only("yield-does-not-add-up", balls("1 loaf of 900 g")).help
