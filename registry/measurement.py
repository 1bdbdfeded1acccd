"""Measurement files: the text of CGATS.17 (ISO 28178), as instruments and people write it.

A file is a signature, then tables; a table is a header of keywords, a data format and sets of data. How it
was measured is read from the keywords that the standard has for it, as pairs of a name and a value where they
are written so, else in the header's own words:

- `MEASUREMENT_GEOMETRY "transmission, 0:d, source on the printed face"`: kind, geometry, face to the source;
- `WEIGHTING_FUNCTION "DENSITY, Status A; ILLUMINANT, D50; OBSERVER, 2 degree"`: response, light, observer;
- `COMPUTATIONAL_PARAMETER "DENSITY, ZERO, absolute"`: what counts as density 0;
- `INSTRUMENTATION`, and `MEASUREMENT_SOURCE` for whatever else is said of light and zero.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from registry.errors import RegistryError

__all__ = ["Conditions", "Measurement", "MeasurementError", "Table", "TextFault", "conditions", "read_cgats"]

_TOKEN = re.compile(r'"(?P<quoted>(?:[^"]|"")*)"|(?P<open>".*)|(?P<comment>#.*)|(?P<bare>[^\s"#]+)')
_SYNTAX = frozenset({"BEGIN_DATA_FORMAT", "END_DATA_FORMAT", "BEGIN_DATA", "END_DATA", "KEYWORD"})
_MEASURED = re.compile(
    r"(CMYK|RGB|LAB|LCH|XYZ|XYY|D|STDEV|MEAN|[1-9]CLR)_\w+|(SPECTRAL_)?NM_?[0-9]+", re.ASCII
)
_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")
_KEYWORD = re.compile(r"[A-Za-z]\w*", re.ASCII)
_LAYOUT = {"NUMBER_OF_FIELDS", "NUMBER_OF_SETS"}


@dataclass(frozen=True, slots=True)
class TextFault:
    """One thing wrong with a measurement file; line 0 stands for the file as a whole."""

    line: int
    message: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.message}" if self.line else self.message


class MeasurementError(RegistryError):
    """Bytes that are not a measurement file, with every reason found."""

    def __init__(self, faults: tuple[TextFault, ...]) -> None:
        self.faults = faults
        super().__init__(faults)

    def __str__(self) -> str:
        return "\n".join(map(str, self.faults))


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

    def remarks(self) -> list[str]:
        """Return what the header says of computation and light, parted by `;`."""
        return f"{self.said('COMPUTATIONAL_PARAMETER')}; {self.said('MEASUREMENT_SOURCE')}".split(";")


@dataclass(frozen=True, slots=True)
class Measurement:
    """A measurement file."""

    signature: str
    """Its first line, such as `CGATS.17`."""
    tables: tuple[Table, ...]
    """At least one."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """How a table was measured, in the header's own words; empty where it does not say."""

    geometry: str
    source_face: str
    """Which face looked at the source: the part of the geometry that speaks of the source."""
    response: str
    zero: str
    light: str
    """What XYZ and L*a*b* were computed for: illuminant, observer, white."""
    instrument: str
    simulated: bool
    """The header calls the readings simulated: they came out of a model, not an instrument."""


def conditions(table: Table) -> Conditions:
    """Return how a table was measured, from its header alone."""
    weighting = table.pairs("WEIGHTING_FUNCTION")
    parameter, _, zero = table.pairs("COMPUTATIONAL_PARAMETER").get("DENSITY", "").partition(",")
    named = [weighting[name] for name in ("ILLUMINANT", "OBSERVER") if name in weighting]
    geometry = table.said("MEASUREMENT_GEOMETRY")
    everything = " ".join(value for values in table.header.values() for value in values)
    return Conditions(
        geometry=geometry,
        source_face=_part(geometry.split(","), "source"),
        response=weighting["DENSITY"] if "DENSITY" in weighting else table.said("WEIGHTING_FUNCTION"),
        zero=zero.strip() if parameter.strip().upper() == "ZERO" else _part(table.remarks(), "zero"),
        light=", ".join(named) or _part(table.remarks(), "lab"),
        instrument=table.said("INSTRUMENTATION"),
        simulated="simulat" in everything.lower(),
    )


def _part(parts: Iterable[str], word: str) -> str:
    """Return the first part that speaks of a thing."""
    return next((part.strip() for part in parts if word in part.lower()), "")


def read_cgats(data: bytes) -> Measurement:
    """Return what a measurement file holds.

    Raises
    ------
    MeasurementError
        The bytes are not such a file; the error lists every fault with its line.
    """
    reader = _Reader()
    for number, line in enumerate(re.split(r"\r\n|\r|\n", _decoded(data)), 1):
        reader.take(number, list(reader.tokens(number, line)))
    reader.end()
    if reader.faults:
        raise MeasurementError(tuple(sorted(reader.faults, key=lambda fault: fault.line or math.inf)))
    return Measurement(reader.signature, tuple(reader.tables))


def _decoded(data: bytes) -> str:
    if b"\0" in data:
        raise MeasurementError((TextFault(0, "the file is not text; export it as CGATS.17 text"),))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


@dataclass(slots=True)
class _Token:
    text: str
    line: int
    quoted: bool


@dataclass(slots=True)
class _Draft:
    """A table being read."""

    header: dict[str, tuple[str, ...]]
    own: set[str] = field(default_factory=set)
    fields: tuple[str, ...] = ()
    counts: dict[str, tuple[int, str]] = field(default_factory=dict)
    format_line: int = 0
    data_line: int = 0
    rows: list[list[_Token]] = field(default_factory=list)


