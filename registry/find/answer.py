"""Find: which pairs meet a request, ranked; else the near misses, and what stands in the way."""

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from registry.find.candidate import Asked, Candidate
from registry.find.demands import Use, demands, use_of
from registry.find.filters import filters
from registry.find.rank import Placed, placed, rank_of, reason
from registry.find.request import Request
from registry.find.unproven import unproven
from registry.find.wanted import Judged, as_test
from registry.index.facets import COPIED, FROM_COPIED
from registry.index.pairs import Pairs
from registry.index.readmodel import Revision, Value
from registry.question.names import named
from registry.question.registry import Registry

if TYPE_CHECKING:
    from registry.find.missed import Excluded
    from registry.find.named_place import NamedPlace
    from registry.find.unheard import Unheard

__all__ = ["FindAnswer", "Offer", "find"]

_RESTED_ON = ("print-mode", "substrate", "printer", "guidance", "confirmation")
"""The kinds of records that answers rest on, beside the place that is asked for by name."""


class Offer(NamedTuple):
    """A candidate as it is shown: a find in its place, a near miss, or a record that was asked about."""

    candidate: Candidate
    place: int
    """0 where it is no find."""
    shared: int
    """How many other finds share the place."""
    reason: str
    """Why it is in this place, in words."""
    trial: int
    """Number of a newer revision that is on trial; 0 where there is none."""
    mode: dict[str, tuple[Value, ...]]
    """Every setting of the mode by path, computed ones too."""
    substrate: dict[str, tuple[Value, ...]]

    def is_copied(self, judged: Judged) -> bool:
        """Whether what was found was copied from another record, and nobody has set it since."""
        known = judged.wanted.known
        held = self.substrate if known.of == "substrate" else self.mode
        copied = (*held.get(COPIED, ()), *held.get(FROM_COPIED, ()))
        return any(each.txt == known.path for each in copied)


class FindAnswer(NamedTuple):
    """What was found, as of a commit."""

    commit: str
    request: Request
    use: Use | None
    asked: int
    """How many print modes, each at its revision, were asked."""
    found: int
    """How many meet the request; `offers` holds no more than the limit."""
    offers: tuple[Offer, ...]
    unproven: int = 0
    """How many have all that is asked for but a safety that nobody can tell, and are not offered."""
    unproven_ones: tuple[Offer, ...] = ()
    """The best of them."""
    withheld: int = 0
    """Where nothing was found: how many have all that is asked for, yet are not offered."""
    kept_out: tuple[Offer, ...] = ()
    """The best of them."""
    missed: int = 0
    """Where nothing was found: how many fail one requirement only."""
    near: tuple[Offer, ...] = ()
    """The best of them."""
    named: tuple[Offer, ...] = ()
    """Where there is neither: the few that say every word, with all that is in their way."""
    excluded: "tuple[Excluded, ...]" = ()
    """Where there is nothing of it: what leaves out most."""
    why: tuple[Offer, ...] = ()
    """The modes of the record that was asked about, in or out."""
    unheard: "tuple[Unheard, ...]" = ()
    """Words that nothing says, where nothing was found: near misses and the like are told without them."""
    found_without: int = 0
    """How many would be found without those words."""
    little_words: tuple[str, ...] = ()
    """Words that were left out: they say nothing of a print mode."""
    unreadable: tuple[Revision, ...] = ()
    """The records of which nothing is offered, and the guidance not judged by, since they cannot be read."""
    named_place: "NamedPlace | None" = None
    """The application or display that the words name, where none was asked for."""


def find(registry: Registry, request: Request) -> FindAnswer:
    """Return the pairs that meet a request, or what stands in the way."""
    request, little = request.without_little_words()
    asked = _asked(registry, request)
    places = _places(asked)
    silent = () if places else _unheard(asked)
    heard = _asked(registry, _without(request, silent)) if silent else asked
    found_without = len(_places(heard)) if silent else 0
    unsafe = [] if request.why else unproven(heard)
    answer = FindAnswer(
        registry.commit,
        request,
        asked.use,
        asked.pairs.total(),
        len(places),
        tuple(_shown(asked, places[: request.limit], places)),
        unproven=len(unsafe),
        unproven_ones=tuple(_shown(heard, map(_unplaced, unsafe[: request.limit]))),
        why=tuple(_why(asked, places)) if request.why else (),
        unheard=silent,
        found_without=found_without,
        little_words=little,
        unreadable=tuple(each for each in registry.model.faults() if each.kind in _RESTED_ON),
        named_place=None if request.use else _named_place(asked),
    )
    return answer if places or request.why or found_without else _with_missed(answer, heard)


