"""Questions to the read model; the only place that speaks SQL to it."""

import json
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from registry.index.judged import counting_words, is_confirmed
from registry.model.word import Word

__all__ = ["Landed", "ReadModel", "Revision", "Rule", "Subject", "Value", "Written"]


class Landed(NamedTuple):
    """One landing on the shared branch."""

    n: int
    commit: str
    landed: int
    """Epoch seconds: the latest that a committer's clock has said up to here, since clocks fall back."""
    clock: int
    """Epoch seconds that the committer's own clock said."""
    offset: int
    """Minutes east of UTC of that clock."""
    committer: str
    writers: tuple[str, ...]
    """Who wrote what it brought, oldest first."""
    subject: str


class Revision(NamedTuple):
    """One landed revision of a file below `records/`."""

    path: str
    seq: int
    """Its place among what has landed at this path: it orders, and is never shown."""
    n: int
    """The landing that brought it."""
    status: str
    """A added, M changed, D removed, T changed its type."""
    kind: str
    rid: str
    blob: str
    revision: int | None
    """The number that the file itself gives; None where it cannot be read, or is no record."""
    recorded: str | None
    recorded_site: str | None
    reason: str | None
    standing: str | None
    """What the file says of itself: trial, known-good, withdrawn, current."""
    digest: str | None
    fault: str | None

    @property
    def label(self) -> str:
        """What people call it: by the number in its file, else by how it came to be there."""
        return f"r{self.revision}" if self.revision else f"its landing {self.n}"


class Written(NamedTuple):
    """What a commit beside the chain wrote of a file: it landed so, was replaced before, or merged away."""

    path: str
    n: int
    """The landing that brought the commit."""
    commit_id: str
    committed: int
    """Epoch seconds, by its committer's clock."""
    author: str
    status: str
    kind: str
    rid: str
    blob: str
    before: str
    """The file that it replaced; "" where none was there. Of a merge one for each side that had another, with
    spaces between."""
    revision: int | None
    recorded: str | None
    recorded_site: str | None
    reason: str | None
    standing: str | None
    digest: str | None
    fault: str | None

    @property
    def seq(self) -> int:
        """Return 0: it is no step of what has landed at this path."""
        return 0

    @property
    def label(self) -> str:
        """What people call it: by the number in its file, else by the commit."""
        return f"r{self.revision}" if self.revision else f"commit {self.commit_id[:12]}"


class Subject(NamedTuple):
    """Something to be found: a record, or a revision of a mode."""

    id: int
    kind: str
    rid: str
    path: str
    seq: int
    number: int
    """The number that its file gives, by which people call it."""
    blob: str
    standing: str
    """Trial, known-good, withdrawn or current; known good only while its own settings are confirmed."""
    newest: int
    title: str
    digest: str
    substrate: str
    printer: str


class Value(NamedTuple):
    """One searchable value."""

    num: float | None
    txt: str


class Rule(NamedTuple):
    """One guidance rule in force."""

    rid: str
    level: str
    text: str
    source: str
    of_mode: int
    of_place: int


_SUBJECT = f"SELECT {', '.join(Subject._fields)} FROM subject"  # noqa: S608 (names of our own)
_WRITTEN = f"SELECT {', '.join(Written._fields)} FROM written"  # noqa: S608 (names of our own)
_REVISION = f"SELECT {', '.join(Revision._fields)} FROM revision"  # noqa: S608 (names of our own)


