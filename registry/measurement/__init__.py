"""Measurement files: CGATS.17 (ISO 28178) read and written, what they hold, and how it was measured."""

from registry.measurement.cgats import read_cgats
from registry.measurement.conditions import Conditions, conditions
from registry.measurement.form import Measurement, MeasurementError, Table, TextFault
from registry.measurement.writing import write_cgats

__all__ = [
    "Conditions",
    "Measurement",
    "MeasurementError",
    "Table",
    "TextFault",
    "conditions",
    "read_cgats",
    "write_cgats",
]
