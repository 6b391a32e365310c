"""Bench for Pygments, and so for everything that colours text by it: found by its entry point, as `bench`.

Nothing of the program imports this; Pygments does, when it is asked for.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Any, ClassVar

from pygments.lexer import LexerContext, RegexLexer
from pygments.token import Text, Whitespace, _TokenType, string_to_tokentype

from benchproof.grammar.editors.highlighting import KINDS, PASS_WORD, Region, contexts

_Painted = Iterator[tuple[int, _TokenType, str]]
_Callback = Callable[[RegexLexer, re.Match[str], LexerContext | None], _Painted]


def _token(kind: str | None) -> _TokenType:
    return string_to_tokentype(KINDS[kind].token) if kind else Text


def _paint(kinds: tuple[str | None, ...], fill: str | None) -> _Callback:
    """Each group in the colour of its kind, and what lies between them in that of the context."""
    colours = [_token(kind or fill) for kind in kinds]
    between = _token(fill)

    def painted(_lexer: RegexLexer, match: re.Match[str], _ctx: LexerContext | None = None) -> _Painted:
        at = match.start()

        def left(to: int) -> _Painted:
            if at < to:
                yield at, between, match.string[at:to]

        for number, colour in enumerate(colours, 1):
            start, end = match.span(number)
            if start < end:
                yield from left(start)
                yield start, colour, match.string[start:end]
                at = end
        yield from left(match.end())

    return painted


def _states() -> dict[str, list[Any]]:
    """A state for each pair of a context and the end of the region that it fills."""
    states: dict[str, list[Any]] = {}

    def state(name: str, context: str, region: Region | None) -> str:
        if name in states:
            return name
        rules: list[Any] = []
        states[name] = rules
        inside = contexts()[context]
        if region is not None:
            rules.append((region.end, _paint(region.end_kinds, inside.fill), "#pop"))
        for rule in inside.rules:
            if isinstance(rule, Region):
                inner = state(f"{rule.context} to {rule.end}", rule.context, rule)
                rules.append((rule.begin, _paint(rule.kinds, inside.fill), inner))
            else:
                rules.append((rule.pattern, _paint(rule.kinds, inside.fill)))
        rules += [
            (r"\n", Whitespace),
            (PASS_WORD, _token(inside.fill)),
            (r".", _token(inside.fill)),
        ]
        return name

    state("root", "bench", None)
    return states


class BenchLexer(RegexLexer):
    """Recipes and kitchens in the Bench language."""

    name = "Bench"
    aliases: ClassVar[list[str]] = ["bench"]
    filenames: ClassVar[list[str]] = ["*.bench"]
    mimetypes: ClassVar[list[str]] = ["text/x-bench"]
    flags = re.MULTILINE
    tokens = _states()

    def get_tokens_unprocessed(self, text: str, stack: Iterable[str] = ("root",)) -> _Painted:
        """As Pygments has it, with neighbours of one colour made one: else each word of prose were a token."""
        run: tuple[int, _TokenType, str] | None = None
        for at, token, piece in super().get_tokens_unprocessed(text, stack):
            if run is not None and run[1] is token and token is not Whitespace:
                run = (run[0], token, run[2] + piece)
            else:
                if run is not None:
                    yield run
                run = (at, token, piece)
        if run is not None:
            yield run
