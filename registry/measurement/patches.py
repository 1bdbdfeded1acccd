"""A table as arrays of numbers: device values, spectra, XYZ, L*a*b* and densities of its patches."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from registry.measurement.channels import NEAR, channels
from registry.measurement.conditions import conditions
from registry.measurement.form import MeasurementError, Table, TextFault, wavelength_nm

__all__ = ["Array", "Patches", "patches"]

Array = npt.NDArray[np.float64]

_NAMES = ("SAMPLE_NAME", "SAMPLE_ID", "SAMPLEID")
_READ = frozenset(
    (
        *_NAMES,
        *("XYZ_X", "XYZ_Y", "XYZ_Z", "LAB_L", "LAB_A", "LAB_B"),
        *("INK", "LOAD_PCT", "PASSES", "DRIED", "REWET", "MOTTLE"),  # of a ladder
    )
)
_BESIDE = ("SAMPLE_", "STRING", "XYY_", "LAB_C", "LAB_H", "STDEV_", "MEAN_DE", "CHI_SQD_PAR")
"""Standard columns (ISO 28178) that repeat or comment on what is read: nobody misses them."""
_DENSITY = re.compile(r"D_[A-Z]\w*", re.ASCII)
_PERCENT_FIELD = re.compile(r"SPECTRAL_PCT", re.IGNORECASE)
_PERCENT_WORDS = re.compile(
    r"percent(age)? (reflectance|transmittance)"
    r"|\b(spectr\w+|reflectance|transmittance)\b[^;]*\b(in|as) (percent|%)",
    re.IGNORECASE,
)
_NO_FRACTION = 2.0
"""No print lets through or sends back twice the light that falls on it, fluorescent white included."""


@dataclass(frozen=True, slots=True, eq=False)
class Patches:
    """The patches of a table, one row each in the file's order; None where the file has no such columns."""

    names: tuple[str, ...]
    """Names, else ids, else numbers."""
    inks: tuple[str, ...]
    """Device channels, such as C, M, Y, K; empty where the file does not say what was printed."""
    device: Array
    """Shape (n, inks), in %; those of RGB as the file has them."""
    wavelengths_nm: Array | None
    """Shape (k,), ascending."""
    spectra: Array | None
    """Shape (n, k): transmittance or reflectance as fractions; a lamp's power in the file's own unit."""
    xyz: Array | None
    """Shape (n, 3), Y = 100 for the perfect transmitter or diffuser."""
    lab: Array | None
    """Shape (n, 3)."""
    densities: Mapping[str, Array]
    """Shape (n,), by the file's column."""
    unread: tuple[str, ...] = ()
    """Columns that mean nothing here."""

    def of(self, which: str | Mapping[str, float] | Sequence[float]) -> npt.NDArray[np.intp]:
        """Return the rows of a patch by its name, or by device values: all of them, or those not 0 by ink."""
        if isinstance(which, str):
            return np.flatnonzero([name == which for name in self.names])
        if isinstance(which, Mapping):
            if not which.keys() <= set(self.inks):
                return np.flatnonzero([])
            which = [which.get(ink, 0.0) for ink in self.inks]
        if not self.inks or len(which) != len(self.inks):
            return np.flatnonzero([])
        return np.flatnonzero((np.abs(self.device - np.asarray(which)) < NEAR).all(axis=1))


def patches(table: Table, *, spectral: bool = True) -> Patches:
    """Return a table's patches as numbers; with `spectral` off its spectra are left aside.

    Raises
    ------
    MeasurementError
        It has no sets, or its spectra cannot be told: of a wavelength twice, or in percent without saying so.
    """
    if not table.sets:
        raise _refused("the table holds no sets: there is nothing to compute with")
    by_name = {name.upper(): name for name in table.fields}
    inks = channels(table.fields)
    wavelengths = _wavelengths(table.fields) if spectral else {}
    return Patches(
        names=_names(table, by_name),
        inks=tuple(inks.values()),
        device=_columns(table, tuple(inks)),
        wavelengths_nm=np.array(list(wavelengths.values())) if wavelengths else None,
        spectra=_spectra(table, tuple(wavelengths)) if wavelengths else None,
        xyz=_triple(table, by_name, ("XYZ_X", "XYZ_Y", "XYZ_Z")),
        lab=_triple(table, by_name, ("LAB_L", "LAB_A", "LAB_B")),
        densities={name: _columns(table, (name,))[:, 0] for name in table.fields if _DENSITY.fullmatch(name)},
        unread=tuple(name for name in table.fields if not _is_read(name, inks)),
    )


def _is_read(name: str, inks: Mapping[str, str]) -> bool:
    """Whether a column means something here; standard ones that say the same otherwise may stand beside."""
    bare = name.upper()
    return (
        name in inks
        or wavelength_nm(name) is not None
        or _DENSITY.fullmatch(name) is not None
        or bare in _READ
        or bare.startswith(_BESIDE)
    )


def _refused(message: str) -> MeasurementError:
    return MeasurementError((TextFault(0, message),))


def _names(table: Table, by_name: Mapping[str, str]) -> tuple[str, ...]:
    field = next((by_name[name] for name in _NAMES if name in by_name), None)
    return tuple(str(each[field]) if field else str(number) for number, each in enumerate(table.sets, 1))


def _columns(table: Table, fields: Sequence[str]) -> Array:
    values = [[each[name] for name in fields] for each in table.sets]
    return np.array(values, dtype=np.float64).reshape(len(table.sets), len(fields))


def _triple(table: Table, by_name: Mapping[str, str], wanted: Sequence[str]) -> Array | None:
    fields = [by_name[name] for name in wanted if name in by_name]
    return _columns(table, fields) if len(fields) == len(wanted) else None


def _wavelengths(fields: Sequence[str]) -> dict[str, float]:
    """Return the wavelengths by their fields, shortest first."""
    found = {name: nm for name in fields if (nm := wavelength_nm(name))}
    for nm in found.values():
        same = [name for name, other in found.items() if other == nm]
        if len(same) > 1:
            raise _refused(f"{' and '.join(same)} are both {nm:g} nm: keep one of them")
    return dict(sorted(found.items(), key=lambda item: item[1]))


def _spectra(table: Table, fields: Sequence[str]) -> Array:
    """Return the spectra as fractions; whether they are in percent only the file itself can say."""
    spectra = _columns(table, fields)
    if conditions(table).kind == "emission":
        return spectra
    if _in_percent(table, fields):
        return spectra / 100
    if spectra.max() > _NO_FRACTION:
        raise _refused(
            f"spectral readings up to {spectra.max():g} are no fractions, and the header does not say "
            'percent; if they are percent, write SPECTRAL_NORM "100" into the header, else export fractions'
        )
    return spectra


def _in_percent(table: Table, fields: Sequence[str]) -> bool:
    norm = table.said("SPECTRAL_NORM")
    if norm:
        try:
            said = float(norm)
        except ValueError:
            said = 0.0
        if said not in {1.0, 100.0}:
            raise _refused(f"SPECTRAL_NORM is {norm!r}; write 1 for fractions or 100 for percent")
        return said == 100.0
    words = (value for values in table.header.values() for value in values)
    return all(map(_PERCENT_FIELD.match, fields)) or any(map(_PERCENT_WORDS.search, words))
