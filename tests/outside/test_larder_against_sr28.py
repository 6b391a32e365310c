"""Outside check: the larder's composition against USDA SR28, for every food whose source names a food code.

`data/sr28_water.csv` holds the rows of the ABBREV file the larder rests on, each with where it was seen.
Salt is sodium times 2.5, the label law's rule, to 0.01 %.
"""

import csv
import re
from decimal import Decimal
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
LARDER = HERE.parents[1] / "compiler" / "larder"
NAMED = re.compile(r"source:\s+USDA SR28 (\d{5})\b[^;]*? for ((?:water|fat|sugar|salt|, | and )+)")

pytestmark = pytest.mark.outside


def table() -> dict[str, dict[str, str]]:
    with (HERE / "data" / "sr28_water.csv").open(encoding="utf-8", newline="") as file:
        return {row["food_code"]: row for row in csv.DictReader(file)}


def foods() -> dict[str, str]:
    """Each ingredient block as its raw text, by name."""
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(LARDER.glob("*.bench")))
    return {part.partition("\n")[0]: part for part in re.split(r"(?m)^ingredient ", text)[1:]}


def stated(block: str, label: str) -> Decimal:
    found = re.search(rf"(?m)^  {label}:\s+(\S+) %$", block)
    assert found, f"{block.partition(chr(10))[0]}: its source speaks of {label}, its lines do not"
    return Decimal(found[1])


def test_what_a_source_line_claims_is_what_the_table_says() -> None:
    rows = table()
    seen: dict[str, int] = {}
    for name, block in foods().items():
        named = NAMED.search(block)
        if not named:
            continue
        row = rows[named[1]]
        for label in re.findall(r"water|fat|sugar|salt", named[2]):
            expected = Decimal(row["sodium_mg"]) * 5 / 2000 if label == "salt" else Decimal(row[label])
            assert abs(stated(block, label) - expected) <= Decimal("0.01"), (
                f"{name}: {label}, SR28 {named[1]}"
            )
            seen[label] = seen.get(label, 0) + 1
    # or the pattern has stopped matching, and this proves nothing
    assert seen["water"] >= 250
    assert min(seen.values()) >= 200


def test_every_row_of_the_table_is_used_and_read() -> None:
    named = {found[1] for block in foods().values() if (found := NAMED.search(block))}
    assert named == set(table())
    assert {row["seen"] for row in table().values()} == {"seen"}


def test_densities_from_a_household_weight_are_that_weight_over_that_measure() -> None:
    """The cup, tablespoon, teaspoon and fluid ounce of the United States, in ml, exactly as defined."""
    millilitres = {
        "US cup": Decimal("236.5882365"),
        "US tbsp": Decimal("14.78676478125"),
        "US tsp": Decimal("4.92892159375"),
        "US fl oz": Decimal("29.5735295625"),
    }
    said = re.compile(rf"density [^;]*?([\d.]+) g (?:an? |([\d.]+) )({'|'.join(millilitres)})")
    checked = 0
    for name, block in foods().items():
        found = said.search(block)
        density = re.search(r"(?m)^  density:\s+(\S+) g/ml$", block)
        if not found or not density or "from memory" in found[0]:
            continue
        measured = Decimal(found[1]) / (Decimal(found[2] or 1) * millilitres[found[3]])
        assert abs(Decimal(density[1]) - measured) <= Decimal("0.0006"), f"{name}: {found[0]}"
        checked += 1
    assert checked >= 200
