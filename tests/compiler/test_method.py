"""The method: what each step draws, whether the books balance, and how long it takes."""

from fractions import Fraction
from typing import Any

import pytest

from benchproof.compiler.batch import (
    Batch,
    ChangeRun,
    DrawRun,
    DurationRun,
    Extent,
    LoadRun,
    MeasureRun,
    Run,
    TemperatureRun,
    TextRun,
    TurnsRun,
)
from benchproof.compiler.compile import Compiled
from benchproof.compiler.findings import Severity
from tests.compiler.bench import DEMO, batch_of, compile_text, demo, demo_batch, kitchen_of, only, rules

LIST = """\
recipe T
  makes: 12 rounds of 20 g

ingredients
  water:         100 g
  butter:         60 g
  strong flour:   80 g
  strong flour:   10 g, for the bench
  eggs:            3
"""
MINUTE = 60


def made(steps: str, listed: str = LIST, *more: str, **request: Any) -> Compiled:
    return compile_text(f"{listed}\n{steps}", *more, **request)


def runs(batch: Batch | None, kind: type[Run]) -> list[Any]:
    assert batch is not None
    return [run for step in batch.steps for line in step.lines for run in line if isinstance(run, kind)]


def draws(compiled: Compiled) -> list[tuple[str, Fraction | None]]:
    """What is taken, in order: name and g."""
    return [(run.name, run.weight) for run in runs(compiled.batch, DrawRun)]


def water(*facts: str) -> Compiled:
    """Draws of 100 g of water, one a line."""
    lines = "".join(f"  Pour [{fact}].\n" for fact in facts)
    return made(f"step Pour\n{lines}", "recipe T\n\ningredients\n  water: 100 g\n")


def plain(text: str) -> str:
    """With common blanks for the thin ones between a number and its unit."""
    return text.replace("\u2009", " ").replace("\u202f", " ").replace("\u00a0", " ")


# ---------------------------------------------------------------- shares


@pytest.mark.parametrize(
    ("facts", "taken"),
    [
        (["the water"], [100]),
        (["water"], [100]),
        (["Water"], [100]),
        (["all of the water"], [100]),
        (["half the water", "the rest of the water"], [50, 50]),
        (["half of the water", "half the water"], [50, 50]),
        (["half the water", "the water"], [50, 50]),  # a bare name draws all that is left
        (["a third of the water", "two thirds of the water"], [Fraction(100, 3), Fraction(200, 3)]),
        (["a quarter of the water", "three quarters of the water"], [25, 75]),
        (["25 % of the water", "75 % of the water"], [25, 75]),
        (["12.5 % of the water", "rest of the water"], [Fraction(25, 2), Fraction(175, 2)]),
        (["half the water", "50 % of the water"], [50, 50]),  # a fraction is of the whole line
        (["40 g of the water", "the rest of the water"], [40, 60]),
        (["0.04 kg of the water", "60 g of the water"], [40, 60]),
        (["2 tbsp of the water", "the rest of the water"], [30, 70]),
        (["all but 20 g of the water", "20 g of the water"], [80, 20]),
        (["all but 20 ml of the water", "the rest of the water"], [80, 20]),
    ],
)
def test_every_kind_of_share(facts: list[str], taken: list[Fraction]) -> None:
    compiled = water(*facts)
    assert not compiled.findings
    assert [weight for _, weight in draws(compiled)] == taken


@pytest.mark.parametrize(
    ("facts", "taken"),
    [
        (["the eggs"], [(150, 3)]),
        (["2 of the eggs", "the rest of the eggs"], [(100, 2), (50, 1)]),
        (["1 of the eggs", "2 of the eggs"], [(50, 1), (100, 2)]),
        (["all but 1 of the eggs", "1 of the eggs"], [(100, 2), (50, 1)]),
        (["a third of the eggs", "the eggs"], [(50, 1), (100, 2)]),
    ],
)
def test_shares_of_a_count(facts: list[str], taken: list[tuple[Fraction, Fraction]]) -> None:
    lines = "".join(f"  Beat [{fact}].\n" for fact in facts)
    compiled = made(f"step A\n{lines}", "recipe T\n\ningredients\n  eggs: 3\n")
    assert not compiled.findings
    assert [(run.weight, run.count) for run in runs(compiled.batch, DrawRun)] == taken


def test_a_whole_draw_is_told_from_a_share() -> None:
    assert [run.whole for run in runs(water("the water").batch, DrawRun)] == [True]
    assert [run.whole for run in runs(water("half the water", "the water").batch, DrawRun)] == [False, False]


def test_a_draw_scales_with_the_batch_even_when_it_says_grams() -> None:
    compiled = made(
        "step A\n  [40 g of the water]\n  [the rest of the water]\n",
        "recipe T\n\ningredients\n  water: 100 g\n",
        times=Fraction(5, 2),
    )
    assert [weight for _, weight in draws(compiled)] == [100, 150]


