"""A broken test of the recipe's own names the line that explains it."""

from benchproof.compiler.findings import Finding
from tests.compiler.checks.checking import checked


def broken(text: str) -> Finding:
    return next(one for one in checked(text) if one.rule == "expect-not-met")


def soup(*, skim: str = "[2 min]", simmer: str = "[40 min hands-off]", expect: str) -> str:
    return (
        "recipe Barley broth\n  serves: 4\n\ningredients\n  pearl barley: 120 g\n  water: 1 l\n\n"
        f"step Simmer\n  Skim [the water], {skim}.\n  Simmer [the pearl barley] in it, {simmer}.\n\n"
        f"expect\n  {expect}\n"
    )


def named(finding: Finding) -> list[str]:
    return [one.span.text for one in finding.also]


def test_the_time_whose_tenth_would_make_it_hold() -> None:
    found = broken(soup(skim="[20 min]", expect="total time: under 45 min"))
    assert named(found)[0] == "[20 min]"
    assert "slipped" in found.help


def test_swapped_digits_of_a_time() -> None:
    found = broken(soup(skim="[31 min]", expect="hands-on time: 13-14 min"))
    assert named(found) == ["[31 min]"]
    assert "13" in found.also[0].note


def test_hands_on_time_is_never_explained_by_a_wait() -> None:
    found = broken(soup(skim="[20 min]", expect="hands-on time: under 5 min"))
    assert named(found) == ["[20 min]"]


def test_nothing_is_named_where_no_slip_explains_it() -> None:
    found = broken(soup(expect="total time: over 900 h"))
    assert named(found) == []
    assert found.help == "Correct the recipe, or the expectation."


PRICES = (
    "kitchen Saltmarsh\n  currency: NZD\n\n"
    "prices at Quay on 2026-11-02\n  pearl barley: {} for 1 kg\n  water: free\n\n"
)


def test_the_price_and_the_line_of_what_costs_most() -> None:
    found = broken(PRICES.format("61.50") + soup(expect="cost: under 2.00"))
    assert named(found) == ["pearl barley: 61.50 for 1 kg", "pearl barley: 120 g"]


def test_a_test_all_but_held_does_not_blame_how_many_are_served() -> None:
    found = broken(PRICES.format("16.50") + soup(expect="cost a portion: under 0.45"))
    assert "4" not in named(found)


def test_how_many_are_served() -> None:
    text = PRICES.format("16.50") + soup(expect="cost a portion: under 0.60").replace(
        "serves: 4", "serves: 0.4"
    )
    assert named(broken(text))[0] == "0.4"
