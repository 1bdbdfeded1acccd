"""`litstock audit`: what changed between a good print and a bad one."""

import itertools
import sys
from collections.abc import Iterator
from typing import Any

import click

from registry.audit.answer import AuditAnswer, Clue, Print
from registry.audit.audit import audit
from registry.audit.request import AuditRequest, of_complaint, of_prints
from registry.audit.usual import USUAL
from registry.cli.completion import complete_records
from registry.cli.opening import open_registry
from registry.cli.options import format_option, units_option
from registry.cli.output import say, write_json
from registry.cli.page import aligned, wrapped
from registry.cli.wording import (
    after_words,
    before_words,
    change_json,
    change_words,
    clock,
    kind_words,
    people,
    version_json,
)
from registry.errors import RequestError
from registry.question.registry import Registry

__all__ = ["command"]

_INDENT = " " * 5
_ORDER = (
    "What differs, in order of likely effect. The order is common practice, without a source; nothing here "
    "is proved to be the cause."
)
_ORDER_WITHOUT_DEFECT = (
    "What differs, by its effect on colour and its nearness to the bad print; --defect puts first what "
    "usually explains one. Nothing here is proved to be the cause."
)


@click.command()
@click.argument("complaint", required=False, shell_complete=complete_records("complaint"))
@click.option(
    "--site",
    default="",
    shell_complete=complete_records("site"),
    help="The shop; needed only where --unit does not name it.",
)
@click.option(
    "--unit",
    default="",
    metavar="SITE/UNIT",
    shell_complete=complete_records("unit"),
    help="The machine that printed both.",
)
@click.option(
    "--mode", default="", shell_complete=complete_records("print-mode"), help="The print mode of both."
)
@click.option("--printed", default="", metavar="WHEN", help="When the bad print was made.")
@click.option("--good", default="", metavar="WHEN", help="When the last good print was made.")
@click.option(
    "--display",
    default="",
    metavar="SITE/DISPLAY",
    shell_complete=complete_records("display"),
    help="Where it hangs.",
)
@click.option("--job", default="", help="Job number of the bad print.")
@click.option("--lot", "lots", multiple=True, help="A lot that was used; may be given more than once.")
@click.option(
    "--defect", type=click.Choice(tuple(USUAL)), metavar="DEFECT", help=f"What is wrong: {', '.join(USUAL)}."
)
@units_option
@format_option("text", "json")
@click.pass_context
def command(context: click.Context, /, complaint: str | None, units: str, form: str, **asked: Any) -> None:
    """Find what changed between a good print and a bad one.

    Give a complaint on record, or --unit, --mode, --printed and --good; with a complaint, --good asks with
    another good print. What differs is told in order of likely effect; nothing is claimed to be the cause.

    Exit code: 1 where something changed, 0 where nothing is known to have changed.

    JSON keys: commit, changed, request (site, unit, mode, display, job, lots, defect, complaint, received,
    what, good, printed), good and bad (at, run, job, roll_lot, ink_lot, colour, in_force, mode), timeline
    (at, day_only, late, what), differences (likely, place, record, label, change, event, what, before,
    after, lot, at, at_is, day_only, effect, origin: revision, recorded, site, landed, cut_off, writers,
    reason; late,
    cleared_by), computed, others (record, job, at,
    revision, settings, complaint), unknown, next. `change` and `mode` have the keys of diff.
    """
    registry = open_registry(context)
    answer = audit(registry, _request(registry, complaint, asked))
    if form == "json":
        write_json(_json(registry, answer, units))
    else:
        for line in _text(registry, answer, units):
            say(line)
    sys.exit(1 if answer.changed else 0)


def _request(registry: Registry, complaint: str | None, asked: dict[str, Any]) -> AuditRequest:
    if complaint is not None:
        beside = [f"--{name}" for name, value in asked.items() if value and name != "good"]
        if beside:
            raise RequestError(f"a complaint says all but --good itself: leave out {', '.join(beside)}")
        return of_complaint(registry, complaint, good=asked["good"])
    lacking = [f"--{name}" for name in ("unit", "mode", "printed", "good") if not asked[name]]
    if lacking:
        raise RequestError(f"name a complaint, or give {', '.join(lacking)} too")
    return of_prints(registry, **asked | {"defect": asked["defect"] or ""})


