"""Names and steps beside the books: alike names, foods named before they are drawn, steps told twice or not at all."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator
from typing import Final, TypeAlias

from benchproof.compiler.batch import DrawRun
from benchproof.compiler.compile import Compiled
from benchproof.compiler.findings import Also, Finding, Severity
from benchproof.compiler.formula import Item
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.method import StepMethod
from benchproof.compiler.rules import find
from benchproof.compiler.source import Span
from benchproof.compiler.suggest import distance, nearest, slips_allowed
from benchproof.compiler.syntax import Name, ProseLine, StepHeading, Text, Unread, name_key

_LONG: Final = 8
"""Words a line or step must have before its like is more than a habit of speech: our own choice."""


def check(compiled: Compiled, kitchen: Kitchen) -> Iterable[Finding]:
    yield from _alike(compiled, kitchen)
    yield from _two_names(compiled)
    yield from _named_first(compiled, kitchen)
    yield from _empty(compiled)
    yield from _told_twice(compiled)
    yield from _other_list(compiled)
    yield from _rest_of_all(compiled)
    yield from _no_method(compiled, kitchen)


# ---------------------------------------------------------------- the list


def _alike(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    """Two names a slip of the pen apart, one of which nobody knows."""
    items = list({item.name.key: item for item in compiled.formula.items()}.values())
    for one, other in itertools.combinations(items, 2):
        strange = next((item for item in (other, one) if item.food is None and item.product is None), None)
        if strange is None or not _slip_apart(one.name.key, other.name.key):
            continue
        if kitchen.recipe(strange.name.text) or nearest(strange.name.text, kitchen.food_names()):
            continue  # told as an unknown ingredient, with what it may be
        first = one if strange is other else other
        yield find(
            "names-alike",
            strange.name.span,
            f"“{strange.name.text}” and “{first.name.text}” are both in this recipe: one may be the other, misspelt.",
            f"If they are one food, write “{first.name.text}” in both places. If not, say what "
            f"“{strange.name.text}” is, in a block `ingredient {strange.name.text}`.",
            also=(Also(first.name.span, "the name it is so like"),),
        )


def _slip_apart(one: str, other: str) -> bool:
    """Whether two names may be one: a slip or two in a word of some length, no other digits, no other beginning."""
    allowed = min(slips_allowed(one), slips_allowed(other), 2)
    if not allowed or one[0] != other[0] or distance(one, other, allowed) > allowed:
        return False
    if [c for c in one if c.isdigit()] != [c for c in other if c.isdigit()]:
        return False
    words, others = one.split(), other.split()
    return len(words) != len(others) or all(
        len(a) > 2 and len(b) > 2 for a, b in zip(words, others, strict=True) if a != b
    )


def _two_names(compiled: Compiled) -> Iterator[Finding]:
    """One food under two names in one list: a line of the same name twice is told by the reading already."""
    for part in compiled.formula.listed:
        seen: dict[str, Item] = {}
        for item in part.items:
            if item.food is None or item.purpose is not None:
                continue
            twin = seen.setdefault(min(item.food.keys), item)
            if twin is item or twin.name.key == item.name.key:
                continue
            yield find(
                "two-names-of-a-food",
                item.name.span,
                f"“{item.name.text}” and “{twin.name.text}” are two names of one food, and stand in one list.",
                "Add the two lines up under one name, or say with `, for …` what one of them is for.",
                also=(Also(twin.name.span, "the other name"),),
                severity=Severity.WARNING if _slip_apart(item.name.key, twin.name.key) else None,
            )


def _no_method(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    """A list without steps, in a kitchen whose other recipes have them."""
    recipe = compiled.recipe
    if recipe.steps or not recipe.whole or not any(True for _ in compiled.formula.items()):
        return
    others = [one for one in kitchen.own_recipes() if one is not recipe]
    if others and all(one.steps for one in others):
        yield find(
            "no-method",
            recipe.name.span,
            f"{recipe.name.text} has ingredients and no step, unlike the other recipes of this kitchen.",
            "Write `step NAME` below the list, and in it what is done; nothing, if the list is all there is.",
        )


# ---------------------------------------------------------------- steps


def _prose(step: StepMethod) -> list[tuple[ProseLine, str]]:
    """The lines of a step with what they say, facts included, small letters and single blanks."""
    return [(line, name_key(line.span.text)) for line in step.block.prose()]


def _empty(compiled: Compiled) -> Iterator[Finding]:
    for step in compiled.method.steps:
        if any(isinstance(line, Unread) for line in step.block.lines):
            continue
        if not any(re.search(r"\w", text) for _, text in _prose(step)):
            heading = step.block.heading
            assert isinstance(heading, StepHeading)
            yield find(
                "step-empty",
                heading.name.span,
                f"“{step.name.text}” says nothing of what is done.",
                "Write it below the heading, indented; or take the step out.",
            )


def _told_twice(compiled: Compiled) -> Iterator[Finding]:
    """Steps that say the same, and lines that stand twice in one."""
    whole: dict[str, StepMethod] = {}
    for step in compiled.method.steps:
        lines = _prose(step)
        seen: dict[str, ProseLine] = {}
        doubled = False
        for line, text in lines:
            twin = seen.setdefault(text, line)
            if twin is not line and _words(text) > 2:
                doubled = True
                yield _twice(line.span, "This line stands twice in the step.", twin.span, text)
        text = " ".join(text for _, text in lines)
        first = whole.setdefault(text, step)
        if first is not step and not doubled and _words(text) > 2:
            heading = step.block.heading
            assert heading is not None
            yield _twice(
                step.name.span,
                f"“{step.name.text}” says word for word what “{first.name.text}” says.",
                first.name.span,
                text,
            )


def _words(text: str) -> int:
    return len(re.findall(r"[^\W\d_]{2,}", text))


def _twice(span: Span, message: str, twin: Span, text: str) -> Finding:
    return find(
        "told-twice",
        span,
        message,
        "Take one of the two out; if it is done twice, say so in words: “once more”.",
        also=(Also(twin, "the other one"),),
        severity=Severity.WARNING if _words(text) >= _LONG else None,
    )


# ---------------------------------------------------------------- out of another list


def _other_list(compiled: Compiled) -> Iterator[Finding]:
    """A step that works for one list and takes a line that stands in another, where either has steps of its own.

    Half a line may be shared, and what is `for the tops` is often put on later: those are only remarked on.
    """
    parts = compiled.formula.parts
    own = {step.part.key for step in compiled.method.steps if step.part is not None}
    told: set[tuple[str, tuple[int, int]]] = set()
    for step, span, index in _lines_drawn(compiled):
        part, item = parts[index[0]], parts[index[0]].items[index[1]]
        there = part.name.key if part.name is not None else ""
        here = step.part.key if step.part is not None else ""
        if here and here not in {one.name.key for one in parts if one.name is not None}:
            continue  # told: no list is for it
        if part.role not in _LISTS or there == here or not {here, there} & own or (here, index) in told:
            continue
        told.add((here, index))
        whose = f"the list for the {part.name.text}" if part.name is not None else "the main list"
        mine = f"for the {step.part.text}" if step.part is not None else "for the main list"
        wanted = f"`ingredients for the {step.part.text}`" if step.part is not None else "`ingredients`"
        shared = item.purpose is not None or span.text.casefold().startswith(_SOME_OF)
        yield find(
            "taken-from-another-list",
            span,
            f"“{step.name.text}” works {mine}, but takes the {item.name.text} of {whose}.",
            f"Move the line under {wanted} if it belongs there, or say in the step's heading what it works for.",
            also=(Also(item.entry.span, "the line it takes"),),
            severity=Severity.HINT if shared else None,
        )


_LISTS: Final = frozenset({"main", "final", "part"})
_SOME_OF: Final = tuple(
    f"[{word}" for word in ("half", "the rest", "a ", "1", "2", "3", "4", "5", "6", "7", "8", "9")
)
"""How a draw begins that leaves some of the line to others."""


def _rest_of_all(compiled: Compiled) -> Iterator[Finding]:
    """`the rest of the sugar` where none has been taken yet."""
    seen: set[tuple[int, int]] = set()
    unknown = any(one.rule in ("cannot-be-weighed", "not-in-the-list") for one in compiled.method.findings)
    if unknown or not compiled.recipe.whole:
        return  # what was taken before it is not known
    for _step, span, index in _lines_drawn(compiled):
        part = compiled.formula.parts[index[0]]
        item = part.items[index[1]]
        if part.role == "final":
            continue  # a preferment or a soaker has the first of it
        if index not in seen and item.weight and re.match(r"\[the rest of\b", span.text, re.IGNORECASE):
            yield find(
                "rest-of-all",
                span,
                f"“{span.text.strip('[]')}”, but no step has taken any of it before: this is all of it.",
                f"Write `[the {item.name.text}]`, or take the first of it in a step above.",
                also=(Also(item.entry.span, "the line it takes"),),
            )
        seen.add(index)


def _lines_drawn(compiled: Compiled) -> Iterator[tuple[StepMethod, Span, tuple[int, int]]]:
    """Every draw of a list line: its step, where it stands, and the line."""
    for step in compiled.method.steps:
        for line, runs in zip(step.block.prose(), step.lines, strict=True):
            for piece, run in zip(line.pieces, runs, strict=True):
                if isinstance(run, DrawRun) and run.line is not None:
                    yield step, piece.span, run.line


# ---------------------------------------------------------------- named before it is drawn


_NOT_THE_FOOD: Final = re.compile(
    r"\s+(?:mixture|mix|sauce|dough|batter|bath|paper|dish|bowl|pan|pot|jar|jug|wash|knife|spoon|cooker|steamer|"
    r"sieve|tin|tray|basket|drawer|crumbs?|water|juice|zest|shells?|skins?|peel|grater|press|cake|bread|side)\b",
    re.IGNORECASE,
)
"""What makes of a food's name the name of something else."""

