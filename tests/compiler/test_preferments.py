"""Preferments and soakers: drawn out of the main list by subtraction, each case worked by hand beside it.

In every comment: overall is the main list, `P` what the preferment takes, and final dough = overall - P.
"""

from fractions import Fraction
from typing import Any

import pytest

from benchproof.compiler.batch import Batch, DrawRun, Part
from tests.compiler.bench import batch_of, compile_text, demo_batch, line, only, rules

F = Fraction

WHITE = """\
recipe White bread
  base: flour

ingredients
  strong flour:    500 g
  water:            70 %
  fine salt:         2 %
  instant yeast:     1 %
"""
"""Overall: 500 flour, 350 water, 10 salt, 5 yeast: 865 g."""


def part(batch: Batch, role: str, name: str | None = None) -> Part:
    found = [one for one in batch.parts if one.role == role and name in (None, one.name)]
    assert len(found) == 1, (role, name)
    return found[0]


def grams(batch: Batch, role: str, name: str | None = None) -> dict[str, Fraction | None]:
    """g by name of the lines inside the formula."""
    lines = [one for one in part(batch, role, name).lines if one.purpose is None]
    assert len({one.name for one in lines}) == len(lines)
    return {one.name: one.weight for one in lines}


def ratios(batch: Batch) -> dict[str, Fraction]:
    return {one.name: one.value for one in batch.ratios}


def drawn(batch: Batch) -> list[tuple[int, str, Fraction | None]]:
    """Every draw of the method: its step, its words and its weight."""
    return [
        (step.number, run.text, run.weight)
        for step in batch.steps
        for runs in step.lines
        for run in runs
        if isinstance(run, DrawRun)
    ]


def adds_up(batch: Batch) -> None:
    """What was drawn out and what is left of the final dough are the overall formula, food by food and in all."""
    whole: dict[str, Fraction] = {}
    for one in batch.parts:
        if one.role in ("preferment", "soaker", "final"):
            for at in one.lines:
                if at.weight is not None and not at.lent and at.purpose is None and at.kind != one.role:
                    if at.kind in ("preferment", "soaker"):
                        continue
                    whole[at.food] = whole.get(at.food, F(0)) + at.weight
    overall: dict[str, Fraction] = {}
    for at in part(batch, "main").lines:
        if at.weight is not None and at.purpose is None:
            overall[at.food] = overall.get(at.food, F(0)) + at.weight
    assert whole == overall
    assert part(batch, "final").weight == part(batch, "main").weight
    listed = [
        one.weight for one in part(batch, "final").lines if one.purpose is None and one.weight is not None
    ]
    assert sum(listed, F(0)) == part(batch, "final").weight


# ---------------------------------------------------------------- one preferment


def test_a_sponge() -> None:
    batch = batch_of(
        WHITE + "\npreferment Sponge, 60 % of the flour\n  water: 65 %\n  instant yeast: 0.5 %\n"
    )
    # P: flour 60 % of 500 = 300; water 65 % of 300 = 195; yeast 0.5 % of 300 = 1.5; in all 496.5.
    assert grams(batch, "preferment") == {"strong flour": 300, "water": 195, "instant yeast": F("1.5")}
    assert part(batch, "preferment").weight == F("496.5")
    # Final dough: flour 200, water 350 - 195 = 155, salt 10, yeast 5 - 1.5 = 3.5, and the sponge: 865.
    assert grams(batch, "final") == {
        "strong flour": 200,
        "water": 155,
        "fine salt": 10,
        "instant yeast": F("3.5"),
        "Sponge": F("496.5"),
    }
    # The overall formula is what the list says, untouched.
    assert grams(batch, "main") == {"strong flour": 500, "water": 350, "fine salt": 10, "instant yeast": 5}
    assert ratios(batch)["prefermented flour"] == 60
    assert (ratios(batch)["hydration"], ratios(batch)["salt"], ratios(batch)["yeast"]) == (70, 2, 1)
    adds_up(batch)


def test_a_biga_in_baker_s_percentages_of_its_own() -> None:
    batch = batch_of(WHITE + "\npreferment Biga, 40 % of the flour\n  water: 50 %\n  instant yeast: 0.3 %\n")
    biga = part(batch, "preferment", "Biga")
    # P: flour 200, which is its 100 %; water 100; yeast 0.6.
    assert (biga.base_weight, biga.share) == (200, 40)
    assert [(one.name, one.weight, one.percent) for one in biga.lines] == [
        ("strong flour", 200, 100),
        ("water", 100, 50),
        ("instant yeast", F("0.6"), F("0.3")),
    ]
    # Final: 300 flour, 250 water, 10 salt, 4.4 yeast, 300.6 biga = 865.
    assert grams(batch, "final") == {
        "strong flour": 300,
        "water": 250,
        "fine salt": 10,
        "instant yeast": F("4.4"),
        "Biga": F("300.6"),
    }
    adds_up(batch)


