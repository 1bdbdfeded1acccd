"""Bringing a registry to the newest schema version: each step a contribution, proved to change form only."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from registry import canonical
from registry.contribute.given import Tree, held
from registry.contribute.prepare import Contribution, Overlay, Writer, combined, rewrite
from registry.contribute.start import schemas
from registry.errors import RegistryError
from registry.model.forms import lifted
from registry.model.kinds import KINDS, place_at
from registry.model.shape import shape_of
from registry.model.versions import NEWEST, PLACE, VERSIONS, OtherVersion, SchemaVersion, version_of

__all__ = ["Migration", "NotFormOnly", "migrations", "written_for"]


class NotFormOnly(RegistryError):
    """A migration would change more than a record's form."""

    def __init__(self, version: int, path: str) -> None:
        super().__init__(version, path)
        self.version = version
        self.path = path

    def __str__(self) -> str:
        return (
            f"{self.path}: schema version {self.version} would change more than its form, and nothing was "
            "written: this is a fault of litstock, not of the record"
        )


@dataclass(frozen=True, slots=True)
class Migration:
    """One step to a newer schema version."""

    to: SchemaVersion
    contribution: Contribution
    """What it writes below `records/`."""
    proved: Mapping[str, str]
    """The settings digest of each record rewritten, the same before and after, by path."""

    def whole(self) -> Contribution:
        """Return all that is committed: to the newest version belong the schemas, which editors go by."""
        beside = schemas() if self.to.number == NEWEST else {}
        return replace(self.contribution, files={**self.contribution.files, **beside})


def written_for(tree: Tree) -> int:
    """Return for which schema version a registry is written."""
    try:
        return version_of(canonical.read(tree.read(PLACE) or b"{}"))
    except canonical.Unreadable:
        return VERSIONS[0].number


def migrations(tree: Tree, writer: Writer, landed: Tree | None = None) -> Iterator[Migration]:
    """Yield what brings a registry to the newest version, each step upon the one before.

    A record that is written once is left as it is, and so is one that cannot be read: both are read under
    today's names wherever they are asked for.

    Raises
    ------
    OtherVersion
        The registry is written for a newer version than this program knows.
    NotFormOnly
        A step changes what a record says.
    """
    if (version := written_for(tree)) > NEWEST:
        raise OtherVersion(version)
    for to in VERSIONS:
        if to.number <= version:
            continue
        files = {path: _file(path, after) for path, after in _renamed(tree, to.number)}
        own = (held(tree, PLACE) or {}) | {"schema_version": to.number}
        reason = f"Schema version {to.number}: {to.words}"
        said = rewrite(tree, PLACE, own, writer=writer, reason=reason, landed=landed)
        contribution = combined(said, Contribution(files, reason), message=reason)
        proved = {path: _proved(tree, path, data, to.number) for path, data in files.items()}
        yield Migration(to, contribution, proved)
        tree = Overlay(tree, contribution.files)


def _renamed(tree: Tree, version: int) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield the other records in which something has another name since a version, under its names."""
    for path in sorted(tree.paths()):
        place = place_at(path)
        if place is None or place.attachment or KINDS[place.kind].once or path == PLACE:
            continue
        try:
            before = canonical.read(tree.read(path) or b"")
        except canonical.Unreadable:
            continue
        after = lifted(place.kind, before, version)
        if after is not before:
            yield path, after


def _file(path: str, document: dict[str, Any]) -> bytes:
    place = place_at(path)
    assert place is not None  # noqa: S101 (only records are renamed)
    return canonical.file_form(document, shape_of(place.kind).schema)


def _proved(tree: Tree, path: str, data: bytes, version: int) -> str:
    """Return the settings digest that a record has before and after, and prove that it says the same."""
    kind = getattr(place_at(path), "kind", "")
    before, after = canonical.read(tree.read(path) or b""), canonical.read(data)
    digests = {shape_of(kind).digest(each) for each in (before, after)}
    if len(digests) > 1 or canonical.digest(lifted(kind, before)) != canonical.digest(lifted(kind, after)):
        raise NotFormOnly(version, path)
    return digests.pop()
