"""The words chosen for the card: cheap, for nothing is laid out."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from benchproof.compiler.batch import (
    Allergens,
    Batch,
    Cost,
    DrawRun,
    Extent,
    LoadRun,
    Part,
    Ratio,
    TemperatureRun,
    TextRun,
    WaterFor,
)
from benchproof.renderers.card import card_html
from benchproof.renderers.card.view import Card, Prose, card_view
from tests.renderers.card import samples


def plain(text: str) -> str:
    """With blanks of one kind, and nothing that cannot be seen."""
    return text.translate({0x202F: " ", 0x2009: " ", 0x00A0: " ", 0x2060: None})


def draw_words(text: str, weight: object, *, times: int = 1, count: int | None = None) -> str:
    batch = samples.short()
    run = replace(samples.draw(text, weight, count=count))  # type: ignore[arg-type]
    step = replace(batch.steps[0], lines=((run,),))
    asked = replace(batch.asked, times=Fraction(times))
    line = card_view([replace(batch, steps=(step,), asked=asked)]).steps[0].lines[0]
    return plain("".join(word.text for word in line.words))


@pytest.mark.parametrize(
    ("text", "weight", "times", "count", "reads"),
    [
        ("half the caster sugar", "4.2", 1, None, "half the caster sugar, 4.2 g"),
        ("40 g of the butter", 80, 2, None, "80 g of the butter"),
        ("1 lb 4 oz of the flour", 567, 1, None, "567 g of the flour"),
        ("2 of the eggs", 220, 2, 4, "4 of the eggs, 220 g"),
        ("25 % of the water", 80, 2, None, "25 % of the water, 80 g"),
        ("all but 20 g of the water", 300, 1, None, "all but 20 g of the water, 300 g"),
        ("all but 20 g of the water", 600, 2, None, "most of the water, 600 g"),
        ("the eggs", 55, 1, 1, "the eggs (1), 55 g"),
        ("the pepper", None, 1, None, "the pepper, weight not known"),
    ],
)
def test_a_draw_says_what_this_batch_takes(
    text: str, weight: object, times: int, count: int | None, reads: str
) -> None:
    assert draw_words(text, weight, times=times, count=count) == reads


def test_a_line_without_a_weight_says_so() -> None:
    batch = samples.typical()
    lines = (samples.line("odd spice", None), samples.line("lemon zest", None, to_taste=True))
    view = card_view([replace(batch, parts=(samples.part(*lines),), steps=())])
    assert [row.figure.text for row in view.groups[0].rows] == ["not known", "to taste"]


def test_spoons_as_written_only_for_the_batch_as_written() -> None:
    rows = {row.name: row for row in card_view([samples.typical()]).groups[0].apart}
    assert rows["neutral oil"].aside == "2 tsp"
    rows = {row.name: row for row in card_view([samples.typical(2)]).groups[0].apart}
    assert rows["neutral oil"].aside.replace("\u202f", " ") == "20 ml"


def test_a_safe_least_temperature_is_not_rounded_down() -> None:
    batch = samples.short()
    run = TemperatureRun("74 C core", Extent(Fraction(74), Fraction(74)), "core", None, True)
    step = replace(batch.steps[0], lines=((run,),))
    beside = card_view([replace(batch, steps=(step,))]).steps[0].lines[0].beside[0]
    assert (beside.before, beside.cell) == ("at least", "°C")
    assert beside.under.startswith("166"), "74 °C is 165.2 °F, and 165 °F is less"


def test_the_kitchen_s_scale_comes_first() -> None:
    batch = samples.typical()
    view = card_view([replace(batch, asked=replace(batch.asked, temperatures="F"))])
    beside = view.steps[4].lines[0].beside[0]
    assert beside.pieces[0].endswith("°F")
    assert "°C" in beside.under


def test_unknown_allergens_are_never_none() -> None:
    batch = samples.short()
    nothing = replace(batch, allergens=Allergens("X", False, (), (), ()))
    assert "None of the listed" in card_html([nothing])
    unknown = replace(batch, allergens=Allergens("X", False, (), (), ("cumin seed",)))
    html = card_html([unknown])
    assert "None of the listed" not in html
    assert "Not stated: <b>cumin seed</b> — ask before serving." in html


def test_a_cost_that_is_not_whole_says_so() -> None:
    batch = samples.short()
    assert card_view([batch]).cost == "Costs at least NZD\u00a01.42 a batch. No price for cumin seed."
    unknown = Cost("NZD", (samples.cost_line("x", None),), Fraction(0), False, None, None, None, None, ())
    assert card_view([replace(batch, cost=unknown)]).cost == "Cost not known: no price for x."


def test_a_line_priced_in_another_currency_is_named() -> None:
    """Its cost is in no sum, and an exchange rate is nobody's guess."""
    batch = samples.short()
    foreign = replace(samples.cost_line("pine nuts", None), note="other currency")
    cost = replace(batch.cost, lines=(*batch.cost.lines, foreign))
    assert card_view([replace(batch, cost=cost)]).cost == (
        "Costs at least NZD\u00a01.42 a batch. No price for cumin seed. Pine nuts priced in another currency."
    )
    alone = Cost("NZD", (foreign,), Fraction(0), False, None, None, None, None, ())
    assert card_view([replace(batch, cost=alone)]).cost == (
        "Cost not known: pine nuts priced in another currency."
    )


