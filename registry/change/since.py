"""What changed over the whole registry since a time, with identical edits of several records told once."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from registry.change.compare import BOOKKEEPING, SettingChange, compare
from registry.errors import RequestError
from registry.index.readmodel import Landed, Revision
from registry.model.kinds import KINDS
from registry.model.shape import shape_of
from registry.question.registry import Registry
from registry.question.when import moment

__all__ = ["Edit", "Named", "Since", "changed_since"]


@dataclass(frozen=True, slots=True)
class Edit:
    """One edit, and the records that it was made in."""

    kind: str
    change: SettingChange
    records: tuple[str, ...]
    """Their ids."""


class Named(NamedTuple):
    """One record, and what there is to say of it."""

    kind: str
    rid: str
    title: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Since:
    """What landed after a moment, up to `commit`."""

    asked: str
    base: Landed | None
    """The landing compared with; None where nothing had landed by then."""
    commit: str
    edits: tuple[Edit, ...]
    new: tuple[Named, ...]
    withdrawn: tuple[Named, ...]
    removed: tuple[Named, ...]
    unreadable: tuple[Named, ...]
    """Records that changed and that cannot be compared, with the reason."""
    happened: Mapping[str, int]
    """How many records of each kind that is written once, and attachments, were added or changed."""

    @property
    def nothing(self) -> bool:
        """Whether nothing landed that says anything new."""
        parts = (self.edits, self.new, self.withdrawn, self.removed, self.unreadable, self.happened)
        return not any(parts)


class _Pair(NamedTuple):
    """One file as it was and as it is."""

    before: Revision | None
    after: Revision


_Compared = tuple[Revision, Revision]
"""A record as it was and as it is, both there and readable."""


def changed_since(registry: Registry, when: str) -> Since:
    """Return what changed in the whole registry since `when`: a day, a time, or git:REVISION."""
    base = _base(registry, when)
    last = registry.model.last_landing()
    since = registry.model.revisions_between(base.n if base else 0, last.n if last else 0)
    paths = list(dict.fromkeys(revision.path for revision in since))
    before = registry.model.revisions_at(paths, base.n if base else 0)
    after = registry.model.revisions_at(paths)
    pairs = [
        _Pair(_there(before.get(path)), after[path])
        for path in paths
        if _blob(before.get(path)) != _blob(after[path])
    ]
    told = [pair for pair in pairs if _is_revised(pair.after.kind)]
    compared = [
        (pair.before, pair.after) for pair in told if pair.before and _there(pair.after) and not _fault(pair)
    ]
    documents = _documents(registry, told)
    return Since(
        asked=when,
        base=base,
        commit=registry.commit,
        edits=tuple(_edits(compared, documents)),
        new=_named(documents, [pair for pair in told if not pair.before and _there(pair.after)]),
        withdrawn=tuple(_withdrawn(compared, documents)),
        removed=tuple(
            Named(pair.after.kind, pair.after.rid, pair.after.rid)
            for pair in told
            if pair.before and pair.after.status == "D"
        ),
        unreadable=tuple(
            Named(pair.after.kind or "file", pair.after.rid, pair.after.rid, _fault(pair))
            for pair in pairs
            if _fault(pair)
        ),
        happened=Counter(
            pair.after.kind
            for pair in pairs
            if pair.after.kind and not _is_revised(pair.after.kind) and _there(pair.after)
        ),
    )


def _base(registry: Registry, when: str) -> Landed | None:
    word, _, rev = when.partition(":")
    if word == "git" and rev:
        landing = registry.model.landing_of(registry.repository.resolve(rev))
        if landing is None:
            raise RequestError(f"{rev!r} is no step of the shared branch: name a landing, or a day")
        return landing
    until = moment(registry, when)
    registry.require_known(until)
    return registry.model.last_landing(until)


def _is_revised(kind: str) -> bool:
    return kind in KINDS and not KINDS[kind].once


def _there(revision: Revision | None) -> Revision | None:
    return None if revision is None or revision.status == "D" else revision


def _blob(revision: Revision | None) -> str:
    return "" if revision is None or revision.status == "D" else revision.blob or revision.fault or ""


def _fault(pair: _Pair) -> str:
    """Return why the two cannot be compared; empty where they can."""
    if pair.after.fault:
        return pair.after.fault
    if pair.before and pair.before.fault and _there(pair.after):
        return f"could not be read before ({pair.before.fault})"
    return ""


def _documents(registry: Registry, pairs: Iterable[_Pair]) -> dict[str, dict[str, Any]]:
    revisions = (each for pair in pairs for each in pair if each is not None)
    return registry.documents(each.blob for each in revisions if each.status != "D" and not each.fault)


def _edits(pairs: list[_Compared], documents: Mapping[str, dict[str, Any]]) -> list[Edit]:
    grouped: dict[tuple[str, ...], tuple[str, SettingChange, list[str]]] = {}
    for before, after in pairs:
        for change in compare(shape_of(after.kind), documents[before.blob], documents[after.blob]):
            if change.path not in BOOKKEEPING:
                key = (after.kind, change.path, repr(change.before), repr(change.after))
                grouped.setdefault(key, (after.kind, change, []))[2].append(after.rid)
    edits = [Edit(kind, change, tuple(sorted(records))) for kind, change, records in grouped.values()]
    return sorted(edits, key=_model_order)


def _model_order(edit: Edit) -> tuple[int, int, str, tuple[str, ...]]:
    settings = list(shape_of(edit.kind).settings)
    place = settings.index(edit.change.setting) if edit.change.setting in settings else len(settings)
    return list(KINDS).index(edit.kind), place, edit.change.path, edit.records


def _named(documents: Mapping[str, dict[str, Any]], pairs: list[_Pair]) -> tuple[Named, ...]:
    return tuple(
        Named(
            after.kind,
            after.rid,
            str(documents[after.blob].get("title", after.rid)),
            after.standing if after.standing != "current" and after.standing else "",
        )
        for _, after in sorted(pairs, key=lambda pair: _kind_order(pair.after))
        if after.blob in documents
    )


def _kind_order(revision: Revision) -> tuple[int, str]:
    return list(KINDS).index(revision.kind), revision.rid


def _withdrawn(pairs: list[_Compared], documents: Mapping[str, dict[str, Any]]) -> Iterator[Named]:
    for before, after in sorted(pairs, key=lambda pair: _kind_order(pair[1])):
        if after.standing == "withdrawn" != before.standing:
            document = documents[after.blob]
            withdrawal = document.get("withdrawn", {})
            instead = f"; use {withdrawal['instead']} instead" if "instead" in withdrawal else ""
            words = f"{withdrawal.get('reason', 'no reason on record')}{instead}"
            yield Named(after.kind, after.rid, str(document.get("title", after.rid)), words)
