"""Chromaticity, temperature and Duv of the CIE's LED illuminants, and the packaged tables they rest on."""

import numpy as np
import pytest

from registry.light.sources import SOURCE_NAMES, source
from registry.light.temperature import cct_duv
from tests.outside.published import published
from tools import light_tables
from tools.reference import colour_science

LED = published("led")


@pytest.mark.parametrize(("name", "expected"), LED["xy"].items())
def test_chromaticity_of_a_cie_led(name: str, expected: list[float]) -> None:
    white = source(name).white()
    np.testing.assert_allclose(white[:2] / white.sum(), expected, rtol=0, atol=1e-4)


@pytest.mark.parametrize("name", LED["cct_k"])
def test_temperature_and_duv_as_published(name: str) -> None:
    cct, duv = cct_duv(source(name).white())
    assert cct == pytest.approx(LED["cct_k"][name], abs=1)
    assert duv == pytest.approx(LED["duv"][name], abs=1e-4)


@pytest.mark.parametrize("name", LED["luxpy"])
def test_temperature_and_duv_of_a_second_program(name: str) -> None:
    cct, duv = cct_duv(source(name).white())
    assert cct == pytest.approx(LED["luxpy"][name]["cct_k"], abs=1)
    assert duv == pytest.approx(LED["luxpy"][name]["duv"], abs=1e-4)


@pytest.mark.parametrize("name", SOURCE_NAMES)
def test_temperature_agrees_with_colour_science_on_the_same_white(name: str) -> None:
    colour = colour_science()
    white = source(name).white()
    theirs = colour.temperature.uv_to_CCT_Ohno2013(colour.UCS_to_uv(colour.XYZ_to_UCS(white / 100)))
    cct, duv = cct_duv(white)
    assert cct == pytest.approx(theirs[0], abs=0.1)
    assert duv == pytest.approx(theirs[1], abs=1e-6)


def test_the_packaged_tables_are_what_colour_science_holds() -> None:
    for name, text in light_tables.tables().items():
        assert (light_tables.FOLDER / name).read_text(encoding="utf-8") == text
