"""What stands on the card, as text: a Batch turned into the words and figures that the template sets.

Figures come from `display`, marks from `strip`. Nothing is worked out here that the Batch does not hold.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, Literal

from benchproof.compiler import display
from benchproof.compiler.batch import (
    Batch,
    ChangeRun,
    Cost,
    DrawRun,
    DurationRun,
    Extent,
    Keeps,
    Line,
    LoadRun,
    MeasureRun,
    Part,
    Ratio,
    Run,
    Step,
    TemperatureRun,
    TextRun,
    TurnsRun,
    WaterFor,
    Yield,
)
from benchproof.renderers.card.strip import place_on_range

Scale = Literal["C", "F"]

_OTHER: Final[dict[Scale, Scale]] = {"C": "F", "F": "C"}
_MEASURED_PLACES: Final = (None, "core", "dough")
"""A thermometer goes in there, and what it says is worth writing down. An oven says what it was told."""
_HOURS_FROM: Final = 3 * 3600
_MOST_BOXES: Final = 24
"""Loads to tick one by one."""
_DEFERS: Final = "law-first"
"""The caution that sends to the food law. It is about all the others, so it stands beside the law's name."""
_JOIN: Final = "\u2060"
"""A word joiner: no line ends there."""


class NotOneRecipe(ValueError):
    """The batches given as sizes of one recipe are not. The message is for a cook."""


# ---------------------------------------------------------------- pieces of the card


@dataclass(frozen=True, slots=True)
class Figure:
    """A number cut at its decimal point, so that a column can be aligned on it, and its unit."""

    whole: str
    rest: str
    unit: str
    words: str = ""  # instead of a number: `to taste`, `not known`

    @property
    def text(self) -> str:
        return self.words or f"{self.whole}{self.rest}" + (display.THIN + self.unit if self.unit else "")


@dataclass(frozen=True, slots=True)
class Row:
    name: str
    aside: str  # `3 eggs`, `2 tsp`
    purpose: str  # and what else the line says: `softened`
    figure: Figure
    also: str  # `and to taste`, `lent: give as much back`
    percent: Figure | None
    sizes: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class Group:
    heading: str
    share: str  # `30 % of the flour`, lighter
    base: str
    rows: tuple[Row, ...]
    apart: tuple[Row, ...]  # lines with a purpose: not in the formula


@dataclass(frozen=True, slots=True)
class Overall:
    """The overall formula, where preferments or soakers are drawn out of it: to look at, not to weigh."""

    base: str
    rows: tuple[Row, ...]
    total: Figure
    name_width: int  # characters
    whole_digits: int
    percent_digits: int


@dataclass(frozen=True, slots=True)
class Word:
    """A stretch of a step's text; `strong` for weights and other figures."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands in the outer margin: `at least` **12 h** / hands off, and a cell to write in, in `cell`."""

    kind: Literal["temperature", "time"]
    before: str
    pieces: tuple[str, ...]  # lines of the figure: one, but for a change of temperature
    under: str
    cell: str  # the unit to write, empty for no cell

    @property
    def long(self) -> bool:
        """`at least 8–12 h`: too wide for one line of the margin."""
        return bool(self.before) and len(self.before) + len(self.pieces[0].replace(_JOIN, "")) > 13


@dataclass(frozen=True, slots=True)
class Given:
    """A temperature that the water was worked out from, small, with a cell for what it truly was."""

    text: str
    cell: str


@dataclass(frozen=True, slots=True)
class Prose:
    words: tuple[Word, ...]
    beside: tuple[Beside, ...]
    given: tuple[Given, ...] = ()
    small: str = ""  # what was assumed
    loads: int = 0  # so many boxes to tick, one a load
    many_loads: str = ""  # how many there are, where they are too many to draw

    @property
    def whole_sentences(self) -> bool:
        return "".join(word.text for word in self.words).rstrip().endswith((".", "!", "?"))


@dataclass(frozen=True, slots=True)
class StepView:
    number: int
    name: str
    note: str
    cautions: tuple[str, ...]
    lines: tuple[Prose, ...]


@dataclass(frozen=True, slots=True)
class RatioMark:
    name: str
    value: str
    low: str
    high: str
    place: str  # per hundred of the range; empty where nothing is asked of it
    word: Literal["", "low", "high"]


