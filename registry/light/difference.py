"""Colour difference by CIEDE2000, and what many differences come to."""

from dataclasses import dataclass
from math import cos, prod, radians, sin

import numpy as np
import numpy.typing as npt

from registry.light.grid import Array

__all__ = ["Summary", "ciede2000", "summary"]

_BLOCK = 16384
"""Pairs computed at a time, so that what lies between stays small and in the cache."""

_TINY = 1e-300
_COS = {angle: cos(radians(angle)) for angle in (6, 30, 63)}
_SIN = {angle: sin(radians(angle)) for angle in (6, 30, 63)}


@dataclass(frozen=True, slots=True)
class Summary:
    """What differences come to."""

    mean: float
    p95: float
    """95 of 100 differences are no larger."""
    largest: float
    at: int
    """Where the largest is, counted from 0; in an array of several axes, as it is flattened."""


def ciede2000(lab1: npt.ArrayLike, lab2: npt.ArrayLike) -> Array:
    """Return the colour difference ΔE00 of pairs of colours.

    Parameters
    ----------
    lab1, lab2 : array_like, shape (..., 3)
        CIELAB of the two sides against the same white; shapes are broadcast against each other.

    Returns
    -------
    ndarray, shape (...)
        ΔE00, 0 and up, with kL = kC = kH = 1. Symmetric: either side may be called the first.

    Raises
    ------
    ValueError
        The last axis has not three values, or the shapes do not fit each other.

    Notes
    -----
    Source: ISO/CIE 11664-6; Sharma, Wu and Dalal, Color Research and Application 30 (2005) 21-30. Made for
    differences up to about 5 on reflecting surfaces side by side: large ones are to be read as "far off", and
    on lit displays it is used by convention. Texture, size and parting of the samples are left out.

    The mean hue is found from unit vectors, not from angles, so that no case depends on how an angle was
    rounded; hues that are exactly opposite take the mean of the two angles, as the formula has it.

    Examples
    --------
    >>> float(ciede2000([50, 2.6772, -79.7751], [50, 0, -82.7485]).round(4))
    2.0425
    """
    first, second = np.broadcast_arrays(
        np.asarray(lab1, dtype=np.float64), np.asarray(lab2, dtype=np.float64)
    )
    if first.shape[-1:] != (3,):
        raise ValueError(f"colours have three values on the last axis, not shape {first.shape}")
    if first.ndim == 1:
        return _difference(first, second)
    answer = np.empty(first.shape[:-1])
    rows = max(_BLOCK // max(prod(first.shape[1:-1]), 1), 1)
    for start in range(0, len(first), rows):
        block = slice(start, start + rows)
        answer[block] = _difference(first[block], second[block])
    return answer


def summary(de: npt.ArrayLike) -> Summary:
    """Return mean, 95th percentile and largest of differences, and where the largest is.

    Parameters
    ----------
    de : array_like, any shape
        Differences, one at the least, all finite.

    Returns
    -------
    Summary
        The percentile is interpolated linearly between the two differences beside it.

    Raises
    ------
    ValueError
        There are none, or one is no number.

    Examples
    --------
    >>> summary([1.0, 4.0, 1.0, 1.0, 3.0])
    Summary(mean=2.0, p95=3.8, largest=4.0, at=1)
    """
    given = np.asarray(de, dtype=np.float64).ravel()
    if not given.size:
        raise ValueError("there are no differences to sum up")
    if not np.isfinite(given).all():
        raise ValueError(f"difference {int((~np.isfinite(given)).argmax())} is no number")
    at = int(given.argmax())
    return Summary(float(given.mean()), float(np.percentile(given, 95)), float(given[at]), at)


def _difference(lab1: Array, lab2: Array) -> Array:
    l1, a1, b1 = lab1[..., 0], lab1[..., 1], lab1[..., 2]
    l2, a2, b2 = lab2[..., 0], lab2[..., 1], lab2[..., 2]
    stretch = 1.5 - 0.5 * _strong(np.sqrt(a1 * a1 + b1 * b1) / 2 + np.sqrt(a2 * a2 + b2 * b2) / 2)
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.sqrt(a1 * a1 + b1 * b1), np.sqrt(a2 * a2 + b2 * b2)
    cos_h, sin_h, half = _mean_hue(_along(a1, c1), _along(b1, c1), _along(a2, c2), _along(b2, c2))
    c_mean = (c1 + c2) / 2
    weight_h = 1 + 0.015 * c_mean * _hue_weight(cos_h, sin_h)
    l_off = ((l1 + l2) / 2 - 50) ** 2
    lightness = (l2 - l1) / (1 + 0.015 * l_off / np.sqrt(20 + l_off))
    chroma = (c2 - c1) / (1 + 0.045 * c_mean)
    hue = 2 * np.sqrt(c1 * c2) * half / weight_h
    squared = lightness**2 + chroma**2 + hue**2 + _rotation(cos_h, sin_h, c_mean) * chroma * hue
    # Rounding may leave the sum of what cancels a hair below 0.
    answer: Array = np.sqrt(np.maximum(squared, 0.0))
    return answer


def _mean_hue(x1: Array, y1: Array, x2: Array, y2: Array) -> tuple[Array, Array, Array]:
    """Return cosine and sine of the mean hue, and the sine of half the way from the first hue to the second.

    The hues are given as unit vectors. A grey has none, (0, 0), and leaves the other's alone. Sum and
    difference of two unit vectors stand at right angles; the longer of them is used, which loses no digits.
    """
    sine = x1 * y2 - y1 * x2
    near = x1 * x2 + y1 * y2 >= 0
    first_is_lower = (y1 > 0) | ((y1 == 0) & (x1 > 0))
    turn = np.where((sine > 0) | ((sine == 0) & first_is_lower), 1.0, -1.0)
    x = np.where(near, x1 + x2, turn * (y2 - y1))
    y = np.where(near, y1 + y2, turn * (x1 - x2))
    length = np.sqrt(x * x + y * y)
    half = np.where(near, _along(sine, length), turn * length / 2)
    return _along(x, length), _along(y, length), half


def _along(part: Array, length: Array) -> Array:
    """Return a part of a vector as a fraction of its length, 0 where it has none."""
    answer: Array = part / np.maximum(length, _TINY)
    return answer


def _hue_weight(cos_h: Array, sin_h: Array) -> Array:
    """Return T = 1 - 0.17 cos(h-30°) + 0.24 cos 2h + 0.32 cos(3h+6°) - 0.20 cos(4h-63°)."""
    cos_2h, sin_2h = 2 * cos_h * cos_h - 1, 2 * sin_h * cos_h
    cos_3h, sin_3h = cos_h * cos_2h - sin_h * sin_2h, sin_h * cos_2h + cos_h * sin_2h
    cos_4h, sin_4h = 2 * cos_2h * cos_2h - 1, 2 * sin_2h * cos_2h
    answer: Array = (
        1
        - 0.17 * (cos_h * _COS[30] + sin_h * _SIN[30])
        + 0.24 * cos_2h
        + 0.32 * (cos_3h * _COS[6] - sin_3h * _SIN[6])
        - 0.20 * (cos_4h * _COS[63] + sin_4h * _SIN[63])
    )
    return answer


def _rotation(cos_h: Array, sin_h: Array, c_mean: Array) -> Array:
    """Return the term by which chroma and hue differences of saturated blues act on each other."""
    # Half a turn and back, so that the angle runs from 0 to 360; a zero without sign keeps hue 0 at 0.
    degrees = 180 + np.degrees(np.arctan2(-(sin_h + 0.0), -cos_h))
    away = (degrees - 275) / 25
    answer: Array = -2 * np.sin(np.radians(60 * np.exp(-away * away))) * _strong(c_mean)
    return answer


def _strong(chroma: Array) -> Array:
    """Return how near to 1 a chroma comes: √(C⁷ / (C⁷ + 25⁷))."""
    squared = chroma * chroma
    seventh = squared * squared * squared * chroma
    answer: Array = np.sqrt(seventh / (seventh + 25.0**7))
    return answer
