"""What can hurt, at its edges: core temperatures, what is eaten raw, beans, keeping, what nobody checks here."""

import pytest

from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.rulebook.harm import RULES
from tests.compiler.checks.checking import checked

MINE = {rule.name for rule in RULES}
LAW = "kitchen K\n  food law: {}\n\n"


def found(text: str) -> list[Finding]:
    return [one for one in checked(text) if one.rule in MINE]


def told(text: str) -> list[str]:
    return [one.rule for one in found(text)]


def recipe(listed: str, step: str, *, head: str = "", name: str = "T", more: str = "") -> str:
    return f"recipe {name}\n  serves: 4\n{head}\ningredients\n{listed}\nstep A\n  {step}\n{more}"


def roast(food: str, core: str, *, more: str = "") -> str:
    return recipe(
        f"  {food}: 800 g\n",
        f"Roast [the {food}] at [200 C oven], [40 min hands-off], to [{core}]. Rest [10 min hands-off].",
        more=more,
    )


# The safe minimum temperatures: USDA FSIS chart, 2019, seen; exact in its own Fahrenheit.
@pytest.mark.parametrize(
    ("food", "enough", "too_little"),
    [
        ("chicken thighs", "165 F core", "164.9 F core"),
        ("chicken thighs", "74 C core", "73.8 C core"),
        ("beef mince", "160 F core", "159 F core"),
        ("beef mince", "71.2 C core", "71 C core"),
        ("pork shoulder", "145 F core", "144 F core"),
        ("lamb shoulder", "63 C core", "62.7 C core"),
        ("salmon", "62.8 C core", "62.7 C core"),
        ("pork sausages", "72 C core", "70 C core"),
        ("chicken mince", "74 C core", "72 C core"),
    ],
)
def test_the_least_for_the_middle_is_exact(food: str, enough: str, too_little: str) -> None:
    assert "core-too-cool" not in told(roast(food, enough))
    assert told(roast(food, too_little)) == ["core-too-cool"]


@pytest.mark.parametrize(
    ("food", "core", "severity"),
    [
        ("chicken thighs", "73 C core", Severity.WARNING),
        ("chicken thighs", "156 F core", Severity.WARNING),
        ("chicken thighs", "155 F core", Severity.ERROR),
        ("chicken thighs", "75 F core", Severity.ERROR),
        ("beef mince", "151 F core", Severity.WARNING),
        ("beef mince", "150 F core", Severity.ERROR),
        ("pork shoulder", "50 C core", Severity.WARNING),
        ("salmon", "45 C core", Severity.WARNING),
    ],
)
def test_well_below_for_poultry_and_mince_is_an_error(food: str, core: str, severity: Severity) -> None:
    (one,) = [one for one in found(roast(food, core)) if one.rule == "core-too-cool"]
    assert one.severity is severity


def test_a_range_is_judged_by_its_low_end() -> None:
    assert told(roast("chicken thighs", "70-75 C core")) == ["core-too-cool"]
    assert told(roast("chicken thighs", "74-80 C core")) == []


def test_the_food_law_picks_the_table() -> None:
    burger = roast("beef mince", "155 F core")
    (american,) = found(LAW.format("United States") + burger)
    assert (american.rule, american.severity) == ("core-too-cool", Severity.HINT)
    assert "160 °F" in american.message or "(160 °F)" in american.message
    for law in ("European Union", "New Zealand"):
        (other,) = found(LAW.format(law) + burger)
        assert other.severity is Severity.WARNING
        assert "no food law" not in other.message
    (none,) = found(burger)
    assert "names no food law" in none.message


def test_what_is_written_is_copied_and_never_rounded_down() -> None:
    (one,) = found(roast("chicken thighs", "70 C core of the chicken thighs"))
    assert "`[74 C core of chicken thighs]`" in one.help
    (other,) = found(
        "kitchen K\n  measures: US\n  food law: United States\n\n" + roast("chicken thighs", "150 F core")
    )
    assert "`[165 F core]`" in other.help


