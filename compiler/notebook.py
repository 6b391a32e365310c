"""The notebook pays back: trials held against what was worked out, and this kitchen's own figures out of them.

Plain data and arithmetic, exact, in the units of the Batch. Nothing is changed by itself: from THREE trials on a figure
of the kitchen's own is offered, with the line to paste. It is the median, so that one odd day does not move it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Final, Literal

from benchproof.compiler import display, quantities
from benchproof.compiler.batch import Batch, Extent, Loss
from benchproof.compiler.syntax import Block, Count, DatedHeading, Measure, Measured

VERSION: Final = 1

THREE: Final = 3
"""Trials before a figure is offered: our own choice."""

_MOST_LOST: Final = Fraction(60)
"""Per hundred. What lost more in the oven was not all weighed: our own choice."""

_MOST_FRICTION: Final = Fraction(30)
"""Degrees Celsius. A factor beyond it, or below nought, is a thermometer misread: our own choice."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What a trial measured: `made` pieces, `weighed` g (`after_losses` where baked), degrees Celsius, seconds."""

    date: str
    made: Fraction | None
    weighed: Fraction | None
    after_losses: bool
    water: Extent | None
    dough: Extent | None
    took: Extent | None


@dataclass(frozen=True, slots=True)
class Held:
    """A trial beside what was worked out for as much as it made.

    `times` is how much of the recipe as written that is; None where the trial does not say, and then what hangs on it
    is None too. `loss` is the trial's own, per hundred, of what the last loss of the recipe takes; `friction` its own
    factor by the bench rule.
    """

    trial: Trial
    noun: str | None
    times: Fraction | None
    weight: Fraction | None
    water: Extent | None
    dough: Extent | None
    elapsed: Extent | None
    loss: Fraction | None
    friction: Fraction | None


@dataclass(frozen=True, slots=True)
class Own:
    """A figure of this kitchen's own, from `trials` of them.

    `loss` is per hundred, `friction` in degrees Celsius, `time` in seconds; `median`, `low` and `high` are exact, and
    `stated` is what the files say now. `line` is what to paste, and `where` it goes; empty where it is written already.
    `left_out` trials had a figure that cannot be. `note` says what the figure rests on.
    """

    what: Literal["loss", "friction", "time"]
    trials: int
    left_out: int
    median: Fraction
    low: Fraction
    high: Fraction
    stated: Extent | None
    line: str
    where: str
    note: str


@dataclass(frozen=True, slots=True)
class Notebook:
    """The trials that measured something, the oldest first, and the figures they give.

    `silent` trials measured nothing.
    """

    recipe: str
    temperatures: Literal["C", "F"]
    held: tuple[Held, ...]
    silent: int
    own: tuple[Own, ...]
    version: int = VERSION


def read_trials(blocks: Iterable[Block], measures: str) -> list[Trial]:
    """The trials of a recipe, by their dates. What could not be read is not there."""
    found: list[Trial] = []
    for block in blocks:
        if not isinstance(block.heading, DatedHeading):
            continue
        weighed = _measured(block, "weighed", "mass", measures)
        entry = block.entry("weighed")
        made = block.entry("made")
        found.append(
            Trial(
                block.heading.date.text,
                made.value.number.low if made is not None and isinstance(made.value, Count) else None,
                weighed.low if weighed is not None else None,
                entry is not None and bool(getattr(entry.value, "after_losses", False)),
                _measured(block, "water", "temperature", measures),
                _measured(block, "dough", "temperature", measures),
                _measured(block, "took", "time", measures),
            )
        )
    return sorted(found, key=lambda one: one.date)


def _measured(block: Block, label: str, dimension: str, measures: str) -> Extent | None:
    entry = block.entry(label)
    if entry is None or not isinstance(entry.value, Measure | Measured):
        return None
    quantity = entry.value.quantity
    return Extent(*quantities.extent(quantity, measures)) if quantity.dimension == dimension else None


