#!/usr/bin/env python3
"""Write the demo's ICC profiles (ICC.1:2001-04, version 2.4): CMYK output profiles of the physical model.

Only what the demo needs: 8-bit tables, relative to the white of the print, one table for every intent. Each
profile's description holds all that it was made from: `--check FILES` says which differ from theirs.
"""

import argparse
import re
import struct
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tools.simulated_ink import Array, lab, printed, white, xyz

__all__ = ["Press", "colours", "press_in", "profile_of", "separate"]

_TONES = 5
_LAB_STEPS = 9
_HEADER_BYTES = 128
_D50 = (0.9642, 1.0, 0.8249)


@dataclass(frozen=True, slots=True)
class Press:
    """All that a profile is made from; it stands in the profile's own description."""

    name: str
    white_pct: float
    tint_pct: float
    load_pct: float
    solid_density: float
    total_pct: float
    """Largest sum of channels that a separation may ask for."""
    backlit: bool

    @property
    def description(self) -> str:
        """Return what the profile says of itself."""
        seen = "transmission" if self.backlit else "reflection"
        return (
            f"{self.name}, {seen}, white {self.white_pct:g} % tint {self.tint_pct:g} % "
            f"load {self.load_pct:g} % solid {self.solid_density:g} total {self.total_pct:g} % (simulated)"
        )


_DESCRIBED = re.compile(
    r"(.*), (transmission|reflection), white ([\d.]+) % tint ([\d.]+) % "
    r"load ([\d.]+) % solid ([\d.]+) total ([\d.]+) % \(simulated\)"
)


def press_in(profile: bytes) -> Press:
    """Return what a profile of this writer says it was made from."""
    at = profile.index(b"desc", _HEADER_BYTES + 4 + 12 * profile[131])
    length = struct.unpack(">I", profile[at + 8 : at + 12])[0]
    found = _DESCRIBED.fullmatch(profile[at + 12 : at + 11 + length].decode("ascii"))
    if not found:
        raise ValueError("the description is none of this writer's")
    name, seen = found.groups()[:2]
    bare, tint, load, solid, total = (float(number) for number in found.groups()[2:])
    return Press(name, bare, tint, load, solid, total, seen == "transmission")


def colours(press: Press, cmyk_pct: Array) -> Array:
    """Return CIELAB of tone values (n, 4) in %, against the white of the print."""
    base = white(press.white_pct, press.tint_pct)
    solid = press.solid_density * press.load_pct / 100
    return lab(
        xyz(printed(base, cmyk_pct, solid, twice=not press.backlit)),
        xyz(printed(base, np.zeros((1, 4)), solid, twice=not press.backlit))[0],
    )


def separate(press: Press, wanted: Array) -> Array:
    """Return tone values (n, 4) in % for CIELAB (n, 3), black by lightness, the rest by ever finer steps."""
    tones = np.zeros((len(wanted), 4))
    tones[:, 3] = 96 * np.clip((70 - wanted[:, 0]) / 62, 0, 1) ** 1.3
    best = _miss(press, tones, wanted)
    for step in (50, 25, 12.5, 12.5, 6.25, 6.25, 3.125, 1.5625, 0.78125, 0.390625):
        for channel in (0, 1, 2, 0, 1, 2):
            for sign in (1, -1):
                tried = tones.copy()
                tried[:, channel] = np.clip(tried[:, channel] + sign * step, 0, 100)
                miss = _miss(press, tried, wanted)
                better = miss < best
                tones[better], best[better] = tried[better], miss[better]
    return tones


def _miss(press: Press, tones: Array, wanted: Array) -> Array:
    """Return squared colour differences; what goes beyond the total is out of the question."""
    missed = ((colours(press, tones) - wanted) ** 2).sum(axis=1)
    # Rounded, so that a last bit that differs between machines decides nothing.
    answer: Array = np.where(tones.sum(axis=1) > press.total_pct, np.inf, np.round(missed, 6))
    return answer


