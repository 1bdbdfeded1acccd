"""Colours of ICC profiles, and differences between two of them, against other programs that read profiles.

Profile A is the CMYK output profile that lies inside PyPI's `pymupdf` (and, byte for byte, inside Debian's
`libgs-common`); it is only read where it lies, by its SHA-256. Profile B is the CMYK profile of PyPI's
`pyvips-binary`, whose copyright tag reads "Released into the public domain". The second engine is Little CMS,
once through pyvips, with Lab in floating point, and once through Pillow, with Lab in 8 bits. Mean and largest
difference over 625 patches were found with the first outside this project; a third engine, the ICC's own
reference implementation RefIccMAX, which interpolates linearly along all four channels, found mean 5.0361 and
largest 17.1929 there.

Through pyvips only the relative intent says the same: it compensates black points in the perceptual one and
puts the absolute one against another white. So the other intents are checked through Pillow.
"""

import hashlib
import io
import itertools
from collections.abc import Callable
from functools import cache
from importlib.metadata import files
from pathlib import Path

import numpy as np
import pytest
import pyvips
from PIL import Image, ImageCms

from registry.light.difference import ciede2000, summary
from registry.light.lab import xyz_of
from registry.light.profile import D50, Intent, Profile, colours, compare
from registry.shipped import shipped
from tests.light.profiles import curv, lut8, lut16, lut_a_to_b, para, profile, white

A_SHA256 = "8472fa1493a024b800b67dee9424835ec0c41ab79490200ae8ec4a689fd1b9a9"
A_BYTES = 187484
B_SHA256 = "156e7c14f244cfc4ed83a755ca4803d80e15dd249b40fae82cb127d3902e15c7"

STEPS = np.array([0, 64, 127, 191, 255])
"""0, 25, 50, 75 and 100 % as whole 255ths, which is what the other engine takes."""
PATCHES = np.array(list(itertools.product(STEPS, repeat=4)), dtype=np.uint8)
LEVELS = (STEPS / 2.55).tolist()

INTENTS: dict[Intent, ImageCms.Intent] = {
    "perceptual": ImageCms.Intent.PERCEPTUAL,
    "relative": ImageCms.Intent.RELATIVE_COLORIMETRIC,
    "saturation": ImageCms.Intent.SATURATION,
    "absolute": ImageCms.Intent.ABSOLUTE_COLORIMETRIC,
}
IN_8_BITS = np.array([0.5 / 2.55, 0.5, 0.5]) + 0.05
"""Half a step of Lab in 8 bits, and what the engine's own table costs."""

DEMO = sorted(shipped("records").rglob("profiles/*.icc"))


@cache
def profile_a() -> bytes:
    """Find profile A inside the library that holds it: its size stands 36 bytes before its signature."""
    for path in files("pymupdf") or ():
        if "libmupdf." in path.name:
            library = Path(str(path.locate())).read_bytes()
            start = library.find(A_BYTES.to_bytes(4))
            while start >= 0:
                found = library[start : start + A_BYTES]
                if hashlib.sha256(found).hexdigest() == A_SHA256:
                    return found
                start = library.find(A_BYTES.to_bytes(4), start + 1)
    raise AssertionError("this release of pymupdf holds the profile no more")


@cache
def profile_b() -> bytes:
    found: bytes = pyvips.Operation.call("profile_load", "cmyk")
    assert hashlib.sha256(found).hexdigest() == B_SHA256
    return found


def by_pyvips(data: bytes, device: np.ndarray) -> np.ndarray:
    """Return Lab in floating point by Little CMS, relative."""
    held = pyvips.Image.new_from_memory(
        np.ascontiguousarray(device).tobytes(), len(device), 1, device.shape[1], "uchar"
    )
    held = held.copy(interpretation="cmyk" if device.shape[1] == 4 else "srgb")
    held.set_type(pyvips.GValue.blob_type, "icc-profile-data", data)
    seen = held.icc_import(intent="relative", embedded=True, pcs="lab")
    assert seen.format == "float"
    return np.frombuffer(seen.write_to_memory(), np.float32).reshape(-1, 3).astype(np.float64)


