"""Ink as a film that only absorbs: a solid at another load (Beer–Lambert–Bouguer), where that holds."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from registry.light.fraction import Array
from registry.light.grid import NOISE

__all__ = ["MOST", "READABLE", "SOLID", "FilmError", "Patch", "load_factor_for_density", "scaled"]

READABLE = 1e-4
"""Smallest fraction that a reading tells from black, where the instrument's own is not known: the last digit
of readings in hundredths of a percent, density 4."""

MOST = 10.0
"""Largest factor that is computed: no printer lays ten times its load, and no reading reaches so far."""

_SCATTERING = {"white": "a white layer scatters light", "block-out": "a block-out layer scatters light"}
_ABSORBING = {"colour", "clear"}


class FilmError(ValueError):
    """The ink on a patch is no film that can be scaled with its load; the text gives every reason."""


@dataclass(frozen=True, slots=True)
class Patch:
    """What a patch consists of, as far as it decides whether its ink scales with load.

    Parameters
    ----------
    layers : tuple of str
        What was laid down; only colour and clear absorb without scattering.
    tones_pct : tuple of float
        The patch's device values in %, one a channel. Only solids and unprinted channels, 100 and 0, scale.
    open_weave : bool
        Whether light passes between the threads: mesh, open fabric.
    scattering_ink : bool
        Whether the colour itself scatters, as metallic, fluorescent and opaque inks do.

    Examples
    --------
    >>> Patch(layers=("white", "colour"), tones_pct=(50.0, 0.0)).refusals
    ('a white layer scatters light', 'a halftone of 50 % passes light between its dots')
    """

    layers: tuple[str, ...] = ("colour",)
    tones_pct: tuple[float, ...] = (100.0,)
    open_weave: bool = False
    scattering_ink: bool = False

    @property
    def refusals(self) -> tuple[str, ...]:
        """Every reason why the patch does not scale; empty where it does."""
        reasons = [
            _SCATTERING.get(layer, f"what a layer of {layer!r} does to light is not known")
            for layer in self.layers
            if layer not in _ABSORBING
        ]
        reasons += [
            f"a halftone of {tone:g} % passes light between its dots"
            for tone in self.tones_pct
            if tone not in {0, 100}
        ]
        if self.open_weave:
            reasons.append("light passes between the threads of an open weave, however much ink is on them")
        if self.scattering_ink:
            reasons.append("ink that scatters light adds to it as well as taking it away")
        return tuple(reasons)


SOLID = Patch()
"""A solid of transparent ink on a closed substrate: what the model holds for."""


def scaled(
    printed: npt.ArrayLike,
    bare: npt.ArrayLike,
    factor: npt.ArrayLike,
    *,
    patch: Patch = SOLID,
    floor: float = READABLE,
) -> Array:
    """Return the transmittance of a solid at another ink load.

    Parameters
    ----------
    printed : array_like, shape (..., n)
        Transmittance of the solid as measured, fractions, 0 to 1 with 0.005 of noise above.
    bare : array_like, shape (n,) or (..., n)
        Transmittance of the same substrate unprinted, measured in the same way.
    factor : float or array_like
        Wanted ink load over the load of the measured solid, 0 up to 10; an array broadcasts against printed.
    patch : Patch, optional
        What the patch consists of. Left out, it is said to be a solid of transparent ink.
    floor : float, optional
        Smallest fraction that the instrument tells from black. A solid that reads below it counts as reading
        it, so its density is then the least that it can be; a substrate that reads below it stays as it is.

    Returns
    -------
    array, shape (..., n)
        bare · (printed/bare)^factor: the film's density is proportional to the load at each wavelength.

    Raises
    ------
    FilmError
        White, block-out or unknown layers, halftones, an open weave, scattering ink; or a print that is
        brighter than its bare substrate, which absorption alone cannot do.
    ValueError
        A reading is no fraction, or the factor lies outside 0 to 10.

    Notes
    -----
    Valid for transmission. For reflection the light passes the film twice and more often:
    `registry.light.double_pass`. Left out: ink that sinks in or spreads further at a heavier load, the
    surface's own reflection and what it throws back through the film, lower gloss, coalescence and mottle,
    inks whose colour changes with thickness by scattering. Far from the measured load (below half, above
    double) it is an estimate that a print has to confirm.

    References
    ----------
    P. Bouguer 1729, J. H. Lambert 1760, A. Beer 1852; as in ISO 80000-7, absorbance.

    Examples
    --------
    >>> scaled([0.08, 0.32, 0.4], [0.4, 0.4, 0.4], 2).round(3).tolist()
    [0.016, 0.256, 0.4]
    >>> scaled([0.2], [0.4], 2, patch=Patch(layers=("white", "colour")))
    Traceback (most recent call last):
    ...
    registry.light.film.FilmError: this ink does not scale with its load: a white layer scatters light
    """
    loads = np.asarray(factor, dtype=np.float64)
    if not np.all((loads >= 0) & (loads <= MOST)):
        raise ValueError(f"a load factor is from 0 to {MOST:g}, not {factor!r}")
    base, passed = _film(printed, bare, patch, floor)
    answer: Array = base * passed ** (loads[..., np.newaxis] if loads.ndim else loads)
    return answer


def load_factor_for_density(
    printed: npt.ArrayLike,
    bare: npt.ArrayLike,
    density: float,
    weights: npt.ArrayLike,
    *,
    patch: Patch = SOLID,
    floor: float = READABLE,
) -> float:
    """Return the load at which a solid's density relative to its bare substrate reaches a wanted one.

    Parameters
    ----------
    printed, bare : array_like, shape (n,)
        Transmittance of the solid and of its unprinted substrate, as in `scaled`.
    density : float
        Wanted density relative to the substrate, above 0.
    weights : array_like, shape (n,)
        The response in which density is meant, one weight a wavelength, 0 and up, in any unit: the spectral
        products of visual or Status density, or a single 1 for one wavelength.
    patch, floor : optional
        As in `scaled`.

    Returns
    -------
    float
        Factor on the measured solid's load, above 0 up to 10.

    Raises
    ------
    FilmError
        As in `scaled`; or the solid reads as black itself, so that its own density is not known; or the
        wanted density is blacker than can be read; or no load up to ten times the measured one reaches it.
    ValueError
        A value lies outside its range.

    Notes
    -----
    In one wavelength it is density over the solid's density. In a band it is more, because as the solid gets
    darker the wavelengths that it absorbs least pass ever more of what is left: the factor is found by
    bisection (Brent) on −lg(Σ w·bare·(printed/bare)^k / Σ w·bare), which only rises with k. Left out: as in
    `scaled`; heavier ink may not dry, which no formula here knows.

    Examples
    --------
    >>> round(load_factor_for_density([0.04], [0.4], 1.7, [1]), 6)
    1.7
    >>> load_factor_for_density([0.04], [0.4], 3.7, [1])
    Traceback (most recent call last):
    ...
    registry.light.film.FilmError: density 3.7 over this substrate is blacker than can be read: at most 3.602
    """
    if not (np.isfinite(density) and density > 0):
        raise ValueError(f"a wanted density is above 0, not {density!r}")
    base, passed = _film(printed, bare, patch, floor)
    light = _weights(weights, base) * base
    lit = float(light.sum() / _weights(weights, base).sum())

    def reached(factor: float) -> float:
        return float(np.log10(light.sum() / (light * passed**factor).sum()))

    if lit <= floor:
        raise FilmError("the bare substrate reads as black: no density can be told over it")
    if lit * 10 ** -reached(1) <= floor:
        raise FilmError(f"the solid reads as black, below {floor:g}: its density is not known, so no load is")
    deepest = float(np.log10(lit / floor)) if floor else np.inf
    if density > deepest:
        raise FilmError(
            f"density {density:g} over this substrate is blacker than can be read: at most {deepest:.3f}"
        )
    if reached(MOST) < density:
        raise FilmError(
            f"no load reaches density {density:g}: {MOST:g} times the load gives {reached(MOST):.3f}"
        )
    from scipy.optimize import brentq  # noqa: PLC0415  # 0.1 s that only this question costs

    return float(brentq(lambda factor: reached(factor) - density, 0, MOST, xtol=1e-12))


def _film(printed: npt.ArrayLike, bare: npt.ArrayLike, patch: Patch, floor: float) -> tuple[Array, Array]:
    """Return the bare substrate and what the ink alone passes, or refuse the patch with every reason."""
    if not 0 <= floor < 1:
        raise ValueError(f"the smallest fraction that can be read is from 0 to below 1, not {floor!r}")
    reasons = list(patch.refusals)
    solid, base = _readings("the solid", printed), _readings("the bare substrate", bare)
    brighter = float(np.max(solid - base))
    if brighter > NOISE:
        reasons.append(
            f"the print is {brighter:.4f} brighter than the bare substrate: something scatters or fluoresces"
        )
    readable = base > floor
    read = np.maximum(solid, floor)
    if np.any(readable & (read <= 0)):
        reasons.append("the solid passes no light at all where its substrate does: its density is not known")
    if reasons:
        raise FilmError(f"this ink does not scale with its load: {'; '.join(reasons)}")
    passed = np.where(readable, np.minimum(read / np.where(readable, base, 1.0), 1.0), 1.0)
    return base, passed


def _readings(name: str, value: npt.ArrayLike) -> Array:
    array = np.asarray(value, dtype=np.float64)
    if array.ndim == 0:
        raise ValueError(f"{name} has one reading a wavelength, on the last axis, not a single number")
    wrong = ~((array >= -NOISE) & (array <= 1 + NOISE))
    if np.any(wrong):
        raise ValueError(f"{name} reads as fractions, 0 to 1, not {float(array[wrong][0]):.6g}")
    return np.maximum(array, 0.0)


def _weights(weights: npt.ArrayLike, base: Array) -> Array:
    array = np.asarray(weights, dtype=np.float64)
    if array.shape != base.shape or not np.all(array >= 0) or not np.isfinite(array.sum()) or not array.sum():
        raise ValueError(f"weights are 0 or more, one for each of {base.shape} readings, and not all 0")
    return array
