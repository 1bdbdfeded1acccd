"""Surfaces and stacks against published formulas, each by a second route.

The diffuse means of Fresnel's equations: D. B. Judd, J. Res. Natl. Bur. Stand. 29 (1942) 329, here by
numerical integration of the equations as in M. Born and E. Wolf, Principles of Optics, section 1.5. Kubelka,
J. Opt. Soc. Am. 44 (1954) 330. The numbers were computed from those formulas outside this project.
"""

import numpy as np
import pytest
from scipy.integrate import quad

from registry.light.stack import Layer
from registry.light.surface import diffuse_external, diffuse_internal


def fresnel(index: float, angle_deg: float) -> float:
    """Return the reflectance of a smooth surface for unpolarised light at one angle."""
    before, sine = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg)) / index
    behind = np.sqrt(max(0, 1 - sine**2))  # 0 beyond the critical angle
    across = (before - index * behind) / (before + index * behind)
    along = (index * before - behind) / (index * before + behind)
    return float((across**2 + along**2) / 2)


def test_a_surface_of_index_1_5() -> None:
    assert diffuse_external(1.5) == pytest.approx(0.09177796, abs=1e-8)
    assert diffuse_internal(1.5) == pytest.approx(0.59634576, abs=1e-8)


@pytest.mark.parametrize("index", [1.05, 1.33, 1.5, 1.6, 2.4])
def test_the_diffuse_means_are_fresnels_reflectance_integrated_over_the_half_space(index: float) -> None:
    def mean(ratio: float) -> float:
        # Below its critical angle and above it apart, so that the kink lies at an end.
        kink = np.degrees(np.arcsin(min(ratio, 1)))
        parts = [
            quad(lambda angle: fresnel(ratio, angle) * np.sin(np.radians(2 * angle)), *ends, limit=200)[0]
            for ends in ((0, kink), (kink, 90))
        ]
        return float(np.radians(sum(parts)))

    assert diffuse_external(index) == pytest.approx(mean(index), abs=1e-7)
    assert diffuse_internal(index) == pytest.approx(mean(1 / index), abs=1e-7)


def test_kubelkas_two_layers() -> None:
    both = Layer(0.4, 0.5, 0.5).over(Layer(0.6, 0.3, 0.3))
    assert float(both.transmittance) == pytest.approx(0.2823529412, abs=1e-10)
    assert float(both.front_reflectance) == pytest.approx(0.5564705882, abs=1e-10)


def test_kubelkas_layers_are_the_sum_of_the_light_that_goes_to_and_fro() -> None:
    through = back = 0.0
    down = 0.4
    back += 0.5
    for _ in range(200):
        through += down * 0.6
        up = down * 0.3
        back += up * 0.4
        down = up * 0.5
    both = Layer(0.4, 0.5, 0.5).over(Layer(0.6, 0.3, 0.3))
    assert float(both.transmittance) == pytest.approx(through, abs=1e-12)
    assert float(both.front_reflectance) == pytest.approx(back, abs=1e-12)


def test_a_thousand_thin_layers_are_kubelka_and_munks_thick_one() -> None:
    # Kubelka and Munk, Z. tech. Phys. 12 (1931) 593: a layer of scattering S and absorption K in thickness 1,
    # R = sinh(bS)/(a·sinh(bS) + b·cosh(bS)), T = b/(…), a = 1 + K/S, b = √(a² − 1).
    absorbing, scattering, slices = 0.3, 2.0, 10
    thin = Layer(1 - (absorbing + scattering) / 2**slices, scattering / 2**slices, scattering / 2**slices)
    for _ in range(slices):
        thin = thin.over(thin)
    a = 1 + absorbing / scattering
    b = np.sqrt(a**2 - 1)
    below = a * np.sinh(b * scattering) + b * np.cosh(b * scattering)
    assert float(thin.transmittance) == pytest.approx(b / below, abs=1e-3)
    assert float(thin.front_reflectance) == pytest.approx(np.sinh(b * scattering) / below, abs=1e-3)