def _json(registry: Registry, answer: AuditAnswer, units: str) -> dict[str, Any]:
    request = answer.request
    return {
        "commit": answer.commit,
        "changed": answer.changed,
        "request": {
            "site": request.site,
            "unit": request.unit,
            "mode": request.mode,
            "display": request.display or None,
            "job": request.job or None,
            "lots": list(request.lots),
            "defect": request.defect or None,
            "complaint": request.complaint or None,
            "received": request.received or None,
            "what": request.what or None,
            "good": _time(registry, request.good),
            "printed": _time(registry, request.printed),
        },
        "good": _print_json(registry, answer.good),
        "bad": _print_json(registry, answer.bad),
        "timeline": [
            {
                "at": _time(registry, each.at),
                "day_only": each.day_only,
                "late": each.late,
                "what": each.what,
            }
            for each in answer.timeline
        ],
        "differences": [_clue_json(registry, clue, units) for clue in answer.clues],
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


def _time(registry: Registry, at: float) -> str:
    return registry.time(at).isoformat()


def _print_json(registry: Registry, which: Print) -> dict[str, Any]:
    evidence = which.in_force
    return {
        "at": _time(registry, which.at),
        "run": which.run or None,
        **{name: which.record.get(name) for name in ("job", "roll_lot", "ink_lot", "colour")},
        "in_force": evidence
        and {
            "how": evidence.how,
            "since": _time(registry, evidence.since),
            "record": evidence.record or None,
            "mismatch": evidence.mismatch or None,
        },
        "mode": which.mode and version_json(registry, which.mode),
    }


def _clue_json(registry: Registry, clue: Clue, units: str) -> dict[str, Any]:
    origin = clue.origin
    return {
        "likely": clue.likely,
        "place": clue.place,
        "record": clue.record,
        "label": clue.label,
        "change": clue.change and change_json(clue.change, units),
        "event": clue.event or None,
        "what": clue.what or None,
        "before": clue.before or None,
        "after": clue.after or None,
        "lot": clue.lot or None,
        "at": _time(registry, clue.at),
        "at_is": clue.at_is,
        "day_only": clue.day_only,
        "effect": clue.effect,
        "origin": {
            "revision": origin.label or None,
            "recorded": origin.recorded or None,
            "site": origin.site or None,
            "landed": _time(registry, origin.landed),
            "cut_off": origin.cut,
            "writers": list(origin.writers),
            "reason": origin.reason or None,
        },
        "late": clue.late or None,
        "cleared_by": list(clue.cleared_by),
    }


def _text(registry: Registry, answer: AuditAnswer, units: str) -> Iterator[str]:
    yield from _heading(answer.request)
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


def _defect(request: AuditRequest) -> str:
    return request.defect.replace("-", " ")


def _differences(registry: Registry, answer: AuditAnswer, units: str) -> Iterator[str]:
    if not answer.clues:
        yield "Nothing is known to have changed; what is not known stands below."
        return
    yield wrapped(_ORDER if answer.request.defect else _ORDER_WITHOUT_DEFECT)
    numbered = enumerate(answer.clues, 1)
    for likely, of_part in itertools.groupby(numbered, key=lambda each: each[1].likely):
        yield ""
        if answer.request.defect:
            yield f"Likely with this defect ({_defect(answer.request)})" if likely else "Also changed"
        for entry, together in itertools.groupby(of_part, key=lambda each: _entry(registry, each[1])):
            for number, clue in together:
                yield wrapped(f"{number:>3}. {_headline(clue, units)}", "", _INDENT)
            yield from entry
    if answer.computed:
        yield ""
        yield "Computed from the settings above"
        for change in answer.computed:
            words = f"{change.label}: {before_words(change, units)} → {after_words(change, units)}"
            yield wrapped(f"{words} ({change.how})", "  ", "    ")


def _entry(registry: Registry, clue: Clue) -> tuple[str, ...]:
    """Return where a clue stands, when it took effect and who wrote it; told once for all that share it."""
    lines = [f"{_where(clue)}; {_when(registry, clue)}", _who(registry, clue)]
    if clue.late:
        lines.append(f"WRITTEN LATE: {clue.late}")
    if clue.cleared_by:
        jobs = ", ".join(clue.cleared_by)
        has = "has" if len(clue.cleared_by) == 1 else "have"
        lines.append(f"less likely: job {jobs} ran with this since and {has} no complaint on record")
    return tuple(wrapped(line, _INDENT) for line in lines)


def _headline(clue: Clue, units: str) -> str:
    effect = "no effect on colour" if clue.effect == "none" else f"{clue.effect} effect on colour"
    if clue.change is None:
        return f"{clue.label}: {clue.what.removesuffix('.')}{_sides(clue)}; {effect}"
    words = f"{clue.label}: {before_words(clue.change, units)} → {after_words(clue.change, units)}"
    by_how_much = change_words(clue.change, units)
    return f"{words} ({by_how_much}); {effect}" if by_how_much else f"{words}; {effect}"


def _sides(clue: Clue) -> str:
    """Return what an event says of before and after, as far as it does."""
    if clue.before and clue.after:
        return f" ({clue.before} → {clue.after})"
    said = f"before: {clue.before}" if clue.before else f"now: {clue.after}" if clue.after else ""
    return f" ({said})" if said else ""


def _where(clue: Clue) -> str:
    kind = {"mode": "print mode", "job": "run", "profile": "profile"}.get(clue.place, kind_words(clue.place))
    return f"{kind} {clue.record}"


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
