"""The Pygments lexer against the compiler: what the one colours as a label, a name, a fact, the other reads as one."""

import re
import subprocess
import sys
from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pygments.lexers import get_lexer_by_name, get_lexer_for_filename
from pygments.token import (
    Comment,
    Error,
    Number,
    Punctuation,
    String,
    Text,
    Whitespace,
    _TokenType,
    string_to_tokentype,
)

from benchproof.compiler.blocks import blank_out, colon_at, comment_start
from benchproof.compiler.labels import EXAMPLE_HEADINGS, LEVELS, VOCABULARY, Label
from benchproof.compiler.parser import read
from benchproof.compiler.quantities import SYSTEMS, UNITS
from benchproof.compiler.source import Source, Span
from benchproof.compiler.syntax import (
    Draw,
    DurationFact,
    Numbered,
    OvenPlace,
    TemperatureFact,
)
from benchproof.compiler.syntax import (
    Text as Prose,
)
from benchproof.grammar.editors.highlighting import KINDS, OPEN_LABELS
from benchproof.grammar.editors.pygments_lexer import BenchLexer

ROOT = Path(__file__).parents[2]
CLEAN = [
    *sorted((ROOT / "recipes").glob("*.bench")),
    *sorted((ROOT / "recipes" / "prices").glob("*.bench")),
    *sorted((ROOT / "compiler" / "larder").glob("*.bench")),
]
BROKEN = sorted((ROOT / "recipes" / "broken").glob("*.bench"))
MANUAL = re.findall(
    r"^```bench([^\n]*)\n(.*?)^```",
    (ROOT / "grammar" / "reference.md").read_text(encoding="utf-8"),
    re.MULTILINE | re.DOTALL,
)

FLOUR = "ingredients\n"


def token(kind: str) -> _TokenType:
    return string_to_tokentype(KINDS[kind].token)


def lexed(text: str) -> list[tuple[_TokenType, str]]:
    """A text's tokens; that they add up to the text is asked of every text that a test lexes."""
    tokens = list(BenchLexer(stripnl=False, ensurenl=False).get_tokens(text))
    assert "".join(piece for _, piece in tokens) == text
    return tokens


def colours(text: str) -> list[_TokenType]:
    """The token of each character."""
    return [kind for kind, piece in lexed(text) for _ in piece]


def painted(text: str, piece: str) -> _TokenType:
    """The one token of the first stretch of the text that reads so."""
    at = text.index(piece)
    shown = colours(text)[at : at + len(piece)]
    [found] = {colour for colour, ch in zip(shown, piece, strict=True) if not ch.isspace()}
    return found


# ---------------------------------------------------------------- whole files


