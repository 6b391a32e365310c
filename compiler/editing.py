"""What an editor shows and offers beside a text: what stands under the cursor, what is in the file, what would mend
it. Protocol-free: questions are offsets in a Source, answers are Spans and plain words.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from benchproof.compiler import display
from benchproof.compiler.batch import Batch, ChangeRun, CostLine, DrawRun, DurationRun, Run, TurnsRun
from benchproof.compiler.compile import Compiled
from benchproof.compiler.findings import Edit, Finding
from benchproof.compiler.food import Food
from benchproof.compiler.formatter import formatted, same_meaning
from benchproof.compiler.formula import FormulaPart, Item
from benchproof.compiler.kitchen import Kitchen, Recipe, Style
from benchproof.compiler.labels import VOCABULARY
from benchproof.compiler.laid_out import lay_out, only_lines
from benchproof.compiler.mend import mend
from benchproof.compiler.method import StepMethod
from benchproof.compiler.naming import Mention, Namer
from benchproof.compiler.parser import read
from benchproof.compiler.quantities import UNITS
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source, Span
from benchproof.compiler.syntax import (
    SHARED_KINDS,
    Block,
    Entry,
    Measured,
    ProseLine,
    Text,
    Waiver,
    Words,
)
from benchproof.compiler.workspace import Room, too_long

_LISTS: Final = frozenset({"ingredients", "preferment", "soaker"})

# ---------------------------------------------------------------- under the cursor


@dataclass(frozen=True, slots=True)
class Note:
    """What is to be said of a stretch of text: plain lines."""

    span: Span
    lines: tuple[str, ...]


def hover(room: Room, source: Source, offset: int) -> Note | None:
    """What there is to say about the words at an offset."""
    block = room.block_at(source, offset)
    if block is None:
        return None
    if _on_heading_word(block, offset):
        return _block_note(room, block)
    line = next((one for one in block.lines if one.span.first <= offset <= one.span.last), None)
    recipe = _worked_out(room.recipe_of(block))
    if isinstance(line, ProseLine) and recipe is not None:
        note = _fact_note(room, recipe, block, line, offset)
        if note is not None:
            return note
    if isinstance(line, Entry):
        note = _entry_note(room, recipe, block, line, offset)
        if note is not None:
            return note
    mention = Namer(room.kitchen).at(block, offset)
    return _named_note(room, recipe, mention) if mention is not None else None


def _worked_out(recipe: Recipe | None) -> Recipe | None:
    """A recipe, unless it is too long to be worked out while it is typed."""
    return recipe if recipe is not None and not too_long(recipe) else None


def _on_heading_word(block: Block, offset: int) -> bool:
    first = block.span.first
    return block.heading is not None and first <= offset < first + len(block.kind)


def _block_note(room: Room, block: Block) -> Note:
    span = block.span.part(0, len(block.kind))
    recipe = _worked_out(room.recipe_of(block))
    if block.kind == "recipe" and recipe is not None:
        return Note(span, (f"{recipe.name.text}.", *_of_recipe(room.compiled(recipe))))
    if block.kind == "step" and recipe is not None:
        return Note(span, _of_step(room.compiled(recipe), block))
    labels = ", ".join(VOCABULARY[block.kind].names)
    open_label = VOCABULARY[block.kind].open
    lines = [f"Here may stand: {labels}."] if labels else []
    if open_label is not None:
        lines.append(f"Each line is {open_label.name} and {open_label.meaning}, as in: {open_label.example}")
    return Note(span, tuple(lines) or ("Prose with facts in square brackets.",))


def _entry_note(room: Room, recipe: Recipe | None, block: Block, entry: Entry, offset: int) -> Note | None:
    if isinstance(entry.value, Waiver) and _within(entry.value.rule.span, offset):
        return _rule_note(entry.value.rule.span, entry.value.rule.key)
    on_label = _within(entry.label.span, offset)
    if block.kind == "checks" and on_label:
        return _rule_note(entry.label.span, entry.label.key)
    if block.kind in _LISTS and recipe is not None:
        found = _item_of(room.compiled(recipe), entry)
        if found is not None:
            return Note(entry.span, tuple(_of_item(room, room.compiled(recipe), *found)))
    label = VOCABULARY[block.kind].find(entry.label.key)
    if on_label and label is not None:
        lines = [f"{label.name} is {label.meaning}.", f"As in: {label.example}"]
        if not label.computed:
            lines.append("It is read, and not used yet.")
        return Note(entry.label.span, tuple(lines))
    if on_label and block.kind == "expect":
        meaning = VOCABULARY["expect"].open
        assert meaning is not None
        return Note(entry.label.span, (f"{entry.label.text}: {meaning.meaning}.",))
    return None


def _within(span: Span, offset: int) -> bool:
    return span.first <= offset <= span.last


def _rule_note(span: Span, name: str) -> Note | None:
    rule = RULES.get(name)
    if rule is None:
        return None
    lines = [f"{rule.name} ({rule.severity.word})", rule.meaning, rule.why, rule.mend]
    if rule.source:
        lines.append(f"Source: {rule.source}")
    if rule.safety:
        lines.append("It is about safety: it can be waived with a reason, never turned off.")
    return Note(span, tuple(line for line in lines if line))


def _named_note(room: Room, recipe: Recipe | None, mention: Mention) -> Note | None:
    thing, kitchen = mention.thing, room.kitchen
    if thing.kind == "recipe":
        made = _worked_out(kitchen.recipes.get(thing.key))
        return Note(mention.span, _of_recipe(room.compiled(made))) if made is not None else None
    if thing.kind == "food":
        food = kitchen.foods.get(thing.key) or kitchen.larder.food(thing.key)
        return Note(mention.span, tuple(_of_food(kitchen, mention.span.text, food)))
    if thing.kind == "style":
        style = kitchen.styles.get(thing.key) or kitchen.larder.style(thing.key)
        return Note(mention.span, tuple(_of_style(style))) if style is not None else None
    if thing.kind == "step" and recipe is not None:
        compiled = room.compiled(recipe)
        step = next((one for one in compiled.method.steps if one.name.key == thing.key), None)
        return Note(mention.span, _of_step(compiled, step.block)) if step is not None else None
    if thing.kind == "part" and recipe is not None:
        part = _part_of(room.compiled(recipe), thing.key)
        if part is not None:
            return Note(mention.span, (f"{mention.span.text}: {display.weight(part.weight)} in this batch.",))
    return None


# ---------------------------------------------------------------- what is said of them


def _item_of(compiled: Compiled, entry: Entry) -> tuple[Item, FormulaPart] | None:
    for part in compiled.formula.parts:
        for item in part.items:
            if item.entry is entry and part.role != "final":
                return item, part
    return None


def _part_of(compiled: Compiled, key: str) -> FormulaPart | None:
    return next((one for one in compiled.formula.parts if one.name is not None and one.name.key == key), None)


def share_of(item: Item, part: FormulaPart) -> Fraction | None:
    """Per hundred of its part's base; None without one, and for what is outside the ratios."""
    if not part.base_weight or item.weight is None or item.purpose is not None or item.lent:
        return None
    return item.weight * 100 / part.base_weight