def test_a_poolish_of_a_dough_sized_by_its_yield() -> None:
    batch = batch_of(
        "recipe Baguettes\n  makes: 4 baguettes of 344 g\n  base: strong flour\n\n"
        "ingredients\n  strong flour: 100 %\n  water: 70 %\n  fine salt: 2 %\n\n"
        "preferment Poolish, 30 % of the strong flour\n  water: 100 %\n"
    )
    # 4 x 344 = 1376 g is 172 %, so flour is 800, water 560, salt 16.
    assert grams(batch, "main") == {"strong flour": 800, "water": 560, "fine salt": 16}
    # P: 240 and 240. Final: 560 flour, 320 water, 16 salt, 480 poolish = 1376.
    assert grams(batch, "preferment") == {"strong flour": 240, "water": 240}
    assert grams(batch, "final") == {"strong flour": 560, "water": 320, "fine salt": 16, "Poolish": 480}
    adds_up(batch)


def test_a_levain_whose_seed_is_lent() -> None:
    batch = batch_of(
        "recipe Levain bread\n  makes: 860 g\n  base: flour\n\n"
        "ingredients\n  strong flour: 400 g\n  rye flour: 100 g\n  water: 70 %\n  fine salt: 2 %\n\n"
        "preferment Levain, 80 % of the rye flour\n  water: 125 %\n  seed: 16 g\n"
    )
    # P: rye 80 % of 100 = 80; water 125 % of 80 = 100; the seed goes back into its pot and weighs nothing here.
    levain = part(batch, "preferment")
    assert [(one.name, one.weight, one.lent) for one in levain.lines] == [
        ("rye flour", 80, False),
        ("water", 100, False),
        ("seed", 16, True),
    ]
    assert levain.weight == 180
    assert next(one for one in levain.lines if one.lent).percent is None
    # Final: 400 strong, 20 rye, 350 - 100 = 250 water, 10 salt, 180 levain = 860.
    assert grams(batch, "final") == {
        "strong flour": 400,
        "rye flour": 20,
        "water": 250,
        "fine salt": 10,
        "Levain": 180,
    }
    assert ratios(batch)["prefermented flour"] == 16  # 80 of 500
    assert ratios(batch)["hydration"] == 70
    assert batch.makes.formula == 860
    assert [one.item for one in batch.cost.lines] == ["strong flour", "rye flour", "water", "fine salt"]
    assert "seed" not in batch.allergens.not_stated
    adds_up(batch)


def test_a_seed_in_per_cent_is_of_the_flour_the_levain_takes() -> None:
    batch = batch_of(WHITE + "\npreferment Levain, 20 % of the flour\n  water: 100 %\n  seed: 20 %\n")
    assert line(batch, "seed", "Levain").weight == 20  # 20 % of 100
    assert part(batch, "preferment").weight == 200


def test_the_seed_is_drawn_where_it_is_stirred_in() -> None:
    compiled = compile_text(
        WHITE + "\npreferment Levain, 20 % of the flour\n  water: 100 %\n  seed: 20 g\n\n"
        "step Feed, for the Levain\n  Stir [the seed], [the strong flour] and [the water] together.\n\n"
        "step Dough\n  Knead [the Levain], [the strong flour], [the water], [the fine salt] and [the instant yeast].\n"
    )
    assert compiled.findings == ()


# ---------------------------------------------------------------- which flour


def test_flour_that_is_not_listed_is_its_share_of_each() -> None:
    batch = batch_of(
        "recipe T\n  base: flour\n\ningredients\n  strong flour: 400 g\n  rye flour: 100 g\n  water: 70 %\n\n"
        "preferment Sponge, 20 % of the flour\n  water: 100 %\n"
    )
    # A fifth of 400 and a fifth of 100: 100 g of flour in all, so 100 of water.
    assert grams(batch, "preferment") == {"strong flour": 80, "rye flour": 20, "water": 100}
    assert grams(batch, "final") == {"strong flour": 320, "rye flour": 80, "water": 250, "Sponge": 200}
    adds_up(batch)


def test_flour_that_is_listed_is_as_listed() -> None:
    batch = batch_of(
        "recipe T\n  base: flour\n\ningredients\n  strong flour: 400 g\n  rye flour: 100 g\n  water: 70 %\n\n"
        "preferment Sponge, 20 % of the flour\n  rye flour: 75 %\n  strong flour: 25 %\n  water: 100 %\n"
    )
    # The same 100 g of flour, but three quarters of it rye.
    assert grams(batch, "preferment") == {"rye flour": 75, "strong flour": 25, "water": 100}
    assert grams(batch, "final") == {"strong flour": 375, "rye flour": 25, "water": 250, "Sponge": 200}
    adds_up(batch)


