"""The patches by which people know a print, of any inks: unprinted, each ink alone, one upon another."""

from collections.abc import Iterator
from itertools import combinations
from typing import Any

import numpy as np
import numpy.typing as npt

from registry.measurement.channels import ADDITIVE, FULL
from registry.measurement.patches import Patches

__all__ = ["solids", "unprinted"]

Rows = npt.NDArray[Any]

_CHROMATIC = ("C", "M", "Y")
_NAMES = {"C": "cyan", "M": "magenta", "Y": "yellow", "K": "black"}


def unprinted(patches: Patches) -> Rows:
    """Return the rows of the bare material; none where the file does not say which they are."""
    if not patches.inks:
        return np.array([], dtype=int)
    return _rows(patches, (0.0,) * len(_inks(patches)))


def solids(patches: Patches) -> Iterator[tuple[str, Rows]]:
    """Yield the name and the rows of every such patch that was read."""
    inks = _inks(patches)
    for name, amounts in _named(inks):
        rows = _rows(patches, amounts)
        if np.size(rows):
            yield ("black" if inks != patches.inks and all(amounts) else name), rows


def _inks(patches: Patches) -> tuple[str, ...]:
    """Return what is laid down by each channel: a channel of light lays its complement."""
    return _CHROMATIC if patches.inks == ADDITIVE else patches.inks


def _rows(patches: Patches, amounts: tuple[float, ...]) -> Rows:
    """Return the rows with these amounts of ink, in %."""
    if patches.inks != ADDITIVE:
        return patches.of(amounts)
    full = float(patches.device.max(initial=0))
    return patches.of([full * (1 - each / 100) for each in amounts]) if full in FULL else np.array([], int)


def _named(inks: tuple[str, ...]) -> Iterator[tuple[str, tuple[float, ...]]]:
    yield "unprinted", (0.0,) * len(inks)
    for ink in inks:
        yield _NAMES.get(ink, ink), tuple(100.0 if each == ink else 0.0 for each in inks)
    chromatic = [ink for ink in _CHROMATIC if ink in inks]
    for several in (2, 3):
        for together in combinations(chromatic, several):
            name = " + ".join(_NAMES[each] for each in together)
            yield name, tuple(100.0 if each in together else 0.0 for each in inks)
