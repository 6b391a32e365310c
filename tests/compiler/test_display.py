"""What a cook reads: rounded once, half up, and never a nothing that is something."""

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from benchproof.compiler.display import (
    DASH,
    NO_BREAK,
    NO_BREAK_THIN,
    THIN,
    UnknownCurrency,
    both_temperatures,
    clock,
    count,
    count_range,
    currency_digits,
    duration,
    money,
    money_with_code,
    number,
    percent,
    ratio_range,
    rounded,
    settle,
    shown_weight,
    small_money,
    temperature,
    to_multiple,
    volume,
    weight,
    weight_parts,
)


def plain(text):
    """Blanks of every width made ordinary, so that the tables below can be read."""
    return text.replace(THIN, " ").replace(NO_BREAK_THIN, " ").replace(NO_BREAK, " ")


def parsed(text):
    return Fraction(text.replace("−", "-"))


positive = st.fractions(min_value=0, max_value=10**6, max_denominator=10**6)
signed = st.fractions(min_value=-(10**6), max_value=10**6, max_denominator=10**6)
divisions = st.sampled_from(
    [Fraction("0.01"), Fraction("0.1"), Fraction("0.5"), Fraction(1), Fraction(2), Fraction(5), Fraction(50)]
)

# ---------------------------------------------------------------- rounding


@pytest.mark.parametrize(
    ("value", "places", "shown"),
    [
        ("0.125", 2, "0.13"),
        ("0.375", 2, "0.38"),
        ("0.1249999", 2, "0.12"),
        ("2.5", 0, "3"),
        ("3.5", 0, "4"),
        ("-2.5", 0, "−2"),
        ("-2.51", 0, "−3"),
        ("-0.004", 2, "0.00"),
        ("0.05", 1, "0.1"),
        ("7", 2, "7.00"),
        ("1234567.891", 1, "1234567.9"),
        ("0.004", 2, "< 0.01"),
        ("0", 2, "0.00"),
    ],
)
def test_numbers_are_rounded_half_up(value, places, shown):
    assert plain(number(Fraction(value), places)) == shown


@settings(deadline=None)
@given(signed, st.integers(0, 4))
def test_rounding_moves_at_most_half_a_digit_and_half_goes_up(value, places):
    moved = rounded(value, places) - value
    digit = Fraction(1, 10**places)
    assert -digit / 2 < moved <= digit / 2


@settings(deadline=None)
@given(signed, st.integers(0, 4))
def test_what_is_printed_is_what_was_rounded(value, places):
    shown = number(value, places)
    if "<" not in shown:
        assert parsed(shown) == rounded(value, places)


def test_a_step_of_nothing_is_refused():
    with pytest.raises(ValueError, match="step"):
        to_multiple(Fraction(1), Fraction(0))


# ---------------------------------------------------------------- weights and volumes


@pytest.mark.parametrize(
    ("grams", "division", "shown"),
    [
        ("280", None, "280 g"),
        ("280.5", None, "281 g"),
        ("3.36", None, "3.4 g"),
        ("5", None, "5 g"),
        ("9.94", None, "9.9 g"),
        ("9.96", None, "10 g"),
        ("0.04", None, "< 0.1 g"),
        ("0.05", None, "0.1 g"),
        ("0", None, "0 g"),
        ("9999.4", None, "9999 g"),
        ("9999.5", None, "10.00 kg"),
        ("12345.6", None, "12.35 kg"),
        ("3.36", "0.1", "3.4 g"),
        ("280", "0.1", "280 g"),
        ("280.5", "1", "281 g"),
        ("0.4", "1", "< 1 g"),
        ("0", "1", "0 g"),
        ("12.25", "0.5", "12.5 g"),
        ("12.24", "5", "10 g"),
        ("12.5", "5", "15 g"),
        ("2.4", "5", "< 5 g"),
        ("12345.6", "0.1", "12.346 kg"),
        ("12345.6", "5", "12.345 kg"),
        ("12345.6", "50", "12.35 kg"),
        ("0.125", "0.01", "0.13 g"),
    ],
)
def test_weights(grams, division, shown):
    division = None if division is None else Fraction(division)
    assert plain(weight(Fraction(grams), division)) == shown
    assert plain(" ".join(weight_parts(Fraction(grams), division))) == shown


