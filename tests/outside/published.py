"""Reference numbers for colour, each block with its source, and the program that runs beside ours."""

import json
import warnings
from functools import cache
from pathlib import Path
from typing import Any

__all__ = ["colour_science", "published"]


@cache
def published(block: str) -> Any:
    """Return a block of `colour_references.json`; its "source" says where the numbers come from."""
    text = (Path(__file__).parent / "colour_references.json").read_text(encoding="utf-8")
    return json.loads(text)[block]


@cache
def colour_science() -> Any:
    """Return colour-science, whose warnings on extras that are not installed are no fault of ours."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour
