"""A job's pieces nested on one width of roll, or on one size of sheet."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from registry.plan.fill import Block, Spot
from registry.plan.job import Job, Piece
from registry.plan.nest import Strip, nest
from registry.plan.stock import Stock
from registry.plan.unfit import Room, Unfit, why_not

__all__ = ["Layout", "Place", "best_of", "layout"]

_UM = 1000
"""Nesting reckons in whole µm."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where one piece lies: the corner of its bleed nearest to the left edge and to the start."""

    length: int
    """Which roll or sheet, from 1."""
    name: str
    set: str
    number: int
    """Which of the pieces of this name, from 1."""
    x_mm: float
    """From the left edge of the material, the printed face up and its start towards the viewer."""
    y_mm: float
    """From the start of the roll or sheet."""
    across_mm: float
    """Size across the material, bleed included."""
    along_mm: float
    """Size along the material, bleed included."""
    turned: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """The shortest nesting that was found on one width."""

    stock: Stock
    places: tuple[Place, ...]
    used_mm: tuple[float, ...]
    """Of each roll, lead-in and lead-out included; of each sheet, its whole length."""
    swept_m2: float
    """From the first to the last printed line and column of each roll or sheet, gaps included."""
    pieces_m2: float
    """Finished area of what is placed."""
    printed_m2: float
    """The same with bleed."""
    least_m: float
    """No nesting of what is placed takes less material than this."""
    unfit: tuple[Unfit, ...]

    @property
    def metres(self) -> float:
        """Length of material that is used."""
        return math.fsum(self.used_mm) / 1000

    @property
    def material_m2(self) -> float:
        """Area of that length, edge to edge."""
        return self.metres * self.stock.width_mm / 1000

    @property
    def waste_pct(self) -> float | None:
        """Share of it that is no finished piece: bleed, gaps, edges, leads, and what no piece fits."""
        return 100 * (1 - self.pieces_m2 / self.material_m2) if self.places else None

    @property
    def is_whole(self) -> bool:
        """Whether every piece is placed."""
        return not self.unfit


def best_of(layouts: Sequence[Layout]) -> Layout:
    """Return the layout that places the most and then takes the least area; of equals the widest."""
    return min(
        layouts,
        key=lambda each: (
            sum(unfit.piece.count for unfit in each.unfit),
            round(each.material_m2, 6),
            -each.stock.width_mm,
        ),
    )


def layout(job: Job, stock: Stock) -> Layout:
    """Return a job nested on one width, the shortest that was found."""
    space = _Space(job, stock)
    wanted = [piece for piece in job.pieces for _ in range(piece.count)]
    found = nest([space.block(number, piece) for number, piece in enumerate(wanted)], space.strip())
    spots = [
        (at, spot)
        for at, laid in enumerate(found.lengths, 1)
        for spot in sorted(laid, key=lambda each: (each.y, each.x))
    ]
    numbers = _numbers(job)
    placed = [wanted[spot.block.number] for _, spot in spots]
    lost = {wanted[block.number] for block in found.unplaced}
    return Layout(
        stock,
        tuple(
            space.place(spot, at, piece, next(numbers[piece]))
            for (at, spot), piece in zip(spots, placed, strict=True)
        ),
        tuple(space.used_mm(laid) for laid in found.lengths),
        math.fsum(space.swept_mm2(laid) for laid in found.lengths) / 1e6,
        math.fsum(piece.width_mm * piece.height_mm for piece in placed) / 1e6,
        math.fsum(math.prod(space.room.printed(piece)) for piece in placed) / 1e6,
        space.least_m(found.least) if placed else 0,
        tuple(why_not(piece, space.room, lost) for piece in job.pieces if piece in lost),
    )


def _numbers(job: Job) -> dict[Piece, Iterator[int]]:
    """Return the numbers of each piece among those of its name; those of one size are printed in order."""
    numbers: dict[Piece, list[int]] = {}
    named: dict[str, int] = {}
    for piece in job.pieces:
        first = named.get(piece.name, 0) + 1
        named[piece.name] = first + piece.count - 1
        numbers.setdefault(piece, []).extend(range(first, first + piece.count))
    return {piece: iter(held) for piece, held in numbers.items()}


class _Space:
    """The part of a material on which pieces may lie, in µm, and the way back to mm on the material."""

    def __init__(self, job: Job, stock: Stock) -> None:
        self.job, self.stock = job, stock
        ends = 2 * job.margin_mm if stock.sheet else 1000 * (job.lead_in_m + job.lead_out_m)
        self.start_mm = job.margin_mm if stock.sheet else 1000 * job.lead_in_m
        self.ends_mm = ends
        along_mm = None if stock.length_mm is None else max(0, stock.length_mm - ends)
        self.room = Room(max(0, stock.width_mm - 2 * job.margin_mm), along_mm, job.bleed_mm)
        self.gap = round(job.gap_mm * _UM)

    def strip(self) -> Strip:
        """Return what is nested on: a gap wider and longer, as each piece takes a gap with it."""
        width = round(self.room.across_mm * _UM) + self.gap
        length = None if self.room.along_mm is None else round(self.room.along_mm * _UM) + self.gap
        each = round((self.stock.length_mm or 0 if self.stock.sheet else self.ends_mm) * _UM)
        return Strip(width, length, each)

    def block(self, number: int, piece: Piece) -> Block:
        """Return a piece with its bleed and a gap; on sheets a set need not stay together."""
        across, along = (round(side * _UM) + self.gap for side in self.room.printed(piece))
        return Block(number, across, along, piece.turns, group="" if self.stock.sheet else piece.set)

    def place(self, spot: Spot, length: int, piece: Piece, number: int) -> Place:
        """Return where on the material a piece lies."""
        return Place(
            length,
            piece.name,
            piece.set,
            number,
            self.job.margin_mm + spot.x / _UM,
            self.start_mm + spot.y / _UM,
            (spot.block.across - self.gap) / _UM,
            (spot.block.along - self.gap) / _UM,
            spot.block.is_turned,
        )

    def used_mm(self, spots: Sequence[Spot]) -> float:
        """Return what a roll or a sheet gives to the job."""
        if self.stock.sheet:
            return self.stock.length_mm or 0
        return self.ends_mm + (max(spot.y + spot.block.along for spot in spots) - self.gap) / _UM

    def least_m(self, least: int) -> float:
        """Return the least that any nesting takes: of sheets whole ones."""
        if self.stock.sheet and self.room.along_mm:
            sheets = math.ceil(round(least / _UM / (self.room.along_mm + self.job.gap_mm), 9))
            return sheets * (self.stock.length_mm or 0) / 1000
        return (self.ends_mm + (least - self.gap) / _UM) / 1000

    def swept_mm2(self, spots: Sequence[Spot]) -> float:
        """Return the area from the first to the last printed column and line."""
        across = max(spot.x + spot.block.across for spot in spots) - min(spot.x for spot in spots) - self.gap
        along = max(spot.y + spot.block.along for spot in spots) - min(spot.y for spot in spots) - self.gap
        return across * along / _UM**2
