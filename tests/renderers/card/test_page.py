"""The card as a page: what it is made of, and the calls that make none."""

from __future__ import annotations

import re

import pytest

from benchproof.renderers.card import CardError, card_html
from tests.renderers.card import samples


def test_the_page_needs_nothing_from_outside() -> None:
    html = card_html(samples.sizes())
    addresses = re.findall(r"""(?:src|href|url)\s*[=(]\s*["']?([^"')\s]{1,40})""", html)
    assert len(addresses) == 3
    assert all(address.startswith("data:font/woff2") for address in addresses)


def test_a_phone_gets_a_layout_of_its_own() -> None:
    html = card_html(samples.sizes())
    assert '<meta name="viewport" content="width=device-width, initial-scale=1">' in html
    assert "@media screen and (max-width" in html
    assert '<div class="sizes">' in html, "many columns are moved sideways, not squeezed"
    assert '<div class="sizes">' not in card_html([samples.typical()])


def test_one_more_stylesheet_lies_over_ours_and_cannot_end_it() -> None:
    html = card_html([samples.short()], stylesheet="h1 { font-size: 40pt }")
    assert html.index("h1 { font-size: 40pt }") > html.index(".formula {")
    with pytest.raises(CardError, match="</"):
        card_html([samples.short()], stylesheet="</style><script>")


def test_calls_that_make_no_card() -> None:
    with pytest.raises(CardError, match="none was given"):
        card_html([])
    with pytest.raises(CardError, match="A4, A5, letter, 5x8"):
        card_html([samples.short()], paper="foolscap")  # type: ignore[arg-type]
    with pytest.raises(CardError, match="same lines"):
        card_html([samples.typical(), samples.short()])
    with pytest.raises(CardError, match="larger paper"):
        card_html([samples.short()] * 4)


def test_a_blank_before_bold_type_stands_alone() -> None:
    """WeasyPrint would end a line in the wrong place; a reader must still find the blank there."""
    html = card_html([samples.short()])
    assert "the sesame seed,<span> </span><b>90\u202fg</b>" in html
