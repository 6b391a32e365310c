"""A recipe's history: commits oldest first, each read in the kitchen of its time, trials between them."""

from fractions import Fraction
from pathlib import Path

import pytest

from benchproof.compiler import past
from benchproof.compiler.batch import Batch
from benchproof.compiler.history import History, Moment, Tried, in_order, moment
from benchproof.compiler.kitchen import Kitchen, open_kitchen
from benchproof.compiler.past import history_of
from tests.compiler.bench import demo_batch
from tests.compiler.repositories import KITCHEN, LOAF, PRICES, Repo, needs_git

TODAY = "2026-11-20"


def history(repo: Repo, file: str = "loaf.bench") -> History:
    path = (repo.folder / file).resolve()
    kitchen = open_kitchen(path)
    (recipe,) = [one for one in kitchen.own_recipes() if one.source.path == path]
    return history_of(kitchen, recipe, TODAY)


def commits(found: History) -> list[Moment]:
    return [one for one in found.moments if isinstance(one, Moment)]


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    return Repo(tmp_path / "kitchen")


@needs_git
def test_each_commit_with_its_own_figures(repo: Repo) -> None:
    repo.commit("First", "2026-11-01", kitchen=KITCHEN, prices=PRICES, loaf=LOAF)
    repo.commit("Not of the loaf", "2026-11-02", other=LOAF.replace("Pier", "Quay"))
    repo.commit("Wetter", "2026-11-03", loaf=LOAF.replace("68 %", "72 %"))
    repo.commit(
        "Saltier, three",
        "2026-11-04",
        loaf=LOAF.replace("fine salt: 2 %", "fine salt: 2.2 %").replace("2 loaves", "3 loaves"),
    )

    found = history(repo)

    assert (found.recipe, found.file) == ("Pier loaf", "loaf.bench")
    assert [
        (one.date, one.subject, one.hydration, one.salt, one.yeast, one.makes and one.makes.count)
        for one in commits(found)
    ] == [
        ("2026-11-01", "First", 68, 2, 1, 2),
        ("2026-11-03", "Wetter", 72, 2, 1, 2),
        ("2026-11-04", "Saltier, three", 68, Fraction("2.2"), 1, 3),
    ]
    assert all(one.commit and one.elapsed and one.cost_each and one.cost_complete for one in commits(found))


@needs_git
def test_the_kitchen_is_read_at_the_commit_not_now(repo: Repo) -> None:
    dear = PRICES.replace("3.00 for", "9.00 for")
    repo.commit("Cheap", "2026-11-01", kitchen=KITCHEN, prices=PRICES, loaf=LOAF)
    repo.commit("Dear, and wetter", "2026-11-02", prices=dear, loaf=LOAF.replace("68 %", "70 %"))
    repo.write(prices=None)  # today there are no prices at all

    cheap, dearer = [one for one in commits(history(repo)) if one.commit]

    assert cheap.cost is not None
    assert dearer.cost is not None
    assert dearer.cost - cheap.cost == 2  # 500 g of flour at 6.00 a 1.5 kg more


@needs_git
def test_a_commit_is_costed_on_its_own_day(repo: Repo) -> None:
    later = PRICES.replace("2026-10-01", "2026-11-10").replace("3.00 for", "6.00 for")
    repo.commit("Before", "2026-11-01", kitchen=KITCHEN, prices=PRICES, later=later, loaf=LOAF)
    repo.commit("After", "2026-11-12", loaf=LOAF.replace("68 %", "70 %"))

    before, after = commits(history(repo))

    assert before.cost is not None
    assert after.cost is not None
    assert after.cost - before.cost == 1


@needs_git
def test_a_file_and_a_recipe_that_changed_their_names(repo: Repo) -> None:
    repo.commit("First", "2026-11-01", kitchen=KITCHEN, breads__pier=LOAF)
    repo.commit("Renamed within", "2026-11-02", breads__pier=LOAF.replace("Pier loaf", "Jetty loaf"))
    (repo.folder / "loaves").mkdir()
    repo.git("mv", "breads/pier.bench", "loaves/jetty.bench")
    repo.commit("Moved", "2026-11-03")

    found = commits(history(repo, "loaves/jetty.bench"))

    assert [(one.file, one.renamed_from, one.hydration) for one in found] == [
        ("breads/pier.bench", None, 68),
        ("breads/pier.bench", None, 68),
        ("loaves/jetty.bench", "breads/pier.bench", 68),
    ]


