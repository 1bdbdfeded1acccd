"""What happened: events, runs and confirmations are written once and never edited."""

from typing import Annotated

from pydantic import Field

from registry.model.base import (
    MISSING,
    Day,
    Digest,
    DisplayId,
    Instant,
    Line,
    ModeId,
    Part,
    Record,
    Recorded,
    Slug,
    Text,
    UnitId,
    setting,
)
from registry.model.words import EventKind, Outcome, SeenLit

__all__ = ["Confirmation", "Event", "Run"]

Number = Annotated[int, Field(ge=1, le=100000)]


class Happened(Record):
    """Something that happened at a site."""

    site: Slug = setting("site", required=True, refers="site")
    """Where it happened."""
    recorded: Recorded = setting("recorded", required=True)
    """When and where it was written down."""


class Event(Happened):
    """Something that happened to a unit, a display, an instrument or a lot."""

    kind: EventKind = setting("kind of event", required=True)
    """What sort of thing happened."""
    at: Instant = setting("happened at", required=True, example="2026-03-01T09:30:00+01:00")
    """When it happened, or was noticed."""
    unit: UnitId | MISSING = setting("unit", refers="unit")
    """The machine it happened to."""
    display: DisplayId | MISSING = setting("display", refers="display")
    """The display it happened to."""
    instrument: Slug | MISSING = setting("instrument")
    """The site's instrument it happened to."""
    lot: Line | MISSING = setting("lot")
    """The lot that came into use."""
    mode: ModeId | MISSING = setting("mode", refers="print-mode")
    """Adopted: the mode taken into use."""
    mode_revision: Number | MISSING = setting("mode's revision")
    """Adopted: its revision."""
    settings_digest: Digest | MISSING = setting("settings digest")
    """Adopted: SHA-256 of the settings taken into use."""
    before: Line | MISSING = setting("before")
    """What it was before, where that can be said."""
    after: Line | MISSING = setting("after")
    """What it is now, where that can be said."""
    what: Text = setting("what happened", required=True)
    """In words."""


class JobColour(Part):
    """The job's own colour choices."""

    source_profile: Line | MISSING = setting("source profile", effect="direct")
    """The profile assumed for the customer's file."""
    overrides: list[Line] | MISSING = setting("colour overrides", effect="direct", max_length=10)
    """What the operator set for this job alone."""


class Run(Happened):
    """A job that was printed: proof of what was in force."""

    job: Line = setting("job", required=True)
    """The shop's job number."""
    mode: ModeId = setting("mode", required=True, refers="print-mode")
    """The mode it was printed with."""
    mode_revision: Number = setting("mode's revision", required=True)
    """The revision it was printed with."""
    settings_digest: Digest = setting("settings digest", required=True)
    """SHA-256 of the settings that were used."""
    unit: UnitId = setting("unit", required=True, refers="unit")
    """The machine that printed it."""
    printed: Instant = setting("printed at", required=True)
    """When it was printed."""
    roll_lot: Line | MISSING = setting("roll lot", effect="direct", scope="roll")
    """Lot number on the roll."""
    ink_lot: Line | MISSING = setting("ink lot", effect="direct", scope="roll")
    """Lot number on the ink, where it was noted."""
    laminate_lot: Line | MISSING = setting("laminate lot", effect="indirect", scope="roll")
    """Lot number on the laminate of the finished print."""
    fixing_fluid_lot: Line | MISSING = setting("fixing fluid lot", effect="indirect", scope="roll")
    """Lot number on the fixing fluid, where it was noted."""
    display: DisplayId | MISSING = setting("for the display", refers="display")
    """Where the print went."""
    area_m2: float | MISSING = setting("printed area", "m²", gt=0, le=100000)
    """How much was printed."""
    colour: JobColour | MISSING = setting("job's colour")
    """The job's own colour choices."""
    note: Text | MISSING = setting("note")
    """Anything that was out of the ordinary."""


class Confirmation(Happened):
    """A site's word that it ran a mode at a revision, and how it went."""

    mode: ModeId = setting("mode", required=True, refers="print-mode")
    """The mode that was run."""
    mode_revision: Number = setting("mode's revision", required=True)
    """The revision that was run."""
    settings_digest: Digest = setting("settings digest", required=True)
    """SHA-256 of the settings that were run; it counts only while the mode still has them."""
    unit: UnitId | MISSING = setting("unit", refers="unit")
    """The machine that ran it."""
    date: Day = setting("judged on", required=True)
    """The day on which the print was judged, lit, finished and dried down."""
    outcome: Outcome = setting("outcome", required=True)
    """Good, usable with a reservation, or failed."""
    display: DisplayId | MISSING = setting("judged in", refers="display")
    """The display it was judged in."""
    hours: float | MISSING = setting("judged after", "h", ge=0, le=10000)
    """Hours from the printer: ink changes colour and feel while it dries down."""
    seen: SeenLit | MISSING = setting("seen lit")
    """Where light came through it when it was judged."""
    note: Text | MISSING = setting("note")
    """The reservation, or what failed."""
