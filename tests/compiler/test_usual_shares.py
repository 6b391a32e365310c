"""The tables of usual shares hold together: ranges the right way round, names the larder knows."""

import re
from fractions import Fraction

import pytest

from benchproof.compiler import usual_shares as usual
from benchproof.compiler.batch import Extent
from benchproof.compiler.food import KINDS
from benchproof.compiler.kitchen import larder
from benchproof.compiler.syntax import Percentage


@pytest.mark.parametrize("one", usual.CLASSES, ids=lambda one: one.name)
def test_a_class_has_ranges_and_words(one: usual.FormulaClass) -> None:
    for extent in (one.wet, one.egg, one.fat, one.sugar):
        assert 0 <= extent.low < extent.high
    assert one.words
    assert all(re.fullmatch("[a-z]+", word) for word in one.words)


def test_no_two_classes_share_a_name() -> None:
    names = [one.name for one in usual.CLASSES]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    "table",
    [usual.SHARE_BY_FOOD, usual.FLOOR_BY_FOOD, usual.PORTION_BY_FOOD],
    ids=["share", "floor", "portion"],
)
def test_foods_are_the_larders(table: dict[str, object]) -> None:
    """A name that the larder does not have would never be looked up."""
    unknown = [key for key in table if larder().food(key) is None and key != "saffron"]
    assert unknown == []


@pytest.mark.parametrize("table", [usual.SHARE_BY_KIND, usual.FLOOR_BY_KIND], ids=["share", "floor"])
def test_kinds_are_kinds(table: dict[str, object]) -> None:
    assert set(table) <= set(KINDS)


def test_portions_are_of_kinds() -> None:
    for group in usual.PORTIONS:
        assert group.kinds <= set(KINDS)
        assert group.usual.low < group.usual.high


@pytest.mark.parametrize("noun", sorted(usual.PIECES))
def test_a_piece_weighs_something(noun: str) -> None:
    extent = usual.PIECES[noun]
    assert 0 < extent.low < extent.high


FEATURES = {
    "hydration": "wet",
    "egg": "egg",
    "egg whites": "egg",
    "fat": "fat",
    "butter": "fat",
    "sugar": "sugar",
}
"""Labels of the larder's styles that a class knows, where the style bounds all that counts in it."""

NOT_A_CLASS = frozenset({"shortened cake", "high ratio chocolate cake", "flatbread", "challah"})
"""Styles with too few bounds, or whose fat is oil, to be held against a class."""


def _of_flour() -> list[str]:
    names = []
    for name in larder().style_names:
        style = larder().style(name.casefold())
        if style is not None and style.basis == "flour" and name not in NOT_A_CLASS:
            names.append(name)
    return names


@pytest.mark.parametrize("name", _of_flour())
def test_the_middle_of_every_style_is_inside_a_class(name: str) -> None:
    """What the larder's styles call usual must never be called unlikely."""
    style = larder().style(name.casefold())
    assert style is not None
    middle: dict[str, Fraction] = {}
    for entry in style.bounds:
        feature = FEATURES.get(entry.label.key)
        if feature is not None and isinstance(entry.value.value, Percentage):  # type: ignore[union-attr]
            number = entry.value.value.number  # type: ignore[union-attr]
            middle[feature] = (number.low + number.high) / 2

    def inside(one: usual.FormulaClass) -> bool:
        ranges: dict[str, Extent] = {"wet": one.wet, "egg": one.egg, "fat": one.fat, "sugar": one.sugar}
        return all(ranges[key].low <= value <= ranges[key].high for key, value in middle.items())

    assert any(inside(one) for one in usual.CLASSES), middle
