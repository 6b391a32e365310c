"""What changed between two versions of a recipe, as a baker reads it: two Batches in, a Comparison out.

Ratios first, then what goes in, what comes of it, how it is made, how long that takes, what it costs, who may not eat
it and what can hurt. What is the same is not there, and two figures that are shown alike are the same. A batch that is
only larger is said once, as `size`; every amount is then held against that. Where a side has no Batch, its text is
compared instead, heading by heading.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from fractions import Fraction
from itertools import zip_longest
from typing import Final, Literal

from benchproof.compiler import display
from benchproof.compiler.batch import (
    Batch,
    ChangeRun,
    CostLine,
    DrawRun,
    DurationRun,
    Equipment,
    Extent,
    Line,
    LoadRun,
    MeasureRun,
    Part,
    PriceUsed,
    Run,
    Step,
    TemperatureRun,
    TextRun,
    TurnsRun,
    Yield,
)
from benchproof.compiler.comparison import (
    AllergenChange,
    Amount,
    CautionChange,
    Comparison,
    CostChange,
    FactChange,
    FactKind,
    FactRun,
    IngredientChange,
    PartChange,
    Passage,
    PriceChange,
    RatioChange,
    Seen,
    Side,
    StepChange,
    TextChange,
    TimeChange,
    YieldChange,
)
from benchproof.compiler.syntax import name_key

# ---------------------------------------------------------------- comparing


def compare(old: Side, new: Side) -> Comparison:
    """What changed from `old` to `new`. Whatever is missing on a side is said, and never a fault."""
    seen = (_seen(old), _seen(new))
    same = old.text is not None and old.text == new.text
    if old.text is None or new.text is None:
        return Comparison("nothing", *seen, same, _ONE)
    if old.batch is None or new.batch is None:
        return Comparison("texts", *seen, same, _ONE, texts=tuple(_texts(old.text, new.text)))
    return _Batches(old.batch, new.batch).comparison(*seen, same)


def _seen(side: Side) -> Seen:
    name = side.batch.recipe if side.batch is not None else None
    if name is None and side.text is not None:
        heading = next((one.heading for one in side.text if one.heading.startswith("recipe ")), "recipe ")
        name = heading.removeprefix("recipe ").strip()
    return Seen(side.what, name, side.batch is not None, side.why_not)


_ONE: Final = Fraction(1)
_NOUGHT: Final = Fraction(0)

_KINDS: Final[tuple[FactKind, ...]] = (
    "draw",
    "duration",
    "turns",
    "temperature",
    "change",
    "load",
    "measure",
)


class _Batches:
    """Two Batches, and how much larger the second is."""

    def __init__(self, old: Batch, new: Batch) -> None:
        self.old, self.new = old, new
        self.old_lists, self.new_lists = _lists(old), _lists(new)
        self.size = self._main_size()

    def comparison(self, old: Seen, new: Seen, same: bool) -> Comparison:
        lines, parts = self._formula()
        return Comparison(
            "batches",
            old,
            new,
            same,
            self.size,
            ratios=tuple(self._ratios()),
            ingredients=tuple(lines),
            parts=tuple(parts),
            makes=self._makes(),
            losses=tuple(self._losses()),
            steps=tuple(_steps(self.old.steps, self.new.steps)),
            times=tuple(self._times()),
            cost=self._cost(),
            allergens=tuple(self._allergens()),
            cautions=tuple(self._cautions()),
            equipment=tuple(self._equipment()),
            said=tuple(self._said()),
        )

    # ------------------------------------------------------------ ratios

    def _ratios(self) -> Iterator[RatioChange]:
        old = {one.name: one for one in self.old.ratios}
        new = {one.name: one for one in self.new.ratios}
        for name in [*new, *(name for name in old if name not in new)]:
            a, b = old.get(name), new.get(name)
            if not (a and a.value) and not (b and b.value):
                continue  # a style may ask for what neither has
            if (
                a is not None
                and b is not None
                and display.percent(a.value) == display.percent(b.value)
                and (a.basis, a.verdict) == (b.basis, b.verdict)
            ):
                continue
            yield RatioChange(
                name,
                a.value if a else None,
                b.value if b else None,
                a.basis if a else None,
                b.basis if b else None,
                a.verdict if a else None,
                b.verdict if b else None,
            )

    # ------------------------------------------------------------ what goes in

    def _main_size(self) -> Fraction:
        if None in self.old_lists and None in self.new_lists:
            return _size(self.old_lists[None], self.new_lists[None], _ONE)
        return _ONE

    def _formula(self) -> tuple[list[IngredientChange], list[PartChange]]:
        parts: list[PartChange] = []
        changes: list[IngredientChange] = []
        lists = _matched(self.old_lists, self.new_lists)
        for key, old, new in lists:
            if old is None or new is None:
                one = old or new
                assert one is not None
                # The list of a recipe that had none of that name; the main one is told line by line.
                if key is not None:
                    parts.append(_part_change("added" if old is None else "gone", one.part))
                    if one.part.role != "part":
                        continue  # its lines are drawn out of the main formula, and stand there
                changes += [_line_change("added" if old is None else "gone", one, line) for line in one.lines]
                continue
            size = _size(old, new, self.size)
            own = size / self.size
            if key is not None and own != 1 and old.part.share is None and new.part.share is None:
                parts.append(_part_change("size", new.part, times=own))
            if old.part.share != new.part.share:
                parts.append(
                    _part_change("share", new.part, old_share=old.part.share, new_share=new.part.share)
                )
            if _keys(old.part.base) != _keys(new.part.base):
                parts.append(
                    PartChange(
                        "base",
                        new.part.name,
                        new.part.role,
                        None,
                        old.part.base_weight,
                        new.part.base_weight,
                        old.part.base,
                        new.part.base,
                    )
                )
            changes += _lines(old, new, size)
        return _joined(changes, self.size), parts

    # ------------------------------------------------------------ what comes of it

    def _makes(self) -> YieldChange | None:
        old, new = self.old.makes, self.new.makes
        grown = old.count * self.size if old.count is not None else None
        total = old.total * self.size if old.total is not None else None
        same_words = (
            _key(old.noun) == _key(new.noun)
            and _alike(old.each, new.each)
            and old.after_losses == new.after_losses
        )
        if same_words and old.count == new.count and _alike(old.total, new.total) and self.size == 1:
            # What is left in the end says something new only where nothing else does.
            return None if _alike(old.finished, new.finished) else YieldChange(old, new, False)
        as_asked = same_words and grown == new.count and (total is None or _alike(total, new.total))
        return YieldChange(old, new, as_asked)

    def _losses(self) -> Iterator[TextChange]:
        def by_words(losses: Yield) -> dict[str, str]:
            return {
                f"{'gained' if loss.gain else 'lost'} {loss.words}": display.ratio_range(
                    loss.percent.low, loss.percent.high
                )
                for loss in losses.losses
            }

        yield from _by_name(by_words(self.old.makes), by_words(self.new.makes))

    # ------------------------------------------------------------ time and money

    def _times(self) -> Iterator[TimeChange]:
        old, new = _timed(self.old), _timed(self.new)
        for what, number in (("hands-on", 0), ("from start to end", 1)):
            a = old[number] if old else None
            b = new[number] if new else None
            if _span(a) != _span(b):
                yield TimeChange("hands-on" if what == "hands-on" else "from start to end", a, b)

    def _cost(self) -> CostChange | None:
        old, new = self.old.cost, self.new.cost
        if not old.lines and not new.lines:
            return None
        by = self._reasons()
        prices = tuple(self._prices())
        shown_each = _money(old.each, old.currency, small=True) == _money(new.each, new.currency, small=True)
        grown = old.total * self.size
        shown_total = _money(grown, old.currency) == _money(new.total, new.currency)
        same = shown_total and (shown_each or old.each is None or new.each is None)
        if same and old.currency == new.currency and old.complete == new.complete and not prices:
            return None
        return CostChange(
            old.currency,
            new.currency,
            old.total,
            new.total,
            old.each,
            new.each,
            old.complete,
            new.complete,
            *by,
            prices,
        )

    def _reasons(self) -> tuple[Fraction | None, Fraction | None, Fraction | None]:
        """The difference in the batch's cost, taken apart: a price counts at the new amount, an amount at the old
        price, so that the three come to the whole."""
        old, new = self.old.cost, self.new.cost
        if not (old.complete and new.complete) or old.currency != new.currency:
            return None, None, None
        by_size = old.total * (self.size - 1)
        by_prices = _NOUGHT
        for a, b in _cost_lines(old.lines, new.lines):
            if a is None or b is None or a.cost is None or b.cost is None:
                continue
            then, now = _amounts(a, b)
            if then and now:
                by_prices += b.cost - a.cost / then * now
        return by_size, new.total - old.total - by_size - by_prices, by_prices

    def _prices(self) -> Iterator[PriceChange]:
        for a, b in _cost_lines(self.old.cost.lines, self.new.cost.lines):
            if a is not None and b is not None and _price(a.price) != _price(b.price):
                yield PriceChange(b.item, a.price, b.price)

    # ------------------------------------------------------------ who may not eat it, what can hurt

    def _allergens(self) -> Iterator[AllergenChange]:
        old, new = self.old.allergens, self.new.allergens
        lists: tuple[
            tuple[
                Literal["contains", "may contain", "not stated"],
                dict[str, tuple[str, ...]],
                dict[str, tuple[str, ...]],
            ],
            ...,
        ] = (
            (
                "contains",
                {one.name: one.foods for one in old.contains},
                {one.name: one.foods for one in new.contains},
            ),
            ("may contain", dict.fromkeys(old.may_contain, ()), dict.fromkeys(new.may_contain, ())),
            ("not stated", dict.fromkeys(old.not_stated, ()), dict.fromkeys(new.not_stated, ())),
        )
        for state, was, now in lists:
            for name, foods in now.items():
                if name not in was:
                    yield AllergenChange("gained", state, name, foods)
            for name, foods in was.items():
                if name not in now:
                    yield AllergenChange("lost", state, name, foods)

    def _cautions(self) -> Iterator[CautionChange]:
        yield from _of_cautions(_texts_by_name(self.old), _texts_by_name(self.new), waived=False)
        yield from _of_cautions(_waived(self.old), _waived(self.new), waived=True)

    # ------------------------------------------------------------ what else it says

    def _equipment(self) -> Iterator[TextChange]:
        def named(tools: Iterable[Equipment]) -> dict[str, str]:
            return {
                tool.name: display.listed(
                    [
                        *([display.count(tool.count)] if tool.count is not None else []),
                        *([f"or {tool.instead}"] if tool.instead else []),
                    ]
                )
                for tool in tools
            }

        yield from _by_name(named(self.old.equipment), named(self.new.equipment))

    def _said(self) -> Iterator[TextChange]:
        def said(batch: Batch) -> dict[str, str]:
            found = {
                "name": batch.recipe,
                "style": batch.style or "",
                "serves": display.count(batch.serves) if batch.serves is not None else "",
                "keeps": ", ".join(keeps.words for keeps in batch.keeps),
                "reheats": batch.reheats or "",
                "food law": batch.allergens.law,
            }
            return {label: words for label, words in found.items() if words}

        old, new = said(self.old), said(self.new)
        if self.old.serves is not None and self.old.serves * self.size == self.new.serves:
            old.pop("serves"), new.pop("serves")
        yield from _by_name(old, new)


def _by_name(old: dict[str, str], new: dict[str, str]) -> Iterator[TextChange]:
    """What changed between two tables of words."""
    a = {name_key(name): (name, words) for name, words in old.items()}
    b = {name_key(name): (name, words) for name, words in new.items()}
    for key, (name, words) in b.items():
        if key not in a:
            yield TextChange(name, None, words)
        elif " ".join(a[key][1].split()) != " ".join(words.split()):
            yield TextChange(name, a[key][1], words)
    for key, (name, words) in a.items():
        if key not in b:
            yield TextChange(name, words, None)


def _key(text: str | None) -> str | None:
    return name_key(text) if text is not None else None


def _keys(names: Iterable[str]) -> list[str]:
    return sorted(map(name_key, names))


def _alike(old: Fraction | None, new: Fraction | None) -> bool:
    """Whether two weights are shown alike."""
    if old is None or new is None:
        return old is new
    return display.weight(old) == display.weight(new)


def _span(extent: Extent | None) -> str:
    return display.duration(extent.low, extent.high) if extent is not None else ""


def _money(amount: Fraction | None, currency: str, *, small: bool = False) -> str:
    if amount is None:
        return ""
    return display.small_money(amount, currency) if small else display.money(amount, currency)


# ---------------------------------------------------------------- the lines of a formula


@dataclass(frozen=True, slots=True)
class _List:
    """A list of ingredients with all that stands in it, whatever part of the Batch it was put in."""

    part: Part
    lines: tuple[Line, ...]


def _lists(batch: Batch) -> dict[str | None, _List]:
    """The main formula under None, the others by their names. Beside a final dough the main formula has only what
    counts in the ratios: what is outside of them stands in the final dough, and belongs here."""
    found: dict[str | None, _List] = {}
    outside = [
        line
        for part in batch.parts
        if part.role == "final"
        for line in part.lines
        if line.purpose is not None or (line.weight is None and line.written)
    ]
    for part in batch.parts:
        if part.role == "main":
            found[None] = _List(part, (*part.lines, *outside))
        elif part.role != "final":
            found[name_key(part.name or "")] = _List(part, part.lines)
    return found


def _matched(
    old: dict[str | None, _List], new: dict[str | None, _List]
) -> Iterator[tuple[str | None, _List | None, _List | None]]:
    for key, one in new.items():
        yield key, old.get(key), one
    for key, one in old.items():
        if key not in new:
            yield key, one, None


def _pairs(old: _List, new: _List) -> tuple[list[tuple[Line, Line]], list[Line], list[Line]]:
    """Lines of one name and purpose, each with its own; then what went, and what was added."""
    waiting: dict[tuple[str, str | None], list[Line]] = {}
    for line in old.lines:
        waiting.setdefault((name_key(line.name), _key(line.purpose)), []).append(line)
    pairs: list[tuple[Line, Line]] = []
    added: list[Line] = []
    for line in new.lines:
        same = waiting.get((name_key(line.name), _key(line.purpose)))
        if same:
            pairs.append((same.pop(0), line))
        else:
            added.append(line)
    return pairs, [line for lines in waiting.values() for line in lines], added


def _size(old: _List, new: _List, usual: Fraction) -> Fraction:
    """How many times as large a list is: the factor most of its lines share; `usual` where no other has more.

    A factor that is not the usual one needs two lines, where there are two: one line alone changed on its own.
    """
    pairs, _, _ = _pairs(old, new)
    tally: Counter[Fraction] = Counter()
    for a, b in pairs:
        if a.weight and b.weight and a.purpose is None and not a.lent:
            tally[b.weight / a.weight] += 1
    if not tally:
        return usual
    most = max(tally.values())
    if tally[usual] == most or most < 2 <= sum(tally.values()):
        return usual
    found = [factor for factor, many in tally.items() if many == most]
    base = (
        new.part.base_weight / old.part.base_weight if old.part.base_weight and new.part.base_weight else None
    )
    return base if base in found and base is not None else found[0]


def _lines(old: _List, new: _List, size: Fraction) -> list[IngredientChange]:
    """What changed between two lists, the second `size` times as large."""
    pairs, gone, added = _pairs(old, new)
    changes: list[IngredientChange] = []
    for a, b in pairs:
        if not _same_amount(a, b, size):
            changes.append(_line_change("amount", new, b, a))
        elif _key(a.note) != _key(b.note):
            changes.append(_line_change("note", new, b, a))
    return [
        *changes,
        *(_line_change("added", new, line) for line in added),
        *(_line_change("gone", old, line) for line in gone),
    ]


def _same_amount(old: Line, new: Line, size: Fraction) -> bool:
    """Whether a line is as it was, in a batch `size` times as large."""
    if old.to_taste != new.to_taste:
        return False
    if old.purpose is not None and _as_shown(old, _ONE) == _as_shown(new, _ONE):
        return True  # the pan may be greased as it was
    return _as_shown(old, size) == _as_shown(new, _ONE)


def _as_shown(line: Line, size: Fraction) -> tuple[str, ...]:
    """The amount as it is shown, `size` times over: the weight, or where it has none the pieces, or the volume."""
    if line.weight is not None:
        return ("g", display.weight(line.weight * size, line.division))
    if line.count is not None:
        return ("count", display.count(line.count * size))
    if line.volume is not None:
        return ("ml", display.volume(line.volume * size))
    return ("written", " ".join(line.written.split()))


def _line_change(
    kind: Literal["added", "gone", "amount", "note"], within: _List, line: Line, before: Line | None = None
) -> IngredientChange:
    old = before if before is not None else line if kind == "gone" else None
    new = None if kind == "gone" else line
    return IngredientChange(
        kind,
        within.part.name,
        within.part.name,
        (old or line).name,
        line.name,
        line.purpose,
        old.food if old else None,
        new.food if new else None,
        _amount(old) if old else None,
        _amount(new) if new else None,
        old.note if old else None,
        new.note if new else None,
    )


def _amount(line: Line) -> Amount:
    return Amount(line.weight, line.percent, line.count, line.noun, line.volume, line.written, line.to_taste)


def _part_change(
    kind: Literal["added", "gone", "size", "share"],
    part: Part,
    *,
    times: Fraction | None = None,
    old_share: Fraction | None = None,
    new_share: Fraction | None = None,
) -> PartChange:
    if kind == "added":
        new_share = part.share
    elif kind == "gone":
        old_share = part.share
    return PartChange(kind, part.name, part.role, times, old_share, new_share, part.base, part.base)


def _joined(changes: Sequence[IngredientChange], size: Fraction) -> list[IngredientChange]:
    """What went and what was added, made one where it is the same thing: moved, renamed, or another food instead."""
    gone = [one for one in changes if one.kind == "gone"]
    added = [one for one in changes if one.kind == "added"]
    pairs: list[tuple[IngredientChange, IngredientChange, Literal["renamed", "replaced", "moved"]]] = []

    def join(kind: Literal["renamed", "replaced", "moved"], alike: Callable[..., bool]) -> None:
        for old in list(gone):
            fits = [new for new in added if alike(old, new)]
            backwards = [one for one in gone if fits and alike(one, fits[0])]
            if len(fits) == 1 and len(backwards) == 1:
                pairs.append((old, fits[0], kind))
                gone.remove(old)
                added.remove(fits[0])

    def amount(old: IngredientChange, new: IngredientChange) -> bool:
        a, b = old.old, new.new
        assert a is not None
        assert b is not None
        if old.purpose != new.purpose or a.to_taste or b.to_taste:
            return False
        if a.weight is not None and b.weight is not None:
            return _alike(a.weight * size, b.weight)
        return a.count is not None and b.count is not None and a.count * size == b.count

    join(
        "moved",
        lambda old, new: (
            old.part != new.part and name_key(old.name) == name_key(new.name) and amount(old, new)
        ),
    )
    join(
        "renamed",
        lambda old, new: old.part == new.part and _same_food(old, new) and amount(old, new),
    )
    join("replaced", lambda old, new: old.part == new.part and amount(old, new))
    joined = {
        id(new): IngredientChange(
            kind,
            old.part,
            new.part,
            old.name,
            new.name,
            new.purpose,
            old.old_food,
            new.new_food,
            old.old,
            new.new,
            old.old_note,
            new.new_note,
        )
        for old, new, kind in pairs
    }
    left = {id(one) for one in (*gone, *added)}
    return [
        joined.get(id(one), one)
        for one in changes
        if one.kind not in ("added", "gone") or id(one) in left or id(one) in joined
    ]


def _same_food(old: IngredientChange, new: IngredientChange) -> bool:
    return _key(old.old_food) == _key(new.new_food)


# ---------------------------------------------------------------- the method


def _steps(old: Sequence[Step], new: Sequence[Step]) -> Iterator[StepChange]:
    pairs = _paired(old, new)
    name_of = {a.number: b for a, b in pairs}
    stays = _in_order([(a.number, b.number) for a, b in pairs])
    still = {a.number: b for a, b in pairs if (a.number, b.number) in stays}
    by_new = {b.number: a for a, b in pairs}
    for step in new:
        before = by_new.get(step.number)
        if before is None:
            yield StepChange(
                "added", None, step.number, None, step.name, False, False, None, None, _facts(None, step)
            )
            continue
        moved = (before.number, step.number) not in stays
        reworded = _words(before, names=False) != _words(step, names=False)
        facts = _facts(before, step)
        waits = None if moved else _waits(before, step, old, new, still)
        renamed = name_key(before.name) != name_key(step.name)
        if moved or reworded or facts or waits or renamed:
            yield StepChange(
                "changed",
                before.number,
                step.number,
                before.name,
                step.name,
                moved,
                reworded,
                waits[0] if waits else None,
                waits[1] if waits else None,
                facts,
            )
    for step in old:
        if step.number not in name_of:
            yield StepChange(
                "gone", step.number, None, step.name, None, False, False, None, None, _facts(step, None)
            )


_ALIKE: Final = Fraction(3, 5)
"""How alike the words of two steps of other names must be to be one step renamed: our own choice."""


def _paired(old: Sequence[Step], new: Sequence[Step]) -> list[tuple[Step, Step]]:
    """Steps of one name and part, then those of other names whose words are alike, the likest first."""
    waiting = list(old)
    pairs: list[tuple[Step, Step]] = []
    left: list[Step] = []
    for step in new:
        same = [
            one
            for one in waiting
            if name_key(one.name) == name_key(step.name) and _key(one.part) == _key(step.part)
        ]
        if same:
            pairs.append((same[0], step))
            waiting.remove(same[0])
        else:
            left.append(step)
    likeness = sorted(
        ((-_likeness(a, b), a.number, b.number, a, b) for a in waiting for b in left),
        key=lambda one: one[:3],
    )
    taken: set[int] = set()
    given: set[int] = set()
    for alike, _, _, a, b in likeness:
        if -alike >= _ALIKE and a.number not in taken and b.number not in given:
            pairs.append((a, b))
            taken.add(a.number)
            given.add(b.number)
    return sorted(pairs, key=lambda pair: pair[1].number)


def _likeness(old: Step, new: Step) -> Fraction:
    a, b = _words(old, names=True), _words(new, names=True)
    if not a or not b:
        return _NOUGHT
    same = sum(block.size for block in SequenceMatcher(None, a, b, autojunk=False).get_matching_blocks())
    return Fraction(2 * same, len(a) + len(b))


def _words(step: Step, *, names: bool) -> list[str]:
    """A step's prose word by word, each fact a blank of its kind; with `names`, what is drawn by its name."""
    found: list[str] = []
    for line in step.lines:
        for run in line:
            match run:
                case TextRun():
                    found += run.text.split()
                case DrawRun():
                    found.append(f"[{name_key(run.name)}]" if names else "[draw]")
                case _:
                    found.append(f"[{run.run}]")
    # Punctuation beside a fact belongs to it or not as the text was cut: it is no word.
    return [word for word in found if any(letter.isalnum() for letter in word)]


