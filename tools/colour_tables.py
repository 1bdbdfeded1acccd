"""Where the demo's spectra stand, and what is computed of them: XYZ under D50, and densities."""

import numpy as np
import numpy.typing as npt

from registry.light.density import Response
from registry.light.grid import Grid
from registry.light.sources import source
from registry.light.tristimulus import weights

__all__ = ["D50_WEIGHTS", "DENSITY_PRODUCTS", "GRID", "WAVELENGTHS_NM"]

GRID = Grid(380, 730, 10)
WAVELENGTHS_NM = tuple(range(GRID.first_nm, GRID.last_nm + 1, GRID.step_nm))

D50_WEIGHTS: npt.NDArray[np.float64] = weights(source("D50"), GRID).round(6)
"""Tristimulus weights for the 2° observer, one row (X, Y, Z) a wavelength; of six places, with which the
demo's files were first written and are written again byte for byte."""

DENSITY_PRODUCTS: dict[str, Response] = {
    "D_VIS": "visual",
    "D_RED": "status-a-red",
    "D_GREEN": "status-a-green",
    "D_BLUE": "status-a-blue",
}
"""The response of each column of densities."""
