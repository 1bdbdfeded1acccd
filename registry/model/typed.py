"""A number as people type it: one way to read it, wherever one is typed."""

import re

__all__ = ["NoNumber", "shortened", "typed_number"]

_FORM = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:e[+-]?[0-9]+)?", re.IGNORECASE)
_LONGEST = 40
"""Characters: no number that anyone reads off a sheet or a gauge has more."""
_SMALLEST = 1e-9
"""Nothing here is measured so finely; what is nearer to 0 only makes quotients overflow."""


class NoNumber(ValueError):
    """What was typed is no number that can be reckoned with; the text says so, and what to write."""

    def __init__(self, typed: str, write: str) -> None:
        super().__init__(typed, write)
        self.typed, self.write = typed, write

    def __str__(self) -> str:
        return f"{shortened(self.typed)} is no number: write {self.write}"

    def words(self, what: str, unit: str = "") -> str:
        """Return in a line that something is a number, in its unit, and what to write."""
        within = f" in {unit}" if unit else ""
        return f"{what} is a number{within}, not {shortened(self.typed)}: write {self.write}"


def typed_number(text: str) -> int | float:
    """Return the number that was typed, a whole one as `int`.

    >>> typed_number(" +5 "), typed_number("98.0"), typed_number(".5"), typed_number("-1e3")
    (5, 98, 0.5, -1000)

    Raises
    ------
    NoNumber
        It has other signs than digits, point and exponent, as words such as nan have; or it is too large,
        or too near to 0.
    """
    from registry.canonical.limits import LARGEST_NUMBER  # noqa: PLC0415 (6 ms that only a number pays for)

    bare = text.strip()
    if not _FORM.fullmatch(bare):
        raise NoNumber(text, "a point before decimals" if "," in bare else "digits, as in 98 or 0.5")
    value = float(bare)
    zero = not re.search("[1-9]", bare.lower().partition("e")[0])  # what is too small reads as 0 too
    if len(bare) > _LONGEST or not (zero or _SMALLEST <= abs(value) <= LARGEST_NUMBER):
        raise NoNumber(text, f"0, or a size from {_SMALLEST:g} to {LARGEST_NUMBER:.0e}")
    return int(value) if value.is_integer() else value


def shortened(text: str) -> str:
    """Return what was typed, quoted, of a long text its beginning."""
    return repr(text) if len(text) <= _LONGEST else f"{text[:_LONGEST]!r}…"
