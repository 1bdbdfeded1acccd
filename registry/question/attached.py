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

    @property
    def name(self) -> str:
        """The file's own name."""
        return self.path.rpartition("/")[2]


def measurement_of(mode: Mapping[str, Any]) -> Wanted | None:
    """Return the reference measurement that a mode's document names, or None."""
    return _named(mode, mode.get("evidence", {}).get("measurement"), "measurement", ".txt")


def profile_of(mode: Mapping[str, Any]) -> Wanted | None:
    """Return the ICC profile that a mode's document names, or None."""
    return _named(mode, mode.get("colour", {}).get("profile"), "profile", ".icc")


def attached(registry: Registry, wanted: Iterable[Wanted]) -> dict[Wanted, bytes]:
    """Return the bytes of each file that has landed just as it is named; others are left out."""
    found: dict[Wanted, bytes] = {}
    left = {each: _blobs(registry, each.path) for each in wanted}
    while left := {each: blobs for each, blobs in left.items() if blobs and each not in found}:
        newest = dict(registry.repository.blobs({blobs[0] for blobs in left.values()}))  # read in one go
        for each, blobs in left.items():
            data = newest[blobs.pop(0)]
            if not each.sha256 or hashlib.sha256(data).hexdigest() == each.sha256:
                found[each] = data
    return found


def _blobs(registry: Registry, path: str) -> list[str]:
    """Return what has landed at a path, the newest first."""
    return [each.blob for each in reversed(registry.model.revisions(path)) if each.blob]


def _named(mode: Mapping[str, Any], file: Mapping[str, str] | None, kind: str, ending: str) -> Wanted | None:
    if not file:
        return None
    stem = file["file"].removesuffix(ending)
    return Wanted(path_of(kind, f"{mode['substrate']}/{stem}"), file.get("sha256", ""))
