"""What the audit's findings add up to: their order, what clears what, and the story between the prints."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from registry.audit.answer import Clue, OtherRun, Passed, Print, Shift
from registry.audit.lots import lots_of
from registry.audit.prints import Run, Scene
from registry.audit.readings import by_white
from registry.audit.usual import COLOUR_DEFECTS, effect_rank, usual_rank
from registry.model.shape import shape_of

__all__ = ["cleared", "how_known", "in_order", "timeline"]

_DAY_S = 24 * 60 * 60


def in_order(clues: Sequence[Clue], bad: Print, defect: str, moved: Shift | None = None) -> list[Clue]:
    """Return the clues in order of likely effect: one key, most weighty part first.

    First what usually explains the defect; after the rest an adoption, for what it changed is told setting by
    setting; and last what works against the defect. Then first what acts on what the readings say is off,
    what explains more of the readings, what no good job has had since, what works towards the defect, what
    acts on it most, what has most effect on colour where the defect is one of colour, and what is nearest to
    the bad print; else in the model's order.
    """
    of_colour = not defect or defect in COLOUR_DEFECTS

    def rank(clue: Clue) -> tuple[bool | int | float, ...]:
        steps = (usual_rank(defect, each.place, _what(each)) for each in clue.every)
        step = min(steps) if clue.likely else 0
        near = min(abs(bad.at - each.at) for each in clue.every)
        by_colour = effect_rank(clue.effect) if of_colour else 0
        return (
            *(clue.works == "against", not clue.likely, clue.event == "adopted"),
            *(clue.fits is False, -_told_share(clue), bool(clue.cleared_by), clue.works != "towards"),
            *(by_white(clue, moved), step, by_colour, near),
        )

    return sorted(clues, key=rank)


def _told_share(clue: Clue) -> int:
    """Return the share of the readings that a clue explains, in quarters: finer is not to be told."""
    return 0 if clue.explains is None else max(-1, round(4 * clue.explains))


def _what(clue: Clue) -> str:
    return clue.change.setting if clue.change else clue.event


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
    if clue.event == "adopted":
        return False  # what it changed is told, and cleared, setting by setting
    if clue.place == "mode":
        return other.settings in {"of the bad print", "of both"}
    if clue.place == "job":
        value = shape_of("run").flatten(run).get(clue.change.path) if clue.change else None
        return value is not None and clue.change is not None and value.value == clue.change.after
    if clue.place == "display" or clue.display:
        return run.get("display") == display and other.at > since
    if clue.lot:
        return clue.lot in lots_of(run).values()
    return other.at > since


def timeline(of: Scene, clues: Sequence[Clue], others: Sequence[OtherRun]) -> list[Passed]:
    """Return what happened between the two prints, in order."""
    good, bad, request = of.good, of.bad, of.request
    every = [each for clue in clues for each in clue.every]
    passed = [
        _printed(of, good, "good"),
        _printed(of, bad, "bad"),
        *(
            Passed(clue.at, f"{clue.label}: {_first_sentence(clue.what)}", clue.day_only, bool(clue.late))
            for clue in every
            if clue.event
        ),
        *_landings(every),
        *(Passed(other.at, _other_words(other)) for other in others),
    ]
    if request.received_on:
        at = of.registry.end_of(request.received_on)
        passed.append(Passed(at, "the complaint came in", day_only=True))
    return sorted(passed, key=lambda each: (each.at, each.what))


def _first_sentence(text: str) -> str:
    """Return how a text begins; the rest of it stands with what differs.

    >>> _first_sentence("New head. Voltage set."), _first_sentence("Lot 3.5: All well")
    ('New head', 'Lot 3.5: All well')
    """
    return re.split(r"[.!?]\s+(?=[A-Z])", text, maxsplit=1)[0].removesuffix(".")


def _printed(of: Scene, which: Print, word: str) -> Passed:
    day = of.registry.time(which.at).date()
    asked = of.request.job if word == "bad" else ""
    return Passed(
        which.at,
        f"{word} print: {_print_words(of, which, asked)}",
        day_only=which.at == of.registry.end_of(day),
    )


def _print_words(of: Scene, which: Print, asked: str) -> str:
    job = f"job {which.record['job']}" if "job" in which.record else "no run on record"
    job = f"job {asked}, {job}" if asked and not which.run else job
    job = f"nearest run on record, {job}" if which.nearest else job
    noted = f"; its run notes: “{which.record['note']}”" if "note" in which.record else ""
    if which.mode is None or which.in_force is None:
        return f"{job}, its settings are not known{noted}"
    return f"{job}, settings of {which.mode.label} ({how_known(of, which)}){noted}"


def how_known(of: Scene, which: Print) -> str:
    """Return how the settings of a print are known."""
    assert which.in_force is not None  # noqa: S101 (only of a print whose settings are known is it asked)
    day = f"{of.registry.time(which.in_force.since):%Y-%m-%d}"
    proof = "proved by its run" if which.run else f"as the run of {day} before it, {which.in_force.record}"
    return {"run": proof, "adopted": "as adopted", "landed": "assumed"}[which.in_force.how]


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
