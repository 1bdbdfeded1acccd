"""What there is to find now: subjects, their facets and words, and the guidance that applies to them."""

import sqlite3
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import Any, NamedTuple

from registry import canonical
from registry.index.advice import MODE_SIDE, PLACE_SIDE, Judge
from registry.index.facets import facets, searched_words
from registry.model.kinds import path_of
from registry.store.repository import Repository

__all__ = ["refresh"]

_CASE_OF = {"print-mode": ("substrate", "printer"), "display": ("application",)}
"""The other records that a record's answers rest on: the member that names each is called like its kind."""

_LATEST = "SELECT path, max(seq) AS seq FROM revision GROUP BY path"


class _Version(NamedTuple):
    """One revision of a record that is to be found."""

    kind: str
    rid: str
    path: str
    seq: int
    blob: str
    standing: str
    newest: bool
    digest: str


def refresh(db: sqlite3.Connection, repository: Repository, changed: set[str] | None) -> None:
    """Bring subjects, facets, words and verdicts up to date for the changed paths (None: for all)."""
    present = _Present(db, repository)
    if changed is None:
        affected = list(present.paths)
    else:
        affected = sorted(_affected(db, present, changed))
        _forget(db, affected)
    versions = [version for path in affected for version in present.versions(path)]
    present.load((version.kind, version.blob) for version in versions)
    for version in versions:
        _add(db, present, version)
    everything = changed is None or any(path.startswith("records/guidance/") for path in changed)
    _judge(db, present, None if everything else affected)


def _affected(db: sqlite3.Connection, present: "_Present", changed: set[str]) -> Iterator[str]:
    """Yield the changed paths, and those of modes and displays whose answers depend on them."""
    seen: set[str] = set()

    def each(paths: Iterable[str]) -> Iterator[str]:
        for path in paths:
            if path not in seen:
                seen.add(path)
                yield path

    yield from each(changed)
    for path in changed:
        row = db.execute(
            "SELECT kind, rid, blob FROM revision WHERE path=? ORDER BY seq DESC", (path,)
        ).fetchone()
        kind, rid, _ = row
        if kind in {"substrate", "printer"}:
            column = "substrate" if kind == "substrate" else "printer"
            yield from each(
                other
                for (other,) in db.execute(f"SELECT path FROM subject WHERE {column}=?", (rid,))  # noqa: S608
            )
        elif kind == "application":
            yield from each(other for other in present.paths if "/displays/" in other)
        elif kind == "confirmation":
            modes = {document.get("mode") for document in present.all_documents(path)}
            yield from each(path_of("print-mode", mode) for mode in modes if isinstance(mode, str))


def _forget(db: sqlite3.Connection, paths: Iterable[str]) -> None:
    for path in paths:
        for (subject,) in db.execute("SELECT id FROM subject WHERE path=?", (path,)).fetchall():
            db.execute("DELETE FROM facet WHERE subject=?", (subject,))
            db.execute("DELETE FROM words WHERE rowid=?", (subject,))
            db.execute("DELETE FROM verdict WHERE subject=?", (subject,))
            db.execute("DELETE FROM subject WHERE id=?", (subject,))