def _in_order(pairs: Sequence[tuple[int, int]]) -> set[tuple[int, int]]:
    """The longest run of pairs that stand in the same order on both sides: all the others moved."""
    best: list[list[tuple[int, int]]] = []
    for number, pair in enumerate(pairs):
        before = [chain for chain in best[:number] if chain[-1][0] < pair[0]]
        best.append([*_longest(before), pair])
    return set(_longest(best))


def _longest(chains: Iterable[list[tuple[int, int]]]) -> list[tuple[int, int]]:
    return max(chains, key=lambda chain: len(chain), default=[])


def _waits(
    old: Step, new: Step, all_old: Sequence[Step], all_new: Sequence[Step], matched: dict[int, Step]
) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """What a step waits for, by name, where that changed: unless a step came, went or moved there, which
    says it already."""
    if any(number not in matched for number in (*old.after, *([old.during] if old.during else []))):
        return None
    kept = {step.number for step in matched.values()}
    if any(number not in kept for number in (*new.after, *([new.during] if new.during else []))):
        return None
    then = (sorted(matched[number].number for number in old.after), _at(matched, old.during))
    now = (sorted(new.after), new.during)
    if then == now:
        return None
    return _clause(old, all_old), _clause(new, all_new)


def _at(matched: dict[int, Step], number: int | None) -> int | None:
    return matched[number].number if number is not None else None


