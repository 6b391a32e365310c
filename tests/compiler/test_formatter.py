"""One layout: what it looks like, that it is reached in one go, and that it never says something else.

`layouts/NAME.txt` hold a text, a line `----`, and its layout. `WRITE_GOLDEN=1 pytest` renews them.
"""

import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler.formatter import formatted, meaning, same_meaning
from benchproof.compiler.labels import VOCABULARY
from benchproof.compiler.parser import read
from benchproof.compiler.source import Source

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
LAYOUTS = sorted((HERE / "layouts").glob("*.txt"))
TEXTS = sorted([*(ROOT / "recipes").rglob("*.bench"), *(ROOT / "tests").rglob("*.bench")])


def says_the_same(one: str, other: str) -> bool:
    return same_meaning(read(Source(one))[0].blocks, read(Source(other))[0].blocks)


def check(text: str) -> None:
    laid = formatted(Source(text))
    assert formatted(Source(laid)) == laid
    assert says_the_same(text, laid)


@pytest.mark.parametrize("path", LAYOUTS, ids=lambda path: path.stem)
def test_the_layout(path: Path) -> None:
    text, _, golden = path.read_text(encoding="utf-8").partition("\n----\n")
    laid = formatted(Source(text + "\n"))
    if os.environ.get("WRITE_GOLDEN"):
        path.write_text(f"{text}\n----\n{laid}", encoding="utf-8")
        golden = laid
    assert laid == golden
    check(text + "\n")


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_every_text_we_have(path: Path) -> None:
    check(path.read_text(encoding="utf-8"))


def test_our_own_recipes_are_laid_out() -> None:
    for path in sorted((ROOT / "recipes").rglob("*.bench")):
        if "broken" not in path.parts:
            text = path.read_text(encoding="utf-8")
            assert formatted(Source(text)) == text, f"benchproof format {path}"


@pytest.mark.parametrize("text", ["", "\n\n", "# a comment alone\n", "recipe X", "   \n"])
def test_little_or_nothing(text: str) -> None:
    check(text)


def test_lines_that_end_in_returns_are_laid_out_alike() -> None:
    text = "recipe X\n makes:  12 rounds\n\nstep Y\n   Rest [5min].\n"
    assert formatted(Source(text.replace("\n", "\r\n"))) == formatted(Source(text))


def test_no_line_is_lost_or_moved() -> None:
    for path in TEXTS:
        source = Source.read(path)
        laid = formatted(source)
        blank = [not line.strip() for line in source.text.rstrip("\n").split("\n")]
        assert [not line.strip() for line in laid.rstrip("\n").split("\n")] == blank, path


def test_what_would_say_something_else_is_kept() -> None:
    # `1,5` between digits is a decimal comma, and not a detail: it stays for the cook to see.
    text = "recipe X\n\ningredients\n  flour:  1,5 kg\n"
    assert "1,5 kg" in formatted(Source(text))


def test_two_texts_that_differ_are_told_apart() -> None:
    one = "recipe X\n\ningredients\n  flour: 500 g\n"
    assert says_the_same(one, one.replace(" 500 g", "   500g"))
    for other in (
        one.replace("500", "501"),
        one.replace("flour", "rye"),
        one.replace("500 g", "500 g, sifted"),
        one + "  # a comment\n",
        one.replace("recipe X", "recipe Y"),
    ):
        assert not says_the_same(one, other)


def test_meaning_knows_the_kind_of_a_thing() -> None:
    block = read(Source("recipe X\n\ningredients\n  flour: 5 g\n"))[0].blocks[1]
    assert meaning(block.lines[0])[0] == "Entry"
    assert meaning(block.lines) == (meaning(block.lines[0]),)


# ---------------------------------------------------------------- texts made up, and texts spoilt

words = st.sampled_from(
    [
        "strong flour",
        "water",
        "fine salt",
        "the eggs",
        "butter",
        "00 flour",
        "half-and-half",
        "the",
    ]
)
amounts = st.sampled_from(
    [
        "280 g",
        "280g",
        "1.5 %",
        "145%",
        "2 tsp",
        "1 1/2 cups",
        "½ cup",
        "to taste",
        "3",
        "2 tins",
        "1 lb 4 oz",
        "5–10 min",
        "200 °C",
        "6 g and to taste",
        "150 % of rice",
        "3 parts",
        "12 rounds of 58 g",
        "1/0",
        "free",
        "3.30 for 1.5 kg",
    ]
)
facts = st.sampled_from(
    [
        "[the water]",
        "[ half the butter ]",
        "[5–10min hands-off]",
        "[36 - 40 C]",
        "[200°C oven]",
        "[4 at a time]",
        "[2 x 3 cm]",
        "[60 C to 21 C in 2 h]",
        "[[not a fact]]",
        "[40 g of the butter]",
        "[3 times, every 30 min]",
        "[open",
    ]
)
blanks = st.sampled_from(["", " ", "  ", "     "])
comments = st.sampled_from(["", "", "  # why", " #", "# no comment"])


@st.composite
def lines(draw: st.DrawFn) -> str:
    indent = draw(st.sampled_from(["  ", "  ", " ", "    ", "", "\t"]))
    kind = draw(st.integers(0, 4))
    if kind == 0:
        return ""
    if kind == 1:
        return indent + draw(comments)
    if kind == 2:
        said = " ".join(draw(st.lists(words | facts, min_size=1, max_size=5)))
        return f"{indent}{said}.{draw(comments)}"
    detail = draw(st.sampled_from(["", ", sifted", ",for the pan", " , soft"]))
    return f"{indent}{draw(words)}{draw(blanks)}:{draw(blanks)}{draw(amounts)}{detail}{draw(comments)}"


@st.composite
def texts(draw: st.DrawFn) -> str:
    parts = []
    for _ in range(draw(st.integers(1, 4))):
        kind = draw(st.sampled_from(sorted(VOCABULARY)))
        name = draw(
            st.sampled_from(["", " Tide bread", "  Tide   bread", " at Quay on 2026-11-02", " 2026-11-02"])
        )
        parts.append(f"{kind}{name}{draw(comments)}")
        parts += draw(st.lists(lines(), max_size=6))
    return draw(st.sampled_from(["\n", "\r\n"])).join(parts)


@given(texts())
@settings(max_examples=150)
def test_any_text_is_laid_out_once_and_says_the_same(text: str) -> None:
    check(text)


@given(
    st.sampled_from(TEXTS[::3]),
    st.lists(
        st.tuples(st.floats(0, 1), st.integers(0, 12), st.text("[]#,:–½ \t\n\u00a0°g%0", max_size=3)),
        max_size=4,
    ),
)
@settings(max_examples=80)
def test_a_spoilt_text_is_laid_out_once_and_says_the_same(
    path: Path, spoils: list[tuple[float, int, str]]
) -> None:
    text = path.read_text(encoding="utf-8")
    for where, gone, put in spoils:
        at = int(where * len(text))
        text = text[:at] + put + text[at + gone :]
    check(text)
