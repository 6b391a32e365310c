"""The cost table: what every form shows, and that printed lines add up to the printed total."""

from __future__ import annotations

import csv
import io
import json
import re
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from html.parser import HTMLParser
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from benchproof.compiler.batch import Batch, Cost, ShopsOwn
from benchproof.compiler.display import UnknownCurrency, currency_digits
from benchproof.renderers.cost_table import COLUMNS, Form, cost_table, no_formula
from benchproof.renderers.terminal import even_spaces, harmless
from tests.renderers.batches import cost_line, costs, exact, matches_golden, price, rounds, stew

FORMS: tuple[Form, ...] = get_args(Form)
NUMERIC = ("weight_g", "count", "price", "age_days", "cost", "share_percent")


def with_cost(cost: Cost, **more: object) -> Batch:
    return replace(rounds(), cost=cost, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("form", FORMS)
def test_each_form_reads_as_its_golden_file(form: Form) -> None:
    ending = {"text": "txt", "markdown": "md"}.get(form, form)

    assert matches_golden(f"cost-two-batches.{ending}", cost_table([rounds(), stew()], form))


def test_a_narrow_terminal_folds_words_and_not_figures() -> None:
    text = cost_table([rounds()], "text", width=80)

    assert matches_golden("cost-narrow.txt", text)
    assert max(len(line) for line in text.splitlines()) <= 80


# ---------------------------------------------------------------- sums

# A printed table is: the costs of its lines, what the line `rounding` says or 0, and the total.
Printed = tuple[list[Fraction], Fraction, Fraction]


def figure(text: str) -> Fraction:
    """A printed figure as the reader adds it up; one too small for the column counts as nothing."""
    text = text.replace("−", "-").replace("\u2009", " ")
    return Fraction(0) if text.startswith("<") else Fraction(text)


def _labelled(rows: list[tuple[str, str]]) -> Printed:
    lines = [figure(cost) for label, cost in rows if re.match(r"item\d", label)]
    rest = [figure(cost) for label, cost in rows if label == "rounding"]
    [total] = [figure(cost) for label, cost in rows if label == "the batch"]
    assert 0 not in rest
    return lines, sum(rest, Fraction(0)), total


def read_text(text: str) -> Printed:
    found = re.findall(r"^(item\d+|rounding|the batch) +((?:< )?[−.\d]+)(?: |$)", text, re.M)
    return _labelled(found)


def read_markdown(text: str) -> Printed:
    rows = [[cell.strip(" *") for cell in line.split(" | ")] for line in text.splitlines() if "|" in line]
    return _labelled(
        [(row[0].removeprefix("| ").strip("*"), row[4].replace("\\", "")) for row in rows if len(row) == 7]
    )


class Cells(HTMLParser):
    """Rows of a page's tables as lists of text."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.rows: list[list[str]] = []
        self.tags: list[str] = []
        self._in_cell = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
        self._in_cell = tag in ("td", "th")

    def handle_endtag(self, tag: str) -> None:
        self._in_cell = False

    def handle_data(self, data: str) -> None:
        if self._in_cell:
            self.rows[-1][-1] += data


def read_html(text: str) -> Printed:
    rows = Cells(text).rows
    return _labelled(
        [(row[0], row[4] if row[0].startswith("item") else row[1]) for row in rows if len(row) > 2]
    )


def read_csv(text: str) -> Printed:
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    lines = [figure(row["cost"]) for row in rows if row["row"] == "line"]
    rest = [figure(row["cost"]) for row in rows if row["row"] == "rounding"]
    [total] = [figure(row["cost"]) for row in rows if row["row"] == "total"]
    return lines, sum(rest, Fraction(0)), total


def read_json(text: str) -> Printed:
    [batch] = json.loads(text)["batches"]
    lines = [figure(line["cost"]["decimal"]) for line in batch["lines"]]
    assert sum(Fraction(line["cost"]["exact"]) for line in batch["lines"]) == Fraction(
        batch["total"]["exact"]
    )
    return lines, figure(batch["rounding"]), figure(batch["total"]["decimal"])


READERS: dict[Form, Callable[[str], Printed]] = {
    "text": read_text,
    "markdown": read_markdown,
    "html": read_html,
    "csv": read_csv,
    "json": read_json,
}

some_costs = st.lists(
    st.fractions(min_value=0, max_value=1000, max_denominator=5000)
    | st.fractions(min_value=0, max_value=Fraction(1, 100)),
    min_size=1,
    max_size=12,
)


@given(some_costs, st.sampled_from(["JPY", "NZD", "KWD"]))
@settings(deadline=None, max_examples=60)
def test_printed_lines_add_up_to_the_printed_total(values: list[Fraction], currency: str) -> None:
    lines = [cost_line(f"item{number}", str(value)) for number, value in enumerate(values)]
    batch = with_cost(costs(lines, currency=currency))

    seen = {form: READERS[form](cost_table([batch], form)) for form in FORMS}

    for printed, rest, total in seen.values():
        assert len(printed) == len(values)
        assert sum(printed) + rest == total
    assert len({(tuple(printed), rest, total) for printed, rest, total in seen.values()}) == 1

    # No line is altered to fit, and the total is the rounded exact sum.
    [batch_json] = json.loads(cost_table([batch], "json"))["batches"]
    half = Fraction(1, 2 * 10 ** batch_json["decimals"])
    printed, _, total = seen["csv"]
    assert all(abs(shown - value) <= half for shown, value in zip(printed, values, strict=True))
    assert abs(total - sum(values)) <= half
    assert currency_digits(currency) < batch_json["decimals"] <= currency_digits(currency) + 2


def test_thirds_need_a_line_that_says_rounding() -> None:
    """Three times 0.667 is 2.001, and a fourth decimal mends nothing."""
    thirds = [cost_line(f"item{number}", "2/3") for number in range(3)]
    printed, rest, total = read_text(cost_table([with_cost(costs(thirds))], "text"))

    assert (printed, rest, total) == ([exact("0.667")] * 3, exact("-0.001"), exact(2))


@pytest.mark.parametrize(
    ("values", "printed"),
    [
        (["1/7", "1/7", "1/7"], ["0.143", "0.143", "0.143"]),  # add up as they are
        (["1/8", "0.0004", "0.0004"], ["0.1250", "0.0004", "0.0004"]),  # the small ones would read as nothing
        (["0.0125", "0.0125"], ["0.0125", "0.0125"]),  # 0.013 twice is 0.026, not 0.025
        (["1", "0.00001"], ["1.000", "0.000"]),  # no decimal on offer shows the small one
    ],
)
def test_decimals_are_as_few_as_serve(values: list[str], printed: list[str]) -> None:
    lines = [cost_line(f"item{number}", value) for number, value in enumerate(values)]
    rows = csv.DictReader(io.StringIO(cost_table([with_cost(costs(lines))], "csv"), newline=""))

    assert [row["cost"] for row in rows if row["row"] == "line"] == printed


def test_lines_that_do_not_sum_to_the_total_are_refused() -> None:
    broken = replace(costs([cost_line("salt", "1")]), total=exact(2))

    with pytest.raises(ValueError, match="sum to 1, the total says 2"):
        cost_table([with_cost(broken)], "text")


def test_a_currency_that_is_none_is_refused() -> None:
    with pytest.raises(UnknownCurrency):
        cost_table([with_cost(costs([], currency="XQQ"))], "csv")


# ---------------------------------------------------------------- what is not known


@pytest.mark.parametrize("form", ["text", "csv", "json", "html", "markdown"])
def test_an_incomplete_total_says_what_it_leaves_out(form: Form) -> None:
    assert "without: thyme and bay, which have no price" in cost_table([stew()], form)


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ([cost_line("thyme", None, note="no price")], "without: thyme, which has no price"),
        ([cost_line("base", None, note="from its recipe")], "without: base, whose own recipe has no cost"),
        (
            [cost_line("base", "1", note="from its recipe")],
            "without: something in a recipe used here has no price",
        ),
    ],
)
def test_what_is_missing_is_named(lines: list[object], words: str) -> None:
    cost = replace(costs(lines), complete=False)  # type: ignore[arg-type]

    assert words in cost_table([with_cost(cost)], "text")


def test_a_cost_nobody_knows_is_not_nought() -> None:
    lines = [cost_line("thyme", None, note="no price"), cost_line("water", "0", note="free")]
    batch = with_cost(costs(lines))

    assert re.search(r"the batch +not known +without: thyme", cost_table([batch], "text"))
    assert json.loads(cost_table([batch], "json"))["batches"][0]["total"] is None
    rows = {row["row"]: row for row in csv.DictReader(io.StringIO(cost_table([batch], "csv"), newline=""))}
    assert rows["total"]["cost"] == ""
    assert "each" not in rows


def test_all_free_is_known_to_cost_nothing() -> None:
    text = cost_table([with_cost(costs([cost_line("water", "0", note="free")]))], "text")

    assert re.search(r"the batch +0\.000", text)


def test_a_positive_cost_never_reads_as_nought() -> None:
    lines = [cost_line("flour", "1"), cost_line("pepper", "1/100000")]
    text = cost_table([with_cost(costs(lines))], "text")

    assert re.search(r"pepper +< 0\.001", text)


def test_a_price_for_another_measure_is_not_called_missing() -> None:
    tag = price("thyme", "2", "1 bunch", count="1")
    cost = costs([cost_line("thyme", None, weight="2", price=tag, note="no price")])

    assert "without: thyme, whose amount cannot be measured against the pack" in cost_table(
        [with_cost(cost)], "text"
    )


def test_what_is_free_is_not_free_for_nought() -> None:
    tag = price("water", "0", "free")
    text = cost_table([with_cost(costs([cost_line("water", "0", price=tag, note="free")]))], "text")

    assert "0.00 for free" not in text
    assert re.search(r"water +free +Lantern", text)


@pytest.mark.parametrize("form", FORMS)
def test_a_kitchen_without_a_currency_still_has_costs(form: Form) -> None:
    tag = price("salt", "1.20", "1 kg", currency="XXX", weight="1000")
    own = ShopsOwn("rounds", tag, exact(1), None)
    batch = with_cost(costs([cost_line("salt", "0.012", price=tag)], currency="XXX", shops_own=(own,)))
    text = cost_table([batch], form)

    assert "0.012" in text
    assert ("XXX" in text) == (form in ("csv", "json"))


def test_a_stale_price_and_a_special_say_so() -> None:
    text = cost_table([rounds()], "text")

    assert "2026-06-01, stale (172 days old)" in text
    assert "2026-11-02, special" in text


def test_a_price_in_other_money_names_it_and_keeps_its_digits() -> None:
    own = price("rounds", "3.125", "1 kg", currency="EUR", weight="1000")
    cost = costs([cost_line("salt", "1", price=own)], shops_own=(ShopsOwn("rounds", own, exact(1), None),))
    text = cost_table([with_cost(cost)], "text")

    assert text.count("EUR 3.125 for 1 kg") == 2


# ---------------------------------------------------------------- CSV

# Signs that matter to somebody: formulas, quotes, separators, controls, wide forms.
nasty = (
    st.text(st.sampled_from("=+-@＝＋－＠−,;\"'\t\r\n \u00a0|<>&[]*_`\\\x1b\u202e\ufeffa1é漢")) | st.text()
)
NUMBER = re.compile(r"-?\d+(\.\d+)?")


def is_formula(cell: str) -> bool:
    """As a spreadsheet might see it; a plain number is none."""
    if NUMBER.fullmatch(cell):
        return False
    if cell[:1] in ("\t", "\r", "\n"):
        return True
    first = unicodedata.normalize("NFKC", cell.lstrip(" \u00a0\ufeff\u3000")[:1])[:1]
    return first in ("=", "+", "-", "@", "−")


@given(nasty, nasty, nasty)
@settings(deadline=None, max_examples=100)
def test_csv_reads_back_and_runs_nothing(item: str, noun: str, shop: str) -> None:
    tag = price(item, "1", noun, shop=shop, weight="100")
    lines = [cost_line(item, "0.5", noun=noun, price=tag), cost_line("salt", None, note="no price")]
    own = ShopsOwn(item, tag, exact(1), exact(2))
    batch = with_cost(costs(lines, noun=noun, shops_own=(own,)), recipe=item)

    text = cost_table([batch, batch], "csv")

    assert text.endswith("\r\n")
    assert not text.startswith("\ufeff")
    assert "\n" not in text.replace("\r\n", "")
    read = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert read[0] == list(COLUMNS)
    assert all(len(row) == len(COLUMNS) for row in read)
    assert not any(is_formula(cell) for row in read for cell in row)
    for row in read[1:]:
        named = dict(zip(COLUMNS, row, strict=True))
        assert all(named[name] == "" or NUMBER.fullmatch(named[name]) for name in NUMERIC)


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "＝1", "＠a", "\u00a0=1", "\n=1", "−1"],
)
def test_text_that_could_be_a_formula_gets_an_apostrophe(text: str) -> None:
    assert no_formula(text).startswith("'")


@pytest.mark.parametrize("text", ["strong flour", "half-and-half", "", "70 % chocolate", "a=b", "'quoted'"])
def test_ordinary_text_is_left_alone(text: str) -> None:
    assert no_formula(text) == text


def test_a_negative_rounding_is_a_number_in_csv() -> None:
    thirds = [cost_line(f"item{number}", "2/3") for number in range(3)]

    assert "rounding,,,,,,,,,,,,,-0.001,NZD" in cost_table([with_cost(costs(thirds))], "csv")


# ---------------------------------------------------------------- names in the other forms


def shown(name: str) -> str:
    """A name as the forms for people show it: hidden signs visible, blanks plain."""
    return even_spaces(harmless(name)).strip()


@given(nasty)
@settings(deadline=None, max_examples=100)
def test_a_name_is_text_and_never_markup(name: str) -> None:
    batch = with_cost(costs([cost_line(name, "1")]), recipe=name)

    page = Cells(cost_table([batch], "html"))
    assert shown(page.rows[1][0]) == shown(name)
    assert "script" not in page.tags
    assert {"b", "i", "img", "a"}.isdisjoint(page.tags)

    tokens = MarkdownIt("gfm-like", {"linkify": False}).parse(cost_table([batch], "markdown"))
    kinds = [token.type for token in tokens]
    cell = tokens[kinds.index("tbody_open") + 3]
    assert {child.type for child in cell.children or []} <= {"text", "text_special"}
    assert "".join(child.content for child in cell.children or []) == shown(name)
    assert kinds.count("tbody_open") == 2
    assert kinds.count("heading_open") == 1

    text = cost_table([batch], "text")
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ufeff]", text)


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "{{ 7*7 }}"])
def test_html_shows_tags_as_text(name: str) -> None:
    text = cost_table([with_cost(costs([cost_line(name, "1")]), recipe=name)], "html")

    assert name not in text or "{" in name
    assert name in [row[0] for row in Cells(text).rows if row]
    assert "49" not in text


def test_html_fetches_nothing_and_says_what_its_cells_are() -> None:
    text = cost_table([rounds(), stew()], "html")

    assert not re.search(r"https?:|url\(|@import|\ssrc=|\shref=", text)
    assert text.count("<caption>") == text.count("<table")
    assert "<th>" not in text  # each head says whether it is a column's or a row's
    assert '<html lang="en">' in text


def test_rich_markup_in_a_name_is_text() -> None:
    batch = with_cost(costs([cost_line("[red]salt[/] :warning:", "1")]))

    assert "[red]salt[/] :warning:" in cost_table([batch], "text")


def test_markdown_makes_no_links_by_itself() -> None:
    text = cost_table([with_cost(costs([cost_line("see www.a.test or https://a.test", "1")]))], "markdown")

    assert r"www\.a.test" in text
    assert r"https\://a.test" in text


def test_colour_only_adds_to_the_plain_text() -> None:
    coloured = cost_table([rounds()], "text", colour=True)

    assert "\x1b[" in coloured
    plain = re.sub(r"\x1b\[[0-9;]*m", "", coloured)
    assert [line.rstrip() for line in plain.splitlines()] == cost_table([rounds()], "text").splitlines()


def test_surroundings_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    before = cost_table([rounds()], "text")
    for name, value in {"COLUMNS": "20", "FORCE_COLOR": "1", "TERM": "dumb", "NO_COLOR": "1"}.items():
        monkeypatch.setenv(name, value)

    assert cost_table([rounds()], "text") == before


def test_one_batch_and_none() -> None:
    assert cost_table([], "text") == ""
    assert json.loads(cost_table([], "json")) == {"version": 1, "batches": []}
    assert cost_table([], "csv") == ",".join(COLUMNS) + "\r\n"
    assert "<main>" in cost_table([], "html")
