"""The one door to lark: the grammar, its parsers built when first needed, and the tree that they give.

A `Node` or `Token` knows where it stands in its block. Numbers and amounts, which all headings, values and facts
share, are taken from the tree here.
"""

from __future__ import annotations

import itertools
import re
import unicodedata
from fractions import Fraction
from functools import cache
from importlib.resources import files
from threading import RLock
from typing import Final, cast

from lark import Lark, Tree
from lark import Token as LarkToken
from lark.exceptions import UnexpectedInput

from benchproof.compiler.block_text import BlockText, moved
from benchproof.compiler.parser_messages import Refused, known_slip, refuse, unlike_anything
from benchproof.compiler.quantities import SYSTEMS, UNITS
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import Detail, Dimension, Name, Numeric, Quantity, Term

# ---------------------------------------------------------------- the three parsers

_UNIT_TERMINALS: Final[tuple[Dimension, ...]] = ("mass", "volume", "time", "length", "temperature", "energy")
_lock = RLock()


def grammar_text() -> str:
    """The grammar with the spellings of all units put in."""
    text = files("benchproof.grammar").joinpath("bench.lark").read_text(encoding="utf-8")
    for dimension in _UNIT_TERMINALS:
        text = text.replace(f"UNITS_OF_{dimension.upper()}", _alternatives(dimension))
    return text.replace("SYSTEMS_OF_MEASURES", "|".join(SYSTEMS))


def _alternatives(dimension: Dimension) -> str:
    spellings = sorted((s for s, unit in UNITS.items() if unit.dimension == dimension), key=len, reverse=True)
    # `in` is an inch only at the end of what it stands in: `[2 cm in the pan]`, `60 C to 21 C in 2 h`.
    ends = {"in": "in(?=[ ]*$)"}
    return "|".join(ends.get(s, re.escape(s).replace(r"\ ", "[ ]+")) for s in spellings)


def starts() -> dict[str, list[str]]:
    """Every start rule, by the parser it belongs to."""
    text = files("benchproof.grammar").joinpath("bench.lark").read_text(encoding="utf-8")
    rest = [
        name for name in re.findall(r"^([hv]_\w+):", text, re.MULTILINE) if name not in ("v_fact", "v_amount")
    ]
    return {"facts": ["v_fact"], "amounts": ["v_amount"], "rest": rest}


@cache
def _build(group: str) -> Lark:
    return Lark(
        grammar_text(),
        parser="lalr",
        lexer="contextual",
        start=starts()[group],
        propagate_positions=True,
        maybe_placeholders=False,
    )


def _lark(start: str) -> Lark:
    group = {"v_fact": "facts", "v_amount": "amounts"}.get(start, "rest")
    with _lock:  # built at first need and once; parsing itself keeps no state between calls
        return _build(group)


def parse(block: BlockText, start: str, a: int, b: int, what: str) -> Node:
    """A stretch read by one of the grammar's start rules. Raises `Refused`, in the words for `what` it should be."""
    block.not_too_long(a, b)
    text = block.clean[a:b]
    try:
        tree = _lark(start).parse(text, start=start)
    except UnexpectedInput as error:
        stopped = getattr(error, "pos_in_stream", None)
        token = getattr(error, "token", None)
        if token is not None and token.type == "$END":
            stopped = len(text)
        slip = known_slip(text, what) or unlike_anything(text, what, stopped if stopped is not None else 0)
        raise Refused(moved(slip, a)) from None
    return Node(block, tree, a)


def try_parse(block: BlockText, start: str, a: int, b: int) -> Node | None:
    """As `parse`, for those who have their own words: None where the grammar does not take it."""
    try:
        return Node(block, _lark(start).parse(block.clean[a:b], start=start), a)
    except UnexpectedInput:
        return None


def fact_form(text: str) -> str:
    """The grammar's name for the form of fact that a text has; empty where it is none."""
    try:
        return str(_lark("v_fact").parse(text, start="v_fact").data)
    except UnexpectedInput:
        return ""


# ---------------------------------------------------------------- numbers and units

_VULGAR: Final = {
    ch: Fraction(*map(int, unicodedata.normalize("NFKC", ch).split("\u2044"))) for ch in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
}
_RULE_DIMENSIONS: Final[dict[str, Dimension]] = {
    "mass": "mass",
    "vol": "volume",
    "time": "time",
    "temp": "temperature",
    "len": "length",
    "energy": "energy",
}
_FAMILIES: Final = (
    ("kg", "g", "mg"),
    ("lb", "oz"),
    ("l", "dl", "cl", "ml"),
    ("gallon", "quart", "pint", "cup", "fl_oz", "tbsp", "tsp"),
    ("month", "week", "day", "h", "min", "s"),
    ("m", "cm", "mm"),
    ("ft", "inch"),
)
"""Units that may stand together in one amount, in descending order."""


