"""Days written by hand: one recipe without a clock, three that are ready together, and one overnight with every note.

Nothing is planned here, so a fault in the planner cannot hide one in a renderer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import get_args
from zoneinfo import ZoneInfo

from benchproof.compiler.batch import Extent
from benchproof.compiler.day import Activity, Busy, Day, DayRecipe, Doing, Estimate, Gap, Note, NoteKind

Span = float | tuple[float, float]


def minutes(value: Span) -> Extent:
    low, high = value if isinstance(value, tuple) else (value, value)
    return Extent(Fraction(low) * 60, Fraction(high) * 60)


def degrees(low: int, high: int | None = None) -> Extent:
    return Extent(Fraction(low), Fraction(low if high is None else high))


class Planner:
    """Writes activities down: the times are given, nothing is worked out but the clock."""

    def __init__(self, begins: datetime | None = None, zone: str | None = None) -> None:
        self.zone = ZoneInfo(zone) if zone is not None else None
        self.begins = begins.replace(tzinfo=self.zone) if begins is not None else None
        self.done: list[Activity] = []

    def clock(self, seconds: Fraction) -> str | None:
        if self.begins is None:
            return None
        passed = timedelta(seconds=int(seconds))
        if self.zone is None:
            return (self.begins + passed).isoformat()
        return (self.begins.astimezone(UTC) + passed).astimezone(self.zone).isoformat()

    def add(
        self,
        recipe: int,
        step: int,
        name: str,
        doing: Doing,
        at: float,
        span: Span,
        text: str = "",
        *,
        slack: float = 0,
        sooner: float = 0,
        load: tuple[int, int] | None = None,
        place: str | None = None,
        heat: int | None = None,
        deadline: bool = False,
        late: float = 0,
        critical: bool = True,
        added: bool = False,
        cook: int | None = None,
        attends: bool = False,
    ) -> int:
        duration = minutes(span)
        start = Fraction(at) * 60
        end = start + duration.high
        self.done.append(
            Activity(
                number=len(self.done) + 1,
                recipe=recipe,
                step=step,
                name=name,
                doing=doing,
                text=text,
                added=added,
                load=load,
                duration=duration,
                start=start,
                end=end,
                earliest=start - Fraction(sooner) * 60,
                latest=start + Fraction(slack) * 60,
                clock=self.clock(start),
                clock_end=self.clock(end),
                cook=cook if cook is not None else 1 if doing == "work" else None,
                place=place,
                temperature=degrees(heat) if heat is not None else None,
                tools=(),
                deadline=end if deadline else None,
                late=Fraction(late) * 60,
                critical=critical and not slack,
                attends=attends,
            )
        )
        return len(self.done)

    def recipe(self, number: int, name: str, batch: str = "as written", revision: str = "") -> DayRecipe:
        mine = [one for one in self.done if one.recipe == number]
        start, ready = min(one.start for one in mine), max(one.end for one in mine)
        return DayRecipe(name, batch, start, ready, self.clock(start), self.clock(ready), revision)

    def day(
        self,
        recipes: tuple[DayRecipe, ...],
        *,
        things: tuple[Busy, ...] = (),
        notes: tuple[Note, ...] = (),
        estimates: tuple[Estimate, ...] = (),
        bound: float | None = None,
        cooks: int = 1,
        kitchen: str | None = None,
        zone: str | None = None,
    ) -> Day:
        length = max(one.end for one in self.done)
        return Day(
            kitchen=kitchen,
            on="2026-11-25",
            zone=zone,
            cooks=cooks,
            recipes=recipes,
            activities=tuple(self.done),
            things=tuple(with_gaps(thing, self.done, self.clock) for thing in things),
            notes=notes,
            estimates=estimates,
            length=length,
            hands_on=sum((one.end - one.start for one in self.done if one.doing == "work"), Fraction(0)),
            proven=bound is None,
            bound=length if bound is None else Fraction(bound) * 60,
            begins=self.clock(Fraction(0)),
            ready=self.clock(length),
        )


def with_gaps(thing: Busy, done: Sequence[Activity], clock: Callable[[Fraction], str | None]) -> Busy:
    """A thing with the times at which none of its activities goes on."""
    spans = sorted((one.start, one.end) for one in done if one.number in thing.activities)
    length = max(one.end for one in done)
    since, gaps = Fraction(0), []
    for start, end in [*spans, (length, length)]:
        if start > since:
            gaps.append(Gap(since, start, clock(since), clock(start)))
        since = max(since, end)
    return replace(thing, free=tuple(gaps))


def rounds() -> Day:
    """One recipe, no clock: loads on a griddle, and something that can wait."""
    plan = Planner()
    add = plan.add
    add(
        0,
        1,
        "Wake the yeast",
        "wait",
        0,
        (5, 10),
        "Whisk half the sugar and the yeast into the water. Leave.",
    )
    add(0, 2, "Dry side", "work", 0, 2, "Stir the flours and the salt together.", slack=8)
    add(0, 3, "Batter", "work", 10, 3, "Beat the wet into the dry until no lump is left.")
    add(
        0,
        3,
        "Batter",
        "wait",
        13,
        (20, 25),
        "Cover loosely and leave until it is all bubbles.",
        deadline=True,
    )
    add(0, 5, "Cook", "heat", 33, 5, place="pan", heat=170, added=True, slack=0, critical=False)
    add(
        0,
        4,
        "Loosen",
        "work",
        38,
        1,
        "Stir the bicarbonate of soda into the rest of the water, then into the batter.",
    )
    add(0, 5, "Cook", "work", 39, (6, 7), "Ladle in and cook, lid on", load=(1, 2), place="pan", heat=170)
    add(0, 5, "Cook", "work", 46, 1, "until the tops are set, turn.", load=(1, 2), place="pan", heat=170)
    add(0, 5, "Cook", "work", 47, (6, 7), "Ladle in and cook, lid on", load=(2, 2), place="pan", heat=170)
    add(0, 5, "Cook", "work", 54, 1, "until the tops are set, turn.", load=(2, 2), place="pan", heat=170)
    add(0, 6, "Cool", "wait", 55, 20, "Cool on a rack.")
    note = Note("added", "5 min are put in for the pan to get hot (common practice, no source).", (5,))
    return plan.day((plan.recipe(0, "Harbour griddle rounds", "8 rounds"),), notes=(note,), bound=70)


def supper() -> Day:
    """Three recipes, ready together, two cooks and one oven; no zone, so the times float."""
    plan = Planner(datetime(2026, 11, 28, 16, 20))  # noqa: DTZ001 - a clock on a wall has no zone
    add = plan.add
    add(0, 1, "Heat the oven", "heat", 0, (15, 20), "Heat to 200 C.", place="oven", heat=200)
    add(0, 2, "Joint", "work", 8, 12, "Cut it up and salt it.", sooner=8, critical=False)
    roast = add(
        0,
        3,
        "Roast",
        "wait",
        20,
        (40, 45),
        "Roast until the juices run clear.",
        place="oven",
        heat=200,
        deadline=True,
    )
    add(2, 1, "Soften", "work", 30, (10, 12), "Cook the onions in the oil until soft.", cook=2, slack=5)
    add(2, 2, "Simmer", "wait", 42, 30, "Add the beans and simmer.", place="pan", heat=95, slack=5)
    add(1, 1, "Fruit", "work", 45, 5, "Cut the apples into pieces of 1 cm.", sooner=45, critical=False)
    add(
        1,
        2,
        "Crumble",
        "work",
        50,
        6,
        "Rub the butter into the flour, and stir in the oats.",
        sooner=45,
        critical=False,
    )
    add(0, 3, "Roast", "work", 65, 0, "", attends=True)
    heat = add(1, 3, "Bake", "heat", 65, 15, place="oven", heat=180)
    add(0, 4, "Rest", "wait", 65, (15, 20), "Leave it, covered.", slack=30)
    bake = add(
        1,
        3,
        "Bake",
        "wait",
        80,
        (30, 35),
        "Bake until brown and bubbling.",
        place="oven",
        heat=180,
        deadline=True,
    )
    add(2, 3, "Season", "work", 113, 2, "Season and stir in the parsley.", cook=2)
    add(1, 4, "Serve", "work", 115, 0, "Serve hot.")
    return plan.day(
        (
            plan.recipe(0, "Lamplighter's chicken", "2 times", "1a2b3c4d"),
            plan.recipe(1, "Jetty crumble", revision="5e6f7a8b"),
            plan.recipe(2, "Low tide bean stew", revision="9c0d1e2f"),
        ),
        things=(Busy("oven", 1, (1, roast, heat, bake), True), Busy("hob", 4, (5,), True)),
        notes=(
            Note("untimed", "No time is given for “Serve”: none is counted.", (13,)),
            Note("assumed", "One oven is assumed."),
        ),
        kitchen="Saltmarsh",
        cooks=2,
    )


NOTES: dict[NoteKind, str] = {
    "assumed": "One oven and 4 rings on the hob are assumed.",
    "added": "15 min are put in for the oven to get hot (common practice, no source).",
    "clocks-change": "The clocks go forward 1 h in between.",
    "untimed": "No time is given for “Keep”: none is counted.",
    "in-several-goes": "The mixer holds 1.5 kg and there is 2.8 kg: 2 goes, and the time is counted for each.",
    "stands-in": "The wide pan stands in for the griddle in “Tide sponge loaf”.",
    "oven-shared": "“Tide sponge loaf” and “Slack water buns” are in the oven together for 12 min: see to the room.",
    "goes-on-rising": "What is not yet in goes on rising: the last of 2 loads 35 min longer than the first in “Bake”.",
    "past-its-time": "“Prove” in “Tide sponge loaf” goes on rising 10 min past its time, until “Bake” can begin.",
    "cannot-be-ready": "It cannot be ready by 07:30 when it is begun at 20:40: it takes 26 min longer.",
}


def night() -> Day:
    """Overnight, past midnight and past a change of the clocks, with a note of every kind and an estimate."""
    assert NOTES.keys() == set(get_args(NoteKind))
    plan = Planner(datetime(2026, 9, 26, 20, 40), "Pacific/Auckland")  # noqa: DTZ001 - the zone is put to it
    add = plan.add
    add(0, 1, "Sponge", "work", 0, 4, "Stir the yeast, half the flour and the water together.")
    sponge = add(0, 1, "Sponge", "wait", 4, (420, 480), "Cover and leave until it domes.", deadline=True)
    add(0, 2, "Mix", "work", 484, 10, "Mix in the rest of the flour and the salt; knead.")
    turn = "Fold the dough over itself"
    add(0, 3, "Rise", "wait", 494, 20, turn, deadline=True)
    add(0, 3, "Rise", "work", 514, 0, turn)
    add(0, 3, "Rise", "wait", 514, 20, turn, deadline=True)
    add(0, 3, "Rise", "work", 534, 0, turn)
    add(0, 4, "Shape", "work", 534, 6)
    prove = add(0, 5, "Prove", "wait", 540, 30, "Leave in the tins, covered.", deadline=True, late=10)
    heat = add(
        0, 6, "Heat the oven", "heat", 550, (20, 30), "Heat to 230 C.", place="oven", heat=230, slack=0
    )
    first = add(
        0, 7, "Bake", "wait", 580, 10, "Bake with steam.", load=(1, 2), place="oven", heat=230, deadline=True
    )
    second = add(
        0,
        7,
        "Bake",
        "wait",
        590,
        (15, 20),
        "Turn down and bake until brown.",
        load=(1, 2),
        place="oven",
        heat=200,
        deadline=True,
    )
    third = add(
        0, 7, "Bake", "wait", 615, 10, "Bake with steam.", load=(2, 2), place="oven", heat=230, deadline=True
    )
    last = add(
        0,
        7,
        "Bake",
        "wait",
        625,
        (15, 20),
        "Turn down and bake until brown.",
        load=(2, 2),
        place="oven",
        heat=200,
        deadline=True,
    )
    add(0, 8, "Cool", "wait", 645, 0.5, "Knock one: it sounds hollow.")
    add(0, 9, "Keep", "work", 645.5, 0, "Keep in a bin.")
    source = "a dough rises 7 to 9 % faster for each degree C: common practice, no source"
    guess = Estimate(sponge, minutes((420, 480)), Fraction(21), Fraction(18), minutes((515, 622)), source)
    by = {"past-its-time": (prove,), "goes-on-rising": (first, third), "untimed": (16,)}
    notes = tuple(Note(kind, text, by.get(kind, ())) for kind, text in NOTES.items())
    return plan.day(
        (plan.recipe(0, "Tide sponge loaf", "4 loaves", "77aa88bb"),),
        things=(Busy("oven", 1, (heat, first, second, third, last), True),),
        notes=notes,
        estimates=(guess,),
        bound=636,
        kitchen="Saltmarsh",
        zone="Pacific/Auckland",
    )


def renamed(day: Day, name: str, text: str = "") -> Day:
    """The day with another name for its first recipe and all steps: for names of every sort."""
    return replace(
        day,
        recipes=(replace(day.recipes[0], name=name), *day.recipes[1:]),
        activities=tuple(replace(one, name=name, text=text or one.text) for one in day.activities),
    )


ALL = {"rounds": rounds, "supper": supper, "night": night}
