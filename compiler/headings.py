"""Headings: the line that opens a block, from its first word to the tree's heading."""

from __future__ import annotations

import re
from dataclasses import dataclass

from benchproof.compiler.block_text import BlockText, moved
from benchproof.compiler.blocks import RawBlock, RawLine, colon_at
from benchproof.compiler.dates import date_slip, read_date
from benchproof.compiler.facts import not_a_fact
from benchproof.compiler.labels import EXAMPLE_HEADINGS, VOCABULARY
from benchproof.compiler.lark_tree import Node, try_parse
from benchproof.compiler.parser_messages import Refused, Slip, known_slip, refuse, shortened
from benchproof.compiler.source import Span
from benchproof.compiler.suggest import nearest, one_of
from benchproof.compiler.syntax import (
    BlockKind,
    DatedHeading,
    Heading,
    IngredientsHeading,
    Name,
    NamedHeading,
    PlainHeading,
    PrefermentHeading,
    PricesHeading,
    StepHeading,
)


@dataclass(frozen=True, slots=True)
class _Line:
    """A heading of a known kind: the span of all of it, and `a` to `b`, what follows its first word."""

    block: BlockText
    kind: BlockKind
    span: Span
    a: int
    b: int

    @property
    def example(self) -> str:
        return EXAMPLE_HEADINGS[self.kind]

    @property
    def rest(self) -> str:
        return self.block.clean[self.a : self.b]


def read_heading(block: BlockText, raw: RawBlock) -> Heading | None:
    """The heading of a block that has one. None where it is not understood; the block's findings then say why."""
    assert raw.heading is not None
    assert raw.word is not None
    start, end = raw.word
    word = block.clean[start:end]
    bare = word.removesuffix(":")
    kind = raw.kind
    if kind is None:
        _unknown(block, raw.heading, word)
        return None
    if bare.casefold() != kind:
        block.say(
            Slip(
                "unknown-heading",
                start,
                end,
                f"`{word}` opens no block; read as `{kind}`.",
                f"Did you mean `{kind}`?",
                kind,
            )
        )
        return None
    if bare != kind:
        block.say(
            Slip(
                "heading-capital",
                start,
                end,
                f"`{word}` has a capital: headings are in lower case, so that a name may begin with one.",
                f"Write `{kind}`.",
                kind,
            )
        )
    elif word != bare:
        block.say(
            Slip(
                "heading-colon",
                start,
                end,
                f"`{word}` ends in a colon: a heading takes none, only labels do.",
                f"Write `{kind}`.",
                kind,
            )
        )
    a, b = block.trim(end, raw.heading.end)
    try:
        return _rest(_Line(block, kind, block.span(raw.heading.start, raw.heading.end), a, b))
    except Refused as refused:
        block.say_refused(refused)
        return None


def _unknown(block: BlockText, raw: RawLine, word: str) -> None:
    near = nearest(word.removesuffix(":"), VOCABULARY)
    if near:
        help = f"Did you mean {one_of(near)}?"
    elif colon_at(block.clean[raw.start : raw.end]) >= 0:
        help = f"Put it under a heading, indented by two spaces. Headings begin with {one_of(VOCABULARY)}."
    else:
        help = f"A heading begins with {one_of(VOCABULARY)}. What belongs to the block above is indented."
    block.say(
        Slip(
            "unknown-heading",
            raw.start,
            raw.end,
            f"`{shortened(word)}` opens no block, so nothing under it is read.",
            help,
        )
    )


def _rest(line: _Line) -> Heading:
    kind, span, rest = line.kind, line.span, line.rest
    line.block.not_too_long(line.a, line.b)
    if kind in ("equipment", "expect", "checks"):
        if rest:
            raise refuse(
                "heading-extra",
                line.a,
                line.b,
                f"`{kind}` stands alone on its line; `{shortened(rest)}` is too much.",
                f"Write `{kind}`, and the lines that belong to it under it, indented.",
            )
        return PlainHeading(span)
    if kind == "ingredients":
        if not rest:
            return IngredientsHeading(None, span)
        match = re.match(r"for +(?:the +)?(?=[^ ])", rest)
        if match is None or rest == "for the":
            raise refuse(
                "heading-extra",
                line.a,
                line.b,
                f"`ingredients` is followed by nothing, or by `for` and a part; `{shortened(rest)}` is neither.",
                f"Write `ingredients`, or `{line.example}`.",
            )
        return IngredientsHeading(_plain_name(line.block, line.a + match.end(), line.b, "part"), span)
    if not rest:
        extra = " For a list of them the heading is `ingredients`." if kind == "ingredient" else ""
        raise refuse(
            "heading-incomplete",
            span.start,
            span.end,
            f"`{kind}` wants more on its line.",
            f"Write it as `{line.example}`.{extra}",
        )
    if kind in ("kitchen", "recipe", "style"):
        return NamedHeading(line.block.name(line.a, line.b), span)
    if kind in ("ingredient", "soaker"):
        return NamedHeading(_plain_name(line.block, line.a, line.b, kind), span)
    if kind == "step":
        return _step(line)
    if kind == "preferment":
        return _preferment(line)
    if kind == "prices":
        return _prices(line)
    return _dated(line)