def test_the_space_before_a_unit_is_thin():
    assert weight(Fraction(280)) == "280\u2009g"
    assert percent(Fraction(145)) == "145\u202f%"


@settings(deadline=None)
@given(positive, divisions)
def test_a_shown_weight_is_a_multiple_of_the_division_within_half_of_it(grams, division):
    text, unit = weight_parts(grams, division)
    assume("<" not in text and unit == "g")
    assert parsed(text) == shown_weight(grams, division)
    assert (parsed(text) / division).denominator == 1
    assert abs(parsed(text) - grams) <= division / 2


@settings(deadline=None)
@given(positive, st.none() | divisions)
def test_something_is_never_shown_as_nothing(grams, division):
    text, _ = weight_parts(grams, division)
    if grams > 0:
        assert any(digit in text for digit in "123456789")
    if "<" in text:
        assert grams < parsed(text.strip(f"<{THIN}"))


@settings(deadline=None)
@given(positive, positive, st.none() | divisions)
def test_more_never_weighs_less(one, other, division):
    low, high = sorted((one, other))
    assert shown_weight(low, division) <= shown_weight(high, division)


def test_a_scale_in_ounces_shows_one_decimal():
    quarter_ounce = Fraction("28.349523125") / 4
    assert plain(weight(Fraction(30), quarter_ounce)) == "28.3 g"


@pytest.mark.parametrize("call", [weight, volume, duration, clock, shown_weight])
def test_less_than_nothing_is_a_fault(call):
    with pytest.raises(ValueError, match="below nothing"):
        call(Fraction(-1))


def test_a_scale_without_a_division_is_a_fault():
    with pytest.raises(ValueError, match="division"):
        weight(Fraction(1), Fraction(0))


@pytest.mark.parametrize(
    ("ml", "shown"),
    [
        ("250", "250 ml"),
        ("2.5", "2.5 ml"),
        ("5", "5 ml"),
        ("4.92892159375", "4.9 ml"),
        ("9.96", "10 ml"),
        ("236.5882365", "237 ml"),
        ("999.4", "999 ml"),
        ("999.5", "1 l"),
        ("1250", "1.25 l"),
        ("1255", "1.26 l"),
        ("0.01", "< 0.1 ml"),
        ("0", "0 ml"),
        ("10000", "10 l"),
    ],
)
def test_volumes(ml, shown):
    assert plain(volume(Fraction(ml))) == shown


# ---------------------------------------------------------------- ratios and counts


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("145", "145 %"),
        ("1.2", "1.2 %"),
        ("0.715", "0.72 %"),
        ("0.001", "< 0.01 %"),
        ("0", "0 %"),
        ("-2.5", "−2.5 %"),
    ],
)
def test_percentages(value, shown):
    assert plain(percent(Fraction(value))) == shown


def test_a_hundred_keeps_its_noughts():
    assert plain(percent(Fraction(100))) == "100 %"
    assert plain(count(Fraction(10))) == "10"


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        ("110", "155", "110–155 %"),
        ("1.5", "2.2", "1.5–2.2 %"),
        ("2", "2", "2 %"),
        ("2.001", "2.002", "2 %"),
        ("-1", "2", "−1 to 2 %"),
        ("0", "2", "0–2 %"),
    ],
)
def test_ratio_ranges(low, high, shown):
    assert plain(ratio_range(Fraction(low), Fraction(high))) == shown


@pytest.mark.parametrize(
    ("value", "noun", "shown"),
    [
        ("12", "rounds", "12 rounds"),
        ("1", "rounds", "1 rounds"),
        ("5/2", "lemons", "2½ lemons"),
        ("1/3", None, "⅓"),
        ("7/4", None, "1¾"),
        ("1/8", None, "0.13"),
        ("2.4", "eggs", "2.4 eggs"),
        ("1/7", None, "0.14"),
        ("1/1000", "eggs", "< 0.01 eggs"),
        ("0", None, "0"),
    ],
)
def test_counts(value, noun, shown):
    assert plain(count(Fraction(value), noun)) == shown


