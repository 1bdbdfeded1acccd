"""What is known of the two prints: their runs, and the settings that were in force."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from registry.audit.answer import OtherRun, Print, Unknown
from registry.audit.days import begins
from registry.audit.lots import LOTS, belongs
from registry.audit.request import AuditRequest
from registry.errors import RegistryError
from registry.question.inforce import InForce, in_force
from registry.question.names import once_named
from registry.question.registry import Registry
from registry.question.when import Version, version_used

__all__ = [
    "Run",
    "Scene",
    "complaints_of",
    "is_backlit",
    "other_runs",
    "runs_of",
    "scene",
    "what_is_unknown",
]


_MINUTE_S = 60
_HOUR_S = 60 * _MINUTE_S


class Run(NamedTuple):
    """One run record, and when it was printed."""

    rid: str
    at: float
    document: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Scene:
    """The two prints, and all that the unit printed with that mode."""

    registry: Registry
    request: AuditRequest
    runs: list[Run]
    """In the order of printing."""
    good: Print
    bad: Print
    withdrawn: tuple[str, ...]
    """That the mode or its substrate is withdrawn now, in words."""


def scene(registry: Registry, request: AuditRequest) -> Scene:
    """Return what is known of the two prints that an audit asks of."""
    runs = runs_of(registry, request.mode, request.unit)
    earlier = [run for run in runs if run.at < request.printed and not _is_job(run, request.job)]
    later = [run for run in runs if run.at > request.good]
    good = _print_at(registry, request, earlier, request.good)
    bad = _print_at(registry, request, later, request.printed, request.job)
    withdrawn = tuple(_withdrawn(registry, request))
    return Scene(registry, _with_display(request, good, bad), runs, good, bad, withdrawn)


def _with_display(request: AuditRequest, good: Print, bad: Print) -> AuditRequest:
    """Return the question with the display that the runs name, where it names none itself."""
    named = [(word, which) for word, which in (("bad", bad), ("good", good)) if "display" in which.record]
    if request.display or not named:
        return request
    display = str(named[0][1].record["display"])
    saying = [(word, which) for word, which in named if which.record["display"] == display]
    run = "nearest run" if any(which.nearest for _, which in saying) else "run"
    words = f"as the {run} of the {saying[0][0]} print says"
    if len(saying) > 1:
        words = f"as the {run}s of both prints say"
    return replace(request, display=display, display_from=words)


def _withdrawn(registry: Registry, request: AuditRequest) -> Iterator[str]:
    """Yield that the mode or the substrate that it is for has been withdrawn."""
    mode = once_named(registry, request.mode, ("print-mode",))
    subjects = [mode]
    if mode.substrate:
        subjects.append(once_named(registry, mode.substrate, ("substrate",)))
    for subject, word in zip(subjects, ("print mode", "substrate"), strict=False):
        if subject.standing == "withdrawn":
            newest = registry.model.revisions(subject.path)[-1]
            reason = f": {newest.reason}" if newest.reason else ""
            said = f"as {newest.label} of {newest.recorded} says"
            yield f"the {word} {subject.rid} is withdrawn, {said}{reason}"
        elif subject.standing == "gone":
            yield f"the {word} {subject.rid} has been taken away, or cannot be read now"


def runs_of(registry: Registry, mode: str, unit: str) -> list[Run]:
    """Return every run of the mode on the unit, in the order of printing."""
    subjects = registry.model.holding("run", {"mode": mode, "unit": unit})
    times = registry.model.values("printed", "run")
    documents = registry.documents(subject.blob for subject in subjects)
    runs = [
        Run(subject.rid, times[subject.id][0].num or 0, documents[subject.blob])
        for subject in subjects
        if subject.id in times
    ]
    runs.sort(key=lambda run: (run.at, run.rid))
    # Of two of one job at the same moment the later record counts: that is how a mistyped one is put right.
    return list({(run.document.get("job"), run.at): run for run in runs}.values())


def _print_at(registry: Registry, request: AuditRequest, runs: list[Run], at: float, job: str = "") -> Print:
    """Return what is known of the print made at a moment; by its job number where that is known."""
    run = _run_of(registry, runs, at, job)
    when = run.at if run else at
    last = registry.model.last_landing(when)
    evidence = _evidence(registry, request, when)
    return Print(
        at=when,
        run=run.rid if run else "",
        record=run.document if run else {},
        in_force=evidence,
        mode=_settings(registry, evidence),
        landing=last.n if last and not _is_before_clone(registry, when) else None,
        nearest=run is not None and not job and abs(run.at - at) >= _MINUTE_S,
    )


def other_runs(of: Scene) -> list[OtherRun]:
    """Return the jobs between the two prints on the same unit with the same mode."""
    complaints = complaints_of(of.registry, of.request.unit)
    return [
        OtherRun(
            record=run.rid,
            job=str(run.document.get("job", "")),
            at=run.at,
            revision=int(run.document.get("mode_revision", 0)),
            settings=_whose(run, of.good, of.bad),
            complaint=complaints.get(str(run.document.get("job")), ""),
        )
        for run in of.runs
        if of.good.at < run.at < of.bad.at and run.rid not in {of.good.run, of.bad.run}
    ]


def is_backlit(of: Scene) -> bool:
    """Whether the prints are seen lit from behind; where that is not known they may be."""
    modes = [each.mode for each in (of.bad, of.good) if each.mode]
    return not modes or modes[0].document.get("lighting") != "frontlit"


def what_is_unknown(of: Scene, which: Print, word: str) -> Iterator[Unknown]:
    """Yield what the registry does not know of one of the two prints, the good or the bad one."""
    registry = of.registry
    day = f"{registry.time(which.at):%Y-%m-%d}"
    yield from _doubts(of, which, word, day)
    if which.run:
        if lacking := _lots_unsaid(of, which):
            yield Unknown(f"the {' and the '.join(lacking)} of the {word} print: its run does not say", 2)
        if word == "bad" and abs(which.at - of.request.printed) > _HOUR_S:
            asked, said = (f"{registry.time(at):%Y-%m-%d %H:%M}" for at in (of.request.printed, which.at))
            yield Unknown(f"when the bad print was made: its run says {said}, the question {asked}", 4)
    else:
        yield Unknown(
            f"the run of the {word} print: none is on record at {of.request.unit} on {day}, so its lots and "
            "its job's own colour choices are not known",
            2,
        )
        yield from _elsewhere(of, word)
    evidence = which.in_force
    if evidence is None or which.mode is None:
        yield Unknown(f"the settings of the {word} print: what was in force on {day} cannot be told", 0)
        return
    yield from _adopted_that_day(of, which, word)
    if evidence.how == "landed":
        words = f"whether {which.mode.label} was really in use for the {word} print; it is {evidence.words}"
        yield Unknown(words, 1)
    elif not which.run and evidence.since < which.at:
        yield Unknown(
            f"whether anything else was taken into use before the {word} print: the last word on it is "
            f"{evidence.record} of {registry.time(evidence.since):%Y-%m-%d}",
            1,
        )
    if not which.run and (newer := _landed_since(registry, which.mode, which.at)):
        yield Unknown(f"whether {newer} was already in use for the {word} print: it had landed by then", 1)
    if evidence.mismatch:
        yield Unknown(f"which settings the {word} print had, exactly: {evidence.mismatch}", 0)


def _adopted_that_day(of: Scene, which: Print, word: str) -> Iterator[Unknown]:
    """Yield which settings held if the print was made before what was taken into use on its day."""
    evidence = which.in_force
    if evidence is None or which.mode is None or evidence.since < begins(of.registry, which) or which.run:
        return
    earlier = _settings(of.registry, _evidence(of.registry, of.request, evidence.since - 1))
    if earlier and earlier.digest != which.mode.digest:
        yield Unknown(
            f"whether the {word} print had the settings of {which.mode.label} or of {earlier.label}: only "
            f"its day is known, and {evidence.record} is of that day",
            0,
        )


def _lots_unsaid(of: Scene, which: Print) -> list[str]:
    """Return the lots that its run does not name, though its mode or the other print has such a lot."""
    mode = which.mode.document if which.mode else {}
    other = of.bad if which is of.good else of.good
    wanted = (name for name in LOTS if name not in which.record)
    return [name.replace("_", " ") for name in wanted if name in other.record or belongs(name, mode)]


def _doubts(of: Scene, which: Print, word: str, day: str) -> Iterator[Unknown]:
    """Yield what is not sure of the run that was taken for a print, or that the job asked of has none."""
    if which.nearest:
        yield Unknown(
            f"whether the {word} print was job {which.record.get('job')}: its run is the nearest on {day}; "
            "the lots and the job's own colour choices told of it are those of that run",
            1,
        )
    if word == "bad" and of.request.job and not which.run:
        words = f"the run of job {of.request.job}: no run of that job is on record with this unit and mode"
        yield Unknown(words, 1)


def _run_of(registry: Registry, runs: list[Run], at: float, job: str) -> Run | None:
    """Return the run of the job, else the one nearest to the moment on the same day."""
    if job:
        found = [run for run in runs if _is_job(run, job)]
    else:
        day = registry.time(at).date()
        found = [run for run in runs if registry.time(run.at).date() == day]
    return min(found, key=lambda run: abs(run.at - at), default=None)


def _elsewhere(of: Scene, word: str) -> Iterator[Unknown]:
    """Yield that the bad print's job is on record with another unit or mode."""
    if word == "bad" and of.request.job:
        for subject in of.registry.model.holding("run", {"job": of.request.job, "site": of.request.site}):
            run = of.registry.document(subject.blob)
            yield Unknown(
                f"whether job {of.request.job} was printed so: its run {subject.rid} names the unit "
                f"{run.get('unit')} and the mode {run.get('mode')}",
                1,
            )


