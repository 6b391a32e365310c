"""The manual against the compiler: every example is compiled, and every list in it is the list in the code.

How an example is marked, after the three ticks:

    bench                       a whole text: it begins with a heading
    bench fragment BLOCK        lines of such a block, put under that block's heading
    bench wrong RULE            a whole text with one mistake
    bench wrong RULE in BLOCK   lines of such a block with one mistake

A whole text is a kitchen by itself. Where it has no kitchen block of its own, the manual's example of one stands
beside it as `kitchen.bench`, as the manual says at its beginning. Hints that a thing is not computed yet are left
aside.
"""

import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import get_args, get_type_hints

import click
import pytest

from benchproof.compiler import food_law, quantities, ratios, syntax, weights
from benchproof.compiler.checks import check_kitchen, expectations, levels, unused
from benchproof.compiler.command import _RECIPE_OPTIONS, _request
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.food import INNER_WORDS, KINDS
from benchproof.compiler.food_law import ALLERGENS, AUSTRALIA_NEW_ZEALAND, EU, LAW_NAMES, US
from benchproof.compiler.kitchen import KITCHEN_FILE, Kitchen
from benchproof.compiler.labels import EXAMPLE_HEADINGS, LEVELS, VALUE_RULES, VOCABULARY, Label
from benchproof.compiler.lark_tree import fact_form, grammar_text
from benchproof.compiler.parser import read
from benchproof.compiler.request import Request
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source
from benchproof.compiler.syntax import (
    SHARED_KINDS,
    Block,
    BlockKind,
    Bound,
    BoundWord,
    ChangeFact,
    Draw,
    DurationFact,
    Entry,
    Fact,
    LoadFact,
    MeasureFact,
    Numbered,
    OvenPlace,
    ProseLine,
    Share,
    TemperatureFact,
    Text,
    TurnsFact,
    Value,
    name_key,
)
from benchproof.renderers.rule_catalogue import FAMILIES

GRAMMAR = Path(__file__).resolve().parents[2] / "grammar"
MANUAL = (GRAMMAR / "reference.md").read_text(encoding="utf-8")
RULES_PAGE = GRAMMAR / "rules.md"
ON = "2026-11-20"

PREAMBLE = re.search(r"^```bench\n(kitchen Saltmarsh\n(?:  .*\n)+)```$", MANUAL, re.MULTILINE)
"""The kitchen block that stands above an example without one: the manual's own. It has no price list."""


# ---------------------------------------------------------------- the examples


@dataclass(frozen=True)
class Example:
    line: int
    kind: str
    text: str
    block: BlockKind | None = None
    rule: str | None = None

    def __str__(self) -> str:
        return f"line {self.line}"

    @property
    def sources(self) -> list[Source]:
        """The example as files of a kitchen, whole or under its heading."""
        text = self.text
        if self.block is not None:
            body = "".join(f"  {line}\n" if line.strip() else "\n" for line in text.splitlines())
            above = "" if self.block in SHARED_KINDS else "recipe Tide table\n\n"
            heading = "step Batter" if self.block == "step" else EXAMPLE_HEADINGS[self.block]
            text = f"{above}{heading}\n{body}"
        own = re.search(r"^kitchen ", text, re.MULTILINE) is not None
        assert PREAMBLE, "the manual shows no kitchen"
        return [*([] if own else [Source(PREAMBLE.group(1), KITCHEN_FILE)]), Source(text, "example.bench")]

    @property
    def kitchen(self) -> Kitchen:
        return Kitchen(self.sources)

    def findings(self) -> list[Finding]:
        """Everything `check` says of it, but for what is understood and not computed yet."""
        kitchen = self.kitchen
        found = check_kitchen(kitchen, Compiler(kitchen), ON)
        return [one for one in found if one.rule != "not-used-yet"]


