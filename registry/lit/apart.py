"""How far two readings of prints lie apart, patch by patch."""

from typing import NamedTuple

import numpy as np

from registry.light.box import Array
from registry.light.difference import Summary, ciede2000, summary
from registry.light.lab import lab
from registry.light.sources import Source
from registry.light.tristimulus import xyz
from registry.lit.printed import Print

__all__ = ["Apart", "readings_apart"]


class Apart(NamedTuple):
    """What lies between two sets of patches."""

    summary: Summary
    """ΔE00."""
    patches: int
    """How many device values both have."""
    worst: str
    """The device value at which it is largest."""
    white: float
    """ΔE00 of the two unprinted films, each seen through the same lamp, against the first one's white."""


def readings_apart(one: Print, other: Print, lamp: Source) -> Apart | None:
    """Return how far two prints lie apart under a lamp, each against its own lit white.

    Patches belong together by their device values; of several with the same values the mean is taken. None
    where the two have no printed patch in common, or other inks.

    Notes
    -----
    Each side's white is its own unprinted film, as the eye takes a lit face: films of different
    brightness may so come out alike. `white` says how far the films themselves lie apart.
    """
    if one.patches.inks != other.patches.inks:
        return None
    colours = [xyz(each.spectra, each.grid, lamp) for each in (one, other)]
    whites = [colour[each.white] for colour, each in zip(colours, (one, other), strict=True)]
    means = [
        _by_device(each.patches.device, lab(colour, white))
        for each, colour, white in zip((one, other), colours, whites, strict=True)
    ]
    common = [device for device in means[0] if device in means[1] and any(device)]
    if not common:
        return None
    differences = ciede2000(
        np.array([means[0][each] for each in common]), np.array([means[1][each] for each in common])
    )
    total = summary(differences)
    films = float(ciede2000(lab(whites[0], whites[0]), lab(whites[1], whites[0])))
    return Apart(total, len(common), _words(one.patches.inks, common[total.at]), films)


def _by_device(device: Array, colours: Array) -> dict[tuple[float, ...], Array]:
    gathered: dict[tuple[float, ...], list[Array]] = {}
    for values, colour in zip(device, colours, strict=True):
        gathered.setdefault(tuple(float(each) for each in values), []).append(colour)
    return {values: np.mean(each, axis=0) for values, each in gathered.items()}


def _words(inks: tuple[str, ...], device: tuple[float, ...]) -> str:
    """Return a device value as people write it: `C 100, Y 50`."""
    return ", ".join(f"{ink} {value:g}" for ink, value in zip(inks, device, strict=True) if value)
