"""What changed between two versions of a recipe: text, JSON, or Markdown for a pull request.

JSON
    `benchproof.compiler.comparison.Comparisons` as it is: `comparison.schema.json`, beside that module, is its schema.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from benchproof.compiler import display
from benchproof.compiler.batch import Extent, Yield
from benchproof.compiler.comparison import (
    AllergenChange,
    Amount,
    CautionChange,
    Comparison,
    Comparisons,
    CostChange,
    FactChange,
    FactRun,
    IngredientChange,
    PartChange,
    RatioChange,
    Seen,
    StepChange,
    TextChange,
    TimeChange,
    YieldChange,
)
from benchproof.compiler.plain_json import plain
from benchproof.renderers.cost_table import escaped_md as escaped
from benchproof.renderers.cost_table import price_words
from benchproof.renderers.terminal import even_spaces, folded, harmless, json_text, painted

Form: TypeAlias = Literal["text", "json", "markdown"]

TO: Final = " → "
NOTHING: Final = "Nothing changed that a baker would notice"


def comparison(comparisons: Comparisons, as_: Form, *, width: int | None = None, colour: bool = False) -> str:
    """What changed, in one of three forms; `width` and `colour` are for `text` alone. `width` None folds nothing.

    Raises `display.UnknownCurrency` for a currency that ISO 4217 does not have.
    """
    if as_ == "json":
        return json_text(plain(comparisons))
    sheets = [_sheet(one) for one in comparisons.recipes]
    if as_ == "markdown":
        return "\n".join(_markdown(one) for one in sheets)
    return "\n".join(_text(one, width, colour) for one in sheets)


# ---------------------------------------------------------------- what all forms show


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A comparison in words: a title, which versions, what is to be said before, and the lines under each heading."""

    title: str
    sides: str
    notes: tuple[str, ...]
    sections: tuple[tuple[str, tuple[str, ...]], ...]


def _sheet(one: Comparison) -> _Sheet:
    name = one.new.name or one.old.name or "No recipe"
    notes = [*_not_compiled(one)]
    if one.by == "nothing":
        notes = [_one_sided(one)]
    elif one.empty:
        words = "" if one.same_text else ", though the words are not the same"
        notes.append(f"{NOTHING}{words}.")
    drawn = (
        ("ratios", [_ratio(ratio) for ratio in one.ratios]),
        ("size and yield", [*_size(one)]),
        ("ingredients", [*map(_part, one.parts), *map(_ingredient, one.ingredients)]),
        ("method", [_step(step) for step in one.steps]),
        ("time", [_time(time) for time in one.times]),
        ("cost", [*_cost(one.cost)] if one.cost is not None else []),
        ("allergens", [_allergen(change) for change in one.allergens]),
        ("take care", [_caution(change) for change in one.cautions]),
        ("equipment", [_words(change) for change in one.equipment]),
        ("also", [_words(change) for change in one.said]),
        ("as written", [_words(change) for change in one.texts]),
    )
    sections = tuple((title, tuple(lines)) for title, lines in drawn if lines)
    return _Sheet(name, f"{one.old.what}{TO}{one.new.what}", tuple(notes), sections)


def _one_sided(one: Comparison) -> str:
    if one.old.name is None and one.new.name is None:
        return "Neither holds a recipe: there is nothing to compare."
    missing, there = (one.old, one.new) if one.old.name is None else (one.new, one.old)
    return (
        f"New: {missing.what} has no such recipe."
        if there is one.new
        else f"Gone: {missing.what} has no such recipe any more."
    )


def _not_compiled(one: Comparison) -> Iterator[str]:
    def said(side: Seen) -> str:
        return f"{side.what} does not compile, so only the words are compared. {side.why_not}".strip()

    if one.by == "texts":
        yield from (said(side) for side in (one.old, one.new) if not side.compiled)


def _change(old: str, new: str) -> str:
    return f"{old}{TO}{new}"


