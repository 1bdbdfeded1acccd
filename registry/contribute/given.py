"""What is handed to a command as JSON, a record or a merge patch: read, or refused with all its faults."""

import json
from collections.abc import Iterable
from typing import Any

from registry import canonical
from registry.check.finding import AtFault, Finding

__all__ = ["Unusable", "patch_in", "record_in"]


class Unusable(AtFault):
    """A file that was handed over cannot be read."""

    def __str__(self) -> str:
        return "\n".join(
            f"{each.path}:{each.line}:{each.column}: {f'{each.pointer}: ' if each.pointer else ''}"
            f"{each.message}; {each.remedy}"
            for each in self.findings
        )


def record_in(name: str, data: bytes) -> dict[str, Any]:
    """Return the record that a file holds; `name` is what to call the file."""
    try:
        return canonical.read(data)
    except canonical.Unreadable as error:
        raise _unusable(name, error.faults) from None


def patch_in(name: str, data: bytes) -> dict[str, Any]:
    """Return the RFC 7396 merge patch that a file holds: as strict as a record, but null may stand in it."""
    faults = [fault for fault in canonical.faults(data) if fault.code != "null"]
    if faults:
        raise _unusable(name, faults)
    patch: dict[str, Any] = json.loads(data)
    return patch


def _unusable(name: str, faults: Iterable[canonical.Fault]) -> Unusable:
    return Unusable(
        [
            Finding(
                code="unreadable",
                severity="error",
                path=name,
                line=fault.line,
                column=fault.column,
                pointer=fault.pointer,
                found=fault.code,
                allowed="",
                message=fault.message,
                remedy=fault.remedy,
            )
            for fault in faults
        ]
    )