@needs_git
def test_commits_that_hold_no_recipe_are_said(repo: Repo) -> None:
    repo.commit("First", "2026-11-01", kitchen=KITCHEN, loaf=LOAF)
    repo.commit("A slip", "2026-11-02", loaf=LOAF.replace("68 %", "6,8 %"))
    repo.commit("Emptied", "2026-11-03", loaf="# to be written\n")
    (repo.folder / "loaf.bench").write_bytes(b"recipe \xff\n")
    repo.commit("Not text", "2026-11-04")
    repo.commit("Taken away", "2026-11-05", loaf=None)
    repo.commit("Back", "2026-11-06", loaf=LOAF)

    found = commits(history(repo))

    assert [(one.subject, one.state) for one in found] == [
        ("First", "compiled"),
        ("A slip", "not compiled"),
        ("Emptied", "no recipe"),
        ("Not text", "not compiled"),
        ("Taken away", "gone"),
        ("Back", "compiled"),
    ]
    assert "comma" in found[1].note
    assert "UTF-8" in found[3].note


@needs_git
def test_what_is_not_committed_is_the_last_line(repo: Repo) -> None:
    repo.commit("First", "2026-11-01", kitchen=KITCHEN, loaf=LOAF)
    assert [one.commit is None for one in commits(history(repo))] == [False]

    repo.write(loaf=LOAF.replace("68 %", "71 %"))
    last = commits(history(repo))[-1]

    assert (last.commit, last.date, last.hydration) == (None, TODAY, 71)


@needs_git
def test_another_kitchen_below_and_hidden_folders_are_no_part_of_it(repo: Repo) -> None:
    flour = "ingredient strong flour\n  kind: fat\n"
    repo.commit("First", "2026-11-01", kitchen=KITCHEN, loaf=LOAF, other__kitchen=KITCHEN, other__flour=flour)
    repo.write(**{".old__flour": flour})
    repo.commit("Hidden", "2026-11-02", loaf=LOAF.replace("68 %", "70 %"))

    assert [one.hydration for one in commits(history(repo))] == [68, 70]


@needs_git
def test_two_hundred_commits_read_each_text_once(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    repo.commit("First", "2026-10-01", kitchen=KITCHEN, prices=PRICES, loaf=LOAF)
    for number in range(30):
        repo.commit(f"Try {number}", "2026-10-02", loaf=LOAF.replace("68 %", f"{60 + number % 3} %"))
    read: list[str] = []
    real = past.read
    monkeypatch.setattr(past, "read", lambda source: read.append(source.name) or real(source))
    built: list[None] = []

    class Counted(Kitchen):
        def __init__(self, *arguments: object, **more: object) -> None:
            built.append(None)
            super().__init__(*arguments, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(past, "Kitchen", Counted)

    found = history(repo)

    assert len(found.moments) == 31
    assert sorted(read) == ["kitchen.bench", *["loaf.bench"] * 4, "prices.bench"]
    assert len(built) == 4  # one for each state of the kitchen


def test_trials_stand_after_the_commits_of_their_day() -> None:
    def at(date: str) -> Moment:
        return moment(date, "1a2b3c4d", "", "loaf.bench", None, None, "gone", "")

    def tried(date: str) -> Tried:
        return Tried(date, None, None, None, None, None)

    # A commit may be older than the one before it, by its author's day.
    found = in_order(
        [at("2026-11-02"), at("2026-11-04"), at("2026-11-03")],
        [tried("2026-11-09"), tried("2026-11-01"), tried("2026-11-02"), tried("2026-11-04")],
    )

    assert [(one.kind, one.date[-2:]) for one in found] == [
        ("trial", "01"),
        ("commit", "02"),
        ("trial", "02"),
        ("commit", "04"),
        ("commit", "03"),
        ("trial", "04"),
        ("trial", "09"),
    ]


def test_a_line_has_what_the_recipe_has() -> None:
    batch: Batch = demo_batch("slipway-dressing")

    one = moment("2026-11-01", "1a2b3c4d", "x", "x.bench", None, batch, "compiled", "")

    assert (one.hydration, one.yeast) == (None, None)
    assert one.makes is batch.makes


@needs_git
def test_the_trials_of_the_recipe_as_it_is_now(repo: Repo) -> None:
    text = LOAF + "\ntrial 2026-11-02\n  made: 2 loaves\n  weighed: 700 g baked\n  result: good\n"
    repo.commit("First", "2026-11-01", kitchen=KITCHEN, loaf=text)

    (_, tried) = history(repo).moments

    assert tried == Tried("2026-11-02", "2 loaves", "700 g baked", None, None, "good")
