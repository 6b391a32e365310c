"""Where the marks stand."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from benchproof.compiler.batch import Extent, Stretch
from benchproof.renderers.card.strip import css, day_strip, place_on_range
from tests.renderers.card import samples


def test_no_two_marks_of_a_lane_overlap() -> None:
    for batch in (samples.typical(), samples.long()):
        strip = day_strip(batch.times.plan)
        assert strip is not None
        drawn = 0
        for lane in strip.lanes:
            spans = sorted(
                [(Fraction(bar.left), Fraction(bar.left) + Fraction(bar.width)) for bar in lane.bars]
                + [(Fraction(label.left), Fraction(label.left) + Fraction(9, 2)) for label in lane.labels]
            )
            drawn += len(lane.bars)
            for (_, end), (start, _) in pairwise(spans):
                assert start >= end - Fraction(2, 100), (batch.recipe, spans)
            assert spans[0][0] >= 0
            assert spans[-1][1] <= Fraction(10001, 100)
        assert drawn == len(batch.times.plan)
        steps = {label.text for lane in strip.lanes for label in lane.labels}
        steps |= {bar.label for lane in strip.lanes for bar in lane.bars if bar.label}
        assert steps == {str(stretch.step) for stretch in batch.times.plan}


def test_no_strip_where_nothing_has_a_time() -> None:
    assert day_strip(()) is None
    assert day_strip((Stretch(1, Fraction(0), Fraction(0), False),)) is None


def test_a_minute_at_the_end_of_a_long_day_is_still_on_the_strip() -> None:
    day = Fraction(86400)
    strip = day_strip((Stretch(1, Fraction(0), day - 60, True), Stretch(2, day - 60, day, False)))
    assert strip is not None
    bars = [bar for lane in strip.lanes for bar in lane.bars]
    assert all(Fraction(bar.left) + Fraction(bar.width) <= 100 for bar in bars)
    assert all(Fraction(bar.width) >= Fraction(1, 2) for bar in bars)


def test_a_value_stands_where_it_is_on_its_range() -> None:
    usual = Extent(Fraction(110), Fraction(150))
    assert [place_on_range(Fraction(v), usual) for v in (110, 120, 150)] == ["0", "25", "100"]
    assert place_on_range(Fraction(2), Extent(Fraction(2), Fraction(2))) == "50"


def test_css_has_two_decimals_and_no_noughts_at_the_end() -> None:
    assert [css(Fraction(v)) for v in ("12.5", "0", "100", "1/3", "-1/4")] == [
        "12.5",
        "0",
        "100",
        "0.33",
        "-0.25",
    ]


def test_the_axis_counts_in_what_the_day_is_long_in() -> None:
    def axis(hours: int) -> tuple[str, list[str]]:
        strip = day_strip((Stretch(1, Fraction(0), Fraction(hours * 3600), True),))
        assert strip is not None
        assert len(strip.ticks) <= 10
        return strip.unit, [tick.text for tick in strip.ticks]

    assert axis(1) == ("min", ["0", "10", "20", "30", "40", "50", "60"])
    assert axis(4) == ("h", ["0:00", "0:30", "1:00", "1:30", "2:00", "2:30", "3:00", "3:30", "4:00"])
    assert axis(20) == ("h", ["0", "3", "6", "9", "12", "15", "18"])
    assert axis(24 * 6) == ("days", ["0", "1", "2", "3", "4", "5", "6"])


def test_a_time_of_a_thousand_million_months_has_no_more_ticks_than_a_day() -> None:
    strip = day_strip([Stretch(1, Fraction(0), Fraction(999_999_999 * 30 * 86_400), True)])
    assert strip is not None
    assert 2 <= len(strip.ticks) <= 40
