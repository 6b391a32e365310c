"""The slipped decimal and the usual range: what is caught, what is let alone, and what value is named."""

import pytest

from benchproof.compiler.findings import Finding, Severity
from tests.compiler.checks.checking import checked, loaf, only, told


def slip(text: str) -> Finding:
    found = only("slipped-decimal", text)
    assert found.severity is Severity.ERROR
    return found


@pytest.mark.parametrize(
    ("salt", "likely"),
    [
        ("20 %", "2 %"),
        ("22 %", "2.2 %"),
        ("18 %", "1.8 %"),
        ("0.2 %", "2 %"),
        ("0.18 %", "1.8 %"),
        ("100 g", "10 g"),
        ("1 g", "10 g"),
        ("0.1 kg", "0.01 kg"),
    ],
)
def test_ten_times_or_a_tenth_of_the_salt_is_a_slip(salt: str, likely: str) -> None:
    found = slip(loaf(salt=salt))
    assert found.span.text == salt
    assert likely.split()[0] in found.help.replace("\u202f", " ").replace("\u2009", " ").split()


def test_the_likely_amount_has_a_decimal_point() -> None:
    assert "9.5" in slip(loaf(salt="95 g")).help


@pytest.mark.parametrize("style", ["  style:  lean hearth bread\n", ""])
@pytest.mark.parametrize("salt", ["20 %", "0.2 %"])
def test_the_likely_percentage_mends_it(salt: str, style: str) -> None:
    likely = slip(loaf(salt=salt, style=style)).help.removeprefix("The likely amount is ").removesuffix(".")
    assert told(loaf(salt=likely, style=style)) == [], repr(likely)


@pytest.mark.parametrize("salt", ["100 g", "95 g", "1 g", "0.1 kg", "21 tsp", "0.36 oz"])
@pytest.mark.parametrize("style", ["  style:  lean hearth bread\n", ""])
def test_the_likely_amount_mends_it(salt: str, style: str) -> None:
    """Copied out of the message into the line, character for character, it leaves nothing to say."""
    for one in checked(loaf(salt=salt, style=style)):
        if one.rule == "slipped-decimal":
            likely = one.help.removeprefix("The likely amount is ").removesuffix(".")
            assert told(loaf(salt=likely, style=style)) == [], repr(likely)


@pytest.mark.parametrize(
    ("salt", "likely"),
    [("20 %", "2 %"), ("0.2 %", "2 %"), ("100 g", "10 g"), ("1 g", "10 g"), ("0.9 g", "9 g")],
)
def test_salt_needs_no_style(salt: str, likely: str) -> None:
    """Half to three and a half per cent of flour, where only a base is given."""
    found = slip(loaf(salt=salt, style=""))
    assert found.help.replace("\u202f", " ") == f"The likely amount is {likely}."


@pytest.mark.parametrize("salt", ["0.5 %", "3.5 %", "2.5 g", "17.5 g", "0 %"])
def test_unusual_salt_without_a_style_is_let_alone(salt: str) -> None:
    assert told(loaf(salt=salt, style="")) == []


@pytest.mark.parametrize("salt", ["0.049 %", "36 %"])
def test_salt_that_no_place_of_the_point_explains_is_a_question_not_a_slip(salt: str) -> None:
    assert told(loaf(salt=salt, style="")) == ["unlikely-amount"]


def test_salt_in_a_list_of_grams_alone_is_watched_too() -> None:
    """The commonest recipe of all has no base line: a hundred grams of salt to five hundred of flour."""
    assert told(loaf(salt="100 g", water="340 g", yeast="3 g", style="", base="")) == ["slipped-decimal"]


@pytest.mark.parametrize(
    ("yeast", "likely"), [("6 %", "0.6 %"), ("0.06 %", "0.6 %"), ("30 g", "3 g"), ("0.3 g", "3 g")]
)
def test_yeast_slips_too(yeast: str, likely: str) -> None:
    assert slip(loaf(yeast=yeast)).help.replace("\u202f", " ") == f"The likely amount is {likely}."


