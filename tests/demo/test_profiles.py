"""The profiles are small, valid, made again from their own description, and of the modes that name them."""

import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from registry.shipped import shipped
from tests.demo.telling import Landed
from tools.simulate_profile import colours, press_in, profile_of, separate

FILES = sorted(shipped("records").rglob("profiles/*.icc"))
NAMES = [path.stem for path in FILES]
# Tags that a version 2 CMYK output profile must have (ICC.1:2001-04, 6.3.3.2).
NEEDED = {"desc", "cprt", "wtpt", "A2B0", "A2B1", "A2B2", "B2A0", "B2A1", "B2A2", "gamt"}


def tags_of(profile: bytes) -> dict[str, bytes]:
    (count,) = struct.unpack(">I", profile[128:132])
    entries = [struct.unpack(">4sII", profile[132 + 12 * n : 144 + 12 * n]) for n in range(count)]
    return {name.decode(): profile[start : start + size] for name, start, size in entries}


def test_there_are_a_few_small_profiles() -> None:
    assert 3 <= len(FILES) <= 6
    assert all(path.stat().st_size < 60_000 for path in FILES)


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_a_profile_is_made_again_byte_for_byte_from_its_description(path: Path) -> None:
    assert profile_of(press_in(path.read_bytes())) == path.read_bytes()


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_a_profile_has_the_header_and_the_tags_of_a_cmyk_output_profile(path: Path) -> None:
    profile = path.read_bytes()
    size, version, kind, space, connection = struct.unpack(">I4xI4s4s4s", profile[:24])
    assert (size, version >> 24) == (len(profile), 2)
    assert (kind, space, connection, profile[36:40]) == (b"prtr", b"CMYK", b"Lab ", b"acsp")
    assert profile[63] == press_in(profile).backlit, "bit 0 of the attributes says transparency"
    tags = tags_of(profile)
    assert set(tags) == NEEDED
    assert tags["cprt"] == b"text\0\0\0\0no copyright, invented demo data\0"
    assert b"(simulated)" in tags["desc"]


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_an_independent_reader_opens_a_profile_and_sees_the_models_colours(path: Path) -> None:
    press = press_in(path.read_bytes())
    opened = ImageCms.getOpenProfile(str(path))
    assert (opened.profile.xcolor_space, opened.profile.device_class) == ("CMYK", "prtr")
    forward = ImageCms.buildTransform(
        opened, ImageCms.createProfile("LAB"), "CMYK", "LAB", ImageCms.Intent.RELATIVE_COLORIMETRIC
    )
    tones = np.array(
        [[0, 0, 0, 0], [100, 0, 0, 0], [0, 100, 0, 0], [0, 0, 100, 0], [0, 0, 0, 100]], dtype=float
    )
    image = Image.frombytes("CMYK", (len(tones), 1), np.rint(tones * 2.55).astype(np.uint8).tobytes())
    seen = ImageCms.applyTransform(image, forward)
    assert seen is not None
    # Little CMS gives L in 255ths, a and b as signed bytes.
    raw = np.frombuffer(seen.tobytes(), dtype=np.uint8).reshape(-1, 3)
    found = np.concatenate([raw[:, :1] / 2.55, raw[:, 1:].view(np.int8)], axis=1)
    assert np.abs(found - colours(press, tones)).max() < 1.5


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_a_separation_hits_colours_within_reach_and_keeps_below_its_total(path: Path) -> None:
    press = press_in(path.read_bytes())
    wanted = np.array(
        [[95, 0, 0], [75, 0, 0], [50, 0, 0], [70, 15, 10], [65, -20, -20], [30, 0, 0]], dtype=float
    )
    tones = separate(press, wanted)
    missed = np.sqrt(((colours(press, tones) - wanted) ** 2).sum(axis=1))
    assert missed.max() < 5
    assert tones.sum(axis=1).max() <= press.total_pct + 0.5
    assert tones[5, 3] > tones[2, 3] >= tones[1, 3] == 0, "black comes in with darkness"


def test_a_profile_was_made_for_the_load_and_the_total_of_the_settings_that_name_it(
    history: tuple[Landed, ...],
) -> None:
    named = 0
    for landed in history:
        profile = landed.document.get("colour", {}).get("profile") if landed.kind == "print-mode" else None
        if not profile or profile == (landed.before or {}).get("colour", {}).get("profile"):
            continue
        folder = landed.path.rpartition("/modes/")[0]
        press = press_in(landed.told.state[f"{folder}/profiles/{profile['file']}"])
        assert press.load_pct == landed.document["layers"][0]["load_pct"], landed.path
        assert press.total_pct == landed.document["ink"]["profile_max_pct"], landed.path
        assert press.name == landed.document["title"]
        named += 1
    assert named == len(FILES)
