"""Surfaces, halftones and stacks against published formulas, each by a second route.

Fresnel's equations and their diffuse means: D. B. Judd, J. Res. Natl. Bur. Stand. 29 (1942) 329, here by
numerical integration. Saunderson, J. Opt. Soc. Am. 32 (1942) 727. Clapper and Yule, J. Opt. Soc. Am. 43
(1953) 600, here by their series, added up bounce by bounce, and by following single photons. Yule and
Nielsen, TAGA Proceedings 3 (1951) 65. Kubelka, J. Opt. Soc. Am. 44 (1954) 330. The numbers were computed from
those formulas outside this project.
"""

import numpy as np
import pytest
from scipy.integrate import quad

from registry.light.halftone import clapper_yule, murray_davies, yule_nielsen
from registry.light.stack import Layer
from registry.light.surface import (
    diffuse_external,
    diffuse_internal,
    fresnel,
    saunderson,
    saunderson_inverse,
)

AREA, INK, BASE, INSIDE, ENTERING, LEAVING = 0.5, 0.3, 0.85, 0.596, 0.94976009, 0.96 / 1.5**2
"""Half covered; ink that passes 30 %; a base of 85 %; surfaces of n = 1.5, light at 45°, eye at 0°."""


def test_a_surface_of_index_1_5() -> None:
    assert float(fresnel(1.5)) == pytest.approx(0.04, abs=1e-12)
    assert 1 - float(fresnel(1.5, 45)) == pytest.approx(0.94976009, abs=1e-8)
    assert diffuse_external(1.5) == pytest.approx(0.09177796, abs=1e-8)
    assert diffuse_internal(1.5) == pytest.approx(0.59634576, abs=1e-8)


@pytest.mark.parametrize("index", [1.05, 1.33, 1.5, 1.6, 2.4])
def test_the_diffuse_means_are_fresnels_reflectance_integrated_over_the_half_space(index: float) -> None:
    def mean(ratio: float) -> float:
        # Below its critical angle and above it apart, so that the kink lies at an end.
        kink = np.degrees(np.arcsin(min(ratio, 1)))
        parts = [
            quad(
                lambda angle: float(fresnel(ratio, angle)) * np.sin(np.radians(2 * angle)), *ends, limit=200
            )[0]
            for ends in ((0, kink), (kink, 90))
        ]
        return float(np.radians(sum(parts)))

    assert diffuse_external(index) == pytest.approx(mean(index), abs=1e-7)
    assert diffuse_internal(index) == pytest.approx(mean(1 / index), abs=1e-7)


def test_brewsters_angle_reflects_half_of_what_is_polarised_across() -> None:
    # tan(angle) = n: light polarised along the plane passes whole (Brewster 1815), so the mean of both is
    # half of what is reflected of the other, ((n² − 1)/(n² + 1))².
    brewster = float(np.degrees(np.arctan(1.5)))
    assert float(fresnel(1.5, brewster)) == pytest.approx(((1.5**2 - 1) / (1.5**2 + 1)) ** 2 / 2, abs=1e-12)


@pytest.mark.parametrize(
    ("share", "measured"), [(0.5, 0.3162393162), (0.9, 0.7929249353), (0.0, 0.04), (1.0, 1.0)]
)
def test_saundersons_correction(share: float, measured: float) -> None:
    assert float(saunderson(share, 0.04, 0.596)) == pytest.approx(measured, abs=1e-10)
    assert float(saunderson_inverse(measured, 0.04, 0.596)) == pytest.approx(share, abs=1e-9)


def test_saundersons_correction_is_its_own_series_of_bounces() -> None:
    # In through the surface, off the layer, out or back down: R, k₂R², k₂²R³ and so on.
    bounces = sum(0.596**bounce * 0.5 ** (bounce + 1) for bounce in range(200))
    assert float(saunderson(0.5, 0.04, 0.596)) == pytest.approx(0.04 + 0.96 * 0.404 * bounces, abs=1e-12)


def seen(area: float = AREA, ink: float = INK) -> float:
    return float(clapper_yule(area, ink, BASE, inside=INSIDE, entering=ENTERING, leaving=LEAVING))


def test_clapper_and_yules_halftone() -> None:
    bare = seen(area=0)
    assert seen() == pytest.approx(0.2010332497, abs=1e-9)
    assert seen() / bare == pytest.approx(0.2879688301, abs=1e-9)
    assert seen(area=1) / bare == pytest.approx(0.0465273689, abs=1e-9)


def test_clapper_and_yules_halftone_is_the_sum_of_its_bounces() -> None:
    once, twice = 1 - AREA + AREA * INK, 1 - AREA + AREA * INK**2
    bounces = sum((INSIDE * BASE * twice) ** bounce for bounce in range(200))
    assert seen() == pytest.approx(ENTERING * LEAVING * BASE * once**2 * bounces, abs=1e-12)


def photons_out(number: int, seed: int) -> float:
    """Return how much light comes out, photon by photon, in units of what enters.

    Each crosses the halftone at a place of its own each time it reaches the top, and at one place on its way
    up and, if the surface throws it back, on its way down again.
    """
    noise = np.random.default_rng(seed)

    def of_all(share: float, alive: int) -> np.ndarray:
        return noise.random(alive) < share

    inked = of_all(AREA, number)
    alive = int(np.count_nonzero(of_all(ENTERING, number) & (~inked | of_all(INK, number))))
    out = 0
    while alive:
        alive = int(np.count_nonzero(of_all(BASE, alive)))
        inked = of_all(AREA, alive)
        risen = ~inked | of_all(INK, alive)
        back = risen & of_all(INSIDE, alive)
        # What is not thrown back leaves into the half space: the eye's part of it is a factor, below.
        out += int(np.count_nonzero(risen & ~back))
        alive = int(np.count_nonzero(back & (~inked | of_all(INK, alive))))
    return out / number


def test_single_photons_find_clapper_and_yules_halftone() -> None:
    photons = 400_000
    # Of what reaches the surface from below, 1 − INSIDE leaves; the eye sees it as LEAVING of it.
    found = photons_out(photons, seed=1953) * LEAVING / (1 - INSIDE)
    share = seen() / LEAVING * (1 - INSIDE)
    spread = LEAVING / (1 - INSIDE) * np.sqrt(share * (1 - share) / photons)
    assert spread < 0.001
    assert found == pytest.approx(seen(), abs=4 * spread)


def test_murray_davies_and_yule_nielsen() -> None:
    assert float(murray_davies(0.5, 0.8, 0.072)) == pytest.approx(0.436, abs=1e-12)
    assert float(yule_nielsen(0.5, 0.8, 0.072, 2)) == pytest.approx(0.338, abs=1e-12)


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
