"""Batches written by hand: the shortest card, a usual one with two further sizes, and the longest.

Nothing is compiled here, so a fault in the compiler cannot hide one in the card.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

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
    Extent,
    Keeps,
    Line,
    LoadRun,
    Loss,
    MeasureRun,
    Part,
    PriceUsed,
    Ratio,
    Run,
    ShopsOwn,
    Step,
    Stretch,
    TemperatureRun,
    TextRun,
    Times,
    TurnsRun,
    Waived,
    WaterFor,
    Where,
    Yield,
)

WHERE = Where("sample.bench", 1, 1, 1, 2)
FINE, COARSE = Fraction(1, 10), Fraction(1)
Number = int | str | Fraction


DEFERS = Caution(
    "law-first", "These are the usual cautions. Local food law and qualified advice come first.", None, ""
)


def f(value: Number) -> Fraction:
    return Fraction(value)


def extent(low: Number, high: Number | None = None) -> Extent:
    return Extent(f(low), f(low if high is None else high))


def minutes(low: Number, high: Number | None = None) -> Extent:
    return extent(f(low) * 60, f(low if high is None else high) * 60)


def line(
    name: str,
    weight: Number | None,
    percent: Number | None = None,
    *,
    written: str = "",
    count: Number | None = None,
    noun: str | None = None,
    volume: Number | None = None,
    purpose: str | None = None,
    to_taste: bool = False,
    is_base: bool = False,
    lent: bool = False,
) -> Line:
    grams = None if weight is None else f(weight)
    return Line(
        name=name,
        food=name,
        recipe=None,
        kind=None,
        weight=grams,
        percent=None if percent is None else f(percent),
        count=None if count is None else f(count),
        noun=noun,
        volume=None if volume is None else f(volume),
        written=written,
        division=None if grams is None else FINE if grams < 500 else COARSE,
        purpose=purpose,
        to_taste=to_taste,
        is_base=is_base,
        where=WHERE,
        lent=lent,
    )


def part(
    *lines: Line,
    name: str | None = None,
    role: str = "main",
    base: tuple[str, ...] = (),
    share: Number | None = None,
) -> Part:
    inside = [ln.weight for ln in lines if ln.weight is not None and ln.purpose is None and not ln.lent]
    base_weight = sum((ln.weight for ln in lines if ln.is_base and ln.weight), Fraction(0)) or None
    weight = sum(inside, Fraction(0))
    return Part(name, role, base, base_weight, lines, weight, None if share is None else f(share))  # type: ignore[arg-type]


def draw(
    text: str,
    weight: Number | None,
    *,
    count: Number | None = None,
    noun: str | None = None,
    line: tuple[int, int] | None = None,
) -> DrawRun:
    grams = None if weight is None else f(weight)
    return DrawRun(
        text=text,
        name=text.removeprefix("the "),
        weight=grams,
        count=None if count is None else f(count),
        noun=noun,
        volume=None,
        division=None if grams is None else FINE if grams < 500 else COARSE,
        whole=text.startswith("the "),
        line=line,
    )


def took(
    low: Number, high: Number | None = None, *, off: bool = False, limit: str | None = None
) -> DurationRun:
    return DurationRun("", minutes(low, high), off, limit)  # type: ignore[arg-type]


def at(
    low: Number,
    high: Number | None = None,
    place: str | None = None,
    of: str | None = None,
    minimum: bool = False,
) -> TemperatureRun:
    return TemperatureRun(f"{low} C {place or ''}".strip(), extent(low, high), place, of, minimum)


def prose(*runs: str | Run) -> tuple[Run, ...]:
    return tuple(TextRun(run) if isinstance(run, str) else run for run in runs)


def step(
    number: int,
    name: str,
    *lines: tuple[Run, ...],
    part: str | None = None,
    after: tuple[int, ...] | None = None,
    during: int | None = None,
) -> Step:
    if after is None:
        after = (number - 1,) if number > 1 and during is None else ()
    none = extent(0)
    on, off = none, none
    for run in (run for ln in lines for run in ln):
        if isinstance(run, DurationRun):
            on, off = (on, off + run.duration) if run.hands_off else (on + run.duration, off)
    return Step(number, name, part, after, during, lines, on, off, WHERE)


def planned(steps: tuple[Step, ...]) -> Times:
    """One step after another; a step `during` another starts with it. Enough of a plan to draw."""
    plan: list[Stretch] = []
    starts: dict[int, Fraction] = {}
    clock = Fraction(0)
    for one in steps:
        begin = starts[one.during] if one.during is not None else clock
        starts[one.number] = begin
        now = begin
        for run in (run for ln in one.lines for run in ln):
            if isinstance(run, DurationRun) and run.duration.high:
                plan.append(Stretch(one.number, now, now + run.duration.high, run.hands_off))
                now += run.duration.high
            elif isinstance(run, ChangeRun) and not run.within:
                plan.append(Stretch(one.number, now, now + run.duration.high, True))
                now += run.duration.high
        clock = max(clock, now)
    on = extent(0)
    off = extent(0)
    for one in steps:
        on, off = on + one.hands_on, off + one.hands_off
    untimed = sum(1 for one in steps if not any(s.step == one.number for s in plan))
    return Times(on, off, Extent(on.low + off.low, max(clock, on.low + off.low)), tuple(plan), untimed)


def asked(words: str = "as written", times: Number = 1, scale: str = "C") -> Asked:
    return Asked(f(times), words, "2026-11-25", "metric", scale, "NZD")  # type: ignore[arg-type]


def price(item: str, money: Number, pack: str, *, stale: bool = False) -> PriceUsed:
    return PriceUsed(
        item,
        "Lantern Street Grocer",
        "2026-11-02",
        f(money),
        "NZD",
        pack,
        None,
        None,
        False,
        23,
        stale,
        WHERE,
    )


def cost_line(item: str, cost: Number | None) -> CostLine:
    if cost is None:
        return CostLine(item, None, None, None, None, None, None, "no price")
    return CostLine(item, f(100), None, None, price(item, 3, "1 kg"), f(cost), None, "")


# ---------------------------------------------------------------- the shortest


def short() -> Batch:
    """Three ingredients, one step, and hardly anything said about it."""
    steps = (
        step(
            1,
            "Toast and grind",
            prose(
                "Toast ",
                draw("the sesame seed", 90),
                " and ",
                draw("the cumin seed", 10),
                " in a dry pan, ",
                took(4, 5),
                ", and grind with ",
                draw("the flaky salt", "7.5"),
                ".",
            ),
        ),
    )
    return Batch(
        recipe="Cumin and sesame salt",
        kitchen="Saltmarsh",
        file="cumin-salt.bench",
        revision="51ce0a7f",
        dated=None,
        summary=None,
        by=None,
        tags=(),
        asked=asked(),
        makes=Yield(None, None, None, None, False, f("107.5"), f("107.5"), (), None),
        serves=None,
        style=None,
        equipment=(),
        parts=(part(line("sesame seed", 90), line("cumin seed", 10), line("flaky salt", "7.5")),),
        ratios=(),
        steps=steps,
        times=planned(steps),
        cost=Cost(
            "NZD",
            (
                cost_line("sesame seed", "1.12"),
                cost_line("cumin seed", None),
                cost_line("flaky salt", "0.30"),
            ),
            f("1.42"),
            False,
            None,
            None,
            None,
            None,
            (),
        ),
        allergens=Allergens("", True, (Allergen("sesame", ("sesame seed",)),), (), ("cumin seed",)),
        cautions=(),
        waived=(),
        keeps=(Keeps(extent(60 * 86400), "2 months in a jar"),),
        reheats=None,
    )


# ---------------------------------------------------------------- a usual one


def typical(times: Number = 1) -> Batch:
    """Griddle rounds: twelve ingredients, eight steps. `times` 2 and 3 are its further sizes."""
    k = f(times)

    def scaled(value: Number) -> Fraction:
        return f(value) * k

    tsp = 5
    parts = (
        part(
            line("strong flour", scaled(240), "85.71", is_base=True),
            line("wholemeal flour", scaled(40), "14.29", is_base=True),
            line("water", scaled(322), 115),
            line("whole milk", scaled(84), 30),
            line("eggs", scaled(55), "19.64", count=k, written="1"),
            line("caster sugar", scaled("8.4"), 3),
            line("fine salt", scaled("5.6"), 2),
            line("instant yeast", scaled("3.36"), "1.2"),
            line("bicarbonate of soda", scaled("1.4"), "0.5"),
            line("lemon zest", None, to_taste=True, written="to taste"),
            line(
                "neutral oil", scaled("9.2"), written="2 tsp", volume=scaled(2 * tsp), purpose="for the pan"
            ),
            line("semolina", scaled(15), written="15 g", purpose="for the rings"),
            base=("flour",),
        ),
    )
    steps = (
        step(
            1,
            "Wake the yeast",
            prose(
                "Whisk ",
                draw("half the caster sugar", scaled("4.2")),
                " and ",
                draw("the instant yeast", scaled("3.36")),
                " into ",
                draw("the water", scaled(322)),
                " at ",
                at(36, 40),
                ".",
            ),
            prose("Leave ", took(5, 10, off=True), " until a foam cap stands on top."),
        ),
        step(
            2,
            "Dry side",
            prose(
                "Stir ",
                draw("the strong flour", scaled(240)),
                ", ",
                draw("the wholemeal flour", scaled(40)),
                ", ",
                draw("the fine salt", scaled("5.6")),
                " and ",
                draw("the rest of the caster sugar", scaled("4.2")),
                " together, ",
                took(2),
                ".",
            ),
            during=1,
        ),
        step(
            3,
            "Batter",
            prose(
                "Beat the wet, ",
                draw("the whole milk", scaled(84)),
                " and ",
                draw("the eggs", scaled(55), count=k),
                " into the dry until no lump is left, ",
                took(3),
                ".",
            ),
            prose("Cover loosely and leave ", took(20, 25, off=True), "."),
            after=(1, 2),
        ),
        step(
            4,
            "Loosen",
            prose(
                "Stir ",
                draw("the bicarbonate of soda", scaled("1.4")),
                " into a spoon of warm water and fold it through with ",
                draw("the lemon zest", None, line=(0, 9)),
                ", ",
                took(1),
                ". Rest ",
                took(10, off=True),
                ".",
            ),
        ),
        step(
            5,
            "Set the griddle",
            prose(
                "Wipe the rings with ",
                draw("the neutral oil", scaled("9.2")),
                ", dust with ",
                draw("the semolina", scaled(15)),
                " and set them on a low griddle, ",
                at(170, None, "pan"),
                ".",
            ),
            during=4,
        ),
        step(
            6,
            "Cook",
            prose(
                "Cook ",
                LoadRun("4 at a time", extent(4), extent(3 * k)),
                ", lid on: ",
                took(6 * 3 * k, 7 * 3 * k),
                " until the tops are set; turn, ",
                took(3 * k),
                ".",
            ),
            prose("Done at ", at(93, None, "core", None, True), "."),
        ),
        step(7, "Cool", prose("Cool on a rack, ", took(20, off=True), ".")),
        step(8, "Serve", prose("Tear open with a fork, never a knife, and toast.")),
    )
    rounds = 12 * k
    cost = f("1.83") * k
    return Batch(
        recipe="Harbour griddle rounds",
        kitchen="Saltmarsh",
        file="griddle-rounds.bench",
        revision="9f31c2aa",
        dated="2026-11-09",
        summary=None,
        by=None,
        tags=(),
        asked=asked("as written" if k == 1 else f"{rounds} rounds", k),
        makes=Yield(
            rounds,
            "rounds",
            f(58),
            None,
            False,
            scaled("759.76"),
            scaled("752.16"),
            (Loss(extent(1), "in the bowl", False),),
            None,
        ),
        serves=None,
        style="yeasted griddle batter",
        equipment=(),
        parts=parts,
        ratios=(
            Ratio("hydration", f(145), "flour", extent(110, 155), "yeasted griddle batter", "inside"),
            Ratio("salt", f(2), "flour", extent("1.5", "2.2"), "yeasted griddle batter", "inside"),
            Ratio(
                "yeast",
                f("1.2"),
                "flour",
                extent("0.7", "3.5"),
                "yeasted griddle batter",
                "inside",
                "instant",
            ),
            Ratio("sugar", f(3), "flour", extent(0, 2), "yeasted griddle batter", "above"),
            Ratio("fat", f("2.4"), "flour", None, None, None),
        ),
        steps=steps,
        times=planned(steps),
        cost=Cost(
            "NZD",
            (cost_line("strong flour", "0.53"), cost_line("whole milk", "1.30")),
            cost,
            True,
            cost / rounds,
            "rounds",
            None,
            f("0.26"),
            (
                ShopsOwn(
                    "packet griddle rounds",
                    price("packet griddle rounds", "4.40", "6 of 55 g"),
                    f("0.733"),
                    None,
                ),
            ),
        ),
        allergens=Allergens(
            "Australia and New Zealand",
            False,
            (
                Allergen("wheat", ("strong flour", "wholemeal flour", "semolina")),
                Allergen("milk", ("whole milk",)),
                Allergen("egg", ("eggs",)),
            ),
            ("sesame",),
            ("instant yeast",),
        ),
        cautions=(
            Caution(
                "raw-flour-and-egg",
                "Raw flour and egg: do not taste the batter.",
                3,
                "common practice, no source",
            ),
            DEFERS,
        ),
        waived=(),
        keeps=(Keeps(extent(2 * 86400), "2 days in a tin"), Keeps(extent(60 * 86400), "2 months frozen")),
        reheats="from frozen, 3 min in a toaster",
    )


# ---------------------------------------------------------------- the longest


def long() -> Batch:
    """Thirty ingredients: two preferments drawn out of a dough, filling, glaze; twenty steps over two days."""
    overall = part(
        line("strong white bread flour, stone-ground", 1200, 80, is_base=True),
        line("rye flour", 300, 20, is_base=True),
        line("water", 870, 58),
        line("whole milk", 300, 20),
        line("eggs", 220, "14.67", count=4, written="4"),
        line("unsalted butter", 225, 15),
        line("light muscovado sugar", 120, 8),
        line("fine salt", 27, "1.8"),
        line("instant yeast", "4.8", "0.32"),
        line("malt extract", "22.5", "1.5"),
        line("ground cardamom", "3.75", "0.25"),
        line("strong flour", 30, written="30 g", purpose="for the bench"),
        base=("flour",),
    )
    final = part(
        line("strong white bread flour, stone-ground", 900, 60, is_base=True),
        line("rye flour", 150, 10, is_base=True),
        line("water", 420, 28),
        line("whole milk", 300, 20),
        line("eggs", 220, "14.67", count=4, written="4"),
        line("unsalted butter", 225, 15),
        line("light muscovado sugar", 120, 8),
        line("fine salt", 27, "1.8"),
        line("instant yeast", "4.5", "0.3"),
        line("malt extract", "22.5", "1.5"),
        line("ground cardamom", "3.75", "0.25"),
        line("Overnight sponge", "600.3"),
        line("Rye sour", 300),
        line("strong flour", 30, written="30 g", purpose="for the bench"),
        role="final",
        base=("flour",),
    )
    final = replace(final, base_weight=overall.base_weight)  # its percentages are of all the flour
    sponge = part(
        line("strong white bread flour, stone-ground", 300, 100, is_base=True),
        line("water", 300, 100),
        line("instant yeast", "0.3", "0.1"),
        name="Overnight sponge",
        role="preferment",
        base=("strong white bread flour, stone-ground",),
        share=25,
    )
    rye = part(
        line("rye flour", 150, 100, is_base=True),
        line("water", 150, 100),
        line("seed", 30, written="30 g", lent=True),
        name="Rye sour",
        role="preferment",
        base=("rye flour",),
        share=50,
    )
    filling = part(
        line("beef mince", 800),
        line("onions", 300, count=2, written="2"),
        line("garlic", 12, count=3, noun="cloves", written="3 cloves"),
        line("smoked paprika", "6.9", written="1 tbsp", volume=15),
        line("tomato paste", 60),
        line("beef stock", 350),
        line("fish sauce", None, written="to taste", to_taste=True),
        line("black pepper", None, written="1 big pinch"),
        line("flat parsley", 25),
        name="Beef filling",
        role="part",
    )
    glaze = part(
        line("egg yolks", 36, count=2, written="2"),
        line("double cream", 30),
        line("nigella seed", 4),
        name="Glaze",
        role="part",
    )
    steps = (
        step(
            1,
            "Overnight sponge",
            prose(
                "Mix ",
                draw("the strong white bread flour, stone-ground", 300),
                ", ",
                draw("the water", 300),
                " and ",
                draw("the instant yeast", "0.3"),
                " to a shaggy paste, ",
                took(3),
                ".",
            ),
            prose("Leave at ", at(20, 22, "room"), ", ", took(8 * 60, 12 * 60, off=True), "."),
            part="Overnight sponge",
            after=(),
        ),
        step(
            2,
            "Rye sour",
            prose(
                "Stir ",
                draw("the rye flour", 150),
                ", ",
                draw("the water", 150),
                " at ",
                at(35),
                " and the seed smooth, ",
                took(2),
                ".",
            ),
            prose("Leave ", took(8 * 60, 12 * 60, off=True, limit="at least"), "."),
            part="Rye sour",
            during=1,
        ),
        step(
            3,
            "Autolyse",
            prose(
                "Work ",
                draw("the strong white bread flour, stone-ground", 900),
                ", ",
                draw("the rye flour", 150),
                ", ",
                draw("the water", 420),
                " and ",
                draw("the whole milk", 300),
                " together, ",
                took(4),
                ".",
            ),
            prose("Cover, ", took(30, off=True), "."),
        ),
        step(
            4,
            "Mix",
            prose(
                "Add ",
                draw("the Overnight sponge", "600.3"),
                ", ",
                draw("the Rye sour", 300),
                ", ",
                draw("the eggs", 220, count=4),
                ", ",
                draw("the light muscovado sugar", 120),
                ", ",
                draw("the malt extract", "22.5"),
                ", ",
                draw("the ground cardamom", "3.75"),
                ", ",
                draw("the fine salt", 27),
                " and ",
                draw("the instant yeast", "4.5"),
                "; knead ",
                took(8, 10),
                ".",
            ),
            prose(
                "Then ",
                draw("the unsalted butter", 225),
                " a knob at a time, ",
                took(8),
                ", to ",
                at(25, 26, "dough"),
                ".",
            ),
        ),
        step(
            5,
            "Bulk",
            prose("Cover and leave ", took(90, 120, off=True), "."),
            prose("Fold ", TurnsRun("3 times, every 30 min", extent(3), minutes(30)), "."),
        ),
        step(
            6,
            "Soften",
            prose(
                "Sweat ",
                draw("the onions", 300, count=2),
                " and ",
                draw("the garlic", 12, count=3, noun="cloves"),
                " slowly, ",
                took(12, 15),
                ".",
            ),
            part="Beef filling",
            during=5,
        ),
        step(
            7,
            "Brown",
            prose("Brown ", draw("the beef mince", 800), " hard in two goes, ", took(10), "."),
            part="Beef filling",
        ),
        step(
            8,
            "Season",
            prose(
                "Fry ",
                draw("the smoked paprika", "6.9"),
                " and ",
                draw("the tomato paste", 60),
                ", ",
                took(2),
                ".",
            ),
        ),
        step(
            9,
            "Simmer",
            prose(
                "Pour on ",
                draw("the beef stock", 350),
                " and simmer, ",
                took(25, 30, off=True),
                ", to ",
                at(75, None, "core", "the beef mince", True),
                ".",
            ),
            prose(
                "Season with ",
                draw("the fish sauce", None, line=(1, 6)),
                " and ",
                draw("the black pepper", None, line=(1, 7)),
                "; stir in ",
                draw("the flat parsley", 25),
                ".",
            ),
            part="Beef filling",
        ),
        step(
            10,
            "Cool the filling",
            prose(
                "Spread in a shallow tray: ",
                ChangeRun("60 C to 21 C within 2 h", extent(60), extent(21), minutes(120), True),
                ", then ",
                ChangeRun("21 C to 5 C within 4 h", extent(21), extent(5), minutes(240), True),
                ".",
            ),
        ),
        step(
            11,
            "Chill the dough",
            prose("Knock back and chill, ", at(4, None, "fridge"), ", ", took(60, 90, off=True), "."),
        ),
        step(
            12,
            "Divide",
            prose(
                "Flour the bench with ",
                draw("the strong flour for the bench", 30),
                ". Cut into ",
                MeasureRun("24 pieces", (), f(24), "pieces", None),
                ", ",
                MeasureRun("110 g each", (), None, None, extent(110)),
                ", ",
                took(10),
                ".",
            ),
        ),
        step(
            13,
            "Roll",
            prose(
                "Roll each to ",
                MeasureRun("14 cm", (extent(140),), None, None, None),
                " across, thin at the rim, ",
                took(15),
                ".",
            ),
        ),
        step(
            14,
            "Fill",
            prose(
                "Set a spoon of filling in the middle of each, gather the rim and pinch it shut, ",
                took(20),
                ".",
            ),
        ),
        step(15, "Prove", prose("Seam down on trays under a cloth, ", took(45, 60, off=True), ".")),
        step(16, "Heat the oven", prose("Heat to ", at(200, None, "oven"), "."), during=15),
        step(
            17,
            "Glaze",
            prose(
                "Beat ",
                draw("the egg yolks", 36, count=2),
                " with ",
                draw("the double cream", 30),
                ", brush twice and scatter ",
                draw("the nigella seed", 4),
                ", ",
                took(8),
                ".",
            ),
            part="Glaze",
        ),
        step(
            18,
            "Bake",
            prose(
                "Bake ",
                LoadRun("12 at a time", extent(12), extent(2)),
                ", ",
                took(2 * 20, 2 * 24, off=True),
                ", turning the tray once.",
            ),
            prose("Done at ", at(75, None, "core", None, True), " in the middle of the filling."),
        ),
        step(19, "Cool", prose("On racks, under a cloth for a soft crust, ", took(30, off=True), ".")),
        step(20, "Pack", prose("Box when cold. Label with the day and the allergens.")),
    )
    foods = ("beef stock", "fish sauce", "malt extract", "nigella seed", "smoked paprika")
    return Batch(
        recipe="Saltmarsh market-day buns with slow beef, two preferments and a nigella crust",
        kitchen="Saltmarsh",
        file="market-buns.bench",
        revision="0c44d91e",
        dated="2026-10-30",
        summary=None,
        by=None,
        tags=(),
        asked=asked(),
        makes=Yield(f(24), "buns", f(150), None, True, f(4100), f(3600), (), None),
        serves=f(12),
        style="enriched dough",
        equipment=(),
        parts=(overall, filling, glaze, sponge, rye, final),
        ratios=(
            Ratio("hydration", f(58), "flour", extent(50, 62), "enriched dough", "inside"),
            Ratio("water in all", f("70.4"), "flour", None, None, None),
            Ratio("salt", f("1.8"), "flour", extent("1.5", "2.2"), "enriched dough", "inside"),
            Ratio("yeast", f("0.32"), "flour", extent("0.7", "2.5"), "enriched dough", "below", "instant"),
            Ratio("sugar", f(8), "flour", extent(5, 20), "enriched dough", "inside"),
            Ratio("fat", f(15), "flour", extent(8, 25), "enriched dough", "inside"),
            Ratio("milk solids", f("2.6"), "flour", None, None, None),
        ),
        steps=steps,
        times=planned(steps),
        cost=Cost(
            "NZD",
            (cost_line("beef mince", "14.20"), cost_line("black pepper", None)),
            f("27.36"),
            False,
            f("1.14"),
            "buns",
            f("2.28"),
            f("0.76"),
            (
                ShopsOwn(
                    "bakery beef bun", price("bakery beef bun", "4.80", "1", stale=True), f("4.80"), None
                ),
            ),
        ),
        allergens=Allergens(
            "Australia and New Zealand",
            False,
            (
                Allergen("wheat", ("strong flour",)),
                Allergen("gluten", ("rye flour", "malt extract")),
                Allergen("milk", ("whole milk", "unsalted butter", "double cream")),
                Allergen("egg", ("eggs", "egg yolks")),
                Allergen("fish", ("fish sauce",)),
            ),
            ("sesame", "soy"),
            foods,
        ),
        cautions=(
            Caution("meat-and-time", "Cooked mince stands warm in this recipe: keep to the times.", None, ""),
            Caution(
                "mince-core", "Mince is safe when its middle is hot: measure, do not judge by colour.", 9, ""
            ),
            Caution("slow-cooling", "If it is not at 21 °C in 2 h, throw it away.", 10, ""),
            Caution("raw-egg", "Raw egg: wash the brush and your hands.", 17, ""),
            DEFERS,
        ),
        waived=(
            Waived("slow-cooling", "blast chiller in the market kitchen", True),
            Waived("odd", "no", False),
        ),
        keeps=(Keeps(extent(86400), "1 day in the fridge"), Keeps(extent(60 * 86400), "2 months frozen")),
        reheats="to 75 C core, once",
        waters=(water(4),),
    )


def water(step: int, ice: Extent | None = None) -> WaterFor:
    return WaterFor(
        step=step,
        target=extent(25, 26),
        liquid="water",
        water=f(420),
        by_rule=extent(27, 31),
        by_balance=extent("24.2", "27.4"),
        ice=ice,
        room=f(21),
        flour=f(19),
        friction=f(11),
        assumed=("the Rye sour is taken to be as warm as the room, 21\u2009°C (70\u2009°F)",),
    )


def sizes() -> list[Batch]:
    """The usual recipe with the two further sizes."""
    return [typical(), typical(2), typical(3)]


def renamed(batch: Batch, **changes: object) -> Batch:
    return replace(batch, **changes)  # type: ignore[arg-type]
