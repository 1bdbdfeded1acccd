"""How the answer of `litstock audit` reads."""

import itertools
from collections.abc import Iterator, Sequence

from registry.audit.answer import AuditAnswer, Clue
from registry.audit.request import AuditRequest
from registry.audit.usual import COLOUR_DEFECTS
from registry.cli.page import aligned, wrapped
from registry.cli.wording import after_words, before_words, change_words, clock, kind_words, people
from registry.question.registry import Registry

__all__ = ["audit_text"]

_INDENT = " " * 5
_ORDER = (
    "What differs, in order of likely effect. The order is common practice, without a source; nothing here "
    "is proved to be the cause."
)
_ORDER_WITHOUT_DEFECT = (
    "What differs, by its effect on colour and its nearness to the bad print; --defect puts first what "
    "usually explains one. Nothing here is proved to be the cause."
)


def audit_text(registry: Registry, answer: AuditAnswer, units: str) -> Iterator[str]:
    """Yield the answer's lines: the story, what differs, what is not known, what to do next."""
    yield from _heading(answer.request)
    for line in answer.withdrawn:
        yield wrapped(f"WITHDRAWN: {line}", "  ", "    ")
    yield ""
    yield "From the good print to the bad one"
    rows = [
        (
            clock(registry, each.at)[: 10 if each.day_only else None],
            each.what + (" [written down after the complaint]" if each.late else ""),
        )
        for each in answer.timeline
    ]
    yield from aligned(rows, "  ")
    yield ""
    yield from _differences(registry, answer, units)
    for heading, lines in (("Not known", answer.unknown), ("What to do next", answer.advice)):
        if lines:
            yield ""
            yield heading
            for line in lines:
                yield wrapped(f"- {line}", "  ", "    ")
    yield ""
    yield f"answered from commit {answer.commit[:12]}; landed times are by the committer's clock"


def _heading(request: AuditRequest) -> Iterator[str]:
    job = f"job {request.job}" if request.job else "the bad print"
    defect = f", {_defect(request)}" if request.defect else ""
    what = f"{request.complaint}: {job}" if request.complaint else f"Audit of {job}"
    yield wrapped(f"{what}{defect}", then="  ")
    if request.what:
        yield wrapped(f"“{request.what}”", "  ")
    display = f", seen in {request.display}" if request.display else ""
    yield wrapped(f"printed on {request.unit} with {request.mode}{display}", "  ")
    if request.state:
        yield wrapped(f"the complaint is {request.state}", "  ")
    if request.answer:
        yield wrapped(f"answered: “{request.answer}”", "  ")
    yield from _readings(request)


def _readings(request: AuditRequest) -> Iterator[str]:
    """Yield what was read on the refused print, beside what was expected, by how it was read."""
    for how, read in itertools.groupby(request.readings, key=lambda each: each["how"]):
        yield ""
        yield wrapped(f"Read on the refused print, L*a*b* ({how})", then="  ")
        rows = [("patch", "found", "expected", "difference in L*, a*, b*")]
        for each in read:
            found, expected = each["found_lab"], each.get("expected_lab")
            apart = [
                f"{one - other:+.1f}" for one, other in zip(found, expected or (), strict=bool(expected))
            ]
            rows.append((each["patch"], _lab(found), _lab(expected), ", ".join(apart) or "not known"))
        yield from aligned(rows, "  ")


def _lab(values: Sequence[float] | None) -> str:
    return ", ".join(f"{value:g}" for value in values) if values else "not on record"


def _defect(request: AuditRequest) -> str:
    return request.defect.replace("-", " ")


def _differences(registry: Registry, answer: AuditAnswer, units: str) -> Iterator[str]:
    if not answer.clues:
        if answer.from_unknown_time:
            yield wrapped("Nothing can be compared: nothing is known of one of the times, as told below.")
        else:
            yield "Nothing is known to have changed; what is not known stands below."
        return
    yield wrapped(_ORDER if answer.request.defect else _ORDER_WITHOUT_DEFECT)
    numbered = enumerate(answer.clues, 1)
    for likely, of_part in itertools.groupby(numbered, key=lambda each: each[1].likely):
        yield ""
        if answer.request.defect:
            yield f"Likely with this defect ({_defect(answer.request)})" if likely else "Also changed"
        for entry, together in itertools.groupby(of_part, key=lambda each: _entry(registry, each[1])):
            for place, (number, clue) in enumerate(together):
                yield wrapped(f"{number:>3}. {_headline(clue, units, answer.request.defect)}", "", _INDENT)
                if place:
                    yield f"{_INDENT}source as above"
                else:
                    yield from entry
    if answer.computed:
        yield ""
        yield "Computed from the settings above"
        for change in answer.computed:
            words = f"{change.label}: {before_words(change, units)} → {after_words(change, units)}"
            yield wrapped(f"{words} ({change.how})", "  ", "    ")


def _entry(registry: Registry, clue: Clue) -> tuple[str, ...]:
    """Return where a clue stands, when it took effect and who wrote it; told under the first that has it."""
    lines = [f"{_where(clue)}; {_when(registry, clue)}", _who(registry, clue)]
    if clue.late:
        lines.append(f"WRITTEN LATE: {clue.late}")
    if clue.cleared_by:
        jobs = ", ".join(clue.cleared_by)
        has = "has" if len(clue.cleared_by) == 1 else "have"
        lines.append(f"less likely: job {jobs} ran with this since and {has} no complaint on record")
    return tuple(wrapped(line, _INDENT) for line in lines)


def _headline(clue: Clue, units: str, defect: str) -> str:
    effect = "; no effect on colour" if clue.effect == "none" else f"; {clue.effect} effect on colour"
    if clue.likely and defect not in COLOUR_DEFECTS:
        effect = ""  # it stands where it does by what acts on this defect, not by colour
    if clue.change is None:
        return f"{clue.label}: {clue.what.removesuffix('.')}{_sides(clue)}{effect}"
    words = f"{clue.label}: {before_words(clue.change, units)} → {after_words(clue.change, units)}"
    by_how_much = change_words(clue.change, units)
    return f"{words} ({by_how_much}){effect}" if by_how_much else f"{words}{effect}"


def _sides(clue: Clue) -> str:
    """Return what an event says of before and after, as far as it does."""
    if clue.before and clue.after:
        return f" ({clue.before} → {clue.after})"
    said = f"before: {clue.before}" if clue.before else f"now: {clue.after}" if clue.after else ""
    return f" ({said})" if said else ""


def _where(clue: Clue) -> str:
    kind = {"mode": "print mode", "job": "run", "profile": "profile"}.get(clue.place, kind_words(clue.place))
    taken = f", {clue.what}" if clue.change and clue.what else ""
    return f"{kind} {clue.record}{taken}"


def _when(registry: Registry, clue: Clue) -> str:
    at = clock(registry, clue.at)[: 10 if clue.day_only else None]
    return f"{clue.at_is} {at}" + (", the hour is not known" if clue.day_only else "")


def _who(registry: Registry, clue: Clue) -> str:
    origin = clue.origin
    landed = clock(registry, origin.landed)
    parts = [
        origin.label,
        f"recorded {origin.recorded} at {origin.site}" if origin.recorded else "",
        *(
            (f"landed by {landed}, when is not known in this clone",)
            if origin.cut
            else (
                "" if clue.at_is == "landed" else f"landed {landed}",
                f"written by {people(origin.writers)}",
            )
        ),
    ]
    words = ", ".join(filter(None, parts))
    return f"{words}: {origin.reason}" if origin.reason else words
