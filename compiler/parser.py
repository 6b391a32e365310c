"""Text in, tree and findings out: `read` for a whole text, `read_block` for one block of it.

Each heading, value and bracket is one short call into lark; a line that is not understood is left out of the tree
(`Unread`) with one Finding, and the next is read as if nothing had happened. No text raises an exception.

Spans count from their block's place, so a block read once serves as long as its text is the same.
"""

from __future__ import annotations

import re
import unicodedata

from benchproof.compiler.block_text import BlockText
from benchproof.compiler.blocks import SPECIAL_BLANK, Conflict, RawBlock, RawLine, colon_at, cut
from benchproof.compiler.facts import not_a_fact, read_prose
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.headings import read_heading
from benchproof.compiler.labels import VOCABULARY, Label, Vocabulary
from benchproof.compiler.parser_messages import Refused, Slip, refuse, shortened
from benchproof.compiler.source import Place, Source
from benchproof.compiler.suggest import nearest, one_of, sure_slip
from benchproof.compiler.syntax import (
    Block,
    BlockKind,
    Comment,
    Entry,
    File,
    Line,
    Name,
    Unread,
    name_key,
)
from benchproof.compiler.values import Written, read_value

_NAME_AND_AMOUNT = re.compile(r"[^\d½⅓⅔¼¾,:\[\]]+ [0-9]+(?:\.[0-9]+)? ?(?:k?g|m?l|%|tsp|tbsp)(?:,.*)?")
"""`strong flour 500 g`: only its colon can be missing."""


def _joiner(ch: str, before: str) -> bool:
    """A zero-width joiner or a variation mark inside a picture character, which is one character to a reader."""
    return (
        ch in "\u200d\ufe0f"
        and bool(before)
        and (unicodedata.category(before) in ("So", "Sk", "Mn") or before in "#*0123456789")
    )


def _hidden(ch: str) -> bool:
    return unicodedata.category(ch) in ("Cf", "Cc", "Zl", "Zp", "Cs")


def _harmless(ch: str) -> bool:
    """Whether the line looks the same without it: what turns the reading direction does more than hide."""
    turns = unicodedata.bidirectional(ch) in ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
    return unicodedata.category(ch) == "Cf" and not turns and ch not in "\u200e\u200f\u061c"


