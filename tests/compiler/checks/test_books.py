"""Names and steps beside the books: alike names, foods named too early, steps told twice or not at all."""

import pytest

from benchproof.compiler.findings import Severity
from tests.compiler.checks.checking import checked, only, rice, told

LIST = (
    "recipe Leek rice\n  serves:  3\n\ningredients\n  white rice:   200 g\n  water:        300 g\n"
    "  leeks:        200 g\n  breadcrumbs:   20 g\n\n"
)
BOIL = "step Boil\n  Simmer [the white rice] in [the water], [15 min hands-off].\n"
LAST = "\nstep Serve\n  Stir in [the leeks] and [the breadcrumbs].\n"


def of(rule: str, text: str) -> list[str]:
    return [one.span.text for one in checked(text) if one.rule == rule]


# ---------------------------------------------------------------- alike names


def pair(one: str, other: str) -> str:
    return rice(more=f"  {one}:  2 g\n  {other}:  2 g\n").replace(
        "[the fine salt]", f"[the fine salt], [the {one}] and [the {other}]"
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("samphire tips", "samphyre tips"),
        ("samphire tips", "samphire tip"),
        ("karengo", "karnego"),
        ("karengo flakes", "karrengo flaks"),
        ("bread flour", "bred flour"),  # another name of strong flour, and its misspelling
    ],
)
def test_a_slip_of_the_pen_apart(one: str, other: str) -> None:
    found = [f for f in checked(pair(one, other)) if f.rule in ("names-alike", "unknown-ingredient")]
    assert max(f.severity for f in found) is Severity.WARNING
    assert sum(f.severity is Severity.WARNING for f in found) == 1  # one mistake, one finding


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("house blend 1", "house blend 2"),
        ("glaze a", "glaze b"),
        ("dulse", "tulse"),  # they begin otherwise
        ("karengo", "karaka"),
        ("lemons", "melons"),  # the first is known, the second is told as unknown or known by itself
        ("red lentils", "red lentil paste"),
    ],
)
def test_other_names_are_let_alone(one: str, other: str) -> None:
    assert of("names-alike", pair(one, other)) == []


def test_a_recipe_used_as_an_ingredient_is_no_slip() -> None:
    text = (
        pair("samphire oil", "samphire oils")
        + "\nrecipe Samphire oils\n  makes: 100 g\n\ningredients\n  water: 100 g\n"
    )
    assert of("names-alike", text) == ["samphire oil"]  # the other is known: it is a recipe


@pytest.mark.parametrize(
    ("one", "other", "severity"),
    [
        ("caster sugar", "castor sugar", Severity.WARNING),  # a letter apart: a line copied twice
        ("bread flour", "strong flour", Severity.HINT),
    ],
)
def test_two_names_of_one_food(one: str, other: str, severity: Severity) -> None:
    found = [f for f in checked(pair(one, other)) if f.rule == "two-names-of-a-food"]
    assert [(f.severity, f.span.text, f.also[0].span.text) for f in found] == [(severity, other, one)]


# ---------------------------------------------------------------- named before it is drawn


@pytest.mark.parametrize(
    "prose",
    [
        "Slice the leeks, [5 min].",
        "Slice leeks thinly, [5 min].",
        "Have some leeks at hand.",
        "Toast the breadcrumbs in a pan, [4 min].",
        "Toast the Breadcrumbs, [4 min].",
    ],
)
def test_named_in_an_earlier_step(prose: str) -> None:
    found = only("named-before-drawn", f"{LIST}step Ready\n  {prose}\n\n{BOIL}{LAST}")
    assert found.severity is Severity.HINT
    assert found.also[0].span.text == f"[the {found.span.text.casefold()}]"


@pytest.mark.parametrize(
    "prose",
    [
        "Get ready before the leeks go in.",
        "Do it without breadcrumbs.",
        "Warm a leek pan.",
        "Use the leeks knife, [1 min].",
        "Everything but the rice.",  # not the whole name
        "Fill the breadcrumbs tin.",
        "Nothing is said here.",
        "White-rice vinegar is another thing.",
    ],
)
def test_other_words_are_let_alone(prose: str) -> None:
    assert of("named-before-drawn", f"{LIST}step Ready\n  {prose}\n\n{BOIL}{LAST}") == []


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("Slice the leeks thinly and fry [the leeks], [8 min].", []),
        ("Slice the leeks thinly. Fry [the leeks], [8 min].", ["leeks"]),
        ("Slice the leeks thinly; fry [the leeks], [8 min].", ["leeks"]),
        ("Fry [the leeks], [8 min]. Lift the leeks out.", []),
    ],
)
def test_in_one_sentence_it_is_the_same_thing(line: str, told: list[str]) -> None:
    text = f"{LIST}{BOIL}\nstep Fry\n  {line}\n  Scatter [the breadcrumbs] over the leeks.\n"
    assert of("named-before-drawn", text) == told


