"""Exact amounts and their units: the only door to pint.

pint reads `grammar/units.txt` once, at first need, and gives one exact factor for each unit; after that a
conversion is a look-up and a multiplication of `Fraction`s. pint never sees what a cook wrote: it would read
`1 1/2 cup` as half a cup and `pinch` as a picoinch. Nothing here is ever a float and nothing is rounded.

Base units: g, ml, s, mm, kWh. Temperatures are degrees Celsius and are never summed. Sources of all figures
stand beside them in `grammar/units.txt`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from importlib.resources import files
from threading import Lock
from types import MappingProxyType
from typing import Any, Final

from benchproof.compiler.syntax import Dimension, Quantity, Term


class MeasureError(ValueError):
    """An amount that cannot be worked out. The message is for a cook."""


class UnknownMeasure(MeasureError):
    """A unit, or a system of measures, that has no size here."""


class UnlikeMeasures(MeasureError):
    """Two amounts that no factor joins: a weight and a volume, say."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit by its canonical name (`fl_oz`, `inch`) and what it measures."""

    name: str
    dimension: Dimension


_SPELLINGS: Final[tuple[tuple[str, Dimension, tuple[str, ...]], ...]] = (
    ("mg", "mass", ("mg",)),
    ("g", "mass", ("g", "gram", "grams")),
    ("kg", "mass", ("kg", "kilogram", "kilograms")),
    ("oz", "mass", ("oz", "ounce", "ounces")),
    ("lb", "mass", ("lb", "lbs", "pound", "pounds")),
    ("ml", "volume", ("ml",)),
    ("cl", "volume", ("cl",)),
    ("dl", "volume", ("dl",)),
    ("l", "volume", ("l", "L", "litre", "litres")),
    ("tsp", "volume", ("tsp", "teaspoon", "teaspoons")),
    ("tbsp", "volume", ("tbsp", "tablespoon", "tablespoons")),
    ("cup", "volume", ("cup", "cups")),
    ("pint", "volume", ("pint", "pints")),
    ("quart", "volume", ("quart", "quarts")),
    ("gallon", "volume", ("gallon", "gallons")),
    ("fl_oz", "volume", ("fl oz",)),
    ("s", "time", ("s", "sec", "second", "seconds")),
    ("min", "time", ("min", "minute", "minutes")),
    ("h", "time", ("h", "hour", "hours")),
    ("day", "time", ("day", "days")),
    ("week", "time", ("week", "weeks")),
    ("month", "time", ("month", "months")),
    ("mm", "length", ("mm",)),
    ("cm", "length", ("cm",)),
    ("m", "length", ("m",)),
    ("inch", "length", ("inch", "inches", "in")),
    ("ft", "length", ("ft",)),
    ("C", "temperature", ("C", "°C")),
    ("F", "temperature", ("F", "°F")),
    ("kWh", "energy", ("kWh",)),
    ("MJ", "energy", ("MJ",)),
)

UNITS: Final[Mapping[str, Unit]] = MappingProxyType(
    {spelling: Unit(name, dimension) for name, dimension, spellings in _SPELLINGS for spelling in spellings}
)
"""Every accepted spelling, case and plural included, to its unit."""

_BY_NAME: Final[Mapping[str, Unit]] = MappingProxyType({unit.name: unit for unit in UNITS.values()})

BASES: Final[Mapping[Dimension, str]] = MappingProxyType(
    {"mass": "g", "volume": "ml", "time": "s", "length": "mm", "temperature": "C", "energy": "kWh"}
)
"""The unit each dimension is counted in."""

SYSTEMS: Final[tuple[str, ...]] = ("metric", "US", "UK", "Australian")
"""Whose cup and spoon. In millilitres (sources in `grammar/units.txt`):

            tsp            tbsp            cup          pint        quart       gallon       fl oz
metric      5              15              250          none        none        none         none
Australian  5              20              250          none        none        none         none
US          4.92892159375  14.78676478125  236.5882365  473.176473  946.352946  3785.411784  29.5735295625
UK          5              15              284.130625   568.26125   1136.5225   4546.09      28.4130625
"""

