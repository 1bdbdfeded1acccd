"""The files beside the records that a question needs: reference measurements, profiles, lamp spectra."""

import hashlib
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from registry.model.kinds import path_of
from registry.question.registry import Registry

__all__ = ["Wanted", "attached", "measurement_of", "profile_of"]


class Wanted(NamedTuple):
    """A file that a record names."""

    path: str
    sha256: str = ""
    """Of its bytes; empty where any landed revision will do, the newest first."""


def measurement_of(mode: Mapping[str, Any]) -> Wanted | None:
    """Return the reference measurement that a mode's document names, or None."""
    return _named(mode, mode.get("evidence", {}).get("measurement"), "measurement", ".txt")


def profile_of(mode: Mapping[str, Any]) -> Wanted | None:
    """Return the ICC profile that a mode's document names, or None."""
    return _named(mode, mode.get("colour", {}).get("profile"), "profile", ".icc")


def attached(registry: Registry, wanted: Iterable[Wanted]) -> dict[Wanted, bytes]:
    """Return the bytes of each file that has landed just as it is named; others are left out."""
    found: dict[Wanted, bytes] = {}
    for each in dict.fromkeys(wanted):
        for revision in reversed(registry.model.revisions(each.path)):
            if not revision.blob:
                continue
            data = registry.repository.blob(revision.blob)
            if not each.sha256 or hashlib.sha256(data).hexdigest() == each.sha256:
                found[each] = data
                break
    return found


def _named(mode: Mapping[str, Any], file: Mapping[str, str] | None, kind: str, ending: str) -> Wanted | None:
    if not file:
        return None
    stem = file["file"].removesuffix(ending)
    return Wanted(path_of(kind, f"{mode['substrate']}/{stem}"), file.get("sha256", ""))
