"""Where the marks stand."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from benchproof.compiler.batch import Extent, Stretch
from benchproof.renderers.card import card_html
from benchproof.renderers.card.strip import day_strip, place_on_range
from tests.renderers.card import samples


@pytest.mark.parametrize("which", ["short", "typical", "long"])
def test_every_step_that_takes_time_is_on_the_strip_by_its_number(which: str) -> None:
    batch = getattr(samples, which)()
    strip = str(day_strip(batch.times.plan, 360))
    labels = set(re.findall(r'font-weight="700"[^>]*>([^<]+)<', strip))
    assert labels == {str(stretch.step) for stretch in batch.times.plan}


def test_work_is_black_and_what_goes_by_itself_is_open() -> None:
    hour = Fraction(3600)
    strip = str(day_strip([Stretch(1, Fraction(0), hour, False), Stretch(2, hour, 2 * hour, True)], 360))
    bars = re.findall(r"<rect[^>]*>", strip)
    assert len(bars) == 2
    assert "fill" not in bars[0]
    assert 'fill="#fff"' in bars[1]
    assert '<text x="2" y="9.5" font-weight="700" fill="#fff">1</text>' in strip


def test_no_strip_where_nothing_has_a_time() -> None:
    assert day_strip((), 360) is None
    assert day_strip((Stretch(1, Fraction(0), Fraction(0), False),), 360) is None


def test_a_screen_reader_has_it_as_a_table_and_the_sheet_does_not() -> None:
    html = card_html([samples.typical()])
    table = html[html.index('<table class="unseen">') :]
    assert '<th scope="row">3 Batter</th><td>0:10</td><td>0:13</td><td>hands-on</td>' in table
    assert table.count("<tr>") - 1 == len(samples.typical().times.plan)
    assert 'role="img"' in html
    assert "clip-path" in html, "it is hidden from eyes, not from ears"


def test_a_value_stands_where_it_is_on_its_range() -> None:
    usual = Extent(Fraction(110), Fraction(150))
    assert [place_on_range(Fraction(v), usual) for v in (110, 120, 150)] == ["0", "25", "100"]
    assert place_on_range(Fraction(2), Extent(Fraction(2), Fraction(2))) == "50"
