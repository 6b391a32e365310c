"""What the food law asks to be named."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="unknown-allergen",
        family="food law",
        severity=Severity.ERROR,
        meaning="`contains` or `may contain` holds a word that no food law's list knows.",
        why="A misspelt allergen would not be printed in the law's words.",
        mend="Use the word of the list.",
        source=(
            "Regulation (EU) 1169/2011 Annex II; FALCPA and FASTER Act (US); FSANZ Standard 1.2.3 Schedule 9"
        ),
        safety=True,
        example=Example(
            text="""\
recipe Rice
  serves:       3
  may contain:  sawdust

ingredients
  white rice:  200 g
  water:       300 g
""",
            wrong="sawdust",
            right="sesame",
        ),
    ),
    Rule(
        name="unknown-food-law",
        family="food law",
        severity=Severity.ERROR,
        meaning="`food law` names a law whose list is not known here.",
        why="Which allergens must be named depends on it.",
        mend="Name one of the known ones, or none: then all lists are joined.",
        safety=True,
        example=Example(
            text="""\
kitchen Elsewhere
  food law:  Atlantis
""",
            wrong="Atlantis",
            right="European Union",
        ),
    ),
)
