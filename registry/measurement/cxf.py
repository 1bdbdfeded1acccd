"""Reading CxF3 (ISO 17972-1) into the same form as CGATS.17: a table for each way of measuring.

The XML is looked at before it is read: it declares no document type, so it can name no entity of its own, and
nothing is fetched. What the schema does not allow is refused, with its line.
"""

import warnings
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any
from xml.parsers import expat

from registry.measurement.cxf_conformity import faults
from registry.measurement.cxf_tables import tables
from registry.measurement.form import Measurement, MeasurementError, TextFault

if TYPE_CHECKING:
    from colour_cxf.cxf3 import CxF

__all__ = ["read_cxf"]

_NAMESPACE = "http://colorexchangeformat.com/CxF3-core"
_LOCATED = ("Object", "ColorSpecification")
"""Elements by whose line and id a fault is found."""


def read_cxf(data: bytes) -> Measurement:
    """Return what a CxF3 file holds, in the form of CGATS.17.

    Raises
    ------
    MeasurementError
        The bytes are not such a file, or it does not keep to its schema; the error lists every fault.
    """
    lines = _lines(data)
    document = _parsed(data)
    found = [TextFault(line, message) for line, message in faults(document, lines)]
    if found:
        raise MeasurementError(tuple(found))
    return Measurement("CGATS.17", tables(document, lines))


def _refused(line: int, message: str) -> MeasurementError:
    return MeasurementError((TextFault(line, message),))


def _lines(data: bytes) -> dict[str, list[int]]:
    """Return the lines on which objects and specifications stand, having seen that the XML is harmless."""
    parser = expat.ParserCreate(namespace_separator="}")
    found: dict[str, list[int]] = {name: [] for name in _LOCATED}
    root: list[str] = []

    def declared(*_: Any) -> None:
        raise _refused(
            parser.CurrentLineNumber,
            "the file declares a document type, which could name entities; CxF3 has none: export it without",
        )

    def opened(name: str, _: Mapping[str, str]) -> None:
        if not root:
            root.append(name)
            if name != f"{_NAMESPACE}}}CxF":
                raise _refused(
                    parser.CurrentLineNumber,
                    f"the root is {name.replace('}', ' ')!r}, not CxF of {_NAMESPACE}; export CxF3",
                )
        local = name.removeprefix(f"{_NAMESPACE}}}")
        if local in found:
            found[local].append(parser.CurrentLineNumber)

    parser.StartDoctypeDeclHandler = declared
    parser.StartElementHandler = opened
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise _refused(
            error.lineno, f"this is no well-formed XML: {expat.ErrorString(error.code)}"
        ) from error
    return found


def _parsed(data: bytes) -> "CxF":
    try:
        import colour_cxf  # noqa: PLC0415 (only who reads CxF3 pays for it)
    except ModuleNotFoundError as error:
        raise _refused(
            0, "CxF3 cannot be read here: colour-cxf is not installed (it needs a Python below 3.14)"
        ) from error
    from xsdata.exceptions import ConverterWarning, ParserError  # noqa: PLC0415

    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConverterWarning)  # what cannot be converted is refused afterwards
        try:
            return colour_cxf.read_cxf(data)
        except ParserError as error:
            words = str(error).replace(f"{{{_NAMESPACE}}}", "")
            raise _refused(0, f"the standard does not allow this: {words[0].lower()}{words[1:]}") from error
