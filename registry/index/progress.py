"""Telling how far a long piece of work has come."""

from collections.abc import Callable

__all__ = ["Progress", "silent"]

Progress = Callable[[str, int], None]
"""Told what is being done and how much of it is done; "indexing" comes last."""


def silent(_doing: str, _done: int) -> None:
    """Report no progress."""