def test_what_goes_in_to_taste_is_drawn_without_a_weight() -> None:
    compiled = made("step A\n  [the thyme]\n", "recipe T\n\ningredients\n  thyme: to taste\n")
    assert not compiled.findings
    assert draws(compiled) == [("thyme", None)]


# ---------------------------------------------------------------- names


@pytest.mark.parametrize(
    ("listed", "fact"),
    [
        ("00 flour: 100 g", "00 flour"),
        ("00 flour: 100 g", "the 00 flour"),
        ("70 % chocolate: 100 g", "70 % chocolate"),
        ("70 % chocolate: 100 g", "half the 70 % chocolate] and [the rest of the 70 % chocolate"),
        ("half-and-half: 100 g", "half-and-half"),
        ("half and half: 100 g", "the half and half"),
        ("strong flour: 100 g", "the bread flour"),  # the larder's other name for it
        ("bread flour: 100 g", "the strong flour"),
        ("fine  Salt: 100 g", "the FINE salt"),
        ("cream for whipping: 100 g", "the cream for whipping"),
        ("baker's cheese: 100 g", "the baker’s cheese"),
        ("5-spice: 100 g", "the 5-spice"),
        ("all spice: 100 g", "all spice"),
        ("half cream: 100 g", "half cream"),
        ("all spice: 100 g", "half the all spice] and [the rest of the all spice"),
    ],
)
def test_names_are_matched_whole(listed: str, fact: str) -> None:
    compiled = made(f"step A\n  Use [{fact}].\n", f"recipe T\n\ningredients\n  {listed}\n")
    assert not compiled.findings
    assert sum(weight for _, weight in draws(compiled) if weight) == 100


def test_the_name_on_the_line_goes_before_another_line_s_other_names() -> None:
    compiled = made(
        "step A\n  [the stock] and [the broth]\n",
        "recipe T\n\ningredients\n  broth: 10 g\n  stock: 20 g\n",
        "ingredient broth\n  also: stock\n",
    )
    assert draws(compiled) == [("stock", 20), ("broth", 10)]


@pytest.mark.parametrize(
    ("fact", "mend"),
    [("2 eggs", "[2 of the eggs]"), ("40 g butter", "[40 g of the butter]"), ("half eggs", None)],
)
def test_a_number_before_a_name_needs_of(fact: str, mend: str | None) -> None:
    compiled = made(f"step A\n  Use [{fact}].\n")
    found = [one for one in compiled.findings if one.span.text.strip("[]") == fact]
    assert len(found) == 1
    assert found[0].severity is Severity.ERROR
    if mend is not None:
        assert found[0].rule == "number-needs-of"
        assert found[0].edit is not None
        assert found[0].edit.text == mend


def test_a_near_miss_is_a_question_and_never_a_guess() -> None:
    compiled = made("step A\n  [the buttre]\n", "recipe T\n\ningredients\n  butter: 10 g\n")
    miss = next(one for one in compiled.findings if one.rule == "not-in-the-list")
    assert "butter" in miss.help
    assert miss.edit is None
    assert draws(compiled) == [("the buttre", None)]  # nothing was taken on its behalf
    compiled = made("step A\n  [the milk]\n", "recipe T\n\ningredients\n  almond milk: 10 g\n")
    assert "not-in-the-list" in rules(compiled)


PARTS = """\
recipe T

ingredients
  fine salt:  10 g
  rice:      100 g

ingredients for the filling
  fine salt:   2 g
  leeks:      50 g

ingredients for the topping
  fine salt:   3 g
  cheddar:    30 g
  paprika:     1 g
"""


def test_a_shared_name_is_the_step_s_part_s_or_says_so() -> None:
    compiled = made(
        "step A\n  [the fine salt], [the rice] and [the paprika]\n\n"
        "step B, for the filling\n  [the leeks] and [the fine salt]\n\n"
        "step C, for the topping\n  [the fine salt for the topping] and [the cheddar]\n\n"
        "step D\n  [the filling] and [the topping]\n",
        PARTS,
    )
    assert not compiled.findings
    assert [weight for _, weight in draws(compiled)] == [10, 100, 1, 50, 2, 3, 30, 52, 34]


def test_a_name_found_in_one_part_may_be_drawn_in_any_step() -> None:
    compiled = made(
        "step A, for the filling\n  [the leeks], [the fine salt], [the cheddar], [the rice]\n\n"
        "step B, for the topping\n  [the fine salt], [the paprika]\n\n"
        "step C\n  [the fine salt], [the filling], [the topping]\n",
        PARTS,
    )
    assert not compiled.findings


