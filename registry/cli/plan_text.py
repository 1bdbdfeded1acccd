"""A plan as a print operator reads it."""

from collections.abc import Iterator, Sequence

from registry.cli.blocks import INDENT, labelled, paragraph
from registry.cli.find_words import UNSOURCED, remark_words
from registry.cli.output import bold
from registry.cli.page import aligned
from registry.cli.values import said, unit_in
from registry.cli.wording import counted
from registry.model.units import plain_number, shown
from registry.plan.asking import Planned
from registry.plan.ink import Ink
from registry.plan.job import Piece
from registry.plan.layout import Layout
from registry.plan.unfit import LONG, SET, WIDE, Unfit
from registry.question.advice import ADVISE, Remark

__all__ = ["text_of"]

_MOST_PLACES = 40
_DECIMALS = {"mm": 1, "m": 2, "m²": 2, "inch": 2, "ft": 1, "ft²": 1, "h": 1, "%": 1}
_FIGURES = 3
"""Of a volume of ink: more would say more than the model knows."""


def text_of(planned: Planned, units: str) -> Iterator[str]:
    """Yield the lines of a plan."""
    page = _Page(planned, units)
    yield from page.head()
    yield from page.widths()
    yield from page.unfit()
    yield from page.amounts()
    if planned.plan.best and planned.plan.best.places:
        yield from page.places(planned.plan.best)
    yield from page.advice()
    yield from page.how()
    yield ""
    yield f"answered from commit {planned.commit[:12]}"


