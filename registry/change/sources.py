"""Where each value of a record comes from, and how old that is."""

import datetime
from dataclasses import dataclass
from typing import Any

from registry import canonical
from registry.model.shape import Shape, named_items

__all__ = ["NamedSource", "age", "sources_of"]


@dataclass(frozen=True, slots=True)
class NamedSource:
    """One source, and what it covers."""

    path: str
    """Dotted path of what it covers; empty for the whole record."""
    kind: str
    method: str = ""
    instrument: str = ""
    site: str = ""
    date: str = ""
    note: str = ""

    def covers(self, path: str) -> bool:
        """Whether it speaks of the value at this path."""
        return not self.path or path == self.path or path.startswith(f"{self.path}.")


def sources_of(shape: Shape, document: dict[str, Any]) -> list[NamedSource]:
    """Return the record's sources, the most particular first: the first that covers a value is its own."""
    named = [
        NamedSource(_dotted(shape, document, pointer), **source)
        for pointer, source in document.get("sources", {}).items()
    ]
    return sorted(named, key=lambda source: (-len(source.path), source.path))


def age(date: str, today: datetime.date) -> str:
    """Return how long ago a day was, in words; nothing for a day still to come.

    >>> age("2025-06-02", datetime.date(2026, 11, 24))
    '17 months ago'
    >>> age("2026-11-24", datetime.date(2026, 11, 24)), age("2026-11-23", datetime.date(2026, 11, 24))
    ('today', '1 day ago')
    """
    day = datetime.date.fromisoformat(date)
    days = (today - day).days
    months = (today.year - day.year) * 12 + today.month - day.month - (today.day < day.day)
    if days < 0:
        return ""
    if days == 0:
        return "today"
    if months < 2:
        return f"{days} day{'s' * (days > 1)} ago"
    return f"{months} months ago" if months < 24 else f"{months // 12} years ago"


def _dotted(shape: Shape, document: dict[str, Any], pointer: str) -> str:
    """Return the path at which people know what a JSON pointer names; the empty one is the whole record."""
    node: dict[str, Any] = shape.schema
    value: Any = document
    names: list[str] = []
    for part in canonical.split_pointer(pointer):
        inner = shape.resolve(node)
        if isinstance(value, list):
            items = list(named_items(value, inner.get("x-key", "")))
            known = part.isdecimal() and int(part) < len(items)
            name, value = items[int(part)] if known else (part, None)
            node = inner.get("items", {})
        else:
            name, node = part, inner.get("properties", {}).get(part, {})
            value = value.get(part) if isinstance(value, dict) else None
        names.append(name)
    return ".".join(names)
