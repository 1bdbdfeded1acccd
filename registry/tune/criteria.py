"""Where more of one ink stops paying: each criterion finds its load in a ladder's readings, or none."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from registry.light.fit import (
    Array,
    FitError,
    first_reaching,
    peak,
    rising,
    slowing,
    standard_error,
    turning,
)
from registry.tune.ladder import Rung

__all__ = ["FRONT_LIT", "Asked", "Limit", "readings", "stops", "untold", "unwrapped"]

FRONT_LIT = 100.0
"""The load at which hue counts as unturned: full front-lit ink."""
_STEP = 10.0
"""Points of load over which a gain is looked at."""
_FEWEST, _FEWEST_TURNING = 3, 4
"""Different loads that a curve needs, and one that turns."""
_ROUNDING = 1e-9
_OFF = {"gain": 0.78, "chroma": 1.1, "hue": 1.05, "mottle": 0.93}
"""By how much the errors that a ladder shows of itself are off: from simulated ladders of other curves
(`tests/tune/test_coverage.py`)."""


@dataclass(frozen=True, slots=True)
class Asked:
    """By what the load is chosen; None leaves a criterion out."""

    density: float | None = None
    """Target: visual density of the darkest ink, relative to the unprinted film."""
    gain: float | None = 0.02
    """Stop where ten more points of load add less density than this."""
    chroma: bool = True
    """Stop where a chromatic ink's chroma peaks."""
    hue_deg: float | None = 6.0
    """Stop where hue has turned by this much since full front-lit ink."""
    mottle: float | None = 1.0
    """Stop where mottle (standard deviation of L* over the solid) passes this."""
    passes: int | None = None
    """Only this pass count; else the fewest that allow what is asked."""

    def with_density(self, density: float) -> "Asked":
        """Return the same with a target."""
        return replace(self, density=density)


class Limit(NamedTuple):
    """One criterion's load for one ink."""

    criterion: str
    load_pct: float
    error_pct: float | None
    """Standard error; None where it cannot be told."""
    words: str


_Find = Callable[[Array, Array], float | None]
_Of = Callable[[Rung], float]


def readings(rungs: Sequence[Rung], of: _Of) -> tuple[Array, Array]:
    """Return loads and readings; a solid that reads as black itself has no density and is left out."""
    read = [(each.load_pct, value) for each in rungs if np.isfinite(value := of(each))]
    pairs = np.array(read, dtype=np.float64).reshape(len(read), 2)
    return pairs[:, 0], pairs[:, 1]


def stops(ink: str, rungs: Sequence[Rung], asked: Asked) -> tuple[Limit, ...]:
    """Return everything that stops an ink, the first to do so first."""
    return tuple(sorted(_stops(ink, rungs, asked), key=lambda each: each.load_pct))


def untold(ink: str, rungs: Sequence[Rung], asked: Asked) -> Iterator[str]:
    """Yield what was asked of an ink and cannot be judged from what was read, and why."""
    loads = {each.load_pct for each in rungs}
    if (asked.chroma or asked.hue_deg is not None) and ink != "K" and len(loads) < _FEWEST_TURNING:
        yield f"chroma and hue of {ink}: {len(loads)} loads are too few, read at least {_FEWEST_TURNING}"
    elif asked.hue_deg is not None and ink != "K" and not min(loads) <= FRONT_LIT < max(loads):
        yield f"hue of {ink}: no load at or below {FRONT_LIT:g} %, from which it could have turned, was read"
    judged = {each.load_pct for each in rungs if each.mottle is not None}
    if asked.mottle is not None and 0 < len(judged) < _FEWEST:
        yield f"mottle of {ink}: it was judged at {len(judged)} loads, judge at least {_FEWEST}"


def _stops(ink: str, rungs: Sequence[Rung], asked: Asked) -> Iterator[Limit]:
    if asked.gain is not None:
        words = f"ten more points add less than {asked.gain:g} of density"
        yield from _stop(rungs, lambda each: each.density, _gain_below(asked.gain), "gain", words)
    if asked.chroma and ink != "K":
        yield from _stop(rungs, lambda each: each.chroma, _peak, "chroma", "its chroma peaks")
    if asked.hue_deg is not None and ink != "K":
        words = f"its hue has turned by {asked.hue_deg:g}° since full front-lit ink"
        yield from _stop(rungs, unwrapped(rungs), _turned_by(asked.hue_deg), "hue", words)
    if asked.mottle is not None:
        judged = [each for each in rungs if each.mottle is not None]
        words = f"its mottle passes {asked.mottle:g}"
        find = _passes(asked.mottle)
        yield from _stop(judged, lambda each: each.mottle or 0.0, find, "mottle", words)


def _stop(rungs: Sequence[Rung], of: _Of, find: _Find, criterion: str, words: str) -> Iterator[Limit]:
    load, reading = readings(rungs, of)
    try:
        found = find(load, reading)
    except FitError:  # `untold` says so
        return
    if found is not None:
        yield Limit(criterion, round(found, 1), standard_error(load, reading, find, _OFF[criterion]), words)


def _gain_below(least: float) -> _Find:
    def find(load: Array, reading: Array) -> float | None:
        curve = slowing(load, reading)
        loads = curve.loads[curve.loads <= curve.last - _STEP]
        if not len(loads):
            return None
        paying = np.flatnonzero(curve.at(loads + _STEP) - curve.at(loads) >= least - _ROUNDING)
        last = int(paying[-1]) if len(paying) else 0  # gains only shrink: to there the last ten points paid
        return None if last == len(loads) - 1 else float(loads[last] + _STEP)

    return find


def _peak(load: Array, reading: Array) -> float | None:
    where, falls = peak(turning(load, reading))
    return where if falls else None


def _turned_by(limit: float) -> _Find:
    def find(load: Array, reading: Array) -> float | None:
        curve = turning(load, reading)
        if not curve.first <= FRONT_LIT < curve.last:
            return None
        after = curve.loads[curve.loads >= FRONT_LIT]
        turned = np.abs(curve.at(after) - float(curve.at(FRONT_LIT)))
        beyond = np.flatnonzero(turned > limit)
        return float(after[beyond[0]]) if len(beyond) else None

    return find


def _passes(limit: float) -> _Find:
    def find(load: Array, reading: Array) -> float | None:
        reached = first_reaching(rising(load, reading), limit)
        return None if reached is None or reached >= load.max() else reached

    return find


def unwrapped(rungs: Sequence[Rung]) -> _Of:
    """Return hue without its jump from 360° to 0°: about the hue of the lightest load."""
    about = min(rungs, key=lambda each: each.load_pct).hue_deg

    def of(rung: Rung) -> float:
        return about + (rung.hue_deg - about + 180) % 360 - 180

    return of
