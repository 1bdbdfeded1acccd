"""Measurement files that nobody here wrote read whole, and give the numbers that others found in them.

Sources:

- Three of the characterisation sets in Debian's package icc-profiles-free 2.0.1+dfsg-1.1, whole and
  unaltered, packed by xz, in `data/characterisation` with their licence (zlib); `sets.json` there holds their
  SHA-256 and what a program of its own found in them.
- The `targ` text of the CMYK profile built into libvips, from PyPI's pyvips-binary (public domain).
- `sample.cxf` of PyPI's colour-cxf 0.1.1, colour_cxf/tests/resources (BSD-3-Clause).
"""

import hashlib
import importlib.util
import json
import lzma
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import pyvips

from registry.light.difference import ciede2000, summary
from registry.light.lab import lab
from registry.light.sources import source
from registry.measurement import Measurement, conditions, read_cgats, write_cgats
from registry.measurement.colours import computed_lab
from registry.measurement.comparing import Incomparable, compare
from registry.measurement.patches import patches
from registry.measurement.reading import Form, read
from registry.measurement.report import report
from tests.outside.published import published
from tools.reference import colour_science

FOLDER = Path(__file__).parent / "data/characterisation"
PUBLISHED = json.loads((FOLDER / "sets.json").read_text(encoding="utf-8"))
NAMES = sorted(PUBLISHED["sets"])
DEVICE = {
    "white": {},
    "CM": {"C": 100, "M": 100},
    "CY": {"C": 100, "Y": 100},
    "MY": {"M": 100, "Y": 100},
    "CMY": {"C": 100, "M": 100, "Y": 100},
    "K50": {"K": 50},
    "C50": {"C": 50},
    **{ink: {ink: 100} for ink in "CMYK"},
}


@cache
def text_of(name: str) -> bytes:
    return lzma.decompress((FOLDER / f"{name}.xz").read_bytes())


@cache
def set_of(name: str) -> Measurement:
    return read_cgats(text_of(name))


@cache
def profile() -> bytes:
    found: bytes = pyvips.Operation.call("profile_load", "cmyk")
    return found


@cache
def sample() -> bytes:
    spec = importlib.util.find_spec("colour_cxf")
    assert spec is not None
    assert spec.origin is not None
    return (Path(spec.origin).parent / "tests/resources/sample.cxf").read_bytes()


@pytest.mark.parametrize("name", NAMES)
def test_a_characterisation_set_is_the_very_file_and_reads_whole(name: str) -> None:
    expected: dict[str, Any] = PUBLISHED["sets"][name]
    assert hashlib.sha256(text_of(name)).hexdigest() == expected["sha256"]
    (table,) = set_of(name).tables
    assert list(table.fields) == expected["fields"]
    assert len(table.sets) == expected["sets"]


@pytest.mark.parametrize("name", NAMES)
def test_a_characterisation_set_has_the_ink_and_the_colours_found_in_it(name: str) -> None:
    found = patches(set_of(name).tables[0])
    assert found.device.sum(axis=1).max() == PUBLISHED["sets"][name]["max_tac_pct"]
    assert found.lab is not None
    for solid, expected in PUBLISHED["sets"][name]["lab"].items():
        first = found.of({ink: float(value) for ink, value in DEVICE[solid].items()})[0]
        assert found.lab[first].tolist() == expected, solid


@pytest.mark.parametrize("name", NAMES)
def test_a_characterisation_set_agrees_with_itself(name: str) -> None:
    """L*a*b* of the file's XYZ lies within the rounding of both, L* 0.04, a* 0.31, b* 0.13, as was found."""
    found = patches(set_of(name).tables[0])
    assert found.xyz is not None
    assert found.lab is not None
    away = np.abs(lab(found.xyz, source("D50").white()) - found.lab).max(axis=0)
    assert (away <= [0.04, 0.31, 0.13]).all()


@pytest.mark.parametrize("name", NAMES)
def test_a_characterisation_set_is_known_for_reflection_and_gives_no_cause_for_doubt(name: str) -> None:
    (found,) = report(set_of(name))
    assert (found.how.kind, found.clean) == ("reflection", True)
    assert found.how.light.startswith("D50")
    assert "2 degree" in found.how.light
    assert found.how.backing.lower().startswith("black" if name == "TR002.ti3" else "white")


@pytest.mark.parametrize("name", NAMES)
def test_a_characterisation_set_is_restored_from_what_is_written(name: str) -> None:
    assert read_cgats(write_cgats(set_of(name))) == set_of(name)


