"""A resolved batch on a terminal: formula, ratios, method in short, times, who may not eat it, cost.

Plain words and columns; colour only underlines what the words say already.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from benchproof.compiler import display
from benchproof.compiler.batch import (
    Allergens,
    Batch,
    ChangeRun,
    Cost,
    DrawRun,
    DurationRun,
    Extent,
    Line,
    LoadRun,
    MeasureRun,
    Part,
    Ratio,
    Run,
    Step,
    TemperatureRun,
    TurnsRun,
    WaterFor,
)
from benchproof.renderers.cost_table import (
    NOT_KNOWN,
    digits,
    each_words,
    in_currency,
    price_words,
    settled,
    small_places,
    without,
)
from benchproof.renderers.terminal import Colour, even_spaces, folded, harmless, painted, table

_INDENT: Final = 2
_PER_100_G: Final = f"per 100{display.THIN}g"


def batch_text(batch: Batch, colour: bool = False, width: int | None = None) -> str:
    """Everything a cook asks of a batch, as text. `width` None wraps nothing."""
    pen = _Pen(colour, width)
    _head(batch, pen)
    parts = _in_order(batch.parts)
    final = any(part.role == "final" for part in parts)
    for part in parts:
        _formula(part, final, pen)
    # Where there is a final dough, it has the lines outside the formula too: they are weighed but once.
    _left_out((part for part in parts if not (final and part.role == "main")), pen)
    _ratios(batch.ratios, pen)
    if batch.equipment:
        pen.title("equipment")
        for tool in batch.equipment:
            many = f"{display.count(tool.count)} x " if tool.count is not None else ""
            pen.line(f"{many}{tool.name}{f', or {tool.instead}' if tool.instead else ''}")
    _method(batch, pen)
    _waters(batch, pen)
    _times(batch, pen)
    _allergens(batch.allergens, pen)
    _cautions(batch, pen)
    _keeping(batch, pen)
    _cost(batch.cost, pen)
    return pen.text()


class _Pen:
    """Gathers the lines; knows whether to colour and where to fold."""

    def __init__(self, colour: bool, width: int | None) -> None:
        self.colour = colour
        self.width = width
        self._lines: list[str] = []

    def title(self, text: str) -> None:
        self._lines += ["", painted(even_spaces(harmless(text)), "bold", self.colour)]

    def line(self, text: str, *, indent: int = _INDENT, colour: Colour | None = None) -> None:
        for one in folded(text, self.width, indent):
            self._lines.append(painted(one, colour, self.colour) if colour else one)

    def place(self, text: str) -> None:
        """A line that holds a file's name: never folded."""
        self._lines += folded(text, None)

    def columns(self, right: list[bool], rows: list[list[str]], foot: Iterable[list[str]] = ()) -> None:
        inner = None if self.width is None else self.width - _INDENT
        drawn = table([""] * len(right), right, rows, list(foot), width=inner, colour=self.colour)
        self._lines += [(" " * _INDENT + one).rstrip() for one in drawn.splitlines()]

    def text(self) -> str:
        return "\n".join(self._lines).strip("\n") + "\n"


# ---------------------------------------------------------------- what it is


def _head(batch: Batch, pen: _Pen) -> None:
    pen.title(f"{batch.recipe}, {batch.asked.words}{_limit(batch)}")
    if batch.summary:
        pen.line(batch.summary, indent=0)
    makes = batch.makes
    said = [display.count(makes.count, makes.noun)] if makes.count is not None else []
    if makes.each is not None:
        said.append(f"{display.weight(makes.each)} each")
    if makes.total is not None:
        said.append(f"{display.weight(makes.total)} in all")
    if makes.after_losses and (makes.each is not None or makes.total is not None):
        said.append("finished weight")
    if said:
        pen.line(f"makes {', '.join(said)}", indent=0)
    if batch.serves is not None:
        pen.line(f"serves {display.count(batch.serves)}", indent=0)
    pen.line(
        f"{display.weight(makes.formula)} goes in, {display.weight(makes.finished)} comes out"
        + "".join(
            f", {display.ratio_range(loss.percent.low, loss.percent.high)}"
            f" {'gained' if loss.gain else 'lost'} {loss.words}"
            for loss in makes.losses
        ),
        indent=0,
    )
    if batch.style:
        pen.line(f"style: {batch.style}", indent=0)
    kitchen = f"{batch.kitchen}, " if batch.kitchen else ""
    pen.place(f"{kitchen}{batch.file}, revision {batch.revision}, for {batch.asked.on}")


