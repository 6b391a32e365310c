"""The reader: lines and blocks, recovery and places; what it says of mistakes is in test_parser_messages.

Headings, values and facts have tests of their own.
"""

import random
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler import lark_tree
from benchproof.compiler.blocks import cut
from benchproof.compiler.findings import Finding
from benchproof.compiler.labels import EXAMPLE_HEADINGS, VOCABULARY, Label
from benchproof.compiler.parser import read, read_block
from benchproof.compiler.rulebook import writing
from benchproof.compiler.source import Source, Span
from benchproof.compiler.syntax import (
    BlockKind,
    Draw,
    Entry,
    Measured,
    NamedHeading,
    ProseLine,
    StepHeading,
    TemperatureFact,
    Text,
    Unread,
)
from tests.compiler.reading import KITCHEN, amount, clean, only_line, rules

RULE_NAMES = {rule.name for rule in writing.RULES}


# ---------------------------------------------------------------- the kitchen of the design


def test_the_kitchen_at_a_glance_reads_without_a_finding() -> None:
    file = clean(KITCHEN)
    assert Counter(block.kind for block in file.blocks) == {
        "kitchen": 1,
        "prices": 1,
        "ingredient": 1,
        "style": 1,
        "recipe": 1,
        "ingredients": 1,
        "equipment": 1,
        "step": 4,
        "expect": 1,
        "trial": 1,
    }
    lines = [line for block in file.blocks for line in block.lines]
    assert Counter(type(line).__name__ for line in lines) == {"Entry": 46, "ProseLine": 8}
    facts = [
        type(piece).__name__
        for line in lines
        if isinstance(line, ProseLine)
        for piece in line.pieces
        if not isinstance(piece, Text)
    ]
    assert Counter(facts) == {"Draw": 7, "DurationFact": 6, "TemperatureFact": 2, "LoadFact": 1}
    assert sum(len(block.comments) for block in file.blocks) == KITCHEN.count("# ")


def test_text_of_a_line_is_its_pieces_in_order() -> None:
    for block in clean(KITCHEN).blocks:
        for line in block.prose():
            assert "".join(piece.span.text for piece in line.pieces) == line.span.text


# ---------------------------------------------------------------- lines


def test_the_same_food_may_stand_twice_for_another_purpose() -> None:
    assert rules("ingredients\n  flour: 5 g\n  the Flour: 2 g, for the bench\n") == []
    assert rules("ingredients\n  flour: 5 g\n  the Flour: 2 g\n") == ["label-twice"]


def test_no_label_is_reserved_where_labels_are_open() -> None:
    for name in ("makes", "recipe", "to taste", "free", "step", "seed"):
        assert isinstance(amount("20 g", name), Measured)


def test_trial_lines_are_entries_or_prose_and_a_near_miss_is_an_error() -> None:
    text = "trial 2026-11-09\n  made: 4 rounds\n  Note: all well.\n  We were late.\n  resutl: fine\n"
    file, findings = read(Source(text))
    assert [type(line) for line in file.blocks[0].lines] == [Entry, ProseLine, ProseLine, Unread]
    assert [finding.rule for finding in findings] == ["unknown-label"]


def test_what_looks_like_a_label_in_a_step_is_prose() -> None:
    assert isinstance(only_line("step Mix\n  makes: a fine dough in [2 min]\n"), ProseLine)


# ---------------------------------------------------------------- recovery


def test_five_mistakes_in_five_places_are_five_findings() -> None:
    text = KITCHEN
    for right, wrong in (
        ("currency:", "curency:"),
        ("2.85 for 1 l", "2,85 for 1 l"),
        ("makes:       12 rounds of 58 g", "makes:       12 rounds at 58 g"),
        ("[3 min]", "[3 mins]"),
        ("trial 2026-11-09", "trial 2026-11-39"),
    ):
        assert right in text
        text = text.replace(right, wrong)
    file, findings = read(Source(text))
    assert [finding.rule for finding in findings] == [
        "unknown-label",
        "decimal-comma",
        "makes-form",
        "unknown-unit",
        "no-such-date",
    ]
    assert [finding.span.text for finding in findings] == [
        "curency",
        "2,85",
        "12 rounds at 58 g",
        "mins",
        "2026-11-39",
    ]
    assert sum(isinstance(line, Unread) for block in file.blocks for line in block.lines) == 4
    assert len(file.blocks) == len(clean(KITCHEN).blocks)
    assert file.blocks[-1].heading is None


def test_a_line_at_the_margin_that_could_not_stand_there_is_one_mistake() -> None:
    assert rules("recipe X\nglaze\n") == ["missing-colon"]
    assert rules("recipe X\nserves: 4\n") == ["not-indented"]
    assert rules("recipe X\n\nmethod\n  Bake [5\nCool [6\n") == ["unknown-heading"]


