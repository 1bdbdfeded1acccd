"""The sum by which a read model's file shows that it still is what was built, byte for byte.

It stands in the header field that SQLite leaves to the program (`user_version`), counted as zero in the sum
itself: so it comes into place with the file, and no second file has to agree with the first.
"""

import os
import stat
import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path

__all__ = ["is_sealed", "seal", "sealed"]

_FIELD = slice(60, 64)  # user_version, big-endian: section 1.3 of SQLite's file format
_HEADER = 100
_CHUNK = 1 << 20
_SMALL = 32 << 20
"""Up to here a file is read whole and summed up each time, and what was summed up is what is asked: 6 ms, two
thirds of Python's own start; 300 MB would take 57 ms, six starts. A larger file is summed up when its time of
change is not the one which tells that it was summed up already: whoever writes into it, or puts another
there, moves that time."""
_SECOND = 10**9


def seal(path: Path) -> None:
    """Write its own sum into a read model that is complete and closed."""
    with path.open("r+b") as file:
        made = _sum(file.fileno())
        file.seek(_FIELD.start)
        file.write(made.to_bytes(4))
    _mark(path, made)


def is_sealed(path: Path) -> bool:
    """Tell whether a file is a read model that nobody has changed since it was sealed."""
    return sealed(path) is not None


def sealed(path: Path) -> bytes | None:
    """Return what a read model holds that nobody has changed since it was sealed, None for any other file.

    Of one that is too large to be read whole at each start nothing is returned: it is read where it lies.
    """
    try:
        file = os.open(path, os.O_RDONLY | os.O_NONBLOCK)  # a FIFO there must not be waited for
    except OSError:
        return None
    try:
        found = os.fstat(file)
        header = os.pread(file, _HEADER, 0) if stat.S_ISREG(found.st_mode) else b""
        if len(header) < _HEADER:
            return None
        told = int.from_bytes(header[_FIELD])
        if found.st_size <= _SMALL:
            data = os.pread(file, _SMALL + 1, 0)
            return data if len(data) == found.st_size and _sum_of([data]) == told else None
        if found.st_mtime_ns % _SECOND != told % _SECOND and _sum(file) != told:
            return None
    except OSError:
        return None
    finally:
        os.close(file)
    _mark(path, told)
    return b""


def _sum_of(pieces: Iterable[bytes | bytearray | memoryview]) -> int:
    """Sum up a file's bytes, the first piece with the header."""
    made = 0
    for number, piece in enumerate(pieces):
        if number:
            made = zlib.crc32(piece, made)
        else:
            head = bytearray(piece[:_HEADER])
            head[_FIELD] = bytes(4)
            made = zlib.crc32(memoryview(piece)[_HEADER:], zlib.crc32(head))
    return made


def _sum(file: int) -> int:
    """Sum up a file read in pieces: mapped into memory, one that is cut short meanwhile would kill us."""

    def pieces() -> Iterator[memoryview]:
        buffer = bytearray(_CHUNK)
        view, at = memoryview(buffer), 0
        while read := os.preadv(file, [buffer], at):
            yield view[:read]
            at += read

    return _sum_of(pieces())


def _mark(path: Path, made: int) -> None:
    """Let the fraction of the file's second tell that it was summed up."""
    second = path.stat().st_mtime_ns // _SECOND * _SECOND
    try:
        os.utime(path, ns=(second, second + made % _SECOND))
    except OSError:  # it belongs to somebody else
        return
