"""How often audits of known causes are right, and how often they are sure and wrong."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from registry.audit.answer import AuditAnswer, Clue
from registry.audit.audit import audit
from registry.audit.request import of_complaint
from registry.question.registry import Registry
from tests.audit.simulated.cases import Case

__all__ = ["Judged", "Share", "judged"]

_ONE_NAMED = ("look first at: ", "the likely cause is ")
_NOTHING = "nothing is known to have changed"


class Judged(NamedTuple):
    """What an audit said of a case, held against the truth."""

    case: Case
    place: int | None
    """Place of the true cause among the suspects, from 0; None where it is not among them."""
    sure: bool
    """Whether one thing is named without a doubt in the same line, or nothing is said to have changed."""
    wrong: bool
    """Whether it is sure and the truth contradicts it."""
    words: tuple[str, ...]


class Share(NamedTuple):
    """So many of so many, with the 95 % interval of Wilson (1927)."""

    some: int
    all: int

    @property
    def interval(self) -> tuple[float, float]:
        """Return the ends of the interval.

        Newcombe, Statistics in Medicine 17 (1998) 857-872, table I: 81 of 263 is 0.2553 to 0.3662.

        >>> [round(each, 4) for each in Share(81, 263).interval]
        [0.2553, 0.3662]
        """
        if not self.all:
            return 0.0, 1.0
        z, n = 1.959964, self.all
        share = self.some / n
        middle, half = share + z * z / (2 * n), z * math.sqrt(share * (1 - share) / n + z * z / (4 * n * n))
        return max(0.0, (middle - half) / (1 + z * z / n)), min(1.0, (middle + half) / (1 + z * z / n))

    def __str__(self) -> str:
        low, high = self.interval
        share = 100 * self.some / max(self.all, 1)
        return f"{self.some}/{self.all} = {share:.0f} % ({100 * low:.0f}-{100 * high:.0f})"


def judged(registry: Registry, cases: Sequence[Case]) -> list[Judged]:
    """Ask for the audit of every case and hold it against the truth."""
    return [_judged(audit(registry, of_complaint(registry, case.complaint)), case) for case in cases]


def _judged(answer: AuditAnswer, case: Case) -> Judged:
    places = [number for number, clue in enumerate(answer.clues) if _is_true(clue, case)]
    named = _named(answer)
    nothing = any(line.startswith(_NOTHING) for line in answer.in_short)
    changed = case.cause != "nothing"
    right = any(_is_true(clue, case) and clue.label == named for clue in answer.clues)
    return Judged(
        case,
        places[0] if places else None,
        bool(named) or nothing,
        (bool(named) and not right) or (nothing and changed),
        answer.in_short,
    )


def _named(answer: AuditAnswer) -> str:
    """Return what alone is named as the one to look at, without a doubt; empty where there is none."""
    if any(line.startswith(("then at", "likely with this defect all the same")) for line in answer.in_short):
        return ""
    for line in answer.in_short:
        for lead in _ONE_NAMED:
            named = line.removeprefix(lead).partition(": ")[0].partition("; the other likely ones")[0]
            if line.startswith(lead) and ";" not in named and "not surely" not in line:
                return named
    return ""


def _is_true(clue: Clue, case: Case) -> bool:
    names = [f"{each.place}/{each.change.setting if each.change else each.event}" for each in clue.every]
    return any(name.startswith(truth) for name in names for truth in case.truth)
