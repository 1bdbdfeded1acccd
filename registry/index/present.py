"""The registry as the newest landing left it: what is to be found, how it stands, and its case."""

import sqlite3
from collections.abc import Iterable
from functools import cached_property
from typing import Any, NamedTuple

from registry.index.advice import Judge
from registry.index.documents import Documents
from registry.index.facets import Searchable, searchable
from registry.index.judged import is_confirmed
from registry.index.reference import reference

__all__ = ["Present", "Version"]

_CASE_OF = {"print-mode": ("substrate", "printer"), "display": ("application",)}
"""The other records that a record's answers rest on: the member that names each is called like its kind."""


class Version(NamedTuple):
    """One revision of a record that is to be found."""

    kind: str
    rid: str
    path: str
    seq: int
    number: int
    blob: str
    standing: str
    newest: bool
    digest: str


class Present:
    """The registry as the newest landing left it."""

    def __init__(self, db: sqlite3.Connection, documents: Documents) -> None:
        self._db = db
        self.documents = documents
        self._newest: dict[str, str] = {}
        self._searchable: dict[tuple[str, str], Searchable] = {}

    def versions(self, path: str) -> list[Version]:
        """Return the newest version at `path` and, while it is on trial, the last known-good one.

        What was removed or cannot be read is not to be found, and what was known good before a mode was
        withdrawn or removed is not offered again.
        """
        found: list[Version] = []
        rows = self._db.execute(
            "SELECT kind, rid, path, seq, revision, blob, standing, digest, status = 'D', fault FROM revision"
            " WHERE path = ? ORDER BY seq DESC",
            (path,),
        )
        for kind, rid, _, seq, number, blob, said, digest, removed, fault in rows:
            if removed or (fault is not None and not found):
                break
            if fault is not None:
                continue
            standing = self._standing(kind, rid, said, digest)
            if not found or standing == "known-good":
                found.append(Version(kind, rid, path, seq, number, blob, standing, not found, digest))
            if len(found) == 2 or found[0].standing != "trial" or standing == "withdrawn":
                break
        return found

    def _standing(self, kind: str, rid: str, said: str, digest: str) -> str:
        """Return how a version stands: a mode is known good only while its own settings are confirmed."""
        if kind != "print-mode" or said != "known-good":
            return said
        return said if is_confirmed(self._db, rid, digest) else "trial"

    def newest_blob(self, path: str) -> str:
        """Return the file of the record that is at `path` now, "" where there is none that can be read."""
        if path not in self._newest:
            row = self._db.execute(
                "SELECT blob, fault FROM revision WHERE path = ? ORDER BY seq DESC LIMIT 1", (path,)
            ).fetchone()
            self._newest[path] = row[0] if row and row[1] is None else ""
        return self._newest[path]

    def load(self, versions: Iterable[tuple[str, str]]) -> None:
        """Read these documents (kind and blob), those that their cases need, and the rules, in two goes."""
        versions = list(versions)
        blobs = {blob for _, blob in versions}
        self.documents.read(blobs)
        others = (self.others(kind, self.documents[kind, blob]) for kind, blob in versions)
        self.documents.read(blobs.union(self._rules.values(), *(each.values() for each in others)))

    def others(self, kind: str, document: dict[str, Any]) -> dict[str, str]:
        """Return the files of the other records that a document's answers rest on, by kind; what is there."""
        paths = {other: reference(other, document.get(other)) for other in _CASE_OF.get(kind, ())}
        blobs = {other: self.newest_blob(path) for other, path in paths.items() if path}
        return {other: blob for other, blob in blobs.items() if blob}

    def case(self, kind: str, document: dict[str, Any]) -> dict[str, dict[str, Any]]:
        """Return the documents that a mode's or a place's answers rest on, by their role."""
        others = {other: self.documents[other, blob] for other, blob in self.others(kind, document).items()}
        return {"mode" if kind == "print-mode" else kind: document, **others}

    def searchable(self, kind: str, blob: str) -> Searchable:
        """Return what a document can be found by; those that many modes share are kept."""
        if kind not in {"substrate", "printer"}:
            return searchable(kind, self.documents[kind, blob])
        if (kind, blob) not in self._searchable:
            self._searchable[kind, blob] = searchable(kind, self.documents[kind, blob])
        return self._searchable[kind, blob]

    def rules(self) -> list[Judge]:
        """Return every guidance rule that is in force."""
        self.documents.read(self._rules.values())
        documents = ((rid, self.documents["guidance", blob]) for rid, blob in self._rules.items())
        return [Judge(rid, document) for rid, document in documents if "withdrawn" not in document]

    @cached_property
    def _rules(self) -> dict[str, str]:
        """The files of all guidance that is there now, by id."""
        rows = self._db.execute("SELECT DISTINCT rid, path FROM revision WHERE kind = 'guidance'")
        return {rid: blob for rid, path in rows if (blob := self.newest_blob(path))}