class _Present:
    """The registry as the newest landing left it."""

    def __init__(self, db: sqlite3.Connection, repository: Repository) -> None:
        self._db, self._repository = db, repository
        self._documents: dict[str, dict[str, Any]] = {}

    @cached_property
    def paths(self) -> dict[str, tuple[str, str, int, str]]:
        """Kind, id, seq and blob of every readable record that is there now, by path."""
        rows = self._db.execute(
            f"SELECT r.path, r.kind, r.rid, r.seq, r.blob FROM revision r JOIN ({_LATEST}) l"  # noqa: S608
            " ON r.path = l.path AND r.seq = l.seq"
            " WHERE r.status != 'D' AND r.fault IS NULL AND r.kind != '' AND r.path LIKE '%.json'"
            " ORDER BY r.path"
        )
        return {path: (kind, rid, seq, blob) for path, kind, rid, seq, blob in rows}

    @cached_property
    def _confirmed(self) -> set[tuple[str, str]]:
        """Modes and settings digests that some site found good or usable."""
        documents = self._of_kind("confirmation")
        return {
            (str(each.get("mode")), str(each.get("settings_digest")))
            for each in documents
            if each.get("outcome") in {"good", "usable"}
        }

    def versions(self, path: str) -> list[_Version]:
        """Return the newest version at `path` and, while it is on trial, the last known-good one."""
        if path not in self.paths:
            return []
        kind, rid, seq, blob = self.paths[path]
        rows = self._db.execute(
            "SELECT seq, blob, standing, digest, fault FROM revision WHERE path=? ORDER BY seq DESC", (path,)
        ).fetchall()
        standing = self._standing(kind, rid, rows[0][2], rows[0][3])
        found = [_Version(kind, rid, path, seq, blob, standing, True, rows[0][3] or "")]
        if kind == "print-mode" and standing == "trial":
            for older_seq, older_blob, said, digest, fault in rows[1:]:
                if (
                    fault is None
                    and said != "withdrawn"
                    and self._standing(kind, rid, said, digest) == "known-good"
                ):
                    found.append(
                        _Version(kind, rid, path, older_seq, older_blob, "known-good", False, digest)
                    )
                    break
        return found

    def _standing(self, kind: str, rid: str, said: str | None, digest: str | None) -> str:
        """Return how a version stands: a mode is known good only while its own settings are confirmed."""
        if kind == "print-mode" and said == "known-good" and (rid, digest or "") not in self._confirmed:
            return "trial"
        return said or "current"

    def load(self, versions: Iterable[tuple[str, str]]) -> None:
        """Read these documents (kind and blob), and those that their cases need, in two goes."""
        versions = list(versions)
        self._read(blob for _, blob in versions)
        needed = {
            path_of(role, str(self._documents[blob].get(role)))
            for kind, blob in versions
            for role in _CASE_OF.get(kind, ())
        }
        self._read(self.paths[path][3] for path in needed if path in self.paths)

    def _read(self, blobs: Iterable[str]) -> None:
        missing = sorted(set(blobs) - self._documents.keys())
        for blob, data in self._repository.blobs(missing):
            self._documents[blob] = canonical.read(data)

    def document(self, blob: str) -> dict[str, Any]:
        """Return a document, read if need be."""
        self._read([blob])
        return self._documents[blob]

    def all_documents(self, path: str) -> list[dict[str, Any]]:
        """Return every readable document that ever stood at `path`."""
        rows = self._db.execute(
            "SELECT blob FROM revision WHERE path=? AND fault IS NULL AND blob != ''", (path,)
        )
        return [self.document(blob) for (blob,) in rows.fetchall()]

    def _of_kind(self, kind: str) -> list[dict[str, Any]]:
        blobs = [blob for of, _, _, blob in self.paths.values() if of == kind]
        self._read(blobs)
        return [self._documents[blob] for blob in blobs]

    def rules(self) -> list[Judge]:
        """Return every guidance rule that is in force."""
        found = [(rid, blob) for kind, rid, _, blob in self.paths.values() if kind == "guidance"]
        documents = ((rid, self.document(blob)) for rid, blob in found)
        return [Judge(rid, document) for rid, document in documents if "withdrawn" not in document]

    def case(self, kind: str, document: dict[str, Any]) -> dict[str, Any]:
        """Return the documents that a mode's or a place's answers rest on."""
        case = {"mode" if kind == "print-mode" else kind: document}
        for role in _CASE_OF.get(kind, ()):
            path = path_of(role, str(document.get(role)))
            if path in self.paths:
                case[role] = self.document(self.paths[path][3])
        return case


def _add(db: sqlite3.Connection, present: _Present, version: _Version) -> None:
    document = present.document(version.blob)
    case = present.case(version.kind, document) if version.kind == "print-mode" else None
    subject = db.execute(
        "INSERT INTO subject VALUES (NULL,?,?,?,?,?,?,?,?,?,?,?)",
        (
            version.kind,
            version.rid,
            version.path,
            version.seq,
            version.blob,
            version.standing,
            int(version.newest),
            str(document.get("title", version.rid)),
            version.digest,
            str(document.get("substrate", "")) if case else "",
            str(document.get("printer", "")) if case else "",
        ),
    ).lastrowid
    rows = [
        (facet.path, subject, facet.item, facet.num, facet.txt)
        for facet in facets(version.kind, document, case)
    ]
    db.executemany("INSERT OR IGNORE INTO setting (path) VALUES (?)", {(row[0],) for row in rows})
    db.executemany("INSERT INTO facet SELECT id, ?2, ?3, ?4, ?5 FROM setting WHERE path = ?1", rows)
    db.execute(
        "INSERT INTO words (rowid, text) VALUES (?,?)",
        (subject, searched_words(version.kind, version.rid, document, case)),
    )


def _judge(db: sqlite3.Connection, present: _Present, paths: list[str] | None) -> None:
    """Judge every rule for the modes and places at `paths` (None: for all, the rules themselves anew)."""
    rules = present.rules()
    if paths is None:
        db.execute("DELETE FROM verdict")
        db.execute("DELETE FROM rule")
        db.executemany(
            "INSERT INTO rule VALUES (?,?,?,?,?,?)",
            (
                (
                    rule.rid,
                    rule.level,
                    rule.text,
                    rule.source,
                    rule.looks_at(MODE_SIDE),
                    rule.looks_at(PLACE_SIDE),
                )
                for rule in rules
            ),
        )
    chosen = None if paths is None else set(paths)
    subjects = db.execute(
        "SELECT id, kind, path, blob FROM subject WHERE kind IN ('print-mode', 'application', 'display')"
    ).fetchall()
    if chosen is not None:
        subjects = [row for row in subjects if row[2] in chosen]
    present.load((kind, blob) for _, kind, _, blob in subjects)
    for subject, kind, _, blob in subjects:
        side = MODE_SIDE if kind == "print-mode" else PLACE_SIDE
        case = present.case(kind, present.document(blob))
        answers = ((rule.rid, subject, rule.holds(side, case)) for rule in rules if rule.looks_at(side))
        db.executemany("INSERT INTO verdict VALUES (?,?,?)", (row for row in answers if row[2] is not False))
