"""Optical density of spectra, by responses that are never mixed."""

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from registry.light.grid import Array, Grid, SpectrumError
from registry.light.interpolation import FINE, to_every_nm
from registry.light.tables import table

__all__ = ["PRODUCTS_NOTE", "RESPONSES", "Density", "Mode", "Response", "UnlikeDensities", "Zero", "density"]

Response = Literal[
    "visual",
    "status-a-red",
    "status-a-green",
    "status-a-blue",
    "status-t-red",
    "status-t-green",
    "status-t-blue",
]
Zero = Literal["absolute", "substrate"]
Mode = Literal["transmission", "reflection"]

RESPONSES: tuple[Response, ...] = get_args(Response)
PRODUCTS_NOTE = "10 nm spectral product, not ISO 5-3 conforming"
"""What stands beside every density from here."""

_LEFT_OUT = 0.01
"""How much of a response may lie beyond the ends of a grid, as a fraction."""


class UnlikeDensities(ValueError):
    """Densities of different responses, zeros or modes, which cannot be compared."""


@dataclass(frozen=True, eq=False, slots=True)
class Density:
    """Densities with all that decides whether others may be compared with them.

    Subtracting is how two are compared, and it refuses what is unlike.

    Examples
    --------
    >>> red = Density(np.array([1.5]), "status-a-red", "absolute", "transmission")
    >>> green = Density(np.array([1.4]), "status-a-green", "absolute", "transmission")
    >>> red - green
    Traceback (most recent call last):
        ...
    registry.light.density.UnlikeDensities: status-a-red is never compared with status-a-green
    """

    values: Array
    """Any shape; `inf` where no light was read at all."""
    response: Response
    zero: Zero
    """What has density 0: the open gate or the perfect diffuser, or the bare substrate."""
    mode: Mode

    def __sub__(self, other: "Density") -> Array:
        """Return how much higher these densities are than others of their kind."""
        mine, theirs = self._kind(), other._kind()
        if unlike := [pair for pair in zip(mine, theirs, strict=True) if pair[0] != pair[1]]:
            raise UnlikeDensities(f"{unlike[0][0]} is never compared with {unlike[0][1]}")
        return self.values - other.values

    @property
    def said(self) -> str:
        """What stands beside the values on paper."""
        zero = "relative to the substrate" if self.zero == "substrate" else "absolute"
        return f"{self.response}, {self.mode}, {zero}; {PRODUCTS_NOTE}"

    def _kind(self) -> tuple[str, str, str]:
        zeros = {"absolute": "an absolute density", "substrate": "one relative to the substrate"}
        return self.response, self.mode, zeros[self.zero]


def density(
    spectra: Array,
    grid: Grid,
    response: Response,
    *,
    relative_to: Array | None = None,
    mode: Mode | None = None,
) -> Density:
    """Return optical densities of spectra.

    Parameters
    ----------
    spectra : ndarray, shape (..., n)
        Transmittance or reflectance as fractions, as `checked` returns them.
    grid : Grid
        Where the values stand.
    response : str
        One of `RESPONSES`: visual; Status A, which is for transmission; Status T, which is for reflection.
    relative_to : ndarray, shape (n,) or (..., n), optional
        The bare substrate, whose density is taken off; without it densities are absolute.
    mode : {"transmission", "reflection"}, optional
        How the spectra were read. Status A and T say it themselves; visual is transmission unless this says
        otherwise.

    Returns
    -------
    Density
        Values of shape (...), `inf` where the response meets no light at all.

    Raises
    ------
    SpectrumError
        The last axis does not fit the grid, more than 1 % of the response lies beyond an end of it, or the
        substrate is black.
    ValueError
        No such response, or one that is not for this mode.

    Notes
    -----
    D = -log10 of the mean of the spectrum, weighted by a spectral product of ISO 5-3:1995 every 10 nm; the
    table's head names the source. ISO 5-3:2009 has other weights for spectral instruments, which are not
    here: see `PRODUCTS_NOTE`. Spectra on a 20 nm grid are interpolated (see `to_every_nm`): on measured
    solids this moved a density by at most 0.007 (`tests/outside/test_colour_density.py`). Of finer grids the
    values at whole tens are used. What lies beyond the grid is left out, and the rest is taken for the whole.
    Geometry (ISO 5-2, 5-4) is what the instrument did and is not corrected: a diffuse and a projection
    density differ.

    Examples
    --------
    >>> flat = density(np.full(36, 0.1), Grid(380, 730, 10), "visual")
    >>> float(flat.values.round(3)), flat.said
    (1.0, 'visual, transmission, absolute; 10 nm spectral product, not ISO 5-3 conforming')
    """
    weights = _weights(grid, response)
    how = _mode(response, mode)
    if spectra.shape[-1:] != (grid.size,):
        raise SpectrumError(f"spectra of shape {spectra.shape} do not fit {grid.size} wavelengths")
    with np.errstate(divide="ignore"):
        values: Array = -np.log10(np.maximum(spectra @ weights, 0.0))
    if relative_to is None:
        return Density(values, response, "absolute", how)
    base = density(relative_to, grid, response, mode=mode).values
    if not np.isfinite(base).all():
        raise SpectrumError(f"no density is relative to a substrate that is black to {response}")
    return Density(values - base, response, "substrate", how)


def _mode(response: Response, asked: Mode | None) -> Mode:
    own: Mode = "reflection" if response.startswith("status-t") else "transmission"
    if asked is None or asked == own or response == "visual":
        return asked or own
    raise ValueError(f"{response} is a density in {own}, not in {asked}")


def _weights(grid: Grid, response: Response) -> Array:
    """Return one weight for each wavelength of a grid; they sum to 1."""
    if response not in RESPONSES:
        raise ValueError(f"no response {response!r}; there are {', '.join(RESPONSES)}")
    products = table("density-products")
    nm, product = products.grid.wavelengths_nm, products.column(response)
    inside = (nm >= max(grid.first_nm, FINE.first_nm)) & (nm <= min(grid.last_nm, FINE.last_nm))
    left_out = 1 - product[inside].sum() / product.sum()
    if left_out > _LEFT_OUT:
        raise SpectrumError(
            f"{grid.first_nm} to {grid.last_nm} nm is too short: {left_out:.1%} of {response} lies beyond an "
            f"end, allowed is {_LEFT_OUT:.0%}"
        )
    rows = (nm[inside] - FINE.first_nm).astype(int)
    answer: Array = product[inside] @ to_every_nm(grid)[rows] / product[inside].sum()
    return answer
