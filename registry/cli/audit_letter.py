"""What a report for the customer says: one page in plain words, without staff, other jobs or blame.

How large a difference looks is common practice, no source.
"""

import datetime
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from registry.audit.answer import AuditAnswer, Clue
from registry.audit.readings import de00
from registry.cli.audit_report import facts, listed, patches, section, titled
from registry.errors import RegistryError
from registry.question.names import once_named
from registry.question.registry import Registry

__all__ = ["kind_of", "letter", "seen"]

_MOST = 3
"""So many kinds of change are named; the rest is said to be looked at too."""
_SEEN = ((1.0, "hardly to be seen"), (2.0, "seen side by side"), (5.0, "seen at a glance"))
_PLAIN = "plain to see"
_KINDS: dict[str, tuple[str, ...]] = {
    "the light behind the sign (lamps, driver, panel or box)": (
        "display",
        *("lamp-some-replaced", "lamp-all-replaced", "driver", "dimming", "diffuser-or-panel"),
        *("cleaned", "moved"),
    ),
    "the delivery of material or ink that was in use": (
        *("substrate-lot", "ink-lot", "fixing-fluid-lot", "laminate-lot", "roll_lot", "ink_lot"),
        *("laminate_lot", "fixing_fluid_lot", "substrate"),
    ),
    "the print settings": ("mode", "profile", "adopted", "profile-change", "colour-software"),
    "the printer, which was serviced or adjusted": (
        *("unit", "printer", "head-replaced", "alignment", "nozzle-loss", "linearisation", "heater-service"),
        *("sensor-service", "firmware"),
    ),
    "the colour choices made for this job": ("job",),
    "the air in the print room": ("humidity-excursion",),
    "the instrument that checks our prints": ("instrument-changed", "instrument-recalibrated"),
}
"""What changed, in plain words: events, settings and places of a change."""


def letter(registry: Registry, answer: AuditAnswer, date: datetime.date) -> dict[str, Any]:
    """Return the customer's report."""
    request = answer.request
    sections = [
        facts("your sign", list(_sign(registry, answer))),
        listed("what we looked at", list(_looked_at(registry, answer))),
        listed("what we found", list(_found(answer))),
        _read(request.readings),
        listed("what we do not know yet", list(_open(answer))),
        listed("what we do next", list(_next(answer))),
    ]
    note = "Thank you for telling us. This is what we know so far, and what we do next."
    foot = f"litstock, commit {answer.commit[:12]}"
    return titled("About your sign", note, date, sections, foot, dense=0.0)


def _read(readings: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Return the patches with their colours, and how far apart they look."""
    known = [each for each in readings if "expected_lab" in each]
    looks = [
        {**row, "looks": seen(de00(each) or 0.0)}
        for row, each in zip(patches("", known)["rows"], known, strict=True)
    ]
    return section("looks", "what we read on your sign", looks)


def _sign(registry: Registry, answer: AuditAnswer) -> Iterator[tuple[str, str]]:
    request = answer.request
    if request.display:
        try:
            yield "place", once_named(registry, request.display, ("display",)).title
        except RegistryError:
            yield "place", request.display
    yield "our job number", request.job or str(answer.bad.record.get("job", ""))
    yield "printed on", _day(registry, answer.bad.at)
    yield "you told us", f"“{request.what}”" if request.what else ""
    if request.received_on:
        yield "on", _written(request.received_on)


def _looked_at(registry: Registry, answer: AuditAnswer) -> Iterator[str]:
    bad, good = _day(registry, answer.bad.at), _day(registry, answer.good.at)
    yield (
        f"We compared the print of {bad} with that of {good}, which was right, and everything on record that "
        "changed in between: settings, machine, material, ink, and the light in which the sign hangs."
    )
    if answer.request.readings:
        yield "We measured your sign. How far each colour is from what was agreed stands below."


def _found(answer: AuditAnswer) -> Iterator[str]:
    likely = [each for each in answer.clues if each.likely and not each.cleared_by]
    pointed = [each for each in likely if each.fits is not False and each.works != "against"] or likely
    kinds = list(dict.fromkeys(filter(None, map(_kind, pointed))))
    if not kinds:
        yield "We know of no change that usually leads to what you see."
    elif len(kinds) == 1:
        yield f"This changed, and it can lead to what you see: {kinds[0]}."
    else:
        yield f"These changed, and each can lead to what you see: {'; '.join(kinds[:_MOST])}."
    if len(kinds) > _MOST:
        yield "Some other changes are less likely; we look at them too."
    if answer.shift:
        yield (
            "The unprinted white is off as much as the colours are. That points to the light or the material "
            "rather than to the ink."
            if answer.shift.moved == "white"
            else "The unprinted white is as it should be. That points to the ink or its settings rather than "
            "to the light."
        )
    if kinds:
        yield "None of this is proved yet."


def _kind(clue: Clue) -> str:
    return kind_of(clue.event or (clue.change.setting if clue.change else ""), clue.place)


def kind_of(name: str, place: str) -> str:
    """Return in plain words what sort of thing changed: an event or a setting, else what it stands in."""
    exact, near = (
        next((words for words, members in _KINDS.items() if each in members), "") for each in (name, place)
    )
    return exact or near


def _open(answer: AuditAnswer) -> Iterator[str]:
    if answer.unknown or answer.from_unknown_time:
        yield "Some facts about the two prints are not on record. We are finding out what can still be found."


def _next(answer: AuditAnswer) -> Iterator[str]:
    yield "We look at your sign lit, in its place, beside the approved sample."
    good, bad = answer.good.mode, answer.bad.mode
    if good and bad and good.digest != bad.digest:
        yield "We print a strip with the settings of both prints and judge them side by side."
    if answer.shift and answer.shift.moved == "white":
        yield "We look at lamps and panel. A licensed electrician opens the box; please leave it closed."
    yield "Then we tell you what we found and what we propose."


def seen(difference: float) -> str:
    """Return how large a colour difference looks.

    >>> seen(0.4), seen(6.0)
    ('hardly to be seen', 'plain to see')
    """
    return next((words for most, words in _SEEN if difference < most), _PLAIN)


def _day(registry: Registry, at: float) -> str:
    return _written(registry.time(at))


def _written(day: datetime.date) -> str:
    return f"{day.day} {day:%B %Y}"
