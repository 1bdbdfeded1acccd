"""A drawing of a timeline: one lane for each sort of entry, the three clocks apart."""

import datetime
from pathlib import Path
from typing import Any

from registry.change.timeline import Entry, Timeline
from registry.cli.drawing import INCHES, Figure, draw_to
from registry.errors import RequestError
from registry.question.registry import Registry

__all__ = ["draw"]

_LANES = {
    "recorded": "o",
    "landed": "s",
    "in force": "^",
    "run": "|",
    "event": "D",
    "confirmation": "P",
    "complaint": "X",
}
"""Sorts of entries from above, each with its mark."""
_ROWS = 4
"""So many labels stand one above another in a lane before the next is left out."""
_SHARE = 0.012
"""Of the width of the drawing that one character takes."""
_LETTERS = 26


def draw(registry: Registry, answer: Timeline, path: Path) -> Path:
    """Draw a timeline; see `registry.cli.drawing.draw_to`. Labels for which there is no room are left out."""
    if not answer.entries:
        raise RequestError(f"nothing is on record of {answer.rid}: there is nothing to draw")
    lanes = [what for what in _LANES if any(each.what == what for each in answer.entries)]
    figure = Figure(figsize=(INCHES[0], 1.2 + 0.85 * len(lanes)), layout="constrained")
    figure.suptitle(answer.title, fontsize=11)
    plot: Any = figure.subplots()
    first, last = answer.entries[0].at, max(each.until for each in answer.entries)
    width = max(last - first, 24 * 3600.0)
    for lane, what in enumerate(reversed(lanes)):
        told = [each for each in answer.entries if each.what == what]
        plot.axhline(lane, color="0.8", linewidth=0.8, zorder=0)
        plot.plot(
            [_date(registry, each.at) for each in told],
            [lane] * len(told),
            _LANES[what],
            color="black",
            markersize=6,
            fillstyle="none",
        )
        for each, row in _placed(told, first, width):
            label = _label(each)
            plot.annotate(
                label,
                (_date(registry, each.at), lane),
                xytext=(0, 6 + 9 * row),
                textcoords="offset points",
                fontsize=7,
                ha="left",
            )
    plot.set_yticks(range(len(lanes)), labels=list(reversed(lanes)), fontsize=9)
    plot.set_ylim(-0.4, len(lanes) - 0.1)
    plot.set_xlim(_date(registry, first - 0.02 * width), _date(registry, first + 1.15 * width))
    plot.tick_params(axis="x", labelsize=8)
    for side in ("top", "right", "left"):
        plot.spines[side].set_visible(False)
    return draw_to(figure, path, answer.commit)


def _date(registry: Registry, at: float) -> datetime.datetime:
    """Return a moment as it stands on the registry's clock: what draws knows nothing of zones."""
    return registry.time(at).replace(tzinfo=None)


def _label(entry: Entry) -> str:
    words = entry.revision if entry.what in {"recorded", "landed", "in force"} else entry.words
    return words if len(words) <= _LETTERS else f"{words[: _LETTERS - 1].rstrip()}…"


def _placed(told: list[Entry], first: float, width: float) -> list[tuple[Entry, int]]:
    """Return the entries whose labels find room, each with the row above its lane in which they do."""
    free = [float("-inf")] * _ROWS
    placed = []
    for each in told:
        at = (each.at - first) / width
        row = next((row for row, end in enumerate(free) if end <= at), None)
        if row is not None:
            placed.append((each, row))
            free[row] = at + _SHARE * (len(_label(each)) + 1)
    return placed
