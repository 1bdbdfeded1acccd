"""Curves through a ladder of ink loads: density, which rises ever less, and chroma and hue, which turn."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.interpolate import PchipInterpolator
from scipy.optimize import isotonic_regression, nnls

__all__ = [
    "Array",
    "Curve",
    "FitError",
    "Mask",
    "first_reaching",
    "jackknife",
    "peak",
    "rising",
    "slowing",
    "standard_error",
    "turning",
]

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]

_DRAWS, _SEED = 40, 1982
"""Of ladders drawn anew; the same ones for the same ladder."""
_HIGHEST_ORDER = 4
_ROUNDING = 1e-9
_SLIGHT = 1e-12
"""Share of the whole rise of a curve that is none."""
_STEPS = 2001
"""Places at which a curve is looked at between its ends."""


class FitError(ValueError):
    """Too few readings, or none that a curve can be laid through."""


@dataclass(frozen=True, slots=True)
class Curve:
    """A fitted curve between the least and the greatest load read; it says nothing beyond them."""

    first: float
    last: float
    of: Callable[[Array], Array]
    residual: float
    """Standard deviation of the readings about the curve, in the readings' unit."""

    def at(self, load: float | Array) -> Array:
        """Return the curve at loads between its ends.

        Raises
        ------
        ValueError
            A load lies beyond what was read.
        """
        where = np.asarray(load, dtype=np.float64)
        if np.any(where < self.first - 1e-9) or np.any(where > self.last + 1e-9):
            raise ValueError(
                f"{load!r} lies beyond the loads that were read, {self.first:g} to {self.last:g}"
            )
        answer: Array = np.asarray(self.of(where), dtype=np.float64)
        return answer

    @property
    def loads(self) -> Array:
        """Loads close together, from the first to the last."""
        return np.linspace(self.first, self.last, _STEPS)


def rising(load: Array, reading: Array) -> Curve:
    """Return the curve of readings that never fall as load rises.

    Parameters
    ----------
    load, reading : array, shape (n,)
        Loads in % and readings; a load may be read several times. At least 3 different loads.

    Returns
    -------
    Curve
        Isotonic regression of the readings (each load's mean weighs as often as it was read), then a
        monotone cubic through it.

    Raises
    ------
    FitError
        Fewer than 3 different loads, or a value that is no number.

    Notes
    -----
    Sources: isotonic regression by pool-adjacent-violators (Barlow and others 1972); monotone piecewise
    cubic (Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238). A fall that noise causes becomes a level
    stretch. A fall that is real (bronzing, a re-wet solid) becomes one too: look at the residual.

    Examples
    --------
    >>> curve = rising(np.array([0, 50, 100, 150.0]), np.array([0, 0.5, 1.0, 1.5]))
    >>> round(float(curve.at(75)), 3)
    0.75
    """
    places, means, weights = _means(load, reading)
    level = isotonic_regression(means, weights=weights).x
    first, rise = level[0], level[-1] - level[0]
    # In shares of the whole rise, and without steps that no reading tells: a slope of 1e-306 has no inverse.
    steps = np.diff(level, prepend=first) / (rise or 1.0)
    share = PchipInterpolator(places, np.cumsum(np.where(steps > _SLIGHT, steps, 0.0)))

    def of(where: Array) -> Array:
        answer: Array = first + rise * share(where)
        return answer

    return Curve(places[0], places[-1], of, _spread(reading - of(load), len(places)))


