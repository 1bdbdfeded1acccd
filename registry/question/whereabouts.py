"""Where settings are that the shared branch does not hold: on another branch, forced away, or nowhere."""

from registry import canonical
from registry.model.kinds import kind_at
from registry.model.shape import shape_of
from registry.question.registry import Registry

__all__ = ["whereabouts"]


def whereabouts(registry: Registry, path: str, digest: str) -> str:
    """Return in words where a file has had settings whose digest begins so, "" where it never has.

    Read from all branches, and from what they have held here before (git's reflog): it is asked only of
    settings that cannot be found among what is shared.
    """
    repository = registry.repository
    shape = shape_of(kind_at(path) or "")
    written = list(repository.everywhere(path))
    contents = dict(repository.blobs(dict.fromkeys(blob for _, blob in written)))
    for commit, blob in written:
        try:
            document = canonical.read(contents[blob])
        except canonical.Unreadable:
            continue
        if shape.digest(document).startswith(digest):
            return _where(commit, repository.branches_with(commit))
    return ""


def _where(commit: str, branches: list[str]) -> str:
    if branches:
        return f"they are on {' and '.join(branches)} (commit {commit[:12]}), and have not landed"
    return f"commit {commit[:12]} had them, and no branch holds it any more: they were forced away"
