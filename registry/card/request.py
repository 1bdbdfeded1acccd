"""What a card is asked for."""

import datetime
from dataclasses import dataclass
from typing import Any, Literal

from registry.measurement import Measurement

__all__ = ["CardRequest", "Form", "Paper", "Units"]

Paper = Literal["a4", "a5", "letter"]
Form = Literal["pdf", "png"]
Units = Literal["metric", "us"]


@dataclass(frozen=True, kw_only=True, slots=True)
class CardRequest:
    """One card: documents, where the mode stands, and how the sheet is to look."""

    mode_id: str
    mode: dict[str, Any]
    substrate: dict[str, Any]
    printer: dict[str, Any]
    revision: int
    standing: Literal["known-good", "trial", "withdrawn", "draft"]
    digest: str
    """SHA-256 of the settings, 64 hex digits."""
    date: datetime.date
    """The card's date; nothing on the sheet depends on another clock."""
    verify_by: datetime.date
    draft_on: int | None = None
    """The landed revision that a draft was made on; none where none has landed."""
    on_trial: int | None = None
    """A newer revision on trial, to be mentioned."""
    trial_why: str = ""
    """Why these settings are on trial, the gravest reason; empty where they are not."""
    known_good: int | None = None
    """The last known-good revision, which a card of one on trial names."""
    replaced_by: int | None = None
    """The known-good revision, with other settings, that has taken the place of this known-good one."""
    unit: dict[str, Any] | None = None
    """A named machine: its own values for this mode appear."""
    unit_id: str = ""
    unit_revision: int | None = None
    """The revision of its record, which code and slug name beside it."""
    readings: Measurement | None = None
    """The reference measurement that the mode's evidence names, where it was read."""
    places: tuple[tuple[Literal["display", "application"], dict[str, Any]], ...] = ()
    """What it is printed for: a display and its application, or an application alone."""
    place_id: str = ""
    unmet: tuple[str, ...] = ()
    """Demands of that place which these settings do not meet, in words."""
    untold: tuple[str, ...] = ()
    """Demands of it of which that is not known, in words."""
    guidance: tuple[tuple[str, str], ...] = ()
    """Advice that applies: (level, text)."""
    fitting: tuple[tuple[str, str], ...] = ()
    """Likewise, what is for whoever hangs the print: its guidance is marked so."""
    confirmed: str = ""
    """Which shops confirmed these settings, in words; empty where none has."""
    job: tuple[tuple[str, str], ...] = ()
    """What the job takes that it is printed for: labels and texts of its plan."""
    commit: str = ""
    """The commit from which the card was answered."""
    paper: Paper = "a4"
    units: Units = "metric"

    @property
    def is_draft(self) -> bool:
        """Whether what the card says has not landed."""
        return self.standing == "draft"

    @property
    def code_revision(self) -> int:
        """The revision that code and slug name: of a draft, the one it was made on."""
        return (self.draft_on or 0) if self.is_draft else self.revision
