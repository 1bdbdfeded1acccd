"""Prepare what a contribution writes: pure work on documents, no git.

The author of a record gives what only they know; revision number, reason, date, digests and check sums are
filled in here, in one place, for commands and for the demo's story alike.
"""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from registry import canonical
from registry.contribute.given import Tree, Unusable, held
from registry.errors import RequestError
from registry.model.kinds import KINDS, path_of, place_at
from registry.model.shape import shape_of
from registry.model.versions import NEWEST, PLACE

__all__ = [
    "Contribution",
    "Overlay",
    "Tree",
    "Writer",
    "attach",
    "combined",
    "completed",
    "create",
    "happened",
    "relative_schema",
    "revise",
    "rewrite",
]


@dataclass(frozen=True, slots=True)
class Writer:
    """Who writes, and on which day."""

    site: str
    date: str


@dataclass(frozen=True, slots=True)
class Contribution:
    """Files to be written together (None: not there any more), and why."""

    files: Mapping[str, bytes | None]
    message: str


class Overlay:
    """A tree with some files laid over it."""

    def __init__(self, below: Tree, files: Mapping[str, bytes | None]) -> None:
        self._below, self._files = below, files

    def read(self, path: str) -> bytes | None:
        """Return the file's bytes, or None where there is none."""
        return self._files[path] if path in self._files else self._below.read(path)

    def paths(self) -> Iterable[str]:
        """Return the paths of all files below `records/`."""
        kept = (path for path in self._below.paths() if path not in self._files)
        return [*kept, *(path for path, data in self._files.items() if data is not None)]


def create(tree: Tree, path: str, document: dict[str, Any], *, writer: Writer, reason: str) -> Contribution:
    """Prepare a new record of a revised kind, at revision 1."""
    kind = _kind(path)
    if path == PLACE:
        document = {"schema_version": NEWEST, **document}
    if tree.read(path) is not None:
        raise RequestError(
            f"{path} is there already: revise it, or choose another id (an id is never used again)"
        )
    return Contribution(
        {path: _file(tree, path, _signed(document, 1, writer, reason))}, f"Add {kind}: {reason}"
    )


def revise(
    tree: Tree,
    path: str,
    patch: dict[str, Any],
    *,
    writer: Writer,
    reason: str,
    landed: Tree | None = None,
) -> Contribution:
    """Prepare the next revision of a record: an RFC 7396 patch upon what it is now; see `rewrite`."""
    after = canonical.merge_patch(_document(tree, path), patch)
    return rewrite(tree, path, after, writer=writer, reason=reason, landed=landed)


def rewrite(
    tree: Tree,
    path: str,
    document: dict[str, Any],
    *,
    writer: Writer,
    reason: str,
    landed: Tree | None = None,
) -> Contribution:
    """Prepare the next revision of a record: `document` in place of what it is now.

    The number is one above the revision that has landed (`landed`, by default `tree`), so that several drafts
    of one landing share it. A known-good mode whose settings change goes on trial until it is confirmed anew.
    """
    kind = _kind(path)
    if KINDS[kind].once:
        raise RequestError(
            f"{path} is written once and never edited: write another {kind} that says what is so"
        )
    before, after = _document(tree, path), dict(document)
    if completed(tree, path, after) == before:
        raise RequestError(f"{_name(path)} says so already: there is nothing to revise")
    if before.get("status") == "known-good" == after.get("status"):
        shape = shape_of(kind)
        if shape.digest(completed(tree, path, after)) != shape.digest(before):
            after["status"] = "trial"
    last = _last(landed or tree, path, before["revision"])
    files = {path: _file(tree, path, _signed(after, last + 1, writer, reason))}
    return Contribution(files, f"Revise {_name(path)}: {reason}")


