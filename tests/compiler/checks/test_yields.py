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


def rolls(loses: str) -> str:
    return (
        f"recipe Rolls\n  loses:  {loses}\n\ningredients\n  strong flour:   500 g\n"
        "  water:          320 g\n  fine salt:        9 g\n  instant yeast:    5 g\n\n"
        "step Dough\n  Knead [the strong flour], [the water], [the fine salt] and [the instant yeast], [10 min].\n"
    )


@pytest.mark.parametrize(
    ("loses", "found"),
    [
        ("4 % in the bake", False),
        ("28 % in the bake", False),
        ("3.9 % in the bake", True),
        ("28.1 % in the bake", True),
        ("6 % in the bowl", False),
        ("0.1 % in the bowl", False),
        ("6.1 % in the bowl", True),
        ("80 % in the pot", False),
        ("81 % in the pot", True),
        ("50 % by magic", False),
    ],
)
def test_losses_as_they_are_usual(loses: str, found: bool) -> None:
    assert told(rolls(loses)) == ["unlikely-loss"] * found


@pytest.mark.parametrize(
    ("gain", "found"), [("15 %", False), ("300 %", False), ("14 %", True), ("301 %", True)]
)
def test_gains_as_they_are_usual(gain: str, found: bool) -> None:
    text = balls("10 balls").replace("  makes:  10 balls", f"  gains:  {gain} in the pot")
    assert told(text) == ["unlikely-loss"] * found


def test_the_published_bake_losses_are_all_usual() -> None:
    """9.8 to 11.5, 10 to 13 and 10 to 20 %: trade lessons and handbooks, as gathered in the reference notes."""
    for loss in ("9.8 %", "11.5 %", "13 %", "20 %"):
        assert told(rolls(f"{loss} in the bake")) == []


def cake(tin: str, makes: str = "1 cake") -> str:
    return (
        f"recipe Sponge\n  makes:  {makes}\n  tin:  {tin}\n\ningredients\n  eggs:  200 g\n  caster sugar:  120 g\n"
        "  plain flour:  120 g\n\nstep Bake\n  Whisk [the eggs] with [the caster sugar], fold in [the plain flour] and "
        "bake at [180 C oven], [30 min hands-off].\n"
    )


@pytest.mark.parametrize(
    ("tin", "found"),
    [
        ("20 cm round, 7 cm deep", False),
        ("10 x 10 cm, 5 cm deep", False),
        ("23 x 33 cm, 7 cm deep", False),
        ("20 cm round", False),
        ("2 cm round, 7 cm deep", True),
        ("200 cm round, 7 cm deep", True),
        ("20 cm round, 70 cm deep", True),
        ("200 cm round", True),
    ],
)
def test_tins(tin: str, found: bool) -> None:
    assert [rule for rule in told(cake(tin)) if rule == "tin-does-not-fit"] == ["tin-does-not-fit"] * found


def test_one_slipped_line_is_pointed_at() -> None:
    found = only("yield-does-not-add-up", balls("500 g", "30 g"))
    assert found.span.text == "30 g"
    assert [one.span.text for one in found.also] == ["500 g"]


def test_a_slip_of_several_readings_stays_at_the_yield() -> None:
    assert only("yield-does-not-add-up", balls("5000 g")).span.text == "5000 g"
