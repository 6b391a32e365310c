"""Loose numbers: amounts, temperatures, times and money in a step's prose outside brackets."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cache
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.compile import Compiled
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.quantities import UNITS, nearest_units
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import (
    Draw,
    Fact,
    MeasureFact,
    Quantity,
    TemperatureFact,
    Term,
    Text,
)

_ALSO_WORDS = frozenset({"m", "s", "in", "l"})
"""Units that are words, or the beginning of one, too often: `2 in each pan`."""

_NUMBER: Final = r"(?:\d+(?:[.,]\d+)?(?:\s*/\s*\d+)?(?:\s?[½⅓⅔¼¾⅕⅛⅜⅝⅞])?|[½⅓⅔¼¾⅕⅛⅜⅝⅞])"

_GAS: Final = {
    "1/4": 110,
    "¼": 110,
    "1/2": 130,
    "½": 130,
    "1": 140,
    "2": 150,
    "3": 170,
    "4": 180,
    "5": 190,
    "6": 200,
    "7": 220,
    "8": 230,
    "9": 240,
}
"""Degrees Celsius of a gas oven's marks, in tens as cookers print them: common practice, from memory."""

_TENS_IN_WORDS: Final = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
_IN_WORDS: Final = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "fifteen": 15,
    **_TENS_IN_WORDS,
}
_LONG_UNITS: Final = {
    "seconds": "s",
    "minutes": "min",
    "minute": "min",
    "hours": "h",
    "hour": "h",
    "days": "days",
    "grams": "g",
    "kilograms": "kg",
    "millilitres": "ml",
    "litres": "l",
    "teaspoons": "tsp",
    "tablespoons": "tbsp",
    "cups": "cups",
    "centimetres": "cm",
    "millimetres": "mm",
    "degrees": "C",
}
"""Units that are written out, and how the language writes them. One spoon or cup is a tool as often as an amount."""

_CLOSE: Final = {
    "temperature": Fraction(6),
    "mass": Fraction(1, 10),
    "volume": Fraction(1, 10),
    "length": Fraction(1, 5),
}
"""How far a thing said twice may be from itself: degrees Celsius, else a share of it. Both are rounded by hand."""


@cache
def _loose() -> re.Pattern[str]:
    units = sorted((unit for unit in UNITS if unit not in _ALSO_WORDS), key=len, reverse=True)
    words = [*units, "mins", "hrs", "° C", "° F", "degrees", "°", "%", "litres", "l"]
    joint = r"(?:[ \u00a0]?|-(?=inch|cm|mm|min|hour|g\b|kg\b|ml\b|oz\b|lb\b))"
    return re.compile(
        rf"(?<![\w.])({_NUMBER}(?:\s*[-–−]\s*{_NUMBER}|\s+to\s+{_NUMBER})?){joint}"
        rf"({'|'.join(map(re.escape, words))})(?![\w°])"
    )


@cache
def _written_out() -> re.Pattern[str]:
    small = "|".join(_IN_WORDS)
    tens = "|".join(_TENS_IN_WORDS)
    number = rf"(?:(?:{tens})-(?:{small})|{small})"
    return re.compile(
        rf"(?<![\w-])(?:(half an hour|an hour and a half|an hour|a quarter of an hour|three quarters of an hour)|"
        rf"({number})(?:\s+(?:to|or)\s+({number}))?\s+({'|'.join(_LONG_UNITS)}))(?![\w-])",
        re.IGNORECASE,
    )


_HOURS: Final = {
    "half an hour": "30 min",
    "an hour and a half": "1 h 30 min",
    "an hour": "1 h",
    "a quarter of an hour": "15 min",
    "three quarters of an hour": "45 min",
}

_GAS_MARK: Final = re.compile(r"\bgas(?:\s+mark)?\s+(1/4|1/2|[¼½1-9])(?![\w/.])", re.IGNORECASE)

_MONEY: Final = re.compile(
    r"(?:[$€£¥]\s?\d+(?:[.,]\d\d?)?|(?<![\w.])\d+(?:\.\d\d)?\s?(?:[€£¥]|(?:NZD|AUD|USD|GBP|EUR|CAD)\b))(?![\w])"
)