_SPOONS_AND_CUPS: Final = ("tsp", "tbsp", "cup")
_PINTS: Final = ("pint", "quart", "gallon", "fl_oz")
REGIONAL: Final[frozenset[str]] = frozenset(_SPOONS_AND_CUPS + _PINTS)
"""Canonical names of the units whose size depends on the system."""

_KINDS: Final[Mapping[Dimension, str]] = MappingProxyType(
    {
        "mass": "a weight",
        "volume": "a volume",
        "time": "a time",
        "length": "a length",
        "temperature": "a temperature",
        "energy": "an amount of energy",
    }
)

# ---------------------------------------------------------------- sizes, from pint

_lock = Lock()


@dataclass(frozen=True, slots=True)
class _Table:
    """`size`: (system, canonical name) to base units; for `C` and `F` the size of one degree, in C.
    `zero`: where a temperature scale's 0 stands, in degrees Celsius."""

    size: Mapping[tuple[str, str], Fraction]
    zero: Mapping[str, Fraction]


_table: _Table | None = None


def _checked(number: object) -> Fraction:
    # One float would make every result after it a float, without a word.
    if isinstance(number, Fraction):
        return number
    if isinstance(number, int):
        return Fraction(number)
    raise TypeError(f"amounts are exact fractions, not {number!r}")


def _registry() -> Any:
    from pint import UnitRegistry

    # A `Fraction` registry is exact. No disk cache: pint's is a pickle. None for the file: "" would load
    # all of pint's own definitions.
    registry: Any = UnitRegistry(None, non_int_type=Fraction, on_redefinition="raise", cache_folder=None)
    text = files("benchproof.grammar").joinpath("units.txt").read_text(encoding="utf-8")
    registry.load_definitions(text.splitlines())
    return registry


def _sizes() -> _Table:
    """Every size, asked of pint once. The registry is then let go, so no two threads ever share it."""
    global _table
    if _table is not None:
        return _table
    with _lock:
        if _table is None:
            registry = _registry()

            def in_base(number: int, pint_name: str, base: str) -> Fraction:
                return _checked(registry.Quantity(Fraction(number), pint_name).to(base).magnitude)

            size: dict[tuple[str, str], Fraction] = {}
            zero: dict[str, Fraction] = {}
            for unit in _BY_NAME.values():
                name, base = unit.name, BASES[unit.dimension]
                for system in SYSTEMS:
                    if name not in REGIONAL:
                        size[system, name] = in_base(1, name, base)
                    elif name in _SPOONS_AND_CUPS or system in ("US", "UK"):
                        size[system, name] = in_base(1, f"{system}_{name}", base)
                if unit.dimension == "temperature":
                    zero[name] = in_base(0, name, base)
                    for system in SYSTEMS:
                        size[system, name] -= zero[name]
            _table = _Table(MappingProxyType(size), MappingProxyType(zero))
    return _table


def _unit(name: str) -> Unit:
    unit = _BY_NAME.get(name)
    if unit is None:
        raise UnknownMeasure(_unknown_unit(name))
    return unit


def _unknown_unit(word: str) -> str:
    near = nearest_units(word)
    offer = f" Did you mean {' or '.join(near)}?" if near else ""
    return f"“{word}” is not a unit that Bench knows.{offer}"


def size(unit: str, system: str = "metric") -> Fraction:
    """How many base units one `unit` (canonical name) is: g, ml, s, mm, kWh; for C and F, of a *rise* in C.

    A `system` matters only to the units in `REGIONAL`; `1 US ml` is a ml. Raises `UnknownMeasure` for a unit
    or a system that does not exist, and for a pint, quart, gallon or fl oz that is neither US nor UK.
    """
    sizes = _sizes().size
    found = sizes.get((system, unit))
    if found is not None:
        return found
    _unit(unit)
    if system not in SYSTEMS:
        raise UnknownMeasure(
            f"“{system}” is not a system of measures that Bench knows. Write metric, US, UK or Australian."
        )
    shown = shown_unit(unit)
    # The two sizes are rounded here for reading only: no amount is made of them.
    tenths = (round(sizes[nation, unit] * 10) for nation in ("US", "UK"))
    american, british = (f"{tenth // 10}.{tenth % 10} ml" for tenth in tenths)
    raise UnknownMeasure(
        f"There is no {system} {shown}. Write “US {shown}” ({american}) or “UK {shown}” ({british}), "
        "or give the amount in ml."
    )


