"""Building the read model from git, whole or by what landed since."""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from functools import partial
from typing import Any, NamedTuple

from registry import canonical
from registry.index.documents import BATCH, Documents
from registry.index.lost import note_lost
from registry.index.progress import Progress
from registry.index.refresh import refresh
from registry.model.kinds import KINDS, place_at
from registry.model.shape import shape_of
from registry.model.sound import misfit
from registry.model.versions import PLACE, version_of
from registry.store.beside import Brought
from registry.store.repository import Repository
from registry.store.walk import Change, Landing

__all__ = ["extend"]

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
    """Add what landed up to `tip` after the landing `after` ("" for all), and renew what is to be found."""
    documents = Documents(repository)
    known: int = db.execute("SELECT coalesce(max(n), 0) FROM landing").fetchone()[0]
    merges: dict[int, str] = {}
    for number, landing in enumerate(_landings(db, repository, tip, after), known + 1):
        if number % 500 == 0:
            progress("walking landings", number)
        if len(landing.parents) > 1:
            merges[number] = landing.commit
        db.executemany(
            "INSERT INTO revision (path, seq, n, status, kind, rid, blob, fault)"
            " SELECT ?1, coalesce(max(seq), 0) + 1, ?2, ?3, ?4, ?5, ?6, ?7 FROM revision WHERE path = ?1",
            (_row(number, change) for change in landing.changes),
        )
    _note_strayed(db, repository)
    # In a shallow clone: what has no parents here, or ends the line, seems to have written everything.
    ends = {commit for commit, stood in repository.pulls(tip, after).items() if not stood}
    cut = repository.cut().keys() | ends
    _write_beside(db, repository, known, merges, cut)
    for table in ("revision", "written"):
        _read_facts(db, documents, table, known, progress)
    note_lost(db, known, merges, cut, partial(_say_the_same, documents))
    _note_version(db, documents, known)
    refresh(db, documents, known, progress)


def _landings(db: sqlite3.Connection, repository: Repository, tip: str, after: str) -> Iterator[Landing]:
    """Add the landings, and yield each with the files that it changed."""
    brought: dict[str, tuple[Brought, ...]] | None = None
    number: int
    latest: int | None
    number, latest = db.execute("SELECT coalesce(max(n), 0), max(landed) FROM landing").fetchone()
    for landing in repository.landings(tip, after):
        number += 1
        latest = landing.landed if latest is None else max(latest, landing.landed)
        if brought is None and len(landing.parents) > 1:
            brought = repository.brought(tip, after)
        # Where dates run backwards git may list what an earlier landing brought once more.
        beside = [
            each
            for each in (brought or {}).get(landing.commit, ())
            if not db.execute(
                "SELECT 1 FROM landing WHERE commit_id = ?1"
                " UNION ALL SELECT 1 FROM beside WHERE commit_id = ?1",
                (each.commit,),
            ).fetchone()
        ]
        db.execute(
            "INSERT INTO landing VALUES (?,?,?,?,?,?,?,?)",
            (
                number,
                landing.commit,
                latest,
                landing.landed,
                landing.landed_offset,
                landing.committer,
                json.dumps(_writers(landing, beside)),
                landing.subject,
            ),
        )
        db.executemany(
            "INSERT INTO beside VALUES (?,?,?)",
            ((each.commit, number, place) for place, each in enumerate(beside)),
        )
        yield landing


def _note_strayed(db: sqlite3.Connection, repository: Repository) -> None:
    """Note where the shared branch has stood that is no step of it any more."""
    db.execute("DELETE FROM strayed")
    if not repository.shallow:  # where history is cut off, nobody knows
        db.executemany("INSERT OR IGNORE INTO strayed VALUES (?)", ((each,) for each in repository.stood()))
        db.execute("DELETE FROM strayed WHERE commit_id IN (SELECT commit_id FROM landing)")


def _say_the_same(documents: Documents, kind: str, one: str, other: str) -> bool:
    """Whether two files of a kind of record say the same under today's names."""
    documents.read([one, other])
    try:
        return kind in KINDS and documents[kind, one] == documents[kind, other]
    except canonical.Unreadable:
        return False


def _note_version(db: sqlite3.Connection, documents: Documents, known: int) -> None:
    """Note for which schema version the registry is written, where its own record landed after `known`."""
    query = "SELECT status, blob FROM revision WHERE path = ? AND n > ? ORDER BY seq DESC LIMIT 1"
    for status, blob in db.execute(query, (PLACE, known)).fetchall():
        documents.read([blob] if blob else [])
        try:
            own = documents["registry", blob] if blob and status != "D" else {}
        except canonical.Unreadable:
            own = {}
        db.execute("UPDATE made SET version = ?", (version_of(own),))