def test_a_shared_name_that_no_main_list_has_must_say_which() -> None:
    compiled = made(
        "step A\n  [the rice], [the leeks], [the fine salt], [the fine salt for the topping], [the cheddar]\n",
        PARTS.replace("  fine salt:  10 g\n", "").replace("  paprika:     1 g\n", ""),
    )
    finding = only(compiled)
    assert finding.rule == "which-part"
    assert "filling" in finding.message
    assert "topping" in finding.message


def test_a_bare_name_is_the_line_without_a_purpose() -> None:
    compiled = made(
        "step A\n  [the strong flour], [the water], [the butter], [the eggs]\n\n"
        "step B\n  Dust with [the strong flour for the bench].\n"
    )
    assert not compiled.findings
    assert [weight for name, weight in draws(compiled) if name == "strong flour"] == [80, 10]


def test_a_purpose_that_is_not_drawn_is_left_over() -> None:
    compiled = made("step A\n  [the strong flour], [the water], [the butter], [the eggs]\n")
    finding = only(compiled)
    assert finding.rule == "left-over-ingredient"
    assert finding.span.text == "strong flour:   10 g, for the bench"


def test_a_part_without_steps_is_drawn_whole_or_by_its_lines() -> None:
    listed = "recipe T\n\ningredients\n  rice: 1 g\n\ningredients for the glaze\n  water: 10 g\n  caster sugar: 20 g\n"
    assert not made("step A\n  [the rice], [the glaze]\n", listed).findings
    assert not made("step A\n  [the rice], [the water], [the caster sugar]\n", listed).findings
    compiled = made("step A\n  [the rice], [half the glaze]\n\nstep B\n  [the rest of the glaze]\n", listed)
    assert not compiled.findings
    assert [weight for _, weight in draws(compiled)] == [1, 15, 15]


GLAZE = (
    "recipe T\n\ningredients\n  rice: 1 g\n\ningredients for the glaze\n  water: 10 g\n  caster sugar: 20 g\n"
)


def test_a_part_drawn_by_name_is_what_its_lines_have_left() -> None:
    compiled = made("step A\n  [the rice], [the water]\n\nstep B\n  [the glaze]\n", GLAZE)
    assert [weight for _, weight in draws(compiled)] == [1, 10, 20]


def test_a_part_drawn_by_name_weighs_what_goes_into_the_yield() -> None:
    listed = "recipe T\n\ningredients for the glaze\n  water: 10 g\n  butter: 5 g, for the brush\n"
    compiled = made("step A\n  [the glaze]\n", listed)
    assert [weight for _, weight in draws(compiled)] == [10]


def test_a_part_whose_lines_are_all_gone_is_gone() -> None:
    compiled = made("step A\n  [the rice], [the water], [the caster sugar]\n\nstep B\n  [the glaze]\n", GLAZE)
    assert rules(compiled) == ["drawn-when-gone"]


def test_a_line_of_which_half_went_in_with_its_part_is_half_there() -> None:
    compiled = made(
        "step A\n  [the rice], [half the glaze]\n\nstep B\n  [the water], [the caster sugar]\n", GLAZE
    )
    assert compiled.findings or sum(weight or 0 for _, weight in draws(compiled)) == 31


def test_a_line_of_a_part_that_went_in_whole_is_gone() -> None:
    listed = "recipe T\n\ningredients\n  rice: 1 g\n\ningredients for the glaze\n  water: 10 g\n"
    compiled = made("step A\n  [the rice], [the glaze]\n\nstep B\n  [the water]\n", listed)
    assert rules(compiled) == ["drawn-when-gone"]


def test_a_part_with_steps_that_nobody_uses_is_left_over() -> None:
    compiled = made(
        "step A, for the topping\n  [the cheddar]\n\nstep B\n  [the rice]\n",
        "recipe T\n\ningredients\n  rice: 1 g\n\ningredients for the topping\n  cheddar: 2 g\n",
    )
    finding = only(compiled)
    assert finding.rule == "left-over-ingredient"
    assert finding.span.text == "topping"


def test_a_part_used_twice_names_the_step_that_took_it() -> None:
    compiled = made(
        "step A, for the topping\n  [the cheddar]\n\nstep Scatter\n  [the rice], [the topping]\n\n"
        "step Again\n  [the topping]\n",
        "recipe T\n\ningredients\n  rice: 1 g\n\ningredients for the topping\n  cheddar: 2 g\n",
    )
    finding = only(compiled)
    assert finding.rule == "drawn-when-gone"
    assert "“Scatter”" in finding.message


# ---------------------------------------------------------------- parts of a piece

EGGS = "recipe T\n\ningredients\n  eggs: 3\n"


