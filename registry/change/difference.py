"""`A[@WHEN] [B[@WHEN]]`: what differs between two versions of a record, two records, or two sites."""

from dataclasses import dataclass
from typing import Any, Literal

from registry.change.compare import BOOKKEEPING, SettingChange, compare
from registry.errors import RequestError
from registry.model.shape import shape_of
from registry.question.case import case_of
from registry.question.names import named
from registry.question.registry import Registry
from registry.question.when import NotThen, Version, version, version_of

__all__ = ["Difference", "Verdict", "compared", "difference"]

Verdict = Literal["settings", "aside", "form", "nothing"]


@dataclass(frozen=True, slots=True)
class Difference:
    """Two versions, and what differs between them."""

    before: Version
    after: Version
    changes: tuple[SettingChange, ...]
    """In the model's order; the bookkeeping of revisions is left out."""
    same_form: bool
    """Whether the files are the same, byte for byte."""

    @property
    def settings(self) -> tuple[SettingChange, ...]:
        """The settings that differ, and what is computed from them."""
        return tuple(change for change in self.changes if not change.aside)

    @property
    def aside(self) -> tuple[SettingChange, ...]:
        """What differs and is no setting: status, trials, sources and the like."""
        return tuple(change for change in self.changes if change.aside)

    @property
    def verdict(self) -> Verdict:
        """What differs: settings; only what is no setting; only the form; or nothing."""
        if any(change.is_setting for change in self.changes):
            return "settings"
        if self.changes or _reason(self.before) != _reason(self.after):
            return "aside"
        return "nothing" if self.same_form else "form"


def difference(registry: Registry, first: str, second: str | None = None) -> Difference:
    """Compare two versions; with one alone: a time against the newest, or the newest with the one before."""
    if second is not None:
        before, after = version(registry, first), version(registry, second)
    elif "@" in first:
        before = version(registry, first)
        after = version(registry, f"{before.kind}:{before.rid}")
    else:
        before, after = _last_two(registry, first)
    return compared(registry, before, after)


def compared(registry: Registry, before: Version, after: Version) -> Difference:
    """Compare two versions of records of one kind.

    Computed values of both rest on the substrate and the printer as they are now, so that only the compared
    settings make them differ.
    """
    if before.kind != after.kind:
        raise RequestError(
            f"cannot compare {before.rid} ({before.kind}) with {after.rid} ({after.kind}): "
            "compare two records of one kind"
        )
    cases = [_case(registry, each) for each in (before, after)]
    changes = compare(
        shape_of(before.kind),
        before.document,
        after.document,
        case_before=cases[0],
        case_after=cases[1],
    )
    kept = tuple(change for change in changes if change.path not in BOOKKEEPING)
    return Difference(before, after, kept, _same_form(before, after))


def _last_two(registry: Registry, name: str) -> tuple[Version, Version]:
    subject = named(registry, name)
    earlier = [each for each in registry.model.revisions(subject.path) if each.seq < subject.seq]
    if not earlier:
        here = "in this clone, which is cut off, " if registry.known_since else ""
        raise NotThen(
            f"{here}{subject.rid} has only r{subject.number}, so there is nothing before it to compare with: "
            f"litstock show {subject.rid} tells what it says"
        )
    before = version_of(registry, subject, earlier[-1].seq, earlier[-1].label)
    return before, version_of(registry, subject, subject.seq, "newest landed")


def _case(registry: Registry, which: Version) -> dict[str, dict[str, Any]]:
    return case_of(registry, which.document) if which.kind == "print-mode" else {}


def _same_form(before: Version, after: Version) -> bool:
    """Whether two landed files are the same; a draft's own bytes are not at hand to tell."""
    if before.revision is None or after.revision is None:
        return True
    return before.revision.blob == after.revision.blob


def _reason(which: Version) -> str:
    return str(which.document.get("reason", ""))
