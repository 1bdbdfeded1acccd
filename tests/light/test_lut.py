"""A profile's tables: each type, each stage, and what cannot be read."""

import itertools
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.icc import ProfileError
from registry.light.lut import Table, interpolated
from tests.light.profiles import curv, lut8, lut16, lut_a_to_b, para

FULL = 65535
IDENTITY = np.stack(np.meshgrid([0, FULL], [0, FULL], [0, FULL], indexing="ij"), axis=-1)
"""A grid of three channels that changes nothing."""


def corners(channels: int) -> np.ndarray:
    return np.array(list(itertools.product((0.0, 1.0), repeat=channels)))


def encoded(table: bytes, device: np.ndarray, channels: int = 3) -> np.ndarray:
    """Return values as they lie in the table, 0 to 1, by a connection space of XYZ."""
    return Table(table, channels, "XYZ")(device) * 32768 / FULL


@given(st.lists(st.lists(st.floats(0, 1), min_size=5, max_size=5), min_size=1, max_size=8), st.integers(1, 5))
def test_a_linear_table_is_interpolated_exactly(places: list[list[float]], channels: int) -> None:
    slopes = np.array([[1.0, -2, 3, 0.5, 4], [0, 1, 1, 1, 1]])[:, :channels]
    axes = np.meshgrid(*[np.linspace(0, 1, steps) for steps in (2, 5, 3, 4, 2)[:channels]], indexing="ij")
    table = np.stack(axes, axis=-1) @ slopes.T
    at = np.array(places)[:, :channels]
    assert interpolated(table, at) == pytest.approx(at @ slopes.T, abs=1e-12)


@given(st.integers(1, 5), st.integers(0, 2**32 - 1))
def test_at_its_points_a_table_says_what_it_holds(channels: int, seed: int) -> None:
    shape = (3, 2, 4, 2, 3)[:channels]
    table = np.random.default_rng(seed).random((*shape, 3))
    axes = np.meshgrid(*[np.linspace(0, 1, steps) for steps in shape], indexing="ij")
    places = np.stack(axes, axis=-1).reshape(-1, channels)
    assert interpolated(table, places) == pytest.approx(table.reshape(-1, 3), abs=1e-12)


@given(st.integers(1, 5), st.integers(0, 2**32 - 1))
def test_between_its_points_a_table_stays_within_what_its_cell_holds(channels: int, seed: int) -> None:
    noise = np.random.default_rng(seed)
    table = noise.random((*[2] * channels, 1))
    found = interpolated(table, noise.random((50, channels)))
    assert found.min() >= table.min() - 1e-12
    assert found.max() <= table.max() + 1e-12


def test_lab_is_decoded_as_each_type_has_it() -> None:
    # ISO 15076-1, 6.3.4.2: L* of 100 is 255 in 8 bits, FF00h in lut16, FFFFh in lutAToB.
    grid8 = np.array([[255, 128, 0], [0, 255, 128]])
    assert Table(lut8(grid8), 1, "Lab")([[0.0], [1.0]]).tolist() == [[100, 0, -128], [0, 127, 0]]
    grid16 = np.array([[0xFF00, 0x8000, 0], [0, 0x8080, 0x8000]])
    assert Table(lut16(grid16), 1, "Lab")([[0.0], [1.0]]) == pytest.approx(
        np.array([[100, 0, -128], [0, 0.5, 0]])
    )
    grid = np.array([[FULL, 0x8080, 0], [0, FULL, 0x8080]])
    table = lut_a_to_b(inputs=1, a=[curv()], grid=grid, b=[curv()] * 3)
    assert Table(table, 1, "Lab")([[0.0], [1.0]]) == pytest.approx(np.array([[100, 0, -128], [0, 127, 0]]))


def test_xyz_is_decoded_to_a_white_of_1() -> None:
    # ISO 15076-1, table 11: 1.0 is 8000h.
    table = Table(lut16(np.array([[0x8000, FULL, 0], [0, 0, 0x4000]])), 1, "XYZ")
    assert table([[0.0], [1.0]]) == pytest.approx(np.array([[1, 1 + 32767 / 32768, 0], [0, 0, 0.5]]))


