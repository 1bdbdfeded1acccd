"""What spectra every 10 nm lose: by ASTM E308 little under any lamp, by a plain sum much under a spiky one.

The samples are 24 surface colours measured by N. Ohta (1997), 380 to 780 nm every 5 nm, from colour-science;
what is true is their sum over every nanometre, interpolated and summed by colour-science.
"""

import numpy as np
import pytest

from registry.light.difference import ciede2000
from registry.light.grid import Array, Grid
from registry.light.interpolation import FINE
from registry.light.lab import lab
from registry.light.sources import matching, source
from registry.light.tristimulus import xyz
from tools.reference import colour_science

GRID = Grid(380, 730, 10)
E308_AT_MOST = 0.09


def spectra_and_truth(name: str) -> tuple[Array, Array]:
    """Return spectra on the grid, and CIELAB summed over every nanometre, against the lamp's own white."""
    colour = colour_science()
    held = next(held for held_name, held in colour.SDS_COLOURCHECKERS.items() if held_name.endswith("Ohta"))
    shape = colour.SpectralShape(FINE.first_nm, FINE.last_nm, 1)
    samples = [sample.copy().align(shape) for sample in held.values()]
    lamp = colour.SpectralDistribution(source(name).every_nm(), FINE.wavelengths_nm)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    truth = [colour.sd_to_XYZ(sample, observer, lamp, method="Integration") for sample in samples]
    spectra = np.array([sample[GRID.wavelengths_nm] for sample in samples])
    return spectra, lab(np.array(truth), source(name).white())


@pytest.mark.parametrize("name", ["D50", "FL2", "FL11", "LED-B3", "LED-RGB1", "LED-V1"])
def test_e308_stays_near_the_sum_over_every_nanometre(name: str) -> None:
    spectra, truth = spectra_and_truth(name)
    found = lab(xyz(spectra, GRID, source(name)), source(name).white())
    assert ciede2000(found, truth).max() <= E308_AT_MOST


def test_a_plain_sum_is_wrong_by_four_under_three_bands() -> None:
    spectra, truth = spectra_and_truth("FL11")
    tens = (GRID.wavelengths_nm - 360).astype(int)
    lit = (source("FL11").every_nm()[:, np.newaxis] * matching(2))[tens]
    lit *= 100 / lit[:, 1].sum()
    plain = lab(spectra @ lit, lit.sum(axis=0))
    assert ciede2000(plain, truth).max() == pytest.approx(4.1, abs=0.1)