def profile_of(press: Press) -> bytes:
    """Return the profile; the same press gives the same bytes."""
    tones = _grid(4, _TONES, 100)
    labs = _grid(3, _LAB_STEPS, 255)
    wanted = np.stack([labs[:, 0] * 100 / 255, labs[:, 1] - 128, labs[:, 2] - 128], axis=1)
    inks = separate(press, wanted)
    lost = np.sqrt(((colours(press, inks) - wanted) ** 2).sum(axis=1))
    forward = _lut8(4, 3, _TONES, _lab8(colours(press, tones)))
    back = _lut8(3, 4, _LAB_STEPS, np.round(inks * 2.55))
    outside = _lut8(3, 1, _LAB_STEPS, np.where(lost > 5, 255.0, 0.0)[:, np.newaxis])
    seen = xyz(printed(white(press.white_pct, press.tint_pct), np.zeros((1, 4)), 0, twice=not press.backlit))
    tags = {
        "desc": _description(press.description),
        "cprt": b"text\0\0\0\0no copyright, invented demo data\0",
        "wtpt": b"XYZ \0\0\0\0" + _xyz_numbers(*(seen[0] / 100)),
        **dict.fromkeys(("A2B0", "A2B1", "A2B2"), forward),
        **dict.fromkeys(("B2A0", "B2A1", "B2A2"), back),
        "gamt": outside,
    }
    return _file(tags, transparency=press.backlit)


def _grid(channels: int, steps: int, top: float) -> Array:
    """Return every combination of even steps from 0 to `top`, the first channel changing slowest."""
    values = np.linspace(0, top, steps)
    mesh = np.meshgrid(*[values] * channels, indexing="ij")
    return np.stack([axis.ravel() for axis in mesh], axis=1).astype(np.float64)


def _lab8(labs: Array) -> Array:
    encoded = np.asarray(labs * (2.55, 1, 1) + (0, 128, 128), dtype=np.float64)
    answer: Array = np.rint(encoded.clip(0, 255))
    return answer


def _lut8(inputs: int, outputs: int, steps: int, table: Array) -> bytes:
    identity = struct.pack(">9i", *(65536 if place % 4 == 0 else 0 for place in range(9)))
    straight = bytes(range(256))
    start = b"mft1\0\0\0\0" + bytes([inputs, outputs, steps, 0]) + identity + straight * inputs
    return start + table.astype(np.uint8).tobytes() + straight * outputs


def _description(text: str) -> bytes:
    ascii_text = text.encode("ascii") + b"\0"
    # No Unicode and no script version: two counts of 0, then the 67 bytes that the format keeps for it.
    return b"desc\0\0\0\0" + struct.pack(">I", len(ascii_text)) + ascii_text + bytes(4 + 4 + 2 + 1 + 67)


def _xyz_numbers(*values: float) -> bytes:
    return struct.pack(">3i", *(round(value * 65536) for value in values))


def _file(tags: dict[str, bytes], *, transparency: bool) -> bytes:
    table, body = struct.pack(">I", len(tags)), b""
    offsets: dict[bytes, int] = {}
    start = _HEADER_BYTES + 4 + 12 * len(tags)
    for name, content in tags.items():
        if content not in offsets:
            offsets[content] = start + len(body)
            body += content + bytes(-len(content) % 4)
        table += name.encode() + struct.pack(">II", offsets[content], len(content))
    header = struct.pack(
        ">I4sI4s4s4s6H4s4sI4s4sQI12s4s44x",
        start + len(body),
        b"\0" * 4,  # no preferred module
        0x02400000,
        b"prtr",
        b"CMYK",
        b"Lab ",
        *(2025, 5, 1, 0, 0, 0),
        b"acsp",
        b"\0" * 4,  # no platform
        0,
        b"\0" * 4,  # no manufacturer
        b"\0" * 4,  # no model
        1 if transparency else 0,
        1,  # media-relative colorimetric
        _xyz_numbers(*_D50),
        b"\0" * 4,  # no creator
    )
    return header + table + body


def main(arguments: list[str]) -> int:
    """Return 1 when a checked profile differs from what its description says."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--check", nargs="+", type=Path, metavar="FILE", help="profiles to check")
    parser.add_argument("-o", type=Path, dest="output", help="profile to write")
    parser.add_argument("--name", default="demo")
    for name, usual in (("white-pct", 38), ("tint-pct", 3), ("load-pct", 200), ("solid-density", 0.72)):
        parser.add_argument(f"--{name}", type=float, default=usual)
    parser.add_argument("--total-pct", type=float, default=240)
    parser.add_argument("--reflection", action="store_true", help="front-lit, not backlit")
    given = vars(parser.parse_args(arguments))
    checked, output, reflection = given.pop("check"), given.pop("output"), given.pop("reflection")
    if output:
        output.write_bytes(profile_of(Press(**given, backlit=not reflection)))
    differing = [
        path for path in checked or () if profile_of(press_in(path.read_bytes())) != path.read_bytes()
    ]
    for path in differing:
        print(f"{path} differs from what its description says")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