def happened(tree: Tree, path: str, document: dict[str, Any], *, writer: Writer) -> Contribution:
    """Prepare a record that is written once: an event, a run or a confirmation.

    Where it names a mode and no revision, it is taken to mean the mode as it stands in `tree`.
    """
    if tree.read(path) is not None:
        raise RequestError(f"{path} is there already, and it is never edited: choose another name")
    kind = _kind(path)
    document = {**document, "recorded": {"date": writer.date, "site": writer.site}}
    if "mode" in document and (kind != "event" or document.get("kind") == "adopted"):
        mode = _document(tree, path_of("print-mode", document["mode"]))
        document.setdefault("mode_revision", mode["revision"])
        if document["mode_revision"] == mode["revision"]:
            document.setdefault("settings_digest", shape_of("print-mode").digest(mode))
    return Contribution({path: _file(tree, path, document)}, f"Record {kind}: {document['title']}")


def attach(tree: Tree, path: str, data: bytes) -> Contribution:
    """Prepare an attachment: a measurement or a profile beside the records."""
    place = place_at(path)
    if place is None or not place.attachment:
        raise RequestError(
            f"{path} is no place for an attachment: measurements/NAME.txt or profiles/NAME.icc"
        )
    if tree.read(path) not in (None, data):
        raise RequestError(f"{path} is there already with other content: choose another name")
    return Contribution({path: data}, f"Attach {place.kind} {path.rpartition('/')[2]}")


def combined(*contributions: Contribution, message: str) -> Contribution:
    """Return several contributions as one."""
    files: dict[str, bytes | None] = {}
    for contribution in contributions:
        files |= contribution.files
    return Contribution(files, message)


def completed(tree: Tree, path: str, document: dict[str, Any]) -> dict[str, Any]:
    """Fill in the check sum of every attachment that the document names."""
    return {name: _with_check_sum(tree, path, value) for name, value in document.items()}


def relative_schema(path: str, kind: str) -> str:
    """Return the `$schema` of a record: its kind's schema by relative path, for editors.

    >>> relative_schema("records/printers/wide-64.json", "printer")
    '../../schema/printer.json'
    """
    return "../" * path.count("/") + f"schema/{kind}.json"


def _kind(path: str) -> str:
    place = place_at(path)
    if place is None or place.attachment:
        raise RequestError(f"{path} is no place for a record")
    return place.kind


def _name(path: str) -> str:
    place = place_at(path)
    return place.id if place else path


def _document(tree: Tree, path: str) -> dict[str, Any]:
    document = held(tree, path)
    if document is None:
        raise RequestError(f"there is no {path}: write the id as `litstock find` shows it")
    return document


def _last(landed: Tree, path: str, now: int) -> int:
    """Return the number of the revision that has landed, 0 where none has.

    Where that cannot be read, what lies upon it (`now`) is its mend, and bears the next number already.
    """
    try:
        document = held(landed, path)
    except Unusable:
        return now - 1
    return int(document["revision"]) if document else 0


def _signed(document: dict[str, Any], revision: int, writer: Writer, reason: str) -> dict[str, Any]:
    recorded = {"date": writer.date, "site": writer.site}
    return {**document, "revision": revision, "reason": reason, "recorded": recorded}


def _file(tree: Tree, path: str, document: dict[str, Any]) -> bytes:
    kind = _kind(path)
    document = completed(tree, path, {"$schema": relative_schema(path, kind), **document})
    try:
        return canonical.file_form(document, shape_of(kind).schema)
    except UnicodeEncodeError as error:  # a terminal's stray bytes
        found = error.object[max(0, error.start - 9) : error.end]
        raise RequestError(f"{found!r} is not text: type it anew") from error


def _with_check_sum(tree: Tree, path: str, value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    value = {name: _with_check_sum(tree, path, each) for name, each in value.items()}
    file = value.get("file")
    if isinstance(file, str):
        folder = "profiles" if file.endswith(".icc") else "measurements"
        data = tree.read("/".join([*path.split("/")[:4], folder, file]))
        if data is not None:
            value["sha256"] = hashlib.sha256(data).hexdigest()
    return value
