"""What is what in a Bench text, said once for all editors: kinds of text, and the patterns that find them.

The words come from the compiler's own tables: headings and labels from `labels.VOCABULARY`, units from
`quantities.UNITS`, and every other word from the terminals of `bench.lark`. `textmate` and `pygments_lexer` turn
this into what their editors read. All patterns work on one line at a time, and mean the same to Python's `re` and
to Oniguruma. A `Context` is matched from left to right: the first of its rules that matches at a place wins, a word
that none of them knows is passed whole, and so is any other character.

Only colours are decided here. Whether a text is right is for the compiler to say.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final, TypeAlias

from benchproof.compiler.blocks import SPECIAL_BLANK
from benchproof.compiler.labels import LEVELS, VOCABULARY, Label, ValueRule
from benchproof.compiler.quantities import SYSTEMS, UNITS
from benchproof.compiler.syntax import BlockKind

# ---------------------------------------------------------------- kinds of text


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of text. `scope`: its name by the TextMate conventions, without `.bench`. `token`: its Pygments type."""

    name: str
    scope: str
    token: str


# Pygments' types are chosen for how its usual styles show them, light and dark: the language's own small words are
# quiet, and never the colour of the names among them.
KINDS: Final[Mapping[str, Kind]] = MappingProxyType(
    {
        name: Kind(name, scope, token)
        for name, scope, token in (
            ("heading", "keyword.control.heading", "Keyword.Declaration"),
            ("title", "entity.name.section", "Name.Class"),
            ("label", "entity.name.tag.label", "Name.Attribute"),
            ("name", "variable.other.name", "Name.Variable"),
            ("rule", "support.constant.rule", "Name.Decorator"),
            ("joining", "keyword.other.joining", "Keyword.Type"),
            ("number", "constant.numeric", "Number"),
            ("date", "constant.numeric.date", "Number"),
            ("unit", "keyword.other.unit", "Keyword.Type"),
            ("system", "storage.modifier.system", "Keyword.Type"),
            ("operator", "keyword.operator", "Operator"),
            ("word", "keyword.other.word", "Keyword.Type"),
            ("share", "storage.modifier.share", "Keyword.Type"),
            ("limit", "storage.modifier.limit", "Keyword.Type"),
            ("hands", "storage.modifier.hands", "Name.Decorator"),
            ("load", "keyword.other.load", "Keyword.Type"),
            ("place", "support.constant.place", "Name.Builtin"),
            ("constant", "constant.language", "Keyword.Constant"),
            ("text", "string.unquoted", "String"),
            ("detail", "string.unquoted.detail", "String"),
            ("escape", "constant.character.escape", "String.Escape"),
            ("open", "punctuation.definition.fact.begin", "Punctuation"),
            ("close", "punctuation.definition.fact.end", "Punctuation"),
            ("colon", "punctuation.separator.key-value", "Punctuation"),
            ("comma", "punctuation.separator.sequence", "Punctuation"),
            ("comment", "comment.line.number-sign", "Comment.Single"),
            ("wrong", "invalid.illegal", "Error"),
        )
    }
)

TERMINALS: Final[Mapping[str, str]] = MappingProxyType(
    {
        terminal: kind
        for kind, terminals in {
            "number": "NUM",
            "date": "DATE",
            "unit": "MASS VOL TIME LEN TEMP ENERGY PCT",
            "system": "SYS",
            "operator": "X DASH PER",
            "comma": "COMMA",
            "joining": "TO TO_TEMP OF FOR ON AT BECAUSE IN WITHIN C_FOR C_AFTER C_DURING FOR_PART",
            "word": "BAKED AS_BOUGHT AND_TO_TASTE TO_TASTE TIMES PARTS FREE ROUND SQUARE DEEP",
            "limit": "LIMIT BOUND",
            "hands": "HANDS",
            "place": "FAN PLACE PLACE_AT",
            "load": "EVERY AT_A_TIME PIECES THE_PIECES EACH_PIECE EACH",
            "share": "HALF PORTION REST_OF ALL ALL_BUT",
            "constant": "CURRENCY",
            "rule": "RULE",
            "title": "SHOP STEP_NAME",
            "name": "NAME",
            "detail": "DETAIL",
            "text": "WORDS PLACE_WORDS REST",
        }.items()
        for terminal in terminals.split()
    }
)
"""Every terminal of the grammar, and the kind of text it is."""

