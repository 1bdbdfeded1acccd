"""Fractions of light: what every model here takes and gives, refused when they cannot be."""

import numpy as np
import numpy.typing as npt

__all__ = ["Array", "Numbers", "fractions"]

Array = npt.NDArray[np.float64]
Numbers = float | Array

_ROUNDING = 1e-9


def fractions(name: str, value: Numbers) -> Array:
    """Return a value as an array of fractions.

    Parameters
    ----------
    name : str
        What the value is, for the refusal.
    value : float or array
        Fractions, 0 to 1, any shape; 1 may be passed by what rounding adds.

    Returns
    -------
    array
        The same values.

    Raises
    ------
    ValueError
        A value is no fraction: below 0, above 1 (a percentage, for one) or no number. The farthest is named.

    Examples
    --------
    >>> fractions("transmittance", 38.0)
    Traceback (most recent call last):
    ...
    ValueError: transmittance is a fraction, 0 to 1, not 38
    """
    array = np.asarray(value, dtype=np.float64)
    if not np.all((array >= 0) & (array <= 1 + _ROUNDING)):
        flat = array.ravel()
        farthest = float(flat[np.argmax(np.abs(np.nan_to_num(flat, nan=np.inf) - 0.5))])
        raise ValueError(f"{name} is a fraction, 0 to 1, not {farthest:.6g}")
    return array
