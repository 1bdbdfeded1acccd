"""What every drawing has in common: black on white, lines told apart by dashes, the same bytes again."""

import io
import os
import tempfile
from pathlib import Path
from typing import Any

from registry.canonical import visible
from registry.cli.saving import save
from registry.errors import RequestError

if "MPLCONFIGDIR" in os.environ:
    import matplotlib as mpl
    from matplotlib.figure import Figure
    from matplotlib.text import Text
else:  # on import matplotlib leaves a list of fonts in the home folder: let it go with a folder of its own
    with tempfile.TemporaryDirectory(prefix="litstock-") as _folder:
        os.environ["MPLCONFIGDIR"] = _folder
        import matplotlib as mpl
        from matplotlib.figure import Figure
        from matplotlib.text import Text
    del os.environ["MPLCONFIGDIR"]

__all__ = ["INCHES", "Figure", "draw_to", "line_of"]

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


def draw_to(figure: Figure, path: Path, commit: str) -> Path:
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
    for text in figure.findobj(Text):
        if isinstance(text, Text) and text.get_text():  # numbers beside an axis are set later
            text.set_parse_math(False)  # names are no mathematics, and nothing hides in them
            text.set_text(visible(text.get_text(), keep="\n"))
    drawn = io.BytesIO()
    with mpl.rc_context({"svg.hashsalt": "litstock"}):
        figure.savefig(drawn, format=form[1:], metadata=_UNDATED[form], dpi=150)
    save(path, drawn.getvalue())
    return path
