"""A measured lamp: the relative spectral power in a measurement file."""

from registry.errors import RegistryError
from registry.light.grid import grid_of
from registry.light.sources import Source
from registry.measurement import Measurement
from registry.measurement.patches import patches

__all__ = ["lamp_of"]


def lamp_of(readings: Measurement, name: str) -> Source:
    """Return the lamp in a measurement file; several readings of it are averaged.

    Raises
    ------
    RegistryError
        The file holds no spectrum.
    """
    for table in readings.tables:
        found = patches(table)
        if found.spectra is not None and found.wavelengths_nm is not None:
            return Source(name, grid_of(found.wavelengths_nm), found.spectra.mean(axis=0))
    raise RegistryError(f"the lamp's file {name} holds no spectrum: export it with its spectral columns")
