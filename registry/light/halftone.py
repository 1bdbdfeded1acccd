"""How a halftone of dots looks: by area alone, with spread light, and with the paper's own reflections."""

import numpy as np

from registry.light.fraction import Array, Numbers, fractions

__all__ = ["clapper_yule", "murray_davies", "yule_nielsen"]


def murray_davies(coverage: Numbers, bare: Numbers, solid: Numbers) -> Array:
    """Return the reflectance or transmittance of a halftone by area alone.

    Parameters
    ----------
    coverage : float or array
        Share of the area under ink, 0 to 1.
    bare, solid : float or array
        Reflectance or transmittance of the unprinted substrate and of the solid, fractions, 0 to 1; shapes
        broadcast together with that of the coverage.

    Returns
    -------
    array
        a·solid + (1 − a)·bare.

    Raises
    ------
    ValueError
        A value is no fraction.

    Notes
    -----
    Holds where light leaves the substrate where it entered it. In a film or paper that spreads light the
    halftone is darker than this: `yule_nielsen` and `clapper_yule`.

    References
    ----------
    A. Murray, Monochrome reproduction in photoengraving, J. Franklin Inst. 221 (1936) 721-744.

    Examples
    --------
    >>> round(float(murray_davies(0.5, 0.8, 0.072)), 6)
    0.436
    """
    area = fractions("coverage", coverage)
    answer: Array = area * fractions("the solid", solid) + (1 - area) * fractions("the bare substrate", bare)
    return answer


def yule_nielsen(coverage: Numbers, bare: Numbers, solid: Numbers, n: float) -> Array:
    """Return the reflectance or transmittance of a halftone whose substrate spreads light.

    Parameters
    ----------
    coverage, bare, solid : float or array
        As in `murray_davies`.
    n : float
        1 for none (Murray–Davies) to 2 for complete spreading; fitted values above 2 occur, where the dots'
        edges are soft.

    Returns
    -------
    array
        (a·solid^(1/n) + (1 − a)·bare^(1/n))^n.

    Raises
    ------
    ValueError
        A value is no fraction, or n is below 1.

    Notes
    -----
    n is fitted to measured tints, wavelength by wavelength or for all: the model does not predict it.

    References
    ----------
    J. A. C. Yule and W. J. Nielsen, The penetration of light into paper and its effect on halftone
    reproduction, TAGA Proceedings 3 (1951) 65-76.

    Examples
    --------
    >>> round(float(yule_nielsen(0.5, 0.8, 0.072, 2)), 6)
    0.338
    """
    if not (np.isfinite(n) and n >= 1):
        raise ValueError(f"Yule and Nielsen's n is 1 or more, not {n!r}")
    roots = [
        fractions(name, value) ** (1 / n)
        for name, value in (("the bare substrate", bare), ("the solid", solid))
    ]
    answer: Array = murray_davies(coverage, *roots) ** n
    return answer


def clapper_yule(
    coverage: Numbers,
    ink: Numbers,
    base: Numbers,
    *,
    inside: float,
    entering: float,
    leaving: float,
    surface: float = 0.0,
) -> Array:
    """Return the reflectance of a halftone of transparent ink on a diffusing base with a surface to air.

    Parameters
    ----------
    coverage : float or array
        Share of the area under ink, 0 to 1.
    ink : float or array
        Transmittance of the ink film for one passage, 0 to 1.
    base : float or array
        Reflectance of the base for diffuse light from inside, 0 to 1.
    inside : float
        Surface's reflectance for diffuse light from inside, 0 to below 1: `surface.diffuse_internal`.
    entering, leaving : float
        Shares of light that pass the surface inwards and outwards, 0 to 1: 1 − `surface.fresnel(n, 45)` and
        (1 − `surface.fresnel(n)`)/n² for light at 45° and an eye at the perpendicular, as a share of what
        an even white gives there.
    surface : float, optional
        Surface reflection that is seen, 0 to 1; none in the 45°:0° geometry.

    Returns
    -------
    array
        r_s + T_in·T_ex·r_g(1 − a + a·t)²/(1 − r_i·r_g(1 − a + a·t²)).

    Raises
    ------
    ValueError
        A value is no fraction.

    Notes
    -----
    Valid where light wanders farther in the base than the dots are wide. Left out: dots that light does
    not leave (coarse screens), ink that scatters, paths that slant through the ink film, ink that sank in.

    References
    ----------
    F. R. Clapper and J. A. C. Yule, The effect of multiple internal reflections on the densities of
    half-tone prints on paper, J. Opt. Soc. Am. 43 (1953) 600-603.

    Examples
    --------
    >>> tint = clapper_yule(0.5, 0.3, 0.85, inside=0.596, entering=0.94976009, leaving=0.42666667)
    >>> round(float(tint), 6)
    0.201033
    """
    if not 0 <= inside < 1:
        raise ValueError(f"a surface's reflectance from inside is from 0 to below 1, not {inside!r}")
    film, below = fractions("ink transmittance", ink), fractions("base reflectance", base)
    once = murray_davies(coverage, 1.0, film)
    twice = murray_davies(coverage, 1.0, film**2)
    passes = fractions("entering light", entering) * fractions("leaving light", leaving)
    answer: Array = fractions("surface reflection", surface) + passes * below * once**2 / (
        1 - inside * below * twice
    )
    return answer
