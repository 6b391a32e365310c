"""Exact values to shown text: the one place where anything is rounded.

Every function is pure. Values come in exact (`Fraction`), in the base units of `quantities`: grams,
millilitres, seconds, degrees Celsius. Rounding is *half up* (a half goes to the greater neighbour), from
the exact value and only once: a cook who halves 0.25 g expects 0.13, and so does the till. Half-to-even would
show 0.12 here and 0.38 for three times as much, which looks like a mistake on a card. The one exception has
a name: a limit of temperature (`minimum`, `maximum`) is never rounded to the unsafe side.

A positive amount is never shown as 0; it reads `< 0.1 g`. Negative weights, volumes and times do not occur
and raise `ValueError`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor
from typing import Final, Literal, TypeAlias

from benchproof.compiler.quantities import fahrenheit, shown_unit

THIN: Final = "\u2009"
"""Between a number and its unit."""
NO_BREAK_THIN: Final = "\u202f"
"""Between a number and `%`."""
NO_BREAK: Final = "\u00a0"
"""Between the terms of one amount: `1 h 30 min`."""
DASH: Final = "–"
MINUS: Final = "−"

Degrees: TypeAlias = Literal["C", "F"]
"""A temperature scale, by its canonical unit."""


class UnknownCurrency(ValueError):
    """A code that ISO 4217 does not have, or that nobody shops in. The message is for a cook."""


# ---------------------------------------------------------------- rounding


def rounded(value: Fraction, places: int) -> Fraction:
    """Half up to so many decimals. Negative `places` round to tens, hundreds and so on."""
    return to_multiple(value, Fraction(10) ** -places)


def to_multiple(value: Fraction, step: Fraction) -> Fraction:
    """The nearest multiple of `step`, a half going up. Raises `ValueError` unless `step` is above 0."""
    if step <= 0:
        raise ValueError(f"a step of {step} cannot be rounded to")
    return floor(value / step + Fraction(1, 2)) * step


def _fixed(value: Fraction, places: int) -> str:
    """Digits of a value that has been rounded to `places`. No thousands mark: a comma reads as a decimal."""
    units = rounded(value, places) * 10**places
    digits = str(abs(units.numerator)).rjust(places + 1, "0")
    sign = MINUS if units < 0 else ""
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)


def _trim(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text


def _vanishes(value: Fraction, shown: Fraction) -> bool:
    return value > 0 and shown == 0


def _not_negative(value: Fraction, what: str) -> None:
    if value < 0:
        raise ValueError(f"{what} below nothing: {value}")


def number(value: Fraction, places: int) -> str:
    """A plain number with exactly so many decimals; `< 0.01` where a positive one would read as 0."""
    if _vanishes(value, rounded(value, places)):
        return f"<{THIN}{_fixed(Fraction(1, 10**places), places)}"
    return _fixed(value, places)


def _short(value: Fraction, places: int = 2) -> str:
    """As `number`, with the zeros at the end cut."""
    return _trim(number(value, places))


# ---------------------------------------------------------------- weights and volumes

_TEN_KILOGRAMS: Final = Fraction(10_000)


def _places(step: Fraction) -> int:
    """Decimals that show every multiple of `step`; one for a step that three decimals cannot show, such as a
    quarter of an ounce in grams."""
    for places in range(4):
        if (step * 10**places).denominator == 1:
            return places
    return 1


def _grid(grams: Fraction, division: Fraction | None) -> Fraction:
    """The step in grams that a weight is shown to."""
    if division is not None:
        if division <= 0:
            raise ValueError(f"a scale cannot have a division of {division} g")
        step = division
    elif to_multiple(grams, Fraction(1, 10)) < 10:
        step = Fraction(1, 10)
    else:
        step = Fraction(1)
    if to_multiple(grams, step) < _TEN_KILOGRAMS:
        return step
    # In kilograms: whole grams at the finest, and without a scale three or more digits that mean something.
    return max(step, Fraction(10) if division is None else Fraction(1))


def shown_weight(grams: Fraction, division: Fraction | None = None) -> Fraction:
    """The weight in grams that `weight` shows: what stands on the scale when the card is followed.

    0 where the card says `< ...`. Raises `ValueError` for a negative weight, or a division not above 0.
    """
    _not_negative(grams, "a weight")
    return to_multiple(grams, _grid(grams, division))


def weight_parts(grams: Fraction, division: Fraction | None = None) -> tuple[str, str]:
    """Number and unit of a weight, rounded to what the scale can show.

    `division` is the scale's smallest step in grams: 0.1 gives one decimal (none where it would be a nought),
    1 none, 5 multiples of five.
    Without one: one decimal below 10 g, else whole grams. Grams below 10 000 g, since that is what a cook's
    scale shows; kilograms from there, with at most three decimals (two without a scale). Raises as
    `shown_weight`.
    """
    shown = shown_weight(grams, division)
    step = _grid(grams, division)
    if _vanishes(grams, shown):
        return f"<{THIN}{_fixed(step, _places(step))}", "g"
    if shown >= _TEN_KILOGRAMS:
        kilograms = step / 1000
        places = _places(kilograms) if kilograms.denominator <= 1000 else 3
        return _fixed(shown / 1000, places), "kg"
    return _trim(_fixed(shown, _places(step))), "g"


def weight(grams: Fraction, division: Fraction | None = None) -> str:
    """`280 g`, `3.4 g`, `< 0.1 g`, `12.345 kg`: `weight_parts` joined by a thin space."""
    return THIN.join(weight_parts(grams, division))


def volume_parts(ml: Fraction) -> tuple[str, str]:
    """Number and unit of a volume: tenths of a ml below 10 ml, whole ml to a litre, then hundredths of one.

    Zeros at the end are cut. Raises `ValueError` for a negative volume.
    """
    _not_negative(ml, "a volume")
    if rounded(ml, 1) < 10:
        return _short(ml, 1), "ml"
    if rounded(ml, 0) < 1000:
        return _short(ml, 0), "ml"
    return _short(ml / 1000, 2), "l"


def volume(ml: Fraction) -> str:
    """`250 ml`, `2.5 ml`, `1.25 l`."""
    return THIN.join(volume_parts(ml))


# ---------------------------------------------------------------- ratios and counts


def percent(value: Fraction) -> str:
    """`145 %`, `1.2 %`, `0.05 %`: at most two decimals. `value` is in percent: 145, not 1.45."""
    return f"{_short(value)}{NO_BREAK_THIN}%"


def ratio_range(low: Fraction, high: Fraction) -> str:
    """`110–155 %`; one number where both read alike. Values in percent."""
    return f"{_join(_short(low), _short(high))}{NO_BREAK_THIN}%"


def _join(low: str, high: str) -> str:
    if low == high:
        return low
    # Beside a minus or a `<` a dash is one stroke too many.
    plain = low[0].isdigit() or low[0] in _VULGAR.values()
    between = (
        DASH if plain and (high[0].isdigit() or high[0] in _VULGAR.values()) else f"{NO_BREAK}to{NO_BREAK}"
    )
    return f"{low}{between}{high}"


_VULGAR: Final = {
    Fraction(1, 2): "½",
    Fraction(1, 3): "⅓",
    Fraction(2, 3): "⅔",
    Fraction(1, 4): "¼",
    Fraction(3, 4): "¾",
}


def _with_fractions(value: Fraction) -> str:
    """`2½` where what is left over is exactly a half, thirds or quarters."""
    whole, part = divmod(value, 1)
    if value >= 0 and part in _VULGAR:
        return (str(whole) if whole else "") + _VULGAR[part]
    return _short(value)


def count(value: Fraction, noun: str | None = None) -> str:
    """`12 rounds`, `2½ lemons`, `2.4`: exact halves, thirds, quarters as fractions, else up to two decimals.

    The noun stands as the cook wrote it; no plural is guessed.
    """
    text = _with_fractions(value)
    return text if noun is None else f"{text} {noun}"


def count_range(low: Fraction, high: Fraction, noun: str | None = None) -> str:
    """`8–10 rounds`; one number where both read alike."""
    text = _join(_with_fractions(low), _with_fractions(high))
    return text if noun is None else f"{text} {noun}"


# ---------------------------------------------------------------- times

_SECONDS: Final = (("day", 86_400), ("h", 3_600), ("min", 60), ("s", 1))
# The most of each unit that is easier to read than two units: `90–105 min`, but not `300–310 min`.
_MOST_IN_A_RANGE: Final = {"day": None, "h": 72, "min": 180, "s": 120}


def _shown_seconds(seconds: Fraction) -> int:
    """Whole seconds below ten minutes, whole minutes below two days, whole hours from there."""
    _not_negative(seconds, "a time")
    if (shown := rounded(seconds, 0)) < 600:
        return int(shown)
    if (shown := to_multiple(seconds, Fraction(60))) < 172_800:
        return int(shown)
    return int(to_multiple(seconds, Fraction(3_600)))


def _time_text(shown: int) -> str:
    if 60 < shown < 120:
        return _amount_of_time(shown, "s")  # cooks say 90 s
    pieces: list[str] = []
    rest = shown
    for unit, size in _SECONDS:
        if unit == "day" and shown < 172_800:
            continue  # and 24 h, 36 h
        many, rest = divmod(rest, size)
        if many:
            pieces.append(_amount_of_time(many, unit))
    return NO_BREAK.join(pieces) if pieces else _amount_of_time(0, "min")


def _amount_of_time(many: int, unit: str) -> str:
    return f"{many}{THIN}{'days' if unit == 'day' and many != 1 else unit}"


def duration(low: Fraction, high: Fraction | None = None) -> str:
    """Seconds as `45 s`, `20–25 min`, `1 h 30 min`, `8–12 h`, `2 days`, `50 min to 4 h`.

    Shown to the second below ten minutes, to the minute below two days, to the hour from there. Raises
    `ValueError` for a negative time.
    """
    start = _shown_seconds(low)
    end = start if high is None else _shown_seconds(high)
    if low > 0 and start == 0:
        low_text = f"<{THIN}1{THIN}s"
        return low_text if end == start else f"{low_text} to {_time_text(end)}"
    if start == end:
        return _time_text(start)
    for unit, size in _SECONDS:
        most = _MOST_IN_A_RANGE[unit]
        if start % size == 0 and end % size == 0 and (most is None or end // size <= most):
            return f"{start // size}{DASH}{_amount_of_time(end // size, unit)}"
    return f"{_time_text(start)} to {_time_text(end)}"


def clock(seconds: Fraction) -> str:
    """Hours and minutes since the start: `0:45` for 2700 s, `26:05` past a day. To the nearest minute."""
    _not_negative(seconds, "a time")
    hours, minutes = divmod(int(to_multiple(seconds, Fraction(60))) // 60, 60)
    return f"{hours}:{minutes:02}"


# ---------------------------------------------------------------- temperatures


def _degrees(celsius: Fraction, unit: Degrees, minimum: bool, maximum: bool) -> str:
    if minimum and maximum:
        raise ValueError("a temperature cannot be both the least and the most")
    value = fahrenheit(celsius) if unit == "F" else celsius
    whole = ceil(value) if minimum else floor(value) if maximum else int(rounded(value, 0))
    return _fixed(Fraction(whole), 0)


def temperature(
    low_c: Fraction, high_c: Fraction, unit: Degrees, *, minimum: bool = False, maximum: bool = False
) -> str:
    """`36–40 °C`, `338 °F`, from degrees Celsius to whole degrees of either scale.

    `minimum` is for a safe least temperature: it is rounded up (74 °C is 165.2 °F: `166 °F`), so that whoever
    follows the card is never below it. `maximum` is for a safe most: it is rounded down.
    """
    low, high = (_degrees(value, unit, minimum, maximum) for value in (low_c, high_c))
    return f"{_join(low, high)}{THIN}{shown_unit(unit)}"


def both_temperatures(
    low_c: Fraction, high_c: Fraction, first: Degrees, *, minimum: bool = False, maximum: bool = False
) -> str:
    """`170 °C (338 °F)`: the kitchen's own scale first. Limits as in `temperature`."""
    second: Degrees = "F" if first == "C" else "C"
    one, other = (
        temperature(low_c, high_c, unit, minimum=minimum, maximum=maximum) for unit in (first, second)
    )
    return f"{one} ({other})"