def _clause(step: Step, steps: Sequence[Step]) -> tuple[str, ...]:
    names = {one.number: one.name for one in steps}
    during = (f"during {names[step.during]}",) if step.during is not None else ()
    return (*during, *(f"after {names[number]}" for number in step.after))


def _facts(old: Step | None, new: Step | None) -> tuple[FactChange, ...]:
    """The facts of two versions of a step that differ, in the order they stand; all, where a side is None.

    Draws that a step has or lacks are told; of a step that came or went only times and temperatures are.
    """
    a = [run for run in _runs(old) if old is None or new is not None or run.run != "draw"]
    b = [run for run in _runs(new) if new is None or old is not None or run.run != "draw"]
    found: list[tuple[int, FactChange]] = []
    for kind in _KINDS:
        was = [run for run in a if run.run == kind]
        now = [run for run in b if run.run == kind]
        places = {id(run): number for number, run in enumerate(b)}
        matcher = SequenceMatcher(
            None, [_signature(one) for one in was], [_signature(one) for one in now], False
        )
        for tag, i, j, k, m in matcher.get_opcodes():
            if tag == "equal":
                continue
            before, after = was[i:j], now[k:m]
            for number in range(max(len(before), len(after))):
                left = before[number] if number < len(before) else None
                right = after[number] if number < len(after) else None
                found.append((places.get(id(right), len(b)), FactChange(kind, left, right)))
    return tuple(change for _, change in sorted(found, key=lambda one: one[0]))


