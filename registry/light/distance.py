"""How well a colour difference is known: never at first order, for near 0 it has no slope."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from registry.light.difference import ciede2000
from registry.light.grid import Array
from registry.light.lab import lab, xyz_of
from registry.light.uncertainty import COVERAGE

__all__ = ["Interval", "Repeats", "drawn_differences", "interval"]

_MOST = 400_000
"""So many differences are drawn at the most; of a large chart fewer times each."""
_FEWEST, _USUAL = 200, 8192
_SEED = 2000
_WHITE, _LAB_OF_WHITE = np.ones(3), np.array((100.0, 0.0, 0.0))


class Interval(NamedTuple):
    """A number, and where it lies with a chance of 0.95."""

    value: float
    low: float
    high: float
    u: float
    """Standard uncertainty."""


class Repeats(NamedTuple):
    """By how much two readings of one patch differ: standard uncertainties, as fractions."""

    light: float
    """Of X, Y and Z alike."""
    colour: float
    """Of each of them by itself."""


def drawn_differences(
    one: npt.ArrayLike,
    other: npt.ArrayLike,
    repeats: Repeats,
    *,
    own_whites: bool = True,
    calibration: float = 0.0,
    together: bool = False,
) -> Array:
    """Return ΔE00 of pairs of colours as it may be, for what readings of one print do not repeat.

    Parameters
    ----------
    one, other : array_like, shape (n, 3)
        CIELAB of the two sides.
    repeats : Repeats
        Of each reading, the whites' too.
    own_whites : bool
        Whether each side stands against a white that was read with it, and that all its colours share.
    calibration : float
        Standard uncertainty, as a fraction, of what one side's instrument reads too much of everything; 0
        where one instrument read both. It falls out where each side stands against its own white.

    together : bool
        Whether one reading serves both sides, which so are off alike.

    Returns
    -------
    ndarray, shape (draws, n)
        The same whenever it is asked.

    Notes
    -----
    Source: JCGM 101. What two readings repeat differently makes colours that are the same look apart, so the
    draws of a small difference lie above what was read. What both sides share falls out and is not drawn.
    """
    sides = [np.atleast_2d(np.asarray(each, dtype=np.float64)) for each in (one, other)]
    draws = int(np.clip(_MOST // max(len(sides[0]), 1), _FEWEST, _USUAL))
    rng = np.random.default_rng(_SEED)
    seen = []
    for side in sides:
        if together:
            rng = np.random.default_rng(_SEED)
        white, each = (_factors(rng, (draws, count), repeats) for count in (1, len(side)))
        if not own_whites:
            alike = np.maximum(1 + rng.normal(0.0, calibration, (draws, 1, 1)), 1e-3)
            seen.append(lab(xyz_of(side, _WHITE) * each * alike, _WHITE))
            continue
        is_white = (np.abs(side - _LAB_OF_WHITE) < 1e-6).all(axis=1, keepdims=True)
        seen.append(lab(xyz_of(side, _WHITE) * np.where(is_white, white, each), white))
    return ciede2000(seen[0], seen[1])


def _factors(rng: np.random.Generator, shape: tuple[int, int], repeats: Repeats) -> Array:
    alike, apart = rng.normal(0.0, repeats.light, (*shape, 1)), rng.normal(0.0, repeats.colour, (*shape, 3))
    return np.maximum(1 + alike + apart, 1e-3)


def interval(value: float, drawn: Array) -> Interval:
    """Return a number with the interval of its draws.

    >>> round(interval(1.0, np.linspace(0, 2, 2001)).high, 2)
    1.95
    """
    low, high = np.quantile(drawn, ((1 - COVERAGE) / 2, (1 + COVERAGE) / 2))
    return Interval(value, float(low), float(high), float(np.std(drawn)))
