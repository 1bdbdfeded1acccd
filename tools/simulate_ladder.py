#!/usr/bin/env python3
"""Write the demo's ladder of ink loads: solids as the physical model has them, with seeded noise.

Each file's header holds all that it was made from: `--again FILES` rewrites files from their own headers,
`--again --check FILES` only says which differ.
"""

import argparse
import math
import random
import sys
from dataclasses import dataclass, fields
from pathlib import Path

import numpy as np

from tools.cgats import header, written
from tools.colour_tables import WAVELENGTHS_NM
from tools.simulated_ink import MODEL, Array, printed, white

__all__ = ["Ladder", "Rung", "ladder_in", "rungs_of", "spectra_of", "text_of"]

_INKS = {"C": (0,), "M": (1,), "Y": (2,), "K": (3,), "CMY": (0, 1, 2)}
_FIELDS = (
    *("SAMPLE_ID", "SAMPLE_NAME", "INK", "LOAD_PCT", "PASSES", "DRIED", "REWET", "MOTTLE"),
    *(f"SPECTRAL_NM{wavelength}" for wavelength in WAVELENGTHS_NM),
)


@dataclass(frozen=True, slots=True)
class Ladder:
    """All that a simulated ladder is made from; each field is one keyword of its header."""

    descriptor: str
    created: str
    print_conditions: str
    instrumentation: str
    geometry: str
    loads: str
    """Loads in %, blanks between."""
    passes: str
    """Pass counts, blanks between."""
    white_pct: float
    tint_pct: float
    solid_density: float
    """At the band's peak, light passing once, at 100 % load, as long as ink does not pool."""
    pooling_pct: float
    """Ink pools: a load L acts as pooling × (1 − exp(−L/pooling)), both in %."""
    dries_pct: float
    """Sum of the inks' loads that still dries, in % a pass."""
    keeps_pct: float
    """Sum of the inks' loads that does not re-wet, in % a pass."""
    mottles_pct: float
    """Mottle is 0.25 + (load over this, a pass)⁴, as standard deviation of L*."""
    noise_density: float
    seed: int


@dataclass(frozen=True, slots=True)
class Rung:
    """One solid of a ladder."""

    ink: str
    load_pct: int
    passes: int

    @property
    def sum_pct(self) -> int:
        """All inks' loads together."""
        return self.load_pct * len(self.ink)


_KEYWORDS = {
    "descriptor": "DESCRIPTOR",
    "created": "CREATED",
    "print_conditions": "PRINT_CONDITIONS",
    "instrumentation": "INSTRUMENTATION",
    "geometry": "MEASUREMENT_GEOMETRY",
    "loads": "SIMULATED_LOADS_PCT",
    "passes": "SIMULATED_PASSES",
    "white_pct": "SIMULATED_WHITE_PCT",
    "tint_pct": "SIMULATED_TINT_PCT",
    "solid_density": "SIMULATED_SOLID_DENSITY",
    "pooling_pct": "SIMULATED_POOLING_PCT",
    "dries_pct": "SIMULATED_DRIES_PCT",
    "keeps_pct": "SIMULATED_KEEPS_PCT",
    "mottles_pct": "SIMULATED_MOTTLES_PCT",
    "noise_density": "SIMULATED_NOISE_DENSITY",
    "seed": "SIMULATED_SEED",
}


def rungs_of(ladder: Ladder) -> list[Rung]:
    """Return the printed solids in the file's order; the unprinted film comes before them."""
    return [
        Rung(ink, int(load), int(passes))
        for passes in ladder.passes.split()
        for ink in _INKS
        for load in ladder.loads.split()
    ]


def spectra_of(ladder: Ladder) -> Array:
    """Return the spectra as the model has them, without noise: the unprinted film, then each rung."""
    bare = white(ladder.white_pct, ladder.tint_pct)
    solids = [_solid(ladder, rung, bare) for rung in rungs_of(ladder)]
    return np.vstack([bare, *solids])


def _solid(ladder: Ladder, rung: Rung, bare: Array) -> Array:
    tones = np.zeros((1, 4))
    tones[0, list(_INKS[rung.ink])] = 100
    acts = ladder.pooling_pct * (1 - math.exp(-rung.load_pct / ladder.pooling_pct))
    return printed(bare, tones, ladder.solid_density * acts / 100, twice=False)


