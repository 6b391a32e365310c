"""Amounts that no such dish has: what is asked about and where, what is let alone, and what is offered."""

import pytest

from benchproof.compiler.findings import Finding, Severity
from tests.compiler.checks.checking import checked, only, told


def about(text: str) -> list[Finding]:
    """What the amounts are asked about; what other rules say of these short texts is not looked at."""
    return [one for one in checked(text) if one.rule in ("unlikely-amount", "unlikely-portion")]


def asked(text: str) -> Finding:
    found = about(text)
    assert len(found) == 1, [(one.rule, one.span.text, one.message) for one in found]
    assert found[0].severity is Severity.WARNING
    return found[0]


def muffins(
    *,
    flour: str = "300 g",
    milk: str = "220 g",
    sugar: str = "150 g",
    butter: str = "100 g",
    eggs: str = "2",
    powder: str = "12 g",
    salt: str = "3 g",
    makes: str = "12 muffins",
) -> str:
    return (
        f"recipe Plain muffins\n  makes:  {makes}\n\ningredients\n  plain flour:    {flour}\n"
        f"  whole milk:     {milk}\n  caster sugar:   {sugar}\n  butter:         {butter}\n"
        f"  eggs:           {eggs}\n  baking powder:  {powder}\n  fine salt:      {salt}\n\n"
        "step Mix\n  Mix [the plain flour], [the baking powder], [the fine salt], [the caster sugar], "
        "[the whole milk], [the butter] and [the eggs].\n\nstep Bake\n  Bake at [200 C oven], [20 min hands-off].\n"
    )


def stew(
    *,
    serves: str = "4",
    beef: str = "800 g",
    onions: str = "300 g",
    oil: str = "30 g",
    cumin: str = "4 g",
    salt: str = "10 g",
    stock: str = "500 ml",
) -> str:
    return (
        f"recipe Beef stew\n  serves:  {serves}\n\ningredients\n  stewing beef:  {beef}\n  onions:        {onions}\n"
        f"  neutral oil:   {oil}\n  ground cumin:  {cumin}\n  fine salt:     {salt}\n  beef stock:    {stock}\n\n"
        "step Cook\n  Simmer [the stewing beef], [the onions], [the neutral oil], [the ground cumin], [the fine salt] "
        "and [the beef stock], [2 h hands-off], to [75 C core].\n"
    )


def test_they_are_clean_as_they_stand() -> None:
    assert about(muffins()) == []
    assert about(stew()) == []


@pytest.mark.parametrize(
    ("line", "written", "likely"),
    [
        ("flour", "30 g", "300 g"),
        ("flour", "300 kg", "300 g"),
        ("milk", "2200 g", "220 g"),
        ("butter", "1 kg", "0.1 kg"),
        ("eggs", "20", "2"),
        ("powder", "0.5 g", "5 g"),
        ("powder", "120 g", "12 g"),
        ("salt", "30 g", "3 g"),
    ],
)
def test_a_slip_in_a_list_with_flour_is_found_at_its_line(line: str, written: str, likely: str) -> None:
    found = asked(muffins(**{line: written}))
    assert found.rule == "unlikely-amount"
    assert found.span.text == written
    assert f"Is {likely} meant?" in found.help


@pytest.mark.parametrize(
    ("line", "written"),
    [
        ("flour", "240 g"),
        ("milk", "140 g"),
        ("milk", "330 g"),
        ("sugar", "80 g"),
        ("sugar", "240 g"),
        ("butter", "60 g"),
        ("butter", "180 g"),
        ("eggs", "1"),
        ("eggs", "4"),
        ("powder", "5 g"),
        ("powder", "20 g"),
        ("salt", "1 g"),
        ("salt", "6 g"),
    ],
)
def test_what_a_cook_may_mean_is_let_alone(line: str, written: str) -> None:
    assert about(muffins(**{line: written})) == []


@pytest.mark.parametrize(
    ("line", "written", "likely"),
    [
        ("beef", "8 kg", "0.8 kg"),
        ("beef", "80 g", "800 g"),
        ("onions", "3000 g", "300 g"),
        ("onions", "3 g", "30 g"),
        ("oil", "300 g", "30 g"),
        ("cumin", "40 g", "4 g"),
        ("salt", "100 g", "10 g"),
        ("stock", "5000 ml", "500 ml"),
        ("stock", "500 l", "500 ml"),
    ],
)
def test_a_slip_in_a_stew_is_found_at_its_line(line: str, written: str, likely: str) -> None:
    found = asked(stew(**{line: written}))
    assert found.span.text == written
    assert f"Is {likely} meant?" in found.help


