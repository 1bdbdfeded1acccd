"""A record's revisions: what changed, when by each of the three clocks, who wrote it, and why."""

import difflib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from registry.change.compare import BOOKKEEPING, SettingChange, compare, matching
from registry.change.draft import DraftState, draft_state
from registry.derived import DERIVED
from registry.errors import RequestError
from registry.index.readmodel import Landed, Subject, Written
from registry.model.shape import Shape, shape_of
from registry.question.case import case_of
from registry.question.names import once_named
from registry.question.registry import Registry
from registry.question.revisions import Known, committed, known, merged_away, named_by, readable

__all__ = ["History", "InUse", "Step", "history"]


@dataclass(frozen=True, slots=True)
class InUse:
    """When one unit first adopted or first ran a revision: the third clock."""

    unit: str
    how: str
    """`run` (proves it) or `adopted` (said so)."""
    at: float
    record: str
    """Id of the run or event."""


@dataclass(frozen=True, slots=True)
class Step:
    """One landed revision, against the one before it that can be read."""

    revision: Known
    landed: Landed
    """The landing that brought it."""
    committed: int
    """When it was written, by its own commit's clock (epoch seconds)."""
    merged_away: bool
    """Whether the landing that brought it left it out; what else came beside was replaced before."""
    changes: tuple[SettingChange, ...]
    """In the model's order; the bookkeeping of revisions is left out."""
    first: bool
    """Whether there is nothing readable before it."""
    in_force: tuple[InUse, ...]
    """The first adoption and the first run of each unit, the earliest first."""

    @property
    def beside(self) -> bool:
        """Whether the landing that brought it holds something else."""
        return isinstance(self.revision, Written)

    @property
    def removed(self) -> bool:
        """Whether this landing took the file away."""
        return self.revision.status == "D"

    @property
    def settings(self) -> tuple[SettingChange, ...]:
        """The settings that changed, without what is computed or aside."""
        return tuple(change for change in self.changes if change.is_setting)


@dataclass(frozen=True, slots=True)
class History:
    """The revisions of one record, oldest first."""

    subject: Subject
    steps: tuple[Step, ...]
    field: str
    """What was asked for, if not everything."""
    known_since: int | None
    """Epoch seconds before which this clone knows nothing; None where all is known."""
    draft: DraftState | None
    commit: str


def history(registry: Registry, name: str, field: str = "") -> History:
    """Return a record's revisions; with `field` only those that changed it, with each value.

    A field is a setting's path (`heat.cure_c`), the beginning of one (`heat`), or a label.
    """
    subject = once_named(registry, name)
    steps = tuple(_steps(registry, subject))
    shape = shape_of(subject.kind)
    if field:
        _known(shape, field, steps)
        kept = (replace(step, changes=_matching(step, field)) for step in steps)
        steps = tuple(step for step in kept if step.changes)
    return History(
        subject, steps, field, registry.known_since, draft_state(registry, subject), registry.commit
    )


def _steps(registry: Registry, subject: Subject) -> Iterator[Step]:
    revisions = known(registry.model, subject.path)
    documents = registry.documents(each.blob for each in readable(revisions))
    in_use = _in_use(registry, subject, revisions) if subject.kind == "print-mode" else {}
    shape = shape_of(subject.kind)
    last: dict[str, Any] | None = None
    for revision in revisions:
        beside = isinstance(revision, Written)
        before = documents.get(revision.before, last) if isinstance(revision, Written) else last
        after = documents.get(revision.blob)
        yield Step(
            revision,
            registry.model.landing(revision.n),
            committed(registry.model, revision),
            merged_away(registry.model, revision),
            () if after is None else _changes(registry, shape, before, after),
            first=before is None,
            in_force=tuple(in_use.get(revision, ())),
        )
        last = last if after is None or beside else after


def _changes(
    registry: Registry, shape: Shape, before: dict[str, Any] | None, after: dict[str, Any]
) -> tuple[SettingChange, ...]:
    is_mode = shape.kind == "print-mode"
    changes = compare(
        shape,
        before or {},
        after,
        case_before=case_of(registry, before) if is_mode and before else {},
        case_after=case_of(registry, after) if is_mode else {},
    )
    return tuple(change for change in changes if change.path not in BOOKKEEPING)


def _in_use(registry: Registry, mode: Subject, revisions: Sequence[Known]) -> dict[Known, list[InUse]]:
    """Return for each revision the first adoption and the first run of it on each unit."""
    first: dict[tuple[Known, str, str], InUse] = {}
    for kind, how, time in (("event", "adopted", "at"), ("run", "run", "printed")):
        wanted = {"mode": mode.rid} | ({"kind": "adopted"} if kind == "event" else {})
        subjects = registry.model.holding(kind, wanted)
        times = registry.model.values(time, kind)
        documents = registry.documents(subject.blob for subject in subjects)
        for subject in subjects:
            document = documents[subject.blob]
            used = named_by(revisions, document.get("settings_digest"), document.get("mode_revision"))
            at = times[subject.id][0].num
            unit = str(document.get("unit") or document.get("site"))
            if used is None or at is None:
                continue
            earlier = first.get((used, unit, how))
            if earlier is None or at < earlier.at:
                first[used, unit, how] = InUse(unit, how, at, subject.rid)
    found: dict[Known, list[InUse]] = {}
    for (used, _, _), use in sorted(first.items(), key=lambda each: each[1].at):
        found.setdefault(used, []).append(use)
    return found


def _matching(step: Step, field: str) -> tuple[SettingChange, ...]:
    return tuple(change for change in step.changes if matching(change, field))


def _known(shape: Shape, field: str, steps: Sequence[Step]) -> None:
    """Refuse a field that no such record can have."""
    if any(_matching(step, field) for step in steps):
        return
    settings = shape.settings.values()
    computed = DERIVED if shape.kind == "print-mode" else ()
    words = [each.path for each in settings] + [each.path for each in computed]
    words += [path.rpartition(".")[0] for path in words if "." in path]
    words += [each.label for each in settings] + [each.group for each in settings if each.group]
    if shape.setting_at(field) is None and field.casefold() not in {word.casefold() for word in words}:
        near = difflib.get_close_matches(field, list(dict.fromkeys(words)), n=3)
        hint = f"did you mean {', '.join(near)}" if near else "litstock show names them"
        raise RequestError(f"the record kind {shape.kind} has no setting {field!r}: {hint}")
