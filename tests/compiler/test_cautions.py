"""Cautions: that what can hurt is said, beside the step it belongs to, and that silence is not taken for safe."""

from typing import Any

import pytest

from benchproof.compiler.batch import Caution
from tests.compiler.bench import DEMO, batch_of, demo_batch


def cautions(listed: str, steps: str = "", *more: str, head: str = "", **request: Any) -> dict[str, Caution]:
    batch = batch_of(f"recipe T\n{head}\ningredients\n{listed}\n{steps}", *more, **request)
    return {one.name: one for one in batch.cautions}


MIX = (
    "step Chop\n  Nothing of note.\n\nstep Mix\n  Stir [the {}] in.\n\n"
    "step Heat\n  Cook at [180 C oven], to [75 C core].\n"
)


def test_a_salad_needs_no_caution_and_is_not_called_safe() -> None:
    found = cautions("  apples: 100 g\n  caster sugar: 5 g\n")
    assert list(found) == ["law-first"]
    assert "does not make it safe" in found["law-first"].text


def test_raw_egg_that_is_kept_cold_is_not_told_to_cool_from_sixty() -> None:
    whisk = "step Whisk\n  Whisk [the eggs] into [the neutral oil].\n"
    found = cautions("  eggs: 3\n  neutral oil: 300 g\n", whisk, head="  keeps: 3 days in the fridge\n")
    assert "raw-egg" in found
    assert "cool-fast" not in found


@pytest.mark.parametrize(
    ("fact", "slow"),
    [
        ("60 C to 21 C in 2 h", False),
        ("60 C to 21 C in 9 h", True),
        ("60 C to 21 C within 9 h", True),
        ("90 C to 30 C in 12 h", True),
        ("60 C to 5 C within 6 h", False),
        ("60 C to 5 C within 7 h", True),
        ("21 C to 5 C within 4 h", False),
        ("21 C to 5 C within 5 h", True),
        ("5 C to 21 C in 9 h", False),
    ],
)
def test_a_cooling_written_too_slow_is_said_beside_its_step(fact: str, slow: bool) -> None:
    found = cautions("  beef stock: 2 kg\n", f"step Cool\n  Cool [the beef stock], [{fact}].\n")
    assert ("cools-too-slowly" in found) is slow
    if slow:
        assert found["cools-too-slowly"].step == 1


@pytest.mark.parametrize(
    ("keeps", "outside"),
    [
        ("3 months at room temperature", True),
        ("2 months frozen", False),
        ("5 days in the fridge", False),
        ("90 days in the freezer", False),
    ],
)
def test_weeks_without_freezing_are_preserving(keeps: str, outside: bool) -> None:
    found = cautions("  garlic: 50 g\n  olive oil: 300 g\n", head=f"  keeps: {keeps}\n")
    assert ("preserving-outside" in found) is outside


def test_every_set_of_cautions_ends_by_deferring_to_the_law() -> None:
    for stem in DEMO:
        found = demo_batch(stem).cautions
        if found:
            assert [one.name for one in found].count("law-first") == 1
            assert found[-1].name == "law-first"
            assert "law" in found[-1].text


# The safe minimum temperatures: USDA FSIS chart, 2019, in its own degrees Fahrenheit.
@pytest.mark.parametrize(
    ("food", "name", "fahrenheit"),
    [
        ("chicken thighs", "cook-poultry", 165),
        ("beef mince", "cook-mince", 160),
        ("pork shoulder", "cook-meat", 145),
        ("salmon", "cook-fish", 145),
    ],
)
def test_a_core_temperature_is_never_rounded_down(food: str, name: str, fahrenheit: int) -> None:
    found = cautions(f"  {food}: 500 g\n", MIX.format(food))
    text = found[name].text
    assert f"({fahrenheit} °F)" in text
    celsius = int(text.partition(" °C")[0].rsplit(" ", 1)[1])
    assert celsius * 9 >= (fahrenheit - 32) * 5
    assert found[name].step == 3  # the step that names a core temperature, once the food is in
    assert found[name].source


@pytest.mark.parametrize(
    ("food", "name"),
    [
        ("pork mince", "cook-mince"),
        ("lamb mince", "cook-mince"),
        ("chicken mince", "cook-poultry"),
    ],
)
def test_mince(food: str, name: str) -> None:
    assert name in cautions(
        f"  {food}: 500 g\n", "", f"ingredient {food}\n  kind: {'poultry' if 'chick' in food else 'meat'}\n"
    )


