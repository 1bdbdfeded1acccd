"""Which attachments the records name, and where those lie."""

from collections.abc import Iterator
from typing import NamedTuple

from registry.check.checked import Checked, Document, at
from registry.measurement import Measurement
from registry.model.kinds import path_of

__all__ = ["Attached", "attached", "readings_of"]

_OF_MODES = (
    ("measurement", ("evidence", "measurement")),
    ("measurement", ("evidence", "ladder")),
    ("profile", ("colour", "profile")),
)


class Attached(NamedTuple):
    """One attachment that a record names."""

    document: Document
    pointer: str
    kind: str
    file: str
    places: tuple[str, ...]
    """Where it may lie; one place but for an application, whose lamp any shop may have measured."""
    sha256: str
    """Empty where the record does not give it."""


def attached(checked: Checked, *, everywhere: bool = False) -> Iterator[Attached]:
    """Yield what the sound records name that are asked about, or what all of them name."""

    def records(kind: str) -> Iterator[Document]:
        yield from checked.every(kind) if everywhere else checked.of(kind)

    for document in records("print-mode"):
        folder = document.id.rpartition("/")[0]
        for kind, parts in _OF_MODES:
            if named := at(document.content, *parts):
                place = _place(kind, folder, named["file"])
                yield Attached(
                    document, "/" + "/".join(parts), kind, named["file"], (place,), named["sha256"]
                )
    sites = sorted({path.split("/")[2] for path, place in checked.places.items() if _in_site(place)})
    for kind in ("display", "application"):
        for document in records(kind):
            if file := at(document.content, "lamp", "spectrum"):
                shops = [document.content["site"]] if kind == "display" else sites
                places = tuple(_place("spectrum", shop, file) for shop in shops)
                yield Attached(document, "/lamp/spectrum", "spectrum", file, places, "")


def readings_of(checked: Checked, *pointers: str) -> Iterator[tuple[Attached, Measurement]]:
    """Yield what live modes name at these pointers, of the measurements that are there and can be read."""
    for each in attached(checked):
        if each.pointer not in pointers or not each.document.live:
            continue
        (path,) = each.places
        measurement = checked.measurement(path) if path in checked.places else None
        if isinstance(measurement, Measurement):
            yield each, measurement


def _place(kind: str, folder: str, file: str) -> str:
    """Return where an attachment of this name lies; the folder of its kind whatever the name's ending."""
    return path_of(kind, f"{folder}/x").rpartition("/")[0] + f"/{file}"


def _in_site(place: object) -> bool:
    return getattr(place, "kind", "") == "spectrum"
