"""The vocabulary is whole, and each of its examples is read as it says."""

import pytest

from benchproof.compiler.labels import EXAMPLE_HEADINGS, LEVELS, VALUE_RULES, VOCABULARY, Label
from benchproof.compiler.parser import read
from benchproof.compiler.parser_messages import WANTED
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import BlockKind, Entry, name_key

LABELS = [
    (kind, label)
    for kind, vocabulary in VOCABULARY.items()
    for label in (*vocabulary.labels, *([vocabulary.open] if vocabulary.open else []))
]


@pytest.mark.parametrize(("kind", "label"), LABELS, ids=lambda part: getattr(part, "name", part))
def test_each_example_is_read_as_an_entry_of_its_block(kind: BlockKind, label: Label) -> None:
    file, findings = read(Source(f"{EXAMPLE_HEADINGS[kind]}\n  {label.example}\n"))
    assert findings == ()
    (line,) = file.blocks[0].lines
    assert isinstance(line, Entry)
    if VOCABULARY[kind].open is not label:
        assert line.label.key == name_key(label.name)


@pytest.mark.parametrize("kind", EXAMPLE_HEADINGS)
def test_each_heading_is_read(kind: BlockKind) -> None:
    file, findings = read(Source(EXAMPLE_HEADINGS[kind]))
    assert findings == ()
    assert file.blocks[0].kind == kind
    assert file.blocks[0].heading is not None


def test_every_block_has_a_vocabulary_and_a_heading() -> None:
    assert set(VOCABULARY) == set(EXAMPLE_HEADINGS) == set(BlockKind.__args__)  # type: ignore[attr-defined]


def test_labels_are_known_once_and_by_any_case() -> None:
    for vocabulary in VOCABULARY.values():
        keys = [name_key(name) for name in vocabulary.names]
        assert len(set(keys)) == len(keys)
        assert all(vocabulary.find(key) for key in keys)
        assert vocabulary.find("nothing of the kind") is None


def test_value_rules_are_all_used_and_those_that_may_fail_say_what_they_want() -> None:
    assert {label.value for _, label in LABELS} == set(VALUE_RULES)
    free = {"words", "names", "contains", "currency", "level", "photo", "system", "week", "yes no"}
    assert set(VALUE_RULES) - free == set(WANTED) - {"fact"}


def test_what_this_version_does_not_use_yet_is_marked() -> None:
    unused = {(kind, label.name) for kind, label in LABELS if not label.computed}
    assert ("kitchen", "labour") in unused
    assert ("ingredient", "footprint") in unused
    assert {kind for kind, _ in unused} >= {"cupboard", "week"}
    assert ("recipe", "makes") not in unused
    assert not {kind for kind, _ in unused} & {"preferment", "soaker", "ingredients", "trial"}


def test_levels() -> None:
    assert LEVELS == ("off", "hint", "warning", "error")
