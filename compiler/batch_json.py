"""The Batch as JSON, and the JSON Schema it keeps to: see `plain_json`."""

from __future__ import annotations

import json
from typing import Any

from benchproof.compiler.batch import VERSION, Batch
from benchproof.compiler.plain_json import plain, plain_json, schema_of


def batch_data(value: Any) -> Any:
    """A Batch, or any part of one, as plain JSON data."""
    return plain(value)


def batch_json(batch: Batch) -> str:
    return plain_json(batch)


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a Batch."""
    return schema_of(Batch, VERSION)


def schema_json() -> str:
    return json.dumps(schema(), ensure_ascii=False, indent=2) + "\n"
