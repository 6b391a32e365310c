"""Our SARIF logs against the published JSON Schema (see data/sarif-2.1.0-rtm.5.licence.txt)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from benchproof.compiler.findings import Edit, Finding, Severity
from benchproof.compiler.source import Place, Source, Span
from benchproof.renderers.findings_report import findings_sarif
from tests.renderers.batches import findings, span

pytestmark = pytest.mark.outside

SCHEMA = json.loads(Path(__file__).with_name("data").joinpath("sarif-2.1.0-rtm.5.json").read_text("utf-8"))


def checked(text: str) -> dict[str, Any]:
    """The log, after it passed the schema; addresses must be addresses too."""
    log: dict[str, Any] = json.loads(text)
    jsonschema.Draft4Validator(SCHEMA, format_checker=jsonschema.Draft4Validator.FORMAT_CHECKER).validate(log)
    return log


def test_the_schema_can_say_no() -> None:
    log = json.loads(findings_sarif(findings()))
    log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]["startColumn"] = 0

    with pytest.raises(jsonschema.ValidationError):
        checked(json.dumps(log))


def test_all_findings_pass() -> None:
    log = checked(
        findings_sarif(findings(), version="0.1.0", rules={"never-found": "A rule.", "no-words": ""})
    )
    [run] = log["runs"]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]

    assert log["version"] == "2.1.0"
    assert run["columnKind"] == "unicodeCodePoints"
    assert rules == ["listed-twice", "never-found", "no-words", "slipped-decimal", "unknown-ingredient"]
    assert [result["level"] for result in run["results"]] == ["error", "note", "warning"]
    for result in run["results"]:
        assert rules[result["ruleIndex"]] == result["ruleId"]
        for place in result["locations"]:
            address = place["physicalLocation"]["artifactLocation"]
            assert address["uriBaseId"] in run["originalUriBaseIds"]


def test_no_findings_pass() -> None:
    assert checked(findings_sarif([]))["runs"][0]["results"] == []


def test_columns_count_code_points_from_one() -> None:
    source = Source("½ é 😀: 20 %\n", "a.bench")
    finding = Finding("a-rule", Severity.WARNING, span(source, "20 %"), "m")
    [result] = checked(findings_sarif([finding]))["runs"][0]["results"]

    assert result["locations"][0]["physicalLocation"]["region"] == {
        "startLine": 1,
        "startColumn": 8,
        "endLine": 1,
        "endColumn": 12,
    }


def test_an_insertion_at_the_end_of_a_file_passes() -> None:
    source = Source("salt:\n", "odd name:1.bench")
    end = Span(Place(source), 6, 6)
    finding = Finding(
        "a-rule", Severity.HINT, end, "Stops [short](1) at {0}.", edit=Edit(end, "  water: 1 g\n")
    )
    [result] = checked(findings_sarif([finding]))["runs"][0]["results"]
    [change] = result["fixes"][0]["artifactChanges"]

    assert change["artifactLocation"]["uri"] == "odd%20name%3A1.bench"
    assert change["replacements"][0]["deletedRegion"]["startLine"] == 2
    assert result["message"]["text"] == "Stops [short\\](1) at {{0}}."
