"""Who confirmed a mode, how often and how lately: only for the very settings that are offered."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from registry.index.pairs import Judgement, Pair, Pairs

__all__ = ["Confirmed", "SiteWord", "confirmed"]


class SiteWord(NamedTuple):
    """What one site said of a mode's settings."""

    site: str
    times: int
    """How often it said so; that it went well no oftener than it has printed so: without runs once."""
    last: str
    """The day on which it last judged a print."""
    note: str = ""
    """Its reservation then, or what failed."""


class Confirmed(NamedTuple):
    """Who ran these very settings, and how it went."""

    good: tuple[SiteWord, ...] = ()
    """Sites that found them good or usable, the one that said so last first."""
    failed: tuple[SiteWord, ...] = ()

    @property
    def times(self) -> int:
        """How often they were confirmed."""
        return sum(word.times for word in self.good)

    @property
    def last(self) -> str:
        """The day of the last confirmation, empty where there is none."""
        return max((word.last for word in self.good), default="")

    def by(self, site: str) -> SiteWord | None:
        """Return the confirmations of one site, or None where it has not confirmed these settings."""
        return next((word for word in self.good if word.site == site), None)


def confirmed(pairs: Pairs, candidates: Iterable[Pair]) -> dict[int, Confirmed]:
    """Return the confirmations of each pair's mode, by its subject."""
    said: dict[tuple[str, str], list[Judgement]] = {}
    candidates = list(candidates)
    for judgement in pairs.judgements({pair.mode.digest for pair in candidates}):
        said.setdefault((judgement.mode, judgement.digest), []).append(judgement)
    runs = pairs.runs(digest for _, digest in said) if said else {}
    return {
        pair.mode.id: _summed(said.get((pair.mode.rid, pair.mode.digest), []), runs) for pair in candidates
    }


_Runs = Mapping[tuple[str, str], int]


def _summed(judgements: list[Judgement], runs: _Runs) -> Confirmed:
    failed = (_word(site, said, len(said)) for site, said in _by_site(judgements, failed=True))
    good = (
        _word(site, said, max(1, min(len(said), runs.get((said[0].digest, site), 0))))
        for site, said in _by_site(judgements, failed=False)
    )
    return Confirmed(_last_first(good), _last_first(failed))


def _by_site(judgements: list[Judgement], *, failed: bool) -> Iterable[tuple[str, list[Judgement]]]:
    by_site: dict[str, list[Judgement]] = {}
    for each in judgements:
        if (each.outcome == "failed") is failed:
            by_site.setdefault(each.site, []).append(each)
    return by_site.items()


def _last_first(words: Iterable[SiteWord]) -> tuple[SiteWord, ...]:
    return tuple(sorted(words, key=lambda word: (word.last, word.site), reverse=True))


def _word(site: str, said: list[Judgement], times: int) -> SiteWord:
    last = said[-1]  # they come oldest first
    return SiteWord(site, times, last.date, last.note if last.outcome != "good" else "")
