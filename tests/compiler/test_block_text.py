"""The text of a block: its stretches, and what is said of them."""

import pytest

from benchproof.compiler.block_text import BlockText, moved
from benchproof.compiler.parser_messages import Refused, Slip
from benchproof.compiler.source import Place, Source


def block(text: str, before: str = "") -> BlockText:
    return BlockText(Place(Source(before + text), len(before)), text)


def test_a_name_is_trimmed_and_kept_as_it_is_written() -> None:
    name = block(" \u00a0sea\u00a0salt \t").name(0, 12)
    assert (name.text, name.span.start, name.span.end) == ("sea\u00a0salt", 2, 10)


def test_of_nothing_but_blanks_nothing_is_left() -> None:
    assert block("a    b").trim(1, 5) == (1, 1)


def test_commas_cut_but_not_inside_a_number() -> None:
    text = "1,5 kg , soft,warm,"
    assert [text[a:b] for a, b in block(text).cut_commas(0, len(text))] == ["1,5 kg", "soft", "warm", ""]


def test_what_is_said_stands_where_the_block_stands() -> None:
    written = block("flour: lots", before="ingredients\n")
    written.say_refused(
        Refused(Slip("not-an-amount", 7, 11, "No.", "Yes.", "5 g"), ((0, 5, "of this"),)),
    )
    (finding,) = written.findings
    assert finding.span.text == "lots"
    assert [(also.span.text, also.note) for also in finding.also] == [("flour", "of this")]
    assert finding.edit is not None
    assert (finding.edit.span.text, finding.edit.text) == ("lots", "5 g")


def test_a_mend_may_reach_further_than_its_slip() -> None:
    written = block("[5 min slowly]")
    written.say(Slip("words-after-fact", 7, 13, "No.", "Yes.", "] slowly", 6, 14))
    (finding,) = written.findings
    assert finding.edit is not None
    assert (finding.span.text, finding.edit.span.text) == ("slowly", " slowly]")


def test_a_slip_moves_with_its_mend() -> None:
    slip = moved(Slip("unit-case", 1, 2, "No.", "Yes.", "x", 0, 3), 10)
    assert (slip.start, slip.end, slip.mend_start, slip.mend_end) == (11, 12, 10, 13)
    bare = moved(Slip("unit-case", 1, 2, "No."), 10)
    assert (bare.start, bare.end, bare.mend_start, bare.mend_end) == (11, 12, None, None)


def test_a_thousand_characters_are_read_and_no_more() -> None:
    written = block("x" * 1001)
    written.not_too_long(1, 1001)
    with pytest.raises(Refused) as refused:
        written.not_too_long(0, 1001)
    assert refused.value.slip.rule == "too-long"
