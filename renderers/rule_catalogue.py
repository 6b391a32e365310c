"""The rules told to a cook: the whole catalogue as Markdown, and one rule for a terminal.

Both show an example as it would stand in a file, a line that is wrong with a minus before it and the line to write
instead with a plus, and beneath it the very message that `benchproof check` gives.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final, Protocol

from benchproof.compiler.findings import Finding
from benchproof.compiler.rule import Family, Rule
from benchproof.renderers.findings_report import findings_text
from benchproof.renderers.terminal import Colour, folded, harmless_in_place, painted


class Row(Protocol):
    """A line of an example: its number, its text, and `same`, `wrong` or `right`."""

    @property
    def number(self) -> int: ...
    @property
    def text(self) -> str: ...
    @property
    def mark(self) -> str: ...


class Shown(Protocol):
    """A rule, the findings that its example gives, and the lines of the example they are about."""

    @property
    def rule(self) -> Rule: ...
    @property
    def found(self) -> Sequence[Finding]: ...
    @property
    def rows(self) -> Sequence[Row]: ...


FAMILIES: Final[Mapping[Family, tuple[str, str]]] = {
    "writing": ("Writing", "what cannot be read, or was most likely not meant"),
    "names": ("Names", "what is called what, once, and known"),
    "formula": ("Formula", "every line as a weight: the base, the shares, the parts, the preferments"),
    "ratios": ("Ratios", "a food's share of the whole against what is usual in its style"),
    "method": ("Method", "what the steps take, against what the lists have"),
    "time": ("Time", "how long a step takes, and what a time can be"),
    "heat": ("Heat", "temperatures that a place, a liquid or a yeast cannot have or stand"),
    "harm": ("Harm", "food cooked too little, cooled too slowly, kept too long or eaten raw"),
    "yield": ("Yield", "what comes of a batch, against what it says it makes"),
    "weighing": ("Weighing", "what the kitchen's scales can weigh out"),
    "measures": ("Measures", "amounts, volumes and tins that are unlike anything a kitchen uses"),
    "prices": ("Prices", "what an ingredient costs, where and since when"),
    "food law": ("Food law", "allergens, and the law that says which must be told"),
    "tests": ("Tests", "what an `expect` block says must hold"),
    "notebook": ("Notebook", "trials, the cupboard and the week"),
}
"""What each family is called on a page, and what it is about; in the order in which they are told."""

_SAFETY: Final = (
    "It is about safety: a recipe can waive it with a reason, which the card prints, but no kitchen can turn it "
    "off."
)
_MARKS: Final[Mapping[str, tuple[str, Colour | None]]] = {
    "same": (" ", None),
    "wrong": ("-", "red"),
    "right": ("+", "green"),
}
_LONGEST: Final = 120  # characters of an example's line
_SEEN: Final = str.maketrans({"\t": "⇥ ", "\u00a0": "␣", "\u2009": "␣", "\u202f": "␣"})


def _lines(rows: Sequence[Row]) -> Iterator[tuple[str, str]]:
    """Each line of an example with its mark. Where lines are passed over, a blank line or an ellipsis stands."""
    last = 0
    for row in rows:
        heading = not row.text[:1].isspace()
        if last and row.number > last + 1:
            yield "same", "" if heading else "  …"
        last = row.number
        text = harmless_in_place(row.text.translate(_SEEN))
        yield row.mark, text if len(text) <= _LONGEST else text[: _LONGEST - 2] + " …"


# ---------------------------------------------------------------- Markdown

_HEAD: Final = """\
# The rules

What `benchproof check` looks for: {count} rules in {families} families. This page is made from the rules themselves:
every message on it is what the check really says of the example above it. `benchproof explain RULE` tells one of them.

