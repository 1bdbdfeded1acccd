"""The check of an ICC profile's header against profiles that LittleCMS made, through Pillow."""

from PIL import ImageCms

from registry.check import check
from tests.check.small import SHEET, WINDOW, sha256, small_registry

CLASS = slice(12, 16)  # ISO 15076-1, table 17: profile/device class


def messages(data: bytes) -> list[str]:
    small = small_registry()
    small.files[f"records/substrates/{SHEET}/profiles/window.icc"] = data
    profile = {"file": "window.icc", "sha256": sha256(data)}
    small.patch("print-mode", WINDOW, {"colour": {"profile": profile}})
    return [finding.message for finding in check(small)]


def made() -> bytes:
    return bytes(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())


def test_a_monitor_profile_is_sound_but_no_output_profile() -> None:
    assert made()[CLASS] == b"mntr"
    assert messages(made()) == ["the profile is no output profile"]


def test_the_same_profile_as_an_output_profile_is_sound() -> None:
    data = made()
    assert messages(data[:12] + b"prtr" + data[16:]) == []


def test_a_profile_that_was_cut_off_is_found() -> None:
    data = made()[:-100]
    found = messages(data[:12] + b"prtr" + data[16:])
    assert found[0] == "the profile's size is not the file's"
    assert any(message.endswith("goes beyond the file") for message in found)