# ---------------------------------------------------------------- lists


def listed(words: Iterable[str], joint: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`; nothing for none."""
    *others, last = [*words] or [""]
    return f"{', '.join(others)} {joint} {last}" if others else last


# ---------------------------------------------------------------- money


NO_CURRENCY: Final = "XXX"
"""ISO 4217's own code for none: a kitchen that names no currency. Shown with two decimals and no code."""


@lru_cache(maxsize=256)
def currency_digits(currency: str) -> int:
    """Decimals of a currency by ISO 4217: 2 for NZD, 0 for JPY, 3 for KWD.

    Raises `UnknownCurrency` for a code that ISO 4217 does not have, or that has no smallest coin (gold).
    """
    if currency == NO_CURRENCY:
        return 2
    from iso4217 import Currency  # reads its table when imported, so only when money is shown

    try:
        digits = Currency(currency).exponent
    except ValueError:
        raise UnknownCurrency(
            f"“{currency}” is not a currency code. Write three capitals as in ISO 4217: NZD, EUR, JPY."
        ) from None
    if digits is None:
        raise UnknownCurrency(f"“{currency}” is a code of ISO 4217, but not money that a shop takes.")
    return int(digits)


def money(amount: Fraction, currency: str, places: int | None = None) -> str:
    """`3.30`: the number alone, with the currency's own decimals unless `places` says otherwise.

    `< 0.01` where a positive sum would read as nothing. Raises as `currency_digits`.
    """
    return number(amount, currency_digits(currency) if places is None else places)


def small_money(amount: Fraction, currency: str) -> str:
    """What one piece costs, to a tenth of the smallest coin: `0.142`."""
    return money(amount, currency, currency_digits(currency) + 1)


def money_with_code(amount: Fraction, currency: str, places: int | None = None) -> str:
    """`NZD 3.30`; the number alone without a currency."""
    if currency == NO_CURRENCY:
        return money(amount, currency, places)
    return f"{currency}{NO_BREAK}{money(amount, currency, places)}"


def settle(lines: Sequence[Fraction], places: int) -> tuple[list[Fraction], Fraction, Fraction]:
    """Lines as printed, the total as printed, and the difference that a line called "rounding" must show.

    Each line is rounded by itself and none is altered to fit; the total is the rounded exact sum. The
    difference is total less lines, and never more than half a last digit for each line. A positive line that
    rounds to 0 is 0 here; `money` of the exact amount shows it as `< 0.01`.
    """
    shown = [rounded(line, places) for line in lines]
    total = rounded(sum(lines, Fraction(0)), places)
    return shown, total, total - sum(shown, Fraction(0))