def _is_job(run: Run, job: str) -> bool:
    return bool(job) and run.document.get("job") == job


def _landed_since(registry: Registry, mode: Version, at: float) -> str:
    """Return the revision with other settings that landed last before a moment, or nothing."""
    last = registry.model.last_landing(at)
    newer = [
        revision
        for revision in registry.model.revisions(mode.path)
        if last and mode.landed and mode.landed.n <= revision.n <= last.n and revision.seq > mode.seq
    ]
    return newer[-1].label if newer and newer[-1].digest != mode.digest else ""


def _evidence(registry: Registry, request: AuditRequest, at: float) -> InForce | None:
    mode = once_named(registry, request.mode, ("print-mode",))
    try:
        evidence = in_force(registry, mode, request.unit, at)
    except RegistryError:  # nothing had landed by then
        return None
    return None if evidence.mismatch and _is_before_clone(registry, at) else evidence


def _settings(registry: Registry, evidence: InForce | None) -> Version | None:
    if evidence is None:
        return None
    return version_used(registry, evidence, "in force")


def _is_before_clone(registry: Registry, at: float) -> bool:
    return registry.known_since is not None and at < registry.known_since


def _whose(run: Run, good: Print, bad: Print) -> Any:
    """Return whose settings a run had."""
    digest = run.document.get("settings_digest")
    of_good = good.mode is not None and good.mode.digest == digest
    of_bad = bad.mode is not None and bad.mode.digest == digest
    if of_good and of_bad:
        return "of both"
    return "of the bad print" if of_bad else "of the good print" if of_good else "others"


def complaints_of(registry: Registry, unit: str) -> dict[str, str]:
    """Return the complaints about jobs of a unit, by job number."""
    subjects = registry.model.holding("complaint", {"unit": unit})
    documents = registry.documents(subject.blob for subject in subjects)
    return {
        str(documents[subject.blob]["job"]): subject.rid
        for subject in subjects
        if "job" in documents[subject.blob] and "withdrawn" not in documents[subject.blob]
    }
