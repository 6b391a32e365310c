"""Text to blocks at the margin, blocks to lines, and where comments begin."""

import pytest

from benchproof.compiler.blocks import RawBlock, blank_out, colon_at, comment_start, cut, near_heading
from benchproof.compiler.source import Source


def lines(block: RawBlock) -> list[str]:
    return [block.text[line.start : line.end] for line in block.lines]


def comments(block: RawBlock) -> list[str]:
    return [block.text[start:end] for start, end in block.comments]


def heading(block: RawBlock) -> str | None:
    return block.text[block.heading.start : block.heading.end] if block.heading else None


TEXT = """# the harbour kitchen

recipe Tide buns  # the small ones
  serves: 4
# at the margin
  makes: 12 buns   ## twice

step Bake
    Bake it.
"""


def test_blocks_begin_at_the_margin() -> None:
    blocks = cut(Source(TEXT))
    assert [(block.kind, heading(block)) for block in blocks] == [
        ("recipe", "recipe Tide buns"),
        ("step", "step Bake"),
    ]
    assert lines(blocks[0]) == ["serves: 4", "makes: 12 buns"]
    assert lines(blocks[1]) == ["Bake it."]
    assert blocks[1].lines[0].indent == 4


def test_comments_are_kept_and_end_no_block() -> None:
    first, second = cut(Source(TEXT))
    assert comments(first) == ["# the harbour kitchen", "# the small ones", "# at the margin", "## twice"]
    assert comments(second) == []


def test_a_block_is_all_text_to_the_next_heading() -> None:
    source = Source(TEXT)
    assert "".join(block.text for block in cut(source)) == source.text


def test_equal_text_gives_equal_blocks_wherever_it_stands() -> None:
    alone = cut(Source("step Bake\n  Bake it.\n"))[0]
    below = cut(Source(TEXT + "\nstep Bake\n  Bake it.\n"))[-1]
    assert alone.text == below.text
    assert alone.lines == below.lines
    assert below.place.offset > 0


@pytest.mark.parametrize(
    ("line", "comment"),
    [
        ("# all of it", "# all of it"),
        ("flour: 5 g # note", "# note"),
        ("flour: 5 g #", "#"),
        ("flour: 5 g ## note", "## note"),
        ("#1 flour", ""),
        ("by: #team", ""),
        ("by: a#b # c", "# c"),
        ("flour#", ""),
        ("[the # flour] # note", "# note"),
        ("[the flour # note", "# note"),
        ("[[ # note ]]", "# note ]]"),
        ("a ] # note", "# note"),
        ("[a [b # c] # d", "# d"),
        ("", ""),
    ],
)
def test_where_a_comment_begins(line: str, comment: str) -> None:
    at = comment_start(line)
    assert (line[at:] if at >= 0 else "") == comment


def test_every_blank_is_a_blank_and_offsets_stay() -> None:
    assert blank_out("a\tb\u00a0c\u2009d\u3000e") == "a b c d e"


@pytest.mark.parametrize(
    ("line", "at"), [("a: b", 1), ("a:", 1), ("a:b: c", 3), ("a:b", -1), ("", -1), ("https://x.example/", -1)]
)
def test_the_first_colon_with_a_blank_after_it_ends_a_label(line: str, at: int) -> None:
    assert colon_at(line) == at


def test_an_entry_that_lost_its_indentation_stays_in_its_block() -> None:
    blocks = cut(Source("recipe Tide buns\nstyle: soft\nserves: 4\n\ningredients\nsalt: 2 g\n  flour: 5 g\n"))
    assert [block.kind for block in blocks] == ["recipe", "ingredients"]
    assert lines(blocks[0]) == ["style: soft", "serves: 4"]
    assert lines(blocks[1]) == ["salt: 2 g", "flour: 5 g"]


def test_prose_that_lost_its_indentation_stays_in_its_step() -> None:
    (block,) = cut(Source("step Tea\nSteep the leaves.\n  Step back.\nPour [the milk] in\n  and stir\n"))
    assert lines(block) == ["Steep the leaves.", "Step back.", "Pour [the milk] in", "and stir"]


def test_headings_with_capitals_colons_and_slips_are_headings() -> None:
    blocks = cut(Source("Recipe: Tide buns\n  serves: 4\n\nstpe Bake\n  Bake it.\n\nmethod\n  Bake it.\n"))
    assert [block.kind for block in blocks] == ["recipe", "step", None]


def test_what_stands_before_any_heading() -> None:
    blocks = cut(Source("  flour: 5 g\n\nrecipe Tide buns\n"))
    assert [(block.kind, heading(block)) for block in blocks] == [
        (None, None),
        ("recipe", "recipe Tide buns"),
    ]


def test_what_a_merge_left() -> None:
    text = (
        "recipe A\n<<<<<<< ours\n  serves: 4\nstep X\n=======\n  serves: 6\n>>>>>>> theirs\n  makes: 2 buns\n"
    )
    (block,) = cut(Source(text))
    assert lines(block) == ["makes: 2 buns"]
    assert [block.text[c.start : c.end].splitlines()[0] for c in block.conflicts] == ["<<<<<<< ours"]


def test_a_marker_that_is_never_closed_hides_nothing() -> None:
    (block,) = cut(Source("recipe A\n<<<<<<< ours\n  serves: 4\n"))
    assert lines(block) == ["serves: 4"]
    assert len(block.conflicts) == 1


@pytest.mark.parametrize("text", ["", "\n\n", "   ", "\t\n", "# only a comment", "\ufeff"])
def test_nothing_gives_no_blocks(text: str) -> None:
    assert cut(Source(text)) == []


def test_near_headings_are_near_just_one() -> None:
    assert near_heading("stpe") == "step"
    assert near_heading("ingredint") == "ingredient"
    assert near_heading("Steep") is None
    assert near_heading("x" * 100_000) is None


def test_an_unknown_heading_swallows_what_stands_under_it_and_no_more() -> None:
    blocks = cut(
        Source("recipe A\n  serves: 4\n\nmethod\n  Bake it.\nCool it.\nsalt: 2 g\n\nstep Eat\n  Eat it.\n")
    )
    assert [block.kind for block in blocks] == ["recipe", None, "step"]
    assert lines(blocks[1]) == ["Bake it.", "Cool it.", "salt: 2 g"]
