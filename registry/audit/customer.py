"""What the customer saw, and whether a change whose effect can be computed goes that way."""

import re
from collections.abc import Mapping
from typing import NamedTuple

from registry.audit.direction import Works
from registry.audit.effect import TYPICAL, Effect, looks

__all__ = ["Bearing", "bearing", "saw"]

_WORDS = (
    (0, -1, re.compile(r"\b(?:darker|too dark|dimmer|duller|looks?(?: too)? dark)\b", re.IGNORECASE)),
    (
        0,
        1,
        re.compile(r"\b(?:lighter|too light|paler|brighter|looks? (?:light|pale))\b", re.IGNORECASE),
    ),
    (1, 1, re.compile(r"\b(?:redder|reddish|pinker|pinkish|looks?(?: too)? (?:red|pink))\b", re.IGNORECASE)),
    (1, -1, re.compile(r"\b(?:greener|greenish|looks?(?: too)? green)\b", re.IGNORECASE)),
    (2, 1, re.compile(r"\b(?:yellower|yellowish|warmer|looks?(?: too)? (?:yellow|warm))\b", re.IGNORECASE)),
    (2, -1, re.compile(r"\b(?:bluer|bluish|cooler|colder|looks?(?: too)? (?:blue|cold))\b", re.IGNORECASE)),
)
"""Along L*, a* or b*, which way, and by what word."""

_OF_DEFECT = {"too-dark": (0, -1), "too-light": (0, 1)}
_SEEN_DE00 = 1.0
"""Less is hardly seen; common practice, no source."""
_POINTS = 0.5
"""So far along the axes that were named, in L*a*b*, a change must go to count as going there."""


class Bearing(NamedTuple):
    """Whether a change goes the way that the customer saw."""

    works: Works
    too_little: bool
    """Whether nobody would see it."""
    why: str
    """Why it does not explain what was seen, in words; empty where it may."""


def saw(defect: str, what: str) -> Mapping[int, int]:
    """Return which way the print is off along L* (0), a* (1) and b* (2), as defect and words say it.

    >>> saw("cast", "The sky looks bluer and darker"), saw("too-light", ""), saw("cast", "a blue sign")
    ({0: -1, 2: -1}, {0: 1}, {})
    """
    found: dict[int, set[int]] = {}
    for axis, way, words in _WORDS:
        if words.search(what):
            found.setdefault(axis, set()).add(way)
    ways = {axis: way.pop() for axis, way in found.items() if len(way) == 1}
    return ways | dict([_OF_DEFECT[defect]] if defect in _OF_DEFECT else [])


def bearing(effect: Effect, defect: str, what: str) -> Bearing:
    """Return whether an effect goes the way that the customer saw, on typical patches."""
    import numpy as np  # noqa: PLC0415 (only what is computed pays for it)

    from registry.light.difference import ciede2000  # noqa: PLC0415

    before = np.array([patch.lab for patch in TYPICAL], dtype=np.float64)
    after = np.array(looks(effect, TYPICAL))
    far = float(ciede2000(before, after).mean())
    if far < _SEEN_DE00:
        return Bearing("", True, f"computed ΔE00 {far:.1f} on typical patches: too little to be seen")
    moved = (after - before).mean(axis=0)
    if effect.lamp == (1.0, 1.0, 1.0):
        moved[1:] = 0  # light and load make no cast of one direction
    ways = saw(defect, what)
    along = sum(way * float(moved[axis]) for axis, way in ways.items())
    if along > _POINTS:
        return Bearing("towards", False, "")
    if along < -_POINTS:
        return Bearing("against", False, "computed: it goes the other way")
    if effect.light != 1 and defect == "cast":
        return Bearing("", True, "computed: it changes how light the print is, not its hue")
    return Bearing("", False, "")
