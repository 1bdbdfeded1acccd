"""From a job's number to what an audit is asked: its complaint, else its run and a good one before it."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from registry.audit.prints import Run, complaints_of, runs_of
from registry.audit.request import AuditRequest, of_complaint, of_prints
from registry.errors import RequestError
from registry.question.names import UnknownRecord, meant, named, once_named
from registry.question.registry import Registry
from registry.question.when import moment

__all__ = ["is_complaint", "of_job"]

_FEW = 3
"""So many names are offered to who has mistyped one."""


def is_complaint(registry: Registry, text: str) -> bool:
    """Whether a text means a complaint, by its id or the end of it; else it may be a job's number."""
    kinds, rid = meant(text.partition("@")[0], ("complaint",))
    found = (*registry.model.named(rid, "complaint"), *registry.model.ending(rid))
    return any(each.kind == "complaint" for each in found) or bool(registry.model.gone(rid, kinds))


def of_job(registry: Registry, job: str, **asked: Any) -> AuditRequest:
    """Return what to ask of a job: its complaint where one is on record, else its run and a good one before.

    `asked` are the options of the command: site, unit, mode, printed, good, display, lots, defect.
    """
    number = _spelled(registry, job)
    site = once_named(registry, asked["site"], ("site",)).rid if asked["site"] else ""
    complaint = _complaint(registry, number, site)
    if not complaint:
        return _of_run(registry, number, asked | {"site": site})
    beside = [
        f"--{name.removesuffix('s')}"
        for name, value in asked.items()
        if value and name not in {"good", "site"}
    ]
    if beside:
        raise RequestError(
            f"the complaint {complaint} of job {number} says all but --good itself: leave out "
            f"{', '.join(beside)}"
        )
    return of_complaint(registry, complaint, good=asked["good"])


def _spelled(registry: Registry, job: str) -> str:
    """Return a job's number as the records write it; refuse one that none of them names."""
    held = (registry.model.values("job", kind) for kind in ("complaint", "run"))
    jobs = {value.txt for found in held for values in found.values() for value in values}
    alike = sorted(each for each in jobs if each.casefold() == job.casefold())
    if alike:
        return job if job in alike else alike[0]
    import difflib  # noqa: PLC0415 (only who has mistyped something pays for it)

    ids = [rid for _, rid in registry.model.ids("complaint")]
    names = {each.rpartition("/")[2]: each for each in ids} | {each: each for each in (*ids, *jobs)}
    near = difflib.get_close_matches(job, names, cutoff=0.5)
    near = near or [each for each in names if job.casefold() in each.casefold()][:_FEW]
    close = dict.fromkeys(names[each] for each in near)
    hint = f"did you mean {', '.join(close)}" if close else "write the number as its run has it"
    raise UnknownRecord(f"there is no complaint and no job {job!r} among what has landed; {hint}")


def _complaint(registry: Registry, job: str, site: str) -> str:
    """Return the complaint of a job, none where there is none or it was withdrawn; refuse to choose."""
    subjects = registry.model.holding("complaint", {"job": job} | ({"site": site} if site else {}))
    documents = registry.documents(subject.blob for subject in subjects)
    found = [each.rid for each in subjects if "withdrawn" not in documents[each.blob]]
    if len(found) > 1:
        raise RequestError(f"job {job} is complained of in {', '.join(found)}: name one of these")
    return found[0] if found else ""


def _of_run(registry: Registry, job: str, asked: dict[str, Any]) -> AuditRequest:
    """Return the question of a job by its run, the good print assumed where none is named."""
    mode, unit = _way(registry, job, asked)
    runs = runs_of(registry, mode, unit)
    of_job = [run for run in runs if run.document.get("job") == job]
    bad, assumed = of_job[-1], []
    if asked["printed"]:
        at = moment(registry, asked["printed"])
        bad = min(of_job, key=lambda run: abs(run.at - at))
    elif len(of_job) > 1:
        assumed.append(
            f"the bad print is the last of the {len(of_job)} runs of job {job}, of {_clock(registry, bad)}; "
            "--printed names another"
        )
    display = once_named(registry, asked["display"], ("display",)).rid if asked["display"] else ""
    good = asked["good"]
    if not good:
        run, why = _good(registry, runs, bad, display or str(bad.document.get("display", "")))
        good = str(run.document["printed"])
        assumed.append(
            f"the good print is job {run.document.get('job')} of {_clock(registry, run)}: {why}, of which no "
            "complaint is on record; --good names another"
        )
    request = of_prints(
        registry,
        unit=unit,
        mode=mode,
        printed=str(bad.document["printed"]),
        good=good,
        display=display,
        job=job,
        lots=asked["lots"],
        defect=asked["defect"],
    )
    return replace(request, assumed=tuple(assumed))


def _way(registry: Registry, job: str, asked: dict[str, Any]) -> tuple[str, str]:
    """Return the mode and the unit of a job's runs, as far as they are asked for; refuse to choose."""
    wanted = {"job": job}
    if asked["site"]:
        wanted["site"] = asked["site"]
    if unit := asked["unit"]:
        whole = unit if "/" in unit or not asked["site"] else f"{asked['site']}/{unit}"
        wanted["unit"] = named(registry, whole, ("unit",)).rid
    if asked["mode"]:
        wanted["mode"] = once_named(registry, asked["mode"], ("print-mode",)).rid
    subjects = registry.model.holding("run", wanted)
    documents = registry.documents(subject.blob for subject in subjects)
    ways = sorted({(str(each["mode"]), str(each["unit"])) for each in documents.values()})
    if not ways:
        such = " there" if len(wanted) > 1 else ""
        raise RequestError(
            f"no run of job {job} is on record{such}: give --unit, --mode, --printed and --good"
        )
    if len(ways) > 1:
        choices = "; ".join(f"{mode} on {unit}" for mode, unit in ways)
        raise RequestError(f"job {job} was printed with {choices}: choose by --mode, --unit or --site")
    return ways[0]


def _good(registry: Registry, runs: Sequence[Run], bad: Run, display: str) -> tuple[Run, str]:
    """Return the run that is taken for the good print, and what it is."""
    complaints = complaints_of(registry, str(bad.document["unit"]))
    job = bad.document.get("job")
    earlier = [run for run in runs if run.at < bad.at and run.document.get("job") not in {job, *complaints}]
    alike = [run for run in earlier if display and run.document.get("display") == display]
    if alike:
        return alike[-1], f"the last run before it of this mode on this unit for {display}"
    if earlier:
        return earlier[-1], "the last run before it of this mode on this unit"
    raise RequestError(
        f"before job {job} no run of {bad.document['mode']} on {bad.document['unit']} is on record without a "
        "complaint: name a good print with --good"
    )


def _clock(registry: Registry, run: Run) -> str:
    return f"{registry.time(run.at):%Y-%m-%d %H:%M}"
