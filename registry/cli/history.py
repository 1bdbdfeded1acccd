"""`litstock history`: a record's revisions, what changed in each, when, who, why."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from registry.change.blame import blame
from registry.change.history import History, Step, history
from registry.change.timeline import happened_to, timeline
from registry.cli import history_timeline
from registry.cli.completion import complete_fields, complete_records
from registry.cli.diff import COLUMNS, rows_of
from registry.cli.history_blame import COLUMNS as BLAME_COLUMNS
from registry.cli.history_blame import blame_json, blame_rows, blame_text
from registry.cli.history_text import foot, heading, history_text
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option, units_option
from registry.cli.output import say, write_json, write_table
from registry.cli.wording import change_json, clock, draft_json, landed_json, people
from registry.errors import RequestError
from registry.question.cut import is_cut
from registry.question.registry import Registry

__all__ = ["command"]

_COLUMNS = {
    "revision": "revision",
    "landed": "landed",
    "recorded": "recorded",
    "site": "site",
    "writers": "written by",
    "reason": "why",
    **COLUMNS,
}


@click.command()
@click.argument("record", shell_complete=complete_records())
@click.option(
    "--field",
    default="",
    metavar="FIELD",
    shell_complete=complete_fields(),
    help="Only what changed this: heat.cure_c, ink, or a label.",
)
@click.option(
    "--blame",
    "blamed",
    is_flag=True,
    help="Each value that stands there now, with the revision that gave it.",
)
@click.option(
    "--timeline",
    "along",
    is_flag=True,
    help="All that happened to a site, unit, display, mode or lot, in order.",
)
@click.option("--full", is_flag=True, help="With --timeline: all of it, with the records that say so.")
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="With --timeline: draw it: FILE.pdf, FILE.png or FILE.svg.",
)
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(
    context: click.Context,
    /,
    record: str,
    field: str,
    output: Path | None,
    units: str,
    form: str,
    *,
    blamed: bool,
    along: bool,
    full: bool,
) -> None:
    """Show a record's revisions: what changed, when, who, why.

    Three clocks stand side by side: when it was recorded, when it landed on the shared branch, and when a
    unit took it into use (by its own word, or proved by a run).

    With --timeline RECORD may also be a lot's name: whatever has been written of it stands in one order, a
    day without a time at its beginning, times on the registry's clock.

    JSON keys: commit, kind, record, title, field, known_since (before it, this clone knows nothing),
    revisions (revision, number, state: landed, removed or unreadable, merged_away: true where the landing
    that brought it left it out, replaced: true where it was replaced before it landed, written: by its
    commit's clock, fault, standing, reason, recorded, landed (as in diff), in_force:
    unit, how, at, record; changes as in diff), draft (label, where, missing, fault, changes). With --blame:
    commit, kind, record, title, known_since, values (path, label, unit, value, revision, number, landed,
    recorded, site, reason, certain: false where this clone is cut off there). Of a unit or a display also
    happened: as entries of --timeline, which has commit, kind (or lot), record, title, known_since, drawn,
    entries (at, until: later than at where only a day is known; what: recorded, landed, in force, run, event,
    confirmation or complaint; kind, record, revision, mode, where, words, more, landed, late).
    """
    registry = open_registry(context)
    if (full or output) and not along:
        raise RequestError("--full and --output are of --timeline: add it")
    if along:
        if field or blamed:
            raise RequestError("--timeline tells all that happened: leave out --field and --blame")
        history_timeline.tell(registry, timeline(registry, record), output, form, full=full)
        return
    if blamed:
        if field:
            raise RequestError("--blame tells all values: leave out --field")
        _blame(registry, history(registry, record), units, form)
        return
    answer = history(registry, record, field)
    if form == "json":
        write_json(_json(registry, answer, units))
    elif form == "text":
        for line in history_text(registry, answer, happened_to(registry, answer.subject), units):
            say(line)
    else:
        write_table(list(_rows(registry, answer, units)), _COLUMNS, form)


def _blame(registry: Registry, answer: History, units: str, form: str) -> None:
    values = blame(registry, answer)
    if form == "json":
        write_json(_of(registry, answer) | {"values": blame_json(registry, values)})
    elif form == "text":
        for line in (
            *heading(registry, answer),
            "",
            *blame_text(registry, values, units),
            "",
            foot(answer),
        ):
            say(line)
    else:
        write_table(list(blame_rows(registry, values, units)), BLAME_COLUMNS, form)


def _state(step: Step) -> str:
    return "removed" if step.removed else "unreadable" if step.revision.fault else "landed"


def _json(registry: Registry, answer: History, units: str) -> dict[str, Any]:
    return (
        _of(registry, answer)
        | {
            "field": answer.field or None,
            "revisions": [
                {
                    "revision": step.revision.label,
                    "number": step.revision.revision,
                    "state": _state(step),
                    "merged_away": step.merged_away,
                    "replaced": step.beside and not step.merged_away,
                    "written": registry.time(step.committed).isoformat(),
                    "fault": step.revision.fault,
                    "standing": step.revision.standing,
                    "reason": step.revision.reason,
                    "recorded": {"date": step.revision.recorded, "site": step.revision.recorded_site},
                    "landed": landed_json(registry, step.landed, step.revision.recorded),
                    "in_force": [
                        {
                            "unit": use.unit,
                            "how": use.how,
                            "at": registry.time(use.at).isoformat(),
                            "record": use.record,
                        }
                        for use in step.in_force
                    ],
                    "changes": [change_json(change, units) for change in step.changes],
                }
                for step in answer.steps
            ],
            "draft": draft_json(answer.draft, units),
        }
        | _happened(registry, answer)
    )


def _happened(registry: Registry, answer: History) -> dict[str, Any]:
    """Return what happened to a unit or a display, by its key; nothing of another kind."""
    if answer.subject.kind not in {"unit", "display"}:
        return {}
    entries = happened_to(registry, answer.subject)
    return {"happened": [history_timeline.entry_json(registry, each) for each in entries]}


def _of(registry: Registry, answer: History) -> dict[str, Any]:
    known_since = answer.known_since
    return {
        "commit": answer.commit,
        "kind": answer.subject.kind,
        "record": answer.subject.rid,
        "title": answer.subject.title,
        "known_since": known_since and registry.time(known_since).isoformat(),
    }


def _rows(registry: Registry, answer: History, units: str) -> Iterator[dict[str, object]]:
    for step in answer.steps:
        known = {
            "revision": step.revision.label,
            "landed": clock(registry, step.landed.landed),
            "recorded": step.revision.recorded,
            "site": step.revision.recorded_site,
            "writers": "" if is_cut(registry, step.landed) else people(step.landed.writers),
            "reason": step.revision.reason or step.revision.fault or _state(step),
        }
        for row in list(rows_of(step.changes, units)) or [{}]:
            yield {**row, **known}