@dataclass(frozen=True, slots=True)
class AllergenLines:
    contains: str
    may_contain: str
    not_stated: str
    nothing: bool
    law: str


@dataclass(frozen=True, slots=True)
class Timed:
    """A piece of the strip, in words."""

    step: str
    start: str
    end: str
    what: str


@dataclass(frozen=True, slots=True)
class When:
    strip: tuple[Timed, ...]
    hands_on: str
    hands_off: str
    elapsed: str
    untimed: str


@dataclass(frozen=True, slots=True)
class Card:
    recipe: str
    makes: str
    size: str
    serves: str
    asked_on: str
    dated: str
    revision: str
    kitchen: str
    columns: tuple[str, ...]  # the batch in hand first; empty when it is the only one
    columns_base: str  # stands among the columns' heads when the only group has no heading of its own
    groups: tuple[Group, ...]
    overall: Overall | None
    whole_digits: int
    percent_digits: int
    size_digits: tuple[int, ...]
    cautions: tuple[str, ...]
    waived: tuple[str, ...]
    steps: tuple[StepView, ...]
    cells: bool
    when: When
    ratios: tuple[RatioMark, ...]
    allergens: AllergenLines
    cost: str
    keeps: str


def card_view(batches: Sequence[Batch]) -> Card:
    """The card of the first batch; the others are further sizes of it.

    Raises `NotOneRecipe` when there is none, or when another has other lines than the first.
    """
    if not batches:
        raise NotOneRecipe("A card needs a batch, and none was given.")
    batch, *more = batches
    for other in more:
        if _shape(other) != _shape(batch):
            raise NotOneRecipe(
                f"“{other.recipe}” ({other.asked.words}) does not have the same lines as “{batch.recipe}”,"
                " so it cannot stand beside it as another size. Print it on a card of its own."
            )
    weighed = _weighed(batch.parts)
    groups = tuple(_group(batch, more, i, len(weighed)) for i in weighed)
    rows = [row for group in groups for row in (*group.rows, *group.apart)]
    steps = tuple(_step(batch, step) for step in batch.steps)
    numbers = {step.number for step in batch.steps}  # a caution for a step that is not there is for the whole
    return Card(
        recipe=batch.recipe,
        makes=_batch_words(batch),
        size=_size_words(batch),
        serves=f"serves {display.count(batch.serves)}" if batch.serves is not None else "",
        asked_on=batch.asked.on,
        dated=batch.dated or "",
        revision=batch.revision,
        kitchen=batch.kitchen or "",
        columns=tuple(_size_words(b) for b in batches) if more else (),
        columns_base=groups[0].base if more and len(groups) == 1 and not groups[0].heading else "",
        groups=groups,
        overall=_overall(batch),
        whole_digits=_digits(row.figure for row in rows),
        percent_digits=_digits(row.percent for row in rows if row.percent is not None),
        size_digits=tuple(_digits(row.sizes[i] for row in rows) for i in range(len(more))),
        cautions=tuple(
            caution.text
            for caution in batch.cautions
            if caution.step not in numbers and caution.name != _DEFERS
        ),
        waived=tuple(
            f"{_spaced(waiver.rule)}, because {waiver.reason}" for waiver in batch.waived if waiver.safety
        ),
        steps=steps,
        cells=any(beside.cell for step in steps for line in step.lines for beside in line.beside),
        when=_when(batch),
        ratios=tuple(
            sorted(
                (_ratio(ratio) for ratio in batch.ratios), key=lambda mark: not mark.place and not mark.word
            )
        ),
        allergens=_allergens(batch),
        cost=_cost(batch.cost),
        keeps=_keeps(batch.keeps, batch.reheats),
    )


def _shape(batch: Batch) -> list[tuple[str | None, list[tuple[str, str | None]]]]:
    return [(part.name, [(line.name, line.purpose) for line in part.lines]) for part in batch.parts]


def _spaced(rule: str) -> str:
    return rule.replace("-", " ")


def _span(time: Extent) -> str:
    return _tied(display.duration(time.low, time.high))


def _tied(text: str) -> str:
    """No line ends between a number and its unit, or inside `20–25`."""
    return text.replace(display.THIN, display.NO_BREAK_THIN).replace(
        display.DASH, f"{_JOIN}{display.DASH}{_JOIN}"
    )


