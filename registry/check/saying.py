"""How findings put values into words."""

import difflib
import json
from collections.abc import Iterable
from typing import Any

__all__ = ["listed", "meant", "quantity", "shown"]

_LONGEST = 80


def quantity(value: float, unit: str = "") -> str:
    """Return a number with its unit.

    >>> quantity(98.0, "°C")
    '98 °C'
    """
    return f"{value:.10g} {unit}".rstrip()


def shown(value: Any, unit: str = "") -> str:
    """Return a value as it stands in the record, shortened where it is long."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return quantity(value, unit)
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"


def listed(values: Iterable[Any], unit: str = "") -> str:
    """Return values as a list of alternatives.

    >>> listed(["film", "sheet", "paper"])
    '"film", "sheet" or "paper"'
    """
    *first, last = [shown(value, unit) for value in values]
    return f"{', '.join(first)} or {last}" if first else last


def meant(word: Any, words: Iterable[str]) -> str:
    """Return the question whether a similar word was meant, or nothing.

    >>> meant("polyestre", ["polyester", "pvc"])
    'did you mean "polyester"?'
    """
    near = difflib.get_close_matches(str(word), list(words), n=1)
    return f"did you mean {shown(near[0])}?" if near else ""