def examples() -> Iterator[Example]:
    for found in re.finditer(r"^```(.*)\n((?:(?!```).*\n)*)```$", MANUAL, re.MULTILINE):
        line = MANUAL.count("\n", 0, found.start()) + 1
        info, text = found.groups()
        match info.split():
            case ["bench"]:
                yield Example(line, "whole", text)
            case ["bench", "fragment", block]:
                yield Example(line, "fragment", text, block)  # type: ignore[arg-type]
            case ["bench", "wrong", rule]:
                yield Example(line, "wrong", text, rule=rule)
            case ["bench", "wrong", rule, "in", block]:
                yield Example(line, "wrong", text, block, rule)  # type: ignore[arg-type]
            case ["text"]:
                pass
            case _:
                raise AssertionError(f"line {line}: nobody knows what ```{info} is")


EXAMPLES = list(examples())
WHOLE = [one for one in EXAMPLES if one.kind == "whole"]
FRAGMENTS = [one for one in EXAMPLES if one.kind == "fragment"]
WRONG = [one for one in EXAMPLES if one.kind == "wrong"]
RIGHT = [*WHOLE, *FRAGMENTS]


def test_no_fence_is_missed() -> None:
    assert MANUAL.count("\n```") == 2 * (len(EXAMPLES) + MANUAL.count("\n```text\n"))
    assert min(len(WHOLE), len(FRAGMENTS), len(WRONG)) > 4


@pytest.mark.parametrize("example", RIGHT, ids=str)
def test_an_example_is_read_without_a_finding(example: Example) -> None:
    for source in example.sources:
        _, findings = read(source)
        assert findings == ()


@pytest.mark.parametrize("example", WHOLE, ids=str)
def test_a_whole_example_compiles_and_nothing_is_wrong_with_it(example: Example) -> None:
    assert [one for one in example.findings() if one.severity > Severity.HINT] == []
    kitchen = example.kitchen
    for recipe in kitchen.own_recipes():
        assert Compiler(kitchen).compile(recipe, Request(on=ON)).batch is not None


@pytest.mark.parametrize("example", FRAGMENTS, ids=str)
def test_a_fragment_names_nothing_unknown(example: Example) -> None:
    """Kinds, allergens, rules: what is looked up in a closed list. A fragment's recipe has no list to draw from."""
    kitchen = example.kitchen
    families = ("method", "formula", "yield", "tests")
    found = [one for one in example.findings() if RULES[one.rule].family not in families]
    assert [one for one in found if one.severity > Severity.HINT] == []
    assert any(block.kind == example.block for block in kitchen.blocks)


@pytest.mark.parametrize("example", WRONG, ids=str)
def test_a_wrong_example_gives_its_finding_and_no_other(example: Example) -> None:
    assert [one.rule for one in example.findings()] == [example.rule]


@pytest.mark.parametrize("example", [one for one in EXAMPLES if one.block is None], ids=str)
def test_what_is_no_fragment_begins_with_a_heading(example: Example) -> None:
    first = next(line for line in example.text.splitlines() if line.strip() and not line.startswith("#"))
    if example.rule not in ("before-any-heading", "unknown-heading", "heading-capital"):
        assert first.split()[0] in VOCABULARY


# ---------------------------------------------------------------- the tables, made from the code


def cell(text: str) -> str:
    return text.replace("|", "\\|")