def _of_item(room: Room, compiled: Compiled, item: Item, part: FormulaPart) -> Iterator[str]:
    if item.weight is not None:
        yield f"{item.name.text}: {display.weight(item.weight)} in this batch."
    else:
        yield f"{item.name.text}: {'to taste' if item.to_taste else 'its weight is not known'}."
    share = share_of(item, part)
    if share is not None:
        yield f"Baker's percentage: {display.percent(share)} of {display.listed(part.base)}."
    elif item.purpose is not None:
        yield f"It is {item.purpose}: outside the ratios and the yield."
    yield from _cost_of(compiled.batch, item)
    if item.product is not None:
        yield f"It is made here: the recipe {item.product.recipe.name.text}."
        return
    water = item.carries("water")
    if water is not None and item.weight:
        yield f"Water in it: {display.weight(water)} ({display.percent(water * 100 / item.weight)})."
    yield from _of_food(room.kitchen, item.name.text, item.food, water=False)


def _cost_of(batch: Batch | None, item: Item) -> Iterator[str]:
    if batch is None:
        yield "Its cost is not known while this recipe has a mistake in it."
        return
    line = next((one for one in batch.cost.lines if one.item.casefold() in item.keys), None)
    if line is not None:
        yield _costs(line, batch.cost.currency)


