"""The method: what each step draws from the formula, how long it takes, and whether the books balance.

Over the whole method every ingredient line of every part is drawn exactly once. A ledger keeps, for each
line, how much of it is gone and which step took it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Final

from benchproof.compiler import display, quantities
from benchproof.compiler.batch import (
    ChangeRun,
    DrawRun,
    DurationRun,
    Extent,
    LoadRun,
    MeasureRun,
    Run,
    TemperatureRun,
    TextRun,
    TurnsRun,
)
from benchproof.compiler.findings import Also, Edit, Finding
from benchproof.compiler.food import INNER_WORDS
from benchproof.compiler.formula import Formula, FormulaPart, Item
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.suggest import cut_short, few, nearest, sure_slip
from benchproof.compiler.syntax import (
    Block,
    ChangeFact,
    Draw,
    DurationFact,
    Fact,
    LoadFact,
    MeasureFact,
    Name,
    Numbered,
    Numeric,
    ProseLine,
    Quantity,
    Share,
    StepHeading,
    TemperatureFact,
    Text,
    TurnsFact,
    Unread,
    name_key,
)

ONE: Final = Fraction(1)
NOUGHT: Final = Fraction(0)

_NAMED: Final = 3
"""How many earlier steps a message names, and points at."""

_HALVES: Final = frozenset({"yolk", "white"})
"""Parts that together are the whole piece: taking one leaves the other over."""


@dataclass(slots=True)
class Account:
    """How much of one line is gone, as shares of it, and by whom.

    `gone` is what went whole; `inner` what was taken from inside the other pieces, each word apart.
    """

    gone: Fraction = NOUGHT
    takers: list[tuple[str, Span]] = field(default_factory=list)
    lost: bool = False
    """A draw of it could not be weighed, and has a finding: the rest of its books are not judged."""
    inner: dict[str, Fraction] = field(default_factory=dict)

    @property
    def left(self) -> Fraction:
        """What can still be taken whole."""
        return ONE - self.gone - max(self.inner.values(), default=NOUGHT)

    def left_of(self, word: str) -> Fraction:
        """What can still be taken of one inner word."""
        return ONE - self.gone - self.inner.get(word, NOUGHT)

    @property
    def over(self) -> tuple[str, ...]:
        """The halves of pieces whose other half was taken."""
        if not _HALVES & self.inner.keys():
            return ()
        return tuple(sorted(half for half in _HALVES if self.left_of(half) > 0))

    @property
    def settled(self) -> bool:
        """Whether nothing is left over: a lemon's juice or its zest settles it, an egg needs both halves."""
        if self.lost:
            return True
        return not self.over if _HALVES & self.inner.keys() else self.left <= 0


@dataclass(frozen=True, slots=True)
class Drawn:
    """One draw, resolved: `share` of the line (None where the line has no weight)."""

    item: Item | None
    part: FormulaPart | None
    share: Fraction | None
    weight: Fraction | None
    count: Fraction | None
    whole: bool
    index: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class Piece:
    """An unbroken piece of work or waiting in a step, in seconds, every load counted."""

    duration: Extent
    hands_off: bool


@dataclass(frozen=True, slots=True)
class StepMethod:
    """A step worked out: its prose as runs, the pieces of time in it, and what it waits for."""

    number: int
    name: Name
    part: Name | None
    block: Block
    after: tuple[int, ...]
    during: int | None
    lines: tuple[tuple[Run, ...], ...]
    pieces: tuple[Piece, ...]
    draws: tuple[Drawn, ...]

    @property
    def hands_on(self) -> Extent:
        return self._sum(hands_off=False)

    @property
    def hands_off(self) -> Extent:
        return self._sum(hands_off=True)

    def _sum(self, *, hands_off: bool) -> Extent:
        total = Extent(NOUGHT, NOUGHT)
        for piece in self.pieces:
            if piece.hands_off is hands_off:
                total += piece.duration
        return total


@dataclass(frozen=True, slots=True)
class Method:
    steps: tuple[StepMethod, ...]
    findings: tuple[Finding, ...]


def method(
    formula: Formula,
    factor: Fraction,
    pieces: Fraction,
    measures: str,
    division: Callable[[Fraction], Fraction | None],
) -> Method:
    """Work the steps out for a batch `factor` times what is written, in `pieces` times as many pieces.

    `division` tells the step of the scale for a weight in g.
    """
    return _Reader(formula, factor, pieces, measures, division).read()


