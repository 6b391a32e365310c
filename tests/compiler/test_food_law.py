"""The lists of the food laws: how they are named, and what each holds. `outside/` holds them to the laws' texts."""

import pytest

from benchproof.compiler.food_law import (
    ALL_LISTS,
    ALLERGENS,
    AUSTRALIA_NEW_ZEALAND,
    EU,
    LAW_NAMES,
    US,
    allergen_word,
    law_named,
)
from benchproof.compiler.syntax import name_key


@pytest.mark.parametrize(
    ("name", "law"),
    [
        ("European Union", EU),
        ("the european union", EU),
        ("EU", EU),
        ("US", US),
        ("United States", US),
        ("Australia and New Zealand", AUSTRALIA_NEW_ZEALAND),
        ("New Zealand", AUSTRALIA_NEW_ZEALAND),
        ("Atlantis", None),
        ("United Kingdom", None),  # its list is like the European one, and it is not here
        ("", None),
    ],
)
def test_a_law_by_its_name(name: str, law: object) -> None:
    assert law_named(name) is law


def test_every_name_offered_is_one() -> None:
    laws = [law_named(name) for name in LAW_NAMES]
    assert None not in laws
    assert len(set(map(id, laws))) == len(LAW_NAMES)


@pytest.mark.parametrize("law", [EU, US, AUSTRALIA_NEW_ZEALAND, ALL_LISTS], ids=lambda law: law.name)
def test_a_law_declares_only_words_that_can_be_stated(law) -> None:
    assert set(law.declared) <= set(ALLERGENS.values())
    assert len(set(law.declared.values())) == len(law.declared), "two foods would print as one"


def test_no_word_of_any_law_is_lost_when_they_are_joined() -> None:
    assert set(ALL_LISTS.declared) == set(ALLERGENS.values())
    assert ALL_LISTS.union
    for law in (EU, US, AUSTRALIA_NEW_ZEALAND):
        assert set(law.declared) <= set(ALL_LISTS.declared)
        assert not law.union


def test_words_are_kept_by_the_form_that_is_compared() -> None:
    assert all(key == name_key(word) for key, word in ALLERGENS.items())


@pytest.mark.parametrize(
    ("written", "word"),
    [
        ("almond", "almond"),
        ("Almonds", "almond"),
        ("eggs", "egg"),
        ("Brazil nuts", "Brazil nut"),
        ("soya", "soy"),
        ("molluscs", "mollusc"),
        ("walnuts", "walnut"),
        ("pine nuts", "pine nut"),
        ("sulphur dioxide", "sulphites"),
        ("nuts", None),  # which?
        ("gluten", None),  # of which cereal?
        ("coconut", None),
        ("buckwheat", None),  # not wheat
        ("nutmeg", None),
        ("milk thistle", None),
    ],
)
def test_a_cook_s_word_and_the_list_s(written: str, word: str | None) -> None:
    assert allergen_word(written) == word


def test_every_word_of_every_law_s_list_means_itself() -> None:
    for word in ALLERGENS.values():
        assert allergen_word(word) == word
        assert allergen_word(word.upper()) == word
