"""Every rule that is not about writing: at least one text that earns its finding, and one that nearly does.

`golden/RULE.txt` and `golden/RULE--WHAT.txt` hold a text, a line `----`, and the findings as they are printed. The
text of `RULE.txt` is the rule's declared example; the others stand for themselves. `silent/RULE--WHAT.bench` hold
near misses, which must say nothing. `WRITE_GOLDEN=1 pytest` renews the golden files: then read the difference.
"""

import os
import re
from pathlib import Path

import pytest

from benchproof.compiler.findings import Severity
from benchproof.compiler.rules import RULES
from benchproof.renderers.findings_report import findings_text
from tests.compiler.checks.checking import checked

HERE = Path(__file__).parent
EXAMPLES = {
    HERE / "golden" / f"{rule.name}.txt": rule.example.text
    for rule in RULES.values()
    if rule.family != "writing" and rule.example is not None
}
"""The cases whose text is declared with the rule."""
GOLDEN = sorted({*(HERE / "golden").glob("*.txt"), *EXAMPLES})
SILENT = sorted((HERE / "silent").glob("*.bench"))

MISSED: dict[str, str] = {}
"""Texts whose finding does not come, each with what is the matter."""

DOUBLED = {}
"""Mistakes that are told twice, each with how."""

CRIED_WOLF: dict[str, str] = {}
"""Near misses that are reported all the same, each with what is the matter."""


WANTED = sorted(name for name, rule in RULES.items() if rule.family != "writing" and not rule.unshown)


def rule_of(path: Path) -> str:
    return path.stem.partition("--")[0]


def text_of(path: Path) -> str:
    """A case's text: the declared example's, else what its file holds above the line."""
    if path in EXAMPLES:
        return EXAMPLES[path]
    return path.read_text(encoding="utf-8").partition("\n----\n")[0] + "\n"


def cases(paths: list[Path], doubtful: dict[str, str]) -> list[object]:
    return [
        pytest.param(
            path,
            id=path.stem,
            marks=[pytest.mark.xfail(strict=True, reason=doubtful[path.stem])]
            if path.stem in doubtful
            else [],
        )
        for path in paths
    ]


@pytest.mark.parametrize("path", cases(GOLDEN, MISSED))
def test_each_mistake_has_its_message(path: Path) -> None:
    text = text_of(path)
    found = checked(text)
    told = f"{text}----\n{findings_text(found, colour=False)}"
    if os.environ.get("WRITE_GOLDEN"):
        path.write_text(told, encoding="utf-8")
    assert rule_of(path) in {one.rule for one in found}
    assert path.read_text(encoding="utf-8") == told


@pytest.mark.parametrize("path", cases(GOLDEN, DOUBLED))
def test_one_mistake_is_one_finding(path: Path) -> None:
    """No mistake drags others in: what is not of the rule is a hint at most, unless the name says `and-more`."""
    if path.stem.endswith("-and-more"):
        return
    others = [one for one in checked(text_of(path)) if one.rule != rule_of(path)]
    assert [(one.rule, one.message) for one in others if one.severity > Severity.HINT] == []


@pytest.mark.parametrize("path", cases(SILENT, CRIED_WOLF))
def test_a_near_miss_is_silent(path: Path) -> None:
    found = checked(path.read_text(encoding="utf-8"))
    loud = [one for one in found if one.severity > Severity.HINT or one.rule == rule_of(path)]
    assert findings_text(loud, colour=False) == ""


def test_a_declared_example_ends_its_last_line() -> None:
    """Else its golden file would not say where it ends."""
    assert [path.stem for path, text in EXAMPLES.items() if not text.endswith("\n") or "\n----" in text] == []


def test_every_rule_has_a_case_of_both_sorts() -> None:
    assert sorted({rule_of(path) for path in GOLDEN}) == WANTED
    assert sorted({rule_of(path) for path in SILENT}) == WANTED


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_a_message_is_for_a_cook(path: Path) -> None:
    """Whole sentences, no word of the parser or of Python, and always a mend."""
    for one in checked(text_of(path)):
        assert one.message.endswith((".", "?")), one.message
        assert one.help.endswith((".", "?", "”", "`")), one.help
        told = re.sub(r"`[^`]*`|“[^”]*”", "", f"{one.message} {one.help}")
        assert not re.search(r"Fraction|None|Traceback|Token|Error|\{|\}|\bself\b|__", told), told
        assert "  " not in f"{one.message} {one.help}"


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_what_is_to_be_written_can_be_copied(path: Path) -> None:
    """The language refuses thin and no-break spaces: none may stand in what a cook is told to write."""
    for one in checked(text_of(path)):
        if "`" in one.help or one.rule in ("slipped-decimal", "price-slipped"):
            assert not re.search("[\u2009\u202f\u00a0]", one.help), one.help
