"""What is outside what can be checked: found by its words, and bread and quick pickles left alone."""

import pytest

from benchproof.compiler.outside import PROCESSES, is_keeping_oil
from tests.compiler.bench import compile_text

CABBAGE = "  cabbage: 1 kg\n  fine salt: 20 g\n"
DRAWS = "[the cabbage] and [the fine salt]"


def found(text: str) -> list[str]:
    compiled = compile_text(text)
    return [one.name for one in PROCESSES if list(one.found(compiled.formula, compiled.method))]


def said(words: str, *, head: str = "recipe T", listed: str = CABBAGE, draws: str = DRAWS) -> list[str]:
    return found(f"{head}\n\ningredients\n{listed}\nstep A\n  Mix {draws}, [3 min].\n  {words}\n")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Stand the jars in the water bath canner.", "canning-outside"),
        ("Use a pressure canner.", "canning-outside"),
        ("Process the jars for long.", "canning-outside"),
        ("Fill into sterilised jars.", "jars-outside"),
        ("Sterilize the jars.", "jars-outside"),
        ("Cure it for long.", "curing-outside"),
        ("Add the Prague powder.", "curing-outside"),
        ("Let it ferment.", "fermenting-outside"),
        ("Leave it on the bench, [3 days hands-off].", "fermenting-outside"),
        ("Cold-smoke it.", "smoking-outside"),
        ("Put it in the smoker.", "smoking-outside"),
        ("Mash it for the baby.", "infants-outside"),
        ("Good for weaning.", "infants-outside"),
    ],
)
def test_told_by_its_words(words: str, name: str) -> None:
    assert said(words) == [name]


@pytest.mark.parametrize(
    "words",
    [
        "Heat the oil until it smokes.",
        "Add the baby carrots and baby leaves.",
        "Eat it with cured ham.",
        "Leave in the fridge, [3 days hands-off].",
        "Leave [1 day hands-off].",
        "Put it in a clean jar.",
        "The babysitter likes it.",
    ],
)
def test_words_that_only_look_like_it(words: str) -> None:
    assert said(words) == []


@pytest.mark.parametrize(
    "head", ["recipe Kombucha", "recipe T\n  tags: fermenting", "recipe T\n  summary: For toddlers"]
)
def test_the_name_tags_and_summary_speak_too(head: str) -> None:
    assert len(said("Serve.", head=head)) == 1


def test_equipment_speaks_too() -> None:
    assert "canning-outside" in found(
        f"recipe T\n\ningredients\n{CABBAGE}\nequipment\n  water bath canner\n\nstep A\n  Mix {DRAWS}, [3 min].\n"
    )


def test_bread_ferments_and_so_does_a_batter_of_rice_and_lentils() -> None:
    bread = "  strong flour: 500 g\n  water: 300 g\n"
    assert (
        said("Let it ferment, [3 days hands-off].", listed=bread, draws="[the strong flour] and [the water]")
        == []
    )
    batter = "  white rice: 300 g\n  red lentils: 100 g\n  water: 400 g\n"
    assert (
        said("Ferment overnight.", listed=batter, draws="[the white rice], [the red lentils] and [the water]")
        == []
    )


def test_a_sour_pickle_may_stand() -> None:
    sour = "  red onions: 250 g\n  cider vinegar: 150 g\n"
    assert (
        said("Leave [3 days hands-off].", listed=sour, draws="[the red onions] and [the cider vinegar]") == []
    )


def test_kimchi_that_is_bought_is_not_made() -> None:
    listed = "  cabbage: 1 kg\n  fine salt: 5 g\n  kimchi: 100 g\n"
    assert said("Serve.", head="recipe Kimchi", listed=listed, draws=f"{DRAWS} and [the kimchi]") == []


def test_flesh_in_brine_for_more_than_two_days_is_curing() -> None:
    pork = "  pork shoulder: 1 kg\n  fine salt: 20 g\n"
    draws = "[the pork shoulder] and [the fine salt]"
    assert said("Leave in the brine, [5 days hands-off].", listed=pork, draws=draws) == ["curing-outside"]
    assert said("Leave in the brine, [2 days hands-off].", listed=pork, draws=draws) == []


@pytest.mark.parametrize(
    ("listed", "name"),
    [
        ("  garlic: 10 g\n  olive oil: 100 g\n", "garlic"),
        ("  basil: 10 g\n  olive oil: 100 g\n", "basil"),
        ("  fresh chillies: 10 g\n  olive oil: 100 g\n", "fresh chillies"),
        ("  dried oregano: 10 g\n  olive oil: 100 g\n", None),
        ("  garlic: 10 g\n  olive oil: 70 g\n  cider vinegar: 30 g\n", None),
        ("  garlic: 10 g\n  olive oil: 30 g\n  tomatoes: 200 g\n", None),
        ("  olive oil: 100 g\n", None),
    ],
)
def test_garlic_or_herbs_under_oil(listed: str, name: str | None) -> None:
    found = is_keeping_oil(compile_text(f"recipe T\n\ningredients\n{listed}").formula)
    assert (found.name.text if found else None) == name


def test_oil_that_steeps_for_days_out_of_the_fridge() -> None:
    listed, draws = "  garlic: 10 g\n  olive oil: 100 g\n", "[the garlic] and [the olive oil]"
    assert said("Leave [3 days hands-off].", listed=listed, draws=draws) == ["oil-outside"]
    assert said("Leave in the fridge, [3 days hands-off].", listed=listed, draws=draws) == []


def test_every_process_says_where_it_is_from_and_where_to_turn() -> None:
    for one in PROCESSES:
        assert one.source
        assert one.help.endswith(".")
        assert one.caution.endswith(".")
        assert not one.what.endswith(".")
