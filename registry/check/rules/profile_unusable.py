"""Rule: a profile is an ICC output profile."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["profile_unusable"]

# ISO 15076-1, 7.2: the profile header is 128 bytes; the tag table follows with a count and 12 bytes a tag.
_HEADER, _COUNT, _TAG = 128, 4, 12
_VERSIONS = (2, 4, 5)


@rule("profile-unusable", "error")
def profile_unusable(checked: Checked) -> Iterator[Remark]:
    """A profile is an ICC output profile (ISO 15076-1), and its parts lie within the file.

    A cut-off or foreign file is refused by one program and misread by the next. Looked at are size,
    signature, version, class, connection space and the tag table.

    To mend: export the profile again, as an output profile, and attach it unchanged.
    """
    for path, kind in checked.attachments():
        if kind == "profile":
            for message, found, allowed in _faults(checked.bytes_of(path)):
                yield Remark(path, message, "export the profile again", found=found, allowed=allowed)


def _faults(data: bytes) -> Iterator[tuple[str, str, str]]:
    if len(data) < _HEADER + _COUNT:
        yield (
            "the file is too short for a profile",
            f"{len(data)} bytes",
            f"at least {_HEADER + _COUNT} bytes",
        )
        return
    if data[36:40] != b"acsp":
        yield "the profile's signature is missing", repr(data[36:40]), repr(b"acsp")
        return
    size = int.from_bytes(data[:4])
    if size != len(data):
        yield "the profile's size is not the file's", f"{len(data)} bytes", f"the {size} bytes of its header"
    if data[8] not in _VERSIONS:
        yield (
            "the profile's version is unknown",
            f"version {data[8]}",
            f"version {', '.join(map(str, _VERSIONS))}",
        )
    if data[12:16] != b"prtr":
        yield "the profile is no output profile", f"class {data[12:16]!r}", f"class {b'prtr'!r}"
    if data[20:24] not in (b"Lab ", b"XYZ "):
        yield "the profile's connection space is none", repr(data[20:24]), f"{b'Lab '!r} or {b'XYZ '!r}"
    yield from _tag_faults(data)


def _tag_faults(data: bytes) -> Iterator[tuple[str, str, str]]:
    count = int.from_bytes(data[_HEADER : _HEADER + _COUNT])
    if _HEADER + _COUNT + count * _TAG > len(data):
        yield (
            "the profile's tag table goes beyond the file",
            f"{count} tags",
            f"what {len(data)} bytes can hold",
        )
        return
    for start in range(_HEADER + _COUNT, _HEADER + _COUNT + count * _TAG, _TAG):
        name, offset, size = data[start : start + 4], *_two_numbers(data[start + 4 : start + _TAG])
        if offset + size > len(data):
            yield (
                f"the profile's tag {name!r} goes beyond the file",
                f"{offset} + {size}",
                f"at most {len(data)}",
            )


def _two_numbers(data: bytes) -> tuple[int, int]:
    return int.from_bytes(data[:4]), int.from_bytes(data[4:])
