"""Whether two tables were measured alike, so that their numbers may be held against each other."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from registry.measurement.conditions import Conditions

__all__ = ["different", "unsaid"]

_BACKINGS = ("white", "black", "self", "paper", "grey", "gray")


class _Told(NamedTuple):
    """One condition as both sides tell it; empty where one does not."""

    counts: bool
    """For this kind of measurement."""
    what: str
    ours: str
    theirs: str


def different(how: Conditions, reference: Conditions) -> Iterator[str]:
    """Yield in what way two tables were measured differently, so that they are not to be compared."""
    if "unknown" in {how.kind, reference.kind}:
        where = "this file" if how.kind == "unknown" else "the reference"
        doing = "write it into MEASUREMENT_GEOMETRY"
        yield f"{where} does not say whether it was read in transmission or reflection: {doing}"
    elif how.kind != reference.kind:
        yield f"this file was read in {how.kind}, the reference in {reference.kind}"
    else:
        for each in _told(how, reference):
            if each.counts and each.ours and each.theirs and each.ours != each.theirs:
                yield f"{each.what} is {each.ours} in this file, {each.theirs} in the reference"


def unsaid(how: Conditions, reference: Conditions) -> Iterator[str]:
    """Yield what at least one side does not say, and what differs without forbidding comparison."""
    for each in _told(how, reference):
        if each.counts and not (each.ours and each.theirs):
            yield each.what
    ours, theirs = how.hours_after_printing, reference.hours_after_printing
    if ours is None or theirs is None:
        yield "hours after printing"
    elif ours != theirs:
        yield f"hours after printing ({ours:g} here, {theirs:g} in the reference)"


def _told(how: Conditions, reference: Conditions) -> Iterator[_Told]:
    pair = how, reference
    through = how.kind == "transmission"
    yield _Told(through, "the face to the source", *(_face(each.source_face) for each in pair))
    yield _Told(not through, "the measurement condition (ISO 13655)", *(each.condition for each in pair))
    yield _Told(not through, "the backing", *(_backing(each.backing) for each in pair))
    yield _Told(True, "the laminate", *(_laminate(each.finishing) for each in pair))


def _backing(said: str) -> str:
    words = said.lower()
    return next((word for word in _BACKINGS if word in words), words)


def _face(said: str) -> str:
    """Return which face looked at the source, whatever the words."""
    words = said.lower()
    if re.search(r"unprinted|\bback\b", words):
        return "unprinted"
    return "printed" if "printed" in words else words


def _laminate(said: str) -> str:
    words = said.lower()
    if not words or re.search(r"unlaminat|not laminat|without|none", words):
        return "none" if words else ""
    return "there" if "laminat" in words else words
