"""A print mode as numbers: its measured patches, and the film that they lie on."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from registry.errors import RegistryError
from registry.light.box import Array
from registry.light.grid import Grid, SpectrumError, checked, grid_of
from registry.light.sources import Source
from registry.light.tristimulus import xyz
from registry.lit.body import Body, body_of
from registry.lit.solids import unprinted
from registry.measurement import Measurement, Table, conditions, read_cgats
from registry.measurement.conditions import Kind
from registry.measurement.form import wavelength_nm
from registry.measurement.patches import Patches, patches
from registry.question.attached import Wanted

__all__ = ["NoReadings", "Print", "print_in", "print_of"]


_CHECKED: dict[str, Literal["transmittance", "reflectance"]] = {
    "transmission": "transmittance",
    "reflection": "reflectance",
}


_STRAIGHT = re.compile(r"\b0 ?°? ?[:/] ?0\b|\b(regular|specular|collimated)\b", re.IGNORECASE)
"""Geometries that collect only the light that goes straight through (ISO 5-2, regular transmittance)."""
_ONLY_STRAIGHT = (
    "it was read straight through (0:0), without the light that the material spreads: lit, it is brighter "
    "than told here, and its colours may differ"
)
_UNFINISHED = "the readings do not say whether the print was finished: taken as they are"


class NoReadings(RegistryError):
    """A mode without the readings that a computation needs; says which and why."""


@dataclass(frozen=True, slots=True)
class Print:
    """One mode, measured."""

    kind: Kind
    """What the light did when it was read."""
    patches: Patches
    """Each device value once: the mean of its readings."""
    spectra: Array
    """Spectral transmittance (or reflectance), one row a patch, as fractions."""
    grid: Grid
    white: int
    """Row of the unprinted patch."""
    body: Body
    """What carries the ink."""
    said: tuple[str, ...]
    assumed: tuple[str, ...]

    def under(self, lamp: Source) -> Array:
        """Return XYZ of each patch under a lamp, shape (n, 3), Y = 100 for the perfect transmitter.

        Raises
        ------
        NoReadings
            Too much of the lamp's light lies beyond the wavelengths that were read, or the unprinted patch
            lets none of it through.
        """
        try:
            colours = xyz(self.spectra, self.grid, lamp)
        except SpectrumError as error:
            raise NoReadings(f"its measurement cannot be used under {lamp.name}: {error}") from error
        if not (colours[..., self.white, :] > 0).all():
            raise NoReadings(f"its unprinted patch is black under {lamp.name}: there is no lit white")
        return colours


def print_in(
    mode: Mapping[str, Any],
    substrate: Mapping[str, Any],
    file: Wanted | None,
    files: Mapping[Wanted, bytes],
    *,
    kinds: tuple[Kind, ...] = ("transmission", "reflection"),
) -> Print:
    """Return a mode's print as numbers from the file that its record names, among those that were read.

    Raises
    ------
    NoReadings
        As `print_of`.
    MeasurementError
        The file is no measurement.
    """
    data = files.get(file) if file else None
    readings = read_cgats(data) if data is not None else None
    return print_of(mode, substrate, readings, file.name if file else "", kinds=kinds)


def print_of(
    mode: Mapping[str, Any],
    substrate: Mapping[str, Any],
    readings: Measurement | None,
    named: str,
    *,
    kinds: tuple[Kind, ...] = ("transmission",),
) -> Print:
    """Return a mode's print as numbers.

    Parameters
    ----------
    mode, substrate : mapping
        Their documents.
    readings : Measurement or None
        The reference measurement, where there is one.
    named : str
        Its file name, for words.
    kinds : tuple of str, optional
        What the light may have done when it was read, what is wanted most first.

    Raises
    ------
    NoReadings
        There are none of these kinds with spectra, or no unprinted patch among them.
    """
    if readings is None:
        raise NoReadings("it has no measurement" if not named else f"its measurement {named} is not at hand")
    table = _table(readings, kinds)
    how = conditions(table)
    if how.kind not in kinds:
        raise NoReadings(f"its measurement {named} was not made in {' or '.join(kinds)} ({how.kind})")
    found = patches(table)
    if found.spectra is None or found.wavelengths_nm is None:
        raise NoReadings(f"its measurement {named} holds no spectra, so no lamp can be tried on it")
    try:
        grid = grid_of(found.wavelengths_nm)
        spectra = checked(found.spectra, grid, kind=_CHECKED[how.kind])
    except SpectrumError as error:
        raise NoReadings(f"its measurement {named} cannot be used: {error}") from error
    read = len(found.names)
    found, spectra = _each_once(found, spectra)
    light = substrate.get("light", {})
    bare = unprinted(found)
    if not len(bare):
        raise NoReadings(f"its measurement {named} holds no unprinted patch, which is the lit white")
    counted = f"{read} readings of " if read > len(found.names) else ""
    said = [f"{named}: {counted}{len(found.names)} patches, {how.geometry or 'geometry not recorded'}"]
    if how.simulated:
        said.append(f"{named} is simulated: nothing was measured")
    straight = how.kind == "transmission" and _STRAIGHT.search(how.geometry)
    finished = {"film-laminate", "liquid-laminate"} & {*mode.get("finishing", [])} and not how.finishing
    return Print(
        how.kind,
        found,
        spectra,
        grid,
        int(bare[0]),
        body_of(mode, substrate),
        tuple(said),
        (
            *((_UNFINISHED,) if finished else ()),
            *((_ONLY_STRAIGHT,) if straight and light.get("scattering") != "clear" else ()),
        ),
    )


def _table(readings: Measurement, kinds: tuple[Kind, ...]) -> Table:
    """Return the first table with spectra of the kind wanted most; else what there is, to say why not."""
    spectral = [each for each in readings.tables if _has_spectra(each.fields)]
    wanted = (each for kind in kinds for each in spectral if conditions(each).kind == kind)
    return next(wanted, (spectral or readings.tables)[0])


def _has_spectra(fields: tuple[str, ...]) -> bool:
    return sum(wavelength_nm(name) is not None for name in fields) > 1


def _each_once(found: Patches, spectra: Array) -> tuple[Patches, Array]:
    """Return each device value once, in the file's order, with the mean of its readings."""
    if not found.inks:
        return found, spectra
    _, first, which, times = np.unique(
        found.device.round(2), axis=0, return_index=True, return_inverse=True, return_counts=True
    )
    sums = np.zeros((len(times), spectra.shape[1]))
    np.add.at(sums, which.ravel(), spectra)
    order = np.argsort(first)
    kept, means = first[order], (sums / times[:, np.newaxis])[order]
    once = replace(
        found,
        names=tuple(found.names[row] for row in kept),
        device=found.device[kept],
        spectra=means,
        xyz=None,
        lab=None,
        densities={},
    )
    return once, means
