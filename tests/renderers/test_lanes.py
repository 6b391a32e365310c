"""Time drawn from left to right: the axis, the rows, the marks."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from benchproof.renderers.lanes import (
    Axis,
    Band,
    Item,
    Piece,
    Tick,
    apart,
    drawing,
    label_width,
    rows,
    tick_places,
    ticks_from_the_start,
    units,
)

WIDTH = Fraction(360)
HOUR = Fraction(3600)


def axis(*moments: int | Fraction) -> Axis:
    return Axis([Fraction(moment) for moment in moments], WIDTH)


def piece(start: int | Fraction, end: int | Fraction) -> Piece:
    return Piece(Fraction(start), Fraction(end), "open")


days = st.lists(
    st.tuples(st.integers(0, 40), st.integers(0, 200_000), st.integers(1, 60_000)), min_size=1, max_size=25
)


def items(found: list[tuple[int, int, int]]) -> list[Item]:
    steps: dict[int, list[Piece]] = {}
    for step, start, length in found:
        steps.setdefault(step, []).append(piece(start, start + length))
    return [item for step, pieces in steps.items() for item in apart(str(step), pieces)]


def axis_of(one: list[Item]) -> Axis:
    return Axis([moment for item in one for p in item.pieces for moment in (p.start, p.end)], WIDTH)


@given(days)
def test_no_two_marks_of_a_row_overlap_and_none_stands_outside(found: list[tuple[int, int, int]]) -> None:
    given_items = items(found)
    for row in rows(given_items, axis_of(given_items)):
        outside = [
            (label.left, label.left + label_width(label.text) - 1)
            for label in row.labels
            if label.inside is None and not label.over
        ]
        spans = sorted([*((bar.left, bar.left + bar.width) for bar in row.bars), *outside])
        assert spans[-1][1] <= WIDTH
        assert spans[0][0] >= 0
        for (_, end), (start, _) in pairwise(spans):
            assert start >= end - 2, "slivers that are widened may touch, no more"


@given(days)
def test_every_piece_and_every_label_is_drawn(found: list[tuple[int, int, int]]) -> None:
    given_items = items(found)
    drawn = rows(given_items, axis_of(given_items))
    assert sum(len(row.bars) for row in drawn) == len(found)
    assert sorted(label.text for row in drawn for label in row.labels) == sorted(
        item.label for item in given_items
    )


@given(st.lists(st.integers(0, 10_000_000), min_size=1, max_size=30))
def test_time_never_runs_backwards_on_the_axis_and_fills_it(moments: list[int]) -> None:
    here = axis(*moments)
    places = [here.at(Fraction(moment)) for moment in sorted({0, *moments})]
    assert places == sorted(places)
    assert places[0] == 0
    assert places[-1] in (0, WIDTH)


def test_a_long_wait_is_cut_and_its_neighbours_gain() -> None:
    cut = axis(0, HOUR, 11 * HOUR, 12 * HOUR)
    assert cut.cuts == ((HOUR, 11 * HOUR),)
    assert cut.at(HOUR) == WIDTH * 9 / 20
    assert axis(0, HOUR, 2 * HOUR).cuts == ()
    assert axis(0, 12 * HOUR).cuts == (), "one wait alone has nothing to make room for"


def test_the_axis_counts_in_what_the_day_is_long_in() -> None:
    def words(hours: int) -> tuple[str, list[str]]:
        ticks, unit = ticks_from_the_start(axis(hours * HOUR))
        return unit, [tick.text for tick in ticks]

    assert words(1) == ("min", ["0", "10", "20", "30", "40", "50", "60"])
    assert words(4) == ("h", ["0:00", "0:30", "1:00", "1:30", "2:00", "2:30", "3:00", "3:30", "4:00"])
    assert words(20) == ("h", ["0", "3", "6", "9", "12", "15", "18"])
    assert words(24 * 6) == ("days", ["0", "1", "2", "3", "4", "5", "6"])


def test_a_time_of_a_thousand_million_months_has_no_more_ticks_than_a_day() -> None:
    ticks, _ = ticks_from_the_start(axis(999_999_999 * 30 * 86_400))
    assert 2 <= len(ticks) <= 40


def test_each_stretch_between_two_cuts_has_a_time_under_it() -> None:
    here = axis(0, 600, 10 * HOUR, 10 * HOUR + 600, 20 * HOUR, 22 * HOUR)
    assert len(here.cuts) == 2
    places = tick_places(here, here.step(), Fraction(0))
    assert any(10 * HOUR <= place <= 10 * HOUR + 600 for place in places)
    for one, other in pairwise(places):
        assert here.at(other) - here.at(one) >= 30


def test_a_minute_in_two_days_is_still_seen() -> None:
    found = rows(
        [Item("1", (piece(0, 172_740),)), Item("2", (piece(172_740, 172_800),))], axis(172_740, 172_800)
    )
    assert all(bar.width >= 2 for row in found for bar in row.bars)


def test_pieces_at_the_same_time_go_to_rows_of_their_own() -> None:
    both = apart("1", [piece(0, 100), piece(50, 150), piece(100, 200)])
    assert [[p.start for p in item.pieces] for item in both] == [[0, 100], [50]]


def test_units_have_two_decimals_and_no_noughts_at_the_end() -> None:
    found = [units(Fraction(value)) for value in ("12.5", "0", "100", "1/3", "-1/4")]
    assert found == ["12.5", "0", "100", "0.33", "-0.25"]


def test_what_is_drawn_is_escaped() -> None:
    svg = drawing(
        [Band("<b>", (Item("&", (piece(0, 600),)),))], axis(600), [], title="<t>", description='"d"', name="x"
    )
    assert "&lt;b&gt;" in svg
    assert "<b>" not in svg
    assert "<t>" not in svg


def test_a_label_without_any_room_lies_over_its_bars() -> None:
    crowd = Item("123", tuple(piece(at, at + 10) for at in range(0, 600, 10)))
    ((row,),) = (rows([crowd], axis(600)),)
    assert row.labels[0].over
    svg = drawing([Band("", (crowd,))], axis(600), [], title="t", description="d", name="x")
    assert svg.index('fill="#fff"/><text') > svg.index("<rect")


def test_two_dates_do_not_stand_on_each_other() -> None:
    ticks = [Tick(Fraction(0), "22:00", "Sat 2026-09-26"), Tick(HOUR, "06:00", "Sun 2026-09-27")]
    svg = str(drawing([], axis(10 * HOUR), ticks, title="t", description="d", name="x"))
    first, second = re.findall(r'<text x="([\d.]+)"[^>]*>S', svg)
    assert (float(first), float(second)) == (0, float(label_width("x" * 14)) - 3)
