"""Where a shallow clone is cut off: what the oldest landing holds had landed by then, no one knows when."""

from registry.index.readmodel import Landed
from registry.question.registry import Registry

__all__ = ["is_cut"]


def is_cut(registry: Registry, landed: Landed) -> bool:
    """Whether this landing is where the clone is cut off, so that it tells neither when nor by whom."""
    return registry.known_since is not None and landed.n == 1
