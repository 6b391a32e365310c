"""Source text and spans: where a finding points."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchproof.compiler.source import Place, Source, Span


def test_lines_and_columns_count_from_one_in_code_points() -> None:
    source = Source("crème\n½ cup\n")
    assert source.position(0) == (1, 1)
    assert source.position(5) == (1, 6)  # the line feed itself
    assert source.position(6) == (2, 1)
    assert source.position(7) == (2, 2)  # past the one code point of ½
    assert source.position(len(source.text)) == (3, 1)


@pytest.mark.parametrize(
    ("text", "newline"),
    [("a\nb", "\n"), ("a\r\nb", "\r\n"), ("a\rb", "\r"), ("ab", "\n"), ("\ufeffa\nb", "\n")],
)
def test_line_ends_and_the_mark_are_normalised_and_the_line_end_is_remembered(
    text: str, newline: str
) -> None:
    source = Source(text)
    assert source.newline == newline
    assert source.text in ("a\nb", "ab")


def test_only_the_first_byte_order_mark_goes() -> None:
    assert Source("\ufeff\ufeffx").text == "\ufeffx"


@pytest.mark.parametrize(("text", "count"), [("", 1), ("a", 1), ("a\n", 2), ("\n\n", 3)])
def test_line_count(text: str, count: int) -> None:
    assert Source(text).line_count == count


@given(st.text(alphabet="aé\n\r½ ", max_size=60))
def test_every_line_is_the_text_s_line_and_every_offset_is_in_its_line(text: str) -> None:
    source = Source(text)
    lines = source.text.split("\n")
    assert [source.line(number) for number in range(1, source.line_count + 1)] == lines
    for offset in range(len(source.text) + 1):
        row, column = source.position(offset)
        assert sum(len(one) + 1 for one in lines[: row - 1]) + column - 1 == offset


def test_a_digest_tells_texts_apart_but_not_line_ends() -> None:
    assert Source("a\nb").digest == Source("a\r\nb").digest
    assert Source("a\nb").digest != Source("a\nc").digest
    assert len(Source("").digest) == 8


def test_a_span_moves_with_its_block() -> None:
    source = Source("one\ntwo three\n")
    place = Place(source, 4)
    span = Span(place, 4, 9)
    assert (span.text, span.line, span.first, span.last) == ("three", 2, 8, 13)
    assert span.part(1, 3).text == "hr"
    assert Span(place, 0, 3).to(span).text == "two three"
    place.source, place.offset = Source("a line above\none\ntwo three\n"), 17
    assert (span.text, span.line) == ("three", 3)


def test_spans_are_equal_when_they_cover_the_same_text_of_one_source() -> None:
    source = Source("abcdef")
    one, other = Span(Place(source, 2), 1, 3), Span(Place(source), 3, 5)
    assert one == other
    assert hash(one) == hash(other)
    assert one != Span(Place(Source("abcdef")), 3, 5)
    assert one != Span(Place(source), 3, 6)
    assert one != "de"


def test_a_file_that_is_not_utf_8_is_refused(tmp_path) -> None:
    path = tmp_path / "x.bench"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(UnicodeDecodeError):
        Source.read(path)
    path.write_text("recipe Crème\r\n", encoding="utf-8", newline="")
    source = Source.read(path, "x")
    assert (source.text, source.newline, source.name, source.path) == ("recipe Crème\n", "\r\n", "x", path)
