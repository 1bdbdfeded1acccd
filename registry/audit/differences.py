"""Every setting that differs between the two prints, each with who changed it, when, and why."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace

from registry.audit.answer import Clue, Unknown
from registry.audit.entries import origin_of
from registry.audit.lots import LOTS
from registry.audit.prints import Scene
from registry.audit.records import record_clues
from registry.audit.setting_clues import last_landed, setting_clue, whole, writers_of
from registry.change.compare import SettingChange, compare
from registry.model.kinds import path_of
from registry.model.shape import shape_of
from registry.question.case import case_of

__all__ = ["Differences", "differences"]


@dataclass(frozen=True, slots=True)
class Differences:
    """What differs, what follows from it, and what cannot be compared."""

    clues: tuple[Clue, ...]
    computed: tuple[SettingChange, ...]
    unknown: tuple[Unknown, ...]


def differences(of: Scene) -> Differences:
    """Return what differs between the two prints: mode, substrate, printer, unit, display, profile, job."""
    clues, computed = _mode(of)
    unknown: list[Unknown] = []
    clues += record_clues(of, unknown)
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
    writers = writers_of(of.registry, revisions, good.seq, bad.seq, whole)
    first = _first_use(of, bad.digest)
    clues = []
    for change in changes:
        if change.is_setting:
            revision = writers.get(change.path, bad.revision)
            clue = setting_clue(of, "mode", bad.rid, change, origin_of(of.registry, revisions, revision))
            clues.append(clue if first is None else replace(clue, at=first, at_is="first used"))
    return clues, [change for change in changes if change.how and change.effect != "none"]


def _not_adopted(of: Scene) -> Iterator[Clue]:
    """Yield settings that were published between the prints and that the bad print was made without."""
    used = of.bad.mode
    if used is None or not of.bad.run or of.good.landing is None or of.bad.landing is None:
        return
    revisions = of.registry.model.revisions(used.path)
    newest = last_landed(revisions, of.bad.landing)
    if newest is None or newest.fault or newest.status == "D" or newest.n <= of.good.landing:
        return
    if newest.seq <= used.seq or newest.digest == used.digest:
        return
    changes = compare(shape_of("print-mode"), of.registry.document(newest.blob), used.document)
    changed = [
        setting_clue(of, "mode", used.rid, change, origin_of(of.registry, revisions, newest))
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
    before, after = last_landed(revisions, good.landing), last_landed(revisions, bad.landing)
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
    yield setting_clue(of, "profile", path, change, origin_of(of.registry, revisions, after))


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
        clue = replace(
            setting_clue(of, "job", bad.run, change, origin), at=bad.at, at_is="printed", what=what
        )
        if change.path == "display":  # it is no setting of the print, but other lamps show it otherwise
            yield replace(clue, label="display", effect="indirect")
        elif change.effect != "none":
            yield clue
