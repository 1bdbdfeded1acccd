"""What is computed of a find in its place: luminance, contrast and gamut, where its readings allow."""

from collections.abc import Iterable, Mapping, Sequence
from functools import reduce
from operator import and_
from typing import TYPE_CHECKING, Any, NamedTuple

from registry.find.demands import Use
from registry.find.wanted import MET, ORDERED, UNMET, UNSURE, Judged, Wanted, Worth, judge
from registry.index.pairs import Pair
from registry.index.readmodel import Value
from registry.question.registry import Registry

if TYPE_CHECKING:
    from registry.lit.asking import LitMode
    from registry.question.when import Version

__all__ = ["LitValue", "judge_lit", "lit_of", "lit_values", "lit_versions"]

_SURE, _LIKELY = 0.95, 0.5
"""From which chance a demand is met, and from which it is met though not surely."""
_TOLD = 0.001
"""What brings less of the variance than this is not told."""


class LitValue(NamedTuple):
    """One computed number of a lit print."""

    value: Value
    known: Any = None
    """What was drawn for it (`registry.light.uncertainty.Known`); None where nothing was."""
    shares: tuple[tuple[str, float], ...] = ()
    unmeasured: tuple[str, ...] = ()


LitValues = Mapping[str, LitValue]


def lit_values(
    registry: Registry, use: Use | None, paths: Iterable[str], found: Sequence[Pair]
) -> list[LitValues]:
    """Return for each pair what can be computed of it in a place, by path; nothing where that is unknown.

    Of the quantities only those at `paths` are sure to be there.
    """
    if use is None or use.lighting == "frontlit":
        return [{} for _ in found]
    from registry.question.when import version_of  # noqa: PLC0415 (only for such a demand)

    registry.documents(pair.mode.blob for pair in found)  # read in one go
    versions = [version_of(registry, pair.mode, pair.mode.seq, "found") for pair in found]
    return lit_versions(registry, use, paths, versions)


def lit_versions(
    registry: Registry, use: Use, paths: Iterable[str], versions: "Sequence[Version]"
) -> list[LitValues]:
    """Return for each version of a mode what can be computed of it in a place, at least at `paths`."""
    if use.lighting == "frontlit" or not versions:
        return [{} for _ in versions]
    from registry.lit.asking import lit_modes, scene_named  # noqa: PLC0415 (numpy, only for such a demand)

    gamut = any(path.startswith(("lit.gamut", "lit.cct_k", "lit.duv")) for path in paths)
    _, scene = scene_named(registry, f"{use.kind}:{use.rid}")
    return [lit_of(mode) for mode in lit_modes(registry, scene, versions, gamut=gamut)]


def lit_of(mode: "LitMode") -> LitValues:
    """Return what is computed of a mode in a place, by path, each with what it is worth."""
    looks, certainty = mode.appearance, mode.certainty
    if looks is None or certainty is None:
        return {}
    return {
        path: LitValue(
            _value(computed),
            known := certainty.of.get(path),
            tuple((certainty.words[name], share) for name, share in known.shares if share >= _TOLD)
            if known
            else (),
            tuple(certainty.words[name] for name in certainty.rests_on(path)),
        )
        for path, computed in looks.values.items()
    }


def judge_lit(wanted: Wanted, found: LitValue | None) -> Judged:
    """Return whether a computed number meets a requirement, heeding how well it is known.

    Met is what has a chance of at least 0.95, all bounds together, and rests on nothing that nobody measured;
    not surely, a chance of at least 0.5.
    """
    judged = judge(wanted, (found.value,) if found else ())
    if found is None or judged.unknown:
        return judged
    if found.known is None:
        return judged._replace(answer=_answer(judged, None, found.unmeasured), unmeasured=found.unmeasured)
    known, chance = found.known, None
    if wanted.bounds and all(bound.op[0] in "<>" for bound in wanted.bounds):
        within = (ORDERED[bound.op](known.drawn, bound.wanted) for bound in wanted.bounds)
        chance = known.chance(lambda _: reduce(and_, within))
    return judged._replace(
        answer=_answer(judged, chance, found.unmeasured),
        worth=Worth(known.value, known.u, known.low, known.high, chance, found.shares),
        unmeasured=found.unmeasured,
    )


def _answer(judged: Judged, chance: float | None, unmeasured: tuple[str, ...]) -> str:
    if chance is not None and chance < _LIKELY:
        return UNMET
    likely = judged.answer == MET if chance is None else True
    if not likely:
        return judged.answer
    return UNSURE if unmeasured or (chance is not None and chance < _SURE) else MET


def _value(computed: float) -> Value:
    """Return a computed number to the figures that its readings allow."""
    text = f"{computed:.4g}"
    return Value(float(text), text)
