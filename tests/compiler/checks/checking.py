"""A text checked as a kitchen of one file: what these tests share."""

from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.source import Source

ON = "2026-11-20"
"""The day these texts are judged on, where their kitchen does not say."""


def checked(*texts: str, on: str | None = None) -> list[Finding]:
    """Every finding of a kitchen of these texts. `on` goes before the kitchen's own `costed on`."""
    kitchen = Kitchen([Source(text, f"{'abcdef'[at]}.bench") for at, text in enumerate(texts)])
    return check_kitchen(kitchen, Compiler(kitchen), on or kitchen.settings.costed_on or ON)


def told(*texts: str, on: str | None = None) -> list[str]:
    """The rules found, in the order of the text."""
    return [one.rule for one in checked(*texts, on=on)]


def only(rule: str, *texts: str, on: str | None = None) -> Finding:
    """The one finding there is, which must be of this rule."""
    found = checked(*texts, on=on)
    assert [one.rule for one in found] == [rule], [(one.rule, one.message) for one in found]
    return found[0]


def loaf(
    *,
    head: str = "",
    flour: str = "500 g",
    water: str = "68 %",
    salt: str = "2 %",
    yeast: str = "0.6 %",
    more: str = "",
    base: str = "  base:   strong flour\n",
    style: str = "  style:  lean hearth bread\n",
) -> str:
    """A plain loaf that nothing is wrong with, until a line is changed."""
    return (
        f"recipe Loaf\n  makes:  1 loaf\n{base}{style}{head}\n"
        f"ingredients\n  strong flour:   {flour}\n  water:          {water}\n  fine salt:      {salt}\n"
        f"  instant yeast:  {yeast}\n{more}\n"
        "step Mix\n  Knead everything: [the strong flour], [the water], [the fine salt] and [the instant yeast], "
        "[10 min].\n"
    )


def rice(step: str = "", *, head: str = "", more: str = "") -> str:
    """Boiled rice, with further lines in the head, the list and the step."""
    return (
        f"recipe Rice\n  serves:  3\n{head}\n"
        f"ingredients\n  white rice:  200 g\n  water:       300 g\n  fine salt:     2 g\n{more}\n"
        "step Boil\n  Simmer [the white rice] in [the water] with [the fine salt], [15 min hands-off].\n"
        f"{step}"
    )
