"""For tests of the compiler: a kitchen from text, a recipe of it compiled, and what was found."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

from benchproof.compiler.batch import Batch, Line
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import Kitchen, bench_files, open_kitchen
from benchproof.compiler.request import Request
from benchproof.compiler.source import Source

RECIPES = Path(__file__).resolve().parents[2] / "recipes"
"""The demo kitchen."""

DAY = "2026-11-20"
"""The day of asking, where a test does not care."""

DEMO = tuple(
    path.stem
    for path in sorted(RECIPES.glob("*.bench"))
    if any(line.startswith("recipe ") for line in path.read_text(encoding="utf-8").splitlines())
)
"""The demo recipes, by the names of their files."""


def kitchen_of(*texts: str) -> Kitchen:
    """A kitchen of these texts, each a file of its own."""
    return Kitchen([Source(text, f"text{number}.bench") for number, text in enumerate(texts, 1)])


def compile_text(text: str, *more: str, recipe: str | None = None, **request: Any) -> Compiled:
    """The first recipe of `text` (or the one named) compiled for a request, in a kitchen with `more` texts."""
    kitchen = kitchen_of(text, *more)
    found = kitchen.recipe(recipe) if recipe else kitchen.own_recipes()[0]
    assert found is not None, f"no recipe {recipe!r}"
    return Compiler(kitchen).compile(found, Request(**{"on": DAY, **request}))


def batch_of(text: str, *more: str, recipe: str | None = None, **request: Any) -> Batch:
    """The Batch of a text that must compile without an error."""
    compiled = compile_text(text, *more, recipe=recipe, **request)
    assert errors(compiled) == []
    assert compiled.batch is not None
    return compiled.batch


@lru_cache(maxsize=1)
def demo_kitchen() -> Kitchen:
    return open_kitchen(RECIPES)


@lru_cache(maxsize=1)
def _demo_compiler() -> Compiler:
    return Compiler(demo_kitchen())


def demo(stem: str, **request: Any) -> Compiled:
    """A demo recipe compiled, by the name of its file."""
    kitchen = demo_kitchen()
    recipe = next(one for one in kitchen.own_recipes() if one.source.name == f"{stem}.bench")
    return _demo_compiler().compile(recipe, Request(**request))


def demo_batch(stem: str, **request: Any) -> Batch:
    batch = demo(stem, **request).batch
    assert batch is not None
    return batch


def demo_texts() -> dict[str, str]:
    """The demo kitchen's files, for a test that changes one."""
    return {
        path.relative_to(RECIPES).as_posix(): path.read_text(encoding="utf-8")
        for path in bench_files(RECIPES)
    }


def rules(compiled: Compiled) -> list[str]:
    return [finding.rule for finding in compiled.findings]


def errors(compiled: Compiled) -> list[Finding]:
    return [finding for finding in compiled.findings if finding.severity is Severity.ERROR]


def only(compiled: Compiled) -> Finding:
    """The one finding there is."""
    assert len(compiled.findings) == 1, compiled.findings
    return compiled.findings[0]


def line(batch: Batch, name: str, part: str | None = None, purpose: str | None = None) -> Line:
    """The line of that name, in that part."""
    found = [
        one
        for block in batch.parts
        if block.name == part
        for one in block.lines
        if one.name == name and (purpose is None or one.purpose == purpose)
    ]
    assert found, f"no line {name!r}"
    return found[0]


def weights(batch: Batch) -> dict[str, Fraction | None]:
    """g by name; of a name that stands twice, the last."""
    return {one.name: one.weight for block in batch.parts for one in block.lines}


def values(thing: Any) -> Iterator[Any]:
    """Every plain value in a nest of dataclasses and tuples."""
    if is_dataclass(thing) and not isinstance(thing, type):
        for field in fields(thing):
            yield from values(getattr(thing, field.name))
    elif isinstance(thing, tuple | list):
        for one in thing:
            yield from values(one)
    elif isinstance(thing, dict):
        for key, one in thing.items():
            yield from values(key)
            yield from values(one)
    else:
        yield thing