An **error** fails the check and stops a recipe from being made; a **warning** fails `check --strict`; a **hint** fails
nothing. [The manual](reference.md#checks) says how a recipe waives a rule, and how a kitchen makes one louder or
quieter.

In the examples a line with a minus is wrong, and the line with a plus is what to write instead. `…` stands for lines
left out, `⇥` for a tab, `␣` for a blank that is not a common one, and `�` for a character that cannot be seen.
"""


def catalogue_markdown(rules: Iterable[Shown]) -> str:
    """Every rule on one page, by family and name, with a list of them all at its head.

    The page is meant to stand beside the manual, `reference.md`, to which it has a link.
    """
    families: dict[str, list[Shown]] = {family: [] for family in FAMILIES}
    for one in rules:
        families.setdefault(one.rule.family, []).append(one)
    told = {
        family: sorted(shown, key=lambda one: one.rule.name) for family, shown in families.items() if shown
    }
    pieces = [_HEAD.format(count=sum(map(len, told.values())), families=len(told))]
    pieces.append("\n".join(_contents(family, shown) for family, shown in told.items()))
    for family, shown in told.items():
        title, about = _family(family)
        pieces.append(f"## {title}\n\n{about[0].upper()}{about[1:]}.")
        pieces += map(_rule, shown)
    return "\n\n".join(piece.strip("\n") for piece in pieces) + "\n"


def _family(name: str) -> tuple[str, str]:
    """A family's title, and what it is about; one that is not ours belongs to a check of the kitchen's own."""
    known = {str(family): told for family, told in FAMILIES.items()}
    return known.get(name, (name[:1].upper() + name[1:], "what the kitchen's own checks look for"))


def _contents(family: str, shown: Sequence[Shown]) -> str:
    title, about = _family(family)
    names = ", ".join(f"[{one.rule.name}](#{one.rule.name})" for one in shown)
    return f"- **[{title}](#{title.lower().replace(' ', '-')})**: {about}.\n  {names}"


def _rule(one: Shown) -> str:
    rule = one.rule
    level = f"**{rule.severity.word.capitalize()}{', about safety' if rule.safety else ''}.**"
    pieces = [
        f"### {rule.name}",
        f"{level} {_prose(rule.meaning)} {_prose(rule.why)}",
        f"**What to do:** {_prose(rule.mend)}",
    ]
    if rule.safety:
        pieces.append(_SAFETY)
    if one.rows:
        lines = (f"{_MARKS[mark][0]} {text}".rstrip() for mark, text in _lines(one.rows))
        pieces.append("\n".join(["```diff", *lines, "```"]))
    pieces += (_message(finding, one) for finding in one.found)
    if rule.source:
        pieces.append(f"Source: {_prose(rule.source)}")
    return "\n\n".join(pieces)


def _message(finding: Finding, one: Shown) -> str:
    """What the check says; with its line, where that is not the one that is wrong."""
    told = f"{_prose(finding.message)} {_prose(finding.help)}".strip()
    if finding.severity is not one.rule.severity:
        told = f"({finding.severity.word}) {told}"
    wrong = {row.number for row in one.rows if row.mark == "wrong"}
    if len(one.found) > 1 or finding.span.line not in wrong:
        line = harmless_in_place(finding.span.source.line(finding.span.line).strip().translate(_SEEN))
        told = f"At `{line}`: {told}"
    return f"> {told}"


def _prose(text: str) -> str:
    """Text in which only what stands between ticks is marked."""
    pieces = re.split(r"(`[^`\n]*`)", harmless_in_place(text.replace("\n", " ")))
    return "".join(
        piece if piece.startswith("`") and len(piece) > 1 else re.sub(r"([\\`*_<>\[\]$~])", r"\\\1", piece)
        for piece in pieces
    )


# ---------------------------------------------------------------- a terminal


def explained(one: Shown, *, colour: bool = False, width: int | None = 88) -> str:
    """One rule: what it means, why it matters, what to do, and an example with what the check says of it.

    `width` None wraps nothing.
    """
    rule = one.rule
    pieces = [
        f"{painted(rule.name, 'bold', colour)}  ({rule.severity.word}, about {rule.family})",
        *(
            "\n".join(folded(text, width, hang=0))
            for text in (
                rule.meaning,
                f"Why it matters: {rule.why}",
                f"What to do: {rule.mend}",
                f"Source: {rule.source}" if rule.source else "",
                _SAFETY if rule.safety else "",
            )
            if text
        ),
    ]
    if one.rows:
        lines = []
        for mark, text in _lines(one.rows):
            sign, ink = _MARKS[mark]
            line = f"  {sign} {text}".rstrip()
            lines.append(painted(line, ink, colour) if ink else line)
        pieces.append("\n".join(["For example (- is wrong, + is right):", "", *lines]))
    if one.found:
        pieces.append(f"`benchproof check` says of it:\n\n{findings_text(one.found, colour=colour).rstrip()}")
    return "\n\n".join(pieces) + "\n"
