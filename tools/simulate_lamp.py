#!/usr/bin/env python3
"""Write the demo's lamp spectra: a blue diode and its phosphor, relative power with seeded noise.

Each file's header holds all that it was made from: `--check FILES` says which differ from their own headers.
"""

import argparse
import math
import random
import sys
from pathlib import Path

from tools.cgats import header, written
from tools.colour_tables import WAVELENGTHS_NM

__all__ = ["lamp_in", "power", "text_of"]

_FIELDS = ("SAMPLE_ID", "SAMPLE_NAME", *(f"SPECTRAL_NM{wavelength}" for wavelength in WAVELENGTHS_NM))


def power(blue: float, phosphor_nm: float) -> list[float]:
    """Return relative spectral power at 380 to 730 nm without noise, the phosphor's peak being 100.

    Parameters
    ----------
    blue : float
        Height of the diode's blue peak, the phosphor's being 100.
    phosphor_nm : float
        Where the phosphor peaks, in nm.
    """

    def at(wavelength: int) -> float:
        diode = blue * math.exp(-(((wavelength - 452) / 11) ** 2) / 2)
        width = 44 if wavelength < phosphor_nm else 62
        return diode + 100 * math.exp(-(((wavelength - phosphor_nm) / width) ** 2) / 2)

    return [at(wavelength) for wavelength in WAVELENGTHS_NM]


def text_of(said: dict[str, str]) -> str:
    """Return the file of a header; the same header gives the same bytes."""
    drawn = random.Random(int(said["SIMULATED_SEED"]))  # noqa: S311 (noise is no secret)
    spread = float(said["SIMULATED_NOISE_PCT"]) / 100
    clean = power(float(said["SIMULATED_BLUE"]), float(said["SIMULATED_PHOSPHOR_NM"]))
    noisy = [value * (1 + spread * (2 * drawn.random() - 1)) for value in clean]
    return written(said, _FIELDS, [["1", "lamps", *(f"{value:.3f}" for value in noisy)]])


def lamp_in(descriptor: str, created: str, blue: float, phosphor_nm: float, seed: int) -> dict[str, str]:
    """Return the header of a lamp's file."""
    return {
        "ORIGINATOR": "litstock demo, simulated",
        "DESCRIPTOR": descriptor,
        "CREATED": created,
        "INSTRUMENTATION": "bench-spectro at mill-lane, emission head, 10 nm (simulated)",
        "MEASUREMENT_SOURCE": "the display itself, read at the bare diffuser, relative spectral power",
        "REMARK": "simulated, nothing was measured: a Gaussian blue diode at 452 nm and a two-sided Gaussian "
        f"phosphor; noise evenly spread within 1 % of each reading, seed {seed}",
        "SIMULATED_BLUE": f"{blue:g}",
        "SIMULATED_PHOSPHOR_NM": f"{phosphor_nm:g}",
        "SIMULATED_NOISE_PCT": "1",
        "SIMULATED_SEED": str(seed),
    }


def main(arguments: list[str]) -> int:
    """Return 1 when a checked file differs from what its header says."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--check", nargs="+", type=Path, metavar="FILE", help="files to check")
    parser.add_argument("-o", type=Path, dest="output", help="file to write")
    parser.add_argument("--descriptor", default="lamps of a light box")
    parser.add_argument("--created", default="2025-05-01")
    parser.add_argument("--blue", type=float, default=110)
    parser.add_argument("--phosphor-nm", type=float, default=575)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(arguments)
    if given.output:
        said = lamp_in(given.descriptor, given.created, given.blue, given.phosphor_nm, given.seed)
        given.output.write_bytes(text_of(said).encode())
    differing = [
        path
        for path in given.check or ()
        if text_of(header(path.read_text(encoding="utf-8"))).encode() != path.read_bytes()
    ]
    for path in differing:
        print(f"{path} differs from what its header says")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
