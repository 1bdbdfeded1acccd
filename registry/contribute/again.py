"""What is on record already when something is recorded: the very same, or what it takes the place of."""

import datetime
import json
from collections.abc import Iterator
from contextlib import suppress
from typing import Any, NamedTuple

from registry import canonical
from registry.check.checked import Checked
from registry.check.confirming import confirmed_as_good
from registry.contribute.given import Tree, Unusable, held
from registry.contribute.prepare import Contribution, Overlay, Writer, combined, revise
from registry.contribute.verified import TreeSnapshot
from registry.errors import RequestError
from registry.model.kinds import place_at
from registry.model.shape import shape_of
from registry.model.word import Word, counting, word_in

__all__ = ["Earlier", "earlier_runs", "overruling", "refuse_twice", "said_otherwise"]

_MINUTE_S = 60
_LONGEST_REASON = 400  # as in the model's texts


class Earlier(NamedTuple):
    """A record of a site that is there already."""

    rid: str
    document: dict[str, Any]

    def is_at(self, moment: str) -> bool:
        """Whether it is a run that was printed within a minute of a moment."""
        then, now = (datetime.datetime.fromisoformat(each) for each in (self.document["printed"], moment))
        return abs((then - now).total_seconds()) < _MINUTE_S


def earlier_runs(tree: Tree, site: str, job: str) -> list[Earlier]:
    """Return the runs of a job that a site has on record, as they are filed."""
    found = _held(tree, site, "run", json.dumps(job, ensure_ascii=False))
    return [each for each in found if each.document.get("job") == job]


def refuse_twice(tree: Tree, site: str, known: dict[str, Any]) -> None:
    """Refuse a confirmation that says just what another that counts says: it would be counted twice."""
    names = ("mode", "settings_digest", "unit", "date", "outcome", "display", "note")
    said = {name: known.get(name) or None for name in names}
    held = _confirmations(tree, site, known["settings_digest"])
    for word in counting(_words(held)):
        if {name: held[word.of].get(name) for name in names} == said:
            raise RequestError(
                f"{word.of} says so already: a second print judged that day is told apart by --note"
            )


def said_otherwise(tree: Tree, contribution: Contribution) -> list[tuple[Earlier, bool]]:
    """Return what its site said otherwise of the same machine's print, and whether that counts on.

    It counts on where it is of a later day: of one machine's print the latest word counts.
    """
    (path,) = contribution.files
    place = place_at(path)
    new = canonical.read(contribution.files[path] or b"")  # as just written
    held = _confirmations(tree, new["site"], new["settings_digest"])
    (mine,) = _words({place.id if place else path: new})
    left = {word.of for word in counting([*_words(held), mine])}
    alike = (word for word in counting(_words(held)) if word[1:5] == mine[1:5])
    against = [word for word in alike if word.went_well != mine.went_well]
    return [(Earlier(word.of, held[word.of]), word.of in left) for word in against]


def overruling(
    tree: Tree, contribution: Contribution, path: str, writer: Writer, *, landed: Tree | None = None
) -> Contribution:
    """Return a confirmation with what follows: a known-good mode without a good word left goes on trial."""
    mode = held(tree, path) or {}
    if mode.get("status") != "known-good" or not _is_confirmed(tree, path, mode):
        return contribution
    after = Overlay(tree, contribution.files)
    if _is_confirmed(after, path, mode):
        return contribution
    reason = f"No good word is left for it: {contribution.message}"[:_LONGEST_REASON]
    on_trial = revise(after, path, {"status": "trial"}, writer=writer, reason=reason, landed=landed)
    return combined(contribution, on_trial, message=contribution.message)


def _is_confirmed(tree: Tree, path: str, mode: dict[str, Any]) -> bool:
    place = place_at(path)
    good = confirmed_as_good(Checked(TreeSnapshot(tree)))
    return place is not None and shape_of("print-mode").digest(mode) in good.get(place.id, ())


def _held(tree: Tree, site: str, kind: str, holding: str) -> Iterator[Earlier]:
    """Yield a site's records of a kind that hold a text, in the order of their names; the sound ones."""
    for path in sorted(tree.paths(), key=lambda path: (len(path), path)):
        place = place_at(path) if path.startswith(f"records/sites/{site}/") else None
        if place and place.kind == kind and holding.encode() in (tree.read(path) or b""):
            with suppress(Unusable):  # it says nothing
                yield Earlier(place.id, held(tree, path) or {})


def _confirmations(tree: Tree, site: str, digest: str) -> dict[str, dict[str, Any]]:
    """Return what a site has said of settings, by the record's id."""
    return {each.rid: each.document for each in _held(tree, site, "confirmation", digest)}


def _words(confirmations: dict[str, dict[str, Any]]) -> list[Word]:
    return [word_in(rid, rid.rpartition("/")[2], held) for rid, held in confirmations.items()]