def test_yolks_and_whites_together_are_the_eggs() -> None:
    compiled = made("step A\n  [the yolks of the eggs]\n\nstep B\n  [the whites of the eggs]\n", EGGS)
    assert not compiled.findings
    # 17 g and 33 g, by the larder.
    assert [(run.weight, run.count) for run in runs(compiled.batch, DrawRun)] == [(51, 3), (99, 3)]


def test_a_share_of_the_yolks() -> None:
    compiled = made(
        "step A\n  [half the whites of the eggs], [the yolks of the eggs]\n\n"
        "step B\n  [the rest of the whites of the eggs]\n",
        EGGS,
    )
    assert not compiled.findings
    assert [weight for _, weight in draws(compiled)] == [Fraction(99, 2), 51, Fraction(99, 2)]


def test_whites_that_nobody_takes_are_left_over() -> None:
    finding = only(made("step A\n  [the yolks of the eggs]\n", EGGS))
    assert finding.rule == "left-over-ingredient"
    assert "white" in finding.message


def test_yolks_are_not_drawn_twice() -> None:
    compiled = made(
        "step A\n  [the yolks of the eggs], [the whites of the eggs]\n\nstep B\n  [the yolks of the eggs]\n",
        EGGS,
    )
    assert rules(compiled) == ["drawn-when-gone"]


def test_zest_and_juice_of_a_lemon() -> None:
    compiled = made(
        "step A\n  [the zest of the lemons] and [the juice of the lemons]\n",
        "recipe T\n\ningredients\n  lemons: 2\n",
    )
    assert not compiled.findings
    assert [weight for _, weight in draws(compiled)] == [12, 96]  # 6 g and 48 g each, by the larder


@pytest.mark.parametrize(
    ("listed", "fact"),
    [("eggs: 150 g", "the yolks of the eggs"), ("onions: 3", "the juice of the onions")],
)
def test_what_has_no_known_part_says_so(listed: str, fact: str) -> None:
    compiled = made(f"step A\n  [{fact}]\n", f"recipe T\n\ningredients\n  {listed}\n")
    assert compiled.findings[0].rule == "cannot-be-weighed"


def test_whole_eggs_and_then_a_yolk() -> None:
    compiled = made(
        "step A\n  [2 of the eggs], [the yolks of the eggs]\n\nstep B\n  [the whites of the eggs]\n", EGGS
    )
    assert not compiled.findings
    assert [run.count for run in runs(compiled.batch, DrawRun)] == [2, 1, 1]


def test_a_yolk_and_then_whole_eggs() -> None:
    compiled = made(
        "step A\n  [1 of the yolks of the eggs], [1 of the whites of the eggs]\n\nstep B\n  [2 of the eggs]\n",
        EGGS,
    )
    assert not compiled.findings


# ---------------------------------------------------------------- the books


def test_left_over_names_the_steps_and_the_rest() -> None:
    compiled = made(
        "step Pour\n  [40 g of the water]\n\nstep Top up\n  [half the water]\n",
        "recipe T\n\ningredients\n  water: 100 g\n",
    )
    finding = only(compiled)
    assert finding.rule == "left-over-ingredient"
    assert finding.span.text == "water: 100 g"
    for word in ("10 g", "“Pour”", "“Top up”"):
        assert word in plain(finding.message)
    assert [one.span.text for one in finding.also] == ["[40 g of the water]", "[half the water]"]


def test_overdrawn_names_the_steps_and_what_was_left() -> None:
    compiled = made(
        "step Pour\n  [70 g of the water]\n\nstep Top up\n  [half the water]\n",
        "recipe T\n\ningredients\n  water: 100 g\n",
    )
    finding = only(compiled)
    assert finding.rule == "overdrawn-ingredient"
    assert finding.severity is Severity.ERROR
    for word in ("50 g", "30 g", "“Pour”"):
        assert word in plain(finding.message)
    assert finding.span.text == "[half the water]"


@pytest.mark.parametrize("fact", ["110 g of the water", "101 ml of the water", "1 l of the water"])
def test_more_than_all_of_it_is_overdrawn(fact: str) -> None:
    assert rules(water(fact)) == ["overdrawn-ingredient"]


def test_all_but_more_than_there_is() -> None:
    compiled = water("all but 150 g of the water", "the rest of the water")
    assert compiled.findings
    assert all(weight is None or weight >= 0 for _, weight in draws(compiled))


def test_a_draw_of_what_is_gone_names_who_took_it() -> None:
    compiled = made(
        "step Pour\n  [the water]\n\nstep Top up\n  [10 g of the water]\n",
        "recipe T\n\ningredients\n  water: 100 g\n",
    )
    finding = only(compiled)
    assert finding.rule == "drawn-when-gone"
    assert "“Pour”" in finding.message
    assert finding.span.text == "[10 g of the water]"


def test_the_rest_when_nothing_is_left_is_gone_too() -> None:
    assert rules(water("the water", "the rest of the water")) == ["drawn-when-gone"]


