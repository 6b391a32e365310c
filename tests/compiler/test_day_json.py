"""The Day as JSON: it keeps to its schema, and the schema that ships is the one that is generated."""

from __future__ import annotations

import json
from fractions import Fraction
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator

from benchproof.compiler.day_json import day_json, schema, schema_json
from tests.renderers.day import samples

VALIDATOR = Draft202012Validator(schema())


def test_the_schema_that_ships_is_the_one_that_is_generated() -> None:
    shipped = files("benchproof.compiler").joinpath("day.schema.json").read_text(encoding="utf-8")
    assert shipped == schema_json()
    Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("name", samples.ALL)
def test_a_day_keeps_to_it(name: str) -> None:
    day = samples.ALL[name]()
    data = json.loads(day_json(day))
    assert [error.message for error in VALIDATOR.iter_errors(data)] == []
    assert Fraction(data["length"]["exact"]) == day.length
    assert [one["number"] for one in data["activities"]] == [one.number for one in day.activities]


def test_what_is_no_day_is_refused() -> None:
    data = json.loads(day_json(samples.night()))
    data["notes"][0]["kind"] = "a-kind-of-note-that-is-none"
    assert not VALIDATOR.is_valid(data)


def test_every_part_of_the_schema_says_what_it_is() -> None:
    for name, part in schema()["$defs"].items():
        assert part["description"], name
