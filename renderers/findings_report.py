"""Findings as text for a cook, JSON, annotation lines for GitHub, and SARIF 2.1.0 for other programs.

One finding, in the text form::

    griddle-rounds.bench:5:22: error: slipped-decimal
      Salt is 20 % of the flour; a yeasted griddle batter takes 1.5-2.2 %.

        5   fine salt:          20 %
                                ^^^^
      What to do: write 2 %.
      Safe to mend: `20 %` becomes `2 %`.

The first line can be found by grep and followed by an editor; it is never wrapped. Every form lists findings
by file, then place, then the gravest first. Lines and columns count from 1, columns in code points, an end
is one past the last.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path, PurePath, PureWindowsPath
from typing import Any, Final
from urllib.parse import quote

from rich.cells import cell_len

from benchproof.compiler.findings import Edit, Finding, Severity
from benchproof.compiler.source import Span
from benchproof.renderers.terminal import Colour, harmless, harmless_in_place, json_text, painted

JSON_VERSION: Final = 1

_COLOURS: Final[Mapping[Severity, Colour]] = {
    Severity.ERROR: "red",
    Severity.WARNING: "yellow",
    Severity.HINT: "cyan",
}
_TAB: Final = 4
_LONGEST: Final = 100  # cells of a source line; longer ones are shown as a window
_NEAR: Final = 500  # characters to either side of a place that are looked at, in a very long line
_BEFORE: Final = 30  # cells of a windowed line left of the caret


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """By file and place, the gravest first where two stand at one place."""
    return sorted(findings, key=lambda f: (f.place, -f.severity, f.rule, f.message, f.help))


# ---------------------------------------------------------------- text


def findings_text(findings: Sequence[Finding], *, colour: bool, root: Path | None = None) -> str:
    """Every finding, its line and its mend, for a person at a terminal. Empty when there are none.

    `root`, here and below, is the folder that files are named from, where a source knows its path and lies
    in it: the folder the person stands in. Without it a file has the name its source was given.
    """
    return "\n".join(_finding_text(finding, colour, root) for finding in in_order(findings))


def summary(findings: Sequence[Finding], files: int, recipes: int) -> str:
    """One line: `2 errors, 1 warning in 14 recipes`; files are counted where there is no recipe."""
    counts = [
        _counted(number, severity.word)
        for severity in sorted(Severity, reverse=True)
        if (number := sum(finding.severity is severity for finding in findings))
    ]
    where = _counted(recipes, "recipe") if recipes else _counted(files, "file")
    return f"{', '.join(counts) or 'no findings'} in {where}"


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _finding_text(finding: Finding, colour: bool, root: Path | None) -> str:
    ink = _COLOURS[finding.severity]
    head = f"{_place(finding.span, root)}: "
    lines = [
        painted(head, "bold", colour)
        + painted(finding.severity.word, ink, colour)
        + ": "
        + painted(harmless(finding.rule), "bold", colour)
    ]
    lines += _prose(finding.message)
    lines.append("")
    numbers = [finding.span.line, *(also.span.line for also in finding.also)]
    gutter = max(len(str(number)) for number in numbers)
    lines += _excerpt(finding.span, gutter, ink, colour)
    for also in finding.also:
        lines += _prose(f"{_place(also.span, root)}: {also.note}")
        lines += _excerpt(also.span, gutter, ink, colour)
    if finding.help:
        lines += _prose(f"What to do: {finding.help}")
    if finding.edit is not None:
        lines.append(f"  {painted('Safe to mend:', 'green', colour)} {_edit_words(finding.edit)}.")
    return "\n".join(lines) + "\n"


def _prose(text: str) -> list[str]:
    """Lines of prose, indented by two; wrapping is left to the terminal, so that places stay whole."""
    return [f"  {harmless(line)}".rstrip() for line in text.strip().split("\n")]


def _place(span: Span, root: Path | None) -> str:
    line, column = span.source.position(span.first)
    return f"{harmless(_name(span, root))}:{line}:{column}"


def _name(span: Span, root: Path | None) -> str:
    """The file's name, from `root` where that can be told."""
    path = span.source.path
    if root is not None and path is not None and path.resolve().is_relative_to(root.resolve()):
        return path.resolve().relative_to(root.resolve()).as_posix()
    return span.source.name


def _edit_words(edit: Edit) -> str:
    old, new = _short(edit.span.text), _short(edit.text)
    if not old:
        return f"put in `{new}`"
    return f"`{old}` becomes `{new}`" if new else f"take out `{old}`"