def by_pillow(data: bytes, device: np.ndarray, intent: Intent) -> np.ndarray:
    """Return Lab in 8 bits by Little CMS."""
    opened, in_lab = ImageCms.getOpenProfile(io.BytesIO(data)), ImageCms.createProfile("LAB")
    made = ImageCms.buildTransform(opened, in_lab, "CMYK", "LAB", INTENTS[intent])
    seen = ImageCms.applyTransform(Image.frombytes("CMYK", (len(device), 1), device.tobytes()), made)
    assert seen is not None
    raw = np.frombuffer(seen.tobytes(), dtype=np.uint8).reshape(-1, 3)
    return np.concatenate([raw[:, :1] / 2.55, raw[:, 1:].view(np.int8)], axis=1)


def ours(data: bytes, device: np.ndarray, intent: Intent = "relative") -> np.ndarray:
    return colours(Profile(data), device / 2.55, intent)


def test_two_output_profiles_differ_over_625_patches_as_a_second_engine_finds() -> None:
    found = compare(Profile(profile_a()), Profile(profile_b()), LEVELS)
    second = summary(ciede2000(by_pyvips(profile_a(), PATCHES), by_pyvips(profile_b(), PATCHES)))
    assert found.patches == 625
    assert (found.mean, found.p95, found.largest) == pytest.approx((5.0179, 9.8478, 17.1907), abs=0.003)
    assert (found.mean, found.p95, found.largest) == pytest.approx(
        (second.mean, second.p95, second.largest), abs=0.003
    )
    assert PATCHES[second.at].tolist() == [255, 0, 255, 255]
    assert found.at == (100, 0, 100, 100)


def test_the_reference_implementation_is_nearer_than_two_hundredths_in_the_mean() -> None:
    found = compare(Profile(profile_a()), Profile(profile_b()), LEVELS)
    assert found.mean == pytest.approx(5.0361, abs=0.02)
    assert found.largest == pytest.approx(17.1929, abs=1e-4), (
        "at a point of both grids nothing is interpolated"
    )


@pytest.mark.parametrize("of", [profile_a, profile_b])
def test_each_patch_has_the_colour_that_little_cms_finds(of: Callable[[], bytes]) -> None:
    # Little CMS makes a finer table of its own first and looks up in that: ΔE00 of up to 0.05.
    differences = summary(ciede2000(ours(of(), PATCHES), by_pyvips(of(), PATCHES)))
    assert differences.mean < 0.01
    assert differences.largest < 0.05


@pytest.mark.parametrize("intent", INTENTS)
@pytest.mark.parametrize("of", [profile_a, profile_b])
def test_each_intent_has_the_colours_that_little_cms_finds_in_8_bits(
    of: Callable[[], bytes], intent: Intent
) -> None:
    off = np.abs(ours(of(), PATCHES, intent) - by_pillow(of(), PATCHES, intent))
    assert (off <= IN_8_BITS).all()


def test_the_media_whites_are_those_that_were_read_outside() -> None:
    assert Profile(profile_a()).media_white == pytest.approx((0.708405, 0.735947, 0.571045), abs=1e-6)
    assert Profile(profile_b()).media_white == pytest.approx((0.881989, 0.912262, 0.762955), abs=1e-6)


@pytest.mark.parametrize(
    ("device", "a", "b"),
    [
        ([0, 0, 0, 0], [100, 0, 0], [100, 0, 0]),
        ([100, 0, 0, 0], [63.61, -41.39, -48.33], [56.65, -36.78, -52.97]),
        ([0, 100, 0, 0], [53.95, 76.14, -6.56], [52.21, 77.57, -3.04]),
        ([0, 0, 100, 0], [95.08, -6.3, 90.35], [94.93, -3.85, 101.12]),
        ([0, 0, 0, 100], [22.35, 1.07, 0.06], [14.68, 3.98, -4.25]),
    ],
)
def test_the_solids_are_those_that_were_read_outside(
    device: list[float], a: list[float], b: list[float]
) -> None:
    assert colours(Profile(profile_a()), [device])[0] == pytest.approx(np.array(a), abs=0.01)
    assert colours(Profile(profile_b()), [device])[0] == pytest.approx(np.array(b), abs=0.01)


@pytest.mark.parametrize("path", DEMO, ids=[path.stem for path in DEMO])
def test_the_demos_profiles_of_8_bits_have_the_colours_that_both_engines_find(path: Path) -> None:
    data = path.read_bytes()
    found = ours(data, PATCHES)
    assert summary(ciede2000(found, by_pyvips(data, PATCHES))).largest < 0.05
    assert (np.abs(found - by_pillow(data, PATCHES, "relative")) <= IN_8_BITS).all()


