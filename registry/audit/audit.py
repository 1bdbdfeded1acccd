"""`audit`: what changed between the last good print and the bad one, as far as the registry knows."""

from collections.abc import Iterator, Sequence

from registry.audit.answer import AuditAnswer, Clue, Shift, Unknown
from registry.audit.days import is_day
from registry.audit.differences import differences
from registry.audit.events import event_clues
from registry.audit.explained import explained, none_read, with_shares
from registry.audit.guidance import guidance
from registry.audit.prints import Scene, is_backlit, other_runs, scene, what_is_unknown
from registry.audit.readings import shift, with_readings
from registry.audit.request import AuditRequest, printer_mismatch
from registry.audit.story import cleared, in_order, timeline
from registry.audit.telling import Findings, advice, in_short
from registry.audit.told_once import told_once
from registry.audit.usual import COLOUR_DEFECTS
from registry.audit.verdict import verdict
from registry.question.registry import Registry

__all__ = ["audit"]


def audit(registry: Registry, request: AuditRequest) -> AuditAnswer:
    """Return every difference between the two prints and every event between them, likeliest first."""
    of = scene(registry, request)
    request = of.request  # with the display that the runs name
    others = other_runs(of)
    differing = differences(of)
    found = [*differing.clues, *event_clues(of)]
    narrowed = [cleared(clue, others, of.runs, request.display) for clue in found]
    moved = shift(request.defect, request.readings)
    joined = told_once(of, narrowed)
    told = [with_readings(clue, moved) for clue in joined if not clue.noted]
    shared = with_shares(told, request.defect, request.readings)
    clues = in_order(shared, of.bad, request.defect, moved)
    accounted = explained(clues, request.defect, request.readings)
    found_out = (
        *_unknown(of),
        *differing.unknown,
        *_uncertain(of, clues),
        *_lamps(of, clues, moved),
        *_noted(joined),
    )
    unknown = sorted(found_out, key=lambda each: each.weight)
    findings = Findings(clues, unknown, guidance(of), moved, accounted, verdict(of, clues))
    return AuditAnswer(
        request=request,
        withdrawn=of.withdrawn,
        remarks=tuple(_remarks(of)),
        guidance=tuple(findings.guidance),
        shift=moved,
        explained=accounted,
        likely_cause=findings.likely_cause,
        in_short=tuple(in_short(of, findings)),
        good=of.good,
        bad=of.bad,
        timeline=tuple(timeline(of, clues, others)),
        clues=tuple(clues),
        computed=differing.computed,
        others=tuple(others),
        unknown=tuple(each.words for each in unknown),
        in_doubt=any(each.material for each in unknown),
        advice=tuple(advice(of, others, findings)),
        commit=registry.commit,
    )


def _remarks(of: Scene) -> Iterator[str]:
    """Yield that no such print can have been made; options that ask for one are refused at once."""
    if foreign := printer_mismatch(of.registry, of.request.unit, of.request.mode):
        yield f"{foreign}: correct the complaint first; until then take nothing below for granted"


def _unknown(of: Scene) -> Iterator[Unknown]:
    registry, request = of.registry, of.request
    since = registry.known_since
    if since is not None and of.good.at < since:
        day = f"{registry.time(since):%Y-%m-%d}"
        words = (
            f"what changed before {day}: this clone is cut off there; git fetch --unshallow brings the rest"
        )
        yield Unknown(words, 0)
    else:
        for which, word in ((of.good, "good"), (of.bad, "bad")):
            if which.landing is None:
                yield Unknown(f"what the records said at the {word} print: nothing had landed by then", 0)
    yield from what_is_unknown(of, of.good, "good")
    yield from what_is_unknown(of, of.bad, "bad")
    if request.complaint and not request.readings and request.defect in COLOUR_DEFECTS:
        yield Unknown("how far the refused print is off: no instrument reading of it is on record", 4)
    if not request.display:
        weight = 3 if request.defect in COLOUR_DEFECTS and is_backlit(of) else 4
        yield Unknown("what happened at the display: none was named", weight)
    unreadable = [fault.path for fault in registry.model.faults() if f"/sites/{request.site}/" in fault.path]
    if unreadable:
        yield Unknown(f"what stands in files that cannot be read: {', '.join(unreadable)}", 0)


def _noted(clues: Sequence[Clue]) -> Iterator[Unknown]:
    """Yield that values were noted for the first time, by record: that does not say that they changed."""
    by_record: dict[tuple[str, str], list[str]] = {}
    for clue in clues:
        if clue.noted:
            by_record.setdefault((clue.place, clue.record), []).append(clue.label)
    for (place, record), labels in by_record.items():
        words = (
            f"what {', '.join(labels)} of the {place} {record} had been at the good print: first noted since"
        )
        yield Unknown(words, 4)


def _lamps(of: Scene, clues: Sequence[Clue], moved: Shift | None) -> Iterator[Unknown]:
    """Yield that nobody knows whether the lamps stayed as they were, where that may be what was seen."""
    request = of.request
    if request.defect not in COLOUR_DEFECTS or not request.display or not is_backlit(of):
        return
    if (moved and moved.moved == "inks") or none_read(request.defect, request.readings):
        return
    if not any(clue.display or clue.place == "display" for clue in clues):
        yield Unknown(
            f"whether the lamps of {request.display} were the same at both prints: no reading or event since "
            "the good print says so",
            3,
        )


def _uncertain(of: Scene, clues: Sequence[Clue]) -> Iterator[Unknown]:
    """Yield the events of which only the day is known, where that day is one of a print."""
    time = of.registry.time
    days = {time(of.good.at).date(): (of.good, "good"), time(of.bad.at).date(): (of.bad, "bad")}
    for clue in (each for joined in clues for each in joined.every):
        day = time(clue.at).date()
        which, word = days.get(day, (None, ""))
        if which and (clue.day_only or is_day(of.registry, which)):
            known = "its day" if clue.day_only else "the day of the print"
            yield Unknown(
                f"whether {clue.label} ({clue.record}) came before or after the {word} print: "
                f"only {known} is known, {day:%Y-%m-%d}",
                2,
            )
        if clue.origin.edited:
            words = (
                f"what {clue.record} said at first: it is written once, but its file was changed afterwards"
            )
            yield Unknown(words, 4)