def test_another_name_of_the_flour_is_the_same_flour() -> None:
    batch = batch_of(WHITE + "\npreferment Sponge, 20 % of the flour\n  bread flour: 100 %\n  water: 60 %\n")
    assert grams(batch, "final")["strong flour"] == 400
    adds_up(batch)


def test_a_preferment_of_all_the_flour_leaves_none() -> None:
    batch = batch_of(WHITE + "\npreferment Dough, 100 % of the flour\n  water: 70 %\n")
    assert grams(batch, "final") == {"fine salt": 10, "instant yeast": 5, "Dough": 850}
    assert ratios(batch)["prefermented flour"] == 100
    adds_up(batch)


def test_salt_as_a_share_of_another_line_of_the_preferment() -> None:
    batch = batch_of(
        WHITE + "\npreferment Sponge, 20 % of the flour\n  water: 60 %\n  fine salt: 5 % of water\n"
    )
    assert grams(batch, "preferment")["fine salt"] == 3  # 5 % of 60
    assert grams(batch, "final")["fine salt"] == 7


def test_parts_in_a_preferment_are_refused_and_not_taken_for_nought() -> None:
    compiled = compile_text(WHITE + "\npreferment Sponge, 20 % of the flour\n  water: 2 parts\n")
    assert only(compiled).rule == "cannot-be-weighed"
    assert compiled.batch is None


# ---------------------------------------------------------------- two of them, and soakers


def test_two_preferments_come_out_of_one_list() -> None:
    batch = batch_of(
        "recipe T\n  base: flour\n\n"
        "ingredients\n  strong flour: 800 g\n  rye flour: 200 g\n  water: 750 g\n  fine salt: 20 g\n"
        "  instant yeast: 3 g\n\n"
        "preferment Levain, 50 % of the rye flour\n  water: 80 %\n\n"
        "preferment Poolish, 25 % of the strong flour\n  water: 100 %\n  instant yeast: 0.5 %\n"
    )
    # Levain: rye 100, water 80. Poolish: strong 200, water 200, yeast 1.
    assert grams(batch, "preferment", "Levain") == {"rye flour": 100, "water": 80}
    assert grams(batch, "preferment", "Poolish") == {"strong flour": 200, "water": 200, "instant yeast": 1}
    # Final: strong 600, rye 100, water 750 - 80 - 200 = 470, salt 20, yeast 2, 180 and 401: 1773 = overall.
    assert grams(batch, "final") == {
        "strong flour": 600,
        "rye flour": 100,
        "water": 470,
        "fine salt": 20,
        "instant yeast": 2,
        "Levain": 180,
        "Poolish": 401,
    }
    assert part(batch, "final").weight == 800 + 200 + 750 + 20 + 3
    assert ratios(batch)["prefermented flour"] == 30  # 300 of 1000
    adds_up(batch)


SEEDED = """\
recipe Seeded bread
  base: flour

ingredients
  strong flour:    500 g
  water:            80 %
  linseed:          10 %
  sunflower seeds:   6 %
"""
"""Overall: 500 flour, 400 water, 50 linseed, 30 sunflower seeds: 980 g."""


def test_a_soaker_by_grams() -> None:
    batch = batch_of(SEEDED + "\nsoaker Seeds\n  linseed: 50 g\n  sunflower seeds: 20 g\n  water: 100 g\n")
    # Final: 500 flour, 300 water, no linseed left, 10 sunflower seeds, 170 soaker = 980.
    assert grams(batch, "soaker") == {"linseed": 50, "sunflower seeds": 20, "water": 100}
    assert grams(batch, "final") == {"strong flour": 500, "water": 300, "sunflower seeds": 10, "Seeds": 170}
    assert ratios(batch)["hydration"] == 80  # what is soaked up was poured all the same
    adds_up(batch)


def test_a_soaker_by_shares_of_what_the_list_has() -> None:
    batch = batch_of(SEEDED + "\nsoaker Seeds\n  linseed: 100 %\n  sunflower seeds: 50 %\n  water: 20 %\n")
    # 100 % of 50, 50 % of 30, 20 % of 400: 50 + 15 + 80 = 145.
    assert grams(batch, "soaker") == {"linseed": 50, "sunflower seeds": 15, "water": 80}
    assert grams(batch, "final") == {"strong flour": 500, "water": 320, "sunflower seeds": 15, "Seeds": 145}
    adds_up(batch)


def test_a_scald_takes_flour_without_prefermenting_it() -> None:
    batch = batch_of(SEEDED + "\nsoaker Scald\n  strong flour: 10 %\n  water: 100 g\n")
    assert grams(batch, "soaker") == {"strong flour": 50, "water": 100}
    assert "prefermented flour" not in ratios(batch)
    adds_up(batch)


