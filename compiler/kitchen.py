"""The Kitchen: every block of a folder, by kind and name, with the built-in larder beneath it.

It answers look-ups (what is this ingredient, which style is that, what did it cost) and does no arithmetic
beyond turning stated facts into numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Final, TypeAlias
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from benchproof.compiler import quantities
from benchproof.compiler.blocks import RawBlock, cut
from benchproof.compiler.display import UnknownCurrency, currency_digits
from benchproof.compiler.findings import Also, Finding
from benchproof.compiler.food import Food, names_of, read_food
from benchproof.compiler.food_law import ALL_LISTS, LAW_NAMES, FoodLaw, law_named
from benchproof.compiler.parser import read, read_block
from benchproof.compiler.rules import find
from benchproof.compiler.source import Source, Span
from benchproof.compiler.syntax import (
    SHARED_KINDS,
    Block,
    Bound,
    Count,
    Date,
    Entry,
    File,
    Measure,
    Measures,
    Name,
    NamedHeading,
    Price,
    PricesHeading,
    Scales,
    Unread,
    Words,
    name_key,
)
from benchproof.compiler.versions import NEWEST

KITCHEN_FILE: Final = "kitchen.bench"

Reader: TypeAlias = Callable[[Source], tuple[File, tuple[Finding, ...]]]
"""What reads a text; one that keeps the trees of unchanged blocks is `block_cache`."""


@dataclass(frozen=True, slots=True, eq=False)
class Style:
    """Usual ratios of a class of product: label as written to its bound."""

    name: str
    keys: frozenset[str]
    basis: str | None
    bounds: tuple[Entry, ...]
    source: str
    span: Span


@dataclass(frozen=True, slots=True)
class Priced:
    """One line of a price list. `currency` is None when neither heading nor kitchen gives one."""

    item: Name
    shop: str
    date: str
    price: Price
    currency: str | None
    special: bool
    span: Span


@dataclass(frozen=True, slots=True, eq=False)
class Recipe:
    """A recipe's blocks, in the order they stand."""

    name: Name
    keys: frozenset[str]
    block: Block
    ingredients: tuple[Block, ...]
    preferments: tuple[Block, ...]
    soakers: tuple[Block, ...]
    equipment: tuple[Block, ...]
    steps: tuple[Block, ...]
    expect: tuple[Block, ...]
    trials: tuple[Block, ...]
    whole: bool
    """False when one of its blocks or lines could not be read: then it has no Batch."""

    @property
    def source(self) -> Source:
        return self.block.place.source

    @property
    def blocks(self) -> Iterator[Block]:
        yield self.block
        for group in (
            self.ingredients,
            self.preferments,
            self.soakers,
            self.equipment,
            self.steps,
            self.expect,
            self.trials,
        ):
            yield from group


@dataclass(frozen=True, slots=True)
class Settings:
    """What the kitchen block says, with the defaults a lone file gets.

    `scales` are (division, capacity) in g, finest first; `stale_after` days. `room`, `flour` and `tap_water`
    (coldest, hottest) are degrees Celsius; `friction` the rise in them by how it is mixed, in the order
    written; `altitude` metres; `zone` a name of the IANA time zones; `language` the version the files are in (the
    newest when unsaid). None and empty where nothing is said.
    """

    name: str | None = None
    currency: str | None = None
    law: FoodLaw = ALL_LISTS
    measures: str = "metric"
    scales: tuple[tuple[Fraction, Fraction], ...] = ()
    costed_on: str | None = None
    stale_after: int | None = None
    room: Fraction | None = None
    flour: Fraction | None = None
    tap_water: tuple[Fraction, Fraction] | None = None
    friction: tuple[tuple[str, Fraction], ...] = ()
    altitude: Fraction | None = None
    zone: str | None = None
    language: int = NEWEST


