"""The Request: how much of a recipe is asked for, on what day, and in which units.

What is asked over what the recipe says is the *factor*; it multiplies what is written.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from benchproof.compiler import display, quantities
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.formula import Formula, Item, made_weight, same_word
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.money import Costs
from benchproof.compiler.parser import read
from benchproof.compiler.source import Source
from benchproof.compiler.suggest import nearest
from benchproof.compiler.syntax import Count, Counted, Entry, Makes, Measured, Size, Value, name_key

_PORTIONS: Final = frozenset({"portion", "portions", "serving", "servings"})

_MOST: Final = Fraction(1_000_000)
"""The largest factor taken: past it a slip of the keyboard is likelier than a bakery."""


class RequestError(ValueError):
    """A request that cannot be met. The message is for a cook; `help` says what to ask instead."""

    def __init__(self, message: str, help: str = "") -> None:
        super().__init__(message)
        self.help = help


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked. At most one of `makes`, `times`, `base`, `tin`, `have` and `spend`; none means as written.

    `have` holds lines such as `strong flour 730 g`; `whole` names an ingredient counted in pieces, which the
    batch is then rounded to. `on` is an ISO date, None for the kitchen's `costed on`.
    """

    makes: str | None = None
    times: Fraction | None = None
    base: str | None = None
    tin: str | None = None
    have: tuple[str, ...] = ()
    spend: Fraction | None = None
    whole: str | None = None
    on: str | None = None
    temperatures: Literal["C", "F"] | None = None

    def words(self) -> str:
        """The request as a cook would say it."""
        if self.makes is not None:
            words = self.makes
        elif self.base is not None:
            words = f"on {self.base} of the base"
        elif self.tin is not None:
            words = f"for a tin of {self.tin}"
        elif self.have:
            words = f"from {display.listed(self.have)}"
        elif self.spend is not None:
            words = f"for {_money(self.spend)}"
        elif self.times is not None and self.times != 1:
            words = f"{_plain(self.times)} times"
        else:
            words = "as written"
        return words if self.whole is None else f"{words}, in whole {self.whole}"


@dataclass(frozen=True, slots=True)
class Answer:
    """How a request is met: the factor on every weight, the factor on the pieces, and what limited it.

    The two factors differ for a tin (a larger tart is still one tart) and for pieces of another weight.
    """

    factor: Fraction
    pieces: Fraction
    limited_by: str | None = None


def _money(amount: Fraction) -> str:
    return display.number(amount, 2)


def _plain(value: Fraction) -> str:
    return display.count(value)


def times_of(text: str) -> Fraction:
    """A factor from the command line: `2`, `1.5`, `1/2`, `½`.

    Raises RequestError when it is no number, nought, or too large.
    """
    try:
        value = _value("recipe asked", "serves", text, "--times")
    except RequestError:
        value = None
    number = value.number.low if isinstance(value, Count) and not value.words else None
    if number is not None and number > _MOST:
        raise RequestError(f"{text} is too much.", "Ask for less than a million times what is written.")
    if number is None or value is None or not 0 < number <= _MOST:
        raise RequestError(
            f"“{text}” is not a number of times.", "Write a number above nought: `2`, `1.5`, `1/2`."
        )
    return number


def _value(heading: str, label: str, text: str, option: str) -> Value:
    """Read an option's text as the language reads it in a file."""
    one_line = " ".join(text.split())
    file, findings = read(Source(f"{heading}\n  {label}: {one_line}\n", option))
    entries = [line for block in file.blocks for line in block.lines if isinstance(line, Entry)]
    errors = [finding for finding in findings if finding.severity is Severity.ERROR]
    if errors or not entries:
        first: Finding | None = errors[0] if errors else None
        raise RequestError(
            f"{option} “{text}”: {first.message if first else 'this could not be read.'}",
            first.help if first else "",
        )
    if entries[0].details:
        raise RequestError(
            f"{option} “{text}” says more than one thing.", "Ask for one thing, without a comma after it."
        )
    return entries[0].value


def answer(formula: Formula, request: Request, kitchen: Kitchen, costs: Costs) -> Answer:
    """What to multiply the written recipe by.

    Raises RequestError when the request does not fit the recipe.
    """
    options = {
        "makes": request.makes is not None,
        "times": request.times is not None,
        "base": request.base is not None,
        "tin": request.tin is not None,
        "have": bool(request.have),
        "spend": request.spend is not None,
    }
    asked = [name for name, given in options.items() if given]
    if len(asked) > 1:
        raise RequestError(
            f"--{asked[0]} and --{asked[1]} both say how much to make.", "Give one of the two."
        )
    measures = kitchen.settings.measures
    limited_by: str | None = None
    pieces: Fraction | None = None
    if request.makes is not None:
        factor, pieces = _by_yield(formula, request.makes, measures)
    elif request.base is not None:
        factor = _by_base(formula, request.base, measures)
    elif request.tin is not None:
        factor = _by_tin(formula, request.tin)
    elif request.have:
        factor, limited_by = _by_cupboard(formula, request.have, measures)
    elif request.spend is not None:
        factor = _by_money(formula, request.spend, costs)
    else:
        factor = request.times if request.times is not None else Fraction(1)
    if request.whole is not None:
        # What is there, and what may be spent, are not to be gone beyond: then the pieces are rounded down.
        factor = _to_whole(
            formula, request.whole, factor, down=bool(request.have) or request.spend is not None
        )
    if not 0 < factor <= _MOST:
        raise RequestError(
            f"That is {_plain(factor)} times what is written.",
            "Ask for more than nothing and less than a million times.",
        )
    if request.tin is not None:
        pieces = Fraction(1)
    return Answer(factor, factor if pieces is None or request.whole is not None else pieces, limited_by)