def _weight(grams: Fraction, division: Fraction | None = None) -> str:
    return _tied(display.weight(grams, division))


def _volume(ml: Fraction) -> str:
    return _tied(display.volume(ml))


def _degrees(
    low: Fraction, high: Fraction, scale: Scale, minimum: bool = False, maximum: bool = False
) -> str:
    return _tied(display.temperature(low, high, scale, minimum=minimum, maximum=maximum))


# ---------------------------------------------------------------- the head


def _batch_words(batch: Batch) -> str:
    words = _makes(batch.makes)
    asked = batch.asked.words
    if asked != "as written" and not words.startswith(asked):
        words = f"{words}, {asked}"
    if (limit := batch.asked.limited_by) is not None:
        many = limit.endswith("s") and not limit.endswith("ss")
        words = f"{words}: as much as the {limit.removeprefix('the ')} {'allow' if many else 'allows'}"
    return words


def _makes(makes: Yield) -> str:
    finished = " finished" if makes.after_losses else ""
    if makes.count is not None:
        words = display.count(makes.count, makes.noun or ("" if makes.each is not None else "pieces"))
        return words.strip() + (f" of {_weight(makes.each)}{finished}" if makes.each is not None else "")
    if makes.total is not None:
        return _weight(makes.total) + finished
    return f"{_weight(makes.formula)} in all"


def _size_words(batch: Batch) -> str:
    makes = batch.makes
    if batch.asked.words.startswith("for a "):  # another tin: as many pieces, of another size
        return batch.asked.words
    if makes.count is not None:
        return display.count(makes.count, makes.noun)
    if batch.asked.words != "as written":
        return batch.asked.words
    return _weight(makes.total if makes.total is not None else makes.formula)


# ---------------------------------------------------------------- the formula


def _digits(figures: Iterable[Figure]) -> int:
    """Places before the point that the widest figure of a column takes."""
    return max((len(figure.whole) for figure in figures if not figure.words), default=1)


def _figure(number: str, unit: str) -> Figure:
    whole, point, decimals = number.partition(".")
    return Figure(whole, point + decimals, unit)


def _amount(line: Line) -> Figure:
    """What to weigh; what to count or to measure where no weight is known; else words, never a blank."""
    if line.weight is not None:
        return _figure(*display.weight_parts(line.weight, line.division))
    if line.to_taste:
        return Figure("", "", "", "to taste")
    if line.volume is not None:
        return _figure(*display.volume_parts(line.volume))
    if line.count is not None:
        return _figure(display.count(line.count), line.noun or "")
    return Figure("", "", "", "not known")


def _aside(batch: Batch, line: Line) -> str:
    """The count or the spoons, small, where the weight is what stands large."""
    if line.weight is None:
        return ""
    if line.bought is not None:
        return f"{_weight(line.bought)} as bought"
    if line.count is not None:
        return display.count(line.count, line.noun)
    if line.volume is not None:
        # The written words are true of the batch as written only.
        return line.written if batch.asked.times == 1 else _volume(line.volume)
    return ""


def _row(batch: Batch, line: Line, sizes: Iterable[Line] = ()) -> Row:
    percent: Figure | None = None
    if line.percent is not None:
        number = display.percent(line.percent).removesuffix(f"{display.NO_BREAK_THIN}%")
        percent = _figure(number, "%")
    also = ["and to taste"] if line.to_taste and line.weight is not None else []
    if line.lent:
        also.append("lent: give as much back")
    return Row(
        name=line.name,
        aside=_aside(batch, line),
        purpose=", ".join(words for words in (line.note, line.purpose) if words),
        figure=_amount(line),
        also=", ".join(also),
        percent=percent,
        sizes=tuple(_amount(one) for one in sizes),
    )


_WEIGHING_ORDER: Final = ("preferment", "soaker", "final", "main", "part")


def _weighed(parts: Sequence[Part]) -> list[int]:
    """Which parts are weighed, in the order of the work. What a final dough is taken from is not weighed."""
    final = any(part.role == "final" for part in parts)
    found = [i for i, part in enumerate(parts) if part.lines and not (final and part.role == "main")]
    return sorted(found, key=lambda i: _WEIGHING_ORDER.index(parts[i].role)) if final else found


