"""Which record is meant: an id, `kind:id`, a path, or what only one id ends with or has as a whole part.

What people type may be short. What records and cards say of each other is whole, and `referred` takes it so.
"""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple, TypeVar

from registry.errors import RequestError
from registry.index.readmodel import Revision, Subject
from registry.model.kinds import KINDS, a_kind, path_of, place_at
from registry.question.registry import Registry

__all__ = [
    "Lying",
    "UnknownRecord",
    "called",
    "here_named",
    "lying",
    "meant",
    "named",
    "once_named",
    "referred",
]


_MANY = 10
"""So many records an ambiguous name lists, and no more."""


_Named = TypeVar("_Named", Subject, "Lying")

_FEW = 20
"""As many ids as an answer lists in full."""


class UnknownRecord(RequestError):
    """No record, or more than one, is called so."""


def meant(text: str, kinds: Sequence[str] = ()) -> tuple[Sequence[str], str]:
    """Return the kinds that `text` may mean (none: all), and the id or a part of one.

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
    if found := called(registry, rid, kinds):
        return _only(text, found, kinds)
    raise _missing(registry, rid, kinds)


def referred(registry: Registry, rid: str, kind: str) -> Subject:
    """Return the newest landed revision of the record that another one, or a card, names by its whole id."""
    found = registry.model.named(rid, kind)
    if not found:
        raise _missing(registry, rid, (kind,))
    return found[0]


def once_named(registry: Registry, text: str, kinds: Sequence[str] = ()) -> Subject:
    """Return the record that `text` means, also one that has been removed since, or cannot be read now."""
    kinds, rid = meant(text, kinds)
    if found := called(registry, rid, kinds):
        return _only(text, found, kinds)
    gone = [
        Subject(0, each.kind, each.rid, each.path, each.seq, 0, each.blob, "gone", 1, each.rid, "", "", "")
        for each in registry.model.gone(rid, kinds or KINDS)
    ]
    if not gone:
        raise _missing(registry, rid, kinds)
    return _only(text, gone, kinds)


def called(registry: Registry, rid: str, kinds: Sequence[str]) -> list[Subject]:
    """Return the records that are called so, and none less plainly than another."""
    for found in (registry.model.named, registry.model.ending):
        if fitting := [subject for subject in found(rid) if not kinds or subject.kind in kinds]:
            return fitting
    if registry.model.gone(rid, kinds or KINDS):
        return []  # it is not mistaken for another of which it is a part
    return [registry.model.named(full, kind)[0] for kind, full in _plainest(rid, _ids(registry, kinds))]


class Lying(NamedTuple):
    """A record's file, landed or not."""

    path: str
    kind: str
    rid: str


def lying(paths: Iterable[str], text: str, kinds: Sequence[str] = ()) -> Lying | None:
    """Return the record that `text` means among files that may not have landed; None where it is none."""
    kinds, rid = meant(text, kinds)
    found = [Lying(path_of(*each), *each) for each in _plainest(rid, _ids_at(paths, kinds))]
    return _only(text, found, kinds) if found else None


def here_named(registry: Registry, paths: Iterable[str], text: str, kinds: Sequence[str] = ()) -> Lying:
    """Return the record that `text` means among what has landed and files that may not have."""
    kinds, rid = meant(text, kinds)
    ids = dict.fromkeys([*_ids(registry, kinds), *_ids_at(paths, kinds)])
    found = [Lying(path_of(*each), *each) for each in _plainest(rid, ids)]
    whole = any(f"/{each.rid}".endswith(f"/{rid}") for each in found)
    if not whole and (not found or registry.model.gone(rid, kinds or KINDS)):
        raise _missing(registry, rid, kinds)
    return _only(text, found, kinds)


_Id = tuple[str, str]
"""A record's kind and id."""


def _ids(registry: Registry, kinds: Sequence[str]) -> list[_Id]:
    return [each for each in registry.model.ids() if not kinds or each[0] in kinds]


def _ids_at(paths: Iterable[str], kinds: Sequence[str]) -> list[_Id]:
    places = filter(None, map(place_at, paths))
    return [
        (place.kind, place.id)
        for place in places
        if not place.attachment and (not kinds or place.kind in kinds)
    ]


_PLAINNESS = ("{}", ".*/{}", ".*-{}", "(?:.*/)?(?:[^/]*-)?{}(?:-[^/]*)?", "(?:.*[/-])?{}(?:[/-].*)?")
"""What an id is like that a name means, the plainest first: it is the name; it ends with it, in whole parts
or after a hyphen; it has it as a whole part of its last name, or anywhere."""


def _plainest(name: str, ids: Iterable[_Id]) -> list[_Id]:
    """Return the ids that a name means, and none less plainly than another."""
    if not name:
        return []
    near = [each for each in ids if name in each[1]]
    for form in _PLAINNESS:
        like = re.compile(form.format(re.escape(name)))
        if found := [each for each in near if like.fullmatch(each[1])]:
            return found
    return []


def _only(text: str, found: Sequence[_Named], kinds: Sequence[str]) -> _Named:
    if len(found) == 1:
        return found[0]
    plain = len(kinds) == 1
    choices = ", ".join(each.rid if plain else f"{each.kind}:{each.rid}" for each in found[:_MANY])
    if len(found) > _MANY:
        raise UnknownRecord(
            f"{text!r} may mean {choices} and {len(found) - _MANY:,} more: write more of the id"
        )
    raise UnknownRecord(f"{text!r} may mean {choices}: write one of these")


def _missing(registry: Registry, rid: str, kinds: Sequence[str]) -> UnknownRecord:
    gone = registry.model.gone(rid, kinds or KINDS)
    return UnknownRecord(_gone(registry, gone[-1]) if gone else _unknown(registry, rid, kinds))


def _gone(registry: Registry, last: Revision) -> str:
    landed = f"{registry.time(registry.model.landing(last.n).landed):%Y-%m-%d}"
    if last.fault:
        how = f", as it landed on {landed}, {last.fault}; litstock check says more"
    else:
        how = f" was removed on {landed}"
    before = [each for each in registry.model.revisions(last.path) if each.blob and not each.fault]
    earlier = f"; {last.rid}@{before[-1].label} is the last that can be read" if before else ""
    return f"{last.path}{how}{earlier}"


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
    here = ", as far as this clone knows, which is cut off" if registry.repository.shallow else ""
    return f"there is no {what} {rid!r} among what has landed{here}; {hint}"
