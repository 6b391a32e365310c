"""What is open, laid over what is on disk."""

from pathlib import Path

import pytest

from benchproof.compiler import workspace as module
from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen, open_kitchen
from benchproof.compiler.source import Source
from benchproof.compiler.workspace import LONGEST_TEXT, Open, Room, Workspace
from tests.compiler.bench import DAY, RECIPES, demo_texts

KITCHEN = "kitchen Saltmarsh\n  currency: NZD\n"
ROUNDS = """recipe Rounds
  makes: 4 rounds

ingredients
  strong flour: 280 g
  water: 200 g

step Mix
  Stir [the strong flour] into [the water], [3 min].
"""


def shown(findings: list[Finding]) -> list[str]:
    return [f"{one.rule} {one.severity.word} {one.span!r} {one.message} {one.edit}" for one in findings]


def fresh(texts: dict[str, str], name: str) -> list[str]:
    """What `benchproof check` says of a file of a kitchen of these texts."""
    kitchen = Kitchen([Source(text, name) for name, text in sorted(texts.items())])
    found = check_kitchen(kitchen, Compiler(kitchen), kitchen.settings.costed_on or DAY)
    return shown([one for one in found if one.span.source.name == name])


@pytest.fixture
def space() -> Workspace:
    return Workspace(lambda: DAY)


def put(space: Workspace, path: Path, text: str, version: int = 1) -> tuple[Room, Open]:
    document = space.put(path.name, path, text, version)
    room = space.room(path.name)
    assert room is not None
    return room, document


def folder(root: Path, **texts: str) -> Path:
    for name, text in texts.items():
        (root / f"{name}.bench").write_text(text, encoding="utf-8")
    return root.resolve()


# ---------------------------------------------------------------- which kitchen


def test_an_open_text_stands_in_the_place_of_its_file(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS)
    room, document = put(space, root / "rounds.bench", ROUNDS.replace("Rounds", "Squares"))
    assert [one.name.text for one in room.kitchen.own_recipes()] == ["Squares"]
    assert room.root == root
    assert document.source.name == "rounds.bench"
    assert (root / "rounds.bench").read_text(encoding="utf-8") == ROUNDS


def test_when_it_is_closed_the_file_counts_again(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS)
    room, _ = put(space, root / "rounds.bench", "recipe Squares\n")
    put(space, root / "kitchen.bench", KITCHEN)
    space.drop("rounds.bench")
    assert [one.name.text for one in room.kitchen.own_recipes()] == ["Rounds"]
    assert space.room("rounds.bench") is None


def test_a_file_never_saved_is_of_its_kitchen(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS)
    (root / "sweet").mkdir()
    room, _ = put(space, root / "sweet" / "new.bench", "recipe New\n")
    assert [source.name for source in room.sources()] == ["kitchen.bench", "rounds.bench", "sweet/new.bench"]
    assert room.kitchen.recipe("rounds") is not None


def test_the_files_stand_in_the_order_of_the_command(space: Workspace) -> None:
    path = RECIPES / "lighthouse-loaf.bench"
    room, _ = put(space, path, path.read_text(encoding="utf-8"))
    assert [one.name for one in room.sources()] == [one.name for one in open_kitchen(path).sources]


def test_a_file_outside_any_kitchen_stands_alone(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, rounds=ROUNDS, other="recipe Other\n")
    room, document = put(space, root / "rounds.bench", ROUNDS)
    assert room.root is None
    assert [one.name for one in room.sources()] == ["rounds.bench"]
    assert shown(room.findings(document)) == fresh({"rounds.bench": ROUNDS}, "rounds.bench")


def test_an_open_folder_without_a_kitchen_file_is_a_kitchen(tmp_path: Path) -> None:
    root = folder(tmp_path, rounds=ROUNDS, other="recipe Other\n")
    room, _ = put(Workspace(lambda: DAY, [root]), root / "rounds.bench", ROUNDS)
    assert [one.name for one in room.sources()] == ["other.bench", "rounds.bench"]


def test_a_text_that_is_no_file_stands_alone(space: Workspace) -> None:
    document = space.put("untitled:1", None, ROUNDS, 1)
    room = space.room("untitled:1")
    assert room is not None
    assert document.source.name == "untitled:1"
    assert room.kitchen.recipe("rounds") is not None


def test_a_kitchen_below_is_another_kitchen(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS)
    (root / "below").mkdir()
    folder(root / "below", kitchen=KITCHEN, inner="recipe Inner\n")
    above, _ = put(space, root / "rounds.bench", ROUNDS)
    below, _ = put(space, root / "below" / "inner.bench", "recipe Inner\n")
    assert above is not below
    assert above.kitchen.recipe("inner") is None
    assert below.kitchen.recipe("rounds") is None


def test_a_kitchen_file_typed_but_not_saved_gathers_its_folder(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, rounds=ROUNDS, other="recipe Other\n")
    put(space, root / "rounds.bench", ROUNDS.replace("\n", "\r\n"))
    put(space, root / "kitchen.bench", KITCHEN)
    room = space.room("rounds.bench")
    assert room is not None
    assert room is space.room("kitchen.bench")
    assert [one.name for one in room.sources()] == ["kitchen.bench", "other.bench", "rounds.bench"]
    assert room.open["rounds.bench"].source.newline == "\r\n"


def test_links_to_folders_are_not_followed(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS)
    (root / "round-and-round").symlink_to(root, target_is_directory=True)
    room, _ = put(space, root / "rounds.bench", ROUNDS)
    assert [one.name for one in room.sources()] == ["kitchen.bench", "rounds.bench"]


# ---------------------------------------------------------------- what changes on disk


