"""What an editor shows and offers beside a text."""

from functools import lru_cache
from pathlib import Path

import pytest

from benchproof.compiler import editing
from benchproof.compiler.editing import Fix
from benchproof.compiler.findings import Edit
from benchproof.compiler.formatter import formatted
from benchproof.compiler.source import Source
from benchproof.compiler.workspace import Room, Workspace
from tests.compiler.bench import DAY, RECIPES, demo_texts

NAME = "harbour-griddle-rounds.bench"
ROUNDS = demo_texts()[NAME]


@lru_cache(maxsize=4)
def demo(text: str = ROUNDS, name: str = NAME) -> tuple[Room, Source]:
    workspace = Workspace(lambda: DAY)
    document = workspace.put(name, RECIPES / name, text, 1)
    room = workspace.room(name)
    assert room is not None
    return room, document.source


def alone(text: str) -> tuple[Room, Source]:
    workspace = Workspace(lambda: DAY)
    document = workspace.put("a", Path("/nowhere/a.bench"), text, 1)
    room = workspace.room("a")
    assert room is not None
    return room, document.source


def said(room: Room, source: Source, words: str, into: int = 1) -> str:
    note = editing.hover(room, source, source.text.index(words) + into)
    return (
        " ".join("\n".join(note.lines).replace("\u202f", " ").replace("\u2009", " ").split()) if note else ""
    )


def applied(source: Source, edits: list[Edit]) -> str:
    text = source.text
    for edit in sorted(edits, key=lambda one: one.span.first, reverse=True):
        text = text[: edit.span.first] + edit.text + text[edit.span.last :]
    return text


# ---------------------------------------------------------------- under the cursor


@pytest.mark.parametrize(
    ("words", "into", "parts"),
    [
        (
            "water:    ",
            1,
            [
                "406 g in this batch",
                "145 % of strong flour",
                "Cost in this batch: NZD",
                "Water in it: 406 g (100 %)",
            ],
        ),
        (
            "strong flour:",
            1,
            ["Contains: wheat", "source: USDA SR28 20083", "1.5 kg at Lantern Street Grocer"],
        ),
        ("neutral oil:", 1, ["for the pan: outside the ratios"]),
        ("half the caster", 8, ["half the caster sugar: 4.2 g in this batch", "caster sugar: 8.4 g"]),
        (
            "5-10 min",
            1,
            ["5–10 min, nobody is needed", "Step 1 of 5", "from 0:00 to 0:10", "Batter waits for it"],
        ),
        ("makes:", 1, ["makes is what one batch gives", "As in: makes: 12 rounds of 58 g"]),
        ("yeasted griddle", 1, ["110-155 %", "Source:"]),
        ("step Cook", 1, ["Step 5 of 5: Cook", "It waits for Loosen"]),
        ("step Cook", 6, ["Step 5 of 5: Cook"]),
        ("recipe Har", 1, ["12 rounds", "each"]),
        ("after Wake", 7, ["Step 1 of 5: Wake the yeast"]),
        ("hydration:", 1, ["hydration"]),
        ("ingredients", 1, ["Each line is an ingredient"]),
    ],
)
def test_hover(words: str, into: int, parts: list[str]) -> None:
    text = said(*demo(), words, into)
    assert [part for part in parts if part not in text] == [], text


def test_hover_on_a_rule_says_what_it_means() -> None:
    text = "recipe A\n  waive: salt-ten-times because so\n\nchecks\n  price-stale: hint\n"
    room, source = alone(text.replace("salt-ten-times", "yeast-too-hot"))
    assert "yeast-too-hot" in said(room, source, "yeast-too-hot")
    assert "price-stale (" in said(room, source, "price-stale")


def test_hover_tells_what_nobody_stated() -> None:
    room, source = alone("recipe A\n\ningredients\n  sea holly: 5 g\n")
    assert "its allergens are not stated" in said(room, source, "sea holly")


def test_hover_tells_the_kitchens_own_facts_and_their_source() -> None:
    text = "recipe A\n\ningredients\n  dune oil: 5 g\n\ningredient dune oil\n  kind: oil\n  source: a label # 2026\n"
    room, source = alone(text)
    told = said(room, source, "dune oil")
    assert "Allergens: not stated." in told
    assert "Facts: a.bench, line 6; source: a label." in told


