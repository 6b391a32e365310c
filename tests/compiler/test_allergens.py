"""Allergens: what is stated, what is not, and that silence is never taken for none."""

from importlib.resources import files
from pathlib import Path

import pytest

from benchproof.compiler.batch import Allergens
from benchproof.compiler.blocks import cut
from benchproof.compiler.compile import Compiler
from benchproof.compiler.formula import Formula, Item
from benchproof.compiler.kitchen import Kitchen, Larder, larder
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source
from tests.compiler.bench import DAY, batch_of, compile_text, demo, demo_batch, demo_texts, kitchen_of


def stated(body: str, *more: str) -> Allergens:
    return batch_of(f"recipe T\n\ningredients\n{body}", *more).allergens


def words(found: Allergens) -> dict[str, tuple[str, ...]]:
    return {one.name: one.foods for one in found.contains}


# ---------------------------------------------------------------- what counts


def test_every_line_counts_whatever_its_purpose_and_amount() -> None:
    found = stated(
        "  strong flour: 100 g\n  rye flour: 1 g, for the bench\n  parmesan: to taste\n  eggs: 1\n\n"
        "ingredients for the top\n  sesame seeds: 5 g and to taste\n"
    )
    assert words(found) == {
        "wheat (gluten)": ("strong flour",),
        "rye (gluten)": ("rye flour",),
        "milk": ("parmesan",),
        "egg": ("eggs",),
        "sesame": ("sesame seeds",),
    }
    assert found.not_stated == ()
    assert found.union


def test_a_food_nobody_knows_is_not_stated() -> None:
    found = stated("  strong flour: 100 g\n  moonberries: 5 g\n")
    assert found.not_stated == ("moonberries",)
    assert list(words(found)) == ["wheat (gluten)"]


def test_a_food_known_but_for_its_allergens_is_not_stated_and_nothing_is_a_statement() -> None:
    unsaid = "ingredient moonberries\n  kind: fruit\n"
    assert stated("  moonberries: 5 g\n", unsaid).not_stated == ("moonberries",)
    found = stated("  moonberries: 5 g\n", unsaid + "  contains: nothing\n")
    assert (found.not_stated, found.contains) == ((), ())


def test_the_larder_does_not_guess_at_an_oil_of_no_name() -> None:
    assert stated("  neutral oil: 5 g\n").not_stated == ("neutral oil",)


def test_contains_only_adds() -> None:
    found = stated("  strong flour: 5 g\n", "ingredient strong flour\n  contains: soy\n")
    assert set(words(found)) == {"wheat (gluten)", "soy"}
    found = stated("  strong flour: 5 g\n", "ingredient strong flour\n  contains: nothing\n")
    assert set(words(found)) == {"wheat (gluten)"}


def test_contains_instead_replaces() -> None:
    found = stated("  strong flour: 5 g\n", "ingredient strong flour\n  contains: instead rye, soy\n")
    assert set(words(found)) == {"rye (gluten)", "soy"}
    found = stated("  strong flour: 5 g\n", "ingredient strong flour\n  contains: instead nothing\n")
    assert (words(found), found.not_stated) == ({}, ())


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_a_second_ingredient_of_the_kitchen_does_not_wipe_out_the_first(order: tuple[int, int]) -> None:
    # The larder calls both of these names one food; this kitchen tells them apart.
    blocks = ["ingredient strong flour\n  contains: soy\n", "ingredient bread flour\n  contains: lupin\n"]
    more = "\n".join(blocks[index] for index in order)
    assert {"soy", "wheat (gluten)"} <= set(words(stated("  strong flour: 5 g\n", more)))
    assert {"lupin", "wheat (gluten)"} <= set(words(stated("  bread flour: 5 g\n", more)))


@pytest.mark.parametrize(
    ("contains", "word"),
    [("Wheat", "wheat (gluten)"), ("BRAZIL NUT", "Brazil nut"), ("brazil  nut", "Brazil nut")],
)
def test_a_word_is_known_whatever_its_case(contains: str, word: str) -> None:
    assert list(words(stated("  fluff: 1 g\n", f"ingredient fluff\n  contains: {contains}\n"))) == [word]


def test_a_word_no_law_lists_is_printed_as_written_and_asked_about() -> None:
    more = "ingredient fluff\n  contains: kiwifruit, wheet\n"
    found = stated("  fluff: 1 g\n", more)
    assert set(words(found)) == {"kiwifruit", "wheet"}
    findings = kitchen_of(more).findings
    assert [one.rule for one in findings] == ["unknown-allergen", "unknown-allergen"]
    assert "wheat" in findings[1].help


def test_may_contain_is_kept_apart_and_what_is_in_is_not_said_twice() -> None:
    compiled = compile_text(
        "recipe T\n  may contain: peanut, wheat, kiwifruit, nothing much\n\ningredients\n  strong flour: 1 g\n"
    )
    assert compiled.batch is not None
    assert "peanut" in compiled.batch.allergens.may_contain
    assert "kiwifruit" in compiled.batch.allergens.may_contain
    assert "wheat (gluten)" not in compiled.batch.allergens.may_contain
    assert [one.rule for one in compiled.findings] == ["unknown-allergen"] * 2


def test_only_may_contain_says_what_a_recipe_may_contain() -> None:
    found = batch_of(
        "recipe T\n  tags: milk, quick\n  also: fish\n  may contain: peanut\n\ningredients\n  caster sugar: 1 g\n"
    ).allergens
    assert found.may_contain == ("peanut",)