def test_a_share_of_another_line_of_the_soaker() -> None:
    batch = batch_of(SEEDED + "\nsoaker Seeds\n  linseed: 50 g\n  water: 50 % of linseed\n")
    # Half of 50, and not half of the 400 g of water.
    assert grams(batch, "soaker") == {"linseed": 50, "water": 25}
    assert grams(batch, "final")["water"] == 375
    adds_up(batch)


def test_so_many_times_another_line_of_the_soaker() -> None:
    batch = batch_of(SEEDED + "\nsoaker Seeds\n  linseed: 100 %\n  water: 2 times the linseed\n")
    assert grams(batch, "soaker") == {"linseed": 50, "water": 100}


def test_two_preferments_and_a_soaker() -> None:
    batch = batch_of(
        SEEDED + "\npreferment Levain, 10 % of the flour\n  water: 100 %\n\n"
        "preferment Sponge, 40 % of the flour\n  water: 60 %\n\n"
        "soaker Seeds\n  linseed: 100 %\n  water: 75 g\n"
    )
    # Levain 50 + 50; sponge 200 + 120; soaker 50 + 75.
    # Final: flour 500 - 50 - 200 = 250, water 400 - 50 - 120 - 75 = 155, 30 seeds, 100, 320, 125: 980.
    assert grams(batch, "final") == {
        "strong flour": 250,
        "water": 155,
        "sunflower seeds": 30,
        "Levain": 100,
        "Sponge": 320,
        "Seeds": 125,
    }
    assert part(batch, "final").weight == 980
    adds_up(batch)


# ---------------------------------------------------------------- more than there is


@pytest.mark.parametrize(
    ("drawn_out", "food", "takes", "has", "missing"),
    [
        # 60 % of 500 = 300 flour, at 120 %: 360 of 350 water.
        ("preferment Sponge, 60 % of the flour\n  water: 120 %\n", "water", "360 g", "350 g", "10 g"),
        # 1.5 % of 400 = 6 of 5 yeast.
        (
            "preferment Sponge, 80 % of the flour\n  instant yeast: 1.5 %\n",
            "instant yeast",
            "6 g",
            "5 g",
            "1 g",
        ),
        ("preferment Sponge, 110 % of the flour\n  water: 10 %\n", "strong flour", "550 g", "500 g", "50 g"),
        ("soaker Soak\n  water: 351 g\n", "water", "351 g", "350 g", "1 g"),
        ("soaker Soak\n  fine salt: 150 %\n", "fine salt", "15 g", "10 g", "5 g"),
    ],
)
def test_what_takes_too_much_says_how_much_is_missing(
    drawn_out: str, food: str, takes: str, has: str, missing: str
) -> None:
    compiled = compile_text(f"{WHITE}\n{drawn_out}")
    found = only(compiled)
    assert found.rule == "preferment-takes-too-much"
    for said in (food, takes, has, f"{missing} are missing"):
        assert said in found.message
    assert compiled.batch is None


def test_the_second_one_is_told_what_the_first_has_left() -> None:
    compiled = compile_text(
        WHITE
        + "\npreferment First, 60 % of the flour\n  water: 60 %\n"
        + "\npreferment Second, 60 % of the flour\n  water: 10 %\n"
    )
    found = only(compiled)
    assert found.rule == "preferment-takes-too-much"
    # First took 300 of 500; Second wants 300 of the 200 that are left.
    assert "Second takes 300 g of strong flour" in found.message
    assert "only 200 g left" in found.message
    assert "100 g are missing" in found.message
    assert found.also[0].span.text.startswith("strong flour:")


def test_all_that_there_is_may_be_taken() -> None:
    batch = batch_of(WHITE + "\npreferment Sponge, 50 % of the flour\n  water: 140 %\n  instant yeast: 2 %\n")
    assert grams(batch, "final") == {"strong flour": 250, "fine salt": 10, "Sponge": 605}


@pytest.mark.parametrize(
    ("drawn_out", "rule"),
    [
        ("preferment Sponge, 20 % of the flour\n  honey: 5 %\n", "not-in-the-list"),
        ("preferment Sponge, 20 % of the rye flour\n  water: 60 %\n", "not-in-the-list"),
        (
            "preferment Sponge, 20 % of the flour\n  strong flour: 90 g\n  water: 60 %\n",
            "preferment-flour-differs",
        ),
        (
            "preferment Sponge, 20 % of the flour\n  strong flour: 90 %\n  water: 60 %\n",
            "preferment-flour-differs",
        ),
        ("soaker Soak\n  linseed: 20 g\n", "not-in-the-list"),
    ],
)
def test_what_the_list_does_not_have_is_refused(drawn_out: str, rule: str) -> None:
    compiled = compile_text(f"{WHITE}\n{drawn_out}")
    assert only(compiled).rule == rule
    assert compiled.batch is None