def test_a_range_of_counts():
    assert count_range(Fraction(8), Fraction(10), "rounds") == f"8{DASH}10 rounds"
    assert count_range(Fraction(1, 2), Fraction(3, 4)) == f"½{DASH}¾"
    assert count_range(Fraction(8), Fraction(8), "rounds") == "8 rounds"


# ---------------------------------------------------------------- times


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (45, None, "45 s"),
        (60, None, "1 min"),
        (90, None, "90 s"),
        (120, None, "2 min"),
        (450, None, "7 min 30 s"),
        (1200, 1500, "20–25 min"),
        (3600, None, "1 h"),
        (5400, None, "1 h 30 min"),
        (5400, 6300, "90–105 min"),
        (3600, 7200, "1–2 h"),
        (2700, 3600, "45–60 min"),
        (28800, 43200, "8–12 h"),
        (3000, 14400, "50 min to 4 h"),
        (86400, None, "24 h"),
        (129600, None, "36 h"),
        (172800, None, "2 days"),
        (172800, 259200, "2–3 days"),
        (216000, None, "2 days 12 h"),
        (0, None, "0 min"),
        (0, 300, "0–5 min"),
        ("1/3", None, "< 1 s"),
        ("1/3", 60, "< 1 s to 1 min"),
        ("601", None, "10 min"),
        ("599.5", None, "10 min"),
        ("119.6", None, "2 min"),
        (1200, 1200, "20 min"),
        (1200, 1201, "20 min"),
    ],
)
def test_durations(low, high, shown):
    assert plain(duration(Fraction(low), None if high is None else Fraction(high))) == shown


@settings(deadline=None)
@given(st.integers(1, 10**6), st.integers(0, 10**6))
def test_a_duration_says_what_was_rounded(low, more):
    sizes = {"s": 1, "min": 60, "h": 3600, "day": 86400, "days": 86400}

    def seconds(text):
        words = plain(text).split()
        return sum(int(many) * sizes[unit] for many, unit in zip(words[::2], words[1::2], strict=True))

    text = duration(Fraction(low), Fraction(low + more))
    if " to " in text:
        start, end = (seconds(part) for part in text.split(" to "))
    elif DASH in text:
        first, rest = text.split(DASH)
        unit = plain(rest).split()[1]
        start, end = int(first) * sizes[unit], seconds(rest)
    else:
        start = end = seconds(text)
    for exact, shown in ((low, start), (low + more, end)):
        step = 1 if exact < 600 else 60 if exact < 172_800 else 3600
        assert abs(exact - shown) <= Fraction(step, 2)


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(2700, "0:45"), (0, "0:00"), (3660, "1:01"), (93900, "26:05"), (89, "0:01"), (3599, "1:00")],
)
def test_the_clock(seconds, shown):
    assert clock(Fraction(seconds)) == shown


# ---------------------------------------------------------------- temperatures


@pytest.mark.parametrize(
    ("low", "high", "unit", "shown"),
    [
        ("36", "40", "C", "36–40 °C"),
        ("170", "170", "F", "338 °F"),
        ("340/9", "340/9", "C", "38 °C"),
        ("-20", "-18", "C", "−20 to −18 °C"),
        ("-18", "-18", "F", "0 °F"),
        ("36.9", "37.1", "C", "37 °C"),
        ("0", "5", "C", "0–5 °C"),
    ],
)
def test_temperatures(low, high, unit, shown):
    assert plain(temperature(Fraction(low), Fraction(high), unit)) == shown


def test_both_scales():
    assert plain(both_temperatures(Fraction(170), Fraction(170), "C")) == "170 °C (338 °F)"
    assert plain(both_temperatures(Fraction(170), Fraction(170), "F")) == "338 °F (170 °C)"
    assert plain(both_temperatures(Fraction(36), Fraction(40), "C")) == "36–40 °C (97–104 °F)"


