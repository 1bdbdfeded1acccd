"""What happened, put into documents: confirmations, adoptions, runs, events; and withdrawals."""

import re
from dataclasses import dataclass, field
from typing import Any

from registry import canonical
from registry.contribute.prepare import Contribution, Tree, Writer, combined, happened, revise
from registry.errors import RequestError
from registry.model.kinds import KINDS, path_of, place_at

__all__ = ["Happening", "record", "withdraw"]

_LONGEST = 60  # as in the model's ids
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


def withdraw(tree: Tree, path: str, reason: str, instead: str, writer: Writer) -> Contribution:
    """Prepare the withdrawal of a record: it stays, with date, reason and what to use instead."""
    place = place_at(path)
    if place is None or place.attachment or KINDS[place.kind].once:
        raise RequestError(f"{path} cannot be withdrawn: what happened stays as it was written")
    data = tree.read(path)
    document = canonical.read(data) if data is not None else {}
    if "withdrawn" in document:
        since = document["withdrawn"].get("date")
        raise RequestError(f"{place.id} is withdrawn already, since {since}")
    if instead and tree.read(path_of(place.kind, instead)) is None:
        raise RequestError(f"there is no {place.kind} {instead!r} to use instead")
    parts = [_withdrawn(tree, path, reason, instead, writer)]
    if place.kind == "substrate":  # nobody may go on printing what is on no roll any more
        folder = path.removesuffix("substrate.json") + "modes/"
        modes = (each for each in tree.paths() if each.startswith(folder))
        parts += [
            _withdrawn(tree, mode, f"its substrate is withdrawn: {reason}"[:400], "", writer)
            for mode in modes
            if "withdrawn" not in canonical.read(tree.read(mode) or b"{}")
        ]
    return combined(*parts, message=f"Withdraw {place.id}: {reason}")


def _withdrawn(tree: Tree, path: str, reason: str, instead: str, writer: Writer) -> Contribution:
    withdrawn = {"date": writer.date, "reason": reason, **({"instead": instead} if instead else {})}
    patch: dict[str, Any] = {"withdrawn": withdrawn}
    if "/modes/" in path:
        patch["status"] = "withdrawn"
    return revise(tree, path, patch, writer=writer, reason=reason)