_AGAIN: Final = re.compile(r"^\s?(?:\(|/|,?\s?or\s|=)\s?(?:about\s|ca\.?\s|c\.\s)?$")
"""What stands between a fact and the same in other units."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    for step in compiled.recipe.steps:
        for line in step.prose():
            before: Fact | None = None
            for piece in line.pieces:
                if not isinstance(piece, Text):
                    before = piece
                    continue
                yield from _text(piece.span, before, kitchen)


def _text(text: Span, before: Fact | None, kitchen: Kitchen) -> Iterator[Finding]:
    """The loose numbers of a stretch of plain words; `before` is the fact it follows."""
    for match in _loose().finditer(text.text):
        span = text.part(match.start(), match.end())
        twice = _said_twice(match, text.text[: match.start()], span, before, kitchen)
        yield twice or find(
            "loose-number",
            span,
            f"“{span.text}” stands outside brackets: it will not scale, convert or be checked.",
            _mend(match.group(1), match.group(2)),
        )
    for match in _written_out().finditer(text.text):
        span = text.part(match.start(), match.end())
        yield find(
            "loose-number",
            span,
            f"“{span.text}” is said in words: it will not scale, convert or be checked.",
            _mend_words(match),
            severity=Severity.HINT,
        )
    for match in _GAS_MARK.finditer(text.text):
        degrees = _GAS[match[1]]
        yield find(
            "gas-mark",
            text.part(match.start(), match.end()),
            f"“{match[0]}” is a mark on a dial: it will not convert or be checked.",
            f"Write `[{degrees} C oven]`, which is about that.",
        )
    for match in _MONEY.finditer(text.text):
        yield find(
            "loose-money",
            text.part(match.start(), match.end()),
            f"“{match[0]}” is a price in prose: it stays as it is when prices change.",
            "Put it on a price list, `prices at SHOP on DATE`, and the cost is worked out; or take it out.",
        )


# ---------------------------------------------------------------- the mends


def _mend(number: str, unit: str) -> str:
    if unit.startswith("°"):
        return f"Write `[{number} {unit[1:].strip() or 'C'}]`{'' if unit[1:] else ', or F if Fahrenheit is meant'}."
    unit = unit if unit in UNITS else next(iter(nearest_units(unit)), unit)
    dimension = UNITS[unit].dimension if unit in UNITS else None
    if dimension in ("mass", "volume"):
        return f"If it is taken from the list, write `[{number} {unit} of the …]`."
    if unit in ("degrees", "%"):
        return "Put it in brackets with what it is of."
    return f"Write `[{number} {unit}]`."


def _mend_words(match: re.Match[str]) -> str:
    if match[1]:
        return f"Write `[{_HOURS[' '.join(match[1].casefold().split())]}]`."
    low, high = _value(match[2]), _value(match[3]) if match[3] else None
    unit = _LONG_UNITS[match[4].casefold()]
    number = f"{low}" if high is None or high == low else f"{min(low, high)}-{max(low, high)}"
    if UNITS[unit].dimension in ("mass", "volume"):
        return f"If it is taken from the list, write `[{number} {unit} of the …]`."
    return f"Write `[{number} {unit}]`."


def _value(words: str) -> int:
    return sum(_IN_WORDS[word] for word in words.casefold().split("-"))


# ---------------------------------------------------------------- said twice


def _said_twice(
    match: re.Match[str], between: str, span: Span, before: Fact | None, kitchen: Kitchen
) -> Finding | None:
    """`[180 C oven] (350 F)`: the second is worked out by itself, and may be wrong."""
    fact = _quantity(before)
    if fact is None or before is None or not _AGAIN.match(between):
        return None
    unit = match[2].replace("°", "").strip()
    written = UNITS.get(unit)
    number = _number(match[1])
    if (
        written is None
        or number is None
        or written.dimension != fact.dimension
        or written.name == fact.low[0].unit
    ):
        return None
    measures = kitchen.settings.measures
    low, high = quantities.extent(fact, measures)
    term = Term(number, written.name)
    said, _ = quantities.extent(Quantity(fact.dimension, (term,), (term,), span), measures)
    near = _CLOSE.get(fact.dimension)
    if near is None:
        return None
    room = near if fact.dimension == "temperature" else near * high
    agrees = low - room <= said <= high + room
    heat = fact.dimension == "temperature"
    why = "the card shows both scales by itself" if heat else "it will not scale with it"
    return find(
        "said-twice",
        span,
        f"“{span.text}” says again what `{before.span.text}` says"
        + (f": {why}." if agrees else ", and says something else."),
        "Take it out." if agrees else "Correct the one in brackets, if it is that; and take this one out.",
        also=(Also(before.span, "the fact"),),
        severity=None if agrees and fact.dimension in ("temperature", "length") else Severity.WARNING,
    )


def _quantity(fact: Fact | None) -> Quantity | None:
    match fact:
        case TemperatureFact():
            return fact.temperature
        case Draw():
            return fact.share.quantity
        case MeasureFact():
            return fact.lengths[0] if len(fact.lengths) == 1 else fact.quantity
        case _:
            return None


def _number(text: str) -> Fraction | None:
    """`2`, `5.3`, `1/2`, `¾`, `1 ½`; None for a range."""
    plain = unicodedata.normalize("NFKC", re.sub(r"(?<=\d)(?=[½⅓⅔¼¾⅕⅛⅜⅝⅞])", " ", text.strip()))
    try:
        return sum((Fraction(word) for word in plain.replace("\u2044", "/").split()), Fraction(0))
    except (ValueError, ZeroDivisionError):
        return None