def test_without_a_main_list_there_is_nothing_to_draw_from() -> None:
    compiled = compile_text("recipe T\n\ningredients for the top\n  rice: 10 g\n\nsoaker Soak\n  rice: 5 g\n")
    assert only(compiled).rule == "nothing-to-draw-from"


@pytest.mark.parametrize(
    "second",
    ["preferment Sponge, 10 % of the flour", "soaker Sponge", "ingredients for the Sponge", "soaker Water"],
)
def test_a_name_that_something_else_has_is_refused(second: str) -> None:
    first = "" if second == "soaker Water" else "\npreferment Sponge, 10 % of the flour\n  water: 60 %\n"
    compiled = compile_text(f"{WHITE}{first}\n{second}\n  water: 10 g\n")
    assert only(compiled).rule == "defined-twice"
    assert only(compiled).also


def test_a_preferment_cannot_go_into_another() -> None:
    compiled = compile_text(
        WHITE
        + "\npreferment First, 10 % of the flour\n  water: 60 %\n"
        + "\npreferment Second, 20 % of the flour\n  water: 60 %\n  First: 80 g\n"
    )
    assert only(compiled).rule == "not-in-the-list"
    assert "another" in only(compiled).message


def test_a_preferment_of_no_flour_is_refused() -> None:
    assert rules(compile_text(WHITE + "\npreferment Sponge, 0 % of the flour\n  water: 10 g\n")) == [
        "preferment-flour-differs"
    ]


@pytest.mark.parametrize(
    ("written", "fits"), [("99.5", True), ("100.5", True), ("99.4", False), ("100.6", False)]
)
def test_flour_in_grams_may_differ_by_half_a_gram_from_its_share(written: str, fits: bool) -> None:
    # 20 % of 500 is 100.
    compiled = compile_text(
        f"{WHITE}\npreferment Sponge, 20 % of the flour\n  strong flour: {written} g\n  water: 60 g\n"
    )
    assert rules(compiled) == ([] if fits else ["preferment-flour-differs"])
    if fits:
        assert compiled.batch is not None
        assert grams(compiled.batch, "preferment")["strong flour"] == F(written)
        assert grams(compiled.batch, "final")["strong flour"] == 500 - F(written)
        adds_up(compiled.batch)


def test_a_preferment_in_grams_has_its_percentages_of_its_own_flour() -> None:
    # 34.21 % of 1368 is 467.99 g; the list says 468, and 100 % of that is 468 of water.
    batch = batch_of(
        "recipe T\n  base: strong flour\n\ningredients\n  strong flour: 1368 g\n  water: 936 g\n\n"
        "preferment Poolish, 34.21 % of the strong flour\n  strong flour: 468 g\n  water: 100 %\n"
    )
    assert grams(batch, "preferment") == {"strong flour": 468, "water": 468}
    assert part(batch, "preferment").base_weight == 468


# ---------------------------------------------------------------- the method draws from the final dough


METHOD = (
    WHITE
    + """
preferment Poolish, 20 % of the flour
  water: 100 %

step Ferment, for the Poolish
  Stir [the strong flour] into [the water].

step Dough
  Mix [the Poolish], [half the strong flour], [all but 50 g of the water] and [the instant yeast].

step Finish
  Add [the rest of the strong flour], [the fine salt] and [the rest of the water].
"""
)


def test_shares_are_of_what_the_final_dough_has_left() -> None:
    """Half the flour is 200 of 400 g, not 250 of 500: the cook reads the final dough, and the rest is in the poolish.

    That is what a baker expects: what stands on the bench is the final dough's flour.
    """
    batch = batch_of(METHOD)
    # P: 100 flour, 100 water. Final: 400 flour, 250 water.
    assert drawn(batch) == [
        (1, "the strong flour", 100),
        (1, "the water", 100),
        (2, "the Poolish", 200),
        (2, "half the strong flour", 200),
        (2, "all but 50 g of the water", 200),
        (2, "the instant yeast", 5),
        (3, "the rest of the strong flour", 200),
        (3, "the fine salt", 10),
        (3, "the rest of the water", 50),
    ]
    assert rules(compile_text(METHOD)) == []


def test_what_the_method_draws_is_the_overall_formula() -> None:
    batch = batch_of(METHOD)
    total = sum((weight for _, text, weight in drawn(batch) if weight and text != "the Poolish"), F(0))
    assert total == part(batch, "main").weight == 865


