"""Writing answers: tables for people, JSON, CSV and Markdown for programs and papers. Data on stdout only."""

import csv
import io
import json
import os
import re
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from typing import Any

import click

__all__ = [
    "Bold",
    "done",
    "figures",
    "rounded",
    "say",
    "table",
    "tell",
    "unprinted",
    "write_json",
    "write_table",
]

_DONE = "registry.cli.output.done"
_NUMBERS = re.compile(r"[-+]?[0-9.]+(e[-+]?[0-9]+)?(, [-+]?[0-9.]+(e[-+]?[0-9]+)?)*")
_PLAIN = re.compile(
    "[\n -~\u00a1-\u00ac\u00ae-\u024f\u0391-\u03c9\u2010-\u2027\u2030-\u203a"
    "\u2070-\u209c\u2190-\u22ff\u2500-\u257f]*"
)
"""Text of which everything is seen anyway: nearly all that is ever written, known without a dear import."""
_FORMULA = tuple("=+-@\uff1d\uff0b\uff0d\uff20")
"""What a spreadsheet takes the rest of a cell for a formula after; the last four are their wide forms."""
_MARKED = re.compile(
    r"[\\`*\[\]<>~$|]|&(?=[#\w])|_(?![^\W_])|(?<![^\W_])_"
    r"|(?<=http):|(?<=https):|(?<=ftp):|(?<=www)\."
)
"""What Markdown would read as emphasis, code, a link, an image, mathematics or HTML."""


def _seen(text: str, keep: str = "", escape: Callable[[str], str] | None = None) -> str:
    """Return text in which everything can be seen; see `registry.canonical.visible`."""
    if _PLAIN.fullmatch(text) and ("\n" in keep or "\n" not in text):
        return text
    from registry.canonical import visible  # noqa: PLC0415 (6 ms that only odd text pays for)

    return visible(text, keep, escape) if escape else visible(text, keep)


def write_json(answer: Mapping[str, Any]) -> None:
    """Write an answer as JSON, keys in their own order."""
    text = json.dumps(answer, indent=2, allow_nan=False, ensure_ascii=not _shows_all())
    click.echo(_seen(text, keep="\n", escape=_in_json), file=sys.stdout)


def write_table(rows: Sequence[Mapping[str, Any]], columns: Mapping[str, str], form: str) -> None:
    """Write rows in the columns given (key → heading) as text, csv or markdown."""
    if form == "csv":
        say(_csv(rows, columns))
    else:
        say(table(rows, columns, "github" if form == "markdown" else "plain"))


def table(rows: Sequence[Mapping[str, Any]], columns: Mapping[str, str], style: str = "plain") -> str:
    """Return rows as a table of text."""
    from tabulate import tabulate  # noqa: PLC0415 (dear at start-up; only who writes a table pays)

    body = [[_cell(row.get(key)) for key in columns] for row in rows]
    if style == "github":
        body = [[_MARKED.sub(r"\\\g<0>", cell) for cell in cells] for cells in body]
    return tabulate(body, headers=list(columns.values()), tablefmt=style, disable_numparse=True)


def _csv(rows: Sequence[Mapping[str, Any]], columns: Mapping[str, str]) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([_harmless(_cell(row.get(key))) for key in columns] for row in rows)
    return stream.getvalue().removesuffix("\n")


def _harmless(cell: str) -> str:
    """Return a cell that no spreadsheet runs as a formula; numbers stay numbers."""
    runs = cell.lstrip().startswith(_FORMULA) and not _NUMBERS.fullmatch(cell)
    return f"'{cell}" if runs else cell


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return rounded(value)
    if isinstance(value, (list, tuple)):
        return ", ".join(_cell(each) for each in value)
    return _seen(str(value))


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


class Bold(str):
    """A line that is written in bold on a terminal; NO_COLOR keeps it plain, and so does any other output."""

    __slots__ = ()


def say(text: str = "") -> None:
    """Write a line, or several, of an answer."""
    seen = _seen(text, keep="\n")
    bold = isinstance(text, Bold) and not os.environ.get("NO_COLOR")
    click.echo(click.style(seen, bold=True) if bold else seen, file=sys.stdout)


def tell(words: str) -> None:
    """Write words beside the answer; that nobody can be told them changes nothing."""
    with suppress(OSError):
        click.echo(_seen(words, keep="\n"), file=sys.stderr)


def done(words: str) -> None:
    """Remember what was done for good: if the answer cannot be printed then, the command has not failed."""
    if context := click.get_current_context(silent=True):
        context.meta[_DONE] = words


def unprinted(context: click.Context) -> str:
    """Return what was done for good before printing failed; empty if nothing was."""
    return str(context.meta.get(_DONE, ""))


def _in_json(character: str) -> str:
    return json.dumps(character)[1:-1]


def _shows_all() -> bool:
    return (getattr(sys.stdout, "encoding", None) or "utf-8").lower().startswith("utf")