def test_a_yeast_of_another_sort_is_judged_as_instant() -> None:
    """Fresh yeast at 3 % is instant at 1 %: inside. At 30 % it is a slip, named in what was written."""
    text = loaf().replace("instant yeast", "fresh yeast")
    assert told(text.replace("0.6 %", "3 %")) == []
    assert "3" in slip(text.replace("0.6 %", "30 %")).help


@pytest.mark.parametrize(
    ("water", "likely"), [("680 %", "68 %"), ("6.8 %", "68 %"), ("34 g", "340 g"), ("3.4 kg", "0.34 kg")]
)
def test_water_slips_too(water: str, likely: str) -> None:
    assert slip(loaf(water=water)).help.replace("\u202f", " ") == f"The likely amount is {likely}."


def test_the_one_line_that_slipped_is_named_among_several() -> None:
    """Two sugars: only the syrup is ten times what it should be."""
    text = loaf(
        style="  style:  soft roll\n",
        water="55 %",
        yeast="1.5 %",
        salt="1.8 %",
        more="  caster sugar:   4 %\n  honey:          40 %\n  butter:         8 %\n",
    ).replace("Knead everything:", "Knead [the caster sugar], [the honey], [the butter],")
    found = slip(text)
    assert found.span.text == "40 %"
    assert "4" in found.help


def test_a_slip_of_the_base_is_told_at_the_base() -> None:
    """Ten times the flour puts every ratio out at once: that is asked about, and the other lines are not."""
    found = slip(loaf(flour="5000 g", water="340 g", salt="10 g", yeast="3 g"))
    assert found.span.text == "5000 g"
    assert "500 g" in found.help


def test_a_tenth_of_the_base_too() -> None:
    found = slip(loaf(flour="50 g", water="340 g", salt="10 g", yeast="3 g"))
    assert found.span.text == "50 g"


def test_one_ratio_outside_does_not_blame_the_base() -> None:
    assert slip(loaf(water="340 g", salt="100 g", yeast="3 g")).span.text == "100 g"


@pytest.mark.parametrize(
    ("label", "amount"),
    [
        ("salt", "1-2 %"),
        ("salt", "2-3 %"),
        ("hydration", "68-75 %"),
        ("yeast", "0.5-0.6 %"),
    ],
)
def test_on_the_edge_is_inside(label: str, amount: str) -> None:
    assert told(loaf() + f"\nexpect\n  {label}:  {amount}\n") == []


@pytest.mark.parametrize("salt", ["1.79 %", "2.21 %", "3.4 %"])
def test_outside_without_a_slip_is_a_warning_under_the_amount(salt: str) -> None:
    found = only("ratio-outside-style", loaf(salt=salt))
    assert found.severity is Severity.WARNING
    assert found.span.text == salt


@pytest.mark.parametrize("words", ["under 2 %", "over 2 %"])
def test_under_and_over_leave_their_own_figure_out(words: str) -> None:
    assert "expect-not-met" in told(loaf() + f"\nexpect\n  salt:  {words}\n")


@pytest.mark.parametrize("words", ["at most 2 %", "at least 2 %", "2 %"])
def test_at_most_and_at_least_hold_it(words: str) -> None:
    assert told(loaf() + f"\nexpect\n  salt:  {words}\n") == []


def test_an_expect_line_stands_before_the_styles_own() -> None:
    """A cook who states a range of their own is not told of the style's."""
    assert told(loaf(salt="3 %") + "\nexpect\n  salt:  2.8-3.2 %\n") == []


@pytest.mark.parametrize(
    ("sugar", "what"),
    [("2.5 %", "just above 0-2 %"), ("4 %", "twice the top of 0-2 %")],
)
def test_a_little_too_much_is_no_slip(sugar: str, what: str) -> None:
    text = loaf(more=f"  caster sugar:   {sugar}\n").replace(
        "Knead everything:", "Knead [the caster sugar] with"
    )
    assert told(text) == ["ratio-outside-style"], what


