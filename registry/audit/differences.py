"""Every setting that differs between the two prints, each with who changed it, when, and why."""

import datetime
import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, NamedTuple

from registry.audit.answer import Clue, Origin, Place, Unknown
from registry.audit.customer import bearing
from registry.audit.direction import setting_works
from registry.audit.effect import of_setting
from registry.audit.entries import late, origin_of
from registry.audit.lots import LOTS
from registry.audit.prints import Scene
from registry.audit.usual import is_usual
from registry.change.compare import SettingChange, compare
from registry.index.readmodel import Revision
from registry.index.reference import reference
from registry.model.kinds import path_of
from registry.model.shape import shape_of
from registry.question.case import case_of
from registry.question.registry import Registry

__all__ = ["Differences", "differences"]


_OF_ONE_THING = ("unit", "display")
"""Records of one thing that stands somewhere: what they say was so when it was recorded."""


@dataclass(frozen=True, slots=True)
class Differences:
    """What differs, what follows from it, and what cannot be compared."""

    clues: tuple[Clue, ...]
    computed: tuple[SettingChange, ...]
    unknown: tuple[Unknown, ...]


class _Watched(NamedTuple):
    """A record whose landed state at both times is compared, and the landing up to which it is."""

    place: Place
    kind: str
    rid: str
    until: int
    trim: Callable[[dict[str, Any]], dict[str, Any]]
    """Keeps the part that matters here."""


def differences(of: Scene) -> Differences:
    """Return what differs between the two prints: mode, substrate, printer, unit, display, profile, job."""
    clues, computed = _mode(of)
    unknown: list[Unknown] = []
    for watched in _records(of):
        clues += _record(of, watched, unknown)
    clues += _not_adopted(of)
    clues += _profile(of, {clue.change.path for clue in clues if clue.change})
    clues += _job(of)
    return Differences(tuple(clues), tuple(computed), tuple(unknown))


def _mode(of: Scene) -> tuple[list[Clue], list[SettingChange]]:
    good, bad = of.good.mode, of.bad.mode
    if good is None or bad is None or bad.revision is None:
        return [], []
    changes = compare(
        shape_of("print-mode"),
        good.document,
        bad.document,
        case_before=case_of(of.registry, good.document, of.good.landing),
        case_after=case_of(of.registry, bad.document, of.bad.landing),
    )
    revisions = of.registry.model.revisions(bad.path)
    writers = _writers(of.registry, revisions, good.seq, bad.seq, _whole)
    first = _first_use(of, bad.digest)
    clues = []
    for change in changes:
        if change.is_setting:
            revision = writers.get(change.path, bad.revision)
            clue = _clue(of, "mode", bad.rid, change, origin_of(of.registry, revisions, revision))
            clues.append(clue if first is None else replace(clue, at=first, at_is="first used"))
    return clues, [change for change in changes if change.how and change.effect != "none"]


def _not_adopted(of: Scene) -> Iterator[Clue]:
    """Yield settings that were published between the prints and that the bad print was made without."""
    used = of.bad.mode
    if used is None or not of.bad.run or of.good.landing is None or of.bad.landing is None:
        return
    revisions = of.registry.model.revisions(used.path)
    newest = _last(revisions, of.bad.landing)
    if newest is None or newest.fault or newest.status == "D" or newest.n <= of.good.landing:
        return
    if newest.seq <= used.seq or newest.digest == used.digest:
        return
    changes = compare(shape_of("print-mode"), of.registry.document(newest.blob), used.document)
    changed = [
        _clue(of, "mode", used.rid, change, origin_of(of.registry, revisions, newest))
        for change in changes
        if change.is_setting
    ]
    lead = next((each for each in changed if each.works == "towards"), changed[0])
    yield replace(
        lead,
        label=f"{newest.label} not taken into use",
        change=None,
        event="not-adopted",
        likely=any(each.likely for each in changed),
        why="",
        acts=None,
        what=f"{newest.label} had landed and has other {', '.join(each.label for each in changed[:3])}",
    )


def _first_use(of: Scene, digest: str) -> float | None:
    """Return when the unit first ran these settings after the good print."""
    ran = [run.at for run in of.runs if run.document.get("settings_digest") == digest]
    return min((at for at in ran if of.good.at < at <= of.bad.at), default=None)


