"""The cost table of one or several batches: text, CSV, JSON, Markdown or HTML.

Every form shows, for each batch: item, amount used, price and pack, shop and date, cost, share of the total
and a note; then the batch, each piece, each portion and 100 g, and what the shop asks for the same thing.
All printed costs of one batch have the same number of decimals, one more than the currency has or, where
that makes the lines add up or keeps one from reading as nothing, two more. The printed total is the rounded
exact sum. Where the printed lines do not add up to it a line called `rounding` holds the difference; no line
is ever altered to fit. A cost that is not known is never shown as nought.

CSV
    RFC 4180: comma, CRLF, quotes where needed; UTF-8 without a byte-order mark; one head line and one table
    for all batches. Numbers are plain (`-0.001`, full stop, no thousands mark); an empty cell is *not known*
    or *does not apply*. A text cell that a spreadsheet would run as a formula has an apostrophe in front.
    The columns, in this order, are a public interface:

    recipe          name of the recipe
    batch           what was asked (`as written`, `36 rounds`)
    row             `line`, `rounding`, `total`, `each`, `portion`, `per_100_g`, `shop_each`, `shop_per_100_g`
    item            the ingredient; for `each` the noun; for the shop's rows its article
    weight_g        grams used, to the milligram
    count           pieces used, to three decimals
    noun            what is counted
    price           what one pack costs, in `price_currency`
    price_currency  ISO 4217
    pack            as the shelf tag says it (`8 x 7 g`)
    shop            where
    date            when the price was seen, ISO 8601
    special         `yes` or `no`
    stale           `yes` where the kitchen calls the price too old, else `no`
    age_days        days between that date and the day of asking
    cost            in `currency`; the `line` rows and the `rounding` row add up to the `total` row
    currency        ISO 4217; `XXX` where the kitchen names none
    share_percent   of the total, one decimal
    complete        on the `total` row: `no` where a cost is missing (`note` names it), else `yes`
    note            `free`, `to taste`, `no price`, `from its recipe`, or what the total leaves out

JSON
    An object with `version` and `batches`. Each value is an object of `exact`, a rational as text (`7/2`,
    `3`), and `decimal`, the same rounded as it is printed in the table; null is *not known*. Each batch:
    `recipe`, `batch`, `on`, `currency`, `decimals`, `complete`, `without` (words, or empty), `lines` (`item`,
    `weight_g`, `count`, `noun`, `price`, `cost`, `share_percent`, `note`), `rounding` (text, `0` when the
    printed lines add up), `total`, `each`, `noun`, `portion`, `per_100_g`, `shops_own` (`item`, `price`,
    `each`, `per_100_g`, `share`: what the batch costs per hundred of it). A price: `item`, `money`, `currency`,
    `pack`, `pack_weight_g`, `pack_count`, `shop`, `date`, `special`, `stale`, `age_days`.
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any, Final, Literal, TypeAlias

from jinja2 import Environment, StrictUndefined, Template

from benchproof.compiler import display
from benchproof.compiler.batch import Batch, Cost, CostLine, PriceUsed, ShopsOwn
from benchproof.renderers.terminal import even_spaces, harmless, json_text, painted, table

JSON_VERSION: Final = 1
Form: TypeAlias = Literal["text", "csv", "json", "markdown", "html"]
NOT_KNOWN: Final = "not known"

COLUMNS: Final = (
    "recipe",
    "batch",
    "row",
    "item",
    "weight_g",
    "count",
    "noun",
    "price",
    "price_currency",
    "pack",
    "shop",
    "date",
    "special",
    "stale",
    "age_days",
    "cost",
    "currency",
    "share_percent",
    "complete",
    "note",
)
_NUMERIC: Final = frozenset({"weight_g", "count", "price", "age_days", "cost", "share_percent"})


def cost_table(batches: Sequence[Batch], as_: Form, *, width: int | None = None, colour: bool = False) -> str:
    """The costs of `batches` in one of five forms; `width` and `colour` are for `text` alone.

    `width` None lays text out as wide as it needs to be and wraps nothing: for a pipe or a file. Raises
    `ValueError` when the lines of a batch do not sum to its total, `display.UnknownCurrency` for a currency
    that ISO 4217 does not have.
    """
    if as_ == "csv":
        return _csv(batches)
    if as_ == "json":
        return json_text({"version": JSON_VERSION, "batches": [_batch_json(batch) for batch in batches]})
    sheets = [sheet(batch) for batch in batches]
    if as_ == "markdown":
        return "\n".join(_markdown(one) for one in sheets)
    if as_ == "html":
        return _page().render(sheets=sheets)
    return "\n".join(_text(one, width, colour) for one in sheets)


# ---------------------------------------------------------------- what all forms show


@dataclass(frozen=True, slots=True)
class Settled:
    """The printed costs of a batch: each line as printed (None where not known), the rest, the total.

    `rounding` is 0 when the lines add up; `total` is None when nothing at all is known.
    """

    places: int
    lines: tuple[Fraction | None, ...]
    rounding: Fraction
    total: Fraction | None


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the table, all of it text."""

    item: str
    amount: str
    price: str
    bought: str
    cost: str
    share: str
    note: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One batch's table, all of it text: the lines, then `compare`, a row for each way to divide the total.

    `compare` rows are a label, this batch's figure and one figure for each of `shops`.
    """

    title: str
    asked: str
    cost_head: str
    rows: tuple[Row, ...]
    rounding: str
    total: str
    without: str
    ours: str
    shops: tuple[str, ...]
    shops_prices: tuple[str, ...]
    compare: tuple[tuple[str, ...], ...]


def _plain(value: Fraction, places: int) -> str:
    """A number for a program: ASCII minus, nothing but digits and a full stop."""
    return display.number(display.rounded(value, places), places).replace(display.MINUS, "-")


def settled(cost: Cost) -> Settled:
    """Rounds the lines of a cost so that they and `rounding` add up to the printed total."""
    known = [line.cost for line in cost.lines if line.cost is not None]
    if sum(known, Fraction(0)) != cost.total:
        raise ValueError(f"the cost lines sum to {sum(known, Fraction(0))}, the total says {cost.total}")
    places = _decimals(known, cost.currency)
    shown, total, rest = display.settle(known, places)
    each = iter(shown)
    lines = tuple(None if line.cost is None else next(each) for line in cost.lines)
    return Settled(places, lines, rest, total if _any_known(cost) else None)


def _decimals(known: Sequence[Fraction], currency: str) -> int:
    """One decimal more than the currency has, or two where only they make the lines add up and all legible.

    Where neither does both, legible comes first.
    """
    offered = [digits(currency) + more for more in (1, 2)]
    tried = {places: display.settle(known, places) for places in offered}
    legible = [
        places
        for places, (shown, _, _) in tried.items()
        if all(line or not exact for line, exact in zip(shown, known, strict=True))
    ]
    adding_up = [places for places in legible if tried[places][2] == 0]
    return (adding_up or legible or offered)[0]


def _any_known(cost: Cost) -> bool:
    """False when all that is known are lines that cost nothing: then nobody can say what the batch costs."""
    return cost.complete or any(line.cost for line in cost.lines)


def without(cost: Cost) -> str:
    """What an incomplete total leaves out, in words; empty when it is complete."""
    if cost.complete:
        return ""
    unknown = [line for line in cost.lines if line.cost is None and line.note != "from its recipe"]
    missing = [line.item for line in unknown if line.price is None]
    unlike = [line.item for line in unknown if line.price is not None]
    inside = [line.item for line in cost.lines if line.cost is None and line.note == "from its recipe"]
    parts = []
    if missing:
        parts.append(f"{display.listed(missing)}, which {'has' if len(missing) == 1 else 'have'} no price")
    if unlike:
        parts.append(f"{display.listed(unlike)}, whose amount cannot be measured against the pack")
    if inside:
        parts.append(
            f"{display.listed(inside)}, whose own recipe{' has' if len(inside) == 1 else 's have'} no cost"
        )
    return (
        f"without: {'; '.join(parts)}" if parts else "without: something in a recipe used here has no price"
    )


def digits(currency: str) -> int:
    """Decimals of a currency; two where the kitchen names none. Raises `display.UnknownCurrency`."""
    return display.currency_digits(currency)


def small_places(currency: str) -> int:
    """Decimals for a piece or 100 g: a tenth of the smallest coin."""
    return digits(currency) + 1


def in_currency(words: str, currency: str, between: str) -> str:
    """`cost, NZD`; the words alone where the kitchen names no currency."""
    return words if currency == display.NO_CURRENCY else f"{words}{between}{currency}"


def _price_places(price: PriceUsed) -> int:
    """Decimals that show a shelf price as it was written: the currency's own, up to four more."""
    own = digits(price.currency)
    enough = (n for n in range(own, own + 4) if display.rounded(price.money, n) == price.money)
    return next(enough, own + 4)


