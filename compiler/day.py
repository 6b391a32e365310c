"""The Day: one or more Batches laid out in time. What a day's renderers read.

Plain, immutable data. Times are seconds after the day's beginning, exact; clock times are ISO 8601 text, there only
when a time of day was asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

from benchproof.compiler.batch import Extent

VERSION = 1

Doing: TypeAlias = Literal["work", "wait", "heat"]


@dataclass(frozen=True, slots=True)
class Activity:
    """One unbroken piece of the day.

    number      counted from 1, in the order of their beginnings
    recipe      index into `Day.recipes`
    step, name  the step it belongs to, by number and name
    doing       `work` for the cook's hands, `wait` for what goes by itself, `heat` for an oven or pan getting hot
    text        the words of the method it stands in
    added       put in by the compiler, not by the recipe
    attends     a moment at the end of what goes by itself, such as out of the oven: no time, but somebody must be there
    load        which load of how many
    duration    as the method gives it; `start` to `end` is its long end
    earliest    the first it could begin, and `latest`, the last, without making the day any longer
    clock, clock_end  on the clock, with the offset where a time zone is known
    cook        which cook, counted from 1; None for what goes by itself
    place       `oven`, `fan oven`, `pan`, `oil`, and the `temperature` there
    tools       what of the equipment is in use, under the name it has here
    deadline    the last moment for what follows it; None where it may stand longer
    late        how long past its deadline what follows begins
    critical    whether the day would be longer if it were
    """

    number: int
    recipe: int
    step: int
    name: str
    doing: Doing
    text: str
    added: bool
    load: tuple[int, int] | None
    duration: Extent
    start: Fraction
    end: Fraction
    earliest: Fraction
    latest: Fraction
    clock: str | None
    clock_end: str | None
    cook: int | None
    place: str | None
    temperature: Extent | None
    tools: tuple[str, ...]
    deadline: Fraction | None
    late: Fraction
    critical: bool
    attends: bool = False


@dataclass(frozen=True, slots=True)
class DayRecipe:
    """A batch of the day, when it is begun and when it is ready. `revision` is the Batch's."""

    name: str
    batch: str
    start: Fraction
    ready: Fraction
    clock: str | None
    clock_ready: str | None
    revision: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch in which something is free."""

    start: Fraction
    end: Fraction
    clock: str | None
    clock_end: str | None


@dataclass(frozen=True, slots=True)
class Busy:
    """Something that only so many can use at once.

    `activities` are those in it, by their numbers, in order; `free` is when nothing at all is in it or kept hot in
    it; `assumed` says that nobody has stated how many there are.
    """

    thing: str
    capacity: int
    activities: tuple[int, ...]
    assumed: bool
    free: tuple[Gap, ...] = ()


NoteKind: TypeAlias = Literal[
    "cannot-be-ready",
    "past-its-time",
    "goes-on-rising",
    "oven-shared",
    "stands-in",
    "in-several-goes",
    "untimed",
    "clocks-change",
    "added",
    "assumed",
]


@dataclass(frozen=True, slots=True)
class Note:
    """Something the cook must know of the plan. `by` is how long, in seconds, where it is about a time."""

    kind: NoteKind
    text: str
    activities: tuple[int, ...] = ()
    by: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a rise written for one warmth may take in this room: a guess, never put in the place of what is written."""

    activity: int
    written: Extent
    written_for: Fraction
    room: Fraction
    likely: Extent
    source: str


@dataclass(frozen=True, slots=True)
class Day:
    """The plan.

    length    seconds from the first thing to the last, every range at its long end
    proven    whether no plan can be better without standing past a deadline; `best` says what better is: a shorter
              day, being ready sooner, or beginning later (where it hangs on when the cooks are free)
    bound     what no plan can be shorter than
    cooks     how many there are
    begins    and `ready`: on the clock, where one was asked for
    temperatures  the scale it is shown in
    """

    kitchen: str | None
    on: str
    zone: str | None
    cooks: int
    recipes: tuple[DayRecipe, ...]
    activities: tuple[Activity, ...]
    things: tuple[Busy, ...]
    notes: tuple[Note, ...]
    estimates: tuple[Estimate, ...]
    length: Fraction
    hands_on: Fraction
    proven: bool
    bound: Fraction
    begins: str | None
    ready: str | None
    temperatures: Literal["C", "F"] = "C"
    best: Literal["shorter", "sooner", "later"] = "shorter"
    version: int = VERSION
