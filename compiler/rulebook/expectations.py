"""The recipe's own tests, under `expect`."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="expect-not-met",
        family="tests",
        severity=Severity.ERROR,
        meaning="A line of the `expect` block does not hold.",
        why="The recipe's own test fails: something has drifted.",
        mend="Correct the recipe, or the expectation.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].

expect
  total time:  under 10 min
""",
            wrong="under 10 min",
            right="under 20 min",
        ),
    ),
    Rule(
        name="expect-unknown",
        family="tests",
        severity=Severity.ERROR,
        meaning="A line of the `expect` block names nothing that is computed.",
        why="The test would never fail.",
        mend="Use one of the names the message lists.",
        example=Example(
            text="""\
recipe Rice
  serves:  3

ingredients
  white rice:  200 g
  water:       300 g

step Boil
  Simmer [the white rice] in [the water], [15 min hands-off].

expect
  deliciousness:  over 90 %
""",
            wrong="deliciousness:  over 90 %",
            right="total time:     under 20 min",
        ),
    ),
)