def _runs(step: Step | None) -> list[FactRun]:
    if step is None:
        return []
    return [run for line in step.lines for run in line if not isinstance(run, TextRun)]


def _signature(run: Run) -> tuple[object, ...]:
    """What makes two facts the same, however they are spelt and however large the batch."""
    match run:
        case DurationRun():
            return run.duration, run.hands_off, run.limit
        case TemperatureRun():
            return run.temperature, run.place, _key(run.of)
        case TurnsRun():
            return run.times, run.every
        case ChangeRun():
            return run.start, run.end, run.duration, run.within
        case LoadRun():
            return (run.at_a_time,)
        case MeasureRun():
            return run.lengths, _key(run.noun), name_key(run.text) if not run.lengths else ""
        case DrawRun():
            return (name_key(run.text),)
        case TextRun():
            return (run.text,)


def _timed(batch: Batch) -> tuple[Extent, Extent] | None:
    """Hands-on and from start to end; None where no step says how long it takes."""
    if batch.steps and batch.times.untimed == len(batch.steps):
        return None
    return (batch.times.hands_on, batch.times.elapsed) if batch.steps else None


# ---------------------------------------------------------------- money


def _cost_lines(
    old: Sequence[CostLine], new: Sequence[CostLine]
) -> Iterator[tuple[CostLine | None, CostLine | None]]:
    a = {name_key(line.item): line for line in old}
    b = {name_key(line.item): line for line in new}
    for key in [*b, *(key for key in a if key not in b)]:
        yield a.get(key), b.get(key)


