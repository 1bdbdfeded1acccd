"""From an instrument's wavelengths to every nanometre, as ASTM E2022 does it."""

from functools import lru_cache
from math import prod

import numpy as np

from registry.light.grid import Array, Grid

__all__ = ["FINE", "to_every_nm"]

FINE = Grid(360, 780, 1)
"""Where the sums over wavelengths are taken: the range of the tables of ASTM E308."""


@lru_cache(maxsize=32)
def to_every_nm(grid: Grid) -> Array:
    """Return the matrix that interpolates values on a grid to every nanometre from 360 to 780 nm.

    Parameters
    ----------
    grid : Grid
        Where the values stand, n wavelengths.

    Returns
    -------
    ndarray, shape (421, n)
        Each row sums to 1; `to_every_nm(grid) @ values` are the interpolated values.

    Notes
    -----
    Lagrange polynomials through the four nearest points, in the first and the last interval through the three
    nearest (ASTM E2022). Outside the grid the nearest value is held (CIE 15, from memory). It assumes that
    the spectrum is smooth between the points: a line narrower than the step is lost or overstated, whatever
    interpolates it. The bandpass of the instrument is left out.

    Examples
    --------
    >>> matrix = to_every_nm(Grid(380, 730, 10))
    >>> matrix.shape, bool(np.allclose(matrix.sum(axis=1), 1))
    ((421, 36), True)
    >>> float(matrix[425 - 360] @ Grid(380, 730, 10).wavelengths_nm)
    425.0
    """
    last = grid.size - 1
    position = np.clip((FINE.wavelengths_nm - grid.first_nm) / grid.step_nm, 0, last)
    matrix = np.zeros((FINE.size, grid.size))
    for row, at in enumerate(position.tolist()):
        left = min(int(at), last - 1)
        nodes = range(max(left - 1, 0), min(left + 2, last) + 1)
        for node in nodes:
            matrix[row, node] = prod((at - other) / (node - other) for other in nodes if other != node)
    matrix.flags.writeable = False
    return matrix