def _dated(line: _Line) -> DatedHeading:
    lead = {"trial": "", "cupboard": "on ", "week": "of "}[line.kind]
    start = {"trial": "h_date", "cupboard": "h_on_date", "week": "h_of_date"}[line.kind]
    node = try_parse(line.block, start, line.a, line.b)
    if node is None:
        raise Refused(_no_date(line, lead))
    return DatedHeading(read_date(line.block, node.token("DATE")), line.span)


def _no_date(line: _Line, lead: str) -> Slip:
    kind, rest, a, b = line.kind, line.rest, line.a, line.b
    found = re.match(r"(?:on |of |at |from |for )? *([0-9]{4}-[0-9]{2}-[0-9]{2})$", rest)
    if found:
        mended = lead + found.group(1)
        return Slip(
            "heading-form", a, b, f"`{kind} {rest}` is nearly it.", f"Write `{kind} {mended}`.", mended
        )
    if slip := date_slip(rest, a):
        return slip
    return Slip(
        "heading-incomplete",
        a,
        b,
        f"`{kind}` is followed by a date; `{shortened(rest)}` is none.",
        f"Write it as `{line.example}`.",
    )


def _plain_name(block: BlockText, a: int, b: int, what: str) -> Name:
    """A name that may hold no comma and no bracket, because it is used where those end it."""
    a, b = block.trim(a, b)
    found = re.search(r"[,\[\]]", block.clean[a:b])
    if found:
        raise refuse(
            "name-comma" if found.group() == "," else "name-bracket",
            a + found.start(),
            a + found.end(),
            f"The name of {'an' if what[0] in 'aeiou' else 'a'} {what} holds no `{found.group()}`: "
            "it could not be written in a fact.",
            "Leave it out of the name.",
        )
    name = block.name(a, b)
    not_a_fact(block, name, what)
    return name


def _step(line: _Line) -> StepHeading:
    block = line.block
    node = try_parse(block, "h_step", line.a, line.b)
    if node is None:
        raise refuse(
            "heading-incomplete",
            line.span.start,
            line.span.end,
            "The name of this step, or what follows `for`, `after` or `during`, is missing.",
            f"Write it as `{line.example}`.",
        )
    parts: dict[str, Name] = {}
    for clause in node.children:
        if not isinstance(clause, Node):
            continue
        if clause.rule in parts:
            word = {"in_part": "for"}.get(clause.rule, clause.rule)
            raise refuse(
                "clause-twice",
                clause.start,
                clause.end,
                f"This step has two clauses with `{word}`.",
                "Put all names after one: `, after Wake the yeast and Dry side`.",
            )
        parts[clause.rule] = clause.name_of(clause.token("STEP_NAME"))
    first = node.token("STEP_NAME")
    if found := re.search(r", *(for|after|during)$", line.rest):
        raise refuse(
            "heading-incomplete",
            line.a + found.start(),
            line.b,
            f"Nothing follows `{found.group(1)}`.",
            f"Write it as `{line.example}`.",
        )
    name = _plain_name(block, first.start, first.end, "step")
    return StepHeading(name, parts.get("in_part"), parts.get("after"), parts.get("during"), line.span)


def _preferment(line: _Line) -> PrefermentHeading:
    rest = line.rest
    node = try_parse(line.block, "h_preferment", line.a, line.b)
    if node is None:
        comma = re.search(r",(?![0-9])|, ", rest)
        slip = known_slip(rest[comma.end() :].strip(), "percent") if comma else None
        if slip and comma:
            raise Refused(moved(slip, line.a + len(rest) - len(rest[comma.end() :].lstrip())))
        raise refuse(
            "heading-incomplete",
            line.span.start,
            line.span.end,
            "A preferment's heading says its name and how much of the flour it takes.",
            f"Write it as `{line.example}`.",
        )
    first, last = node.tokens("NAME")
    share = node.numeric("a preferment takes one share of the flour")
    return PrefermentHeading(node.name_of(first), share, node.name_of(last), line.span)


def _prices(line: _Line) -> PricesHeading:
    rest = line.rest
    node = try_parse(line.block, "h_prices", line.a, line.b)
    if node is None:
        if slip := date_slip(rest, line.a):
            raise Refused(slip)
        if found := re.search(r"[0-9]{4}-[0-9]{2}-[0-9]{2} +(.+)$", rest):
            raise refuse(
                "heading-extra",
                line.a + found.start(1),
                line.b,
                f"`{shortened(found.group(1))}` after the date is not understood.",
                "A currency is three capital letters after `in`: `prices at Quay Mill on 2026-11-02 in EUR`.",
            )
        raise refuse(
            "heading-incomplete",
            line.span.start,
            line.span.end,
            "A price list says at which shop and on which day.",
            f"Write it as `{line.example}`.",
        )
    currency = node.find("CURRENCY")
    return PricesHeading(
        node.name_of(node.token("SHOP")),
        read_date(line.block, node.token("DATE")),
        node.name_of(currency) if currency else None,
        line.span,
    )
