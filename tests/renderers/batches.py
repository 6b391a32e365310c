"""Hand-made Batches for the tests of renderers: nothing here goes through the compiler."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from benchproof.compiler.batch import (
    Allergen,
    Allergens,
    Asked,
    Batch,
    Caution,
    ChangeRun,
    Cost,
    CostLine,
    DrawRun,
    DurationRun,
    Equipment,
    Extent,
    Keeps,
    Line,
    LoadRun,
    Loss,
    Part,
    PriceUsed,
    Ratio,
    Run,
    ShopsOwn,
    Step,
    TemperatureRun,
    TextRun,
    Times,
    TurnsRun,
    Waived,
    Where,
    Yield,
)
from benchproof.compiler.findings import Also, Edit, Finding, Severity
from benchproof.compiler.source import Place, Source, Span

GOLDEN = Path(__file__).with_name("golden")
HERE = Where("griddle-rounds.bench", 9, 3, 9, 15)


def matches_golden(name: str, text: str) -> bool:
    """Whether `text` is the golden file to the byte. WRITE_GOLDEN=1 renews it: then read the diff."""
    path = GOLDEN / name
    if os.environ.get("WRITE_GOLDEN"):
        path.write_bytes(text.encode("utf-8"))
    return path.read_bytes().decode("utf-8") == text


def exact(text: str | int) -> Fraction:
    return Fraction(text)


def minutes(low: int, high: int | None = None) -> Extent:
    return Extent(exact(low * 60), exact((low if high is None else high) * 60))


def degrees(low: int, high: int | None = None) -> Extent:
    return Extent(exact(low), exact(low if high is None else high))


# ---------------------------------------------------------------- money


def price(
    item: str,
    money: str,
    pack: str,
    *,
    shop: str = "Lantern Street Grocer",
    date: str = "2026-11-02",
    currency: str = "NZD",
    weight: str | None = None,
    count: str | None = None,
    special: bool = False,
    age: int = 18,
    stale: bool = False,
) -> PriceUsed:
    return PriceUsed(
        item,
        shop,
        date,
        exact(money),
        currency,
        pack,
        None if weight is None else exact(weight),
        None if count is None else exact(count),
        special,
        age,
        stale,
        HERE,
    )


def cost_line(
    item: str,
    cost: Fraction | str | None,
    *,
    weight: str | None = None,
    count: str | None = None,
    noun: str | None = None,
    price: PriceUsed | None = None,
    note: str = "",
) -> CostLine:
    return CostLine(
        item,
        None if weight is None else exact(weight),
        None if count is None else exact(count),
        noun,
        price,
        None if cost is None else Fraction(cost),
        None,
        note,
    )


def costs(
    lines: Sequence[CostLine],
    *,
    currency: str = "NZD",
    pieces: int | None = 12,
    noun: str | None = "rounds",
    portions: int | None = None,
    finished: str | None = "695.3",
    shops_own: tuple[ShopsOwn, ...] = (),
) -> Cost:
    total = sum((line.cost for line in lines if line.cost is not None), Fraction(0))
    shared = tuple(
        replace(line, share=line.cost / total * 100) if line.cost is not None and total else line
        for line in lines
    )
    return Cost(
        currency,
        shared,
        total,
        all(line.cost is not None for line in lines),
        total / pieces if pieces else None,
        noun,
        total / portions if portions else None,
        total / exact(finished) * 100 if finished else None,
        shops_own,
    )


def rounds_cost() -> Cost:
    """Six lines of griddle rounds: priced by weight and by pieces, free, and a shop's own beside them."""
    flour = price("strong flour", "3.30", "1.5 kg", weight="1500")
    salt = price("fine salt", "1.20", "1 kg", weight="1000", date="2026-06-01", age=172, stale=True)
    sugar = price("caster sugar", "2.90", "1 kg", weight="1000", special=True)
    yeast = price("instant yeast", "4.60", "8 x 7 g", weight="56")
    oil = price("neutral oil", "6.40", "1 l", weight="920")
    own = price("packet griddle rounds", "4.40", "6 of 55 g", weight="330", count="6")
    return costs(
        [
            cost_line("strong flour", exact("3.30") * 280 / 1500, weight="280", price=flour),
            cost_line("water", "0", weight="406", note="free"),
            cost_line("fine salt", exact("1.20") * exact("5.6") / 1000, weight="5.6", price=salt),
            cost_line("caster sugar", exact("2.90") * exact("8.4") / 1000, weight="8.4", price=sugar),
            cost_line("instant yeast", exact("4.60") * exact("3.36") / 56, weight="3.36", price=yeast),
            cost_line("neutral oil", exact("6.40") * exact("9.2") / 920, weight="9.2", price=oil),
        ],
        shops_own=(ShopsOwn("packet griddle rounds", own, exact("4.40") / 6, exact("4.40") / 330 * 100),),
    )


