"""How merges that left something out are told, by the clock of whoever landed them."""

from datetime import UTC, datetime, timedelta, timezone

from registry.index.left_out import left_out
from registry.index.readmodel import ReadModel

__all__ = ["merges_words", "moment_on"]


def merges_words(model: ReadModel) -> str:
    """Say that merges left out what one side had of records, and nobody has settled it since; else ""."""
    if not (lost := left_out(model)):
        return ""
    merges, records = {each.n for each in lost}, {each.path for each in lost}
    last = model.landing(max(merges))
    day = moment_on(last.landed, last.offset)[:10]
    which = f"{len(merges)} merges, the last of {day}," if len(merges) > 1 else f"the merge of {day}"
    of, them = ("1 record", "it") if len(records) == 1 else (f"{len(records)} records", "them")
    return f"{which} left out what one side had of {of}: litstock check shows {them}"


def moment_on(epoch: int, offset: int) -> str:
    """Return a moment on a clock so many minutes east of UTC; one that no calendar has, as the last day."""
    try:
        return f"{datetime.fromtimestamp(epoch, timezone(timedelta(minutes=offset))):%Y-%m-%d %H:%M}"
    except (OverflowError, ValueError):
        return f"{datetime.max.replace(tzinfo=UTC):%Y-%m-%d}"
