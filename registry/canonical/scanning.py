"""The careful pass: every fault of a text that quick reading would not vouch for, and where its values stand.

It keeps its own stack, so no nesting can exhaust Python's, and its work grows with the text's length only.
After a fault of syntax it goes on with the likeliest meaning (as if a missing comma stood there, and so on),
so that one slip does not hide the other faults.
"""

import re
from bisect import bisect_right
from collections.abc import Iterable
from unicodedata import normalize

from registry.canonical.characters import Flaw, brief, decode, flaws, undecodable
from registry.canonical.fault import Fault, Position
from registry.canonical.limits import DEEPEST, LARGEST_NUMBER, MOST_FAULTS, fraction, integer
from registry.canonical.structure import ALLOWED, Container, Next

__all__ = ["Scan", "scan"]

_SPACE = re.compile(r"[ \t\n\r]*")
_CLOSING_QUOTE = re.compile(r'(?<!\\)(?:\\\\)*"')
_AFTER_STRING = re.compile(r"[ \t\n\r]*(?:[,:\]}]|\Z)")
_SCALAR = re.compile(
    r"(?P<word>true|false|null|NaN|-?Infinity)|-?(?:0|[1-9][0-9]*)(?P<fraction>(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?)"
)
_WORD = re.compile(r'[^ \t\n\r"\[\]{},:]+')
_GARBAGE = re.compile(r'[^\n"\[\]{},:]+')
_OPENER = {"}": "{", "]": "["}


def scan(text: str) -> "Scan":
    """Go through a text from end to end."""
    found = Scan(text)
    found.run()
    found.faults.sort(key=lambda fault: (fault.line, fault.column))
    if found.more:
        message = f"{found.more:,} more faults from here on; told one by one are {MOST_FAULTS}"
        remedy = "mend those first, or write the record anew"
        found.faults.append(Fault("more-faults", "", *found.untold, message, remedy))
    return found


