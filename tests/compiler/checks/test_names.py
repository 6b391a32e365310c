"""Names: a near miss is a question, never a guess."""

import pytest

from benchproof.compiler.findings import Severity
from tests.compiler.checks.checking import checked, only, rice, told


def test_an_unknown_food_is_a_hint_and_a_misspelt_one_a_warning() -> None:
    assert (
        only(
            "unknown-ingredient",
            rice(more="  sea purslane:  to taste\n").replace(
                "[the water]", "[the water], [the sea purslane]"
            ),
        ).severity
        is Severity.HINT
    )
    found = only("unknown-ingredient", rice().replace("white rice", "whyte rice"))
    assert found.severity is Severity.WARNING
    assert "white rice" in found.help


@pytest.mark.parametrize("name", ["almond milk", "oat milk", "salted butter", "brown rice", "rice flour"])
def test_foods_that_only_sound_alike_are_not_the_same(name: str) -> None:
    """Each is known for itself: nothing is asked, and nothing is taken for another."""
    text = rice(more=f"  {name}:  20 g\n").replace("[the water]", f"[the water], [the {name}]")
    assert told(text) == []


@pytest.mark.parametrize("name", ["beef dripping fat", "jellyfish"])
def test_a_food_unlike_any_is_never_given_a_mend_to_apply(name: str) -> None:
    text = rice(more=f"  {name}:  20 g\n").replace("[the water]", f"[the water], [the {name}]")
    for one in checked(text):
        assert one.edit is None, (one.message, one.help)


@pytest.mark.parametrize("name", ["goat milk", "purple rice", "quince"])
def test_a_near_name_is_a_question_and_never_an_edit(name: str) -> None:
    """Somebody's allergy hangs on it."""
    text = rice(more=f"  {name}:  20 g\n").replace("[the water]", f"[the water], [the {name}]")
    for one in checked(text):
        assert one.edit is None, (one.message, one.help)


def test_a_recipe_is_as_good_as_an_ingredient() -> None:
    text = rice().replace("serves:  3", "makes:  502 g") + (
        "\nrecipe Fried\n  serves:  2\n\ningredients\n  Rice:  200 g\n\nstep Fry\n  Fry [the Rice], [5 min].\n"
    )
    assert told(text) == []


def test_a_recipe_may_be_named_after_what_is_in_it() -> None:
    assert told(rice().replace("recipe Rice", "recipe White rice")) == []


def test_an_empty_kitchen_has_nothing_to_say() -> None:
    assert checked("") == []
    assert checked("\n\n# only a remark\n") == []
