"""Whether a card, or a print that names its settings, is current."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
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
    beside: bool = False
    """Whether it only came in with a landing, which holds something else."""
    merged_away: bool = False
    """Whether that landing left it out; else it was replaced before it landed."""


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
    """No revision has settings of this digest: a typing error, or another registry."""
    NOT_LANDED = "not landed"
    """Its settings are on a branch that is not shared, or were merged or forced away."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a card may hang on, in a word and in words."""

    standing: Standing
    words: str
    use: int | None = None
    """The revision to use instead, or that the card stands for; none where nothing is to be used."""
    unit_use: int | None = None
    """The named machine's newest revision, where its own values could be compared with those on the card."""
    use_digest: str = field(default="", compare=False)
    """The settings digest of the revision to use."""

    @property
    def current(self) -> bool:
        """Whether the settings on the card are those to use."""
        return self.standing in {Standing.CURRENT, Standing.FORM_ONLY}


def verdict(code: CardCode, present: Sequence[Landed | tuple[int, str, str]]) -> Verdict:
    """Return whether what the code says is current, given every revision of its mode in the order they came.

    Settings are known by their digest; the number is what the card calls them. The revision to use is the
    last known-good one that landed; where there is none, the newest.
    """
    known = [Landed(*each) for each in present]
    landed = [each for each in known if not each.beside]
    if not landed:
        return Verdict(Standing.UNKNOWN_REVISION, f"{code.mode_id} has no landed revision in this registry")
    return _stray(code, known) or _withdrawn(code, landed[-1]) or _against(code, known, landed)


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


def _against(code: CardCode, known: Sequence[Landed], landed: Sequence[Landed]) -> Verdict:
    """Return the verdict on a code that belongs to a live mode's revisions, against the one to use."""
    newest = landed[-1]
    good = [each for each in landed if each.status == "known-good"]
    use = good[-1] if good else newest
    if _same(code, use):
        return _same_settings(code, known, use, newest)
    if code.draft and not any(_same(code, each) for each in known):
        words = f"a draft whose settings have not landed; r{use.number} is to be used"
        return Verdict(Standing.DRAFT, words, use.number, use_digest=use.digest)
    if not code.draft and _same(code, newest):
        words = f"{_called(code, newest)} is on trial; r{use.number} is the last known-good revision"
        return Verdict(Standing.ON_TRIAL, words, use.number, use_digest=use.digest)
    also = _trial(use, newest) if good else " and is on trial itself"
    same = [each for each in known if _same(code, each)]
    if same and all(each.beside for each in same):
        left_out = same[-1].merged_away
        also = f", which {'a merge has left out' if left_out else 'was replaced before it landed'}{also}"
    words = f"r{use.number} has replaced {_called(code, *same[-1:])}{also}"
    return Verdict(Standing.NEWER, words, use.number, use_digest=use.digest)


def _stray(code: CardCode, known: Sequence[Landed]) -> Verdict | None:
    """Return the verdict on a code that does not belong to these revisions, or None where it does."""
    if code.draft:
        return None
    if any(_same(code, each) for each in known):
        return None
    if not any(each.number == code.revision for each in known):
        newest = [each for each in known if not each.beside][-1]
        words = f"r{code.revision} has not landed here; the newest is r{newest.number}"
        return Verdict(Standing.UNKNOWN_REVISION, words)
    return Verdict(
        Standing.FOREIGN,
        f"the settings digest {code.digest[:SHORT]} does not belong to r{code.revision}: a typing error, or "
        "a card of another registry",
    )


def _same_settings(code: CardCode, known: Sequence[Landed], use: Landed, newest: Landed) -> Verdict:
    """Return the verdict on a card whose settings are those to use."""
    if use.status == "trial":
        words = f"r{use.number} is on trial; none is known-good yet"
        return Verdict(Standing.ON_TRIAL, words, use.number, use_digest=use.digest)
    if not code.draft and code.revision == use.number:
        if sum(each[:2] == use[:2] and not each.beside for each in known) > 1:
            words = f"r{use.number} is current: only its record's form has changed since{_trial(use, newest)}"
            return Verdict(Standing.FORM_ONLY, words, use.number, use_digest=use.digest)
        words = f"r{use.number} is current{_trial(use, newest)}"
        return Verdict(Standing.CURRENT, words, use.number, use_digest=use.digest)
    own = code.draft or any(_same(code, each) for each in known if each.number == code.revision)
    how = f"between it and {_name(code)} only the record's form, reason, status or trials changed"
    how = how if own else f"the card calls them {_name(code)}"
    words = f"the settings are those of r{use.number}, which is {use.status}: {how}{_trial(use, newest)}"
    return Verdict(Standing.FORM_ONLY, words, use.number, use_digest=use.digest)


def _called(code: CardCode, *revision: Landed) -> str:
    """Return what the settings on the card are called here, and what the card calls them where it differs."""
    for each in revision:
        if not code.draft and each.number != code.revision:
            return f"r{each.number} (r{code.revision} on the card)"
    return _name(code)


def _name(code: CardCode) -> str:
    return f"the draft on r{code.revision}" if code.draft else f"r{code.revision}"


def _trial(use: Landed, newest: Landed) -> str:
    return f"; r{newest.number} is on trial" if newest.number > use.number else ""


def _same(code: CardCode, revision: Landed) -> bool:
    return revision.digest.startswith(code.digest)