def test_only_the_food_that_is_named_is_judged() -> None:
    both = "  chicken thighs: 400 g\n  salmon: 400 g\n"
    step = "Roast [the chicken thighs] and [the salmon] at [200 C oven], [30 min hands-off], to [{}]."
    assert told(recipe(both, step.format("64 C core of the salmon"))) == []
    assert told(recipe(both, step.format("64 C core of the chicken"))) == ["core-too-cool"]
    assert told(recipe(both, step.format("64 C core"))) == ["core-too-cool"]


def test_a_food_that_has_got_there_is_not_judged_again() -> None:
    text = recipe(
        "  chicken thighs: 400 g\n  eggs: 4\n",
        "Fry [the chicken thighs], [9 min], to [75 C core].\n  Pour over [the eggs] and set, [6 min], to [72 C core].",
    )
    assert told(text) == []


def test_what_is_heated_again_or_put_together_is_a_casserole() -> None:
    """Left-overs and casseroles 165 F: USDA FSIS chart, 2019, seen."""
    listed = "  dried pasta: 300 g\n\ningredients for the sauce\n  beef mince: 400 g\n"
    steps = (
        "Boil [the dried pasta], [9 min].\n\n"
        "step Sauce, for the sauce\n  Fry [the beef mince], [9 min], to [75 C core].\n\n"
        "step Bake\n  Cover with [the sauce] and bake at [180 C oven], [30 min hands-off], to [{} C core].\n"
    )
    assert told(recipe(listed, steps.format(60))) == ["core-too-cool"]
    assert told(recipe(listed, steps.format(74))) == []
    again = (
        "Fry [the beef mince], [9 min], to [75 C core].\n"
        "  Chill [9 h hands-off]. Heat through to [{} C core], [9 min]."
    )
    assert told(recipe("  beef mince: 400 g\n", again.format(70))) == ["core-too-cool"]
    assert told(recipe("  beef mince: 400 g\n", again.format(75))) == []


def test_the_egg_of_a_filling_counts_without_the_flour_of_the_pastry() -> None:
    listed = "  plain flour: 250 g\n\ningredients for the filling\n  eggs: 4\n  double cream: 300 g\n"
    steps = (
        "Roll [the plain flour], [9 min].\n\n"
        "step Filling, for the filling\n  Beat [the eggs] and [the double cream], [2 min].\n\n"
        "step Bake\n  Pour in [the filling] and bake at [170 C oven], [30 min hands-off], to [60 C core].\n"
    )
    assert told(recipe(listed, steps)) == ["core-too-cool"]


def test_a_dish_set_by_egg_and_one_that_is_not() -> None:
    step = "Bake {} at [160 C oven], [30 min hands-off], to [70 C core]."
    dish = recipe("  eggs: 6\n  double cream: 300 g\n", step.format("[the eggs] and [the double cream]"))
    assert told(dish) == ["core-too-cool"]
    loaf = recipe(
        "  strong flour: 500 g\n  eggs: 60 g\n  water: 280 g\n",
        step.format("[the strong flour], [the eggs] and [the water]"),
    )
    assert told(loaf) == []


@pytest.mark.parametrize(("eggs", "judged"), [("40 g", True), ("39 g", False)])
def test_egg_that_binds_counts_from_a_twenty_fifth_of_the_whole(eggs: str, judged: bool) -> None:
    listed = f"  potatoes: 700 g\n  tinned tuna: {1000 - 700 - int(eggs[:2])} g\n  eggs: {eggs}\n"
    step = "Mash [the potatoes] with [the tinned tuna] and [the eggs], [9 min]. Fry [8 min], to [60 C core]."
    assert told(recipe(listed, step)) == (["core-too-cool"] if judged else [])


def test_another_recipes_mince_brings_its_least_along() -> None:
    text = (
        recipe(
            "  filling: 300 g\n", "Bake [the filling] at [180 C oven], [30 min hands-off], to [60 C core]."
        )
        + "\nrecipe Filling\n  makes: 300 g\n\ningredients\n  beef mince: 300 g\n"
    )
    assert "core-too-cool" in told(text)


def test_ham_is_judged_where_it_is_the_dish() -> None:
    assert told(roast("ham", "60 C core of the ham")) == ["core-too-cool"]
    assert told(roast("ham", "74 C core of the ham")) == []


