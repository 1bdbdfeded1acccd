"""A front-lit print held before a lit box: what would become of it, and the load that it would need."""

from typing import NamedTuple

import numpy as np

from registry.light.density import PRODUCTS_NOTE, density
from registry.light.double_pass import (
    equal_density_load_factor,
    film_density,
    recirculation,
    transmission_density,
)
from registry.lit.printed import Print

__all__ = ["HOW", "Twin", "twin"]

HOW = f"double pass (Williams and Clapper 1953), visual density over the material, {PRODUCTS_NOTE}"

_LEAST = 0.1
"""A density over the material up to which no patch is a solid."""


class Twin(NamedTuple):
    """The darkest patch of a front-lit print."""

    front: float
    """Its density as seen by reflection."""
    lit: float
    """Its density if the same ink were lit from behind."""
    load_pct: float
    """The load, of its own taken as 100 %, at which lit it has the density that it has by reflection."""


def twin(printed: Print) -> Twin | None:
    """Return what a print read in reflection would look like lit; None where it holds no black to tell of.

    Notes
    -----
    See `registry.light.double_pass`: transparent ink on a base that spreads light, solids only. The base
    throws back what was read of the unprinted patch, a white layer and the backing counted in.
    """
    bare = printed.spectra[printed.white]
    read = density(printed.spectra, printed.grid, "visual", relative_to=bare, mode="reflection")
    front = float(read.values.max())
    if not _LEAST < front < np.inf:
        return None
    base = 10 ** -float(density(bare, printed.grid, "visual", mode="reflection").values)
    q = float(recirculation(min(base, 1.0)))
    return Twin(
        front,
        float(transmission_density(film_density(front, q), q)),
        100 * float(equal_density_load_factor(front, q)),
    )
