"""What the scales can tell: which lines are judged, how loud, and what a cook is told to do."""

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from benchproof.compiler.checks import check_recipe
from benchproof.compiler.checks.weighing import check
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source
from tests.compiler.checks.checking import ON, checked, told

GRAM = "kitchen Saltmarsh\n  scales:  1 g to 5 kg\n\n"
TENTH = "kitchen Saltmarsh\n  scales:  0.1 g to 500 g, 1 g to 5 kg\n\n"


def dough(
    *,
    flour: str = "500 g",
    water: str = "340 g",
    salt: str = "10 g",
    yeast: str = "10 g",
    makes: str = "2 loaves",
    more: str = "",
    kitchen: str = GRAM,
) -> str:
    """A dough without steps: every line but those under test is truly weighed on a gram scale."""
    return (
        f"{kitchen}recipe Loaf\n  makes:  {makes}\n  base:   strong flour\n\n"
        f"ingredients\n  strong flour:   {flour}\n  water:          {water}\n  fine salt:      {salt}\n"
        f"  instant yeast:  {yeast}\n{more}"
    )


def weighed(text: str) -> list[Finding]:
    return [one for one in checked(text) if one.rule in ("scale-too-coarse", "too-heavy-for-the-scale")]


def one(text: str) -> Finding:
    found = weighed(text)
    assert len(found) == 1, found
    return found[0]


# ---------------------------------------------------------------- how loud


@pytest.mark.parametrize(
    ("yeast", "severity"),
    [
        ("10 g", None),
        ("9.9 g", Severity.HINT),
        ("2.5 g", Severity.HINT),
        ("2.4 g", Severity.WARNING),
        ("0.6 g", Severity.WARNING),
        ("0.12 %", Severity.WARNING),
        ("0.001 g", Severity.WARNING),
        ("0 g", None),
    ],
)
def test_a_hint_above_a_twentieth_a_warning_above_a_fifth(yeast: str, severity: Severity | None) -> None:
    assert [found.severity for found in weighed(dough(yeast=yeast))] == ([severity] if severity else [])


@pytest.mark.parametrize("yeast", ["3 g", "5 g", "1 g"])
def test_a_whole_number_of_steps_is_no_better(yeast: str) -> None:
    """It is not the luck of the rounding: a scale that shows 3 g may have 2.5 or 3.5 g on it."""
    assert one(dough(yeast=yeast)).span.text == yeast


@pytest.mark.parametrize(("yeast", "count"), [("1 g", 0), ("0.9 g", 1), ("0.6 g", 1)])
def test_the_finest_scale_that_carries_it_is_what_counts(yeast: str, count: int) -> None:
    assert len(weighed(dough(yeast=yeast, kitchen=TENTH))) == count


def test_a_kitchen_without_scales_gets_nothing() -> None:
    assert weighed(dough(yeast="0.01 g", flour="6 kg", kitchen="")) == []
    assert weighed(dough(yeast="0.01 g", kitchen="kitchen Saltmarsh\n  room:  21 C\n\n")) == []


@pytest.mark.parametrize(
    "line",
    [
        "  instant yeast:  1/4 tsp\n",
        "  caster sugar:   to taste\n",
        "  caster sugar:   2 g and to taste\n",
        "  lemons:         1\n",
        "  neutral oil:    3 g, for the tin\n",
        "  neutral oil:    7 kg, for frying\n",
        "  neutral oil:    8 l\n",
    ],
)
def test_what_is_counted_spooned_tasted_or_for_a_purpose_is_not_judged(line: str) -> None:
    assert weighed(dough(more=line.replace("instant yeast", "active dry yeast"))) == []


@pytest.mark.parametrize("name", ["rosemary", "ground cinnamon"])
def test_herbs_and_spices_vary_more_than_a_hint(name: str) -> None:
    assert weighed(dough(more=f"  {name}:  3 g\n")) == []
    assert one(dough(more=f"  {name}:  1 g\n")).severity is Severity.WARNING


def test_every_list_is_judged() -> None:
    glaze = "\ningredients for the glaze\n  milk:       30 g\n  fine salt:  1 g\n"
    found = one(dough(more=glaze))
    assert found.span.text == "1 g"
    assert "issolve" not in found.help, "the water stands in another list"


