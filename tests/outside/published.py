"""Reference numbers for colour, each block with its source."""

import json
from functools import cache
from pathlib import Path
from typing import Any

__all__ = ["published"]


@cache
def published(block: str) -> Any:
    """Return a block of `colour_references.json`; its "source" says where the numbers come from."""
    text = (Path(__file__).parent / "colour_references.json").read_text(encoding="utf-8")
    return json.loads(text)[block]
