"""What a date of a record means in time, and whether the date of a landing can be right."""

import datetime

from registry.question.registry import Registry

__all__ = ["day_of", "early", "span"]


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


def span(registry: Registry, text: object) -> tuple[float, float] | None:
    """Return the first and the last second that a record's date or moment may mean, in epoch seconds.

    A day is one on the registry's clock, a day without a time all of it. None for what is no date.
    """
    try:
        moment = datetime.datetime.fromisoformat(str(text))
    except ValueError:
        return None
    if moment.tzinfo is None and len(str(text)) == len("2026-01-01"):
        return registry.end_of(moment.date() - datetime.timedelta(days=1)) + 1, registry.end_of(moment.date())
    at = (moment if moment.tzinfo else moment.replace(tzinfo=registry.zone)).timestamp()
    return at, at