_NOT_YET: Final = re.compile(
    r"\b(?:before|until|till|without|no|not|for|like|than|as|later|next|of|when|if|once|after|instead)(?:\s+\w+){0,3}\s*$",
    re.IGNORECASE,
)
"""Words before a name that say it only comes later, or is only a likeness."""

_VERBS: Final = frozenset(
    {"water", "oil", "salt", "butter", "flour", "sugar", "pepper", "ice", "milk", "oils"}
)
"""Foods that are also something one does to a tin."""


_Place: TypeAlias = tuple[int, int, int]
"""Of a piece in the method: step, line, piece."""


def _named_first(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    first = _first_draws(compiled)
    if any(one.rule in ("not-in-the-list", "number-needs-of") for one in compiled.method.findings):
        return
    names = {
        item.name.key: item
        for item in compiled.formula.items()
        if item.name.key in first and not item.name.key.isdigit() and item.name.key not in _VERBS
    }
    others = [name_key(part.name.text) for part in compiled.formula.parts if part.name]
    others += [step.name.key for step in compiled.method.steps]
    pattern = _any_of([*names, *(key for key in others if key not in names)])
    if pattern is None or not names:
        return
    told: set[str] = set()
    for at, span in _texts(compiled):
        text = span.text
        for match in pattern.finditer(text):
            key = name_key(match[0])
            item = names.get(key)
            if item is None or key in told or not _earlier(at, first[key][0], text[match.end() :]):
                continue
            before, after = text[: match.start()], text[match.end() :]
            if (
                _NOT_YET.search(before)
                or _NOT_THE_FOOD.match(after)
                or _longer(before, match[0], after, kitchen, item)
            ):
                continue
            told.add(key)
            yield find(
                "named-before-drawn",
                span.part(match.start(), match.end()),
                f"“{item.name.text}” is named here without brackets, and is only drawn further down.",
                f"If it goes in here, write `[the {item.name.text}]` here and take the brackets away there.",
                also=(Also(first[key][1], "drawn here first"),),
            )


def _any_of(names: list[str]) -> re.Pattern[str] | None:
    """Any of these names as whole words, the longest first."""
    longest = sorted({name for name in names if name}, key=len, reverse=True)
    if not longest:
        return None
    words = "|".join(re.escape(name).replace(r"\ ", r"\s+") for name in longest)
    return re.compile(rf"(?<![\w-])(?:{words})(?![\w-])", re.IGNORECASE)


def _first_draws(compiled: Compiled) -> dict[str, tuple[_Place, Span]]:
    """Where each name is first drawn, by itself or in its part: step, line and piece."""
    found: dict[str, tuple[_Place, Span]] = {}
    for number, step in enumerate(compiled.method.steps):
        drawn = iter(step.draws)
        for row, (line, runs) in enumerate(zip(step.block.prose(), step.lines, strict=True)):
            for place, (piece, run) in enumerate(zip(line.pieces, runs, strict=True)):
                if not isinstance(run, DrawRun) or (run.line is None and run.weight is None):
                    continue
                one = next(drawn, None)
                if one is None:
                    continue
                items = [one.item] if one.item is not None else one.part.items if one.part else ()
                for item in items:
                    for key in item.keys:
                        found.setdefault(key, ((number, row, place), piece.span))
    return found


def _texts(compiled: Compiled) -> Iterator[tuple[_Place, Span]]:
    """The plain words of the method, in order."""
    for number, step in enumerate(compiled.method.steps):
        for row, line in enumerate(step.block.prose()):
            for place, piece in enumerate(line.pieces):
                if isinstance(piece, Text):
                    yield (number, row, place), piece.span


def _earlier(at: _Place, drawn: _Place, after: str) -> bool:
    """Whether a mention stands in an earlier step, line or sentence than the first draw."""
    return at < drawn and (at[:2] != drawn[:2] or re.search(r"[.;!?]", after) is not None)


def _longer(before: str, name: str, after: str, kitchen: Kitchen, item: Item) -> bool:
    """Whether the words beside a name make another food of it: peanut butter, butter beans."""
    left = re.search(r"([^\W\d_][\w'’-]*)\s+$", before)
    right = re.match(r"\s+([^\W\d_][\w'’-]*)", after)
    for text in (f"{left[1]} {name}" if left else "", f"{name} {right[1]}" if right else ""):
        food = kitchen.food(Name(text, item.name.span)) if text else None
        if food is not None and not food.keys & item.keys:
            return True
    return False