def test_each_draw_says_which_line_of_the_batch_it_is() -> None:
    batch = batch_of(METHOD)
    for step in batch.steps:
        for runs in step.lines:
            for run in runs:
                if isinstance(run, DrawRun) and run.line is not None:
                    number, index = run.line
                    assert batch.parts[number].role == ("preferment" if step.number == 1 else "final")
                    assert batch.parts[number].lines[index].name == run.name


def test_the_lines_of_a_preferment_are_drawn_by_saying_so() -> None:
    text = (
        WHITE + "\npreferment Poolish, 20 % of the flour\n  water: 100 %\n\n"
        "step All\n  Stir [the strong flour for the Poolish] into [the water for the Poolish], [5 min].\n"
        "  Add [the strong flour], [the water], [the fine salt] and [the instant yeast].\n"
    )
    batch = batch_of(text)
    assert rules(compile_text(text)) == []
    assert [weight for _, _, weight in drawn(batch)] == [100, 100, 400, 250, 10, 5]


def test_a_preferment_without_steps_is_drawn_as_one() -> None:
    text = (
        WHITE + "\npreferment Poolish, 20 % of the flour\n  water: 100 %\n\n"
        "step All\n  Knead [the Poolish], [the strong flour], [the water], [the fine salt] and [the instant yeast].\n"
    )
    assert rules(compile_text(text)) == []
    assert drawn(batch_of(text))[0] == (1, "the Poolish", 200)


def test_a_preferment_in_two_goes() -> None:
    text = METHOD.replace("[the Poolish], ", "[150 g of the Poolish], ").replace(
        "Add ", "Add [the rest of the Poolish], "
    )
    assert rules(compile_text(text)) == []
    assert [weight for _, words, weight in drawn(batch_of(text)) if "Poolish" in words] == [150, 50]


def test_two_swapped_steps_are_noticed() -> None:
    head, ferment, dough, finish = METHOD.split("step ")
    swapped = f"{head}step {dough}step {ferment}step {finish}"
    assert "drawn-before-made" in rules(compile_text(swapped))


def test_two_other_swapped_steps_are_noticed() -> None:
    head, ferment, dough, finish = METHOD.split("step ")
    found = rules(compile_text(f"{head}step {ferment}step {finish}step {dough}"))
    assert found  # `the rest of` then takes all, and nothing is left for `half the`
    assert set(found) <= {"drawn-when-gone", "overdrawn-ingredient"}


@pytest.mark.parametrize(
    ("before", "after", "rule"),
    [
        ("[the Poolish], ", "", "left-over-ingredient"),
        ("Mix [the Poolish], ", "Mix [the Poolish], [the Poolish], ", "drawn-when-gone"),
        ("[half the strong flour]", "[450 g of the strong flour]", "overdrawn-ingredient"),
        ("into [the water].", "into water.", "left-over-ingredient"),
        (", for the Poolish", ", for the Polish", "unknown-part"),
        ("[the Poolish]", "[the Polish]", "not-in-the-list"),
    ],
)
def test_slips_in_the_method_are_noticed(before: str, after: str, rule: str) -> None:
    assert METHOD.count(before) == 1
    assert rule in rules(compile_text(METHOD.replace(before, after)))


def test_water_that_all_went_into_the_preferment_is_not_drawn_again() -> None:
    text = METHOD.replace("20 % of the flour\n  water: 100 %", "50 % of the flour\n  water: 140 %")
    found = [one for one in compile_text(text).findings if one.rule == "drawn-when-gone"]
    assert found
    assert "Ferment" in found[0].message


# ---------------------------------------------------------------- parts that share flour, water and sugar


BUNS = """\
kitchen K
  currency: NZD

recipe Buns
  makes:  10 buns
  base:   strong flour

ingredients
  strong flour:    400 g
  water:            60 %
  caster sugar:     10 %
  instant yeast:     1 %

preferment Sponge, 25 % of the flour
  water:            60 %
  instant yeast:     1 %

preferment Flying sponge, 25 % of the flour
  water:           100 %
  caster sugar:      5 %

ingredients for the glaze
  caster sugar:     50 g
  water:            30 g
  strong flour:      5 g

step Early, for the Sponge
  Stir [the strong flour], [the water] and [the instant yeast] together.

step Quick, for the Flying sponge
  Stir [the strong flour], [the water] and [the caster sugar] together.

step Dough, after Early and Quick
  Knead [the Sponge], [the Flying sponge], [the strong flour], [the water], [the caster sugar] and [the instant yeast].

step Boil, for the glaze
  Boil [the caster sugar], [the water] and [the strong flour].

step Brush, after Dough and Boil
  Brush the buns with [the glaze].

prices at S on 2026-11-01
  strong flour:   2.00 for 1 kg
  caster sugar:   4.00 for 1 kg
  instant yeast:  10.00 for 100 g
  water:          free
"""