def _limit(batch: Batch) -> str:
    """What ran out first, when it was asked what the cupboard allows."""
    limit = batch.asked.limited_by
    if limit is None:
        return ""
    many = limit.endswith("s") and not limit.endswith("ss")
    return f": as much as the {limit.removeprefix('the ')} {'allow' if many else 'allows'}"


# ---------------------------------------------------------------- the formula

_ORDER: Final = ("preferment", "soaker", "final", "part", "main")


def _in_order(parts: tuple[Part, ...]) -> list[Part]:
    """As they are weighed: what is made the day before first, and the overall formula, which is not, last."""
    if not any(part.role == "final" for part in parts):
        return list(parts)
    return sorted(parts, key=lambda part: _ORDER.index(part.role))


def _formula(part: Part, final: bool, pen: _Pen) -> None:
    lines = [line for line in part.lines if line.purpose is None]
    if not lines:
        return
    main = "overall formula" if final else "formula"
    role = {"main": main, "final": "final dough", "part": ""}.get(part.role, part.role)
    name = f"{role} {part.name or ''}".strip()
    of = display.listed(part.base) if part.base else ""
    base = ""
    if part.share is not None:
        base = f", {display.percent(part.share)} of the {of}; 100{display.NO_BREAK_THIN}% is its flour"
    elif part.base:
        base = f", 100{display.NO_BREAK_THIN}% is {'all the ' if part.role == 'final' else ''}{of}"
    if part.base and part.base_weight is not None:
        base += f", {display.weight(part.base_weight)}"
    pen.title(name + base)
    foot = [*display.weight_parts(part.weight), "", "in all", ""]
    rows = _points_aligned([*(_formula_row(line) for line in lines), foot], 0)
    pen.columns([False, False, True, False, False], rows[:-1], rows[-1:])


def _formula_row(line: Line) -> list[str]:
    figure, unit = _weight_cells(line)
    percent = "" if line.percent is None else display.percent(line.percent)
    return [figure, unit, percent, line.name, _aside(line)]


def _weight_cells(line: Line) -> tuple[str, str]:
    if line.weight is not None:
        return display.weight_parts(line.weight, line.division)
    # An amount to taste is known to be open; any other missing weight is a gap, and is said to be one.
    return ("", "") if line.to_taste else (NOT_KNOWN, "")


def _points_aligned(rows: list[list[str]], column: int) -> list[list[str]]:
    """Pads a column of numbers until their decimal points stand below each other; words are left alone."""
    halves = {row[column]: row[column].partition(".") for row in rows if row[column][-1:].isdigit()}
    whole = max((len(left) for left, _, _ in halves.values()), default=0)

    def padded(text: str) -> str:
        return " " * (whole - len(halves[text][0])) + text if text in halves else text

    return [[*row[:column], padded(row[column]), *row[column + 1 :]] for row in rows]


def _aside(line: Line) -> str:
    """What else is to be said of a line: pieces, volume, to taste, its own recipe."""
    said = [line.note] if line.note else []
    if line.lent:
        said.append("lent: give as much back, not counted")
    if line.bought is not None:
        said.append(f"{display.weight(line.bought)} as bought")
    if line.count is not None:
        said.append(display.count(line.count, line.noun))
    if line.volume is not None:
        said.append(display.volume(line.volume))
    if line.weight is None and line.count is None and line.volume is None and not line.to_taste:
        said.append(f"written {line.written}")
    if line.to_taste:
        said.append("and to taste" if line.weight is not None else "to taste")
    if line.recipe is not None:
        said.append(
            f"from its own recipe, {line.recipe}" if line.recipe != line.name else "from its own recipe"
        )
    return ", ".join(said)


def _left_out(parts: Iterable[Part], pen: _Pen) -> None:
    rows = []
    for part in parts:
        for line in part.lines:
            if line.purpose is not None:
                figure, unit = _weight_cells(line)
                purpose = f"{line.purpose}" if line.purpose.startswith("for ") else f"for {line.purpose}"
                rows.append([figure, unit, line.name, purpose, _aside(line)])
    if rows:
        pen.title("out of the ratios and the yield")
        pen.columns([False, False, False, False, False], _points_aligned(rows, 0))


