"""Values: what stands after a label, read by the rule that the vocabulary gives for it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType
from typing import Final, TypeAlias, cast

from benchproof.compiler.block_text import BlockText, moved
from benchproof.compiler.dates import date_slip, read_date
from benchproof.compiler.findings import Severity
from benchproof.compiler.labels import LEVELS, Label, ValueRule
from benchproof.compiler.lark_tree import Node, Token, parse, single, unit_name
from benchproof.compiler.parser_messages import (
    WANTED,
    Refused,
    Slip,
    known_slip,
    meant_unit,
    refuse,
    shortened,
    unknown_noun,
)
from benchproof.compiler.quantities import SYSTEMS, UNITS
from benchproof.compiler.source import Span
from benchproof.compiler.suggest import one_of
from benchproof.compiler.syntax import (
    Amount,
    Bound,
    BoundWord,
    Count,
    Counted,
    Density,
    Detail,
    Dimension,
    Keep,
    Keeps,
    Loss,
    Losses,
    Makes,
    Measure,
    Measured,
    Measures,
    Name,
    Names,
    Numeric,
    Pack,
    Parts,
    Percentage,
    Price,
    Quantity,
    Rate,
    Scale,
    Scales,
    Size,
    Term,
    TimesOf,
    ToTaste,
    Value,
    Waiver,
    Words,
    YesNo,
    name_key,
)

_KINDS: Final[dict[Dimension, str]] = {
    "mass": "a weight",
    "volume": "a volume",
    "time": "a time",
    "length": "a length",
    "temperature": "a temperature",
    "energy": "an amount of energy",
}

Result: TypeAlias = tuple[Value, tuple[Detail, ...]]
"""A value, and the details after it."""


@dataclass(frozen=True, slots=True)
class Written:
    """The value of one entry as it is written: `a` to `b` in its block, under the label `name`, read as `label`."""

    block: BlockText
    label: Label
    name: Name
    a: int
    b: int

    @property
    def clean(self) -> str:
        return self.block.clean[self.a : self.b]

    @property
    def span(self) -> Span:
        return self.block.span(self.a, self.b)

    def words(self) -> Words:
        return Words(self.block.text[self.a : self.b], self.span)

    def parse(self, start: str, what: str) -> Node:
        return parse(self.block, start, self.a, self.b, what)


def read_value(written: Written) -> Result:
    """The value, by the rule of its label. Raises `Refused` where it is none."""
    return _READERS[written.label.value](written)


def _words(written: Written) -> Result:
    return written.words(), ()


def _names(written: Written) -> Result:
    return Names(tuple(_list_of(written.block, written.a, written.b)), written.span), ()


def _list_of(block: BlockText, a: int, b: int) -> list[Name]:
    names: list[Name] = []
    for start, end in block.cut_commas(a, b):
        if start == end:
            raise refuse(
                "empty-detail",
                a,
                b,
                "There is nothing between two commas, or after the last.",
                "Leave the extra comma out.",
            )
        if found := re.search(r"(?<![0-9])[0-9]{1,9}(?:,[0-9]{1,9})+", block.clean[start:end]):
            slip = known_slip(found.group(), "names")
            if slip:
                raise Refused(moved(slip, start + found.start()))
        names.append(block.name(start, end))
    return names


def _contains(written: Written) -> Result:
    details: tuple[Detail, ...] = ()
    if found := re.match(r"instead(?![\w-]) *", written.clean):
        details = (Detail("instead", written.block.span(written.a, written.a + len("instead"))),)
        written = replace(written, a=written.a + found.end())
        if written.a == written.b:
            raise refuse(
                "missing-value",
                details[0].span.start,
                written.b,
                "`instead` of what the larder says there is nothing named.",
                "Write `contains: instead wheat`, or `contains: instead nothing`.",
            )
    names = _list_of(written.block, written.a, written.b)
    keys = [one.key for one in names]
    if ("nothing" in keys and len(keys) > 1) or "none" in keys or "no allergens" in keys:
        raise refuse(
            "contains-form",
            written.a,
            written.b,
            f"`{shortened(written.clean)}` is unclear: either there are allergens, or `nothing` stands alone.",
            f"Write `{written.name.text}: nothing`, or name the allergens alone.",
        )
    return Names(tuple(names), written.span), details


def _yes_no(written: Written) -> Result:
    text = written.clean
    if text not in ("yes", "no"):
        mended = text.casefold() if text.casefold() in ("yes", "no") else None
        raise refuse(
            "not-yes-or-no",
            written.a,
            written.b,
            f"`{shortened(text)}` is neither `yes` nor `no`.",
            f"Write `{written.label.example}`.",
            mended,
        )
    return YesNo(text == "yes", written.span), ()


def _choice(written: Written, choices: tuple[str, ...], rule: str) -> Words:
    text = written.clean
    chosen = next((choice for choice in choices if choice.casefold() == text.casefold()), None)
    if chosen is None:
        raise refuse(
            rule,
            written.a,
            written.b,
            f"`{shortened(text)}` is none of {one_of(choices)}.",
            f"Write `{written.label.example}`.",
        )
    return Words(chosen, written.span)


def _system(written: Written) -> Result:
    return _choice(written, SYSTEMS, "no-such-measures"), ()


def _level(written: Written) -> Result:
    return _choice(written, LEVELS, "no-such-level"), ()


def _currency(written: Written) -> Result:
    text = written.clean
    if not re.fullmatch("[A-Z]{3}", text):
        mended = text.upper() if re.fullmatch("[A-Za-z]{3}", text) else None
        raise refuse(
            "currency-code",
            written.a,
            written.b,
            f"`{shortened(text)}` is no currency code.",
            "Write its three capital letters: `NZD`, `EUR`.",
            mended,
        )
    return written.words(), ()


def _photo(written: Written) -> Result:
    return _cut_in_two(written, re.search(", ", written.clean))


def _week(written: Written) -> Result:
    return _cut_in_two(written, re.search(r",(?= *[0-9½⅓⅔¼¾][^,]*$)", written.clean))


def _cut_in_two(written: Written, comma: re.Match[str] | None) -> Result:
    """Words, and after the comma the one detail; all of it words where there is none."""
    if comma is None:
        return written.words(), ()
    block = written.block
    first = block.trim(written.a, written.a + comma.start())
    second = block.trim(written.a + comma.end(), written.b)
    detail = Detail(block.text[second[0] : written.b], block.span(second[0], written.b))
    return Words(block.text[written.a : first[1]], block.span(written.a, first[1])), (detail,)


def _date(written: Written) -> Result:
    if slip := date_slip(written.clean, written.a):
        raise Refused(slip)
    node = written.parse("v_date", "date")
    return read_date(written.block, node.token("DATE")), ()


def _amount(written: Written) -> Result:
    node = written.parse("v_amount", "amount")
    return _amount_of(node.child(), written.name), node.details()


def _amount_of(node: Node, label: Name) -> Amount:
    one = "an ingredient takes one amount"
    span = node.span
    match node.rule:
        case "to_taste":
            return ToTaste(span)
        case "measured":
            quantity = node.quantity(one)
            return Measured(
                quantity, span, node.find("AS_BOUGHT") is not None, node.find("AND_TO_TASTE") is not None
            )
        case "percentage":
            of = node.find("NAME")
            return Percentage(node.numeric(one), node.name_of(of) if of else None, span)
        case "times_of":
            return TimesOf(node.numeric(one), node.name_of(node.token("NAME")), span)
        case "parts":
            return Parts(node.numeric(one), span)
    noun = node.find("WORDS")
    if noun is not None:
        _check_noun(noun, label)
    return Counted(
        node.numeric(one), node.name_of(noun) if noun else None, span, node.find("AS_BOUGHT") is not None
    )


def _check_noun(noun: Token, label: Name) -> None:
    """A count's word that must have been meant as a unit. Whether it is a word of the label is seen first."""
    word = str(noun).split(" ")[0]
    if name_key(word) in label.key.split():
        return
    if (unit := UNITS.get(word)) is not None:
        raise refuse(
            "wrong-kind-of-unit",
            noun.start,
            noun.start + len(word),
            f"`{word}` is the unit of {_KINDS[unit.dimension]}, and here stands an amount.",
            f"Write {WANTED['amount']}.",
        )
    if slip := unknown_noun(word, noun.start):
        raise Refused(slip)


