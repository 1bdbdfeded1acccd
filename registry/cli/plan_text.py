"""A plan as a print operator reads it."""

from collections.abc import Iterator, Sequence

from registry.cli.blocks import INDENT, labelled, paragraph
from registry.cli.find_words import UNSOURCED, remark_words, untold
from registry.cli.output import Bold
from registry.cli.page import aligned
from registry.cli.plan_words import PlanWords
from registry.cli.values import unit_in
from registry.model.units import plain_number
from registry.plan.asking import Planned
from registry.plan.layout import Layout
from registry.plan.unfit import LONG, SET, WIDE, Unfit
from registry.question.advice import ADVISE, Remark

__all__ = ["text_of"]

_MOST_PLACES = 40


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
        self.words = PlanWords(planned, units)

    def head(self) -> Iterator[str]:
        """Yield what is planned, with which settings, and what stands against it."""
        mode, case = self.planned.mode, self.planned.case
        standing = {"trial": "on trial", "known-good": "known good"}.get(mode.standing, mode.standing)
        trial = f"; r{mode.on_trial} is on trial" if mode.on_trial else ""
        draft = "" if mode.draft else f", {standing}"
        yield from paragraph(f"Plan with {mode.rid} {mode.label}{draft}{trial}.")
        printer = case.get("printer", {}).get("title", mode.document["printer"])
        yield from labelled("material", [f"{case['substrate']['title']}; printer {printer}"])
        yield from labelled("pieces", list(self.words.pieces()))
        yield from labelled("laid", [self.words.laid()])
        yield from labelled("do not use", self.planned.against)

    def widths(self) -> Iterator[str]:
        """Yield what the job takes on each width, and what of that is not known."""
        plan = self.plan
        yield ""
        if plan.layouts:
            rows = [self._width(each) for each in plan.layouts]
            yield from aligned([("width", "length", "material", "waste", "takes", ""), *rows], INDENT)
        for each in plan.stocks.not_taken:
            what = "at most" if each.too_wide else "at least"
            limit = f"the printer takes {what} {self.words.said(each.limit_mm, 'mm')}"
            yield from paragraph(f"{self.words.said(each.width_mm, 'mm')}: not printed on, {limit}", INDENT)
        for unknown in plan.stocks.unknown:
            yield from paragraph(f"unknown: {unknown}", INDENT, INDENT * 2)

    def _width(self, layout: Layout) -> tuple[str, ...]:
        plan, width = self.plan, self.words.stock(layout)
        if not layout.places:
            return (width, "", "", "", "", "no piece fits")
        marks = [
            *(["least material"] if layout is plan.best else []),
            *(["least length"] if layout is plan.shortest else []),
            *([] if layout.is_whole else ["not every piece fits"]),
        ]
        return (
            width,
            self.words.said(layout.metres, "m"),
            self.words.said(layout.material_m2, "m²"),
            self.words.said(layout.waste_pct, "%"),
            self.words.takes(layout),
            ", ".join(marks),
        )

    def unfit(self) -> Iterator[str]:
        """Yield which pieces have no place, why, and what a person might decide."""
        if self.plan.unfit:
            yield ""
            yield "What does not fit"
        for layout, unfit in self.plan.unfit:
            what = f"{self.words.piece(unfit.piece)}, on {self.words.stock(layout)}"
            yield from paragraph(f"{what}: {self._why(unfit)}", INDENT, INDENT * 2)

    def _why(self, unfit: Unfit) -> str:
        room = self.words.said(unfit.room_mm, "mm")
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
        bleed = (
            f", with bleed {self.words.said(unfit.side_mm + 2 * job.bleed_mm, 'mm')}," if job.bleed_mm else ""
        )
        side, room = self.words.said(unfit.side_mm, "mm"), self.words.said(unfit.room_mm, "mm")
        words = f"{side}{bleed} does not fit across: there are {room} between the margins"
        if unfit.fits_turned:
            words += ". A set is not turned; if all its panels may be fed sideways, swap width and height"
        if unfit.panels:
            panel = self.words.said(unfit.panel_mm, "mm")
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
            yield Bold(f"On {self.words.stock(plan.best)}{some}")
        else:
            yield Bold("What can be said without a layout")
        yield from labelled(
            "area",
            [f"{self.words.figure('finished_m2')} finished, {self.words.figure('printed_m2')} printed"],
        )
        if plan.best and plan.best.places:
            length, least = self.words.figure("metres"), self.words.figure("least_m")
            than = "" if least == length else f" than {least}"
            yield from labelled("length", [f"{length}; no layout takes less{than}"])
            yield from labelled(
                "material",
                [f"{self.words.figure('material_m2')}, of it waste {self.words.figure('waste_pct')}"],
            )
        yield from labelled("time", [self.words.time()])
        yield from labelled("ink", [self.words.ink(ink) for ink in plan.inks])
        yield from labelled("before", list(self._before()))

    def how(self) -> Iterator[str]:
        """Yield how each number was computed, and what it leaves out."""
        yield ""
        yield "How these numbers were computed"
        for figure in self.plan.figures:
            if figure.how and figure.value is not None:
                yield from paragraph(f"{figure.label}: {figure.how}", INDENT, INDENT * 2)
        if any(ink.ml is not None for ink in self.plan.inks):
            yield from paragraph(f"ink: {self.words.ink_how()}", INDENT, INDENT * 2)

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
                *(
                    self.words.number(each)
                    for each in (place.x_mm, place.y_mm, place.across_mm, place.along_mm)
                ),
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
        cautions = untold((text for _, text in self.planned.cautions), [remark.text for remark in warned])
        if warned or advised or cautions:
            yield ""
        yield from labelled("warning", _remarks(warned))
        named = ", ".join(remark.rule for remark in advised)
        yield from labelled("advice", [f"{named}; litstock show RULE tells what one says"] if named else [])
        yield from labelled("caution", cautions)
        if any(remark.source == UNSOURCED for remark in self.planned.remarks):
            yield ""
            yield f"Advice that names no source: {UNSOURCED}."


def _remarks(remarks: Sequence[Remark]) -> list[str]:
    return [remark_words(remark) for remark in remarks]