class _Page:
    """A plan, being written."""

    def __init__(self, planned: Planned, units: str) -> None:
        self.planned, self.plan, self.units = planned, planned.plan, units

    def head(self) -> Iterator[str]:
        """Yield what is planned, with which settings, and what stands against it."""
        mode, case = self.planned.mode, self.planned.case
        standing = {"trial": "on trial", "known-good": "known good"}.get(mode.standing, mode.standing)
        trial = f"; r{mode.on_trial} is on trial" if mode.on_trial else ""
        draft = "" if mode.draft else f", {standing}"
        yield from paragraph(f"Plan with {mode.rid} {mode.label}{draft}{trial}.")
        printer = case.get("printer", {}).get("title", mode.document["printer"])
        yield from labelled("material", [f"{case['substrate']['title']}; printer {printer}"])
        yield from labelled("pieces", list(self._pieces()))
        yield from labelled("laid", [self._laid()])
        yield from labelled("do not use", self.planned.against)

    def _pieces(self) -> Iterator[str]:
        sets: dict[str, list[Piece]] = {}
        for piece in self.plan.job.pieces:
            if piece.set:
                sets.setdefault(piece.set, []).append(piece)
                continue
            yield self._piece(piece)
        for name, panels in sets.items():
            sizes = ", ".join(f"{panel.count} of {self._sizes(panel)}" for panel in panels)
            yield f"{name}, a set of panels: {sizes}; never turned, one roll, one run, one direction"

    def _laid(self) -> str:
        job = self.plan.job
        parts = [
            f"bleed {self._said(job.bleed_mm, 'mm')} on each side" if job.bleed_mm else "no bleed",
            f"{self._said(job.gap_mm, 'mm')} between pieces" if job.gap_mm else "no gap between pieces",
            f"{self._said(job.margin_mm, 'mm')} free at each edge" if job.margin_mm else "up to the edges",
        ]
        if not self.plan.sheet:
            parts.append(f"lead-in {self._said(job.lead_in_m, 'm')}" if job.lead_in_m else "no lead-in")
            parts.append(f"lead-out {self._said(job.lead_out_m, 'm')}" if job.lead_out_m else "no lead-out")
        return ", ".join(parts)

    def widths(self) -> Iterator[str]:
        """Yield what the job takes on each width, and what of that is not known."""
        plan = self.plan
        yield ""
        if plan.layouts:
            rows = [self._width(each) for each in plan.layouts]
            yield from aligned([("width", "length", "material", "waste", "takes", ""), *rows], INDENT)
        for each in plan.stocks.not_taken:
            what = "at most" if each.too_wide else "at least"
            limit = f"the printer takes {what} {self._said(each.limit_mm, 'mm')}"
            yield from paragraph(f"{self._said(each.width_mm, 'mm')}: not printed on, {limit}", INDENT)
        for unknown in plan.stocks.unknown:
            yield from paragraph(f"unknown: {unknown}", INDENT, INDENT * 2)

    def _width(self, layout: Layout) -> tuple[str, ...]:
        plan, width = self.plan, self._stock(layout)
        if not layout.places:
            return (width, "", "", "", "", "no piece fits")
        marks = [
            *(["least material"] if layout is plan.best else []),
            *(["least length"] if layout is plan.shortest else []),
            *([] if layout.is_whole else ["not every piece fits"]),
        ]
        return (
            width,
            self._said(layout.metres, "m"),
            self._said(layout.material_m2, "m²"),
            self._said(layout.waste_pct, "%"),
            self._takes(layout),
            ", ".join(marks),
        )

    def _takes(self, layout: Layout) -> str:
        if layout.stock.sheet:
            return counted(len(layout.used_mm), "sheet")
        if layout.stock.length_mm is None:
            return "rolls unknown"
        each = self._said(layout.stock.length_mm / 1000, "m")
        return f"{counted(len(layout.used_mm), 'roll')} of {each}"

    def unfit(self) -> Iterator[str]:
        """Yield which pieces have no place, why, and what a person might decide."""
        if self.plan.unfit:
            yield ""
            yield "What does not fit"
        for layout, unfit in self.plan.unfit:
            what = f"{self._piece(unfit.piece)}, on {self._stock(layout)}"
            yield from paragraph(f"{what}: {self._why(unfit)}", INDENT, INDENT * 2)

    def _why(self, unfit: Unfit) -> str:
        room = self._said(unfit.room_mm, "mm")
        if unfit.why == WIDE:
            return self._too_wide(unfit)
        if unfit.why == LONG:
            return f"longer than the {room} that one length of it gives"
        if unfit.why == SET:
            return f"the panels of the set do not fit on one length together: it gives {room}"
        return "stays with the rest of its set, which does not fit"

    def _too_wide(self, unfit: Unfit) -> str:
        """Return by what a piece is too wide, and what panels it would come to; nothing is cut up here."""
        job = self.plan.job
        bleed = f", with bleed {self._said(unfit.side_mm + 2 * job.bleed_mm, 'mm')}," if job.bleed_mm else ""
        side, room = self._said(unfit.side_mm, "mm"), self._said(unfit.room_mm, "mm")
        words = f"{side}{bleed} does not fit across: there are {room} between the margins"
        if unfit.fits_turned:
            words += ". A set is not turned; if all its panels may be fed sideways, swap width and height"
        if unfit.panels:
            panel = self._said(unfit.panel_mm, "mm")
            words += (
                f". It is not cut up here: as {unfit.panels} panels it would be {panel} each, and what a "
                "seam or weld takes on top. Whether one may show there, lit, is for you and the customer"
            )
        return words

    def amounts(self) -> Iterator[str]:
        """Yield material, time and ink, and how each was computed."""
        plan = self.plan
        yield ""
        if plan.best and plan.best.places:
            some = "" if plan.is_whole else ", of the pieces that fit"
            yield bold(f"On {self._stock(plan.best)}{some}")
        else:
            yield bold("What can be said without a layout")
        yield from labelled("area", [f"{self._of('finished_m2')} finished, {self._of('printed_m2')} printed"])
        if plan.best and plan.best.places:
            length, least = self._of("metres"), self._of("least_m")
            than = "" if least == length else f" than {least}"
            yield from labelled("length", [f"{length}; no layout takes less{than}"])
            yield from labelled(
                "material", [f"{self._of('material_m2')}, of it waste {self._of('waste_pct')}"]
            )
        yield from labelled("time", [self._time()])
        yield from labelled("ink", [self._ink(ink) for ink in plan.inks])
        yield from labelled("before", list(self._before()))

    def how(self) -> Iterator[str]:
        """Yield how each number was computed, and what it leaves out."""
        yield ""
        yield "How these numbers were computed"
        for figure in self.plan.figures:
            if figure.how and figure.value is not None:
                yield from paragraph(f"{figure.label}: {figure.how}", INDENT, INDENT * 2)
        if any(ink.ml is not None for ink in self.plan.inks):
            yield from paragraph(f"ink: {self._ink_how()}", INDENT, INDENT * 2)

    def _time(self) -> str:
        figures = {figure.key: figure for figure in self.plan.figures}
        if figures["least_h"].value is None:
            return f"unknown: {figures['least_h'].why}"
        speed = said(self.planned.mode.document["motion"]["speed_m2_h"], "m²/h", self.units)
        least = self._of("least_h")
        if figures["hours"].value is None:
            return f"{least} at the measured {speed}, if gaps took none"
        hours = self._of("hours")
        return f"{hours} at the measured {speed}" + ("" if least == hours else f"; {least} if gaps took none")

    def _of(self, key: str) -> str:
        (figure,) = (figure for figure in self.plan.figures if figure.key == key)
        return f"unknown: {figure.why}" if figure.value is None else self._said(figure.value, figure.unit)

    def _ink(self, ink: Ink) -> str:
        of = "" if ink.of in {"colour", ink.name} else f" ({ink.of})"
        if ink.ml is None:
            return f"{ink.name}{of}: unknown, {ink.why}"
        amount, unit = shown(ink.ml, "mL", self.units)
        return f"{ink.name}{of}: {plain_number(amount, _FIGURES)} {unit}; {ink.how}"

    def _ink_how(self) -> str:
        mode, printer = self.planned.mode.document, self.planned.case.get("printer", {})
        drop = printer.get("drop_volume_pl")
        volume = "drop volume, which is not recorded," if drop is None else f"drop volume {drop:g} pL"
        resolution = mode["motion"]["resolution"]
        return (
            f"{volume} × {resolution} dpi × printed area × what is said of each; one drop volume for every "
            f"channel; left out: {', '.join(self.plan.ink_leaves_out)}"
        )

    def _before(self) -> Iterator[str]:
        hours = self.plan.acclimatise_h
        if hours:
            what = "the sheets" if self.plan.sheet else "the roll"
            yield f"{plain_number(hours)} h in the printer's room, {what} unwrapped"

    def places(self, layout: Layout) -> Iterator[str]:
        """Yield where each piece lies."""
        unit = unit_in("mm", self.units)
        what = "sheet" if self.plan.sheet else "roll"
        shown = layout.places[:_MOST_PLACES]
        yield ""
        yield from paragraph(f"Where they lie, {unit} from the left edge and from the start, bleed included")
        rows = [
            (
                str(place.length),
                f"{place.name} {place.number}",
                *(self._number(each) for each in (place.x_mm, place.y_mm, place.across_mm, place.along_mm)),
                "turned" if place.turned else "",
            )
            for place in shown
        ]
        head = (what, "piece", "from left", "from start", "across", "along", "")
        yield from aligned([head, *rows], INDENT)
        if len(layout.places) > len(shown):
            yield f"{INDENT}{len(layout.places) - len(shown)} more: --format csv gives them all"

    def advice(self) -> Iterator[str]:
        """Yield what guidance and records say of it, gravest first."""
        remarks = [remark for remark in self.planned.remarks if not remark.refuses]
        warned = [remark for remark in remarks if remark.level != ADVISE]
        advised = [remark for remark in remarks if remark.level == ADVISE]
        cautions = [text for _, text in self.planned.cautions]
        if warned or advised or cautions:
            yield ""
        yield from labelled("warning", _remarks(warned))
        named = ", ".join(remark.rule for remark in advised)
        yield from labelled("advice", [f"{named}; litstock show RULE tells what one says"] if named else [])
        yield from labelled("caution", list(dict.fromkeys(cautions)))
        if any(remark.source == UNSOURCED for remark in self.planned.remarks):
            yield ""
            yield f"Advice that names no source: {UNSOURCED}."

    def _stock(self, layout: Layout) -> str:
        """Return a roll's width, or a sheet's size."""
        width = self._said(layout.stock.width_mm, "mm")
        if not layout.stock.sheet:
            return width
        return f"{width.rpartition(' ')[0]} × {self._said(layout.stock.length_mm, 'mm')}"

    def _piece(self, piece: Piece) -> str:
        """Return how many there are of what size, and of what name, unless it is only the size."""
        size = self._sizes(piece)
        name = "" if piece.name.replace("x", " × ") in size else f"{piece.name}: "
        return f"{name}{piece.count} of {size}"

    def _sizes(self, piece: Piece) -> str:
        return f"{self._number(piece.width_mm)} × {self._said(piece.height_mm, 'mm')}"

    def _said(self, value: float | None, unit: str) -> str:
        if value is None:
            return "unknown"
        if unit == "h" and value < 1:
            return f"{max(1, round(60 * value))} min"
        converted, into = shown(value, unit, self.units)
        return f"{plain_number(round(converted, _DECIMALS[into]))} {into}"

    def _number(self, value_mm: float) -> str:
        return self._said(value_mm, "mm").rpartition(" ")[0]


def _remarks(remarks: Sequence[Remark]) -> list[str]:
    return [remark_words(remark) for remark in remarks]