@pytest.mark.parametrize(("verdict", "word"), [("below", "low"), ("above", "high"), ("inside", "")])
def test_a_wrong_ratio_has_another_shape_and_a_word(verdict: str, word: str) -> None:
    batch = samples.short()
    ratio = Ratio("salt", Fraction(2), "flour", Extent(Fraction(1), Fraction(3)), "style", verdict)  # type: ignore[arg-type]
    html = card_html([replace(batch, ratios=(ratio,))])
    body = html[html.index("<body") :]
    assert ('class="mark"' in body) == (word == "")
    assert (f'<b class="word">{word}</b>' in body) == (word != "")
    assert ('class="below"' in body) == (word == "low")
    assert ('class="above"' in body) == (word == "high")


@pytest.mark.parametrize(
    ("written", "place", "of", "prose", "margin"),
    [
        ("240 C oven", "oven", None, "240 °C", "464 °F oven"),
        ("oven at 240 C", "oven", None, "oven at 240 °C", "464 °F oven"),
        ("240 C", None, None, "240 °C", "464 °F"),
        ("240 C core of the joint", "core", "the joint", "240 °C", "464 °F core of the joint"),
        (
            "core of the joint at 240 C",
            "core",
            "joint",
            "core of the joint at 240 °C",
            "464 °F core of the joint",
        ),
    ],
)
def test_a_place_after_the_figure_stands_in_the_margin_alone(
    written: str, place: str | None, of: str | None, prose: str, margin: str
) -> None:
    batch = samples.short()
    run = TemperatureRun(written, samples.extent(240), place, of)
    step = replace(batch.steps[0], lines=((run,),))
    line = card_view([replace(batch, steps=(step,))]).steps[0].lines[0]
    assert plain("".join(word.text for word in line.words)) == prose
    assert plain(line.beside[0].under) == margin


# ---------------------------------------------------------------- the head


@pytest.mark.parametrize(
    ("words", "limit", "reads"),
    [
        ("as written", None, "12 rounds of 58 g"),
        ("12 rounds", None, "12 rounds of 58 g"),
        ("for a 20 cm round tin", None, "12 rounds of 58 g, for a 20 cm round tin"),
        ("for 5.00", None, "12 rounds of 58 g, for 5.00"),
        (
            "from strong flour 730 g and eggs 3",
            "strong flour",
            "12 rounds of 58 g, from strong flour 730 g and eggs 3: as much as the strong flour allows",
        ),
        ("from eggs 3", "eggs", "12 rounds of 58 g, from eggs 3: as much as the eggs allow"),
    ],
)
def test_the_head_says_what_was_asked_and_what_ran_out(words: str, limit: str | None, reads: str) -> None:
    batch = samples.typical()
    asked = replace(batch.asked, words=words, limited_by=limit)
    assert plain(card_view([replace(batch, asked=asked)]).makes) == reads


def test_another_tin_is_another_size_of_as_many() -> None:
    batch = samples.typical()
    asked = replace(batch.asked, words="for a 20 cm round tin")
    assert card_view([replace(batch, asked=asked)]).size == "for a 20 cm round tin"


# ---------------------------------------------------------------- preferments and soakers