_FREE: Final = frozenset(
    [
        "CURRENCY",
        "RULE",
        "SHOP",
        "STEP_NAME",
        "NAME",
        "DETAIL",
        "WORDS",
        "PLACE_WORDS",
        "REST",
        "FOR_PART",
        "C_FOR",
        "C_AFTER",
        "C_DURING",
    ]
)
"""Terminals that take any words: where one may stand, a context has its own rule for it."""
_NUMERIC: Final = frozenset(
    ["NUM", "MASS", "VOL", "TIME", "LEN", "TEMP", "ENERGY", "PCT", "SYS", "PER", "DASH"]
)
_UNIT_TERMINALS: Final = MappingProxyType(
    {
        "MASS": "mass",
        "VOL": "volume",
        "TIME": "time",
        "LEN": "length",
        "TEMP": "temperature",
        "ENERGY": "energy",
    }
)

VALUES: Final[Mapping[ValueRule, str]] = MappingProxyType(
    {
        "amount": "v_amount",
        "bound": "v_bound",
        "contains": "contains",
        "count": "v_count",
        "currency": "currency",
        "date": "v_date",
        "density": "v_density",
        "duration": "v_measure",
        "gains": "v_loses",
        "held": "v_held",
        "keeps": "v_keeps",
        "length": "v_measure",
        "level": "level",
        "loses": "v_loses",
        "makes": "v_makes",
        "names": "names",
        "percent": "v_percent",
        "photo": "text",
        "price": "v_price",
        "quantity": "v_measure",
        "reheats": "v_reheats",
        "scales": "v_scales",
        "system": "system",
        "tariff": "v_rate",
        "temperature": "v_measure",
        "temperatures": "v_measures",
        "tin": "v_tin",
        "wage": "v_rate",
        "waive": "v_waive",
        "week": "text",
        "weight": "v_measure",
        "words": "text",
        "yes no": "yes-no",
    }
)
"""What a label's value is coloured as: a start rule of the grammar, or a context of our own."""

OPEN_LABELS: Final[Mapping[BlockKind, str]] = MappingProxyType(
    {"expect": "label", "style": "label", "checks": "rule"}
)
"""The kind of a label that the block leaves open, where it is not a name of the cook's own."""


# ---------------------------------------------------------------- the grammar's own words


@cache
def _grammar() -> str:
    return files("benchproof.grammar").joinpath("bench.lark").read_text(encoding="utf-8")


@cache
def grammar_terminals() -> Mapping[str, tuple[int, str]]:
    """Every terminal of the grammar: its priority, and its pattern as it is written there."""
    found = re.findall(r'^([A-Z][A-Z_]*)(?:\.(\d+))?: +(?:/(.+)/|"(.+)")$', _grammar(), re.MULTILINE)
    return MappingProxyType(
        {
            name: (int(priority or 0), (pattern or re.escape(literal)).replace(r"\/", "/"))
            for name, priority, pattern, literal in found
        }
    )


@cache
def _rules() -> Mapping[str, frozenset[str]]:
    """Every rule of the grammar, and the names in its body."""
    found: dict[str, set[str]] = {}
    current = ""
    for line in _grammar().splitlines():
        line = re.sub(r"->.*|//.*", "", line)
        if head := re.match(r"([a-z]\w*):", line):
            current = head[1]
            found[current] = set()
            line = line[head.end() :]
        elif not line.startswith(" "):
            continue
        found[current] |= set(re.findall(r"[A-Za-z_]+", line))
    return MappingProxyType({name: frozenset(names) for name, names in found.items()})


@cache
def reachable(start: str) -> frozenset[str]:
    """All rules and terminals that a start rule leads to, itself among them."""
    seen: set[str] = set()
    ahead = [start]
    while ahead:
        name = ahead.pop()
        if name not in seen:
            seen.add(name)
            ahead += _rules().get(name, ())
    return frozenset(seen)


# ---------------------------------------------------------------- pieces of patterns


def _ranges(characters: str) -> str:
    """These characters for a class in a pattern, as escapes, so that nobody's editor hides or mends them."""
    codes = sorted(map(ord, characters))
    firsts = [code for code in codes if code - 1 not in codes]
    lasts = [code for code in codes if code + 1 not in codes]
    return "".join(
        f"\\u{first:04x}" + (f"-\\u{last:04x}" if last > first else "")
        for first, last in zip(firsts, lasts, strict=True)
    )


