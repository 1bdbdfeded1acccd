"""Find: which pairs meet a request, ranked; else the near misses, and what stands in the way."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from registry.find.candidate import Candidate, candidates
from registry.find.demands import Use, demands, use_of
from registry.find.filters import filters
from registry.find.lit_values import lit_values
from registry.find.rank import Placed, near_rank, placed, rank_of, reason
from registry.find.request import Request
from registry.find.wanted import Wanted, as_test
from registry.index.pairs import Pair, Pairs, Test
from registry.index.readmodel import Value
from registry.question.advice import Remark, remarks
from registry.question.names import named
from registry.question.registry import Registry

if TYPE_CHECKING:
    from registry.find.unheard import Unheard

__all__ = ["Excluded", "FindAnswer", "Offer", "find"]


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


class Excluded(NamedTuple):
    """A requirement or a rule, and how many print modes it leaves out."""

    by: Wanted | Remark
    left_out: int


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
    missed: int = 0
    """How many fail one requirement only, where nothing was found."""
    near: tuple[Offer, ...] = ()
    """The best of them."""
    excluded: tuple[Excluded, ...] = ()
    """Where there is not even a near miss: what leaves out most."""
    why: tuple[Offer, ...] = ()
    """The modes of the record that was asked about, in or out."""
    unheard: "tuple[Unheard, ...]" = ()
    """Words that nothing says, where nothing was found: near misses and the like are told without them."""
    found_without: int = 0
    """How many would be found without those words."""


class _Asked(NamedTuple):
    """A request made ready."""

    registry: Registry
    pairs: Pairs
    request: Request
    use: Use | None
    wanted: list[Wanted]
    tests: list[Test]

    def judged(self, found: Sequence[Pair]) -> list[Candidate]:
        lit = partial(lit_values, self.registry, self.use)
        return candidates(self.registry.model, self.pairs, self.use, self.wanted, found, lit=lit)

    def finds(self) -> list[Placed]:
        passing = self.judged(self.pairs.passing(self.tests))
        return placed(each for each in passing if not each.in_the_way)


def find(registry: Registry, request: Request) -> FindAnswer:
    """Return the pairs that meet a request, or what stands in the way."""
    asked = _asked(registry, request)
    places = asked.finds()
    silent = () if places else _unheard(asked)
    heard = _asked(registry, _without(request, silent)) if silent else asked
    found_without = len(heard.finds()) if silent else 0
    told = bool(places or request.why or found_without)
    near = [] if told else _near_misses(heard)
    excluded = () if told or near else tuple(_excluded(heard))
    return FindAnswer(
        registry.commit,
        request,
        asked.use,
        asked.pairs.total(),
        len(places),
        tuple(_shown(asked, places[: request.limit], places)),
        len(near),
        tuple(_shown(heard, map(_unplaced, near[: request.limit]))),
        excluded,
        tuple(_why(asked, places)) if request.why else (),
        silent,
        found_without,
    )


def _unheard(asked: _Asked) -> "tuple[Unheard, ...]":
    from registry.find.unheard import unheard  # noqa: PLC0415 (only where nothing was found)

    return tuple(unheard(asked.registry, asked.pairs, asked.request.words))


def _without(request: Request, silent: "Sequence[Unheard]") -> Request:
    """Return the request without the words that nothing says."""
    return request._replace(words=tuple(set(request.words) - {each.word for each in silent}))


def _asked(registry: Registry, request: Request) -> _Asked:
    use = use_of(registry, request.use) if request.use else None
    wanted = [*filters(registry, request), *(demands(use) if use else ())]
    pairs = Pairs(registry.model)
    return _Asked(registry, pairs, request, use, wanted, [as_test(pairs, each) for each in wanted])


def _near_misses(asked: _Asked) -> list[Candidate]:
    """Return the pairs that one requirement alone, or one refusal, keeps from being finds, best first."""
    failing = asked.judged(asked.pairs.failing(asked.tests, 1))
    near = [candidate for candidate in failing if len(candidate.in_the_way) == 1]
    return sorted(near, key=lambda each: (near_rank(each), each.pair.mode.rid, each.pair.mode.seq))


def _excluded(asked: _Asked) -> list[Excluded]:
    """Return what leaves out the most pairs."""
    model, total = asked.registry.model, asked.pairs.total()
    passed = asked.pairs.counts(asked.tests)
    left_out = [Excluded(wanted, total - each) for wanted, each in zip(asked.wanted, passed, strict=True)]
    modes = [mode.id for mode in model.subjects("print-mode")]
    said = remarks(model, modes, asked.use.subject if asked.use else None)
    refusals = Counter(remark for each in said.values() for remark in each if remark.refuses)
    left_out += [Excluded(rule, count) for rule, count in refusals.items()]
    most = max(each.left_out for each in left_out)
    return [each for each in left_out if each.left_out == most > 0]


def _why(asked: _Asked, places: Sequence[Placed]) -> Iterator[Offer]:
    """Yield every mode of the record that was asked about, in its place or out."""
    record = named(asked.registry, asked.request.why, ("substrate", "print-mode"))
    found = asked.judged(asked.pairs.of_record(record, asked.tests))
    found.sort(key=lambda each: (each.pair.mode.rid, -each.pair.mode.seq))
    in_place = {each.candidate.pair.mode.id: each for each in places}
    chosen = [in_place.get(each.pair.mode.id) or _unplaced(each) for each in found]
    return _shown(asked, chosen, places)


def _unplaced(candidate: Candidate) -> Placed:
    return Placed(0, 0, candidate, rank_of(candidate))


def _shown(asked: _Asked, chosen: Iterable[Placed], ranked: Sequence[Placed] = ()) -> Iterator[Offer]:
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
            0 if pair.mode.newest else asked.registry.model.named(pair.mode.rid, "print-mode")[0].seq,
            held.get(pair.mode.id, {}),
            held.get(pair.substrate, {}) if pair.substrate is not None else {},
        )
