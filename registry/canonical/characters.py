"""What stands between two quotes: which text it means, and which of its characters no document may hold."""

import json
import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from registry.canonical.limits import BIDIRECTIONAL, C0, CONTROL, INVISIBLE, JOINED, JOINERS

__all__ = ["Flaw", "brief", "decode", "flaws", "invisible", "shown", "undecodable", "visible"]

_REFUSED = re.compile(f"[{C0}{CONTROL}{BIDIRECTIONAL}\ud800-\udfff]")
_INVISIBLE = re.compile(f"[{INVISIBLE}]|(?<![{JOINED}])[{JOINERS}]")
_UNSEEN = re.compile(f"{_REFUSED.pattern}|{_INVISIBLE.pattern}")
_CONTROL = re.compile(f"[{C0}{CONTROL}]")
_BIDIRECTIONAL = re.compile(f"[{BIDIRECTIONAL}]")
_SURROGATE = re.compile("[\ud800-\udfff]")
# Reading lets every byte that is not UTF-8 through as one of these; UTF-8 itself cannot hold them.
_BYTES = re.compile("[\udc80-\udcff]+")
_ITEM = re.compile(
    r"(?P<escape>\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}|\\u[0-9a-fA-F]{4}|\\[\"\\/bfnrt])"
    r"|(?P<mistake>\\)"
    rf"|(?P<bytes>{_BYTES.pattern})"
    rf"|(?P<raw>{_REFUSED.pattern})",
)
_ESCAPES = r"allowed are \" \\ \/ \b \f \n \r \t and \u with four hexadecimal digits"
_LONGEST_QUOTE = 60


class Flaw(NamedTuple):
    """Something in a text that no document may hold."""

    at: int
    code: str
    message: str
    remedy: str


def decode(content: str) -> str:
    """Give the text that a string's content means; what cannot be decoded stays as it is written."""
    return _ITEM.sub(_meaning, content)


def brief(found: str) -> str:
    """Give enough of what was found to know it by."""
    if len(found) <= _LONGEST_QUOTE:
        return found
    return f"{found[:_LONGEST_QUOTE]}… ({len(found)} characters)"


def shown(key: str) -> str:
    """Give a key fit for a pointer that people and terminals will see."""
    return _REFUSED.sub("\ufffd", key)


def invisible(text: str) -> Iterator[tuple[int, str]]:
    """Find the characters that nobody sees: where each stands, the first at 1, and its code point."""
    return ((match.start() + 1, f"U+{ord(match.group()):04X}") for match in _INVISIBLE.finditer(text))


def _escape(character: str) -> str:
    point = ord(character)
    return f"\\x{point:02x}" if point < 0x100 else f"\\u{point:04x}" if point < 0x10000 else f"\\U{point:08x}"


def visible(text: str, keep: str = "", escape: Callable[[str], str] = _escape) -> str:
    r"""Give a text in which everything can be seen: what steers a terminal or hides stands as its escape.

    >>> print(visible("a\x1b[1m\u202e\n", keep="\n"), end="")
    a\x1b[1m\u202e
    """
    return _UNSEEN.sub(lambda match: match[0] if match[0] in keep else escape(match[0]), text)


def undecodable(text: str, start: int, end: int) -> Iterator[Flaw]:
    """Find the bytes that are not UTF-8 in a part of a text."""
    return (_undecoded(match) for match in _BYTES.finditer(text, start, end))


def flaws(text: str, start: int, end: int) -> Iterator[Flaw]:
    """Find all that may not stand in a string whose content is `text[start:end]`."""
    for match in _ITEM.finditer(text, start, end):
        if match.lastgroup == "bytes":
            yield _undecoded(match)
        elif match.lastgroup == "mistake":
            found = text[match.start() : match.start() + 2]
            message = f"{found!r} is no escape; {_ESCAPES}"
            yield Flaw(match.start(), "syntax", message, "write a backslash as two")
        elif refusal := _refusal(_meaning(match)):
            yield Flaw(match.start(), *refusal)


def _undecoded(match: re.Match[str]) -> Flaw:
    found = match.group()[:_LONGEST_QUOTE].encode(errors="surrogateescape")
    message = f"{found!r} is not UTF-8; a record is UTF-8 text"
    return Flaw(match.start(), "not-utf-8", message, "save the file as UTF-8")


def _meaning(match: re.Match[str]) -> str:
    found = match.group()
    return str(json.loads(f'"{found}"')) if match.lastgroup == "escape" else found


def _refusal(character: str) -> tuple[str, str, str] | None:
    if _CONTROL.match(character):
        return (
            "control-character",
            f"control character {character!r}; allowed is text in one line",
            "remove it, or put a space in its place",
        )
    if _BIDIRECTIONAL.match(character):
        return (
            "bidirectional-character",
            f"bidirectional control {character!r}; allowed is text that reads as it is stored",
            "remove it",
        )
    if _SURROGATE.match(character):
        return (
            "lone-surrogate",
            f"surrogate {character!r} without its other half; allowed are whole characters",
            "write the character itself",
        )
    return None