def test_a_little_too_little_is_no_slip() -> None:
    assert told(loaf() + "\nexpect\n  hydration:  at least 70 %\n") == ["expect-not-met"]


def scones(powder: str) -> str:
    return (
        "recipe Scones\n  makes:  9 scones\n  style:  scone\n\ningredients\n  plain flour:    250 g\n"
        f"  baking powder:  {powder}\n  fine salt:      3 g\n  butter:         60 g\n  whole milk:     160 g\n\n"
        "step Mix\n  Mix [the plain flour], [the baking powder], [the fine salt], [the butter] and [the whole milk].\n"
    )


def test_the_scones_are_clean() -> None:
    assert told(scones("13 g")) == []


@pytest.mark.parametrize("powder", ["130 g", "1.3 g"])
def test_a_slip_of_the_baking_powder_is_seen(powder: str) -> None:
    assert told(scones(powder)) == ["slipped-decimal"]


def test_the_caret_is_under_the_baking_powder() -> None:
    assert only("ratio-outside-style", scones("25 g")).span.text == "25 g"


def test_a_dressing_is_judged_on_its_total() -> None:
    found = only(
        "ratio-outside-style",
        "recipe Dressing\n  makes:  100 g\n  style:  vinaigrette\n\ningredients\n  neutral oil:    57 g\n"
        "  white vinegar:  33 g\n  water:          10 g\n\nstep Shake\n  Shake [the neutral oil], "
        "[the white vinegar] and [the water].\n",
    )
    assert "of the total" in found.message


def test_slips_of_a_dressing_say_of_the_total_too() -> None:
    """`of total` is no English."""
    found = checked(
        "recipe Dressing\n  style:  vinaigrette\n\ningredients\n  neutral oil:    72 g\n"
        "  white vinegar:  25 g\n  fine salt:      15 g\n\nstep Shake\n  Shake [the neutral oil], "
        "[the white vinegar] and [the fine salt].\n"
    )
    slips = [one for one in found if one.rule == "slipped-decimal"]
    assert slips
    assert all("of the total" in one.message for one in slips)


def test_asking_for_more_changes_no_finding() -> None:
    """Ratios do not depend on the size asked for: the same text, ten times as large, says the same."""
    large = loaf(flour="5 kg", salt="20 %").replace("1 loaf", "10 loaves")
    assert told(large) == told(loaf(salt="20 %")) == ["slipped-decimal"]


def sponge(share: str = "30 %", water: str = "100 %", seed: str = "") -> str:
    return loaf(style="").replace(
        "step Mix\n",
        f"preferment Sponge, {share} of the flour\n  water:  {water}\n{seed}\nstep Sponge\n  Leave the sponge, "
        "[8 h hands-off].\n\nstep Mix\n  Take [the Sponge]. ",
    )


@pytest.mark.parametrize(
    ("share", "water", "seed", "found"),
    [
        ("30 %", "100 %", "", False),
        ("2 %", "100 %", "", False),
        ("70 %", "60 %", "", False),
        ("1.9 %", "100 %", "", True),
        ("71 %", "60 %", "", True),
        ("30 %", "40 %", "", False),
        ("30 %", "200 %", "", False),
        ("30 %", "39 %", "", True),
        ("30 %", "201 %", "", True),
        ("30 %", "100 %", "  seed:  150 g\n", False),
        ("30 %", "100 %", "  seed:  151 g\n", True),
    ],
)
def test_preferments_out_of_use(share: str, water: str, seed: str, found: bool) -> None:
    rules = [rule for rule in told(sponge(share, water, seed)) if rule == "unlikely-preferment"]
    assert rules == ["unlikely-preferment"] * found
