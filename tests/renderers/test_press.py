"""What every printed page relies on: our fonts and nothing else, a clock at rest, the largest type that fits."""

from __future__ import annotations

import os
from dataclasses import dataclass

import pytest

from benchproof.renderers import press


def test_the_fetcher_serves_our_fonts_and_nothing_else() -> None:
    from weasyprint.urls import FatalURLFetchingError

    fetcher = press.only_our_fonts()
    assert fetcher.fetch("benchproof-font:SourceSans3-Bold.ttf").read()[:4] == b"\x00\x01\x00\x00"
    for url in (
        "file:///etc/hostname",
        "http://192.0.2.1/",
        "data:text/plain,x",
        "benchproof-font:../card.css",
        "benchproof-font:OFL.md",
    ):
        with pytest.raises(FatalURLFetchingError):
            fetcher.fetch(url)


def test_the_clock_is_put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "12345")
    with press.still("2026-11-25"):
        assert os.environ["SOURCE_DATE_EPOCH"] == "1795564800"
    assert os.environ["SOURCE_DATE_EPOCH"] == "12345"
    monkeypatch.delenv("SOURCE_DATE_EPOCH")
    with press.still("no day"):
        pass
    assert "SOURCE_DATE_EPOCH" not in os.environ


def test_a_page_has_the_fonts_in_it_and_print_is_handed_them() -> None:
    looked_at, printed = press.font_faces(printing=False), press.font_faces(printing=True)
    assert looked_at.count("data:font/woff2;base64,") == 3
    assert "data:" not in printed
    assert printed.count("benchproof-font:SourceSans3-") == 3


def test_a_paper_nobody_knows_is_refused_with_those_we_know() -> None:
    assert press.known_paper("5x8") == "5in 8in"
    with pytest.raises(press.PageError, match="A4, A5, letter, 5x8"):
        press.known_paper("foolscap")
    assert press.SIZES.keys() == press.WIDTHS.keys()


@dataclass
class Laid:
    pages: range


@pytest.mark.parametrize(
    ("pages", "size"),
    [
        ((1, 1, 1, 1), "d"),
        ((1, 1, 1, 2), "c"),
        ((1, 2, 2, 2), "a"),
        ((2, 2, 3, 3), "b"),
        ((3, 3, 3, 3), "a"),  # a stack of sheets is not worth the wait
    ],
)
def test_the_largest_type_that_takes_no_more_pages(pages: tuple[int, ...], size: str) -> None:
    made = {name: Laid(range(many)) for name, many in zip("abcd", pages, strict=True)}
    assert press.largest(made.__getitem__, "abcd") is made[size]
