"""ICC profiles made for tests, byte by byte after ISO 15076-1: each table type, with round numbers in it."""

import struct
from collections.abc import Sequence

import numpy as np

__all__ = ["curv", "lut8", "lut16", "lut_a_to_b", "para", "profile", "white"]

D50 = (0.9642, 1.0, 0.8249)


def profile(
    tags: dict[str, bytes],
    *,
    space: bytes = b"CMYK",
    connection: bytes = b"Lab ",
    kind: bytes = b"prtr",
    version: tuple[int, int] = (4, 3),
    intent: int = 0,
    transparency: bool = False,
) -> bytes:
    """Return a profile of these tags, and of what else a profile must have."""
    tags = {"desc": _text("made for a test", version), "cprt": _text("none", version)} | tags
    at = 128 + 4 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for name, content in tags.items():
        table += struct.pack(">4sII", name.encode(), at + len(body), len(content))
        body += content + bytes(-len(content) % 4)
    header = struct.pack(
        ">I4sBB2x4s4s4s6H4s4sI4s4sQI12s4s44x",
        *(at + len(body), b"\0" * 4, version[0], version[1] << 4, kind, space, connection),
        *(2026, 1, 1, 0, 0, 0, b"acsp", b"\0" * 4, 0, b"\0" * 4, b"\0" * 4),
        *(int(transparency), intent, fixed(*D50), b"\0" * 4),
    )
    return header + table + body


def fixed(*values: float) -> bytes:
    return struct.pack(f">{len(values)}i", *(round(value * 65536) for value in values))


def white(*xyz: float) -> bytes:
    return b"XYZ \0\0\0\0" + fixed(*xyz)


def lut8(grid: np.ndarray, before: np.ndarray | None = None) -> bytes:
    """Return a table of 8 bits, from a grid (g, …, g, 3) of numbers from 0 to 255."""
    inputs = grid.ndim - 1
    straight = np.arange(256)
    first = np.tile(straight, inputs) if before is None else before.ravel()
    start = b"mft1\0\0\0\0" + bytes([inputs, 3, len(grid), 0]) + fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    return start + _bytes(first, "u1") + _bytes(grid, "u1") + _bytes(np.tile(straight, 3), "u1")


def lut16(grid: np.ndarray, before: np.ndarray | None = None, after: np.ndarray | None = None) -> bytes:
    """Return a table of 16 bits, from a grid (g, …, g, 3) and curves (channels, entries) from 0 to 65535."""
    inputs = grid.ndim - 1
    straight = np.array([0, 65535])
    first = np.tile(straight, (inputs, 1)) if before is None else before
    last = np.tile(straight, (3, 1)) if after is None else after
    start = b"mft2\0\0\0\0" + bytes([inputs, 3, len(grid), 0]) + fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    sizes = struct.pack(">HH", first.shape[1], last.shape[1])
    return start + sizes + _bytes(first, ">u2") + _bytes(grid, ">u2") + _bytes(last, ">u2")


def lut_a_to_b(
    *,
    inputs: int,
    a: Sequence[bytes] = (),
    grid: np.ndarray | None = None,
    width: int = 2,
    m: Sequence[bytes] = (),
    matrix: Sequence[float] = (),
    b: Sequence[bytes] = (),
) -> bytes:
    """Return a table of version 4, with the stages that are given."""
    parts = {"b": _padded(b), "matrix": fixed(*matrix), "m": _padded(m), "grid": b"", "a": _padded(a)}
    if grid is not None:
        shape = bytes(grid.shape[:-1]).ljust(16, b"\0") + bytes([width, 0, 0, 0])
        numbers = _bytes(grid, ">u2" if width == 2 else "u1")
        parts["grid"] = shape + numbers + bytes(-len(numbers) % 4)
    offsets, body = [], b""
    for part in parts.values():
        offsets.append(32 + len(body) if part else 0)
        body += part
    return b"mAB \0\0\0\0" + bytes([inputs, 3, 0, 0]) + struct.pack(">5I", *offsets) + body


def curv(*entries: int) -> bytes:
    return b"curv\0\0\0\0" + struct.pack(f">I{len(entries)}H", len(entries), *entries)


def para(function: int, *numbers: float) -> bytes:
    return b"para\0\0\0\0" + struct.pack(">HH", function, 0) + fixed(*numbers)


def _padded(curves: Sequence[bytes]) -> bytes:
    return b"".join(curve + bytes(-len(curve) % 4) for curve in curves)


def _bytes(values: np.ndarray, kind: str) -> bytes:
    return np.asarray(values).astype(kind).tobytes()


def _text(text: str, version: tuple[int, int]) -> bytes:
    if version[0] >= 4:
        wide = text.encode("utf-16-be")
        return b"mluc\0\0\0\0" + struct.pack(">II2s2sII", 1, 12, b"en", b"US", len(wide), 28) + wide
    narrow = text.encode("ascii") + b"\0"
    return b"desc\0\0\0\0" + struct.pack(">I", len(narrow)) + narrow + bytes(4 + 4 + 2 + 1 + 67)
