"""What a job asks for: its pieces, how they are to lie, and how much ink its image takes."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from registry.errors import RequestError
from registry.model.units import metric

__all__ = ["MOST_PIECES", "Coverage", "Job", "Piece", "coverage_of", "pieces_of"]

MOST_PIECES = 2000
"""As many pieces as one plan takes."""

_NUMBER = r"[0-9]{1,6}(?:\.[0-9]{1,4})?"
_PIECE = re.compile(rf"({_NUMBER})[x×]({_NUMBER})(?:[x×]([0-9]{{1,5}}))?")
_NAMED = re.compile(r"(?:([^=+]+)=)?([^=]+)")
_SHARE = re.compile(rf"([^=]+)=({_NUMBER})")
_SMALLEST, _LARGEST = 1, 100_000
"""Sides of a piece, in mm."""
_NAME = 40


@dataclass(frozen=True, slots=True)
class Piece:
    """One size of piece, and how many of it; finished size, as it hangs."""

    name: str
    width_mm: float
    height_mm: float
    count: int
    set: str = ""
    """The set of panels that it belongs to; empty for one that stands alone."""

    @property
    def turns(self) -> bool:
        """Whether it may be turned by a quarter: panels that hang side by side must not."""
        return not self.set

    @property
    def area_m2(self) -> float:
        """Finished area of all of them."""
        return self.width_mm * self.height_mm * self.count / 1e6


@dataclass(frozen=True, slots=True)
class Coverage:
    """How much of the area an image inks on average, in % of each channel before the mode's load."""

    total_pct: float
    """Sum of the channels."""
    channels: dict[str, float] = field(default_factory=dict)
    """Each channel by the name that was given, where they were given one by one."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Job:
    """What is to be printed."""

    pieces: tuple[Piece, ...]
    coverage: Coverage | None = None
    bleed_mm: float = 0
    """Printed beyond the finished size, on each side."""
    gap_mm: float = 10
    """Between two pieces, bleed to bleed."""
    margin_mm: float = 10
    """Kept free at each edge of the web, and at each edge of a sheet."""
    lead_in_m: float = 0
    """Of each roll, before the first piece."""
    lead_out_m: float = 0
    """Of each roll, after the last piece."""
    width_mm: float | None = None
    """This width of material only, recorded or not."""
    length_m: float | None = None
    """This length of a roll or sheet, instead of the recorded one."""


def pieces_of(alone: Sequence[str], sets: Sequence[str], system: str = "metric") -> tuple[Piece, ...]:
    """Return the pieces that `[NAME=]WIDTHxHEIGHT[xCOUNT]` mean; those of a set are joined by `+`.

    >>> pieces_of(["1200x1800x6"], ["wall=1000x2000x3+800x2000"])[1:]
    (Piece(name='wall', width_mm=1000.0, height_mm=2000.0, count=3, set='wall'), \
Piece(name='wall', width_mm=800.0, height_mm=2000.0, count=1, set='wall'))
    >>> pieces_of(["48x72"], [], "us")
    (Piece(name='48x72', width_mm=1219.2, height_mm=1828.8, count=1, set=''),)
    """
    pieces = [_piece(text, size, name or _size_name(size), "", system) for text, name, size in _named(alone)]
    names: set[str] = set()
    for number, (text, given, sizes) in enumerate(_named(sets), 1):
        name = given or f"set {number}"
        if name in names:
            raise RequestError(f"two sets are called {name!r}: give each its own name, or join them with +")
        names.add(name)
        pieces += [_piece(text, size, name, name, system) for size in sizes.split("+")]
    if not pieces:
        raise RequestError(
            "say what is to be printed: --piece WIDTHxHEIGHTxCOUNT, as in --piece 1200x1800x6, "
            "or --set for panels that hang side by side"
        )
    if (number := sum(piece.count for piece in pieces)) > MOST_PIECES:
        raise RequestError(
            f"{number:,} pieces are too many for one plan, {MOST_PIECES:,} at most: plan a part of them"
        )
    return tuple(pieces)


def _named(texts: Sequence[str]) -> list[tuple[str, str, str]]:
    """Return each text with the name and the size that it gives."""
    found = []
    for text in texts:
        form = _NAMED.fullmatch(text)
        if form is None:
            raise _unreadable(text)
        name = (form[1] or "").strip()
        if len(name) > _NAME or not name.isprintable():
            raise RequestError(f"{name!r} is no name for a piece: at most {_NAME} letters on one line")
        found.append((text, name, form[2].strip()))
    return found


def _size_name(size: str) -> str:
    """Return a size without its count, which names a piece that has no name."""
    return "x".join(re.split("[x×]", size)[:2])


def _piece(text: str, size: str, name: str, of_set: str, system: str) -> Piece:
    form = _PIECE.fullmatch(size.strip())
    if form is None:
        raise _unreadable(text)
    width, height = (metric(float(form[number]), "mm", system) for number in (1, 2))
    count = int(form[3] or 1)
    for side in (width, height):
        if not _SMALLEST <= side <= _LARGEST:
            raise RequestError(
                f"{text!r}: a side of {side:g} mm cannot be planned, only {_SMALLEST} mm to {_LARGEST:,} mm"
            )
    if not count:
        raise RequestError(f"{text!r}: no pieces are asked for: leave it out, or say how many")
    return Piece(name, width, height, count, of_set)


def _unreadable(text: str) -> RequestError:
    """Return what to write instead of what was written for a piece, or for a set."""
    if "+" not in text:
        write = "WIDTHxHEIGHTxCOUNT, as in 1200x1800x6, with a name poster=1200x1800x6"
        return RequestError(
            f"{text!r} is no piece: write {write}, and in a --set several of them joined by +"
        )
    sizes = [part.rpartition("=")[2].strip() for part in text.split("+")]
    sizes = sizes if all(map(_PIECE.fullmatch, sizes)) else ["1000x2000x3", "800x2000"]
    return RequestError(
        f"{text!r} is no piece and no set: pieces joined by + are a set, whose name stands once, before the "
        f"whole of it: --set wall={'+'.join(sizes)}"
    )


def coverage_of(text: str) -> Coverage:
    """Return what `60` (a sum of channels) or `C=20,M=15,Y=10,K=5` (each channel) says.

    >>> coverage_of("60")
    Coverage(total_pct=60.0, channels={})
    >>> coverage_of("C=20,M=15,light cyan=5")
    Coverage(total_pct=40.0, channels={'C': 20.0, 'M': 15.0, 'light cyan': 5.0})
    """
    if re.fullmatch(_NUMBER, text.strip()):
        return Coverage(float(text))
    channels: dict[str, float] = {}
    for part in text.split(","):
        form = _SHARE.fullmatch(part.strip())
        if form is None:
            raise RequestError(
                f"{text!r} is no coverage: write the mean sum of the channels in %, as in 60, "
                "or each channel, as in C=20,M=15,Y=10,K=5"
            )
        name = form[1].strip()
        if name in channels:
            raise RequestError(f"{text!r} names the channel {name!r} twice")
        if float(form[2]) > 100:
            raise RequestError(f"{part.strip()!r}: no channel inks more than 100 % of an area")
        channels[name] = float(form[2])
    return Coverage(math.fsum(channels.values()), channels)