class Scan:
    """One pass over a text: its faults, and the positions of its values by JSON pointer."""

    def __init__(self, text: str) -> None:
        self.faults: list[Fault] = []
        self.more = 0
        """How many faults there are beside those that are told."""
        self.untold = Position(1, 1)
        """Where the first of them stands."""
        self.positions: dict[str, Position] = {}
        self._text = text
        self._lines = [0, *(match.end() for match in re.finditer("\n", text))]
        self._open = [Container("", 0, "")]
        self._count = {"": 1, "{": 0, "[": 0}
        self._quote = 0
        self._fitting = False
        self._done = False

    def run(self) -> None:
        at = self._skip(0)
        while at < len(self._text) and not self._done:
            at = self._skip(self._token(at))
        if not self._done:
            self._end()

    def _skip(self, at: int) -> int:
        return at + len(_match(_SPACE, self._text, at))

    def _token(self, at: int) -> int:
        """Take the token at an offset; the offset behind it."""
        found = self._text[at]
        if found == '"':
            return self._string(at)
        if found in "{[":
            self._enter(at, found)
        elif found in "}]":
            self._leave(at, found)
        elif found == ",":
            self._comma(at)
        elif found == ":":
            self._colon(at)
        else:
            return self._word(at)
        return at + 1

    def _enter(self, at: int, opener: str) -> None:
        pointer = self._value(at, opener)
        level = len(self._open)
        if level == DEEPEST + 1:
            message = f"{opener!r} opens level {level}; allowed are {DEEPEST} (no deeper one was looked at)"
            self._fault(at, pointer, "too-deep", message, "write the record flatter")
        self._open.append(Container(opener, at, pointer))
        self._count[opener] += 1

    def _leave(self, at: int, closer: str) -> None:
        opener = _OPENER[closer]
        container = self._open[-1]
        if not self._count[opener]:
            self._unexpected(at, closer)
            return
        if container.opener != opener:
            self._syntax(at, f"{closer!r} does not close {self._name(container)}", "close that first")
        elif container.next is Next.FURTHER:
            self._syntax(container.comma, f"',' before {closer!r} has nothing behind it", "remove the comma")
        elif container.next in {Next.COLON, Next.VALUE}:
            self._unexpected(at, closer)
        while self._open[-1].opener != opener:
            self._count[self._open.pop().opener] -= 1
        self._count[self._open.pop().opener] -= 1

    def _comma(self, at: int) -> None:
        container = self._open[-1]
        if container.opener and container.next is Next.COMMA:
            container.next = Next.FURTHER
            container.comma = at
            return
        self._unexpected(at, ",")
        if container.next in {Next.COLON, Next.VALUE}:
            container.next = Next.FURTHER
            container.comma = at

    def _colon(self, at: int) -> None:
        container = self._open[-1]
        if container.next is Next.COLON:
            container.next = Next.VALUE
        else:
            self._unexpected(at, ":")

    def _value(self, at: int, found: str) -> str:
        """Take the value at an offset as what comes next in the open container; its pointer."""
        container = self._open[-1]
        if not container.wants_value:
            self._unexpected(at, found)
        elif not container.opener and found != "{":
            message = f"the document begins with {brief(found)!r}; allowed is one object"
            self._fault(at, "", "not-an-object", message, "put the record in '{' and '}'")
        if container.wants_key:
            container.key = None
        container.next = Next.COMMA
        container.index += 1
        pointer = container.member()
        self.positions.setdefault(pointer, self._position(at))
        return pointer

    def _key(self, at: int, key: str) -> str:
        """Take the string at an offset as a key of the open object; the pointer to its member."""
        container = self._open[-1]
        container.key = key
        container.next = Next.COLON
        pointer = container.member()
        self.positions.setdefault(pointer, self._position(at))
        earlier = container.keys.setdefault(normalize("NFC", key), at)
        if earlier != at:
            there = self._position(earlier)
            message = f"key {brief(key)!r} stands already at line {there.line}, column {there.column}"
            if not key.isascii():
                message += " (in Unicode form NFC)"
            message += "; allowed is each key once"
            self._fault(at, pointer, "duplicate-key", message, "keep one; a merge may have kept both sides")
        return pointer

    def _string(self, at: int) -> int:
        stop, end = self._extent(at)
        content = self._text[at + 1 : stop]
        container = self._open[-1]
        if container.wants_key:
            if container.next is Next.COMMA:
                self._unexpected(at, f'"{content}"')
            pointer = self._key(at, decode(content))
        else:
            pointer = self._value(at, f'"{content}"')
        self._flaws(flaws(self._text, at + 1, stop), pointer)
        if stop == end:
            message = f"the string that begins {brief(content)!r} has no closing quote in its line"
            self._fault(at, pointer, "syntax", message, "put a double quote at its end")
        return end

    def _extent(self, at: int) -> tuple[int, int]:
        """Find where the content of a string stops and where the string ends: the same if it is not closed.

        A string closes in its own line; or further down if what follows it there can follow a string.
        """
        if at >= self._quote - 1:
            match = _CLOSING_QUOTE.search(self._text, at + 1)
            self._quote = match.end() if match else len(self._text) + 2
            self._fitting = match is not None and _AFTER_STRING.match(self._text, self._quote) is not None
        line = self._text.find("\n", at, self._quote)
        if self._fitting or (line < 0 and self._quote <= len(self._text)):
            return self._quote - 1, self._quote
        rest = self._text[at + 1 : line if line >= 0 else len(self._text)]
        stop = at + 1 + len(rest.rstrip(" \t\r,]}"))
        return stop, stop

    def _word(self, at: int) -> int:
        """Take a run of characters without quotes and brackets: a scalar, or something that is no JSON."""
        container = self._open[-1]
        found = _match(_WORD, self._text, at)
        if (scalar := _SCALAR.fullmatch(found)) and not container.wants_key:
            self._scalar(at, scalar, self._value(at, found))
            return at + len(found)
        found = _match(_GARBAGE, self._text, at).rstrip(" \t\r")
        end = at + len(found)
        undecoded = list(undecodable(self._text, at, end))
        self._flaws(undecoded, container.pointer)
        if not undecoded:
            self._unexpected(at, found)
        if container.wants_key:
            if self._text.startswith(":", self._skip(end)):
                self._key(at, found)
        elif container.opener and container.next is not Next.COMMA:
            container.next = Next.COMMA
            container.index += 1
        return end

    def _scalar(self, at: int, scalar: re.Match[str], pointer: str) -> None:
        found = scalar.group()
        if found == "null":
            message = "found 'null'; allowed is a value that is known"
            self._fault(at, pointer, "null", message, "leave out what is unknown")
        elif scalar["word"] in {"NaN", "Infinity", "-Infinity"}:
            message = f"{found!r} is no number; allowed are decimal numbers"
            self._fault(at, pointer, "not-a-number", message, "leave out what is unknown")
        elif not scalar["word"]:
            try:
                (fraction if scalar["fraction"] else integer)(found)
            except OverflowError:
                allowed = f"allowed are -{LARGEST_NUMBER} to {LARGEST_NUMBER}"
                message = f"{brief(found)!r} is out of range; {allowed}"
                self._fault(at, pointer, "number-out-of-range", message, "write a smaller number, or text")

    def _end(self) -> None:
        at = len(self._text.rstrip(" \t\n\r"))
        if len(self._open) > 1:
            self._syntax(at, f"the text ends before {self._name(self._open[-1])} is closed", "close it")
        elif not self.positions and not self.faults:
            self._syntax(at, "the text is empty; allowed is one object", "write the record, or remove it")

    def _unexpected(self, at: int, found: str) -> None:
        container = self._open[-1]
        allowed, remedy = ALLOWED[container.opener, container.next]
        self._syntax(at, f"found {brief(found)!r} where {allowed} is allowed", remedy)
        if not container.opener and container.next is Next.COMMA:
            self._done = True

    def _syntax(self, at: int, message: str, remedy: str) -> None:
        container = self._open[-1]
        within = container.next in {Next.COLON, Next.VALUE}
        self._fault(at, container.member() if within else container.pointer, "syntax", message, remedy)

    def _flaws(self, found: Iterable[Flaw], pointer: str) -> None:
        for flaw in found:
            self._fault(flaw.at, pointer, flaw.code, flaw.message, flaw.remedy)

    def _fault(self, at: int, pointer: str, code: str, message: str, remedy: str) -> None:
        if len(self._open) > DEEPEST + 1:
            return
        if len(self.faults) < MOST_FAULTS:
            self.faults.append(Fault(code, pointer, *self._position(at), message, remedy))
            return
        self.untold = self.untold if self.more else self._position(at)
        self.more += 1

    def _name(self, container: Container) -> str:
        place = self._position(container.at)
        return f"{container.opener!r} of line {place.line}, column {place.column}"

    def _position(self, at: int) -> Position:
        line = bisect_right(self._lines, at)
        return Position(line, at - self._lines[line - 1] + 1)


def _match(pattern: re.Pattern[str], text: str, at: int) -> str:
    match = pattern.match(text, at)
    return match.group() if match else ""