def _group(batch: Batch, more: Sequence[Batch], index: int, many: int) -> Group:
    part = batch.parts[index]
    heading = part.name or ("Main formula" if many > 1 else "")
    share = ""
    base = f"% of {display.listed(part.base)}" if part.base else ""
    if part.role == "final":
        heading = "Final dough"
        base = base.replace("% of ", "% of all the ", 1)
    elif part.role in ("preferment", "soaker"):
        if part.share is not None:
            share = f"{display.percent(part.share)} of the {display.listed(part.base)}"
            base = "% of that"
        elif part.role not in heading.casefold():
            share = part.role
    rows = [
        (line.purpose, _row(batch, line, [other.parts[index].lines[i] for other in more]))
        for i, line in enumerate(part.lines)
    ]
    return Group(
        heading=heading[:1].upper() + heading[1:],
        share=share,
        base=base,
        rows=tuple(row for purpose, row in rows if purpose is None),
        apart=tuple(row for purpose, row in rows if purpose is not None),
    )


_SHORT_NAME: Final = len("Overall formula.")
_LONG_NAME: Final = 30


def _overall(batch: Batch) -> Overall | None:
    main = next((part for part in batch.parts if part.role == "main"), None)
    if main is None or not any(part.role == "final" for part in batch.parts):
        return None
    rows = tuple(_row(batch, line) for line in main.lines if line.purpose is None)
    total = _figure(*display.weight_parts(main.weight))
    return Overall(
        base=f"% of {display.listed(main.base)}" if main.base else "",
        rows=rows,
        total=total,
        name_width=min(max(_SHORT_NAME, *(len(row.name) for row in rows)), _LONG_NAME),
        whole_digits=_digits([*(row.figure for row in rows), total]),
        percent_digits=_digits(row.percent for row in rows if row.percent is not None),
    )


# ---------------------------------------------------------------- the method


def _step(batch: Batch, step: Step) -> StepView:
    notes = []
    if step.part is not None and step.part.casefold() not in step.name.casefold():
        notes.append(f"for the {step.part.removeprefix('the ')}")
    if step.during is not None:
        notes.append(f"during {step.during}")
    elif step.after and step.after != (step.number - 1,):
        notes.append("after " + display.listed([str(number) for number in step.after]))
    lines = [_prose(batch, line) for line in step.lines] or [Prose((), ())]
    for water in batch.waters:
        if water.step == step.number:
            poured = _water_goes_in(step)
            # It must be read before it is poured, and a free margin costs no room.
            free = next((at for at in range(poured) if not lines[at].beside), poured)
            scale = batch.asked.temperatures
            lines[free] = replace(lines[free], beside=(*_water_beside(water, scale), *lines[free].beside))
            # What it was worked out from stands there too, unless that would cut a sentence in two.
            small = free if lines[free].whole_sentences else poured
            lines[small] = replace(
                lines[small], given=_water_given(water, scale), small=_water_small(water, scale)
            )
    return StepView(
        number=step.number,
        name=step.name,
        note=", ".join(notes),
        cautions=tuple(caution.text for caution in batch.cautions if caution.step == step.number),
        lines=tuple(lines),
    )


def _prose(batch: Batch, line: Sequence[Run]) -> Prose:
    words: list[Word] = []
    beside: list[Beside] = []
    loads = Fraction(0)
    scale = batch.asked.temperatures
    for run in line:
        match run:
            case TextRun():
                words.append(Word(run.text))
            case DrawRun():
                words += _draw(batch, run)
            case DurationRun():
                words += _duration_words(run)
                beside.append(
                    Beside(
                        "time",
                        run.limit or "",
                        (_span(run.duration),),
                        "hands off" if run.hands_off else "",
                        _time_cell(run.duration) if run.hands_off else "",
                    )
                )
            case TemperatureRun():
                words += _temperature_words(run, scale)
                beside.append(_temperature_beside(run, scale))
            case ChangeRun():
                words += _change_words(run, scale)
                beside += _change_beside(run, scale)
            case TurnsRun():
                times = f"{display.count_range(run.times.low, run.times.high)} times"
                every = _every(run)
                words.append(Word(times + (f", {every}" if every else "")))
                beside.append(Beside("time", "", (times,), every, ""))
            case LoadRun():
                words.append(Word(_load(run)))
                loads = max(loads, run.loads.high if run.loads is not None else Fraction(0))
            case MeasureRun():
                words.append(Word(_measure(run)))
    # A last load that is not full is a load.
    boxes = math.ceil(loads) if loads > 1 else 0
    if boxes > _MOST_BOXES:
        return Prose(tuple(words), tuple(beside), many_loads=display.count(Fraction(boxes), "loads"))
    return Prose(tuple(words), tuple(beside), loads=boxes)


