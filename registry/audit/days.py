"""Prints of which only the day is known."""

from registry.audit.answer import Print
from registry.question.registry import Registry

__all__ = ["begins", "is_day"]


def is_day(registry: Registry, which: Print) -> bool:
    """Whether only the day of a print is known: it has no run, and no hour was given."""
    return not which.run and which.at == registry.end_of(registry.time(which.at).date())


def begins(registry: Registry, which: Print) -> float:
    """Return the earliest moment at which a print may have been made."""
    at = registry.time(which.at)
    start = at.replace(hour=0, minute=0, second=0, microsecond=0)
    return start.timestamp() if is_day(registry, which) else which.at
