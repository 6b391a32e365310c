"""`python -m tests.recipes.seeded`: plant single mistakes in the clean recipes, and say what the checks find."""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Iterator

from tests.recipes.seeded.operators import OPERATORS
from tests.recipes.seeded.plant import COUNT, SEED, Outcome, Run, run
from tests.recipes.seeded.situations import KINDS


def table(result: Run) -> str:
    """One row an operator, then the kinds of slips nobody could know."""
    unknowable: Counter[str] = Counter()
    for (operator, _), number in result.undetectable.items():
        unknowable[operator] += number
    rows = [f"{'operator':28} {'planted':>7} {'found':>6} {'right':>6} {'%':>5} {'undetectable':>13}"]
    for name in OPERATORS:
        mine = [one for one in result.outcomes if one.slip.operator == name]
        rows.append(_row(name, mine, unknowable[name]))
    rows += [
        "",
        _row("all", result.outcomes, unknowable.total()),
        "",
        "Undetectable, by what the page leaves open:",
    ]
    kinds: Counter[str] = Counter()
    for (_, kind), number in result.undetectable.items():
        kinds[kind] += number
    drawn = len(result.outcomes) + kinds.total()
    for kind, number in kinds.most_common():
        rows.append(f"  {kind:28} {number:4} of {drawn}, {100 * number / drawn:4.1f} %  {KINDS[kind]}")
    return "\n".join(rows)


def _row(name: str, outcomes: list[Outcome], unknowable: int) -> str:
    found = sum(bool(one.found) for one in outcomes)
    right = sum(one.right is not None for one in outcomes)
    share = f"{100 * right / len(outcomes):.1f}" if outcomes else "-"
    return f"{name:28} {len(outcomes):7} {found:6} {right:6} {share:>5} {unknowable:13}"


def missed(result: Run) -> Iterator[str]:
    """Each miss: where, what was written and is written now, and what was found instead."""
    for one in result.outcomes:
        if one.right is not None:
            continue
        yield f"{one.place}: {one.slip.operator}: {one.slip.was!r} -> {one.slip.now!r}"
        for finding in one.found or ():
            span = finding.span
            yield f"    {finding.severity.word} {finding.rule} at {span.source.name}:{span.line}: {finding.message}"
        if not one.found:
            yield "    nothing"


def as_json(result: Run) -> str:
    return json.dumps(
        {
            "planted": [
                {
                    "place": one.place,
                    "operator": one.slip.operator,
                    "was": one.slip.was,
                    "now": one.slip.now,
                    "found": [
                        {
                            "rule": finding.rule,
                            "severity": finding.severity.word,
                            "file": finding.span.source.name,
                            "line": finding.span.line,
                            "message": finding.message,
                        }
                        for finding in one.found
                    ],
                    "right": one.right.rule if one.right else None,
                }
                for one in result.outcomes
            ],
            "undetectable": [
                {"operator": operator, "kind": kind, "count": number}
                for (operator, kind), number in sorted(result.undetectable.items())
            ],
        },
        indent=1,
        ensure_ascii=False,
    )


def say(text: str) -> None:
    sys.stdout.write(f"{text}\n")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.recipes.seeded", description=__doc__)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--count", type=int, default=COUNT, help="how many detectable slips to plant")
    parser.add_argument(
        "--each", action="store_true", help="plant COUNT of every operator, as far as there are sites"
    )
    parser.add_argument("--only", choices=list(OPERATORS), help="plant with this operator alone")
    parser.add_argument("--missed", action="store_true", help="print every miss, and what was found instead")
    parser.add_argument(
        "--undetectable", action="store_true", help="print every slip judged to be past knowing"
    )
    parser.add_argument("--as", dest="form", choices=["text", "json"], default="text")
    asked = parser.parse_args()
    result = run(asked.seed, asked.count, each=asked.each, only=asked.only)
    if asked.form == "json":
        say(as_json(result))
        return
    say(table(result))
    if asked.missed:
        say("\nMissed:")
        say("\n".join(missed(result)))
    if asked.undetectable:
        say("\nPast knowing:")
        for kind, lines in sorted(result.examples.items()):
            say(f"{kind}:\n  " + "\n  ".join(lines))


if __name__ == "__main__":
    main()
