"""`litstock history` in words: each revision, what changed, when, who, why."""

from collections.abc import Iterable, Iterator, Sequence

from registry.change.compare import SettingChange
from registry.change.history import History, Step
from registry.change.timeline import Entry
from registry.cli.history_timeline import entry_row
from registry.cli.page import aligned, is_told_by_heading, one_line_each, wrapped
from registry.cli.wording import (
    after_words,
    before_words,
    change_words,
    clock,
    counted,
    draft_words,
    kind_words,
    landed_words,
    standing_words,
)
from registry.index.readmodel import Written
from registry.question.registry import Registry

__all__ = ["foot", "heading", "history_text"]

_NAMED = 6
"""So many changes are named in a summary; the rest is counted."""
_LAST = 8
"""So many of what happened are told; the rest is counted."""


def heading(registry: Registry, answer: History) -> Iterator[str]:
    """Yield what the record is, and from when on it is known here."""
    subject = answer.subject
    yield wrapped(f"{subject.rid} ({kind_words(subject.kind)}): {subject.title}", then="  ")
    if answer.known_since is not None:
        since = f"{registry.time(answer.known_since):%Y-%m-%d}"
        yield wrapped(
            f"This clone is cut off: before {since} nothing is known. git fetch --unshallow mends that."
        )


def foot(answer: History) -> str:
    """Return what the answer rests on."""
    return wrapped(
        f"answered from commit {answer.commit[:12]}; landed times are by the committer's clock", then="  "
    )


def history_text(registry: Registry, answer: History, happened: Sequence[Entry], units: str) -> Iterator[str]:
    """Yield every revision as a person reads it, and the last that happened to a unit or a display."""
    yield from heading(registry, answer)
    if answer.field:
        yield from _field(registry, answer, units)
    else:
        for step in answer.steps:
            yield ""
            yield from _step(registry, answer, step, units)
    if happened and not answer.field:
        yield ""
        yield "happened"
        rows = [entry_row(registry, each, answer.subject.rid) for each in happened[-_LAST:]]
        yield from one_line_each([(when, what, words) for when, what, _, words in rows], "  ")
        if len(happened) > _LAST:
            more = counted(len(happened) - _LAST, "earlier one")
            yield wrapped(f"and {more}: litstock history {answer.subject.rid} --timeline", "  ", "    ")
    if answer.draft:
        yield ""
        yield wrapped(f"Not landed: {draft_words(answer.draft)}", then="  ")
    yield ""
    yield foot(answer)


def _field(registry: Registry, answer: History, units: str) -> Iterator[str]:
    if not answer.steps:
        yield ""
        yield f"No revision changed {answer.field}: it is unknown in all of them."
    for step in answer.steps:
        yield ""
        yield from _labelled(_head(registry, step))
        told = [each for each in step.changes if not is_told_by_heading(each)] or step.changes
        yield from aligned([_value(step, each, units) for each in told], "    ")


def _value(step: Step, change: SettingChange, units: str) -> tuple[str, str, str]:
    if step.first:
        return change.label, after_words(change, units), ""
    values = f"{before_words(change, units)} → {after_words(change, units)}"
    return change.label, values, change_words(change, units)


def _head(registry: Registry, step: Step) -> Iterator[tuple[str, str]]:
    revision = step.revision
    standing = standing_words(revision.standing or "")
    standing = f"{standing}; " if standing not in {"", "current"} else ""
    yield revision.label, f"{standing}landed {landed_words(registry, step.landed, revision.recorded)}"
    yield "", revision.reason or "no reason on record"


def _written(registry: Registry, step: Step) -> str:
    """Return when a revision was written, by its own commit, and by whom where it came along."""
    when = clock(registry, step.committed)
    if isinstance(step.revision, Written):
        return f"{when} by {step.revision.author} (commit {step.revision.commit_id[:12]})"
    return when


def _step(registry: Registry, answer: History, step: Step, units: str) -> Iterator[str]:
    revision = step.revision
    standing = standing_words(revision.standing or "")
    notes = [
        standing if standing not in {"", "current"} else "",
        "merged away" if step.merged_away else "replaced before it landed" if step.beside else "",
    ]
    yield "  ".join(filter(None, [revision.label, *notes]))
    landing = landed_words(registry, step.landed, revision.recorded)
    if revision.recorded:
        yield from _labelled([("recorded", f"{revision.recorded} at {revision.recorded_site}")])
    if step.beside or registry.time(step.committed).date() != registry.time(step.landed.landed).date():
        yield from _labelled([("written", _written(registry, step))])
    arrived = "came with" if step.beside else "landed"
    yield from _labelled([(arrived, f"{landing} (commit {step.landed.commit[:12]})")])
    if answer.subject.kind == "print-mode" and not step.removed:
        yield from _labelled([("in force", _in_force(registry, step))])
    if revision.reason:
        yield from _labelled([("why", revision.reason)])
    changed = list(_summary(answer, step, units))
    yield from _labelled(zip(("changed", *[""] * len(changed)), changed, strict=False))


def _labelled(lines: Iterable[tuple[str, str]]) -> Iterator[str]:
    for label, text in lines:
        yield wrapped(f"{label:<10}{text}", "  ", " " * 12)


def _in_force(registry: Registry, step: Step) -> str:
    by_unit: dict[str, list[str]] = {}
    for use in step.in_force:
        word = "first run" if use.how == "run" else "adopted"
        by_unit.setdefault(use.unit, []).append(f"{word} {clock(registry, use.at)}")
    told = [f"{unit} ({', '.join(words)})" for unit, words in by_unit.items()]
    return "; ".join(told) or "no run and no adoption on record names it"


def _summary(answer: History, step: Step, units: str) -> Iterator[str]:
    """Yield what a revision changed in a few words: direct effects on colour with their values."""
    if step.removed:
        yield "removed: this landing took the file away"
    elif step.revision.fault:
        yield f"nothing can be told: the file {step.revision.fault}"
    elif not step.first:
        yield from _changes(step, units)
    elif answer.known_since is None:
        yield f"first entry, {counted(len(step.settings), 'setting')}"
    else:
        settings = counted(len(step.settings), "setting")
        yield f"as it stood where this clone is cut off, {settings}; what changed before is not known"


def _changes(step: Step, units: str) -> Iterator[str]:
    direct = [change for change in step.settings if change.effect == "direct"]
    others = [change.label for change in step.settings if change.effect != "direct"]
    aside = list(dict.fromkeys(_aside(change, units) for change in step.changes if change.aside))
    yield counted(len(step.settings), "setting")
    if direct:
        yield f"direct effect on colour: {_some([_valued(change, units) for change in direct])}"
    if others:
        yield f"{'also' if direct else 'no direct effect on colour'}: {_some(others)}"
    if aside:
        yield f"beside the settings: {_some(aside)}"


def _valued(change: SettingChange, units: str) -> str:
    return f"{change.label}: {before_words(change, units)} → {after_words(change, units)}"


def _aside(change: SettingChange, units: str) -> str:
    return (
        _valued(change, units)
        if change.path == "status"
        else change.group
        if "*" in change.setting
        else change.label
    )


def _some(words: list[str]) -> str:
    more = len(words) - _NAMED
    return "; ".join(words[:_NAMED]) + (f" and {more} more" if more > 0 else "")