def number_of(written: str) -> Fraction | None:
    """The exact value of `3`, `0.25`, `1/2`, `1 1/2`, `½`, `1½` or `1 ½`; None for a division by zero."""
    whole, part = "", written.strip()
    if part and part[-1] in _VULGAR:
        return (Fraction(part[:-1].strip()) if part[:-1].strip() else Fraction(0)) + _VULGAR[part[-1]]
    if " " in part:
        whole, part = part.split(" ", 1)
    if "/" in part:
        over, under = part.split("/")
        if int(under) == 0:
            return None
        return Fraction(int(whole or 0)) + Fraction(int(over), int(under))
    return Fraction(part)


def single(text: str) -> str:
    """Doubled blanks made one."""
    return re.sub(r" +", " ", text)


def unit_name(token: LarkToken) -> str:
    """The canonical name of the unit that a token spells."""
    spelling = single(str(token))
    unit = UNITS.get(spelling) or UNITS[spelling.lstrip("°º ")]
    return unit.name


# ---------------------------------------------------------------- the tree


class Token:
    """A token, and where it stands in the block."""

    __slots__ = ("end", "start", "token")

    def __init__(self, token: LarkToken, base: int) -> None:
        self.token = token
        self.start = base + cast(int, token.start_pos)
        self.end = base + cast(int, token.end_pos)

    def __str__(self) -> str:
        return str(self.token)


