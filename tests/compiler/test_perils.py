"""What a food is, for safety: by its kind, else by its name, and then to the stricter reading."""

import pytest

from benchproof.compiler import perils
from benchproof.compiler.formula import Item
from tests.compiler.bench import compile_text


def item(name: str, *facts: str, amount: str = "100 g") -> Item:
    block = f"\ningredient {name}\n" + "".join(f"  {fact}\n" for fact in facts) if facts else ""
    return next(compile_text(f"recipe T\n\ningredients\n  {name}: {amount}\n{block}").formula.items())


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("chicken thighs", perils.is_poultry),
        ("wild duck breasts", perils.is_poultry),
        ("guinea fowl", perils.is_poultry),
        ("beef mince", perils.is_minced),
        ("chicken mince", perils.is_minced),
        ("venison burgers", perils.is_minced),
        ("pork shoulder", perils.is_meat),
        ("saddle of venison", perils.is_meat),
        ("salmon", perils.is_fish),
        ("river eel", perils.is_fish),
        ("mussels", perils.is_shellfish),
        ("quail eggs", perils.is_egg),
        ("eggs", perils.is_egg),
        ("heritage flour", perils.is_flour),
        ("ham", perils.is_ham),
    ],
)
def test_by_kind_or_by_name(name: str, what: object) -> None:
    assert callable(what)
    assert what(item(name))


@pytest.mark.parametrize(
    "name",
    [
        "chicken stock",
        "beef tomatoes",
        "fish sauce",
        "duck eggs",
        "goose fat",
        "ham stock cubes",
        "steak seasoning",
    ],
)
def test_what_is_named_after_flesh_and_is_none(name: str) -> None:
    assert not perils.is_flesh(item(name))


@pytest.mark.parametrize("name", ["tinned tuna", "smoked trout", "ham", "anchovies"])
def test_flesh_that_is_eaten_as_it_is(name: str) -> None:
    assert not perils.is_raw_flesh(item(name))


def test_a_stated_kind_goes_before_the_name() -> None:
    assert not perils.is_poultry(item("chicken of the woods", "kind: vegetable"))
    assert perils.is_fish(item("quay catch", "kind: fish"))


def test_silence_about_eating_raw_is_not_taken_for_yes() -> None:
    assert perils.is_raw_flesh(item("quay catch", "kind: fish"))
    assert not perils.is_raw_flesh(item("quay catch", "kind: fish", "eaten raw: yes"))


@pytest.mark.parametrize("name", ["pasteurised egg", "pasteurized egg yolks"])
def test_pasteurised_by_its_name(name: str) -> None:
    assert perils.pasteurised(item(name))
    assert not perils.pasteurised(item("eggs"))


@pytest.mark.parametrize(
    "name", ["dried kidney beans", "dried haricot beans", "dried borlotti beans", "dried red kidney beans"]
)
def test_beans_to_boil(name: str) -> None:
    assert perils.is_bean_to_boil(item(name))


@pytest.mark.parametrize(
    "name",
    [
        "dried chickpeas",
        "red lentils",
        "tinned kidney beans",
        "green beans",
        "split peas",
        "dried mung beans",
    ],
)
def test_beans_that_need_no_hard_boil(name: str) -> None:
    assert not perils.is_bean_to_boil(item(name))


def test_kidney_beans_are_the_worst() -> None:
    assert perils.is_poisonous_bean(item("dried kidney beans"))
    assert not perils.is_poisonous_bean(item("dried haricot beans"))


@pytest.mark.parametrize(
    ("name", "raw", "cooked"),
    [
        ("chicken thighs", True, True),
        ("white rice", False, True),
        ("dried pasta", False, True),
        ("brown lentils", False, True),
        ("tinned chickpeas", True, True),
        ("potatoes", False, True),
        ("whole milk", True, True),
        ("eggs", True, True),
        ("beef stock", True, True),
        ("mayonnaise", True, True),
        ("cream cheese", True, True),
        ("cheddar", False, False),
        ("orange juice", False, False),
        ("butter", False, False),
        ("strong flour", False, False),
        ("caster sugar", False, False),
        ("apples", False, False),
        ("anchovies", False, False),
        ("rolled oats", False, False),
        ("cut watermelon", True, True),
        ("wild rice", False, True),
        ("quay custard", True, True),
    ],
)
def test_what_spoils_raw_and_once_cooked(name: str, raw: bool, cooked: bool) -> None:
    assert perils.spoils(item(name), cooked=False) is raw
    assert perils.spoils(item(name), cooked=True) is cooked


@pytest.mark.parametrize(
    ("lines", "kept_cold"),
    [
        ("  plain flour: 200 g\n  eggs: 200 g\n  caster sugar: 200 g\n  butter: 200 g\n", False),
        ("  egg whites: 150 g\n  caster sugar: 300 g\n", False),
        ("  dark chocolate: 200 g\n  double cream: 200 g\n", False),
        ("  whole milk: 500 g\n  egg yolks: 80 g\n  caster sugar: 60 g\n", True),
        ("  plain flour: 20 g\n  whole milk: 400 g\n", True),
        ("  red onions: 300 g\n  cider vinegar: 100 g\n", False),
        ("  apples: 800 g\n  caster sugar: 60 g\n", False),
        ("  olive oil: 90 g\n  white wine vinegar: 30 g\n", False),
    ],
)
def test_which_dishes_have_to_be_kept_cold(lines: str, kept_cold: bool) -> None:
    formula = compile_text(f"recipe T\n\ningredients\n{lines}").formula
    assert any(perils.dish_spoils(formula)) is kept_cold


def test_flour_counts_from_a_fifth_of_the_whole() -> None:
    def of(flour: int) -> bool:
        lines = f"  plain flour: {flour} g\n  whole milk: {1000 - flour} g\n"
        return any(perils.dish_spoils(compile_text(f"recipe T\n\ningredients\n{lines}").formula))

    assert not of(200)
    assert of(199)


def test_a_wash_that_is_brushed_on_does_not_make_a_loaf_spoil() -> None:
    loaf = "recipe T\n\ningredients\n  strong flour: 500 g\n  water: 300 g\n\ningredients for the wash\n  eggs: {} g\n"
    assert not any(perils.dish_spoils(compile_text(loaf.format(30)).formula))
    assert any(perils.dish_spoils(compile_text(loaf.format(200)).formula))


def test_a_filling_that_is_a_recipe_of_its_own_spoils_as_it_does() -> None:
    text = (
        "recipe T\n\ningredients\n  cream filling: 100 g\n\n"
        "recipe Cream filling\n\ningredients\n  double cream: 100 g\n"
    )
    compiled = compile_text(text)
    (line,) = compiled.formula.items()
    assert perils.spoils(line, cooked=False)
    assert [one.name.text for one in perils.deep(compiled.formula)] == ["double cream"]
