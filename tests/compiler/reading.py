"""For tests of the reader: a text read without a finding, and the one entry, amount or fact of a line."""

from fractions import Fraction
from pathlib import Path

from benchproof.compiler.parser import read
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import Entry, Fact, File, Numeric, ProseLine, Quantity, Text

KITCHEN = (Path(__file__).parent / "harbour_kitchen.bench").read_text("utf-8")
"""The kitchen of the design: every kind of block."""


def clean(text: str) -> File:
    file, findings = read(Source(text))
    assert findings == ()
    return file


def rules(text: str) -> list[str]:
    return [finding.rule for finding in read(Source(text))[1]]


def only_line(text: str) -> object:
    (line,) = clean(text).blocks[-1].lines
    return line


def entry(heading: str, line: str) -> Entry:
    found = only_line(f"{heading}\n  {line}\n")
    assert isinstance(found, Entry)
    return found


def amount(text: str, name: str = "flour") -> object:
    return entry("ingredients", f"{name}: {text}").value


def fact(text: str) -> Fact:
    line = only_line(f"step Mix\n  [{text}]\n")
    assert isinstance(line, ProseLine)
    (piece,) = line.pieces
    assert not isinstance(piece, Text)
    assert piece.span.text == f"[{text}]"
    return piece


def terms(quantity: Quantity | None, end: str = "low") -> list[tuple[Fraction, str]]:
    assert quantity is not None
    return [(term.number, term.unit) for term in getattr(quantity, end)]


def ends(number: Numeric) -> tuple[Fraction, Fraction]:
    return number.low, number.high
