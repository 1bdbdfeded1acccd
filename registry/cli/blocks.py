"""Blocks of text whose lines are led by what they are about."""

import re
import textwrap
from collections.abc import Iterator, Sequence

__all__ = ["INDENT", "labelled", "paragraph"]

INDENT = "   "
_WIDTH = 100
_LABEL = 11
_BEFORE_UNIT = re.compile(r"(?<=[0-9]) (?=[^0-9\s])")
_GLUE = "\u00a0"
"""Keeps a number and its unit on one line."""


def labelled(label: str, texts: Sequence[str]) -> Iterator[str]:
    """Yield texts beside their label, which is told once."""
    for number, text in enumerate(texts):
        lead = "" if number else label
        yield from paragraph(text, f"{INDENT}{lead:<{_LABEL}}", INDENT + " " * _LABEL)


def paragraph(text: str, lead: str = "", then: str = "") -> Iterator[str]:
    """Yield a text as lines that fit the page; a number and its unit stay together."""
    lines = textwrap.wrap(
        _BEFORE_UNIT.sub(_GLUE, text),
        _WIDTH,
        initial_indent=lead,
        subsequent_indent=then or lead,
        break_on_hyphens=False,
    )
    yield from (line.replace(_GLUE, " ") for line in lines)
