"""A Day on a terminal, as a good cook would write it on the back of an envelope."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.day import Day
from benchproof.renderers.day import words
from benchproof.renderers.terminal import Colour, folded, painted, table

_ROOMY: Final = 110
"""Characters: on less, the recipes stand as letters in the lines, and the letters are told above."""


def day_text(day: Day, colour: bool = False, width: int | None = None) -> str:
    """The plan: when, what, how long; then what there is to know of it. `width` None wraps nothing.

    What begins with `meanwhile` goes by itself; every other line is for the cook.
    """
    out: list[str] = []

    def line(text: str, paint: Colour | None = None) -> None:
        if text:
            out.extend(painted(one, paint, colour) if paint else one for one in folded(text, width))

    line(words.title(day), "bold")
    line(words.batches(day))
    if day.kitchen:
        line(day.kitchen)
    line(words.when(day))
    line(words.ready_each(day))
    narrow = width is not None and width < _ROOMY
    if narrow and len(day.recipes) > 1:
        line(
            "; ".join(f"{words.letter(day, at)} is {recipe.name}" for at, recipe in enumerate(day.recipes))
            + "."
        )
    out.append("")
    out += _plan(day, colour, width, narrow)
    out.append("")
    line(words.totals(day))
    line(words.decides(day))
    for text in words.free(day):
        line(text)
    line(words.proven(day))
    for note in words.notes(day):
        line(words.note_words(note), "yellow" if note.kind in words.GRAVE else None)
    for text in words.estimates(day):
        line(text)
    return "\n".join(out).strip("\n") + "\n"


def _plan(day: Day, colour: bool, width: int | None, narrow: bool) -> list[str]:
    several, cooks = len(day.recipes) > 1, day.cooks > 1
    heads = ["when", "what", "how long", "for", "cook", ""]
    lines: list[list[str]] = []
    shown = "" if words.several_dates(day) else None
    for row in words.rows(day):
        if row.clock is not None and shown is not None and (date := words.date_words(row.clock)) != shown:
            shown = date
            lines.append(["", f"— {date}", "", "", "", ""])
        one = row.activity
        text = words.what(day, row)
        if short := words.in_short(day, row):
            text = f"{text}: {short}"
        lines.append(
            [
                row.time,
                text if row.calls else f"  meanwhile, {text}",
                words.how_long(day, row),
                words.letter(day, one.recipe) if narrow else day.recipes[one.recipe].name,
                str(one.cook) if one.cook is not None and row.kind == "work" else "",
                ", ".join(
                    filter(
                        None, (words.too_long(row), words.can_wait(row), "" if narrow else words.sooner(row))
                    )
                ),
            ]
        )
    end = words.time_words(day.length, day.ready)
    if day.ready is not None and shown and words.date_words(day.ready) != shown:
        lines.append(["", f"— {words.date_words(day.ready)}", "", "", "", ""])
    lines.append([end, "ready", "", "", "", ""])
    keep = [True, True, True, several, cooks, any(one[5] for one in lines)]
    picked = [[cell for cell, kept in zip(one, keep, strict=True) if kept] for one in lines]
    flush = [True, *(False for _ in picked[0][1:])]
    drawn = table(
        [head for head, kept in zip(heads, keep, strict=True) if kept],
        flush,
        picked,
        width=width,
        colour=colour,
    )
    return drawn.splitlines()