def _by_tin(formula: Formula, text: str) -> Fraction:
    """Volume over volume where both give a depth, else area over area: the depth is taken to be the same."""
    asked = _value("recipe asked", "tin", text, "--tin")
    entry = formula.recipe.block.entry("tin")
    if entry is None or not isinstance(entry.value, Size):
        raise RequestError(
            f"“{formula.recipe.name.text}” does not say which tin it is for.",
            "Add `tin: 23 cm round` to the recipe, or ask with --times.",
        )
    assert isinstance(asked, Size)
    factor = _area(asked) / _area(entry.value)
    if asked.depth is not None and entry.value.depth is not None:
        factor *= quantities.base(asked.depth.low) / quantities.base(entry.value.depth.low)
    return factor


def _area(size: Size) -> Fraction:
    """Square millimetres; of a round tin the square of its diameter times pi/4, as an exact fraction near it."""
    lengths = [quantities.base((term,)) for term in size.lengths]
    if size.round:
        return lengths[0] ** 2 * _PI / 4
    return lengths[0] * (lengths[1] if len(lengths) > 1 else lengths[0])


_PI: Final = Fraction(355, 113)
"""Right to seven digits (Zu Chongzhi, fifth century): round and square tins compare as closely as any scale."""


def _by_cupboard(formula: Formula, have: tuple[str, ...], measures: str) -> tuple[Fraction, str]:
    """The largest batch that what is there allows, and what runs out first. The same thing twice adds up."""
    allowed: dict[str, Fraction] = {}
    for line in have:
        times, name = _allowed(formula, line, measures)
        allowed[name] = allowed.get(name, Fraction(0)) + times
    name = min(allowed, key=lambda one: allowed[one])
    return allowed[name], name


def _allowed(formula: Formula, line: str, measures: str) -> tuple[Fraction, str]:
    """How many times the recipe one thing in the cupboard is enough for."""
    text = " ".join(line.split())
    cuts = [match.start() for match in re.finditer(r" (?=[0-9½⅓⅔¼¾⅕⅛⅜⅝⅞])", text)]
    items: list[Item] = []
    for cut in cuts:
        items = [item for item in formula.items() if name_key(text[:cut].rstrip(":")) in item.keys]
        if items:
            amount = _value("ingredients", items[0].name.text, text[cut + 1 :], "--have")
            return _enough(items, amount, text, measures), items[0].name.text
    if not cuts:
        reason = "gives the amount first" if text[:1].isdigit() else "has no amount"
        raise RequestError(
            f"--have “{line}” {reason}.", "Name first, then how much: `--have 'strong flour 730 g'`."
        )
    name = text[: cuts[0]]
    near = nearest(name, [item.name.text for item in formula.items()])
    raise RequestError(
        f"“{formula.recipe.name.text}” uses no {name}.",
        f"Did you mean “{near[0]}”?" if near else "Name an ingredient of the recipe.",
    )


def _enough(items: list[Item], amount: Value, text: str, measures: str) -> Fraction:
    """What is there over what the recipe uses of it, purposes and all, as bought."""
    if isinstance(amount, Counted):
        counts = [item.count for item in items]
        if all(count is not None for count in counts):
            return amount.number.low / sum((count for count in counts if count), Fraction(0))
        piece = items[0].food.piece if items[0].food is not None else None
        there = amount.number.low * piece if piece is not None else None
    elif isinstance(amount, Measured):
        there = quantities.base(amount.quantity.low, measures)
        if amount.quantity.dimension == "volume":
            density = items[0].food.density if items[0].food is not None else None
            there = there * density if density is not None else None
    else:
        there = None
    used = sum((item.bought for item in items if item.bought is not None), Fraction(0))
    if there is None or not used:
        raise RequestError(
            f"--have “{text}” cannot be compared with what the recipe uses.",
            "Give a weight, or a count of something whose piece weight is known.",
        )
    return there / used


def _by_money(formula: Formula, spend: Fraction, costs: Costs) -> Fraction:
    """What is spent on ingredients used, over what the written batch costs."""
    total, complete = costs.total(formula)
    if not complete or not total:
        raise RequestError(
            f"What “{formula.recipe.name.text}” costs is not known: an ingredient has no price.",
            "Price every ingredient, or ask with --makes or --times.",
        )
    return spend / total


