"""What is not offered because a demand of safety, such as a fire class, is not known to be met."""

from registry.find.candidate import Asked, Candidate
from registry.find.rank import rank_of
from registry.find.wanted import Judged, Wanted, as_test

__all__ = ["is_unproven", "unproven"]


def unproven(asked: Asked) -> list[Candidate]:
    """Return what has everything that is asked for but a safety that nobody can tell; the best first."""
    if not any(_is_of_safety(each) for each in asked.wanted):
        return []
    tests = [
        as_test(asked.pairs, each._replace(strict=False)) if _is_of_safety(each) else test
        for each, test in zip(asked.wanted, asked.tests, strict=True)
    ]
    found = asked.judged(asked.pairs.passing(tests))
    kept = [each for each in found if each.in_the_way and all(map(is_unproven, each.in_the_way))]
    return sorted(kept, key=lambda each: (rank_of(each), each.pair.mode.rid, each.pair.mode.seq))


def is_unproven(way: object) -> bool:
    """Whether what stands in the way is a demand of safety of which nothing is known."""
    return isinstance(way, Judged) and way.unknown and _is_of_safety(way.wanted)


def _is_of_safety(wanted: Wanted) -> bool:
    return wanted.known.safety and wanted.strict
