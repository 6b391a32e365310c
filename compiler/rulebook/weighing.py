"""The scale: whether it can show what is to be weighed."""

from __future__ import annotations

from typing import Final

from benchproof.compiler.findings import Severity
from benchproof.compiler.rule import Example, Rule

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        name="scale-too-coarse",
        family="weighing",
        severity=Severity.WARNING,
        meaning="A weight is so small that half a step of the scale it goes on is more than 5 % of it.",
        why=(
            "What the scale shows may be half a step out, either way: 0.6 g on a scale with steps of 1 g is a "
            "guess. Up to 20 % this is a hint, and for herbs and spices nothing: they differ by more than "
            "that themselves."
        ),
        mend=(
            "Make more at once, use a finer scale, or weigh a part of a solution. The finding works the "
            "amounts out."
        ),
        source="common practice, no source",
        example=Example(
            text="""\
kitchen Saltmarsh
  scales:  1 g to 5 kg

recipe Loaf
  makes:  2 loaves
  base:   strong flour

ingredients
  strong flour:   500 g
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.12 %
""",
            wrong="1 g to 5 kg",
            right="0.01 g to 100 g, 1 g to 5 kg",
        ),
    ),
    Rule(
        name="too-heavy-for-the-scale",
        family="weighing",
        severity=Severity.HINT,
        meaning="A weight is more than any scale of the kitchen carries.",
        why="It has to be weighed in several goes, and a go is easily forgotten or done twice.",
        mend=(
            "Weigh it in as many goes as the finding says and tick them off, or add the stronger scale to "
            "`scales`."
        ),
        example=Example(
            text="""\
kitchen Saltmarsh
  scales:  0.1 g to 500 g, 1 g to 5 kg

recipe Loaf
  makes:  12 loaves
  base:   strong flour

ingredients
  strong flour:   6.2 kg
  water:          68 %
  fine salt:      2 %
  instant yeast:  0.6 %
""",
            wrong="1 g to 5 kg",
            right="1 g to 15 kg",
        ),
    ),
)
