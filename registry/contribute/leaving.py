"""What is left behind by a withdrawal: machines that use a mode, complaints that are open."""

from collections.abc import Iterable, Iterator

from registry.model.kinds import place_at
from registry.question.inforce import uses
from registry.question.registry import Registry

__all__ = ["left_behind"]

_COMPLAINED_OF = {"site": "site", "unit": "unit", "display": "display", "print-mode": "mode"}
"""By kind: the member of a complaint that names it."""


def left_behind(registry: Registry, paths: Iterable[str]) -> list[str]:
    """Return in words what somebody has to see to when these records are withdrawn."""
    return list(dict.fromkeys(_said(registry, paths)))


def _said(registry: Registry, paths: Iterable[str]) -> Iterator[str]:
    for path in paths:
        place = place_at(path)
        if place is None:
            continue
        if place.kind in ("unit", "print-mode"):
            for use in uses(registry, "unit" if place.kind == "unit" else "mode", place.id):
                yield f"{use.unit} last used {use.mode.rid} r{use.evidence.number}: {use.evidence.words}"
        if member := _COMPLAINED_OF.get(place.kind):
            for complaint in registry.model.holding("complaint", {member: place.id, "state": "open"}):
                yield f"complaint {complaint.rid} is still open"