def _costs(line: CostLine, currency: str) -> str:
    if line.cost is None:
        return f"Its cost is not known: {line.note or 'no price can be used'}."
    text = f"Cost in this batch: {display.money_with_code(line.cost, currency)}"
    if line.price is not None:
        text += f" ({line.price.pack} at {line.price.shop}, {line.price.date}{', stale' if line.price.stale else ''})"
    return text + (f"; {line.note}." if line.note else ".")


def _of_food(kitchen: Kitchen, name: str, food: Food | None, *, water: bool = True) -> Iterator[str]:
    if food is None:
        yield f"Nobody has stated anything about {name}: its allergens are not stated."
        return
    if food.kind is not None:
        yield f"Kind: {food.kind}."
    if water and food.water is not None:
        yield f"Water: {display.percent(food.water * 100)} of it."
    if food.contains is None:
        yield "Allergens: not stated."
    elif food.contains:
        yield f"Contains: {display.listed(food.contains)}."
    else:
        yield "Contains: none of the allergens known here, as stated."
    if food.span is not None:
        yield _facts_from(kitchen, food)


def _facts_from(kitchen: Kitchen, food: Food) -> str:
    span = food.span
    assert span is not None
    own = span.source in kitchen.sources
    where = f"{span.source.name}, line {span.line}" if own else "the built-in larder"
    named = re.findall(r"^\s+source:\s*(.*?)(?:\s+#(?:\s.*)?)?$", span.text, re.MULTILINE)
    source = f"; source: {'; '.join(named)}" if named else "; no source is named"
    below = " (over the built-in larder's)" if own and any(map(kitchen.larder.food, food.keys)) else ""
    return f"Facts: {where}{below}{source}."


def _of_style(style: Style) -> Iterator[str]:
    yield f"{style.name}: usual ratios{f' of {style.basis}' if style.basis else ''}."
    for bound in style.bounds:
        yield bound.span.text
    if style.source:
        yield f"Source: {style.source}"


def _of_recipe(compiled: Compiled) -> tuple[str, ...]:
    return (f"{headline(compiled)}.",)


def headline(compiled: Compiled) -> str:
    """A recipe in a line: what it makes, how long it takes and what each costs."""
    batch = compiled.batch
    if batch is None:
        return "not worked out: a mistake stands in the way"
    makes, cost = batch.makes, batch.cost
    parts = []
    if makes.count is not None:
        parts.append(display.count(makes.count, makes.noun))
    parts.append(display.weight(makes.finished))
    if batch.times.elapsed.high:
        parts.append(f"{display.duration(batch.times.elapsed.low, batch.times.elapsed.high)} in all")
    if cost.lines:
        each, of = (cost.each, " each") if cost.each is not None else (cost.total, "")
        if cost.complete:
            parts.append(f"{display.money_with_code(each, cost.currency)}{of}")
        else:
            parts.append("cost not known in full")
    return " · ".join(parts)


def _of_step(compiled: Compiled, block: Block) -> tuple[str, ...]:
    step = next((one for one in compiled.method.steps if one.block is block), None)
    if step is None:
        return ("This step is not worked out.",)
    steps = compiled.method.steps
    lines = [f"Step {step.number} of {len(steps)}: {step.name.text}."]
    if compiled.batch is not None:
        stretches = [one for one in compiled.batch.times.plan if one.step == step.number]
        if stretches:
            first, last = min(one.start for one in stretches), max(one.end for one in stretches)
            lines.append(
                f"In the day: from {display.clock(first)} to {display.clock(last)} after the start, "
                "with the long end of every range."
            )
    lines += _waits(step, steps)
    return tuple(lines)


def _waits(step: StepMethod, steps: tuple[StepMethod, ...]) -> Iterator[str]:
    names = {one.number: one.name.text for one in steps}
    if step.after:
        yield f"It waits for {display.listed([names[one] for one in step.after])}."
    if step.during is not None:
        yield f"It goes on during {names[step.during]}."
    waiting = [one.name.text for one in steps if step.number in one.after]
    beside = [one.name.text for one in steps if one.during == step.number]
    if waiting:
        yield f"{display.listed(waiting)} {'waits' if len(waiting) == 1 else 'wait'} for it."
    if beside:
        yield f"During it: {display.listed(beside)}."


