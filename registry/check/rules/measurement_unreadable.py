"""Rule: a measurement can be read."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.measurement import MeasurementError

__all__ = ["measurement_unreadable"]


@rule("measurement-unreadable", "error")
def measurement_unreadable(checked: Checked) -> Iterator[Remark]:
    """A measurement or spectrum is a CGATS.17 text (ISO 28178) whose parts agree.

    Densities and colours are computed from it; a file that was cut off would give other ones.

    To mend: export the file again, or correct it at the line shown.
    """
    for path, kind in checked.attachments():
        if kind == "profile":
            continue
        measurement = checked.measurement(path)
        if isinstance(measurement, MeasurementError):
            for fault in measurement.faults:
                yield Remark(
                    path,
                    fault.message,
                    "export the file again, or correct it there",
                    line=max(fault.line, 1),
                    column=1,
                )
