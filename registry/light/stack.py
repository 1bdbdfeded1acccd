"""Layers that spread light, laid one upon another (Kubelka 1954)."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["Layer"]

Fraction = float | npt.NDArray[np.float64]

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer, or several taken as one: what it lets through and what each of its faces throws back.

    The front face looks at the viewer, the back face at the lamp or at the next layer.

    Parameters
    ----------
    transmittance : float or array
        Total transmittance for diffuse light, a fraction, 0 to 1; the same in both directions.
    front_reflectance, back_reflectance : float or array
        Total reflectance of each face for diffuse light, fractions, 0 to 1. Arrays (spectra, patches) have
        shapes that broadcast together.

    Raises
    ------
    ValueError
        A value is no fraction, or a face would give back more light than falls on it: transmittance and the
        reflectance of either face add up to more than 1.

    Notes
    -----
    That the transmittance is the same in both directions, however unlike the two faces are, is what Kubelka
    (1954) shows for any number of layers that spread light. It does not hold for the surface between
    air and a layer of another refractive index: the surfaces of a measured film are part of its measured
    transmittance and reflectances; `registry.light.surface` computes a bare surface.

    Left out: fluorescence, light that leaves at the edges, light that is not spread (a clear layer that is
    looked through), and polarisation.

    References
    ----------
    P. Kubelka, New contributions to the optics of intensely light-scattering materials, part II:
    nonhomogeneous layers, J. Opt. Soc. Am. 44 (1954) 330-335.

    Examples
    --------
    >>> white, film = Layer(0.4, 0.5, 0.5), Layer(0.6, 0.3, 0.3)
    >>> both = white.over(film)
    >>> round(float(both.transmittance), 6), round(float(both.front_reflectance), 6)
    (0.282353, 0.556471)
    """

    transmittance: Fraction
    front_reflectance: Fraction
    back_reflectance: Fraction

    def __post_init__(self) -> None:
        through = np.asarray(self.transmittance, dtype=np.float64)
        for name in ("transmittance", "front_reflectance", "back_reflectance"):
            value = np.asarray(getattr(self, name), dtype=np.float64)
            if not np.all((value >= 0) & (value <= 1 + _ROUNDING)):
                raise ValueError(f"{name.replace('_', ' ')} is a fraction, 0 to 1, not {_worst(value)}")
            if name != "transmittance" and not np.all(through + value <= 1 + _ROUNDING):
                raise ValueError(
                    f"transmittance and {name.replace('_', ' ')} add up to at most 1, "
                    f"not {float(np.max(through + value)):.6g}: a layer gives back no more light than it gets"
                )

    def over(self, below: "Layer") -> "Layer":
        """Return this layer laid on another one, as one layer.

        Parameters
        ----------
        below : Layer
            The layer that lies behind this one, farther from the viewer.

        Returns
        -------
        Layer
            With r = R_back · R_below, front: T = T₁·T₂/(1 − r), R_front = R₁ + T₁²·R₂/(1 − r), and likewise
            for the back face. Light goes to and fro between the two any number of times.

        Examples
        --------
        Two faces that throw everything back let nothing through:

        >>> mirror = Layer(0.0, 1.0, 1.0)
        >>> float(mirror.over(mirror).transmittance)
        0.0
        """
        between = 1 - np.multiply(self.back_reflectance, below.front_reflectance)
        # Where both faces throw everything back nothing gets between them: every numerator is 0 there.
        gain = 1 / np.where(between > 0, between, 1.0)
        return Layer(
            self.transmittance * below.transmittance * gain,
            self.front_reflectance + np.square(self.transmittance) * below.front_reflectance * gain,
            below.back_reflectance + np.square(below.transmittance) * self.back_reflectance * gain,
        )


def _worst(value: npt.NDArray[np.float64]) -> str:
    """Return the value that is farthest from being a fraction."""
    flat = value.ravel()
    return f"{float(flat[np.argmax(np.abs(np.nan_to_num(flat, nan=np.inf) - 0.5))]):.6g}"
