"""A profile's tables that turn device values into colours (ISO 15076-1: lut8, lut16 and lutAToB types)."""

from collections.abc import Callable, Iterator
from itertools import accumulate, product
from math import prod

import numpy as np
import numpy.typing as npt

from registry.light.fraction import Array
from registry.light.icc import ProfileError

__all__ = ["Table", "interpolated"]

Stage = Callable[[Array], Array]

_WIDTHS = {b"mft1": 1, b"mft2": 2}
# ISO 15076-1, table 11 and 6.3.4: what an encoded value of 1 stands for, and from where it counts. The 16-bit
# Lab of lut16 is the one of version 2, in every version.
_LAB = {
    b"mft1": ((100.0, 255.0, 255.0), (0.0, 128.0, 128.0)),
    b"mft2": ((65535 / 652.8, 65535 / 256, 65535 / 256), (0.0, 128.0, 128.0)),
    b"mAB ": ((100.0, 255.0, 255.0), (0.0, 128.0, 128.0)),
}
_XYZ = ((65535 / 32768,) * 3, (0.0,) * 3)
_TETRAHEDRAL = 3


class Table:
    """A table from device values to the profile connection space.

    Parameters
    ----------
    data : bytes
        A tag's whole content, of type lut8 (`mft1`), lut16 (`mft2`) or lutAToB (`mAB `).
    channels : int
        Device channels that the profile's colour space has.
    space : str
        Profile connection space, Lab or XYZ.

    Raises
    ------
    ProfileError
        Another type, another number of channels, or parts that lie beyond the tag.

    Notes
    -----
    Source: ISO 15076-1:2010, 10.8 to 10.10; curves 10.5 and 10.15. Between a table's points the last three
    channels are interpolated tetrahedrally and those before them linearly, in floating point; the standard
    leaves the interpolation open, and engines differ by a few hundredths of ΔE00 in the mean. Left out:
    multi-processing elements (`D2B`), matrix-and-curve profiles.
    """

    def __init__(self, data: bytes, channels: int, space: str) -> None:
        kind = data[:4]
        if kind not in _LAB:
            allowed = ", ".join(repr(name) for name in _LAB)
            raise ProfileError(f"the table's type cannot be read: found {kind!r}, allowed {allowed}")
        if len(data) < 32 or tuple(data[8:10]) != (channels, 3):
            raise ProfileError(
                f"the table's channels do not fit: found {[*data[8:10]]}, allowed {[channels, 3]}"
            )
        self.bits: int = 8 if kind == b"mft1" else 16
        """Of the narrowest numbers in it; 8 hold a colour to 0.4 in L*, and to 1 in a* and b*."""
        self._scale, self._offset = map(np.array, _XYZ if space == "XYZ" else _LAB[kind])
        self._stages = [*(_variable(data, channels) if kind == b"mAB " else _fixed(data, channels))]

    def __call__(self, device: npt.ArrayLike) -> Array:
        """Return Lab, or XYZ where a perfect white has Y = 1, of device values.

        Parameters
        ----------
        device : array_like, shape (m, channels)
            Fractions, 0 to 1; what lies outside is taken as the nearest.
        """
        values = np.clip(np.asarray(device, dtype=np.float64), 0, 1)
        for stage in self._stages:
            values = stage(values)
        answer: Array = values * self._scale - self._offset
        return answer


def interpolated(table: Array, at: npt.ArrayLike) -> Array:
    """Return values between the points of a table.

    Parameters
    ----------
    table : array, shape (g1, …, gn, k)
        Values at evenly spaced points of n axes, two or more an axis.
    at : array_like, shape (m, n)
        Places, 0 to 1 along each axis.

    Returns
    -------
    array, shape (m, k)
        Tetrahedral in the last three axes, linear in those before them.

    Notes
    -----
    Source: tetrahedral interpolation, J. M. Kasson et al., J. Electron. Imaging 4 (1995) 226-250.

    Examples
    --------
    >>> table = np.array([[[0.0], [10.0]], [[100.0], [130.0]]])
    >>> interpolated(table, [[0.5, 0.25]])
    array([[57.5]])
    """
    cells = np.array(table.shape[:-1]) - 1
    places = np.asarray(at, dtype=np.float64) * cells
    corner = np.minimum(places.astype(np.intp), cells - 1)
    rest = places - corner
    outer = max(len(cells) - _TETRAHEDRAL, 0)
    answer = np.zeros((len(places), table.shape[-1]))
    for step in product((0, 1), repeat=outer):
        share = np.prod(np.where(step, rest[:, :outer], 1 - rest[:, :outer]), axis=1, keepdims=True)
        answer += share * _tetrahedral(
            table, corner + np.array([*step, *[0] * (len(cells) - outer)]), rest, outer
        )
    return answer


def _tetrahedral(table: Array, corner: npt.NDArray[np.intp], rest: Array, outer: int) -> Array:
    """Walk from one corner of a cell to the opposite one, along the axis with the most left first."""
    order = np.argsort(-rest[:, outer:], axis=1, kind="stable") + outer
    left = np.take_along_axis(rest, order, axis=1)
    at, rows = corner.copy(), np.arange(len(corner))
    value = table[tuple(at.T)]
    answer: Array = value.copy()
    for step in range(order.shape[1]):
        at[rows, order[:, step]] += 1
        value, before = table[tuple(at.T)], value
        answer += left[:, step, np.newaxis] * (value - before)
    return answer