def test_without_a_core_temperature_it_stands_where_the_food_goes_in() -> None:
    steps = "step A\n  Wait.\n\nstep B\n  Fry [the chicken thighs].\n"
    assert cautions("  chicken thighs: 500 g\n", steps)["cook-poultry"].step == 2


def test_a_recipe_as_an_ingredient_brings_its_dangers() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  filling: 10 g\n\nstep A\n"
        "  [the filling]\n\nrecipe Filling\n\ningredients\n  beef mince: 5 g\n"
    )
    assert "cook-mince" in {one.name for one in batch.cautions}


@pytest.mark.parametrize("beans", ["dried kidney beans", "dried red kidney beans", "dried haricot beans"])
def test_dried_beans_must_boil(beans: str) -> None:
    found = cautions(f"  {beans}: 100 g\n", f"step A\n  Wait.\n\nstep B\n  [the {beans}]\n")
    assert "boil" in found["boil-dried-beans"].text
    assert found["boil-dried-beans"].step == 2


def test_beans_from_a_tin_are_boiled_already() -> None:
    assert "boil-dried-beans" not in cautions("  tinned kidney beans: 100 g\n")


@pytest.mark.parametrize(
    ("food", "name"),
    [
        ("dried speckled beans", "boil-dried-beans"),
        ("heather honey", "honey-and-infants"),
        ("venison mince", "cook-mince"),
        ("guinea fowl eggs", "raw-egg"),
    ],
)
def test_a_food_of_no_stated_kind_is_taken_at_its_name(food: str, name: str) -> None:
    assert name in cautions(f"  {food}: 100 g\n")


@pytest.mark.parametrize("name", ["honey", "clover honey", "clear honey"])
def test_honey_is_not_for_infants(name: str) -> None:
    assert "honey-and-infants" in cautions(f"  {name}: 100 g\n", "", f"ingredient {name}\n  kind: syrup\n")


@pytest.mark.parametrize("flour", ["strong flour", "rye flour"])
def test_raw_flour(flour: str) -> None:
    assert "raw-dough" in cautions(f"  {flour}: 100 g\n", f"step A\n  [the {flour}]\n")


def test_raw_flour_and_egg_name_both() -> None:
    assert "egg" in cautions("  plain flour: 100 g\n  eggs: 50 g\n")["raw-dough"].text


@pytest.mark.parametrize(
    "steps",
    [
        "step A\n  Beat [the eggs] into [the olive oil].\n",
        "step A\n  Beat [the eggs] into [the olive oil].\n\nstep B\n  Toast the crumbs at [180 C oven].\n",
    ],
)
def test_egg_that_stays_raw(steps: str) -> None:
    assert "raw-egg" in cautions("  eggs: 50 g\n  olive oil: 500 g\n", steps)


def test_a_mousse_of_raw_egg_is_told_that_it_is_raw() -> None:
    found = cautions(
        "  eggs: 4\n  dark chocolate: 200 g\n", "step A\n  Fold [the eggs] into [the dark chocolate].\n"
    )
    assert "raw-egg" in found


@pytest.mark.parametrize("kind", ["egg", "flour"])
def test_silence_about_eating_raw_is_not_taken_for_yes(kind: str) -> None:
    found = cautions(
        "  duck thing: 100 g\n",
        "",
        f"ingredient duck thing\n  kind: {kind}\n  contains: {'egg' if kind == 'egg' else 'wheat'}\n",
    )
    assert {"raw-egg", "cook-egg", "raw-dough"} & set(found)


@pytest.mark.parametrize("food", ["pasteurised egg", "toasted flour"])
def test_what_may_be_eaten_raw_by_its_own_facts_needs_no_caution(food: str) -> None:
    kind = food.split()[1]
    assert cautions(
        f"  {food}: 10 g\n  caster sugar: 500 g\n",
        "",
        f"ingredient {food}\n  kind: {kind}\n  eaten raw: yes\n",
    ).keys() == {"law-first"}


def test_silence_about_raw_fish_is_not_taken_for_yes() -> None:
    assert "cook-fish" in cautions("  eel: 100 g\n", "", "ingredient eel\n  kind: fish\n  contains: fish\n")


def test_an_egg_custard_is_cooked_through() -> None:
    found = cautions(
        "  eggs: 200 g\n  whole milk: 500 g\n",
        "step A\n  Bake [the eggs] and [the whole milk], [80 C core].\n",
    )
    assert found["cook-egg"].step == 1