def _ratio(one: RatioChange) -> str:
    if one.old is None or one.new is None:
        value, basis = (one.new, one.new_basis) if one.old is None else (one.old, one.old_basis)
        assert value is not None
        shown = f"{display.percent(value)} of {basis}"
        return f"{one.name}: {shown}, new" if one.old is None else f"{one.name}: gone, was {shown}"
    if one.old_basis == one.new_basis and display.percent(one.old) == display.percent(one.new):
        said = f"{one.name}: {display.percent(one.new)} of {one.new_basis} as before"
    elif one.old_basis == one.new_basis:
        said = f"{one.name}: {_change(display.percent(one.old), display.percent(one.new))} of {one.new_basis}"
    else:
        was, now = display.percent(one.old), display.percent(one.new)
        said = f"{one.name}: {_change(f'{was} of {one.old_basis}', f'{now} of {one.new_basis}')}"
    if one.old_verdict != one.new_verdict and one.new_verdict is not None:
        said += f", {one.new_verdict} the usual range now"
    return said


# ---------------------------------------------------------------- how much, and what is made of it


def times_words(size: Fraction) -> str:
    """`twice the size`, `half the size`, `1.5 times the size`."""
    plain_words = {Fraction(2): "twice", Fraction(1, 2): "half", Fraction(3): "three times"}
    return f"{plain_words.get(size) or f'{display.count(size)} times'} the size"


def yield_words(makes: Yield) -> str:
    """`12 rounds of 58 g`, `900 g`; the finished weight where the recipe says nothing."""
    after = " finished" if makes.after_losses else ""
    if makes.count is not None:
        each = f" of {display.weight(makes.each)}{after}" if makes.each is not None else ""
        return f"{display.count(makes.count, makes.noun)}{each}"
    if makes.total is not None:
        return f"{display.weight(makes.total)}{after}"
    return f"{display.weight(makes.finished)} finished"


def _size(one: Comparison) -> Iterator[str]:
    if one.size != 1:
        said = times_words(one.size)
        if one.makes is not None and one.makes.as_asked:
            said += f": {_change(yield_words(one.makes.old), yield_words(one.makes.new))}"
        yield said
    if one.makes is not None and not one.makes.as_asked:
        yield _yield(one.makes)
    for loss in one.losses:
        yield _words(loss)


def _yield(one: YieldChange) -> str:
    was, now = yield_words(one.old), yield_words(one.new)
    if was != now:
        return f"makes {_change(was, now)}"
    finished = _change(display.weight(one.old.finished), display.weight(one.new.finished))
    return f"comes out at {finished} in all"


# ---------------------------------------------------------------- what goes in


def _part(one: PartChange) -> str:
    name = one.name or "the main list"
    role = "" if one.role in ("main", "part") else f", a {one.role}"
    if one.kind == "base":
        old, new = (display.listed(base) or "nothing" for base in (one.old_base, one.new_base))
        return f"{name}: what is 100{display.NO_BREAK_THIN}% is {_change(old, new)}"
    if one.kind == "size":
        assert one.times is not None
        return f"{name}: {times_words(one.times)}, beside the rest"
    if one.kind == "share":
        was = display.percent(one.old) if one.old is not None else "no share"
        now = display.percent(one.new) if one.new is not None else "no share"
        return f"{name}: {_change(was, now)} of the {display.listed(one.new_base) or 'flour'}"
    share = one.new if one.kind == "added" else one.old
    of = (
        f", {display.percent(share)} of the {display.listed(one.new_base) or 'flour'}"
        if share is not None
        else ""
    )
    return f"{name}{role}: {'new' if one.kind == 'added' else 'gone, was there'}{of}"


def _ingredient(one: IngredientChange) -> str:
    purpose = f", {one.purpose}" if one.purpose else ""
    where = f" ({one.new_part or one.part})" if one.part or one.new_part else ""
    match one.kind:
        case "added":
            assert one.new is not None
            return f"{one.new_name}{purpose}{where}: new, {_amount(one.new, one.new_note)}"
        case "gone":
            assert one.old is not None
            return f"{one.name}{purpose}{where}: gone, was {_amount(one.old, one.old_note)}"
        case "renamed":
            return f"{one.name}{where}: called {one.new_name} now"
        case "replaced":
            assert one.new is not None
            return f"{one.new_name}{purpose}{where}: instead of {one.name}, {_amount(one.new, None)}"
        case "moved":
            return (
                f"{one.name}: moved, {_change(one.part or 'the main list', one.new_part or 'the main list')}"
            )
        case "note":
            return f"{one.name}{where}: {_change(one.old_note or 'plain', one.new_note or 'plain')}"
        case "amount":
            assert one.old is not None
            assert one.new is not None
            return f"{one.new_name}{purpose}{where}: {_amounts(one.old, one.new)}"