def test_two_preferments_a_glaze_and_a_dough_share_flour_water_and_sugar() -> None:
    assert rules(compile_text(BUNS)) == []
    batch = batch_of(BUNS)
    # Overall dough: flour 400, water 240, sugar 40, yeast 4: 684. Glaze: sugar 50, water 30, flour 5: 85.
    # Sponge: flour 100, water 60, yeast 1. Flying sponge: flour 100, water 100, sugar 5.
    # Final: flour 200, water 240 - 160 = 80, sugar 35, yeast 3, 161, 205: 684.
    assert grams(batch, "final") == {
        "strong flour": 200,
        "water": 80,
        "caster sugar": 35,
        "instant yeast": 3,
        "Sponge": 161,
        "Flying sponge": 205,
    }
    assert grams(batch, "part", "glaze") == {"caster sugar": 50, "water": 30, "strong flour": 5}
    assert [weight for _, _, weight in drawn(batch)] == [
        *(100, 60, 1),  # early
        *(100, 100, 5),  # quick
        *(161, 205, 200, 80, 35, 3),  # dough
        *(50, 30, 5),  # boil
        85,  # brush
    ]
    assert batch.makes.formula == 684 + 85
    adds_up(batch)


def test_what_is_drawn_out_is_not_paid_twice() -> None:
    batch = batch_of(BUNS)
    # Flour 405 g at 2.00 a kg = 0.81; sugar 90 g at 4.00 = 0.36; yeast 4 g at 100.00 a kg = 0.40; water free.
    assert {one.item: (one.weight, one.cost) for one in batch.cost.lines} == {
        "strong flour": (405, F("0.81")),
        "water": (270, F(0)),
        "caster sugar": (90, F("0.36")),
        "instant yeast": (4, F("0.40")),
    }
    assert (batch.cost.total, batch.cost.each) == (F("1.57"), F("0.157"))
    assert batch.cost.complete


def test_allergens_are_the_same_with_and_without_the_preferments() -> None:
    plain = WHITE + "  butter: 5 %\n"
    sponge = plain + "\npreferment Sponge, 30 % of the flour\n  water: 60 %\n\nsoaker Soak\n  butter: 100 %\n"
    assert batch_of(sponge).allergens == batch_of(plain).allergens


def test_yield_cost_and_ratios_are_the_same_with_and_without() -> None:
    one, other = batch_of(WHITE), batch_of(WHITE + "\npreferment Sponge, 30 % of the flour\n  water: 60 %\n")
    assert (one.makes.formula, one.makes.finished) == (other.makes.formula, other.makes.finished)
    assert one.cost.lines == other.cost.lines
    assert ratios(other) == {**ratios(one), "prefermented flour": 30}


def test_a_line_with_a_purpose_is_left_to_the_final_dough() -> None:
    batch = batch_of(
        WHITE + "  strong flour: 20 g, for the bench\n\npreferment Sponge, 20 % of the flour\n  water: 60 %\n"
    )
    assert part(batch, "preferment").base_weight == 100  # of 500, not of 520
    bench = [one for one in part(batch, "final").lines if one.purpose is not None]
    assert [(one.name, one.weight) for one in bench] == [("strong flour", 20)]
    assert part(batch, "final").weight == 865


@pytest.mark.parametrize("asked", [{"times": F(3)}, {"times": F(1, 7)}, {"base": "730 g"}])
def test_every_weight_scales_with_the_batch(asked: dict[str, Any]) -> None:
    once, more = batch_of(METHOD), batch_of(METHOD, **asked)
    factor = more.asked.times
    for one, other in zip(once.parts, more.parts, strict=True):
        assert [at.weight * factor for at in one.lines if at.weight is not None] == [
            at.weight for at in other.lines if at.weight is not None
        ]
        assert [at.percent for at in one.lines] == [at.percent for at in other.lines]
        assert (one.weight * factor, one.share) == (other.weight, other.share)
    assert [(step, text) for step, text, _ in drawn(once)] == [(step, text) for step, text, _ in drawn(more)]
    assert [w for _, text, w in drawn(more) if text != "all but 50 g of the water"] == [
        w * factor for _, text, w in drawn(once) if w is not None and text != "all but 50 g of the water"
    ]
    adds_up(more)


# ---------------------------------------------------------------- a recipe's product in a recipe


DEEP = """\
recipe Canapes
  makes: 150 g

ingredients
  Crumb butter:  100 g
  water:          50 g

recipe Crumb butter
  makes: 300 g

ingredients
  Sponge bread:  225 g
  butter:         75 g

recipe Sponge bread
  makes: 450 g baked
  loses: 10 % in the bake
  base:  strong flour

ingredients
  strong flour:  300 g
  water:         200 g

preferment Sponge, 50 % of the flour
  water:          60 %

prices at S on 2026-11-01
  strong flour:   2.00 for 1 kg
  water:          free
  butter:        10.00 for 1 kg
"""


