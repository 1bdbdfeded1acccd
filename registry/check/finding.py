"""What a check finds: values, never exceptions; and the refusal of a contribution because of them."""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from registry.errors import RegistryError

__all__ = ["AtFault", "Finding", "Remark", "Severity"]

Severity = Literal["error", "warning"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a rule found, and where."""

    code: str
    """The rule's code; it never changes its meaning."""
    severity: Severity
    path: str
    """From the top of the repository."""
    line: int
    column: int
    """Counted from 1, as is the line; where a file as a whole is meant, both are 1."""
    pointer: str
    """JSON pointer (RFC 6901) of the value; empty where the file as a whole is meant."""
    found: str
    allowed: str
    """Both may be empty where the message says all."""
    message: str
    remedy: str
    landing: str = ""
    """The commit with which it came; empty where it is so in what is checked now."""

    @property
    def what(self) -> tuple[str, str, str]:
        """What tells it from others, wherever its place in the text may have moved."""
        return self.code, self.path, self.pointer

    def __str__(self) -> str:
        return _words(self)


class AtFault(RegistryError):
    """Something is refused because of the values that it names."""

    def __init__(self, findings: list[Finding]) -> None:
        super().__init__(findings)
        self.findings = findings


class Remark(NamedTuple):
    """What a rule says; the check adds code, severity and, unless given, the place in the text."""

    path: str
    message: str
    remedy: str
    pointer: str = ""
    found: str = ""
    allowed: str = ""
    line: int = 0
    column: int = 0

    @property
    def words(self) -> str:
        """What is wrong, what was found and what is allowed, and how to mend it."""
        return _words(self)


def _words(said: Finding | Remark) -> str:
    found = f"found {said.found}" if said.found else ""
    allowed = f"allowed {said.allowed}" if said.allowed else ""
    evidence = ", ".join(filter(None, (found, allowed)))
    return "; ".join(filter(None, (": ".join(filter(None, (said.message, evidence))), said.remedy)))