def text_of(ladder: Ladder) -> str:
    """Return the file of a ladder; the same ladder gives the same bytes."""
    spectra = spectra_of(ladder)
    drawn = random.Random(ladder.seed)  # noqa: S311 (noise is no secret)
    rows = [["1", "film", "none", "0", "0", "yes", "no", "0.20", *_read(ladder, spectra[0], drawn)]]
    for number, (rung, spectrum) in enumerate(zip(rungs_of(ladder), spectra[1:], strict=True), 2):
        name = f"{rung.ink}-{rung.load_pct}-{rung.passes}"
        mottle = 0.25 + (rung.load_pct / (ladder.mottles_pct * rung.passes)) ** 4 + 0.04 * _normal(drawn)
        dried = rung.sum_pct <= ladder.dries_pct * rung.passes
        kept = rung.sum_pct <= ladder.keeps_pct * rung.passes
        rows.append(
            [
                *(str(number), name, rung.ink, str(rung.load_pct), str(rung.passes)),
                *("yes" if dried else "no", "no" if kept else "yes", f"{max(mottle, 0.05):.2f}"),
                *_read(ladder, spectrum, drawn),
            ]
        )
    return written(_header(ladder), _FIELDS, rows)


def ladder_in(text: str) -> Ladder:
    """Return the ladder that stands in the header of a file."""
    said = header(text)
    kinds = {field.name: field.type for field in fields(Ladder)}
    return Ladder(**{name: kinds[name](said[keyword]) for name, keyword in _KEYWORDS.items()})  # type: ignore[operator]


def _read(ladder: Ladder, spectrum: Array, drawn: random.Random) -> list[str]:
    noisy = [value * 10 ** (-ladder.noise_density * _normal(drawn)) for value in spectrum]
    return [f"{min(value, 1.0):.6f}" for value in noisy]


def _normal(drawn: random.Random) -> float:
    """Return noise by Box and Muller, whose numbers are the same everywhere."""
    return math.sqrt(-2 * math.log(1 - drawn.random())) * math.cos(2 * math.pi * drawn.random())


def _header(ladder: Ladder) -> dict[str, str]:
    said = {
        keyword: value if isinstance(value := getattr(ladder, name), str) else f"{value:g}"
        for name, keyword in _KEYWORDS.items()
    }
    people = {keyword: value for keyword, value in said.items() if not keyword.startswith("SIMULATED")}
    machine = {keyword: value for keyword, value in said.items() if keyword.startswith("SIMULATED")}
    return {
        "ORIGINATOR": "litstock demo, simulated",
        **people,
        "REMARK": f"simulated, nothing was measured: {MODEL}; ink that pools, dries and re-wets by the "
        f"SIMULATED_ keywords; Gaussian noise of {ladder.noise_density} density on each reading, "
        f"seed {ladder.seed}",
        **machine,
    }


def main(arguments: list[str]) -> int:
    """Return 0, or 1 when a checked file differs from what its header says."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("files", nargs="*", type=Path, metavar="FILE", help="files to make again")
    parser.add_argument("--again", action="store_true", help="make FILEs again from their own headers")
    parser.add_argument("--check", action="store_true", help="with --again: only say which differ")
    parser.add_argument("-o", type=Path, dest="output", help="file to write")
    for field in fields(Ladder):
        parser.add_argument("--" + field.name.replace("_", "-"), type=field.type)
    given = parser.parse_args(arguments)
    if given.again:
        texts = {path: text_of(ladder_in(path.read_text(encoding="utf-8"))).encode() for path in given.files}
        differing = [path for path, text in texts.items() if text != path.read_bytes()]
        for path in differing:
            print(f"{path} differs from what its header says")
            if not given.check:
                path.write_bytes(texts[path])
        return 1 if given.check and differing else 0
    if not given.output:
        parser.error("name the file to write with -o")
    given.output.write_bytes(
        text_of(Ladder(**{field.name: getattr(given, field.name) for field in fields(Ladder)})).encode()
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
