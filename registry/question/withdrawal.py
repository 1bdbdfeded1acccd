"""How it is told that a record is withdrawn: since when, why, and what to use instead."""

from collections.abc import Mapping

__all__ = ["withdrawn_words"]


def withdrawn_words(gone: Mapping[str, str]) -> str:
    """Return what a withdrawal says, as far as it says anything; a reason's own full stop is left out.

    >>> withdrawn_words({"date": "2026-01-02", "reason": "It re-wets.", "instead": "a/c"})
    'withdrawn since 2026-01-02: It re-wets; use a/c instead'
    >>> withdrawn_words({})
    'withdrawn'
    """
    since = f" since {gone['date']}" if "date" in gone else ""
    because = f": {gone['reason'].rstrip('.')}" if "reason" in gone else ""
    instead = f"; use {gone['instead']} instead" if "instead" in gone else ""
    return f"withdrawn{since}{because}{instead}"
