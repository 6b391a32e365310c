"""A kitchen's own checks: installed beside this program, run after its own.

An installed distribution names them as entry points of the group `benchproof.checks`; see `grammar/own-checks.md`.
Nothing in a recipe can name code, and nothing that is not installed is run. What goes wrong in one is told as a
finding and stops nothing else. With `BENCHPROOF_TRACEBACK=1` it comes through whole, for whoever writes one.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import EntryPoint, entry_points
from typing import Any, Final

from benchproof.compiler.compile import Compiled
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.rules import RULES, find
from benchproof.compiler.source import Place, Span

GROUP: Final = "benchproof.checks"
"""The entry points' group."""

_LONGEST: Final = 160
"""Characters of a fault that are shown."""


@dataclass(frozen=True, slots=True)
class OwnCheck:
    """A check of the kitchen's own, of the shape that the built-in ones have. `package` is what it was installed as."""

    name: str
    package: str
    function: Callable[[Compiled, Kitchen], Iterable[Finding]]

    def __call__(self, compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
        """What it finds in a recipe; what is wrong with the check itself is found at the recipe's name."""
        try:
            for found in self.function(compiled, kitchen):
                wrong = _wrong_with(found, kitchen)
                if wrong:
                    yield self._failed(compiled.recipe.name.span, wrong)
                    return
                yield found
        except (Exception, SystemExit) as error:
            if _whole():
                raise
            fault = f"it stopped in “{compiled.recipe.name.text}”: {_told(error)}"
            yield self._failed(compiled.recipe.name.span, fault)

    def _failed(self, span: Span, fault: str) -> Finding:
        return _failed(self.name, self.package, span, fault)


def own_checks() -> tuple[OwnCheck, ...]:
    """The checks that are installed, in the order of their names. Loaded once, with the rules they declare."""
    return _loaded()[0]


def check(compiled: Compiled, kitchen: Kitchen) -> Iterator[Finding]:
    """What all of them find in a recipe."""
    for own in own_checks():
        yield from own(compiled, kitchen)


def check_kitchen(kitchen: Kitchen) -> Iterator[Finding]:
    """Those that could not be loaded: told once a kitchen, at its name or where its first text begins."""
    span = _beginning(kitchen)
    if span is not None:
        for name, package, fault in _loaded()[1]:
            yield _failed(name, package, span, fault)


# ---------------------------------------------------------------- loading


@lru_cache(maxsize=1)
def _loaded() -> tuple[tuple[OwnCheck, ...], tuple[tuple[str, str, str], ...]]:
    """The checks, and of those that could not be loaded the name, the package and the fault."""
    checks: list[OwnCheck] = []
    faults: list[tuple[str, str, str]] = []
    # A package that stands twice on the path names its checks twice.
    points = {(point.name, _package(point), point.value): point for point in entry_points(group=GROUP)}
    for (name, package, _), point in sorted(points.items()):
        declared = set(RULES)
        try:
            function = point.load()
            if not callable(function) or isinstance(function, type):
                raise TypeError(f"`{point.value}` is no function")
        except (Exception, SystemExit) as error:
            if _whole():
                raise
            for rule in set(RULES) - declared:
                del RULES[rule]  # half a set of rules would promise what nobody looks for
            faults.append((name, package, f"it could not be loaded: {_told(error)}"))
        else:
            checks.append(OwnCheck(name, package, function))
    return tuple(checks), tuple(faults)


def _package(point: EntryPoint) -> str:
    return point.dist.name if point.dist is not None else ""


# ---------------------------------------------------------------- what is wrong with one


def _wrong_with(found: Any, kitchen: Kitchen) -> str:
    """Why what a check gave is no finding that could be told, or nothing."""
    if not isinstance(found, Finding):
        return f"it gave something that is no finding: {_short(repr(found))}"
    if found.rule not in RULES:
        return f"it found “{found.rule}”, a rule that nobody has declared"
    if found.span.source not in kitchen.sources:
        return f"it found {found.rule} in a text that is not of this kitchen"
    return ""


def _failed(name: str, package: str, span: Span, fault: str) -> Finding:
    return find(
        "own-check-failed",
        span,
        f"The kitchen's own check “{name}” did not do its work: {fault.rstrip('.')}.",
        f"Install {package or 'its package'} in a version that works, or take it out; "
        "all other checks were made.",
    )


def _told(error: BaseException) -> str:
    """A fault in one line: its own words, and the name by which whoever wrote the check knows it."""
    return _short(f"{error} ({type(error).__name__})".strip())


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= _LONGEST else line[: _LONGEST - 1].rstrip() + "…"


def _whole() -> bool:
    """Whether faults are to come through whole."""
    return bool(os.environ.get("BENCHPROOF_TRACEBACK"))


def _beginning(kitchen: Kitchen) -> Span | None:
    for block in kitchen.blocks:
        if block.kind == "kitchen" and block.heading is not None:
            return block.heading.span
    for source in kitchen.sources:
        return Span(Place(source), 0, source.text.find("\n") if "\n" in source.text else len(source.text))
    return None
