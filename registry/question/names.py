"""Which record is meant: an id, `kind:id`, a path, or the unmistakable end of an id."""

import difflib
from collections.abc import Sequence

from registry.errors import RequestError
from registry.index.readmodel import Subject
from registry.model.kinds import KINDS, place_at
from registry.question.registry import Registry

__all__ = ["UnknownRecord", "named"]


class UnknownRecord(RequestError):
    """No record, or more than one, is called so."""


def named(registry: Registry, text: str, kinds: Sequence[str] = ()) -> Subject:
    """Return the newest landed revision of the record that `text` means (of one of `kinds`, if given)."""
    prefix, colon, rest = text.partition(":")
    if colon and prefix in KINDS:
        kinds, text = (prefix,), rest
    elif place := place_at(text):
        kinds, text = (place.kind,), place.id
    found = [subject for subject in registry.model.named(text) if not kinds or subject.kind in kinds]
    if not found:
        ids = [(kind, rid) for kind, rid in registry.model.ids() if not kinds or kind in kinds]
        tails = [(kind, rid) for kind, rid in ids if rid.endswith("/" + text)]
        found = [subject for kind, rid in tails for subject in registry.model.named(rid, kind)]
    if len(found) == 1:
        return found[0]
    if found:
        choices = ", ".join(f"{subject.kind}:{subject.rid}" for subject in found)
        raise UnknownRecord(f"{text!r} may mean {choices}: write one of these")
    raise UnknownRecord(_unknown(text, kinds, [rid for _, rid in ids]))


def _unknown(text: str, kinds: Sequence[str], ids: list[str]) -> str:
    what = " or ".join(kinds) or "record"
    near = difflib.get_close_matches(text, ids, n=3, cutoff=0.5)
    tail = text.rpartition("/")[2]
    near = near or [rid for rid in ids if tail and tail in rid][:3]
    hint = f"; did you mean {', '.join(near)}" if near else "; litstock find lists what there is"
    return f"there is no {what} {text!r} among what has landed{hint}"
