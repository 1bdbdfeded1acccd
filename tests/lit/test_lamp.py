"""A measured lamp: what a file has to hold to be one."""

import pytest

from registry.errors import RegistryError
from registry.light.sources import Source
from registry.lit.lamp import lamp_of
from registry.measurement import read_cgats


def lamp(*wavelengths_nm: float, powers: tuple[float, ...] = (1.0, 3.0)) -> Source:
    fields = ["SAMPLE_ID", *(f"SPECTRAL_NM{nm:g}" for nm in wavelengths_nm)]
    rows = [f"{row} " + " ".join([f"{power:g}"] * len(wavelengths_nm)) for row, power in enumerate(powers)]
    lines = ["CGATS.17", 'MEASUREMENT_SOURCE "emission"', f"NUMBER_OF_FIELDS {len(fields)}"]
    lines += ["BEGIN_DATA_FORMAT", " ".join(fields), "END_DATA_FORMAT", f"NUMBER_OF_SETS {len(rows)}"]
    return lamp_of(read_cgats("\n".join([*lines, "BEGIN_DATA", *rows, "END_DATA", ""]).encode()), "lamp.txt")


def test_several_readings_of_a_lamp_are_averaged() -> None:
    assert set(lamp(*range(380, 731, 10)).power.tolist()) == {2.0}


@pytest.mark.parametrize(
    ("wavelengths_nm", "powers", "says"),
    [
        (range(450, 651, 10), (1.0,), "reaches from 450 to 650 nm"),
        ((400, 410, 430, 700), (1.0,), "steps differ"),
        (range(400, 701, 4), (1.0,), "4 nm apart"),
        (range(400, 701, 10), (0.0,), "no power"),
        (range(400, 701, 10), (-1.0,), "no spectral power"),
        ((), (1.0,), "holds no spectrum"),
    ],
)
def test_what_is_no_lamp_is_refused_with_the_reason(
    wavelengths_nm: tuple[float, ...], powers: tuple[float, ...], says: str
) -> None:
    with pytest.raises(RegistryError, match=says):
        lamp(*wavelengths_nm, powers=powers)
