"""Which record is meant: an id, `kind:id`, a path, or the unmistakable end of an id."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple, TypeVar

from registry.errors import RequestError
from registry.index.readmodel import Revision, Subject
from registry.model.kinds import KINDS, a_kind, place_at
from registry.question.registry import Registry

__all__ = ["Lying", "UnknownRecord", "lying", "meant", "named", "once_named"]


_MANY = 10
"""So many records an ambiguous name lists, and no more."""


_Named = TypeVar("_Named", Subject, "Lying")

_FEW = 20
"""As many ids as an answer lists in full."""


class UnknownRecord(RequestError):
    """No record, or more than one, is called so."""


def meant(text: str, kinds: Sequence[str] = ()) -> tuple[Sequence[str], str]:
    """Return the kinds that `text` may mean (none: all), and the id or the end of one.

    >>> meant("printer:broadreach-64"), meant("records/printers/broadreach-64.json")
    ((('printer',), 'broadreach-64'), (('printer',), 'broadreach-64'))
    """
    prefix, colon, rest = text.partition(":")
    if colon and prefix in KINDS:
        kind, rid = prefix, rest
    elif place := place_at(text):
        kind, rid = place.kind, place.id
    else:
        return kinds, text.encode(errors="replace").decode()  # a terminal's stray bytes name nothing
    if kind not in (kinds or KINDS):
        wanted = a_kind(" or ".join(kinds or ("record",)))
        raise UnknownRecord(f"{text!r} is {a_kind(kind)}, and {wanted} is asked for")
    return (kind,), rid


def named(registry: Registry, text: str, kinds: Sequence[str] = ()) -> Subject:
    """Return the newest landed revision of the record that `text` means (of one of `kinds`, if given)."""
    kinds, rid = meant(text, kinds)
    if found := _found(registry, rid, kinds):
        return _only(text, found)
    if gone := registry.model.gone(rid, kinds or KINDS):
        raise UnknownRecord(_gone(registry, gone[-1]))
    raise UnknownRecord(_unknown(registry, rid, kinds))


def once_named(registry: Registry, text: str, kinds: Sequence[str] = ()) -> Subject:
    """Return the record that `text` means, also one that has been removed since, or cannot be read now."""
    kinds, rid = meant(text, kinds)
    gone = [] if _found(registry, rid, kinds) else registry.model.gone(rid, kinds or KINDS)
    if not gone:
        return named(registry, text, kinds)
    return _only(
        text,
        [
            Subject(0, each.kind, each.rid, each.path, each.seq, each.blob, "gone", 1, each.rid, "", "", "")
            for each in gone
        ],
    )


class Lying(NamedTuple):
    """A record's file, landed or not."""

    path: str
    kind: str
    rid: str


def lying(paths: Iterable[str], text: str, kinds: Sequence[str] = ()) -> Lying | None:
    """Return the record that `text` means among files that may not have landed; None where it is none."""
    kinds, rid = meant(text, kinds)
    whole: list[Lying] = []
    ending: list[Lying] = []
    for path in paths:
        place = place_at(path)
        if place and not place.attachment and place.kind in (kinds or KINDS):
            if place.id == rid:
                whole.append(Lying(path, place.kind, place.id))
            elif place.id.endswith(f"/{rid}"):
                ending.append(Lying(path, place.kind, place.id))
    found = whole or ending
    return _only(text, found) if found else None


def _found(registry: Registry, rid: str, kinds: Sequence[str]) -> list[Subject]:
    """Return the records with this id, else those whose id ends with it."""
    for found in (registry.model.named, registry.model.ending):
        if fitting := [subject for subject in found(rid) if not kinds or subject.kind in kinds]:
            return fitting
    return []


def _only(text: str, found: Sequence[_Named]) -> _Named:
    if len(found) == 1:
        return found[0]
    choices = ", ".join(f"{subject.kind}:{subject.rid}" for subject in found[:_MANY])
    if len(found) > _MANY:
        raise UnknownRecord(
            f"{text!r} may mean {choices} and {len(found) - _MANY:,} more: write more of the id"
        )
    raise UnknownRecord(f"{text!r} may mean {choices}: write one of these")


def _gone(registry: Registry, last: Revision) -> str:
    if last.fault:
        how = f"{last.fault}; litstock check says more"
    else:
        landed = registry.time(registry.model.landing(last.n).landed)
        how = f"was removed on {landed:%Y-%m-%d}"
    before = [each.seq for each in registry.model.revisions(last.path) if each.blob and not each.fault]
    earlier = f"; {last.rid}@r{before[-1]} is the last that can be read" if before else ""
    return f"{last.path} at r{last.seq} {how}{earlier}"


def _unknown(registry: Registry, rid: str, kinds: Sequence[str]) -> str:
    import difflib  # noqa: PLC0415 (only who has mistyped something pays for it)

    what = " or ".join(kinds) or "record"
    ids = [full for kind, full in registry.model.ids() if not kinds or kind in kinds]
    parts = set(rid.split("/"))
    alike = [full for full in ids if not parts.isdisjoint(full.split("/"))]  # to compare with all takes long
    tail = rid.rpartition("/")[2]
    near = difflib.get_close_matches(rid, alike or ids, n=3, cutoff=0.5)
    near = near or [full for full in ids if tail and tail in full][:3]
    if near:
        hint = f"did you mean {', '.join(near)}"
    elif len(ids) <= _FEW:
        hint = f"there {'is' if len(ids) == 1 else 'are'} {', '.join(ids) or 'none yet'}"
    else:
        hint = "litstock find lists what is printed on"
    return f"there is no {what} {rid!r} among what has landed; {hint}"