def test_a_bread_with_a_preferment_three_recipes_deep() -> None:
    # Bread: 300 flour at 2.00 a kg = 0.60 for 500 x 0.9 = 450 g.
    # Crumb butter: 225 g of bread = half of it, 0.30; 75 g butter 0.75: 1.05 for 300 g.
    # Canapes: 100 of 300 g: 0.35.
    batch = batch_of(DEEP)
    assert (batch.cost.total, batch.cost.complete) == (F("0.35"), True)
    assert {one.name: one.foods for one in batch.allergens.contains} == {
        "wheat (gluten)": ("strong flour",),
        "milk": ("butter",),
    }
    assert line(batch, "Crumb butter").recipe == "Crumb butter"
    assert all(one.role == "main" for one in batch.parts)


def test_three_deep_it_is_the_same_with_and_without_the_preferment() -> None:
    plain = DEEP.replace("\npreferment Sponge, 50 % of the flour\n  water:          60 %\n", "")
    assert plain != DEEP
    one, other = batch_of(DEEP), batch_of(plain)
    assert [(at.item, at.weight, at.cost) for at in one.cost.lines] == [
        (at.item, at.weight, at.cost) for at in other.cost.lines
    ]
    assert (one.cost.total, one.makes.finished) == (other.cost.total, other.makes.finished)
    assert one.allergens == other.allergens


# ---------------------------------------------------------------- a levain that is kept


@pytest.mark.parametrize(
    ("kept", "flour", "water"),
    [
        # 160 g at 100 %: 80 flour, 80 water. At 60 %: 160 / 1.6 = 100 flour, 60 water.
        (100, 80, 80),
        (60, 100, 60),
    ],
)
def test_a_kept_levain_counts_its_flour_and_water(kept: int, flour: int, water: int) -> None:
    batch = batch_of(
        "recipe T\n  base: strong flour\n\ningredients\n  strong flour: 500 g\n  water: 300 g\n  pot levain: 160 g\n",
        f"ingredient pot levain\n  kind: starter\n  hydration: {kept} %\n  contains: wheat\n",
    )
    found = ratios(batch)
    assert found["hydration"] == F((300 + water) * 100, 500 + flour)
    assert found["prefermented flour"] == F(flour * 100, 500 + flour)
    assert found["inoculation"] == F(160 * 100, 500 + flour)
    assert line(batch, "water").percent == 60  # the base is the strong flour alone


def test_a_kept_levain_in_a_preferment_is_counted_once() -> None:
    batch = batch_of(
        "recipe T\n  base: strong flour\n\ningredients\n  strong flour: 500 g\n  water: 300 g\n  pot levain: 20 g\n\n"
        "preferment Build, 20 % of the strong flour\n  water: 100 %\n  pot levain: 20 %\n",
        "ingredient pot levain\n  kind: starter\n  hydration: 100 %\n  contains: wheat\n",
    )
    # Build: 100 flour, 100 water, 20 levain. Flour in all 500 + 10; prefermented 100 + 10; water 300 + 10.
    assert grams(batch, "preferment") == {"strong flour": 100, "water": 100, "pot levain": 20}
    assert ratios(batch)["prefermented flour"] == F(110 * 100, 510)
    assert ratios(batch)["hydration"] == F(310 * 100, 510)
    assert "pot levain" not in grams(batch, "final")
    adds_up(batch)


# ---------------------------------------------------------------- the demo's


def test_the_demo_loaf_with_two_preferments_and_a_soaker() -> None:
    batch = demo_batch("two-tides-loaf")
    assert [one.name for one in batch.parts if one.role in ("preferment", "soaker")] == [
        "Flood levain",
        "Ebb sponge",
        "Seed soaker",
    ]
    # Water: 780 - 80 (levain, 100 % of 80) - 120 (sponge, 60 % of 200) - 150 (soaker) = 430.
    assert line(batch, "water", None).weight == 780
    final = grams(batch, "final")
    assert (final["water"], final["strong flour"], final["wholemeal rye flour"]) == (430, 600, 20)
    assert ratios(batch)["prefermented flour"] == 28
    adds_up(batch)


def test_the_demo_buns_with_a_sponge_a_filling_and_a_glaze() -> None:
    batch = demo_batch("slack-water-buns")
    # The sponge, 30 % of 450 = 135 flour at 90 %, takes all the milk: 121.5 g.
    assert "whole milk" not in grams(batch, "final")
    assert {one.name for one in batch.parts if one.role == "part"} == {"filling", "glaze"}
    adds_up(batch)
