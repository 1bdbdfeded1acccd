"""CIELAB, against whatever white the eye has adapted to."""

import numpy as np
import numpy.typing as npt

from registry.light.grid import Array

__all__ = ["lab", "xyz_of"]

_EDGE = 6 / 29
"""Below the cube of this the cube root gives way to a straight line."""


def lab(xyz: npt.ArrayLike, white: npt.ArrayLike) -> Array:
    """Return CIELAB of tristimulus values against a white.

    Parameters
    ----------
    xyz : array_like, shape (..., 3)
        Tristimulus values, not below 0.
    white : array_like, shape (3,) or (..., 3)
        Tristimulus values of the white in the same unit, all above 0. For a print in a display it is that
        display's own lit white; for a substrate by itself it is the source's (`Source.white`).

    Returns
    -------
    ndarray, shape (..., 3)
        L* from 0 to 100 for what is no brighter than the white, a*, b*.

    Raises
    ------
    ValueError
        The white has a value that is not above 0.

    Notes
    -----
    Source: CIE 15 and ISO/CIE 11664-4, with exact fractions of 6/29. It was made for reflecting samples seen
    against a white; for lit displays it is used by convention. What surrounds the display is left out.

    Examples
    --------
    >>> lab([50, 50, 50], [100, 100, 100]).round(4)
    array([76.0693,  0.    ,  0.    ])
    """
    against = np.asarray(white, dtype=np.float64)
    if not (against > 0).all():
        raise ValueError(f"a white has X, Y and Z above 0, not {against.tolist()}")
    ratio = np.asarray(xyz, dtype=np.float64) / against
    root = np.where(ratio > _EDGE**3, np.cbrt(ratio), ratio / (3 * _EDGE**2) + 4 / 29)
    x, y, z = np.moveaxis(root, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def xyz_of(lab: npt.ArrayLike, white: npt.ArrayLike) -> Array:
    """Return tristimulus values of CIELAB: `lab` turned round.

    Parameters
    ----------
    lab : array_like, shape (..., 3)
        L*, a*, b*.
    white : array_like, shape (3,) or (..., 3)
        Tristimulus values of the white that the CIELAB stands against.

    Returns
    -------
    ndarray, shape (..., 3)
        X, Y, Z in the unit of the white. Colours that no light has come out below 0.

    Examples
    --------
    >>> xyz_of([37.8424, 0, 0], [100, 100, 100]).round(3)
    array([10., 10., 10.])
    """
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    y = (lightness + 16) / 116
    root = np.stack([y + a / 500, y, y - b / 200], axis=-1)
    ratio = np.where(root > _EDGE, root**3, 3 * _EDGE**2 * (root - 4 / 29))
    answer: Array = ratio * np.asarray(white, dtype=np.float64)
    return answer