@pytest.mark.parametrize(
    ("after", "rested"),
    [
        (", and carve, [2 min].", False),
        (". Rest [3 min hands-off].", True),
        (". Leave it under foil, [10 min hands-off].", True),
        (", rest it well and carve.", True),
    ],
)
def test_whole_cuts_rest_three_minutes(after: str, rested: bool) -> None:
    step = f"Roast [the pork shoulder] at [180 C oven], [80 min hands-off], to [65 C core]{after}"
    assert told(recipe("  pork shoulder: 800 g\n", step)) == ([] if rested else ["meat-not-rested"])


@pytest.mark.parametrize(
    ("step", "needed"),
    [
        ("Roast [the chicken thighs] at [200 C oven], [40 min hands-off].", True),
        ("Fry [the chicken thighs], [12 min].", True),
        ("Simmer [the chicken thighs], [10 min hands-off].", True),
        ("Simmer [the chicken thighs], [20 min hands-off].", False),
        ("Fry [the chicken thighs], [12 min], to [75 C core].", False),
    ],
)
def test_a_core_temperature_is_asked_for_unless_a_boil_makes_it_plain(step: str, needed: bool) -> None:
    assert told(recipe("  chicken thighs: 800 g\n", step)) == (["core-not-named"] if needed else [])


def test_no_core_temperature_is_asked_for_a_chop() -> None:
    assert told(recipe("  pork shoulder: 800 g\n", "Fry [the pork shoulder], [12 min].")) == []


# ---------------------------------------------------------------- raw


@pytest.mark.parametrize(
    ("food", "severity"),
    [
        ("chicken breast", Severity.ERROR),
        ("beef mince", Severity.WARNING),
        ("salmon", Severity.WARNING),
        ("mussels", Severity.WARNING),
        ("heath venison steak", Severity.WARNING),
    ],
)
def test_flesh_that_nothing_cooks(food: str, severity: Severity) -> None:
    stated = f"\ningredient {food}\n  contains: nothing\n" if "heath" in food else ""
    (one,) = found(recipe(f"  {food}: 300 g\n", f"Slice [the {food}], [5 min].", more=stated))
    assert (one.rule, one.severity) == ("served-raw", severity)


def test_what_another_recipe_cooks_is_not_served_raw() -> None:
    filling = (
        "recipe Filling\n  makes: 300 g\n\ningredients\n  beef mince: 300 g\n\n"
        "step A\n  Mix [the beef mince], [3 min].\n"
    )
    pie = recipe(
        "  filling: 300 g\n",
        "Bake [the filling] at [180 C oven], [40 min hands-off], to [80 C core].",
        name="Pie",
    )
    assert told(filling) == ["served-raw"]
    assert told(f"{filling}\n{pie}") == []


@pytest.mark.parametrize(
    ("listed", "step", "raw"),
    [
        ("  eggs: 4\n", "Whisk [the eggs], [4 min].", True),
        ("  eggs: 4\n", "Whisk [the eggs], [4 min], and bake at [160 C oven], [20 min hands-off].", False),
        ("  pasteurised egg: 200 g\n", "Whisk [the pasteurised egg], [4 min].", False),
        (
            "  plain flour: 100 g\n  butter: 300 g\n",
            "Beat [the plain flour] into [the butter], [4 min].",
            True,
        ),
        ("  plain flour: 100 g\n  butter: 300 g\n", "Fry [the plain flour] in [the butter], [4 min].", False),
        (
            "  butter: 300 g\n  plain flour: 20 g, for the bench\n",
            "Beat [the butter] on [the plain flour], [4 min].",
            False,
        ),
        ("  cornflour: 100 g\n", "Whisk [the cornflour], [4 min].", False),
    ],
)
def test_flour_and_egg_that_nothing_cooks(listed: str, step: str, raw: bool) -> None:
    stated = "\ningredient pasteurised egg\n  kind: egg\n  contains: egg\n" if "pasteurised" in listed else ""
    assert told(recipe(listed, step, more=stated)) == (["flour-or-egg-eaten-raw"] if raw else [])


def test_a_dough_for_later_is_left_alone_until_it_is_kept() -> None:
    listed = "  plain flour: 200 g\n  butter: 120 g\n"
    step = "Rub [the butter] into [the plain flour], [6 min]."
    assert told(recipe(listed, step)) == []
    assert told(recipe(listed, step, head="  keeps: 2 days in a tin\n")) == ["flour-or-egg-eaten-raw"]
    assert told(recipe(listed, step, name="No-bake bites")) == ["flour-or-egg-eaten-raw"]


def test_heating_flour_at_home_is_never_suggested() -> None:
    for rule in RULES:
        if rule.name != "flour-heated-at-home":
            assert "heat-treat" not in f"{rule.mend}".casefold()
    step = "Heat-treat [the plain flour] at [180 C oven], [6 min hands-off]."
    assert told(recipe("  plain flour: 100 g\n", step)) == ["flour-heated-at-home"]


# ---------------------------------------------------------------- beans


@pytest.mark.parametrize(
    ("step", "rule"),
    [
        ("Boil [the dried kidney beans] hard, [9 min].", "beans-not-boiled"),
        ("Boil [the dried kidney beans] hard, [10 min].", "beans-not-soaked"),
        ("Simmer [the dried kidney beans], [3 h hands-off].", "beans-not-boiled"),
        ("Put [the dried kidney beans] in the slow cooker, [80 C], [8 h hands-off].", "beans-not-boiled"),
        ("Soak [the dried kidney beans], [8 h hands-off], and drain.\n  Boil hard, [10 min].", None),
        ("Soak [the dried kidney beans], [8 h hands-off].\n  Boil hard, [10 min].", "beans-not-soaked"),
        (
            "Soak [the dried kidney beans], [8 h hands-off], and rinse.\n  Heat to [100 C pan], [12 min].",
            None,
        ),
        (
            "Soak [the dried kidney beans], [8 h hands-off], and rinse.\n  Cook in the pressure cooker, [15 min].",
            None,
        ),
    ],
)
def test_beans_boil_hard_for_ten_minutes(step: str, rule: str | None) -> None:
    assert told(recipe("  dried kidney beans: 300 g\n", step)) == ([rule] if rule else [])


def test_red_kidney_beans_are_an_error_and_their_kin_a_warning() -> None:
    for beans, severity in (
        ("dried kidney beans", Severity.ERROR),
        ("dried haricot beans", Severity.WARNING),
    ):
        (one,) = found(recipe(f"  {beans}: 300 g\n", f"Simmer [the {beans}], [2 h hands-off]."))
        assert one.severity is severity


# ---------------------------------------------------------------- keeping and warming again

STEW = (
    "  stewing beef: 600 g\n  water: 500 g\n",
    "Simmer [the stewing beef] in [the water], [2 h hands-off].",
)


@pytest.mark.parametrize(
    ("reheats", "rule"),
    [
        ("to 75 C core, once", None),
        ("to 74 C core, once", None),
        ("to 165 F core, once", None),
        ("to 73.8 C core, once", "reheated-too-cool"),
        ("to 164 F core, once", "reheated-too-cool"),
        ("to 75 C core", "reheated-how-often"),
        ("in a pan until it boils", "reheated-how-often"),
        ("in a pan until it boils, once", None),
    ],
)
def test_left_overs_are_warmed_once_to_seventy_four(reheats: str, rule: str | None) -> None:
    """Left-overs and casseroles 165 F: USDA FSIS chart, 2019, seen."""
    assert told(recipe(*STEW, head=f"  reheats: {reheats}\n")) == ([rule] if rule else [])


def test_bread_may_be_warmed_as_often_as_one_likes() -> None:
    bread = (
        "  strong flour: 500 g\n  water: 300 g\n",
        "Bake [the strong flour] and [the water], [200 C oven], [30 min].",
    )
    assert told(recipe(*bread, head="  reheats: in a low oven\n")) == []


@pytest.mark.parametrize(
    ("keeps", "rule"),
    [
        ("4 days in the fridge", None),
        ("5 days in the fridge", "keeps-too-long"),
        ("4 days", None),
        ("5 days", "keeps-too-long"),
        ("1 day on the shelf", "kept-out-of-the-cold"),
        ("12 months frozen", None),
        ("20 months frozen", "keeps-too-long"),
    ],
)
def test_how_long_a_stew_keeps(keeps: str, rule: str | None) -> None:
    assert told(recipe(*STEW, head=f"  keeps: {keeps}\n")) == ([rule] if rule else [])


