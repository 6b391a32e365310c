"""What stands on the page around the card: findings, and sentences about what the card is of. All of it is text."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.look import Look
from benchproof.compiler.source import Span
from benchproof.renderers.findings_report import in_order
from benchproof.renderers.terminal import harmless, harmless_in_place

_BEFORE: Final = 60
_AFTER: Final = 160
"""Characters of a line that are shown before a place and from it on."""
_SHORT: Final = 40
_BLANKS: Final = re.compile(r"\s{3,}")
_MOST: Final = 60
"""Findings shown at once; a text with more has one mistake near its top."""

_ABOUT: Final = {
    "good": "",
    "mistaken": "This is the card of the text as it stands, errors and all. Mend them before anybody cooks from it.",
    "last": "This is the last card that worked. The text has changed since, and gives no card.",
    "none": "There is no card yet. Mend what stands above and save: then it appears here.",
}


@dataclass(frozen=True, slots=True)
class Excerpt:
    """A line of the cook's text, its number, and the stretch of it that is meant."""

    number: str
    before: str
    marked: str
    after: str


@dataclass(frozen=True, slots=True)
class Shown:
    """A finding."""

    severity: str
    rule: str
    place: str
    message: str
    help: str
    excerpts: tuple[Excerpt, ...]
    also: tuple[str, ...]
    edit: str


@dataclass(frozen=True, slots=True)
class View:
    """What the template sets, beside the card, the day and the costs."""

    recipe: str
    file: str
    title: str
    count: str
    about: str
    dim: bool
    missing: tuple[str, ...]
    refused: tuple[str, ...]
    findings: tuple[Shown, ...]
    more: str
    no_day: tuple[str, ...]
    makes: str
    times: str
    on: str


def view(look: Look) -> View:
    ordered = sorted(in_order(look.findings), key=lambda one: -one.severity)
    count = _count(look)
    refused = _sentences(look.refused.message, look.refused.help) if look.refused else ()
    if refused and look.batch is not None:
        refused = (*refused, "Until then the card is of the batch as written.")
    return View(
        recipe=harmless(look.recipe),
        file=harmless(look.file),
        title=harmless(f"{look.recipe}: {count}"),
        count=count,
        about=_ABOUT[look.state],
        dim=look.state in ("mistaken", "last"),
        missing=_sentences(look.missing.message, look.missing.help) if look.missing else (),
        refused=refused,
        findings=tuple(_shown(one) for one in ordered[:_MOST]),
        more=f"And {len(ordered) - _MOST} more." if len(ordered) > _MOST else "",
        no_day=_sentences(look.no_day.message, look.no_day.help) if look.no_day else (),
        makes=look.asking.makes,
        times=look.asking.times,
        on=look.asking.on,
    )


def _count(look: Look) -> str:
    """`2 errors, 1 warning`; what is missing comes first, for then nothing else is known."""
    if look.missing is not None:
        return "cannot be read"
    counts = [
        f"{number} {severity.word}{'' if number == 1 else 's'}"
        for severity in sorted(Severity, reverse=True)
        if (number := look.count(severity))
    ]
    return ", ".join(counts) or "no findings"


def _sentences(*texts: str) -> tuple[str, ...]:
    """What is to be typed stands between backticks in a message; here it gets quotation marks."""
    return tuple(re.sub("`([^`]*)`", r"“\1”", harmless(text)) for text in texts if text)


def _shown(finding: Finding) -> Shown:
    line = finding.span.line
    edit = ""
    if finding.edit is not None:
        old, new = _short(finding.edit.span.text), _short(finding.edit.text)
        edit = (
            f"“{old}” becomes “{new}”" if old and new else f"put in “{new}”" if new else f"take out “{old}”"
        )
    return Shown(
        severity=finding.severity.word,
        rule=harmless(finding.rule),
        place=harmless(f"{finding.span.source.name}, line {line}"),
        message=harmless(finding.message),
        help=harmless(finding.help),
        excerpts=(_excerpt(finding.span), *(_excerpt(one.span) for one in finding.also)),
        also=("", *(harmless(_other(finding, one.span, one.note)) for one in finding.also)),
        edit=edit,
    )


def _other(finding: Finding, span: Span, note: str) -> str:
    name = "" if span.source is finding.span.source else f"{span.source.name}: "
    return f"{name}{note}"


def _short(text: str) -> str:
    shown = harmless(text.strip("\n"))
    return shown if len(shown) <= _SHORT else shown[: _SHORT - 1] + "…"


def _excerpt(span: Span) -> Excerpt:
    """The first line of a span, cut to what stands near it."""
    row, column = span.source.position(span.first)
    text = span.source.line(row)
    start = min(column - 1, len(text))
    stop = min(max(start + span.last - span.first, start), len(text))
    before, marked, after = text[:start], text[start:stop], text[stop:]
    before = before if len(before) <= _BEFORE else "…" + before[-_BEFORE:]
    if len(marked) > _AFTER:
        marked, after = marked[:_AFTER] + "…", ""
    after = after if len(after) <= _AFTER else after[:_AFTER] + "…"
    # The mark says where: so columns need not be kept, and more of the line is in sight on a phone.
    return Excerpt(str(row), *(_BLANKS.sub("  ", harmless_in_place(one)) for one in (before, marked, after)))