_BLANKS: Final = r" \t" + _ranges(SPECIAL_BLANK.pattern.strip("[]"))
_B: Final = f"[{_BLANKS}]"
_END: Final = rf"(?={_B}*(?:\]|$)|{_B}+#)"
"""Where a value or a fact ends."""
_COMMENT: Final = rf"(?<![^{_BLANKS}\n])#(?={_B}|#|$)"
"""Where a comment begins: `blocks.comment_start`, but for the brackets."""
_COLON: Final = rf":(?={_B}|$)"
_DIGIT: Final = "[-–—−0-9½⅓⅔¼¾]"
_WORD: Final = r"[^\W\d_][\w'’-]*"
_KINDS_OF_BLOCK: Final = "|".join(sorted(VOCABULARY, key=len, reverse=True))


def _units(dimension: str) -> str:
    spellings = sorted((s for s, unit in UNITS.items() if unit.dimension == dimension), key=len, reverse=True)
    ends = {"in": f"in{_END}"}
    return "|".join(ends.get(s, re.escape(s).replace(r"\ ", f"{_B}+")) for s in spellings)


@cache
def terminal(name: str) -> str:
    """A terminal's pattern, with the units put in, any kind of blank, and ends that are ends on a whole line."""
    pattern = grammar_terminals()[name][1]
    for dimension in _UNIT_TERMINALS.values():
        pattern = pattern.replace(f"UNITS_OF_{dimension.upper()}", _units(dimension))
    pattern = pattern.replace("SYSTEMS_OF_MEASURES", "|".join(SYSTEMS))
    return pattern.replace("(?=[ ]*$)", _END).replace("[ ]", _B)


def _one_of(*names: str) -> str:
    return "|".join(terminal(name) for name in names)


def _words(phrases: tuple[str, ...]) -> str:
    """Any of these phrases, in capitals or not, with any blanks between their words; the longest first."""
    longest = sorted(phrases, key=len, reverse=True)
    return f"(?i:{'|'.join(re.escape(one).replace(chr(92) + ' ', f'{_B}+') for one in longest)})"


# ---------------------------------------------------------------- rules and contexts


@dataclass(frozen=True, slots=True)
class Paint:
    """A stretch of one line: a kind for each group of the pattern in turn; None is whatever the context's is."""

    pattern: str
    kinds: tuple[str | None, ...] = ()


@dataclass(frozen=True, slots=True)
class Region:
    """From a beginning to an end, and how what is inside it is coloured."""

    begin: str
    kinds: tuple[str | None, ...]
    context: str
    end: str = "$"
    end_kinds: tuple[str | None, ...] = ()
    scope: str = ""
    """What TextMate calls the whole of it, if anything."""


@dataclass(frozen=True, slots=True)
class Context:
    """Rules in order, and the kind of all that they leave over."""

    rules: tuple[Paint | Region, ...]
    fill: str | None = None


Contexts: TypeAlias = dict[str, Context]

PASS_WORD: Final = _WORD
"""A word that no rule of a context knows: passed whole, so that no rule finds something in its middle."""

_IS_COMMENT: Final = Paint(f"({_COMMENT}.*)", ("comment",))
# A `#` in a closed pair of brackets opens no comment, in any line.
_IN_BRACKETS: Final = (Paint(r"\[\[|\]\]"), Paint(r"\[[^\]\n]*\]"))


def _numbers(names: frozenset[str]) -> Iterator[Paint]:
    """Numbers with the units among these terminals. A unit is one only after its number."""
    units = "|".join(terminal(name) for name in _UNIT_TERMINALS if name in names)
    sizes = rf"(?:({terminal('SYS')}){_B}+)?" if "SYS" in names else ""
    system = ("system",) if sizes else ()
    if "DATE" in names:
        yield Paint(f"({terminal('DATE')})", ("date",))
    if units:
        yield Paint(rf"({terminal('NUM')}){_B}*{sizes}({units})", ("number", *system, "unit"))
    if "PCT" in names:
        yield Paint(rf"({terminal('NUM')}){_B}*(%)", ("number", "unit"))
    if "PER" in names:
        yield Paint(rf"(/){_B}*{sizes}({terminal('VOL')})", ("operator", *system, "unit"))
    if "DASH" in names:
        yield Paint(rf"([-–—−])(?={_B}*[0-9½⅓⅔¼¾])", ("operator",))
    yield Paint(f"({terminal('NUM')})", ("number",))


def _keywords(names: frozenset[str]) -> Iterator[Paint]:
    """The fixed words among these terminals, those that the grammar tries first before the others."""
    fixed = [name for name in names if name in TERMINALS and name not in _FREE | _NUMERIC | {"DATE", "COMMA"}]
    for name in sorted(fixed, key=lambda name: (-grammar_terminals()[name][0], name)):
        yield Paint(f"({terminal(name)})", (TERMINALS[name],))


