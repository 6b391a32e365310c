"""Frozen dataclasses as JSON, and the JSON Schema they keep to: both derived, so that neither can drift.

An exact number is an object: `exact` the rational as text (`"725/3"`), `about` the nearest decimal for those who
need no more.
"""

from __future__ import annotations

import json
import types
from collections.abc import Collection
from dataclasses import fields, is_dataclass
from fractions import Fraction
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

_EXACT = {
    "type": "object",
    "description": "An exact number: `exact` as an integer or `n/d`, `about` the nearest decimal.",
    "properties": {
        "exact": {"type": "string", "pattern": "^-?[0-9]+(/[1-9][0-9]*)?$"},
        "about": {"type": "number"},
    },
    "required": ["exact", "about"],
    "additionalProperties": False,
}


def plain(value: Any) -> Any:
    """A dataclass, or whatever is in one, as plain JSON data."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Fraction):
        return {"exact": str(value), "about": float(value)}
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    return value


def plain_json(value: Any) -> str:
    """`plain` as text, a line feed at its end."""
    return json.dumps(plain(value), ensure_ascii=False, indent=2) + "\n"


def schema_of(cls: type, version: int) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a dataclass. Raises TypeError for a field of a type it does not know."""
    definitions: dict[str, Any] = {"Exact": _EXACT}
    _define(cls, definitions)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Benchproof {cls.__name__}, version {version}",
        "$ref": f"#/$defs/{cls.__name__}",
        "$defs": dict(sorted(definitions.items())),
    }


def _define(cls: type, definitions: dict[str, Any]) -> dict[str, Any]:
    if cls.__name__ not in definitions:
        definitions[cls.__name__] = {}
        hints = get_type_hints(cls)
        names = [field.name for field in fields(cls)]
        definitions[cls.__name__] = {
            "type": "object",
            "description": " ".join((cls.__doc__ or "").split()),
            "properties": {name: _type(hints[name], definitions) for name in names},
            "required": names,
            "additionalProperties": False,
        }
    return {"$ref": f"#/$defs/{cls.__name__}"}


def _type(hint: Any, definitions: dict[str, Any]) -> dict[str, Any]:
    origin, arguments = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return {"anyOf": [_type(one, definitions) for one in arguments]}
    if origin is Literal:
        return {"enum": list(arguments)}
    if origin is tuple:
        if len(arguments) == 2 and arguments[1] is Ellipsis:
            return {"type": "array", "items": _type(arguments[0], definitions)}
        items = [_type(one, definitions) for one in arguments]
        return {"type": "array", "prefixItems": items, "items": False, "minItems": len(items)}
    if hint is Fraction:
        return {"$ref": "#/$defs/Exact"}
    names = {str: "string", int: "integer", bool: "boolean", type(None): "null"}
    if hint in names:
        return {"type": names[hint]}
    if is_dataclass(hint) and isinstance(hint, type):
        return _define(hint, definitions)
    raise TypeError(f"no schema for {hint!r}")


def bare(value: Any, without: Collection[str]) -> Any:
    """Dataclasses as plain data without the fields of these names, and with every run of blanks one space."""
    if is_dataclass(value) and not isinstance(value, type):
        return {
            one.name: bare(getattr(value, one.name), without)
            for one in fields(value)
            if one.name not in without
        }
    if isinstance(value, tuple):
        return tuple(bare(one, without) for one in value)
    return " ".join(value.split()) if isinstance(value, str) else value
