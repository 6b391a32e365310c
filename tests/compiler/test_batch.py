"""The Batch: exact, plain and unchanging all through."""

import dataclasses
from fractions import Fraction

import pytest

from benchproof.compiler.batch import VERSION, Batch, Extent
from tests.compiler.bench import DEMO, RECIPES, demo_batch, values


@pytest.mark.parametrize("stem", DEMO)
@pytest.mark.parametrize("times", [Fraction(1), Fraction(7, 3)])
def test_there_is_no_float_anywhere(stem: str, times: Fraction) -> None:
    found = list(values(demo_batch(stem, times=times)))
    assert len(found) > 200
    assert {type(one) for one in found} <= {Fraction, str, int, bool, type(None)}


def test_the_walk_would_see_a_float() -> None:
    batch = demo_batch("slack-tide-rice")
    spoilt = dataclasses.replace(batch, cost=dataclasses.replace(batch.cost, total=0.5))
    assert float in {type(one) for one in values(spoilt)}


@pytest.mark.parametrize("stem", DEMO)
def test_a_batch_cannot_be_changed_and_is_the_same_each_time(stem: str) -> None:
    batch = demo_batch(stem)
    hash(batch)  # only what is frozen through and through has one
    with pytest.raises(dataclasses.FrozenInstanceError):
        batch.recipe = "x"
    assert batch == demo_batch(stem)


def test_extents_add_and_grow_at_both_ends() -> None:
    one, other = Extent(Fraction(1), Fraction(2)), Extent(Fraction(3), Fraction(5))
    assert one + other == Extent(Fraction(4), Fraction(7))
    assert one.times(Fraction(1, 2)) == Extent(Fraction(1, 2), Fraction(1))


@pytest.mark.parametrize("stem", DEMO)
def test_every_place_is_in_the_text(stem: str) -> None:
    batch = demo_batch(stem)
    places = [one.where for part in batch.parts for one in part.lines]
    places += [step.where for step in batch.steps]
    places += [one.price.where for one in batch.cost.lines if one.price]
    for place in places:
        lines = (RECIPES / place.file).read_text(encoding="utf-8").splitlines()
        assert (1, 1) <= (place.line, place.column) < (place.end_line, place.end_column)
        assert place.end_line <= len(lines)
        assert place.end_column <= len(lines[place.end_line - 1]) + 1
    for part in batch.parts:
        for one in part.lines:
            text = (RECIPES / one.where.file).read_text(encoding="utf-8").splitlines()[one.where.line - 1]
            drawn_out = f"{one.kind} " if one.kind in ("preferment", "soaker") else ""
            assert text.strip().startswith(f"{drawn_out}{one.name}")
            assert one.written in text


@pytest.mark.parametrize("stem", DEMO)
def test_every_range_has_its_ends_in_order(stem: str) -> None:
    def extents(thing: object) -> list[Extent]:
        if isinstance(thing, Extent):
            return [thing]
        if dataclasses.is_dataclass(thing):
            return [one for field in dataclasses.fields(thing) for one in extents(getattr(thing, field.name))]
        return [one for part in thing for one in extents(part)] if isinstance(thing, tuple) else []

    found = extents(demo_batch(stem))
    assert found
    assert all(one.low <= one.high for one in found)


def test_the_version_is_the_batch_s() -> None:
    assert demo_batch("slack-tide-rice").version == VERSION
    assert next(field for field in dataclasses.fields(Batch) if field.name == "version").default == VERSION
