"""Renewing what there is to find, and the guidance that applies to it, after something landed."""

import sqlite3
from collections.abc import Iterable, Iterator, Sequence

from registry.index.documents import BATCH, Documents
from registry.index.present import Present
from registry.index.progress import Progress
from registry.index.reference import reference
from registry.index.subjects import Subjects
from registry.index.verdicts import Verdicts
from registry.model.kinds import KINDS
from registry.model.word import word_in

__all__ = ["refresh"]


def refresh(db: sqlite3.Connection, documents: Documents, known: int, progress: Progress) -> None:
    """Renew what depends on the records that landed after the landing `known` (0: on all)."""
    rows = db.execute(
        "SELECT DISTINCT kind, rid, path FROM revision INDEXED BY revision_n WHERE n > ?", (known,)
    )
    changed = [row for row in rows if row[0] in KINDS]
    present = Present(db, documents)
    affected = {path for _, _, path in changed}
    affected.update(_confirm(db, present, [path for kind, _, path in changed if kind == "confirmation"]))
    affected.update(_dependent(db, changed))
    subjects = Subjects(db, present)
    verdicts = Verdicts(db, present, {rid for kind, rid, _ in changed if kind == "guidance"})
    for number, batch in _batches(sorted(affected)):
        progress("reading records", number)
        for path in batch:
            subjects.forget(path)
        versions = [version for path in batch for version in present.versions(path)]
        present.load((version.kind, version.blob) for version in versions)
        for version in versions:
            verdicts.judge(subjects.add(version), version.kind, version.blob)
    verdicts.judge_others(affected)
    progress("indexing", len(affected))


def _confirm(db: sqlite3.Connection, present: Present, paths: Sequence[str]) -> Iterator[str]:
    """Note what the confirmations at `paths` say now; yield the paths of the modes that this concerns."""
    for _, batch in _batches(paths):
        present.documents.read(blob for path in batch if (blob := present.newest_blob(path)))
        for path in batch:
            blob, rid = present.newest_blob(path), path.rpartition("/")[2].removesuffix(".json")
            said = word_in(path, rid, present.documents["confirmation", blob]) if blob else None
            before = db.execute("SELECT * FROM judgement WHERE path = ?", (path,)).fetchone()
            db.execute("DELETE FROM judgement WHERE path = ?", (path,))
            if said:
                db.execute("INSERT INTO judgement VALUES (?,?,?,?,?,?,?)", said)
            for mode in {before and before[1], said and said.mode} - {None} if before != said else ():
                if concerned := reference("print-mode", mode):
                    yield concerned


def _dependent(db: sqlite3.Connection, changed: Iterable[tuple[str, str, str]]) -> Iterator[str]:
    """Yield the paths of the modes and displays whose answers rest on the changed records."""
    for kind, rid, _ in changed:
        match kind:
            case "substrate":
                rows = db.execute("SELECT path FROM subject WHERE substrate = ?", (rid,))
            case "printer":
                rows = db.execute("SELECT path FROM subject WHERE printer = ?", (rid,))
            case "application":
                rows = db.execute(
                    "SELECT d.path FROM setting s JOIN facet f ON f.setting = s.id"
                    " JOIN subject d ON d.id = f.subject AND d.kind = 'display'"
                    " WHERE s.path = 'application' AND f.txt = ?",
                    (rid,),
                )
            case _:
                continue
        yield from (path for (path,) in rows)


def _batches(paths: Sequence[str]) -> Iterator[tuple[int, Sequence[str]]]:
    for start in range(0, len(paths), BATCH):
        yield start, paths[start : start + BATCH]
