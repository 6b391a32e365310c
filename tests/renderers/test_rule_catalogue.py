"""The rules told to a cook, and `grammar/rules.md`, which is made from them.

`WRITE_GOLDEN=1 pytest tests/renderers/test_rule_catalogue.py` makes the page anew: then read the difference.
"""

import os
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest

from benchproof.compiler.catalogue import Shown, catalogue, shown
from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Family
from benchproof.compiler.rules import RULES
from benchproof.renderers.rule_catalogue import FAMILIES, catalogue_markdown, explained

PAGE = Path(__file__).resolve().parents[2] / "grammar" / "rules.md"
CATALOGUE = catalogue()
MARKDOWN = catalogue_markdown(CATALOGUE)
COMMA = shown(RULES["decimal-comma"])


def section(name: str, page: str = MARKDOWN) -> str:
    """A rule's own piece of the page."""
    found = re.search(rf"^### {name}\n\n(.*?)(?=\n\n##|\n\Z)", page, re.MULTILINE | re.DOTALL)
    assert found, name
    return found.group(1)


# ---------------------------------------------------------------- the page


def test_the_page_is_what_the_rules_say() -> None:
    if os.environ.get("WRITE_GOLDEN"):
        PAGE.write_text(MARKDOWN, encoding="utf-8")
    assert PAGE.read_text(encoding="utf-8") == MARKDOWN


def test_every_rule_stands_on_it_once_and_is_listed_at_its_head() -> None:
    assert Counter(re.findall(r"^### (.*)$", MARKDOWN, re.MULTILINE)) == Counter(list(RULES))
    head = MARKDOWN[: MARKDOWN.index("\n## ")]
    assert Counter(re.findall(r"\[([a-z0-9-]+)\]\(#\1\)", head)) == Counter(list(RULES))


def test_every_family_has_a_title_and_its_rules_below_it() -> None:
    assert set(FAMILIES) == set(get_args(Family))
    for piece in re.split(r"^## ", MARKDOWN, flags=re.MULTILINE)[1:]:
        title = piece.partition("\n")[0]
        (family,) = (name for name, (shown_as, _) in FAMILIES.items() if shown_as == title)
        names = re.findall(r"^### (.*)$", piece, re.MULTILINE)
        assert names == sorted(rule.name for rule in RULES.values() if rule.family == family)


def test_its_links_lead_somewhere() -> None:
    headings = re.findall(r"^#+ (.*)$", MARKDOWN, re.MULTILINE)
    anchors = [heading.lower().replace(" ", "-") for heading in headings]
    assert len(set(anchors)) == len(anchors)
    assert set(re.findall(r"\]\(#([^)]+)\)", MARKDOWN)) <= set(anchors)
    manual = PAGE.with_name("reference.md").read_text(encoding="utf-8")
    for anchor in re.findall(r"\]\(reference\.md#([^)]+)\)", MARKDOWN):
        assert f"\n## {anchor.capitalize()}\n" in manual


def test_every_fence_is_closed_and_shows_what_changes() -> None:
    fences = re.findall(r"^```(.*)\n((?:(?!```).*\n)*)```$", MARKDOWN, re.MULTILINE)
    assert len(fences) == sum(bool(one.rows) for one in CATALOGUE)
    assert MARKDOWN.count("\n```") == 2 * len(fences)
    for kind, lines in fences:
        assert kind == "diff"
        assert re.search(r"^[-+]", lines, re.MULTILINE)
        assert all(re.match(r"[-+ ]( |$)|$", line) for line in lines.splitlines())


@pytest.mark.parametrize("one", [one for one in CATALOGUE if one.rows], ids=lambda one: one.rule.name)
def test_a_wrong_line_and_the_right_one_do_not_look_the_same(one: Shown) -> None:
    """Neither a blank that differs nor a cut at the end of the line may hide what was changed."""
    lines = re.findall(r"^([-+]) ?(.*)$", section(one.rule.name), re.MULTILINE)
    assert [text for mark, text in lines if mark == "-"] != [text for mark, text in lines if mark == "+"]


