"""The patches by which people know a print, of any inks: unprinted, each ink alone, one upon another."""

from collections.abc import Iterator
from itertools import combinations
from typing import Any

import numpy as np
import numpy.typing as npt

from registry.measurement.patches import Patches

__all__ = ["solids"]

_CHROMATIC = ("C", "M", "Y")
_NAMES = {"C": "cyan", "M": "magenta", "Y": "yellow", "K": "black"}


def solids(patches: Patches) -> Iterator[tuple[str, npt.NDArray[Any]]]:
    """Yield the name and the rows of every such patch that was read."""
    for name, device in _named(patches.inks):
        rows = patches.of(device)
        if np.size(rows):
            yield name, rows


def _named(inks: tuple[str, ...]) -> Iterator[tuple[str, tuple[float, ...]]]:
    yield "unprinted", (0.0,) * len(inks)
    for ink in inks:
        yield _NAMES.get(ink, ink), tuple(100.0 if each == ink else 0.0 for each in inks)
    chromatic = [ink for ink in _CHROMATIC if ink in inks]
    for several in (2, 3):
        for together in combinations(chromatic, several):
            name = " + ".join(_NAMES[each] for each in together)
            yield name, tuple(100.0 if each in together else 0.0 for each in inks)
