"""The command line as a cook and as a program meet it: statuses, streams, files, and never a traceback.

0 fine; 1 findings; 2 the call or the files; 3 our own fault. Data on stdout, all else on stderr.
"""
# ruff: noqa: E501 - recipes on one line

import csv
import io
import json
import os
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result

from benchproof.compiler import command
from benchproof.compiler.command import cli
from benchproof.compiler.findings import Severity
from benchproof.compiler.rules import RULES

ROOT = Path(__file__).resolve().parents[2]

KITCHEN = """\
kitchen Landing
  currency:   NZD
  measures:   metric
  scales:     0.1 g to 500 g, 1 g to 5 kg
  costed on:  2026-11-20

prices at Quay Market on 2026-11-02
  strong flour:   3.30 for 1.5 kg
  water:          free
  fine salt:      1.40 for 500 g
  instant yeast:  4.60 for 8 x 7 g
  packet rolls:   4.40 for 6 of 55 g
"""
ROLLS = """\
recipe Landing rolls
  makes:       10 rolls of 82 g
  serves:      5
  base:        strong flour
  instead of:  packet rolls

ingredients
  strong flour:   500 g
  water:           62 %
  fine salt:        1 %
  instant yeast:    1 %

step Mix
  Knead [the strong flour], [the water] at [30-35 C], [the fine salt] and [the instant yeast], [10 min].
  Shape [10 rolls] and leave [1 h hands-off].

step Bake
  Bake at [220 C oven], [15 min hands-off].
"""
WRONG = (
    ROLLS.replace("Landing rolls", "Salty rolls")
    .replace("        1 %\n  instant", "       20 %\n  instant")
    .replace("10 rolls of 82 g", "10 rolls")
)
LOOSE = "recipe Loose rice\n  serves:  2\n\ningredients\n  white rice:  200 g\n\nstep Boil\n  Boil [the white rice] for 5 min.\n"


