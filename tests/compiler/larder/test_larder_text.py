"""The built-in larder, read as plain text: what every block must say, whoever edits it.

Simple string code on purpose, so that a fault in the reader cannot hide a fault in the facts.
"""

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

LARDER = Path(__file__).resolve().parents[3] / "compiler" / "larder"

KINDS = {
    *("flour", "starch", "liquid", "milk", "plant milk", "cream", "yoghurt", "cheese", "egg", "fat", "oil"),
    *(
        "sugar",
        "syrup",
        "salt",
        "instant yeast",
        "active dry yeast",
        "fresh yeast",
        "starter",
        "raising agent",
    ),
    *("fruit", "dried fruit", "vegetable", "puree", "pulse", "grain", "pasta", "nut", "seed", "nut butter"),
    *("meat", "poultry", "fish", "shellfish", "herb", "spice", "chocolate", "cocoa", "vinegar", "condiment"),
    *("milk powder", "prepared"),
}
ALLERGENS = {
    *("wheat", "rye", "barley", "oats", "crustacean", "mollusc", "egg", "fish", "peanut", "soy", "milk"),
    *("almond", "hazelnut", "walnut", "cashew", "pecan", "Brazil nut", "pistachio", "macadamia", "pine nut"),
    *("celery", "mustard", "sesame", "sulphites", "lupin"),
}
SHARES = ("water", "fat", "sugar", "salt")
PERCENT = {*SHARES, "milk solids", "usable", "hydration"}
WORDS = {"also", "kind", "density", "piece", "contains", "spoils", "eaten raw", "keeps opened", "source"}
PIECE_WORDS = {
    *("yolk", "white", "juice", "zest", "clove", "stick", "sprig", "handful", "bunch", "tin"),
    *("rasher", "slice"),
}
NUMBER = r"\d{1,9}(?:\.\d{1,9})?"


@dataclass(frozen=True)
class Block:
    file: str
    kind: str
    name: str
    entries: list[tuple[str, str]]

    def __getitem__(self, label: str) -> str:
        return dict(self.entries).get(label, "")

    @property
    def names(self) -> list[str]:
        return [self.name, *(also for also in self["also"].split(", ") if also)]


def read() -> list[Block]:
    blocks: list[Block] = []
    for path in sorted(LARDER.glob("*.bench")):
        for line in path.read_text(encoding="utf-8").splitlines():
            if not line.strip() or line.startswith("#"):
                continue
            if line.startswith("  "):
                label, _, value = line.strip().partition(": ")
                blocks[-1].entries.append((label, value.strip()))
            else:
                kind, _, name = line.partition(" ")
                blocks.append(Block(path.name, kind, name, []))
    return blocks


BLOCKS = read()
FOODS = [block for block in BLOCKS if block.kind == "ingredient"]
STYLES = [block for block in BLOCKS if block.kind == "style"]


def compared(name: str) -> str:
    """Stricter than the language: a hyphen is a blank here, so that no two names differ by one alone."""
    folded = unicodedata.normalize("NFC", name).casefold().replace("’", "'")
    return re.sub(r"[\s‐‑–-]+", " ", folded).strip().removeprefix("the ")


def percent(block: Block, label: str) -> Decimal:
    return Decimal(block[label].removesuffix(" %") or "0")


def test_it_holds_a_home_kitchen_and_nothing_but_foods_and_styles() -> None:
    assert len(FOODS) >= 120
    assert len(STYLES) >= 20
    assert len(FOODS) + len(STYLES) == len(BLOCKS)
    assert {block.file for block in STYLES} == {"styles.bench"}


def test_every_food_says_its_kind_its_source_and_how_it_is_handled() -> None:
    for food in FOODS:
        assert food["kind"] in KINDS, food.name
        assert food["source"], food.name
        assert food["spoils"] in ("yes", "no"), food.name
        assert food["eaten raw"] in ("yes", "no"), food.name


def test_allergens_are_words_of_the_laws() -> None:
    for food in FOODS:
        words = [word for word in food["contains"].split(", ") if word]
        assert set(words) <= ALLERGENS or words == ["nothing"], food.name
        assert len(words) == len(set(words)), food.name


def test_no_name_is_used_twice() -> None:
    for blocks in (FOODS, STYLES):
        owners: dict[str, list[str]] = {}
        for block in blocks:
            for name in block.names:
                owners.setdefault(compared(name), []).append(f"{block.name} in {block.file}")
        assert {name: twice for name, twice in owners.items() if len(twice) > 1} == {}


def test_names_can_be_written_in_a_recipe() -> None:
    for block in BLOCKS:
        for name in block.names:
            assert not set(",:[]#()") & set(name), name
            assert name == name.strip(), name
            assert not name[0].isdigit() or name == "00 flour", name
    # the bare words that have no one reading stay unknown, so that the cook is asked
    taken = {compared(name) for food in FOODS for name in food.names}
    assert not taken & {
        "flour",
        "milk",
        "cream",
        "oil",
        "yeast",
        "cornmeal flour",
        "kidney beans",
        "chickpeas",
    }


def test_no_label_is_said_twice_or_unknown() -> None:
    for food in FOODS:
        labels = [label for label, _ in food.entries]
        assert len(labels) == len(set(labels)), food.name
        assert set(labels) <= PERCENT | WORDS | PIECE_WORDS, food.name
        assert all(value for _, value in food.entries), food.name


