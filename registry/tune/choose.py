"""The load to use: what each ink asks for, and what the heaviest load that stayed dry allows."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from registry.light.fit import Array, FitError, Mask, first_reaching, jackknife, rising, turning
from registry.tune.criteria import Asked, Limit, readings, stops, untold
from registry.tune.drying import Dry, contradictions, doubts, dry
from registry.tune.ladder import Ladder, Rung

__all__ = ["MARGIN_PCT", "Choice", "InkChoice", "choose"]

_FEWEST = 3
"""Different loads at which an ink has to be read."""
_STEP = 10.0
"""Points of load, at the least, over which a slope is looked at."""
MARGIN_PCT = 5.0
"""Of the heaviest load that stayed dry: a colder day, a damper room or another lot dries less (common
practice, no source)."""
_AS_HEAVY = 1.0
"""Loads that differ by no more points are the same to a printer."""


class InkChoice(NamedTuple):
    """How far one ink pays."""

    ink: str
    load_pct: float
    """Where it stops paying, or the heaviest load read where nothing stops it."""
    error_pct: float | None
    stops: tuple[Limit, ...]
    """Everything that stops it, the first to do so first."""
    words: str
    density_at: float
    """Its density there, relative to the unprinted film."""

    def held_back_pct(self, load_pct: float) -> float:
        """Return to how much of the layer's load the linearisation holds it back, in %; 100 where not."""
        return min(100.0, 100 * self.load_pct / load_pct) if self.stops and load_pct else 100.0


@dataclass(frozen=True, slots=True)
class Choice:
    """The load to use."""

    load_pct: float
    error_pct: float | None
    passes: int
    reason: str
    inks: tuple[InkChoice, ...]
    dry: tuple[Dry, ...]
    """Every pass count that was tried."""
    reached: bool
    """Whether the target, if there was one, is reached."""
    doubts: tuple[str, ...]
    fewer: tuple[tuple[int, str], ...] = ()
    """Fewer passes that were tried too, and what comes of them."""


class _Wanted(NamedTuple):
    """A load, whatever dries."""

    load_pct: float
    error_pct: float | None
    reason: str
    reached: bool


def choose(ladder: Ladder, asked: Asked, offered: Collection[int] = ()) -> Choice:
    """Return the load to use, and why.

    The layer's load is the largest that an ink asks for, 5 % under the heaviest that stayed dry: each ink
    that stops paying earlier is held back to its own in the linearisation. With a target, it is the least
    load that reaches it, if nothing stops it earlier. Of several pass counts (those `offered` by the printer,
    where any is) the fewest that reach the target are taken; without a target, or where none reaches it, the
    fewest that allow the heaviest load.

    Raises
    ------
    FitError
        Nothing stayed dry, or too few loads were read.
    """
    if not ladder.inks:
        raise FitError("the ladder holds no ink alone: print each ink by itself at every load")
    if asked.passes is not None and asked.passes not in ladder.passes:
        tried = ", ".join(map(str, ladder.passes))
        raise FitError(f"{asked.passes} passes were not tried: the ladder was printed in {tried}")
    standings = dry(ladder)
    usable = [
        each for each in standings if each.heaviest_pct is not None and asked.passes in {None, each.passes}
    ]
    usable = [each for each in usable if each.passes in offered] or usable
    if not usable:
        tried = f"in {asked.passes} passes " if asked.passes else ""
        slips = "".join(f"; {each}" for each in contradictions(ladder))
        raise FitError(
            f"no load {tried}came dry without re-wetting: this ladder allows no setting at all{slips}"
        )
    choices = [found for each in usable if (found := _chosen(ladder, asked, each, standings))]
    if not choices:
        raise FitError("no ink was read at 3 loads or more in one pass count")
    reaching = [each for each in choices if each.reached and asked.density is not None]
    heaviest = max(each.load_pct for each in choices)
    good = reaching or [each for each in choices if each.load_pct >= heaviest - _AS_HEAVY]
    taken = min(good, key=lambda each: each.passes)
    fewer = (each for each in choices if each.passes < taken.passes)
    told = tuple((each.passes, f"{each.load_pct:.0f} %: {each.reason}") for each in fewer)
    return replace(taken, fewer=told)


def _chosen(ladder: Ladder, asked: Asked, ceiling: Dry, standings: tuple[Dry, ...]) -> Choice | None:
    """Return what to use in one pass count; None where no ink was read often enough."""
    rungs = ladder.of(ceiling.passes)
    by_ink = {ink: [rung for rung in rungs if rung.ink == ink] for ink in ladder.inks}
    found = tuple(_ink(ink, read, asked) for ink, read in by_ink.items())
    inks = tuple(each for each in found if each)
    if not inks:
        return None
    wants = max(inks, key=lambda each: each.load_pct)
    wanted = _Wanted(wants.load_pct, wants.error_pct, _pays(wants), reached=True)
    if asked.density is not None:
        wanted = _target(rungs, inks, asked.density)
    if wanted.load_pct > _safe(ceiling):
        wanted = _capped(wanted, ceiling, aimed=asked.density is not None)
    load = round(wanted.load_pct, 1)
    return Choice(
        load,
        wanted.error_pct,
        ceiling.passes,
        wanted.reason,
        inks,
        standings,
        wanted.reached,
        (*contradictions(ladder), *doubts(ladder, ceiling, load), *_doubts(ladder, by_ink, asked, ceiling)),
    )


def _pays(ink: InkChoice) -> str:
    """Return how far the ink that pays longest does."""
    return f"{ink.ink} pays longest, until {ink.words}" if ink.stops else f"{ink.ink} {ink.words}"


def _safe(ceiling: Dry) -> float:
    """Return the most to recommend: under the heaviest that stayed dry on the day of the ladder."""
    return (ceiling.heaviest_pct or 0.0) * (1 - MARGIN_PCT / 100)


def _capped(wanted: _Wanted, ceiling: Dry, *, aimed: bool) -> _Wanted:
    """Return a load under the heaviest that stayed dry instead of what was wanted."""
    but_for = f"{wanted.reason}, at {wanted.load_pct:.0f} %" if wanted.reached else wanted.reason
    failed = (
        f"at {ceiling.first_failed_pct:g} % {ceiling.failed}" if ceiling.failed else "heavier was not read"
    )
    heaviest = f"{MARGIN_PCT:g} % under {ceiling.heaviest_pct:g} %, the heaviest that stayed dry ({failed})"
    reason = f"{heaviest}; but for that: {but_for}"
    return _Wanted(_safe(ceiling), None, reason, reached=wanted.reached and not aimed)


def _darkest(rungs: Sequence[Rung], inks: Sequence[InkChoice]) -> list[Rung]:
    """Return the rungs of the darkest solid: black where it was read alone, else of inks and overprints.

    An image keeps below the sum of inks that an overprint at full load has; black alone it prints.
    """
    solids = {each.ink: [rung for rung in rungs if rung.ink == each.ink] for each in rungs}
    usual = {each.ink for each in inks} | {ink for ink, read in solids.items() if _is_read(read)}
    wanted = {"K"} if any(each.ink == "K" for each in inks) else usual
    return max((solids[ink] for ink in wanted), key=lambda read: max(each.visual for each in read))


def _target(rungs: Sequence[Rung], inks: Sequence[InkChoice], target: float) -> _Wanted:
    """Return the least load at which the darkest solid has a density, if nothing stops it before."""
    load, reading = readings(_darkest(rungs, inks), lambda each: each.visual)
    darkest = _darkest(rungs, inks)[0].ink
    own = next((each for each in inks if each.ink == darkest), None)
    stop = own.load_pct if own and own.stops else float(load.max())

    def found(keep: Mask) -> float | None:
        return first_reaching(rising(load[keep], reading[keep]), target)

    reaches = found(np.ones(len(load), dtype=bool))
    if reaches is None or reaches > stop:
        comes_to = float(rising(load, reading).at(min(max(stop, load.min()), load.max())))
        why = f" where {own.words}" if own and own.stops else f" at {stop:g} %, the heaviest read"
        reason = f"the target of {target:.2f} is not reached: {darkest} comes to {comes_to:.2f}{why}"
        return _Wanted(stop, own.error_pct if own and own.stops else None, reason, reached=False)
    already = ", already at the lightest read" if reaches == load.min() else ""
    reason = f"{darkest} reaches a density of {target:.2f} over the film{already}"
    error = None if already else _error(load, reading, reaches, jackknife(load, found))
    return _Wanted(reaches, error, reason, reached=True)


def _error(load: Array, reading: Array, reaches: float, left_out: float | None) -> float | None:
    """Return the standard error of a load reached: by leaving loads out, and no less than by their noise.

    Noise is what the readings keep from a smooth curve; over the slope there it is so many points of load.
    Leaving loads out has that noise in it already, so the two do not add up; but by luck, where the two loads
    beside the target lie on the curve, it finds next to none (`tests/tune/test_choose.py` repeats ladders).
    """
    try:
        noise = turning(load, reading).residual
    except FitError:
        return left_out
    curve, half = rising(load, reading), max(_STEP, float(np.diff(np.unique(load)).max())) / 2
    around = np.clip([reaches - half, reaches + half], curve.first, curve.last)
    low, high = curve.at(around)
    if high <= low or left_out is None:
        return left_out
    return float(max(left_out, noise * (around[1] - around[0]) / (high - low)))


def _ink(ink: str, rungs: Sequence[Rung], asked: Asked) -> InkChoice | None:
    if not _is_read(rungs):  # said among the doubts
        return None
    curve = rising(*readings(rungs, lambda each: each.density))
    found = stops(ink, rungs, asked)
    first = found[0] if found else None
    chosen = first.load_pct if first else curve.last
    return InkChoice(
        ink,
        round(chosen, 1),
        first.error_pct if first else None,
        found,
        first.words if first else f"still pays at {curve.last:g} %, the heaviest read",
        float(curve.at(min(max(chosen, curve.first), curve.last))),
    )


def _is_read(rungs: Sequence[Rung]) -> bool:
    """Whether a solid's density was read at enough loads for a curve."""
    return len(set(readings(rungs, lambda each: each.density)[0])) >= _FEWEST


def _doubts(ladder: Ladder, by_ink: dict[str, list[Rung]], asked: Asked, ceiling: Dry) -> Iterator[str]:
    """Yield what the ladder leaves open in one pass count."""
    for ink, rungs in by_ink.items():
        if not _is_read(rungs):
            loads = len({each.load_pct for each in rungs})
            yield f"{ink} was read at {loads} loads in {ceiling.passes} passes: too few for it to have a say"
            continue
        for each in untold(ink, rungs, asked):
            yield f"not judged: {each}"
        if black := [rung.load_pct for rung in rungs if rung.density == float("inf")]:
            yield f"{ink} reads as black itself from {min(black):g} % on: its density there is not known"
    if ladder.how.simulated:
        yield "the ladder is simulated: nothing was measured"
