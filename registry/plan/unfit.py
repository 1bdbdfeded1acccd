"""Pieces that have no place on a material, and why; nothing is ever cut up silently."""

import math
from collections.abc import Collection
from dataclasses import dataclass

from registry.plan.job import Piece

__all__ = ["LONG", "PART", "SET", "WIDE", "Room", "Unfit", "why_not"]

WIDE, LONG, SET, PART = "too wide", "too long", "set too long", "stays with its set"


@dataclass(frozen=True, slots=True)
class Room:
    """What a material leaves for pieces."""

    across_mm: float
    """Between the margins."""
    along_mm: float | None
    """Of one roll or sheet; none where that is not known."""
    bleed_mm: float

    def takes(self, piece: Piece) -> bool:
        """Whether a piece fits by itself."""
        width, height = self.printed(piece)
        ways = [(width, height), (height, width)] if piece.turns else [(width, height)]
        along_mm = math.inf if self.along_mm is None else self.along_mm
        return any(across <= self.across_mm and along <= along_mm for across, along in ways)

    def printed(self, piece: Piece) -> tuple[float, float]:
        """Return a piece's width and height with its bleed."""
        return piece.width_mm + 2 * self.bleed_mm, piece.height_mm + 2 * self.bleed_mm


@dataclass(frozen=True, slots=True)
class Unfit:
    """Pieces that do not fit, and why."""

    piece: Piece
    why: str
    room_mm: float
    """What there is for a piece with its bleed: across where it is too wide, else along."""
    side_mm: float = 0
    """The finished side that is too long to lie across."""
    panels: int = 0
    """Into how many panels that side would have to be parted; 0 where that is no help."""
    fits_turned: bool = False
    """Whether it must not be turned and would fit if it were."""

    @property
    def panel_mm(self) -> float:
        """Finished width of each of so many panels, without what a seam takes."""
        return self.side_mm / self.panels if self.panels else 0


def why_not(piece: Piece, room: Room, lost: Collection[Piece]) -> Unfit:
    """Return why a piece has no place; `lost` are all that have none."""
    width, height = room.printed(piece)
    if (min(width, height) if piece.turns else width) > room.across_mm:
        side = min(piece.width_mm, piece.height_mm) if piece.turns else piece.width_mm
        each = room.across_mm - 2 * room.bleed_mm
        panels = math.ceil(round(side / each, 6)) if each > 0 else 0
        turned = not piece.turns and height <= room.across_mm
        return Unfit(piece, WIDE, room.across_mm, side, panels, turned)
    along_mm = room.along_mm or 0
    if not room.takes(piece):
        return Unfit(piece, LONG, along_mm)
    others = [each for each in lost if each.set == piece.set and not room.takes(each)]
    return Unfit(piece, PART if others else SET, along_mm)