def test_lab_in_8_bits_alone_costs_a_third_of_a_delta_e() -> None:
    # Mean 0.286 and largest 0.783 were found outside this project.
    exact = ours(profile_b(), PATCHES)
    rounded = np.rint(exact * (2.55, 1, 1)) / (2.55, 1, 1)
    lost = summary(ciede2000(exact, rounded))
    assert lost.mean == pytest.approx(0.286, abs=0.02)
    assert lost.largest < 1


RGB_PATCHES = np.array(list(itertools.product(STEPS, repeat=3)), dtype=np.uint8)


def _inks(steps: int, channels: int) -> np.ndarray:
    """Return a grid of Lab as fractions of its range: white, and from there each channel in its own way."""
    axes = np.meshgrid(*[np.linspace(0, 1, steps)] * channels, indexing="ij")
    tones = np.stack(axes, axis=-1)
    lightness = np.exp(-tones @ np.array([0.6, 0.7, 0.1, 1.2])[:channels])
    a, b = (
        lightness * np.sin(tones @ np.array(turns)[:channels]) / 4
        for turns in ([-1.2, 1.6, -0.2, 0.1], [-1.3, -0.1, 2, 0.2])
    )
    return np.stack([lightness, a + 128 / 255, b + 128 / 255], axis=-1)


CURVE = [curv(*np.rint(np.linspace(0, 1, 17) ** power * 65535).astype(int)) for power in (0.8, 1, 1.2, 1.5)]
MADE = {
    "lut8 CMYK": (lut8(np.rint(_inks(5, 4) * 255)), b"CMYK", b"Lab "),
    "lut16 RGB with curves": (
        lut16(
            np.rint(_inks(4, 3) * 65280),
            before=np.rint(np.array([np.linspace(0, 1, 9) ** power for power in (0.7, 1, 1.4)]) * 65535),
            after=np.rint(np.array([np.linspace(0, 1, 7) ** power for power in (1.1, 1, 0.9)]) * 65535),
        ),
        b"RGB ",
        b"Lab ",
    ),
    "lut16 CMYK by XYZ": (
        lut16(np.rint(xyz_of(_inks(5, 4) * (100, 255, 255) - (0, 128, 128), D50) * 32768)),
        b"CMYK",
        b"XYZ ",
    ),
    "lutAToB CMYK": (
        lut_a_to_b(inputs=4, a=CURVE, grid=np.rint(_inks(5, 4) * 65535), b=[curv(), curv(), curv()]),
        b"CMYK",
        b"Lab ",
    ),
    "lutAToB RGB, all stages": (
        lut_a_to_b(
            inputs=3,
            a=[para(3, 2.4, 0.948, 0.052, 0.0774, 0.04045), para(0, 1.8), para(1, 1.5, 0.9, 0.1)],
            grid=np.rint(_inks(5, 3) * 65535),
            m=[curv(300), para(2, 1.2, 0.8, 0.1, 0.05), para(4, 1.5, 0.9, 0.05, 0.3, 0.2, 0.02, 0.01)],
            matrix=[0.8, 0.1, 0, 0.1, 0.7, 0.1, 0, 0.1, 0.6, 0.05, 0.1, 0.2],
            b=[curv(), curv(0, 20000, 65535), para(0, 1.1)],
        ),
        b"RGB ",
        b"Lab ",
    ),
}


@pytest.mark.parametrize("name", MADE)
def test_each_type_of_table_is_read_as_little_cms_reads_it(name: str) -> None:
    table, space, connection = MADE[name]
    data = profile(
        {"wtpt": white(0.9, 0.93, 0.75), "A2B0": table, "A2B1": table},
        space=space,
        connection=connection,
        version=(4, 3) if table[:4] == b"mAB " else (2, 4),
    )
    # Not white itself: Little CMS takes it to the connection space's white, whatever the table says.
    patches = PATCHES[1:] if space == b"CMYK" else RGB_PATCHES[:-1]
    differences = summary(ciede2000(ours(data, patches), by_pyvips(data, patches)))
    assert differences.mean < 0.02
    assert differences.largest < 0.15
