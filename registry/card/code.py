"""What a card's code and a print's slug say, and reading either back."""

import datetime
import re
from dataclasses import dataclass

from registry.errors import RequestError

__all__ = ["SHORT", "CardCode", "CodeError", "code_text", "parse_code", "slug_text"]

SHORT = 12
"""Hex digits of the settings digest that paper carries: 48 bits tell a registry's settings apart."""

_ID = r"[a-z0-9][a-z0-9-]*(?:/[a-z0-9][a-z0-9-]*){2}"
_UNIT = r"(?P<unit>[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*)(?:@r(?P<unit_revision>[0-9]{1,6}))?"
_REVISION = r"r(?P<revision>[0-9]{1,6})(?P<draft>-draft)?"
_DIGEST = rf"(?P<digest>[0-9a-f]{{{SHORT},64}})"
_CODE = re.compile(rf"litstock:(?P<mode>{_ID})@{_REVISION}#{_DIGEST}(?:\+{_UNIT})?")
_SLUG = re.compile(
    rf"(?P<mode>{_ID}) {_REVISION} {_DIGEST}(?: {_UNIT})?(?: [0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}})?"
)


class CodeError(RequestError):
    """A text that is neither a card's code nor a print's slug."""

    def __init__(self, text: str, why: str) -> None:
        self.text, self.why = text, why
        super().__init__(text, why)

    def __str__(self) -> str:
        shown = self.text if len(self.text) <= 240 else f"{self.text[:240]}…"
        return f"cannot read {shown!r} as a card's code or a print's slug: {self.why}"


@dataclass(frozen=True, slots=True)
class CardCode:
    """What a card or a print says of its settings."""

    mode_id: str
    revision: int
    """The revision; of a draft, the one it was made on (0: none had landed)."""
    digest: str
    """The settings digest's first twelve hex digits, or more."""
    unit: str = ""
    unit_revision: int | None = None
    """The revision of the unit whose own values it carries; older cards and slugs do not say."""
    draft: bool = False


def _revision(number: int, draft: bool) -> str:
    return f"r{number}-draft" if draft else f"r{number}"


def _machine(unit: str, revision: int | None) -> str:
    return unit if revision is None else f"{unit}@r{revision}"


def code_text(
    mode_id: str,
    revision: int,
    digest: str,
    *,
    unit: str = "",
    unit_revision: int | None = None,
    draft: bool = False,
) -> str:
    """Return the text in the card's code.

    >>> code_text("lumenfold/dayfilm-210/backlit-16", 5, "3fa9c2d17b04" + "0" * 52)
    'litstock:lumenfold/dayfilm-210/backlit-16@r5#3fa9c2d17b04'
    >>> code_text("a/b/c", 5, "3fa9c2d17b04" + "0" * 52, unit="harbour-yard/left", unit_revision=4)
    'litstock:a/b/c@r5#3fa9c2d17b04+harbour-yard/left@r4'
    """
    machine = f"+{_machine(unit, unit_revision)}" if unit else ""
    return f"litstock:{mode_id}@{_revision(revision, draft)}#{digest[:SHORT]}{machine}"


def slug_text(
    mode_id: str,
    revision: int,
    digest: str,
    *,
    unit: str = "",
    unit_revision: int | None = None,
    date: datetime.date | None = None,
    draft: bool = False,
) -> str:
    """Return the line to print in the bleed, so that a returned print names its own settings.

    >>> slug_text("a/b/c", 5, "3fa9c2d17b04" + "0" * 52, unit="harbour-yard/left", unit_revision=4)
    'a/b/c r5 3fa9c2d17b04 harbour-yard/left@r4'
    """
    machine = _machine(unit, unit_revision)
    words = [mode_id, _revision(revision, draft), digest[:SHORT], machine, date.isoformat() if date else ""]
    return " ".join(word for word in words if word)


def parse_code(text: str) -> CardCode:
    """Return what a card's code or a print's slug says, however it was typed, scanned or wrapped.

    Raises
    ------
    CodeError
        The text is neither; the error says what is missing.
    """
    words = text.lower().split()
    found = _CODE.fullmatch("".join(words)) or _SLUG.fullmatch(" ".join(words))
    if not found:
        raise CodeError(text, _why(words))
    return CardCode(
        found["mode"],
        int(found["revision"]),
        found["digest"],
        found["unit"] or "",
        int(found["unit_revision"]) if found["unit_revision"] else None,
        found["draft"] is not None,
    )


def _why(words: list[str]) -> str:
    """Say which part of the text is missing or malformed."""
    text = " ".join(words)
    if not text:
        return "it is empty"
    head = words[0].removeprefix("litstock:").partition("@")[0]
    if not re.fullmatch(_ID, head):
        return f"{head!r} is no print mode's id, which is maker/grade/mode"
    if not re.search(r"(?:@| )r[0-9]{1,6}(?:-draft)?(?:#| |$)", text):
        return "no revision such as 'r5' follows the print mode's id"
    if not re.search(rf"(?:#| ){_DIGEST}(?: |\+|$)", text):
        return f"no settings digest follows the revision: at least {SHORT} of the digits 0-9 and a-f"
    return "only a unit such as 'harbour-yard/left@r4' and a date may follow the settings digest"