def _every(run: TurnsRun) -> str:
    return f"every {_span(run.every)}" if run.every is not None else ""


def _load(run: LoadRun) -> str:
    text = f"{display.count_range(run.at_a_time.low, run.at_a_time.high)} at a time"
    if run.loads is None:
        return text
    one = run.loads.low == run.loads.high == 1
    return f"{text} ({display.count_range(run.loads.low, run.loads.high, 'load' if one else 'loads')})"


def _measure(run: MeasureRun) -> str:
    if run.weight is not None:
        low, high = _weight(run.weight.low), _weight(run.weight.high)
        return f"{low} each" if low == high else f"{low} to {high} each"
    if run.count is not None and not run.lengths:
        counted = display.count(run.count, run.noun)
        return counted if run.text[:1].isdigit() else f"the {counted}"
    return run.text


_OWN_AMOUNT: Final = re.compile(r"^(?P<amount>[\d½⅓⅔¼¾⅛⅜⅝⅞][^%]*?) of (?P<of>.+)$")
_ALL_BUT: Final = re.compile(r"^all but .*\d.* of (?P<of>.+)$")


def _draw(batch: Batch, run: DrawRun) -> list[Word]:
    """`half the caster sugar, ` **4.2 g**. An amount that the text gives is put as this batch has it."""
    amounts = []
    if run.weight is not None:
        amounts.append(_weight(run.weight, run.division))
    elif run.volume is not None:
        amounts.append(_volume(run.volume))
    if run.count is not None:
        amounts.insert(0, display.count(run.count, run.noun))
    text = run.text
    if amounts and (own := _OWN_AMOUNT.match(text)):
        # `40 g of the butter`, `2 of the eggs`: the figure written is right only for the batch as written.
        if any(letter.isalpha() for letter in own["amount"]):  # it has a unit
            return [Word(amounts[-1], True), Word(f" of {own['of']}")]
        first = display.count(run.count) if run.count is not None else amounts[-1]
        rest = [Word(", "), Word(amounts[-1], True)] if run.weight is not None else []
        return [Word(first, True), Word(f" of {own['of']}"), *rest]
    if batch.asked.times != 1 and (but := _ALL_BUT.match(text)):
        text = f"most of {but['of']}"
    if not amounts:
        line = batch.parts[run.line[0]].lines[run.line[1]] if run.line is not None else None
        said = "to taste" if line is not None and line.to_taste else "weight not known"
        return [Word(f"{text}, {said}")]
    if run.count is not None and run.weight is not None:
        return [Word(f"{text} ({amounts[0]}), "), Word(amounts[1], True)]
    return [Word(f"{text}, "), Word(amounts[0], True)]


def _duration_words(run: DurationRun) -> list[Word]:
    limit = f"{run.limit} " if run.limit else ""
    return [Word(f"{limit}{_span(run.duration)}")]


def _time_cell(duration: Extent) -> str:
    return "h" if duration.low >= _HOURS_FROM else "min"


def _temperature_words(run: TemperatureRun, scale: Scale) -> list[Word]:
    """`oven at 240 °C`; but `240 °C` alone of `240 C oven`: the prose has named the oven, and so has the margin."""
    degrees = _degrees(run.temperature.low, run.temperature.high, scale, minimum=run.minimum)
    if run.place and run.text.casefold().startswith(f"{run.place} "):
        return [Word(f"{run.place}{_of(run)} at {degrees}")]
    return [Word(degrees)]


def _of(run: TemperatureRun) -> str:
    return f" of the {run.of.removeprefix('the ')}" if run.of else ""


def _temperature_beside(run: TemperatureRun, scale: Scale) -> Beside:
    low, high = run.temperature.low, run.temperature.high
    other = _degrees(low, high, _OTHER[scale], minimum=run.minimum)
    return Beside(
        "temperature",
        "at least" if run.minimum else "",
        (_degrees(low, high, scale, minimum=run.minimum),),
        f"{other}{' ' + run.place if run.place else ''}{_of(run)}",
        f"°{scale}" if run.place in _MEASURED_PLACES else "",
    )


