"""What a rule is: one thing that is looked for, told so that a cook can judge it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from benchproof.compiler.findings import Severity

Family: TypeAlias = Literal[
    "writing",
    "names",
    "formula",
    "ratios",
    "method",
    "time",
    "heat",
    "harm",
    "yield",
    "weighing",
    "measures",
    "prices",
    "food law",
    "tests",
    "notebook",
]


@dataclass(frozen=True, slots=True)
class Example:
    """A text with one mistake in it, and the mend.

    `text` is a whole kitchen in one text, of which only this rule finds anything at warning or above. `wrong` stands
    in it once; with `right` in its place the finding is gone and no other has come.
    """

    text: str
    wrong: str
    right: str

    @property
    def bad(self) -> str:
        return self.text

    @property
    def good(self) -> str:
        return self.text.replace(self.wrong, self.right)


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing that is looked for.

    name      in words: `yeast-too-hot`
    family    what it is about; one module of `rulebook` each. A kitchen's own checks may have families of their own
    severity  how much it matters, unless the case makes it milder or harder
    meaning   what it is, why it matters, and what to do: whole sentences
    source    where its threshold comes from, if it has one
    safety    cannot be turned off, only waived with a reason that the card prints
    example   what it looks like, and its mend
    unshown   why no text can show it, for the few rules without an example
    """

    name: str
    family: Family | str
    severity: Severity
    meaning: str
    why: str
    mend: str
    source: str = ""
    safety: bool = False
    example: Example | None = None
    unshown: str = ""
