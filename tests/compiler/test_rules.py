"""Every rule is explained in whole sentences, raised somewhere, and raised nowhere without being declared."""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import get_args

import pytest

from benchproof.compiler.findings import Severity
from benchproof.compiler.rules import RULES, Family, Rule, find
from benchproof.compiler.source import Place, Source, Span

COMPILER = Path(__file__).resolve().parents[2] / "compiler"
RAISERS = {"find": 0, "Slip": 0, "refuse": 0, "Finding": 0}
"""The calls that make a finding, and which argument is the rule's name."""
HANDED_ON = {"slip.rule", "rule"}
"""First arguments that hand a name on which another call gave: `Finding(slip.rule, ...)`."""

JARGON = re.compile(
    r"\b(?:tokens?|pars(?:e|es|ed|er|ing)|syntax|terminals?|exceptions?|None|null|boolean|string|regex|AST"
    r"|traceback|integer|invalid)\b"
)


def sentences(rule: Rule) -> dict[str, str]:
    return {"meaning": rule.meaning, "why": rule.why, "mend": rule.mend}


# ---------------------------------------------------------------- what is declared


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.name)
def test_a_rule_speaks_in_whole_sentences(rule: Rule) -> None:
    for what, text in sentences(rule).items():
        assert re.match(r"[A-Z`0-9]", text), what
        assert text.endswith("."), what
        assert not text.endswith(".."), what
        assert "  " not in text, what
        assert len(text.split()) > 1, what
        assert text.count("`") % 2 == 0, what


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.name)
def test_a_rule_is_told_to_a_cook(rule: Rule) -> None:
    for text in sentences(rule).values():
        assert not JARGON.search(text), text
    assert len({rule.meaning, rule.why, rule.mend}) == 3, "it says one thing twice"


def test_the_search_for_jargon_finds_some() -> None:
    for word in ("token", "parsing", "syntax", "terminal", "exception", "None"):
        assert JARGON.search(f"A {word} is here.")
    assert not JARGON.search("None".lower() + " of the apparatus")


def test_names_are_words_and_stand_under_their_own_name() -> None:
    for name, rule in RULES.items():
        assert name == rule.name
        assert re.fullmatch(r"[a-z]+(-[a-z0-9]+)*", name), name
        assert rule.family in get_args(Family), name
    assert {rule.family for rule in RULES.values()} == set(get_args(Family))


def test_a_rule_is_shown_or_says_why_not() -> None:
    for rule in RULES.values():
        assert (rule.example is None) == bool(rule.unshown), rule.name
        assert re.fullmatch(r"|[A-Z].*[^.]\.", rule.unshown), rule.name


def test_no_two_rules_mean_the_same() -> None:
    meanings = [rule.meaning for rule in RULES.values()]
    assert len(set(meanings)) == len(meanings)


def test_what_is_about_allergens_is_about_safety() -> None:
    safe = {rule.name for rule in RULES.values() if rule.safety}
    words = {"unknown-allergen", "unknown-food-law"}
    assert words <= safe
    assert {RULES[name].severity for name in words} == {Severity.ERROR}


def test_a_finding_takes_its_severity_from_its_rule() -> None:
    span = Span(Place(Source("recipe Tide bread\n"), 0), 0, 6)
    assert find("price-stale", span, "Old.").severity is RULES["price-stale"].severity
    assert find("price-stale", span, "Old.", severity=Severity.HINT).severity is Severity.HINT
    with pytest.raises(KeyError):
        find("nobody-declared-this", span, "Odd.")


# ---------------------------------------------------------------- what is raised


@dataclass(frozen=True)
class Raised:
    """One call that makes a finding: the rule names its argument can be, and the call."""

    names: frozenset[str]
    call: ast.Call
    where: str


def called(call: ast.Call) -> str:
    """`find` of `find(...)`, but not of `vocabulary.find(...)`: none of ours is a method."""
    return call.func.id if isinstance(call.func, ast.Name) else ""


def spellings(node: ast.expr, scope: ast.AST) -> set[str] | None:
    """Every text an expression can be: written out, chosen between two, or joined. None where that is unknown."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return {node.value}
    if isinstance(node, ast.IfExp):
        one, other = spellings(node.body, scope), spellings(node.orelse, scope)
        return one | other if one is not None and other is not None else None
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        left, right = spellings(node.left, scope), spellings(node.right, scope)
        return {a + b for a in left for b in right} if left is not None and right is not None else None
    if isinstance(node, ast.Name):
        given = [
            part.value
            for part in ast.walk(scope)
            if isinstance(part, ast.Assign)
            and any(isinstance(target, ast.Name) and target.id == node.id for target in part.targets)
        ]
        found = [spellings(value, scope) for value in given]
        if found and all(one is not None for one in found):
            return set().union(*(one for one in found if one is not None))
    return None


def functions(tree: ast.Module) -> Iterator[ast.FunctionDef]:
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def in_source(text: str, where: str) -> tuple[list[Raised], list[str]]:
    """What a module raises, and the calls whose rule cannot be told.

    A function that hands its parameter `rule` on is a raiser too: its callers' argument counts.
    """
    tree = ast.parse(text)
    raised: list[Raised] = []
    unclear: list[str] = []
    handing: dict[str, int] = {}
    for function in functions(tree):
        parameters = [arg.arg for arg in function.args.args]
        for call in ast.walk(function):
            if not isinstance(call, ast.Call) or called(call) not in RAISERS or not call.args:
                continue
            first = call.args[RAISERS[called(call)]]
            names = spellings(first, function)
            written = ast.unparse(first)
            if names is not None:
                raised.append(Raised(frozenset(names), call, f"{where}:{call.lineno}"))
            elif isinstance(first, ast.Name) and first.id in parameters:
                handing[function.name] = parameters.index(first.id) - (parameters[0] == "self")
            elif written not in HANDED_ON:
                unclear.append(f"{where}:{call.lineno}: {written}")
    for call in ast.walk(tree):
        if not isinstance(call, ast.Call):
            continue
        name = call.func.attr if isinstance(call.func, ast.Attribute) else called(call)
        if name in handing and name not in RAISERS and len(call.args) > handing[name]:
            names = spellings(call.args[handing[name]], tree)
            if names is None:
                unclear.append(f"{where}:{call.lineno}: {ast.unparse(call)[:60]}")
            else:
                raised.append(Raised(frozenset(names), call, f"{where}:{call.lineno}"))
    return raised, unclear


def in_compiler() -> tuple[list[Raised], list[str]]:
    raised: list[Raised] = []
    unclear: list[str] = []
    for path in sorted(COMPILER.rglob("*.py")):
        more, doubts = in_source(path.read_text(encoding="utf-8"), path.relative_to(COMPILER).as_posix())
        raised += more
        unclear += doubts
    return raised, unclear


def test_the_search_finds_every_way_of_raising() -> None:
    text = """
def plain(): yield find("a-rule", span, "m")
def either(x): raise refuse("b-rule" if x else "c-rule", 0, 1, "m")
def joined(x):
    rule = "d-" + ("rule" if x else "law")
    return Slip(rule, 0, 1, "m")
def handed(self, label, rule): raise refuse(rule, 0, 1, "m")
def hands(self): self.handed("label", "e-rule")
def not_ours(words): words.find("f-rule")
def doubtful(x): find(x.name, span, "m")
"""
    raised, unclear = in_source(text, "here")
    assert {name for one in raised for name in one.names} == {
        "a-rule",
        "b-rule",
        "c-rule",
        "d-rule",
        "d-law",
        "e-rule",
    }
    assert unclear == ["here:10: x.name"]


def test_every_rule_raised_is_declared_and_every_rule_declared_is_raised() -> None:
    raised, unclear = in_compiler()
    assert unclear == [], "the search cannot tell these rules' names"
    names = {name for one in raised for name in one.names}
    assert names - set(RULES) == set(), "raised, but not declared"
    assert set(RULES) - names == set(), "declared, but never raised"


def test_a_slip_is_as_loud_as_its_rule() -> None:
    """A Slip carries a severity of its own: it must be the declared one."""
    raised, _ = in_compiler()
    slips = [one for one in raised if called(one.call) in ("Slip", "refuse")]
    assert slips
    for one in slips:
        given = [
            part.attr
            for argument in (*one.call.args, *(keyword.value for keyword in one.call.keywords))
            for part in ast.walk(argument)
            if isinstance(part, ast.Attribute)
            and isinstance(part.value, ast.Name)
            and part.value.id == "Severity"
        ]
        level = Severity[given[0]] if given else Severity.ERROR
        assert {RULES[name].severity for name in one.names} == {level}, one.where
