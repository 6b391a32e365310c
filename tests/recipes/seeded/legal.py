"""`python -m tests.recipes.seeded.legal`: sensible edits of the clean recipes, over which no check may cry wolf.

Each edit is one that a careful cook would make without a second thought. An edit after which the page contradicts
itself (a yield, a style or a test of its own no longer holds: worked out from the page, never from a finding) is none,
and is not made.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.syntax import (
    Block,
    Draw,
    DurationFact,
    StepHeading,
    TemperatureFact,
    name_key,
)
from tests.recipes.seeded.corpus import ON, Bench, Site, State, corpus, new_findings, number_of
from tests.recipes.seeded.operators import Edit, draws, edited, line_of, written
from tests.recipes.seeded.situations import contradicted

SEED: Final = 2026
COUNT: Final = 300


@dataclass(frozen=True)
class LegalEdit:
    """An edit of one site's text: `what` says it in words."""

    site: Site
    name: str
    what: str
    text: str

    @property
    def place(self) -> str:
        return f"{self.site.bench.shown(self.site.source.name)}:{self.site.line}"


@dataclass(frozen=True)
class Alarm:
    """An edit, and what was cried over it."""

    edit: LegalEdit
    found: tuple[Finding, ...]

    @property
    def key(self) -> str:
        return f"{self.edit.name} @ {self.edit.place}"


Maker = Callable[[Site, random.Random], tuple[str, list[Edit]] | None]
EDITS: dict[str, Maker] = {}
SORTS: dict[str, frozenset[tuple[str, str]]] = {}


def _edit(name: str, what: str, *sorts: str) -> Callable[[Maker], Maker]:
    def declare(maker: Maker) -> Maker:
        EDITS[name] = maker
        SORTS[name] = frozenset((sort, what) for sort in sorts)
        return maker

    return declare


# ---------------------------------------------------------------- figures


WEIGHED: Final = frozenset({"g", "kg", "ml", "l", "oz", "lb", "%"})
"""What a cook changes a little: a spoon is a spoon."""


def figure(value: Fraction) -> str | None:
    """A value as a cook writes it: decimals, or halves, thirds and quarters."""
    text = written(value)
    if text is not None:
        return text
    whole, rest = divmod(value, 1)
    if rest.denominator not in (3, 6, 8):
        return None
    return f"{whole} {rest}" if whole else f"{rest}"


def near(value: Fraction, share: Fraction) -> Fraction | None:
    """About `value * (1 + share)`, as finely as the value was written (tenths where it was), and never further off."""
    places = next((places for places in range(4) if (value * 10**places).denominator == 1), 3)
    rounded = Fraction(round(value * (1 + share) * 10**places), 10**places)
    return rounded if rounded != value and abs(rounded / value - 1) <= abs(share) else None


def _both(site: Site, change: Callable[[Fraction], Fraction | None]) -> tuple[str, list[Edit]] | None:
    """A figure, or both ends of its range, changed."""
    if not site.first or not site.value:
        return None
    places = [(site.start, site.end), *([site.partner] if site.partner else [])]
    edits: list[Edit] = []
    for start, end in places:
        value = change(number_of(site.source.text[start:end]))
        text = figure(value) if value is not None else None
        if text is None:
            return None
        edits.append((start, end, text))
    was = "-".join(site.source.text[start:end] for start, end in places)
    return f"{was} -> {'-'.join(edit[2] for edit in edits)} {site.unit}".strip(), edits


