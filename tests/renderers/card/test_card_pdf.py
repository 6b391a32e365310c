"""The card as print: what is on it, in what order, on how many sheets, and that it asks for nothing."""

from __future__ import annotations

import builtins
import logging
import re
import socket
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from functools import cache
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from benchproof.compiler import display
from benchproof.compiler.batch import (
    Batch,
    ChangeRun,
    DrawRun,
    DurationRun,
    TemperatureRun,
    TextRun,
)
from benchproof.renderers.card import CardError, card_html, card_pdf, page
from tests.renderers.card import samples

MM = Fraction(72) / Fraction("25.4")


@cache
def printing(which: str, paper: str) -> tuple[bytes, tuple[str, ...]]:
    """The PDF of a sample, and what WeasyPrint had to say about it.

    Only the usual one is tried in every size of type: each try takes its time.
    """
    batches = getattr(samples, which)()
    said: list[str] = []

    class Listener(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            said.append(record.getMessage())

    listener = Listener(logging.WARNING)
    logger = logging.getLogger("weasyprint")
    logger.addHandler(listener)
    try:
        with pytest.MonkeyPatch.context() as patch:
            if which != "typical":
                patch.setattr(page, "_TYPE_SIZES", page._TYPE_SIZES[:1])
            pdf = card_pdf(batches if isinstance(batches, list) else [batches], paper=paper)  # type: ignore[arg-type]
    finally:
        logger.removeHandler(listener)
    return pdf, tuple(said)


def printed(which: str, paper: str = "A5") -> bytes:
    return printing(which, paper)[0]


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(BytesIO(pdf))


def text_of(pdf: bytes) -> str:
    return "\n".join(sheet.extract_text() for sheet in reader(pdf).pages)


def bare(text: str) -> str:
    """Without blanks of any width: extraction sets them by guess."""
    return re.sub(r"\s+", "", text)


def assert_in_order(text: str, pieces: list[str]) -> None:
    whole, at = bare(text), 0
    for i, piece in enumerate(pieces):
        found = whole.find(bare(piece), at)
        assert found >= 0, f"{piece!r} is not on the card after {pieces[max(0, i - 3) : i]}"
        at = found + len(bare(piece))


def formula_figures(batch: Batch) -> list[str]:
    """Name, weight and percentage of every line in the order of the card."""
    parts = list(batch.parts)
    if any(part.role == "final" for part in parts):
        order = ["preferment", "soaker", "final", "part", "main"]
        parts.sort(key=lambda part: order.index(part.role))
    figures = []
    for part in parts:
        overall = part.role == "main" and parts[-1] is part and len(parts) > 1
        inside = [line for line in part.lines if not line.purpose]
        outside = [line for line in part.lines if line.purpose and not overall]
        for line in [*inside, *outside]:
            figures.append(line.name)
            if line.weight is not None:
                figures.append(display.weight(line.weight, line.division))
            else:
                figures.append("to taste" if line.to_taste else "not known")
            if line.percent is not None:
                figures.append(display.percent(line.percent))
    return figures


def method_figures(batch: Batch, beside: bool) -> list[str]:
    """Figures of the prose, or those of the margin, with what stands before them."""
    figures = []
    for step in batch.steps:
        figures.append(step.name)
        for run in (run for line in step.lines for run in line):
            if isinstance(run, DrawRun) and run.weight is not None and not beside:
                figures.append(display.weight(run.weight, run.division))
            elif isinstance(run, DurationRun):
                figures.append(display.duration(run.duration.low, run.duration.high))
            elif isinstance(run, TemperatureRun):
                low, high = run.temperature.low, run.temperature.high
                figures.append(display.temperature(low, high, "C", minimum=run.minimum))
                if beside:
                    figures.append(display.temperature(low, high, "F", minimum=run.minimum))
            elif isinstance(run, ChangeRun):
                start = display.temperature(run.start.low, run.start.high, "C")
                figures.append(start.removesuffix("°C").strip() if beside else start)
                figures.append(display.temperature(run.end.low, run.end.high, "C"))
                if not beside:  # the margin sets the other scale between them
                    figures.append(display.duration(run.duration.low, run.duration.high))
    return figures


@pytest.mark.parametrize("which", ["short", "typical", "long"])
def test_every_weight_stands_beside_its_name_in_order(which: str) -> None:
    assert_in_order(text_of(printed(which)), formula_figures(getattr(samples, which)()))


@pytest.mark.parametrize("which", ["short", "typical", "long"])
def test_every_time_and_temperature_stands_in_the_method_and_in_the_margin(which: str) -> None:
    batch = getattr(samples, which)()
    text = text_of(printed(which))
    method = bare(text)[bare(text).index(bare(f"{batch.steps[0].number} {batch.steps[0].name}")) :]
    assert_in_order(method, method_figures(batch, beside=False))
    assert_in_order(method, method_figures(batch, beside=True))
    for step in batch.steps:
        for run in (run for line in step.lines for run in line):
            if isinstance(run, DurationRun):
                figure = bare(display.duration(run.duration.low, run.duration.high))
                assert method.count(figure) >= 2, f"{figure} is not in both prose and margin"


def test_the_further_sizes_are_all_there() -> None:
    text = text_of(printed("sizes"))
    one, two, three = samples.sizes()
    for line, double, triple in zip(
        one.parts[0].lines, two.parts[0].lines, three.parts[0].lines, strict=True
    ):
        if line.weight is None:
            continue
        assert double.weight is not None
        assert triple.weight is not None
        assert_in_order(
            text,
            [
                line.name,
                display.weight(line.weight, line.division),
                display.weight(double.weight, double.division),
                display.weight(triple.weight, triple.division),
            ],
        )


@pytest.mark.parametrize(
    ("which", "paper", "sheets"),
    [("short", "A5", 1), ("typical", "A5", 2), ("sizes", "A5", 2), ("long", "A5", 6), ("short", "A4", 1)],
)
def test_how_many_pages_and_that_they_say_so(which: str, paper: str, sheets: int) -> None:
    pages = reader(printed(which, paper)).pages
    assert len(pages) == sheets
    for number, sheet in enumerate(pages, start=1):
        text = bare(sheet.extract_text())
        assert f"{number}of{sheets}" in text
        batch = getattr(samples, which)()
        batch = batch[0] if isinstance(batch, list) else batch
        assert f"revision{batch.revision}" in text, "an old card must be told from a new one on every page"
        assert bare(batch.recipe)[:15] in text


@pytest.mark.parametrize(
    ("paper", "width", "height"),
    [
        ("A4", 210 * MM, 297 * MM),
        ("A5", 148 * MM, 210 * MM),
        ("letter", Fraction(612), Fraction(792)),
        ("5x8", Fraction(360), Fraction(576)),
    ],
)
def test_the_paper_is_the_one_asked_for(paper: str, width: Fraction, height: Fraction) -> None:
    for sheet in reader(printed("short", paper)).pages:
        assert float(sheet.mediabox.width) == pytest.approx(float(width), abs=0.1)
        assert float(sheet.mediabox.height) == pytest.approx(float(height), abs=0.1)


def test_no_step_is_broken_across_pages() -> None:
    batch = samples.long()
    pages = [bare(sheet.extract_text()) for sheet in reader(printed("long")).pages]
    for step in batch.steps:
        prose = [run.text for line in step.lines for run in line if isinstance(run, TextRun)]
        pieces = [bare(piece) for piece in prose if len(piece) > 12]
        homes = [number for number, text in enumerate(pages) if bare(f"{step.number} {step.name}") in text]
        assert any(all(piece in pages[number] for piece in pieces) for number in homes), step.name


@pytest.mark.usefixtures("one_size")
def test_the_foot_of_the_card_never_has_a_page_to_itself() -> None:
    """Steps are added one by one until they reach the foot, and past it."""
    batch = samples.short()
    for extra in range(9, 25):
        steps = batch.steps + tuple(
            samples.step(1 + i, f"Grind again {i}", ((TextRun("Finer."),))) for i in range(1, extra + 1)
        )
        pages = reader(card_pdf([replace(batch, steps=steps)])).pages
        last = bare(pages[-1].extract_text())
        assert bare(f"{1 + extra} Grind again {extra}") in last
        assert "hands-on" in last
        if len(pages) > 1:
            return
    pytest.fail("the card never grew past its first page")


def test_weights_are_never_set_small() -> None:
    sizes = {}

    def visit(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        if text.strip():
            sizes.setdefault(text.strip(), set()).add(round(abs(size * tm[0] * cm[0]), 1))

    for sheet in reader(printed("typical")).pages:
        sheet.extract_text(visitor_text=visit)
    weights = [size for text, found in sizes.items() if re.fullmatch(r"322\.?0?|322", text) for size in found]
    assert weights
    assert max(weights) >= 14
    prose = [size for text, found in sizes.items() if "Tear open" in text for size in found]
    assert prose
    assert min(prose) >= 10.5


def test_foods_nobody_has_stated_are_always_named() -> None:
    for which in ("short", "typical", "long"):
        batch = getattr(samples, which)()
        text = text_of(printed(which))
        assert_in_order(text, ["Not stated:", *batch.allergens.not_stated, "ask before serving"])


def test_cautions_stand_beside_their_step() -> None:
    text = text_of(printed("long"))
    assert_in_order(text, ["9Simmer", "Mince is safe", "Pour on", "10Cool", "throw it away", "Spread"])
    assert_in_order(text, ["Cooked mince stands warm", "Check waived", "blast chiller", "Overnight sponge"])
    assert "odd" not in text, "a waived check that is not about safety is nobody's business at the bench"


def test_the_caution_about_the_law_stands_with_the_list_and_not_at_the_top() -> None:
    for which in ("typical", "long"):
        text = text_of(printed(which))
        assert_in_order(text, ["List: Australia and New Zealand.", samples.DEFERS.text])
        assert bare(text).count(bare(samples.DEFERS.text)) == 1


def test_the_overall_formula_comes_once_after_what_is_weighed() -> None:
    text = text_of(printed("long"))
    order = [
        "Overnight sponge",
        "lent: give as much back",
        "Final dough",
        "Glaze",
        "Overall formula",
        "in all",
    ]
    assert_in_order(text, [*order, "3293 g"])
    assert text.count("Overall formula") == 1


def test_the_water_stands_before_the_dough_it_is_for() -> None:
    pieces = ["4 Mix", "Water worked out for", "flour at 19 °C", "room at 21 °C", "Friction counted: 11 °C."]
    assert_in_order(
        text_of(printed("long")), [*pieces, "Assumed:", "27–31 °C", "bench rule", "25–26 °C", "dough"]
    )


@pytest.mark.usefixtures("one_size")
def test_a_caution_without_its_step_is_not_lost() -> None:
    batch = samples.short()
    stray = replace(samples.typical().cautions[0], step=7, text="Hot oil.")
    assert "Hot oil." in text_of(card_pdf([replace(batch, cautions=(stray,))]))


# ---------------------------------------------------------------- hostile and foreign text


@pytest.fixture
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("the card went to the network")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


@pytest.fixture
def one_size(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page, "_TYPE_SIZES", page._TYPE_SIZES[:1])


@pytest.mark.usefixtures("no_network", "one_size")
def test_what_the_cook_wrote_fetches_nothing_and_runs_nothing(tmp_path: Any) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("the till code is 4711")
    picture = f'<img src="{secret.as_uri()}"><link rel="attachment" href="{secret.as_uri()}">'
    style = '<style>@import url("http://192.0.2.1/x.css");</style>'
    script = "<script>alert(1)</script>"
    batch = samples.typical()
    part = batch.parts[0]
    lines = (replace(part.lines[0], name=picture), *part.lines[1:])
    hostile = replace(
        batch,
        recipe=script,
        revision=picture,
        dated=style,
        kitchen=picture,
        reheats=style,
        parts=(replace(part, lines=lines),),
        allergens=replace(batch.allergens, not_stated=(picture,), law=style),
        steps=(replace(batch.steps[0], name=style, lines=((TextRun(picture),),)), *batch.steps[1:]),
    )
    pdf = card_pdf([hostile])
    assert "script" in text_of(pdf), "the words are printed as words"
    assert "4711" not in text_of(pdf)
    assert not reader(pdf).attachments
    html = card_html([hostile])
    assert script not in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html
    assert "<img" not in html


def test_a_template_that_names_a_file_stops_the_printing(monkeypatch: pytest.MonkeyPatch) -> None:
    css = page._text("card.css")
    evil = css + 'body { background: url("file:///etc/hostname"); }'
    monkeypatch.setattr(page, "_text", lambda name: evil if name == "card.css" else css)
    page._template()  # the true template, kept
    with pytest.raises(CardError, match="fetches nothing"):
        card_pdf([samples.short()])


@pytest.mark.usefixtures("one_size")
def test_names_in_other_scripts_and_of_great_length_are_printed() -> None:
    batch = samples.short()
    part = batch.parts[0]
    names = ("كمون مطحون", "Donaudampfschifffahrtsgesellschaftskapitänsmützenmandelmehl" * 2, "½ ⅓ ≤ × –")
    lines = tuple(replace(line, name=name) for line, name in zip(part.lines, names, strict=True))
    text = bare(text_of(card_pdf([replace(batch, parts=(replace(part, lines=lines),))])))
    assert bare(names[1]) in text
    assert bare(names[2]) in text
    assert "90g" in text


# ---------------------------------------------------------------- the file itself


@pytest.mark.usefixtures("one_size")
def test_two_runs_give_the_same_bytes() -> None:
    assert card_pdf([samples.short()]) == printed("short")


def test_fonts_are_embedded_and_ours() -> None:
    names = set()
    for sheet in reader(printed("typical")).pages:
        for font in sheet["/Resources"]["/Font"].values():  # type: ignore[index]
            descendant = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = descendant["/FontDescriptor"].get_object()
            assert any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))
            names.add(str(descriptor["/FontName"]))
    assert names
    assert not [name for name in names if "Dejavu" in name.title().replace("-", "")], names


