#!/usr/bin/env python3
"""Write the tables of observers and sources in registry/light/tables/ from colour-science; --check: compare.

The program reads these files alone: colour-science is needed here and in the tests, never at run time. The
table of density products is not made here; its own header says where it comes from.
"""

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from registry.light.grid import Array, Grid
from tools.reference import colour_science

__all__ = ["tables"]

FOLDER = Path(__file__).parent.parent / "registry/light/tables"
_FINE = Grid(360, 780, 1)
_LAMPS = Grid(380, 780, 5)
_OBSERVERS = {2: "CIE 1931 2 Degree Standard Observer", 10: "CIE 1964 10 Degree Standard Observer"}
_LAMP_NAMES = (
    *("FL2", "FL11"),
    *("LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5", "LED-BH1", "LED-RGB1", "LED-V1", "LED-V2"),
)


def tables() -> dict[str, str]:
    """Return the text of each table by its file name."""
    colour = colour_science()
    release = f"colour-science {colour.__version__} (BSD-3-Clause)"
    observers = {
        f"observer-{degrees}.csv": _text(
            f"CIE {year} colour-matching functions for {degrees} degrees, every nm",
            f"CIE, as transcribed in {release}, colour.MSDS_CMFS['{name}']",
            _FINE,
            dict(zip("xyz", colour.MSDS_CMFS[name][_FINE.wavelengths_nm].T, strict=True)),
        )
        for (degrees, name), year in zip(_OBSERVERS.items(), (1931, 1964), strict=True)
    }
    return {
        **observers,
        "standard-illuminants.csv": _text(
            "CIE standard illuminants: relative power, every nm",
            f"CIE 15:2004, as transcribed in {release}: A by its formula; D50 and D65 from "
            "colour.SDS_ILLUMINANTS every 5 nm, linearly between them as the CIE asks",
            _FINE,
            _standard(colour),
        ),
        "lamps.csv": _text(
            "CIE illuminants for fluorescent lamps (FL) and white LEDs (LED): relative power, every 5 nm",
            f"CIE 15:2004 (FL) and CIE 15:2018 (LED), as transcribed in {release}, colour.SDS_ILLUMINANTS",
            _LAMPS,
            {name: colour.SDS_ILLUMINANTS[name][_LAMPS.wavelengths_nm] for name in _LAMP_NAMES},
        ),
    }


def _standard(colour: Any) -> dict[str, Array]:
    shape = colour.SpectralShape(_FINE.first_nm, _FINE.last_nm, _FINE.step_nm)
    daylight = {
        name: np.interp(
            _FINE.wavelengths_nm,
            colour.SDS_ILLUMINANTS[name].wavelengths,
            colour.SDS_ILLUMINANTS[name].values,
        )
        for name in ("D50", "D65")
    }
    return {"A": colour.sd_CIE_standard_illuminant_A(shape).values, **daylight}


def _text(what: str, source: str, grid: Grid, columns: Mapping[str, Array]) -> str:
    head = [f"# {what}.", f"# Source: {source}.", "# Written by tools/light_tables.py."]
    rows = zip(grid.wavelengths_nm, *columns.values(), strict=True)
    body = [",".join(f"{number:.10g}" for number in row) for row in rows]
    return "\n".join([*head, ",".join(("nm", *columns)), *body, ""])


def main(arguments: list[str]) -> int:
    """Return 1 when a checked table differs from what colour-science holds."""
    wanted = {FOLDER / name: text.encode() for name, text in tables().items()}
    stale = [path for path, data in wanted.items() if not path.is_file() or path.read_bytes() != data]
    for path in stale:
        if arguments == ["--check"]:
            print(f"{path.name} differs: run python tools/light_tables.py")
        else:
            path.write_bytes(wanted[path])
    return 1 if stale and arguments == ["--check"] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
