"""What an audit is asked: a complaint on record, or a unit, a mode and two moments."""

import datetime
from dataclasses import dataclass

from registry.errors import RequestError
from registry.question.names import named, once_named
from registry.question.registry import Registry
from registry.question.when import moment, version

__all__ = ["AuditRequest", "of_complaint", "of_prints"]


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
    job: str = ""
    """Job number of the bad print."""
    lots: tuple[str, ...] = ()
    """Lots known to have been used, beside those in the run records."""
    defect: str = ""
    complaint: str = ""
    """Id of the complaint; empty where none was named."""
    received: str = ""
    """Day on which the complaint came in."""
    what: str = ""
    """The complaint in words."""
    readings: int = 0
    """How many patches were read on the refused print."""

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
        good=moment(registry, good) if good else _epoch(document["good"]),
        display=document.get("display", ""),
        job=document.get("job", ""),
        defect=document["defect"],
        complaint=found.rid,
        received=document["received"],
        what=document["what"],
        readings=len(document.get("readings", ())),
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
    stands_at = str(registry.document(machine.blob)["site"])
    if site and site != stands_at:
        raise RequestError(f"the unit {machine.rid} stands at {stands_at}, not at {site}: leave out --site")
    return AuditRequest(
        site=stands_at,
        unit=machine.rid,
        mode=once_named(registry, mode, ("print-mode",)).rid,
        printed=moment(registry, printed),
        good=moment(registry, good),
        display=once_named(registry, display, ("display",)).rid if display else "",
        job=job,
        lots=lots,
        defect=defect,
    )


def _epoch(instant: str) -> float:
    return datetime.datetime.fromisoformat(instant).timestamp()