def test_it_is_tagged_titled_and_dated() -> None:
    pdf = reader(printed("typical"))
    root = pdf.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert str(root["/Lang"]) == "en"
    assert pdf.metadata is not None
    assert bare(pdf.metadata.title or "") == "Harbourgriddlerounds:12roundsof58g"
    assert "20261125" in str(pdf.metadata.get("/CreationDate"))


@pytest.mark.parametrize("which", ["short", "sizes", "long"])
def test_weasyprint_has_nothing_to_say(which: str) -> None:
    # The one about fontTools is a matter of the machine, not of the template.
    assert [text for text in printing(which, "A5")[1] if "HarfBuzz-Subset" not in text] == []


def test_the_listener_hears_what_weasyprint_says(monkeypatch: pytest.MonkeyPatch) -> None:
    css = page._text("card.css")
    page._template()  # the true template, kept
    monkeypatch.setattr(page, "_text", lambda name: css + "h1 { colour: red; }")
    assert any("colour" in text for text in printing.__wrapped__("short", "A5")[1])


def test_without_pango_a_cook_is_told_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def missing(name: str, *args: Any, **kwargs: Any) -> Any:
        if name.startswith("weasyprint"):
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *args, **kwargs)

    monkeypatch.setattr(builtins, "__import__", missing)
    with pytest.raises(CardError, match="Pango") as told:
        card_pdf([samples.short()])
    assert "apt install" in str(told.value)
    assert "<table" in card_html([samples.short()]), "a page needs no Pango"


def test_only_printing_pays_for_weasyprint() -> None:
    code = "import sys, benchproof.renderers.card; assert 'weasyprint' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)
