"""The Batch as JSON: it keeps to its schema, and nothing is lost on the way."""

import json
from fractions import Fraction
from importlib.resources import files
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from benchproof.compiler.batch import Batch
from benchproof.compiler.batch_json import batch_data, batch_json, schema, schema_json
from tests.compiler.bench import DEMO, batch_of, demo_batch, values

VALIDATOR = Draft202012Validator(schema())


def test_the_schema_that_ships_is_the_one_that_is_generated() -> None:
    shipped = files("benchproof.compiler").joinpath("batch.schema.json").read_text(encoding="utf-8")
    assert shipped == schema_json()


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("stem", DEMO)
@pytest.mark.parametrize("times", [Fraction(1), Fraction(1, 7)])
def test_a_demo_batch_keeps_to_it(stem: str, times: Fraction) -> None:
    data = json.loads(batch_json(demo_batch(stem, times=times)))
    errors = [f"{list(one.absolute_path)}: {one.message}" for one in VALIDATOR.iter_errors(data)]
    assert errors == []


def exact_strings(data: Any) -> list[Fraction]:
    if isinstance(data, dict):
        if data.keys() == {"exact", "about"}:
            assert isinstance(data["exact"], str)
            return [Fraction(data["exact"])]
        return [one for value in data.values() for one in exact_strings(value)]
    return [one for value in data for one in exact_strings(value)] if isinstance(data, list) else []


@pytest.mark.parametrize("stem", DEMO)
def test_exact_strings_read_back_to_equal_fractions_in_order(stem: str) -> None:
    batch = demo_batch(stem, times=Fraction(17, 7))
    read = exact_strings(json.loads(batch_json(batch)))
    assert read == [one for one in values(batch) if isinstance(one, Fraction)]
    assert len(read) > 50


def every(data: Any) -> list[dict[str, Any]]:
    if isinstance(data, dict):
        return [data, *(one for value in data.values() for one in every(value))]
    return [one for value in data for one in every(value)] if isinstance(data, list) else []


def test_about_is_near_and_for_reading_only() -> None:
    for one in every(json.loads(batch_json(demo_batch("harbour-griddle-rounds", times=Fraction(1, 3))))):
        if one.keys() == {"exact", "about"}:
            assert one["about"] == pytest.approx(float(Fraction(one["exact"])), rel=1e-15)


@pytest.mark.parametrize(
    ("spoil", "where"),
    [
        (lambda data: data.pop("cost"), "a field that is missing"),
        (lambda data: data.update(extra=1), "a field too many"),
        (lambda data: data["makes"].update(formula=1.5), "a bare float"),
        (lambda data: data["makes"].update(formula={"exact": "1/0", "about": 1}), "a division by nought"),
        (lambda data: data["makes"].update(formula={"exact": "1.5", "about": 1.5}), "a decimal"),
        (lambda data: data["steps"][0]["lines"][0][0].update(run="shout"), "a run of no kind"),
        (lambda data: data["asked"].update(temperatures="K"), "a degree of no kind"),
        (lambda data: data["times"]["plan"][0].pop("start"), "a stretch without a start"),
    ],
)
def test_what_is_not_a_batch_is_refused(spoil: Any, where: str) -> None:
    data = json.loads(batch_json(demo_batch("harbour-griddle-rounds")))
    assert VALIDATOR.is_valid(data)
    spoil(data)
    assert not VALIDATOR.is_valid(data), where


def test_what_nobody_knows_is_null_and_letters_stay_letters() -> None:
    batch: Batch = batch_of("recipe Crème brûlée “½”\n\ningredients\n  thyme: to taste\n")
    text = batch_json(batch)
    assert "Crème brûlée “½”" in text
    data = json.loads(text)
    line = data["parts"][0]["lines"][0]
    assert (line["weight"], line["percent"], data["makes"]["count"]) == (None, None, None)
    assert VALIDATOR.is_valid(data)
    assert text.endswith("}\n")


def test_the_order_of_the_fields_is_the_batch_s_own() -> None:
    data = batch_data(demo_batch("slack-tide-rice"))
    assert list(data)[:4] == ["recipe", "kitchen", "file", "revision"]
    assert list(data) == list(schema()["$defs"]["Batch"]["properties"])


def test_every_part_of_the_schema_says_what_it_is() -> None:
    for name, part in schema()["$defs"].items():
        assert part["description"], name
