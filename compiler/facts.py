"""Facts in prose: a step's line cut at its brackets, and each bracket's one fact."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final, Literal, cast

from benchproof.compiler.block_text import BlockText, moved
from benchproof.compiler.lark_tree import Node, fact_form, parse, single, unit_name
from benchproof.compiler.parser_messages import Refused, Slip, known_slip, refuse, shortened
from benchproof.compiler.source import Span
from benchproof.compiler.syntax import (
    ChangeFact,
    Draw,
    DurationFact,
    Fact,
    LoadFact,
    MeasureFact,
    Name,
    Numbered,
    Numeric,
    OvenPlace,
    Percentage,
    ProseLine,
    Quantity,
    Share,
    TemperatureFact,
    Term,
    Text,
    TurnsFact,
)

_FACT_LIKE: Final = re.compile(
    r"[-–−0-9½⅓⅔¼¾]|(?:the |each )?pieces?$"
    r"|(?:half|all|rest|the rest|a|one|two|three|four|at least|up to) |[a-z ]+ at [0-9]"
)
_FACT_WORDS: Final = {
    "duration": "a time",
    "turns": "a number of turns",
    "temperature": "a temperature",
    "change": "a change of temperature",
    "load": "a load",
    "pieces": "a number of pieces",
    "the_pieces": "the pieces of the batch",
    "each_piece": "each piece of the batch",
    "each": "a weight of each piece",
    "measure": "a length",
    "measure_x": "a size",
    "bare_quantity": "an amount",
    "bare_percent": "a share",
    "bare_number": "a number",
}
_NEVER_A_NAME: Final = (
    "about-number",
    "number-in-words",
    "vague-amount",
    "full-width-digits",
    "smart-quotes",
)
_BRACKET: Final = re.compile(r"\[\[|\]\]|\[|\]")
_MOST_SLIPS: Final = 5  # told of one line
_SMALL_DEGREES: Final = re.compile(
    r"-?[\d.]+(?:(?: ?[-–] ?| to )-?[\d.]+)? ?([cf])(?: (?:fan )?(?:oven|pan|oil|core|dough|room|fridge|freezer))?"
)
"""`220 c oven`: a small letter is no name of a food."""
_PORTIONS: Final = {"third": 3, "quarter": 4, "fifth": 5, "half": 2, "halve": 2}
_PORTION_WORDS: Final = {"a": 1, "one": 1, "two": 2, "three": 3, "four": 4}


def not_a_fact(block: BlockText, name: Name, what: str) -> None:
    """Refuse a name that would always be read as another fact where it is used: `20 min`, `the pieces`."""
    text = block.clean[name.span.start : name.span.end]
    if not _FACT_LIKE.match(text):
        return
    form = fact_form(text)
    if form not in ("", "draw", "numbered"):
        raise refuse(
            "name-is-a-fact",
            name.span.start,
            name.span.end,
            f"`{name.text}` cannot name {'an' if what[0] in 'aeiou' else 'a'} {what}: "
            f"in a bracket it is read as {_FACT_WORDS.get(form, 'a share of something')}.",
            "Choose another name.",
        )


# ---------------------------------------------------------------- lines and brackets


def read_prose(block: BlockText, start: int, end: int) -> ProseLine:
    """A line of prose. Every bracket that is wrong is told, and then the line is not read."""
    text = block.clean
    pieces: list[Text | Fact] = []
    slips: list[Slip] = []
    written = start  # where the text before the next fact begins

    def flush(to: int) -> None:
        if written < to:
            plain = block.text[written:to].replace("[[", "[").replace("]]", "]")
            pieces.append(Text(plain, block.span(written, to)))

    at = start
    while (found := _BRACKET.search(text, at, end)) and len(slips) < _MOST_SLIPS:
        here, at = found.span()
        if found.group() in ("[[", "]]"):
            continue
        if found.group() == "]":
            slips.append(
                Slip(
                    "bracket-stray",
                    here,
                    at,
                    "This bracket closes nothing.",
                    "Delete it, or open the fact before it; a bracket that is only text is written twice: `]]`.",
                )
            )
            continue
        close = text.find("]", here, end)
        if close < 0:
            slips.append(
                Slip(
                    "bracket-open",
                    here,
                    end,
                    "This bracket is not closed on its line.",
                    "Write `]` where the fact ends; a bracket that is only text is written twice: `[[`.",
                )
            )
            break
        if text.find("[", at, close) >= 0:
            slips.append(
                Slip(
                    "bracket-nested",
                    here,
                    close + 1,
                    "There is a bracket inside a bracket: a fact holds no other.",
                    "Close the first before the second opens.",
                )
            )
            # The first `]` closes the inner one; a second before the next fact belongs to the outer.
            after = _BRACKET.search(text, close + 1, end)
            at = after.end() if after and after.group() in ("]", "]]") else close + 1
            continue
        flush(here)
        at = written = close + 1
        try:
            pieces.append(_fact(block, here, close + 1))
        except Refused as refused:
            slips.append(refused.slip)
    flush(end)
    if slips:
        for slip in slips[:-1]:
            block.say(slip)
        raise Refused(slips[-1])
    return ProseLine(tuple(pieces), block.span(start, end))


def _fact(block: BlockText, open_at: int, after: int) -> Fact:
    a, b = block.trim(open_at + 1, after - 1)
    whole = block.span(open_at, after)
    if a == b:
        raise refuse(
            "empty-fact",
            open_at,
            after,
            "There is nothing in these brackets.",
            "Write the fact in them, or leave them out.",
        )
    block.not_too_long(a, b)
    text = block.clean[a:b]
    if slip := _fact_slip(block, text, open_at, a, b):
        raise Refused(slip)
    try:
        node = parse(block, "v_fact", a, b, "fact")
    except Refused as refused:
        if refused.slip.rule == "not-a-fact" and (
            slip := _words_after(block, refused.slip.start, a, b, after)
        ):
            raise Refused(slip) from None
        raise
    return _Facts(block, node, whole, a, b).build()


def _fact_slip(block: BlockText, text: str, open_at: int, a: int, b: int) -> Slip | None:
    """What must be seen before the grammar takes it for the name of something to draw, or stops at it."""
    if "," in text and (slip := _two_facts(block, text, a, b)):
        return slip
    if re.fullmatch(r"(?:the )?rest(?: of(?: the)?| of it)?", text):
        return Slip("rest-of-what", a, b, f"`{text}` does not say of what.", "Write `the rest of the milk`.")
    if re.match(r"(?:the|half|all|rest|[0-9]+ of) ", text) or text[0] in "0123456789":
        return None
    slip = known_slip(text, "fact")
    # Only what stands first: a name may hold anything.
    if slip and slip.start == 0 and slip.rule in _NEVER_A_NAME:
        return moved(slip, a)
    if found := re.match(
        r"(for|at|to|until|in|of|by|heat to|cook for|bake at|bake for|leave|rest for) (?=[-–−]?[0-9½⅓⅔¼¾])",
        text,
    ):
        return Slip(
            "words-before-fact",
            a,
            a + found.end() - 1,
            f"`{found.group(1)}` is prose: a bracket holds the fact alone.",
            f"Write `{found.group(1)} [{shortened(text[found.end() :])}]`.",
            f"{found.group(1)} [",
            open_at,
            a + found.end(),
        )
    if found := re.match(r"(fan oven|oven|pan|oil|core|dough|room|fridge|freezer) (?=[-–−]?[0-9])", text):
        mended = f"{text[found.end() :]} {found.group(1)}"
        return Slip(
            "place-order",
            a,
            b,
            f"`{shortened(text)}`: the place follows the temperature.",
            f"Write `{mended}`.",
            mended,
        )
    if found := re.match(r"hands[- ](?:off|on),? (?=[0-9])", text):
        mended = f"{text[found.end() :]} {text[: found.end()].strip(' ,')}"
        return Slip("hands-order", a, b, "The time comes first.", f"Write `{mended}`.", mended)
    return None


def _is_fact(text: str) -> bool:
    """Whether a text is a whole fact that could be no name: a time, a temperature, a load or a size."""
    form = fact_form(text)
    return form in _FACT_WORDS and not form.startswith("bare")


_MAY_BE_FACT: Final = re.compile(
    r"[0-9] ?[°º]?[CF]\b|\b(?:hands|alone|unattended|oven|fan|pan|oil|core|fridge|freezer|each)\b",
    re.IGNORECASE,
)


def _words_after(block: BlockText, stopped: int, a: int, b: int, after: int) -> Slip | None:
    """`[5 min until golden]`: a fact, and words that belong outside its bracket."""
    end = block.trim(a, stopped)[1]
    rest = block.clean[stopped:b]
    if not rest[:1].isalpha() or re.search(r"[0-9]", rest):
        return None
    if not _is_fact(block.clean[a:end]):
        return None
    return Slip(
        "words-after-fact",
        stopped,
        b,
        f"`{shortened(block.clean[a:end])}` is a fact, and `{shortened(rest)}` is no part of it.",
        f"Write `[{shortened(block.clean[a:end])}] {shortened(rest)}`.",
        # A place belongs to its temperature, and hands to their time: prose must not hide either.
        None if _MAY_BE_FACT.search(block.clean[a:b]) else f"] {rest}",
        end,
        after,
    )


def _two_facts(block: BlockText, text: str, a: int, b: int) -> Slip | None:
    parts = block.cut_commas(a, b)
    if len(parts) < 2:
        return None
    forms = []
    for start, end in parts:
        if start == end:
            return Slip(
                "empty-detail",
                a,
                b,
                "There is nothing between two commas, or after the last.",
                "Leave the extra comma out.",
            )
        forms.append(fact_form(block.clean[start:end]))
    if forms[0] == "turns":
        return None
    texts = [block.clean[start:end] for start, end in parts]

    def stands(form: str, part: str) -> bool:
        return bool(form) and (form not in ("draw", "numbered", "bare_number") or part.startswith("the "))

    if all(map(stands, forms, texts)):
        mended = "], [".join(texts)
        return Slip(
            "two-facts-in-a-bracket",
            a,
            b,
            f"`{shortened(text)}` is more than one fact: a bracket holds one.",
            f"Write `[{shortened(mended)}]`.",
            mended,
        )
    if re.search(r"[0-9],[0-9]", text):
        return None
    joined = " ".join(texts)
    if _is_fact(joined):
        return Slip(
            "comma-in-fact",
            a,
            b,
            f"`{shortened(text)}` is one fact, and needs no comma.",
            f"Write `{joined}`.",
            joined,
        )
    return Slip(
        "comma-in-fact",
        a,
        b,
        f"`{shortened(text)}` has a comma in it: a bracket holds one fact, and no name has a comma.",
        f"Write `[{shortened(texts[0])}]`, and the rest of it outside the bracket.",
    )


# ---------------------------------------------------------------- each form of fact


class _Facts:
    """Builds the fact of one bracket."""

    def __init__(self, block: BlockText, node: Node, span: Span, a: int, b: int) -> None:
        self.block = block
        self.node = node
        self.span = span
        self.a = a
        self.b = b

    def build(self) -> Fact:
        return cast(Fact, getattr(self, self.node.rule)())

    def name(self) -> Name:
        return self.node.name_of(self.node.token("NAME"))

    def duration(self) -> DurationFact:
        limit = self.node.find("LIMIT")
        hands = self.node.find("HANDS")
        word = cast('Literal["at least", "up to"]', single(str(limit))) if limit else None
        one = f"`{word}` is followed by one time" if word else None
        return DurationFact(
            self.node.quantity(one), hands is not None and str(hands).endswith("off"), word, self.span
        )

    def turns(self) -> TurnsFact:
        number = self.node.nodes("n")[0]
        value = number.n_value("nothing is done less than not at all")
        every = self.node.quantity(None) if self.node.has_quantity else None
        if value.denominator != 1 or value < 1:
            raise refuse(
                "turns-form",
                number.start,
                number.end,
                f"`{number.text} times` cannot be done.",
                "Write a whole number of times.",
            )
        return TurnsFact(Numeric(value, value, number.span), every, self.span)

    def temperature(self) -> TemperatureFact:
        temperature = self.node.quantity(None, negative=True)
        place = self.node.find("PLACE") or self.node.find("PLACE_AT")
        word = re.sub(r" at$", "", single(str(place))) if place else None
        fan = self.node.find("FAN")
        if fan and word not in (None, "oven"):
            raise refuse(
                "fan-place",
                fan.start,
                fan.end,
                f"Only an oven has a fan, and this says `{word}`.",
                "Write `180 C fan oven`.",
            )
        if fan:
            word = "fan oven"
        of = self.node.find("NAME")
        return TemperatureFact(
            temperature, cast("OvenPlace | None", word), self.node.name_of(of) if of else None, self.span
        )

    def change(self) -> ChangeFact:
        start, end = (half.half_quantity("temperature", None, True) for half in self.node.nodes("temps"))
        return ChangeFact(
            start, end, self.node.quantity(None), self.node.find("WITHIN") is not None, self.span
        )

    def load(self) -> LoadFact:
        number = self.node.numeric("a load is one number")
        if number.low.denominator != 1 or number.low < 1:
            raise refuse(
                "load-form",
                self.a,
                self.b,
                f"`{self.node.text}` is no load.",
                "Write a whole number: `4 at a time`.",
            )
        return LoadFact(number, self.span)

    def pieces(self) -> MeasureFact:
        return MeasureFact("pieces", self.span, number=self.node.numeric(None))

    def the_pieces(self) -> MeasureFact:
        return MeasureFact("the-pieces", self.span)

    def each_piece(self) -> MeasureFact:
        return MeasureFact("each-piece", self.span)

    def each(self) -> MeasureFact:
        return MeasureFact("each", self.span, quantity=self.node.quantity(None))

    def measure(self) -> MeasureFact:
        length = self.node.quantity(None)
        if any(term.unit == "m" for term in length.low):
            mended = length.span.text.rstrip().removesuffix("m").rstrip() + " min"
            raise refuse(
                "minutes-or-metres",
                self.a,
                self.b,
                f"`{self.node.text}` is read as metres.",
                f"Write `{mended}` if minutes are meant, or the length in centimetres.",
            )
        return MeasureFact("length", self.span, lengths=(length,))

    def measure_x(self) -> MeasureFact:
        unit_token = self.node.token("LEN")
        unit = unit_name(unit_token.token)
        lengths = []
        for n in self.node.nodes("n"):
            term = Term(n.n_value("a length is not"), unit)
            lengths.append(Quantity("length", (term,), (term,), n.span))
        return MeasureFact("length", self.span, lengths=tuple(lengths))

    def draw(self) -> Draw:
        name = self.name()
        if name.key in ("half an hour", "an hour", "a minute", "a day"):
            raise refuse(
                "number-in-words",
                self.a,
                self.b,
                f"`{name.text}` is a number in words.",
                "Write it in digits: `30 min`, `1 h`.",
            )
        return Draw(Share("all-left"), name, self.span)

    def draw_share(self) -> Draw:
        name = self.name()
        if self.node.find("REST_OF"):
            return Draw(Share("rest"), name, self.span)
        if self.node.find("ALL"):
            return Draw(Share("all"), name, self.span)
        if self.node.find("HALF"):
            return Draw(Share("fraction", number=Fraction(1, 2)), name, self.span)
        words = str(self.node.token("PORTION")).split()
        fraction = Fraction(_PORTION_WORDS[words[0]], _PORTIONS[words[1].rstrip("s")])
        if name.key in ("an hour", "a day", "a minute"):
            raise refuse(
                "number-in-words",
                self.a,
                self.b,
                f"`{self.node.text}` is a number in words.",
                "Write it in digits: `15 min`.",
            )
        self.within_whole(fraction)
        return Draw(Share("fraction", number=fraction), name, self.span)

    def within_whole(self, fraction: Fraction) -> None:
        if fraction > 1:
            raise refuse(
                "share-over-whole",
                self.a,
                self.b,
                f"`{self.node.text}` is more than the whole of it.",
                "Write a share of at most the whole.",
            )

    def draw_count(self) -> Draw:
        number = self.node.numeric("a draw takes one amount").low
        # `1/2 of the sugar` is a share of the line, `2 of the eggs` so many pieces.
        kind: Literal["fraction", "count"] = "fraction" if 0 < number < 1 else "count"
        return Draw(Share(kind, number=number), self.name(), self.span)

    def draw_percent(self) -> Draw:
        number = self.node.numeric("a draw takes one share").low / 100
        self.within_whole(number)
        return Draw(Share("fraction", number=number), self.name(), self.span)

    def draw_quantity(self) -> Draw:
        return Draw(
            Share("quantity", quantity=self.node.quantity("a draw takes one amount")), self.name(), self.span
        )

    def draw_all_but(self) -> Draw:
        if self.node.has_quantity:
            return Draw(
                Share("all-but", quantity=self.node.quantity("a draw takes one amount")),
                self.name(),
                self.span,
            )
        number = self.node.nodes("n")[0].n_value("a draw takes an amount")
        return Draw(Share("all-but", number=number), self.name(), self.span)

    def numbered(self) -> Numbered:
        words_token = self.node.token("WORDS")
        words = self.node.name_of(words_token)
        raw = self.block.name(self.a, self.b)
        number: Numeric | Quantity | Percentage
        if self.node.has_quantity:
            number = self.node.quantity(None)
        elif percent := self.node.find("PCT"):
            numeric = self.node.numeric(None)
            number = Percentage(numeric, None, self.block.span(numeric.span.start, percent.end))
        else:
            number = self.node.numeric(None)
        if re.match(r"the ", words.text):
            at = words_token.start
            mended = raw.text[: at - self.a] + "of " + raw.text[at - self.a :]
            raise refuse(
                "missing-of",
                self.a,
                self.b,
                f"`{raw.text}` wants an `of`.",
                f"Write `{mended}`.",
                "of ",
                at,
                at,
            )
        if small := _SMALL_DEGREES.fullmatch(raw.text):
            at = self.a + small.start(1)
            meant = small[1].upper()
            raise refuse(
                "unit-case",
                at,
                at + 1,
                f"`{small[1]}` is no unit: capitals count, and degrees are written `{meant}`.",
                f"Write `{meant}`.",
                meant,
            )
        if not self.node.has_quantity and not self.node.find("PCT"):
            known = known_slip(raw.text, "fact")
            if known and known.rule in (
                "unit-case",
                "unknown-unit",
                "unit-point",
                "degree-form",
                "degree-missing",
            ):
                raise Refused(moved(known, self.a))
        return Numbered(raw, number, words, self.span)

    def bare_quantity(self) -> Fact:
        text = self.node.text
        raise refuse(
            "bare-weight-fact",
            self.a,
            self.b,
            f"`{text}` does not say of what.",
            f"Write `{text} of the ...`, or `{text} each` for pieces.",
        )

    def bare_percent(self) -> Fact:
        text = self.node.text
        raise refuse(
            "bare-share", self.a, self.b, f"`{text}` does not say of what.", f"Write `{text} of the ...`."
        )

    def bare_number(self) -> Fact:
        text = self.node.text
        raise refuse(
            "bare-number",
            self.a,
            self.b,
            f"`{text}` has no unit, so it says nothing.",
            f"Write `{text} min`, `{text} C`, `{text} of the ...`, `{text} at a time`.",
        )
