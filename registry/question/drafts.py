"""Records in the working tree that have not landed."""

from collections.abc import Sequence

from registry.errors import RequestError
from registry.model.kinds import KINDS, path_of, place_at
from registry.question.registry import Registry

__all__ = ["draft_of"]


def draft_of(registry: Registry, name: str, kinds: Sequence[str]) -> tuple[str, str, str, bytes, int]:
    """Return path, kind, id, bytes and the landed revision that it is on, of a record in the working tree."""
    root = registry.repository.root
    if registry.repository.bare:
        raise RequestError("a bare repository has no working tree, so no drafts: ask for @git:BRANCH instead")
    for path in _candidates(name, kinds):
        file = root / path
        if file.is_file() and not file.is_symlink():
            place = place_at(path)
            if place is None:
                continue
            revisions = registry.model.revisions(path)
            return path, place.kind, place.id, file.read_bytes(), revisions[-1].seq if revisions else 0
    raise RequestError(f"there is no {name!r} in the working tree {str(root)!r}: write its whole id")


def _candidates(name: str, kinds: Sequence[str]) -> list[str]:
    if place_at(name):
        return [name]
    prefix, colon, rest = name.partition(":")
    if colon and prefix in KINDS:
        kinds, name = (prefix,), rest
    parts = name.count("/") + 1
    fitting = [kind for kind in (kinds or KINDS) if KINDS[kind].path.count("<") == parts]
    return [path_of(kind, name) for kind in fitting]
