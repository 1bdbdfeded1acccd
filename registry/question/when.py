"""`RECORD@WHEN`: a record as it was at a landed revision, on a day, at a commit, or in force at a site."""

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from registry.errors import RegistryError, RequestError
from registry.index.readmodel import Landed, Revision, Subject, Written
from registry.model.shape import shape_of
from registry.question.drafts import File, draft_of
from registry.question.inforce import InForce, in_force
from registry.question.names import named, once_named
from registry.question.registry import NotThen, Registry
from registry.question.revisions import (
    Known,
    digest_of,
    landed_on,
    numbered,
    with_settings,
)
from registry.question.withdrawal import withdrawn_words

__all__ = [
    "NotThen",
    "Version",
    "moment",
    "newest_version",
    "numbered_version",
    "offered_version",
    "version",
    "version_at",
    "version_of",
    "version_used",
    "withdrawal_words",
]

_DIGEST = r"[0-9a-f]{12,64}"
_MOMENT = r"([0-9]{4}-[0-9]{2}-[0-9]{2})([T ].+)?"
FORMS = "@r7, @DIGEST12, @2026-03-01, @git:REVISION, @site:ID, @site:ID:2026-03-01 or @draft"


@dataclass(frozen=True, slots=True)
class Version:
    """One record as it was at some time."""

    kind: str
    rid: str
    path: str
    document: dict[str, Any]
    digest: str
    """Of its settings."""
    seq: int
    """Its place among what has landed of the record; of a draft, of the revision that it is on (0: none)."""
    number: int
    """The number that its file gives; of a draft, that of the landed revision that it is on (0: on none)."""
    draft: bool
    landed: Landed | None
    """The landing that brought it; None for a draft."""
    asked: str
    """How it was asked for, in words."""
    evidence: InForce | None = None
    """What shows that it was in force, where a site was asked for."""
    on_trial: int | None = None
    """Number of a newer revision that is on trial, where the last known-good one is given instead."""
    standing: str = "current"
    revision: Known | None = None
    """The revision itself; None for a draft."""

    @property
    def beside(self) -> bool:
        """Whether it only came in with a landing, which holds something else."""
        return isinstance(self.revision, Written)

    @property
    def label(self) -> str:
        """How it is called: `r5`, or `draft, on r5`."""
        if not self.draft:
            return f"r{self.number}"
        return f"draft, on r{self.number}" if self.seq else "draft, not landed yet"


def withdrawal_words(rid: str, document: dict[str, Any]) -> str:
    """Return since when a record is withdrawn, why, and what to use instead; empty where it is not.

    >>> withdrawal_words("a/b", {"withdrawn": {"date": "2026-01-02", "reason": "old.", "instead": "a/c"}})
    'a/b is withdrawn since 2026-01-02: old; use a/c instead'
    """
    gone = document.get("withdrawn")
    return f"{rid} is {withdrawn_words(gone)}" if gone else ""


def version(registry: Registry, text: str, kinds: Sequence[str] = (), *, offered: bool = False) -> Version:
    """Return the version that `RECORD[@WHEN]` means.

    Without WHEN it is the newest landed one; with `offered`, of a print mode whose newest revision is on
    trial, the last known-good one.
    """
    name, at, when = text.partition("@")
    if when == "draft":
        return _draft(registry, name, kinds)
    if at:
        return replace(_at(registry, once_named(registry, name, kinds), when), asked=f"@{when}")
    subject = named(registry, name, kinds)
    return offered_version(registry, subject) if offered else newest_version(registry, subject)


def newest_version(registry: Registry, subject: Subject) -> Version:
    """Return the newest landed revision of a record."""
    return replace(_landed(registry, subject, subject.seq, "newest landed"), standing=subject.standing)


def offered_version(registry: Registry, subject: Subject) -> Version:
    """Return the revision to work with: the last known-good one while the newest is on trial."""
    earlier = registry.model.last_known_good(subject)
    if earlier is None:
        return newest_version(registry, subject)
    found = _landed(registry, earlier, earlier.seq, "last known-good")
    return replace(found, on_trial=subject.number, standing=earlier.standing)


def version_used(registry: Registry, evidence: InForce, asked: str) -> Version:
    """Return the revision that was in force."""
    assert evidence.revision is not None  # noqa: S101 (only tests make evidence of none)
    return version_at(registry, evidence.revision, asked)


def version_of(registry: Registry, subject: Subject, seq: int, asked: str) -> Version:
    """Return one landed revision of a record by its place among them."""
    return _landed(registry, subject, seq, asked)


def moment(registry: Registry, text: str) -> float:
    """Return epoch seconds of a date (its last second on the registry's clock) or of a date with time."""
    form = re.fullmatch(_MOMENT, text)
    try:
        if form and not form[2]:
            return registry.end_of(datetime.date.fromisoformat(text))
        when = datetime.datetime.fromisoformat(text) if form else None
    except ValueError:  # no such day, no such hour
        when = None
    if when is None:
        raise RequestError(f"{text!r} is no time: write 2026-03-01 or 2026-03-01T14:30")
    return (when if when.tzinfo else when.replace(tzinfo=registry.zone)).timestamp()


