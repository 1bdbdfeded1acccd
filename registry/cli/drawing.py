"""What every drawing has in common: black on white, lines told apart by dashes, the same bytes again."""

from pathlib import Path
from typing import Any

import matplotlib as mpl
from matplotlib.figure import Figure

from registry.errors import RegistryError, RequestError

__all__ = ["INCHES", "line_of", "save"]

_LINES = {"solid": "-", "dashed": "--", "dotted": ":", "dash-dotted": "-."}
"""By their names, which people are told them by."""
INCHES = (10.0, 6.2)
_UNDATED: dict[str, dict[str, Any]] = {".pdf": {"CreationDate": None}, ".svg": {"Date": None}, ".png": {}}


def line_of(number: int) -> tuple[str, str]:
    """Return the name and the dashes of a drawing's n-th line.

    >>> line_of(1)
    ('dashed', '--')
    """
    return list(_LINES.items())[number % len(_LINES)]


def save(figure: Figure, path: Path, commit: str) -> Path:
    """Write a drawing to a file with the commit that it was drawn from; the same drawing, the same bytes.

    Raises
    ------
    RequestError
        The file's ending is none that can be drawn.
    RegistryError
        The file cannot be written.
    """
    form = path.suffix.lower()
    if form not in _UNDATED:
        raise RequestError(f"{str(path)!r} ends in none of {', '.join(sorted(_UNDATED))}: name the file so")
    figure.set_layout_engine("constrained", rect=(0, 0.03, 1, 0.97))  # room for the line at the foot
    figure.text(0.01, 0.005, f"computed by litstock from commit {commit[:12]}", fontsize=7, color="0.3")
    try:
        with mpl.rc_context({"svg.hashsalt": "litstock"}):
            figure.savefig(path, metadata=_UNDATED[form], dpi=150)
    except OSError as error:
        raise RegistryError(f"{str(path)!r} cannot be written: {error.strerror}") from error
    return path