class Kitchen:
    """Look-up by name over a set of files and the built-in larder.

    `findings` holds what reading and gathering found, over all files.
    """

    def __init__(self, sources: Iterable[Source], root: Path | None = None, reader: Reader = read) -> None:
        self.root = root
        self.sources = tuple(sources)
        self.findings: list[Finding] = []
        self.settings = Settings()
        self.larder = larder()
        self.foods: dict[str, Food] = {}
        self.styles: dict[str, Style] = {}
        self.recipes: dict[str, Recipe] = {}
        self.prices: dict[str, list[Priced]] = {}
        self.severities: list[Entry] = []
        self.equipment: list[Block] = []
        """What the kitchen has, whatever the recipe: `equipment` below the kitchen's own block."""
        self.blocks: list[Block] = []
        for source in self.sources:
            file, findings = reader(source)
            self.findings.extend(findings)
            self.blocks.extend(file.blocks)
        self._gather()

    # ------------------------------------------------------------ look-ups

    def food(self, name: Name) -> Food | None:
        return self.foods.get(name.key) or self.larder.food(name.key)

    def food_names(self) -> list[str]:
        """Every ingredient that facts are known of, the kitchen's own first."""
        own = dict.fromkeys(food.name for food in self.foods.values())
        return [*own, *(name for name in self.larder.food_names if name not in own)]

    def style_names(self) -> list[str]:
        own = dict.fromkeys(style.name for style in self.styles.values())
        return [*own, *(name for name in self.larder.style_names if name not in own)]

    def recipe(self, name: str) -> Recipe | None:
        return self.recipes.get(name_key(name))

    def style(self, name: str) -> Style | None:
        key = name_key(name)
        return self.styles.get(key) or self.larder.style(key)

    def own_recipes(self) -> tuple[Recipe, ...]:
        """Each recipe once, in the order of the files."""
        return tuple(dict.fromkeys(self.recipes.values()))

    def priced(self, keys: Iterable[str]) -> list[Priced]:
        """Every price line for any of these names, in the order of the files."""
        return [line for key in dict.fromkeys(keys) for line in self.prices.get(key, ())]

    # ------------------------------------------------------------ gathering

    def _gather(self) -> None:
        """Sort the blocks by what they are, and report names that clash."""
        kitchens = [block for block in self.blocks if block.kind == "kitchen"]
        if kitchens:
            self._settings(kitchens[0])
        for extra in kitchens[1:]:
            self._clash("kitchen", extra, kitchens[0].span, "There is one kitchen block in a kitchen.")
        own_foods: dict[str, Span] = {}
        claimed = [
            name.key for block in self.blocks if block.kind == "ingredient" for name in _own_names(block)
        ]
        own_styles: dict[str, Span] = {}
        for block in self.blocks:
            if block.kind == "ingredient":
                self._food(block, own_foods, frozenset(claimed))
            elif block.kind == "style":
                self._style(block, own_styles)
            elif block.kind == "prices":
                self._prices(block)
            elif block.kind == "checks":
                self.severities.extend(block.entries())
        of_file: dict[Source, list[Block]] = {}
        for block in self.blocks:
            of_file.setdefault(block.place.source, []).append(block)
        self._taken = {key: food.span for key, food in self.foods.items() if food.span is not None}
        for blocks in of_file.values():
            self._recipes(blocks)

    def _settings(self, block: Block) -> None:
        entries = {entry.label.key: entry for entry in block.entries()}
        settings = Settings(name=block.heading.name.text if isinstance(block.heading, NamedHeading) else None)
        if (entry := entries.get("language")) and isinstance(entry.value, Count):
            settings = replace(settings, language=int(entry.value.number.low))
        if (entry := entries.get("currency")) and isinstance(entry.value, Words):
            settings = replace(settings, currency=_currency(entry.value.text))
        if (entry := entries.get("food law")) and isinstance(entry.value, Words):
            law = law_named(entry.value.text)
            if law is None:
                self.findings.append(
                    find(
                        "unknown-food-law",
                        entry.value.span,
                        f"“{entry.value.text}” is not a food law whose allergen list is known here. "
                        "Every list is joined instead, and the card says so.",
                        f"Write one of: {', '.join(LAW_NAMES)}; or leave the line out.",
                    )
                )
            else:
                settings = replace(settings, law=law)
        if (entry := entries.get("measures")) and isinstance(entry.value, Words):
            system = next((s for s in quantities.SYSTEMS if name_key(s) == name_key(entry.value.text)), None)
            if system is not None:
                settings = replace(settings, measures=system)
        if (entry := entries.get("scales")) and isinstance(entry.value, Scales):
            scales = sorted(
                (quantities.base(scale.division.low), quantities.base(scale.capacity.low))
                for scale in entry.value.scales
            )
            settings = replace(settings, scales=tuple(scales))
        if (entry := entries.get("costed on")) and isinstance(entry.value, Date):
            settings = replace(settings, costed_on=entry.value.text)
        if (entry := entries.get("time zone")) and isinstance(entry.value, Words):
            zone = entry.value.text.strip()
            if not _known_zone(zone):
                self.findings.append(
                    find(
                        "unknown-time-zone",
                        entry.value.span,
                        f"“{zone}” is no time zone known here. A plan of the day goes by without clock changes.",
                        "Write one as the IANA list has it, with its region: `Pacific/Auckland`.",
                    )
                )
            else:
                settings = replace(settings, zone=zone)
        if (entry := entries.get("prices go stale after")) and isinstance(entry.value, Measure):
            days = quantities.base(entry.value.quantity.low) / 86400
            settings = replace(settings, stale_after=int(days))
        self.settings = replace(settings, **_climate(entries))

    def _clash(self, kind: str, block: Block, first: Span, rule: str) -> None:
        span = block.heading.span if block.heading else block.span
        self.findings.append(
            find(
                "defined-twice",
                span,
                f"This {kind} has been given already. {rule}",
                "Keep one of the two.",
                also=(Also(first, "the first one stands here"),),
            )
        )

    def _claim(self, names: list[Name], taken: dict[str, Span]) -> bool:
        """Take a block's names; report those that another has. False when its own name went."""
        for name in names:
            first = taken.get(name.key)
            if first is not None:
                self.findings.append(
                    find(
                        "defined-twice",
                        name.span,
                        f"“{name.text}” is the name of something else in this kitchen already.",
                        "Give one of them another name, or take the second one away.",
                        also=(Also(first, "the other one stands here"),),
                    )
                )
                if name is names[0]:
                    return False
            else:
                taken[name.key] = name.span
        return True

    def _food(self, block: Block, taken: dict[str, Span], claimed: frozenset[str]) -> None:
        """An ingredient takes the names it gives, and those of the larder's that no other block gives."""
        if not isinstance(block.heading, NamedHeading):
            return
        name = block.heading.name
        others = names_of(block, "also")
        if not self._claim([name, *others], taken):
            return
        below = self.larder.food(name.key)
        food = read_food(block, name, others, below, self.settings.measures, self.findings)
        own = frozenset({name.key, *(other.key for other in others)})
        food = replace(food, keys=own | (food.keys - claimed))
        self.foods.update(dict.fromkeys(food.keys, food))

    def _style(self, block: Block, taken: dict[str, Span]) -> None:
        if not isinstance(block.heading, NamedHeading):
            return
        name = block.heading.name
        others = names_of(block, "also")
        if self._claim([name, *others], taken):
            style = _style(block, name, others)
            self.styles.update(dict.fromkeys(style.keys, style))

    def _prices(self, block: Block) -> None:
        heading = block.heading
        if not isinstance(heading, PricesHeading):
            return
        currency = _currency(heading.currency.text) if heading.currency else self.settings.currency
        for entry in block.entries():
            if not isinstance(entry.value, Price):
                continue
            self.prices.setdefault(entry.label.key, []).append(
                Priced(
                    entry.label,
                    heading.shop.text,
                    heading.date.text,
                    entry.value,
                    currency,
                    any(name_key(detail.text) == "special" for detail in entry.details),
                    entry.span,
                )
            )

    def _recipes(self, blocks: list[Block]) -> None:
        """The recipes of one file: each takes the blocks below it, up to the next shared one."""
        taken = dict(self._taken)
        head: Block | None = None
        body: list[Block] = []
        above = ""
        for block in [*blocks, None]:
            if block is not None and block.kind not in SHARED_KINDS:
                if head is None and block.kind == "equipment" and above == "kitchen":
                    self.equipment.append(block)
                elif head is None:
                    self._astray(block)
                else:
                    body.append(block)
                continue
            if head is not None:
                self._recipe(head, body, taken)
            head, body = (block, []) if block is not None and block.kind == "recipe" else (None, [])
            above = block.kind if block is not None else ""

    def _astray(self, block: Block) -> None:
        span = block.heading.span if block.heading else block.span
        self.findings.append(
            find(
                "no-recipe-above",
                span,
                f"This `{block.kind}` block stands under no recipe.",
                "Put it below the `recipe NAME` heading it belongs to.",
            )
        )

    def _recipe(self, head: Block, body: list[Block], taken: dict[str, Span]) -> None:
        if not isinstance(head.heading, NamedHeading):
            return
        name = head.heading.name
        others = names_of(head, "also")
        if not self._claim([name, *others], taken):
            return

        def of(kind: str) -> tuple[Block, ...]:
            return tuple(block for block in body if block.kind == kind)

        recipe = Recipe(
            name=name,
            keys=frozenset({name.key, *(other.key for other in others)}),
            block=head,
            ingredients=of("ingredients"),
            preferments=of("preferment"),
            soakers=of("soaker"),
            equipment=of("equipment"),
            steps=of("step"),
            expect=of("expect"),
            trials=of("trial"),
            whole=all(_whole(block) for block in (head, *body)),
        )
        for key in recipe.keys:
            self._taken[key] = self.recipes.setdefault(key, recipe).name.span