def _write_beside(
    db: sqlite3.Connection,
    repository: Repository,
    known: int,
    merges: Mapping[int, str],
    cut: AbstractSet[str],
) -> None:
    """Add what the commits wrote that landings after `known` brought from beside the chain, or merged."""
    rows = db.execute(
        "SELECT commit_id, n, place FROM beside WHERE n > ? ORDER BY n, place", (known,)
    ).fetchall()
    last = {number: place for _, number, place in rows}
    rows += [(commit, number, last.get(number, -1) + 1) for number, commit in merges.items()]
    rows = [row for row in rows if row[0] not in cut]
    written = repository.written(commit for commit, _, _ in rows)
    for (_, number, place), wrote in zip(rows, written, strict=True):
        db.executemany(
            "INSERT INTO written (path, n, status, kind, rid, blob, fault, place, commit_id, committed,"
            " author, before) VALUES (?,?,?,?,?,?,?,?,?,?,?,?)",
            (
                (*_row(number, change), place, wrote.commit, wrote.committed.epoch, wrote.author, before)
                for change, before in zip(wrote.changes, wrote.before, strict=True)
            ),
        )


def _writers(landing: Landing, beside: Sequence[Brought]) -> list[str]:
    """Return who wrote what a landing brought, oldest first, whatever the way git walked."""
    oldest_first = sorted(beside, key=lambda each: (each.authored.epoch, each.commit))
    return list(dict.fromkeys(each.author for each in oldest_first)) or [landing.author]


def _row(number: int, change: Change) -> tuple[Any, ...]:
    place = place_at(change.path)
    fault = None
    if change.mode in _REFUSED_MODES:
        fault = f"is {_REFUSED_MODES[change.mode]}, which a registry does not hold"
    elif place is None and change.status != "D":
        fault = "is no place for a record"
    # A path of bytes that are no UTF-8 is no place for a record either, and shows them escaped.
    path = change.path.encode(errors="surrogateescape").decode(errors="backslashreplace")
    blob = "" if change.mode in _REFUSED_MODES else change.blob
    return path, number, change.status, place.kind if place else "", place.id if place else path, blob, fault


def _read_facts(
    db: sqlite3.Connection, documents: Documents, table: str, known: int, progress: Progress
) -> None:
    """Fill in what stands in the records that landed after `known`, each distinct file read once."""
    rows = db.execute(
        f"SELECT DISTINCT blob, kind FROM {table} INDEXED BY {table}_n WHERE n > ?"  # noqa: S608 (our own names)
        " AND status != 'D' AND revision IS NULL AND fault IS NULL",
        (known,),
    )
    wanted = sorted((blob, kind) for blob, kind in rows if kind in KINDS)
    for start in range(0, len(wanted), BATCH):
        batch = wanted[start : start + BATCH]
        progress("reading revisions", start + len(batch))
        documents.read(blob for blob, _ in batch)
        db.executemany(
            f"UPDATE {table} SET revision=?, recorded=?, recorded_site=?, reason=?, standing=?, digest=?,"  # noqa: S608
            " fault=? WHERE blob=? AND kind=? AND revision IS NULL",
            _facts_of(documents, batch),
        )


def _facts_of(documents: Documents, batch: Iterable[tuple[str, str]]) -> Iterator[tuple[Any, ...]]:
    for blob, kind in batch:
        try:
            facts = _facts(kind, documents[kind, blob])
        except canonical.Unreadable as unreadable:
            facts = _Facts(fault=f"cannot be read: {unreadable.faults[0]}")
        yield (*facts, blob, kind)


def _facts(kind: str, document: dict[str, Any]) -> _Facts:
    if fault := misfit(kind, document):
        return _Facts(fault=fault)
    recorded = document["recorded"]
    return _Facts(
        document.get("revision", 1),
        recorded["date"],
        recorded["site"],
        document.get("reason"),
        _standing(kind, document),
        shape_of(kind).digest(document) if kind == "print-mode" else "",
    )


def _standing(kind: str, document: dict[str, Any]) -> str:
    """Return how a record says that it stands."""
    said: str = document["status"] if kind == "print-mode" else "current"
    return "withdrawn" if "withdrawn" in document else said
