"""What a step's words say is being done, and how long that usually takes.

Words alone: no names, no facts. A line is handed in as one text in which a mark stands for every fact, so that a
clause keeps its shape. Widths are seconds, and wide: outside them a careful reader looks again.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

PRACTICE: Final = "common practice, no source"

MARK: Final = "◊"
"""Stands for a fact in a line of prose."""

Sort: TypeAlias = Literal["works", "cooks", "waits"]
"""`works` needs hands, `cooks` goes on by itself but is often stood over, `waits` plainly goes on by itself."""

_MIN: Final = 60
_HOUR: Final = 3600
_DAY: Final = 86400


@dataclass(frozen=True, slots=True)
class Verb:
    """Something that is done to food.

    `words` are the forms an instruction has (`knead`, never `kneading`), `low` and `high` the shortest and the longest
    time in seconds that a reader takes without looking again, from `source`.
    """

    name: str
    words: tuple[str, ...]
    sort: Sort
    low: int
    high: int
    source: str = PRACTICE


VERBS: Final[tuple[Verb, ...]] = (
    # work
    Verb("knead", ("knead",), "works", 2 * _MIN, 40 * _MIN),
    Verb("mix", ("mix", "combine", "blend in", "work in", "work"), "works", 10, 28 * _MIN),
    Verb("stir", ("stir",), "works", 5, 75 * _MIN),
    Verb("whisk", ("whisk", "beat", "cream", "whip"), "works", 8, 28 * _MIN),
    Verb("fold", ("fold",), "works", 10, 15 * _MIN),
    Verb("sift", ("sift",), "works", 10, 15 * _MIN),
    Verb("rub in", ("rub",), "works", 10, 25 * _MIN),
    Verb(
        "brush or scatter",
        ("brush", "scatter", "sprinkle", "dust", "season", "wipe", "grease", "butter", "oil", "drizzle"),
        "works",
        5,
        16 * _MIN,
    ),
    Verb("add", ("add", "pour", "tip", "stir in", "drop in"), "works", 3, 28 * _MIN),
    Verb("chop", ("chop", "slice", "dice", "peel", "grate", "cut", "shred", "trim"), "works", 15, 100 * _MIN),
    Verb("shape", ("shape", "roll", "roll out", "pleat", "fill", "pipe", "plait"), "works", 10, 150 * _MIN),
    Verb("grind", ("grind", "blend", "mash", "crush", "pound", "purée", "puree"), "works", 3, 28 * _MIN),
    Verb("strain", ("strain", "skim", "rinse", "wash", "scrub"), "works", 10, 40 * _MIN),
    Verb("toss", ("toss", "coat", "dip"), "works", 5, 60 * _MIN),
    # at the stove
    Verb("melt", ("melt",), "cooks", 10, 28 * _MIN),
    Verb("warm", ("warm", "heat", "scald"), "cooks", 20, 45 * _MIN),
    Verb("bring to the boil", (), "cooks", 30, 60 * _MIN),
    Verb("fry", ("fry", "sauté", "saute", "sear", "brown"), "cooks", 5, 70 * _MIN),
    Verb("soften", ("soften", "sweat", "caramelise", "caramelize"), "cooks", 30, 90 * _MIN),
    Verb("toast", ("toast",), "cooks", 10, 28 * _MIN),
    Verb("cook", ("cook",), "cooks", 5, 12 * _HOUR),
    Verb("grill", ("grill", "broil"), "cooks", 20, 75 * _MIN),
    Verb("boil", ("boil",), "cooks", 5, 5 * _HOUR),
    Verb("poach", ("poach",), "cooks", 30, 2 * _HOUR),
    Verb("steam", ("steam",), "cooks", 30, 8 * _HOUR),
    Verb("reduce", ("reduce", "boil down"), "cooks", 20, 5 * _HOUR),
    Verb("simmer", ("simmer", "bubble"), "cooks", 20, _DAY),
    Verb("stew", ("stew", "braise"), "cooks", 4 * _MIN, 12 * _HOUR),
    # by itself
    Verb("churn", ("churn",), "waits", 5 * _MIN, 2 * _HOUR),
    Verb("bake", ("bake",), "waits", 0, 24 * _HOUR),
    Verb("roast", ("roast",), "waits", 0, 24 * _HOUR),
    Verb("preheat", ("preheat",), "waits", 3 * _MIN, 2 * _HOUR),
    Verb("prove", ("prove", "proof", "rise", "ferment"), "waits", 10 * _MIN, 7 * _DAY),
    Verb("rest", ("rest",), "waits", 55, 5 * _DAY),
    Verb("chill", ("chill", "refrigerate"), "waits", 5 * _MIN, 7 * _DAY),
    Verb("freeze", ("freeze",), "waits", 5 * _MIN, 366 * _DAY),
    Verb("soak", ("soak",), "waits", _MIN, 4 * _DAY),
    Verb("marinate", ("marinate", "marinade", "macerate", "brine"), "waits", 4 * _MIN, 10 * _DAY),
    Verb("cool", ("cool",), "waits", 2 * _MIN, 30 * _HOUR),
    Verb("leave", ("leave", "stand", "infuse", "steep", "set aside", "wait"), "waits", 40, 366 * _DAY),
)

BY_NAME: Final = {verb.name: verb for verb in VERBS}

_ADVERBS: Final = r"(?:[a-z]+ly|just|now|again|slowly|first|once more|at once|back)"
_BEFORE: Final = (
    rf"(?:^|[.,;:!?()–—{MARK}]|\b(?:and|then|or|to|let|it|them|all|each|lid on|covered|{_ADVERBS}))\s*"
)
"""What stands before a word that tells the cook to do something: so that `the rest`, `with steam` and `a slow oven`
are no such words."""

_SPOKEN: Final = sorted(
    ((word, verb) for verb in VERBS for word in verb.words), key=lambda pair: len(pair[0]), reverse=True
)
_PATTERN: Final = re.compile(
    rf"{_BEFORE}(?P<word>{'|'.join(re.escape(word) for word, _ in _SPOKEN)})\b(?!-)"
    r"(?! (?:place|oven|water|room|but|yet|as|off|low)\b)",
    re.IGNORECASE,
)
_VERB_OF: Final = dict(reversed(_SPOKEN))
_BRING: Final = re.compile(
    r"\b(?:bring|return|come|comes)\b[^.;]*\b(?:boil|simmer)\b|\bbring\b[^.;]*\bup\b", re.IGNORECASE
)
_NOT_DONE: Final = re.compile(
    r"\b(?:until|till|while|when|once (?:it|they|the)|before|after|as soon as|so that|because|if|which|that|unless"
    r"|do not|don['’]t|never|without|rather than|instead of|ready to|or it|or they)\b[^.;,◊]*",
    re.IGNORECASE,
)
"""Clauses that tell when, why or what not, not what to do."""

_STANDS_WHAT: Final = re.compile(
    r"\bstand (?:the|them|it|each|a|in)\b|\bleave (?:out|behind|off|room|space|a gap)\b"
)
_RISEN: Final = re.compile(
    r"\b(?:doubled?|risen|grown|rises|puffy|puffed up|well up|tripled)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Said:
    """A verb, and where in the text its word stands."""

    verb: Verb
    at: int


def verbs_in(text: str) -> tuple[Said, ...]:
    """What a text tells the cook to do, in its order. Clauses of when, why and what not are passed over."""
    told = _NOT_DONE.sub(lambda found: " " * len(found[0]), text)
    found = [
        Said(_VERB_OF[match["word"].casefold()], match.start("word"))
        for match in _PATTERN.finditer(told)
        if not _STANDS_WHAT.match(told[match.start("word") :].casefold())
    ]
    found += [Said(BY_NAME["bring to the boil"], match.start()) for match in _BRING.finditer(told)]
    if any(one.verb.name in ("leave", "rest") for one in found) and (risen := _RISEN.search(text)):
        found.append(Said(BY_NAME["prove"], risen.start()))
    return tuple(sorted(found, key=lambda one: one.at))


def sentences(text: str) -> list[tuple[int, int]]:
    """Where the sentences of a line begin and end; a semicolon ends one too."""
    found = []
    start = 0
    for stop in re.finditer(r"[.;!?]+(?=\s|$)", text):
        found.append((start, stop.end()))
        start = stop.end()
    if text[start:].strip():
        found.append((start, len(text)))
    return found


_JOINING: Final = re.compile(
    r"(?:"
    r"a|about|ajar|an|and|another|at|by|cover|door|down|each|first|for|further|heat|"
    r"in|it|last|lid|lower|more|of|off|on|once|only|open|other|out|oven|over|round|"
    r"second|side|sides|take|the|them|then|to|tray|turn|turning|twice|uncover|up|with"
    r")"
)


def carries_on(text: str) -> bool:
    """Whether a text between two times only carries on with what was being done: `, turn, `, `; then at `."""
    told = _NOT_DONE.sub(" ", text)
    return all(_JOINING.fullmatch(word) for word in re.findall(r"[a-z]+", told.casefold()))


_MORE: Final = re.compile(
    r"\b(?:more|another|again|last|further|extra|final|first|finish|brief(?:ly)?|quick(?:ly)?|just|only|lightly|gently"
    r"|barely|flash|few|once or twice|a moment|bring (?:it |them )?together)\b",
    re.IGNORECASE,
)
_TENDED: Final = re.compile(
    r"\b(?:stirring|turning(?! down)|basting|shaking|tossing|whisking|flipping|skimming|beating|scraping|pressing"
    r"|moving|watch|watching|keep an eye|stir|baste|shake|toss|whisk|flip|skim|constantly|all the while|feeding"
    r"|topping up|turn(?! (?:(?:it|the oven|the heat) )?(?:down|up|low|out|off|on|to)\b))\b",
    re.IGNORECASE,
)
_MACHINE: Final = re.compile(
    r"\b(?:mixer|mixers|machine|processor|dough hook|hook|paddle|blender|low speed|medium speed|high speed|"
    r"first speed|second speed|on low|on medium|on high|robot|bread maker|churn)\b",
    re.IGNORECASE,
)
_UNMEASURED: Final = re.compile(
    r"\b(?:a little|a moment|a minute|a while|an? (?:hour|day|week)|briefly|a few|at once|straight away|slightly"
    r"|somewhat|a bit|as needed|it up|set aside|while|meanwhile|later|as above|as before|if)\b",
    re.IGNORECASE,
)
_OVERNIGHT: Final = re.compile(r"\bovernight\b|\bthrough the night\b|\bfor the night\b", re.IGNORECASE)


def is_short(text: str) -> bool:
    """Whether the words say themselves that it is a short time, or the end of a longer one."""
    return bool(_MORE.search(text))


def is_tended(text: str) -> bool:
    """Whether the cook is said to have a hand in it: stirring, turning, basting."""
    return bool(_TENDED.search(text))


def by_machine(text: str) -> bool:
    """Whether a machine does it."""
    return bool(_MACHINE.search(text))


def is_unmeasured(text: str) -> bool:
    """Whether the words say that no length is meant: `cool a little`, `rest while the oven heats`."""
    return bool(_UNMEASURED.search(text))


def is_overnight(text: str) -> bool:
    return bool(_OVERNIGHT.search(text))


_BREAKS_OFF: Final = re.compile(
    r"(?:,|\b(?:for|about|at least|up to))\s*(?=[.;:!?,)])|[;:]\s*,|(?<=\w)\s+(?=[,.;])"
)


def breaks_off(text: str) -> int | None:
    """Where a sentence breaks off, as if something had been taken out of it: `Bake at ◊, .`; None where none does."""
    found = _BREAKS_OFF.search(text)
    return found.start() if found else None


RUN_TOGETHER: Final = re.compile(r"(?<![\d.,/])(?P<whole>[1-9]\d?)(?P<part>[1-9])/(?P<under>[2-8])(?![\d/])")
"""`11/2`, `21/2`: a whole number and a fraction whose blank is lost."""