def slowing(load: Array, reading: Array) -> Curve:
    """Return the curve of readings that rise ever less as load rises.

    Parameters
    ----------
    load, reading : array, shape (n,)
        As for `rising`.

    Returns
    -------
    Curve
        Straight from load to load, never falling and never steeper than before: of all such lines the one
        with the least squares.

    Raises
    ------
    FitError
        Fewer than 3 different loads, or a value that is no number.

    Notes
    -----
    Source: concave regression (Hildreth, J. Am. Stat. Assoc. 49 (1954) 598), solved as least squares with
    coefficients that are not negative (Lawson and Hanson 1974). It is for slopes: those of `rising` follow
    every reading's noise, and the last of them that is steep enough lies too far up, the more so the more
    loads are read. Left out: a curve that starts to rise more steeply, as one with a toe does.

    Examples
    --------
    >>> curve = slowing(np.array([0, 50, 100, 150.0]), np.array([0, 1.0, 0.9, 1.1]))
    >>> np.diff(curve.at(np.array([0, 50, 100, 150.0]))).round(3).tolist()
    [0.95, 0.05, 0.05]
    """
    places, means, weights = _means(load, reading)
    bends = np.minimum(places[:, np.newaxis], places[np.newaxis, 1:]) - places[0]
    level = np.ones((len(places), 1))
    basis = np.hstack([level, -level, bends]) * np.sqrt(weights)[:, np.newaxis]
    found, _ = nnls(basis, means * np.sqrt(weights))
    line = found[0] - found[1] + bends @ found[2:]

    def of(where: Array) -> Array:
        answer: Array = np.interp(where, places, line)
        return answer

    return Curve(places[0], places[-1], of, _spread(reading - of(load), len(places)))


def turning(load: Array, reading: Array) -> Curve:
    """Return the curve of readings that may rise, peak and fall.

    Parameters
    ----------
    load, reading : array, shape (n,)
        As for `rising`; at least 4 different loads.

    Returns
    -------
    Curve
        The polynomial of order 1 to 4 that best foretells each load from all others (leave one out).

    Raises
    ------
    FitError
        Fewer than 4 different loads, or a value that is no number.

    Notes
    -----
    Source: cross-validated choice of order (Stone, J. R. Stat. Soc. B 36 (1974) 111). Left out: any shape
    with more turns than a polynomial of order 4 has.

    Examples
    --------
    >>> load = np.arange(0, 301, 50.0)
    >>> round(peak(turning(load, 60 - ((load - 170) / 40) ** 2))[0])
    170
    """
    places, means, weights = _means(load, reading)
    if len(places) < 4:
        raise FitError(f"{len(places)} different loads are too few for a curve that turns: read at least 4")
    middle, half = (places[0] + places[-1]) / 2, (places[-1] - places[0]) / 2
    scaled = (places - middle) / half
    highest = min(_HIGHEST_ORDER, len(places) - 2)
    order = min(range(1, highest + 1), key=lambda each: _foretold(scaled, means, weights, each))
    fitted = np.polynomial.Polynomial.fit(scaled, means, order, w=np.sqrt(weights), domain=[-1, 1])

    def of(where: Array) -> Array:
        answer: Array = fitted((where - middle) / half)
        return answer

    return Curve(places[0], places[-1], of, _spread(reading - of(load), order + 1))


def first_reaching(curve: Curve, wanted: float) -> float | None:
    """Return the least load at which a curve reaches a value, or None where it never does.

    >>> first_reaching(rising(np.array([0, 100, 200.0]), np.array([0, 1.0, 2.0])), 1.5)
    150.0
    """
    loads = curve.loads
    values = curve.at(loads)
    reached = np.flatnonzero(values >= wanted - 1e-12)
    if not len(reached):
        return None
    here = int(reached[0])
    if here == 0:
        return float(loads[0])
    low, high = values[here - 1], values[here]
    share = (wanted - low) / (high - low) if high > low else 1.0
    return round(float(loads[here - 1] + share * (loads[here] - loads[here - 1])), 6)


def peak(curve: Curve) -> tuple[float, bool]:
    """Return the load at which a curve is highest, and whether it falls again within what was read.

    A fall that is no larger than the readings' own spread about the curve is none.
    """
    loads = curve.loads
    values = curve.at(loads)
    highest = int(np.argmax(values))
    return float(loads[highest]), bool(values[highest] - values[-1] > curve.residual + _ROUNDING)