def test_recipes_as_ingredients_bring_their_own_to_any_depth() -> None:
    found = batch_of(
        "recipe A\n\ningredients\n  B: 1 g\n\nrecipe B\n  may contain: peanut\n\ningredients\n  C: 1 g\n  eggs: 1\n\n"
        "recipe C\n  may contain: lupin\n\ningredients\n  whole milk: 1 g, for the pan\n  moonberries: 1 g\n"
    ).allergens
    assert words(found) == {"egg": ("eggs",), "milk": ("whole milk",)}
    assert found.may_contain == ("peanut", "lupin")
    assert found.not_stated == ("moonberries",)


# ---------------------------------------------------------------- laws

EVERYTHING = (
    "wheat", "rye", "barley", "oats", "almond", "hazelnut", "walnut", "cashew", "pecan", "Brazil nut",
    "pistachio", "macadamia", "pine nut", "crustacean", "mollusc", "egg", "fish", "peanut", "soy", "milk", "celery",
    "mustard", "sesame", "sulphites", "lupin",
)  # fmt: skip


@pytest.mark.parametrize(
    ("law", "left_out"),
    [
        (None, set()),
        ("Australia and New Zealand", {"celery", "mustard"}),
        ("European Union", {"pine nut"}),
        ("United States", {"celery", "mustard", "lupin", "mollusc", "sulphites", "rye", "barley", "oats"}),
    ],
)
def test_a_law_prints_what_it_lists(law: str | None, left_out: set[str]) -> None:
    kitchen = f"kitchen K\n  food law: {law}\n" if law else "kitchen K\n  language: 1\n"
    facts = "\n".join(f"ingredient food{n}\n  contains: {word}\n" for n, word in enumerate(EVERYTHING))
    lines = "".join(f"  food{n}: 1 g\n" for n in range(len(EVERYTHING)))
    found = stated(lines, kitchen, facts)
    foods = {food for one in found.contains for food in one.foods}
    missing = {word for n, word in enumerate(EVERYTHING) if f"food{n}" not in foods}
    assert missing == left_out
    assert found.not_stated == ()
    assert found.union is (law is None)


def test_the_joined_list_keeps_the_most_granular_word() -> None:
    facts = "\n".join(f"ingredient food{n}\n  contains: {word}\n" for n, word in enumerate(EVERYTHING))
    found = stated("".join(f"  food{n}: 1 g\n" for n in range(len(EVERYTHING))), facts)
    assert len(found.contains) == len(EVERYTHING)
    for n, word in enumerate(EVERYTHING):
        (name,) = [one.name for one in found.contains if one.foods == (f"food{n}",)]
        assert name.startswith(word)


def test_a_law_nobody_knows_joins_every_list_and_says_so() -> None:
    kitchen = kitchen_of("kitchen K\n  food law: Atlantis\n")
    assert [one.rule for one in kitchen.findings] == ["unknown-food-law"]
    assert kitchen.settings.law.union


# ---------------------------------------------------------------- silence


def without_contains(text: str, name: str) -> str:
    """A text without the `contains` line of one ingredient."""
    lines: list[str] = []
    inside = False
    for line in text.splitlines():
        if line and line[0] not in " #":
            inside = line == f"ingredient {name}"
        if not (inside and line.strip().startswith("contains:")):
            lines.append(line)
    return "\n".join(lines) + "\n"


class Unsaid(Larder):
    """The built-in larder, read from a copy of its text in which one food's allergens are not stated."""

    def __init__(self, name: str) -> None:
        whole = larder()  # opened once: every other block is the very same
        self.__dict__.update(whole.__dict__ | {"_raw": dict(whole._raw), "_foods": {}, "_styles": {}})
        self.unsaid = False
        for path in sorted(Path(str(files("benchproof.compiler.larder"))).glob("*.bench")):
            text = path.read_text(encoding="utf-8")
            if f"\ningredient {name}\n" in text:
                self.unsaid = without_contains(text, name) != text
                for raw in cut(Source(without_contains(text, name), path.name)):
                    self._index(raw)


def foods_of(formula: Formula) -> list[Item]:
    return [
        item
        for one in formula.items()
        for item in (foods_of(one.product) if one.product is not None else [one])
    ]


@pytest.mark.parametrize("stem", ["quay-leek-tart", "regatta-day-bake", "pilot-boat-pikelets"])
def test_unsaying_what_any_one_food_contains_says_so_and_loses_no_other_word(
    stem: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = demo_batch(stem).allergens
    items = foods_of(demo(stem).formula)
    needed = {"kitchen.bench", "larder.bench", "rhubarb-compote.bench", f"{stem}.bench"}
    written = {file: text for file, text in demo_texts().items() if file in needed}
    tried = 0
    for name in sorted({item.food.name for item in items if item.food and item.food.contains is not None}):
        below = Unsaid(name)
        texts = {file: without_contains(text, name) for file, text in written.items()}
        assert below.unsaid or texts != written, name
        with monkeypatch.context() as patch:
            patch.setattr("benchproof.compiler.kitchen.larder", lambda below=below: below)
            kitchen = Kitchen([Source(text, file) for file, text in texts.items()])
        recipe = next(one for one in kitchen.own_recipes() if one.source.name == f"{stem}.bench")
        batch = Compiler(kitchen).compile(recipe, Request(on=DAY)).batch
        assert batch is not None
        found = batch.allergens
        gone = {item.name.text for item in items if item.food and item.food.name == name}
        assert gone <= set(found.not_stated), name
        before = {(one.name, food) for one in whole.contains for food in one.foods if food not in gone}
        assert {(one.name, food) for one in found.contains for food in one.foods} == before, name
        assert set(whole.not_stated) <= set(found.not_stated)
        tried += 1
    assert tried > 3
