"""Every event between the two prints that may have touched them."""

import datetime
from collections.abc import Iterator
from typing import Any, NamedTuple

from registry.audit.answer import Clue
from registry.audit.customer import bearing
from registry.audit.days import begins
from registry.audit.direction import event_works
from registry.audit.effect import of_event
from registry.audit.entries import late, origin_of
from registry.audit.prints import Scene
from registry.audit.request import AuditRequest
from registry.audit.usual import EVENT_EFFECT, is_usual
from registry.change.timeline import event_words
from registry.index.readmodel import Subject
from registry.question.registry import Registry

__all__ = ["event_clues"]

_DAY_S = 24 * 60 * 60


class _Window(NamedTuple):
    """The time in question, in epoch seconds."""

    good: float
    bad: float
    judged: float
    """Until when what happens at the display may have been seen."""


def event_clues(of: Scene) -> Iterator[Clue]:
    """Yield what happened on the unit, at the display, to the lots, and at the site as a whole."""
    registry, request = of.registry, of.request
    judged = registry.end_of(request.received_on) if request.received_on else of.bad.at
    window = _Window(begins(registry, of.good), of.bad.at, max(of.bad.at, judged))
    lots = {*request.lots, *of.good.lots, *of.bad.lots}
    subjects = _nearby(registry, request, lots)
    documents = registry.documents(subject.blob for subject in subjects)
    for subject in subjects:
        event = documents[subject.blob]
        if _touches(event, request, lots):
            clue = _clue(registry, request, subject, event)
            if clue is not None and _is_within(clue, event, window):
                yield clue


def _nearby(registry: Registry, request: AuditRequest, lots: set[str]) -> list[Subject]:
    wanted: list[dict[str, str]] = [{"site": request.site}, {"unit": request.unit}]
    wanted += [{"display": request.display}] if request.display else []
    wanted += [{"lot": lot} for lot in sorted(lots)]
    found = (subject for each in wanted for subject in registry.model.holding("event", each))
    return sorted({subject.rid: subject for subject in found}.values(), key=lambda subject: subject.rid)


def _touches(event: dict[str, Any], request: AuditRequest, lots: set[str]) -> bool:
    """Whether an event may have touched the two prints.

    One without unit and display concerns its whole site: its instruments, its colour software, its air. One
    that names a lot which neither print used does not.
    """
    if event.get("kind") == "adopted":
        return event.get("unit") == request.unit and event.get("mode") == request.mode
    if "unit" in event or "display" in event:
        if request.unit == event.get("unit") or (request.display and request.display == event.get("display")):
            return True
        return event.get("lot") in lots and event.get("site") == request.site
    if event.get("site") != request.site:
        return False
    return "lot" not in event or not lots or event["lot"] in lots


def _clue(registry: Registry, request: AuditRequest, subject: Subject, event: dict[str, Any]) -> Clue | None:
    try:
        at = datetime.datetime.fromisoformat(str(event.get("at")))
    except ValueError:
        return None
    at = at if at.tzinfo else at.replace(tzinfo=registry.zone)
    revisions = registry.model.revisions(subject.path)
    origin = origin_of(registry, revisions, revisions[-1], once=True)
    kind = str(event.get("kind"))
    acts = of_event(event)
    goes = bearing(acts, request.defect, request.what) if acts else None
    works = event_works(request.defect, kind, event) or (goes.works if goes else "")
    usual = is_usual(request.defect, "event", kind)
    return Clue(
        place="event",
        record=subject.rid,
        label=event_words(kind),
        change=None,
        event=kind,
        at=at.timestamp(),
        at_is="happened",
        day_only=at.time() == datetime.time(),
        origin=origin,
        effect=EVENT_EFFECT.get(kind, "none"),
        likely=works != "against" and usual and not (goes and goes.too_little),
        works=works,
        why=goes.why if goes and usual else "",
        acts=acts,
        late=late(registry, request, origin),
        what=str(event.get("what", "")),
        before=str(event.get("before", "")),
        after=str(event.get("after", "")),
        lot=str(event.get("lot", "")),
        display=str(event.get("display", "")),
    )


def _is_within(clue: Clue, event: dict[str, Any], window: _Window) -> bool:
    """Whether it happened, or may have, between the prints; at the display, until the print was judged."""
    ends = clue.at + _DAY_S - 1 if clue.day_only else clue.at
    until = window.judged if "display" in event and "unit" not in event else window.bad
    return ends > window.good and clue.at <= until
