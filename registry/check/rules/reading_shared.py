"""Rule: a measurement is the evidence of one print."""

import hashlib
from collections.abc import Iterator

from registry.check.attaching import Attached, attached, readings_of
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import listed
from registry.measurement import Measurement

__all__ = ["reading_shared"]

_POINTER = "/evidence/measurement"


@rule("reading-shared", "error")
def reading_shared(checked: Checked) -> Iterator[Remark]:
    """No reference measurement is attached to modes of different films or printers.

    A reading is of one print on one film from one printer. Attached to another, under its own name or with a
    new header, it makes known good what nobody has measured.

    To mend: attach each mode's own reading, and take out the one that is not its own.
    """
    readings = list(readings_of(checked, _POINTER))
    if not readings:
        return
    prints: dict[str, dict[str, tuple[str, str]]] = {}
    for each in attached(checked, everywhere=True):
        if each.pointer == _POINTER and each.document.live:
            prints.setdefault(each.sha256, {})[each.document.id] = _print_of(each)
    marks = {each.document.id: _mark(measurement) for each, measurement in readings}
    for each, measurement in readings:
        prints.setdefault(_mark(measurement), {})[each.document.id] = _print_of(each)
    for each, _ in readings:
        alike = {**prints[each.sha256], **prints[marks[each.document.id]]}
        others = sorted(rid for rid, print_ in alike.items() if print_ != _print_of(each))
        if others:
            yield each.document.remark(
                f"{_POINTER}/file",
                "the reading is attached to another film's or printer's mode too",
                "attach each mode's own reading",
                found=f"the readings of {listed(others)}",
                allowed="a reading of this mode's own print",
            )


def _print_of(reading: Attached) -> tuple[str, str]:
    return reading.document.content["substrate"], reading.document.content["printer"]


def _mark(measurement: Measurement) -> str:
    """Return what tells readings apart whatever their header says: the numbers that were read."""
    read = [
        [value for value in each.values() if isinstance(value, float)]
        for table in measurement.tables
        for each in table.sets
    ]
    return hashlib.sha256(repr(read).encode()).hexdigest()
