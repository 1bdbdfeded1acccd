"""XYZ of 2,376 measured spectra against the XYZ that their own file holds.

Source: the `targ` tag (CGATS text) of the CMYK profile built into libvips, from PyPI's pyvips-binary; its
copyright tag reads "Released into the public domain".
"""

import hashlib
import struct
from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest
import pyvips

from registry.light.difference import ciede2000, summary
from registry.light.grid import Array, Grid, checked
from registry.light.lab import lab
from registry.light.sources import source
from registry.light.tristimulus import xyz
from registry.measurement import read_cgats
from tests.outside.published import published


@cache
def sets() -> tuple[Mapping[str, float | str], ...]:
    profile: bytes = pyvips.Operation.call("profile_load", "cmyk")
    assert hashlib.sha256(profile).hexdigest() == published("measured_solids")["profile_sha256"]
    count = struct.unpack_from(">I", profile, 128)[0]
    tags = (struct.unpack_from(">4sII", profile, 132 + 12 * number) for number in range(count))
    at, size = next((at, size) for name, at, size in tags if name == b"targ")
    # A tag of type `text`: four bytes of type, four reserved, ASCII, a zero.
    return read_cgats(profile[at + 8 : at + size].rstrip(b"\0")).tables[0].sets


def columns(*names: str) -> Array:
    return np.array([[each[name] for name in names] for each in sets()], dtype=np.float64)


def test_the_spectra_give_the_xyz_that_stands_beside_them() -> None:
    """Mean 0.035 and largest 1.35 were first found with colour-science: most of it is the file's rounding."""
    grid = Grid(380, 730, 10)
    spectra = checked(
        columns(*(f"SPEC_{nm:.0f}" for nm in grid.wavelengths_nm)) / 100, grid, kind="reflectance"
    )
    lamp = source("D50")
    found = lab(xyz(spectra, grid, lamp), lamp.white())
    stored = lab(columns("XYZ_X", "XYZ_Y", "XYZ_Z"), lamp.white())
    said = summary(ciede2000(found, stored))
    assert len(spectra) == 2376
    assert said.mean == pytest.approx(0.035, abs=0.001)
    assert said.largest == pytest.approx(1.35, abs=0.005)
