"""The TextMate grammar, as JSON: for VS Code and whatever else reads such grammars.

Scopes follow the naming conventions of TextMate's manual, so that any theme has a colour for them.
"""

from __future__ import annotations

import json
from typing import Any, Final

from benchproof.grammar.editors.highlighting import KINDS, PASS_WORD, Context, Paint, Region, contexts

FILE: Final = "vscode/bench.tmLanguage.json"
"""Where it is kept, from this folder. A test says when it is not what `text` makes."""


def _scope(kind: str) -> str:
    return f"{KINDS[kind].scope}.bench"


def _captures(kinds: tuple[str | None, ...]) -> dict[str, Any]:
    return {str(number): {"name": _scope(kind)} for number, kind in enumerate(kinds, 1) if kind}


def _pattern(rule: Paint | Region) -> dict[str, Any]:
    if isinstance(rule, Paint):
        made: dict[str, Any] = {"match": rule.pattern, "captures": _captures(rule.kinds)}
    else:
        fill = contexts()[rule.context].fill
        made = {
            "name": f"{rule.scope}.bench" if rule.scope else "",
            "contentName": _scope(fill) if fill else "",
            "begin": rule.begin,
            "beginCaptures": _captures(rule.kinds),
            "end": rule.end,
            "endCaptures": _captures(rule.end_kinds),
            "patterns": [{"include": f"#{rule.context}"}],
        }
    return {key: value for key, value in made.items() if value}


def _patterns(context: Context) -> list[dict[str, Any]]:
    return [*map(_pattern, context.rules), {"match": PASS_WORD}]


def grammar() -> dict[str, Any]:
    """The grammar as a tree of plain values."""
    return {
        "name": "Bench",
        "scopeName": "source.bench",
        "fileTypes": ["bench"],
        "patterns": [{"include": "#bench"}],
        "repository": {name: {"patterns": _patterns(context)} for name, context in contexts().items()},
    }


def text() -> str:
    """The file's text."""
    return json.dumps(grammar(), ensure_ascii=False, indent=2) + "\n"
