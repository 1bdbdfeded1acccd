"""Layers that spread light, laid one upon another (Kubelka 1954)."""

from dataclasses import dataclass

import numpy as np

from registry.light.fraction import Numbers, fractions

__all__ = ["Layer"]

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

    transmittance: Numbers
    front_reflectance: Numbers
    back_reflectance: Numbers

    def __post_init__(self) -> None:
        through = fractions("transmittance", self.transmittance)
        for face in ("front", "back"):
            thrown = fractions(f"{face} reflectance", getattr(self, f"{face}_reflectance"))
            if not np.all(through + thrown <= 1 + _ROUNDING):
                both = float(np.max(through + thrown))
                raise ValueError(
                    f"transmittance and {face} reflectance add up to at most 1, not {both:.6g}: "
                    "a layer gives back no more light than it gets"
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
