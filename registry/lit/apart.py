"""How far two readings of prints lie apart, patch by patch."""

from typing import NamedTuple

import numpy as np

from registry.light.difference import Summary, ciede2000, summary
from registry.light.distance import Interval, Repeats, drawn_differences, interval
from registry.light.lab import lab
from registry.light.sources import Source
from registry.lit.printed import Print
from registry.model.usual import repeatability, usuals

__all__ = ["Apart", "readings_apart"]


class Apart(NamedTuple):
    """What lies between two sets of patches."""

    summary: Summary
    """ΔE00."""
    patches: int
    """How many device values both have."""
    worst: str
    """The device value at which it is largest."""
    mean: Interval
    """ΔE00 in the mean, as well as the readings tell it."""
    largest: Interval
    """The same of the worst one."""
    white: float
    """ΔE00 of the two unprinted films, each seen through the same lamp, against the first one's white."""


def readings_apart(one: Print, other: Print, lamp: Source, *, repeats: Repeats | None = None) -> Apart | None:
    """Return how far two prints lie apart under a lamp, each against its own lit white.

    Patches belong together by their device values. None where the two have no printed patch in common, or
    other inks.

    Raises
    ------
    NoReadings
        The readings of one are too short for the lamp.

    Notes
    -----
    Each side's white is its own unprinted film, as the eye takes a lit face: films of different
    brightness may so come out alike. `white` says how far the films themselves lie apart.
    """
    if sorted(one.patches.inks) != sorted(other.patches.inks):
        return None
    inks = one.patches.inks
    colours = [each.under(lamp) for each in (one, other)]
    whites = [colour[each.white] for colour, each in zip(colours, (one, other), strict=True)]
    seen = [
        dict(zip(_device(each, inks), lab(colour, white), strict=True))
        for each, colour, white in zip((one, other), colours, whites, strict=True)
    ]
    bare = _device(one, inks)[one.white]
    common = [device for device in seen[0] if device in seen[1] and device != bare]
    if not common:
        return None
    pair = [np.array([side[each] for each in common]) for side in seen]
    total = summary(ciede2000(*pair))
    drawn = drawn_differences(pair[0], pair[1], repeats or Repeats(*repeatability(usuals({}))))
    mean = interval(total.mean, drawn.mean(axis=1))
    largest = interval(total.largest, drawn[:, total.at])
    films = float(ciede2000(lab(whites[0], whites[0]), lab(whites[1], whites[0])))
    return Apart(total, len(common), _words(inks, common[total.at]), mean, largest, films)


def _device(printed: Print, inks: tuple[str, ...]) -> list[tuple[float, ...]]:
    """Return the device values of each patch, in the order of these inks."""
    columns = [printed.patches.inks.index(ink) for ink in inks]
    return [tuple(map(float, row)) for row in printed.patches.device[:, columns].round(2)]


def _words(inks: tuple[str, ...], device: tuple[float, ...]) -> str:
    """Return a device value as people write it: `C 100, Y 50`; `R 0, G 0, B 0` where all are 0."""
    told = [(ink, value) for ink, value in zip(inks, device, strict=True) if value or not any(device)]
    return ", ".join(f"{ink} {value:g}" for ink, value in told)
