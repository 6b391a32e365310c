"""Each wrong way of writing has its message: one golden file a case.

A file holds the text as a cook wrote it, a line `----`, and the findings. `WRITE_GOLDEN=1 pytest` renews them: then
read the difference.
"""

import os
import re
from pathlib import Path

import pytest

from benchproof.compiler.findings import Finding
from benchproof.compiler.parser import read
from benchproof.compiler.parser_messages import (
    WANTED,
    known_slip,
    meant_unit,
    unknown_noun,
    unlike_anything,
)
from benchproof.compiler.quantities import UNITS
from benchproof.compiler.rulebook import writing
from benchproof.compiler.source import Source

MESSAGES = Path(__file__).with_name("messages")
CASES = sorted(MESSAGES.glob("*.txt"))
LARDER = Path(__file__).resolve().parents[2] / "compiler" / "larder"


def shown(finding: Finding) -> str:
    """A finding as these files hold it."""
    span = finding.span
    line, column = span.source.position(span.first)
    lines = [
        f"{finding.rule} ({finding.severity.word}) {line}:{column} {span.text!r}",
        f"  {finding.message}",
    ]
    if finding.help:
        lines.append(f"  help: {finding.help}")
    for also in finding.also:
        other, at = also.span.source.position(also.span.first)
        lines.append(f"  also: {other}:{at} {also.span.text!r} {also.note}")
    if finding.edit:
        lines.append(f"  mend: {finding.edit.span.text!r} -> {finding.edit.text!r}")
    return "\n".join(lines)


def mended(text: str, finding: Finding) -> str:
    assert finding.edit is not None
    span = finding.edit.span
    return text[: span.first] + finding.edit.text + text[span.last :]


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_each_mistake_has_its_message(path: Path) -> None:
    text, _, golden = path.read_bytes().decode("utf-8").partition("\n----\n")
    findings = "\n".join(shown(finding) for finding in read(Source(text, path.name))[1]) + "\n"
    if os.environ.get("WRITE_GOLDEN"):
        path.write_bytes(f"{text}\n----\n{findings}".encode())
        golden = findings
    assert findings == golden


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_mend_mends(path: Path) -> None:
    """Applied, an edit leaves the finding it belongs to out, and brings no new kind of mistake."""
    text = path.read_bytes().decode("utf-8").partition("\n----\n")[0]
    findings = read(Source(text))[1]
    rules = [finding.rule for finding in findings]
    for finding in findings:
        if finding.edit:
            after = [other.rule for other in read(Source(mended(text, finding)))[1]]
            assert len(after) < len(rules), f"{finding.rule}: {after}"


def test_there_are_cases_for_every_rule() -> None:
    told = {
        line.split(" ")[0]
        for path in CASES
        for line in path.read_text("utf-8").partition("\n----\n")[2].splitlines()
        if re.match(r"[a-z-]+ \(", line)
    }
    assert told == {rule.name for rule in writing.RULES}


def test_no_message_speaks_the_parsers_language() -> None:
    for path in CASES:
        golden = path.read_text("utf-8").partition("\n----\n")[2]
        told = "\n".join(line for line in golden.splitlines() if line.startswith(("  help", "  ")))
        without_quotes = re.sub(r"`[^`]*`|U\+[0-9A-F]{4}|'[^']*'|\"[^\"]*\"", "", told)
        assert not re.search(r"\b[A-Z]{4,}\b|__|\$END|Token|Traceback|Unexpected|None", without_quotes), (
            path.name
        )


def test_every_value_says_what_it_wants() -> None:
    for what in WANTED:
        slip = unlike_anything("§§", what, 0)
        assert slip.help.startswith("Here stands ")


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("Kg", "kg"),
        ("ML", "ml"),
        ("tbs", "tbsp"),
        ("mins", "min"),
        ("hrs", "h"),
        ("grm", "g"),
        ("g.", "g"),
        ("Tbsp", "tbsp"),
    ],
)
def test_a_misspelt_unit_is_known(written: str, meant: str) -> None:
    assert meant_unit(written) == meant


def test_no_accepted_unit_is_called_misspelt() -> None:
    assert [spelling for spelling in UNITS if meant_unit(spelling)] == []


def test_no_word_that_the_larder_counts_by_is_taken_for_a_unit() -> None:
    words = set()
    for path in LARDER.glob("*.bench"):
        words.update(re.findall(r"^  ([a-z]+): +[0-9.]+ (?:g|ml)", path.read_text("utf-8"), re.MULTILINE))
    assert len(words) > 10
    assert [word for word in sorted(words) if unknown_noun(word, 0) or unknown_noun(word + "s", 0)] == []


def test_long_text_is_no_slip_of_the_pen() -> None:
    assert known_slip("1" * 5000 + ",5 g", "amount") is None
