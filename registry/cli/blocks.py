"""Blocks of text whose lines are led by what they are about, and how wide a page is."""

import os
import re
import sys
import textwrap
from collections.abc import Iterator, Sequence
from contextlib import suppress

__all__ = ["INDENT", "labelled", "page_width", "paragraph", "typed"]

INDENT = "   "
_WIDTH, _NARROWEST, _WIDEST = 100, 60, 120
"""Columns of a page that is no terminal; the least and the most that a terminal's page has."""
_LABEL = 11
_DEEPER = "    "
"""Before what goes on of a command."""
_BEFORE_UNIT = re.compile(r"(?<=[0-9]) (?=[^0-9\s])")
_GLUE = "\u00a0"
"""Keeps a number and its unit on one line."""


def page_width() -> int:
    """Return how many columns a page has: on a terminal as many as that has, as far as lines stay readable.

    What is written elsewhere, to a file or another program, has one width, so that it can be compared.
    """
    if not sys.stdout.isatty():
        return _WIDTH
    said = os.environ.get("COLUMNS", "")
    columns = int(said) if said.isdecimal() else 0
    if not columns:
        with suppress(OSError, ValueError):  # a terminal that does not say how wide it is
            columns = os.get_terminal_size(sys.stdout.fileno()).columns
    return min(max(columns, _NARROWEST), _WIDEST) if columns else _WIDTH


def labelled(label: str, texts: Sequence[str]) -> Iterator[str]:
    """Yield texts beside their label, which is told once."""
    for number, text in enumerate(texts):
        lead = "" if number else label
        yield from paragraph(text, f"{INDENT}{lead:<{_LABEL}}", INDENT + " " * _LABEL)


def paragraph(text: str, lead: str = "", then: str = "") -> Iterator[str]:
    """Yield a text as lines that fit the page; a number and its unit stay together."""
    lines = textwrap.wrap(
        _BEFORE_UNIT.sub(_GLUE, text),
        page_width(),
        initial_indent=lead,
        subsequent_indent=then or lead,
        break_on_hyphens=False,
    )
    yield from (line.replace(_GLUE, " ") for line in lines)


def typed(label: str, commands: Sequence[Sequence[str]]) -> Iterator[str]:
    """Yield commands beside their label, to be pasted as they stand: a line that goes on says so.

    A command is a list of what must not be parted, such as an option with its value.
    """
    room = page_width() - len(INDENT) - _LABEL - len(" \\")
    for number, command in enumerate(commands):
        lead = "" if number else label
        lines = [command[0]]
        for part in command[1:]:
            if len(lines[-1]) + 1 + len(part) <= room:
                lines[-1] += f" {part}"
            else:
                lines.append(_DEEPER + part)
        for line in lines[:-1]:
            yield f"{INDENT}{lead:<{_LABEL}}{line} \\"
            lead = ""
        yield f"{INDENT}{lead:<{_LABEL}}{lines[-1]}"
