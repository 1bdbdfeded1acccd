"""Chromatic adaptation: what a colour seen in one display's white corresponds to in another's."""

import numpy as np
import numpy.typing as npt

from registry.light.grid import Array

__all__ = ["adapted"]

_CAT16 = np.array(
    [
        [0.401288, 0.650173, -0.051461],
        [-0.250268, 1.204414, 0.045854],
        [-0.002079, 0.048952, 0.953127],
    ]
)


def adapted(xyz: npt.ArrayLike, white_from: npt.ArrayLike, white_to: npt.ArrayLike) -> Array:
    """Return tristimulus values that look under one white as the given ones do under another, by CAT16.

    Parameters
    ----------
    xyz : array_like, shape (..., 3)
        Tristimulus values as seen under `white_from`, in the same unit as that white.
    white_from, white_to : array_like, shape (3,)
        Tristimulus values of the two whites, such as the lit whites of two displays, Y above 0.

    Returns
    -------
    ndarray, shape (..., 3)
        In the unit of `white_to`; `white_from` itself becomes `white_to`.

    Raises
    ------
    ValueError
        A white to which one of the three cone-like responses is not above 0.

    Notes
    -----
    Source: Li et al., Color Research and Application 42 (2017) 703-718. Adaptation is taken to be complete
    (degree 1): whoever looks at a lit display in a bright hall adapts in part to the hall, and that part is
    left out, as are luminance and surround. Where only one display is in play nothing needs to be adapted:
    its CIELAB stands against its own white.

    Examples
    --------
    >>> adapted([95.047, 100, 108.883], [95.047, 100, 108.883], [96.422, 100, 82.521]).round(3)
    array([ 96.422, 100.   ,  82.521])
    """
    before, after = _responses(white_from), _responses(white_to)
    turned = np.linalg.inv(_CAT16) @ np.diag(after / before) @ _CAT16
    answer: Array = np.asarray(xyz, dtype=np.float64) @ turned.T
    return answer


def _responses(white: npt.ArrayLike) -> Array:
    given = np.asarray(white, dtype=np.float64)
    responses: Array = _CAT16 @ given
    if not (responses > 0).all():
        raise ValueError(f"nothing adapts to {given.tolist()}: it is no white")
    return responses