def _records(of: Scene) -> Iterator[_Watched]:
    until = of.bad.landing
    known = of.bad.mode or of.good.mode
    if until is None:
        return
    if known:
        for place in ("substrate", "printer"):
            yield _Watched(place, place, str(known.document.get(place)), until, _whole)
    yield _Watched("unit", "unit", of.request.unit, until, lambda unit: _own(unit, of.request.mode))
    if of.request.display:
        until = max(until, _landing_by_complaint(of))
        yield _Watched("display", "display", of.request.display, until, _whole)


def _landing_by_complaint(of: Scene) -> int:
    """Return the last landing before the print was judged: a display may change after the printing."""
    day = of.request.received_on
    last = of.registry.model.last_landing(of.registry.end_of(day)) if day else None
    return last.n if last else 0


def _whole(document: dict[str, Any]) -> dict[str, Any]:
    return document


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
    writers = _writers(registry, revisions, before.seq, after.seq, watched.trim)
    for change in compare(shape_of(watched.kind), one, other):
        if change.is_setting and not _is_name(change):
            origin = origin_of(registry, revisions, writers.get(change.path, after))
            clue = _since_recorded(of, _clue(of, watched.place, watched.rid, change, origin))
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


def _last(revisions: list[Revision], until: int) -> Revision | None:
    return next((each for each in reversed(revisions) if each.n <= until), None)


def _judged(of: Scene, watched: _Watched) -> float:
    """Return until when what holds of a record may have been seen: a display's until the print was judged."""
    day = of.request.received_on
    return max(of.bad.at, of.registry.end_of(day)) if day and watched.place == "display" else of.bad.at


def _held(
    of: Scene, watched: _Watched, revisions: list[Revision], landing: int, at: float
) -> Revision | None:
    """Return the revision that held at a moment: of one machine or display what had been recorded by then."""
    by_record = [each for each in revisions if watched.place in _OF_ONE_THING and _recorded_by(of, each, at)]
    landed = _last(revisions, landing)
    return max([*by_record, *([landed] if landed else [])], key=lambda each: each.seq, default=None)


def _recorded_by(of: Scene, revision: Revision, at: float) -> bool:
    if not revision.recorded or revision.fault or revision.status == "D":
        return False
    return of.registry.end_of(datetime.date.fromisoformat(revision.recorded)) <= at


def _writers(
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


def _profile(of: Scene, told: set[str]) -> Iterator[Clue]:
    """Yield that the profile's file was replaced, where the mode does not say so itself."""
    good, bad = of.good, of.bad
    if bad.mode is None or good.landing is None or bad.landing is None or "colour.profile.sha256" in told:
        return
    file = bad.mode.document.get("colour", {}).get("profile", {}).get("file")
    if file is None or "colour.profile.file" in told:
        return
    path = f"{bad.mode.path.rpartition('/modes/')[0]}/profiles/{file}"
    revisions = of.registry.model.revisions(path)
    before, after = _last(revisions, good.landing), _last(revisions, bad.landing)
    if before is None or after is None or before.blob == after.blob or "" in {before.blob, after.blob}:
        return
    sums = [hashlib.sha256(of.registry.repository.blob(each.blob)).hexdigest() for each in (before, after)]
    change = SettingChange(
        path=path,
        setting="",
        name=f"content of the profile {file}, SHA-256",
        label=f"content of the profile {file}, SHA-256",
        group="colour",
        unit="",
        before=sums[0],
        after=sums[1],
        effect="direct",
        scope="model",
    )
    yield _clue(of, "profile", path, change, origin_of(of.registry, revisions, after))


def _job(of: Scene) -> Iterator[Clue]:
    """Yield the job's own colour choices, lots and display that differ between the two runs."""
    good, bad = of.good, of.bad
    if not (good.run and bad.run):
        return
    path = path_of("run", bad.run)
    revisions = of.registry.model.revisions(path)
    origin = origin_of(of.registry, revisions, revisions[-1], once=True)
    nearest = [word for which, word in ((good, "good"), (bad, "bad")) if which.nearest]
    what = f"for the {' and the '.join(nearest)} print taken from the nearest run" if nearest else ""
    for change in compare(shape_of("run"), dict(good.record), dict(bad.record)):
        if change.path in LOTS and None in {change.before, change.after}:
            continue  # told as unknown
        clue = replace(_clue(of, "job", bad.run, change, origin), at=bad.at, at_is="printed", what=what)
        if change.path == "display":  # it is no setting of the print, but other lamps show it otherwise
            yield replace(clue, label="display", effect="indirect")
        elif change.effect != "none":
            yield clue


def _clue(of: Scene, place: Place, record: str, change: SettingChange, origin: Origin) -> Clue:
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
