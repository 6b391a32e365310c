"""A kitchen laid out: the same Batches, file by file, and only where that holds."""

from pathlib import Path

import pytest

from benchproof.compiler import laid_out
from benchproof.compiler.kitchen import Kitchen, open_kitchen
from benchproof.compiler.laid_out import lay_out, only_lines
from benchproof.compiler.source import Source

ROOT = Path(__file__).resolve().parents[2]
CLEAN = ROOT / "tests" / "recipes" / "clean"
ON = "2026-11-20"
MESSY = (
    "recipe X\n makes: 2 loaves\n\ningredients\n flour: 500grams\n water: 70%\n\n"
    "step Mix\n   [the flour], [the water], [5min].\n"
)


@pytest.mark.parametrize(
    "path",
    [ROOT / "recipes", *sorted(one.parent for one in CLEAN.glob("*/kitchen.bench"))],
    ids=lambda path: path.name,
)
def test_every_kitchen_keeps_its_batches(path: Path) -> None:
    assert all(one.keeps for one in lay_out(open_kitchen(path), ON))


def test_only_the_files_that_are_named() -> None:
    kitchen = Kitchen([Source(MESSY, "a.bench"), Source(MESSY.replace("X", "Y"), "b.bench")])
    assert [one.source.name for one in lay_out(kitchen, ON, {"b.bench"})] == ["b.bench"]
    assert [one.changed for one in lay_out(kitchen, ON)] == [True, True]


def test_a_layout_that_would_say_something_else_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    good, bad = Source(MESSY, "a.bench"), Source(MESSY.replace("X", "Y"), "b.bench")
    real = laid_out.formatted

    def faulty(source: Source) -> str:
        text = real(source)
        return text.replace("500 g", "50 g") if source.name == "b.bench" else text

    monkeypatch.setattr(laid_out, "formatted", faulty)
    found = lay_out(Kitchen([good, bad]), ON)
    assert [(one.source.name, one.keeps) for one in found] == [("a.bench", True), ("b.bench", False)]


def test_a_batch_that_changes_is_told_even_where_the_text_says_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(laid_out, "same_meaning", lambda one, other: True)
    real = laid_out.formatted
    monkeypatch.setattr(laid_out, "formatted", lambda source: real(source).replace("500 g", "50 g"))
    (one,) = lay_out(Kitchen([Source(MESSY, "a.bench")]), ON)
    assert not one.keeps


def test_some_lines_alone() -> None:
    source = Source(MESSY, "a.bench")
    (one,) = lay_out(Kitchen([source]), ON)
    text = only_lines(source, one.text, 5, 5)
    old, new = MESSY.split("\n"), text.split("\n")
    assert [number for number, pair in enumerate(zip(old, new, strict=True), 1) if pair[0] != pair[1]] == [5]
    assert new[4].split() == ["flour:", "500", "g"]
    assert only_lines(source, one.text, 1, 99).rstrip("\n") == one.text.rstrip("\n")
