"""Colours for paper and screen that illustrate a reading: CIELAB as sRGB."""

import numpy as np
import numpy.typing as npt

from registry.light.adaptation import adapted
from registry.light.grid import Array
from registry.light.lab import xyz_of

__all__ = ["srgb"]

_D50 = (0.9642, 1.0, 0.8249)
_D65 = (0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290)
_PRIMARIES = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])


def srgb(lab: npt.ArrayLike) -> Array:
    """Return the sRGB values that look like a colour seen against a white of D50.

    Parameters
    ----------
    lab : array_like, shape (..., 3)
        L*, a*, b* for D50.

    Returns
    -------
    ndarray, shape (..., 3)
        From 0 to 1; what lies outside of sRGB is cut off, so it illustrates and is no measurement.

    Notes
    -----
    Source: IEC 61966-2-1:1999 for matrix and curve, its white D65; D50 as in ISO 15076-1; adapted by CAT16.

    Examples
    --------
    >>> srgb([50, 0, 0]).round(2).tolist()
    [0.47, 0.47, 0.47]
    """
    linear = adapted(xyz_of(lab, _D50), _D50, _D65) @ _PRIMARIES.T
    shown = np.clip(linear, 0, 1)
    answer: Array = np.where(shown <= 0.0031308, 12.92 * shown, 1.055 * shown ** (1 / 2.4) - 0.055)
    return answer