def notebook(
    written: Batch,
    scaled: Fraction,
    before_scaling: Sequence[bool],
    friction: Sequence[tuple[str, Fraction]],
    trials: Sequence[Trial],
    batch_of: Callable[[Fraction], Batch | None],
) -> Notebook:
    """Hold trials against a recipe.

    `written` is the recipe as written; `scaled` g of it stand on the scale when the pieces are weighed off, and
    `before_scaling` says of each of its losses whether it comes before that. `friction` is what the kitchen says of it,
    in its own words. `batch_of` gives the batch of so many times the recipe.
    """
    book = _Book(written, scaled, before_scaling, friction)
    measured = [one for one in trials if one.weighed or one.water or one.dough or one.took]
    held = tuple(book.held(one, batch_of) for one in measured)
    own = (book.own_loss(held), book.own_friction(held), book.own_time(held))
    return Notebook(
        written.recipe,
        written.asked.temperatures,
        held,
        len(trials) - len(measured),
        tuple(one for one in own if one is not None),
    )


class _Book:
    def __init__(
        self,
        written: Batch,
        scaled: Fraction,
        before_scaling: Sequence[bool],
        friction: Sequence[tuple[str, Fraction]],
    ) -> None:
        self.batch = written
        self.scaled = scaled
        self.ways = tuple(friction)
        self.water = written.waters[0] if len(written.waters) == 1 else None
        after = [
            number
            for number, (_, early) in enumerate(zip(written.makes.losses, before_scaling, strict=True))
            if not early
        ]
        self.last = after[-1] if after else None

    # ------------------------------------------------------------ one trial

    def held(self, trial: Trial, batch_of: Callable[[Fraction], Batch | None]) -> Held:
        makes = self.batch.makes
        whole = makes.count if makes.count is not None else self.batch.serves
        times = trial.made / whole if trial.made and whole else None
        batch = batch_of(times) if times is not None else None
        timed = batch is not None and batch.times.untimed < len(batch.steps)
        each = makes.finished if trial.after_losses else self.scaled
        return Held(
            trial,
            makes.noun,
            times,
            each * times if trial.weighed and times is not None else None,
            (self.water.by_rule or self.water.by_balance) if self.water and trial.water else None,
            self.water.target if self.water and trial.dough else None,
            batch.times.elapsed if batch is not None and timed and trial.took else None,
            self._loss(trial, times),
            self._friction(trial),
        )

    def _before_last(self) -> Fraction:
        """g just before the last loss or gain, in the recipe as written."""
        if self.last is None:
            return self.scaled
        return self.batch.makes.finished / _factor(self.batch.makes.losses[self.last])

    def _loss(self, trial: Trial, times: Fraction | None) -> Fraction | None:
        """Per hundred of what went in; for a gain, of what came on top."""
        whole = self._before_last()
        if not trial.weighed or not trial.after_losses or not times or not whole:
            return None
        left = trial.weighed * 100 / (whole * times)
        return left - 100 if self._gains() else 100 - left

    def _gains(self) -> bool:
        return self.last is not None and self.batch.makes.losses[self.last].gain

    def _friction(self, trial: Trial) -> Fraction | None:
        """The factor that explains the dough a trial had from the water it took, by the bench rule.

        `factors x dough - known - water`, where the known temperatures are those the recipe was worked out with.
        Source: as `heat.bench_rule`, turned round.
        """
        water = self.water
        if water is None or water.by_rule is None or trial.water is None or trial.dough is None:
            return None
        factors = self._factors()
        known = factors * water.target.low - water.by_rule.low - water.friction
        return factors * _middle(trial.dough) - known - _middle(trial.water)

    def _factors(self) -> int:
        """Three, or four with a preferment or starter in the dough."""
        for part in self.batch.parts:
            if part.role == "preferment" or any(
                line.kind == "starter" and line.purpose is None for line in part.lines
            ):
                return 4
        return 3

    # ------------------------------------------------------------ all of them

    def own_loss(self, held: Iterable[Held]) -> Own | None:
        found = [one.loss for one in held if one.loss is not None]
        most = Fraction(10**6) if self._gains() else _MOST_LOST
        good = sorted(one for one in found if 0 <= one <= most)
        if len(good) < THREE:
            return None
        losses = self.batch.makes.losses
        stated = losses[self.last].percent if self.last is not None else None
        middle = _median(good)
        shown = _number(middle)
        gains = self._gains()
        words = losses[self.last].words if self.last is not None else "in the bake"
        pieces = [
            f"{shown if number == self.last else _range(loss.percent)} % {loss.words}"
            for number, loss in enumerate(losses)
            if loss.gain == gains
        ]
        if self.last is None:
            pieces.append(f"{shown} % {words}")
        same = stated is not None and shown == _range(stated)
        return Own(
            "loss",
            len(good),
            len(found) - len(good),
            middle,
            good[0],
            good[-1],
            stated,
            "" if same else f"{'gains' if gains else 'loses'}: {', '.join(pieces)}",
            f"under `recipe {self.batch.recipe}`",
            "of the trials that say how many were made and what they weighed baked or cooked",
        )

    def own_friction(self, held: Iterable[Held]) -> Own | None:
        found = [one.friction for one in held if one.friction is not None]
        good = sorted(one for one in found if 0 <= one <= _MOST_FRICTION)
        if len(good) < THREE or self.water is None:
            return None
        middle = _median(good)
        shown = _number(middle, places=0)
        used = self.water.friction
        ways = list(self.ways)
        at = next((number for number, (_, factor) in enumerate(ways) if factor == used), None)
        same = at is not None and shown == _number(used, places=0)
        pieces = [
            f"{shown if number == at else _number(factor)} C {words}".rstrip()
            for number, (words, factor) in enumerate(ways)
        ]
        line = f"friction: {', '.join(pieces)}" if at is not None else f"friction: {shown} C"
        return Own(
            "friction",
            len(good),
            len(found) - len(good),
            middle,
            good[0],
            good[-1],
            Extent(used, used) if at is not None else None,
            "" if same else line,
            "in the `kitchen` block",
            f"by the bench rule, with flour at {_number(self.water.flour)} C and a room at "
            f"{_number(self.water.room)} C on each of the days",
        )

    def own_time(self, held: Iterable[Held]) -> Own | None:
        good = sorted(
            _middle(one.trial.took) for one in held if one.trial.took is not None and one.times in (None, 1)
        )
        if len(good) < THREE:
            return None
        times = self.batch.times
        known = self.batch.steps and times.untimed < len(self.batch.steps)
        most = Fraction(ceil(good[-1] / 300) * 300)  # to the next five minutes, so that no trial broke it
        limit = " ".join(display.duration(most).split())
        return Own(
            "time",
            len(good),
            0,
            _median(good),
            good[0],
            good[-1],
            times.elapsed if known else None,
            f"total time: at most {limit}",
            f"in the `expect` block of {self.batch.recipe}",
            "of the trials that made the recipe as written, or do not say; which step took longer they do not tell",
        )


def _factor(loss: Loss) -> Fraction:
    share = _middle(loss.percent) / 100
    return 1 + share if loss.gain else 1 - share


def _middle(extent: Extent) -> Fraction:
    return (extent.low + extent.high) / 2


def _median(ordered: Sequence[Fraction]) -> Fraction:
    """The middle one, or between the two in the middle. `ordered` has at least one."""
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def _number(value: Fraction, *, places: int = 1) -> str:
    """As the language writes it."""
    text = display.number(display.rounded(value, places), places).replace(display.MINUS, "-")
    return text.removesuffix(".0")


def _range(extent: Extent) -> str:
    low, high = (_number(value, places=2).rstrip("0").rstrip(".") for value in (extent.low, extent.high))
    return low if low == high else f"{low}-{high}"
