"""`litstock history`: a record's revisions, what changed in each, when, who, why."""

from collections.abc import Iterable, Iterator
from typing import Any

import click

from registry.change.blame import blame
from registry.change.compare import SettingChange
from registry.change.history import History, Step, history
from registry.cli.completion import complete_fields, complete_records
from registry.cli.diff import COLUMNS, rows_of
from registry.cli.history_blame import COLUMNS as BLAME_COLUMNS
from registry.cli.history_blame import blame_json, blame_rows, blame_text
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option, units_option
from registry.cli.output import say, write_json, write_table
from registry.cli.page import aligned, is_told_by_heading, wrapped
from registry.cli.wording import (
    after_words,
    before_words,
    change_json,
    change_words,
    clock,
    counted,
    draft_json,
    draft_words,
    kind_words,
    landed_json,
    landed_words,
    people,
    standing_words,
)
from registry.errors import RequestError
from registry.index.readmodel import Written
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
_NAMED = 6
"""So many changes are named in a summary; the rest is counted."""


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
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(context: click.Context, record: str, field: str, units: str, form: str, *, blamed: bool) -> None:
    """Show a record's revisions: what changed, when, who, why.

    Three clocks stand side by side: when it was recorded, when it landed on the shared branch, and when a
    unit took it into use (by its own word, or proved by a run).

    JSON keys: commit, kind, record, title, field, known_since (before it, this clone knows nothing),
    revisions (revision, number, state: landed, removed or unreadable, merged_away: true where the landing
    that brought it left it out, replaced: true where it was replaced before it landed, written: by its
    commit's clock, fault, standing, reason, recorded, landed (as in diff), in_force:
    unit, how, at, record; changes as in diff), draft (label, where, missing, fault, changes). With --blame:
    commit, kind, record, title, known_since, values (path, label, unit, value, revision, number, landed,
    recorded, site, reason, certain: false where this clone is cut off there).
    """
    registry = open_registry(context)
    if blamed:
        if field:
            raise RequestError("--blame tells all values: leave out --field")
        _blame(registry, history(registry, record), units, form)
        return
    answer = history(registry, record, field)
    if form == "json":
        write_json(_json(registry, answer, units))
    elif form == "text":
        for line in _text(registry, answer, units):
            say(line)
    else:
        write_table(list(_rows(registry, answer, units)), _COLUMNS, form)


def _blame(registry: Registry, answer: History, units: str, form: str) -> None:
    values = blame(registry, answer)
    if form == "json":
        write_json(_of(registry, answer) | {"values": blame_json(registry, values)})
    elif form == "text":
        for line in (
            *_heading(registry, answer),
            "",
            *blame_text(registry, values, units),
            "",
            _foot(answer),
        ):
            say(line)
    else:
        write_table(list(blame_rows(registry, values, units)), BLAME_COLUMNS, form)


def _state(step: Step) -> str:
    return "removed" if step.removed else "unreadable" if step.revision.fault else "landed"


