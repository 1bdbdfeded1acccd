#!/usr/bin/env python3
"""Write the demo's measurements: patches of a print as the physical model has them, with seeded noise.

Each file's header holds all that it was made from, so it can be made again: `--again FILES` rewrites files
from their own headers, `--again --check FILES` only says which differ.
"""

import argparse
import math
import random
import sys
from dataclasses import dataclass, fields, replace
from pathlib import Path

import numpy as np

from tools.cgats import header, written
from tools.colour_tables import DENSITY_PRODUCTS, WAVELENGTHS_NM
from tools.simulated_ink import MODEL, Array, density, lab, printed, white, xyz

__all__ = ["PATCHES", "Sample", "sample_in", "spectra_of", "text_of"]

_STEPS = (25, 50, 75)
_OVERPRINTS = {
    "CM": (100, 100, 0, 0),
    "CY": (100, 0, 100, 0),
    "MY": (0, 100, 100, 0),
    "CMY": (100, 100, 100, 0),
}


def _patches() -> dict[str, tuple[int, int, int, int]]:
    inks = {"C": 0, "M": 1, "Y": 2, "K": 3}

    def tone(ink: str, percent: int) -> tuple[int, int, int, int]:
        c, m, y, k = (percent if place == inks[ink] else 0 for place in range(4))
        return c, m, y, k

    solids = {f"{ink}100": tone(ink, 100) for ink in inks}
    steps = {f"{ink}{step}": tone(ink, step) for ink in inks for step in _STEPS}
    return {"paper": (0, 0, 0, 0), **solids, **_OVERPRINTS, **steps}


PATCHES = _patches()
"""Name and tone values (C, M, Y, K in %) of the patches in every file, in their order."""

_FIELDS = (
    *("SAMPLE_ID", "SAMPLE_NAME", "CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K"),
    *DENSITY_PRODUCTS,
    *("LAB_L", "LAB_A", "LAB_B", "XYZ_X", "XYZ_Y", "XYZ_Z"),
    *(f"SPECTRAL_NM{wavelength}" for wavelength in WAVELENGTHS_NM),
)


@dataclass(frozen=True, slots=True)
class Sample:
    """All that a simulated measurement is made from; each field is one keyword of its header."""

    descriptor: str
    created: str
    print_conditions: str
    """Mode, revision and what it says of ink and motion, for people."""
    instrumentation: str
    geometry: str
    """Also which face looks to the source."""
    kind: str
    """transmission or reflection."""
    white_pct: float
    """Luminous transmittance or reflectance of what carries the ink, a white layer included, in %."""
    tint_pct: float
    """Blue at 430 nm that the white lacks against the red at 700 nm, in %."""
    load_pct: float
    solid_density: float
    """At the band's peak, light passing once, at 100 % load."""
    noise_density: float
    """Standard deviation of the noise of each reading, as optical density."""
    seed: int


_KEYWORDS = {
    "descriptor": "DESCRIPTOR",
    "created": "CREATED",
    "print_conditions": "PRINT_CONDITIONS",
    "instrumentation": "INSTRUMENTATION",
    "geometry": "MEASUREMENT_GEOMETRY",
    "kind": "SIMULATED_KIND",
    "white_pct": "SIMULATED_WHITE_PCT",
    "tint_pct": "SIMULATED_TINT_PCT",
    "load_pct": "SIMULATED_LOAD_PCT",
    "solid_density": "SIMULATED_SOLID_DENSITY",
    "noise_density": "SIMULATED_NOISE_DENSITY",
    "seed": "SIMULATED_SEED",
}
_CONDITIONS = {
    "transmission": {
        "MEASUREMENT_SOURCE": "XYZ for D50 and 2 degrees, computed from spectra; zero is the open gate (air)",
        "COMPUTATIONAL_PARAMETER": "LAB against the perfect transmitter under D50, not the lit white",
    },
    "reflection": {
        "MEASUREMENT_SOURCE": "ISO 13655 M1 (D50), 2 degrees; zero is the perfect diffuser",
        "SAMPLE_BACKING": "white, ISO 13655",
        "COMPUTATIONAL_PARAMETER": "LAB against the perfect diffuser under D50",
    },
}
_RESPONSE = "ISO visual and Status A, 10 nm spectral product, not ISO 5-3 conforming"