def test_prose_that_only_mentions_a_thing_draws_nothing() -> None:
    assert not made(
        "step A\n  Pour [the water]. Stir the water.\n", "recipe T\n\ningredients\n  water: 100 g\n"
    ).findings


def test_a_recipe_without_steps_owes_no_draws() -> None:
    assert not compile_text("recipe T\n\ningredients\n  water: 100 g\n").findings


@pytest.mark.parametrize("stem", DEMO)
@pytest.mark.parametrize("times", [Fraction(1), Fraction(7, 3)])
def test_the_draws_of_a_demo_recipe_sum_to_its_lines(stem: str, times: Fraction) -> None:
    compiled = demo(stem, times=times)
    batch = compiled.batch
    assert batch is not None
    made_parts = {step.part for step in batch.steps}
    taken: dict[tuple[int, int], Fraction] = {}
    times_drawn: dict[tuple[int, int], int] = {}
    for run in runs(batch, DrawRun):
        if run.line is not None:
            taken[run.line] = taken.get(run.line, Fraction(0)) + (run.weight or 0)
            times_drawn[run.line] = times_drawn.get(run.line, 0) + 1
    final = any(part.role == "final" for part in batch.parts)
    for number, part in enumerate(batch.parts):
        if final and part.role == "main":
            continue  # steps draw from the final dough, and from what is drawn out of it
        by_name = part.name is not None and part.name not in made_parts
        for index, one in enumerate(part.lines):
            if one.lent:
                continue  # given back: in no draw
            if one.kind in ("preferment", "soaker"):
                whole = [run.weight for run in runs(batch, DrawRun) if run.name.endswith(one.name)]
                assert sum(whole) == one.weight
                continue
            if by_name and (number, index) not in taken:
                assert any(run.line is None and run.weight == part.weight for run in runs(batch, DrawRun))
                continue
            assert times_drawn[number, index] >= 1, one.name
            assert taken[number, index] == (one.weight or 0), one.name


# ---------------------------------------------------------------- after and during


def waits(steps: str) -> list[tuple[tuple[int, ...], int | None]]:
    compiled = compile_text(f"recipe T\n\ningredients\n  water: 1 g\n\n{steps}")
    assert not [one for one in compiled.findings if one.rule != "left-over-ingredient"]
    return [(step.after, step.during) for step in compiled.method.steps]


def test_without_a_clause_a_step_waits_for_every_open_end() -> None:
    steps = "step A\n  x\n\nstep B, during A\n  x\n\nstep C, after A\n  x\n\nstep D\n  x\n\nstep E\n  x\n"
    assert waits(steps) == [((), None), ((), 1), ((1,), None), ((2, 3), None), ((4,), None)]


def test_after_and_during_may_stand_together() -> None:
    assert waits("step A\n  x\n\nstep B, during A\n  x\n\nstep C, after A, during B\n  x\n")[2] == ((1,), 2)


@pytest.mark.parametrize(
    ("phrase", "numbers"),
    [
        ("Shape and bake", (3,)),
        ("Shape", (1,)),
        ("Shape and Bake", (3,)),  # the longest known name, whatever its case
        ("Shape, Bake and Cool", (1, 2, 4)),
        ("Shape, Shape and bake and Cool", (1, 3, 4)),
        ("Shape and bake, Cool", (3, 4)),
        ("Cool, Bake, and Shape", (4, 2, 1)),
        ("Bake and Shape and bake", (2, 3)),
        ("the Cool and the Bake", (4, 2)),
        ("cool", (4,)),
    ],
)
def test_a_list_of_steps_is_cut_by_their_names(phrase: str, numbers: tuple[int, ...]) -> None:
    steps = (
        "step Shape\n  x\n\nstep Bake, during Shape\n  x\n\nstep Shape and bake, during Shape\n  x\n\n"
        f"step Cool, during Shape\n  x\n\nstep Last, after {phrase}\n  x\n"
    )
    assert waits(steps)[4][0] == numbers


@pytest.mark.parametrize(
    ("clause", "points_at", "help", "mended"),
    [
        ("after Mxi", "Mxi", "Mix", "Mix"),
        ("after Mix and Bkae", "Bkae", "above", None),
        ("during Mxi", "Mxi", "Mix", "Mix"),
        ("after Nowhere", "Nowhere", "Mix", None),
        ("after Later", "Later", "above", None),
    ],
)
def test_an_unknown_step(clause: str, points_at: str, help: str, mended: str | None) -> None:
    compiled = compile_text(
        f"recipe T\n\ningredients\n  water: 1 g\n\nstep Mix\n"
        f"  [the water]\n\nstep Next, {clause}\n  x\n\nstep Later\n  x\n"
    )
    finding = only(compiled)
    assert finding.rule == "unknown-step"
    assert finding.span.text == points_at
    assert help in finding.help
    assert (finding.edit.text if finding.edit else None) == mended


