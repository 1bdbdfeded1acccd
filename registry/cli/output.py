"""Writing answers: tables for people, JSON, CSV and Markdown for programs and papers. Data on stdout only."""

import csv
import io
import json
import os
from collections.abc import Mapping, Sequence
from typing import Any

import click

__all__ = ["bold", "figures", "rounded", "say", "table", "write_json", "write_table"]


def write_json(answer: Mapping[str, Any]) -> None:
    """Write an answer as JSON, keys in their own order."""
    click.echo(json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False))


def write_table(rows: Sequence[Mapping[str, Any]], columns: Mapping[str, str], form: str) -> None:
    """Write rows in the columns given (key → heading) as text, csv or markdown."""
    if form == "csv":
        click.echo(_csv(rows, columns), nl=False)
    else:
        click.echo(table(rows, columns, "github" if form == "markdown" else "plain"))


def table(rows: Sequence[Mapping[str, Any]], columns: Mapping[str, str], style: str = "plain") -> str:
    """Return rows as a table of text."""
    from tabulate import tabulate  # noqa: PLC0415 (dear at start-up; only who writes a table pays)

    body = [[_cell(row.get(key)) for key in columns] for row in rows]
    if style == "github":  # a cell is one line there, and a bar would end it
        body = [[" ".join(cell.split()).replace("|", "\\|") for cell in cells] for cells in body]
    return tabulate(body, headers=list(columns.values()), tablefmt=style, disable_numparse=True)


def _csv(rows: Sequence[Mapping[str, Any]], columns: Mapping[str, str]) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([_cell(row.get(key)) for key in columns] for row in rows)
    return stream.getvalue()


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return rounded(value)
    if isinstance(value, (list, tuple)):
        return ", ".join(_cell(each) for each in value)
    return str(value)


def rounded(value: float) -> str:
    """Return a number as people write it: at most five figures, no needless zeros.

    >>> rounded(98.0), rounded(0.1 + 0.2), rounded(1234.5)
    ('98', '0.3', '1234.5')
    """
    text = f"{value:.5g}" if abs(value) < 1e5 else f"{value:.0f}"
    return f"{float(text):g}" if "e" not in text else text


def figures(answer: Any) -> Any:
    """Return an answer with its computed numbers to six figures and nine places.

    More is noise, and differs by machine.

    >>> figures({"lab": (28.424644661821958, -0.0, 8.3e-14), "passes": 16})
    {'lab': [28.4246, 0.0, 0.0], 'passes': 16}
    """
    if isinstance(answer, float):
        return round(float(f"{answer:.6g}"), 9) + 0.0
    if isinstance(answer, Mapping):
        return {name: figures(value) for name, value in answer.items()}
    if isinstance(answer, (list, tuple)):
        return [figures(each) for each in answer]
    return answer


def bold(text: str) -> str:
    """Return text in bold for a terminal; NO_COLOR keeps it plain, and so does any other output."""
    return text if os.environ.get("NO_COLOR") else click.style(text, bold=True)


def say(text: str = "") -> None:
    """Write a line."""
    click.echo(text)
