"""Typeset sheets as files: a PDF, or a PNG for each page."""

from collections.abc import Callable
from pathlib import Path
from typing import cast, get_args

from registry.card.request import Form
from registry.cli.output import done
from registry.cli.saving import save
from registry.errors import RequestError

__all__ = ["save_sheet"]

_FORMS = get_args(Form)


def save_sheet(output: Path, typeset: Callable[[Form], list[bytes]]) -> list[Path]:
    """Typeset a sheet in the form that a file's ending names, and return the files that were written."""
    form = output.suffix.lower().removeprefix(".")
    if form not in _FORMS:
        raise RequestError(
            f"{str(output)!r} is neither a .pdf nor a .png: the ending decides what is written"
        )
    sheet = typeset(cast("Form", form))
    files = [output, *(output.with_stem(f"{output.stem}-{page}") for page in range(2, len(sheet) + 1))]
    for file, data in zip(files, sheet, strict=True):
        save(file, data)
        done(f"wrote {file}")
    return files
