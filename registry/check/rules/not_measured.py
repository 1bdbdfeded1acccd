"""Rule: a known-good backlit mode is measured in transmission."""

from collections.abc import Iterator

from registry.check.attaching import Attached, attached
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown
from registry.measurement import MeasurementError, conditions

__all__ = ["not_measured"]


@rule("not-measured", "error")
def not_measured(checked: Checked) -> Iterator[Remark]:
    """A known-good backlit mode has a reference measurement attached that was taken in transmission.

    A backlit print is seen by the light that goes through it. Few shops can measure that, so they rely on
    whoever calls the mode known good.

    To mend: attach the measurement under evidence.measurement, with MEASUREMENT_GEOMETRY "transmission, …"
    in its header; until then the mode is on trial.
    """
    named = (each for each in attached(checked) if each.pointer == "/evidence/measurement")
    readings = {each.document.path: each for each in named}
    for case in checked.live_modes:
        if case.mode["status"] != "known-good" or case.mode["lighting"] != "backlit":
            continue
        reading = readings.get(case.document.path)
        fault = "no measurement" if reading is None else _fault(checked, reading)
        if fault:
            yield case.document.remark(
                reading.pointer if reading else "/status",
                "a known-good backlit mode must be measured in transmission",
                "attach such a measurement, or set the status to trial",
                found=fault,
                allowed='a measurement whose header says MEASUREMENT_GEOMETRY "transmission, …"',
            )


def _fault(checked: Checked, reading: Attached) -> str:
    """Say why a measurement is none in transmission; nothing where it is, or another rule speaks of it."""
    (path,) = reading.places
    measurement = checked.measurement(path) if path in checked.places else None
    if measurement is None or isinstance(measurement, MeasurementError):
        return ""
    readings = [conditions(table) for table in measurement.tables]
    if any(reading.kind == "transmission" for reading in readings):
        return ""
    geometry = readings[0].geometry
    return f"geometry {shown(geometry)}" if geometry else "a measurement that says no geometry"
