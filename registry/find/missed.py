"""What to say where nothing was found: what is kept out, comes near or was named; else what is in the way."""

from collections import Counter
from typing import NamedTuple

from registry.find.candidate import Asked, Candidate
from registry.find.rank import near_rank
from registry.find.unproven import is_unproven
from registry.find.wanted import IN_USE, STATUS, UNMET, Judged, Wanted
from registry.index.pairs import Held, Standing, Test, Worded
from registry.question.advice import Remark, remarks

__all__ = ["Excluded", "Missed", "missed"]

_FEW = 5
"""So many modes may be called by the words that were typed for each to be told by itself."""
_ANY = Held("mode", "", (), (), "open")
"""A test that every pair passes."""


class Excluded(NamedTuple):
    """A requirement or a rule, and how many print modes it leaves out."""

    by: Wanted | Remark
    left_out: int


class Missed(NamedTuple):
    """What a request that found nothing comes to; in each list the best first."""

    kept_out: list[Candidate]
    """Has everything that is asked for, but is on trial, withdrawn or refused by guidance."""
    near: list[Candidate]
    """Fails one requirement alone."""
    named: list[Candidate]
    """Where there is neither: the few that say every word that was typed."""
    excluded: tuple[Excluded, ...]
    """Where there is nothing of it: what leaves out the most."""


def missed(asked: Asked) -> Missed:
    """Return what to say of a request that found nothing."""
    kept_out = _kept_out(asked)
    near = _near(asked)
    if kept_out:  # what is asked for is here: nothing else stands beside it but what misses by a measure
        near = [each for each in near if _measured(each)]
    named = _named(asked) if not kept_out and not near else []
    found = kept_out or near or named
    return Missed(kept_out, near, named, () if found else tuple(_excluded(asked)))


def _kept_out(asked: Asked) -> list[Candidate]:
    tests = [_ANY if isinstance(test, Standing) else test for test in asked.tests]
    found = asked.judged(asked.pairs.passing(tests))
    return sorted((each for each in found if all(map(_keeps_out, each.in_the_way))), key=_few_first)


def _keeps_out(way: Judged | Remark) -> bool:
    """Whether this is not what was asked for, but how a mode or its substrate stands, or guidance."""
    if isinstance(way, Remark):
        return True
    known = way.wanted.known
    return way.answer == UNMET and (known is IN_USE or (known.of, known.path) == ("mode", STATUS))


def _near(asked: Asked) -> list[Candidate]:
    """Return the pairs that one requirement alone keeps from being finds; a word that is missing is none."""
    failing = asked.judged(asked.pairs.failing(asked.tests, 1))
    near = [each for each in failing if len(each.in_the_way) == 1 and not _is_other(each.in_the_way[0])]
    return sorted(near, key=lambda each: (near_rank(each), each.pair.mode.rid, each.pair.mode.seq))


def _is_other(way: Judged | Remark) -> bool:
    """Whether what fails this is told apart, or was not meant: it does not say a word that was typed."""
    return _keeps_out(way) or is_unproven(way) or (isinstance(way, Judged) and way.wanted.what == "word")


def _measured(candidate: Candidate) -> bool:
    way = candidate.in_the_way[0]
    return isinstance(way, Judged) and way.margin is not None


def _named(asked: Asked) -> list[Candidate]:
    """Return the pairs that say every word that was typed, if they are few, whatever is in their way."""
    tests: list[Test] = [test if isinstance(test, Worded) else _ANY for test in asked.tests]
    found = asked.pairs.passing(tests) if asked.request.words else []
    return sorted(asked.judged(found), key=_few_first) if len(found) <= _FEW else []


def _few_first(candidate: Candidate) -> tuple[object, ...]:
    """Return the order of those that several things may keep out: fewest first."""
    rid, seq = candidate.pair.mode.rid, candidate.pair.mode.seq
    return len(candidate.in_the_way), near_rank(candidate), rid, seq


def _excluded(asked: Asked) -> list[Excluded]:
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