def test_a_tables_bits_are_known() -> None:
    assert Table(lut8(np.zeros((2, 3))), 1, "Lab").bits == 8
    assert Table(lut16(np.zeros((2, 3))), 1, "Lab").bits == 16


def test_curves_before_and_after_the_grid_are_looked_up() -> None:
    before = np.array([[0, 0, FULL]] * 3)
    after = np.array([[0, FULL], [0, 0], [FULL, 0]])
    found = encoded(lut16(IDENTITY, before, after), np.array([[0.75, 0.5, 0.5]]))
    assert found == pytest.approx(np.array([[0.5, 0, 1]]))
    half = np.tile(np.repeat([0, 255], 128), (3, 1))
    # Entry 127 is the last 0, entry 128 the first 255: halfway between them lies half.
    found = encoded(lut8(IDENTITY // 257, half), np.array([[127 / 255, 127.5 / 255, 128 / 255]]))
    assert found == pytest.approx(np.array([[0, 0.5, 1]]))


def test_device_values_beyond_their_range_are_taken_as_the_nearest() -> None:
    assert encoded(lut16(IDENTITY), np.array([[-1.0, 0.25, 2.0]])) == pytest.approx(np.array([[0, 0.25, 1]]))


@pytest.mark.parametrize("width", [1, 2])
def test_a_grid_has_numbers_of_one_byte_or_two(width: int) -> None:
    grid = IDENTITY if width == 2 else IDENTITY // 257
    table = lut_a_to_b(inputs=3, a=[curv()] * 3, grid=grid, width=width, b=[curv()] * 3)
    assert encoded(table, np.array([[0.2, 0.4, 0.6]])) == pytest.approx(np.array([[0.2, 0.4, 0.6]]))


def test_a_grid_may_have_other_steps_along_each_channel() -> None:
    axes = [np.linspace(0, FULL, steps) for steps in (2, 3, 5, 2)]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)[..., :3]
    table = lut_a_to_b(inputs=4, a=[curv()] * 4, grid=grid, b=[curv()] * 3)
    at = np.array([[0.2, 0.4, 0.6, 0.9]])
    assert encoded(table, at, channels=4) == pytest.approx(at[:, :3], abs=1e-4)


def test_the_stages_come_in_their_order() -> None:
    # A squares, the grid changes nothing, M squares again, the matrix halves and shifts, B takes the root.
    table = lut_a_to_b(
        inputs=3,
        a=[para(0, 2.0)] * 3,
        grid=IDENTITY,
        m=[curv(2 * 256)] * 3,
        matrix=[0.5, 0, 0, 0, 0.5, 0, 0, 0, 0.5, 0.25, 0.25, 0.25],
        b=[para(0, 0.5)] * 3,
    )
    at = np.array([[0.3, 0.6, 0.9]])
    assert encoded(table, at) == pytest.approx(np.sqrt(at**4 / 2 + 0.25), abs=1e-6)


def test_the_matrix_mixes_channels_row_by_row() -> None:
    table = lut_a_to_b(
        inputs=3, b=[curv()] * 3, m=[curv()] * 3, matrix=[0, 1, 0, 0, 0, 1, 0.5, 0, 0, 0, 0, 0]
    )
    assert encoded(table, np.array([[0.2, 0.4, 0.6]])) == pytest.approx(np.array([[0.4, 0.6, 0.1]]))


@pytest.mark.parametrize(
    ("curve", "expected"),
    [
        (curv(), lambda x: x),
        (curv(round(1.8 * 256)), lambda x: x ** (round(1.8 * 256) / 256)),
        (curv(0, FULL // 3, FULL), lambda x: np.interp(x, [0, 0.5, 1], [0, 1 / 3, 1])),
        (para(0, 2.25), lambda x: x**2.25),
        (para(1, 2.0, 1.25, -0.25), lambda x: np.where(x >= 0.2, (1.25 * x - 0.25) ** 2, 0)),
        (para(2, 2.0, 0.5, 0.25, 0.125), lambda x: (0.5 * x + 0.25) ** 2 + 0.125),
        (para(2, 2.0, 1.0, -0.5, 0.25), lambda x: np.where(x >= 0.5, (x - 0.5) ** 2, 0) + 0.25),
        (para(3, 2.0, 0.5, 0.5, 0.25, 0.5), lambda x: np.where(x >= 0.5, (0.5 * x + 0.5) ** 2, 0.25 * x)),
        (
            para(4, 2.0, 0.5, 0.25, 0.5, 0.5, 0.125, 0.0625),
            lambda x: np.where(x >= 0.5, (0.5 * x + 0.25) ** 2 + 0.125, 0.5 * x + 0.0625),
        ),
    ],
    ids=["none", "gamma", "sampled", "para 0", "para 1", "para 2 whole", "para 2 cut", "para 3", "para 4"],
)
def test_each_kind_of_curve(curve: bytes, expected: Callable[[np.ndarray], np.ndarray]) -> None:
    table = lut_a_to_b(inputs=3, b=[curve, curv(), curve])
    x = np.array([0.0, 0.1, 0.3, 0.5, 0.7, 1.0])
    found = encoded(table, np.stack([x, x, x[::-1]], axis=1))
    assert found[:, 0] == pytest.approx(expected(x), abs=1e-5)
    assert found[:, 1] == pytest.approx(x)
    assert found[::-1, 2] == pytest.approx(expected(x), abs=1e-5)


@pytest.mark.parametrize(
    ("table", "channels", "said"),
    [
        (b"mpet" + bytes(40), 3, "the table's type cannot be read: found b'mpet'"),
        (lut16(IDENTITY), 4, "the table's channels do not fit: found [3, 3], allowed [4, 3]"),
        (b"mft2", 3, "the table's channels do not fit: found [], allowed [3, 3]"),
        (lut16(IDENTITY)[:-1], 3, "the table is cut off: found 123 bytes, allowed 124 or more"),
        (lut16(np.zeros((1, 1, 1, 3))), 3, "the table's grid is too small: found [1, 1, 1] points"),
        (
            lut16(IDENTITY, before=np.array([[0]] * 3)),
            3,
            "the table's curves are too short: found 1 entries, allowed 2 or more",
        ),
        (lut_a_to_b(inputs=4, b=[curv()] * 3), 4, "a table of 4 channels has no grid"),
        (
            lut_a_to_b(inputs=3, a=[curv()] * 3, grid=IDENTITY, width=3, b=[curv()] * 3),
            3,
            "the table's numbers have no width: found b'\\x03', allowed 1 or 2 bytes",
        ),
        (
            lut_a_to_b(inputs=3, b=[para(5, 1.0)] * 3),
            3,
            "a curve's function is unknown: found 5, allowed 0 to 4",
        ),
        (lut_a_to_b(inputs=3, b=[b"text" + bytes(8)] * 3), 3, "a curve's type is unknown: found b'text'"),
        (lut_a_to_b(inputs=3, b=[curv(0, 1, 2)] * 3)[:-4], 3, "the table is cut off"),
        (lut_a_to_b(inputs=3, b=[para(0, 1.0)] * 3)[:-2], 3, "the table is cut off"),
    ],
)
def test_a_table_that_cannot_be_read_is_refused(table: bytes, channels: int, said: str) -> None:
    with pytest.raises(ProfileError) as refusal:
        Table(table, channels, "Lab")
    assert str(refusal.value).startswith(said)


def test_a_corner_of_four_channels_is_found() -> None:
    grid = np.arange(16 * 3).reshape(2, 2, 2, 2, 3)
    found = encoded(lut16(grid), corners(4), channels=4)
    assert np.rint(found * FULL).reshape(grid.shape).tolist() == grid.tolist()
