"""Every rule of values: what each label's value may be, and what becomes of it."""

from fractions import Fraction
from typing import get_args

import pytest

from benchproof.compiler import values
from benchproof.compiler.labels import ValueRule
from benchproof.compiler.parser import read
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import (
    Bound,
    Count,
    Counted,
    Density,
    Entry,
    Keeps,
    Losses,
    Makes,
    Measure,
    Measured,
    Measures,
    Names,
    Numeric,
    Parts,
    Percentage,
    Price,
    ProseLine,
    Quantity,
    Rate,
    Scales,
    Size,
    TimesOf,
    ToTaste,
    Waiver,
    Words,
    YesNo,
)
from tests.compiler.reading import amount, clean, ends, entry, rules, terms


def test_every_rule_of_the_vocabulary_has_its_reader() -> None:
    assert set(values._READERS) == set(get_args(ValueRule))


# ---------------------------------------------------------------- amounts


def test_amounts_in_every_form() -> None:
    measured = amount("280 g")
    assert isinstance(measured, Measured)
    assert (terms(measured.quantity), measured.as_bought, measured.and_to_taste) == (
        [(Fraction(280), "g")],
        False,
        False,
    )
    bought = amount("840 g as bought")
    assert isinstance(bought, Measured)
    assert bought.as_bought
    seasoned = amount("6 g and to taste")
    assert isinstance(seasoned, Measured)
    assert seasoned.and_to_taste
    assert isinstance(amount("to taste"), ToTaste)
    assert isinstance(amount("3 parts"), Parts)
    share = amount("145 %")
    assert isinstance(share, Percentage)
    assert share.of is None
    of_rice = amount("150 % of rice")
    assert isinstance(of_rice, Percentage)
    assert of_rice.of is not None
    assert of_rice.of.text == "rice"
    times = amount("2 times the rice")
    assert isinstance(times, TimesOf)
    assert times.of.text == "rice"


def test_counts() -> None:
    bare, lemon, bought = amount("3"), amount("1 large lemon"), amount("2 lemons as bought")
    assert isinstance(bare, Counted)
    assert bare.noun is None
    assert isinstance(lemon, Counted)
    assert lemon.noun is not None
    assert lemon.noun.text == "large lemon"
    assert isinstance(bought, Counted)
    assert bought.as_bought
    assert bought.noun is not None
    assert bought.noun.text == "lemons"


def test_details_follow_commas() -> None:
    found = entry("ingredients", "neutral oil:  2 tsp , for the pan,  warm  # note")
    assert [detail.text for detail in found.details] == ["for the pan", "warm"]
    assert found.span.text == "neutral oil:  2 tsp , for the pan,  warm"


@pytest.mark.parametrize("written", ["8 x 7 g", "2 tins (400 g)", "12 rounds at 58 g", "2 rounds baked"])
def test_a_count_word_holds_no_second_amount(written: str) -> None:
    assert len(rules(f"ingredients\n  flour: {written}\n")) == 1


def test_a_word_of_the_label_is_no_misspelt_unit() -> None:
    assert isinstance(amount("2 grm", "grm biscuits"), Counted)
    assert rules("ingredients\n  biscuits: 2 grm\n") == ["unknown-unit"]


# ---------------------------------------------------------------- the other values


def test_makes() -> None:
    def makes(text: str) -> Makes:
        found = entry("recipe X", f"makes: {text}").value
        assert isinstance(found, Makes)
        return found

    rounds = makes("12 rounds of 58 g")
    assert rounds.count is not None
    assert rounds.noun is not None
    assert (ends(rounds.count), rounds.noun.text, terms(rounds.each)) == (
        (12, 12),
        "rounds",
        [(Fraction(58), "g")],
    )
    assert makes("12 rounds of 55 g baked").after_losses
    assert makes("12 rounds of 55 g cooked").after_losses
    assert terms(makes("900 g").total) == [(Fraction(900), "g")]
    assert makes("2 loaves").each is None
    assert makes("12").noun is None
    assert makes("12 pieces").noun is not None
    cups = makes("12 cups of 60 g")
    assert cups.noun is not None
    assert (cups.noun.text, cups.noun.span.text, terms(cups.each)) == ("cups", "cups", [(Fraction(60), "g")])


def test_a_unit_beats_a_noun_and_says_so() -> None:
    file, findings = read(Source("recipe X\n  makes: 12 cups\n"))
    assert [finding.rule for finding in findings] == ["cups-or-cakes"]
    makes = next(file.blocks[0].entries()).value
    assert isinstance(makes, Makes)
    assert terms(makes.total) == [(Fraction(12), "cup")]


def test_losses_and_keeps() -> None:
    losses = entry("recipe X", "loses: 3 % in the bowl, 11 % in the bake").value
    assert isinstance(losses, Losses)
    assert [(loss.percent.low, loss.words) for loss in losses.losses] == [
        (3, "in the bowl"),
        (11, "in the bake"),
    ]
    keeps = entry("recipe X", "keeps: 2 days hands-off box, 3 days at 4 C, 2 months").value
    assert isinstance(keeps, Keeps)
    assert [keep.words for keep in keeps.keeps] == ["hands-off box", "at 4 C", ""]


