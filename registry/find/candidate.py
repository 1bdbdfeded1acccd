"""A pair of substrate and print mode beside everything that is wanted of it."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from registry.find.demands import Use
from registry.find.evidence import Confirmed, confirmed
from registry.find.lit_values import LitValue, judge_lit, lit_values
from registry.find.request import Request
from registry.find.wanted import IN_USE, MET, STATUS, UNKNOWN, UNMET, UNSURE, Judged, Wanted, judge
from registry.index.facets import COPIED, FROM_COPIED
from registry.index.pairs import Pair, Pairs, Test
from registry.index.readmodel import ReadModel, Value
from registry.lit.quantities import is_lit
from registry.question.advice import Remark, remarks
from registry.question.registry import Registry

__all__ = ["Asked", "Candidate", "Computed", "Seam", "candidates"]


Computed = Callable[[Sequence[Pair]], Sequence[Mapping[str, LitValue]]]
"""What is computed of each pair, by path."""


class Seam(NamedTuple):
    """A face that no width covers in one piece, or of which that cannot be told."""

    needed_mm: float
    """The shorter side of the face."""
    widest_mm: float | None
    """The widest material that the printer takes; None where it is not known."""


class Candidate(NamedTuple):
    """One pair, judged."""

    pair: Pair
    judged: tuple[Judged, ...]
    """Every requirement, in the order in which they were asked."""
    remarks: tuple[Remark, ...]
    confirmed: Confirmed
    seam: Seam | None = None
    copied: int = 0
    """How many demands are met by values copied from another record, which nobody has set since."""

    @property
    def in_the_way(self) -> tuple[Judged | Remark, ...]:
        """What keeps it from being a find: requirements that are not met, and guidance that refuses it."""
        unmet = tuple(each for each in self.judged if each.in_the_way)
        if self.pair.mode.standing == "withdrawn" and not any(_of_status(each) for each in unmet):
            return unmet  # it was asked for among the withdrawn: nobody is offered it
        return (*unmet, *self.refusals)

    @property
    def refusals(self) -> tuple[Remark, ...]:
        """Guidance that refuses it."""
        return tuple(remark for remark in self.remarks if remark.refuses)

    @property
    def unknown(self) -> tuple[Judged, ...]:
        """The demands of which it is not known whether they are met."""
        return tuple(each for each in self.judged if each.answer == UNKNOWN and not each.in_the_way)

    @property
    def unsure(self) -> tuple[Judged, ...]:
        """The demands that it meets, though not surely."""
        return tuple(each for each in self.judged if each.answer == UNSURE)

    @property
    def warnings(self) -> int:
        """How many warnings there are: of guidance, of sites where it failed, of a seam."""
        warned = sum(remark.warns for remark in self.remarks)
        return warned + len(self.confirmed.failed) + (self.seam is not None)

    @property
    def room(self) -> float | None:
        """The least margin, as a share of what is allowed; None where nothing is measured against a limit."""
        shares = (each.margin.share for each in self.judged if each.margin and not each.in_the_way)
        return min((share for share in shares if share is not None), default=None)


class Asked(NamedTuple):
    """A request made ready."""

    registry: Registry
    pairs: Pairs
    request: Request
    use: Use | None
    wanted: list[Wanted]
    tests: list[Test]

    def judged(self, found: Sequence[Pair]) -> list[Candidate]:
        """Return pairs, each judged on everything that is wanted."""
        paths = [each.known.path for each in self.wanted]
        lit = partial(lit_values, self.registry, self.use, paths)
        return candidates(self.registry.model, self.pairs, self.use, self.wanted, found, lit=lit)


def candidates(
    model: ReadModel,
    pairs: Pairs,
    use: Use | None,
    wanted: Sequence[Wanted],
    found: Sequence[Pair],
    *,
    lit: Computed | None = None,
) -> list[Candidate]:
    """Return the pairs found, each judged on everything that is wanted; `lit` computes how they look lit."""
    computed = lit(found) if lit and any(is_lit(each.known.path) for each in wanted) else [{} for _ in found]
    judged = [
        [judge_lit(each, values.get(each.known.path)) for values in computed]
        if is_lit(each.known.path)
        else _judged(pairs, each, number, found)
        for number, each in enumerate(wanted)
    ]
    advice = remarks(model, (pair.mode.id for pair in found), use.subject if use else None)
    words = confirmed(pairs, found)
    seams = _seams(pairs, use, found)
    copied = _copied(pairs, judged, found)
    return [
        Candidate(
            pair,
            tuple(each[number] for each in judged),
            advice[pair.mode.id],
            words[pair.mode.id],
            seams[number],
            copied[number],
        )
        for number, pair in enumerate(found)
    ]


def _copied(pairs: Pairs, judged: Sequence[Sequence[Judged]], found: Sequence[Pair]) -> list[int]:
    """Return for every pair how many requirements are met by copied values, or what is computed from them."""
    sides = {side for pair in found for of in ("mode", "substrate") if (side := pair.side(of)) is not None}
    copied: dict[int | None, set[str]] = {}
    for path in (COPIED, FROM_COPIED):
        for side, values in pairs.held(path, sides).items():
            copied.setdefault(side, set()).update(value.txt for value in values)
    if not copied:
        return [0] * len(found)

    def is_copied(each: Judged, pair: Pair) -> bool:
        known = each.wanted.known
        return each.answer == MET and known.path in copied.get(pair.side(known.of), ())

    return [sum(is_copied(each[number], pair) for each in judged) for number, pair in enumerate(found)]


def _judged(pairs: Pairs, wanted: Wanted, number: int, found: Sequence[Pair]) -> list[Judged]:
    """Return one requirement judged for every pair."""
    if wanted.what == "word":
        return [Judged(wanted, MET if pair.passed[number] else UNMET) for pair in found]
    if wanted.what == "width":
        return [_wide_enough(wanted, *each) for each in _widths(pairs, found)]
    known = wanted.known
    if known is IN_USE:
        values = [_word(pair.substrate_standing) for pair in found]
    elif (known.of, known.path) == ("mode", STATUS):
        values = [_word(pair.mode.standing) for pair in found]
    else:
        values = _held(pairs, known.of, known.path, found)
    seen = {value: judge(wanted, value) for value in set(values)}
    return [seen[value] for value in values]


def _held(pairs: Pairs, of: str, path: str, found: Sequence[Pair]) -> list[tuple[Value, ...]]:
    """Return what one side of every pair holds at a path."""
    sides = [pair.side(of) for pair in found]
    held = pairs.held(path, {side for side in sides if side is not None})
    return [held.get(side, ()) if side is not None else () for side in sides]


def _of_status(judged: Judged) -> bool:
    return (judged.wanted.known.of, judged.wanted.known.path) == ("mode", STATUS)


def _word(standing: str) -> tuple[Value, ...]:
    return (Value(None, standing),) if standing else ()


_Widths = tuple[tuple[Value, ...], float | None]


def _widths(pairs: Pairs, found: Sequence[Pair]) -> list[_Widths]:
    """Return for every pair the widths of its substrate, and the widest material that its printer takes."""
    widths = _held(pairs, "substrate", "widths_mm", found)
    limits = _held(pairs, "printer", "max_width_mm", found)
    return [(wide, limit[0].num if limit else None) for wide, limit in zip(widths, limits, strict=True)]


def _wide_enough(wanted: Wanted, widths: tuple[Value, ...], limit: float | None) -> Judged:
    if limit is None:
        return Judged(wanted, UNKNOWN, widths)
    usable = tuple(width for width in widths if width.num is not None and width.num <= limit)
    if widths and not usable:
        return Judged(wanted, UNMET, widths)
    return judge(wanted, usable)


def _seams(pairs: Pairs, use: Use | None, found: Sequence[Pair]) -> list[Seam | None]:
    """Say where the face is to be put together from pieces: its shorter side is wider than any material."""
    if use is None or use.size_mm is None:
        return [None] * len(found)
    return [_seam(min(use.size_mm), *each) for each in _widths(pairs, found)]


def _seam(needed: float, widths: tuple[Value, ...], limit: float | None) -> Seam | None:
    usable = [
        width.num for width in widths if width.num is not None and (limit is None or width.num <= limit)
    ]
    if widths and limit is not None:
        widest = max(usable, default=0.0)
        return Seam(needed, widest) if widest < needed else None
    return Seam(needed, None)
