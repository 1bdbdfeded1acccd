"""Text files of measurements in the form of CGATS.17 (ISO 28178): a keyword header and one table."""

import re
from collections.abc import Mapping, Sequence

__all__ = ["STANDARD", "header", "rows", "written"]

STANDARD = frozenset(
    """ORIGINATOR DESCRIPTOR CREATED INSTRUMENTATION MEASUREMENT_SOURCE MEASUREMENT_GEOMETRY PRINT_CONDITIONS
    SAMPLE_BACKING FILTER WEIGHTING_FUNCTION COMPUTATIONAL_PARAMETER MATERIAL""".split()
)
"""Header keywords that need no declaration (from memory of ISO 28178); all others are declared by KEYWORD."""

_HEADER = re.compile(r'^([A-Z][A-Z0-9_]*)\t"([^"\n]*)"$', re.MULTILINE)


def written(keywords: Mapping[str, str], fields: Sequence[str], table: Sequence[Sequence[str]]) -> str:
    """Return the text of a file, with tabs between columns and LF at line ends."""
    lines = ["CGATS.17", ""]
    for keyword, value in keywords.items():
        if keyword not in STANDARD:
            lines.append(f'KEYWORD\t"{keyword}"')
        lines.append(f'{keyword}\t"{value}"')
    lines += ["", f"NUMBER_OF_FIELDS\t{len(fields)}", "BEGIN_DATA_FORMAT", "\t".join(fields)]
    lines += ["END_DATA_FORMAT", "", f"NUMBER_OF_SETS\t{len(table)}", "BEGIN_DATA"]
    lines += ["\t".join(row) for row in table]
    return "\n".join([*lines, "END_DATA", ""])


def header(text: str) -> dict[str, str]:
    """Return the header of a file that `written` made, by keyword.

    >>> header(written({"ORIGINATOR": "demo", "SEED": "7"}, ["SAMPLE_ID"], [["1"]]))
    {'ORIGINATOR': 'demo', 'SEED': '7'}
    """
    found = _HEADER.findall(text.partition("BEGIN_DATA_FORMAT")[0])
    return {keyword: value for keyword, value in found if keyword != "KEYWORD"}


def rows(text: str) -> list[dict[str, str]]:
    """Return the table of a file that `written` made, one row a patch, by field.

    >>> rows(written({}, ["SAMPLE_ID", "LAB_L"], [["1", "99.5"]]))
    [{'SAMPLE_ID': '1', 'LAB_L': '99.5'}]
    """
    fields = _between(text, "BEGIN_DATA_FORMAT", "END_DATA_FORMAT")[0].split("\t")
    return [
        dict(zip(fields, line.split("\t"), strict=True)) for line in _between(text, "BEGIN_DATA", "END_DATA")
    ]


def _between(text: str, first: str, last: str) -> list[str]:
    lines = text.split("\n")
    return lines[lines.index(first) + 1 : lines.index(last)]
