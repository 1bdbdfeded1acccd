"""What happened, put into documents: confirmations, adoptions, runs, events; and withdrawals."""

import re
from dataclasses import dataclass, field
from typing import Any

from registry.contribute.given import Tree, held
from registry.contribute.hanging import along
from registry.contribute.prepare import Contribution, Writer, combined, happened, revise
from registry.errors import RequestError
from registry.model.kinds import KINDS, kind_at, path_of, place_at

__all__ = ["Happening", "record", "withdraw"]

_LONGEST = 60  # as in the model's ids
_LONGEST_REASON = 400  # as in the model's texts
_FOLDERS = {"event": "events", "run": "runs", "confirmation": "confirmations"}


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that happened: its kind of record, its day, a name for its file, and what is known of it."""

    kind: str
    date: str
    slug: str
    title: str
    known: dict[str, Any] = field(default_factory=dict)
    """Members of the record; those that are None or empty are left out."""


def record(tree: Tree, happening: Happening, writer: Writer) -> Contribution:
    """Prepare a record that is written once, under a name that is free."""
    known = {name: value for name, value in happening.known.items() if value not in (None, "", [], {})}
    document = {"title": happening.title, "site": writer.site, **known}
    path = _free(tree, happening, writer.site)
    return happened(tree, path, document, writer=writer)


def _free(tree: Tree, happening: Happening, site: str) -> str:
    """Return the path of a name that is free and no longer than an id may be; a second one ends in -2."""
    slug = re.sub("[^a-z0-9]+", "-", happening.slug.lower()).strip("-") or happening.kind
    base = f"{happening.date}-{slug}"[: _LONGEST - len("-999")].rstrip("-")
    names = (base, *(f"{base}-{number}" for number in range(2, 1000)))
    paths = (f"records/sites/{site}/{_FOLDERS[happening.kind]}/{name}.json" for name in names)
    return next(path for path in paths if tree.read(path) is None)


def withdraw(
    tree: Tree,
    path: str,
    reason: str,
    instead: str,
    writer: Writer,
    *,
    with_all: bool = False,
    landed: Tree | None = None,
) -> Contribution:
    """Prepare the withdrawal of a record: it stays, with date, reason and what to use instead.

    What goes with it is said by `hanging.along`, which also refuses what others still need.
    """
    place = place_at(path)
    if place is None or place.attachment or KINDS[place.kind].once:
        raise RequestError(f"{path} cannot be withdrawn: what happened stays as it was written")
    if place.kind == "registry":
        raise RequestError("the registry's own record cannot be withdrawn: everything else rests on it")
    document = held(tree, path) or {}
    if "withdrawn" in document:
        raise RequestError(f"{place.id} is withdrawn already, since {document['withdrawn']['date']}")
    if instead:
        _refuse_useless(tree, place.kind, instead)
    reasons = {path: reason}
    for each, of in along(tree, place.kind, place.id, with_all=with_all).items():
        reasons[each] = f"its {of} is withdrawn: {reason}"[:_LONGEST_REASON]
    parts = []
    for each, why in reasons.items():
        withdrawn = {"date": writer.date, "reason": why} | (
            {"instead": instead} if each == path and instead else {}
        )
        patch = {"withdrawn": withdrawn} | ({"status": "withdrawn"} if kind_at(each) == "print-mode" else {})
        parts.append(revise(tree, each, patch, writer=writer, reason=why, landed=landed))
    return combined(*parts, message=f"Withdraw {place.id}: {reason}")


def _refuse_useless(tree: Tree, kind: str, instead: str) -> None:
    document = held(tree, path_of(kind, instead))
    if document is None:
        raise RequestError(f"there is no {kind} {instead!r} to use instead")
    if "withdrawn" in document:
        raise RequestError(f"{instead} is withdrawn itself: name what is to be used in the place of both")