def _change(run: ChangeRun, scale: Scale) -> tuple[str, str]:
    # A limit is not rounded to its unsafe side: what must be colder is never shown warmer, nor the reverse.
    cooling = run.end.high < run.start.low
    start = _degrees(run.start.low, run.start.high, scale)
    end = _degrees(
        run.end.low,
        run.end.high,
        scale,
        minimum=run.within and not cooling,
        maximum=run.within and cooling,
    )
    return start, f"to{display.NO_BREAK}{end}"


def _change_words(run: ChangeRun, scale: Scale) -> list[Word]:
    how = "within" if run.within else "in"
    start, end = _change(run, scale)
    time = _span(run.duration)
    return [Word(f"{start} {end} {how} {time}")]


_MARGIN: Final = 11
"""Characters of a temperature that the margin has room for beside a cell."""


def _change_beside(run: ChangeRun, scale: Scale) -> list[Beside]:
    time = _span(run.duration)
    start, end = _change(run, scale)
    # `60 to 21 °C` where it fits the margin, else on two lines.
    short = f"{start.removesuffix(f'{display.NO_BREAK_THIN}°{scale}')}{display.NO_BREAK}{end}"
    pieces = (short,) if len(short) <= _MARGIN else (start, end)
    return [
        Beside("temperature", "", pieces, " ".join(_change(run, _OTHER[scale])), f"°{scale}"),
        Beside("time", "within" if run.within else "in", (time,), "", _time_cell(run.duration)),
    ]


# ---------------------------------------------------------------- the water for a dough


def _water_goes_in(step: Step) -> int:
    """The line of the step where water is drawn; else its first."""
    for number, line in enumerate(step.lines):
        if any(isinstance(run, DrawRun) and "water" in run.text.casefold().split() for run in line):
            return number
    return 0


def _water_given(water: WaterFor, scale: Scale) -> tuple[Given, ...]:
    return tuple(
        Given(f"{name} at {_degrees(degrees, degrees, scale)}", f"°{scale}")
        for name, degrees in (("flour", water.flour), ("room", water.room))
    )


def _water_beside(water: WaterFor, scale: Scale) -> list[Beside]:
    beside = []
    ways = [
        (_water_degrees(found, scale), _water_degrees(found, _OTHER[scale]), name)
        for found, name in ((water.by_rule, "bench rule"), (water.by_balance, "by weight and warmth"))
        if found is not None
    ]
    if len(ways) == 2 and ways[0][:2] == ways[1][:2]:
        ways = [(*ways[0][:2], "both ways")]
    for number, (degrees, other, name) in enumerate(ways):
        under = name if degrees.startswith("below") else f"{other}, {name}"
        first = number == 0
        beside.append(
            Beside(
                "temperature",
                water.liquid if first else "or",
                (degrees,),
                under,
                f"°{scale}" if first else "",
            )
        )
    if water.ice is not None:
        low, high = _weight(water.ice.low), _weight(water.ice.high)
        ice = low if low == high else f"{low} to{display.NO_BREAK}{high}"
        beside.append(
            Beside("temperature", "ice", (ice,), f"of the {_weight(water.water)} of {water.liquid}", "")
        )
    return beside


def _water_degrees(found: Extent, scale: Scale) -> str:
    """Water below nought is ice: then the grams of ice are what helps."""
    if found.low >= 0:
        return _degrees(found.low, found.high, scale)
    most = max(found.high, Fraction(0))
    return f"below{display.NO_BREAK}{_degrees(most, most, scale)}"


def _water_small(water: WaterFor, scale: Scale) -> str:
    said = []
    if water.friction:
        said.append(f"Friction counted: {_difference(water.friction, scale)}.")
    if water.assumed:
        said.append(f"Assumed: {_tied('; '.join(water.assumed))}.")
    return " ".join(said)


def _difference(celsius: Fraction, scale: Scale) -> str:
    """A rise, not a reading: without the 32 in Fahrenheit."""
    return _tied(f"{display.number(celsius * 9 / 5 if scale == 'F' else celsius, 0)}{display.THIN}°{scale}")