def jackknife(loads: Array, found: Callable[[Mask], float | None]) -> float | None:
    """Return the standard error of a load found from a ladder, by leaving out one load at a time.

    Parameters
    ----------
    loads : array, shape (n,)
        The load of each reading.
    found : callable
        Takes a mask of the readings to keep, returns the load found from them or None.

    Returns
    -------
    float or None
        √((k−1)/k · Σ(θᵢ−θ̄)²) over the k different loads left out in turn; None where more than two of them
        give no answer, or fewer than 3 do.

    Notes
    -----
    Source: Tukey's jackknife (Efron, The Jackknife, the Bootstrap and Other Resampling Plans, 1982).
    """
    answers = []
    for each in np.unique(loads):
        try:
            answers.append(found(loads != each))
        except FitError:
            answers.append(None)
    known = [each for each in answers if each is not None]
    if len(known) < max(3, len(answers) - 2):  # the ends of a ladder may be needed for any answer at all
        return None
    spread = np.asarray(known) - np.mean(known)
    return float(np.sqrt((len(known) - 1) / len(known) * np.sum(spread**2)))


def standard_error(
    load: Array, reading: Array, found: Callable[[Array, Array], float | None], share: float
) -> float | None:
    """Return the standard error of a load found from a ladder.

    Parameters
    ----------
    load, reading : array, shape (n,)
        As for `turning`.
    found : callable
        Takes loads and readings, returns the load found from them or None.
    share : float
        By how much the mean of the two errors below is off for curves like this one, from simulated ladders.

    Returns
    -------
    float or None
        The quadratic mean of two errors, × `share`; None where neither can be told.

    Notes
    -----
    Leaving loads out in turn (`jackknife`) sees what rests on single readings, and finds next to none where
    by luck the readings beside the answer lie on the curve; drawing the readings anew about a smooth curve
    (parametric bootstrap: Efron and Tibshirani, An Introduction to the Bootstrap, 1993, 6.5) sees their
    noise, and not that the curve may have another shape. `tests/tune/test_coverage.py` counts how often the
    true load lies within one and two of these errors.
    """
    errors = [
        each
        for each in (
            jackknife(load, lambda keep: found(load[keep], reading[keep])),
            _drawn_anew(load, reading, found),
        )
        if each is not None
    ]
    return float(share * np.sqrt(np.mean(np.square(errors)))) if errors else None


def _drawn_anew(load: Array, reading: Array, found: Callable[[Array, Array], float | None]) -> float | None:
    try:
        curve = turning(load, reading)
    except FitError:
        return None
    rng, fitted = np.random.default_rng(_SEED), curve.at(load)
    answers = []
    for _ in range(_DRAWS):
        with suppress(FitError):
            answers.append(found(load, fitted + curve.residual * rng.normal(size=len(load))))
    known = [each for each in answers if each is not None]
    return float(np.std(known, ddof=1)) if len(known) > _DRAWS / 2 else None


def _means(load: Array, reading: Array) -> tuple[Array, Array, Array]:
    """Return the different loads, the mean reading of each, and how often each was read."""
    if load.shape != reading.shape or load.ndim != 1:
        raise FitError(f"loads and readings belong together, one each: {load.shape} and {reading.shape}")
    if not (np.all(np.isfinite(load)) and np.all(np.isfinite(reading))):
        raise FitError("a load or a reading is no number")
    places, which, times = np.unique(load, return_inverse=True, return_counts=True)
    if len(places) < 3:
        raise FitError(f"{len(places)} different loads are too few for a curve: read at least 3")
    means: Array = np.bincount(which, weights=reading) / times
    return places, means, times.astype(np.float64)


def _foretold(scaled: Array, means: Array, weights: Array, order: int) -> float:
    """Return the mean squared error of foretelling each load from all others.

    What a fit without a load would miss there follows from the fit with all of them (Allen, Technometrics 16
    (1974) 125).
    """
    root = np.sqrt(weights)
    basis, _ = np.linalg.qr(np.polynomial.legendre.legvander(scaled, order) * root[:, np.newaxis])
    fitted = basis @ (basis.T @ (means * root)) / root
    alone = 1 - np.sum(basis**2, axis=1)  # 0 where a load alone decides what is fitted there
    errors = np.where(alone > _ROUNDING, (means - fitted) / np.maximum(alone, _ROUNDING), np.inf)
    return float(np.average(errors**2, weights=weights))


def _spread(residuals: Array, free: int) -> float:
    return float(np.sqrt(np.sum(residuals**2) / max(1, len(residuals) - free)))
