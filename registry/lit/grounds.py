"""Whether anybody stands behind a recorded value: a source that says it was measured, or the like."""

from collections.abc import Mapping
from typing import Any

__all__ = ["is_grounded"]

_GROUNDED = {"measured", "data-sheet", "computed"}
"""The kinds of sources of a value that is no guess."""


def is_grounded(record: Mapping[str, Any], *path: str) -> bool:
    """Whether the source that covers what a record holds at a path is that of no guess.

    >>> is_grounded({"sources": {"/panel": {"kind": "measured"}}}, "panel", "transmittance_pct")
    True
    >>> is_grounded({"sources": {"": {"kind": "measured"}, "/panel": {"kind": "unknown"}}}, "panel")
    False
    """
    sources: Mapping[str, Mapping[str, Any]] = record.get("sources", {})
    pointers = ("".join(f"/{part}" for part in path[:depth]) for depth in range(len(path), -1, -1))
    covering = next((sources[each] for each in pointers if each in sources), {})
    return covering.get("kind") in _GROUNDED
