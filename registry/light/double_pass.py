"""One ink film seen by reflection and by transmission: the double pass, and what it says of backlit load.

Light that is seen by reflection passes the ink twice, light from behind only once. So a backlit print needs
about twice the ink of its front-lit twin, and less than twice where the surface throws light back through
the ink to the base, because then some of the light from behind passes three, five, … times.

Common practice (no source) prints backlit at 170 to 230 % of the front-lit load. The model agrees with the
lower part of that: with q = 0.5066, which is a surface of n = 1.5 (r_i = 0.596) over a base that throws back
85 %, equal density asks for

===================================  =====  =====  =====  =====  =====  =====
front-lit density                     0.18   0.61   1.07   1.49   1.90   2.30
backlit load for the same density    145 %  174 %  193 %  198 %  199 %  200 %
===================================  =====  =====  =====  =====  =====  =====

It does not agree with the rest: equal density asks for more than 200 % with no base and no surface. More ink
than that buys a black deeper than the front-lit one (at 230 % the solid of 1.49 becomes 1.69 when lit), and
pale solids match with less than 170 %. The constants are not fitted to practice.
"""

import numpy as np

from registry.light.fraction import Array, Numbers, fractions
from registry.light.surface import diffuse_internal

__all__ = [
    "equal_density_load_factor",
    "film_density",
    "recirculation",
    "transmission_density",
]

_PALEST = 1e-6
"""Below this density the load factor is its limit to seven digits, and the quotient loses more than that."""


def recirculation(base_reflectance: Numbers, index: float = 1.5) -> Array:
    """Return q, the share of light that the surface throws back to the base and the base up again.

    Parameters
    ----------
    base_reflectance : float or array
        r_g, of the base for diffuse light from inside, 0 to 1.
    index : float, optional
        Refractive index of the ink over air's, 1.01 and up.

    Returns
    -------
    array
        q = r_i·r_g, with r_i of `surface.diffuse_internal`.

    Examples
    --------
    >>> round(float(recirculation(0.85)), 4)
    0.5069
    """
    return fractions("base reflectance", base_reflectance) * diffuse_internal(index)


def transmission_density(film: Numbers, q: Numbers = 0.0) -> Array:
    """Return the transmission density of a transparent ink film over a diffusing base lit from behind.

    Parameters
    ----------
    film : float or array
        d, the film's own density for one passage, 0 and up: the load times a constant (Beer and Lambert). The
        ink lies on the face towards the viewer.
    q : float or array, optional
        Recirculation, 0 to below 1; 0 is no surface between ink and air (none that throws light back).

    Returns
    -------
    array
        Density relative to the unprinted base, d + lg((1 − q·10^−2d)/(1 − q)).

    Raises
    ------
    ValueError
        A density is below 0, or q is not a fraction below 1.

    Notes
    -----
    Holds at one wavelength, for solids of ink that does not scatter, lying on the base. Left out: ink that
    sank in, paths that slant through the ink (they make the film look denser), light reflected off the top,
    and what a light box returns to the base (`registry.light.box`).

    References
    ----------
    F. C. Williams and F. R. Clapper, Multiple internal reflections in photographic color prints, J. Opt. Soc.
    Am. 43 (1953) 595-599.

    Examples
    --------
    >>> round(float(transmission_density(0.6, 0.5066)), 4), float(transmission_density(0.6))
    (0.8927, 0.6)
    """
    film, q = _densities("the film's density", film), _below_one(q)
    answer: Array = film + np.log10((1 - q * 10 ** (-2 * film)) / (1 - q))
    return answer


def film_density(reflection: Numbers, q: Numbers = 0.0) -> Array:
    """Return a transparent ink film's own density from its reflection density over a diffusing base.

    Parameters
    ----------
    reflection : float or array
        D_R relative to the unprinted base, 0 and up.
    q : float or array, optional
        Recirculation, 0 to below 1.

    Returns
    -------
    array
        d = ½·lg((1 − q + q·R)/R), with R = 10^−D_R: D_R = 2d + lg((1 − q·10^−2d)/(1 − q)) undone.

    Raises
    ------
    ValueError
        A density is below 0, or q is not a fraction below 1.

    Examples
    --------
    >>> round(float(film_density(1.4927, 0.5066)), 4)
    0.6
    """
    reflection, q = _densities("a reflection density", reflection), _below_one(q)
    answer: Array = (np.log10(1 - q + q * 10**-reflection) + reflection) / 2
    return answer


def equal_density_load_factor(density_front: Numbers, q: Numbers = 0.0) -> Array:
    """Return the load at which a backlit print has the density of its front-lit twin.

    Parameters
    ----------
    density_front : float or array
        Reflection density of the front-lit solid relative to its unprinted substrate, as read, 0 and up.
    q : float or array, optional
        Recirculation, 0 to below 1, of both prints' base: see `recirculation`.

    Returns
    -------
    array
        Factor on the front-lit load, from 2/(1 + q) for the palest solids to 2 for dark ones and without a
        surface. Never above 2: above 200 % the lit print is deeper than its front-lit twin, not equal to it.

    Raises
    ------
    ValueError
        A density is below 0, or q is not a fraction below 1.

    Notes
    -----
    The film's density at which `transmission_density` is density_front, over `film_density` of
    it. Both prints are on one kind of base and differ in nothing but load. Left out: as
    there, and that heavier ink spreads (halftones), so it is no factor for tints.

    Examples
    --------
    >>> [round(float(equal_density_load_factor(density, 0.5066)), 4) for density in (0, 0.609, 1.4927)]
    [1.3275, 1.7437, 1.978]
    """
    front, q = _densities("a reflection density", density_front), _below_one(q)
    front, q = np.broadcast_arrays(front, q)
    passing = 10**-front
    # The film passes t, the positive root of q·T·t² + (1 − q)·t − T = 0, written so that q may be 0.
    lit = front + np.log10((1 - q + np.sqrt((1 - q) ** 2 + 4 * q * passing**2)) / 2)
    pale = front < _PALEST
    answer: Array = np.where(pale, 2 / (1 + q), lit / film_density(np.where(pale, 1.0, front), q))
    return answer


def _densities(name: str, value: Numbers) -> Array:
    array = np.asarray(value, dtype=np.float64)
    if not np.all((array >= 0) & np.isfinite(array)):
        raise ValueError(f"{name} is 0 or more, not {float(np.min(array)):.6g}")
    return array


def _below_one(q: Numbers) -> Array:
    share = fractions("recirculation", q)
    if not np.all(share < 1):
        raise ValueError("recirculation is below 1: a surface and a base that keep all light show none")
    return share
