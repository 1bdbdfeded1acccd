"""What a substrate is delivered in, and which of it the printer takes."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from registry.plan.job import Job

__all__ = ["NotTaken", "Stock", "Stocks", "stocks"]

_NO_WIDTHS = "the substrate's widths are not recorded: give one with --width"
_NO_SHEETS = "the sizes of its sheets are not recorded: give one with --width and --length"
_NO_ROLL = "the roll length is not recorded: how many rolls it takes is unknown; give it with --length"
_NO_LIMIT = "the printer's widest material is not recorded: whether it takes these widths is unknown"


@dataclass(frozen=True, slots=True)
class Stock:
    """A roll of one width, or a sheet of one size."""

    width_mm: float
    length_mm: float | None = None
    """Of a full roll or of a sheet; unknown where it is not recorded."""
    sheet: bool = False


@dataclass(frozen=True, slots=True)
class NotTaken:
    """A width that the printer does not take."""

    width_mm: float
    limit_mm: float
    """The widest or the narrowest that it takes."""

    @property
    def too_wide(self) -> bool:
        """Whether it is too wide; else it is too narrow."""
        return self.width_mm > self.limit_mm


@dataclass(frozen=True, slots=True)
class Stocks:
    """What can be printed on, what cannot, and what of that is not known."""

    taken: tuple[Stock, ...]
    not_taken: tuple[NotTaken, ...]
    unknown: tuple[str, ...]


def stocks(case: Mapping[str, dict[str, Any]], job: Job) -> Stocks:
    """Return the widths of roll, or the sizes of sheet, that a job can be nested on, widest first."""
    substrate, printer = case["substrate"], case.get("printer", {})
    sheet = substrate["construction"] == "sheet"
    unknown: list[str] = []
    offered = _sheets(substrate, job, unknown) if sheet else _rolls(substrate, job, unknown)
    widest, narrowest = printer.get("max_width_mm"), printer.get("min_width_mm")
    if offered and widest is None:
        unknown.append(_NO_LIMIT)
    taken, not_taken = [], []
    for stock in sorted(offered, key=lambda each: (-each.width_mm, -(each.length_mm or 0))):
        if widest is not None and stock.width_mm > widest:
            not_taken.append(NotTaken(stock.width_mm, widest))
        elif narrowest is not None and stock.width_mm < narrowest:
            not_taken.append(NotTaken(stock.width_mm, narrowest))
        else:
            taken.append(stock)
    return Stocks(tuple(taken), tuple(not_taken), tuple(unknown))


def _rolls(substrate: dict[str, Any], job: Job, unknown: list[str]) -> list[Stock]:
    length_m = job.length_m if job.length_m is not None else substrate.get("roll", {}).get("length_m")
    widths = [job.width_mm] if job.width_mm is not None else substrate.get("widths_mm", [])
    if not widths:
        unknown.append(_NO_WIDTHS)
    elif length_m is None:
        unknown.append(_NO_ROLL)
    return [Stock(width, None if length_m is None else length_m * 1000) for width in widths]


def _sheets(substrate: dict[str, Any], job: Job, unknown: list[str]) -> list[Stock]:
    if job.length_m is not None:
        widths = [job.width_mm] if job.width_mm is not None else substrate.get("widths_mm", [])
        sizes = [(width, job.length_m * 1000) for width in widths]
    else:
        recorded = [(each["width_mm"], each["length_mm"]) for each in substrate.get("sheets", [])]
        sizes = [size for size in recorded if job.width_mm in (None, size[0])]
    if not sizes:
        unknown.append(_NO_SHEETS)
    return [Stock(width, length, sheet=True) for width, length in sizes]
