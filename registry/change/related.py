"""What belongs to a record: a substrate's modes, a site's units, displays and confirmations, and so on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from registry.change.timeline import happened_to
from registry.index.readmodel import Subject
from registry.question.inforce import uses
from registry.question.registry import Registry
from registry.question.when import Version

__all__ = ["Related", "related"]

_LAST = 6
"""So many events are told; the timeline tells all."""


@dataclass(frozen=True, slots=True)
class Related:
    """A record that belongs to the one shown, as it is now."""

    heading: str
    kind: str
    rid: str
    title: str
    """Empty where the words say it all."""
    words: str
    """How it stands, in words."""


def related(registry: Registry, shown: Version) -> Iterator[Related]:
    """Yield what belongs to a record, under headings of its kind."""
    for heading, kind, member, words in _BELONGS.get(shown.kind, ()):
        for subject in registry.model.holding(kind, {member: shown.rid}):
            title = "" if kind == "confirmation" else subject.title
            yield Related(heading, kind, subject.rid, title, words(registry, subject))
    if shown.kind == "unit":
        yield from _in_use(registry, shown.rid)
    yield from _events(registry, shown)


def _mode(registry: Registry, mode: Subject) -> str:
    standing = f"r{mode.number}, {_standing(mode)}"
    earlier = registry.model.last_known_good(mode)
    return f"{standing}; r{earlier.number} is the last known-good one" if earlier else standing


def _standing(subject: Subject) -> str:
    return "on trial" if subject.standing == "trial" else subject.standing


def _plain(_registry: Registry, subject: Subject) -> str:
    return "" if subject.standing == "current" else _standing(subject)


def _confirmation(registry: Registry, subject: Subject) -> str:
    word = registry.document(subject.blob)
    return f"{word['mode']} r{word['mode_revision']}: {word['outcome']}, judged on {word['date']}"


_Words = Callable[[Registry, Subject], str]
_BELONGS: dict[str, tuple[tuple[str, str, str, _Words], ...]] = {
    "substrate": (("print modes", "print-mode", "substrate", _mode),),
    "printer": (("units", "unit", "printer", _plain), ("print modes", "print-mode", "printer", _mode)),
    "application": (("displays", "display", "application", _plain),),
    "site": (
        ("units", "unit", "site", _plain),
        ("displays", "display", "site", _plain),
        ("confirmed", "confirmation", "site", _confirmation),
    ),
}
"""By kind: heading, kind of what belongs to it, the member that names it, and what to say."""


def _events(registry: Registry, shown: Version) -> Iterator[Related]:
    """Yield the last events of a unit or a display."""
    subjects = registry.model.named(shown.rid, shown.kind)
    happened = happened_to(registry, subjects[0]) if subjects else ()
    events = [each for each in happened if each.what == "event"]
    for each in events[-_LAST:]:
        words = "; ".join(filter(None, (f"{registry.time(each.at):%Y-%m-%d} {each.words}", each.more)))
        yield Related("events", each.kind, each.record, "", words)


def _in_use(registry: Registry, unit: str) -> Iterator[Related]:
    """Yield every mode that the unit has run or adopted, with the revision that it used last."""
    for use in uses(registry, "unit", unit):
        words = f"r{use.evidence.number}, {use.evidence.words}"
        yield Related("modes in use", "print-mode", use.mode.rid, use.mode.title, words)