def test_hover_on_a_broken_recipe_says_so_and_fails_on_nothing() -> None:
    room, source = alone(
        "recipe A\n  makes 4\n\ningredients\n  strong flour: 5 g\n\nstep X\n  Stir [the strong flour]\n"
    )
    assert "mistake" in said(room, source, "recipe A")
    for offset in range(len(source.text) + 1):
        editing.hover(room, source, offset)


def test_nothing_stands_above_the_first_heading() -> None:
    assert editing.hover(*demo(), 0) is None


# ---------------------------------------------------------------- what is in the file


def test_symbols_are_the_blocks_a_recipes_own_inside_it() -> None:
    found = editing.symbols(*demo())
    assert [(one.kind, one.name) for one in found] == [("recipe", "Harbour griddle rounds")]
    inside = [(one.kind, one.name) for one in found[0].inside]
    assert inside[:3] == [
        ("ingredients", "ingredients"),
        ("equipment", "equipment"),
        ("step", "Wake the yeast"),
    ]
    assert inside[-1] == ("expect", "expect")
    assert found[0].span.last >= found[0].inside[-1].span.last
    for one in (*found, *found[0].inside):
        assert one.span.first <= one.name_span.first <= one.name_span.last <= one.span.last


def test_symbols_of_broken_text_have_names() -> None:
    room, source = alone("recipe\n  makes: 4\n\nstep Mix, aftr\n  x\n\nrecipe B\n")
    for one in editing.symbols(room, source):
        assert one.name


def test_folds_are_whole_blocks() -> None:
    room, source = demo()
    lines = source.text.split("\n")
    for first, last in editing.folds(room, source):
        assert not lines[first - 1].startswith((" ", "#"))
        assert lines[last - 1].startswith("  ")


def test_tokens_are_in_order_on_one_line_and_never_over_another() -> None:
    for name, text in list(demo_texts().items())[::6]:
        room, source = demo(text, name)
        last = 0
        for token in editing.tokens(room, source):
            assert last <= token.start < token.end
            assert "\n" not in source.text[token.start : token.end]
            last = token.end


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("recipe", "heading"),
        ("makes", "label"),
        ("58 g", "number"),
        ("145 %", "number"),
        ("strong flour", "name"),
        ("[half the ", "fact"),
        ("[", "fact"),
        ("5-10 min", "number"),
        ("# this weight is 100 %", "comment"),
        ("2026-11-03", "number"),
    ],
)
def test_tokens(words: str, kind: str) -> None:
    room, source = demo()
    found = {(source.text[one.start : one.end], one.kind) for one in editing.tokens(room, source)}
    assert (words, kind) in found


def test_grams_beside_percentages_and_percentages_beside_grams() -> None:
    room, source = demo()
    found = {
        source.text[: one.offset].rsplit("\n", 1)[-1].split(":")[0].strip(): one.text.replace("\u202f", " ")
        for one in editing.asides(room, source, 0, len(source.text))
    }
    assert found["strong flour"] == "100 %"
    assert found["water"].replace("\u2009", " ") == "406 g"
    assert found["neutral oil"].endswith("g")
    assert editing.asides(room, source, 0, 10) == []


def test_the_heading_tells_yield_time_and_cost() -> None:
    room, source = demo()
    (span,) = editing.headlines(room, source)
    line = editing.headline_at(room, source, span.first)
    assert line is not None
    assert line.span.text == "Harbour griddle rounds"
    assert [part.split("\u2009")[0][:3] for part in line.text.split(" · ")] == ["12 ", "697", "55–", "NZD"]


def test_a_recipe_that_cannot_be_weighed_says_so_above_its_heading() -> None:
    line = editing.headline_at(*alone("recipe A\n  makes 4\n"), len("recipe "))
    assert line is not None
    assert "mistake" in line.text
    assert editing.headline_at(*demo(), 0) is None


# ---------------------------------------------------------------- mending and laying out


def fixes(text: str) -> tuple[Room, Source, list[Fix]]:
    room, source = demo(text)
    return room, source, editing.fixes(room.findings(room.open[NAME]), 0, len(text))


