"""Trials beside what was worked out, and the kitchen's own figures with the lines to paste: text, or JSON.

JSON
    `benchproof.compiler.notebook.Notebook` as it is: each exact value an object of `exact` and `about`.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from benchproof.compiler import display
from benchproof.compiler.batch import Extent
from benchproof.compiler.notebook import THREE, Held, Notebook, Own
from benchproof.compiler.plain_json import plain
from benchproof.renderers.terminal import even_spaces, folded, harmless, json_text, painted, table

Form: TypeAlias = Literal["text", "json"]

_HEADS: Final = (
    "trial",
    "made",
    "weighed",
    "worked out",
    "apart",
    "own loss",
    "water",
    "worked out",
    "dough",
    "asked for",
    "own friction",
    "took",
    "planned",
)
_FIRST: Final = 2
"""Columns that always stand."""


def trials_table(notebook: Notebook, as_: Form, *, width: int | None = None, colour: bool = False) -> str:
    """The notebook in one of two forms; `width` and `colour` are for `text` alone: `width` None folds nothing."""
    if as_ == "json":
        return json_text(plain(notebook))
    scale = notebook.temperatures
    out = painted(even_spaces(harmless(f"{notebook.recipe}, what the trials say")), "bold", colour) + "\n\n"
    if notebook.held:
        rows = [_row(one, scale) for one in notebook.held]
        # A column that says nothing is left out.
        used = [n for n in range(len(_HEADS)) if n < _FIRST or any(row[n] for row in rows)]
        out += table(
            [_HEADS[n] for n in used],
            [n >= _FIRST for n in used],
            [[row[n] for n in used] for row in rows],
            width=width,
            colour=colour,
        )
    else:
        out += "No trial has measured anything yet: `weighed`, `water`, `dough` or `took`.\n"
    if notebook.silent:
        many = "1 trial measures" if notebook.silent == 1 else f"{notebook.silent} trials measure"
        out += f"\n{many} nothing of this.\n"
    for own in notebook.own:
        out += "\n" + "".join(f"{line}\n" for line in _own(own, scale, width, colour))
    if notebook.held and not notebook.own:
        out += f"\nFrom {THREE} trials on that measure the same, this kitchen's own figures stand here.\n"
    return out


def _row(one: Held, scale: display.Degrees) -> list[str]:
    trial = one.trial
    return [
        trial.date,
        display.count(trial.made, one.noun) if trial.made is not None else "not said",
        _weighed(one),
        display.weight(one.weight) if one.weight is not None else "",
        _apart(trial.weighed, one.weight),
        _percent(one.loss),
        _degrees(trial.water, scale),
        _degrees(one.water, scale),
        _degrees(trial.dough, scale),
        _degrees(one.dough, scale),
        _rise(one.friction, scale) if one.friction is not None else "",
        _time(trial.took),
        _time(one.elapsed),
    ]


def _weighed(one: Held) -> str:
    if one.trial.weighed is None:
        return ""
    return f"{display.weight(one.trial.weighed)}{' finished' if one.trial.after_losses else ''}"


def _apart(measured: Fraction | None, computed: Fraction | None) -> str:
    """How much more or less was weighed, per hundred of what was worked out."""
    if measured is None or not computed:
        return ""
    apart = display.rounded((measured / computed - 1) * 100, 1)
    sign = "+" if apart > 0 else ""
    return f"{sign}{display.number(apart, 1)}{display.NO_BREAK_THIN}%"


def _percent(value: Fraction | None) -> str:
    return "" if value is None else f"{display.number(display.rounded(value, 1), 1)}{display.NO_BREAK_THIN}%"


def _degrees(extent: Extent | None, scale: display.Degrees) -> str:
    return display.temperature(extent.low, extent.high, scale) if extent is not None else ""


def _rise(friction: Fraction, scale: display.Degrees) -> str:
    """A difference of temperatures: without the 32 in Fahrenheit."""
    rise = friction * 9 / 5 if scale == "F" else friction
    return f"{display.number(display.rounded(rise, 1), 1)}{display.THIN}°{scale}"


def _time(extent: Extent | None) -> str:
    return display.duration(extent.low, extent.high) if extent is not None else ""


_NAMES: Final = {"loss": "own loss", "friction": "own friction", "time": "own time"}


def _own(own: Own, scale: display.Degrees, width: int | None, colour: bool) -> Iterator[str]:
    yield painted(f"{_NAMES[own.what]}, from {own.trials} trials", "bold", colour)
    said = f"{_shown(own.median, own, scale)} in the middle, {_shown(own.low, own, scale)} to "
    said += f"{_shown(own.high, own, scale)} in all"
    if own.stated is not None:
        low, high = _shown(own.stated.low, own, scale), _shown(own.stated.high, own, scale)
        said += f"; {'planned' if own.what == 'time' else 'written'}: {low if low == high else f'{low} to {high}'}"
    if own.left_out:
        said += f"; {own.left_out} left out, as it cannot be"
    yield from folded(f"{said}.", width, 2)
    yield from folded(f"{own.note[:1].upper()}{own.note[1:]}.", width, 2)
    if own.line:
        yield from folded(f"To go by it, write {own.where}:", width, 2)
        yield f"    {even_spaces(harmless(own.line))}"
    else:
        yield from folded("That is what is written already.", width, 2)


def _shown(value: Fraction, own: Own, scale: display.Degrees) -> str:
    match own.what:
        case "loss":
            return _percent(value)
        case "friction":
            return _rise(value, scale)
        case "time":
            return display.duration(value)