def test_a_rule_on_the_page() -> None:
    assert section("decimal-comma") == (
        "**Error.** A comma stands between two digits. A comma adds a detail here, so half of the number would be "
        "lost.\n\n"
        "**What to do:** Write a point: `2.2 %`.\n\n"
        "```diff\n"
        "  ingredients\n"
        "-   carrot:     0,6 kg\n"
        "+   carrot:     0.6 kg\n"
        "```\n\n"
        "> `0,6` has a comma between its digits: a comma here adds a detail. Write `0.6`."
    )


def test_a_rule_about_safety_says_so() -> None:
    text = section("unknown-allergen")
    assert text.startswith("**Error, about safety.** ")
    assert "no kitchen can turn it off" in text
    assert "turn it off" not in section("decimal-comma")


def test_what_is_meant_as_text_is_not_read_as_markdown() -> None:
    odd = replace(COMMA.rule, meaning="A *star*, <b> and `a *star* <b>`.", source="Table_1 [a](b)")
    text = section("decimal-comma", catalogue_markdown([Shown(odd)]))
    assert "A \\*star\\*, \\<b\\> and `a *star* <b>`." in text
    assert text.endswith("Source: Table\\_1 \\[a\\](b)")


def test_a_message_says_its_line_where_that_is_not_the_wrong_one() -> None:
    text = "recipe Rice\n  serves:  3\n  serves:  4\n"
    first = Example(text, "  serves:  3\n", "")
    rule = replace(RULES["label-twice"], example=first)
    assert "> At `serves:  4`: `serves` is said twice" in catalogue_markdown([shown(rule)])
    rule = replace(rule, example=Example(text, "  serves:  4\n", ""))
    assert "> `serves` is said twice" in catalogue_markdown([shown(rule)])


def test_a_finding_louder_than_its_rule_says_how_loud() -> None:
    rule = replace(COMMA.rule, severity=Severity.WARNING)
    assert "> (error) `0,6` has" in catalogue_markdown([shown(rule)])


# ---------------------------------------------------------------- a terminal


@pytest.mark.parametrize("one", CATALOGUE, ids=lambda one: one.rule.name)
def test_every_rule_is_explained(one: Shown) -> None:
    text = explained(one, width=None)
    rule = one.rule
    head = f"{rule.name}  ({rule.severity.word}, about {rule.family})\n"
    assert text.startswith(head)
    for said in (rule.meaning, f"Why it matters: {rule.why}", f"What to do: {rule.mend}"):
        assert f"\n{said}\n" in text
    assert ("no kitchen can turn it off" in text) is rule.safety
    assert (f"Source: {rule.source}" in text) is bool(rule.source)
    assert "\x1b" not in text
    for finding in one.found:
        assert f"error: {rule.name}\n" in text or f"{finding.severity.word}: {rule.name}\n" in text


def test_a_rule_on_a_terminal() -> None:
    assert explained(COMMA) == (
        "decimal-comma  (error, about writing)\n\n"
        "A comma stands between two digits.\n\n"
        "Why it matters: A comma adds a detail here, so half of the number would be lost.\n\n"
        "What to do: Write a point: `2.2 %`.\n\n"
        "For example (- is wrong, + is right):\n\n"
        "    ingredients\n"
        "  -   carrot:     0,6 kg\n"
        "  +   carrot:     0.6 kg\n\n"
        "`benchproof check` says of it:\n\n"
        "example.bench:5:15: error: decimal-comma\n"
        "  `0,6` has a comma between its digits: a comma here adds a detail.\n\n"
        "    5     carrot:     0,6 kg\n"
        "                      ^^^\n"
        "  What to do: Write `0.6`.\n"
        "  Safe to mend: `0,6` becomes `0.6`.\n"
    )


def test_colour_only_underlines_what_the_words_say() -> None:
    coloured = explained(COMMA, colour=True)
    assert coloured != explained(COMMA)
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == explained(COMMA)


def test_prose_is_folded_to_the_width() -> None:
    bare = Shown(COMMA.rule)
    assert max(map(len, explained(bare, width=40).splitlines())) <= 40


def test_a_rule_without_an_example_is_explained_in_words() -> None:
    assert "example" not in explained(Shown(COMMA.rule))
