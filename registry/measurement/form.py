"""The form of CGATS.17 (ISO 28178): what a file is made of, its words, and which fields are numbers.

A file is a signature, then tables; a table is a header of keywords, a data format and sets of data. The
standard's keywords and fields were taken from the comments in Little CMS 2, src/cmscgats.c, which quote it,
and from the README of cgatslib 2.01, which does so for its forerunner CGATS.5.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from registry.errors import RegistryError

__all__ = [
    "COUNTS",
    "DECLARATION",
    "KEYWORD",
    "NUMBER",
    "SECTIONS",
    "STANDARD",
    "Measurement",
    "MeasurementError",
    "Table",
    "TextFault",
    "is_number",
    "is_reading",
    "wavelength_nm",
]

SECTIONS = frozenset({"BEGIN_DATA_FORMAT", "END_DATA_FORMAT", "BEGIN_DATA", "END_DATA"})
COUNTS = frozenset({"NUMBER_OF_FIELDS", "NUMBER_OF_SETS"})
DECLARATION = "KEYWORD"
"""Declares a keyword of one's own."""
STANDARD = frozenset(
    """ORIGINATOR FILE_DESCRIPTOR DESCRIPTOR CREATED MANUFACTURER PROD_DATE SERIAL MATERIAL INSTRUMENTATION
    MEASUREMENT_SOURCE MEASUREMENT_GEOMETRY PRINT_CONDITIONS SAMPLE_BACKING FILTER POLARIZATION CHISQ_DOF
    WEIGHTING_FUNCTION COMPUTATIONAL_PARAMETER TARGET_TYPE COLORANT TABLE_DESCRIPTOR TABLE_NAME""".split()
)
"""Keywords that need no declaration."""

KEYWORD = re.compile(r"[A-Za-z]\w*", re.ASCII)
NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")

_MEASURED = re.compile(
    r"(?:(?:CMYK?|RGB)[A-Z]*|LAB|LCH|XYZ|XYY|[1-9A-F]CLR)_\w+|SPECTRAL_(?:NM|PCT|DEC)",
    re.ASCII | re.IGNORECASE,
)
_STATISTIC = re.compile(r"(?:D|STDEV|MEAN)_\w+|CHI_SQD_PAR", re.ASCII)
_SPECTRAL = re.compile(
    r"(?:(?:SPECTRAL|SPECTRUM|SPEC|R|T)_?)?(?:(?:NM|PCT|DEC)_?)?([0-9]{3,4}(?:\.[0-9]+)?)(?:_?NM)?",
    re.ASCII | re.IGNORECASE,
)
_TOLD = 100
"""So many faults are told one by one."""
_LEAST, _MOST = 1e-30, 1e12
"""Between these lies the size of all that is read or set, in any unit; beyond them quotients overflow."""
_SHORTEST_NM, _LONGEST_NM = 200, 1100
"""Between these a number in a field's name is a wavelength."""


def wavelength_nm(field: str) -> float | None:
    """Return the wavelength of a spectral field under any of its common spellings, else None.

    The standard's own are SPECTRAL_NM380 and the like; the others are those of ordinary files.

    >>> [wavelength_nm(name) for name in ("SPECTRAL_NM380", "nm_380", "SPEC_380", "R_380nm", "380")]
    [380.0, 380.0, 380.0, 380.0, 380.0]
    >>> wavelength_nm("CMYK_C"), wavelength_nm("R_100")
    (None, None)
    """
    found = _SPECTRAL.fullmatch(field)
    if found is None or not _SHORTEST_NM <= float(found[1]) <= _LONGEST_NM:
        return None
    return float(found[1])


def is_number(field: str) -> bool:
    """Return whether the sets of a field are numbers: device values, readings and what is made of them.

    >>> is_number("CMYK_C"), is_number("Lab_L"), is_number("6CLR_5"), is_number("SAMPLE_ID")
    (True, True, True, False)
    """
    return bool(_MEASURED.fullmatch(field) or _STATISTIC.fullmatch(field) or wavelength_nm(field))


def is_reading(value: float) -> bool:
    """Return whether an instrument, or a person, can have meant a number.

    >>> [is_reading(value) for value in (0, -0.5, 65535, float("nan"), float("inf"), 1e308, 1e-308)]
    [True, True, True, False, False, False, False]
    """
    return value == 0 or _LEAST <= abs(value) <= _MOST


@dataclass(frozen=True, slots=True)
class TextFault:
    """One thing wrong with a measurement file; line 0 stands for the file as a whole."""

    line: int
    message: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.message}" if self.line else self.message


class MeasurementError(RegistryError):
    """What is no measurement file, or cannot be one, with every reason found."""

    def __init__(self, faults: tuple[TextFault, ...]) -> None:
        self.faults = faults
        super().__init__(faults)

    def __str__(self) -> str:
        more = len(self.faults) - _TOLD
        told = [*map(str, self.faults[:_TOLD]), *([f"{more:,} more faults"] if more > 0 else [])]
        return "\n".join(told)


@dataclass(frozen=True, slots=True)
class Table:
    """One table: what its header says, its fields, and its sets of data by field."""

    header: Mapping[str, tuple[str, ...]]
    """Every value of every keyword, in the file's order; an earlier table's holds until said anew."""
    fields: tuple[str, ...]
    sets: tuple[Mapping[str, float | str], ...]

    def said(self, keyword: str) -> str:
        """Return what the header says under a keyword; several values joined by `; `, none as empty."""
        return "; ".join(self.header.get(keyword, ()))

    def pairs(self, keyword: str) -> dict[str, str]:
        """Return a keyword's `name, value` pairs, which the standard parts by `;`; names in upper case."""
        parted = (pair.partition(",") for pair in self.said(keyword).split(";"))
        return {name.strip().upper(): value.strip() for name, _, value in parted if name.strip()}


@dataclass(frozen=True, slots=True)
class Measurement:
    """A measurement file."""

    signature: str
    """Its first line, such as `CGATS.17`."""
    tables: tuple[Table, ...]
    """At least one."""