def test_what_changes_on_disk_is_seen_when_asked_to_look(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS, other="recipe Other\n")
    room, _ = put(space, root / "rounds.bench", ROUNDS)
    assert space.refresh() == []
    folder(root, more="recipe More\n", other="recipe Another\n")
    assert space.refresh() == [room]
    assert {one.name.text for one in room.kitchen.own_recipes()} == {"Rounds", "Another", "More"}
    (root / "other.bench").unlink()
    assert space.refresh() == [room]
    assert {one.name.text for one in room.kitchen.own_recipes()} == {"Rounds", "More"}


def test_an_open_file_that_is_deleted_stays_as_it_is_open(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS)
    room, document = put(space, root / "rounds.bench", ROUNDS)
    (root / "rounds.bench").unlink()
    space.refresh()
    assert room.kitchen.recipe("rounds") is not None
    assert shown(room.findings(document)) == fresh(
        {"kitchen.bench": KITCHEN, "rounds.bench": ROUNDS}, "rounds.bench"
    )


def test_a_kitchen_file_that_goes_scatters_its_folder(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS, other="recipe Other\n")
    put(space, root / "rounds.bench", ROUNDS)
    (root / "kitchen.bench").unlink()
    space.refresh()
    room = space.room("rounds.bench")
    assert room is not None
    assert room.root is None


def test_a_folder_that_is_gone_stops_nothing(tmp_path: Path, space: Workspace) -> None:
    root = tmp_path / "gone"
    root.mkdir()
    root = folder(root, kitchen=KITCHEN, rounds=ROUNDS)
    put(space, root / "rounds.bench", ROUNDS)
    for path in root.iterdir():
        path.unlink()
    root.rmdir()
    space.refresh()
    document = space.document("rounds.bench")
    room = space.room("rounds.bench")
    assert document is not None
    assert room is not None
    assert isinstance(room.findings(document), list)


def test_what_cannot_be_read_is_said_and_left_out(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS)
    (root / "bad.bench").write_bytes(b"recipe \xff\n")
    room, _ = put(space, root / "rounds.bench", ROUNDS)
    assert [one.name for one in room.sources()] == ["kitchen.bench", "rounds.bench"]
    assert list(room.problems.values()) == [f"{root / 'bad.bench'} is not plain text in UTF-8."]
    (root / "bad.bench").write_bytes(b"recipe Good now\n")
    space.refresh()
    assert room.problems == {}


def test_a_folder_of_too_many_files_is_cut_short_and_said(
    tmp_path: Path, space: Workspace, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "MOST_FILES", 3)
    root = folder(tmp_path, kitchen=KITCHEN, **{f"r{number}": "" for number in range(5)})
    room, _ = put(space, root / "kitchen.bench", KITCHEN)
    assert len(room.sources()) <= 4
    assert [one for one in room.problems.values() if "more than 3 recipe files" in one]


# ---------------------------------------------------------------- what is found


@pytest.mark.parametrize(
    "name",
    [
        "two-tides-loaf.bench",
        "kitchen.bench",
        "prices/2026-11-02-lantern-street-grocer.bench",
    ],
)
def test_a_file_of_the_demo_is_found_to_be_what_check_says(name: str) -> None:
    space, texts = Workspace(lambda: DAY), demo_texts()
    text = texts[name].replace("g\n", "gg\n", 1).replace("[the", "[teh", 1)
    room, document = put(space, RECIPES / name, text)
    assert shown(room.findings(document)) == fresh({**texts, name: text}, name)


def test_reading_is_told_at_the_kitchens_level(tmp_path: Path, space: Workspace) -> None:
    checks = "\nchecks\n  no-break-space: error\n"
    root = folder(tmp_path, kitchen=KITCHEN + checks)
    room, document = put(space, root / "rounds.bench", ROUNDS.replace("280 g", "280\u00a0g"))
    assert [(one.rule, one.severity.word) for one in room.reading(document)] == [("no-break-space", "error")]


def test_reading_alone_says_nothing_of_waivers(space: Workspace) -> None:
    text = ROUNDS.replace("  makes:", "  waive: yeast-too-hot because none\n  maks:")
    room, document = put(space, Path("/nowhere/rounds.bench"), text)
    assert [one.rule for one in room.reading(document)] == ["unknown-label"]
    assert {one.rule for one in room.findings(document)} >= {"unknown-label", "waiver-unused"}


def test_a_text_that_is_too_long_is_given_up_with_a_word(tmp_path: Path, space: Workspace) -> None:
    root = folder(tmp_path, kitchen=KITCHEN, rounds=ROUNDS)
    room, document = put(space, root / "rounds.bench", ROUNDS * (LONGEST_TEXT // len(ROUNDS) + 1))
    assert [one.rule for one in room.findings(document)] == ["too-long"]
    assert room.reading(document) == room.findings(document)
    assert [one.name for one in room.sources()] == ["kitchen.bench"]


def test_a_recipe_that_is_too_long_is_not_checked_and_that_is_said(space: Workspace) -> None:
    text = ROUNDS + "\n".join(f"\nstep S{number}\n  Wait. [1 min]" for number in range(600))
    room, document = put(space, Path("/nowhere/rounds.bench"), text + "\n\nrecipe Short\n")
    rules = [one.rule for one in room.findings(document)]
    assert "too-long" in rules
    assert room.reading(document) == []


def test_looking_rests_between_recipes(space: Workspace) -> None:
    room, document = put(space, Path("/nowhere/rounds.bench"), ROUNDS + ROUNDS.replace("Rounds", "Squares"))
    assert len(list(room.looking(document))) == 5
