"""Light followed from bounce to bounce: what is seen of ink by reflection, to start tests from."""

import numpy as np
from scipy.optimize import brentq

from registry.light.stack import Layer

__all__ = ["reflection_density", "under_ink"]


def reflection_density(film: float, q: float = 0.0) -> float:
    """Return the density over the unprinted base of light followed from bounce to bounce: R = t²·Σ(q·t²)ⁿ."""
    passed = 10 ** (-2 * film)
    return float(-np.log10(passed / (1 - q * passed) * (1 - q)))


def under_ink(film: Layer, ink: float, in_front: float) -> tuple[float, float]:
    """Return what both faces throw back under ink, where `ink` of the bare film's light is let through.

    Light is followed from bounce to bounce between surface and body; how much ink that takes is tried out.
    """

    def one_face(through: float, near: float, far: float, passage: float) -> tuple[float, float, float]:
        surface, inside = 0.04, 0.596346
        if near <= surface:
            body = 0.0
        else:
            body = brentq(lambda r: surface + _bounced(surface, inside, r, 1.0) - near, 0, 1)
        whole, left = (sum((inside * body * t * t) ** n for n in range(4000)) * t for t in (1.0, passage))
        lost = 0.62 * through**2 * inside / ((1 - surface) * (1 - inside)) / whole
        lost = min(lost, far - min(surface, far))
        near_now = min(surface, near) + _bounced(surface, inside, body, passage)
        return through * left / whole, near_now, far - lost * (1 - passage * left / whole)

    def both(passage: float) -> tuple[float, float, float]:
        near, far = float(film.front_reflectance), float(film.back_reflectance)
        through, front, back = one_face(float(film.transmittance), near, far, passage**in_front)
        through, back, front = one_face(through, back, front, passage ** (1 - in_front))
        return through, front, back

    wanted = film.transmittance * ink
    passage = 1.0 if ink == 1 else brentq(lambda t: both(t)[0] - wanted, ink / 2, 1, xtol=1e-14)
    return both(passage)[1:]


def _bounced(surface: float, inside: float, body: float, passage: float) -> float:
    """Light that passes surface and ink, is thrown back by the body, and comes out, at once or later."""
    once = (1 - surface) * (1 - inside) * body * passage**2
    return once * float(sum((inside * body * passage**2) ** n for n in range(4000)))
