"""Whose turn it is to write to a checkout, and what the one at work there is about to do.

One file in the git directory serves both: while a litstock writes it holds the system's lock on that file,
which goes with its process however that ends; and the file tells the step under way. A step told there by
nobody that still lives was broken off.
"""

import fcntl
import json
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import local
from typing import NamedTuple

from registry.errors import RegistryError

__all__ = ["MARK", "Busy", "Turn", "Under", "turn", "under_way"]

PATIENCE_S = 60.0
MARK = b"litstock\n"
"""What git's own lock on the index holds where a litstock has taken it."""
_NAME = "litstock-writing"


class Busy(RegistryError):
    """Another litstock does not come to an end."""

    def __init__(self, git_dir: Path) -> None:
        super().__init__(git_dir)
        self.git_dir = git_dir

    def __str__(self) -> str:
        return (
            f"another litstock has been writing to {str(self.git_dir)!r} for {PATIENCE_S:.0f} s: nothing was "
            "changed; wait until it has ended, or end it, then try again"
        )


class Under(NamedTuple):
    """A step under way: the branch is to go from one commit to another, and the checkout with it."""

    ref: str
    old: str
    new: str


class Turn:
    """The right to write, held."""

    def __init__(self, file: int | None) -> None:
        self._file = file
        self.alone = file is not None
        """Whether no other litstock can be at work, so that what one has left is a dead one's."""

    def tell(self, step: Under) -> None:
        """Note what is about to be done, so that it stands on the disk before anything is."""
        self._put(json.dumps(step).encode())

    def done(self) -> None:
        """Note that nothing is under way."""
        self._put(b"")

    def left(self) -> Under | None:
        """Return the step that somebody before broke off."""
        return None if self._file is None else _read(os.pread(self._file, 4096, 0))

    def _put(self, data: bytes) -> None:
        if self._file is None:
            return
        os.ftruncate(self._file, 0)
        os.pwrite(self._file, data, 0)
        if data:
            os.fsync(self._file)


class _Held(local):
    def __init__(self) -> None:
        self.turns: dict[Path, Turn] = {}


_HELD = _Held()


@contextmanager
def turn(git_dir: Path, *, wait: bool = True) -> Iterator[Turn]:
    """Hold the right to write to the checkout of a git directory; who holds it already goes on.

    Where the file system knows no such locks, writers are held apart by git's alone, as anybody else.

    Raises
    ------
    Busy
        Another litstock holds it, at once if it is not to be waited for.
    """
    if held := _HELD.turns.get(git_dir):
        yield held
        return
    file, locked = _opened(git_dir, wait=wait)
    try:
        taken = _HELD.turns[git_dir] = Turn(file if locked else None)
        yield taken
    finally:
        _HELD.turns.pop(git_dir, None)
        if not os.fstat(file).st_size:
            (git_dir / _NAME).unlink(missing_ok=True)
        os.close(file)


def under_way(git_dir: Path) -> Under | None:
    """Return the step that is under way, or was broken off; asked at every start, so it is cheap."""
    try:
        data = (git_dir / _NAME).read_bytes()
    except OSError:
        return None
    return _read(data)


def _read(data: bytes) -> Under | None:
    with suppress(ValueError, TypeError):
        return Under(*json.loads(data)) if data else None
    return None


def _opened(git_dir: Path, *, wait: bool) -> tuple[int, bool]:
    """Open the file and lock it; who had it before may have taken it away, then it is opened anew."""
    until = time.monotonic() + (PATIENCE_S if wait else 0)
    while True:
        file = os.open(git_dir / _NAME, os.O_RDWR | os.O_CREAT, 0o666)
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            with suppress(FileNotFoundError):
                if os.path.samestat((git_dir / _NAME).stat(), os.fstat(file)):
                    return file, True
        except BlockingIOError as error:
            if time.monotonic() >= until:
                os.close(file)
                raise Busy(git_dir) from error
            time.sleep(0.005 + os.urandom(1)[0] / 5000)  # those who wait must not march in step
        except OSError:  # this file system has no such locks
            return file, False
        os.close(file)
