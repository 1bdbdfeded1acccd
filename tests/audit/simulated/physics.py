"""How a lit print looks, by a physics of its own: nothing is shared with the program.

Smooth ink bands, dots by Demichel with dot gain and the Yule-Nielsen exponent, inks that scatter, a film that
throws light back into its box, a lamp of a blue peak and a phosphor that drifts. All numbers are made up.
The observer is the fit by sums of Gaussians of Wyman, Sloan and Shirley (JCGT 2013), from memory.
"""

import itertools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["PATCHES", "Lit", "as_lab", "de00", "seen"]

Array = npt.NDArray[np.float64]

_NM = np.arange(380, 731, 10.0)
PATCHES: dict[str, tuple[float, float, float, float]] = {
    "unprinted white": (0, 0, 0, 0),
    "cyan solid": (1, 0, 0, 0),
    "magenta solid": (0, 1, 0, 0),
    "yellow solid": (0, 0, 1, 0),
    "neutral, black 50 %": (0, 0, 0, 0.5),
    "grey of three inks": (0.4, 0.3, 0.3, 0),
}
"""By name: how much of each ink the file asks for."""

_YULE_NIELSEN = 1.8
_BOX = 0.82
_SHORT_NM = 500
_SCATTERED = 0.035
"""Share of the light that a whole ink spreads rather than lets through."""


@dataclass(frozen=True)
class Lit:
    """One print in its box."""

    load: float = 180
    """Ink load in %."""
    limit: float = 1
    """What a solid gets of its ink, as a share."""
    profile: tuple[float, float, float, float] = (1, 1, 1, 1)
    """What the profile makes of each ink's amount."""
    drops: tuple[float, float, float, float] = (1, 1, 1, 1)
    """What the heads make of each ink's drops."""
    gain: float = 0.16
    """Dot gain at 50 %."""
    film: float = 0.4
    """Transmittance of the film."""
    yellow: float = 0
    """How much less of the short waves the film lets through, as a share."""
    kelvin: float = 4000
    other_kelvin: float = 4000
    other_share: float = 0
    """Share of the lamps that are of another colour."""
    light: float = 1
    """Light of the lamps, as a share."""


def seen(lit: Lit) -> Array:
    """Return XYZ of every patch, (n, 3), in one unit for all prints."""
    lamp = lit.light * ((1 - lit.other_share) * _lamp(lit.kelvin) + lit.other_share * _lamp(lit.other_kelvin))
    patches = np.array([_patch(lit, np.array(amounts)) for amounts in PATCHES.values()])
    back = 0.92 - patches.mean(axis=1, keepdims=True)
    through = patches / (1 - _BOX * np.clip(back, 0, 0.9))
    return np.asarray((through * lamp) @ _observer().T)


def as_lab(xyz: Array, white: Array) -> Array:
    """Return CIELAB against a white (CIE 15)."""
    ratio = xyz / white
    root = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio * (29 / 6) ** 2 / 3 + 4 / 29)
    x, y, z = root.T
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=1)


def _patch(lit: Lit, amounts: Array) -> Array:
    film = lit.film * np.where(_NM < _SHORT_NM, 1 - lit.yellow, 1.0)
    asked = np.minimum(amounts * np.array(lit.profile), 1)
    dots = np.minimum(asked + lit.gain * 4 * asked * (1 - asked), 1)
    thick = lit.load / 180 * np.array(lit.drops) * np.where(asked >= lit.limit, lit.limit, 1)
    mixed = np.zeros_like(_NM)
    for on in itertools.product((0, 1), repeat=4):
        weight = float(np.prod(np.where(on, dots, 1 - dots)))
        if weight:
            laid = np.array(on) * thick
            clear = film * 10 ** -(laid @ _BANDS)
            spread = min(_SCATTERED * float(laid.sum()), 0.5)
            whole = (1 - spread) * clear + spread * 0.4 * film * clear.mean() / film.mean()
            mixed += weight * whole ** (1 / _YULE_NIELSEN)
    return np.asarray(mixed**_YULE_NIELSEN)


def _bell(centre: float, width: float, height: float = 1) -> Array:
    return np.asarray(height * np.exp(-0.5 * ((_NM - centre) / width) ** 2))


def _lobe(centre: float, low: float, high: float, height: float) -> Array:
    return np.asarray(height * np.exp(-0.5 * ((_NM - centre) / np.where(centre > _NM, low, high)) ** 2))


_BANDS = np.array(
    [
        _bell(640, 52, 1.05) + _bell(560, 45, 0.14),
        _bell(540, 30, 1.0) + _bell(440, 45, 0.2),
        _bell(440, 36, 0.95),
        np.full_like(_NM, 1.2),
    ]
)


def _lamp(kelvin: float) -> Array:
    """Return a lamp of one luminance, the bluer the more kelvins."""
    blue = 0.35 + 0.95 * (kelvin - 2700) / 3800
    power = _bell(452, 11, blue) + _bell(520, 40, 0.5 * blue) + _bell(592, 58, 1)
    return np.asarray(power / (power @ _observer()[1]))


def _observer() -> Array:
    x = _lobe(599.8, 37.9, 31.0, 1.056) + _lobe(442, 16, 26.7, 0.362) + _lobe(501.1, 20.4, 26.2, -0.065)
    y = _lobe(568.8, 46.9, 40.5, 0.821) + _lobe(530.9, 16.3, 31.1, 0.286)
    z = _lobe(437, 11.8, 36, 1.217) + _lobe(459, 26, 13.8, 0.681)
    return np.array([x, y, z])


def de00(one: Array, other: Array) -> Array:
    """Return ΔE00 (ISO/CIE 11664-6), row by row."""
    chroma = (np.hypot(one[:, 1], one[:, 2]) + np.hypot(other[:, 1], other[:, 2])) / 2
    grey = 0.5 * (1 - np.sqrt(chroma**7 / (chroma**7 + 25.0**7)))
    (l1, c1, h1), (l2, c2, h2) = _polar(one, grey), _polar(other, grey)
    turn = (h2 - h1 + 180) % 360 - 180
    lightness, mean_c = (l1 + l2) / 2, (c1 + c2) / 2
    mean_h = np.deg2rad(h1 + turn / 2)
    tint = (
        1
        - 0.17 * np.cos(mean_h - np.pi / 6)
        + 0.24 * np.cos(2 * mean_h)
        + 0.32 * np.cos(3 * mean_h + np.deg2rad(6))
        - 0.2 * np.cos(4 * mean_h - np.deg2rad(63))
    )
    by_l = (l2 - l1) / (1 + 0.015 * (lightness - 50) ** 2 / np.sqrt(20 + (lightness - 50) ** 2))
    by_c = (c2 - c1) / (1 + 0.045 * mean_c)
    by_h = 2 * np.sqrt(c1 * c2) * np.sin(np.deg2rad(turn / 2)) / (1 + 0.015 * mean_c * tint)
    angle = np.deg2rad(30 * np.exp(-(((np.rad2deg(mean_h) % 360 - 275) / 25) ** 2)))
    rotation = -2 * np.sqrt(mean_c**7 / (mean_c**7 + 25.0**7)) * np.sin(2 * angle)
    return np.asarray(np.sqrt(by_l**2 + by_c**2 + by_h**2 + rotation * by_c * by_h))


def _polar(lab: Array, grey: Array) -> tuple[Array, Array, Array]:
    a = lab[:, 1] * (1 + grey)
    return lab[:, 0], np.hypot(a, lab[:, 2]), np.rad2deg(np.arctan2(lab[:, 2], a)) % 360
