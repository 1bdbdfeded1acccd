"""The connection by which a read model is read: damage is said in words, and the file taken away."""

import sqlite3
from contextlib import suppress
from pathlib import Path
from typing import Any

from registry.errors import RegistryError

__all__ = ["DamagedIndex", "connected"]

_DAMAGE = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_IOERR}


class DamagedIndex(RegistryError):
    """A read model turned out to be damaged while it was read."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(path, why)
        self.path = path
        self.why = why

    def __str__(self) -> str:
        return (
            f"the read model {str(self.path)!r} was damaged ({self.why}) and is removed: ask again, "
            "and it is built anew from git"
        )


def connected(path: Path, data: bytes = b"") -> "_Connection":
    """Open a file that nobody changes any more, or what it held when it was read."""
    if data:
        held = sqlite3.connect(":memory:", factory=_Connection)
        held.deserialize(data)
        held.path = path
        return held
    db = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True, factory=_Connection)
    db.path = path
    return db


class _Connection(sqlite3.Connection):
    path = Path()

    def execute(self, *asked: Any) -> "_Rows":
        return super().cursor(_Rows).execute(*asked)


class _Rows(sqlite3.Cursor):
    def execute(self, *asked: Any) -> "_Rows":
        try:
            super().execute(*asked)
        except sqlite3.DatabaseError as error:
            raise self._said(error) from error
        return self

    def __next__(self) -> Any:
        try:
            return super().__next__()
        except sqlite3.DatabaseError as error:
            raise self._said(error) from error

    def fetchone(self) -> Any:
        return next(self, None)

    def fetchall(self) -> list[Any]:
        return list(self)

    def _said(self, error: sqlite3.DatabaseError) -> Exception:
        path = getattr(self.connection, "path", Path())
        # What sqlite3 itself finds wrong with a value, such as a text that is no UTF-8, has no code.
        code = getattr(error, "sqlite_errorcode", None)
        if not isinstance(error, sqlite3.OperationalError) if code is None else code & 0xFF not in _DAMAGE:
            return error
        with suppress(OSError):
            path.unlink()
        return DamagedIndex(path, str(error))