def test_every_line_of_a_block_is_in_the_tree() -> None:
    file, _ = read(Source("ingredients\n  flour: 5 g\n  salt\n  oil: ???\n"))
    (block,) = file.blocks
    assert [line.span.text for line in block.lines] == ["flour: 5 g", "salt", "oil: ???"]


def test_a_block_under_a_broken_heading_is_still_read() -> None:
    file, findings = read(Source("trial 2026-02-30\n  made: 4 rounds\n"))
    assert [finding.rule for finding in findings] == ["no-such-date"]
    (block,) = file.blocks
    assert block.heading is None
    assert block.entry("made") is not None


def test_a_block_read_alone_is_the_same_and_moves_with_its_place() -> None:
    source = Source(KITCHEN)
    raws = cut(source)
    blocks = [read_block(raw)[0] for raw in raws]
    assert [block.kind for block in blocks if block] == [block.kind for block in read(source)[0].blocks]
    block = blocks[3]
    assert block is not None
    assert isinstance(block.heading, NamedHeading)
    assert block.heading.name.span.text == "yeasted griddle batter"
    longer = "# a new line above\n" + KITCHEN
    block.place.source, block.place.offset = Source(longer), block.place.offset + len("# a new line above\n")
    assert block.heading.name.span.text == "yeasted griddle batter"


# ---------------------------------------------------------------- places


def spans_of(node: object) -> list[Span]:
    """Every span in a tree."""
    found: list[Span] = []
    if isinstance(node, Span):
        return [node]
    if isinstance(node, tuple):
        for part in node:
            found.extend(spans_of(part))
    elif hasattr(node, "__dataclass_fields__"):
        for name in node.__dataclass_fields__:
            found.extend(spans_of(getattr(node, name)))
    return found


def spans_of_finding(finding: Finding) -> list[Span]:
    edit = [finding.edit.span] if finding.edit else []
    return [finding.span, *edit, *(also.span for also in finding.also)]


@pytest.mark.parametrize("before", ["", "# Ærø 🧁 — ½\n", "recipe 🧁\n  by: Zoë\n\n"])
def test_spans_are_right_whatever_stands_before(before: str) -> None:
    text = (
        before
        + "ingredients for the crème\n"
        + "\tcrème fraîche:\t1½ tsp , für später  # 🧁 note\n"
        + "  👩‍🍳 salt: ½\u00a0cup\n"
        + "\nstep Mix 🧁, after Crème\n"
        + "  Add 🧁 [half the crème fraîche] at [36–40 °C], [1 h 30 min].\n"
    )
    for line_end in ("\n", "\r\n", "\r"):
        file, findings = read(Source(text.replace("\n", line_end)))
        assert [finding.rule for finding in findings] == ["tab-indent", "no-break-space"]
        ingredients, step = file.blocks[-2:]
        creme, salt = ingredients.entries()
        assert creme.label.span.text == creme.label.text == "crème fraîche"
        assert creme.span.text == "crème fraîche:\t1½ tsp , für später"
        assert isinstance(creme.value, Measured)
        assert creme.value.quantity.span.text == "1½ tsp"
        assert creme.details[0].span.text == creme.details[0].text == "für später"
        assert ingredients.comments[-1].span.text == ingredients.comments[-1].text == "# 🧁 note"
        assert salt.label.span.text == "👩‍🍳 salt"
        assert salt.value.span.text == "½\u00a0cup"
        assert isinstance(step.heading, StepHeading)
        assert step.heading.name.span.text == "Mix 🧁"
        assert step.heading.after is not None
        assert step.heading.after.span.text == "Crème"
        (line,) = step.prose()
        assert [piece.span.text for piece in line.pieces if not isinstance(piece, Text)] == [
            "[half the crème fraîche]",
            "[36–40 °C]",
            "[1 h 30 min]",
        ]
        draw = line.pieces[1]
        assert isinstance(draw, Draw)
        assert draw.name.span.text == "crème fraîche"
        temperature = line.pieces[3]
        assert isinstance(temperature, TemperatureFact)
        assert temperature.temperature.span.text == "36–40 °C"


def test_no_span_begins_or_ends_in_a_blank() -> None:
    for block in clean(KITCHEN).blocks:
        for part in (block.heading, *block.comments, *block.entries()):
            for span in spans_of(part):
                assert span.text == span.text.strip(), span


def test_name_texts_are_what_their_spans_hold() -> None:
    text = "step  Mix  it ,  after  Wake  up \n  [half  the  caster   sugar]\n"
    block = clean(text).blocks[0]
    assert isinstance(block.heading, StepHeading)
    assert block.heading.name.text == block.heading.name.span.text == "Mix  it"
    assert block.heading.after is not None
    assert block.heading.after.text == "Wake  up"


