"""What became of a recipe, a line for each commit and trial: text, or JSON.

JSON
    `benchproof.compiler.history.History` as it is: each exact value an object of `exact` and `about`.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from benchproof.compiler import display
from benchproof.compiler.history import History, Moment, State, Tried
from benchproof.compiler.plain_json import plain
from benchproof.renderers.comparison import yield_words
from benchproof.renderers.terminal import even_spaces, harmless, json_text, painted, table

Form: TypeAlias = Literal["text", "json"]

_STATES: Final[dict[State, str]] = {
    "compiled": "",
    "not compiled": "does not compile",
    "no recipe": "no such recipe",
    "gone": "taken away",
}
_IN_A_PIPE: Final = 60
_LEAST: Final = 16
"""Characters of a commit's subject: in a pipe, and where a terminal leaves it no room."""

_HEADS: Final = ("date", "commit", "what", "makes", "hydration", "salt", "yeast", "cost", "time")
_RIGHT: Final = (False, False, False, False, True, True, True, True, True)
_WHAT: Final = 2
_GAP: Final = 3


def history_table(history: History, as_: Form, *, width: int | None = None, colour: bool = False) -> str:
    """The history in one of two forms; `width` and `colour` are for `text` alone: `width` None is for a pipe.

    Raises `display.UnknownCurrency` for a currency that ISO 4217 does not have.
    """
    if as_ == "json":
        return json_text(plain(history))
    title = painted(even_spaces(harmless(f"{history.recipe}, {history.file}")), "bold", colour)
    if not history.moments:
        return f"{title}\nNo commit has touched it yet.\n"
    each = any(isinstance(one, Moment) and one.cost_each is not None for one in history.moments)
    rows = [_row(one, each) for one in history.moments]
    heads = [f"{head} each" if head == "cost" and each else head for head in _HEADS]
    # A column that says nothing is left out.
    used = [number for number in range(len(heads)) if number <= _WHAT or any(row[number] for row in rows)]
    rows = [[row[number] for number in used] for row in rows]
    heads = [heads[number] for number in used]
    room = _room(heads, rows, width)
    rows = [[*row[:_WHAT], _cut(row[_WHAT], room), *row[_WHAT + 1 :]] for row in rows]
    drawn = table(heads, [_RIGHT[number] for number in used], rows, width=None, colour=colour)
    return f"{title}\n\n{drawn}"


def _room(heads: Sequence[str], rows: Sequence[Sequence[str]], width: int | None) -> int:
    """How wide the subjects may be, so that the other columns stay whole."""
    if width is None:
        return _IN_A_PIPE
    others = sum(
        max(len(harmless(row[number])) for row in [heads, *rows]) + _GAP
        for number in range(len(heads))
        if number != _WHAT
    )
    return max(_LEAST, width - others)


def _cut(text: str, room: int) -> str:
    text = harmless(text)
    return text if len(text) <= room else f"{text[: room - 1].rstrip()}…"


def _row(one: Moment | Tried, each: bool) -> list[str]:
    if isinstance(one, Tried):
        return [one.date, "trial", _trial(one), *[""] * (len(_HEADS) - _WHAT - 1)]
    what = one.subject if one.commit is not None else "as it is now"
    if one.renamed_from is not None:
        what = f"{what} (was {one.renamed_from})"
    cost = one.cost_each if each else one.cost
    makes = yield_words(one.makes) if one.makes is not None else _STATES[one.state]
    return [
        one.date,
        one.commit or "not yet",
        what,
        makes,
        _percent(one.hydration),
        _percent(one.salt),
        _percent(one.yeast),
        _cost(one, cost, each),
        display.duration(one.elapsed.low, one.elapsed.high) if one.elapsed is not None else "",
    ]


def _trial(one: Tried) -> str:
    measured = [
        f"made {one.made}" if one.made else "",
        one.weighed or "",
        f"took {one.took}" if one.took else "",
    ]
    said = [", ".join(words for words in measured if words), one.changed or "", one.result or ""]
    return "; ".join(words for words in said if words)


def _percent(value: Fraction | None) -> str:
    return display.percent(value) if value is not None else ""


def _cost(one: Moment, cost: Fraction | None, each: bool) -> str:
    """An incomplete cost is the least it can be, and says so."""
    if cost is None or one.currency is None:
        return ""
    shown = display.small_money(cost, one.currency) if each else display.money(cost, one.currency)
    return shown if one.cost_complete else f"over {shown}"
