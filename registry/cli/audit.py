"""`litstock audit`: what changed between a good print and a bad one."""

import sys
from typing import Any

import click

from registry.audit.answer import AuditAnswer, Clue, Print
from registry.audit.audit import audit
from registry.audit.request import AuditRequest, of_complaint, of_prints
from registry.audit.usual import USUAL
from registry.cli.audit_text import audit_text
from registry.cli.completion import complete_records
from registry.cli.opening import open_registry
from registry.cli.options import format_option, units_option
from registry.cli.output import say, write_json
from registry.cli.wording import change_json, version_json
from registry.errors import RequestError
from registry.question.registry import Registry

__all__ = ["command"]


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
        for line in audit_text(registry, answer, units):
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