def _makes(written: Written) -> Result:
    node = written.parse("v_makes", "makes")
    makes = node.child()
    one = "one batch gives one amount"
    baked = makes.find("BAKED") is not None
    noun = makes.find("WORDS")
    if makes.rule == "makes_total":
        total = makes.quantity(one)
        if total.low[0].unit == "cup":
            written.block.say(
                Slip(
                    "cups-or-cakes",
                    makes.start,
                    makes.end,
                    "`cups` is read as a volume of so many cups.",
                    "If small cakes are meant, call them so: `12 cup cakes of 60 g`.",
                    severity=Severity.WARNING,
                )
            )
        return Makes(None, None, None, total, baked, makes.span), node.details()
    if makes.rule == "makes_cups":
        # A unit that turns out to be a noun: twelve cakes called cups.
        first, _ = makes.quantity_nodes()
        halves = first.nodes("vols")
        units = halves[0].tokens("VOL") if halves else []
        if len(halves) != 1 or len(units) != 1:
            raise refuse(
                "two-amounts",
                makes.start,
                makes.end,
                f"`{makes.text}` is two amounts.",
                "Write one of them.",
            )
        number = halves[0].numeric(one)
        word = node.name_of(units[0])
        each = makes.quantities(one)[1]
        return Makes(number, word, each, None, baked, makes.span), node.details()
    number = makes.numeric(one)
    if noun is not None and makes.rule == "makes_count" and (slip := _unknown_unit_only(noun)):
        raise Refused(slip)
    each_quantity = makes.quantity(one) if makes.rule == "makes_each" else None
    return Makes(
        number, node.name_of(noun) if noun else None, each_quantity, None, baked, makes.span
    ), node.details()


