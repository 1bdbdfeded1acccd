"""A ladder: solids printed at rising ink loads, read, dried and tried against re-wetting.

It is a measurement file (CGATS.17, ISO 28178) whose sets hold, beside the readings:

- `INK`: what was printed: one ink (`C`), or several one upon another (`CMY`, `CMYK`);
- `LOAD_PCT`: the load of the layer in % of the printer's full front-lit ink; 0 is the unprinted film;
- `PASSES`: how many passes it was printed in;
- `DRIED`, `REWET`: yes or no: whether it came dry off the printer, and whether it re-wet face to back;
- `MOTTLE`, if it was judged: standard deviation of L* over the solid.
"""

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from registry.errors import RegistryError
from registry.light.density import Response, density
from registry.light.fit import Array
from registry.light.grid import Grid, SpectrumError, checked, grid_of
from registry.light.lab import lab
from registry.light.sources import Source
from registry.light.tristimulus import xyz
from registry.measurement import Conditions, Measurement, Table, conditions
from registry.measurement.patches import patches

__all__ = ["COLUMNS", "Ladder", "LadderError", "Rung", "ladder_of"]

COLUMNS = ("INK", "LOAD_PCT", "PASSES", "DRIED")
"""What every set of a ladder has to hold."""

RESPONSES: dict[str, Response] = {"C": "status-a-red", "M": "status-a-green", "Y": "status-a-blue"}
"""The density by which each ink is judged; all others, and overprints, by the visual one."""
_VISUAL: Response = "visual"
_YES_NO = {"yes": True, "no": False}
_INK = re.compile(r"[A-Z][A-Za-z]*")


class LadderError(RegistryError):
    """A file that is no ladder, with every reason found."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__(faults)

    def __str__(self) -> str:
        return "\n".join(self.faults)


@dataclass(frozen=True, slots=True)
class Rung:
    """One solid at one load in so many passes."""

    name: str
    ink: str
    load_pct: float
    passes: int
    dried: bool
    rewet: bool | None
    """None where it was not tried."""
    mottle: float | None
    density: float
    """In the ink's own response, relative to the unprinted film."""
    visual: float
    """Visual density, relative to the unprinted film."""
    chroma: float
    hue_deg: float
    """Of L*a*b* against the lit white, under the lamp asked for."""

    @property
    def stood(self) -> bool:
        """Whether it came dry and is not known to have re-wet."""
        return self.dried and not self.rewet


@dataclass(frozen=True, slots=True)
class Ladder:
    """A whole ladder."""

    rungs: tuple[Rung, ...]
    """Printed ones; the unprinted film is what they are measured against."""
    how: Conditions
    white_transmittance: float
    """Luminous transmittance of the unprinted film under the lamp, a fraction."""

    @property
    def inks(self) -> tuple[str, ...]:
        """Inks read alone, in the file's order."""
        return tuple(dict.fromkeys(each.ink for each in self.rungs if len(each.ink) == 1))

    @property
    def passes(self) -> tuple[int, ...]:
        """The pass counts tried, fewest first."""
        return tuple(sorted({each.passes for each in self.rungs}))

    def of(self, passes: int) -> tuple[Rung, ...]:
        """Return the rungs printed in so many passes."""
        return tuple(each for each in self.rungs if each.passes == passes)


def ladder_of(readings: Measurement, lamp: Source) -> Ladder:
    """Return a measurement file as a ladder, colours computed under a lamp.

    Raises
    ------
    LadderError
        The file is no ladder, or was not read in transmission; lists every fault.
    """
    table = next((each for each in readings.tables if "LOAD_PCT" in each.fields), readings.tables[0])
    if missing := [each for each in COLUMNS if each not in table.fields]:
        wanted = f"a ladder holds {', '.join(COLUMNS)}, REWET and MOTTLE beside the spectra"
        raise LadderError((f"no ladder: the columns {', '.join(missing)} are missing; {wanted}",))
    how = conditions(table)
    if how.kind != "transmission":
        said = f"the file's MEASUREMENT_GEOMETRY says {how.geometry or 'nothing'}"
        raise LadderError((f"a backlit load needs readings in transmission; {said}",))
    faults = list(_faults(table))
    found = patches(table)
    if found.spectra is None or found.wavelengths_nm is None:
        faults.append("the file holds no spectra: read it with a spectral instrument and export its spectra")
    if faults or found.spectra is None or found.wavelengths_nm is None:
        raise LadderError(tuple(faults))
    return _ladder(table, found.spectra, found.wavelengths_nm, lamp, how)