def shown_unit(unit: str) -> str:
    """The unit as a cook reads it: `fl oz` for `fl_oz`, `°C` for `C`, else the canonical name."""
    return {"fl_oz": "fl oz", "C": "°C", "F": "°F"}.get(unit, unit)


# ---------------------------------------------------------------- sums and conversions


def dimension_of(terms: Iterable[Term]) -> Dimension:
    """What the terms measure. Raises `UnlikeMeasures` when two differ, `ValueError` when there are none."""
    found: Dimension | None = None
    for term in terms:
        here = _unit(term.unit).dimension
        if found is not None and here != found:
            raise UnlikeMeasures(_unlike(found, here))
        found = here
    if found is None:
        raise ValueError("no terms")
    return found


def _unlike(one: Dimension, other: Dimension) -> str:
    message = f"{_KINDS[one].capitalize()} and {_KINDS[other]} cannot be added or turned into each other."
    if {one, other} == {"mass", "volume"}:
        message += " Give the ingredient a “density:”, such as 0.58 g/ml, and a volume has a weight."
    return message


def base(terms: Iterable[Term], system: str = "metric") -> Fraction:
    """The sum of the terms in g, ml, s, mm or kWh. A term's own `system` goes before the kitchen's.

    Raises `UnlikeMeasures` for terms of different dimensions and for temperatures (use `celsius`), and
    `UnknownMeasure` as `size` does.
    """
    terms = tuple(terms)
    if dimension_of(terms) == "temperature":
        raise UnlikeMeasures("Temperatures are not added up. Give one temperature, such as 38 C.")
    return sum(
        (_checked(term.number) * size(term.unit, term.system or system) for term in terms), Fraction(0)
    )


def celsius(term: Term) -> Fraction:
    """A temperature in degrees Celsius: 100 F is 340/9. Raises `UnlikeMeasures` for anything else."""
    return convert(term.number, term.unit, "C")


def celsius_difference(term: Term) -> Fraction:
    """A rise or a difference in degrees Celsius: a rise of 9 F is 5. Raises `UnlikeMeasures` as `celsius`."""
    if _unit(term.unit).dimension != "temperature":
        raise UnlikeMeasures(_unlike(_unit(term.unit).dimension, "temperature"))
    return _checked(term.number) * size(term.unit)


def extent(quantity: Quantity, system: str = "metric") -> tuple[Fraction, Fraction]:
    """Low and high in base units; temperatures absolute, in degrees Celsius. Equal for a single amount.

    Raises as `base` and `celsius` do.
    """
    if quantity.dimension == "temperature":
        return _temperature(quantity.low), _temperature(quantity.high)
    low = base(quantity.low, system)
    return low, low if quantity.high == quantity.low else base(quantity.high, system)


def _temperature(terms: tuple[Term, ...]) -> Fraction:
    if len(terms) != 1:
        raise UnlikeMeasures("Temperatures are not added up. Give one temperature, such as 38 C.")
    return celsius(terms[0])


def convert(value: Fraction, from_unit: str, to_unit: str, system: str = "metric") -> Fraction:
    """`value` of one unit in another of the same dimension, by canonical names, exactly.

    Temperatures are absolute: 212 F is 100 C. `system` is for both units. Raises `UnlikeMeasures` between
    dimensions (a weight and a volume meet only through a density) and `UnknownMeasure` as `size` does.
    """
    start, end = _unit(from_unit).dimension, _unit(to_unit).dimension
    if start != end:
        raise UnlikeMeasures(_unlike(start, end))
    in_base = _checked(value) * size(from_unit, system)
    if start == "temperature":
        zero = _sizes().zero
        in_base += zero[from_unit] - zero[to_unit]
    return in_base / size(to_unit, system)