def _fact_note(room: Room, recipe: Recipe, block: Block, line: ProseLine, offset: int) -> Note | None:
    compiled = room.compiled(recipe)
    step = next((one for one in compiled.method.steps if one.block is block), None)
    if step is None:
        return None
    runs = step.lines[[id(one) for one in block.prose()].index(id(line))]
    for piece, run in zip(line.pieces, runs, strict=True):
        if not isinstance(piece, Text) and piece.span.first <= offset < piece.span.last:
            return Note(piece.span, tuple(_of_run(room, compiled, step, run)))
    return None


def _of_run(room: Room, compiled: Compiled, step: StepMethod, run: Run) -> Iterator[str]:
    if isinstance(run, DrawRun):
        yield from _of_draw(room, compiled, run)
    elif isinstance(run, DurationRun | TurnsRun | ChangeRun):
        if isinstance(run, DurationRun):
            hands = "nobody is needed" if run.hands_off else "hands-on"
            yield f"{display.duration(run.duration.low, run.duration.high)}, {hands}."
        yield from _of_step(compiled, step.block)
    else:
        yield from _of_step(compiled, step.block)


def _of_draw(room: Room, compiled: Compiled, run: DrawRun) -> Iterator[str]:
    if run.weight is not None:
        counted = f" ({display.count(run.count, run.noun)})" if run.count is not None else ""
        yield f"{run.text}: {display.weight(run.weight, run.division)}{counted} in this batch."
    else:
        yield f"{run.text}: its weight is not known."
    if run.line is not None:
        part = compiled.formula.parts[run.line[0]]
        yield from _of_item(room, compiled, part.items[run.line[1]], part)


# ---------------------------------------------------------------- what is in the file


@dataclass(frozen=True, slots=True)
class Symbol:
    """A block as an outline shows it; a recipe's own blocks are inside it."""

    name: str
    detail: str
    kind: str
    span: Span
    name_span: Span
    inside: tuple[Symbol, ...] = ()


def symbols(room: Room, source: Source) -> list[Symbol]:
    found: list[tuple[Symbol, list[Symbol]]] = []
    for block in room.blocks(source):
        symbol = _symbol(block)
        if block.kind in SHARED_KINDS or not found or found[-1][0].kind not in ("recipe", "kitchen"):
            found.append((symbol, []))
        else:
            found[-1][1].append(symbol)
    whole = []
    for symbol, inside in found:
        # A parent's stretch holds its children's.
        last = max([symbol.span.last, *(one.span.last for one in inside)])
        span = Span(symbol.span.place, symbol.span.start, last - symbol.span.place.offset)
        whole.append(Symbol(symbol.name, symbol.detail, symbol.kind, span, symbol.name_span, tuple(inside)))
    return whole


def _symbol(block: Block) -> Symbol:
    span = block.heading.span if block.heading is not None else block.span.part(0, len(block.kind))
    line = " ".join(span.text.split()) or block.kind
    name = line.removeprefix(block.kind).strip() if block.heading is not None else line
    return Symbol(name or block.kind, block.kind, block.kind, block.span, span)


def folds(room: Room, source: Source) -> list[tuple[int, int]]:
    """The lines, counted from 1, from each block's heading to its last."""
    found = []
    for block in room.blocks(source):
        first, last = block.span.line, source.position(block.span.last)[0]
        if last > first:
            found.append((first, last))
    return found


TokenKind: TypeAlias = Literal["heading", "label", "number", "fact", "name", "comment"]
TOKENS: Final[tuple[TokenKind, ...]] = ("heading", "label", "number", "fact", "name", "comment")


@dataclass(frozen=True, slots=True)
class Token:
    """A stretch of one line, and what it is."""

    start: int
    end: int
    kind: TokenKind


_UNITS: Final = "|".join(re.escape(one) for one in sorted(UNITS, key=len, reverse=True))
_NUMBER: Final = re.compile(
    rf"[0-9½⅓⅔¼¾⅕⅛⅜⅝⅞]+(?:[.,/][0-9]+)?(?:\s?(?:[-–]|to|x)\s?[0-9½⅓⅔¼¾]+(?:[./][0-9]+)?)*"
    rf"(?:\s?(?:(?:{_UNITS})(?![\w°])|%))?"
)