class ReadModel:
    """What has landed, ready to be asked."""

    def __init__(self, db: sqlite3.Connection, tip: str) -> None:
        self._db = db
        self.tip = tip
        """The commit as of which it answers."""

    @property
    def db(self) -> sqlite3.Connection:
        """The open file, for the other questions that this package asks."""
        return self._db

    def close(self) -> None:
        """Close the file."""
        self._db.close()

    def version(self) -> int:
        """Return for which schema version the registry is written."""
        return int(self._db.execute("SELECT version FROM made").fetchone()[0])

    def kinds_of(self, blobs: Iterable[str]) -> dict[str, str]:
        """Return of what kind the records in these files are, by blob."""
        query = (
            "SELECT blob, kind FROM revision WHERE blob IN (SELECT value FROM json_each(?1))"
            " UNION SELECT blob, kind FROM written WHERE blob IN (SELECT value FROM json_each(?1))"
        )
        return dict(self._db.execute(query, (json.dumps(list(blobs)),)))

    # -- what landed, and when -------------------------------------------------------------------------

    def landings(self) -> list[Landed]:
        """Return every landing, oldest first."""
        return [_landed(row) for row in self._db.execute("SELECT * FROM landing ORDER BY n")]

    def landing(self, n: int) -> Landed:
        """Return one landing by its number."""
        return _landed(self._db.execute("SELECT * FROM landing WHERE n = ?", (n,)).fetchone())

    def landing_of(self, commit: str) -> Landed | None:
        """Return the landing that is this commit, or None where it is no step of the shared branch."""
        row = self._db.execute("SELECT * FROM landing WHERE commit_id = ?", (commit,)).fetchone()
        return _landed(row) if row else None

    def last_landing(self, until: float | None = None) -> Landed | None:
        """Return the last landing up to a moment (epoch seconds)."""
        row = self._db.execute(
            "SELECT * FROM landing WHERE ?1 IS NULL OR landed <= ?1 ORDER BY n DESC LIMIT 1", (until,)
        ).fetchone()
        return _landed(row) if row else None

    def strayed(self) -> list[str]:
        """Return where the shared branch has stood, as this clone saw it, that is no step of it any more."""
        return [commit for (commit,) in self._db.execute("SELECT commit_id FROM strayed ORDER BY commit_id")]

    def revisions(self, path: str) -> list[Revision]:
        """Return every landed revision of a file, oldest first."""
        return [
            Revision(*row) for row in self._db.execute(f"{_REVISION} WHERE path = ? ORDER BY seq", (path,))
        ]

    def written(self, path: str) -> list[Written]:
        """Return what commits beside the chain, and merges on it, wrote of a file, as they came."""
        rows = self._db.execute(f"{_WRITTEN} WHERE path = ? ORDER BY n, place", (path,))
        return [Written(*row) for row in rows]

    def revisions_at(self, paths: Iterable[str], n: int | None = None) -> dict[str, Revision]:
        """Return each file's last revision up to the landing `n` (None: the newest), by path.

        A removed file has a revision with the status D; one that had not landed by then is absent.
        """
        rows = self._db.execute(
            f"{_REVISION} AS r WHERE path IN (SELECT value FROM json_each(?1)) AND seq ="  # noqa: S608
            " (SELECT max(seq) FROM revision WHERE path = r.path AND (?2 IS NULL OR n <= ?2))",
            (json.dumps(list(paths)), n),
        )
        return {row[0]: Revision(*row) for row in rows}

    def revisions_between(self, after: int, until: int) -> list[Revision]:
        """Return what the landings numbered above `after` and up to `until` brought, in order."""
        rows = self._db.execute(f"{_REVISION} WHERE n > ? AND n <= ? ORDER BY n, path", (after, until))
        return [Revision(*row) for row in rows]

    def recorded_after(self, days: Mapping[int, str]) -> list[Revision]:
        """Return the revisions that say they were recorded after a day, which is given for each landing."""
        rows = self._db.execute(
            f"{_REVISION}"  # noqa: S608
            " JOIN (SELECT CAST(key AS INTEGER) AS at, value AS day FROM json_each(?)) ON at = n"
            " WHERE recorded > day ORDER BY n, path",
            (json.dumps(days),),
        )
        return [Revision(*row) for row in rows]

    def gone(self, rid: str, kinds: Iterable[str]) -> list[Revision]:
        """Return the last revision of every record with this id that was removed or cannot be read."""
        query = (
            f"{_REVISION} AS r WHERE kind = ? AND rid = ? AND (status = 'D' OR fault IS NOT NULL)"  # noqa: S608
            " AND seq = (SELECT max(seq) FROM revision WHERE path = r.path)"
        )
        return [Revision(*row) for kind in kinds for row in self._db.execute(query, (kind, rid))]

    def standing(self, revision: Revision | Written) -> str:
        """Return how a revision stands now: a mode is known good only while its settings are confirmed."""
        said = revision.standing or "current"
        if revision.kind != "print-mode" or said != "known-good":
            return said
        return said if is_confirmed(self._db, revision.rid, revision.digest or "") else "trial"

    def words(self, mode: str, digest: str) -> list[Word]:
        """Return what sites have said of a mode's settings, as far as it counts, as it was said."""
        return [word for word in counting_words(self._db, [digest]) if word.mode == mode]

    def faults(self) -> list[Revision]:
        """Return the files that are there now and cannot be read, and those in no record's place."""
        rows = self._db.execute(
            f"{_REVISION} AS r WHERE fault IS NOT NULL AND status != 'D'"  # noqa: S608
            " AND seq = (SELECT max(seq) FROM revision WHERE path = r.path) ORDER BY path"
        )
        return [Revision(*row) for row in rows]

    # -- what is to be found ---------------------------------------------------------------------------

    def subjects(self, kind: str, *, newest: bool | None = None) -> list[Subject]:
        """Return what there is of one kind; `newest` leaves out, or keeps only, earlier known-good modes."""
        rows = self._db.execute(
            f"{_SUBJECT} WHERE kind = ?1 AND (?2 IS NULL OR newest = ?2) ORDER BY rid, newest",
            (kind, newest),
        )
        return [Subject(*row) for row in rows]

    def named(self, rid: str, kind: str | None = None) -> list[Subject]:
        """Return the newest revision of every record with this id (of one kind, if given)."""
        rows = self._db.execute(
            f"{_SUBJECT} WHERE rid = ?1 AND newest AND (?2 IS NULL OR kind = ?2) ORDER BY kind", (rid, kind)
        )
        return [Subject(*row) for row in rows]

    def ending(self, tail: str) -> list[Subject]:
        """Return the newest revision of every record whose id ends with these whole parts."""
        query = f"{_SUBJECT} WHERE newest AND substr(rid, -length(?1) - 1) = '/' || ?1 ORDER BY kind, rid"
        return [Subject(*row) for row in self._db.execute(query, (tail,))]

    def titled(self, parts: Iterable[str], kinds: Iterable[str]) -> list[Subject]:
        """Return what is in use, of these kinds, and has one of these parts of words in its title or id."""
        query = (
            f"{_SUBJECT} WHERE newest AND standing != 'withdrawn'"  # noqa: S608
            " AND kind IN (SELECT value FROM json_each(?1))"
            " AND EXISTS (SELECT 1 FROM json_each(?2) WHERE instr(lower(title || ' ' || rid), value))"
            " ORDER BY kind, rid"
        )
        rows = self._db.execute(query, (json.dumps(list(kinds)), json.dumps(list(parts))))
        return [Subject(*row) for row in rows]

    def last_known_good(self, mode: Subject) -> Subject | None:
        """Return the last known-good revision of a mode whose newest is on trial, or None."""
        row = self._db.execute(f"{_SUBJECT} WHERE path = ? AND NOT newest", (mode.path,)).fetchone()
        return Subject(*row) if row else None

    def versions(self, path: str) -> list[Subject]:
        """Return what is to be found of one record: its newest revision, and a known-good one before."""
        rows = self._db.execute(f"{_SUBJECT} WHERE path = ? ORDER BY seq", (path,))
        return [Subject(*row) for row in rows]

    def ids(self, kind: str | None = None) -> list[tuple[str, str]]:
        """Return kind and id of every record, for completion and suggestions."""
        query = "SELECT kind, rid FROM subject WHERE newest AND (?1 IS NULL OR kind = ?1) ORDER BY kind, rid"
        return [(row[0], row[1]) for row in self._db.execute(query, (kind,))]

    def holding(self, kind: str, wanted: Mapping[str, str]) -> list[Subject]:
        """Return the records of one kind whose settings have exactly these texts, by path."""
        tests = "".join(
            " AND EXISTS (SELECT 1 FROM facet f JOIN setting s ON s.id = f.setting"  # noqa: S608
            f" WHERE f.subject = subject.id AND s.path = ?{2 * n + 2} AND f.txt = ?{2 * n + 3})"
            for n in range(len(wanted))
        )
        values = [part for pair in wanted.items() for part in pair]
        rows = self._db.execute(f"{_SUBJECT} WHERE kind = ?1 AND newest{tests} ORDER BY rid", (kind, *values))
        return [Subject(*row) for row in rows]

    def values(self, path: str, kind: str) -> dict[int, list[Value]]:
        """Return every subject's values of one setting; subjects that lack it are absent."""
        found: dict[int, list[Value]] = {}
        rows = self._db.execute(
            "SELECT f.subject, f.num, f.txt FROM setting s JOIN facet f ON f.setting = s.id"
            " JOIN subject ON subject.id = f.subject WHERE s.path = ? AND subject.kind = ?"
            " ORDER BY f.subject, f.item",
            (path, kind),
        )
        for subject, num, txt in rows:
            found.setdefault(subject, []).append(Value(num, txt))
        return found

    def paths(self, kind: str) -> list[str]:
        """Return every setting's path that some record of the kind has."""
        rows = self._db.execute(
            "SELECT path FROM setting s WHERE EXISTS (SELECT 1 FROM facet f"
            " JOIN subject ON subject.id = f.subject WHERE f.setting = s.id AND subject.kind = ?)"
            " ORDER BY path",
            (kind,),
        )
        return [path for (path,) in rows]

    # -- guidance --------------------------------------------------------------------------------------

    def rules(self) -> list[Rule]:
        """Return every guidance rule in force."""
        return [Rule(*row) for row in self._db.execute("SELECT * FROM rule ORDER BY rid")]

    def verdicts(self, subjects: Iterable[int]) -> dict[int, dict[str, bool | None]]:
        """Return what each rule answers for each subject on its own side; what does not hold is absent."""
        wanted: Sequence[int] = list(subjects)
        found: dict[int, dict[str, bool | None]] = {subject: {} for subject in wanted}
        query = "SELECT subject, rule, holds FROM verdict WHERE subject IN (SELECT value FROM json_each(?))"
        for subject, rule, holds in self._db.execute(query, (json.dumps(wanted),)):
            found[subject][rule] = None if holds is None else bool(holds)
        return found


def _landed(row: tuple[int, str, int, int, int, str, str, str]) -> Landed:
    n, commit, landed, clock, offset, committer, writers, subject = row
    return Landed(n, commit, landed, clock, offset, committer, tuple(json.loads(writers)), subject)
