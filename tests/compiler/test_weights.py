"""Every line as a weight. The figures were worked out by hand, from the text above them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchproof.compiler.findings import Severity
from tests.compiler.bench import (
    DEMO,
    batch_of,
    compile_text,
    demo,
    demo_batch,
    errors,
    kitchen_of,
    line,
    only,
    weights,
)

LEAFS = """\
ingredient leafs
  density:   0.25 g/ml
  usable:    80 %
  contains:  nothing

ingredient plums
  also:      plum
  piece:     50 g, 44 g usable
  contains:  nothing

ingredient sage
  sprig:     1.5 g
  loaf:      400 g, 380 g usable
"""


def grams(amount: str, label: str = "leafs", *more: str) -> Fraction | None:
    """What one amount of one food weighs as it goes in."""
    return line(batch_of(f"recipe T\n\ningredients\n  {label}: {amount}\n", LEAFS, *more), label).weight


def bought(amount: str, label: str = "leafs") -> Fraction | None:
    compiled = compile_text(f"recipe T\n\ningredients\n  {label}: {amount}\n", LEAFS)
    (item,) = compiled.formula.items()
    return item.bought


# ---------------------------------------------------------------- one line's weight


@pytest.mark.parametrize(
    ("amount", "weight"),
    [
        ("280 g", Fraction(280)),
        ("1.2 kg", Fraction(1200)),
        ("0.1 g", Fraction(1, 10)),
        ("500 mg", Fraction(1, 2)),
        # International yard and pound agreement, 1959: the pound is 0.45359237 kg, exactly; 16 ounces to it.
        ("1 lb", Fraction("453.59237")),
        ("1 oz", Fraction("453.59237") / 16),
        ("1 lb 4 oz", Fraction("453.59237") * 20 / 16),
        ("1/3 oz", Fraction("453.59237") / 48),
        ("½ kg", Fraction(500)),
        ("1 ½ kg", Fraction(1500)),
        ("1 1/2 kg", Fraction(1500)),
        ("100 ml", Fraction(25)),
        ("2 l", Fraction(500)),
        ("1 dl", Fraction(25)),
    ],
)
def test_weights_and_volumes(amount: str, weight: Fraction) -> None:
    assert grams(amount) == weight


@pytest.mark.parametrize(
    ("system", "cup", "tablespoon", "teaspoon"),
    [
        ("metric", Fraction(250), Fraction(15), Fraction(5)),
        ("Australian", Fraction(250), Fraction(20), Fraction(5)),
        ("US", Fraction("236.5882365"), Fraction("14.78676478125"), Fraction("4.92892159375")),
        ("UK", Fraction("284.130625"), Fraction(15), Fraction(5)),
    ],
)
def test_a_spoon_is_the_kitchen_s(
    system: str, cup: Fraction, tablespoon: Fraction, teaspoon: Fraction
) -> None:
    kitchen = f"kitchen K\n  measures: {system}\n"
    assert grams("1 cup", "leafs", kitchen) == cup / 4
    assert grams("3 tbsp", "leafs", kitchen) == tablespoon * 3 / 4
    assert grams("1/2 tsp", "leafs", kitchen) == teaspoon / 8
    # A system in the amount itself goes before the kitchen's.
    assert grams("2 US cups", "leafs", kitchen) == Fraction("236.5882365") / 2


def test_as_bought_takes_the_trim_off_and_as_it_goes_in_puts_it_on() -> None:
    assert grams("500 g as bought") == 400
    assert bought("500 g as bought") == 500
    assert grams("400 g") == 400
    assert bought("400 g") == 500
    assert grams("200 ml as bought") == 40  # 50 g, less a fifth


def test_counts_are_as_they_go_in_and_are_bought_whole() -> None:
    assert grams("3", "plums") == 3 * 44
    assert bought("3", "plums") == 3 * 50
    for amount in ("3 pieces", "3 plums"):
        assert grams(amount, "plums") == 132
    assert grams("1 plum", "plums") == 44
    assert grams("1/2", "plums") == 22
    # As bought by weight: 44 of 50 g remain.
    assert grams("250 g as bought", "plums") == 220


def test_a_piece_word_is_taken_in_the_singular_and_the_plural() -> None:
    assert grams("1 sprig", "sage") == Fraction(3, 2)
    assert grams("4 sprigs", "sage") == 6
    assert grams("2 loaves", "sage") == 760
    assert bought("2 loaves", "sage") == 800


def test_the_larder_s_own_counts() -> None:
    # `piece: 109 g, 58 g usable`, `piece: 56.7 g, 50 g usable`, `tin: 400 g, 240 g usable`; a clove of 5 g as
    # bought loses the 13 % of garlic that is skin.
    assert grams("1 lemon", "lemons") == 58
    assert grams("2", "eggs") == 100
    assert grams("3 cloves", "garlic") == 3 * 5 * Fraction("0.87")
    assert grams("2 tins", "tinned kidney beans") == 480


def test_to_taste_has_no_weight_and_and_to_taste_has_one() -> None:
    batch = batch_of("recipe T\n\ningredients\n  leafs: to taste\n  fine salt: 6 g and to taste\n", LEAFS)
    assert (line(batch, "leafs").weight, line(batch, "leafs").to_taste) == (None, True)
    assert (line(batch, "fine salt").weight, line(batch, "fine salt").to_taste) == (6, True)
    assert batch.parts[0].weight == 6


# ---------------------------------------------------------------- percentages, shares, parts

BREAD = """\
recipe Bread
  base: strong flour