def price_words(price: PriceUsed, currency: str) -> str:
    """`3.30 for 1.5 kg`, or `free`; the price's currency is named where it is not `currency`."""
    if not price.money:
        return price.pack  # `free`
    money = display.money(price.money, price.currency, _price_places(price))
    code = "" if price.currency == currency else f"{price.currency}{display.NO_BREAK}"
    return f"{code}{money} for {price.pack}"


def bought_words(price: PriceUsed) -> str:
    """`Lantern Street Grocer, 2026-11-02, special, stale (130 days old)`."""
    words = [price.shop, price.date]
    if price.special:
        words.append("special")
    if price.stale:
        words.append(f"stale ({display.count(Fraction(price.age), 'day' if price.age == 1 else 'days')} old)")
    return ", ".join(words)


def each_words(cost: Cost) -> str:
    """`each (rounds)`: the noun stands as the cook wrote it, so it is not made part of a sentence."""
    return f"each ({cost.noun})" if cost.noun else "each piece"


def _amount(line: CostLine) -> str:
    """Pieces and weight, whichever are known."""
    parts = []
    if line.count is not None:
        parts.append(display.count(line.count, line.noun))
    if line.weight is not None:
        parts.append(display.weight(line.weight))
    return ", ".join(parts)


def _share(share: Fraction | None) -> str:
    return "" if share is None else f"{display.number(share, 1)}{display.NO_BREAK_THIN}%"


