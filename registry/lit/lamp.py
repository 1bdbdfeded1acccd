"""A measured lamp: the relative spectral power in a measurement file."""

from registry.errors import RegistryError
from registry.light.grid import SpectrumError, grid_of
from registry.light.sources import Source
from registry.measurement import Measurement
from registry.measurement.patches import Array, patches

__all__ = ["lamp_of"]

_FROM_NM, _TO_NM = 400, 700
"""A lamp that was read over less than this has light that nobody knows of."""


def lamp_of(readings: Measurement, name: str) -> Source:
    """Return the lamp in a measurement file; several readings of it are averaged.

    Raises
    ------
    RegistryError
        The file holds no spectrum, or one that cannot be used.
    """
    for table in readings.tables:
        found = patches(table)
        if found.spectra is not None and found.wavelengths_nm is not None:
            return _source(name, found.wavelengths_nm, found.spectra.mean(axis=0))
    raise RegistryError(f"the lamp's file {name} holds no spectrum: export it with its spectral columns")


def _source(name: str, wavelengths_nm: Array, power: Array) -> Source:
    try:
        lamp = Source(name, grid_of(wavelengths_nm), power)
    except SpectrumError as error:
        raise RegistryError(f"the lamp's file {name} cannot be used: {error}") from error
    if lamp.grid.first_nm > _FROM_NM or lamp.grid.last_nm < _TO_NM:
        raise RegistryError(
            f"the lamp's file {name} reaches from {lamp.grid.first_nm} to {lamp.grid.last_nm} nm: read it "
            f"from {_FROM_NM} to {_TO_NM} nm at the least"
        )
    return lamp
