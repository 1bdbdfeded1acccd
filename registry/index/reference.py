"""From an id that a document names to the path of the record that it means."""

from typing import Any

from registry.errors import RequestError
from registry.model.kinds import path_of

__all__ = ["reference"]


def reference(kind: str, value: Any) -> str | None:
    """Return the path at which the record `value` of a kind would lie, or None where it is no such id.

    >>> reference("printer", "broadreach-64")
    'records/printers/broadreach-64.json'
    >>> reference("substrate", "broadreach-64"), reference("printer", 7)
    (None, None)
    """
    try:
        return path_of(kind, value) if isinstance(value, str) else None
    except RequestError:
        return None
