"""The case at hand: a mode with the substrate and the printer that its computed values rest on."""

from typing import Any

from registry.index.reference import reference
from registry.question.registry import Registry

__all__ = ["case_of"]


def case_of(registry: Registry, mode: dict[str, Any], n: int | None = None) -> dict[str, dict[str, Any]]:
    """Return a mode's document with its substrate's and its printer's, as the landing `n` left them.

    Without `n` they are as they are now; one that is not there, or cannot be read, is left out.
    """
    named = {kind: reference(kind, mode.get(kind)) for kind in ("substrate", "printer")}
    paths = {path: kind for kind, path in named.items() if path}
    found = registry.model.revisions_at(paths, n)
    blobs = {
        paths[path]: revision.blob
        for path, revision in found.items()
        if revision.status != "D" and revision.fault is None
    }
    documents = registry.documents(blobs.values())
    return {"mode": mode, **{kind: documents[blob] for kind, blob in blobs.items()}}