def _ratios(ratios: Iterable[Ratio], pen: _Pen) -> None:
    rows = [
        [
            ratio.name + (f", {ratio.word}" if ratio.word else ""),
            display.percent(ratio.value),
            f"of {ratio.basis}",
            _verdict(ratio),
        ]
        for ratio in ratios
    ]
    if rows:
        pen.title("ratios")
        pen.columns([False, True, False, False], rows)


def _verdict(ratio: Ratio) -> str:
    if ratio.usual is None:
        return ratio.verdict or ""
    held = display.ratio_range(ratio.usual.low, ratio.usual.high)
    whose = f" ({ratio.usual_from})" if ratio.usual_from else ""
    return f"{ratio.verdict or 'usual'} {held}{whose}"


# ---------------------------------------------------------------- the method


def _method(batch: Batch, pen: _Pen) -> None:
    if not batch.steps:
        return
    pen.title("method in short")
    for step in batch.steps:
        pen.line(f"{step.number}. {step.name}{_clauses(step)}")
        said = "; ".join(_facts(step, batch))
        if said:
            pen.line(said, indent=_INDENT + len(f"{step.number}. "))


def _clauses(step: Step) -> str:
    said = []
    if step.part:
        said.append(f"for {step.part}")
    if step.during is not None:
        said.append(f"during {step.during}")
    if step.after:
        said.append(f"after {display.listed([str(number) for number in step.after])}")
    return f" ({', '.join(said)})" if said else ""


def _facts(step: Step, batch: Batch) -> Iterator[str]:
    for line in step.lines:
        for run in line:
            said = _fact(run, batch)
            if said:
                yield said


def _fact(run: Run, batch: Batch) -> str:
    scale = batch.asked.temperatures
    match run:
        case DrawRun():
            # An amount in the cook's own words is true of the batch as written only.
            own = batch.asked.times != 1 and run.text[:1].isdigit()
            said = f"the {run.name}" if own else run.text
            return f"{said}, {_drawn(run)}" if _drawn(run) else said
        case DurationRun():
            limit = f"{run.limit} " if run.limit else ""
            return f"{limit}{_span(run.duration)}{' hands-off' if run.hands_off else ''}"
        case TurnsRun():
            every = f", every {_span(run.every)}" if run.every else ""
            return f"{display.count_range(run.times.low, run.times.high)} times{every}"
        case TemperatureRun():
            heat = display.temperature(run.temperature.low, run.temperature.high, scale, minimum=run.minimum)
            place = f" {run.place}" if run.place else ""
            of = f" of the {run.of.removeprefix('the ')}" if run.of else ""
            return f"{heat}{place}{of}"
        case ChangeRun():
            # A limit on cooling or warming is never rounded to the side that is laxer.
            cooling = run.within and run.end.low < run.start.low
            warming = run.within and not cooling
            start = display.temperature(
                run.start.low, run.start.high, scale, minimum=cooling, maximum=warming
            )
            end = display.temperature(run.end.low, run.end.high, scale, minimum=warming, maximum=cooling)
            return f"{start} to {end} {'within' if run.within else 'in'} {_span(run.duration)}"
        case LoadRun():
            loads = f", {display.count_range(run.loads.low, run.loads.high)} loads" if run.loads else ""
            return f"{display.count_range(run.at_a_time.low, run.at_a_time.high)} at a time{loads}"
        case MeasureRun():
            return run.text
        case _:
            return ""


def _drawn(run: DrawRun) -> str:
    said = []
    if run.count is not None:
        said.append(display.count(run.count, run.noun))
    if run.weight is not None:
        said.append(display.weight(run.weight, run.division))
    elif run.volume is not None:
        said.append(display.volume(run.volume))
    return ", ".join(said)


def _span(extent: Extent) -> str:
    return display.duration(extent.low, extent.high)


# ---------------------------------------------------------------- the water for a dough


def _waters(batch: Batch, pen: _Pen) -> None:
    scale = batch.asked.temperatures
    for water in batch.waters:
        target = display.temperature(water.target.low, water.target.high, scale)
        pen.title(f"water for step {water.step}, to a dough of {target}")
        rows = [
            [f"{water.liquid}, {name}", _water(found, scale)]
            for found, name in ((water.by_rule, "bench rule"), (water.by_balance, "by weight and warmth"))
            if found is not None
        ]
        if water.ice is not None:
            low, high = display.weight(water.ice.low), display.weight(water.ice.high)
            ice = low if low == high else f"{low} to {high}"
            rows.append(["ice", f"{ice} of the {display.weight(water.water)} of {water.liquid}"])
        pen.columns([False, False], rows or [["water", NOT_KNOWN]])
        pen.line(", ".join(_worked_out_for(water, scale)))
        for assumed in water.assumed:
            pen.line(f"assumed: {assumed}")