def stew_cost() -> Cost:
    """A cost with every note, two prices missing, and a price in pieces."""
    eggs = price("eggs", "7.20", "12", count="12")
    return costs(
        [
            cost_line("eggs", "1.80", count="3", noun="eggs", weight="150", price=eggs),
            cost_line("bean base", "2.4567", weight="400", note="from its recipe"),
            cost_line("thyme", None, weight="2", note="no price"),
            cost_line("bay", None, count="2", noun="leaves", note="no price"),
            cost_line("fine salt", "0", note="to taste"),
        ],
        pieces=None,
        noun=None,
        portions=4,
        finished="900",
    )


# ---------------------------------------------------------------- the whole


def line(
    name: str,
    weight: str | None,
    percent: str | None = None,
    *,
    written: str = "",
    division: str | None = "1",
    volume: str | None = None,
    count: str | None = None,
    noun: str | None = None,
    purpose: str | None = None,
    to_taste: bool = False,
    is_base: bool = False,
    recipe: str | None = None,
) -> Line:
    return Line(
        name,
        name,
        recipe,
        None,
        None if weight is None else exact(weight),
        None if percent is None else exact(percent),
        None if count is None else exact(count),
        noun,
        None if volume is None else exact(volume),
        written,
        None if division is None else exact(division),
        purpose,
        to_taste,
        is_base,
        HERE,
    )


def draw(text: str, name: str, weight: str, division: str = "1", *, whole: bool = True) -> DrawRun:
    return DrawRun(text, name, exact(weight), None, None, None, exact(division), whole, (0, 0))


def time(low: int, high: int | None = None, *, hands_off: bool = False) -> DurationRun:
    return DurationRun("", minutes(low, high), hands_off, None)


def step(
    number: int,
    name: str,
    *lines: tuple[Run, ...],
    after: tuple[int, ...] = (),
    during: int | None = None,
) -> Step:
    nought = Extent(exact(0), exact(0))
    return Step(number, name, None, after, during, lines, nought, nought, HERE)


def rounds() -> Batch:
    """Harbour griddle rounds as written: one part, a line outside it, all the common facts."""
    lines = (
        line("strong flour", "280", "100", written="280 g", is_base=True),
        line("water", "406", "145", written="145 %"),
        line("fine salt", "5.6", "2", written="2 %", division="0.1"),
        line("caster sugar", "8.4", "3", written="3 %", division="0.1"),
        line("instant yeast", "3.36", "1.2", written="1.2 %", division="0.1"),
        line("neutral oil", "9.2", written="2 tsp", volume="10", purpose="for the pan", division="0.1"),
        line("black pepper", None, written="to taste", to_taste=True),
    )
    weight = exact("703.36")
    wake = step(
        1,
        "Wake the yeast",
        (
            TextRun("Whisk "),
            draw("half the caster sugar", "caster sugar", "4.2", "0.1", whole=False),
            TextRun(" and "),
            draw("the instant yeast", "instant yeast", "3.36", "0.1"),
            TextRun(" into "),
            draw("the water", "water", "406"),
            TextRun(" at "),
            TemperatureRun("36-40 C", degrees(36, 40), None, None),
            TextRun("."),
        ),
        (TextRun("Leave "), time(5, 10, hands_off=True), TextRun(" until a foam cap stands on top.")),
    )
    dry = step(
        2,
        "Dry side",
        (
            draw("the strong flour", "strong flour", "280"),
            draw("the rest of the caster sugar", "caster sugar", "4.2", "0.1"),
            time(2),
        ),
        during=1,
    )
    cook = step(
        3,
        "Cook",
        (
            TemperatureRun("170 C pan", degrees(170), "pan", None),
            LoadRun("4 at a time", degrees(4), degrees(3)),
            time(6, 7),
            TurnsRun("twice", degrees(2), None),
        ),
        (
            TemperatureRun("74 C core", degrees(74), "core", "round", minimum=True),
            ChangeRun("60 C to 21 C within 2 h", degrees(60), degrees(21), minutes(120), True),
        ),
        after=(1, 2),
    )
    return Batch(
        recipe="Harbour griddle rounds",
        kitchen="Saltmarsh",
        file="griddle-rounds.bench",
        revision="1a2b3c4d",
        dated=None,
        summary=None,
        by=None,
        tags=(),
        asked=Asked(exact(1), "as written", "2026-11-20", "metric", "C", "NZD"),
        makes=Yield(
            exact(12),
            "rounds",
            exact(58),
            exact(696),
            False,
            weight,
            weight * exact("0.99"),
            (Loss(Extent(exact(1), exact(1)), "in the bowl", False),),
            HERE,
        ),
        serves=None,
        style="yeasted griddle batter",
        equipment=(
            Equipment("griddle or wide pan with a lid", None, None),
            Equipment("9 cm rings", exact(4), "folded strips of foil"),
        ),
        parts=(Part(None, "main", ("strong flour",), exact(280), lines, weight),),
        ratios=(
            Ratio(
                "hydration",
                exact(145),
                "flour",
                Extent(exact(110), exact(155)),
                "yeasted griddle batter",
                "inside",
            ),
            Ratio(
                "salt",
                exact(2),
                "flour",
                Extent(exact("1.5"), exact("2.2")),
                "yeasted griddle batter",
                "inside",
            ),
            Ratio("yeast", exact("1.2"), "flour", None, None, None, "instant"),
        ),
        steps=(wake, dry, cook),
        times=Times(minutes(23, 26), minutes(5, 10), minutes(28, 36), (), 0),
        cost=rounds_cost(),
        allergens=Allergens(
            "Australia and New Zealand",
            False,
            (Allergen("wheat", ("strong flour",)), Allergen("gluten", ("strong flour",))),
            ("sesame",),
            ("neutral oil",),
        ),
        cautions=(
            Caution(
                "raw-flour",
                "Raw flour is not safe to eat: do not taste the batter.",
                2,
                "common practice, no source",
            ),
        ),
        waived=(Waived("cool-fast", "eaten at once", True), Waived("loose-number", "a name", False)),
        keeps=(Keeps(Extent(exact(172800), exact(172800)), "2 days in a tin"),),
        reheats=None,
    )