def _value(start: str) -> Context:
    """The value of a label that is read by a start rule of the grammar."""
    names = reachable(start)
    rules: list[Paint | Region] = [_IS_COMMENT, *_IN_BRACKETS]
    if "details" in names:
        # A detail that begins with `for` says what an amount is for, and takes it out of the ratios.
        purpose = rf"(?:{_B}*(for)(?={_B}))?" if start == "v_amount" else ""
        rules.append(
            Region(
                f"({terminal('COMMA')}){purpose}", ("comma", "joining") if purpose else ("comma",), "details"
            )
        )
    elif "COMMA" in names:
        rules.append(Paint(f"({terminal('COMMA')})", ("comma",)))
    if "RULE" in names:
        rules.append(Region(rf"({terminal('BECAUSE')}){_B}*", ("joining",), "text"))
        rules.append(Paint(f"({terminal('RULE')})", ("rule",)))
        return Context(tuple(rules))
    return Context((*rules, *_keywords(names), *_numbers(names)))


def _choice(*words: str) -> Context:
    return Context((_IS_COMMENT, *_IN_BRACKETS, Paint(rf"({_words(words)})(?![\w-])", ("constant",))))


def _fact() -> Context:
    """What stands in square brackets: a draw's share and name, or a number with what follows it."""
    names = reachable("v_fact")
    name = r"[^\[\]\n]+"
    all_of_it = _one_of("HALF", "PORTION", "REST_OF", "ALL")
    first = _one_of("EACH_PIECE", "THE_PIECES", "LIMIT", "ALL_BUT", "PLACE_AT", "NUM")
    after_number = _one_of("TIMES", "OF", "AT_A_TIME", "PIECES", "EACH", "TO", "X")
    return Context(
        (
            Paint(r"(\[)", ("wrong",)),  # a fact holds no other
            Paint(rf"(?<=\[){_B}*({all_of_it}){_B}+({name})", ("share", "name")),
            Paint(rf"(?<=\[){_B}*(?!{_B}|{first}|[-–—−][0-9])({name})", ("name",)),
            Paint(rf"({terminal('OF')}){_B}+({name})", ("joining", "name")),
            Paint(
                rf"(?<=\[){_B}*({terminal('NUM')}){_B}+(?!{after_number}|{_units_of_facts()})([^\W\d_][^\[\]\n]*)",
                ("number", "name"),
            ),
            Paint(f"({terminal('COMMA')})", ("comma",)),
            *_keywords(names - {"OF", "HALF", "PORTION", "REST_OF", "ALL"}),
            *_numbers(names),
            Paint(r"([^\W\d_][^\[\]\n,]*)", ("name",)),  # `[70 % chocolate]`, `[40 g butter]`
        )
    )


def _units_of_facts() -> str:
    systems = rf"(?:(?:{terminal('SYS')}){_B}+)?"
    return f"{systems}(?:{'|'.join(terminal(name) for name in _UNIT_TERMINALS)})"


def _prose() -> Context:
    """A line of a method: text, with facts in square brackets."""
    return Context(
        (
            _IS_COMMENT,
            Paint(r"(\[\[|\]\])", ("escape",)),
            Region(r"(\[)(?=[^\]\n]*\])", ("open",), "fact", r"(\])", ("close",), "meta.fact"),
            Paint(r"(\[|\])", ("wrong",)),  # opens nothing, or closes nothing
        )
    )


# ---------------------------------------------------------------- headings and blocks

_LEADS: Final[Mapping[BlockKind, str]] = MappingProxyType(
    {"ingredients": rf"for(?:{_B}+the)?", "prices": "at", "cupboard": "on", "week": "of"}
)
"""The word that stands before the name or the date of a heading."""


def _heading(kind: BlockKind) -> Context:
    """What follows the first word of a heading."""
    rules: list[Paint | Region] = [_IS_COMMENT, *_IN_BRACKETS]
    date = terminal("DATE")
    if kind == "step":
        clause = _one_of("C_FOR", "C_AFTER", "C_DURING")
        rules.append(Region(f"({clause})", ("joining",), "names-of-steps", f"(?={clause})|$"))
    elif kind == "preferment":
        rules.append(Region(rf"({terminal('COMMA')})(?={_B}*{_DIGIT})", ("comma",), "share-of-flour"))
    elif kind == "prices":
        rules.append(
            Paint(
                rf"(on){_B}+({date})(?:{_B}+(in){_B}+({terminal('CURRENCY')}))?",
                ("joining", "date", "joining", "constant"),
            )
        )
    elif kind in ("trial", "cupboard", "week"):
        return Context((_IS_COMMENT, Paint(f"({date})", ("date",))))
    return Context(tuple(rules), "title")


