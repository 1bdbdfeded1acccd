"""Which values of a record name other records, by what the shape says of its settings."""

from collections.abc import Iterator
from functools import cache
from typing import Any, NamedTuple, TypeAlias

from registry.canonical import join_pointer
from registry.check.checked import Document
from registry.model.kinds import KINDS
from registry.model.shape import ANY, shape_of

__all__ = ["Reference", "references", "values_at"]

# A complaint is revised, but what it names is what was so when the job was printed.
_PAST = frozenset([*(name for name, kind in KINDS.items() if kind.once), "complaint"])
# A machine's own values outlive the mode they go with: they lie idle, and serve again with what replaces it.
_IDLE = frozenset([("unit", "own.*.mode")])


Path: TypeAlias = tuple[str | int, ...]


class Reference(NamedTuple):
    """One value that names a record."""

    path: Path
    label: str
    kind: str
    """The kind that it must be an id of."""
    id: str

    @property
    def pointer(self) -> str:
        """Where it stands, as a JSON pointer; made only when there is something to say."""
        return join_pointer(map(str, self.path))


class _Refers(NamedTuple):
    parts: tuple[str, ...]
    label: str
    kind: str
    current: bool
    """It says what is to be used now, not what was so once."""


def references(document: Document, *, current_only: bool = False) -> Iterator[Reference]:
    """Yield the references of a sound record: all, or those that say what is to be used now."""
    content = document.content
    for parts, label, kind, current in _refers(document.kind):
        if parts[0] not in content or (current_only and not current):
            continue
        for path, value in values_at(content, parts):
            if isinstance(value, list):
                for number, each in enumerate(value):
                    yield Reference((*path, number), label, kind, each)
            else:
                yield Reference(path, label, kind, value)


def values_at(value: Any, parts: tuple[str, ...], path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Yield the values at a path whose `*` stands for every entry of a list or group, with their paths."""
    for depth, part in enumerate(parts):
        if part == ANY:
            entries = value.items() if isinstance(value, dict) else enumerate(value)
            for name, each in entries:
                yield from values_at(each, parts[depth + 1 :], (*path, *parts[:depth], name))
            return
        if part not in value:
            return
        value = value[part]
    yield (*path, *parts), value


@cache
def _refers(kind: str) -> tuple[_Refers, ...]:
    return tuple(
        _Refers(
            tuple(setting.path.split(".")),
            setting.label,
            setting.refers,
            current=not (setting.aside or kind in _PAST or (kind, setting.path) in _IDLE),
        )
        for setting in shape_of(kind).settings.values()
        if setting.refers
    )
