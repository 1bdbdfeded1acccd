"""How much light the unprinted film lets through, as it was read."""

import numpy as np

from registry.light.lab import xyz_of
from registry.measurement.conditions import conditions
from registry.measurement.doubts import colours
from registry.measurement.form import Measurement, MeasurementError
from registry.measurement.patches import patches

__all__ = ["film_transmittance_pct"]


def film_transmittance_pct(measurement: Measurement) -> float | None:
    """Return the luminous transmittance of the unprinted patch, in %; None where it was not read."""
    for table in measurement.tables:
        if conditions(table).kind != "transmission":
            continue
        try:
            found = patches(table)
        except MeasurementError:
            continue
        seen, bare = colours(found)[0], found.of({})
        if seen is not None and bare.size:
            grey = np.array([float(seen[bare, 0].mean()), 0.0, 0.0])
            return float(xyz_of(grey, (100, 100, 100))[1])
    return None
