"""Every rule by its name, and how a Finding of one is made.

A Finding is made through `find`, which takes its severity from the declaration, so that no finding exists that
`benchproof explain` cannot explain.
"""

from __future__ import annotations

from benchproof.compiler.findings import Also, Edit, Finding, Severity
from benchproof.compiler.rule import Family, Rule
from benchproof.compiler.rulebook import (
    expectations,
    food_law,
    formula,
    harm,
    heat,
    measures,
    method,
    names,
    notebook,
    prices,
    ratios,
    time,
    weighing,
    writing,
    yields,
)
from benchproof.compiler.source import Span

__all__ = ["RULES", "Family", "Rule", "declare", "find"]

RULES: dict[str, Rule] = {}


def declare(rule: Rule) -> None:
    """Add a rule. Raises ValueError where its name is taken."""
    if rule.name in RULES:
        raise ValueError(f"a rule called {rule.name} is there already")
    RULES[rule.name] = rule


def find(
    rule: str,
    span: Span,
    message: str,
    help: str = "",
    *,
    also: tuple[Also, ...] = (),
    edit: Edit | None = None,
    severity: Severity | None = None,
) -> Finding:
    """A finding of a declared rule. `severity` only where the rule itself is milder or harder by case.

    Raises KeyError for a rule nobody declared: a fault of ours, not of the text.
    """
    return Finding(rule, severity or RULES[rule].severity, span, _sentence(message), _typed(help), also, edit)


def _sentence(text: str) -> str:
    """A message begins with a capital, whatever name it begins with."""
    return _typed(text[:1].upper() + text[1:])


def _typed(text: str) -> str:
    """With plain blanks: what a message shows may be copied into the text, which takes no other."""
    return text.translate(_PLAIN_BLANKS)


_PLAIN_BLANKS = str.maketrans(dict.fromkeys("\u00a0\u2009\u202f", " "))

for _family in (
    names,
    formula,
    yields,
    ratios,
    method,
    time,
    heat,
    harm,
    weighing,
    measures,
    prices,
    food_law,
    expectations,
    notebook,
    writing,
):
    for _rule in _family.RULES:
        declare(_rule)
