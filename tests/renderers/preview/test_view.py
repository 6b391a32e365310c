"""What stands around the card: findings with their lines, and what the card is of, in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.look import Asking, Look, State, Trouble
from benchproof.compiler.source import Source
from benchproof.renderers.preview.view import view
from tests.renderers.batches import findings, rounds, span

LOOK = Look(
    3, "Harbour griddle rounds", "rounds.bench", Asking(), None, None, "good", (), rounds(), None, None
)


def finding(text: str, place: str, **more: object) -> Finding:
    made = Finding("a-rule", Severity.ERROR, span(Source(text, "x.bench"), place), "Wrong.", "Right it.")
    return replace(made, **more)  # type: ignore[arg-type]


def test_nothing_found() -> None:
    shown = view(LOOK)
    assert (shown.count, shown.about, shown.dim, shown.findings) == ("no findings", "", False, ())
    assert shown.title == "Harbour griddle rounds: no findings"


def test_the_gravest_come_first_and_are_counted() -> None:
    shown = view(replace(LOOK, state="mistaken", findings=tuple(findings())))
    order = [one.severity for one in shown.findings]
    assert order == sorted(order, key=["error", "warning", "hint"].index)
    assert shown.count == "1 error, 1 warning, 1 hint"


@pytest.mark.parametrize(
    ("state", "dim", "words"),
    [
        ("mistaken", True, "errors and all"),
        ("last", True, "the last card that worked"),
        ("none", False, "There is no card yet"),
    ],
)
def test_what_the_card_is_of_is_said(state: State, dim: bool, words: str) -> None:
    shown = view(replace(LOOK, state=state))
    assert words in shown.about
    assert shown.dim is dim


def test_the_place_is_marked_in_its_line() -> None:
    (shown,) = view(replace(LOOK, findings=(finding("one\n  salt:     20 %  # sea\n", "20 %"),))).findings
    (excerpt,) = shown.excerpts
    assert (excerpt.number, excerpt.before, excerpt.marked, excerpt.after) == (
        "2",
        "  salt:  ",
        "20 %",
        "  # sea",
    )
    assert shown.place == "x.bench, line 2"


def test_of_several_lines_the_first_is_shown() -> None:
    (shown,) = view(replace(LOOK, findings=(finding("a b\nc\nd", "b\nc"),))).findings
    assert (shown.excerpts[0].marked, shown.excerpts[0].after) == ("b", "")


def test_a_place_at_the_end_of_a_line_has_a_mark_of_nothing() -> None:
    source = Source("salt:\nnext", "x.bench")
    missing = replace(finding("x", "x"), span=span(source, "salt:").part(5, 5))
    (shown,) = view(replace(LOOK, findings=(missing,))).findings
    assert (shown.excerpts[0].before, shown.excerpts[0].marked, shown.excerpts[0].after) == ("salt:", "", "")


def test_a_line_without_end_is_cut_to_what_stands_near() -> None:
    text = "a" * 10_000 + "HERE" + "b" * 10_000
    (shown,) = view(replace(LOOK, findings=(finding(text, "HERE"),))).findings
    excerpt = shown.excerpts[0]
    assert excerpt.marked == "HERE"
    assert len(excerpt.before) + len(excerpt.after) < 300


def test_the_second_place_and_the_mend_are_shown() -> None:
    shown = view(replace(LOOK, findings=tuple(findings()))).findings
    assert any(len(one.excerpts) == len(one.also) == 2 and one.also[1] for one in shown)
    assert any("becomes" in one.edit for one in shown)


def test_more_than_a_page_of_findings_is_said() -> None:
    shown = view(replace(LOOK, findings=tuple(finding("x" * 100, "x", rule=f"r{n}") for n in range(70))))
    assert len(shown.findings) == 60
    assert shown.more == "And 10 more."


def test_what_commands_a_screen_is_shown_as_a_sign() -> None:
    text = "salt\u202e20"
    (shown,) = view(replace(LOOK, findings=(finding(text, text, message=text),))).findings
    assert "\u202e" not in shown.message + shown.excerpts[0].marked


def test_a_refusal_says_what_is_shown_instead() -> None:
    shown = view(replace(LOOK, refused=Trouble("No number.", "Write `2`."), asking=Asking(times="x")))
    assert shown.refused == ("No number.", "Write “2”.", "Until then the card is of the batch as written.")
    assert shown.times == "x"


def test_what_is_missing_goes_before_all_counts() -> None:
    shown = view(replace(LOOK, state="last", missing=Trouble("x.bench is gone.")))
    assert (shown.count, shown.missing) == ("cannot be read", ("x.bench is gone.",))
