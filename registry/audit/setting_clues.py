"""A setting that differs as a clue, and the revision that changed it."""

from collections.abc import Callable
from itertools import pairwise
from typing import Any

from registry.audit.answer import Clue, Origin, Place
from registry.audit.customer import bearing
from registry.audit.direction import setting_works
from registry.audit.effect import of_setting
from registry.audit.entries import late
from registry.audit.prints import Scene
from registry.audit.usual import is_usual
from registry.change.compare import SettingChange, compare
from registry.index.readmodel import Revision
from registry.model.shape import shape_of
from registry.question.registry import Registry

__all__ = ["last_landed", "setting_clue", "whole", "writers_of"]


def setting_clue(of: Scene, place: Place, record: str, change: SettingChange, origin: Origin) -> Clue:
    acts = of_setting(place, change)
    goes = bearing(acts, of.request.defect, of.request.what) if acts else None
    works = setting_works(of.request.defect, place, change) or (goes.works if goes else "")
    if goes and goes.too_little:
        works = ""
    usual = is_usual(of.request.defect, place, change.setting, change.path)
    return Clue(
        place=place,
        record=record,
        label=change.name if place == "unit" else change.label,  # there is one mode only
        change=change,
        event="",
        at=origin.landed,
        at_is="landed",
        day_only=False,
        origin=origin,
        effect=change.effect,
        likely=works != "against" and usual and not (goes and goes.too_little),
        works=works,
        why=goes.why if goes and usual else "",
        acts=acts,
        late=late(of.registry, of.request, origin),
    )


def last_landed(revisions: list[Revision], until: int) -> Revision | None:
    return next((each for each in reversed(revisions) if each.n <= until), None)


def writers_of(
    registry: Registry,
    revisions: list[Revision],
    after: int,
    until: int,
    trim: Callable[[dict[str, Any]], dict[str, Any]],
) -> dict[str, Revision]:
    """Return for each path the last revision above `after` and up to `until` that changed it."""
    steps = [
        each for each in revisions if after <= each.seq <= until and each.status != "D" and not each.fault
    ]
    documents = registry.documents(each.blob for each in steps)
    found: dict[str, Revision] = {}
    for one, other in pairwise(steps):
        shape = shape_of(other.kind)
        changes = compare(shape, trim(documents[one.blob]), trim(documents[other.blob]))
        found |= {change.path: other for change in changes}
    return found


def whole(document: dict[str, Any]) -> dict[str, Any]:
    return document