def test_the_batch_that_is_asked_for_is_judged() -> None:
    """A tenth of the recipe has a tenth of the yeast."""
    kitchen = Kitchen([Source(dough(), "a.bench")])
    recipe = kitchen.own_recipes()[0]
    found = check_recipe(Compiler(kitchen).compile(recipe, Request(on=ON, times=Fraction(1, 10))), kitchen)
    assert [each.span.text for each in found if each.rule == "scale-too-coarse"] == ["10 g", "10 g"]
    assert all(
        "Make 10 times as much, 2 loaves" in each.help for each in found if each.rule == "scale-too-coarse"
    )


def test_where_there_is_a_final_dough_that_is_what_is_weighed() -> None:
    """Half of each line drawn out beforehand: 12 g of salt are weighed as 6 g, and the list as a whole never."""
    kitchen = Kitchen([Source(dough(salt="12 g", yeast="2 g"), "a.bench")])
    compiled = Compiler(kitchen).compile(kitchen.own_recipes()[0], Request(on=ON))
    assert compiled.batch is not None
    main = compiled.batch.parts[0]
    lines = tuple(replace(line, weight=(line.weight or Fraction(0)) / 2) for line in main.lines)
    drawn = replace(compiled.batch, parts=(main, replace(main, role="final", lines=lines)))
    found = list(check(replace(compiled, batch=drawn), kitchen))
    assert [each.span.text for each in found] == ["12 g", "2 g"]
    assert found[1].message.startswith("1 g of instant yeast")


def test_it_can_be_waived_and_set() -> None:
    waive = dough(yeast="0.6 g").replace(
        "\n  base:", "\n  waive:  scale-too-coarse because the starter does it\n  base:"
    )
    assert told(waive) == []
    assert told(dough(yeast="0.6 g") + "\nchecks\n  scale-too-coarse:  off\n") == []


# ---------------------------------------------------------------- what to do


def test_a_bigger_batch_says_what_it_makes() -> None:
    assert "Make 17 times as much, 34 loaves: then it is 10.2 g." in one(dough(yeast="0.6 g")).help


@pytest.mark.parametrize(
    ("makes", "words"),
    [("1 loaf", "5961 g"), ("851.5 g", "5961 g"), ("12", "84 pieces"), ("12 rounds of 70.96 g", "84 rounds")],
)
def test_no_plural_is_guessed(makes: str, words: str) -> None:
    """A single piece is told by weight: seven times 500 + 340 + 10 + 1.5 g."""
    assert f"Make 7 times as much, {words}: then it is 10.5 g." in one(dough(yeast="1.5 g", makes=makes)).help


def test_a_batch_a_hundred_times_the_size_is_no_mend() -> None:
    assert "times as much" not in one(dough(yeast="0.09 g")).help
    assert "Make 100 times" in one(dough(yeast="0.1 g")).help


@pytest.mark.parametrize(("yeast", "steps"), [("0.6 g", "0.05 g"), ("9 g", "0.5 g"), ("0.09 g", "0.005 g")])
def test_the_finer_scale(yeast: str, steps: str) -> None:
    assert f"se a scale with steps of {steps} or finer." in one(dough(yeast=yeast)).help


def test_the_finer_scale_mends_it() -> None:
    """The steps that are named, put into the kitchen, leave nothing to say."""
    for yeast in ("0.6 g", "3.4 g", "9.9 g", "0.77 g"):
        steps = re.findall(r"steps of ([0-9.]+) g or finer", one(dough(yeast=yeast)).help)
        finer = GRAM.replace("1 g to", f"{steps[0]} g to 400 g, 1 g to")
        assert weighed(dough(yeast=yeast, kitchen=finer)) == []


def test_the_dilution_with_all_its_figures() -> None:
    assert one(dough(yeast="0.6 g")).help.endswith(
        "Or stir 10 g of instant yeast into 190 g of water at hand heat, and at once, before it settles, weigh 12 g "
        "of that in, with 329 g of the water instead of 340 g: this comes within 9.4 %, and leaves 188 g to throw "
        "away, 9.4 g of it instant yeast."
    )