@pytest.fixture
def kitchen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small kitchen, and the shell standing in it."""
    (tmp_path / "kitchen.bench").write_text(KITCHEN, encoding="utf-8")
    (tmp_path / "rolls.bench").write_text(ROLLS, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BENCHPROOF_TRACEBACK", raising=False)
    return tmp_path


@pytest.fixture
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> Result:
    """A call in this process. A fault of ours is raised here, so that no test mistakes it for a status."""
    done = CliRunner().invoke(cli, list(words))
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done


def really(*words: str, cwd: Path, **env: str) -> subprocess.CompletedProcess[str]:
    """A call as a process of its own, as a shell makes it."""
    return subprocess.run(
        [sys.executable, "-m", "benchproof.compiler.command", *words],
        cwd=cwd,
        env={**os.environ, **env},
        capture_output=True,
        encoding="utf-8",
        check=False,
        timeout=120,
    )


def refused(*words: str) -> str:
    """What a call that cannot be understood is told: on stderr alone, with status 2."""
    done = run(*words)
    assert done.exit_code == 2, (done.exit_code, done.output)
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()
    return done.stderr


# ---------------------------------------------------------------- check


def test_a_clean_kitchen_says_nothing(kitchen: Path) -> None:
    done = run("check")
    assert (done.stdout, done.stderr, done.exit_code) == ("", "", 0)


def test_an_error_is_status_1_and_on_stdout(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    done = run("check")
    assert done.exit_code == 1
    assert done.stdout.startswith("wrong.bench:10:")
    assert "slipped-decimal" in done.stdout
    assert "1 error in 2 recipes" in done.stderr
    assert "1 error" not in done.stdout


@pytest.mark.parametrize(("strict", "status"), [(False, 0), (True, 1)])
def test_a_warning_fails_only_a_strict_check(empty: Path, strict: bool, status: int) -> None:
    (empty / "a.bench").write_text(LOOSE, encoding="utf-8")
    done = run("check", *(["--strict"] if strict else []))
    assert "loose-number" in done.stdout
    assert done.exit_code == status


def test_a_hint_never_fails(empty: Path) -> None:
    (empty / "a.bench").write_text(
        LOOSE.replace("for 5 min", "[5 min]").replace("serves:  2", "serves:  2\n  adapted from:  Gran"),
        "utf-8",
    )
    done = run("check", "--strict")
    assert "not-used-yet" in done.stdout
    assert done.exit_code == 0


def test_one_file_tells_of_itself_alone(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    assert run("check", "rolls.bench").exit_code == 0
    assert run("check", "wrong.bench").exit_code == 1
    assert run("check", "rolls.bench", "wrong.bench").exit_code == 1


def test_files_of_two_kitchens_at_once(kitchen: Path) -> None:
    other = kitchen / "other"
    other.mkdir()
    (other / "kitchen.bench").write_text("kitchen Other\n", encoding="utf-8")
    (other / "a.bench").write_text(LOOSE, encoding="utf-8")
    assert run("check").stdout == ""
    both = run("check", ".", "other")
    assert both.stdout.count("loose-number") == 1
    assert run("check", "other/a.bench").stdout.startswith("other/a.bench:")


def test_the_same_path_twice_is_told_once(kitchen: Path) -> None:
    (kitchen / "a.bench").write_text(LOOSE, encoding="utf-8")
    assert run("check", "a.bench", "./a.bench", ".").stdout.count("loose-number") == 1


def test_the_same_path_twice_is_told_once_without_a_kitchen_too(empty: Path) -> None:
    (empty / "a.bench").write_text(LOOSE, encoding="utf-8")
    assert run("check", "a.bench", ".").stdout.count("loose-number") == 1


def test_places_are_named_from_where_one_stands(kitchen: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (kitchen / "deep").mkdir()
    (kitchen / "deep" / "wrong.bench").write_text(WRONG, encoding="utf-8")
    assert run("check").stdout.startswith("deep/wrong.bench:10:")
    monkeypatch.chdir(kitchen / "deep")
    assert run("check", ".").stdout.startswith("wrong.bench:10:")


def test_checking_a_folder_inside_a_kitchen_uses_its_larder(kitchen: Path) -> None:
    (kitchen / "deep").mkdir()
    (kitchen / "deep" / "more.bench").write_text(ROLLS.replace("Landing", "Deep"), encoding="utf-8")
    assert run("check", "deep").exit_code == 0
    assert "price-missing" not in run("check", "deep").stdout


def test_as_json(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    done = run("check", "--as", "json")
    data = json.loads(done.stdout)
    assert [one["rule"] for one in data["findings"]] == ["slipped-decimal"]
    assert (data["findings"][0]["file"], data["findings"][0]["line"]) == ("wrong.bench", 10)
    assert done.stderr == ""
    assert done.exit_code == 1
    assert json.loads(run("check", "--as", "json", "rolls.bench").stdout)["findings"] == []


def test_as_sarif(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    log = json.loads(run("check", "--as", "sarif").stdout)
    assert log["version"] == "2.1.0"
    assert [one["ruleId"] for one in log["runs"][0]["results"]] == ["slipped-decimal"]
    assert json.loads(run("check", "--as", "sarif", "rolls.bench").stdout)["runs"][0]["results"] == []


def test_as_github(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    done = run("check", "--as", "github")
    assert done.stdout.startswith("::error file=wrong.bench,line=10,")
    assert run("check", "--as", "github", "rolls.bench").stdout == ""


def test_another_day(kitchen: Path) -> None:
    (kitchen / "kitchen.bench").write_text(
        KITCHEN.replace("  costed on", "  prices go stale after: 30 days\n  costed on"), "utf-8"
    )
    assert run("check").stdout == ""
    assert "price-stale" in run("check", "--on", "2027-06-01").stdout
    assert "price-missing" in run("check", "--on", "2026-11-01").stdout


def test_what_is_not_there(kitchen: Path) -> None:
    assert "nowhere" in refused("check", "nowhere")
    assert "nowhere.bench" in refused("check", "rolls.bench", "nowhere.bench")


def test_a_folder_without_a_file_says_so(empty: Path) -> None:
    assert "no .bench file" in run("check").stderr
    assert run("check").stdout == ""


def test_a_folder_without_a_file_is_no_success(empty: Path) -> None:
    assert run("check").exit_code == 2


def test_a_file_that_is_no_text(kitchen: Path) -> None:
    (kitchen / "bad.bench").write_bytes(b"recipe Cr\xe8me\n")
    assert "UTF-8" in refused("check")


def test_a_file_that_is_no_text_is_named(kitchen: Path) -> None:
    (kitchen / "bad.bench").write_bytes(b"recipe Cr\xe8me\n")
    assert "bad.bench" in refused("check")


def test_a_file_that_cannot_be_read(kitchen: Path) -> None:
    """A folder called like a file, or one without leave to read."""
    locked = kitchen / "locked.bench"
    locked.write_text("recipe A\n", encoding="utf-8")
    locked.chmod(0)
    if os.access(locked, os.R_OK):
        pytest.skip("this user may read everything")
    assert "locked.bench" in refused("check")


def test_a_link_that_leads_nowhere(kitchen: Path) -> None:
    (kitchen / "gone.bench").symlink_to(kitchen / "nothing.bench")
    assert "gone.bench" in refused("check") or "nothing.bench" in refused("check")


def test_a_folder_called_like_a_file(kitchen: Path) -> None:
    (kitchen / "odd.bench").mkdir()
    done = run("check")
    assert done.exit_code in (0, 2)
    assert "Traceback" not in done.output


@pytest.mark.parametrize("day", ["tomorrow", "2026-13-01", "20/11/2026", "2026-02-30", "", "2026-1-1"])
@pytest.mark.parametrize(
    "words", [("check",), ("cost", "rolls.bench"), ("batch", "rolls.bench"), ("card", "rolls.bench")]
)
def test_what_is_no_date(kitchen: Path, words: tuple[str, ...], day: str) -> None:
    told = refused(*words, "--on", day)
    assert "2026-11-20" in told


# ---------------------------------------------------------------- which recipe


@pytest.mark.parametrize(
    "name", ["rolls.bench", "./rolls.bench", "Landing rolls", "landing  ROLLS", "the landing rolls"]
)
@pytest.mark.parametrize("word", ["batch", "cost"])
def test_a_recipe_by_file_or_by_name(kitchen: Path, word: str, name: str) -> None:
    done = run(word, name)
    assert done.exit_code == 0
    assert "Landing rolls" in done.stdout
    assert done.stderr == ""


def test_a_near_name_is_asked_about(kitchen: Path) -> None:
    assert "Did you mean “Landing rolls”?" in refused("cost", "Landing rols")


def test_a_name_like_none(kitchen: Path) -> None:
    assert "bouillabaisse" in refused("cost", "bouillabaisse")


@pytest.mark.parametrize("name", ["nowhere.bench", "no/where", "nowhere/a.bench"])
def test_a_file_that_is_not_there(kitchen: Path, name: str) -> None:
    assert name in refused("cost", name)


def test_a_file_with_two_recipes(kitchen: Path) -> None:
    (kitchen / "two.bench").write_text(
        LOOSE.replace("Loose", "First").replace(" for 5 min", "")
        + "\n"
        + LOOSE.replace("Loose", "Second").replace(" for 5 min", ""),
        encoding="utf-8",
    )
    told = refused("cost", "two.bench")
    assert "First rice" in told
    assert "Second rice" in told
    assert run("batch", "Second rice").exit_code == 0


def test_a_file_with_no_recipe(kitchen: Path) -> None:
    assert "no recipe" in refused("cost", "kitchen.bench")


def test_a_folder_is_no_recipe(kitchen: Path) -> None:
    (kitchen / "deep").mkdir()
    refused("cost", "deep")


def test_a_recipe_in_another_kitchen_by_its_file(
    kitchen: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path_factory.mktemp("elsewhere"))
    assert "NZD" in run("cost", str(kitchen / "rolls.bench")).stdout


# ---------------------------------------------------------------- how much


@pytest.mark.parametrize(
    ("options", "flour"),
    [
        ((), "500"),
        (("--makes", "20 rolls"), "1000"),
        (("--makes", "20"), "1000"),
        (("--makes", "5 rolls"), "250"),
        (("--makes", "10 rolls of 41 g"), "250"),
        (("--makes", "1.64 kg"), "1000"),
        (("--times", "2"), "1000"),
        (("--times", "1/2"), "250"),
        (("--times", "½"), "250"),
        (("--times", "0.5"), "250"),
        (("--times", "1 1/2"), "750"),
        (("--base", "730 g"), "730"),
        (("--base", "1 kg"), "1000"),
    ],
)
def test_any_batch(kitchen: Path, options: tuple[str, ...], flour: str) -> None:
    done = run("batch", "rolls.bench", "--as", "json", *options)
    assert done.exit_code == 0, done.stderr
    lines = json.loads(done.stdout)["parts"][0]["lines"]
    weight = next(line["weight"] for line in lines if line["name"] == "strong flour")
    assert flour in json.dumps(weight)


@pytest.mark.parametrize(
    "options",
    [
        ("--makes", "20 loaves"),
        ("--makes", "many"),
        ("--makes", ""),
        ("--makes", "0 rolls"),
        ("--makes", "-3 rolls"),
        ("--makes", "20 rolls\n  base: water"),
        ("--makes", "2 l"),
        ("--makes", "2,5 kg"),
        ("--times", "0"),
        ("--times", "1/0"),
        ("--times", "-1"),
        ("--times", "two"),
        ("--times", ""),
        ("--times", "1e3"),
        ("--times", "99999999"),
        ("--base", "0 g"),
        ("--base", "730"),
        ("--base", "2 cups"),
        ("--base", "flour"),
        ("--makes", "20 rolls", "--times", "2"),
        ("--times", "2", "--base", "1 kg"),
        ("--temperatures", "K"),
        ("--as", "pdf2"),
        ("--nonsense",),
    ],
)
@pytest.mark.parametrize("word", ["batch", "cost", "card"])
def test_what_cannot_be_asked(kitchen: Path, word: str, options: tuple[str, ...]) -> None:
    before = sorted(kitchen.iterdir())
    refused(word, "rolls.bench", *options)
    assert sorted(kitchen.iterdir()) == before


def test_the_wrong_noun_is_told_the_right_one(kitchen: Path) -> None:
    told = refused("batch", "rolls.bench", "--makes", "20 loaves")
    assert "rolls, not loaves" in told
    assert "--makes '20 rolls'" in told


def test_a_recipe_that_counts_nothing(kitchen: Path) -> None:
    (kitchen / "rice.bench").write_text(LOOSE.replace(" for 5 min", ""), encoding="utf-8")
    assert "how many" in refused("batch", "rice.bench", "--makes", "12 bowls")
    assert "base" in refused("batch", "rice.bench", "--base", "300 g")
    assert run("batch", "rice.bench", "--makes", "6 portions").exit_code == 0


@pytest.mark.parametrize(("asked", "first"), [("C", "30–35"), ("F", "86–95")])
def test_degrees(kitchen: Path, asked: str, first: str) -> None:
    done = run("batch", "rolls.bench", "--temperatures", asked)
    assert first in done.stdout.replace("\u2009", "").replace("\u202f", "")


def test_another_day_another_cost(kitchen: Path) -> None:
    with (kitchen / "kitchen.bench").open("a", encoding="utf-8") as file:
        file.write("\nprices at Quay Market on 2026-12-01\n  strong flour:  9.90 for 1.5 kg\n")
    now, later = run("cost", "rolls.bench").stdout, run("cost", "rolls.bench", "--on", "2026-12-02").stdout
    assert "2026-11-20" in now
    assert "2026-12-02" in later
    assert "1.10" in now
    assert "3.30" in later


# ---------------------------------------------------------------- findings stand in the way


def test_an_error_stops_the_batch(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    for word in ("batch", "cost", "card"):
        done = run(word, "wrong.bench")
        assert done.exit_code == 1
        assert done.stdout == ""
        assert "slipped-decimal" in done.stderr
        assert "Salty rolls" in done.stderr
    assert not list(kitchen.glob("*.pdf"))


def test_anyway_goes_on_and_still_tells(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    done = run("batch", "wrong.bench", "--anyway")
    assert done.exit_code == 0
    assert "Salty rolls" in done.stdout
    assert "slipped-decimal" in done.stderr
    assert "slipped-decimal" not in done.stdout


def test_anyway_cannot_make_what_has_no_weight(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(
        WRONG.replace("base:        strong flour", "base:        rye"), encoding="utf-8"
    )
    done = run("batch", "wrong.bench", "--anyway")
    assert done.exit_code == 1
    assert done.stdout == ""


def test_a_mistake_elsewhere_stands_in_nobodys_way(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    done = run("batch", "rolls.bench")
    assert (done.exit_code, done.stderr) == (0, "")


def test_a_warning_does_not_stop_it(kitchen: Path) -> None:
    (kitchen / "rice.bench").write_text(LOOSE, encoding="utf-8")
    done = run("batch", "rice.bench")
    assert done.exit_code == 0
    assert "Loose rice" in done.stdout


# ---------------------------------------------------------------- forms and files


def test_cost_in_each_form(kitchen: Path) -> None:
    text = run("cost", "rolls.bench").stdout
    assert "strong flour" in text
    rows = list(csv.reader(io.StringIO(run("cost", "rolls.bench", "--as", "csv").stdout)))
    assert len({len(row) for row in rows}) == 1
    assert any("strong flour" in row for row in rows)
    assert json.loads(run("cost", "rolls.bench", "--as", "json").stdout)
    assert "| " in run("cost", "rolls.bench", "--as", "markdown").stdout
    assert run("cost", "rolls.bench", "--as", "html").stdout.lstrip().lower().startswith("<!doctype html>")


def test_cost_of_two_recipes(kitchen: Path) -> None:
    (kitchen / "rice.bench").write_text(LOOSE.replace(" for 5 min", ""), encoding="utf-8")
    done = run("cost", "rolls.bench", "Loose rice")
    assert "Landing rolls" in done.stdout
    assert "Loose rice" in done.stdout


def test_batch_as_json_is_json_alone(kitchen: Path) -> None:
    done = run("batch", "rolls.bench", "--as", "json")
    assert json.loads(done.stdout)["recipe"] == "Landing rolls"
    assert done.stderr == ""


@pytest.mark.parametrize("word", ["batch", "cost"])
def test_out_to_a_file_and_to_stdout(kitchen: Path, word: str) -> None:
    shown = run(word, "rolls.bench").stdout
    assert run(word, "rolls.bench", "--out", "-").stdout == shown
    done = run(word, "rolls.bench", "--out", "table.txt")
    assert done.stdout == ""
    assert "table.txt" in done.stderr
    assert "Landing rolls" in (kitchen / "table.txt").read_text(encoding="utf-8")


def test_the_card_as_a_page(kitchen: Path) -> None:
    done = run("card", "rolls.bench", "--as", "html")
    assert (done.exit_code, done.stdout) == (0, "")
    assert done.stderr.strip() == "landing-rolls.html"
    page = (kitchen / "landing-rolls.html").read_text(encoding="utf-8")
    assert "Landing rolls" in page
    assert run("card", "rolls.bench", "--as", "html", "--out", "-").stdout == page


def test_the_card_on_paper(kitchen: Path) -> None:
    done = really("card", "rolls.bench", cwd=kitchen)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "landing-rolls.pdf\n")
    assert (kitchen / "landing-rolls.pdf").read_bytes().startswith(b"%PDF-")
    assert [path.name for path in sorted(kitchen.iterdir())] == [
        "kitchen.bench",
        "landing-rolls.pdf",
        "rolls.bench",
    ]


@pytest.mark.parametrize("paper", ["A4", "A5", "letter", "5x8"])
def test_the_card_on_each_paper(kitchen: Path, paper: str) -> None:
    assert run("card", "rolls.bench", "--as", "html", "--paper", paper, "--out", "-").exit_code == 0


def test_the_card_in_several_sizes(kitchen: Path) -> None:
    page = run("card", "rolls.bench", "--as", "html", "--sizes", "1,2,4", "--out", "-").stdout
    for weight in ("500", "1000", "2000"):
        assert weight in page


@pytest.mark.parametrize("sizes", ["", "0", "1,,2", "two", "1;2", "1/0", "99999999"])
def test_sizes_that_are_none(kitchen: Path, sizes: str) -> None:
    assert "--sizes" in refused("card", "rolls.bench", "--as", "html", "--sizes", sizes)
    assert not list(kitchen.glob("*.html"))


def test_a_name_that_is_hard_on_files(kitchen: Path) -> None:
    (kitchen / "odd.bench").write_text(
        LOOSE.replace("Loose rice", "Crème / brûlée & Co, no 7").replace(" for 5 min", ""), "utf-8"
    )
    done = run("card", "odd.bench", "--as", "html")
    assert done.exit_code == 0
    (page,) = kitchen.glob("*.html")
    assert page.parent == kitchen
    assert "/" not in page.name


@pytest.mark.parametrize("out", ["nowhere/table.txt", ".", "kitchen.bench/table.txt"])
@pytest.mark.parametrize("word", ["batch", "cost", "card"])
def test_where_nothing_can_be_written(kitchen: Path, word: str, out: str) -> None:
    before = {path: path.read_bytes() for path in kitchen.iterdir()}
    form = ["--as", "html"] if word == "card" else []
    assert "cannot be written" in refused(word, "rolls.bench", *form, "--out", out)
    assert {path: path.read_bytes() for path in kitchen.iterdir()} == before


def test_a_file_is_written_whole_or_not_at_all(kitchen: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = kitchen / "table.txt"
    target.write_text("the old one", encoding="utf-8")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    told = refused("cost", "rolls.bench", "--out", "table.txt")
    assert "No space left" in told
    assert target.read_text(encoding="utf-8") == "the old one"
    assert sorted(path.name for path in kitchen.iterdir()) == ["kitchen.bench", "rolls.bench", "table.txt"]


def test_a_file_keeps_its_mode(kitchen: Path) -> None:
    target = kitchen / "table.txt"
    target.write_text("", encoding="utf-8")
    target.chmod(0o600)
    run("cost", "rolls.bench", "--out", "table.txt")
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    os.umask(0o022)
    run("cost", "rolls.bench", "--out", "new.txt")
    assert stat.S_IMODE((kitchen / "new.txt").stat().st_mode) == 0o644


def test_a_link_is_written_through(kitchen: Path) -> None:
    (kitchen / "real.txt").write_text("", encoding="utf-8")
    (kitchen / "table.txt").symlink_to("real.txt")
    run("cost", "rolls.bench", "--out", "table.txt")
    assert (kitchen / "table.txt").is_symlink()
    assert "Landing rolls" in (kitchen / "real.txt").read_text(encoding="utf-8")


# ---------------------------------------------------------------- new, explain


@pytest.mark.parametrize("in_a_kitchen", [False, True])
def test_a_new_recipe_is_clean_from_the_start(empty: Path, in_a_kitchen: bool) -> None:
    if in_a_kitchen:
        assert run("new", "--kitchen", "Ours").exit_code == 0
    done = run("new", "Sunday loaf")
    assert (done.exit_code, done.stdout, done.stderr) == (0, "", "sunday-loaf.bench\n")
    checked = run("check", "--strict")
    assert (checked.exit_code, checked.output) == (0, "")
    assert run("batch", "Sunday loaf").exit_code == 0
    assert run("card", "sunday-loaf.bench", "--as", "html").exit_code == 0


def test_a_new_kitchen_is_clean_too(empty: Path) -> None:
    done = run("new", "--kitchen", "Ours")
    assert done.stderr == "kitchen.bench\n"
    checked = run("check", "--strict")
    assert (checked.exit_code, checked.output) == (0, "")


@pytest.mark.parametrize("words", [("new", "Sunday loaf"), ("new", "--kitchen", "Ours")])
def test_new_overwrites_nothing(empty: Path, words: tuple[str, ...]) -> None:
    assert run(*words).exit_code == 0
    (made,) = empty.iterdir()
    made.write_text("mine", encoding="utf-8")
    assert "there already" in refused(*words)
    assert made.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", ["", "  ", "a: b", "a [b]", "# a", "two\nlines"])
def test_what_is_no_name(empty: Path, name: str) -> None:
    refused("new", name)
    assert list(empty.iterdir()) == []


@pytest.mark.parametrize(
    "name", ["Crème brûlée", "Mum's 7-grain loaf", "{braces}", "00 rolls", "עוגה", "../../etc", "CON"]
)
def test_every_name_that_is_one_reads_clean(empty: Path, name: str) -> None:
    assert run("new", name).exit_code == 0
    (made,) = empty.iterdir()
    assert made.suffix == ".bench"
    checked = run("check", "--strict")
    assert (checked.exit_code, checked.stdout) == (0, ""), checked.stdout


@pytest.mark.parametrize("name", ["Bread, white", "Rolls, after Gran"])
def test_a_name_with_a_comma_is_refused_or_reads_clean(empty: Path, name: str) -> None:
    done = run("new", name)
    assert done.exit_code == 2 or run("check", "--strict").output == ""


@pytest.mark.parametrize("rule", sorted(RULES))
def test_every_rule_is_explained(rule: str) -> None:
    done = run("explain", rule)
    assert done.exit_code == 0
    assert done.stdout.startswith(f"{rule}  ({RULES[rule].severity.word}")
    assert "Why it matters" in done.stdout
    assert "What to do" in done.stdout
    told = done.stdout.partition("\nFor example")[0]  # below it, text and message stand as they are
    assert all(len(line) <= 88 for line in told.splitlines())
    assert ("It is about safety" in done.stdout) is RULES[rule].safety


def test_explain_lists_them_all() -> None:
    listed = run("explain").stdout
    assert all(f"\n  {rule} " in listed for rule in RULES)


def test_explain_asks_about_a_near_name() -> None:
    assert "slipped-decimal" in refused("explain", "slipped-decmal")
    assert "explain" in refused("explain", "xyzzy")
    assert run("explain", " Slipped-Decimal ").exit_code == 0


def test_every_finding_printed_can_be_explained(kitchen: Path) -> None:
    found = json.loads(run("check", "--as", "json", str(ROOT / "recipes" / "broken")).stdout)["findings"]
    assert len(found) > 40
    assert {one["rule"] for one in found} <= set(RULES)


# ---------------------------------------------------------------- format, mend, upgrade

MESSY = "recipe X\n makes: 2 loaves\n\ningredients\n flour: 500grams  # ours\n water:  350 g\n"


def test_format_lays_out_and_says_so(empty: Path) -> None:
    file = empty / "x.bench"
    file.write_bytes(MESSY.replace("\n", "\r\n").encode())
    done = run("format")
    assert done.exit_code == 0
    assert done.stderr.splitlines() == ["x.bench", "1 of 1 files changed."]
    laid = file.read_bytes().decode()
    assert laid == (
        "recipe X\r\n  makes:  2 loaves\r\n\r\ningredients\r\n  flour:  500 g  # ours\r\n  water:  350 g\r\n"
    )
    assert run("format").stderr == "Nothing to change.\n"
    assert run("format", "--check").exit_code == 0


def test_format_check_and_diff_change_nothing(empty: Path) -> None:
    file = empty / "x.bench"
    file.write_text(MESSY, "utf-8")
    for option in ("--check", "--diff"):
        done = run("format", option)
        assert done.exit_code == 1
        assert "1 of 1 files are laid out otherwise." in done.stderr
        assert file.read_text("utf-8") == MESSY
    assert "+  flour:  500 g  # ours" in run("format", "--diff").stdout.splitlines()


def test_format_some_lines(empty: Path) -> None:
    file = empty / "x.bench"
    file.write_text(MESSY, "utf-8")
    assert run("format", "--lines", "5-5", "x.bench").exit_code == 0
    assert file.read_text("utf-8") == MESSY.replace(" flour: 500grams  #", "  flour:  500 g  #")
    assert "--lines is for one file" in refused("format", "--lines", "5")
    assert "no stretch of lines" in refused("format", "--lines", "9-5", "x.bench")


def test_format_from_stdin_to_stdout(empty: Path) -> None:
    done = CliRunner().invoke(cli, ["format", "-"], input=MESSY)
    assert done.exit_code == 0
    assert "  flour:  500 g  # ours\n" in done.stdout
    assert "UTF-8" in CliRunner().invoke(cli, ["format", "-"], input=b"recipe \xff").output


def test_format_leaves_what_somebody_else_has_changed(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = empty / "x.bench"
    file.write_text(MESSY, "utf-8")
    real = command.lay_out

    def changed_meanwhile(*words: Any) -> Any:
        found = real(*words)
        file.write_text("recipe Y\n", "utf-8")
        return found

    monkeypatch.setattr(command, "lay_out", changed_meanwhile)
    done = run("format")
    assert done.exit_code == 1
    assert "changed by somebody else" in done.stderr
    assert file.read_text("utf-8") == "recipe Y\n"


def test_mend_puts_right_what_is_only_a_slip(empty: Path) -> None:
    file = empty / "x.bench"
    text = "recipe X\n  makes:  2 loaves\n\ningredients\n  flour:  500 g\n  water:  2,5 g\n\nstep Mix\n  [the flour], [5 Min].\n"
    file.write_text(text, "utf-8")
    first = run("check", "--mend")
    assert "x.bench:9: mended unit-case: Min -> min" in first.stderr
    mended = file.read_text("utf-8")
    assert "[5 min]" in mended
    assert "mended" not in run("check", "--mend").stderr
    assert file.read_text("utf-8") == mended


def test_upgrade_has_nothing_to_do_yet(kitchen: Path) -> None:
    assert run("upgrade").stderr == "Everything is in version 1, the newest.\n"
    (kitchen / "kitchen.bench").write_text("kitchen K\n  language: 9\n", "utf-8")
    assert "version 9" in refused("upgrade")


# ---------------------------------------------------------------- the day

LOAF = (
    "recipe Loaf\n  makes: 1 loaf\n\ningredients\n  flour: 500 g\n  water: 350 g\n  instant yeast: 3 g\n\n"
    "step Mix\n  Mix [the flour], [the water] and [the instant yeast], [10 min].\n  Leave [60-90 min hands-off].\n\n"
    "step Bake\n  Bake at [220 C oven], [30-35 min hands-off].\n"
)


@pytest.fixture
def loaf(empty: Path) -> Path:
    file = empty / "loaf.bench"
    file.write_text(LOAF, "utf-8")
    return file


def test_a_day_without_a_clock(loaf: Path) -> None:
    done = run("day", "loaf.bench")
    assert done.exit_code == 0
    assert "Ready after 2 h 15 min." in done.stdout
    assert "Proven" in done.stdout


def test_a_day_that_is_ready_at_eight(loaf: Path) -> None:
    done = run("day", "loaf.bench", "--ready-at", "08:00", "--on", "2026-11-20")
    assert "Begin at 05:45, ready at 08:00 on Friday 2026-11-20." in done.stdout


@pytest.mark.parametrize(
    ("form", "starts"),
    [
        ("json", b"{"),
        ("svg", b"<svg"),
        ("html", b"<!DOCTYPE html>"),
        ("pdf", b"%PDF"),
        ("ical", b"BEGIN:VCALENDAR\r\n"),
    ],
)
def test_a_day_in_every_form(loaf: Path, form: str, starts: bytes) -> None:
    done = run("day", "loaf.bench", "--ready-at", "08:00", "--as", form)
    assert done.exit_code == 0
    assert done.stdout_bytes.startswith(starts)
    out = loaf.parent / f"day.{form}"
    assert run("day", "loaf.bench", "--ready-at", "08:00", "--as", form, "--out", str(out)).exit_code == 0
    assert out.read_bytes().startswith(starts)


def test_a_day_that_cannot_be_says_so(loaf: Path) -> None:
    done = run("day", "loaf.bench", "--ready-at", "08:00", "--start-at", "07:00")
    assert done.exit_code == 1
    assert "1\u2009h 15\u2009min longer" in done.stdout or "1 h 15 min longer" in done.stdout
    assert "no time of day" in refused("day", "loaf.bench", "--ready-at", "25:00")
    assert "no stretch of a day" in refused("day", "loaf.bench", "--between", "six")
    assert "no time zone" in refused("day", "loaf.bench", "--zone", "Nowhere")
    assert "while the cooks are free" in refused(
        "day", "loaf.bench", "--ready-at", "08:00", "--between", "06:00-06:05"
    )
    assert "needs times of day" in refused("day", "loaf.bench", "--as", "ical")


# ---------------------------------------------------------------- help


def commands() -> list[str]:
    return sorted(cli.commands)


@pytest.mark.parametrize("word", ["", *commands()])
@pytest.mark.parametrize("flag", ["-h", "--help"])
def test_help(word: str, flag: str) -> None:
    done = run(*([word] if word else []), flag)
    assert done.exit_code == 0
    assert done.stderr == ""
    assert "Usage:" in done.stdout


@pytest.mark.parametrize("word", commands())
def test_every_option_is_explained(word: str) -> None:
    options = [one for one in cli.commands[word].params if isinstance(one, click.Option)]
    bare = [one.opts[0] for one in options if not one.help and one.opts[0] not in ("--as", "--paper")]
    assert bare == []


def test_the_list_of_commands_is_not_cut_off() -> None:
    assert "..." not in run("--help").stdout.replace("[ARGS]...", "")


def test_version() -> None:
    assert run("--version").stdout.startswith("benchproof, version ")


def test_an_unknown_command_is_asked_about() -> None:
    assert "check" in refused("chekc")


def test_no_command_at_all_shows_the_help() -> None:
    done = run()
    assert "Usage:" in done.output


# ---------------------------------------------------------------- as a process


def test_streams_and_statuses_of_a_real_process(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    done = really("check", cwd=kitchen)
    assert done.returncode == 1
    assert done.stdout.startswith("wrong.bench:10:")
    assert done.stderr == "1 error in 2 recipes\n"
    missing = really("cost", "nowhere.bench", cwd=kitchen)
    assert (missing.returncode, missing.stdout) == (2, "")


def test_no_colour_in_a_pipe_nor_when_it_is_not_wanted(kitchen: Path) -> None:
    (kitchen / "wrong.bench").write_text(WRONG, encoding="utf-8")
    for env in ({}, {"NO_COLOR": "1"}, {"TERM": "dumb"}, {"FORCE_COLOR": ""}):
        assert "\x1b" not in really("check", cwd=kitchen, **env).stdout


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("env", "colour"),
    [({}, True), ({"NO_COLOR": "1"}, False), ({"NO_COLOR": ""}, True), ({"TERM": "dumb"}, False)],
)
def test_colour_at_a_terminal(monkeypatch: pytest.MonkeyPatch, env: dict[str, str], colour: bool) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    for name, value in env.items():
        monkeypatch.setenv(name, value)
    assert command._colour(_Terminal()) is colour
    assert command._colour(io.StringIO()) is False


@pytest.mark.parametrize("locale", ["C", "POSIX", "C.UTF-8"])
def test_letters_survive_any_locale(kitchen: Path, locale: str) -> None:
    (kitchen / "odd.bench").write_text(LOOSE.replace("Loose rice", "Crème brûlée"), encoding="utf-8")
    done = really(
        "batch", "odd.bench", cwd=kitchen, LC_ALL=locale, LANG=locale, PYTHONUTF8="0", PYTHONIOENCODING=""
    )
    assert done.returncode == 0, done.stderr
    assert "Crème brûlée" in done.stdout


def test_a_pipe_that_closes_early(kitchen: Path) -> None:
    """`benchproof explain | head -1` is no fault."""
    done = subprocess.run(
        f"{sys.executable} -m benchproof.compiler.command explain | head -1",
        shell=True,
        cwd=kitchen,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert "Traceback" not in done.stderr
    assert "fault of its own" not in done.stderr


# ---------------------------------------------------------------- our own fault


FAULTY = {
    "check": "check_kitchen",
    "batch": "_recipe",
    "cost": "_recipe",
    "card": "_recipe",
    "new": "_save",
    "explain": "own_checks",
}


@pytest.mark.parametrize("word", FAULTY)
def test_a_fault_of_ours_is_one_line_and_status_3(
    kitchen: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str], word: str
) -> None:
    def fails(*_: Any, **__: Any) -> None:
        raise RuntimeError("a wheel came off")

    monkeypatch.setattr(command, FAULTY[word], fails)
    argument = {"check": [], "new": ["A"], "explain": ["loose-number"]}.get(word, ["rolls.bench"])
    monkeypatch.setattr(sys, "argv", ["benchproof", word, *argument])
    with pytest.raises(SystemExit) as left:
        command.main()
    out, err = capfd.readouterr()
    assert left.value.code == 3
    assert out == ""
    assert err.count("\n") == 1
    assert "a wheel came off" in err
    assert "Please report it" in err


def test_a_fault_can_be_looked_into(kitchen: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: Any, **__: Any) -> None:
        raise RuntimeError("a wheel came off")

    monkeypatch.setattr(command, "check_kitchen", fails)
    monkeypatch.setenv("BENCHPROOF_TRACEBACK", "1")
    monkeypatch.setattr(sys, "argv", ["benchproof", "check"])
    with pytest.raises(RuntimeError):
        command.main()


@pytest.mark.parametrize(
    "error",
    [
        RecursionError("too deep"),
        MemoryError(),
        KeyError("x"),
        ZeroDivisionError("Fraction(1, 0)"),
        UnicodeEncodeError("utf-8", "\ud800", 0, 1, "no"),
    ],
)
def test_any_fault_is_caught(
    kitchen: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str], error: Exception
) -> None:
    def fails(*_: Any, **__: Any) -> None:
        raise error

    monkeypatch.setattr(command, "check_kitchen", fails)
    monkeypatch.setattr(sys, "argv", ["benchproof", "check"])
    with pytest.raises(SystemExit) as left:
        command.main()
    assert left.value.code == 3
    assert "Traceback" not in "".join(capfd.readouterr())


def test_the_statuses_are_the_ones_promised() -> None:
    assert (command.UNREADABLE, command.OUR_FAULT) == (2, 3)
    assert Severity.ERROR > Severity.WARNING > Severity.HINT


# ---------------------------------------------------------------- a card without money


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_a_card_of_a_kitchen_without_a_currency(kitchen: Path, form: str) -> None:
    """Prices, and nobody said in what money: the card is made all the same."""
    (kitchen / "kitchen.bench").write_text(KITCHEN.replace("  currency:   NZD\n", ""), encoding="utf-8")
    assert really("card", "rolls.bench", "--as", form, cwd=kitchen).returncode == 0


def test_what_is_no_file_is_written_to_and_stays_what_it_is(tmp_path: Path) -> None:
    """A device or a pipe must never be put out of its place by a file of that name."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        saved = command._save(pipe, b"a card")
        assert saved is None
        assert os.read(reader, 100) == b"a card"
    finally:
        os.close(reader)
    assert pipe.is_fifo()


