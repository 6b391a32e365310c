"""The kitchen: names, the larder beneath, and what belongs to whom."""

from fractions import Fraction
from pathlib import Path

import pytest

from benchproof.compiler.food import KINDS, Food
from benchproof.compiler.kitchen import Kitchen, bench_files, kitchen_root, larder, open_kitchen
from benchproof.compiler.source import Place, Source, Span
from benchproof.compiler.syntax import Name
from tests.compiler.bench import batch_of, demo_kitchen, kitchen_of, line


def name(text: str) -> Name:
    return Name(text, Span(Place(Source(text)), 0, len(text)))


def food(kitchen: Kitchen, text: str) -> Food:
    found = kitchen.food(name(text))
    assert found is not None, text
    return found


# ---------------------------------------------------------------- the larder beneath


def test_a_kitchen_s_facts_lie_over_the_larder_s_label_by_label() -> None:
    kitchen = kitchen_of("ingredient eggs\n  piece: 62 g, 54 g usable\n")
    eggs = food(kitchen, "eggs")
    below = larder().food("eggs")
    assert below is not None
    assert (eggs.piece, eggs.piece_usable) == (62, 54)
    assert (eggs.kind, eggs.water, eggs.fat, eggs.contains, eggs.eaten_raw, eggs.words) == (
        below.kind, below.water, below.fat, below.contains, below.eaten_raw, below.words,
    )  # fmt: skip
    assert eggs.trim == Fraction(54, 62)
    assert food(kitchen, "egg") is eggs  # the larder's other names serve
    assert below.piece != 62, "the larder itself is as it was"


def test_a_kitchen_s_block_under_another_name_of_the_larder_s() -> None:
    kitchen = kitchen_of("ingredient bread flour\n  density: 0.6 g/ml\n")
    flour = food(kitchen, "bread flour")
    assert (flour.kind, flour.density, flour.contains) == ("flour", Fraction("0.6"), ("wheat",))


def test_two_foods_the_larder_takes_for_one_may_be_told_apart() -> None:
    kitchen = kitchen_of(
        "ingredient strong flour\n  density: 0.5 g/ml\n\ningredient bread flour\n  density: 0.6 g/ml\n"
    )
    assert not kitchen.findings
    assert food(kitchen, "strong flour").density == Fraction("0.5")
    assert food(kitchen, "bread flour").density == Fraction("0.6")


def test_butter_and_salted_butter_are_two_foods_and_almond_milk_is_not_milk() -> None:
    kitchen = kitchen_of()
    assert food(kitchen, "butter").salt != food(kitchen, "salted butter").salt
    assert food(kitchen, "almond milk").contains == ("almond",)
    assert kitchen.food(name("milk")) is None


def test_a_name_nobody_knows_is_no_food_and_no_plural_is_guessed() -> None:
    kitchen = kitchen_of("ingredient moonberry\n  kind: fruit\n")
    assert kitchen.food(name("moonberries")) is None
    assert food(kitchen, "the  MOONBERRY").kind == "fruit"


def test_facts_turn_into_numbers() -> None:
    kitchen = kitchen_of(
        "kitchen K\n  measures: US\n\ningredient stuff\n  kind: grain\n  water: 12.5 %\n  density: 120 g/cup\n"
        "  piece: 50 g\n  usable: 90 %\n  sprig: 1/2 g\n  contains: nothing\n  spoils: yes\n  eaten raw: no\n"
    )
    stuff = food(kitchen, "stuff")
    assert stuff.water == Fraction(1, 8)
    assert stuff.density == 120 / Fraction("236.5882365")  # the kitchen's own cup
    assert (stuff.piece, stuff.trim) == (50, Fraction(9, 10))
    assert stuff.word("sprig")[0] == Fraction(1, 2)
    assert (stuff.contains, stuff.spoils, stuff.eaten_raw) == ((), True, False)


