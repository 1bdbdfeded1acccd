"""`litstock history --timeline`: what happened, on one axis of time, in words, as data and drawn."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from registry.change.timeline import Entry, Timeline
from registry.cli.output import say, write_json, write_table
from registry.cli.page import aligned, one_line_each, wrapped
from registry.cli.wording import counted, kind_words
from registry.question.registry import Registry

__all__ = ["entry_json", "entry_row", "tell"]

_SCREEN = 18
"""So many lines of it fit a screen beside heading and foot."""
_COLUMNS = {
    "at": "at",
    "what": "what",
    "where": "where",
    "words": "words",
    "mode": "print mode",
    "more": "more",
    "record": "record",
    "revision": "revision",
    "landed": "landed",
}


def tell(registry: Registry, answer: Timeline, output: Path | None, form: str, *, full: bool) -> None:
    """Write a timeline in the format asked for, and draw it where a file is named."""
    drawn = None
    if output:
        from registry.cli.history_drawing import draw  # noqa: PLC0415 (matplotlib, only where it draws)

        drawn = draw(registry, answer, output)
    if form == "json":
        write_json(_json(registry, answer, drawn))
    elif form == "text":
        for line in _text(registry, answer, drawn, full=full):
            say(line)
    else:
        write_table([entry_json(registry, each) for each in answer.entries], _COLUMNS, form)


def entry_json(registry: Registry, entry: Entry) -> dict[str, Any]:
    """Return an entry as data; what is not known of it is null."""
    return {
        "at": registry.time(entry.at).isoformat(),
        "until": registry.time(entry.until).isoformat(),
        "what": entry.what,
        "kind": entry.kind,
        "record": entry.record,
        "revision": entry.revision or None,
        "mode": entry.mode or None,
        "where": entry.where or None,
        "words": entry.words,
        "more": entry.more or None,
        "landed": registry.time(entry.landed).isoformat(),
        "late": entry.late,
    }


def entry_row(registry: Registry, entry: Entry, rid: str) -> tuple[str, ...]:
    """Return an entry as a row of text: when, what, where it was, and all that was written of it.

    What the record that it is told of already says is left out.
    """
    late = f"landed only on {registry.time(entry.landed):%Y-%m-%d}" if entry.late else ""
    when = f"{registry.time(entry.at):{'%Y-%m-%d' if entry.is_day else '%Y-%m-%d %H:%M'}}"
    where = "" if entry.where == rid else entry.where.removeprefix(f"{rid}/")
    return when, entry.what, where, "; ".join(filter(None, (_in_short(entry, rid), entry.more, late)))


def _in_short(entry: Entry, rid: str) -> str:
    if entry.what in {"recorded", "landed"}:
        return entry.words if entry.record == rid else f"{entry.words} of {entry.record}"
    mode = "" if entry.mode == rid else entry.mode.partition("/")[2]
    used = " ".join(filter(None, (mode, entry.revision)))
    return used if entry.what == "in force" else ", ".join(filter(None, (entry.words, used)))


def _json(registry: Registry, answer: Timeline, drawn: Path | None) -> dict[str, Any]:
    known_since = answer.known_since
    return {
        "commit": answer.commit,
        "kind": answer.kind,
        "record": answer.rid,
        "title": answer.title,
        "known_since": known_since and registry.time(known_since).isoformat(),
        "entries": [entry_json(registry, each) for each in answer.entries],
        "drawn": str(drawn) if drawn else None,
    }


def _text(registry: Registry, answer: Timeline, drawn: Path | None, *, full: bool) -> Iterator[str]:
    title = f": {answer.title}" if answer.title != answer.rid else ""
    yield wrapped(f"{answer.rid} ({kind_words(answer.kind)}){title}", then="  ")
    if answer.known_since is not None:
        since = f"{registry.time(answer.known_since):%Y-%m-%d}"
        yield wrapped(
            f"This clone is cut off: before {since} nothing is known. git fetch --unshallow mends that."
        )
    told = answer.entries if full else answer.entries[-_SCREEN:]
    if more := len(answer.entries) - len(told):
        yield wrapped(f"{counted(more, 'earlier entry', 'earlier entries')}: add --full", "  ")
    rows = [entry_row(registry, each, answer.rid) for each in told]
    if not any(where for _, _, where, _ in rows):
        rows = [(when, what, words) for when, what, _, words in rows]
    if full:
        rows = [(*row, each.record) for row, each in zip(rows, told, strict=True)]
        yield from aligned(rows, "  ")
    else:
        yield from one_line_each(rows, "  ")
    if drawn:
        yield f"drawn in {drawn}"
    zone = registry.settings.get("time_zone", "UTC")
    yield wrapped(f"times in {zone}; answered from commit {answer.commit[:12]}", then="  ")