def test_a_step_for_an_unknown_part() -> None:
    compiled = made(
        "step A, for the fillnig\n  [the leeks], [the fine salt]\n",
        "recipe T\n\ningredients for the filling\n  leeks: 1 g\n  fine salt: 1 g\n",
    )
    finding = next(one for one in compiled.findings if one.rule == "unknown-part")
    assert finding.edit is not None
    assert finding.edit.text == "filling"


def test_two_steps_of_one_name_are_told() -> None:
    compiled = compile_text(
        "recipe T\n\ningredients\n  water: 1 g\n\nstep Mix\n"
        "  [the water]\n\nstep Mix\n  x\n\nstep End, after Mix\n  x\n"
    )
    assert compiled.findings


# ---------------------------------------------------------------- times


def took(prose: str, head: str = "  makes: 10 rounds\n", **request: Any) -> tuple[Extent, Extent]:
    """Minutes hands-on and hands-off of one step."""
    compiled = compile_text(f"recipe T\n{head}\ningredients\n  water: 1 g\n\nstep A\n{prose}", **request)
    assert compiled.batch is not None
    (step,) = compiled.batch.steps
    return (
        step.hands_on.times(Fraction(1, MINUTE)),
        step.hands_off.times(Fraction(1, MINUTE)),
    )


def ends(low: float, high: float | None = None) -> Extent:
    return Extent(Fraction(low), Fraction(low if high is None else high))


@pytest.mark.parametrize(
    ("prose", "hands_on", "hands_off"),
    [
        ("  [5 min]\n", ends(5), ends(0)),
        ("  [5-7 min]\n", ends(5, 7), ends(0)),
        ("  [5–7 min]\n", ends(5, 7), ends(0)),
        ("  [5 to 7 min]\n", ends(5, 7), ends(0)),
        ("  [1 h 30 min hands-off]\n", ends(0), ends(90)),
        ("  [30 s], [1 day hands-off]\n", ends(0.5), ends(1440)),
        ("  [at least 12 h hands-off]\n", ends(0), ends(720)),
        ("  [up to 4 h]\n", ends(0), ends(0)),  # only a limit
        ("  [60 C to 21 C in 2 h]\n", ends(0), ends(120)),  # takes its time
        ("  [60 C to 21 C within 2 h]\n", ends(0), ends(0)),  # is a limit
        ("  [3 times, every 30 min]\n", ends(0), ends(90)),
        ("  [3 times]\n", ends(0), ends(0)),
        # 10 rounds, 4 at a time: 3 loads. The time before the load and those of other lines stand once.
        ("  [1 min] [4 at a time] [2-3 min], turn, [1 min hands-off]\n  [5 min]\n", ends(12, 15), ends(3)),
        ("  [4 at a time]\n  [2 min]\n", ends(2), ends(0)),
        ("  [20 at a time] [2 min]\n", ends(2), ends(0)),
        ("  [4 at a time] [up to 9 min] [2 min]\n", ends(6), ends(0)),
    ],
)
def test_how_long_a_step_takes(prose: str, hands_on: Extent, hands_off: Extent) -> None:
    assert took(prose) == (hands_on, hands_off)


def test_loads_follow_the_batch() -> None:
    assert took("  [4 at a time] [2 min]\n", makes="20 rounds") == (ends(10), ends(0))
    assert took("  [4 at a time] [2 min]\n", times=Fraction(1, 10)) == (ends(2), ends(0))


def test_loads_count_what_makes_counts_else_serves() -> None:
    assert took("  [4 at a time] [2 min]\n", "  makes: 10 rounds\n  serves: 4\n")[0] == ends(6)
    assert took("  [4 at a time] [2 min]\n", "  makes: 900 g\n  serves: 5\n")[0] == ends(4)
    compiled = compile_text(
        "recipe T\n\ningredients\n  water: 1 g\n\nstep A\n  [the water] [4 at a time] [2 min]\n"
    )
    assert rules(compiled) == ["load-of-unknown"]
    assert runs(compiled.batch, LoadRun)[0].loads is None


