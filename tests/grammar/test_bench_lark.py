"""The grammar file itself: no conflict, every rule in use, units as in the table, terminals with whole words."""

import io
import logging
import re
from collections.abc import Iterator
from functools import cache

import lark
import pytest

from benchproof.compiler.lark_tree import grammar_text, starts
from benchproof.compiler.quantities import SYSTEMS, UNITS

GROUPS = sorted(starts())


@pytest.fixture
def log() -> Iterator[io.StringIO]:
    """What lark says while it builds: the only place where it speaks of conflicts."""
    stream = io.StringIO()
    handler = logging.StreamHandler(stream)
    level = lark.logger.level
    lark.logger.addHandler(handler)
    lark.logger.setLevel(logging.DEBUG)
    yield stream
    lark.logger.removeHandler(handler)
    lark.logger.setLevel(level)


@cache
def parser_of(group: str) -> lark.Lark:
    return build(grammar_text(), starts()[group])


def build(text: str, start: list[str]) -> lark.Lark:
    return lark.Lark(
        text, parser="lalr", lexer="contextual", start=start, maybe_placeholders=False, debug=True
    )


def test_a_conflict_would_be_seen(log: io.StringIO) -> None:
    """The next test can fail: the first grammar of this language had this very conflict."""
    build('start: r U | r "-" r U\nr: N | N "-" N\nN: /[0-9]+/\nU: "g"', ["start"])
    assert "conflict" in log.getvalue().casefold()


@pytest.mark.parametrize("group", GROUPS)
def test_no_conflict(group: str, log: io.StringIO) -> None:
    build(grammar_text(), starts()[group])
    assert "conflict" not in log.getvalue().casefold()
    assert "Shift/Reduce" not in log.getvalue()


def test_every_rule_and_terminal_is_used_by_some_parser(log: io.StringIO) -> None:
    unused: list[set[str]] = []
    for group in GROUPS:
        log.truncate(0)
        log.seek(0)
        build(grammar_text(), starts()[group])
        unused.append(set(re.findall(r"Unused rule: <(\w+) :|'(\w+)'", log.getvalue())))  # type: ignore[arg-type]
    assert set.intersection(*unused) == set()


@cache
def terminals(group: str) -> dict[str, re.Pattern[str]]:
    parser = parser_of(group)
    return {terminal.name: re.compile(terminal.pattern.to_regexp()) for terminal in parser.terminals}


OF_DIMENSION = {
    "mass": "MASS",
    "volume": "VOL",
    "time": "TIME",
    "length": "LEN",
    "temperature": "TEMP",
    "energy": "ENERGY",
}


@pytest.mark.parametrize("spelling", UNITS)
def test_every_unit_is_read_whole_and_by_its_own_terminal(spelling: str) -> None:
    patterns = terminals("rest")
    matching = {name for name in OF_DIMENSION.values() if patterns[name].fullmatch(spelling)}
    assert matching == {OF_DIMENSION[UNITS[spelling].dimension]}
    assert not patterns[OF_DIMENSION[UNITS[spelling].dimension]].match(spelling + "x")


def test_no_other_word_is_a_unit() -> None:
    patterns = terminals("rest")
    for word in ("Kg", "G", "ML", "tbs", "mins", "degrees", "pinch", "c", "f", "gr"):
        assert not any(patterns[name].fullmatch(word) for name in OF_DIMENSION.values()), word


def test_every_system_is_read() -> None:
    assert [system for system in SYSTEMS if not terminals("rest")["SYS"].match(system + " cup")] == []


@pytest.mark.parametrize("group", GROUPS)
def test_words_have_an_end(group: str) -> None:
    """`of` is no part of `often`: a word of the language does not match the start of a longer one."""
    parser = parser_of(group)
    open_ended = []
    for terminal in parser.terminals:
        pattern = terminal.pattern
        example = re.sub(r"\(\?[!=<].*", "", pattern.value)
        if not re.fullmatch(r"[a-z]+", example):
            continue
        if re.match(pattern.to_regexp(), example + "x"):
            open_ended.append(terminal.name)
    assert open_ended == []


@pytest.mark.parametrize("group", GROUPS)
@pytest.mark.parametrize("ch", " 1a,-[½%")
def test_no_terminal_is_slow(group: str, ch: str) -> None:
    """Counted, not timed: a run of one character takes no more than a handful of tokens or stops at once."""
    parser = parser_of(group)
    text = ch * 1000
    for start in starts()[group]:
        try:
            tree = parser.parse(text, start=start)
        except lark.exceptions.UnexpectedInput:
            continue
        assert len(list(tree.scan_values(lambda _: True))) < 5
