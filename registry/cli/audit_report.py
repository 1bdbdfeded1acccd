"""What the report of an audit says, as plain data for its template: everything, for the shops themselves."""

import datetime
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from registry.audit.answer import AuditAnswer, Clue, Print
from registry.audit.readings import apart, de00
from registry.cli.audit_clues import clue_words, when_words, where_words, who_words
from registry.cli.wording import clock
from registry.light.screen import srgb
from registry.question.registry import Registry

__all__ = ["facts", "listed", "patches", "report", "section", "titled"]

_ORDER = (
    "What differs between the two prints is read from the registry's git history: settings by what was in "
    "force at each print, events and lots by when they happened. Their order is common practice, without a "
    "source; nothing in it is proved to be the cause."
)
_DIFFERENCE = (
    "ΔE00 is the CIEDE2000 colour difference (ISO/CIE 11664-6) between what was read on the refused print "
    "and what was expected. Colour fields beside it are drawn from L*a*b* for D50 and only illustrate."
)


def report(registry: Registry, answer: AuditAnswer, date: datetime.date, units: str) -> dict[str, Any]:
    """Return the internal report: question, answer, evidence, readings, changes, story, what is unknown."""
    request = answer.request
    sections = [
        facts("question", _question(registry, answer)),
        listed("in short", answer.in_short),
        listed("guidance", [each.words for each in answer.guidance]),
        facts("evidence", [*_evidence("good print", answer.good), *_evidence("bad print", answer.bad)]),
        patches("read on the refused print", request.readings),
        _changes(registry, answer, units),
        _timeline(registry, answer),
        listed("not known", answer.unknown),
        listed("what to do next", answer.advice),
        listed("method", (_ORDER, _DIFFERENCE)),
        listed("verify", _verify(answer)),
    ]
    title = f"Complaint {request.complaint}" if request.complaint else "Audit of a print"
    note = "Internal: it names people and other jobs, and is not for customers."
    return titled(title, note, date, sections, f"answered from commit {answer.commit[:12]}", dense=0.7)


def titled(
    title: str,
    note: str,
    date: datetime.date,
    sections: Sequence[dict[str, Any]],
    foot: str,
    *,
    dense: float,
) -> dict[str, Any]:
    """Return the whole of a report, in type from roomy (0) to dense (1); empty parts are left out."""
    return {
        "title": title,
        "note": note,
        "record": {"date": date.isoformat()},
        "foot": f"{date.isoformat()}, {foot}",
        "dense": dense,
        "sections": [each for each in sections if each["rows"]],
        "paper": "a4",
    }


def section(kind: str, heading: str, rows: Sequence[Any], head: Sequence[str] = ()) -> dict[str, Any]:
    """Return one part: `facts` (label, text), `lines`, `table` (cells) or `patches`."""
    return {"kind": kind, "heading": heading, "rows": list(rows), "head": list(head)}


def facts(heading: str, pairs: Iterable[tuple[str, str]]) -> dict[str, Any]:
    """Return labels and what stands for them; what is empty is left out."""
    return section("facts", heading, [{"label": label, "text": text} for label, text in pairs if text])


def listed(heading: str, lines: Iterable[str]) -> dict[str, Any]:
    """Return lines, one below another."""
    return section("lines", heading, list(lines))


def patches(heading: str, readings: Sequence[Any]) -> dict[str, Any]:
    """Return what was read beside what was expected: L*a*b*, the colours, and ΔE00."""
    rows = []
    for read in readings:
        off = apart(read)
        rows.append(
            {
                "name": read["patch"],
                "found": _lab(read["found_lab"]),
                "expected": _lab(read.get("expected_lab")),
                "off": "" if off is None else ", ".join(f"{value:+.1f}".replace("-", "−") for value in off),
                "de00": "" if off is None else f"{de00(read):.1f}",
                "colours": [
                    "" if each is None else _hex(each)
                    for each in (read.get("expected_lab"), read["found_lab"])
                ],
            }
        )
    return section("patches", heading, rows, sorted({str(read["how"]) for read in readings}))