def test_the_runs_carry_what_was_said() -> None:
    batch = batch_of(
        "recipe T\n  makes: 8 rounds\n\ningredients\n  beef mince: 100 g\n\nstep A\n"
        "  Fry [the beef mince] in a pan at [180 C pan] to [75 C core of the beef mince], [up to 20 min],\n"
        "  in [the pieces], [each piece] [2 cm] by [8 pieces], [20 g each].\n",
        times=Fraction(2),
    )
    heat = runs(batch, TemperatureRun)
    assert [(one.temperature.low, one.place, one.of, one.minimum) for one in heat] == [
        (180, "pan", None, False),
        (75, "core", "beef mince", True),
    ]
    assert [(one.limit, one.duration.high, one.hands_off) for one in runs(batch, DurationRun)] == [
        ("up to", 1200, False)
    ]
    measures = runs(batch, MeasureRun)
    assert [one.count for one in measures] == [16, 16, None, 16, None]
    assert [one.noun for one in measures] == ["rounds", "rounds", None, "rounds", None]
    assert measures[2].lengths == (Extent(Fraction(20), Fraction(20)),)
    assert measures[4].weight == Extent(Fraction(20), Fraction(20))  # each: it does not grow with the batch
    assert "".join(one.text for one in runs(batch, TextRun)).startswith("Fry ")


def test_a_fahrenheit_is_kept_exactly_and_a_change_has_two_ends() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  water: 1 g\n\nstep A\n  [the water] [100 F] [140 F to 70 F within 2 h]\n"
    )
    assert runs(batch, TemperatureRun)[0].temperature == Extent(Fraction(340, 9), Fraction(340, 9))
    (change,) = runs(batch, ChangeRun)
    assert (change.start.low, change.end.low, change.duration.low, change.within) == (
        60,
        Fraction(190, 9),
        7200,
        True,
    )


def test_turns_are_told_as_said() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  water: 1 g\n\nstep A\n  [the water] [3 times, every 30 min]\n"
    )
    (turns,) = runs(batch, TurnsRun)
    assert (turns.times, turns.every) == (
        Extent(Fraction(3), Fraction(3)),
        Extent(Fraction(1800), Fraction(1800)),
    )


@pytest.mark.parametrize("fact", ["10 pieces", "10 rounds"])
def test_pieces_that_are_not_the_yield_s(fact: str) -> None:
    compiled = compile_text(
        f"recipe T\n  makes: 12 rounds\n\ningredients\n  water: 1 g\n\nstep A\n  [the water], [{fact}]\n"
    )
    finding = only(compiled)
    assert finding.rule == "pieces-differ"
    assert "12 rounds" in finding.message
    assert finding.also[0].span.text == "12 rounds"


@pytest.mark.parametrize("stem", DEMO)
def test_a_demo_recipe_s_steps_sum_to_its_times(stem: str) -> None:
    batch = demo_batch(stem)
    for what in ("hands_on", "hands_off"):
        for end in ("low", "high"):
            assert getattr(getattr(batch.times, what), end) == sum(
                getattr(getattr(step, what), end) for step in batch.steps
            )


# ---------------------------------------------------------------- slips and hostile texts


def test_a_line_of_nothing() -> None:
    compiled = made("step A\n  [10 g of the rice]\n  [the rice]\n", "recipe T\n\ningredients\n  rice: 0 g\n")
    assert compiled.findings


@pytest.mark.parametrize(
    "steps",
    [
        "step A\n  [the rice], [the top]\n\nstep B, for the top\n  [the cheddar]\n",
        "step B, for the top\n  [the cheddar], [the top]\n\nstep A\n  [the rice]\n",
    ],
)
def test_a_part_is_not_drawn_before_it_is_made(steps: str) -> None:
    listed = "recipe T\n\ningredients\n  rice: 1 g\n\ningredients for the top\n  cheddar: 2 g\n"
    assert made(steps, listed).findings


@pytest.mark.parametrize(
    "fact",
    [
        "the yolks",
        "2 yolks",
        "the egg yolks",
        "the yolks of 2 of the eggs",
    ],
)
def test_yolks_in_other_words_get_the_mend(fact: str) -> None:
    compiled = made(f"step A\n  [{fact}]\n", EGGS)
    found = next(one for one in compiled.findings if one.rule != "left-over-ingredient")
    assert "yolks of the eggs" in found.help


def test_a_list_of_steps_is_cut_in_a_few_tries(monkeypatch: pytest.MonkeyPatch) -> None:
    from benchproof.compiler import method as room

    tries = 0
    match = room.re.match

    def counted(*arguments: Any, **more: Any) -> Any:
        nonlocal tries
        tries += 1
        return match(*arguments, **more)

    steps = "".join(f"step {'A and ' * number}A\n  x\n\n" for number in range(4))
    text = f"recipe T\n\ningredients\n  rice: 1 g\n\n{steps}step Z, after {'A and ' * 14}B\n  x\n"
    kitchen_of(text)  # read before counting
    monkeypatch.setattr(room.re, "match", counted)
    assert "unknown-step" in rules(compile_text(text))
    assert tries < 1000


# ---------------------------------------------------------------- what a message says to write


