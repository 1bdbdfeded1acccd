"""How well the colour of a lit white, and the gamut around it, are known: as well as readings repeat."""

from collections.abc import Mapping

import numpy as np

from registry.light.grid import Array
from registry.light.lab import lab, xyz_of
from registry.light.temperature import NoTemperature, cct_duv
from registry.light.uncertainty import Input, Known, known, points
from registry.model.usual import Usual, repeatability

__all__ = ["gamut_known", "temperature_known"]

_DRAWS, _HULLS = 256, 400
_SEED = 1960


def temperature_known(white: Array, usual: Mapping[str, Usual]) -> dict[str, Known]:
    """Return how well colour temperature and Duv of a lit white, (3,), are known; {} where it has none.

    Notes
    -----
    Drawn is how the colour of a reading repeats, of X, Y and Z each by itself. Left out: how far the lamp
    lies from the spectrum that its name stands for.
    """
    default = usual["reading-colour"]
    inputs = [
        Input(f"{default.what}:{name}", 1.0, default.of(1.0, 0.01), measured=True, source=default.source)
        for name in "XYZ"
    ]
    drawn = np.stack(list(points(inputs, draws=_DRAWS).values()), axis=1)
    try:
        told = np.array([cct_duv(each) for each in white * drawn])
    except NoTemperature:
        return {}
    return {
        path: known(told[:, column], inputs)._replace(shares=((default.what, 1.0),))
        for column, path in enumerate(("lit.cct_k", "lit.duv"))
    }


def gamut_known(seen: Array, white: int, usual: Mapping[str, Usual]) -> Known | None:
    """Return how well the volume of the gamut in the dark is known, of the patches' L*a*b*, (n, 3).

    Notes
    -----
    Every patch is read again, and the white with it. Noise widens a hull, in the reading as in the draws, so
    the truth may lie as far below the reading as the draws lie above it: both are counted.
    """
    repeats = repeatability(usual)
    value, colour = _volume(seen), xyz_of(seen, np.ones(3))
    if value is None:
        return None
    again = _drawn(colour, white, repeats)
    whole = np.concatenate((again, 2 * value - again))
    light, apart = repeats
    alone = {
        "reading-repeatability": float(np.var(_drawn(colour, white, (light, 0.0)))),
        "reading-colour": float(np.var(_drawn(colour, white, (0.0, apart)))),
    }
    total = sum(alone.values()) or 1.0
    shares = tuple(sorted(((name, each / total) for name, each in alone.items()), key=lambda each: -each[1]))
    low, high = (float(each) for each in np.quantile(whole, (0.025, 0.975)))
    return Known(value, float(np.std(whole)), low, high, "Monte Carlo", shares, whole)


def _drawn(colour: Array, white: int, repeats: tuple[float, float]) -> Array:
    rng = np.random.default_rng(_SEED)
    found = []
    for _ in range(_HULLS):
        light = rng.normal(0, repeats[0], (len(colour), 1))
        again = colour * np.maximum(1 + light + rng.normal(0, repeats[1], colour.shape), 1e-3)
        found.append(_volume(lab(again, again[white])) or 0.0)
    return np.array(found)


def _volume(colours: Array) -> float | None:
    from registry.light.gamut import enclosed  # noqa: PLC0415 (scipy, not needed by who only imports this)

    body = enclosed(colours)
    return body.volume if body else None
