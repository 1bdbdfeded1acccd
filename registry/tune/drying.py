"""How heavy a load came dry and did not re-wet, in each pass count that was tried."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from registry.tune.ladder import Ladder, Rung

__all__ = ["Dry", "contradictions", "doubts", "dry"]


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


def dry(ladder: Ladder) -> tuple[Dry, ...]:
    """Return for each pass count the heaviest load below every one that stayed wet or re-wet."""
    return tuple(_dry(each, ladder.of(each)) for each in ladder.passes)


def _first_failed(rungs: Sequence[Rung]) -> Rung | None:
    return min((each for each in rungs if not each.stood), key=lambda each: each.load_pct, default=None)


def _how(failed: Rung) -> str:
    return f"{failed.ink} re-wet" if failed.dried else f"{failed.ink} did not dry"


def _dry(passes: int, rungs: Sequence[Rung]) -> Dry:
    failed = _first_failed(rungs)
    stood = [each for each in rungs if failed is None or each.load_pct < failed.load_pct]
    return Dry(
        passes,
        max((each.load_pct for each in stood), default=None),
        failed.load_pct if failed else None,
        _how(failed) if failed else "",
        any(each.rewet is None for each in stood),
    )


def contradictions(ladder: Ladder) -> Iterator[str]:
    """Yield where an ink failed and yet stood at as much or more: one of the two is a slip or a stray.

    The lighter one is believed, for it is the safe one; so a slip there costs most of the ladder.
    """
    for passes in ladder.passes:
        rungs = ladder.of(passes)
        failed = _first_failed(rungs)
        if failed is None:
            continue
        stood = [
            each.load_pct
            for each in rungs
            if each.ink == failed.ink and each.stood and each.load_pct >= failed.load_pct
        ]
        if stood:
            yield (
                f"{_how(failed)} at {failed.load_pct:g} % in {passes} passes, and yet stood at "
                f"{max(stood):g} %: look at that line of the ladder, and print that solid again"
            )


def doubts(ladder: Ladder, standing: Dry, load_pct: float) -> Iterator[str]:
    """Yield what makes it doubtful that a load will dry."""
    rungs = ladder.of(standing.passes)
    if standing.untried:
        passes = f"{standing.passes} passes"
        yield f"some solids in {passes} were never tried against re-wetting: try them before this is used"
    mixed = [each.load_pct for each in rungs if each.mixed]
    if not mixed:
        yield "no overprint was tried: the heaviest mixed solid dries last, try it before this is used"
    elif load_pct > max(mixed):
        yield (
            f"overprints were tried up to {max(mixed):g} % only: the heaviest mixed solid dries last, try it "
            f"at {load_pct:g} % before this is used"
        )
