"""Malformed text never breaks the program: it earns findings, whatever it is.

Some hundreds of damaged files are made from the demo kitchen, always the same ones, and sent the whole way:
read, gathered, checked, compiled, shown as text and as a card.
"""
# ruff: noqa: E501 - recipes on one line

import os
import random
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import lru_cache
from pathlib import Path

import pytest

from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.parser import read
from benchproof.compiler.request import Request
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source, Span
from benchproof.renderers.batch_text import batch_text
from benchproof.renderers.card import card_html
from benchproof.renderers.cost_table import cost_table
from benchproof.renderers.findings_report import findings_github, findings_json, findings_sarif, findings_text

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "recipes"
ON = "2026-11-20"
DECLARED = set(RULES)

RECIPES = (
    "harbour-griddle-rounds",
    "quay-leek-tart",
    "ferry-milk-rolls",
    "church-hall-scones",
    "slipway-dressing",
)
SHARED = ("kitchen", "larder")

Mutation = Callable[[str, random.Random], str]

ODD = (
    "\u00a0", "\u2009", "\u202f", "\u200b", "\u200d", "\u200f", "\u202e", "\u2066", "\ufeff", "\u0301", "\u0300\u0301",
    "\x00", "\x07", "\x1b[31m", "\x7f", "\x85", "\u2028", "\u2029", "\ufffd", "\U0001f9c2", "٣", "३", "５", "½", "⅐",
    "″", "’", "“", "，", "：", "［", "］", "％", "℃", "㎏", "－", "−", "–", "İ", "ß", "Ⅷ", "②", "ﬁ", "\U000e0001", "\ud7ff",
)  # fmt: skip


def _lines(text: str) -> list[str]:
    return text.splitlines(keepends=True)


def delete_a_line(text: str, dice: random.Random) -> str:
    lines = _lines(text)
    del lines[dice.randrange(len(lines))]
    return "".join(lines)


def delete_lines(text: str, dice: random.Random) -> str:
    return "".join(line for line in _lines(text) if dice.random() > 0.3)


def duplicate_a_line(text: str, dice: random.Random) -> str:
    lines = _lines(text)
    at = dice.randrange(len(lines))
    lines.insert(at, lines[at])
    return "".join(lines)


def duplicate_the_file(text: str, dice: random.Random) -> str:
    return text * dice.randint(2, 3)


def swap_lines(text: str, dice: random.Random) -> str:
    lines = _lines(text)
    for _ in range(3):
        one, other = dice.randrange(len(lines)), dice.randrange(len(lines))
        lines[one], lines[other] = lines[other], lines[one]
    return "".join(lines)


def shuffle_lines(text: str, dice: random.Random) -> str:
    lines = _lines(text)
    dice.shuffle(lines)
    return "".join(lines)


def delete_characters(text: str, dice: random.Random) -> str:
    gone = {dice.randrange(len(text)) for _ in range(dice.choice((1, 5, 40)))}
    return "".join(one for at, one in enumerate(text) if at not in gone)


def insert_odd_characters(text: str, dice: random.Random) -> str:
    for _ in range(dice.choice((1, 4, 12))):
        at = dice.randrange(len(text))
        text = text[:at] + dice.choice(ODD) + text[at:]
    return text


def replace_characters(text: str, dice: random.Random) -> str:
    letters = list(text)
    for _ in range(dice.choice((1, 5, 25))):
        letters[dice.randrange(len(letters))] = dice.choice("[]:,#%/.-0123456789abz \n" + "".join(ODD[:10]))
    return "".join(letters)


def tabs(text: str, dice: random.Random) -> str:
    return re.sub(r"^  ", lambda _: dice.choice(("\t", " \t", "  ", "", "      ")), text, flags=re.MULTILINE)


def line_ends(text: str, dice: random.Random) -> str:
    return re.sub("\n", lambda _: dice.choice(("\n", "\r", "\r\n", "\n\r", "\r\r\n", "\x0b", "\x0c")), text)


def brackets(text: str, dice: random.Random) -> str:
    return re.sub(r"[\[\]]", lambda one: dice.choice((one[0], one[0], "", "[", "]", "[[", "]]", "[]")), text)


def cut_off(text: str, dice: random.Random) -> str:
    return text[: dice.randrange(len(text))]


def cut_the_start(text: str, dice: random.Random) -> str:
    return text[dice.randrange(len(text)) :]


