"""Reading a file that others wrote: a regular one only, and no more of it than a limit."""

import os
import stat
from pathlib import Path
from typing import BinaryIO

from registry.errors import RegistryError

__all__ = ["DEVICE", "LARGEST_FILE", "LARGEST_HANDED", "NotReadable", "kind_of", "read_file", "read_stream"]

_MIB = 2**20
LARGEST_HANDED = 16 * _MIB
"""Bytes of a file that is handed to a command: as much as the largest attachment may hold."""
LARGEST_FILE = 64 * _MIB
"""Bytes of a file in a registry's folder that is looked at at all; what a record may hold is far less."""
DEVICE = "device or pipe"
"""What something is called that is neither file, folder nor link."""
_TOO_LARGE = "too large"


class NotReadable(RegistryError):
    """What was to be read is no regular file, or holds too much."""

    def __init__(self, name: str, found: str, limit: int) -> None:
        super().__init__(name, found, limit)
        self.name, self.found, self.limit = name, found, limit

    def __str__(self) -> str:
        return f"{self.name!r} is {self.found}: give a file of at most {self.limit // _MIB} MiB"


def read_file(path: Path, limit: int = LARGEST_HANDED) -> bytes:
    """Return what a regular file holds; links are followed.

    Raises
    ------
    NotReadable
        It is a folder, a device or a pipe, or larger than `limit`, at once or while it is read.
    OSError
        It is not there, or may not be read.
    """
    # Without O_NONBLOCK opening a pipe waits for a writer, who may never come.
    number = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with open(number, "rb") as file:  # noqa: PTH123 (a descriptor)
        state = os.fstat(number)
        if found := kind_of(state):
            raise NotReadable(str(path), f"a {found}", limit)
        if state.st_size > limit:
            raise NotReadable(str(path), _TOO_LARGE, limit)
        return read_stream(file, str(path), limit)


def read_stream(stream: BinaryIO, name: str, limit: int = LARGEST_HANDED) -> bytes:
    """Return what comes out of a stream up to its end, or refuse it as soon as it is too much."""
    data = stream.read(limit + 1)  # a file may grow while it is read, and some have no end
    if len(data) > limit:
        raise NotReadable(name, _TOO_LARGE, limit)
    return data


def kind_of(state: os.stat_result) -> str:
    """Return what something is that is no regular file; empty where it is one."""
    if stat.S_ISREG(state.st_mode):
        return ""
    return "folder" if stat.S_ISDIR(state.st_mode) else DEVICE