def test_a_fix_for_each_finding_that_has_one() -> None:
    room, source, offered = fixes(ROUNDS.replace("  style:", "  styel:"))
    assert [one.title for one in offered] == ["Write “style”"]
    assert offered[0].finding is not None
    assert applied(source, list(offered[0].edits)) == ROUNDS
    assert editing.fixes(room.findings(room.open[NAME]), 0, 5) == []


def test_all_that_is_safe_is_mended_and_nothing_else() -> None:
    text = ROUNDS.replace("  style:", "  styel:").replace("280 g", "280\u00a0g")
    room, source = demo(text)
    fix = editing.mend_all(room, source)
    assert fix is not None
    assert applied(source, list(fix.edits)) == ROUNDS
    assert fix.title == "Mend all that is safe in this file (2 places)"


def test_there_is_nothing_to_mend_in_what_is_well() -> None:
    assert editing.mend_all(*demo()) is None


def test_only_what_has_to_do_with_a_text_is_looked_at_to_mend_it() -> None:
    room, source = demo()
    names = {one.name for one in editing.around(room, source).sources}
    assert NAME in names
    assert "kitchen.bench" in names
    assert "lighthouse-loaf.bench" not in names


def test_what_uses_a_recipe_is_looked_at_with_it() -> None:
    workspace = Workspace(lambda: DAY)
    base = "\n\ningredients\n  strong flour: 5 g\n"
    text = f"recipe Inner{base}\nrecipe Outer{base}  Inner: 3 g\n"
    document = workspace.put("a", Path("/nowhere/a.bench"), text, 1)
    room = workspace.room("a")
    assert room is not None
    assert [one.name.text for one in editing.around(room, document.source).own_recipes()] == [
        "Inner",
        "Outer",
    ]


UNTIDY = ROUNDS.replace("  makes:       12", "  makes: 12").replace("145 %", "145%") + "\n\n\n"


def test_laid_out_as_the_formatter_does() -> None:
    room, source = demo(UNTIDY)
    edits = editing.laid_out(room, source)
    assert applied(source, edits) == formatted(source)
    assert all("\n" not in edit.span.text for edit in edits[:-1])


def test_a_missing_line_end_is_put_there() -> None:
    text = formatted(Source(ROUNDS))
    room, source = demo(text.rstrip("\n"))
    assert applied(source, editing.laid_out(room, source)) == text


def test_only_these_lines_are_laid_out() -> None:
    room, source = demo(UNTIDY)
    line = source.text[: source.text.index("145%")].count("\n") + 1
    edits = editing.laid_out(room, source, (line, line))
    assert [edit.span.line for edit in edits] == [line]


def test_broken_text_is_laid_out_where_it_is_understood() -> None:
    room, source = alone("recipe A\n  makes 4\n  serves:    4\n\nstep X\n  [the\n")
    assert applied(source, editing.laid_out(room, source)) == formatted(source)


LONG = "recipe Long\n" + "".join(f"\nstep S{number}\n  Wait   [1  min].\n" for number in range(61))


def test_a_recipe_that_is_too_long_is_never_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    room, source = alone(LONG)

    def worked_out(_self: Room, _recipe: object) -> None:
        raise AssertionError("it was worked out")

    monkeypatch.setattr(Room, "compiled", worked_out)
    assert editing.headlines(room, source) == []
    assert editing.headline_at(room, source, 7) is None
    assert editing.asides(room, source, 0, len(LONG)) == []
    assert not editing.can_mend_all(room, source)
    for words in ("recipe", "Long", "step S3", "S3", "1  min"):
        said(room, source, words)
    assert applied(source, editing.laid_out(room, source)) == formatted(source)


def test_what_all_share_is_tried_on_everything() -> None:
    room, source = demo(demo_texts()["kitchen.bench"], "kitchen.bench")
    assert editing.around(room, source) is room.kitchen
    assert editing.can_mend_all(room, source)


def test_a_shared_text_of_a_great_kitchen_is_not_mended_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(editing, "MOST_RECIPES", 3)
    assert not editing.can_mend_all(*demo(demo_texts()["kitchen.bench"], "kitchen.bench"))
    assert editing.can_mend_all(*demo())
