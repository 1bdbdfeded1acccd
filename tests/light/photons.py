"""Photons through a slab that scatters: what a film lets through and throws back, with ink on it.

A second route to `registry.light.inked`, by another physics: random walks between two smooth surfaces
(Fresnel, unpolarised), ink as a thin absorber beneath the front one. Nothing is shared with the program.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

__all__ = ["Slab", "Walk", "walk"]

Array = npt.NDArray[np.float64]


class Slab(NamedTuple):
    """A film: depth in mean free paths, what a scattering leaves of the light, how forward it goes."""

    depth: float
    albedo: float
    forward: float = 0.0
    """Mean cosine of a scattering (Henyey and Greenstein), 0 to below 1."""
    refractive: float = 1.5


class Walk(NamedTuple):
    """Shares of the light that fell on a face."""

    through: float
    back: float


def walk(
    slab: Slab, photons: int, seed: int, *, ink: float = 1.0, on_front: bool = False, diffuse: bool = False
) -> Walk:
    """Send photons onto the back face (or the front one, where the ink lies), upright or evenly diffuse."""
    rng = np.random.default_rng(seed)
    falling = np.sqrt(rng.random(photons)) if diffuse else np.ones(photons)
    thrown, inside = _surface(falling, 1.0, slab.refractive)
    entering = rng.random(photons) >= thrown
    cosine = inside[entering]
    if on_front:
        cosine = -cosine[rng.random(len(cosine)) < ink]
    place = np.full(len(cosine), slab.depth if on_front else 0.0)
    out = {True: 0, False: 0}
    while len(place):
        place = place + cosine * -np.log(rng.random(len(place)))
        at_front, at_back = place >= slab.depth, place <= 0
        alive = np.ones(len(place), bool)
        within = np.flatnonzero(~(at_front | at_back))
        alive[within] = rng.random(len(within)) < slab.albedo
        cosine[within] = _scattered(cosine[within], slab.forward, rng)
        for front, there in ((True, np.flatnonzero(at_front)), (False, np.flatnonzero(at_back))):
            inked = ink if front else 1.0
            here = _passing(there, inked, alive, rng)
            leaves = rng.random(len(here)) >= _surface(np.abs(cosine[here]), slab.refractive, 1.0)[0]
            out[front] += int(leaves.sum())
            alive[here[leaves]] = False
            stays = _passing(here[~leaves], inked, alive, rng)
            cosine[stays] *= -1
            place[stays] = slab.depth if front else 0.0
        place, cosine = place[alive], cosine[alive]
    bounced = photons - int(entering.sum())
    return Walk(out[not on_front] / photons, (out[on_front] + bounced) / photons)


def _passing(
    here: npt.NDArray[np.int64], ink: float, alive: npt.NDArray[np.bool_], rng: np.random.Generator
) -> npt.NDArray[np.int64]:
    passes = rng.random(len(here)) < ink
    alive[here[~passes]] = False
    return here[passes]


def _surface(cosine: Array, before: float, behind: float) -> tuple[Array, Array]:
    """Return what a smooth surface throws back (Fresnel), and the cosine of what passes it."""
    sine = before / behind * np.sqrt(np.maximum(0, 1 - cosine**2))
    beyond = np.sqrt(np.maximum(0, 1 - sine**2))
    across = ((before * cosine - behind * beyond) / (before * cosine + behind * beyond)) ** 2
    along = ((before * beyond - behind * cosine) / (before * beyond + behind * cosine)) ** 2
    return np.where(sine >= 1, 1.0, (across + along) / 2), beyond


def _scattered(cosine: Array, forward: float, rng: np.random.Generator) -> Array:
    """Return the cosines after a scattering by Henyey and Greenstein's law."""
    if not forward:
        return 2 * rng.random(len(cosine)) - 1
    share = (1 - forward**2) / (1 - forward + 2 * forward * rng.random(len(cosine)))
    turned = (1 + forward**2 - share**2) / (2 * forward)
    around = np.cos(2 * np.pi * rng.random(len(cosine)))
    answer: Array = cosine * turned + np.sqrt((1 - cosine**2) * (1 - turned**2)) * around
    return answer
