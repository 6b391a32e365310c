"""The TextMate grammar in the repository is the one that the table makes. `WRITE_GOLDEN=1 pytest` renews it.

That VS Code's own reader takes it as we mean it is seen in `tests/outside/test_textmate_scopes.py`.
"""

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from benchproof.grammar.editors import textmate

KEPT = Path(__file__).parents[2] / "grammar" / "editors" / textmate.FILE


def patterns(tree: Any) -> Iterator[dict[str, Any]]:
    for pattern in tree.get("patterns", []):
        yield pattern
        yield from patterns(pattern)
    for entry in tree.get("repository", {}).values():
        yield from patterns(entry)


def test_the_grammar_kept_is_the_one_made() -> None:
    if os.environ.get("WRITE_GOLDEN"):
        KEPT.write_text(textmate.text(), encoding="utf-8")
    assert KEPT.read_text(encoding="utf-8") == textmate.text()


def test_every_include_is_in_the_repository() -> None:
    grammar = json.loads(textmate.text())
    included = {one["include"] for one in patterns(grammar) if "include" in one}
    assert included == {f"#{name}" for name in grammar["repository"]}


def test_scopes_follow_the_conventions() -> None:
    """TextMate's manual names eleven groups that themes colour; the language's name comes last."""
    groups = [
        "comment",
        "constant",
        "entity",
        "invalid",
        "keyword",
        "markup",
        "meta",
        "storage",
        "string",
        "support",
        "variable",
    ]
    named = set()
    for one in patterns(json.loads(textmate.text())):
        named |= {one[key] for key in ("name", "contentName") if key in one}
        for key in ("captures", "beginCaptures", "endCaptures"):
            named |= {capture["name"] for capture in one.get(key, {}).values()}
    assert len(named) > 20
    for scope in named:
        parts = scope.split(".")
        assert parts[0] in [*groups, "punctuation"], scope
        assert parts[-1] == "bench", scope