def _fixed(data: bytes, channels: int) -> Iterator[Stage]:
    """Yield the stages of lut8 and lut16: input tables, grid, output tables."""
    width, points = _WIDTHS[data[:4]], data[10]
    entries, start = ((256, 256), 48) if width == 1 else ((_short(data, 48), _short(data, 50)), 52)
    shape = (points,) * channels
    sizes = (channels * entries[0], points**channels * 3, 3 * entries[1])
    ends = [start + width * size for size in accumulate(sizes)]
    before, grid, after = (
        _numbers(data, end - width * size, size, width) for end, size in zip(ends, sizes, strict=True)
    )
    if min(entries) < 2:
        raise ProfileError(
            f"the table's curves are too short: found {min(entries)} entries, allowed 2 or more"
        )
    yield _sampled(before.reshape(channels, -1))
    yield _grid(grid, shape)
    yield _sampled(after.reshape(3, -1))


def _variable(data: bytes, channels: int) -> Iterator[Stage]:
    """Yield the stages of a lutAToB: A curves, grid, M curves, matrix, B curves, where there are such."""
    b_curves, matrix, m_curves, grid, a_curves = (_long(data, at) for at in range(12, 32, 4))
    if a_curves:
        yield _curves(data, a_curves, channels)
    if grid:
        shape, width = tuple(data[grid : grid + channels]), data[grid + 16 : grid + 17]
        if len(shape) < channels or width not in {b"\x01", b"\x02"}:
            raise ProfileError(f"the table's numbers have no width: found {width!r}, allowed 1 or 2 bytes")
        yield _grid(_numbers(data, grid + 20, prod(shape) * 3, width[0]), shape)
    elif channels != 3:
        raise ProfileError(f"a table of {channels} channels has no grid")
    if m_curves:
        yield _curves(data, m_curves, 3)
    if matrix:
        numbers = _fixed_point(data, matrix, 12)
        yield lambda values: np.clip(values @ numbers[:9].reshape(3, 3).T + numbers[9:], 0, 1)
    if b_curves:
        yield _curves(data, b_curves, 3)


def _grid(numbers: Array, shape: tuple[int, ...]) -> Stage:
    if min(shape) < 2:
        raise ProfileError(f"the table's grid is too small: found {[*shape]} points, allowed 2 or more")
    table = numbers.reshape((*shape, 3))
    return lambda values: interpolated(table, values)


def _sampled(curves: Array) -> Stage:
    """Return the stage that looks each channel up in its own row of evenly spaced values."""
    places = np.linspace(0, 1, curves.shape[1])
    return lambda values: np.stack(
        [np.interp(channel, places, curve) for channel, curve in zip(values.T, curves, strict=True)], axis=1
    )


def _curves(data: bytes, at: int, count: int) -> Stage:
    curves = []
    for _ in range(count):
        curve, size = _curve(data, at)
        curves.append(curve)
        at += size + -size % 4
    return lambda values: np.stack(
        [np.clip(curve(channel), 0, 1) for channel, curve in zip(values.T, curves, strict=True)], axis=1
    )


def _curve(data: bytes, at: int) -> tuple[Stage, int]:
    """Return one curve and its size in bytes."""
    kind, count = data[at : at + 4], _long(data, at + 8)
    if kind == b"para":
        function = _short(data, at + 8)
        if function not in _PARAMETERS:
            raise ProfileError(f"a curve's function is unknown: found {function}, allowed 0 to 4")
        numbers = _fixed_point(data, at + 12, _PARAMETERS[function])
        return _parametric(function, numbers), 12 + 4 * len(numbers)
    if kind != b"curv":
        raise ProfileError(f"a curve's type is unknown: found {kind!r}, allowed {b'curv'!r}, {b'para'!r}")
    if count == 0:
        return (lambda x: x), 12
    if count == 1:
        gamma = _short(data, at + 12) / 256
        return (lambda x: x**gamma), 14
    samples = _numbers(data, at + 12, count, 2)
    return (lambda x: np.interp(x, np.linspace(0, 1, count), samples)), 12 + 2 * count


_PARAMETERS = {0: 1, 1: 3, 2: 4, 3: 5, 4: 7}


def _parametric(function: int, numbers: Array) -> Stage:
    """Return a parametric curve: (a·x + b)^g + e from d on, c·x + f below (ISO 15076-1, table 68)."""
    g, a, b, c, d, e, f = [*numbers.tolist(), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0][:7]
    if function == 0:
        a = 1.0
    elif function in {1, 2}:
        # Only a constant below the place where a·x + b begins; in function 2 it is added above it too.
        c, d, e, f = 0.0, (-b / a if a else 0.0), c, c

    def stage(x: Array) -> Array:
        # Numbers that no curve has may run over; what they give is cut to 0 to 1 all the same.
        with np.errstate(over="ignore", divide="ignore"):
            answer: Array = np.where(x >= d, np.maximum(a * x + b, 0) ** g + e, c * x + f)
        return answer

    return stage


def _numbers(data: bytes, at: int, count: int, width: int) -> Array:
    """Return unsigned numbers as fractions of the largest."""
    if at + count * width > len(data):
        raise ProfileError(
            f"the table is cut off: found {len(data)} bytes, allowed {at + count * width} or more"
        )
    kind = ">u2" if width == 2 else "u1"
    answer: Array = np.frombuffer(data, kind, count, at) / np.float64(256**width - 1)
    return answer


def _fixed_point(data: bytes, at: int, count: int) -> Array:
    if at + count * 4 > len(data):
        raise ProfileError(f"the table is cut off: found {len(data)} bytes, allowed {at + count * 4} or more")
    answer: Array = np.frombuffer(data, ">i4", count, at) / np.float64(65536)
    return answer


def _short(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 2])


def _long(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 4])
