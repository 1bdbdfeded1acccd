"""Measurements made for tests: a film with its solids, spectra by a flat absorption of each ink, invented."""

from collections.abc import Mapping, Sequence

import numpy as np

from registry.light.grid import Grid
from registry.light.lab import lab
from registry.light.sources import source
from registry.light.tristimulus import xyz
from registry.measurement import Measurement, Table

__all__ = ["GRID", "PRINTED", "TRANSMISSION", "film"]

GRID = Grid(400, 700, 20)
INKS = ("CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K")
PRINTED: tuple[tuple[int, int, int, int], ...] = (
    *((0, 0, 0, 0), (100, 0, 0, 0), (0, 100, 0, 0), (0, 0, 100, 0), (0, 0, 0, 100), (0, 0, 0, 50)),
)
TRANSMISSION = {
    "MEASUREMENT_GEOMETRY": "transmission, 0:d, source on the unprinted face",
    "WEIGHTING_FUNCTION": "DENSITY, Status A; ILLUMINANT, D50; OBSERVER, 2 degree",
    "HOURS_AFTER_PRINTING": "24",
    "FINISHING": "none",
}
_ABSORBS = np.array([[0.1, 0.3, 1.2], [0.2, 1.2, 0.4], [1.2, 0.2, 0.1], [1.5, 1.5, 1.5]])
"""Density of each ink in the short, middle and long third of the visible range."""


def film(
    printed: Sequence[tuple[int, int, int, int]] = PRINTED,
    header: Mapping[str, str] = TRANSMISSION,
    *,
    thinner: float = 1.0,
    white: float = 0.6,
) -> Measurement:
    """Return a measurement of patches: so much of the ink's density, and of the light through the film."""
    bands = np.minimum((np.arange(GRID.size) * 3) // GRID.size, 2)
    density = np.array(printed) / 100 @ _ABSORBS * thinner
    spectra = (white * 10 ** -density[:, bands]).round(6)
    lamp = source("D50")
    colours = lab(xyz(spectra, GRID, lamp), lamp.white()).round(4) + 0.0
    columns = [f"SPECTRAL_NM{nm:g}" for nm in GRID.wavelengths_nm]
    sets = tuple(
        {"SAMPLE_NAME": "-".join(map(str, device))}
        | dict(zip(INKS, map(float, device), strict=True))
        | dict(zip(("LAB_L", "LAB_A", "LAB_B"), map(float, colour), strict=True))
        | dict(zip(columns, map(float, spectrum), strict=True))
        for device, colour, spectrum in zip(printed, colours, spectra, strict=True)
    )
    fields = ("SAMPLE_NAME", *INKS, "LAB_L", "LAB_A", "LAB_B", *columns)
    return Measurement("CGATS.17", (Table({name: (said,) for name, said in header.items()}, fields, sets),))
