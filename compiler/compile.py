"""compile(): a recipe and a request in, a Batch out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from benchproof.compiler import quantities
from benchproof.compiler.allergens import allergens, unknown_words
from benchproof.compiler.batch import (
    Asked,
    Batch,
    Equipment,
    Extent,
    Keeps,
    Line,
    Loss,
    Part,
    Step,
    Times,
    Waived,
    Yield,
)
from benchproof.compiler.cautions import cautions
from benchproof.compiler.findings import Finding
from benchproof.compiler.formula import Formula, FormulaPart, Item
from benchproof.compiler.heat import waters
from benchproof.compiler.kitchen import Kitchen, Recipe, Style
from benchproof.compiler.method import Method, method
from benchproof.compiler.money import Costs, where
from benchproof.compiler.plan_day import elapsed
from benchproof.compiler.ratios import ratios
from benchproof.compiler.request import Answer, Request, answer
from benchproof.compiler.rules import RULES
from benchproof.compiler.syntax import (
    Block,
    Count,
    Date,
    Entry,
    Measure,
    Measured,
    Names,
    ProseLine,
    Text,
    Waiver,
    Words,
)
from benchproof.compiler.syntax import Keeps as KeepsValue
from benchproof.compiler.weights import Formulas


@dataclass(frozen=True)
class Compiled:
    """What compiling a recipe gave: its Batch, unless a mistake stands in the way, and what was found."""

    recipe: Recipe
    formula: Formula
    method: Method
    style: Style | None
    batch: Batch | None
    findings: tuple[Finding, ...]


class Compiler:
    """Compiles the recipes of a kitchen; what several requests share is worked out once."""

    def __init__(self, kitchen: Kitchen) -> None:
        self.kitchen = kitchen
        self.formulas = Formulas(kitchen)
        self._costs: dict[str, Costs] = {}

    def compile(self, recipe: Recipe, request: Request) -> Compiled:
        """Resolve a recipe for a request.

        Raises RequestError when the request cannot be met: asked for pieces of a recipe that counts none.
        """
        formula = self.formulas.of(recipe)
        style = self._style(recipe)
        given = Answer(Fraction(1), Fraction(1))
        if formula.sound:
            given = answer(formula, request, self.kitchen, self.costs(self._on(request)))
        steps = method(formula, given.factor, given.pieces, self.kitchen.settings.measures, self.division)
        findings = (*formula.findings, *steps.findings, *unknown_words(formula))
        batch = self._batch(formula, steps, style, given, request) if formula.sound else None
        return Compiled(recipe, formula, steps, style, batch, findings)

    def _on(self, request: Request) -> str:
        on = request.on or self.kitchen.settings.costed_on
        assert on is not None, "the command fills in the day of asking"
        return on

    def costs(self, on: str) -> Costs:
        return self._costs.setdefault(on, Costs(self.kitchen, on))

    def division(self, weight: Fraction) -> Fraction | None:
        """The step in g of the finest scale that carries a weight; of the strongest when none does."""
        scales = self.kitchen.settings.scales
        if not scales:
            return None
        strongest = max(scales, key=lambda scale: scale[1])
        return next((step for step, most in scales if weight <= most), strongest[0])

    def _style(self, recipe: Recipe) -> Style | None:
        entry = recipe.block.entry("style")
        if entry is None or not isinstance(entry.value, Words):
            return None
        return self.kitchen.style(entry.value.text)

    def _batch(
        self, formula: Formula, steps: Method, style: Style | None, given: Answer, request: Request
    ) -> Batch:
        recipe, kitchen = formula.recipe, self.kitchen
        on, factor = self._on(request), given.factor
        batch = Batch(
            recipe=recipe.name.text,
            kitchen=kitchen.settings.name,
            file=recipe.source.name,
            revision=recipe.source.digest,
            dated=_date(recipe),
            summary=_words(recipe, "summary"),
            by=_words(recipe, "by"),
            tags=_names(recipe, "tags"),
            asked=Asked(
                factor,
                request.words(),
                on,
                kitchen.settings.measures,
                request.temperatures or ("F" if kitchen.settings.measures == "US" else "C"),
                self.costs(on).currency,
                given.limited_by,
            ),
            makes=_yield(formula, given, kitchen.settings.measures),
            serves=formula.serves * factor if formula.serves else None,
            style=style.name if style else None,
            equipment=equipment_of(recipe.equipment),
            parts=tuple(self._part(formula, part, factor) for part in formula.parts),
            ratios=ratios(formula, style),
            steps=tuple(
                Step(
                    step.number,
                    step.name.text,
                    step.part.text if step.part else None,
                    step.after,
                    step.during,
                    step.lines,
                    step.hands_on,
                    step.hands_off,
                    where(step.block.span),
                )
                for step in steps.steps
            ),
            times=Times(
                sum((step.hands_on for step in steps.steps), _NOTHING),
                sum((step.hands_off for step in steps.steps), _NOTHING),
                _NOTHING,
                (),
                sum(1 for step in steps.steps if not step.pieces),
            ),
            cost=self.costs(on).cost(formula, factor, given.pieces),
            allergens=allergens(kitchen, formula),
            cautions=cautions(formula, steps),
            waived=_waived(recipe),
            keeps=_keeps(recipe),
            reheats=_words(recipe, "reheats"),
            waters=waters(kitchen.settings, formula, steps, factor),
        )
        whole, plan = elapsed(batch, equipment_of(kitchen.equipment))
        return replace(batch, times=replace(batch.times, elapsed=whole, plan=plan))

    def _part(self, formula: Formula, part: FormulaPart, factor: Fraction) -> Part:
        overall = part.role == "main" and any(one.role == "final" for one in formula.parts)
        # Beside a final dough the overall formula is not weighed from: what is outside the ratios stands there.
        items = [item for item in part.items if not (overall and (item.purpose or item.weight is None))]
        lines = [self._line(item, part, factor) for item in items]
        weight = part.weight * factor
        if part.role == "final":
            drawn_out = [one for one in formula.parts if one.role in ("preferment", "soaker")]
            lines += [self._drawn_out(one, factor) for one in drawn_out]
            weight += sum((one.weight for one in drawn_out), Fraction(0)) * factor
        return Part(
            part.name.text if part.name else None,
            part.role,
            part.base,
            part.base_weight * factor if part.base_weight is not None else None,
            tuple(lines),
            weight,
            part.share,
        )

    def _drawn_out(self, part: FormulaPart, factor: Fraction) -> Line:
        """A preferment or soaker as a line of the final dough."""
        assert part.name is not None
        weight = part.weight * factor
        return Line(
            name=part.name.text,
            food=part.name.text,
            recipe=None,
            kind=part.role,
            weight=weight,
            percent=None,
            count=None,
            noun=None,
            volume=None,
            written="",
            division=self.division(weight),
            purpose=None,
            to_taste=False,
            is_base=False,
            where=where(part.name.span),
        )

    def _line(self, item: Item, part: FormulaPart, factor: Fraction) -> Line:
        weight = item.weight * factor if item.weight is not None else None
        percent = None
        if part.base_weight and item.weight is not None and item.purpose is None and not item.lent:
            percent = item.weight * 100 / part.base_weight
        if item.product is not None:
            food = item.product.recipe.name.text
        else:
            food = item.food.name if item.food else item.name.text
        return Line(
            item.name.text,
            food,
            item.product.recipe.name.text if item.product else None,
            item.kind,
            weight,
            percent,
            item.count * factor if item.count is not None else None,
            item.noun,
            item.volume * factor if item.volume is not None else None,
            item.entry.value.span.text,
            self.division(weight) if weight is not None else None,
            item.purpose,
            item.to_taste,
            item.is_base,
            where(item.entry.span),
            item.note,
            item.lent,
            item.bought * factor
            if isinstance(item.entry.value, Measured) and item.entry.value.as_bought and item.bought
            else None,
        )


_NOTHING = Extent(Fraction(0), Fraction(0))


def _words(recipe: Recipe, label: str) -> str | None:
    """An entry's whole text after the colon, details and all."""
    entry = recipe.block.entry(label)
    if entry is None:
        return None
    return ", ".join([entry.value.span.text, *(detail.text for detail in entry.details)])


