"""Sets the card and prints it.

`example.png`, for the README, is `benchproof card recipes/harbour-griddle-rounds.bench` through
`pdftoppm -r 80 -gray -png`, the two pages side by side. Make it again when the card or the recipe changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from importlib.resources import files
from typing import Any, Final

from jinja2 import Environment, FunctionLoader, StrictUndefined, Template
from markupsafe import Markup

from benchproof.compiler.batch import Batch
from benchproof.renderers.card.strip import day_strip
from benchproof.renderers.card.view import NotOneRecipe, card_view
from benchproof.renderers.press import (
    MARGIN,
    OPTIONS,
    WIDTHS,
    PageError,
    Paper,
    font_faces,
    known_paper,
    largest,
    printing,
)

CardError = PageError

_MOST_SIZES: Final[dict[str, int]] = {"A4": 4, "A5": 2, "letter": 4, "5x8": 1}
_TYPE_SIZES: Final = ("10.5pt", "11.25pt", "12.5pt", "14.5pt")
"""Of the method's type, by which all else is measured; first the smallest that is still read standing."""
_TIGHT: Final = "html { line-height: 1.16; --row: 0.02rem; --gap: 0.45rem; }"
"""Less white, no smaller type: where that saves a page."""
_ROOM: Final = files("benchproof.renderers.card")
_SCREEN: Final = 360
"""How wide the strip is drawn for a screen, in its own units: about what a phone is wide in CSS pixels."""


# ---------------------------------------------------------------- HTML


def card_html(batches: Sequence[Batch], *, paper: Paper = "A5", stylesheet: str | None = None) -> str:
    """The bench card as one HTML page that asks for nothing from outside: styles and fonts are in it.

    The first batch is the one in hand; the others are further sizes of the same recipe, in columns beside it.
    `stylesheet` is CSS to lay over the card's own. Raises `CardError` for no batch, for batches that are not
    sizes of one recipe, and for a paper that is not known.
    """
    return _html(batches, paper, stylesheet)


def _html(
    batches: Sequence[Batch],
    paper: str,
    stylesheet: str | None,
    type_size: str = _TYPE_SIZES[0],
    *,
    sheet: bool = False,
) -> str:
    size = known_paper(paper)
    if len(batches) - 1 > _MOST_SIZES[paper]:
        raise CardError(
            f"{paper} has room for {_MOST_SIZES[paper]} further sizes beside the batch in hand, and"
            f" {len(batches) - 1} were asked for. Ask for fewer, or for a larger paper."
        )
    if stylesheet is not None and "</" in stylesheet:
        raise CardError("The stylesheet has `</` in it, which would end it early. CSS never needs it.")
    try:
        card = card_view(batches)
    except NotOneRecipe as wrong:
        raise CardError(str(wrong)) from wrong
    style = "\n".join(
        (
            font_faces(printing=sheet),
            f"@page {{ size: {size}; }}",
            f"html {{ font-size: {type_size}; }}",
            _text("card.css"),
            "" if sheet else _text("screen.css"),
            stylesheet or "",
        )
    )
    # As wide as the sheet, in what its smallest type calls a point: the strip's figures grow with the type.
    wide = (
        round((WIDTHS[paper] - 2 * MARGIN) * _points(_TYPE_SIZES[0]) / _points(type_size))
        if sheet
        else _SCREEN
    )
    strip = day_strip(batches[0].times.plan, wide)
    return _template().render(
        card=card, sheet=sheet, strip=strip, style=Markup(style)
    )  # ours, and without a `</`


def _points(type_size: str) -> float:
    return float(type_size.removesuffix("pt"))


def _text(name: str) -> str:
    return (_ROOM / name).read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def _template() -> Template:
    environment = Environment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        loader=FunctionLoader(_text),
    )
    return environment.get_template("card.html")


# ---------------------------------------------------------------- PDF


def card_pdf(batches: Sequence[Batch], *, paper: Paper = "A5") -> bytes:
    """The bench card as a tagged PDF, its fonts embedded.

    It takes as few pages as the smallest type allows, and on one or two the largest type that fits. It fetches
    nothing, and on one machine the same batches give the same bytes. Raises `CardError` as `card_html`, and
    where printing needs something installed.
    """
    _html(batches, paper, None)  # what is wrong with the call is said before anything is missing
    with printing(batches[0].asked.on) as laid_out:

        def card(type_size: str, spacing: str | None = None) -> Any:
            return laid_out(_html(batches, paper, spacing, type_size, sheet=True))

        smallest = card(_TYPE_SIZES[0])
        if len(smallest.pages) > 1:
            tight = card(_TYPE_SIZES[0], _TIGHT)
            if len(tight.pages) < len(smallest.pages):
                return bytes(tight.write_pdf(**OPTIONS))
        return bytes(
            largest(lambda size: smallest if size == _TYPE_SIZES[0] else card(size), _TYPE_SIZES).write_pdf(
                **OPTIONS
            )
        )