def _question(registry: Registry, answer: AuditAnswer) -> Iterator[tuple[str, str]]:
    request = answer.request
    yield "said", f"“{request.what}”" if request.what else ""
    yield "defect", request.defect.replace("-", " ")
    yield "job", request.job or str(answer.bad.record.get("job", ""))
    yield "printed", f"{clock(registry, answer.bad.at)} on {request.unit}"
    yield "last good print", clock(registry, answer.good.at)
    yield "print mode", request.mode
    yield "display", ", ".join(filter(None, (request.display, request.display_from)))
    yield "complaint", ", ".join(filter(None, (request.received, request.state)))
    yield "answered", request.answer
    for line in (*request.assumed, *answer.remarks, *answer.withdrawn):
        yield "beware", line


def _evidence(word: str, which: Print) -> Iterator[tuple[str, str]]:
    """Yield how the settings of a print are known, and the digest that names them."""
    evidence, mode = which.in_force, which.mode
    if evidence is None or mode is None:
        yield word, "what was in force cannot be told"
        return
    yield word, f"{mode.label}, {evidence.words}{f'; {evidence.mismatch}' if evidence.mismatch else ''}"
    yield "settings", f"SHA-256 {mode.digest}"
    yield "run", which.run
    yield "lots", ", ".join(which.lots)


def _changes(registry: Registry, answer: AuditAnswer, units: str) -> dict[str, Any]:
    rows: list[list[str]] = []
    told: dict[str, int] = {}
    for number, clue in enumerate(answer.clues, 1):
        where = (when_words(registry, clue), where_words(clue), who_words(registry, clue))
        said = "; ".join(where)
        earlier = told.setdefault(said, number)
        said = said if earlier == number else f"as at {earlier}"
        rows.append([str(number), clue_words(clue, units), _standing(clue), said])
    head = ("", "what differs", "for this defect", "when, where it stands, who wrote it")
    return section("table", "what differs, in order of likely effect", rows, head)


def _standing(clue: Clue) -> str:
    """Return how likely such a change is with the defect, and what speaks for or against it."""
    words = ["likely" if clue.likely else "not usual"]
    words += [{True: "the readings point to it", False: "the readings point elsewhere", None: ""}[clue.fits]]
    words += [{"towards": "works towards it", "against": "works against it", "": ""}[clue.works]]
    words += [f"explains {100 * clue.explains:.0f} % of what was read" if clue.explains else "", clue.why]
    words += ["written late" if clue.late else ""]
    words += [f"ran unrefused in {', '.join(clue.cleared_by)}" if clue.cleared_by else ""]
    return "; ".join(filter(None, words))


def _timeline(registry: Registry, answer: AuditAnswer) -> dict[str, Any]:
    rows = [
        [
            clock(registry, each.at)[: 10 if each.day_only else None],
            each.what + (" [written down after the complaint]" if each.late else ""),
        ]
        for each in answer.timeline
    ]
    return section("table", "from the good print to the bad one", rows, ("when", "what"))


def _verify(answer: AuditAnswer) -> Iterator[str]:
    asked = answer.request.complaint or answer.request.job
    yield f"Ask again in a clone that holds commit {answer.commit}: litstock audit {asked}".rstrip()
    for which in (answer.good, answer.bad):
        if which.mode and which.mode.digest:
            shown = f"{which.mode.rid}@{which.mode.digest[:12]}"
            yield f"litstock show {shown} shows the settings of {which.mode.label}"


def _lab(values: Sequence[float] | None) -> str:
    return ", ".join(f"{value:g}" for value in values).replace("-", "−") if values else "not on record"


def _hex(lab: Sequence[float]) -> str:
    return "#" + "".join(f"{round(255 * value):02x}" for value in srgb(lab))