def _date(recipe: Recipe) -> str | None:
    entry = recipe.block.entry("date")
    return entry.value.text if entry and isinstance(entry.value, Date) else None


def _names(recipe: Recipe, label: str) -> tuple[str, ...]:
    entry = recipe.block.entry(label)
    return tuple(name.text for name in entry.value.names) if entry and isinstance(entry.value, Names) else ()


def _yield(formula: Formula, given: Answer, measures: str) -> Yield:
    makes, factor = formula.makes, given.factor
    mass = "mass"
    each = total = None
    if makes is not None and makes.each is not None and makes.each.dimension == mass:
        each = quantities.base(makes.each.low, measures) * factor / given.pieces
    if makes is not None and makes.total is not None and makes.total.dimension == mass:
        total = quantities.base(makes.total.low, measures) * factor
    return Yield(
        makes.count.low * given.pieces if makes and makes.count else None,
        makes.noun.text if makes and makes.noun else None,
        each,
        total,
        makes.after_losses if makes else False,
        formula.weight * factor,
        formula.finished * factor,
        tuple(Loss(loss.percent, loss.words, loss.gain) for loss in formula.losses),
        where(makes.span) if makes else None,
    )


def equipment_of(blocks: Iterable[Block]) -> tuple[Equipment, ...]:
    """The lines of `equipment` blocks, a recipe's or the kitchen's."""
    found: list[Equipment] = []
    for block in blocks:
        for line in block.lines:
            if isinstance(line, ProseLine):
                text = "".join(piece.text for piece in line.pieces if isinstance(piece, Text)).strip()
                name, _, instead = text.partition(", or ")
                found.append(Equipment(name, None, instead or None))
            elif isinstance(line, Entry):
                count = line.value.number.low if isinstance(line.value, Count) else None
                others = [detail.text.removeprefix("or ") for detail in line.details]
                held = line.value if isinstance(line.value, Measure) else None
                name = f"{line.label.text}, {held.span.text}" if held else line.label.text
                weighs = held is not None and held.quantity.dimension == "mass"
                holds = quantities.base(held.quantity.low) if held is not None and weighs else None
                found.append(Equipment(name, count, ", ".join(others) or None, holds))
    return tuple(found)


def _waived(recipe: Recipe) -> tuple[Waived, ...]:
    return tuple(
        Waived(entry.value.rule.text, entry.value.reason, RULES[entry.value.rule.key].safety)
        for entry in recipe.block.entries()
        if isinstance(entry.value, Waiver) and entry.value.rule.key in RULES
    )


def _keeps(recipe: Recipe) -> tuple[Keeps, ...]:
    return tuple(
        Keeps(Extent(*quantities.extent(keep.duration)), keep.span.text)
        for entry in recipe.block.entries()
        if entry.label.key == "keeps" and isinstance(entry.value, KeepsValue)
        for keep in entry.value.keeps
    )