def _unknown_unit_only(noun: Token) -> Slip | None:
    """In `makes`, only a word that is surely a unit: `900 grm`."""
    word = str(noun).split(" ")[0]
    return unknown_noun(word, noun.start) if meant_unit(word) else None


def _loses(written: Written) -> Result:
    node = written.parse("v_loses", "loses")
    losses = []
    for loss in node.nodes("loss"):
        percent = loss.numeric("a loss is one share")
        if written.name.key == "loses" and percent.high >= 100:
            raise refuse(
                "loss-of-all",
                loss.start,
                loss.end,
                f"`{loss.text}` would leave nothing.",
                "Write a share below 100 %.",
            )
        losses.append(Loss(percent, loss.place_words(), loss.span))
    return Losses(tuple(losses), node.span), ()


def _keeps(written: Written) -> Result:
    node = written.parse("v_keeps", "keeps")
    keeps = tuple(Keep(keep.quantity(None), keep.place_words(), keep.span) for keep in node.nodes("keep"))
    return Keeps(keeps, node.span), ()


def _price(written: Written) -> Result:
    node = written.parse("v_price", "price")
    free = node.find("FREE")
    details = node.details()
    if free:
        return Price(None, None, written.block.span(free.start, free.end)), details
    money = node.number()
    tree = node.child()
    count = tree.number() if tree.find("NUM") else None
    each = tree.quantity("a pack holds one amount") if tree.rule != "pack_pieces" else None
    if count == 0 or (each is not None and all(term.number == 0 for term in each.low)):
        raise refuse(
            "empty-pack",
            tree.start,
            tree.end,
            "A price for nothing cannot be used.",
            "Write what it buys.",
        )
    return Price(money, Pack(count, each, tree.span), written.block.span(node.start, tree.end)), details


def _scales(written: Written) -> Result:
    node = written.parse("v_scales", "scales")
    scales = []
    for scale in node.nodes("scale"):
        least, most = (
            half.half_quantity("mass", "a scale has one step and one limit") for half in scale.nodes("masses")
        )
        if any(term.number == 0 for term in least.low):
            raise refuse(
                "scale-step",
                scale.start,
                scale.end,
                "A scale's smallest step is more than nothing.",
                "Write it: `0.1 g to 500 g`.",
            )
        scales.append(Scale(least, most, scale.span))
    return Scales(tuple(scales), node.span), ()


