"""Which allergens a food law wants named, and in which words.

The larder states what a food contains in the most granular words any of the laws uses (`wheat`, `almond`,
`celery`). A law's list turns those into the words it prints. With no law given, the lists are joined and the
most granular word is printed, so that nothing is lost.

Sources: Regulation (EU) No 1169/2011, Annex II; FD&C Act 201(qq) with FALCPA 2004 and the FASTER Act 2021
(US); FSANZ Standard 1.2.3 and Schedule 9, required names (in part from memory, see each row of the published
table in `tests/outside/`). This names allergens; it does not replace the law or its advice.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from benchproof.compiler.syntax import name_key

_CEREALS: Final = ("wheat", "rye", "barley", "oats")
_EU_NUTS: Final = (
    "almond",
    "hazelnut",
    "walnut",
    "cashew",
    "pecan",
    "Brazil nut",
    "pistachio",
    "macadamia",
)
_NUTS: Final = (*_EU_NUTS, "pine nut")
_PLAIN: Final = (
    "crustacean",
    "mollusc",
    "egg",
    "fish",
    "peanut",
    "soy",
    "milk",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
)

ALLERGENS: Final[MappingProxyType[str, str]] = MappingProxyType(
    {name_key(word): word for word in (*_CEREALS, *_NUTS, *_PLAIN)}
)
"""Every word `contains` and `may contain` may use, by its compared form."""

_OTHER_FORMS: Final = {
    "crustacean": ("crustaceans",),
    "mollusc": ("molluscs", "mollusk", "mollusks"),
    "egg": ("eggs",),
    "peanut": ("peanuts",),
    "soy": ("soya", "soybean", "soybeans", "soya beans"),
    "oats": ("oat",),
    "sesame": ("sesame seed", "sesame seeds"),
    "sulphites": ("sulphite", "sulfites", "sulphur dioxide"),
    "Brazil nut": ("Brazil nuts", "Brazils"),
} | {
    word: (f"{word}s", f"{word} nut", f"{word} nuts")
    for word in _NUTS
    if word not in ("Brazil nut", "pine nut")
}
_FORMS: Final = {
    name_key(form): word
    for word, forms in (_OTHER_FORMS | {"pine nut": ("pine nuts",)}).items()
    for form in forms
}


def allergen_word(text: str) -> str | None:
    """The word of the lists that a cook's word means (`almonds`: almond); None when no list knows it."""
    return ALLERGENS.get(name_key(text)) or _FORMS.get(name_key(text))


@dataclass(frozen=True, slots=True)
class FoodLaw:
    """A law's list: the larder's word to the words the law prints. A word it does not list is absent."""

    name: str
    declared: MappingProxyType[str, str]
    union: bool = False


def _law(name: str, declared: dict[str, str], *, union: bool = False) -> FoodLaw:
    return FoodLaw(name, MappingProxyType(declared), union)


EU: Final = _law(
    "the European Union",
    {word: f"cereals containing gluten ({word})" for word in _CEREALS}
    | {word: f"nuts ({word})" for word in _EU_NUTS}
    | {
        "crustacean": "crustaceans",
        "mollusc": "molluscs",
        "egg": "eggs",
        "fish": "fish",
        "peanut": "peanuts",
        "soy": "soybeans",
        "milk": "milk",
        "celery": "celery",
        "mustard": "mustard",
        "sesame": "sesame seeds",
        "sulphites": "sulphur dioxide and sulphites",
        "lupin": "lupin",
    },
)
US: Final = _law(
    "the United States",
    {"wheat": "wheat"}
    | {word: f"tree nuts ({word})" for word in _NUTS}
    | {
        "crustacean": "crustacean shellfish",
        "egg": "eggs",
        "fish": "fish",
        "peanut": "peanuts",
        "soy": "soybeans",
        "milk": "milk",
        "sesame": "sesame",
    },
)
AUSTRALIA_NEW_ZEALAND: Final = _law(
    "Australia and New Zealand",
    {"wheat": "wheat (gluten)"}
    | {word: f"{word} (gluten)" for word in _CEREALS[1:]}
    | {word: word for word in _NUTS}
    | {word: word for word in _PLAIN if word not in ("celery", "mustard")},
)
ALL_LISTS: Final = _law(
    "all lists joined",
    {"wheat": "wheat (gluten)"}
    | {word: f"{word} (gluten)" for word in _CEREALS[1:]}
    | {word: word for word in (*_NUTS, *_PLAIN)},
    union=True,
)

_LAWS: Final = {
    name_key(name): law
    for law, names in (
        (EU, ("European Union", "the European Union", "EU", "Europe")),
        (US, ("United States", "US", "USA", "United States of America")),
        (
            AUSTRALIA_NEW_ZEALAND,
            ("Australia and New Zealand", "New Zealand and Australia", "Australia", "New Zealand"),
        ),
    )
    for name in names
}
LAW_NAMES: Final = ("European Union", "United States", "Australia and New Zealand")


def law_named(name: str) -> FoodLaw | None:
    """The law a kitchen names, None when it is not one we have a list for."""
    return _LAWS.get(name_key(name))