def _block(kind: BlockKind) -> Context:
    """A block from its heading's first word to the next heading."""
    vocabulary = VOCABULARY[kind]
    lead = f"(?:({_LEADS[kind]})(?={_B}))?" if kind in _LEADS else ""
    rules: list[Paint | Region] = [
        _IS_COMMENT,
        Paint(rf"(^(?:<{{7}}|>{{7}}|\|{{7}})(?:{_B}.*)?$|^={{7}}$)", ("wrong",)),  # left by a merge
        Region(
            rf"(?<=^{kind}){_B}+(?=\S){lead}",
            ("joining",) if lead else (),
            f"heading-{kind}",
        ),
    ]
    by_value: dict[str, list[Label]] = {}
    for label in vocabulary.labels:
        by_value.setdefault(VALUES[label.value], []).append(label)
    for value, labels in by_value.items():
        names = _words(tuple(label.name for label in labels))
        rules.append(
            Region(rf"^{_B}*((?:(?i:the){_B}+)?{names}){_B}*({_COLON}){_B}*", ("label", "colon"), value)
        )
    any_label = rf"^{_B}*((?:(?!{_COLON}|{_COMMENT}).)*?[^{_BLANKS}\n]){_B}*({_COLON}){_B}*"
    if vocabulary.open is not None:
        shown = OPEN_LABELS.get(kind, "name")
        rules.append(Region(any_label, (shown, "colon"), VALUES[vocabulary.open.value]))
    elif not vocabulary.prose:
        rules.append(Region(any_label, (None, "colon"), "plain"))
    rules.append(Region(rf"^{_B}*(?=[^{_BLANKS}\n])", (), "prose" if vocabulary.prose else "plain"))
    return Context(tuple(rules))


def _next_heading(kind: BlockKind) -> str:
    """Where a block ends. A label that begins as a heading does is a label, even when it is not indented."""
    alike = tuple(name for name in VOCABULARY[kind].names if name.split(" ")[0] in VOCABULARY)
    label = rf"(?!{_words(alike)}{_B}*:{_B}+[^{_BLANKS}\n#])" if alike else ""
    return rf"^{label}(?=(?:{_KINDS_OF_BLOCK})(?:{_B}|$))"


@cache
def contexts() -> Mapping[str, Context]:
    """Every context by its name. A text begins in `bench`."""
    found: Contexts = {
        "bench": Context(
            (
                _IS_COMMENT,
                *(
                    Region(
                        rf"^({kind})(?={_B}|$)",
                        ("heading",),
                        f"block-{kind}",
                        _next_heading(kind),
                        scope=f"meta.block.{kind}",
                    )
                    for kind in VOCABULARY
                ),
            )
        ),
        "plain": Context((_IS_COMMENT, *_IN_BRACKETS)),
        "text": Context((_IS_COMMENT, *_IN_BRACKETS), "text"),
        "details": Context(
            (_IS_COMMENT, *_IN_BRACKETS, Paint(f"({terminal('COMMA')})", ("comma",))), "detail"
        ),
        "names": Context((_IS_COMMENT, *_IN_BRACKETS, Paint(f"({terminal('COMMA')})", ("comma",))), "text"),
        "contains": Context(
            (
                _IS_COMMENT,
                *_IN_BRACKETS,
                Paint(f"({terminal('COMMA')})", ("comma",)),
                Paint(r"((?:nothing|instead)(?![\w-]))", ("constant",)),
            ),
            "text",
        ),
        "level": _choice(*LEVELS),
        "system": _choice(*SYSTEMS),
        "yes-no": _choice("yes", "no"),
        "currency": Context((_IS_COMMENT, Paint(f"({terminal('CURRENCY')})", ("constant",)))),
        "fact": _fact(),
        "prose": _prose(),
        "names-of-steps": Context((_IS_COMMENT, *_IN_BRACKETS, Paint(r"(,)", ("comma",))), "name"),
        "share-of-flour": Context(
            (
                _IS_COMMENT,
                Paint(rf"({terminal('OF')}){_B}+([^,\[\]\n#]+)", ("joining", "name")),
                *_numbers(reachable("h_preferment")),
            )
        ),
    }
    for start in VALUES.values():
        if start.startswith("v_"):
            found[start] = _value(start)
    for kind in VOCABULARY:
        found[f"heading-{kind}"] = _heading(kind)
        found[f"block-{kind}"] = _block(kind)
    return MappingProxyType(found)
