"""Sets a Day as a page and prints it: the timeline, and the same as a table."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any, Final

from jinja2 import Environment, FunctionLoader, StrictUndefined, Template
from markupsafe import Markup

from benchproof.compiler import display
from benchproof.compiler.day import Day
from benchproof.renderers.day import words
from benchproof.renderers.day.timeline import PHONE, cut_short, timeline
from benchproof.renderers.press import (
    MARGIN,
    OPTIONS,
    WIDTHS,
    Paper,
    font_faces,
    known_paper,
    largest,
    printing,
)

_TYPE_SIZES: Final = ("9.5pt", "10.5pt", "11.5pt", "13pt")
"""The first is the smallest that is read at arm's length; a plan is looked up, not followed word by word."""


@dataclass(frozen=True, slots=True)
class Line:
    label: str
    time: str
    what: str
    words: str
    aside: str
    cook: str
    span: str
    until: str
    calls: bool
    critical: bool


@dataclass(frozen=True, slots=True)
class Part:
    """The lines of one date, under it where there are several."""

    date: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Page:
    title: str
    when: str
    day: str
    batches: str
    ready_each: str
    on: str
    kitchen: str
    revisions: str
    grave: tuple[str, ...]
    heats: bool
    cut: bool
    cooks: bool
    parts: tuple[Part, ...]
    told: tuple[str, ...]


def day_html(day: Day, *, paper: Paper = "A5") -> str:
    """The plan as one HTML page that asks for nothing from outside. `paper` is what it is printed on from there.

    Raises `PageError` for a paper that is not known.
    """
    return _html(day, paper, _TYPE_SIZES[1])


def day_pdf(day: Day, *, paper: Paper = "A5") -> bytes:
    """The plan as a tagged PDF, on as few pages as its smallest type allows.

    The same Day gives the same bytes on one machine. Raises `PageError` as `day_html`, and where printing needs
    something installed.
    """
    known_paper(paper)
    with printing(day.on) as laid_out:

        def sheet(type_size: str) -> Any:
            return laid_out(_html(day, paper, type_size, sheet=True))

        return bytes(largest(sheet, _TYPE_SIZES).write_pdf(**OPTIONS))


def _html(day: Day, paper: str, type_size: str, *, sheet: bool = False) -> str:
    card = files("benchproof.renderers.card")
    style = "\n".join(
        (
            font_faces(printing=sheet),
            f"@page {{ size: {known_paper(paper)}; }}",
            f"html {{ font-size: {type_size}; }}",
            card.joinpath("card.css").read_text(encoding="utf-8"),
            "" if sheet else card.joinpath("screen.css").read_text(encoding="utf-8"),
            _text("day.css"),
        )
    )
    wide = WIDTHS[paper] - 2 * MARGIN if sheet else PHONE
    return _template().render(
        page=_page(day), sheet=sheet, timeline=timeline(day, wide), style=Markup(style)
    )  # the style is ours


def _text(name: str) -> str:
    return files("benchproof.renderers.day").joinpath(name).read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def _template() -> Template:
    environment = Environment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        loader=FunctionLoader(_text),
    )
    return environment.get_template("day.html")


def _page(day: Day) -> Page:
    notes = words.notes(day)
    return Page(
        title=words.title(day),
        when=_tied(words.when(day)),
        day=words.date_words(day.ready) if day.ready is not None else "",
        batches=words.batches(day),
        ready_each=words.ready_each(day),
        on=day.on,
        kitchen=day.kitchen or "",
        revisions=_revisions(day),
        grave=tuple(_tied(words.note_words(note)) for note in notes if note.kind in words.GRAVE),
        heats=any(one.doing == "heat" for one in day.activities),
        cut=cut_short(day),
        cooks=day.cooks > 1,
        parts=tuple(_parts(day)),
        told=tuple(
            _tied(text)
            for text in (
                words.totals(day),
                words.decides(day),
                *words.free(day),
                words.proven(day),
                *(words.note_words(note) for note in notes if note.kind not in words.GRAVE),
                *words.estimates(day),
                words.revisions(day),
            )
            if text
        ),
    )


def _revisions(day: Day) -> str:
    """Of one recipe in the head of each page; of several, below the plan."""
    if len(day.recipes) == 1 and day.recipes[0].revision:
        return f"revision {day.recipes[0].revision}"
    return "plan"


def _parts(day: Day) -> list[Part]:
    parts: list[tuple[str, list[Line]]] = []
    several = words.several_dates(day)
    for row in words.rows(day):
        date = words.date_words(row.clock) if row.clock is not None and several else ""
        if not parts or parts[-1][0] != date:
            parts.append((date, []))
        parts[-1][1].append(_line(day, row))
    return [Part(date, tuple(lines)) for date, lines in parts]


def _line(day: Day, row: words.Row) -> Line:
    one = row.activity
    length, _, until = words.how_long(day, row).partition(", ")
    return Line(
        label=words.label(day, one),
        time=row.time,
        what=_tied(words.what(day, row)),
        words=words.in_short(day, row),
        aside=_tied(", ".join(filter(None, (words.too_long(row), words.can_wait(row), words.sooner(row))))),
        cook=str(one.cook) if one.cook is not None and row.kind == "work" else "",
        span=_tied(length),
        until=until,
        calls=row.calls,
        critical=one.critical and row.kind != "end",
    )


def _tied(text: str) -> str:
    """No line ends between a number and its unit."""
    return text.replace(display.THIN, display.NO_BREAK_THIN)
