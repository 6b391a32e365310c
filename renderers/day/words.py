"""A Day in words: its lines in the order of time, and the sentences below them.

Shared by all forms of a day, so that the envelope, the page and the calendar say the same. Nothing is planned here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from benchproof.compiler import display
from benchproof.compiler.batch import Extent
from benchproof.compiler.day import Activity, Busy, Day, Note, NoteKind

_WEEKDAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_OVENS: Final = ("oven", "fan oven")
_IN: Final = {
    "oven": "into the oven",
    "fan oven": "into the fan oven",
    "pan": "on the heat",
    "oil": "into the oil",
}
_OUT: Final = {
    "oven": "out of the oven",
    "fan oven": "out of the oven",
    "pan": "off the heat",
    "oil": "out of the oil",
}
_LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_SHORT: Final = 44
"""Characters of the method's words that stand in a line."""
_LONG: Final = Fraction(3 * 3600)
"""s: what may be done so much earlier may be done at any time."""
_WORTH_SAYING: Final = Fraction(600)
"""s: an oven that is free for less is not free."""

GRAVE: Final[frozenset[NoteKind]] = frozenset({"cannot-be-ready", "past-its-time", "goes-on-rising"})
"""Notes of what goes wrong if nothing is changed: they come first and stand out."""


# ---------------------------------------------------------------- the clock


def moment(clock: str) -> datetime:
    """A time on the clock, to the nearest minute: half a minute goes to the next."""
    exact = datetime.fromisoformat(clock)
    return (exact + timedelta(seconds=30)).replace(second=0, microsecond=0)


def date_words(clock: str) -> str:
    """`Saturday 2026-11-28`, in whatever language the machine speaks."""
    return f"{weekday(clock)} {moment(clock).date().isoformat()}"


def weekday(clock: str) -> str:
    return _WEEKDAYS[moment(clock).weekday()]


def time_words(seconds: Fraction, clock: str | None, seen: str | None = None) -> str:
    """`07:10`; without a clock, hours and minutes since the beginning. `Sunday 07:10` where `seen`, another time on
    the clock, is of another day."""
    if clock is None:
        return display.clock(seconds)
    text = f"{moment(clock):%H:%M}"
    if seen is not None and moment(seen).date() != moment(clock).date():
        return f"{weekday(clock)} {text}"
    return text


def several_dates(day: Day) -> bool:
    """Whether it goes on past midnight: else its head has named the date."""
    return (
        day.begins is not None
        and day.ready is not None
        and moment(day.begins).date() != moment(day.ready).date()
    )


def full_time(clock: str) -> str:
    return f"{moment(clock):%H:%M} on {date_words(clock)}"


# ---------------------------------------------------------------- the lines

