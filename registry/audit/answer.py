"""What an audit answers."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from registry.audit.direction import Works
from registry.audit.effect import Effect
from registry.audit.lots import lots_of
from registry.audit.request import AuditRequest
from registry.change.compare import SettingChange
from registry.question.inforce import InForce
from registry.question.when import Version

__all__ = [
    "AuditAnswer",
    "Clue",
    "Explained",
    "Guided",
    "Origin",
    "OtherRun",
    "Passed",
    "Place",
    "Print",
    "Shift",
    "Unknown",
]

_TRIVIAL = 4
Place = Literal["mode", "substrate", "printer", "unit", "display", "profile", "job", "event"]


@dataclass(frozen=True, slots=True)
class Print:
    """What is known of one of the two prints."""

    at: float
    """When it was printed: by its run where there is one, else as it was asked."""
    run: str
    """Id of its run; empty where none is on record."""
    record: Mapping[str, Any]
    """The run; empty where none is on record."""
    in_force: InForce | None
    """How its settings are known; None where they are not."""
    mode: Version | None
    """Its settings; None where they are not known."""
    landing: int | None
    """Number of the last landing by then; None where nothing is known of that time."""
    nearest: bool = False
    """Whether its run is only the nearest one on that day: neither its job nor its minute was named."""

    @property
    def lots(self) -> tuple[str, ...]:
        """The lots that its run names."""
        return tuple(lots_of(self.record).values())


@dataclass(frozen=True, slots=True)
class Origin:
    """Who wrote an entry, when, and why."""

    label: str
    """The revision, such as `r4`; empty for what is written once."""
    recorded: str
    """Day on which it was recorded; empty where the file does not say."""
    site: str
    landed: float
    writers: tuple[str, ...]
    """Empty where a clone that is cut off does not know them."""
    reason: str
    cut: bool = False
    """Whether it had landed by then at the latest: a clone that is cut off there knows no more."""
    edited: bool = False
    """Whether a file that is written once was changed afterwards."""
    early: str = ""
    """That the landing is dated before the entry was recorded, in words."""
    written: float | None = None
    """When it was written, by its own commit's clock; it may have come in with a later landing."""


@dataclass(frozen=True, slots=True)
class Clue:
    """Something that differs between the two prints, or that happened between them."""

    place: Place
    record: str
    """Id of the record in which it stands."""
    label: str
    change: SettingChange | None
    """The values, where it is a setting."""
    event: str
    """The kind of event; empty for a setting."""
    at: float
    """When it took effect, as far as is known."""
    at_is: Literal["first used", "landed", "recorded", "happened", "printed"]
    day_only: bool
    """Whether only the day is known."""
    origin: Origin
    effect: str
    """Effect on colour: direct, indirect or none."""
    likely: bool
    """Whether such a thing usually explains the defect; never that it was the cause."""
    works: Works = ""
    """Whether it works towards the defect or against it; empty where common practice gives no direction."""
    why: str = ""
    """Why it does not explain what was seen, in words; empty where it may."""
    acts: Effect | None = None
    """What it does to a print, where its own numbers say so."""
    explains: float | None = None
    """Share of what was read that it explains by itself; None where that cannot be computed."""
    fits: bool | None = None
    """Whether it acts on what the complaint's readings say is off; None where they do not tell."""
    noted: bool = False
    """Whether it is a value that was noted down for the first time, which does not say that it changed."""
    what: str = ""
    """Of an event: what happened, in words; of a job's setting: that it is the nearest run's, where it is."""
    before: str = ""
    """Of an event: what it was before, where that was said."""
    after: str = ""
    lot: str = ""
    """Of an event: the lot that it is about."""
    display: str = ""
    """Of an event: the display that it happened at."""
    late: str = ""
    """Why it counts as written after the complaint came in; empty where it was written before."""
    cleared_by: tuple[str, ...] = ()
    """Jobs that ran with it since, of which no complaint is on record."""
    also: tuple["Clue", ...] = ()
    """What else on record tells of the same change."""

    @property
    def every(self) -> tuple["Clue", ...]:
        """The clue itself, and what else tells of the same change."""
        return self, *self.also


