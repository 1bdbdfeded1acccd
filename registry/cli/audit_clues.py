"""How what differs reads in an audit: numbered, in order, each change with who wrote it, when and why."""

import itertools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from registry.audit.answer import AuditAnswer, Clue
from registry.audit.usual import COLOUR_DEFECTS
from registry.cli.blocks import paragraph
from registry.cli.wording import after_words, before_words, change_words, clock, kind_words, people
from registry.question.registry import Registry

__all__ = ["clue_words", "differences", "when_words", "where_words", "who_words"]

_INDENT = " " * 5
_DEEPER = " " * 7
_ORDER = (
    "What differs, in order of likely effect. The order is common practice, without a source; nothing here "
    "is proved to be the cause."
)
_ORDER_WITHOUT_DEFECT = (
    "What differs, by its effect on colour and its nearness to the bad print; --defect puts first what "
    "usually explains one. Nothing here is proved to be the cause."
)


class _Manner(NamedTuple):
    """How clues are told."""

    registry: Registry
    units: str
    defect: str

    @property
    def tells_colour(self) -> bool:
        """Whether effects on colour are told: of a print that scratches or sticks they are not the matter."""
        return not self.defect or self.defect in COLOUR_DEFECTS


class _Numbered(NamedTuple):
    """A clue, its place in the answer, and where it comes from."""

    number: int
    clue: Clue
    source: tuple[str, ...]
    """Where it stands, when it took effect, who wrote it and why."""


def differences(registry: Registry, answer: AuditAnswer, units: str) -> Iterator[str]:
    """Yield what differs, in its parts: likely; likely, but a good job had it too; also changed."""
    if not answer.clues:
        return  # said in short
    yield ""
    manner = _Manner(registry, units, answer.request.defect)
    yield from paragraph(_ORDER if manner.defect else _ORDER_WITHOUT_DEFECT)
    numbered = [
        _Numbered(number, clue, _source(registry, clue)) for number, clue in enumerate(answer.clues, 1)
    ]
    told: dict[tuple[str, ...], int] = {}
    for heading, part in itertools.groupby(numbered, key=lambda each: _part(each.clue, manner.defect)):
        yield ""
        if heading:
            yield from paragraph(heading)
        for _, together in itertools.groupby(part, key=lambda each: (each.source, tuple(_marks([each])))):
            yield from _group(manner, list(together), told)
    if answer.computed:
        yield ""
        yield "Computed from the settings above"
        for change in answer.computed:
            words = f"{change.label}: {before_words(change, units)} → {after_words(change, units)}"
            yield from paragraph(f"{words} ({change.how})", "  ", "    ")


def _part(clue: Clue, defect: str) -> str:
    """Return the heading of the part that a clue belongs to; none where no defect is named."""
    if not defect:
        return ""
    name = defect.replace("-", " ")
    if clue.works == "against":
        return f"Works against this defect ({name}) by common practice, and so comes last"
    if not clue.likely:
        return "Also changed"
    points = {True: ", and the readings point to it", False: ", but the readings point elsewhere", None: ""}
    heading = f"Likely with this defect ({name}){points[clue.fits]}"
    but = " and" if clue.fits is False else ", but"
    return f"{heading}{but} a job that nobody complained of had it too" if clue.cleared_by else heading


def _group(manner: _Manner, together: Sequence[_Numbered], told: dict[tuple[str, ...], int]) -> Iterator[str]:
    """Yield clues from one source: each with what else tells of it, then the source of them all."""
    first, last = together[0], together[-1]
    earlier = told.setdefault(first.source, first.number)
    source = first.source if earlier == first.number else (f"source as at {earlier}",)
    for each in together:
        yield from paragraph(f"{each.number:>3}. {_headline(manner, each.clue)}", "", _INDENT)
        if first is not last:
            yield from _beside(manner, each.clue)
    lead = "" if first is last else f"{first.number} {'and' if len(together) == 2 else 'to'} {last.number}: "
    for line in (f"{lead}{source[0]}", *source[1:], *_marks(together)):
        yield from paragraph(line, _INDENT)
    if first is last:
        yield from _beside(manner, first.clue)