Kind: TypeAlias = Literal["work", "heat", "wait", "end"]


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the plan.

    kind    what it does; `end` is the end of something that went by itself and does not wait
    calls   whether the cook must be there when it comes; else it is only told what goes on
    """

    kind: Kind
    at: Fraction
    clock: str | None
    activity: Activity
    calls: bool

    @property
    def time(self) -> str:
        return time_words(self.at, self.clock)


def rows(day: Day) -> list[Row]:
    """All there is to do and to look after, in the order of time.

    A moment that only attends, without words, is the end of what went by itself before it, and is shown as that.
    """
    shown = [one for one in day.activities if not _empty(day, one)]
    begun = [
        Row(
            one.doing,
            one.start,
            one.clock,
            one,
            one.doing != "wait" or _goes_in(day, one) or not _led(day, one),
        )
        for one in shown
    ]
    called = {(row.activity.recipe, row.at) for row in begun if row.calls}
    ended = [
        Row("end", one.end, one.clock_end, one, True)
        for one in shown
        if one.doing == "wait" and _must_be_ended(day, one, called)
    ]
    order = {"end": 0, "heat": 1, "work": 1, "wait": 1}
    return sorted([*begun, *ended], key=lambda row: (row.at, order[row.kind], row.activity.number))


def _must_be_ended(day: Day, one: Activity, called: set[tuple[int, Fraction]]) -> bool:
    """Whether the end of what went by itself needs a line: nothing else then calls the cook to it."""
    if one.place in _OUT:
        return _comes_out(day, one)
    return one.deadline is not None and (one.recipe, one.end) not in called


def worth_a_line(day: Day, one: Activity) -> bool:
    """Whether it is more than a moment without words."""
    return not _empty(day, one)


def _empty(day: Day, one: Activity) -> bool:
    return one.doing == "work" and one.duration.high == 0 and not said(one) and not _untimed(day, one)


def _untimed(day: Day, one: Activity) -> bool:
    return any(note.kind == "untimed" and one.number in note.activities for note in day.notes)


def _led(day: Day, one: Activity) -> bool:
    """Whether the cook is there anyway when it begins: with work on the same dish, or to take it off the heat.

    What stays on the heat and is turned down is a call of its own.
    """
    return any(
        other.doing == "work" or (other.place in _OUT and other.place != one.place)
        for other in day.activities
        if other is not one
        and (other.recipe, other.end) == (one.recipe, one.start)
        and other.doing != "heat"
        and not _empty(day, other)
    )


def _goes_in(day: Day, one: Activity) -> bool:
    """Whether something goes onto the heat with it, or into it."""
    return one.place in _IN and not any(
        other.place == one.place and other.recipe == one.recipe and other.end == one.start
        for other in day.activities
        if other is not one and other.doing != "heat" and other.end > other.start
    )


def _comes_out(day: Day, one: Activity) -> bool:
    return not any(
        other.place == one.place and other.recipe == one.recipe and other.start == one.end
        for other in day.activities
        if other is not one and not _empty(day, other)
    )


def letter(day: Day, recipe: int) -> str:
    """`A`, `B`, ... where there are several recipes."""
    if len(day.recipes) < 2:
        return ""
    return _LETTERS[recipe] if recipe < len(_LETTERS) else f"{_LETTERS[recipe % 26]}{recipe // 26}"


def label(day: Day, one: Activity) -> str:
    """The step by its number; with its recipe's letter, where there are several."""
    return f"{letter(day, one.recipe)}{one.step}"


def what(day: Day, row: Row) -> str:
    """`Batter`; `Bake, into the oven at 180 °C`; `Bake, out of the oven`."""
    one = row.activity
    name = one.name + (f", load {one.load[0]} of {one.load[1]}" if one.load is not None else "")
    if row.kind == "end":
        return f"{name}, {_OUT.get(one.place or '', 'its time is up')}"
    if row.kind == "heat":
        if not one.added and "heat" in one.name.casefold():
            return f"{name}{_to(day, one)}"
        return f"{name}, heat the {one.place or 'oven'}{_to(day, one)}"
    if row.kind == "wait" and one.place is not None and _goes_in(day, one):
        at = f" at {_degrees(day, one)}" if one.temperature is not None else ""
        return f"{name}, {_IN[one.place]}{at}"
    return name


def _to(day: Day, one: Activity) -> str:
    return f" to {_degrees(day, one)}" if one.temperature is not None else ""


def _degrees(day: Day, one: Activity) -> str:
    assert one.temperature is not None
    return display.temperature(one.temperature.low, one.temperature.high, day.temperatures)


def said(one: Activity) -> str:
    """The method's own words, without what is left of a sentence at either end."""
    return re.sub(r"\s+([,.;:])", r"\1", re.sub(r"\s+", " ", one.text)).strip(" .,;:")