def fahrenheit(celsius: Fraction) -> Fraction:
    """An absolute temperature in degrees Fahrenheit, from degrees Celsius."""
    return convert(celsius, "C", "F")


# ---------------------------------------------------------------- what was meant

_MEANT: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        written: tuple(meant.split("|"))
        for meant, words in {
            "g": "gr gm grm gms grms gramme grammes gs",
            "kg": "kgs kilo kilos kilogramme kilogrammes",
            "mg": "mgs milligram milligrams milligramme milligrammes",
            "oz": "ozs ounzes",
            "lb": "# lbm",
            "ml": "mls cc ccm millilitre millilitres milliliter milliliters mil mils",
            "cl": "cls centilitre centilitres centiliter centiliters",
            "dl": "dls decilitre decilitres deciliter deciliters",
            "l": "ltr ltrs lt liter liters ls",
            "tsp": "tsps teasp t ts",
            "tbsp": "tbs tbsps tblsp tblsps tbl tblspn tbspn",
            "tbsp|tsp": "spoon spoons spoonful spoonfuls",
            "cup": "c cp",
            "pint": "pt pts",
            "quart": "qt qts",
            "gallon": "gal gals",
            "fl oz": "floz floz. fl.oz fl.oz. fl-oz fl_oz fluid-ounce fl",
            "fl oz|oz": "fluid",
            "s": "secs",
            "min": "mins minuets",
            "h": "hr hrs",
            "day": "d",
            "week": "wk wks",
            "month": "mo mos mth mths",
            "mm": "millimetre millimetres millimeter millimeters mms",
            "cm": "centimetre centimetres centimeter centimeters cms",
            "m": "metre metres meter meters",
            "inch": 'ins inchs " ″',
            "ft": "foot feet ' ′",
            "C": "celsius celcius centigrade °c ºc",
            "F": "fahrenheit farenheit °f ºf",
            "C|F": "degree degrees deg degs ° º",
            "kWh": "kilowatt-hour kilowatt-hours kw",
            "MJ": "megajoule megajoules",
        }.items()
        for written in words.split()
    }
)
# Two words, or a case that means something of its own.
_MEANT_AS_WRITTEN: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "T": ("tbsp",),
        "c": ("C", "cup"),
        "fluid ounce": ("fl oz",),
        "fluid ounces": ("fl oz",),
        "degrees c": ("C",),
        "degrees f": ("F",),
        "kilowatt hours": ("kWh",),
    }
)


def nearest_units(word: str) -> list[str]:
    """Accepted spellings a cook may have meant by `word`, best first; empty when none is near.

    A question to ask, never a guess to act on. A pinch or a dash has no size, so nothing is offered for it.
    """
    word = " ".join(word.split())
    folded = word.casefold()
    if not folded:
        return []
    found: list[str] = []
    found += _MEANT_AS_WRITTEN.get(word, ()) or _MEANT_AS_WRITTEN.get(folded, ())
    found += [spelling for spelling in UNITS if spelling.casefold() == folded]
    bare = folded.rstrip(".")
    found += _MEANT.get(folded, ()) or _MEANT.get(bare, ())
    found += [spelling for spelling in UNITS if spelling.casefold() == bare]
    if not found and len(bare) >= 4:
        # People rarely mistype the first letter, and `pinch` is not an inch.
        allowed = 1 if len(bare) < 7 else 2
        near = [
            (distance, spelling)
            for spelling in UNITS
            if spelling[0] == bare[0] and (distance := _edits(bare, spelling)) <= allowed
        ]
        near.sort(key=lambda pair: pair[0])  # stable: ties stay in the table's order
        found += [spelling for _, spelling in near]
    return list(dict.fromkeys(found))


def _edits(one: str, other: str) -> int:
    """Letters added, dropped, changed, or two neighbours swapped, to turn one word into the other."""
    if abs(len(one) - len(other)) > 2:
        return 3
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        oldest, before, row = before, row, [i]
        for j, b in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                cost = min(cost, oldest[j - 2] + 1)
            row.append(cost)
    return row[-1]
