"""Writing down one thing that is to be found: the subject, its facets and its words."""

import sqlite3
from collections.abc import Iterator
from typing import Any

from registry.derived import derive, from_copied
from registry.index.facets import FROM_COPIED, Facet, computed_facets
from registry.index.present import Present, Version

__all__ = ["Subjects"]


class Subjects:
    """The tables of what is to be found."""

    def __init__(self, db: sqlite3.Connection, present: Present) -> None:
        self._db, self._present = db, present
        self._settings: dict[str, int] = {}

    def forget(self, path: str) -> None:
        """Take out every version of the record at `path`."""
        for (subject,) in self._db.execute("SELECT id FROM subject WHERE path = ?", (path,)).fetchall():
            self._db.execute("DELETE FROM facet WHERE subject = ?", (subject,))
            self._db.execute("DELETE FROM words WHERE rowid = ?", (subject,))
            self._db.execute("DELETE FROM verdict WHERE subject = ?", (subject,))
            self._db.execute("DELETE FROM subject WHERE id = ?", (subject,))

    def add(self, version: Version) -> int:
        """Put in one version, and return the number under which it is found."""
        document = self._present.documents[version.kind, version.blob]
        found = self._present.searchable(version.kind, version.blob)
        is_mode = version.kind == "print-mode"
        subject = self._db.execute(
            "INSERT INTO subject VALUES (NULL,?,?,?,?,?,?,?,?,?,?,?,?)",
            (
                *(version.kind, version.rid, version.path, version.seq, version.number, version.blob),
                version.standing,
                version.newest,
                document["title"],
                version.digest,
                document["substrate"] if is_mode else "",
                document["printer"] if is_mode else "",
            ),
        ).lastrowid
        facets = [*found.facets, *self._computed(version.kind, document)]
        self._db.executemany(
            "INSERT INTO facet VALUES (?,?,?,?,?)",
            ((self._setting(each.path), subject, *each[1:]) for each in facets),
        )
        if is_mode:  # only modes are looked for by words
            others = self._others_words(document)
            own = (version.rid.replace("/", " ").replace("-", " "), version.rid, found.words)
            words = " ".join((*own, *others))
            self._db.execute("INSERT INTO words (rowid, text) VALUES (?,?)", (subject, words))
        return subject or 0

    def _setting(self, path: str) -> int:
        if path not in self._settings:
            self._db.execute("INSERT OR IGNORE INTO setting (path) VALUES (?)", (path,))
            row = self._db.execute("SELECT id FROM setting WHERE path = ?", (path,)).fetchone()
            self._settings[path] = row[0]
        return self._settings[path]

    def _computed(self, kind: str, document: dict[str, Any]) -> Iterator[Facet]:
        """Yield what is computed of a mode with what is there of its substrate and printer."""
        if kind == "print-mode":
            case = self._present.case(kind, document)
            yield from computed_facets({**derive(case), FROM_COPIED: from_copied(case)})

    def _others_words(self, mode: dict[str, Any]) -> Iterator[str]:
        """Yield the words of a mode's substrate and its printer's name, by which it is found too.

        A printer's notes speak of all that it prints, so they say nothing of this mode.
        """
        for other, blob in self._present.others("print-mode", mode).items():
            if other == "printer":
                yield self._present.documents[other, blob]["title"]
            else:
                yield self._present.searchable(other, blob).words
