"""Building the read model from git, whole or by what landed since."""

import json
import sqlite3
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from registry import canonical
from registry.index.present import refresh
from registry.model.kinds import place_at
from registry.model.shape import shape_of
from registry.store.repository import Repository
from registry.store.walk import Landing

__all__ = ["Progress", "extend"]

Progress = Callable[[str, int], None]
"""Told what is being done and how much of it is done; shown on a terminal."""

_REFUSED_MODES = {"120000": "a symbolic link", "160000": "a submodule"}


class _Facts(NamedTuple):
    """What the history shows of one file, read from its bytes."""

    revision: int | None = None
    recorded: str | None = None
    recorded_site: str | None = None
    reason: str | None = None
    standing: str | None = None
    digest: str | None = None
    fault: str | None = None


def extend(db: sqlite3.Connection, repository: Repository, tip: str, after: str, progress: Progress) -> None:
    """Add what landed up to `tip` after the landing `after` ("" for all), and refresh what is to be found."""
    changed = _add_landings(db, repository, tip, after, progress)
    progress("reading revisions", 0)
    _read_facts(db, repository, progress)
    progress("indexing", len(changed))
    refresh(db, repository, None if not after else changed)


def _add_landings(
    db: sqlite3.Connection, repository: Repository, tip: str, after: str, progress: Progress
) -> set[str]:
    brought = repository.brought(tip, after)
    number = db.execute("SELECT coalesce(max(n), 0) FROM landing").fetchone()[0]
    sequence: dict[str, int] = dict(db.execute("SELECT path, max(seq) FROM revision GROUP BY path"))
    changed: set[str] = set()
    for landing in repository.landings(tip, after):
        number += 1
        if number % 500 == 0:
            progress("walking landings", number)
        db.execute("INSERT INTO landing VALUES (?,?,?,?,?,?,?,?,?)", _landing_row(number, landing, brought))
        db.executemany(
            "INSERT INTO revision (path, seq, n, status, kind, rid, blob, fault) VALUES (?,?,?,?,?,?,?,?)",
            _revision_rows(number, landing, sequence),
        )
        changed.update(change.path for change in landing.changes)
    return changed


def _landing_row(number: int, landing: Landing, brought: dict[str, Any]) -> tuple[Any, ...]:
    sources = [
        {"commit": each.commit, "author": each.author, "authored": each.authored.epoch}
        for each in brought.get(landing.commit, ())
    ]
    return (
        number,
        landing.commit,
        landing.landed,
        landing.landed_offset,
        landing.committer,
        landing.author,
        landing.authored.epoch,
        landing.subject,
        json.dumps(sources),
    )


def _revision_rows(number: int, landing: Landing, sequence: dict[str, int]) -> Iterator[tuple[Any, ...]]:
    for change in landing.changes:
        place = place_at(change.path)
        sequence[change.path] = sequence.get(change.path, 0) + 1
        fault = _REFUSED_MODES.get(change.mode)
        yield (
            change.path,
            sequence[change.path],
            number,
            change.status,
            place.kind if place else "",
            place.id if place else change.path,
            "" if fault else change.blob,
            fault and f"is {fault}, which a registry does not hold",
        )


def _read_facts(db: sqlite3.Connection, repository: Repository, progress: Progress) -> None:
    """Fill in what stands in the files themselves, each distinct file read once."""
    rows = db.execute(
        "SELECT DISTINCT blob, kind FROM revision WHERE revision IS NULL AND fault IS NULL AND blob != ''"
        " AND path LIKE '%.json'"
    )
    wanted = sorted(rows)
    batch: list[tuple[Any, ...]] = []
    contents = repository.blobs(blob for blob, _ in wanted)
    for number, ((blob, kind), (_, data)) in enumerate(zip(wanted, contents, strict=True), 1):
        batch.append((*_facts(kind, data), blob, kind))
        if number % 2000 == 0:
            progress("reading revisions", number)
    db.execute("CREATE INDEX IF NOT EXISTS revision_blob ON revision (blob)")
    db.executemany(
        "UPDATE revision SET revision=?, recorded=?, recorded_site=?, reason=?, standing=?, digest=?, fault=?"
        " WHERE blob=? AND kind=? AND revision IS NULL",
        batch,
    )


def _facts(kind: str, data: bytes) -> _Facts:
    try:
        document = canonical.read(data)
    except canonical.Unreadable as unreadable:
        return _Facts(fault=f"cannot be read: {unreadable.faults[0].message}")
    if not kind:
        return _Facts(fault="is no place for a record")
    recorded = document.get("recorded")
    recorded = recorded if isinstance(recorded, dict) else {}
    standing = document.get("status", "withdrawn" if "withdrawn" in document else "current")
    return _Facts(
        _whole(document.get("revision", 1)),
        _text(recorded.get("date")),
        _text(recorded.get("site")),
        _text(document.get("reason")),
        _text(standing),
        shape_of(kind).digest(document) if kind == "print-mode" else "",
    )


def _whole(value: Any) -> int:
    return value if isinstance(value, int) else 0


def _text(value: Any) -> str | None:
    return value if isinstance(value, str) else None
