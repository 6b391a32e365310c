"""The resolved batch on a terminal."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from benchproof.compiler.batch import Allergens, Batch, ChangeRun
from benchproof.renderers.batch_text import batch_text
from tests.renderers.batches import costs, degrees, exact, matches_golden, minutes, rounds, step, stew
from tests.renderers.card import samples


def levain() -> Batch:
    """A dough with two preferments and a soaker, water that is partly ice, sized by the cupboard."""
    batch = samples.long()
    soaker = samples.part(samples.line("linseed", 50), name="Old bread", role="soaker")
    asked = replace(batch.asked, words="from rye flour 300 g", limited_by="rye flour")
    ice = replace(samples.water(4, ice=samples.extent(95, 120)), by_rule=samples.extent(-5, -2))
    parts = (*batch.parts[:-1], soaker, batch.parts[-1])
    return replace(batch, asked=asked, parts=parts, waters=(ice,), cost=rounds().cost)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("batch-rounds.txt", batch_text(rounds())),
        ("batch-stew-narrow.txt", batch_text(stew(), width=50)),
        ("batch-levain.txt", batch_text(levain(), width=90)),
    ],
)
def test_a_batch_reads_as_its_golden_file(name: str, text: str) -> None:
    assert matches_golden(name, text)


def test_colour_only_adds_to_the_plain_text() -> None:
    coloured = batch_text(rounds(), colour=True)

    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == batch_text(rounds())


def test_width_is_kept_and_amounts_stay_whole() -> None:
    text = batch_text(rounds(), width=60)

    # The line that names the file is never folded.
    assert all(len(line) <= 60 for line in text.splitlines() if ".bench" not in line)
    assert "griddle-rounds.bench, revision 1a2b3c4d" in text
    assert not re.search(r"\d\n\s*(g|min|°C)\b", text)


def test_unknown_is_never_shown_as_none() -> None:
    text = batch_text(stew())

    assert "not stated, so not known: eggs, bean base, thyme, bay" in text
    assert "not known: no step says how long it takes" in text
    assert re.search(r"not known +bay", text)


def test_allergens_not_stated_stand_beside_those_that_are() -> None:
    allergens = Allergens("UK", False, (), (), ("water",))
    text = batch_text(replace(rounds(), allergens=allergens))

    assert "no ingredient is stated to contain one" in text
    assert "not stated, so not known: water" in text


def test_only_waivers_of_safety_are_printed() -> None:
    text = batch_text(rounds())

    assert "check waived, cool-fast: eaten at once" in text
    assert "loose-number" not in text


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (60, 21, "140 °F to 69 °F within 2 h"),  # 21 C is 69.8 F: 70 would be too warm
        (5, 62, "41 °F to 144 °F within 2 h"),  # 62 C is 143.6 F: 143 would be too cool
    ],
)
def test_a_limit_is_never_rounded_to_the_lax_side(start: int, end: int, words: str) -> None:
    change = ChangeRun("", degrees(start), degrees(end), minutes(120), True)
    batch = replace(rounds(), steps=(step(1, "Cool", (change,)),))
    batch = replace(batch, asked=replace(batch.asked, temperatures="F"))

    assert words in batch_text(batch)


def test_a_cost_nobody_knows_is_not_nought() -> None:
    batch = stew()
    lines = [line for line in batch.cost.lines if line.cost is None]
    text = batch_text(replace(batch, cost=costs(lines, portions=4)))

    assert "not known (without: thyme and bay, which have no price)" in text
    assert "0.00" not in text


def test_names_cannot_command_the_terminal() -> None:
    nasty = "salt\x1b[2J\u202e[red]"
    batch = rounds()
    line = replace(batch.parts[0].lines[0], name=nasty)
    part = replace(batch.parts[0], lines=(line,), base=(nasty,), name=nasty)
    bad = replace(batch, recipe=nasty, parts=(part,), file=nasty, style=nasty, summary=nasty)

    text = batch_text(bad)

    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "salt␛[2J\ufffd[red]" in text


def test_weights_stand_with_their_points_below_each_other() -> None:
    lines = batch_text(rounds()).splitlines()
    flour = next(line for line in lines if line.endswith("strong flour") and "%" in line)
    salt = next(line for line in lines if line.endswith("fine salt"))

    assert flour.index("280") + 3 == salt.index("5.6") + 1


def test_a_part_is_named_by_its_name_and_a_preferment_as_one() -> None:
    batch = rounds()
    main = batch.parts[0]
    glaze = replace(main, name="Glaze", role="part", base=(), base_weight=None)
    sponge = replace(main, name="Overnight sponge", role="preferment", weight=exact(9))
    lines = batch_text(replace(batch, parts=(main, glaze, sponge))).splitlines()

    assert "Glaze" in lines
    assert any(line.startswith("preferment Overnight sponge, 100 % is strong flour") for line in lines)


def test_what_is_weighed_comes_before_the_overall_formula() -> None:
    titles = [line for line in batch_text(levain()).splitlines() if re.match(r"\S", line)]
    first = next(i for i, line in enumerate(titles) if line.startswith("preferment"))

    assert titles[first : first + 7] == [
        "preferment Overnight sponge, 25 % of the strong white bread flour, stone-ground;"
        " 100 % is its flour, 300 g",
        "preferment Rye sour, 50 % of the rye flour; 100 % is its flour, 150 g",
        "soaker Old bread",
        "final dough, 100 % is all the flour, 1500 g",
        "Beef filling",
        "Glaze",
        "overall formula, 100 % is flour, 1500 g",
    ]


def test_what_is_for_the_bench_is_weighed_once() -> None:
    assert batch_text(levain()).count("for the bench") == 2, "once to weigh, once in the method"


def test_a_seed_is_lent_and_a_note_is_said() -> None:
    assert re.search(r"30 +g +seed +lent: give as much back, not counted", batch_text(levain()))
    batch = rounds()
    line = replace(batch.parts[0].lines[0], note="sifted")
    text = batch_text(replace(batch, parts=(replace(batch.parts[0], lines=(line,)),)))
    assert re.search(r"strong flour +sifted", text)


def test_whose_core_is_meant_is_said_once() -> None:
    assert "75 °C core of the beef mince" in batch_text(levain())


def test_the_head_says_what_ran_out_first() -> None:
    head = batch_text(levain()).splitlines()[0]
    assert head.endswith(", from rye flour 300 g: as much as the rye flour allows")


def test_friction_is_a_rise_and_not_a_reading() -> None:
    batch = levain()
    text = batch_text(replace(batch, asked=replace(batch.asked, temperatures="F")))

    assert "flour at 66 °F, a room at 70 °F, friction 20 °F" in text
    assert re.search(r"water, bench rule +below 32 °F", text)


def test_a_kitchen_without_a_currency_still_has_costs() -> None:
    text = batch_text(replace(rounds(), cost=replace(rounds().cost, currency="XXX", shops_own=())))

    assert "cost\n  0.99 for the batch" in text
    assert "XXX" not in text