def spectra_of(sample: Sample) -> Array:
    """Return the patches' spectra as the model has them, without noise, as fractions."""
    return printed(
        white(sample.white_pct, sample.tint_pct),
        np.array(list(PATCHES.values()), dtype=np.float64),
        sample.solid_density * sample.load_pct / 100,
        twice=sample.kind == "reflection",
    )


def text_of(sample: Sample) -> str:
    """Return the file of a sample; the same sample gives the same bytes."""
    spectra = np.minimum(spectra_of(sample) * 10 ** -_noise(sample), 1.0)
    tristimulus = xyz(spectra)
    densities = np.stack([density(spectra, response) for response in DENSITY_PRODUCTS], axis=1)
    table = [
        [
            *(str(number), name, *map(str, tones)),
            *(f"{value:.3f}" for value in densities[number - 1]),
            *(f"{value:.2f}" for value in lab(tristimulus[number - 1])),
            *(f"{value:.3f}" for value in tristimulus[number - 1]),
            *(f"{value:.6f}" for value in spectra[number - 1]),
        ]
        for number, (name, tones) in enumerate(PATCHES.items(), 1)
    ]
    return written(_header(sample), _FIELDS, table)


def sample_in(text: str) -> Sample:
    """Return the sample that stands in the header of a file."""
    said = header(text)
    kinds = {field.name: field.type for field in fields(Sample)}
    values = {name: kinds[name](said[keyword]) for name, keyword in _KEYWORDS.items()}  # type: ignore[operator]
    return Sample(**values)


def _header(sample: Sample) -> dict[str, str]:
    said = {keyword: _shown(getattr(sample, name)) for name, keyword in _KEYWORDS.items()}
    people = {keyword: value for keyword, value in said.items() if not keyword.startswith("SIMULATED")}
    machine = {keyword: value for keyword, value in said.items() if keyword.startswith("SIMULATED")}
    return {
        "ORIGINATOR": "litstock demo, simulated",
        **people,
        **_CONDITIONS[sample.kind],
        "WEIGHTING_FUNCTION": _RESPONSE,
        "REMARK": f"simulated, nothing was measured: {MODEL}; Gaussian noise of {sample.noise_density} "
        f"density on each reading, seed {sample.seed}",
        **machine,
    }


def _shown(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:g}"


def _noise(sample: Sample) -> Array:
    """Return noise by Box and Muller from Python's own generator, whose numbers are the same everywhere."""
    drawn = random.Random(sample.seed)  # noqa: S311 (noise is no secret)

    def one() -> float:
        return math.sqrt(-2 * math.log(1 - drawn.random())) * math.cos(2 * math.pi * drawn.random())

    readings = [[one() for _ in WAVELENGTHS_NM] for _ in PATCHES]
    return np.array(readings, dtype=np.float64) * sample.noise_density


def _again(paths: list[Path], *, check: bool) -> int:
    differing = 0
    for path in paths:
        text = text_of(sample_in(path.read_text(encoding="utf-8")))
        if text.encode() != path.read_bytes():
            differing += 1
            print(f"{path} differs from what its header says")
            if not check:
                path.write_bytes(text.encode())
    return 1 if check and differing else 0


def main(arguments: list[str]) -> int:
    """Return 0, or 1 when a checked file differs from what its header says."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("files", nargs="*", type=Path, metavar="FILE", help="files to make again")
    parser.add_argument("--again", action="store_true", help="make FILEs again from their own headers")
    parser.add_argument("--check", action="store_true", help="with --again: only say which differ")
    parser.add_argument("--like", type=Path, help="file whose header gives what is not named here")
    parser.add_argument("-o", type=Path, dest="output", help="file to write")
    for field in fields(Sample):
        parser.add_argument("--" + field.name.replace("_", "-"), type=field.type)
    given = parser.parse_args(arguments)
    if given.again:
        return _again(given.files, check=given.check)
    if not given.output:
        parser.error("name the file to write with -o")
    said = {field.name: getattr(given, field.name) for field in fields(Sample)}
    said = {name: value for name, value in said.items() if value is not None}
    sample = (
        replace(sample_in(given.like.read_text(encoding="utf-8")), **said) if given.like else Sample(**said)
    )
    given.output.write_bytes(text_of(sample).encode())
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
