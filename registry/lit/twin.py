"""A front-lit print held before a lit box: what would become of it, and the load that it would need."""

from collections.abc import Mapping
from typing import Any, NamedTuple

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


class Twin(NamedTuple):
    """The darkest patch of a front-lit print."""

    front: float
    """Its density as seen by reflection."""
    lit: float
    """Its density if the same ink were lit from behind."""
    load_pct: float
    """The load, of its own taken as 100 %, at which lit it has the density that it has by reflection."""


def twin(printed: Print, substrate: Mapping[str, Any]) -> Twin | None:
    """Return what a print read in reflection would look like lit; None where that is unknown.

    Notes
    -----
    See `registry.light.double_pass`: transparent ink on a base that spreads light, solids only.
    """
    light = substrate.get("light", {})
    base = light.get("reflectance_face_pct", light.get("reflectance_back_pct"))
    if base is None:
        return None
    bare = printed.spectra[printed.white]
    read = density(printed.spectra, printed.grid, "visual", relative_to=bare, mode="reflection")
    front = max(0.0, float(read.values.max()))
    q = float(recirculation(base / 100))
    return Twin(
        front,
        float(transmission_density(film_density(front, q), q)),
        100 * float(equal_density_load_factor(front, q)),
    )