def _density(written: Written) -> Result:
    node = written.parse("v_density", "density")
    mass = node.nodes("masses")[0].half_quantity("mass", "a density is one number")
    unit = node.token("VOL")
    system = node.find("SYS")
    if all(term.number == 0 for term in mass.low):
        raise refuse(
            "density-nothing",
            written.a,
            written.b,
            "A food that weighs nothing has no density.",
            "Write it: `0.58 g/ml`.",
        )
    first = system or unit
    term = Term(Fraction(1), unit_name(unit.token), str(system) if system else None)
    volume = Quantity("volume", (term,), (term,), written.block.span(first.start, unit.end))
    return Density(mass, volume, node.span), ()


def _bound(written: Written) -> Result:
    node = written.parse("v_bound", "bound")
    word = node.find("BOUND")
    tree = node.child()
    value: Percentage | Numeric | Quantity
    one = f"after `{word}` stands one limit" if word else None
    if tree.rule == "bound_percent":
        value = Percentage(tree.numeric(one), None, tree.span)
    elif tree.rule == "bound_number":
        value = tree.numeric(one)
    else:
        value = tree.quantity(one)
    start = word.start if word else tree.start
    return Bound(
        cast(BoundWord, single(str(word))) if word else None, value, written.block.span(start, tree.end)
    ), node.details()


def _tin(written: Written) -> Result:
    node = written.parse("v_tin", "tin")
    lengths = node.tokens("LEN")
    numbers = [n.n_value("a tin's sizes are more than nothing") for n in node.nodes("n")]
    if not all(numbers):
        raise refuse(
            "not-a-value",
            written.a,
            written.b,
            "A tin of no size holds nothing.",
            f"Write `{written.label.example}`.",
        )
    if len(numbers) == 1 and not (node.find("ROUND") or node.find("SQUARE")):
        text = written.clean.partition(",")[0]
        raise refuse(
            "not-a-value",
            written.a,
            written.b,
            f"`{text}` could be a round tin or a square one.",
            f"Write `{text} round` or `{text} square`.",
        )
    depth = None
    if node.find("DEEP"):
        rng = node.nodes("rng")[0]
        number = rng.as_numeric("a tin has one depth")
        deep = lengths.pop()
        term = Term(number.low, unit_name(deep.token))
        depth = Quantity("length", (term,), (term,), written.block.span(rng.start, deep.end))
    units = [unit_name(length.token) for length in lengths]  # `20 x 20 cm` has one for both
    terms = tuple(Term(number, units[min(at, len(units) - 1)]) for at, number in enumerate(numbers))
    return Size(terms, node.find("ROUND") is not None, depth, node.span), ()


def _measured(
    written: Written, dimensions: tuple[Dimension, ...], one: str | None, negative: bool = False
) -> Result:
    """A measure with its words. `one`: why it may be no range, None when it may."""
    node = written.parse("v_measure", written.label.value)
    quantity = node.quantity(one, negative=negative)
    _of_dimension(quantity, dimensions, written.label.value)
    baked = node.find("BAKED")
    last = node.find("PLACE_WORDS") or baked
    end = written.block.trim(quantity.span.start, last.end)[1] if last else quantity.span.end
    span = written.block.span(quantity.span.start, end)
    return Measure(quantity, node.place_words(), span, baked is not None), node.details()


def _of_dimension(quantity: Quantity, dimensions: tuple[Dimension, ...], what: str) -> None:
    if quantity.dimension in dimensions:
        return
    wanted = " or ".join(_KINDS[dimension] for dimension in dimensions)
    span = quantity.span
    raise refuse(
        "wrong-kind-of-unit",
        span.start,
        span.end,
        f"`{span.text}` is {_KINDS[quantity.dimension]}, and here stands {wanted}.",
        f"Write {WANTED[what]}.",
    )


def _temperature(written: Written) -> Result:
    one = None if written.name.key == "tap water" else f"`{written.name.text}` is one temperature"
    return _measured(written, ("temperature",), one, negative=True)


def _duration(written: Written) -> Result:
    return _measured(written, ("time",), None)


def _length(written: Written) -> Result:
    one = f"`{written.name.text}` is one length"
    return _measured(written, ("length",), one, negative=written.name.key == "altitude")


def _weight(written: Written) -> Result:
    return _measured(written, ("mass",), f"`{written.name.text}` is one weight")