def _beside(manner: _Manner, clue: Clue) -> Iterator[str]:
    """Yield what else tells of the same change; of the same revision no more than its values."""
    own = _source(manner.registry, clue)
    for source, others in itertools.groupby(clue.also, key=lambda each: _source(manner.registry, each)):
        told = list(others)
        for other in told:
            yield from paragraph(f"also: {clue_words(other, manner.units)}", _INDENT, _DEEPER)
        for line in () if source == own else (*source, *_late(told[0])):
            yield from paragraph(line, _DEEPER)


def _source(registry: Registry, clue: Clue) -> tuple[str, ...]:
    return f"{where_words(clue)}; {when_words(registry, clue)}", who_words(registry, clue)


def _marks(together: Sequence[_Numbered]) -> Iterator[str]:
    """Yield what holds of each clue of a group: written late, an odd date, less likely."""
    clue = together[0].clue
    yield from _late(clue)
    if clue.why:
        yield f"less likely: {clue.why}"
    if clue.cleared_by:
        this = "this" if len(together) == 1 else "all of these"
        job, has = ("job", "has") if len(clue.cleared_by) == 1 else ("jobs", "have")
        jobs = ", ".join(clue.cleared_by)
        yield f"less likely: {job} {jobs} ran with {this} since and {has} no complaint on record"


def _late(clue: Clue) -> Iterator[str]:
    if clue.late:
        yield f"WRITTEN LATE: {clue.late}"
    if clue.origin.early:
        yield f"ODD DATE: its landing is {clue.origin.early}"


def _headline(manner: _Manner, clue: Clue) -> str:
    words = clue_words(clue, manner.units)
    if clue.event == "adopted":
        return f"{words}; what it changed is told setting by setting"
    if clue.works:
        words += f"; works {clue.works} {'it' if clue.works == 'against' else 'the defect'}"
    if not manner.tells_colour:
        return words
    return f"{words}; {'no' if clue.effect == 'none' else clue.effect} effect on colour"


def clue_words(clue: Clue, units: str) -> str:
    """Return what changed or happened, in a line."""
    if clue.change is None:
        return f"{clue.label}: {clue.what.removesuffix('.')}{_sides(clue)}"
    added = clue.change.item == "added"
    before = "not on record" if added else before_words(clue.change, units)
    by_how_much = "" if clue.change.item else change_words(clue.change, units)
    words = f"{clue.label}: {before} → {after_words(clue.change, units)}"
    return f"{words} ({by_how_much})" if by_how_much else words


def _sides(clue: Clue) -> str:
    """Return what an event says of before and after, as far as it does."""
    if clue.before and clue.after:
        return f" ({clue.before} → {clue.after})"
    said = f"before: {clue.before}" if clue.before else f"now: {clue.after}" if clue.after else ""
    return f" ({said})" if said else ""


def where_words(clue: Clue) -> str:
    """Return in which record a change or an event stands."""
    kind = {"mode": "print mode", "job": "run", "profile": "profile"}.get(clue.place, kind_words(clue.place))
    taken = f", {clue.what}" if clue.change and clue.what else ""
    return f"{kind} {clue.record}{taken}"


def when_words(registry: Registry, clue: Clue) -> str:
    """Return when it took effect, as far as is known."""
    at = clock(registry, clue.at)[: 10 if clue.day_only else None]
    return f"{clue.at_is} {at}" + (", the hour is not known" if clue.day_only else "")


def who_words(registry: Registry, clue: Clue) -> str:
    """Return which revision it came with, who wrote it, and why."""
    origin = clue.origin
    landed = clock(registry, origin.landed)
    parts = [
        origin.label,
        f"recorded {origin.recorded} at {origin.site}" if origin.recorded else "",
        *(
            (f"landed by {landed}, when is not known in this clone",)
            if origin.cut
            else (
                "" if clue.at_is == "landed" else f"landed {landed}",
                f"written by {people(origin.writers)}",
            )
        ),
    ]
    words = ", ".join(filter(None, parts))
    return f"{words}: {origin.reason}" if origin.reason else words
