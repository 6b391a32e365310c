"""What changed, as a baker reads it: said once, and nothing that did not."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler.batch import Batch
from benchproof.compiler.comparison import Comparison, Side
from benchproof.compiler.past import outline
from benchproof.compiler.ratio_diff import compare
from benchproof.compiler.source import Source
from tests.compiler.bench import DEMO, batch_of, compile_text, demo_batch, demo_texts
from tests.compiler.repositories import KITCHEN, LOAF, PRICES


def side(text: str, *more: str, **request: Any) -> Side:
    batch = compile_text(text, *(more or (KITCHEN, PRICES)), **request).batch
    return Side("a file", batch, outline(Source(text)), "" if batch else "Line 1: not understood.")


def changed(*swaps: tuple[str, str], old: str = LOAF) -> Comparison:
    """The loaf against itself with these words exchanged."""
    new = old
    for was, now in swaps:
        assert was in new, was
        new = new.replace(was, now)
    return compare(side(old), side(new))


def told(one: Comparison) -> set[str]:
    """The fields that say something."""
    names = (
        "ratios",
        "ingredients",
        "parts",
        "makes",
        "losses",
        "steps",
        "times",
        "cost",
        "allergens",
        "cautions",
        "equipment",
        "said",
        "texts",
    )
    return {name for name in names if getattr(one, name)} | ({"size"} if one.size != 1 else set())


# ---------------------------------------------------------------- nothing


@pytest.mark.parametrize("stem", DEMO)
def test_a_recipe_against_itself_says_nothing(stem: str) -> None:
    text = demo_texts()[f"{stem}.bench"]
    one = Side("a", demo_batch(stem), outline(Source(text)))

    found = compare(one, one)

    assert (told(found), found.empty, found.same_text, found.by) == (set(), True, True, "batches")


def test_words_that_say_the_same_are_no_change() -> None:
    found = changed(("[30-35 min", "[1800 s to 35 min"), ("500 g", "0.5 kg"), ("1 %", "1.0 %  # yeast"))

    assert told(found) == set()
    assert found.empty
    assert not found.same_text


@pytest.mark.parametrize("stem", DEMO)
@pytest.mark.parametrize("times", ["2", "1/2", "3/2"])
def test_a_larger_batch_is_said_once(stem: str, times: str) -> None:
    """Whatever the batch size, no ingredient, ratio or step is told: only what hangs on the size."""
    factor = Fraction(times)
    text = outline(Source(demo_texts()[f"{stem}.bench"]))
    larger = demo_batch(stem, times=factor)

    found = compare(Side("a", demo_batch(stem), text), Side("b", larger, text))

    if any(line.count is not None for part in larger.parts for line in part.lines):
        return  # half a piece may be another piece: told or not, both are right
    assert found.size == factor
    assert told(found) <= {"size", "makes", "times", "cost"}
    assert found.cost is None or found.cost.by_prices == found.cost.by_amounts == 0


# ---------------------------------------------------------------- ratios and ingredients


def test_more_water_is_a_ratio_and_a_line() -> None:
    found = changed(("68 %", "72 %"))

    assert found.size == 1
    hydration = next(one for one in found.ratios if one.name == "hydration")
    assert (hydration.old, hydration.new, hydration.new_basis) == (68, 72, "flour")
    (water,) = found.ingredients
    assert (water.kind, water.name) == ("amount", "water")
    assert water.old is not None
    assert water.new is not None
    assert (water.old.weight, water.new.weight) == (340, 360)
    assert (water.old.percent, water.new.percent) == (68, 72)


def test_a_verdict_that_turns_is_told() -> None:
    found = changed(("68 %", "95 %"))

    hydration = next(one for one in found.ratios if one.name == "hydration")
    assert (hydration.old_verdict, hydration.new_verdict) == ("inside", "above")


def test_flour_alone_that_grew_is_one_line_not_a_size() -> None:
    grams = LOAF.replace("68 %", "340 g").replace("2 %\n", "10 g\n", 1).replace("1 %", "5 g")

    found = changed(("500 g", "550 g"), old=grams)

    assert found.size == 1
    assert [one.name for one in found.ingredients] == ["strong flour"]


def test_an_amount_that_stayed_in_a_doubled_batch_changed_on_its_own() -> None:
    grams = (
        LOAF.replace("68 %", "340 g").replace("  fine salt: 2 %", "  fine salt: 10 g").replace("1 %", "5 g")
    )

    found = changed(
        ("500 g", "1000 g"), ("340 g", "680 g"), ("5 g\n\n", "10 g\n\n"), ("2 loaves", "4 loaves"), old=grams
    )

    assert found.size == 2
    assert found.makes is not None
    assert found.makes.as_asked
    assert [(one.kind, one.name) for one in found.ingredients] == [("amount", "fine salt")]


def test_the_pan_may_be_greased_as_it_was() -> None:
    oiled = LOAF.replace(
        "instant yeast: 1 %\n", "instant yeast: 1 %\n  neutral oil: 5 g, for the tin\n"
    ).replace("Bake at", "Grease with [the neutral oil]. Bake at")

    assert changed(("500 g", "1000 g"), ("2 loaves", "4 loaves"), old=oiled).ingredients == ()
    assert [one.kind for one in changed(("5 g, for", "9 g, for"), old=oiled).ingredients] == ["amount"]


def test_added_gone_renamed_and_replaced() -> None:
    added = changed(
        ("1 %\n", "1 %\n  caster sugar: 3 %\n"),
        ("[the fine salt] and", "[the fine salt], [the caster sugar] and"),
    )
    assert [(one.kind, one.name) for one in added.ingredients] == [("added", "caster sugar")]
    back = compare(side(LOAF.replace("1 %\n", "1 %\n  caster sugar: 3 %\n")), side(LOAF))
    assert [(one.kind, one.name, one.new) for one in back.ingredients] == [("gone", "caster sugar", None)]

    renamed = changed(("strong flour", "bread flour"))
    assert [(one.kind, one.name, one.new_name) for one in renamed.ingredients] == [
        ("renamed", "strong flour", "bread flour")
    ]
    replaced = changed(("strong flour", "wholemeal flour"))
    assert [(one.kind, one.name, one.new_name) for one in replaced.ingredients] == [
        ("replaced", "strong flour", "wholemeal flour")
    ]


def test_a_preferment_is_a_part_not_a_list_of_lines() -> None:
    sponge = LOAF.replace(
        "equipment",
        "preferment Sponge, 20 % of the flour\n  water: 60 %\n  instant yeast: 0.4 %\n\nequipment",
    ).replace("[the strong flour]", "[the Sponge], [the strong flour]")

    found = compare(side(LOAF), side(sponge))
    assert [(one.kind, one.name, one.role, one.new) for one in found.parts] == [
        ("added", "Sponge", "preferment", 20)
    ]
    assert found.ingredients == ()

    found = changed(("20 % of", "30 % of"), old=sponge)
    assert [(one.kind, one.old, one.new) for one in found.parts] == [("share", 20, 30)]
    assert found.ingredients == ()


def test_a_filling_twice_as_large_is_a_part_that_grew() -> None:
    filled = LOAF.replace(
        "equipment", "ingredients for the filling\n  caster sugar: 100 g\n  butter: 50 g\n\nequipment"
    ).replace("Leave", "Stir [the caster sugar] and [the butter]. Leave")

    found = changed(("100 g", "200 g"), ("50 g\n", "100 g\n"), old=filled)

    assert [(one.kind, one.name, one.times) for one in found.parts] == [("size", "filling", 2)]
    assert found.ingredients == ()


# ---------------------------------------------------------------- yield, method, times


def test_yield_and_losses() -> None:
    found = changed(("2 loaves of 400 g", "3 loaves of 270 g"), ("12 % in", "13 % in"))

    assert found.makes is not None
    assert not found.makes.as_asked
    assert (found.makes.old.count, found.makes.new.count) == (2, 3)
    assert [(one.what, one.old, one.new) for one in found.losses] == [
        ("lost in the bake", "12\u202f%", "13\u202f%")
    ]


def test_times_and_temperatures_of_a_step() -> None:
    found = changed(("[220 C oven]", "[230 C oven]"), ("60-90 min", "2 h"))

    assert [
        (
            step.new_name,
            [(fact.kind, fact.old and fact.old.text, fact.new and fact.new.text) for fact in step.facts],
        )
        for step in found.steps
    ] == [
        ("Rise", [("duration", "60-90 min hands-off", "2 h hands-off")]),
        ("Bake", [("temperature", "220 C oven", "230 C oven")]),
    ]
    assert [step.reworded for step in found.steps] == [False, False]
    assert [one.what for one in found.times] == ["from start to end"]


def test_steps_added_gone_moved_renamed_and_reworded() -> None:
    rest = "step Rest\n  Leave [20 min hands-off].\n\n"
    found = changed(("step Rise", f"{rest}step Rise"))
    assert [(one.kind, one.new_number, one.new_name) for one in found.steps] == [("added", 2, "Rest")]
    found = compare(side(LOAF.replace("step Rise", f"{rest}step Rise")), side(LOAF))
    assert [(one.kind, one.old_number, one.old_name) for one in found.steps] == [("gone", 2, "Rest")]

    found = changed(("step Rise", "step First rise"))
    assert [(one.kind, one.old_name, one.new_name) for one in found.steps] == [
        ("changed", "Rise", "First rise")
    ]
    found = changed(("Leave", "Cover and leave"))
    assert [(one.new_name, one.reworded, one.facts) for one in found.steps] == [("Rise", True, ())]

    first, second = (
        "step Rise\n  Leave [60-90 min hands-off].\n\n",
        "step Bake\n  Bake at [220 C oven], [30-35 min hands-off].\n",
    )
    found = changed((first + second, f"{second}\n{first}"))
    assert [(one.new_name, one.moved) for one in found.steps if one.moved] in (
        [("Rise", True)],
        [("Bake", True)],
    )
    assert len(found.steps) == 1


def test_what_a_step_waits_for() -> None:
    oven = "step Heat the oven, after Mix\n  Heat to [220 C oven], [30 min hands-off].\n\n"
    text = LOAF.replace("step Bake", f"{oven}step Bake, after Rise and Heat the oven")

    (found,) = changed(("step Heat the oven, after Mix", "step Heat the oven, during Rise"), old=text).steps

    assert (found.new_name, found.old_waits, found.new_waits) == (
        "Heat the oven",
        ("after Mix",),
        ("during Rise",),
    )


# ---------------------------------------------------------------- money, allergens, cautions, the rest


def test_whether_the_price_or_the_amount_changed_the_cost() -> None:
    dearer = PRICES.replace("3.00 for", "3.60 for")
    by_price = compare(side(LOAF), side(LOAF, KITCHEN, dearer)).cost
    by_amount = changed(("1 %", "1.5 %")).cost
    by_both = compare(side(LOAF), side(LOAF.replace("500 g", "1000 g"), KITCHEN, dearer)).cost

    assert by_price is not None
    assert (by_price.by_size, by_price.by_amounts, by_price.by_prices) == (0, 0, Fraction("0.2"))
    assert [(one.item, one.old and one.old.money, one.new and one.new.money) for one in by_price.prices] == [
        ("strong flour", 3, Fraction("3.6"))
    ]
    assert by_amount is not None
    assert by_amount.by_prices == by_amount.by_size == 0
    assert by_amount.by_amounts == Fraction("2.5") * Fraction("4.60") / 56
    assert by_both is not None
    assert by_both.by_size == by_both.old_total
    assert by_both.by_prices == Fraction("0.4")


def test_a_missing_price_leaves_the_reasons_open() -> None:
    found = compare(side(LOAF), side(LOAF, KITCHEN, PRICES.replace("  fine salt: 1.00 for 1 kg\n", ""))).cost

    assert found is not None
    assert (found.old_complete, found.new_complete, found.by_prices) == (True, False, None)


@settings(max_examples=30)
@given(st.integers(1, 400), st.integers(1, 900), st.integers(1, 900), st.sampled_from([1, 2, 3]))
def test_the_reasons_come_to_the_whole_difference(salt: int, old: int, new: int, times: int) -> None:
    def batch(price: int, salt: int, times: int) -> Batch:
        text = LOAF.replace("fine salt: 2 %", f"fine salt: {salt} g").replace("500 g", f"{500 * times} g")
        return batch_of(text, KITCHEN, PRICES.replace("3.00 for", f"{Fraction(price, 100).numerator} for"))

    one, other = batch(old, 10, 1), batch(new, salt, times)
    found = compare(Side("a", one, ()), Side("b", other, ())).cost

    if found is not None:
        assert found.by_size is not None
        assert found.by_amounts is not None
        assert found.by_prices is not None
        assert found.by_size + found.by_amounts + found.by_prices == other.cost.total - one.cost.total


def test_allergens_and_what_is_not_known() -> None:
    milky = LOAF.replace("water", "whole milk")
    gained, lost = compare(side(LOAF), side(milky)).allergens, compare(side(milky), side(LOAF)).allergens
    assert [(one.kind, one.state, one.name, one.foods) for one in gained] == [
        ("gained", "contains", "milk", ("whole milk",))
    ]
    assert [(one.kind, one.name) for one in lost] == [("lost", "milk")]

    strange = compare(side(LOAF), side(LOAF.replace("fine salt", "kelp dust"))).allergens
    assert [(one.kind, one.state, one.name) for one in strange] == [("gained", "not stated", "kelp dust")]


def test_a_safety_check_that_is_waived_is_told() -> None:
    waiver = "  waive: kept-out-of-the-cold because it is sold within the hour\n"
    found = changed(("  base: strong flour\n", f"  base: strong flour\n{waiver}"))

    assert [(one.kind, one.name, one.waived, one.new) for one in found.cautions] == [
        ("gained", "kept-out-of-the-cold", True, "it is sold within the hour")
    ]


def test_cautions_gained() -> None:
    sweet = LOAF.replace("1 %\n", "1 %\n  honey: 20 g\n").replace(
        "[the water] and", "[the water] and [the honey] and"
    )

    found = compare(side(LOAF), side(sweet)).cautions
    assert [(one.kind, one.waived, one.old) for one in found] == [("gained", False, None)]
    assert "honey" in (found[0].new or "").casefold()


def test_equipment_style_and_what_else_it_says() -> None:
    found = changed(
        ("baking tray", "baking tray, or a stone"),
        ("style: lean hearth bread", "style: country bread\n  serves: 8\n  keeps: 2 days in a tin"),
    )

    assert [(one.what, one.old, one.new) for one in found.equipment] == [("baking tray", "", "or a stone")]
    assert [(one.what, one.old, one.new) for one in found.said] == [
        ("style", "lean hearth bread", "country bread"),
        ("serves", None, "8"),
        ("keeps", None, "2 days in a tin"),
    ]


# ---------------------------------------------------------------- without a Batch


def test_what_does_not_compile_is_compared_by_its_words() -> None:
    found = changed(
        ("1 %", "1,5 %"),
        ("68 %", "70 %"),
        ("knead, [10 min]", "knead well, [12 min]"),
        ("baking tray", "a stone"),
    )

    assert (found.by, found.new.compiled, found.old.compiled) == ("texts", False, True)
    assert found.new.why_not
    assert [(one.what, one.old, one.new) for one in found.texts[:2]] == [
        ("ingredients, water", "68 %", "70 %"),
        ("ingredients, instant yeast", "1 %", "1,5 %"),
    ]
    assert {one.what for one in found.texts[2:]} == {"equipment", "step Mix"}


@pytest.mark.parametrize(
    "text", ["", "recipe\n", "recipe Bare\n", "recipe X\n\nstep\n  [[[ ]\nstep\n  b: c: d\n", "\x00: \x1b"]
)
def test_whatever_stands_in_a_file_it_never_fails(text: str) -> None:
    passages = outline(Source(text))
    for old in (side(LOAF), Side("none", None, None, "no"), Side("odd", None, passages, "odd")):
        for new in (side(LOAF), Side("none", None, None, "no"), Side("odd", None, passages, "odd")):
            assert compare(old, new).by in ("batches", "texts", "nothing")


def test_a_recipe_on_one_side_only() -> None:
    found = compare(Side("before", None, None, "There is no such recipe in it."), side(LOAF))

    assert (found.by, found.old.name, found.new.name, found.empty) == ("nothing", None, "Pier loaf", False)


@given(st.text(alphabet="abc:[]# \n\t,%1", max_size=120), st.text(alphabet="abc:[]# \n\t,%1", max_size=120))
def test_two_texts_of_any_kind(old: str, new: str) -> None:
    a, b = outline(Source(f"recipe A\n{old}")), outline(Source(f"recipe A\n{new}"))
    found = compare(Side("a", None, a, "no"), Side("b", None, b, "no"))

    assert bool(found.texts) == (a != b) or sorted(a, key=str) == sorted(b, key=str)
