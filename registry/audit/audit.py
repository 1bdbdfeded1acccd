"""`audit`: what changed between the last good print and the bad one, as far as the registry knows."""

from collections.abc import Iterator, Sequence

from registry.audit.answer import AuditAnswer, Clue
from registry.audit.differences import differences
from registry.audit.events import event_clues
from registry.audit.guidance import guidance
from registry.audit.prints import Scene, other_runs, scene, what_is_unknown
from registry.audit.readings import shift, with_readings
from registry.audit.request import AuditRequest, printer_mismatch
from registry.audit.story import cleared, in_order, timeline
from registry.audit.telling import Findings, advice, in_short
from registry.audit.told_once import told_once
from registry.audit.usual import COLOUR_DEFECTS
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
    told = [with_readings(clue, moved) for clue in told_once(of, narrowed)]
    clues = in_order(told, of.bad, request.defect, moved)
    unknown = (*_unknown(of), *differing.unknown, *_uncertain(of, clues))
    findings = Findings(clues, unknown, guidance(of), moved)
    return AuditAnswer(
        request=request,
        withdrawn=of.withdrawn,
        remarks=tuple(_remarks(of)),
        guidance=tuple(findings.guidance),
        shift=moved,
        in_short=tuple(in_short(of, findings)),
        good=of.good,
        bad=of.bad,
        timeline=tuple(timeline(of, clues, others)),
        clues=tuple(clues),
        computed=differing.computed,
        others=tuple(others),
        unknown=unknown,
        advice=tuple(advice(of, others, findings)),
        commit=registry.commit,
    )


def _remarks(of: Scene) -> Iterator[str]:
    """Yield that no such print can have been made; options that ask for one are refused at once."""
    if foreign := printer_mismatch(of.registry, of.request.unit, of.request.mode):
        yield f"{foreign}: correct the complaint first; until then take nothing below for granted"


def _unknown(of: Scene) -> Iterator[str]:
    registry, request = of.registry, of.request
    since = registry.known_since
    if since is not None and of.good.at < since:
        day = f"{registry.time(since):%Y-%m-%d}"
        yield f"what changed before {day}: this clone is cut off there; git fetch --unshallow brings the rest"
    else:
        for which, word in ((of.good, "good"), (of.bad, "bad")):
            if which.landing is None:
                yield f"what the records said at the {word} print: nothing had landed by then"
    yield from what_is_unknown(of, of.good, "good")
    yield from what_is_unknown(of, of.bad, "bad")
    if request.complaint and not request.readings and request.defect in COLOUR_DEFECTS:
        yield "how far the refused print is off: no instrument reading of it is on record"
    if not request.display:
        yield "what happened at the display: none was named"
    unreadable = [fault.path for fault in registry.model.faults() if f"/sites/{request.site}/" in fault.path]
    if unreadable:
        yield f"what stands in files that cannot be read: {', '.join(unreadable)}"


def _uncertain(of: Scene, clues: Sequence[Clue]) -> Iterator[str]:
    """Yield the events of which only the day is known, where that day is one of a print."""
    time = of.registry.time
    days = {time(of.good.at).date(): "good", time(of.bad.at).date(): "bad"}
    for clue in (each for joined in clues for each in joined.every):
        day = time(clue.at).date()
        if clue.day_only and day in days:
            yield (
                f"whether {clue.label} ({clue.record}) came before or after the {days[day]} print: "
                f"only its day is known, {day:%Y-%m-%d}"
            )
        if clue.origin.edited:
            yield f"what {clue.record} said at first: it is written once, but its file was changed afterwards"
