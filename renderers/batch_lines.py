"""A file of recipes as plain lines that stay where they are, for `git diff` and other tools that compare lines.

Each line says one thing and nothing that another line says: where amounts are shares of a base only what is 100 % has
its weight, so that a larger batch changes one line. Facts stand in brackets, as written. What no Batch shows (comments,
trials, prices) follows as written, so that no change is hidden; a recipe that does not compile is there as written.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchproof.compiler import display
from benchproof.compiler.batch import Batch, Line, Part, Step, TextRun
from benchproof.compiler.comparison import Passage, Plainly, Side
from benchproof.renderers.comparison import yield_words
from benchproof.renderers.terminal import even_spaces, harmless


def batch_lines(file: Plainly) -> str:
    """The lines of a file. Raises `display.UnknownCurrency` for a currency that ISO 4217 does not have."""
    lines: list[str] = []
    for side in file.recipes:
        lines += _lines(side.batch) if side.batch is not None else _as_written(side)
        lines.append("")
    for passage in file.rest:
        lines += [*_passage(passage), ""]
    return "".join(f"{even_spaces(harmless(line)).rstrip()}\n" for line in lines[:-1])


def _as_written(side: Side) -> Iterator[str]:
    yield f"does not compile. {side.why_not}"
    for passage in side.text or ():
        yield from _passage(passage)


def _passage(passage: Passage) -> Iterator[str]:
    if passage.heading:
        yield passage.heading
    yield from (f"  {line}" for line in passage.lines)


def _lines(batch: Batch) -> Iterator[str]:
    yield f"recipe {batch.recipe}"
    yield from _makes(batch)
    for part in batch.parts:
        yield from _part(part)
    for ratio in batch.ratios:
        word = f", {ratio.word}" if ratio.word else ""
        verdict = f", {ratio.verdict}" if ratio.verdict else ""
        yield f"  ratio, {ratio.name}{word}: {display.percent(ratio.value)} of {ratio.basis}{verdict}"
    for tool in batch.equipment:
        many = f": {display.count(tool.count)}" if tool.count is not None else ""
        yield f"  equipment, {tool.name}{many}{f', or {tool.instead}' if tool.instead else ''}"
    for step in batch.steps:
        yield from _step(step, batch)
    yield from _figures(batch)


def _makes(batch: Batch) -> Iterator[str]:
    yield f"  makes: {yield_words(batch.makes)}"
    for loss in batch.makes.losses:
        what = "gains" if loss.gain else "loses"
        yield f"  {what} {loss.words}: {display.ratio_range(loss.percent.low, loss.percent.high)}"
    if batch.serves is not None:
        yield f"  serves: {display.count(batch.serves)}"
    if batch.style is not None:
        yield f"  style: {batch.style}"
    for keeps in batch.keeps:
        yield f"  keeps: {keeps.words}"
    if batch.reheats is not None:
        yield f"  reheats: {batch.reheats}"


def _part(part: Part) -> Iterator[str]:
    name = part.name or {"main": "formula", "final": "final dough"}.get(part.role, part.role)
    role = f"{part.role} " if part.role in ("preferment", "soaker") else ""
    if part.share is not None:
        yield f"  {role}{name}: {display.percent(part.share)} of the {display.listed(part.base)}"
    if part.base:
        yield f"  {role}{name}, 100 % is: {display.listed(part.base)}"
    for line in part.lines:
        # The final dough is what is left of the others: of it only what stands nowhere else is told.
        if part.role != "final" or line.purpose is not None or (line.weight is None and line.written):
            yield f"  {role}{name}, {line.name}: {_amount(line, part)}"


def _amount(line: Line, part: Part) -> str:
    said: list[str] = []
    if line.percent is not None:
        said.append(display.percent(line.percent))
    if line.count is not None:
        said.append(display.count(line.count, line.noun))
    if line.weight is not None and (line.percent is None or (line.is_base and len(part.base) >= 1)):
        said.append(display.weight(line.weight, line.division))
    if line.to_taste:
        said.append("to taste")
    if not said:
        said.append(line.written)
    if line.purpose is not None:
        said.append(line.purpose)
    if line.note:
        said.append(line.note)
    return ", ".join(said)


def _step(step: Step, batch: Batch) -> Iterator[str]:
    names = {one.number: one.name for one in batch.steps}
    during = f", during {names[step.during]}" if step.during is not None else ""
    after = f", after {display.listed([names[number] for number in step.after])}" if step.after else ""
    yield f"  step {step.name}{f', for {step.part}' if step.part else ''}{during or after}"
    for line in step.lines:
        words = "".join(run.text if isinstance(run, TextRun) else f"[{run.text}]" for run in line)
        yield f"    {' '.join(words.split())}"


def _figures(batch: Batch) -> Iterator[str]:
    times, cost = batch.times, batch.cost
    if batch.steps and times.untimed < len(batch.steps):
        yield f"  time, hands-on: {display.duration(times.hands_on.low, times.hands_on.high)}"
        yield f"  time, from start to end: {display.duration(times.elapsed.low, times.elapsed.high)}"
    if any(line.cost for line in cost.lines):
        without = "" if cost.complete else ", without every price"
        if cost.each is not None:
            each = display.small_money(cost.each, cost.currency)
            yield f"  cost, each: {each}{without}"
        else:
            yield f"  cost: {display.money_with_code(cost.total, cost.currency)}{without}"
    for allergen in batch.allergens.contains:
        yield f"  contains {allergen.name}: {', '.join(allergen.foods)}"
    for name in batch.allergens.may_contain:
        yield f"  may contain {name}"
    for name in batch.allergens.not_stated:
        yield f"  not stated what it contains: {name}"
    steps = {one.number: one.name for one in batch.steps}
    for caution in batch.cautions:
        where = f", {steps[caution.step]}" if caution.step is not None else ""
        yield f"  take care{where}: {caution.text}"
