"""What counts as a change of a record."""

from typing import Any

from registry.check.checked import Document

__all__ = ["content_changed", "revision_of"]

_BOOKKEEPING = frozenset(["$schema", "revision", "reason", "recorded"])


def content_changed(new: Document, old: Document) -> bool:
    """Whether anything changed but what the record says of its own revision."""
    return _content(new) != _content(old)


def revision_of(document: Document) -> int | None:
    """Return the revision of a record of the base, or None where an older program wrote it otherwise."""
    revision = document.content.get("revision")
    return revision if isinstance(revision, int) else None


def _content(document: Document) -> dict[str, Any]:
    return {name: value for name, value in document.content.items() if name not in _BOOKKEEPING}
