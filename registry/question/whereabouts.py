"""Where settings are that the shared branch does not hold: on another branch, forced away, or nowhere."""

from collections.abc import Iterator

from registry import canonical
from registry.model.kinds import kind_at
from registry.model.shape import shape_of
from registry.model.sound import is_sound
from registry.question.registry import Registry

__all__ = ["CUT_OFF", "whereabouts"]

CUT_OFF = "this clone is cut off, and they may lie before: run git fetch --unshallow and ask again"


def whereabouts(registry: Registry, path: str, digest: str) -> str:
    """Return in words where a file has had settings whose digest begins so, "" where it never has.

    Read from all branches, and from what they have held here before (git's reflog): it is asked only of
    settings that cannot be found among what is shared. One branch that has them is enough, however often
    another lost them; and where history is cut off nobody can tell.
    """
    if registry.repository.shallow:
        return CUT_OFF
    having = list(_having(registry, path, digest))
    for commit in having:
        if branches := registry.repository.branches_with(commit):
            return f"they are on {' and '.join(branches)} (commit {commit[:12]}), and have not landed"
    if having:
        return f"commit {having[0][:12]} had them, and no branch holds it any more: they were forced away"
    return ""


def _having(registry: Registry, path: str, digest: str) -> Iterator[str]:
    """Yield the commits that wrote such settings, the newest first."""
    kind = kind_at(path) or ""
    written = list(registry.repository.everywhere(path))
    contents = dict(registry.repository.blobs(dict.fromkeys(blob for _, blob in written)))
    for commit, blob in written:
        try:
            document = canonical.read(contents[blob])
        except canonical.Unreadable:
            continue
        if is_sound(kind, document) and shape_of(kind).digest(document).startswith(digest):
            yield commit
