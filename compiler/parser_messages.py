"""What is wrong with a text that the grammar does not take, said to a cook.

The grammar only says where it stopped. What the cook most likely did is found here from the text itself: each
slip of the pen that the language knows by name has its own rule, and an edit where the mend is certain.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.quantities import UNITS, nearest_units
from benchproof.compiler.suggest import distance, one_of


@dataclass(frozen=True, slots=True)
class Slip:
    """One thing wrong with a piece of text; `start` and `end` count from that piece's first character.

    `mend` is the text to put between `mend_start` and `mend_end` (the same stretch unless given).
    """

    rule: str
    start: int
    end: int
    message: str
    help: str = ""
    mend: str | None = None
    mend_start: int | None = None
    mend_end: int | None = None
    severity: Severity = Severity.ERROR


class Refused(Exception):
    """A line, or a fact, that is not taken. Never leaves the parser."""

    def __init__(self, slip: Slip, also: tuple[tuple[int, int, str], ...] = ()) -> None:
        super().__init__(slip.rule)
        self.slip = slip
        self.also = also


def refuse(
    rule: str,
    start: int,
    end: int,
    message: str,
    help: str = "",
    mend: str | None = None,
    mend_start: int | None = None,
    mend_end: int | None = None,
) -> Refused:
    """The refusal of what stands between `start` and `end`."""
    return Refused(Slip(rule, start, end, message, help, mend, mend_start, mend_end))


WANTED: Final[dict[str, str]] = {
    "amount": "an amount: `280 g`, `2 tsp`, `3`, `145 %`, `150 % of rice`, `to taste`",
    "bound": "a bound: `140-150 %`, `under 0.15`, `at most 90 min`",
    "count": "one number: `4`, `4 rounds`",
    "date": "a date, the year first: `2026-11-02`",
    "density": "a weight for a volume: `0.58 g/ml`, `120 g/cup`",
    "duration": "a time: `90 min`, `90 days`",
    "gains": "a share and where it is gained: `140 % in the pot`",
    "held": "how many, or what it holds: `4`, `2 l`",
    "keeps": "a time and a place: `2 days in a tin, 2 months frozen`",
    "length": "a length: `120 m`",
    "loses": "a share and where it is lost: `3 % in the bowl, 11 % in the bake`",
    "makes": "what a batch gives: `12 rounds of 58 g`, `2 loaves`, `900 g`",
    "percent": "one share: `12 %`",
    "price": "a price and what it buys: `3.30 for 1.5 kg`, `4.60 for 8 x 7 g`, `7.20 for 12`, `free`",
    "quantity": "a weight or a volume: `56.7 g`",
    "reheats": "how hot: `to 75 C core`",
    "scales": "the smallest step and the most it carries: `0.1 g to 500 g`",
    "tariff": "a price and what it buys: `0.32 for 1 kWh`",
    "temperature": "a temperature: `21 C`",
    "temperatures": "temperatures: `2 C by hand, 11 C in the mixer`",
    "tin": "a size: `23 cm round, 5 cm deep` or `23 x 13 cm, 7 cm deep`",
    "wage": "a price and what it buys: `28 for 1 h`",
    "waive": "a rule and a reason: `ratio-outside-style because the topping is salted`",
    "weight": "a weight: `208 g baked`",
    "fact": "an amount drawn, a time, a temperature, a load or a size: `the water`, `half the sugar`, `20-25 min hands-off`, "
    "`200 C oven`, `4 at a time`, `2 cm`",
}
"""What each value is, with its forms, for `Here stands ...`."""

_SLIP_UNITS: Final[dict[str, str]] = {
    "gm": "g", "gms": "g", "grm": "g", "grms": "g", "gr": "g", "grs": "g", "gs": "g", "gramme": "g", "grammes": "g",
    "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogramme": "kg", "kilogrammes": "kg", "ozs": "oz",
    "mls": "ml", "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml", "cc": "ml",
    "liter": "l", "liters": "l", "ltr": "l", "ltrs": "l", "lt": "l", "ls": "l",
    "tbs": "tbsp", "tbsps": "tbsp", "tblsp": "tbsp", "tbl": "tbsp", "tbls": "tbsp", "tsps": "tsp", "teasp": "tsp", "tea-spoon": "tsp",
    "pt": "pint", "pts": "pint", "qt": "quart", "qts": "quart", "gal": "gallon", "gals": "gallon", "floz": "fl oz",
    "mins": "min", "minuets": "min", "hr": "h", "hrs": "h", "secs": "s", "wk": "week", "wks": "week", "dys": "days", "mth": "month",
    "mths": "month", "cms": "cm", "mms": "mm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "millimetre": "mm", "millimetres": "mm", "metre": "m", "metres": "m", "foot": "ft", "feet": "ft",
    "celsius": "C", "centigrade": "C", "fahrenheit": "F", "kwh": "kWh", "mj": "MJ",
}  # fmt: skip
"""Spellings that cooks use and the language does not, to the one it does."""

_VAGUE: Final = (
    "pinch",
    "pinches",
    "dash",
    "dashes",
    "handful",
    "handfuls",
    "knob",
    "splash",
    "drizzle",
    "glug",
    "smidgen",
    "bit",
)
_FOLDED_UNITS: Final = {spelling.casefold(): spelling for spelling in UNITS if len(spelling) > 1}
_NUMBER: Final = r"(?:[0-9]+(?:\.[0-9]+)?|[½⅓⅔¼¾⅕⅛⅜⅝⅞])"
_UNIT: Final = "|".join(re.escape(spelling) for spelling in sorted(UNITS, key=len, reverse=True))
_MEASURE: Final = re.compile(rf"{_NUMBER} ?(?:{_UNIT})(?![^\W\d_])")
_WORD_NUMBERS: Final = (
    "a|an|one|two|three|four|five|six|seven|eight|nine|ten|twelve|fifteen|twenty|thirty|forty|forty-five|fifty|sixty|ninety|half an"
    "|a half|a quarter of an|three quarters of an|a few|several|a couple of"
)
_WEIGHED: Final = re.compile(
    r" ?(?:k?g|gr|gr?ms?|grams?|kilos?|m?l|litres?|oz|lbs?|tsp|tbsp|cups?|%)(?!\w)", re.IGNORECASE
)
_TIME_WORDS: Final = "seconds?|minutes?|mins?|hours?|days?|weeks?|months?"


def meant_unit(word: str) -> str | None:
    """The unit that a word surely means though it is not spelt so: `Kg`, `grm`, `tbs`; else None."""
    if word in UNITS:
        return None
    bare = unicodedata.normalize("NFKC", word).rstrip(".")
    if bare in UNITS:
        return bare
    return _SLIP_UNITS.get(bare) or _SLIP_UNITS.get(bare.casefold()) or _FOLDED_UNITS.get(bare.casefold())


def unit_slip(word: str, start: int) -> Slip | None:
    """The finding for a misspelt unit that stands at `start`, or None when the word means no unit we know."""
    meant = meant_unit(word)
    if meant is None:
        return None
    end = start + len(word)
    if word.casefold() == meant.casefold():
        message = f"`{word}` is no unit: capitals count, and this one is written `{meant}`."
        return Slip("unit-case", start, end, message, f"Write `{meant}`.", meant)
    return Slip(
        "unknown-unit",
        start,
        end,
        f"`{word}` is not how this unit is written here.",
        f"Write `{meant}`.",
        meant,
    )


# ---------------------------------------------------------------- slips, the most particular first

_Finder = Callable[[str, str], Slip | None]


def _odd_digits(text: str, what: str) -> Slip | None:
    for found in re.finditer(r"\d+", text):
        digits = found.group()
        if not digits.isascii():
            plain = "".join(str(unicodedata.digit(digit)) for digit in digits)
            return Slip(
                "full-width-digits",
                *found.span(),
                f"`{digits}` is written in digits that are not the plain 0 to 9.",
                f"Write `{plain}`.",
                plain,
            )
    return None


def _quotes(text: str, what: str) -> Slip | None:
    found = re.search(r"[“”„‟«»\"″]", text)
    if found is None:
        return None
    if re.search(r"[0-9½¼¾] ?$", text[: found.start()]) and found.group() in '"″”':
        return Slip(
            "smart-quotes", *found.span(), f"`{found.group()}` is no unit here.", "Write `inch`.", " inch"
        )
    return Slip(
        "smart-quotes",
        *found.span(),
        "There is a quotation mark in a value; nothing here is quoted.",
        "Leave the quotation marks out.",
        text[1:-1] if re.fullmatch(r"[“”„‟«»\"][^“”„‟«»\"″]+[“”„‟«»\"]", text) else None,
        0,
        len(text),
    )


def _long_number(text: str, what: str) -> Slip | None:
    found = re.search(r"[0-9]{10,}", text)
    if found is None:
        return None
    return Slip(
        "number-too-long",
        *found.span(),
        f"This number has {len(found.group())} digits; at most nine are read, before the point and after it.",
        "Write it shorter, or in a larger unit.",
    )


def _commas(text: str, what: str) -> Slip | None:
    found = re.search(r"[0-9]+(?:,[0-9]+)+(?:\.[0-9]+)?", text)
    if found is None:
        return None
    written = found.group()
    if re.fullmatch(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+", written):
        whole, decimal = written.replace(",", ""), written.replace(",", ".", 1)
        return Slip(
            "thousands-comma",
            *found.span(),
            f"`{written}` can be read as {whole} or as {decimal}: numbers are written without a comma.",
            f"Write `{whole}`" + (f", or `{decimal}`." if decimal.count(",") == 0 else "."),
        )
    mended = written.replace(",", ".") if written.count(",") == 1 and "." not in written else None
    rest = text[found.end() :]
    # `5,7 min` and `10,20 C` may be ranges; a weight, a volume, a share or a price can only be a decimal.
    sure = _WEIGHED.match(rest) or (what == "price" and rest.startswith(" for "))
    return Slip(
        "decimal-comma",
        *found.span(),
        f"`{written}` has a comma between its digits: a comma here adds a detail.",
        f"Write `{mended}`." if mended else "Write the number with a point and no comma.",
        mended if sure else None,
    )


def _blank_in_number(text: str, what: str) -> Slip | None:
    found = re.search(r"(?<![0-9.])[1-9][0-9]{0,2}(?: [0-9]{3})+(?![0-9/.])", text)
    if found is None:
        found = re.search(r"[0-9]+\.[0-9]+(?:\.[0-9]+)+", text)
        if found is None:
            return None
        return Slip(
            "number-form",
            *found.span(),
            f"`{found.group()}` has more than one point in it.",
            "Write it with one point at most.",
        )
    plain = found.group().replace(" ", "")
    return Slip(
        "blank-in-number",
        *found.span(),
        f"`{found.group()}` is a number with a blank in it.",
        f"Write `{plain}`.",
    )


def _two_temperatures(text: str, what: str) -> Slip | None:
    one = r"[0-9]+(?:\.[0-9]+)? ?[°º]? ?[CF]"
    found = re.search(rf"({one})(?: *[/|] *({one})| *\(({one})\))", text)
    if found is None:
        return None
    other = found.group(2) or found.group(3)
    return Slip(
        "two-temperatures",
        *found.span(),
        f"`{found.group()}` says one temperature twice; the other scale is worked out for whoever asks for it.",
        f"Write `{found.group(1)}`.",
        found.group(1) if abs(_celsius(found.group(1)) - _celsius(other)) <= 6 else None,
    )


def _celsius(text: str) -> Fraction:
    """A temperature of `200 C` or `390 F`: two that say the same are rounded to ten, and so differ by six at most."""
    degrees = Fraction(re.sub(r"[^0-9.]", "", text))
    return (degrees - 32) * Fraction(5, 9) if text.endswith("F") else degrees


def _degrees(text: str, what: str) -> Slip | None:
    found = re.search(
        rf"({_NUMBER})( ?(?:degrees?|deg\.?|[°º]))(?: ?([CF]|Celsius|Fahrenheit|celsius|fahrenheit|centigrade)(?!\w))?",
        text,
    )
    if found is None:
        return None
    scale = found.group(3)
    if scale:
        mended = f"{found.group(1)} {'F' if scale[0] in 'Ff' else 'C'}"
        return Slip(
            "degree-form",
            *found.span(),
            f"`{found.group()}` is written with its letter alone.",
            f"Write `{mended}`.",
            mended,
        )
    number = found.group(1)
    return Slip(
        "degree-missing",
        *found.span(),
        f"`{found.group()}` does not say of which scale.",
        f"Write `{number} C` or `{number} F`.",
    )


def _hedge(text: str, what: str) -> Slip | None:
    found = re.match(
        r"(?:about|around|roughly|approximately|approx\.?|circa|ca\.?|c\.|nearly|almost|some|maybe|say|plus|another|a further|a good|a scant"
        r"|a generous|a heaped|[~≈±])(?= ?[0-9½⅓⅔¼¾]) ?",
        text,
        re.IGNORECASE,
    )
    if found is None:
        return None
    hint = (
        "Write a range, where it is one (`5-7 min`), or the number alone."
        if what != "amount"
        else "Write the amount alone."
    )
    return Slip(
        "about-number",
        0,
        len(found.group().rstrip()),
        f"`{found.group().strip()}` before a number leaves it open, and nothing can be worked out from it.",
        hint,
        # What says more or less than the number cannot go unseen: `nearly`, `a heaped`, `some`.
        ""
        if re.match(r"about|around|roughly|approx|c|plus|another|a further|[~≈]", found.group(), re.I)
        else None,
        0,
        found.end(),
    )


def _vague(text: str, what: str) -> Slip | None:
    found = re.match(
        rf"(?:an?|a few|a good|some) (?:small |large |big |good )?({'|'.join(_VAGUE)})(?!\w)",
        text,
        re.IGNORECASE,
    )
    if found is None:
        return None
    word = found.group(1)
    return Slip(
        "vague-amount",
        *found.span(),
        f"`{found.group()}` has no weight that can be scaled or costed.",
        f"Write `to taste`, or an amount; `1 {word}` if the ingredient's facts say what a {word} weighs."
        if what == "amount"
        else "Say how much in the ingredients, and draw it by its name: `[the fine salt]`.",
    )


def _bad_range(text: str, what: str) -> Slip | None:
    found = re.search(
        rf"({_NUMBER}) ?(?:\.\.\.?|…|~|/|or|till|until|\band\b) ?({_NUMBER})(?= |$|[a-zA-Z%])", text
    )
    if found is None or (found.group(1).isdigit() and found.group(2).isdigit() and "/" in found.group()):
        return None
    if found := re.search(
        rf"(?<![0-9/])({_NUMBER}) ?(?:\.\.\.?|…|~|or|till|until|and) ?({_NUMBER})(?![0-9/])", text
    ):
        mended = f"{found.group(1)}-{found.group(2)}"
        either = re.search(r"or|and", found.group())  # not surely all that lies between
        return Slip(
            "range-form",
            *found.span(),
            f"`{found.group()}` looks like a range.",
            f"Write `{mended}` or `{found.group(1)} to {found.group(2)}`.",
            None if either else mended,
        )
    return None


def _currency_sign(text: str, what: str) -> Slip | None:
    found = re.search(r"[$€£¥₹] ?(?=[0-9])|(?<=[0-9]) ?[$€£¥₹]|\b[A-Z]{3} ?(?=[0-9])", text)
    if found is None or what not in ("price", "bound", "tariff", "wage"):
        return None
    return Slip(
        "currency-sign",
        *found.span(),
        "Money is written as a number alone; its currency is the heading's (`... on 2026-11-02 in EUR`) or the kitchen's.",
        "Leave the sign out.",
    )


def _price_forms(text: str, what: str) -> Slip | None:
    if what not in ("price", "tariff", "wage"):
        return None
    example = {"price": "3.30 for 1.5 kg", "tariff": "0.32 for 1 kWh", "wage": "28 for 1 h"}[what]
    if found := re.fullmatch(rf"({_NUMBER}) ?(?:/|per|a|an|each|the) ?(?:({_UNIT}))?", text):
        mended = f"{found.group(1)} for 1 {found.group(2)}" if found.group(2) else f"{found.group(1)} for 1"
        return Slip(
            "price-form",
            *found.span(),
            f"`{text}` is written with `for` and a number.",
            f"Write `{mended}`.",
            mended if found.group(2) or text.endswith("each") else None,
        )
    if found := re.fullmatch(rf"({_NUMBER}) for (?:a |an |one )?({_UNIT})", text):
        mended = f"{found.group(1)} for 1 {found.group(2)}"
        return Slip(
            "price-form",
            0,
            len(text),
            f"`{text}` has no number before its unit.",
            f"Write `{mended}`.",
            mended,
        )
    if re.fullmatch(_NUMBER, text):
        return Slip(
            "price-without-pack",
            0,
            len(text),
            f"`{text}` does not say what it buys.",
            f"Write it as `{example}`.",
        )
    if found := re.fullmatch(rf"({_NUMBER}) for ([0-9]+) ([^\W\d_][^,0-9]*)", text):
        word = found.group(3).split(" ")[0]
        if slip := unit_slip(word, found.start(3)):
            return slip
        mended = f"{found.group(1)} for {found.group(2)}"
        return Slip(
            "price-pack-words",
            *found.span(3),
            f"`{found.group(3)}` after the number: the line's name says already what is counted.",
            f"Write `{mended}` for pieces, or `{mended} of 55 g` when their weight is known.",
        )
    return None


def _number_in_words(text: str, what: str) -> Slip | None:
    found = re.match(
        rf"(?:for |at least |up to |under |over )?(?:{_WORD_NUMBERS}) (?:{_TIME_WORDS}|{_UNIT})(?!\w)",
        text,
        re.IGNORECASE,
    )
    if what == "fact" and re.fullmatch(r"overnight(?: hands-off)?", text):
        help = "Write how long that is: `8-12 h hands-off`."
        return Slip("number-in-words", 0, len(text), f"`{text}` is a number in words.", help)
    if found is None and what in ("count", "makes", "held", "amount"):
        found = re.match(
            rf"(?:a dozen|half a dozen|a pair|(?!an? ){_WORD_NUMBERS})(?!\w)", text, re.IGNORECASE
        )
    if found is None:
        return None
    return Slip(
        "number-in-words",
        *found.span(),
        f"`{found.group()}` is a number in words.",
        "Write it in digits: `5 min`, `1 h`, `12`.",
    )


_OF_UNIT: Final[dict[str, str]] = {
    "temperature": "C", "temperatures": "C", "reheats": "C", "duration": "min", "keeps": "days", "weight": "g", "quantity": "g",
    "length": "m", "loses": "%", "gains": "%", "percent": "%", "tin": "cm", "scales": "g", "density": "g/ml",
}  # fmt: skip


def _bare_number(text: str, what: str) -> Slip | None:
    if what == "makes":
        if found := re.search(rf" of ({_NUMBER})$", text):
            number = found.group(1)
            return Slip(
                "bare-number",
                *found.span(1),
                f"`{number}` has no unit.",
                f"Write `{number} g`, if grams are meant.",
            )
        return None
    unit = _OF_UNIT.get(what)
    if unit is None:
        return None
    found = re.match(rf"{_NUMBER}(?:(?: ?[-–] ?| to ){_NUMBER})?(?= *(?:,|$)| (?:in|on|at|for) )", text)
    if found is None:
        return None
    mended = f"{found.group()} {unit}"
    share = re.fullmatch(r"[2-9]|[1-9][0-9]", found.group())  # `0.75` may mean three quarters
    sure = mended if unit == "%" and share else None
    return Slip(
        "bare-number",
        *found.span(),
        f"`{found.group()}` has no unit.",
        f"Write `{mended}`, if that is meant.",
        sure,
    )


def _noun_for_unit(text: str, what: str) -> Slip | None:
    if what not in _OF_UNIT:
        return None
    found = re.match(rf"{_NUMBER} ([^\W\d_]+)", text)
    if found is None or found.group(1) in UNITS or unit_slip(found.group(1), 0):
        return None
    return Slip(
        "count-in-unit-place",
        *found.span(1),
        f"`{found.group(1)}` is no unit.",
        f"Here stands {WANTED[what]}.",
    )


def _bound_words(text: str, what: str) -> Slip | None:
    if what != "bound":
        return None
    pairs = (
        (r"(?:<=|≤|max(?:imum)?\.?|not (?:over|more than)|no more than|up to)", "at most"),
        (r"(?:>=|≥|min(?:imum)?\.?|not (?:under|less than)|no less than|from)", "at least"),
        (r"(?:<|below|less than|beneath|fewer than)", "under"),
        (r"(?:>|above|more than)", "over"),
    )
    for pattern, word in pairs:
        if found := re.match(rf"{pattern} ?(?=[0-9½⅓⅔¼¾])", text, re.IGNORECASE):
            written = found.group().strip()
            return Slip(
                "bound-form",
                0,
                len(written),
                f"`{written}` is not one of the words for a bound.",
                f"Write `{word}`.",
                word + " ",
                0,
                found.end(),
            )
    return None


def _makes_form(text: str, what: str) -> Slip | None:
    if what != "makes":
        return None
    found = re.match(
        rf"([0-9]+(?: [^\W\d_][^0-9(@]*?)?) ?(?: at| of|@|[x×] ?(?=[0-9])|,? each| weighing|, |\() ?({_NUMBER} ?(?:{_UNIT}))( (?:baked|cooked))?( each)?\)?$",
        text,
    )
    if found is None:
        return None
    mended = f"{found.group(1).strip()} of {found.group(2)}{found.group(3) or ''}"
    return Slip(
        "makes-form",
        0,
        len(text),
        f"`{shortened(text)}` is nearly it: what one weighs follows `of`.",
        f"Write `{mended}`.",
        # `12 rounds (700 g)` may be what they weigh together.
        mended if re.search(r"\bat |@|each|weighing|[0-9a-z] ?[x×] ?[0-9]", text) else None,
    )


def _density_form(text: str, what: str) -> Slip | None:
    if what != "density":
        return None
    found = re.fullmatch(rf"({_NUMBER} ?(?:{_UNIT})) ?(?:per|a|for|in|to the) ?(?:1 )?({_UNIT})", text)
    if found is None:
        return None
    mended = f"{found.group(1)}/{found.group(2)}"
    return Slip(
        "density-form", 0, len(text), f"`{text}` is written with a stroke.", f"Write `{mended}`.", mended
    )


def _empty_detail(text: str, what: str) -> Slip | None:
    found = re.search(r",(?= *(?:,|$))", text)
    if found is None:
        return None
    return Slip(
        "empty-detail", *found.span(), "There is nothing after this comma.", "Leave the comma out.", ""
    )


def _several(text: str, what: str) -> Slip | None:
    if what not in ("amount", "makes", "quantity", "weight", "held", "count"):
        return None
    if found := re.match(rf"([0-9]{{1,4}}) ?[x×] ?([0-9]{{1,6}}) ?({_UNIT})(?!\w)", text):
        total = int(found.group(1)) * int(found.group(2))
        mended = f"{total} {found.group(3)}"
        return Slip(
            "several-of-so-much",
            *found.span(),
            f"`{found.group()}` is a sum, and here stands one amount.",
            f"Write `{mended}`.",
            mended if what not in ("held", "count") else None,
        )
    measures = list(_MEASURE.finditer(text))
    counted = re.match(rf"{_NUMBER} [^\W\d_]", text) and measures and measures[0].start() > 0
    if (len(measures) > 1 or counted) and re.search(r"[/(=]|\bor\b|\babout\b", text):
        return Slip(
            "two-amounts",
            0,
            len(text),
            f"`{shortened(text)}` says more than one amount.",
            "Write one; the others are worked out from it.",
        )
    return None


def _words_after(text: str, what: str) -> Slip | None:
    """`280 g sifted`: a detail without its comma."""
    if what != "amount":
        return None
    found = re.match(
        rf"{_NUMBER} ?(?:(?:US|UK|metric|Australian) )?(?:{_UNIT}|%)(?= (?!of )([^\W\d_][^,0-9]*))", text
    )
    if found is None:
        return None
    rest = found.group(1).strip()
    return Slip(
        "words-after-amount",
        *found.span(1),
        f"`{shortened(rest)}` after the amount is no part of it.",
        f"What a line adds follows a comma: `{found.group()}, {shortened(rest)}`.",
        # A word that changes the amount must not become a note beside it.
        None if re.match(r"(?:or|and|plus|minus|less|more|heaped|heaping|scant|each|per|x)\b", rest) else ",",
        found.end(),
        found.end(),
    )


def _to_taste(text: str, what: str) -> Slip | None:
    if what != "amount" or not text[:1].isalpha() or len(text) > 12:
        return None
    near = distance(text.casefold(), "to taste", 2) <= 2
    if not near and text.casefold() not in ("some", "a little", "as needed", "as required", "q.b.", "q.s."):
        return None
    help = "Write `to taste`." if near else "Write `to taste`, or the amount."
    return Slip("to-taste-form", 0, len(text), f"`{text}` is no amount.", help, "to taste" if near else None)


def _misspelt_unit(text: str, what: str) -> Slip | None:
    for found in re.finditer(
        rf"{_NUMBER} ?(?:(?:US|UK|metric|Australian) )?([°º]?[^\W\d_][^\W\d_.-]*\.?)", text
    ):
        if slip := unit_slip(found.group(1), found.start(1)):
            return slip
    return None


def _abutting(text: str, what: str) -> Slip | None:
    found = re.search(rf"({_NUMBER}) ?({_UNIT})\.(?= |$|,)", text)
    if found is None:
        return None
    mended = f"{found.group(1)} {found.group(2)}"
    return Slip(
        "unit-point",
        *found.span(),
        f"`{found.group()}`: a unit takes no point.",
        f"Write `{mended}`.",
        mended,
    )


_SLIPS: Final[tuple[_Finder, ...]] = (
    _odd_digits,
    _long_number,
    _two_temperatures,
    _commas,
    _hedge,
    _vague,
    _number_in_words,
    _currency_sign,
    _price_forms,
    _bound_words,
    _makes_form,
    _density_form,
    _to_taste,
    _quotes,
    _degrees,
    _blank_in_number,
    _bad_range,
    _abutting,
    _misspelt_unit,
    _several,
    _words_after,
    _bare_number,
    _noun_for_unit,
    _empty_detail,
)


_LONGEST: Final = 300


def known_slip(text: str, what: str) -> Slip | None:
    """The first slip of the pen in a value or a fact that has a name, or None. `what` is a key of `WANTED`."""
    if len(text) > _LONGEST:
        return None  # no slip of the pen; and the patterns above are not all linear
    for find in _SLIPS:
        if slip := find(text, what):
            return slip
    return None


def unlike_anything(text: str, what: str, stopped: int) -> Slip:
    """The finding for a text that is wrong in no way we have a name for. The grammar took it up to `stopped`."""
    stopped = max(0, min(stopped, len(text)))
    taken, rest = text[:stopped].rstrip(), text[stopped:].strip()
    wanted = WANTED[what]
    rule = "not-a-" + ("fact" if what == "fact" else "value")
    if not taken or not rest:
        return Slip(
            rule, 0, len(text), f"`{shortened(text)}` is not understood here.", f"Here stands {wanted}."
        )
    return Slip(
        rule,
        stopped,
        len(text),
        f"`{shortened(taken)}` is understood, but not with `{shortened(rest)}` after it.",
        f"Here stands {wanted}.",
    )


def shortened(text: str, most: int = 60) -> str:
    """A text short enough for a sentence."""
    return text if len(text) <= most else text[: most - 3].rstrip() + "..."


def unknown_noun(word: str, start: int) -> Slip | None:
    """The finding for a count's word that must have been meant as a unit (`280 grm`), or None."""
    if slip := unit_slip(word, start):
        return slip
    near = nearest_units(word) if len(word) > 3 else []
    if near and abs(len(near[0]) - len(word)) < 2 and _one_slip(word.casefold(), near[0].casefold()):
        return Slip(
            "unknown-unit",
            start,
            start + len(word),
            f"There is no unit `{word}`.",
            f"Did you mean {one_of(near)}?",
        )
    return None


def _one_slip(one: str, other: str) -> bool:
    return distance(one, other, 1) <= 1
