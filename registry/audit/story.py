"""What the audit's findings add up to: the story in order, what clears what, what to do next."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from registry.audit.answer import Clue, OtherRun, Passed, Print
from registry.audit.prints import Run, Scene
from registry.audit.usual import COLOUR_DEFECTS, effect_rank, usual_rank
from registry.model.shape import shape_of

__all__ = ["advice", "cleared", "in_order", "timeline"]

_DAY_S = 24 * 60 * 60


def in_order(clues: Sequence[Clue], bad: Print, defect: str) -> list[Clue]:
    """Return the clues in order of likely effect.

    First what usually explains the defect; of a defect that is not of colour by what acts on it most, else by
    effect on colour; then the nearest to the bad print. What is alike in all stays in the model's order.
    """

    def rank(clue: Clue) -> tuple[bool, int, int, float]:
        what = clue.change.setting if clue.change else clue.event
        step = usual_rank(defect, clue.place, what) if clue.likely else 0
        by_colour = 0 if clue.likely and defect not in COLOUR_DEFECTS else effect_rank(clue.effect)
        return not clue.likely, step, by_colour, abs(bad.at - clue.at)

    return sorted(clues, key=rank)


def cleared(clue: Clue, others: Sequence[OtherRun], runs: Sequence[Run], display: str) -> Clue:
    """Return the clue with the jobs that ran with it since, and of which no complaint is on record."""
    documents = {run.rid: run.document for run in runs}
    jobs = [
        other.job
        for other in others
        if not other.complaint and _ran_with(clue, other, documents[other.record], display)
    ]
    return replace(clue, cleared_by=tuple(jobs))


def _ran_with(clue: Clue, other: OtherRun, run: dict[str, Any], display: str) -> bool:
    """Whether a run had what the clue says of the bad print."""
    since = clue.at + (_DAY_S if clue.day_only else 0)
    if clue.place == "mode":
        return other.settings in {"of the bad print", "of both"}
    if clue.place == "job":
        value = shape_of("run").flatten(run).get(clue.change.path) if clue.change else None
        return value is not None and clue.change is not None and value.value == clue.change.after
    if clue.place == "display" or clue.display:
        return run.get("display") == display and other.at > since
    if clue.lot:
        return clue.lot in {run.get("roll_lot"), run.get("ink_lot")}
    return other.at > since


def timeline(of: Scene, clues: Sequence[Clue], others: Sequence[OtherRun]) -> list[Passed]:
    """Return what happened between the two prints, in order."""
    good, bad, request = of.good, of.bad, of.request
    passed = [
        _printed(of, good, "good"),
        _printed(of, bad, "bad"),
        *(
            Passed(clue.at, f"{clue.label}: {clue.what}", clue.day_only, bool(clue.late))
            for clue in clues
            if clue.event
        ),
        *_landings(clues),
        *(Passed(other.at, _other_words(other)) for other in others),
    ]
    if request.received_on:
        at = of.registry.end_of(request.received_on)
        passed.append(Passed(at, "the complaint came in", day_only=True))
    return sorted(passed, key=lambda each: (each.at, each.what))


def _printed(of: Scene, which: Print, word: str) -> Passed:
    day = of.registry.time(which.at).date()
    return Passed(
        which.at, f"{word} print: {_print_words(of, which)}", day_only=which.at == of.registry.end_of(day)
    )


def _print_words(of: Scene, which: Print) -> str:
    job = f"job {which.record['job']}" if "job" in which.record else "no run on record"
    job = f"nearest run on record, {job}" if which.nearest else job
    if which.mode is None or which.in_force is None:
        return f"{job}, its settings are not known"
    day = f"{of.registry.time(which.in_force.since):%Y-%m-%d}"
    proof = "proved by its run" if which.run else f"as the run of {day} before it, {which.in_force.record}"
    how = {"run": proof, "adopted": "as adopted", "landed": "assumed"}[which.in_force.how]
    return f"{job}, settings of {which.mode.label} ({how})"


def _other_words(other: OtherRun) -> str:
    complaint = f"complaint {other.complaint}" if other.complaint else "no complaint on record"
    whose = "settings as for both prints" if other.settings == "of both" else f"settings {other.settings}"
    return f"job {other.job} ran on r{other.revision} ({whose}); {complaint}"


def _landings(clues: Sequence[Clue]) -> Iterator[Passed]:
    """Yield each revision that brought a difference, once."""
    seen: set[tuple[str, str]] = set()
    for clue in clues:
        name = (clue.record, clue.origin.label)
        if clue.change is not None and clue.place != "job" and name not in seen:
            seen.add(name)
            place = "print mode" if clue.place == "mode" else clue.place
            words = f"{place} {clue.record} {clue.origin.label} landed: {clue.origin.reason}"
            yield Passed(clue.origin.landed, words.removesuffix(": "), late=bool(clue.late))


def advice(of: Scene, others: Sequence[OtherRun]) -> Iterator[str]:
    """Yield what to do next; neutral, for nothing here is proved."""
    good, bad, request = of.good, of.bad, of.request
    modes = [each.mode for each in (bad, good) if each.mode]
    sample = next((mode.document.get("evidence", {}).get("sample") for mode in modes), None)
    where = f"in {request.display}" if request.display else "in its display"
    kept = f"the approved sample kept at {sample}" if sample else "the last good one (no sample is on record)"
    yield f"compare the refused print with {kept}, lit, {where}"
    if not of.withdrawn and good.mode and bad.mode and good.mode.digest != bad.mode.digest:
        yield (
            f"print a short strip on {request.unit} with the settings of {good.mode.label} and one with "
            f"those of {bad.mode.label}, from the same roll, and judge them side by side, dried down and lit"
        )
    calm = [other for other in others if not other.complaint]
    if calm:
        last = calm[-1]
        when = f"{of.registry.time(last.at):%Y-%m-%dT%H:%M}"
        yield (
            f"look at job {last.job}: if that print is good too, ask again with --good {when}, "
            "which leaves less to explain"
        )
    if not request.readings and request.complaint:
        yield "read the same patches on the refused print and on the sample, and add them to the complaint"