def _to_whole(formula: Formula, name: str, factor: Fraction, *, down: bool) -> Fraction:
    """The factor nearest to the one asked at which an ingredient comes out in whole pieces, one at least.

    `down` takes the nearest below.
    """
    items = [item for item in formula.items() if name_key(name) in item.keys and item.purpose is None]
    if not items:
        near = nearest(name, [item.name.text for item in formula.items()])
        raise RequestError(
            f"“{formula.recipe.name.text}” uses no {name}.",
            f"Did you mean “{near[0]}”?" if near else "Name an ingredient counted in pieces.",
        )
    pieces = sum((_pieces(item) for item in items), Fraction(0))
    if not pieces:
        raise RequestError(
            f"{name} is not counted in pieces.", "Give its block a `piece`, or leave --whole out."
        )
    whole = Fraction(math.floor(pieces * factor + (0 if down else Fraction(1, 2))))
    if down and not whole:
        raise RequestError(
            f"That is not enough for one whole piece of {name}.", "Leave --whole out, or have more."
        )
    return max(whole, Fraction(1)) / pieces


def _pieces(item: Item) -> Fraction:
    if item.count is not None:
        return item.count
    piece = item.food.piece if item.food is not None else None
    return item.bought / piece if piece and item.bought is not None else Fraction(0)


def _by_yield(formula: Formula, text: str, measures: str) -> tuple[Fraction, Fraction | None]:
    """The factor on the weights, and on the pieces where they are asked for at a weight of their own."""
    asked = _value("recipe asked", "makes", text, "--makes")
    assert isinstance(asked, Makes)
    name = formula.recipe.name.text
    if asked.total is not None:
        return _by_total(formula, asked, text, measures), None
    assert asked.count is not None
    if asked.noun is not None and formula.serves and asked.noun.key in _PORTIONS:
        return asked.count.low / formula.serves, None
    made = formula.makes
    if made is None or made.count is None:
        raise RequestError(
            f"“{name}” does not say how many it makes, so {text} cannot be asked of it.",
            "Add `makes: 12 rounds` to the recipe, or ask with --times or by weight.",
        )
    if asked.noun is not None and made.noun is not None and not same_word(asked.noun.key, made.noun.key):
        raise RequestError(
            f"“{name}” makes {made.noun.text}, not {asked.noun.text}.",
            f"Write `--makes '{_plain(asked.count.low)} {made.noun.text}'`.",
        )
    if asked.each is None:
        return asked.count.low / made.count.low, None
    weight = made_weight(asked, measures)
    if weight is None:
        raise RequestError(f"--makes “{text}” gives a piece no weight.", "Write `12 rounds of 58 g`.")
    return weight / _written(formula, asked, measures), asked.count.low / made.count.low


def _by_total(formula: Formula, asked: Makes, text: str, measures: str) -> Fraction:
    """A weight over the written weight, or a volume over the written volume."""
    assert asked.total is not None
    amount = quantities.base(asked.total.low, measures)
    if asked.total.dimension == "mass":
        return amount / _written(formula, asked, measures)
    made = formula.makes
    if made is None or made.total is None or made.total.dimension != "volume":
        raise RequestError(f"--makes “{text}” is a volume.", "Ask for a weight or for pieces.")
    return amount / quantities.base(made.total.low, measures)


def _written(formula: Formula, asked: Makes, measures: str) -> Fraction:
    """g of the written yield, as it says itself when it speaks of the same moment, else as worked out."""
    made = formula.makes
    said = made_weight(made, measures)
    if made is not None and said is not None and made.after_losses == asked.after_losses:
        return said
    weight = formula.finished if asked.after_losses else formula.scaled
    if not weight:
        raise RequestError(f"The recipe “{formula.recipe.name.text}” has no weight.", "Use --times.")
    return weight


def _by_base(formula: Formula, text: str, measures: str) -> Fraction:
    value = _value("ingredients", "base", text, "--base")
    if not isinstance(value, Measured) or value.quantity.dimension != "mass":
        raise RequestError(f"--base “{text}” is not a weight.", "Write a weight: `--base '730 g'`.")
    main = formula.main
    if main is None or not main.base_weight:
        raise RequestError(
            f"“{formula.recipe.name.text}” has no base.",
            "Say which ingredient is 100 % (`base: strong flour`), or ask with --makes or --times.",
        )
    return quantities.base(value.quantity.low, measures) / main.base_weight


def money_of(text: str) -> Fraction:
    """An amount of money from the command line: `5.00`.

    Raises RequestError when it is none, or not above nought.
    """
    try:
        return times_of(text)
    except RequestError as error:
        if "too much" in str(error):
            raise
        raise RequestError(f"--spend “{text}” is not an amount of money.", "Write `--spend 5.00`.") from None
