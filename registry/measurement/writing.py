"""Writing CGATS.17 text (ISO 28178) that reads back as what was written."""

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from registry.measurement.form import (
    COUNTS,
    DECLARATION,
    KEYWORD,
    SECTIONS,
    STANDARD,
    Measurement,
    MeasurementError,
    Table,
    TextFault,
    is_number,
)

__all__ = ["table_lines", "write_cgats"]

_BARE = re.compile(r'[^\s"#]+')
_UNHELD = re.compile("[\0\r\n\ud800-\udfff]")
"""Characters that no line of text holds."""


def write_cgats(measurement: Measurement) -> bytes:
    """Return the text of a measurement, with tabs between columns and LF at line ends.

    Raises
    ------
    MeasurementError
        The form cannot hold it; the error lists every reason.
    """
    faults = tuple(TextFault(0, message) for message in _faults(measurement))
    if faults:
        raise MeasurementError(faults)
    lines, before = [measurement.signature, ""], dict[str, tuple[str, ...]]()
    for table in measurement.tables:
        own = {name: said for name, said in table.header.items() if before.get(name) != said}
        rows = [[_cell(each[name]) for name in table.fields] for each in table.sets]
        lines += table_lines(own, list(map(_quoted_if_need_be, table.fields)), rows)
        before = dict(table.header)
    return "\n".join([*lines, ""]).encode()


def table_lines(
    header: Mapping[str, Iterable[str]], fields: Sequence[str], rows: Iterable[Sequence[str]]
) -> Iterator[str]:
    """Yield the lines of one table; fields and cells are as they are to stand in the file."""
    rows = list(rows)
    for keyword, values in header.items():
        if keyword not in STANDARD:
            yield f'{DECLARATION}\t"{keyword}"'
        yield from (f"{keyword}\t{_quoted(value)}" for value in values)
    yield from ("", f"NUMBER_OF_FIELDS\t{len(fields)}", "BEGIN_DATA_FORMAT", "\t".join(fields))
    yield from ("END_DATA_FORMAT", "", f"NUMBER_OF_SETS\t{len(rows)}", "BEGIN_DATA")
    yield from ("\t".join(row) for row in rows)
    yield "END_DATA"


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"'


def _quoted_if_need_be(text: str) -> str:
    return text if _BARE.fullmatch(text) and text not in SECTIONS else _quoted(text)


def _cell(value: float | str) -> str:
    """Return a value as a file holds it: numbers with as many figures as read back the same.

    >>> _cell(100.0), _cell(0.1), _cell("deep blue")
    ('100', '0.1', '"deep blue"')
    """
    return _quoted_if_need_be(value) if isinstance(value, str) else repr(float(value)).removesuffix(".0")


def _faults(measurement: Measurement) -> Iterator[str]:
    words = measurement.signature.split(" ")
    if not all(map(_BARE.fullmatch, words)) or words[0] in SECTIONS | COUNTS | STANDARD:
        yield f"{measurement.signature!r} is no signature: one or more plain words, such as CGATS.17"
    if not measurement.tables:
        yield "a measurement has at least one table"
    before: Mapping[str, tuple[str, ...]] = {}
    for number, table in enumerate(measurement.tables, 1):
        where = f"table {number}: " if len(measurement.tables) > 1 else ""
        for keyword in before.keys() - table.header.keys():
            yield f"{where}an earlier table's {keyword} would hold here too: say what it is here"
        yield from (where + fault for fault in _faults_of(table))
        before = table.header
    for text in _texts(measurement):
        if _UNHELD.search(text):
            yield f"{text!r} holds what a line of text cannot, such as a line's end"


def _faults_of(table: Table) -> Iterator[str]:
    for keyword, values in table.header.items():
        if not KEYWORD.fullmatch(keyword) or keyword in SECTIONS | COUNTS | {DECLARATION}:
            yield f"{keyword!r} is no keyword of one's own: a letter, then letters, digits and _"
        if not values:
            yield f"the keyword {keyword} has no value"
    if not table.fields:
        yield "no field is named"
    for name in sorted({name for name in table.fields if table.fields.count(name) > 1}):
        yield f"the field {name!r} is named twice"
    yield from _faults_of_sets(table)


def _faults_of_sets(table: Table) -> Iterator[str]:
    for number, each in enumerate(table.sets, 1):
        if each.keys() != set(table.fields):
            yield f"set {number} does not have a value for each field and no others"
            continue
        for name, value in each.items():
            if is_number(name) != isinstance(value, (int, float)):
                yield f"set {number}: {name} is {value!r}; the form holds {_sort(name)} there"
            elif isinstance(value, float) and not math.isfinite(value):
                yield f"set {number}: {name} is {value!r}; write a number, or leave the set out"


def _sort(name: str) -> str:
    return "a number" if is_number(name) else "text"


def _texts(measurement: Measurement) -> Iterator[str]:
    for table in measurement.tables:
        yield from (value for values in table.header.values() for value in values)
        yield from table.fields
        yield from (value for each in table.sets for value in each.values() if isinstance(value, str))
