"""What can hurt: the usual cautions, put beside the step they belong to.

They are part of the Batch, so that no renderer can lose one. A safe minimum is printed in its source's unit
too and never rounded down. These are cautions, not a check that a dish is safe.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from benchproof.compiler import quantities
from benchproof.compiler.batch import Caution, ChangeRun, DrawRun, TemperatureRun, TextRun
from benchproof.compiler.food_safety import (
    BEANS,
    CANNING,
    CHART_NAME,
    CODE_POULTRY,
    EGG_DISHES,
    FISH,
    FOIL,
    HAM_REHEATED,
    HONEY,
    LEFTOVERS,
    MINCED_MEAT,
    OUT,
    POULTRY,
    RAW_EGG,
    RAW_FLOUR,
    RICE,
    STAGE_ONE,
    THAWING,
    WHOLE_CUTS,
    Published,
)
from benchproof.compiler.formula import Formula, FormulaPart, Item
from benchproof.compiler.method import Method, StepMethod
from benchproof.compiler.outside import PROCESSES
from benchproof.compiler.perils import (
    deep,
    dish_spoils,
    is_bean_to_boil,
    is_egg,
    is_fish,
    is_flesh,
    is_ham,
    is_kind,
    is_meat,
    is_minced,
    is_poultry,
    is_raw_flesh,
    pasteurised,
    words,
)
from benchproof.compiler.standing import THAWS, Walk, prose_spans, text_of, too_slow, walk
from benchproof.compiler.syntax import Keeps

_HEAT_PLACES: Final = frozenset({"oven", "fan oven", "pan", "oil", "core"})

_DEEP: Final = Fraction(250)
"""g of fat for frying from which a pan is deep enough to be feared."""

_IN_THE_TIN: Final = Fraction(50)
"""g of fat heated in an oven from which it is feared as hot oil is: our own choice."""

_STANDS: Final = Fraction(3600)
"""s out of the fridge from which the limit is printed beside the step: our own choice."""


@dataclass(frozen=True, slots=True)
class _Danger:
    """Foods of a sort, and what to say of them."""

    name: str
    applies: Callable[[Item], bool]
    text: str
    source: str


def at_least(figure: Published) -> str:
    """`74 °C (165 °F)`: neither scale rounded down, so that whoever follows it is never below the figure."""
    celsius = figure.celsius
    return f"{math.ceil(celsius)} °C ({math.ceil(celsius * 9 / 5 + 32)} °F)"


_CORE: Final = (
    _Danger(
        "cook-poultry",
        lambda item: is_poultry(item) and is_raw_flesh(item),
        f"Cook poultry until the thickest part reaches {at_least(POULTRY)}.",
        CHART_NAME,
    ),
    _Danger(
        "cook-mince",
        lambda item: is_meat(item) and is_minced(item) and is_raw_flesh(item),
        f"Cook minced meat until the middle reaches {at_least(MINCED_MEAT)}.",
        CHART_NAME,
    ),
    _Danger(
        "cook-meat",
        lambda item: is_meat(item) and not is_minced(item) and is_raw_flesh(item),
        f"Cook whole cuts until the middle reaches {at_least(WHOLE_CUTS)}, then rest them 3 min.",
        CHART_NAME,
    ),
    _Danger(
        "heat-ham",
        is_ham,
        f"Ham that was bought cooked: warmed again, until the middle reaches {at_least(HAM_REHEATED)}.",
        CHART_NAME,
    ),
    _Danger(
        "cook-fish",
        lambda item: is_fish(item) and is_raw_flesh(item),
        f"Cook fish until the middle reaches {at_least(FISH)}, or it is opaque and flakes.",
        CHART_NAME,
    ),
)

_FORAGED: Final = re.compile(
    r"\b(?:foraged|wild (?:mushrooms?|garlic|greens|berries)|elderflowers?|elderberr\w+|nettles?|ramps|ramsons|sloes?"
    r"|puffballs?|chanterelles?|ceps?|morels?|penny buns?|dandelions?|seaweed|samphire|rose ?hips?|sorrel)\b"
)
_OTHERS: Final = (
    _Danger(
        "boil-dried-beans",
        is_bean_to_boil,
        "Soak dried beans, throw the water away, and boil them hard for at least 10 min: kidney beans and their "
        "kin are poisonous raw or slow-cooked.",
        BEANS,
    ),
    _Danger(
        "honey-and-infants",
        lambda item: item.kind in ("syrup", None) and any("honey" in key.split() for key in item.keys),
        "Honey is not for children under 12 months.",
        HONEY,
    ),
    _Danger(
        "foraged",
        lambda item: _FORAGED.search(item.name.key) is not None and "dried" not in words(item),
        "If it was picked wild: eat only what somebody who knows has named for certain, cooked where it must be.",
        "common food-safety advice, from memory",
    ),
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
    items = list(deep(formula))
    walked = walk(formula, method)
    for danger in _CORE:
        if any(danger.applies(item) for item in items):
            yield Caution(danger.name, danger.text, _cooked_at(method, danger.applies), danger.source)
    yield from _stuffed(formula, method, items)
    for danger in _OTHERS:
        if any(danger.applies(item) for item in items):
            yield Caution(danger.name, danger.text, _drawn_at(method, danger.applies), danger.source)
    yield from _eggs_and_flour(formula, method, items)
    yield from _raw_flesh(formula, method, walked)
    yield from _hot_oil(formula, method)
    yield from _hot_sugar(method)
    yield from _standing(walked)
    yield from _thawing(method, items)
    yield from _cooling(formula, method, items)
    yield from _slow_cooling(method)
    yield from _reheating(formula)
    yield from _foil(formula, method)
    yield from _outside(formula, method)
    yield from _preserving(formula, items)


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
    raw = [item for item in items if not pasteurised(item)]
    eggs = [item for item in raw if is_egg(item)]
    flour = [item for item in raw if is_kind(item, "flour", "flour")]
    if any(_set_by_egg(part) for part in formula.parts) and _heated(method, is_egg):
        yield Caution(
            "cook-egg",
            f"Cook egg dishes until the middle reaches {at_least(EGG_DISHES)}, or white and yolk are firm.",
            _cooked_at(method, is_egg),
            CHART_NAME,
        )
    elif eggs and not flour:
        yield Caution(
            "raw-egg",
            "If the egg stays raw or soft, use pasteurised egg, and not for anyone frail, pregnant or very "
            "young.",
            _drawn_at(method, is_egg),
            f"pasteurised egg: {RAW_EGG}; who is most at risk: from memory",
        )
    if flour:
        what = "flour and raw egg" if eggs else "raw flour"
        yield Caution(
            "raw-dough",
            f"Do not taste it raw: {what} can carry harmful bacteria.",
            _drawn_at(method, lambda item: item.kind == "flour"),
            RAW_FLOUR,
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
    egg = sum((item.weight for item in part.items if is_egg(item) and item.weight), Fraction(0))
    flour = sum((item.weight for item in part.items if item.kind == "flour" and item.weight), Fraction(0))
    return egg > flour and egg * 8 > part.weight


_FAT_HEATED: Final = re.compile(
    r"\b(?:hot|smoking|sizzling) (?:fat|oil|lard|dripping)\b|\b(?:heat|until)\b[^.;]*\bsmok\w+\b", re.I
)


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
        return
    for step in method.steps:
        fat = sum(
            (
                drawn.weight
                for drawn in step.draws
                if drawn.item is not None and drawn.item.kind in ("fat", "oil") and drawn.weight
            ),
            Fraction(0),
        )
        tinned = any(
            drawn.item is not None
            and drawn.item.kind in ("fat", "oil")
            and re.search(r"\b(?:tins?|tray|roasting)\b", drawn.item.purpose or "")
            for drawn in step.draws
        )
        hot = any(
            run.place in ("oven", "fan oven") and run.temperature.high >= 190 for run in temperatures(step)
        )
        if fat >= _IN_THE_TIN and hot and (tinned or _FAT_HEATED.search(text_of(step))):
            yield Caution(
                "hot-fat",
                "Hot fat: it spits as the food goes in. Put the tin down first, dry the food, keep faces and children "
                "away, and never put water on it.",
                step.number,
                "frying practice, from memory",
            )
            return


_SYRUP: Final = re.compile(r"\b(?:caramel|amber|syrup|boil|crack|soft ball|toffee)\b", re.I)


def _hot_sugar(method: Method) -> Iterator[Caution]:
    for step in method.steps:
        for line in step.lines:
            sugar = any(
                isinstance(run, DrawRun) and any(word in run.name for word in ("sugar", "syrup"))
                for run in line
            )
            boiled = any(isinstance(run, TextRun) and _SYRUP.search(run.text) for run in line)
            if sugar and any(
                isinstance(run, TemperatureRun)
                and (run.place is None or (run.place == "pan" and boiled))
                and run.temperature.high >= 112
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
_COOLING: Final = f"{STAGE_ONE.named}; the FDA Food Code 3-501.14 is alike"


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
                if isinstance(run, ChangeRun) and too_slow(run) is not None:
                    yield Caution(
                        "cools-too-slowly",
                        "This is slower than is safe for most cooked food: 60 °C to 21 °C within 2 h, and to 5 °C "
                        "within 4 h more. Use small or shallow pots, or a cold bath.",
                        step.number,
                        _COOLING,
                    )


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
                CANNING,
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
            f"{RICE}; the 2 h as in {STAGE_ONE.source}, from memory",
        )
    elif kept and perishable > 2 * flour:  # a bread or cake dries as it bakes; a tart's filling does not
        yield Caution(
            "cool-fast",
            "What is kept: cool it from 60 °C to 21 °C within 2 h, and to 5 °C within 4 h more.",
            None,
            _COOLING,
        )


# ---------------------------------------------------------------- what else can hurt

_STUFFING: Final = re.compile(r"\b(?:stuffing|stuffed)\b", re.I)


def _stuffed(formula: Formula, method: Method, items: list[Item]) -> Iterator[Caution]:
    """Something stuffed that has flesh in it: the stuffing must get as hot."""
    names = [formula.recipe.name.text, *(part.name.text for part in formula.parts if part.name)]
    where = next((step.number for step in method.steps if _STUFFING.search(text_of(step))), None)
    if not any(is_raw_flesh(item) for item in items):
        return
    if where is not None or any(_STUFFING.search(name) for name in names):
        yield Caution(
            "cook-stuffed",
            f"Stuffed: the middle of the stuffing must reach {at_least(CODE_POULTRY)}. Stuff it just before it cooks.",
            _cooked_at(method, is_raw_flesh),
            CODE_POULTRY.named,
        )


def _raw_flesh(formula: Formula, method: Method, walked: Walk) -> Iterator[Caution]:
    """Meat or fish that no step cooks."""
    for index in walked.drawn:
        item = formula.parts[index[0]].items[index[1]]
        if is_raw_flesh(item) and not walked.heated_after(index, itself=False):
            yield Caution(
                "served-raw",
                f"Nothing here cooks the {item.name.text}. Raw meat and fish can carry bacteria and parasites; acid "
                "and salt do not do what heat does. Not for anyone frail, pregnant or very young.",
                _drawn_at(method, is_raw_flesh),
                "common food-safety advice, from memory",
            )
            return


def _standing(walked: Walk) -> Iterator[Caution]:
    """Beside the step in which something that spoils stands out of the fridge for an hour or more."""
    at = next((stay for stay in walked.stays if stay.total >= _STANDS), None)
    if at is not None:
        yield Caution(
            "out-of-the-cold",
            f"The {at.worst.name.text} must not stand between 5 °C and 60 °C (41 °F and 140 °F) for longer than 2 h in "
            "all, or 1 h in great heat.",
            at.step.number,
            OUT.named,
        )


def _thawing(method: Method, items: list[Item]) -> Iterator[Caution]:
    if not any(is_flesh(item) for item in items):
        return
    for step in method.steps:
        if list(prose_spans(step, THAWS)):
            yield Caution(
                "thaw-cold",
                "Thaw in the fridge, with a dish under it; never on the bench. Do not freeze it again uncooked.",
                step.number,
                THAWING,
            )
            return


def _reheating(formula: Formula) -> Iterator[Caution]:
    if formula.recipe.block.entry("reheats") is not None and any(dish_spoils(formula)):
        yield Caution(
            "reheat-once",
            f"Reheat once only, until it is {at_least(LEFTOVERS)} right through.",
            None,
            CHART_NAME,
        )


_FOILED: Final = re.compile(
    r"\b(?:wrap\w*|parcel\w*|packet\w*|bag\w*|line\w*|lay|laid|put|bake\w*|keep|store)\b[^.;]*"
    r"\b(?:foil|alumin(?:i)?um)\b"
    r"|\b(?:foil|alumin(?:i)?um) (?:tray|dish|parcel|tin|pan|container)s?\b",
    re.I,
)
_ACID: Final = re.compile(
    r"\b(?:tomato(?:es)?|passata|rhubarb|lemons?|limes?|vinegar|pickles?|gherkins|sauerkraut|apple puree|anchovies"
    r"|lye)\b"
)


def _foil(formula: Formula, method: Method) -> Iterator[Caution]:
    """Sour or salty food laid against bare aluminium."""
    for step in method.steps:
        text = text_of(step)
        if _FOILED.search(text) and _ACID.search(text.casefold()):
            yield Caution(
                "sour-in-foil",
                "Sour or salty food takes up aluminium: put baking paper between it and foil or an uncoated tin.",
                step.number,
                FOIL,
            )
            return


def _outside(formula: Formula, method: Method) -> Iterator[Caution]:
    for process in PROCESSES:
        spans = list(process.found(formula, method))
        if spans:
            at = next(
                (
                    step.number
                    for step in method.steps
                    if step.block.span.first <= spans[0].first < step.block.span.last
                ),
                None,
            )
            yield Caution(process.name, process.caution, at, process.source)
