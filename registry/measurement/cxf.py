"""Reading CxF3 (ISO 17972-1) into the same form as CGATS.17: a table for each way of measuring.

The XML is looked at before it is read: it declares no document type, so it can name no entity of its own, and
nothing is fetched. What the schema does not allow is refused, with its line.
"""

import re
import warnings
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from xml.parsers import expat

from registry.measurement.cxf_conformity import faults
from registry.measurement.cxf_tables import tables
from registry.measurement.form import Measurement, MeasurementError, TextFault

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
    look = _Look()
    try:
        look.parser.Parse(data, True)
    except expat.ExpatError as error:
        raise _refused(
            error.lineno, f"this is no well-formed XML: {expat.ErrorString(error.code)}"
        ) from error
    if look.stray:
        raise MeasurementError(
            tuple(
                TextFault(line, "there is text between elements, where CxF3 has none") for line in look.stray
            )
        )
    return look.lines


@dataclass(slots=True)
class _Open:
    """An element that is not closed yet."""

    name: str
    texts: list[int] = field(default_factory=list)
    """Lines of its own text."""
    parent: bool = False


class _Look:
    """A first look at the XML: what the reader would take, drop or act upon without a word."""

    def __init__(self) -> None:
        self.parser = expat.ParserCreate(namespace_separator="}")
        self.parser.StartDoctypeDeclHandler = self._declared
        self.parser.StartElementHandler = self._opened
        self.parser.EndElementHandler = self._closed
        self.parser.CharacterDataHandler = self._text
        self.lines: dict[str, list[int]] = {name: [] for name in _LOCATED}
        self.stray: list[int] = []
        self._open: list[_Open] = []

    def _declared(self, *_: Any) -> None:
        raise _refused(
            self.parser.CurrentLineNumber,
            "the file declares a document type, which could name entities; CxF3 has none: export it without",
        )

    def _opened(self, name: str, _: Mapping[str, str]) -> None:
        line = self.parser.CurrentLineNumber
        if not self._open and name != f"{_NAMESPACE}}}CxF":
            raise _refused(
                line, f"the root is {name.replace('}', ' ')!r}, not CxF of {_NAMESPACE}; export CxF3"
            )
        if self._open:
            self._open[-1].parent = True
        self._open.append(_Open(name))
        local = name.removeprefix(f"{_NAMESPACE}}}")
        if local in self.lines:
            self.lines[local].append(line)

    def _closed(self, _: str) -> None:
        closed = self._open.pop()
        if closed.parent and closed.name.startswith(_NAMESPACE):
            self.stray += closed.texts

    def _text(self, text: str) -> None:
        if text.strip():
            self._open[-1].texts.append(self.parser.CurrentLineNumber)


def _parsed(data: bytes) -> Any:
    try:
        import colour_cxf  # noqa: PLC0415 (only who reads CxF3 pays for it)
    except ModuleNotFoundError as error:
        raise _refused(
            0, "CxF3 cannot be read here: colour-cxf is not installed (it needs a Python below 3.14)"
        ) from error
    from xsdata.exceptions import ConverterWarning, ParserError, XmlContextError  # noqa: PLC0415

    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConverterWarning)  # what cannot be converted is refused afterwards
        try:
            return colour_cxf.read_cxf(data)
        except (ParserError, XmlContextError) as error:
            raise _refused(0, _in_words(str(error))) from error


def _in_words(said: str) -> str:
    said = re.sub(r"\{[^}]*\}", "", said)
    if unknown := re.fullmatch(r"Unknown property (\S+):(\S+)", said):
        return f"the standard has no {unknown[2]} in {unknown[1]}, or not another one"
    return f"the standard does not allow this: {said[:1].lower()}{said[1:].rstrip('!')}"
