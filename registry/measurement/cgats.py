"""Reading CGATS.17 text (ISO 28178), as instruments and people write it.

Lines may end in CR, LF or both; letters are UTF-8 or Latin-1; keywords, counts, format and data may stand in
any order as long as each table has its own data; sets may be folded over lines.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from registry.measurement.form import (
    COUNTS,
    DECLARATION,
    KEYWORD,
    NUMBER,
    SECTIONS,
    STANDARD,
    Measurement,
    MeasurementError,
    Table,
    TextFault,
    is_number,
    is_reading,
)

__all__ = ["read_cgats"]

_TOKEN = re.compile(r'"(?P<quoted>(?:[^"]|"")*)"|(?P<open>".*)|(?P<comment>#.*)|(?P<bare>[^\s"#]+)')
_OPENS_A_TABLE = frozenset({"TABLE_NAME", "TABLE_DESCRIPTOR"})
_PAIR = re.compile(r"SPECTRAL_(PCT|DEC)", re.IGNORECASE)


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
            self._sign(number, tokens)
        elif not first.quoted and first.text in SECTIONS:
            self._turn(number, first.text)
        elif self._within == "BEGIN_DATA_FORMAT":
            self._draft.fields += tuple(token.text for token in tokens)
        elif self._within == "BEGIN_DATA":
            self._draft.rows.append(tokens)
        else:
            self._header(number, tokens)

    def end(self) -> None:
        draft = self._draft
        if not self.signature:
            self.fault(0, "the file is empty")
        elif self._within:
            closing = self._within.replace("BEGIN", "END")
            self.fault(0, f"the file ends without {closing}; it may have been cut off")
        elif draft.data_line:
            self.fault(draft.data_line, "data without a data format; name the fields before them")
        elif self.tables and self._belongs_to_the_last(draft):
            self.tables[-1] = Table(draft.header, self.tables[-1].fields, self.tables[-1].sets)
        elif draft.own or draft.counts or draft.format_line or not self.tables:
            self.fault(0, "the file ends without BEGIN_DATA; it may have been cut off")

    def _belongs_to_the_last(self, draft: _Draft) -> bool:
        """Whether what follows the last data is no beginning of another table, but more of its header."""
        anew = draft.own & (self.tables[-1].header.keys() | _OPENS_A_TABLE)
        return bool(draft.own) and not (anew or draft.counts or draft.format_line)

    def _sign(self, number: int, tokens: list[_Token]) -> None:
        self.signature = " ".join(token.text for token in tokens)
        if any(token.quoted for token in tokens) or tokens[0].text in SECTIONS | COUNTS | STANDARD:
            found = tokens[0].text
            self.fault(number, f"found {found!r} where the signature stands; begin with 'CGATS.17'")

    def _turn(self, number: int, word: str) -> None:
        draft, within = self._draft, self._within
        opens = word.startswith("BEGIN")
        if opens == bool(within) or (not opens and word != within.replace("BEGIN", "END")):
            self.fault(number, f"{word} does not belong {f'within {within}' if within else 'here'}")
        self._within = word if opens else ""
        if word == "BEGIN_DATA_FORMAT":
            draft.fields, draft.format_line = (), number
        elif word == "BEGIN_DATA":
            if draft.data_line:
                self.fault(draft.data_line, "data without a data format; name the fields before them")
            draft.data_line = number
        elif word == within.replace("BEGIN", "END") and draft.data_line:
            self._close()

    def _header(self, number: int, tokens: list[_Token]) -> None:
        keyword, values = tokens[0].text, [token.text for token in tokens[1:]]
        if tokens[0].quoted or not values or not KEYWORD.fullmatch(keyword):
            self.fault(number, f"found {keyword!r} where a keyword and its value are due")
        elif keyword in COUNTS:
            self._draft.counts[keyword] = (number, values[0])
        elif keyword != DECLARATION:
            before = self._draft.header[keyword] if keyword in self._draft.own else ()
            self._draft.header[keyword] = (*before, " ".join(values))
            self._draft.own.add(keyword)

    def _close(self) -> None:
        """Finish the table whose data and format are both there; a later table may have the last one's."""
        draft = self._draft
        if not draft.format_line and self.tables:
            draft.fields = self.tables[-1].fields
        if not draft.fields and not draft.format_line:
            return  # the format may follow its data
        if not draft.fields:
            self.fault(draft.format_line, "the data format names no fields")
        self._count("NUMBER_OF_FIELDS", len(draft.fields))
        rows = self._rows(draft)
        self._count("NUMBER_OF_SETS", len(rows))
        fields, rows = self._named_by_wavelength(draft.fields, rows)
        for name in sorted({name for name in fields if fields.count(name) > 1}):
            self.fault(draft.format_line, f"the field {name!r} is named twice")
        numeric = [is_number(name) for name in fields]
        sets = [
            {
                name: self._number(name, token) if number else token.text
                for name, number, token in zip(fields, numeric, row, strict=True)
            }
            for row in rows
            if len(row) == len(fields)
        ]
        self.tables.append(Table(draft.header, fields, tuple(sets)))
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

    def _named_by_wavelength(
        self, fields: tuple[str, ...], rows: list[list[_Token]]
    ) -> tuple[tuple[str, ...], list[list[_Token]]]:
        """Return pairs of SPECTRAL_NM and SPECTRAL_PCT, the standard's own form, as a field a wavelength."""
        pairs = [at for at in range(1, len(fields)) if _is_pair(fields[at - 1], fields[at])]
        if len(pairs) < 2 or not rows or any(len(row) != len(fields) for row in rows):
            return fields, rows
        named, first = list(fields), rows[0]
        for at in pairs:
            named[at] = f"{fields[at]}{first[at - 1].text}"
            for row in rows:
                if row[at - 1].text != first[at - 1].text:
                    found, wanted = row[at - 1], first[at - 1].text
                    self.fault(found.line, f"found {found.text!r} nm where the first set has {wanted!r} nm")
        kept = [at for at in range(len(fields)) if at + 1 not in pairs]
        return tuple(named[at] for at in kept), [[row[at] for at in kept] for row in rows]

    def _count(self, keyword: str, found: int) -> None:
        line, said = self._draft.counts.get(keyword, (0, str(found)))
        if said != str(found):
            self.fault(line, f"{keyword} says {said!r}, but there are {found}")

    def _number(self, name: str, token: _Token) -> float:
        value = float(token.text) if NUMBER.fullmatch(token.text) else math.nan
        if not is_reading(value):
            remedy = (
                "write a point before decimals"
                if "," in token.text
                else "write a number, or leave the set out"
            )
            what = "no number" if math.isnan(value) else "beyond what can be read"
            self.fault(token.line, f"{name} is {token.text!r}, which is {what}; {remedy}")
        return value


def _is_pair(first: str, second: str) -> bool:
    return first.upper() == "SPECTRAL_NM" and _PAIR.fullmatch(second) is not None
