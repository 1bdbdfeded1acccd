"""A plan under its documented keys, and its places as rows."""

from collections.abc import Iterator
from typing import Any

from registry.cli.plan_words import PlanWords
from registry.cli.values import unit_in
from registry.cli.wording import remark_json, version_json
from registry.model.units import shown
from registry.plan.answer import Figure, Plan
from registry.plan.asking import Planned
from registry.plan.ink import Ink
from registry.plan.job import Piece
from registry.plan.layout import Layout, Place
from registry.plan.unfit import Unfit
from registry.question.registry import Registry

__all__ = ["columns_of", "json_of", "rows_of"]

_DIGITS = 6


def json_of(registry: Registry, planned: Planned, units: str) -> dict[str, Any]:
    """Return a plan under its documented keys, in the units asked for."""
    return {
        "commit": planned.commit,
        "mode": version_json(registry, planned.mode),
        "on_trial": planned.mode.on_trial,
        "against": list(planned.against),
        "substrate": planned.mode.document["substrate"],
        "printer": planned.mode.document["printer"],
        "in_short": [{"label": label, "text": text} for label, text in PlanWords(planned, units).in_short()],
        **_Keys(units).plan(planned.plan),
        "guidance": [remark_json(remark) for remark in planned.remarks],
        "cautions": [{"from": kind, "text": text} for kind, text in planned.cautions],
    }


def columns_of(units: str) -> dict[str, str]:
    """Return the columns of csv and markdown, with their headings."""
    size = unit_in("mm", units)
    return {
        "roll": "roll",
        "name": "piece",
        "number": "number",
        "set": "set",
        "x": f"from the left, {size}",
        "y": f"from the start, {size}",
        "across": f"across, {size}",
        "along": f"along, {size}",
        "turned": "turned",
    }


def rows_of(planned: Planned, units: str) -> Iterator[dict[str, Any]]:
    """Yield a row for each piece in its place, in the order in which they are printed."""
    yield from map(_Keys(units).place, planned.plan.best.places if planned.plan.best else ())


class _Keys:
    """Values in one system of units, under their keys."""

    def __init__(self, units: str) -> None:
        self.units = units

    def plan(self, plan: Plan) -> dict[str, Any]:
        job = plan.job
        return {
            "units": {
                "system": self.units,
                "size": unit_in("mm", self.units),
                "length": unit_in("m", self.units),
                "area": unit_in("m²", self.units),
                "ink": unit_in("mL", self.units),
                "time": "h",
            },
            "pieces": [self._piece(piece) for piece in job.pieces],
            "laid": {
                "bleed": self._value(job.bleed_mm, "mm"),
                "gap": self._value(job.gap_mm, "mm"),
                "margin": self._value(job.margin_mm, "mm"),
                "lead_in": self._value(job.lead_in_m, "m"),
                "lead_out": self._value(job.lead_out_m, "m"),
            },
            "layouts": [
                {
                    **self._layout(each),
                    "best": each is plan.best,
                    "shortest": each is plan.shortest,
                }
                for each in plan.layouts
            ],
            "not_taken": [
                {"width": self._value(each.width_mm, "mm"), "limit": self._value(each.limit_mm, "mm")}
                for each in plan.stocks.not_taken
            ],
            "unknown": list(plan.stocks.unknown),
            "unfit": [self._unfit(on, each) for on, each in plan.unfit],
            "figures": {figure.key: self._figure(figure) for figure in plan.figures},
            "inks": [self._ink(each) for each in plan.inks],
            "ink_leaves_out": list(plan.ink_leaves_out),
            "places": [self.place(each) for each in (plan.best.places if plan.best else ())],
            "acclimatise_h": plan.acclimatise_h,
        }

    def place(self, place: Place) -> dict[str, Any]:
        return {
            "roll": place.length,
            "name": place.name,
            "number": place.number,
            "set": place.set or None,
            "x": self._value(place.x_mm, "mm"),
            "y": self._value(place.y_mm, "mm"),
            "across": self._value(place.across_mm, "mm"),
            "along": self._value(place.along_mm, "mm"),
            "turned": place.turned,
        }

    def _piece(self, piece: Piece) -> dict[str, Any]:
        return {
            "name": piece.name,
            "set": piece.set or None,
            "width": self._value(piece.width_mm, "mm"),
            "height": self._value(piece.height_mm, "mm"),
            "count": piece.count,
        }

    def _layout(self, layout: Layout) -> dict[str, Any]:
        length_mm = layout.stock.length_mm
        length_m = None if length_mm is None else length_mm / 1000
        return {
            "width": self._value(layout.stock.width_mm, "mm"),
            "length_of_one": self._value(length_m, "m"),
            "sheet": layout.stock.sheet,
            "length": self._value(layout.metres, "m"),
            "material": self._value(layout.material_m2, "m²"),
            "waste_pct": self._value(layout.waste_pct, "%"),
            "rolls": None if length_mm is None else len(layout.used_mm),
            "whole": layout.is_whole,
        }

    def _unfit(self, on: Layout, unfit: Unfit) -> dict[str, Any]:
        return {
            "on": self._value(on.stock.width_mm, "mm"),
            **self._piece(unfit.piece),
            "why": unfit.why,
            "room": self._value(unfit.room_mm, "mm"),
            "side": self._value(unfit.side_mm or None, "mm"),
            "panels": unfit.panels or None,
            "panel": self._value(unfit.panel_mm or None, "mm"),
        }

    def _figure(self, figure: Figure) -> dict[str, Any]:
        return {
            "label": figure.label,
            "value": self._value(figure.value, figure.unit),
            "unit": unit_in(figure.unit, self.units) or None,
            "computed": figure.how or None,
            "unknown": figure.why or None,
        }

    def _ink(self, ink: Ink) -> dict[str, Any]:
        return {
            "name": ink.name,
            "of": ink.of,
            "laid_pct": self._value(ink.laid_pct, "%"),
            "value": self._value(ink.ml, "mL"),
            "low": self._value(ink.interval_ml[0] if ink.interval_ml else None, "mL"),
            "high": self._value(ink.interval_ml[1] if ink.interval_ml else None, "mL"),
            "unit": unit_in("mL", self.units),
            "computed": ink.how,
            "unknown": ink.why or None,
        }

    def _value(self, value: float | None, unit: str) -> float | None:
        return None if value is None else round(shown(value, unit, self.units)[0], _DIGITS)
