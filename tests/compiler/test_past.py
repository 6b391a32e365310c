"""Two sides of a recipe: two files, or one file at two revisions, each in its own kitchen."""

from pathlib import Path

import pytest

from benchproof.compiler.compile import Compiler
from benchproof.compiler.git import GitError
from benchproof.compiler.kitchen import open_kitchen
from benchproof.compiler.past import notebook_of, outline, plainly, sides_of_files, sides_of_revisions
from benchproof.compiler.ratio_diff import compare
from benchproof.compiler.source import Source
from tests.compiler.repositories import KITCHEN, LOAF, PRICES, Repo, needs_git

ON = "2026-11-20"


def write(folder: Path, **files: str) -> None:
    for name, text in files.items():
        path = folder / f"{name.replace('__', '/')}.bench"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def test_two_files_of_one_kitchen_with_one_recipe_name(tmp_path: Path) -> None:
    """The copy beside it is no clash, nor is a third one."""
    write(tmp_path, kitchen=KITCHEN, prices=PRICES, a=LOAF, b=LOAF.replace("68 %", "70 %"), c=LOAF)

    ((old, new),) = sides_of_files(tmp_path / "b.bench", tmp_path / "c.bench", ON)

    assert old.batch is not None
    assert new.batch is not None
    assert [one.old for one in compare(old, new).ratios if one.name == "hydration"] == [70]
    assert new.batch.cost.complete


def test_recipes_of_two_files_are_paired_by_name(tmp_path: Path) -> None:
    quay = LOAF.replace("Pier", "Quay")
    write(tmp_path, a=LOAF + quay, b=quay + LOAF.replace("Pier", "Buoy"))

    pairs = sides_of_files(tmp_path / "a.bench", tmp_path / "b.bench", ON)

    names = [(old.batch and old.batch.recipe, new.batch and new.batch.recipe) for old, new in pairs]
    assert names == [("Quay loaf", "Quay loaf"), (None, "Buoy loaf"), ("Pier loaf", None)]


def test_lone_recipes_are_one_whatever_they_are_called(tmp_path: Path) -> None:
    write(tmp_path, a=LOAF, b=LOAF.replace("Pier", "Jetty"))

    ((old, new),) = sides_of_files(tmp_path / "a.bench", tmp_path / "b.bench", ON)

    assert [(one.what, one.new) for one in compare(old, new).said] == [("name", "Jetty loaf")]


def test_why_there_is_no_batch(tmp_path: Path) -> None:
    write(tmp_path, a=LOAF, b=LOAF.replace("68 %", "6,8 %"), c="# nothing\n")

    ((_, slip),) = sides_of_files(tmp_path / "a.bench", tmp_path / "b.bench", ON)
    assert slip.batch is None
    assert slip.why_not.startswith("Line 9: ")
    ((_, none),) = sides_of_files(tmp_path / "a.bench", tmp_path / "c.bench", ON)
    assert (none.batch, none.text) == (None, None)


@needs_git
def test_one_file_at_two_revisions_through_its_names(tmp_path: Path) -> None:
    repo = Repo(tmp_path / "kitchen")
    repo.commit("One", kitchen=KITCHEN, prices=PRICES, pier=LOAF)
    repo.git("mv", "pier.bench", "loaf.bench")
    repo.commit("Two", loaf=LOAF.replace("68 %", "70 %"), prices=PRICES.replace("3.00 for", "6.00 for"))
    repo.write(loaf=LOAF.replace("68 %", "72 %"))
    path = repo.folder / "loaf.bench"

    ((old, new),) = sides_of_revisions(path, "HEAD~1", None, ON)
    assert old.what.startswith("pier.bench at ")
    assert new.what == "loaf.bench"
    found = compare(old, new)
    assert [(one.old, one.new) for one in found.ratios if one.name == "hydration"] == [(68, 72)]
    assert found.cost is not None
    assert found.cost.by_prices == 1  # the price list of that day, not of this

    ((old, new),) = sides_of_revisions(path, "HEAD~1", "HEAD", ON)
    assert [(one.old, one.new) for one in compare(old, new).ratios if one.name == "hydration"] == [(68, 70)]


@needs_git
def test_a_file_that_was_not_there_yet(tmp_path: Path) -> None:
    repo = Repo(tmp_path / "kitchen")
    repo.commit("One", kitchen=KITCHEN)
    repo.commit("Two", loaf=LOAF)

    ((old, new),) = sides_of_revisions(repo.folder / "loaf.bench", "HEAD~1", "HEAD", ON)
    assert compare(old, new).by == "nothing"
    with pytest.raises(GitError, match="no revision"):
        sides_of_revisions(repo.folder / "loaf.bench", "v9", None, ON)


def test_an_outline_has_no_comments_and_no_layout() -> None:
    text = "# top\nrecipe  A   # what\n  makes:   4\n\nstep B\n  Do\tit, [5 min].   # quickly\n"

    assert [(one.heading, one.lines) for one in outline(Source(text))] == [
        ("recipe A", ("makes: 4",)),
        ("step B", ("Do it, [5 min].",)),
    ]


def test_a_file_git_wrote_elsewhere_is_read_in_its_kitchen(tmp_path: Path) -> None:
    write(tmp_path / "work", kitchen=KITCHEN, prices=PRICES, breads__loaf=LOAF, other__kitchen=KITCHEN)
    for name in ("loaf", "aBc123_loaf"):
        write(tmp_path / "tmp", **{name: LOAF})
        found = plainly(tmp_path / "tmp" / f"{name}.bench", tmp_path / "work", ON)

        assert found.recipes[0].batch is not None
        assert (found.recipes[0].batch.kitchen, found.recipes[0].batch.cost.complete) == ("Saltmarsh", True)


def test_two_kitchens_that_both_have_it_are_no_guess(tmp_path: Path) -> None:
    write(tmp_path / "work", a__kitchen=KITCHEN, a__loaf=LOAF, b__kitchen=KITCHEN, b__loaf=LOAF)
    write(tmp_path / "tmp", loaf=LOAF)

    found = plainly(tmp_path / "tmp" / "loaf.bench", tmp_path / "work", ON)

    assert found.recipes[0].batch is not None
    assert found.recipes[0].batch.kitchen is None


def test_a_recipe_that_does_not_compile_has_no_notebook(tmp_path: Path) -> None:
    write(tmp_path, kitchen=KITCHEN, loaf=LOAF.replace("68 %", "68 % of rice"))
    kitchen = open_kitchen(tmp_path)

    assert notebook_of(Compiler(kitchen), kitchen.own_recipes()[0], ON) is None
