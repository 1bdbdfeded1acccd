"""Finding, checking and renewing the read model of a registry.

A read model's file is never changed once it is in place: what is newer is built beside it, upon a copy where
only something landed since, and moved into place. So whoever reads has one whole state for as long as it
reads, two who build do not meet, a build that is broken off leaves nothing but a file to sweep away, and a
sum of all its bytes tells a damaged one, which is built anew.
"""

import os
import sqlite3
import time
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from registry import __version__
from registry.errors import RegistryError
from registry.index.progress import Progress
from registry.index.reading import DamagedIndex, connected
from registry.index.readmodel import ReadModel
from registry.index.seal import is_sealed, seal, sealed
from registry.index.tables import TABLES
from registry.shipped import shipped
from registry.store.repository import NotOnChain, Repository

__all__ = ["IndexUnusable", "opened", "place_of"]

_PACKAGE = Path(__file__).parent.parent
_MAKERS = (
    "derived.py",
    "light/ink.py",
    "model/fire.py",
    "model/forms.py",
    "model/kinds.py",
    "model/scales.py",
    "model/schemas.py",
    "model/shape.py",
    "model/sound.py",
    "model/sourced.py",
    "model/versions.py",
    "model/word.py",
)
"""Beside this package: what says where a record belongs, what of it is a setting, and what is computed."""

_STALE_S = 24 * 3600
"""After so long without a change an unfinished file belongs to nobody any more."""


class IndexUnusable(RegistryError):
    """The read model cannot be built."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(path, why)
        self.path = path
        self.why = why

    def __str__(self) -> str:
        return (
            f"the read model {str(self.path)!r} cannot be built ({self.why}): make room, or see that you may "
            "write there; where that cannot be, XDG_CACHE_HOME names another folder for registries that you "
            "may only read"
        )


def opened(repository: Repository, tip: str, environ: Mapping[str, str], progress: Progress) -> ReadModel:
    """Return the read model as of `tip`, brought up to date or built anew as needed."""
    path = place_of(repository, environ)
    key = _key(repository)
    db, old = _in_place(path, key)
    if db and old == tip:
        return ReadModel(db, tip)
    if db:
        db.close()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _sweep(path)
        if old:
            # The branch may have been rewritten, the file may be damaged, or gone by now: then all anew.
            with suppress(NotOnChain, OSError, sqlite3.Error):
                return ReadModel(_built(path, key, repository, tip, progress, copied=True), tip)
        return ReadModel(_built(path, key, repository, tip, progress, copied=False), tip)
    except (OSError, sqlite3.Error) as error:
        raise IndexUnusable(path, str(error)) from error


def place_of(repository: Repository, environ: Mapping[str, str]) -> Path:
    """Return where the read model lies: the common git directory, else the user's cache folder."""
    folder = repository.common_dir / "litstock"
    if os.access(folder if folder.exists() else repository.common_dir, os.W_OK):
        return folder / "read-model.sqlite"
    import hashlib  # noqa: PLC0415 (2 ms that only who may not write there pays)

    # XDG Base Directory Specification: a path that is not absolute is to be ignored.
    cache = Path(environ.get("XDG_CACHE_HOME", ""))
    if not cache.is_absolute():
        try:
            cache = Path.home() / ".cache"
        except RuntimeError as error:
            raise IndexUnusable(cache, str(error)) from error
    name = hashlib.sha256(os.fsencode(repository.common_dir)).hexdigest()[:16]
    return cache / "litstock" / f"{name}.sqlite"


def _key(repository: Repository) -> str:
    """Return what the read model depends on beside the tip: program, schemas, where history is cut off.

    Of the program not only its version: who works on it must not be answered by what it computed before.
    """
    check = 0
    for path in (*_makers(), *sorted(shipped("schema").glob("*.json"))):
        check = zlib.crc32(path.read_bytes(), check)
    if repository.shallow:
        check = zlib.crc32((repository.common_dir / "shallow").read_bytes(), check)
    return f"{__version__} {check:08x}"


def _makers() -> list[Path]:
    """Return the source of what the read model's content is made by."""
    return [*sorted((_PACKAGE / "index").glob("*.py")), *(_PACKAGE / name for name in _MAKERS)]


def _in_place(path: Path, key: str) -> tuple[sqlite3.Connection | None, str]:
    """Return the read model that is in place, open for reading, and its tip; "" where none can be used."""
    data = sealed(path)
    if data is None:
        return None, ""
    try:
        db = connected(path, data)
    except sqlite3.Error:  # gone by now
        return None, ""
    if old := _tip(db, key):
        return db, old
    db.close()
    return None, ""


def _tip(db: sqlite3.Connection, key: str) -> str:
    """Return the tip of a read model of this key, "" for any other file."""
    try:
        row = db.execute("SELECT tip FROM made WHERE key = ?", (key,)).fetchone()
    except (DamagedIndex, sqlite3.Error):  # cut short, not a database, or of other tables
        return ""
    return str(row[0]) if row else ""


def _built(
    path: Path, key: str, repository: Repository, tip: str, progress: Progress, *, copied: bool
) -> sqlite3.Connection:
    """Build the read model in a file of its own, anew or upon a copy, and move it into place."""
    from shutil import copyfile  # noqa: PLC0415 (only who builds pays)

    from registry.index.build import extend  # noqa: PLC0415

    with _unfinished(path) as file:
        if copied:
            copyfile(path, file)
            if not is_sealed(file):
                raise sqlite3.DatabaseError("another program has put its own there")
        db = sqlite3.connect(file, isolation_level=None)
        try:
            after = _prepared(db, key, copied=copied)
            db.execute("BEGIN")
            extend(db, repository, tip, after, progress)
            db.execute("UPDATE made SET key = ?, tip = ?", (key, tip))
            db.execute("COMMIT")
            if not copied:
                db.execute("ANALYZE")
        finally:
            db.close()
        seal(file)
        ready = connected(file)  # before the move: afterwards another may have put a newer one there
        try:
            with suppress(OSError):  # a folder that somebody has put there, and that holds nothing
                path.rmdir()
            file.replace(path)
        except BaseException:
            ready.close()
            raise
    ready.path = path
    return ready


def _prepared(db: sqlite3.Connection, key: str, *, copied: bool) -> str:
    """Make a file ready to be built in, and return the tip as of which it is ("" anew)."""
    db.execute("PRAGMA synchronous = OFF")  # a broken build is thrown away
    db.execute("PRAGMA journal_mode = OFF")
    if not copied:
        db.executescript(TABLES)
    elif tip := _tip(db, key):
        return tip
    else:
        raise sqlite3.DatabaseError("another program has put its own there")
    return ""


@contextmanager
def _unfinished(path: Path) -> Iterator[Path]:
    """Name a file to build in; if it has not been moved away in the end, it is removed."""
    file = path.with_name(f"{path.name}.{os.urandom(4).hex()}.building")
    try:
        yield file
    finally:
        file.unlink(missing_ok=True)


def _sweep(path: Path) -> None:
    """Remove what a build that was broken off has left."""
    for file in path.parent.glob(f"{path.name}.*.building"):
        with suppress(OSError):  # somebody else removed it
            if time.time() - file.stat().st_mtime > _STALE_S:
                file.unlink()
