"""What guidance says of a case that stands in no record: a material nobody here has printed yet."""

from collections.abc import Mapping
from typing import Any

from registry.index.advice import MODE_SIDE, PLACE_SIDE, Judge
from registry.question.advice import Remark
from registry.question.registry import Registry

__all__ = ["judged"]


def judged(registry: Registry, case: Mapping[str, Any]) -> tuple[Remark, ...]:
    """Return the guidance that applies to a case, or of which that cannot be told.

    Parameters
    ----------
    case : mapping
        Documents by side: substrate, mode, printer, application, display. Rules that look at a place do not
        apply to a case without one.
    """
    rules = registry.model.rules()
    subjects = {subject.rid: subject.blob for subject in registry.model.subjects("guidance")}
    documents = registry.documents(subjects[rule.rid] for rule in rules if rule.rid in subjects)
    placed = any(side in case for side in PLACE_SIDE)
    found = []
    for rule in rules:
        if rule.rid not in subjects or (rule.of_place and not placed):
            continue
        judge = Judge(rule.rid, documents[subjects[rule.rid]])
        answers = [judge.holds(side, case) for side in (MODE_SIDE, PLACE_SIDE) if judge.looks_at(side)]
        if False not in answers:
            found.append(Remark(rule.rid, rule.level, rule.text, rule.source, None not in answers))
    return tuple(found)
