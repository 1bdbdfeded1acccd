"""Places: which find comes before which, and why, in words.

The order rests on these alone, the first that differs deciding: fewer unknown demands; fewer not surely met;
fewer met by copied values; fewer warnings; more sites that confirmed these very settings; more confirmations;
the later last one; the larger least margin. Where all are equal, finds share a place. Names and the order of
records play no part.
"""

import datetime
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from registry.find.candidate import Candidate
from registry.find.wanted import Judged

__all__ = ["Placed", "Rank", "near_rank", "placed", "rank_of", "reason"]


class Rank(NamedTuple):
    """What decides a place; less is better in every member."""

    unknown: int
    unsure: int
    copied: int
    warnings: int
    sites: int
    times: int
    last: int
    room: float


class Placed(NamedTuple):
    """A candidate in its place."""

    place: int
    """1 more than how many come before it; 0 where it has no place."""
    shared: int
    """How many others share it."""
    candidate: Candidate
    rank: Rank


def rank_of(candidate: Candidate) -> Rank:
    """Return what decides a candidate's place."""
    said, room = candidate.confirmed, candidate.room
    return Rank(
        len(candidate.unknown),
        len(candidate.unsure),
        candidate.copied,
        candidate.warnings,
        -len(said.good),
        -said.times,
        -datetime.date.fromisoformat(said.last).toordinal() if said.last else 0,
        float("inf") if room is None else -round(room, 9),
    )


def near_rank(candidate: Candidate) -> tuple[int, float, Rank]:
    """Return what decides the order of near misses: what is unknown, how much lacks, then as for finds."""
    way = candidate.in_the_way[0]
    margin = way.margin if isinstance(way, Judged) else None
    lacks = -margin.share if margin and margin.share is not None else float("inf")
    rank = rank_of(candidate)
    return rank.unknown, lacks, rank


def placed(finds: Iterable[Candidate]) -> list[Placed]:
    """Return the finds in their order, each in its place.

    Those that share a place are in the order of their ids, so that one answer reads like the next.
    """
    groups: dict[Rank, list[Candidate]] = {}
    for each in finds:
        groups.setdefault(rank_of(each), []).append(each)
    places: list[Placed] = []
    for rank, members in sorted(groups.items(), key=lambda group: group[0]):
        members.sort(key=lambda each: (each.pair.mode.rid, each.pair.mode.seq))
        place = len(places) + 1
        places += [Placed(place, len(members) - 1, each, rank) for each in members]
    return places


def reason(places: Sequence[Placed], each: Placed) -> str:
    """Return in words why a find is in its place: of the first what speaks for it, else what it lacks."""
    if not each.place:
        return ""
    if each.place == 1:
        return ", ".join(filter(None, (_said(each.candidate, criterion) for criterion in Rank._fields)))
    better = places[each.place - 2]
    both = zip(Rank._fields, each.rank, better.rank, strict=True)
    decides = next(criterion for criterion, mine, its in both if mine != its)
    its, mine = (_clause(which.candidate, decides) for which in (better, each))
    return f"behind place {better.place}, which {its}; this {mine}"


_VERBS = {"last": "was ", "room": "", "unsure": "", "copied": ""}
"""What makes a clause of the words for one member of the rank; of all others it is `has`."""


def _clause(candidate: Candidate, criterion: str) -> str:
    """Return one member of the rank as what a find does or has: `was last confirmed on 2026-09-21`."""
    said = _said(candidate, criterion)
    if said:
        return f"{_VERBS.get(criterion, 'has ')}{said}"
    otherwise = {"unsure": "meets its demands surely", "copied": "meets none by copied values"}
    return otherwise.get(criterion, "has nothing measured")


def _said(candidate: Candidate, criterion: str) -> str:
    """Return one member of the rank in words; nothing where there is nothing to tell."""
    said, unsure, copied = candidate.confirmed, len(candidate.unsure), candidate.copied
    words = {
        "unknown": _count(len(candidate.unknown), "unknown demand"),
        "unsure": f"meets {_count(unsure, 'demand')} not surely" if unsure else "",
        "copied": f"meets {_count(copied, 'demand')} by copied values" if copied else "",
        "warnings": _count(candidate.warnings, "warning"),
        "sites": _count(len(said.good), "confirming site"),
        "times": _count(said.times, "confirmation") if said.good else "",
        "last": f"last confirmed on {said.last}" if said.good else "",
        "room": _room(candidate.room),
    }
    return words[criterion]


def _room(room: float | None) -> str:
    if room is None:
        return ""
    tightest = "meets its tightest requirement"
    return f"{tightest} with {room * 100:.0f} % to spare" if room else f"just {tightest}"


def _count(number: int, noun: str) -> str:
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"