def _short(text: str) -> str:
    """One line of at most 40 characters of an edit's text."""
    shown = harmless(text.strip("\n"))
    return shown if len(shown) <= 40 else shown[:39] + "…"


def _excerpt(span: Span, gutter: int, ink: Colour, colour: bool) -> list[str]:
    """The source line and carets below the span; a span over several lines is marked on its first."""
    source = span.source
    row, column = source.position(span.first)
    end_row, end_column = source.position(span.last)
    text = harmless_in_place(source.line(row))
    stop = end_column - 1 if end_row == row else len(text.rstrip())
    shown, start, wide = _marked(text, column - 1, stop)
    number = painted(f"  {row:>{gutter + 2}}", "faint", colour)
    carets = painted("^" * wide, ink, colour)
    further = f" to line {end_row}" if end_row > row else ""
    return [
        f"{number}   {shown}".rstrip(),
        f"  {'':>{gutter + 2}}   {' ' * start}{carets}{further}",
    ]


def _marked(text: str, start: int, stop: int) -> tuple[str, int, int]:
    """The line as shown, and the cell where the carets start and how many there are (one at least).

    `start` and `stop` count characters of `text`; tabs are laid out, and a line too long is cut to a window
    around the start, an ellipsis standing for each end that was cut off.
    """
    if len(text) > 2 * _NEAR:
        # Cells are counted near the place alone: a file may be one line of a million characters.
        begin = max(0, start - _NEAR)
        text, start, stop = (
            text[begin : start + _NEAR],
            start - begin,
            min(stop - begin, start - begin + _NEAR),
        )
    text, start, stop = _tabs_laid_out(text, start, max(start, stop))
    first = cell_len(text[:start])
    last = cell_len(text[:stop])
    if first == last and 0 < start < len(text) and cell_len(text[: start + 1]) == first:
        first -= 1  # a combining sign alone: the caret goes below the letter that carries it
    if cell_len(text) > _LONGEST:
        left = _cut_at(text, max(0, first - _BEFORE))
        left = min(left, _cut_at(text, max(0, cell_len(text) - _LONGEST)))
        skipped = cell_len(text[:left])
        right = _cut_at(text, skipped + _LONGEST)
        ahead = "…" if left else ""
        window = ahead + text[left:right] + ("…" if right < len(text) else "")
        first += len(ahead) - skipped
        last = min(last + len(ahead) - skipped, cell_len(window))
        text = window
    return text, first, max(1, last - first)


def _tabs_laid_out(text: str, start: int, stop: int) -> tuple[str, int, int]:
    """`text` with its tabs as blanks, and the two places moved along with it."""
    out = ""
    places = {}
    for at, character in enumerate(text):
        places[at] = len(out)
        out += " " * (_TAB - cell_len(out) % _TAB) if character == "\t" else character
    end = len(out)
    # A place past the end of the line (a missing word) is kept one past it.
    return out, places.get(start, end), places.get(stop, end)


def _cut_at(text: str, cells: int) -> int:
    """The first character at which at least `cells` cells stand to its left, never before a joined sign."""
    at = 0
    while at < len(text) and (cell_len(text[:at]) < cells or (at and cell_len(text[at]) == 0)):
        at += 1
    return at


# ---------------------------------------------------------------- JSON


def findings_json(findings: Sequence[Finding]) -> str:
    """An object with `version` and `findings`, a list of objects:

    `rule`, `severity` (`error`, `warning`, `hint`), `message`, `help` (may be empty), `file`, `line`,
    `column`, `end_line`, `end_column`; `also`: other places, each with a `note`; `edit`: null, or the place
    to replace and the `text` to put there.
    """
    return json_text(
        {
            "version": JSON_VERSION,
            "findings": [
                {
                    "rule": finding.rule,
                    "severity": finding.severity.word,
                    "message": finding.message,
                    "help": finding.help,
                    **_span_json(finding.span),
                    "also": [{**_span_json(also.span), "note": also.note} for also in finding.also],
                    "edit": None
                    if finding.edit is None
                    else {**_span_json(finding.edit.span), "text": finding.edit.text},
                }
                for finding in in_order(findings)
            ],
        }
    )


def _span_json(span: Span) -> dict[str, str | int]:
    line, column = span.source.position(span.first)
    end_line, end_column = span.source.position(span.last)
    return {
        "file": span.source.name,
        "line": line,
        "column": column,
        "end_line": end_line,
        "end_column": end_column,
    }


# ---------------------------------------------------------------- GitHub