def test_salt_is_dissolved_and_may_wait() -> None:
    """2 g of salt: 11 g of 10 g in 45 g of water. At worst 11.5 g of 10.5 in 55: 2.1955 g, 9.8 % more."""
    help = one(dough(salt="2 g")).help
    assert (
        "Or dissolve 10 g of fine salt in 45 g of water and weigh 11 g of that in, with 331 g of the water "
        in help
    )
    assert "within 9.8 %, and leaves 44 g to throw away, 8 g of it fine salt." in help
    assert "hand heat" not in help


@pytest.mark.parametrize("name", ["ground nutmeg", "baking powder", "butter", "cocoa powder"])
def test_what_does_not_dissolve_is_not_diluted(name: str) -> None:
    help = one(dough(more=f"  {name}:  2 g\n")).help
    assert "issolve" not in help
    assert "tir " not in help


@pytest.mark.parametrize(
    ("water", "offered"),
    [
        ("340 g", True),
        ("30 g", True),
        ("15 g", False),  # 3.6 g would be left of it, too little to be truly weighed
        ("340 ml", True),
        ("9 ml", False),
    ],
)
def test_the_recipe_must_have_the_water(water: str, offered: bool) -> None:
    found = next(each for each in weighed(dough(yeast="0.6 g", water=water)) if each.span.text == "0.6 g")
    assert ("of water at hand heat" in found.help) is offered


@pytest.mark.parametrize("liquid", ["whole milk", "orange juice", "vegetable stock"])
def test_only_water_is_water(liquid: str) -> None:
    assert "hand heat" not in one(dough(yeast="0.6 g").replace("  water:  ", f"  {liquid}:  ")).help


def test_water_for_the_tin_is_not_in_the_dough() -> None:
    assert "hand heat" not in one(dough(yeast="0.6 g", water="340 g, for the steam")).help


def test_water_by_volume_is_taken_off_by_volume() -> None:
    assert "with 11 ml less of the water: " in one(dough(yeast="0.6 g", water="340 ml")).help


def test_water_that_its_own_scale_cannot_tell_apart_stays() -> None:
    """0.7 g less of 900 g, on a scale with steps of 5 g."""
    kitchen = "kitchen Saltmarsh\n  scales:  0.1 g to 500 g, 5 g to 5 kg\n\n"
    found = one(dough(yeast="0.4 g", water="900 g", flour="1 kg", kitchen=kitchen))
    assert "of that in, with the water as it is: " in found.help


def test_the_finer_scale_in_several_goes() -> None:
    kitchen = "kitchen Saltmarsh\n  scales:  0.1 g to 20 g, 5 g to 10 kg\n\n"
    found = one(dough(salt="30 g", kitchen=kitchen))
    assert found.help.startswith(
        "Weigh it in 2 goes on the scale with steps of 0.1 g. Or make 2 times as much"
    )


# ---------------------------------------------------------------- too heavy


@pytest.mark.parametrize(
    ("flour", "mend"),
    [
        ("5001 g", "Weigh it in 2 goes of 2501 g, or in more: the bowl counts too."),
        ("6.2 kg", "Weigh it in 2 goes of 3100 g, or in more: the bowl counts too."),
        ("15 kg", "Weigh it in 3 goes of 5000 g, or in more: the bowl counts too."),
    ],
)
def test_what_no_scale_carries(flour: str, mend: str) -> None:
    found = one(dough(flour=flour, kitchen=TENTH))
    assert (found.rule, found.severity, found.span.text) == ("too-heavy-for-the-scale", Severity.HINT, flour)
    assert found.help == mend
    assert "the strongest takes 5000 g" in found.message


def test_a_little_too_heavy_is_not_told_as_the_same_weight() -> None:
    assert one(dough(flour="5000.2 g")).message.startswith("Just over 5000 g of strong flour")


def test_just_carried() -> None:
    assert weighed(dough(flour="5 kg")) == []


def test_the_strongest_scale_need_not_be_the_coarsest() -> None:
    kitchen = "kitchen Saltmarsh\n  scales:  1 g to 8 kg, 5 g to 3 kg\n\n"
    assert weighed(dough(flour="8 kg", kitchen=kitchen)) == []
    assert "the strongest takes 8000 g" in one(dough(flour="9 kg", kitchen=kitchen)).message
