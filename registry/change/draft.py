"""What lies in the working tree, or is committed and has not landed, of one record."""

from dataclasses import dataclass

from registry.change.compare import SettingChange
from registry.change.difference import compared
from registry.errors import RegistryError
from registry.index.readmodel import Subject
from registry.question.registry import Registry
from registry.question.when import newest_version, version

__all__ = ["DraftState", "draft_state"]


@dataclass(frozen=True, slots=True)
class DraftState:
    """A draft of a record: told apart, never mixed with what has landed."""

    label: str
    """Such as `draft, on r5`."""
    where: str
    """`working tree`, or `committed, not landed`."""
    missing: bool = False
    """Whether the draft takes the record away."""
    changes: tuple[SettingChange, ...] = ()
    """What differs from the newest landed revision; the bookkeeping of revisions is left out."""
    fault: str = ""
    """Why it cannot be compared."""


def draft_state(registry: Registry, subject: Subject) -> DraftState | None:
    """Return the record's draft, or None where nothing differs from what has landed."""
    found = [draft for draft in registry.repository.drafts() if draft.path == subject.path]
    if not found:
        return None
    draft = found[-1]
    label = f"draft, on r{subject.number}"
    if draft.state == "missing":
        return DraftState(label, draft.where, missing=True)
    try:
        landed = newest_version(registry, subject)
        lying = version(registry, f"{subject.path}@draft")
    except RegistryError as error:  # the draft cannot be read, or there is nothing to compare it with
        return DraftState(label, draft.where, fault=str(error))
    changes = compared(registry, landed, lying).changes
    return DraftState(lying.label if lying.draft else label, draft.where, changes=changes)
