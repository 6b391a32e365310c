"""The table that all colours are made from, held against the compiler's own: drift is a failure here."""

import re
from typing import get_args

import pytest

from benchproof.compiler.labels import LEVELS, VOCABULARY, Label, ValueRule
from benchproof.compiler.lark_tree import starts
from benchproof.compiler.quantities import SYSTEMS, UNITS
from benchproof.compiler.syntax import OvenPlace
from benchproof.grammar.editors.highlighting import (
    KINDS,
    OPEN_LABELS,
    TERMINALS,
    VALUES,
    Paint,
    Region,
    contexts,
    grammar_terminals,
    reachable,
    terminal,
)

ALL_RULES = [(name, rule) for name, context in contexts().items() for rule in context.rules]


def test_every_terminal_of_the_grammar_has_a_kind() -> None:
    assert set(grammar_terminals()) == set(TERMINALS)
    assert set(TERMINALS.values()) <= set(KINDS)


def test_no_terminal_of_the_grammar_is_overlooked() -> None:
    """The grammar's terminals are found by their lines, so a line of another form must not slip by."""
    used = {name for group in starts().values() for start in group for name in reachable(start)}
    assert {name for name in used if name.isupper()} == set(TERMINALS)


def test_every_kind_of_value_has_its_colours() -> None:
    assert set(VALUES) == set(get_args(ValueRule))
    assert set(VALUES.values()) <= set(contexts())


def test_start_rules_that_values_name_exist() -> None:
    known = {start for group in starts().values() for start in group}
    assert {start for start in VALUES.values() if start.startswith("v_")} <= known


def test_what_is_said_of_open_labels_is_of_blocks_that_have_one() -> None:
    for kind, shown in OPEN_LABELS.items():
        assert VOCABULARY[kind].open is not None
        assert shown in KINDS


@pytest.mark.parametrize(("name", "rule"), ALL_RULES)
def test_rules_name_groups_and_contexts_that_exist(name: str, rule: Paint | Region) -> None:
    patterns = [rule.pattern] if isinstance(rule, Paint) else [rule.begin, rule.end]
    kinds = [rule.kinds] if isinstance(rule, Paint) else [rule.kinds, rule.end_kinds]
    for pattern, painted in zip(patterns, kinds, strict=True):
        assert re.compile(pattern, re.MULTILINE).groups == len(painted), (name, pattern)
        assert {kind for kind in painted if kind} <= set(KINDS)
    if isinstance(rule, Region):
        assert rule.context in contexts()


def test_every_context_is_used() -> None:
    used = {rule.context for _, rule in ALL_RULES if isinstance(rule, Region)}
    assert used == set(contexts()) - {"bench"}


def test_contexts_fill_with_kinds_that_exist() -> None:
    assert {context.fill for context in contexts().values() if context.fill} <= set(KINDS)


@pytest.mark.parametrize("kind", VOCABULARY)
def test_every_listed_label_opens_its_value(kind: str) -> None:
    def opened(label: Label, written: str) -> str:
        for rule in contexts()[f"block-{kind}"].rules:
            if isinstance(rule, Region) and re.match(rule.begin, written):
                assert rule.kinds == ("label", "colon"), label
                return rule.context
        raise AssertionError(f"nothing opens {written!r}")

    for label in VOCABULARY[kind].labels:  # type: ignore[index]
        assert opened(label, f"  {label.example}") == VALUES[label.value]
        assert opened(label, f"  {label.name.upper()}  :") == VALUES[label.value]


@pytest.mark.parametrize("spelling", UNITS)
def test_every_unit_is_in_its_terminal(spelling: str) -> None:
    names = {
        "mass": "MASS",
        "volume": "VOL",
        "time": "TIME",
        "length": "LEN",
        "temperature": "TEMP",
        "energy": "ENERGY",
    }
    found = re.match(terminal(names[UNITS[spelling].dimension]), spelling)
    assert found
    assert found.group() == spelling


def test_places_systems_and_levels_are_the_compilers() -> None:
    for place in get_args(OvenPlace):
        assert re.fullmatch(f"(?:{terminal('FAN')} )?{terminal('PLACE')}", place), place
    for system in SYSTEMS:
        assert re.match(terminal("SYS"), f"{system} cup")
    for name, words in (("level", LEVELS), ("system", SYSTEMS)):
        choice = contexts()[name].rules[-1]
        assert isinstance(choice, Paint)
        for word in words:
            assert re.fullmatch(choice.pattern, word)