def _with_missed(answer: FindAnswer, heard: Asked) -> FindAnswer:
    """Return the answer with what comes nearest, and what stands in the way."""
    from registry.find.missed import missed  # noqa: PLC0415 (only where nothing was found)

    told = missed(heard)
    shown = ([*map(_unplaced, found[: answer.request.limit])] for found in told[:3])
    kept_out, near, named_ones = (tuple(_shown(heard, each)) for each in shown)
    return answer._replace(
        withheld=len(told.kept_out),
        kept_out=kept_out,
        missed=len(told.near),
        near=near,
        named=named_ones,
        excluded=told.excluded,
    )


def _places(asked: Asked) -> list[Placed]:
    passing = asked.judged(asked.pairs.passing(asked.tests))
    return placed(each for each in passing if not each.in_the_way)


def _named_place(asked: Asked) -> "NamedPlace | None":
    """Return the application or display that words name clearly, though it was not asked for."""
    parts = [word.casefold().rstrip("s") for word in asked.request.words]
    places = asked.registry.model.titled(parts, ("application", "display")) if parts else []
    if not places:
        return None
    from registry.find.named_place import named_place  # noqa: PLC0415 (few words do)

    return named_place(places, asked.request.words)


def _unheard(asked: Asked) -> "tuple[Unheard, ...]":
    from registry.find.unheard import unheard  # noqa: PLC0415 (only where nothing was found)

    return tuple(unheard(asked.registry, asked.pairs, asked.request.words))


def _without(request: Request, silent: "Sequence[Unheard]") -> Request:
    """Return the request without the words that nothing says."""
    return request._replace(words=tuple(set(request.words) - {each.word for each in silent}))


def _asked(registry: Registry, request: Request) -> Asked:
    use = use_of(registry, request.use) if request.use else None
    wanted = [*filters(registry, request), *(demands(use) if use else ())]
    pairs = Pairs(registry.model)
    return Asked(registry, pairs, request, use, wanted, [as_test(pairs, each) for each in wanted])


def _why(asked: Asked, places: Sequence[Placed]) -> Iterator[Offer]:
    """Yield every mode of the record that was asked about, in its place or out."""
    record = named(asked.registry, asked.request.why, ("substrate", "print-mode"))
    found = asked.judged(asked.pairs.of_record(record, asked.tests))
    found.sort(key=lambda each: (each.pair.mode.rid, -each.pair.mode.seq))
    in_place = {each.candidate.pair.mode.id: each for each in places}
    chosen = [in_place.get(each.pair.mode.id) or _unplaced(each) for each in found]
    return _shown(asked, chosen, places)


def _unplaced(candidate: Candidate) -> Placed:
    return Placed(0, 0, candidate, rank_of(candidate))


def _shown(asked: Asked, chosen: Iterable[Placed], ranked: Sequence[Placed] = ()) -> Iterator[Offer]:
    """Yield candidates with everything that their records hold; only what is shown is read."""
    chosen = list(chosen)
    pairs = [each.candidate.pair for each in chosen]
    sides = [side for pair in pairs for side in (pair.mode.id, pair.substrate) if side is not None]
    held = asked.pairs.settings(sides)
    for each, pair in zip(chosen, pairs, strict=True):
        yield Offer(
            each.candidate,
            each.place,
            each.shared,
            reason(ranked, each),
            0 if pair.mode.newest else asked.registry.model.named(pair.mode.rid, "print-mode")[0].number,
            held.get(pair.mode.id, {}),
            held.get(pair.substrate, {}) if pair.substrate is not None else {},
        )
