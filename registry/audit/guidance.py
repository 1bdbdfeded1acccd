"""What guidance refuses or warns of in the settings of the bad print, on its material and in its display."""

from typing import Any

from registry.audit.answer import Guided
from registry.audit.prints import Scene
from registry.model.kinds import path_of
from registry.question.advice import REFUSE, Remark
from registry.question.case import case_of
from registry.question.hypothetical import judged
from registry.question.registry import Registry

__all__ = ["guidance"]


def guidance(of: Scene) -> list[Guided]:
    """Return the rules in force now that refuse the mode, then those that may, then those that warn of it.

    Settings, material and printer are taken as they were at the bad print, the display as it is now. Rules
    that look at the place alone say nothing of one mode or another.
    """
    mode = of.bad.mode
    if mode is None:
        return []
    case = case_of(of.registry, mode.document, of.bad.landing) | _place(of.registry, of.request.display)
    of_mode = {rule.rid for rule in of.registry.model.rules() if rule.of_mode}
    found = [
        _guided(of, remark)
        for remark in judged(of.registry, case)
        if remark.rule in of_mode and (remark.level == REFUSE or (remark.warns and remark.certain))
    ]
    return sorted(found, key=lambda each: (each.level != REFUSE, not each.certain))


def _place(registry: Registry, display: str) -> dict[str, dict[str, Any]]:
    """Return the display with its application, as far as they can be read."""
    place: dict[str, dict[str, Any]] = {}
    for subject in registry.model.named(display, "display"):
        place["display"] = registry.document(subject.blob)
        for use in registry.model.named(str(place["display"].get("application")), "application"):
            place["application"] = registry.document(use.blob)
    return place


def _guided(of: Scene, remark: Remark) -> Guided:
    newest = of.registry.model.revisions(path_of("guidance", remark.rule))[-1]
    landed = of.registry.model.landing(newest.n).landed
    return Guided(
        rule=remark.rule,
        level="refuse" if remark.level == REFUSE else "warn",
        text=remark.text,
        source=remark.source,
        landed=f"{of.registry.time(landed):%Y-%m-%d}",
        after=landed > of.bad.at,
        certain=remark.certain,
    )
