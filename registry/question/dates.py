"""Whether the date of a landing can be right."""

from registry.question.registry import Registry

__all__ = ["day_of", "early"]


def early(registry: Registry, landed: float, recorded: str | None) -> str:
    """Say that a landing is dated before the day on which what it brought was recorded; else "".

    Both are days on the registry's clock: who records in the evening and lands at once is not early.
    """
    if not recorded or recorded <= day_of(registry, landed):
        return ""
    return "dated before it was recorded, so a clock or that day is wrong"


def day_of(registry: Registry, landed: float) -> str:
    """Return the day of a landing on the registry's clock."""
    return registry.time(landed).date().isoformat()
