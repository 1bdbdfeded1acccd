"""Asking for audits in tests."""

from typing import Any

from registry.audit.answer import AuditAnswer, Clue
from registry.audit.audit import audit
from registry.audit.request import of_prints
from registry.question.registry import Registry
from tests.audit.story import DISPLAY, GOOD, PRINTED
from tests.small import MODE, UNIT

__all__ = ["BANNER_MODE", "asked", "clue", "every"]

BANNER_MODE = "tidecloth/gull-510/front-8"


def every(answer: AuditAnswer) -> list[Clue]:
    """Return all that was found, also what is told beside something else."""
    return [each for joined in answer.clues for each in joined.every]


def clue(answer: AuditAnswer, label: str) -> Clue:
    return next(each for each in every(answer) if each.label == label)


def asked(registry: Registry, **changed: Any) -> AuditAnswer:
    options: dict[str, Any] = {
        "unit": UNIT,
        "mode": MODE,
        "printed": PRINTED,
        "good": GOOD,
        "display": DISPLAY,
    }
    return audit(registry, of_prints(registry, **(options | changed)))
