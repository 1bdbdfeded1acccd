"""An audit for programs: JSON under documented keys, and the rows of csv and markdown."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any

from registry.audit.answer import AuditAnswer, Clue, Print, Shift
from registry.audit.lots import LOTS
from registry.audit.readings import apart, de00
from registry.audit.request import AuditRequest
from registry.cli.wording import change_json, change_row, people, version_json
from registry.question.registry import Registry

__all__ = ["COLUMNS", "json_of", "rows_of"]

COLUMNS = {
    "number": "number",
    "likely": "likely with this defect",
    "place": "place",
    "record": "record",
    "label": "what changed",
    "before": "before",
    "after": "after",
    "unit": "unit",
    "change": "change",
    "change_pct": "change, %",
    "what": "what happened",
    "lot": "lot",
    "effect": "effect on colour",
    "at": "at",
    "at_is": "the time is when it was",
    "day_only": "only the day is known",
    "revision": "revision",
    "recorded": "recorded on",
    "site": "recorded at",
    "landed": "landed",
    "cut_off": "landed by then, when is not known",
    "writers": "written by",
    "reason": "reason",
    "late": "written late",
    "cleared_by": "jobs that ran with it since, no complaint",
    "works": "works towards or against it",
    "fits_readings": "acts on what the readings say is off",
}
"""The columns of csv and markdown; rows with one number tell of one change."""

_VALUES = ("before", "after", "unit", "change", "change_pct")


def json_of(registry: Registry, answer: AuditAnswer, units: str) -> dict[str, Any]:
    """Return an answer under its documented keys."""
    return {
        "commit": answer.commit,
        "changed": answer.changed,
        "from_unknown_time": answer.from_unknown_time,
        "request": _request(registry, answer.request),
        "withdrawn": list(answer.withdrawn),
        "remarks": list(answer.remarks),
        "guidance": [asdict(each) for each in answer.guidance],
        "readings_say": answer.shift and _shift(answer.shift),
        "explained": answer.explained and asdict(answer.explained),
        "likely_cause": answer.likely_cause or None,
        "in_doubt": answer.in_doubt,
        "in_short": list(answer.in_short),
        "good": _print(registry, answer.good),
        "bad": _print(registry, answer.bad),
        "timeline": [
            {
                "at": _time(registry, each.at),
                "day_only": each.day_only,
                "late": each.late,
                "what": each.what,
            }
            for each in answer.timeline
        ],
        "differences": [
            {**_clue(registry, clue, units), "also": [_clue(registry, each, units) for each in clue.also]}
            for clue in answer.clues
        ],
        "computed": [change_json(change, units) for change in answer.computed],
        "others": [
            {
                "record": each.record,
                "job": each.job,
                "at": _time(registry, each.at),
                "revision": each.revision,
                "settings": each.settings,
                "complaint": each.complaint or None,
            }
            for each in answer.others
        ],
        "unknown": list(answer.unknown),
        "next": list(answer.advice),
    }


def rows_of(registry: Registry, answer: AuditAnswer, units: str) -> Iterator[dict[str, Any]]:
    """Yield a row for each change and event, in the answer's order."""
    for number, joined in enumerate(answer.clues, 1):
        for clue in joined.every:
            told = _clue(registry, clue, units)
            row = {**told, **told["origin"], "number": number, "change": None}
            row["writers"] = people(clue.origin.writers)  # each has a comma of its own
            if clue.change:
                values = change_row(clue.change, units)
                row |= {name: values[name] for name in _VALUES}
            yield row


def _request(registry: Registry, request: AuditRequest) -> dict[str, Any]:
    return {
        "site": request.site,
        "unit": request.unit,
        "mode": request.mode,
        "display": request.display or None,
        "display_from": request.display_from or None,
        "job": request.job or None,
        "lots": list(request.lots),
        "defect": request.defect or None,
        "complaint": request.complaint or None,
        "received": request.received or None,
        "what": request.what or None,
        "state": request.state or None,
        "answer": request.answer or None,
        "readings": [_reading(each) for each in request.readings],
        "good": _time(registry, request.good),
        "printed": _time(registry, request.printed),
        "assumed": list(request.assumed),
    }


def _shift(shift: Shift) -> dict[str, Any]:
    return {**asdict(shift), "patches": list(shift.patches), "criterion": shift.criterion}


def _reading(read: Mapping[str, Any]) -> dict[str, Any]:
    names = ("patch", "found_lab", "expected_lab")
    difference = apart(read)
    return {
        **{name: read.get(name) for name in names},
        "difference_lab": None if difference is None else list(difference),
        "difference_de00": de00(read),
        "how": read.get("how"),
    }


def _time(registry: Registry, at: float) -> str:
    return registry.time(at).isoformat()


def _print(registry: Registry, which: Print) -> dict[str, Any]:
    evidence = which.in_force
    return {
        "at": _time(registry, which.at),
        "run": which.run or None,
        "nearest": which.nearest,
        **{name: which.record.get(name) for name in ("job", *LOTS, "colour", "note")},
        "in_force": evidence
        and {
            "how": evidence.how,
            "since": _time(registry, evidence.since),
            "record": evidence.record or None,
            "mismatch": evidence.mismatch or None,
        },
        "mode": which.mode and version_json(registry, which.mode),
    }


def _clue(registry: Registry, clue: Clue, units: str) -> dict[str, Any]:
    origin = clue.origin
    return {
        "likely": clue.likely,
        "works": clue.works or None,
        "why_not": clue.why or None,
        "explains": clue.explains,
        "fits_readings": clue.fits,
        "place": clue.place,
        "record": clue.record,
        "label": clue.label,
        "change": clue.change and change_json(clue.change, units),
        "event": clue.event or None,
        "what": clue.what or None,
        "before": clue.before or None,
        "after": clue.after or None,
        "lot": clue.lot or None,
        "display": clue.display or None,
        "at": _time(registry, clue.at),
        "at_is": clue.at_is,
        "day_only": clue.day_only,
        "effect": clue.effect,
        "origin": {
            "revision": origin.label or None,
            "recorded": origin.recorded or None,
            "site": origin.site or None,
            "landed": _time(registry, origin.landed),
            "written": None if origin.written is None else _time(registry, origin.written),
            "cut_off": origin.cut,
            "early": bool(origin.early),
            "writers": list(origin.writers),
            "reason": origin.reason or None,
        },
        "late": clue.late or None,
        "cleared_by": list(clue.cleared_by),
    }