# ---------------------------------------------------------------- when, and is it right


def _when(batch: Batch) -> When:
    times = batch.times
    names = {step.number: step.name for step in batch.steps}
    untimed = f"{times.untimed} not timed" if times.untimed else ""
    return When(
        strip=tuple(
            Timed(
                f"{stretch.step} {names.get(stretch.step, '')}".strip(),
                display.clock(stretch.start),
                display.clock(stretch.end),
                "hands off" if stretch.hands_off else "hands-on",
            )
            for stretch in sorted(times.plan, key=lambda stretch: (stretch.start, stretch.step))
            if stretch.end > stretch.start
        ),
        hands_on=_span(times.hands_on) if times.hands_on.high else "",
        hands_off=_span(times.hands_off) if times.hands_off.high else "",
        elapsed=_span(times.elapsed),
        untimed=untimed,
    )


def _ratio(ratio: Ratio) -> RatioMark:
    name = f"{ratio.word} {ratio.name}" if ratio.word else ratio.name
    value = display.percent(ratio.value)
    if ratio.usual is None or ratio.verdict is None:
        return RatioMark(name, value, "", "", "", "")
    low, high = (
        display.percent(end).removesuffix(f"{display.NO_BREAK_THIN}%")
        for end in (ratio.usual.low, ratio.usual.high)
    )
    words: dict[str, Literal["", "low", "high"]] = {"inside": "", "below": "low", "above": "high"}
    return RatioMark(name, value, low, high, place_on_range(ratio.value, ratio.usual), words[ratio.verdict])


# ---------------------------------------------------------------- who may not eat it, and what it cost


def _allergens(batch: Batch) -> AllergenLines:
    allergens = batch.allergens
    contains = ", ".join(allergen.name for allergen in allergens.contains)
    law = (
        "This kitchen names no food law, so the allergens of all lists are joined."
        if allergens.union
        else f"List: {allergens.law}."
    )
    return AllergenLines(
        contains=contains,
        may_contain=", ".join(allergens.may_contain),
        not_stated=", ".join(allergens.not_stated),
        nothing=not (contains or allergens.may_contain or allergens.not_stated),
        law=" ".join((law, *(caution.text for caution in batch.cautions if caution.name == _DEFERS))),
    )


def _cost(cost: Cost) -> str:
    if not cost.lines:
        return ""
    missing = [line.item for line in cost.lines if line.note == "no price"]
    foreign = [line.item for line in cost.lines if line.note == "other currency"]
    gaps = [f"no price for {display.listed(missing)}"] if missing else []
    gaps += [f"{display.listed(foreign)} priced in another currency"] if foreign else []
    if gaps and cost.total == 0:
        return f"Cost not known: {'; '.join(gaps)}."

    def money(amount: Fraction, *, small: bool = False) -> str:
        return (display.small_money if small else display.money)(amount, cost.currency)

    pieces = []
    if cost.each is not None:
        pieces.append(f"{money(cost.each, small=True)} each")
    elif cost.portion is not None:
        pieces.append(f"{money(cost.portion, small=True)} a portion")
    elif cost.per_100_g is not None:
        pieces.append(f"{money(cost.per_100_g)} for 100{display.NO_BREAK_THIN}g")
    pieces.append(f"{money(cost.total)} a batch")
    at_least = "" if cost.complete else "at least "
    text = f"Costs {at_least}{cost.currency}{display.NO_BREAK}{', '.join(pieces)}"
    for own in cost.shops_own:
        shop = f"; {own.item} at {own.price.shop}"
        if own.each is not None:
            text += f"{shop} {money(own.each, small=True)} each"
        elif own.per_100_g is not None:
            text += f"{shop} {money(own.per_100_g)} for 100{display.NO_BREAK_THIN}g"
    for gap in gaps:
        text += f". {gap[0].upper()}{gap[1:]}"
    if any(line.price is not None and line.price.stale for line in cost.lines):
        text += ". Some prices are old"
    return f"{text}."


def _keeps(keeps: Sequence[Keeps], reheats: str | None) -> str:
    sentences = []
    if keeps:
        sentences.append("Keeps " + ", ".join(keep.words for keep in keeps) + ".")
    if reheats:
        sentences.append(f"Reheat {reheats.removesuffix('.')}.")
    return " ".join(sentences)
