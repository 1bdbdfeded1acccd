"""`litstock history --blame`: present values, each with the revision that gave it, in words."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from registry.change.blame import Blamed
from registry.change.history import Step
from registry.cli.page import STAND_ALONE, aligned, wrapped
from registry.cli.values import in_figures
from registry.cli.wording import counted, landed_json, landed_words
from registry.question.registry import Registry

__all__ = ["COLUMNS", "blame_json", "blame_rows", "blame_text"]

COLUMNS = {
    "path": "path",
    "label": "setting",
    "value": "value",
    "revision": "since",
    "landed": "landed",
    "site": "site",
    "reason": "why",
}


def blame_text(registry: Registry, values: Sequence[Blamed], units: str) -> Iterator[str]:
    """Yield the table, and below it the revisions that it names: when, who, why."""
    if not values:
        yield "Nothing is there now: its file was taken away, or cannot be read."
        return
    told = [each for each in values if not each.aside or each.path == "status"]
    rows = [(each.group or STAND_ALONE, (each.label, _value(each, units), _since(each))) for each in told]
    table = iter(list(aligned([row for _, row in rows], "  ")))
    for group, lines in groupby(rows, key=lambda row: row[0]):
        yield wrapped(group)
        for _ in lines:
            yield next(table)
    if more := len(values) - len(told):
        yield wrapped(f"and {counted(more, 'value')} beside the settings, such as sources: --format csv")
    yield ""
    for step in _steps(told):
        landing = landed_words(registry, step.landed, step.revision.recorded)
        yield wrapped(f"{step.revision.label:<4} landed {landing}", "", "     ")
        yield wrapped(step.revision.reason or "no reason on record", "     ", "     ")
    if not all(each.certain for each in values):
        yield ""
        yield wrapped("This clone is cut off: what its oldest revision holds may be older.")


def blame_json(registry: Registry, values: Sequence[Blamed]) -> list[dict[str, Any]]:
    """Return every value, its sources too."""
    return [_row(registry, each) | _told(registry, each) for each in values]


def blame_rows(registry: Registry, values: Sequence[Blamed], units: str) -> Iterator[dict[str, Any]]:
    """Yield a row for each value."""
    for each in values:
        yield _row(registry, each) | {"value": in_figures(each.value, each.unit, units)[0]}


def _row(registry: Registry, each: Blamed) -> dict[str, Any]:
    revision = each.step.revision
    return {
        "path": each.path,
        "label": each.label,
        "value": each.value,
        "revision": revision.label,
        "landed": f"{registry.time(each.step.landed.landed):%Y-%m-%d %H:%M}",
        "site": revision.recorded_site,
        "reason": revision.reason,
    }


def _told(registry: Registry, each: Blamed) -> dict[str, Any]:
    revision = each.step.revision
    return {
        "unit": each.unit,
        "number": revision.revision,
        "landed": landed_json(registry, each.step.landed, revision.recorded),
        "recorded": {"date": revision.recorded, "site": revision.recorded_site},
        "certain": each.certain,
    }


def _since(each: Blamed) -> str:
    return each.step.revision.label if each.certain else f"{each.step.revision.label} or before"


def _value(each: Blamed, units: str) -> str:
    value, unit = in_figures(each.value, each.unit, units)
    return f"{value} {unit}".strip()


def _steps(values: Sequence[Blamed]) -> list[Step]:
    found = {each.step.revision.seq: each.step for each in values}
    return [found[seq] for seq in sorted(found, reverse=True)]