def test_a_kind_nobody_knows_is_asked_about_and_not_taken() -> None:
    kitchen = kitchen_of("ingredient stuff\n  kind: fluor\n")
    assert [one.rule for one in kitchen.findings] == ["unknown-kind"]
    assert food(kitchen, "stuff").kind is None
    assert "flour" in kitchen.findings[0].help


def test_the_whole_larder_reads_clean() -> None:
    shelf = larder()
    assert len(shelf.food_names) > 200
    for one in shelf.food_names:
        found = shelf.food(name(one).key)
        assert found is not None
        assert found.kind in KINDS, one
        for share in (found.water, found.fat, found.sugar, found.salt, found.milk_solids, found.usable):
            assert share is None or 0 <= share <= 1, one
        assert 0 < found.trim <= 1, one
    for one in shelf.style_names:
        style = shelf.style(name(one).key)
        assert style is not None
        assert style.source
        assert style.bounds


def test_no_name_of_the_larder_means_two_foods() -> None:
    seen: dict[str, str] = {}
    shelf = larder()
    for one in shelf.food_names:
        found = shelf.food(name(one).key)
        assert found is not None
        for key in found.keys:
            assert seen.setdefault(key, found.name) == found.name, key


def test_a_part_of_an_egg_weighs_as_much_as_the_egg() -> None:
    eggs = larder().food("eggs")
    assert eggs is not None
    assert eggs.word("yolk")[1] + eggs.word("white")[1] == eggs.piece_usable


# ---------------------------------------------------------------- names that clash


@pytest.mark.parametrize(
    "text",
    [
        "kitchen A\n\nkitchen B\n",
        "recipe A\n\ningredients\n  rice: 1 g\n\nrecipe a\n\ningredients\n  rice: 1 g\n",
        "recipe A\n  also: the B\n\ningredients\n  rice: 1 g\n\nrecipe B\n\ningredients\n  rice: 1 g\n",
        "ingredient stuff\n\ningredient Stuff\n",
        "ingredient stuff\n  also: fluff\n\ningredient fluff\n",
        "style s\n  salt: 1 %\n\nstyle S\n  salt: 1 %\n",
    ],
)
def test_two_of_one_name(text: str) -> None:
    (finding,) = kitchen_of(text).findings
    assert finding.rule == "defined-twice"
    assert finding.span.line > finding.also[0].span.line


def test_the_clash_is_seen_across_files() -> None:
    one = "recipe A\n\ningredients\n  rice: 1 g\n"
    (finding,) = kitchen_of(one, one).findings
    assert finding.span.source.name == "text2.bench"
    assert finding.also[0].span.source.name == "text1.bench"


def test_two_recipes_may_have_a_part_and_a_step_of_one_name() -> None:
    one = "recipe {}\n\ningredients for the top\n  rice: 1 g\n\nstep Mix\n  [the rice]\n\n"
    kitchen = kitchen_of(one.format("A") + one.format("B"))
    assert not kitchen.findings
    assert [len(recipe.steps) for recipe in kitchen.own_recipes()] == [1, 1]


def test_a_block_under_no_recipe() -> None:
    (finding,) = kitchen_of("ingredients\n  rice: 1 g\n").findings
    assert finding.rule == "no-recipe-above"
    # A shared block ends the recipe above it, and so does the end of a file.
    (finding,) = kitchen_of(
        "recipe A\n\ningredients\n  rice: 1 g\n\nstyle s\n  salt: 1 %\n\nstep Mix\n  x\n"
    ).findings
    assert finding.rule == "no-recipe-above"
    assert [
        one.rule for one in kitchen_of("recipe A\n\ningredients\n  rice: 1 g\n", "step Mix\n  x\n").findings
    ] == ["no-recipe-above"]


# ---------------------------------------------------------------- settings