@pytest.mark.parametrize("path", CLEAN, ids=lambda path: path.stem)
def test_what_the_compiler_reads_is_coloured_as_it_reads_it(path: Path) -> None:
    source = Source(path.read_text(encoding="utf-8"), path.name)
    tree, findings = read(source)
    assert not findings
    shown = colours(source.text)
    assert Error not in shown

    def inside(span: Span) -> list[_TokenType]:
        start = span.place.offset + span.start
        return shown[start : start + len(span.text)]

    comments = 0
    for block in tree.blocks:
        word = shown[
            block.place.offset + block.span.start : block.place.offset + block.span.start + len(block.kind)
        ]
        assert set(word) == {token("heading")}
        for comment in block.comments:
            comments += len(comment.text)
            assert set(inside(comment.span)) == {Comment.Single}
        name = getattr(block.heading, "name", None)
        if name is not None:
            assert set(inside(name.span)) == {token("title")}
        for entry in block.entries():
            listed = VOCABULARY[block.kind].find(entry.label.key)
            expected = "label" if listed else OPEN_LABELS.get(block.kind, "name")
            assert set(inside(entry.label.span)) == {token(expected)}, entry.label.text
        for line in block.prose():
            for fact in line.pieces:
                found = inside(fact.span)
                if isinstance(fact, Prose):
                    assert set(found) <= {Text, Whitespace, token("escape")}, fact.text
                    continue
                assert (found[0], found[-1]) == (Punctuation, Punctuation)
                if isinstance(fact, Draw):
                    assert set(inside(fact.name.span)) == {token("name")}, fact.name.text
                elif isinstance(fact, Numbered):
                    assert set(inside(fact.words.span)) == {token("name")}, fact.words.text
                elif isinstance(fact, TemperatureFact):
                    assert (token("place") in found) == (fact.place is not None)
                elif isinstance(fact, DurationFact):
                    assert Number in found
                    assert token("unit") in found
                    assert (token("hands") in found) == ("hands" in fact.span.text)
    assert shown.count(Comment.Single) == comments


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_a_mistake_is_coloured_whole(path: Path) -> None:
    assert lexed(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize(("said", "text"), MANUAL)
def test_the_manuals_examples_are_coloured_whole(said: str, text: str) -> None:
    assert "wrong" in said or Error not in colours(text)


# ---------------------------------------------------------------- every word


@pytest.mark.parametrize("kind", VOCABULARY)
def test_every_heading(kind: str) -> None:
    heading = EXAMPLE_HEADINGS[kind]  # type: ignore[index]
    assert painted(f"{heading}\n", kind) is token("heading")
    assert painted(f"recipe X\n  by:  me\n\n{heading}", kind) is token("heading")
    assert painted(f"  {heading}\n", heading) is Text  # indented, it is none


@pytest.mark.parametrize(
    ("kind", "label"),
    [(kind, label) for kind, vocabulary in VOCABULARY.items() for label in vocabulary.labels],
    ids=lambda value: value if isinstance(value, str) else value.name,
)
def test_every_label(kind: str, label: Label) -> None:
    heading = EXAMPLE_HEADINGS[kind]  # type: ignore[index]
    text = f"{heading}\n  {label.example}\n"
    shown = colours(text)[len(heading) + 3 :]
    assert set(shown[: len(label.name)]) == {token("label")}
    assert shown[len(label.name)] is Punctuation
    assert Error not in shown
    # At the margin it still belongs to the block above.
    shown = colours(f"{heading}\n\n{label.example}\n")[len(heading) + 2 :]
    assert set(shown[: len(label.name)]) == {token("label")}


@pytest.mark.parametrize("spelling", UNITS)
def test_every_unit(spelling: str) -> None:
    if UNITS[spelling].dimension != "energy":  # no fact is one of energy
        fact = f"step X\n  Cut it [5 {spelling}].\n"
        assert set(colours(fact)[fact.index("5") + 2 : fact.index("]")]) == {token("unit")}
    tight = f"expect\n  total: 5{spelling}  # so\n"
    assert [colours(tight)[tight.index("5") + at] for at in (0, 1, len(spelling), len(spelling) + 3)] == [
        Number,
        token("unit"),
        token("unit"),
        Comment.Single,
    ]


@pytest.mark.parametrize("place", get_args(OvenPlace))
def test_every_place(place: str) -> None:
    assert painted(f"step X\n  Heat to [200 C {place}].\n", place) is token("place")
    assert painted(f"step X\n  Heat to [{place} at 200 C].\n", place) is token("place")
    assert painted(f"step X\n  Take [the {place} gloves].\n", f"the {place} gloves") is token("name")


@pytest.mark.parametrize("level", LEVELS)
def test_every_level(level: str) -> None:
    assert painted(f"checks\n  price-stale: {level}\n", level) is token("constant")


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_system_of_measures(system: str) -> None:
    assert painted(f"kitchen X\n  measures: {system}\n", system) is token("constant")
    assert painted(f"{FLOUR}  milk: 1 1/2 {system} cups\n", system) is token("system")


@pytest.mark.parametrize(
    ("fact", "pieces"),
    [
        ("half the caster sugar", "share:half the name:caster sugar"),
        ("two thirds of the milk", "share:two thirds of the name:milk"),
        ("the rest of the milk", "share:the rest of the name:milk"),
        ("all of the water", "share:all of the name:water"),
        ("all but 20 g of the water", "share:all but number:20 unit:g joining:of the name:water"),
        ("all but 2 of the eggs", "share:all but number:2 joining:of the name:eggs"),
        ("25 % of the water", "number:25 unit:% joining:of the name:water"),
        ("2 of the eggs", "number:2 joining:of the name:eggs"),
        ("the oven chips", "name:the oven chips"),
        ("#1 flour", "name:#1 flour"),
        ("00 flour", "number:00 name:flour"),
        ("half-and-half", "name:half-and-half"),
        ("70 % chocolate", "number:70 unit:% name:chocolate"),
        ("40 g butter", "number:40 unit:g name:butter"),
        ("20-25 min hands-off", "number:20 operator:- number:25 unit:min hands:hands-off"),
        ("at least 12 h hands-off", "limit:at least number:12 unit:h hands:hands-off"),
        ("up to 4 h", "limit:up to number:4 unit:h"),
        ("3 times, every 30 min", "number:3 word:times comma:, load:every number:30 unit:min"),
        ("60 C to 21 C in 2 h", "number:60 unit:C joining:to number:21 unit:C joining:in number:2 unit:h"),
        ("180 C fan oven", "number:180 unit:C place:fan place:oven"),
        ("75 C core of the beef mince", "number:75 unit:C place:core joining:of the name:beef mince"),
        ("-18 C freezer", "operator:- number:18 unit:C place:freezer"),
        ("4 at a time", "number:4 load:at a time"),
        ("8 pieces", "number:8 load:pieces"),
        ("the pieces", "load:the pieces"),
        ("each piece", "load:each piece"),
        ("18 g each", "number:18 unit:g load:each"),
        ("20 x 30 cm", "number:20 operator:x number:30 unit:cm"),
        ("1 h 30 min", "number:1 unit:h number:30 unit:min"),
        ("2½ in", "number:2½ unit:in"),
    ],
)
def test_facts(fact: str, pieces: str) -> None:
    wanted = [(token(kind), piece.strip()) for kind, piece in re.findall(r"(\w+):(.+?)(?= \w+:|$)", pieces)]
    found = [(kind, piece.strip()) for kind, piece in lexed(f"step X\n  So [{fact}] on.\n") if piece.strip()]
    assert (found[3], found[-2]) == ((Punctuation, "["), (Punctuation, "]"))
    joined: list[tuple[_TokenType, str]] = []  # neighbours of one colour are one token
    for kind, piece in wanted:
        if joined and joined[-1][0] is kind:
            kind, piece = kind, f"{joined.pop()[1]} {piece}"
        joined.append((kind, piece))
    gathered: list[tuple[_TokenType, str]] = []
    for kind, piece in found[4:-2]:
        if gathered and gathered[-1][0] is kind:
            piece = f"{gathered.pop()[1]} {piece}"
        gathered.append((kind, piece))
    assert gathered == joined


# ---------------------------------------------------------------- punctuation


def test_double_brackets_are_text() -> None:
    text = "step X\n  A [[bracket]] and [[[the water]]]: [2 min].\n"
    assert painted(text, "[[") is token("escape")
    assert painted(text, "bracket") is Text
    assert painted(text, "the water") is token("name")
    assert painted(text, "2") is Number
    assert Error not in colours(text)


@pytest.mark.parametrize(
    ("line", "wrong"), [("Stir ] now.", "]"), ("Stir [the water.", "["), ("[the [2 min] water]", "]")]
)
def test_a_bracket_that_pairs_with_none_is_wrong(line: str, wrong: str) -> None:
    assert (Error, wrong) in lexed(f"step X\n  {line}\n")


def test_colons_in_prose_are_text() -> None:
    text = "step X\n  makes: whisk it: then [2 min]: done\n\ntrial 2026-11-09\n  so: it was\n  took: 5 min\n"
    assert painted(text, "makes: whisk it: then") is Text
    assert painted(text, "so: it was") is Text
    assert painted(text, "took") is token("label")


def test_a_label_that_no_block_of_its_kind_has_is_plain() -> None:
    assert painted("recipe X\n  servs: 4\n", "servs") is Text


def test_a_value_that_looks_like_a_number_is_text_in_free_text() -> None:
    assert painted("recipe X\n  summary:  A [5 g] thing of 3 kg\n", "A [5 g] thing of 3 kg") is String


def test_a_purpose_and_a_note() -> None:
    text = f"{FLOUR}  butter: 40 g, for the pan, soft  # and 5 g more\n"
    assert painted(text, "for") is token("joining")
    assert painted(text, "the pan") is String
    assert painted(text, "soft") is String
    assert painted(text, "# and 5 g more") is Comment.Single


def test_units_stand_only_after_numbers() -> None:
    assert painted("recipe X\n  makes: 4 cups of 5 g\n", "cups") is token("unit")
    assert painted("recipe X\n  keeps: 2 days in a cup\n", "in a cup") is Text


def test_what_a_merge_left_is_wrong() -> None:
    text = "recipe X\n<<<<<<< ours\n  serves: 4\n=======\n  serves: 6\n>>>>>>> theirs\n"
    for marker in ("<<<<<<< ours", "=======", ">>>>>>> theirs"):
        assert painted(text, marker) is Error


PIECES = st.lists(
    st.sampled_from(
        ["#", "##", " ", "\t", "\u00a0", "[", "]", "[[", "]]", ":", ": ", ",", "a", "5 g", "the", "½"]
    ),
    max_size=14,
).map("".join)


@pytest.mark.parametrize("heading", ["step X", "ingredients", "kitchen X", "recipe X", "equipment", "expect"])
@given(line=PIECES)
def test_comments_begin_where_the_compiler_says(heading: str, line: str) -> None:
    shown = colours(f"{heading}\n  {line}\n  z: 1\n")[len(heading) + 3 :][: len(line)]
    begins = comment_start(f"  {blank_out(line)}") - 2
    wanted = len(line) if begins < 0 else begins
    assert [kind is Comment.Single for kind in shown] == [at >= wanted for at in range(len(line))]


@given(line=PIECES)
def test_labels_end_where_the_compiler_says(line: str) -> None:
    clean = f"  {blank_out(line)}"
    if (comment := comment_start(clean)) >= 0:
        clean = clean[:comment]
    clean = clean.rstrip(" ")
    colon = colon_at(clean)
    label = clean[: max(colon, 0)].strip()
    shown = colours(f"equipment\n  {line}\n")[len("equipment\n") :]
    if label:
        start = len(clean) - len(clean.lstrip(" "))
        assert set(shown[start : start + len(label)]) == {token("name")}
        assert shown[colon] is Punctuation


@given(text=st.text(alphabet=st.sampled_from("recipe step:#[]\n\t ,0½g%C-xé\u00a0'"), max_size=120))
def test_any_text_comes_out_whole(text: str) -> None:
    assert "".join(piece for _, piece in lexed(text)) == text


def test_prose_is_few_tokens() -> None:
    tokens = lexed("step X\n  Beat the wet into the dry until no lump is left, [3 min].\n")
    assert (Text, "  Beat the wet into the dry until no lump is left, ") in tokens
    assert not any(one[0] is other[0] and one[0] is not Whitespace for one, other in pairwise(tokens))


# ---------------------------------------------------------------- how it is found


def test_pygments_finds_it() -> None:
    assert type(get_lexer_by_name("bench")) is BenchLexer
    assert type(get_lexer_for_filename("loaf.bench")) is BenchLexer


def test_the_program_does_not_load_pygments_for_it() -> None:
    script = (
        "import sys, benchproof.compiler.command;"
        "print([name for name in sys.modules if 'pygments' in name or 'editors' in name])"
    )
    run = subprocess.run([sys.executable, "-P", "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_colouring_needs_neither_the_parser_nor_the_units_library() -> None:
    script = (
        "import sys; from benchproof.grammar.editors.pygments_lexer import BenchLexer;"
        "list(BenchLexer().get_tokens('recipe X'));"
        "print([name for name in ('lark', 'pint', 'click') if name in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-P", "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
