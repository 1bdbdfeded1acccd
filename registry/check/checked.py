"""The documents of a snapshot, each read once and shared by all rules."""

import json
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from registry import canonical
from registry.check.finding import Remark
from registry.check.scope import Scope
from registry.check.snapshot import History, Snapshot
from registry.measurement import Measurement, MeasurementError, read_cgats
from registry.model.forms import lifted
from registry.model.kinds import ATTACHMENTS, KINDS, Place, path_of, place_at
from registry.model.shape import Shape, shape_of
from registry.model.sound import is_sound
from registry.model.versions import PLACE, version_of

__all__ = ["ONCE", "REVISED", "Checked", "Document", "ModeCase", "at", "differs"]

REVISED = tuple(name for name, kind in KINDS.items() if not kind.once)
ONCE = tuple(name for name, kind in KINDS.items() if kind.once)


def at(value: Any, *parts: str) -> Any:
    """Return the value that lies at the end of these members, or None where there is none."""
    for part in parts:
        if not isinstance(value, dict):
            return None
        value = value.get(part)
    return value


class Document:
    """One record's file."""

    def __init__(self, path: str, place: Place, data: bytes) -> None:
        self.path, self.kind, self.id, self.data = path, place.kind, place.id, data
        self.faults: tuple[canonical.Fault, ...] = ()
        self.content: dict[str, Any] = {}
        self.earlier = False
        """Whether it has a setting under an earlier name."""
        tidy = canonical.read_tidy(data, self.shape.schema)
        self.tidy = tidy is not None
        """Whether it is known to be in its file form, so that nobody need write it anew to see."""
        try:
            written = canonical.read(data) if tidy is None else tidy
            self.content = lifted(self.kind, written)
            self.earlier = self.content is not written
            self.tidy = self.tidy and not self.earlier
        except canonical.Unreadable as error:
            self.faults = error.faults

    @property
    def shape(self) -> Shape:
        """The settings of its kind."""
        return shape_of(self.kind)

    @cached_property
    def sound(self) -> bool:
        """Whether it can be read and fits its schema; other rules look at nothing else."""
        return not self.faults and is_sound(self.kind, self.content)

    @property
    def live(self) -> bool:
        """Whether it may still be used."""
        return "withdrawn" not in self.content and self.content.get("status") != "withdrawn"

    @cached_property
    def digest(self) -> str:
        """The SHA-256 that identifies its settings."""
        return self.shape.digest(self.content)

    def position(self, pointer: str) -> canonical.Position:
        """Return where a value stands; of an absent one, where the part stands that lacks it."""
        while pointer and pointer not in self._positions:
            pointer = pointer.rpartition("/")[0]
        return self._positions.get(pointer, canonical.Position(1, 1))

    @cached_property
    def _positions(self) -> dict[str, canonical.Position]:
        return canonical.locate(self.data) if not self.faults else {}

    def remark(
        self, pointer: str, message: str, remedy: str, *, found: str = "", allowed: str = ""
    ) -> Remark:
        """Say something about one of its values."""
        return Remark(self.path, message, remedy, pointer, found, allowed)


@dataclass(frozen=True, slots=True)
class ModeCase:
    """A live print mode with what it prints and what it is printed on; {} where that is not known."""

    document: Document
    mode: dict[str, Any]
    substrate: dict[str, Any]
    printer: dict[str, Any]