def _json(registry: Registry, answer: History, units: str) -> dict[str, Any]:
    return _of(registry, answer) | {
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


def _heading(registry: Registry, answer: History) -> Iterator[str]:
    subject = answer.subject
    yield wrapped(f"{subject.rid} ({kind_words(subject.kind)}): {subject.title}", then="  ")
    if answer.known_since is not None:
        since = f"{registry.time(answer.known_since):%Y-%m-%d}"
        yield wrapped(
            f"This clone is cut off: before {since} nothing is known. git fetch --unshallow mends that."
        )


def _foot(answer: History) -> str:
    return wrapped(
        f"answered from commit {answer.commit[:12]}; landed times are by the committer's clock", then="  "
    )


def _text(registry: Registry, answer: History, units: str) -> Iterator[str]:
    yield from _heading(registry, answer)
    if answer.field:
        yield from _field(registry, answer, units)
    else:
        for step in answer.steps:
            yield ""
            yield from _step(registry, answer, step, units)
    if answer.draft:
        yield ""
        yield wrapped(f"Not landed: {draft_words(answer.draft)}", then="  ")
    yield ""
    yield _foot(answer)


def _field(registry: Registry, answer: History, units: str) -> Iterator[str]:
    if not answer.steps:
        yield ""
        yield f"No revision changed {answer.field}: it is unknown in all of them."
    for step in answer.steps:
        yield ""
        yield from _labelled(_head(registry, step))
        told = [each for each in step.changes if not is_told_by_heading(each)] or step.changes
        yield from aligned([_value(step, each, units) for each in told], "    ")


def _value(step: Step, change: SettingChange, units: str) -> tuple[str, str, str]:
    if step.first:
        return change.label, after_words(change, units), ""
    values = f"{before_words(change, units)} → {after_words(change, units)}"
    return change.label, values, change_words(change, units)


def _head(registry: Registry, step: Step) -> Iterator[tuple[str, str]]:
    revision = step.revision
    standing = standing_words(revision.standing or "")
    standing = f"{standing}; " if standing not in {"", "current"} else ""
    yield revision.label, f"{standing}landed {landed_words(registry, step.landed, revision.recorded)}"
    yield "", revision.reason or "no reason on record"


def _written(registry: Registry, step: Step) -> str:
    """Return when a revision was written, by its own commit, and by whom where it came along."""
    when = clock(registry, step.committed)
    if isinstance(step.revision, Written):
        return f"{when} by {step.revision.author} (commit {step.revision.commit_id[:12]})"
    return when


def _step(registry: Registry, answer: History, step: Step, units: str) -> Iterator[str]:
    revision = step.revision
    standing = standing_words(revision.standing or "")
    notes = [
        standing if standing not in {"", "current"} else "",
        "merged away" if step.merged_away else "replaced before it landed" if step.beside else "",
    ]
    yield "  ".join(filter(None, [revision.label, *notes]))
    landing = landed_words(registry, step.landed, revision.recorded)
    if revision.recorded:
        yield from _labelled([("recorded", f"{revision.recorded} at {revision.recorded_site}")])
    if step.beside or registry.time(step.committed).date() != registry.time(step.landed.landed).date():
        yield from _labelled([("written", _written(registry, step))])
    arrived = "came with" if step.beside else "landed"
    yield from _labelled([(arrived, f"{landing} (commit {step.landed.commit[:12]})")])
    if answer.subject.kind == "print-mode" and not step.removed:
        yield from _labelled([("in force", _in_force(registry, step))])
    if revision.reason:
        yield from _labelled([("why", revision.reason)])
    changed = list(_summary(answer, step, units))
    yield from _labelled(zip(("changed", *[""] * len(changed)), changed, strict=False))


def _labelled(lines: Iterable[tuple[str, str]]) -> Iterator[str]:
    for label, text in lines:
        yield wrapped(f"{label:<10}{text}", "  ", " " * 12)


def _in_force(registry: Registry, step: Step) -> str:
    by_unit: dict[str, list[str]] = {}
    for use in step.in_force:
        word = "first run" if use.how == "run" else "adopted"
        by_unit.setdefault(use.unit, []).append(f"{word} {clock(registry, use.at)}")
    told = [f"{unit} ({', '.join(words)})" for unit, words in by_unit.items()]
    return "; ".join(told) or "no run and no adoption on record names it"


def _summary(answer: History, step: Step, units: str) -> Iterator[str]:
    """Yield what a revision changed in a few words: direct effects on colour with their values."""
    if step.removed:
        yield "removed: this landing took the file away"
    elif step.revision.fault:
        yield f"nothing can be told: the file {step.revision.fault}"
    elif not step.first:
        yield from _changes(step, units)
    elif answer.known_since is None:
        yield f"first entry, {counted(len(step.settings), 'setting')}"
    else:
        settings = counted(len(step.settings), "setting")
        yield f"as it stood where this clone is cut off, {settings}; what changed before is not known"


def _changes(step: Step, units: str) -> Iterator[str]:
    direct = [change for change in step.settings if change.effect == "direct"]
    others = [change.label for change in step.settings if change.effect != "direct"]
    aside = list(dict.fromkeys(_aside(change, units) for change in step.changes if change.aside))
    yield counted(len(step.settings), "setting")
    if direct:
        yield f"direct effect on colour: {_some([_valued(change, units) for change in direct])}"
    if others:
        yield f"{'also' if direct else 'no direct effect on colour'}: {_some(others)}"
    if aside:
        yield f"beside the settings: {_some(aside)}"


def _valued(change: SettingChange, units: str) -> str:
    return f"{change.label}: {before_words(change, units)} → {after_words(change, units)}"


def _aside(change: SettingChange, units: str) -> str:
    return (
        _valued(change, units)
        if change.path == "status"
        else change.group
        if "*" in change.setting
        else change.label
    )


def _some(words: list[str]) -> str:
    more = len(words) - _NAMED
    return "; ".join(words[:_NAMED]) + (f" and {more} more" if more > 0 else "")
