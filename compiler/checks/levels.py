"""Waivers in a recipe, and a kitchen's own levels: which findings are kept, and how loud."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import Kitchen, Recipe
from benchproof.compiler.rules import RULES, find
from benchproof.compiler.suggest import nearest
from benchproof.compiler.syntax import Entry, Name, Waiver, Words

_LEVELS: Final = {"hint": Severity.HINT, "warning": Severity.WARNING, "error": Severity.ERROR}


_GUARDS: Final = frozenset({"cannot-be-silenced", "unknown-rule", "waiver-unused"})


@dataclass(slots=True)
class _Waive:
    recipe: Recipe
    waiver: Waiver
    used: bool = False


def apply(kitchen: Kitchen, findings: list[Finding], *, only: Recipe | None = None) -> list[Finding]:
    """The findings that are left, with what is wrong about the waivers themselves.

    `only` looks at one recipe's waivers, for findings that are about it alone.
    """
    waives = [waive for waive in _waives(kitchen) if only is None or waive.recipe is only]
    kept = [finding for finding in findings if not _waived(finding, waives)]
    for waive in waives:
        rule = waive.waiver.rule
        if rule.key not in RULES:
            kept.append(_unknown(rule))
        elif RULES[rule.key].family == "writing":
            kept.append(
                find(
                    "waiver-unused",
                    waive.waiver.span,
                    f"`{rule.text}` cannot be waived: a line that could not be read stays unread.",
                    "Take the line out, and mend what the finding is about.",
                )
            )
        elif not waive.used:
            kept.append(
                find(
                    "waiver-unused",
                    waive.waiver.span,
                    f"There is no `{rule.text}` in this recipe to waive.",
                    "Take the line out.",
                )
            )
    return list(_levelled(kitchen, kept))


def _waives(kitchen: Kitchen) -> Iterator[_Waive]:
    for recipe in kitchen.own_recipes():
        for entry in recipe.block.entries():
            if isinstance(entry.value, Waiver):
                yield _Waive(recipe, entry.value)


def _waived(finding: Finding, waives: list[_Waive]) -> bool:
    rule = RULES.get(finding.rule)
    if rule is None or rule.family == "writing":
        return False  # what could not be read cannot be waived
    hidden = False
    for waive in waives:
        if waive.waiver.rule.key == finding.rule and _inside(finding, waive.recipe):
            waive.used = hidden = True
    return hidden


def _inside(finding: Finding, recipe: Recipe) -> bool:
    return any(
        finding.span.source is block.place.source and block.span.first <= finding.span.first < block.span.last
        for block in recipe.blocks
    )


def _unknown(name: Name) -> Finding:
    near = nearest(name.text, RULES)
    return find(
        "unknown-rule",
        name.span,
        f"No check is called “{name.text}”.",
        f"Did you mean `{near[0]}`?" if near else "Use the name that the finding prints.",
    )


def _levelled(kitchen: Kitchen, findings: list[Finding]) -> Iterator[Finding]:
    levels: dict[str, str] = {}
    for entry in kitchen.severities:
        problem = _level(entry, levels)
        if problem is not None:
            findings.append(problem)
    for finding in findings:
        level = levels.get(finding.rule)
        if level == "off":
            continue
        if level not in _LEVELS or finding.severity > RULES[finding.rule].severity >= _LEVELS[level]:
            yield finding  # as it is; what is louder than its rule is not played down with it
        else:
            yield replace(finding, severity=_LEVELS[level])


def _level(entry: Entry, levels: dict[str, str]) -> Finding | None:
    rule = RULES.get(entry.label.key)
    if rule is None:
        return _unknown(entry.label)
    if not isinstance(entry.value, Words):
        return None
    word = entry.value.text
    quieter = word == "off" or (word in _LEVELS and _LEVELS[word] < rule.severity)
    guard = rule.name in _GUARDS
    if quieter and (guard or rule.safety or rule.family == "writing"):
        reason = (
            "it is about safety"
            if rule.safety
            else "it watches the levels and waivers themselves"
            if guard
            else "a line that is not read stays unread"
        )
        return find(
            "cannot-be-silenced",
            entry.span,
            f"`{rule.name}` cannot be set to {word}: {reason}.",
            "Take the line out"
            + (f", or write `waive: {rule.name} because …` in the recipe." if rule.safety else "."),
        )
    levels[rule.name] = word
    return None