class Checked:
    """A snapshot under check, and the base against which its changes are judged."""

    def __init__(
        self,
        snapshot: Snapshot,
        base: "Checked | None" = None,
        only: Collection[str] | None = None,
        history: History | None = None,
    ) -> None:
        self.snapshot, self.base, self.history = snapshot, base, history
        self.paths = tuple(sorted(snapshot.paths()))
        self.places = {path: place_at(path) for path in self.paths}
        self._scope = Scope(only)
        self._documents: dict[str, Document] = {}
        self._sound: dict[str, list[Document]] = {}
        self._bytes: dict[str, bytes] = {}
        self._measurements: dict[str, Measurement | MeasurementError] = {}

    def after(self, snapshot: Snapshot, changed: Collection[str], only: Collection[str]) -> "Checked":
        """Return the next state, which differs in the files `changed`, with this one as its base.

        What was read of all others is not read again.
        """
        now = Checked(snapshot, self, only)
        now._documents = {path: known for path, known in self._documents.items() if path not in changed}
        self.base = None  # what lies further back need not be kept
        return now

    def asked(self, path: str) -> bool:
        """Whether findings about this path are wanted."""
        return path in self._scope

    @cached_property
    def version(self) -> int:
        """For which schema version the registry is written."""
        own = self.document(PLACE)
        return version_of(own.content if own else {})

    def document(self, path: str) -> Document | None:
        """Return the record at a path, or None where none lies."""
        if path not in self._documents:
            place = self.places.get(path)
            if place is None or place.attachment:
                return None
            data = self.snapshot.read(path)
            before = self.base.document(path) if self.base else None
            # Most are as they were: one reading serves for both.
            same = before if before and before.data == data else None
            self._documents[path] = same or Document(path, place, data)
        return self._documents[path]

    def documents(self) -> Iterator[Document]:
        """Yield every record asked about, also those that cannot be read."""
        for path in self._asked_paths:
            if document := self.document(path):
                yield document

    def of(self, *kinds: str) -> Iterator[Document]:
        """Yield the sound records of these kinds that are asked about."""
        for kind in kinds:
            if self._scope.only is None:
                yield from self.every(kind)
                continue
            found = map(self.document, self._asked_by_kind.get(kind, ()))
            yield from (document for document in found if document and document.sound)

    def every(self, kind: str) -> list[Document]:
        """Return all sound records of a kind, asked about or not."""
        if kind not in self._sound:
            documents = map(self.document, self._by_kind.get(kind, ()))
            self._sound[kind] = [document for document in documents if document and document.sound]
        return self._sound[kind]

    def doubtful(self, kind: str) -> list[Document]:
        """Return all records of a kind that are not sound: what they name is not known."""
        documents = map(self.document, self._by_kind.get(kind, ()))
        return [document for document in documents if document and not document.sound]

    def find(self, kind: str, identifier: str) -> Document | None:
        """Return the record of this id, sound or not, or None where there is none."""
        return self.document(_path_of(kind, identifier))

    def content(self, kind: str, identifier: str) -> dict[str, Any]:
        """Return the content of the sound record of this id, or {} where there is none."""
        document = self.find(kind, identifier)
        return document.content if document and document.sound else {}

    def attachments(self) -> Iterator[tuple[str, str]]:
        """Yield path and kind of every attachment asked about."""
        for kind in ATTACHMENTS:
            yield from ((path, kind) for path in self._asked_by_kind.get(kind, ()))

    def bytes_of(self, path: str) -> bytes:
        """Return the bytes of an attachment, read once."""
        if path not in self._bytes:
            self._bytes[path] = self.snapshot.read(path)
        return self._bytes[path]

    def measurement(self, path: str) -> Measurement | MeasurementError:
        """Return what a measurement file holds, or why it cannot be read."""
        if path not in self._measurements:
            try:
                self._measurements[path] = read_cgats(self.bytes_of(path))
            except MeasurementError as error:
                self._measurements[path] = error
        return self._measurements[path]

    @cached_property
    def live_modes(self) -> list[ModeCase]:
        """The live print modes asked about, each with its substrate and its printer."""
        return [
            ModeCase(
                document,
                document.content,
                self.content("substrate", document.content["substrate"]),
                self.content("printer", document.content["printer"]),
            )
            for document in self.of("print-mode")
            if document.live
        ]

    @cached_property
    def changed(self) -> list[tuple[Document, Document | None]]:
        """Sound revised records that differ from the base, each with what it was there, None where new."""
        if self.base is None:
            return []
        pairs = ((document, self.base.document(document.path)) for document in self.of(*REVISED))
        return [(new, old) for new, old in pairs if old is None or differs(new, old)]

    @cached_property
    def newly_happened(self) -> list[Document]:
        """Sound records of what happened that are not in the base."""
        base = self.base
        return [] if base is None else [each for each in self.of(*ONCE) if base.document(each.path) is None]

    @cached_property
    def _asked_paths(self) -> tuple[str, ...]:
        named = self._scope.only
        if named is None:
            return self.paths
        if all(path in self.places for path in named):  # no folder among them: no need to look through all
            return tuple(sorted(named))
        return tuple(path for path in self.paths if self.asked(path))

    @cached_property
    def _by_kind(self) -> dict[str, list[str]]:
        return self._grouped(self.paths)

    @cached_property
    def _asked_by_kind(self) -> dict[str, list[str]]:
        return self._by_kind if self._scope.only is None else self._grouped(self._asked_paths)

    def _grouped(self, paths: Iterable[str]) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for path in paths:
            if place := self.places[path]:
                found.setdefault(place.kind, []).append(path)
        return found


_path_of = cache(path_of)


def differs(new: Document, old: Document) -> bool:
    """Whether anything but form changed; what the base holds but nobody can read is no measure."""
    if new.data == old.data or old.faults:
        return False
    # As text, since Python takes true for 1.
    return json.dumps(new.content, sort_keys=True) != json.dumps(old.content, sort_keys=True)
