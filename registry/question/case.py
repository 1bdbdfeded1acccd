"""The case at hand: a mode with the substrate and the printer that its computed values rest on."""

from typing import Any

from registry.model.kinds import path_of
from registry.question.registry import Registry

__all__ = ["case_of"]


def case_of(registry: Registry, mode: dict[str, Any], n: int | None = None) -> dict[str, dict[str, Any]]:
    """Return a mode's document with its substrate's and its printer's, as the landing `n` left them.

    Without `n` they are as they are now; one that is not there, or cannot be read, is left out.
    """
    paths = {
        path_of(kind, str(mode[kind])): kind
        for kind in ("substrate", "printer")
        if isinstance(mode.get(kind), str)
    }
    found = registry.model.revisions_at(paths, n)
    blobs = {
        paths[path]: revision.blob
        for path, revision in found.items()
        if revision.status != "D" and revision.fault is None
    }
    documents = registry.documents(blobs.values())
    return {"mode": mode, **{kind: documents[blob] for kind, blob in blobs.items()}}