def test_nothing_is_written_over_a_recipe(tmp_path: Path) -> None:
    recipe = tmp_path / "rice.bench"
    recipe.write_text("recipe Rice\n\ningredients\n  white rice: 200 g\n", encoding="utf-8")
    before = recipe.read_bytes()
    for name in ("cost", "batch", "card"):
        done = CliRunner().invoke(cli, [name, str(recipe), "--out", str(recipe)])
        assert done.exit_code == 2
        assert "recipe file" in done.stderr
    assert recipe.read_bytes() == before


def test_a_folder_is_read_without_following_links_or_waiting_on_pipes(tmp_path: Path) -> None:
    (tmp_path / "rice.bench").write_text(
        "recipe Rice\n\ningredients\n  white rice: 200 g\n", encoding="utf-8"
    )
    os.mkfifo(tmp_path / "pipe.bench")
    (tmp_path / "round").symlink_to(tmp_path)
    done = CliRunner().invoke(cli, ["check", str(tmp_path)])
    assert done.exit_code == 0


def test_money_that_no_shop_takes_is_a_finding_and_no_fault(tmp_path: Path) -> None:
    (tmp_path / "kitchen.bench").write_text(
        "kitchen Quay\n  currency: XAU\n\nprices at Quay Market on 2026-11-02\n  white rice: 2.00 for 1 kg\n\n"
        "recipe Rice\n\ningredients\n  white rice: 200 g\n",
        encoding="utf-8",
    )
    done = CliRunner().invoke(cli, ["check", str(tmp_path)])
    assert "unknown-currency" in done.stdout
    done = CliRunner().invoke(cli, ["cost", str(tmp_path / "kitchen.bench"), "--on", "2026-11-20"])
    assert done.exit_code == 0
    assert "0.40" in done.stdout


def test_a_terminal_that_does_not_know_its_width_gets_the_fixed_layout(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

        def fileno(self) -> int:
            return 1

    monkeypatch.setattr(os, "get_terminal_size", lambda _: os.terminal_size((0, 0)))
    assert command._width(Terminal()) is None
    monkeypatch.setattr(os, "get_terminal_size", lambda _: os.terminal_size((80, 24)))
    assert command._width(Terminal()) == 80
