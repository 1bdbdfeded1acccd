"""From a question to the registry: which revision a job is planned with, and the advice that applies."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from registry.errors import RegistryError
from registry.model.usual import usuals
from registry.plan.answer import Plan, plan
from registry.plan.job import Job
from registry.question.advice import Remark, remarks
from registry.question.case import case_of
from registry.question.names import named
from registry.question.registry import Registry
from registry.question.when import Version, version, withdrawal_words

__all__ = ["Asked", "Planned", "ask"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What the person who plans a job says."""

    mode: str
    """`MODE[@WHEN]`."""
    job: Job
    place: str = ""
    """Application or display, for the advice that depends on it."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan, and what it was made with."""

    mode: Version
    case: Mapping[str, dict[str, Any]]
    plan: Plan
    remarks: tuple[Remark, ...]
    """Advice that is known to apply; none of a revision that is not offered now."""
    commit: str

    @property
    def against(self) -> tuple[str, ...]:
        """Why nothing is to be printed with these settings; empty where that is allowed."""
        gone = (
            withdrawal_words(self.mode.rid, self.mode.document),
            withdrawal_words(self.mode.document["substrate"], self.case["substrate"]),
        )
        refused = (f"refused: {remark.text} [{remark.rule}]" for remark in self.remarks if remark.refuses)
        said = tuple(filter(None, (*gone, *refused)))
        if self.mode.standing == "withdrawn" and not gone[0]:
            return (f"{self.mode.rid} {self.mode.label} is withdrawn", *said)
        return said

    @property
    def cautions(self) -> tuple[tuple[str, str], ...]:
        """What the records caution of: kind of record, and text."""
        return tuple(
            (kind, text)
            for kind in ("mode", "substrate", "printer")
            for text in self.case.get(kind, {}).get("cautions", [])
        )


def ask(registry: Registry, asked: Asked) -> Planned:
    """Return the plan of a job with the revision to work with, unless another one was named."""
    found = version(registry, asked.mode, ("print-mode",), offered=True)
    case = case_of(registry, found.document)
    if "substrate" not in case:
        raise RegistryError(
            f"{found.rid} prints {found.document['substrate']}, of which there is no record that can be read"
        )
    return Planned(
        found,
        case,
        plan(case, asked.job, usuals(registry.settings)),
        _remarks(registry, found, asked.place),
        registry.commit,
    )


def _remarks(registry: Registry, found: Version, place: str) -> tuple[Remark, ...]:
    """Return the advice on the mode, and with a place on the mode in that place."""
    there = named(registry, place, ("application", "display")).id if place else None
    subject = next((each for each in registry.model.versions(found.path) if each.seq == found.seq), None)
    if subject is None or found.draft:  # what is judged now need not hold for it
        return ()
    return tuple(each for each in remarks(registry.model, [subject.id], there)[subject.id] if each.certain)
