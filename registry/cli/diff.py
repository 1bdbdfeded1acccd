"""`litstock diff`: compare the settings of two revisions, records or sites, or the registry with itself."""

import sys
from collections.abc import Iterable, Iterator

import click

from registry.change.compare import SettingChange
from registry.change.difference import Difference, difference
from registry.change.since import Since, changed_since
from registry.cli.completion import complete_records
from registry.cli.diff_colour import colour_between, colour_json, colour_lines
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option, units_option
from registry.cli.output import say, write_json, write_table
from registry.cli.page import IN_TIME, aside_lines, changes_table, wrapped
from registry.cli.since import since_json, since_rows, since_text
from registry.cli.wording import change_json, change_row, kind_words, version_json, version_words
from registry.errors import RequestError
from registry.question.registry import Registry
from registry.question.when import Version

__all__ = ["COLUMNS", "command", "rows_of"]

COLUMNS = {
    "path": "path",
    "label": "setting",
    "group": "group",
    "unit": "unit",
    "before": "before",
    "after": "after",
    "change": "change",
    "change_pct": "change, %",
    "effect": "effect on colour",
    "scope": "scope",
    "sort": "sort",
}
"""The columns of csv and markdown; `sort` is setting, computed or aside."""


@click.command()
@click.argument("first", metavar="[A[@WHEN]]", required=False, shell_complete=complete_records())
@click.argument("second", metavar="[B[@WHEN]]", required=False, shell_complete=complete_records())
@click.option("--since", metavar="WHEN", help="What changed in the whole registry since a day, or git:REV.")
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(
    context: click.Context, first: str | None, second: str | None, since: str | None, units: str, form: str
) -> None:
    """Compare the settings of two revisions, records or sites.

    \b
    diff A@r3 A@r5               two revisions of a record
    diff A@2026-03-01            as it had landed by that day, against the newest
    diff A                       the newest revision against the one before
    diff A B                     two records of one kind
    diff M@site:one M@site:two   what two sites have in force
    diff --since 2026-03-01      the whole registry, identical edits told once

    Where readings or profiles of print modes differ, it also says how far apart their colours lie.

    Exit code: 0 where nothing changed, 1 where something differs. Key order and file form never count.

    JSON keys: commit, verdict (settings, aside, form, nothing), before, after (kind, record, title, asked,
    revision, number, draft, standing, settings_digest, reason, recorded, landed: commit, at, by, writers,
    cut_off, early: landed before it was recorded, by the dates; in_force: how, words, mismatch), changes
    (path, label, group, unit, before, after, change, change_pct, added, removed, effect, scope, is_setting,
    computed, item), colour (readings: mean, p95, largest, mean_known and
    largest_known (value, low, high, u), at, patches, films; profiles: mean, p95, largest,
    at, patches, route; all ΔE00; untold; null where both name the same files); a null value is unknown. With
    --since: commit, since, base, edits (kind, records and the keys of a change), new, withdrawn, removed,
    unreadable (kind, record, title, words), happened.
    """  # noqa: D301 (\b is click's own mark)
    if (first is None) == (since is None):
        raise RequestError("say which record to compare, or --since when")
    registry = open_registry(context)
    if since is not None:
        answer = changed_since(registry, since)
        _write_since(registry, answer, form, units)
        sys.exit(0 if answer.nothing else 1)
    found = difference(registry, str(first), second)
    _write(registry, found, form, units)
    sys.exit(0 if found.verdict in {"nothing", "form"} else 1)


def _write(registry: Registry, found: Difference, form: str, units: str) -> None:
    if form == "json":
        write_json(
            {
                "commit": registry.commit,
                "verdict": found.verdict,
                "before": version_json(registry, found.before),
                "after": version_json(registry, found.after),
                "changes": [change_json(change, units) for change in found.changes],
                "colour": colour_json(colour_between(registry, found.before, found.after)),
            }
        )
    elif form == "text":
        for line in _text(registry, found, units):
            say(line)
    else:
        heads = dict(zip(IN_TIME, _heads(found), strict=True))
        write_table(list(rows_of(found.changes, units)), COLUMNS | heads, form)


def _write_since(registry: Registry, answer: Since, form: str, units: str) -> None:
    if form == "json":
        write_json(since_json(registry, answer, units))
    elif form == "text":
        for line in since_text(registry, answer, units):
            say(line)
    else:
        write_table(list(since_rows(answer, units)), {"kind": "kind", **COLUMNS, "records": "records"}, form)


def _text(registry: Registry, found: Difference, units: str) -> Iterator[str]:
    heads = _heads(found)
    yield from _heading(registry, found, heads[:2])
    yield ""
    yield (_CHANGED if heads == IN_TIME else _DIFFERS)[found.verdict]
    if found.settings:
        yield from changes_table(found.settings, units, heads=heads)
    if found.aside:
        yield ""
        yield "Not settings, also changed:" if heads == IN_TIME else "Not settings, also different:"
        yield from aside_lines(((change, ()) for change in found.aside), units)
    if apart := colour_between(registry, found.before, found.after):
        yield ""
        yield from colour_lines(apart)
    yield ""
    yield f"answered from commit {registry.commit[:12]}"


_DIFFERS = {
    "settings": "These settings differ (effect: on colour).",
    "aside": "No setting differs, only what is said of the record.",
    "form": "Nothing differs but the record's form on disk.",
    "nothing": "Nothing differs.",
}
_CHANGED = _DIFFERS | {
    "aside": "No setting changed, only what is said of the record.",
    "form": "Nothing changed but the record's form on disk.",
    "nothing": "Nothing changed.",
}


def _heads(found: Difference) -> tuple[str, str, str]:
    """Return what heads the columns: where each is in force, or which record it is; else what came first."""
    before, after = found.before, found.after
    if before.evidence or after.evidence:
        return _place(before), _place(after), "difference"
    return IN_TIME if before.rid == after.rid else ("first", "second", "difference")


def _place(version: Version) -> str:
    """Return the site or unit in which a version is in force, and the day; else how it was asked for."""
    where, _, day = version.asked.removeprefix("@").removeprefix("site:").partition(":")
    return f"{where} {day}".strip() if version.evidence else version.asked.removeprefix("@")


def _heading(registry: Registry, found: Difference, heads: tuple[str, str]) -> Iterator[str]:
    same = found.before.rid == found.after.rid
    if same:
        yield f"{found.before.rid} ({kind_words(found.before.kind)})"
    wide = max(map(len, heads))
    then = " " * (wide + 4)
    for head, version in zip(heads, (found.before, found.after), strict=True):
        name = "" if same else f"{version.rid} "
        yield wrapped(f"{head:<{wide}}  {name}{version_words(registry, version)}", "  ", then)
        if version.evidence:
            mismatch = f"; {version.evidence.mismatch}" if version.evidence.mismatch else ""
            how = f"in force at {head}: {version.label}; {version.evidence.words}{mismatch}"
            yield wrapped(how, then)
        if reason := version.document.get("reason"):
            yield wrapped(f"why: {reason}", then)


def rows_of(changes: Iterable[SettingChange], units: str) -> Iterator[dict[str, object]]:
    """Yield one row a change, for csv and markdown."""
    for change in changes:
        sort = "computed" if change.how else "aside" if change.aside else "setting"
        yield change_row(change, units) | {"sort": sort}
