"""Correlated colour temperature of a white, and how far it lies from the black body's."""

import math
from functools import cache

import numpy as np
import numpy.typing as npt

from registry.light.grid import Array
from registry.light.interpolation import FINE
from registry.light.sources import matching

__all__ = ["NoTemperature", "black_body", "cct_duv"]

_COOLEST_K, _HOTTEST_K = 1_000.0, 100_000.0
_STEP = 1.0025
_C2 = 1.4388e-2
_FARTHEST = 0.05
_NEARLY_PLANCKIAN = 0.002


class NoTemperature(ValueError):
    """A colour that no temperature correlates with; the text says why."""


def cct_duv(xyz: npt.ArrayLike) -> tuple[float, float]:
    """Return correlated colour temperature and distance from the Planckian locus.

    Parameters
    ----------
    xyz : array_like, shape (3,)
        Tristimulus values of a white for the CIE 1931 (2°) observer, in any unit.

    Returns
    -------
    cct_k : float
        Correlated colour temperature in K, 1,000 to 100,000.
    duv : float
        Distance in CIE 1960 (u, v), at most 0.05 either way: above 0 greenish, below 0 pinkish.

    Raises
    ------
    NoTemperature
        The colour lies farther from the locus than 0.05, or beyond its ends.

    Notes
    -----
    Source: Ohno, Leukos 10 (2013) 47-55: a table of the locus, here in steps of 0.25 %, and between its
    points the triangle of the nearest within 0.002 of the locus, the parabola through the nearest three
    elsewhere. The locus is summed every nanometre from 360 to 780 nm with c2 = 1.4388e-2 m·K. What is set
    down beside the locus is found again within 0.003 % in K and 0.000001 in Duv
    (`tests/light/test_temperature.py`). Lamps of one temperature may still render colours differently.

    Examples
    --------
    >>> cct, duv = cct_duv([95.047, 100, 108.883])
    >>> round(cct), round(duv, 4)
    (6503, 0.0032)
    """
    x, y, z = np.asarray(xyz, dtype=np.float64).tolist()
    total = x + 15 * y + 3 * z
    if not (math.isfinite(total) and total > 0):
        raise NoTemperature(f"X {x:g}, Y {y:g}, Z {z:g} is no light")
    u, v = 4 * x / total, 6 * y / total
    temperatures, locus = _locus()
    distances = np.hypot(u - locus[:, 0], v - locus[:, 1])
    nearest = int(distances.argmin())
    if nearest in {0, len(temperatures) - 1}:
        raise NoTemperature(f"u {u:.4f}, v {v:.4f} lies beyond {_COOLEST_K:g} to {_HOTTEST_K:g} K")
    three = slice(nearest - 1, nearest + 2)
    cct, duv = _triangle(temperatures[three], locus[three], distances[three], v)
    if abs(duv) >= _NEARLY_PLANCKIAN:
        cct, duv = _parabola(temperatures[three], distances[three], math.copysign(1, duv))
    if abs(duv) > _FARTHEST:
        raise NoTemperature(
            f"u {u:.4f}, v {v:.4f} lies {abs(duv):.3f} from the Planckian locus: beyond {_FARTHEST:g} no "
            "temperature correlates with a colour"
        )
    return cct, duv


def black_body(kelvin: float) -> Array:
    """Return the tristimulus values of a black body, Y = 100.

    Parameters
    ----------
    kelvin : float
        Its temperature, above 0.

    Returns
    -------
    ndarray, shape (3,)
        X, Y and Z by the CIE 1931 standard observer.

    Raises
    ------
    ValueError
        The temperature is not above 0.

    Notes
    -----
    Source: Planck's law (CIE 15).

    Examples
    --------
    Illuminant A is one of nearly 2856 K; ASTM E308 gives it 109.850, 100, 35.585.

    >>> black_body(2855.5).round(1)
    array([109.9, 100. ,  35.6])
    """
    if not kelvin > 0:
        raise ValueError(f"a black body is warmer than 0 K, not {kelvin:g} K")
    metres = FINE.wavelengths_nm * 1e-9
    tristimulus: Array = (metres**-5 / np.expm1(_C2 / (kelvin * metres))) @ matching(2)
    tristimulus *= 100 / tristimulus[1]
    return tristimulus


@cache
def _locus() -> tuple[Array, Array]:
    """Return temperatures in K, shape (n,), and the black body's u and v, shape (n, 2)."""
    steps = math.ceil(math.log(_HOTTEST_K / _COOLEST_K) / math.log(_STEP))
    temperatures = np.geomspace(_COOLEST_K, _HOTTEST_K, steps + 1)
    metres = FINE.wavelengths_nm * 1e-9
    power = metres**-5 / np.expm1(_C2 / np.outer(temperatures, metres))
    x, y, z = (power @ matching(2)).T
    total = x + 15 * y + 3 * z
    return temperatures, np.stack([4 * x / total, 6 * y / total], axis=1)


def _triangle(temperatures: Array, locus: Array, distances: Array, v: float) -> tuple[float, float]:
    """Return the foot of the perpendicular on the chord between the outer two of three points."""
    chord = math.hypot(*(locus[2] - locus[0]).tolist())
    along = (distances[0] ** 2 - distances[2] ** 2 + chord**2) / (2 * chord)
    share = along / chord
    off = math.sqrt(max(float(distances[0] ** 2 - along**2), 0.0))
    side = v - (locus[0, 1] + (locus[2, 1] - locus[0, 1]) * share)
    return float(temperatures[0] + (temperatures[2] - temperatures[0]) * share), math.copysign(off, side)


def _parabola(temperatures: Array, distances: Array, side: float) -> tuple[float, float]:
    """Return the lowest point of the parabola through three distances."""
    offsets = temperatures - temperatures[1]
    below, at, above = distances.tolist()
    bend = ((above - at) / offsets[2] - (below - at) / offsets[0]) / (offsets[2] - offsets[0])
    slope = (above - at) / offsets[2] - bend * offsets[2]
    lowest = -slope / (2 * bend)
    return float(temperatures[1] + lowest), side * float(at + (slope + bend * lowest) * lowest)
