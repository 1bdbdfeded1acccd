"""What a complaint's readings say: how far each patch is off, and whether the unprinted white moved too."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from registry.audit.answer import Clue, Shift
from registry.audit.usual import COLOUR_DEFECTS, WHITE, white_step

__all__ = ["apart", "by_white", "de00", "is_white", "shift", "with_readings"]

_SHARE = 0.5
_VISIBLE_DE00 = 1.0
"""Below this a difference is hardly seen, and nothing is read from it; common practice, no source."""

_UNPRINTED = re.compile(r"\b(white|unprinted|bare|blank|paper)\b", re.IGNORECASE)
_PRINTED = re.compile(
    r"%|\b(ink|solid|flood|layer|tint|near|off|cyan|magenta|yellow|black|red|green|blue|gr[ae]y)\b",
    re.IGNORECASE,
)


def apart(read: Mapping[str, Any]) -> tuple[float, ...] | None:
    """Return how far a patch was found from what was expected of it, in L*, a*, b*; None if that is unknown.

    >>> apart({"found_lab": [60, -30, -45], "expected_lab": [61.5, -31, -40]})
    (-1.5, 1.0, -5.0)
    """
    if "expected_lab" not in read:
        return None
    pairs = zip(read["found_lab"], read["expected_lab"], strict=True)
    return tuple(round(float(found - expected), 4) for found, expected in pairs)


def de00(read: Mapping[str, Any]) -> float | None:
    """Return the same as one number, ΔE00; None if it is unknown.

    >>> de00({"found_lab": [98.7, -1.2, -6.6], "expected_lab": [100, 0, 0]})
    5.9755
    """
    if "expected_lab" not in read:
        return None
    from registry.light.difference import ciede2000  # noqa: PLC0415 (only readings pay for numpy)

    return round(float(ciede2000(read["found_lab"], read["expected_lab"])), 4)


def shift(defect: str, readings: Sequence[Mapping[str, Any]]) -> Shift | None:
    """Return whether the white moved with the inks; None where the readings do not tell.

    They tell it of a defect of colour, where a white and printed patches were read in the same way, each with
    what was expected of it. A patch is the white if its name says so (white, unprinted, bare, blank, paper)
    and speaks of no ink or tint.
    """
    whites = {read["patch"]: read for read in readings if is_white(read["patch"]) and "expected_lab" in read}
    hows = {read["how"] for read in whites.values()}
    inks = [
        read
        for read in readings
        if read["how"] in hows and "expected_lab" in read and not is_white(read["patch"])
    ]
    if defect not in COLOUR_DEFECTS or not whites or not inks:
        return None
    white, mean = _mean_de00(list(whites.values())), _mean_de00(inks)
    with_them = white >= _SHARE * mean
    if (white if with_them else mean) < _VISIBLE_DE00:
        return None
    return Shift("white" if with_them else "inks", white, mean, tuple(whites))


def with_readings(clue: Clue, found: Shift | None) -> Clue:
    """Return the clue with whether it acts on what the readings say is off."""
    if found is None:
        return clue
    fits = (_step(clue) < len(WHITE)) == (found.moved == "white")
    return replace(clue, fits=fits, also=tuple(replace(each, fits=fits) for each in clue.also))


def by_white(clue: Clue, found: Shift | None) -> int:
    """Return a sort key: lamps, panel, film, the rest where the white moved; turned round where it stayed."""
    if found is None:
        return 0
    return _step(clue) if found.moved == "white" else -_step(clue)


def _step(clue: Clue) -> int:
    return min(
        white_step(each.place, *((each.change.setting, each.change.path) if each.change else (each.event,)))
        for each in clue.every
    )


def is_white(patch: str) -> bool:
    """Whether a patch is the unprinted white, by its name.

    >>> [is_white(name) for name in ("lit white", "bare film", "white ink, solid", "sky tint", "off-white")]
    [True, True, False, False, False]
    """
    return bool(_UNPRINTED.search(patch)) and not _PRINTED.search(patch)


def _mean_de00(readings: Sequence[Mapping[str, Any]]) -> float:
    found = [value for value in map(de00, readings) if value is not None]
    return round(sum(found) / len(found), 4)