def test_a_part_called_as_a_food_is_drawn_by_its_name() -> None:
    """`rice` is another name of white rice, and here the name of a part."""
    listed = "recipe T\n\ningredients\n  tofu: 100 g\n\ningredients for the rice\n  white rice: 200 g\n  water: 300 g\n"
    steps = (
        "step Boil, for the rice\n  [the rice] in [the water]\n\nstep Serve\n  [the tofu] over [the rice]\n"
    )
    compiled = made(steps, listed)
    assert not compiled.findings
    assert [weight for _, weight in draws(compiled)] == [200, 300, 100, 500]


def test_a_line_of_the_very_name_of_its_part_is_used_up_by_the_part_s_own_steps() -> None:
    listed = (
        "recipe T\n\ningredients\n  tofu: 100 g\n\n"
        "ingredients for the couscous\n  couscous: 200 g\n  water: 300 g\n"
    )
    soak = "step Soak, for the couscous\n  [the water] over [the couscous]\n\n"
    assert not made(f"{soak}step Serve\n  [the tofu] over [the couscous]\n", listed).findings
    # Without steps of its own, the line is what is drawn, as ever.
    compiled = made("step A\n  [the tofu], [the couscous], [the water]\n", listed)
    assert not compiled.findings


def test_another_line_s_very_name_goes_before_a_part_s() -> None:
    listed = "recipe T\n\ningredients\n  rice: 100 g\n\ningredients for the rice\n  peas: 50 g\n"
    compiled = made("step A\n  [the rice], [the peas]\n", listed)
    assert not compiled.findings
    assert draws(compiled) == [("rice", 100), ("peas", 50)]


TRAYS = """\
recipe T

ingredients
  water: 500 g, for the trays

ingredients for the dough
  rice flour: 100 g
  water:       60 g
"""


def test_the_wrong_line_taken_is_told_by_how_the_right_one_is_drawn() -> None:
    compiled = made(
        "step Fill\n  [the water]\n\nstep Mix, for the dough\n  [the rice flour], [the water]\n", TRAYS
    )
    gone = next(one for one in compiled.findings if one.rule == "drawn-when-gone")
    assert "`[the water for the trays]`" in gone.help
    left = next(one for one in compiled.findings if one.span.text.endswith("for the trays"))
    assert left.help.startswith("Put `[the water for the trays]`")
    mended = (
        "step Fill\n  [the water for the trays]\n\nstep Mix, for the dough\n  [the rice flour], [the water]\n"
    )
    assert "drawn-when-gone" not in rules(made(mended, TRAYS))


def test_what_is_left_over_in_one_of_two_lists_is_called_by_its_part() -> None:
    steps = "step A\n  [the fine salt], [the rice]\n\nstep B\n  [the leeks], [the cheddar], [the paprika]\n"
    compiled = made(steps, PARTS)
    helps = {one.span.text: one.help for one in compiled.findings}
    assert "`[the fine salt for the topping]`" in helps["fine salt:   3 g"]


def test_left_over_says_where_it_is_named_without_brackets() -> None:
    listed = "recipe T\n\ningredients\n  water: 100 g\n  butter: 10 g\n"
    finding = only(made("step Boil\n  Boil [the water].\n\nstep Finish\n  Whisk in the butter.\n", listed))
    assert finding.rule == "left-over-ingredient"
    assert "“Finish” without brackets" in finding.help
    finding = only(made("step Boil\n  Boil [the water] in a buttered pan.\n", listed))
    assert "without brackets" not in finding.help


def test_the_wording_fits_one_and_many() -> None:
    listed = "recipe T\n\ningredients\n  rice: 1 g\n\ningredients for the puddings\n  water: 10 g\n"
    finding = only(made("step A, for the puddings\n  [the water]\n\nstep B\n  [the rice]\n", listed))
    assert finding.message == "Steps make the puddings, but none takes the whole."


def test_a_misspelt_draw_is_one_finding() -> None:
    compiled = made("step A\n  [the buttter]\n", "recipe T\n\ningredients\n  butter: 10 g\n")
    assert rules(compiled) == ["not-in-the-list"]
    # The list itself may be what is misspelt: then both places are told.
    compiled = made("step A\n  [the butter]\n", "recipe T\n\ningredients\n  buttter: 10 g\n")
    assert rules(compiled) == ["not-in-the-list", "left-over-ingredient"]


def test_a_message_names_few_steps_and_none_at_length() -> None:
    long = "Stir " + "and stir " * 20
    steps = f"step {long.strip()}\n  x\n\n" + "".join(f"step Part {n}\n  x\n\n" for n in range(12))
    compiled = compile_text(
        f"recipe T\n\ningredients\n  water: 1 g\n\n{steps}step End, after Zzz\n  [the water]\n"
    )
    finding = only(compiled)
    assert finding.rule == "unknown-step"
    assert finding.help.endswith("Part 6 and 5 more.")
    assert len(finding.help) < 200
