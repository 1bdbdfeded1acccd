"""What differs in the records of substrate, printer, machine and display."""

import datetime
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any, NamedTuple

from registry.audit.answer import Clue, Place, Unknown
from registry.audit.entries import origin_of
from registry.audit.prints import Scene
from registry.audit.setting_clues import last_landed, setting_clue, whole, writers_of
from registry.change.compare import SettingChange, compare
from registry.index.readmodel import Revision
from registry.index.reference import reference
from registry.model.shape import shape_of
from registry.question.registry import Registry

__all__ = ["record_clues"]


_OF_ONE_THING = ("unit", "display")
"""Records of one thing that stands somewhere: what they say was so when it was recorded."""


def record_clues(of: Scene, unknown: list[Unknown]) -> Iterator[Clue]:
    """Yield what differs in the records behind the two prints; add what cannot be compared to `unknown`."""
    for watched in _records(of):
        yield from _record(of, watched, unknown)


class _Watched(NamedTuple):
    """A record whose landed state at both times is compared, and the landing up to which it is."""

    place: Place
    kind: str
    rid: str
    until: int
    trim: Callable[[dict[str, Any]], dict[str, Any]]
    """Keeps the part that matters here."""


def _records(of: Scene) -> Iterator[_Watched]:
    until = of.bad.landing
    known = of.bad.mode or of.good.mode
    if until is None:
        return
    if known:
        for place in ("substrate", "printer"):
            yield _Watched(place, place, str(known.document.get(place)), until, whole)
    yield _Watched("unit", "unit", of.request.unit, until, lambda unit: _own(unit, of.request.mode))
    if of.request.display:
        until = max(until, _landing_by_complaint(of))
        yield _Watched("display", "display", of.request.display, until, whole)


def _landing_by_complaint(of: Scene) -> int:
    """Return the last landing before the print was judged: a display may change after the printing."""
    day = of.request.received_on
    last = of.registry.model.last_landing(of.registry.end_of(day)) if day else None
    return last.n if last else 0


def _own(unit: dict[str, Any], mode: str) -> dict[str, Any]:
    """Return the unit with its own values for one mode only."""
    return {**unit, "own": [each for each in unit.get("own", ()) if each.get("mode") == mode]}


def _record(of: Scene, watched: _Watched, unknown: list[Unknown]) -> Iterator[Clue]:
    registry, name = of.registry, f"the {watched.kind} record {watched.rid}"
    path = reference(watched.kind, watched.rid)
    revisions = registry.model.revisions(path) if path else []
    unknown += _recorded_late(of, watched, revisions)
    if of.good.landing is None:
        return
    before, after = (
        _held(of, watched, revisions, *when)
        for when in ((of.good.landing, of.good.at), (watched.until, _judged(of, watched)))
    )
    if before is None or after is None:
        word = "bad" if after is None else "good"
        words = f"{name} at the {word} print: it had not landed by then{_landed(registry, revisions)}"
        unknown.append(Unknown(words, 3))
        return
    if bad_file := next((each for each in (before, after) if each.fault or each.status == "D"), None):
        landed = f"{registry.time(registry.model.landing(bad_file.n).landed):%Y-%m-%d}"
        words = f"{name}, as it landed on {landed}: it {bad_file.fault or 'was taken away'}"
        unknown.append(Unknown(words, 3))
        return
    documents = registry.documents([before.blob, after.blob])
    one, other = (watched.trim(documents[each.blob]) for each in (before, after))
    if watched.place == "unit" and not (one["own"] or other["own"]):
        words = f"{watched.rid}'s own values for this mode (such as feed correction): never recorded"
        unknown.append(Unknown(words, 4))
    writers = writers_of(registry, revisions, before.seq, after.seq, watched.trim)
    for change in compare(shape_of(watched.kind), one, other):
        if change.is_setting and not _is_name(change):
            origin = origin_of(registry, revisions, writers.get(change.path, after))
            clue = _since_recorded(of, setting_clue(of, watched.place, watched.rid, change, origin))
            yield replace(clue, noted=change.before is None and not change.item and not _is_day(change.after))


def _since_recorded(of: Scene, clue: Clue) -> Clue:
    """Return the clue with the day from which it counts: of a machine and a display, when it was recorded."""
    if clue.place not in _OF_ONE_THING or not clue.origin.recorded:
        return clue
    day = datetime.datetime.fromisoformat(clue.origin.recorded).replace(tzinfo=of.registry.zone)
    return replace(clue, at=day.timestamp(), at_is="recorded", day_only=True)


def _is_day(value: Any) -> bool:
    """Whether a value is itself the day on which something was done."""
    try:
        return bool(datetime.date.fromisoformat(str(value)))
    except ValueError:
        return False


def _is_name(change: SettingChange) -> bool:
    """Whether a change only says the name of a list item that was added or removed."""
    return bool(change.item) and change.item_name in {change.before, change.after}


def _recorded_late(of: Scene, watched: _Watched, revisions: list[Revision]) -> Iterator[Unknown]:
    """Yield revisions that landed too late to be compared, though they were recorded in between."""
    first, last = (f"{of.registry.time(each.at):%Y-%m-%d}" for each in (of.good, of.bad))
    for revision in revisions:
        counted = watched.place in _OF_ONE_THING and _recorded_by(of, revision, _judged(of, watched))
        late = revision.n > watched.until and revision.recorded and first <= revision.recorded <= last
        if late and not counted:
            landed = f"{of.registry.time(of.registry.model.landing(revision.n).landed):%Y-%m-%d}"
            yield Unknown(
                f"whether {revision.label} of the {watched.kind} record {watched.rid} held already: it was "
                f"recorded on {revision.recorded}, between the two prints, but landed after, on {landed}",
                3,
            )


def _landed(registry: Registry, revisions: list[Revision]) -> str:
    """Return when a record landed first; nothing where there is none: a run may name what has no record."""
    if not revisions:
        return ""
    return f", it landed on {registry.time(registry.model.landing(revisions[0].n).landed):%Y-%m-%d}"


def _judged(of: Scene, watched: _Watched) -> float:
    """Return until when what holds of a record may have been seen: a display's until the print was judged."""
    day = of.request.received_on
    return max(of.bad.at, of.registry.end_of(day)) if day and watched.place == "display" else of.bad.at


def _held(
    of: Scene, watched: _Watched, revisions: list[Revision], landing: int, at: float
) -> Revision | None:
    """Return the revision that held at a moment: of one machine or display what had been recorded by then."""
    by_record = [each for each in revisions if watched.place in _OF_ONE_THING and _recorded_by(of, each, at)]
    landed = last_landed(revisions, landing)
    return max([*by_record, *([landed] if landed else [])], key=lambda each: each.seq, default=None)


def _recorded_by(of: Scene, revision: Revision, at: float) -> bool:
    if not revision.recorded or revision.fault or revision.status == "D":
        return False
    return of.registry.end_of(datetime.date.fromisoformat(revision.recorded)) <= at
