"""What a command is handed as JSON, or builds upon: read, or refused with all its faults."""

import json
from collections.abc import Iterable, Iterator
from typing import Any, Protocol

from registry import canonical
from registry.check.checked import Document
from registry.check.finding import AtFault, Finding, Remark
from registry.model.kinds import Place, place_at
from registry.model.sound import is_sound

__all__ = ["Tree", "Unfit", "Unusable", "held", "patch_in", "record_in"]


class Tree(Protocol):
    """Files of the registry by path from the top of the repository, as they stand before the contribution."""

    def read(self, path: str) -> bytes | None:
        """Return the file's bytes, or None where there is none."""

    def paths(self) -> Iterable[str]:
        """Return the paths of all files below `records/`."""


class Unusable(AtFault):
    """A file cannot be read, or holds no record; `then` says what to do once it is mended."""

    def __init__(self, findings: list[Finding], then: str = "") -> None:
        super().__init__(findings)
        self.then = then

    def __str__(self) -> str:
        lines = [
            f"{each.path}:{each.line}:{each.column}: {f'{each.pointer}: ' if each.pointer else ''}{each}"
            for each in self.findings
        ]
        return "\n".join([*lines, self.then] if self.then else lines)


class Unfit(Unusable):
    """A file that was handed over can be read, and does not fit the schema of what it is to be."""

    exit_code = 1


def held(tree: Tree, path: str) -> dict[str, Any] | None:
    """Return the record at a path, None where there is none.

    Raises
    ------
    Unusable
        It cannot be read or does not fit its schema: nothing can be built upon it.
    """
    data, place = tree.read(path), place_at(path)
    if data is None or place is None:
        return None
    try:
        return record_in(path, place.kind, data, whole=True)
    except Unusable as unusable:
        raise Unusable(unusable.findings, "mend the file and commit it, then try again") from None


def record_in(name: str, kind: str, data: bytes, *, whole: bool = False) -> dict[str, Any]:
    """Return the record that a file holds; `name` is what to call the file.

    Of one that is not `whole` what is there has to fit the schema of its kind.
    """
    document = Document(name, Place(kind, ""), data)
    if document.faults:
        raise Unusable(list(_unreadable(name, document.faults)))
    if not is_sound(kind, document.content, partial=not whole):
        from registry.check.explaining import explained  # noqa: PLC0415 (only who is at fault pays for it)

        raise Unfit([_misfit(document, each) for each in explained(document, partial=not whole)])
    return document.content


def patch_in(name: str, data: bytes) -> dict[str, Any]:
    """Return the RFC 7396 merge patch that a file holds: as strict as a record, but null may stand in it."""
    faults = [fault for fault in canonical.faults(data) if fault.code != "null"]
    if faults:
        raise Unusable(list(_unreadable(name, faults)))
    patch: dict[str, Any] = json.loads(data)
    return patch


def _unreadable(name: str, faults: Iterable[canonical.Fault]) -> Iterator[Finding]:
    for fault in faults:
        yield Finding(
            code="unreadable",
            severity="error",
            path=name,
            line=fault.line,
            column=fault.column,
            pointer=fault.pointer,
            found="",
            allowed="",
            message=fault.message,
            remedy=fault.remedy,
        )


def _misfit(document: Document, remark: Remark) -> Finding:
    line, column = document.position(remark.pointer)
    return Finding(
        code="schema",
        severity="error",
        path=document.path,
        line=line,
        column=column,
        pointer=remark.pointer,
        found=remark.found,
        allowed=remark.allowed,
        message=remark.message,
        remedy=remark.remedy,
    )
