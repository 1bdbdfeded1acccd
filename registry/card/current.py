"""Whether a card, or a print that names its settings, is current."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import NamedTuple

from registry.card.code import SHORT, CardCode

__all__ = ["Landed", "Standing", "Verdict", "on_machine", "verdict"]


class Landed(NamedTuple):
    """One landed revision of a print mode."""

    number: int
    digest: str
    status: str
    """trial, known-good or withdrawn."""


class Standing(StrEnum):
    """How a card stands to what has landed since."""

    CURRENT = "current"
    FORM_ONLY = "form only"
    """A newer revision has the same settings: only form, reason, status or trials changed."""
    NEWER = "newer revision"
    OWN_VALUES = "own values"
    """The mode is current, but the named machine's own values for it have changed."""
    ON_TRIAL = "on trial"
    WITHDRAWN = "withdrawn"
    """The mode, its substrate, or the named machine."""
    REFUSED = "refused"
    """Guidance of level refuse applies to the mode now."""
    DRAFT = "draft"
    """Its settings were printed before they landed, and have not landed since."""
    UNKNOWN_REVISION = "unknown revision"
    """Of the mode, or of the named machine."""
    FOREIGN = "digest of other settings"
    """The digest is not that revision's: a typing error, or another registry."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a card may hang on, in a word and in words."""

    standing: Standing
    words: str
    use: int | None = None
    """The revision to use instead, or that the card stands for; none where nothing is to be used."""
    unit_use: int | None = None
    """The named machine's newest revision, where its own values could be compared with those on the card."""

    @property
    def current(self) -> bool:
        """Whether the settings on the card are those to use."""
        return self.standing in {Standing.CURRENT, Standing.FORM_ONLY}


def verdict(code: CardCode, present: Sequence[Landed | tuple[int, str, str]]) -> Verdict:
    """Return whether what the code says is current, given every landed revision of its mode.

    The revision to use is the last known-good one; where there is none, the newest.
    """
    landed = sorted((Landed(*each) for each in present), key=lambda each: each.number)
    if not landed:
        return Verdict(Standing.UNKNOWN_REVISION, f"{code.mode_id} has no landed revision in this registry")
    return _stray(code, landed) or _withdrawn(code, landed[-1]) or _against(code, landed)


def on_machine(code: CardCode, found: Verdict, newest: int, *, same: bool | None) -> Verdict:
    """Return the mode's verdict with what the named machine's newest revision adds to it.

    `same` says whether its own values for the mode are still those on the card; None where the card does not
    say of which revision its own values are.
    """
    if same is None:
        unsaid = f"it does not say at which revision {code.unit} was, whose own values may have changed"
        return replace(found, words=f"{found.words}; {unsaid}")
    own = f"{code.unit}'s own values for this mode"
    if same:
        words = f"{found.words}; {own} are unchanged since r{code.unit_revision}"
        return replace(found, words=words, unit_use=newest)
    changed = f"{own} changed from r{code.unit_revision} to r{newest}"
    if found.current:
        return Verdict(Standing.OWN_VALUES, f"{changed}; otherwise {found.words}", found.use, newest)
    return replace(found, words=f"{found.words}; {changed}", unit_use=newest)


def _withdrawn(code: CardCode, newest: Landed) -> Verdict | None:
    if newest.status != "withdrawn":
        return None
    words = f"{code.mode_id} is withdrawn since r{newest.number}: take the card down"
    return Verdict(Standing.WITHDRAWN, words)


def _against(code: CardCode, landed: Sequence[Landed]) -> Verdict:
    """Return the verdict on a code that belongs to a live mode's revisions, against the one to use."""
    newest = landed[-1]
    good = [each for each in landed if each.status == "known-good"]
    use = good[-1] if good else newest
    if _same(code, use):
        return _same_settings(code, use, newest)
    if code.draft and not any(_same(code, each) for each in landed):
        words = f"a draft whose settings have not landed; r{use.number} is to be used"
        return Verdict(Standing.DRAFT, words, use.number)
    if not code.draft and code.revision == newest.number:
        words = f"r{code.revision} is on trial; r{use.number} is the last known-good revision"
        return Verdict(Standing.ON_TRIAL, words, use.number)
    also = _trial(use, newest) if good else " and is on trial itself"
    return Verdict(Standing.NEWER, f"r{use.number} has replaced {_name(code)}{also}", use.number)


def _stray(code: CardCode, landed: Sequence[Landed]) -> Verdict | None:
    """Return the verdict on a code that does not belong to these revisions, or None where it does."""
    if code.draft:
        return None
    own = next((each for each in landed if each.number == code.revision), None)
    if own is None:
        words = f"r{code.revision} has not landed here; the newest is r{landed[-1].number}"
        return Verdict(Standing.UNKNOWN_REVISION, words)
    if _same(code, own):
        return None
    others = [f"r{each.number}" for each in landed if _same(code, each)]
    whose = (
        f"it is that of {', '.join(others)}" if others else "a typing error, or a card of another registry"
    )
    return Verdict(
        Standing.FOREIGN,
        f"the settings digest {code.digest[:SHORT]} does not belong to r{code.revision}: {whose}",
    )


def _same_settings(code: CardCode, use: Landed, newest: Landed) -> Verdict:
    """Return the verdict on a card whose settings are those to use."""
    if use.status == "trial":
        return Verdict(Standing.ON_TRIAL, f"r{use.number} is on trial; none is known-good yet", use.number)
    if not code.draft and code.revision == use.number:
        return Verdict(Standing.CURRENT, f"r{use.number} is current{_trial(use, newest)}", use.number)
    words = (
        f"the settings are those of r{use.number}, which is {use.status}: between it and {_name(code)} only "
        f"the record's form, reason, status or trials changed{_trial(use, newest)}"
    )
    return Verdict(Standing.FORM_ONLY, words, use.number)


def _name(code: CardCode) -> str:
    return f"the draft on r{code.revision}" if code.draft else f"r{code.revision}"


def _trial(use: Landed, newest: Landed) -> str:
    return f"; r{newest.number} is on trial" if newest.number > use.number else ""


def _same(code: CardCode, revision: Landed) -> bool:
    return revision.digest.startswith(code.digest)