@pytest.mark.parametrize(
    ("line", "written"),
    [
        ("beef", "400 g"),
        ("beef", "1.4 kg"),
        ("onions", "100 g"),
        ("onions", "800 g"),
        ("oil", "10 g"),
        ("oil", "90 g"),
        ("cumin", "1 g"),
        ("cumin", "10 g"),
        ("salt", "4 g"),
        ("salt", "20 g"),
        ("stock", "100 ml"),
        ("stock", "1500 ml"),
    ],
)
def test_a_stew_of_another_hand_is_let_alone(line: str, written: str) -> None:
    assert about(stew(**{line: written})) == []


@pytest.mark.parametrize("serves", ["40", "0.4"])
def test_a_slip_of_the_portions_is_found_there(serves: str) -> None:
    found = asked(stew(serves=serves))
    assert (found.rule, found.span.text) == ("unlikely-portion", serves)
    assert "Is 4 meant?" in found.help


@pytest.mark.parametrize("serves", ["2", "3", "6", "8"])
def test_large_and_small_portions_are_let_alone(serves: str) -> None:
    assert about(stew(serves=serves)) == []


@pytest.mark.parametrize("makes", ["120 muffins", "1.2 muffins"])
def test_a_slip_of_the_pieces_is_found_there(makes: str) -> None:
    found = asked(muffins(makes=makes))
    assert (found.rule, found.span.text) == ("unlikely-portion", makes)
    assert "Is 12 muffins meant?" in found.help


@pytest.mark.parametrize("makes", ["6 muffins", "18 muffins", "24 muffins"])
def test_big_and_small_muffins_are_let_alone(makes: str) -> None:
    assert about(muffins(makes=makes)) == []


@pytest.mark.parametrize("spoon", ["0.1 tsp", "0.2 tbsp", "0.7 cups", "20 tsp", "30 tbsp"])
def test_spoons_that_nobody_measures(spoon: str) -> None:
    assert asked(stew(oil=spoon)).span.text == spoon


@pytest.mark.parametrize("spoon", ["1/2 tsp", "0.75 tbsp", "0.33 cup", "1 1/2 tbsp", "2.4 tbsp", "6 tsp"])
def test_spoons_that_are_measured(spoon: str) -> None:
    assert about(stew(oil=spoon)) == []


@pytest.mark.parametrize("eggs", ["0.2", "0.4"])
def test_a_part_of_an_egg_that_nobody_counts_out(eggs: str) -> None:
    assert asked(muffins(eggs=eggs)).span.text == eggs


def test_what_is_left_out_is_no_slip() -> None:
    """No butter, no egg, no sugar: somebody's muffins, but nobody's slipped decimal."""
    text = muffins()
    for name in ("butter", "eggs", "caster sugar"):
        text = "\n".join(line for line in text.split("\n") if not line.startswith(f"  {name}:"))
        text = text.replace(f"[the {name}], ", "").replace(f" and [the {name}]", "")
    assert about(text) == []


def test_a_mistake_told_elsewhere_is_not_told_again() -> None:
    """The salt of a loaf is a slipped decimal already."""
    only(
        "slipped-decimal",
        "recipe Loaf\n  makes:  1 loaf\n\ningredients\n  strong flour:   500 g\n  water:          340 g\n"
        "  fine salt:      100 g\n  instant yeast:    3 g\n\nstep Mix\n  Knead [the strong flour], [the water], "
        "[the fine salt] and [the instant yeast], [10 min].\n",
    )


def test_a_waiver_lets_it_stand() -> None:
    text = stew(cumin="40 g").replace(
        "  serves:", "  waive:   unlikely-amount because the cumin is old and faint\n  serves:"
    )
    assert "unlikely-amount" not in told(text)
    assert "waiver-unused" not in told(text)


def test_a_rub_may_be_all_spice() -> None:
    assert (
        about(
            "recipe Spice rub\n  makes:  100 g\n\ningredients\n  paprika:       50 g\n  ground cumin:  20 g\n"
            "  fine salt:     20 g\n  neutral oil:   10 g\n\nstep Mix\n  Mix [the paprika], [the ground cumin], "
            "[the fine salt] and [the neutral oil].\n"
        )
        == []
    )
