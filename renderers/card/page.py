"""Sets the card and prints it.

WeasyPrint is slow to import and needs system libraries, so it is imported only to print.

`example.png`, for the README, is `benchproof card recipes/harbour-griddle-rounds.bench` through
`pdftoppm -r 80 -gray -png`, the two pages side by side. Make it again when the card or the recipe changes.
"""

from __future__ import annotations

import os
from base64 import b64encode
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from functools import lru_cache
from importlib.resources import files
from threading import Lock
from typing import TYPE_CHECKING, Final, Literal, TypeAlias, get_args

from jinja2 import Environment, FunctionLoader, StrictUndefined, Template
from markupsafe import Markup

from benchproof.compiler.batch import Batch
from benchproof.renderers.card.view import NotOneRecipe, card_view

if TYPE_CHECKING:
    from weasyprint.urls import URLFetcher

Paper: TypeAlias = Literal["A4", "A5", "letter", "5x8"]

_SIZES: Final[dict[str, str]] = {"A4": "A4", "A5": "A5", "letter": "letter", "5x8": "5in 8in"}
_MOST_SIZES: Final[dict[str, int]] = {"A4": 4, "A5": 2, "letter": 4, "5x8": 1}
_TYPE_SIZES: Final = ("10.5pt", "11.25pt", "12.5pt", "14.5pt")
"""Of the method's type, by which all else is measured; first the smallest that is still read standing."""
_TIGHT: Final = "html { line-height: 1.16; --row: 0.02rem; --gap: 0.45rem; }"
"""Less white, no smaller type: where that saves a page."""
_ROOM: Final = files("benchproof.renderers.card")
_FONTS: Final = {400: "SourceSans3-Regular.ttf", 600: "SourceSans3-Semibold.ttf", 700: "SourceSans3-Bold.ttf"}
"""As they are for print; a page has them packed (`.woff2`), which print would take a second to unpack."""
_FONT_ADDRESS: Final = "benchproof-font:"


class CardError(Exception):
    """The card cannot be made. The message is for a cook and says what to do."""


# ---------------------------------------------------------------- HTML


def card_html(batches: Sequence[Batch], *, paper: Paper = "A5", stylesheet: str | None = None) -> str:
    """The bench card as one HTML page that asks for nothing from outside: styles and fonts are in it.

    The first batch is the one in hand; the others are further sizes of the same recipe, in columns beside it.
    `stylesheet` is CSS to lay over the card's own. Raises `CardError` for no batch, for batches that are not
    sizes of one recipe, and for a paper that is not known.
    """
    return _html(
        batches, paper, stylesheet, {weight: _inlined(f"{name}.woff2") for weight, name in _FONTS.items()}
    )


def _html(
    batches: Sequence[Batch],
    paper: str,
    stylesheet: str | None,
    fonts: dict[int, str],
    type_size: str = _TYPE_SIZES[0],
    *,
    sheet: bool = False,
) -> str:
    if paper not in _SIZES:
        raise CardError(f"There is no paper called “{paper}”. Write one of {', '.join(get_args(Paper))}.")
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
    faces = "\n".join(
        f'@font-face {{ font-family: "Bench card"; font-weight: {weight}; src: url("{address}"); }}'
        for weight, address in fonts.items()
    )
    style = "\n".join(
        (
            faces,
            f"@page {{ size: {_SIZES[paper]}; }}",
            f"html {{ font-size: {type_size}; }}",
            _text("card.css"),
            "" if sheet else _text("screen.css"),
            stylesheet or "",
        )
    )
    return _template().render(card=card, sheet=sheet, style=Markup(style))  # ours, and without a `</`


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


@lru_cache(maxsize=8)
def _inlined(name: str) -> str:
    return "data:font/woff2;base64," + b64encode(_font(name)).decode("ascii")


def _font(name: str) -> bytes:
    return (_ROOM / "fonts" / name).read_bytes()


# ---------------------------------------------------------------- PDF

_STILL: Final = Lock()


def card_pdf(batches: Sequence[Batch], *, paper: Paper = "A5") -> bytes:
    """The bench card as a tagged PDF, its fonts embedded.

    It takes as few pages as the smallest type allows, and on one or two the largest type that fits. It fetches
    nothing, and on one machine the same batches give the same bytes. Raises `CardError` as `card_html`, and
    where printing needs something installed.
    """
    addresses = {weight: _FONT_ADDRESS + name for weight, name in _FONTS.items()}
    _html(batches, paper, None, addresses)  # what is wrong with the call is said before anything is missing
    try:
        import weasyprint
        from weasyprint.document import Document
        from weasyprint.text.fonts import FontConfiguration
        from weasyprint.urls import FatalURLFetchingError
    except OSError as missing:
        raise CardError(
            "Printing needs the text library Pango, and it is not on this machine. Install it:"
            " `apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0` on Debian and Ubuntu,"
            " `brew install pango` on a Mac, or on Windows the Pango that comes with MSYS2."
            " Until then, `--as html` makes a page that a browser can print."
            f" (What was missing: {missing})"
        ) from missing

    fetcher = _only_our_fonts()
    fonts = FontConfiguration()
    options = {"pdf_variant": "pdf/ua-1"}

    def laid_out(type_size: str, spacing: str | None = None) -> Document:
        html = _html(batches, paper, spacing, addresses, type_size, sheet=True)
        return weasyprint.HTML(string=html, url_fetcher=fetcher).render(font_config=fonts, **options)

    with _still(batches[0].asked.on):
        try:
            best = laid_out(_TYPE_SIZES[0])
            if len(best.pages) > 1 and len((tight := laid_out(_TYPE_SIZES[0], _TIGHT)).pages) < len(
                best.pages
            ):
                return bytes(tight.write_pdf(**options))
            fewest, fits, too_large = len(best.pages), 0, len(_TYPE_SIZES)
            # Both sides of a sheet are pinned up; a stack of them is not, and not worth the wait.
            while fewest <= 2 and too_large - fits > 1:
                middle = (fits + too_large) // 2
                tried = laid_out(_TYPE_SIZES[middle])
                if len(tried.pages) <= fewest:
                    best, fits = tried, middle
                else:
                    too_large = middle
            return bytes(best.write_pdf(**options))
        except FatalURLFetchingError as asked:  # derives from BaseException
            raise CardError(f"The card was not printed: {asked}.") from asked


def _only_our_fonts() -> URLFetcher:
    """Serves the packaged fonts; anything else stops the printing instead of leaving a hole."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class OnlyOurFonts(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
            name = url.removeprefix(_FONT_ADDRESS)
            if name == url or name not in _FONTS.values():
                raise FatalURLFetchingError(f"a card fetches nothing, and was asked for {url}")
            return URLFetcherResponse(url, _font(name), {"Content-Type": "font/ttf"})

    return OnlyOurFonts(allowed_protocols=(), allow_redirects=False)


@contextmanager
def _still(day: str) -> Iterator[None]:
    """Stops the clock that font subsetting reads: the day of asking is the only date a card knows."""
    try:
        seconds = int(datetime.combine(date.fromisoformat(day), datetime.min.time(), UTC).timestamp())
    except ValueError:
        seconds = 0
    with _STILL:
        before = os.environ.get("SOURCE_DATE_EPOCH")
        os.environ["SOURCE_DATE_EPOCH"] = str(max(seconds, 0))
        try:
            yield
        finally:
            if before is None:
                del os.environ["SOURCE_DATE_EPOCH"]
            else:
                os.environ["SOURCE_DATE_EPOCH"] = before
