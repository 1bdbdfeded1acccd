"""The sum by which a read model's file shows that it still is what was built, byte for byte.

It stands in the header field that SQLite leaves to the program (`user_version`), counted as zero in the sum
itself: so it comes into place with the file, and no second file has to agree with the first.
"""

import os
import stat
import zlib
from pathlib import Path

__all__ = ["is_sealed", "seal"]

_FIELD = slice(60, 64)  # user_version, big-endian: section 1.3 of SQLite's file format
_HEADER = 100
_CHUNK = 1 << 20
_SMALL = 32 << 20
"""Up to here a file is summed up each time: 6 ms, two thirds of Python's own start; 300 MB would take 57 ms,
six starts. A larger file is summed up when its time of change is not the one which tells that it was
summed up already: whoever writes into it or puts another there moves that time."""
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
    try:
        file = os.open(path, os.O_RDONLY | os.O_NONBLOCK)  # a FIFO there must not be waited for
    except OSError:
        return False
    try:
        found = os.fstat(file)
        header = os.pread(file, _HEADER, 0) if stat.S_ISREG(found.st_mode) else b""
        if len(header) < _HEADER:
            return False
        told = int.from_bytes(header[_FIELD])
        if found.st_size > _SMALL and found.st_mtime_ns % _SECOND == told % _SECOND:
            return True
        if _sum(file) != told:
            return False
    except OSError:
        return False
    finally:
        os.close(file)
    if found.st_size > _SMALL:
        _mark(path, told)
    return True


def _sum(file: int) -> int:
    """Sum up a file read in pieces: mapped into memory, one that is cut short meanwhile would kill us."""
    buffer = bytearray(_CHUNK)
    view, made, at = memoryview(buffer), 0, 0
    while read := os.preadv(file, [buffer], at):
        if at == 0:
            buffer[_FIELD] = bytes(4)
        made = zlib.crc32(view[:read], made)
        at += read
    return made


def _mark(path: Path, made: int) -> None:
    """Let the fraction of the file's second tell that it was summed up."""
    second = path.stat().st_mtime_ns // _SECOND * _SECOND
    try:
        os.utime(path, ns=(second, second + made % _SECOND))
    except OSError:  # it belongs to somebody else
        return
