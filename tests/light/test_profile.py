"""Profiles seen with an intent, and compared over a grid."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from registry.light.difference import ciede2000
from registry.light.lab import lab, xyz_of
from registry.light.profile import D50, Profile, ProfileError, colours, compare
from tests.light.profiles import curv, lut8, lut16, lut_a_to_b, para, profile, white

WHITE = (0.36, 0.38, 0.30)


def press(
    lightness: tuple[float, float], *, bits: int = 16, space: bytes = b"CMYK", **more: bytes
) -> Profile:
    """Return a profile whose first channel takes white to a grey, from one lightness to another."""
    ramp = np.array(lightness)[:, np.newaxis] * (1, 0, 0) + (0, 0, 0)
    channels = {b"CMYK": 4, b"RGB ": 3}[space]
    grid = np.broadcast_to(ramp.reshape(2, *[1] * (channels - 1), 3), (*[2] * channels, 3))
    grey = np.array([0, 128, 128])
    table = lut16(np.rint(grid * 652.8 + grey * 256)) if bits == 16 else lut8(np.rint(grid * 2.55 + grey))
    return Profile(profile({"wtpt": white(*WHITE), "A2B0": table} | more, space=space))


def test_device_values_become_colours_against_the_media_white() -> None:
    found = colours(press((100, 20)), [[0, 0, 0, 0], [50, 9, 9, 9], [100, 0, 0, 0]])
    assert found == pytest.approx(np.array([[100, 0, 0], [60, 0, 0], [20, 0, 0]]), abs=0.01)


def test_absolute_colours_are_those_of_the_medium_beside_a_perfect_white() -> None:
    found = colours(press((100, 50)), [[0, 0, 0, 0], [100, 0, 0, 0]], "absolute")
    assert found[0] == pytest.approx(lab(WHITE, D50), abs=0.01)
    assert found[1] == pytest.approx(lab(xyz_of([50, 0, 0], WHITE), D50), abs=0.02)


def test_each_intent_has_its_table_and_the_perceptual_one_stands_in_for_a_missing_one() -> None:
    other = press((100, 30)).tag("A2B0")
    both = press((100, 20), A2B1=other)
    solid = [[100, 0, 0, 0]]
    found = {
        intent: colours(both, solid, intent)[0, 0] for intent in ("perceptual", "relative", "saturation")
    }
    assert found == pytest.approx({"perceptual": 20, "relative": 30, "saturation": 20}, abs=0.01)
    assert "table A2B0 and A2B1" in compare(press((100, 20)), both).route


def test_a_connection_space_of_xyz_says_the_same() -> None:
    grid = np.broadcast_to(
        np.array([D50, [0.5 * each for each in D50]]).reshape(2, 1, 1, 3) * 32768, (2, 2, 2, 3)
    )
    by_xyz = Profile(
        profile({"wtpt": white(*WHITE), "A2B1": lut16(np.rint(grid))}, space=b"RGB ", connection=b"XYZ ")
    )
    found = colours(by_xyz, [[0, 0, 0], [100, 0, 0]])
    assert found == pytest.approx(np.array([[100, 0, 0], [76.0693, 0, 0]]), abs=0.01)
    assert colours(by_xyz, [[0, 0, 0]], "absolute")[0] == pytest.approx(lab(WHITE, D50), abs=0.01)


def test_a_profile_does_not_differ_from_itself() -> None:
    found = compare(press((100, 20)), press((100, 20)))
    assert (found.mean, found.p95, found.largest, found.patches) == (0, 0, 0, 625)


def test_two_profiles_differ_by_the_colour_of_the_same_device_values() -> None:
    found = compare(press((100, 20)), press((100, 30)), (0, 100))
    assert found.patches == 16
    assert found.at[0] == 100
    solids = float(ciede2000([20, 0, 0], [30, 0, 0]))
    assert found.largest == pytest.approx(solids, abs=0.01)
    assert found.mean == pytest.approx(solids / 2, abs=0.01), "half of the grid has none of the first channel"


def test_it_does_not_matter_which_profile_is_the_first() -> None:
    one, other = press((100, 20)), press((95, 30))
    there, back = compare(one, other), compare(other, one)
    assert (there.mean, there.p95, there.largest) == pytest.approx((back.mean, back.p95, back.largest))
    assert there.at == back.at


def test_the_route_says_how_it_was_computed() -> None:
    fine, coarse = press((100, 20)), press((100, 30), bits=8)
    assert compare(fine, fine, (100, 0, 50), "absolute", total_pct=240).route == (
        "ΔE00 over 50 device values (0, 50, 100 % of 4 channels with 240 % at most), "
        "absolute by each medium's white, table A2B0, in floating point, tetrahedral"
    )
    assert compare(fine, coarse).route.endswith(
        "tetrahedral; a table of 8 bits holds a colour only to 0.4 in L* and 1 in a* and b*"
    )


def test_beyond_the_heaviest_total_nothing_is_compared() -> None:
    found = compare(press((100, 20)), press((100, 30)), total_pct=100)
    assert found.patches == 70, "five levels of four channels that sum up to 100 % or less: C(8, 4)"
    assert sum(found.at) <= 100


def damaged(data: bytes, at: int, value: int) -> bytes:
    at %= len(data)
    return data[:at] + bytes([value]) + data[at + 1 :]


MATRIX = [1.0, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0]
EVERY_STAGE = lut_a_to_b(
    inputs=3,
    a=[curv(0, 9, 65535), para(3, 2.4, 0.9, 0.05, 0.08, 0.04), para(0, 1.8)],
    grid=np.full((2, 2, 2, 3), 30000),
    m=[curv(300)] * 3,
    matrix=MATRIX,
    b=[para(4, 1.5, 0.9, 0.05, 0.3, 0.2, 0.02, 0.01)] * 3,
)
WHOLE = [
    press((100, 20)).data,
    press((100, 20), bits=8).data,
    profile({"wtpt": white(*WHITE), "A2B0": EVERY_STAGE}, space=b"RGB "),
]


@settings(max_examples=300)
@given(
    st.sampled_from(WHOLE),
    st.lists(
        st.tuples(st.integers(0, 699), st.sampled_from([0, 1, 3, 127, 128, 255])), min_size=1, max_size=4
    ),
)
def test_a_damaged_profile_is_refused_or_read_and_never_breaks(
    data: bytes, hits: list[tuple[int, int]]
) -> None:
    for at, value in hits:
        data = damaged(data, at, value)
    try:
        hurt = Profile(data)
        seen = colours(hurt, np.full((2, hurt.channels), 33.0), "absolute")
    except ProfileError:
        return
    assert np.isfinite(seen).all()


def test_a_curve_beyond_all_bounds_is_cut_to_its_range() -> None:
    wild = lut_a_to_b(inputs=3, b=[para(1, 3000.0, 3000.0, 0.0), para(0, -1.0), curv()])
    seen = colours(Profile(profile({"A2B0": wild}, space=b"RGB ")), [[100, 0, 50]])
    assert seen[0] == pytest.approx([100, 127, -0.5])


@pytest.mark.parametrize(
    ("asked", "error", "said"),
    [
        (
            lambda: compare(press((100, 20)), press((100, 20), space=b"RGB ")),
            ProfileError,
            "the colour spaces differ: CMYK and RGB",
        ),
        (
            lambda: colours(Profile(profile({"wtpt": white(*WHITE)})), [[0, 0, 0, 0]]),
            ProfileError,
            "no colours by intent relative, table A2B0: the profile has no tag 'A2B0'; it has desc, cprt",
        ),
        (
            lambda: colours(Profile(profile({"A2B0": b"mpet" + bytes(40)})), [[0, 0, 0, 0]]),
            ProfileError,
            "no colours by intent relative, table A2B0: the table's type cannot be read: found b'mpet'",
        ),
        (
            lambda: colours(Profile(profile({}, kind=b"link")), [[0, 0, 0, 0]]),
            ProfileError,
            "a device link leads from device to device, not to colours",
        ),
        (lambda: colours(press((100, 20)), [[0, 0, 0]]), ValueError, "CMYK has 4 channels, not shape (1, 3)"),
        (
            lambda: colours(press((100, 20)), [[0, 0, 0, 101]]),
            ValueError,
            "device values are from 0 to 100 %",
        ),
        (
            lambda: colours(press((100, 20)), [[0, 0, 0, 0]], "proof"),  # type: ignore[arg-type]
            ValueError,
            "a rendering intent is perceptual, relative, saturation, absolute, not 'proof'",
        ),
        (
            lambda: compare(press((100, 20)), press((100, 20)), (0, 255)),
            ValueError,
            "levels are from 0 to 100 %, not [0, 255]",
        ),
        (
            lambda: compare(press((100, 20)), press((100, 20)), ()),
            ValueError,
            "levels are from 0 to 100 %, not []",
        ),
        (
            lambda: compare(press((100, 20)), press((100, 20)), range(101)),
            ValueError,
            "101 levels of 4 channels are more than 1,000,000 device values: take fewer levels",
        ),
        (
            lambda: compare(press((100, 20)), press((100, 20)), (50, 100), total_pct=100),
            ValueError,
            "no device value sums up to 100 % or less",
        ),
    ],
)
def test_what_cannot_be_compared_is_refused(
    asked: Callable[[], object], error: type[ValueError], said: str
) -> None:
    with pytest.raises(error) as refusal:
        asked()
    assert str(refusal.value).startswith(said)
