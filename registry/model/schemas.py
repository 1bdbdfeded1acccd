"""The shipped JSON Schemas."""

import json
from functools import cache
from typing import Any

from registry.shipped import shipped

__all__ = ["schema_for"]


@cache
def schema_for(kind: str) -> dict[str, Any]:
    """Return the shipped schema of a record kind; it is never changed."""
    schema: dict[str, Any] = json.loads((shipped("schema") / f"{kind}.json").read_bytes())
    return schema
