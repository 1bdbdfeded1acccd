"""A profile's header and tags: what they say, and every fault by name."""

from collections.abc import Callable

import numpy as np
import pytest

from registry.light.icc import Fault, Profile, ProfileError, faults
from tests.light.profiles import lut16, profile, white

GRID = np.zeros((2, 2, 2, 2, 3))
SOUND = profile({"wtpt": white(0.36, 0.38, 0.3), "A2B0": lut16(GRID)}, intent=1, transparency=True)
LENGTH = len(SOUND)


def with_bytes(at: int, new: bytes) -> bytes:
    return SOUND[:at] + new + SOUND[at + len(new) :]


def test_a_header_says_what_a_profile_is() -> None:
    found = Profile(SOUND)
    assert (found.version, found.kind, found.space, found.connection_space) == (
        "4.3.0",
        "prtr",
        "CMYK",
        "Lab",
    )
    assert (found.channels, found.intent) == (4, "relative")
    assert found.tags == ("desc", "cprt", "wtpt", "A2B0")
    assert found.media_white == pytest.approx((0.36, 0.38, 0.3), abs=1e-5)
    assert found.tag("A2B0")[:4] == b"mft2"


def test_a_sound_profile_has_no_faults() -> None:
    assert list(faults(SOUND)) == []


@pytest.mark.parametrize(
    ("data", "message", "found", "allowed"),
    [
        (b"", "the file is too short for a profile", "0 bytes", "at least 132 bytes"),
        (with_bytes(36, b"none"), "the profile's signature is missing", "b'none'", "b'acsp'"),
        (
            SOUND + b"\0",
            "the profile's size is not the file's",
            f"{LENGTH + 1} bytes",
            f"the {LENGTH} bytes of its header",
        ),
        (with_bytes(8, b"\x03"), "the profile's version is unknown", "version 3", "version 2, 4, 5"),
        (
            with_bytes(20, b"RGB "),
            "the profile's connection space is none",
            "b'RGB '",
            "b'Lab ' or b'XYZ '",
        ),
        (
            with_bytes(128, b"\0\0\1\0"),
            "the profile's tag table goes beyond the file",
            "256 tags",
            f"what {LENGTH} bytes can hold",
        ),
        (
            with_bytes(136, b"\0\0\xff\0"),
            "the profile's tag b'desc' goes beyond the file",
            "65280 + 58",
            f"at most {LENGTH}",
        ),
    ],
    ids=["empty", "signature", "size", "version", "connection space", "table", "tag"],
)
def test_a_faulty_profile_is_refused_with_what_was_found_and_what_is_allowed(
    data: bytes, message: str, found: str, allowed: str
) -> None:
    assert list(faults(data)) == [Fault(message, found, allowed)]
    with pytest.raises(ProfileError) as refusal:
        Profile(data)
    assert str(refusal.value) == f"{message}: found {found}, allowed {allowed}"


def test_all_faults_are_given() -> None:
    data = with_bytes(8, b"\x03")[:-4]
    with pytest.raises(ProfileError) as refusal:
        Profile(data)
    for each in ("size is not the file's", "version is unknown", "tag b'A2B0' goes beyond the file"):
        assert each in str(refusal.value)


@pytest.mark.parametrize(
    ("space", "channels"),
    [(b"GRAY", 1), (b"RGB ", 3), (b"CMYK", 4), (b"6CLR", 6), (b"ACLR", 10), (b"FCLR", 15)],
)
def test_a_colour_space_has_its_channels(space: bytes, channels: int) -> None:
    assert Profile(with_bytes(16, space)).channels == channels


@pytest.mark.parametrize(
    ("data", "ask", "said"),
    [
        (SOUND, lambda it: it.tag("A2B1"), "the profile has no tag 'A2B1'; it has desc, cprt, wtpt, A2B0"),
        (with_bytes(16, b"Lab "), lambda it: it.channels, "the colour space is no device's: found 'Lab'"),
        (
            with_bytes(64, b"\0\0\0\7"),
            lambda it: it.intent,
            "the rendering intent is none: found 7, allowed 0 to 3",
        ),
        (
            profile({"wtpt": b"text\0\0\0\0none"}),
            lambda it: it.media_white,
            "the media white is no XYZ: found b'text' of 12 bytes",
        ),
        (
            profile({"wtpt": white(0, 0, 0)}),
            lambda it: it.media_white,
            "the media white is no white: found 0.0000, 0.0000, 0.0000, allowed above 0",
        ),
    ],
    ids=["no tag", "no device", "no intent", "no XYZ", "black"],
)
def test_what_a_profile_does_not_hold_is_said(
    data: bytes, ask: Callable[[Profile], object], said: str
) -> None:
    with pytest.raises(ProfileError) as refusal:
        ask(Profile(data))
    assert str(refusal.value).startswith(said)