def table(head: list[str], rows: list[list[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(map(cell, line))} |" for line in lines)


def label_row(label: Label, shown: str) -> list[str]:
    """A label: name, value form, example, meaning, and whether it may repeat and is computed."""
    notes = ("; may stand more than once" if label.repeats and shown.startswith("`") else "") + (
        "" if label.computed else "; not computed yet"
    )
    return [shown, label.value, f"`{label.example}`", label.meaning + notes]


def label_table(kind: BlockKind) -> str:
    """The labels of a block; one that the cook makes up is slanted and stands last."""
    vocabulary = VOCABULARY[kind]
    rows = [label_row(label, f"`{label.name}`") for label in vocabulary.labels]
    if vocabulary.open:
        rows.append(label_row(vocabulary.open, f"*{vocabulary.open.name}*"))
    return table(["label", "value", "example", "says"], rows)


ONLY_OPEN = [kind for kind, vocabulary in VOCABULARY.items() if vocabulary.open and not vocabulary.labels]


def open_table() -> str:
    """The blocks that have no label but what the cook makes up, in one table."""
    rows = []
    for kind in ONLY_OPEN:
        label = VOCABULARY[kind].open
        assert label
        rows.append([f"`{kind}`", *label_row(label, f"*{label.name}*")])
    return table(["block", "label", "value", "example", "says"], rows)


def decimal(value: Fraction) -> str:
    """An exact decimal. Every size in the tables has one."""
    digits = 0
    while value * 10**digits % 1:
        digits += 1
        assert digits < 20, "no exact decimal"
    whole = str(int(value * 10**digits)).rjust(digits + 1, "0")
    return f"{whole[:-digits]}.{whole[-digits:]}" if digits else whole


def unit_table() -> str:
    """Every unit: what it measures, how it may be spelt, and its size where all systems agree."""
    spelt: dict[str, list[str]] = {}
    for spelling, unit in quantities.UNITS.items():
        spelt.setdefault(unit.name, []).append(spelling)
    rows = []
    for name, spellings in spelt.items():
        unit = quantities.UNITS[spellings[0]]
        if name in quantities.REGIONAL:
            size = "see below"
        elif unit.dimension == "temperature":
            size = {"C": "degrees Celsius", "F": "degrees Fahrenheit"}[name]
        elif name == "MJ":
            size = "5/18 kWh"
        else:
            size = f"{decimal(quantities.size(name))} {quantities.BASES[unit.dimension]}"
        rows.append([unit.dimension, ", ".join(f"`{one}`" for one in spellings), size])
    return table(["measures", "written", "is"], rows)


def spoon_table() -> str:
    """What each system means by a spoon, a cup and the rest, in ml."""
    names = ["tsp", "tbsp", "cup", "fl_oz", "pint", "quart", "gallon"]
    rows = []
    for system in quantities.SYSTEMS:
        row = [f"`{system}`"]
        for name in names:
            try:
                row.append(decimal(quantities.size(name, system)))
            except quantities.UnknownMeasure:
                row.append("none")
        rows.append(row)
    return table(["ml", *(f"`{name.replace('_', ' ')}`" for name in names)], rows)


def allergen_table() -> str:
    """Each word, what else is read as it, and what each law prints for it."""
    forms: dict[str, list[str]] = {word: [] for word in ALLERGENS.values()}
    for form in food_law._FORMS:
        forms[food_law._FORMS[form]].append(form)
    rows = [
        [
            f"`{word}`",
            ", ".join(forms[word]),
            *(law.declared.get(word, "not listed") for law in (EU, US, AUSTRALIA_NEW_ZEALAND)),
        ]
        for word in ALLERGENS.values()
    ]
    return table(["word", "also", *LAW_NAMES], rows)


@pytest.mark.parametrize("kind", VOCABULARY)
def test_every_label_stands_in_the_manual(kind: BlockKind) -> None:
    if kind == "week":  # seven labels that are alike: an example shows them
        shown = re.sub(r" +", " ", section("### `week of DATE`"))
        for label in VOCABULARY[kind].labels:
            assert f"\n {label.example}\n" in shown
    elif kind in ONLY_OPEN:
        assert open_table() in MANUAL, open_table()
    elif kind != "step":  # all prose
        assert label_table(kind) in MANUAL, label_table(kind)


@pytest.mark.parametrize("kind", EXAMPLE_HEADINGS)
def test_every_heading_stands_in_the_manual(kind: BlockKind) -> None:
    assert re.search(rf"^### `{kind}\b", MANUAL, re.MULTILINE), "each kind of block has its own section"


def test_every_family_of_rules_stands_in_the_manual() -> None:
    """What the rules are stands in `rules.md`, which is made from them."""
    lines = re.findall(r"^- \[(.+?)\]\(rules\.md#.+?\): (.+)[;.]$", section("### The rules"), re.MULTILINE)
    assert lines == list(FAMILIES.values())


def test_the_links_to_the_rules_lead_somewhere() -> None:
    page = RULES_PAGE.read_text(encoding="utf-8")
    anchors = {heading.lower().replace(" ", "-") for heading in re.findall(r"^##+ (.*)$", page, re.MULTILINE)}
    links = set(re.findall(r"\]\(rules\.md#([^)]+)\)", MANUAL))
    assert links
    assert links - anchors == set()


def test_units() -> None:
    assert unit_table() in MANUAL, unit_table()
    assert spoon_table() in MANUAL, spoon_table()


def test_allergens() -> None:
    assert allergen_table() in MANUAL, allergen_table()


def section(heading: str) -> str:
    """The text below a heading, up to the next of its rank or above it."""
    rank = len(heading.split(" ")[0])
    end = rf"(?=^#{{2,{rank}}} |\Z)"
    found = re.search(rf"^{re.escape(heading)}$\n(.*?){end}", MANUAL, re.MULTILINE | re.DOTALL)
    assert found, heading
    return found.group(1)


def quoted(text: str) -> set[str]:
    """What stands between single ticks, outside the examples."""
    text = re.sub(r"^```.*?^```$", "", text, flags=re.MULTILINE | re.DOTALL)
    return set(re.findall(r"`([^`]+)`", text))


def test_kinds_of_food() -> None:
    text = section("## Kinds of food")
    rows = re.findall(r"^\| (`.*?) \| (.*?) \|", text, re.MULTILINE)
    names = [name for kinds, _ in rows for name in re.findall(r"`([^`]+)`", kinds)]
    assert sorted(names) == sorted(KINDS), "each kind stands in one row"
    counted = {frozenset(quoted(kinds)): where for kinds, where in rows}
    assert counted[ratios.HYDRATING].startswith("hydration")
    assert counted[ratios._FATS].startswith("fat")
    assert counted[ratios._SUGARS].startswith("sugar")
    for name, (share, _) in ratios.YEASTS.items():
        assert str(share) in counted[frozenset({name})]


def test_value_forms() -> None:
    text = section("### The forms of a value")
    assert set(re.findall(r"^\| (?:\*\*)?([a-z ]+?)(?:\*\*)? \|", text, re.MULTILINE)) - {"value"} == set(
        VALUE_RULES
    )


def test_figures_for_expect() -> None:
    text = section("### `expect`") + section("### How bounds are read")
    assert quoted(text) >= {*expectations._FIGURES, *expectations._RATIOS, *get_args(BoundWord)}


def test_losses_before_scaling() -> None:
    text = section("### What a batch gives")
    assert quoted(text) >= weights._BEFORE_SCALING


def test_parts_of_a_piece() -> None:
    shown = {word for _, fact in WRITTEN_FACTS for word in re.findall(r"^\[the (\w+) of the ", fact)}
    assert {INNER_WORDS[word] for word in shown & set(INNER_WORDS)} == set(INNER_WORDS.values())


def test_what_is_not_computed_yet() -> None:
    text = section("## Understood, but not computed yet")
    assert quoted(text) >= unused.WHOLE_BLOCKS
    for kind, vocabulary in VOCABULARY.items():
        if kind in unused.WHOLE_BLOCKS:
            continue
        assert quoted(text) >= {label.name for label in vocabulary.labels if not label.computed}, kind


def test_levels() -> None:
    assert quoted(section("### `checks`")) >= set(LEVELS)
    assert quoted(section("### Levels")) >= {*LEVELS, *levels._GUARDS}


def recipe_options() -> list[click.Parameter]:
    def nothing() -> None: ...

    for option in _RECIPE_OPTIONS:
        option(nothing)
    return list(nothing.__click_params__)  # type: ignore[attr-defined]


ASKED = [
    (one, times)
    for cells, times in re.findall(r"^\| (`--.*?) \| .*? \| (\S+) \|$", MANUAL, re.MULTILINE)
    for one in re.findall(r"`(.+?)`", cells)
]
"""What the manual asks of its recipe for requests, and how many times it says that is."""


def test_options_of_a_request() -> None:
    names = [one for parameter in recipe_options() for one in parameter.opts]
    assert len(names) == len(_RECIPE_OPTIONS)
    assert {asked.split()[0] for asked, _ in ASKED} == set(names)


@pytest.mark.parametrize(("asked", "times"), ASKED)
def test_what_is_asked_comes_to_what_the_manual_says(asked: str, times: str) -> None:
    command = click.Command("batch", params=recipe_options())
    context = command.make_context("batch", shlex.split(asked))
    (example,) = (one for one in WHOLE if "recipe Breakwater bars" in one.text)
    kitchen = example.kitchen
    (recipe,) = kitchen.own_recipes()
    batch = Compiler(kitchen).compile(recipe, replace(_request(context.params), on=ON)).batch
    assert batch is not None
    assert batch.asked.times == Fraction(times)


def test_preferments_come_to_what_the_manual_says() -> None:
    (example,) = (one for one in WHOLE if "recipe Flood tide loaf" in one.text)
    kitchen = example.kitchen
    (recipe,) = kitchen.own_recipes()
    batch = Compiler(kitchen).compile(recipe, Request(on=ON)).batch
    assert batch is not None
    rows = re.findall(
        r"^\| ([a-z ]+) \| (\d*) ?\| (\d*) ?\| (\d*) ?\| (\d*) ?\|$",
        section("### Preferments and soakers"),
        re.MULTILINE,
    )
    assert len(rows) == 5
    parts = {part.name or part.role: part for part in batch.parts}
    for column, name in enumerate(["main", "Levain", "Seeds", "final"], 1):
        own = {row[0]: Fraction(row[column]) for row in rows if row[column]}
        lines = {line.name: line.weight for line in parts[name].lines}
        assert {food: lines.get(food) for food in own} == own
        assert set(lines) - set(own) <= {"seed", "Levain", "Seeds"}
    (water,) = batch.waters
    assert water.by_rule is not None
    sum_shown = re.search(r"4 × (\d+) − (\d+) − (\d+) − (\d+) − (\d+) = (\d+) C", section("### Heat"))
    assert sum_shown
    dough, flour, room, levain, friction, comes_to = map(int, sum_shown.groups())
    assert (dough, flour, room, levain) == (water.target.low, water.flour, water.room, water.room)
    assert (friction, comes_to) == (water.friction, water.by_rule.low)
    assert 4 * dough - flour - room - levain - friction == comes_to


# ---------------------------------------------------------------- what the tables say may be written


def first_cells(text: str) -> list[str]:
    """What is ticked in the first cell of every row of a section's tables."""
    return [
        one
        for cells in re.findall(r"^\| (.*?) \|", text, re.MULTILINE)
        for one in re.findall(r"`(.+?)`", cells)
    ]


def reads(heading: str, line: str) -> tuple[Finding, ...]:
    return read(Source(f"{heading}\n  {line}\n"))[1]


FACTS_OF = {
    "### Draws": (Draw,),
    "### Times": (DurationFact, TurnsFact),
    "### Temperatures": (TemperatureFact, ChangeFact),
    "### Loads and measures": (LoadFact, MeasureFact, Numbered),
}
WRITTEN_FACTS = [(heading, fact) for heading in FACTS_OF for fact in first_cells(section(heading))]


@pytest.mark.parametrize(("heading", "fact"), WRITTEN_FACTS)
def test_a_fact_of_the_tables_is_read_as_one_of_its_sort(heading: str, fact: str) -> None:
    file, findings = read(Source(f"step Batter\n  {fact}\n"))
    assert findings == ()
    ((piece,),) = (line.pieces for line in file.blocks[0].prose())
    assert isinstance(piece, FACTS_OF[heading])


@pytest.mark.parametrize("amount", first_cells(section("### Amounts")))
def test_an_amount_of_the_table_is_read(amount: str) -> None:
    assert reads("ingredients", f"red lemon: {amount}") == ()


@pytest.mark.parametrize("makes", first_cells(section("### What a batch gives")))
def test_a_yield_of_the_table_is_read(makes: str) -> None:
    found = reads("recipe Tide bread", f"makes: {makes}")
    assert [one.rule for one in found] == (["cups-or-cakes"] if makes == "12 cups" else [])


def written_values() -> Iterator[tuple[str, str]]:
    """A value rule and a value that the table of forms shows for it."""
    for rule, written in re.findall(
        r"^\| \*\*(.+?)\*\* \| (.*?) \|", section("### The forms of a value"), re.MULTILINE
    ):
        yield from ((rule, value) for value in re.findall(r"`(.+?)`", written))


@pytest.mark.parametrize(("rule", "value"), list(written_values()))
def test_a_value_of_the_table_is_read(rule: str, value: str) -> None:
    kind, label = next(
        (kind, label)
        for kind, vocabulary in VOCABULARY.items()
        for label in (*vocabulary.labels, *([vocabulary.open] if vocabulary.open else []))
        if label.value == rule
    )
    name = label.example.split(": ")[0]
    assert reads(EXAMPLE_HEADINGS[kind], f"{name}: {value}") == ()


# ---------------------------------------------------------------- every form is shown


def blocks() -> Iterator[Block]:
    for example in RIGHT:
        file, _ = read(example.sources[-1])
        yield from file.blocks


def facts() -> Iterator[Fact]:
    for block in blocks():
        for line in block.lines:
            if isinstance(line, ProseLine):
                yield from (piece for piece in line.pieces if not isinstance(piece, Text))


def entries() -> Iterator[Entry]:
    for block in blocks():
        yield from block.entries()


def test_every_fact_form_is_shown() -> None:
    shown = list(facts())
    assert {type(fact) for fact in shown} == set(get_args(Fact))
    assert {fact.share.kind for fact in shown if isinstance(fact, Draw)} == set(_literal(Share, "kind"))
    assert {fact.place for fact in shown if isinstance(fact, TemperatureFact)} == {None, *get_args(OvenPlace)}
    assert any(fact.of for fact in shown if isinstance(fact, TemperatureFact))
    assert {fact.limit for fact in shown if isinstance(fact, DurationFact)} == {None, "at least", "up to"}
    assert {fact.within for fact in shown if isinstance(fact, ChangeFact)} == {True, False}
    assert {fact.every is None for fact in shown if isinstance(fact, TurnsFact)} == {True, False}
    assert {fact.kind for fact in shown if isinstance(fact, MeasureFact)} == set(
        _literal(MeasureFact, "kind")
    )


def _literal(owner: type, name: str) -> tuple[str, ...]:
    """The words of a Literal that annotates a field."""
    return get_args(get_type_hints(owner, vars(syntax))[name])


def test_every_rule_of_the_grammar_for_facts_is_shown() -> None:
    """By the grammar's own names for the forms; those it takes only to refuse them are left aside."""
    rule = re.search(r"^v_fact:.*?\n\n", grammar_text(), re.MULTILINE | re.DOTALL)
    assert rule
    forms = {name for name in re.findall(r"-> (\w+)", rule.group()) if not name.startswith("bare_")}
    shown = {fact_form(fact.span.text.strip("[]").strip()) for fact in facts()}
    assert "" not in shown
    assert forms - shown == set()


def test_every_kind_of_value_is_shown() -> None:
    assert {type(entry.value) for entry in entries()} == set(get_args(Value))
    assert {entry.value.word for entry in entries() if isinstance(entry.value, Bound)} == {
        None,
        *get_args(BoundWord),
    }


def test_every_kind_of_block_is_shown() -> None:
    assert {block.kind for block in blocks()} == set(VOCABULARY)


def test_names_are_the_same_as_the_manual_says() -> None:
    text = section("### Names")
    pairs = re.findall(r"^\| `(.+?)` \| `(.+?)` \| (same|other) \|", text, re.MULTILINE)
    assert {how for *_, how in pairs} == {"same", "other"}
    for one, other, how in pairs:
        assert (name_key(one) == name_key(other)) is (how == "same"), (one, other)


def test_the_links_of_the_manual_lead_somewhere() -> None:
    outside_examples = re.sub(r"^```.*?^```$", "", MANUAL, flags=re.MULTILINE | re.DOTALL)
    headings = re.findall(r"^#+ (.*)$", outside_examples, re.MULTILINE)
    anchors = {re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings}
    links = set(re.findall(r"\]\(#([^)]+)\)", outside_examples))
    assert links - anchors == set()
    assert len(set(headings)) == len(headings)
