"""What is wrong with a text, where, and what to do about it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from registry.errors import RegistryError

__all__ = ["Fault", "Position", "Unreadable"]


class Position(NamedTuple):
    """A place in a text, both counted from 1; a column is one character, however many bytes it takes."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Fault:
    """One reason why bytes are not a document."""

    code: str
    """What kind of fault, for programs; it never changes:

    too-large, not-utf-8, byte-order-mark (the bytes); syntax, merge-conflict, too-deep, not-an-object,
    duplicate-key (the structure); null, not-a-number, number-out-of-range (a value); control-character,
    bidirectional-character, lone-surrogate (a text); more-faults (how many there are beside those told).
    """
    pointer: str
    """RFC 6901; empty where there is none. A character that no document may hold shows as U+FFFD, and past
    1,000 characters the innermost object or array that needs fewer stands for what is in it."""
    line: int
    column: int
    message: str
    remedy: str

    def __str__(self) -> str:
        place = f"line {self.line}, column {self.column}"
        if self.pointer:
            place += f" ({self.pointer})"
        return f"{place}: {self.message}; {self.remedy}"


class Unreadable(RegistryError):
    """Bytes that are not a document, with every reason found."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(map(str, self.faults))
