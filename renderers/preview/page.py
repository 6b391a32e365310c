"""Sets the page of a watched recipe, whole or only what changes on it.

The card and the day are the very pages that `card` and `day` write, without their heads: what is seen here is what
will be printed. The page asks for nothing from outside, and its style and script run only by the nonce it is given.
"""

from __future__ import annotations

import re
from functools import lru_cache
from importlib.resources import files
from typing import Final

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from benchproof.compiler.batch import Batch
from benchproof.compiler.day import Day
from benchproof.compiler.look import Look
from benchproof.renderers.card import card_html
from benchproof.renderers.cost_table import sheet
from benchproof.renderers.day import words
from benchproof.renderers.day.page import day_html
from benchproof.renderers.press import font_faces
from benchproof.renderers.preview.view import view

_ROOM: Final = files("benchproof.renderers.preview")
_STYLE: Final = re.compile(r'(?<=\s)style="([^"<>&]*)"')
"""An attribute of ours: a cook's quotation marks are escaped wherever they stand."""


def preview_page(look: Look, nonce: str, ticket: str) -> str:
    """The whole page. `nonce` stands at its style and script, `ticket` names the state it shows."""
    return _set("preview.html", look, ticket, nonce=nonce, style=_style(), script=_script())


def preview_part(look: Look, ticket: str) -> str:
    """What changes on the page: the findings, the card, the day and the costs, in one element."""
    return _set("part.html", look, ticket)


def _set(template: str, look: Look, ticket: str, **more: object) -> str:
    rules: dict[str, str] = {}
    return (
        _environment()
        .get_template(template)
        .render(
            view=view(look),
            ticket=ticket,
            card=_unstyled(_card(look.batch), rules) if look.batch is not None else None,
            day=_unstyled(_day(look.day), rules) if look.day is not None else None,
            when=words.when(look.day) if look.day is not None else "",
            cost=sheet(look.batch) if look.batch is not None and look.batch.cost.lines else None,
            places=Markup("\n".join(rules.values())),  # of our own style attributes alone
            **more,
        )
    )


def _card(batch: Batch) -> str:
    return _between(card_html([batch]), '<body class="page">', "</body>")


def _day(day: Day) -> str:
    return _between(day_html(day), "</header>", "</body>")


def _between(page: str, first: str, last: str) -> str:
    """What stands between two marks of a page of ours; no cook's text holds one, for `<` is escaped in it."""
    return page.partition(first)[2].rpartition(last)[0]


def _unstyled(html: str, rules: dict[str, str]) -> Markup:
    """The same without style attributes, which the page's policy forbids: a rule in its style sheet each instead."""

    def name(found: re.Match[str]) -> str:
        place = f'data-place="{len(rules) + 1}"'
        rules.setdefault(found[1], f"[{place}] {{ {found[1]} }}")
        return rules[found[1]].partition("]")[0][1:]

    return Markup(_STYLE.sub(name, html))  # escaped where it was made


@lru_cache(maxsize=1)
def _style() -> Markup:
    card, day = files("benchproof.renderers.card"), files("benchproof.renderers.day")
    return Markup(
        "\n".join(
            (
                font_faces(printing=False),
                *(
                    room.joinpath(name).read_text(encoding="utf-8")
                    for room, name in (
                        (card, "card.css"),
                        (card, "screen.css"),
                        (day, "day.css"),
                        (_ROOM, "preview.css"),
                    )
                ),
            )
        )
    )


@lru_cache(maxsize=1)
def _script() -> Markup:
    return Markup(_text("preview.js"))


def _text(name: str) -> str:
    return _ROOM.joinpath(name).read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def _environment() -> Environment:
    return Environment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        loader=FunctionLoader(_text),
    )