def test_a_caution_stands_beside_the_step_of_its_own_food() -> None:
    steps = (
        "step Fry\n  Fry [the chicken thighs] to [75 C core].\n\n"
        "step Bake\n  Pour [the eggs] over and bake to [75 C core].\n"
    )
    found = cautions("  chicken thighs: 100 g\n  eggs: 400 g\n", steps)
    assert (found["cook-poultry"].step, found["cook-egg"].step) == (1, 2)


@pytest.mark.parametrize("purpose", ["for frying", "for deep frying", "for the deep fryer"])
def test_hot_oil_by_its_purpose(purpose: str) -> None:
    assert "hot-oil" in cautions(f"  potatoes: 100 g\n  neutral oil: 1 l, {purpose}\n")


def test_hot_oil_by_its_temperature() -> None:
    found = cautions(
        "  potatoes: 100 g\n", "step A\n  Peel.\n\nstep B\n  Fry [the potatoes] at [180 C oil].\n"
    )
    assert found["hot-oil"].step == 2


def test_hot_sugar() -> None:
    steps = "step A\n  Boil [the {}] to [{}].\n"
    assert "hot-sugar" in cautions("  caster sugar: 100 g\n", steps.format("caster sugar", "160 C"))
    assert "hot-sugar" in cautions("  golden syrup: 100 g\n", steps.format("golden syrup", "300 F"))
    assert "hot-sugar" not in cautions("  caster sugar: 100 g\n", steps.format("caster sugar", "40 C"))


@pytest.mark.parametrize("rice", ["white rice", "brown rice", "basmati rice"])
def test_rice_is_not_left_warm(rice: str) -> None:
    assert "2 h" in cautions(f"  {rice}: 100 g\n")["cool-rice"].text


def test_what_is_kept_is_cooled_fast() -> None:
    assert "cool-fast" in cautions("  beef mince: 500 g\n", head="  keeps: 3 days in the fridge\n")
    assert "cool-fast" not in cautions("  beef mince: 500 g\n")


def test_every_caution_has_a_source_but_the_one_that_defers() -> None:
    for stem in DEMO:
        for one in demo_batch(stem).cautions:
            assert one.source or one.name == "law-first", one.name
            assert one.step is None or 1 <= one.step <= len(demo_batch(stem).steps)


@pytest.mark.parametrize(
    ("stem", "names"),
    [
        ("lamplighters-chicken", {"cook-poultry"}),
        ("regatta-day-bake", {"cook-mince", "raw-dough", "cool-fast"}),
        ("sea-wall-frittata", {"cook-egg", "cool-fast"}),
        ("moonrise-custards", {"cook-egg"}),
        ("quay-leek-tart", {"cook-egg", "raw-dough"}),
        ("slack-tide-rice", {"cool-rice"}),
        ("pilot-house-pilaf", {"cool-rice"}),
        ("slipway-dressing", {"honey-and-infants"}),
        ("lighthouse-loaf", {"raw-dough"}),
        ("ferry-milk-rolls", {"raw-dough"}),
    ],
)
def test_what_a_demo_recipe_cannot_go_without(stem: str, names: set[str]) -> None:
    assert names <= {one.name for one in demo_batch(stem).cautions}


def test_cautions_stand_in_the_order_of_the_steps() -> None:
    for stem in DEMO:
        steps = [one.step for one in demo_batch(stem).cautions[:-1]]
        numbered = [step for step in steps if step is not None]
        assert numbered == sorted(numbered)
        assert all(step is None for step in steps[: len(steps) - len(numbered)])


def test_the_size_of_the_batch_changes_no_caution() -> None:
    for stem in DEMO:
        assert demo_batch(stem, times=10).cautions == demo_batch(stem).cautions


# ---------------------------------------------------------------- beside its step


def at(found: dict[str, Caution], name: str) -> int | None:
    assert name in found, sorted(found)
    return found[name].step


def test_what_stands_out_of_the_fridge_is_told_beside_its_step() -> None:
    steps = (
        "step Fry\n  Fry [the beef mince], [9 min], to [75 C core].\n\n"
        "step Table\n  Stand on the buffet, [{} min hands-off].\n"
    )
    found = cautions("  beef mince: 400 g\n", steps.format(60))
    assert at(found, "out-of-the-cold") == 2
    assert "2 h" in found["out-of-the-cold"].text
    assert "out-of-the-cold" not in cautions("  beef mince: 400 g\n", steps.format(30))