def in_short(day: Day, row: Row) -> str:
    """The method's words cut short, where the step's name does not tell its pieces apart."""
    one = row.activity
    if row.kind not in ("work", "wait"):
        return ""
    others = [other for other in day.activities if (other.recipe, other.step) == (one.recipe, one.step)]
    text = said(one)
    if row.kind == "wait" and any(other.doing == "work" and said(other) == text for other in others):
        return ""  # between two turns: the words are those of the turn
    alike = len({said(other) for other in others if other.doing != "heat"} - {""}) < 2
    if not text or (alike and one.duration.high > 0):
        return ""
    text = re.split(r"(?<=\w)[.;:]\s", text)[0]
    if text[1:2].islower():
        text = text[:1].lower() + text[1:]
    if len(text) <= _SHORT:
        return text
    return re.sub(r"\W*\s\S*$", "", text[: _SHORT + 1]).rstrip(" ,;:") + "…"


def how_long(day: Day, row: Row) -> str:
    """`3 min`; `20–25 min, until 06:43`; `15 min, hot at 06:20`."""
    one = row.activity
    if row.kind == "end":
        return ""
    if one.duration.high == 0:
        return "not timed" if _untimed(day, one) else "a moment"
    text = span(one.duration)
    end = time_words(one.end, one.clock_end, one.clock)
    return {"wait": f"{text}, until {end}", "heat": f"{text}, hot at {end}"}.get(row.kind, text)


def span(time: Extent) -> str:
    return display.duration(time.low, time.high)


def can_wait(row: Row) -> str:
    """`can wait up to 25 min`."""
    one = row.activity
    if row.kind == "end" or not row.calls or one.latest <= one.start:
        return ""
    return f"can wait up to {display.duration(one.latest - one.start)}"


def sooner(row: Row) -> str:
    """`or up to 25 min earlier`: work that need not wait until it must be done."""
    one = row.activity
    if row.kind != "work" or one.earliest >= one.start or one.end == one.start or can_wait(row):
        return ""
    by = one.start - one.earliest
    return f"or up to {display.duration(by)} earlier" if by <= _LONG else "or earlier"


def too_long(row: Row) -> str:
    """What stands past its time, said where its time is up; at its beginning, where that has no line."""
    one = row.activity
    if one.late > 0 and row.kind == "end":
        return f"stands {display.duration(one.late)} too long"
    return ""


# ---------------------------------------------------------------- the head


def title(day: Day) -> str:
    return display.listed(recipe.name for recipe in day.recipes) or "Nothing to do"


def batches(day: Day) -> str:
    """How much of each, where it is not as written."""
    asked = [recipe for recipe in day.recipes if recipe.batch and recipe.batch != "as written"]
    if len(day.recipes) == 1:
        return asked[0].batch if asked else ""
    return "; ".join(f"{recipe.name}: {recipe.batch}" for recipe in asked)


def when(day: Day) -> str:
    """`Begin at 06:05, ready at 08:30 on Saturday 2026-11-28.`"""
    if day.begins is None or day.ready is None:
        return f"Ready after {display.duration(day.length)}."
    ready = full_time(day.ready)
    if moment(day.begins).date() == moment(day.ready).date():
        return f"Begin at {moment(day.begins):%H:%M}, ready at {ready}."
    return f"Begin at {full_time(day.begins)}, ready at {ready}."


def ready_each(day: Day) -> str:
    """When each recipe is ready, where not all are at once."""
    if len({recipe.ready for recipe in day.recipes}) < 2:
        return ""
    each = (
        f"{recipe.name} {time_words(recipe.ready, recipe.clock_ready, day.ready)}"
        for recipe in sorted(day.recipes, key=lambda recipe: recipe.ready)
    )
    return f"Ready: {', '.join(each)}."


def revisions(day: Day) -> str:
    """Which texts the plan was made from, where it is made from several."""
    known = [f"{recipe.name} {recipe.revision}" for recipe in day.recipes if recipe.revision]
    return f"Revisions: {', '.join(known)}." if len(day.recipes) > 1 and known else ""


def totals(day: Day) -> str:
    cooks = "one cook" if day.cooks == 1 else f"{day.cooks} cooks"
    hands = f"{display.duration(day.hands_on)} of it hands-on" if day.hands_on else "none of it timed as work"
    return f"{display.duration(day.length)} in all, {hands}, for {cooks}."


# ---------------------------------------------------------------- the sentences below