def _at(registry: Registry, subject: Subject, when: str) -> Version:
    if match := re.fullmatch(r"r([0-9]{1,6})", when):
        return numbered_version(registry, subject, int(match[1]))
    if re.fullmatch(_DIGEST, when):
        return version_at(registry, with_settings(registry, subject, when), f"settings {when}")
    if re.fullmatch(_MOMENT, when):
        return _as_landed_by(registry, subject, when)
    word, _, rest = when.partition(":")
    if word == "git" and rest:
        return _at_commit(registry, subject, rest)
    if word == "site" and rest:
        where, _, day = rest.partition(":")
        return _in_force(registry, subject, where, day)
    raise RequestError(f"@{when} is no time: write {FORMS}")


def _landed(registry: Registry, subject: Subject, seq: int, asked: str) -> Version:
    revisions = registry.model.revisions(subject.path)
    return version_at(registry, next(each for each in revisions if each.seq == seq), asked)


def numbered_version(registry: Registry, subject: Subject, number: int) -> Version:
    """Return the revision whose file gives a number; where files with other settings do, each is named."""
    return version_at(registry, numbered(registry, subject, number), f"r{number}")


def version_at(registry: Registry, revision: Known, asked: str) -> Version:
    if revision.status == "D":
        removed = landed_on(registry, revision)
        raise NotThen(f"{revision.rid} was removed on {removed}: ask for an earlier revision")
    if revision.fault:
        raise RegistryError(
            f"{revision.path}, as it landed on {landed_on(registry, revision)}, {revision.fault}: "
            "litstock check says more"
        )
    document = registry.document(revision.blob)
    return Version(
        revision.kind,
        revision.rid,
        revision.path,
        document,
        digest_of(registry, revision),
        revision.seq,
        revision.revision or 0,
        draft=False,
        landed=registry.model.landing(revision.n),
        asked=asked,
        standing=registry.model.standing(revision),
        revision=revision,
    )


def _as_landed_by(registry: Registry, subject: Subject, when: str) -> Version:
    until = moment(registry, when)
    registry.require_known(until)
    last = registry.model.last_landing(until)
    revisions = registry.model.revisions(subject.path)
    found = [revision for revision in revisions if last and revision.n <= last.n]
    if not found:
        registry.require_known(float("-inf"))  # where a clone is cut off, it may have been there before
        first = revisions[0]
        raise NotThen(
            f"{subject.rid} had not landed by {when}: {first.label} landed on {landed_on(registry, first)}"
        )
    return version_at(registry, found[-1], when)


def _at_commit(registry: Registry, subject: Subject, rev: str) -> Version:
    commit = registry.repository.resolve(rev)
    entry = registry.repository.tree(commit, subject.path).get(subject.path)
    if entry is None:
        raise NotThen(f"{subject.rid} is not in commit {commit[:12]}")
    if not entry.mode.startswith("100"):
        raise RegistryError(f"{subject.path} in commit {commit[:12]} is no file, and only files are records")
    landing = registry.model.landing_of(commit)
    revisions = registry.model.revisions(subject.path)
    same = [each for each in revisions if each.blob == entry.blob and (not landing or each.n <= landing.n)]
    if same:
        return version_at(registry, same[-1], f"git:{rev}")
    data = registry.repository.blob(entry.blob)
    file = File(subject.path, subject.kind, subject.rid, data, f"{subject.path} in commit {commit[:12]}")
    return _unlanded(registry, file, f"git:{rev}")


def _in_force(registry: Registry, subject: Subject, where: str, day: str) -> Version:
    if subject.kind != "print-mode":
        raise RequestError(f"only a print mode is in force at a site, not the {subject.kind} {subject.rid}")
    until = moment(registry, day) if day else float("inf")
    evidence = in_force(registry, subject, where, until)
    return replace(version_used(registry, evidence, f"site:{where}"), evidence=evidence)


def _draft(registry: Registry, name: str, kinds: Sequence[str]) -> Version:
    """Return a record as it lies in the working tree, landed or not."""
    return _unlanded(registry, draft_of(registry, name, kinds), "@draft")


def _unlanded(registry: Registry, file: File, asked: str) -> Version:
    """Return what a file holds: a landed revision where one says just the same, else a draft."""
    document = file.document()
    revisions = registry.model.revisions(file.path) if registry.commit else []
    readable = [each for each in revisions if each.status != "D" and not each.fault]
    number = document.get("revision", 1)
    for each in reversed(readable):
        if each.revision == number and registry.document(each.blob) == document:
            return version_at(registry, each, asked)
    below = [each for each in readable if _is_below(document, each)] or readable
    return Version(
        file.kind,
        file.rid,
        file.path,
        document,
        shape_of(file.kind).digest(document),
        below[-1].seq if below else 0,
        (below[-1].revision or 0) if below else 0,
        draft=True,
        landed=None,
        asked=asked,
    )


def _is_below(document: dict[str, Any], landed: Revision) -> bool:
    """Whether a draft may be on a revision: one before its number, or the one whose reason it still gives."""
    number = document.get("revision", 1)
    if (landed.revision or 0) > number:
        return False
    signed = (document.get("reason"), document.get("recorded"))
    same = (landed.reason, {"date": landed.recorded, "site": landed.recorded_site})
    return (landed.revision or 0) < number or signed == same
