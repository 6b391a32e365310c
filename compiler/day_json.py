"""The Day as JSON, and the JSON Schema it keeps to: see `plain_json`.

`day.schema.json` must equal it: `python -c "from benchproof.compiler.day_json import schema_json;
open('compiler/day.schema.json', 'w').write(schema_json())"`.
"""

from __future__ import annotations

import json
from typing import Any

from benchproof.compiler.day import VERSION, Day
from benchproof.compiler.plain_json import plain_json, schema_of


def day_json(day: Day) -> str:
    return plain_json(day)


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a Day."""
    return schema_of(Day, VERSION)


def schema_json() -> str:
    return json.dumps(schema(), ensure_ascii=False, indent=2) + "\n"
