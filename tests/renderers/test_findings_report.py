"""Findings as text, JSON and GitHub lines. SARIF is held against its schema in tests/outside."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from benchproof.compiler.findings import Edit, Finding, Severity
from benchproof.compiler.source import Place, Source, Span
from benchproof.renderers.findings_report import (
    findings_github,
    findings_json,
    findings_sarif,
    findings_text,
    summary,
)
from tests.renderers.batches import findings, matches_golden, span


def one(text: str, what: str, **more: object) -> Finding:
    """A finding at `what` in a file of this text."""
    return Finding("a-rule", Severity.ERROR, span(Source(text, "a.bench"), what), "Wrong.", **more)  # type: ignore[arg-type]


def excerpt(finding: Finding) -> tuple[str, str]:
    """The source line and the caret line of the text form."""
    lines = findings_text([finding], colour=False).splitlines()
    at = next(number for number, line in enumerate(lines) if line.lstrip().startswith("^"))
    return lines[at - 1], lines[at]


def above_carets(finding: Finding) -> str:
    """What stands, cell by cell, above the carets."""
    shown, carets = excerpt(finding)
    start, end = carets.index("^"), carets.rindex("^") + 1
    out = ""
    for at, character in enumerate(shown):
        if start <= cell_len(shown[:at]) < end or (out and cell_len(character) == 0):
            out += character
    return out


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("findings.txt", findings_text(findings(), colour=False)),
        ("findings.json", findings_json(findings())),
        ("findings-github.txt", findings_github(findings())),
        ("findings.sarif", findings_sarif(findings(), version="0.1.0")),
    ],
)
def test_each_form_reads_as_its_golden_file(name: str, text: str) -> None:
    assert matches_golden(name, text)


def test_order_does_not_depend_on_the_order_given() -> None:
    for render in (findings_json, findings_github, findings_sarif):
        assert render(findings()) == render(findings()[::-1])
    assert findings_text(findings(), colour=False) == findings_text(findings()[::-1], colour=False)


def test_no_findings_are_no_text() -> None:
    assert findings_text([], colour=False) == ""
    assert findings_github([]) == ""
    assert json.loads(findings_json([])) == {"version": 1, "findings": []}


def test_colour_only_adds_to_the_plain_text() -> None:
    plain = findings_text(findings(), colour=False)
    coloured = findings_text(findings(), colour=True)

    assert "\x1b" not in plain
    assert "\x1b[1;31merror\x1b[0m" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("  crème fraîche:  20 %", "20 %"),
        ("  cre\u0300me frai\u0302che:  20 %", "20 %"),  # accents as signs of their own
        ("  抹茶 粉:  20 %", "20 %"),  # two cells a sign
        ("  抹茶 粉:  20 %", "茶"),
        ("  👩‍🍳 salt:  20 %", "20 %"),  # three code points, one sign
        ("  ½ cup:  20 %", "20 %"),
    ],
)
def test_carets_stand_below_the_text(line: str, what: str) -> None:
    assert above_carets(one(line, what)) == what


def test_carets_stand_below_text_after_tabs() -> None:
    shown, carets = excerpt(one("\tsalt:\t20 %", "20 %"))

    assert "\t" not in shown
    assert shown[carets.index("^") : carets.rindex("^") + 1] == "20 %"


def test_a_combining_sign_alone_is_marked_at_its_letter() -> None:
    shown, carets = excerpt(one("  fo\u0308o", "\u0308"))

    assert carets.count("^") == 1
    assert shown[carets.index("^")] == "o"


def test_an_empty_span_gets_one_caret() -> None:
    source = Source("salt:", "a.bench")
    at_end = Finding("a-rule", Severity.ERROR, Span(Place(source), 5, 5), "Nothing after the colon.")

    shown, carets = excerpt(at_end)

    assert carets.index("^") == len(shown)
    assert carets.count("^") == 1


def test_a_span_over_lines_is_marked_to_the_end_of_its_first() -> None:
    source = Source("step Mix\n  Stir [the\n  water].\n", "a.bench")
    shown, carets = excerpt(Finding("a-rule", Severity.ERROR, Span(Place(source), 16, 29), "Open."))

    assert carets.endswith("to line 3")
    assert shown[carets.index("^") : carets.rindex("^") + 1] == "[the"


@pytest.mark.parametrize("before", [0, 20, 95, 250, 400, 1_000_000])
def test_a_long_line_is_shown_as_a_window_around_the_place(before: int) -> None:
    line = "word " * (before // 5) + "HERE" + " word" * 80
    finding = one(line, "HERE")
    shown, _ = excerpt(finding)

    assert above_carets(finding) == "HERE"
    assert cell_len(shown) < 115
    assert shown.endswith("…")
    assert findings_text([finding], colour=False).startswith(f"a.bench:1:{line.index('HERE') + 1}: ")


def test_a_long_span_is_cut_to_the_window() -> None:
    shown, carets = excerpt(one("x" * 500, "x" * 500))

    assert cell_len(carets) <= cell_len(shown)


@given(st.text(st.characters(exclude_characters="\r\n")).filter(lambda text: text != ""), st.data())
def test_no_line_of_source_commands_the_terminal(text: str, data: st.DataObject) -> None:
    source = Source(text, "a.bench")
    start = data.draw(st.integers(0, len(source.text)))
    end = data.draw(st.integers(start, len(source.text)))
    finding = Finding("a-rule", Severity.HINT, Span(Place(source), start, end), text, text)

    out = findings_text([finding], colour=False)

    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", out)
    out.encode("utf-8")
    assert json.loads(findings_json([finding]))["findings"][0]["message"] == text


def test_escape_sequences_are_shown_not_sent() -> None:
    name = Source("salt \x1b]0;owned\x07: 2 %", "a\x1b[2J.bench")
    out = findings_text([Finding("a-rule", Severity.ERROR, span(name, "2 %"), "\x1b[31mRed")], colour=False)

    assert "\x1b" not in out
    assert "\x07" not in out
    assert "␛]0;owned␇" in out


def test_what_a_mend_does_is_said() -> None:
    def mend(old: str, new: str) -> str:
        finding = one("salt: 20 %", old, edit=Edit(span(Source("salt: 20 %"), old), new))
        return findings_text([finding], colour=False).splitlines()[-1]

    assert mend("20 %", "2 %") == "  Safe to mend: `20 %` becomes `2 %`."
    assert mend("20 %", "") == "  Safe to mend: take out `20 %`."
    assert mend("", " fine") == "  Safe to mend: put in ` fine`."


@pytest.mark.parametrize(
    ("given_findings", "files", "recipes", "words"),
    [
        (findings(), 3, 14, "1 error, 1 warning, 1 hint in 14 recipes"),
        ([findings()[1]] * 2 + [findings()[2]], 1, 1, "2 errors, 1 warning in 1 recipe"),
        ([findings()[1]], 3, 0, "1 error in 3 files"),
        ([], 9, 14, "no findings in 14 recipes"),
        ([], 0, 0, "no findings in 0 files"),
    ],
)
def test_summary(given_findings: list[Finding], files: int, recipes: int, words: str) -> None:
    assert summary(given_findings, files, recipes) == words


def test_github_lines_cannot_be_broken_out_of() -> None:
    source = Source("salt", "a,b:c%\n::error::x.bench")
    finding = Finding("r,u:l", Severity.ERROR, span(source, "salt"), "100 %\r\n::set-env name=A::b", "50 %")

    line = findings_github([finding])

    assert line.count("\n") == 1
    properties, message = re.fullmatch(r"::error (.*?)::(.*)\n", line).groups()  # type: ignore[union-attr]
    assert properties.split(",") == [
        "file=a%2Cb%3Ac%25%0A%3A%3Aerror%3A%3Ax.bench",
        "line=1",
        "endLine=1",
        "col=1",
        "endColumn=5",
        "title=r%2Cu%3Al",
    ]
    assert message == "100 %25%0A::set-env name=A::b%0A50 %25"


def test_github_gives_columns_only_on_one_line() -> None:
    source = Source("one\ntwo\n", "a.bench")
    line = findings_github([Finding("r", Severity.HINT, Span(Place(source), 1, 6), "m")])

    assert line == "::notice file=a.bench,line=1,endLine=2,title=r::m\n"


def test_sarif_names_files_relative_to_the_kitchen(tmp_path: Path) -> None:
    file = tmp_path / "my recipes" / "a#1.bench"
    source = Source("salt", str(file), path=file)
    finding = Finding("r", Severity.HINT, span(source, "salt"), "m")

    def place(text: str) -> dict[str, str]:
        result = json.loads(text)["runs"][0]["results"][0]
        return result["locations"][0]["physicalLocation"]["artifactLocation"]

    assert place(findings_sarif([finding], root=tmp_path)) == {
        "uri": "my%20recipes/a%231.bench",
        "uriBaseId": "KITCHEN",
    }
    assert place(findings_sarif([finding])) == {"uri": file.as_uri()}


def test_files_are_named_from_where_the_person_stands(tmp_path: Path) -> None:
    file = tmp_path / "kitchens" / "pier" / "a.bench"
    source = Source("salt", "a.bench", path=file)
    finding = Finding("r", Severity.HINT, span(source, "salt"), "m")

    assert findings_text([finding], colour=False, root=tmp_path).startswith("kitchens/pier/a.bench:1:1: ")
    assert "file=kitchens/pier/a.bench," in findings_github([finding], root=tmp_path)
    # From elsewhere a way there would be a guess: the name given stands.
    assert findings_text([finding], colour=False, root=tmp_path / "other").startswith("a.bench:1:1: ")
