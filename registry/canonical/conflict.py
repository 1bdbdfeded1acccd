"""What git leaves in a text that it could not merge: one fault, and the text as either side has it."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from registry.canonical.fault import Fault

__all__ = ["Unmerged", "unmerged"]

_MARK = re.compile(r"(<{7}|\|{7}|={7}|>{7})(?:[ \r].*)?")
_WHOLE = re.compile(r"<\|?=>")
"""The marks of a place that git left whole: ours, perhaps what was there before, theirs."""
_SHOWN = 5
"""So many places are listed."""


class Unmerged(NamedTuple):
    """A text with what git left of a merge in it."""

    fault: Fault
    ours: str
    """The text without git's marks and what the other side wrote: blank there, so all keeps its place."""
    theirs: str


def unmerged(text: str) -> Unmerged | None:
    """Return what git left of a merge in a text; None where nothing is."""
    lines = text.split("\n")
    marks = [(number, mark[1][0]) for number, line in enumerate(lines) if (mark := _MARK.fullmatch(line))]
    if not marks:
        return None
    ours, theirs = list(lines), list(lines)
    begun: list[int] = []
    for place in _places(marks):
        begun.append(place[0][0] + 1)
        for number, _ in place:
            ours[number] = theirs[number] = " " * len(lines[number])
        if len(place) > 1:
            *_, (middle, _), (end, _) = place
            _blank(ours, place[1][0], end)
            _blank(theirs, place[0][0], middle)
    return Unmerged(_fault(begun), "\n".join(ours), "\n".join(theirs))


def _places(marks: list[tuple[int, str]]) -> Iterator[list[tuple[int, str]]]:
    """Yield the marks of each place together; one that is left alone is a place by itself."""
    signs = "".join(sign for _, sign in marks)
    at = 0
    while at < len(marks):
        whole = _WHOLE.match(signs, at)
        end = whole.end() if whole else at + 1
        yield marks[at:end]
        at = end


def _blank(lines: list[str], start: int, end: int) -> None:
    for number in range(start, end):
        lines[number] = " " * len(lines[number])


def _fault(lines: list[int]) -> Fault:
    shown = ", ".join(map(str, lines[:_SHOWN]))
    more = f" and {len(lines) - _SHOWN} more" if len(lines) > _SHOWN else ""
    return Fault(
        "merge-conflict",
        "",
        lines[0],
        1,
        f"both sides of a merge changed this file at line{'s' * (len(lines) > 1)} {shown}{more}",
        "write each place as it is to be, without git's own lines (<<<<<<<, =======, >>>>>>>), then ask "
        "litstock check --base, with the shared branch, which revision number it has",
    )