def _amounts(old: Amount, new: Amount) -> str:
    """Old and new: by the share of the base where both have one, with the weights beside it."""
    weights = ""
    if old.weight is not None and new.weight is not None:
        weights = _change(display.weight(old.weight), display.weight(new.weight))
    if old.percent is not None and new.percent is not None:
        shares = _change(display.percent(old.percent), display.percent(new.percent))
        if display.percent(old.percent) != display.percent(new.percent):
            return f"{shares} ({weights})" if weights else shares
    if weights and old.to_taste == new.to_taste:
        return weights
    return _change(_amount(old, None), _amount(new, None))


def _amount(amount: Amount, note: str | None) -> str:
    said = []
    if amount.percent is not None:
        said.append(display.percent(amount.percent))
    if amount.count is not None:
        said.append(display.count(amount.count, amount.noun))
    if amount.weight is not None:
        said.append(display.weight(amount.weight))
    elif amount.volume is not None:
        said.append(display.volume(amount.volume))
    if amount.to_taste:
        said.append("and to taste" if said else "to taste")
    if not said:
        said.append(amount.written or "an amount not known")
    if note:
        said.append(note)
    return ", ".join(said)


# ---------------------------------------------------------------- the method


def _step(one: StepChange) -> str:
    if one.kind == "gone":
        return f"step {one.old_number}, {one.old_name}: gone"
    said: list[str] = []
    if one.kind == "added":
        said.append("new")
    elif one.old_name != one.new_name:
        said.append(f"was called {one.old_name}")
    if one.moved:
        said.append(f"moved, was step {one.old_number}")
    if one.new_waits is not None:
        said.append(_change(_waiting(one.old_waits), _waiting(one.new_waits)))
    said += [_fact(fact, new_step=one.kind == "added") for fact in one.facts]
    if one.reworded:
        said.append("reworded")
    return f"step {one.new_number}, {one.new_name}: {'; '.join(said)}"


def _waiting(waits: Sequence[str] | None) -> str:
    return display.listed(waits) if waits else "waits for nothing"


def _fact(one: FactChange, *, new_step: bool) -> str:
    if one.old is None:
        assert one.new is not None
        return _fact_words(one.new) if new_step else f"{_fact_words(one.new)}, new"
    if one.new is None:
        return f"{_fact_words(one.old)}, gone"
    return _change(_fact_words(one.old), _fact_words(one.new))


def _fact_words(run: FactRun) -> str:
    """As the cook wrote it: both sides are batches as written, so its figures are true."""
    return f"[{' '.join(run.text.split())}]"


def _time(one: TimeChange) -> str:
    return f"{one.what}: {_change(_span(one.old), _span(one.new))}"


def _span(extent: Extent | None) -> str:
    return display.duration(extent.low, extent.high) if extent is not None else "not known"


# ---------------------------------------------------------------- money


def _cost(one: CostChange) -> Iterator[str]:
    small = display.currency_digits(one.old_currency) + 1, display.currency_digits(one.new_currency) + 1
    if one.old_each is not None and one.new_each is not None:
        yield from _sum("each", one.old_each, one.new_each, one, small)
    for said in _sum("the batch", one.old_total, one.new_total, one, (small[0] - 1, small[1] - 1)):
        yield said + _reasons(one)
    if one.old_complete != one.new_complete:
        yield "a price is missing now" if one.old_complete else "every price is there now"
    for change in one.prices:
        old = price_words(change.old, one.new_currency) if change.old is not None else "no price"
        new = price_words(change.new, one.new_currency) if change.new is not None else "no price"
        date = f" ({change.new.shop}, {change.new.date})" if change.new is not None else ""
        yield f"{change.item}: {_change(old, new)}{date}"