def _faults(table: Table) -> Iterator[str]:
    """Yield what is wrong with the ladder's own columns, a set a time."""
    unprinted = False
    for number, each in enumerate(table.sets, 1):
        where = f"set {number} ({each.get('SAMPLE_NAME', each.get('SAMPLE_ID', '?'))})"
        load = _number(each["LOAD_PCT"])
        if load is None or not 0 <= load <= 600:
            yield f"{where}: LOAD_PCT is {each['LOAD_PCT']!r}; write a load from 0 to 600"
        unprinted = unprinted or load == 0
        passes = _number(each["PASSES"])
        if load and (passes is None or passes != int(passes) or not 1 <= passes <= 64):
            yield f"{where}: PASSES is {each['PASSES']!r}; write a whole number from 1 to 64"
        if load and not _INK.fullmatch(str(each["INK"])):
            yield f"{where}: INK is {each['INK']!r}; write an ink's letter, or several for an overprint"
        for name in ("DRIED", "REWET"):
            said = str(each.get(name, "")).lower()
            if load and said not in _YES_NO and (name == "DRIED" or said not in {"", "unknown"}):
                yield f"{where}: {name} is {each.get(name)!r}; write yes or no"
    if not unprinted:
        yield "no set has LOAD_PCT 0: read the unprinted film too, every density is relative to it"


def _ladder(table: Table, spectra: Array, wavelengths: Array, lamp: Source, how: Conditions) -> Ladder:
    try:
        grid = grid_of(wavelengths)
        return _computed(table, checked(spectra, grid, kind="transmittance"), grid, lamp, how)
    except SpectrumError as error:
        raise LadderError((str(error),)) from error


def _computed(table: Table, spectra: Array, grid: Grid, lamp: Source, how: Conditions) -> Ladder:
    """Return the ladder; raise SpectrumError where its spectra are too short, or its film is black."""
    loads = np.array([_number(each["LOAD_PCT"]) for each in table.sets], dtype=np.float64)
    bare = spectra[loads == 0].mean(axis=0)
    white = xyz(bare, grid, lamp)
    if not (white > 0).all():
        raise SpectrumError("the unprinted film lets no light through: every density is relative to it")
    colours = lab(xyz(spectra, grid, lamp), white)
    chroma = np.hypot(colours[:, 1], colours[:, 2])
    hue = np.degrees(np.arctan2(colours[:, 2], colours[:, 1])) % 360
    read = {
        response: density(spectra, grid, response, relative_to=bare).values
        for response in {*RESPONSES.values(), _VISUAL}
    }
    rungs = [
        _rung(
            each,
            {response: float(values[row]) for response, values in read.items()},
            float(chroma[row]),
            float(hue[row]),
        )
        for row, each in enumerate(table.sets)
        if loads[row] > 0
    ]
    return Ladder(tuple(rungs), how, float(white[1]) / 100)


def _rung(each: Mapping[str, float | str], read: Mapping[str, float], chroma: float, hue: float) -> Rung:
    ink = str(each["INK"])
    return Rung(
        str(each.get("SAMPLE_NAME", each.get("SAMPLE_ID", ""))),
        ink,
        float(each["LOAD_PCT"]),
        int(float(each["PASSES"])),
        _YES_NO[str(each["DRIED"]).lower()],
        _YES_NO.get(str(each.get("REWET", "")).lower()),
        _number(each.get("MOTTLE", "")),
        read[RESPONSES.get(ink, _VISUAL)],
        read[_VISUAL],
        chroma,
        hue,
    )


def _number(text: float | str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