def _quantity(written: Written) -> Result:
    return _measured(written, ("mass", "volume"), f"`{written.name.text}` is one amount")


def _temperatures(written: Written) -> Result:
    node = written.parse("v_measures", "temperatures")
    measures = []
    for part in node.nodes("measure"):
        quantity = part.quantity(None, negative=True)
        _of_dimension(quantity, ("temperature",), "temperatures")
        measures.append(Measure(quantity, part.place_words(), part.span))
    return Measures(tuple(measures), node.span), ()


def _rate(written: Written, dimension: Dimension) -> Result:
    node = written.parse("v_rate", written.label.value)
    amount = node.quantity("a price is for one amount")
    _of_dimension(amount, (dimension,), written.label.value)
    if all(term.number == 0 for term in amount.low):
        raise refuse(
            "empty-pack",
            written.a,
            written.b,
            "A price for nothing cannot be used.",
            f"Write it as `{written.label.example}`.",
        )
    return Rate(node.number(), amount, node.span), ()


def _tariff(written: Written) -> Result:
    return _rate(written, "energy")


def _wage(written: Written) -> Result:
    return _rate(written, "time")


def _count(written: Written) -> Result:
    node = written.parse("v_count", "count")
    return _counted(node, f"`{written.name.text}` is one number"), node.details()


def _counted(node: Node, one: str) -> Count:
    number = node.numeric(one)
    words = node.find("WORDS")
    noun = node.name_of(words) if words else None
    end = noun.span.end if noun else number.span.end
    return Count(number, noun.text if noun else "", node.block.span(number.span.start, end))


def _held(written: Written) -> Result:
    node = written.parse("v_held", "held")
    if node.has_quantity:
        quantity = node.quantity("a tool holds one amount")
        return Measure(quantity, "", quantity.span), node.details()
    return _counted(node, "how many is one number"), node.details()


def _percent(written: Written) -> Result:
    node = written.parse("v_percent", "percent")
    number = node.numeric(f"`{written.name.text}` is one share")
    if number.high > 100 and written.name.key != "hydration":
        raise refuse(
            "share-over-whole",
            written.a,
            written.b,
            f"`{shortened(node.text)}` is more than the whole of it.",
            "Write a share of at most 100 %.",
        )
    percent = node.token("PCT")
    return Percentage(number, None, written.block.span(number.span.start, percent.end)), node.details()


def _waive(written: Written) -> Result:
    text = written.clean
    if "because" not in text.split(" "):
        raise refuse(
            "waive-without-reason",
            written.a,
            written.b,
            "A rule is waived with a reason, which the card prints.",
            f"Write it as `{written.label.example}`.",
        )
    node = written.parse("v_waive", "waive")
    return Waiver(node.name_of(node.token("RULE")), node.name_of(node.token("REST")).text, node.span), ()


def _reheats(written: Written) -> Result:
    if not re.search(r"[0-9]", written.clean):
        return written.words(), ()
    node = written.parse("v_reheats", "reheats")
    quantity = node.quantity(None, negative=True)
    words = node.find("PLACE_WORDS")
    end = written.block.trim(words.start, words.end)[1] if words else quantity.span.end
    span = written.block.span(node.start, end)
    return Measure(quantity, node.place_words(), span), node.details()


_READERS: Final = MappingProxyType[ValueRule, Callable[[Written], Result]](
    {
        "amount": _amount,
        "bound": _bound,
        "contains": _contains,
        "count": _count,
        "currency": _currency,
        "date": _date,
        "density": _density,
        "duration": _duration,
        "gains": _loses,
        "held": _held,
        "keeps": _keeps,
        "length": _length,
        "level": _level,
        "loses": _loses,
        "makes": _makes,
        "names": _names,
        "percent": _percent,
        "photo": _photo,
        "price": _price,
        "quantity": _quantity,
        "reheats": _reheats,
        "scales": _scales,
        "system": _system,
        "tariff": _tariff,
        "temperature": _temperature,
        "temperatures": _temperatures,
        "tin": _tin,
        "wage": _wage,
        "waive": _waive,
        "week": _week,
        "weight": _weight,
        "words": _words,
        "yes no": _yes_no,
    }
)