def _amounts(old: CostLine, new: CostLine) -> tuple[Fraction | None, Fraction | None]:
    """How much of a line there was and is, both by weight or both by pieces."""
    if old.weight and new.weight:
        return old.weight, new.weight
    if old.count and new.count and _key(old.noun) == _key(new.noun):
        return old.count, new.count
    return None, None


def _price(price: PriceUsed | None) -> tuple[object, ...] | None:
    return (price.money, price.currency, " ".join(price.pack.split())) if price is not None else None


# ---------------------------------------------------------------- cautions


def _texts_by_name(batch: Batch) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for one in batch.cautions:
        found.setdefault(one.name, []).append(one.text)
    return found


def _waived(batch: Batch) -> dict[str, list[str]]:
    return {one.rule: [one.reason] for one in batch.waived if one.safety}


def _of_cautions(
    old: dict[str, list[str]], new: dict[str, list[str]], *, waived: bool
) -> Iterator[CautionChange]:
    for name in dict.fromkeys([*new, *old]):
        was, now = list(old.get(name, ())), list(new.get(name, ()))
        for text in list(was):
            if text in now:
                was.remove(text)
                now.remove(text)
        for number in range(max(len(was), len(now))):
            left = was[number] if number < len(was) else None
            right = now[number] if number < len(now) else None
            kind: Literal["gained", "lost", "changed"] = (
                "gained" if left is None else "lost" if right is None else "changed"
            )
            yield CautionChange(kind, name, waived, left, right)


