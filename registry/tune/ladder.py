"""A ladder of loads (`registry.measurement.loads` says what its file holds), read under a lamp."""

from collections.abc import Collection, Mapping
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
from registry.measurement.loads import COLUMNS, YES_NO, ladder_faults, number
from registry.measurement.patches import patches

__all__ = ["Ladder", "LadderError", "Rung", "is_overprint", "ladder_of"]

RESPONSES: dict[str, Response] = {"C": "status-a-red", "M": "status-a-green", "Y": "status-a-blue"}
"""The density by which each ink is judged: that of its own absorption. Black and overprints by the visual
one; any other ink by the one in which its heaviest solid is densest."""
_VISUAL: Response = "visual"


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
    mixed: bool = False
    """Whether it is of several inks, one upon another."""

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
        return tuple(dict.fromkeys(each.ink for each in self.rungs if not each.mixed))

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
    faults = list(ladder_faults(table))
    found = patches(table)
    if found.spectra is None or found.wavelengths_nm is None:
        faults.append("the file holds no spectra: read it with a spectral instrument and export its spectra")
    if faults or found.spectra is None or found.wavelengths_nm is None:
        raise LadderError(tuple(faults))
    return _ladder(table, found.spectra, found.wavelengths_nm, lamp, how)


def _ladder(table: Table, spectra: Array, wavelengths: Array, lamp: Source, how: Conditions) -> Ladder:
    try:
        grid = grid_of(wavelengths)
        return _computed(table, checked(spectra, grid, kind="transmittance"), grid, lamp, how)
    except SpectrumError as error:
        raise LadderError((str(error),)) from error


def _computed(table: Table, spectra: Array, grid: Grid, lamp: Source, how: Conditions) -> Ladder:
    """Return the ladder; raise SpectrumError where its spectra are too short, or its film is black."""
    loads = np.array([number(each["LOAD_PCT"]) for each in table.sets], dtype=np.float64)
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
    printed = [row for row in range(len(table.sets)) if loads[row] > 0]
    named = {str(table.sets[row]["INK"]) for row in printed}
    judged = {ink: _judged_by(ink, named, table, loads, read) for ink in named}
    rungs = [
        _rung(
            table.sets[row],
            float(read[judged[str(table.sets[row]["INK"])]][row]),
            float(read[_VISUAL][row]),
            (float(chroma[row]), float(hue[row])),
            mixed=is_overprint(str(table.sets[row]["INK"]), named),
        )
        for row in printed
    ]
    return Ladder(tuple(rungs), how, float(white[1]) / 100)


def is_overprint(ink: str, named: Collection[str]) -> bool:
    """Whether an ink's name is that of several inks: each of its letters is one of C, M, Y, K or read alone.

    >>> [is_overprint(each, {"C", "Lc", "O", "R", "OR"}) for each in ("CM", "Lc", "OR", "Gr", "C")]
    [True, False, True, False, False]
    """
    return len(ink) > 1 and all(letter in "CMYK" or letter in named for letter in ink)


def _judged_by(
    ink: str, named: Collection[str], table: Table, loads: Array, read: Mapping[Response, Array]
) -> Response:
    """Return the density of an ink's own absorption."""
    if ink in RESPONSES:
        return RESPONSES[ink]
    if ink == "K" or is_overprint(ink, named):
        return _VISUAL
    own = [row for row, each in enumerate(table.sets) if str(each["INK"]) == ink and loads[row] > 0]
    heaviest = max(own, key=lambda row: loads[row])
    return max(RESPONSES.values(), key=lambda response: float(read[response][heaviest]))


def _rung(
    each: Mapping[str, float | str],
    density: float,
    visual: float,
    colour: tuple[float, float],
    *,
    mixed: bool,
) -> Rung:
    return Rung(
        str(each.get("SAMPLE_NAME", each.get("SAMPLE_ID", ""))),
        str(each["INK"]),
        float(each["LOAD_PCT"]),
        int(float(each["PASSES"])),
        YES_NO[str(each["DRIED"]).lower()],
        YES_NO.get(str(each.get("REWET", "")).lower()),
        number(each.get("MOTTLE", "")),
        density,
        visual,
        *colour,
        mixed=mixed,
    )
