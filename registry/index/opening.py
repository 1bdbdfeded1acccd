"""Finding, checking and renewing the read model of a registry."""

import hashlib
import os
import sqlite3
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

from registry import __version__
from registry.errors import RegistryError
from registry.index.build import Progress, extend
from registry.index.readmodel import ReadModel
from registry.index.tables import TABLES
from registry.shipped import shipped
from registry.store.repository import Repository

__all__ = ["IndexUnusable", "opened", "place_of"]

_WAIT_S = 60.0


class IndexUnusable(RegistryError):
    """The read model can neither be read nor built."""


def opened(repository: Repository, tip: str, environ: Mapping[str, str], progress: Progress) -> ReadModel:
    """Return the read model as of `tip`, brought up to date or built anew as needed."""
    return ReadModel(_connected(repository, tip, environ, progress), tip)


def _connected(
    repository: Repository, tip: str, environ: Mapping[str, str], progress: Progress
) -> sqlite3.Connection:
    path = place_of(repository, environ)
    try:
        db = _usable(path)
        if db is None:
            return _rebuilt(path, repository, tip, progress)
        if _tip(db) == tip:
            return db
        if _brought_up_to_date(db, repository, tip, progress):
            return db
        db.close()
        return _rebuilt(path, repository, tip, progress)
    except sqlite3.Error as error:
        raise IndexUnusable(
            f"the read model {str(path)!r} cannot be used ({error}): delete it, nothing is lost"
        ) from error


def place_of(repository: Repository, environ: Mapping[str, str]) -> Path:
    """Return where the read model lies: the common git directory, else the user's cache folder."""
    folder = repository.common_dir / "litstock"
    if os.access(folder if folder.exists() else repository.common_dir, os.W_OK):
        return folder / "read-model.sqlite"
    cache = Path(environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    name = hashlib.sha256(os.fsencode(repository.common_dir)).hexdigest()[:16]
    return cache / "litstock" / f"{name}.sqlite"


def _program() -> str:
    """Return what the read model depends on beside git: this program and the shipped schemas."""
    digest = hashlib.sha256(__version__.encode())
    for path in sorted(shipped("schema").glob("*.json")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def _usable(path: Path) -> sqlite3.Connection | None:
    """Return the read model if this program made it and it is whole."""
    if not path.exists():
        return None
    db = sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None)
    try:
        row = db.execute("SELECT value FROM meta WHERE name = 'program'").fetchone()
    except sqlite3.DatabaseError:  # not a database, or cut short
        row = None
    if row and row[0] == _program():
        return db
    db.close()
    return None


def _tip(db: sqlite3.Connection) -> str:
    row = db.execute("SELECT value FROM meta WHERE name = 'tip'").fetchone()
    return str(row[0]) if row else ""


def _brought_up_to_date(db: sqlite3.Connection, repository: Repository, tip: str, progress: Progress) -> bool:
    """Add what landed since, in one transaction; False where the shared branch was rewritten."""
    db.execute("BEGIN IMMEDIATE")
    try:
        old = _tip(db)  # another process may have been faster
        if old != tip:
            if not old or not tip or not repository.is_on_first_parent_chain(old, tip):
                db.execute("ROLLBACK")
                return False
            extend(db, repository, tip, old, progress)
            db.execute("UPDATE meta SET value = ? WHERE name = 'tip'", (tip,))
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise
    return True


def _rebuilt(path: Path, repository: Repository, tip: str, progress: Progress) -> sqlite3.Connection:
    """Build the read model into a temporary file and move it into place."""
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(f"{path.name}.{os.getpid()}.building")
    unfinished.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(unfinished, isolation_level=None)) as db:
            db.execute("PRAGMA synchronous = OFF")  # a broken build is thrown away
            db.execute("PRAGMA journal_mode = OFF")
            db.executescript(TABLES)
            db.execute("BEGIN")
            extend(db, repository, tip, "", progress)
            values = (("program", _program()), ("tip", tip))
            db.executemany("INSERT INTO meta VALUES (?, ?)", values)
            db.execute("COMMIT")
            db.execute("ANALYZE")
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)
    return sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None)
