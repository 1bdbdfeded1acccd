"""A lit box and what hangs before it: how bright, and how deep in ambient light.

Light is counted in total fluxes between diffusing layers (Kubelka 1954, see `registry.light.stack`), so a
lit face is no product of transmittances: what a film throws back into the box, the box returns.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from registry.light.stack import Layer

__all__ = [
    "Array",
    "Box",
    "Unevenness",
    "clear_panel",
    "contrast",
    "kept_in_ambient",
    "unevenness",
]

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Box:
    """A lit box, seen from its open face.

    Parameters
    ----------
    luminance_cd_m2 : float or array
        Of the open face with nothing before it that throws light back, in cd/m², above 0; one value a place.
    reflectance : float or array
        Share of what falls into the open face that comes out again, 0 up to, but not reaching, 1.

    Raises
    ------
    ValueError
        A value lies outside its range.
    """

    luminance_cd_m2: float | Array
    reflectance: float | Array

    def __post_init__(self) -> None:
        if not np.all(np.asarray(self.luminance_cd_m2) > 0):
            raise ValueError(f"a lit box is brighter than 0 cd/m², not {self.luminance_cd_m2!r}")
        if not np.all((np.asarray(self.reflectance) >= 0) & (np.asarray(self.reflectance) < 1)):
            raise ValueError(f"a box's reflectance is from 0 to below 1, not {self.reflectance!r}")

    @classmethod
    def measured(
        cls, luminance_cd_m2: float | Array, reflectance: float | Array, through: Layer | None = None
    ) -> "Box":
        """Return the box whose face was measured, with or without a layer before it.

        Parameters
        ----------
        luminance_cd_m2 : float or array
            As read, in cd/m².
        reflectance : float
            Of the box, without that layer.
        through : Layer, optional
            What stood between the box and the instrument. It is taken out, so that it counts once only when
            it is hung before the print again.

        Examples
        --------
        >>> from registry.light.stack import Layer
        >>> panel = Layer(0.92, 0.08, 0.08)
        >>> box = Box.measured(1000.0, 0.85, panel)
        >>> round(float(box.lit(panel)), 6)
        1000.0
        """
        if through is None:
            return cls(luminance_cd_m2, reflectance)
        opened = np.asarray(luminance_cd_m2, dtype=np.float64)
        opened = opened * (1 - through.back_reflectance * reflectance) / through.transmittance
        return cls(opened if opened.ndim else float(opened), reflectance)

    def behind(self, panel: Layer) -> "Box":
        """Return the box with a panel set into its face: what hangs before it sees both as one box."""
        return Box(self.lit(panel), panel.over(self._as_layer()).front_reflectance)

    def gain(self, back_reflectance: float | Array) -> Array:
        """Return how much brighter the inside is for what is thrown back: 1/(1 − R_film·R_box).

        Parameters
        ----------
        back_reflectance : float or array
            Of what hangs before the box, towards it, meant over the whole face: it depends on the image.

        Examples
        --------
        >>> round(float(Box(1000.0, 0.85).gain(0.55)), 3)
        1.878
        """
        answer: Array = 1 / (1 - np.asarray(back_reflectance, dtype=np.float64) * self.reflectance)
        return answer

    def lit(self, layers: Layer, mean_back_reflectance: float | Array | None = None) -> Array:
        """Return the luminance of layers before the box, in cd/m².

        Parameters
        ----------
        layers : Layer
            Everything from viewer to box as one layer, total transmittance and reflectances as fractions.
        mean_back_reflectance : float or array, optional
            Towards the box, of the whole face; without it each layer is alone before the box.

        Returns
        -------
        array
            L = L_open · T / (1 − R_back · R_box).

        Notes
        -----
        Source: the sum of the reflections to and fro between two diffusing surfaces, as in Kubelka, J. Opt.
        Soc. Am. 44 (1954) 330. Valid where box and film spread light well: the luminance is then the same
        from every side. Left out: light that leaves at the edges, and that lamps run warmer in a closed box.
        """
        back = layers.back_reflectance if mean_back_reflectance is None else mean_back_reflectance
        answer: Array = np.asarray(self.luminance_cd_m2) * layers.transmittance * self.gain(back)
        return answer

    def thrown_back(self, layers: Layer, illuminance_lx: float | Array) -> Array:
        """Return the luminance that ambient light adds, in cd/m²: ρ·E/π, the box behind counted in.

        Parameters
        ----------
        layers : Layer
            Everything from viewer to box as one layer.
        illuminance_lx : float or array
            On the face, in lx, 0 and up.

        Notes
        -----
        For a surface that spreads light evenly (Lambert). Gloss is not modelled: a mirror image of a lamp or
        a window in a glossy face is far brighter than this and depends on where the viewer stands.

        Examples
        --------
        >>> from registry.light.stack import Layer
        >>> round(float(Box(1000.0, 0.0).thrown_back(Layer(0.0, 0.05, 0.0), 500)), 4)
        7.9577
        """
        if not np.all(np.asarray(illuminance_lx) >= 0):
            raise ValueError(f"the light on the face is 0 lx or more, not {illuminance_lx!r}")
        share = layers.over(self._as_layer()).front_reflectance
        answer: Array = np.asarray(share, dtype=np.float64) * illuminance_lx / np.pi
        return answer

    def _as_layer(self) -> Layer:
        return Layer(0.0, self.reflectance, self.reflectance)


def clear_panel(transmittance: float, reflectance: float | None = None) -> Layer:
    """Return a panel as a layer; without a reflectance it throws back all that it does not let through.

    Parameters
    ----------
    transmittance, reflectance : float
        Total, as fractions; they add up to at most 1.

    Notes
    -----
    That a panel absorbs nothing holds nearly for clear acrylic, polycarbonate and glass; an opal or tinted
    panel absorbs, so its reflectance has to be measured.

    Examples
    --------
    >>> clear_panel(0.92).back_reflectance
    0.08
    """
    thrown = round(1 - transmittance, 12) if reflectance is None else reflectance
    return Layer(transmittance, thrown, thrown)


def contrast(white_cd_m2: float | Array, black_cd_m2: float | Array) -> Array:
    """Return the contrast ratio of two luminances, each with what ambient light adds.

    >>> round(float(contrast(500 + 7.9577, 5 + 7.9577)), 4)
    39.2012
    """
    answer: Array = np.asarray(white_cd_m2, dtype=np.float64) / np.asarray(black_cd_m2, dtype=np.float64)
    return answer


def kept_in_ambient(contrast_in_ambient: float | Array, contrast_in_dark: float | Array) -> Array:
    """Return the share of the print's density range that ambient light leaves, 0 to 1.

    Density range is the logarithm of contrast; 1 is no wash-out, 0 is a face washed out altogether.

    >>> round(float(kept_in_ambient(10.0, 100.0)), 3)
    0.5
    """
    dark = np.asarray(contrast_in_dark, dtype=np.float64)
    some = dark > 1
    answer: Array = np.where(some, np.log(contrast_in_ambient) / np.log(np.where(some, dark, 2.0)), 0.0)
    return answer


class Unevenness(NamedTuple):
    """How evenly a face is lit."""

    least: float
    mean: float
    most: float

    @property
    def ratio(self) -> float:
        """The darkest place over the brightest: 1 is even."""
        return self.least / self.most


def unevenness(points: Array) -> Unevenness:
    """Return the darkest, mean and brightest of luminances read over a face, in their unit.

    >>> round(unevenness(np.array([100.0, 90.0, 80.0])).ratio, 2)
    0.8
    """
    return Unevenness(float(np.min(points)), float(np.mean(points)), float(np.max(points)))
