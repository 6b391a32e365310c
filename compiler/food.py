"""What is stated about an ingredient: its Food, read from an `ingredient` block.

Facts lie label by label over what the built-in larder says of the same name.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, Final

from benchproof.compiler import quantities
from benchproof.compiler.display import listed
from benchproof.compiler.findings import Finding
from benchproof.compiler.food_law import ALLERGENS, allergen_word
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.suggest import nearest
from benchproof.compiler.syntax import (
    Block,
    Density,
    Entry,
    Measure,
    Measured,
    Name,
    Names,
    Percentage,
    Words,
    YesNo,
)

INNER_WORDS: Final = {"yolk": "yolk", "yolks": "yolk", "white": "white", "whites": "white"} | {
    word: word for word in ("zest", "juice")
}
"""What `of` may take from inside a piece: `[the yolks of the eggs]`. Their weight has no trim."""

KINDS: Final = (
    "flour",
    "starch",
    "liquid",
    "milk",
    "plant milk",
    "cream",
    "yoghurt",
    "cheese",
    "egg",
    "fat",
    "oil",
    "sugar",
    "syrup",
    "salt",
    "instant yeast",
    "active dry yeast",
    "fresh yeast",
    "starter",
    "raising agent",
    "fruit",
    "dried fruit",
    "vegetable",
    "puree",
    "pulse",
    "grain",
    "pasta",
    "nut",
    "seed",
    "nut butter",
    "meat",
    "poultry",
    "fish",
    "shellfish",
    "herb",
    "spice",
    "chocolate",
    "cocoa",
    "vinegar",
    "condiment",
    "milk powder",
    "prepared",
)


@dataclass(frozen=True, slots=True)
class Food:
    """What has been stated about an ingredient. None where nobody said.

    Shares (`water`, `fat`, `sugar`, `salt`, `milk_solids`, `usable`, `hydration`, `flour`) are fractions of
    one; `density` is g/ml; `piece` and `piece_usable` g, as bought and as it goes in; `words` the weight in g
    of each piece word (`clove`), as bought and, where a detail says so, as it goes in. `contains` is None when
    unstated, empty for `nothing`. `specific_heat` is kJ for 1 kg and 1 C.
    """

    name: str
    keys: frozenset[str]
    kind: str | None = None
    water: Fraction | None = None
    fat: Fraction | None = None
    sugar: Fraction | None = None
    salt: Fraction | None = None
    milk_solids: Fraction | None = None
    hydration: Fraction | None = None
    flour: Fraction | None = None
    density: Fraction | None = None
    piece: Fraction | None = None
    piece_usable: Fraction | None = None
    usable: Fraction | None = None
    words: Mapping[str, tuple[Fraction, Fraction | None]] = field(default_factory=dict)
    contains: tuple[str, ...] | None = None
    spoils: bool | None = None
    eaten_raw: bool | None = None
    span: Span | None = None
    specific_heat: Fraction | None = None

    def word(self, word: str) -> tuple[Fraction, Fraction]:
        """g of one of a piece word, as bought and as it goes in. Raises KeyError for a word nobody weighed."""
        bought, usable = self.words[word]
        if usable is None:
            usable = bought if word in INNER_WORDS else bought * self.trim
        return bought, usable

    @property
    def trim(self) -> Fraction:
        """What is left of a gram as bought, once trimmed."""
        if self.usable is not None:
            return self.usable
        if self.piece and self.piece_usable:
            return self.piece_usable / self.piece
        return Fraction(1)


def names_of(block: Block, label: str) -> list[Name]:
    entry = block.entry(label)
    return list(entry.value.names) if entry and isinstance(entry.value, Names) else []


_SHARES: Final = {
    "water": "water",
    "fat": "fat",
    "sugar": "sugar",
    "salt": "salt",
    "milk solids": "milk_solids",
    "hydration": "hydration",
    "flour": "flour",
    "usable": "usable",
}


def read_food(
    block: Block,
    name: Name,
    others: list[Name],
    below: Food | None,
    measures: str,
    findings: list[Finding],
) -> Food:
    """A block's facts, laid label by label over what the built-in larder says of the same name."""
    keys = frozenset({name.key, *(other.key for other in others)})
    food = (
        replace(below, name=name.text, keys=below.keys | keys, span=block.span)
        if below
        else Food(name.text, keys, span=block.span)
    )
    stated: dict[str, Any] = {}
    words = dict(food.words)
    for entry in block.entries():
        label, value = entry.label.key, entry.value
        if label in _SHARES and isinstance(value, Percentage):
            stated |= _share(entry, value, findings)
        elif label in _READERS:
            stated |= _READERS[label](entry, food, measures, findings)
        elif (weights := _piece(entry)) and label != "footprint" and _weighs(entry, weights, findings):
            words[label] = weights
    return replace(food, words=words, **stated)


def _share(entry: Entry, value: Percentage, findings: list[Finding]) -> dict[str, Any]:
    """A percentage of the food itself, as a fraction of one."""
    label, share = entry.label.key, value.number.low / 100
    if (label == "usable" and not share) or (label != "hydration" and share > 1):
        findings.append(_impossible(entry, "it must be above 0 % and at most 100 %"))
        return {}
    return {_SHARES[label]: share}


def _read_kind(entry: Entry, _food: Food, _measures: str, findings: list[Finding]) -> dict[str, Any]:
    if not isinstance(entry.value, Words):
        return {}
    if entry.value.text in KINDS:
        return {"kind": entry.value.text}
    findings.append(_unknown_kind(entry.value))
    return {}


def _read_density(entry: Entry, _food: Food, measures: str, _findings: list[Finding]) -> dict[str, Any]:
    value = entry.value
    if not isinstance(value, Density):
        return {}
    return {"density": quantities.base(value.mass.low) / quantities.base(value.volume.low, measures)}


