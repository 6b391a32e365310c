"""How long after a keystroke its findings are there:    python -m tests.benchmarks.keystrokes

A file of some 300 lines is typed into, in kitchens of 100 and of 1000 generated recipes. `reading` is until what
reading alone finds is there, `all` until everything is; `first` is the opening of the file. Processor time of this
process, in ms; nothing here is asserted.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

from benchproof.compiler.workspace import Workspace

ON = "2026-11-20"
KEYS = 60

KITCHEN = """kitchen Saltmarsh
  currency:  NZD
  food law:  Australia and New Zealand

prices at Lantern Street Grocer on 2026-11-02
  strong flour:   3.30 for 1.5 kg
  instant yeast:  4.60 for 8 x 7 g
  caster sugar:   2.90 for 1 kg
  fine salt:      1.20 for 1 kg
  neutral oil:    5.60 for 1 l
  water:          free
"""


def recipe(number: int) -> str:
    """A recipe of some 40 lines, with a name and amounts of its own."""
    return f"""recipe Tide rounds {number}
  makes:  {8 + number % 9} rounds
  base:   strong flour
  style:  yeasted griddle batter
  keeps:  2 days in a tin, 2 months frozen

ingredients
  strong flour:   {200 + number % 90} g
  water:          {130 + number % 20} %
  fine salt:        2 %
  caster sugar:     3 %
  instant yeast:  1.2 %
  neutral oil:      2 tsp, for the pan

equipment
  griddle or wide pan with a lid
  9 cm rings: 4, or folded strips of foil

step Wake the yeast
  Whisk [half the caster sugar] and [the instant yeast] into [the water] at [36-40 C].
  Leave [5-10 min hands-off] until a foam cap stands on top.

step Dry side, during Wake the yeast
  Stir [the strong flour], [the fine salt] and [the rest of the caster sugar] together. [2 min]

step Batter, after Wake the yeast and Dry side
  Beat the wet into the dry until no lump is left, [3 min].
  Cover loosely and leave [20-25 min hands-off].

step Cook
  Wipe the rings with [the neutral oil] and set them on a low griddle, [170 C pan].
  Cook [4 at a time], lid on: [6-7 min] until the tops are set, turn, [1 min].

expect
  hydration:   125-155 %
  total time:  under 120 min

"""


def generated(folder: Path, recipes: int) -> Path:
    """A kitchen of so many recipes, one a file, but for the last eight: they are one file, which is returned."""
    (folder / "kitchen.bench").write_text(KITCHEN, encoding="utf-8")
    for number in range(recipes - 8):
        (folder / f"tide-{number}.bench").write_text(recipe(number), encoding="utf-8")
    typed = folder / "typed.bench"
    typed.write_text("".join(recipe(number) for number in range(recipes - 8, recipes)), encoding="utf-8")
    return typed


def keystrokes(text: str, many: int) -> list[str]:
    """The text after each of so many keys: a word typed into a step, then a line into a list."""
    at = text.index("Beat the wet") + len("Beat the wet")
    words = " and the cold butter, [40 g of the butter] of the morning, all of it" * 3
    return [text[:at] + words[: key + 1] + text[at:] for key in range(many)]


def measure(recipes: int) -> tuple[int, float, list[float], list[float]]:
    """Lines of the file, ms for opening, and for each key until the reading and until everything is there."""
    with tempfile.TemporaryDirectory() as name:
        path = generated(Path(name).resolve(), recipes)
        text = path.read_text(encoding="utf-8")
        workspace = Workspace(lambda: ON)
        began = time.process_time()
        document = workspace.put("typed", path, text, 0)
        room = workspace.room("typed")
        assert room is not None
        room.findings(document)
        opened = (time.process_time() - began) * 1000
        reading: list[float] = []
        everything: list[float] = []
        for version, changed in enumerate(keystrokes(text, KEYS), 1):
            began = time.process_time()
            document = workspace.put("typed", path, changed, version)
            room.reading(document)
            reading.append((time.process_time() - began) * 1000)
            room.findings(document)
            everything.append((time.process_time() - began) * 1000)
        return text.count("\n"), opened, reading, everything


def main() -> None:
    out = sys.stdout
    out.write("recipes  lines  first   reading p50  p95   all p50  p95\n")
    for recipes in (100, 1000):
        lines, opened, reading, everything = measure(recipes)
        cells = []
        for times in (reading, everything):
            cuts = statistics.quantiles(times, n=20)
            cells += [statistics.median(times), cuts[-1]]
        figures = f"{cells[0]:11.1f}  {cells[1]:4.1f}  {cells[2]:7.1f}  {cells[3]:4.1f}"
        out.write(f"{recipes:7}  {lines:5}  {opened:5.0f}   {figures}\n")


if __name__ == "__main__":
    main()
