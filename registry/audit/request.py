"""What an audit is asked: a complaint on record, or a unit, a mode and two moments."""

import datetime
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from registry.errors import RequestError
from registry.question.names import named, once_named
from registry.question.registry import Registry
from registry.question.when import moment, version

__all__ = ["AuditRequest", "of_complaint", "of_prints", "printer_mismatch"]


_DAY_LONG = len("2026-03-01")
_NEEDED = ("site", "unit", "mode", "printed", "good", "defect", "received", "what")


@dataclass(frozen=True, kw_only=True, slots=True)
class AuditRequest:
    """Two prints of one mode on one unit, one good and one bad."""

    site: str
    unit: str
    mode: str
    printed: float
    """When the bad one was printed, in epoch seconds."""
    good: float
    """When the last good one was printed."""
    display: str = ""
    display_from: str = ""
    """Which run names the display, in words; empty where the question itself does."""
    job: str = ""
    """Job number of the bad print."""
    assumed: tuple[str, ...] = ()
    """What the question left open, and what was taken for it, in words."""
    lots: tuple[str, ...] = ()
    """Lots known to have been used, beside those in the run records."""
    defect: str = ""
    complaint: str = ""
    """Id of the complaint; empty where none was named."""
    received: str = ""
    """Day on which the complaint came in."""
    what: str = ""
    """The complaint in words."""
    readings: tuple[Mapping[str, Any], ...] = ()
    """What was read on the refused print, patch by patch, as the complaint has it."""
    state: str = ""
    """How far the complaint has got: open, answered, closed."""
    answer: str = ""
    """What was answered to the complaint."""

    @property
    def received_on(self) -> datetime.date | None:
        """The day on which the complaint came in; None where that is not known."""
        return datetime.date.fromisoformat(self.received) if self.received else None

    def __post_init__(self) -> None:
        if self.good >= self.printed:
            raise RequestError("the good print must be earlier than the bad one: --good before --printed")


def of_complaint(registry: Registry, name: str, good: str = "") -> AuditRequest:
    """Return what a complaint on record asks, with another good print if one is given."""
    found = version(registry, name, ("complaint",))
    document = found.document
    lacking = [name for name in _NEEDED if name not in document]
    if lacking:
        raise RequestError(f"the complaint {found.rid} lacks {', '.join(lacking)}: litstock check says more")
    return AuditRequest(
        site=document["site"],
        unit=document["unit"],
        mode=document["mode"],
        printed=_epoch(document["printed"]),
        good=_past(registry, good, "good") if good else _epoch(document["good"]),
        display=document.get("display", ""),
        job=document.get("job", ""),
        defect=document["defect"],
        complaint=found.rid,
        received=document["received"],
        what=document["what"],
        readings=tuple(document.get("readings", ())),
        state=document.get("state", ""),
        answer=document.get("answer", ""),
    )


def of_prints(  # the options of one command
    registry: Registry,
    *,
    unit: str,
    mode: str,
    printed: str,
    good: str,
    site: str = "",
    display: str = "",
    job: str = "",
    lots: tuple[str, ...] = (),
    defect: str = "",
) -> AuditRequest:
    """Return what the options of a command ask, names and times made out."""
    wanted = unit if "/" in unit or not site else f"{site}/{unit}"
    machine = named(registry, wanted, ("unit",))
    of_unit = registry.document(machine.blob)
    stands_at = str(of_unit["site"])
    if site and site != stands_at:
        raise RequestError(f"the unit {machine.rid} stands at {stands_at}, not at {site}: leave out --site")
    asked_mode = once_named(registry, mode, ("print-mode",))
    if foreign := printer_mismatch(registry, machine.rid, asked_mode.rid):
        raise RequestError(f"{foreign}: name a unit and a mode of one printer model")
    return AuditRequest(
        site=stands_at,
        unit=machine.rid,
        mode=asked_mode.rid,
        printed=_past(registry, printed, "printed"),
        good=_past(registry, good, "good"),
        display=once_named(registry, display, ("display",)).rid if display else "",
        job=job,
        lots=lots,
        defect=defect,
    )


def printer_mismatch(registry: Registry, unit: str, mode: str) -> str:
    """Return in words that a mode is not for the printer model of a unit; empty where it is, or who knows."""
    machine, asked_mode = once_named(registry, unit, ("unit",)), once_named(registry, mode, ("print-mode",))
    made_for = asked_mode.printer
    model = "" if machine.standing == "gone" else registry.document(machine.blob).get("printer", "")
    if not made_for or not model or made_for == model:
        return ""
    return f"the unit {machine.rid} is a {model}, but the mode {asked_mode.rid} is for a {made_for}"


def _past(registry: Registry, text: str, option: str) -> float:
    """Return a moment as it was given, and refuse one that is still to come."""
    at = moment(registry, text)
    newest = registry.model.last_landing()
    begins = (
        registry.time(at).replace(hour=0, minute=0, second=0).timestamp() if len(text) == _DAY_LONG else at
    )
    if begins > time.time() and (newest is None or begins > newest.landed):
        raise RequestError(f"--{option} {text} is still to come: give the time of a print that was made")
    return at


def _epoch(instant: str) -> float:
    return datetime.datetime.fromisoformat(instant).timestamp()
