"""Writing a file whole or not at all: it is written beside, and then put in its place."""

import os
from contextlib import suppress
from pathlib import Path
from shutil import copymode

from registry.errors import RegistryError

__all__ = ["save"]


def save(path: Path, data: bytes) -> None:
    """Write a file; if that fails, what stood there before still does, and nothing else is left.

    Raises
    ------
    RegistryError
        The file cannot be written.
    """
    try:
        target = path.resolve()  # a link stays one
        if target.exists() and not target.is_file():  # such as /dev/stdout: nothing can be put in its place
            path.write_bytes(data)
        else:
            _replace(target, data)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise RegistryError(
            f"cannot write {str(path)!r}: {why}; name a file in a folder that is there, may be written to "
            "and has room"
        ) from error


def _replace(target: Path, data: bytes) -> None:
    beside = target.with_name(f".litstock-{os.getpid()}.part")
    try:
        beside.write_bytes(data)
        if target.exists():
            copymode(target, beside)
        beside.replace(target)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise
