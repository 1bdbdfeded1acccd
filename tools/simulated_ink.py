"""The physical model behind the demo's measurements and profiles: ink films that only absorb, on a white.

Nothing here was measured. The ink bands are smooth curves made up for the demo; no maker's ink is copied.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from registry.light import density as densities
from registry.light import lab as light
from tools.colour_tables import D50_WEIGHTS, DENSITY_PRODUCTS, GRID

__all__ = ["INK_NAMES", "MODEL", "Array", "Lab", "Xyz", "density", "lab", "printed", "white", "xyz"]

Array = npt.NDArray[np.float64]
Xyz = npt.NDArray[np.float64]
Lab = npt.NDArray[np.float64]

MODEL = (
    "Beer-Lambert ink films of smooth bands, optical density in proportion to load; tones by Murray-Davies "
    "with a tone value increase of 14 % at 50 %; reflection twice through the ink plus 0.4 % of the surface"
)

INK_NAMES = ("C", "M", "Y", "K")
_TONE_VALUE_INCREASE = 0.14
_SURFACE = 0.004

# Each band: centre in nm, standard deviation in nm, height. Made up; no ink was measured.
_BANDS: dict[str, tuple[tuple[float, float, float], ...]] = {
    "C": ((628, 40, 1.0), (692, 26, 0.5), (545, 28, 0.1), (395, 34, 0.13)),
    "M": ((548, 24, 0.92), (515, 24, 0.6), (462, 34, 0.2), (390, 30, 0.24)),
    "Y": ((432, 30, 1.0), (468, 18, 0.38), (505, 20, 0.05)),
    "K": ((380, 260, 0.16), (560, 4000, 0.98)),
}
_STRENGTH = {"C": 1.0, "M": 1.0, "Y": 0.96, "K": 1.18}
_NM = GRID.wavelengths_nm


def white(luminous_pct: float, tint_pct: float) -> Array:
    """Return the spectrum of an unprinted white, as fractions, 36 values.

    Parameters
    ----------
    luminous_pct : float
        Its luminous transmittance or reflectance for D50, in %, above 0 and up to 100.
    tint_pct : float
        How much of the blue at 430 nm is missing against the red at 700 nm, in %.
    """
    shape = (1 - tint_pct / 100 * (700 - _NM) / 270) / (1 + np.exp(-(_NM - 391) / 7))
    answer: Array = np.minimum(shape * luminous_pct / float(xyz(shape)[1]), 1.0)
    return answer


def printed(white_spectrum: Array, cmyk_pct: Array, solid_density: float, *, twice: bool) -> Array:
    """Return the spectra of printed patches, as fractions, one row a patch.

    Parameters
    ----------
    white_spectrum : array, shape (36,)
        The unprinted white.
    cmyk_pct : array, shape (n, 4)
        Tone values of cyan, magenta, yellow and black, in %.
    solid_density : float
        Optical density of a solid at its band's peak, light passing once: strength at 100 % load times load.
    twice : bool
        Reflection: light passes the ink twice, and the surface itself returns a little.
    """
    tone = cmyk_pct / 100
    area = np.clip(tone + 4 * _TONE_VALUE_INCREASE * tone * (1 - tone), 0, 1)
    spectra = np.tile(white_spectrum, (len(tone), 1))
    for channel, ink in enumerate(INK_NAMES):
        solid = 10 ** (-_band(ink) * solid_density * (2 if twice else 1))
        spectra *= 1 - area[:, channel : channel + 1] * (1 - solid)
    answer: Array = spectra + _SURFACE if twice else spectra
    return answer


def xyz(spectra: Array) -> Xyz:
    """Return XYZ for D50 and the 2° observer; the perfect transmitter or diffuser has Y = 100."""
    answer: Xyz = spectra @ D50_WEIGHTS
    return answer


def lab(tristimulus: Xyz, white_xyz: Sequence[float] | Xyz | None = None) -> Lab:
    """Return CIELAB of XYZ against a white, by default the perfect transmitter or diffuser under D50."""
    return light.lab(tristimulus, D50_WEIGHTS.sum(axis=0) if white_xyz is None else white_xyz)


def density(spectra: Array, column: str) -> Array:
    """Return optical density as a column of `DENSITY_PRODUCTS` has it; its zero is the perfect white."""
    return densities.density(spectra, GRID, DENSITY_PRODUCTS[column]).values


def _band(ink: str) -> Array:
    total = sum(
        height * np.exp(-(((_NM - centre) / width) ** 2) / 2) for centre, width, height in _BANDS[ink]
    )
    band = np.asarray(total, dtype=np.float64)
    scaled: Array = band / band.max() * _STRENGTH[ink]
    return scaled
