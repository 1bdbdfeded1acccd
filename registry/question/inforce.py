"""What was in force: runs prove it, else adoptions, else what had landed, said as an assumption."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from registry.index.readmodel import Revision, Subject, Written
from registry.question.dates import early
from registry.question.names import once_named
from registry.question.registry import NotThen, Registry
from registry.question.revisions import Known, came_words, known, named_by, readable
from registry.question.whereabouts import whereabouts

__all__ = ["InForce", "Use", "in_force", "uses"]


@dataclass(frozen=True, slots=True)
class InForce:
    """Which revision of a mode a unit or a site was using, and how that is known."""

    seq: int
    """Its place among the mode's landed revisions."""
    number: int
    """The number that its file gives."""
    how: str
    """`run` (proves it), `adopted` (said so), or `landed` (assumed)."""
    since: float
    """Epoch seconds of the run, the adoption, or the landing."""
    record: str
    """Id of the run or event; empty where it is assumed."""
    words: str
    mismatch: str = ""
    """What does not agree between the evidence and what has landed."""
    revision: Known | None = None
    """The revision itself."""


class Use(NamedTuple):
    """A unit that has run or adopted a mode, and what it used last."""

    mode: Subject
    unit: str
    evidence: InForce


def uses(registry: Registry, member: str, rid: str) -> Iterator[Use]:
    """Yield what each unit used last: of all modes of a unit, or of a mode on all units."""
    happened = [
        *registry.model.holding("run", {member: rid}),
        *registry.model.holding("event", {member: rid, "kind": "adopted"}),
    ]
    documents = registry.documents(subject.blob for subject in happened)
    pairs = {(str(each.get("mode")), str(each.get("unit"))) for each in documents.values()}
    for named, unit in sorted(pairs):
        for mode in registry.model.named(named, "print-mode"):
            yield Use(mode, unit, in_force(registry, mode, unit, float("inf")))


def in_force(registry: Registry, mode: Subject, where: str, until: float) -> InForce:
    """Return what was in force for a mode at a site or unit (`site/unit`) at a moment (epoch seconds)."""
    kind = "unit" if "/" in where else "site"
    where = once_named(registry, where, (kind,)).rid
    newest: tuple[tuple[float, int, int, str], Subject] | None = None
    for rank, happened, time in ((1, "run", "printed"), (0, "event", "at")):
        wanted = {"mode": mode.rid, kind: where} | ({} if rank else {"kind": "adopted"})
        subjects = registry.model.holding(happened, wanted)
        times = registry.model.values(time, happened) if subjects else {}
        for subject in subjects:
            at = times[subject.id][0].num if subject.id in times else None
            if at is None or at > until:
                continue
            # Of two at the same moment the later record counts, whose name ends in a higher number: that is
            # how a mistyped one is put right.
            order = (at, rank, len(subject.rid), subject.rid)
            if newest is None or order > newest[0]:
                newest = (order, subject)
    if newest is None:
        return _assumed(registry, mode, where, until)
    (at, rank, *_), subject = newest
    return _evident(registry, mode, subject, at, "run" if rank else "adopted")


def _evident(registry: Registry, mode: Subject, subject: Subject, at: float, how: str) -> InForce:
    document = registry.document(subject.blob)
    digest, number = document.get("settings_digest"), document.get("mode_revision")
    revisions = readable(known(registry.model, mode.path))
    if not revisions:
        raise NotThen(f"{subject.rid} used {mode.rid}, of which no revision can be read")
    day = f"{registry.time(at):%Y-%m-%d %H:%M}"
    words = f"a run on {day} proves it" if how == "run" else f"adopted on {day}"
    if found := named_by(revisions, digest, number):
        other = f"{subject.rid} names r{number}, its settings are those of {found.label}"
        came = f"{found.label} was {came_words(registry, found)}" if isinstance(found, Written) else ""
        mismatch = "; ".join(filter(None, (other if found.revision != number else "", came)))
    else:
        line = [each for each in revisions if isinstance(each, Revision)] or revisions
        found = ([each for each in line if each.revision == number] or line)[-1]
        where = whereabouts(registry, mode.path, str(digest))
        mismatch = f"{subject.rid} names settings {str(digest)[:12]}"
        mismatch += f": {where}" if where else " that never landed"
    return InForce(*_which(found), how, at, subject.rid, words, mismatch, found)


def _assumed(registry: Registry, mode: Subject, where: str, until: float) -> InForce:
    registry.require_known(until)
    last = registry.model.last_landing(None if until == float("inf") else until)
    landed = [each for each in readable(registry.model.revisions(mode.path)) if last and each.n <= last.n]
    if not landed:
        registry.require_known(float("-inf"))  # where a clone is cut off, it may have been there before
        raise NotThen(f"{mode.rid} had not landed by then, so it was not in force at {where}")
    known_good = [each for each in landed if each.standing == "known-good"]
    chosen = (known_good or landed)[-1]
    at = registry.model.landing(chosen.n).landed
    odd = early(registry, at, chosen.recorded)
    odd = f", but its landing is {odd}" if odd else ""
    words = f"assumed: {chosen.label} had landed by then{odd}; no run or adoption at {where} says so"
    return InForce(*_which(chosen), "landed", at, "", words, revision=chosen)


def _which(revision: Known) -> tuple[int, int]:
    return revision.seq, revision.revision or 0
