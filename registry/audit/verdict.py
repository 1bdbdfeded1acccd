"""Whether one change may be called the likely cause, and why not where it may not."""

from collections.abc import Sequence
from typing import NamedTuple

from registry.audit.answer import Clue
from registry.audit.prints import Scene

__all__ = ["Verdict", "verdict"]

_EXPLAINS = 0.5
"""Least share of what was read that a likely cause explains; common practice, no source."""
_ELSE = 0.3
"""Another change that explains so much leaves it open."""


class Verdict(NamedTuple):
    """One change, and why it is called the likely cause or is not."""

    clue: Clue
    sure: bool
    why: str


def verdict(of: Scene, clues: Sequence[Clue]) -> Verdict | None:
    """Return what is to be said of the first suspect; None where none is likely.

    It is the likely cause only if what it does is computed and goes the way that was seen, if it is proved to
    have been so, and if with readings it alone explains most of them, without readings nothing else is
    likely.
    """
    suspects = [clue for clue in clues if _is_suspect(clue)]
    if not suspects:
        return None
    first, others = suspects[0], suspects[1:]
    why_not = _doubt(of, first) or _other(first, others)
    return Verdict(first, sure=not why_not, why=why_not or _reason(first))


def _other(first: Clue, others: Sequence[Clue]) -> str:
    """Return that something else may be the cause as well; empty where that is not likely."""
    if first.explains is None:
        return "other changes may explain it too" if others else ""
    if first.explains < _EXPLAINS:
        return "it explains too little of what was read"
    rival = any((other.explains or 0) >= _ELSE for other in others)
    return "another change explains much of it too" if rival else ""


def _reason(clue: Clue) -> str:
    if clue.explains is not None:
        return f"it explains {100 * clue.explains:.0f} % of what was read"
    return "it goes the way that was seen, and nothing else on record does"


def _is_suspect(clue: Clue) -> bool:
    explains = (clue.explains or 0) >= _EXPLAINS
    unlikely = clue.works == "against" or clue.fits is False or (clue.cleared_by and not explains)
    return clue.likely and not unlikely


def _doubt(of: Scene, clue: Clue) -> str:
    """Return why a change cannot be called the likely cause, whatever else there is; empty where it can."""
    if clue.place == "mode" and _unproven(of):
        return "no run or adoption proves the settings of both prints"
    days = {of.registry.time(each.at).date() for each in (of.good, of.bad)}
    if clue.day_only and of.registry.time(clue.at).date() in days:
        return "only its day is known"
    acts = [each.acts for each in clue.every if each.acts]
    if not acts:
        return "what it does cannot be computed"
    if clue.works != "towards" and clue.explains is None:
        return "which way it goes is not known"
    return ""


def _unproven(of: Scene) -> bool:
    known = (of.good.in_force, of.bad.in_force)
    return any(each is None or each.how == "landed" or each.mismatch for each in known)
