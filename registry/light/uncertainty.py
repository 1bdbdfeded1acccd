"""How well a computed number is known, from how well its inputs are: JCGM 100 (GUM) and JCGM 101.

A model is evaluated once, on arrays: at the inputs' own values, with each of them one standard uncertainty
up and down, and on seeded draws of all of them. So one chain of computation serves the value and its worth.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from statistics import NormalDist
from typing import Literal, NamedTuple
from zlib import crc32

import numpy as np
import numpy.typing as npt

from registry.light.fraction import Array

__all__ = ["COVERAGE", "DRAWS", "Input", "Known", "known", "points", "propagate"]

DRAWS = 2048
"""Stratified, so that they tell an interval as well as many times as many plain draws."""
COVERAGE = 0.95
_BINS = 16
_SEED = 101


@dataclass(frozen=True, slots=True)
class Input:
    """One number that a computation rests on.

    Parameters
    ----------
    name : str
        By which the model knows it; of one name are the same draws, whatever else is drawn.
    value, u : float
        Its value and standard uncertainty, in the same unit.
    distribution : {"normal", "rectangular"}
        Of what it may be.
    measured : bool
        Whether anybody measured the value; else it is a stated default, or somebody's guess.
    source : str
        Where the uncertainty comes from.
    least, most : float
        Beyond which it cannot be: draws stop there.
    """

    name: str
    value: float
    u: float
    distribution: Literal["normal", "rectangular"] = "normal"
    measured: bool = False
    source: str = ""
    least: float = -np.inf
    most: float = np.inf


class Known(NamedTuple):
    """A computed number and what it is worth."""

    value: float
    """At the inputs' own values."""
    u: float
    """Standard uncertainty."""
    low: float
    high: float
    """Ends of the interval that holds it with a chance of 0.95."""
    method: Literal["first order", "Monte Carlo"]
    shares: tuple[tuple[str, float], ...]
    """What share of the variance each input brings, the largest first."""
    drawn: Array
    """What was drawn, for chances."""

    @property
    def half_width(self) -> float:
        """Half the interval: what is written behind ±."""
        return (self.high - self.low) / 2

    def chance(self, within: Callable[[Array], npt.NDArray[np.bool_]]) -> float:
        """Return how likely it is that something holds of it."""
        return float(np.mean(within(self.drawn)))


def points(inputs: Sequence[Input], *, draws: int = DRAWS, seed: int = _SEED) -> dict[str, Array]:
    """Return the inputs' values at which to evaluate a model, by name, as `known` reads the answer.

    Notes
    -----
    Source of the draws: JCGM 101, 6.4. They are stratified, one from the middle of each of as many equally
    likely parts, in an order of the input's own (Latin hypercube: McKay, Beckman and Conover, Technometrics
    21 (1979) 239), which makes the interval of a sum steadier and biases nothing.
    """
    found = {}
    for place, each in enumerate(inputs):
        steps = np.zeros(2 * len(inputs) + 1)
        steps[2 * place + 1 : 2 * place + 3] = each.u, -each.u
        drawn = each.u * _standard(each.distribution, draws)[_shuffled(each.name, draws, seed)]
        found[each.name] = np.clip(each.value + np.concatenate((steps, drawn)), each.least, each.most)
    return found


def known(answer: Array, inputs: Sequence[Input], *, seed: int = _SEED) -> Known:
    """Return what a model's answer at `points` is worth.

    Notes
    -----
    The interval is that of the draws, as likely to be missed below as above (JCGM 101, 7.7). First order
    (JCGM 100, 5.1.2; the slopes from one u up and down) is told only where JCGM 101, clause 8, validates it:
    both ends of its interval within half a unit of the second figure of u. Few draws are seldom steady enough
    for that, and then they are told themselves. A share of the variance is how much the mean of the answer
    moves with that input alone (Sobol's first order index).
    """
    steps = 2 * len(inputs) + 1
    drawn = answer[steps:]
    value, u = float(answer[0]), float(np.std(drawn))
    low, high = (float(each) for each in np.quantile(drawn, ((1 - COVERAGE) / 2, (1 + COVERAGE) / 2)))
    slopes = (answer[1:steps:2] - answer[2:steps:2]) / 2
    first = float(np.sqrt(np.sum(slopes**2)))
    shares = _shares(drawn, inputs, seed)
    reach = NormalDist().inv_cdf((1 + COVERAGE) / 2) * first
    if max(abs(value - reach - low), abs(value + reach - high)) <= _tolerance(first):
        return Known(value, first, value - reach, value + reach, "first order", shares, drawn)
    return Known(value, u, low, high, "Monte Carlo", shares, drawn)


def propagate(
    model: Callable[..., Array], inputs: Sequence[Input], *, draws: int = DRAWS, seed: int = _SEED
) -> Known:
    """Return what a model of named inputs comes to, and how well that is known.

    Examples
    --------
    >>> sides = [Input("a", 3.0, 0.1), Input("b", 4.0, 0.1)]
    >>> found = propagate(lambda a, b: a * b, sides)
    >>> f"{found.u:.1f}", [name for name, _ in found.shares]
    ('0.5', ['a', 'b'])
    """
    at = points(inputs, draws=draws, seed=seed)
    return known(np.asarray(model(**at), dtype=np.float64), inputs, seed=seed)


@cache
def _shuffled(name: str, count: int, seed: int) -> npt.NDArray[np.intp]:
    """Return the order in which an input takes its equally likely parts."""
    return np.random.default_rng([seed, crc32(name.encode())]).permutation(count)


@cache
def _by_size(name: str, count: int, seed: int) -> npt.NDArray[np.intp]:
    """Return the draws of an input from its least to its greatest."""
    return np.argsort(_shuffled(name, count, seed))


@cache
def _standard(distribution: str, count: int) -> Array:
    """Return a distribution of mean 0 and standard deviation 1, in order, from equally likely parts."""
    middles = (np.arange(count) + 0.5) / count
    if distribution == "rectangular":
        answer: Array = (2 * middles - 1) * np.sqrt(3)
        return answer
    normal = NormalDist()
    return np.array([normal.inv_cdf(float(each)) for each in middles])


def _tolerance(u: float) -> float:
    """Return half a unit of the last figure of u, of which two are kept (JCGM 101, 7.9.2)."""
    if not 0 < u < np.inf:
        return 0.0
    return 0.5 * 10.0 ** (int(f"{u:.1e}".partition("e")[2]) - 1)


def _shares(drawn: Array, inputs: Sequence[Input], seed: int) -> tuple[tuple[str, float], ...]:
    variance = float(np.var(drawn))
    if not 0 < variance < np.inf:
        return tuple((each.name, 0.0) for each in inputs)
    bins = min(_BINS, len(drawn))
    size = len(drawn) // bins
    found = {}
    for each in inputs:
        order = _by_size(each.name, len(drawn), seed)[: bins * size]
        between = float(np.var(drawn[order].reshape(bins, size).mean(axis=1))) / variance
        chance = 1 / size  # what the means of bins differ by where nothing but chance moves them
        found[each.name] = max(0.0, (between - chance) / (1 - chance)) if each.u else 0.0
    whole = max(sum(found.values()), 1.0)
    shares = [(name, share / whole) for name, share in found.items()]
    return tuple(sorted(shares, key=lambda each: -each[1]))