@dataclass(frozen=True, slots=True)
class Shift:
    """Whether the unprinted white moved with the inks: a reading of the readings, not proof."""

    moved: Literal["white", "inks"]
    """What is off: the white as well as the inks, or the inks alone."""
    white_de00: float
    """How far the white is off, in ΔE00; the mean where it was read more than once."""
    inks_de00: float
    """How far the printed patches are off on average, in ΔE00."""
    patches: tuple[str, ...]
    """The patches that were taken for the white."""

    @property
    def criterion(self) -> str:
        """By what it was told, in words."""
        return (
            "the white counts as moved where its ΔE00 is at least half of the mean of the printed patches "
            "and at least 1; common practice, no source; a reading of the readings, not proof"
        )


@dataclass(frozen=True, slots=True)
class Explained:
    """How much of what was read the changes on record explain."""

    de00: float
    """How far the patches are off, the mean ΔE00."""
    share: float
    """What the changes that can be computed explain of it together, 0 to 1; the rest is unexplained."""
    computed: tuple[str, ...]
    """What these changes are called."""


class Unknown(NamedTuple):
    """Something that is not known."""

    words: str
    weight: int
    """Its place: 0 settings, 1 whether a revision was in use, 2 lots, 3 lamps and places, 4 the rest."""

    @property
    def material(self) -> bool:
        """Whether a cause may hide in it."""
        return self.weight < _TRIVIAL


@dataclass(frozen=True, slots=True)
class Guided:
    """A guidance rule that refuses or warns of the bad print's settings on its material, as it reads now."""

    rule: str
    level: Literal["refuse", "warn"]
    text: str
    source: str
    landed: str
    """The day on which the rule, as it reads now, reached everybody."""
    after: bool
    """Whether that was after the bad print."""
    certain: bool
    """Whether it is known to apply; else something that it looks at is not on record."""

    @property
    def words(self) -> str:
        """What it says, and since when."""
        doubt = "" if self.certain else "; something that it looks at is not on record"
        since = f"landed {self.landed}" + (", after this print" if self.after else "")
        return f"{self.text.removesuffix('.')} ({self.rule}, {since}{doubt})"


@dataclass(frozen=True, slots=True)
class OtherRun:
    """A job between the two prints on the same unit with the same mode."""

    record: str
    job: str
    at: float
    revision: int
    settings: Literal["of both", "of the bad print", "of the good print", "others"]
    complaint: str
    """Id of a complaint about it; empty where there is none on record."""


@dataclass(frozen=True, slots=True)
class Passed:
    """One line of the story between the two prints."""

    at: float
    what: str
    day_only: bool = False
    late: bool = False
    """Written after the complaint came in."""


@dataclass(frozen=True, slots=True)
class AuditAnswer:
    """What changed between a good print and a bad one, as far as the registry knows."""

    request: AuditRequest
    withdrawn: tuple[str, ...]
    """That the mode or its substrate is withdrawn now, in words."""
    remarks: tuple[str, ...]
    """What cannot be right in the question itself."""
    guidance: tuple[Guided, ...]
    """What guidance refuses, then what it warns of."""
    shift: Shift | None
    """Whether the white moved with the inks; None where the complaint's readings do not tell."""
    explained: Explained | None
    """How much of what was read is explained; None where the complaint's readings do not tell."""
    likely_cause: str
    """The one change that may be called the likely cause; empty where none may."""
    in_short: tuple[str, ...]
    """What to tell somebody who waits on the telephone."""
    good: Print
    bad: Print
    timeline: tuple[Passed, ...]
    clues: tuple[Clue, ...]
    """In order of likely effect."""
    computed: tuple[SettingChange, ...]
    """What follows from the settings that differ."""
    others: tuple[OtherRun, ...]
    unknown: tuple[str, ...]
    """What matters most first."""
    in_doubt: bool
    """Whether a cause may hide in what is not known."""
    advice: tuple[str, ...]
    """What to do next."""
    commit: str

    @property
    def changed(self) -> bool:
        """Whether anything is known to have changed, or may have since a time of which nothing is known."""
        return bool(self.clues) or self.from_unknown_time

    @property
    def from_unknown_time(self) -> bool:
        """Whether nothing is known of the time of one of the prints."""
        return self.good.landing is None or self.bad.landing is None
