"""Tristimulus values of what lets light through or sends it back, by ASTM E308."""

import numpy as np

from registry.light.grid import Array, Grid, SpectrumError
from registry.light.interpolation import FINE, to_every_nm
from registry.light.sources import Observer, Source, matching

__all__ = ["weights", "xyz"]

_FOLDED = 0.02
"""How much of X, Y or Z may lie beyond the ends of a grid, as a fraction."""


def weights(source: Source, grid: Grid, observer: Observer = 2) -> Array:
    """Return the weights that make tristimulus values of a spectrum on a grid.

    Parameters
    ----------
    source : Source
        What lights the sample, published or measured.
    grid : Grid
        Where the sample's values stand, 1, 5, 10 or 20 nm apart.
    observer : {2, 10}
        Field of view in degrees.

    Returns
    -------
    ndarray, shape (n, 3)
        For X, Y and Z. Those of Y sum to 100, so that the perfect transmitter or diffuser has Y = 100.

    Raises
    ------
    SpectrumError
        More than 2 % of X, Y or Z lies beyond an end of the grid.

    Notes
    -----
    Source: ASTM E2022, whose tables ASTM E308 prints. The spectrum of the sample is interpolated to every
    nanometre (see `to_every_nm`) and summed with the source's power and the observer's functions; as all of
    this is linear, it comes to one weight for each measured value. Where a grid starts late or ends early,
    the weights beyond it are added to its first and last (E308): the sample is taken to go on as it ends.
    Fluorescence and the instrument's bandpass are left out.

    Examples
    --------
    >>> from registry.light.sources import source
    >>> [round(float(weight), 3) for weight in weights(source("A"), Grid(360, 780, 10), 10)[20]]
    [6.2, 8.758, 0.001]
    """
    below = max(grid.first_nm - FINE.first_nm, 0) // grid.step_nm
    above = max(FINE.last_nm - grid.last_nm, 0) // grid.step_nm
    whole = Grid(grid.first_nm - below * grid.step_nm, grid.last_nm + above * grid.step_nm, grid.step_nm)
    lit = source.every_nm()[:, np.newaxis] * matching(observer)
    full = to_every_nm(whole).T @ (lit * (100 / lit[:, 1].sum()))
    before, after = full[:below].sum(axis=0), full[below + grid.size :].sum(axis=0)
    _refuse_short(grid, np.maximum(abs(before), abs(after)) / full.sum(axis=0))
    kept: Array = full[below : below + grid.size]
    kept[0] += before
    kept[-1] += after
    return kept


def xyz(spectra: Array, grid: Grid, source: Source, observer: Observer = 2) -> Array:
    """Return tristimulus values of spectra under a source.

    Parameters
    ----------
    spectra : ndarray, shape (..., n)
        Transmittance or reflectance as fractions, as `checked` returns them.
    grid : Grid
        Where the values stand.
    source : Source
        What lights the sample.
    observer : {2, 10}
        Field of view in degrees.

    Returns
    -------
    ndarray, shape (..., 3)
        X, Y, Z; Y = 100 for the perfect transmitter or diffuser.

    Raises
    ------
    SpectrumError
        The last axis does not fit the grid, or the grid is too short (see `weights`).

    Notes
    -----
    Source: ASTM E308. With 10 nm values of surface colours it stays within ΔE00 0.09 of a sum over every
    nanometre even under FL11, where a plain sum over 10 nm is wrong by up to 4.1
    (`tests/outside/test_colour_ten_nm.py`).

    Examples
    --------
    >>> from registry.light.sources import source
    >>> xyz(np.full(36, 0.5), Grid(380, 730, 10), source("D50")).round(2)
    array([48.21, 50.  , 41.26])
    """
    if spectra.shape[-1:] != (grid.size,):
        raise SpectrumError(
            f"spectra of shape {spectra.shape} do not fit {grid.size} wavelengths "
            f"from {grid.first_nm} to {grid.last_nm} nm"
        )
    answer: Array = spectra @ weights(source, grid, observer)
    return answer


def _refuse_short(grid: Grid, folded: Array) -> None:
    if folded.max() > _FOLDED:
        raise SpectrumError(
            f"{grid.first_nm} to {grid.last_nm} nm is too short: {folded.max():.1%} of "
            f"{'XYZ'[int(folded.argmax())]} lies beyond an end, allowed is {_FOLDED:.0%}"
        )