def test_values_are_written_as_the_language_reads_them() -> None:
    shapes = {
        "density": rf"{NUMBER} g/ml",
        "piece": rf"{NUMBER} g(, {NUMBER} g usable)?",
        "keeps opened": r"\d+ (day|week|month)s? in the fridge",
    }
    shapes |= dict.fromkeys(PERCENT, rf"{NUMBER} %")
    shapes |= dict.fromkeys(PIECE_WORDS, rf"{NUMBER} g(, {NUMBER} g usable)?")
    for food in FOODS:
        for label, value in food.entries:
            assert re.fullmatch(shapes.get(label, r".+"), value), f"{food.name}: {label}: {value}"


def test_what_is_in_a_food_is_not_more_than_the_food() -> None:
    # half a percent of grace: a cook's salt is counted whole beside its trace of water
    for food in FOODS:
        assert sum(percent(food, label) for label in SHARES) <= Decimal("100.5"), food.name
        assert percent(food, "usable") <= 100, food.name
        for label in ("piece", *PIECE_WORDS):
            weights = [Decimal(weight) for weight in re.findall(rf"({NUMBER}) g", food[label])]
            assert weights == sorted(weights, reverse=True), f"{food.name}: more usable than bought"


def test_densities_are_those_of_food() -> None:
    stated = [food for food in FOODS if food["density"]]
    assert len(stated) >= 120
    for food in stated:
        assert Decimal("0.1") <= Decimal(food["density"].removesuffix(" g/ml")) <= Decimal("1.6"), food.name


def test_milk_solids_are_what_water_and_fat_leave() -> None:
    stated = [food for food in FOODS if food["milk solids"]]
    assert len(stated) >= 10
    for food in stated:
        left = 100 - percent(food, "water") - percent(food, "fat")
        if food.name == "salted butter":
            left -= percent(food, "salt")
        assert abs(left - percent(food, "milk solids")) <= Decimal("0.01"), food.name
        assert "milk" in food["contains"], food.name


def test_kinds_that_are_an_allergen_say_so() -> None:
    sure = {
        **dict.fromkeys(("milk", "yoghurt", "cheese", "milk powder"), "milk"),
        "egg": "egg",
        "fish": "fish",
    }
    for food in FOODS:
        if food["kind"] in sure:
            assert sure[food["kind"]] in food["contains"].split(", "), food.name
        if food["kind"] in ("nut", "nut butter"):
            assert food["contains"] not in ("", "nothing"), food.name
        if food["kind"] == "shellfish":
            assert {"crustacean", "mollusc"} & set(food["contains"].split(", ")), food.name


def test_raw_food_that_can_hurt_is_to_be_cooked() -> None:
    ready = {"ham", "chorizo", "anchovies"} | {food.name for food in FOODS if food.name.startswith("tinned ")}
    for food in FOODS:
        if food["kind"] in ("flour", "starch", "starter", "egg", "meat", "poultry", "fish", "shellfish"):
            assert food["eaten raw"] == "no" or food.name in ready, food.name
        if food["kind"] in ("meat", "poultry", "fish", "shellfish", "egg", "milk", "plant milk", "yoghurt"):
            assert food["spoils"] == "yes" or food.name == "anchovies", food.name
        if food["kind"] == "pulse" and not food.name.startswith("tinned ") and food.name != "baked beans":
            assert food["eaten raw"] == "no", food.name


def test_starters_say_how_wet_they_are() -> None:
    assert [food.name for food in FOODS if food["kind"] == "starter"]
    for food in FOODS:
        assert bool(food["hydration"]) == (food["kind"] == "starter"), food.name


def test_styles_bound_something_and_say_whose_word_it_is() -> None:
    computed = {"hydration", "water", "salt", "yeast", "sugar", "fat", "milk solids", "prefermented flour"}
    known = {compared(name) for food in FOODS for name in food.names}
    for style in STYLES:
        bounds = [
            (label, value) for label, value in style.entries if label not in ("also", "basis", "source")
        ]
        assert bounds, style.name
        assert style["source"], style.name
        assert style["basis"] in {"total", *KINDS} or compared(style["basis"]) in known, style.name
        assert len({label for label, _ in bounds}) == len(bounds), style.name
        for label, value in bounds:
            assert label in computed | KINDS or compared(label) in known, f"{style.name}: {label}"
            bound = re.fullmatch(rf"({NUMBER})-({NUMBER}) %(, (?:instant|fresh))?", value)
            assert bound, f"{style.name}: {label}: {value}"
            assert Decimal(bound[1]) <= Decimal(bound[2]), f"{style.name}: {label}: {value}"
            assert bool(bound[3]) == (label == "yeast"), f"{style.name}: {label}: {value}"


def test_files_are_kept_by_hand() -> None:
    """Values in one column, no tabs, no blanks at a line's end, a head comment that says how."""
    for path in sorted(LARDER.glob("*.bench")):
        text = path.read_text(encoding="utf-8")
        lines = text.splitlines()
        assert text.endswith("\n"), path.name
        assert not text.endswith("\n\n"), path.name
        assert not [line for line in lines if line != line.rstrip() or "\t" in line], path.name
        assert lines[0].startswith("# "), path.name
        if path.name != "styles.bench":
            assert any(line.startswith("# contains: ") for line in lines[:8]), path.name
        columns = {
            len(line) - len(line.partition(": ")[2].lstrip()) for line in lines if re.match(r"  \S.*: ", line)
        }
        assert len(columns) == 1, f"{path.name}: values begin in columns {sorted(columns)}"
