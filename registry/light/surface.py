"""What a smooth surface between air and a denser layer does to evenly diffuse light."""

import numpy as np

__all__ = ["diffuse_external", "diffuse_internal"]

_LEAST_INDEX = 1.01


def diffuse_external(index: float) -> float:
    """Return the reflectance of a smooth surface for evenly diffuse light that comes from air.

    Parameters
    ----------
    index : float
        Refractive index of the layer over that of air, 1.01 and up.

    Returns
    -------
    float
        Fraction: Fresnel's reflectance meant over the half space, each direction by its cosine.

    Raises
    ------
    ValueError
        The index is below 1.01: the closed form loses its digits towards 1.

    References
    ----------
    J. W. T. Walsh (1926) in closed form; tabulated by D. B. Judd, J. Res. Natl. Bur. Stand. 29 (1942) 329.

    Examples
    --------
    >>> round(diffuse_external(1.5), 6)
    0.091778
    """
    if not (np.isfinite(index) and index >= _LEAST_INDEX):
        raise ValueError(f"a refractive index over air's is {_LEAST_INDEX} or more, not {index!r}")
    n, square, fourth = index, index**2, index**4
    return float(
        1 / 2
        + (n - 1) * (3 * n + 1) / (6 * (n + 1) ** 2)
        + square * (square - 1) ** 2 / (square + 1) ** 3 * np.log((n - 1) / (n + 1))
        - 2 * n**3 * (square + 2 * n - 1) / ((square + 1) * (fourth - 1))
        + 8 * fourth * (fourth + 1) / ((square + 1) * (fourth - 1) ** 2) * np.log(n)
    )


def diffuse_internal(index: float) -> float:
    """Return the reflectance of a smooth surface for evenly diffuse light that comes from inside.

    Parameters
    ----------
    index : float
        Refractive index of the layer over that of air, 1.01 and up.

    Returns
    -------
    float
        Fraction: 1 − (1 − r_external)/n². Most of it is total reflection beyond the critical angle.

    Raises
    ------
    ValueError
        The index is below 1.01.

    References
    ----------
    D. B. Judd, J. Res. Natl. Bur. Stand. 29 (1942) 329.

    Examples
    --------
    >>> round(diffuse_internal(1.5), 6)
    0.596346
    """
    return 1 - (1 - diffuse_external(index)) / index**2
