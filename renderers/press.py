"""Setting type and printing, for every page we make: our fonts, our papers, and the only door to WeasyPrint.

WeasyPrint is slow to import and needs system libraries, so it is imported only to print.
"""

from __future__ import annotations

import os
from base64 import b64encode
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from functools import lru_cache
from importlib.resources import files
from threading import Lock
from typing import TYPE_CHECKING, Any, Final, Literal, TypeAlias, get_args

if TYPE_CHECKING:
    from weasyprint.urls import URLFetcher

Paper: TypeAlias = Literal["A4", "A5", "letter", "5x8"]

SIZES: Final[dict[str, str]] = {"A4": "A4", "A5": "A5", "letter": "letter", "5x8": "5in 8in"}
"""As CSS names them."""
WIDTHS: Final[dict[str, int]] = {"A4": 595, "A5": 420, "letter": 612, "5x8": 360}
"""pt, to the whole one."""
MARGIN: Final = 23
"""pt at either side of a sheet: the 8 mm of `card.css` and `day.css`."""
OPTIONS: Final = {"pdf_variant": "pdf/ua-1"}
"""Tagged, so that it can be read aloud."""
_FONTS: Final = {400: "SourceSans3-Regular.ttf", 600: "SourceSans3-Semibold.ttf", 700: "SourceSans3-Bold.ttf"}
"""As they are for print; a page has them packed (`.woff2`), which print would take a second to unpack."""
_FONT_ADDRESS: Final = "benchproof-font:"


class PageError(Exception):
    """The page cannot be made. The message is for a cook and says what to do."""


def known_paper(paper: str) -> str:
    """The paper as CSS names it. Raises `PageError` for one that is not known."""
    if paper not in SIZES:
        raise PageError(f"There is no paper called “{paper}”. Write one of {', '.join(get_args(Paper))}.")
    return SIZES[paper]


# ---------------------------------------------------------------- fonts


def font_faces(*, printing: bool) -> str:
    """The fonts as CSS: for a page that is looked at they are in it, for print they are fetched from here."""
    return "\n".join(
        f'@font-face {{ font-family: "Bench card"; font-weight: {weight}; src: url("{address}"); }}'
        for weight, name in _FONTS.items()
        for address in [_FONT_ADDRESS + name if printing else _inlined(f"{name}.woff2")]
    )


@lru_cache(maxsize=8)
def _inlined(name: str) -> str:
    return "data:font/woff2;base64," + b64encode(_font(name)).decode("ascii")


def _font(name: str) -> bytes:
    return files("benchproof.renderers.card").joinpath("fonts", name).read_bytes()


# ---------------------------------------------------------------- print


@contextmanager
def printing(day: str) -> Iterator[Callable[[str], Any]]:
    """A way to lay out HTML, at rest on `day` (ISO 8601): on one machine the same HTML gives the same bytes.

    It fetches our fonts and nothing else. Raises `PageError` where the HTML asks for more, and where printing
    needs something installed.
    """
    try:
        import weasyprint
        from weasyprint.text.fonts import FontConfiguration
        from weasyprint.urls import FatalURLFetchingError
    except OSError as missing:
        raise PageError(
            "Printing needs the text library Pango, and it is not on this machine. Install it:"
            " `apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0` on Debian and Ubuntu,"
            " `brew install pango` on a Mac, or on Windows the Pango that comes with MSYS2."
            " Until then, `--as html` makes a page that a browser can print."
            f" (What was missing: {missing})"
        ) from missing

    fetcher = only_our_fonts()
    fonts = FontConfiguration()

    def laid_out(html: str) -> Any:
        return weasyprint.HTML(string=html, url_fetcher=fetcher).render(font_config=fonts, **OPTIONS)

    with still(day):
        try:
            yield laid_out
        except FatalURLFetchingError as asked:  # derives from BaseException
            raise PageError(f"The page was not printed: {asked}.") from asked


def largest(card: Callable[[str], Any], sizes: Sequence[str]) -> Any:
    """What `card` lays out on as few pages as the first, smallest of `sizes` allows, in the largest that fits them."""
    best = card(sizes[0])
    fewest, fits, too_large = len(best.pages), 0, len(sizes)
    # Both sides of a sheet are pinned up; a stack of them is not, and not worth the wait.
    while fewest <= 2 and too_large - fits > 1:
        middle = (fits + too_large) // 2
        tried = card(sizes[middle])
        if len(tried.pages) <= fewest:
            best, fits = tried, middle
        else:
            too_large = middle
    return best


def only_our_fonts() -> URLFetcher:
    """Serves the packaged fonts; anything else stops the printing instead of leaving a hole."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class OnlyOurFonts(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
            name = url.removeprefix(_FONT_ADDRESS)
            if name == url or name not in _FONTS.values():
                raise FatalURLFetchingError(f"a page of ours fetches nothing, and was asked for {url}")
            return URLFetcherResponse(url, _font(name), {"Content-Type": "font/ttf"})

    return OnlyOurFonts(allowed_protocols=(), allow_redirects=False)


_STILL: Final = Lock()


@contextmanager
def still(day: str) -> Iterator[None]:
    """Stops the clock that font subsetting reads: the day of asking is the only date a page knows."""
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