def test_a_safe_minimum_is_never_rounded_down():
    assert plain(temperature(Fraction(74), Fraction(74), "F")) == "165 °F"
    assert plain(temperature(Fraction(74), Fraction(74), "F", minimum=True)) == "166 °F"
    assert plain(both_temperatures(Fraction("74.1"), Fraction("74.1"), "C", minimum=True)) == "75 °C (166 °F)"
    assert plain(temperature(Fraction(75), Fraction(75), "F", minimum=True)) == "167 °F"


def test_a_safe_maximum_is_never_rounded_up():
    assert plain(temperature(Fraction("7.6"), Fraction("7.6"), "C", maximum=True)) == "7 °C"
    assert plain(temperature(Fraction("7.6"), Fraction("7.6"), "C")) == "8 °C"


@settings(deadline=None)
@given(st.fractions(min_value=-40, max_value=300, max_denominator=1000), st.sampled_from(["C", "F"]))
def test_limits_stay_on_the_safe_side(celsius, unit):
    exact = celsius if unit == "C" else celsius * 9 / 5 + 32

    def shown(**limit):
        return parsed(plain(temperature(celsius, celsius, unit, **limit)).split()[0])

    assert exact <= shown(minimum=True) < exact + 1
    assert exact - 1 < shown(maximum=True) <= exact
    assert abs(shown() - exact) <= Fraction(1, 2)


def test_no_limit_is_both():
    with pytest.raises(ValueError, match="both"):
        temperature(Fraction(1), Fraction(1), "C", minimum=True, maximum=True)


# ---------------------------------------------------------------- money


@pytest.mark.parametrize(
    ("amount", "currency", "places", "shown"),
    [
        ("3.3", "NZD", None, "3.30"),
        ("3.305", "NZD", None, "3.31"),
        ("330.5", "JPY", None, "331"),
        ("3.3", "KWD", None, "3.300"),
        ("3.3", "NZD", 3, "3.300"),
        ("0", "NZD", None, "0.00"),
        ("0.004", "NZD", None, "< 0.01"),
        ("0.4", "JPY", None, "< 1"),
        ("1234.5", "EUR", None, "1234.50"),
    ],
)
def test_money(amount, currency, places, shown):
    assert plain(money(Fraction(amount), currency, places)) == shown


def test_one_piece_is_costed_to_a_tenth_of_a_coin():
    assert small_money(Fraction("0.1423"), "NZD") == "0.142"
    assert small_money(Fraction("12.34"), "JPY") == "12.3"
    assert small_money(Fraction("0.1423"), "KWD") == "0.1423"


def test_money_with_its_currency():
    assert plain(money_with_code(Fraction("3.3"), "NZD")) == "NZD 3.30"


@pytest.mark.parametrize("code", ["nzd", "XYZ", "", "$", "NZ", "dollars"])
def test_an_unknown_currency_is_refused(code):
    with pytest.raises(UnknownCurrency, match="ISO 4217"):
        money(Fraction(1), code)


def test_gold_is_not_money_in_a_shop():
    with pytest.raises(UnknownCurrency, match="shop"):
        currency_digits("XAU")


@settings(deadline=None)
@given(st.lists(positive, max_size=30), st.integers(0, 4))
def test_printed_lines_add_up_with_their_rounding(lines, places):
    shown, total, rounding = settle(lines, places)
    assert shown == [rounded(line, places) for line in lines]
    assert total == rounded(sum(lines, Fraction(0)), places)
    assert sum(shown, Fraction(0)) + rounding == total
    assert abs(rounding) <= Fraction(len(lines), 2) / 10**places


@settings(deadline=None)
@given(st.lists(signed, max_size=30), st.integers(0, 4))
def test_they_add_up_with_a_discount_among_them(lines, places):
    shown, total, rounding = settle(lines, places)
    assert sum(shown, Fraction(0)) + rounding == total
    assert abs(rounding) <= Fraction(len(lines), 2) / 10**places


def test_three_thirds_need_a_rounding_line():
    assert settle([Fraction(1, 3)] * 3, 2) == ([Fraction("0.33")] * 3, Fraction(1), Fraction("0.01"))
