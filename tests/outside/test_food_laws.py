"""The allergen lists against the published rows of three food laws.

`data/allergens.csv` names the text each row comes from, and whether it was read (`seen`) or recalled
(`memory`). What the list of a law holds, and what it leaves out beside the others, must be what the rows say.
"""

import csv
from pathlib import Path

import pytest

from benchproof.compiler.food_law import ALL_LISTS, AUSTRALIA_NEW_ZEALAND, EU, US, FoodLaw

pytestmark = pytest.mark.outside

with (Path(__file__).parent / "data" / "allergens.csv").open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))


def rows(jurisdiction: str) -> list[dict[str, str]]:
    return [row for row in ROWS if row["jurisdiction"] == jurisdiction and row["item"].isdigit()]


def listed(text: str) -> set[str]:
    return {word.strip() for word in text.split(",")}


def test_every_row_says_where_it_is_from() -> None:
    for row in ROWS:
        assert row["source"]
        assert row["seen"] in ("seen", "memory", "derived")


def test_how_long_each_list_is() -> None:
    assert [len(rows(one)) for one in ("EU", "US", "AU/NZ")] == [14, 9, 23]


# The law's own words for an item, in the small letters of a sentence: our words for what it covers.
EUROPEAN = {
    "Crustaceans": "crustacean",
    "Eggs": "egg",
    "Fish": "fish",
    "Peanuts": "peanut",
    "Soybeans": "soy",
    "Milk (including lactose)": "milk",
    "Celery": "celery",
    "Mustard": "mustard",
    "Sesame seeds": "sesame",
    "Sulphur dioxide and sulphites": "sulphites",
    "Lupin": "lupin",
    "Molluscs": "mollusc",
}


def test_the_european_list() -> None:
    expected: set[str] = set()
    for row in rows("EU"):
        name = row["declared_as"]
        if name == "Cereals containing gluten":
            # The row names wheat with spelt and khorasan, rye, barley and oats, and their hybrids.
            assert all(word in row["members"] for word in ("wheat", "rye", "barley", "oats"))
            for word in ("wheat", "rye", "barley", "oats"):
                assert EU.declared[word] == f"{name.lower()} ({word})"
                expected.add(word)
        elif name == "Nuts":
            for word in listed(row["members"]):
                word = word.split("/")[0]  # macadamia/Queensland nut
                assert EU.declared[word] == f"nuts ({word})", "the nut itself is named, not only the group"
                expected.add(word)
        else:
            word = EUROPEAN[name]
            assert EU.declared[word] == name.removesuffix(" (including lactose)").lower()
            expected.add(word)
    assert set(EU.declared) == expected


AMERICAN = {
    "Milk": "milk",
    "Eggs": "egg",
    "Fish": "fish",
    "Crustacean shellfish": "crustacean",
    "Peanuts": "peanut",
    "Wheat": "wheat",
    "Soybeans": "soy",
    "Sesame": "sesame",
}


def test_the_american_list() -> None:
    expected: set[str] = set()
    (nuts,) = [row for row in ROWS if row["jurisdiction"] == "US" and row["item"] == "note"]
    for row in rows("US"):
        name = row["declared_as"]
        if name == "Tree nuts":
            continue
        word = AMERICAN[name]
        assert US.declared[word] == name.lower()
        expected.add(word)
    # The row of the nuts is from memory, and says to verify it: what we list must at least be in it.
    assert nuts["seen"] == "memory"
    ours = set(US.declared) - expected
    for word in ours:
        assert US.declared[word] == f"tree nuts ({word})"
        assert word in listed(nuts["members"].split(" and ")[0]), word
    assert ours == set(AUSTRALIA_NEW_ZEALAND.declared) & ours


def test_the_list_of_australia_and_new_zealand() -> None:
    expected: set[str] = set()
    for row in rows("AU/NZ"):
        word = "soy" if row["declared_as"].startswith("soy") else row["declared_as"]
        word = word or row["members"].removeprefix("summary statement: ")
        summary = row["members"].removeprefix("summary statement: ")
        printed = AUSTRALIA_NEW_ZEALAND.declared[word]
        assert printed.startswith(word)
        if "gluten" in summary:
            assert "gluten" in printed
        else:
            assert printed == summary
        expected.add(word)
    assert set(AUSTRALIA_NEW_ZEALAND.declared) == expected


def crosswalk(item: str) -> set[str]:
    return next(listed(row["declared_as"] or row["members"]) for row in ROWS if row["item"] == item)


def test_what_one_law_lists_and_another_does_not() -> None:
    au, eu, us = (set(law.declared) for law in (AUSTRALIA_NEW_ZEALAND, EU, US))
    assert eu - au == {"celery", "mustard"}
    assert au - eu == {"pine nut"}
    assert (au & eu) - us == {"lupin", "mollusc", "sulphites", "barley", "rye", "oats"}
    assert us <= au
    items = {row["item"]: row for row in ROWS if row["jurisdiction"] == "crosswalk"}
    for item, words in (
        ("EU not AU", eu - au),
        ("AU not EU", au - eu),
        ("AU and EU, not US", (au & eu) - us),
    ):
        text = " ".join(items[item].values()).lower()
        assert all(word in text for word in words), item


@pytest.mark.parametrize("law", [EU, US, AUSTRALIA_NEW_ZEALAND], ids=lambda law: law.name)
def test_nothing_is_lost_where_no_law_is_given(law: FoodLaw) -> None:
    assert set(law.declared) <= set(ALL_LISTS.declared)