def findings_github(findings: Sequence[Finding], *, root: Path | None = None) -> str:
    """Workflow commands, one line a finding, that GitHub shows beside the changed lines.

    `root` should be the top of the repository: GitHub counts names from there. Columns are given only for a
    span on one line: GitHub takes them there alone. (Format and escapes: GitHub's documentation of workflow
    commands, from memory.)
    """
    words = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.HINT: "notice"}
    lines = []
    for finding in in_order(findings):
        line, column = finding.span.source.position(finding.span.first)
        end_line, end_column = finding.span.source.position(finding.span.last)
        properties: list[tuple[str, object]] = [
            ("file", _name(finding.span, root).replace("\\", "/")),
            ("line", line),
            ("endLine", end_line),
        ]
        if line == end_line:
            properties += [("col", column), ("endColumn", end_column)]
        properties.append(("title", finding.rule))
        given = ",".join(f"{name}={_property(str(value))}" for name, value in properties)
        message = f"{finding.message}\n{finding.help}" if finding.help else finding.message
        lines.append(f"::{words[finding.severity]} {given}::{_data(message)}\n")
    return "".join(lines)


def _data(text: str) -> str:
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return "%0A".join(harmless(line).replace("%", "%25") for line in text.split("\n"))


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")


# ---------------------------------------------------------------- SARIF


def findings_sarif(
    findings: Sequence[Finding],
    *,
    root: Path | None = None,
    version: str | None = None,
    rules: Mapping[str, str] | None = None,
) -> str:
    """A SARIF 2.1.0 log (OASIS standard) with one run.

    `root` is as in `findings_text`, best the top of what is under version control. `version` is the
    program's. `rules` gives a sentence for each rule by name; rules without a finding are listed too when it
    is given.
    """
    ordered = in_order(findings)
    about = dict(rules or {})
    names = sorted({finding.rule for finding in ordered} | set(about))
    driver: dict[str, Any] = {
        "name": "Benchproof",
        "rules": [
            {"id": name} | ({"shortDescription": {"text": about[name]}} if about.get(name) else {})
            for name in names
        ],
    }
    if version is not None:
        driver["version"] = version
    results = [_result(finding, names.index(finding.rule), root) for finding in ordered]
    run: dict[str, Any] = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {
            "KITCHEN": {"description": {"text": "The folder the check was started in or given."}}
        },
        "results": results,
    }
    return json_text(
        {
            "$schema": "https://json.schemastore.org/sarif-2.1.0-rtm.5.json",
            "version": "2.1.0",
            "runs": [run],
        }
    )


def _result(finding: Finding, index: int, root: Path | None) -> dict[str, Any]:
    levels = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.HINT: "note"}
    message = f"{finding.message} {finding.help}" if finding.help else finding.message
    result: dict[str, Any] = {
        "ruleId": finding.rule,
        "ruleIndex": index,
        "level": levels[finding.severity],
        "message": _message(message),
        "locations": [_location(finding.span, root)],
    }
    if finding.also:
        result["relatedLocations"] = [
            _location(also.span, root) | {"id": number, "message": _message(also.note or "The other place.")}
            for number, also in enumerate(finding.also, 1)
        ]
    if finding.edit is not None:
        edit = finding.edit
        result["fixes"] = [
            {
                "description": {"text": "A mend that is safe to apply."},
                "artifactChanges": [
                    {
                        "artifactLocation": _artifact(edit.span, root),
                        "replacements": [
                            {"deletedRegion": _region(edit.span), "insertedContent": {"text": edit.text}}
                        ],
                    }
                ],
            }
        ]
    return result


def _message(text: str) -> dict[str, str]:
    """SARIF reads `{0}` as a place to fill in and `[a](1)` as a link; braces and brackets are escaped."""
    text = text.replace("{", "{{").replace("}", "}}")
    return {"text": text.replace("](", "\\](")}


def _location(span: Span, root: Path | None) -> dict[str, Any]:
    return {"physicalLocation": {"artifactLocation": _artifact(span, root), "region": _region(span)}}


def _artifact(span: Span, root: Path | None) -> dict[str, str]:
    name = PureWindowsPath(_name(span, root)).as_posix()
    if PurePath(name).is_absolute():
        # Outside the folder: a relative address would be a guess.
        return {"uri": Path(name).as_uri()}
    # A colon in the first stretch of a relative address would read as a scheme, so it is escaped too.
    return {"uri": quote(name, safe="/"), "uriBaseId": "KITCHEN"}


def _region(span: Span) -> dict[str, int]:
    line, column = span.source.position(span.first)
    end_line, end_column = span.source.position(span.last)
    return {"startLine": line, "startColumn": column, "endLine": end_line, "endColumn": end_column}