class _Reader:
    def __init__(
        self,
        formula: Formula,
        factor: Fraction,
        pieces: Fraction,
        measures: str,
        division: Callable[[Fraction], Fraction | None],
    ) -> None:
        self.formula = formula
        self.factor = factor
        self.pieces = pieces
        self.measures = measures
        self.division = division
        self.findings: list[Finding] = []
        self.accounts = {
            (number, index): Account()
            for number in formula.drawable
            for index in range(len(formula.parts[number].items))
        }
        self.part_accounts = [Account() for _ in formula.parts]

    def read(self) -> Method:
        blocks = [block for block in self.formula.recipe.steps if isinstance(block.heading, StepHeading)]
        self.step_parts = {
            heading.part.key
            for block in blocks
            if isinstance(heading := block.heading, StepHeading) and heading.part
        }
        self.unread_names = {
            name_key(line.span.text.partition(":")[0])
            for block in self.formula.recipe.ingredients
            for line in block.lines
            if isinstance(line, Unread)
        }
        self.unread_prose = [
            name_key(line.span.text)
            for block in self.formula.recipe.steps
            for line in block.lines
            if isinstance(line, Unread)
        ]
        steps: list[StepMethod] = []
        for number, block in enumerate(blocks, 1):
            self._same_name(block, steps)
            steps.append(self._step(number, block, steps))
        if steps:
            self._balance()
        return Method(tuple(steps), tuple(self.findings))

    # ------------------------------------------------------------ one step

    def _same_name(self, block: Block, above: list[StepMethod]) -> None:
        heading = block.heading
        assert isinstance(heading, StepHeading)
        twin = next((step for step in above if step.name.key == heading.name.key), None)
        if twin is not None:
            self.findings.append(
                find(
                    "defined-twice",
                    heading.name.span,
                    f"Two steps of this recipe are called “{heading.name.text}”.",
                    "Give one of them another name: `after` and `during` could mean either.",
                    also=(Also(twin.name.span, "the other one stands here"),),
                )
            )

    def _step(self, number: int, block: Block, above: list[StepMethod]) -> StepMethod:
        heading = block.heading
        assert isinstance(heading, StepHeading)
        after, during = self._clauses(heading, above)
        if heading.part is not None and self._part(heading.part) is None:
            self._unknown_part(heading.part)
        pieces: list[Piece] = []
        draws: list[Drawn] = []
        lines = tuple(tuple(self._line(line, heading, pieces, draws)) for line in block.prose())
        return StepMethod(
            number, heading.name, heading.part, block, after, during, lines, tuple(pieces), tuple(draws)
        )

    def _clauses(self, heading: StepHeading, above: list[StepMethod]) -> tuple[tuple[int, ...], int | None]:
        known = {step.name.key: step.number for step in above}
        during: int | None = None
        if heading.during is not None:
            during = known.get(heading.during.key)
            if during is None:
                self._unknown_step(heading.during, above)
        if heading.after is not None:
            return self._cut(heading.after, above, known), during
        if heading.during is not None:
            return (), during
        closed = {number for step in above for number in step.after}
        return tuple(step.number for step in above if step.number not in closed), None

    def _cut(self, phrase: Name, above: list[StepMethod], known: dict[str, int]) -> tuple[int, ...]:
        """The steps named in `A, B and C`: a step's own name may hold `and`."""
        names = sorted(known, key=len, reverse=True)
        key = phrase.key

        @cache
        def cut(text: str) -> list[str] | None:
            if not text:
                return []
            text = text.removeprefix("the ")
            for name in names:
                if text == name:
                    return [name]
                if text.startswith(name) and (
                    joint := re.match(r"\s*,\s*and\s+|\s*,\s*|\s+and\s+", text[len(name) :])
                ):
                    rest = cut(text[len(name) + joint.end() :])
                    if rest:
                        return [name, *rest]
            return None

        found = cut(key)
        if found is not None:
            return tuple(known[name] for name in found)
        numbers = []
        for word in re.split(r"\s*,\s*and\s+|\s*,\s*|\s+and\s+", phrase.text):
            if name_key(word) in known:
                numbers.append(known[name_key(word)])
            else:
                start = phrase.text.index(word)
                self._unknown_step(Name(word, phrase.span.part(start, start + len(word))), above)
        return tuple(numbers)

    def _unknown_step(self, name: Name, above: list[StepMethod]) -> None:
        names = [step.name.text for step in above]
        later = any(
            isinstance(block.heading, StepHeading) and block.heading.name.key == name.key
            for block in self.formula.recipe.steps
        )
        near = nearest(name.text, names)
        sure = sure_slip(name.text, names)
        if later:
            help = "A step can only wait for one that stands above it: change their order."
        elif near:
            help = f"Did you mean “{near[0]}”?"
        else:
            help = f"The steps above are: {few(names)}." if names else "There is no step above it."
        self.findings.append(
            find(
                "unknown-step",
                name.span,
                f"No step above is called “{name.text}”.",
                help,
                edit=Edit(name.span, sure) if sure and not later else None,
            )
        )

    def _unknown_part(self, name: Name) -> None:
        names = [part.name.text for part in self.formula.parts if part.name]
        near = nearest(name.text, names)
        sure = sure_slip(name.text, names)
        self.findings.append(
            find(
                "unknown-part",
                name.span,
                f"No list of ingredients is for “{name.text}”.",
                f"Did you mean “{near[0]}”?"
                if near
                else f"Write `ingredients for the {name.text}` above its list, or leave the `for` out.",
                edit=Edit(name.span, sure) if sure else None,
            )
        )

    def _line(
        self, line: ProseLine, heading: StepHeading, pieces: list[Piece], draws: list[Drawn]
    ) -> Iterator[Run]:
        loads: Extent | None = None
        for piece in line.pieces:
            if isinstance(piece, Text):
                yield TextRun(piece.text)
                continue
            text = fact_text(piece)
            match piece:
                case Draw():
                    yield self._draw(piece, text, heading, draws)
                case Numbered():
                    yield self._numbered(piece, text, heading, draws)
                case DurationFact():
                    yield self._duration(piece, text, loads, pieces)
                case TurnsFact():
                    yield self._turns(piece, text, pieces)
                case TemperatureFact():
                    yield TemperatureRun(
                        text,
                        self._extent(piece.temperature),
                        piece.place,
                        piece.of.text if piece.of else None,
                        minimum=piece.place == "core",
                    )
                case ChangeFact():
                    yield self._change(piece, text, pieces)
                case LoadFact():
                    run = self._load(piece, text)
                    loads = run.loads
                    yield run
                case MeasureFact():
                    yield self._measure(piece, text)

    # ------------------------------------------------------------ times, loads, measures

    def _extent(self, quantity: Quantity) -> Extent:
        return Extent(*quantities.extent(quantity, self.measures))

    def _duration(
        self, fact: DurationFact, text: str, loads: Extent | None, pieces: list[Piece]
    ) -> DurationRun:
        duration = self._extent(fact.duration)
        if fact.limit != "up to":
            spent = duration
            if loads is not None:
                spent = Extent(duration.low * loads.low, duration.high * loads.high)
            pieces.append(Piece(spent, fact.hands_off))
        return DurationRun(text, duration, fact.hands_off, fact.limit)

    def _turns(self, fact: TurnsFact, text: str, pieces: list[Piece]) -> TurnsRun:
        times = Extent(fact.times.low, fact.times.high)
        every = self._extent(fact.every) if fact.every is not None else None
        if every is not None:
            pieces.append(Piece(Extent(times.low * every.low, times.high * every.high), True))
        return TurnsRun(text, times, every)

    def _change(self, fact: ChangeFact, text: str, pieces: list[Piece]) -> ChangeRun:
        duration = self._extent(fact.duration)
        if not fact.within:
            pieces.append(Piece(duration, True))
        return ChangeRun(text, self._extent(fact.start), self._extent(fact.end), duration, fact.within)

    def _load(self, fact: LoadFact, text: str) -> LoadRun:
        number = fact.number
        makes = self.formula.makes
        count = makes.count.low if makes and makes.count else self.formula.serves
        if count is None or not number.low:
            self.findings.append(
                find(
                    "load-of-unknown",
                    fact.span,
                    f"“{text}”, but nothing says how many there are in all.",
                    "Say it in `makes: 12 rounds` or `serves: 4`.",
                )
            )
            return LoadRun(text, Extent(number.low, number.high), None)
        count *= self.pieces
        loads = Extent(Fraction(math.ceil(count / number.high)), Fraction(math.ceil(count / number.low)))
        return LoadRun(text, Extent(number.low, number.high), loads)

    def _measure(self, fact: MeasureFact, text: str) -> MeasureRun:
        makes = self.formula.makes
        count: Fraction | None = None
        if fact.kind == "pieces" and fact.number is not None:
            count = self._pieces(fact.number, fact.span)
        elif fact.kind in ("the-pieces", "each-piece") and makes and makes.count:
            count = makes.count.low * self.pieces
        return MeasureRun(
            text,
            tuple(self._extent(length) for length in fact.lengths),
            count,
            makes.noun.text if count is not None and makes and makes.noun else None,
            self._extent(fact.quantity) if fact.quantity is not None else None,
        )

    def _pieces(self, number: Numeric, span: Span) -> Fraction:
        """A count of pieces in the prose, which must be the yield's where the yield counts pieces."""
        makes = self.formula.makes
        if makes and makes.count and makes.count.low != number.low:
            self.findings.append(
                find(
                    "pieces-differ",
                    span,
                    f"“{span.text.strip('[]')}” here, but the recipe makes {makes.span.text}.",
                    "Make the two agree, or write `[the pieces]`.",
                    also=(Also(makes.span, "what it makes"),),
                )
            )
        return number.low * self.pieces

    # ------------------------------------------------------------ draws

    def _draw(self, fact: Draw, text: str, heading: StepHeading, draws: list[Drawn]) -> DrawRun:
        drawn, name = self._take(fact.share, fact.name, fact.span, heading)
        if drawn is not None:
            draws.append(drawn)
        return self._draw_run(text, drawn, name)

    def _draw_run(self, text: str, drawn: Drawn | None, name: str) -> DrawRun:
        if drawn is None:
            return DrawRun(text, name, None, None, None, None, None, False, None)
        item = drawn.item
        weight = drawn.weight * self.factor if drawn.weight is not None else None
        count = drawn.count * self.factor if drawn.count is not None else None
        volume = None
        if item is not None and item.volume is not None and drawn.share is not None:
            volume = item.volume * drawn.share * self.factor
        return DrawRun(
            text,
            name,
            weight,
            count,
            item.noun if item else None,
            volume,
            self.division(weight) if weight is not None else None,
            drawn.whole,
            drawn.index,
        )

    def _numbered(self, fact: Numbered, text: str, heading: StepHeading, draws: list[Drawn]) -> Run:
        """A number, then words: a name that begins with a number, the pieces made, or a slip."""
        if self._lines(fact.raw, heading)[0] or self._part(fact.raw) is not None:
            return self._draw(Draw(Share("all-left"), fact.raw, fact.span), text, heading, draws)
        makes = self.formula.makes
        if isinstance(fact.number, Numeric) and makes and makes.noun and fact.words.key == makes.noun.key:
            count = self._pieces(fact.number, fact.span)
            return MeasureRun(text, (), count, makes.noun.text, None)
        listed = bool(self._lines(fact.words, heading)[0])
        number = text[: len(text) - len(fact.words.text)].strip()
        mend = f"{number} of the {fact.words.text.removeprefix('the ')}"
        if listed:
            self.findings.append(
                find(
                    "number-needs-of",
                    fact.span,
                    f"“{text}” could be a name or an amount.",
                    f"To take an amount, write `[{mend}]`.",
                    edit=Edit(fact.span, f"[{mend}]" if fact.span.text.startswith("[") else mend),
                )
            )
        else:
            self._not_listed(fact.raw)
        return TextRun(text)

    def _part(self, name: Name) -> int | None:
        return next(
            (
                number
                for number, part in enumerate(self.formula.parts)
                if part.name is not None and part.name.key == name.key
            ),
            None,
        )

    def _lines(self, name: Name, heading: StepHeading) -> tuple[list[tuple[int, int]], str | None]:
        """The lines a name may mean, best first, and the purpose or part it said."""
        key = name.key
        found = self._matching(key)
        if found:
            return self._nearest_first(found, heading), None
        for cut in (match.start() for match in re.finditer(r" for ", key)):
            left, right = key[:cut].strip(), name_key(key[cut + 5 :])
            said = [at for at in self._matching(left) if self._said(at, right)]
            if said:
                return said, right
        return [], None

    def _matching(self, key: str) -> list[tuple[int, int]]:
        exact = [at for at in self.accounts if self._item(at).name.key == key]
        return exact or [at for at in self.accounts if key in self._item(at).keys]

    def _item(self, at: tuple[int, int]) -> Item:
        return self.formula.parts[at[0]].items[at[1]]

    def _said(self, at: tuple[int, int], right: str) -> bool:
        part = self.formula.parts[at[0]]
        purpose = self._item(at).purpose
        if purpose is not None and name_key(purpose[4:]) == right:
            return True
        return purpose is None and part.name is not None and part.name.key == right

    def _nearest_first(self, found: list[tuple[int, int]], heading: StepHeading) -> list[tuple[int, int]]:
        """The step's own part first, then the main formula, then others; purposes after the rest."""

        def rank(at: tuple[int, int]) -> tuple[bool, int]:
            part = self.formula.parts[at[0]]
            if heading.part is not None and part.name is not None and part.name.key == heading.part.key:
                near = 0
            else:
                near = 1 if part.role in ("main", "final") else 2
            return (self._item(at).purpose is not None, near)

        return sorted(found, key=rank)

    def _take(self, share: Share, name: Name, span: Span, heading: StepHeading) -> tuple[Drawn | None, str]:
        """Take a share of what a name means off its account."""
        lines, _ = self._lines(name, heading)
        word: str | None = None
        part = self._part(name)
        if part is not None and self._means_part(name, part, lines, heading):
            return self._take_part(part, share, name, span, heading), name.text
        if not lines:
            if part is not None:
                return self._take_part(part, share, name, span, heading), name.text
            word, inner = _part_word(name)
            if word is not None and inner is not None:
                lines, _ = self._lines(inner, heading)
        if not lines:
            self._not_listed(name)
            return None, name.text
        at = self._choose(lines, name, span, heading)
        item = self._item(at)
        if item.weight is None:
            self.accounts[at].takers.append((heading.name.text, span))
            self.accounts[at].gone = ONE
            return Drawn(item, None, None, None, None, True, at), item.name.text
        if word is not None:
            drawn = self._take_half(word, at, share, span, heading)
        else:
            drawn = self._take_share(at, share, span, heading)
        if drawn is None:
            self.accounts[at].lost = True
        return drawn, item.name.text

    def _means_part(self, name: Name, part: int, lines: list[tuple[int, int]], heading: StepHeading) -> bool:
        """Whether a part that is called as a food is meant: outside the part, unless a line has the very name.

        A line of the part's own is what its steps use up: outside them it is the part that is taken.
        """
        own = self.formula.parts[part].name
        assert own is not None
        if not lines or (heading.part is not None and heading.part.key == own.key):
            return False
        if not any(self._item(at).name.key == name.key for at in lines):
            return True
        return own.key in self.step_parts and all(at[0] == part for at in lines)

    def _choose(
        self, lines: list[tuple[int, int]], name: Name, span: Span, heading: StepHeading
    ) -> tuple[int, int]:
        first = lines[0]
        same = [at for at in lines if self._item(at).purpose is None]
        named_parts = {at[0] for at in same}
        own = self.formula.parts[first[0]]
        clear = own.role in ("main", "final") or (
            heading.part is not None and own.name is not None and own.name.key == heading.part.key
        )
        if len(named_parts) > 1 and not clear:
            names = [part.name.text for part in (self.formula.parts[n] for n in named_parts) if part.name]
            self.findings.append(
                find(
                    "which-part",
                    span,
                    f"“{name.text}” stands in more than one list: {few(names)}.",
                    f"Say which: `[{name.text} for the {names[0]}]`, or write `, for the {names[0]}` "
                    "after the step's name.",
                )
            )
        in_first = [at for at in lines if at[0] == first[0] and self._item(at).purpose is None]
        return next((at for at in in_first if self.accounts[at].left), first)

    def _take_share(
        self, at: tuple[int, int], share: Share, span: Span, heading: StepHeading
    ) -> Drawn | None:
        item, account = self._item(at), self.accounts[at]
        taken = self._amount(share, item, account, span)
        if taken is None:
            return None
        before = account.left
        if before <= 0:
            self._gone(item, account, span)
        elif taken > before:
            self._overdrawn(item, account, taken, span)
        account.takers.append((heading.name.text, span))
        account.gone += min(taken, max(before, NOUGHT))
        assert item.weight is not None
        return Drawn(
            item,
            None,
            taken,
            item.weight * taken,
            item.count * taken if item.count is not None else None,
            taken == ONE,
            at,
        )

    def _amount(self, share: Share, item: Item, account: Account, span: Span) -> Fraction | None:
        """A share as a fraction of the whole line."""
        left = account.left
        if not item.weight:
            return left  # of nothing, any amount is all of it
        if share.kind in ("all-left", "rest"):
            return left
        if share.kind == "all":
            return ONE
        if share.kind == "fraction":
            assert share.number is not None
            return share.number
        part: Fraction | None
        if share.quantity is not None:
            part = self._measured(share.quantity, item, span)
        else:
            assert share.number is not None
            part = self._counted(share.number, item, span)
        if part is None:
            return None
        if share.kind != "all-but":
            return part
        if part > left:
            self._overdrawn(item, account, part, span)
        return max(left - part, NOUGHT)

    def _measured(self, quantity: Quantity, item: Item, span: Span) -> Fraction | None:
        assert item.weight is not None
        amount = quantities.base(quantity.low, self.measures)
        if quantity.dimension == "mass":
            return amount / item.weight if item.weight else None
        if item.volume:
            return amount / item.volume
        if item.food is not None and item.food.density is not None and item.weight:
            return amount * item.food.density / item.weight
        self.findings.append(
            find(
                "cannot-be-weighed",
                span,
                f"{quantity.span.text} of {item.name.text} cannot be turned into a weight: nobody has said "
                "how heavy it is.",
                "Write grams, or give the ingredient a `density`.",
            )
        )
        return None

    def _counted(self, number: Fraction, item: Item, span: Span) -> Fraction | None:
        assert item.weight is not None
        if item.count:
            return number / item.count
        piece = item.food.piece_usable or item.food.piece if item.food else None
        if piece and item.weight:
            return number * piece / item.weight
        self.findings.append(
            find(
                "cannot-be-weighed",
                span,
                f"The list gives {item.name.text} by weight, and nobody has said how heavy one is.",
                "Write an amount with a unit, or give the ingredient a `piece`.",
            )
        )
        return None

    def _take_half(
        self, word: str, at: tuple[int, int], share: Share, span: Span, heading: StepHeading
    ) -> Drawn | None:
        """A part of each piece: yolks, whites, zest, juice."""
        item, account = self._item(at), self.accounts[at]
        assert item.weight is not None
        food = item.food
        weights = (
            next((food.word(one) for one in food.words if INNER_WORDS.get(one) == word), None)
            if food
            else None
        )
        if weights is None or not item.count:
            reason = (
                "the list does not count them"
                if weights is not None
                else f"nobody has said what its {word} weighs"
            )
            self.findings.append(
                find(
                    "cannot-be-weighed",
                    span,
                    f"The {word} of {item.name.text} cannot be told: {reason}.",
                    f"Count the {item.name.text} in the list, and say once for the kitchen: `ingredient "
                    f"{item.name.text}` with a line such as `{word}: 17 g`.",
                )
            )
            return None
        left = account.left_of(word)
        if share.kind == "quantity" and share.quantity is not None:
            taken = quantities.base(share.quantity.low, self.measures) / (weights[1] * item.count)
        elif share.kind in ("count", "all-but") and share.number is not None:
            part = share.number / item.count
            taken = left - part if share.kind == "all-but" else part
        elif share.kind == "fraction" and share.number is not None:
            taken = share.number
        else:
            taken = left
        if left <= 0:
            self._gone(item, account, span)
        elif taken > left or taken < 0:
            self._overdrawn(item, account, taken, span)
        account.inner[word] = account.inner.get(word, NOUGHT) + max(min(taken, left), NOUGHT)
        account.takers.append((heading.name.text, span))
        return Drawn(
            item,
            None,
            taken,
            weights[1] * item.count * taken,
            item.count * taken,
            False,
            at,
        )

    def _from(self, heading: StepHeading) -> Iterator[StepHeading]:
        """The headings of a step and of all below it."""
        headings = [block.heading for block in self.formula.recipe.steps]
        found = False
        for one in headings:
            found = found or one is heading
            if found and isinstance(one, StepHeading):
                yield one

    def _take_part(
        self, number: int, share: Share, name: Name, span: Span, heading: StepHeading
    ) -> Drawn | None:
        """A whole part by its name: what its own steps have made, or all its lines at once."""
        part = self.formula.parts[number]
        made = part.name is not None and part.name.key in self.step_parts
        self._made_first(part, name, span, heading)
        account = self.part_accounts[number]
        items = [(at, item) for at, item in enumerate(part.items) if not item.lent]
        lines = [self.accounts[number, at] for at, _ in items]
        weight = part.weight
        if not made:  # its lines may have been taken from already
            weight = sum(
                (
                    item.weight * max(line.left, NOUGHT)
                    for (_, item), line in zip(items, lines, strict=True)
                    if item.inside and item.weight
                ),
                NOUGHT,
            )
            if lines and not any(line.left > 0 for line in lines):
                account.gone = ONE
                account.takers = account.takers or [taker for line in lines for taker in line.takers]
        taken = self._part_share(share, account.left, weight)
        if account.left <= 0 or not 0 <= taken <= account.left:
            self._gone_part(name, account, span)
        share_of_rest = min(max(taken, NOUGHT) / account.left, ONE) if account.left else NOUGHT
        account.gone = min(account.gone + max(taken, NOUGHT), ONE)
        account.takers.append((heading.name.text, span))
        if not made:
            for line in lines:
                line.gone += share_of_rest * max(line.left, NOUGHT)
                line.takers.append((heading.name.text, span))
            return Drawn(None, part, taken, weight * share_of_rest, None, taken == ONE, None)
        return Drawn(None, part, taken, weight * taken, None, taken == ONE, None)

    def _part_share(self, share: Share, left: Fraction, weight: Fraction) -> Fraction:
        """A share of a part as a fraction of the whole of it."""
        if share.kind == "all":
            return ONE
        if share.kind == "fraction" and share.number is not None:
            return share.number
        if share.quantity is not None and weight:
            part = quantities.base(share.quantity.low, self.measures) / weight
            return ONE - part if share.kind == "all-but" else part
        return left

    def _made_first(self, part: FormulaPart, name: Name, span: Span, heading: StepHeading) -> None:
        """A part is taken only below the steps that make it."""
        maker = next(
            (
                step
                for step in self._from(heading)
                if part.name is not None and step.part is not None and step.part.key == part.name.key
            ),
            None,
        )
        if maker is not None:
            self.findings.append(
                find(
                    "drawn-before-made",
                    span,
                    f"“{name.text}” is taken here, but “{maker.name.text}” is still making it.",
                    "Put the steps that make it first, or take the brackets away if this only mentions it.",
                )
            )

    # ------------------------------------------------------------ findings

    def _not_listed(self, name: Name) -> None:
        if name.key in self.unread_names:
            return  # its line is there and has a finding of its own
        listed = [item.name.text for item in self.formula.items()]
        listed += [part.name.text for part in self.formula.parts if part.name]
        near = nearest(name.text.removeprefix("the "), listed)
        self._meant(name, listed)
        self.findings.append(
            find(
                "not-in-the-list",
                name.span,
                f"“{name.text}” is drawn here, but no list of this recipe has it.",
                self._inner_mend(name)
                or (f"Did you mean “{near[0]}”?" if near else "")
                or "Add it to `ingredients`; if it only mentions what is already in the bowl, take the brackets away.",
            )
        )

    def _meant(self, name: Name, listed: list[str]) -> None:
        """A known food whose name the step misspells is not told of again as left over."""
        meant = sure_slip(name.text.removeprefix("the "), listed)
        for at, account in self.accounts.items():
            item = self._item(at)
            if meant == item.name.text and (item.food is not None or item.product is not None):
                account.lost = True

    def _inner_mend(self, name: Name) -> str | None:
        """For `[the yolks]` or `[2 egg yolks]`: how a part of a piece is taken."""
        word = next((INNER_WORDS[one] for one in name.key.split() if one in INNER_WORDS), None)
        for item in self.formula.items():
            if word is not None and item.food is not None and word in item.food.words:
                what = f"{word}s" if word in _HALVES else word
                return f"Write `[the {what} of the {item.name.text}]`, or `[2 of the {what} of the {item.name.text}]`."
        return None

    @staticmethod
    def _takers(account: Account) -> str:
        names = list(dict.fromkeys(f"“{step}”" for step, _ in account.takers))
        if len(names) > _NAMED:
            return f"{', '.join(names[:_NAMED])} and other steps"
        return " and ".join(", ".join(names).rsplit(", ", 1)) if names else "an earlier step"

    def _also(self, account: Account) -> tuple[Also, ...]:
        return tuple(Also(span, f"taken here, in “{step}”") for step, span in account.takers[:_NAMED])

    def _gone(self, item: Item, account: Account, span: Span) -> None:
        if account.lost:
            return
        self.findings.append(
            find(
                "drawn-when-gone",
                span,
                f"No {item.name.text} is left to take here: {self._takers(account)} took all of it.",
                self._other_line(item, account)
                or "Take less of it there (`half the …`, `40 g of the …`), or take the brackets away if this "
                "only mentions it.",
                also=self._also(account),
            )
        )

    def _other_line(self, item: Item, account: Account) -> str:
        """Where another line of the same food is still there, how it is drawn."""
        other = next(
            (
                at
                for at, one in self.accounts.items()
                if one is not account and one.left == ONE and item.name.key in self._item(at).keys
            ),
            None,
        )
        if other is None or self._told_apart(other) == item.name.text:
            return ""
        where = "there" if self._item(other).purpose is not None else "here"
        written = " ".join(self._item(other).entry.span.text.split())
        return f"If {where} the other line is meant, `{written}`, write `[the {self._told_apart(other)}]`."

    def _gone_part(self, name: Name, account: Account, span: Span) -> None:
        self.findings.append(
            find(
                "drawn-when-gone",
                span,
                f"“{name.text}” has been used already, in {self._takers(account)}.",
                "Take a share of it there (`half the …`), or take the brackets away if this only mentions it.",
                also=self._also(account),
            )
        )

    def _overdrawn(self, item: Item, account: Account, taken: Fraction, span: Span) -> None:
        if account.lost:
            return
        counted = item.count is not None and item.noun is None
        of = "" if counted else " of"
        left = f"{_amount_of(item, account.left)} {'are' if counted else 'of it is'} left"
        before = f" after {self._takers(account)}" if account.takers else ""
        self.findings.append(
            find(
                "overdrawn-ingredient",
                span,
                f"This takes {_amount_of(item, taken)}{of} {item.name.text}, but only {left}{before}.",
                f"Write `[the rest of the {item.name.text}]`, or change the list or the other steps.",
                also=(Also(item.entry.span, "the line of the list"), *self._also(account)),
            )
        )

    def _balance(self) -> None:
        """What the method never took."""
        for at, account in self.accounts.items():
            item = self._item(at)
            if item.lent or account.settled or any(item.name.key in prose for prose in self.unread_prose):
                continue
            if account.over:
                rest = f"the {' and the '.join(f'{half}s' for half in account.over)}"
                message = f"The method leaves {rest} of the {item.name.text} over."
            elif account.takers and item.weight is not None:
                message = (
                    f"The method leaves {_amount_of(item, account.left)} of the {item.name.text} over: "
                    f"{self._takers(account)} took the rest."
                )
            else:
                message = f"No step takes the {item.name.text}."
            self.findings.append(
                find(
                    "left-over-ingredient",
                    item.entry.span,
                    message,
                    self._left_over_mend(at, account),
                    also=self._also(account),
                )
            )
        for number, part in enumerate(self.formula.parts):
            if part.name is None or part.name.key not in self.step_parts or len(self.formula.parts) < 2:
                continue
            if self.part_accounts[number].gone < ONE and self._needs_drawing(part):
                self.findings.append(
                    find(
                        "left-over-ingredient",
                        part.name.span,
                        f"Steps make the {part.name.text}, but none takes the whole.",
                        f"Put `[the {part.name.text}]` where it goes in.{self._named_plainly(part.name)}",
                    )
                )

    def _left_over_mend(self, at: tuple[int, int], account: Account) -> str:
        item = self._item(at)
        name = self._told_apart(at)
        whole, rest = f"`[the {name}]`", f"`[the rest of the {name}]`"
        return (
            f"Put {whole} or {rest} where it goes in, or take the line out."
            f"{'' if account.takers else self._named_plainly(item.name)}"
        )

    def _told_apart(self, at: tuple[int, int]) -> str:
        """What to call a line so that no other is meant: with its purpose, or its part's name."""
        item, part = self._item(at), self.formula.parts[at[0]]
        twins = [one for one in self.accounts if one != at and item.name.key in self._item(one).keys]
        if item.purpose is not None and twins:
            return f"{item.name.text} {item.purpose}"
        if part.name is not None and any(one[0] != at[0] for one in twins):
            return f"{item.name.text} for the {part.name.text.removeprefix('the ')}"
        return item.name.text

    def _named_plainly(self, name: Name) -> str:
        """Where the method names it in plain words, for a mend."""
        word = re.compile(rf"(?<![\w-]){re.escape(name.key)}(?![\w-])")
        for block in self.formula.recipe.steps:
            heading = block.heading
            for line in block.prose():
                for piece in line.pieces:
                    if (
                        isinstance(heading, StepHeading)
                        and isinstance(piece, Text)
                        and word.search(piece.text.casefold())
                    ):
                        return f" It is named in “{cut_short(heading.name.text)}” without brackets."
        return ""

    def _needs_drawing(self, part: FormulaPart) -> bool:
        """A part with its own steps goes into a later step, unless they are the last that take anything."""
        drawing = [block for block in self.formula.recipe.steps if _draws(block)]
        last = drawing[-1].heading if drawing else None
        return not (
            isinstance(last, StepHeading)
            and last.part is not None
            and part.name is not None
            and last.part.key == part.name.key
        )


def _draws(block: Block) -> bool:
    return any(isinstance(piece, Draw) for line in block.prose() for piece in line.pieces)


def _part_word(name: Name) -> tuple[str | None, Name | None]:
    """`yolks of the eggs` cut in two."""
    text = name.text.removeprefix("the ")
    head, of, _ = text.partition(" of ")
    word = INNER_WORDS.get(name_key(head))
    if not of or word is None:
        return None, None
    start = name.text.index(" of ") + 4
    return word, Name(name.text[start:], name.span.part(start, len(name.text)))


def fact_text(fact: Fact) -> str:
    """A fact as written, without its brackets."""
    return fact.span.text.removeprefix("[").removesuffix("]").strip()


def _amount_of(item: Item, share: Fraction) -> str:
    """A share of a line as a cook would say it: pieces where it is counted, else a weight."""
    if item.count is not None and item.noun is None:
        return display.count(item.count * share)
    assert item.weight is not None
    return display.weight(item.weight * share)