def swap_units(text: str, dice: random.Random) -> str:
    units = (
        "g",
        "ml",
        "%",
        "min",
        "C",
        "tsp",
        "cups",
        "cm",
        "h",
        "parts",
        "kg",
        "oz",
        "",
        "pinch",
        "Kg",
        "degrees",
        "each",
    )
    return re.sub(r"(?<=\d )(?:g|ml|%|min|C|tsp|cups|h|mm|cm)\b", lambda _: dice.choice(units), text)


def strange_numbers(text: str, dice: random.Random) -> str:
    numbers = (
        "0", "00", "-1", "1e9", "1/0", "0/0", "0.0", "9" * 40, "9" * 400, "0." + "0" * 60 + "1", "1,5", "1.000.000", "½",
        "1 1/2", "3/", "/3", ".5", "5.", "1-", "-", "10-5", "1-2-3", "NaN", "inf", "٣", "0x10", "1_000", "2000000",
    )  # fmt: skip
    return re.sub(
        r"\d+(?:\.\d+)?", lambda one: dice.choice(numbers) if dice.random() < 0.25 else one[0], text
    )


def merge_markers(text: str, dice: random.Random) -> str:
    lines = _lines(text)
    at = dice.randrange(len(lines))
    here = lines[at : at + 3]
    return "".join(
        [*lines[:at], "<<<<<<< ours\n", *here, "=======\n", *here, ">>>>>>> theirs\n", *lines[at + 3 :]]
    )


def noise(text: str, dice: random.Random) -> str:
    at = dice.randrange(len(text))
    junk = "".join(
        chr(dice.choice((dice.randrange(32), dice.randrange(128, 0xD800), dice.randrange(0xE000, 0x110000))))
        for _ in range(80)
    )
    return text[:at] + junk + text[at:]


def swap_words(text: str, dice: random.Random) -> str:
    words = re.findall(r"\w+", text)
    return re.sub(r"\w+", lambda one: dice.choice(words) if dice.random() < 0.1 else one[0], text)


def glue_lines(text: str, dice: random.Random) -> str:
    return re.sub("\n", lambda _: "\n" if dice.random() > 0.15 else " ", text)


def margin(text: str, dice: random.Random) -> str:
    return "".join(
        line.lstrip() if dice.random() < 0.2 else "  " * dice.randint(0, 2) + line for line in _lines(text)
    )


MUTATIONS: tuple[Mutation, ...] = (
    delete_a_line, delete_lines, duplicate_a_line, duplicate_the_file, swap_lines, shuffle_lines, delete_characters,
    insert_odd_characters, replace_characters, tabs, line_ends, brackets, cut_off, cut_the_start, swap_units,
    strange_numbers, merge_markers, noise, swap_words, glue_lines, margin,
)  # fmt: skip


@lru_cache
def demo(name: str) -> str:
    return (DEMO / f"{name}.bench").read_text(encoding="utf-8")


def damaged() -> Iterator[tuple[str, str, str]]:
    """Each damaged file: what was done to it, the demo file it was, its text now. The same ones every time."""
    for mutation in MUTATIONS:
        for name in RECIPES:
            for seed in range(2):
                how = f"{mutation.__name__}-{name}-{seed}"
                yield how, name, mutation(demo(name), random.Random(how))
        for name in SHARED:
            how = f"{mutation.__name__}-{name}"
            yield how, name, mutation(demo(name), random.Random(how))