def test_comments_in_latin_1_are_passed_over() -> None:
    assert b"\x97" in text_of("TR002.ti3")
    assert "Committee" in set_of("TR002.ti3").tables[0].said("ORIGINATOR")


@pytest.mark.parametrize(
    "expected",
    [PUBLISHED["difference"], *PUBLISHED["more_differences"]],
    ids=lambda each: "-".join(each["pair"]),
)
def test_two_sets_lie_apart_by_what_was_found_between_them(expected: dict[str, Any]) -> None:
    reference, other = (set_of(name) for name in expected["pair"])
    found = compare(other, reference)
    assert len(found.matches) == expected["common"]
    assert found.summary.mean == pytest.approx(expected["mean"], abs=5e-5)
    assert found.summary.p95 == pytest.approx(expected["p95"], abs=5e-5)
    assert found.summary.largest == pytest.approx(expected["max"], abs=5e-5)


def test_sets_over_white_and_over_black_are_not_compared() -> None:
    with pytest.raises(Incomparable) as caught:
        compare(set_of("TR002.ti3"), set_of("TR006.ti3"))
    assert caught.value.reasons == ("the backing is black in this file, white in the reference",)


def test_the_text_inside_a_profile_reads_whole() -> None:
    reading = read(profile())
    assert reading.form is Form.PROFILE
    (table,) = reading.measurement.tables
    assert (len(table.sets), len(table.fields)) == (2376, 44)
    assert len({tuple(row) for row in patches(table, spectral=False).device.tolist()}) == 2372
    assert read_cgats(write_cgats(reading.measurement)) == reading.measurement


def test_the_spectra_inside_a_profile_count_once_the_header_says_percent() -> None:
    (table,) = read(profile()).measurement.tables
    (refused,) = report(read(profile()).measurement)
    assert str(refused.faults[0]).startswith("spectral readings up to 102.61 are no fractions")
    said = patches(type(table)({**table.header, "SPECTRAL_NORM": ("100",)}, table.fields, table.sets))
    assert said.spectra is not None
    assert said.wavelengths_nm is not None
    assert (said.wavelengths_nm[0], said.wavelengths_nm[-1], len(said.wavelengths_nm)) == (380, 730, 36)
    assert said.device.sum(axis=1).max() == pytest.approx(376.892)
    for name, expected in published("measured_solids")["patches"].items():
        first = said.of({} if name == "paper" else {name: 100.0})[0]
        assert said.spectra[first] == pytest.approx(expected["reflectance"], abs=5e-5), name


def test_a_cxf_file_reads_whole() -> None:
    reading = read(sample())
    assert reading.form is Form.CXF
    (table,) = reading.measurement.tables
    found = patches(table)
    assert found.spectra is not None
    assert found.wavelengths_nm is not None
    assert found.spectra.shape == (144, 31)
    assert (found.wavelengths_nm[0], found.wavelengths_nm[-1]) == (380, 680)
    assert conditions(table).kind == "reflection"
    assert conditions(table).light == "D50, 2 degree"
    assert read_cgats(write_cgats(reading.measurement)) == reading.measurement


def test_colours_computed_from_the_spectra_of_a_cxf_file_are_those_beside_them() -> None:
    """Another found mean 0.0569, largest 0.1508; tables of weights differ by no more than allowed here."""
    found = patches(read(sample()).measurement.tables[0])
    computed = computed_lab(found)
    assert computed is not None
    assert found.lab is not None
    said = summary(ciede2000(computed, found.lab))
    assert said.mean == pytest.approx(0.0569, abs=0.005)
    assert said.largest == pytest.approx(0.1508, abs=0.005)


# It warns that its D50 stands every 5 nm, and that 380 to 680 nm is less than 360 to 780 nm.
@pytest.mark.filterwarnings("ignore:Aligning", "ignore:Trimming", "ignore:.*could not be honoured")
def test_colours_of_a_cxf_file_are_those_that_colour_science_computes() -> None:
    colour = colour_science()
    found = patches(read(sample()).measurement.tables[0])
    computed = computed_lab(found)
    assert computed is not None
    assert found.spectra is not None
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    for row in range(0, 144, 12):
        spectrum = colour.SpectralDistribution(found.spectra[row], found.wavelengths_nm)
        tristimulus = colour.sd_to_XYZ(spectrum, observer, colour.SDS_ILLUMINANTS["D50"], method="ASTM E308")
        theirs = lab(tristimulus, source("D50").white())
        assert ciede2000(computed[row], theirs) < 0.02
