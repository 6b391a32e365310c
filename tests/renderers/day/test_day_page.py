"""A day as a page and in print."""

from __future__ import annotations

import logging
import re
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from benchproof.renderers.day import page, words
from benchproof.renderers.day.page import day_html, day_pdf
from benchproof.renderers.press import PageError
from benchproof.renderers.terminal import even_spaces
from tests.renderers.day import samples


def cells(html: str) -> list[list[str]]:
    table = html[html.index('<table class="plan">') : html.index("</table>")]
    rows = re.findall(r"<tr[^>]*>(.*?)</tr>", table, re.S)
    return [
        [
            even_spaces(re.sub(r"<[^>]+>", "", cell))
            for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S)
        ]
        for row in rows
    ]


@pytest.mark.parametrize("name", samples.ALL)
def test_the_table_holds_what_the_timeline_draws(name: str) -> None:
    day = samples.ALL[name]()
    found = cells(day_html(day))
    for row in words.rows(day):
        label, what = words.label(day, row.activity), even_spaces(words.what(day, row))
        assert any(
            cell[0] == label and cell[1] == row.time and what in cell[2] for cell in found if len(cell) > 2
        ), what


def test_the_page_asks_for_nothing_and_works_on_a_phone() -> None:
    html = day_html(samples.supper())
    addresses = re.findall(r"""(?:src|href|url)\s*[=(]\s*["']?([^"')\s]{1,40})""", html)
    assert len(addresses) == 3
    assert all(address.startswith("data:font/woff2") for address in addresses)
    assert '<meta name="viewport" content="width=device-width, initial-scale=1">' in html
    assert "<script" not in html


def test_what_a_cook_wrote_stays_words() -> None:
    html = day_html(samples.renamed(samples.night(), "<script>alert(1)</script>"))
    assert "<script" not in html
    assert "&lt;script&gt;" in html


def test_dates_head_their_lines_where_it_goes_past_midnight() -> None:
    html = day_html(samples.night())
    assert html.index("Saturday 2026-09-26</th>") < html.index("Sunday 2026-09-27</th>")
    assert 'class="date"' not in day_html(samples.supper())


def test_what_goes_wrong_stands_above_the_plan() -> None:
    html = day_html(samples.night())
    assert html.index("Take care: It cannot be ready") < html.index('<table class="plan">')


def test_what_decides_is_said_to_those_who_do_not_see_it() -> None:
    assert '<span class="unseen">, decides the time</span>' in day_html(samples.rounds())


def test_a_paper_that_is_not_known() -> None:
    for make in (day_html, day_pdf):
        with pytest.raises(PageError, match="A4, A5, letter, 5x8"):
            make(samples.rounds(), paper="foolscap")  # type: ignore[operator]


def alternatives(node: Any) -> list[str]:
    """What a screen reader is given for each drawing of a tagged PDF."""
    node = node.get_object()
    if isinstance(node, list):
        return [text for one in node for text in alternatives(one)]
    if not isinstance(node, dict):
        return []
    mine = [str(node["/Alt"])] if "/Alt" in node else []
    return mine + (alternatives(node["/K"]) if "/K" in node else [])


def test_it_is_printed_tagged_and_the_same_bytes_again(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page, "_TYPE_SIZES", page._TYPE_SIZES[:1])
    said: list[str] = []

    class Listener(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            said.append(record.getMessage())

    listener = Listener(logging.WARNING)
    logging.getLogger("weasyprint").addHandler(listener)
    try:
        pdf = day_pdf(samples.supper())
    finally:
        logging.getLogger("weasyprint").removeHandler(listener)
    # The one about fontTools is a matter of the machine, not of the template.
    assert [text for text in said if "HarfBuzz-Subset" not in text] == []
    assert day_pdf(samples.supper()) == pdf
    read = PdfReader(BytesIO(pdf))
    text = re.sub(r"\s+", "", "".join(sheet.extract_text() for sheet in read.pages))
    for piece in ("outoftheoven", "17:25", "Proven:noplan", "Oneovenisassumed"):
        assert piece in text
    assert text.count("decidesthetime") == 1, "the key alone: what is for ears is not printed"
    titles = alternatives(read.trailer["/Root"]["/StructTreeRoot"])
    assert titles == ["Timeline: Lamplighter's chicken, Jetty crumble and Low tide bean stew"]