BY_HAND = {
    "empty": "",
    "one-blank": " ",
    "one-newline": "\n",
    "no-newline-at-the-end": "recipe A",
    "byte-order-mark": "\ufeffrecipe A\n  serves:  3\n",
    "only-a-mark": "\ufeff",
    "nul": "\x00",
    "a-bracket": "[",
    "brackets": "[" * 5000,
    "step-of-brackets": "recipe A\n\nstep B\n  " + "[" * 3000 + "\n",
    "colons": "recipe A\n" + "  ::::::\n" * 50,
    "a-long-line": "recipe A\n\nstep B\n  " + "word " * 40000 + "\n",
    "a-long-name": "recipe " + "A" * 50000 + "\n",
    "many-blocks": "step A\n  b.\n" * 3000,
    "many-brackets": "recipe A\n\ningredients\n  salt: 1 g\n\nstep B\n  " + "[the salt] " * 200 + "\n",
    "a-long-number": "recipe A\n\ningredients\n  salt: " + "9" * 20000 + " g\n",
    "a-fraction-of-nought": "recipe A\n\ningredients\n  salt: 1/0 g\n  water: 0/0 g\n",
    "all-nought": "recipe A\n  makes:  0 loaves of 0 g\n  base:  strong flour\n\ningredients\n  strong flour: 0 g\n  water: 50 %\n\n"
    "step B\n  [the strong flour] [half the water] [the rest of the water] [0 min] [0 at a time], [5 min]\n\nexpect\n  salt: 0 %\n",
    "loses-all": "recipe A\n  makes: 1 loaf of 5 g baked\n  loses: 100 % in the bake\n\ningredients\n  salt: 5 g\n",
    "loses-more": "recipe A\n  makes: 1 loaf of 5 g baked\n  loses: 60 % in the bake, 60 % in the bowl\n\ningredients\n  salt: 5 g\n",
    "serves-nobody": "recipe A\n  serves:  0\n\ningredients\n  salt: 5 g\n",
    "free-and-nothing": "prices at A on 2026-01-01\n  salt: 0.00 for 1 kg\n  water: 1 for 0 g\n  eggs: 2 for 0\n  milk: 3 for 0 x 0 g\n",
    "nothing-of-a-density": "ingredient goo\n  density: 0 g/ml\n  piece: 0 g\n  usable: 0 %\n\nrecipe A\n\ningredients\n  goo: 2 tbsp\n  salt: 3\n",
    "usable-nothing": "ingredient goo\n  usable: 0 %\n  piece: 5 g\n\nrecipe A\n\ningredients\n  goo: 20 g\n",
    "more-than-all": "ingredient goo\n  water: 250 %\n  usable: 400 %\n\nrecipe A\n  base: goo\n\ningredients\n  goo: 20 g\n",
    "its-own-name": "recipe A\n  also: A, A, A\n\ningredients\n  A: 3\n",
    "a-ring": "recipe A\n\ningredients\n  B: 3 g\n\nrecipe B\n\ningredients\n  C: 3 g\n\nrecipe C\n\ningredients\n  A: 3 g\n",
    "step-after-itself": "recipe A\n\nstep B, after B\n  [5 min]\n\nstep B, during B\n  [5 min]\n",
    "a-hundred-steps": "recipe A\n" + "".join(f"\nstep S{n}, during S{n - 1}\n  [5 min]\n" for n in range(1, 101)),
    "far-dates": "kitchen K\n  costed on: 9999-12-31\n  prices go stale after: 1 day\n\nprices at S on 0001-01-01\n  salt: 1 for 1 kg\n\n"
    "recipe A\n\ningredients\n  salt: 5 g\n",
    "huge-waits": "recipe A\n\nstep B\n  [999999999999999999 months hands-off]\n",
    "huge-costs": "prices at S on 2026-01-01\n  salt: 99999999999999999999 for 0.0000001 mg\n\nrecipe A\n\ningredients\n  salt: 999999 kg\n",
    "waives-all": "recipe A\n" + "".join(f"  waive: {rule} because\n" for rule in sorted(RULES)),
    "checks-off": "checks\n" + "".join(f"  {rule}: off\n" for rule in sorted(RULES)),
    "right-to-left": "recipe \u05de\u05e8\u05e7\n\ningredients\n  \u05de\u05dc\u05d7: 5 g\n\nstep \u05d1\n  [\u05de\u05dc\u05d7] \u202e[5 min]\n",
    "page": "<!DOCTYPE html>\n<script>alert(1)</script>\n",
    "html-in-a-name": "recipe <script>alert(1)</script>\n\ningredients\n  <b>salt</b>: 5 g\n\nstep <img src=x>\n  [the <b>salt</b>] {{ 7*7 }} {% raw %}\n",
    "template": "recipe {{ config }}\n\ningredients\n  {{ salt }}: 5 g\n",
    "markup-for-a-terminal": "recipe [bold red]A[/]\n\nstep \x1b]0;title\x07\n  \x1b[2J\n",
}  # fmt: skip

CASES = [*damaged(), *((how, "by-hand", text) for how, text in BY_HAND.items())]

BROKEN: dict[str, str] = {}
"""Damage that the program does not stand, each with what happens."""


def kitchen_of(name: str, text: str) -> Kitchen:
    """The damaged file among sound ones, so that prices and facts play their part."""
    others = [one for one in ("kitchen", "larder") if one != name]
    sources = [Source(demo(one), f"{one}.bench") for one in others]
    sources.append(
        Source(
            (DEMO / "prices" / "2026-11-02-lantern-street-grocer.bench").read_text("utf-8"), "prices.bench"
        )
    )
    if name in SHARED:
        sources.append(Source(demo("harbour-griddle-rounds"), "harbour-griddle-rounds.bench"))
    return Kitchen([Source(text, "damaged.bench"), *sources])


