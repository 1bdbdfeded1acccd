"""Files that are handed to a command: how an option names one, and what it holds."""

import sys
from pathlib import Path
from typing import Any

import click

from registry.store.bounded import read_file, read_stream

__all__ = ["handed", "handed_path"]

_STDIN = f"{__name__}.stdin"


def handed_path(*, stdin: bool = False) -> Any:
    """Return the type of an argument or option that names a file to read; with `stdin`, - is allowed too."""
    return click.Path(exists=True, dir_okay=False, allow_dash=stdin, path_type=Path)


def handed(path: Path) -> tuple[str, bytes]:
    """Return what to call a file that was handed over, and its bytes; stdin can be read only once."""
    if str(path) == "-":
        kept = click.get_current_context().find_root().meta
        if _STDIN not in kept:
            kept[_STDIN] = read_stream(sys.stdin.buffer, "<stdin>")
        return "<stdin>", kept[_STDIN]
    return str(path), read_file(path)