def test_settings() -> None:
    settings = kitchen_of(
        "kitchen Saltmarsh\n  currency: NZD\n  food law: European Union\n  measures: Australian\n"
        "  scales: 1 g to 5 kg, 0.1 g to 500 g\n  costed on: 2026-11-20\n  prices go stale after: 3 weeks\n"
    ).settings
    assert (settings.name, settings.currency, settings.measures) == ("Saltmarsh", "NZD", "Australian")
    assert settings.law.name == "the European Union"
    assert settings.scales == ((Fraction(1, 10), Fraction(500)), (Fraction(1), Fraction(5000)))
    assert (settings.costed_on, settings.stale_after) == ("2026-11-20", 21)


def test_a_kitchen_that_says_nothing() -> None:
    settings = kitchen_of().settings
    assert (settings.name, settings.currency, settings.measures, settings.scales) == (
        None,
        None,
        "metric",
        (),
    )
    assert settings.law.union
    assert (settings.costed_on, settings.stale_after) == (None, None)


# ---------------------------------------------------------------- folders


def test_a_folder_is_one_kitchen_down_to_another_kitchen(tmp_path: Path) -> None:
    (tmp_path / "kitchen.bench").write_text("kitchen Top\n")
    (tmp_path / "a.bench").write_text("recipe A\n\ningredients\n  B: 1 g\n")
    (tmp_path / "deep" / "er").mkdir(parents=True)
    (tmp_path / "deep" / "er" / "b.bench").write_text("recipe B\n\ningredients\n  rice: 1 g\n")
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "kitchen.bench").write_text("kitchen Other\n")
    (tmp_path / "other" / "c.bench").write_text("recipe C\n\ningredients\n  rice: 1 g\n")
    (tmp_path / ".hidden").mkdir()
    (tmp_path / ".hidden" / "d.bench").write_text("recipe D\n\ningredients\n  rice: 1 g\n")
    (tmp_path / "notes.txt").write_text("recipe E\n")
    for start in (tmp_path, tmp_path / "a.bench", tmp_path / "deep", tmp_path / "deep" / "er" / "b.bench"):
        kitchen = open_kitchen(start)
        assert kitchen.settings.name == "Top"
        assert [one.name.text for one in kitchen.own_recipes()] == ["A", "B"]
        assert not kitchen.findings
    assert [one.name for one in open_kitchen(tmp_path).sources] == [
        "a.bench",
        "deep/er/b.bench",
        "kitchen.bench",
    ]
    assert open_kitchen(tmp_path / "other").settings.name == "Other"
    assert kitchen_root(tmp_path / "other" / "c.bench") == tmp_path / "other"
    assert [path.name for path in bench_files(tmp_path / "other")] == ["c.bench", "kitchen.bench"]


def test_a_lone_file_and_a_folder_without_a_kitchen(tmp_path: Path) -> None:
    (tmp_path / "a.bench").write_text("recipe A\n\ningredients\n  rice: 1 g\n")
    (tmp_path / "b.bench").write_text("recipe B\n\ningredients\n  rice: 1 g\n")
    if kitchen_root(tmp_path) is None:
        assert [one.name.text for one in open_kitchen(tmp_path / "a.bench").own_recipes()] == ["A"]
        assert [one.name.text for one in open_kitchen(tmp_path).own_recipes()] == ["A", "B"]


def test_the_demo_kitchen_is_clean_and_does_not_see_the_broken_one() -> None:
    kitchen = demo_kitchen()
    assert not kitchen.findings
    assert not any(source.name.startswith("broken/") for source in kitchen.sources)


def test_another_name_of_a_recipe_serves() -> None:
    batch = batch_of(
        "recipe A\n\ningredients\n  The Stewed Rhubarb: 10 g\n\n"
        "recipe Compote\n  also: stewed rhubarb\n\ningredients\n  rhubarb: 5 g\n"
    )
    assert line(batch, "The Stewed Rhubarb").recipe == "Compote"


def test_a_recipe_named_after_its_main_food_is_not_in_itself() -> None:
    batch = batch_of("recipe Couscous\n\ningredients\n  couscous: 150 g\n  water: 200 g\n")
    assert line(batch, "couscous").recipe is None