def _known_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (
        ZoneInfoNotFoundError,
        ValueError,
        OSError,
    ):  # a folder of the list, as `Pacific` is, is an OSError
        return False
    return True


def _currency(code: str) -> str | None:
    """A currency that money can be shown in; one that is none has a finding of its own."""
    try:
        currency_digits(code)
    except UnknownCurrency:
        return None
    return code


def _climate(entries: Mapping[str, Entry]) -> dict[str, Any]:
    """The temperatures of the kitchen, and how high it stands."""
    found: dict[str, Any] = {}
    for label in ("room", "flour"):
        entry = entries.get(label)
        if entry is not None and isinstance(entry.value, Measure):
            found[label] = quantities.extent(entry.value.quantity)[0]
    entry = entries.get("tap water")
    if entry is not None and isinstance(entry.value, Measure):
        found["tap_water"] = quantities.extent(entry.value.quantity)
    entry = entries.get("friction")
    if entry is not None and isinstance(entry.value, Measures):
        found["friction"] = tuple(
            (one.words, quantities.celsius_difference(one.quantity.low[0])) for one in entry.value.measures
        )
    entry = entries.get("altitude")
    if entry is not None and isinstance(entry.value, Measure):
        found["altitude"] = quantities.base(entry.value.quantity.low) / 1000
    return found