@pytest.mark.parametrize(
    ("written", "count", "each"),
    [
        ("3.30 for 1.5 kg", None, [(Fraction(3, 2), "kg")]),
        ("4.60 for 8 x 7 g", 8, [(Fraction(7), "g")]),
        ("4.60 for 8×7 g", 8, [(Fraction(7), "g")]),
        ("4.40 for 6 of 55 g", 6, [(Fraction(55), "g")]),
        ("7.20 for 12", 12, None),
    ],
)
def test_prices(written: str, count: int | None, each: list[tuple[Fraction, str]] | None) -> None:
    price = entry("prices at X on 2026-11-02", f"item: {written}, special").value
    assert isinstance(price, Price)
    assert price.pack is not None
    assert price.pack.count == count
    assert (terms(price.pack.each) if price.pack.each else None) == each


def test_a_free_thing_has_no_pack() -> None:
    price = entry("prices at X on 2026-11-02", "thyme: free").value
    assert isinstance(price, Price)
    assert (price.money, price.pack) == (None, None)


def test_values_of_a_kitchen() -> None:
    heading = "kitchen X"
    scales = entry(heading, "scales: 0.1 g to 500 g, 1 g to 5 kg").value
    assert isinstance(scales, Scales)
    assert [terms(scale.capacity) for scale in scales.scales] == [
        [(Fraction(500), "g")],
        [(Fraction(5), "kg")],
    ]
    friction = entry(heading, "friction: 2 C by hand, 11 C in the mixer").value
    assert isinstance(friction, Measures)
    assert [measure.words for measure in friction.measures] == ["by hand", "in the mixer"]
    rate = entry(heading, "electricity: 0.32 for 1 kWh").value
    assert isinstance(rate, Rate)
    assert (rate.money, terms(rate.amount)) == (Fraction(8, 25), [(Fraction(1), "kWh")])
    tap = entry(heading, "tap water: 8-55 C").value
    assert isinstance(tap, Measure)
    assert tap.quantity.is_range
    shops = entry(heading, "shops: Lantern Street Grocer, Quay Mill").value
    assert isinstance(shops, Names)
    assert [name.text for name in shops.names] == ["Lantern Street Grocer", "Quay Mill"]


def test_values_of_an_ingredient() -> None:
    heading = "ingredient eggs"
    density = entry(heading, "density: 120 g/US cup").value
    assert isinstance(density, Density)
    assert (density.volume.low[0].unit, density.volume.low[0].system) == ("cup", "US")
    piece = entry(heading, "piece: 56.7 g, 50 g usable")
    assert isinstance(piece.value, Measure)
    assert [detail.text for detail in piece.details] == ["50 g usable"]
    clove = entry(heading, "clove: 5 g").value
    assert isinstance(clove, Measure)
    instead = entry(heading, "contains: instead wheat, soy")
    assert isinstance(instead.value, Names)
    assert [name.text for name in instead.value.names] == ["wheat", "soy"]
    assert [detail.text for detail in instead.details] == ["instead"]
    raw = entry(heading, "eaten raw: no").value
    assert isinstance(raw, YesNo)
    assert not raw.yes


def test_values_of_a_recipe() -> None:
    tin = entry("recipe X", "tin: 23 x 13 cm, 7 cm deep").value
    assert isinstance(tin, Size)
    assert [(term.number, term.unit) for term in tin.lengths] == [(Fraction(23), "cm"), (Fraction(13), "cm")]
    assert terms(tin.depth) == [(Fraction(7), "cm")]
    waiver = entry("recipe X", "waive: salt-low because the topping is salted").value
    assert isinstance(waiver, Waiver)
    assert (waiver.rule.text, waiver.reason) == ("salt-low", "the topping is salted")
    reheats = entry("recipe X", "reheats: to 75 C core, once")
    assert isinstance(reheats.value, Measure)
    assert reheats.value.words == "core"
    summary = entry("recipe X", "summary: Soft, 1,5 fingers: good").value
    assert isinstance(summary, Words)
    assert summary.text == "Soft, 1,5 fingers: good"


@pytest.mark.parametrize(
    ("written", "word", "kind"),
    [
        ("140-150 %", None, Percentage),
        ("under 0.15", "under", Numeric),
        ("at  most 90 min", "at most", Quantity),
        ("over 2", "over", Numeric),
        ("55-60 g", None, Quantity),
    ],
)
def test_bounds(written: str, word: str | None, kind: type) -> None:
    bound = entry("expect", f"figure: {written}").value
    assert isinstance(bound, Bound)
    assert bound.word == word
    assert isinstance(bound.value, kind)


def test_equipment() -> None:
    block = clean("equipment\n  wide pan with a lid\n  9 cm rings: 4, or foil\n  stock pot: 5 l\n").blocks[0]
    pan, rings, pot = block.lines
    assert isinstance(pan, ProseLine)
    assert isinstance(rings, Entry)
    assert isinstance(rings.value, Count)
    assert isinstance(pot, Entry)
    assert isinstance(pot.value, Measure)


def test_a_week_line_splits_at_its_last_comma_before_an_amount() -> None:
    found = entry("week of 2026-11-02", "Monday: Fish, chips, 24 portions")
    assert isinstance(found.value, Words)
    assert (found.value.text, [detail.text for detail in found.details]) == ("Fish, chips", ["24 portions"])
    assert entry("week of 2026-11-02", "Monday: Fish, chips").details == ()
