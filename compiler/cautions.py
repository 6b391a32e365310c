"""What can hurt: the usual cautions, put beside the step they belong to.

They are part of the Batch, so that no renderer can lose one. A safe minimum is printed in its source's unit
too and never rounded down. These are cautions, not a check that a dish is safe.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import Caution, ChangeRun, DrawRun, TemperatureRun, TextRun
from benchproof.compiler.formula import Formula, FormulaPart, Item
from benchproof.compiler.method import Method, StepMethod
from benchproof.compiler.syntax import Keeps

_CHART: Final = "Safe Minimum Internal Temperature Chart (USDA FSIS), 2019"
_HEAT_PLACES: Final = frozenset({"oven", "fan oven", "pan", "oil", "core"})

_DEEP: Final = Fraction(250)
"""g of fat for frying from which a pan is deep enough to be feared."""

_MINCED: Final = frozenset({"mince", "minced", "sausage", "sausages", "sausagemeat", "burger", "burgers"})


@dataclass(frozen=True, slots=True)
class _Danger:
    """Foods of a sort, and what to say of them."""

    name: str
    applies: Callable[[Item], bool]
    text: str
    source: str


def _is(item: Item, kind: str, *words: str) -> bool:
    """Whether a food is of a kind; of one nobody stated, whether its name says so."""
    if item.kind is None:
        return any(word in item.name.key.split() for word in words)
    return item.kind == kind


def _poultry(item: Item) -> bool:
    return _is(item, "poultry", "chicken", "turkey", "duck", "goose", "poultry", "fowl") and not _egg(item)


def _meat(item: Item) -> bool:
    words = ("beef", "pork", "lamb", "veal", "mutton", "venison", "bacon", "ham", "steak", *_MINCED)
    return _is(item, "meat", *words) and not _poultry(item)


def _fish(item: Item) -> bool:
    words = ("fish", "salmon", "cod", "tuna", "prawns", "mussels", "mackerel", "hoki", "snapper")
    return (_is(item, "fish", *words) or item.kind == "shellfish") and not _known_safe(item)


def _egg(item: Item) -> bool:
    return _is(item, "egg", "egg", "eggs")


def _known_safe(item: Item) -> bool:
    """Whether somebody stated that it may be eaten as bought."""
    return item.food is not None and item.food.eaten_raw is True


def _minced(item: Item) -> bool:
    return bool(_MINCED & set(item.name.key.split()))


def _all_in(item: Item, *words: str) -> bool:
    """Whether one of the names it answers to holds all these words."""
    return any(all(word in key.split() for word in words) for key in item.keys)


_CORE: Final = (
    _Danger(
        "cook-poultry",
        _poultry,
        "Cook poultry until the thickest part reaches 74 °C (165 °F).",
        _CHART,
    ),
    _Danger(
        "cook-mince",
        lambda item: _meat(item) and _minced(item),
        "Cook minced meat until the middle reaches 72 °C (160 °F).",
        _CHART,
    ),
    _Danger(
        "cook-meat",
        lambda item: _meat(item) and not _minced(item),
        "Cook whole cuts until the middle reaches 63 °C (145 °F), then rest them 3 min.",
        _CHART,
    ),
    _Danger(
        "cook-fish",
        _fish,
        "Cook fish until the middle reaches 63 °C (145 °F), or it is opaque and flakes.",
        _CHART,
    ),
)

_KIDNEY: Final = _Danger(
    "boil-dried-beans",
    lambda item: item.kind in ("pulse", None) and _all_in(item, "dried", "beans"),
    "Soak dried beans, throw the water away, and boil them hard for at least 10 min: kidney beans and their "
    "kin are poisonous raw or slow-cooked.",
    "common food-safety advice, from memory",
)
_HONEY: Final = _Danger(
    "honey-and-infants",
    lambda item: item.kind in ("syrup", None) and _all_in(item, "honey"),
    "Honey is not for children under 12 months.",
    "CDC botulism prevention, from memory",
)

DEFERS: Final = Caution(
    "law-first",
    "These are the usual cautions. Local food law and qualified advice come first.",
    None,
    "",
)


NONE_KNOWN: Final = Caution(
    "law-first",
    "No caution is known here for this recipe; that does not make it safe. Local food law and qualified advice "
    "come first.",
    None,
    "",
)


def cautions(formula: Formula, method: Method) -> tuple[Caution, ...]:
    """The cautions of a recipe in the order of its steps, those for the whole of it first."""
    found = list(_all(formula, method))
    if not found:
        return (NONE_KNOWN,)
    found.sort(key=lambda caution: (caution.step is not None, caution.step or 0))
    return (*found, DEFERS)


def _all(formula: Formula, method: Method) -> Iterator[Caution]:
    items = list(_deep(formula))
    for danger in _CORE:
        if any(danger.applies(item) for item in items):
            yield Caution(danger.name, danger.text, _cooked_at(method, danger.applies), danger.source)
    for danger in (_KIDNEY, _HONEY):
        if any(danger.applies(item) for item in items):
            yield Caution(danger.name, danger.text, _drawn_at(method, danger.applies), danger.source)
    yield from _eggs_and_flour(formula, method, items)
    yield from _hot_oil(formula, method)
    yield from _hot_sugar(method)
    yield from _cooling(formula, method, items)
    yield from _slow_cooling(method)
    yield from _preserving(formula, items)


def _deep(formula: Formula) -> Iterator[Item]:
    for item in formula.items():
        if item.product is not None:
            yield from _deep(item.product)
        else:
            yield item


def _drawn_at(method: Method, applies: Callable[[Item], bool]) -> int | None:
    for step in method.steps:
        if any(drawn.item is not None and applies(drawn.item) for drawn in step.draws):
            return step.number
    return None


def _cooked_at(method: Method, applies: Callable[[Item], bool]) -> int | None:
    """The step that names a core temperature once the food is in, else the one that takes it."""
    drawn = _drawn_at(method, applies)
    for step in method.steps:
        if step.number >= (drawn or 1) and any(run.place == "core" for run in temperatures(step)):
            return step.number
    return drawn


def temperatures(step: StepMethod) -> Iterator[TemperatureRun]:
    for line in step.lines:
        for run in line:
            if isinstance(run, TemperatureRun):
                yield run


def _eggs_and_flour(formula: Formula, method: Method, items: list[Item]) -> Iterator[Caution]:
    raw = [item for item in items if not _known_safe(item)]
    eggs = [item for item in raw if _egg(item)]
    flour = [item for item in raw if _is(item, "flour", "flour")]
    if any(_set_by_egg(part) for part in formula.parts) and _heated(method, _egg):
        yield Caution(
            "cook-egg",
            "Cook egg dishes until the middle reaches 72 °C (160 °F), or white and yolk are firm.",
            _cooked_at(method, _egg),
            _CHART,
        )
    elif eggs and not flour:
        yield Caution(
            "raw-egg",
            "If the egg stays raw or soft, use pasteurised egg, and not for anyone frail, pregnant or very "
            "young.",
            _drawn_at(method, _egg),
            "pasteurised egg: Raw Flour and Dough (CDC); who is most at risk: from memory",
        )
    if flour:
        what = "flour and raw egg" if eggs else "raw flour"
        yield Caution(
            "raw-dough",
            f"Do not taste it raw: {what} can carry harmful bacteria.",
            _drawn_at(method, lambda item: item.kind == "flour"),
            "Raw Flour and Dough (CDC)",
        )


def _heated(method: Method, applies: Callable[[Item], bool]) -> bool:
    """Whether the step that takes a food, or one after it, names a heat."""
    drawn = _drawn_at(method, applies) or 1
    return any(
        run.place in _HEAT_PLACES
        for step in method.steps
        if step.number >= drawn
        for run in temperatures(step)
    )


def _set_by_egg(part: FormulaPart) -> bool:
    """Whether egg is what sets it: more egg than flour, and an eighth of the whole or more."""
    egg = sum((item.weight for item in part.items if _egg(item) and item.weight), Fraction(0))
    flour = sum((item.weight for item in part.items if item.kind == "flour" and item.weight), Fraction(0))
    return egg > flour and egg * 8 > part.weight


def _hot_oil(formula: Formula, method: Method) -> Iterator[Caution]:
    at = next(
        (step.number for step in method.steps if any(run.place == "oil" for run in temperatures(step))),
        None,
    )
    frying = any(
        "fry" in (item.purpose or "") and item.weight is not None and item.weight >= _DEEP
        for item in formula.items()
    )
    if at is not None or frying:
        yield Caution(
            "hot-oil",
            "Hot oil: dry the food, fill the pan less than half, stay beside it, and never put water on it.",
            at,
            "frying practice, from memory",
        )


def _hot_sugar(method: Method) -> Iterator[Caution]:
    for step in method.steps:
        for line in step.lines:
            sugar = any(
                isinstance(run, DrawRun) and any(word in run.name for word in ("sugar", "syrup"))
                for run in line
            )
            if sugar and any(
                isinstance(run, TemperatureRun) and run.place is None and run.temperature.high >= 112
                for run in line
            ):
                yield Caution(
                    "hot-sugar",
                    "Hot sugar sticks and burns: no bare hands, no wet spoon, children away.",
                    step.number,
                    "confectionery practice, from memory",
                )
                return


_COOKED: Final = re.compile(
    r"\b(?:boil|simmer|bake|fry|fried|roast|cook|heat|oven|grill|steam|poach|toast|warm|hot)", re.I
)
_COOLING: Final = "FSANZ Standard 3.2.2 clause 7(3), from memory; the FDA Food Code 3-501.14 is alike"


def _warmed(method: Method) -> bool:
    """Whether a step warms the food, by a temperature or by its words; without steps nobody can tell: yes."""
    if not method.steps:
        return True
    for step in method.steps:
        if any(run.temperature.high >= 60 for run in temperatures(step)):
            return True
        if any(isinstance(run, TextRun) and _COOKED.search(run.text) for line in step.lines for run in line):
            return True
    return False


def _slow_cooling(method: Method) -> Iterator[Caution]:
    """A cooling that is written slower than the two stages allow."""
    for step in method.steps:
        for line in step.lines:
            for run in line:
                if isinstance(run, ChangeRun) and _too_slow(run):
                    yield Caution(
                        "cools-too-slowly",
                        "This is slower than is safe for most cooked food: 60 °C to 21 °C within 2 h, and to 5 °C "
                        "within 4 h more. Use small or shallow pots, or a cold bath.",
                        step.number,
                        _COOLING,
                    )


def _too_slow(run: ChangeRun) -> bool:
    start, end = run.start.high, run.end.low
    if end >= start or start <= 5:
        return False
    hours = run.duration.high / 3600
    if start <= 21:
        return hours > 4
    return hours > (2 if end >= 21 else 6)


def _preserving(formula: Formula, items: list[Item]) -> Iterator[Caution]:
    """Kept for weeks and not frozen: preserving, which is outside what this checks."""
    wet = frozenset(
        {
            "fruit",
            "vegetable",
            "puree",
            "herb",
            "meat",
            "poultry",
            "fish",
            "shellfish",
            "egg",
            "cream",
            "milk",
        }
    )
    entry = formula.recipe.block.entry("keeps")
    if entry is None or not isinstance(entry.value, Keeps):
        return
    for keep in entry.value.keeps:
        days = quantities.extent(keep.duration)[1] / 86400
        cold = re.search(r"froz|freez", keep.words, re.I)
        if days > 14 and not cold and any(item.kind in wet or item.kind is None for item in items):
            yield Caution(
                "preserving-outside",
                f"Kept {keep.span.text}: that is preserving, which is outside what this checks. Use a tested recipe; "
                "garlic, herbs and vegetables in oil can be deadly.",
                None,
                "USDA Complete Guide to Home Canning (AIB 539), from memory",
            )
            return


def _cooling(formula: Formula, method: Method, items: list[Item]) -> Iterator[Caution]:
    rice = [item for item in items if item.kind in ("grain", "pasta") and "rice" in item.name.key]
    wet = [
        item
        for item in items
        if item.kind in ("meat", "poultry", "fish", "shellfish", "pulse") or (item.food and item.food.spoils)
    ]
    kept = formula.recipe.block.entry("keeps") is not None and _warmed(method)
    perishable = sum((item.weight for item in wet if item.weight), Fraction(0))
    flour = sum((item.weight for item in items if item.kind == "flour" and item.weight), Fraction(0))
    if rice:
        yield Caution(
            "cool-rice",
            "Do not leave cooked rice warm: cool it within 2 h, keep it cold, and reheat it once, steaming hot.",
            None,
            "FSANZ potentially hazardous foods list; the 2 h as in FSANZ Standard 3.2.2, from memory",
        )
    elif kept and perishable > 2 * flour:  # a bread or cake dries as it bakes; a tart's filling does not
        yield Caution(
            "cool-fast",
            "What is kept: cool it from 60 °C to 21 °C within 2 h, and to 5 °C within 4 h more.",
            None,
            _COOLING,
        )