ingredients
  strong flour:   500 g
  water:           68 %
  fine salt:        2 %
  instant yeast:  0.7 %
"""


def test_percentages_are_of_the_base() -> None:
    batch = batch_of(BREAD)
    assert weights(batch) == {
        "strong flour": 500, "water": 340, "fine salt": 10, "instant yeast": Fraction(7, 2),
    }  # fmt: skip
    assert [one.percent for one in batch.parts[0].lines] == [100, 68, 2, Fraction(7, 10)]
    assert (batch.parts[0].base, batch.parts[0].base_weight) == (("strong flour",), 500)


def test_weights_beside_a_base_are_told_as_percentages() -> None:
    batch = batch_of(
        "recipe T\n  base: strong flour\n\ningredients\n  strong flour: 300 g\n  water: 200 g\n  fine salt: 5 g\n"
    )
    assert [one.percent for one in batch.parts[0].lines] == [100, Fraction(200, 3), Fraction(5, 3)]


@pytest.mark.parametrize("base", ["flour", "strong flour, wholemeal flour", "wholemeal flour, strong flour"])
def test_several_flours_together_are_100_per_cent(base: str) -> None:
    batch = batch_of(
        f"recipe T\n  base: {base}\n\ningredients\n  strong flour: 900 g\n  wholemeal flour: 100 g\n"
        "  water: 70 %\n  strong flour: 20 g, for the bench\n"
    )
    assert batch.parts[0].base_weight == 1000  # the bench flour is not in it
    assert line(batch, "water").weight == 700
    assert [one.percent for one in batch.parts[0].lines] == [90, 10, 70, None]
    assert [one.is_base for one in batch.parts[0].lines] == [True, True, False, False]


def test_one_flour_weighed_and_the_other_a_share_of_the_base() -> None:
    # 20 % is wholemeal, so the 800 g are the other 80 %.
    batch = batch_of(
        "recipe T\n  base: flour\n\ningredients\n  strong flour: 800 g\n  wholemeal flour: 20 %\n  water: 70 %\n"
    )
    assert weights(batch) == {"strong flour": 800, "wholemeal flour": 200, "water": 700}


@pytest.mark.parametrize("share", ["10 % of strong flour", "0.1 times the strong flour"])
def test_a_flour_that_is_a_share_of_another_is_in_the_base_too(share: str) -> None:
    batch = batch_of(
        "recipe T\n  base: flour\n\ningredients\n  strong flour: 900 g\n"
        f"  wholemeal flour: {share}\n  water: 70 %\n"
    )
    assert line(batch, "water").weight == 693  # 70 % of 990
    assert line(batch, "water").percent == 70


def test_a_percentage_is_printed_as_it_was_written_in_every_demo_recipe() -> None:
    for stem in DEMO:
        for part in demo_batch(stem).parts:
            for one in part.lines if part.role in ("main", "part") else ():
                written = one.written
                if written.endswith("%") and one.purpose is None:
                    assert one.percent == Fraction(written.removesuffix("%").strip()), (stem, one.name)


def test_what_is_drawn_out_of_a_demo_formula_and_what_is_left_are_the_whole_of_it() -> None:
    tried = 0
    for stem in DEMO:
        batch = demo_batch(stem)
        drawn_out = [part for part in batch.parts if part.role in ("preferment", "soaker")]
        if not drawn_out:
            continue
        tried += 1
        (main,) = [part for part in batch.parts if part.role == "main"]
        (final,) = [part for part in batch.parts if part.role == "final"]
        for one in main.lines:
            apart = [
                other.weight
                for part in (*drawn_out, final)
                for other in part.lines
                if other.name == one.name and other.purpose == one.purpose and not other.lent
            ]
            assert sum(weight for weight in apart if weight is not None) == (one.weight or 0), (
                stem,
                one.name,
            )
        assert final.weight == main.weight
    assert tried


def test_a_share_of_another_line_and_times_another_line() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  white rice: 300 g\n  water: 150 % of rice\n  fine salt: 2 % of water\n"
        "  frozen peas: 1/3 times the white rice\n"
    )
    assert weights(batch) == {"white rice": 300, "water": 450, "fine salt": 9, "frozen peas": 100}
    assert all(one.percent is None for one in batch.parts[0].lines)  # there is no base


def test_a_formula_by_parts_is_sized_by_what_it_makes() -> None:
    batch = batch_of(
        "recipe T\n  makes: 290 g\n\ningredients\n  neutral oil: 3 parts\n  cider vinegar: 1 part\n"
        "  wholegrain mustard: 1/2 part\n  fine salt: 1/3 part\n"
    )
    # 4 5/6 parts: a part is 60 g.
    assert weights(batch) == {
        "neutral oil": 180, "cider vinegar": 60, "wholegrain mustard": 30, "fine salt": 20,
    }  # fmt: skip


def test_a_purpose_stands_outside_the_formula_and_stays_in_the_cost_and_the_allergens() -> None:
    batch = batch_of(
        "recipe T\n  makes: 10 rounds of 16 g\n  base: strong flour\n\ningredients\n  strong flour: 100 g\n"
        "  water: 60 %\n  strong flour: 10 g, for the bench\n  butter: 5 %, for the pan\n",
        "prices at S on 2026-11-01\n  strong flour: 3.00 for 1 kg\n  water: free\n  butter: 8.00 for 1 kg\n",
    )
    assert batch.makes.formula == 160
    assert line(batch, "strong flour", purpose="for the bench").percent is None
    assert line(batch, "butter").weight == 5
    assert batch.cost.total == Fraction("0.33") + Fraction("0.04")
    assert [one.name for one in batch.allergens.contains] == ["milk", "wheat (gluten)"]


def test_a_detail_that_is_no_purpose_is_a_note() -> None:
    batch = batch_of("recipe T\n\ningredients\n  butter: 50 g, softened, cut small, for the pan\n")
    one = line(batch, "butter")
    assert (one.note, one.purpose) == ("softened, cut small", "for the pan")


# ---------------------------------------------------------------- mistakes, each with its mend


@pytest.mark.parametrize(
    ("body", "rule", "points_at", "help"),
    [
        (
            "  base: strong flor\n\ningredients\n  strong flour: 1 g\n",
            "base-not-listed",
            "strong flor",
            "strong flour",
        ),
        ("  base: rye\n\ningredients\n  strong flour: 1 g\n", "base-not-listed", "rye", "flour"),
        (
            "  base: strong flour\n\ningredients\n  strong flour: to taste\n",
            "base-not-weighed",
            "strong flour: to taste",
            "100 %",
        ),
        (
            "  makes: 100 g\n  base: strong flour\n\ningredients\n  strong flour: 90 %\n  water: 10 %\n",
            "base-not-100",
            "strong flour: 90 %",
            "100 %",
        ),
        (
            "\ningredients\n  strong flour: 100 g\n  water: 60 %\n",
            "percent-without-base",
            "60 %",
            "base: strong flour",
        ),
        ("  base: strong flour\n\ningredients\n  strong flour: 100 %\n", "cannot-be-sized", "T", "makes"),
        ("\ningredients\n  strong flour: 1 part\n", "cannot-be-sized", "T", "makes"),
        (
            "  makes: 12 rounds\n\ningredients\n  strong flour: 1 part\n",
            "cannot-be-sized",
            "makes: 12 rounds",
            "makes: 12 rounds of 60 g",
        ),
        (
            "  makes: 10 g\n\ningredients\n  strong flour: 1 part\n  water: 20 g\n",
            "cannot-be-sized",
            "makes: 10 g",
            "Ask for more",
        ),
        (
            "\ningredients\n  strong flour: 1 g\n  water: 50 % of strong flor\n",
            "not-in-the-list",
            "strong flor",
            "strong flour",
        ),
        (
            "\ningredients\n  strong flour: 1 g\n  water: 2 times the wax\n",
            "not-in-the-list",
            "wax",
            "Name another line",
        ),
        (
            "\ningredients\n  strong flour: 50 % of water\n  water: 50 % of strong flour\n",
            "share-of-itself",
            "strong flour",
            "weight",
        ),
        ("\ningredients\n  strong flour: 3\n", "cannot-be-weighed", "3", "piece"),
        ("\ningredients\n  wibble: 2 tsp\n", "cannot-be-weighed", "2 tsp", "density"),
        ("\ningredients\n  water: 1 pint\n", "cannot-be-weighed", "1 pint", ""),
        ("\ningredients\n  garlic: 3 clovs\n", "unknown-unit", "clovs", "clove"),
        ("\ningredients\n  garlic: 3 glugs\n", "unknown-unit", "glugs", "glugs: 5 g"),
    ],
)
def test_a_mistake_has_its_place_and_its_mend(body: str, rule: str, points_at: str, help: str) -> None:
    compiled = compile_text(f"recipe T\n{body}")
    finding = only(compiled)
    assert finding.rule == rule
    assert finding.severity is Severity.ERROR
    assert finding.span.text == points_at
    assert help in finding.help
    assert compiled.batch is None


@pytest.mark.parametrize(
    "body",
    [
        "  base: strong flor\n\ningredients\n  strong flour: 1 g\n",
        "\ningredients\n  strong flour: 1 g\n  water: 50 % of strong flor\n",
    ],
)
def test_a_near_miss_is_a_question_and_never_a_guess(body: str) -> None:
    finding = only(compile_text(f"recipe T\n{body}"))
    assert "“strong flour”?" in finding.help
    assert finding.edit is None


def test_a_percentage_beside_a_base_in_parts_is_weighed_or_refused() -> None:
    compiled = compile_text(
        "recipe T\n  makes: 340 g\n  base: strong flour\n\ningredients\n  strong flour: 10 parts\n  water: 70 %\n"
    )
    assert errors(compiled) or weights(compiled.batch) == {"strong flour": 200, "water": 140}


def test_a_share_of_what_goes_in_to_taste_is_refused() -> None:
    compiled = compile_text("recipe T\n\ningredients\n  water: 50 % of salt\n  salt: to taste\n")
    assert errors(compiled)


def test_no_line_of_a_sound_demo_batch_lacks_its_weight_without_a_reason() -> None:
    for stem in DEMO:
        for part in demo_batch(stem).parts:
            for one in part.lines:
                assert one.weight is not None or one.to_taste, (stem, one.name)


# ---------------------------------------------------------------- properties

percents = st.integers(1, 2000).map(lambda tenths: Fraction(tenths, 10))
kilos = st.integers(1, 100_000).map(lambda tenths: Fraction(tenths, 10))


def written(value: Fraction) -> str:
    """Tenths as a cook writes them."""
    tenths = value * 10
    assert tenths.denominator == 1
    return f"{tenths.numerator // 10}.{tenths.numerator % 10}"


@st.composite
def doughs(draw: st.DrawFn) -> tuple[list[Fraction], Fraction]:
    return draw(st.lists(percents, min_size=1, max_size=4)), draw(kilos)


NAMES = ("water", "fine salt", "instant yeast", "butter")


def dough(head: str, flour: str, shares: list[Fraction]) -> str:
    lines = "".join(f"  {name}: {written(share)} %\n" for name, share in zip(NAMES, shares, strict=False))
    return f"recipe T\n{head}  base: strong flour\n\ningredients\n  strong flour: {flour}\n{lines}"


@given(doughs())
def test_forwards_then_backwards_returns_the_start(case: tuple[list[Fraction], Fraction]) -> None:
    shares, flour = case
    forwards = batch_of(dough("", f"{written(flour)} g", shares))
    total = forwards.makes.formula
    assert total == flour * (100 + sum(shares)) / 100
    # Tenths of a gram times tenths of a per cent: four decimals at most, so that it can be written down.
    ten_thousandths = total * 10_000
    assert ten_thousandths.denominator == 1
    grams_exact = f"{ten_thousandths.numerator // 10_000}.{ten_thousandths.numerator % 10_000:04d}"
    backwards = batch_of(dough(f"  makes: {grams_exact} g\n", "100 %", shares))
    assert weights(backwards) == weights(forwards)


@given(doughs(), st.integers(0, 30), st.integers(0, 30), st.integers(1, 40))
def test_solving_with_losses_gives_back_what_was_asked(
    case: tuple[list[Fraction], Fraction], bowl: int, bake: int, pieces: int
) -> None:
    shares, each = case
    head = (
        f"  makes: {pieces} rolls of {written(each)} g baked\n"
        f"  loses: {bowl} % in the bowl, {bake} % in the bake\n"
    )
    if not bowl or not bake:
        head = f"  makes: {pieces} rolls of {written(each)} g baked\n"
    batch = batch_of(dough(head, "100 %", shares))
    assert batch.makes.finished == pieces * each


@given(doughs(), st.fractions(Fraction(1, 50), 50, max_denominator=97))
def test_scaling_is_linear_and_leaves_every_percentage(
    case: tuple[list[Fraction], Fraction], times: Fraction
) -> None:
    shares, flour = case
    text = dough("", f"{written(flour)} g", shares)
    one, many = batch_of(text), batch_of(text, times=times)
    for before, after in zip(one.parts[0].lines, many.parts[0].lines, strict=True):
        assert before.weight is not None
        assert after.weight == before.weight * times
        assert after.percent == before.percent
    assert many.makes.finished == one.makes.finished * times


@pytest.mark.parametrize("stem", DEMO)
@pytest.mark.parametrize("times", [Fraction(1, 3), Fraction(2), Fraction(17, 7)])
def test_a_demo_recipe_times_k_is_every_weight_times_k(stem: str, times: Fraction) -> None:
    one, many = demo_batch(stem), demo_batch(stem, times=times)
    for part, scaled in zip(one.parts, many.parts, strict=True):
        assert scaled.weight == part.weight * times
        assert part.weight == sum(
            item.weight
            for item in part.lines
            if item.weight is not None and item.purpose is None and not item.lent
        )
        for before, after in zip(part.lines, scaled.lines, strict=True):
            assert after.percent == before.percent
            for what in ("weight", "count", "volume"):
                value = getattr(before, what)
                assert getattr(after, what) == (None if value is None else value * times)
    # Preferments and soakers are drawn out of the main list, and the final dough holds all of it again.
    assert one.makes.formula == sum(part.weight for part in one.parts if part.role in ("main", "part"))
    assert [(r.name, r.value) for r in many.ratios] == [(r.name, r.value) for r in one.ratios]
    assert many.cost.total == one.cost.total * times
    assert many.cost.each == one.cost.each
    assert many.cost.portion == one.cost.portion


@pytest.mark.parametrize("stem", DEMO)
@pytest.mark.parametrize("times", [Fraction(2), Fraction(3)])
def test_a_demo_recipe_asked_for_k_times_its_yield(stem: str, times: Fraction) -> None:
    makes = demo(stem).formula.makes
    if makes is None:
        asked = f"{demo_batch(stem).serves * times} portions"
    elif makes.count is not None:
        asked = str(makes.count.low * times)
    else:
        assert makes.total is not None
        (term,) = makes.total.low
        asked = f"{term.number * times} {term.unit}{' cooked' if makes.after_losses else ''}"
    assert demo_batch(stem, makes=asked).parts == demo_batch(stem, times=times).parts


# ---------------------------------------------------------------- nought and other slips


@pytest.mark.parametrize(
    "facts",
    [
        "usable: 0 %",
        "piece: 50 g, 0 g usable",
        "piece: 50 g, 80 g usable",
        "piece: 0 g",
    ],
)
def test_a_food_cannot_be_all_trim_or_more_than_itself(facts: str) -> None:
    assert kitchen_of(f"ingredient snow\n  {facts}\n").findings


def test_a_food_that_is_all_trim_does_no_harm() -> None:
    compile_text("recipe T\n\ningredients\n  snow: 100 g\n", "ingredient snow\n  usable: 0 %\n")


@pytest.mark.parametrize("makes", ["0 g", "0 rounds", "0"])
def test_a_recipe_that_makes_nothing_is_asked_about(makes: str) -> None:
    compiled = compile_text(f"recipe T\n  makes: {makes}\n\ningredients\n  rice: 1 g\n")
    assert [one.rule for one in compiled.findings] == ["makes-nothing"]
    assert compiled.batch is None


def test_a_long_chain_of_shares() -> None:
    lines = "".join(f"  a{number}: 100 % of a{number - 1}\n" for number in range(600, 0, -1))
    compiled = compile_text(f"recipe T\n\ningredients\n{lines}  a0: 10 g\n")
    assert compiled.findings or line(compiled.batch, "a600").weight == 10


def test_the_moisture_of_flour_is_no_water_in_a_recipe_as_an_ingredient_either() -> None:
    batch = batch_of(
        "recipe T\n  base: strong flour\n\ningredients\n  strong flour: 400 g\n  poolish: 200 g\n  water: 200 g\n\n"
        "recipe Poolish\n\ningredients\n  strong flour: 100 g\n  water: 100 g\n"
    )
    # 300 g of water were poured, over the 500 g of flour there are in all; there is no other water to tell apart.
    ratios = {one.name: one.value for one in batch.ratios}
    assert ratios["hydration"] == 60
    assert "water in all" not in ratios
