"""What a food is, for safety: poultry, mince, fish, egg, something that spoils once it is cooked.

By its stated kind; of one nobody stated, by the words of its name, and then to the stricter reading.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from benchproof.compiler.formula import Formula, Item

MINCED: Final = frozenset(
    {
        "mince",
        "minced",
        "ground",
        "sausage",
        "sausages",
        "sausagemeat",
        "burger",
        "burgers",
        "patties",
        "meatballs",
    }
)
_POULTRY: Final = ("chicken", "turkey", "duck", "goose", "poultry", "fowl", "pheasant", "quail", "poussin")
_MEAT: Final = (
    "beef",
    "pork",
    "lamb",
    "veal",
    "mutton",
    "venison",
    "goat",
    "rabbit",
    "bacon",
    "ham",
    "gammon",
    "steak",
    "liver",
    "brisket",
    "mince",
    "sausage",
    "sausages",
    "sausagemeat",
    "burger",
    "burgers",
    "meatballs",
)
_FISH: Final = (
    "fish",
    "salmon",
    "cod",
    "tuna",
    "mackerel",
    "hoki",
    "snapper",
    "trout",
    "haddock",
    "herring",
    "eel",
    "kingfish",
    "sea bass",
)
_SHELLFISH: Final = (
    "prawns",
    "prawn",
    "shrimp",
    "mussels",
    "oysters",
    "clams",
    "scallops",
    "crab",
    "lobster",
    "squid",
)
_NO_FLESH: Final = frozenset(
    {
        "stock",
        "broth",
        "bouillon",
        "cube",
        "cubes",
        "powder",
        "sauce",
        "paste",
        "fat",
        "dripping",
        "seasoning",
        "spice",
        "rub",
        "salt",
        "gelatine",
        "egg",
        "eggs",
        "yolk",
        "yolks",
        "tomatoes",
        "vegan",
        "vegetarian",
    }
)
"""Words of a name that say it is no piece of flesh: chicken stock, beef tomatoes."""

_TINNED: Final = frozenset({"tinned", "canned", "tin", "smoked", "cooked", "pasteurised", "pasteurized"})


def words(item: Item) -> frozenset[str]:
    return frozenset(re.split(r"[\s-]+", item.name.key))


def _named(item: Item, names: Iterable[str]) -> bool:
    key = f" {item.name.key} "
    return any(f" {name} " in key for name in names)


def is_kind(item: Item, kind: str, *names: str) -> bool:
    """Whether a food is of a kind; of one nobody stated, whether its name says so."""
    if item.kind is None:
        return _named(item, names)
    return item.kind == kind


def known_safe(item: Item) -> bool:
    """Whether somebody stated that it may be eaten as bought."""
    return item.food is not None and item.food.eaten_raw is True


def pasteurised(item: Item) -> bool:
    """Whether it may be eaten raw: stated so, or its name says pasteurised."""
    return known_safe(item) or any(word.startswith(("pasteurised", "pasteurized")) for word in words(item))


def is_egg(item: Item) -> bool:
    return is_kind(item, "egg", "egg", "eggs", "yolk", "yolks") and not (
        item.kind is None and {"noodles", "pasta"} & words(item)
    )


def is_flour(item: Item) -> bool:
    return is_kind(item, "flour", "flour")


def _flesh(item: Item, kind: str, names: tuple[str, ...]) -> bool:
    if item.kind is None and _NO_FLESH & words(item):
        return False
    return is_kind(item, kind, *names)


def is_poultry(item: Item) -> bool:
    return _flesh(item, "poultry", _POULTRY)


def is_meat(item: Item) -> bool:
    return _flesh(item, "meat", _MEAT) and not is_poultry(item)


def is_minced(item: Item) -> bool:
    return bool(MINCED & words(item)) and (is_meat(item) or is_poultry(item))


def is_fish(item: Item) -> bool:
    return _flesh(item, "fish", _FISH) or is_shellfish(item)


def is_shellfish(item: Item) -> bool:
    return _flesh(item, "shellfish", _SHELLFISH)


def is_flesh(item: Item) -> bool:
    return is_poultry(item) or is_meat(item) or is_fish(item)


def is_raw_flesh(item: Item) -> bool:
    """Flesh that nobody said may be eaten as it is bought."""
    if item.kind is None and _TINNED & words(item):
        return False
    return is_flesh(item) and not known_safe(item)


def is_ham(item: Item) -> bool:
    """Ham that is bought cooked."""
    return is_meat(item) and "ham" in words(item) and (known_safe(item) or "cooked" in words(item))


_MILD_BEANS: Final = re.compile(
    r"\b(?:chick-?peas?|lentils?|peas?|mung|soya?|fava|broad|cocoa|coffee|vanilla|green|baked|jelly|tinned|canned)\b"
)


def is_bean_to_boil(item: Item) -> bool:
    """Kidney beans and their kin, dried: they hold a poison until they have boiled hard."""
    if item.kind not in ("pulse", None):
        return False
    names = [
        key
        for key in item.keys
        if re.search(r"\bbeans?\b", key) and (re.search(r"\bdried\b", key) or re.search(r"\bkidney\b", key))
    ]
    if known_safe(item) or any(re.search(r"\b(?:tinned|canned|tin|cooked)\b", key) for key in item.keys):
        return False
    return bool(names) and not any(_MILD_BEANS.search(key) for key in item.keys)


def is_poisonous_bean(item: Item) -> bool:
    """Red kidney beans: the ones with the most of that poison."""
    return is_bean_to_boil(item) and any("kidney" in key for key in item.keys)


_DRY_KINDS: Final = frozenset({"flour", "sugar", "syrup", "chocolate", "cocoa", "nut", "dried fruit", "seed"})
_COOKED_SPOIL: Final = frozenset({"grain", "pasta", "pulse", "vegetable"})
_SPOIL: Final = frozenset({"milk", "plant milk", "cream", "egg"})
_SPOIL_BY_NAME: Final = ("milk", "cream", "custard", "mayonnaise", "tofu", "sprouts", "stock", "broth")
_CUT: Final = re.compile(r"\b(?:melons?|watermelons?|cantaloupe|rockmelon|honeydew|sprouts?)\b")


def soft_cheese(item: Item) -> bool:
    """A cheese that is half water or more; of one whose water nobody stated, whether its name says so."""
    if item.kind != "cheese":
        return False
    if item.food is None or item.food.water is None:
        return _named(item, ("cream", "ricotta", "mascarpone", "cottage", "mozzarella", "curd"))
    return item.food.water >= Fraction(1, 2)


def spoils(item: Item, *, cooked: bool) -> bool:
    """Whether it has to be kept cold or hot: as it is bought, or once it has been cooked."""
    if item.product is not None:
        return any(dish_spoils(item.product))
    stated = item.food.spoils if item.food is not None else None
    if is_flesh(item):
        return stated is not False
    kind = item.kind
    if kind in _SPOIL or (kind is None and is_egg(item)):
        return stated is not False
    if kind == "cheese":
        return soft_cheese(item) and stated is not False
    if _CUT.search(item.name.key):
        return True
    if kind in _COOKED_SPOIL:
        return (cooked and not {"oats", "bran"} & words(item)) or (kind == "pulse" and stated is True)
    if kind is None:
        known = _named(item, (*_SPOIL_BY_NAME, *(("rice", "pasta", "noodles", "beans") if cooked else ())))
        return known or stated is True
    if kind in ("liquid", "puree", "prepared", "condiment"):
        return stated is True and "juice" not in words(item)
    return False


def dryness(items: Iterable[tuple[Item, Fraction]], *, cooked: bool) -> bool:
    """Whether what spoils in it is bound: a bread, a cake or a meringue dries as it bakes, a filling does not.

    Our own rule of thumb: flour is a fifth of the whole, or flour, sugar, chocolate and the like weigh half of what
    spoils, or an eighth of it is vinegar.
    """
    total = flour = dry = wet = sour = Fraction(0)
    for item, grams in items:
        total += grams
        if item.kind == "vinegar":
            sour += grams
        if is_flour(item):
            flour += grams
        if item.kind in _DRY_KINDS or is_flour(item) or {"oats", "bran"} & words(item):
            dry += grams
        if spoils(item, cooked=cooked):
            wet += grams
    return not wet or flour * 5 >= total or dry * 2 >= wet or sour * 8 >= total


def dish_spoils(formula: Formula) -> Iterator[bool]:
    """For each list of the recipe, whether what comes of it has to be kept cold."""
    for part in formula.listed:
        items = [(item, item.weight) for item in part.items if item.inside and item.weight]
        whole = sum((grams for _, grams in items), Fraction(0))
        wet = sum((grams for item, grams in items if spoils(item, cooked=True)), Fraction(0))
        much = whole * 20 >= formula.weight  # not a wash of egg that is brushed on and baked
        yield bool(wet) and much and wet * 20 >= whole and not dryness(items, cooked=True)


def deep(formula: Formula) -> Iterator[Item]:
    """Every line of a recipe, and in place of another recipe's product all that is in it."""
    for item in formula.items():
        yield from within(item)


def within(item: Item) -> Iterator[Item]:
    if item.product is None:
        yield item
        return
    yield from deep(item.product)
