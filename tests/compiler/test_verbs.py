"""What the words of a step say is being done: imperatives only, and how long each usually takes."""

import pytest

from benchproof.compiler.verbs import (
    BY_NAME,
    VERBS,
    breaks_off,
    by_machine,
    carries_on,
    is_overnight,
    is_short,
    is_tended,
    is_unmeasured,
    sentences,
    verbs_in,
)


def names(text: str) -> list[str]:
    return [one.verb.name for one in verbs_in(text)]


def test_every_width_is_one_and_has_a_source() -> None:
    for verb in VERBS:
        assert 0 <= verb.low < verb.high, verb.name
        assert verb.source, verb.name
    assert len(BY_NAME) == len(VERBS)


def test_no_word_belongs_to_two_verbs() -> None:
    words = [word for verb in VERBS for word in verb.words]
    assert sorted(set(words)) == sorted(words)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Knead until smooth, ◊.", ["knead"]),
        ("Stir ◊ into ◊, cover, and leave ◊.", ["stir", "leave"]),
        ("Bring ◊ to the boil, then simmer gently, ◊.", ["bring to the boil", "simmer"]),
        ("Turn out and cool on a rack, ◊.", ["cool"]),
        ("Gently fold in ◊, ◊.", ["fold"]),
        ("Let it rest ◊.", ["rest"]),
        ("Leave until it has doubled, ◊.", ["leave", "prove"]),
        ("Cover and stand ◊.", ["leave"]),
    ],
)
def test_what_the_cook_is_told(text: str, told: list[str]) -> None:
    assert names(text) == told


@pytest.mark.parametrize(
    "text",
    [
        "Add the rest of it",
        "in a cool place",
        "Whisk over simmering water",
        "Do not let it boil",
        "Ready when the crust begins to brown",
        "The boil is hard",
        "Put it in the oven before you rest it",
        "for the bake",
    ],
)
def test_what_only_looks_like_it(text: str) -> None:
    assert not {"rest", "cool", "simmer", "boil", "bake", "fry"} & set(names(text))


def test_standing_something_somewhere_is_no_wait() -> None:
    assert names("Stand the bowl in ice, ◊.") == []


def test_sentences_end_at_full_stops_and_semicolons() -> None:
    text = "Bake ◊; leave ◊. Cool"
    assert [text[a:b] for a, b in sentences(text)] == ["Bake ◊;", " leave ◊.", " Cool"]
    assert sentences("   ") == []


@pytest.mark.parametrize(
    ("text", "on"),
    [
        (", turn, ", True),
        ("; then at ◊, ", True),
        (" until the tops are set, turn, ", True),
        (", then work in ◊, ", False),
        (". Cool ", False),
    ],
)
def test_carrying_on(text: str, on: bool) -> None:
    assert carries_on(text) is on


@pytest.mark.parametrize(
    ("text", "broken"),
    [
        ("Bake at ◊, .", True),
        ("Bake at ◊ for .", True),
        ("Leave , then turn it out.", True),
        ("Bake at ◊, , until brown.", True),
        ("Bake at ◊, ◊.", False),
        ("Bake at ◊ for ◊, then cool.", False),
        ("Eat it, warm.", False),
    ],
)
def test_a_sentence_that_breaks_off(text: str, broken: bool) -> None:
    assert (breaks_off(text) is not None) is broken


def test_what_is_said_beside() -> None:
    assert is_short("two minutes more")
    assert not is_short("until brown")
    assert is_tended("stirring now and then")
    assert is_tended("and turn it twice")
    assert not is_tended("turn down to ◊ and bake")
    assert not is_tended("under a lid")
    assert by_machine("in the mixer")
    assert not by_machine("by hand")
    assert is_unmeasured("cool a little")
    assert not is_unmeasured("cool on a rack")
    assert is_overnight("soak overnight")
    assert not is_overnight("soak")