def with_a_soaker() -> Batch:
    batch = samples.long()
    soaker = samples.part(samples.line("linseed", 50), name="Old bread", role="soaker")
    return replace(batch, parts=(*batch.parts[:-1], soaker, batch.parts[-1]))


def headings(card: Card) -> list[tuple[str, str, str]]:
    return [(group.heading, plain(group.share), group.base) for group in card.groups]


def test_what_is_weighed_stands_in_the_order_of_the_work() -> None:
    assert headings(card_view([with_a_soaker()])) == [
        ("Overnight sponge", "25 % of the strong white bread flour, stone-ground", "% of that"),
        ("Rye sour", "50 % of the rye flour", "% of that"),
        ("Old bread", "soaker", ""),
        ("Final dough", "", "% of all the flour"),
        ("Beef filling", "", ""),
        ("Glaze", "", ""),
    ]


def test_without_a_final_dough_the_main_formula_is_weighed_first() -> None:
    batch = samples.long()
    parts: tuple[Part, ...] = batch.parts[:3]
    card = card_view([replace(batch, parts=parts)])
    assert [heading for heading, _, _ in headings(card)] == ["Main formula", "Beef filling", "Glaze"]
    assert card.overall is None


def test_the_last_lines_of_the_final_dough_are_what_goes_into_it() -> None:
    final = card_view([samples.long()]).groups[2]
    assert [row.name for row in final.rows][-2:] == ["Overnight sponge", "Rye sour"]
    assert [row.name for row in final.apart] == ["strong flour"]


def test_the_overall_formula_is_weight_and_percent_and_no_more() -> None:
    overall = card_view([samples.long()]).overall
    assert overall is not None
    assert overall.base == "% of flour"
    first = overall.rows[0]
    assert first.percent is not None
    assert (first.name, plain(first.figure.text), plain(first.percent.text)) == (
        "strong white bread flour, stone-ground",
        "1200 g",
        "80 %",
    )
    assert plain(overall.total.text) == "3293 g"
    assert not any(row.purpose for row in overall.rows), "what is for the bench is not in the formula"
    html = card_html([samples.long()])
    table = html[html.index('<table class="overall">') :].partition("</table>")[0]
    assert table.count("<tr") == len(overall.rows) + 2
    assert "tick" not in table


def test_a_seed_is_lent_and_a_note_is_not_lost() -> None:
    batch = samples.long()
    seed = card_view([batch]).groups[1].rows[-1]
    assert (seed.name, plain(seed.figure.text), seed.also) == ("seed", "30 g", "lent: give as much back")
    line = replace(samples.line("butter", 20, purpose="for the tin"), note="softened")
    row = card_view([replace(batch, parts=(samples.part(line),), steps=())]).groups[0].apart[0]
    assert row.purpose == "softened, for the tin"


# ---------------------------------------------------------------- the water


def water_line(water: WaterFor, scale: str = "C") -> Prose:
    batch = samples.long()
    asked = replace(batch.asked, temperatures=scale)  # type: ignore[arg-type]
    view = card_view([replace(batch, waters=(water,), asked=asked)])
    lines = [line for line in view.steps[water.step - 1].lines if line.given]
    assert len(lines) == 1
    return lines[0]


def margin(line: Prose) -> list[tuple[str, str, str, str]]:
    return [(b.before, plain(b.pieces[0]), plain(b.under), b.cell) for b in line.beside]


def test_the_water_stands_beside_the_step_with_cells_for_what_was_measured() -> None:
    line = water_line(samples.water(4))
    assert margin(line)[:2] == [
        ("water", "27–31 °C", "81–88 °F, bench rule", "°C"),
        ("or", "24–27 °C", "76–81 °F, by weight and warmth", ""),
    ]
    assert [(plain(given.text), given.cell) for given in line.given] == [
        ("flour at 19 °C", "°C"),
        ("room at 21 °C", "°C"),
    ]
    assert plain(line.small) == (
        "Friction counted: 11 °C. Assumed: the Rye sour is taken to be as warm as the room, 21 °C (70 °F)."
    )
    step = card_view([samples.long()]).steps[3]
    dough = [b for prose in step.lines for b in prose.beside if b.under.endswith("dough")]
    assert [b.cell for b in dough] == ["°C"]


