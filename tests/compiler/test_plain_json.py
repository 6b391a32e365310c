"""Dataclasses as JSON, and the schema that says so."""

from __future__ import annotations

import json
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import pytest
from jsonschema import Draft202012Validator

from benchproof.compiler.plain_json import bare, plain, plain_json, schema_of


@dataclass(frozen=True)
class Inner:
    """What is inside,
    over two lines."""

    share: Fraction


@dataclass(frozen=True)
class Outer:
    """All that can be told apart."""

    name: str
    many: int
    sure: bool
    kind: Literal["a", "b"]
    inner: tuple[Inner, ...]
    pair: tuple[int, int] | None
    itself: Outer | None = None


@dataclass(frozen=True)
class Odd:
    """A type that JSON has no word for."""

    when: complex


ONE = Outer("½", 2, True, "b", (Inner(Fraction(1, 3)),), (1, 2), Outer("", 0, False, "a", (), None))


def test_it_keeps_to_its_schema_and_nothing_is_lost() -> None:
    validator = Draft202012Validator(schema_of(Outer, 3))
    data = json.loads(plain_json(ONE))
    assert list(validator.iter_errors(data)) == []
    assert data["inner"] == [{"share": {"exact": "1/3", "about": pytest.approx(1 / 3)}}]
    assert (data["pair"], data["itself"]["pair"]) == ([1, 2], None)
    assert plain(ONE) == data


@pytest.mark.parametrize(
    ("field", "value"), [("kind", "c"), ("pair", [1]), ("pair", [1, 2, 3]), ("many", "2"), ("inner", 1)]
)
def test_what_is_not_so_is_refused(field: str, value: object) -> None:
    data = plain(ONE) | {field: value}
    assert not Draft202012Validator(schema_of(Outer, 3)).is_valid(data)


def test_the_schema_says_what_each_part_is_and_which_version() -> None:
    schema = schema_of(Outer, 3)
    assert schema["title"] == "Benchproof Outer, version 3"
    assert schema["$defs"]["Inner"]["description"] == "What is inside, over two lines."
    assert schema["$defs"]["Outer"]["properties"]["itself"]["anyOf"][0] == {"$ref": "#/$defs/Outer"}


def test_a_type_without_a_schema_is_said_to_be_one() -> None:
    with pytest.raises(TypeError, match="complex"):
        schema_of(Odd, 1)


def test_bare_leaves_fields_out_at_every_depth_and_makes_runs_of_blanks_one() -> None:
    @dataclass(frozen=True)
    class Leaf:
        text: str
        where: int

    @dataclass(frozen=True)
    class Tree:
        leaves: tuple[Leaf, ...]
        where: int

    one = Tree((Leaf("two  blanks\u00a0here", 1),), 2)
    assert bare(one, {"where"}) == {"leaves": ({"text": "two blanks here"},)}
    assert bare(one, set()) == {"leaves": ({"text": "two blanks here", "where": 1},), "where": 2}