def _whole(block: Block) -> bool:
    return block.heading is not None and not any(isinstance(line, Unread) for line in block.lines)


def _own_names(block: Block) -> list[Name]:
    """The name in a block's heading, and its `also` names."""
    if not isinstance(block.heading, NamedHeading):
        return []
    return [block.heading.name, *names_of(block, "also")]


def _style(block: Block, name: Name, others: list[Name]) -> Style:
    basis = block.entry("basis")
    source = block.entry("source")
    return Style(
        name.text,
        frozenset({name.key, *(other.key for other in others)}),
        basis.value.text if basis and isinstance(basis.value, Words) else None,
        tuple(entry for entry in block.entries() if isinstance(entry.value, Bound)),
        source.value.text if source and isinstance(source.value, Words) else "",
        block.span,
    )


class Larder:
    """The facts and styles that ship with the compiler.

    Its names are indexed when it is opened; a block is read when it is first asked for, since a recipe needs
    a dozen of some hundreds.
    """

    def __init__(self) -> None:
        self._raw: dict[tuple[str, str], RawBlock] = {}
        self._foods: dict[str, Food] = {}
        self._styles: dict[str, Style] = {}
        self.food_names: list[str] = []
        self.style_names: list[str] = []
        folder = files("benchproof.compiler.larder")
        for path in sorted(folder.iterdir(), key=lambda path: path.name):
            if path.name.endswith(".bench"):
                source = Source(path.read_text(encoding="utf-8"), f"larder/{path.name}")
                for raw in cut(source):
                    self._index(raw)

    def _index(self, raw: RawBlock) -> None:
        if raw.heading is None:
            return
        text = raw.text
        kind, _, name = text[raw.heading.start : raw.heading.end].partition(" ")
        if kind not in ("ingredient", "style"):
            return
        names = self.food_names if kind == "ingredient" else self.style_names
        names.append(name.strip())
        self._raw[kind, name_key(name)] = raw
        for line in raw.lines:
            label, _, value = text[line.start : line.end].partition(":")
            if label == "also":
                for other in value.split(","):
                    self._raw[kind, name_key(other)] = raw

    def _block(self, kind: str, key: str) -> tuple[Block, Name] | None:
        """Read one block. Raises ValueError when our own text has a finding, which must not pass."""
        raw = self._raw.get((kind, key))
        if raw is None:
            return None
        block, findings = read_block(raw)
        if findings or block is None or not isinstance(block.heading, NamedHeading):
            raise ValueError(f"the built-in larder does not read clean: {findings!r}")
        return block, block.heading.name

    def food(self, key: str) -> Food | None:
        if key not in self._foods and (read := self._block("ingredient", key)):
            block, name = read
            findings: list[Finding] = []
            food = read_food(block, name, names_of(block, "also"), None, "metric", findings)
            if findings:
                raise ValueError(f"the built-in larder does not read clean: {findings!r}")
            self._foods.update(dict.fromkeys(food.keys, food))
        return self._foods.get(key)

    def style(self, key: str) -> Style | None:
        if key not in self._styles and (read := self._block("style", key)):
            block, name = read
            style = _style(block, name, names_of(block, "also"))
            self._styles.update(dict.fromkeys(style.keys, style))
        return self._styles.get(key)


