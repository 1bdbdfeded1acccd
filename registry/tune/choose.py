"""The load to use: what each ink asks for, and what the heaviest load that stayed dry allows."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from registry.light.fit import Array, FitError, first_reaching, jackknife, peak, rising, slowing, turning
from registry.tune.ladder import Ladder, Rung

__all__ = ["Asked", "Choice", "Dry", "InkChoice", "Limit", "choose", "dry"]

_FRONT_LIT = 100.0
"""The load at which hue counts as unturned: full front-lit ink."""
_STEP = 10.0
"""Points of load over which a gain is looked at."""
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Asked:
    """By what the load is chosen; None leaves a criterion out."""

    density: float | None = None
    """Target: visual density of the darkest ink, relative to the unprinted film."""
    gain: float | None = 0.02
    """Stop where ten more points of load add less density than this."""
    chroma: bool = True
    """Stop where a chromatic ink's chroma peaks."""
    hue_deg: float | None = 6.0
    """Stop where hue has turned by this much since full front-lit ink."""
    mottle: float | None = 1.0
    """Stop where mottle (standard deviation of L* over the solid) passes this."""
    passes: int | None = None
    """Only this pass count; else the fewest that allow what is asked."""

    def with_density(self, density: float) -> "Asked":
        """Return the same with a target."""
        return replace(self, density=density)


class Limit(NamedTuple):
    """One criterion's load for one ink."""

    criterion: str
    load_pct: float
    error_pct: float | None
    """Standard error by leaving loads out in turn; None where it cannot be told."""
    words: str


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


class Dry(NamedTuple):
    """How heavy a load came dry and did not re-wet in so many passes."""

    passes: int
    heaviest_pct: float | None
    """None where even the lightest failed."""
    first_failed_pct: float | None
    """The lightest that failed; None where none did."""
    failed: str
    """How it failed: did not dry, or re-wet."""
    untried: bool
    """Some of the rungs at or below were never tried against re-wetting."""


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


def dry(ladder: Ladder) -> tuple[Dry, ...]:
    """Return for each pass count the heaviest load below every one that stayed wet or re-wet."""
    return tuple(_dry(each, ladder.of(each)) for each in ladder.passes)


def _dry(passes: int, rungs: Sequence[Rung]) -> Dry:
    failed = min((each for each in rungs if not each.stood), key=lambda each: each.load_pct, default=None)
    stood = [each for each in rungs if failed is None or each.load_pct < failed.load_pct]
    how = (
        "" if failed is None else f"{failed.ink} did not dry" if not failed.dried else f"{failed.ink} re-wet"
    )
    return Dry(
        passes,
        max((each.load_pct for each in stood), default=None),
        failed.load_pct if failed else None,
        how,
        any(each.rewet is None for each in stood),
    )


def choose(ladder: Ladder, asked: Asked) -> Choice:
    """Return the load to use, and why.

    The layer's load is the largest that an ink asks for, under the heaviest that stayed dry: each ink that
    stops paying earlier is held back to its own in the linearisation. With a target, it is the least load
    that reaches it, if nothing stops it earlier.

    Raises
    ------
    FitError
        Nothing stayed dry, or too few loads were read.
    """
    standings = dry(ladder)
    usable = [
        each for each in standings if each.heaviest_pct is not None and asked.passes in {None, each.passes}
    ]
    if not usable:
        tried = f"in {asked.passes} passes " if asked.passes else ""
        raise FitError(f"no load {tried}came dry without re-wetting: this ladder allows no setting at all")
    choices = [_chosen(ladder, asked, each, standings) for each in usable]
    heaviest = max(choices, key=lambda each: (each.reached, each.load_pct))
    good = [
        each
        for each in choices
        if each.reached == heaviest.reached and each.load_pct >= heaviest.load_pct - 1
    ]
    return min(good, key=lambda each: each.passes)


def _chosen(ladder: Ladder, asked: Asked, ceiling: Dry, standings: tuple[Dry, ...]) -> Choice:
    rungs = ladder.of(ceiling.passes)
    inks = tuple(_ink(each, [rung for rung in rungs if rung.ink == each], asked) for each in ladder.inks)
    if not inks:
        raise FitError("the ladder holds no ink alone: print each ink by itself at every load")
    wants = max(inks, key=lambda each: each.load_pct)
    load, error, reason, reached = wants.load_pct, wants.error_pct, f"{wants.ink}: {wants.words}", True
    if asked.density is not None:
        load, error, reason, reached = _target(rungs, inks, asked.density, wants)
    top = ceiling.heaviest_pct or 0.0
    if load > top:
        wanted = f"{reason}, at {load:.0f} %" if reached else reason
        failed = (
            f"at {ceiling.first_failed_pct:g} % {ceiling.failed}"
            if ceiling.failed
            else "heavier was not read"
        )
        reason = f"the heaviest that stayed dry ({failed}); but for that: {wanted}"
        load, error, reached = top, None, reached and asked.density is None
    return Choice(
        round(load, 1),
        error,
        ceiling.passes,
        reason,
        inks,
        standings,
        reached,
        tuple(_doubts(ladder, ceiling)),
    )


