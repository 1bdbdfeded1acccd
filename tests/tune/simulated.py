"""Ladders of known truth, by other curves than the program fits.

`python -m tests.tune.simulated` prints how often the truth lies within one and two of the errors that are
told, of 200 truths with 5 noisy ladders each.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from registry.tune.criteria import FRONT_LIT, Asked, stops
from registry.tune.ladder import Rung

__all__ = ["Found", "coverage"]

Array = npt.NDArray[np.float64]
_LOADS = np.arange(60, 281, 20.0)
_FINE = np.linspace(_LOADS[0], _LOADS[-1], 4401)
_INSIDE = 10.0
"""Points within the ladder's ends: a truth nearer to them is not counted."""
_DENSITY, _CHROMA, _HUE, _MOTTLE = 0.006, 0.35, 0.35, 0.04
"""Noise: of density, chroma and hue as read, of mottle as a share of it."""


class _Truth(NamedTuple):
    density: Callable[[Array], Array]
    chroma: Callable[[Array], Array]
    hue: Callable[[Array], Array]
    mottle: Callable[[Array], Array]


@dataclass
class Found:
    """What one criterion's answers come to."""

    errors: list[float]
    """Answer less truth, in points of load."""
    told: list[float]
    """The standard error told with each."""
    untold: int = 0

    def within(self, times: float) -> float:
        """Return the share of answers that lie within so many of their errors."""
        return float(np.mean(np.abs(self.errors) <= times * np.array(self.told)))

    @property
    def bias(self) -> float:
        """Points of load by which the answers lie off on average."""
        return float(np.mean(self.errors))

    @property
    def cannot_tell(self) -> float:
        """Share of ladders of which nothing, or no error, is told."""
        return self.untold / (self.untold + len(self.errors))


def coverage(truths: int, ladders: int, seed: int) -> dict[str, Found]:
    """Return what the criteria find of noisy ladders of known truths."""
    rng = np.random.default_rng(seed)
    found = {name: Found([], []) for name in ("gain", "chroma", "hue", "mottle")}
    for _ in range(truths):
        truth = _truth(rng)
        loads = {name: load for name, load in _loads(truth).items() if load is not None and _is_inside(load)}
        for _ in range(ladders):
            told = {each.criterion: each for each in stops("C", _rungs(truth, rng), Asked())}
            for name, load in loads.items():
                if name not in told or told[name].error_pct is None:
                    found[name].untold += 1
                else:
                    found[name].errors.append(told[name].load_pct - load)
                    found[name].told.append(float(told[name].error_pct or 0))
    return found


def _is_inside(load: float) -> bool:
    return bool(_LOADS[0] + _INSIDE <= load <= _LOADS[-1] - _INSIDE)


def _truth(rng: np.random.Generator) -> _Truth:
    """Return an ink: density that saturates, chroma that peaks, hue that turns once, mottle that begins."""
    deepest, scale, toe = rng.uniform(1.2, 2.4), rng.uniform(70, 140), rng.uniform(0.9, 1.5)
    peak, sharp, chroma = rng.uniform(110, 240), rng.uniform(1, 2.2), rng.uniform(50, 75)
    hue, turn = rng.uniform(60, 300), rng.uniform(9, 25) * rng.choice([-1, 1])
    middle, wide = rng.uniform(140, 230), rng.uniform(20, 45)
    even, begins = rng.uniform(0.25, 0.5), rng.uniform(120, 240)
    soft, slope = rng.uniform(8, 25), rng.uniform(0.01, 0.03)
    return _Truth(
        lambda load: deepest * (1 - np.exp(-((load / scale) ** toe))),
        lambda load: chroma * (load / peak * np.exp(1 - load / peak)) ** sharp,
        lambda load: hue + turn / (1 + np.exp(-(load - middle) / wide)),
        lambda load: even + slope * soft * np.log1p(np.exp((load - begins) / soft)),
    )


def _loads(truth: _Truth) -> dict[str, float | None]:
    """Return where each criterion stops the ink, read off its curves."""
    asked = Asked()
    last_ten = _FINE[_LOADS[0] + 10 <= _FINE]
    paying = np.flatnonzero(truth.density(last_ten) - truth.density(last_ten - 10) >= (asked.gain or 0))
    stopped = len(paying) and paying[-1] < len(last_ten) - 1
    turned = np.abs(truth.hue(_FINE) - truth.hue(np.array([FRONT_LIT])))
    return {
        "gain": float(last_ten[paying[-1]]) if stopped else None,
        "chroma": float(_FINE[np.argmax(truth.chroma(_FINE))]),
        "hue": _first((turned > (asked.hue_deg or 0)) & (_FINE >= FRONT_LIT)),
        "mottle": _first(truth.mottle(_FINE) > (asked.mottle or 0)),
    }


def _first(beyond: npt.NDArray[np.bool_]) -> float | None:
    return float(_FINE[np.argmax(beyond)]) if beyond.any() else None


def _rungs(truth: _Truth, rng: np.random.Generator) -> list[Rung]:
    def read(curve: Callable[[Array], Array], noise: float, share: float = 0.0) -> Array:
        true = curve(_LOADS)
        return true * (1 + share * rng.normal(size=len(true))) + noise * rng.normal(size=len(true))

    density, chroma = read(truth.density, _DENSITY), read(truth.chroma, _CHROMA)
    hue, mottle = read(truth.hue, _HUE) % 360, np.maximum(read(truth.mottle, 0.0, _MOTTLE), 0.01)
    rows = zip(_LOADS, density, chroma, hue, mottle, strict=True)
    return [
        Rung(
            name=f"C-{load:g}",
            ink="C",
            load_pct=float(load),
            passes=16,
            dried=True,
            rewet=False,
            mottle=float(m),
            density=float(d),
            visual=float(d),
            chroma=float(c),
            hue_deg=float(h),
        )
        for load, d, c, h, m in rows
    ]


if __name__ == "__main__":
    for name, each in coverage(200, 5, 77).items():
        print(  # noqa: T201 (run by hand)
            f"{name:<7} {len(each.errors):>5} ladders: within 1 SE {100 * each.within(1):.1f} %, within 2 SE "
            f"{100 * each.within(2):.1f} %, bias {each.bias:+.2f} points, "
            f"cannot tell {100 * each.cannot_tell:.1f} %"
        )