@lru_cache(maxsize=1)
def larder() -> Larder:
    """The built-in larder, opened once."""
    return Larder()


# ---------------------------------------------------------------- opening


def kitchen_root(path: Path) -> Path | None:
    """The nearest folder at or above `path` that holds a kitchen file."""
    folder = path if path.is_dir() else path.parent
    for candidate in (folder, *folder.parents):
        if (candidate / KITCHEN_FILE).is_file():
            return candidate
    return None


def bench_files(folder: Path) -> Iterator[Path]:
    """The `.bench` files of a folder and those below it, sorted, but not those of another kitchen below."""
    for path in sorted(folder.iterdir()):
        if path.is_dir():
            hidden = (
                path.name.startswith(".") or path.is_symlink()
            )  # a link may lead anywhere, or round and round
            if not hidden and not (path / KITCHEN_FILE).is_file():
                yield from bench_files(path)
        elif path.suffix == ".bench" and (path.is_file() or not path.exists()):
            yield path  # a link that leads nowhere is said; a pipe or a device is no recipe


class NotText(ValueError):
    """A file that is not plain text in UTF-8. `path` says which."""

    def __init__(self, path: Path, error: UnicodeDecodeError) -> None:
        super().__init__(f"{path} is not plain text in UTF-8 (near byte {error.start})")
        self.path = path


def _read(path: Path, name: str) -> Source:
    try:
        return Source.read(path, name)
    except UnicodeDecodeError as error:
        raise NotText(path, error) from error


def open_kitchen(path: Path) -> Kitchen:
    """The kitchen that a file or folder belongs to.

    A folder without a kitchen file anywhere above it is a kitchen by itself; so is a lone file.

    Raises OSError when a file cannot be read, NotText when one is not UTF-8 text.
    """
    path = path.resolve()
    root = kitchen_root(path)
    if root is None and path.is_file():
        return Kitchen([_read(path, path.name)], path.parent)
    root = root or path
    sources = [_read(file, file.relative_to(root).as_posix()) for file in bench_files(root)]
    return Kitchen(sources, root)