# ---------------------------------------------------------------- where there is no Batch


def _texts(old: Sequence[Passage], new: Sequence[Passage]) -> Iterator[TextChange]:
    """Two texts, heading by heading and line by line: an entry is matched by its label."""
    a, b = _by_heading(old), _by_heading(new)
    for heading in dict.fromkeys([*b, *a]):
        was, now = a.get(heading), b.get(heading)
        if was is None or now is None:
            one = was or now
            assert one is not None
            yield TextChange(
                one.heading, "; ".join(was.lines) if was else None, "; ".join(now.lines) if now else None
            )
            continue
        matcher = SequenceMatcher(None, was.lines, now.lines, False)
        for tag, i, j, k, m in matcher.get_opcodes():
            if tag != "equal":
                yield from _line_texts(now.heading, was.lines[i:j], now.lines[k:m])


def _line_texts(heading: str, old: Sequence[str], new: Sequence[str]) -> Iterator[TextChange]:
    """An entry by its label; of the others each with its like, in order."""
    left = list(old)
    loose: list[str] = []
    for line in new:
        label, colon, value = line.partition(": ")
        same = [one for one in left if colon and ": " in one and _key(one.partition(": ")[0]) == _key(label)]
        if same:
            left.remove(same[0])
            yield TextChange(f"{heading}, {label}", same[0].partition(": ")[2].strip(), value.strip())
        else:
            loose.append(line)
    for before, after in zip_longest(left, loose):
        yield TextChange(heading, before, after)


def _by_heading(passages: Sequence[Passage]) -> dict[str, Passage]:
    """By kind and name; a heading that stands twice is numbered. The recipe's own is one, whatever its name."""
    found: dict[str, Passage] = {}
    for one in passages:
        key = "recipe" if one.heading.startswith("recipe ") else name_key(one.heading.partition(",")[0])
        number = 1
        while (f"{key} {number}") in found:
            number += 1
        found[f"{key} {number}"] = one
    return found