def _small(value: Fraction | None, cost: Cost) -> str:
    return "" if value is None else display.money(value, cost.currency, small_places(cost.currency))


def sheet(batch: Batch) -> Sheet:
    """Everything that a person is shown of one batch's cost."""
    cost = batch.cost
    printed = settled(cost)
    rows = tuple(
        Row(
            item=harmless(line.item),
            amount=harmless(_amount(line)),
            price=harmless(price_words(line.price, cost.currency)) if line.price else "",
            bought=harmless(bought_words(line.price)) if line.price else "",
            # A cost too small for the column reads `< 0.001`, not nought; it is nought in the sum.
            cost="" if line.cost is None else display.money(line.cost, cost.currency, printed.places),
            share=_share(line.share),
            note=harmless(line.note),
        )
        for line in cost.lines
    )
    compare = [_divided(each_words(cost), cost.each, [own.each for own in cost.shops_own], cost)]
    compare.append(_divided("a portion", cost.portion, [None for _ in cost.shops_own], cost))
    compare.append(_divided("100 g", cost.per_100_g, [own.per_100_g for own in cost.shops_own], cost))
    return Sheet(
        title=f"{harmless(batch.recipe)}, {harmless(batch.asked.words)}",
        asked=in_currency(f"costed on {harmless(batch.asked.on)}", cost.currency, " in "),
        cost_head=in_currency("cost", cost.currency, ", "),
        rows=rows,
        rounding=display.number(printed.rounding, printed.places) if printed.rounding else "",
        total=NOT_KNOWN
        if printed.total is None
        else display.money(cost.total, cost.currency, printed.places),
        without=harmless(without(cost)),
        ours="this batch" if cost.complete else "this batch, incomplete",
        shops=tuple(harmless(own.item) for own in cost.shops_own),
        shops_prices=tuple(
            harmless(
                f"{own.item}: {price_words(own.price, cost.currency)}, {bought_words(own.price)}"
                + (f"; made here it costs {_share(own.share)} of that" if own.share is not None else "")
            )
            for own in cost.shops_own
        ),
        # A way to divide that neither side knows is left out.
        compare=tuple(row for row in compare if any(row[1:])),
    )


def _divided(
    label: str, ours: Fraction | None, shops: Sequence[Fraction | None], cost: Cost
) -> tuple[str, ...]:
    mine = _small(ours, cost) if _any_known(cost) else NOT_KNOWN if ours is not None else ""
    return (harmless(label), mine, *(_small(value, cost) for value in shops))


# ---------------------------------------------------------------- text


