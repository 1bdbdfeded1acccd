"""What a smooth surface between air and a denser layer does to light (Fresnel, Saunderson)."""

import numpy as np

from registry.light.fraction import Array, Numbers, fractions

__all__ = ["diffuse_external", "diffuse_internal", "fresnel", "saunderson", "saunderson_inverse"]

_LEAST_INDEX = 1.01


def fresnel(index: float, angle_deg: Numbers = 0.0) -> Array:
    """Return the reflectance of a smooth surface for unpolarised light at one angle.

    Parameters
    ----------
    index : float
        Refractive index of what lies behind the surface over that of what lies before it, above 0: 1.5 from
        air into most films and inks, 1/1.5 from inside them.
    angle_deg : float or array
        Between the light and the perpendicular, in degrees, 0 to 90.

    Returns
    -------
    array
        Fraction, 0 to 1; 1 where light from inside is totally reflected. What passes is one minus it.

    Raises
    ------
    ValueError
        The index is not above 0, or an angle lies outside 0 to 90°.

    Notes
    -----
    Left out: absorption by the surface itself (metals), thin-film colours, roughness.

    References
    ----------
    Fresnel's equations, as in M. Born and E. Wolf, Principles of Optics, section 1.5.

    Examples
    --------
    >>> round(float(fresnel(1.5)), 6), round(float(1 - fresnel(1.5, 45)), 6)
    (0.04, 0.94976)
    """
    if not (np.isfinite(index) and index > 0):
        raise ValueError(f"a refractive index is above 0, not {index!r}")
    angle = np.asarray(angle_deg, dtype=np.float64)
    if not np.all((angle >= 0) & (angle <= 90)):
        raise ValueError(f"an angle of incidence is from 0 to 90°, not {angle_deg!r}")
    before, sine = np.cos(np.radians(angle)), np.sin(np.radians(angle)) / index
    # Beyond the critical angle the cosine is taken as 0, which makes both reflectances 1.
    behind = np.sqrt(np.clip(1 - sine**2, 0, None))
    across = (before - index * behind) / (before + index * behind)
    along = (index * before - behind) / (index * before + behind)
    answer: Array = (across**2 + along**2) / 2
    return answer


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


def saunderson(reflectance: Numbers, outside: float, inside: float) -> Array:
    """Return what is measured of a layer under a smooth surface: Saunderson's correction.

    Parameters
    ----------
    reflectance : float or array
        Of the layer as it would be without a surface, fractions, 0 to 1, any shape.
    outside : float
        k₁: the surface's reflectance for the light that falls on it, 0 to below 1; 0.04 for n = 1.5 near the
        perpendicular.
    inside : float
        k₂: the surface's reflectance for the diffuse light from within, 0 to below 1; 0.596 for n = 1.5.

    Returns
    -------
    array
        R_m = k₁ + (1 − k₁)(1 − k₂)R/(1 − k₂R), with the surface's own reflection (gloss) included.

    Raises
    ------
    ValueError
        A value is no fraction.

    Notes
    -----
    Valid for a layer that spreads light evenly below a smooth surface. Left out: roughness, and instruments
    that do not see the gloss (45°:0°): they read R_m − k₁.

    References
    ----------
    J. L. Saunderson, Calculation of the color of pigmented plastics, J. Opt. Soc. Am. 32 (1942) 727-736.

    Examples
    --------
    >>> round(float(saunderson(0.5, 0.04, 0.596)), 6)
    0.316239
    """
    share = fractions("reflectance", reflectance)
    passes = _passing(outside, inside)
    answer: Array = outside + passes * share / (1 - inside * share)
    return answer


def saunderson_inverse(measured: Numbers, outside: float, inside: float) -> Array:
    """Return the reflectance of a layer without its surface, from what was measured with it.

    Parameters
    ----------
    measured : float or array
        Reflectance with gloss included, fractions, k₁ to 1, any shape.
    outside, inside : float
        k₁ and k₂ as in `saunderson`.

    Returns
    -------
    array
        R = (R_m − k₁)/((1 − k₁)(1 − k₂) + k₂(R_m − k₁)).

    Raises
    ------
    ValueError
        A value is no fraction, or less was measured than the surface alone gives back.

    Examples
    --------
    >>> round(float(saunderson_inverse(0.3162393162, 0.04, 0.596)), 6)
    0.5
    """
    below = fractions("measured reflectance", measured) - outside
    passes = _passing(outside, inside)
    if not np.all(below >= 0):
        raise ValueError(
            f"measured reflectance is at least the surface's own {outside:g}, "
            f"not {float(np.min(measured)):.6g}: read without the gloss?"
        )
    answer: Array = below / (passes + inside * below)
    return answer


def _passing(outside: float, inside: float) -> float:
    """Return the share of light that passes a surface inwards and outwards."""
    for name, value in (("outside", outside), ("inside", inside)):
        if not 0 <= value < 1:
            raise ValueError(f"a surface's reflectance from {name} is from 0 to below 1, not {value!r}")
    return (1 - outside) * (1 - inside)
