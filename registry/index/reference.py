"""From an id that a document names to the path of the record that it means."""

from typing import Any

from registry.model.kinds import KINDS, path_of

__all__ = ["reference"]


def reference(kind: str, value: Any) -> str | None:
    """Return the path at which the record `value` of a kind would lie, or None where it is no such id.

    >>> reference("printer", "broadreach-64")
    'records/printers/broadreach-64.json'
    >>> reference("substrate", "broadreach-64"), reference("printer", 7)
    (None, None)
    """
    parts = KINDS[kind].path.count("<")
    if not isinstance(value, str) or (value.count("/") + 1 != parts and value != kind):
        return None
    return path_of(kind, value)
