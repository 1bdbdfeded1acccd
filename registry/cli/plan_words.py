"""How a plan's numbers are worded, and the plan in short, as a settings card carries it."""

from collections.abc import Iterator

from registry.cli.find_words import interval_words
from registry.cli.values import said
from registry.cli.wording import counted
from registry.model.units import plain_number, shown
from registry.plan.asking import Planned
from registry.plan.ink import Ink
from registry.plan.job import Piece
from registry.plan.layout import Layout

__all__ = ["PlanWords"]

_DECIMALS = {"mm": 1, "m": 2, "m²": 2, "inch": 2, "ft": 1, "ft²": 1, "h": 1, "%": 1}
_FIGURES = 3
"""Of a volume of ink: more would say more than the model knows."""

_FEW = 5
"""As many kinds of piece as are told in short."""


class PlanWords:
    """A plan's words, in one system of units."""

    def __init__(self, planned: Planned, units: str) -> None:
        self.planned, self.plan, self.units = planned, planned.plan, units
        self._figures = {figure.key: figure for figure in planned.plan.figures}

    def in_short(self) -> Iterator[tuple[str, str]]:
        """Yield the plan as a few labels and texts."""
        plan = self.plan
        pieces = list(self.pieces())
        count = sum(piece.count for piece in plan.job.pieces)
        yield "pieces", "; ".join(pieces) if len(pieces) <= _FEW else f"{count} of {len(pieces)} kinds"
        if plan.best and plan.best.places:
            length, waste = self.figure("metres"), self.figure("waste_pct")
            yield "material", f"{self.stock(plan.best)}: {length}, {self.takes(plan.best)}, waste {waste}"
        else:
            yield "material", "unknown: nothing is laid out"
        if plan.unfit:
            yield "does not fit", "; ".join(self.piece(unfit.piece) for _, unfit in plan.unfit)
        left_out = "" if self._value("least_h") is None else ", without warm-up and loading"
        yield "time", self.hours() + left_out
        yield "ink", "; ".join(self.amount(ink) for ink in plan.inks)

    def pieces(self) -> Iterator[str]:
        """Yield what is to be printed, sets last."""
        sets: dict[str, list[Piece]] = {}
        for piece in self.plan.job.pieces:
            if piece.set:
                sets.setdefault(piece.set, []).append(piece)
                continue
            yield self.piece(piece)
        for name, panels in sets.items():
            sizes = ", ".join(f"{panel.count} of {self.sizes(panel)}" for panel in panels)
            of = "one lot" if self.plan.sheet else "one roll"
            yield f"{name}, a set of panels: {sizes}; never turned, {of}, one run, one direction"

    def laid(self) -> str:
        """Return what is kept free around the pieces."""
        job = self.plan.job
        parts = [
            f"bleed {self.said(job.bleed_mm, 'mm')} on each side" if job.bleed_mm else "no bleed",
            f"{self.said(job.gap_mm, 'mm')} between pieces" if job.gap_mm else "no gap between pieces",
            f"{self.said(job.margin_mm, 'mm')} free at each edge" if job.margin_mm else "up to the edges",
        ]
        if not self.plan.sheet:
            parts.append(f"lead-in {self.said(job.lead_in_m, 'm')}" if job.lead_in_m else "no lead-in")
            parts.append(f"lead-out {self.said(job.lead_out_m, 'm')}" if job.lead_out_m else "no lead-out")
        return ", ".join(parts)

    def takes(self, layout: Layout) -> str:
        """Return how many rolls or sheets a layout takes."""
        if layout.stock.sheet:
            return counted(len(layout.used_mm), "sheet")
        if layout.stock.length_mm is None:
            return "rolls unknown"
        each = self.said(layout.stock.length_mm / 1000, "m")
        return f"{counted(len(layout.used_mm), 'roll')} of {each}"

    def time(self) -> str:
        """Return how long it takes, and how long at least."""
        hours, least = self.figure("hours"), self.figure("least_h")
        told_apart = self._value("hours") is not None and hours != least
        return self.hours() + (f"; {least} if gaps took none" if told_apart else "")

    def hours(self) -> str:
        """Return how long it takes, at what speed."""
        if self._value("least_h") is None:
            return self.figure("least_h")
        speed = said(self.planned.mode.document["motion"]["speed_m2_h"], "m²/h", self.units)
        if self._value("hours") is None:
            return f"{self.figure('least_h')} at the measured {speed}, if gaps took none"
        return f"{self.figure('hours')} at the measured {speed}"

    def figure(self, key: str) -> str:
        """Return one of the computed numbers, or why it is unknown."""
        figure = self._figures[key]
        return f"unknown: {figure.why}" if figure.value is None else self.said(figure.value, figure.unit)

    def _value(self, key: str) -> float | None:
        return self._figures[key].value

    def ink(self, ink: Ink) -> str:
        """Return how much of an ink it takes, and of what that is made up."""
        return self.amount(ink) + ("" if ink.ml is None else f"; {ink.how}")

    def amount(self, ink: Ink) -> str:
        """Return how much of an ink it takes."""
        of = "" if ink.of in {"colour", ink.name} else f" ({ink.of})"
        if ink.ml is None:
            return f"{ink.name}{of}: unknown, {ink.why}"
        amount, unit = shown(ink.ml, "mL", self.units)
        told = plain_number(amount, _FIGURES)
        if ink.interval_ml:
            told = interval_words(amount, *(shown(each, "mL", self.units)[0] for each in ink.interval_ml))
        return f"{ink.name}{of}: {told} {unit}"

    def ink_how(self) -> str:
        """Return how ink was computed, and what that leaves out."""
        mode, printer = self.planned.mode.document, self.planned.case.get("printer", {})
        drop = printer.get("drop_volume_pl")
        volume = "drop volume, which is not recorded," if drop is None else f"drop volume {drop:g} pL"
        resolution = mode["motion"]["resolution"]
        return (
            f"{volume} × {resolution} dpi × printed area × what is said of each; one drop volume for every "
            f"channel; left out: {', '.join(self.plan.ink_leaves_out)}"
        )

    def stock(self, layout: Layout) -> str:
        """Return a roll's width, or a sheet's size."""
        width = self.said(layout.stock.width_mm, "mm")
        if not layout.stock.sheet:
            return width
        return f"{width.rpartition(' ')[0]} × {self.said(layout.stock.length_mm, 'mm')}"

    def piece(self, piece: Piece) -> str:
        """Return how many there are of what size, and of what name, unless it is only the size."""
        size = self.sizes(piece)
        name = "" if piece.name.replace("x", " × ") in size else f"{piece.name}: "
        return f"{name}{piece.count} of {size}"

    def sizes(self, piece: Piece) -> str:
        """Return width and height."""
        return f"{self.number(piece.width_mm)} × {self.said(piece.height_mm, 'mm')}"

    def said(self, value: float | None, unit: str) -> str:
        """Return a number with its unit, rounded as far as a job can be kept to."""
        if value is None:
            return "unknown"
        if unit == "h" and value < 1:
            return f"{max(1, round(60 * value))} min"
        converted, into = shown(value, unit, self.units)
        return f"{plain_number(round(converted, _DECIMALS[into]))} {into}"

    def number(self, value_mm: float) -> str:
        """Return a size without its unit."""
        return self.said(value_mm, "mm").rpartition(" ")[0]