def decides(day: Day) -> str:
    """What the length of the day hangs on: the longest of it, in words."""
    groups: dict[tuple[int, int, str], Fraction] = {}
    names: dict[tuple[int, int, str], str] = {}
    for one in day.activities:
        if one.critical and one.end > one.start:
            key = (one.recipe, one.step, _sort(one))
            groups[key] = groups.get(key, Fraction(0)) + one.end - one.start
            names[key] = one.name
    most = sorted(groups, key=lambda key: (-groups[key], key))[:3]
    most = [key for key in most if groups[key] * 8 >= groups[most[0]]]
    if not most:
        return ""
    pieces = []
    for key in most:
        more = [day.recipes[key[0]].name] if len(day.recipes) > 1 else []
        if len(most) > 1:
            more.append(display.duration(groups[key]))
        pieces.append(f"{key[2]} in “{names[key]}”" + (f" ({', '.join(more)})" if more else ""))
    text = display.listed(pieces)
    return f"{text[:1].upper()}{text[1:]} {'decides' if len(most) == 1 else 'decide'} the time."


def _sort(one: Activity) -> str:
    if one.doing == "wait":
        return "the oven time" if one.place in _OVENS else "the time on the heat" if one.place else "the rest"
    return "the work" if one.doing == "work" else "the heating"


def free(day: Day) -> Iterator[str]:
    """`The oven is free until 07:10 and from 07:45.`"""
    for thing in day.things:
        if thing.capacity == 1 and shared(day, thing):
            yield f"The {thing.thing} is {_gaps(day, thing)}."


def shared(day: Day, thing: Busy) -> bool:
    """The oven, and whatever more than one recipe wants: the rest is no news."""
    recipes = {one.recipe for one in day.activities if one.number in thing.activities}
    return bool(recipes) and (thing.thing == "oven" or len(recipes) > 1)


def _gaps(day: Day, thing: Busy) -> str:
    gaps = []
    for gap in thing.free:
        if gap.end - gap.start < _WORTH_SAYING:
            continue
        since = time_words(gap.start, gap.clock, day.begins)
        until = time_words(gap.end, gap.clock_end, day.begins)
        if gap.end >= day.length:
            gaps.append("all the time" if gap.start == 0 else f"from {since} on")
        elif gap.start == 0:
            gaps.append(f"until {until}")
        else:
            gaps.append(f"from {since} to {until}")
    return f"free {display.listed(gaps)}" if gaps else "in use all the time"


_NO_BETTER: Final = {
    "shorter": "no plan can be shorter",
    "sooner": "in these hours nothing can be ready sooner",
    "later": "in these hours nobody can begin later",
}


def proven(day: Day) -> str:
    """Whether a better plan may be found: one line, whatever it is."""
    if day.proven:
        return f"Proven: {_NO_BETTER[day.best]}."
    length, bound = display.duration(day.length), display.duration(day.bound)
    if length == bound:
        return "Not proven the best: another plan may let less stand past its time."
    return f"Not proven the shortest: no plan can be shorter than {bound}, and this one takes {length}."


def notes(day: Day) -> list[Note]:
    """The grave ones first."""
    return sorted(day.notes, key=lambda note: note.kind not in GRAVE)


def note_words(note: Note) -> str:
    return f"Take care: {note.text}" if note.kind in GRAVE else note.text


def estimates(day: Day) -> Iterator[str]:
    scale = day.temperatures
    by_number = {one.number: one for one in day.activities}
    for guess in day.estimates:
        one = by_number[guess.activity]
        here = f" in “{day.recipes[one.recipe].name}”" if len(day.recipes) > 1 else ""
        yield (
            f"Estimate, not in the plan: “{one.name}”{here} is written as {span(guess.written)} for"
            f" {display.temperature(guess.written_for, guess.written_for, scale)}; at"
            f" {display.temperature(guess.room, guess.room, scale)} it may take {span(guess.likely)}"
            f" ({guess.source})."
        )