def _text(one: Sheet, width: int | None, colour: bool) -> str:
    heads = ["item", "amount", "price", "bought at", one.cost_head, "share", "note"]
    right = [False, True, False, False, True, True, False]
    rows = [[row.item, row.amount, row.price, row.bought, row.cost, row.share, row.note] for row in one.rows]
    foot = []
    if one.rounding:
        foot.append(["rounding", "", "", "", one.rounding, "", ""])
    foot.append(["the batch", "", "", "", one.total, "", one.without])
    # A column that says nothing is left out.
    used = [bool(n < 1 or any(row[n] for row in [*rows, *foot])) for n in range(len(heads))]
    out = painted(one.title, "bold", colour) + f"\n{one.asked}\n\n"
    out += table(
        _picked(heads, used),
        _picked(right, used),
        [_picked(row, used) for row in rows],
        [_picked(row, used) for row in foot],
        width=width,
        colour=colour,
    )
    if one.compare:
        heads = ["", one.ours, *one.shops]
        right = [False, *(True for _ in heads[1:])]
        out += "\n" + table(heads, right, one.compare, width=width, colour=colour)
    if one.shops_prices:
        out += "\n" + "".join(f"{even_spaces(words)}\n" for words in one.shops_prices)
    return out


def _picked(cells: Sequence[Any], used: Sequence[bool]) -> list[Any]:
    return [cell for cell, keep in zip(cells, used, strict=True) if keep]


# ---------------------------------------------------------------- Markdown

# What Markdown, or GitHub's dialect of it, reads as markup wherever it stands.
_MARKED: Final = re.compile(r"([\\`*_{}\[\]<>#!|~&$@])")


def escaped_md(text: str) -> str:
    """Text with everything escaped that would be read as markup, links by themselves among it."""
    text = _MARKED.sub(r"\\\1", even_spaces(harmless(text)).strip())
    text = re.sub(r":(?=//|[\w+-]+:)", r"\\:", text)
    text = re.sub(r"(?i)\b(www)\.", r"\1\\.", text)
    # At the start of a line these open a list or underline a heading.
    return re.sub(r"^([-+=])|^(\d+)(?=[.)](?:\s|$))", r"\2\\\1", text)


def _markdown(one: Sheet) -> str:
    heads = ["item", "amount", "price", "bought at", one.cost_head, "share", "note"]
    lines = [f"## {escaped_md(one.title)}", "", escaped_md(one.asked), ""]
    lines += [_md_row(heads), _md_rule([False, True, False, False, True, True, False])]
    lines += [
        _md_row([row.item, row.amount, row.price, row.bought, row.cost, row.share, row.note])
        for row in one.rows
    ]
    if one.rounding:
        lines.append(_md_row(["rounding", "", "", "", one.rounding, "", ""]))
    lines.append(
        "| **the batch** |  |  |  | **" + escaped_md(one.total) + "** |  | " + escaped_md(one.without) + " |"
    )
    if one.compare:
        lines += ["", _md_row(["", one.ours, *one.shops])]
        lines.append(_md_rule([False, *(True for _ in (one.ours, *one.shops))]))
        lines += [_md_row(row) for row in one.compare]
    for words in one.shops_prices:
        lines += ["", escaped_md(words)]
    return "\n".join(lines) + "\n"


def _md_row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(escaped_md(text) for text in cells) + " |"


def _md_rule(right: Sequence[bool]) -> str:
    return "|" + "|".join(" --: " if flush else " --- " for flush in right) + "|"


# ---------------------------------------------------------------- HTML


@cache
def _page() -> Template:
    """The page's template: auto-escaped, and a misspelt name in it is an error."""
    environment = Environment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    source = files("benchproof.renderers").joinpath("tables", "cost.html").read_text(encoding="utf-8")
    return environment.from_string(source)


# ---------------------------------------------------------------- CSV


def _csv(batches: Sequence[Batch]) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n", quoting=csv.QUOTE_MINIMAL)
    writer.writerow(COLUMNS)
    for batch in batches:
        for row in _csv_rows(batch):
            writer.writerow(
                row.get(name, "") if name in _NUMERIC else no_formula(row.get(name, "")) for name in COLUMNS
            )
    return stream.getvalue()


def no_formula(text: str) -> str:
    """`text` for a cell of a spreadsheet: an apostrophe in front where it would be run as a formula.

    That is where it begins with `=`, `+`, `-` or `@`, also full-width ones and after blanks, or with a tab or
    a line end. (Which signs start a formula: common practice for spreadsheets, from memory.)
    """
    shown = harmless(text)
    first = unicodedata.normalize("NFKC", shown.lstrip()[:1])[:1]
    starts = first in ("=", "+", "-", "@", display.MINUS) or text[:1] in ("\t", "\r", "\n")
    return f"'{shown}" if starts else shown


