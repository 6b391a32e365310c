"""Dates: year, month, day, and the mend where another order can be read in one way only."""

import pytest

from benchproof.compiler.dates import date_slip
from tests.compiler.reading import clean, rules


def test_a_date_is_a_day_of_the_calendar() -> None:
    assert clean("trial 2028-02-29\n").blocks[0].heading is not None
    assert rules("trial 2026-02-29\n") == ["no-such-date"]
    assert rules("recipe X\n  date: 2026-02-29\n") == ["no-such-date"]


@pytest.mark.parametrize(
    ("written", "found", "mended"),
    [
        ("2026/11/2", "2026/11/2", "2026-11-02"),
        ("2026.11.02", "2026.11.02", "2026-11-02"),
        ("on 2 November 2026", "2 November 2026", "2026-11-02"),
        ("2nd Nov. 2026", "2nd Nov. 2026", "2026-11-02"),
        ("2 Brumaire 2026", "2 Brumaire 2026", None),
        ("2/11/2026", "2/11/2026", None),
        ("02.11.26", "02.11.26", None),
    ],
)
def test_another_order_is_told(written: str, found: str, mended: str | None) -> None:
    slip = date_slip(written, 10)
    assert slip is not None
    assert (slip.rule, written[slip.start - 10 : slip.end - 10], slip.mend) == ("date-form", found, mended)


@pytest.mark.parametrize("written", ["2026-11-02", "on 2026-02-31", "Monday", "12 rounds", ""])
def test_what_is_a_date_or_none_at_all_is_no_slip(written: str) -> None:
    assert date_slip(written, 0) is None