def tokens(room: Room, source: Source) -> list[Token]:
    """What each stretch is, in order, none over another, none over a line's end."""
    paint = bytearray(len(source.text))

    def lay(first: int, last: int, kind: TokenKind) -> None:
        number = TOKENS.index(kind) + 1
        paint[first:last] = bytes([number]) * (last - first)

    namer = Namer(room.kitchen)
    for block in room.blocks(source):
        _lay_block(block, namer, lay)
    found: list[Token] = []
    text, at = source.text, 0
    for match in re.finditer(rb"([\x01-\x06])\1*", bytes(paint)):
        kind = TOKENS[match.group()[0] - 1]
        at = match.start()
        for piece in text[at : match.end()].split("\n"):
            if piece.strip():
                found.append(Token(at, at + len(piece), kind))
            at += len(piece) + 1
    return found


def _lay_block(block: Block, namer: Namer, lay: Callable[[int, int, TokenKind], None]) -> None:
    if block.heading is not None:
        lay(block.span.first, block.span.first + len(block.kind), "heading")
    for line in block.lines:
        if isinstance(line, Entry):
            lay(line.label.span.first, line.label.span.last, "label")
            if not isinstance(line.value, Words):
                _lay_numbers(line.value.span, lay)
        elif isinstance(line, ProseLine):
            for piece in line.pieces:
                if not isinstance(piece, Text):
                    lay(piece.span.first, piece.span.last, "fact")
                    _lay_numbers(piece.span, lay)
    for mention in namer.inside(block):
        if mention.role != "lists":
            lay(mention.span.first, mention.span.last, "name")
    for comment in block.comments:
        lay(comment.span.first, comment.span.last, "comment")


def _lay_numbers(span: Span, lay: Callable[[int, int, TokenKind], None]) -> None:
    for match in _NUMBER.finditer(span.text):
        lay(span.first + match.start(), span.first + match.end(), "number")


@dataclass(frozen=True, slots=True)
class Aside:
    """A few words that an editor shows in a line without their being in it, at an offset."""

    offset: int
    text: str


def asides(room: Room, source: Source, first: int, last: int) -> list[Aside]:
    """Grams beside percentages, pieces and spoons; percentages beside grams: for the lines from `first` to `last`."""
    found = []
    for recipe in room.recipes_in(source):
        seen = any(block.span.first < last and first <= block.span.last for block in recipe.blocks)
        if not seen or too_long(recipe):
            continue
        for part in room.compiled(recipe).formula.parts:
            if part.role == "final":
                continue
            for item in part.items:
                text = _beside(item, part)
                span = item.entry.value.span
                if text and span.source is source and first <= span.first < last:
                    found.append(Aside(span.last, text))
    return sorted(found, key=lambda one: one.offset)


def _beside(item: Item, part: FormulaPart) -> str | None:
    value = item.entry.value
    if item.weight is None:
        return None
    if isinstance(value, Measured) and value.quantity.dimension == "mass":
        share = share_of(item, part)
        return display.percent(share) if share is not None else None
    return display.weight(item.weight)


@dataclass(frozen=True, slots=True)
class Line:
    """A few words above a heading."""

    span: Span
    text: str


def headlines(room: Room, source: Source) -> list[Span]:
    """The names above which `headline_at` has something to say."""
    return [one.name.span for one in room.recipes_in(source) if not too_long(one)]


def headline_at(room: Room, source: Source, offset: int) -> Line | None:
    """The words above the recipe whose name begins at an offset."""
    for recipe in room.recipes_in(source):
        if recipe.name.span.first == offset and not too_long(recipe):
            return Line(recipe.name.span, headline(room.compiled(recipe)))
    return None


# ---------------------------------------------------------------- what would mend or lay it out


@dataclass(frozen=True, slots=True)
class Fix:
    """A change that is offered. `finding` is the one it mends, None where it mends several."""

    title: str
    edits: tuple[Edit, ...]
    finding: Finding | None = None


def fixes(found: Iterable[Finding], first: int, last: int) -> list[Fix]:
    """The findings' own safe mends, for what touches the stretch from `first` to `last`."""
    offered = []
    for one in found:
        if one.edit is None:
            continue
        touches = [span for span in (one.span, one.edit.span) if span.first <= last and first <= span.last]
        if touches:
            offered.append(Fix(_title(one.edit), (one.edit,), one))
    return offered