class _Reader:
    """Reads line by line: signature, then header, format and data of table after table."""

    def __init__(self) -> None:
        self.signature = ""
        self.tables: list[Table] = []
        self.faults: list[TextFault] = []
        self._draft = _Draft({})
        self._within = ""

    def fault(self, line: int, message: str) -> None:
        self.faults.append(TextFault(line, message))

    def tokens(self, number: int, line: str) -> Iterator[_Token]:
        if '"' not in line and "#" not in line:  # most lines: nothing to look at closely
            yield from (_Token(text, number, quoted=False) for text in line.split())
            return
        for found in _TOKEN.finditer(line):
            match found.lastgroup:
                case "quoted":
                    yield _Token(found["quoted"].replace('""', '"'), number, quoted=True)
                case "bare":
                    yield _Token(found["bare"], number, quoted=False)
                case "open":
                    self.fault(number, f"the quotation mark before {found['open'][1:21]!r} is never closed")

    def take(self, number: int, tokens: list[_Token]) -> None:
        if not tokens:
            return
        first = tokens[0]
        if not self.signature:
            self.signature = " ".join(token.text for token in tokens)
            if len(tokens) > 1 or first.quoted or first.text in _SYNTAX:
                self.fault(number, f"found {first.text!r} where the signature stands; begin with 'CGATS.17'")
        elif not first.quoted and first.text in _SYNTAX - {"KEYWORD"}:
            self._turn(number, first.text)
        elif self._within == "BEGIN_DATA_FORMAT":
            self._draft.fields += tuple(token.text for token in tokens)
        elif self._within == "BEGIN_DATA":
            self._draft.rows.append(tokens)
        else:
            self._header(number, tokens)

    def end(self) -> None:
        if not self.signature:
            self.fault(0, "the file is empty")
        elif self._within:
            closing = self._within.replace("BEGIN", "END")
            self.fault(0, f"the file ends without {closing}; it may have been cut off")
        elif self._draft.own or self._draft.counts or self._draft.format_line or not self.tables:
            self.fault(0, "the file ends without BEGIN_DATA; it may have been cut off")

    def _turn(self, number: int, word: str) -> None:
        opens, within = word.startswith("BEGIN"), self._within
        if opens == bool(within) or (not opens and word != within.replace("BEGIN", "END")):
            self.fault(number, f"{word} does not belong {f'within {within}' if within else 'here'}")
        self._within = word if opens else ""
        if word == "BEGIN_DATA_FORMAT":
            self._draft.fields, self._draft.format_line = (), number
        elif word == "BEGIN_DATA":
            self._draft.data_line = number
        elif word == "END_DATA" and within == "BEGIN_DATA":
            self._close()

    def _header(self, number: int, tokens: list[_Token]) -> None:
        keyword, values = tokens[0].text, [token.text for token in tokens[1:]]
        if tokens[0].quoted or not values or not _KEYWORD.fullmatch(keyword):
            self.fault(number, f"found {keyword!r} where a keyword and its value are due")
        elif keyword in _LAYOUT:
            self._draft.counts[keyword] = (number, values[0])
        elif keyword != "KEYWORD":
            before = self._draft.header[keyword] if keyword in self._draft.own else ()
            self._draft.header[keyword] = (*before, " ".join(values))
            self._draft.own.add(keyword)

    def _close(self) -> None:
        draft = self._draft
        if not draft.fields and self.tables and not draft.format_line:
            draft.fields = self.tables[-1].fields
        if not draft.fields:
            self.fault(draft.data_line, "data without a data format; name the fields before them")
        for name in sorted({name for name in draft.fields if draft.fields.count(name) > 1}):
            self.fault(draft.format_line, f"the field {name!r} is named twice")
        self._count("NUMBER_OF_FIELDS", len(draft.fields))
        rows = self._rows(draft)
        self._count("NUMBER_OF_SETS", len(rows))
        measured = [_MEASURED.fullmatch(name) is not None for name in draft.fields]
        sets = [
            {
                name: self._number(name, token) if number else token.text
                for name, number, token in zip(draft.fields, measured, row, strict=True)
            }
            for row in rows
            if len(row) == len(draft.fields)
        ]
        self.tables.append(Table(draft.header, draft.fields, tuple(sets)))
        self._draft = _Draft(dict(draft.header))

    def _rows(self, draft: _Draft) -> list[list[_Token]]:
        """Return the sets' values: one set a line, or folded over lines where the whole comes out even."""
        width = len(draft.fields)
        odd = [row for row in draft.rows if len(row) != width]
        if not width or not odd:
            return draft.rows
        flat = [token for row in draft.rows for token in row]
        if max(map(len, draft.rows)) < width and not len(flat) % width:
            return [flat[start : start + width] for start in range(0, len(flat), width)]
        for row in odd:
            self.fault(row[0].line, f"found {len(row)} values for {width} fields")
        return draft.rows

    def _count(self, keyword: str, found: int) -> None:
        line, said = self._draft.counts.get(keyword, (0, str(found)))
        if said != str(found):
            self.fault(line, f"{keyword} says {said!r}, but there are {found}")

    def _number(self, name: str, token: _Token) -> float:
        value = float(token.text) if _NUMBER.fullmatch(token.text) else math.nan
        if not math.isfinite(value):
            remedy = (
                "write a point before decimals"
                if "," in token.text
                else "write a number, or leave the set out"
            )
            self.fault(token.line, f"{name} is {token.text!r}, which is no number; {remedy}")
        return value
