"""Loose numbers: what is one, what only looks like one, and where the caret stands."""

import pytest

from benchproof.compiler.findings import Severity
from tests.compiler.checks.checking import checked, only, rice, told


@pytest.mark.parametrize(
    "loose",
    [
        "5 min",
        "5 minutes",
        "5 mins",
        "1 minute",
        "2 hrs",
        "2 hours",
        "30 seconds",
        "180C",
        "180 C",
        "180 °C",
        "350 F",
        "350°F",
        "180 degrees",
        "½ cup",
        "1 ½ cups",
        "1½ cups",
        "1/2 cup",
        "2 tsp",
        "3 tablespoons",
        "25 %",
        "25%",
        "200 g",
        "200g",
        "1.5 kg",
        "250 ml",
        "2 litres",
        "2.5 cm",
        "10 mm",
        "5-7 min",
        "5–7 min",
        "5 to 7 min",
        "8 oz",
        "1 lb",
    ],
)
def test_a_number_with_a_unit_is_loose(loose: str) -> None:
    found = only("loose-number", rice(f"  And then {loose}, and serve.\n"))
    assert found.span.text == loose
    assert found.help


@pytest.mark.parametrize(
    "prose",
    [
        "Put 2 in each pan.",
        "Put 2 in the pan and 3 in the oven.",
        "Shake 3 times.",
        "Turn it after 2 or 3 bubbles.",
        "Count to 10 and stir.",
        "Use ring 2 and gas mark 4.",
        "See page 7.",
        "Serve at 6 with 2 others.",
        "It was 1998 and nobody minded.",
        "Sieve the 00 flour and the E500.",
        "Use a no. 5 tin, or the 2nd of them.",
        "Cover with half of the lid.",
        "Use 1 pan for 2 people.",
        "Add 3 more if 3 minuscule ones stay.",
        "Take 2 cloves, 3 stalks and 12 grapes.",
        "Leave it 2 m from the wall.",
        "Heat it on 9 of 10.",
        "Wait for 2 songs.",
        "Route 66 Gravy.",
        "Fold 1/2 of it over.",
    ],
)
def test_other_numbers_are_let_alone(prose: str) -> None:
    assert [one.span.text for one in checked(rice(f"  {prose}\n")) if one.rule == "loose-number"] == []


@pytest.mark.parametrize("prose", ["Leave [5 min hands-off].", "Keep it at [70 C].", "Cut it [2 cm] thick."])
def test_in_brackets_it_is_a_fact(prose: str) -> None:
    assert told(rice(f"  {prose}\n")) == []


def test_literal_brackets_and_comments_are_no_hiding_place() -> None:
    assert told(rice("  # Grandmother said 40 minutes.\n")) == []
    assert told(rice("  And [[5 min]] more.\n")) == ["loose-number"]


@pytest.mark.parametrize("loose", ["5 min", "180 C", "2 cm", "2 hours"])
def test_the_mend_mends(loose: str) -> None:
    """What the help offers in backticks, put in its place, is silent."""
    found = only("loose-number", rice(f"  And then {loose}, and serve.\n"))
    mend = found.help.split("`")[1]
    assert "loose-number" not in told(rice(f"  And then {mend}, and serve.\n"))


@pytest.mark.parametrize("loose", ["180 degrees", "25 %"])
def test_the_mend_of_a_slangy_unit_mends(loose: str) -> None:
    found = only("loose-number", rice(f"  And then {loose}, and serve.\n"))
    for mend in found.help.split("`")[1::2]:
        assert told(rice(f"  And then {mend}, and serve.\n")) == [], mend


@pytest.mark.parametrize("loose", ["5 mins", "2 hrs"])
def test_the_mend_of_a_misspelt_unit_mends(loose: str) -> None:
    mend = only("loose-number", rice(f"  And then {loose}, and serve.\n")).help.split("`")[1]
    assert "loose-number" not in told(rice(f"  And then {mend}, and serve.\n")), mend


def test_each_is_told_once_in_the_order_of_the_line() -> None:
    found = checked(rice("  Wait 5 min, then 7 min at 180 C.\n"))
    assert [one.span.text for one in found if one.rule == "loose-number"] == ["5 min", "7 min", "180 C"]


# ---------------------------------------------------------------- hyphens, bare degrees, words


@pytest.mark.parametrize(
    ("loose", "mend"),
    [
        ("180°", "Write `[180 C]`, or F if Fahrenheit is meant."),
        ("180° C", "Write `[180 C]`."),
        ("350° F", "Write `[350 F]`."),
        ("1-inch", "Write `[1 inch]`."),
        ("2-cm", "Write `[2 cm]`."),
        ("20-minute", "Write `[20 minute]`."),
        ("200-g", "If it is taken from the list, write `[200 g of the …]`."),
    ],
)
def test_a_hyphen_or_a_lone_degree_hides_nothing(loose: str, mend: str) -> None:
    found = only("loose-number", rice(f"  And then {loose} pieces, and serve.\n"))
    assert (found.span.text, found.help, found.severity) == (loose, mend, Severity.WARNING)


