"""All that happened to a site, a unit, a display, a lot or any record, on one axis of time."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from registry.change.history import Step, history
from registry.index.readmodel import Subject
from registry.model.shape import shape_of
from registry.question.dates import span
from registry.question.names import UnknownRecord, once_named
from registry.question.registry import Registry

__all__ = ["Entry", "Timeline", "What", "alike", "event_words", "happened_to", "timeline"]

What = Literal["recorded", "landed", "in force", "run", "event", "confirmation", "complaint"]

_WHEN = {"event": "at", "run": "printed", "confirmation": "date", "complaint": "received"}
"""By kind: the member that says when it happened."""
_SAID = {"lamp-some-replaced": "some lamps replaced", "lamp-all-replaced": "all lamps replaced"}
_DAY_S = 24 * 60 * 60


@dataclass(frozen=True, slots=True)
class Entry:
    """Something at a time."""

    at: float
    """Epoch seconds; of a day without a time, its first second."""
    until: float
    """The last second that may be meant; as `at` where a time is known."""
    what: What
    kind: str
    """Of the record that says so."""
    record: str
    revision: str
    """What the revision is called that was recorded, landed, run, adopted or judged; empty where none was."""
    mode: str
    """The print mode that was run, adopted, judged or complained of."""
    where: str
    """The unit, else the display, else the site that it is about; empty where it is about none."""
    words: str
    """What happened, in short."""
    more: str
    """What else was written of it; empty where nothing was."""
    landed: float
    """When its record reached the shared branch."""

    @property
    def is_day(self) -> bool:
        """Whether only a day is known."""
        return self.until > self.at

    @property
    def late(self) -> bool:
        """Whether its record landed a day or more after it happened."""
        return self.what not in {"recorded", "landed"} and self.landed > self.until + _DAY_S


@dataclass(frozen=True, slots=True)
class Timeline:
    """What happened to one subject, the earliest first."""

    kind: str
    """A record kind, or `lot`."""
    rid: str
    title: str
    entries: tuple[Entry, ...]
    known_since: int | None
    """Epoch seconds before which this clone knows nothing; None where all is known."""
    commit: str


def event_words(kind: str) -> str:
    """Return a kind of event as people say it.

    >>> event_words("lamp-all-replaced"), event_words("head-replaced")
    ('all lamps replaced', 'head replaced')
    """
    return _SAID.get(kind, kind.replace("-", " "))


def alike(lot: str) -> str:
    """Return a lot's name as it is compared: without case, spaces and hyphens.

    >>> alike("LF-2041 a") == alike("lf 2041A")
    True
    """
    return re.sub(r"[\W_]+", "", lot).casefold()


def timeline(registry: Registry, name: str) -> Timeline:
    """Return what happened to what a name means: a record, else a lot.

    Raises
    ------
    UnknownRecord
        Nothing on record is called so.
    """
    try:
        subject = once_named(registry, name)
    except UnknownRecord:
        if not (found := list(_of_lot(registry, name))):
            raise
        return _told(registry, "lot", name, name, _entries(registry, found))
    entries = [*_entries(registry, _happenings(registry, subject)), *_revisions(registry, subject)]
    return _told(registry, subject.kind, subject.rid, subject.title, entries)


def happened_to(registry: Registry, subject: Subject) -> tuple[Entry, ...]:
    """Return what happened to a unit or a display, the earliest first; of another kind of record nothing."""
    if subject.kind not in {"unit", "display"}:
        return ()
    return tuple(sorted(_entries(registry, _happenings(registry, subject)), key=_in_order))


def _happenings(registry: Registry, subject: Subject) -> list[Subject]:
    """Return what was written of a record: runs, events, confirmations and complaints that name it.

    What happened at a site as a whole, to its air or its instruments, happened to its units and displays.
    """
    found: dict[str, Subject] = {}
    for kind in _WHEN:
        for path, setting in shape_of(kind).settings.items():
            if setting.refers == subject.kind and not path.startswith("recorded."):
                found |= {each.rid: each for each in registry.model.holding(kind, {path: subject.rid})}
    if subject.kind in {"unit", "display"}:
        at_site = registry.model.holding("event", {"site": subject.rid.partition("/")[0]})
        documents = registry.documents(each.blob for each in at_site)
        narrower = {"unit", "display", "lot"}
        found |= {each.rid: each for each in at_site if not narrower & documents[each.blob].keys()}
    return list(found.values())


def _told(registry: Registry, kind: str, rid: str, title: str, entries: Iterable[Entry]) -> Timeline:
    ordered = tuple(sorted(entries, key=_in_order))
    return Timeline(kind, rid, title, ordered, registry.known_since, registry.commit)


def _in_order(entry: Entry) -> tuple[float, float, str, str]:
    return entry.at, entry.until, entry.record, entry.what


def _of_lot(registry: Registry, name: str) -> Iterator[Subject]:
    """Yield the runs that used a lot, and the events that name it."""
    lots = [path for path, setting in shape_of("run").settings.items() if setting.scope == "roll"]
    for kind, path in (*(("run", lot) for lot in lots), ("event", "lot")):
        held = {value.txt for values in registry.model.values(path, kind).values() for value in values}
        for text in sorted(each for each in held if alike(each) == alike(name)):
            yield from registry.model.holding(kind, {path: text})


def _entries(registry: Registry, subjects: Iterable[Subject]) -> Iterator[Entry]:
    subjects = {subject.rid: subject for subject in subjects}.values()
    documents = registry.documents(subject.blob for subject in subjects)
    for subject in subjects:
        document = documents[subject.blob]
        when = span(registry, document.get(_WHEN[subject.kind]))
        if when is None:
            continue
        adopted = subject.kind == "event" and document.get("kind") == "adopted"
        number = document.get("mode_revision")
        words, more = _words(subject.kind, document)
        yield Entry(
            *when,
            what="in force" if adopted else subject.kind,  # type: ignore[arg-type]  # the kinds of _WHEN
            kind=subject.kind,
            record=subject.rid,
            revision=f"r{number}" if number else "",
            mode=str(document.get("mode", "")),
            where=str(document.get("unit") or document.get("display") or document.get("site", "")),
            words=words,
            more=more,
            landed=registry.model.landing(registry.model.revisions(subject.path)[0].n).landed,
        )


def _words(kind: str, document: Mapping[str, Any]) -> tuple[str, str]:
    """Return what happened in short, and what else was written of it."""
    more = [str(document.get("note", ""))]
    if kind == "run":
        short = f"job {document.get('job')}"
    elif kind == "confirmation":
        short = str(document.get("outcome"))
    elif kind == "complaint":
        short = str(document.get("defect"))
        more = [f"job {document['job']}" if "job" in document else "", str(document.get("what", ""))]
    else:
        short = event_words(str(document.get("kind")))
        short += f", lot {document['lot']}" if "lot" in document else ""
        more = [" → ".join(str(document[each]) for each in ("before", "after") if each in document)]
        more.append(str(document.get("what", "")))
    if "withdrawn" in document:
        more.append("withdrawn")
    return short, "; ".join(filter(None, more))


def _revisions(registry: Registry, subject: Subject) -> Iterator[Entry]:
    """Yield when each revision of a record was recorded and landed; of a site also those of what is there."""
    subjects = [subject]
    if subject.kind == "site":
        for kind in ("unit", "display"):
            subjects += registry.model.holding(kind, {"site": subject.rid})
    for each in subjects:
        for step in history(registry, each.rid).steps:
            yield from _of_step(registry, each, step)


def _of_step(registry: Registry, subject: Subject, step: Step) -> Iterator[Entry]:
    revision = step.revision
    landed = step.landed.landed
    reason = "removed" if step.removed else revision.fault or revision.reason or "no reason on record"
    here = Entry(
        landed,
        landed,
        what="landed",
        kind=subject.kind,
        record=subject.rid,
        revision=revision.label,
        mode=subject.rid if subject.kind == "print-mode" else "",
        where=subject.rid if subject.kind in {"site", "unit", "display"} else "",
        words=f"{revision.label}, merged away" if step.merged_away else revision.label,
        more=reason,
        landed=landed,
    )
    recorded = span(registry, revision.recorded)
    if recorded and not recorded[0] <= landed <= recorded[1]:
        yield replace(here, at=recorded[0], until=recorded[1], what="recorded")
    yield here
