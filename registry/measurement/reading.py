"""Reading a measurement in any form: CGATS.17 text, CxF3, or the text that an ICC profile was made from."""

import hashlib
from dataclasses import dataclass, replace
from enum import StrEnum

from registry.light.icc import Profile, ProfileError
from registry.measurement.cgats import read_cgats
from registry.measurement.cxf import read_cxf
from registry.measurement.form import Measurement, MeasurementError, TextFault
from registry.measurement.writing import write_cgats

__all__ = ["Form", "Reading", "as_cgats", "read"]


class Form(StrEnum):
    """How a measurement is written down."""

    TEXT = "CGATS.17 text (ISO 28178)"
    CXF = "CxF3 (ISO 17972-1)"
    PROFILE = "text inside an ICC profile (tag targ)"


@dataclass(frozen=True, slots=True)
class Reading:
    """A measurement, and the form it was found in."""

    form: Form
    measurement: Measurement


def read(data: bytes) -> Reading:
    """Return what a file holds.

    Raises
    ------
    MeasurementError
        It is no measurement in any of these forms; the error lists every fault.
    """
    form = _form(data)
    if form is Form.CXF:
        return Reading(form, read_cxf(data))
    return Reading(form, read_cgats(_target(data) if form is Form.PROFILE else data))


def as_cgats(data: bytes, name: str) -> bytes:
    """Return a measurement as a registry keeps it, which is CGATS.17 text; text stays as it is.

    Everything that reads a registry reads one form; what CxF3 says besides the readings (tags, images,
    colours for screens) is left out, and the header names the file that it came from.
    """
    form = _form(data)
    if form is not Form.CXF:
        return _target(data) if form is Form.PROFILE else data
    measurement = read_cxf(data)
    came = (f"{name}, {form}, SHA-256 {hashlib.sha256(data).hexdigest()}",)
    tables = (replace(each, header={**each.header, "CONVERTED_FROM": came}) for each in measurement.tables)
    return write_cgats(replace(measurement, tables=tuple(tables)))


def _form(data: bytes) -> Form:
    if data[36:40] == b"acsp":
        return Form.PROFILE
    begins = data[:200].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    return Form.CXF if begins.startswith(b"<") else Form.TEXT


def _target(data: bytes) -> bytes:
    """Return the text of the measurement that a profile says it was made from (ISO 15076-1, `targ`)."""
    try:
        tag = Profile(data).tag("targ")
    except ProfileError as error:
        raise MeasurementError((TextFault(0, f"nothing was measured in this profile: {error}"),)) from error
    if tag[:4] != b"text":
        raise MeasurementError((TextFault(0, f"the profile's tag targ is {tag[:4]!r}, not text"),))
    return tag[8:].rstrip(b"\0").lstrip(b"\r\n")