def _read_piece(entry: Entry, _food: Food, _measures: str, findings: list[Finding]) -> dict[str, Any]:
    weights = _piece(entry)
    if weights is None or not _weighs(entry, weights, findings):
        return {}
    return {"piece": weights[0], "piece_usable": weights[1]}


def _read_contains(entry: Entry, food: Food, _measures: str, findings: list[Finding]) -> dict[str, Any]:
    if not isinstance(entry.value, Names):
        return {}
    instead = any(detail.text == "instead" for detail in entry.details)
    return {"contains": _contains(entry.value, () if instead else food.contains, findings)}


def _read_yes_no(entry: Entry, _food: Food, _measures: str, _findings: list[Finding]) -> dict[str, Any]:
    value = entry.value
    return {entry.label.key.replace(" ", "_"): value.yes} if isinstance(value, YesNo) else {}


def _read_heat(entry: Entry, food: Food, _measures: str, findings: list[Finding]) -> dict[str, Any]:
    if not isinstance(entry.value, Words):
        return {}
    return {"specific_heat": _specific_heat(entry.value, findings) or food.specific_heat}


_READERS: Final[Mapping[str, Callable[[Entry, Food, str, list[Finding]], dict[str, Any]]]] = {
    "kind": _read_kind,
    "density": _read_density,
    "piece": _read_piece,
    "contains": _read_contains,
    "spoils": _read_yes_no,
    "eaten raw": _read_yes_no,
    "specific heat": _read_heat,
}
"""How each label that is no percentage becomes fields of a Food."""


_SPECIFIC_HEAT: Final = re.compile(r"(\d+(?:\.\d+)?)\s*kJ\s+for\s+1\s*kg\s+and\s+1\s*°?C")
_HEATS: Final = (Fraction(1, 2), Fraction(43, 10))
"""kJ for 1 kg and 1 C: every food lies between dry salt (0.86) and water (4.18 to 4.22)."""


def _specific_heat(value: Words, findings: list[Finding]) -> Fraction | None:
    """`3.9 kJ for 1 kg and 1 C`; None, and a finding, when it is not so written or no food's."""
    found = _SPECIFIC_HEAT.fullmatch(value.text.strip())
    heat = Fraction(found[1]) if found else None
    if heat is not None and _HEATS[0] <= heat <= _HEATS[1]:
        return heat
    findings.append(
        find(
            "specific-heat-not-read",
            value.span,
            f"“{value.text}” is more or less than any food takes: dry salt takes 0.86 kJ, water 4.18 kJ."
            if heat is not None
            else f"“{value.text}” cannot be read as a specific heat.",
            "Write how many kJ warm 1 kg of it by 1 C: `3.9 kJ for 1 kg and 1 C`.",
        )
    )
    return None


def _weighs(entry: Entry, weights: tuple[Fraction, Fraction | None], findings: list[Finding]) -> bool:
    """Whether a piece's weights can be: something, and no more usable than there is."""
    bought, usable = weights
    if bought > 0 and (usable is None or 0 < usable <= bought):
        return True
    findings.append(_impossible(entry, "a piece weighs something, and no more of it is usable than there is"))
    return False


def _impossible(entry: Entry, why: str) -> Finding:
    return find(
        "impossible-fact",
        entry.value.span,
        f"{entry.label.text} cannot be {entry.value.span.text}: {why}.",
        "Look at the figure again, or take the line out.",
    )


def _piece(entry: Entry) -> tuple[Fraction, Fraction | None] | None:
    """`56.7 g, 50 g usable`: as bought, and as it goes in where a detail says so."""
    value = entry.value
    if not isinstance(value, Measured | Measure) or value.quantity.dimension != "mass":
        return None
    usable: Fraction | None = None
    for detail in entry.details:
        number, _, rest = detail.text.partition(" ")
        unit, _, word = rest.partition(" ")
        if word == "usable" and unit in quantities.UNITS:
            try:
                usable = quantities.convert(Fraction(number), quantities.UNITS[unit].name, "g")
            except ValueError:
                continue
    return quantities.base(value.quantity.low), usable


def _contains(value: Names, below: tuple[str, ...] | None, findings: list[Finding]) -> tuple[str, ...]:
    """What a `contains` line states: it only adds to what is known, unless it says `instead`."""
    stated: list[str] = list(below or ())
    for name in value.names:
        if name.key == "nothing":
            continue
        word = allergen_word(name.text)
        if word is None:
            findings.append(unknown_allergen(name.text, name.span))
            stated.append(name.text)
        elif word not in stated:
            stated.append(word)
    return tuple(stated)


def unknown_allergen(text: str, span: Span) -> Finding:
    """A word after `contains` or `may contain` that no list has. It is printed all the same."""
    if "instead" in text.split():
        return find(
            "unknown-allergen",
            span,
            f"“{text}”: `instead` stands first.",
            "Write `contains: instead wheat` to put away what the larder says.",
        )
    near = nearest(text, list(ALLERGENS.values()))
    return find(
        "unknown-allergen",
        span,
        f"“{text}” is not an allergen of any food law's list known here. It is printed as written.",
        f"Did you mean {_or(near)}?" if near else "Write a word of the list in the manual, or `nothing`.",
    )


def _unknown_kind(value: Words) -> Finding:
    near = nearest(value.text, KINDS)
    return find(
        "unknown-kind",
        value.span,
        f"“{value.text}” is not a kind of food known here.",
        f"Did you mean {_or(near)}?" if near else f"Write one of: {', '.join(KINDS)}.",
    )


def _or(words: list[str]) -> str:
    return listed([f"“{word}”" for word in words], "or")