def test_it_stands_no_later_than_where_the_water_goes_in() -> None:
    batch = samples.long()
    step = replace(
        batch.steps[3], lines=(*batch.steps[3].lines, (samples.draw("the rest of the water", 20),))
    )
    view = card_view([replace(batch, steps=(*batch.steps[:3], step, *batch.steps[4:]))])
    assert [bool(line.given) for line in view.steps[3].lines] == [False, False, True]
    # Both lines before have times beside them; with a free margin it stands there, read before it is poured.
    assert [any(b.before == "water" for b in line.beside) for line in view.steps[3].lines] == [
        False,
        False,
        True,
    ]
    for first, small in (("Weigh it all.", 0), ("Weigh it all,", 3)):
        longer = replace(step, lines=((TextRun(first),), *step.lines))
        view = card_view([replace(batch, steps=(*batch.steps[:3], longer, *batch.steps[4:]))])
        assert any(b.before == "water" for b in view.steps[3].lines[0].beside)
        assert [at for at, line in enumerate(view.steps[3].lines) if line.given] == [small]


def test_both_ways_that_agree_are_said_once() -> None:
    water = replace(samples.water(4), by_rule=samples.extent("20.1"), by_balance=samples.extent(20))
    assert margin(water_line(water))[0] == ("water", "20 °C", "68 °F, both ways", "°C")
    assert margin(water_line(water))[1][0] != "or"


def test_one_way_is_named() -> None:
    water = replace(samples.water(4), by_rule=None)
    assert margin(water_line(water))[0] == ("water", "24–27 °C", "76–81 °F, by weight and warmth", "°C")


def test_water_colder_than_water_can_be_is_ice() -> None:
    water = replace(
        samples.water(4, ice=samples.extent(95, 120)), by_rule=samples.extent(-5, -2), by_balance=None
    )
    assert margin(water_line(water))[:2] == [
        ("water", "below 0 °C", "bench rule", "°C"),
        ("ice", "95 g to 120 g", "of the 420 g of water", ""),
    ]


def test_friction_is_a_rise_and_not_a_reading() -> None:
    assert plain(water_line(samples.water(4), "F").small).startswith("Friction counted: 20 °F.")


# ---------------------------------------------------------------- what can hurt


def test_the_caution_that_defers_to_the_law_stands_with_the_law() -> None:
    for batch in (samples.typical(), samples.long()):
        card = card_view([batch])
        assert samples.DEFERS.text not in card.cautions
        assert card.allergens.law.endswith(samples.DEFERS.text)
        assert card.allergens.law.startswith("List: ")
    assert "usual cautions" not in card_html([samples.short()])


# ---------------------------------------------------------------- the samples themselves


def test_draw_runs_are_what_the_samples_say() -> None:
    """What is drawn from a line over the method is the line."""
    for batch in (samples.short(), samples.typical()):
        for line in (line for part in batch.parts for line in part.lines if line.weight is not None):
            drawn = sum(
                (
                    run.weight
                    for step in batch.steps
                    for prose in step.lines
                    for run in prose
                    if isinstance(run, DrawRun) and run.weight is not None and run.name.endswith(line.name)
                ),
                Fraction(0),
            )
            assert drawn == line.weight, line.name


# ---------------------------------------------------------------- loads to tick


def loads(many: int, high: Fraction | None = None) -> Prose:
    batch = samples.typical()
    run = LoadRun("4 at a time", samples.extent(4), Extent(Fraction(many), high or Fraction(many)))
    step = replace(batch.steps[5], lines=((run,),))
    card = card_view([replace(batch, steps=(step,))])
    return card.steps[0].lines[0]


@pytest.mark.parametrize(
    ("many", "boxes", "words"), [(1, 0, ""), (2, 2, ""), (24, 24, ""), (25, 0, "25 loads")]
)
def test_each_load_is_a_box_to_tick_up_to_two_dozen(many: int, boxes: int, words: str) -> None:
    line = loads(many)
    assert (line.loads, line.many_loads) == (boxes, words)


def test_a_last_load_that_is_not_full_is_a_load() -> None:
    assert loads(2, Fraction(5, 2)).loads == 3


def test_the_boxes_stand_under_their_line() -> None:
    html = card_html([samples.typical()])
    assert html.count('<span class="box"></span>') == 3
    assert '<p class="loads">load <span class="load">1<span class="box"></span></span>' in html
