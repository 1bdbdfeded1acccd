"""A plan: a job nested on what the substrate is delivered in, with time and ink; each number says how."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from registry.model.usual import Usual
from registry.plan.ink import Ink, inks, leaves_out
from registry.plan.job import Job
from registry.plan.layout import Layout, best_of, layout
from registry.plan.stock import Stocks, stocks
from registry.plan.unfit import Unfit

__all__ = ["Figure", "Plan", "plan"]

_NOWHERE = "nothing is laid out"
_NO_LENGTH = "the roll length is not recorded"
_NO_SPEED = "the mode's speed was not measured"
_LEFT_OUT = "warm-up, loading, changing rolls, cleaning, and drying after the last pass"


@dataclass(frozen=True, slots=True)
class Figure:
    """One computed number."""

    key: str
    label: str
    value: float | None
    unit: str
    how: str
    why: str = ""
    """Why it is unknown."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What a job takes."""

    job: Job
    stocks: Stocks
    layouts: tuple[Layout, ...]
    """One a width, widest first."""
    best: Layout | None
    """The one that takes the least material; none where there is nothing to lay anything on."""
    figures: tuple[Figure, ...]
    inks: tuple[Ink, ...]
    ink_leaves_out: tuple[str, ...]
    sheet: bool
    """Whether the material comes in sheets; else it is wound."""
    acclimatise_h: float | None
    """How long the material lies in the printer's room before it is printed, if that is recorded."""

    @property
    def is_whole(self) -> bool:
        """Whether every piece is placed."""
        return self.best is not None and self.best.is_whole

    @property
    def unfit(self) -> tuple[tuple[Layout, Unfit], ...]:
        """What the best layout has no place for, and why not even the widest material has."""
        lost = self.best.unfit if self.best else ()
        widest = {each.piece: (layout, each) for layout in reversed(self.layouts) for each in layout.unfit}
        return tuple(widest[each.piece] for each in lost)

    @property
    def shortest(self) -> Layout | None:
        """The layout that takes the fewest metres, among those that place as much as the best one."""
        if self.best is None:
            return None
        lost = sum(unfit.piece.count for unfit in self.best.unfit)
        alike = [each for each in self.layouts if sum(unfit.piece.count for unfit in each.unfit) == lost]
        return min(alike, key=lambda each: (round(each.metres, 6), each is not self.best))


def plan(case: Mapping[str, dict[str, Any]], job: Job, usual: Mapping[str, Usual] | None = None) -> Plan:
    """Return what a job takes with the mode, the substrate and the printer of a case."""
    offered = stocks(case, job)
    layouts = tuple(layout(job, stock) for stock in offered.taken)
    best = best_of(layouts) if layouts else None
    placed = best if best and best.places else None
    return Plan(
        job,
        offered,
        layouts,
        best,
        tuple(_figures(case["mode"], job, placed)),
        inks(case, job.coverage, placed.printed_m2 if placed else _printed_m2(job), usual),
        leaves_out(case, job.coverage),
        case["substrate"]["construction"] == "sheet",
        case["substrate"].get("storage", {}).get("acclimatise_h"),
    )


def _printed_m2(job: Job) -> float:
    """Return the area of every piece with its bleed."""
    bleed = 2 * job.bleed_mm
    return sum(
        (piece.width_mm + bleed) * (piece.height_mm + bleed) * piece.count / 1e6 for piece in job.pieces
    )


def _figures(mode: dict[str, Any], job: Job, placed: Layout | None) -> Iterator[Figure]:
    finished = placed.pieces_m2 if placed else sum(piece.area_m2 for piece in job.pieces)
    printed = placed.printed_m2 if placed else _printed_m2(job)
    of = "of the pieces that fit" if placed and not placed.is_whole else "of all pieces"
    yield Figure("finished_m2", "finished area", finished, "m²", f"width × height {of}")
    yield Figure("printed_m2", "printed area", printed, "m²", f"the same with bleed on each side, {of}")
    if placed:
        yield from _material(placed)
    else:
        for key, label, unit in _MATERIAL:
            yield Figure(key, label, None, unit, "", _NOWHERE)
    yield from _time(mode, placed.swept_m2 if placed else None, printed)


_MATERIAL = (
    ("metres", "length", "m"),
    ("least_m", "no layout below", "m"),
    ("material_m2", "material", "m²"),
    ("waste_pct", "waste", "%"),
    ("lengths", "rolls or sheets", ""),
)


def _material(placed: Layout) -> Iterator[Figure]:
    sheet = placed.stock.sheet
    known = placed.stock.length_mm is not None
    values = (
        placed.metres,
        placed.least_m,
        placed.material_m2,
        placed.waste_pct,
        len(placed.used_mm) if known else None,
    )
    hows = (
        (
            "whole sheets"
            if sheet
            else "from the start of a roll to its last piece, lead-in and lead-out included"
        )
        + "; the least of the layouts that were tried, and nothing proves that none takes less",
        "area of the pieces with bleed and gap ÷ usable width, or the longest piece if that is more",
        "length × width, edge to edge",
        "share of the material that is no finished piece: bleed, gaps, edges, leads and the rest",
        "full ones" if sheet else "full ones, a set of panels never on two",
    )
    for (key, label, unit), value, how in zip(_MATERIAL, values, hows, strict=True):
        yield Figure(key, label, value, unit, how, "" if value is not None else _NO_LENGTH)


def _time(mode: dict[str, Any], swept_m2: float | None, printed_m2: float) -> Iterator[Figure]:
    speed = mode["motion"].get("speed_m2_h")
    yield Figure(
        "hours",
        "time",
        swept_m2 / speed if swept_m2 is not None and speed else None,
        "h",
        "area from the first to the last printed line and column, gaps between pieces included, ÷ measured "
        f"speed; left out: {_LEFT_OUT}",
        (_NOWHERE if swept_m2 is None else "") if speed else _NO_SPEED,
    )
    yield Figure(
        "least_h",
        "time if gaps took none",
        printed_m2 / speed if speed else None,
        "h",
        f"printed area ÷ measured speed; left out: {_LEFT_OUT}",
        "" if speed else _NO_SPEED,
    )