def _water(found: Extent, scale: display.Degrees) -> str:
    """Water below nought is ice: then the grams of ice are what helps."""
    if found.low >= 0:
        return display.temperature(found.low, found.high, scale)
    most = max(found.high, Fraction(0))
    return f"below {display.temperature(most, most, scale)}"


def _worked_out_for(water: WaterFor, scale: display.Degrees) -> Iterator[str]:
    yield f"worked out for flour at {display.temperature(water.flour, water.flour, scale)}"
    yield f"a room at {display.temperature(water.room, water.room, scale)}"
    if water.friction:
        # A rise, not a reading: without the 32 in Fahrenheit.
        rise = water.friction * 9 / 5 if scale == "F" else water.friction
        yield f"friction {display.number(rise, 0)}{display.THIN}°{scale}"


def _times(batch: Batch, pen: _Pen) -> None:
    times = batch.times
    pen.title("time")
    if batch.steps and times.untimed == len(batch.steps):
        pen.line(f"{NOT_KNOWN}: no step says how long it takes")
        return
    rows = [
        ["hands-on", _span(times.hands_on)],
        ["hands-off", _span(times.hands_off)],
        ["from start to end", _span(times.elapsed)],
    ]
    pen.columns([False, False], rows)
    if times.untimed:
        steps = "1 step says" if times.untimed == 1 else f"{times.untimed} steps say"
        pen.line(f"{steps} no time, and none is counted for it")


# ---------------------------------------------------------------- who may not eat it, what can hurt


def _allergens(allergens: Allergens, pen: _Pen) -> None:
    law = "no food law named: all lists joined" if allergens.union else allergens.law
    pen.title(f"allergens ({law})")
    for allergen in allergens.contains:
        pen.line(f"contains {allergen.name}: {', '.join(allergen.foods)}", colour="bold")
    if allergens.may_contain:
        pen.line(f"may contain {display.listed(allergens.may_contain)}", colour="bold")
    if not allergens.contains:
        pen.line("no ingredient is stated to contain one")
    if allergens.not_stated:
        pen.line(f"not stated, so not known: {', '.join(allergens.not_stated)}", colour="yellow")


def _cautions(batch: Batch, pen: _Pen) -> None:
    waived = [waiver for waiver in batch.waived if waiver.safety]
    if not batch.cautions and not waived:
        return
    pen.title("take care")
    for caution in batch.cautions:
        where = "" if caution.step is None else f"step {caution.step}: "
        source = f" ({caution.source})" if caution.source else ""
        pen.line(f"{where}{caution.text}{source}", colour="yellow")
    for waiver in waived:
        pen.line(f"check waived, {waiver.rule}: {waiver.reason}", colour="yellow")


def _keeping(batch: Batch, pen: _Pen) -> None:
    if not batch.keeps and not batch.reheats:
        return
    pen.title("afterwards")
    for keeps in batch.keeps:
        pen.line(f"keeps {keeps.words}")
    if batch.reheats:
        pen.line(f"reheat {batch.reheats}")


# ---------------------------------------------------------------- the money


def _cost(cost: Cost, pen: _Pen) -> None:
    pen.title(in_currency("cost", cost.currency, ", "))
    if settled(cost).total is None:
        pen.line(f"{NOT_KNOWN} ({without(cost)})" if cost.lines else NOT_KNOWN)
    else:
        said = [f"{display.money(cost.total, cost.currency, digits(cost.currency))} for the batch"]
        for value, what in (
            (cost.each, each_words(cost)),
            (cost.portion, "a portion"),
            (cost.per_100_g, _PER_100_G),
        ):
            if value is not None:
                said.append(f"{display.money(value, cost.currency, small_places(cost.currency))} {what}")
        pen.line("; ".join(said) + (f" ({without(cost)})" if not cost.complete else ""))
    for own in cost.shops_own:
        said = [
            f"{display.money(value, cost.currency, small_places(cost.currency))} {what}"
            for value, what in ((own.each, "each"), (own.per_100_g, _PER_100_G))
            if value is not None
        ]
        said.append(price_words(own.price, cost.currency))
        pen.line(f"the shop's own, {own.item}: {'; '.join(said)}")
