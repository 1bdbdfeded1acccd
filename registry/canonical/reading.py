"""Bytes → document. A good text costs one decoding and one cheap look; any doubt goes to the careful pass."""

import json
import re
from typing import Any

from registry.canonical.fault import Fault, Position, Unreadable
from registry.canonical.limits import BIDIRECTIONAL, CONTROL, DEEPEST, LARGEST_TEXT, fraction, integer
from registry.canonical.tree import Json

__all__ = ["faults", "has_odd_characters", "is_plain", "locate", "read", "refused"]


def read(data: bytes) -> dict[str, Any]:
    """Read a document, or raise `Unreadable` with every fault."""
    if len(data) > LARGEST_TEXT:
        raise Unreadable([_too_large(data)])
    try:
        text = data.decode()
        document: dict[str, Any] = _DECODER.decode(text)
    except (ValueError, OverflowError, RecursionError):
        found = _explain(data)
        if not found:  # no stack left for a good text: not the text's fault
            raise
        raise Unreadable(found) from None
    if _doubtful(text, document) and (found := _explain(data)):
        raise Unreadable(found)
    return document


def faults(data: bytes) -> list[Fault]:
    """List every fault that keeps bytes from being a document, in the order of the text."""
    try:
        read(data)
    except Unreadable as error:
        return list(error.faults)
    return []


def locate(data: bytes) -> dict[str, Position]:
    """Say where each value of a document stands, by JSON pointer; a member stands where its key does."""
    from registry.canonical.scanning import scan  # noqa: PLC0415  only needed where something is wrong

    read(data)
    return scan(data.decode()).positions


def _explain(data: bytes) -> list[Fault]:
    from registry.canonical.conflict import unmerged  # noqa: PLC0415  only needed where something is wrong
    from registry.canonical.scanning import scan  # noqa: PLC0415  only needed where something is wrong

    # Undecodable bytes become lone surrogates, so that they keep their place and hide no other fault.
    text = data.decode(errors="surrogateescape")
    body = text.removeprefix("\ufeff")
    if sides := unmerged(body):  # the two sides together are no document, but each should be one
        either = dict.fromkeys([*scan(sides.ours).faults, *scan(sides.theirs).faults])
        found = sorted([sides.fault, *either], key=lambda fault: (fault.line, fault.column))
    else:
        found = scan(body).faults
    if text.startswith("\ufeff"):
        found.insert(0, _BYTE_ORDER_MARK)
    return found


_BYTE_ORDER_MARK = Fault(
    "byte-order-mark",
    "",
    1,
    1,
    r"the text begins with the byte order mark '\ufeff'; allowed is UTF-8 without one",
    "save the file as UTF-8 without a byte order mark",
)


def _too_large(data: bytes) -> Fault:
    within = data[:LARGEST_TEXT].decode(errors="replace")
    return Fault(
        "too-large",
        "",
        within.count("\n") + 1,
        len(within) - within.rfind("\n"),
        f"the text has {len(data)!r} bytes; allowed are at most {LARGEST_TEXT}",
        "move what is no setting, such as measured patches, into an attachment beside the record",
    )


def _members(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    members = dict(pairs)
    if len(members) < len(pairs):
        raise ValueError
    return members


def refused(word: str) -> Json:
    """Refuse what stands for no number: NaN and the infinities."""
    raise ValueError(word)


_DECODER = json.JSONDecoder(
    object_pairs_hook=_members, parse_int=integer, parse_float=fraction, parse_constant=refused
)

# The file form escapes nothing but quotes and backslashes, so any other escape deserves a closer look.
_ESCAPE = re.compile(r"\\[bfnrtu]")
# C0 within a string is refused by the decoder itself.
_CHARACTER = re.compile(f"[{CONTROL}{BIDIRECTIONAL}]")


def _doubtful(text: str, document: Json) -> bool:
    """Whether a text that decoded could still break a rule; may say so of a good one, never the reverse."""
    return not isinstance(document, dict) or has_odd_characters(text) or not is_plain(document, DEEPEST)


def has_odd_characters(text: str) -> bool:
    """Whether a text holds null, an escape or a character that deserves a closer look."""
    return (
        "null" in text
        or ("\\" in text and _ESCAPE.search(text) is not None)
        or ("\x7f" in text if text.isascii() else _CHARACTER.search(text) is not None)
    )


def is_plain(container: Json, room: int) -> bool:
    """Whether a container nests no deeper than `room` and all its keys are ASCII, which has one form only."""
    if isinstance(container, dict):
        if not "".join(container).isascii():
            return False
        container = container.values()
    inner = (value for value in container if isinstance(value, (dict, list)))
    return room > 0 and all(is_plain(value, room - 1) for value in inner)