@pytest.mark.parametrize(
    ("words", "mend"),
    [
        ("ten minutes", "[10 min]"),
        ("Ten minutes", "[10 min]"),
        ("twenty-five minutes", "[25 min]"),
        ("two or three minutes", "[2-3 min]"),
        ("ten to twelve minutes", "[10-12 min]"),
        ("one hour", "[1 h]"),
        ("half an hour", "[30 min]"),
        ("an hour and a half", "[1 h 30 min]"),
        ("a quarter of an hour", "[15 min]"),
        ("two days", "[2 days]"),
        ("two centimetres", "[2 cm]"),
    ],
)
def test_a_number_in_words_is_a_hint(words: str, mend: str) -> None:
    text = rice(f"  {words if words[0].isupper() else f'Wait {words}'}, and serve.\n")
    found = [one for one in checked(text) if one.rule == "loose-number"]
    assert [(one.span.text, one.severity, one.help) for one in found] == [
        (words, Severity.HINT, f"Write `{mend}`.")
    ]
    if "cm" not in mend and "days" not in mend:
        mended = text.replace(words, mend)
        assert [one.rule for one in checked(mended) if one.rule == "loose-number"] == []


@pytest.mark.parametrize(
    "prose",
    [
        "Wait a few minutes.",
        "Take one cup and two spoons.",
        "For the last minute, lid off.",
        "One by one, hour upon hour.",
        "At the eleventh hour.",
        "Two-minute noodles are another thing.",
        "Ten more, minutes apart.",
        "Someone minutes away.",
        "Turn it a quarter.",
    ],
)
def test_other_words_are_let_alone(prose: str) -> None:
    assert [one.span.text for one in checked(rice(f"  {prose}\n")) if one.rule == "loose-number"] == []


# ---------------------------------------------------------------- said twice

BAKED = (
    "recipe Baked rice\n  serves:  3\n\ningredients\n  white rice:  200 g\n  water:       300 g\n\n"
    "step Bake\n  Pour [the water], boiling, over [the white rice], cover and bake at PLACE, [30 min hands-off].\n"
)


@pytest.mark.parametrize(
    ("written", "severity"),
    [
        ("[180 C oven] (350 F)", Severity.HINT),  # 176.7 C
        ("[180 C oven] (about 360 °F)", Severity.HINT),
        ("[180 C oven] / 350 F", Severity.HINT),
        ("[180 C oven], or 350°F", Severity.HINT),
        ("[180 C oven] = 350 F", Severity.HINT),
        ("[170-180 C oven] (350 F)", Severity.HINT),
        ("[180 C oven] (370 F)", Severity.WARNING),  # 187.8 C
        ("[180 C oven] (425 F)", Severity.WARNING),
    ],
)
def test_a_temperature_said_twice(written: str, severity: Severity) -> None:
    found = [one for one in checked(BAKED.replace("PLACE", written)) if one.rule == "said-twice"]
    assert [one.severity for one in found] == [severity]
    assert found[0].also[0].span.text == written.partition("]")[0] + "]"


@pytest.mark.parametrize(
    "written", ["[180 C oven] (160 C with a fan)", "[180 C oven]. Then 350 F", "[180 C oven] until 350 F"]
)
def test_another_number_after_a_fact_is_loose(written: str) -> None:
    found = [one.rule for one in checked(BAKED.replace("PLACE", written)) if one.severity > Severity.HINT]
    assert "loose-number" in found
    assert "said-twice" not in found


@pytest.mark.parametrize(
    ("written", "severity"),
    [
        ("[150 g of the white rice] (5.3 oz) and [the white rice]", Severity.WARNING),  # it will not scale
        ("[150 g of the white rice] (2 oz) and [the white rice]", Severity.WARNING),
        ("[the white rice], [2 cm] (¾ inch) deep", Severity.HINT),
        ("[the white rice], [2 cm] (3 inch) deep", Severity.WARNING),
    ],
)
def test_a_weight_or_a_length_said_twice(written: str, severity: Severity) -> None:
    text = rice().replace("[the white rice]", written)
    assert [one.severity for one in checked(text) if one.rule == "said-twice"] == [severity]


# ---------------------------------------------------------------- gas, money


@pytest.mark.parametrize(
    ("mark", "degrees"),
    [("gas mark 4", 180), ("Gas 6", 200), ("gas mark ½", 130), ("gas mark 1/4", 110), ("gas 9", 240)],
)
def test_a_gas_mark(mark: str, degrees: int) -> None:
    found = [one for one in checked(BAKED.replace("PLACE", mark)) if one.rule == "gas-mark"]
    assert [(one.span.text, one.severity) for one in found] == [(mark, Severity.HINT)]
    assert f"`[{degrees} C oven]`" in found[0].help


@pytest.mark.parametrize("words", ["gas", "gas 12", "a gas ring 3", "gasp 4"])
def test_other_gas(words: str) -> None:
    assert "gas-mark" not in told(BAKED.replace("PLACE", words))


@pytest.mark.parametrize("sum_", ["£3.50", "$4", "€ 2,50", "3.50 NZD", "2 €"])
def test_money_in_prose(sum_: str) -> None:
    found = only("loose-money", rice(f"  Sell it at {sum_} a bowl.\n"))
    assert (found.span.text, found.severity) == (sum_, Severity.HINT)


@pytest.mark.parametrize("prose", ["It costs a pound.", "Read EUR 4.", "US 20 for short.", "3 euros."])
def test_no_money(prose: str) -> None:
    assert "loose-money" not in told(rice(f"  {prose}\n"))