def _target(
    rungs: Sequence[Rung], inks: Sequence[InkChoice], wanted: float, wants: InkChoice
) -> tuple[float, float | None, str, bool]:
    """Return the least load at which the darkest solid has the wanted density, if nothing stops it before."""
    darkest = max(rungs, key=lambda each: each.visual).ink
    of_it = [each for each in rungs if each.ink == darkest]
    load, reading = _readings(of_it, lambda each: each.visual)

    def found(keep: Array) -> float | None:
        return first_reaching(rising(load[keep], reading[keep]), wanted)

    everything = np.ones(len(load), dtype=bool)
    reaches = found(everything)
    if reaches is None:
        most = float(rising(load, reading).at(load.max()))
        return (
            float(load.max()),
            None,
            f"the target of {wanted:.2f} is not reached: {darkest} comes to {most:.2f}",
            False,
        )
    stop = next((each.load_pct for each in inks if each.ink == darkest), None)
    if stop is not None and reaches > stop:
        return stop, None, f"{wants.words} before {darkest} reaches {wanted:.2f}", False
    return reaches, jackknife(load, found), f"{darkest} reaches a density of {wanted:.2f} over the film", True


def _ink(ink: str, rungs: Sequence[Rung], asked: Asked) -> InkChoice:
    heaviest = max(each.load_pct for each in rungs)
    stops = sorted(_stops(ink, rungs, asked), key=lambda each: each.load_pct)
    load, reading = _readings(rungs, lambda each: each.density)
    first = stops[0] if stops else None
    chosen = first.load_pct if first else heaviest
    words = first.words if first else f"still pays at {heaviest:g} %, the heaviest read"
    return InkChoice(
        ink,
        round(chosen, 1),
        first.error_pct if first else None,
        tuple(stops),
        words,
        float(rising(load, reading).at(min(max(chosen, load.min()), load.max()))),
    )


def _stops(ink: str, rungs: Sequence[Rung], asked: Asked) -> Iterator[Limit]:
    if asked.gain is not None:
        yield from _stop(
            rungs,
            lambda each: each.density,
            _gain_below(asked.gain),
            "gain",
            f"ten more points add less than {asked.gain:g} of density",
        )
    if asked.chroma and ink != "K":
        yield from _stop(rungs, lambda each: each.chroma, _peak, "chroma", "its chroma peaks")
    if asked.hue_deg is not None and ink != "K":
        yield from _stop(
            rungs,
            _unwrapped(rungs),
            _turned_by(asked.hue_deg),
            "hue",
            f"its hue has turned by {asked.hue_deg:g}° since full front-lit ink",
        )
    if asked.mottle is not None and sum(each.mottle is not None for each in rungs) >= 3:
        judged = [each for each in rungs if each.mottle is not None]
        yield from _stop(
            judged,
            lambda each: each.mottle or 0.0,
            _passes(asked.mottle),
            "mottle",
            f"its mottle passes {asked.mottle:g}",
        )


_Find = Callable[[Array, Array], float | None]


def _stop(
    rungs: Sequence[Rung], of: Callable[[Rung], float], find: _Find, criterion: str, words: str
) -> Iterator[Limit]:
    load, reading = _readings(rungs, of)
    found = find(load, reading)
    if found is not None:
        error = jackknife(load, lambda keep: find(load[keep], reading[keep]))
        yield Limit(criterion, round(found, 1), error, words)


def _readings(rungs: Sequence[Rung], of: Callable[[Rung], float]) -> tuple[Array, Array]:
    return np.array([each.load_pct for each in rungs]), np.array([of(each) for each in rungs])


def _gain_below(least: float) -> _Find:
    def find(load: Array, reading: Array) -> float | None:
        curve = slowing(load, reading)
        loads = curve.loads[curve.loads <= curve.last - _STEP]
        if not len(loads):
            return None
        paying = np.flatnonzero(curve.at(loads + _STEP) - curve.at(loads) >= least - _ROUNDING)
        last = int(paying[-1]) if len(paying) else 0  # they only shrink: where the last ten still paid
        return None if last == len(loads) - 1 else float(loads[last] + _STEP)

    return find


def _peak(load: Array, reading: Array) -> float | None:
    where, falls = peak(turning(load, reading))
    return where if falls else None


def _turned_by(limit: float) -> _Find:
    def find(load: Array, reading: Array) -> float | None:
        curve = turning(load, reading)
        if not curve.first <= _FRONT_LIT < curve.last:
            return None
        after = curve.loads[curve.loads >= _FRONT_LIT]
        turned = np.abs(curve.at(after) - float(curve.at(_FRONT_LIT)))
        beyond = np.flatnonzero(turned > limit)
        return float(after[beyond[0]]) if len(beyond) else None

    return find


def _passes(limit: float) -> _Find:
    def find(load: Array, reading: Array) -> float | None:
        reached = first_reaching(rising(load, reading), limit)
        return None if reached is None or reached >= load.max() else reached

    return find


def _unwrapped(rungs: Sequence[Rung]) -> Callable[[Rung], float]:
    """Return hue without its jump from 360° to 0°: about the hue of the lightest load."""
    about = min(rungs, key=lambda each: each.load_pct).hue_deg

    def of(rung: Rung) -> float:
        return about + (rung.hue_deg - about + 180) % 360 - 180

    return of


def _doubts(ladder: Ladder, ceiling: Dry) -> Iterator[str]:
    if ceiling.untried:
        passes = f"{ceiling.passes} passes"
        yield f"some solids in {passes} were never tried against re-wetting: try them before this is used"
    if not any(len(each.ink) > 1 for each in ladder.of(ceiling.passes)):
        yield "no overprint was tried: the heaviest mixed solid dries last, try it before this is used"
    if ladder.how.simulated:
        yield "the ladder is simulated: nothing was measured"
