"""Regular grids of wavelengths, and the values that may stand on them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

__all__ = ["NOISE", "STEPS_NM", "Array", "Grid", "Kind", "SpectrumError", "checked", "grid_of"]

Array = npt.NDArray[np.float64]
Kind = Literal["transmittance", "reflectance"]

STEPS_NM = (1, 5, 10, 20)
"""The steps in nm that instruments and published tables use."""

NOISE = 0.005
"""How far below 0, or above 1 in transmission, the noise of a reading may lie, as a fraction."""

_LARGEST: dict[Kind, float] = {"transmittance": 1.0 + NOISE, "reflectance": 1.5}
_SURELY_NO_FRACTION = 2.0


class SpectrumError(ValueError):
    """Wavelengths or values are none that a spectrum may have; the text says which, where and what is."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Wavelengths from first to last in equal steps.

    Parameters
    ----------
    first_nm, last_nm : int
        First and last wavelength in nm, both included; last is at least two steps above first.
    step_nm : int
        Distance of two neighbours in nm: 1, 5, 10 or 20.

    Raises
    ------
    SpectrumError
        Another step, fewer than three wavelengths, or a last one that no step reaches.

    Examples
    --------
    >>> Grid(380, 730, 10).size
    36
    >>> Grid(400, 440, 20).wavelengths_nm
    array([400., 420., 440.])
    """

    first_nm: int
    last_nm: int
    step_nm: int

    def __post_init__(self) -> None:
        if self.step_nm not in STEPS_NM:
            raise SpectrumError(f"wavelengths {self.step_nm} nm apart; allowed are {_listed(STEPS_NM)} nm")
        if self.last_nm < self.first_nm + 2 * self.step_nm or (self.last_nm - self.first_nm) % self.step_nm:
            raise SpectrumError(
                f"{self.first_nm} to {self.last_nm} nm is no whole number of {self.step_nm} nm steps, "
                "two at the least"
            )

    @property
    def size(self) -> int:
        """How many wavelengths there are."""
        return (self.last_nm - self.first_nm) // self.step_nm + 1

    @property
    def wavelengths_nm(self) -> Array:
        """The wavelengths in nm, shape (size,)."""
        return np.arange(self.first_nm, self.last_nm + 1, self.step_nm, dtype=np.float64)


def grid_of(wavelengths_nm: Sequence[float] | Array) -> Grid:
    """Return the grid on which wavelengths lie.

    Parameters
    ----------
    wavelengths_nm : array_like, shape (n,)
        Wavelengths in nm, whole, ascending in equal steps of 1, 5, 10 or 20 nm; three at the least.

    Raises
    ------
    SpectrumError
        They are no such grid; the text names the first wavelength that breaks it.

    Examples
    --------
    >>> grid_of([380, 390, 400])
    Grid(first_nm=380, last_nm=400, step_nm=10)
    >>> grid_of([380, 390, 410])
    Traceback (most recent call last):
        ...
    registry.light.grid.SpectrumError: 410 nm follows 390 nm, but 390 nm followed 380 nm: the steps differ
    """
    given = np.asarray(wavelengths_nm, dtype=np.float64)
    if given.ndim != 1 or given.size < 3:
        raise SpectrumError(f"a spectrum needs three wavelengths at the least, not shape {given.shape}")
    if not np.isfinite(given).all() or (given % 1).any():
        odd = given[~np.isfinite(given) | (given % 1 != 0)][0]
        raise SpectrumError(f"wavelengths are whole nanometres, not {odd:g} nm")
    steps = np.diff(given)
    uneven = np.flatnonzero(steps != steps[0])
    if uneven.size:
        before, at = given[uneven[0]], given[uneven[0] + 1]
        raise SpectrumError(
            f"{at:g} nm follows {before:g} nm, but {given[1]:g} nm followed {given[0]:g} nm: the steps differ"
        )
    return Grid(int(given[0]), int(given[-1]), int(steps[0]))


def checked(values: npt.ArrayLike, grid: Grid, *, kind: Kind) -> Array:
    """Return spectra as they may be computed with, or refuse them.

    Parameters
    ----------
    values : array_like, shape (..., n)
        Fractions, one a wavelength of the grid on the last axis.
    grid : Grid
        Where the values stand.
    kind : {"transmittance", "reflectance"}
        Transmittance lies in 0 to 1, with 0.005 of noise to either side. Reflectance may reach 1.5, as paper
        that fluoresces sends back more at one wavelength than it receives there.

    Returns
    -------
    ndarray, shape (..., n)
        The same values; those from -0.005 up to 0, which are noise, are set to 0. Nothing else is altered.

    Raises
    ------
    SpectrumError
        The last axis does not fit the grid, or a value is not finite or out of its range, as percent are.

    Examples
    --------
    >>> checked([-0.001, 0.5, 0.25], Grid(400, 440, 20), kind="transmittance")
    array([0.  , 0.5 , 0.25])
    >>> checked([0.1, 1.2, 0.3], Grid(400, 440, 20), kind="transmittance")
    Traceback (most recent call last):
        ...
    registry.light.grid.SpectrumError: 420 nm: transmittance 1.2 is above 1.005
    """
    spectra = np.asarray(values, dtype=np.float64)
    if spectra.ndim == 0 or spectra.shape[-1] != grid.size:
        raise SpectrumError(
            f"values of shape {spectra.shape} do not fit {grid.size} wavelengths from {grid.first_nm} "
            f"to {grid.last_nm} nm"
        )
    _refuse(~np.isfinite(spectra), spectra, grid, f"{kind} {{:g}} is no number")
    percent = spectra.max(initial=0.0) > _SURELY_NO_FRACTION
    hint = "; percent must be divided by 100 first" if percent else ""
    _refuse(spectra > _LARGEST[kind], spectra, grid, f"{kind} {{:g}} is above {_LARGEST[kind]:g}", hint)
    _refuse(spectra < -NOISE, spectra, grid, f"{kind} {{:g}} is below {-NOISE:g}")
    return np.maximum(spectra, 0.0)


def _refuse(wrong: npt.NDArray[np.bool_], spectra: Array, grid: Grid, saying: str, hint: str = "") -> None:
    """Raise where anything is wrong, naming the first value and how many more there are."""
    places = np.argwhere(wrong)
    if not len(places):
        return
    *which, band = (int(number) for number in places[0])
    spectrum = f"spectrum {', '.join(map(str, which))} at " if which else ""
    more = f" (and {len(places) - 1} more such values)" if len(places) > 1 else ""
    raise SpectrumError(
        f"{spectrum}{grid.first_nm + band * grid.step_nm} nm: "
        f"{saying.format(spectra[*which, band])}{more}{hint}"
    )


def _listed(numbers: Sequence[int]) -> str:
    return ", ".join(map(str, numbers[:-1])) + f" or {numbers[-1]}"