def test_a_rising_dough_is_not_told_to_be_kept_cold() -> None:
    listed = "  strong flour: 500 g\n  eggs: 100 g\n  instant yeast: 5 g\n"
    steps = "step A\n  Knead [the strong flour], [the eggs] and [the instant yeast], [9 min]. Leave [9 h hands-off].\n"
    assert "out-of-the-cold" not in cautions(listed, steps)


def test_thawing_is_told_beside_its_step() -> None:
    steps = "step A\n  Mix nothing.\n\nstep B\n  Thaw [the beef mince] in the fridge, [9 h hands-off].\n"
    assert at(cautions("  beef mince: 400 g\n", steps), "thaw-cold") == 2
    assert "thaw-cold" not in cautions("  apples: 400 g\n", "step A\n  Thaw [the apples], [9 h hands-off].\n")


def test_hot_fat_in_a_tin() -> None:
    listed = "  potatoes: 1 kg\n  lard: {} g, for the tray\n"
    step = "step A\n  Heat [the lard] in the tray at [220 C oven], [15 min hands-off], and roll [the potatoes] in it.\n"
    assert at(cautions(listed.format(80), step), "hot-fat") == 1
    assert "hot-fat" not in cautions(listed.format(20), step)


def test_raw_fish_is_told_where_nothing_cooks_it() -> None:
    raw = "step A\n  Slice [the salmon] thin, [5 min].\n"
    assert at(cautions("  salmon: 200 g\n", raw), "served-raw") == 1
    assert "served-raw" not in cautions("  salmon: 200 g\n", raw + "\nstep B\n  Grill [5 min].\n")


def test_ham_and_stuffing_have_their_own_least() -> None:
    found = cautions("  ham: 400 g\n", "step A\n  Warm [the ham].\n")
    assert "(165 °F)" in found["heat-ham"].text
    assert "cook-meat" not in found
    stuffed = cautions("  pork shoulder: 400 g\n", "step A\n  Fill [the pork shoulder] with the stuffing.\n")
    assert "(165 °F)" in stuffed["cook-stuffed"].text


@pytest.mark.parametrize(
    "food", ["wild mushrooms", "elderflowers", "nettles", "foraged greens", "chanterelles"]
)
def test_what_was_picked_wild(food: str) -> None:
    assert at(cautions(f"  {food}: 100 g\n", f"step A\n  Cook [the {food}].\n"), "foraged") == 1


def test_reheating_is_once_and_hot() -> None:
    stew = cautions("  beef mince: 500 g\n", head="  reheats: to 75 C core, once\n")
    assert "once" in stew["reheat-once"].text
    assert "(165 °F)" in stew["reheat-once"].text
    assert "reheat-once" not in cautions("  strong flour: 500 g\n", head="  reheats: in a low oven\n")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("Wrap [the tomatoes] in foil.", True),
        ("Lay [the tomatoes] in an aluminium tray.", True),
        ("Put [the tomatoes] in a dish.", False),
    ],
)
def test_sour_food_against_foil(words: str, told: bool) -> None:
    assert ("sour-in-foil" in cautions("  tomatoes: 300 g\n", f"step A\n  {words}\n")) is told


def test_plain_food_may_lie_in_foil() -> None:
    assert "sour-in-foil" not in cautions("  potatoes: 300 g\n", "step A\n  Wrap [the potatoes] in foil.\n")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Fill into sterilised jars.", "jars-outside"),
        ("Stand in the water bath canner.", "canning-outside"),
        ("Let it ferment.", "fermenting-outside"),
        ("Cold-smoke it.", "smoking-outside"),
        ("Mash it for the baby.", "infants-outside"),
    ],
)
def test_what_is_outside_is_told_beside_its_step(words: str, name: str) -> None:
    steps = f"step A\n  Chop [the cabbage].\n\nstep B\n  {words}\n"
    found = cautions("  cabbage: 500 g\n", steps)
    assert at(found, name) == 2
    assert "outside what this checks" in found[name].text


def test_a_caramel_in_a_pan_is_hot_sugar() -> None:
    step = "step A\n  Boil [the caster sugar] to a dark amber, [175 C pan], [9 min].\n"
    assert at(cautions("  caster sugar: 200 g\n", step), "hot-sugar") == 1
    griddle = "step A\n  Dust with [the caster sugar] and fry at [175 C pan], [2 min].\n"
    assert "hot-sugar" not in cautions("  caster sugar: 200 g\n", griddle)


def test_no_caution_suggests_to_heat_flour_for_eating_raw() -> None:
    found = cautions("  plain flour: 100 g\n", "step A\n  Mix [the plain flour].\n")
    assert "heat" not in found["raw-dough"].text
