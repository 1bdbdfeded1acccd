"""The demo's measurement files as its tools make them: one table, cells as text to stay byte-equal."""

from collections.abc import Mapping, Sequence

from registry.measurement import read_cgats
from registry.measurement.writing import table_lines

__all__ = ["header", "rows", "written"]


def written(keywords: Mapping[str, str], fields: Sequence[str], table: Sequence[Sequence[str]]) -> str:
    """Return the text of a file, with tabs between columns and LF at line ends."""
    header = {keyword: [value] for keyword, value in keywords.items()}
    return "\n".join(["CGATS.17", "", *table_lines(header, fields, table), ""])


def header(text: str) -> dict[str, str]:
    """Return the header of a file, by keyword.

    >>> header(written({"ORIGINATOR": "demo", "SEED": "7"}, ["SAMPLE_ID"], [["1"]]))
    {'ORIGINATOR': 'demo', 'SEED': '7'}
    """
    (table,) = read_cgats(text.encode()).tables
    return {keyword: table.said(keyword) for keyword in table.header}


def rows(text: str) -> list[dict[str, float | str]]:
    """Return the table of a file, one row a patch, by field.

    >>> rows(written({}, ["SAMPLE_ID", "LAB_L"], [["1", "99.5"]]))
    [{'SAMPLE_ID': '1', 'LAB_L': 99.5}]
    """
    (table,) = read_cgats(text.encode()).tables
    return [dict(each) for each in table.sets]
