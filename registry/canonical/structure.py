"""Objects and arrays while they are being read: what each takes next, and where it stands."""

from dataclasses import dataclass, field
from enum import Enum, auto

from registry.canonical.characters import shown
from registry.canonical.limits import LONGEST_POINTER
from registry.canonical.tree import join_pointer

__all__ = ["ALLOWED", "Container", "Next"]


class Next(Enum):
    """What an open container takes next."""

    FIRST = auto()
    FURTHER = auto()
    COLON = auto()
    VALUE = auto()
    COMMA = auto()


_WRITE_A_VALUE = "write text in double quotes, a number, true, false, an object or an array"
ALLOWED = {  # by bracket and what comes next: what is allowed, and what to do
    ("", Next.FIRST): ("one object", "begin the document with '{'"),
    ("", Next.COMMA): ("only the end", "keep one object a file"),
    ("{", Next.FIRST): ("a key in double quotes or '}'", "put the key in double quotes"),
    ("{", Next.FURTHER): ("a key in double quotes", "put the key in double quotes"),
    ("{", Next.COLON): ("':'", "put a colon between the key and its value"),
    ("{", Next.VALUE): ("a value", _WRITE_A_VALUE),
    ("{", Next.COMMA): ("',' or '}'", "put a comma between the members"),
    ("[", Next.FIRST): ("a value or ']'", _WRITE_A_VALUE),
    ("[", Next.FURTHER): ("a value", _WRITE_A_VALUE),
    ("[", Next.COMMA): ("',' or ']'", "put a comma between the elements"),
}


@dataclass(slots=True)
class Container:
    """An object or array that is being read; or, with no bracket, the text around it."""

    opener: str
    at: int
    pointer: str
    next: Next = Next.FIRST
    key: str | None = None
    keys: dict[str, int] = field(default_factory=dict)
    index: int = -1
    comma: int = 0

    @property
    def wants_key(self) -> bool:
        return self.opener == "{" and self.next in {Next.FIRST, Next.FURTHER, Next.COMMA}

    @property
    def wants_value(self) -> bool:
        return self.next is Next.VALUE or (self.opener != "{" and self.next in {Next.FIRST, Next.FURTHER})

    def member(self) -> str:
        """Point to the member or element that is being read; to the container where that gets too long."""
        part = self.key if self.opener == "{" else str(self.index)
        if not self.opener or part is None:
            return self.pointer
        pointer = self.pointer + join_pointer([shown(part)])
        return pointer if len(pointer) <= LONGEST_POINTER else self.pointer