def sound(finding: Finding) -> None:
    """A finding that can be shown: of a declared rule, about a place in its own text, with words."""
    assert finding.rule in DECLARED, finding.rule
    assert finding.message.strip()
    spans: list[Span] = [finding.span, *(also.span for also in finding.also)]
    if finding.edit is not None:
        spans.append(finding.edit.span)
    for span in spans:
        assert 0 <= span.first <= span.last <= len(span.source.text), (finding.rule, span.first, span.last)
        line, column = span.source.position(span.first)
        assert 1 <= line <= span.source.line_count
        assert 1 <= column <= len(span.source.line(line)) + 1


def all_the_way(name: str, text: str) -> list[Finding]:
    _, written = read(Source(text, "damaged.bench"))
    kitchen = kitchen_of(name, text)
    compiler = Compiler(kitchen)
    found = check_kitchen(kitchen, compiler, ON)
    for one in [*written, *found]:
        sound(one)
    for form in (
        findings_text(found, colour=True),
        findings_json(found),
        findings_sarif(found),
        findings_github(found),
    ):
        assert isinstance(form, str)
    shown = findings_text(found, colour=False)
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f]", shown), "a control character reaches the terminal"
    for recipe in kitchen.own_recipes():
        batch = compiler.compile(recipe, Request(on=ON)).batch
        if batch is not None:
            assert batch_text(batch)
            assert cost_table([batch], "text")
            assert "<script>" not in card_html([batch], paper="A5")
    return found


@pytest.mark.parametrize(
    ("name", "text"),
    [
        pytest.param(
            name,
            text,
            id=how,
            marks=[pytest.mark.xfail(strict=True, reason=BROKEN[how])] if how in BROKEN else [],
        )
        for how, name, text in CASES
    ],
)
def test_damage_is_told_and_never_breaks_the_program(name: str, text: str) -> None:
    all_the_way(name, text)


def test_there_are_enough_of_them_and_most_are_noticed() -> None:
    assert len(CASES) > 280
    texts = [text for _, name, text in CASES if name in RECIPES]
    assert len(set(texts)) > len(texts) * 0.9
    told = sum(
        any(one.severity is Severity.ERROR for one in read(Source(text, "d.bench"))[1]) for text in texts
    )
    assert told > len(texts) / 2


def test_a_mistake_made_thirty_times_is_not_told_nine_hundred_times() -> None:
    text = "recipe A\n\ningredients\n  salt: 1 g\n\nstep B\n  " + "[the salt] " * 30 + "\n"
    assert max(len(one.also) for one in all_the_way("by-hand", text)) <= 5


def test_the_same_damage_every_time() -> None:
    assert list(damaged())[:40] == list(damaged())[:40]


# ---------------------------------------------------------------- as a cook would run it


def sample() -> list[object]:
    chosen = [one for one in CASES if one[1] == "by-hand"][::3][:6] + [
        one for one in CASES if one[1] != "by-hand"
    ][7::26][:14]
    return [pytest.param(text, id=how) for how, _, text in chosen if how not in BROKEN]


@pytest.mark.parametrize("text", sample())
def test_the_command_says_it_in_findings(tmp_path: Path, text: str) -> None:
    (tmp_path / "damaged.bench").write_bytes(text.encode("utf-8"))
    done = subprocess.run(
        [sys.executable, "-m", "benchproof.compiler.command", "check", "damaged.bench"],
        cwd=tmp_path,
        env={**os.environ, "BENCHPROOF_TRACEBACK": ""},
        capture_output=True,
        check=False,
        timeout=120,
    )
    assert b"Traceback" not in done.stdout + done.stderr
    assert done.returncode in (0, 1, 2), done.stderr.decode("utf-8", "replace")


BYTES = {
    "not-utf-8": b"recipe Cr\xe8me\n  serves: 3\n",
    "utf-16": "recipe A\n".encode("utf-16"),
    "random": bytes(random.Random("bytes").randrange(256) for _ in range(4000)),
    "a-picture": b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR",
    "cut-in-a-letter": "recipe Crème".encode()[:-3],
}


@pytest.mark.parametrize("data", BYTES.values(), ids=BYTES.keys())
@pytest.mark.parametrize("command", ["check", "batch", "cost", "card"])
def test_what_is_no_text_cannot_be_read(tmp_path: Path, data: bytes, command: str) -> None:
    (tmp_path / "damaged.bench").write_bytes(data)
    if command != "check" and data is not BYTES["not-utf-8"]:
        pytest.skip("one of them is enough for the other commands")
    done = subprocess.run(
        [sys.executable, "-m", "benchproof.compiler.command", command, "damaged.bench"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert "UTF-8" in done.stderr
    assert "Traceback" not in done.stderr
