"""Sources of light: relative spectral power, published or measured."""

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from registry.light.grid import NOISE, Array, Grid, SpectrumError
from registry.light.interpolation import to_every_nm
from registry.light.tables import table

__all__ = ["SOURCE_NAMES", "Observer", "Source", "matching", "source"]

Observer = Literal[2, 10]
"""The field of view in degrees: 2 for the CIE 1931 standard observer, 10 for that of 1964."""

SOURCE_NAMES = (
    *("A", "D50", "D65", "FL2", "FL11"),
    *("LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5", "LED-BH1", "LED-RGB1", "LED-V1", "LED-V2"),
)
"""The CIE illuminants that `source` knows."""


@dataclass(frozen=True, eq=False, slots=True)
class Source:
    """A source of light, such as a lamp that was measured behind its own diffuser.

    Parameters
    ----------
    name : str
        What people call it.
    grid : Grid
        Where its power stands.
    power : array_like, shape (n,)
        Relative spectral power in any unit proportional to W/nm, not photons and not per interval of another
        width. Not negative; noise down to -0.5 % of the peak is set to 0.

    Raises
    ------
    SpectrumError
        Another shape, a value that is negative or not finite, or no power at all.

    Examples
    --------
    >>> equal = Source("equal energy", Grid(380, 780, 5), np.ones(81))
    >>> equal.white().round(2)
    array([100.01, 100.  , 100.03])
    """

    name: str
    grid: Grid
    power: Array

    def __post_init__(self) -> None:
        power = np.array(self.power, dtype=np.float64)
        if power.shape != (self.grid.size,):
            raise SpectrumError(
                f"{self.name}: power of shape {power.shape} does not fit {self.grid.size} wavelengths "
                f"from {self.grid.first_nm} to {self.grid.last_nm} nm"
            )
        wrong = ~np.isfinite(power) | (power < -NOISE * np.max(power, initial=0.0, where=np.isfinite(power)))
        if wrong.any():
            at = int(wrong.argmax())
            raise SpectrumError(
                f"{self.name} at {self.grid.wavelengths_nm[at]:g} nm: {power[at]:g} is no spectral power"
            )
        if not (power > 0).any():
            raise SpectrumError(f"{self.name} has no power at any wavelength")
        power = np.maximum(power, 0.0)
        power.flags.writeable = False
        object.__setattr__(self, "power", power)

    def every_nm(self) -> Array:
        """Return its power at every nanometre from 360 to 780 nm, shape (421,), none below 0."""
        return np.maximum(to_every_nm(self.grid) @ self.power, 0.0)

    def white(self, observer: Observer = 2) -> Array:
        """Return XYZ of the source itself, which is that of the perfect transmitter before it.

        Parameters
        ----------
        observer : {2, 10}
            Field of view in degrees.

        Returns
        -------
        ndarray, shape (3,)
            X, Y, Z with Y = 100.

        Examples
        --------
        >>> source("D65").white().round(3)
        array([ 95.047, 100.   , 108.883])
        """
        tristimulus: Array = self.every_nm() @ matching(observer)
        tristimulus *= 100 / tristimulus[1]
        return tristimulus


@cache
def source(name: str) -> Source:
    """Return a CIE illuminant by its name.

    Parameters
    ----------
    name : str
        One of `SOURCE_NAMES`: A, D50 and D65; FL2 (plain fluorescent) and FL11 (three bands); LED-B1 to
        LED-B5 (blue diode and phosphor), LED-BH1 (with a red diode), LED-RGB1 (three diodes), LED-V1 and
        LED-V2 (violet diode and phosphor).

    Raises
    ------
    KeyError
        No such source.

    Notes
    -----
    Published values every 5 nm of FL and LED are interpolated to every nanometre as ASTM E2022 interpolates
    samples; their whites then agree with the sums over 5 nm that were published. Each table's head says where
    it comes from. They are types: a real lamp of the same name differs, and ages.

    Examples
    --------
    >>> white = source("LED-B3").white()
    >>> (white[:2] / white.sum()).round(4)
    array([0.3756, 0.3723])
    """
    if name not in SOURCE_NAMES:
        raise KeyError(f"no source {name!r}; there are {', '.join(SOURCE_NAMES)}")
    held = next(held for held in map(table, ("standard-illuminants", "lamps")) if name in held.columns)
    return Source(name, held.grid, held.column(name))


def matching(observer: Observer) -> Array:
    """Return the colour-matching functions of an observer at every nanometre from 360 to 780 nm.

    Parameters
    ----------
    observer : {2, 10}
        Field of view in degrees: CIE 1931 or CIE 1964.

    Returns
    -------
    ndarray, shape (421, 3)
        x̄, ȳ, z̄. What lies outside 360 to 780 nm is left out, as in ASTM E308: of X, Y and Z less than 0.001.

    Raises
    ------
    ValueError
        Another observer.

    Examples
    --------
    >>> int(matching(2)[:, 1].argmax()) + 360
    555
    """
    if observer not in {2, 10}:
        raise ValueError(f"no standard observer for {observer!r} degrees; there are 2 and 10")
    return table(f"observer-{observer}").values