class Node:
    """A subtree of lark's, and where it stands in the block."""

    __slots__ = ("base", "block", "children", "rule", "tree")

    def __init__(self, block: BlockText, tree: Tree[LarkToken], base: int) -> None:
        self.block = block
        self.tree = tree
        self.base = base
        self.rule = str(tree.data)
        self.children: list[Node | Token] = [
            Node(block, child, base) if isinstance(child, Tree) else Token(child, base)
            for child in tree.children
        ]

    @property
    def start(self) -> int:
        return self.base + self.tree.meta.start_pos

    @property
    def end(self) -> int:
        return self.block.trim(self.start, self.base + self.tree.meta.end_pos)[1]

    @property
    def span(self) -> Span:
        return self.block.span(self.start, self.end)

    @property
    def text(self) -> str:
        return self.block.clean[self.start : self.end]

    def tokens(self, kind: str) -> list[Token]:
        return [child for child in self.children if isinstance(child, Token) and child.token.type == kind]

    def find(self, kind: str) -> Token | None:
        found = self.tokens(kind)
        return found[0] if found else None

    def token(self, kind: str) -> Token:
        return self.tokens(kind)[0]

    def nodes(self, rule: str) -> list[Node]:
        return [child for child in self.children if isinstance(child, Node) and child.rule == rule]

    def child(self) -> Node:
        """The one child that is no list of details."""
        return next(child for child in self.children if isinstance(child, Node) and child.rule != "details")

    def name_of(self, token: Token) -> Name:
        return self.block.name(token.start, token.end)

    def place_words(self) -> str:
        """The words after an amount that say where or when it holds; empty where there are none."""
        words = self.find("PLACE_WORDS")
        return self.name_of(words).text if words else ""

    def details(self) -> tuple[Detail, ...]:
        found: list[Detail] = []
        for token in (token for node in self.nodes("details") for token in node.tokens("DETAIL")):
            start, end = self.block.trim(token.start, token.end)
            found.append(Detail(self.block.text[start:end], self.block.span(start, end)))
        return tuple(found)

    # ------------------------------------------------------------ numbers

    def number(self) -> Fraction:
        token = self.token("NUM")
        value = number_of(str(token))
        if value is None:
            raise refuse(
                "divided-by-zero",
                token.start,
                token.end,
                f"`{token}` divides by zero.",
                "Write the number that is meant.",
            )
        return value

    def n_value(self, negative: str | None) -> Fraction:
        """The value of an `n`. `negative`: why it may not be below zero, None when it may."""
        value = self.number()
        if self.find("DASH"):
            if negative is not None:
                raise refuse(
                    "negative-amount",
                    self.start,
                    self.end,
                    f"`{self.text}` is less than nothing: {negative}.",
                    "Leave the sign out.",
                )
            return -value
        return value

    def as_numeric(self, one: str | None, negative: bool = False) -> Numeric:
        """The value of an `rng`. `one`: why it may be no range, None when it may."""
        values = [child.n_value(None if negative else "amounts are not") for child in self.nodes("n")]
        if len(values) == 2:
            if one is not None:
                raise refuse(
                    "range-not-amount",
                    self.start,
                    self.end,
                    f"`{self.text}` is a range, and {one}.",
                    "Write one number.",
                )
            self.rising(values[0], values[1])
        return Numeric(values[0], values[-1], self.span)

    def rising(self, low: Fraction, high: Fraction) -> None:
        if low > high:
            first, second = (child for child in self.nodes("n"))
            join = " to " if " to " in self.text or second.text[0] in "-–−" else "-"
            mended = f"{second.text}{join}{first.text}"
            raise refuse(
                "range-backwards",
                self.start,
                self.end,
                f"`{self.text}` runs from more to less.",
                f"Write `{mended}`, if those are the two.",
            )

    def numeric(self, one: str | None, negative: bool = False) -> Numeric:
        """The number of the `rng` (or `n`) that is a child of this node."""
        return self.nodes("rng")[0].as_numeric(one, negative)

    # ------------------------------------------------------------ quantities

    def quantity_nodes(self) -> list[Node]:
        found: list[Node] = []
        for child in self.children:
            if isinstance(child, Node):
                if child.rule in _RULE_DIMENSIONS:
                    found.append(child)
                elif child.rule in ("quantity", "any"):
                    found.extend(child.quantity_nodes())
        return found

    @property
    def has_quantity(self) -> bool:
        return bool(self.quantity_nodes())

    def quantity(self, one: str | None, negative: bool = False) -> Quantity:
        """The quantity among this node's children. `one`: why it may be no range, None when it may."""
        return self.quantity_nodes()[0]._as_quantity(one, negative)

    def quantities(self, one: str | None) -> list[Quantity]:
        return [node._as_quantity(one, False) for node in self.quantity_nodes()]

    def _as_quantity(self, one: str | None, negative: bool) -> Quantity:
        dimension = _RULE_DIMENSIONS[self.rule]
        negative = negative and dimension == "temperature"
        halves = [child for child in self.children if isinstance(child, Node)]
        if self.rule == "energy":
            return self.half_quantity(dimension, one)
        if len(halves) == 1:
            return halves[0].half_quantity(dimension, one, negative)
        low, high = (
            half.half_quantity(dimension, "one end of a range is one amount", negative) for half in halves
        )
        if len(low.low) == 1 and [term.unit for term in low.low] == [term.unit for term in high.low]:
            self.unit_twice(halves, low, high, one)
        if one is not None:
            raise refuse(
                "range-not-amount",
                self.start,
                self.end,
                f"`{self.text}` is a range, and {one}.",
                "Write one amount.",
            )
        return Quantity(dimension, low.low, high.low, self.span)

    def unit_twice(self, halves: list[Node], low: Quantity, high: Quantity, one: str | None) -> None:
        first, second = halves[0].nodes("rng")[0], halves[1]
        sign = " to " if second.text[0] in "-–−" else "-"
        mended = f"{first.text}{sign}{second.text}"
        if one is not None:
            help, edit = f"This is a range, and {one}: write one amount.", None
        elif low.low[0].number > high.low[0].number:
            help, edit = f"Write a range from less to more, with its unit once: `{mended}`.", None
            if low.dimension == "temperature":
                help = f"Write how long it takes: `{self.text.replace(' - ', ' to ')} in 2 h`."
        else:
            help, edit = f"Write `{mended}`.", mended
        raise refuse(
            "unit-twice",
            self.start,
            self.end,
            f"`{self.text}` says its unit twice: a range has one, after both numbers.",
            help,
            edit,
        )

    def half_quantity(self, dimension: Dimension, one: str | None, negative: bool = False) -> Quantity:
        """The quantity of `masses`, `vols`, `times`, `temps`, `lens` or `energy`: `1 lb 4 oz`, `20-25 min`."""
        rng = self.nodes("rng")[0]
        first = rng.as_numeric(one, negative)
        numbers: list[Fraction] = []
        units: list[tuple[str, str | None]] = []
        system: str | None = None
        for child in self.children:
            if isinstance(child, Node):
                continue
            if child.token.type == "NUM":
                value = number_of(str(child))
                if value is None:
                    raise refuse(
                        "divided-by-zero",
                        child.start,
                        child.end,
                        f"`{child}` divides by zero.",
                        "Write the number that is meant.",
                    )
                numbers.append(value)
            elif child.token.type == "SYS":
                system = str(child)
            else:
                units.append((unit_name(child.token), system))
                system = None
        if len(units) > 1:
            self.compound([unit for unit, _ in units], first, len(rng.nodes("n")) > 1)
        rest = tuple(Term(number, unit, of) for number, (unit, of) in zip(numbers, units[1:], strict=True))
        unit, of = units[0]
        low = (Term(first.low, unit, of), *rest)
        high = (Term(first.high, unit, of), *rest)
        return Quantity(dimension, low, high, self.span)

    def compound(self, units: list[str], first: Numeric, written_as_range: bool) -> None:
        if written_as_range:  # `2-2 h 30 min` too, whose two numbers are the same
            raise refuse(
                "range-in-compound",
                self.start,
                self.end,
                f"`{self.text}` is a range with a second unit after it.",
                "Write both ends in full, `1 h 30 min to 2 h`, or in one unit, `90-120 min`.",
            )
        family = next((family for family in _FAMILIES if units[0] in family), ())
        if any(unit not in family for unit in units):
            raise refuse(
                "units-mixed",
                self.start,
                self.end,
                f"`{self.text}` mixes units that do not go together.",
                "Write it in one unit, or in two of the same system: `1 lb 4 oz`, `1 h 30 min`.",
            )
        places = [family.index(unit) for unit in units]
        if any(one >= other for one, other in itertools.pairwise(places)):
            raise refuse(
                "units-order",
                self.start,
                self.end,
                f"`{self.text}` does not go from the larger unit to the smaller.",
                "Write the larger first, each once: `1 lb 4 oz`, `1 h 30 min`.",
            )