@pytest.mark.parametrize(
    ("listed", "longest"),
    [
        ("  red lentils: 300 g\n  carrots: 300 g\n", "5 days in the fridge"),
        ("  white rice: 300 g\n", "4 days in the fridge"),
        ("  apples: 500 g\n", "14 days in the fridge"),
        ("  caster sugar: 300 g\n  water: 300 g\n", "90 days in the fridge"),
        ("  caster sugar: 200 g\n  double cream: 180 g\n", "30 days in the fridge"),
        ("  strong flour: 500 g\n  water: 340 g\n  instant yeast: 3 g\n", "7 days in a bin"),
        ("  plain flour: 250 g\n  butter: 150 g\n", "60 days in a tin"),
    ],
)
def test_how_long_other_things_keep(listed: str, longest: str) -> None:
    number, _, rest = longest.partition(" ")
    head = "  keeps: {} {}\n"
    draws = " and ".join(f"[the {line.partition(':')[0].strip()}]" for line in listed.splitlines())
    step = f"Boil {draws}, [30 min]."
    assert told(recipe(listed, step, head=head.format(number, rest))) == []
    assert told(recipe(listed, step, head=head.format(int(number) + 1, rest))) == ["keeps-too-long"]


@pytest.mark.parametrize(
    ("keeps", "severity"),
    [
        ("4 days in the fridge", None),
        ("7 days in the fridge", Severity.HINT),
        ("8 days in the fridge", Severity.WARNING),
        ("1 day on the shelf", Severity.ERROR),
        ("1 month frozen", None),
    ],
)
def test_garlic_in_oil(keeps: str, severity: Severity | None) -> None:
    text = recipe(
        "  garlic: 5 g\n  olive oil: 95 g\n",
        "Warm [the garlic] in [the olive oil], [9 min].",
        head=f"  keeps: {keeps}\n",
    )
    assert [one.severity for one in found(text)] == ([severity] if severity else [])


# ---------------------------------------------------------------- infants, allergens, the law


def test_honey_is_an_error_only_where_an_infant_eats_it() -> None:
    listed, step = (
        "  rolled oats: 40 g\n  honey: 10 g\n",
        "Simmer [the rolled oats] with [the honey], [6 min].",
    )
    assert told(recipe(listed, step)) == []
    assert "honey-for-infants" in told(recipe(listed, step, name="Porridge for infants"))


def test_an_ingredient_block_without_allergens_is_told_once_with_all_of_them() -> None:
    text = recipe(
        "  quay bread: 100 g\n  quay spread: 20 g\n",
        "Spread [the quay bread] with [the quay spread], [2 min].",
        more="\ningredient quay bread\n  spoils: no\n\ningredient quay spread\n  spoils: no\n",
    )
    (one,) = found(text)
    assert one.rule == "allergens-not-stated"
    assert "quay bread and quay spread" in one.message
    assert len(one.also) == 1


def test_a_kitchen_without_a_law_is_told_once() -> None:
    chop = recipe("  pork shoulder: 400 g\n", "Fry [the pork shoulder], [12 min].")
    again = chop.replace("recipe T", "recipe U")
    assert told(f"kitchen K\n  room: 20 C\n\n{chop}\n{again}") == ["food-law-not-named"]
    assert told(chop) == []


def test_safety_cannot_be_turned_off_but_waived_with_a_reason() -> None:
    assert all(rule.safety for rule in RULES)
    text = roast("chicken thighs", "70 C core")
    assert {"core-too-cool", "cannot-be-silenced"} == {
        one.rule for one in checked(f"checks\n  core-too-cool: off\n\n{text}")
    }
    waived = text.replace(
        "  serves: 4\n", "  serves: 4\n  waive: core-too-cool because it is held there for long\n"
    )
    assert told(waived) == []


def test_every_finding_defers_to_the_law() -> None:
    text = roast("chicken thighs", "70 C core")
    assert all("local food law" in one.help for one in found(text))