def test_same_text_same_tree() -> None:
    one, other = ([repr((block.heading, block.lines)) for block in clean(KITCHEN).blocks] for _ in range(2))
    assert one == other


# ---------------------------------------------------------------- any text at all

ODD = [
    *"[]#:,.-–½°%/\\'\"“”\t\n\r ０１🧁\u00a0\u200b\u202e\u2028\x00\x0b",
    "\r\n", "[[", "]]", "  ", "recipe ", "step ", "ingredients", " of the ", " to ", "1/0", "9" * 12, "<<<<<<< a\n",
    "=======\n", ">>>>>>> b\n", "180C/350F", "1,5 kg", " for ", "[4 at a time]", "half the ", "at least ",
    "prices at X on 2026-13-45",
]  # fmt: skip


def check_anything(text: str) -> None:
    source = Source(text)
    file, findings = read(source)
    for finding in findings:
        assert finding.rule in RULE_NAMES
        assert finding.message
        for span in spans_of_finding(finding):
            assert span.source is source
            assert 0 <= span.first <= span.last <= len(source.text)
    for block in file.blocks:
        for span in spans_of((block.heading, block.lines, block.comments, block.span)):
            assert 0 <= span.first <= span.last <= len(source.text)
        if findings == ():
            assert not any(isinstance(line, Unread) for line in block.lines)


@settings(max_examples=150, derandomize=True, deadline=None)
@given(st.integers(0, 2**32), st.integers(1, 8))
def test_a_kitchen_with_slips_gives_findings_never_an_exception(seed: int, slips: int) -> None:
    dice = random.Random(seed)
    text = KITCHEN
    for _ in range(slips):
        at = dice.randrange(len(text))
        match dice.randrange(4):
            case 0:
                text = text[:at] + text[at + dice.randrange(1, 9) :]
            case 1:
                text = text[:at] + dice.choice(ODD) + text[at:]
            case 2:
                text = text[:at] + dice.choice(ODD) + text[at + 1 :]
            case 3:
                lines = text.split("\n")
                one, other = dice.randrange(len(lines)), dice.randrange(len(lines))
                lines[one], lines[other] = lines[other], lines[one]
                text = "\n".join(lines)
    check_anything(text)


@settings(max_examples=150, derandomize=True, deadline=None)
@given(st.lists(st.one_of(st.sampled_from(ODD), st.text(max_size=8)), max_size=30))
def test_any_text_gives_findings_never_an_exception(parts: list[str]) -> None:
    check_anything("".join(parts))


@settings(max_examples=200, derandomize=True, deadline=None)
@given(
    st.sampled_from(
        [(kind, label) for kind, v in VOCABULARY.items() for label in (*v.labels, v.open) if label]
    ),
    st.lists(
        st.one_of(st.sampled_from([*ODD, "g", "12", "C", "min", "cm", "rounds", "x"]), st.text(max_size=4)),
        max_size=6,
    ),
)
def test_any_value_gives_a_finding_or_a_node(case: tuple[BlockKind, Label], parts: list[str]) -> None:
    kind, label = case
    name = label.example.split(":")[0]
    value = " ".join(parts).replace("\n", " ").replace("\r", " ")
    check_anything(f"{EXAMPLE_HEADINGS[kind]}\n  {name}: {value}\n")


# ---------------------------------------------------------------- linear


@pytest.mark.parametrize(
    "unit",
    [
        " ",
        "#",
        "[",
        "]",
        "[ ",
        "] ",
        "a ",
        ",",
        ":",
        "1",
        "½",
        "- ",
        "[a",
        "[[",
        "<<<<<<<\n",
        "# ",
        "x:",
        "\t",
        "\u200b",
    ],
)
@pytest.mark.parametrize(
    "shape",
    [
        "{}",
        "step A\n  {}",
        "step A\n  [{}]",
        "recipe A\n  makes: {}",
        "recipe {}",
        "ingredients\n  {}: 5 g",
        "recipe A\n  tags: {}",
    ],
)
def test_hostile_text_is_read_in_proportion(unit: str, shape: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten times the text: no more text in lark than ten times, and no more findings told of one line."""
    given_to_lark: list[int] = []
    real = lark_tree._lark

    class Spy:
        def __init__(self, start: str) -> None:
            self.inner = real(start)

        def parse(self, text: str, start: str) -> object:
            given_to_lark.append(len(text))
            return self.inner.parse(text, start=start)

    monkeypatch.setattr(lark_tree, "_lark", Spy)
    cost = []
    for size in (1_000, 10_000):
        given_to_lark.clear()
        findings = read(Source(shape.format(unit * (size // len(unit)))))[1]
        cost.append((sum(given_to_lark), len(findings)))
    (small, _), (large, told) = cost
    assert large <= 12 * small + 20_000
    if "\n" not in unit:
        assert told <= 5