class _Reader:
    """Reads one block, line by line."""

    def __init__(self, raw: RawBlock) -> None:
        self.raw = raw
        self.kind: BlockKind | None = raw.kind
        self.block = BlockText(raw.place, raw.text)

    def read(self) -> Block | None:
        raw = self.raw
        for conflict in raw.conflicts:
            self.conflict(conflict)
        if raw.heading is None:
            if raw.lines:
                first = raw.lines[0]
                self.block.say(
                    Slip(
                        "before-any-heading",
                        first.start,
                        first.end,
                        "This stands before any heading, so it belongs to nothing.",
                        "Put a heading above it, at the left margin: `recipe Harbour griddle rounds`.",
                    )
                )
            return None
        seen = self.characters(raw.heading.start, raw.heading.end)
        heading = read_heading(self.block, raw) if seen else None
        if self.kind is None:
            return None
        self.tabs()
        self.margin()
        lines = self.lines()
        last = max([raw.heading.end, *(line.end for line in raw.lines[-1:])])
        comments = tuple(
            Comment(self.block.text[a:b], self.block.span(a, b)) for a, b in sorted(raw.comments)
        )
        return Block(
            self.kind,
            heading,
            tuple(lines),
            comments,
            self.block.place,
            self.block.span(raw.heading.start, last),
        )

    def conflict(self, conflict: Conflict) -> None:
        end = self.block.text.find("\n", conflict.start)
        end = conflict.end if end < 0 or end > conflict.end else end
        self.block.say(
            Slip(
                "merge-conflict",
                conflict.start,
                end,
                "A merge left both versions of these lines here, with its markers.",
                "Keep the lines that are right and delete the others, "
                "and the lines of `<<<<<<<`, `=======` and `>>>>>>>`.",
            )
        )

    def tabs(self) -> None:
        """One finding for all tabs that indent: as wide as the reader's editor makes them, they show nothing."""
        found: list[tuple[int, int]] = []
        for line in self.raw.lines:
            start = line.start - line.indent
            if "\t" in self.block.text[start : line.start]:
                found.append((start, line.start))
        if not found:
            return
        first, last = found[0][0], found[-1][1]
        end = found[0][1]
        inside: set[int] = set()
        for a, b in found:
            inside.update(at for at in range(a, b) if self.block.text[at] == "\t")
        mended = "".join("  " if at in inside else self.block.text[at] for at in range(first, last))
        count = f"{len(found)} lines of this block are" if len(found) > 1 else "This line is"
        self.block.say(
            Slip(
                "tab-indent",
                first,
                end,
                f"{count} indented with a tab.",
                "Use two spaces.",
                mended,
                first,
                last,
                Severity.WARNING,
            )
        )

    def margin(self) -> None:
        """One finding for each run of lines that lost their indentation."""
        run: list[RawLine] = []
        for line in [*self.raw.lines, None]:
            if line is not None and line.indent == 0 and self.belongs(line):
                run.append(line)
                continue
            if run:
                first, last = run[0].start, run[-1].end
                starts = [line.start for line in run]
                pieces = [self.block.text[a:b] for a, b in zip(starts, [*starts[1:], last], strict=True)]
                mended = "  " + "  ".join(pieces)
                whose = f"the `{self.kind}` block above" if self.kind else "the block above"
                lines = "These lines stand" if len(run) > 1 else "This line stands"
                self.block.say(
                    Slip(
                        "not-indented",
                        first,
                        run[0].end,
                        f"{lines} at the left margin, where headings do; read as part of {whose}.",
                        "Indent by two spaces.",
                        mended,
                        first,
                        last,
                    )
                )
                run = []

    def belongs(self, line: RawLine) -> bool:
        """Whether a line at the margin could stand in this block; of others it is enough to say that they cannot."""
        assert self.kind is not None
        return VOCABULARY[self.kind].prose or colon_at(self.block.clean[line.start : line.end]) >= 0

    def lines(self) -> list[Line]:
        assert self.kind is not None
        vocabulary = VOCABULARY[self.kind]
        seen: dict[tuple[str, ...], Entry] = {}
        lines: list[Line] = []
        for raw in self.raw.lines:
            line: Line | None = None
            if self.characters(raw.start, raw.end):
                line = self.line(raw, vocabulary)
            if isinstance(line, Entry):
                key = self.sameness(line, vocabulary)
                first = seen.get(key) if key else None
                if first is not None:
                    self.twice(first, line)
                    line = None
                elif key:
                    seen[key] = line
            lines.append(line if line is not None else Unread(self.block.span(raw.start, raw.end)))
        return lines

    def sameness(self, entry: Entry, vocabulary: Vocabulary) -> tuple[str, ...]:
        """What must not be said twice: the label, and for an ingredient what it is for. Empty: may repeat."""
        label = vocabulary.find(entry.label.key) or vocabulary.open
        if label is None or label.repeats:
            return ()
        if self.kind in ("ingredients", "preferment", "soaker"):
            purposes = (name_key(detail.text) for detail in entry.details if detail.text.startswith("for "))
            return (entry.label.key, *purposes)
        return (entry.label.key,)

    def twice(self, first: Entry, second: Entry) -> None:
        label = second.label.text
        if self.kind == "ingredients":
            help = "Add the two up, or say what one of them is for: `, for the bench`."
        else:
            help = "Keep one of them."
        span = second.label.span
        self.block.say(
            Slip("label-twice", span.start, span.end, f"`{label}` is said twice in this block.", help),
            ((first.label.span.start, first.label.span.end, "here for the first time"),),
        )

    def characters(self, start: int, end: int) -> bool:
        """Look at the characters of a line. False when it holds one that cannot be seen."""
        piece = self.block.text[start:end]
        if piece.isascii() and piece.isprintable():
            return True
        bad = [
            at
            for at, ch in enumerate(piece)
            if _hidden(ch) and ch != "\t" and not _joiner(ch, piece[at - 1 : at])
        ]
        if bad:
            gone = set(bad)
            mended = "".join(ch for at, ch in enumerate(piece) if at not in gone)
            codes = ", ".join(dict.fromkeys(f"U+{ord(piece[at]):04X}" for at in bad[:3]))
            self.block.say(
                Slip(
                    "invisible-character",
                    start + bad[0],
                    start + bad[0] + 1,
                    f"This line holds a character that cannot be seen ({codes}), so it is not what it looks like.",
                    "Delete it.",
                    mended if all(_harmless(piece[at]) for at in bad) else None,
                    start,
                    end,
                )
            )
            return False
        if special := SPECIAL_BLANK.search(piece):
            self.block.say(
                Slip(
                    "no-break-space",
                    start + special.start(),
                    start + special.end(),
                    "This is not a common space but another kind of blank; read as a space.",
                    "Write a space.",
                    SPECIAL_BLANK.sub(" ", piece),
                    start,
                    end,
                    Severity.HINT,
                )
            )
        return True

    # ------------------------------------------------------------ lines

    def line(self, raw: RawLine, vocabulary: Vocabulary) -> Line | None:
        try:
            return self.line_or_refuse(raw, vocabulary)
        except Refused as refused:
            self.block.say_refused(refused)
            return None

    def line_or_refuse(self, raw: RawLine, vocabulary: Vocabulary) -> Line:
        assert self.kind is not None
        text = self.block.clean[raw.start : raw.end]
        if self.kind == "step":
            return read_prose(self.block, raw.start, raw.end)
        colon = colon_at(text)
        label_text = text[:colon].rstrip(" ") if colon >= 0 else ""
        if self.kind == "trial":
            if colon > 0 and "[" not in label_text:
                key = name_key(label_text)
                if vocabulary.find(key):
                    return self.entry(raw, colon, vocabulary)
                near = nearest(key, vocabulary.names) if " " not in key else []
                if near and len(key) > 3:
                    raise Refused(self.unknown_label(raw.start, raw.start + len(label_text), vocabulary))
            return read_prose(self.block, raw.start, raw.end)
        if colon < 0:
            if vocabulary.prose:
                return read_prose(self.block, raw.start, raw.end)
            raise Refused(self.missing_colon(raw, vocabulary))
        return self.entry(raw, colon, vocabulary)

    def missing_colon(self, raw: RawLine, vocabulary: Vocabulary) -> Slip:
        text = self.block.clean[raw.start : raw.end]
        tight = text.find(":")
        if 0 < tight < len(text) - 1:
            at = raw.start + tight + 1
            ratio = text[tight - 1].isdigit() and text[tight + 1].isdigit()  # `3:1` may be part of a name
            return Slip(
                "missing-blank",
                raw.start,
                raw.end,
                "A label's colon is followed by a blank.",
                f"Write `{shortened(text[: tight + 1] + ' ' + text[tight + 1 :])}`.",
                None if ratio else " ",
                at,
                at,
            )
        for name in sorted(vocabulary.names, key=len, reverse=True):
            if text.casefold().startswith(name.casefold() + " "):
                at = raw.start + len(name)
                return Slip(
                    "missing-colon",
                    raw.start,
                    raw.end,
                    f"There is no colon after `{text[: len(name)]}`.",
                    f"Write `{shortened(text[: len(name)] + ':' + text[len(name) :])}`.",
                    ":",
                    at,
                    at,
                )
        word = text.split(" ", 1)[0]
        if vocabulary.open is None and (near := nearest(word, vocabulary.names, 1)) and word != text:
            mended = f"{near[0]}:{text[len(word) :]}"
            return Slip(
                "missing-colon",
                raw.start,
                raw.end,
                f"There is no colon on this line, and `{shortened(word)}` is no label of `{self.kind}`.",
                f"Did you mean `{shortened(mended)}`?",
            )
        if vocabulary.open and (found := re.search(r" (?=[0-9½⅓⅔¼¾])", text)):
            mended = f"{text[: found.start()]}: {text[found.end() :]}"
            return Slip(
                "missing-colon",
                raw.start,
                raw.end,
                "There is no colon on this line.",
                f"Write `{shortened(mended)}`.",
                ":" if _NAME_AND_AMOUNT.fullmatch(text) else None,
                raw.start + found.start(),
                raw.start + found.start(),
            )
        example = (vocabulary.open or vocabulary.labels[0]).example
        bare = (
            f"`{shortened(text)}` says nothing after its name"
            if vocabulary.open
            else "There is no colon on this line"
        )
        return Slip(
            "missing-colon",
            raw.start,
            raw.end,
            f"{bare}.",
            f"Write a label, a colon and a value: `{example}`.",
        )

    def unknown_label(self, start: int, end: int, vocabulary: Vocabulary) -> Slip:
        label = self.block.clean[start:end]
        near = nearest(label, vocabulary.names)
        elsewhere = [
            kind
            for kind, other in VOCABULARY.items()
            if kind != self.kind and other.find(name_key(label)) and kind != "trial"
        ]
        if elsewhere:
            near = []
            help = f"It is a label of {one_of(elsewhere)}. Here stand {one_of(vocabulary.names, 'and')}."
        elif near:
            help = f"Did you mean {one_of(near)}?"
        else:
            help = f"Here stand {one_of(vocabulary.names, 'and')}."
        # Where any name may stand for a label, a near one may be a name too.
        sure = sure_slip(label, vocabulary.names) if near and vocabulary.open is None else None
        return Slip(
            "unknown-label", start, end, f"`{shortened(label)}` is no label of `{self.kind}`.", help, sure
        )

    def entry(self, raw: RawLine, colon: int, vocabulary: Vocabulary) -> Entry:
        start, end = self.block.trim(raw.start, raw.start + colon)
        if start == end:
            raise refuse(
                "missing-label",
                raw.start,
                raw.end,
                "There is nothing before the colon.",
                "Write a label before it.",
            )
        self.block.not_too_long(start, end)
        label = self.block.name(start, end)
        found = re.search(r"[\[\]]", label.text)
        if found:
            raise refuse(
                "label-bracket",
                start + found.start(),
                start + found.end(),
                "A label holds no brackets: those are for facts in a step.",
                "Leave the brackets out.",
            )
        known = vocabulary.find(label.key) or self.open_label(label, vocabulary)
        if known is None:
            raise Refused(self.unknown_label(start, end, vocabulary))
        a, b = self.block.trim(raw.start + colon + 1, raw.end)
        if a == b:
            raise refuse(
                "missing-value",
                start,
                raw.start + colon + 1,
                f"`{label.text}:` has nothing after it.",
                f"It says {known.meaning}: `{known.example}`.",
            )
        value, details = read_value(Written(self.block, known, label, a, b))
        return Entry(label, value, details, self.block.span(start, b))

    def open_label(self, label: Name, vocabulary: Vocabulary) -> Label | None:
        if vocabulary.open is None:
            return None
        if self.kind == "ingredient":
            # Parts and packs may be called anything, so only a plain slip of a known label is caught here.
            near = [
                name for name in nearest(label.text, vocabulary.names) if abs(len(name) - len(label.text)) < 3
            ]
            if near and len(label.text) > 3 and set(near[0].split()).isdisjoint(label.text.split()):
                return None
        elif "," in label.text and self.kind in ("ingredients", "preferment", "soaker"):
            at = label.text.index(",")
            span = label.span.part(at, at + 1)
            raise refuse(
                "name-comma",
                span.start,
                span.end,
                "An ingredient's name holds no comma: in a fact a comma would end it.",
                "Put what follows it after the amount, as a detail: `butter: 40 g, softened`.",
            )
        if self.kind in ("ingredients", "preferment", "soaker"):
            not_a_fact(self.block, label, "ingredient")
        return vocabulary.open


# ---------------------------------------------------------------- the door


def read_block(raw: RawBlock) -> tuple[Block | None, tuple[Finding, ...]]:
    """Read one block. None when its heading says nothing we know; the findings then say so."""
    reader = _Reader(raw)
    block = reader.read()
    return block, tuple(
        sorted(
            reader.block.findings, key=lambda finding: (finding.span.start, finding.span.end, finding.rule)
        )
    )


def read(source: Source) -> tuple[File, tuple[Finding, ...]]:
    """Read a whole text: its tree, and what there is to say about it, in the text's order. Raises nothing."""
    blocks: list[Block] = []
    findings: list[Finding] = []
    for raw in cut(source):
        block, found = read_block(raw)
        if block is not None:
            blocks.append(block)
        findings.extend(found)
    return File(tuple(blocks), Place(source)), tuple(findings)