@_edit("an amount by up to 8 %", "number", "amount", "percent")
def amount_a_little(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """A little more or less of something."""
    if site.unit not in WEIGHED:
        return None
    share = Fraction(rng.choice([-8, -5, 5, 8]), 100)
    return _both(site, lambda value: near(value, share))


@_edit("a spice by up to 20 %", "number", "amount")
def spice(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """Spices and herbs to one's own taste."""
    food = site.bench.state.kitchen.food(site.entry.label) if site.entry else None
    if food is None or food.kind not in ("spice", "herb") or site.unit not in WEIGHED:
        return None
    share = Fraction(rng.choice([-20, 20]), 100)
    return _both(site, lambda value: near(value, share))


@_edit("a time by up to 20 %", "number", "duration")
def time(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """A little longer or shorter, as this oven or this kitchen has it: whole minutes, half hours."""
    share = Fraction(rng.choice([-20, -10, 10, 20]), 100)
    step = Fraction(1, 2) if site.unit == "h" else Fraction(1)

    def change(value: Fraction) -> Fraction | None:
        now = round(value * (1 + share) / step) * step
        return now if now and abs(now / value - 1) <= Fraction(1, 5) else None

    changed = _both(site, change)
    return changed if changed and any(new != site.source.text[a:b] for a, b, new in changed[1]) else None


@_edit("a time made a range", "number", "duration")
def time_range(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """A single time made a range that begins with it."""
    if site.partner is not None or site.value < 5:
        return None
    more = figure(Fraction(round(site.value * Fraction(6, 5))))
    if more is None or number_of(more) <= site.value:
        return None
    return f"{site.text} -> {site.text}-{more}", [(site.end, site.end, f"-{more}")]


@_edit("an oven by 5 C or 10 F", "number", "temperature")
def oven(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """The oven a little hotter or cooler, wherever the recipe tells that temperature."""
    fact = site.fact
    if not isinstance(fact, TemperatureFact) or fact.place not in ("oven", "fan oven"):
        return None
    step = rng.choice([-1, 1]) * (10 if "F" in site.unit else 5)
    same = [
        other
        for other in site.bench.sites
        if other.recipe is site.recipe
        and other.sort == "temperature"
        and other.what == "number"
        and isinstance(other.fact, TemperatureFact)
        and other.fact.place == fact.place
    ]
    now = [(other.start, other.end, figure(other.value + step) or "") for other in same]
    return f"{site.text} -> {written(site.value + step)} {site.unit}", now


@_edit("a price by up to 15 %", "number", "price")
def price(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """A price as it was in another week."""
    share = Fraction(rng.choice([-15, -8, 8, 15]), 100)
    cents = round(site.value * (1 + share) * 100)
    now = f"{cents // 100}.{cents % 100:02d}"
    return f"{site.text} -> {now}", [(site.start, site.end, now)]


# ---------------------------------------------------------------- the same in other words


@_edit("g as kg, oz as lb", "unit", "amount", "pack", "makes weight")
def unit_exactly(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """The very same weight or volume in another unit."""
    other = {"g": ("kg", 1000), "kg": ("g", Fraction(1, 1000)), "ml": ("l", 1000), "l": ("ml", Fraction(1, 1000)),
             "oz": ("lb", 16)}.get(site.text)  # fmt: skip
    if other is None or site.partner is None:
        return None
    now = written(site.value / other[1])
    if now is None or number_of(now) < Fraction(1, 10):
        return None  # nobody writes 0.025 kg
    return f"{site.value} {site.text} -> {now} {other[0]}", [
        (*site.partner, now),
        (site.start, site.end, other[0]),
    ]


@_edit("min as h", "unit", "duration")
def minutes_as_hours(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """The very same time in whole and half hours, or in minutes: 1 h 30 min for 90 min, 60 min for 1 h."""
    fact = site.fact
    if not isinstance(fact, DurationFact) or len(fact.duration.low) > 1 or len(fact.duration.high) > 1:
        return None
    span = fact.duration.span
    ends = [term[0].number for term in dict.fromkeys([fact.duration.low, fact.duration.high])]
    if site.text == "h" and ends[-1] <= 3 and all((end * 60).denominator == 1 for end in ends):
        text = f"{'-'.join(str(end * 60) for end in ends)} min"
    elif site.text == "min" and len(ends) == 1 and ends[0] > 60:
        hours, minutes = divmod(ends[0], 60)
        text = f"{hours} h {minutes} min" if minutes else f"{hours} h"
    elif site.text == "min" and all(end >= 60 and (end / 30).denominator == 1 for end in ends):
        text = f"{'-'.join(figure(end / 60) or '' for end in ends)} h"
    else:
        return None
    return f"{span.text} -> {text}", [(span.first, span.last, text)]


@_edit("C as F", "unit", "temperature", "change temperature")
def other_scale(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """The very same temperature in the other scale."""
    if site.text not in ("C", "F") or site.partner is None or site.sort != "temperature":
        return None
    fact = site.fact
    assert isinstance(fact, TemperatureFact)
    span = fact.temperature.span
    ends = [term[0].number for term in dict.fromkeys([fact.temperature.low, fact.temperature.high])]
    now = [
        written(quantities.fahrenheit(end) if site.text == "C" else (end - 32) * Fraction(5, 9))
        for end in ends
    ]
    if any(text is None for text in now):
        return None
    text = f"{'-'.join(text or '' for text in now)} {'F' if site.text == 'C' else 'C'}"
    return f"{span.text} -> {text}", [(span.first, span.last, text)]


@_edit("a nought after the point", "number", "percent", "amount")
def nought(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """`2.0 %` for `2 %`."""
    if not re.fullmatch(r"\d+", site.text) or not site.unit or site.partner:
        return None
    return f"{site.text} -> {site.text}.0", [(site.start, site.end, f"{site.text}.0")]


@_edit("the whole list scaled", "number", "serves", "makes count")
def scaled(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """Every amount, and what it makes, half as much again, twice or three times."""
    recipe = site.recipe
    if recipe is None or recipe.block.entry("tin") is not None or site.partner is not None:
        return None
    factor = rng.choice([Fraction(3, 2), Fraction(2), Fraction(3)])
    sizes = {"amount", "makes count", "serves", "pieces"}
    edits: list[Edit] = []
    for other in site.bench.sites:
        if other.recipe is not recipe or other.what != "number":
            continue
        if other.sort in ("draw amount", "load", "tin", "trial"):
            return None  # what one pan or tin holds does not grow with the batch
        if other.sort not in sizes and not (other.sort == "makes weight" and _is_total(other)):
            continue
        if re.match(r"\s*(?:parts?|times)\b", other.source.text[other.end : other.end + 8]):
            continue
        value = figure(other.value * factor)
        if value is None or (other.sort != "amount" and "." in value):
            return None
        edits.append((other.start, other.end, value))
    return f"times {factor}", edits


def _is_total(site: Site) -> bool:
    return not any(
        other.sort == "makes count" and other.recipe is site.recipe and other.entry is site.entry
        for other in site.bench.sites
    )


# ---------------------------------------------------------------- names


@_edit("another name of the food", "name", "list name")
def synonym(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """An ingredient by another of its names, in the list and in every step."""
    recipe, kitchen = site.recipe, site.bench.state.kitchen
    food = kitchen.food(site.entry.label) if site.entry else None
    if recipe is None or food is None:
        return None
    key = name_key(site.text)
    others = sorted(food.keys - {key})
    if not others or kitchen.recipe(key) is not None:
        return None
    now = rng.choice(others)
    edits: list[Edit] = []
    for other in site.bench.sites:
        if other.recipe is not recipe or other.what != "name":
            continue
        named = name_key(other.text)
        if named == now or re.search(rf"\b{re.escape(now)}\b", named):
            return None  # the recipe knows both names
        if key not in named:
            continue
        if named != key or other.sort not in ("list name", "draw name", "base name"):
            return None  # part of a longer name, or of a test: more than one word to change
        lead = "the " if other.text.casefold().startswith("the ") else ""
        edits.append((other.start, other.end, lead + now))
    for block in recipe.preferments:
        if block.heading is not None and key in name_key(block.heading.span.text):
            return None
    return f"{site.text} -> {now}", edits


@_edit("a step renamed everywhere", "name", "step name")
def step_renamed(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """A step by a longer name, in its heading and wherever another waits for it."""
    key = name_key(site.text)
    edits: list[Edit] = [
        (other.end, other.end, " in good time")
        for other in site.bench.sites
        if other.recipe is site.recipe
        and other.sort in ("step name", "after name")
        and name_key(other.text) == key
    ]
    return f"{site.text} -> {site.text} in good time", edits


@_edit("a name in capitals", "name", "draw name", "after name")
def capitals(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """A name with capital letters."""
    return site.text, [(site.start, site.end, site.text.title())] if site.text.title() != site.text else []


# ---------------------------------------------------------------- the order, and what is beside the point


@_edit("list lines reordered", "name", "list name")
def lines_reordered(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """Two neighbours of a list change places, each with what stands behind it."""
    entries = list(site.block.entries())
    at = next((at for at, entry in enumerate(entries) if entry is site.entry), None)
    if at is None or at + 1 >= len(entries):
        return None
    text = site.source.text
    a, b = (line_of(site, entry.span.first)[:2] for entry in entries[at : at + 2])
    if a[1] != b[0] or not text[: b[1]].endswith("\n"):
        return None
    return f"{entries[at].label.text} below {entries[at + 1].label.text}", [
        (a[0], b[1], text[slice(*b)] + text[slice(*a)])
    ]


@_edit("independent steps reordered", "name", "step name")
def steps_reordered(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """Two neighbouring steps that wait for others, not for each other, and take nothing in common, change places."""
    recipe = site.recipe
    if recipe is None:
        return None
    at = recipe.steps.index(site.block)
    if at + 1 >= len(recipe.steps):
        return None
    one, two = recipe.steps[at : at + 2]
    heads = (one.heading, two.heading)
    if not all(isinstance(head, StepHeading) and (head.after or head.during) for head in heads):
        return None
    first, second = heads
    assert isinstance(first, StepHeading)
    assert isinstance(second, StepHeading)
    clauses = [clause.key for clause in (second.after, second.during) if clause is not None]
    if any(first.name.key in clause for clause in clauses) or (
        first.part and second.part and first.part.key == second.part.key
    ):
        return None
    if _taken(one) & _taken(two) or _made(first) & _taken(two):
        return None
    text = site.source.text
    (a, b), (c, d) = ((block.span.first, len(text[: block.span.last].rstrip())) for block in (one, two))
    return f"{first.name.text} below {second.name.text}", [(a, d, text[c:d] + text[b:c] + text[a:b])]


def _taken(step: Block) -> set[str]:
    return {draw.name.key for draw in draws([step])}


def _made(heading: StepHeading) -> set[str]:
    return {heading.part.key} if heading.part else set()


@_edit("a comment", "name", "list name", "price name", "step name", "style name")
def comment(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """A comment at the end of a line, or above it."""
    text = site.source.text
    start, end, _ = line_of(site, site.start)
    if rng.random() < 0.5:
        return "above", [(start, start, "  # as it was done at home: 3 cups, or 40 min\n")]
    if " # " in text[start:end]:
        return None
    return "behind", [(end - 1, end - 1, "  # 20 g more in winter")] if text[end - 1 : end] == "\n" else []


@_edit("blank lines", "name", "list name", "price name", "step name", "after name")
def blank_lines(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """One more blank line, or two."""
    start = line_of(site, site.start)[0]
    return "above", [(start, start, "\n" * rng.choice([1, 2]))]


@_edit("a note after an amount", "name", "list name")
def note(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """How the food is to be: softened, chopped."""
    entry = site.entry
    if entry is None or entry.details or "seed" in site.text:
        return None
    words = rng.choice(["softened", "at room warmth", "chopped small", "weighed twice"])
    return words, [(entry.span.last, entry.span.last, f", {words}")]


@_edit("a draw in two", "name", "draw name")
def draw_in_two(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """Half of a thing now, and the rest of it a word later in the same step."""
    fact, recipe = site.fact, site.recipe
    if (
        not isinstance(fact, Draw)
        or fact.share.kind != "all-left"
        or recipe is None
        or " of " in fact.name.text
    ):
        return None
    lines = [
        entry
        for block in (*recipe.ingredients, *recipe.preferments, *recipe.soakers)
        for entry in block.entries()
        if entry.label.key == fact.name.key
    ]
    taken = [draw for draw in draws(recipe.steps) if draw.name.key == fact.name.key]
    if len(lines) != 1 or len(taken) != 1 or not re.match(r"\d", lines[0].value.span.text):
        return None
    start = site.source.text.rfind("[", 0, site.start)
    end = site.source.text.find("]", site.end) + 1
    name = fact.name.text.removeprefix("the ")
    return fact.span.text, [(start, end, f"[half the {name}], then [the rest of the {name}]")]


@_edit("a summary", "name", "step name")
def summary(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """What it is, in a line, where that was not said."""
    return _recipe_line(site, "summary", "What there is on a Sunday, for 4 or so")


@_edit("tags", "name", "style name", "step name")
def tags(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """Words to find it by."""
    return _recipe_line(site, "tags", "Sunday, easy, 2026")


def _recipe_line(site: Site, label: str, value: str) -> tuple[str, list[Edit]] | None:
    recipe = site.recipe
    if recipe is None or recipe.block.entry(label) is not None:
        return None
    end = line_of(site, recipe.block.span.first)[1]
    return value, [(end, end, f"  {label}:  {value}\n")]


@_edit("a newer price list", "name", "price heading")
def newer_list(site: Site, rng: random.Random) -> tuple[str, list[Edit]] | None:
    """A later visit to a shop: some of the same things, a little dearer or cheaper."""
    entries = [entry for entry in site.block.entries() if re.match(r"\d+\.\d\d for ", entry.value.span.text)]
    if not entries:
        return None
    day = site.bench.state.kitchen.settings.costed_on or ON
    when = (date.fromisoformat(day) - timedelta(days=1)).isoformat()
    rows = []
    for entry in rng.sample(entries, min(3, len(entries))):
        money, _, pack = entry.value.span.text.partition(" for ")
        cents = round(Fraction(money) * rng.choice([92, 108]))
        rows.append(f"  {entry.label.text}:  {cents // 100}.{cents % 100:02d} for {pack}\n")
    heading = site.block.heading
    assert heading is not None
    currency = getattr(heading, "currency", None)
    tail = f" in {currency.text}" if currency else ""
    text = site.source.text
    lead = "\n" if text.endswith("\n") else "\n\n"
    added = f"{lead}prices at Harbour Corner on {when}{tail}\n{''.join(rows)}"
    return added.strip(), [(len(text), len(text), added)]


# ---------------------------------------------------------------- making them


FIGURES: Final = frozenset(
    {
        "an amount by up to 8 %",
        "a spice by up to 20 %",
        "a time by up to 20 %",
        "a time made a range",
        "an oven by 5 C or 10 F",
        "a price by up to 15 %",
        "the whole list scaled",
        "a newer price list",
    }
)
"""Edits that change a figure: not made where a yield, a style or a test of the page would no longer hold."""


def _breaks(name: str, before: State, after: State) -> bool:
    """Whether the page says otherwise. A recipe that can no longer be compiled does not count: that is what to find."""
    if name not in FIGURES:
        return False
    return any(
        contradicted((old, after.compiled[key]))
        for key, old in before.compiled.items()
        if old.batch is not None and key in after.compiled and after.compiled[key].batch is not None
    )


def edits(
    seed: int = SEED, count: int = COUNT, benches: Sequence[Bench] | None = None
) -> Iterator[tuple[LegalEdit, list[Finding]]]:
    """`count` legal edits, every kind as often, at sites drawn evenly; and what each raised at warning or above."""
    sites = [site for bench in benches or corpus() for site in bench.sites]
    random.Random(seed).shuffle(sites)
    pools = {
        name: iter([site for site in sites if (site.sort, site.what) in sorts])
        for name, sorts in SORTS.items()
    }
    made = 0
    while pools and made < count:
        for name in list(pools):
            one = next(_made_of(name, pools[name], random.Random(f"{seed} {name} {made}")), None)
            if one is None:
                del pools[name]
            elif made < count:
                made += 1
                yield one


def _made_of(
    name: str, pool: Iterator[Site], rng: random.Random
) -> Iterator[tuple[LegalEdit, list[Finding]]]:
    for site in pool:
        change = EDITS[name](site, rng)
        if change is None or not change[1]:
            continue
        text = edited(site.source.text, change[1])
        before, after = site.bench.state, site.bench.planted(site.number, text)
        if not _breaks(name, before, after):
            new = new_findings(before.findings, after.findings)
            yield (
                LegalEdit(site, name, change[0], text),
                [one for one in new if one.severity >= Severity.WARNING],
            )


def alarms(found: Iterable[tuple[LegalEdit, list[Finding]]]) -> list[Alarm]:
    return [Alarm(edit, tuple(loud)) for edit, loud in found if loud]


def say(text: str) -> None:
    sys.stdout.write(f"{text}\n")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.recipes.seeded.legal", description=__doc__)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--count", type=int, default=COUNT)
    parser.add_argument("--list", action="store_true", help="print every edit made")
    asked = parser.parse_args()
    made = list(edits(asked.seed, asked.count))
    cried = Counter(one.edit.name for one in alarms(made))
    counts = Counter(edit.name for edit, _ in made)
    say(f"{'edit':32} {'made':>5} {'cried':>6}")
    for name in EDITS:
        say(f"{name:32} {counts[name]:5} {cried[name]:6}")
    say(f"{'all':32} {counts.total():5} {cried.total():6}")
    if asked.list:
        for edit, _ in made:
            say(f"{edit.place}: {edit.name}: {edit.what}")
    for alarm in alarms(made):
        say(f"\n{alarm.edit.place}: {alarm.edit.name}: {alarm.edit.what}")
        for finding in alarm.found:
            place = f"{finding.span.source.name}:{finding.span.line}"
            say(f"    {finding.severity.word} {finding.rule} at {place}: {finding.message}")


if __name__ == "__main__":
    main()