def _sum(what: str, old: Fraction, new: Fraction, one: CostChange, places: tuple[int, int]) -> Iterator[str]:
    """Old and new, where they are shown otherwise; the currency once, where it is one."""
    was = display.money(old, one.old_currency, places[0])
    now = display.money(new, one.new_currency, places[1])
    if one.old_currency != one.new_currency:
        now = _with_code(now, one.new_currency)
    elif was == now:
        return
    was = _with_code(was, one.old_currency)
    was, now = (
        said if complete else f"{said} without every price"
        for said, complete in ((was, one.old_complete), (now, one.new_complete))
    )
    yield f"{what}: {_change(was, now)}"


def _with_code(money: str, currency: str) -> str:
    return money if currency == display.NO_CURRENCY else f"{currency}{display.NO_BREAK}{money}"


def _reasons(one: CostChange) -> str:
    """Which of size, amounts and prices changed the batch's cost, and by how much, where it shows."""
    said = []
    for words, amount in (("size", one.by_size), ("amounts", one.by_amounts), ("prices", one.by_prices)):
        if amount is None:
            return ""
        places = display.currency_digits(one.new_currency) + 1
        if display.rounded(amount, places):
            sign = "+" if amount > 0 else ""
            said.append(f"{words} {sign}{display.number(display.rounded(amount, places), places)}")
    return f" ({', '.join(said)})" if said else ""


# ---------------------------------------------------------------- who may not eat it, what can hurt


def _allergen(one: AllergenChange) -> str:
    foods = f" ({', '.join(one.foods)})" if one.foods else ""
    gained = one.kind == "gained"
    match one.state:
        case "contains":
            return (
                f"contains {one.name} now{foods}"
                if gained
                else f"contains {one.name} no more, by what is stated; it came with {', '.join(one.foods)}"
            )
        case "may contain":
            return f"may contain {one.name} now" if gained else f"“may contain {one.name}” is said no more"
        case "not stated":
            return (
                f"{one.name}: nobody has stated what it contains, so it is not known"
                if gained
                else f"{one.name}: no longer among those that nothing is stated of"
            )


def _caution(one: CautionChange) -> str:
    what = f"check waived, {one.name}: " if one.waived else ""
    match one.kind:
        case "gained":
            return f"new: {what}{one.new}"
        case "lost":
            return f"gone: {what}{one.old}"
        case "changed":
            return f"said otherwise: {what}{_change(one.old or '', one.new or '')}"


def _words(one: TextChange) -> str:
    what = f"{one.what}: " if one.what else ""
    if one.old is None:
        return f"{what}{one.new or 'nothing more'}, new" if one.new else f"{one.what}, new"
    if one.new is None:
        return f"{what}{one.old}, gone" if one.old else f"{one.what}, gone"
    if not one.old or not one.new:
        return f"{what}{one.old or one.new}, {'new' if one.new else 'gone'}"
    return f"{what}{_change(one.old, one.new)}"


# ---------------------------------------------------------------- text and Markdown

_COLOURED: Final = {"allergens": "yellow", "take care": "yellow"}


def _text(sheet: _Sheet, width: int | None, colour: bool) -> str:
    lines = [painted(even_spaces(harmless(sheet.title)), "bold", colour)]
    lines += folded(sheet.sides, None)  # it holds the names of files: never folded
    for note in sheet.notes:
        lines += ["", *folded(note, width)]
    for title, said in sheet.sections:
        lines += ["", painted(title, "bold", colour)]
        for one in said:
            drawn = folded(one, width, 2)
            lines += [painted(line, "yellow", colour) for line in drawn] if title in _COLOURED else drawn
    return "\n".join(lines) + "\n"


def _markdown(sheet: _Sheet) -> str:
    lines = [f"### {escaped(sheet.title)}", "", escaped(sheet.sides)]
    for note in sheet.notes:
        lines += ["", escaped(note)]
    for title, said in sheet.sections:
        lines += ["", f"**{escaped(title)}**", "", *_bullets(said)]
    return "\n".join(lines) + "\n"


def _bullets(said: Iterable[str]) -> Iterator[str]:
    return (f"- {escaped(one)}" for one in said)
