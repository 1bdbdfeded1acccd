"""The complaint: a job that a customer refused."""

from typing import Annotated, Literal

from pydantic import Field

from registry.model.base import (
    MISSING,
    Day,
    DisplayId,
    Instant,
    Line,
    ModeId,
    Part,
    Revised,
    Slug,
    Text,
    UnitId,
    setting,
)
from registry.model.words import Defect

__all__ = ["Complaint"]

Lab = Annotated[list[Annotated[float, Field(ge=-200, le=200)]], Field(min_length=3, max_length=3)]


class ReadPatch(Part):
    """What was read on the refused print."""

    patch: Line = setting("patch", required=True, example="cyan solid")
    """What was read."""
    found_lab: Lab = setting("found L*a*b*", required=True, effect="direct")
    """CIELAB as read, against the display's lit white where it was read lit."""
    expected_lab: Lab | MISSING = setting("expected L*a*b*", effect="direct")
    """CIELAB of the approved sample, read in the same way."""
    how: Line = setting("read how", required=True)
    """Instrument and condition."""


class Complaint(Revised):
    """A job that a customer refused."""

    site: Slug = setting("site", required=True, identity=True, refers="site")
    """The shop that printed it."""
    job: Line | MISSING = setting("job")
    """The shop's job number."""
    unit: UnitId = setting("unit", required=True, refers="unit")
    """The machine that printed it."""
    mode: ModeId = setting("mode", required=True, refers="print-mode")
    """The mode it was printed with."""
    display: DisplayId | MISSING = setting("display", refers="display")
    """Where it hangs."""
    printed: Instant = setting("printed at", required=True)
    """When the refused job was printed."""
    good: Instant = setting("last good print at", required=True)
    """When the last print was made that nobody complained of."""
    received: Day = setting("received on", required=True)
    """The day the complaint came in."""
    defect: Defect = setting("defect", required=True)
    """What is wrong with it."""
    what: Text = setting("what was said", required=True)
    """The complaint in words, without the customer's name."""
    readings: list[ReadPatch] | MISSING = setting("readings", key="patch", max_length=50)
    """What was read on the refused print."""
    state: Literal["open", "answered", "closed"] = setting("state", required=True)
    """How far it has got."""
    answer: Text | MISSING = setting("answer")
    """What was found, and what was done."""
