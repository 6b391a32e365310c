"""The notebook: what trials found out and nobody did, and what cannot be as it is written."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule


def _buns(trial: str) -> str:
    return f"""\
recipe Tide buns
  makes:  8 buns of 80 g
  base:   strong flour
  style:  lean hearth bread
  date:   2026-11-02

ingredients
  strong flour:   381 g
  water:          248 g
  fine salt:        8 g
  instant yeast:    3 g

step Mix
  Stir [the strong flour], [the water], [the fine salt] and [the instant yeast] to a [25 C dough]; knead, [10 min].

{trial}"""


RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="next-not-taken-up",
        family="notebook",
        severity=Severity.HINT,
        meaning="The last trial says what to try next, and neither a trial nor the recipe has changed since.",
        why="What was found out is lost if nobody does it.",
        mend="Try it and write the trial down, or change the recipe and its `date`.",
        example=Example(
            _buns("trial 2026-11-09\n  made:  8 buns\n  next:  two minutes more in the oven\n"),
            "  next:  two minutes more in the oven\n",
            "",
        ),
    ),
    Rule(
        name="trial-dated-ahead",
        family="notebook",
        severity=Severity.WARNING,
        meaning="A trial is of a day that has not come.",
        why="Trials are read in the order of their days; a slipped date puts one in the wrong place.",
        mend="Write the day on which it was made.",
        example=Example(
            _buns("trial 2027-11-09\n  made:  8 buns\n  result:  pale below\n"), "2027-11-09", "2026-11-09"
        ),
    ),
    Rule(
        name="trials-out-of-order",
        family="notebook",
        severity=Severity.HINT,
        meaning="The trials of a recipe stand neither in the order of their days nor the other way round.",
        why="What was changed from one to the next can no longer be read off the page.",
        mend="Put them in order, or correct a date.",
        example=Example(
            _buns(
                "trial 2026-11-04\n  result:  pale below\n\ntrial 2026-11-12\n  result:  good\n\n"
                "trial 2026-11-09\n  result:  dark below\n"
            ),
            "trial 2026-11-12",
            "trial 2026-11-07",
        ),
    ),
    Rule(
        name="trial-empty",
        family="notebook",
        severity=Severity.HINT,
        meaning="A trial has a date and nothing else.",
        why="It says that something was tried, and nothing of what came of it.",
        mend="Write what came of it, or take it out.",
        example=Example(_buns("trial 2026-11-09\n"), "trial 2026-11-09\n", ""),
    ),
    Rule(
        name="trial-without-result",
        family="notebook",
        severity=Severity.HINT,
        meaning="A trial says what was changed, and not what came of it.",
        why="The next reader cannot tell whether to do it again.",
        mend="Write the result, if only in three words.",
        example=Example(
            _buns("trial 2026-11-09\n  changed:  lid on for the first half\n"),
            "  changed:  lid on for the first half\n",
            "  changed:  lid on for the first half\n  result:   soft crust\n",
        ),
    ),
    Rule(
        name="trial-counts-others",
        family="notebook",
        severity=Severity.WARNING,
        meaning="A trial counts other things than the recipe makes.",
        why="Its weight and time cannot be held against what was worked out; perhaps it is another recipe's trial.",
        mend="Count what the recipe counts.",
        example=Example(
            _buns("trial 2026-11-09\n  made:  2 loaves\n  result:  pale\n"), "2 loaves", "8 buns"
        ),
    ),
    Rule(
        name="trial-weight-far-off",
        family="notebook",
        severity=Severity.WARNING,
        meaning="What a trial weighed is twice, or half, of what so many would weigh by the recipe.",
        why="The weight, the number or the recipe is wrong.",
        mend="Look at the weight and the number; if both are right, at the amounts and losses.",
        source="twice, or six times where no number is said: our own choice",
        example=Example(
            _buns("trial 2026-11-09\n  made:     8 buns\n  weighed:  62 g baked\n  result:   pale\n"),
            "62 g baked",
            "620 g baked",
        ),
    ),
    Rule(
        name="trial-temperature-unlikely",
        family="notebook",
        severity=Severity.WARNING,
        meaning="The water or the dough of a trial had a temperature that cannot be, or far from what the method asks.",
        why="A friction worked out from it would be wrong, and so the water of every batch to come.",
        mend="Look at the figure and its unit again.",
        source="yeast: 130 F, bakery practice, a consumer page; doughs 5 to 40 C: common practice, no source",
        example=Example(
            _buns("trial 2026-11-09\n  dough:   2.5 C\n  result:  slow\n"),
            "  dough:   2.5 C",
            "  dough:   25 C",
        ),
    ),
)
