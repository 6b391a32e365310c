"""A file as lines, and git's own diff showing a baker's view with it."""

import difflib
import subprocess
import sys
from pathlib import Path

import pytest

from benchproof.compiler.comparison import Passage, Plainly, Side
from benchproof.compiler.past import plainly
from benchproof.renderers.batch_lines import batch_lines
from tests.compiler.bench import DEMO, RECIPES, demo_batch
from tests.compiler.repositories import ENVIRONMENT, KITCHEN, LOAF, PRICES, Repo, needs_git
from tests.renderers.batches import matches_golden, rounds

DRIVER = """\
import sys
from pathlib import Path
from benchproof.compiler.past import plainly
from benchproof.renderers.batch_lines import batch_lines
sys.stdout.buffer.write(batch_lines(plainly(Path(sys.argv[1]), Path.cwd(), "2026-11-20")).encode())
"""


def lines(text: str, folder: Path) -> str:
    for name, said in (("kitchen", KITCHEN), ("prices", PRICES), ("loaf", text)):
        (folder / f"{name}.bench").write_text(said, encoding="utf-8")
    return batch_lines(plainly(folder / "loaf.bench", folder, "2026-11-20"))


def differing(old: str, new: str) -> list[str]:
    return [
        line
        for line in difflib.ndiff(old.splitlines(), new.splitlines())
        if line.startswith(("+", "-")) and line.strip("+- ")
    ]


def test_a_file_reads_as_its_golden_file(tmp_path: Path) -> None:
    text = LOAF + "\n# A comment.\nexpect\n  hydration: 65-70 %\n\ntrial 2026-11-02\n  result: good\n"

    assert matches_golden("lines-loaf.txt", lines(text, tmp_path))


def test_a_larger_batch_is_a_line_or_two(tmp_path: Path) -> None:
    old, new = (
        lines(LOAF, tmp_path),
        lines(LOAF.replace("500 g", "1000 g").replace("2 loaves", "4 loaves"), tmp_path),
    )

    assert differing(old, new) == [
        "-   makes: 2 loaves of 400 g",
        "+   makes: 4 loaves of 400 g",
        "-   formula, strong flour: 100 %, 500 g",
        "+   formula, strong flour: 100 %, 1000 g",
    ]


def test_layout_alone_makes_no_difference(tmp_path: Path) -> None:
    spaced = LOAF.replace(": ", ":    ").replace("  Leave", "    Leave")

    assert differing(lines(LOAF, tmp_path), lines(spaced, tmp_path)) == []


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("step Bake", "# a comment\nstep Bake"),
        ("  base:", "  summary: a loaf\n  base:"),
        ("  base:", "  waive: kept-out-of-the-cold because it is sold at once\n  base:"),
        ("baking tray\n", "baking tray\n\ntrial 2026-11-01\n  result: good\n"),
        ("baking tray\n", "baking tray\n\nexpect\n  salt: 2 %\n"),
        ("baking tray\n", "baking tray\n\nprices at Quay Market on 2026-11-02\n  rye flour: 2 for 1 kg\n"),
        ("68 %", "6,8 %"),
    ],
)
def test_no_change_of_words_is_hidden(was: str, now: str, tmp_path: Path) -> None:
    assert differing(lines(LOAF, tmp_path), lines(LOAF.replace(was, now), tmp_path))


@pytest.mark.parametrize("stem", DEMO[::5])
def test_demo_recipes_have_their_lines(stem: str) -> None:
    path = RECIPES / f"{stem}.bench"

    text = batch_lines(plainly(path, RECIPES, "2026-11-20"))

    assert f"recipe {demo_batch(stem).recipe}\n" in text
    assert "does not compile" not in text
    assert text == text.rstrip("\n") + "\n"
    for comment in path.read_text(encoding="utf-8").split("\n# ")[1:]:
        assert " ".join(comment.split("\n")[0].split()) in text


def test_a_recipe_that_does_not_compile_is_there_as_written(tmp_path: Path) -> None:
    text = lines(LOAF.replace("68 %", "6,8 %"), tmp_path)

    assert text.startswith("does not compile. Line 9: ")
    assert "  water: 6,8 %\n" in text
    assert "  Leave [60-90 min hands-off].\n" in text


def test_hostile_words_cannot_command_a_terminal() -> None:
    file = Plainly((Side("x", None, (Passage("recipe \x1b[31m", ("a\u202e",)),), "\x07"),), ())

    assert not {"\x1b", "\u202e", "\x07"} & set(batch_lines(file))
    assert batch_lines(Plainly((Side("x", rounds(), ()),), ())).startswith("recipe Harbour griddle rounds\n")


@needs_git
def test_git_diff_shows_a_bakers_view(tmp_path: Path) -> None:
    """The two lines of README, in a real repository: one in .gitattributes, one in its configuration."""
    driver = tmp_path / "driver.py"
    driver.write_text(DRIVER, encoding="utf-8")
    repo = Repo(tmp_path / "kitchen")
    repo.commit("One", house__kitchen=KITCHEN, house__prices=PRICES, house__loaf=LOAF)
    repo.commit("Wetter", house__loaf=LOAF.replace("68 %", "70 %"))
    (repo.folder / ".gitattributes").write_text("*.bench diff=bench\n", encoding="utf-8")
    repo.git("config", "diff.bench.textconv", f"'{sys.executable}' '{driver}'")
    hotter = (
        LOAF.replace("68 %", "70 %").replace("[220 C oven]", "[230 C oven]").replace("[30-35 min", "[35 min")
    )
    repo.write(house__loaf=hotter.replace("\nstep Bake", "\n# hotter\nstep Bake"))

    def shown(*arguments: str) -> list[str]:
        run = subprocess.run(
            ["git", "--no-pager", "-c", "core.hooksPath=/dev/null", *arguments],
            cwd=repo.folder,
            env=ENVIRONMENT,
            capture_output=True,
            text=True,
            check=False,
        )
        assert (run.returncode, run.stderr) == (0, "")
        return [
            line
            for line in run.stdout.splitlines()
            if line.startswith(("+", "-")) and not line.startswith(("+++", "---"))
        ]

    now = shown("diff", "--unified=0")
    assert now == [
        "-    Bake at [220 C oven], [30-35 min hands-off].",
        "+    Bake at [230 C oven], [35 min hands-off].",
        *[line for line in now if "time, from" in line],
        "+",
        "+step Rise",
        "+  # hotter",
    ]
    # The older version is read in the kitchen too, though git writes it elsewhere: its cost is there.
    told = [line.strip() for line in shown("show", "--unified=0", "HEAD")]
    assert [line for line in told if "formula" in line or "hydration" in line] == [
        "-  formula, water: 68 %",
        "+  formula, water: 70 %",
        "-  ratio, hydration: 68 % of flour, inside",
        "+  ratio, hydration: 70 % of flour, inside",
    ]
    assert not any("cost" in line for line in told)  # it was there, and is the same
    repo.write(house__loaf=LOAF.replace("1 %", "1.2 %"))
    assert [line for line in shown("diff", "--unified=0", "HEAD") if "cost" in line] == [
        "-  cost, each: 0.710",
        "+  cost, each: 0.751",
    ]
