"""Rule: what was measured was measured with an instrument calibrated not long before."""

import datetime
import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from registry.canonical import join_pointer
from registry.check.attaching import Attached, readings_of
from registry.check.checked import Checked, Document
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.measurement import Measurement

__all__ = ["calibration_old"]

_LONGEST_DAYS = 366
"""Instruments are calibrated every year (common practice, no source)."""
_RESET = ("instrument-recalibrated", "instrument-changed")
_KINDS = ("substrate", "print-mode", "printer", "application", "display", "unit")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

_Instrument = tuple[str, str]
"""Site, and the name by which it knows the instrument."""


class _Taken(NamedTuple):
    """Something that was measured."""

    document: Document
    pointer: str
    instrument: _Instrument
    day: str


@rule("calibration-old", "warning")
def calibration_old(checked: Checked) -> Iterator[Remark]:
    """What was measured was measured within a year of the instrument's calibration.

    An instrument drifts, and settings are tuned to what it says. Looked at are values whose source names the
    instrument and the day, and measurement files whose header names both. Where no calibration is known from
    before that day, nothing is guessed.

    To mend: have the instrument calibrated and measure again, or add the calibration to the shop's record.
    """
    sources = list(_sources(checked))
    readings = list(readings_of(checked, "/evidence/measurement", "/evidence/ladder"))
    known = _calibrations(checked) if sources or readings else {}
    for each in [*sources, *_read(readings, known)]:
        before = [day for day in known.get(each.instrument, ()) if day <= each.day]
        if before and _days(max(before), each.day) > _LONGEST_DAYS:
            site, name = each.instrument
            yield each.document.remark(
                each.pointer,
                "the instrument had not been calibrated for more than a year",
                "measure again with a calibrated instrument, or add its calibration to the shop's record",
                found=f"{name} at {site}, measured {each.day}, calibrated {max(before)}",
                allowed=f"at most {_LONGEST_DAYS} days between them",
            )


def _sources(checked: Checked) -> Iterator[_Taken]:
    for document in checked.of(*_KINDS):
        for of, source in document.content.get("sources", {}).items():
            if {"instrument", "date"} <= source.keys():
                site = source.get("site", document.content["recorded"]["site"])
                pointer = join_pointer(["sources", of])
                yield _Taken(document, pointer, (site, source["instrument"]), source["date"])


def _read(readings: Iterable[tuple[Attached, Measurement]], known: Iterable[_Instrument]) -> Iterator[_Taken]:
    for reading, measurement in readings:
        for table in measurement.tables:
            words, day = re.split(r"[\s,;]+", table.said("INSTRUMENTATION")), table.said("CREATED")[:10]
            named = [each for each in known if {*each} <= {*words}]
            if len(named) == 1 and _DAY.fullmatch(day):
                yield _Taken(reading.document, f"{reading.pointer}/file", named[0], day)


def _calibrations(checked: Checked) -> dict[_Instrument, list[str]]:
    """Return the days on which each instrument was calibrated, or exchanged for a calibrated one."""
    found: dict[_Instrument, list[str]] = {}
    for site in checked.every("site"):
        for instrument in site.content.get("instruments", ()):
            if "calibrated" in instrument:
                found.setdefault((site.id, instrument["name"]), []).append(instrument["calibrated"])
    for event in checked.every("event"):
        if event.content["kind"] in _RESET and "instrument" in event.content:
            key = (event.content["site"], event.content["instrument"])
            found.setdefault(key, []).append(event.content["at"][:10])
    return found


def _days(first: str, last: str) -> int:
    return (datetime.date.fromisoformat(last) - datetime.date.fromisoformat(first)).days