def test_each_food_is_told_once() -> None:
    text = f"{LIST}step Ready\n  Slice the leeks. Wash the leeks.\n  Rinse the leeks.\n\n{BOIL}{LAST}"
    assert of("named-before-drawn", text) == ["leeks"]


def test_what_is_drawn_in_its_part_is_drawn() -> None:
    text = (
        "recipe T\n  serves: 3\n\ningredients\n  white rice: 200 g\n  water: 300 g\n\n"
        "ingredients for the top\n  leeks: 100 g\n  breadcrumbs: 20 g\n\n"
        f"{BOIL}\nstep Strew\n  Strew [the top] over it, leeks last.\n"
    )
    assert of("named-before-drawn", text) == []


# ---------------------------------------------------------------- steps


@pytest.mark.parametrize(("below", "told"), [("", 1), ("  ...\n", 1), ("  Wait.\n", 0), ("  [5 min]\n", 0)])
def test_an_empty_step(below: str, told: int) -> None:
    text = rice(f"\nstep Then\n{below}")
    assert len(of("step-empty", text)) == told


LONG = "  Take it off the heat, put a cloth under the lid, and let it stand, [5 min hands-off].\n"
SHORT = "  Fold it over, [1 min].\n"


@pytest.mark.parametrize(
    ("lines", "severity"),
    [
        (LONG * 2, Severity.WARNING),
        (SHORT * 2, Severity.HINT),
        (f"{LONG}  Then.\n{LONG}", Severity.WARNING),
        ("  Stir.\n" * 3, None),
        (f"{LONG}{LONG.replace('5 min', '6 min')}", None),
    ],
)
def test_a_line_that_stands_twice(lines: str, severity: Severity | None) -> None:
    found = [one.severity for one in checked(rice(lines)) if one.rule == "told-twice"]
    assert found == ([severity] if severity else [])


def test_a_step_that_stands_twice_is_told_once() -> None:
    text = rice(f"\nstep Rest\n{LONG}{SHORT}\nstep Again\n{LONG}{SHORT}")
    assert of("told-twice", text) == ["Again"]


def test_without_a_method() -> None:
    lonely = "\nrecipe Couscous\n  serves: 2\n\ningredients\n  couscous: 150 g\n  water: 190 g\n"
    assert of("no-method", rice() + lonely) == ["Couscous"]
    assert of("no-method", lonely) == []
    assert (
        of("no-method", rice() + lonely + lonely.replace("Couscous", "Other")) == []
    )  # lists, it seems, are its way


def _dressed(*, sauce: str, rice: str = "", serve: str = "Pour [the sauce] over.") -> list[str]:
    return told(
        "recipe Rice with sauce\n  serves: 3\n\ningredients\n  white rice: 200 g\n  water: 300 g\n"
        f"{rice}\ningredients for the sauce\n  honey: 20 g\n  soy sauce: 30 g\n\n"
        "step Boil\n  Simmer [the white rice] in [the water], [15 min hands-off].\n\n"
        f"step Stir, for the sauce, during Boil\n  {sauce}\n\nstep Serve, after Boil and Stir\n  {serve}\n"
    )


def test_a_step_takes_from_its_own_list() -> None:
    assert "taken-from-another-list" not in _dressed(sauce="Stir [the honey] into [the soy sauce], [1 min].")


def test_a_step_for_the_sauce_takes_from_the_main_list() -> None:
    found = _dressed(
        sauce="Stir [the honey], [the soy sauce] and [the rice vinegar], [1 min].",
        rice="  rice vinegar: 10 g\n",
    )
    assert found.count("taken-from-another-list") == 1


def test_a_main_step_takes_from_the_list_of_a_part_that_has_steps() -> None:
    found = _dressed(sauce="Warm [the honey], [1 min].", serve="Pour on [the sauce] and [the soy sauce].")
    assert "taken-from-another-list" in found


def test_the_rest_of_what_was_never_begun() -> None:
    whole = "Stir [the rest of the honey] into [the soy sauce], [1 min]."
    assert "rest-of-all" in _dressed(sauce=whole)
    assert "rest-of-all" not in _dressed(sauce=f"Warm [half the honey], [1 min]. {whole}")
