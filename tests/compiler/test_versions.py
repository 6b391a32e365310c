"""What a later version of the language will need, proven on changes made up for it."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

from benchproof.compiler import blocks, labels, parser, versions
from benchproof.compiler.blocks import RawBlock
from benchproof.compiler.formatter import meaning
from benchproof.compiler.parser import read
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import Entry
from benchproof.compiler.versions import NEWEST, VERSIONS, Change, Version, relabelled, upgraded

ROOT = Path(__file__).resolve().parents[2]
TEXT = """\
# the house
kitchen Saltmarsh   # ours
  language:   1     # the first
  room:  21 C

recipe Tide bread
  serves : 4        # and a guest
  keeps:  2 days, serves: no
  sarves: 5

step Serve
  serves: no label here.
"""


def hand_off(raw: RawBlock) -> Iterable[Change]:
    """Made up: `hands-off` is written `by itself`."""
    if raw.kind == "step":
        at = raw.text.find("hands-off")
        while at >= 0:
            yield Change(at, at + len("hands-off"), "by itself")
            at = raw.text.find("hands-off", at + 1)


TWO = (Version(1), Version(2, relabelled("recipe", "serves", "feeds")))
THREE = (*TWO, Version(3, hand_off))


def test_there_is_one_version_and_its_text_stays() -> None:
    assert [version.number for version in VERSIONS] == [1] == [NEWEST]
    assert upgraded(Source(TEXT), 1) == TEXT


def test_a_label_that_is_renamed_is_renamed_where_it_is_that_label_and_nowhere_else() -> None:
    assert upgraded(Source(TEXT), 1, TWO) == TEXT.replace("serves : 4", "feeds : 4").replace(
        "language:   1", "language:   2"
    )


def test_several_versions_follow_each_other() -> None:
    text = TEXT + "  Rest [5 min hands-off] and [9 min hands-off].  # hands-off\n"
    now = upgraded(Source(text), 1, THREE)
    assert "[5 min by itself] and [9 min by itself]" in now
    assert "feeds : 4" in now
    assert "language:   3" in now
    assert upgraded(Source(now), 3, THREE) == now
    assert upgraded(Source(upgraded(Source(text), 1, TWO)), 2, THREE) == now


def test_a_kitchen_that_names_no_version_gets_a_line() -> None:
    assert upgraded(Source("kitchen K  # ours\n  room: 20 C\n"), 1, TWO) == (
        "kitchen K  # ours\n  language: 2\n  room: 20 C\n"
    )


def test_a_version_that_there_is_not_is_refused() -> None:
    with pytest.raises(ValueError, match="no version 7"):
        upgraded(Source(TEXT), 7, TWO)


def test_what_is_written_anew_says_the_same_to_the_new_reader(monkeypatch: pytest.MonkeyPatch) -> None:
    """Read with the made-up vocabulary, every file of the demo kitchen says what it said before."""
    old = labels.VOCABULARY["recipe"]
    renamed = tuple(replace(one, name="feeds") if one.name == "serves" else one for one in old.labels)
    vocabulary = MappingProxyType({**labels.VOCABULARY, "recipe": replace(old, labels=renamed)})
    told = 0
    for path in sorted((ROOT / "recipes").glob("*.bench")):
        source = Source.read(path)
        before = [line for block in read(source)[0].blocks for line in block.lines]
        now = upgraded(source, 1, TWO)
        with monkeypatch.context() as patch:
            for module in (labels, parser, blocks):
                patch.setattr(module, "VOCABULARY", vocabulary)
            file, findings = read(Source(now))
        assert findings == read(source)[1], path
        after = [line for block in file.blocks for line in block.lines]
        for one, other in zip(before, after, strict=True):
            if isinstance(one, Entry) and one.label.key == "serves":
                told += 1
                assert isinstance(other, Entry)
                assert other.label.key == "feeds"
                assert meaning(other.value) == meaning(one.value)
            elif not (isinstance(one, Entry) and one.label.key == "language"):
                assert meaning(one) == meaning(other), path
    assert told > 5


def test_every_version_but_the_first_has_its_rewrite() -> None:
    assert versions.VERSIONS[0].rewrite is None
    assert all(version.rewrite is not None for version in versions.VERSIONS[1:])
