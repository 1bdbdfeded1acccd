"""Ink on what spreads light: what it lets through, and what it takes from the light thrown back.

Light that reaches a surface from inside is mostly thrown back (0.6 of it at a refractive index of 1.5). Under
ink it passes the ink once more on the way to the surface and once more on the way back, so ink on one face
darkens that face, and the light in the box behind the other one too.
"""

import numpy as np
import numpy.typing as npt

from registry.light.fraction import Numbers
from registry.light.stack import Layer
from registry.light.surface import diffuse_internal

__all__ = ["SURFACE_REFLECTANCE", "inked"]

Array = npt.NDArray[np.float64]

SURFACE_REFLECTANCE = 0.04
"""Of a surface of refractive index 1.5, at right angles (Fresnel): what no ink beneath it can take away."""
_INSIDE = diffuse_internal(1.5)
_OBLIQUE = 0.62
"""How much of the light that a surface throws back reaches the other face, over what evenly diffuse light
would: it goes obliquely and mostly stays near. From photon simulations (tests/light/photons.py)."""
_HALVINGS = 45


def inked(film: Layer, ink_transmittance: Array, *, in_front: float = 1.0) -> Layer:
    """Return what spreads light, with ink before and behind it, as one layer; one value an ink transmittance.

    Parameters
    ----------
    film : Layer
        The unprinted film, a white layer counted in, total, as fractions; numbers, or columns.
    ink_transmittance : array
        Of all the ink as it was read: transmittance of the print over that of the unprinted film, 0 to 1.
    in_front : float, optional
        Share of the ink, by density, that lies on the viewer's side of what spreads the light, 0 to 1; the
        rest looks into the box.

    Returns
    -------
    Layer
        With t the ink's transmittance for one passage, q = r_i·R the share that surface and body throw to
        and fro, r_i = 0.596 and s = 0.04, on the inked face: T = T₀·t(1 − q)/(1 − q·t²); that face
        ρ = s + (1 − s)(1 − r_i)·R·t²/(1 − r_i·R·t²); the other face loses up to
        0.62·T₀²·(1 − q)·r_i/((1 − s)(1 − r_i)).

    Notes
    -----
    Sources: J. L. Saunderson, J. Opt. Soc. Am. 32 (1942) 727 for body and surface; F. C. Williams and F. R.
    Clapper, J. Opt. Soc. Am. 43 (1953) 595 for the ink between them. The factor 0.62 is from photon
    simulations of slabs that let 17 to 49 % through, which this meets within 0.02. Of a film that absorbs
    much, with ink on both faces, more ink may be told to throw back a little more, by less than that. Left
    out: ink that scatters or sinks in, films so thin that light passes them unspread.

    Examples
    --------
    >>> import numpy as np
    >>> black = inked(Layer(0.38, 0.53, 0.55), np.array([1.0, 0.01]))
    >>> [round(float(face[1]), 3) for face in (black.front_reflectance, black.back_reflectance)]
    [0.04, 0.471]
    """
    ink = np.asarray(ink_transmittance, dtype=np.float64)
    if in_front >= 1:
        return _under_front(film, _one_passage(film.front_reflectance, ink))
    if in_front <= 0:
        turned = _turned(film)
        return _turned(_under_front(turned, _one_passage(turned.front_reflectance, ink)))
    low, high = ink, np.ones_like(ink)  # light to and fro passes the ink more often than once
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        darker = np.asarray(_on_both(film, middle, in_front).transmittance) < film.transmittance * ink
        low, high = np.where(darker, middle, low), np.where(darker, high, middle)
    return _on_both(film, (low + high) / 2, in_front)


def _on_both(film: Layer, passage: Array, in_front: float) -> Layer:
    front = _under_front(film, passage**in_front)
    return _turned(_under_front(_turned(front), passage ** (1 - in_front)))


def _under_front(film: Layer, passage: Array) -> Layer:
    """Return a film whose front face carries ink of this transmittance for one passage."""
    surface = np.minimum(SURFACE_REFLECTANCE, film.front_reflectance)
    body = _body(film.front_reflectance)
    to_and_fro = _INSIDE * body
    square = np.square(passage)
    left = (1 - to_and_fro) / (1 - to_and_fro * square)
    let_out = (1 - SURFACE_REFLECTANCE) * (1 - _INSIDE)
    returned = _OBLIQUE * np.square(film.transmittance) * (1 - to_and_fro) * _INSIDE / let_out
    most = film.back_reflectance - np.minimum(SURFACE_REFLECTANCE, film.back_reflectance)
    taken: Array = np.minimum(returned, most) * (1 - square * left)
    return Layer(
        film.transmittance * passage * left,
        surface + let_out * square * body / (1 - to_and_fro * square),
        film.back_reflectance - taken,
    )


def _one_passage(face: Numbers, ink: Array) -> Array:
    """Return the ink's transmittance for one passage: `ink` = t(1 − q)/(1 − q·t²) solved for t."""
    q = _INSIDE * _body(face)
    answer: Array = 2 * ink / (1 - q + np.sqrt(np.square(1 - q) + 4 * q * np.square(ink)))
    return answer


def _body(face: Numbers) -> Array:
    """Return what the body throws back to its surface from inside, from what its face throws back in air."""
    inner = np.maximum(np.asarray(face, dtype=np.float64) - SURFACE_REFLECTANCE, 0.0)
    answer: Array = inner / ((1 - SURFACE_REFLECTANCE) * (1 - _INSIDE) + _INSIDE * inner)
    return answer


def _turned(layer: Layer) -> Layer:
    return Layer(layer.transmittance, layer.back_reflectance, layer.front_reflectance)
