"""The Comparison's JSON keeps to its published schema."""

import json
from importlib import resources

import jsonschema

from benchproof.compiler.comparison import (
    VERSION,
    Comparison,
    Comparisons,
    comparison_json,
    schema,
    schema_json,
)
from benchproof.compiler.ratio_diff import compare
from tests.compiler.repositories import LOAF
from tests.compiler.test_ratio_diff import changed, side


def test_the_published_schema_is_that_of_the_data() -> None:
    published = resources.files("benchproof.compiler").joinpath("comparison.schema.json").read_text("utf-8")

    assert published == schema_json()
    assert f"version {VERSION}" in schema()["title"]


def test_what_is_written_keeps_to_it() -> None:
    found = Comparisons(
        (
            changed(
                ("68 %", "72 %"), ("500 g", "1000 g"), ("[10 min]", "[12 min]"), ("baking tray", "stone")
            ),
            changed(("1 %", "1,5 %")),
            compare(side(LOAF), side(LOAF.replace("water", "whole milk"))),
        )
    )

    jsonschema.validate(json.loads(comparison_json(found)), schema())


def test_only_what_says_something_is_not_empty() -> None:
    same = changed()

    assert isinstance(same, Comparison)
    assert same.empty
    assert not changed(("68 %", "69 %")).empty