def _csv_rows(batch: Batch) -> list[dict[str, str]]:
    cost = batch.cost
    printed = settled(cost)
    same = {"recipe": batch.recipe, "batch": batch.asked.words, "currency": cost.currency}
    rows = []
    for line, shown in zip(cost.lines, printed.lines, strict=True):
        row = {**same, "row": "line", "item": line.item, "noun": line.noun or "", "note": line.note}
        row |= _csv_price(line.price)
        row["weight_g"] = "" if line.weight is None else _plain(line.weight, 3)
        row["count"] = "" if line.count is None else _plain(line.count, 3)
        row["cost"] = "" if shown is None else _plain(shown, printed.places)
        row["share_percent"] = "" if line.share is None else _plain(line.share, 1)
        rows.append(row)
    if printed.rounding:
        rows.append({**same, "row": "rounding", "cost": _plain(printed.rounding, printed.places)})
    rows.append(
        {
            **same,
            "row": "total",
            "cost": "" if printed.total is None else _plain(printed.total, printed.places),
            "complete": "yes" if cost.complete else "no",
            "note": without(cost),
        }
    )
    divided = [
        ("each", cost.noun or "", cost.each),
        ("portion", "", cost.portion),
        ("per_100_g", "", cost.per_100_g),
    ]
    for name, item, value in divided:
        if value is not None and _any_known(cost):
            rows.append(
                {**same, "row": name, "item": item, "cost": _plain(value, small_places(cost.currency))}
            )
    for own in cost.shops_own:
        for name, value in (("shop_each", own.each), ("shop_per_100_g", own.per_100_g)):
            if value is not None:
                row = {
                    **same,
                    "row": name,
                    "item": own.item,
                    "cost": _plain(value, small_places(cost.currency)),
                }
                rows.append(row | _csv_price(own.price))
    return rows


def _csv_price(price: PriceUsed | None) -> dict[str, str]:
    if price is None:
        return {}
    return {
        "price": _plain(price.money, _price_places(price)),
        "price_currency": price.currency,
        "pack": price.pack,
        "shop": price.shop,
        "date": price.date,
        "special": "yes" if price.special else "no",
        "stale": "yes" if price.stale else "no",
        "age_days": str(price.age),
    }


# ---------------------------------------------------------------- JSON


def _value(value: Fraction | None, places: int) -> dict[str, str] | None:
    return None if value is None else {"exact": str(value), "decimal": _plain(value, places)}


def _batch_json(batch: Batch) -> dict[str, Any]:
    cost = batch.cost
    printed = settled(cost)
    small = small_places(cost.currency)
    known = _any_known(cost)
    return {
        "recipe": batch.recipe,
        "batch": batch.asked.words,
        "on": batch.asked.on,
        "currency": cost.currency,
        "decimals": printed.places,
        "complete": cost.complete,
        "without": without(cost),
        "lines": [
            {
                "item": line.item,
                "weight_g": _value(line.weight, 3),
                "count": _value(line.count, 3),
                "noun": line.noun,
                "price": None if line.price is None else _price_json(line.price),
                "cost": _value(line.cost, printed.places),
                "share_percent": _value(line.share, 1),
                "note": line.note,
            }
            for line in cost.lines
        ],
        "rounding": _plain(printed.rounding, printed.places) if printed.rounding else "0",
        "total": _value(cost.total, printed.places) if known else None,
        "each": _value(cost.each, small) if known else None,
        "noun": cost.noun,
        "portion": _value(cost.portion, small) if known else None,
        "per_100_g": _value(cost.per_100_g, small) if known else None,
        "shops_own": [_own_json(own, small) for own in cost.shops_own],
    }


def _own_json(own: ShopsOwn, places: int) -> dict[str, Any]:
    return {
        "item": own.item,
        "price": _price_json(own.price),
        "each": _value(own.each, places),
        "per_100_g": _value(own.per_100_g, places),
        "share": _value(own.share, 1),
    }


def _price_json(price: PriceUsed) -> dict[str, Any]:
    return {
        "item": price.item,
        "money": _value(price.money, _price_places(price)),
        "currency": price.currency,
        "pack": price.pack,
        "pack_weight_g": _value(price.pack_weight, 3),
        "pack_count": _value(price.pack_count, 3),
        "shop": price.shop,
        "date": price.date,
        "special": price.special,
        "stale": price.stale,
        "age_days": price.age,
    }
