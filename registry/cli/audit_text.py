"""How the answer of `litstock audit` reads."""

import itertools
from collections.abc import Iterator, Sequence

from registry.audit.answer import AuditAnswer
from registry.audit.readings import apart, de00
from registry.cli.audit_clues import differences
from registry.cli.blocks import paragraph
from registry.cli.page import aligned
from registry.cli.wording import clock
from registry.question.registry import Registry

__all__ = ["audit_text"]


def audit_text(registry: Registry, answer: AuditAnswer, units: str) -> Iterator[str]:
    """Yield the answer's lines: in short, the story, what differs, what is not known, what to do next."""
    yield from _heading(answer)
    yield from _list("In short", answer.in_short)
    warnings = [rule.words for rule in answer.guidance if rule.level == "warn"]
    yield from _list("Guidance warns of these settings", warnings)
    yield from _readings(answer)
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
    yield from differences(registry, answer, units)
    yield from _list("Not known", answer.unknown)
    closed = answer.request.state == "closed"
    yield from _list("To look at it again" if closed else "What to do next", answer.advice)
    yield ""
    yield f"answered from commit {answer.commit[:12]}; landed times are by the committer's clock"


def _list(heading: str, lines: Sequence[str]) -> Iterator[str]:
    if lines:
        yield ""
        yield heading
        for line in lines:
            yield from paragraph(f"- {line}", "  ", "    ")


def _heading(answer: AuditAnswer) -> Iterator[str]:
    request = answer.request
    what = f"{request.complaint}: {_job(answer)}" if request.complaint else f"Audit of {_job(answer)}"
    defect = f", {request.defect.replace('-', ' ')}" if request.defect else ""
    yield from paragraph(f"{what}{defect}", "", "  ")
    if request.what:
        yield from paragraph(f"“{request.what}”", "  ")
    display = f", seen in {request.display}" if request.display else ""
    display += f", {request.display_from}" if request.display_from else ""
    yield from paragraph(f"printed on {request.unit} with {request.mode}{display}", "  ")
    if request.lots:
        yield from paragraph(f"with the lots {', '.join(request.lots)}", "  ")
    if request.state:
        yield from paragraph(f"the complaint is {request.state}", "  ")
    if request.answer:
        yield from paragraph(f"answered: “{request.answer}”", "  ")
    for line in request.assumed:
        yield from paragraph(f"ASSUMED: {line}", "  ", "    ")
    for line in answer.remarks:
        yield from paragraph(f"BEWARE: {line}", "  ", "    ")
    for line in answer.withdrawn:
        yield from paragraph(f"WITHDRAWN: {line}", "  ", "    ")


def _job(answer: AuditAnswer) -> str:
    """Return which job the bad print was: the one that was named, or that its run names."""
    bad = answer.bad
    job = answer.request.job or ("" if bad.nearest else bad.record.get("job", ""))
    if not job:
        return "the bad print"
    return f"job {job}" if bad.run else f"job {job} (no run of it on record)"


def _readings(answer: AuditAnswer) -> Iterator[str]:
    """Yield what was read on the refused print, beside what was expected, by how it was read."""
    for how, read in itertools.groupby(answer.request.readings, key=lambda each: each["how"]):
        yield ""
        yield from paragraph(f"Read on the refused print, L*a*b* ({how})", "", "  ")
        rows = [("patch", "found", "expected", "difference in L*, a*, b*", "ΔE00")]
        for each in read:
            off = apart(each)
            words = "not known" if off is None else ", ".join(f"{value:+.1f}" for value in off)
            found, expected = (_lab(each.get(name)) for name in ("found_lab", "expected_lab"))
            rows.append((each["patch"], found, expected, words, "" if off is None else f"{de00(each):.1f}"))
        yield from aligned(rows, "  ")
    if answer.shift:
        yield from paragraph(answer.shift.criterion, "  ")


def _lab(values: Sequence[float] | None) -> str:
    return ", ".join(f"{value:g}" for value in values) if values else "not on record"
