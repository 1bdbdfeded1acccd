"""An ICC profile's bytes (ISO 15076-1): what header and tag table say, and what is wrong with them."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

__all__ = ["Fault", "Profile", "ProfileError", "faults"]

# ISO 15076-1, 7.2 and 7.3: a header of 128 bytes, then a count and 12 bytes a tag.
_HEADER, _COUNT, _TAG = 128, 4, 12
_VERSIONS = (2, 4, 5)
_CONNECTIONS = (b"Lab ", b"XYZ ")
_INTENTS = ("perceptual", "relative", "saturation", "absolute")
# ISO 15076-1, table 18: data colour spaces of devices, with their channels; nCLR counts in hexadecimal.
_CHANNELS = {b"GRAY": 1, b"RGB ": 3, b"CMY ": 3, b"CMYK": 4} | {b"%XCLR" % n: n for n in range(2, 16)}


class Fault(NamedTuple):
    """One thing that is wrong with a profile."""

    message: str
    found: str
    allowed: str

    def __str__(self) -> str:
        return f"{self.message}: found {self.found}, allowed {self.allowed}"


class ProfileError(ValueError):
    """Bytes are no ICC profile, or one without what is asked of it; the text says what is wrong."""


def faults(data: bytes) -> Iterator[Fault]:
    """Yield everything that is wrong with the header and the tag table of a profile.

    Parameters
    ----------
    data : bytes
        A whole file.

    Yields
    ------
    Fault
        What is wrong, what was found and what is allowed. What lies in the tags is not looked at.

    References
    ----------
    ISO 15076-1:2010 (ICC.1:2010), 7.2 and 7.3; version 2 files: ICC.1:2001-04, 6.1 and 6.2.

    Examples
    --------
    >>> [str(fault) for fault in faults(b"no profile")]
    ['the file is too short for a profile: found 10 bytes, allowed at least 132 bytes']
    """
    if len(data) < _HEADER + _COUNT:
        found, least = f"{len(data)} bytes", f"at least {_HEADER + _COUNT} bytes"
        yield Fault("the file is too short for a profile", found, least)
        return
    if data[36:40] != b"acsp":
        yield Fault("the profile's signature is missing", repr(data[36:40]), repr(b"acsp"))
        return
    size = _number(data, 0)
    if size != len(data):
        stated = f"the {size} bytes of its header"
        yield Fault("the profile's size is not the file's", f"{len(data)} bytes", stated)
    if data[8] not in _VERSIONS:
        allowed = f"version {', '.join(map(str, _VERSIONS))}"
        yield Fault("the profile's version is unknown", f"version {data[8]}", allowed)
    if data[20:24] not in _CONNECTIONS and data[12:16] != b"link":
        allowed = f"{b'Lab '!r} or {b'XYZ '!r}"
        yield Fault("the profile's connection space is none", repr(data[20:24]), allowed)
    yield from _tag_faults(data)


def _tag_faults(data: bytes) -> Iterator[Fault]:
    count = _number(data, _HEADER)
    if _HEADER + _COUNT + count * _TAG > len(data):
        message = "the profile's tag table goes beyond the file"
        yield Fault(message, f"{count} tags", f"what {len(data)} bytes can hold")
        return
    for name, offset, size in _tags(data):
        if offset + size > len(data):
            message = f"the profile's tag {name!r} goes beyond the file"
            yield Fault(message, f"{offset} + {size}", f"at most {len(data)}")


@dataclass(frozen=True, slots=True)
class Profile:
    """A profile whose header and tag table are sound.

    Parameters
    ----------
    data : bytes
        A whole file.

    Raises
    ------
    ProfileError
        The bytes have `faults`; the text gives all of them.
    """

    data: bytes

    def __post_init__(self) -> None:
        found = "; ".join(map(str, faults(self.data)))
        if found:
            raise ProfileError(found)

    @property
    def version(self) -> str:
        """Version of the standard that the profile was written to: major.minor.fix."""
        return f"{self.data[8]}.{self.data[9] >> 4}.{self.data[9] & 15}"

    @property
    def kind(self) -> str:
        """Profile class by its four letters: `prtr` of an output device, `mntr` of a display, `link`, …."""
        return _word(self.data, 12)

    @property
    def space(self) -> str:
        """Data colour space as its letters: CMYK, RGB, 6CLR, …."""
        return _word(self.data, 16)

    @property
    def connection_space(self) -> str:
        """Profile connection space, Lab or XYZ."""
        return _word(self.data, 20)

    @property
    def channels(self) -> int:
        """How many channels the device has."""
        try:
            return _CHANNELS[self.data[16:20]]
        except KeyError:
            allowed = ", ".join(name.decode().strip() for name in _CHANNELS)
            raise ProfileError(
                f"the colour space is no device's: found {self.space!r}, allowed {allowed}"
            ) from None

    @property
    def intent(self) -> str:
        """Rendering intent in the header: perceptual, relative, saturation or absolute."""
        number = _number(self.data, 64) & 0xFFFF
        if number >= len(_INTENTS):
            raise ProfileError(
                f"the rendering intent is none: found {number}, allowed 0 to {len(_INTENTS) - 1}"
            )
        return _INTENTS[number]

    @property
    def tags(self) -> tuple[str, ...]:
        """Names of the tags, in the order of the table."""
        return tuple(_word(name, 0) for name, _, _ in _tags(self.data))

    @property
    def media_white(self) -> tuple[float, float, float]:
        """XYZ of the unprinted medium against D50, the tag `wtpt`, where a perfect white has Y = 1."""
        data = self.tag("wtpt")
        if data[:4] != b"XYZ " or len(data) < 20:
            raise ProfileError(f"the media white is no XYZ: found {data[:4]!r} of {len(data)} bytes")
        x, y, z = (int.from_bytes(data[at : at + 4], signed=True) / 65536 for at in (8, 12, 16))
        if min(x, y, z) <= 0:
            raise ProfileError(
                f"the media white is no white: found {x:.4f}, {y:.4f}, {z:.4f}, allowed above 0"
            )
        return x, y, z

    def tag(self, name: str) -> bytes:
        """Return what a tag holds, from its type on.

        Raises
        ------
        ProfileError
            There is no such tag.
        """
        for found, offset, size in _tags(self.data):
            if _word(found, 0) == name:
                return self.data[offset : offset + size]
        raise ProfileError(f"the profile has no tag {name!r}; it has {', '.join(self.tags)}")


def _tags(data: bytes) -> Iterator[tuple[bytes, int, int]]:
    for start in range(_HEADER + _COUNT, _HEADER + _COUNT + _number(data, _HEADER) * _TAG, _TAG):
        yield data[start : start + 4], _number(data, start + 4), _number(data, start + 8)


def _number(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 4])


def _word(data: bytes, at: int) -> str:
    return data[at : at + 4].decode("latin-1").strip()