def _title(edit: Edit) -> str:
    new, old = " ".join(edit.text.split()), " ".join(edit.span.text.split())
    if not new:
        return f"Take “{_shortened(old)}” out" if old else "Mend the blanks"
    if new == old:
        return "Mend the blanks of this line" if "\n" not in edit.text else "Mend the blanks of these lines"
    return f"Write “{_shortened(new)}”"


def _shortened(text: str) -> str:
    return text if len(text) <= 50 else f"{text[:49].rstrip()}…"


MOST_RECIPES: Final = 100
"""Of a kitchen whose recipes are all tried out when a text that they share is mended."""


def can_mend_all(room: Room, source: Source) -> bool:
    """Whether `mend_all` may be asked: all that has to do with the text can be tried out without a long wait."""
    recipes = around(room, source).own_recipes()
    return len(recipes) <= MOST_RECIPES and not any(map(too_long, recipes))


def around(room: Room, source: Source) -> Kitchen:
    """As much of the kitchen as has to do with a text: what its recipes use, what uses them, and what all share.

    A text that all share has to do with everything.
    """
    kitchen = room.kitchen
    if any(block.kind in SHARED_KINDS - {"recipe"} for block in room.blocks(source)):
        return kitchen
    users: dict[str, set[str]] = {}
    uses: dict[str, set[str]] = {}
    for recipe in kitchen.own_recipes():
        for block in (*recipe.ingredients, *recipe.preferments, *recipe.soakers):
            for entry in block.entries():
                inner = kitchen.recipes.get(entry.label.key)
                if inner is not None and inner is not recipe:
                    uses.setdefault(recipe.source.name, set()).add(inner.source.name)
                    users.setdefault(inner.source.name, set()).add(recipe.source.name)
    above = _reached({source.name}, users)
    wanted = _reached(above, uses)
    with_recipes = {recipe.source.name for recipe in kitchen.own_recipes()}
    shared = {block.place.source.name for block in kitchen.blocks if block.kind in SHARED_KINDS - {"recipe"}}
    return Kitchen(
        [one for one in kitchen.sources if one.name in wanted | shared or one.name not in with_recipes],
        kitchen.root,
    )


def _reached(names: set[str], to: dict[str, set[str]]) -> set[str]:
    found, waiting = set(names), list(names)
    while waiting:
        for name in to.get(waiting.pop(), ()):
            if name not in found:
                found.add(name)
                waiting.append(name)
    return found


def mend_all(room: Room, source: Source) -> Fix | None:
    """All that `benchproof check --mend` would put right in this text; None where there is nothing."""
    mended = mend(around(room, source), room.on, {source.name})
    for file in mended.files:
        if file.source.name == source.name:
            many = len(file.applied)
            title = f"Mend all that is safe in this file ({many} {'place' if many == 1 else 'places'})"
            return Fix(title, tuple(_line_edits(room, source, file.text)))
    return None


def laid_out(room: Room, source: Source, lines: tuple[int, int] | None = None) -> list[Edit]:
    """The edits that give a text (or these lines of it, counted from 1, both ends in it) the one layout.

    None are given where the text would then say something else.
    """
    if can_mend_all(room, source):
        laid = lay_out(around(room, source), room.on, {source.name})
        text = laid[0].text if laid and laid[0].keeps else None
    else:
        text = _laid_by_lines(source)
    if text is None:
        return []
    return list(_line_edits(room, source, text if lines is None else only_lines(source, text, *lines)))


def _laid_by_lines(source: Source) -> str | None:
    """The one layout where there is too much to be worked out: that each line says the same is looked at alone."""
    text = formatted(source)
    return text if same_meaning(read(source)[0].blocks, read(Source(text))[0].blocks) else None


def _line_edits(room: Room, source: Source, text: str) -> Iterator[Edit]:
    """One edit for each line that differs, and one for the lines at the end that are too many or missing."""
    place = room.cache.read(source)[0].place
    old, new = source.text.split("\n"), text.split("\n")
    at, shared = 0, min(len(old), len(new))
    for number in range(shared):
        was, now = old[number], new[number]
        if was != now:
            yield Edit(Span(place, at, at + len(was)), now)
        at += len(was) + 1
    if len(old) > shared:
        yield Edit(Span(place, at - 1, len(source.text)), "")
    elif len(new) > shared:
        yield Edit(Span(place, at - 1, at - 1), "\n" + "\n".join(new[shared:]))
