"""Blame: the revision that gave each of a record's present values."""

from dataclasses import dataclass
from typing import Any

from registry.change.compare import BOOKKEEPING
from registry.change.history import History, Step
from registry.model.shape import shape_of
from registry.question.registry import Registry

__all__ = ["Blamed", "blame"]


@dataclass(frozen=True, slots=True)
class Blamed:
    """One present value, and the revision that gave it."""

    path: str
    """Concrete path, by today's names."""
    label: str
    group: str
    """Label of the part that it belongs to; empty for a setting that stands alone."""
    unit: str
    value: Any
    aside: bool
    """Not a setting: neither operator nor machine acts on it."""
    step: Step
    """The last landed revision in which it became what it is."""
    certain: bool
    """False where a clone is cut off there: the value may be older."""


def blame(registry: Registry, asked: History) -> list[Blamed]:
    """Return every present value of a record in the model's order; none where its file is gone or spoiled.

    Values are compared by today's names, list items by their keys: a new form, another order of keys, another
    name of a setting and a migration give nothing. What left and came back was given when it came back.
    """
    landed = [step for step in asked.steps if not step.beside]
    if not landed or landed[-1].removed or landed[-1].revision.fault:
        return []
    by: dict[str, Step] = {}
    for step in landed:
        for change in step.changes:
            if not change.how:
                by[change.path] = step
    shape = shape_of(asked.subject.kind)
    found = shape.flatten(registry.document(landed[-1].revision.blob))
    return [
        Blamed(
            path,
            value.label,
            value.setting.group,
            value.setting.unit,
            value.value,
            value.setting.aside,
            by[path],
            certain=not (by[path].first and asked.known_since is not None),
        )
        for path, value in found.items()
        if path not in BOOKKEEPING
    ]