def stew() -> Batch:
    """A second, scaled batch: no base, nothing known of the yield in pieces, an incomplete cost."""
    lines = (
        line("eggs", "150", written="3", count="3", noun="eggs"),
        line("bean base", "400", written="400 g", recipe="Bean base"),
        line("thyme", "2", written="2 g", division="0.1"),
        line("bay", None, written="2 leaves"),
        line("fine salt", None, written="to taste", to_taste=True),
    )
    untimed = step(1, "Stir", (draw("the bean base", "bean base", "400"), TextRun(" warm.")))
    return replace(
        rounds(),
        recipe="Bean supper",
        asked=Asked(exact(2), "2 times", "2026-11-20", "metric", "F", "NZD"),
        makes=Yield(None, None, None, None, False, exact(552), exact(552), (), None),
        serves=exact(4),
        style=None,
        equipment=(),
        parts=(Part(None, "main", (), None, lines, exact(552)),),
        ratios=(),
        steps=(untimed,),
        times=Times(minutes(0), minutes(0), minutes(0), (), 1),
        cost=stew_cost(),
        allergens=Allergens("", True, (), (), ("eggs", "bean base", "thyme", "bay")),
        cautions=(),
        waived=(),
        keeps=(),
        reheats="to 75 C core, once",
    )


# ---------------------------------------------------------------- findings


def span(source: Source, text: str, *, nth: int = 0) -> Span:
    """The place of `text` in a source, the nth time it stands there."""
    at = -1
    for _ in range(nth + 1):
        at = source.text.index(text, at + 1)
    return Span(Place(source), at, at + len(text))


def findings() -> list[Finding]:
    """One of each severity, out of order: with a mend, with a second place, with neither."""
    source = Source(
        "recipe Harbour griddle rounds\n"
        "  makes:       12 rounds of 58 g\n"
        "\n"
        "ingredients\n"
        "  strong flour:     280 g\n"
        "  fine salt:         20 %\n"
        "  crème fraîche:   ½ cup\n"
        "  strong flour:      20 g\n",
        "griddle-rounds.bench",
    )
    other = Source("style yeasted griddle batter\n  salt: 1.5-2.2 %\n", "house/styles.bench")
    return [
        Finding(
            "unknown-ingredient",
            Severity.HINT,
            span(source, "crème fraîche"),
            "Nobody has stated facts about “crème fraîche”.",
        ),
        Finding(
            "slipped-decimal",
            Severity.ERROR,
            span(source, "20 %"),
            "Salt is 20 % of the flour; a yeasted griddle batter takes 1.5-2.2 %.",
            "Write `2 %`.",
            (Also(span(other, "1.5-2.2 %"), "the style says so here"),),
            Edit(span(source, "20 %"), "2 %"),
        ),
        Finding(
            "listed-twice",
            Severity.WARNING,
            span(source, "strong flour", nth=1),
            "“strong flour” stands twice in this list.",
            "Join the two lines, or name one of them for a part.",
            (Also(span(source, "strong flour"), "the first is here"),),
        ),
    ]
