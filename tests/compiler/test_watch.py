"""Watching a recipe: what is read again and when, and what is kept when it cannot be read."""

from __future__ import annotations

import os
from pathlib import Path
from threading import Event, Thread

import pytest

from benchproof.compiler import watch as watch_module
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import bench_files
from benchproof.compiler.look import Asking, Look
from benchproof.compiler.parser import read
from benchproof.compiler.request import RequestError
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import File
from benchproof.compiler.watch import Watch, request_of, survey

LOAF = """recipe Pier loaf
  makes:      2 loaves
  base:       strong flour
ingredients
  strong flour:     500 g
  water:             65 %
  fine salt:          2 %
step Mix
  Stir [the strong flour], [the water] and [the fine salt] together, [10 min].
step Bake
  Bake at [220 C oven], [30 min hands-off].
"""
BROKEN = LOAF.replace("500 g", "500 gg")
KITCHEN = "kitchen Saltmarsh\n  currency: NZD\n  costed on: 2026-11-20\n"
PRICES = "prices at Lantern Street Grocer on 2026-11-02\n  strong flour: {} for 1 kg\n"
WAIT = 20
"""Seconds until a test gives up: it is never what is measured."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "kitchen.bench").write_text(KITCHEN, "utf-8")
    (tmp_path / "loaf.bench").write_text(LOAF, "utf-8")
    return tmp_path


def watching(path: Path, name: str | None = None) -> Watch:
    return Watch(path, name, lambda: "2026-11-25")


def seen(watch: Watch, **asked: str) -> Look:
    watch.refresh()
    return watch.look(Asking(**asked))


def flour(look: Look) -> int:
    assert look.batch is not None
    weight = next(line.weight for line in look.batch.parts[0].lines if line.name == "strong flour")
    assert weight is not None
    return int(weight)


# ---------------------------------------------------------------- one look after another


def test_a_text_that_is_right(folder: Path) -> None:
    look = seen(watching(folder / "loaf.bench"))
    assert (look.recipe, look.file, look.state, look.missing) == ("Pier loaf", "loaf.bench", "good", None)
    assert flour(look) == 500
    assert look.day is not None
    assert look.batch is not None
    assert look.batch.asked.on == "2026-11-20", "the kitchen says for which day"


def test_nothing_changed_is_nothing_read(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    before = watch.number
    assert not watch.refresh()
    assert watch.number == before


def test_a_save_is_seen(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    (folder / "loaf.bench").write_text(LOAF.replace("500 g", "750 g"), "utf-8")
    assert watch.refresh()
    assert flour(watch.look(Asking())) == 750


def test_a_save_by_rename_is_seen_though_length_and_time_are_the_same(folder: Path) -> None:
    path = folder / "loaf.bench"
    watch = watching(path)
    was = path.stat()
    beside = folder / ".loaf.bench.new"
    beside.write_text(LOAF.replace("500 g", "750 g"), "utf-8")
    os.utime(beside, ns=(was.st_atime_ns, was.st_mtime_ns))
    beside.replace(path)
    assert path.stat().st_size == was.st_size
    assert flour(seen(watch)) == 750


def test_line_ends_of_another_system_change_nothing(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    before = watch.look(Asking())
    (folder / "loaf.bench").write_bytes(LOAF.replace("\n", "\r\n").encode())
    after = seen(watch)
    assert after.number != before.number
    assert (after.state, after.batch, after.findings) == (before.state, before.batch, before.findings)


def test_a_broken_text_leaves_the_last_good_batch(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    good = watch.look(Asking())
    (folder / "loaf.bench").write_text(BROKEN, "utf-8")
    look = seen(watch)
    assert look.state == "last"
    assert look.batch == good.batch
    assert "500 gg" in look.findings[0].span.source.text, "the findings are of the new text"
    assert flour(seen(watch, times="2")) == 1000, "the batch can still be changed"
    (folder / "loaf.bench").write_text(LOAF, "utf-8")
    assert seen(watch).state == "good"


def test_what_has_errors_and_a_batch_is_shown_as_it_is_and_is_no_last_good_one(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    (folder / "loaf.bench").write_text(LOAF.replace("2 %", "20 %"), "utf-8")
    look = seen(watch)
    assert look.state == "mistaken"
    assert look.batch is not None
    (folder / "loaf.bench").write_text(BROKEN, "utf-8")
    last = seen(watch)
    assert last.state == "last"
    assert last.batch is not None
    assert last.batch.parts[0].weight < look.batch.parts[0].weight


def test_a_text_that_never_worked_has_no_batch(folder: Path) -> None:
    (folder / "loaf.bench").write_text(BROKEN, "utf-8")
    look = seen(watching(folder / "loaf.bench"))
    assert (look.state, look.batch, look.day) == ("none", None, None)
    assert look.findings


def test_a_file_that_is_deleted_and_comes_back(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    (folder / "loaf.bench").unlink()
    look = seen(watch)
    assert look.state == "last"
    assert look.missing is not None
    assert look.missing.message == "loaf.bench is gone."
    assert look.findings == (), "what was found is of a text that is no more"
    (folder / "loaf.bench").write_text(LOAF, "utf-8")
    assert seen(watch).state == "good"


def test_a_lone_file_that_is_deleted_and_comes_back(tmp_path: Path) -> None:
    path = tmp_path / "loaf.bench"
    path.write_text(LOAF, "utf-8")
    (tmp_path / "other.bench").write_text(LOAF, "utf-8")
    watch = watching(path)
    assert set(survey(path).files) == {path}, "a lone file is a kitchen by itself"
    path.unlink()
    look = seen(watch)
    assert look.state == "last"
    assert look.missing is not None
    assert look.missing.message == "loaf.bench is gone."
    path.write_text(LOAF, "utf-8")
    assert seen(watch).state == "good"


def test_a_file_gets_a_moment_to_come_back(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    (folder / "loaf.bench").unlink()
    waited = []

    def editor(seconds: float) -> None:
        waited.append(seconds)
        (folder / "loaf.bench").write_text(LOAF.replace("500 g", "750 g"), "utf-8")

    assert watch.refresh(editor)
    assert len(waited) == 1
    look = watch.look(Asking())
    assert (look.state, look.missing, flour(look)) == ("good", None, 750)


def test_a_file_that_changes_while_it_is_read_is_read_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch = watching(folder / "loaf.bench")
    (folder / "loaf.bench").write_text("", "utf-8")  # an editor has emptied it, and has not written yet
    saves = [LOAF.replace("500 g", "750 g")]

    def slow(source: Source) -> tuple[File, tuple[Finding, ...]]:
        if saves:
            (folder / "loaf.bench").write_text(saves.pop(), "utf-8")
        return read(source)

    monkeypatch.setattr(watch_module, "read", slow)
    assert flour(seen(watch)) == 750


def test_a_file_that_is_renamed_is_found_by_its_recipe(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    (folder / "loaf.bench").rename(folder / "bread.bench")
    look = seen(watch)
    assert (look.state, look.file) == ("good", "bread.bench")


def test_a_recipe_that_is_renamed_is_found_by_its_file(folder: Path) -> None:
    for watch in (watching(folder / "loaf.bench"), watching(folder, "Pier loaf")):
        (folder / "loaf.bench").write_text(LOAF.replace("Pier", "Jetty"), "utf-8")
        look = seen(watch)
        assert (look.state, look.recipe) == ("good", "Jetty loaf")
        (folder / "loaf.bench").write_text(LOAF, "utf-8")


def test_a_recipe_that_is_nowhere(folder: Path) -> None:
    watch = watching(folder, "Pier loaf")
    (folder / "loaf.bench").write_text(
        LOAF.replace("Pier", "A") + LOAF.replace("Pier", "B").replace("500", "400"), "utf-8"
    )
    look = seen(watch)
    assert look.missing is not None
    assert "Pier loaf" in look.missing.message
    assert look.state == "last"


def test_one_recipe_of_a_file_with_two(folder: Path) -> None:
    (folder / "loaf.bench").write_text(
        LOAF + "\n" + LOAF.replace("Pier", "Jetty").replace("500", "400"), "utf-8"
    )
    assert flour(seen(watching(folder / "loaf.bench", "Jetty loaf"))) == 400


def test_a_file_with_two_recipes_and_no_name(folder: Path) -> None:
    (folder / "loaf.bench").write_text(LOAF + "\n" + LOAF.replace("Pier", "Jetty"), "utf-8")
    look = seen(watching(folder / "loaf.bench"))
    assert look.missing is not None
    assert look.missing.message == "loaf.bench holds 2 recipes: “Pier loaf”, “Jetty loaf”."


def test_another_file_of_the_kitchen_counts(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    prices = folder / "prices"
    prices.mkdir()
    for money, cost in (("2.00", 1), ("4.00", 2)):
        (prices / "grocer.bench").write_text(PRICES.format(money), "utf-8")
        look = seen(watch)
        assert look.batch is not None
        assert look.batch.cost.total == cost
    (folder / "kitchen.bench").write_text(KITCHEN.replace("NZD", "EUR"), "utf-8")
    look = seen(watch)
    assert look.batch is not None
    assert look.batch.cost.currency == "EUR"


def test_what_cannot_be_read_in_the_house_rules_is_told(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    (folder / "kitchen.bench").write_text(KITCHEN + "  this is no setting\n", "utf-8")
    assert [one.span.source.name for one in seen(watch).findings] == ["kitchen.bench"]


def test_a_file_that_is_not_text(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    (folder / "loaf.bench").write_bytes(b"recipe \xff\xfe\n")
    look = seen(watch)
    assert look.state == "last"
    assert look.missing is not None
    assert "UTF-8" in look.missing.message


def test_a_fault_of_ours_is_told_and_the_watching_goes_on(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch = watching(folder / "loaf.bench")

    def faulty(source: Source) -> tuple[File, tuple[Finding, ...]]:
        raise ZeroDivisionError("oh")

    with monkeypatch.context() as patch:
        patch.setattr(watch_module, "read", faulty)
        (folder / "loaf.bench").write_text(LOAF + "\n", "utf-8")
        look = seen(watch)
        assert look.state == "last"
        assert look.missing is not None
        assert "ZeroDivisionError" in look.missing.message
    (folder / "loaf.bench").write_text(LOAF, "utf-8")
    assert seen(watch).state == "good"


def test_only_the_file_that_changed_is_read_and_the_last_good_card_keeps_its_revision(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch = watching(folder / "loaf.bench")
    good = watch.look(Asking())
    names: list[str] = []

    def noted(source: Source) -> tuple[File, tuple[Finding, ...]]:
        names.append(source.name)
        return read(source)

    monkeypatch.setattr(watch_module, "read", noted)
    (folder / "loaf.bench").write_text(BROKEN, "utf-8")
    look = seen(watch)
    assert names == ["loaf.bench"]
    assert look.batch is not None
    assert good.batch is not None
    assert look.batch.revision == good.batch.revision
    (folder / "kitchen.bench").touch()
    seen(watch)
    assert names == ["loaf.bench"]


# ---------------------------------------------------------------- what is watched


def test_the_files_are_those_that_a_kitchen_is_read_from(folder: Path) -> None:
    (folder / "a" / "b").mkdir(parents=True)
    (folder / "a" / "b" / "deep.bench").write_text("", "utf-8")
    (folder / "notes.txt").write_text("", "utf-8")
    (folder / ".git").mkdir()
    (folder / ".git" / "x.bench").write_text("", "utf-8")
    (folder / "other").mkdir()
    (folder / "other" / "kitchen.bench").write_text("kitchen Other\n", "utf-8")
    (folder / "link").symlink_to(folder.parent, target_is_directory=True)
    found = survey(folder / "loaf.bench")
    assert set(found.files) == set(bench_files(folder))
    assert found.folders == {folder, folder / "a", folder / "a" / "b"}


def test_a_folder_that_is_gone_is_nothing_to_watch(tmp_path: Path) -> None:
    found = survey(tmp_path / "gone" / "loaf.bench")
    assert (found.files, found.folders) == ({}, frozenset())


# ---------------------------------------------------------------- what is asked


def test_the_batch_and_the_day_can_be_asked(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    assert flour(seen(watch, times="1/2")) == 250
    assert flour(seen(watch, makes="6 loaves")) == 1500
    look = seen(watch, on="2026-12-01")
    assert look.batch is not None
    assert look.batch.asked.on == "2026-12-01"


@pytest.mark.parametrize(
    "asked",
    [
        {"times": "many"},
        {"times": "0"},
        {"times": "-1"},
        {"times": "9" * 100},
        {"makes": "12 <b>rounds</b>"},
        {"makes": "2 loaves, and tea"},
        {"makes": "2 loaves\n  base: water"},
        {"times": "2", "makes": "2 loaves"},
        {"on": "yesterday"},
        {"on": "2026-02-30"},
        {"on": "0001-01-01"},
        {"on": "9999-12-31"},
    ],
    ids=str,
)
def test_what_cannot_be_met_is_refused_in_words(folder: Path, asked: dict[str, str]) -> None:
    look = seen(watching(folder / "loaf.bench"), **asked)
    assert look.refused is not None
    assert "--" not in look.refused.message + look.refused.help, "a form has no options"
    assert flour(look) == 500, "the batch is as written"


def test_a_day_far_away_can_be_planned(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    assert [seen(watch, on=on).refused for on in ("1900-01-01", "2199-12-31")] == [None, None]


def test_blanks_are_nothing_asked() -> None:
    assert request_of(Asking(" ", "\t", " ")).words() == "as written"
    with pytest.raises(RequestError):
        request_of(Asking(times="1 2"))


# ---------------------------------------------------------------- being told


def test_waiting_ends_with_a_change_or_the_end(folder: Path) -> None:
    watch = watching(folder / "loaf.bench")
    now = watch.number
    assert watch.wait(now - 1, WAIT) == now, "what is news already is not waited for"
    assert watch.wait(now, 0) == now
    watch.close()
    assert watch.wait(now, WAIT) == now
    assert watch.closed


def test_a_save_is_heard_of_and_many_at_once_are_few(folder: Path) -> None:
    watch, stop = watching(folder / "loaf.bench"), Event()
    runner = Thread(target=watch.run, args=(stop,), daemon=True)
    runner.start()
    try:
        number = watch.number
        (folder / "new").mkdir()
        for grams in range(600, 640):
            (folder / "loaf.bench").write_text(LOAF.replace("500 g", f"{grams} g"), "utf-8")
        while flour(watch.look(Asking())) != 639:
            assert watch.wait(number, WAIT) != number, "nothing was heard"
            number = watch.number
        assert watch.number < 40, "not once for each"
        # A folder that has come since is watched too.
        (folder / "new" / "grocer.bench").write_text(PRICES.format("2.00"), "utf-8")
        look = watch.look(Asking())
        while look.batch is None or look.batch.cost.total == 0:
            assert watch.wait(number, WAIT) != number, "nothing was heard"
            number = watch.number
            look = watch.look(Asking())
    finally:
        stop.set()
        runner.join(WAIT)
    assert not runner.is_alive()
